//! Changing one's mind: the log of swaps, and the returns of what had been ordered.

use super::action::Action;
use super::field::{At, Field, Kind, Noun, Parsed, at, field, of, word};
use super::ids::{OptionId, PartId, ReturnId, SelectionId, SwapId};
use super::money::Money;
use super::project::Project;
use super::validate::{Checked, amount, day, key, percent};
use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};
use std::collections::HashSet;

/// One change of a choice, with what was known when it was made, so that whoever reads it later can see why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Swap {
    /// Its number.
    pub id: SwapId,
    /// Its key in sheets.
    pub key: String,
    /// What was decided anew.
    pub selection: SelectionId,
    /// The day it was made.
    pub on: NaiveDate,
    /// The choice before.
    pub from: OptionId,
    /// The choice since.
    pub to: OptionId,
    /// Why, in the user's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub why: String,
    /// The swap that this one takes back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reverses: Option<SwapId>,
    /// The figures that were known.
    #[serde(default)]
    pub known: Known,
}

impl Swap {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Swap>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("selection", "", of!(Selection, SelectionId, selection)).required(),
        field("on", "", Kind::Date(at!(on))).required(),
        field("from", "", of!(Option, OptionId, from)).required(),
        field("to", "", Kind::Of(Noun::Option, TO)).required(),
        field("why", "", Kind::Text(at!(why))),
        field("reverses", "", Kind::Apart(true)),
        field("forecast_before", "", Kind::Money(at!(known.forecast_before))),
        field("forecast_after", "", Kind::Money(at!(known.forecast_after))),
        field("forecast_returned", "", Kind::Money(at!(known.forecast_returned))),
        field("finish_before", "", Kind::Date(at!(known.finish_before?))),
        field("finish_after", "", Kind::Date(at!(known.finish_after?))),
        field("restocking", "", Kind::Money(at!(known.restocking))),
        field("return_freight", "", Kind::Money(at!(known.return_freight))),
        field("deposit_lost", "", Kind::Money(at!(known.deposit_lost))),
        field("knock_ons", "", Kind::Stated(KNOCK_ONS)),
    ];
}

/// A choice that is not known gets a number that no option has, and another one than the choice before.
const TO: At<Swap, u32> =
    At { maybe: false, get: |s| Some(s.to.0), set: |s, id| s.to = OptionId(id.unwrap_or(u32::MAX - 1)) };

/// Each knock-on is a line of its own.
const KNOCK_ONS: Parsed<Swap> = Parsed {
    get: |s| s.known.knock_ons.join("\n"),
    set: |s, text| {
        let lines = text.split(['\n', '\r']).filter(|line| !line.trim().is_empty());
        s.known.knock_ons = lines.map(str::to_owned).collect();
        Ok(())
    },
};

/// What was known when a swap was made. These are notes of that day and no part of any sum.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Known {
    /// Forecast total before.
    #[serde(default)]
    pub forecast_before: Money,
    /// Forecast total after, with everything of the old option still counted.
    #[serde(default)]
    pub forecast_after: Money,
    /// Forecast total after, with everything sent back that could be.
    #[serde(default)]
    pub forecast_returned: Money,
    /// Forecast finish before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub finish_before: Option<NaiveDate>,
    /// Forecast finish after.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub finish_after: Option<NaiveDate>,
    /// What suppliers would keep for taking goods back.
    #[serde(default, skip_serializing_if = "Money::is_zero")]
    pub restocking: Money,
    /// What sending goods back was thought to cost.
    #[serde(default, skip_serializing_if = "Money::is_zero")]
    pub return_freight: Money,
    /// Deposits lost on orders cancelled.
    #[serde(default, skip_serializing_if = "Money::is_zero")]
    pub deposit_lost: Money,
    /// What else it touched, a sentence each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub knock_ons: Vec<String>,
}

impl Known {
    /// The forecast after less the forecast before.
    pub fn costs(&self) -> Money {
        self.forecast_after.less(self.forecast_before)
    }

    /// The same with everything sent back that could be.
    pub fn costs_returned(&self) -> Money {
        self.forecast_returned.less(self.forecast_before)
    }
}

/// A swap with everything that is done along with it. One edit, undone as one.
#[derive(Debug, Clone, PartialEq)]
pub struct SwapAction {
    /// The log entry; its figures are those the caller previewed.
    pub swap: Swap,
    /// What is known of the returns. An ordered part of the old option that has none here gets one to be decided.
    pub returns: Vec<Return>,
    /// Changes made first: priced knock-ons, and parts bought anew that had gone back.
    pub also: Vec<Action>,
}

/// What becomes of an ordered part whose option is no longer the choice.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Return {
    /// Its number.
    pub id: ReturnId,
    /// The part. It has one return at most.
    pub part: PartId,
    /// How far it is.
    #[serde(default)]
    pub state: ReturnState,
    /// Percent of the goods that the supplier keeps; the supplier's own when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub restock_pct: Option<Decimal>,
    /// What sending it back costs.
    #[serde(default, skip_serializing_if = "Money::is_zero")]
    pub freight: Money,
    /// What is lost of the deposit when the order is cancelled before it came; the supplier's deposit when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub deposit_lost: Option<Money>,
    /// The day it went back, or the order was cancelled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub went_back_on: Option<NaiveDate>,
    /// What the supplier gave back or took off the bill, tax included; known once it is settled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub credit: Option<Money>,
    /// Anything worth remembering.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

impl Return {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Return>] = &[
        field("part", "", of!(Part, PartId, part)).required(),
        field("state", "What becomes of it", word!(ReturnState::ALL, state)),
        field("restock_pct", "Restocking, percent", Kind::Percent(at!(restock_pct?))).after("credit"),
        field("freight", "Freight back", Kind::Money(at!(freight))).after("credit").hint("0"),
        field("deposit_lost", "Deposit lost", Kind::Money(at!(deposit_lost?)))
            .after("restock_pct")
            .hint("the supplier's deposit"),
        field("went_back_on", "On", Kind::Date(at!(went_back_on?))),
        field("credit", "Credit", Kind::Money(at!(credit?)))
            .hint("what was returned or taken off the bill, tax included"),
        field("note", "Note", Kind::Lines(at!(note))),
    ];

    /// A return of which nothing is decided.
    pub fn new(id: ReturnId, part: PartId) -> Return {
        Return {
            id,
            part,
            state: ReturnState::ToDecide,
            restock_pct: None,
            freight: Money::ZERO,
            deposit_lost: None,
            went_back_on: None,
            credit: None,
            note: String::new(),
        }
    }

    /// Whether something is still to be done about it.
    pub fn is_open(&self) -> bool {
        matches!(self.state, ReturnState::ToDecide | ReturnState::GoingBack)
    }

    /// Whether the part is no longer in the house, so that it cannot be the choice again without being bought again.
    pub fn is_gone(&self) -> bool {
        matches!(self.state, ReturnState::WentBack | ReturnState::WrittenOff)
    }
}

/// How far a return is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum ReturnState {
    /// Nothing is decided: the part counts in full.
    #[default]
    ToDecide,
    /// It is to go back, or the order is to be cancelled: the forecast counts what that costs.
    GoingBack,
    /// It went back, or the order was cancelled: what is ordered counts that too.
    WentBack,
    /// It stays, for another place or for stock: it counts in full.
    Kept,
    /// Nobody wants it: it counts in full.
    WrittenOff,
}

impl ReturnState {
    /// All states with their words in sheets.
    pub const ALL: [(&'static str, ReturnState); 5] = [
        ("to_decide", ReturnState::ToDecide),
        ("going_back", ReturnState::GoingBack),
        ("went_back", ReturnState::WentBack),
        ("kept", ReturnState::Kept),
        ("written_off", ReturnState::WrittenOff),
    ];

    /// In words for people: of a part that came, or whose order is cancelled before it did.
    pub fn words(self, came: bool) -> &'static str {
        match self {
            ReturnState::ToDecide => "to decide",
            ReturnState::GoingBack if came => "going back",
            ReturnState::GoingBack => "to cancel",
            ReturnState::WentBack if came => "went back",
            ReturnState::WentBack => "cancelled",
            ReturnState::Kept => "kept",
            ReturnState::WrittenOff => "written off",
        }
    }
}

impl Swap {
    /// Checks a log entry by itself.
    pub fn check(&self) -> Checked {
        key(&self.key)?;
        day("the day of the swap", Some(self.on))?;
        day("the finish before", self.known.finish_before)?;
        day("the finish after", self.known.finish_after)?;
        if self.from == self.to {
            return Err("a swap leads to another option; this one is the choice already".to_owned());
        }
        if self.reverses == Some(self.id) {
            return Err("a swap cannot take back itself".to_owned());
        }
        if self.known.knock_ons.iter().any(|k| k.trim().is_empty() || k.chars().any(char::is_control)) {
            return Err("a knock-on is empty or has a line break in it".to_owned());
        }
        let known = &self.known;
        amount("restocking", known.restocking)?;
        amount("return freight", known.return_freight)?;
        amount("the deposit lost", known.deposit_lost)
    }

    /// Checks a log entry against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        self.check()?;
        let Some(selection) = project.selection(self.selection) else {
            return Err("the swap names a selection that is not in the project".to_owned());
        };
        let of = |id| selection.options.iter().any(|o| o.id == id);
        if !of(self.from) || !of(self.to) {
            return Err(format!("the swap names an option that is none of {}", selection.name));
        }
        let Some(reversed) = self.reverses else { return Ok(()) };
        match project.swaps.iter().find(|other| other.id == reversed) {
            Some(other) if other.selection != self.selection => {
                Err("the swap takes back one of another selection".to_owned())
            }
            Some(_) => Ok(()),
            None => Err("the swap takes back one that is not in the log".to_owned()),
        }
    }
}

impl Return {
    /// Checks a return by itself.
    pub fn check(&self) -> Checked {
        percent("restocking", self.restock_pct.unwrap_or_default())?;
        amount("return freight", self.freight)?;
        amount("the deposit lost", self.deposit_lost.unwrap_or_default())?;
        amount("the credit", self.credit.unwrap_or_default())?;
        day("the day it went back", self.went_back_on)?;
        match (self.state, self.went_back_on) {
            (ReturnState::WentBack, None) => Err("it went back: write the day".to_owned()),
            (ReturnState::WentBack, Some(_)) | (_, None) => Ok(()),
            (_, Some(day)) => Err(format!("it has a day of going back, {day}, but is not marked went back")),
        }
    }

    /// Checks a return against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        if project.part(self.part).is_none() {
            return Err("the return names a part that is not in the project".to_owned());
        }
        self.check()
    }
}

/// Checks rules, returns and swaps of a whole document.
pub(super) fn check_swaps(project: &Project, check: &mut impl FnMut(&'static str, u32, &str, Checked)) {
    project.rules.iter().for_each(|r| check("rule", r.id.0, &r.key, r.check_in(project)));
    let mut parts = HashSet::new();
    for r in project.returns.iter() {
        let name = format!("of part {}", r.part.0);
        let key = project.part(r.part).map_or(name.as_str(), |(_, _, p)| &p.key);
        let fault = if parts.insert(r.part) {
            r.check_in(project)
        } else {
            Err("the part has two returns; keep one".to_owned())
        };
        check("return", r.id.0, key, fault);
    }
    for (at, s) in project.swaps.iter().enumerate() {
        // What is taken back was made before.
        let later = s.reverses.is_some_and(|id| !project.swaps[..at].iter().any(|known| known.id == id));
        let fault = if later {
            Err("it takes back a swap that does not come before it".to_owned())
        } else {
            s.check_in(project)
        };
        check("swap", s.id.0, &s.key, fault);
    }
}
