//! Panels by what they ask for: each drawn alone over the small sample, worked by name as a screen reader would.

#![cfg(feature = "gui")]

mod support;

use egui::Key;
use egui_kittest::Harness;
use needline::engine::{self, Day};
use needline::model::{Action, Currency, Money, OptionState, Selection};
use needline::ui::areas::buying;
use needline::ui::areas::house;
use needline::ui::areas::house::ledger::LedgerColumn;
use needline::ui::areas::money;
use needline::ui::card;
use needline::ui::format;
use needline::ui::session::{RowFilter, Session, WorkArea};
use needline::ui::shell::command::Command;
use needline::ui::shell::{head, problems, rooms};
use needline::ui::view::{Form, ListScope, Request};
use support::{
    Role, Scene, act, button_from, hall_bath, labels, named, option, panel_harness, panel_harness_high, part,
    press, press_from, press_room, room, sample, says, selection, supplier,
};

fn card_of(key: &str) -> Harness<'static, Scene> {
    let (project, day) = hall_bath();
    let session = Session { selection: Some(selection(&project, key).id), ..Session::default() };
    panel_harness(project, day, session, |ui, view, session, out| {
        card::ui(ui, view, session, out);
    })
}

fn buying_panel() -> Harness<'static, Scene> {
    let (project, day) = hall_bath();
    panel_harness_high(1500.0, project, day, Session::default(), buying::ui)
}

fn ledger(session: Session) -> Harness<'static, Scene> {
    let (project, day) = hall_bath();
    panel_harness(project, day, session, house::ui)
}

/// The selections that the ledger shows, by name and in order.
fn ledger_names(harness: &Harness<'_, Scene>) -> Vec<String> {
    support::row_names(harness, &harness.state().project)
}

#[test]
fn card_makes_an_option_the_choice() {
    let mut harness = card_of("bath_tub");
    let wanted = option(&harness.state().project, "bath_tub_acrylic").clone();
    assert_eq!(wanted.state, OptionState::Candidate);
    press(&mut harness, &format!("Make {} the choice", wanted.name));
    let tub = selection(&harness.state().project, "bath_tub").id;
    assert_eq!(
        harness.state_mut().take(),
        [Request::Edit(Form::Swap(tub, wanted.id, None))],
        "another was chosen"
    );

    // Where nothing is chosen yet, there is nothing to swap.
    let (project, day) = hall_bath();
    let project = project.apply(&Action::Reopen(tub)).unwrap();
    let session = Session { selection: Some(tub), ..Session::default() };
    let mut harness = panel_harness(project, day, session, |ui, view, session, out| {
        card::ui(ui, view, session, out);
    });
    press(&mut harness, &format!("Make {} the choice", wanted.name));
    assert_eq!(harness.state_mut().take(), [act(Action::Choose(wanted.id))]);
}

/// Each candidate that would move the finish says from which day to which, worked out here by making the choice; and what
/// comes in time with its likely lead, but not with its longest, is told with that day.
#[test]
fn card_says_what_a_candidate_does_to_the_finish_and_what_may_come_too_late() {
    let (project, day) = sample("orchard_house.ron");
    let now = engine::compute(&project, day);
    let near = engine::Day::from(day);
    let (mut moved, mut stays, mut risky) = (0, 0, 0);
    for selection in project.selections.iter() {
        let live = selection.live_option().map(|o| o.id);
        let session = Session { selection: Some(selection.id), ..Session::default() };
        let harness = panel_harness_high(1600.0, project.clone(), day, session, |ui, view, session, out| {
            card::ui(ui, view, session, out);
        });
        let said: Vec<String> =
            labels(&harness, Role::Label).into_iter().filter(|l| l.starts_with("finish ")).collect();
        let mut expected = Vec::new();
        for option in selection.options.iter().filter(|o| Some(o.id) != live) {
            let next = project.apply(&Action::Choose(option.id)).unwrap();
            let after = engine::compute(&next, day).forecast_finish.unwrap();
            if Some(after) == now.forecast_finish {
                stays += 1;
            } else {
                let day = |d| format::day_short(d, near);
                expected.push(format!("finish {} to {}", day(now.forecast_finish.unwrap()), day(after)));
                moved += 1;
            }
        }
        assert_eq!(said, expected, "{}", selection.name);
        let longest = labels(&harness, Role::Label).into_iter().filter(|l| l.contains("; at the longest "));
        for words in longest {
            assert!(words.ends_with(" late") && !words.contains(" 0 days late"), "{words}");
            let mut bounds = selection.options.iter().flat_map(|o| &o.parts);
            assert!(bounds.any(|p| p.lead_max.is_some() || p.lead.is_none()), "{words}");
            risky += 1;
        }
    }
    println!("{moved} candidates move the finish, {stays} do not; {risky} may come too late");
    assert!(moved > 0 && stays > 0 && risky > 0);
}

/// Where nobody set an allowance, nothing is over it.
#[test]
fn without_an_allowance_nothing_is_over_it() {
    let (project, day) = hall_bath();
    let tub = selection(&project, "bath_tub").clone();
    let none = Selection { allowance: Money::ZERO, ..tub.clone() };
    let project = project.apply(&Action::PutSelection(none)).unwrap();
    let session = Session { selection: Some(tub.id), ..Session::default() };
    let harness = panel_harness(project.clone(), day, session, |ui, view, session, out| {
        card::ui(ui, view, session, out);
    });
    let said = labels(&harness, Role::Label);
    assert!(said.iter().filter(|l| *l == "no allowance set").count() >= tub.options.len(), "{said:?}");
    assert!(!said.iter().any(|l| l.ends_with(" over")), "{said:?}");
    let own = engine::compute(&project, day);
    assert!(!own.selection(tub.id).unwrap().money.is_over());
}

#[test]
fn card_offers_no_choosing_of_what_is_the_choice() {
    let harness = card_of("bath_tub");
    let offered: Vec<String> =
        labels(&harness, Role::Button).into_iter().filter(|l| l.ends_with("the choice")).collect();
    assert_eq!(offered, ["Make Alcove tub, 60 in, acrylic the choice"]);
    assert!(says(&harness, "the choice"));
}

#[test]
fn card_leans_to_an_option() {
    let mut harness = card_of("bath_wall_tile");
    let wanted = option(&harness.state().project, "bath_wall_tile_square").clone();
    press(&mut harness, &format!("Lean to {}", wanted.name));
    assert_eq!(harness.state_mut().take(), [act(Action::Lean(wanted.id))]);
}

#[test]
fn card_reopens_a_decision_and_only_one_that_was_made() {
    let mut harness = card_of("bath_vanity");
    let id = selection(&harness.state().project, "bath_vanity").id;
    press(&mut harness, "reopen the decision");
    assert_eq!(harness.state_mut().take(), [act(Action::Reopen(id))]);

    let undecided = card_of("bath_wall_tile");
    assert!(!labels(&undecided, Role::Button).contains(&"reopen the decision".to_owned()));
}

#[test]
fn card_opens_forms_for_what_it_shows() {
    let mut harness = card_of("bath_shower");
    let project = harness.state().project.clone();
    let id = selection(&project, "bath_shower").id;
    press(&mut harness, "all of its fields…");
    press(&mut harness, "Edit selection");
    press_from(&mut harness, "Thermostatic valve body: ");
    let shown = option(&project, "bath_shower_thermostatic").id;
    let valve = part(&project, "bath_shower_thermostatic_valve").id;
    assert_eq!(
        harness.state_mut().take(),
        [
            Request::Edit(Form::Option(id, None)),
            Request::Edit(Form::Selection(Some(id), None)),
            Request::Edit(Form::Part(shown, Some(valve))),
        ]
    );
}

#[test]
fn rooms_pick_the_room_of_the_session() {
    let (project, day) = hall_bath();
    let hall = room(&project, "hall").id;
    let session = Session { area: WorkArea::Money, ..Session::default() };
    let mut harness = panel_harness(project, day, session, rooms::ui);
    press_room(&mut harness, "Upper hall");
    assert_eq!(harness.state().session.room, Some(hall));
    assert_eq!(harness.state().session.area, WorkArea::House);
    press_room(&mut harness, "All rooms");
    assert_eq!(harness.state().session.room, None);
    press(&mut harness, "+ add a room");
    assert_eq!(harness.state_mut().take(), [Request::Edit(Form::Room(None))]);
}

#[test]
fn buying_marks_one_part_on_the_day_looked_at() {
    let mut harness = buying_panel();
    let id = part(&harness.state().project, "bath_tub_steel").id;
    let (_, day) = hall_bath();
    press(&mut harness, "Mark ordered Alcove tub, 60 in, enameled steel of Tub");
    assert_eq!(harness.state_mut().take(), [act(Action::MarkOrdered(vec![id], Some(day)))]);
}

#[test]
fn buying_offers_receiving_of_what_was_ordered() {
    let mut harness = buying_panel();
    let id = part(&harness.state().project, "bath_vanity_oak").id;
    let (_, day) = hall_bath();
    let offered = labels(&harness, Role::Button);
    let name = support::part_name(&harness.state().project, "bath_vanity_oak");
    assert!(!offered.contains(&format!("Mark ordered {name}")));
    press(&mut harness, &format!("Mark received {name}"));
    assert_eq!(harness.state_mut().take(), [act(Action::MarkReceived(vec![id], Some(day)))]);
}

#[test]
fn buying_marks_all_that_is_ticked_at_once() {
    let mut harness = buying_panel();
    let (_, day) = hall_bath();
    let project = &harness.state().project;
    let mut ids = vec![part(project, "bath_tub_steel").id, part(project, "bath_paint_satin").id];
    ids.sort();
    for (name, selection) in [
        ("Alcove tub, 60 in, enameled steel", "Tub"),
        ("Washable satin bath paint, two coats", "Wall and ceiling paint"),
    ] {
        named(&harness, Role::CheckBox, &format!("Tick {name} of {selection}")).click();
        harness.run();
    }
    assert!(says(&harness, "2 parts ticked"));
    press(&mut harness, "Mark 2 ordered");
    assert_eq!(harness.state_mut().take(), [act(Action::MarkOrdered(ids, Some(day)))]);
    assert!(harness.state().session.ticked.is_empty());
}

#[test]
fn buying_exports_the_list_of_a_supplier_or_all() {
    let mut harness = buying_panel();
    let (position, tile) = supplier(&harness.state().project, "north_tile");
    let name = format!("Export the list of {}", tile.name);
    press(&mut harness, &name);
    press(&mut harness, "Export purchase lists…");
    assert_eq!(
        harness.state_mut().take(),
        [Request::ExportLists(ListScope::One(Some(position))), Request::ExportLists(ListScope::All)]
    );
}

#[test]
fn buying_shows_only_the_parts_of_the_room_picked() {
    let (project, day) = hall_bath();
    let session = Session { room: Some(room(&project, "hall").id), ..Session::default() };
    let harness = panel_harness(project, day, session, buying::ui);
    let ticks = labels(&harness, Role::CheckBox);
    assert_eq!(ticks, ["Tick Washable matte wall paint, two coats of Upper hall paint"]);
}

#[test]
fn money_accepts_a_quote() {
    let (project, day) = hall_bath();
    let quote = project.quotes.iter().find(|q| q.key == "tile_b").unwrap().id;
    let mut harness = panel_harness(project, day, Session::default(), money::ui);
    // The quotes stand below the table and the plot: they are brought to view first.
    named(&harness, Role::Button, "Accept Tile setter B for Set tile, labor").scroll_to_me();
    harness.run();
    press(&mut harness, "Accept Tile setter B for Set tile, labor");
    assert_eq!(harness.state_mut().take(), [act(Action::AcceptQuote(quote))]);
}

#[test]
fn money_offers_no_accepting_of_what_is_accepted() {
    let (project, day) = hall_bath();
    let harness = panel_harness(project, day, Session::default(), money::ui);
    let offered = labels(&harness, Role::Button).into_iter().filter(|l| l.starts_with("Accept ")).count();
    assert_eq!(offered, 3, "four quotes, one of them accepted");
}

#[test]
fn problems_lead_to_what_they_are_about() {
    let (project, day) = hall_bath();
    let session = Session { problems_open: true, ..Session::default() };
    let mut harness = panel_harness(project, day, session, |ui, view, session, out| {
        problems::window(ui.ctx(), view, session, out);
    });
    let first = harness.state().derived.problems.first().expect("the sample has something to settle").clone();
    let said = format::said(&first.message, Day::from(day));
    press(&mut harness, &format!("{}: {said}", format::severity(first.severity)));
    assert_eq!(harness.state_mut().take(), [Request::Show(first.subject)]);
}

#[test]
fn house_click_on_a_name_picks_the_selection() {
    let mut harness = ledger(Session::default());
    let id = selection(&harness.state().project, "bath_fan").id;
    press(&mut harness, "Exhaust fan, 80 cfm");
    assert_eq!(harness.state().session.selection, Some(id));
    assert!(harness.state_mut().take().is_empty(), "picking changes nothing in the document");
}

#[test]
fn house_header_sorts_up_then_down_then_not() {
    let mut harness = ledger(Session::default());
    let unsorted = ledger_names(&harness);
    assert_eq!(unsorted.len(), 20);
    press(&mut harness, "Selection");
    assert_eq!(
        (harness.state().session.sort, harness.state().session.descending),
        (Some(LedgerColumn::Name), false)
    );
    let mut sorted = unsorted.clone();
    sorted.sort_by_key(|n| n.to_lowercase());
    assert_eq!(ledger_names(&harness), sorted);
    press_from(&mut harness, "Selection ");
    assert_eq!(
        (harness.state().session.sort, harness.state().session.descending),
        (Some(LedgerColumn::Name), true)
    );
    sorted.reverse();
    assert_eq!(ledger_names(&harness), sorted);
    press_from(&mut harness, "Selection ");
    assert_eq!(harness.state().session.sort, None);
    assert_eq!(ledger_names(&harness), unsorted);
}

#[test]
fn house_sorts_by_order_by_day() {
    let mut harness = ledger(Session::default());
    press(&mut harness, "Order by");
    assert_eq!(harness.state().session.sort, Some(LedgerColumn::OrderBy));
    let scene = harness.state();
    let days: Vec<Option<i32>> = ledger_names(&harness)
        .iter()
        .map(|name| {
            let id = scene.project.selections.iter().find(|s| s.name == *name).unwrap().id;
            scene.derived.figures.selection(id).unwrap().days_in_hand
        })
        .collect();
    let some: Vec<i32> = days.iter().copied().flatten().collect();
    assert!(some.len() > 5 && some.is_sorted(), "{days:?}");
    assert!(days[..some.len()].iter().all(Option::is_some), "what needs no order comes last: {days:?}");
}

#[test]
fn house_filters_change_the_rows() {
    let mut harness = ledger(Session::default());
    let scene = harness.state();
    let names = |keep: &dyn Fn(usize) -> bool| -> Vec<String> {
        let all = scene.project.selections.iter().enumerate();
        all.filter(|(i, _)| keep(*i)).map(|(_, s)| s.name.clone()).collect()
    };
    let figures = &scene.derived.figures;
    let live = |i: usize| scene.project.selections[i].live_option().is_some();
    let undecided = names(&|i| !live(i));
    let leaning = names(&|i| live(i) && scene.project.selections[i].choice().is_none());
    let soon = names(&|i| figures.selections[i].days_in_hand.is_some_and(|d| d <= 14));
    let late = names(&|i| figures.selections[i].late);
    assert_eq!(undecided.len() + leaning.len(), 5);
    // One rule: the head and the rooms count the same.
    let facts = scene.derived.facts(&scene.project);
    assert_eq!(facts.undecided as usize, undecided.len());
    assert_eq!(facts.rooms.iter().map(|room| room.open).sum::<i32>(), facts.undecided);
    let offered = labels(&harness, Role::Button).contains(&"Leaning".to_owned());
    assert_eq!(offered, !leaning.is_empty(), "where somebody leans to something");
    for (filter, name, expected) in [
        (RowFilter::ToDecide, "To decide", undecided),
        (RowFilter::Leaning, "Leaning", leaning),
        (RowFilter::OrderSoon, "Order in two weeks", soon),
        (RowFilter::Late, "Late", late),
    ] {
        press(&mut harness, name);
        assert_eq!(harness.state().session.filter, filter);
        assert_eq!(ledger_names(&harness), expected, "{name}");
    }
    let all_or_link = if ledger_names(&harness).is_empty() { "show all rows" } else { "All" };
    press(&mut harness, all_or_link);
    assert_eq!(ledger_names(&harness).len(), 20);
}

#[test]
fn house_search_narrows_to_rows_with_all_words() {
    // A word of an option, one of a part, and one of a supplier.
    for (search, expected) in [
        ("thermostatic", vec!["Tub and shower set"]),
        ("MIRROR glass", vec!["Mirror"]),
        ("upper hall", vec!["Upper hall paint"]),
        ("side street", vec!["Tub enclosure", "Mirror"]),
    ] {
        let harness = ledger(Session { search: search.to_owned(), ..Session::default() });
        let found = ledger_names(&harness);
        assert!(expected.iter().all(|e| found.contains(&(*e).to_owned())), "{search}: {found:?}");
        assert_eq!(found.len(), expected.len(), "{search}: {found:?}");
    }
    let mut nothing = ledger(Session { search: "marquetry".to_owned(), ..Session::default() });
    assert!(ledger_names(&nothing).is_empty());
    press(&mut nothing, "show all rows");
    assert_eq!(ledger_names(&nothing).len(), 20);
}

#[test]
fn house_shows_the_room_picked() {
    let (project, _) = hall_bath();
    let session = Session { room: Some(room(&project, "hall").id), ..Session::default() };
    let mut harness = ledger(session);
    assert_eq!(ledger_names(&harness), ["Upper hall paint"]);
    press(&mut harness, "Add a selection…");
    let hall = room(&harness.state().project, "hall").id;
    assert_eq!(harness.state_mut().take(), [Request::Edit(Form::Selection(None, Some(hall)))]);
}

#[test]
fn head_facts_lead_to_where_they_come_from() {
    let (project, day) = hall_bath();
    let mut harness = panel_harness(project, day, Session::default(), |ui, view, session, out| {
        head::ui(ui, view, session, None, false, out);
    });
    press_from(&mut harness, "Finish, ");
    press_from(&mut harness, "Forecast, ");
    press_from(&mut harness, "To settle, ");
    assert_eq!(
        harness.state_mut().take(),
        [
            Request::Do(Command::Show(WorkArea::Dates)),
            Request::Do(Command::Show(WorkArea::Money)),
            Request::Do(Command::ShowProblems),
        ]
    );
}

#[test]
fn head_says_what_is_to_be_done_next_and_leads_to_its_line() {
    let (project, day) = hall_bath();
    let figures = engine::compute(&project, day);
    let lines = engine::week::week(&project, &figures, 7);
    let mut session = Session::default();
    session.week.shown.kind = Some(engine::week::Kind::Pay);
    let mut harness = panel_harness(project, day, session, |ui, view, session, out| {
        head::ui(ui, view, session, None, false, out);
    });
    let begins = format!("Next of {}", lines.len());
    let spoken = support::label(&button_from(&harness, &begins)).unwrap();
    let name = lines[0].what.shown(|day| day.to_string(), |_| String::new());
    assert!(spoken.contains(&name), "{spoken} is about {name}");
    press_from(&mut harness, &begins);
    assert_eq!(harness.state_mut().take(), [Request::Do(Command::Show(WorkArea::Week))]);
    let week = &harness.state().session.week;
    assert_eq!((week.picked.as_ref(), week.shown.kind), (Some(&lines[0].id), None));
}

/// Trades without quotes: the head says how many days have no price, and that the forecast is the least it can be.
#[test]
fn head_says_what_has_no_price() {
    let (mut project, day) = hall_bath();
    project.quotes = std::sync::Arc::default();
    let figures = engine::compute(&project, day);
    let days = figures.trades.unpriced_days;
    assert!(days > 1, "the sample has trades");
    let mut harness = panel_harness(project, day, Session::default(), |ui, view, session, out| {
        head::ui(ui, view, session, None, false, out);
    });
    let spoken = support::label(&button_from(&harness, "Without a price, ")).unwrap();
    assert!(spoken.contains(&format!("{days} days of work")), "{spoken}");
    let spoken = support::label(&button_from(&harness, "Forecast, ")).unwrap();
    assert!(spoken.contains("at least "), "{spoken}");
    press_from(&mut harness, "Without a price, ");
    assert_eq!(harness.state_mut().take(), [Request::Do(Command::Show(WorkArea::Money))]);
}

#[test]
fn head_shows_what_the_candidate_would_bring() {
    let (project, day) = hall_bath();
    let candidate = option(&project, "bath_wall_tile_square").id;
    let harness = panel_harness(project, day, Session::default(), move |ui, view, session, out| {
        let preview = view.derived.preview(view.project, candidate);
        head::ui(ui, view, session, preview, false, out);
    });
    let scene = harness.state();
    let after = engine::preview(&scene.project, &Action::Choose(candidate), day).unwrap();
    let (forecast, currency) = (after.money.total.forecast, scene.project.settings.currency);
    let money = match after.money.total.is_least() {
        true => format!("at least {}", needline::ui::format::money_short(forecast)),
        false => needline::ui::format::money(forecast, currency),
    };
    button_from(&harness, &format!("Forecast would be, {money}, "));
    button_from(&harness, "Finish would be, ");
}

/// A week is read by the arrow keys in either picture, and both tell it; the pictures say it aloud too.
#[test]
fn the_weeks_of_money_are_read_one_by_one() {
    let (project, day) = hall_bath();
    let figures = needline::engine::compute(&project, day);
    let cash = figures.cash.clone();
    assert!(cash.len() > 3);
    let mut harness = panel_harness_high(2400.0, project, day, Session::default(), money::ui);
    assert!(support::says(&harness, "Point at a week to read it, or use the arrow keys."));
    let picture = |harness: &Harness<'_, Scene>| {
        let found = support::all(harness, Role::Image).into_iter();
        found.filter(|n| support::label(n).is_some_and(|l| l.starts_with("What falls due in each"))).count()
    };
    assert_eq!(picture(&harness), 1);
    let weeks = format!("What falls due in each of {} weeks", cash.len());
    named(&harness, Role::Image, &weeks).focus();
    harness.run();
    for (pressed, at) in
        [(Key::ArrowRight, 0), (Key::ArrowRight, 1), (Key::ArrowRight, 2), (Key::ArrowLeft, 1)]
    {
        harness.key_press(pressed);
        harness.run();
        let due = needline::ui::format::money(cash[at].due, Currency::USD);
        let so_far = needline::ui::format::money(cash[at].cumulative, Currency::USD);
        let words = format!(": {due} USD, {so_far} so far");
        assert!(
            labels(&harness, Role::Label).iter().any(|l| l.starts_with("Week of ") && l.contains(&words)),
            "{words}"
        );
        assert!(labels(&harness, Role::Image).iter().filter(|l| l.contains(&words)).count() == 2);
    }
    // A pointer that rests on a picture does not put the week back.
    let place = named_from(&harness, &weeks).rect().center();
    harness.hover_at(place);
    harness.run();
    let at_rest = read_week(&harness);
    named_from(&harness, &weeks).focus();
    harness.run();
    harness.key_press(Key::ArrowLeft);
    harness.run();
    harness.run();
    assert_ne!(read_week(&harness), at_rest);
}

fn named_from<'a>(harness: &'a Harness<'_, Scene>, begin: &str) -> egui_kittest::Node<'a> {
    let found = support::all(harness, Role::Image).into_iter();
    let mut found = found.filter(|n| support::label(n).is_some_and(|l| l.starts_with(begin)));
    found.next().expect("a picture")
}

fn read_week(harness: &Harness<'_, Scene>) -> String {
    labels(harness, Role::Label).into_iter().find(|l| l.starts_with("Week of ")).expect("a week")
}
