//! Where each piece of a calendar of phases stands. Both forms of a paper are drawn from this.

use super::calendar::{BarShape, Calendar};
use super::months::thinned;
use crate::engine::Day;
use chrono::{Datelike, NaiveDate};

/// Height of a row where there is room, and the least on paper.
const ROW: (f32, f32) = (16.0, 4.6);
/// The band of months above, and below the rows that of the two lines and of what the shapes mean.
const ABOVE: f32 = 13.0;
const BELOW: f32 = 34.0;
const SMALL: f32 = 7.5;

/// A piece of the picture, in points.
#[derive(Debug, Clone, PartialEq)]
pub enum Piece {
    /// Words from their left end on a base line.
    Words {
        /// Left end and base line.
        at: [f32; 2],
        /// Size of the letters.
        size: f32,
        /// Strong letters.
        strong: bool,
        /// They step back.
        muted: bool,
        /// The words.
        words: String,
    },
    /// A filled rectangle, from its upper left corner, by its size.
    Fill([f32; 4], Shade),
    /// An empty rectangle.
    Frame([f32; 4]),
    /// A closed outline.
    Outline(Vec<[f32; 2]>),
}

/// How dark a rectangle is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shade {
    /// What counts.
    Ink,
    /// What is beside the point.
    Muted,
    /// A thin line behind all.
    Line,
}

/// The pieces of the picture.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Laid {
    /// What lies behind the rows.
    pub behind: Vec<Piece>,
    /// By row.
    pub rows: Vec<Vec<Piece>>,
    /// What lies before them, and below.
    pub before: Vec<Piece>,
    /// The height it takes.
    pub height: f32,
}

impl Calendar {
    /// The heights it can have: where there is room, and at least.
    pub fn heights(&self) -> (f32, f32) {
        let high = |row: f32| ABOVE + BELOW + row * self.rows.len() as f32;
        (high(ROW.0), high(ROW.1))
    }

    /// Places the pieces into a width and a height, from an upper left corner. `wide` is how wide words are in letters
    /// of a size, strong ones or not.
    pub fn laid_out(
        &self,
        [left, top]: [f32; 2],
        [width, height]: [f32; 2],
        wide: &dyn Fn(&str, f32, bool) -> f32,
    ) -> Laid {
        let step = ((height - ABOVE - BELOW) / self.rows.len().max(1) as f32).min(ROW.0);
        let size = (step * 0.78).min(8.5);
        let short = |day: NaiveDate| day.format("%b %-d").to_string();
        let (names, days) = ((width * 0.23).min(190.0), wide("Sep 30 \u{2013} Sep 30", size, false) + 8.0);
        let x0 = left + names + days;
        let x1 = left + width;
        let x = |day: NaiveDate| x0 + (x1 - x0) * self.share(day);
        let after = |day: NaiveDate| x(Day::from(day).plus(1).date());
        let (rows_top, rows_high) = (top + ABOVE, step * self.rows.len() as f32);
        let mut laid = Laid { height: ABOVE + BELOW + rows_high, ..Laid::default() };
        let line =
            |x: f32, shade, thick: f32| Piece::Fill([x - thick / 2.0, rows_top, thick, rows_high], shade);
        let small = |at, words: String| Piece::Words { at, size: SMALL, strong: false, muted: true, words };
        let months: Vec<(f32, NaiveDate)> = self.months().map(|month| (x(month), month)).collect();
        laid.behind.extend(months.iter().map(|(x, _)| line(*x, Shade::Line, 0.5)));
        let named = thinned(&months, x1, |words| wide(words, SMALL, false));
        laid.behind.extend(named.into_iter().map(|(x, words)| small([x, top + SMALL + 1.0], words)));
        for (n, row) in self.rows.iter().enumerate() {
            let y = rows_top + step * n as f32;
            let base = y + step / 2.0 + size * 0.35;
            let mut pieces = Vec::new();
            let mut say = |x: f32, strong, muted, words: String| {
                pieces.push(Piece::Words { at: [x, base], size, strong, muted, words });
            };
            say(
                left,
                row.critical,
                false,
                cut(&row.name, names - 6.0, |words| wide(words, size, row.critical)),
            );
            if let Some((from, to)) = row.days {
                let words =
                    if from == to { short(from) } else { format!("{} \u{2013} {}", short(from), short(to)) };
                say(left + names, false, true, words);
            }
            for bar in &row.bars {
                shape(&mut pieces, bar.shape, bar.critical, [x(bar.from), after(bar.to)], [y, step]);
            }
            laid.rows.push(pieces);
            laid.behind.push(Piece::Fill([left, y + step - 0.2, width, 0.3], Shade::Line));
        }
        let foot = rows_top + rows_high;
        // Each line has its words below the rows, on a line of its own.
        let mut said = |at: f32, words: String, below: f32| {
            let room = wide(&words, SMALL, false);
            laid.before.push(small([(at + 2.0).min(x1 - room), foot + below], words));
        };
        said(x(self.as_of), format!("as of {}", short(self.as_of)), 8.5);
        if let Some(target) = self.target {
            said(after(target), format!("target {}", short(target)), 17.0);
        }
        laid.before.extend(dashes(x(self.as_of), rows_top, rows_high + 8.0));
        if let Some(target) = self.target {
            laid.before.push(Piece::Fill([after(target) - 0.5, rows_top, 1.0, rows_high + 17.0], Shade::Ink));
        }
        self.legend(&mut laid.before, [left, foot + 29.0], wide);
        laid
    }

    /// The first days of the months on it.
    fn months(&self) -> impl Iterator<Item = NaiveDate> + '_ {
        let first = self.from.with_day(1).unwrap_or(self.from);
        let all = (0..1_200).map_while(move |n| first.checked_add_months(chrono::Months::new(n)));
        all.skip_while(|day| *day < self.from).take_while(|day| *day <= self.to)
    }

    /// What the shapes mean that are drawn, from a left end and a base line.
    fn legend(&self, out: &mut Vec<Piece>, [left, base]: [f32; 2], wide: &dyn Fn(&str, f32, bool) -> f32) {
        let bars = || self.rows.iter().flat_map(|row| &row.bars);
        let mut x = left;
        let shapes = BarShape::ALL.iter().filter(|(known, _)| bars().any(|bar| bar.shape == *known));
        let shapes = shapes.map(|(shape, words)| (*shape, *words, false));
        let critical = bars().any(|bar| bar.critical);
        let critical =
            critical.then_some((BarShape::Work, "critical: underlined, its name in heavy letters", true));
        for (known, words, critical) in shapes.chain(critical) {
            shape(out, known, critical, [x, x + 16.0], [base - 8.5, 11.0]);
            out.push(Piece::Words {
                at: [x + 20.0, base],
                size: SMALL,
                strong: critical,
                muted: true,
                words: words.to_owned(),
            });
            x += 34.0 + wide(words, SMALL, critical);
        }
    }
}

/// A shape from one place to another, in a row from its top on with its height.
fn shape(out: &mut Vec<Piece>, shape: BarShape, critical: bool, [from, to]: [f32; 2], [y, step]: [f32; 2]) {
    let (middle, half) = (y + step * 0.46, (step * 0.28).min(4.2));
    let to = to.max(from + 1.0);
    let long = to - from;
    let r = half.max(2.0);
    match shape {
        BarShape::Work => {
            let shade = if critical { Shade::Ink } else { Shade::Muted };
            out.push(Piece::Fill([from, middle - half, long, half * 2.0], shade));
        }
        BarShape::Done => out.push(Piece::Frame([from, middle - half, long, half * 2.0])),
        BarShape::Milestone => {
            let x = from;
            out.push(Piece::Outline(vec![
                [x, middle - r],
                [x + r, middle],
                [x, middle + r],
                [x - r, middle],
            ]));
        }
        BarShape::Inspection => {
            let x = (from + to) / 2.0;
            let corner = |n: u8| {
                let angle = f32::from(n) * std::f32::consts::TAU / 16.0;
                [x + r * angle.cos(), middle + r * angle.sin()]
            };
            out.push(Piece::Outline((0..16).map(corner).collect()));
        }
    }
    if critical {
        let (from, to) = (from.min((from + to) / 2.0 - r), to.max((from + to) / 2.0 + r));
        let thick = (step * 0.1).clamp(0.5, 1.4);
        out.push(Piece::Fill([from, middle + half + step * 0.08, to - from, thick], Shade::Ink));
    }
}

/// An upright line in dashes.
fn dashes(x: f32, top: f32, height: f32) -> impl Iterator<Item = Piece> {
    let count = (height / 5.0).ceil().max(0.0) as usize;
    (0..count).map(move |n| {
        let y = top + n as f32 * 5.0;
        Piece::Fill([x - 0.4, y, 0.8, (top + height - y).min(3.0)], Shade::Ink)
    })
}

/// As much of a text as has room, with a sign for the rest.
fn cut(text: &str, room: f32, wide: impl Fn(&str) -> f32) -> String {
    if wide(text) <= room {
        return text.to_owned();
    }
    let mut short: String = text.to_owned();
    while short.pop().is_some() {
        let with = format!("{}\u{2026}", short.trim_end());
        if wide(&with) <= room {
            return with;
        }
    }
    String::new()
}
