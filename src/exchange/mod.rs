//! Exchange with other programs: sheets in and out, purchase lists, papers to print, figures as JSON.
//!
//! A sheet is one CSV file (RFC 4180, UTF-8), or one of a workbook; [`layout`] says which sheets and columns there are.
//! Import takes all of a folder or nothing of it; export writes what import reads back to the same project. [`mapping`]
//! reads lists of any other layout.

mod cell;
pub mod export;
pub mod export_swaps;
pub mod figures_json;
pub mod file_set;
mod gates_json;
pub mod import;
mod import_budget;
mod import_gates;
mod import_mappings;
mod import_orders;
mod import_parts;
mod import_phases;
mod import_rooms;
mod import_selections;
mod import_settings;
mod import_suppliers;
mod import_swaps;
mod json_orders;
pub mod json_swaps;
pub mod layout;
pub mod lists;
pub mod mapping;
pub mod notice;
pub mod paste;
pub mod picture;
pub mod print;
pub mod progress;
mod row;
pub mod row_text;
pub mod sheet;
mod sheets;
pub mod typed;
pub mod workbook;

pub use export::{export_folder, export_folder_with, export_sheets};
pub use file_set::{ExportError, Folder};
pub use import::{import_folder, import_folder_with, import_sheets};
pub use notice::{ImportErrors, Notice};
pub use progress::Progress;
pub use workbook::{import_path, import_path_with};
