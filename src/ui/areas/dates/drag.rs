//! Dragging a bar sets the day before which its phase is not to begin. Ghosts show the days that it and
//! all behind it would have, and the strip at the top the finish; the document follows once the bar is let go.

use super::bars;
use crate::engine::{Day, PhaseFigures};
use crate::model::{Action, Phase};
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::{self, tokens::type_size};
use crate::ui::view::{Outbox, View};
use crate::ui::widgets::axis::TimeAxis;
use chrono::NaiveDate;
use egui::{Align2, CursorIcon, Key, Painter, Rect, Response, Sense, Stroke, StrokeKind, Ui, vec2};

/// What letting the bar go here would do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dropped {
    /// The phase is not to begin before this day.
    NotBefore(Day),
    /// The phase may begin as soon as it can.
    Free,
    /// Nothing: something else keeps the phase where it is.
    Kept,
}

impl Dropped {
    /// The day before which the phase would not begin, or that there would be none; `None` where nothing would be done.
    fn day(self) -> Option<Option<NaiveDate>> {
        match self {
            Dropped::NotBefore(day) => Some(Some(day.date())),
            Dropped::Free => Some(None),
            Dropped::Kept => None,
        }
    }
}

/// Where a bar dragged by a number of days is dropped.
pub fn dropped(view: &View<'_>, phase: &Phase, f: &PhaseFigures, by: i32) -> Dropped {
    let Some(start) = f.forecast_start else { return Dropped::Kept };
    let day = view.figures.days.work().roll_forward(start.plus(by));
    if by == 0 || day == start {
        return Dropped::Kept;
    }
    match (by < 0, phase.not_before) {
        (true, None) => Dropped::Kept,
        (true, Some(_)) if day <= view.as_of() => Dropped::Free,
        _ => Dropped::NotBefore(day),
    }
}

/// The bar as a handle. Gives back its response where there is one.
#[expect(
    clippy::too_many_arguments,
    reason = "a handle needs its phase, its place and where to ask for change"
)]
pub fn ui(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    phase: &Phase,
    f: &PhaseFigures,
    row: Rect,
    axis: &TimeAxis,
    painter: &Painter,
    out: &mut Outbox,
) -> Option<Response> {
    let place = bars::place(phase, f, row.top(), axis)?;
    let begun = phase.actual_start.is_some() || phase.finished_on().is_some();
    if begun {
        return None;
    }
    let handle =
        place.expand2(vec2(if place.width() < 12.0 { 7.0 } else { 0.0 }, 2.0)).intersect(painter.clip_rect());
    if !handle.is_positive() {
        return None;
    }
    let id = egui::Id::unique(("phase_bar", phase.id));
    // From the keyboard the row is worked with, and the day is typed.
    let response = ui.interact(handle, id, Sense::CLICK | Sense::DRAG);
    let response = response.on_hover_cursor(CursorIcon::Grab);
    if response.drag_started() {
        session.dates.drag = Some((phase.id, 0.0));
    }
    let Some((_, moved)) = session.dates.drag.filter(|(id, _)| *id == phase.id) else {
        return Some(response);
    };
    let moved = moved + response.drag_delta().x;
    session.dates.drag = Some((phase.id, moved));
    if ui.input(|i| i.key_pressed(Key::Escape)) {
        (session.dates.drag, session.dates.would) = (None, None);
        ui.ctx().stop_dragging();
        return Some(response);
    }
    let by = (moved / axis.day_width()).round() as i32;
    let dropped = dropped(view, phase, f, by);
    session.dates.would = dropped.day().map(|day| (phase.id, day));
    if response.drag_stopped() || !(response.dragged() || response.drag_started()) {
        (session.dates.drag, session.dates.would) = (None, None);
        if let Some(day) = dropped.day() {
            out.act(Action::SetNotBefore(phase.id, day));
        }
        return Some(response);
    }
    ghost(painter, view, place, axis, (phase, f), dropped, by);
    ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
    Some(response)
}

/// The outline of the bar where it would be dropped, with the day in words.
fn ghost(
    painter: &Painter,
    view: &View<'_>,
    place: Rect,
    axis: &TimeAxis,
    (phase, f): (&Phase, &PhaseFigures),
    dropped: Dropped,
    by: i32,
) {
    let tokens = view.tokens;
    let (day, words, tone) = match dropped {
        Dropped::NotBefore(day) => {
            (day, format!("not before {}", format::day(day, view.as_of())), tokens.accent)
        }
        Dropped::Free => (view.as_of(), "as soon as it can".to_owned(), tokens.accent),
        Dropped::Kept if by == 0 => return,
        Dropped::Kept => {
            let Some(start) = f.forecast_start else { return };
            (start.plus(by), "what it waits for keeps it".to_owned(), tokens.late)
        }
    };
    let ghost = Rect::from_min_size(egui::pos2(axis.at(day), place.top()), place.size().max(vec2(6.0, 6.0)));
    painter.rect_stroke(ghost, 2.0, Stroke::new(1.6, tone), StrokeKind::Outside);
    let font = theme::strong(type_size::SMALL);
    let galley = painter.layout_no_wrap(words, font, tone);
    let at = Align2::LEFT_CENTER.anchor_size(ghost.right_center() + vec2(8.0, 0.0), galley.size());
    painter.rect(at.expand(3.0), 3.0, tokens.card, Stroke::new(1.0, tone), StrokeKind::Outside);
    painter.galley(at.min, galley, tone);
    let dropping = dropped.day().and_then(|day| view.derived.dropped(view.project, phase.id, day));
    let Some(dropping) = dropping else { return };
    let finish = dropping.preview.finish.zip(view.figures.finish_moves(dropping.preview.finish));
    let finish = finish.map(|(day, by)| {
        let moved = format::moved(by, "working day");
        let moved = moved.map_or(", as now".to_owned(), |moved| format!(", {moved}"));
        format!("finish {}{moved}", format::day_short(day, view.as_of()))
    });
    let without = dropping.without.iter().map(|changed| format::days_in(&changed.words, view.as_of()));
    let mut top = at.bottom() + 8.0;
    for words in finish.into_iter().chain(without) {
        let galley = painter.layout_no_wrap(words, theme::regular(type_size::SMALL), tokens.text);
        let at = Rect::from_min_size(egui::pos2(at.left(), top), galley.size());
        painter.rect(at.expand(3.0), 3.0, tokens.card, Stroke::new(1.0, tokens.line), StrokeKind::Outside);
        painter.galley(at.min, galley, tokens.text);
        top = at.bottom() + 8.0;
    }
}
