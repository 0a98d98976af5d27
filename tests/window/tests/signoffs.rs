//! Sign-offs by what it asks for: drawn alone over the whole-house sample, worked by name as a screen reader would.

#![cfg(feature = "gui")]

mod support;

use egui_kittest::Harness;
use needline::model::{
    Action, Attempt, ConditionId, Gate, Need, PhaseId, Presence, Project, Scope, Subject, starter_gates,
};
use needline::ui::areas::signoffs;
use needline::ui::pictures::{Beside, Pictured};
use needline::ui::session::{Session, WorkArea};
use needline::ui::shell::app::NeedlineApp;
use needline::ui::view::{Form, Request};
use support::{
    Role, Scene, act, all, button_from, command, copy_of, fill, label, labels, named, panel_harness_high,
    press, press_from, program, sample, says,
};

fn panel_over(project: Project, day: chrono::NaiveDate) -> Harness<'static, Scene> {
    panel_harness_high(3400.0, project, day, Session::default(), signoffs::ui)
}

fn panel() -> Harness<'static, Scene> {
    let (project, day) = sample("orchard_house.ron");
    panel_over(project, day)
}

fn phase(project: &Project, key: &str) -> PhaseId {
    project.phases.iter().find(|p| p.key == key).expect("a phase").id
}

fn gate<'a>(project: &'a Project, key: &str) -> &'a Gate {
    project.gates.iter().find(|g| g.key == key).expect("a gate")
}

/// The number of the confirmation of a gate whose words begin so.
fn confirmation(project: &Project, key: &str, begin: &str) -> ConditionId {
    let found = gate(project, key)
        .conditions
        .iter()
        .find(|c| matches!(&c.need, Need::Confirmed { what, .. } if what.starts_with(begin)));
    found.expect("a confirmation").id
}

/// The names of the phases in the list, in its order.
fn listed(harness: &Harness<'_, Scene>) -> Vec<String> {
    let project = &harness.state().project;
    let names: Vec<&str> = project.phases.iter().map(|p| p.name.as_str()).collect();
    let heading = |l: &String| {
        let name = l.split(", ").next().unwrap_or("");
        names.contains(&name) && l.contains(", ") && (l.contains("ready") || l.contains("failed"))
    };
    labels(harness, Role::Button).into_iter().filter(heading).collect()
}

/// Lays out what there is for a phase, from the line that is all of it at first.
fn open<S>(harness: &mut Harness<'_, S>, phase: &str) {
    press_from(harness, &format!("{phase}, "));
}

/// One line a phase until one is opened: with its state, what is missing first, and its days.
#[test]
fn a_phase_is_one_line_until_it_is_opened() {
    let mut harness = panel();
    let headings = listed(&harness);
    assert!(headings.len() > 6, "{headings:?}");
    let details = ["Add a gate before ", "Note a visit for ", "Show "];
    let laid_out = |h: &Harness<'_, Scene>| {
        let all = labels(h, Role::Button);
        all.into_iter().filter(|said| details.iter().any(|begin| said.starts_with(begin))).count()
    };
    assert_eq!(laid_out(&harness), 0);
    let failed = headings.iter().find(|h| h.starts_with("Rough electrical inspection, ")).unwrap();
    assert!(failed.contains(", failed Sep 16, next visit Mon Sep 28, to correct: "), "{failed}");
    let (_, correction) = failed.split_once("to correct: ").unwrap();
    assert!(says(&harness, &format!("to correct: {correction}")), "it is in the line");
    let held = headings.iter().find(|h| h.starts_with("Template countertops, ")).unwrap();
    assert!(held.contains(" is not "), "what is missing first: {held}");
    open(&mut harness, "Rough electrical inspection");
    assert!(laid_out(&harness) > 0);
    assert!(!says(&harness, &format!("to correct: {correction}")), "it stands below");
    open(&mut harness, "Rough electrical inspection");
    assert_eq!(laid_out(&harness), 0);
}

#[test]
fn gates_and_inspections_stand_in_the_order_of_their_days_with_their_state_in_words() {
    let harness = panel();
    let rows = listed(&harness);
    let at = |begin: &str| {
        rows.iter().position(|r| r.starts_with(begin)).unwrap_or_else(|| panic!("{begin}: {rows:?}"))
    };
    assert!(at("Rough electrical inspection, failed") < at("Framing inspection, not ready"));
    assert!(at("Framing inspection, not ready") < at("Air sealing and insulation, ready"));
    assert!(at("Air sealing and insulation, ready") < at("Hang drywall, not ready"));
    assert!(at("Hang drywall, not ready") < at("Template countertops, not ready"));
    assert!(
        !rows.iter().any(|r| r.starts_with("Rough plumbing inspection")),
        "what is done is left out: {rows:?}"
    );
    assert!(says(&harness, "Local code and licensed trades decide."));
}

#[test]
fn what_is_missing_leads_to_its_place_with_who_and_by_when() {
    let mut harness = panel();
    press_from(&mut harness, "Template countertops, not ready");
    let project = harness.state().project.clone();
    let cooktop = support::part(&project, "kitchen_cooktop_induction");
    press_from(&mut harness, "Induction cooktop, 36 in, five zones of Cooktop is not on site");
    assert_eq!(harness.state_mut().take(), [Request::Show(Subject::Part(cooktop.id))]);
    assert!(says(&harness, "Countertop shop, by Oct 30, expected Oct 30"));
}

#[test]
fn a_confirmation_asks_who_and_when() {
    let mut harness = panel();
    let project = harness.state().project.clone();
    let id = confirmation(&project, "cover_up", "a photograph");
    open(&mut harness, "Hang drywall");
    press(&mut harness, "Confirm: A photograph of every open wall");
    assert_eq!(harness.state_mut().take(), [], "it asks first");
    fill(&mut harness, "Who said so", "");
    press(&mut harness, "Confirm");
    assert!(says(&harness, "Write who said so."));
    assert_eq!(harness.state_mut().take(), []);
    fill(&mut harness, "Who said so", "Ann, owner");
    fill(&mut harness, "Said on, 2026-12-17 or Dec 17", "2026-09-20");
    press(&mut harness, "Confirm");
    let said = Some(("Ann, owner".to_owned(), support::date("2026-09-20")));
    assert_eq!(harness.state_mut().take(), [act(Action::Confirm(id, said))]);
}

#[test]
fn a_confirmation_can_be_taken_back() {
    let mut harness = panel();
    let id = confirmation(&harness.state().project, "cover_up", "blocking");
    open(&mut harness, "Hang drywall");
    press_from(&mut harness, "Take back: Blocking for rails");
    assert_eq!(harness.state_mut().take(), [act(Action::Confirm(id, None))]);
}

#[test]
fn a_visit_and_a_correction_are_noted() {
    let mut harness = panel();
    let project = harness.state().project.clone();
    let check = phase(&project, "electrical_check");
    open(&mut harness, "Rough electrical inspection");
    press(&mut harness, "Note a visit for Rough electrical inspection");
    fill(&mut harness, "Day of the visit, 2026-12-17 or Dec 17", "2026-09-28");
    fill(&mut harness, "What was said", "all put right");
    press(&mut harness, "Passed");
    let note = "all put right".to_owned();
    let visit =
        Attempt { date: support::date("2026-09-28"), passed: true, booked: false, note, correct_by: None };
    assert_eq!(harness.state_mut().take(), [act(Action::RecordAttempt(check, visit))]);

    press(&mut harness, "Add a correction for Rough electrical inspection");
    assert_eq!(harness.state_mut().take(), [Request::Edit(Form::Correction(None, check))]);
    let box_fill =
        project.corrections.iter().find(|c| c.what.starts_with("Box fill")).expect("a correction").id;
    press_from(&mut harness, "Done: Box fill");
    let day = support::date("2026-09-21");
    assert_eq!(harness.state_mut().take(), [act(Action::MarkCorrected(box_fill, Some(day)))]);
    press_from(&mut harness, "within Furring over the kitchen cable run (waits for it)");
    assert_eq!(harness.state_mut().take(), [Request::Show(Subject::Phase(phase(&project, "cover_run")))]);
}

#[test]
fn gates_are_edited_added_and_removed() {
    let mut harness = panel();
    let project = harness.state().project.clone();
    open(&mut harness, "Hang drywall");
    press(&mut harness, "Ready to close the walls");
    let edit = Request::Pick(Subject::Gate(gate(&project, "cover_up").id));
    assert_eq!(harness.state_mut().take(), [edit]);
    press(&mut harness, "Add a gate before Hang drywall");
    let add = Request::Edit(Form::Gate(None, Some(phase(&project, "hang_drywall"))));
    assert_eq!(harness.state_mut().take(), [add]);
    press(&mut harness, "add the usual gates…");
    assert_eq!(harness.state_mut().take(), [Request::Edit(Form::UsualGates)]);
    button_from(&harness, "Ready to close the walls").click_secondary();
    harness.run();
    press(&mut harness, "Remove gate");
    assert_eq!(harness.state_mut().take(), [act(Action::RemoveGate(gate(&project, "cover_up").id))]);
}

#[test]
fn cautions_of_a_phase_are_laid_out_on_a_click() {
    let mut harness = panel();
    for heading in listed(&harness) {
        press(&mut harness, &heading);
    }
    assert!(!says(&harness, "may hold asbestos"));
    let cautions = all(&harness, Role::Button);
    let first = cautions.iter().find(|n| label(n).is_some_and(|l| l.starts_with("Caution: ")));
    first.expect("a caution").click();
    harness.run();
    assert!(says(&harness, "may hold asbestos") && says(&harness, "Source: "));
}

#[test]
fn a_project_without_gates_is_taught_what_they_are() {
    let (project, day) = support::sample("orchard_house.ron");
    let mut bare = project;
    (bare.gates, bare.corrections) = Default::default();
    std::sync::Arc::make_mut(&mut bare.phases).retain(|p| p.kind == needline::model::PhaseKind::Work);
    std::sync::Arc::make_mut(&mut bare.links).clear();
    let mut harness = panel_over(bare, day);
    assert!(says(&harness, "Nothing stands before any phase yet"));
    press(&mut harness, "Look at the usual gates…");
    assert_eq!(harness.state_mut().take(), [Request::Edit(Form::UsualGates)]);
}

/// The whole program: the usual gates are shown before they are added, as one step that undo takes back.
#[test]
fn usual_gates_are_added_as_one_step() {
    let (_folder, path) = copy_of("hall_bath.ron");
    let mut harness = program(Some(path));
    command(&mut harness, egui::Key::Num6);
    assert_eq!(harness.state().session().area, WorkArea::SignOffs);
    let project = harness.state().project().expect("a project").clone();
    let proposed = starter_gates::propose(&project);
    assert!(!proposed.is_empty(), "the sample has phases that have not begun");
    press(&mut harness, "add the usual gates…");
    assert!(says(&harness, "Source: "));
    press(&mut harness, "Done");
    let with = harness.state().project().expect("a project").gates.clone();
    assert_eq!(with.len(), project.gates.len() + proposed.len());
    command(&mut harness, egui::Key::Z);
    assert_eq!(harness.state().project().expect("a project").gates, project.gates);
}

/// The whole program: a gate by the form, with a confirmation.
#[test]
fn a_gate_is_added_by_its_form() {
    let (_folder, path) = copy_of("orchard_house.ron");
    let mut harness = program(Some(path));
    command(&mut harness, egui::Key::Num6);
    open(&mut harness, "Framing inspection");
    press(&mut harness, "Add a gate before Framing inspection");
    fill(&mut harness, "Name", "Ducts out of the way");
    fill(&mut harness, "What, 1", "no duct through a joist");
    fill(&mut harness, "Who, 1", "HVAC");
    press(&mut harness, "Done");
    let project = harness.state().project().expect("a project");
    let added = gate(project, "ducts_out_of_the_way");
    assert_eq!(added.phase, phase(project, "framing_check"));
    assert!(matches!(&added.conditions[..], [c] if c.who == "HVAC"
        && matches!(&c.need, Need::Confirmed { what, .. } if what == "no duct through a joist")));
    let sink = gate(project, "template_ready").conditions.iter().find_map(|c| match c.need {
        Need::Selection { scope, presence, .. } => Some((scope, presence)),
        _ => None,
    });
    assert_eq!(sink, Some((Scope::All, Presence::OnSite)));
}

fn punch_panel() -> Harness<'static, Scene> {
    let (project, day) = sample("laundry_room.ron");
    let mut session = Session::default();
    session.sign_offs.page = signoffs::Page::Punch;
    panel_harness_high(1400.0, project, day, session, signoffs::ui)
}

fn tick(harness: &mut Harness<'static, Scene>, name: &str) {
    named(harness, Role::CheckBox, name).click();
    harness.run();
}

fn punch(project: &Project, key: &str) -> needline::model::PunchId {
    project.punch.iter().find(|p| p.key == key).expect("a thing on the list").id
}

#[test]
fn the_punch_list_says_how_each_thing_stands_and_does_the_next_step() {
    let mut harness = punch_panel();
    let project = harness.state().project.clone();
    let day = support::date("2026-11-09");
    for words in ["6 to be put right", "1 late", "1 to be looked at", "1 good"] {
        assert!(says(&harness, words), "{words}");
    }
    let rows = labels(&harness, Role::Button);
    let row = |begin: &str| {
        rows.iter().find(|r| r.starts_with(begin)).unwrap_or_else(|| panic!("{begin}: {rows:?}"))
    };
    assert!(
        row("Base cabinet door left of the sink rubs at the top, 3 days late")
            .contains("Finish carpenter D, due Fri Nov 6")
    );
    assert!(row("Slow drip at the trap of the sink, done Thu Nov 5, to be looked at").ends_with("Plumber D"));
    assert!(!rows.iter().any(|r| r.starts_with("Cover plate behind the dryer")), "what is good is left out");

    press(&mut harness, "Done: Base cabinet door left of the sink rubs at the top");
    let done = Action::MarkPunchDone(punch(&project, "door_rubs"), Some(day));
    press(&mut harness, "Looked at, and good: Slow drip at the trap of the sink");
    let good = Action::MarkPunchChecked(punch(&project, "drip_at_trap"), Some(day));
    press(&mut harness, "Not done yet: Slow drip at the trap of the sink");
    let back = Action::MarkPunchDone(punch(&project, "drip_at_trap"), None);
    assert_eq!(harness.state_mut().take(), [act(done), act(good), act(back)]);
    press(&mut harness, "Picture of Base cabinet door left of the sink rubs at the top");
    press(&mut harness, "Add a picture of Touch up the window sill");
    let look = Pictured::Punch(punch(&project, "door_rubs"));
    let take = Beside::Picture(Pictured::Punch(punch(&project, "paint_sill")));
    assert_eq!(harness.state_mut().take(), [Request::Look(look), Request::PickFile(take)]);
    press_from(&mut harness, "Flap of the fan's vent outdoors sticks, ");
    let form = Form::Punch(Some(punch(&project, "outdoor_vent")), None);
    assert_eq!(harness.state_mut().take(), [Request::Edit(form)]);

    tick(&mut harness, "show what is good");
    tick(&mut harness, "by who puts it right");
    assert!(says(&harness, "Nobody has said who") && says(&harness, "Electrician D, +1 555 0142"));
    press(&mut harness, "Open again: Cover plate behind the dryer is cracked");
    let open = Action::MarkPunchDone(punch(&project, "cover_plate"), None);
    assert_eq!(harness.state_mut().take(), [act(open)]);
}

/// On a walk-through one thing follows the other: room and crew stay, the text goes.
#[test]
fn things_are_added_to_the_punch_list_in_one_row() {
    let mut harness = punch_panel();
    let project = harness.state().project.clone();
    fill(&mut harness, "What is to be put right", "Scratch on the bench");
    named(&harness, Role::ComboBox, "Room of it").click();
    harness.run();
    press(&mut harness, "Mud hall");
    fill(&mut harness, "Due", "2026-11-31");
    press(&mut harness, "Add to the punch list");
    assert!(says(&harness, "Due: "), "why the day cannot be taken");
    assert_eq!(harness.state_mut().take(), []);
    fill(&mut harness, "Due", "2026-11-20");
    press(&mut harness, "Add to the punch list");
    let asked = harness.state_mut().take();
    let [Request::Act(action)] = asked.as_slice() else {
        panic!("{asked:?}, {:?}", harness.state().session.sign_offs.punch)
    };
    let Action::PutPunch(added) = action.as_ref() else { panic!("{action:?}") };
    let room = project.rooms.iter().find(|r| r.key == "mud_hall").map(|r| r.id);
    assert_eq!((added.what.as_str(), added.room, added.crew), ("Scratch on the bench", room, None));
    let days = (added.found_on, added.due);
    assert_eq!(days, (Some(support::date("2026-11-09")), Some(support::date("2026-11-20"))));
    assert!(project.apply(action).is_ok());
}

#[test]
fn what_is_in_the_house_stands_with_its_warranty_and_manual() {
    let (project, day) = sample("laundry_room.ron");
    let mut session = Session::default();
    session.sign_offs.page = signoffs::Page::Handover;
    let mut harness = panel_harness_high(1400.0, project.clone(), day, session, signoffs::ui);
    assert!(says(&harness, "12 in the house") && says(&harness, "6 with a warranty, 2 with a manual"));
    let rows = labels(&harness, Role::Button);
    let row = |begin: &str| {
        rows.iter().find(|r| r.starts_with(begin)).unwrap_or_else(|| panic!("{begin}: {rows:?}"))
    };
    assert!(
        row("Exhaust fan, 80 cfm: Quiet fan, 80 cfm, warranty ends Thu Dec 3").contains("serial F80-77012")
    );
    row("Ceiling light: LED disk light, 11 in, 3000 K, warranty ended Sat Oct 31");
    row("Floor tile: Grout, 10 lb, no warranty noted");
    assert!(!rows.iter().any(|r| r.starts_with("Bench")), "it has not come");
    let part = |key: &str| project.all_parts().find(|(_, _, p)| p.key == key).unwrap().2.id;
    press(&mut harness, "Manual of Dryer: Heat pump dryer, 240 V");
    press(&mut harness, "Take a file as the manual of Exhaust fan, 80 cfm: Quiet fan, 80 cfm");
    press_from(&mut harness, "Washer: Front-load washer, 4.5 cu ft, ");
    assert_eq!(
        harness.state_mut().take(),
        [
            Request::OpenManual(part("dryer_heat_pump")),
            Request::PickFile(Beside::Manual(part("fan_quiet"))),
            Request::Edit(Form::Handover(part("washer_front"))),
        ]
    );
    fill(&mut harness, "Find a part", "grout");
    let rows = labels(&harness, Role::Button);
    assert_eq!(rows.iter().filter(|r| r.contains("warranty")).count(), 1, "{rows:?}");
    fill(&mut harness, "Find a part", "");
    tick(&mut harness, "only those with nothing noted");
    let rows = labels(&harness, Role::Button);
    assert!(rows.iter().filter(|r| r.contains("no warranty noted")).count() == 3, "{rows:?}");
}

/// The whole program: a manual is copied beside the project and noted, a warranty is typed into its form, and undo takes
/// each back.
#[test]
fn a_manual_and_a_warranty_are_noted() {
    let (folder, path) = copy_of("laundry_room.ron");
    let manual = folder.path().join("fan sheet.PDF");
    std::fs::write(&manual, b"%PDF-1.4 a sheet").expect("written");
    let mut harness = program(Some(path.clone()));
    let part = |h: &Harness<'_, NeedlineApp>| {
        let project = h.state().project().expect("a project").clone();
        let id = project.all_parts().find(|(_, _, p)| p.key == "fan_quiet").expect("a part").2.id;
        project.handover_of(id).cloned().map(|own| (own, id)).expect("a warranty")
    };
    let (_, id) = part(&harness);
    harness.state_mut().ask(Request::TakeFile(Beside::Manual(id), manual.clone()));
    harness.run();
    let (noted, _) = part(&harness);
    assert_eq!(noted.manual, "laundry_room_manuals/fan_quiet.PDF");
    let kept = path.parent().expect("a folder").join(&noted.manual);
    assert_eq!(std::fs::read(kept).expect("copied"), b"%PDF-1.4 a sheet");
    command(&mut harness, egui::Key::Num6);
    press(&mut harness, "Warranties and manuals");
    press_from(&mut harness, "Exhaust fan, 80 cfm: Quiet fan, 80 cfm, ");
    fill(&mut harness, "Warranty until", "2031-12-03");
    press(&mut harness, "Done");
    assert_eq!(part(&harness).0.warranty_until, Some(support::date("2031-12-03")));
    command(&mut harness, egui::Key::Z);
    command(&mut harness, egui::Key::Z);
    let (old, _) = part(&harness);
    assert_eq!((old.manual.as_str(), old.warranty_until), ("", Some(support::date("2026-12-03"))));
}
