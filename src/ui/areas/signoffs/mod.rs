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

/// Days ahead within which what is not ready is laid out at once.
const NEAR: i32 = 42;

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
            State::Done => tokens.muted,
        }
    }
}

/// Draws the shape of a state in a small square of its own.
pub fn mark(ui: &mut Ui, state: State, tokens: &Tokens) {
    let (rect, _) = ui.allocate_exact_size(vec2(16.0, 18.0), Sense::hover());
    let (painter, center, color) = (ui.painter(), rect.center(), state.color(tokens));
    match state {
        State::PassedBy | State::Held | State::Failed => marks::triangle(painter, center, color),
        State::NotReady => {
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
    let near = day.is_none_or(|d| d <= view.as_of().plus(NEAR));
    let pressing = matches!(state, State::Held | State::Failed | State::PassedBy);
    let usual = pressing || (near && state != State::Done);
    if asked && usual == session.sign_offs.turned.contains(&phase.id) {
        // Opened for whoever asked to see it.
        turn(session, phase.id);
    }
    let open = usual != session.sign_offs.turned.contains(&phase.id);
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
    if !session.sign_offs.turned.remove(&id) {
        session.sign_offs.turned.insert(id);
    }
}

/// The line of a phase: mark, name, state in words, day, and how much is missing.
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
    let words = state.words(phase.kind);
    let when = day.map_or("no day".to_owned(), |d| format::day(d, view.as_of()));
    let counted = if missing == 0 { String::new() } else { format!(", {missing} missing") };
    let name = format!("{}, {words}{counted}, {when}", phase.name);
    pieces::clickable(ui, ("sign_off", phase.id), &name, |ui| {
        ui.set_width(ui.available_width());
        ui.horizontal(|ui| {
            mark(ui, state, tokens);
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                pieces::muted(ui, tokens, if open { "\u{2212}" } else { "+" });
                pieces::muted(ui, tokens, when.clone());
                let text = RichText::new(format!("{words}{counted}")).size(type_size::SMALL);
                ui.label(text.color(state.color(tokens)));
                ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                    ui.add(egui::Label::new(pieces::strong(&phase.name, type_size::BODY)).truncate());
                });
            });
        });
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
