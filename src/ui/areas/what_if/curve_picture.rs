//! The picture of cheaper or sooner: each best trade as a point, days along and money up, beside what is forecast now.

use super::ticks;
use crate::engine::Day;
use crate::engine::curve::{Curve, Point};
use crate::model::Money;
use crate::ui::format;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::theme::{self, Tokens};
use crate::ui::view::View;
use egui::{
    Align2, EventFilter, Key, Modifiers, Pos2, Rangef, Rect, Response, Role, Sense, Shape, Stroke, Ui,
    WidgetInfo, pos2, vec2,
};
use rust_decimal::prelude::ToPrimitive;

/// Points of the picture.
const HEIGHT: f32 = 250.0;
/// How near the pointer has to be to a point.
const NEAR: f32 = 26.0;

/// Days and amounts laid over the picture.
struct Scale {
    plot: Rect,
    days: (Day, Day),
    amounts: (f64, f64),
}

impl Scale {
    fn new(curve: &Curve, plot: Rect) -> Scale {
        let all = || curve.points.iter().chain(std::iter::once(&curve.now));
        let first = all().map(|p| p.finish).min().unwrap_or(curve.now.finish);
        let last = all().map(|p| p.finish).max().unwrap_or(curve.now.finish);
        let air = (last.since(first) / 12).max(3);
        let least = all().map(|p| float(p.total)).fold(f64::MAX, f64::min);
        let most = all().map(|p| float(p.total)).fold(f64::MIN, f64::max);
        let room = ((most - least) * 0.14).max(1.0);
        Scale { plot, days: (first.plus(-air), last.plus(air)), amounts: (least - room, most + room) }
    }

    fn x(&self, day: Day) -> f32 {
        let share = day.since(self.days.0) as f32 / self.days.1.since(self.days.0).max(1) as f32;
        self.plot.left() + self.plot.width() * share.clamp(0.0, 1.0)
    }

    fn y(&self, amount: Money) -> f32 {
        let share = (float(amount) - self.amounts.0) / (self.amounts.1 - self.amounts.0);
        self.plot.bottom() - self.plot.height() * share.clamp(0.0, 1.0) as f32
    }

    fn at(&self, point: &Point) -> Pos2 {
        pos2(self.x(point.finish), self.y(point.total))
    }
}

fn float(amount: Money) -> f64 {
    amount.amount().to_f64().unwrap_or(0.0)
}

/// Draws it; a click or the arrow keys pick a point.
pub fn ui(ui: &mut Ui, view: &View<'_>, curve: &Curve, picked: &mut Option<usize>) {
    let tokens = view.tokens;
    let width = ui.available_width().max(160.0);
    let (rect, response) = ui.allocate_exact_size(vec2(width, HEIGHT), Sense::click());
    let plot = Rect::from_min_max(rect.min + vec2(52.0, 18.0), rect.max - vec2(space::L, 22.0));
    let scale = Scale::new(curve, plot);
    let near = near(&response, &scale, curve);
    pick(ui, &response, curve, near, picked);
    response.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::Slider, true, "Total against finish");
        let said = picked.and_then(|at| curve.points.get(at)).map(|point| said(view, point));
        info.current_text_value = Some(said.unwrap_or_else(|| "no point is picked".to_owned()));
        info
    });
    if response.has_focus() {
        let stroke = Stroke::new(1.5, tokens.accent);
        ui.painter().rect_stroke(rect.shrink(1.0), 4.0, stroke, egui::StrokeKind::Inside);
    }
    scales(ui, tokens, &scale, curve, rect);
    stairs(ui, tokens, &scale, curve);
    now(ui, tokens, &scale, &curve.now);
    for (at, point) in curve.points.iter().enumerate() {
        let (center, is_picked) = (scale.at(point), *picked == Some(at));
        let fill = if is_picked { tokens.accent } else { tokens.card };
        let radius = if is_picked || near == Some(at) { 6.5 } else { 4.5 };
        ui.painter().circle(center, radius, fill, Stroke::new(2.0, tokens.accent));
    }
    if let Some(point) = near.or(*picked).and_then(|at| curve.points.get(at)) {
        words(ui, tokens, &scale, point, &said(view, point));
    }
}

/// A point in words.
pub fn said(view: &View<'_>, point: &Point) -> String {
    format!(
        "{} for {}",
        format::day_short(point.finish, view.as_of()),
        format::money(point.total, view.currency())
    )
}

/// The point under the pointer.
fn near(response: &Response, scale: &Scale, curve: &Curve) -> Option<usize> {
    let pointer = response.hover_pos()?;
    let far = |point: &Point| scale.at(point).distance(pointer);
    let all = curve.points.iter().enumerate().map(|(at, point)| (at, far(point)));
    all.filter(|(_, far)| *far < NEAR).min_by(|a, b| a.1.total_cmp(&b.1)).map(|(at, _)| at)
}

fn pick(ui: &Ui, response: &Response, curve: &Curve, near: Option<usize>, picked: &mut Option<usize>) {
    if response.clicked() {
        response.request_focus();
        *picked = near.or(*picked);
    }
    let Some(last) = curve.points.len().checked_sub(1).filter(|_| response.has_focus()) else { return };
    let arrows = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..Default::default() };
    ui.memory_mut(|m| m.set_focus_lock_filter(response.id, arrows));
    // Later is cheaper: right and down go the same way.
    let moves: [(Key, isize); 6] = [
        (Key::ArrowRight, 1),
        (Key::ArrowDown, 1),
        (Key::ArrowLeft, -1),
        (Key::ArrowUp, -1),
        (Key::Home, isize::MIN / 2),
        (Key::End, isize::MAX / 2),
    ];
    for (key, by) in moves {
        if ui.input_mut(|i| i.consume_key(Modifiers::NONE, key)) {
            *picked = Some(picked.map_or(0, |at| at.saturating_add_signed(by).min(last)));
        }
    }
}

fn scales(ui: &Ui, tokens: &Tokens, scale: &Scale, curve: &Curve, rect: Rect) {
    let font = theme::regular(type_size::SMALL);
    let (painter, plot) = (ui.painter(), scale.plot);
    painter.text(rect.min + vec2(0.0, 6.0), Align2::LEFT_CENTER, "Total", font.clone(), tokens.muted);
    painter.hline(plot.x_range(), plot.bottom(), Stroke::new(1.0, tokens.muted));
    painter.vline(plot.left(), plot.y_range(), Stroke::new(1.0, tokens.line));
    let totals = || curve.points.iter().chain(std::iter::once(&curve.now)).map(|p| p.total);
    for amount in ticks::amounts(totals().min(), totals().max()) {
        if !(scale.amounts.0..=scale.amounts.1).contains(&float(amount)) {
            continue;
        }
        let y = scale.y(amount);
        painter.hline(plot.x_range(), y, Stroke::new(1.0, tokens.line.gamma_multiply(0.6)));
        let at = pos2(plot.left() - 5.0, y);
        painter.text(at, Align2::RIGHT_CENTER, format::money_short(amount), font.clone(), tokens.muted);
    }
    let mut free = rect.left();
    for (day, name) in ticks::days(scale.days.0, scale.days.1, scale.days.1.since(scale.days.0)) {
        let words = painter.layout_no_wrap(name, font.clone(), tokens.muted);
        let (x, half) = (scale.x(day), words.size().x / 2.0);
        if x - half < free || x + half > rect.right() {
            continue;
        }
        painter.vline(x, Rangef::new(plot.bottom(), plot.bottom() + 3.0), Stroke::new(1.0, tokens.muted));
        painter.galley(pos2(x - half, plot.bottom() + 4.0), words, tokens.muted);
        free = x + half + 10.0;
    }
}

/// What a finish costs at least: flat until the next point, then down.
fn stairs(ui: &Ui, tokens: &Tokens, scale: &Scale, curve: &Curve) {
    let mut line = Vec::new();
    for point in &curve.points {
        let at = scale.at(point);
        if let Some(before) = line.last().map(|p: &Pos2| p.y) {
            line.push(pos2(at.x, before));
        }
        line.push(at);
    }
    if let Some(end) = line.last().map(|p| p.y) {
        line.push(pos2(scale.plot.right(), end));
    }
    ui.painter().add(Shape::line(line, Stroke::new(1.6, tokens.accent)));
}

/// What is forecast now: a square on its tip, with its word.
fn now(ui: &Ui, tokens: &Tokens, scale: &Scale, now: &Point) {
    let (at, size) = (scale.at(now), 6.0);
    let tips = vec![at - vec2(0.0, size), at + vec2(size, 0.0), at + vec2(0.0, size), at - vec2(size, 0.0)];
    ui.painter().add(Shape::convex_polygon(tips, tokens.need, Stroke::NONE));
    let font = theme::strong(type_size::SMALL);
    ui.painter().text(at + vec2(9.0, -9.0), Align2::LEFT_CENTER, "now", font, tokens.text);
}

/// The words of a point beside it, where there is room.
fn words(ui: &Ui, tokens: &Tokens, scale: &Scale, point: &Point, words: &str) {
    let at = scale.at(point);
    let text = ui.painter().layout_no_wrap(words.to_owned(), theme::regular(type_size::SMALL), tokens.text);
    let size = text.size();
    let left = if at.x + 12.0 + size.x < scale.plot.right() { at.x + 12.0 } else { at.x - 12.0 - size.x };
    let top = (at.y - size.y - 8.0).max(scale.plot.top() - 14.0);
    let behind = Rect::from_min_size(pos2(left, top), size).expand2(vec2(4.0, 2.0));
    ui.painter().rect(behind, 3.0, tokens.card, Stroke::new(1.0, tokens.line), egui::StrokeKind::Outside);
    ui.painter().galley(pos2(left, top), text, tokens.text);
}
