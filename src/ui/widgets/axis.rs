//! A stretch of days laid over a stretch of the screen.

use crate::engine::Day;
use crate::exchange::outgoing::print::months::thinned;
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

    /// Names of months along the top of a rectangle, each over its first day.
    pub fn paint_months(&self, painter: &Painter, rect: Rect, tokens: &Tokens) {
        self.paint_months_at(painter, rect, tokens, |first| first);
    }

    /// The same, each over the day that `over` gives for its first one. Where not all of them have room they are thinned
    /// evenly: every second, every third, at last only Januaries, which have their year with them.
    pub fn paint_months_at(&self, painter: &Painter, rect: Rect, tokens: &Tokens, over: impl Fn(Day) -> Day) {
        let font = theme::regular(theme::tokens::type_size::SMALL);
        let wide =
            |words: &str| painter.layout_no_wrap(words.to_owned(), font.clone(), tokens.muted).size().x;
        // The month that has begun at the left edge stands there.
        let first = self.day_at(rect.left()).max(self.from);
        let month = |day: Day| Day::from(day.date().with_day(1).unwrap_or_else(|| day.date()));
        let named = over(month(first));
        let is_past = named < self.from || self.at(named) < rect.left() - 0.5;
        let begun = is_past.then_some((rect.left().max(self.at(first)), first.date()));
        let own = std::iter::once(month(self.from)).chain(self.months());
        let own = own.map(|month| (over(month), month)).filter(|(day, _)| *day >= self.from);
        let own = own.map(|(day, month)| (self.at(day), month.date()));
        let own = own.filter(|(x, _)| *x >= rect.left() - 0.5 && *x < rect.right());
        let all: Vec<(f32, NaiveDate)> = begun.into_iter().chain(own).collect();
        for (x, words) in thinned(&all, rect.right(), wide) {
            painter.text(pos2(x, rect.center().y), Align2::LEFT_CENTER, words, font.clone(), tokens.muted);
        }
    }

    /// The day at a place on the screen, kept within the axis.
    pub fn day_at(&self, x: f32) -> Day {
        let days = (x - self.x.min) / self.day_width().max(0.01);
        self.from.plus((days.floor() as i32).clamp(0, self.to.since(self.from)))
    }

    /// Thin lines at the first days of months.
    pub fn paint_month_lines(&self, painter: &Painter, y: Rangef, tokens: &Tokens) {
        for month in self.months() {
            painter.vline(self.at(month), y, Stroke::new(1.0, tokens.line.gamma_multiply(0.6)));
        }
    }
}
