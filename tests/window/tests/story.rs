//! Kept plans and the log in the window: keeping a plan, what the head says since, lines that come and go with undo, causes
//! that are corrected.

#![cfg(feature = "gui")]

mod support;

use egui::{Key, Modifiers};
use egui_kittest::Harness;
use needline::engine::log;
use needline::model::*;
use needline::ui::areas::dates;
use needline::ui::session::Session;
use needline::ui::shell::app::NeedlineApp;
use support::{
    Role, button_from, command, copy_of, fill, labels, named, panel_harness, press, press_from, sample, says,
};

type Program = Harness<'static, NeedlineApp>;

fn project(program: &Program) -> Project {
    program.state().project().expect("a project is open").clone()
}

/// Goes to a thing or a command by its name.
fn go_to(program: &mut Program, name: &str) {
    command(program, Key::K);
    fill(program, "By name", name);
    program.key_press(Key::Enter);
    program.run();
}

/// Shows where the days and the money went, or hides it.
fn story_key(program: &mut Program) {
    program.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::D);
    program.run();
}

/// Before a plan is kept nothing is asked and nothing is noted; from then on each change is a line, which undo takes back.
#[test]
fn a_plan_is_kept_and_changes_are_noted() {
    let (_folder, path) = copy_of("hall_bath.ron");
    let mut program = support::program(Some(path));
    assert!(!says(&program, "Since the plan agreed"));
    story_key(&mut program);
    assert!(says(&program, "No plan is kept yet"));
    press(&mut program, "Keep the plan as agreed\u{2026}");
    fill(&mut program, "Name", "Agreed at the table");
    press(&mut program, "Keep it");
    let kept = project(&program);
    let [plan] = kept.kept_plans.as_slice() else { panic!("one plan is kept") };
    let figures = program.state().figures().unwrap().clone();
    assert_eq!((plan.name.as_str(), plan.standing()), ("Agreed at the table", log::standing(&figures)));
    assert_eq!(plan.phases.len(), kept.phases.len());
    button_from(&program, "Since the plan agreed, as agreed, the total as agreed");
    assert!(says(&program, "Since Agreed at the table on "));
    story_key(&mut program);
    // An allowance of what is undecided moves the total, and that alone.
    let undecided =
        |s: &&std::sync::Arc<Selection>| s.options.iter().all(|o| o.state == OptionState::Candidate);
    let open = kept.selections.iter().find(undecided).expect("something is undecided").clone();
    go_to(&mut program, &open.name);
    press(&mut program, "Edit selection");
    fill(&mut program, "Allowance", "4321.09");
    press(&mut program, "Done");
    let changed = project(&program);
    let [line] = changed.log.as_slice() else { panic!("{:?}", changed.log) };
    assert_eq!((line.selection, line.cause), (Some(open.id), Cause::Decision));
    let now = log::standing(program.state().figures().unwrap());
    assert_eq!((line.before(), line.after()), (plan.standing(), now));
    let more = needline::ui::format::money(now.total.less(plan.total).abs(), kept.settings.currency);
    assert!(says(&program, &more), "{more}");
    command(&mut program, Key::Z);
    assert!(project(&program).log.is_empty());
    program.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    program.run();
    assert_eq!(project(&program).log, changed.log);
}

/// The head of the large sample tells it in one line; a cause is corrected in the list, and the sums follow.
#[test]
fn causes_are_corrected_in_the_list() {
    let (_folder, path) = copy_of("orchard_house.ron");
    let mut program = support::program(Some(path));
    press_from(&mut program, "Since the plan agreed, 4 working days later, ");
    assert!(says(&program, "Since Before the walls close on Aug 24: 4 working days later, 1,097.11 more"));
    let picture = labels(&program, Role::Image);
    assert!(picture.iter().any(|words| words.contains("sign-offs: 3 days later")), "{picture:?}");
    named(&program, Role::ComboBox, "Cause of edit settings").click();
    program.run();
    press(&mut program, "price");
    let p = project(&program);
    assert_eq!(p.log.last().map(|line| line.cause), Some(Cause::Price));
    let picture = labels(&program, Role::Image);
    assert!(picture.iter().any(|words| words.contains("prices: 272.65 more")), "{picture:?}");
    // The other plan, from its own day on.
    named(&program, Role::ComboBox, "Kept plan").click();
    program.run();
    press_from(&mut program, "With the lender, ");
    assert!(says(&program, "Since With the lender on Jun 26: 5 working days later, 1,612.20 more"));
    program.key_press(Key::Escape);
    program.run();
    assert!(!says(&program, "Money by room"));
}

/// On another day the lines still lead to what the head says, and nothing is written.
#[test]
fn looking_at_another_day_writes_nothing() {
    let (_folder, path) = copy_of("orchard_house.ron");
    let mut program = support::program(Some(path));
    let before = project(&program);
    named(&program, Role::TextInput, "as of").focus();
    program.run();
    fill(&mut program, "as of", "2026-10-05");
    program.key_press(Key::Tab);
    program.run();
    story_key(&mut program);
    assert!(says(&program, "to be noted with the next change"));
    let figures = program.state().figures().unwrap();
    assert_eq!(figures.as_of.date(), support::date("2026-10-05"));
    let story = log::story(&before, figures, before.agreed_plan().unwrap());
    let days: i32 = story.lines.iter().map(|told| told.days).sum();
    assert_eq!(story.days, Some(days));
    button_from(&program, &format!("Since the plan agreed, {days} working days later"));
    assert_eq!(project(&program), before);
}

/// Where a phase stood when the plan was agreed on is looked up by its place.
#[test]
fn phases_know_where_they_stood() {
    let (project, day) = sample("orchard_house.ron");
    let harness = panel_harness(project.clone(), day, Session::default(), dates::ui);
    let derived = &harness.state().derived;
    let plan = project.agreed_plan().unwrap();
    for (at, phase) in project.phases.iter().enumerate() {
        assert_eq!(derived.kept_phase(&project, at), plan.phase(phase.id));
    }
    assert!(plan.phases.len() > 50);
}
