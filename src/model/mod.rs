//! The document: rooms, phases, suppliers, selections and money, how they are edited, undone and stored.
//!
//! Nothing here computes a date or a total, reads a clock, or knows of a window.

pub mod action;
pub mod apply;
mod apply_gates;
mod apply_orders;
mod apply_swap;
pub mod budget;
pub mod caution;
pub mod copy_room;
pub mod dates;
pub mod facts;
pub mod file;
pub mod gate;
pub mod history;
pub mod ids;
pub mod mapping;
pub mod money;
pub mod order;
pub mod phase;
pub mod problem;
pub mod project;
pub mod quantity;
pub mod room;
pub mod selection;
pub mod sold_in;
pub mod starter;
pub mod starter_catalogue;
pub mod starter_gates;
pub mod supplier;
pub mod swap;
pub mod validate;
pub mod validate_gates;
pub mod validate_orders;
mod validate_swap;

pub use action::Action;
pub use apply::ActionError;
pub use budget::{Extra, ExtraKind, Quote};
pub use caution::Hazard;
pub use dates::{ClosedRange, HolidayRule, Holidays, Weekdays};
pub use facts::{Fact, FactValue, Rule, RuleKind, RuleOf, RuleWith};
pub use gate::{Condition, Correction, Gate, Need, Presence, Scope};
pub use history::History;
pub use ids::*;
pub use mapping::{DateOrder, DecimalMark, MapField, MapInto, MappedColumn, Mapping};
pub use money::{Currency, Money};
pub use order::{Delivery, Order, PaidFor, Payment, PaymentKind};
pub use phase::{Attempt, LagUnit, Link, LinkKind, Phase, PhaseKind, PhaseRole};
pub use problem::{Problem, Severity, Subject};
pub use project::{Project, Settings, TaxBy, Units};
pub use quantity::Quantity;
pub use room::{Opening, OpeningKind, Room, Shape};
pub use selection::{LeadUnit, NeededAt, OptionState, Part, Selection, SelectionOption};
pub use sold_in::{Laying, SoldIn};
pub use supplier::{Freight, Supplier};
pub use swap::{Known, Return, ReturnState, Swap, SwapAction};
