//! Dates, Money, the way to anything by name and the chain behind a date, by what they ask for.

#![cfg(feature = "gui")]

mod support;

use egui::{Key, Modifiers, PointerButton, pos2, vec2};
use egui_kittest::Harness;
use needline::engine;
use needline::model::{Action, LagUnit, LinkKind, PhaseId, Project, Subject};
use needline::ui::areas::dates;
use needline::ui::areas::money;
use needline::ui::areas::signoffs;
use needline::ui::format;
use needline::ui::session::{MoneyBy, Session};
use needline::ui::shell::command::Command;
use needline::ui::shell::palette;
use needline::ui::view::{Form, Request};
use needline::ui::why;
use needline::ui::why::WhyTarget;
use support::{
    Role, Scene, act, button_from, fill, hall_bath, label, labels, named, panel_harness, panel_harness_wide,
    press, press_from, room, sample, says,
};

fn phase(project: &Project, key: &str) -> PhaseId {
    project.phases.iter().find(|p| p.key == key).unwrap_or_else(|| panic!("no phase {key}")).id
}

/// Dates of the large sample with a phase picked.
fn dates_with(key: &str) -> Harness<'static, Scene> {
    let (project, day) = sample("orchard_house.ron");
    let mut session = Session::default();
    session.dates.picked = Some(phase(&project, key));
    session.scroll_to_phase = session.dates.picked;
    panel_harness(project, day, session, dates::ui)
}

fn leave_field(harness: &mut Harness<'_, Scene>) {
    harness.key_press(Key::Enter);
    harness.run();
}

#[test]
fn a_duration_is_changed_in_its_place() {
    let mut harness = dates_with("flooring");
    named(&harness, Role::TextInput, "Working days").focus();
    harness.run();
    fill(&mut harness, "Working days", "8");
    leave_field(&mut harness);
    let before = harness.state().project.phases.iter().find(|p| p.key == "flooring").unwrap().clone();
    let expected = needline::model::Phase { days: Some(8), ..before };
    assert_eq!(harness.state_mut().take(), [act(Action::PutPhase(expected))]);

    named(&harness, Role::TextInput, "Working days").focus();
    harness.run();
    fill(&mut harness, "Working days", "a week");
    leave_field(&mut harness);
    assert!(harness.state_mut().take().is_empty());
    assert!(says(&harness, "`a week` is no whole number"));
}

#[test]
fn a_not_before_day_is_set_and_taken_back_in_its_place() {
    let mut harness = dates_with("flooring");
    let id = phase(&harness.state().project, "flooring");
    named(&harness, Role::TextInput, "Not before").focus();
    harness.run();
    fill(&mut harness, "Not before", "2026-11-30");
    leave_field(&mut harness);
    assert_eq!(
        harness.state_mut().take(),
        [act(Action::SetNotBefore(id, Some(support::date("2026-11-30"))))]
    );
}

#[test]
fn a_link_is_changed_and_removed_in_its_place() {
    let mut harness = dates_with("flooring");
    let project = harness.state().project.clone();
    let id = phase(&project, "flooring");
    let link = project.links.iter().find(|l| l.after == id).unwrap().clone();
    let before = project.phase(link.before).unwrap().name.clone();
    named(&harness, Role::TextInput, &format!("Lag after {before}")).focus();
    harness.run();
    fill(&mut harness, &format!("Lag after {before}"), "7");
    leave_field(&mut harness);
    let changed = needline::model::Link { lag: 7, ..link.clone() };
    assert_eq!(harness.state_mut().take(), [act(Action::PutLink(changed))]);
    press(&mut harness, &format!("No longer wait for {before}"));
    assert_eq!(harness.state_mut().take(), [act(Action::RemoveLink(link.id))]);
}

/// Presses on a point, moves in steps and lets go at another.
fn drag(harness: &mut Harness<'_, Scene>, from: egui::Pos2, to: egui::Pos2) {
    let button = |pos, pressed| egui::Event::PointerButton {
        pos,
        button: PointerButton::Primary,
        pressed,
        modifiers: Modifiers::NONE,
    };
    harness.hover_at(from);
    harness.run();
    harness.event(button(from, true));
    harness.run();
    for step in 1..=4 {
        harness.event(egui::Event::PointerMoved(from + (to - from) * (step as f32 / 4.0)));
        harness.run();
    }
    harness.event(button(to, false));
    harness.run();
}

#[test]
fn a_bar_that_is_dragged_sets_the_day_before_which_it_does_not_begin() {
    let (project, day) = sample("orchard_house.ron");
    let id = phase(&project, "hang_drywall");
    let mut session = Session { day_width: 10.0, scroll_to_phase: Some(id), ..Session::default() };
    session.dates.scroll_x = Some(600.0);
    let mut harness = panel_harness(project, day, session, dates::ui);
    let row = button_from(&harness, "Hang drywall, ").rect();
    let figures = harness.state().derived.figures.clone();
    let f = figures.phase(id).unwrap();
    let start = f.forecast_start.unwrap();
    // The calendar begins a week before the first phase; the names take 230 points.
    let first = figures.phases.iter().filter_map(|p| p.early_start).min().unwrap().plus(-7);
    let x = |day: engine::Day| row.left() + 230.0 + day.since(first) as f32 * 10.0 - 600.0;
    let from = pos2(x(start) + 15.0, row.top() + 10.0);
    drag(&mut harness, from, from + vec2(140.0, 0.0));
    let wanted = figures.days.work().roll_forward(start.plus(14));
    assert_eq!(harness.state_mut().take(), [act(Action::SetNotBefore(id, Some(wanted.date())))]);

    // Back before what it waits for there is nothing to set.
    drag(&mut harness, from, from - vec2(60.0, 0.0));
    assert!(harness.state_mut().take().is_empty());
}

#[test]
fn a_click_on_a_phase_shows_it_below_and_two_open_its_form() {
    let (project, day) = hall_bath();
    let mut harness = panel_harness(project, day, Session::default(), dates::ui);
    let name = harness.state().project.phases.last().unwrap().name.clone();
    let id = harness.state().project.phases.last().unwrap().id;
    press_from(&mut harness, &format!("{name}, "));
    assert_eq!(harness.state().session.dates.picked, Some(id));
    press(&mut harness, "Edit phase…");
    assert_eq!(harness.state_mut().take(), [Request::Edit(Form::Phase(Some(id)))]);
    press(&mut harness, "why these dates?");
    assert_eq!(harness.state().session.why, Some(WhyTarget::Phase(id)));
    press(&mut harness, "Close the phase");
    assert_eq!(harness.state().session.dates.picked, None);
}

#[test]
fn money_opens_a_row_into_its_lines_which_lead_on() {
    let (project, day) = hall_bath();
    let bath = room(&project, "bath").clone();
    let mut harness = panel_harness(project, day, Session::default(), money::ui);
    let before = labels(&harness, Role::Button).len();
    press(&mut harness, &format!("Open {}", bath.name));
    let project = harness.state().project.clone();
    let own: Vec<_> = project.selections.iter().filter(|s| s.room == bath.id).collect();
    let now = labels(&harness, Role::Button);
    assert_eq!(now.len(), before + own.len());
    press(&mut harness, "Tub");
    assert_eq!(
        harness.state_mut().take(),
        [Request::Show(Subject::Selection(support::selection(&project, "bath_tub").id))]
    );
    press(&mut harness, &format!("Close {}", bath.name));
    assert_eq!(labels(&harness, Role::Button).len(), before);
    assert!(harness.state().session.money_open.is_empty());
}

/// A row is heard as one sentence with its figures, and opens wherever it is clicked.
#[test]
fn a_row_of_money_is_one_sentence_and_opens_anywhere() {
    let (project, day) = hall_bath();
    let at = project.rooms.iter().position(|r| r.key == "bath").unwrap();
    let name = format!("Open {}, ", project.rooms[at].name);
    let mut harness = panel_harness(project, day, Session::default(), money::ui);
    let own = harness.state().derived.figures.money.by_room[at];
    let usd = |amount| format::money(amount, needline::model::Currency::USD);
    let heard = label(&button_from(&harness, &name)).unwrap();
    let least = if own.is_least() { "at least " } else { "" };
    for words in [
        format!("allowance {}", usd(own.allowance)),
        format!("paid {}", usd(own.paid)),
        format!("forecast {least}{}", usd(own.forecast)),
        format::over_under(own.over_under(), needline::model::Currency::USD),
    ] {
        assert!(heard.contains(&words), "{heard}: {words}");
    }
    // On its figures, far from its name.
    let rect = button_from(&harness, &name).rect();
    let place = egui::pos2(rect.right() + 240.0, rect.center().y);
    for open in [1, 0] {
        harness.hover_at(place);
        harness.drag_at(place);
        harness.drop_at(place);
        harness.run();
        assert_eq!(harness.state().session.money_open.len(), open);
    }
}

/// What Money says above its table it says as the head does: the least it can be, where something has no price. There is
/// never more left of the contingency than all of it.
#[test]
fn money_says_what_is_the_least_and_what_is_left() {
    let (project, day) = sample("orchard_house.ron");
    let panel = |project: &Project| panel_harness(project.clone(), day, Session::default(), money::ui);
    let harness = panel(&project);
    assert!(harness.state().derived.figures.money.total.is_least());
    assert!(says(&harness, "Forecast, at least") && says(&harness, "Chosen, at least"));
    assert!(says(&harness, "+ at least: something in it has no price"));
    let said = |harness: &Harness<'_, Scene>, words: &str| {
        let found = labels(harness, Role::Label).into_iter().find(|l| l.contains(words));
        found.unwrap_or_else(|| panic!("{words}: {:?}", labels(harness, Role::Label)))
    };
    said(&harness, "percent left at most");
    // Allowances far above what is chosen: all is left, and no more than that.
    let mut rich = project.clone();
    for selection in std::sync::Arc::make_mut(&mut rich.selections) {
        let own = std::sync::Arc::make_mut(selection);
        own.allowance = [own.allowance, own.allowance].into_iter().sum();
    }
    let harness = panel(&rich);
    let figures = &harness.state().derived.figures.money;
    let under =
        format::money(figures.contingency_left.less(figures.contingency), needline::model::Currency::USD);
    assert!(said(&harness, "all of it left").ends_with(&format!("and {under} under the allowances")));
}

/// Figures stand near the names they are of, however wide the window is.
#[test]
fn figures_stand_near_their_names_in_a_wide_window() {
    let (project, day) = hall_bath();
    let harness = panel_harness_wide(2300.0, 900.0, project, day, Session::default(), money::ui);
    let end = |h: &Harness<'_, Scene>, title: &str| {
        let found = support::all(h, Role::Label).into_iter();
        let found = found.filter(|n| label(n).as_deref() == Some(title));
        found.map(|n| n.rect().right()).fold(0.0, f32::max)
    };
    let over = end(&harness, "Over or under");
    assert!(over > 600.0 && over < 1010.0, "{over}");
    let (project, day) = sample("laundry_room.ron");
    let mut session = Session::default();
    session.sign_offs.page = signoffs::Page::Handover;
    let harness = panel_harness_wide(2300.0, 900.0, project, day, session, signoffs::ui);
    let manual = named(&harness, Role::Button, "Manual of Dryer: Heat pump dryer, 240 V").rect();
    assert!(manual.right() < 1010.0, "{manual:?}");
}

#[test]
fn every_grouping_of_money_opens() {
    for (by, _) in MoneyBy::ALL {
        let (project, day) = sample("orchard_house.ron");
        let mut session = Session { money_by: by, ..Session::default() };
        session.money_open = (0..100).map(|at| (by, at)).collect();
        let harness = panel_harness(project, day, session, money::ui);
        let (_, rows) = harness.state().session.money_rows.as_ref().unwrap();
        assert!(rows.len() > 100, "{by:?}: {}", rows.len());
    }
}

#[test]
fn the_way_to_anything_takes_arrows_and_enter() {
    let (project, day) = hall_bath();
    let session = Session { palette: Some(palette::Palette::default()), ..Session::default() };
    let mut harness = panel_harness(project, day, session, |ui, view, session, out| {
        palette::ui(ui.ctx(), view, session, out);
    });
    fill(&mut harness, "By name", "tub");
    let found: Vec<String> = labels(&harness, Role::Button);
    assert!(found[0].starts_with("Tub, "), "{found:?}");
    harness.key_press(Key::ArrowDown);
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    let second = found[1].split(", ").next().unwrap().to_owned();
    let id = harness.state().project.selections.iter().find(|s| s.name == second).unwrap().id;
    assert_eq!(harness.state_mut().take(), [Request::Show(Subject::Selection(id))]);
    assert!(harness.state().session.palette.is_none(), "it closes");

    harness.state_mut().session.palette = Some(palette::Palette::default());
    harness.run();
    fill(&mut harness, "By name", "project settings");
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(harness.state_mut().take(), [Request::Do(Command::EditSettings)]);
}

fn why_of(target: WhyTarget, name: &str) -> Harness<'static, Scene> {
    let (project, day) = sample(name);
    let session = Session { why: Some(target), ..Session::default() };
    panel_harness(project, day, session, |ui, view, session, out| why::window(ui.ctx(), view, session, out))
}

#[test]
fn the_chain_of_the_finish_ends_in_the_delivery_that_costs_the_days() {
    let mut harness = why_of(WhyTarget::Finish, "orchard_house.ron");
    let lost = harness.state().derived.figures.days_lost.unwrap();
    assert!(says(&harness, &format!("{} lost", format::count(lost, "working day"))));
    let said = labels(&harness, Role::Button);
    let last = said.iter().position(|l| l.starts_with("Set base cabinets, ")).expect("the phase that waits");
    let cause = &said[last + 1];
    assert!(cause.starts_with("Made-to-order base cabinets"), "{cause}");
    // What it costs its phase; the year-end break behind it costs the finish another day.
    let figures = &harness.state().derived.figures;
    let set = figures.phase(phase(&harness.state().project, "base_cabinets")).unwrap();
    let costs = set.held_by.iter().map(|h| h.days).max().unwrap();
    assert!((1..=lost).contains(&costs), "{costs} of {lost}");
    assert!(cause.ends_with(&format!("costs {}", format::count(costs, "working day"))), "{cause}");
    // The chain is longer than the window.
    named(&harness, Role::Button, cause).scroll_to_me();
    harness.run();
    press(&mut harness, cause);
    let part = support::part(&harness.state().project, "kitchen_base_cabinets_made_to_order").id;
    assert_eq!(harness.state_mut().take(), [Request::Show(Subject::Part(part))]);
}

#[test]
fn the_need_date_of_a_part_is_explained() {
    let (project, day) = hall_bath();
    let part = support::part(&project, "bath_tub_steel").id;
    let figures = engine::compute(&project, day);
    let f = figures.part(part).unwrap();
    let harness = why_of(WhyTarget::Part(part), "hall_bath.ron");
    let near = figures.as_of;
    button_from(&harness, &format!("Needed {}", format::day(f.need_date.unwrap(), near)));
    button_from(&harness, &format!("Arrives {}", format::day(f.arrival.unwrap(), near)));
    button_from(&harness, &format!("Order by {}", format::day(f.order_by.unwrap(), near)));
    assert!(says(&harness, "What sets the phase"));
}

#[test]
fn links_are_said_in_plain_words() {
    let words = |kind, lag, unit| why::link_words("Grout", kind, lag, unit);
    assert_eq!(words(LinkKind::FS, 0, LagUnit::Working), "begins when Grout is done");
    assert_eq!(
        words(LinkKind::FS, 2, LagUnit::Elapsed),
        "begins when Grout is done, and 2 calendar days later"
    );
    assert_eq!(words(LinkKind::SS, -1, LagUnit::Working), "begins with Grout, less 1 working day");
}

#[test]
fn names_of_all_buttons_are_said() {
    for key in ["flooring", "electrical_check"] {
        let harness = dates_with(key);
        let buttons = support::all(&harness, Role::Button);
        assert!(buttons.iter().all(|b| label(b).is_some_and(|l| !l.is_empty())));
    }
}
