//! A project as sheets: read and written by the fields of each noun.
//!
//! A sheet is one CSV file (RFC 4180, UTF-8), or one of a workbook; [`layout`] says which sheets and columns there are.
//! Import takes all of a folder or nothing of it; export writes what import reads back to the same project.

pub mod export;
pub mod export_swaps;
pub mod import;
mod import_alternatives;
mod import_budget;
mod import_closing;
mod import_gates;
mod import_log;
mod import_mappings;
mod import_orders;
mod import_parts;
mod import_people;
mod import_phases;
mod import_rooms;
mod import_selections;
mod import_sent;
mod import_settings;
mod import_specs;
mod import_suppliers;
mod import_swaps;
pub mod layout;
mod read;
pub(super) mod row;
pub mod sheet;
pub mod workbook;
mod write;
