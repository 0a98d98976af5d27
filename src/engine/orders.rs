//! Orders: a supplier's lines placed together, with freight and tax shared so that lines add up to the cent.

use super::calendar::Day;
use crate::model::money::{from_minor_units, minor_units, share_units};
use crate::model::{Currency, Money, Supplier, TaxBy};
use rust_decimal::Decimal;

/// One line of an order.
#[derive(Debug, Clone, Copy)]
pub struct Line {
    /// Position of the part in the document.
    pub part: usize,
    /// Units bought.
    pub quantity: Decimal,
    /// Goods.
    pub amount: Money,
    /// Whether sales tax applies.
    pub taxable: bool,
}

/// A supplier's lines placed together: on a day, or not yet.
#[derive(Debug, Clone)]
pub struct Order {
    /// Position of the supplier in the document; `None` for parts without one.
    pub supplier: Option<usize>,
    /// The day it was placed; `None` for the one order assumed for what is not ordered.
    pub placed: Option<Day>,
    /// Positions of its parts in the document, in document order.
    pub parts: Vec<usize>,
    /// Goods.
    pub goods: Money,
    /// Freight.
    pub freight: Money,
    /// Tax.
    pub tax: Money,
    /// What freight hangs on: goods still missing for free freight, where the supplier has a threshold.
    pub to_free_freight: Option<Money>,
}

impl Order {
    /// Goods, freight and tax.
    pub fn total(&self) -> Money {
        self.goods.plus(self.freight).plus(self.tax)
    }
}

/// Freight and tax of one line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Shares {
    /// Freight.
    pub freight: Money,
    /// Tax.
    pub tax: Money,
}

/// The freight of an order: flat, plus per unit, plus percent of the goods; nothing when the goods reach the
/// threshold for free freight.
pub fn freight(supplier: &Supplier, goods: Money, units: Decimal, currency: Currency) -> Money {
    let terms = &supplier.freight;
    if terms.free_over.is_some_and(|threshold| goods >= threshold) {
        return Money::ZERO;
    }
    let mut freight = terms.flat;
    if !terms.per_item.is_zero() {
        freight = freight.plus(Money::new(units.saturating_mul(terms.per_item.amount())));
    }
    freight = freight.round_half_up(currency);
    if terms.pct.is_zero() { freight } else { freight.plus(goods.percent(terms.pct, currency)) }
}

/// Prices an order: its sums, and the freight and tax of each line in the order of `lines`.
///
/// Tax by order: the rate on taxable goods, and on freight where the supplier taxes it, rounded once and shared by
/// largest remainder. Tax by line: the same on each line, rounded there.
pub fn price(
    lines: &[Line],
    position: Option<usize>,
    supplier: Option<&Supplier>,
    placed: Option<Day>,
    tax_by: TaxBy,
    currency: Currency,
) -> (Order, Vec<Shares>) {
    let digits = currency.minor_digits();
    let amount = |line: &Line| minor_units(line.amount, digits);
    let goods = from_minor_units(lines.iter().map(amount).sum(), digits);
    let mut order = Order {
        supplier: position,
        placed,
        parts: lines.iter().map(|l| l.part).collect(),
        goods,
        freight: Money::ZERO,
        tax: Money::ZERO,
        to_free_freight: None,
    };
    let mut shares = vec![Shares::default(); lines.len()];
    let Some(supplier) = supplier else {
        return (order, shares);
    };
    let units = if supplier.freight.per_item.is_zero() {
        Decimal::ZERO
    } else {
        lines.iter().fold(Decimal::ZERO, |sum, l| sum.saturating_add(l.quantity))
    };
    order.freight = freight(supplier, goods, units, currency);
    order.to_free_freight =
        supplier.freight.free_over.map(|threshold| threshold.less(goods).at_least(Money::ZERO));
    // First the freight of each line, then what is taxed of it, then its tax.
    let mut work: Vec<i128> = lines.iter().map(amount).collect();
    if order.freight.is_zero() {
        work.fill(0);
    } else {
        share_units(minor_units(order.freight, digits), &mut work);
    }
    for ((line, share), units) in lines.iter().zip(&mut shares).zip(&mut work) {
        share.freight = from_minor_units(*units, digits);
        let freight = if supplier.freight.taxed { *units } else { 0 };
        *units = freight + if line.taxable { amount(line) } else { 0 };
    }
    let tax =
        |units: i128| minor_units(from_minor_units(units, digits).tax(supplier.tax_pct, currency), digits);
    match tax_by {
        _ if supplier.tax_pct.is_zero() => work.fill(0),
        TaxBy::Line => work.iter_mut().for_each(|units| *units = tax(*units)),
        TaxBy::Order => share_units(tax(work.iter().sum()), &mut work),
    }
    order.tax = from_minor_units(work.iter().sum(), digits);
    for (share, units) in shares.iter_mut().zip(work) {
        share.tax = from_minor_units(units, digits);
    }
    (order, shares)
}
