//! A starter list of phases for a new project: the usual order of a remodel, to be edited. How long a phase takes is
//! blank: nobody has said.
//!
//! The order is common practice, no source, where none is named; local code decides.

use super::ids::{LinkId, PhaseId};
use super::phase::{LagUnit, Link, LinkKind, Phase, PhaseKind};
use super::project::Project;
use super::work::Work;
use rust_decimal::Decimal;
use std::sync::Arc;

use LagUnit::{Elapsed, Working};
use PhaseKind::{Inspection, Milestone};

/// A phase that comes first, by its key, and the calendar days that something dries, cures or runs after it.
struct After(&'static str, i32);

/// A phase: key, name, trade, kind, kind of work, and what it follows.
struct Row(&'static str, &'static str, &'static str, PhaseKind, Option<Work>, &'static [After]);

const fn work(
    key: &'static str,
    name: &'static str,
    trade: &'static str,
    work: Work,
    follows: &'static [After],
) -> Row {
    Row(key, name, trade, PhaseKind::Work, Some(work), follows)
}

/// How often a visit of an inspector fails where nobody has said it, in percent.
///
/// Common practice, no source: no count of failed visits of remodels is published. It is one in ten, so that what may come
/// is not taken for what surely comes; whoever knows the inspector writes another number.
const FAIL_PCT: u32 = 10;

const fn check(key: &'static str, name: &'static str, of: Work, follows: &'static [After]) -> Row {
    Row(key, name, "Inspector", Inspection, Some(of), follows)
}

/// Straight after.
const fn on(key: &'static str) -> After {
    After(key, 0)
}

/// Calendar days after.
const fn days(key: &'static str, days: i32) -> After {
    After(key, days)
}

const ROWS: &[Row] = &[
    Row("permit", "Permits in hand", "Owner", Milestone, None, &[]),
    work("demolition", "Demolition", "Demolition", Work::Demolition, &[on("permit")]),
    work("framing", "Framing", "Carpenter", Work::Framing, &[on("demolition")]),
    work("windows", "Windows and exterior doors", "Carpenter", Work::Windows, &[on("framing")]),
    work("rough_plumbing", "Rough plumbing", "Plumber", Work::RoughPlumbing, &[on("framing")]),
    work("gas_piping", "Gas piping", "Plumber", Work::GasPiping, &[on("framing")]),
    work("rough_mechanical", "Rough ducts and fans", "HVAC", Work::Ducts, &[on("framing")]),
    work(
        "rough_electrical",
        "Rough electrical",
        "Electrician",
        Work::RoughElectrical,
        &[on("rough_plumbing"), on("rough_mechanical")],
    ),
    // Rough plumbing, mechanical, gas and electrical are approved before framing is inspected, and all of it before
    // it is covered (IRC R109.1.2, R109.1.4).
    check("plumbing_check", "Rough plumbing inspection", Work::RoughPlumbing, &[on("rough_plumbing")]),
    check("gas_check", "Gas pressure test", Work::GasPiping, &[on("gas_piping")]),
    check("mechanical_check", "Rough mechanical inspection", Work::Ducts, &[on("rough_mechanical")]),
    check(
        "electrical_check",
        "Rough electrical inspection",
        Work::RoughElectrical,
        &[on("rough_electrical")],
    ),
    check(
        "framing_check",
        "Framing inspection",
        Work::Framing,
        &[on("plumbing_check"), on("gas_check"), on("mechanical_check"), on("electrical_check")],
    ),
    work("insulation", "Insulation", "Insulator", Work::Insulation, &[on("framing_check"), on("windows")]),
    check("insulation_check", "Insulation inspection", Work::Insulation, &[on("insulation")]),
    work("drywall", "Hang drywall", "Drywall", Work::Drywall, &[on("insulation_check")]),
    work("temporary_heat", "Temporary heat for finishing", "Owner", Work::TemporaryHeat, &[on("drywall")]),
    // 50 F from 48 hours before until the compound is dry (ASTM C840 section 4).
    work(
        "taping",
        "Tape and finish drywall",
        "Drywall",
        Work::Taping,
        &[on("drywall"), days("temporary_heat", 2)],
    ),
    work("texture", "Wall texture", "Drywall", Work::Texture, &[days("taping", 1)]),
    work("prime", "Prime", "Painter", Work::Prime, &[days("texture", 1)]),
    work("tile_backer", "Tile backer and niches", "Tile setter", Work::TileBacker, &[on("drywall")]),
    work(
        "waterproofing",
        "Waterproof showers and wet walls",
        "Tile setter",
        Work::Waterproofing,
        &[on("tile_backer")],
    ),
    check("pan_check", "Shower pan flood test", Work::Waterproofing, &[days("waterproofing", 1)]),
    work("tile", "Set tile", "Tile setter", Work::Tile, &[on("pan_check")]),
    work("grout", "Grout and seal tile", "Tile setter", Work::Grout, &[days("tile", 1)]),
    work("equipment", "Set heating and cooling equipment", "HVAC", Work::Equipment, &[on("drywall")]),
    work("duct_cleaning", "Clean ducts", "HVAC", Work::DuctCleaning, &[on("texture"), on("tile")]),
    work(
        "start_heat",
        "Start heating and cooling",
        "HVAC",
        Work::StartHeat,
        &[on("duct_cleaning"), on("equipment")],
    ),
    // Heating and cooling run at least 5 days before wood flooring is delivered (guidance of the wood flooring trade).
    Row(
        "floor_delivery",
        "Wood flooring delivered to acclimate",
        "Flooring",
        Milestone,
        Some(Work::FloorDelivery),
        &[days("start_heat", 5), on("prime")],
    ),
    work(
        "flooring",
        "Wood flooring",
        "Flooring",
        Work::Flooring,
        &[days("floor_delivery", 3), days("grout", 1)],
    ),
    work("base_cabinets", "Set kitchen cabinets", "Cabinet setter", Work::Cabinets, &[on("flooring")]),
    work(
        "vanities",
        "Set vanities and laundry cabinets",
        "Cabinet setter",
        Work::Cabinets,
        &[on("flooring"), days("grout", 1)],
    ),
    work(
        "template",
        "Template countertops",
        "Countertop shop",
        Work::CountertopTemplate,
        &[on("base_cabinets"), on("vanities")],
    ),
    work(
        "fabrication",
        "Cut and finish countertops",
        "Countertop shop",
        Work::Fabrication,
        &[on("template")],
    ),
    work("countertops", "Set countertops", "Countertop shop", Work::Countertop, &[on("fabrication")]),
    work(
        "backsplash",
        "Set and grout backsplash",
        "Tile setter",
        Work::Backsplash,
        &[days("countertops", 1)],
    ),
    work("doors_trim", "Interior doors and trim", "Carpenter", Work::Trim, &[on("flooring"), on("prime")]),
    work("stairs", "Stair parts and railings", "Carpenter", Work::Stairs, &[on("flooring")]),
    work(
        "paint",
        "Paint",
        "Painter",
        Work::Paint,
        &[on("doors_trim"), on("base_cabinets"), on("vanities"), on("stairs")],
    ),
    work(
        "finish_plumbing",
        "Finish plumbing",
        "Plumber",
        Work::FinishPlumbing,
        &[days("countertops", 1), days("backsplash", 1), on("paint")],
    ),
    work(
        "finish_electrical",
        "Finish electrical",
        "Electrician",
        Work::FinishElectrical,
        &[on("paint"), days("backsplash", 1)],
    ),
    work(
        "finish_mechanical",
        "Grilles, hood and controls",
        "HVAC",
        Work::FinishMechanical,
        &[on("paint"), on("start_heat")],
    ),
    work("shower_glass", "Shower glass", "Glazier", Work::Glass, &[days("grout", 1), on("paint")]),
    work(
        "appliances",
        "Set appliances",
        "Owner",
        Work::Appliances,
        &[on("finish_plumbing"), on("finish_electrical")],
    ),
    work("closets", "Closet systems and blinds", "Owner", Work::Closets, &[on("paint")]),
    work("accessories", "Mirrors, accessories and hardware", "Owner", Work::Accessories, &[on("paint")]),
    Row(
        "final_check",
        "Final inspection",
        "Inspector",
        Inspection,
        None,
        &[on("appliances"), on("finish_mechanical"), on("shower_glass"), on("stairs")],
    ),
    work(
        "punch_list",
        "Punch list and clean",
        "Owner",
        Work::PunchList,
        &[on("final_check"), on("closets"), on("accessories")],
    ),
    Row("done", "Move back in", "Owner", Milestone, None, &[on("punch_list")]),
];

/// Puts the starter phases and their links into a project that has none.
pub fn add_starter_phases(project: &mut Project) {
    let mut phases: Vec<Phase> = Vec::with_capacity(ROWS.len());
    let mut links = Vec::new();
    for Row(key, name, trade, kind, work, follows) in ROWS {
        let id = PhaseId(project.fresh_id());
        let mut phase = Phase { trade: (*trade).to_owned(), kind: *kind, ..Phase::new(id, key, name, None) };
        phase.work = *work;
        if let Some(work) = work.filter(|_| *kind == PhaseKind::Work) {
            phase.role = work.role();
        }
        phase.fail_pct = (*kind == Inspection).then(|| Decimal::from(FAIL_PCT));
        phases.push(phase);
        for After(before, lag) in *follows {
            if let Some(before) = phases.iter().find(|p| p.key == *before).map(|p| p.id) {
                let link = LinkId(project.fresh_id());
                let unit = if *lag == 0 { Working } else { Elapsed };
                links.push(Link { id: link, before, after: id, kind: LinkKind::FS, lag: *lag, unit });
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
        assert_eq!(project.links.len(), ROWS.iter().map(|r| r.5.len()).sum::<usize>(), "every link is found");
        assert_eq!(validate::document(&project), Vec::<String>::new());
        assert_eq!(crate::model::graph::circle_names(&project, std::iter::empty(), None), None);
        for phase in project.phases.iter() {
            assert_eq!(phase.days, None, "{}: nobody has said", phase.key);
            // Common practice, no source; only visits can fail.
            let fails = (phase.kind == Inspection).then(|| Decimal::from(FAIL_PCT));
            assert_eq!(phase.fail_pct, fails, "{}", phase.key);
            // Whoever reads an older file without kinds of work finds the same by the name.
            let told = Work::guess(&phase.name);
            assert!(phase.work == told || phase.key == "equipment", "{}: {told:?}", phase.name);
        }
    }
}
