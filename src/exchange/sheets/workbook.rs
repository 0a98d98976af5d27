//! The sheets of a project in one `.xlsx` workbook, each by its name.

use super::import::{import_folder_with, import_found};
use super::layout::{Layout, SHEETS};
use super::row::listed;
use super::sheet::{Row, Sheet};
use crate::exchange::cell::unguard;
use crate::exchange::incoming::{Grid, RawCell, read_file};
use crate::exchange::notice::{Faults, ImportErrors, Notice};
use crate::exchange::progress::Progress;
use crate::model::Project;
use std::path::Path;

/// Reads a folder of CSV sheets, or a workbook with sheets of the same names, into a project.
///
/// # Errors
/// Every fault found, each with its sheet, row and column. Nothing is imported then.
pub fn import_path(path: &Path) -> Result<(Project, Vec<Notice>), ImportErrors> {
    import_path_with(path, &Progress::new())
}

/// As [`import_path`], with a progress that can be watched and stopped.
///
/// # Errors
/// As [`import_path`], or the one fault that the user stopped it.
pub fn import_path_with(path: &Path, progress: &Progress) -> Result<(Project, Vec<Notice>), ImportErrors> {
    if !path.is_file() {
        return import_folder_with(path, progress);
    }
    let book = read_file(path, progress)?;
    progress.add_steps(1);
    let (mut faults, mut notices, mut sheets) = (Faults::default(), Vec::new(), Vec::new());
    for grid in &book.grids {
        let name = grid.sheet.as_deref().unwrap_or("").trim().to_lowercase();
        if Layout::of(&name).is_some() {
            sheets.push(sheet(grid, &name, &mut faults));
        } else {
            notices.push(Notice::file(&grid.place(), "this is no sheet of a project; it was left out"));
        }
    }
    if sheets.is_empty() {
        let names = listed(SHEETS.iter().map(|s| s.name));
        let message = format!(
            "no sheet in this is one of a project ({names}); a list of another layout is read by import-list, or by the window"
        );
        return Err(Notice::file(&book.file, message).into());
    }
    let stem = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let done = import_found(sheets, &stem, faults, notices);
    progress.step().map_err(|why| Notice::file(&book.file, why.to_string()))?;
    done
}

/// Whether a file is a workbook in which at least two sheets are called like those of a project.
pub fn has_project_sheets(grids: &[Grid]) -> bool {
    let known =
        |g: &&Grid| g.sheet.as_deref().is_some_and(|s| Layout::of(&s.trim().to_lowercase()).is_some());
    grids.iter().filter(known).count() >= 2
}

/// A sheet of text from raw cells; the first row that is not blank holds the names of the columns.
fn sheet(grid: &Grid, name: &str, faults: &mut Faults) -> Sheet {
    let file = grid.place();
    let mut sheet = Sheet {
        file: file.clone(),
        name: name.to_owned(),
        columns: Vec::new(),
        rows: Vec::new(),
        whole: true,
    };
    let mut rows = grid.rows.iter();
    if let Some(header) = rows.next() {
        sheet.columns = header.cells.iter().map(|c| c.shown().trim().to_lowercase()).collect();
    }
    let layout = Layout::of(name);
    let guarded = |column: &str| layout.and_then(|l| l.column(column)).is_some_and(|known| known.text);
    let width = sheet.columns.len();
    for row in rows {
        let mut cells = Vec::with_capacity(width);
        let before = faults.count();
        for (at, column) in sheet.columns.iter().enumerate() {
            match row.cell(at) {
                RawCell::Broken(why) => faults.push(Notice::cell(&file, row.number, column, why.clone())),
                cell => cells.push(plain(cell, guarded(column))),
            }
        }
        if row.cells.len() > width {
            let message = format!(
                "{} cells where the header has {width}; name the column or clear it",
                row.cells.len()
            );
            faults.push(Notice::row(&file, row.number, message));
        }
        if faults.count() == before {
            sheet.rows.push(Row { number: row.number, cells });
        } else {
            sheet.whole = false;
        }
    }
    sheet
}

/// A cell as the sheets have it: a plain number, an ISO date, yes or no.
fn plain(cell: &RawCell, guarded: bool) -> String {
    match cell {
        RawCell::Percent(n) | RawCell::Amount(n, _) => n.normalize().to_string(),
        RawCell::Text(text) if guarded => unguard(text).into_owned(),
        cell => cell.shown().into_owned(),
    }
}
