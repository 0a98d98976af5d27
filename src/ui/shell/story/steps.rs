//! The picture of steps: a row for each cause, the days on the left and the money on the right; each step begins where
//! the one above it ends, from the plan at the top to now at the bottom.

use crate::engine::Day;
use crate::engine::log::{Step, Story};
use crate::model::{KeptPlan, Money};
use crate::ui::format;
use crate::ui::theme::{self, Tokens, tokens::type_size};
use crate::ui::view::View;
use crate::ui::widgets::{marks, pieces};
use egui::{Align2, Color32, Painter, Pos2, Rangef, Rect, Sense, Stroke, Ui, pos2, vec2};
use rust_decimal::prelude::ToPrimitive;

const ROW: f32 = 30.0;
const BAR: f32 = 16.0;
/// Causes that are drawn; the last row is the sum of the others.
const MOST: usize = 9;

/// One of the two sides: a scale over a stretch of the screen.
struct Side {
    x: Rangef,
    least: f32,
    most: f32,
}

impl Side {
    /// A scale that has all of the values, with room for words at its ends.
    fn new(x: Rangef, values: impl Iterator<Item = f32>) -> Side {
        let (least, most) = values.fold((0.0_f32, 0.0_f32), |(a, b), v| (a.min(v), b.max(v)));
        Side { x: Rangef::new(x.min + 8.0, x.max - 78.0), least, most }
    }

    fn at(&self, value: f32) -> f32 {
        let whole = (self.most - self.least).max(f32::EPSILON);
        let share = if self.most == self.least { 0.0 } else { (value - self.least) / whole };
        self.x.min + share * self.x.span()
    }
}

/// For a length on screen.
fn length(money: Money) -> f32 {
    money.amount().to_f32().unwrap_or(0.0)
}

/// Draws it.
pub fn ui(ui: &mut Ui, view: &View<'_>, plan: &KeptPlan, story: &Story) {
    let tokens = view.tokens;
    let steps = story.steps(MOST);
    let near = view.as_of();
    let height = ROW * (steps.len() as f32 + 2.0) + 18.0;
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, spoken(view, story)));
    let painter = ui.painter_at(rect);
    let names = (rect.width() * 0.24).clamp(130.0, 210.0);
    let middle = rect.left() + names + (rect.width() - names) * 0.5;
    let days = Side::new(
        Rangef::new(rect.left() + names, middle - 10.0),
        steps.iter().flat_map(|s| [s.days_before as f32, (s.days_before + s.moved.days) as f32]),
    );
    let money = Side::new(
        Rangef::new(middle + 10.0, rect.right()),
        steps.iter().flat_map(|s| [length(s.money_before), length(s.money_before.plus(s.moved.money))]),
    );
    let small = theme::regular(type_size::SMALL);
    let head = rect.top() + 7.0;
    for (x, text) in [(days.x.min, "working days"), (money.x.min, "money")] {
        painter.text(pos2(x, head), Align2::LEFT_CENTER, text, small.clone(), tokens.muted);
    }
    let row = |n: usize| rect.top() + 18.0 + ROW * (n as f32 + 0.5);
    let last = steps.len() + 1;
    let name = |n: usize, text: &str, strong: bool| {
        let font = if strong { theme::strong(type_size::BODY) } else { theme::regular(type_size::BODY) };
        pieces::paint_cut(&painter, pos2(rect.left() + 2.0, row(n)), text, font, tokens.text, names - 14.0);
    };
    let total = |n: usize, x: f32, text: String| {
        painter.vline(x, Rangef::new(row(n) - 9.0, row(n) + 9.0), Stroke::new(2.4, tokens.need));
        painter.text(
            pos2(x + 6.0, row(n)),
            Align2::LEFT_CENTER,
            text,
            theme::strong(type_size::BODY),
            tokens.text,
        );
    };
    // The days on which nothing moved: from the plan down to now.
    for side in [&days, &money] {
        painter.vline(side.at(0.0), Rangef::new(row(0), row(last)), Stroke::new(1.0, tokens.line));
    }
    let finish = |day: Option<Day>| day.map_or("no day".to_owned(), |day| format::day_short(day, near));
    name(0, &plan.name, true);
    total(0, days.at(0.0), finish(plan.finish.map(Day::from)));
    total(0, money.at(0.0), format::money(plan.total, view.currency()));
    for (n, step) in steps.iter().enumerate() {
        let y = row(n + 1);
        name(n + 1, &Story::name_of(view.project, step), false);
        one(&painter, &days, y, (step.days_before as f32, step.moved.days as f32), &days_words(step), tokens);
        let amounts = (length(step.money_before), length(step.moved.money));
        one(&painter, &money, y, amounts, &money_words(step, view), tokens);
        painter.hline(rect.x_range(), y + ROW / 2.0, Stroke::new(1.0, tokens.line.gamma_multiply(0.5)));
    }
    name(last, "Now", true);
    let moved: i32 = steps.iter().map(|s| s.moved.days).sum();
    total(last, days.at(moved as f32), finish(view.figures.forecast_finish));
    let total_now = view.figures.money.total.forecast;
    total(last, money.at(length(story.money)), format::money(total_now, view.currency()));
}

fn days_words(step: &Step) -> String {
    format::moved(step.moved.days, "day").unwrap_or_default()
}

fn money_words(step: &Step, view: &View<'_>) -> String {
    let money = step.moved.money;
    match (money.is_zero(), money.is_negative()) {
        (true, _) => String::new(),
        (_, true) => format!("{} less", format::money(money.abs(), view.currency())),
        _ => format!("{} more", format::money(money, view.currency())),
    }
}

/// One step: a bar from where it begins to where it leads, with its words behind it and a thread down to the next.
fn one(painter: &Painter, side: &Side, y: f32, (from, by): (f32, f32), words: &str, tokens: &Tokens) {
    let (a, b) = (side.at(from), side.at(from + by));
    painter.vline(a, Rangef::new(y - ROW + BAR / 2.0, y), Stroke::new(1.0, tokens.muted));
    painter.vline(b, Rangef::new(y, y + ROW - BAR / 2.0), Stroke::new(1.0, tokens.muted));
    if words.is_empty() {
        return;
    }
    let bar =
        Rect::from_x_y_ranges(Rangef::new(a.min(b), a.max(b)), Rangef::new(y - BAR / 2.0, y + BAR / 2.0));
    let (fill, tone): (Color32, Color32) =
        if by > 0.0 { (tokens.late_fill, tokens.late) } else { (tokens.bar_ordered, tokens.good) };
    painter.rect_filled(bar, 2.0, fill);
    if by > 0.0 {
        // What is lost is hatched, so that it is told from what was won without its color.
        marks::hatch(painter, bar, tokens.card);
    }
    let at: Pos2 = pos2(bar.right() + 6.0, y);
    painter.text(at, Align2::LEFT_CENTER, words, theme::regular(type_size::SMALL), tone);
}

/// The picture in words.
fn spoken(view: &View<'_>, story: &Story) -> String {
    let step = |step: &Step| {
        let words = [days_words(step), money_words(step, view)];
        let words: Vec<&str> = words.iter().map(String::as_str).filter(|w| !w.is_empty()).collect();
        format!("{}: {}", Story::name_of(view.project, step), words.join(", "))
    };
    let steps: Vec<String> = story.steps(MOST).iter().map(step).collect();
    if steps.is_empty() { "Nothing has moved since".to_owned() } else { steps.join("; ") }
}
