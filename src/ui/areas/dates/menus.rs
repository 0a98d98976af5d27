//! What a phase says on hover and offers on a right click.

use crate::engine::people::Booked;
use crate::engine::{Day, PhaseFigures};
use crate::model::{Action, Attempt, Phase, PhaseKind};
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::{tokens::space, tokens::type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::why::WhyTarget;
use crate::ui::widgets::pieces;
use egui::Ui;

/// Words for a phase that waits for a gate.
pub fn gate_words(f: &PhaseFigures) -> String {
    match f.gate_days {
        0 => String::new(),
        n => format!(", not ready, held for {}", format::count(n, "working day")),
    }
}

/// First and last day in the forecast.
pub fn dates_text(view: &View<'_>, f: &PhaseFigures) -> String {
    match (f.forecast_start, f.forecast_finish) {
        (Some(start), Some(finish)) => format::days(start, finish, view.as_of()),
        _ => "no dates".to_owned(),
    }
}

/// Draws the menu.
pub fn menu(ui: &mut Ui, view: &View<'_>, session: &mut Session, phase: &Phase, out: &mut Outbox) {
    let today = view.as_of().date();
    if phase.kind == PhaseKind::Inspection {
        let attempt =
            |passed| Attempt { date: today, passed, booked: false, note: String::new(), correct_by: None };
        if ui.button("Passed on the as-of day").clicked() {
            out.act(Action::RecordAttempt(phase.id, attempt(true)));
        }
        if ui.button("Failed on the as-of day").clicked() {
            out.act(Action::RecordAttempt(phase.id, attempt(false)));
        }
    } else {
        if phase.actual_start.is_none() && ui.button("Begun on the as-of day").clicked() {
            out.act(Action::StartPhase(phase.id, Some(today)));
        }
        if phase.finished_on().is_none() && ui.button("Finished on the as-of day").clicked() {
            out.act(Action::FinishPhase(phase.id, Some(today)));
        }
        if phase.actual_finish.is_some() && ui.button("Not finished after all").clicked() {
            out.act(Action::FinishPhase(phase.id, None));
        }
    }
    if phase.not_before.is_some() && ui.button("May begin as soon as it can").clicked() {
        out.act(Action::SetNotBefore(phase.id, None));
    }
    ui.separator();
    if ui.button("Why these dates?").clicked() {
        session.why = Some(WhyTarget::Phase(phase.id));
    }
    if ui.button("Edit phase…").clicked() {
        out.edit(Form::Phase(Some(phase.id)));
    }
    if ui.button("Remove phase").clicked() {
        out.act(Action::RemovePhase(phase.id));
    }
}

/// Draws what is said on hover.
pub fn tooltip(ui: &mut Ui, view: &View<'_>, at: usize) {
    let (phase, f, near) = (&view.project.phases[at], &view.figures.phases[at], view.as_of());
    ui.label(pieces::strong(&phase.name, type_size::BODY));
    if !phase.trade.is_empty() {
        pieces::muted(ui, view.tokens, &phase.trade);
    }
    if let Some(crew) = phase.crew.and_then(|id| view.project.crew(id)) {
        let state = match view.figures.people.booking(at).state {
            Booked::Nobody => String::new(),
            state => format!(", {}", state.words()),
        };
        ui.label(format!("{}{state}", crew.name));
    }
    if let Some(crew) =
        phase.crew.and_then(|id| view.project.crew(id)).filter(|_| phase.finished_on().is_none())
    {
        for range in crew.away.iter().filter(|r| Day::from(r.to) >= near) {
            let days = format::days(range.from.into(), range.to.into(), near);
            ui.label(format!("It is away {days}"));
        }
    }
    if let Some(call) = view.figures.people.call(at) {
        let words = format!("Its crew counts on {}: to call", format::day(call.old, near));
        ui.label(egui::RichText::new(words).color(view.tokens.late));
    }
    if let (Some(start), Some(finish)) = (f.early_start, f.early_finish) {
        ui.label(format!("Plan {} to {}", format::day(start, near), format::day(finish, near)));
    }
    ui.label(format!("Forecast {}", dates_text(view, f)));
    match (phase.finished_on(), f.total_float) {
        (Some(_), _) => {
            ui.label("Finished");
        }
        (None, Some(float)) if float <= 0 => {
            ui.label("Critical: a day lost here is a day lost at the end");
        }
        (None, Some(float)) => {
            ui.label(format!("Can slip {} without moving the finish", format::count(float, "working day")));
        }
        _ => {}
    }
    if f.held_days > 0 {
        let text = format!("Held by deliveries for {}", format::count(f.held_days, "working day"));
        ui.label(egui::RichText::new(text).color(view.tokens.late));
    }
    for held in &f.held_by {
        if let Some(part) = view.figures.parts.get(held.part)
            && let Some((selection, _, document)) = view.project.part(part.id)
        {
            let won = match held.days {
                0 => "another comes on the same day".to_owned(),
                n => format!("{} sooner without it", format::count(n, "working day")),
            };
            let arrives = format::expected(part, near);
            ui.label(format!("{} of {} arrives {arrives}; {won}", document.name, selection.name));
        }
    }
    if f.gate_days > 0 {
        let gates = f.held_by_gates.iter().filter_map(|h| view.project.gates.get(h.gate));
        let names: Vec<&str> = gates.map(|g| g.name.as_str()).collect();
        let days = format::count(f.gate_days, "working day");
        let text = format!("Not ready, held for {days}: {}", names.join(", "));
        ui.label(egui::RichText::new(text).color(view.tokens.late));
    }
    let cautions = crate::model::caution::of_phase(phase, view.project.settings.year_built);
    if !cautions.is_empty() && phase.finished_on().is_none() {
        let titles: Vec<&str> = cautions.iter().map(|c| c.hazard.title()).collect();
        let text = format!("Caution: {}. {}", titles.join(", "), crate::model::caution::WHO_DECIDES);
        ui.add(egui::Label::new(egui::RichText::new(text).color(view.tokens.soon)).wrap());
    }
    for attempt in &phase.attempts {
        let result = attempt.word();
        let on = format::day_short(crate::engine::Day::from(attempt.date), view.as_of());
        ui.label(format!("{on} {result} {}", attempt.note));
    }
    ui.add_space(space::S);
    pieces::muted(
        ui,
        view.tokens,
        "click to see and change it below, drag its bar to begin later, right click for more",
    );
}
