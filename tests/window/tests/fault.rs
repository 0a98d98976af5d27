//! Faults of the program itself: one in a zone leaves the rest of the window and the document, one that ends the window
//! leaves the document on the disk.

#![cfg(feature = "gui")]

mod support;

use egui::Key;
use egui_kittest::Harness;
use needline::model::Project;
use needline::model::file::journal::{self, Now, Wanted};
use needline::ui::session::WorkArea;
use needline::ui::shell::app::NeedlineApp;
use needline::ui::shell::fault;
use needline::ui::shell::keeper::Keeper;
use std::cell::Cell;
use std::fs;
use std::sync::{Arc, Mutex};
use support::{command, copy_of, press, program, read, says};

thread_local! {
    static BROKEN: Cell<bool> = const { Cell::new(true) };
    static DRAWN: Cell<u32> = const { Cell::new(0) };
}

/// An area with a fault that comes in the middle of nested pieces, with a lock held, a list open and text begun.
fn broken_area(ui: &mut egui::Ui) {
    DRAWN.set(DRAWN.get() + 1);
    ui.label("The first line");
    egui::ScrollArea::vertical().show(ui, |ui| {
        ui.horizontal(|ui| {
            ui.add_enabled_ui(false, |ui| {
                if BROKEN.get() {
                    ui.data_mut(|_| panic!("the row is out of step"));
                }
                ui.label("The last line")
            })
        })
    });
}

fn opened() -> (tempfile::TempDir, Project, Harness<'static, NeedlineApp>) {
    let (folder, path) = copy_of("orchard_house.ron");
    let project = read(&path);
    let mut program = program(Some(path));
    program.state_mut().draw_instead(WorkArea::Money, |ui, _, _, _| broken_area(ui));
    program.run();
    (folder, project, program)
}

#[test]
fn a_fault_in_an_area_ends_neither_the_window_nor_the_document() {
    let (_folder, project, mut program) = opened();
    assert!(!says(&program, "met a fault"));
    command(&mut program, Key::Num4);
    assert!(says(&program, "Money met a fault of the program: the row is out of step"));
    assert!(!says(&program, "The first line"), "nothing of the half is left");
    assert_eq!(program.state().project(), Some(&project));
    // It is not met again in each frame, and what is around it works.
    let drawn = DRAWN.get();
    program.run();
    assert_eq!(DRAWN.get(), drawn);
    command(&mut program, Key::Num3);
    assert!(!says(&program, "met a fault"));
    command(&mut program, Key::Num4);
    press(&mut program, "show it again");
    assert!(says(&program, "the row is out of step") && DRAWN.get() > drawn);
    BROKEN.set(false);
    press(&mut program, "show it again");
    assert!(says(&program, "The last line") && !says(&program, "met a fault"));
}

#[test]
fn with_another_state_of_the_document_it_is_tried_again() {
    let (_folder, before, mut program) = opened();
    command(&mut program, Key::Num2);
    support::press_room(&mut program, "Kitchen");
    press(&mut program, "Kitchen base cabinets");
    press(&mut program, "Make Semi-custom base cabinets, full overlay the choice");
    press(&mut program, "Make the swap");
    assert_ne!(program.state().project(), Some(&before));
    command(&mut program, Key::Num4);
    assert!(says(&program, "Money met a fault"));
    BROKEN.set(false);
    press(&mut program, "take the last step back");
    assert_eq!(program.state().project(), Some(&before));
    assert!(says(&program, "The last line"));
}

static TOLD: Mutex<String> = Mutex::new(String::new());

#[test]
fn a_fault_that_ends_the_window_leaves_what_was_not_saved_and_says_where() {
    let (folder, path) = copy_of("orchard_house.ron");
    let bytes = fs::read(&path).unwrap();
    let saved = Arc::new(read(&path));
    let edited = |name: &str| {
        let mut project = (*saved).clone();
        project.settings.name = name.to_owned();
        Arc::new(project)
    };
    let (first, last) = (edited("Changed"), edited("Changed and not saved"));
    let notes = folder.path().to_owned();
    let wanted = [first, last.clone()].map(|project| {
        let when = chrono::DateTime::default();
        let now = Now { project, when, edits: 1, last: "Edit".to_owned() };
        Wanted { path: Some(path.clone()), saved: Some(saved.clone()), now: Some(now) }
    });
    let ended = std::thread::spawn(move || {
        fault::install(Some(notes), |said| TOLD.lock().unwrap().push_str(said));
        let keeper = Keeper::new(None);
        let [first, last] = wanted;
        keeper.want(first);
        keeper.settle();
        // What is contained leaves nothing.
        assert!(fault::contained(|| panic!("inside")).is_err_and(|said: String| said.contains("inside")));
        assert!(!TOLD.lock().unwrap().contains("what was not saved"));
        keeper.want(last);
        // As at the real end of the process, nothing comes after the fault.
        std::mem::forget(keeper);
        panic!("outside");
    });
    assert!(ended.join().is_err());
    let _ = std::panic::take_hook();
    let journal = folder.path().join(".orchard_house.ron.edits");
    let left = journal::read_text(&fs::read(&journal).unwrap(), &journal).unwrap();
    assert_eq!((&left.now, left.saved.as_ref()), (&*last, Some(&*saved)));
    assert_eq!(fs::read(&path).unwrap(), bytes, "the file is as it was saved");
    let said = TOLD.lock().unwrap().clone();
    assert!(said.contains(&format!("what was not saved is in {}", journal.display())), "{said}");
    let told = fs::read_to_string(folder.path().join("faults.txt")).unwrap();
    assert!(
        told.contains("inside (tests/fault.rs:") || told.contains("inside (tests/window/tests/fault.rs:"),
        "{told}"
    );
    assert!(told.contains("outside"), "{told}");
}
