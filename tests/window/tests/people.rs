//! People in the window: who is to be called, how a crew is booked and late, bids, installments, draws, changes.

#![cfg(feature = "gui")]

mod support;

use egui_kittest::Harness;
use needline::model::*;
use needline::ui::areas::{dates, money};
use needline::ui::session::Session;
use needline::ui::view::Request;
use support::{
    Role, Scene, act, fill, label, labels, named, panel_harness_high, press, press_from, sample, says,
};

fn phase<'a>(project: &'a Project, key: &str) -> &'a Phase {
    project.phases.iter().find(|p| p.key == key).unwrap()
}

fn quote<'a>(project: &'a Project, key: &str) -> &'a Quote {
    project.quotes.iter().find(|q| q.key == key).unwrap()
}

/// Dates of the large sample with a phase picked.
fn dates_of(key: &str) -> Harness<'static, Scene> {
    let (project, day) = sample("orchard_house.ron");
    let mut session = Session::default();
    session.dates.picked = Some(phase(&project, key).id);
    panel_harness_high(1400.0, project, day, session, dates::ui)
}

fn money_panel() -> Harness<'static, Scene> {
    let (project, day) = sample("orchard_house.ron");
    panel_harness_high(4000.0, project, day, Session::default(), money::ui)
}

/// Types a day on which the crew of the picked phase comes.
fn come_on(harness: &mut Harness<'_, Scene>, day: &str) {
    named(harness, Role::TextInput, "Comes on").focus();
    harness.run();
    fill(harness, "Comes on", day);
    harness.key_press(egui::Key::Tab);
    harness.run();
}

#[test]
fn a_crew_is_called_told_and_gone_from_the_list() {
    let mut harness = dates_of("prime");
    let project = harness.state().project.clone();
    assert!(says(&harness, "4 to call"));
    press(&mut harness, "Drywall crew B was told these days, on the as-of day");
    let coat = phase(&project, "finish_coat").id;
    let on = support::date("2026-09-21");
    let told = Action::MarkTold { starts: vec![(coat, support::date("2026-10-28"))], on };
    assert_eq!(harness.state_mut().take(), [act(told.clone())]);
    let after = project.apply(&told).unwrap();
    let figures = needline::engine::compute(&after, on);
    assert!(figures.people.calls.iter().all(|c| c.phase != 22) && figures.people.to_call().len() == 3);
    // The text goes to the clipboard.
    named(&harness, Role::Button, "Copy the text for Drywall crew B").click();
    harness.step();
    let copied = harness.output().platform_output.commands.iter().any(|command| {
        matches!(command, egui::OutputCommand::CopyText(text)
            if text.contains("Finish coat and sand now starts Wed Oct 28, 2026, not Mon Oct 26, 2026."))
    });
    assert!(copied, "{:?}", harness.output().platform_output.commands);
}

/// A crew that comes four days late: its phase says so, in one field.
#[test]
fn a_crew_comes_later_by_a_day_that_is_typed() {
    let mut harness = dates_of("hang_drywall");
    let project = harness.state().project.clone();
    come_on(&mut harness, "2026-10-13");
    let requests = harness.state_mut().take();
    let [Request::Act(action)] = requests.as_slice() else { panic!("{requests:?}") };
    let after = project.apply(action).unwrap();
    let crew = after.crews.iter().find(|c| c.key == "drywall_b").unwrap();
    let away: Vec<(String, String)> =
        crew.away.iter().map(|r| (r.from.to_string(), r.to.to_string())).collect();
    assert_eq!(
        away,
        [
            ("2026-10-07".to_owned(), "2026-10-12".to_owned()),
            ("2026-10-26".to_owned(), "2026-10-27".to_owned())
        ]
    );
    let start = |p: &Project| {
        let figures = needline::engine::compute(p, support::date("2026-09-21"));
        figures.phase(phase(p, "hang_drywall").id).unwrap().forecast_start.unwrap().to_string()
    };
    assert_eq!((start(&project), start(&after)), ("2026-10-07".to_owned(), "2026-10-13".to_owned()));
    // A day that is no later is refused where it is typed, and nothing is asked.
    come_on(&mut harness, "2026-10-06");
    assert!(harness.state_mut().take().is_empty());
    assert!(says(&harness, "is not after"));
}

#[test]
fn a_crew_is_booked_and_says_yes() {
    let mut harness = dates_of("doors_trim");
    let project = harness.state().project.clone();
    let trim = phase(&project, "doors_trim").id;
    press_from(&mut harness, "Booked for Interior doors and trim");
    assert_eq!(harness.state_mut().take(), [act(Action::Book(trim, Some(support::date("2026-12-03"))))]);
    let mut harness = dates_of("set_heat_pump");
    assert!(says(&harness, "confirmed"));
    assert!(labels(&harness, Role::Button).iter().any(|l| l.contains("not issued, expected Thu Oct 22")));
    press(&mut harness, "edit the crew");
    let crew = phase(&project, "set_heat_pump").crew.expect("a crew");
    assert_eq!(harness.state_mut().take(), [Request::Pick(Subject::Crew(crew))]);
}

/// Found work, and the texture that is matched or redone: two clicks, one for the question and one for the answer.
#[test]
fn texture_is_a_decision_in_two_clicks() {
    let mut harness = dates_of("tape_coats");
    let project = harness.state().project.clone();
    press(&mut harness, "+ texture: match or redo");
    let requests = harness.state_mut().take();
    let [Request::Act(asked)] = requests.as_slice() else { panic!("{requests:?}") };
    let asked = project.apply(asked).unwrap();
    let mut session = Session::default();
    session.dates.picked = Some(phase(&asked, "tape_coats").id);
    let mut harness =
        panel_harness_high(1400.0, asked.clone(), support::date("2026-09-21"), session, dates::ui);
    press(&mut harness, "Agree on Match the texture that is there, on the as-of day");
    let requests = harness.state_mut().take();
    let [Request::Act(agreed)] = requests.as_slice() else { panic!("{requests:?}") };
    let after = asked.apply(agreed).unwrap();
    let open = |p: &Project| needline::engine::compute(p, support::date("2026-09-21")).open_changes.count;
    assert_eq!((open(&project), open(&asked), open(&after)), (2, 3, 2));
}

#[test]
fn two_places_at_once_offer_both_orders() {
    let mut harness = dates_of("cover_run");
    let project = harness.state().project.clone();
    for (button, first) in [("this first", "cover_run"), ("that first", "exterior_trim")] {
        press_from(&mut harness, button);
        let requests = harness.state_mut().take();
        let [Request::Act(action)] = requests.as_slice() else { panic!("{requests:?}") };
        let Action::PutLink(link) = action.as_ref() else { panic!("{action:?}") };
        assert_eq!(link.before, phase(&project, first).id);
    }
}

/// Nobody is called the lowest over one that leaves something unpriced; an accepted one is paid in one click.
#[test]
fn bids_are_leveled_and_installments_paid() {
    let mut harness = money_panel();
    let project = harness.state().project.clone();
    assert!(says(&harness, "at least 11,850.00"), "drywall C leaves a scaffold unpriced");
    assert!(says(&harness, "lower ones leave something unpriced"));
    assert!(says(&harness, "price held until Sep 18: ask again"));
    // What each bid says stands level with the others, also in the one with the heavier frame.
    let tops: Vec<f32> = ["Drywall crew A", "Drywall crew B", "Drywall crew C"]
        .map(|name| {
            support::all(&harness, Role::Button).into_iter().find(|n| label(n).as_deref() == Some(name))
        })
        .into_iter()
        .map(|node| node.expect("a bid").rect().top())
        .collect();
    assert!(tops.iter().all(|top| (top - tops[0]).abs() < 0.1), "{tops:?}");
    press(&mut harness, "Accept Drywall crew A for Hang and finish drywall, labor");
    assert_eq!(harness.state_mut().take(), [act(Action::AcceptQuote(quote(&project, "drywall_a").id))]);
    press(&mut harness, "all hung of Drywall crew B is paid, on the as-of day");
    let requests = harness.state_mut().take();
    let [Request::Act(action)] = requests.as_slice() else { panic!("{requests:?}") };
    let after = project.apply(action).unwrap();
    let paid = |p: &Project| needline::engine::compute(p, support::date("2026-09-21")).money.total.paid;
    assert_eq!(paid(&after).less(paid(&project)), Money::new(4640.into()));
    press(&mut harness, "Waiver of lien for rough work passed of Plumber A, on the as-of day");
    let requests = harness.state_mut().take();
    let [Request::Act(action)] = requests.as_slice() else { panic!("{requests:?}") };
    let waived = project.apply(action).unwrap();
    assert_eq!(quote(&waived, "plumb_a").installments[0].waiver_on, Some(support::date("2026-09-21")));
}

#[test]
fn short_weeks_and_draws_stand_beside_what_falls_due() {
    let mut harness = money_panel();
    assert!(says(&harness, "Short of cash: 8,713.21 in the week of Jan 25, 2027"));
    assert!(says(&harness, "2 changes not agreed on would add 2,680.00 and 4 working days."));
    press(&mut harness, "Second draw when walls may close came, on the as-of day");
    let requests = harness.state_mut().take();
    let [Request::Act(action)] = requests.as_slice() else { panic!("{requests:?}") };
    let Action::PutDraw(draw) = action.as_ref() else { panic!("{action:?}") };
    assert_eq!(draw.received_on, Some(support::date("2026-09-21")));
}

/// A visit is booked where the phase is, and in Sign-offs what came of it takes its place.
#[test]
fn visits_are_booked() {
    let mut harness = dates_of("framing_check");
    let check = phase(&harness.state().project, "framing_check").id;
    named(&harness, Role::TextInput, "Book the visit for").focus();
    harness.run();
    fill(&mut harness, "Book the visit for", "2026-10-01");
    harness.key_press(egui::Key::Tab);
    harness.run();
    let booked = Attempt::booked(support::date("2026-10-01"));
    assert_eq!(harness.state_mut().take(), [act(Action::RecordAttempt(check, booked))]);
}

/// A crew that nobody needs is removed from its form, and one that a phase needs is not, with the reason.
#[test]
fn crews_are_removed_from_their_form() {
    let (_folder, path) = support::copy_of("orchard_house.ron");
    let mut program = support::program(Some(path));
    for (name, gone) in [("Drywall crew B", false), ("Night crew", true)] {
        if gone {
            support::command(&mut program, egui::Key::K);
            fill(&mut program, "By name", "Add a crew");
            program.key_press(egui::Key::Enter);
            program.run();
            fill(&mut program, "Name", name);
            press(&mut program, "Done");
        }
        support::command(&mut program, egui::Key::K);
        fill(&mut program, "By name", name);
        program.key_press(egui::Key::Enter);
        program.run();
        assert!(says(&program, "Edit crew"), "{name}");
        press(&mut program, "Remove");
        assert_eq!(says(&program, "name this crew; give them another first"), !gone);
        if !gone {
            press(&mut program, "Cancel");
        }
        assert!(!says(&program, "Edit crew"), "{name}");
        let crews = program.state().project().unwrap().crews.iter();
        assert_eq!(crews.filter(|c| c.name == name).count(), usize::from(!gone));
    }
}

/// A project without crews, bids and draws has none of it on screen.
#[test]
fn simple_projects_stay_simple() {
    let (project, day) = sample("hall_bath.ron");
    let session = Session::default();
    let harness = panel_harness_high(1400.0, project.clone(), day, session, dates::ui);
    assert!(!says(&harness, "to call") && !says(&harness, "to book"));
    let harness = panel_harness_high(4000.0, project, day, Session::default(), money::ui);
    assert!(!says(&harness, "What there is to pay with") && !says(&harness, "waiver"));
}
