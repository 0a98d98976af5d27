//! The engine: every computed figure, as pure functions of a document and an as-of day.
//!
//! Nothing here reads a clock or a file, keeps state, or knows of a window. Faults in the user's data never stop it:
//! what can be computed is, and [`check`] says what is wrong.
//!
//! The folders, each knowing only those before it: `calendar`, `plan`, `buying`, `gates`, then `forecast`, `money`, `people`, `in_use`, and
//! above them [`figures`], which asks each for its figures. `specs`, `swap`, `check`, `week`, `why`, `effect`, `without`,
//! `closing_out` and `risk` read figures.

pub mod alternatives;
pub mod buying;
pub mod calendar;
pub mod cautions;
pub mod check;
pub mod closing_out;
pub mod columns;
pub mod curve;
pub mod early;
pub mod effect;
pub mod figures;
pub mod forecast;
pub mod gates;
pub mod in_use;
pub mod index;
pub mod log;
pub mod manual;
pub mod money;
pub mod moved;
pub mod people;
pub mod phase_groups;
pub mod plan;
pub mod risk;
pub mod specs;
pub mod swap;
pub mod week;
pub mod why;
pub mod without;

pub use buying::{deliveries, lead, order_after, order_days, orders, own_orders, parts, returns, takeoff};
pub use calendar::{Day, days, holidays};
pub use check::problems;
pub use figures::{Figures, PartFigures, PhaseFigures, SelectionFigures, compute, preview};
pub use money::{cash, payments, trades};
pub use plan::{corrections, network};
pub use swap::{fits, walls};
