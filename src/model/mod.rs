//! The document: rooms, phases, suppliers, selections and money, how they are edited, undone and stored.
//!
//! Nothing here computes a date or a total, reads a clock, or knows of a window.

pub mod action;
pub mod apply;
pub mod budget;
pub mod copy_room;
pub mod dates;
pub mod file;
pub mod history;
pub mod ids;
pub mod money;
pub mod phase;
pub mod problem;
pub mod project;
pub mod quantity;
pub mod room;
pub mod selection;
pub mod starter;
pub mod starter_catalogue;
pub mod supplier;
pub mod validate;

pub use action::Action;
pub use apply::ActionError;
pub use budget::{Extra, ExtraKind, Quote};
pub use dates::{ClosedRange, HolidayRule, Holidays, Weekdays};
pub use history::History;
pub use ids::*;
pub use money::{Currency, Money};
pub use phase::{Attempt, LagUnit, Link, LinkKind, Phase, PhaseKind};
pub use problem::{Problem, Severity, Subject};
pub use project::{Project, Settings, TaxBy, Units};
pub use quantity::Quantity;
pub use room::{Opening, OpeningKind, Room, Shape};
pub use selection::{LeadUnit, NeededAt, OptionState, Part, Selection, SelectionOption};
pub use supplier::{Freight, Supplier};
