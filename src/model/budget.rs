//! Money that is not a part: trades' quotes, permit fees and own extras.

use super::ids::{ExtraId, PhaseId, QuoteId};
use super::money::Money;
use super::project::Project;
use super::validate::{Checked, amount, key};
use serde::{Deserialize, Serialize};

/// A trade's price for a scope of work. Quotes with the same scope compete; one of them is accepted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Quote {
    /// Its number.
    pub id: QuoteId,
    /// Its key in sheets.
    pub key: String,
    /// The phase it is for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub phase: Option<PhaseId>,
    /// Who quotes.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub trade: String,
    /// What is to be done.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub scope: String,
    /// The price.
    #[serde(default)]
    pub amount: Money,
    /// Whether it was accepted.
    #[serde(default)]
    pub accepted: bool,
    /// What has been paid on it.
    #[serde(default, skip_serializing_if = "Money::is_zero")]
    pub paid: Money,
    /// What was set aside for the scope; the accepted amount when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub allowance: Option<Money>,
    /// What the price leaves out, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub leaves_out: String,
}

impl Quote {
    /// How much it is above another price.
    pub fn above(&self, least: Money) -> Money {
        self.amount.less(least)
    }

    /// Its amount less what was set aside for the scope; negative is under.
    pub fn over_under(&self) -> Option<Money> {
        self.allowance.map(|allowance| self.amount.less(allowance))
    }
}

/// A fee or another cost of the user's own.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Extra {
    /// Its number.
    pub id: ExtraId,
    /// Its key in sheets.
    pub key: String,
    /// What it is.
    pub name: String,
    /// Planned fee, or a surprise.
    pub kind: ExtraKind,
    /// The phase it is for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub phase: Option<PhaseId>,
    /// What it costs.
    #[serde(default)]
    pub amount: Money,
    /// What has been paid on it.
    #[serde(default, skip_serializing_if = "Money::is_zero")]
    pub paid: Money,
}

/// Whether a cost was planned. A permit fee is its own allowance; an extra is taken from the contingency.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum ExtraKind {
    /// A fee that everybody knew of.
    Permit,
    /// A cost that nobody planned.
    Extra,
}

impl ExtraKind {
    /// Both kinds with their words in sheets.
    pub const ALL: [(&'static str, ExtraKind); 2] =
        [("permit", ExtraKind::Permit), ("extra", ExtraKind::Extra)];
}

impl Quote {
    /// Checks a quote against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        key(&self.key)?;
        if self.phase.is_some_and(|id| project.phase(id).is_none()) {
            return Err("the quote names a phase that is not in the project".to_owned());
        }
        amount("the amount", self.amount)?;
        amount("paid", self.paid)?;
        amount("the allowance", self.allowance.unwrap_or_default())
    }
}

impl Extra {
    /// Checks a fee or an extra against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        key(&self.key)?;
        if self.phase.is_some_and(|id| project.phase(id).is_none()) {
            return Err("the extra names a phase that is not in the project".to_owned());
        }
        amount("the amount", self.amount)?;
        amount("paid", self.paid)
    }
}
