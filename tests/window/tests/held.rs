//! One project in two windows: the second one reads, until it takes the project over.

#![cfg(feature = "gui")]

mod support;

use egui::Key;
use egui_kittest::Harness;
use needline::model::file::Lock;
use needline::ui::shell::app::NeedlineApp;
use std::fs;
use std::path::Path;
use support::{command, copy_of, press, press_room, program, read, says};

const HELD: &str = "has this project open to change it";

/// Changes the project: another option of the kitchen base cabinets is chosen.
fn change(program: &mut Harness<'_, NeedlineApp>) {
    let before = program.state().project().unwrap().clone();
    press_room(program, "Kitchen");
    press(program, "Kitchen base cabinets");
    press(program, "Make Semi-custom base cabinets, full overlay the choice");
    press(program, "Make the swap");
    assert_ne!(program.state().project().unwrap(), &before);
}

#[test]
fn the_second_window_reads_until_it_takes_over_and_the_first_loses_nothing() {
    let (folder, path) = copy_of("orchard_house.ron");
    let mut first = program(Some(path.clone()));
    let mut second = program(Some(path.clone()));
    assert!(!says(&first, HELD) && says(&second, "Opened to read: a window"));

    let before = fs::read(&path).unwrap();
    change(&mut second);
    command(&mut second, Key::S);
    assert!(says(&second, "close it there and try again"));
    assert!(says(&second, "Orchard house \u{2022}"), "still unsaved");
    assert_eq!(fs::read(&path).unwrap(), before);

    press(&mut second, "take it over");
    assert!(!says(&second, "Opened to read"));
    command(&mut second, Key::S);
    let saved = read(&path);
    assert_eq!(second.state().project(), Some(&saved));

    // The first one is told, keeps its own changes, and can put them elsewhere.
    change(&mut first);
    command(&mut first, Key::S);
    assert!(says(&first, "Opened to read: a window"));
    assert_eq!(read(&path), saved);
    let (ctx, other) = (first.ctx.clone(), folder.path().join("other.ron"));
    first.state_mut().save_as(&ctx, &other);
    first.run();
    assert!(!says(&first, HELD));
    assert_eq!(Some(&read(&other)), first.state().project());
}

/// A window lets go of a project with the window, with another project, and when it is closed.
#[test]
fn a_window_lets_go_of_what_it_no_longer_shows() {
    let (_folder, path) = copy_of("orchard_house.ron");
    let (_other_folder, other) = copy_of("hall_bath.ron");
    let is_held = |path: &Path| Lock::take(path, false).is_err();
    let mut window = program(Some(path.clone()));
    assert!(is_held(&path));
    // Opened again by the same window, it is no other's.
    window.state_mut().open(&path);
    window.run();
    assert!(is_held(&path) && !says(&window, HELD));
    window.state_mut().open(&other);
    window.run();
    assert!(!is_held(&path) && is_held(&other));
    command(&mut window, Key::W);
    assert!(!is_held(&other));
    window.state_mut().open(&path);
    assert!(is_held(&path));
    drop(window);
    assert!(!is_held(&path));
}
