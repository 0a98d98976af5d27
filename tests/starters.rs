//! What a new project begins with, against published codes and the order of the trades: phases, gates, what rooms need.
//! What has no source named is common practice, no source.

mod support;

use needline::engine::compute;
use needline::engine::gates::Lack;
use needline::model::graph::Graph;
use needline::model::starter::add_starter_phases;
use needline::model::starter_catalogue::{KINDS, add, kind_of, with_all};
use needline::model::starter_gates::add_starter_gates;
use needline::model::*;
use support::*;

/// A new project as the questions for one make it.
fn new_project(rooms: &[&str], year: Option<i32>, phases: bool) -> Project {
    let mut p = project("2026-03-02");
    p.settings.year_built = year;
    p.settings.hold = 1;
    for name in rooms {
        let id = add_room(&mut p, "12", "10", "8");
        let room = p.rooms.iter().find(|r| r.id == id).unwrap();
        let room =
            Room { name: (*name).to_owned(), key: name.to_lowercase().replace(' ', "_"), ..room.clone() };
        p = p.apply(&Action::PutRoom(room)).unwrap();
    }
    if phases {
        add_starter_phases(&mut p);
        add_starter_gates(&mut p);
    }
    p
}

/// With all that each room usually needs, first candidates and all.
fn with_all_needed(p: Project) -> Project {
    with_all(&p).unwrap()
}

const ROOMS: [&str; 8] = [
    "Kitchen",
    "Powder room",
    "Hall bath",
    "Laundry",
    "Second bedroom",
    "Entry hall",
    "Whole house",
    "Study",
];

fn key(p: &Project, id: Option<PhaseId>) -> &str {
    id.and_then(|id| p.phase(id)).map_or("", |f| &f.key)
}

/// A selection of a new kitchen, bath and so on by its name, with its first part.
fn thing<'a>(p: &'a Project, room: &str, name: &str) -> (&'a Selection, &'a Part) {
    let room = p.rooms.iter().find(|r| r.name == room).unwrap().id;
    let found = p.selections.iter().find(|s| s.room == room && s.name == name);
    let selection = found.unwrap_or_else(|| panic!("no {name}"));
    (selection, selection.options[0].parts.last().unwrap())
}

#[test]
fn the_starter_phases_are_in_the_order_of_the_trades() {
    let p = new_project(&[], Some(1962), true);
    let graph = Graph::new(&p);
    let at = |key: &str| p.phase_at(phase_id(&p, key)).unwrap();
    for (first, then) in [
        ("demolition", "framing"),
        ("framing", "windows"),
        ("windows", "insulation"),
        // Rough plumbing, mechanical, gas and electrical are approved before framing is inspected, and all of it before
        // it is covered (IRC R109.1.2, R109.1.4).
        ("plumbing_check", "framing_check"),
        ("gas_check", "framing_check"),
        ("mechanical_check", "framing_check"),
        ("electrical_check", "framing_check"),
        ("framing_check", "insulation"),
        ("insulation_check", "drywall"),
        // ASTM C840 section 4.
        ("temporary_heat", "taping"),
        ("taping", "texture"),
        ("texture", "prime"),
        ("drywall", "tile_backer"),
        ("tile_backer", "waterproofing"),
        // IPC 312.9.
        ("waterproofing", "pan_check"),
        ("pan_check", "tile"),
        ("tile", "grout"),
        ("tile", "duct_cleaning"),
        ("texture", "duct_cleaning"),
        ("duct_cleaning", "start_heat"),
        ("equipment", "start_heat"),
        // Guidance of the wood flooring trade.
        ("start_heat", "floor_delivery"),
        ("floor_delivery", "flooring"),
        ("flooring", "base_cabinets"),
        ("base_cabinets", "template"),
        ("vanities", "template"),
        ("template", "fabrication"),
        ("fabrication", "countertops"),
        ("countertops", "backsplash"),
        ("backsplash", "finish_plumbing"),
        ("grout", "shower_glass"),
        ("doors_trim", "closets"),
        ("doors_trim", "accessories"),
        ("appliances", "final_check"),
        ("shower_glass", "final_check"),
        ("final_check", "punch_list"),
    ] {
        assert!(graph.before(at(then))[at(first)], "{first} before {then}");
    }
    let lag = |before: &str, after: &str| {
        let ends = (phase_id(&p, before), phase_id(&p, after));
        let link = p.links.iter().find(|l| (l.before, l.after) == ends).unwrap();
        (link.lag, link.unit)
    };
    assert_eq!(lag("temporary_heat", "taping"), (2, LagUnit::Elapsed), "48 hours (ASTM C840 section 4)");
    assert!(lag("start_heat", "floor_delivery").0 >= 5, "5 days (guidance of the wood flooring trade)");
}

/// Nobody has said how long anything takes, what it costs, or when it can be there.
#[test]
fn nobody_has_said_anything_of_a_new_project() {
    let p = with_all_needed(new_project(&ROOMS, None, true));
    assert!(p.phases.iter().all(|f| (f.days, f.days_min, f.days_max) == (None, None, None)));
    for (room, name) in ROOMS.iter().map(|name| (p.rooms.iter().find(|r| r.name == *name).unwrap(), name)) {
        let there = p.selections.iter().filter(|s| s.room == room.id).count();
        assert_eq!(there, KINDS[kind_of(name)].items.len(), "{name}");
    }
    assert_eq!(with_all(&p).unwrap(), p, "what is there is not added again");
    for (_, _, part) in p.all_parts() {
        assert_eq!((part.lead, part.lead_min, part.lead_max, part.unit_price), (None, None, None, None));
        assert!(part.goods.is_some() && part.supplier.is_none(), "{}", part.key);
        assert!(part.phase.is_some(), "{} is needed by a phase", part.key);
    }
}

/// Whatever is answered when a project is begun, nothing is in time on the strength of a lead time that nobody has said:
/// no days in hand, and a day to ask the supplier by.
#[test]
fn a_new_project_has_no_days_in_hand_from_an_unknown_lead_time() {
    for year in [None, Some(1931), Some(1978), Some(2005)] {
        for phases in [true, false] {
            for rooms in [&ROOMS[..0], &ROOMS[..1], &ROOMS[1..3], &ROOMS[..]] {
                let p = with_all_needed(new_project(rooms, year, phases));
                let f = compute(&p, date("2026-01-05"));
                for own in &f.selections {
                    assert!(!own.late);
                    // What must be known early has a day of its own, which no lead time says. It counts where no
                    // supplier is to be asked sooner.
                    let specs = &p.selection(own.id).unwrap().specs;
                    assert!(own.days_in_hand.is_none() || !specs.is_empty());
                    assert!(own.days_in_hand.is_none() || own.order_by <= own.ask_by);
                    assert_eq!(own.ask_by.is_some(), phases, "typical ranges say when to ask");
                }
                for part in &f.parts {
                    assert!(!part.lead_known && part.arrival.is_none());
                    assert_eq!((part.days_in_hand, part.order_by, part.last_safe_order), (None, None, None));
                }
                assert_eq!(f.selections.is_empty(), rooms.is_empty());
            }
        }
    }
}

#[test]
fn what_a_room_needs_is_needed_where_it_is_built_in_and_ordered_after_it_is_measured() {
    let p = with_all_needed(new_project(&ROOMS, None, true));
    for (room, name, needed, after) in [
        ("Kitchen", "Base cabinets", "base_cabinets", ""),
        ("Kitchen", "Wall cabinets", "base_cabinets", ""),
        ("Hall bath", "Vanity", "vanities", ""),
        ("Powder room", "Vanity", "vanities", ""),
        ("Laundry", "Cabinets", "vanities", ""),
        ("Study", "Built-in shelves", "doors_trim", ""),
        ("Kitchen", "Backsplash", "backsplash", ""),
        ("Kitchen", "Kitchen countertop", "countertops", "template"),
        ("Kitchen", "Sink", "template", ""),
        ("Kitchen", "Dishwasher air gap", "template", ""),
        ("Kitchen", "Floor", "floor_delivery", ""),
        ("Kitchen", "Windows", "windows", ""),
        ("Hall bath", "Vanity countertop", "countertops", "template"),
        ("Hall bath", "Shower door or glass", "shower_glass", "grout"),
        ("Hall bath", "Niche or shelf in the shower", "tile_backer", ""),
        ("Hall bath", "Waterproofing", "waterproofing", ""),
        ("Hall bath", "Mirror", "accessories", "doors_trim"),
        ("Hall bath", "Tub", "rough_plumbing", ""),
        ("Second bedroom", "Closet rods and shelves", "closets", "doors_trim"),
        ("Second bedroom", "Blinds or curtains", "closets", "doors_trim"),
        ("Entry hall", "Stair parts", "stairs", "flooring"),
        ("Entry hall", "Entry door", "windows", ""),
        ("Whole house", "Furnace or heat pump", "equipment", ""),
        ("Whole house", "Drywall", "drywall", ""),
    ] {
        let part = thing(&p, room, name).1;
        assert_eq!((key(&p, part.phase), key(&p, part.order_after)), (needed, after), "{room}: {name}");
    }
}

/// A thing is never measured after the work that needs it, however the phases of a project are laid out.
#[test]
fn what_is_measured_too_late_is_not_ordered_after_it() {
    let mut p = new_project(&["Hall bath"], None, false);
    add_phases(
        &mut p,
        [("hang", 1, ""), ("finish", 1, "hang"), ("grout", 1, "finish"), ("doors", 1, "grout")],
    );
    for (key, name) in [
        ("hang", "Mirrors and hardware"),
        ("finish", "Shower glass"),
        ("grout", "Grout"),
        ("doors", "Doors and trim"),
    ] {
        edit_phase(&mut p, key, |f| f.name = name.to_owned());
    }
    let p = with_all_needed(p);
    for name in ["Mirror", "Shower door or glass"] {
        let part = thing(&p, "Hall bath", name).1;
        assert!(part.phase.is_some() && part.order_after.is_none(), "{name}");
    }
    assert_eq!(validate::document(&p), Vec::<String>::new());
}

#[test]
fn what_must_be_known_is_asked_for_by_whoever_waits_for_it() {
    let p = with_all_needed(new_project(&ROOMS, None, true));
    let by = |room: &str, name: &str| -> Vec<String> {
        let part = |id| p.part(id).unwrap().0.name.as_str();
        let waits =
            |s: &Spec| s.part.map_or(key(&p, s.phase).to_owned(), |id| format!("order of {}", part(id)));
        thing(&p, room, name).0.specs.iter().map(waits).collect()
    };
    let kitchen = |name| by("Kitchen", name);
    assert_eq!(kitchen("Oven"), ["rough_electrical", "order of Base cabinets"]);
    assert_eq!(kitchen("Sink"), ["order of Base cabinets", "rough_plumbing", "template"]);
    assert_eq!(
        kitchen("Range hood"),
        ["rough_mechanical", "rough_mechanical", "rough_electrical", "order of Base cabinets"]
    );
    assert_eq!(kitchen("Base cabinets"), ["order of Base cabinets"], "sizes before its own order");
    assert_eq!(kitchen("Wall paint"), ["drywall"], "texture before drywall is bid");
    assert_eq!(kitchen("Kitchen countertop"), ["base_cabinets", "rough_electrical"]);
    assert_eq!(kitchen("Windows"), ["framing"]);
    let bath = |name| by("Hall bath", name);
    assert_eq!(bath("Tub"), ["rough_plumbing", "framing"]);
    assert_eq!(bath("Toilet"), ["rough_plumbing", "framing"]);
    assert_eq!(bath("Exhaust fan"), ["rough_mechanical", "rough_electrical"]);
    assert_eq!(bath("Recessed mirror cabinet"), ["framing", "rough_electrical"]);
    assert_eq!(bath("Niche or shelf in the shower"), ["framing", "tile_backer"]);
    assert_eq!(bath("Floor tile"), ["tile_backer", "order of Door"], "the floor's height decides the doors");
    assert_eq!(bath("Vanity countertop"), ["vanities", "rough_electrical"]);
    assert_eq!(kitchen("Floor"), ["doors_trim", "order of Base cabinets"]);
    assert_eq!(by("Second bedroom", "Floor"), ["order of Door"], "no cabinets there");
    let open = p.selections.iter().flat_map(|s| &s.specs).all(Spec::is_open);
    assert!(open, "nothing was told");
}

/// In a room without cabinets to order the work that sets them waits; without phases nobody does.
#[test]
fn specs_attach_to_what_the_project_has() {
    let mut p = new_project(&["Kitchen"], None, true);
    let oven = |i: &&needline::model::starter_catalogue::Item| i.name == "Oven";
    let item = KINDS[kind_of("Kitchen")].items.iter().find(oven).unwrap();
    let room = p.rooms[0].id;
    let added = p.apply(&add(&p, room, &[(item, Money::ZERO)], true).unwrap()).unwrap();
    let specs = &added.selections[0].specs;
    assert_eq!(key(&added, specs[0].phase), "rough_electrical");
    assert_eq!(key(&added, specs[1].phase), "base_cabinets");
    // A phase of another name is found by its kind of work.
    edit_phase(&mut p, "rough_electrical", |f| f.name = "Pull cables".to_owned());
    let added = p.apply(&add(&p, room, &[(item, Money::ZERO)], true).unwrap()).unwrap();
    assert_eq!(key(&added, added.selections[0].specs[0].phase), "rough_electrical");
    let bare = new_project(&["Kitchen"], None, false);
    let added = bare.apply(&add(&bare, bare.rooms[0].id, &[(item, Money::ZERO)], true).unwrap()).unwrap();
    assert_eq!(added.selections[0].specs, []);
}

/// Who puts own candidates in the place of the first one does not lose what must be known before the order.
#[test]
fn what_must_be_known_outlives_the_first_candidate() {
    let p = with_all_needed(new_project(&["Kitchen"], None, true));
    let (cabinets, first) = thing(&p, "Kitchen", "Base cabinets");
    let mut own = SelectionOption::new(OptionId(p.next_id), "own", "Own cabinets");
    own.parts = vec![Part { goods: first.goods, ..Part::new(PartId(p.next_id + 1), "own_boxes", "Boxes") }];
    let two = p.apply(&Action::PutOption(cabinets.id, own.clone())).unwrap();
    let waits = |p: &Project, name: &str| {
        let specs = thing(p, "Kitchen", name).0.specs.iter();
        specs.map(|s| (s.what.clone(), key(p, s.phase).to_owned(), s.part)).collect::<Vec<_>>()
    };
    let before = waits(&two, "Oven");
    assert_eq!(before[1].2, Some(first.id));
    let left = two.apply(&Action::RemoveOption(cabinets.options[0].id)).unwrap();
    let after = waits(&left, "Oven");
    assert_eq!(after[1], (before[1].0.clone(), String::new(), Some(own.parts[0].id)), "for the other one");
    assert_eq!(after.len(), before.len());
    assert_eq!(waits(&left, "Refrigerator").len(), waits(&p, "Refrigerator").len());
    let part = left.part(own.parts[0].id).unwrap().2.clone();
    let needed = Part { phase: Some(phase_id(&p, "base_cabinets")), ..part };
    let none = left.apply(&Action::PutPart(own.id, needed)).unwrap();
    let none = none.apply(&Action::RemovePart(own.parts[0].id)).unwrap();
    assert_eq!(waits(&none, "Oven")[1].1, "base_cabinets", "for the work, where nothing is ordered");
    let gone = two.apply(&Action::RemoveSelection(cabinets.id)).unwrap();
    assert_eq!(waits(&gone, "Oven")[1].1, "base_cabinets");
    assert_eq!(validate::document(&gone), Vec::<String>::new());
}

/// A window is to be decided before framing, eight weeks away. Its lead time is typically four to twelve weeks and nobody
/// has said it: no days are in hand.
#[test]
fn days_until_framing_are_not_in_hand_while_a_lead_time_is_unknown() {
    let p = with_all_needed(new_project(&["Kitchen"], None, true));
    let own = |p: &Project, edit: &dyn Fn(&mut Part)| {
        let (windows, part) = thing(p, "Kitchen", "Windows");
        let (id, part) = (windows.id, part.id);
        let mut p = p.clone();
        edit_part(&mut p, part, edit);
        let f = compute(&p, date("2026-01-05"));
        f.selections.iter().find(|s| s.id == id).unwrap().clone()
    };
    let unknown = own(&p, &|_| ());
    assert_eq!(unknown.decide.by, Some(day("2026-03-02")), "framing starts");
    assert!(unknown.ask_by < unknown.decide.by);
    assert_eq!((unknown.days_in_hand, unknown.order_by), (None, None));
    let said = own(&p, &|part| part.lead = Some(7));
    assert_eq!(said.days_in_hand, said.order_by.map(|by| by.since(day("2026-01-05"))), "a week, as was said");
    assert!(said.days_in_hand > Some(0));
}

/// The sink, the faucet and the air gap are each missing once before the template, also where they are asked for by name.
#[test]
fn what_the_countertop_must_fit_is_missing_once() {
    let before = with_all_needed(new_project(&["Kitchen"], None, true));
    // Gates that were looked for after the things were there.
    let mut after = before.clone();
    std::sync::Arc::make_mut(&mut after.gates).clear();
    add_starter_gates(&mut after);
    // And the faucet is needed for another phase: the gate asks for it by name.
    let mut apart = after.clone();
    let faucet = thing(&apart, "Kitchen", "Sink faucet").1.id;
    let finish = phase_id(&apart, "finish_plumbing");
    edit_part(&mut apart, faucet, |part| part.phase = Some(finish));
    std::sync::Arc::make_mut(&mut apart.gates).clear();
    add_starter_gates(&mut apart);
    for p in [&before, &after, &apart] {
        let f = compute(p, date("2026-03-02"));
        let at = p.gates.iter().position(|g| g.key == "template_ready").unwrap();
        let missing: Vec<&str> = f.gates[at]
            .missing
            .iter()
            .filter_map(|m| match m.what {
                Lack::Choice(at) => Some(p.selections[at].name.as_str()),
                _ => None,
            })
            .collect();
        for name in ["Sink", "Sink faucet", "Cooktop or range", "Dishwasher air gap"] {
            assert_eq!(missing.iter().filter(|m| **m == name).count(), 1, "{name}: {missing:?}");
        }
    }
}

/// No line of a glass shop's list speaks of electricity, none of the countertop shop's of silica from the template.
#[test]
fn words_inside_names_bring_no_cautions() {
    let p = with_all_needed(new_project(&ROOMS, Some(1962), true));
    let of = |room: &str, name: &str| {
        let part = thing(&p, room, name).1;
        caution::hazards_of_part(part, part.phase.and_then(|id| p.phase(id)))
    };
    assert_eq!(of("Hall bath", "Shower door or glass"), []);
    assert_eq!(of("Kitchen", "Sink"), [], "needed for the template");
    assert_eq!(of("Whole house", "Furnace or heat pump"), [Hazard::Electrical]);
    assert_eq!(of("Hall bath", "Wall tile"), [Hazard::Silica]);
    assert!(of("Kitchen", "Range hood").contains(&Hazard::MakeupAir));
}
