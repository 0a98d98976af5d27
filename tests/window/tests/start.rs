//! The start page: what it offers to somebody who has nothing yet. The frame of the window: how large everything is drawn,
//! the menu, the head, the tabs, and what the card follows.

#![cfg(feature = "gui")]

mod support;

use egui::{Key, Modifiers, Rect};
use egui_kittest::Harness;
use egui_kittest::kittest::NodeT as _;
use needline::model::{Project, Subject};
use needline::ui::areas::house::ledger::LedgerColumn;
use needline::ui::session::WorkArea;
use needline::ui::shell::app::NeedlineApp;
use needline::ui::shell::command::Command;
use needline::ui::shell::samples::SAMPLES;
use needline::ui::view::Request;
use support::audit::Drawn;
use support::{
    Role, all, button_from, command, copy_of, fill, label, labels, named, press, press_from, press_room,
    program_on, read, room, samples, says,
};

type Program = Harness<'static, NeedlineApp>;

/// Every sample comes with the program, the same as its file, and is nobody's file: it opens saved, and when it was
/// changed, saving asks where it is to go.
#[test]
fn samples_come_with_the_program() {
    let files = ["orchard_house.ron", "hall_bath.ron", "walls_open.ron"];
    assert_eq!(
        SAMPLES.len(),
        std::fs::read_dir(samples())
            .unwrap()
            .filter(|entry| {
                entry.as_ref().unwrap().path().extension().is_some_and(|ending| ending == "ron")
            })
            .count(),
        "each file has its sample"
    );
    for (sample, file) in SAMPLES.iter().zip(files) {
        let mut program = program_on("2030-01-01");
        press(&mut program, sample.name);
        assert_eq!(program.state().project(), Some(&read(&samples().join(file))), "{}", sample.name);
        assert!(says(&program, sample.name));
        assert!(!says(&program, &format!("{} \u{2022}", sample.name)), "nothing is unsaved");
        let day = program.state().figures().unwrap().as_of;
        assert_eq!(
            Some(day.date()),
            program.state().project().unwrap().settings.as_of,
            "its own day, whatever today is"
        );
        command(&mut program, Key::W);
        button_from(&program, "New project");
    }
}

/// The first button of whoever has no project opens the largest.
#[test]
fn the_first_look_is_at_the_largest() {
    let mut program = program_on("2030-01-01");
    press(&mut program, "Look at a sample");
    let selections = program.state().project().unwrap().selections.len();
    for sample in SAMPLES {
        assert!(sample.read().unwrap().selections.len() <= selections, "{}", sample.name);
    }
}

/// A window of a size with the large sample.
fn sized(width: f32, height: f32) -> (tempfile::TempDir, Program) {
    let (folder, path) = copy_of("orchard_house.ron");
    let mut program = support::program(Some(path));
    program.set_size(egui::vec2(width, height));
    program.run();
    (folder, program)
}

/// Everything is drawn larger and smaller by keys, by the menu and by name, one step at a time.
#[test]
fn everything_is_drawn_larger_and_smaller() {
    let (_folder, mut program) = sized(1600.0, 1000.0);
    let zoom = |program: &Program| (program.ctx.zoom_factor() * 10.0).round() as i32;
    assert_eq!(zoom(&program), 10);
    command(&mut program, Key::Plus);
    assert_eq!(zoom(&program), 11, "one step, by the window or by egui and not by both");
    command(&mut program, Key::Equals);
    assert_eq!(zoom(&program), 12);
    command(&mut program, Key::Minus);
    assert_eq!(zoom(&program), 11);
    command(&mut program, Key::Num0);
    assert_eq!(zoom(&program), 10);
    assert!(!program.state().session().story_open, "no other command has these keys");
    // While something is asked too.
    command(&mut program, Key::Comma);
    command(&mut program, Key::Plus);
    assert_eq!(zoom(&program), 11);
    command(&mut program, Key::Num0);
    program.key_press(Key::Escape);
    program.run();

    press(&mut program, "Menu");
    hover(&mut program, "Size and colors");
    press_from(&mut program, "Everything larger");
    assert_eq!(zoom(&program), 11);
    command(&mut program, Key::K);
    fill(&mut program, "By name", "zoom");
    for words in ["Everything larger, ", "Everything smaller, ", "Everything in its usual size, "] {
        button_from(&program, words);
    }
    fill(&mut program, "By name", "usual size");
    program.key_press(Key::Enter);
    program.run();
    assert_eq!(zoom(&program), 10);
    program.key_press(Key::F1);
    program.run();
    assert!(says(&program, "Everything larger"));
}

/// How wide the card is, from where its title begins to the edge of the window.
fn card_width(program: &Program) -> f32 {
    let id = program.state().session().selection.expect("something is picked");
    let name = project(program).selection(id).expect("it is there").name.clone();
    let titles = all(program, Role::Label);
    let own = titles.iter().filter(|node| label(node).as_deref() == Some(&name));
    let left = own.map(|node| node.rect().left()).fold(0.0, f32::max);
    program.ctx.content_rect().right() - left
}

/// A window that is made narrow, or drawn larger, and back shows the card as wide as it was.
#[test]
fn the_card_is_as_wide_again_after_a_narrow_window() {
    let (_folder, mut program) = sized(1600.0, 1000.0);
    let usual = card_width(&program);
    let narrow = |program: &mut Program| {
        program.set_size(egui::vec2(1024.0, 700.0));
        program.run();
        assert!(card_width(program) < usual - 60.0);
        program.set_size(egui::vec2(1600.0, 1000.0));
        program.run();
    };
    narrow(&mut program);
    assert_eq!(card_width(&program), usual);
    let zoom = |program: &mut Program, to: f32| {
        program.ctx.set_zoom_factor(to);
        program.set_size(egui::vec2(1600.0 / to, 1000.0 / to));
        program.run();
    };
    zoom(&mut program, 1.5);
    assert!(card_width(&program) < usual - 60.0);
    zoom(&mut program, 1.0);
    assert_eq!(card_width(&program), usual);

    // Dragged it has another width, which stays as well.
    // Its edge is 14 points before its title.
    let edge = egui::pos2(1600.0 - usual - 14.5, 500.0);
    drag(&mut program, edge, edge - egui::vec2(90.0, 0.0));
    let wider = card_width(&program);
    assert!((wider - usual - 90.0).abs() < 3.0, "{wider} after {usual}");
    narrow(&mut program);
    assert_eq!(card_width(&program), wider);
}

/// Presses on a point, moves in steps and lets go at another.
fn drag(program: &mut Program, from: egui::Pos2, to: egui::Pos2) {
    let button = |pos, pressed| egui::Event::PointerButton {
        pos,
        button: egui::PointerButton::Primary,
        pressed,
        modifiers: egui::Modifiers::NONE,
    };
    program.hover_at(from);
    program.run();
    program.event(button(from, true));
    program.run();
    for step in 1..=4 {
        program.event(egui::Event::PointerMoved(from + (to - from) * (step as f32 / 4.0)));
        program.run();
    }
    program.event(button(to, false));
    program.run();
}

/// What has no tab and no button of its own is in the menu without scrolling.
#[test]
fn the_menu_is_seen_whole_in_a_low_window() {
    let (_folder, mut program) = sized(1024.0, 700.0);
    press(&mut program, "Menu");
    let window = program.ctx.content_rect();
    for entry in ["Bring in a list", "Export purchase lists", "Papers to print", "Project settings", "Help"] {
        let seen = button_from(&program, entry).rect();
        assert!(window.contains_rect(seen), "{entry} at {seen:?}");
    }
    hover(&mut program, "Help");
    press_from(&mut program, "How the figures are computed");
    assert!(program.state().session().manual_open);
}

/// Rests the pointer on a button, which opens what is behind a line of a menu.
fn hover(program: &mut Program, name: &str) {
    button_from(program, name).hover();
    program.run();
}

fn project(program: &Program) -> Project {
    program.state().project().expect("a project is open").clone()
}

/// A room that is picked has the card, with what is late in it and who works there next; a selection picked afterwards has
/// it again.
#[test]
fn the_card_follows_the_room_that_is_picked() {
    let (_folder, mut program) = sized(1600.0, 1000.0);
    press_room(&mut program, "Kitchen");
    let kitchen = room(&project(&program), "kitchen").clone();
    assert_eq!(program.state().session().beside, Some(Subject::Room(kitchen.id)));
    assert!(!labels(&program, Role::Button).contains(&"Edit selection".to_owned()));
    button_from(&program, "Edit room Kitchen");
    for words in ["Late, 5", "To decide, 3", "Who works there next, "] {
        assert!(says(&program, words), "{words}: {:?}", labels(&program, Role::Label));
    }
    let figures = program.state().figures().unwrap().clone();
    let at = figures.index.of(kitchen.id.0).unwrap();
    let floor = format!("{} ft\u{b2}", figures.rooms[at].floor.normalize());
    assert!(says(&program, &floor), "{floor}");

    press(&mut program, "Wall oven, to decide");
    assert_eq!(program.state().session().beside, None);
    button_from(&program, "Edit selection");
    press_room(&mut program, "Primary bath");
    assert!(!labels(&program, Role::Button).contains(&"Edit selection".to_owned()));
    press_room(&mut program, "All rooms");
    button_from(&program, "Edit selection");
}

/// The heads of Money and Sign-offs have the card too, and open no form in a window without room for it.
#[test]
fn the_card_follows_heads_of_rows() {
    for (width, height) in [(1600.0, 1000.0), (853.0, 533.0)] {
        let (_folder, mut program) = sized(width, height);
        press(&mut program, "Money");
        press(&mut program, "Open Kitchen");
        let kitchen = room(&project(&program), "kitchen").id;
        assert_eq!(program.state().session().beside, Some(Subject::Room(kitchen)));
        assert!(!labels(&program, Role::Button).contains(&"Done".to_owned()), "no form");
        press(&mut program, "Sign-offs");
        let phases = project(&program).phases.clone();
        let heads = labels(&program, Role::Button);
        let head = heads.iter().find_map(|said| {
            let phase = phases.iter().find(|p| said.starts_with(&format!("{}, ", p.name)))?;
            Some((said.clone(), phase.id))
        });
        let (head, phase) = head.expect("a phase");
        press(&mut program, &head);
        assert_eq!(program.state().session().beside, Some(Subject::Phase(phase)));
    }
}

/// What floats over an area was asked about there, and does not lie over the next one.
#[test]
fn another_area_closes_what_floats_over_the_last() {
    let (_folder, mut program) = sized(1600.0, 1000.0);
    let floating = |program: &Program| {
        let s = program.state().session();
        [s.why.is_some(), s.problems_open, s.story_open, s.manual_open]
    };
    let ctrl_shift = Modifiers::COMMAND | Modifiers::SHIFT;
    for command in [Command::ShowProblems, Command::ShowStory, Command::ShowManual, Command::WhyFinish] {
        program.state_mut().ask(Request::Do(command));
        program.run();
    }
    assert_eq!(floating(&program), [true; 4]);
    program.key_press_modifiers(ctrl_shift, Key::L);
    program.run();
    assert_eq!(floating(&program), [true; 4], "the same area");
    command(&mut program, Key::Num4);
    assert_eq!(floating(&program), [false; 4]);
}

/// What was said stays below what is asked, and comes back when that is closed.
#[test]
fn nothing_that_is_said_lies_over_a_form() {
    let (_folder, mut program) = sized(1600.0, 1000.0);
    program.state_mut().ask(Request::Refuse("That cannot be done".to_owned()));
    program.run();
    assert!(says(&program, "That cannot be done"));
    let field =
        all(&program, Role::TextInput).into_iter().find(|n| label(n).as_deref() == Some("as of")).unwrap();
    field.focus();
    program.run();
    fill(&mut program, "as of", "no day at all");
    program.key_press(Key::Enter);
    program.run();
    let fault = "no day at all";
    assert!(says(&program, fault), "{:?}", labels(&program, Role::Label));
    program.state_mut().ask(Request::Do(Command::EditSettings));
    program.run();
    assert!(says(&program, "Project settings"));
    assert!(!says(&program, "That cannot be done"));
    assert!(!says(&program, fault));
    program.key_press(Key::Escape);
    program.run();
    assert!(says(&program, "That cannot be done"));
    assert!(says(&program, fault));
}

/// The field stands where it stood, whatever is found.
#[test]
fn the_field_of_names_does_not_jump() {
    for (width, height) in [(1600.0, 1000.0), (640.0, 388.0)] {
        let (_folder, mut program) = sized(width, height);
        command(&mut program, Key::K);
        let mut tops = Vec::new();
        for query in ["a", "tub", "nothing is called this", ""] {
            fill(&mut program, "By name", query);
            let field = named(&program, Role::TextInput, "By name").rect();
            assert!(program.ctx.content_rect().contains_rect(field));
            tops.push(field.top());
        }
        assert!(tops.iter().all(|top| *top == tops[0]), "{tops:?}");
    }
}

/// Tabs have the same room around their words, and stay where they are when another one is picked.
#[test]
fn tabs_stay_where_they_are() {
    let (_folder, mut program) = sized(1600.0, 1000.0);
    let tabs = |program: &Program| -> Vec<Rect> {
        WorkArea::all().map(|area| named(program, Role::Button, area.title()).rect()).collect()
    };
    let first = tabs(&program);
    for area in WorkArea::all() {
        press(&mut program, area.title());
        assert_eq!(tabs(&program), first, "{}", area.title());
    }
    let gaps: Vec<f32> = first.windows(2).map(|pair| pair[1].left() - pair[0].right()).collect();
    assert!(gaps.iter().all(|gap| (gap - gaps[0]).abs() < 0.1), "{gaps:?}");
    // The letters themselves, which a tab is around.
    let drawn = Drawn::of(&program);
    for (area, tab) in WorkArea::all().zip(first) {
        let own = drawn.texts.iter().find(|t| t.words == area.title() && tab.contains(t.ink.center()));
        let own = own.expect("its words").ink;
        let air = (own.left() - tab.left(), tab.right() - own.right());
        assert!((air.0 - air.1).abs() < 3.0 && air.0 < 12.0, "{}: {air:?}", area.title());
    }
}

/// From the search to the menu the keyboard goes as the eye does.
#[test]
fn the_keyboard_goes_through_the_bar_from_the_left() {
    let (_folder, mut program) = sized(1600.0, 1000.0);
    press(&mut program, "House");
    let mut last = 0.0;
    let wanted =
        ["Search", "Nothing to undo", "Nothing to redo", "Steps", "Save", "Fold the options away", "Menu"];
    let drawn = program.root().children_recursive().filter_map(|node| {
        let said = label(&node)?;
        wanted.contains(&said.as_str()).then(|| (said, node.rect().left()))
    });
    let drawn: Vec<(String, f32)> = drawn.collect();
    assert_eq!(drawn.iter().map(|(said, _)| said.as_str()).collect::<Vec<_>>(), wanted);
    for (said, left) in drawn {
        assert!(left > last, "{said} at {left} after {last}");
        last = left;
    }
    assert!(last > 1540.0, "the menu stands at the edge: {last}");
}

/// In a small window the head says less, and all of what it says can be read; rooms say their whole totals.
#[test]
fn a_small_window_says_less_and_cuts_no_figure() {
    let (_folder, program) = sized(1024.0, 700.0);
    let drawn = Drawn::of(&program);
    let in_head = drawn.seen().into_iter().filter(|t| t.ink.bottom() < 66.0 && t.ink.left() > 180.0);
    let cut: Vec<&str> =
        in_head.map(|t| t.words.as_str()).filter(|words| words.ends_with('\u{2026}')).collect();
    assert!(cut.is_empty(), "{cut:?}");
    let rooms: Vec<&str> =
        drawn.texts.iter().filter(|t| t.ink.right() < 200.0).map(|t| t.words.as_str()).collect();
    assert!(rooms.contains(&"2,635"), "{rooms:?}");
    button_from(&program, "To settle, 11 undecided, 4 to call, 2 to act on, 69 to look into");
}

/// How far a list is scrolled is not known to the next project.
#[test]
fn each_project_is_scrolled_for_itself() {
    let (_folder, mut program) = sized(1280.0, 720.0);
    press(&mut program, "Buying");
    let parts = |program: &Program| -> Vec<(String, i32)> {
        let all = all(program, Role::Button)
            .into_iter()
            .filter(|n| n.rect().top() > 160.0 && n.rect().left() > 250.0);
        all.filter_map(|n| Some((label(&n)?, n.rect().top() as i32))).collect()
    };
    let first = parts(&program);
    program.hover_at(egui::pos2(500.0, 500.0));
    program.event(egui::Event::MouseWheel {
        unit: egui::MouseWheelUnit::Point,
        delta: egui::vec2(0.0, -2000.0),
        phase: egui::TouchPhase::Move,
        source: egui::MouseWheelSource::Wheel,
        modifiers: Modifiers::NONE,
    });
    program.run_steps(60);
    assert_ne!(parts(&program), first, "it is scrolled");
    let again = project(&program);
    program.state_mut().begin_with(again);
    program.hover_at(egui::pos2(900.0, 10.0));
    program.run();
    press(&mut program, "Buying");
    assert_eq!(parts(&program), first);
}

/// The menu of columns ticks what is drawn, which has less room than the window.
#[test]
fn the_menu_of_columns_ticks_what_is_drawn() {
    let (_folder, mut program) = sized(1600.0, 1000.0);
    press(&mut program, "House");
    press(&mut program, "Columns to show");
    let ticked = |program: &Program, column: LedgerColumn| {
        let node = named(program, Role::CheckBox, column.title());
        node.accesskit_node().toggled() == Some(egui::accesskit::Toggled::True)
    };
    let heads: Vec<String> = labels(&program, Role::Button);
    for column in
        [LedgerColumn::Allowance, LedgerColumn::Forecast, LedgerColumn::OrderBy, LedgerColumn::Supplier]
    {
        let drawn = heads
            .iter()
            .any(|head| head == column.title() || head.starts_with(&format!("{}, ", column.title())));
        assert_eq!(ticked(&program, column), drawn, "{}: {heads:?}", column.title());
    }
    assert!(!ticked(&program, LedgerColumn::Allowance));
}
