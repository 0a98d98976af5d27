//! The picked phase below the calendar: its days, its links and its inspections, changed in place.

use super::{in_use, links, menus, parts, people};
use crate::engine::PhaseFigures;
use crate::model::visit::Outcome;
use crate::model::{Action, Attempt, LagUnit, Link, LinkId, LinkKind, Phase, PhaseId, PhaseKind};
use crate::ui::format;
use crate::ui::forms::fields;
use crate::ui::session::Session;
use crate::ui::theme::tokens::type_size;
use crate::ui::view::{Form, Outbox, View};
use crate::ui::why::WhyTarget;
use crate::ui::widgets::drop_down::{Picked, drop_down, pick};
use crate::ui::widgets::{date_picker, marks, pieces};
use egui::{Key, Layout, RichText, Role, ScrollArea, Sense, TextEdit, Ui, WidgetInfo, vec2};

/// Height that the calendar keeps above it where there is so much.
const LEAST_CALENDAR: f32 = 72.0;

/// Points the kind of a link takes.
const KIND: f32 = 104.0;

/// Draws the strip, if a phase is picked and not on the card.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    if session.card.beside && session.beside.is_some() {
        return;
    }
    let Some(at) = session.dates.picked.and_then(|id| view.figures.index.of(id.0)) else { return };
    let Some(phase) = view.project.phases.get(at) else { return };
    let frame = egui::Frame::NONE
        .fill(view.tokens.card)
        .stroke(egui::Stroke::new(1.0, view.tokens.line))
        .inner_margin(egui::Margin::symmetric(10, 6));
    // The calendar above is to be seen too where there is little room.
    let least = (ui.available_height() - LEAST_CALENDAR).clamp(90.0, 128.0);
    egui::Panel::bottom("phase_detail")
        .frame(frame)
        .exact_size((ui.available_height() * 0.38).clamp(least, 340.0))
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 3.0;
            title(ui, view, session, phase, at, out);
            ScrollArea::vertical().auto_shrink(false).id_salt("phase_detail").show(ui, |ui| {
                content(ui, view, session, phase, at, out);
                parts::list(ui, view, at, out);
            });
        });
}

/// Everything below the name of a phase, in two columns where there is room.
pub fn content(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    phase: &Phase,
    at: usize,
    out: &mut Outbox,
) {
    let narrow = ui.available_width() < 860.0;
    ui.push_id(phase.id, |ui| {
        let concerns = people::concerns(view, phase);
        if narrow {
            own(ui, view, session, phase, out);
            if concerns {
                people::of_phase(ui, view, session, phase, at, out);
            }
            in_use::of_phase(ui, view, phase, out);
            follows(ui, view, session, phase, out);
        } else {
            ui.columns(2, |columns| {
                let [left, right] = columns else { return };
                own(left, view, session, phase, out);
                if concerns {
                    people::of_phase(left, view, session, phase, at, out);
                }
                in_use::of_phase(left, view, phase, out);
                follows(right, view, session, phase, out);
            });
        }
    });
}

/// When it is, how far it can slip, and why.
pub fn days(ui: &mut Ui, view: &View<'_>, session: &mut Session, phase: &Phase, at: usize) {
    let Some(f) = view.figures.phases.get(at) else { return };
    let words = format!("{}{}", menus::dates_text(view, f), float_words(phase, f));
    ui.add(egui::Label::new(RichText::new(words).color(view.tokens.muted)).wrap());
    if pieces::link(ui, view.tokens, "why these dates?").clicked() {
        session.why = Some(WhyTarget::Phase(phase.id));
    }
    if let Some(fault) = &session.dates.fault {
        ui.add(egui::Label::new(RichText::new(fault).color(view.tokens.late)).wrap());
    }
}

/// How far a phase can slip.
fn float_words(phase: &Phase, f: &PhaseFigures) -> String {
    match (phase.finished_on(), f.total_float) {
        (Some(_), _) | (_, None) => String::new(),
        (_, Some(n)) if n <= 0 => ", critical".to_owned(),
        (_, Some(n)) => format!(", can slip {}", format::count(n, "working day")),
    }
}

fn title(ui: &mut Ui, view: &View<'_>, session: &mut Session, phase: &Phase, at: usize, out: &mut Outbox) {
    let f = &view.figures.phases[at];
    ui.horizontal(|ui| {
        ui.add(egui::Label::new(pieces::strong(&phase.name, 15.0)).truncate());
        ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
            if pieces::icon_button(ui, lucide_icons::Icon::X, "Close the phase").clicked() {
                session.dates.picked = None;
            }
            if ui.button("Edit phase…").clicked() {
                out.edit(Form::Phase(Some(phase.id)));
            }
            let why = pieces::link(ui, view.tokens, "why these dates?");
            if why.clicked() {
                session.why = Some(WhyTarget::Phase(phase.id));
            }
            let words = format!("{}{}", menus::dates_text(view, f), float_words(phase, f));
            ui.add(
                egui::Label::new(RichText::new(words).size(type_size::SMALL).color(view.tokens.muted))
                    .truncate(),
            );
        });
    });
    if let Some(fault) = &session.dates.fault {
        ui.add(egui::Label::new(RichText::new(fault).color(view.tokens.late)).wrap());
    }
}

/// A short field that gives back what was typed once it is left; Escape takes it back.
pub(super) fn field(ui: &mut Ui, name: &str, now: &str, width: f32, hint: &str) -> Option<String> {
    let id = ui.make_persistent_id(("field", name));
    let draft = ui.data(|d| d.get_temp::<String>(id));
    let mut text = draft.unwrap_or_else(|| now.to_owned());
    let field = ui.add(
        TextEdit::singleline(&mut text)
            .id(id.with("edit"))
            .desired_width(width)
            .hint_text(hint)
            .margin(vec2(5.0, 2.0)),
    );
    field.widget_info(|| WidgetInfo::labeled(Role::TextInput, true, name));
    if field.lost_focus() {
        ui.data_mut(|d| d.remove_temp::<String>(id));
        let escaped = ui.input(|i| i.key_pressed(Key::Escape));
        return (!escaped && text != now).then_some(text);
    }
    if field.has_focus() || field.changed() {
        ui.data_mut(|d| d.insert_temp(id, text));
    } else {
        ui.data_mut(|d| d.remove_temp::<String>(id));
    }
    None
}

/// Does what a typed text asks for, or keeps what is wrong with it.
pub(super) fn take(session: &mut Session, out: &mut Outbox, action: Result<Action, String>) {
    match action {
        Ok(action) => {
            session.dates.fault = None;
            out.act(action);
        }
        Err(fault) => session.dates.fault = Some(fault),
    }
}

/// What stands behind a number of them.
fn working_days(n: Option<i32>) -> &'static str {
    if n == Some(1) { "working day" } else { "working days" }
}

fn own(ui: &mut Ui, view: &View<'_>, session: &mut Session, phase: &Phase, out: &mut Outbox) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        ui.label("Lasts");
        if let Some(text) = field(ui, "Working days", &fields::shown(phase.days), 38.0, "?") {
            let days = fields::working_days::<i32>("Working days", &text);
            take(session, out, days.map(|days| Action::PutPhase(Phase { days, ..phase.clone() })));
        }
        ui.label(format!("{}, not before", working_days(phase.days)));
        let shown = fields::shown(phase.not_before);
        if let Some(text) = field(ui, "Not before", &shown, 86.0, "any day") {
            let day = fields::day("Not before", &text);
            take(session, out, day.map(|day| Action::SetNotBefore(phase.id, day)));
        }
        if let Some(day) = date_picker::button(ui, "Not before", phase.not_before).picked {
            out.act(Action::SetNotBefore(phase.id, Some(day)));
        }
    });
    if phase.is_under_way() {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0;
            ui.label("Begun,");
            if let Some(text) = field(ui, "Days left", &fields::shown(phase.days_left), 38.0, "?") {
                let left = fields::working_days::<i32>("Days left", &text);
                take(session, out, left.map(|left| Action::SetDaysLeft(phase.id, left)));
            }
            ui.label(format!("{} left from the as-of day", working_days(phase.days_left)));
        });
    }
    if phase.kind == PhaseKind::Inspection {
        attempts(ui, view, session, phase, out);
    }
    let f = view.figures.phase(phase.id);
    if let Some(held) = f.filter(|f| f.held_days > 0) {
        for one in &held.held_by {
            let Some(part) = view.figures.parts.get(one.part) else { continue };
            let Some((selection, _, document)) =
                crate::ui::areas::house::ledger_facts::part_at(view.project, view.figures, one.part)
            else {
                continue;
            };
            let name = if document.name == selection.name {
                selection.name.clone()
            } else {
                format!("{} of {}", document.name, selection.name)
            };
            let words = format!(
                "held {} by {name}, which arrives {}",
                format::count(held.held_days, "working day"),
                format::expected(part, view.as_of())
            );
            ui.horizontal(|ui| {
                let (mark, _) = ui.allocate_exact_size(vec2(12.0, 14.0), Sense::hover());
                marks::triangle(ui.painter(), mark.center(), view.tokens.late);
                let button =
                    egui::Button::new(RichText::new(words).color(view.tokens.late)).frame(false).truncate();
                if ui.add(button).clicked() {
                    out.show(crate::model::Subject::Part(part.id));
                }
            });
        }
    }
}

fn attempts(ui: &mut Ui, view: &View<'_>, session: &mut Session, phase: &Phase, out: &mut Outbox) {
    let tokens = view.tokens;
    for (i, attempt) in phase.attempts.iter().enumerate() {
        ui.horizontal(|ui| {
            let (mark, _) = ui.allocate_exact_size(vec2(12.0, 14.0), Sense::hover());
            let tone = match attempt.outcome() {
                Outcome::Passed => tokens.good,
                Outcome::Failed => tokens.late,
                Outcome::Booked => tokens.text,
            };
            match attempt.outcome() {
                Outcome::Passed => marks::check(ui.painter(), mark.center(), tone),
                Outcome::Failed => marks::cross(ui.painter(), mark.center(), tone),
                Outcome::Booked => {}
            }
            let word = attempt.word();
            let on = format::day_short(crate::engine::Day::from(attempt.date), view.as_of());
            ui.label(RichText::new(format!("{word} {on}")).color(tone));
            if attempt.failed() {
                let due = attempt.correct_by.map_or("corrections have no date".to_owned(), |d| {
                    format!("correct by {}", format::day_short(crate::engine::Day::from(d), view.as_of()))
                });
                let words = if attempt.note.is_empty() { due } else { format!("{}; {due}", attempt.note) };
                pieces::cell(ui, &words, tokens.muted).on_hover_text(&words);
            }
            let gone = pieces::icon_button(ui, lucide_icons::Icon::X, &format!("Remove the visit of {on}"));
            if gone.clicked() {
                let mut changed = phase.clone();
                changed.attempts.remove(i);
                take(session, out, Ok(Action::PutPhase(changed)));
            }
        });
    }
    if phase.finished_on().is_none() {
        ui.horizontal(|ui| {
            let visit = |passed| {
                let date = view.as_of().date();
                Attempt::new(date, passed)
            };
            if ui.button("Passed today").on_hover_text("On the as-of day").clicked() {
                out.act(Action::RecordAttempt(phase.id, visit(true)));
            }
            if ui
                .button("Failed today")
                .on_hover_text("On the as-of day; say what to correct in Edit phase")
                .clicked()
            {
                out.act(Action::RecordAttempt(phase.id, visit(false)));
            }
            ui.label("or book it for");
            let shown = fields::shown(phase.booked_visit());
            if let Some(text) = field(ui, "Book the visit for", &shown, 86.0, "day") {
                match fields::day("Book the visit for", &text) {
                    Ok(Some(day)) => {
                        let booked = Action::RecordAttempt(phase.id, Attempt::booked(day));
                        take(session, out, Ok(booked));
                    }
                    Ok(None) => {}
                    Err(why) => take(session, out, Err(why)),
                }
            }
        });
    }
}

fn follows(ui: &mut Ui, view: &View<'_>, session: &mut Session, phase: &Phase, out: &mut Outbox) {
    pieces::group_title(ui, view.tokens, "Waits for");
    for link in view.project.links.iter().filter(|l| l.after == phase.id) {
        ui.push_id(link.id, |ui| link_row(ui, view, session, link, out));
    }
    ui.horizontal(|ui| {
        let candidates = view.project.phases.iter().filter(|p| {
            p.id != phase.id && !view.project.links.iter().any(|l| l.before == p.id && l.after == phase.id)
        });
        let (lines, phases): (Vec<(&str, bool)>, Vec<PhaseId>) =
            candidates.map(|other| ((other.name.as_str(), false), other.id)).unzip();
        let (_, picked) = pick(ui, "Wait for another phase", "+ another phase", 150.0, &lines, None);
        let wanted = match picked {
            Some(Picked::Line(at)) => phases.get(at).copied(),
            _ => None,
        };
        if let Some(before) = wanted {
            let link = Link {
                id: LinkId(view.project.next_id),
                before,
                after: phase.id,
                kind: LinkKind::FS,
                lag: 0,
                unit: LagUnit::Working,
            };
            out.act(Action::PutLink(link));
        }
    });
}

fn link_row(ui: &mut Ui, view: &View<'_>, session: &mut Session, link: &Link, out: &mut Outbox) {
    let name = view.project.phase(link.before).map_or("", |p| p.name.as_str());
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        let shown = egui::Button::new(name).frame(false).truncate();
        let width = (ui.available_width() - 200.0 - KIND).clamp(60.0, 220.0);
        let go = ui.allocate_ui(vec2(width, 22.0), |ui| {
            ui.set_width(width);
            ui.add(shown)
        });
        if go.inner.clicked() {
            session.show_phase(Some(link.before));
        }
        let mut changed = link.clone();
        drop_down(ui, &format!("Kind of link from {name}"), links::kind_words(link.kind), KIND, |ui| {
            for (_, kind) in LinkKind::ALL {
                ui.selectable_value(&mut changed.kind, kind, kind_words(kind));
            }
        })
        .on_hover_text(kind_words(link.kind));
        if let Some(text) = field(ui, &format!("Lag after {name}"), &link.lag.to_string(), 34.0, "") {
            match fields::whole::<i32>("Lag", &text) {
                Ok(lag) => changed.lag = lag.unwrap_or(0),
                Err(fault) => session.dates.fault = Some(fault),
            }
        }
        let unit = if link.unit == LagUnit::Elapsed { "calendar" } else { "working" };
        drop_down(ui, &format!("Unit of the lag after {name}"), unit, 76.0, |ui| {
            ui.selectable_value(&mut changed.unit, LagUnit::Working, "working days");
            ui.selectable_value(&mut changed.unit, LagUnit::Elapsed, "calendar days, to cure or dry");
        });
        if pieces::icon_button(ui, lucide_icons::Icon::X, &format!("No longer wait for {name}")).clicked() {
            out.act(Action::RemoveLink(link.id));
        } else if changed != *link {
            take(session, out, Ok(Action::PutLink(changed)));
        }
    });
}

/// What a kind of link ties, with what that means.
fn kind_words(kind: LinkKind) -> &'static str {
    match kind {
        LinkKind::FS => "finish to start: begins when it is done",
        LinkKind::SS => "start to start: begins when it begins",
        LinkKind::FF => "finish to finish: is done when it is done",
        LinkKind::SF => "start to finish: is done when it begins",
    }
}
