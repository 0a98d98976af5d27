//! The ledger of the house by what it asks for: editing in place, marking and changing many, groups, pasting and adding
//! what a room usually needs.

#![cfg(feature = "gui")]

mod support;

use egui::{Event, Key, Modifiers};
use egui_kittest::Harness;
use needline::engine::risk;
use needline::exchange::incoming::{paste, row_text};
use needline::exchange::typed::Typed;
use needline::model::{Action, LeadUnit, Money, Project};
use needline::ui::areas::house;
use needline::ui::areas::house::ledger::{GroupBy, LedgerColumn, LedgerDialog};
use needline::ui::session::Session;
use needline::ui::view::Request;
use std::collections::BTreeSet;
use support::{
    Role, Scene, all, fill, hall_bath, label, labels, named, panel_harness, press, room, says, selection,
};

fn ledger(session: Session) -> Harness<'static, Scene> {
    let (project, day) = hall_bath();
    panel_harness(project, day, session, house::ui)
}

fn typed(project: &Project) -> Typed {
    Typed::of(&project.settings, project.settings.start)
}

fn with_columns(columns: &[LedgerColumn]) -> Session {
    let mut session = Session::default();
    session.ledger.columns = Some(columns.iter().copied().collect());
    session
}

fn names(harness: &Harness<'_, Scene>) -> Vec<String> {
    support::row_names(harness, &harness.state().project)
}

/// The one change that was asked for.
fn action(harness: &mut Harness<'_, Scene>) -> Action {
    match harness.state_mut().take().as_slice() {
        [Request::Act(action)] => action.as_ref().clone(),
        other => panic!("one change, not {other:?}"),
    }
}

fn money(text: &str) -> Money {
    Money::new(text.parse().unwrap())
}

fn begin_editing(harness: &mut Harness<'_, Scene>, cell: &str) {
    named(harness, Role::Button, cell).focus();
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
}

fn click_with(harness: &mut Harness<'_, Scene>, name: &str, modifiers: Modifiers) {
    support::row_or_button(harness, name).click_modifiers(modifiers);
    harness.run();
}

#[test]
fn an_allowance_is_edited_in_its_place() {
    let mut harness = ledger(with_columns(&[LedgerColumn::Allowance, LedgerColumn::Way]));
    begin_editing(&mut harness, "Allowance of Tub");
    fill(&mut harness, "Allowance of Tub", "1,250.50");
    harness.key_press(Key::Enter);
    harness.run();
    let Action::PutSelection(changed) = action(&mut harness) else { panic!("a selection") };
    let before = selection(&harness.state().project, "bath_tub").clone();
    assert_eq!(changed.allowance, money("1250.50"));
    let next = harness.state().project.apply(&Action::PutSelection(changed)).unwrap();
    let after = selection(&next, "bath_tub");
    assert_eq!(after.options, before.options, "its options stay");
    assert!(harness.state().session.ledger.editing.is_none());
}

#[test]
fn what_is_no_amount_is_said_and_keeps_the_field_open() {
    let mut harness = ledger(with_columns(&[LedgerColumn::Allowance]));
    begin_editing(&mut harness, "Allowance of Tub");
    fill(&mut harness, "Allowance of Tub", "a lot");
    harness.key_press(Key::Enter);
    harness.run();
    assert!(harness.state_mut().take().is_empty());
    let editing = harness.state().session.ledger.editing.clone().expect("still open");
    assert!(editing.error.unwrap().contains("`a lot`"));
    harness.key_press(Key::Escape);
    harness.run();
    assert!(harness.state().session.ledger.editing.is_none());
    assert!(harness.state_mut().take().is_empty(), "nothing was changed");
}

/// Commas were dropped: 755,50 became 75,550.00.
#[test]
fn what_can_be_read_two_ways_is_asked_in_the_cell() {
    let mut harness = ledger(with_columns(&[LedgerColumn::Allowance, LedgerColumn::Lead]));
    for (text, words) in
        [("755,50", "755.50 or 75550"), ("1e5", "no number"), ("1,2,3", "no number"), ("45 EUR", "USD")]
    {
        begin_editing(&mut harness, "Allowance of Tub");
        fill(&mut harness, "Allowance of Tub", text);
        harness.key_press(Key::Enter);
        harness.run();
        assert!(harness.state_mut().take().is_empty(), "{text}");
        let editing = harness.state().session.ledger.editing.clone().expect("still open");
        assert_eq!(editing.text, text, "what was typed stays");
        assert!(editing.error.unwrap().contains(words), "{text}");
        harness.key_press(Key::Escape);
        harness.run();
    }
    for (text, amount) in [("$45", "45"), ("1.234,50", "1234.50")] {
        begin_editing(&mut harness, "Allowance of Tub");
        fill(&mut harness, "Allowance of Tub", text);
        harness.key_press(Key::Enter);
        harness.run();
        let Action::PutSelection(changed) = action(&mut harness) else { panic!("a selection") };
        assert_eq!(changed.allowance, money(amount), "{text}");
    }
    begin_editing(&mut harness, "Lead of Tub");
    fill(&mut harness, "Lead of Tub", "6-8 wks");
    harness.key_press(Key::Enter);
    harness.run();
    let Action::PutPart(_, part) = action(&mut harness) else { panic!("a part") };
    assert_eq!((part.lead, part.lead_min, part.lead_max), (Some(8), Some(6), Some(8)));
}

#[test]
fn a_lead_time_is_edited_where_one_part_counts() {
    let mut harness = ledger(with_columns(&[LedgerColumn::Lead]));
    begin_editing(&mut harness, "Lead of Tub");
    fill(&mut harness, "Lead of Tub", "5 weeks");
    harness.key_press(Key::Enter);
    harness.run();
    let Action::PutPart(_, part) = action(&mut harness) else { panic!("a part") };
    assert_eq!((part.key.as_str(), part.lead, part.lead_unit), ("bath_tub_steel", Some(5), LeadUnit::Weeks));
    let cells = labels(&harness, Role::Button);
    assert!(!cells.contains(&"Lead of Tub and shower set".to_owned()), "it has several parts");
}

#[test]
fn rows_are_marked_and_changed_in_one_step() {
    let mut harness = ledger(Session::default());
    let shown = names(&harness);
    press(&mut harness, &shown[0]);
    click_with(&mut harness, &shown[3], Modifiers::SHIFT);
    assert_eq!(harness.state().session.ledger.marked.len(), 4, "a range");
    click_with(&mut harness, &shown[1], Modifiers::COMMAND);
    click_with(&mut harness, &shown[6], Modifiers::COMMAND);
    let project = harness.state().project.clone();
    let id = |name: &String| project.selections.iter().find(|s| s.name == *name).unwrap().id;
    let expected: BTreeSet<_> = [0, 2, 3, 6].map(|i: usize| id(&shown[i])).into();
    assert_eq!(harness.state().session.ledger.marked, expected);

    press(&mut harness, "Change 4 at once…");
    fill(&mut harness, "Allowance", "+10%");
    fill(&mut harness, "Lead time", "3 weeks");
    press(&mut harness, "Change them");
    let batch = action(&mut harness);
    assert!(matches!(&batch, Action::Batch { label, .. } if label == "change 4 selections"));
    let next = project.apply(&batch).unwrap();
    for id in &expected {
        let (before, after) = (project.selection(*id).unwrap(), next.selection(*id).unwrap());
        let tenth = before.allowance.percent(rust_decimal::Decimal::TEN, project.settings.currency);
        assert_eq!(after.allowance, before.allowance.plus(tenth), "{}", before.name);
        let live = before.live_option().map(|o| o.id);
        for (old, new) in before.options.iter().zip(&after.options) {
            let touched =
                live.is_none_or(|l| l == old.id) && old.parts.len() == 1 && !old.parts[0].is_ordered();
            for (old, new) in old.parts.iter().zip(&new.parts) {
                let expected = if touched { (Some(3), LeadUnit::Weeks) } else { (old.lead, old.lead_unit) };
                assert_eq!((new.lead, new.lead_unit), expected, "{}", old.key);
            }
        }
    }
    let untouched = project.selections.iter().filter(|s| !expected.contains(&s.id));
    assert!(untouched.clone().all(|s| next.selection(s.id) == Some(s.as_ref())));
}

#[test]
fn a_room_is_left_by_the_keyboard_alone() {
    let mut harness = ledger(Session::default());
    let project = harness.state().project.clone();
    let name = |harness: &Harness<'_, Scene>| {
        harness.state().session.selection.and_then(|id| project.selection(id)).map(|s| s.name.clone())
    };
    let shown = names(&harness);
    for (key, expected) in [
        (Key::ArrowDown, 0),
        (Key::ArrowDown, 1),
        (Key::End, shown.len() - 1),
        (Key::ArrowUp, shown.len() - 2),
        (Key::Home, 0),
    ] {
        harness.key_press(key);
        harness.run();
        assert_eq!(name(&harness).as_ref(), shown.get(expected), "{key:?}");
    }
    harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowDown);
    harness.run();
    assert_eq!(harness.state().session.ledger.marked.len(), 2);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run();
    assert_eq!(harness.state().session.ledger.marked.len(), shown.len());
    harness.key_press(Key::Escape);
    harness.run();
    assert!(harness.state().session.ledger.marked.is_empty());
}

#[test]
fn heads_of_groups_fold_and_sum() {
    let mut session = Session::default();
    session.ledger.group = GroupBy::Room;
    let mut harness = ledger(session);
    let before = names(&harness).len();
    let groups = harness.state().session.rows.groups.clone();
    let figures = harness.state().derived.figures.clone();
    for group in &groups {
        let money = &figures.money.by_room[group.key as usize];
        assert_eq!(group.sums.money.forecast, money.forecast, "{}", group.name);
        assert_eq!(group.sums.money.allowance, money.allowance, "{}", group.name);
    }
    let hall = groups.iter().find(|g| g.name == "Upper hall").unwrap();
    press(&mut harness, "Fold Upper hall");
    assert_eq!(names(&harness).len(), before - hall.sums.rows as usize);
    press(&mut harness, "Open Upper hall");
    assert_eq!(names(&harness).len(), before);
}

#[test]
fn every_grouping_has_every_row_once() {
    for (by, name) in GroupBy::ALL {
        let mut session = Session::default();
        session.ledger.group = by;
        let harness = ledger(session);
        let rows: Vec<usize> = harness.state().session.rows.items().collect();
        let unique: BTreeSet<usize> = rows.iter().copied().collect();
        assert_eq!((rows.len(), unique.len()), (20, 20), "{name}");
    }
}

#[test]
fn what_is_pasted_is_shown_first_and_taken_whole() {
    let mut harness = ledger(Session::default());
    let text = "Selection\tRoom\tAllowance\tLead\nTub\tHall bath\t900\t4 weeks\nLinen shelf\tUpper hall\t120.00\t\nTowel warmer\tAttic\t80\t\n";
    harness.event(Event::Paste(text.to_owned()));
    harness.run();
    assert!(says(&harness, "1 to add, 1 to change, 0 as they are, 1 with faults"));
    assert!(says(&harness, "there is no room `Attic`"));
    assert!(harness.state_mut().take().is_empty(), "nothing is done before it is asked for");
    press(&mut harness, "Take 2 rows");
    assert!(harness.state_mut().take().is_empty(), "not while a row has a fault");
    named(&harness, Role::CheckBox, "Leave out 1 row with faults").click();
    harness.run();
    press(&mut harness, "Take 2 rows");
    let batch = action(&mut harness);
    let next = harness.state().project.apply(&batch).unwrap();
    let tub = selection(&next, "bath_tub");
    assert_eq!((tub.allowance, tub.options[0].parts[0].lead), (money("900"), Some(4)));
    let shelf = selection(&next, "linen_shelf");
    assert_eq!((shelf.room, shelf.allowance), (room(&next, "hall").id, money("120")));
    assert!(harness.state().session.ledger.dialog.is_none());
}

fn all_rows(project: &Project) -> Vec<usize> {
    (0..project.selections.len()).collect()
}

#[test]
fn what_is_copied_and_pasted_back_changes_nothing() {
    for name in ["hall_bath.ron", "orchard_house.ron"] {
        let (project, _) = support::sample(name);
        let text = row_text::write(&project, &all_rows(&project));
        let pasted = paste::read(&project, typed(&project), &text, None).unwrap();
        assert_eq!((pasted.rows.len(), pasted.faulty()), (project.selections.len(), 0), "{name}");
        assert_eq!(pasted.count(paste::Does::Nothing), project.selections.len(), "{name}");
        assert_eq!(pasted.action(), None);
    }
}

#[test]
fn rows_copied_into_an_empty_house_come_with_their_parts() {
    let (project, _) = hall_bath();
    let text = row_text::write(&project, &all_rows(&project));
    let mut bare = project.clone();
    bare.selections = Default::default();
    let pasted = paste::read(&bare, typed(&bare), &text, None).unwrap();
    assert_eq!((pasted.count(paste::Does::Add), pasted.faulty()), (20, 0));
    let next = bare.apply(&pasted.action().unwrap()).unwrap();
    for (old, new) in project.selections.iter().zip(next.selections.iter()) {
        assert_eq!(
            (&old.key, &old.name, old.room, old.allowance),
            (&new.key, &new.name, new.room, new.allowance)
        );
        if let Some(part) = old.live_option().filter(|o| o.parts.len() == 1).map(|o| &o.parts[0]) {
            let copy = &new.options[0].parts[0];
            assert_eq!(
                (part.supplier, part.phase, &part.quantity, part.unit_price, part.lead, part.lead_unit),
                (copy.supplier, copy.phase, &copy.quantity, copy.unit_price, copy.lead, copy.lead_unit)
            );
        }
    }
}

#[test]
fn faults_of_pasted_cells_name_the_cell() {
    let (project, _) = hall_bath();
    let text = "Selection,Room,Allowance,Decide on,Lead,Supplier,Choice\n\
                Tub,Hall bath,lots,,,,\n\
                Tub,Hall bath,,2026-13-01,,,\n\
                Mirror,Hall bath,,,whenever,,\n\
                Vanity,Hall bath,,,,Nobody,\n\
                Toilet,Hall bath,,,,,Not this one\n\
                ,,,,,,5\n";
    let pasted = paste::read(&project, typed(&project), text, None).unwrap();
    let faults: Vec<Vec<&str>> =
        pasted.rows.iter().map(|r| r.faults.iter().map(|(heading, _)| heading.as_str()).collect()).collect();
    assert_eq!(faults[0], ["Allowance"]);
    assert_eq!(faults[1], ["Selection", "Decide on"], "the same one again, and no such day");
    assert_eq!(faults[2], ["Lead"]);
    assert_eq!(faults[3], ["Supplier"]);
    assert_eq!(faults[4], ["Choice"]);
    assert_eq!(faults[5], ["Selection"]);
    assert_eq!(pasted.rows.iter().map(|r| r.line).collect::<Vec<_>>(), [2, 3, 4, 5, 6, 7]);
    assert_eq!(pasted.action(), None, "no row is sound");
    assert!(paste::read(&project, typed(&project), "", None).is_err());
    assert!(paste::read(&project, typed(&project), "Color,Weight\nred,5\n", None).unwrap().guessed);
}

#[test]
fn what_a_room_usually_needs_is_ticked_and_added() {
    let (project, day) = hall_bath();
    let session = Session { room: Some(room(&project, "hall").id), ..Session::default() };
    let mut harness = panel_harness(project, day, session, house::ui);
    press(&mut harness, "Add from the usual…");
    assert!(matches!(harness.state().session.ledger.dialog, Some(LedgerDialog::Starter(_))));
    named(&harness, Role::CheckBox, "Ceiling light").click();
    harness.run();
    fill(&mut harness, "Allowance of Ceiling light", "85");
    press(&mut harness, "Add 1 selection to Upper hall");
    let batch = action(&mut harness);
    let next = harness.state().project.apply(&batch).unwrap();
    let light = next.selections.iter().find(|s| s.name == "Ceiling light").unwrap();
    assert_eq!((light.room, light.allowance), (room(&next, "hall").id, money("85")));
    assert_eq!(light.options[0].parts.len(), 1);
}

#[test]
fn a_room_is_copied_with_nothing_ordered() {
    let (project, _) = hall_bath();
    let bath = room(&project, "bath").id;
    let action = needline::model::copy_room::copy_room(&project, bath).unwrap();
    let next = project.apply(&action).unwrap();
    let copy = next.rooms.iter().find(|r| r.name == "Hall bath 2").expect("a name of its own");
    let of = |id| next.selections.iter().filter(move |s| s.room == id);
    assert_eq!(of(bath).count(), of(copy.id).count());
    let parts = of(copy.id).flat_map(|s| &s.options).flat_map(|o| &o.parts);
    assert!(parts.clone().count() > 10);
    for part in parts {
        assert!(!part.is_ordered() && part.promised_on.is_none() && part.paid.is_zero(), "{}", part.key);
    }
    for (old, new) in of(bath).zip(of(copy.id)) {
        assert_eq!(old.choice().map(|o| &o.name), new.choice().map(|o| &o.name), "choices are kept");
    }
}

#[test]
fn columns_are_picked_and_every_one_sorts() {
    let mut harness = ledger(Session::default());
    press(&mut harness, "Columns to show");
    named(&harness, Role::CheckBox, "Supplier").click();
    harness.run();
    assert!(harness.state().session.ledger.columns.as_ref().unwrap().contains(&LedgerColumn::Supplier));

    let all_columns: Vec<LedgerColumn> = LedgerColumn::ALL.to_vec();
    for column in all_columns.iter().filter(|c| c.is_sorted()) {
        let mut session = with_columns(&[*column]);
        session.sort = Some(*column);
        let up = ledger(session.clone());
        session.descending = true;
        let down = ledger(session);
        let (up, down): (Vec<usize>, Vec<usize>) =
            (up.state().session.rows.items().collect(), down.state().session.rows.items().collect());
        assert_eq!((up.len(), down.len()), (20, 20), "{column:?}");
        assert_eq!(up.iter().collect::<BTreeSet<_>>(), down.iter().collect(), "{column:?}");
    }
}

/// The column that is there when it is asked for, with the percent of the project over it and the days of the engine in it.
#[test]
fn last_order_days_as_sure_as_the_project_asks_for() {
    let harness = ledger(Session::default());
    assert!(!labels(&harness, Role::Button).iter().any(|l| l.contains("% sure")), "hidden at first");
    let (mut project, day) = hall_bath();
    project.settings.confidence = 95;
    let mut harness = panel_harness(project, day, with_columns(&[LedgerColumn::OrderBySure]), house::ui);
    press(&mut harness, "Order by, 95% sure");
    let scene = harness.state();
    let (project, figures) = (&scene.project, &scene.derived.figures);
    let of = |at: usize| {
        let own = &figures.selections[at];
        let live = (own.first_part..own.end_part).filter(|part| figures.parts[*part].live);
        live.filter_map(|part| risk::order_by_at(project, figures, part, 95)).min()
    };
    let days: Vec<_> = scene.session.rows.items().map(of).collect();
    let known: Vec<_> = days.iter().flatten().collect();
    assert!(known.len() > 3 && known.is_sorted(), "{days:?}");
    assert!(days.iter().skip_while(|day| day.is_some()).all(Option::is_none), "blank ones last: {days:?}");
    for day in known.iter().take(5) {
        assert!(says(&harness, &needline::ui::format::day_short(**day, figures.as_of)), "{day}");
    }
}

#[test]
fn every_cell_that_can_be_edited_has_a_name() {
    let harness = ledger(with_columns(&LedgerColumn::ALL));
    for node in all(&harness, Role::Button) {
        assert!(label(&node).is_some_and(|l| !l.is_empty()));
    }
    press_from_exists(&harness, "Unit price of ");
}

fn press_from_exists(harness: &Harness<'_, Scene>, begin: &str) {
    assert!(labels(harness, Role::Button).iter().any(|l| l.starts_with(begin)), "{begin}");
}

#[test]
fn the_filter_for_what_is_over_goes_with_the_others() {
    let mut harness = ledger(Session::default());
    press(&mut harness, "Over allowance");
    let figures = harness.state().derived.figures.clone();
    let over = |at: usize| {
        let over = figures.selections[at].money.over_under();
        !over.is_negative() && !over.is_zero()
    };
    let rows: Vec<usize> = harness.state().session.rows.items().collect();
    assert!(!rows.is_empty() && rows.iter().all(|at| over(*at)));
    assert_eq!(rows.len(), (0..20).filter(|at| over(*at)).count());
    press(&mut harness, "To order");
    let both: Vec<usize> = harness.state().session.rows.items().collect();
    let facts = harness.state().derived.facts(&harness.state().project);
    let expected: Vec<usize> = rows.iter().copied().filter(|at| facts.rows[*at].to_order).collect();
    assert_eq!(both, expected);
}
