//! Needline: room-by-room selections for the remodel of a house, with the delivery date of every choice in view.
//!
//! The layers, each knowing only those before it:
//! - [`model`]: the document, its edits, undo, and the project file;
//! - [`engine`]: every computed figure, as pure functions of a document and an as-of day;
//! - [`exchange`]: sheets in and out, purchase lists, figures as JSON;
//! - [`commands`]: the program without a window;
//! - `ui`: the window (feature `gui`).

// Helpers of tests are no tests to Clippy, so this stands here and not in the table of lints.
#![cfg_attr(
    not(test),
    deny(
        clippy::unwrap_used,
        clippy::expect_used,
        clippy::panic,
        clippy::print_stdout,
        clippy::print_stderr
    )
)]

pub mod commands;
pub mod engine;
pub mod exchange;
pub mod model;
#[cfg(feature = "gui")]
pub mod ui;
