//! Dates: phases as bars on the calendar, with the arrivals and need dates of their parts on the same rows.

mod bars;
mod calendar;
mod changes;
pub mod detail;
mod drag;
mod in_use;
mod legend;
mod links;
mod menus;
pub mod people;
mod tools;

use crate::engine::{Day, PhaseFigures};
use crate::model::{Phase, PhaseKind, Subject};
use crate::ui::areas::house::ledger_facts::PhaseMark;
use crate::ui::session::Session;
use crate::ui::theme::{self, tokens::type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::axis::TimeAxis;
use crate::ui::widgets::{marks, motion, need_line, pieces};
use egui::{Align2, Color32, Painter, Rangef, Rect, Sense, Stroke, Ui, pos2, vec2};

const ROW: f32 = 30.0;

/// With fewer points to a day the calendar opens on the months around the as-of day, and not on all of it.
const LEAST_DAY: f32 = 1.8;
/// Points a day takes on the scale of months.
const MONTHS: f32 = 4.0;

/// Points the names of phases take.
fn name_width(all: f32) -> f32 {
    if all < 560.0 { 168.0 } else { 230.0 }
}

/// Draws the work area.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    tools::ui(ui, view, session, out);
    if view.project.phases.is_empty() {
        ui.add_space(40.0);
        ui.vertical_centered(|ui| {
            ui.label(pieces::strong("No phases yet", type_size::HEADING));
            ui.label("A phase is a block of work by one trade. Parts get their need date from the phase that needs them.");
            if pieces::primary_button(ui, view.tokens, "Add a phase…").clicked() {
                out.edit(Form::Phase(None));
            }
        });
        return;
    }
    people::to_do(ui, view, session, out);
    in_use::stored(ui, view);
    detail::ui(ui, view, session, out);
    chart(ui, view, session, out);
}

/// First and last day on the calendar.
fn span(view: &View<'_>) -> (Day, Day) {
    let (from, to) = view.facts().phase_span.unwrap_or((view.as_of(), view.as_of()));
    let first = from.min(view.as_of()).plus(-7);
    let target = view.project.settings.target_finish.map_or(first, Day::from);
    let last = to.max(view.as_of()).max(target).plus(21);
    (first, last.max(first.plus(30)))
}

fn chart(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let rows = &view.facts().phase_order;
    let (first, last) = span(view);
    let names = name_width(ui.available_width());
    let days = last.since(first) as f32;
    let fit = (ui.available_width() - names - 12.0) / days;
    if !session.dates.shown && session.day_width <= 0.0 && fit < LEAST_DAY {
        // Months side by side in a narrow window would be too small to read.
        tools::center_on_today(view, session, MONTHS);
    }
    let day_width = session.day_width.max(fit);
    let chart = ui.available_height();
    let (calendar, strip) = (calendar::header_height(day_width), in_use::height(view, chart));
    let header = calendar + strip;
    let size = vec2(names + days * day_width, header + rows.len() as f32 * ROW + 8.0);
    if !std::mem::replace(&mut session.dates.shown, true) && session.scroll_to_phase.is_none() {
        let open =
            rows.iter().filter_map(|at| view.project.phases.get(*at)).find(|p| p.finished_on().is_none());
        session.scroll_to_phase = open.map(|p| p.id);
    }
    let wanted = session.scroll_to_phase.take().and_then(|id| {
        let at = view.figures.index.of(id.0)?;
        rows.iter().position(|r| *r == at)
    });
    // What stands below keeps its room, however little is left above it.
    let area = egui::ScrollArea::both().auto_shrink(false).min_scrolled_height(0.0);
    let mut area = area.id_salt("dates");
    if let Some(row) = wanted {
        area = area.vertical_scroll_offset((row as f32 * ROW - 120.0).max(0.0));
    }
    if let Some(x) = session.dates.scroll_x.take() {
        area = area.horizontal_scroll_offset(x.max(0.0));
    }
    area.show_viewport(ui, |ui, viewport| {
        let (content, _) = ui.allocate_exact_size(size, Sense::hover());
        let origin = content.min;
        let seen = Rect::from_min_size(origin + viewport.min.to_vec2(), viewport.size());
        let x = Rangef::new(origin.x + names, origin.x + size.x);
        let axis = TimeAxis { from: first, to: last, x };
        let canvas = Rect::from_min_max(pos2(seen.left() + names, seen.top() + header), seen.max);
        calendar::zoom_with_wheel(ui, session, canvas, origin.x + names, viewport.min.x, day_width, fit);
        let painter = ui.painter_at(canvas);
        calendar::days_off(&painter, view, &axis, canvas);
        axis.paint_month_lines(&painter, canvas.y_range(), view.tokens);
        let from = ((viewport.min.y - header) / ROW).floor().max(0.0) as usize;
        let to = (((viewport.max.y - header) / ROW).ceil().max(0.0) as usize).min(rows.len());
        let from = from.min(to);
        let picked = session.dates.picked.and_then(|id| view.figures.index.of(id.0));
        for (row, at) in rows.iter().enumerate().take(to).skip(from) {
            if Some(*at) == picked {
                let top = origin.y + header + row as f32 * ROW;
                let rect = Rect::from_x_y_ranges(canvas.x_range(), Rangef::new(top, top + ROW));
                painter.rect_filled(rect, 0.0, view.tokens.picked);
            }
        }
        let laid = links::Rows {
            rank: &view.facts().phase_ranks,
            top: origin.y + header,
            height: ROW,
            seen: from..to,
        };
        let words = links::ui(&painter, view, &axis, &laid, picked);
        let mut scene = Scene { view, axis: &axis, painter: &painter, names, picked };
        for (row, at) in rows.iter().enumerate().take(to).skip(from) {
            let top = origin.y + header + row as f32 * ROW;
            let rect = Rect::from_min_max(pos2(seen.left(), top), pos2(seen.right(), top + ROW));
            scene.row(ui, session, *at, rect, out);
        }
        if let Some(target) = view.project.settings.target_finish {
            let x = axis.at(Day::from(target).plus(1));
            painter.vline(x, canvas.y_range(), Stroke::new(1.0, view.tokens.good));
            painter.text(
                pos2(x + 3.0, canvas.top() + 8.0),
                Align2::LEFT_CENTER,
                "target",
                theme::regular(10.5),
                view.tokens.good,
            );
        }
        need_line::paint_as_of(&painter, &axis, view.as_of(), canvas.y_range(), view.tokens.text);
        words.iter().for_each(|words| words.paint(&painter, view.tokens));
        calendar::header(ui, view, &axis, seen, names, day_width);
        let top = pos2(seen.left(), seen.top() + calendar);
        let strip = Rect::from_min_size(top, vec2(seen.width(), strip));
        in_use::ui(ui, view, session, &axis, (strip, names, chart), out);
    });
}

/// What rows are drawn on.
struct Scene<'a, 'v> {
    view: &'a View<'v>,
    axis: &'a TimeAxis,
    painter: &'a Painter,
    names: f32,
    picked: Option<usize>,
}

impl Scene<'_, '_> {
    fn row(&mut self, ui: &mut Ui, session: &mut Session, at: usize, rect: Rect, out: &mut Outbox) {
        let (view, painter, axis) = (self.view, self.painter, self.axis);
        let tokens = view.tokens;
        let (Some(phase), Some(f)) = (view.project.phases.get(at), view.figures.phases.get(at)) else {
            return;
        };
        let response = ui.interact(rect, egui::Id::unique(("phase_row", phase.id)), Sense::click());
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
        for mark in view.facts().marks.get(at).map_or(&[][..], Vec::as_slice) {
            part_mark(painter, axis, rect, mark, tokens);
        }
        let bar = drag::ui(ui, view, session, phase, f, rect, axis, painter, out);
        // The name stays in view while the calendar scrolls sideways.
        let name = Rect::from_min_size(rect.min, vec2(self.names, ROW));
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
        for response in [Some(response), bar].into_iter().flatten() {
            response.context_menu(|ui| menus::menu(ui, view, session, phase, out));
            if session.dates.drag.is_none() {
                response.on_hover_ui(|ui| menus::tooltip(ui, view, at));
            }
        }
    }
}

impl Scene<'_, '_> {
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

fn part_mark(painter: &Painter, axis: &TimeAxis, row: Rect, mark: &PhaseMark, tokens: &theme::Tokens) {
    let need = Rangef::new(row.top() + 3.0, row.bottom() - 2.0);
    painter.vline(axis.at(mark.need), need, Stroke::new(1.6, tokens.need));
    let center = pos2(axis.at(mark.arrival), row.bottom() - 6.0);
    if mark.late {
        marks::triangle(painter, center, tokens.late_fill);
    } else if mark.ordered {
        painter.circle_filled(center, 3.0, tokens.bar_ordered);
    } else {
        painter.circle_stroke(center, 3.0, Stroke::new(1.4, tokens.accent));
    }
}

fn name_cell(
    painter: &Painter,
    rect: Rect,
    (phase, takes): (&crate::model::Phase, i32),
    f: &crate::engine::PhaseFigures,
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
