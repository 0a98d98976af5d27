//! What someone who has never seen the program comes for, done by what is written on the screen alone: what to order this
//! week, why the finish slipped, what a room costs, and another tub.

#![cfg(feature = "gui")]

mod support;

use egui::{Key, Modifiers};
use egui_kittest::Harness;
use needline::model::Project;
use needline::ui::format;
use needline::ui::shell::app::NeedlineApp;
use support::{
    Role, button_from, command, copy_of, labels, press, press_from, press_room, program, room, says,
    selection,
};

type Program = Harness<'static, NeedlineApp>;

/// The sample of the whole house, opened.
fn open_sample() -> Program {
    let (folder, path) = copy_of("orchard_house.ron");
    let program = support::program(Some(path));
    // The copy is read whole when it is opened.
    drop(folder);
    program
}

fn project(program: &Program) -> Project {
    program.state().project().expect("a project is open").clone()
}

#[test]
fn what_to_order_this_week() {
    let mut program = open_sample();
    let figures = program.state().figures().unwrap().clone();
    // The window opens with what is to be done; what is to be ordered is a click away.
    let lines = needline::engine::week::week(&project(&program), &figures, 7);
    let to_order: Vec<_> = lines.iter().filter(|l| l.kind == needline::engine::week::Kind::Order).collect();
    press_from(&mut program, "Order, ");
    let shown = labels(&program, Role::Button).into_iter().filter(|l| l.starts_with("Order; ")).count();
    assert_eq!(shown, to_order.len());
    press(&mut program, "House");
    // The filter names all of them, and a click on the heading puts the nearest first.
    press(&mut program, "Order in two weeks");
    press(&mut program, "Order by");
    let rows: Vec<usize> = program.state().session().rows.items().collect();
    let days: Vec<i32> = rows.iter().map(|at| figures.selections[*at].days_in_hand.unwrap()).collect();
    assert!(days.is_sorted() && !days.is_empty() && days.iter().all(|d| *d <= 14), "{days:?}");
    let all = figures.selections.iter().filter(|s| s.days_in_hand.is_some_and(|d| d <= 14)).count();
    assert_eq!(rows.len(), all);
    let first = &project(&program).selections[rows[0]];
    support::row_or_button(&program, &first.name);
}

#[test]
fn why_the_finish_slipped() {
    let mut program = open_sample();
    let figures = program.state().figures().unwrap().clone();
    // The strip says by how much, and by what, since the plan that was agreed on.
    let p = project(&program);
    let story = needline::engine::log::story(&p, &figures, p.agreed_plan().unwrap());
    let later = format::count(story.days.unwrap(), "working day");
    let by = story.days_by_cause(&p);
    assert!(by.contains("sign-offs 3") && by.contains("Kitchen base cabinets 3"), "{by}");
    button_from(&program, &format!("Since the plan agreed, {later} later, {by}"));
    let finish = format::day(figures.forecast_finish.unwrap(), figures.as_of);
    let target = match figures.after_target(&project(&program)).unwrap() {
        n if n > 0 => format!("{} after the target", format::count(n, "working day")),
        0 => "the target holds".to_owned(),
        n => format!("{} before the target", format::count(-n, "working day")),
    };
    button_from(&program, &format!("Finish, {finish}, {target}"));
    press(&mut program, "Why this finish?");
    let said = labels(&program, Role::Button);
    let costs = |l: &&String| l.starts_with("Made-to-order base cabinets") && l.contains(": costs ");
    let cause = said.iter().find(costs).unwrap_or_else(|| panic!("what costs the days: {said:?}")).clone();
    press(&mut program, &cause);
    let picked = program.state().session().selection.unwrap();
    assert_eq!(picked, selection(&project(&program), "kitchen_base_cabinets").id, "it leads to the card");
}

#[test]
fn what_the_bathroom_costs() {
    let mut program = open_sample();
    let p = project(&program);
    let at = p.rooms.iter().position(|r| r.key == room(&p, "hall_bath").key).unwrap();
    let money = program.state().figures().unwrap().money.by_room[at];
    let short = format::money_short(money.forecast);
    let thousands = format::money_thousands(money.forecast);
    let rooms = labels(&program, Role::Button);
    let name = &p.rooms[at].name;
    let said =
        rooms.iter().find(|l| l.starts_with(&format!("{name}, ")) && l.contains(" to decide, ")).unwrap();
    assert!(said.ends_with(&short) || said.ends_with(&thousands), "{said}");
    press(&mut program, "Money");
    let currency = p.settings.currency;
    for amount in [money.allowance, money.forecast] {
        let (exact, short) = (format::money(amount, currency), format::money_short(amount));
        assert!(says(&program, &exact) || says(&program, &short), "{exact}");
    }
    press(&mut program, &format!("Open {name}"));
    let lines = p.selections.iter().filter(|s| s.room == p.rooms[at].id).count();
    let (_, rows) = program.state().session().money_rows.as_ref().unwrap();
    assert_eq!(rows.len(), program.state().figures().unwrap().money.by_room.len() + lines);
}

#[test]
fn another_tub() {
    let mut program = open_sample();
    // Found by its name, from anywhere.
    command(&mut program, Key::K);
    support::fill(&mut program, "By name", "hall bath tub");
    program.key_press(Key::Enter);
    program.run();
    let p = project(&program);
    let tub = p.selection(program.state().session().selection.unwrap()).unwrap().clone();
    assert!(tub.name.to_lowercase().contains("tub"), "{}", tub.name);
    let other = tub.options.iter().find(|o| tub.live_option().is_none_or(|l| l.id != o.id)).unwrap();
    press(&mut program, &format!("Make {} the choice", other.name));
    assert_eq!(project(&program), p, "what it does to money and days is shown first");
    press(&mut program, "Make the swap");
    let after = project(&program);
    assert_eq!(after.selection(tub.id).unwrap().choice().map(|o| o.id), Some(other.id));
    // The step has a name, and the list of steps leads back to before it.
    press(&mut program, "Steps");
    press(&mut program, "as it was opened");
    assert_eq!(project(&program), p);
    program.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    program.run();
    assert_eq!(project(&program), after);
}

#[test]
fn a_question_mark_opens_the_keys_and_typing_one_does_not() {
    let (_folder, path) = copy_of("hall_bath.ron");
    let mut program = program(Some(path));
    program.key_press_modifiers(Modifiers::SHIFT, Key::Questionmark);
    program.run();
    assert!(program.state().session().shortcuts_open);
    assert!(says(&program, "mark all rows shown"));
    program.key_press(Key::F1);
    program.run();
    assert!(!program.state().session().shortcuts_open);
    command(&mut program, Key::F);
    program.key_press_modifiers(Modifiers::SHIFT, Key::Questionmark);
    program.run();
    assert!(!program.state().session().shortcuts_open, "the search field has the keyboard");
}

#[test]
fn the_manual_is_found_by_its_name_and_says_how_figures_come_about() {
    let (_folder, path) = copy_of("hall_bath.ron");
    let mut program = program(Some(path));
    command(&mut program, Key::K);
    support::fill(&mut program, "By name", "how the figures");
    program.key_press(Key::Enter);
    program.run();
    assert!(says(&program, "Order-by is the last open day whose arrival is not after the need date"));
}

#[test]
fn rooms_and_phases_of_the_chain_lead_to_their_places() {
    let mut program = open_sample();
    press_room(&mut program, "Kitchen");
    press(&mut program, "Why this finish?");
    press_from(&mut program, "Move back in, ");
    assert_eq!(program.state().session().area, needline::ui::session::WorkArea::Dates);
    let p = project(&program);
    let id = p.phases.iter().find(|f| f.name == "Move back in").unwrap().id;
    assert_eq!(program.state().session().dates.picked, Some(id));
}
