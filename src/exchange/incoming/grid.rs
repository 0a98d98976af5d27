//! Raw cells as they stand in a file from elsewhere, before anybody says what they mean.

use crate::exchange::typed::spaces::{one_line, trim};
use chrono::NaiveDate;
use rust_decimal::Decimal;
use std::borrow::Cow;
use std::collections::HashMap;

/// Most rows of a sheet that are read.
pub const MOST_ROWS: usize = 100_000;
/// Most columns of a sheet that are read.
pub const MOST_COLUMNS: usize = 256;
/// Most cells with something in them, over all sheets of a file.
pub const MOST_CELLS: usize = 2_000_000;
/// Longest text in a cell; a workbook allows 32,767 characters.
pub const MOST_TEXT: usize = 40_000;
/// Largest file.
pub const MOST_BYTES: u64 = 64 * 1024 * 1024;

/// A cell.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum RawCell {
    /// Nothing.
    #[default]
    Empty,
    /// Text, without spaces around it.
    Text(String),
    /// A number that is one by itself: there is no question of marks.
    Number(Decimal),
    /// A number shown as percent: 15 for 15 %.
    Percent(Decimal),
    /// A number shown with the sign or code of a currency.
    Amount(Decimal, String),
    /// A day.
    Date(NaiveDate),
    /// Yes or no.
    Flag(bool),
    /// Something of no use: an error, a formula whose result was not kept; and what to do.
    Broken(String),
}

impl RawCell {
    /// A cell of text; nothing when there are only spaces.
    pub fn text(text: &str) -> RawCell {
        let text = trim(text);
        if text.is_empty() { RawCell::Empty } else { RawCell::Text(text.to_owned()) }
    }

    /// Whether there is nothing in it.
    pub fn is_empty(&self) -> bool {
        matches!(self, RawCell::Empty)
    }

    /// The text of a cell of text.
    pub fn as_text(&self) -> Option<&str> {
        match self {
            RawCell::Text(text) => Some(text),
            _ => None,
        }
    }

    /// What a person reads in it; numbers and days in the form of sheets.
    pub fn shown(&self) -> Cow<'_, str> {
        match self {
            RawCell::Empty => Cow::Borrowed(""),
            RawCell::Text(text) => Cow::Borrowed(text),
            RawCell::Number(number) => Cow::Owned(number.normalize().to_string()),
            RawCell::Percent(number) => Cow::Owned(format!("{} %", number.normalize())),
            RawCell::Amount(number, sign) => Cow::Owned(format!("{} {sign}", number.normalize())),
            RawCell::Date(date) => Cow::Owned(date.to_string()),
            RawCell::Flag(true) => Cow::Borrowed("yes"),
            RawCell::Flag(false) => Cow::Borrowed("no"),
            RawCell::Broken(_) => Cow::Borrowed("#"),
        }
    }
}

/// A row with its number as a spreadsheet shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GridRow {
    /// The number; the first is 1.
    pub number: usize,
    /// The cells from the first column on; what is missing at the end is empty.
    pub cells: Vec<RawCell>,
}

impl GridRow {
    /// The cell in a column.
    pub fn cell(&self, column: usize) -> &RawCell {
        const NOTHING: &RawCell = &RawCell::Empty;
        self.cells.get(column).unwrap_or(NOTHING)
    }

    /// How many cells have something in them.
    pub fn filled(&self) -> usize {
        self.cells.iter().filter(|c| !c.is_empty()).count()
    }
}

/// Cells that are shown as one; both ends included, counted from 0 for columns and from 1 for rows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Merged {
    /// First and last row.
    pub rows: (usize, usize),
    /// First and last column.
    pub columns: (usize, usize),
}

/// A table of raw cells. Rows without anything in them are left out.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Grid {
    /// The name of the file, for messages.
    pub file: String,
    /// The name of the sheet in a workbook.
    pub sheet: Option<String>,
    /// The rows.
    pub rows: Vec<GridRow>,
    /// Columns of the widest row.
    pub width: usize,
    /// Cells shown as one, each of which has its text in the first.
    pub merged: Vec<Merged>,
    /// Whether the sheet is hidden in its workbook.
    pub hidden: bool,
    /// How many cells each row of a text file has as it is written, empty ones at its end among them.
    pub written: HashMap<usize, usize>,
    /// How the text was read, for the eyes of the user: the encoding and what parts the cells.
    pub read_as: String,
}

impl Grid {
    /// What messages call it: the file, and the sheet of a workbook.
    pub fn place(&self) -> String {
        match &self.sheet {
            Some(sheet) => format!("{}, sheet {sheet}", self.file),
            None => self.file.clone(),
        }
    }

    /// The headings of the columns under a heading row; a column without one is called by its letter, and one whose
    /// heading was there before by its heading and a number.
    pub fn headings(&self, row: Option<usize>) -> Vec<String> {
        let at = row.and_then(|number| self.rows.iter().position(|r| r.number == number));
        let mut headings: Vec<String> = Vec::with_capacity(self.width);
        for column in 0..self.width {
            let own = at.map_or(String::new(), |at| self.heading(at, column));
            let base = if own.is_empty() { format!("column {}", letter(column)) } else { own };
            let mut heading = base.clone();
            let mut n = 2;
            while headings.contains(&heading) {
                heading = format!("{base} ({n})");
                n += 1;
            }
            headings.push(heading);
        }
        headings
    }

    /// The heading in a row and column, with what spans it from the row above.
    fn heading(&self, at: usize, column: usize) -> String {
        let row = &self.rows[at];
        let number = row.number;
        let own = one_line(&row.cell(column).shown());
        // Cells shown as one with those beside or above them have their text in the first.
        let spans = |m: &&Merged| {
            let inside = m.columns.0 <= column && column <= m.columns.1;
            let wide = m.columns.1 > m.columns.0;
            inside && ((m.rows.0..=m.rows.1).contains(&number) || (wide && m.rows.1 + 1 == number))
        };
        let above = self.merged.iter().filter(spans).find_map(|m| {
            let first = self.rows.iter().find(|r| r.number == m.rows.0)?;
            let text = one_line(&first.cell(m.columns.0).shown());
            (!text.is_empty() && text != own).then_some(text)
        });
        match above {
            Some(above) if own.is_empty() => above,
            Some(above) => format!("{above} {own}"),
            None if own.is_empty() && at > 0 => self.heading_above(at, column),
            None => own,
        }
    }

    /// A heading that stands one row higher, where headings take two rows.
    fn heading_above(&self, at: usize, column: usize) -> String {
        let above = &self.rows[at - 1];
        let beside = above.filled() >= 2 && above.number + 1 == self.rows[at].number;
        match above.cell(column) {
            RawCell::Text(text) if beside => one_line(text),
            _ => String::new(),
        }
    }
}

/// The letter a spreadsheet gives a column: A for 0, AA for 26.
pub fn letter(column: usize) -> String {
    let mut letters = Vec::new();
    let mut n = column + 1;
    while n > 0 {
        letters.push(char::from(b'A' + u8::try_from((n - 1) % 26).unwrap_or(0)));
        n = (n - 1) / 26;
    }
    letters.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid(rows: &[&[&str]]) -> Grid {
        let rows: Vec<GridRow> = rows
            .iter()
            .enumerate()
            .map(|(i, r)| GridRow { number: i + 1, cells: r.iter().map(|c| RawCell::text(c)).collect() })
            .collect();
        let width = rows.iter().map(|r| r.cells.len()).max().unwrap_or(0);
        Grid { rows, width, ..Grid::default() }
    }

    #[test]
    fn columns_have_letters() {
        assert_eq!([0, 25, 26, 701, 702].map(letter), ["A", "Z", "AA", "ZZ", "AAA"]);
    }

    #[test]
    fn every_column_has_a_heading_of_its_own() {
        let mut g = grid(&[&["Article", "Price", "", "Price"], &["net", "gross\nEUR", "", "x"]]);
        assert_eq!(g.headings(Some(1)), ["Article", "Price", "column C", "Price (2)"]);
        assert_eq!(g.headings(None), ["column A", "column B", "column C", "column D"]);
        assert_eq!(g.headings(Some(2)), ["net", "gross EUR", "column C", "x"]);
        g.merged.push(Merged { rows: (1, 1), columns: (1, 2) });
        assert_eq!(g.headings(Some(2))[1..3], ["Price gross EUR", "Price"]);
    }

    #[test]
    fn headings_may_stand_a_row_higher() {
        let g = grid(&[&["Article", "Name", ""], &["", "long", "Price"]]);
        assert_eq!(g.headings(Some(2)), ["Article", "long", "Price"]);
    }
}
