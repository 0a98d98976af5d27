//! Changes: work that nobody planned, found or wished for, with what it takes and who agreed to it.

use super::field::{Field, Kind, at, field, of};
use super::ids::{ChangeId, PhaseId};
use super::money::Money;
use super::project::Project;
use super::validate::{Checked, MAX_DAYS, amount, day, key};
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

/// A change of the work.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Change {
    /// Its number.
    pub id: ChangeId,
    /// Its key in sheets and figures.
    pub key: String,
    /// What is to be done.
    pub what: String,
    /// The decision that it is one answer to; the one that is agreed on answers it. Empty where it stands alone.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub decision: String,
    /// The phase in which it is done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub phase: Option<PhaseId>,
    /// Working days that its phase takes longer; `None` while nobody has said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days: Option<i32>,
    /// What it costs; `None` while nobody has said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub amount: Option<Money>,
    /// The day it was found or wished for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub found_on: Option<NaiveDate>,
    /// Who agreed to it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub agreed_by: String,
    /// The day it was agreed on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub agreed_on: Option<NaiveDate>,
    /// A picture beside the project file.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub picture: String,
    /// What has been paid on it.
    #[serde(default, skip_serializing_if = "Money::is_zero")]
    pub paid: Money,
}

impl Change {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Change>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("what", "What is to be done", Kind::Text(at!(what))).required(),
        field("decision", "One answer to", Kind::Text(at!(decision)))
            .hint("empty where it stands alone")
            .after("paid"),
        field("phase", "Phase", of!(Phase, PhaseId, phase?)),
        field("days", "Working days more", Kind::Days(at!(days?))).hint("nobody has said when empty"),
        field("amount", "Costs", Kind::Money(at!(amount?))).hint("nobody has said when empty"),
        field("found_on", "Found on", Kind::Date(at!(found_on?))),
        field("agreed_by", "Agreed by", Kind::Text(at!(agreed_by))).section("Agreed"),
        field("agreed_on", "Agreed on", Kind::Date(at!(agreed_on?))),
        field("picture", "Picture beside the project", Kind::Address(at!(picture)))
            .hint("a file such as pictures/sill.jpg"),
        field("paid", "Paid", Kind::Money(at!(paid))).hint("0"),
    ];

    /// A change of nothing yet.
    pub fn new(id: ChangeId) -> Change {
        Change {
            id,
            key: String::new(),
            what: String::new(),
            decision: String::new(),
            phase: None,
            days: None,
            amount: None,
            found_on: None,
            agreed_by: String::new(),
            agreed_on: None,
            picture: String::new(),
            paid: Money::ZERO,
        }
    }

    /// Whether it was found by a day; what has no day was.
    pub fn is_found(&self, by: NaiveDate) -> bool {
        self.found_on.is_none_or(|on| on <= by)
    }

    /// Whether it was agreed on by a day.
    pub fn is_agreed(&self, by: NaiveDate) -> bool {
        self.agreed_on.is_some_and(|on| on <= by)
    }

    /// Checks a change by itself.
    pub fn check(&self) -> Checked {
        key(&self.key)?;
        if self.what.trim().is_empty() {
            return Err("say what is to be done".to_owned());
        }
        if let Some(days) = self.days.filter(|days| !(0..=MAX_DAYS).contains(days)) {
            return Err(format!("{days} days are not between 0 and {MAX_DAYS}"));
        }
        amount("the amount", self.amount.unwrap_or_default())?;
        amount("paid", self.paid)?;
        day("found", self.found_on)?;
        day("agreed", self.agreed_on)?;
        super::look::check_picture(&self.picture)?;
        if let (Some(found), Some(agreed)) = (self.found_on, self.agreed_on)
            && agreed < found
        {
            return Err(format!("it was agreed on {agreed}, before it was found on {found}"));
        }
        Ok(())
    }

    /// Checks a change against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        self.check()?;
        if self.phase.is_some_and(|id| project.phase(id).is_none()) {
            return Err("the change names a phase that is not in the project".to_owned());
        }
        Ok(())
    }
}

/// A decision that is still open on a day: the changes that answer it, none of which is agreed on.
pub fn is_open(project: &Project, change: &Change, on: NaiveDate) -> bool {
    if change.is_agreed(on) || !change.is_found(on) {
        return false;
    }
    let answers = |other: &&Change| {
        !change.decision.trim().is_empty() && other.decision.trim() == change.decision.trim()
    };
    !project.changes.iter().filter(answers).any(|other| other.is_agreed(on))
}
