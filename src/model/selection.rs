//! Selections, their options, and the parts that are bought.

use super::facts::Fact;
use super::ids::{OptionId, PartId, PhaseId, RoomId, SelectionId, SupplierId};
use super::money::Money;
use super::quantity::Quantity;
use super::sold_in::Laying;
use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

/// One thing to be decided in a room.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Selection {
    /// Its number.
    pub id: SelectionId,
    /// Its key in sheets and figures.
    pub key: String,
    /// The room it belongs to.
    pub room: RoomId,
    /// What sort of thing it is, in the user's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub category: String,
    /// What people call it.
    pub name: String,
    /// What was set aside for it, tax and freight included.
    #[serde(default)]
    pub allowance: Money,
    /// The day the user means to decide; nothing undecided or unordered is ordered before it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub decide_on: Option<NaiveDate>,
    /// Anything worth remembering.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// The candidates.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub options: Vec<SelectionOption>,
}

impl Selection {
    /// The option that counts: the choice, else the one leaned to.
    pub fn live_option(&self) -> Option<&SelectionOption> {
        let with = |state| self.options.iter().find(move |o| o.state == state);
        with(OptionState::Chosen).or_else(|| with(OptionState::Leaning))
    }

    /// The option with this number.
    pub fn option(&self, id: OptionId) -> Option<&SelectionOption> {
        self.options.iter().find(|o| o.id == id)
    }

    /// The part with this number and its option.
    pub fn part(&self, id: PartId) -> Option<(&SelectionOption, &Part)> {
        self.options.iter().find_map(|o| o.parts.iter().find(|p| p.id == id).map(|p| (o, p)))
    }

    /// What something for it costs less what was set aside; negative is under.
    pub fn over_under(&self, costs: Money) -> Money {
        costs.less(self.allowance)
    }

    /// The option that was chosen.
    pub fn choice(&self) -> Option<&SelectionOption> {
        self.options.iter().find(|o| o.state == OptionState::Chosen)
    }
}

/// A candidate for a selection.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SelectionOption {
    /// Its number.
    pub id: OptionId,
    /// Its key in sheets and figures.
    pub key: String,
    /// What people call it.
    pub name: String,
    /// Colour, surface or material in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub finish: String,
    /// Anything worth remembering.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Its page on the web.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub link: String,
    /// Its picture, from the folder of the project file.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub picture: String,
    /// Candidate, leaning or chosen.
    #[serde(default)]
    pub state: OptionState,
    /// What is known of it: sizes, finish family, cut-out.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub facts: Vec<Fact>,
    /// What is bought.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<Part>,
}

impl SelectionOption {
    /// A candidate with nothing bought for it yet.
    pub fn new(id: OptionId, key: &str, name: &str) -> SelectionOption {
        SelectionOption {
            id,
            key: key.to_owned(),
            name: name.to_owned(),
            finish: String::new(),
            notes: String::new(),
            link: String::new(),
            picture: String::new(),
            state: OptionState::Candidate,
            facts: Vec::new(),
            parts: Vec::new(),
        }
    }
}

/// How far the decision for an option has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum OptionState {
    /// One among others.
    #[default]
    Candidate,
    /// The likely one.
    Leaning,
    /// The choice.
    Chosen,
}

impl OptionState {
    /// All states with their words in sheets.
    pub const ALL: [(&'static str, OptionState); 3] = [
        ("candidate", OptionState::Candidate),
        ("leaning", OptionState::Leaning),
        ("chosen", OptionState::Chosen),
    ];
}

/// A piece of an option that is bought, delivered and needed on its own.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Part {
    /// Its number.
    pub id: PartId,
    /// Its key in sheets and figures.
    pub key: String,
    /// What people call it.
    pub name: String,
    /// The supplier's own number for it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub article: String,
    /// Who sells it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub supplier: Option<SupplierId>,
    /// The phase that needs it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub phase: Option<PhaseId>,
    /// Whether the phase needs it to start or to finish.
    #[serde(default)]
    pub at: NeededAt,
    /// How much, before waste and packs.
    #[serde(default)]
    pub quantity: Quantity,
    /// What it is counted in.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub unit: String,
    /// Units in a pack; only whole packs are bought. Not packed when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pack: Option<Decimal>,
    /// How it is laid, which says what is added for cutting where no percent is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub laying: Option<Laying>,
    /// Percent added for cutting and breakage; zero is as it is laid, else none.
    #[serde(default, skip_serializing_if = "Decimal::is_zero")]
    pub waste_pct: Decimal,
    /// Price of one unit, before tax.
    #[serde(default)]
    pub unit_price: Money,
    /// Percent off.
    #[serde(default, skip_serializing_if = "Decimal::is_zero")]
    pub discount_pct: Decimal,
    /// Whether sales tax applies.
    #[serde(default = "yes")]
    pub taxable: bool,
    /// Order to ready, likely.
    #[serde(default)]
    pub lead: u32,
    /// What the lead times are counted in.
    #[serde(default)]
    pub lead_unit: LeadUnit,
    /// Shortest lead time thought possible.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lead_min: Option<u32>,
    /// Longest lead time thought likely.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lead_max: Option<u32>,
    /// Working days wanted between arrival and use; the project's when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hold: Option<u32>,
    /// The day it was ordered.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ordered_on: Option<NaiveDate>,
    /// The day the supplier promised it for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub promised_on: Option<NaiveDate>,
    /// The day it came.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub received_on: Option<NaiveDate>,
    /// The day it was built in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub installed_on: Option<NaiveDate>,
    /// What has been paid for it.
    #[serde(default, skip_serializing_if = "Money::is_zero")]
    pub paid: Money,
    /// Whether it ends up behind the wall; as its phase says when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub in_wall: Option<bool>,
    /// What is known of it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub facts: Vec<Fact>,
}

fn yes() -> bool {
    true
}

impl Part {
    /// One unit of something with no price, supplier or phase yet.
    pub fn new(id: PartId, key: &str, name: &str) -> Part {
        Part {
            id,
            key: key.to_owned(),
            name: name.to_owned(),
            article: String::new(),
            supplier: None,
            phase: None,
            at: NeededAt::Start,
            quantity: Quantity::default(),
            unit: "each".to_owned(),
            pack: None,
            laying: None,
            waste_pct: Decimal::ZERO,
            unit_price: Money::ZERO,
            discount_pct: Decimal::ZERO,
            taxable: true,
            lead: 0,
            lead_unit: LeadUnit::Days,
            lead_min: None,
            lead_max: None,
            hold: None,
            ordered_on: None,
            promised_on: None,
            received_on: None,
            installed_on: None,
            paid: Money::ZERO,
            in_wall: None,
            facts: Vec::new(),
        }
    }

    /// Percent added for cutting and breakage: its own, else what its way of laying usually leaves, else none.
    pub fn waste(&self) -> Decimal {
        match self.laying {
            Some(laying) if self.waste_pct.is_zero() => laying.usual_waste(),
            _ => self.waste_pct,
        }
    }

    /// Whether an order has been placed, by its date or by what followed from it.
    pub fn is_ordered(&self) -> bool {
        self.ordered_on.is_some() || self.is_on_site()
    }

    /// Whether it has come.
    pub fn is_on_site(&self) -> bool {
        self.arrived_on().is_some()
    }

    /// The day it came; a part that was built in without a note of its coming came that day at the latest.
    pub fn arrived_on(&self) -> Option<NaiveDate> {
        self.received_on.or(self.installed_on)
    }
}

/// Which end of its phase a part is needed for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum NeededAt {
    /// Before the first day.
    #[default]
    Start,
    /// Before the last day.
    Finish,
}

impl NeededAt {
    /// Both ends with their words in sheets.
    pub const ALL: [(&'static str, NeededAt); 2] = [("start", NeededAt::Start), ("finish", NeededAt::Finish)];
}

/// What a lead time is counted in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum LeadUnit {
    /// Calendar days.
    #[default]
    Days,
    /// Seven calendar days each.
    Weeks,
    /// Open days of the supplier.
    Working,
}

impl LeadUnit {
    /// All units with their words in sheets.
    pub const ALL: [(&'static str, LeadUnit); 3] =
        [("days", LeadUnit::Days), ("weeks", LeadUnit::Weeks), ("working", LeadUnit::Working)];
}
