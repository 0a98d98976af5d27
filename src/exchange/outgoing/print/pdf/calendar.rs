//! A calendar of phases on a page, as large as there is room for.

use super::flow::{Flow, Mark, Tone};
use crate::exchange::outgoing::print::calendar::Calendar;
use crate::exchange::outgoing::print::calendar_pieces::{Piece, Shade};

/// Lays it out, on one page.
pub fn lay_out(flow: &mut Flow<'_>, calendar: &Calendar) {
    let (most, least) = calendar.heights();
    flow.need(least.min(flow.whole_page()));
    let faces = flow.faces;
    let wide = |words: &str, size: f32, strong: bool| faces.of(strong).width(words, size);
    let height = most.min(flow.room() - 4.0);
    let laid = calendar.laid_out([flow.left(), flow.y], [flow.width(), height], &wide);
    let pieces = laid.behind.iter().chain(laid.rows.iter().flatten()).chain(&laid.before);
    pieces.map(mark).for_each(|mark| flow.draw(mark));
    flow.y += laid.height + 4.0;
}

fn mark(piece: &Piece) -> Mark {
    match piece {
        Piece::Words { at: [x, y], size, strong, muted, words } => Mark::Text {
            x: *x,
            y: *y,
            size: *size,
            strong: *strong,
            tone: if *muted { Tone::Muted } else { Tone::Ink },
            text: words.clone(),
        },
        Piece::Fill([x, y, width, height], shade) => {
            let tone = match shade {
                Shade::Ink => Tone::Ink,
                Shade::Muted => Tone::Muted,
                Shade::Line => Tone::Line,
            };
            Mark::Rule { x: *x, y: *y + height / 2.0, length: *width, thickness: *height, tone }
        }
        Piece::Frame([x, y, width, height]) => Mark::Frame { x: *x, y: *y, width: *width, height: *height },
        Piece::Outline(points) => Mark::Outline { points: points.clone() },
    }
}
