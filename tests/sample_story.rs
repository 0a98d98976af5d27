//! The large sample tells a plausible story: minds that changed, what nobody has said and what was told, and work in
//! the order that a person of the trade would choose.

mod common;

use common::sample_folders;
use needline::engine::{Day, Figures, PhaseFigures, compute};
use needline::exchange::import_folder;
use needline::model::{
    Condition, Correction, LagUnit, Need, Part, Phase, PhaseId, PhaseKind, Presence, Project, Return,
    ReturnState, Spec, Work,
};

fn orchard_house() -> (Project, Figures) {
    let folder = sample_folders().into_iter().find(|f| f.ends_with("orchard_house")).unwrap();
    let (project, _) = import_folder(&folder).unwrap_or_else(|e| panic!("{e}"));
    let figures = compute(&project, project.settings.as_of.unwrap());
    (project, figures)
}

#[test]
fn the_large_sample_has_what_changed_minds_leave_behind() {
    let (project, _) = orchard_house();
    for (word, state) in ReturnState::ALL {
        assert!(project.returns.iter().any(|r| r.state == state), "{word}");
    }
    let part = |id| project.part(id).unwrap().2;
    let back = |came: bool| {
        let gone = project.returns.iter().filter(|r| r.state == ReturnState::WentBack);
        gone.filter(|r| part(r.part).is_on_site() == came).count()
    };
    assert!(back(true) > 0 && back(false) > 0, "sent back, and cancelled before it came");
    let credited = |r: &&Return| r.credit.is_some() && r.restock_pct.is_some();
    assert!(project.returns.iter().any(|r| credited(&r)), "with restocking and a credit");
    for swap in project.swaps.iter() {
        let to = project.option(swap.to).unwrap();
        assert_eq!(
            project.selection(swap.selection).unwrap().choice().map(|o| o.id),
            Some(to.1.id),
            "{}",
            swap.key
        );
    }
}

#[test]
fn the_large_sample_has_what_nobody_has_said_and_what_was_told() {
    let (project, figures) = orchard_house();
    let live = |p: &Part| figures.part(p.id).is_some_and(|f| f.live);
    let parts: Vec<&Part> = project.all_parts().map(|(_, _, p)| p).filter(|p| live(p)).collect();
    let unknown = |kind: bool| parts.iter().any(|p| p.lead.is_none() && p.goods.is_some() == kind);
    assert!(
        unknown(true) && unknown(false),
        "lead times that nobody has said, of a kind of thing and of none"
    );
    assert!(parts.iter().any(|p| p.unit_price.is_none()), "a price that nobody has said");
    assert!(parts.iter().filter(|p| p.order_after.is_some()).count() >= 5, "what is measured first");
    let own =
        project.typical.iter().any(|t| parts.iter().any(|p| p.goods == Some(t.goods) && p.lead.is_none()));
    assert!(own, "a typical range of its own that counts");
    let work = |p: &&Phase| p.kind == PhaseKind::Work && p.finished_on().is_none();
    assert!(project.phases.iter().filter(work).any(|p| p.days.is_none()), "days that nobody has said");
    assert!(project.phases.iter().filter(work).any(|p| p.own_work), "own work");
    let priced = |p: &Phase| project.quotes.iter().any(|q| q.phases().any(|id| id == p.id));
    assert!(project.phases.iter().filter(work).any(|p| !p.own_work && !priced(p)), "work without a price");
    assert!(
        project.quotes.iter().any(|q| q.accepted && q.phases().count() > 1),
        "a price for several phases"
    );

    let specs: Vec<_> = project.selections.iter().flat_map(|s| s.specs.iter().map(move |c| (s, c))).collect();
    assert!(specs.iter().any(|(_, c)| c.is_open() && c.part.is_some()), "open, before an order");
    let contradicted = specs.iter().any(|(s, c)| {
        let told = c.told.as_ref().filter(|_| !c.is_open());
        let facts = s.choice().map_or(&[][..], |o| &o.facts);
        told.is_some_and(|told| {
            facts.iter().any(|f| f.name == c.fact && f.value.says_the_same(told) == Some(false))
        })
    });
    assert!(contradicted, "what was told and what is chosen differ");
    // The oven has no choice, and the walls it is wired in were roughed.
    let oven = project.selections.iter().find(|s| s.key == "kitchen_oven").unwrap();
    let past = |c: &&Spec| {
        c.is_open() && c.phase.is_some_and(|id| project.phase(id).unwrap().finished_on().is_some())
    };
    assert!(oven.choice().is_none() && oven.specs.iter().any(|c| past(&c)));
}

fn phase<'a>(project: &Project, figures: &'a Figures, key: &str) -> &'a PhaseFigures {
    let at = project.phases.iter().position(|p| p.key == key).unwrap_or_else(|| panic!("no phase {key}"));
    &figures.phases[at]
}

/// What is finished before what begins, as the trades go about it (common practice, no source, unless one is named).
#[test]
fn the_work_of_the_large_sample_is_in_the_order_of_the_trades() {
    let (project, figures) = orchard_house();
    for (first, then) in [
        // Framing is inspected after the roughs (IRC R109.1.4), and before insulation covers it.
        ("framing", "rough_plumbing"),
        ("plumbing_check", "framing_check"),
        ("mechanical_check", "framing_check"),
        ("electrical_check", "framing_check"),
        ("framing_check", "insulation"),
        ("insulation_check", "hang_drywall"),
        // 50 F for 48 hours before joint compound (ASTM C840 section 4).
        ("temporary_heat", "tape_coats"),
        ("tape_coats", "finish_coat"),
        ("finish_coat", "prime"),
        ("hang_drywall", "tile_backer"),
        ("tile_backer", "waterproofing"),
        ("waterproofing", "pan_check"),
        ("pan_check", "set_tile"),
        ("set_tile", "grout_tile"),
        // Ducts are cleaned when the dust is over, and before they blow air.
        ("finish_coat", "duct_cleaning"),
        ("set_tile", "duct_cleaning"),
        ("duct_cleaning", "start_heat"),
        ("set_heat_pump", "start_heat"),
        ("floor_delivery", "flooring"),
        ("flooring", "base_cabinets"),
        // Countertops are templated when every cabinet under one is set, and set before the backsplash.
        ("base_cabinets", "template"),
        ("wall_cabinets", "template"),
        ("template", "fabrication"),
        ("fabrication", "countertop_install"),
        ("countertop_install", "backsplash"),
        ("countertop_install", "finish_plumbing"),
        ("grout_tile", "shower_glass"),
        ("doors_trim", "closets_blinds"),
        ("finish_electrical", "final_electrical"),
        ("finish_plumbing", "final_plumbing"),
        ("finish_mechanical", "final_mechanical"),
        ("final_electrical", "final_building"),
        ("final_plumbing", "final_building"),
        ("final_mechanical", "final_building"),
        ("final_building", "punch_list"),
    ] {
        let (a, b) = (phase(&project, &figures, first), phase(&project, &figures, then));
        assert!(a.early_finish <= b.early_start, "{first} before {then} in the plan");
        assert!(a.forecast_finish <= b.forecast_start, "{first} before {then} in the forecast");
    }
    // Each says its kind of work, and its name tells the same but for the furring, which is no framing.
    for phase in project.phases.iter().filter(|p| p.kind == PhaseKind::Work) {
        let told = Work::guess(&phase.name);
        assert!(phase.work.is_some() && (phase.work == told || phase.key == "cover_run"), "{}", phase.name);
    }
    // Heating and cooling run at least 5 days before wood flooring is delivered (guidance of the wood flooring trade).
    let heat = phase(&project, &figures, "start_heat").forecast_finish.unwrap();
    assert!(phase(&project, &figures, "floor_delivery").forecast_start.unwrap() >= heat.plus(5));
    let compound = phase(&project, &figures, "tape_coats").forecast_start.unwrap();
    assert!(compound >= phase(&project, &figures, "temporary_heat").forecast_finish.unwrap().plus(2));
    // A countertop takes 5 to 12 working days from template to set.
    let set = phase(&project, &figures, "countertop_install").early_start.unwrap();
    let days =
        figures.days.work().count(phase(&project, &figures, "template").early_finish.unwrap().plus(1), set);
    assert!((5..=12).contains(&days), "{days}");
}

/// What goes into walls, floors and openings is there when they are made (common practice, no source).
#[test]
fn things_of_the_large_sample_are_needed_where_they_are_built_in() {
    let (project, figures) = orchard_house();
    let part = |key: &str| project.all_parts().find(|(_, _, p)| p.key == key).unwrap().2;
    let key = |id: Option<PhaseId>| id.and_then(|id| project.phase(id)).map(|p| p.key.as_str());
    for (part_key, needed, after) in [
        ("primary_bath_niche_niche_box", "tile_backer", None),
        ("kitchen_countertop_quartz", "countertop_install", Some("template")),
        ("laundry_countertop_slate", "countertop_install", Some("template")),
        ("primary_bath_vanity_countertop_quartz", "countertop_install", Some("template")),
        ("primary_bath_glass_frameless", "shower_glass", Some("grout_tile")),
        ("primary_bed_closet_wall_hung", "closets_blinds", Some("doors_trim")),
        ("house_blinds_cellular", "closets_blinds", Some("doors_trim")),
        ("kitchen_floor_white_oak", "floor_delivery", None),
        ("house_heat_pump_variable", "set_heat_pump", None),
    ] {
        let part = part(part_key);
        assert_eq!((key(part.phase), key(part.order_after)), (Some(needed), after), "{part_key}");
    }
    // The opening of a recessed cabinet was told to the carpenter before the framing was done.
    let cabinet = project.selections.iter().find(|s| s.key == "hall_bath_mirror_cabinet").unwrap();
    let framing = project.phases.iter().find(|p| p.key == "framing").unwrap();
    let told = cabinet.specs.iter().find(|c| c.phase == Some(framing.id)).unwrap().told_on.unwrap();
    assert!(told <= framing.actual_start.unwrap());
    // Texture is decided before taping ends.
    let texture = project.gates.iter().find(|g| g.key == "texture").unwrap();
    assert_eq!(key(Some(texture.phase)), Some("finish_coat"));
    assert!(texture.conditions.iter().all(|c| matches!(c.need, Need::Confirmed { .. })));
    let taped = phase(&project, &figures, "tape_coats").forecast_finish.unwrap();
    assert!(texture.conditions.iter().all(|c| c.by.is_some_and(|by| Day::from(by) < taped)));
    // Walls are closed over what is built in, by each trade that put something there.
    let cover = project.gates.iter().find(|g| g.key == "cover_up").unwrap();
    let built_in = |c: &&Condition| matches!(c.need, Need::PartsOf { presence: Presence::BuiltIn, .. });
    assert!(cover.conditions.iter().filter(built_in).count() >= 4);
    // Compound and coats dry before the next.
    let dries = |first: &str, then: &str| {
        let id = |key: &str| project.phases.iter().find(|p| p.key == key).unwrap().id;
        project
            .links
            .iter()
            .any(|l| (l.before, l.after) == (id(first), id(then)) && l.lag > 0 && l.unit == LagUnit::Elapsed)
    };
    assert!(
        dries("finish_coat", "prime")
            && dries("waterproofing", "pan_check")
            && dries("set_tile", "grout_tile")
    );
}

/// What was noted of a swap is of its day, and money that came back is no more than what was paid.
#[test]
fn the_notes_of_the_large_sample_agree_with_its_days() {
    let (project, figures) = orchard_house();
    let as_of = project.settings.as_of.unwrap();
    assert!(project.swaps.iter().all(|s| s.on <= as_of && s.known.finish_before.is_some()));
    for r in project.returns.iter() {
        let part = project.part(r.part).unwrap().2;
        let f = figures.part(part.id).unwrap();
        assert!(!f.live && part.ordered_on.is_some(), "{}", part.key);
        assert!(r.credit.is_none_or(|credit| credit <= part.paid), "{}", part.key);
        let swap = project
            .swaps
            .iter()
            .find(|s| project.option(s.from).unwrap().1.parts.iter().any(|p| p.id == part.id));
        let on = swap.unwrap_or_else(|| panic!("{} has no swap", part.key)).on;
        assert!(
            part.ordered_on.unwrap() <= on && r.went_back_on.is_none_or(|back| back >= on),
            "{}",
            part.key
        );
    }
    // One correction is past its day, one is done, one waits for a phase of its own.
    let late = |c: &&Correction| c.done.is_none() && c.due.is_some_and(|d| d < as_of);
    assert_eq!(project.corrections.iter().filter(late).count(), 1);
    assert!(project.corrections.iter().any(|c| c.done.is_some()));
    assert!(project.corrections.iter().any(|c| c.fix_phase.is_some()));
    // Damage was reported, and its replacement is promised before it is needed.
    let damaged = project.deliveries.iter().find(|d| d.damage_day().is_some()).unwrap();
    let need = figures.part(damaged.part).unwrap().need_date.unwrap();
    assert!(Day::from(damaged.replacement_on.unwrap()) <= need);
}
