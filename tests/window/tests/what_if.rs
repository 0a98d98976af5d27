//! What if, worked by mouse and by keyboard: trials on a thread of their own, pictures that are read off, and a best trade
//! made in one step.

#![cfg(feature = "gui")]

mod support;

use egui::{Key, Modifiers};
use egui_kittest::Harness;
use needline::engine::curve::{self, Question};
use needline::engine::risk::{Run, Watch, simulate};
use needline::model::{Project, Selection};
use needline::ui::session::WorkArea;
use needline::ui::shell::app::NeedlineApp;
use support::{Role, all, command, copy_of, fill, finish_work, label, labels, named, press, program, says};

type Program = Harness<'static, NeedlineApp>;

fn house() -> (tempfile::TempDir, Program) {
    let (folder, path) = copy_of("orchard_house.ron");
    let mut program = program(Some(path));
    command(&mut program, Key::Num7);
    assert_eq!(program.state().session().area, WorkArea::WhatIf);
    (folder, program)
}

/// The same with the trials made.
fn house_with_trials() -> (tempfile::TempDir, Program) {
    let (folder, mut program) = house();
    finish_work(&mut program);
    (folder, program)
}

fn document(program: &Program) -> Project {
    program.state().project().expect("a project is open").clone()
}

/// Clicks a button that may stand below what is seen.
fn press_below(program: &mut Program, name: &str) {
    named(program, Role::Button, name).scroll_to_me();
    program.run();
    press(program, name);
}

fn curve_page(program: &mut Program) {
    press(program, "Cheaper or sooner");
    finish_work(program);
}

fn picture(program: &Program, name: &str) -> String {
    let node = named(program, Role::Slider, name);
    node.value().expect("it says what is read off")
}

#[test]
fn what_it_shows_is_what_the_engine_says_of_the_same_trials() {
    let (_folder, program) = house_with_trials();
    let project = document(&program);
    let figures = program.state().figures().expect("figures");
    let risk = simulate(&project, figures, Run::new(10_000, 1), &Watch::default()).expect("trials");
    let shown = program.state().session().what_if.risk.asked.answer().expect("an answer").clone();
    assert_eq!(*shown, risk);
    let own = risk.finish.expect("a finish");
    for day in [own.p50, own.p80, own.p90] {
        let day = needline::ui::format::day_short(day, figures.as_of);
        assert!(says(&program, &day), "{day}");
    }
    let target = labels(&program, Role::Label).into_iter().find(|l| l.starts_with("The target"));
    assert!(target.is_some() || says(&program, "no target finish"));
}

/// The pictures stand level, and the words over them in one line each.
#[test]
fn both_pictures_stand_level() {
    let (_folder, program) = house_with_trials();
    let top = |name: &str| named(&program, Role::Slider, name).rect().top();
    assert!((top("Spread of the finish") - top("Spread of the total")).abs() < 1.0);
    for words in ["5 in 10 finish by", "5 in 10 cost at most"] {
        let height = named(&program, Role::Label, words).rect().height();
        assert!(height < 20.0, "{words} is {height} high");
    }
}

/// Between alternatives, some cents of freight that are shared anew are neither better nor worse.
#[test]
fn shares_of_cents_are_no_difference() {
    let (_folder, mut program) = house();
    press(&mut program, "Side by side");
    finish_work(&mut program);
    let said = labels(&program, Role::Label);
    let cents = |l: &&String| l.starts_with("0.") && (l.ends_with(" more") || l.ends_with(" less"));
    assert_eq!(said.iter().find(cents), None);
    assert!(said.iter().any(|l| l.ends_with(" more") || l.ends_with(" less")), "other rooms differ");
    assert!(!said.iter().any(|l| l.contains("does not suffice")));
}

#[test]
fn pictures_are_read_off_with_the_arrow_keys() {
    let (_folder, mut program) = house_with_trials();
    for name in ["Spread of the finish", "Spread of the total"] {
        assert_eq!(picture(&program, name), "nothing is read off");
        named(&program, Role::Slider, name).focus();
        program.run();
        let mut read = Vec::new();
        for key in [Key::Home, Key::ArrowRight, Key::End, Key::ArrowLeft] {
            program.key_press(key);
            program.run();
            read.push(picture(&program, name));
        }
        let percent = |words: &String| words.split('%').next().map(str::to_owned);
        assert!(read.iter().all(|words| words.contains("of the trials")), "{read:?}");
        // The last one that is read off stands before the end.
        assert!(read[2].starts_with("100%"), "{read:?}");
        assert_ne!(percent(&read[0]), percent(&read[2]));
        assert_ne!(read[2], read[3]);
        assert!(says(&program, &read[3]), "it stands beside the picture too");
    }
}

#[test]
fn an_edit_leaves_the_last_answer_until_the_next_one_and_a_draw_again_changes_it() {
    let (_folder, mut program) = house_with_trials();
    let before = program.state().session().what_if.risk.asked.answer().expect("an answer").clone();
    press(&mut program, "Draw again");
    assert!(program.state().session().what_if.risk.asked.answer().is_some());
    finish_work(&mut program);
    let after = program.state().session().what_if.risk.asked.answer().expect("an answer").clone();
    assert_ne!(before.seed, after.seed);
    assert_ne!(before.totals, after.totals);
}

/// How sure order-by days are is a setting of the project: picked here, it is there, and undone in one step.
#[test]
fn how_sure_order_days_are_is_that_of_the_project() {
    let (_folder, mut program) = house_with_trials();
    let before = document(&program);
    let sure = |program: &Program| {
        let answer = program.state().session().what_if.risk.asked.answer().expect("an answer").clone();
        (answer.confidence, answer.parts.iter().map(|own| own.order_by).collect::<Vec<_>>())
    };
    let (percent, days) = sure(&program);
    assert_eq!((percent, before.settings.confidence), (80, 80));
    named(&program, Role::ComboBox, "How sure order-by days are").click();
    program.run();
    press(&mut program, "95% sure");
    finish_work(&mut program);
    assert_eq!(document(&program).settings.confidence, 95);
    let (percent, surer) = sure(&program);
    assert_eq!(percent, 95);
    let pairs = days.iter().zip(&surer);
    assert!(pairs.clone().all(|(day, surer)| surer <= day) && pairs.clone().any(|(day, surer)| surer < day));
    command(&mut program, Key::Z);
    assert_eq!(document(&program), before);
}

#[test]
fn trials_are_stopped_and_go_on_again() {
    let (_folder, mut program) = house_with_trials();
    let node = named(&program, Role::ComboBox, "How many trials");
    node.click();
    program.run();
    press(&mut program, "1,000,000 trials");
    program.step();
    assert!(program.state().is_working(), "so many take a while");
    press(&mut program, "Stop");
    assert!(!program.state().is_working());
    assert!(says(&program, "Stopped; what is shown is older."));
    let kept = program.state().session().what_if.risk.asked.answer().expect("the older answer").trials;
    assert_eq!(kept, 10_000);
    named(&program, Role::ComboBox, "How many trials").click();
    program.run();
    press(&mut program, "1,000 trials");
    finish_work(&mut program);
    let now = program.state().session().what_if.risk.asked.answer().expect("an answer").trials;
    assert_eq!(now, 1_000);
    assert!(!says(&program, "Stopped; what is shown is older."));
}

#[test]
fn a_risk_is_added_changed_and_taken_back() {
    let (_folder, mut program) = house_with_trials();
    let before = document(&program);
    press_below(&mut program, "+ a risk");
    fill(&mut program, "What may happen", "Rot behind the shower");
    fill(&mut program, "Chance in percent", "140");
    press(&mut program, "Done");
    assert_eq!(document(&program), before, "140 percent is refused");
    fill(&mut program, "Chance in percent", "25");
    fill(&mut program, "Costs likely", "900");
    press(&mut program, "Done");
    finish_work(&mut program);
    let added = document(&program);
    assert_eq!(added.risks.len(), before.risks.len() + 1);
    let row = labels(&program, Role::Button)
        .into_iter()
        .find(|l| l.starts_with("Rot behind the shower, 25% likely"));
    press_below(&mut program, &row.expect("the risk is listed"));
    press(&mut program, "Cancel");
    command(&mut program, Key::Z);
    assert_eq!(document(&program), before);
}

/// The points, picked by the keyboard alone, say what the engine says; the last one is made, and undone in one step.
#[test]
fn a_best_trade_is_made_in_one_step_and_undone() {
    let (_folder, mut program) = house();
    curve_page(&mut program);
    let project = document(&program);
    let figures = program.state().figures().expect("figures").clone();
    let found = curve::curve(&project, &figures, &Question::default()).expect("there is something open");
    named(&program, Role::Slider, "Total against finish").focus();
    program.run();
    program.key_press(Key::Home);
    program.run();
    for (at, point) in found.points.iter().enumerate() {
        assert_eq!(program.state().session().what_if.curve.picked, Some(at));
        let words = picture(&program, "Total against finish");
        let total = needline::ui::format::money(point.total, project.settings.currency);
        assert!(words.contains(&total), "{words} {total}");
        for change in &point.changes {
            assert!(says(&program, &curve::change_words(&project, change)));
        }
        program.key_press(Key::ArrowRight);
        program.run();
    }
    let (at, point) =
        found.points.iter().enumerate().rfind(|(_, p)| !p.changes.is_empty()).expect("a change");
    program.key_press(Key::Home);
    program.run();
    for _ in 0..at {
        program.key_press(Key::ArrowRight);
        program.run();
    }
    let make = match point.changes.len() {
        1 => "Make this change".to_owned(),
        n => format!("Make these {n} changes"),
    };
    press_below(&mut program, &make);
    program.run();
    let now = program.state().figures().expect("figures");
    assert_eq!((now.forecast_finish, now.money.total.forecast), (Some(point.finish), point.total));
    let chosen = |s: &Selection| s.choice().map(|o| o.id);
    for change in &point.changes {
        let selection = document(&program).selection(change.selection).cloned().expect("it is there");
        assert_eq!(chosen(&selection), Some(change.to));
    }
    program.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    program.run();
    assert_eq!(document(&program), project);
}

#[test]
fn limits_are_read_as_they_are_typed_and_what_cannot_be_read_is_said() {
    let (_folder, mut program) = house();
    curve_page(&mut program);
    let project = document(&program);
    let figures = program.state().figures().expect("figures").clone();
    fill(&mut program, "Total no more than", "lots");
    finish_work(&mut program);
    let answer = |program: &Program| program.state().session().what_if.curve.asked.answer().cloned();
    let before = answer(&program).expect("the answer before stays");
    assert_eq!(before.as_ref(), &curve::curve(&project, &figures, &Question::default()));
    let least = before.as_ref().as_ref().expect("a curve").points.last().expect("a point").total;
    fill(&mut program, "Total no more than", &least.to_plain(project.settings.currency));
    finish_work(&mut program);
    let question = Question { at_most: Some(least), ..Question::default() };
    let now = answer(&program).expect("an answer");
    assert_eq!(now.as_ref(), &curve::curve(&project, &figures, &question));
    fill(&mut program, "Total no more than", "1");
    finish_work(&mut program);
    assert!(says(&program, "No set of choices keeps these limits"));
}

#[test]
fn a_house_with_nothing_open_and_nothing_uncertain_is_told_so() {
    let project = Project::new("Empty", support::date("2026-09-21"));
    let mut program = support::window(1200.0, 900.0).build_eframe(|cc| {
        needline::ui::theme::apply(&cc.egui_ctx);
        NeedlineApp::with_project(project, support::date("2026-09-21"))
    });
    program.run();
    command(&mut program, Key::Num7);
    finish_work(&mut program);
    assert!(says(&program, "Nothing is uncertain yet"));
    curve_page(&mut program);
    assert!(says(&program, "There is nothing to compare"));
    assert!(all(&program, Role::Button).iter().all(|node| label(node).is_some()));
}

fn sides_page(program: &mut Program) {
    press(program, "Side by side");
    finish_work(program);
}

/// What each column says is what the verbs say; making one is one step.
#[test]
fn alternatives_stand_side_by_side_and_one_is_made_in_one_step() {
    let (_folder, mut program) = house();
    sides_page(&mut program);
    let project = document(&program);
    let figures = program.state().figures().expect("figures").clone();
    let sides = needline::engine::alternatives::side_by_side(&project, &figures);
    assert!(!project.alternatives.is_empty());
    for (alternative, side) in project.alternatives.iter().zip(&sides.others) {
        let total = needline::ui::format::money(side.total, project.settings.currency);
        assert!(says(&program, &total), "{}: {total}", alternative.name);
        for change in &side.changes {
            assert!(says(&program, &curve::change_words(&project, change)));
        }
    }
    let own = &project.alternatives[0];
    press_below(&mut program, &format!("Choose as in {}", own.name));
    finish_work(&mut program);
    let now = program.state().figures().expect("figures");
    assert_eq!(
        (now.forecast_finish, now.money.total.forecast),
        (sides.others[0].finish, sides.others[0].total)
    );
    assert!(says(&program, "All of it is chosen now"));
    command(&mut program, Key::Z);
    assert_eq!(document(&program), project);
}

#[test]
fn alternatives_are_kept_named_changed_and_forgotten() {
    let (_folder, mut program) = house();
    let before = document(&program);
    sides_page(&mut program);
    fill(&mut program, "Name of the alternative", "As it is");
    press(&mut program, "Keep it");
    finish_work(&mut program);
    let kept = document(&program);
    let own = kept.alternatives.last().expect("it is kept").clone();
    assert_eq!((own.name.as_str(), own.options.clone()), ("As it is", before.chosen_now()));
    named(&program, Role::Button, "More about As it is").scroll_to_me();
    program.run();
    press(&mut program, "More about As it is");
    press(&mut program, "Forget it");
    finish_work(&mut program);
    assert_eq!(document(&program).alternatives, before.alternatives);

    // A name is changed in its place.
    let name = before.alternatives[0].name.clone();
    named(&program, Role::TextInput, &format!("Name of {name}")).focus();
    program.run();
    fill(&mut program, &format!("Name of {name}"), "In by winter");
    program.key_press(Key::Enter);
    finish_work(&mut program);
    assert_eq!(document(&program).alternatives[0].name, "In by winter");

    // The changes of a best trade are kept under a name.
    curve_page(&mut program);
    named(&program, Role::Slider, "Total against finish").focus();
    program.run();
    program.key_press(Key::End);
    program.run();
    press_below(&mut program, "Keep as an alternative");
    finish_work(&mut program);
    let now = document(&program);
    assert_eq!(now.alternatives.len(), before.alternatives.len() + 1);
    assert!(!now.alternatives.last().expect("it is kept").options.is_empty());
}
