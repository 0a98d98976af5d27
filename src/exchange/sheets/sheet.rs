//! A sheet: a table of text with a header, and its CSV form.

use super::layout::Layout;
use crate::exchange::cell::{guard, push_record, unguard};
use crate::exchange::incoming::grid::MOST_COLUMNS;
use crate::exchange::notice::{Faults, Notice};
use std::borrow::Cow;

/// Most rows of a sheet; twice as many as the largest project that the times are measured with.
const MOST_ROWS: usize = 200_000;

/// A row of a sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Its number as a spreadsheet shows it; the header is row 1.
    pub number: usize,
    /// As many cells as the header has.
    pub cells: Vec<String>,
}

/// A table of text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    /// What it is called in messages: `parts.csv`.
    pub file: String,
    /// Its name: `parts`.
    pub name: String,
    /// The header, in small letters.
    pub columns: Vec<String>,
    /// The rows that are not blank.
    pub rows: Vec<Row>,
    /// False when a row could not be read.
    pub whole: bool,
}

impl Sheet {
    /// A sheet with its layout's header and no rows.
    pub fn empty(layout: &Layout) -> Sheet {
        Sheet {
            file: format!("{}.csv", layout.name),
            name: layout.name.to_owned(),
            columns: layout.columns.iter().map(|c| c.name.to_owned()).collect(),
            rows: Vec::new(),
            whole: true,
        }
    }

    /// Adds a row behind the last.
    pub fn push(&mut self, cells: Vec<String>) {
        let number = self.rows.last().map_or(1, |r| r.number) + 1;
        self.rows.push(Row { number, cells });
    }

    /// The position of a column.
    pub fn column(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|c| c == name)
    }

    /// Reads CSV: RFC 4180, UTF-8 with or without a byte order mark. Faults are added to `faults`; a row with one is
    /// left out. `None` when there is not even a header.
    pub fn from_csv(name: &str, file: &str, bytes: &[u8], faults: &mut Faults) -> Option<Sheet> {
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        if bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff") {
            faults.push(Notice::file(file, "this is UTF-16 text; save it again as CSV in UTF-8"));
            return None;
        }
        let mut records = Records::new(bytes);
        let header = records.next()?;
        let mut sheet = Sheet {
            file: file.to_owned(),
            name: name.to_owned(),
            columns: Vec::new(),
            rows: Vec::new(),
            whole: true,
        };
        if header.cells.len() > MOST_COLUMNS {
            let message =
                format!("the header has more than {MOST_COLUMNS} columns; take out those of no use here");
            faults.push(Notice::row(file, header.row, message));
            return None;
        }
        for (i, cell) in header.cells.iter().enumerate() {
            match std::str::from_utf8(cell) {
                Ok(text) => sheet.columns.push(text.trim().to_lowercase()),
                Err(_) => {
                    let message = format!(
                        "the name of column {} is not UTF-8 text; save the file again as CSV in UTF-8",
                        i + 1
                    );
                    faults.push(Notice::row(file, header.row, message));
                    return None;
                }
            }
        }
        let guarded: Vec<bool> = match Layout::of(name) {
            Some(layout) => {
                sheet.columns.iter().map(|c| layout.column(c).is_some_and(|known| known.text)).collect()
            }
            None => vec![false; sheet.columns.len()],
        };
        for record in records {
            match sheet.read_record(&record, &guarded) {
                Ok(Some(row)) if sheet.rows.len() < MOST_ROWS => sheet.rows.push(row),
                Ok(Some(row)) => {
                    let message =
                        format!("this sheet has more than {MOST_ROWS} rows; split the project in two");
                    faults.push(Notice::row(file, row.number, message));
                    sheet.whole = false;
                    break;
                }
                Ok(None) => {}
                Err(found) => {
                    sheet.whole = false;
                    faults.extend(found);
                }
            }
        }
        Some(sheet)
    }

    /// `None` for a blank row.
    fn read_record(&self, record: &Record, guarded: &[bool]) -> Result<Option<Row>, Vec<Notice>> {
        let blank = |cell: &Vec<u8>| cell.iter().all(u8::is_ascii_whitespace);
        if record.cells.iter().all(blank) {
            return Ok(None);
        }
        let (wanted, found) = (self.columns.len(), record.cells.len());
        if record.open_quote {
            let message = "a quotation mark is opened here and never closed; close it or take it out";
            return Err(vec![Notice::row(&self.file, record.row, message)]);
        }
        if found < wanted || record.cells.iter().skip(wanted).any(|c| !blank(c)) {
            let hint = if found > wanted {
                "put a cell that has commas in it between quotation marks"
            } else {
                "give every row as many cells as the header has"
            };
            let message = format!("{found} cells where the header has {wanted}; {hint}");
            return Err(vec![Notice::row(&self.file, record.row, message)]);
        }
        let mut cells = Vec::with_capacity(wanted);
        let mut faults = Vec::new();
        for ((cell, column), guarded) in record.cells.iter().zip(&self.columns).zip(guarded) {
            match std::str::from_utf8(cell) {
                Ok(text) if *guarded => cells.push(unguard(text).into_owned()),
                Ok(text) => cells.push(text.to_owned()),
                Err(_) => faults.push(Notice::cell(
                    &self.file,
                    record.row,
                    column,
                    "this is not UTF-8 text; save the file again as CSV in UTF-8",
                )),
            }
        }
        if faults.is_empty() { Ok(Some(Row { number: record.row, cells })) } else { Err(faults) }
    }

    /// Writes CSV: RFC 4180, UTF-8 without a byte order mark. Columns of the user's own words are kept from becoming
    /// formulas.
    pub fn to_csv(&self) -> String {
        let mut out = String::new();
        push_record(&mut out, &self.columns);
        let layout = Layout::of(&self.name);
        let text = |c: &String| layout.and_then(|l| l.column(c)).is_some_and(|known| known.text);
        let guarded: Vec<bool> = self.columns.iter().map(text).collect();
        for row in &self.rows {
            let cells = row.cells.iter().enumerate().map(|(i, cell)| {
                if guarded.get(i).copied().unwrap_or(false) {
                    guard(cell)
                } else {
                    Cow::Borrowed(cell.as_str())
                }
            });
            push_record(&mut out, cells);
        }
        out
    }
}

/// A record with the row a spreadsheet would show it in.
struct Record {
    row: usize,
    cells: Vec<Vec<u8>>,
    open_quote: bool,
}

/// Records of a CSV text. Blank lines count as rows; line breaks inside quotation marks do not.
struct Records<'a> {
    bytes: &'a [u8],
    reader: csv::Reader<&'a [u8]>,
    row: usize,
}

impl<'a> Records<'a> {
    fn new(bytes: &'a [u8]) -> Records<'a> {
        let reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(bytes);
        Records { bytes, reader, row: 1 }
    }

    /// Blank lines at a place, which the reader skips. The line feed of a CR LF that has begun is none.
    fn blank_lines(&self, mut at: usize) -> usize {
        let byte = |i: usize| self.bytes.get(i).copied();
        if at > 0 && byte(at - 1) == Some(b'\r') && byte(at) == Some(b'\n') {
            at += 1;
        }
        let mut lines = 0;
        loop {
            at += match (byte(at), byte(at + 1)) {
                (Some(b'\r'), Some(b'\n')) => 2,
                (Some(b'\r' | b'\n'), _) => 1,
                _ => return lines,
            };
            lines += 1;
        }
    }
}

impl Iterator for Records<'_> {
    type Item = Record;

    fn next(&mut self) -> Option<Record> {
        let start = usize::try_from(self.reader.position().byte()).ok()?;
        let mut record = csv::ByteRecord::new();
        // Reading from memory with `flexible` has no error to report.
        if !self.reader.read_byte_record(&mut record).unwrap_or(false) {
            return None;
        }
        let row = self.row + self.blank_lines(start);
        self.row = row + 1;
        let end = usize::try_from(self.reader.position().byte()).unwrap_or(self.bytes.len());
        let open_quote = end >= self.bytes.len() && {
            let raw = self.bytes.get(start..).unwrap_or_default();
            let quotes = raw.iter().filter(|b| **b == b'"').count();
            quotes % 2 == 1 && record.iter().any(|cell| cell.contains(&b'\n'))
        };
        // One cell too many is enough to be told of.
        let cells = record.iter().take(MOST_COLUMNS + 1).map(<[u8]>::to_vec).collect();
        Some(Record { row, cells, open_quote })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &[u8]) -> (Option<Sheet>, Vec<String>) {
        let mut faults = Faults::default();
        let sheet = Sheet::from_csv("rooms", "rooms.csv", text, &mut faults);
        (sheet, faults.kept().iter().map(Notice::to_string).collect())
    }

    #[test]
    fn rows_are_numbered_as_a_spreadsheet_does() {
        for newline in ["\n", "\r\n", "\r"] {
            let text = ["\u{feff}Key, name", "a,\"one\ntwo\"", "", "b,x", ",", "c,y"].join(newline);
            let (sheet, faults) = read(text.as_bytes());
            let sheet = sheet.unwrap();
            assert_eq!(sheet.columns, ["key", "name"]);
            assert_eq!(sheet.rows.iter().map(|r| r.number).collect::<Vec<_>>(), [2, 4, 6], "{newline:?}");
            assert!(faults.is_empty(), "{faults:?}");
        }
    }

    #[test]
    fn every_bad_row_is_named() {
        let (sheet, faults) = read(b"key,name\na,1,2\nb\nc,\xff\nd,ok,\ne,\"open\nf,x\n");
        assert_eq!(sheet.unwrap().rows.len(), 1);
        assert_eq!(faults.len(), 4, "{faults:?}");
        assert!(faults[0].starts_with("rooms.csv row 2: 3 cells"), "{faults:?}");
        assert!(faults[1].starts_with("rooms.csv row 3: 1 cells"), "{faults:?}");
        assert!(faults[2].starts_with("rooms.csv row 4, column name: this is not UTF-8"), "{faults:?}");
        assert!(faults[3].starts_with("rooms.csv row 6: a quotation mark"), "{faults:?}");
    }
}
