//! What comes in, from lists of any layout and from the clipboard: a supplier's prices and lead times, or selections
//! with their options.
//!
//! A file becomes [`Grid`]s of raw cells; a [`Setup`] says what the columns hold, guessed, remembered or set by hand;
//! [`read::read`] makes rows of them, with every bad cell named; [`changes`] and [`selections`] say what the rows would do
//! to a project, and make one action of what is accepted. Nothing is ever half done.

pub mod accept;
pub mod book;
mod cells;
pub mod changes;
mod doubts;
pub mod grid;
pub mod matching;
pub mod paste;
mod prices;
pub mod read;
pub(super) mod read_csv;
mod read_xlsx;
pub mod row_text;
pub mod selections;
pub mod setup;
pub(super) mod words;

pub use accept::{Additions, Wish};
pub use book::{Book, read_book, read_file};
pub use changes::{Change, ChangeOf, PriceList};
pub use grid::{Grid, GridRow, RawCell};
pub use matching::Matching;
pub use read::{ListRow, Question, Reading};
pub use setup::{Known, Setup, recognize};
