//! Draws of the lender: when each is expected, and what came.
//!
//! What has not come is expected on the last day of its phase in the forecast, or when its gate is expected to be ready,
//! and the calendar days behind that; when that has passed, on the next working day. A draw that hangs on nothing, or on a
//! gate of which nobody knows when it is ready, has no day and is counted on for nothing.

use crate::engine::calendar::{Calendar, Day};
use crate::engine::forecast::PhaseFigures;
use crate::engine::gates::GateFigures;
use crate::engine::index::Index;
use crate::model::{Draw, Money, Project};

/// How a draw stands on the as-of day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DrawFigures {
    /// What came by the as-of day.
    pub came: Money,
    /// The day it is expected; `None` where it came, and where nobody can know.
    pub expected: Option<Day>,
    /// The day it should come, which may have passed; `None` as above.
    pub due: Option<Day>,
    /// Whether it was expected before the as-of day, and has not come.
    pub overdue: bool,
}

/// The day a gate is expected to be ready; `None` where it misses something of which nobody knows the day.
fn ready(gate: &GateFigures, as_of: Day) -> Option<Day> {
    let days: Option<Vec<Day>> = gate.missing.iter().map(|m| m.expected).collect();
    days.map(|days| days.into_iter().max().unwrap_or(as_of).max(as_of))
}

/// How all draws stand.
pub fn draws(
    project: &Project,
    index: &Index,
    phases: &[PhaseFigures],
    gates: &[GateFigures],
    work: Calendar<'_>,
    as_of: Day,
) -> Vec<DrawFigures> {
    let one = |draw: &Draw| {
        let came = draw.came(as_of.date());
        if draw.has_come(as_of.date()) {
            return DrawFigures { came, expected: None, due: None, overdue: false };
        }
        let phase = draw.phase.and_then(|id| index.of(id.0)).and_then(|at| phases.get(at)?.forecast_finish);
        let gate = draw.gate.and_then(|id| project.gates.iter().position(|g| g.id == id));
        // Of a gate that is ready nobody knows since when.
        let ready = gate.and_then(|at| gates.get(at)).and_then(|gate| ready(gate, as_of));
        let days = i32::try_from(draw.days_after).unwrap_or(i32::MAX);
        let due = draw.received_on.map(Day::from).or(phase.or(ready).map(|day| day.plus(days)));
        let overdue = due.is_some_and(|due| due < as_of);
        let expected = due.map(|due| if due > as_of { due } else { work.roll_forward(as_of.plus(1)) });
        DrawFigures { came, expected, due, overdue }
    };
    project.draws.iter().map(one).collect()
}
