//! The usual gates of a remodel, for a new project and for one that has none: lists to be edited, each with its source.
//!
//! Phases are found by the keys of the starter list, by their roles, and by words in their names; what was found is shown before it
//! is added. Practice of the trade is marked `common practice`; local code decides.

use super::caution::{ASBESTOS_YEAR, Hazard};
use super::gate::{Condition, Gate, Need, Presence, Scope};
use super::graph::Graph;
use super::ids::{ConditionId, GateId, PhaseId, key_from_name};
use super::phase::{Phase, PhaseKind, PhaseRole};
use super::project::Project;
use PhaseKind::{Inspection, Work};
use Presence::{BuiltIn, OnSite};
use Wants::{AllFinished, Confirm, Parts, Selections};

/// Weeks before the sign-off that closes the wall by which in-wall plumbing parts are ordered (common practice, no
/// source).
pub const IN_WALL_WEEKS: (u32, u32) = (5, 6);
/// Working days from measuring a top to setting it, as shops say: quickest and slowest (common practice, no source).
pub const TOPS_DAYS: (i32, i32) = (5, 12);

/// How a phase of a sort is known: its kind, then its key in the starter list, else words that its key or name holds
/// (all words of one of the rows, by their beginnings), and words it must not hold.
struct Sort {
    key: &'static str,
    kind: PhaseKind,
    words: &'static [&'static [&'static str]],
    not: &'static [&'static str],
}

/// The sort of work behind the wall that is none of the rough work known by its words, such as data wiring.
const OTHER_IN_WALL: &str = "other_in_wall";

const SORTS: &[Sort] = &[
    Sort { key: OTHER_IN_WALL, kind: Work, words: &[], not: &["rough", "insulat"] },
    Sort { key: "demolition", kind: Work, words: &[&["demol"]], not: &[] },
    Sort { key: "rough_plumbing", kind: Work, words: &[&["rough", "plumb"]], not: &[] },
    Sort {
        key: "rough_mechanical",
        kind: Work,
        words: &[&["rough", "duct"], &["rough", "mechan"], &["rough", "hvac"], &["rough", "fan"]],
        not: &[],
    },
    Sort {
        key: "rough_electrical",
        kind: Work,
        words: &[&["rough", "electr"], &["rough", "wiring"]],
        not: &[],
    },
    Sort { key: "plumbing_check", kind: Inspection, words: &[&["plumb"]], not: &["final"] },
    Sort { key: "mechanical_check", kind: Inspection, words: &[&["mechan"], &["duct"]], not: &["final"] },
    Sort { key: "electrical_check", kind: Inspection, words: &[&["electr"]], not: &["final"] },
    Sort { key: "framing_check", kind: Inspection, words: &[&["fram"]], not: &["final"] },
    Sort { key: "insulation", kind: Work, words: &[&["insulat"]], not: &[] },
    Sort { key: "insulation_check", kind: Inspection, words: &[&["insulat"]], not: &["final"] },
    Sort {
        key: "hang_board",
        kind: Work,
        words: &[&["hang", "board"], &["hang", "drywall"], &["hang", "wallboard"], &["close", "wall"]],
        not: &["tape", "finish"],
    },
    Sort { key: "prime", kind: Work, words: &[&["prime"]], not: &["primary"] },
    Sort { key: "base_cabinets", kind: Work, words: &[&["base", "cabinet"]], not: &[] },
    Sort { key: "template", kind: Work, words: &[&["template"]], not: &[] },
    Sort {
        key: "finish_board",
        kind: Work,
        words: &[&["finish", "board"], &["sand"], &["set", "tile"], &["flooring"], &["doors", "trim"]],
        not: &["exterior", "clean"],
    },
    Sort { key: "duct_cleaning", kind: Work, words: &[&["clean", "duct"]], not: &[] },
    Sort { key: "start_heat", kind: Work, words: &[&["start", "heat"]], not: &["clean"] },
];

/// What a starter gate asks for.
enum Wants {
    /// Every phase of a sort finished.
    AllFinished(&'static str),
    /// The parts of every phase of a sort.
    Parts(&'static str, Presence),
    /// Selections of the kitchen with a word in their names; on site.
    Selections(&'static [&'static str]),
    /// A word from somebody.
    Confirm(&'static str),
}

struct UsualGate {
    key: &'static str,
    name: &'static str,
    /// The sort of phase that waits.
    before: &'static str,
    source: &'static str,
    wants: &'static [(&'static str, Wants)],
}

const PRACTICE: &str = "common practice, no source";

const ROWS: &[UsualGate] = &[
    UsualGate {
        key: "survey",
        name: "Lead and asbestos looked for",
        before: "demolition",
        source: "EPA advice to homeowners; 40 CFR 745 for lead paint",
        wants: &[(
            "Owner",
            Confirm("paint, texture, duct wrap, old floor and siding tested or taken for lead and asbestos"),
        )],
    },
    UsualGate {
        key: "in_wall_on_site",
        name: "In-wall bodies on site",
        before: "rough_plumbing",
        source: "common practice, no source: they are ordered 5 to 6 weeks before the sign-off that closes the wall",
        wants: &[("", Parts("rough_plumbing", OnSite))],
    },
    UsualGate {
        key: "in_wall_set",
        name: "In-wall bodies set",
        before: "plumbing_check",
        source: "IRC R109.1.2: rough plumbing is inspected before it is covered",
        wants: &[("", AllFinished("rough_plumbing")), ("Plumber", Parts("rough_plumbing", BuiltIn))],
    },
    UsualGate {
        key: "fan_places",
        name: "Fan places and duct routes agreed",
        before: "rough_mechanical",
        source: "IRC M1501.1: exhaust goes outdoors; the agreement is common practice, no source",
        wants: &[
            ("Owner", Confirm("kitchen, laundry and every bath has an exhaust fan on the plan")),
            ("Electrician", Confirm("the place of each fan")),
            ("HVAC", Confirm("a duct route from each fan to the outdoors")),
        ],
    },
    UsualGate {
        key: "roughs_passed",
        name: "Rough work passed before framing",
        before: "framing_check",
        source: "IRC R109.1.4: frame after rough plumbing, mechanical and electrical are approved",
        wants: &[
            ("Plumber", AllFinished("plumbing_check")),
            ("HVAC", AllFinished("mechanical_check")),
            ("Electrician", AllFinished("electrical_check")),
        ],
    },
    UsualGate {
        key: "inside_walls",
        name: "Insulation inside the house decided",
        before: "insulation",
        source: "common practice, no source: it is optional, for sound",
        wants: &[("Owner", Confirm("inside walls with or without insulation; it is optional, for sound"))],
    },
    UsualGate {
        key: "cover_up",
        name: "Ready to close the walls",
        before: "hang_board",
        source: "IRC R109.1.2 and R109.1.4; insulation by local energy code",
        wants: &[
            ("Carpenter", AllFinished("framing_check")),
            ("Plumber", AllFinished("plumbing_check")),
            ("Electrician", AllFinished("electrical_check")),
            ("HVAC", AllFinished("mechanical_check")),
            ("Insulator", AllFinished("insulation_check")),
            ("Plumber", Parts("rough_plumbing", BuiltIn)),
            ("HVAC", Parts("rough_mechanical", BuiltIn)),
            ("Electrician", Parts("rough_electrical", BuiltIn)),
            ("", Parts(OTHER_IN_WALL, BuiltIn)),
        ],
    },
    UsualGate {
        key: "texture",
        name: "Wall texture decided",
        before: "prime",
        source: "common practice, no source: raking light shows patchwork; matching costs less than redoing",
        wants: &[(
            "Drywall",
            Confirm("texture matched or redone, looked at in raking light, with its price"),
        )],
    },
    UsualGate {
        key: "template_ready",
        name: "Ready to measure tops",
        before: "template",
        source: "common practice, no source: what the top must fit is there; 5 to 12 working days to the set top",
        wants: &[
            ("Carpenter", AllFinished("base_cabinets")),
            ("Carpenter", Confirm("base cabinets level, shimmed and fixed")),
            ("", Selections(&["sink", "faucet", "cooktop", "air gap"])),
            ("", Parts("template", OnSite)),
            (
                "Top shop",
                Confirm("the list of cut-outs: sink, faucet, cooktop, air gap and others, all on site"),
            ),
        ],
    },
    UsualGate {
        key: "dust_over",
        name: "Dusty work over before ducts are cleaned",
        before: "duct_cleaning",
        source: PRACTICE,
        wants: &[
            ("", AllFinished("finish_board")),
            (
                "HVAC",
                Confirm(
                    "how: old slip-jointed ducts by vacuum at every register and both plenums, a whip only where \
                     they are screwed",
                ),
            ),
        ],
    },
    UsualGate {
        key: "ducts_clean",
        name: "Ducts clean before heat runs",
        before: "start_heat",
        source: PRACTICE,
        wants: &[("HVAC", AllFinished("duct_cleaning"))],
    },
];

/// A gate that could be added.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proposal {
    /// The gate, with numbers from the counter of the project on.
    pub gate: Gate,
    /// What of the usual list found nothing in this project, in words.
    pub left_out: Vec<String>,
}

/// The usual gates that fit a project: those whose phase was found and has not begun, each with what was found for it.
/// A gate whose key is there already is not proposed again.
pub fn propose(project: &Project) -> Vec<Proposal> {
    let mut next = project.next_id;
    let mut fresh = || {
        next = next.saturating_add(1);
        next - 1
    };
    let graph = Graph::new(project);
    let mut proposals = Vec::new();
    for row in ROWS {
        let begun = |p: &Phase| p.actual_start.is_some() || p.finished_on().is_some();
        let Some(phase) = of_sort(project, row.before).into_iter().find(|p| !begun(p)) else { continue };
        let new_house = project.settings.year_built.is_some_and(|year| year > ASBESTOS_YEAR);
        if project.gates.iter().any(|g| g.key == row.key) || (row.key == "survey" && new_house) {
            continue;
        }
        let behind = project.phase_at(phase.id).map_or(Vec::new(), |at| graph.behind(at));
        let id = GateId(fresh());
        let mut conditions = Vec::new();
        let mut left_out = Vec::new();
        for (who, wants) in row.wants {
            let needs = needs(project, wants, phase, &behind);
            if needs.is_empty() && !matches!(wants, Parts(OTHER_IN_WALL, _)) {
                left_out.push(words(wants));
            }
            for need in needs {
                let who = (*who).to_owned();
                conditions.push(Condition { id: ConditionId(fresh()), need, who, by: None });
            }
        }
        if conditions.is_empty() {
            continue;
        }
        let key = key_from_name(row.key, project.gates.iter().map(|g| g.key.as_str()));
        let (name, source) = (row.name.to_owned(), row.source.to_owned());
        proposals
            .push(Proposal { gate: Gate { id, key, phase: phase.id, name, source, conditions }, left_out });
    }
    proposals
}

/// Puts the usual gates into a project.
pub fn add_starter_gates(project: &mut Project) {
    for Proposal { gate, .. } in propose(project) {
        let most = gate.conditions.iter().map(|c| c.id.0).fold(gate.id.0, u32::max);
        project.next_id = project.next_id.max(most + 1);
        std::sync::Arc::make_mut(&mut project.gates).push(gate);
    }
}

fn needs(project: &Project, wants: &Wants, phase: &Phase, behind: &[bool]) -> Vec<Need> {
    let comes_behind = |id: &PhaseId| project.phase_at(*id).is_some_and(|at| behind.get(at) == Some(&true));
    let found = |sort: &str| of_sort(project, sort).into_iter().map(|p| p.id);
    match wants {
        AllFinished(sort) => found(sort).filter(|id| !comes_behind(id)).map(Need::Finished).collect(),
        // What is needed for the phase itself can be on site before it, not built in.
        Parts(sort, presence) => found(sort)
            .filter(|id| !comes_behind(id) || (*id == phase.id && *presence == OnSite))
            .map(|phase| Need::PartsOf { phase, presence: *presence })
            .collect(),
        Selections(words) => {
            let in_kitchen = |id| {
                project
                    .room(id)
                    .is_some_and(|r| format!("{} {}", r.key, r.name).to_lowercase().contains("kitchen"))
            };
            let named = |name: &str| words.iter().any(|w| name.to_lowercase().contains(w));
            let fitting = project.selections.iter().filter(|s| in_kitchen(s.room) && named(&s.name));
            fitting
                .map(|s| Need::Selection { selection: s.id, scope: Scope::All, presence: OnSite })
                .collect()
        }
        Confirm(what) => {
            vec![Need::Confirmed { what: (*what).to_owned(), said_by: String::new(), said_on: None }]
        }
    }
}

fn words(wants: &Wants) -> String {
    match wants {
        AllFinished(sort) => format!("{} finished", sort.replace('_', " ")),
        Parts(sort, presence) => format!("parts of {} {}", sort.replace('_', " "), presence.words()),
        Selections(words) => format!("kitchen {} on site", words.join(", ")),
        Confirm(what) => (*what).to_owned(),
    }
}

/// The phases of a sort: the one with the key of the starter list and others with its words, in document order.
fn of_sort<'a>(project: &'a Project, key: &str) -> Vec<&'a Phase> {
    let Some(sort) = SORTS.iter().find(|s| s.key == key) else { return Vec::new() };
    let fits = |p: &&Phase| {
        if p.kind != sort.kind {
            return false;
        }
        let text = format!("{} {}", p.key, p.name).to_lowercase();
        let words: Vec<&str> = text.split(|c: char| !c.is_alphanumeric()).collect();
        let holds = |sign: &&str| words.iter().any(|w| w.starts_with(sign));
        let named = sort.words.iter().any(|row| row.iter().all(&holds));
        let by_role = match p.role {
            PhaseRole::CoverUp => sort.key == "hang_board",
            PhaseRole::Template => sort.key == "template",
            PhaseRole::InWall => sort.key == OTHER_IN_WALL,
            PhaseRole::Plain => false,
        };
        p.key == sort.key || ((by_role || named) && !sort.not.iter().any(holds))
    };
    project.phases.iter().filter(fits).collect()
}

/// What can hurt in a phase of the starter list.
pub fn hazards_of_starter(key: &str) -> Vec<Hazard> {
    use Hazard::{Asbestos, DuctDust, Electrical, Exhaust, Gas, Ladders, Lead, MakeupAir, Silica, Structure};
    match key {
        "demolition" => vec![Lead, Asbestos, Silica, Electrical, Structure],
        "framing" => vec![Structure, Ladders],
        "rough_plumbing" => vec![Gas],
        "rough_mechanical" => vec![Exhaust, MakeupAir, Asbestos, Ladders],
        "rough_electrical" => vec![Electrical, Ladders],
        "insulation" => vec![Asbestos, Ladders],
        "hang_board" => vec![Ladders],
        "finish_board" => vec![Ladders, DuctDust],
        "waterproofing" | "tile" | "grout" | "fabricate" | "install_tops" => vec![Silica],
        "prime" => vec![Ladders],
        "flooring" => vec![Asbestos, DuctDust],
        "doors_trim" => vec![Lead],
        "paint" => vec![Lead, Ladders],
        "finish_plumbing" => vec![Gas],
        "finish_electrical" => vec![Electrical, Ladders, Exhaust],
        "appliances" => vec![Electrical, Gas, MakeupAir],
        "duct_cleaning" => vec![DuctDust, Asbestos, Gas],
        _ => Vec::new(),
    }
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
        let own = |r: &UsualGate| SORTS.iter().any(|s| s.key == r.before) && r.before != "start_heat";
        assert_eq!(keys, ROWS.iter().filter(|r| own(r)).map(|r| r.key).collect::<Vec<_>>());
        assert_eq!(propose(&project), [], "what is there is not proposed again");
        assert!(ROWS.iter().all(|r| !r.source.is_empty()));
    }
}
