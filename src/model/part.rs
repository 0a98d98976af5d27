//! Parts: what is bought of an option, delivered and needed on its own.

use super::facts::Fact;
use super::field::{Field, Kind, at, field, of, parsed, word};
use super::goods::Goods;
use super::ids::{PartId, PhaseId, SupplierId};
use super::money::Money;
use super::quantity::Quantity;
use super::sold_in::Laying;
use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

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
    /// Price of one unit, before tax; `None` while nobody has said one, which is never zero.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit_price: Option<Money>,
    /// Percent off.
    #[serde(default, skip_serializing_if = "Decimal::is_zero")]
    pub discount_pct: Decimal,
    /// Whether sales tax applies.
    #[serde(default = "yes")]
    pub taxable: bool,
    /// Order to ready, likely; zero is in stock, `None` while nobody has said, which is never zero.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lead: Option<u32>,
    /// What the lead times are counted in.
    #[serde(default)]
    pub lead_unit: LeadUnit,
    /// Shortest lead time thought possible.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lead_min: Option<u32>,
    /// Longest lead time thought likely.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lead_max: Option<u32>,
    /// What kind of thing it is, which says what lead time is typical while nobody has said one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub goods: Option<Goods>,
    /// The phase after whose finish it can be ordered: it is measured on finished walls, cut to a template.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub order_after: Option<PhaseId>,
    /// Calendar days after that for measuring and drawings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub order_after_days: Option<u32>,
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
    /// What it takes of the floor while it lies there, in square feet or meters as the project measures; `None` while
    /// nobody has said, which is never zero.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub floor_area: Option<Decimal>,
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
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Part>] = &[
        field("option", "", Kind::Apart(true)).required(),
        field("key", "", Kind::Key(at!(key))).required(),
        field("name", "Name", Kind::Name(at!(name))),
        field("supplier", "Supplier", of!(Supplier, SupplierId, supplier?)).none("none yet"),
        field("phase", "Needed by", of!(Phase, PhaseId, phase?)).none("none yet"),
        field("at", "Needed at", word!(NeededAt::ALL, at)),
        field("quantity", "Quantity", Kind::Parsed(parsed!(quantity)))
            .section("How much")
            .hint("a number, or floor, walls, baseboard, band(3,4.5), sqm(floor)"),
        field("unit", "Unit", Kind::Text(at!(unit))),
        field("pack", "Units in a pack", Kind::Number(at!(pack?))).hint("empty when it is not packed"),
        field("waste_pct", "Waste, percent", Kind::Percent(at!(waste_pct))).hint("0"),
        field("unit_price", "Price of one unit", Kind::Money(at!(unit_price?)))
            .section("Price")
            .hint("empty while nobody has said one"),
        field("discount_pct", "Discount, percent", Kind::Percent(at!(discount_pct))).hint("0"),
        field("taxable", "Sales tax applies", Kind::YesNo(at!(taxable))),
        field("lead", "Likely", Kind::Lead(at!(lead?), at!(lead_unit)))
            .section("Lead time, from order to ready")
            .hint("3 weeks, 6-8 weeks, 10 days; 0 when it is in stock, empty while nobody has said"),
        field("lead_unit", "Counted in", word!(LeadUnit::ALL, lead_unit)),
        field("lead_min", "Shortest", Kind::Lead(at!(lead_min?), at!(lead_unit))),
        field("lead_max", "Longest", Kind::Lead(at!(lead_max?), at!(lead_unit))),
        field("hold", "Hold, working days", Kind::OpenDays(at!(hold?))),
        field("ordered_on", "Ordered on", Kind::Date(at!(ordered_on?))).section("What happened"),
        field("promised_on", "Promised for", Kind::Date(at!(promised_on?))),
        field("received_on", "Received on", Kind::Date(at!(received_on?))),
        field("installed_on", "Built in on", Kind::Date(at!(installed_on?))),
        field("paid", "Paid", Kind::Money(at!(paid))).hint("0"),
        field("in_wall", "Behind the wall", Kind::YesNo(at!(in_wall?))).after("at").none("as the phase says"),
        field("laying", "Laying pattern", word!(Laying::ALL, laying?)).after("pack").none("not noted"),
        field("order", "", Kind::Apart(true)),
        field("article", "Article number", Kind::Text(at!(article)))
            .after("supplier")
            .hint("the supplier's own, for price lists"),
        field("goods", "Kind of thing", word!(Goods::ALL, goods?))
            .after("article")
            .none("not noted")
            .shown(&Goods::TITLES),
        field("order_after", "Can be ordered only after", of!(Phase, PhaseId, order_after?))
            .after("lead_max")
            .none("at any time"),
        field(
            "order_after_days",
            "Days after that, for measuring and drawings",
            Kind::CalendarDays(at!(order_after_days?)),
        )
        .after("order_after"),
        field("floor_area", "Floor it takes while it lies there", Kind::Number(at!(floor_area?)))
            .after("hold")
            .hint("square feet or meters, as the rooms; empty while nobody has said"),
        field("facts", "Facts", Kind::Facts(at!(facts))),
    ];

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
            unit_price: None,
            discount_pct: Decimal::ZERO,
            taxable: true,
            lead: None,
            lead_unit: LeadUnit::Days,
            lead_min: None,
            lead_max: None,
            goods: None,
            order_after: None,
            order_after_days: None,
            hold: None,
            ordered_on: None,
            promised_on: None,
            received_on: None,
            installed_on: None,
            paid: Money::ZERO,
            floor_area: None,
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
