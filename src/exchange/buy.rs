//! Purchase lists as CSV, by their short names; [`super::lists`] has all formats.

pub use super::lists::Written;
pub use super::lists::csv::COLUMNS;

use super::lists::{self, Format, ListScope, Maker};
use super::{file_set::ExportError, progress::Progress};
use crate::engine::Figures;
use crate::model::Project;
use std::path::Path;

/// Writes one CSV file for each supplier with something on order or to order, all of them or none.
///
/// # Errors
/// Names the file that could not be written.
pub fn write_lists(project: &Project, figures: &Figures, folder: &Path) -> Result<Vec<Written>, ExportError> {
    let progress = Progress::new();
    lists::write_lists(project, figures, folder, ListScope::All, &[Format::Csv], &progress).map(|w| w.lists)
}

/// The list of one supplier as CSV text; `None` is for parts without a supplier.
pub fn list_csv(project: &Project, figures: &Figures, supplier: Option<usize>) -> String {
    lists::csv::csv(&Maker::new(project, figures).list_or_empty(supplier))
}

/// The name of a supplier's CSV file.
pub fn file_name(project: &Project, supplier: Option<usize>) -> String {
    format!("{}.csv", lists::file_stem(project, supplier))
}
