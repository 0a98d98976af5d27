//! Kept plans and the log of days and money, of two versions.
//!
//! The lines of both are kept: those of this side as they are, then those of the other side, which move finish and total as
//! they did there and begin where the line before them ends. What is left between the last line and the figures is pending.

use super::path::{Path, Step};
use super::{Conflict, Side, Took};
use crate::model::dates::{FIRST_DAY, LAST_DAY};
use crate::model::kept_plan::KeptPlan;
use crate::model::log::{Cause, LogLine, Standing};
use crate::model::project::Project;
use crate::model::words::count;
use std::collections::HashMap;
use std::sync::Arc;

/// What a line says that leads to where the other version stood when a plan was kept there.
const STOOD: &str = "where the other version stood when its plan was kept";

/// Puts the plans and lines of both sides into the document. Conflicts are returned.
pub(super) fn merge(
    [base, ours, theirs]: [&Project; 3],
    sides: &HashMap<Path, Side>,
    into: &mut Project,
) -> Vec<Conflict> {
    let mut conflicts = Vec::new();
    let same = |a: &Project, b: &Project| a.kept_plans == b.kept_plans && a.log == b.log;
    if same(ours, theirs) || same(base, theirs) {
        (into.kept_plans, into.log) = (ours.kept_plans.clone(), ours.log.clone());
    } else if same(base, ours) {
        (into.kept_plans, into.log) = (theirs.kept_plans.clone(), theirs.log.clone());
    } else if goes_on(base, ours) && goes_on(base, theirs) {
        let mut joined = Joined::new(base, ours, theirs, sides);
        joined.lines();
        let plans = joined.plans();
        (into.kept_plans, into.log) = (Arc::new(plans), Arc::new(joined.log));
        conflicts = joined.conflicts;
    } else {
        let mut conflict = all_of_it([base, ours, theirs]);
        let from = match sides.get(&conflict.at) {
            Some(Side::Theirs) => theirs,
            _ => ours,
        };
        conflict.took = if std::ptr::eq(from, theirs) { Took::Theirs } else { Took::Ours };
        (into.kept_plans, into.log) = (from.kept_plans.clone(), from.log.clone());
        conflicts.push(conflict);
    }
    rows_come_back([base, ours, theirs], into);
    into.prune_log();
    conflicts
}

/// What one side removed and is there after all has its row in kept plans again.
fn rows_come_back([base, ours, theirs]: [&Project; 3], into: &mut Project) {
    let phase = |id| into.phase(id).is_some() && (ours.phase(id).is_none() || theirs.phase(id).is_none());
    let room = |id| into.room(id).is_some() && (ours.room(id).is_none() || theirs.room(id).is_none());
    let mut plans = into.kept_plans.clone();
    for plan in base.kept_plans.iter() {
        let phases: Vec<_> = plan.phases.iter().filter(|kept| phase(kept.phase)).collect();
        let rooms: Vec<_> = plan.rooms.iter().filter(|kept| room(kept.room)).collect();
        let Some(at) = plans.iter().position(|known| known.id == plan.id) else { continue };
        if phases.is_empty() && rooms.is_empty() {
            continue;
        }
        let known = &mut Arc::make_mut(&mut plans)[at];
        for kept in phases {
            if known.phase(kept.phase).is_none() {
                known.phases.push(*kept);
            }
        }
        for kept in rooms {
            if known.room(kept.room).is_none() {
                known.rooms.push(*kept);
            }
        }
    }
    into.kept_plans = plans;
}

/// Whether the other side changed plans or log.
pub(super) fn differ([base, ours, theirs]: [&Project; 3]) -> bool {
    let same = |a: &Project, b: &Project| a.kept_plans == b.kept_plans && a.log == b.log;
    !same(base, theirs) && !same(ours, theirs)
}

/// The conflict of plans and log as a whole.
pub(super) fn all_of_it([base, ours, theirs]: [&Project; 3]) -> Conflict {
    let words = |p: &Project| {
        let names: Vec<&str> = p.kept_plans.iter().map(|plan| plan.name.as_str()).collect();
        let plans = if names.is_empty() { "no plan".to_owned() } else { names.join(", ") };
        format!("{plans}, with {} of the log", count(p.log.len(), "line"))
    };
    Conflict {
        at: vec![Step::Field("log")],
        place: "kept plans and the log".to_owned(),
        title: "kept plans and the log".to_owned(),
        base: words(base),
        ours: words(ours),
        theirs: words(theirs),
        took: Took::Ours,
    }
}

/// Whether a version has the log of the one before it, and maybe more lines.
fn goes_on(base: &Project, side: &Project) -> bool {
    let kept = base.kept_plans.is_empty() || !side.kept_plans.is_empty();
    kept && side.log.len() >= base.log.len()
        && base.log.iter().zip(side.log.iter()).all(|(a, b)| moves_as(a, b))
}

/// Whether two lines move the same on the same day, whatever is said of the cause.
fn moves_as(a: &LogLine, b: &LogLine) -> bool {
    a.on == b.on && a.what == b.what && a.before() == b.before() && a.after() == b.after()
}

struct Joined<'a> {
    base: &'a Project,
    ours: &'a Project,
    theirs: &'a Project,
    sides: &'a HashMap<Path, Side>,
    /// Lines at the begin of both.
    common: usize,
    log: Vec<Arc<LogLine>>,
    /// The lines behind which plans of the other side stand now.
    placed: HashMap<u32, usize>,
    conflicts: Vec<Conflict>,
}

impl<'a> Joined<'a> {
    fn new(
        base: &'a Project,
        ours: &'a Project,
        theirs: &'a Project,
        sides: &'a HashMap<Path, Side>,
    ) -> Joined<'a> {
        let known = base.log.len();
        let more = ours.log.iter().skip(known).zip(theirs.log.iter().skip(known));
        let common = known + more.take_while(|(a, b)| a == b).count();
        let (log, placed, conflicts) = (Vec::new(), HashMap::new(), Vec::new());
        Joined { base, ours, theirs, sides, common, log, placed, conflicts }
    }

    fn conflict(&mut self, at: Path, place: String, [base, ours, theirs]: [&str; 3]) -> Side {
        let side = self.sides.get(&at).copied().unwrap_or(Side::Ours);
        let took = if side == Side::Theirs { Took::Theirs } else { Took::Ours };
        let [base, ours, theirs] = [base, ours, theirs].map(str::to_owned);
        let title = place.clone();
        self.conflicts.push(Conflict { at, place, title, base, ours, theirs, took });
        side
    }

    fn lines(&mut self) {
        for at in 0..self.common {
            let (ours, theirs) = (&self.ours.log[at], &self.theirs.log[at]);
            let line = match self.base.log.get(at) {
                Some(base) if base == ours => theirs,
                Some(base) if base != theirs && ours.cause != theirs.cause => {
                    let path = vec![Step::Field("log"), Step::Known(at.to_string())];
                    let place = format!("line {} of the log, {}: cause", at + 1, ours.what);
                    let words = [base.cause.word(), ours.cause.word(), theirs.cause.word()];
                    match self.conflict(path, place, words) {
                        Side::Ours => ours,
                        Side::Theirs => theirs,
                    }
                }
                _ => ours,
            };
            self.log.push(line.clone());
        }
        self.log.extend(self.ours.log.iter().skip(self.common).cloned());
        let common_stood = self.ours.log_stood(self.common);
        let mut stands = self.ours.log_stands();
        for at in self.common..=self.theirs.log.len() {
            for plan in self.new_plans(at) {
                let standing = plan.standing();
                if at == self.common && common_stood == Some(standing) {
                    self.placed.insert(plan.id.0, at);
                    continue;
                }
                if let Some(stands) = stands
                    && stands != standing
                {
                    let line = LogLine::new(plan.on, STOOD, Cause::Correction, stands, standing);
                    self.log.push(Arc::new(line));
                }
                stands = Some(standing);
                self.placed.insert(plan.id.0, self.log.len());
            }
            if let Some(line) = self.theirs.log.get(at) {
                let line = stands.map_or_else(|| line.as_ref().clone(), |stands| moved(line, stands));
                stands = Some(line.after());
                self.log.push(Arc::new(line));
            }
        }
    }

    /// Plans that only the other side kept, behind as many lines.
    fn new_plans(&self, lines: usize) -> Vec<KeptPlan> {
        let new = |plan: &&KeptPlan| {
            self.base.kept_plan(plan.id).is_none() && self.ours.kept_plan(plan.id).is_none()
        };
        let at = |plan: &&KeptPlan| plan.lines as usize == lines;
        self.theirs.kept_plans.iter().filter(new).filter(at).cloned().collect()
    }

    fn plans(&mut self) -> Vec<KeptPlan> {
        let mut plans = Vec::new();
        let (base, ours, theirs) = (self.base, self.ours, self.theirs);
        for plan in ours.kept_plans.iter() {
            match (base.kept_plan(plan.id), theirs.kept_plan(plan.id)) {
                // The other side removed it.
                (Some(was), None) if was.name == plan.name => {}
                (was, Some(other)) => plans.push(self.plan(was, plan, other)),
                _ => plans.push(plan.clone()),
            }
        }
        for plan in theirs.kept_plans.iter().filter(|plan| ours.kept_plan(plan.id).is_none()) {
            let kept = match base.kept_plan(plan.id) {
                Some(was) => was.name != plan.name,
                None => true,
            };
            if kept {
                let mut plan = plan.clone();
                if let Some(lines) = self.placed.get(&plan.id.0) {
                    plan.lines = u32::try_from(*lines).unwrap_or(u32::MAX);
                }
                plans.push(plan);
            }
        }
        plans.sort_by_key(|plan| plan.lines);
        plans
    }

    /// A plan that both have. All of it stands as it was kept but its name.
    fn plan(&mut self, was: Option<&KeptPlan>, ours: &KeptPlan, theirs: &KeptPlan) -> KeptPlan {
        let mut plan = ours.clone();
        let was = was.map_or("", |was| was.name.as_str());
        if ours.name == was {
            plan.name.clone_from(&theirs.name);
        } else if theirs.name != was && theirs.name != ours.name {
            let at = vec![Step::Field("kept_plans"), Step::Thing(ours.id.0), Step::Field("name")];
            let place = format!("kept plan {}: name", ours.name);
            if self.conflict(at, place, [was, &ours.name, &theirs.name]) == Side::Theirs {
                plan.name.clone_from(&theirs.name);
            }
        }
        plan
    }
}

/// A line that begins elsewhere and moves as it did.
fn moved(line: &LogLine, stands: Standing) -> LogLine {
    let finish = match (line.finish_before, line.finish_after, stands.finish) {
        (before, after, stands) if before == after => stands,
        (Some(before), Some(after), Some(stands)) => {
            let day = stands.checked_add_signed(after - before);
            day.filter(|day| (FIRST_DAY..=LAST_DAY).contains(day)).or(Some(stands))
        }
        (_, after, _) => after,
    };
    let total = stands.total.plus(line.total_after.less(line.total_before));
    let mut moved = line.clone();
    (moved.finish_before, moved.finish_after) = (stands.finish, finish);
    (moved.total_before, moved.total_after) = (stands.total, total);
    moved
}
