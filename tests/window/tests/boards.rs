//! What a house looks like in the window: drawings on the card, and the rows of House as pictures.

#![cfg(feature = "gui")]

mod support;

use egui::Key;
use needline::model::{Action, Drawing, OptionState};
use needline::ui::areas::house;
use needline::ui::session::Session;
use std::collections::BTreeSet;
use support::{
    Role, all, copy_of, hall_bath, label, labels, named, option, panel_harness, press, press_room, program,
    room, sample, says, selection,
};

fn drawings(labels: Vec<String>) -> Vec<String> {
    labels.into_iter().filter(|name| name.starts_with("Drawing: ")).collect()
}

/// Each option of the card has a drawing that says what it is, until it has a picture.
#[test]
fn the_card_draws_what_has_no_picture() {
    let (_folder, path) = support::copy_of("hall_bath.ron");
    let mut program = program(Some(path));
    press_room(&mut program, "Hall bath");
    press(&mut program, "Tub");
    let seen = drawings(labels(&program, Role::Image));
    assert_eq!(seen, ["Drawing: tub, white", "Drawing: tub, white"]);
    // The swatch in its corner still lets a color be picked.
    assert!(labels(&program, Role::Button).iter().any(|name| name == "Color of white"));
    press(&mut program, "Lavatory faucet");
    let seen = drawings(labels(&program, Role::Image));
    assert_eq!(seen, ["Drawing: faucet, brushed nickel", "Drawing: faucet, matte black"]);
}

/// What a card says, from the document alone.
fn said(project: &needline::model::Project, key: &str) -> String {
    let own = selection(project, key);
    let live = own.options.iter().find(|o| o.state == OptionState::Chosen);
    let live = live.or_else(|| own.options.iter().find(|o| o.state == OptionState::Leaning));
    match live {
        Some(option) => format!("{}: {}, {}", own.name, option.name, option.finish),
        None => format!("{}: {} candidates", own.name, own.options.len()),
    }
}

/// The switch shows the rows of the room as cards, each with all it is in one sentence; a click picks what it is.
#[test]
fn rows_are_shown_as_pictures() {
    let (project, day) = hall_bath();
    let bath = room(&project, "bath").id;
    let session = Session { room: Some(bath), ..Session::default() };
    let mut harness = panel_harness(project, day, session, house::ui);
    press(&mut harness, "Pictures");
    assert!(harness.state().session.ledger.pictures);
    let project = harness.state().project.clone();
    let cards = labels(&harness, Role::Button);
    let mut there = 0;
    for own in project.selections.iter().filter(|s| s.room == bath) {
        let begins = said(&project, &own.key);
        there += usize::from(cards.iter().any(|name| name.starts_with(&begins)));
    }
    assert!(there >= 12, "{there} of {cards:?}");
    let tub = said(&project, "bath_tub");
    support::press_from(&mut harness, &tub);
    assert_eq!(harness.state().session.selection, Some(selection(&project, "bath_tub").id));
    // The arrows go on from there, as they do among rows.
    harness.state_mut().session.selection = Some(selection(&project, "bath_tub").id);
    press(&mut harness, "Rows");
    assert!(!harness.state().session.ledger.pictures);
    assert!(labels(&harness, Role::Button).iter().all(|name| !name.starts_with(&tub)));
}

/// Groups of the ledger are heads of the board, and fold; what is filtered away has no card.
#[test]
fn boards_keep_to_groups_and_filters() {
    let (project, day) = sample("orchard_house.ron");
    let mut session = Session::default();
    session.ledger.pictures = true;
    session.ledger.group = house::ledger::GroupBy::Room;
    let mut harness = panel_harness(project, day, session, house::ui);
    let kitchen = said(&harness.state().project, "kitchen_base_cabinets");
    let there = |harness: &egui_kittest::Harness<'_, _>| {
        labels(harness, Role::Button).iter().any(|name| name.starts_with(&kitchen))
    };
    assert!(there(&harness));
    press(&mut harness, "Fold Kitchen");
    assert!(!there(&harness));
    press(&mut harness, "Open Kitchen");
    assert!(there(&harness));
    harness.state_mut().session.search = "no such thing".to_owned();
    harness.run();
    assert!(says(&harness, "No row fits") && !there(&harness));
}

/// At 640 points of width, what House shows in the narrowest window, cards stay whole, do not lie over each other, and
/// are large enough to be hit (WCAG 2.2, 2.5.8: 24 by 24).
#[test]
fn cards_have_room_at_640_points() {
    let (project, day) = sample("orchard_house.ron");
    let kitchen = room(&project, "kitchen").id;
    let mut session = Session { room: Some(kitchen), ..Session::default() };
    session.ledger.pictures = true;
    let mut harness = support::panel_harness_wide(640.0, 700.0, project, day, session, house::ui);
    harness.run();
    let names: BTreeSet<String> = harness
        .state()
        .project
        .selections
        .iter()
        .filter(|s| s.room == kitchen)
        .map(|s| format!("{}: ", s.name))
        .collect();
    let cards: Vec<egui::Rect> = all(&harness, Role::Button)
        .iter()
        .filter(|n| label(n).is_some_and(|name| names.iter().any(|begin| name.starts_with(begin))))
        .map(|n| n.rect())
        .collect();
    assert!(cards.len() >= 6, "{}", cards.len());
    for (at, card) in cards.iter().enumerate() {
        assert!(card.left() >= 0.0 && card.right() <= 640.0, "{card:?}");
        assert!(card.width() >= 120.0 && card.height() >= 120.0, "{card:?}");
        assert!(cards[..at].iter().all(|other| !other.shrink(0.5).intersects(card.shrink(0.5))), "{card:?}");
    }
    for name in ["Rows", "Pictures"] {
        let rect = named(&harness, Role::Button, name).rect();
        assert!(rect.width() >= 24.0 && rect.height() >= 24.0, "{name} {rect:?}");
    }
    println!("{} cards in 640 points", cards.len());
}

/// What is chosen from a board goes the same way as from anywhere else, and a picture takes the place of the drawing.
/// The options of a selection over the whole width are chosen by their digits, as on the card, and say so.
#[test]
fn digits_choose_on_the_board_of_options() {
    let (_folder, path) = copy_of("hall_bath.ron");
    let mut program = program(Some(path));
    let project = program.state().project().expect("a project").clone();
    let open = project.selections.iter().find(|s| s.live_option().is_none() && s.options.len() > 1);
    let open = open.expect("one that is open").clone();
    press_room(&mut program, &project.room(open.room).expect("a room").name);
    press(&mut program, &open.name);
    press(&mut program, "Compare over the whole width");
    for option in &open.options {
        named(&program, Role::Button, &format!("Make {} the choice", option.name));
    }
    assert!(support::audit::Drawn::of(&program).texts.iter().any(|t| t.words == "2"), "the digit is seen");
    program.key_press(Key::Num2);
    program.run();
    let now = program.state().project().expect("a project").selection(open.id).expect("it").clone();
    assert_eq!(now.choice().map(|o| o.id), Some(open.options[1].id));
}

#[test]
fn a_choice_changes_its_card() {
    let (project, _) = hall_bath();
    let acrylic = option(&project, "bath_tub_acrylic").id;
    let after = project.apply(&Action::Choose(acrylic)).unwrap();
    let own = selection(&after, "bath_tub");
    let live = own.choice().unwrap();
    assert_eq!(Drawing::of(&after, own, live).told(&live.finish), "Drawing: tub, white");
    let (_folder, path) = support::copy_of("hall_bath.ron");
    let mut program = program(Some(path));
    press_room(&mut program, "Hall bath");
    press(&mut program, "Pictures");
    let before = said(&project, "bath_tub");
    support::press_from(&mut program, &before);
    press(&mut program, "Make Alcove tub, 60 in, acrylic the choice");
    let begins = said(&after, "bath_tub");
    // Where the tub is ordered, the form of swaps asks first.
    if !labels(&program, Role::Button).iter().any(|name| name.starts_with(&begins)) {
        program.key_press_modifiers(egui::Modifiers::COMMAND, Key::Enter);
        program.run();
    }
    let cards = labels(&program, Role::Button);
    assert!(cards.iter().any(|name| name.starts_with(&begins)), "{cards:?}");
}
