//! Applying what concerns kept plans and the log of days and money.

use super::apply::{ActionError, put, refuse, remove};
use super::ids::*;
use super::kept_plan::KeptPlan;
use super::log::{Cause, LogLine, Standing};
use super::project::Project;
use super::validate::Checked;
use std::sync::Arc;

impl Project {
    /// Keeps a plan. It stands where the log stands.
    pub(super) fn keep_plan(&mut self, plan: &KeptPlan) -> Result<(), ActionError> {
        if self.kept_plan(plan.id).is_some() {
            return refuse("this plan is kept already, and what is kept does not change");
        }
        if plan.lines as usize != self.log.len() {
            return refuse("a plan is kept where the log stands now");
        }
        plan.check_in(self)?;
        self.claim(plan.id.0, false)?;
        put(&mut self.kept_plans, plan.clone())
    }

    /// Gives a kept plan another name.
    pub(super) fn rename_plan(&mut self, id: PlanId, name: &str) -> Result<(), ActionError> {
        let Some(known) = self.kept_plan(id) else { return Err(ActionError::Gone("kept plan")) };
        let plan = KeptPlan { name: name.to_owned(), ..known.clone() };
        plan.check()?;
        put(&mut self.kept_plans, plan)
    }

    /// Forgets a kept plan; with the last one the log goes, since nothing is left that it leads from.
    pub(super) fn remove_plan(&mut self, id: PlanId) -> Result<(), ActionError> {
        remove(&mut self.kept_plans, id)?;
        if self.kept_plans.is_empty() {
            self.log = Arc::default();
        }
        Ok(())
    }

    /// Adds a line to the log.
    pub(super) fn add_line(&mut self, line: &LogLine) -> Result<(), ActionError> {
        let Some(stands) = self.log_stands() else {
            return refuse("there is no kept plan that the log could lead from; keep one first");
        };
        line.check_in(self)?;
        line.check_follows(stands)?;
        Arc::make_mut(&mut self.log).push(Arc::new(line.clone()));
        Ok(())
    }

    /// Says why a line of the log moved.
    pub(super) fn set_cause(&mut self, at: usize, cause: Cause) -> Result<(), ActionError> {
        let Some(line) = self.log.get(at) else { return Err(ActionError::Gone("line of the log")) };
        let line = LogLine { cause, ..line.as_ref().clone() };
        Arc::make_mut(&mut self.log)[at] = Arc::new(line);
        Ok(())
    }

    /// The kept plan with a number.
    pub fn kept_plan(&self, id: PlanId) -> Option<&KeptPlan> {
        self.kept_plans.iter().find(|plan| plan.id == id)
    }

    /// The plan that the finish is held against: the one kept last.
    pub fn agreed_plan(&self) -> Option<&KeptPlan> {
        self.kept_plans.last()
    }

    /// Where the log stands: what its last line left, else the first kept plan; `None` without one.
    pub fn log_stands(&self) -> Option<Standing> {
        let first = self.kept_plans.first()?.standing();
        Some(self.log.last().map_or(first, |line| line.after()))
    }

    /// Where the log stood after as many lines, as far as lines say.
    pub(super) fn log_stood(&self, lines: usize) -> Option<Standing> {
        let next = self.log.get(lines).map(|line| line.before());
        let last = || self.log.last().map(|line| line.after());
        next.or_else(last).or_else(|| self.kept_plans.first().map(KeptPlan::standing))
    }

    /// Takes what is gone out of kept plans and lines. The words of a line stay.
    pub(super) fn prune_log(&mut self) {
        if self.kept_plans.is_empty() {
            return;
        }
        let gone = |plan: &KeptPlan| {
            plan.phases.iter().any(|kept| self.phase(kept.phase).is_none())
                || plan.rooms.iter().any(|kept| self.room(kept.room).is_none())
        };
        if self.kept_plans.iter().any(gone) {
            let mut plans = std::mem::take(&mut self.kept_plans);
            for plan in Arc::make_mut(&mut plans) {
                plan.phases.retain(|kept| self.phase(kept.phase).is_some());
                plan.rooms.retain(|kept| self.room(kept.room).is_some());
            }
            self.kept_plans = plans;
        }
        let lost = |line: &LogLine| {
            line.phase.is_some_and(|id| self.phase(id).is_none())
                || line.selection.is_some_and(|id| self.selection(id).is_none())
                || line.part.is_some_and(|id| self.part(id).is_none())
        };
        let lost: Vec<usize> =
            self.log.iter().enumerate().filter(|(_, line)| lost(line)).map(|(at, _)| at).collect();
        if lost.is_empty() {
            return;
        }
        let mut log = std::mem::take(&mut self.log);
        for at in lost {
            let line = Arc::make_mut(&mut Arc::make_mut(&mut log)[at]);
            line.phase = line.phase.filter(|id| self.phase(*id).is_some());
            line.selection = line.selection.filter(|id| self.selection(*id).is_some());
            line.part = line.part.filter(|id| self.part(*id).is_some());
        }
        self.log = log;
    }
}

/// Checks kept plans and the log of a document.
pub fn check_log(project: &Project, check: &mut impl FnMut(&'static str, u32, &str, Checked)) {
    let mut before = None;
    for plan in project.kept_plans.iter() {
        let order = match before {
            Some(lines) if plan.lines < lines => {
                Err("it stands behind a plan that was kept later".to_owned())
            }
            _ => Ok(()),
        };
        before = Some(plan.lines);
        check("kept plan", plan.id.0, &plan.key, plan.check_in(project).and(order));
    }
    let first = project.kept_plans.first().filter(|plan| plan.lines == 0).map(KeptPlan::standing);
    let mut stands = first;
    // The log has no numbers of its own; the first fault is named under the first plan.
    for (at, line) in project.log.iter().enumerate() {
        let follows = stands.map_or(Ok(()), |stands| line.check_follows(stands));
        if let Err(why) = line.check_in(project).and(follows) {
            check("log", u32::MAX - 2, &format!("line {}", at + 1), Err(why));
            return;
        }
        stands = Some(line.after());
    }
    if project.kept_plans.is_empty() && !project.log.is_empty() {
        let why = "there is no kept plan that it leads from; keep the plan, or remove its lines".to_owned();
        check("log", u32::MAX - 2, "log", Err(why));
    }
}
