//! Laying a paper out on pages: what is drawn where, in points from the upper left corner.

use super::font::Faces;
use super::{board, plan, steps, table};
use crate::exchange::outgoing::print::{Block, Paper, words};
use crate::exchange::picture::Picture;
use crate::model::drawing::Drawing;
use crate::model::{Rgb, Units};

/// A tone of ink. Color says nothing on paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// Nearly black.
    Ink,
    /// For what is beside the point; 5.9 to 1 on white.
    Muted,
    /// For lines.
    Line,
}

impl Tone {
    /// Its color.
    pub fn color(self) -> Rgb {
        match self {
            Tone::Ink => Rgb(0x1b, 0x1f, 0x24),
            Tone::Muted => Rgb(0x57, 0x60, 0x6a),
            Tone::Line => Rgb(0xc4, 0xcb, 0xd2),
        }
    }
}

/// Something drawn on a page.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// A line of text with its left end and its base line.
    Text {
        /// Left end.
        x: f32,
        /// Base line.
        y: f32,
        /// Size in points.
        size: f32,
        /// Strong letters.
        strong: bool,
        /// Ink.
        tone: Tone,
        /// The text.
        text: String,
    },
    /// A level line.
    Rule {
        /// Left end.
        x: f32,
        /// Height on the page.
        y: f32,
        /// Length.
        length: f32,
        /// Thickness.
        thickness: f32,
        /// Ink.
        tone: Tone,
    },
    /// A picture.
    Picture {
        /// Left side.
        x: f32,
        /// Upper side.
        y: f32,
        /// Width.
        width: f32,
        /// Height.
        height: f32,
        /// What it shows.
        picture: Picture,
    },
    /// A drawing of a thing in a square.
    Drawing {
        /// Left side.
        x: f32,
        /// Upper side.
        y: f32,
        /// Width and height.
        side: f32,
        /// What it shows.
        drawing: Drawing,
    },
    /// The color of a finish in a small square.
    Swatch {
        /// Left side.
        x: f32,
        /// Upper side.
        y: f32,
        /// Width and height.
        side: f32,
        /// The color.
        color: Rgb,
    },
    /// A closed outline, filled with a pale tone.
    Outline {
        /// Its points.
        points: Vec<[f32; 2]>,
    },
    /// A place that the list of contents of the file leads to. Nothing is drawn.
    Bookmark {
        /// Height on the page.
        y: f32,
        /// What it is called there.
        title: String,
        /// Whether it stands under a chapter, where there is one.
        below: bool,
    },
    /// What leads to an address when it is pressed. Nothing is drawn.
    Link {
        /// Left side.
        x: f32,
        /// Upper side.
        y: f32,
        /// Width.
        width: f32,
        /// Height.
        height: f32,
        /// The address.
        to: String,
    },
    /// An empty box.
    Frame {
        /// Left side.
        x: f32,
        /// Upper side.
        y: f32,
        /// Width.
        width: f32,
        /// Height.
        height: f32,
    },
}

/// The white border.
const MARGIN: f32 = 42.0;
/// Room for the line at the foot.
const FOOT: f32 = 20.0;
const TITLE: f32 = 20.0;
const CHAPTER: f32 = 16.0;
const HEADING: f32 = 12.5;
const BODY: f32 = 9.5;
const SMALL: f32 = 8.0;

/// Said where letters are missing.
const MISSING: &str = "\u{fffd} stands for a letter that this font does not have. The letter itself is in the text, to \
    be searched and copied, and in the HTML of this paper.";

/// Width and height of the pages of a paper: US Letter (8.5 by 11 inches), or A4 (ISO 216: 210 by 297 mm).
pub fn page_size(paper: &Paper) -> (f32, f32) {
    let (short, long) = match paper.units {
        Units::Us => (612.0, 792.0),
        Units::Metric => (595.28, 841.89),
    };
    if paper.wide { (long, short) } else { (short, long) }
}

/// Pages being filled.
pub struct Flow<'a> {
    /// Letters.
    pub faces: &'a Faces,
    /// What is drawn, page by page.
    pub pages: Vec<Vec<Mark>>,
    /// Where the next thing begins.
    pub y: f32,
    size: (f32, f32),
}

/// Lays out a paper.
pub fn lay_out(paper: &Paper, faces: &Faces) -> Vec<Vec<Mark>> {
    let mut flow = Flow { faces, pages: vec![Vec::new()], y: MARGIN, size: page_size(paper) };
    flow.title(paper);
    for block in &paper.blocks {
        match block {
            Block::Chapter(text) => {
                // A short part follows on the page of the one before it.
                flow.need(0.3 * flow.whole_page());
                flow.space(18.0);
                flow.bookmark(text, false);
                flow.paragraph(text, CHAPTER, true, Tone::Ink);
                flow.space(4.0);
            }
            Block::Heading(text) => {
                // Kept with a few lines of what follows.
                flow.need(130.0);
                flow.space(12.0);
                flow.bookmark(text, true);
                flow.paragraph(text, HEADING, true, Tone::Ink);
                flow.space(3.0);
            }
            Block::Text(text) => {
                flow.paragraph(text, BODY, false, Tone::Ink);
                flow.space(4.0);
            }
            Block::Note(text) => {
                flow.paragraph(text, SMALL, false, Tone::Muted);
                flow.space(4.0);
            }
            Block::Table(table) => {
                table::lay_out(&mut flow, table);
                flow.space(6.0);
            }
            Block::Steps(own) => steps::lay_out(&mut flow, own),
            Block::Board(own) => board::lay_out(&mut flow, own),
            Block::Page => flow.new_page(),
            Block::Plan(own) => plan::lay_out(&mut flow, own),
            Block::Lines(caption, lines) => flow.lines(caption, *lines),
        }
    }
    let missing = flow.pages.iter().flatten().any(|mark| match mark {
        Mark::Text { text, strong, .. } => !faces.of(*strong).has_all(text),
        _ => false,
    });
    if missing {
        flow.space(6.0);
        flow.paragraph(MISSING, SMALL, false, Tone::Muted);
    }
    let (width, height) = flow.size;
    let all = flow.pages.len();
    let head = words::joined(&[&paper.title, &paper.project], ", ");
    let as_of = words::date(paper.as_of);
    for (at, page) in flow.pages.iter_mut().enumerate() {
        let y = height - MARGIN + 8.0;
        let foot = |x, text: String| Mark::Text { x, y, size: SMALL, strong: false, tone: Tone::Muted, text };
        let number = format!("Page {} of {all}", at + 1);
        let wide = faces.regular.width(&number, SMALL);
        page.push(foot(width - MARGIN - wide, number));
        let room = width - 2.0 * MARGIN - wide - 20.0;
        let text = format!("{head}, as of {as_of}");
        let lines = faces.regular.wrap(&text, SMALL, room);
        let short = match lines.as_slice() {
            [only] => only.clone(),
            // The whole name stands on the first page.
            _ => format!("{}, as of {as_of}", paper.title),
        };
        page.push(foot(MARGIN, short));
    }
    flow.pages
}

impl Flow<'_> {
    /// The left side of what is printed.
    pub fn left(&self) -> f32 {
        MARGIN
    }

    /// The width of what is printed.
    pub fn width(&self) -> f32 {
        self.size.0 - 2.0 * MARGIN
    }

    /// The room left on the page.
    pub fn room(&self) -> f32 {
        self.size.1 - MARGIN - FOOT - self.y
    }

    /// The room on an empty page.
    pub fn whole_page(&self) -> f32 {
        self.size.1 - 2.0 * MARGIN - FOOT
    }

    /// Adds something to the page.
    pub fn draw(&mut self, mark: Mark) {
        if let Some(page) = self.pages.last_mut() {
            page.push(mark);
        }
    }

    /// Goes down, not at the top of a page.
    pub fn space(&mut self, points: f32) {
        if self.y > MARGIN + 0.1 {
            self.y += points;
        }
    }

    /// Begins a page.
    pub fn new_page(&mut self) {
        self.pages.push(Vec::new());
        self.y = MARGIN;
    }

    /// Begins a page when there is less room than that.
    pub fn need(&mut self, points: f32) {
        if self.room() < points && self.y > MARGIN + 0.1 {
            self.new_page();
        }
    }

    fn bookmark(&mut self, title: &str, below: bool) {
        self.draw(Mark::Bookmark { y: self.y, title: title.to_owned(), below });
    }

    fn paragraph(&mut self, text: &str, size: f32, strong: bool, tone: Tone) {
        let leading = size * 1.35;
        for line in self.faces.of(strong).wrap(text, size, self.width()) {
            self.need(leading);
            self.draw(Mark::Text { x: MARGIN, y: self.y + size, size, strong, tone, text: line });
            self.y += leading;
        }
    }

    /// Title, project and day, then the facts side by side in as many rows as they need.
    fn title(&mut self, paper: &Paper) {
        self.paragraph(&paper.title, TITLE, true, Tone::Ink);
        let below = format!("{}, as of {}", paper.project, words::date(paper.as_of));
        self.paragraph(&below, BODY, false, Tone::Muted);
        if paper.facts.is_empty() {
            return;
        }
        self.y += 8.0;
        let (mut x, mut deepest) = (MARGIN, self.y);
        let most = self.width();
        for (name, value) in &paper.facts {
            let face = &self.faces.strong;
            let lines = face.wrap(value, 11.0, most.min(260.0));
            let widest = lines.iter().map(|l| face.width(l, 11.0)).fold(0.0, f32::max);
            let width = widest.max(self.faces.regular.width(name, SMALL));
            if x + width > MARGIN + most && x > MARGIN {
                x = MARGIN;
                self.y = deepest + 4.0;
            }
            let name = name.clone();
            self.draw(Mark::Text {
                x,
                y: self.y + SMALL,
                size: SMALL,
                strong: false,
                tone: Tone::Muted,
                text: name,
            });
            let mut y = self.y + 12.0;
            for text in lines {
                self.draw(Mark::Text { x, y: y + 11.0, size: 11.0, strong: true, tone: Tone::Ink, text });
                y += 14.5;
            }
            deepest = deepest.max(y);
            x += width + 30.0;
        }
        self.y = deepest + 6.0;
    }

    fn lines(&mut self, caption: &str, lines: u32) {
        self.need(24.0 + 22.0 * lines.min(6) as f32);
        self.space(10.0);
        self.paragraph(caption, SMALL, false, Tone::Muted);
        for _ in 0..lines {
            self.need(22.0);
            self.y += 22.0;
            let length = self.width();
            self.draw(Mark::Rule { x: MARGIN, y: self.y, length, thickness: 0.5, tone: Tone::Line });
        }
    }
}
