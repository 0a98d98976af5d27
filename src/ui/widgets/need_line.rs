//! The need line: a part's way from order to use on a time axis.
//!
//! A bar runs from the order day to the arrival; a whisker spans the arrivals of the shortest and the longest lead; an
//! upright line is the day the part is needed, with the hold hatched behind it; a flag marks the last day to order; a
//! dashed line is the as-of day, a dotted one with a ring the day by which something of it must be known. What reaches
//! over the need line is hatched as late. What is not decided yet is an open range: from the day the soonest candidate
//! would be there to that of the latest. A bar that can begin only after a phase has an upright foot at its first day.

use super::axis::TimeAxis;
use super::marks;
use crate::engine::Day;
use crate::engine::figures::PartFigures;
use crate::engine::lead::{self, Lead};
use crate::model::{Part, Selection};
use crate::ui::theme::Tokens;
use crate::ui::view::View;
use egui::{Color32, Painter, Rangef, Rect, Shape, Stroke, pos2};

/// What to draw for one part.
#[derive(Debug, Clone, Copy)]
pub struct Way {
    /// Ordered, or the day it would be.
    pub order: Day,
    /// Came, or is counted on: an order day alone where nobody knows.
    pub arrival: Day,
    /// Whether it is counted on by what is typical: nobody has said a lead time.
    pub assumed: bool,
    /// Arrivals with the shortest and the longest lead.
    pub range: Option<(Day, Day)>,
    /// Needed.
    pub need: Option<Day>,
    /// Used, after the hold.
    pub used: Option<Day>,
    /// Last day to order, for what is not ordered.
    pub order_by: Option<Day>,
    /// The first day it can be ordered, for what waits for a phase.
    pub from: Option<Day>,
    /// Ordered already.
    pub ordered: bool,
    /// On site already.
    pub on_site: bool,
}

impl Way {
    /// The way of a part at a position.
    pub fn of(view: &View<'_>, selection: &Selection, part: &Part, at: usize, f: &PartFigures) -> Way {
        let earliest = view.figures.first_order(at, selection.decide_on);
        let order = f.placed.filter(|_| part.ordered_on.is_some()).unwrap_or(earliest);
        let on_site = f.on_site;
        let with = |lead: Lead| view.figures.arrival_with_lead(at, lead, order);
        let typical = lead::typical(view.project, part).filter(|_| f.is_assumed());
        let range = match (part.lead_min, part.lead_max) {
            _ if typical.is_some() => typical.and_then(|t| with(t.shortest).zip(with(t.longest))),
            (None, None) => None,
            (min, max) if !on_site && part.promised_on.is_none() => {
                let bound = |end: Option<u32>| {
                    let count = end.or(part.lead)?;
                    with(Lead { count, unit: part.lead_unit })
                };
                bound(min).zip(bound(max))
            }
            _ => None,
        };
        let work = view.figures.days.work();
        Way {
            order,
            arrival: f.expected.unwrap_or(order),
            assumed: f.arrival.is_none(),
            range,
            need: f.need_date,
            used: f.need_date.map(|need| work.offset(need, f.hold)),
            order_by: f.order_by.filter(|_| f.placed.is_none()),
            from: f.orderable_from,
            ordered: f.placed.is_some(),
            on_site,
        }
    }

    /// The first and last day worth showing.
    pub fn span(&self) -> (Day, Day) {
        let last = [self.need, self.used, self.range.map(|r| r.1)].into_iter().flatten().max();
        (self.order.min(self.arrival), self.arrival.max(last.unwrap_or(self.arrival)))
    }

    /// Draws the bar with its whisker, hold and need line. `thick` is the height of the bar.
    pub fn paint(&self, painter: &Painter, axis: &TimeAxis, row: Rect, thick: f32, tokens: &Tokens) {
        let y = row.center().y;
        let band = |from: f32, to: f32| {
            Rect::from_x_y_ranges(Rangef::new(from, to), Rangef::new(y - thick / 2.0, y + thick / 2.0))
        };
        let (from, to) = (axis.at(self.order), axis.at(self.arrival));
        let color = if self.ordered { tokens.bar_ordered } else { tokens.bar };
        let limit = self.need.map(|need| axis.at(need));
        if self.on_site {
            painter.circle_filled(pos2(to, y), thick / 2.0, color);
        } else {
            let bar = band(from, to.max(from + 3.0));
            if self.ordered {
                // What is under way begins with a disc, what is only meant without.
                painter.circle_filled(pos2(from, y), thick / 2.0 + 1.5, color);
            }
            if self.assumed {
                // What nobody has said is an outline.
                painter.rect_stroke(bar, 2.0, Stroke::new(1.2, color), egui::StrokeKind::Inside);
            } else {
                painter.rect_filled(bar, 2.0, color);
            }
            if let Some(limit) = limit.filter(|_| self.need.is_some_and(|need| self.arrival > need)) {
                let late = band(limit.max(from), to.max(limit + 3.0));
                painter.rect_filled(late, 0.0, tokens.card);
                marks::hatch(painter, late, tokens.late_fill);
            }
        }
        if self.from.is_some() && !self.on_site {
            painter.vline(
                from,
                Rangef::new(y - thick / 2.0 - 3.0, y + thick / 2.0 + 3.0),
                Stroke::new(1.6, color),
            );
        }
        if let Some((min, max)) = self.range {
            let stroke = Stroke::new(1.4, tokens.need);
            painter.hline(Rangef::new(axis.at(min), axis.at(max)), y, stroke);
            // What could come too late is thick and in the color of what is late.
            if let Some(limit) = limit.filter(|limit| axis.at(max) > *limit) {
                let late = Rangef::new(limit.max(axis.at(min)), axis.at(max));
                painter.hline(late, y, Stroke::new(2.6, tokens.late_fill));
            }
            for end in [min, max] {
                painter.vline(axis.at(end), Rangef::new(y - 4.0, y + 4.0), stroke);
            }
        }
        if let (Some(limit), Some(used)) = (limit, self.used) {
            let hold = band(limit, axis.at(used)).shrink2(egui::vec2(0.0, thick * 0.15));
            if hold.width() > 1.5 {
                marks::hatch(painter, hold, tokens.muted.gamma_multiply(0.45));
            }
            painter.vline(limit, row.y_range(), Stroke::new(2.2, tokens.need));
        }
    }

    /// Draws the flag of the last day to order, standing on the bar.
    pub fn paint_flag(&self, painter: &Painter, axis: &TimeAxis, row: Rect, tokens: &Tokens) {
        if let Some(order_by) = self.order_by {
            let color = if self.need.is_some_and(|need| self.arrival > need) {
                tokens.late_fill
            } else {
                tokens.flag
            };
            marks::flag(painter, pos2(axis.at(order_by), row.center().y + 2.0), 13.0, color, tokens.need);
        }
    }
}

/// The second line: the day by which something of it must be known, dotted, with a small ring on top.
pub fn paint_known_by(painter: &Painter, axis: &TimeAxis, known: Option<Day>, y: Rangef, tokens: &Tokens) {
    let Some(x) = known.map(|known| axis.at(known)).filter(|x| axis.x.contains(*x)) else { return };
    let line = [pos2(x, y.min + 6.0), pos2(x, y.max)];
    painter.extend(Shape::dotted_line(&line, tokens.need, 3.5, 0.9));
    painter.circle_stroke(pos2(x, y.min + 4.0), 2.4, Stroke::new(1.2, tokens.need));
}

/// A dashed upright line at the as-of day.
pub fn paint_as_of(painter: &Painter, axis: &TimeAxis, as_of: Day, y: Rangef, color: Color32) {
    let x = axis.at(as_of);
    painter.extend(Shape::dashed_line(&[pos2(x, y.min), pos2(x, y.max)], Stroke::new(1.0, color), 3.0, 3.0));
}

/// When the candidates of what is not decided would come, and when the first of their parts is needed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OpenWay {
    /// First day on which anything of them is needed.
    pub need: Option<Day>,
    /// The day the soonest candidate is there with all its parts, and the latest one.
    pub arrivals: Option<(Day, Day)>,
    /// Last day on which the last candidate that can still come in time is to be ordered.
    pub order_by: Option<Day>,
}

/// What is not decided: the open range of its candidates, the day it is needed, and the flag of the last order.
pub fn paint_open(painter: &Painter, axis: &TimeAxis, row: Rect, open: &OpenWay, tokens: &Tokens) {
    let y = row.center().y;
    if let Some((first, last)) = open.arrivals {
        let (from, to) = (axis.at(first), axis.at(last).max(axis.at(first) + 3.0));
        let stroke = Stroke::new(1.4, tokens.bar);
        for edge in [y - 3.5, y + 3.5] {
            painter.extend(Shape::dashed_line(&[pos2(from, edge), pos2(to, edge)], stroke, 3.0, 2.0));
        }
        for end in [from, to] {
            painter.vline(end, Rangef::new(y - 4.5, y + 4.5), stroke);
        }
        if let Some(need) = open.need.filter(|need| last > *need) {
            let late = Rect::from_x_y_ranges(
                Rangef::new(axis.at(need).max(from), to),
                Rangef::new(y - 3.5, y + 3.5),
            );
            marks::hatch(painter, late, tokens.late_fill);
        }
    }
    if let Some(need) = open.need {
        painter.vline(axis.at(need), row.y_range(), Stroke::new(2.2, tokens.need));
    }
    if let Some(by) = open.order_by.filter(|by| axis.x.contains(axis.at(*by))) {
        let late = open.need.is_some_and(|need| open.arrivals.is_some_and(|(first, _)| first > need));
        let color = if late { tokens.late_fill } else { tokens.flag };
        marks::flag(painter, pos2(axis.at(by), y + 3.0), 13.0, color, tokens.need);
    }
}
