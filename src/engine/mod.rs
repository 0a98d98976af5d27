//! The engine: every computed figure, as pure functions of a document and an as-of day.
//!
//! Nothing here reads a clock or a file, keeps state, or knows of a window. Faults in the user's data never stop it:
//! what can be computed is, and [`check`] says what is wrong.

pub mod calendar;
pub mod cash;
pub mod check;
pub mod compute;
pub mod days;
pub mod delivery;
pub mod figures;
pub mod holidays;
pub mod money;
pub mod network;
pub mod orders;
pub mod schedule;
pub mod takeoff;
pub mod why;

pub use calendar::Day;
pub use check::problems;
pub use compute::{compute, preview};
pub use figures::{Figures, PartFigures, PhaseFigures, SelectionFigures};
