//! Suppliers: when they work, how they deliver, and their terms.

use super::dates::{ClosedRange, Weekdays};
use super::field::{Field, Kind, at, field, parsed};
use super::ids::SupplierId;
use super::money::Money;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

/// Who sells.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Supplier {
    /// Its number.
    pub id: SupplierId,
    /// Its key in sheets and figures.
    pub key: String,
    /// What people call it.
    pub name: String,
    /// Days on which it takes orders and works.
    #[serde(default = "mon_to_fri")]
    pub weekdays: Weekdays,
    /// Days on which it delivers; any receiving day when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub delivery_weekdays: Option<Weekdays>,
    /// Calendar days from ready to the house.
    #[serde(default)]
    pub ship_days: u32,
    /// Sales tax in percent on taxable lines.
    #[serde(default)]
    pub tax_pct: Decimal,
    /// What an order costs to bring.
    #[serde(default)]
    pub freight: Freight,
    /// Percent of the order paid when ordering.
    #[serde(default)]
    pub deposit_pct: Decimal,
    /// Days after delivery until the balance is due; 0 is on delivery.
    #[serde(default)]
    pub net_days: u32,
    /// The smallest order it takes, in goods before freight and tax.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub min_order: Option<Money>,
    /// Percent kept when goods are sent back.
    #[serde(default)]
    pub restock_pct: Decimal,
    /// Days after delivery within which goods may be sent back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub return_days: Option<u32>,
    /// The telephone number of its desk.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub phone: String,
    /// Where orders are mailed to.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub email: String,
    /// The person to ask for.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub contact: String,
    /// The customer number it knows the buyer by.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub account: String,
    /// What is to be said to the carrier with each order.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub ship_note: String,
    /// Ranges in which it neither takes orders nor works.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub closed: Vec<ClosedRange>,
}

fn mon_to_fri() -> Weekdays {
    Weekdays::MON_TO_FRI
}

impl Supplier {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Supplier>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("name", "Name", Kind::Name(at!(name))),
        field("weekdays", "Open on", Kind::Parsed(parsed!(weekdays))).section("Days"),
        field("delivery_weekdays", "Delivers on", Kind::Parsed(parsed!(delivery_weekdays?)))
            .hint("any working day when empty"),
        field("ship_days", "Days on the road", Kind::CalendarDays(at!(ship_days))),
        field("closed", "Closed from and to", Kind::Closed(at!(closed))),
        field("tax_pct", "Sales tax, percent", Kind::Percent(at!(tax_pct)))
            .section("Tax and freight of an order"),
        field("freight_flat", "Freight, flat", Kind::Money(at!(freight.flat))),
        field("freight_per_item", "Freight a unit", Kind::Money(at!(freight.per_item))),
        field("freight_pct", "Freight, percent", Kind::Percent(at!(freight.pct))),
        field("freight_free_over", "Free freight from", Kind::Money(at!(freight.free_over?))),
        field("freight_taxed", "Freight is taxed", Kind::YesNo(at!(freight.taxed))),
        field("deposit_pct", "Deposit, percent", Kind::Percent(at!(deposit_pct))),
        field("net_days", "Balance due, days", Kind::CalendarDays(at!(net_days))),
        field("min_order", "Smallest order", Kind::Money(at!(min_order?)))
            .after("freight_taxed")
            .section("Terms")
            .hint("goods; none when empty"),
        field("restock_pct", "Restocking, percent", Kind::Percent(at!(restock_pct))),
        field("return_days", "Returns within, days", Kind::CalendarDays(at!(return_days?))),
        field("phone", "Phone", Kind::Text(at!(phone))).section("Reaching them"),
        field("email", "Email", Kind::Text(at!(email))),
        field("contact", "Contact", Kind::Text(at!(contact))),
        field("account", "Account number", Kind::Text(at!(account))),
        field("ship_note", "Note for delivery", Kind::Lines(at!(ship_note))),
    ];

    /// A supplier open Monday to Friday with no further terms.
    pub fn new(id: SupplierId, key: &str, name: &str) -> Supplier {
        Supplier {
            id,
            key: key.to_owned(),
            name: name.to_owned(),
            weekdays: Weekdays::MON_TO_FRI,
            delivery_weekdays: None,
            ship_days: 0,
            tax_pct: Decimal::ZERO,
            freight: Freight::default(),
            deposit_pct: Decimal::ZERO,
            net_days: 0,
            min_order: None,
            restock_pct: Decimal::ZERO,
            return_days: None,
            phone: String::new(),
            email: String::new(),
            contact: String::new(),
            account: String::new(),
            ship_note: String::new(),
            closed: Vec::new(),
        }
    }
}

/// The freight of one order: `flat`, plus `per_item` for each unit bought, plus `pct` of the goods.
/// Nothing when the goods reach `free_over`.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Freight {
    /// A fixed sum per order.
    #[serde(default)]
    pub flat: Money,
    /// For each unit bought.
    #[serde(default, skip_serializing_if = "Money::is_zero")]
    pub per_item: Money,
    /// Percent of the goods.
    #[serde(default, skip_serializing_if = "Decimal::is_zero")]
    pub pct: Decimal,
    /// Goods of at least this much ship free.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub free_over: Option<Money>,
    /// Whether freight is taxed as the goods are.
    #[serde(default)]
    pub taxed: bool,
}
