//! The row of a phase: its bar with what belongs to it, its name, and what a pointer or a key does there.

use super::{bars, drag, menus};
use crate::engine::Day;
use crate::engine::PhaseFigures;
use crate::model::{Phase, PhaseKind, Subject};
use crate::ui::session::Session;
use crate::ui::theme::{self, tokens::type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::axis::TimeAxis;
use crate::ui::widgets::{marks, motion, pieces};
use egui::{
    Align2, AreaState, Color32, Painter, Rangef, Rect, RectAlign, Response, Sense, Stroke, Tooltip, Ui,
};
use egui::{pos2, vec2};

/// What rows are drawn on.
pub struct Scene<'a, 'v> {
    /// What is drawn.
    pub view: &'a View<'v>,
    /// The days.
    pub axis: &'a TimeAxis,
    /// Draws within the calendar alone.
    pub painter: &'a Painter,
    /// Points the names take.
    pub names: f32,
    /// The phase that is picked.
    pub picked: Option<usize>,
}

impl Scene<'_, '_> {
    /// Draws a phase into its row.
    pub fn row(&mut self, ui: &mut Ui, session: &mut Session, at: usize, rect: Rect, out: &mut Outbox) {
        let (view, painter, axis) = (self.view, self.painter, self.axis);
        let tokens = view.tokens;
        let (Some(phase), Some(f)) = (view.project.phases.get(at), view.figures.phases.get(at)) else {
            return;
        };
        let place = self.hit(rect);
        let response = ui.interact(place, egui::Id::unique(("phase_row", phase.id)), Sense::click());
        response.widget_info(|| {
            let spoken = format!("{}, {}{}", phase.name, menus::dates_text(view, f), menus::gate_words(f));
            egui::WidgetInfo::labeled(egui::Role::Button, true, spoken)
        });
        let picked = self.picked == Some(at);
        let lit = response.hovered() || response.has_focus();
        if lit && !picked {
            painter.rect_filled(rect, 0.0, tokens.hovered.gamma_multiply(0.8));
        }
        painter.hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, tokens.line.gamma_multiply(0.4)));
        if let Some(kept) = view.derived.kept_phase(view.project, at) {
            bars::agreed(painter, view, kept, rect, axis);
        }
        let slid = self.slide(ui, phase, f, rect);
        bars::bar(painter, view, phase, f, rect, slid.as_ref().unwrap_or(axis));
        let candidate = || session.hovered_option.and_then(|id| view.derived.ghost(view.project, id, at));
        // The bar that is dragged has an outline of its own.
        let is_dragged = session.dates.drag.is_some_and(|(dragged, _)| dragged == phase.id);
        let behind = || session.dates.dropping(view).filter(|_| !is_dragged)?.ghost(at);
        if let Some(ghost) = candidate().or_else(behind) {
            bars::ghost(painter, ghost, rect, axis, tokens.accent);
        }
        if let Some(day) = phase.not_before.filter(|_| phase.finished_on().is_none()) {
            let foot = pos2(axis.at(Day::from(day)), rect.top() + bars::MIDDLE + 9.0);
            marks::not_before(painter, foot, 17.0, tokens.accent);
        }
        if phase.kind == PhaseKind::Inspection {
            for attempt in &phase.attempts {
                // The latest one that passed is in the bar itself.
                let center = pos2(axis.at(Day::from(attempt.date)), rect.bottom() - 7.0);
                if attempt.failed() {
                    marks::cross(painter, center, tokens.late_fill);
                }
            }
        }
        self.part_marks(ui, at, rect);
        let bar = drag::ui(ui, view, session, phase, f, rect, axis, painter, out);
        // The name stays in view while the calendar scrolls sideways.
        let name = Rect::from_min_size(rect.min, vec2(self.names, rect.height()));
        let fill = match (picked, lit) {
            (true, _) => tokens.picked,
            (_, true) => tokens.hovered,
            _ => tokens.work,
        };
        name_cell(&ui.painter_at(name), name, (phase, view.figures.days_of(at)), f, fill, tokens);
        let clicked = response.clicked() || bar.as_ref().is_some_and(egui::Response::clicked);
        let doubled = response.double_clicked() || bar.as_ref().is_some_and(egui::Response::double_clicked);
        if doubled {
            out.edit(Form::Phase(Some(phase.id)));
        } else if clicked {
            session.dates.picked = if picked { None } else { Some(phase.id) };
            session.beside = session.dates.picked.map(Subject::Phase);
            session.dates.fault = None;
        }
        self.follow_focus(ui, &response, rect);
        for response in [Some(response), bar].into_iter().flatten() {
            response.context_menu(|ui| menus::menu(ui, view, session, phase, out));
            if session.dates.drag.is_some() {
                continue;
            }
            tooltip(ui, &response, rect).show(|ui| {
                let over = self.over_parts(ui, Some(&[at]), rect);
                if over.is_empty() {
                    menus::tooltip(ui, view, at);
                } else {
                    over.iter().for_each(|words| {
                        ui.label(words);
                    });
                }
            });
        }
    }
}

impl Scene<'_, '_> {
    /// Where a row takes the pointer: nowhere while it lies behind what stands above the rows, from where only the
    /// keyboard brings it to view.
    pub fn hit(&self, row: Rect) -> Rect {
        let hidden = row.bottom() <= self.painter.clip_rect().top() + 0.5;
        if hidden { Rect::from_min_size(row.min, vec2(row.width(), 0.0)) } else { row }
    }

    /// What has got the keyboard is brought to view, below what stands above the rows: they can be gone through one by one.
    pub fn follow_focus(&self, ui: &Ui, response: &Response, row: Rect) {
        if response.gained_focus() {
            let above = self.painter.clip_rect().top() - ui.clip_rect().top();
            ui.scroll_to_rect(Rect::from_min_max(row.min - vec2(0.0, above.max(0.0)), row.max), None);
        }
    }

    /// The axis of a bar that slides to where it belongs, and the ghost it leaves behind; none while nothing moves.
    fn slide(&self, ui: &Ui, phase: &Phase, f: &PhaseFigures, rect: Rect) -> Option<TimeAxis> {
        let (start, finish) = (f.forecast_start?, f.forecast_finish?);
        let day = |day: Day| day.since(self.axis.from) as f32;
        let to = (day(start), day(finish));
        // Counted from a day that stays, whatever the calendar begins with.
        let base = self.axis.from.since(Day::from(chrono::NaiveDate::default())) as f32;
        let slid = motion::slide(ui.ctx(), ("phase", phase.id), (to.0 + base, to.1 + base));
        let before = slid.from?;
        let from = |value: f32| self.axis.from.plus((value - base).round() as i32);
        bars::ghost(self.painter, (from(before.0), from(before.1)), rect, self.axis, self.view.tokens.muted);
        let by = (slid.now - base - to.0) * self.axis.day_width();
        Some(TimeAxis { x: Rangef::new(self.axis.x.min + by, self.axis.x.max + by), ..*self.axis })
    }
}

/// A hover text for a row: above it where there is room, else beside the calendar, so that the rows below stay in view.
pub fn tooltip<'a>(ui: &Ui, response: &Response, row: Rect) -> Tooltip<'a> {
    const BESIDE: [RectAlign; 3] = [RectAlign::RIGHT_END, RectAlign::LEFT_START, RectAlign::LEFT_END];
    let mut tip = Tooltip::for_enabled(response);
    // As it was drawn last; the first time it is measured and not yet seen.
    let high = AreaState::load(ui.ctx(), Tooltip::tooltip_id(response.id, 0)).and_then(|area| area.size);
    let room = row.top() - ui.ctx().content_rect().top() - 8.0;
    let above = high.is_none_or(|size| size.y <= room);
    let x = ui.ctx().pointer_hover_pos().map_or(row.left(), |at| at.x.clamp(row.left(), row.right()));
    tip.popup = if above {
        let over = Rect::from_x_y_ranges(Rangef::point(x), row.y_range());
        tip.popup.anchor(over).align(RectAlign::TOP_START).align_alternatives(&[RectAlign::TOP_END])
    } else {
        tip.popup.anchor(row).align(RectAlign::RIGHT_START).align_alternatives(&BESIDE)
    };
    tip
}

fn name_cell(
    painter: &Painter,
    rect: Rect,
    (phase, takes): (&Phase, i32),
    f: &PhaseFigures,
    fill: Color32,
    tokens: &theme::Tokens,
) {
    painter.rect_filled(rect, 0.0, fill);
    let done = phase.finished_on().is_some();
    let font = if f.critical { theme::strong(type_size::BODY) } else { theme::regular(type_size::BODY) };
    let color = if done { tokens.muted } else { tokens.text };
    let (days, days_color) = match (f.gate_days > 0, takes) {
        (true, _) => ("not ready".to_owned(), tokens.late),
        (false, 0) if phase.days.is_none() && phase.kind == PhaseKind::Work => {
            ("? d".to_owned(), tokens.muted)
        }
        (false, 0) => (String::new(), tokens.muted),
        (false, days) if phase.days.is_some() || phase.kind != PhaseKind::Work => {
            (format!("{days} d"), tokens.muted)
        }
        (false, days) => (format!("typically {days} d"), tokens.muted),
    };
    let small = theme::regular(type_size::SMALL);
    let right = pos2(rect.right() - 10.0, rect.center().y);
    let taken = painter.text(right, Align2::RIGHT_CENTER, days, small, days_color);
    let left = pos2(rect.left() + 4.0, rect.center().y);
    pieces::paint_cut(painter, left, &phase.name, font, color, taken.left() - left.x - 6.0);
    painter.vline(rect.right() - 1.0, rect.y_range(), Stroke::new(1.0, tokens.line));
}
