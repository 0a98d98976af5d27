//! What is asked over the window: Escape closes the topmost thing only, what was filled in is not dropped without a
//! question, lists open over the form they belong to, and days are picked from a month.

#![cfg(feature = "gui")]

mod support;

use egui::{Event, Key, Modifiers, PointerButton, Pos2};
use egui_kittest::Harness;
use egui_kittest::kittest::NodeT as _;
use needline::ui::app::NeedlineApp;
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
fn first_from(program: &Program, begin: &str) -> String {
    let found = labels(program, Role::Button).into_iter().find(|l| l.starts_with(begin));
    found.unwrap_or_else(|| panic!("{begin}"))
}

/// 2026-11-26 is Thanksgiving, the fourth Thursday of November: 5 U.S.C. 6103.
#[test]
#[test]
