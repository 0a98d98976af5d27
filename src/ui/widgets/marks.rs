//! Shapes that stand beside words and colors, so that no color stands alone.

use crate::ui::standing::Standing;
use crate::ui::theme::Tokens;
use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};

/// The color of a standing.
pub fn standing_color(standing: Standing, tokens: &Tokens) -> Color32 {
    match standing {
        Standing::Late => tokens.late,
        Standing::Open | Standing::Leaning | Standing::OrderSoon => tokens.soon,
        Standing::Chosen | Standing::PartOrdered | Standing::Ordered => tokens.accent,
        Standing::OnSite | Standing::BuiltIn => tokens.good,
    }
}

/// Draws the shape of a standing around a center.
pub fn standing_shape(painter: &Painter, center: Pos2, standing: Standing, tokens: &Tokens) {
    let color = standing_color(standing, tokens);
    let r = 4.5;
    match standing {
        Standing::Late => triangle(painter, center, color),
        Standing::Open => {
            painter.circle_stroke(center, r - 0.5, Stroke::new(1.6, color));
        }
        Standing::Leaning => {
            painter.circle_stroke(center, r - 0.5, Stroke::new(1.6, color));
            half_disc(painter, center, r, color);
        }
        Standing::OrderSoon => flag(painter, pos2(center.x - 3.5, center.y + 5.5), 11.0, color, color),
        Standing::Chosen => {
            painter.circle_filled(center, r, color);
        }
        Standing::PartOrdered => {
            let rect = Rect::from_center_size(center, vec2(8.5, 8.5));
            painter.rect_stroke(rect, 0.0, Stroke::new(1.6, color), egui::StrokeKind::Inside);
            painter.rect_filled(Rect::from_min_max(pos2(rect.left(), center.y), rect.max), 0.0, color);
        }
        Standing::Ordered => {
            painter.rect_filled(Rect::from_center_size(center, vec2(8.5, 8.5)), 0.0, color);
        }
        Standing::OnSite => check(painter, center, color),
        Standing::BuiltIn => {
            check(painter, center, color);
            painter.hline(
                egui::Rangef::new(center.x - 5.0, center.x + 5.0),
                center.y + 6.0,
                Stroke::new(1.6, color),
            );
        }
    }
}

/// A triangle pointing up: something is late or wrong.
pub fn triangle(painter: &Painter, center: Pos2, color: Color32) {
    let points = vec![center + vec2(0.0, -5.0), center + vec2(5.2, 4.0), center + vec2(-5.2, 4.0)];
    painter.add(Shape::convex_polygon(points, color, Stroke::NONE));
}

/// A bracket that opens to the right, standing on `foot`: not before this day.
pub fn not_before(painter: &Painter, foot: Pos2, height: f32, color: Color32) {
    let stroke = Stroke::new(1.6, color);
    let top = foot - vec2(0.0, height);
    painter.line_segment([foot, top], stroke);
    painter.line_segment([top, top + vec2(4.0, 0.0)], stroke);
    painter.line_segment([foot, foot + vec2(4.0, 0.0)], stroke);
}

/// A cross: failed.
pub fn cross(painter: &Painter, center: Pos2, color: Color32) {
    let stroke = Stroke::new(2.0, color);
    painter.line_segment([center + vec2(-3.5, -3.5), center + vec2(3.5, 3.5)], stroke);
    painter.line_segment([center + vec2(-3.5, 3.5), center + vec2(3.5, -3.5)], stroke);
}

/// A small triangle that points right while something is folded, and down while it is open.
pub fn fold(painter: &Painter, center: Pos2, folded: bool, color: Color32) {
    let points = if folded {
        vec![center + vec2(-2.5, -4.5), center + vec2(3.5, 0.0), center + vec2(-2.5, 4.5)]
    } else {
        vec![center + vec2(-4.5, -2.5), center + vec2(4.5, -2.5), center + vec2(0.0, 3.5)]
    };
    painter.add(Shape::convex_polygon(points, color, Stroke::NONE));
}

fn half_disc(painter: &Painter, center: Pos2, r: f32, color: Color32) {
    let points = (0..=16)
        .map(|i| {
            let angle = std::f32::consts::PI * i as f32 / 16.0;
            center + vec2(r * angle.cos(), r * angle.sin())
        })
        .collect();
    painter.add(Shape::convex_polygon(points, color, Stroke::NONE));
}

/// A check mark: done, ready, or marked.
pub fn check(painter: &Painter, center: Pos2, color: Color32) {
    let stroke = Stroke::new(2.0, color);
    let corner = center + vec2(-1.0, 3.5);
    painter.line_segment([center + vec2(-4.5, 0.0), corner], stroke);
    painter.line_segment([corner, center + vec2(5.0, -4.5)], stroke);
}

/// A flag on a pole that stands on `foot`: the last day to order.
///
/// Pole and hem have a color that is seen on whatever the flag stands on: a cloth of the color of flags is not.
pub fn flag(painter: &Painter, foot: Pos2, height: f32, color: Color32, edge: Color32) {
    let top = foot - vec2(0.0, height);
    painter.line_segment([foot, top], Stroke::new(1.4, edge));
    let cloth = vec![top, top + vec2(7.5, 3.2), top + vec2(0.0, 6.4)];
    painter.add(Shape::convex_polygon(cloth, color, Stroke::new(0.8, edge)));
}

/// Slanted lines over a rectangle.
pub fn hatch(painter: &Painter, rect: Rect, color: Color32) {
    if rect.width() <= 0.5 {
        return;
    }
    let painter = painter.with_clip_rect(rect.intersect(painter.clip_rect()));
    let step = 5.0;
    let mut x = rect.left() - rect.height();
    while x < rect.right() {
        painter.line_segment(
            [pos2(x, rect.bottom()), pos2(x + rect.height(), rect.top())],
            Stroke::new(1.4, color),
        );
        x += step;
    }
    painter.rect_stroke(rect, 0.0, Stroke::new(1.0, color), egui::StrokeKind::Inside);
}
