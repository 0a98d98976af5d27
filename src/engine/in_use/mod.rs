//! The house in use: the days without a room or a service, what lies stored, and what can no longer go back when it is
//! used.
#![doc = include_str!("../../../assets/manual/in_use.md")]

mod out;
mod storage;

pub use out::{Out, Outage, RoomOut, RowDays, Span};
pub use storage::{Closing, Full, Level, Most, Stored};

use super::calendar::Day;
use super::forecast::PhaseFigures;
use super::index::Index;
use super::parts::PartFigures;
use crate::model::Project;

/// Everything of the house in use.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct InUse {
    /// By row of what is out of use: its days.
    pub rows: Vec<RowDays>,
    /// What is missed on some day, in plan or forecast: uses of which every room is out of use, services, then rooms of
    /// another use, each in the order of its words or of the document.
    pub out: Vec<Outage>,
    /// Rooms that some row names, in document order.
    pub rooms: Vec<RoomOut>,
    /// What lies stored; `None` where nobody has said how much floor there is for it.
    pub stored: Option<Stored>,
    /// Ordered parts that can no longer go back when they are used, in document order.
    pub closing: Vec<Closing>,
}

/// What the house in use hangs on.
#[derive(Debug, Clone, Copy)]
pub struct Facts<'a> {
    /// The document.
    pub project: &'a Project,
    /// Positions by number.
    pub index: &'a Index,
    /// The figures of the phases.
    pub phases: &'a [PhaseFigures],
    /// The figures of the parts.
    pub parts: &'a [PartFigures],
    /// The last day of the forecast.
    pub finish: Option<Day>,
    /// The as-of day.
    pub as_of: Day,
}

/// Works it out.
pub fn in_use(facts: &Facts<'_>) -> InUse {
    let (rows, out, rooms) = out::read(facts);
    InUse { rows, out, rooms, stored: storage::stored(facts), closing: storage::closing(facts) }
}

impl InUse {
    /// The days on which something is missed.
    pub fn of(&self, what: Out) -> Option<&Outage> {
        self.out.iter().find(|outage| outage.what == what)
    }
}
