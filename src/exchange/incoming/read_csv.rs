//! Text files: which encoding, what parts the cells, and the cells.

use super::grid::{Grid, GridRow, MOST_CELLS, MOST_COLUMNS, MOST_ROWS, MOST_TEXT, RawCell};
use crate::exchange::cell::unguard;
use crate::exchange::notice::Notice;
use crate::exchange::progress::Progress;
use std::borrow::Cow;

/// What may part cells.
const DELIMITERS: [(u8, &str); 4] = [(b',', "commas"), (b';', "semicolons"), (b'\t', "tabs"), (b'|', "bars")];

/// Bytes of text between two looks at whether to go on.
const STEP: usize = 200_000;

/// Rows looked at to tell what parts the cells.
const SAMPLE_ROWS: usize = 60;

/// Reads a text file into a grid.
///
/// # Errors
/// When it is no table, is too large, or the user stopped it.
pub fn read(file: &str, bytes: &[u8], progress: &Progress) -> Result<Grid, Notice> {
    let (text, encoding) = decode(bytes);
    let nuls = text.chars().take(4096).filter(|c| *c == '\0').count();
    if nuls > 0 {
        return Err(Notice::file(file, "this is no text; save the table as CSV or .xlsx"));
    }
    let (text, told) = told_delimiter(&text);
    read_text(file, text, encoding, told, progress)
}

/// Reads text into a grid, its cells parted by what is told or as they seem to be.
///
/// # Errors
/// When it is no table, is too large, or the user stopped it.
pub fn read_text(
    file: &str,
    text: &str,
    encoding: &str,
    told: Option<(u8, &'static str)>,
    progress: &Progress,
) -> Result<Grid, Notice> {
    let (delimiter, name) = told.unwrap_or_else(|| guess_delimiter(text));
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(text.as_bytes());
    let mut grid = Grid {
        file: file.to_owned(),
        read_as: format!("text in {encoding}, cells parted by {name}"),
        ..Grid::default()
    };
    let mut record = csv::StringRecord::new();
    let mut cells = 0;
    let (steps, mut done) = (text.len() / STEP + 1, 0);
    progress.add_steps(steps);
    progress.go_on().map_err(|why| Notice::file(file, why.to_string()))?;
    let mut lines = Lines { text: text.as_bytes(), at: 0, line: 1 };
    loop {
        let start = usize::try_from(reader.position().byte()).unwrap_or(text.len());
        match reader.read_record(&mut record) {
            Ok(true) => {}
            Ok(false) => break,
            Err(why) => return Err(Notice::file(file, format!("this cannot be read as a table: {why}"))),
        }
        if start / STEP > done && done < steps {
            done += 1;
            progress.step().map_err(|why| Notice::file(file, why.to_string()))?;
        }
        let number = lines.row_at(start);
        let row = row(file, number, &record)?;
        cells += row.filled();
        if row.filled() == 0 {
            continue;
        }
        if grid.rows.len() >= MOST_ROWS || cells > MOST_CELLS {
            return Err(too_large(file));
        }
        grid.width = grid.width.max(row.cells.len());
        grid.written.insert(number, record.len());
        grid.rows.push(row);
    }
    if grid.rows.is_empty() {
        return Err(Notice::file(file, "there are no rows in this"));
    }
    for _ in done..steps {
        progress.step().map_err(|why| Notice::file(file, why.to_string()))?;
    }
    Ok(grid)
}

/// The message about a sheet that is too large.
pub(super) fn too_large(file: &str) -> Notice {
    let message = format!(
        "this has more than {MOST_ROWS} rows or {MOST_CELLS} cells; split it, or delete what is not needed"
    );
    Notice::file(file, message)
}

fn row(file: &str, number: usize, record: &csv::StringRecord) -> Result<GridRow, Notice> {
    let mut cells: Vec<RawCell> = Vec::with_capacity(record.len().min(MOST_COLUMNS));
    for (column, text) in record.iter().enumerate() {
        if text.len() > MOST_TEXT {
            let message = format!(
                "a cell here is longer than {MOST_TEXT} characters; a quotation mark may be opened and never closed"
            );
            return Err(Notice::row(file, number, message));
        }
        let cell = RawCell::text(&unguard(text));
        if column >= MOST_COLUMNS {
            if cell.is_empty() {
                continue;
            }
            return Err(Notice::row(file, number, format!("this row has more than {MOST_COLUMNS} columns")));
        }
        cells.push(cell);
    }
    while cells.last().is_some_and(RawCell::is_empty) {
        cells.pop();
    }
    Ok(GridRow { number, cells })
}

/// Text of bytes in an unknown encoding, and what it is called. A byte order mark decides, then whether it is UTF-8,
/// then what the bytes look like most.
fn decode(bytes: &[u8]) -> (Cow<'_, str>, &'static str) {
    if let Some((encoding, length)) = encoding_rs::Encoding::for_bom(bytes) {
        let (text, _) = encoding.decode_without_bom_handling(bytes.get(length..).unwrap_or_default());
        return (text, encoding.name());
    }
    if let Ok(text) = std::str::from_utf8(bytes) {
        return (Cow::Borrowed(text), "UTF-8");
    }
    let mut detector = chardetng::EncodingDetector::new(chardetng::Iso2022JpDetection::Deny);
    detector.feed(bytes, true);
    let encoding = detector.guess(None, chardetng::Utf8Detection::Deny);
    let (text, _) = encoding.decode_without_bom_handling(bytes);
    (text, encoding.name())
}

/// Some programs write what parts the cells into a first line of its own: `sep=;`.
fn told_delimiter(text: &str) -> (&str, Option<(u8, &'static str)>) {
    let Some(rest) = text.strip_prefix("sep=").or_else(|| text.strip_prefix("SEP=")) else {
        return (text, None);
    };
    let found = DELIMITERS.into_iter().find(|(sign, _)| rest.as_bytes().first() == Some(sign));
    let behind = rest.get(1..).unwrap_or("");
    match found {
        Some(known) if behind.starts_with(['\r', '\n']) => (text, Some(known)),
        _ => (text, None),
    }
}

/// What parts the cells: what gives most rows the same number of cells, and then the most cells.
fn guess_delimiter(text: &str) -> (u8, &'static str) {
    let mut end = text.len().min(200_000);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let sample = &text[..end];
    let score = |delimiter: u8| {
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .from_reader(sample.as_bytes());
        let mut counts = [0_usize; MOST_COLUMNS + 1];
        let mut rows = 0_usize;
        let mut record = csv::ByteRecord::new();
        while rows < SAMPLE_ROWS && reader.read_byte_record(&mut record).unwrap_or(false) {
            rows += 1;
            counts[record.len().min(MOST_COLUMNS)] += 1;
        }
        let most = (2..=MOST_COLUMNS).max_by_key(|n| (counts[*n], *n)).unwrap_or(2);
        // Rows that agree count in per mille; a lone column parts nothing.
        (counts[most] * 1000 / rows.max(1), most)
    };
    let weigh = |(sign, _): &(u8, &str)| score(*sign);
    DELIMITERS.into_iter().rev().max_by_key(weigh).unwrap_or(DELIMITERS[0])
}

/// Counts rows as a spreadsheet does, which knows blank lines too; line breaks inside quotation marks are none.
struct Lines<'a> {
    text: &'a [u8],
    at: usize,
    line: usize,
}

impl Lines<'_> {
    /// The number of the row that begins at a place, behind the blank lines there; places come in order.
    fn row_at(&mut self, start: usize) -> usize {
        let byte = |i: usize| self.text.get(i).copied();
        let mut at = start;
        if at > 0 && byte(at - 1) == Some(b'\r') && byte(at) == Some(b'\n') {
            at += 1;
        }
        while let Some(b'\r' | b'\n') = byte(at) {
            at += if byte(at) == Some(b'\r') && byte(at + 1) == Some(b'\n') { 2 } else { 1 };
            self.line += 1;
        }
        self.at = at;
        let number = self.line;
        self.line += 1;
        number
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(bytes: &[u8]) -> (Vec<(usize, Vec<String>)>, String) {
        let grid = read("list.csv", bytes, &Progress::new()).unwrap();
        let shown = |r: &GridRow| (r.number, r.cells.iter().map(|c| c.shown().into_owned()).collect());
        (grid.rows.iter().map(shown).collect(), grid.read_as)
    }

    #[test]
    fn what_parts_cells_is_found_among_decimal_commas() {
        let german = "Artikel;Preis;Menge\nA1;12,50;1,5\nA2;1.234,00;2\nA3;7,25;3,25\n";
        let (rows, how) = cells(german.as_bytes());
        assert_eq!(rows[1].1, ["A1", "12,50", "1,5"]);
        assert_eq!(how, "text in UTF-8, cells parted by semicolons");
        for (sign, name) in [(',', "commas"), ('\t', "tabs"), ('|', "bars")] {
            let text = format!("a{sign}b\n1{sign}2\n");
            let (rows, how) = cells(text.as_bytes());
            assert_eq!(rows[1].1, ["1", "2"]);
            assert!(how.ends_with(name), "{how}");
        }
    }

    #[test]
    fn encodings_are_told_apart() {
        let text = "Artikel;Höhe;Preis €\nTür;2 m;12,50 €\nSchloß;8 cm;3,90 €\n";
        let windows = encoding_rs::WINDOWS_1252.encode(text).0.into_owned();
        let utf16: Vec<u8> =
            [0xff, 0xfe].into_iter().chain(text.encode_utf16().flat_map(u16::to_le_bytes)).collect();
        for (bytes, name) in
            [(windows, "windows-1252"), (utf16, "UTF-16LE"), (text.as_bytes().to_vec(), "UTF-8")]
        {
            let (rows, how) = cells(&bytes);
            assert_eq!(rows[0].1, ["Artikel", "Höhe", "Preis €"], "{name}");
            assert_eq!(rows[2].1, ["Schloß", "8 cm", "3,90 €"]);
            assert!(how.contains(name), "{how}");
        }
    }

    #[test]
    fn rows_have_the_numbers_of_a_spreadsheet() {
        for newline in ["\n", "\r\n"] {
            let text = ["a;b", "", "1;\"two", "lines\"", ";", "3;4"].join(newline);
            let (rows, _) = cells(text.as_bytes());
            assert_eq!(rows.iter().map(|r| r.0).collect::<Vec<_>>(), [1, 3, 5], "{newline:?}");
        }
    }

    #[test]
    fn a_line_that_says_what_parts_cells_is_believed() {
        let (rows, _) = cells(b"sep=;\na,b;c\nd,e;f\n");
        assert_eq!(rows[1].1, ["a,b", "c"]);
    }
}
