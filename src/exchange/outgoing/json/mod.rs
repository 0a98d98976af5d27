//! Figures and swaps as JSON, with fixed keys.

mod alternatives;
mod bids;
mod closing_out;
mod curve;
pub mod figures;
mod gates;
mod in_use;
mod orders;
mod people;
mod risk;
mod selections;
mod story;
pub mod swaps;
pub mod week;
