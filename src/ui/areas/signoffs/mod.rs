//! Sign-offs: gates and inspections in the order of their days, each with what is missing, who sees to it and by when; the
//! punch list; the warranties and manuals of what is in the house. A page each.

pub mod handover;
pub mod punch;
pub mod rows;

use crate::engine::Day;
use crate::model::{Phase, PhaseId, PhaseKind, Subject};
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::{
    Tokens,
    tokens::{space, type_size},
};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::{marks, pieces};
use egui::{Color32, RichText, Sense, Ui, vec2};

/// Points from which on what is missing stands beside the name of a phase, and not below it.
const ON_ONE_LINE: f32 = 700.0;
/// Points by which it is moved in there.
const BELOW: f32 = 36.0;

/// How a phase stands with its gates and its inspector.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Begun or finished though a gate is not ready.
    PassedBy,
    /// Held by a gate in the forecast.
    Held,
    /// The inspector came and did not pass it.
    Failed,
    /// A gate is not ready.
    NotReady,
    /// Its gates have nothing to look at yet.
    Nothing,
    /// Everything is there; an inspection may be called.
    Ready,
    /// Finished or passed.
    Done,
}

impl State {
    /// In words.
    pub fn words(self, kind: PhaseKind) -> &'static str {
        match (self, kind) {
            (State::PassedBy, _) => "went on, not ready",
            (State::Held, _) => "not ready, holds the work",
            (State::Failed, _) => "failed",
            (State::NotReady, _) => "not ready",
            (State::Nothing, _) => "nothing to check yet",
            (State::Ready, _) => "ready",
            (State::Done, PhaseKind::Inspection) => "passed",
            (State::Done, _) => "finished",
        }
    }

    /// Its color.
    pub fn color(self, tokens: &Tokens) -> Color32 {
        match self {
            State::PassedBy | State::Held | State::Failed => tokens.late,
            State::NotReady => tokens.soon,
            State::Ready => tokens.good,
            State::Done | State::Nothing => tokens.muted,
        }
    }
}

/// Draws the shape of a state in a small square of its own.
pub fn mark(ui: &mut Ui, state: State, tokens: &Tokens) {
    let (rect, _) = ui.allocate_exact_size(vec2(16.0, 18.0), Sense::hover());
    let (painter, center, color) = (ui.painter(), rect.center(), state.color(tokens));
    match state {
        State::PassedBy | State::Held | State::Failed => marks::triangle(painter, center, color),
        State::NotReady | State::Nothing => {
            painter.circle_stroke(center, 4.5, egui::Stroke::new(1.8, color));
        }
        State::Ready | State::Done => marks::check(painter, center, color),
    }
}

/// How a phase stands; `None` when it has no gate and is no inspection.
pub fn state_of(view: &View<'_>, at: usize) -> Option<State> {
    let phase = view.project.phases.get(at)?;
    let gates: Vec<_> = view.figures.gates.iter().filter(|g| g.phase == Some(at)).collect();
    let inspection = phase.kind == PhaseKind::Inspection;
    if gates.is_empty() && !inspection {
        return None;
    }
    let ready = gates.iter().all(|g| g.is_ready());
    let corrections = view.project.corrections.iter().any(|c| c.phase == phase.id && c.done.is_none());
    let done = phase.finished_on().is_some();
    let failed = inspection && (corrections || phase.attempts.iter().any(|a| a.failed()));
    Some(match () {
        () if gates.iter().any(|g| g.passed_by) => State::PassedBy,
        () if done => State::Done,
        () if view.figures.phases[at].gate_days > 0 => State::Held,
        () if failed => State::Failed,
        () if !ready => State::NotReady,
        () if !inspection && gates.iter().all(|g| g.nothing) => State::Nothing,
        () if inspection && !work_before_is_done(view, phase.id) => State::NotReady,
        () => State::Ready,
    })
}

/// Whether everything that the links put before a phase is finished.
pub fn work_before_is_done(view: &View<'_>, id: PhaseId) -> bool {
    let into = view.project.links.iter().filter(|l| l.after == id);
    into.filter_map(|l| view.project.phase(l.before)).all(|p| p.finished_on().is_some())
}

/// A page of the area.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Page {
    /// Gates and inspections.
    #[default]
    Gates,
    /// What is still to be put right.
    Punch,
    /// What stays with the things in the house.
    Handover,
}

impl Page {
    /// All, with their names.
    pub const ALL: [(Page, &'static str); 3] = [
        (Page::Gates, "Gates and inspections"),
        (Page::Punch, "Punch list"),
        (Page::Handover, "Warranties and manuals"),
    ];
}

/// Draws the work area.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    ui.horizontal_wrapped(|ui| {
        for (page, title) in Page::ALL {
            if ui.selectable_label(session.sign_offs.page == page, title).clicked() {
                session.sign_offs.page = page;
            }
        }
    });
    ui.add_space(space::S);
    match session.sign_offs.page {
        Page::Gates => gates(ui, view, session, out),
        Page::Punch => punch::ui(ui, view, session, out),
        Page::Handover => handover::ui(ui, view, session, out),
    }
}

fn gates(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let mut shown: Vec<(Option<Day>, usize, State)> = (0..view.project.phases.len())
        .filter_map(|at| Some((view.figures.phases[at].forecast_start, at, state_of(view, at)?)))
        .collect();
    shown.sort_by_key(|(day, at, _)| (day.is_none(), *day, *at));
    summary(ui, view, session, &shown, out);
    ui.add_space(space::S);
    if shown.is_empty() {
        teach(ui, view, out);
        return;
    }
    let wanted = session.sign_offs.scroll_to.take();
    let wanted = wanted.and_then(|id| view.project.gate(id)).map(|g| g.phase);
    let wanted = session.sign_offs.scroll_to_phase.take().or(wanted);
    egui::ScrollArea::vertical().auto_shrink(false).id_salt("sign_offs").show(ui, |ui| {
        ui.set_width(ui.available_width() - 8.0);
        for (day, at, state) in &shown {
            let id = view.project.phases[*at].id;
            let asked = wanted == Some(id);
            if *state == State::Done && !session.sign_offs.all && !asked {
                continue;
            }
            let top = ui.cursor().min;
            card(ui, view, session, (*day, *at, *state), asked, out);
            if asked {
                ui.scroll_to_rect(egui::Rect::from_min_size(top, vec2(10.0, 120.0)), Some(egui::Align::Min));
            }
            ui.add_space(space::S);
        }
        ui.add_space(space::M);
        pieces::muted(ui, view.tokens, crate::model::caution::WHO_DECIDES);
    });
}

fn summary(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    shown: &[(Option<Day>, usize, State)],
    out: &mut Outbox,
) {
    let count = |wanted: &[State]| shown.iter().filter(|(_, _, s)| wanted.contains(s)).count() as i32;
    let open = count(&[State::NotReady, State::Held, State::PassedBy]);
    ui.horizontal_wrapped(|ui| {
        ui.label(pieces::strong(format!("{open} not ready"), type_size::BODY));
        for (states, words) in [
            (State::Held, "holding work"),
            (State::PassedBy, "went on all the same"),
            (State::Failed, "failed"),
        ] {
            let n = count(&[states]);
            if n > 0 {
                ui.label(RichText::new(format!("{n} {words}")).color(view.tokens.late));
            }
        }
        ui.label(RichText::new(format!("{} ready", count(&[State::Ready]))).color(view.tokens.good));
        ui.checkbox(&mut session.sign_offs.all, "show what is done");
        if pieces::link(ui, view.tokens, "+ add a gate").clicked() {
            out.edit(Form::Gate(None, None));
        }
        if pieces::link(ui, view.tokens, "add the usual gates…").clicked() {
            out.edit(Form::UsualGates);
        }
    });
}

fn teach(ui: &mut Ui, view: &View<'_>, out: &mut Outbox) {
    ui.add_space(space::L);
    ui.label(pieces::strong("Nothing stands before any phase yet", 16.0));
    ui.label("A gate is a list of what must be true before a phase may start: phases finished, parts on site or built in, and things that somebody confirms, such as a duct route for a fan.");
    ui.add_space(space::M);
    if pieces::primary_button(ui, view.tokens, "Look at the usual gates…").clicked() {
        out.edit(Form::UsualGates);
    }
}

fn card(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    (day, at, state): (Option<Day>, usize, State),
    asked: bool,
    out: &mut Outbox,
) {
    let tokens = view.tokens;
    let phase = &view.project.phases[at];
    if asked {
        // Opened for whoever asked to see it.
        session.sign_offs.open.insert(phase.id);
    }
    let open = session.sign_offs.open.contains(&phase.id);
    egui::Frame::new()
        .fill(tokens.card)
        .stroke(egui::Stroke::new(1.0, tokens.line))
        .corner_radius(6)
        .inner_margin(egui::Margin::symmetric(10, 6))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            if heading(ui, view, at, day, state, open).clicked() {
                turn(session, phase.id);
                session.follow(Subject::Phase(phase.id));
            }
            if open {
                ui.add_space(2.0);
                details(ui, view, session, at, out);
            }
        });
}

fn turn(session: &mut Session, id: PhaseId) {
    if !session.sign_offs.open.remove(&id) {
        session.sign_offs.open.insert(id);
    }
}

/// The state of a phase with its day, and the day that comes next.
fn state_and_day(view: &View<'_>, phase: &Phase, day: Option<Day>, state: State) -> (String, String) {
    let near = view.as_of();
    let words = state.words(phase.kind).to_owned();
    let failed = phase.attempts.iter().filter(|a| a.failed()).map(|a| Day::from(a.date)).max();
    match (state, failed) {
        (State::Failed, Some(on)) => (
            format!("{words} {}", format::day_short(on, near)),
            day.map_or("no next visit yet".to_owned(), |d| format!("next visit {}", format::day(d, near))),
        ),
        _ => (words, day.map_or("no day".to_owned(), |d| format::day(d, near))),
    }
}

/// What is missing first for a phase, in words: for a gate, in what is to be corrected, or in the work before it.
fn first_missing(view: &View<'_>, phase: &Phase, at: usize, state: State) -> Option<String> {
    if matches!(state, State::Done | State::Ready | State::Nothing) {
        return None;
    }
    let open = |c: &&crate::model::Correction| c.phase == phase.id && c.done.is_none();
    let correction = view.project.corrections.iter().find(open);
    if let Some(correction) = correction.filter(|_| state == State::Failed) {
        return Some(format!("to correct: {}", correction.what));
    }
    let gates = view.project.gates.iter().zip(view.figures.gates.iter());
    let mut missing = gates.filter(|(_, figures)| figures.phase == Some(at));
    let lack = missing.find_map(|(gate, figures)| Some(figures.missing.first()?.text(view.project, gate)));
    lack.or_else(|| {
        let before = view.project.links.iter().filter(|l| l.after == phase.id);
        let before = before.filter_map(|l| view.project.phase(l.before)).find(|p| p.finished_on().is_none());
        before.map(|p| format!("waits for {}", p.name))
    })
}

/// The line of a phase: name, what is missing first, state in words with how much is missing, and day.
fn heading(
    ui: &mut Ui,
    view: &View<'_>,
    at: usize,
    day: Option<Day>,
    state: State,
    open: bool,
) -> egui::Response {
    let tokens = view.tokens;
    let phase = &view.project.phases[at];
    let missing: usize =
        view.figures.gates.iter().filter(|g| g.phase == Some(at)).map(|g| g.missing.len()).sum();
    let (words, when) = state_and_day(view, phase, day, state);
    let counted = if missing == 0 { String::new() } else { format!(", {missing} missing") };
    let first = first_missing(view, phase, at, state);
    let more = first.as_ref().map_or(String::new(), |first| format!(", {first}"));
    let name = format!("{}, {words}{counted}, {when}{more}", phase.name);
    pieces::clickable(ui, ("sign_off", phase.id), &name, |ui| {
        ui.set_width(ui.available_width());
        let beside = ui.available_width() >= ON_ONE_LINE;
        // What is missing is laid out below once it is open.
        let first = first.filter(|_| !open);
        ui.horizontal(|ui| {
            let (fold, _) = ui.allocate_exact_size(vec2(12.0, 18.0), Sense::hover());
            marks::fold(ui.painter(), fold.center(), !open, tokens.muted);
            mark(ui, state, tokens);
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                pieces::muted(ui, tokens, when.clone());
                let text = RichText::new(format!("{words}{counted}")).size(type_size::SMALL);
                ui.label(text.color(state.color(tokens)));
                ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                    ui.add(egui::Label::new(pieces::strong(&phase.name, type_size::BODY)).truncate());
                    if let Some(first) = first.as_ref().filter(|_| beside) {
                        let text = RichText::new(first).size(type_size::SMALL);
                        pieces::cell_text(ui, text.color(tokens.muted));
                    }
                });
            });
        });
        if let Some(first) = first.filter(|_| !beside) {
            ui.horizontal(|ui| {
                ui.add_space(BELOW);
                pieces::cell_text(ui, RichText::new(first).size(type_size::SMALL).color(tokens.muted));
            });
        }
    })
}

fn details(ui: &mut Ui, view: &View<'_>, session: &mut Session, at: usize, out: &mut Outbox) {
    let phase: &Phase = &view.project.phases[at];
    let f = &view.figures.phases[at];
    if f.gate_days > 0 {
        let days = format::count(f.gate_days, "working day");
        ui.label(RichText::new(format!("Held in the forecast for {days}")).color(view.tokens.late));
    }
    for (i, gate) in view.project.gates.iter().enumerate().filter(|(_, g)| g.phase == phase.id) {
        if let Some(figures) = view.figures.gates.get(i) {
            rows::gate(ui, view, session, gate, figures, out);
        }
    }
    if phase.kind == PhaseKind::Inspection {
        rows::inspection(ui, view, phase, out);
    }
    rows::cautions(ui, view, session, phase);
    rows::visit(ui, view, session, phase, out);
    rows::links(ui, view, session, phase, out);
}
