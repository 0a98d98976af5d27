//! Workbooks: every sheet as raw cells, with numbers and days as they are.
//!
//! A number is kept as the shortest decimal text of what the file holds, to the 15 digits a spreadsheet shows, so that
//! money never is a binary fraction here. Formulas give the result that was kept with them.

use super::grid::{Grid, GridRow, MOST_CELLS, MOST_COLUMNS, MOST_ROWS, MOST_TEXT, Merged, RawCell};
use super::read_csv::too_large;
use crate::exchange::notice::Notice;
use crate::exchange::progress::Progress;
use crate::exchange::typed::number;
use calamine::{DataRef, ExcelDateTime, Reader, Xlsx};
use chrono::NaiveDate;
use rust_decimal::Decimal;
use std::collections::{BTreeMap, HashMap, HashSet};
use std::io::{Cursor, Read};
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Most bytes that all of a workbook may unfold to.
const MOST_UNFOLDED: u64 = 512 * 1024 * 1024;
/// Most sheets that are read.
const MOST_SHEETS: usize = 100;
/// Rows in which cells shown as one are kept, and how many of them.
const MERGED_ROWS: u32 = 200;
const MOST_MERGED: usize = 1_000;
/// Digits a spreadsheet keeps of a number.
const DIGITS: u32 = 15;

type Book = Xlsx<Cursor<Vec<u8>>>;

/// Reads all sheets of a workbook that have rows.
///
/// # Errors
/// When it is no workbook, is damaged or too large, or the user stopped it.
pub fn read(file: &str, bytes: &[u8], progress: &Progress) -> Result<Vec<Grid>, Notice> {
    // The reader of workbooks must not take the program with it, whatever it is given.
    match catch_unwind(AssertUnwindSafe(|| read_book(file, bytes, progress))) {
        Ok(read) => read,
        Err(_) => Err(damaged(file, "it breaks off the reading")),
    }
}

fn damaged(file: &str, why: impl std::fmt::Display) -> Notice {
    Notice::file(
        file,
        format!("this workbook cannot be read ({why}); open it in a spreadsheet and save it again as .xlsx"),
    )
}

fn read_book(file: &str, bytes: &[u8], progress: &Progress) -> Result<Vec<Grid>, Notice> {
    let stopped = |why: crate::exchange::progress::Cancelled| Notice::file(file, why.to_string());
    unfold(file, bytes, progress)?;
    let mut book: Book = Xlsx::new(Cursor::new(bytes.to_vec())).map_err(|why| damaged(file, why))?;
    let names: Vec<String> = book.sheet_names().into_iter().take(MOST_SHEETS).collect();
    let hidden = |sheet: &&calamine::Sheet| sheet.visible != calamine::SheetVisible::Visible;
    let hidden: HashSet<String> =
        book.sheets_metadata().iter().filter(hidden).map(|sheet| sheet.name.clone()).collect();
    progress.add_steps(names.len());
    let mut grids = Vec::new();
    let mut cells = 0;
    for name in names {
        progress.step().map_err(stopped)?;
        match sheet(file, &mut book, &name, &mut cells, progress)? {
            Some(grid) if !grid.rows.is_empty() => {
                grids.push(Grid { hidden: hidden.contains(&name), ..grid });
            }
            _ => {}
        }
    }
    if grids.is_empty() {
        return Err(Notice::file(file, "there are no rows in this workbook"));
    }
    Ok(grids)
}

/// Unfolds every entry once without keeping it, so that nothing small becomes something huge later.
fn unfold(file: &str, bytes: &[u8], progress: &Progress) -> Result<(), Notice> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(|why| damaged(file, why))?;
    let mut left = MOST_UNFOLDED;
    let mut buffer = vec![0_u8; 1 << 16];
    for at in 0..archive.len() {
        let mut entry = archive.by_index(at).map_err(|why| damaged(file, why))?;
        loop {
            let n = entry.read(&mut buffer).map_err(|why| damaged(file, why))?;
            if n == 0 {
                break;
            }
            left = left.saturating_sub(n as u64);
            if left == 0 {
                return Err(too_large(file));
            }
            progress.go_on().map_err(|why| Notice::file(file, why.to_string()))?;
        }
    }
    Ok(())
}

fn sheet(
    file: &str,
    book: &mut Book,
    name: &str,
    cells: &mut usize,
    progress: &Progress,
) -> Result<Option<Grid>, Notice> {
    let place = format!("{file}, sheet {name}");
    let shown = shown_as(book, name);
    let merged = book.merge_cells_by_sheet_name(name).unwrap_or_default();
    // Charts and macros are sheets too, but have no cells.
    let Ok(mut reader) = book.worksheet_cells_reader(name) else { return Ok(None) };
    let mut rows: BTreeMap<usize, Vec<RawCell>> = BTreeMap::new();
    while let Some(cell) = reader.next_cell_with_formula_metadata().map_err(|why| damaged(&place, why))? {
        let (row, column) = (cell.pos.0 as usize + 1, cell.pos.1 as usize);
        let raw = raw(&cell.value, cell.formula.is_some(), shown.get(&cell.pos));
        if raw.is_empty() {
            continue;
        }
        *cells += 1;
        if (*cells).is_multiple_of(4096) {
            progress.go_on().map_err(|why| Notice::file(file, why.to_string()))?;
        }
        if column >= MOST_COLUMNS {
            let message = format!("this row has more than {MOST_COLUMNS} columns; delete what is not needed");
            return Err(Notice::row(&place, row, message));
        }
        if *cells > MOST_CELLS || (rows.len() >= MOST_ROWS && !rows.contains_key(&row)) {
            return Err(too_large(&place));
        }
        let list = rows.entry(row).or_default();
        if list.len() <= column {
            list.resize(column + 1, RawCell::Empty);
        }
        list[column] = raw;
    }
    let rows: Vec<GridRow> = rows.into_iter().map(|(number, cells)| GridRow { number, cells }).collect();
    let width = rows.iter().map(|r| r.cells.len()).max().unwrap_or(0);
    let merged = merged
        .iter()
        // Only those where headings may stand are ever looked at.
        .filter(|m| (m.start.1 as usize) < width && m.start.0 < MERGED_ROWS)
        .take(MOST_MERGED)
        .map(|m| Merged {
            rows: (m.start.0 as usize + 1, m.end.0 as usize + 1),
            columns: (m.start.1 as usize, m.end.1 as usize),
        })
        .collect();
    let sheet = Some(name.to_owned());
    Ok(Some(Grid {
        file: file.to_owned(),
        sheet,
        rows,
        width,
        merged,
        read_as: "workbook".to_owned(),
        ..Grid::default()
    }))
}

/// How a number is shown.
#[derive(Debug, Clone, PartialEq)]
enum ShownAs {
    Percent,
    Currency(String),
}

/// The cells that are shown as percent or with a currency. The formats of numbers come by another way than the values.
fn shown_as(book: &mut Book, name: &str) -> HashMap<(u32, u32), ShownAs> {
    let mut found = HashMap::new();
    let Ok(mut reader) = book.worksheet_cells_reader(name) else { return found };
    let of_style: Vec<Option<ShownAs>> = reader
        .styles()
        .iter()
        .map(|style| style.number_format.as_ref().and_then(|f| format_shows(&f.format_code)))
        .collect();
    if of_style.iter().all(Option::is_none) {
        return found;
    }
    while let Ok(Some((row, column, style))) = reader.next_style_id() {
        if let Some(Some(shown)) = of_style.get(style) {
            if found.len() >= MOST_CELLS {
                break;
            }
            found.insert((row, column), shown.clone());
        }
    }
    found
}

/// What a number format puts beside the number: a percent sign, or `[$€-407]`, `"CHF"`, `$` and the like.
fn format_shows(code: &str) -> Option<ShownAs> {
    let first = code.split(';').next().unwrap_or(code);
    if first.contains('%') {
        return Some(ShownAs::Percent);
    }
    if let Some((_, rest)) = first.split_once("[$") {
        let sign = rest.split(['-', ']']).next().unwrap_or("").trim();
        return number::currency_of(sign).is_some().then(|| ShownAs::Currency(sign.to_owned()));
    }
    let signs: String = first
        .chars()
        .filter(|c| !matches!(c, '#' | '0' | ',' | '.' | '"' | '\\' | '_' | '?' | '*'))
        .collect();
    let sign = signs.replace(['(', ')'], " ");
    let sign = sign.trim();
    number::currency_of(sign).is_some().then(|| ShownAs::Currency(sign.to_owned()))
}

fn raw(value: &DataRef<'_>, formula: bool, shown: Option<&ShownAs>) -> RawCell {
    let number = |n: f64| match decimal(n) {
        Some(n) => match shown {
            Some(ShownAs::Percent) => RawCell::Percent(n * Decimal::ONE_HUNDRED),
            Some(ShownAs::Currency(sign)) => RawCell::Amount(n, sign.clone()),
            None => RawCell::Number(n),
        },
        None => RawCell::Broken("this number is beyond what can be read; write it shorter".to_owned()),
    };
    match value {
        DataRef::Int(n) => number(*n as f64),
        DataRef::Float(n) => number(*n),
        DataRef::String(text) => text_cell(text),
        DataRef::SharedString(text) => text_cell(text),
        DataRef::Bool(flag) => RawCell::Flag(*flag),
        DataRef::DateTime(at) => date_of(at),
        DataRef::DateTimeIso(text) => match text.get(..10).and_then(|t| t.parse::<NaiveDate>().ok()) {
            Some(date) => RawCell::Date(date),
            None => RawCell::text(text),
        },
        DataRef::DurationIso(text) => RawCell::text(text),
        DataRef::Error(error) => RawCell::Broken(format!(
            "the cell holds the error {error}; correct it in the spreadsheet, or write the value"
        )),
        DataRef::Empty if formula => RawCell::Broken(
            "the cell holds a formula whose result was not kept; open the file in a spreadsheet and save it again"
                .to_owned(),
        ),
        DataRef::Empty => RawCell::Empty,
    }
}

fn text_cell(text: &str) -> RawCell {
    if text.len() > MOST_TEXT {
        return RawCell::Broken(format!("this text is longer than {MOST_TEXT} characters; shorten it"));
    }
    RawCell::text(text)
}

fn date_of(at: &ExcelDateTime) -> RawCell {
    let (year, month, day, ..) = at.to_ymd_hms_milli();
    if at.is_duration() || at.as_f64() < 1.0 || !at.as_f64().is_finite() {
        return RawCell::Broken("this is a time and no day; write a date, or a number of days".to_owned());
    }
    match NaiveDate::from_ymd_opt(i32::from(year), u32::from(month), u32::from(day)) {
        Some(date) => RawCell::Date(date),
        None => RawCell::Broken("this day is not in the calendar; write it as year-month-day".to_owned()),
    }
}

/// A number by its shortest text, with no more digits than a spreadsheet keeps: 0.1 + 0.2 is 0.3.
fn decimal(number: f64) -> Option<Decimal> {
    if !number.is_finite() {
        return None;
    }
    let text = number.to_string();
    let exact = match Decimal::from_str_exact(&text) {
        Ok(exact) => exact,
        // So small that it has more places than a decimal holds.
        Err(_) if number.abs() < 1e-12 => Decimal::ZERO,
        Err(_) => text.parse::<Decimal>().ok()?,
    };
    exact.round_sf(DIGITS).map(|n| n.normalize())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_come_as_a_spreadsheet_shows_them() {
        for (number, text) in [
            (1234.5, "1234.5"),
            (0.1 + 0.2, "0.3"),
            (19.99 * 3.0, "59.97"),
            (1e15, "1000000000000000"),
            (-0.0, "0"),
            (1.0e-30, "0"),
            (0.000_123, "0.000123"),
        ] {
            assert_eq!(decimal(number).map(|d| d.to_string()).as_deref(), Some(text), "{number}");
        }
        assert_eq!(decimal(f64::NAN), None);
        assert_eq!(decimal(1e300), None);
    }

    #[test]
    fn formats_say_percent_and_currency() {
        assert_eq!(format_shows("0.00%"), Some(ShownAs::Percent));
        assert_eq!(format_shows("#,##0.00 [$€-407]"), Some(ShownAs::Currency("€".to_owned())));
        assert_eq!(format_shows("\"$\"#,##0.00_);(\"$\"#,##0.00)"), Some(ShownAs::Currency("$".to_owned())));
        assert_eq!(format_shows("#,##0.00\\ \"CHF\""), Some(ShownAs::Currency("CHF".to_owned())));
        assert_eq!(format_shows("#,##0.00"), None);
        assert_eq!(format_shows("General"), None);
    }
}
