//! The engine: every computed figure, as pure functions of a document and an as-of day.
//!
//! Nothing here reads a clock or a file, keeps state, or knows of a window. Faults in the user's data never stop it:
//! what can be computed is, and [`check`] says what is wrong.

pub mod calendar;
pub mod cash;
pub mod cautions;
pub mod check;
pub mod columns;
pub mod corrections;
pub mod day;
pub mod days;
pub mod deliveries;
pub mod delivery;
pub mod figures;
pub mod fits;
pub mod forecast;
pub mod gates;
pub mod holidays;
pub mod index;
pub mod manual;
pub mod money;
pub mod network;
pub mod order_days;
pub mod orders;
pub mod own_orders;
pub mod parts;
pub mod payments;
pub mod plan;
pub mod reach;
pub mod returns;
pub mod swap;
mod swap_knock_ons;
pub mod takeoff;
pub mod walls;
pub mod why;

pub use calendar::Day;
pub use check::problems;
pub use figures::{Figures, PartFigures, PhaseFigures, SelectionFigures, compute, preview};
