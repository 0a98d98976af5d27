//! Where the calendar goes on: its edges fade toward what is scrolled away, and the names before it do not.

use crate::ui::theme::{Tokens, tokens::CLEAR};
use egui::{Color32, Direction, Rect, Shape, Ui, Vec2, pos2};

/// Points over which an edge fades.
const WIDE: f32 = 18.0;

/// Draws the edges of what is seen of a content of a size, of which the calendar is a part.
pub fn ui(ui: &Ui, tokens: &Tokens, (seen, canvas): (Rect, Rect), offset: Vec2, size: Vec2) {
    let painter = ui.painter_at(seen);
    let by = |points: f32| tokens.work.gamma_multiply((points / WIDE).clamp(0.0, 1.0) * 0.8);
    let (right, below) = (size.x - seen.width() - offset.x, size.y - seen.height() - offset.y);
    let edge = |rect: Rect, direction: Direction, colors: [Color32; 2]| {
        if rect.is_positive() {
            painter.add(Shape::gradient_rect(rect, direction, colors));
        }
    };
    let days = Rect::from_min_max(pos2(canvas.left(), seen.top()), seen.max);
    if offset.x > 0.5 {
        let left = Rect::from_min_max(days.min, pos2(days.left() + WIDE, days.bottom()));
        edge(left, Direction::LeftToRight, [by(offset.x), CLEAR]);
    }
    if right > 0.5 {
        let end = Rect::from_min_max(pos2(days.right() - WIDE, days.top()), days.max);
        edge(end, Direction::LeftToRight, [CLEAR, by(right)]);
    }
    if below > 0.5 {
        let foot = Rect::from_min_max(pos2(seen.left(), seen.bottom() - WIDE), seen.max);
        edge(foot, Direction::TopDown, [CLEAR, by(below)]);
    }
}
