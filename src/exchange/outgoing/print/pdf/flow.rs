//! Laying a paper out on pages: what is drawn where, in points from the upper left corner.

use super::font::Faces;
use super::{board, calendar, plan, steps, table};
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

impl Mark {
    /// The same on a page of another size.
    fn scaled(self, by: f32) -> Mark {
        match self {
            Mark::Text { x, y, size, strong, tone, text } => {
                Mark::Text { x: x * by, y: y * by, size: size * by, strong, tone, text }
            }
            Mark::Rule { x, y, length, thickness, tone } => {
                Mark::Rule { x: x * by, y: y * by, length: length * by, thickness, tone }
            }
            Mark::Picture { x, y, width, height, picture } => {
                Mark::Picture { x: x * by, y: y * by, width: width * by, height: height * by, picture }
            }
            Mark::Drawing { x, y, side, drawing } => {
                Mark::Drawing { x: x * by, y: y * by, side: side * by, drawing }
            }
            Mark::Swatch { x, y, side, color } => {
                Mark::Swatch { x: x * by, y: y * by, side: side * by, color }
            }
            Mark::Outline { points } => {
                Mark::Outline { points: points.into_iter().map(|[x, y]| [x * by, y * by]).collect() }
            }
            Mark::Bookmark { y, title, below } => Mark::Bookmark { y: y * by, title, below },
            Mark::Link { x, y, width, height, to } => {
                Mark::Link { x: x * by, y: y * by, width: width * by, height: height * by, to }
            }
            Mark::Frame { x, y, width, height } => {
                Mark::Frame { x: x * by, y: y * by, width: width * by, height: height * by }
            }
        }
    }
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

/// How a sheet is made to stand on one page, the first that does it: by what it is made smaller, and whether its rows stand
/// closer. Its smallest letters keep 6 points.
const WAYS: [(f32, bool); 6] =
    [(1.0, false), (1.0, true), (0.95, true), (0.9, true), (0.85, true), (0.8, true)];
/// What goes over several pages is not made smaller than this.
const LEGIBLE: f32 = 0.9;

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
    /// By what everything is made smaller afterwards; the page is larger by as much until then.
    scale: f32,
    /// Rows of tables stand closer.
    pub tight: bool,
}

/// Lays out a paper.
pub fn lay_out(paper: &Paper, faces: &Faces) -> Vec<Vec<Mark>> {
    let size = page_size(paper);
    let mut flow = Flow { faces, pages: vec![Vec::new()], y: MARGIN, size, scale: 1.0, tight: false };
    flow.title(paper);
    flow.blocks(&paper.blocks);
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
        MARGIN / self.scale
    }

    /// Whether nothing stands on the page yet.
    pub fn at_top(&self) -> bool {
        self.y <= self.left() + 0.1
    }

    /// The width of what is printed.
    pub fn width(&self) -> f32 {
        self.size.0 - 2.0 * self.left()
    }

    /// The room left on the page.
    pub fn room(&self) -> f32 {
        self.size.1 - self.left() - FOOT / self.scale - self.y
    }

    /// The room on an empty page.
    pub fn whole_page(&self) -> f32 {
        self.size.1 - 2.0 * self.left() - FOOT / self.scale
    }

    /// Adds something to the page.
    pub fn draw(&mut self, mark: Mark) {
        if let Some(page) = self.pages.last_mut() {
            page.push(mark);
        }
    }

    /// Goes down, not at the top of a page.
    pub fn space(&mut self, points: f32) {
        if !self.at_top() {
            self.y += points;
        }
    }

    /// Begins a page.
    pub fn new_page(&mut self) {
        self.pages.push(Vec::new());
        self.y = self.left();
    }

    /// Begins a page when there is less room than that.
    pub fn need(&mut self, points: f32) {
        if self.room() < points && !self.at_top() {
            self.new_page();
        }
    }

    /// Lays out blocks one below the other.
    fn blocks(&mut self, blocks: &[Block]) {
        for (at, block) in blocks.iter().enumerate() {
            match block {
                Block::Chapter(text) => {
                    // A short part follows on the page of the one before it.
                    self.need(0.3 * self.whole_page());
                    self.space(18.0);
                    self.bookmark(text, false);
                    self.paragraph(text, CHAPTER, true, Tone::Ink);
                    self.space(4.0);
                }
                Block::Heading(text) => {
                    // Kept with a few lines of what follows.
                    self.need(130.0);
                    self.space(12.0);
                    self.bookmark(text, true);
                    self.paragraph(text, HEADING, true, Tone::Ink);
                    self.space(3.0);
                }
                Block::Text(text) => {
                    self.paragraph(text, BODY, false, Tone::Ink);
                    self.space(4.0);
                }
                Block::Note(text) => {
                    self.paragraph(text, SMALL, false, Tone::Muted);
                    self.space(4.0);
                }
                Block::Table(table) => {
                    table::lay_out(self, table);
                    self.space(6.0);
                }
                Block::Steps(own) => steps::lay_out(self, own),
                Block::Board(own) => board::lay_out(self, own),
                Block::Sheet(own) => {
                    // The first stands under the title of the paper.
                    if at > 0 {
                        self.new_page();
                    }
                    self.sheet(own);
                }
                Block::Plan(own) => plan::lay_out(self, own),
                Block::Calendar(own) => calendar::lay_out(self, own),
                Block::Lines(caption, lines) => self.lines(caption, *lines),
            }
        }
    }

    /// Lays out what is to stand on one page as large as it fits there; what is too much, on as few as letters of nearly full
    /// size take.
    fn sheet(&mut self, blocks: &[Block]) {
        let mut best: Option<Flow<'_>> = None;
        for (scale, tight) in WAYS {
            let size = (self.size.0 / scale, self.size.1 / scale);
            let mut own =
                Flow { faces: self.faces, pages: vec![Vec::new()], y: self.y / scale, size, scale, tight };
            own.blocks(blocks);
            let fits = own.pages.len() == 1;
            let fewer = best.as_ref().is_none_or(|best| own.pages.len() < best.pages.len());
            if fits || (fewer && scale >= LEGIBLE) {
                best = Some(own);
            }
            if fits {
                break;
            }
        }
        let Some(own) = best else { return };
        for (at, page) in own.pages.into_iter().enumerate() {
            if at > 0 {
                self.new_page();
            }
            page.into_iter().for_each(|mark| self.draw(mark.scaled(own.scale)));
        }
        self.y = own.y * own.scale;
    }

    fn bookmark(&mut self, title: &str, below: bool) {
        self.draw(Mark::Bookmark { y: self.y, title: title.to_owned(), below });
    }

    fn paragraph(&mut self, text: &str, size: f32, strong: bool, tone: Tone) {
        let leading = size * 1.35;
        for line in self.faces.of(strong).wrap(text, size, self.width()) {
            self.need(leading);
            self.draw(Mark::Text { x: self.left(), y: self.y + size, size, strong, tone, text: line });
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
        let (mut x, mut deepest) = (self.left(), self.y);
        let most = self.width();
        for (name, value) in &paper.facts {
            let face = &self.faces.strong;
            let lines = face.wrap(value, 11.0, most.min(260.0));
            let widest = lines.iter().map(|l| face.width(l, 11.0)).fold(0.0, f32::max);
            let width = widest.max(self.faces.regular.width(name, SMALL));
            if x + width > self.left() + most && x > self.left() {
                x = self.left();
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
            self.draw(Mark::Rule { x: self.left(), y: self.y, length, thickness: 0.5, tone: Tone::Line });
        }
    }
}
