//! What options look like and what rooms measure: pictures, colors of finishes, pages on the web, and the form of a
//! room with its plan.

#![cfg(feature = "gui")]

mod support;

use egui::{Key, PointerButton, vec2};
use egui_kittest::Harness;
use needline::model::{Action, Project, Rgb, Room, Shape, Units};
use needline::ui::pictures::{self, Beside, Pictured};
use needline::ui::session::Session;
use needline::ui::shell::app::NeedlineApp;
use needline::ui::view::Request;
use rust_decimal::Decimal;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use support::{
    Role, act, copy_of, fill, hall_bath, labels, named, option, panel_harness, press, press_room, program,
    room, room_row, says, selection,
};

type Program = Harness<'static, NeedlineApp>;

fn number(text: &str) -> Decimal {
    text.parse().expect("a number")
}

/// A picture of one color and one dot, which is the smallest there is (RFC 2083).
const DOT: [u8; 69] = [
    137, 80, 78, 71, 13, 10, 26, 10, 0, 0, 0, 13, 73, 72, 68, 82, 0, 0, 0, 1, 0, 0, 0, 1, 8, 2, 0, 0, 0, 144,
    119, 83, 222, 0, 0, 0, 12, 73, 68, 65, 84, 120, 156, 99, 88, 80, 97, 3, 0, 3, 16, 1, 85, 186, 87, 112,
    22, 0, 0, 0, 0, 73, 69, 78, 68, 174, 66, 96, 130,
];

fn document(program: &Program) -> Project {
    program.state().project().expect("a project is open").clone()
}

fn bath_tub(program: &mut Program) {
    press_room(program, "Hall bath");
    press(program, "Tub");
}

/// Draws until a text is on screen; pictures are read on a thread of their own.
fn wait_for(program: &mut Program, what: impl Fn(&Program) -> bool) {
    let begun = Instant::now();
    while !what(program) {
        assert!(begun.elapsed() < Duration::from_secs(20), "nothing came");
        std::thread::sleep(Duration::from_millis(10));
        program.step();
    }
}

#[test]
fn a_picture_is_copied_shown_taken_back_and_missed_in_words() {
    let (folder, path) = copy_of("hall_bath.ron");
    let mut program = program(Some(path.clone()));
    let tub = option(&document(&program), "bath_tub_steel").clone();
    let relative = {
        let photo = folder.path().join("photo of it.png");
        std::fs::write(&photo, DOT).unwrap();
        pictures::take(&path, &tub.key, &photo).unwrap()
    };
    assert_eq!(relative, "hall_bath_pictures/bath_tub_steel.png");
    assert!(folder.path().join(&relative).is_file());
    let with = document(&program).apply(&Action::SetPicture(tub.id, relative.clone())).unwrap();
    needline::model::file::save(&with, &path, None).unwrap();

    let mut program_two = support::program(Some(path.clone()));
    bath_tub(&mut program_two);
    let picture = format!("Picture of {}", tub.name);
    wait_for(&mut program_two, |p| !says(p, "reading"));
    named(&program_two, Role::Button, &picture).click();
    program_two.run();
    press(&mut program_two, "Close");

    press(&mut program_two, &format!("More for {}", tub.name));
    press(&mut program_two, "Remove the picture");
    assert_eq!(option(&document(&program_two), "bath_tub_steel").picture, "");
    support::command(&mut program_two, Key::Z);
    assert_eq!(option(&document(&program_two), "bath_tub_steel").picture, relative);

    // Without its file it is said, and everything else works.
    std::fs::remove_file(folder.path().join(&relative)).unwrap();
    let mut without = support::program(Some(path));
    bath_tub(&mut without);
    std::thread::sleep(Duration::from_millis(50));
    without.run();
    named(&without, Role::Button, &picture);
    program.run();
}

/// Found work is looked at from its line, and what keeps its picture from being shown is said.
#[test]
fn the_picture_of_a_change_is_seen_from_its_line() {
    let (folder, path) = copy_of("orchard_house.ron");
    let mut change = support::read(&path).changes.first().expect("a change").clone();
    change.picture = "sill.png".to_owned();
    let with = support::read(&path).apply(&Action::PutChange(change.clone())).unwrap();
    needline::model::file::save(&with, &path, None).unwrap();
    let picture = format!("Picture of {}", change.what);
    for (there, words) in [(false, "sill.png: not found"), (true, "")] {
        if there {
            std::fs::write(folder.path().join("sill.png"), DOT).unwrap();
        }
        let mut program = support::program(Some(path.clone()));
        press(&mut program, "Dates");
        let phase = change.phase.and_then(|id| support::read(&path).phase(id).map(|p| p.name.clone()));
        let begins = format!("{}, ", phase.expect("a phase"));
        let row = labels(&program, Role::Button)
            .into_iter()
            .find(|name| name.starts_with(&begins) && !name.ends_with("not booked"));
        press(&mut program, &row.expect("its row"));
        // It may lie below what the strip has room for.
        named(&program, Role::Button, &picture).click_accesskit();
        program.run();
        wait_for(&mut program, |p| !says(p, "reading"));
        assert_eq!(says(&program, "sill.png"), !there);
        assert!(says(&program, words));
        press(&mut program, "Close");
        assert!(!says(&program, "Close"));
    }
}

/// A picture of 68 bytes that claims 400,000 dots a side.
const CLAIM: [u8; 68] = [
    137, 80, 78, 71, 13, 10, 26, 10, 0, 0, 0, 13, 73, 72, 68, 82, 0, 6, 26, 128, 0, 6, 26, 128, 8, 2, 0, 0,
    0, 234, 249, 5, 52, 0, 0, 0, 11, 73, 68, 65, 84, 120, 156, 99, 96, 0, 1, 0, 0, 6, 0, 1, 254, 140, 103,
    200, 0, 0, 0, 0, 73, 69, 78, 68, 174, 66, 96, 130,
];

#[test]
fn a_picture_that_claims_to_be_huge_costs_no_unsaved_change() {
    let (folder, path) = copy_of("hall_bath.ron");
    let relative = "hall_bath_pictures/bath_tub_steel.png";
    std::fs::create_dir(folder.path().join("hall_bath_pictures")).unwrap();
    std::fs::write(folder.path().join(relative), CLAIM).unwrap();
    let tub = option(&support::read(&path), "bath_tub_steel").clone();
    let with = support::read(&path).apply(&Action::SetPicture(tub.id, relative.to_owned())).unwrap();
    needline::model::file::save(&with, &path, None).unwrap();

    let mut program = support::program(Some(path.clone()));
    support::command(&mut program, Key::Comma);
    fill(&mut program, "Name", "Not saved yet");
    press(&mut program, "Done");
    bath_tub(&mut program);
    let picture = format!("Picture of {}", tub.name);
    named(&program, Role::Button, &picture).hover();
    wait_for(&mut program, |p| says(p, "is too large to be shown"));
    assert_eq!(document(&program).settings.name, "Not saved yet");
    support::command(&mut program, Key::S);
    assert_eq!(support::read(&path).settings.name, "Not saved yet");
    let why = pictures::take(&path, "tub", &folder.path().join(relative)).unwrap_err();
    assert!(why.contains("is too large to be shown; make it smaller"), "{why}");
}

#[test]
fn the_menu_of_an_option_asks_for_a_picture() {
    let (project, day) = hall_bath();
    let tub = selection(&project, "bath_tub").id;
    let (id, name) = (option(&project, "bath_tub_steel").id, option(&project, "bath_tub_steel").name.clone());
    let session = Session { selection: Some(tub), ..Session::default() };
    let mut harness = panel_harness(project, day, session, |ui, view, session, out| {
        needline::ui::card::ui(ui, view, session, out);
    });
    press(&mut harness, &format!("More for {name}"));
    press(&mut harness, "Add a picture…");
    assert_eq!(harness.state_mut().take(), [Request::PickFile(Beside::Picture(Pictured::Option(id)))]);

    // Where it was dropped is not known everywhere, so it is asked.
    harness.state_mut().session.dropped = Some(PathBuf::from("/tmp/photo.jpg"));
    harness.run();
    assert!(says(&harness, "photo.jpg is a picture of"));
    press(&mut harness, &name);
    assert_eq!(
        harness.state_mut().take(),
        [Request::TakeFile(Beside::Picture(Pictured::Option(id)), PathBuf::from("/tmp/photo.jpg"))]
    );
    harness.run();
    assert!(!says(&harness, "photo.jpg is a picture of"));
}

#[test]
fn the_color_of_a_finish_and_the_page_of_an_option() {
    let (mut project, day) = hall_bath();
    let tub = selection(&project, "bath_tub").id;
    let own = option(&project, "bath_tub_steel").clone();
    let told = needline::model::SelectionOption {
        notes: "weighs 80 kg".to_owned(),
        link: "https://example.org/tubs/7".to_owned(),
        finish: "gloss white".to_owned(),
        ..own.clone()
    };
    project = project.apply(&Action::PutOption(tub, told)).unwrap();
    let session = Session { selection: Some(tub), ..Session::default() };
    let mut harness = panel_harness(project, day, session, |ui, view, session, out| {
        needline::ui::card::ui(ui, view, session, out);
    });
    assert!(says(&harness, "weighs 80 kg"));
    named(&harness, Role::Link, &format!("Web page of {}", own.name)).click();
    harness.run();
    let page = "https://example.org/tubs/7".to_owned();
    assert_eq!(harness.state_mut().take(), [Request::OpenPage(page)]);

    let colors: Vec<String> =
        labels(&harness, Role::Button).into_iter().filter(|l| l == "Color of gloss white").collect();
    assert!(!colors.is_empty());
    support::all(&harness, Role::Button)
        .into_iter()
        .find(|n| support::label(n).as_deref() == Some("Color of gloss white"))
        .unwrap()
        .click();
    harness.run();
    fill(&mut harness, "Color in digits", "#f4f2ea");
    press(&mut harness, "Use this color");
    let picked = Action::SetFinishColor("gloss white".to_owned(), Some(Rgb(0xf4, 0xf2, 0xea)));
    assert_eq!(harness.state_mut().take(), [act(picked)]);
}

/// The whole program with the form of a room open.
fn form_of(room: &str) -> (tempfile::TempDir, Program) {
    let (folder, path) = copy_of("hall_bath.ron");
    let mut program = program(Some(path));
    room_row(&program, room).click_button(PointerButton::Secondary);
    program.run();
    press(&mut program, "Edit room…");
    (folder, program)
}

fn bath(program: &Program) -> Room {
    room(&document(program), "bath").clone()
}

#[test]
fn sizes_follow_what_is_typed() {
    let (_folder, mut program) = form_of("Hall bath");
    fill(&mut program, "Length", "10");
    fill(&mut program, "Width", "8' 6\"");
    fill(&mut program, "Ceiling height", "8");
    // 10 by 8.5: 85 of floor, 37 around, 296 of wall, 680 of volume.
    for size in ["85 ft\u{b2}", "37 ft", "296 ft\u{b2}", "680 ft\u{b3}"] {
        assert!(labels(&program, Role::Label).iter().any(|l| l == size), "{size}");
    }
    fill(&mut program, "Width", "wide");
    assert!(says(&program, "`wide` is no number"));
    fill(&mut program, "Width", "8.5");
    press(&mut program, "Done");
    let shape = Shape::Rectangle { length: number("10"), width: number("8.5") };
    assert_eq!(bath(&program).shape, shape);
}

#[test]
fn a_rectangle_becomes_an_outline_and_is_changed_from_the_keyboard() {
    let (_folder, mut program) = form_of("Hall bath");
    fill(&mut program, "Length", "10");
    fill(&mut program, "Width", "8");
    press(&mut program, "Outline with corners");
    press(&mut program, "Add a corner between 2 and 3");
    named(&program, Role::Button, "Corner 3: 10, 4").focus();
    program.run();
    for _ in 0..4 {
        program.key_press(Key::ArrowRight);
        program.run();
    }
    // Four steps of three inches; 10 by 8 and a triangle of 8 by 1 beside it: 84.
    named(&program, Role::Button, "Corner 3: 11, 4");
    assert!(labels(&program, Role::Label).iter().any(|l| l == "84 ft\u{b2}"));
    fill(&mut program, "Corner 3, to the right", "-5");
    fill(&mut program, "Corner 3, down", "20");
    assert!(says(&program, "the floor outline crosses itself"));
    press(&mut program, "Done");
    assert!(says(&program, "the floor outline crosses itself"), "it is not taken");
    press(&mut program, "Remove corner 3");
    press(&mut program, "Done");
    let corner = |x: &str, y: &str| (number(x), number(y));
    let shape =
        Shape::Polygon(vec![corner("0", "0"), corner("10", "0"), corner("10", "8"), corner("0", "8")]);
    assert_eq!(bath(&program).shape, shape);
    assert_eq!(document(&program).settings.units, Units::Us);
}

#[test]
fn a_corner_that_is_dragged_lands_on_a_step() {
    let (_folder, mut program) = form_of("Hall bath");
    fill(&mut program, "Length", "10");
    fill(&mut program, "Width", "8");
    let handle = named(&program, Role::Button, "Corner 3: 10, 8").rect().center();
    let to = handle + vec2(-60.0, -40.0);
    let button = |pos, pressed| egui::Event::PointerButton {
        pos,
        button: PointerButton::Primary,
        pressed,
        modifiers: egui::Modifiers::NONE,
    };
    program.hover_at(handle);
    program.run();
    program.event(button(handle, true));
    program.run();
    for part in [0.3, 0.7, 1.0] {
        program.event(egui::Event::PointerMoved(handle + (to - handle) * part));
        program.run();
    }
    program.event(button(to, false));
    program.run();
    press(&mut program, "Done");
    let Shape::Rectangle { length, width } = bath(&program).shape else { panic!("it is a rectangle") };
    assert!(length < number("10") && width < number("8"), "{length} by {width}");
    let quarter = number("0.25");
    assert!((length % quarter).is_zero() && (width % quarter).is_zero(), "{length} by {width}");
}

#[test]
fn pictures_are_known_by_their_names() {
    assert!(pictures::is_picture(Path::new("a.JPG")) && !pictures::is_picture(Path::new("a.pdf")));
}
