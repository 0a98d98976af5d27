//! Sheets read and written by the fields of each noun.

pub mod read;
pub mod write;
