//! Dates, Money, the way to anything by name and the chain behind a date, by what they ask for.

#![cfg(feature = "gui")]

mod support;

use egui::{Key, Modifiers, PointerButton, pos2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::NodeT as _;
use needline::engine;
use needline::engine::phase_groups::{PhasesBy, groups, phases_of};
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
use support::audit::Drawn;
use support::{
    Role, Scene, act, button_from, fill, hall_bath, label, labels, named, panel_harness, panel_harness_high,
    panel_harness_wide, press, press_from, room, sample, says,
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
    for by in PhasesBy::ALL.map(|(by, _)| by) {
        let mut session = Session { day_width: 10.0, scroll_to_phase: Some(id), ..Session::default() };
        session.dates.scroll_x = Some(600.0);
        session.dates.by = by;
        dragged_bar(panel_harness(project.clone(), day, session, dates::ui), id);
    }
}

/// Drags the bar of a phase two weeks on, and back.
fn dragged_bar(mut harness: Harness<'static, Scene>, id: PhaseId) {
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

/// Dates of the large sample, grouped.
fn grouped(by: PhasesBy, picked: Option<&str>) -> Harness<'static, Scene> {
    let (project, day) = sample("orchard_house.ron");
    let mut session = Session::default();
    session.dates.by = by;
    session.dates.picked = picked.map(|key| phase(&project, key));
    panel_harness_high(2600.0, project, day, session, dates::ui)
}

#[test]
fn phases_are_grouped_and_folded() {
    let (project, day) = sample("orchard_house.ron");
    let mut harness = panel_harness_high(2600.0, project.clone(), day, Session::default(), dates::ui);
    assert!(labels(&harness, Role::Button).iter().all(|name| !name.ends_with(", folded")));
    named(&harness, Role::ComboBox, "Group the phases").click();
    harness.run();
    press(&mut harness, "By trade");
    let figures = harness.state().derived.figures.clone();
    let order = harness.state().derived.facts(&project).phase_order.clone();
    let groups = groups(&project, &figures, PhasesBy::Trade, &order);
    assert!(groups.len() > 5 && groups.iter().map(|g| g.phases.len()).sum::<usize>() == project.phases.len());
    let tile = groups.iter().find(|group| group.name == "Tile setter").unwrap();
    // First start and last finish are those of its phases in the figures.
    let days = tile.phases.iter().map(|at| &figures.phases[*at]);
    let first = days.clone().filter_map(|f| f.forecast_start).min().unwrap();
    let last = days.filter_map(|f| f.forecast_finish).max().unwrap();
    assert_eq!(tile.sum.days, Some((first, last)));
    let near = figures.as_of;
    let span = format!("{} to {}", format::day(first, near), format::day(last, near));
    let head = |harness: &Harness<'_, Scene>| {
        let name = label(&button_from(harness, "Tile setter, ")).unwrap();
        (name, button_from(harness, "Tile setter, ").rect().left_top())
    };
    let (said, at) = head(&harness);
    assert!(said.starts_with(&format!("Tile setter, {} phases", tile.phases.len())), "{said}");
    assert!(said.ends_with(&format!("{span}, open")), "{said}");
    // Folding takes its rows away, and leaves its head where it is.
    let shown = *tile.phases.last().unwrap();
    let own = project.phases[shown].name.clone();
    button_from(&harness, &format!("{own}, "));
    press_from(&mut harness, "Tile setter, ");
    let (said, after) = head(&harness);
    assert!(said.ends_with(&format!("{span}, folded")) && after == at, "{said} {at} {after}");
    let of = |harness: &Harness<'_, Scene>, name: &str| {
        labels(harness, Role::Button).iter().any(|said| said.starts_with(&format!("{name}, ")))
    };
    assert!(!of(&harness, &own));
    // A phase that is asked for opens what folds it away.
    harness.state_mut().session.show_phase(Some(project.phases[shown].id));
    harness.run();
    assert!(of(&harness, &own) && head(&harness).0.ends_with(", open"));
    press(&mut harness, "fold all");
    let heads = labels(&harness, Role::Button);
    assert_eq!(heads.iter().filter(|name| name.ends_with(", folded")).count(), groups.len());
    assert!(harness.state_mut().take().is_empty(), "it is no change of the project");
    press(&mut harness, "open all");
    assert!(of(&harness, &own));
}

#[test]
fn phases_are_grouped_by_the_room_they_work_in() {
    let harness = grouped(PhasesBy::Room, None);
    let project = harness.state().project.clone();
    let figures = harness.state().derived.figures.clone();
    let order = harness.state().derived.facts(&project).phase_order.clone();
    for group in groups(&project, &figures, PhasesBy::Room, &order) {
        button_from(&harness, &format!("{}, {} phase", group.name, group.phases.len()));
        for at in &group.phases {
            let needs = (0..project.selections.len())
                .filter(|n| phases_of(&project, &figures, *n).any(|phase| phase == *at));
            let mut rooms: Vec<&str> =
                needs.map(|n| project.room(project.selections[n].room).unwrap().name.as_str()).collect();
            rooms.sort_unstable();
            rooms.dedup();
            match rooms.as_slice() {
                [] => assert_eq!(group.name, "No room"),
                [one] => assert_eq!(group.name, *one),
                _ => assert_eq!(group.name, "Several rooms"),
            }
        }
    }
}

/// No text is cut or lies on another one, open or folded, in a wide pane and in a narrow one.
#[test]
fn groups_have_room_in_any_pane() {
    for (width, height) in [(464.0, 420.0), (820.0, 760.0), (1500.0, 900.0)] {
        for by in [PhasesBy::Trade, PhasesBy::Room] {
            let (project, day) = sample("orchard_house.ron");
            let mut session = Session { day_width: 9.0, ..Session::default() };
            session.dates.by = by;
            session.dates.all_calls = false;
            let mut harness = panel_harness_wide(width, height, project, day, session, dates::ui);
            for fold in [false, true] {
                dates::rows::turn_all(&mut harness.state_mut().session, fold);
                harness.run();
                let window = egui::Rect::from_min_size(egui::Pos2::ZERO, vec2(width, height));
                let faults = Drawn::of(&harness).faults(window, &[]);
                assert!(faults.is_empty(), "{by:?} at {width}x{height}, {fold}: {faults:#?}");
            }
        }
    }
}

/// Folding the last group leaves room below it: nothing moves under the pointer.
#[test]
fn folding_at_the_end_moves_nothing() {
    let (project, day) = sample("orchard_house.ron");
    let mut session = Session::default();
    session.dates.by = PhasesBy::Trade;
    session.dates.scroll_y = Some(9_999.0);
    session.dates.shown = true;
    let mut harness = panel_harness_high(700.0, project, day, session, dates::ui);
    let open = |name: &&String| name.ends_with(", open");
    let last = labels(&harness, Role::Button).iter().rfind(open).unwrap().clone();
    let name = last.split(", ").next().unwrap().to_owned();
    let at = named(&harness, Role::Button, &last).rect().left_top();
    named(&harness, Role::Button, &last).click();
    harness.run();
    let after = button_from(&harness, &format!("{name}, ")).rect().left_top();
    assert_eq!(at, after);
}

#[test]
fn the_overview_says_what_is_in_view_and_goes_there() {
    let (project, day) = sample("orchard_house.ron");
    let session = Session { day_width: 9.0, ..Session::default() };
    let mut harness = panel_harness_wide(700.0, 700.0, project, day, session, dates::ui);
    let strip = |harness: &Harness<'_, Scene>| {
        let node = named(harness, Role::Slider, "Overview of the whole job");
        let said = node.accesskit_node().value().unwrap();
        (said, node.rect())
    };
    let (said, rect) = strip(&harness);
    assert!(said.contains(" to ") && said.contains(", rows "), "{said}");
    let phases = harness.state().project.phases.len();
    assert!(said.ends_with(&format!(" of {phases}")), "{said}");
    // A click near its end shows the end of the job, a key goes on from there.
    harness.hover_at(rect.right_bottom() - vec2(4.0, 4.0));
    harness.run();
    drag(&mut harness, rect.right_bottom() - vec2(4.0, 4.0), rect.right_bottom() - vec2(4.0, 4.0));
    assert_ne!(strip(&harness).0, said);
    named(&harness, Role::Slider, "Overview of the whole job").focus();
    harness.run();
    harness.key_press(Key::End);
    harness.run();
    let (end, _) = strip(&harness);
    assert!(end.ends_with(&format!(" to {phases} of {phases}")), "{end}");
    harness.key_press(Key::Home);
    harness.run();
    let (home, _) = strip(&harness);
    assert!(home.contains(", rows 1 to "), "{home}");
    harness.key_press(Key::ArrowRight);
    harness.run();
    assert_ne!(strip(&harness).0, home);
}

/// By Tab alone one gets to every head, also to those that are not in view yet.
#[test]
fn heads_are_reached_by_the_keyboard() {
    let (project, day) = sample("orchard_house.ron");
    let mut session = Session::default();
    session.dates.by = PhasesBy::Trade;
    // From the first row on.
    session.dates.shown = true;
    let mut harness = panel_harness_wide(900.0, 600.0, project.clone(), day, session, dates::ui);
    dates::rows::turn_all(&mut harness.state_mut().session, true);
    harness.run();
    let groups = harness.state().session.dates.rows.groups.clone();
    let mut met = std::collections::BTreeSet::new();
    for _ in 0..90 {
        harness.key_press(Key::Tab);
        harness.run();
        let focused = support::all(&harness, Role::Button).into_iter().find(|node| node.is_focused());
        met.extend(focused.and_then(|node| label(&node)).filter(|name| name.ends_with(", folded")));
    }
    assert_eq!(met.len(), groups.len(), "{met:#?}");
    // Enter opens the one that has it.
    while !support::all(&harness, Role::Button)
        .into_iter()
        .any(|node| node.is_focused() && label(&node).is_some_and(|name| name.ends_with(", folded")))
    {
        harness.key_press(Key::Tab);
        harness.run();
    }
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(harness.state().session.dates.folded.len(), groups.len() - 1);
}

#[test]
fn marks_of_parts_have_names() {
    let harness = dates_with("flooring");
    let view = harness.state();
    let at = view.project.phases.iter().position(|p| p.key == "set_base_cabinets");
    let marks = view.derived.facts(&view.project).marks.clone();
    assert!(at.is_none_or(|at| !marks[at].is_empty()));
    let said = labels(&harness, Role::Label);
    let named: Vec<&String> =
        said.iter().filter(|text| text.contains(" arrives ") && text.contains("; needed ")).collect();
    assert!(!named.is_empty(), "{said:?}");
}

#[test]
fn the_pane_below_lists_the_parts_of_its_phase() {
    let harness = dates_with("flooring");
    let view = harness.state();
    let at = view.project.phases.iter().position(|p| p.key == "flooring").unwrap();
    let own = &view.derived.facts(&view.project).parts_of_phase[at];
    assert!(!own.is_empty());
    assert!(says(&harness, &format!("Needed for it, {}", own.len())));
}

/// The legend names the agreed plan as what it is, and each mark that is drawn.
#[test]
fn the_legend_names_what_is_drawn() {
    let harness = grouped(PhasesBy::Start, None);
    let marks = [
        "agreed plan",
        "inspection",
        "visit failed",
        "milestone",
        "done",
        "done in part",
        "critical",
        "can slip",
    ];
    for words in marks.into_iter().chain(["arrives late", "needed", "the as-of day", "target"]) {
        assert!(labels(&harness, Role::Label).iter().any(|text| text == words), "{words}");
    }
    let plan = harness.state().project.agreed_plan().unwrap().name.clone();
    assert!(!labels(&harness, Role::Label).contains(&plan));
    let (project, day) = hall_bath();
    let small = panel_harness_high(1400.0, project, day, Session::default(), dates::ui);
    assert!(!says(&small, "agreed plan") && !says(&small, "visit failed"), "and none that is not");
}

#[test]
fn one_working_day_is_one() {
    let (project, day) = sample("orchard_house.ron");
    let one = project.phases.iter().find(|p| p.days == Some(1) && !p.is_under_way()).unwrap();
    let mut session = Session::default();
    session.dates.picked = Some(one.id);
    let harness = panel_harness(project, day, session, dates::ui);
    assert!(says(&harness, "working day, not before") && !says(&harness, "working days, not before"));
}

/// The hover text of a row stands above it or beside the calendar, and the rows below stay in view.
#[test]
fn the_hover_text_of_a_row_covers_no_row_below() {
    let mut harness = grouped(PhasesBy::Start, None);
    let row = button_from(&harness, "Hang drywall, ").rect();
    harness.hover_at(row.left_center() + vec2(30.0, 0.0));
    for _ in 0..60 {
        harness.step();
    }
    let hint = "click to see and change it below, drag its bar to begin later, right click for more";
    let text = support::all(&harness, Role::Label).into_iter().find(|n| label(n).as_deref() == Some(hint));
    let text = text.expect("it is said on hover").rect();
    assert!(text.bottom() <= row.top() + 1.0, "{text} covers what is below {row}");
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
