//! Swaps in the window: what the card and Buying ask for, and a whole change of mind by what is written on the screen.

#![cfg(feature = "gui")]

mod support;

use needline::engine::swap::{Wish, preview};
use needline::engine::{compute, returns};
use needline::model::*;
use needline::ui::areas::buying;
use needline::ui::card;
use needline::ui::session::Session;
use needline::ui::view::{Form, Request};
use support::*;

const STONE: &str = "Freestanding tub, 62 in, cast stone";
const OVAL: &str = "Freestanding oval tub, 60 in, acrylic";

fn house() -> (Project, chrono::NaiveDate) {
    sample("orchard_house.ron")
}

fn return_of(p: &Project, part: PartId) -> &Return {
    p.returns.iter().find(|r| r.part == part).expect("a return")
}

/// The project with the tub swapped.
fn swapped() -> (Project, chrono::NaiveDate) {
    let (p, day) = house();
    let tub = selection(&p, "primary_bath_tub").id;
    let wish = Wish::new(tub, option(&p, "primary_bath_tub_stone").id, day);
    let seen = preview(&p, &compute(&p, day), &wish).unwrap();
    (p.apply(&seen.action).unwrap(), day)
}

#[test]
fn another_choice_is_looked_at_before_it_is_made() {
    let (p, day) = house();
    let tub = selection(&p, "primary_bath_tub").id;
    let stone = option(&p, "primary_bath_tub_stone").id;
    let session = Session { selection: Some(tub), ..Session::default() };
    let mut harness = panel_harness_high(1200.0, p, day, session, |ui, view, session, out| {
        card::ui(ui, view, session, out);
    });
    assert!(
        says(&harness, "does not fit: Tub weight suits the floor: empty weight 340 lb"),
        "seen before the click"
    );
    assert!(says(&harness, "fits by 1 rule"));
    press(&mut harness, &format!("Make {STONE} the choice"));
    assert_eq!(harness.state_mut().take(), [Request::Edit(Form::Swap(tub, stone, None))]);
    press(&mut harness, "Tub weight suits the floor");
    let rule = harness.state().project.rules.iter().find(|r| r.key == "primary_tub_on_joists").unwrap().id;
    assert_eq!(harness.state_mut().take(), [Request::Edit(Form::Rule(Some(rule), None))]);
}

/// Both options are seen in the form, and its words say which is which.
#[test]
fn a_swap_shows_both_options() {
    let (_folder, path) = copy_of("orchard_house.ron");
    let mut program = program(Some(path));
    press_room(&mut program, "Primary bath");
    press(&mut program, "Primary freestanding tub");
    press(&mut program, &format!("Make {STONE} the choice"));
    let seen = labels(&program, Role::Image);
    let of = |end: &str| seen.iter().find(|l| l.ends_with(end)).cloned().unwrap_or_default();
    assert!(of("; from").contains("tub") && of("; to").contains("tub"), "{seen:?}");
    assert!(says(&program, OVAL) && says(&program, STONE));
}

#[test]
fn the_log_leads_back() {
    let (p, day) = swapped();
    let swap = p.swaps.last().unwrap().clone();
    let session = Session { selection: Some(swap.selection), ..Session::default() };
    let mut harness = panel_harness_high(1500.0, p, day, session, |ui, view, session, out| {
        card::ui(ui, view, session, out);
    });
    assert!(says(&harness, "finish Feb 11, 2027 to Feb 18, 2027"));
    press(&mut harness, &format!("Swap back to {OVAL}"));
    assert_eq!(
        harness.state_mut().take(),
        [Request::Edit(Form::Swap(swap.selection, swap.from, Some(swap.id)))]
    );
    press(&mut harness, "save the log of Primary bath\u{2026}");
    let room = harness.state().project.selection(swap.selection).unwrap().room;
    assert_eq!(harness.state_mut().take(), [Request::ExportSwaps(Some(room))]);
    press(&mut harness, "Remove from the log");
    assert_eq!(harness.state_mut().take(), [act(Action::RemoveSwap(swap.id))]);
}

#[test]
fn the_log_of_a_room_stands_where_nothing_is_picked() {
    let (p, day) = swapped();
    for (room, swaps) in
        [(None, p.swaps.len()), (Some(room(&p, "primary_bath").id), 1), (Some(room(&p, "study").id), 0)]
    {
        let session = Session { room, ..Session::default() };
        let harness = panel_harness(p.clone(), day, session, |ui, view, session, out| {
            card::ui(ui, view, session, out);
        });
        let back =
            labels(&harness, Role::Button).into_iter().filter(|l| l.starts_with("Swap back to ")).count();
        assert_eq!(back, swaps);
    }
}

#[test]
fn what_is_no_longer_wanted_stands_in_buying() {
    let (p, day) = swapped();
    let oval = part(&p, "primary_bath_tub_oval").id;
    let known = return_of(&p, oval).clone();
    let name = part_name(&p, "primary_bath_tub_oval");
    let mut harness = panel_harness(p, day, Session::default(), buying::ui);
    assert!(says(&harness, "send it back by Oct 30, 39 days left; restocking 193.50"));
    for (button, state) in [
        ("send it back", ReturnState::GoingBack),
        ("keep it", ReturnState::Kept),
        ("write it off", ReturnState::WrittenOff),
    ] {
        press(&mut harness, &format!("{button}: {name}"));
        let asked = Action::PutReturn(Return { state, ..known.clone() });
        assert_eq!(harness.state_mut().take(), [act(asked)]);
    }
    press(&mut harness, &format!("it went back: {name}"));
    assert_eq!(harness.state_mut().take(), [Request::Edit(Form::Return(oval, Some(ReturnState::WentBack)))]);
    press(&mut harness, &format!("Edit the return: {name}"));
    assert_eq!(harness.state_mut().take(), [Request::Edit(Form::Return(oval, None))]);
}

/// Preview the swap of a received tub, make it, see money, return and date, send it back, and reverse another one.
#[test]
fn a_whole_change_of_mind() {
    let (_folder, path) = copy_of("orchard_house.ron");
    let mut program = program(Some(path.clone()));
    let now = |p: &egui_kittest::Harness<'_, needline::ui::shell::app::NeedlineApp>| {
        p.state().project().expect("a project is open").clone()
    };
    let before = now(&program);
    press_room(&mut program, "Primary bath");
    press(&mut program, "Primary freestanding tub");
    press(&mut program, &format!("Make {STONE} the choice"));
    for words in [
        "4 working days later",
        "3,088.80 more",
        "1,912.80 more",
        "1,176.00 comes back",
        "39 days left",
        "Tub weight suits",
    ] {
        assert!(says(&program, words), "{words}; there is {:?}", labels(&program, Role::Label));
    }
    assert_eq!(now(&program), before, "nothing is done yet");
    fill(&mut program, "Why", "The oval one is too short");
    press(&mut program, "Make the swap");
    let made = now(&program);
    let figures = compute(&made, before.settings.as_of.unwrap());
    let swap = made.swaps.last().unwrap();
    assert_eq!(swap.why, "The oval one is too short");
    assert_eq!(swap.known.forecast_after, figures.money.total.forecast);
    assert_eq!(figures.forecast_finish.map(|d| d.date()), swap.known.finish_after);
    assert_eq!(swap.known.finish_after, Some(date("2027-02-18")));
    assert!(says(&program, "The oval one is too short"), "the log is on the card");
    assert!(
        says(&program, "bought and no longer wanted: to decide; send it back by Oct 30"),
        "on its option"
    );

    press(&mut program, "Buying");
    let name = part_name(&before, "primary_bath_tub_oval");
    press(&mut program, &format!("it went back: {name}"));
    fill(&mut program, "Credit", "1176");
    press(&mut program, "Done");
    let sent = now(&program);
    let oval = part(&sent, "primary_bath_tub_oval").id;
    assert_eq!(return_of(&sent, oval).went_back_on, before.settings.as_of);
    let row = compute(&sent, before.settings.as_of.unwrap());
    let counted = row.returns.iter().find(|r| sent.returns[r.at].part == oval).unwrap();
    assert_eq!(counted.forecast, Money::new("207.53".parse().unwrap()), "193.50 and the tax on it");
    assert!(returns::loose(&sent, &row.parts).is_empty());

    // Undo the return; then back by another swap, which takes the return back.
    command(&mut program, egui::Key::Z);
    assert_eq!(now(&program), made);
    // The log stands below the options.
    named(&program, Role::Button, &format!("Swap back to {OVAL}")).scroll_to_me();
    program.run();
    press(&mut program, &format!("Swap back to {OVAL}"));
    assert!(says(&program, "its return is taken back"));
    press(&mut program, "Make the swap");
    let back = now(&program);
    assert_eq!(back.returns, before.returns);
    assert_eq!(back.swaps.last().unwrap().reverses, Some(swap.id));
    let was = compute(&before, before.settings.as_of.unwrap());
    let is = compute(&back, before.settings.as_of.unwrap());
    assert_eq!((is.money, is.forecast_finish), (was.money, was.forecast_finish));
    command(&mut program, egui::Key::S);
    assert_eq!(read(&path), back);
}
