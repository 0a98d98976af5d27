//! Money that is not a part: trades' quotes, permit fees and own extras.

use super::bid::{Installment, LeftOut, left_out};
use super::field::{Field, Kind, at, field, of, word};
use super::ids::{CrewId, ExtraId, PhaseId, QuoteId};
use super::money::Money;
use super::project::Project;
use super::validate::{Checked, MAX_DAYS, amount, day, key, name};
use chrono::NaiveDate;
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
    /// Other phases that it covers too.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub also: Vec<PhaseId>,
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
    /// What the price leaves out.
    #[serde(
        default,
        alias = "leaves_out",
        skip_serializing_if = "Vec::is_empty",
        deserialize_with = "left_out"
    )]
    pub left_out: Vec<LeftOut>,
    /// The crew that would come.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub crew: Option<CrewId>,
    /// The first day it offers to start.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub starts_on: Option<NaiveDate>,
    /// Working days it says it takes, for all its phases together.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days: Option<i32>,
    /// The last day the price holds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub valid_until: Option<NaiveDate>,
    /// The parts in which it is paid.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub installments: Vec<Installment>,
}

impl Quote {
    /// The states with their words in sheets.
    pub const STATES: [(&'static str, bool); 2] = [("candidate", false), ("accepted", true)];

    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Quote>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("phase", "Phase", of!(Phase, PhaseId, phase?)).after("scope"),
        field("trade", "Trade", Kind::Text(at!(trade))).asked(),
        field("scope", "Scope", Kind::Text(at!(scope)))
            .asked()
            .hint("what is to be done; bids for it stand together"),
        field("amount", "Amount", Kind::Money(at!(amount))),
        field("allowance", "Allowance", Kind::Money(at!(allowance?))).hint("the amount itself when empty"),
        field("state", "", word!(Quote::STATES, accepted)),
        field("paid", "Paid", Kind::Money(at!(paid))).hint("0"),
        field("leaves_out", "", Kind::Apart(true)),
        field("also", "", Kind::Apart(true)),
        field("crew", "Crew", of!(Crew, CrewId, crew?)).section("When and by whom"),
        field("starts_on", "Can start on", Kind::Date(at!(starts_on?))),
        field("days", "Takes, working days", Kind::Days(at!(days?))),
        field("valid_until", "Price holds until", Kind::Date(at!(valid_until?))),
    ];

    /// A quote of nothing yet.
    pub fn new(id: QuoteId) -> Quote {
        Quote {
            id,
            key: String::new(),
            phase: None,
            also: Vec::new(),
            trade: String::new(),
            scope: String::new(),
            amount: Money::ZERO,
            accepted: false,
            paid: Money::ZERO,
            allowance: None,
            left_out: Vec::new(),
            crew: None,
            starts_on: None,
            days: None,
            valid_until: None,
            installments: Vec::new(),
        }
    }

    /// All phases that it covers, each once.
    pub fn phases(&self) -> impl Iterator<Item = PhaseId> {
        let also = self.also.iter().copied().enumerate();
        let once = also.filter(|(at, id)| Some(*id) != self.phase && !self.also[..*at].contains(id));
        self.phase.into_iter().chain(once.map(|(_, id)| id))
    }

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

impl Extra {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Extra>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("name", "Name", Kind::Name(at!(name))),
        field("kind", "Kind", word!(ExtraKind::ALL, kind)).shown(&["a planned fee", "nobody planned it"]),
        field("phase", "Phase", of!(Phase, PhaseId, phase?)),
        field("amount", "Amount", Kind::Money(at!(amount))),
        field("paid", "Paid", Kind::Money(at!(paid))).hint("0"),
    ];

    /// An extra of nothing yet.
    pub fn new(id: ExtraId) -> Extra {
        Extra {
            id,
            key: String::new(),
            name: String::new(),
            kind: ExtraKind::Extra,
            phase: None,
            amount: Money::ZERO,
            paid: Money::ZERO,
        }
    }
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
        if self.phases().any(|id| project.phase(id).is_none()) {
            return Err("the bid names a phase that is not in the project".to_owned());
        }
        amount("the amount", self.amount)?;
        amount("paid", self.paid)?;
        amount("the allowance", self.allowance.unwrap_or_default())?;
        if self.crew.is_some_and(|id| project.crew(id).is_none()) {
            return Err("the bid names a crew that is not in the project".to_owned());
        }
        if let Some(days) = self.days.filter(|days| !(0..=MAX_DAYS).contains(days)) {
            return Err(format!("{days} days are not between 0 and {MAX_DAYS}"));
        }
        day("the first day", self.starts_on)?;
        day("the end of the price", self.valid_until)?;
        self.left_out.iter().try_for_each(LeftOut::check)?;
        self.installments.iter().try_for_each(|i| i.check_in(project))?;
        self.check_installments()
    }
}

impl Extra {
    /// Checks a fee or an extra against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        key(&self.key)?;
        name(&self.name)?;
        if self.phase.is_some_and(|id| project.phase(id).is_none()) {
            return Err("the extra names a phase that is not in the project".to_owned());
        }
        amount("the amount", self.amount)?;
        amount("paid", self.paid)
    }
}
