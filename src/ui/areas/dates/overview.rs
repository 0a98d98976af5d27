//! The whole job in a strip below the calendar: a thin line for each row, and a frame around the part in view. A click
//! or a drag goes there, and so do the arrow keys.

use super::bars;
use super::rows::{Row, Rows};
use crate::engine::Day;
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::{self, tokens::type_size};
use crate::ui::view::View;
use crate::ui::widgets::axis::TimeAxis;
use crate::ui::widgets::{need_line, pieces};
use egui::{
    EventFilter, Key, Modifiers, Painter, Pos2, Rangef, Rect, Role, Sense, Stroke, StrokeKind, Ui, Vec2,
};
use egui::{WidgetInfo, pos2, vec2};

/// Its height where the work area is so high; none where little is left for the calendar.
pub fn height(area: f32) -> f32 {
    match area {
        h if h < 200.0 => 0.0,
        h if h < 420.0 => 26.0,
        _ => 40.0,
    }
}

/// What of the calendar is in view, in points of its scrolled content.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// How far it is scrolled.
    pub offset: Vec2,
    /// How much of days and rows is seen.
    pub seen: Vec2,
    /// How large all days and rows are.
    pub all: Vec2,
}

impl Part {
    /// Where to scroll to so that a place, in shares of the whole, is in the middle.
    fn around(&self, share: Vec2) -> Vec2 {
        (share * self.all - self.seen / 2.0).clamp(Vec2::ZERO, (self.all - self.seen).max(Vec2::ZERO))
    }

    /// The part in view, in a rectangle that stands for the whole.
    fn frame(&self, all: Rect) -> Rect {
        let share =
            |points: Vec2| (points / self.all.max(Vec2::splat(1.0))).clamp(Vec2::ZERO, Vec2::splat(1.0));
        let (from, to) = (share(self.offset), share(self.offset + self.seen));
        Rect::from_min_max(all.min + from * all.size(), all.min + to * all.size())
    }
}

/// Draws the strip; names stand before it as wide as those of the calendar.
pub fn ui(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    rows: &Rows,
    (days, names): ((Day, Day), f32),
    part: Part,
) {
    let tokens = view.tokens;
    let high = ui.available_height();
    let (strip, _) = ui.allocate_exact_size(vec2(ui.available_width(), high), Sense::hover());
    let all = Rect::from_min_max(pos2(strip.left() + names, strip.top() + 1.0), strip.max - vec2(12.0, 1.0));
    if !all.is_positive() {
        return;
    }
    let painter = ui.painter_at(strip);
    painter.hline(strip.x_range(), strip.top(), Stroke::new(1.0, tokens.line));
    let seen = seen_words(view, rows, days, part);
    let small = theme::regular(type_size::SMALL);
    let at = pos2(strip.left() + 4.0, strip.center().y);
    pieces::paint_cut(&painter, at, "Whole job", small, tokens.muted, names - 12.0);
    let axis = TimeAxis { from: days.0, to: days.1, x: all.x_range() };
    let months = Rect::from_min_size(all.min, vec2(all.width(), if high < 36.0 { 0.0 } else { 14.0 }));
    let lines = Rect::from_min_max(pos2(all.left(), months.bottom() + 1.0), all.max);
    if months.is_positive() {
        axis.paint_months(&painter, months, tokens);
    }
    axis.paint_month_lines(&painter, lines.y_range(), tokens);
    draw_rows(&painter, view, rows, &axis, lines);
    if let Some(target) = view.project.settings.target_finish {
        let x = axis.at(Day::from(target).plus(1));
        painter.vline(x, lines.y_range(), Stroke::new(1.0, tokens.good));
    }
    need_line::paint_as_of(&painter, &axis, view.as_of(), lines.y_range(), tokens.text);
    let id = ui.make_persistent_id("dates_overview");
    let response = ui.interact(all, id, Sense::click_and_drag());
    response.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::Slider, true, "Overview of the whole job");
        info.current_text_value = Some(seen.clone());
        info
    });
    let frame = part.frame(lines);
    let held = response.hovered() || response.has_focus() || response.dragged();
    let tone = tokens.accent.gamma_multiply(if held { 0.18 } else { 0.1 });
    painter.rect(frame, 2.0, tone, Stroke::new(1.4, tokens.accent), StrokeKind::Inside);
    if let Some(to) = wanted(ui, &response, part, lines, frame) {
        session.dates.scroll_x = Some(to.x);
        session.dates.scroll_y = Some(to.y);
        ui.ctx().request_repaint();
    }
    response.on_hover_text(format!("In view: {seen}. Click or drag to go elsewhere."));
}

/// The days and rows in view, in words.
fn seen_words(view: &View<'_>, rows: &Rows, (first, last): (Day, Day), part: Part) -> String {
    let day_width = part.all.x / (last.since(first) as f32).max(1.0);
    let day = |points: f32| first.plus((points / day_width.max(0.01)).floor() as i32).min(last);
    let (from, to) = (day(part.offset.x), day(part.offset.x + part.seen.x - 1.0));
    let row = |points: f32| (points / super::ROW).round().max(0.0) as usize;
    let count = rows.rows.len();
    let top = (row(part.offset.y) + 1).min(count.max(1));
    let bottom = row(part.offset.y + part.seen.y).clamp(top, count.max(top));
    let days = [from, to].map(|day| format::day_short(day, view.as_of()));
    format!("{} to {}, rows {top} to {bottom} of {count}", days[0], days[1])
}

fn draw_rows(painter: &Painter, view: &View<'_>, rows: &Rows, axis: &TimeAxis, all: Rect) {
    let tokens = view.tokens;
    let step = all.height() / rows.rows.len().max(1) as f32;
    let thick = (step * 0.7).clamp(1.0, 3.0);
    for (n, row) in rows.rows.iter().enumerate() {
        let y = all.top() + (n as f32 + 0.5) * step;
        let (days, critical) = match row {
            Row::Head(at) => (rows.groups.get(*at).and_then(|group| group.sum.days), false),
            Row::Phase(at) => {
                let f = view.figures.phases.get(*at);
                (f.and_then(bars::days), f.is_some_and(|f| f.critical))
            }
        };
        let Some((from, to)) = days else { continue };
        let x = Rangef::new(axis.at(from), axis.at(to.plus(1)).max(axis.at(from) + 1.5));
        let tone = if critical { tokens.need } else { tokens.phase };
        painter.hline(x, y, Stroke::new(if critical { thick + 0.6 } else { thick }, tone));
    }
}

/// Where it is to be scrolled to: by the pointer, or by the keys.
fn wanted(ui: &Ui, response: &egui::Response, part: Part, all: Rect, frame: Rect) -> Option<Vec2> {
    let share = |at: Pos2| (at - all.min) / all.size().max(Vec2::splat(1.0));
    let pressed = ui.input(|i| i.pointer.press_origin());
    if response.drag_started() || response.clicked() {
        // What is grabbed within the frame stays where it is under the pointer.
        let at = pressed.or(response.interact_pointer_pos())?;
        if response.drag_started() && frame.contains(at) {
            return None;
        }
        return Some(part.around(share(at)));
    }
    let most = (part.all - part.seen).max(Vec2::ZERO);
    if response.dragged() {
        let by = response.drag_delta() / all.size().max(Vec2::splat(1.0)) * part.all;
        return (by != Vec2::ZERO).then(|| (part.offset + by).clamp(Vec2::ZERO, most));
    }
    if !response.has_focus() {
        return None;
    }
    let arrows = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..Default::default() };
    ui.memory_mut(|m| m.set_focus_lock_filter(response.id, arrows));
    let (wide, high) = (part.seen.x / 4.0, super::ROW * 3.0);
    let keys = [
        (Key::ArrowLeft, vec2(-wide, 0.0)),
        (Key::ArrowRight, vec2(wide, 0.0)),
        (Key::ArrowUp, vec2(0.0, -high)),
        (Key::ArrowDown, vec2(0.0, high)),
        (Key::Home, -part.all),
        (Key::End, part.all),
    ];
    let by = keys.into_iter().filter(|(key, _)| ui.input_mut(|i| i.consume_key(Modifiers::NONE, *key)));
    let by = by.map(|(_, by)| by).reduce(|a, b| a + b)?;
    Some((part.offset + by).clamp(Vec2::ZERO, most))
}
