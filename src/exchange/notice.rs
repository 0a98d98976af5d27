//! What import has to say about a place in a sheet.

use crate::model::words::count;
use std::collections::BTreeSet;
use std::fmt;

/// A remark about a sheet: a fault that keeps it from being imported, or a warning.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Notice {
    /// The file or sheet.
    pub file: String,
    /// The row as a spreadsheet numbers it; the header is row 1.
    pub row: Option<usize>,
    /// The name of the column.
    pub column: Option<String>,
    /// What is wrong and what to do.
    pub message: String,
}

impl Notice {
    /// A remark about a whole file.
    pub fn file(file: &str, message: impl Into<String>) -> Notice {
        Notice { file: file.to_owned(), row: None, column: None, message: shortened(message.into()) }
    }

    /// A remark about a row.
    pub fn row(file: &str, row: usize, message: impl Into<String>) -> Notice {
        Notice { row: Some(row), ..Notice::file(file, message) }
    }

    /// A remark about a cell.
    pub fn cell(file: &str, row: usize, column: &str, message: impl Into<String>) -> Notice {
        Notice { column: Some(column.to_owned()), ..Notice::row(file, row, message) }
    }
}

/// Characters of a message at either end of what is left out of a long one.
const KEPT: usize = 600;

/// A message without the middle of what it quotes, when that is long: what is wrong stands before it, what to do behind.
fn shortened(message: String) -> String {
    // No character takes more than four bytes, so most messages are short without being counted.
    if message.len() <= 2 * KEPT || message.chars().count() <= 2 * KEPT {
        return message;
    }
    let end = message.char_indices().nth(KEPT).map_or(0, |(at, _)| at);
    let begin = message.char_indices().nth_back(KEPT - 1).map_or(end, |(at, _)| at);
    format!("{} ... {}", &message[..end], &message[begin..])
}

impl fmt::Display for Notice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if let Some(row) = self.row {
            write!(f, " row {row}")?;
        }
        if let Some(column) = &self.column {
            write!(f, "{} column {column}", if self.row.is_some() { "," } else { "" })?;
        }
        write!(f, ": {}", self.message)
    }
}

/// Faults that are kept to be told. A file with a slip in every row says the same thing in each, and a million of
/// them would be more than the file.
pub const MOST_FAULTS: usize = 1_000;

/// Faults as they are found: the first [`MOST_FAULTS`], and how many more.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Faults {
    kept: Vec<Notice>,
    more: usize,
    /// The files that have any, in small letters.
    files: BTreeSet<String>,
}

impl Faults {
    /// Notes one.
    pub fn push(&mut self, fault: Notice) {
        let file = fault.file.to_lowercase();
        if !self.files.contains(&file) {
            self.files.insert(file);
        }
        if self.kept.len() < MOST_FAULTS {
            self.kept.push(fault);
        } else {
            self.more += 1;
        }
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.kept.is_empty()
    }

    /// How many were found, with those not kept.
    pub fn count(&self) -> usize {
        self.kept.len() + self.more
    }

    /// Whether any is about a file, in letters of any size.
    pub fn is_about(&self, file: &str) -> bool {
        self.files.contains(&file.to_lowercase())
    }

    /// Those that are kept.
    pub fn kept(&self) -> &[Notice] {
        &self.kept
    }

    /// All that was found, as an import that failed; in an order of the caller's.
    pub fn into_errors<K: Ord>(mut self, order: impl FnMut(&Notice) -> K) -> ImportErrors {
        self.kept.sort_by_key(order);
        ImportErrors { faults: self.kept, more: self.more }
    }
}

impl Extend<Notice> for Faults {
    fn extend<I: IntoIterator<Item = Notice>>(&mut self, found: I) {
        found.into_iter().for_each(|fault| self.push(fault));
    }
}

/// The faults found in a folder of sheets. Nothing was imported.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}", self.lines().join("\n"))]
pub struct ImportErrors {
    /// The faults, sheet by sheet and row by row; no more than [`MOST_FAULTS`].
    pub faults: Vec<Notice>,
    /// How many more there are.
    pub more: usize,
}

impl ImportErrors {
    /// How many there are, with those not kept.
    pub fn count(&self) -> usize {
        self.faults.len() + self.more
    }

    /// A line for each fault, and one for those that are not told one by one.
    pub fn lines(&self) -> Vec<String> {
        let told = self.faults.iter().map(Notice::to_string);
        let more = match self.more {
            0 => None,
            more => Some(format!(
                "and {} like these; mend the first ones and read it again",
                count(more, "more fault")
            )),
        };
        told.chain(more).collect()
    }
}

impl From<Notice> for ImportErrors {
    fn from(fault: Notice) -> ImportErrors {
        ImportErrors { faults: vec![fault], more: 0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_faults_are_kept_and_the_rest_counted() {
        let mut faults = Faults::default();
        faults.extend((2..2_002).map(|row| Notice::row("Rooms.csv", row, "no")));
        faults.push(Notice::row("parts.csv", 2, "no"));
        assert_eq!((faults.count(), faults.kept().len()), (2_001, MOST_FAULTS));
        // Also a file whose faults were all left out has some.
        assert!(
            faults.is_about("rooms.csv") && faults.is_about("Parts.csv") && !faults.is_about("phases.csv")
        );
        let errors = faults.into_errors(|n| n.row);
        assert_eq!((errors.count(), errors.lines().len()), (2_001, MOST_FAULTS + 1));
        assert!(
            errors
                .to_string()
                .ends_with("\nand 1001 more faults like these; mend the first ones and read it again"),
            "{errors}"
        );
    }

    #[test]
    fn long_messages_lose_their_middle_between_characters() {
        let short = "é".repeat(2 * KEPT);
        assert_eq!(Notice::file("x", short.clone()).message, short);
        let long = Notice::file("x", format!("`{}` is no date; write one", "é".repeat(50_000))).message;
        assert_eq!(long.chars().count(), 2 * KEPT + 5);
        assert!(
            long.starts_with("`éé") && long.contains("é ... é") && long.ends_with("is no date; write one")
        );
    }
}
