//! The usual gates of a remodel, for a new project and for one that has none: lists to be edited, each with its source.
//!
//! Phases are found by their kind of work and their role; what was found is shown before it is added. Practice of the
//! trade is marked `common practice`; local code decides.

mod rows;

use super::caution::ASBESTOS_YEAR;
use super::gate::{Condition, Gate, Need, Presence, Scope};
use super::goods::Goods;
use super::graph::Graph;
use super::ids::{ConditionId, GateId, PhaseId, key_from_name};
use super::phase::{Phase, PhaseKind, PhaseRole};
use super::project::Project;
use super::selection::Selection;
use super::work::Work;
use Presence::{BuiltIn, OnSite};
use Wants::{AllFinished, Confirm, Parts, Selections};
use rows::{OF_THEIR_OWN, ROWS};

/// Weeks before the inspection that lets the wall be closed by which in-wall plumbing parts are ordered (common practice,
/// no source).
pub const IN_WALL_WEEKS: (u32, u32) = (5, 6);
/// Working days from measuring a countertop to setting it, as shops say: quickest and slowest (common practice, no
/// source).
pub const COUNTERTOP_DAYS: (i32, i32) = (5, 12);

/// Which phases are meant.
struct Sort {
    /// What people call it.
    title: &'static str,
    /// Whether inspections of the work are meant, and not the work.
    inspected: bool,
    works: &'static [Work],
    /// The role of others that are meant too.
    role: Option<PhaseRole>,
}

/// What a starter gate asks for.
enum Wants {
    /// Every phase of a sort finished.
    AllFinished(&'static Sort),
    /// The parts of every phase of a sort.
    Parts(&'static Sort, Presence),
    /// Selections with a word in their names, in rooms that get a countertop; on site.
    Selections(&'static [&'static str]),
    /// A word from somebody.
    Confirm(&'static str),
}

struct UsualGate {
    key: &'static str,
    name: &'static str,
    /// The sort of phase that waits: the first of these that the project has.
    before: &'static [&'static Sort],
    /// Whether each such phase gets the gate, and not the first alone.
    each: bool,
    source: &'static str,
    wants: &'static [(&'static str, Wants)],
}

/// A gate that could be added.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proposal {
    /// The gate, with numbers from the counter of the project on.
    pub gate: Gate,
    /// What of the usual list found nothing in this project, in words.
    pub left_out: Vec<String>,
}

/// The usual gates that fit a project: those whose phase was found and has not begun, each with what was found for it.
/// A gate that is there already is not proposed again.
pub fn propose(project: &Project) -> Vec<Proposal> {
    let mut next = project.next_id;
    let mut fresh = || {
        next = next.saturating_add(1);
        next - 1
    };
    let graph = Graph::new(project);
    let mut keys: Vec<String> = project.gates.iter().map(|g| g.key.clone()).collect();
    let mut proposals = Vec::new();
    let new_house = project.settings.year_built.is_some_and(|year| year > ASBESTOS_YEAR);
    for row in ROWS {
        if row.key == "survey" && new_house {
            continue;
        }
        let begun = |p: &Phase| p.actual_start.is_some() || p.finished_on().is_some();
        let sorts = row.before.iter().map(|sort| of_sort(project, sort).collect::<Vec<&Phase>>());
        let mut waiting = sorts.into_iter().find(|phases| !phases.is_empty()).unwrap_or_default();
        waiting.retain(|p| !begun(p));
        if !row.each {
            waiting.truncate(usize::from(!project.gates.iter().any(|g| g.key == row.key)));
        }
        for (nth, phase) in waiting.into_iter().enumerate() {
            if project.gates.iter().any(|g| g.phase == phase.id && is_key_of(row, &g.key)) {
                continue;
            }
            let behind = project.phase_at(phase.id).map_or(Vec::new(), |at| graph.behind(at));
            let id = GateId(fresh());
            let mut conditions = Vec::new();
            let mut left_out = Vec::new();
            for (who, wants) in row.wants {
                let Some(needs) = needs(project, wants, phase, &behind) else {
                    left_out.push(words(wants));
                    continue;
                };
                for need in needs {
                    let who = (*who).to_owned();
                    conditions.push(Condition { id: ConditionId(fresh()), need, who, by: None });
                }
            }
            if conditions.is_empty() {
                continue;
            }
            let key = key_from_name(row.key, keys.iter().map(String::as_str));
            keys.push(key.clone());
            let name = if nth == 0 { row.name.to_owned() } else { format!("{}: {}", row.name, phase.name) };
            let gate = Gate { id, key, phase: phase.id, name, source: row.source.to_owned(), conditions };
            proposals.push(Proposal { gate, left_out });
        }
    }
    proposals
}

/// Whether a key is the one of a usual gate, or that of its second, third and so on.
fn is_key_of(row: &UsualGate, key: &str) -> bool {
    let number = |rest: &str| rest.trim_start_matches('_').bytes().all(|b| b.is_ascii_digit());
    key.strip_prefix(row.key).is_some_and(number)
}

/// Puts the usual gates into a project.
pub fn add_starter_gates(project: &mut Project) {
    for Proposal { gate, .. } in propose(project) {
        let most = gate.conditions.iter().map(|c| c.id.0).fold(gate.id.0, u32::max);
        project.next_id = project.next_id.max(most + 1);
        std::sync::Arc::make_mut(&mut project.gates).push(gate);
    }
}

/// What is asked for, as it is in this project; `None` where there is nothing that it could mean, and that is worth
/// saying.
fn needs(project: &Project, wants: &Wants, phase: &Phase, behind: &[bool]) -> Option<Vec<Need>> {
    let comes_behind = |id: &PhaseId| project.phase_at(*id).is_some_and(|at| behind.get(at) == Some(&true));
    let found = |sort: &'static Sort| of_sort(project, sort).map(|p| p.id);
    let some = |needs: Vec<Need>| (!needs.is_empty()).then_some(needs);
    match wants {
        AllFinished(sort) => some(found(sort).filter(|id| !comes_behind(id)).map(Need::Finished).collect()),
        // What is needed for the phase itself is on site before it; what others built in is there.
        Parts(sort, presence) => {
            let wanted = found(sort).filter(|id| match presence {
                OnSite => *id == phase.id,
                BuiltIn => !comes_behind(id),
            });
            let needs = wanted.map(|phase| Need::PartsOf { phase, presence: *presence }).collect();
            // Most houses have no other work behind the wall.
            if sort.role == Some(PhaseRole::InWall) { Some(needs) } else { some(needs) }
        }
        Selections(words) => {
            let named = |name: &str| words.iter().any(|w| name.to_lowercase().contains(w));
            let fitting: Vec<&Selection> = project
                .selections
                .iter()
                .map(AsRef::as_ref)
                .filter(|s: &&Selection| gets_countertop(project, s) && named(&s.name))
                .collect();
            // What is needed for the phase itself is asked for with the parts of the phase.
            let apart = |s: &&&Selection| {
                let mut parts = s.options.iter().flat_map(|o| &o.parts).peekable();
                parts.peek().is_none() || parts.any(|p| p.phase != Some(phase.id))
            };
            let need =
                |s: &&Selection| Need::Selection { selection: s.id, scope: Scope::All, presence: OnSite };
            (!fitting.is_empty()).then(|| fitting.iter().filter(apart).map(need).collect())
        }
        Confirm(what) => {
            Some(vec![Need::Confirmed { what: (*what).to_owned(), said_by: String::new(), said_on: None }])
        }
    }
}

/// Whether a selection is for a kitchen or for a room with a countertop.
fn gets_countertop(project: &Project, selection: &Selection) -> bool {
    let kitchen = |r: &super::Room| format!("{} {}", r.key, r.name).to_lowercase().contains("kitchen");
    let top =
        |s: &Selection| s.options.iter().flat_map(|o| &o.parts).any(|p| p.goods == Some(Goods::Countertop));
    project.room(selection.room).is_some_and(kitchen)
        || project.selections.iter().any(|s| s.room == selection.room && top(s))
}

fn words(wants: &Wants) -> String {
    match wants {
        AllFinished(sort) => format!("{} finished", sort.title),
        Parts(sort, presence) => format!("parts of {} {}", sort.title, presence.words()),
        Selections(words) => format!("{} on site", words.join(", ")),
        Confirm(what) => (*what).to_owned(),
    }
}

/// The phases of a sort in document order.
fn of_sort<'a>(project: &'a Project, sort: &'static Sort) -> impl Iterator<Item = &'a Phase> {
    let fits = move |p: &Phase| {
        let work = p.kind_of_work();
        match p.kind {
            PhaseKind::Inspection => sort.inspected && work.is_some_and(|w| sort.works.contains(&w)),
            // The name of a point in time tells of many things; it counts where somebody said what it is.
            PhaseKind::Milestone => !sort.inspected && p.work.is_some_and(|w| sort.works.contains(&w)),
            PhaseKind::Work if sort.inspected => false,
            PhaseKind::Work => {
                let has_own =
                    sort.role == Some(PhaseRole::InWall) && work.is_some_and(|w| OF_THEIR_OWN.contains(&w));
                let by_role = sort.role == Some(p.role) && !has_own;
                by_role || work.is_some_and(|w| sort.works.contains(&w))
            }
        }
    };
    project.phases.iter().filter(move |p| fits(p))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{starter, validate};

    #[test]
    fn the_starter_gates_fit_the_starter_phases() {
        let mut project = Project::new("New", chrono::NaiveDate::from_ymd_opt(2026, 1, 5).unwrap());
        starter::add_starter_phases(&mut project);
        add_starter_gates(&mut project);
        assert_eq!(validate::document(&project), Vec::<String>::new());
        let keys: Vec<&str> = project.gates.iter().map(|g| g.key.as_str()).collect();
        assert_eq!(keys, ROWS.iter().map(|r| r.key).collect::<Vec<_>>());
        assert_eq!(propose(&project), [], "what is there is not proposed again");
        assert!(ROWS.iter().all(|r| !r.source.is_empty()));
    }
}
