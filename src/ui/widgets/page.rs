//! A page of a paper, small: drawn from the same marks that its PDF is written from.

use super::{drawn, plan};
use crate::exchange::outgoing::print::pdf::Mark;
use crate::exchange::outgoing::print::svg::{BOX, EDGE, FLOOR};
use crate::model::Rgb;
use crate::ui::theme::{self, tokens};
use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, pos2, vec2};

fn ink(color: Rgb) -> Color32 {
    tokens::picked_color(color)
}

/// Draws a page of a width and a height in points of paper into a rectangle of the same shape.
pub fn paint(painter: &Painter, marks: &[Mark], size: (f32, f32), rect: Rect) {
    let painter = painter.with_clip_rect(painter.clip_rect().intersect(rect));
    painter.rect_filled(rect, 0.0, tokens::UNTINTED);
    let scale = rect.width() / size.0.max(1.0);
    let place = |x: f32, y: f32| rect.min + vec2(x, y) * scale;
    let boxed = |x: f32, y: f32, width: f32, height: f32| {
        Rect::from_min_size(place(x, y), vec2(width, height) * scale)
    };
    let thin = |color| Stroke::new((0.7 * scale).max(0.5), ink(color));
    for mark in marks {
        match mark {
            Mark::Text { x, y, size, strong, tone, text } => {
                let size = size * scale;
                let font = if *strong { theme::strong(size) } else { theme::regular(size) };
                let galley = painter.layout_no_wrap(text.clone(), font, ink(tone.color()));
                // The base line of a row of letters.
                let ascent = galley.rows.first().and_then(|row| row.glyphs.first()).map_or(size, |g| g.pos.y);
                painter.galley(place(*x, *y) - vec2(0.0, ascent), galley, ink(tone.color()));
            }
            Mark::Rule { x, y, length, thickness, tone } => {
                let line = boxed(*x, y - thickness / 2.0, *length, *thickness);
                let line = Rect::from_center_size(line.center(), line.size().max(Vec2::splat(0.5)));
                painter.rect_filled(line, 0.0, ink(tone.color()));
            }
            Mark::Bookmark { .. } | Mark::Link { .. } => {}
            // Papers are made without pictures to be looked at here: reading them takes long.
            Mark::Picture { x, y, width, height, .. } | Mark::Frame { x, y, width, height } => {
                painter.rect_stroke(boxed(*x, *y, *width, *height), 0.0, thin(BOX), StrokeKind::Middle);
            }
            Mark::Drawing { x, y, side, drawing } => {
                drawn::paint_in(&painter, ink(EDGE), drawing, boxed(*x, *y, *side, *side));
            }
            Mark::Swatch { x, y, side, color } => {
                painter.rect(boxed(*x, *y, *side, *side), 0.0, ink(*color), thin(EDGE), StrokeKind::Middle);
            }
            Mark::Outline { points } => {
                let points: Vec<Pos2> = points.iter().map(|[x, y]| place(*x, *y)).collect();
                plan::fill(&painter, &points, ink(FLOOR));
                painter.add(Shape::closed_line(points, Stroke::new((1.6 * scale).max(0.8), ink(EDGE))));
            }
        }
    }
}

/// The size of a page that fits into a width and a height.
pub fn fit(size: (f32, f32), most: Vec2) -> Vec2 {
    let scale = (most.x / size.0.max(1.0)).min(most.y / size.1.max(1.0));
    pos2(size.0 * scale, size.1 * scale).to_vec2()
}
