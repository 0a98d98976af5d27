//! A starter list of phases for a new project: the usual order of a remodel, to be edited.
//!
//! The order of sign-offs before walls are closed is common practice, no source; local code decides.

use super::ids::{LinkId, PhaseId};
use super::phase::{LagUnit, Link, LinkKind, Phase, PhaseKind, PhaseRole};
use super::project::Project;
use super::starter_gates::{self, TOPS_DAYS};
use std::sync::Arc;

use LagUnit::{Elapsed, Working};
use PhaseKind::{Inspection, Milestone, Work};

/// Key, name, trade, kind, working days, and the phases it follows with the lag after each.
type StarterPhase =
    (&'static str, &'static str, &'static str, PhaseKind, i32, &'static [(&'static str, i32, LagUnit)]);

const ROWS: &[StarterPhase] = &[
    ("permit", "Permit in hand", "Owner", Milestone, 0, &[]),
    ("demolition", "Demolition", "Demolition", Work, 5, &[("permit", 0, Working)]),
    ("framing", "Framing", "Carpenter", Work, 5, &[("demolition", 0, Working)]),
    ("rough_plumbing", "Rough plumbing", "Plumber", Work, 4, &[("framing", 0, Working)]),
    ("rough_mechanical", "Rough ducts and fans", "HVAC", Work, 3, &[("framing", 0, Working)]),
    (
        "rough_electrical",
        "Rough electrical",
        "Electrician",
        Work,
        4,
        &[("rough_plumbing", 0, Working), ("rough_mechanical", 0, Working)],
    ),
    ("plumbing_check", "Plumbing sign-off", "Inspector", Inspection, 1, &[("rough_plumbing", 0, Working)]),
    (
        "mechanical_check",
        "Mechanical sign-off",
        "Inspector",
        Inspection,
        1,
        &[("rough_mechanical", 0, Working)],
    ),
    (
        "electrical_check",
        "Electrical sign-off",
        "Inspector",
        Inspection,
        1,
        &[("rough_electrical", 0, Working)],
    ),
    (
        "framing_check",
        "Framing sign-off",
        "Inspector",
        Inspection,
        1,
        &[("plumbing_check", 0, Working), ("mechanical_check", 0, Working), ("electrical_check", 0, Working)],
    ),
    ("insulation", "Insulation", "Insulator", Work, 2, &[("framing_check", 0, Working)]),
    ("insulation_check", "Insulation sign-off", "Inspector", Inspection, 1, &[("insulation", 0, Working)]),
    ("hang_board", "Hang board", "Drywall", Work, 4, &[("insulation_check", 0, Working)]),
    ("finish_board", "Tape and finish board", "Drywall", Work, 6, &[("hang_board", 0, Working)]),
    ("prime", "Prime", "Painter", Work, 1, &[("finish_board", 1, Elapsed)]),
    ("waterproofing", "Waterproof wet walls", "Tile setter", Work, 1, &[("hang_board", 0, Working)]),
    ("tile", "Set tile", "Tile setter", Work, 5, &[("waterproofing", 1, Elapsed)]),
    ("grout", "Grout", "Tile setter", Work, 1, &[("tile", 1, Elapsed)]),
    ("flooring", "Flooring", "Flooring", Work, 4, &[("prime", 0, Working), ("grout", 1, Elapsed)]),
    ("base_cabinets", "Set base cabinets", "Carpenter", Work, 3, &[("flooring", 0, Working)]),
    ("template", "Template tops", "Top shop", Work, 1, &[("base_cabinets", 0, Working)]),
    ("fabricate", "Cut and finish tops", "Top shop", Work, 9, &[("template", 0, Working)]),
    ("install_tops", "Set tops", "Top shop", Work, 1, &[("fabricate", 0, Working)]),
    ("doors_trim", "Doors and trim", "Carpenter", Work, 4, &[("flooring", 0, Working)]),
    ("paint", "Paint", "Painter", Work, 4, &[("doors_trim", 0, Working), ("base_cabinets", 0, Working)]),
    (
        "finish_plumbing",
        "Finish plumbing",
        "Plumber",
        Work,
        2,
        &[("install_tops", 1, Elapsed), ("paint", 0, Working)],
    ),
    ("finish_electrical", "Finish electrical", "Electrician", Work, 2, &[("paint", 0, Working)]),
    (
        "appliances",
        "Appliances",
        "Owner",
        Work,
        1,
        &[("finish_plumbing", 0, Working), ("finish_electrical", 0, Working)],
    ),
    ("duct_cleaning", "Clean ducts and start heat", "HVAC", Work, 1, &[("paint", 0, Working)]),
    (
        "final_check",
        "Final sign-off",
        "Inspector",
        Inspection,
        1,
        &[("appliances", 0, Working), ("duct_cleaning", 0, Working)],
    ),
    ("punch_list", "Punch list", "Owner", Work, 3, &[("final_check", 0, Working)]),
    ("done", "Move back in", "Owner", Milestone, 0, &[("punch_list", 0, Working)]),
];

/// What the starter phases do to choices that change later (common practice, no source).
fn role_of(key: &str) -> PhaseRole {
    match key {
        "rough_plumbing" | "rough_mechanical" | "rough_electrical" | "insulation" => PhaseRole::InWall,
        "hang_board" => PhaseRole::CoverUp,
        "template" => PhaseRole::Template,
        _ => PhaseRole::Plain,
    }
}

/// Puts the starter phases and their links into a project that has none.
pub fn add_starter_phases(project: &mut Project) {
    let mut phases: Vec<Phase> = Vec::with_capacity(ROWS.len());
    let mut links = Vec::new();
    for (key, name, trade, kind, days, follows) in ROWS {
        let id = PhaseId(project.fresh_id());
        let mut phase = Phase { trade: (*trade).to_owned(), kind: *kind, ..Phase::new(id, key, name, *days) };
        phase.hazards = Some(starter_gates::hazards_of_starter(key));
        phase.role = role_of(key);
        if *key == "fabricate" {
            (phase.days_min, phase.days_max) = (Some(TOPS_DAYS.0), Some(TOPS_DAYS.1));
        }
        phases.push(phase);
        for (before, lag, unit) in *follows {
            if let Some(before) = phases.iter().find(|p| p.key == *before).map(|p| p.id) {
                let link = LinkId(project.fresh_id());
                links.push(Link { id: link, before, after: id, kind: LinkKind::FS, lag: *lag, unit: *unit });
            }
        }
    }
    project.phases = Arc::new(phases);
    project.links = Arc::new(links);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::validate;

    #[test]
    fn the_starter_list_is_sound_and_whole() {
        let mut project = Project::new("New", chrono::NaiveDate::from_ymd_opt(2026, 1, 5).unwrap());
        add_starter_phases(&mut project);
        assert_eq!(project.links.len(), ROWS.iter().map(|r| r.5.len()).sum::<usize>());
        assert_eq!(validate::document(&project), Vec::<String>::new());
        assert_eq!(crate::model::graph::circle_names(&project, std::iter::empty(), None), None);
        let settles = project.phases.iter().filter(|p| !p.role.is_plain()).count();
        assert_eq!(settles, 6, "every key that has a role is in the list");
    }
}
