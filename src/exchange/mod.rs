//! Exchange with other programs: sheets in and out, purchase lists, figures as JSON.
//!
//! A sheet is one CSV file (RFC 4180, UTF-8); [`layout`] says which sheets and columns there are. Import takes all of
//! a folder or nothing of it; export writes what import reads back to the same project.

pub mod buy;
mod cell;
pub mod export;
pub mod figures_json;
pub mod import;
mod import_budget;
mod import_parts;
mod import_phases;
mod import_rooms;
mod import_selections;
mod import_settings;
mod import_suppliers;
pub mod layout;
pub mod notice;
pub mod paste;
mod row;
pub mod row_text;
pub mod sheet;

pub use export::{export_folder, export_sheets};
pub use import::{import_folder, import_sheets};
pub use notice::{ImportErrors, Notice};
