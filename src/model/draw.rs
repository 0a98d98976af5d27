//! Draws: money of a lender that comes when some of the work is done.

use super::field::{Field, Kind, at, field, of};
use super::ids::{DrawId, GateId, PhaseId};
use super::money::Money;
use super::project::Project;
use super::validate::{Checked, MAX_LEAD, amount, day, key, name};
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

/// A sum that the lender pays out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Draw {
    /// Its number.
    pub id: DrawId,
    /// Its key in sheets.
    pub key: String,
    /// What it is called.
    pub name: String,
    /// What is to come.
    #[serde(default)]
    pub amount: Money,
    /// The phase that must be finished before it,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub phase: Option<PhaseId>,
    /// or the gate that must be ready.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gate: Option<GateId>,
    /// Calendar days from then until the money is there.
    #[serde(default)]
    pub days_after: u32,
    /// The day it came, or on which the lender says that it will.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub received_on: Option<NaiveDate>,
    /// What came; all of it when only the day is noted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub received: Option<Money>,
}

impl Draw {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Draw>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("name", "Draw", Kind::Name(at!(name))),
        field("amount", "Amount", Kind::Money(at!(amount))),
        field("phase", "When this is finished", of!(Phase, PhaseId, phase?)),
        field("gate", "or this is ready", of!(Gate, GateId, gate?)),
        field("days_after", "Days until the money is there", Kind::CalendarDays(at!(days_after))),
        field("received_on", "Came on", Kind::Date(at!(received_on?))),
        field("received", "Came", Kind::Money(at!(received?))).hint("all of it when empty"),
    ];

    /// A draw of nothing yet.
    pub fn new(id: DrawId) -> Draw {
        Draw {
            id,
            key: String::new(),
            name: String::new(),
            amount: Money::ZERO,
            phase: None,
            gate: None,
            days_after: 0,
            received_on: None,
            received: None,
        }
    }

    /// What had come by a day; what came without a day counts always.
    pub fn came(&self, by: NaiveDate) -> Money {
        match (self.received_on, self.received) {
            (Some(on), came) if on <= by => came.unwrap_or(self.amount),
            (None, Some(came)) => came,
            _ => Money::ZERO,
        }
    }

    /// Whether it came by a day.
    pub fn has_come(&self, by: NaiveDate) -> bool {
        match (self.received_on, self.received) {
            (Some(on), _) => on <= by,
            (None, received) => received.is_some_and(|came| !came.is_zero()),
        }
    }

    /// Checks a draw by itself.
    pub fn check(&self) -> Checked {
        key(&self.key)?;
        name(&self.name)?;
        amount("the amount", self.amount)?;
        amount("what came", self.received.unwrap_or_default())?;
        day("the day it came", self.received_on)?;
        if self.phase.is_some() && self.gate.is_some() {
            return Err("a draw waits for a phase or for a gate; keep one of them".to_owned());
        }
        if self.days_after > MAX_LEAD {
            return Err(format!("{} days are above {MAX_LEAD}", self.days_after));
        }
        Ok(())
    }

    /// Checks a draw against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        self.check()?;
        if self.phase.is_some_and(|id| project.phase(id).is_none()) {
            return Err("the draw names a phase that is not in the project".to_owned());
        }
        if self.gate.is_some_and(|id| project.gate(id).is_none()) {
            return Err("the draw names a gate that is not in the project".to_owned());
        }
        Ok(())
    }
}
