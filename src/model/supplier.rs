//! Suppliers: when they work, how they deliver, and their terms.

use super::dates::{ClosedRange, Weekdays};
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
    /// Ranges in which it neither takes orders nor works.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub closed: Vec<ClosedRange>,
}

fn mon_to_fri() -> Weekdays {
    Weekdays::MON_TO_FRI
}

impl Supplier {
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
