//! The letters of a page: their widths, where lines break, and what stands for letters the font does not have.

use crate::exchange::outgoing::print::words;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use skrifa::charmap::Charmap;
use skrifa::instance::{LocationRef, Size};
use skrifa::metrics::GlyphMetrics;
use skrifa::{FontRef, MetadataProvider};
use std::ops::Range;
use unicode_bidi::{BidiInfo, Level};

const REGULAR: &[u8] = include_bytes!("../../../../../assets/fonts/IBMPlexSans-Regular.ttf");
const STRONG: &[u8] = include_bytes!("../../../../../assets/fonts/IBMPlexSans-SemiBold.ttf");

/// The two faces of a paper.
pub struct Faces {
    /// For most of it.
    pub regular: Face,
    /// For titles and sums.
    pub strong: Face,
}

impl Faces {
    /// Reads the fonts that the program carries; `None` is not known to happen.
    pub fn new() -> Option<Faces> {
        Some(Faces { regular: Face::new(REGULAR)?, strong: Face::new(STRONG)? })
    }

    /// The one or the other.
    pub fn of(&self, strong: bool) -> &Face {
        if strong { &self.strong } else { &self.regular }
    }
}

/// A font.
pub struct Face {
    /// For drawing.
    pub font: Font,
    letters: Charmap<'static>,
    metrics: GlyphMetrics<'static>,
    em: f32,
    /// Drawn for a letter the font does not have.
    missing: skrifa::GlyphId,
}

/// A letter, or several that are drawn as one: which glyph, which bytes of the text, how far it moves on in ems.
struct Piece {
    glyph: skrifa::GlyphId,
    range: Range<usize>,
    advance: f32,
}

/// Signs without a picture of their own: joiners, direction marks, variation selectors, accents to be put over
/// another letter. Where the font does not have them they belong to the letter before them.
fn leans_on_the_letter_before(c: char) -> bool {
    matches!(c,
        '\u{ad}' | '\u{300}'..='\u{36f}' | '\u{591}'..='\u{5bd}' | '\u{64b}'..='\u{65f}' | '\u{200b}'..='\u{200f}'
        | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{20d0}'..='\u{20ff}' | '\u{fe00}'..='\u{fe0f}'
        | '\u{feff}' | '\u{1f3fb}'..='\u{1f3ff}' | '\u{e0000}'..='\u{e01ef}')
}

/// The picture of a bracket where text runs from right to left.
fn mirrored(letter: &str) -> Option<char> {
    const PAIRS: [(&str, char); 10] = [
        ("(", ')'),
        (")", '('),
        ("[", ']'),
        ("]", '['),
        ("{", '}'),
        ("}", '{'),
        ("<", '>'),
        (">", '<'),
        ("\u{ab}", '\u{bb}'),
        ("\u{bb}", '\u{ab}'),
    ];
    PAIRS.iter().find(|(known, _)| *known == letter).map(|(_, mirror)| *mirror)
}

impl Face {
    fn new(bytes: &'static [u8]) -> Option<Face> {
        let font = FontRef::new(bytes).ok()?;
        let letters = font.charmap();
        let metrics = font.glyph_metrics(Size::unscaled(), LocationRef::default());
        let stand_in = ['\u{fffd}', '\u{25a1}'].into_iter().find_map(|c| letters.map(c));
        Some(Face {
            missing: stand_in.unwrap_or_default(),
            em: f32::from(font.metrics(Size::unscaled(), LocationRef::default()).units_per_em),
            letters,
            metrics,
            font: Font::new(bytes.into(), 0)?,
        })
    }

    /// Whether the font has a letter.
    #[cfg(test)]
    fn has(&self, c: char) -> bool {
        self.letters.map(c).is_some()
    }

    fn advance(&self, glyph: skrifa::GlyphId) -> f32 {
        self.metrics.advance_width(glyph).unwrap_or(self.em) / self.em
    }

    fn pieces(&self, text: &str) -> Vec<Piece> {
        let mut pieces: Vec<Piece> = Vec::with_capacity(text.len());
        for (at, c) in text.char_indices() {
            let end = at + c.len_utf8();
            let glyph = match self.letters.map(c) {
                Some(glyph) => glyph,
                None => match pieces.last_mut() {
                    Some(last) if leans_on_the_letter_before(c) => {
                        last.range.end = end;
                        continue;
                    }
                    _ => self.missing,
                },
            };
            pieces.push(Piece { glyph, range: at..end, advance: self.advance(glyph) });
        }
        pieces
    }

    /// What is to be drawn for a line of text. Each glyph names the text it stands for, so that the text can be
    /// copied and searched also where the font has no picture of it.
    /// Text that runs from right to left is set so, inside lines that run from left to right (Unicode Standard Annex 9).
    pub fn glyphs(&self, text: &str) -> Vec<KrillaGlyph> {
        let glyph = |p: Piece| {
            KrillaGlyph::new(GlyphId::new(p.glyph.to_u32()), p.advance, 0.0, 0.0, 0.0, p.range, None)
        };
        let mut pieces = self.pieces(text);
        if !text.is_ascii() {
            pieces = self.in_order_of_sight(text, pieces);
        }
        pieces.into_iter().map(glyph).collect()
    }

    fn in_order_of_sight(&self, text: &str, mut pieces: Vec<Piece>) -> Vec<Piece> {
        let bidi = BidiInfo::new(text, Some(Level::ltr()));
        let Some(paragraph) = bidi.paragraphs.first().filter(|_| bidi.has_rtl()) else { return pieces };
        let (levels, runs) = bidi.visual_runs(paragraph, paragraph.range.clone());
        let mut ordered = Vec::with_capacity(pieces.len());
        for run in runs {
            let backwards = levels.get(run.start).is_some_and(|level| level.is_rtl());
            let (mut inside, others): (Vec<Piece>, Vec<Piece>) =
                pieces.into_iter().partition(|p| run.contains(&p.range.start));
            pieces = others;
            if backwards {
                inside.reverse();
                for piece in &mut inside {
                    let mirror =
                        text.get(piece.range.clone()).and_then(mirrored).and_then(|c| self.letters.map(c));
                    piece.glyph = mirror.unwrap_or(piece.glyph);
                }
            }
            ordered.extend(inside);
        }
        // What no run had, which is not known to happen, stands at the end.
        ordered.extend(pieces);
        ordered
    }

    /// Whether every letter of a text has a picture in the font.
    pub fn has_all(&self, text: &str) -> bool {
        text.chars().all(|c| c.is_control() || leans_on_the_letter_before(c) || self.letters.map(c).is_some())
    }

    /// How wide a line of text is, in points.
    pub fn width(&self, text: &str, size: f32) -> f32 {
        self.pieces(text).iter().map(|p| p.advance).sum::<f32>() * size
    }

    /// Breaks text into lines no wider than `width`: at its own line breaks, behind spaces, hyphens and slashes, and
    /// inside a word only when it is too long for a line of its own. At least one line.
    pub fn wrap(&self, text: &str, size: f32, width: f32) -> Vec<String> {
        let mut lines = Vec::new();
        for paragraph in text.replace("\r\n", "\n").split(['\n', '\r', '\u{2028}', '\u{2029}']) {
            // A control character has no width of its own and would be lost.
            let clean: String = paragraph.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
            self.wrap_paragraph(&clean, size, width, &mut lines);
        }
        lines
    }

    fn wrap_paragraph(&self, text: &str, size: f32, width: f32, lines: &mut Vec<String>) {
        let pieces = self.pieces(text);
        let (mut start, mut used, mut breakable, mut used_there) = (0, 0.0, None, 0.0);
        let mut take = |from: usize, to: usize| {
            let bytes = pieces.get(from).map_or(text.len(), |p| p.range.start)
                ..pieces.get(to).map_or(text.len(), |p| p.range.start);
            lines.push(text.get(bytes).unwrap_or_default().trim_end().to_owned());
        };
        for (at, piece) in pieces.iter().enumerate() {
            let letter = text.get(piece.range.clone()).unwrap_or_default();
            let advance = piece.advance * size;
            let space = letter.starts_with(char::is_whitespace) && words::may_break(letter);
            if used + advance > width + 0.01 && at > start && !space {
                let end = breakable.filter(|b| *b > start).unwrap_or(at);
                take(start, end);
                used = if end == at { 0.0 } else { used - used_there };
                start = end;
                breakable = None;
            }
            used += advance;
            if words::may_break(letter) {
                breakable = Some(at + 1);
                used_there = used;
            }
        }
        take(start, pieces.len());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_fit_and_nothing_is_dropped() {
        let faces = Faces::new().unwrap();
        let face = &faces.regular;
        for text in [
            "Shower valve body, brushed nickel, with a very long name that goes on",
            "Donaudampfschifffahrtsgesellschaftskapitaenskajuetentuer",
            "שלום עולם, plus some 日本語 and 🚿🛁 with 👩‍🔧",
            "a",
            "",
            "   two   spaces ",
        ] {
            for width in [3.0, 40.0, 90.0, 1000.0] {
                let lines = face.wrap(text, 9.0, width);
                assert!(!lines.is_empty());
                let widest = text.chars().map(|c| face.width(&c.to_string(), 9.0)).fold(width, f32::max);
                assert!(lines.iter().all(|l| face.width(l, 9.0) <= widest + 0.1), "{lines:?}");
                let bare = |t: &str| t.chars().filter(|c| !c.is_whitespace()).collect::<String>();
                assert_eq!(bare(&lines.concat()), bare(text), "{width}");
            }
        }
        assert_eq!(face.wrap("one\ntwo\r\n\nthree", 9.0, 500.0), ["one", "two", "", "three"]);
    }

    #[test]
    fn a_letter_the_font_does_not_have_is_drawn_as_a_sign_of_that() {
        let faces = Faces::new().unwrap();
        let face = &faces.regular;
        assert!(face.has('é') && face.has('Ж') && face.has('Ω') && !face.has('日'));
        let glyphs = face.glyphs("日");
        assert_eq!(glyphs.len(), 1);
        assert!(face.width("日", 10.0) > 1.0);
        assert!(face.has_all("é\u{301}Ω") && !face.has_all("a日"));
        // A joiner or an accent takes no room of its own.
        assert_eq!(face.glyphs("🚿\u{fe0f}").len(), 1);
    }

    /// Unicode Standard Annex 9: letters of right-to-left scripts from the right, numbers among them from the left,
    /// brackets mirrored.
    #[test]
    fn text_from_right_to_left_is_set_so() {
        let faces = Faces::new().unwrap();
        let order = |text: &str| -> Vec<String> {
            let glyphs = faces.regular.glyphs(text);
            glyphs.iter().map(|g| text[g.text_range.clone()].to_owned()).collect()
        };
        assert_eq!(order("ab אבג 12").concat(), "ab 12 גבא");
        assert_eq!(order("אב (ג), x").concat(), ")ג( בא, x");
        let letters = &faces.regular.letters;
        let bracket = |text: &str, at: usize| faces.regular.glyphs(text)[at].glyph_id.to_u32();
        assert_eq!(bracket("א(א", 1), letters.map(')').unwrap().to_u32());
    }
}
