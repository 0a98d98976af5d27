//! Orders as they were placed, what came of them, and what was paid.
//!
//! Everything here has a day, so that a project can be looked at as it stood: what is dated after the as-of day does
//! not count yet.

use super::field::{At, Field, Kind, at, field, of, word};
use super::ids::{DeliveryId, OrderId, PartId, PaymentId, SupplierId};
use super::money::Money;
use super::part::Part;
use super::project::Project;
use super::validate::{Checked, MAX_LEAD, amount, day, key, not_negative};
use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};
use std::collections::{HashMap, HashSet};

/// Lines of one supplier that are placed together and share freight and tax. Parts ordered without one are taken
/// together by supplier and day.
///
/// The day it was placed stands on each of its parts too, as `ordered_on`; the two are always the same.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Order {
    /// Its number in the document.
    pub id: OrderId,
    /// Its key in sheets and figures.
    pub key: String,
    /// Who sells.
    pub supplier: SupplierId,
    /// The number the supplier gave it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub number: String,
    /// The day it was placed; not placed yet when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub placed_on: Option<NaiveDate>,
    /// Freight as the supplier confirmed it; by the supplier's terms when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub freight: Option<Money>,
    /// Anything worth remembering.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// Its lines, in document order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<PartId>,
}

impl Order {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Order>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("supplier", "", of!(Supplier, SupplierId, supplier)).required(),
        field("number", "Number", Kind::Text(at!(number))).hint("as the supplier gave it"),
        field("placed_on", "Placed on", Kind::Date(at!(placed_on?))),
        field("freight", "Freight", Kind::Money(at!(freight?))).hint("by the supplier's terms when empty"),
        field("note", "Note", Kind::Lines(at!(note))),
    ];

    /// An order without lines that is not placed.
    pub fn new(id: OrderId, key: &str, supplier: SupplierId) -> Order {
        Order {
            id,
            key: key.to_owned(),
            supplier,
            number: String::new(),
            placed_on: None,
            freight: None,
            note: String::new(),
            parts: Vec::new(),
        }
    }

    /// What people call it: the supplier's number, else its key.
    pub fn name(&self) -> &str {
        if self.number.is_empty() { &self.key } else { &self.number }
    }

    /// The same behind the word "order", with its supplier where it has no number: `1234`, `with Tile Depot`. A key is
    /// what the program knows it by, and nobody else.
    pub fn called(&self, project: &Project) -> String {
        match self.number.trim() {
            "" => {
                format!("with {}", project.supplier(self.supplier).map_or("a supplier", |s| s.name.as_str()))
            }
            number => number.to_owned(),
        }
    }
}

/// What came of a part on one day. A part is on site when as much of it came whole as is bought.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Delivery {
    /// Its number.
    pub id: DeliveryId,
    /// The part.
    pub part: PartId,
    /// The day.
    pub on: NaiveDate,
    /// Units that came, damaged ones among them.
    pub quantity: Decimal,
    /// How many of them are damaged and must be replaced.
    #[serde(default, skip_serializing_if = "Decimal::is_zero")]
    pub damaged: Decimal,
    /// The day the damage was reported to the supplier; the day of the delivery when not given. Until then the units
    /// count as whole.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reported_on: Option<NaiveDate>,
    /// Lead time of the replacement from that day, in the unit of the part's own; that of the part when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub replacement_lead: Option<u32>,
    /// The day the supplier promised the replacement for; by its lead time when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub replacement_on: Option<NaiveDate>,
    /// The day the supplier promised what had not come with it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rest_on: Option<NaiveDate>,
    /// Anything worth remembering.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

impl Delivery {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Delivery>] = &[
        field("part", "", of!(Part, PartId, part)).required(),
        field("on", "Came on", Kind::Date(at!(on))).required(),
        field("quantity", "Came", Kind::Number(at!(quantity)))
            .required()
            .hint("units, damaged ones among them"),
        field("damaged", "Damaged", Kind::Number(DAMAGED)).hint("of these; none when empty"),
        field("reported_on", "Reported on", Kind::Date(at!(reported_on?)))
            .section("Replacement")
            .hint("the day it came when empty"),
        field("replacement_lead", "Lead time", Kind::Whole(at!(replacement_lead?))),
        field("replacement_on", "Promised for", Kind::Date(at!(replacement_on?)))
            .hint("by its lead time when empty"),
        field("rest_on", "Rest promised for", Kind::Date(at!(rest_on?)))
            .section("What has not come")
            .hint("if they said so"),
        field("note", "Note", Kind::Lines(at!(note))),
    ];

    /// So many whole units on a day.
    pub fn new(id: DeliveryId, part: PartId, on: NaiveDate, quantity: Decimal) -> Delivery {
        Delivery {
            id,
            part,
            on,
            quantity,
            damaged: Decimal::ZERO,
            reported_on: None,
            replacement_lead: None,
            replacement_on: None,
            rest_on: None,
            note: String::new(),
        }
    }

    /// The day from which the damage counts; `None` without damage.
    pub fn damage_day(&self) -> Option<NaiveDate> {
        (!self.damaged.is_zero()).then(|| self.reported_on.unwrap_or(self.on))
    }
}

/// Nothing damaged is not written.
const DAMAGED: At<Delivery, Decimal> = At {
    maybe: true,
    get: |d| Some(d.damaged).filter(|n| !n.is_zero()),
    set: |d, damaged| d.damaged = damaged.unwrap_or_default(),
};

/// What a payment is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum PaidFor {
    /// An order; its lines share the payment in proportion to what each costs.
    Order(OrderId),
    /// One part.
    Part(PartId),
}

/// Money paid to a supplier on a day, beside what a part has noted as paid without a day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Payment {
    /// Its number.
    pub id: PaymentId,
    /// What for.
    pub of: PaidFor,
    /// The day.
    pub on: NaiveDate,
    /// How much.
    pub amount: Money,
    /// Which payment it is.
    #[serde(default)]
    pub kind: PaymentKind,
    /// Anything worth remembering.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

impl Payment {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Payment>] = &[
        field("on", "Paid on", Kind::Date(at!(on))).required(),
        field("amount", "Amount", Kind::Money(at!(amount))).required(),
        field("kind", "Kind", word!(PaymentKind::ALL, kind)),
        field("note", "Note", Kind::Lines(at!(note))),
    ];
}

/// Which payment it is. A word for people: all of them count alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum PaymentKind {
    /// With the order.
    Deposit,
    /// What is left.
    Balance,
    /// Any other.
    #[default]
    Other,
}

impl PaymentKind {
    /// All with their words in sheets.
    pub const ALL: [(&'static str, PaymentKind); 3] =
        [("deposit", PaymentKind::Deposit), ("balance", PaymentKind::Balance), ("other", PaymentKind::Other)];
}

impl Order {
    /// Checks an order by itself.
    pub fn check(&self) -> Checked {
        key(&self.key)?;
        day("the day of the order", self.placed_on)?;
        amount("freight", self.freight.unwrap_or_default())
    }

    /// Checks an order against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        self.check()?;
        if project.supplier(self.supplier).is_none() {
            return Err("the order names a supplier that is not in the project".to_owned());
        }
        let mut seen = HashSet::new();
        for id in &self.parts {
            let Some((_, _, part)) = project.part(*id) else {
                return Err("the order names a part that is not in the project".to_owned());
            };
            if !seen.insert(id) {
                return Err(format!("the order names {} twice", part.name));
            }
            self.check_line(part)?;
        }
        Ok(())
    }

    /// Checks that a part can be a line of an order.
    pub fn check_line(&self, part: &Part) -> Checked {
        if part.supplier != Some(self.supplier) {
            return Err(format!(
                "{} is a line of the order {} and has another supplier; take it out of the order first",
                part.name,
                self.name()
            ));
        }
        let day = |day: Option<chrono::NaiveDate>| day.map_or("not yet".to_owned(), |d| format!("on {d}"));
        if part.ordered_on != self.placed_on {
            return Err(format!(
                "{} is ordered {}, but the order {} that it is a line of is placed {}; change the day of the order, or take it out of the order",
                part.name,
                day(part.ordered_on),
                self.name(),
                day(self.placed_on)
            ));
        }
        Ok(())
    }
}

impl Delivery {
    /// Checks a delivery by itself.
    pub fn check(&self) -> Checked {
        day("the delivery", Some(self.on))?;
        day("the day the damage was reported", self.reported_on)?;
        day("the promised replacement", self.replacement_on)?;
        day("the promised rest", self.rest_on)?;
        not_negative("the quantity", self.quantity)?;
        not_negative("the damaged quantity", self.damaged)?;
        if self.quantity.is_zero() {
            return Err("nothing came; write how many units came, damaged ones among them".to_owned());
        }
        if self.damaged > self.quantity {
            return Err(format!(
                "{} damaged are more than the {} that came; count the damaged ones among those that came",
                self.damaged.normalize(),
                self.quantity.normalize()
            ));
        }
        if self.damaged.is_zero()
            && (self.reported_on.is_some()
                || self.replacement_lead.is_some()
                || self.replacement_on.is_some())
        {
            return Err(
                "nothing is damaged, yet a replacement is noted; write how many are damaged".to_owned()
            );
        }
        if self.replacement_lead.is_some_and(|n| n > MAX_LEAD) {
            return Err(format!("the lead time of the replacement is above {}", MAX_LEAD));
        }
        let after = |what: &str, day: Option<NaiveDate>| match day {
            Some(day) if day < self.on => {
                Err(format!("{what} on {day} is before the delivery on {}", self.on))
            }
            _ => Ok(()),
        };
        after("the report of the damage", self.reported_on)?;
        after("the replacement", self.replacement_on)?;
        after("what is still to come", self.rest_on)
    }

    /// Checks a delivery against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        let Some((_, _, part)) = project.part(self.part) else {
            return Err("the delivery names a part that is not in the project".to_owned());
        };
        self.check()?;
        self.check_of(part)
    }

    /// Checks a delivery against its part.
    pub fn check_of(&self, part: &Part) -> Checked {
        match part.ordered_on {
            Some(ordered) if self.on < ordered => Err(format!(
                "{} came on {}, before it was ordered on {ordered}; correct one of the days",
                part.name, self.on
            )),
            _ => Ok(()),
        }
    }
}

impl Payment {
    /// Checks a payment by itself.
    pub fn check(&self) -> Checked {
        day("the payment", Some(self.on))?;
        amount("the payment", self.amount)?;
        if self.amount.is_zero() {
            return Err("a payment of nothing; write the amount, or remove it".to_owned());
        }
        Ok(())
    }

    /// Checks a payment against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        let known = match self.of {
            PaidFor::Order(id) => project.order(id).is_some(),
            PaidFor::Part(id) => project.part(id).is_some(),
        };
        if !known {
            return Err("the payment is for an order or a part that is not in the project".to_owned());
        }
        self.check()
    }
}

/// Checks orders, deliveries and payments of a whole document.
pub(super) fn check_orders(project: &Project, check: &mut impl FnMut(&'static str, u32, &str, Checked)) {
    let mut lines: HashMap<PartId, OrderId> = HashMap::new();
    for o in project.orders.iter() {
        let twice = o.parts.iter().find(|id| lines.insert(**id, o.id).is_some_and(|other| other != o.id));
        let fault = match twice.and_then(|id| project.part(*id)) {
            Some((_, _, part)) => Err(format!("{} is a line of two orders; keep it in one", part.name)),
            None => o.check_in(project),
        };
        check("order", o.id.0, &o.key, fault);
    }
    let part_key = |id: PartId| project.part(id).map_or("?", |(_, _, p)| p.key.as_str());
    for (n, d) in project.deliveries.iter().enumerate() {
        check("delivery", d.id.0, &format!("{} of {}", n + 1, part_key(d.part)), d.check_in(project));
    }
    for (n, p) in project.payments.iter().enumerate() {
        let what = match p.of {
            PaidFor::Order(id) => project.order(id).map_or("?", |o| o.key.as_str()),
            PaidFor::Part(id) => part_key(id),
        };
        check("payment", p.id.0, &format!("{} for {what}", n + 1), p.check_in(project));
    }
}
