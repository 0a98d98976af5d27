//! Orders as they were placed, what came of them, and what was paid.
//!
//! Everything here has a day, so that a project can be looked at as it stood: what is dated after the as-of day does
//! not count yet.

use super::ids::{DeliveryId, OrderId, PartId, PaymentId, SupplierId};
use super::money::Money;
use super::validate;
use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

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

/// Checks an order by itself.
///
/// # Errors
/// What is wrong and what to do.
pub fn check_order(o: &Order) -> Result<(), String> {
    validate::key(&o.key)?;
    validate::day("the day of the order", o.placed_on)?;
    validate::amount("freight", o.freight.unwrap_or_default())
}

/// Checks a delivery by itself.
///
/// # Errors
/// What is wrong and what to do.
pub fn check_delivery(d: &Delivery) -> Result<(), String> {
    validate::day("the delivery", Some(d.on))?;
    validate::day("the day the damage was reported", d.reported_on)?;
    validate::day("the promised replacement", d.replacement_on)?;
    validate::day("the promised rest", d.rest_on)?;
    validate::not_negative("the quantity", d.quantity)?;
    validate::not_negative("the damaged quantity", d.damaged)?;
    if d.quantity.is_zero() {
        return Err("nothing came; write how many units came, damaged ones among them".to_owned());
    }
    if d.damaged > d.quantity {
        return Err(format!(
            "{} damaged are more than the {} that came; count the damaged ones among those that came",
            d.damaged.normalize(),
            d.quantity.normalize()
        ));
    }
    if d.damaged.is_zero()
        && (d.reported_on.is_some() || d.replacement_lead.is_some() || d.replacement_on.is_some())
    {
        return Err("nothing is damaged, yet a replacement is noted; write how many are damaged".to_owned());
    }
    if d.replacement_lead.is_some_and(|n| n > validate::MAX_LEAD) {
        return Err(format!("the lead time of the replacement is above {}", validate::MAX_LEAD));
    }
    let after = |what: &str, day: Option<NaiveDate>| match day {
        Some(day) if day < d.on => Err(format!("{what} on {day} is before the delivery on {}", d.on)),
        _ => Ok(()),
    };
    after("the report of the damage", d.reported_on)?;
    after("the replacement", d.replacement_on)?;
    after("what is still to come", d.rest_on)
}

/// Checks a payment by itself.
///
/// # Errors
/// What is wrong and what to do.
pub fn check_payment(p: &Payment) -> Result<(), String> {
    validate::day("the payment", Some(p.on))?;
    validate::amount("the payment", p.amount)?;
    if p.amount.is_zero() {
        return Err("a payment of nothing; write the amount, or remove it".to_owned());
    }
    Ok(())
}
