//! Readiness and cautions against values from outside: sections of codes and rules with their editions, and practice of
//! the trade, marked as such.

mod support;

use needline::engine::cautions::cautions;
use needline::model::caution::*;
use needline::model::starter::add_starter_phases;
use needline::model::starter_gates::{COUNTERTOP_DAYS, IN_WALL_WEEKS, add_starter_gates, propose};
use needline::model::*;
use rust_decimal::Decimal;
use std::collections::HashSet;
use support::*;

/// A new project with the usual phases and gates.
fn new_house(year: Option<i32>) -> Project {
    let mut p = project("2026-01-05");
    p.settings.year_built = year;
    add_starter_phases(&mut p);
    add_starter_gates(&mut p);
    p
}

fn starter_gate<'a>(p: &'a Project, key: &str) -> &'a Gate {
    p.gates.iter().find(|g| g.key == key).unwrap_or_else(|| panic!("no gate {key}"))
}

fn finished_before(p: &Project, gate: &str) -> HashSet<String> {
    let needs = starter_gate(p, gate).conditions.iter().map(|c| &c.need);
    let phases = needs.filter_map(|n| match n {
        Need::Finished(id) => p.phase(*id).map(|f| f.key.clone()),
        _ => None,
    });
    phases.collect()
}

fn asks(p: &Project, gate: &str, words: &str) -> bool {
    let needs = starter_gate(p, gate).conditions.iter().map(|c| &c.need);
    needs.into_iter().any(|n| matches!(n, Need::Confirmed { what, .. } if what.contains(words)))
}

fn keys(all: &[&str]) -> HashSet<String> {
    all.iter().map(|k| (*k).to_owned()).collect()
}

/// Inspection order of the residential code, IRC R109.1.2 and R109.1.4 (2024 edition; the order is in R109 of earlier
/// ones): rough plumbing, mechanical, gas and electrical are approved before framing is inspected, and all before covering.
/// That insulation is signed off before drywall too is from a state example with an energy step.
#[test]
fn inspections_come_in_the_order_of_the_code() {
    let p = new_house(Some(1962));
    let roughs = keys(&["plumbing_check", "gas_check", "mechanical_check", "electrical_check"]);
    assert_eq!(finished_before(&p, "roughs_passed"), roughs);
    assert_eq!(starter_gate(&p, "roughs_passed").phase, phase_id(&p, "framing_check"));
    let mut all = roughs;
    all.extend(keys(&["framing_check", "insulation_check"]));
    assert_eq!(finished_before(&p, "cover_up"), all);
    assert_eq!(starter_gate(&p, "cover_up").phase, phase_id(&p, "drywall"));
    assert!(starter_gate(&p, "cover_up").source.contains("R109.1.2"));
}

/// In-wall plumbing parts are ordered 5 to 6 weeks before the sign-off that closes the wall (common practice, no
/// source); every in-wall body is on site and set before it.
#[test]
fn in_wall_bodies_are_there_and_set_before_their_sign_off() {
    assert_eq!(IN_WALL_WEEKS, (5, 6));
    let p = new_house(None);
    let rough = phase_id(&p, "rough_plumbing");
    let needs = |gate: &str, presence| {
        let wanted = Need::PartsOf { phase: rough, presence };
        starter_gate(&p, gate).conditions.iter().any(|c| c.need == wanted)
    };
    assert!(needs("in_wall_on_site", Presence::OnSite));
    assert!(needs("in_wall_set", Presence::BuiltIn));
    assert!(needs("cover_up", Presence::BuiltIn));
    let source = &starter_gate(&p, "in_wall_on_site").source;
    assert!(source.contains("5 to 6 weeks") && source.contains("common practice, no source"));
}

/// Exhaust fans belong in kitchens, laundries and bathrooms and must reach the outdoors, so the two trades agree the
/// place before it is set (common practice, no source; outdoors: IRC M1501.1, 2021).
#[test]
fn fan_places_are_agreed_by_both_trades_with_a_route_outdoors() {
    let p = new_house(None);
    let gate = starter_gate(&p, "fan_places");
    assert_eq!(gate.phase, phase_id(&p, "rough_mechanical"));
    let who: Vec<&str> = gate.conditions.iter().map(|c| c.who.as_str()).collect();
    assert!(who.contains(&"Electrician") && who.contains(&"HVAC"));
    assert!(asks(&p, "fan_places", "kitchen, laundry and every bath"));
    assert!(asks(&p, "fan_places", "to the outdoors"));
    assert!(gate.source.contains("M1501.1"));
}

/// Countertops are measured after every cabinet under one is set, vanities and laundry cabinets too, with everything they
/// must fit on hand (common practice, no source). Shops say 5 to 10 working days from template to set countertop, others
/// 7 to 12 for the shop alone: a range of 5 to 12.
#[test]
fn countertops_are_measured_with_everything_they_fit_on_hand() {
    let p = new_house(None);
    assert_eq!(finished_before(&p, "template_ready"), keys(&["base_cabinets", "vanities"]));
    assert!(asks(&p, "template_ready", "level, shimmed and fixed"));
    assert!(asks(&p, "template_ready", "sink, faucet, cooktop, air gap and others"));
    let wanted = Need::PartsOf { phase: phase_id(&p, "template"), presence: Presence::OnSite };
    assert!(starter_gate(&p, "template_ready").conditions.iter().any(|c| c.need == wanted), "all on site");
    assert_eq!(COUNTERTOP_DAYS, (5, 12));
    assert!(starter_gate(&p, "template_ready").source.contains("5 to 12 working days"));
}

/// Gypsum board is finished at 50 F or more, from 48 hours before until the compound is dry (ASTM C840 section 4). A
/// shower liner is tested with 2 inches of water for 15 minutes or longer before it is covered (IPC 312.9). Heating and
/// cooling run at least 5 days before wood flooring is delivered (guidance of the wood flooring trade).
#[test]
fn heat_pan_and_floor_have_their_gates() {
    let p = new_house(None);
    assert_eq!(finished_before(&p, "heat_for_finishing"), keys(&["temporary_heat"]));
    assert!(
        asks(&p, "heat_for_finishing", "50 F or more") && asks(&p, "heat_for_finishing", "two days before")
    );
    assert_eq!(starter_gate(&p, "heat_for_finishing").phase, phase_id(&p, "taping"));
    assert_eq!(finished_before(&p, "pan_tested"), keys(&["pan_check"]));
    assert_eq!(starter_gate(&p, "pan_tested").phase, phase_id(&p, "tile"));
    assert!(starter_gate(&p, "pan_tested").source.contains("312.9"));
    assert_eq!(finished_before(&p, "floor_climate"), keys(&["start_heat"]));
    assert_eq!(starter_gate(&p, "floor_climate").phase, phase_id(&p, "floor_delivery"));
    assert_eq!(finished_before(&p, "ducts_clean"), keys(&["duct_cleaning"]));
}

/// Old slip-jointed ducts are cleaned by vacuum at every register and both plenums, whips are for screwed systems;
/// texture in raking light shows patchwork, matching costs less than redoing; insulation in inside walls is optional,
/// for sound (all common practice, no source).
#[test]
fn practice_of_the_trade_is_in_the_starter_gates() {
    let p = new_house(None);
    assert!(asks(&p, "dust_over", "slip-jointed ducts by vacuum at every register and both plenums"));
    assert!(asks(&p, "dust_over", "a whip only where they are screwed"));
    assert_eq!(
        finished_before(&p, "dust_over"),
        keys(&["taping", "texture", "tile"]),
        "later dust is kept out"
    );
    assert!(asks(&p, "dust_over", "cut outdoors"));
    // Before drywall is bid, and before taping ends at the latest.
    assert!(asks(&p, "texture", "matched or redone") && asks(&p, "texture", "raking light"));
    assert!(asks(&p, "texture", "in the bid"));
    assert_eq!(starter_gate(&p, "texture").phase, phase_id(&p, "taping"));
    assert!(starter_gate(&p, "texture").source.contains("matching costs less than redoing"));
    assert!(asks(&p, "inside_walls", "optional, for sound"));
    for gate in p.gates.iter() {
        assert!(!gate.source.is_empty(), "{} says where it comes from", gate.key);
    }
}

/// The usual gates fit phases that were named by somebody else, leave out what has begun, and say what found nothing.
#[test]
fn usual_gates_are_found_by_words_and_never_for_what_has_begun() {
    let mut p = project("2026-06-01");
    add_phases(
        &mut p,
        [("rough1", 3, ""), ("insp1", 1, "rough1"), ("walls", 4, "insp1"), ("stone", 1, "walls")],
    );
    for (key, name, kind) in [
        ("rough1", "Plumbing rough-in", PhaseKind::Work),
        ("insp1", "Plumbing inspection", PhaseKind::Inspection),
        ("walls", "Hang drywall", PhaseKind::Work),
        ("stone", "Template for countertops", PhaseKind::Work),
    ] {
        edit_phase(&mut p, key, |f| (f.name, f.kind) = (name.to_owned(), kind));
    }
    let found = propose(&p);
    let gates: Vec<&str> = found.iter().map(|g| g.gate.key.as_str()).collect();
    assert_eq!(gates, ["in_wall_on_site", "in_wall_set", "cover_up", "texture", "template_ready"]);
    let cover = &found[2];
    assert_eq!(cover.gate.phase, phase_id(&p, "walls"));
    assert!(cover.left_out.contains(&"framing inspection finished".to_owned()), "{:?}", cover.left_out);
    let actions = found.iter().map(|g| Action::PutGate(g.gate.clone())).collect();
    let with = p.apply(&Action::Batch { label: "usual".to_owned(), actions }).unwrap();
    assert_eq!(with.gates.len(), 5);
    assert_eq!(propose(&with), []);
    edit_phase(&mut p, "rough1", |f| f.actual_start = Some(date("2026-06-01")));
    assert!(propose(&p).iter().all(|g| g.gate.key != "in_wall_on_site"));
}

/// Every phase that closes walls gets its gate, also where another has one; so does every template (common practice, no
/// source).
#[test]
fn a_second_cover_up_has_a_gate_of_its_own() {
    let mut p = new_house(Some(1962));
    edit_phase(&mut p, "tile_backer", |f| f.role = PhaseRole::CoverUp);
    let found = propose(&p);
    assert_eq!(found.len(), 1);
    let gate = &found[0].gate;
    assert_eq!(gate.phase, phase_id(&p, "tile_backer"));
    assert!(gate.key != "cover_up" && gate.name.contains("Tile backer"), "{} {}", gate.key, gate.name);
    let built_in = |c: &&Condition| matches!(c.need, Need::PartsOf { presence: Presence::BuiltIn, .. });
    assert!(gate.conditions.iter().filter(built_in).count() >= 3);
    let with = p.apply(&Action::PutGate(gate.clone())).unwrap();
    assert_eq!(propose(&with), []);
    // Both at once, in a project that has none.
    std::sync::Arc::make_mut(&mut p.gates).clear();
    let cover = propose(&p).into_iter().filter(|g| g.gate.key.starts_with("cover_up")).count();
    assert_eq!(cover, 2);
}

/// Target housing is built before 1978: 1977 is, 1978 is not (73 FR 21692).
#[test]
fn lead_paint_is_for_houses_before_1978() {
    assert_eq!([Some(1977), Some(1978), None].map(may_have_lead), [Some(true), Some(false), None]);
    let shown = |year| caution(Hazard::Lead, year).is_some();
    assert_eq!([shown(Some(1900)), shown(Some(1977)), shown(Some(1978))], [true, true, false]);
    assert!(caution(Hazard::Lead, None).unwrap().text.contains("is not noted"), "unknown is taken for older");
    let has_lead = |year| cautions(&new_house(year)).iter().any(|c| c.caution.hazard == Hazard::Lead);
    assert_eq!([has_lead(Some(1977)), has_lead(Some(1978)), has_lead(None)], [true, false, true]);
}

/// Minor repair: 6 sq ft or less in a room, 20 sq ft or less outdoors, no window replaced and no painted surface
/// demolished (40 CFR 745.83).
#[test]
fn the_lead_rule_has_its_thresholds() {
    let cases = [
        ("6", false, [false, false], true),
        ("6.01", false, [false, false], false),
        ("20", true, [false, false], true),
        ("20.5", true, [false, false], false),
        ("1", false, [true, false], false),
        ("1", true, [true, false], false),
        ("1", false, [false, true], false),
        ("1", true, [false, true], false),
    ];
    for (area, outdoors, [window, demolished], minor) in cases {
        let found = is_minor_repair(dec(area), outdoors, window, demolished);
        assert_eq!(found, minor, "{area} sq ft, outdoors {outdoors}");
    }
    let text = caution(Hazard::Lead, Some(1962)).unwrap().text;
    assert!(text.contains("6 sq ft in a room or 20 sq ft outdoors"));
    assert!(text.contains("replaces a window or demolishes painted surface of any size"));
}

/// Where asbestos is found in houses (EPA, asbestos in the home: vermiculite, pipe and duct wrap, joint compound and
/// texture, floor tile with its backing and adhesive, siding). Thermal insulation, surfacing and vinyl or asphalt
/// flooring of 1980 and before are presumed to hold it (29 CFR 1926.1101(b) and (k)(1)).
#[test]
fn asbestos_is_named_where_it_is_found() {
    assert_eq!(ASBESTOS_YEAR, 1980);
    let found = caution(Hazard::Asbestos, Some(1962)).unwrap();
    for material in
        ["texture", "joint compound", "pipe and duct wrap", "vermiculite", "floor tile", "mastic", "siding"]
    {
        assert!(found.text.contains(material), "{material}");
    }
    assert!(found.source.contains("EPA"));
}

/// Circuits that are extended or changed: NEC 210.12(D) in 2017 and 2020, 210.12(E) in 2023.
#[test]
fn arc_fault_protection_of_changed_circuits_names_its_section() {
    let found = caution(Hazard::Electrical, None).unwrap();
    assert!(found.text.contains("arc-fault"));
    assert!(found.source.contains("NEC 210.12(D) (2017, 2020) or 210.12(E) (2023)"), "{}", found.source);
}

/// Bath 50 cfm intermittent or 20 continuous, kitchen 100 or 25: IRC R303.4 and M1507.4 (2012), Table M1505.4.4 from
/// 2018 (table number from memory). Outdoors, not into attic, soffit or crawl space: IRC M1501.1 (2021).
#[test]
fn exhaust_rates_are_those_of_the_code() {
    assert_eq!((BATH_CFM, KITCHEN_CFM), ((50, 20), (100, 25)));
    let text = caution(Hazard::Exhaust, None).unwrap().text;
    assert!(text.contains("bath 50 when switched on or 20 always on; kitchen 100 or 25"), "{text}");
    assert!(text.contains("never into an attic, soffit or crawl space"), "{text}");
}

/// Where a fuel appliance that is neither direct-vent nor vented by mechanical draft is inside the air barrier, a hood
/// that can exhaust more than 400 cfm needs makeup air: 400 passes, 401 does not (IRC 2018 and 2021 M1503.6).
#[test]
fn makeup_air_begins_above_400_where_fuel_is_burned() {
    assert_eq!(["390", "400", "401"].map(|cfm| needs_makeup_air(dec(cfm), true)), [false, false, true]);
    assert!(!needs_makeup_air(dec("1200"), false), "nothing there to draw on");
    assert_eq!(MAKEUP_AIR_CFM, 400);
    let text = caution(Hazard::MakeupAir, None).unwrap().text;
    assert!(
        text.contains("inside the air barrier and is neither direct-vent nor vented by mechanical draft")
    );
}

/// Silica: limit 50, action level 25 micrograms a cubic meter over 8 hours (29 CFR 1926.1153).
#[test]
fn silica_limits_are_those_of_the_rule() {
    let found = caution(Hazard::Silica, None).unwrap();
    assert!(found.text.contains("limit 50, action level 25 micrograms"), "{}", found.text);
    assert_eq!(found.source, "29 CFR 1926.1153");
}

#[test]
fn every_caution_names_its_source_and_who_decides() {
    for (word, hazard) in Hazard::ALL {
        let found = caution(hazard, Some(1962)).unwrap_or_else(|| panic!("no caution for {word}"));
        assert!(found.text.ends_with("Local code and licensed trades decide."), "{word}");
        assert!(!found.source.is_empty() && !found.source.contains("memory") && hazard.word() == word);
    }
    assert!(
        caution(Hazard::Asbestos, Some(1981)).is_none() && caution(Hazard::Asbestos, Some(1980)).is_some()
    );
}

/// What the user says of a phase counts, also that nothing hurts there; else its kind of work does, and where nobody has
/// said that, what its name tells by whole words. What goes with a kind is common practice, no source.
#[test]
fn hazards_that_were_said_beat_those_of_the_kind_of_work() {
    let mut phase = Phase::new(PhaseId(1), "p", "Rough electrical", 3);
    assert_eq!(hazards_of(&phase), [Hazard::Electrical, Hazard::Ladders]);
    phase.work = Some(Work::Glass);
    assert_eq!(hazards_of(&phase), [], "the kind that was said, whatever its name");
    phase.hazards = Some(vec![Hazard::Ladders]);
    assert_eq!(hazards_of(&phase), [Hazard::Ladders]);
    phase.hazards = Some(Vec::new());
    assert_eq!(hazards_of(&phase), []);
    let told = |name: &str| hazards_of(&Phase::new(PhaseId(1), "p", name, 3));
    assert!(told("Demolition").contains(&Hazard::Asbestos) && told("Demolition").contains(&Hazard::Lead));
    assert!(told("Set bath tile").contains(&Hazard::Silica));
    assert!(told("Set furnace").contains(&Hazard::Gas));
    assert!(told("Rough ducts and fans").contains(&Hazard::Exhaust));
    assert_eq!(told("Set heat pump"), [Hazard::Electrical], "it burns no gas");
    assert_eq!(told("Template countertops"), [], "nothing is cut where it is measured");
    assert_eq!(told("Tub glass panel"), [], "glass is no electrical panel");
    let mut check = Phase::new(PhaseId(1), "p", "Electrical sign-off", 1);
    check.kind = PhaseKind::Inspection;
    assert_eq!(hazards_of(&check), [], "a visit hurts nobody");
    assert_eq!(Decimal::from(LEAD_ROOM_SQFT), dec("6"));
}

/// Each shop's list has the cautions of what it sells: no electrical one on glass, no gas on a heat pump, silica on tile
/// (common practice, no source).
#[test]
fn a_part_has_the_cautions_of_its_kind_of_thing() {
    let phase =
        |work| Phase { work: Some(work), ..Phase::new(PhaseId(1), "p", "Finish electrical panel", 3) };
    let of = |name: &str, goods, work| {
        let part = Part { goods, ..Part::new(PartId(2), "x", name) };
        hazards_of_part(&part, Some(&phase(work)))
    };
    assert_eq!(of("Tub glass panel", Some(Goods::FramelessGlass), Work::FinishElectrical), []);
    assert_eq!(of("Quartz", Some(Goods::Countertop), Work::CountertopTemplate), []);
    assert_eq!(of("Heat pump", Some(Goods::Equipment), Work::Equipment), [Hazard::Electrical]);
    assert_eq!(
        of("Furnace", Some(Goods::Equipment), Work::GasPiping),
        [Hazard::Electrical, Hazard::Gas],
        "what is connected to gas"
    );
    assert_eq!(of("Wall tile", Some(Goods::StockTile), Work::Tile), [Hazard::Silica]);
    assert_eq!(of("Bath fan", Some(Goods::Fans), Work::RoughElectrical).first(), Some(&Hazard::Electrical));
    assert!(of("Bath fan", Some(Goods::Fans), Work::RoughElectrical).contains(&Hazard::Exhaust));
    // Of no kind: all that hurts in its phase.
    assert_eq!(of("Wire", None, Work::RoughElectrical), [Hazard::Electrical, Hazard::Ladders]);
    // Where the user said what hurts, nothing else does.
    let said = Phase { hazards: Some(Vec::new()), ..phase(Work::Tile) };
    let tile = Part { goods: Some(Goods::StockTile), ..Part::new(PartId(2), "x", "Tile") };
    assert_eq!(hazards_of_part(&tile, Some(&said)), []);
    assert_eq!(hazards_of_part(&tile, None), [Hazard::Silica]);
}
