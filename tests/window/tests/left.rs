//! What an ended run did not save: the next start offers it, says what it is, by whom and when, and does what is answered.

#![cfg(feature = "gui")]

mod support;

use egui::{Key, Modifiers};
use egui_kittest::Harness;
use needline::model::file::{journal, save};
use needline::model::{Action, Project};
use needline::ui::shell::app::NeedlineApp;
use needline::ui::theme;
use std::fs;
use std::path::{Path, PathBuf};
use support::{Role, command, copy_of, date, labels, press, press_room, program, read, says};

const ASKED: &str = "Go on with what was not saved?";

/// Changes the project: another option of the kitchen base cabinets is chosen.
fn change(program: &mut Harness<'_, NeedlineApp>) -> Project {
    let before = program.state().project().unwrap().clone();
    press_room(program, "Kitchen");
    press(program, "Kitchen base cabinets");
    press(program, "Make Semi-custom base cabinets, full overlay the choice");
    press(program, "Make the swap");
    let after = program.state().project().unwrap().clone();
    assert_ne!(after, before);
    after
}

fn beside(path: &Path) -> Vec<String> {
    let entries = fs::read_dir(path.parent().unwrap()).unwrap();
    let mut names: Vec<String> =
        entries.map(|e| e.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.retain(|name| name.ends_with(".edits"));
    names.sort();
    names
}

/// A sample that was changed in a window which ended before it was saved; the file as it was, and what was on screen.
fn ended() -> (tempfile::TempDir, PathBuf, Project, Project) {
    let (folder, path) = copy_of("orchard_house.ron");
    let before = read(&path);
    let mut window = program(Some(path.clone()));
    assert!(beside(&path).is_empty());
    let unsaved = change(&mut window);
    // Dropped as the end of the process would: nobody was asked, and nothing was saved.
    drop(window);
    assert_eq!((beside(&path), read(&path)), (vec![".orchard_house.ron.edits".to_owned()], before.clone()));
    (folder, path, before, unsaved)
}

/// Waits until what is to be kept is, as somebody who does nothing would.
fn settle(program: &mut Harness<'_, NeedlineApp>) {
    program.run();
    program.state().settle();
    program.run();
}

#[test]
fn what_was_not_saved_is_offered_with_what_it_is_and_taken_up() {
    let (_folder, path, before, unsaved) = ended();
    let mut window = program(Some(path.clone()));
    assert_eq!(window.state().project(), Some(&before), "nothing is applied in silence");
    for words in [
        ASKED,
        "had 1 change not saved when the program closed",
        "The last change, \u{201c}",
        "was made on ",
        "Different from the file: ",
        "1 selection",
        "The total would be ",
        ", in the file it is ",
    ] {
        assert!(says(&window, words), "{words}; there are {:?}", labels(&window, Role::Label));
    }
    press(&mut window, "Go on with it");
    assert!(!says(&window, ASKED) && says(&window, "Orchard house \u{2022}"), "it is unsaved");
    assert_eq!(window.state().project(), Some(&unsaved));
    // Undo leads to the file, and with nothing unsaved there is no record; redo brings both back.
    command(&mut window, Key::Z);
    settle(&mut window);
    assert_eq!((window.state().project(), beside(&path).len()), (Some(&before), 0));
    window.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    settle(&mut window);
    assert_eq!((window.state().project(), beside(&path).len()), (Some(&unsaved), 1));
    // The window may end again before it is saved.
    drop(window);
    let mut window = program(Some(path.clone()));
    press(&mut window, "Go on with it");
    command(&mut window, Key::S);
    settle(&mut window);
    assert_eq!((read(&path), beside(&path).len()), (unsaved, 0));
    drop(window);
    assert!(!says(&program(Some(path)), ASKED));
}

#[test]
fn left_for_later_it_is_offered_again_and_discarded_only_after_a_second_question() {
    let (_folder, path, before, _) = ended();
    let mut window = program(Some(path.clone()));
    press(&mut window, "Leave it for later");
    assert!(!says(&window, ASKED));
    assert_eq!((window.state().project(), beside(&path).len()), (Some(&before), 1));
    // What is changed now has a record of its own.
    let other = change(&mut window);
    settle(&mut window);
    assert_eq!(beside(&path), [".orchard_house.ron.2.edits", ".orchard_house.ron.edits"]);
    command(&mut window, Key::S);
    settle(&mut window);
    assert_eq!((read(&path), beside(&path).len()), (other.clone(), 1));
    drop(window);

    // The same change was saved since, so that there is nothing left to ask.
    let window = program(Some(path.clone()));
    assert!(!says(&window, ASKED) && beside(&path).is_empty());
    drop(window);

    let (_folder, path, before, _) = ended();
    let mut window = program(Some(path.clone()));
    press(&mut window, "Discard it…");
    assert!(says(&window, "Discard it for good?") && beside(&path).len() == 1);
    press(&mut window, "Keep it");
    assert!(says(&window, ASKED));
    press(&mut window, "Discard it…");
    press(&mut window, "Discard it for good");
    assert!(!says(&window, "Discard it") && beside(&path).is_empty());
    assert_eq!((window.state().project(), read(&path)), (Some(&before), before.clone()));
    // Escape is no answer that costs anything.
    drop(window);
    let (_folder, path, ..) = ended();
    let mut window = program(Some(path.clone()));
    window.key_press(Key::Escape);
    window.run();
    assert!(!says(&window, ASKED) && beside(&path).len() == 1);
}

/// The file was written by a command since: it stays as it is, and what was not saved gets a name of its own.
#[test]
fn of_a_file_that_changed_since_it_opens_as_a_copy() {
    let (folder, path, before, unsaved) = ended();
    let mut other = before.settings.clone();
    other.name = "Orchard house, by somebody else".to_owned();
    let written = before.apply(&Action::PutSettings(Box::new(other))).unwrap();
    save(&written, &path, None).unwrap();
    let bytes = fs::read(&path).unwrap();
    let mut window = program(Some(path.clone()));
    assert!(says(&window, "was changed by another run since, so this opens as a copy"));
    assert!(says(&window, "the settings"), "in what it differs from the file as it is now");
    press(&mut window, "Open it as a copy");
    assert_eq!(window.state().project(), Some(&unsaved));
    settle(&mut window);
    command(&mut window, Key::S);
    for _ in 0..200 {
        if !labels(&window, Role::TextInput).is_empty() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
        window.run();
    }
    assert_eq!(fs::read(&path).unwrap(), bytes);
    // As the dialog of the system would answer.
    let (ctx, copy) = (window.ctx.clone(), folder.path().join("orchard_house not saved.ron"));
    window.state_mut().save_as(&ctx, &copy);
    settle(&mut window);
    assert_eq!((read(&copy), fs::read(&path).unwrap()), (unsaved, bytes));
    assert!(beside(&path).is_empty());
}

/// A project that was never saved, and the start page.
#[test]
fn what_was_never_saved_is_offered_at_the_start() {
    let state = tempfile::tempdir().unwrap();
    let begin = |file: Option<PathBuf>, recent: Vec<PathBuf>| {
        let state = state.path().to_owned();
        let mut window = support::window(1440.0, 900.0).build_eframe(move |cc| {
            theme::apply(&cc.egui_ctx);
            NeedlineApp::started(file, date("2026-06-01"), state, recent)
        });
        window.run();
        window
    };
    let (_folder, path) = copy_of("orchard_house.ron");
    let mut window = begin(None, Vec::new());
    let house = read(&path);
    window.state_mut().begin_with(house.clone());
    window.run();
    let unsaved = change(&mut window);
    drop(window);

    let mut window = begin(None, Vec::new());
    assert!(says(&window, ASKED) && says(&window, "was never saved when the program closed"));
    press(&mut window, "Leave it for later");
    assert!(says(&window, "Not saved when the program closed"));
    support::press_from(&mut window, "Orchard house, ");
    press(&mut window, "Go on with it");
    assert_eq!(window.state().project(), Some(&unsaved));
    let copy = path.with_file_name("new.ron");
    let ctx = window.ctx.clone();
    window.state_mut().save_as(&ctx, &copy);
    settle(&mut window);
    assert_eq!(read(&copy), unsaved);
    assert!(journal::waiting(Some(state.path()), &[], std::time::SystemTime::now()).is_empty());
    drop(window);
    assert!(!says(&begin(None, Vec::new()), ASKED));

    // A project that was open lately is named on the start page, and opened by a click, which asks.
    let mut window = begin(Some(path.clone()), Vec::new());
    change(&mut window);
    drop(window);
    let mut window = begin(None, vec![path.clone()]);
    assert!(!says(&window, ASKED));
    support::press_from(&mut window, "Orchard house, ");
    assert!(says(&window, ASKED));
}

/// Throwing the changes away, closing and quitting leave nothing to be offered; cancelling keeps it.
#[test]
fn what_was_thrown_away_is_not_offered() {
    let (_folder, path) = copy_of("orchard_house.ron");
    let mut window = program(Some(path.clone()));
    change(&mut window);
    command(&mut window, Key::W);
    press(&mut window, "Cancel");
    settle(&mut window);
    assert_eq!(beside(&path).len(), 1);
    command(&mut window, Key::W);
    press(&mut window, "Throw the changes away");
    assert_eq!((window.state().project(), beside(&path).len()), (None, 0));
}

/// While another window has the project, what it has not saved is its own, and so is what it left for later.
#[test]
fn what_another_window_holds_is_not_offered() {
    let (_folder, path, ..) = ended();
    let mut first = program(Some(path.clone()));
    let second = program(Some(path.clone()));
    assert!(says(&first, ASKED) && !says(&second, ASKED));
    press(&mut first, "Leave it for later");
    assert!(!says(&program(Some(path.clone())), ASKED));
    drop((first, second));
    assert!(says(&program(Some(path)), ASKED));
}

/// Where nothing can be kept it is said once, and the document stays; with the next edit that the disk takes it is there.
#[test]
fn a_disk_that_refuses_is_told_once_and_costs_nothing_on_screen() {
    let (_folder, path) = copy_of("orchard_house.ron");
    // Every name that it could have is taken by a folder.
    let named = |n: u32| if n == 1 { String::new() } else { format!(".{n}") };
    let taken: Vec<PathBuf> =
        (1..=20).map(|n| path.with_file_name(format!(".orchard_house.ron{}.edits", named(n)))).collect();
    taken.iter().for_each(|path| fs::create_dir(path).unwrap());
    let mut window = program(Some(path.clone()));
    let unsaved = change(&mut window);
    settle(&mut window);
    assert!(says(&window, "could not be kept for the case that the program is ended"));
    press(&mut window, "Close message");
    for _ in 0..3 {
        command(&mut window, Key::Z);
        window.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
        settle(&mut window);
        assert!(!says(&window, "could not be kept"), "it was said");
        assert_eq!(window.state().project(), Some(&unsaved));
    }
    fs::remove_dir(&taken[0]).unwrap();
    command(&mut window, Key::Z);
    window.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    settle(&mut window);
    drop(window);
    let window = program(Some(path));
    assert!(says(&window, ASKED));
}
