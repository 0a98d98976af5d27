//! The calendar behind the bars: months, weeks and days along the top, days off shaded, and zooming with the wheel.

use super::tools::WIDEST;
use crate::engine::Day;
use crate::ui::session::Session;
use crate::ui::theme::{self, tokens::type_size};
use crate::ui::view::View;
use crate::ui::widgets::axis::TimeAxis;
use chrono::Datelike;
use egui::{Align2, Painter, Rangef, Rect, Stroke, Ui, pos2, vec2};

/// From so many points a day on each day has its number, and else each Monday.
const DAILY: f32 = 16.0;

/// Height of the strip along the top; weeks and days have a line of their own where there is room for them.
pub fn header_height(day_width: f32) -> f32 {
    if day_width * 7.0 >= 24.0 { 40.0 } else { 26.0 }
}

/// Draws the strip along the top.
pub fn header(ui: &Ui, view: &View<'_>, axis: &TimeAxis, seen: Rect, names: f32, day_width: f32) {
    let tokens = view.tokens;
    let strip = Rect::from_min_size(seen.min, vec2(seen.width(), header_height(day_width)));
    let painter = ui.painter_at(strip);
    painter.rect_filled(strip, 0.0, tokens.work);
    let months =
        Rect::from_min_size(pos2(seen.left() + names, strip.top()), vec2(seen.width() - names, 22.0));
    let weekly = strip.height() > 26.0 && day_width < DAILY;
    // Over days of the month that are Mondays a month stands over the first of its own.
    let over = |first: Day| if weekly { first.plus((7 - first.weekday_index() as i32) % 7) } else { first };
    axis.paint_months_at(&ui.painter_at(months), months, tokens, over);
    painter.hline(strip.x_range(), strip.bottom(), Stroke::new(1.0, tokens.line));
    if strip.height() <= 26.0 {
        return;
    }
    let lower = ui.painter_at(Rect::from_min_max(pos2(months.left(), months.bottom()), strip.max));
    let y = strip.bottom() - 9.0;
    let daily = day_width >= DAILY;
    for day in visible(axis, months.x_range()) {
        if !daily && day.weekday_index() != 0 {
            continue;
        }
        let x = axis.at(day);
        let (at, align) =
            if daily { (x + day_width / 2.0, Align2::CENTER_CENTER) } else { (x, Align2::LEFT_CENTER) };
        let open = view.figures.days.work().is_open(day);
        let color = if open || !daily { tokens.text } else { tokens.muted };
        let font = theme::regular(type_size::SMALL - 1.0);
        let number = lower.layout_no_wrap(day.date().day().to_string(), font, color);
        let place = align.anchor_size(pos2(at, y), number.size());
        // Half a number would be another one.
        if place.right() <= months.right() {
            lower.galley(place.min, number, color);
        }
    }
}

/// The days of the axis that lie within a stretch of the screen.
fn visible(axis: &TimeAxis, x: Rangef) -> impl Iterator<Item = Day> {
    let width = axis.day_width().max(0.01);
    let count = axis.to.since(axis.from);
    let from = (((x.min - axis.x.min) / width).floor() as i32).clamp(0, count);
    let to = (((x.max - axis.x.min) / width).ceil() as i32).clamp(from, count);
    let first = axis.from;
    (from..to).map(move |n| first.plus(n))
}

/// Shades weekends, holidays and closed days. On a narrow scale only stretches longer than a weekend are shaded.
pub fn days_off(painter: &Painter, view: &View<'_>, axis: &TimeAxis, canvas: Rect) {
    let width = axis.day_width();
    let work = view.figures.days.work();
    for day in visible(axis, canvas.x_range()) {
        if work.is_open(day) {
            continue;
        }
        let weekend = !view.project.settings.weekdays.contains(day.date().weekday());
        if width < 3.0 && weekend {
            continue;
        }
        let x = axis.at(day);
        let rect = Rect::from_x_y_ranges(Rangef::new(x, x + width), canvas.y_range());
        painter.rect_filled(rect, 0.0, view.tokens.day_off);
        if width >= 3.0 && view.figures.days.is_holiday(day) && !weekend {
            painter.vline(rect.center().x, canvas.y_range(), Stroke::new(1.0, view.tokens.line));
        }
    }
}

/// Ctrl and the wheel over the calendar zoom it about the pointer.
pub fn zoom_with_wheel(
    ui: &Ui,
    session: &mut Session,
    canvas: Rect,
    zero: f32,
    scrolled: f32,
    day_width: f32,
    fit: f32,
) {
    let Some(pointer) = ui.ctx().pointer_hover_pos().filter(|p| canvas.contains(*p)) else { return };
    let by = ui.input(|i| i.zoom_delta());
    if (by - 1.0).abs() < 0.001 {
        return;
    }
    let next = (day_width * by).clamp(fit.max(0.1), WIDEST.max(fit));
    // The day under the pointer stays there.
    let days = (pointer.x - zero) / day_width;
    session.day_width = next;
    session.dates.scroll_x = Some(scrolled + days * (next - day_width));
    ui.ctx().request_repaint();
}
