//! What is asked over the window: Escape closes the topmost thing only, what was filled in is not dropped without a
//! question, lists open over the form they belong to, and days are picked from a month.

#![cfg(feature = "gui")]

mod support;

use egui::{Event, Key, Modifiers, PointerButton, Pos2};
use egui_kittest::Harness;
use egui_kittest::kittest::NodeT as _;
use needline::model::{HolidayRule, Holidays};
use needline::ui::shell::app::NeedlineApp;
use support::{Role, all, command, copy_of, fill, label, labels, named, press, program, says};

type Program = Harness<'static, NeedlineApp>;

const QUESTION: &str = "Drop what was filled in?";

fn open(sample: &str) -> (tempfile::TempDir, Program) {
    let (folder, path) = copy_of(sample);
    (folder, program(Some(path)))
}

/// The settings of the small sample.
fn settings() -> (tempfile::TempDir, Program) {
    let (folder, mut program) = open("hall_bath.ron");
    command(&mut program, Key::Comma);
    assert!(says(&program, "Project settings"));
    (folder, program)
}

fn escape(program: &mut Program) {
    program.key_press(Key::Escape);
    program.run();
}

/// Presses and lets go of the mouse in one frame, as a fast click with a slow screen does.
fn click_in_one_frame(program: &mut Program, at: Pos2) {
    let button = |pressed| Event::PointerButton {
        pos: at,
        button: PointerButton::Primary,
        pressed,
        modifiers: Modifiers::NONE,
    };
    program.input_mut().events.extend([Event::PointerMoved(at), button(true), button(false)]);
    program.step();
    program.run();
}

fn field_of(program: &Program, name: &str) -> String {
    named(program, Role::TextInput, name).accesskit_node().value().unwrap_or_default()
}

/// The drop-down with a name, and what stands in it.
fn shown_in(program: &Program, name: &str) -> (Pos2, String) {
    let node = named(program, Role::ComboBox, name);
    (node.rect().center(), node.accesskit_node().value().unwrap_or_default())
}

/// The working week is pressed day by day, and the rule of holidays is picked by its words.
#[test]
fn the_working_week_is_pressed_and_holidays_are_picked() {
    let (_folder, mut program) = settings();
    let of = |program: &Program| program.state().project().unwrap().settings.clone();
    let before = of(&program);
    let (words, rule) = match before.holidays.rule {
        HolidayRule::None => ("US federal holidays", HolidayRule::UsFederal),
        HolidayRule::UsFederal => ("none", HolidayRule::None),
    };
    press(&mut program, "Sat");
    named(&program, Role::ComboBox, "Holidays").click();
    program.run();
    press(&mut program, words);
    press(&mut program, "Done");
    let now = of(&program);
    let expected = needline::model::Settings {
        weekdays: before.weekdays.with(chrono::Weekday::Sat, true),
        holidays: Holidays { rule, ..before.holidays.clone() },
        ..before.clone()
    };
    assert_ne!(now, before);
    assert_eq!(now, expected);
}

#[test]
fn a_drop_down_works_again_and_again_by_fast_clicks() {
    let (_folder, mut program) = settings();
    for wanted in ["on each line", "once an order", "on each line", "once an order"] {
        let (at, _) = shown_in(&program, "Sales tax is rounded");
        click_in_one_frame(&mut program, at);
        let item = all(&program, Role::Button).into_iter().find(|n| label(n).as_deref() == Some(wanted));
        let item =
            item.unwrap_or_else(|| panic!("{wanted}: {:?}", labels(&program, Role::Button))).rect().center();
        click_in_one_frame(&mut program, item);
        assert_eq!(shown_in(&program, "Sales tax is rounded").1, wanted);
    }
}

#[test]
fn escape_closes_an_open_list_and_not_the_form_behind_it() {
    let (_folder, mut program) = settings();
    fill(&mut program, "Name", "Another name");
    let (at, _) = shown_in(&program, "Measures in");
    click_in_one_frame(&mut program, at);
    escape(&mut program);
    assert!(says(&program, "Project settings"), "the form stays");
    assert!(!says(&program, QUESTION));
    assert_eq!(field_of(&program, "Name"), "Another name");
}

#[test]
fn what_was_filled_in_is_asked_about_before_it_is_dropped() {
    let (_folder, mut program) = settings();
    escape(&mut program);
    assert!(!says(&program, "Project settings"), "nothing was filled in");

    for way in ["Escape", "Cancel", "beside"] {
        command(&mut program, Key::Comma);
        fill(&mut program, "Name", "Another name");
        let go = |program: &mut Program| match way {
            "Escape" => escape(program),
            "Cancel" => press(program, "Cancel"),
            _ => click_in_one_frame(program, Pos2::new(20.0, 450.0)),
        };
        go(&mut program);
        assert!(says(&program, QUESTION), "{way}");
        // Escape again keeps it, and so does the button.
        escape(&mut program);
        assert!(!says(&program, QUESTION), "{way}");
        assert_eq!(field_of(&program, "Name"), "Another name", "{way}");
        go(&mut program);
        press(&mut program, "Keep it");
        assert_eq!(field_of(&program, "Name"), "Another name", "{way}");
        go(&mut program);
        press(&mut program, "Drop it");
        assert!(!says(&program, "Project settings"), "{way}");
        assert_eq!(program.state().project().unwrap().settings.name, "Hall bath");
    }
    // The next form begins without a memory of it.
    command(&mut program, Key::Comma);
    escape(&mut program);
    assert!(!says(&program, "Project settings"));
}

#[test]
fn escape_closes_windows_one_by_one_then_marks_of_rows() {
    let (_folder, mut program) = open("hall_bath.ron");
    command(&mut program, Key::Num2);
    command(&mut program, Key::A);
    let marked = program.state().session().ledger.marked.len();
    assert!(marked > 2);
    command(&mut program, Key::Num9);
    program.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::F);
    program.run();
    let session = |program: &Program| {
        let s = program.state().session();
        (s.why.is_some(), s.problems_open, s.ledger.marked.len())
    };
    assert_eq!(session(&program), (true, true, marked));
    escape(&mut program);
    assert_eq!(session(&program), (false, true, marked), "the one on top");
    escape(&mut program);
    assert_eq!(session(&program), (false, false, marked));
    escape(&mut program);
    assert_eq!(session(&program), (false, false, 0));
}

#[test]
fn escape_closes_the_sheet_of_keys_and_empties_the_search() {
    let (_folder, mut program) = open("hall_bath.ron");
    program.key_press(Key::F1);
    program.run();
    assert!(program.state().session().shortcuts_open);
    escape(&mut program);
    assert!(!program.state().session().shortcuts_open);

    // The field is in House, where the window is opened.
    command(&mut program, Key::Num2);
    command(&mut program, Key::Num9);
    command(&mut program, Key::F);
    named(&program, Role::TextInput, "Search").type_text("tub");
    program.run();
    assert_eq!(program.state().session().search, "tub");
    escape(&mut program);
    assert_eq!(program.state().session().search, "");
    assert!(program.state().session().problems_open, "the field was nearer");
}

#[test]
fn escape_leaves_a_visit_that_is_being_noted_and_asks_about_its_words() {
    let (_folder, mut program) = open("orchard_house.ron");
    command(&mut program, Key::Num6);
    support::press_from(&mut program, "Rough electrical inspection, ");
    let begin = "Note a visit for ";
    let day = "Day of the visit, 2026-12-17 or Dec 17";
    let note = first_from(&program, begin);
    press(&mut program, &note);
    named(&program, Role::TextInput, day).focus();
    program.run();
    escape(&mut program);
    assert!(!labels(&program, Role::TextInput).contains(&day.to_owned()), "nothing was written");

    press(&mut program, &note);
    fill(&mut program, "What was said", "come back on Monday");
    named(&program, Role::TextInput, "What was said").focus();
    program.run();
    escape(&mut program);
    assert!(says(&program, QUESTION));
    escape(&mut program);
    assert_eq!(field_of(&program, "What was said"), "come back on Monday");
}

fn first_from(program: &Program, begin: &str) -> String {
    let found = labels(program, Role::Button).into_iter().find(|l| l.starts_with(begin));
    found.unwrap_or_else(|| panic!("{begin}"))
}

/// 2026-11-26 is Thanksgiving, the fourth Thursday of November: 5 U.S.C. 6103.
#[test]
fn a_day_is_picked_from_a_month_by_keys_and_by_mouse() {
    let (_folder, mut program) = open("orchard_house.ron");
    command(&mut program, Key::Comma);
    fill(&mut program, "Target finish", "2026-11-19");
    press(&mut program, "Pick a day: Target finish");
    assert!(says(&program, "November 2026"));
    let buttons = labels(&program, Role::Button);
    for day in ["Thursday, November 26, 2026, closed", "Saturday, November 28, 2026, closed"] {
        assert!(buttons.contains(&day.to_owned()), "{buttons:?}");
    }
    assert!(
        buttons.contains(&"Monday, November 30, 2026".to_owned()),
        "an open day has no mark: {buttons:?}"
    );

    // A week and a day on, taken with Enter.
    for key in [Key::ArrowDown, Key::ArrowRight, Key::Enter] {
        program.key_press(key);
        program.run();
    }
    assert_eq!(field_of(&program, "Target finish"), "2026-11-27");
    assert!(!says(&program, "November 2026"), "the month is closed");

    press(&mut program, "Pick a day: Target finish");
    program.key_press(Key::PageDown);
    program.run();
    assert!(says(&program, "December 2026"));
    press(&mut program, "Next year");
    press(&mut program, "Previous month");
    assert!(says(&program, "November 2027"));
    escape(&mut program);
    assert!(!says(&program, "November 2027"));
    assert!(says(&program, "Project settings"), "Escape closes the month only");
    assert_eq!(field_of(&program, "Target finish"), "2026-11-27");

    press(&mut program, "Pick a day: Target finish");
    press(&mut program, "Monday, November 2, 2026");
    assert_eq!(field_of(&program, "Target finish"), "2026-11-02");
}

fn right_click(program: &mut Program, at: Pos2) {
    program.event(Event::PointerMoved(at));
    for pressed in [true, false] {
        program.event(Event::PointerButton {
            pos: at,
            button: PointerButton::Secondary,
            pressed,
            modifiers: Modifiers::NONE,
        });
    }
    program.run();
}

#[test]
fn the_menu_of_a_row_swaps_over_the_form_and_says_what_moved() {
    let (_folder, mut program) = open("orchard_house.ron");
    support::press_room(&mut program, "Kitchen");
    let before = program.state().project().unwrap().clone();
    let was = program.state().figures().unwrap().clone();
    let row = support::row_or_button(&program, "Kitchen base cabinets").rect().center();
    right_click(&mut program, row);
    let choose = first_from(&program, "Choose Semi-custom base cabinets, full overlay");
    let wanted = support::option(&before, "kitchen_base_cabinets_semi_custom");
    let arrival = was.part(wanted.parts[0].id).unwrap().arrival;
    let arrives = format!("arrives {}, ", needline::ui::format::day_short(arrival.unwrap(), was.as_of));
    assert!(choose.contains(&arrives), "{choose} says {arrives}");
    press(&mut program, &choose);
    assert_eq!(*program.state().project().unwrap(), before, "what it does is shown first");
    press(&mut program, "Make the swap");
    let after = program.state().project().unwrap().clone();
    assert_eq!(after.swaps.len(), before.swaps.len() + 1, "it is in the log");

    let now = program.state().figures().unwrap();
    let near = now.as_of;
    let day = |d: Option<needline::engine::Day>| needline::ui::format::day_short(d.unwrap(), near);
    let finish = format!("finish {} to {}", day(was.forecast_finish), day(now.forecast_finish));
    assert!(says(&program, &finish), "{finish}: {:?}", labels(&program, Role::Label));
    press(&mut program, "undo");
    assert_eq!(*program.state().project().unwrap(), before);
    assert!(!says(&program, &finish), "the notice goes with it");
}

/// A form stays within the window, with its margins, however wide its columns would be.
#[test]
fn the_form_of_a_room_stays_within_the_window() {
    let (_folder, path) = copy_of("orchard_house.ron");
    let mut program = program(Some(path));
    support::room_row(&program, "Primary bath").click_button(PointerButton::Secondary);
    program.run();
    press(&mut program, "Edit room\u{2026}");
    for width in [1440.0, 1000.0, 900.0, 853.0, 800.0, 700.0, 640.0] {
        program.set_size(egui::vec2(width, 533.0));
        program.run_steps(4);
        // The first button stands at the left margin of what is at most 840 points wide, in the middle of the window.
        let left = support::button_from(&program, "Done").rect().left();
        let wide = 840_f32.min(width - 80.0);
        assert!((left - (width - wide) / 2.0).abs() < 2.0, "{left} at {width}");
    }
}

/// The system's lists of windows say which project a window holds, from which file, and whether it is saved.
#[test]
fn the_title_names_project_and_file() {
    let (_folder, path) = copy_of("hall_bath.ron");
    let mut program = program(Some(path));
    assert_eq!(program.state().title(), "Hall bath (hall_bath.ron) \u{2013} Needline");
    let told = program.output().viewport_output.values().any(|v| !v.commands.is_empty());
    assert!(!told, "the system is told once, and not in each frame");
    press(&mut program, "House");
    let first = program.state().project().unwrap().selections.iter().find(|s| s.options.len() > 1).unwrap();
    let other = first.options.iter().find(|o| o.state == needline::model::OptionState::Candidate).unwrap().id;
    program.state_mut().ask(needline::ui::view::Request::Act(Box::new(needline::model::Action::Lean(other))));
    program.run();
    assert_eq!(program.state().title(), "Hall bath \u{2022} (hall_bath.ron) \u{2013} Needline");
    command(&mut program, Key::W);
    press(&mut program, "Throw the changes away");
    assert_eq!(program.state().title(), "Needline");
}
