//! Everything the window can show over the large sample: each work area and its pages, each form, and each list or sheet
//! that opens above. A new form does not compile until it is named here.

use super::scenes::{self, Opened};
use super::{finish_work, press, samples};
use egui_kittest::Harness;
use needline::model::{PaidFor, Project};
use needline::ui::session::WorkArea;
use needline::ui::shell::app::NeedlineApp;
use needline::ui::shell::command::Command;
use needline::ui::view::{Form, ListScope, Request};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// How a scene is brought about.
pub enum Show {
    /// A work area.
    Area(WorkArea),
    /// A page of a work area, by the name of what opens it.
    Page(WorkArea, &'static str),
    /// What panels may ask for.
    Asked(Request),
    /// Steps by hand.
    Steps(fn(&mut Opened)),
}

/// Something to look at, with its name.
pub type Scene = (String, Show);

/// All of them.
pub fn scenes(project: &Project) -> Vec<Scene> {
    let mut all: Vec<Scene> = scenes::areas().map(|(name, area)| (name, Show::Area(area))).collect();
    for page in ["Cheaper or sooner", "Side by side"] {
        all.push((format!("what_if: {page}"), Show::Page(WorkArea::WhatIf, page)));
    }
    for page in ["Punch list", "Warranties and manuals"] {
        all.push((format!("sign_offs: {page}"), Show::Page(WorkArea::SignOffs, page)));
    }
    all.extend(forms(project).into_iter().map(|form| (form_name(&form), Show::Asked(Request::Edit(form)))));
    let commands = [
        Command::ShowProblems,
        Command::ShowStory,
        Command::GoAnywhere,
        Command::WhyFinish,
        Command::PrintPapers,
        Command::ShowManual,
        Command::ShowShortcuts,
        Command::EditSettings,
        Command::New,
    ];
    all.extend(commands.map(|c| (format!("command {c:?}"), Show::Asked(Request::Do(c)))));
    all.push(("export of lists".to_owned(), Show::Asked(Request::ExportLists(ListScope::All))));
    all.push(("export of the week".to_owned(), Show::Asked(Request::ExportWeek(14))));
    let crew = project.crews.first().map(|c| c.id).expect("a crew");
    all.push(("export for a crew".to_owned(), Show::Asked(Request::ExportCrew(crew))));
    for (name, steps) in scenes::FORMS {
        all.push((format!("scene {name}"), Show::Steps(steps)));
    }
    for (name, steps) in scenes::QUESTIONS {
        all.push((format!("question {name}"), Show::Steps(steps)));
    }
    all
}

/// Every form twice where it can be: of a thing there is, and of a new one.
fn forms(project: &Project) -> Vec<Form> {
    let selection =
        project.selections.iter().find(|s| s.choice().is_some() && s.options.len() > 2).expect("one");
    let with_spec =
        project.selections.iter().find(|s| !s.specs.is_empty()).expect("one with what must be known");
    let other =
        selection.options.iter().find(|o| Some(o.id) != selection.choice().map(|c| c.id)).expect("one");
    let choice = selection.choice().expect("a choice");
    let part = choice.parts.first().expect("a part").id;
    let phase = project.phases.first().expect("a phase").id;
    let room = project.rooms.first().expect("a room").id;
    let order = project.orders.first().expect("an order").id;
    let correction = project.corrections.first().expect("a correction");
    let (correction, inspection) = (Some(correction.id), correction.phase);
    let swap = project.swaps.last().expect("a swap");
    vec![
        Form::Settings,
        Form::Room(Some(room)),
        Form::Room(None),
        Form::Selection(Some(selection.id), None),
        Form::Selection(None, Some(room)),
        Form::Option(selection.id, Some(other.id)),
        Form::Option(selection.id, None),
        Form::Part(choice.id, Some(part)),
        Form::Part(choice.id, None),
        Form::Phase(Some(phase)),
        Form::Phase(None),
        Form::Supplier(project.suppliers.first().map(|s| s.id)),
        Form::Supplier(None),
        Form::Quote(project.quotes.first().map(|q| q.id)),
        Form::Quote(None),
        Form::Extra(project.extras.first().map(|e| e.id)),
        Form::Extra(None),
        Form::Swap(selection.id, other.id, None),
        Form::Swap(swap.selection, swap.from, Some(swap.id)),
        Form::Return(part, None),
        Form::Order(order),
        Form::Delivery(part, None),
        Form::Delivery(
            project.deliveries.first().map_or(part, |d| d.part),
            project.deliveries.first().map(|d| d.id),
        ),
        Form::Payment(PaidFor::Order(order), None),
        Form::Rule(project.rules.first().map(|r| r.id), None),
        Form::Rule(None, Some(selection.id)),
        Form::Gate(project.gates.first().map(|g| g.id), None),
        Form::Gate(None, Some(phase)),
        Form::Correction(correction, inspection),
        Form::Correction(None, inspection),
        Form::Spec(with_spec.id, Some(0)),
        Form::Spec(with_spec.id, None),
        Form::Tell(with_spec.id, 0),
        Form::Crew(project.crews.first().map(|c| c.id), None),
        Form::Crew(None, Some(phase)),
        Form::Permit(project.permits.first().map(|p| p.id), None),
        Form::Permit(None, Some(phase)),
        Form::Change(project.changes.first().map(|c| c.id), None),
        Form::Change(None, Some(phase)),
        Form::Draw(project.draws.first().map(|d| d.id)),
        Form::Draw(None),
        Form::Risk(project.risks.first().map(|r| r.id), None),
        Form::Risk(None, Some(phase)),
        Form::OutOfUse(project.out_of_use.first().map(|o| o.id), None),
        Form::OutOfUse(None, Some(phase)),
        Form::Punch(project.punch.first().map(|p| p.id), None),
        Form::Punch(None, Some(room)),
        Form::Handover(project.handover.first().expect("one with a warranty").part),
        Form::Handover(part),
        Form::KeepPlan,
        Form::NamePlan(project.kept_plans.first().expect("a kept plan").id),
        Form::UsualGates,
    ]
}

/// Its name in what a test says. Every form is named, so that none can be left out of [`forms`] unseen.
fn form_name(form: &Form) -> String {
    let (name, new) = match form {
        Form::Settings => ("settings", false),
        Form::Room(id) => ("room", id.is_none()),
        Form::Selection(id, _) => ("selection", id.is_none()),
        Form::Option(_, id) => ("option", id.is_none()),
        Form::Part(_, id) => ("part", id.is_none()),
        Form::Phase(id) => ("phase", id.is_none()),
        Form::Supplier(id) => ("supplier", id.is_none()),
        Form::Quote(id) => ("bid", id.is_none()),
        Form::Extra(id) => ("extra", id.is_none()),
        Form::Swap(_, _, id) => ("swap", id.is_none()),
        Form::Return(..) => ("return", false),
        Form::Order(_) => ("order", false),
        Form::Delivery(_, id) => ("delivery", id.is_none()),
        Form::Payment(_, id) => ("payment", id.is_none()),
        Form::Rule(id, _) => ("rule", id.is_none()),
        Form::Gate(id, _) => ("gate", id.is_none()),
        Form::Correction(id, _) => ("correction", id.is_none()),
        Form::Spec(_, at) => ("what must be known", at.is_none()),
        Form::Tell(..) => ("who was told", false),
        Form::Crew(id, _) => ("crew", id.is_none()),
        Form::Permit(id, _) => ("permit", id.is_none()),
        Form::Change(id, _) => ("change", id.is_none()),
        Form::Draw(id) => ("draw", id.is_none()),
        Form::Risk(id, _) => ("risk", id.is_none()),
        Form::OutOfUse(id, _) => ("out of use", id.is_none()),
        Form::Punch(id, _) => ("punch list", id.is_none()),
        Form::Handover(_) => ("warranty and manual", false),
        Form::KeepPlan => ("keep the plan", false),
        Form::NamePlan(_) => ("name of a plan", false),
        Form::UsualGates => ("usual gates", false),
    };
    format!("form {}{name}", if new { "new " } else { "" })
}

/// Only one window may hold the sample: another one would open it to read, and say so.
pub fn alone() -> MutexGuard<'static, ()> {
    static HELD: Mutex<()> = Mutex::new(());
    HELD.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A window over a copy of the large sample.
pub fn open(folder: &tempfile::TempDir, width: f32, height: f32, theme: egui::Theme) -> Opened {
    let path = folder.path().join("orchard_house.ron");
    if !path.exists() {
        std::fs::copy(samples().join("orchard_house.ron"), &path).expect("the sample can be copied");
    }
    let builder: egui_kittest::HarnessBuilder<NeedlineApp> = super::window(width, height);
    let mut harness: Harness<'static, NeedlineApp> =
        builder.with_theme(theme).build_eframe(|cc| NeedlineApp::new(cc, Some(path)));
    harness.run();
    harness
}

/// Brings a scene about.
pub fn show(harness: &mut Opened, show: &Show) {
    match show {
        Show::Area(area) => scenes::show(harness, *area),
        Show::Page(area, page) => {
            scenes::show(harness, *area);
            press(harness, page);
        }
        Show::Asked(request) => {
            harness.state_mut().ask(request.clone());
            harness.run();
        }
        Show::Steps(steps) => steps(harness),
    }
    finish_work(harness);
}
