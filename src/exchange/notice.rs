//! What import has to say about a place in a sheet.

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
        Notice { file: file.to_owned(), row: None, column: None, message: message.into() }
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

/// Every fault found in a folder of sheets. Nothing was imported.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}", self.faults.iter().map(Notice::to_string).collect::<Vec<_>>().join("\n"))]
pub struct ImportErrors {
    /// The faults, sheet by sheet and row by row.
    pub faults: Vec<Notice>,
}

impl From<Notice> for ImportErrors {
    fn from(fault: Notice) -> ImportErrors {
        ImportErrors { faults: vec![fault] }
    }
}
