//! What is drawn for pictures of the window over the large sample. What is listed here is covered by the picture tests
//! and by the screens in `assets/screens`; work areas are covered by being there.

use super::{command, fill, finish_work, press, press_from, press_room, room_row};
use egui::{Key, Modifiers, PointerButton};
use egui_kittest::Harness;
use needline::model::{Action, Project, Selection, file};
use needline::ui::session::WorkArea;
use needline::ui::shell::app::NeedlineApp;
use needline::ui::shell::command::Command;
use needline::ui::view::Request;
use std::path::{Path, PathBuf};

/// A window with the sample open.
pub type Opened = Harness<'static, NeedlineApp>;

/// Each work area with the name of its pictures.
pub fn areas() -> impl Iterator<Item = (String, WorkArea)> {
    WorkArea::all().map(|area| (area.title().to_lowercase().replace(['-', ' '], "_"), area))
}

/// Shows a work area, by its key.
pub fn show(harness: &mut Opened, area: WorkArea) {
    const KEYS: [Key; 9] =
        [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6, Key::Num7, Key::Num8, Key::Num9];
    let at = WorkArea::all().position(|known| known == area).expect("all are listed");
    command(harness, KEYS[at]);
    // What is worked out behind the window is there too.
    finish_work(harness);
}

/// Goes to a thing by its name.
fn go_to(harness: &mut Opened, name: &str) {
    command(harness, Key::K);
    fill(harness, "By name", name);
    harness.key_press(Key::Enter);
    harness.run();
}

/// A form with the name of its pictures and how it is opened.
pub type Form = (&'static str, fn(&mut Opened));

/// Forms and lists above the window.
pub const FORMS: [Form; 18] = [
    ("room_form", |h| {
        room_row(h, "Primary bath").click_button(PointerButton::Secondary);
        h.run();
        press(h, "Edit room\u{2026}");
    }),
    ("part_form", |h| {
        press_room(h, "Kitchen");
        press(h, "Kitchen base cabinets");
        press_from(h, "Semi-custom base cabinets, full overlay: ");
    }),
    ("swap_form", |h| {
        press_room(h, "Primary bath");
        press(h, "Primary freestanding tub");
        press(h, "Make Freestanding tub, 62 in, cast stone the choice");
    }),
    ("oven", |h| {
        press_room(h, "Kitchen");
        press(h, "Wall oven");
    }),
    ("measured", |h| {
        press_room(h, "Primary bath");
        press(h, "Primary shower glass");
    }),
    ("crew_of_phase", |h| {
        show(h, WorkArea::Dates);
        press_from(h, "Air sealing and insulation: ");
    }),
    ("crew_form", |h| {
        show(h, WorkArea::Dates);
        press(h, "Insulation crew A");
        press(h, "Edit crew Insulation crew A");
    }),
    ("bids", |h| {
        go_to(h, "Drywall crew B, Hang");
    }),
    ("bid_form", |h| {
        go_to(h, "Drywall crew B, Hang");
        press(h, "Drywall crew B");
        press(h, "Edit bid Drywall crew B");
    }),
    ("out_of_use", |h| go_to(h, "Hall bath out of use")),
    ("story", |h| {
        h.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::D);
        h.run();
    }),
    ("keep_plan", |h| go_to(h, "Keep the plan as agreed")),
    ("cheaper_or_sooner", |h| {
        show(h, WorkArea::WhatIf);
        press(h, "Cheaper or sooner");
        finish_work(h);
        press_from(h, "Feb 8, 2027, ");
    }),
    ("side_by_side", |h| {
        show(h, WorkArea::WhatIf);
        press(h, "Side by side");
        finish_work(h);
    }),
    ("punch_list", |h| {
        show(h, WorkArea::SignOffs);
        press(h, "Punch list");
    }),
    ("warranties", |h| {
        show(h, WorkArea::SignOffs);
        press(h, "Warranties and manuals");
    }),
    ("punch_form", |h| {
        show(h, WorkArea::SignOffs);
        press(h, "Punch list");
        press_from(h, "Sash of the left window does not latch, ");
    }),
    ("problems", |h| press_from(h, "To settle, ")),
];

/// Questions about the file on screen. Each has a file of its own, which the others do not meet.
pub const QUESTIONS: [Form; 4] = [
    ("of changes that are not saved", |h| {
        on_a_copy(h, "unsaved");
        rename(h, "Sink of mine");
        h.state_mut().ask(Request::Do(Command::Close));
        h.run();
    }),
    ("of a file that somebody changed", |h| changed_by_both(h, "changed")),
    ("of a value that both changed", |h| {
        changed_by_both(h, "conflict");
        press(h, "Bring both together");
    }),
    ("of what an ended run left", |h| {
        let path = on_a_copy(h, "left");
        rename(h, "Sink that was never saved");
        h.state().settle();
        let name = path.file_name().expect("a name").to_string_lossy();
        let record = path.with_file_name(format!(".{name}.edits"));
        let bytes = std::fs::read(&record).expect("a record of what is not saved");
        // The window that goes to another file in good order leaves no record; one that ended would have.
        h.state_mut().open(&path.with_file_name("orchard_house.ron"));
        std::fs::write(&record, bytes).expect("it can be written");
        h.state_mut().open(&path);
        h.run();
    }),
];

/// Opens a copy of the file on screen under another name.
fn on_a_copy(h: &mut Opened, name: &str) -> PathBuf {
    // What an earlier window left beside a file of the same name would be asked about first.
    let beside = |n: usize| h.state().file().expect("a file").with_file_name(format!("{name}_{n}.ron"));
    let path = (1..).map(beside).find(|path| !path.exists()).expect("a free name");
    std::fs::copy(h.state().file().expect("a file"), &path).expect("it can be copied");
    h.state_mut().open(&path);
    h.run();
    path
}

/// The change of the first selection's name.
fn renamed(project: &Project, name: &str) -> Action {
    let first = project.selections.first().expect("a selection");
    Action::PutSelection(Selection { name: name.to_owned(), ..(**first).clone() })
}

fn rename(h: &mut Opened, name: &str) {
    let action = renamed(h.state().project().expect("a project"), name);
    h.state_mut().ask(Request::Act(Box::new(action)));
    h.run();
    h.run();
}

/// The same value is changed here and by somebody else, and is to be saved.
fn changed_by_both(h: &mut Opened, name: &str) {
    let path = on_a_copy(h, name);
    rename(h, "A name of mine");
    elsewhere(&path, "A name of somebody else");
    command(h, Key::S);
}

fn elsewhere(path: &Path, name: &str) {
    let (project, _) = file::load(path).expect("a project");
    let next = project.apply(&renamed(&project, name)).expect("it can be renamed");
    file::save(&next, path, None).expect("it can be saved");
}
