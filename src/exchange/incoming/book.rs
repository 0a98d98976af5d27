//! A file from elsewhere: what kind it is, and its sheets.

use super::grid::{Grid, MOST_BYTES};
use super::setup::find_header;
use super::{read_csv, read_xlsx, words};
use crate::exchange::notice::Notice;
use crate::exchange::progress::Progress;
use crate::model::file;
use std::path::Path;

/// Sheets among which the likely one is looked for.
const MOST_GUESSED: usize = 20;

/// The sheets of a file that have rows; a text file has one.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Book {
    /// The name of the file.
    pub file: String,
    /// Its sheets, at least one.
    pub grids: Vec<Grid>,
}

impl Book {
    /// The place of the sheet whose headings are known best; the first of several, and none that is hidden before one that
    /// is to be seen.
    pub fn likely(&self) -> usize {
        let known = |grid: &Grid| {
            let header = find_header(grid);
            grid.headings(header).iter().filter(|h| words::is_known(h)).count()
        };
        // What is hidden is looked at only where nothing is to be seen.
        let shown = self.grids.iter().any(|grid| !grid.hidden);
        let grids = self.grids.iter().enumerate().filter(|(_, grid)| !(shown && grid.hidden));
        let scores = grids.take(MOST_GUESSED).map(|(at, grid)| (known(grid), at));
        scores.max_by_key(|(n, at)| (*n, std::cmp::Reverse(*at))).map_or(0, |(_, at)| at)
    }

    /// The place of a sheet by its name, in letters of any size.
    pub fn sheet(&self, name: &str) -> Option<usize> {
        let same = |g: &Grid| g.sheet.as_deref().is_some_and(|s| s.trim().eq_ignore_ascii_case(name.trim()));
        self.grids.iter().position(same)
    }
}

/// Reads a file: a workbook, or a table as text.
///
/// # Errors
/// When it is neither, is damaged or too large, or the user stopped it.
pub fn read_file(path: &Path, progress: &Progress) -> Result<Book, Notice> {
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let fault = |why: std::io::Error| Notice::file(&path.display().to_string(), why.to_string());
    let bytes = file::read_at_most(path, MOST_BYTES).map_err(fault)?;
    read_book(&name, &bytes, progress)
}

/// Reads the bytes of a file with a name.
///
/// # Errors
/// As [`read_file`].
pub fn read_book(file: &str, bytes: &[u8], progress: &Progress) -> Result<Book, Notice> {
    if bytes.len() as u64 > MOST_BYTES {
        let most = MOST_BYTES / 1024 / 1024;
        return Err(Notice::file(file, format!("this file has more than {most} MB; split it")));
    }
    if bytes.is_empty() {
        return Err(Notice::file(file, "the file is empty"));
    }
    let begins = |magic: &[u8]| bytes.starts_with(magic);
    let grids = if begins(b"PK\x03\x04") || begins(b"PK\x05\x06") {
        read_xlsx::read(file, bytes, progress)?
    } else if begins(b"\xd0\xcf\x11\xe0") {
        let message = "this is a workbook of an old kind or with a password; save it as .xlsx without one";
        return Err(Notice::file(file, message));
    } else if begins(b"%PDF") {
        return Err(Notice::file(file, "this is a PDF; ask for the list as a spreadsheet"));
    } else {
        vec![read_csv::read(file, bytes, progress)?]
    };
    Ok(Book { file: file.to_owned(), grids })
}
