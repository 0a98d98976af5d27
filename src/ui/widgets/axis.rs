//! A stretch of days laid over a stretch of the screen.

use crate::engine::Day;
use crate::ui::theme::{self, Tokens};
use chrono::{Datelike, NaiveDate};
use egui::{Align2, Painter, Rangef, Rect, Stroke, pos2};

/// Maps days to horizontal positions.
#[derive(Debug, Clone, Copy)]
pub struct TimeAxis {
    /// Day at the left edge.
    pub from: Day,
    /// Day at the right edge.
    pub to: Day,
    /// Where on the screen.
    pub x: Rangef,
}

impl TimeAxis {
    /// Lays the days from `from` to `to` over `x`; at least two weeks are shown.
    pub fn new(from: Day, to: Day, x: Rangef) -> TimeAxis {
        TimeAxis { from, to: to.max(from.plus(14)), x }
    }

    /// Left edge of a day, kept within the axis.
    pub fn at(&self, day: Day) -> f32 {
        let share = day.since(self.from) as f32 / self.to.since(self.from) as f32;
        self.x.min + share.clamp(0.0, 1.0) * self.x.span()
    }

    /// Points a day takes.
    pub fn day_width(&self) -> f32 {
        self.x.span() / self.to.since(self.from) as f32
    }

    /// First days of months on the axis.
    pub fn months(&self) -> impl Iterator<Item = Day> + '_ {
        let start = self.from.date().with_day(1).unwrap_or_else(|| self.from.date());
        (1..1_200)
            .map_while(move |n| start.checked_add_months(chrono::Months::new(n)))
            .map(Day::from)
            .take_while(|day| *day < self.to)
    }

    /// Names of months along the top of a rectangle, as many as fit.
    pub fn paint_months(&self, painter: &Painter, rect: Rect, tokens: &Tokens) {
        let font = theme::regular(theme::tokens::type_size::SMALL);
        let mut free_from = rect.left();
        for month in std::iter::once(self.from).chain(self.months()) {
            let x = self.at(month);
            let date: NaiveDate = month.date();
            let (text, width) = if date.month() == 1 && date.day() == 1 {
                (date.format("%b %Y").to_string(), 52.0)
            } else {
                (date.format("%b").to_string(), 24.0)
            };
            if x < free_from || x + width > rect.right() {
                continue;
            }
            // The name of the month at the left edge only where the next one leaves room for it.
            if month == self.from && self.months().next().is_some_and(|next| self.at(next) - x < 30.0) {
                continue;
            }
            let drawn =
                painter.text(pos2(x, rect.center().y), Align2::LEFT_CENTER, text, font.clone(), tokens.muted);
            free_from = drawn.right() + 6.0;
        }
    }

    /// Thin lines at the first days of months.
    pub fn paint_month_lines(&self, painter: &Painter, y: Rangef, tokens: &Tokens) {
        for month in self.months() {
            painter.vline(self.at(month), y, Stroke::new(1.0, tokens.line.gamma_multiply(0.6)));
        }
    }
}
