//! The house in use in the window: the strip above the bars, what a phase and a room take away, and what lies stored.

#![cfg(feature = "gui")]

mod support;

use egui::{Key, PointerButton};
use egui_kittest::Harness;
use needline::model::*;
use needline::ui::areas::dates;
use needline::ui::card;
use needline::ui::session::Session;
use needline::ui::view::{Form, Request};
use support::{
    Role, Scene, button_from, command, fill, labels, named, panel_harness_high, press, press_from, sample,
    says,
};

fn phase<'a>(project: &'a Project, key: &str) -> &'a Phase {
    project.phases.iter().find(|p| p.key == key).unwrap()
}

/// Dates of a sample with a phase picked.
fn dates_of(name: &str, key: Option<&str>) -> Harness<'static, Scene> {
    let (project, day) = sample(name);
    let mut session = Session::default();
    session.dates.picked = key.map(|key| phase(&project, key).id);
    panel_harness_high(1400.0, project, day, session, dates::ui)
}

/// The rows of a room, as keys of their phases.
fn rows(project: &Project, room: &str) -> Vec<(String, Option<String>)> {
    let room = project.rooms.iter().find(|r| r.key == room).unwrap().id;
    let key = |id| project.phase(id).unwrap().key.clone();
    let own = project.out_of_use.iter().filter(|out| out.room == Some(room));
    own.map(|out| (key(out.from_phase), out.to_phase.map(key))).collect()
}

/// Each row is one sentence, a click brings its first phase to view, and the right button edits what takes it away.
#[test]
fn days_without_stand_above_the_bars() {
    let mut harness = dates_of("orchard_house.ron", None);
    let project = harness.state().project.clone();
    for words in [
        "no bath Oct 19 to Nov 10, Jan 21 to Jan 25, 2027",
        "no kitchen Jul 9 to Jan 29, 2027",
        "no water Jan 21 to Jan 26, 2027",
        "no heat Oct 22 to Nov 9",
        "Study out of use Nov 23 to Dec 2",
    ] {
        assert!(labels(&harness, Role::Button).contains(&words.to_owned()), "{words}");
    }
    button_from(&harness, "no bath Oct 19").hover();
    harness.run();
    for words in [
        "Primary bath: Protect the house and demolish to Shower glass and mirrors, Jul 9 to Jan 25, 2027",
        "Hall bath: Finish plumbing, Jan 21, 2027 to Jan 26, 2027",
        "In the plan Oct 19 to Nov 10",
    ] {
        assert!(says(&harness, words), "{words}: {:?}", labels(&harness, Role::Label));
    }
    press_from(&mut harness, "no bath Oct 19");
    assert_eq!(harness.state().session.dates.picked, Some(phase(&project, "demolition").id));
    button_from(&harness, "no bath Oct 19").click_button(PointerButton::Secondary);
    harness.run();
    press_from(
        &mut harness,
        "Edit Hall bath: Tile backer and niche to Grout and seal bath tile, Oct 19 to Nov 10",
    );
    let row = project.out_of_use[1].id;
    assert_eq!(harness.state_mut().take(), [Request::Edit(Form::OutOfUse(Some(row), None))]);
}

/// In a low window the rows that have no room are told in one line.
#[test]
fn a_low_window_tells_the_rest_in_a_line() {
    let (project, day) = sample("orchard_house.ron");
    let mut session = Session::default();
    session.dates.picked = Some(phase(&project, "finish_plumbing").id);
    let harness = panel_harness_high(560.0, project, day, session, dates::ui);
    let buttons = labels(&harness, Role::Button);
    assert!(buttons.iter().filter(|label| label.starts_with("no ")).count() < 5, "{buttons:?}");
    let rest = labels(&harness, Role::Label);
    assert!(
        rest.iter().any(|text| text.contains("no heat Oct 22 to Nov 9; Study out of use Nov 23 to Dec 2")),
        "{rest:?}"
    );
}

#[test]
fn what_lies_stored_is_said_in_a_line() {
    let harness = dates_of("orchard_house.ron", None);
    assert!(says(
        &harness,
        "Storage over full Nov 12 to Nov 16 (worst Fri Nov 13: at least 265 of 260 sq ft; "
    ));
}

/// A project that names nothing of it shows nothing of it, but the way to it in the strip of a phase.
#[test]
fn simple_projects_stay_simple() {
    let harness = dates_of("hall_bath.ron", None);
    let buttons = labels(&harness, Role::Button);
    assert!(
        !buttons.iter().any(|label| label.starts_with("no ") || label.contains("out of use")),
        "{buttons:?}"
    );
    assert!(!says(&harness, "tored") && !says(&harness, "Storage"));
}

#[test]
fn a_phase_says_what_it_takes_away() {
    let mut harness = dates_of("orchard_house.ron", Some("finish_plumbing"));
    let project = harness.state().project.clone();
    press_from(&mut harness, "out of use: water: Finish plumbing, Jan 21, 2027 to Jan 26, 2027");
    let water = project.out_of_use.iter().find(|out| out.service == Some(Service::Water)).unwrap().id;
    assert_eq!(harness.state_mut().take(), [Request::Edit(Form::OutOfUse(Some(water), None))]);
    press(&mut harness, "+ takes a room or a service away");
    let of = phase(&project, "finish_plumbing").id;
    assert_eq!(harness.state_mut().take(), [Request::Edit(Form::OutOfUse(None, Some(of)))]);
}

/// In the form of a room: a row removed, another added, and all of it one step to undo.
#[test]
fn a_room_says_in_its_form_when_it_is_out_of_use() {
    let (_folder, path) = support::copy_of("orchard_house.ron");
    let mut program = support::program(Some(path));
    let before = program.state().project().unwrap().clone();
    support::room_row(&program, "Hall bath").hover();
    program.run();
    assert!(says(&program, "Out of use Oct 19 to Nov 10, Jan 21 to Jan 26, 2027"));
    support::room_row(&program, "Hall bath").click_button(PointerButton::Secondary);
    program.run();
    press(&mut program, "Edit room\u{2026}");
    named(&program, Role::ComboBox, "Used as");
    press(&mut program, "Remove out of use 2");
    press(&mut program, "+ out of use during some of the work");
    named(&program, Role::ComboBox, "Out of use 2: to the finish of").click();
    program.run();
    press(&mut program, "Rough plumbing");
    press(&mut program, "Done");
    let after = program.state().project().unwrap().clone();
    let key = |key: &str| key.to_owned();
    let first = (key("tile_backer"), Some(key("grout_tile")));
    assert_eq!(rows(&before, "hall_bath"), [first.clone(), (key("finish_plumbing"), None)]);
    assert_eq!(rows(&after, "hall_bath"), [first, (key("permits"), Some(key("rough_plumbing")))]);
    command(&mut program, Key::Z);
    assert_eq!(*program.state().project().unwrap(), before);
}

/// From the palette: a row is found by what is missed, and a new one that names nothing is refused in its form.
#[test]
fn rows_are_found_and_added_from_the_palette() {
    let (_folder, path) = support::copy_of("orchard_house.ron");
    let mut program = support::program(Some(path));
    command(&mut program, Key::K);
    fill(&mut program, "By name", "heat out of use");
    program.key_press(Key::Enter);
    program.run();
    assert!(says(&program, "Edit room or service out of use"));
    press(&mut program, "Remove");
    let services = |p: &Project| p.out_of_use.iter().filter(|out| out.service == Some(Service::Heat)).count();
    assert_eq!(services(program.state().project().unwrap()), 0);
    command(&mut program, Key::K);
    fill(&mut program, "By name", "Add a room or service");
    program.key_press(Key::Enter);
    program.run();
    press(&mut program, "Done");
    assert!(says(&program, "say which room or which service is out of use"));
    named(&program, Role::ComboBox, "or service").click();
    program.run();
    press(&mut program, "heat");
    press(&mut program, "Done");
    assert_eq!(services(program.state().project().unwrap()), 1);
}

const BEFORE: &str = "(was Oct 19 to Nov 10, Jan 21 to Jan 25, 2027)";

/// The card of a candidate says how the days would change, and so does the form of the swap.
#[test]
fn a_swap_says_how_the_days_without_a_bath_change() {
    let (project, day) = sample("orchard_house.ron");
    let glass = support::selection(&project, "primary_bath_glass").id;
    let session = Session { selection: Some(glass), ..Session::default() };
    let harness = panel_harness_high(1400.0, project, day, session, |ui, view, session, out| {
        card::ui(ui, view, session, out);
    });
    let words = format!("no bath Oct 19 to Nov 10 {BEFORE}");
    assert!(says(&harness, &words), "{:?}", labels(&harness, Role::Label));

    let (_folder, path) = support::copy_of("orchard_house.ron");
    let mut program = support::program(Some(path));
    support::press_room(&mut program, "Primary bath");
    press(&mut program, "Primary shower glass");
    press(&mut program, "Make Semi-frameless sliding door, 1/4 in the choice");
    named(&program, Role::Button, "Make the swap");
    let said = labels(&program, Role::Label).iter().filter(|text| text.contains(&words)).count();
    assert_eq!(said, 2, "on the card, and in the form over it");
}

/// All texts that are painted.
fn painted(harness: &Harness<'_, Scene>) -> Vec<String> {
    fn texts(shape: &egui::Shape, found: &mut Vec<String>) {
        match shape {
            egui::Shape::Text(text) => found.push(text.galley.text().to_owned()),
            egui::Shape::Vec(shapes) => shapes.iter().for_each(|shape| texts(shape, found)),
            _ => {}
        }
    }
    let mut found = Vec::new();
    harness.output().shapes.iter().for_each(|clipped| texts(&clipped.shape, &mut found));
    found
}

/// While a bar is dragged, the days without a bath are said as they would become.
#[test]
fn a_bar_that_is_dragged_says_how_the_days_change() {
    let (project, day) = sample("orchard_house.ron");
    let id = phase(&project, "tile_backer").id;
    let mut session = Session { day_width: 10.0, scroll_to_phase: Some(id), ..Session::default() };
    session.dates.scroll_x = Some(600.0);
    let mut harness = panel_harness_high(900.0, project.clone(), day, session, dates::ui);
    let row = button_from(&harness, "Tile backer and niche, Mon").rect();
    let figures = harness.state().derived.figures.clone();
    let start = figures.phase(id).unwrap().forecast_start.unwrap();
    let first = figures.phases.iter().filter_map(|p| p.early_start).min().unwrap().plus(-7);
    let x = row.left() + 230.0 + start.since(first) as f32 * 10.0 - 600.0;
    let from = egui::pos2(x + 8.0, row.top() + 10.0);
    harness.hover_at(from);
    harness.run();
    let button = egui::PointerButton::Primary;
    let pressed =
        egui::Event::PointerButton { pos: from, button, pressed: true, modifiers: egui::Modifiers::NONE };
    harness.event(pressed);
    harness.run();
    for step in 1..=4 {
        harness.event(egui::Event::PointerMoved(from + egui::vec2(35.0 * step as f32, 0.0)));
        harness.run();
    }
    // Two weeks from Mon Oct 19.
    let not_before = Some(support::date("2026-11-02"));
    let next = project.apply(&Action::SetNotBefore(id, not_before)).unwrap();
    let after = needline::engine::compute(&next, day);
    let spans = &after.in_use.of(needline::engine::in_use::Out::Use(Use::Bath)).unwrap().forecast;
    assert_eq!(spans[0].from.to_string(), "2026-11-02");
    let texts = painted(&harness);
    let said: Vec<&String> = texts.iter().filter(|text| text.contains("(was Oct 19 to Nov 10")).collect();
    assert!(said.len() == 1 && said[0].starts_with("no bath Nov 2 to "), "{texts:?}");
    // So are the finish, and the phases behind it.
    let finish = after.forecast_finish.unwrap();
    let by = figures.finish_moves(Some(finish)).unwrap();
    let moved = needline::ui::format::moved(by, "working day").unwrap_or("as now".to_owned());
    let words = format!("finish {}, {moved}", needline::ui::format::day_short(finish, after.as_of));
    assert!(texts.contains(&words), "{words:?} is not among {texts:?}");
    let foreseen = harness.state().derived.dropped(&project, id, not_before).unwrap();
    assert_eq!(foreseen.preview.finish, Some(finish));
    let mut behind = 0;
    for (at, (now, then)) in figures.phases.iter().zip(&after.phases).enumerate() {
        let days = |f: &needline::engine::PhaseFigures| f.forecast_start.zip(f.forecast_finish);
        assert_eq!(foreseen.ghost(at), days(then).filter(|then| days(now) != Some(*then)));
        behind += usize::from(foreseen.ghost(at).is_some());
    }
    assert!(behind > 1, "something waits for it");
    assert!(harness.state_mut().take().is_empty(), "nothing is asked before it is let go");
}

/// Nothing can be taken away by work that is not there; the form says so, and stays.
#[test]
fn a_project_without_phases_refuses_a_row() {
    let mut program = support::program_on("2026-06-01");
    press(&mut program, "New project\u{2026}");
    fill(&mut program, "Name", "Small house");
    let ticks: Vec<String> = labels(&program, Role::CheckBox);
    for tick in ticks {
        named(&program, Role::CheckBox, &tick).click();
        program.run();
    }
    press(&mut program, "Begin");
    assert!(program.state().project().unwrap().phases.is_empty());
    command(&mut program, Key::K);
    fill(&mut program, "By name", "Add a room or service");
    program.key_press(Key::Enter);
    program.run();
    named(&program, Role::ComboBox, "or service").click();
    program.run();
    press(&mut program, "water");
    press(&mut program, "Done");
    assert!(says(&program, "names a phase that is not in the project"));
    assert!(program.state().project().unwrap().out_of_use.is_empty());
}
