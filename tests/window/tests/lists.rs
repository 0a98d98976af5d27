//! Bringing in a list from elsewhere: the form by what it asks for, and the whole way through the program.

#![cfg(feature = "gui")]

mod support;

use egui::Key;
use egui_kittest::Harness;
use egui_kittest::kittest::NodeT as _;
use needline::engine::week::Words;
use needline::exchange::Progress;
use needline::exchange::import_folder;
use needline::exchange::incoming::{Book, read_book, read_file};
use needline::model::{Action, Money, Project, file};
use needline::ui::forms::list_form::{ListAnswer, ListForm};
use needline::ui::shell::app::NeedlineApp;
use needline::ui::theme;
use std::path::{Path, PathBuf};
use support::{
    Role, all, button_from, drop_file, finish_work, label, labels, named, part, press, program, read,
    samples, says, window,
};

fn guest_bath() -> Project {
    import_folder(&samples().join("lists/guest_bath")).expect("the sheets can be read").0
}

fn list_path() -> PathBuf {
    samples().join("lists/preisliste_2026.csv")
}

fn list() -> Book {
    read_file(&list_path(), &Progress::new()).expect("the list can be read")
}

struct Scene {
    form: ListForm,
    project: Project,
    answer: ListAnswer,
}

fn form_over(book: Book, project: Project, width: f32, height: f32) -> Harness<'static, Scene> {
    let form = ListForm::new(book, &project);
    let scene = Scene { form, project, answer: ListAnswer::Open };
    let mut harness = window(width, height).with_context_setup(theme::apply).build_ui_state(
        |ui, scene: &mut Scene| {
            if scene.answer == ListAnswer::Open {
                let ctx = ui.ctx().clone();
                scene.answer = scene.form.show(&ctx, &scene.project, theme::tokens(&ctx));
            }
        },
        scene,
    );
    harness.run();
    harness
}

fn form() -> Harness<'static, Scene> {
    form_over(list(), guest_bath(), 1280.0, 900.0)
}

fn tick(harness: &mut Harness<'_, Scene>, name: &str) {
    named(harness, Role::CheckBox, name).click();
    harness.run();
}

/// The project after the change that the form asked for.
fn after(harness: &Harness<'_, Scene>) -> Project {
    let ListAnswer::Act(action) = &harness.state().answer else {
        panic!("no change was asked for: {:?}", harness.state().answer)
    };
    assert!(matches!(action.as_ref(), Action::Batch { .. }), "one step");
    harness.state().project.apply(action).expect("the change can be made")
}

fn is_disabled(harness: &Harness<'_, Scene>, begin: &str) -> bool {
    button_from(harness, begin).accesskit_node().is_disabled()
}

const BUTTON: &str = "Change 5 prices, 1 discount, 7 lead times and 1 promised day";

#[test]
fn the_button_says_what_it_does_and_does_that() {
    let mut form = form();
    for (heading, field) in
        [("Artikelnummer", "Article number"), ("Einzelpreis", "Unit price"), ("Lieferzeit", "Lead time")]
    {
        let combo = named(&form, Role::ComboBox, &format!("What {heading} holds"));
        assert_eq!(combo.accesskit_node().value().as_deref(), Some(field));
    }
    let doubt = labels(&form, Role::Label).into_iter().find(|l| l.contains("it was ordered on "));
    let doubt = doubt.expect("what was ordered is not ticked");
    assert_eq!(Words::with_days(&doubt), Words::of(doubt.clone()), "its day is written as people read it");
    assert!(is_disabled(&form, BUTTON), "there is a bad row");
    tick(&mut form, "Leave out 1 bad row");
    assert!(!is_disabled(&form, BUTTON));
    press(&mut form, BUTTON);
    let project = after(&form);
    let price = |key: &str| part(&project, key).unit_price;
    assert_eq!(price("floor_tile_anthracite"), Some(Money::new("42.90".parse().unwrap())));
    assert_eq!(price("toilet_frame"), Some(Money::new("228".parse().unwrap())));
    assert_eq!(
        price("tub_body"),
        Some(Money::new("1189".parse().unwrap())),
        "ordered, so not ticked by itself"
    );
    assert_eq!(price("basin"), Some(Money::new("289".parse().unwrap())), "tripled, so not ticked by itself");
    assert_eq!(project.mappings.len(), 1, "the columns are remembered");
}

#[test]
fn a_tick_taken_away_leaves_the_part_as_it_is() {
    let mut form = form();
    tick(&mut form, "Leave out 1 bad row");
    tick(&mut form, "Remember the columns for Sanitär- und Fliesenhandel");
    press(&mut form, "Tick none");
    button_from(&form, "Nothing is ticked");
    tick(&mut form, "Floor tile, Porcelain 60 x 60, price from 39.90 to 42.90");
    tick(&mut form, "Tub, Steel tub 170 x 75, Tub, price from 1189.00 to 1234.50");
    press(&mut form, "Change 2 prices");
    let (before, project) = (guest_bath(), after(&form));
    let changed: Vec<&str> = project
        .all_parts()
        .zip(before.all_parts())
        .filter(|((_, _, a), (_, _, b))| a != b)
        .map(|((_, _, a), _)| a.key.as_str())
        .collect();
    assert_eq!(changed, ["floor_tile_anthracite", "tub_body"]);
    assert!(project.mappings.is_empty());
}

#[test]
fn a_column_can_be_given_another_meaning() {
    let mut form = form();
    named(&form, Role::ComboBox, "What Rabatt holds").click();
    form.run();
    let picks: Vec<String> = labels(&form, Role::Button);
    assert!(picks.iter().any(|p| p == "Discount, percent"), "{picks:?}");
    press(&mut form, "left out");
    button_from(&form, "Change 5 prices, 7 lead times and 1 promised day");
}

#[test]
fn bad_rows_and_remarks_say_why() {
    let mut form = form();
    press(&mut form, "Faults 1");
    assert!(says(&form, "row 16, Einzelpreis: `32,9,00 €` is no number"));
    press(&mut form, "Remarks 4");
    assert!(says(&form, "`auf Anfrage` gives no price"));
    press(&mut form, "Not in the project 1");
    assert!(says(&form, "FL-9001"));
    named(&form, Role::CheckBox, "Add Fugenmörtel grau, 5 kg of row 9");
    named(&form, Role::ComboBox, "Part of row 9");
}

#[test]
fn what_can_be_read_two_ways_is_asked_with_its_answers() {
    let text = "Artikelnummer;Einzelpreis;Lieferzeit\nFL-2040;1.234;3\n";
    let book = read_book("l.csv", text.as_bytes(), &Progress::new()).expect("a list");
    let mut form = form_over(book, guest_bath(), 1280.0, 900.0);
    assert!(says(&form, "`1.234` can be read two ways"));
    press(&mut form, "A comma");
    assert!(says(&form, "lead times have no word behind them"));
    press(&mut form, "weeks");
    assert!(!says(&form, "can be read two ways") && !says(&form, "have no word behind them"));
    tick(&mut form, "Floor tile, Porcelain 60 x 60, price from 39.90 to 1234.00");
    press(&mut form, "Change 1 price and 1 lead time");
    assert_eq!(
        part(&after(&form), "floor_tile_anthracite").unit_price,
        Some(Money::new("1234".parse().unwrap()))
    );
}

/// Of two columns that could be the price none is taken until it is said which, by a click on one of them.
#[test]
fn the_price_is_asked_for_with_what_stands_in_the_columns() {
    let text = "Artikelnummer;Preis alt;Preis neu\nFL-2040;40,50;41,00\n";
    let book = read_book("list.csv", text.as_bytes(), &Progress::new()).unwrap();
    let mut harness = form_over(book, guest_bath(), 1280.0, 900.0);
    assert!(says(&harness, "each of these could be the price"));
    press(&mut harness, "Preis neu: 41,00");
    assert!(!says(&harness, "each of these could be the price"));
    press(&mut harness, "Change 1 price");
    assert_eq!(
        part(&after(&harness), "floor_tile_anthracite").unit_price,
        Some(Money::new("41".parse().unwrap()))
    );
}

#[test]
fn selections_make_rooms_only_when_told() {
    let text = "Raum;Gegenstand;Budget\nGuest bath;Mirror;150,00\nKitchen;Sink;400,00\n";
    let book = read_book("l.csv", text.as_bytes(), &Progress::new()).expect("a list");
    let mut form = form_over(book, guest_bath(), 1280.0, 900.0);
    assert!(is_disabled(&form, "Add 1 selection"));
    tick(&mut form, "Make missing rooms: Kitchen");
    press(&mut form, "Add 1 room and 2 selections");
    assert_eq!(after(&form).rooms.len(), 2);
}

#[test]
fn escape_and_cancel_leave_nothing_behind() {
    for small in [false, true] {
        let (width, height) = if small { (1024.0, 700.0) } else { (1280.0, 800.0) };
        let mut form = form_over(list(), guest_bath(), width, height);
        // Nothing of the form is out of the window.
        for button in all(&form, Role::Button) {
            let rect = button.rect();
            let name = label(&button);
            assert!(rect.max.y <= height && rect.min.y >= 0.0, "{name:?} {rect:?}");
        }
        if small {
            press(&mut form, "Cancel");
        } else {
            form.key_press(Key::Escape);
            form.run();
        }
        assert_eq!(form.state().answer, ListAnswer::Closed);
    }
}

type Program = Harness<'static, NeedlineApp>;

fn bring_in(program: &mut Program, path: &Path) {
    let ctx = program.ctx.clone();
    program.state_mut().begin_list(&ctx, path);
    finish_work(program);
}

#[test]
fn the_whole_way_and_one_step_back() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("bath.ron");
    file::save(&guest_bath(), &path, None).expect("it can be written");
    let mut program = program(Some(path.clone()));
    bring_in(&mut program, &list_path());
    named(&program, Role::CheckBox, "Leave out 1 bad row").click();
    program.run();
    press(&mut program, BUTTON);
    let project = program.state().project().expect("a project").clone();
    assert_eq!(part(&project, "basin").lead, Some(4));
    // The second time the columns are known.
    bring_in(&mut program, &list_path());
    assert!(says(&program, "The columns are as remembered"));
    press(&mut program, "Cancel");
    press(
        &mut program,
        "Undo: 5 prices, 1 discount, 7 lead times and 1 promised day from preisliste_2026.csv",
    );
    assert_eq!(program.state().project(), Some(&read(&path)));
    // What cannot be read says so.
    let broken = folder.path().join("broken.xlsx");
    std::fs::write(&broken, b"PK\x03\x04 no workbook").expect("written");
    bring_in(&mut program, &broken);
    assert!(says(&program, "this workbook cannot be read"));
}

#[test]
fn a_file_dropped_on_the_window_is_taken_for_what_it_is() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("bath.ron");
    file::save(&guest_bath(), &path, None).expect("it can be written");
    let mut program = program(None);
    drop_file(&mut program, &path);
    assert_eq!(program.state().project(), Some(&guest_bath()), "a project is opened");
    drop_file(&mut program, &list_path());
    assert!(says(&program, "Bring in a list"), "a list is looked at");
    drop_file(&mut program, &samples().join("hall_bath"));
    assert_eq!(
        program.state().project().map(|p| p.rooms.len()),
        Some(read(&samples().join("hall_bath.ron")).rooms.len())
    );
}

#[test]
fn without_a_project_the_start_page_says_what_to_do() {
    let mut program = program(None);
    bring_in(&mut program, &list_path());
    assert!(says(&program, "Open or begin a project first"));
}
