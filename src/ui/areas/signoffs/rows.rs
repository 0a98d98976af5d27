//! The pieces of a phase in Sign-offs: conditions, visits of the inspector, corrections and cautions.

use super::{State, mark};
use crate::engine::Day;
use crate::engine::gates::{GateFigures, Lack, Missing, condition_text};
use crate::model::visit::Outcome;
use crate::model::{Action, Attempt, Condition, Correction, Gate, Need, Phase, PhaseKind, Subject, caution};
use crate::ui::format;
use crate::ui::forms::fields;
use crate::ui::session::Session;
use crate::ui::shell::modals;
use crate::ui::theme::{
    self, Tokens,
    tokens::{space, type_size},
};
use crate::ui::view::{Form, Outbox, Request, View};
use crate::ui::widgets::{cautions::caution_text, pieces};
use egui::{Align2, Color32, Label, RichText, Sense, Ui, WidgetInfo, vec2};

/// A button like a link whose name says what it is about.
fn named_link(ui: &mut Ui, view: &View<'_>, text: &str, name: String) -> egui::Response {
    let link = pieces::link(ui, view.tokens, text);
    link.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, name.clone()));
    link
}

fn small(ui: &mut Ui, text: impl Into<String>, color: egui::Color32) {
    ui.add(Label::new(RichText::new(text).size(type_size::SMALL).color(color)).wrap());
}

/// A gate with its conditions.
pub fn gate(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    gate: &Gate,
    figures: &GateFigures,
    out: &mut Outbox,
) {
    ui.add_space(2.0);
    ui.horizontal(|ui| {
        let name =
            ui.add(egui::Button::new(pieces::strong(&gate.name, type_size::BODY)).frame(false).truncate());
        let name = name.on_hover_text("What it needs; right click for more");
        if name.clicked() {
            out.push(Request::Pick(Subject::Gate(gate.id)));
        }
        name.context_menu(|ui| {
            if ui.button("Remove gate").clicked() {
                out.act(Action::RemoveGate(gate.id));
            }
        });
        let (word, color) = gate_word(figures, view.tokens);
        small(ui, word, color);
    });
    conditions(ui, view, session, gate, figures, out);
}

/// How a gate stands, in a word with its tone. One that has nothing to look at is neither ready nor not.
pub fn gate_word(figures: &GateFigures, tokens: &Tokens) -> (&'static str, Color32) {
    match figures.is_ready() {
        true if figures.nothing => ("nothing to check yet", tokens.muted),
        true => ("ready", tokens.good),
        false => ("not ready", tokens.soon),
    }
}

/// What a gate needs, and where it comes from.
pub fn conditions(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    gate: &Gate,
    figures: &GateFigures,
    out: &mut Outbox,
) {
    if !gate.source.is_empty() {
        small(ui, &gate.source, view.tokens.muted);
    }
    for (i, condition) in gate.conditions.iter().enumerate() {
        let missing: Vec<&Missing> = figures.of(i).collect();
        let unlisted = figures.unlisted.contains(&i);
        self::condition(ui, view, session, gate, (condition, unlisted), &missing, out);
    }
}

fn condition(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    gate: &Gate,
    (condition, unlisted): (&Condition, bool),
    missing: &[&Missing],
    out: &mut Outbox,
) {
    let tokens = view.tokens;
    ui.horizontal_top(|ui| {
        let open = !missing.is_empty();
        let state = match (unlisted, open) {
            (true, _) => State::Nothing,
            (false, true) => State::NotReady,
            (false, false) => State::Done,
        };
        mark(ui, state, tokens);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            let text = condition_text(view.project, condition);
            let color = if open { tokens.text } else { tokens.muted };
            let done = match state {
                State::Nothing => ": nothing is listed yet",
                State::Done => ": done",
                _ => "",
            };
            ui.add(Label::new(RichText::new(format!("{text}{done}")).color(color)).wrap());
            for lack in missing {
                missing_line(ui, view, gate, condition, lack, out);
            }
            if let Need::Confirmed { said_by, said_on, .. } = &condition.need {
                match said_on {
                    Some(on) => {
                        ui.horizontal_wrapped(|ui| {
                            let on = format::day_short(Day::from(*on), view.as_of());
                            small(ui, format!("{said_by} said so on {on}"), tokens.muted);
                            let name = format!("Take back: {text}");
                            if named_link(ui, view, "take back", name).clicked() {
                                out.act(Action::Confirm(condition.id, None));
                            }
                        });
                    }
                    None => confirm(ui, view, session, condition, &text, out),
                }
            }
        });
    });
}

/// What is missing, who sees to it, by when, and when it is expected; a click leads there.
fn missing_line(
    ui: &mut Ui,
    view: &View<'_>,
    gate: &Gate,
    condition: &Condition,
    missing: &Missing,
    out: &mut Outbox,
) {
    let tokens = view.tokens;
    let who = missing.who(view.project, gate);
    let mut notes = Vec::new();
    if !who.is_empty() {
        notes.push(who);
    }
    let mut late = false;
    if let Some(by) = condition.by.map(Day::from) {
        late = missing.expected.is_some_and(|d| d > by);
        notes.push(format!("by {}", format::day_short(by, view.as_of())));
    }
    match missing.expected {
        Some(day) => notes.push(format!("expected {}", format::day_short(day, view.as_of()))),
        None => notes.push("no day can be told".to_owned()),
    }
    if missing.circle {
        notes.push("waits in a circle, so it is left out".to_owned());
        late = true;
    }
    if late {
        notes.push("late".to_owned());
    }
    let color = if late { tokens.late } else { tokens.muted };
    if let Lack::Phase(at) = missing.what {
        // The condition has named the phase already.
        ui.horizontal_wrapped(|ui| {
            small(ui, notes.join(", "), color);
            let name = view.project.phases.get(at).map_or("", |p| &p.name);
            if named_link(ui, view, "show", format!("Show {name}")).clicked() {
                out.show(missing.subject(view.project, gate));
            }
        });
        return;
    }
    if missing.what != Lack::Word {
        let text = missing.text(view.project, gate);
        let link = RichText::new(&text).size(type_size::SMALL).color(tokens.accent);
        let link = ui.add(egui::Button::new(link).frame(false).wrap());
        if link.on_hover_cursor(egui::CursorIcon::PointingHand).clicked() {
            out.show(missing.subject(view.project, gate));
        }
    }
    small(ui, notes.join(", "), color);
}

/// A link that opens two fields, who and when; then the confirmation itself.
fn confirm(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    condition: &Condition,
    text: &str,
    out: &mut Outbox,
) {
    let state = &mut session.sign_offs;
    let Some((_, who, on)) = state.confirming.as_mut().filter(|(id, _, _)| *id == condition.id) else {
        if named_link(ui, view, "confirm…", format!("Confirm: {text}")).clicked() {
            state.confirming = Some((condition.id, condition.who.clone(), view.as_of().to_string()));
            state.fault = None;
        }
        return;
    };
    let mut said = None;
    let mut cancel = false;
    ui.horizontal_wrapped(|ui| {
        let said_by = ui.add(egui::TextEdit::singleline(who).desired_width(120.0).hint_text("who said so"));
        let said_on = ui.add(egui::TextEdit::singleline(on).desired_width(100.0));
        fields::pick_day(ui, "Said on", on);
        let escaped = [&said_by, &said_on].map(modals::escaped_field).contains(&true);
        said_by.on_hover_text("Who said so");
        said_on.on_hover_text("Said on, 2026-12-17 or Dec 17");
        if ui.button("Confirm").clicked() {
            said = Some((who.trim().to_owned(), fields::needed_day("Said on", on)));
        }
        let wish = ui.button("Cancel").clicked() || escaped;
        let touched = *who != condition.who || *on != view.as_of().to_string();
        cancel = modals::may_close(ui.ctx(), "confirming", wish, touched);
    });
    match said {
        Some((who, _)) if who.is_empty() => state.fault = Some("Write who said so.".to_owned()),
        Some((_, Err(why))) => state.fault = Some(why),
        Some((who, Ok(on))) => {
            out.act(Action::Confirm(condition.id, Some((who, on))));
            cancel = true;
        }
        None => {}
    }
    if let Some(fault) = &state.fault {
        small(ui, fault, view.tokens.late);
    }
    if cancel {
        (state.confirming, state.fault) = (None, None);
    }
}

/// What the links put before an inspection and is not finished, where no gate says so already.
fn waits_for(ui: &mut Ui, view: &View<'_>, phase: &Phase, out: &mut Outbox) {
    let project = view.project;
    let said = |id| {
        let own = project.gates.iter().filter(|g| g.phase == phase.id);
        own.flat_map(|g| &g.conditions).any(|c| c.need == Need::Finished(id))
    };
    let before = project.links.iter().filter(|l| l.after == phase.id && !said(l.before));
    for before in before.filter_map(|l| project.phase(l.before)).filter(|p| p.finished_on().is_none()) {
        ui.horizontal_top(|ui| {
            mark(ui, State::NotReady, view.tokens);
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 1.0;
                let done = if before.kind == PhaseKind::Inspection { "passed" } else { "finished" };
                ui.add(Label::new(format!("{} {done}", before.name)).wrap());
                ui.horizontal_wrapped(|ui| {
                    let day = view.figures.phase(before.id).and_then(|f| f.forecast_finish);
                    let day = day.map_or("no day can be told".to_owned(), |d| {
                        format!("expected {}", format::day_short(d, view.as_of()))
                    });
                    let trade =
                        if before.trade.is_empty() { String::new() } else { format!("{}, ", before.trade) };
                    small(ui, format!("{trade}{day}"), view.tokens.muted);
                    if named_link(ui, view, "show", format!("Show {}", before.name)).clicked() {
                        out.show(Subject::Phase(before.id));
                    }
                });
            });
        });
    }
}

/// The shape of a visit that is booked: a day, and nothing that looks passed.
fn booked(ui: &mut Ui, tokens: &Tokens) {
    let (rect, _) = ui.allocate_exact_size(vec2(16.0, 18.0), Sense::hover());
    let icon = char::from(lucide_icons::Icon::CalendarDays);
    ui.painter().text(rect.center(), Align2::CENTER_CENTER, icon, theme::icon_font(14.0), tokens.accent);
}

/// Visits so far, and what is to be corrected.
pub fn inspection(ui: &mut Ui, view: &View<'_>, phase: &Phase, out: &mut Outbox) {
    let tokens = view.tokens;
    let near = view.as_of();
    if phase.finished_on().is_none() {
        waits_for(ui, view, phase, out);
    }
    for attempt in &phase.attempts {
        ui.horizontal_top(|ui| {
            match attempt.outcome() {
                Outcome::Passed => mark(ui, State::Done, tokens),
                Outcome::Failed => mark(ui, State::Failed, tokens),
                Outcome::Booked => booked(ui, tokens),
            }
            let result = attempt.word();
            let note = if attempt.note.is_empty() { String::new() } else { format!(": {}", attempt.note) };
            let by = attempt.correct_by.map(Day::from);
            let by = by.map_or(String::new(), |d| format!("; correct by {}", format::day_short(d, near)));
            let on = format::day_short(Day::from(attempt.date), near);
            ui.add(Label::new(format!("Visit {on} {result}{note}{by}")).wrap());
        });
    }
    for correction in view.project.corrections.iter().filter(|c| c.phase == phase.id) {
        self::correction(ui, view, phase, correction, out);
    }
}

fn correction(ui: &mut Ui, view: &View<'_>, phase: &Phase, correction: &Correction, out: &mut Outbox) {
    let (tokens, near) = (view.tokens, view.as_of());
    let short = |d| format::day_short(Day::from(d), near);
    ui.horizontal_top(|ui| {
        mark(ui, if correction.done.is_some() { State::Done } else { State::NotReady }, tokens);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            let what = RichText::new(format!("Correction: {}", correction.what));
            let what =
                ui.add(egui::Button::new(what).frame(false).wrap().min_size(egui::vec2(0.0, pieces::LEAST)));
            if what.clicked() {
                out.edit(Form::Correction(Some(correction.id), phase.id));
            }
            what.context_menu(|ui| {
                if ui.button("Remove correction").clicked() {
                    out.act(Action::RemoveCorrection(correction.id));
                }
            });
            let mut notes = Vec::new();
            if !correction.trade.is_empty() {
                notes.push(correction.trade.clone());
            }
            match (correction.done, correction.due) {
                (Some(done), _) => notes.push(format!("done {}", short(done))),
                (None, Some(due)) => notes.push(format!("due {}", short(due))),
                (None, None) => notes.push("no due day".to_owned()),
            }
            let late = correction.done.is_none() && correction.due.is_some_and(|d| Day::from(d) < near);
            if late {
                notes.push("overdue".to_owned());
            }
            ui.horizontal_wrapped(|ui| {
                small(ui, notes.join(", "), if late { tokens.late } else { tokens.muted });
                if let Some(fix) = correction.fix_phase.and_then(|id| view.project.phase(id)) {
                    let state = if fix.finished_on().is_some() { "finished" } else { "waits for it" };
                    let text = format!("within {} ({state})", fix.name);
                    if pieces::link(ui, tokens, &text).clicked() {
                        out.show(Subject::Phase(fix.id));
                    }
                }
                let name = format!("Done: {}", correction.what);
                match correction.done {
                    None if named_link(ui, view, "mark done", name).clicked() => {
                        out.act(Action::MarkCorrected(correction.id, Some(near.date())));
                    }
                    Some(_) if pieces::link(ui, tokens, "not done after all").clicked() => {
                        out.act(Action::MarkCorrected(correction.id, None));
                    }
                    _ => {}
                }
            });
        });
    });
}

/// What can be done for a phase, on one line: note a visit, add a correction or a gate, go to its dates.
pub fn links(ui: &mut Ui, view: &View<'_>, session: &mut Session, phase: &Phase, out: &mut Outbox) {
    let state = &mut session.sign_offs;
    ui.horizontal_wrapped(|ui| {
        if phase.kind == PhaseKind::Inspection && phase.finished_on().is_none() {
            if named_link(ui, view, "note a visit…", format!("Note a visit for {}", phase.name)).clicked() {
                state.visiting = Some((phase.id, view.as_of().to_string(), String::new()));
                state.fault = None;
            }
            let name = format!("Add a correction for {}", phase.name);
            if named_link(ui, view, "+ add a correction", name).clicked() {
                out.edit(Form::Correction(None, phase.id));
            }
        }
        let name = format!("Add a gate before {}", phase.name);
        if named_link(ui, view, "+ add a gate before it", name).clicked() {
            out.edit(Form::Gate(None, Some(phase.id)));
        }
        let name = format!("Show {} in Dates", phase.name);
        if named_link(ui, view, "show in Dates", name).clicked() {
            out.show(Subject::Phase(phase.id));
        }
    });
}

/// The fields of a visit while it is being noted.
pub fn visit(ui: &mut Ui, view: &View<'_>, session: &mut Session, phase: &Phase, out: &mut Outbox) {
    let state = &mut session.sign_offs;
    let Some((_, on, note)) = state.visiting.as_mut().filter(|(id, _, _)| *id == phase.id) else { return };
    let mut result = None;
    let mut cancel = false;
    ui.horizontal_wrapped(|ui| {
        let day = ui.add(egui::TextEdit::singleline(on).desired_width(100.0));
        fields::pick_day(ui, "Day of the visit", on);
        let said = ui.add(egui::TextEdit::singleline(note).desired_width(160.0).hint_text("what was said"));
        let escaped = [&day, &said].map(modals::escaped_field).contains(&true);
        day.on_hover_text("Day of the visit, 2026-12-17 or Dec 17");
        said.on_hover_text("What was said");
        if ui.button("Passed").clicked() {
            result = Some(Outcome::Passed);
        }
        if ui.button("Failed").clicked() {
            result = Some(Outcome::Failed);
        }
        if ui
            .button("Booked")
            .on_hover_text("The office has said yes to that day; nothing has been looked at")
            .clicked()
        {
            result = Some(Outcome::Booked);
        }
        let wish = ui.button("Cancel").clicked() || escaped;
        let touched = !note.is_empty() || *on != view.as_of().to_string();
        cancel = modals::may_close(ui.ctx(), "visit", wish, touched);
    });
    if let Some(result) = result {
        match fields::needed_day("Day of the visit", on) {
            Ok(date) => {
                let attempt = Attempt {
                    date,
                    passed: result == Outcome::Passed,
                    booked: result == Outcome::Booked,
                    note: note.trim().to_owned(),
                    correct_by: None,
                };
                out.act(Action::RecordAttempt(phase.id, attempt));
                cancel = true;
            }
            Err(why) => state.fault = Some(why),
        }
    }
    if let Some(fault) = &state.fault {
        small(ui, fault, view.tokens.late);
    }
    if cancel {
        (state.visiting, state.fault) = (None, None);
    }
}

/// The cautions of a phase by name, laid out on a click.
pub fn cautions(ui: &mut Ui, view: &View<'_>, session: &mut Session, phase: &Phase) {
    let found = caution::of_phase(phase, view.project.settings.year_built);
    if found.is_empty() || phase.finished_on().is_some() {
        return;
    }
    let open = session.sign_offs.cautions.contains(&phase.id);
    let titles: Vec<&str> = found.iter().map(|c| c.hazard.title()).collect();
    let text = format!("Caution: {} ({})", titles.join(", "), if open { "hide" } else { "read" });
    let label = RichText::new(text).size(type_size::SMALL).color(view.tokens.soon);
    let line = ui.add(egui::Button::new(label).frame(false).wrap());
    if line.on_hover_cursor(egui::CursorIcon::PointingHand).clicked() {
        if open {
            session.sign_offs.cautions.remove(&phase.id);
        } else {
            session.sign_offs.cautions.insert(phase.id);
        }
    }
    if open {
        for caution in &found {
            caution_text(ui, view.tokens, caution);
            ui.add_space(space::S);
        }
    }
}
