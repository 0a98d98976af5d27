//! The bar of a phase on the calendar, in the plan and the forecast.

use crate::engine::phase_groups::PhaseGroup;
use crate::engine::{Day, PhaseFigures};
use crate::model::{KeptPhase, Phase, PhaseKind};
use crate::ui::theme::{self, tokens::type_size};
use crate::ui::view::View;
use crate::ui::widgets::axis::TimeAxis;
use crate::ui::widgets::marks;
use egui::{Align2, Painter, Pos2, Rangef, Rect, Shape, Stroke, pos2, vec2};

/// How far below the top of its row the middle of a bar lies.
pub const MIDDLE: f32 = 10.0;

/// Where the bar of a phase lies in the forecast; a point for a milestone. `None` without dates.
pub fn place(phase: &Phase, f: &PhaseFigures, row_top: f32, axis: &TimeAxis) -> Option<Rect> {
    let (start, finish) = (f.forecast_start?, f.forecast_finish?);
    let y = Rangef::new(row_top + MIDDLE - 6.0, row_top + MIDDLE + 6.0);
    let last =
        if phase.counted_days() == 0 && phase.finished_on().is_none() { start } else { finish.plus(1) };
    Some(Rect::from_x_y_ranges(Rangef::new(axis.at(start), axis.at(last)), y))
}

/// First and last day in the forecast; the same day where it takes none.
pub fn days(f: &PhaseFigures) -> Option<(Day, Day)> {
    let (start, finish) = f.forecast_start.zip(f.forecast_finish)?;
    Some((start, finish.max(start)))
}

/// Draws what a group comes to: a slim bar over its rows while it is open, else a frame with its phases in it.
pub fn sum(
    painter: &Painter,
    view: &View<'_>,
    group: &PhaseGroup,
    folded: bool,
    rect: Rect,
    axis: &TimeAxis,
) {
    let Some((from, to)) = group.sum.days else { return };
    let tokens = view.tokens;
    let y = rect.top() + MIDDLE;
    let x = Rangef::new(axis.at(from), axis.at(to.plus(1)));
    if !folded {
        let slim = Rect::from_x_y_ranges(x, Rangef::new(y - 2.0, y + 2.0));
        painter.rect_filled(slim, 2.0, tokens.phase);
        return;
    }
    let frame = Rect::from_x_y_ranges(x, Rangef::new(y - 7.0, y + 7.0));
    painter.rect(frame, 3.0, tokens.work, Stroke::new(1.2, tokens.phase), egui::StrokeKind::Inside);
    for at in &group.phases {
        let (Some(phase), Some(f)) = (view.project.phases.get(*at), view.figures.phases.get(*at)) else {
            continue;
        };
        let Some((start, finish)) = days(f) else { continue };
        let piece = Rangef::new(axis.at(start), axis.at(finish.plus(1)));
        if phase.counted_days() == 0 {
            diamond(painter, pos2(piece.min, y), 4.0, if f.critical { tokens.need } else { tokens.phase });
        } else if phase.kind == PhaseKind::Inspection {
            painter.circle(pos2(piece.center(), y), 3.5, tokens.work, Stroke::new(1.6, tokens.phase));
        } else {
            // What is done is an outline here too.
            let body = Rect::from_x_y_ranges(piece, Rangef::new(y - 3.5, y + 3.5));
            let fill = if phase.finished_on().is_some() { tokens.work } else { tokens.phase };
            painter.rect(body, 1.0, fill, Stroke::new(1.0, tokens.phase), egui::StrokeKind::Inside);
        }
        if f.critical {
            painter.hline(piece, frame.bottom() + 2.0, Stroke::new(2.0, tokens.need));
        }
    }
}

/// Draws where a phase stood in the plan agreed on, behind its bar.
pub fn agreed(painter: &Painter, view: &View<'_>, kept: &KeptPhase, rect: Rect, axis: &TimeAxis) {
    let (from, to) = (axis.at(Day::from(kept.start)), axis.at(Day::from(kept.finish).plus(1)));
    let y = rect.top() + MIDDLE;
    let body = Rect::from_x_y_ranges(Rangef::new(from, to.max(from + 3.0)), Rangef::new(y - 9.0, y + 9.0));
    painter.rect(
        body,
        3.0,
        view.tokens.accent.gamma_multiply(0.14),
        Stroke::new(1.0, view.tokens.accent.gamma_multiply(0.7)),
        egui::StrokeKind::Inside,
    );
}

/// Draws it with its float, what holds it, and what is done.
pub fn bar(painter: &Painter, view: &View<'_>, phase: &Phase, f: &PhaseFigures, rect: Rect, axis: &TimeAxis) {
    let tokens = view.tokens;
    let (Some(plan_start), Some(start), Some(finish)) = (f.early_start, f.forecast_start, f.forecast_finish)
    else {
        painter.text(
            pos2(axis.at(view.as_of()) + 6.0, rect.center().y),
            Align2::LEFT_CENTER,
            "waits in a circle of links",
            theme::regular(type_size::SMALL),
            tokens.late,
        );
        return;
    };
    let y = rect.top() + MIDDLE;
    let span = |from: Day, to: Day, half: f32| {
        Rect::from_x_y_ranges(
            Rangef::new(axis.at(from), axis.at(to.plus(1))),
            Rangef::new(y - half, y + half),
        )
    };
    if let Some(late) = f.late_finish.filter(|l| f.total_float.is_some_and(|t| t > 0) && *l > finish) {
        let to = axis.at(late.plus(1));
        painter.hline(Rangef::new(axis.at(finish.plus(1)), to), y, Stroke::new(1.4, tokens.muted));
        painter.vline(to, Rangef::new(y - 4.0, y + 4.0), Stroke::new(1.4, tokens.muted));
    }
    if phase.counted_days() == 0 {
        diamond(painter, pos2(axis.at(start), y), 6.0, if f.critical { tokens.need } else { tokens.phase });
        return;
    }
    let done = phase.finished_on().is_some();
    let body = span(start, finish, 6.0);
    if start > plan_start && !done {
        // What deliveries, here or earlier, push it back by.
        let held = Rect::from_min_max(pos2(axis.at(plan_start), y - 6.0), pos2(body.left(), y + 6.0));
        if f.held_days > 0 || f.gate_days > 0 {
            marks::hatch(painter, held, tokens.late_fill);
        } else {
            painter.rect_stroke(held, 1.0, Stroke::new(1.0, tokens.phase), egui::StrokeKind::Inside);
        }
    }
    if phase.kind == PhaseKind::Inspection {
        let failed = phase.attempts.iter().any(|a| a.failed()) && !done;
        let color = if failed { tokens.late_fill } else { tokens.phase };
        let center = body.center();
        let stroke = Stroke::new(2.0, color);
        painter.circle(center, 6.0, tokens.work, stroke);
        if done {
            painter.line_segment([center + vec2(-3.0, 0.0), center + vec2(-0.5, 2.5)], stroke);
            painter.line_segment([center + vec2(-0.5, 2.5), center + vec2(3.0, -2.5)], stroke);
        } else if failed {
            painter.line_segment([center + vec2(-2.5, -2.5), center + vec2(2.5, 2.5)], stroke);
            painter.line_segment([center + vec2(-2.5, 2.5), center + vec2(2.5, -2.5)], stroke);
        }
        if f.critical {
            let under = Rangef::new(center.x - 6.0, center.x + 6.0);
            painter.hline(under, body.bottom() + 2.0, Stroke::new(2.0, tokens.need));
        }
        return;
    }
    // What is done is an outline, what is to come is filled.
    painter.rect_filled(body, 2.0, if done { tokens.work } else { tokens.phase });
    painter.rect_stroke(body, 2.0, Stroke::new(1.2, tokens.phase), egui::StrokeKind::Inside);
    if phase.actual_start.is_some() && !done {
        let worked = span(start, view.as_of().plus(-1).max(start), 6.0);
        painter.rect_filled(worked.intersect(body).shrink(1.2), 0.0, tokens.work);
    }
    if f.critical {
        painter.hline(body.x_range(), body.bottom() + 2.0, Stroke::new(2.0, tokens.need));
    }
}

/// The dashed outline of a bar that is not there: where it was, or where it would be.
pub fn ghost(
    painter: &Painter,
    (start, finish): (Day, Day),
    rect: Rect,
    axis: &TimeAxis,
    color: egui::Color32,
) {
    let y = rect.top() + MIDDLE;
    let (left, right) = (axis.at(start), axis.at(finish.plus(1)));
    let (top, bottom) = (y - 8.0, y + 8.0);
    let outline =
        [pos2(left, top), pos2(right, top), pos2(right, bottom), pos2(left, bottom), pos2(left, top)];
    painter.extend(Shape::dashed_line(&outline, Stroke::new(1.4, color), 4.0, 3.0));
}

/// A milestone.
pub fn diamond(painter: &Painter, center: Pos2, r: f32, color: egui::Color32) {
    let points =
        vec![center + vec2(0.0, -r), center + vec2(r, 0.0), center + vec2(0.0, r), center + vec2(-r, 0.0)];
    painter.add(Shape::convex_polygon(points, color, Stroke::NONE));
}
