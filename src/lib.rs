//! Needline: room-by-room selections for the remodel of a house, with the delivery date of every choice in view.
//!
//! The layers, each knowing only those before it:
//! - [`model`]: the document, its edits, undo, and the project file;
//! - [`engine`]: every computed figure, as pure functions of a document and an as-of day;
//! - [`exchange`]: sheets in and out, purchase lists, figures as JSON;
//! - [`commands`]: the program without a window;
//! - `ui`: the window (feature `gui`).

pub mod commands;
pub mod engine;
pub mod exchange;
pub mod model;
#[cfg(feature = "gui")]
pub mod ui;
