//! Steps on a page: a row for each, a bar from where it begins to where it leads, its words behind it.

use super::flow::{Flow, Mark, Tone};
use crate::exchange::outgoing::print::Steps;

const ROW: f32 = 16.0;
const SIZE: f32 = 9.0;
/// Room for the name before the bars, and for the words behind them.
const NAME: f32 = 150.0;
const WORDS: f32 = 190.0;

/// Lays them out.
pub fn lay_out(flow: &mut Flow<'_>, steps: &Steps) {
    let (left, width) = (flow.left() + NAME, flow.width() - NAME - WORDS);
    for step in &steps.steps {
        flow.need(ROW);
        let y = flow.y;
        let base = y + SIZE + 2.0;
        let text = |x: f32, strong: bool, tone: Tone, text: String| Mark::Text {
            x,
            y: base,
            size: SIZE,
            strong,
            tone,
            text,
        };
        let name = flow.faces.regular.wrap(&step.name, SIZE, NAME - 8.0);
        let name = match name.as_slice() {
            [] => String::new(),
            [only] => only.clone(),
            [first, ..] => format!("{first}…"),
        };
        flow.draw(text(flow.left(), false, Tone::Ink, name));
        // The line of the plan, through all rows.
        let zero = left + width * steps.share(0);
        flow.draw(Mark::Rule { x: zero, y: y + ROW / 2.0, length: 0.6, thickness: ROW, tone: Tone::Line });
        let (from, to) =
            (left + width * steps.share(step.before), left + width * steps.share(step.before + step.by));
        let end = from.max(to);
        if step.by != 0 {
            let tone = if step.by > 0 { Tone::Ink } else { Tone::Muted };
            let length = (to - from).abs().max(1.0);
            flow.draw(Mark::Rule { x: from.min(to), y: y + ROW / 2.0, length, thickness: 7.0, tone });
        }
        let words = [step.words.as_str(), step.more.as_str()];
        let words: Vec<&str> = words.into_iter().filter(|w| !w.is_empty()).collect();
        flow.draw(text(end + 6.0, false, Tone::Ink, words.join(", ")));
        flow.y += ROW;
    }
    flow.space(8.0);
}
