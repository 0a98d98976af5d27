//! Colors and sizes by meaning, in a light and a dark set.
//!
//! The hues that carry meaning are those of Okabe and Ito (2008), told apart with any kind of color vision; for text
//! they are darkened or lightened until the contrast meets WCAG 2.2 AA. Color never stands alone: a shape or a word
//! is always beside it. This is the only file of the window with color values; what finishes bring to
//! mind stands in the model, since papers show it too.

#![expect(clippy::disallowed_methods, reason = "colors are made here and nowhere else")]

use egui::Color32;

/// Colors by meaning.
#[derive(Debug, Clone, Copy)]
pub struct Tokens {
    /// Behind the head strip and the rooms.
    pub strip: Color32,
    /// Behind the work area.
    pub work: Color32,
    /// Behind the card and the dialogs.
    pub card: Color32,
    /// A picked row.
    pub picked: Color32,
    /// A row or a thing under the pointer.
    pub hovered: Color32,
    /// Thin lines.
    pub line: Color32,
    /// The outline of what can be worked with: fields, boxes, buttons.
    pub edge: Color32,
    /// Text.
    pub text: Color32,
    /// Text that steps back.
    pub muted: Color32,
    /// What can be clicked, and the choice.
    pub accent: Color32,
    /// In time, under the allowance.
    pub good: Color32,
    /// Soon, to be decided.
    pub soon: Color32,
    /// Late, over.
    pub late: Color32,
    /// The bar of a delivery to come.
    pub bar: Color32,
    /// The bar of a delivery that is ordered.
    pub bar_ordered: Color32,
    /// The bar of a phase, and its outline once it is finished.
    pub phase: Color32,
    /// Days off behind a calendar.
    pub day_off: Color32,
    /// The stroke of need lines.
    pub need: Color32,
    /// Fill of an order-by flag.
    pub flag: Color32,
    /// Fill of late pieces.
    pub late_fill: Color32,
}

/// No color at all.
pub const CLEAR: Color32 = Color32::TRANSPARENT;
/// Draws a picture in its own colors.
pub const UNTINTED: Color32 = Color32::WHITE;

const fn rgb(hex: u32) -> Color32 {
    Color32::from_rgb((hex >> 16) as u8, (hex >> 8) as u8, hex as u8)
}

/// On paper.
pub const LIGHT: Tokens = Tokens {
    strip: rgb(0xf1f0eb),
    work: rgb(0xfbfaf7),
    card: rgb(0xffffff),
    picked: rgb(0xe2eef7),
    hovered: rgb(0xf0efe9),
    line: rgb(0xdedcd4),
    edge: rgb(0x848581),
    text: rgb(0x1d1e20),
    muted: rgb(0x63645f),
    accent: rgb(0x0067a3),
    good: rgb(0x00704f),
    soon: rgb(0x7a5200),
    late: rgb(0xb04600),
    bar: rgb(0x3a7fae),
    bar_ordered: rgb(0x2f7d66),
    phase: rgb(0x68727e),
    day_off: rgb(0xf3f1eb),
    need: rgb(0x1d1e20),
    flag: rgb(0xe69f00),
    late_fill: rgb(0xd55e00),
};

/// At night.
pub const DARK: Tokens = Tokens {
    strip: rgb(0x191b1e),
    work: rgb(0x1f2225),
    card: rgb(0x25282c),
    picked: rgb(0x22394a),
    hovered: rgb(0x2b2f33),
    line: rgb(0x3a3e43),
    edge: rgb(0x84888d),
    text: rgb(0xebe9e4),
    muted: rgb(0xa9a8a2),
    accent: rgb(0x6bbdf0),
    good: rgb(0x4fc7a0),
    soon: rgb(0xf0b63c),
    late: rgb(0xff9a5c),
    bar: rgb(0x4d92bf),
    bar_ordered: rgb(0x47a389),
    phase: rgb(0x7d858e),
    day_off: rgb(0x25282b),
    need: rgb(0xf5f3ee),
    flag: rgb(0xe69f00),
    late_fill: rgb(0xd55e00),
};

/// The words of finishes that have a color, with it.
pub fn finish_words() -> impl Iterator<Item = (&'static str, Color32)> {
    crate::model::drawing::finish_words().map(|(word, color)| (word, picked_color(color)))
}

/// The outlines of drawings, which tell a thing from whatever ground it stands on.
pub fn drawing_edge(tokens: &Tokens) -> Color32 {
    tokens.muted
}

/// A color of the document: one that the user picked, or that a finish brings to mind.
pub fn picked_color(color: crate::model::Rgb) -> Color32 {
    Color32::from_rgb(color.0, color.1, color.2)
}

/// Sizes of type.
pub mod type_size {
    /// Small print.
    pub const SMALL: f32 = 11.5;
    /// Running text and table cells.
    pub const BODY: f32 = 13.5;
    /// Headings of zones.
    pub const HEADING: f32 = 19.0;
}

/// Spacing steps, in points.
pub mod space {
    /// Between things that belong together.
    pub const S: f32 = 4.0;
    /// Between things.
    pub const M: f32 = 8.0;
    /// Around zones.
    pub const L: f32 = 14.0;
    /// Height of a table row.
    pub const ROW: f32 = 28.0;
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance as WCAG 2.2 defines it.
    fn luminance(color: Color32) -> f64 {
        let channel = |c: u8| {
            let c = f64::from(c) / 255.0;
            if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * channel(color.r()) + 0.7152 * channel(color.g()) + 0.0722 * channel(color.b())
    }

    fn contrast(a: Color32, b: Color32) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    /// WCAG 2.2, 1.4.3: text at least 4.5 to 1; 1.4.11: graphics that carry meaning at least 3 to 1.
    #[test]
    fn contrast_meets_wcag_aa() {
        for (name, t) in [("light", LIGHT), ("dark", DARK)] {
            for (ground_name, ground) in [
                ("strip", t.strip),
                ("work", t.work),
                ("card", t.card),
                ("picked", t.picked),
                ("hovered", t.hovered),
            ] {
                for (text_name, text) in [
                    ("text", t.text),
                    ("muted", t.muted),
                    ("accent", t.accent),
                    ("good", t.good),
                    ("soon", t.soon),
                    ("late", t.late),
                ] {
                    let found = contrast(text, ground);
                    assert!(found >= 4.5, "{name}: {text_name} on {ground_name} is {found:.2}");
                }
            }
            for ground in [t.strip, t.work, t.card, t.picked, t.hovered] {
                assert!(contrast(drawing_edge(&t), ground) >= 3.0, "{name} outlines of drawings");
                assert!(contrast(t.edge, ground) >= 3.0, "{name} outlines of fields and boxes");
            }
            assert!(contrast(t.late_fill, t.card) >= 3.0, "{name} late fill");
            assert!(contrast(t.need, t.work) >= 3.0, "{name} need line");
        }
    }
}
