//! A file that somebody else changed while it was open: both versions are brought together, conflict by conflict.

#![cfg(feature = "gui")]

mod support;

use egui::Key;
use egui_kittest::Harness;
use needline::model::{Action, Money, Project, Selection, file};
use needline::ui::shell::app::NeedlineApp;
use needline::ui::view::Request;
use std::path::{Path, PathBuf};
use support::audit::Drawn;
use support::{Role, command, copy_of, labels, press, press_room, program, read, says, selection};

const ASKED: &str = "Somebody else changed the file";

/// Changes the project in the window: another option of the kitchen base cabinets is chosen.
fn change(program: &mut Harness<'_, NeedlineApp>) {
    press_room(program, "Kitchen");
    press(program, "Kitchen base cabinets");
    press(program, "Make Semi-custom base cabinets, full overlay the choice");
    press(program, "Make the swap");
}

/// Changes the file as somebody else would.
fn elsewhere(path: &Path, action: impl FnOnce(&Project) -> Action) -> Project {
    let project = read(path);
    let next = project.apply(&action(&project)).unwrap();
    file::save(&next, path, None).unwrap();
    next
}

fn allowance(key: &str, amount: i64) -> impl FnOnce(&Project) -> Action {
    let key = key.to_owned();
    move |p| {
        Action::PutSelection(Selection { allowance: Money::new(amount.into()), ..selection(p, &key).clone() })
    }
}

fn opened() -> (tempfile::TempDir, PathBuf, Harness<'static, NeedlineApp>) {
    let (folder, path) = copy_of("orchard_house.ron");
    let program = program(Some(path.clone()));
    (folder, path, program)
}

fn now(program: &Harness<'_, NeedlineApp>) -> Project {
    program.state().project().unwrap().clone()
}

#[test]
fn changes_of_both_are_together_unsaved_and_one_step() {
    let (_folder, path, mut program) = opened();
    let before = now(&program);
    change(&mut program);
    let mine = now(&program);
    let other = elsewhere(&path, allowance("kitchen_sink", 4321));
    assert!(before.selections.iter().any(|s| s.key == "kitchen_sink"));
    command(&mut program, Key::S);
    for words in [ASKED, "changed on disk since it was opened", "The file was written on ", "the last one is"]
    {
        assert!(says(&program, words), "{words}; there are {:?}", labels(&program, Role::Label));
    }
    assert_eq!((now(&program), read(&path)), (mine.clone(), other.clone()));
    press(&mut program, "Bring both together");
    assert!(!says(&program, ASKED) && says(&program, "Both versions are together."));
    let both = now(&program);
    assert_eq!(selection(&both, "kitchen_sink").allowance, Money::new(4321.into()));
    assert_eq!(
        selection(&both, "kitchen_base_cabinets").choice().unwrap().id,
        selection(&mine, "kitchen_base_cabinets").choice().unwrap().id
    );
    assert!(says(&program, "Orchard house \u{2022}"), "it is unsaved");
    assert_eq!(read(&path), other, "nothing is written before it is asked for");
    command(&mut program, Key::Z);
    assert_eq!(now(&program), mine);
    assert!(says(&program, "Orchard house \u{2022}"), "this is not what the file holds");
    program.key_press_modifiers(egui::Modifiers::COMMAND | egui::Modifiers::SHIFT, Key::Z);
    program.run();
    assert_eq!(now(&program), both);
    command(&mut program, Key::S);
    assert!(!says(&program, ASKED));
    assert_eq!(read(&path), both);
}

#[test]
fn each_conflict_is_asked_with_both_values() {
    let (_folder, path, mut program) = opened();
    let edit = |program: &mut Harness<'_, NeedlineApp>, key: &str, amount: i64| {
        let action = allowance(key, amount)(&now(program));
        program.state_mut().ask(Request::Act(Box::new(action)));
        program.run();
        program.run();
    };
    edit(&mut program, "kitchen_sink", 1111);
    edit(&mut program, "kitchen_faucet", 2222);
    let mine = now(&program);
    elsewhere(&path, allowance("kitchen_sink", 3333));
    elsewhere(&path, allowance("kitchen_faucet", 4444));
    command(&mut program, Key::S);
    press(&mut program, "Bring both together");
    assert!(says(&program, "Both changed this: 1 of 2"), "{:?}", labels(&program, Role::Label));
    let first = if says(&program, "Yours: 1,111.00") { ["1111", "3333"] } else { ["2222", "4444"] };
    let shown = |amount: &str| format!("{},{}.00", &amount[..1], &amount[1..]);
    assert!(
        says(&program, &format!("Yours: {}", shown(first[0])))
            && says(&program, &format!("In the file: {}", shown(first[1])))
    );
    assert!(says(&program, "Before: ") && says(&program, "Kitchen "));
    let names = labels(&program, Role::Label);
    assert!(names.iter().any(|l| l.starts_with("Kitchen ") && l.ends_with(": allowance")), "{names:?}");
    press(&mut program, "Keep mine");
    assert!(says(&program, "Both changed this: 2 of 2"));
    press(&mut program, "Back");
    assert!(says(&program, "Both changed this: 1 of 2"));
    press(&mut program, "Take the one in the file");
    press(&mut program, "Keep mine");
    assert!(says(&program, "Of 2 conflicts, 1 went by the file."), "{:?}", labels(&program, Role::Label));
    let both = now(&program);
    let of = |key: &str| selection(&both, key).allowance.amount().to_string();
    let mut amounts = [of("kitchen_sink"), of("kitchen_faucet")];
    amounts.sort();
    let expected = if first[0] == "1111" { ["2222", "3333"] } else { ["1111", "4444"] };
    assert_eq!(amounts, expected);
    command(&mut program, Key::Z);
    assert_eq!(now(&program), mine);
}

/// The record of what is not saved goes by the file as it is now.
#[test]
fn what_came_together_is_offered_after_the_window_ended() {
    let (_folder, path, mut program) = opened();
    change(&mut program);
    elsewhere(&path, allowance("kitchen_sink", 4321));
    command(&mut program, Key::S);
    press(&mut program, "Bring both together");
    let both = now(&program);
    program.state().settle();
    program.run();
    drop(program);
    let mut program = support::program(Some(path.clone()));
    press(&mut program, "Go on with it");
    assert_eq!(now(&program), both);
    command(&mut program, Key::S);
    assert_eq!(read(&path), both);
}

/// What is asked fits into the window at the sizes people have, as `grid` measures everything else.
#[test]
fn what_is_asked_is_whole_at_every_size() {
    let (_folder, path, mut program) = opened();
    let long =
        "A name that goes on and on, as names of things in shops often do, with its size and its finish";
    let rename = |key: &str, name: &str| {
        let (key, name) = (key.to_owned(), name.to_owned());
        move |p: &Project| Action::PutSelection(Selection { name, ..selection(p, &key).clone() })
    };
    let action = rename("kitchen_sink", long)(&now(&program));
    program.state_mut().ask(Request::Act(Box::new(action)));
    program.run();
    program.run();
    elsewhere(&path, rename("kitchen_sink", &format!("{long}, another one")));
    command(&mut program, Key::S);
    let mut faults = Vec::new();
    for button in ["Bring both together", "Keep mine"] {
        for (width, height) in [(640.0, 480.0), (853.0, 533.0), (1280.0, 800.0)] {
            program.set_size(egui::Vec2::new(width, height));
            program.run();
            let window = egui::Rect::from_min_size(egui::Pos2::ZERO, egui::Vec2::new(width, height));
            let found = Drawn::of(&program).faults(window, &[]);
            faults.extend(found.into_iter().map(|fault| format!("before {button}, {width}: {fault}")));
        }
        press(&mut program, button);
    }
    assert!(says(&program, "Of 1 conflict, 0 went by the file."));
    assert!(faults.is_empty(), "{faults:#?}");
}

#[test]
fn without_own_changes_the_file_is_shown_and_is_saved() {
    let (_folder, path, mut program) = opened();
    let other = elsewhere(&path, allowance("kitchen_sink", 4321));
    // It is noticed when the window is looked at again, once.
    program.event(egui::Event::WindowFocused(true));
    program.run();
    assert!(says(&program, ASKED) && says(&program, "You have no changes that are not saved."));
    press(&mut program, "Leave it for now");
    program.event(egui::Event::WindowFocused(true));
    program.run();
    assert!(!says(&program, ASKED));
    // Asking to save asks again.
    command(&mut program, Key::S);
    press(&mut program, "Bring both together");
    assert_eq!(now(&program), other);
    assert!(!says(&program, "Orchard house \u{2022}"), "it is what the file holds");
}

#[test]
fn a_file_that_cannot_be_read_is_said_and_nothing_is_lost() {
    let (_folder, path, mut program) = opened();
    change(&mut program);
    let mine = now(&program);
    std::fs::write(&path, "no project").unwrap();
    command(&mut program, Key::S);
    press(&mut program, "Bring both together");
    assert!(says(&program, "this is no Needline project"), "{:?}", labels(&program, Role::Label));
    assert_eq!(now(&program), mine);
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "no project");
}
