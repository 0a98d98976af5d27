//! The project: one remodel, one document.

use super::alternative::Alternative;
use super::budget::{Extra, Quote};
use super::change::Change;
use super::crew::Crew;
use super::dates::{ClosedRange, Holidays, Weekdays};
use super::draw::Draw;
use super::facts::Rule;
use super::field::{At, Field, Kind, Parsed, at, field, parsed, word};
use super::gate::{Correction, Gate};
use super::goods::TypicalLead;
use super::handover::Handover;
use super::index::Index;
use super::kept_plan::KeptPlan;
use super::later::Later;
use super::log::LogLine;
use super::look::FinishColor;
use super::mapping::{DateOrder, Mapping};
use super::money::{Currency, Money};
use super::order::{Delivery, Order, Payment};
use super::out_of_use::OutOfUse;
use super::permit::Permit;
use super::phase::{Link, Phase};
use super::punch::Punch;
use super::risk::Risk;
use super::room::Room;
use super::selection::Selection;
use super::sent::Sent;
use super::supplier::Supplier;
use super::swap::{Return, Swap};
use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// A whole remodel. Collections are shared between versions of the document; an edit copies only what it touches.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Project {
    /// What holds for all of it.
    pub settings: Settings,
    /// The house.
    #[serde(default)]
    pub rooms: Arc<Vec<Room>>,
    /// The work.
    #[serde(default)]
    pub phases: Arc<Vec<Phase>>,
    /// What follows what.
    #[serde(default)]
    pub links: Arc<Vec<Link>>,
    /// Who sells.
    #[serde(default)]
    pub suppliers: Arc<Vec<Supplier>>,
    /// What is to be decided.
    #[serde(default)]
    pub selections: Arc<Vec<Arc<Selection>>>,
    /// Trades' prices.
    #[serde(default)]
    pub quotes: Arc<Vec<Quote>>,
    /// Fees and extras.
    #[serde(default)]
    pub extras: Arc<Vec<Extra>>,
    /// What goes with what.
    #[serde(default, skip_serializing_if = "none")]
    pub rules: Arc<Vec<Rule>>,
    /// Changes of choices, in the order they were made.
    #[serde(default, skip_serializing_if = "none")]
    pub swaps: Arc<Vec<Swap>>,
    /// What becomes of ordered parts that are no longer wanted.
    #[serde(default, skip_serializing_if = "none")]
    pub returns: Arc<Vec<Return>>,
    /// What must be true before phases may start.
    #[serde(default, skip_serializing_if = "none")]
    pub gates: Arc<Vec<Gate>>,
    /// What inspectors want put right.
    #[serde(default, skip_serializing_if = "none")]
    pub corrections: Arc<Vec<Correction>>,
    /// Colors of finishes that the user picked.
    #[serde(default, skip_serializing_if = "none")]
    pub finishes: Arc<Vec<FinishColor>>,
    /// Lines placed together, as the user grouped them.
    #[serde(default, skip_serializing_if = "none")]
    pub orders: Arc<Vec<Order>>,
    /// What came, and when.
    #[serde(default, skip_serializing_if = "none")]
    pub deliveries: Arc<Vec<Delivery>>,
    /// What was paid to suppliers, and when.
    #[serde(default, skip_serializing_if = "none")]
    pub payments: Arc<Vec<Payment>>,
    /// How lists from elsewhere are read.
    #[serde(default, skip_serializing_if = "none")]
    pub mappings: Arc<Vec<Mapping>>,
    /// Who comes to work.
    #[serde(default, skip_serializing_if = "none")]
    pub crews: Arc<Vec<Crew>>,
    /// Permits that phases wait for.
    #[serde(default, skip_serializing_if = "none")]
    pub permits: Arc<Vec<Permit>>,
    /// Work that nobody planned.
    #[serde(default, skip_serializing_if = "none")]
    pub changes: Arc<Vec<Change>>,
    /// Money of a lender.
    #[serde(default, skip_serializing_if = "none")]
    pub draws: Arc<Vec<Draw>>,
    /// Rooms and services that some of the work takes away.
    #[serde(default, skip_serializing_if = "none")]
    pub out_of_use: Arc<Vec<OutOfUse>>,
    /// What is still to be put right.
    #[serde(default, skip_serializing_if = "none")]
    pub punch: Arc<Vec<Punch>>,
    /// What stays with parts when the work is over.
    #[serde(default, skip_serializing_if = "none")]
    pub handover: Arc<Vec<Handover>>,
    /// What may happen.
    #[serde(default, skip_serializing_if = "none")]
    pub risks: Arc<Vec<Risk>>,
    /// Named sets of choices.
    #[serde(default, skip_serializing_if = "none")]
    pub alternatives: Arc<Vec<Alternative>>,
    /// Plans as they were agreed on, in the order in which they were kept.
    #[serde(default, skip_serializing_if = "none")]
    pub kept_plans: Arc<Vec<KeptPlan>>,
    /// What moved finish and total since the first of them.
    #[serde(default, skip_serializing_if = "none")]
    pub log: Arc<Vec<Arc<LogLine>>>,
    /// Typical lead times in place of the usual ones.
    #[serde(default, skip_serializing_if = "none")]
    pub typical: Arc<Vec<TypicalLead>>,
    /// What calendars that were written say.
    #[serde(default, skip_serializing_if = "none")]
    pub sent: Arc<Vec<Sent>>,
    /// The next unused number.
    pub next_id: u32,
    /// What a later minor version wrote, and this one does not read.
    #[serde(skip)]
    pub(super) later: Later,
    /// Where things are by their numbers.
    #[serde(skip)]
    pub(super) index: Index,
}

fn none<T>(list: &Arc<Vec<T>>) -> bool {
    list.is_empty()
}

/// What holds for the whole project.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Settings {
    /// The name of the project.
    pub name: String,
    /// The first day of the work.
    pub start: NaiveDate,
    /// The day it should be done by.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub target_finish: Option<NaiveDate>,
    /// A day on which the window opens instead of today: for looking at a project as it stood, and for samples.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub as_of: Option<NaiveDate>,
    /// The currency of all amounts.
    pub currency: Currency,
    /// Public holidays and own dates.
    pub holidays: Holidays,
    /// Days on which work is done.
    pub weekdays: Weekdays,
    /// Ranges in which nobody works on the house. Suppliers do not keep them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub closed: Vec<ClosedRange>,
    /// Working days wanted between arrival and use, where a part names none.
    pub hold: u32,
    /// Working days before an inspector comes again, after corrections.
    pub reinspect_wait: u32,
    /// How sure the last days to order are to be where lead times are ranges, in percent, from 1 to 99.
    #[serde(default = "usual_confidence", skip_serializing_if = "is_usual_confidence")]
    pub confidence: u32,
    /// Money of the owner for the whole job, what has been paid of it too; `None` while nobody has said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub own_cash: Option<Money>,
    /// Reserve in percent of the allowances.
    pub contingency_pct: Decimal,
    /// Whether sales tax is rounded once an order or once a line.
    pub tax_by: TaxBy,
    /// Feet or meters.
    pub units: Units,
    /// Room there is to store things, in square feet or meters as the project measures; `None` while nobody has said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub storage: Option<Decimal>,
    /// The year the house was built, for the cautions that hang on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub year_built: Option<i32>,
    /// Whether day or month stands first in `3/4/2026`; as those write who pay in the currency, when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dates: Option<DateOrder>,
    /// Where goods are brought: the address, line by line.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub ship_to: String,
    /// Who orders, by name.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub owner: String,
    /// The telephone number on the day of a delivery.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub phone: String,
}

/// Three letters.
const CURRENCY: Parsed<Settings> = Parsed {
    get: |s| s.currency.to_string(),
    set: |s, text| {
        s.currency = Currency::from_code(text)
            .ok_or_else(|| format!("`{text}` is no currency code; write three letters such as USD"))?;
        Ok(())
    },
};

/// Two days when a form names none.
const WAIT: At<Settings, u32> =
    At { maybe: true, get: |s| Some(s.reinspect_wait), set: |s, days| s.reinspect_wait = days.unwrap_or(2) };

/// How sure last days to order are when nobody says it, in percent.
const USUAL_CONFIDENCE: u32 = 80;

fn usual_confidence() -> u32 {
    USUAL_CONFIDENCE
}

fn is_usual_confidence(percent: &u32) -> bool {
    *percent == USUAL_CONFIDENCE
}

/// The usual one when a form names none.
const CONFIDENCE: At<Settings, u32> = At {
    maybe: true,
    get: |s| Some(s.confidence),
    set: |s, percent| s.confidence = percent.unwrap_or(USUAL_CONFIDENCE),
};

/// Where sales tax is rounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum TaxBy {
    /// On the sum of an order, then shared to its lines.
    #[default]
    Order,
    /// On each line.
    Line,
}

impl TaxBy {
    /// Both with their words in sheets.
    pub const ALL: [(&'static str, TaxBy); 2] = [("order", TaxBy::Order), ("line", TaxBy::Line)];
}

/// The measures of rooms.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Units {
    /// Feet, square feet.
    #[default]
    Us,
    /// Meters, square meters.
    Metric,
}

impl Units {
    /// Both with their words in sheets.
    pub const ALL: [(&'static str, Units); 2] = [("us", Units::Us), ("metric", Units::Metric)];

    /// The unit of lengths, as it is written.
    pub fn length(self) -> &'static str {
        match self {
            Units::Us => "ft",
            Units::Metric => "m",
        }
    }

    /// The unit of areas, as it is written.
    pub fn area(self) -> &'static str {
        match self {
            Units::Us => "sq ft",
            Units::Metric => "sq m",
        }
    }

    /// Meters in one unit of length.
    pub fn meters(self) -> Decimal {
        match self {
            Units::Us => super::units::FOOT,
            Units::Metric => Decimal::ONE,
        }
    }
}

impl Settings {
    /// The settings, in the order in which they are written.
    pub const FIELDS: &'static [Field<Settings>] = &[
        field("name", "Name", Kind::Text(at!(name))).asked(),
        field("start", "Start", Kind::Date(at!(start))),
        field("target_finish", "Target finish", Kind::Date(at!(target_finish?))),
        field("as_of", "Open as of", Kind::Date(at!(as_of?))).hint("today when empty"),
        field("currency", "Currency", Kind::Parsed(CURRENCY)).after("confidence").section("Money"),
        field("holidays", "Holidays", Kind::Holidays(at!(holidays)))
            .after("weekdays")
            .hint("us-federal or none, and own days, one a line"),
        field("weekdays", "Working days", Kind::Parsed(parsed!(weekdays))).section("Calendar"),
        field("closed", "Closed from and to", Kind::Closed(at!(closed))),
        field("hold", "Hold, working days", Kind::OpenDays(at!(hold))),
        field("reinspect_wait", "Wait to re-inspect", Kind::OpenDays(WAIT)),
        field("confidence", "Order-by sure, percent", Kind::Whole(CONFIDENCE))
            .hint("80 when empty; by lead times that are ranges"),
        field("contingency_pct", "Contingency, percent", Kind::Percent(at!(contingency_pct))),
        field("own_cash", "Own money for the job", Kind::Money(at!(own_cash?)))
            .after("phone")
            .section("To pay with")
            .hint("nobody has said when empty"),
        field("tax_by", "Sales tax is rounded", word!(TaxBy::ALL, tax_by))
            .shown(&["once an order", "on each line"]),
        field("units", "Measures in", word!(Units::ALL, units)).section("House").shown(&["feet", "meters"]),
        field("year_built", "Year built", Kind::Signed(at!(year_built?))),
        field("storage", "Storage floor", Kind::Number(at!(storage?)))
            .hint("square feet or meters, as above; nobody has said when empty"),
        field("ship_to", "Goods are brought to", Kind::Lines(at!(ship_to))).section("Orders"),
        field("owner", "Owner", Kind::Text(at!(owner))),
        field("phone", "Phone", Kind::Text(at!(phone))),
        field("dates", "Dates are typed", word!(DateOrder::TYPED, dates?))
            .after("as_of")
            .none("as usual for the currency")
            .shown(&["month first, 12/17/2026", "day first, 17/12/2026"]),
    ];

    /// What stands first in `3/4/2026`. The short dates of en-US begin with the month, those of nearly all others do not
    /// (CLDR 44).
    pub fn date_order(&self) -> DateOrder {
        let us = self.currency == Currency::USD;
        self.dates.unwrap_or(if us { DateOrder::MonthFirst } else { DateOrder::DayFirst })
    }

    /// Usual settings for a project that starts on `start`.
    pub fn new(name: &str, start: NaiveDate) -> Settings {
        Settings {
            name: name.to_owned(),
            start,
            target_finish: None,
            as_of: None,
            currency: Currency::USD,
            holidays: Holidays::default(),
            weekdays: Weekdays::MON_TO_FRI,
            closed: Vec::new(),
            hold: 0,
            reinspect_wait: 2,
            confidence: USUAL_CONFIDENCE,
            own_cash: None,
            contingency_pct: Decimal::TEN,
            tax_by: TaxBy::Order,
            units: Units::Us,
            storage: None,
            year_built: None,
            dates: None,
            phone: String::new(),
            owner: String::new(),
            ship_to: String::new(),
        }
    }
}

impl Project {
    /// An empty project.
    pub fn new(name: &str, start: NaiveDate) -> Project {
        Project {
            settings: Settings::new(name, start),
            rooms: Arc::default(),
            phases: Arc::default(),
            links: Arc::default(),
            suppliers: Arc::default(),
            selections: Arc::default(),
            quotes: Arc::default(),
            extras: Arc::default(),
            rules: Arc::default(),
            swaps: Arc::default(),
            returns: Arc::default(),
            gates: Arc::default(),
            corrections: Arc::default(),
            finishes: Arc::default(),
            orders: Arc::default(),
            deliveries: Arc::default(),
            payments: Arc::default(),
            mappings: Arc::default(),
            crews: Arc::default(),
            permits: Arc::default(),
            changes: Arc::default(),
            draws: Arc::default(),
            out_of_use: Arc::default(),
            punch: Arc::default(),
            handover: Arc::default(),
            risks: Arc::default(),
            alternatives: Arc::default(),
            kept_plans: Arc::default(),
            log: Arc::default(),
            typical: Arc::default(),
            sent: Arc::default(),
            next_id: 1,
            later: Later::default(),
            index: Index::default(),
        }
    }

    /// What a later minor version wrote of it, and this one keeps without reading it.
    pub fn later(&self) -> &Later {
        &self.later
    }

    /// A number not used before in this project.
    pub fn fresh_id(&mut self) -> u32 {
        let id = self.next_id;
        self.next_id = self.next_id.saturating_add(1);
        id
    }
}
