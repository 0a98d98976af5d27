//! The floor of a room on a page, with what it measures beside it.

use super::flow::{Flow, Mark, Tone};
use crate::exchange::outgoing::print::FloorPlan;
use crate::exchange::outgoing::print::plan_lines::{Fitted, fitted};

const HEIGHT: f32 = 124.0;
const LETTERS: f32 = 8.0;
const VALUE: f32 = 10.0;
/// Height of a measure with its name.
const MEASURE: f32 = 27.0;

/// Lays it out.
pub fn lay_out(flow: &mut Flow<'_>, plan: &FloorPlan) {
    let wide = flow.width() * 0.46;
    let fit = fitted(plan, [flow.left(), flow.y], [wide, HEIGHT], LETTERS);
    let rows = plan.measures.len().div_ceil(2);
    let high = (rows as f32 * MEASURE).max(if fit.is_some() { HEIGHT } else { 0.0 });
    flow.need(high);
    let (left, top) = (flow.left(), flow.y);
    // Once more, where the page has turned.
    let fit = fitted(plan, [left, top], [wide, HEIGHT], LETTERS);
    let beside = if fit.is_some() { wide + 16.0 } else { 0.0 };
    if let Some(Fitted { points, labels }) = fit {
        flow.draw(Mark::Outline { points });
        for ([x, y], text) in labels {
            let half = flow.faces.regular.width(&text, LETTERS) / 2.0;
            flow.draw(Mark::Text {
                x: x - half,
                y: y + LETTERS * 0.35,
                size: LETTERS,
                strong: false,
                tone: Tone::Muted,
                text,
            });
        }
    }
    let column = (flow.width() - beside) / 2.0;
    for (at, (name, value)) in plan.measures.iter().enumerate() {
        let x = left + beside + column * (at % 2) as f32;
        let y = top + MEASURE * (at / 2) as f32;
        let text = |y, size, strong, tone, text: &str| Mark::Text {
            x,
            y,
            size,
            strong,
            tone,
            text: text.to_owned(),
        };
        flow.draw(text(y + LETTERS, LETTERS, false, Tone::Muted, name));
        // What is longer than its column goes on below it, where a measure has room for two lines at most.
        let lines = flow.faces.strong.wrap(value, VALUE, column - 8.0);
        for (line, words) in lines.iter().enumerate() {
            flow.draw(text(y + LETTERS + (line + 1) as f32 * VALUE * 1.15, VALUE, true, Tone::Ink, words));
        }
    }
    flow.y = top + high + 6.0;
}
