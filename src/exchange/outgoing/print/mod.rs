//! What can be printed: a neutral description of headings, sentences and tables, and the two forms it is written in,
//! PDF and HTML. Both are made from the same description, so that they always agree.

pub mod binder;
pub mod board;
pub mod budget;
pub mod calendar;
pub mod calendar_pieces;
pub mod html;
pub mod inspections;
pub mod months;
pub mod papers;
pub mod pdf;
mod plan_lines;
pub mod punch_list;
pub mod room_sheet;
pub mod schedule;
pub mod selections;
pub mod sides;
pub mod story;
pub mod sure;
pub mod svg;
mod trades;
pub mod words;

pub use papers::{PaperForm, PaperKind, PaperScope, write_papers};

use crate::exchange::picture::Picture;
use crate::model::drawing::Drawing;
use crate::model::{Rgb, Units};
use chrono::NaiveDate;
use rust_decimal::Decimal;

/// Something to print.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Paper {
    /// What it is.
    pub title: String,
    /// The name of the project.
    pub project: String,
    /// The day it is for.
    pub as_of: NaiveDate,
    /// A few facts under the title, each with its name.
    pub facts: Vec<(String, String)>,
    /// What follows, in order.
    pub blocks: Vec<Block>,
    /// Broad tables: the long side of the paper lies.
    pub wide: bool,
    /// Letter where feet are used, A4 where meters are.
    pub units: Units,
}

/// A piece of a paper.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Block {
    /// The title of a part of a long paper. In HTML all of them are listed first; in PDF beside the pages.
    Chapter(String),
    /// A heading, kept with what follows.
    Heading(String),
    /// A paragraph.
    Text(String),
    /// A paragraph in small muted letters.
    Note(String),
    /// A table.
    Table(Table),
    /// Steps that lead from one day to another.
    Steps(Steps),
    /// Empty lines to write on, under a caption.
    Lines(String, u32),
    /// Cards with what was chosen, to be looked at.
    Board(Board),
    /// What is to stand on one page of its own, in smaller letters where it needs them; the first thing of a paper stands
    /// under its title.
    Sheet(Vec<Block>),
    /// The floor of a room, with what it measures beside it.
    Plan(FloorPlan),
    /// Phases as bars on a calendar, on one page.
    Calendar(calendar::Calendar),
}

/// The floor of a room.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FloorPlan {
    /// Corners in order around the room, in the project's unit, to the right and down.
    pub corners: Vec<(Decimal, Decimal)>,
    /// The length of the wall that begins at each corner, in words.
    pub walls: Vec<String>,
    /// What it measures, each with its name.
    pub measures: Vec<(String, String)>,
}

/// Cards side by side, one for each thing to be chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Board {
    /// In order.
    pub cards: Vec<BoardCard>,
}

/// A thing to be chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoardCard {
    /// What it is.
    pub title: String,
    /// What is not settled about it; nothing when it is chosen.
    pub state: String,
    /// No option stands for it; its candidates are shown smaller.
    pub open: bool,
    /// The choice, else its candidates.
    pub tiles: Vec<BoardTile>,
}

/// An option to be looked at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoardTile {
    /// What is seen of it.
    pub look: Look,
    /// What a drawing shows, for who cannot see it.
    pub told: String,
    /// Its name.
    pub name: String,
    /// The color of its finish, where one is known.
    pub swatch: Option<Rgb>,
    /// Its finish in words.
    pub finish: String,
    /// More about it, a line each.
    pub more: Vec<String>,
}

/// What is seen of an option.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Look {
    /// Its picture.
    Picture(Picture),
    /// A drawing of the kind of thing, where it has no picture.
    Drawing(Drawing),
    /// Why its picture cannot be shown.
    Missing(String),
}

/// Steps, each of which begins where the one before it ends.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Steps {
    /// In order.
    pub steps: Vec<Step>,
}

/// A step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// What it is.
    pub name: String,
    /// Days before it.
    pub before: i32,
    /// Days that it leads on, or back when negative.
    pub by: i32,
    /// The same in words.
    pub words: String,
    /// What is said beside it.
    pub more: String,
}

impl Steps {
    /// Where a number of days lies between the least and the most there are, from 0 to 1.
    pub fn share(&self, days: i32) -> f32 {
        let ends = || self.steps.iter().flat_map(|s| [s.before, s.before + s.by]);
        let (least, most) = (ends().min().unwrap_or(0).min(0), ends().max().unwrap_or(0).max(0));
        if most == least { 0.0 } else { (days - least) as f32 / (most - least) as f32 }
    }
}

/// A table. Its header stands again on each page it goes on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// Its columns.
    pub columns: Vec<TableColumn>,
    /// Its rows.
    pub rows: Vec<TableRow>,
}

/// A column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableColumn {
    /// What stands over it.
    pub title: String,
    /// What it holds.
    pub kind: ColumnKind,
    /// Its part of the width, beside the parts of the others.
    pub share: u16,
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColumnKind {
    /// Words, from the left.
    Text,
    /// Figures, to the right.
    Number,
    /// A box in each line: to tick, to glue a sample into, or with a picture.
    Frame,
    /// A picture, and nothing where there is none.
    Picture,
}

impl TableColumn {
    /// A column of words.
    pub fn text(title: &str, share: u16) -> TableColumn {
        TableColumn { title: title.to_owned(), kind: ColumnKind::Text, share }
    }

    /// A column of figures.
    pub fn number(title: &str, share: u16) -> TableColumn {
        TableColumn { title: title.to_owned(), kind: ColumnKind::Number, share }
    }

    /// A column of pictures.
    pub fn picture(title: &str, share: u16) -> TableColumn {
        TableColumn { title: title.to_owned(), kind: ColumnKind::Picture, share }
    }

    /// A column of empty boxes.
    pub fn frame(title: &str, share: u16) -> TableColumn {
        TableColumn { title: title.to_owned(), kind: ColumnKind::Frame, share }
    }
}

/// A row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableRow {
    /// What it is.
    pub kind: RowKind,
    /// As many as there are columns; only the first of a group.
    pub cells: Vec<Cell>,
}

/// What a row is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowKind {
    /// One of the lines.
    Line,
    /// A title over the lines behind it, over the whole width.
    Group,
    /// A sum of lines before it.
    Sum,
}

impl TableRow {
    /// One of the lines.
    pub fn line(cells: Vec<Cell>) -> TableRow {
        TableRow { kind: RowKind::Line, cells }
    }

    /// A title over lines.
    pub fn group(title: impl Into<String>) -> TableRow {
        TableRow { kind: RowKind::Group, cells: vec![Cell::new(title)] }
    }

    /// A sum.
    pub fn sum(cells: Vec<Cell>) -> TableRow {
        TableRow { kind: RowKind::Sum, cells }
    }
}

/// A cell: text, and what is said below it in small letters.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Cell {
    /// What it says.
    pub text: String,
    /// More about it; nothing when empty.
    pub more: String,
    /// What stands in a column of boxes or of pictures; a box is empty without.
    pub picture: Option<Picture>,
    /// The address of a page of the web, or a file beside the paper, that it leads to; nothing when empty.
    pub link: String,
}

impl Cell {
    /// A cell with one text.
    pub fn new(text: impl Into<String>) -> Cell {
        Cell { text: text.into(), ..Cell::default() }
    }

    /// The same cell, leading to an address.
    pub fn leading_to(self, link: impl Into<String>) -> Cell {
        Cell { link: link.into(), ..self }
    }

    /// A cell with more below its text.
    pub fn with(text: impl Into<String>, more: impl Into<String>) -> Cell {
        Cell { text: text.into(), more: more.into(), ..Cell::default() }
    }
}

impl Table {
    /// A table without rows.
    pub fn new(columns: Vec<TableColumn>) -> Table {
        Table { columns, rows: Vec::new() }
    }
}
