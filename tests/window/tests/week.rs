//! This week, worked by mouse and by keyboard: it opens first, and each line does its deed.

#![cfg(feature = "gui")]

mod support;

use egui::{Key, Modifiers};
use egui_kittest::Harness;
use needline::engine::week::{Ask, Deed, Kind, Line, week};
use needline::model::Project;
use needline::ui::areas;
use needline::ui::session::{Session, WorkArea};
use needline::ui::shell::app::NeedlineApp;
use needline::ui::view::Request;
use std::collections::BTreeSet;
use support::{
    Role, button_from, command, copy_of, labels, named, panel_harness, press, press_from, program, says,
};

type Program = Harness<'static, NeedlineApp>;

fn house() -> (tempfile::TempDir, Program) {
    let (folder, path) = copy_of("orchard_house.ron");
    (folder, program(Some(path)))
}

fn document(program: &Program) -> Project {
    program.state().project().expect("a project is open").clone()
}

fn lines(program: &Program, days: i32) -> Vec<Line> {
    week(&document(program), program.state().figures().expect("figures"), days)
}

fn key(program: &mut Program, key: Key) {
    program.key_press(key);
    program.run();
}

fn picked(program: &Program) -> Option<String> {
    program.state().session().week.picked.clone()
}

fn spoken(program: &Program) -> Vec<String> {
    let kinds: Vec<String> = Kind::ALL.iter().map(|(_, title, _)| format!("{title}; ")).collect();
    let all = labels(program, Role::Button);
    all.into_iter().filter(|name| kinds.iter().any(|kind| name.starts_with(kind))).collect()
}

/// Whether a form or a list lies over the window.
fn asks(program: &Program) -> bool {
    labels(program, Role::Button).iter().any(|name| name == "Cancel")
}

#[test]
fn it_opens_first_with_all_that_is_due_in_order_of_date() {
    let (_folder, mut program) = house();
    assert_eq!(program.state().session().area, WorkArea::Week);
    for days in [28, 14, 7] {
        press(&mut program, &format!("The next {days} days"));
        let all = lines(&program, days);
        named(&program, Role::Button, &format!("All, {} lines", all.len()));
        for (_, title, kind) in Kind::ALL {
            let own: Vec<&Line> = all.iter().filter(|line| line.kind == kind).collect();
            let name = format!("{title}, {} ", own.len());
            if own.is_empty() {
                assert!(!labels(&program, Role::Button).iter().any(|l| l.starts_with(&format!("{title}, "))));
                continue;
            }
            button_from(&program, name.trim_end()).click();
            program.run();
            let shown = spoken(&program);
            assert!(!shown.is_empty() && shown.iter().all(|s| s.starts_with(&format!("{title}; "))));
            assert!(shown.len() <= own.len());
            press_from(&mut program, "All, ");
        }
    }
    assert!(
        says(&program, "Overdue, ") || labels(&program, Role::Label).iter().any(|l| l.starts_with("Overdue"))
    );
}

/// Every line of four weeks, by the keyboard alone: what is done at once leaves the list and comes back by undo; what
/// must be asked is asked.
#[test]
fn each_line_does_its_deed_from_the_keyboard() {
    let (_folder, mut program) = house();
    press(&mut program, "The next 28 days");
    let all = lines(&program, 28);
    let (mut kinds, mut at_once, mut asked) = (BTreeSet::new(), 0, 0);
    // The button that was clicked lets go of the keyboard.
    key(&mut program, Key::Escape);
    program.run();
    for line in &all {
        key(&mut program, Key::ArrowDown);
        assert_eq!(picked(&program).as_ref(), Some(&line.id));
        let before = document(&program);
        key(&mut program, Key::Enter);
        match &line.deed {
            Deed::Do(action) => {
                assert_ne!(document(&program), before, "{action:?}");
                assert!(
                    lines(&program, 28).iter().all(|other| other.id != line.id || other != line),
                    "{line:?}"
                );
                assert_ne!(picked(&program).as_ref(), Some(&line.id), "the next one is picked");
                command(&mut program, Key::Z);
                assert_eq!(document(&program), before);
                // Lines above it may have gone with it.
                for _ in 0..4 {
                    if picked(&program).as_ref() != Some(&line.id) {
                        key(&mut program, Key::ArrowUp);
                    }
                }
                if picked(&program).as_ref() != Some(&line.id) {
                    key(&mut program, Key::End);
                }
                while picked(&program).as_ref() != Some(&line.id) {
                    let below = picked(&program);
                    key(&mut program, Key::ArrowUp);
                    assert_ne!(picked(&program), below, "{line:?} is not there again");
                }
                at_once += 1;
            }
            Deed::Ask(ask) => {
                asked += 1;
                match ask {
                    Ask::Choose(id) => {
                        assert_eq!(program.state().session().selection, Some(*id), "the card follows");
                        let options = &before.selection(*id).unwrap().options;
                        let menu = labels(&program, Role::Button);
                        for option in options {
                            assert!(menu.iter().any(|l| l.starts_with(&format!("Choose {}", option.name))));
                        }
                        key(&mut program, Key::Escape);
                    }
                    Ask::Hire(phase) => {
                        assert_eq!(program.state().session().area, WorkArea::Dates);
                        assert_eq!(program.state().session().dates.picked, Some(*phase));
                    }
                    Ask::Visit(_) => {
                        assert_eq!(program.state().session().area, WorkArea::SignOffs);
                        named(&program, Role::Button, "Passed");
                        key(&mut program, Key::Escape);
                    }
                    _ => {
                        assert!(asks(&program), "{line:?}");
                        press(&mut program, "Cancel");
                        assert!(!asks(&program), "{line:?}");
                    }
                }
                command(&mut program, Key::Num1);
                assert_eq!(document(&program), before, "{ask:?}");
            }
        }
        kinds.insert(line.kind);
        assert_eq!(picked(&program).as_ref(), Some(&line.id), "it is still there");
    }
    assert_eq!(kinds.len(), Kind::ALL.len(), "the sample has all kinds: {kinds:?}");
    assert!(at_once > 10 && asked > 10, "{at_once} {asked}");
    key(&mut program, Key::Home);
    assert_eq!(picked(&program).as_ref(), Some(&all[0].id));
    key(&mut program, Key::End);
    assert_eq!(picked(&program), all.last().map(|line| line.id.clone()));
    let last = all[all.len() - 1].kind.title();
    assert!(spoken(&program).last().is_some_and(|s| s.starts_with(last)), "it was brought to view");
}

/// Whoever goes from line to line by Tab sees where the keyboard is, and Enter does what it does for a picked line. A
/// line that is done gives its place to the next one.
#[test]
fn enter_does_the_deed_of_the_line_that_has_the_keyboard() {
    let (_folder, mut program) = house();
    press_from(&mut program, "Pay, ");
    key(&mut program, Key::Escape);
    key(&mut program, Key::End);
    let own: Vec<Line> = lines(&program, 7).into_iter().filter(|l| l.kind == Kind::Pay).collect();
    assert_eq!(picked(&program).as_ref(), own.last().map(|l| &l.id), "End comes from below");
    let sill = own.iter().position(|l| l.about == "sill").expect("the sill is to be paid");
    button_from(&program, "Pay; Pay 540.00 USD for Replace a rotten sill").focus();
    program.run();
    assert_eq!(picked(&program).as_ref(), Some(&own[sill].id), "what has the keyboard is picked");
    key(&mut program, Key::Enter);
    let left: Vec<Line> = lines(&program, 7).into_iter().filter(|l| l.kind == Kind::Pay).collect();
    assert!(left.iter().all(|l| l.about != "sill"));
    assert_eq!(program.state().session().area, WorkArea::Week, "it is done and not shown");
    let next = left.get(sill).or(left.last()).map(|l| l.id.clone());
    assert_eq!(picked(&program), next);
}

#[test]
fn lines_are_done_and_shown_by_the_mouse() {
    let (_folder, mut program) = house();
    // A payment is noted with one click.
    press_from(&mut program, "Pay, ");
    let due = |program: &Program| lines(program, 7).iter().any(|l| l.kind == Kind::Pay && l.about == "sill");
    assert!(due(&program));
    press_from(&mut program, "Paid: Pay 540.00 USD for Replace a rotten sill");
    assert!(!due(&program));
    command(&mut program, Key::Z);
    // A line of a selection shows its card and stays here; one of a phase leads to its dates.
    press_from(&mut program, "Decide, ");
    press_from(&mut program, "Decide; Choose Island countertop");
    assert_eq!(program.state().session().area, WorkArea::Week);
    let p = document(&program);
    let selection = program.state().session().selection.and_then(|id| p.selection(id)).unwrap();
    assert_eq!(selection.name, "Island countertop");
    press_from(&mut program, "Call, ");
    press_from(&mut program, "Call; Hire a crew for Tile backer");
    assert_eq!(program.state().session().area, WorkArea::Dates);
    command(&mut program, Key::Num1);
    // The button of a choice lists the options; one click decides, and the line is gone.
    press_from(&mut program, "Decide, ");
    press_from(&mut program, "Choose: Choose Island countertop");
    press_from(&mut program, "Choose Quartzite slab, polished");
    assert!(lines(&program, 7).iter().all(|line| line.about != selection.key || line.kind != Kind::Decide));
}

#[test]
fn what_is_written_is_asked_with_the_days_shown() {
    let (_folder, mut program) = house();
    press(&mut program, "The next 14 days");
    press(&mut program, "Print or send\u{2026}");
    assert!(asks(&program));
    assert!(says(&program, "What to decide, to order, whom to call"));
    program.key_press_modifiers(Modifiers::NONE, Key::Escape);
    program.run();
    assert!(!asks(&program));
}

#[test]
fn an_empty_list_says_what_to_do() {
    let day = support::date("2026-06-01");
    let project = Project::new("Empty", day);
    let mut harness = panel_harness(project, day, Session::default(), areas::week::ui);
    assert!(says(&harness, "Nothing has its day in the next 7 days"));
    press(&mut harness, "Go to the house");
    assert_eq!(harness.state_mut().take().len(), 1);
    let (project, _) = support::hall_bath();
    let mut harness =
        panel_harness(project, support::date("2020-01-06"), Session::default(), areas::week::ui);
    if says(&harness, "Nothing has its day") {
        press(&mut harness, "Look 14 days ahead");
        assert_eq!(harness.state().session.week.shown.days, 14);
        assert_eq!(harness.state_mut().take(), Vec::<Request>::new());
    }
}
