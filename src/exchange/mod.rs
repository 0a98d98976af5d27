//! Exchange with other programs and with what people type.
//!
//! | folder | what |
//! | --- | --- |
//! | [`typed`] | numbers, days, lead times as people write them: the only reader of them |
//! | [`sheets`] | a project as sheets and back, over the tables of fields |
//! | [`incoming`] | what comes in: lists of any layout, and rows from the clipboard |
//! | [`outgoing`] | what goes out: purchase lists, papers, figures as JSON |

mod cell;
pub mod drawing;
pub mod file_set;
pub mod incoming;
pub mod notice;
pub mod outgoing;
pub mod picture;
pub mod progress;
pub mod sheets;
pub mod typed;

pub use file_set::{ExportError, Folder, NewFile};
pub use notice::{ImportErrors, Notice};
pub use progress::Progress;
pub use sheets::export::{export_folder, export_folder_with, export_sheets};
pub use sheets::import::{import_folder, import_folder_with, import_sheets};
pub use sheets::workbook::{import_path, import_path_with};
