//! Dated payments: what of them each part bears, and what is still owed on each order and when.
//!
//! A payment counts from its day. One for an order is shared to its lines by largest remainder in proportion to what
//! each costs with freight and tax; one for a part is that part's. They come on top of what a part has noted as paid
//! without a day.
//!
//! For each order: billed is goods, freight and tax of all its lines; credits are what returns take off; paid is what
//! was paid less what came back; owed is the rest: `paid + owed = billed - credits`.

use crate::engine::calendar::Day;
use crate::engine::cash;
use crate::engine::index::Index;
use crate::engine::orders::Order;
use crate::engine::parts::PartFigures;
use crate::engine::returns::ReturnTable;
use crate::model::money::{from_minor_units, minor_units, share_units};
use crate::model::{Money, PaidFor, Payment, Project};
use std::collections::BTreeMap;

/// What dated payments amount to, by position of the parts that bear them, in whole minor units.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct PaymentTable {
    rows: Vec<(u32, i128)>,
}

impl PaymentTable {
    /// Shares the payments of a document that count on a day, once its orders are priced.
    pub fn new(
        project: &Project,
        index: &Index,
        parts: &[PartFigures],
        orders: &[Order],
        as_of: Day,
    ) -> PaymentTable {
        if project.payments.is_empty() {
            return PaymentTable::default();
        }
        let digits = project.settings.currency.minor_digits();
        let mut rows: BTreeMap<u32, i128> = BTreeMap::new();
        let mut remainders = Vec::new();
        let mut by_order: BTreeMap<_, i128> = BTreeMap::new();
        for payment in project.payments.iter().filter(|p| Day::from(p.on) <= as_of) {
            let units = minor_units(payment.amount, digits);
            match payment.of {
                PaidFor::Order(id) => *by_order.entry(id).or_default() += units,
                PaidFor::Part(id) => {
                    let at = index.of(id.0).filter(|at| parts.get(*at).is_some_and(|f| f.id == id));
                    if let Some(at) = at {
                        *rows.entry(at as u32).or_default() += units;
                    }
                }
            }
        }
        for (id, units) in by_order {
            let lines = lines_of(project, index, parts, orders, id);
            let mut shares: Vec<i128> =
                lines.iter().map(|at| minor_units(parts[*at].total(), digits)).collect();
            share_units(units, &mut shares, &mut remainders);
            for (at, share) in lines.iter().zip(shares) {
                *rows.entry(*at as u32).or_default() += share;
            }
        }
        PaymentTable { rows: rows.into_iter().filter(|(_, units)| *units != 0).collect() }
    }

    /// What a part bears.
    pub fn of(&self, part: usize) -> i128 {
        if self.rows.is_empty() {
            return 0;
        }
        let found = self.rows.binary_search_by_key(&(part as u32), |(part, _)| *part);
        found.ok().and_then(|at| self.rows.get(at)).map_or(0, |(_, units)| *units)
    }

    /// What a part bears of payments for its order.
    pub fn shared(&self, project: &Project, id: crate::model::PartId, part: usize) -> Money {
        let digits = project.settings.currency.minor_digits();
        let own = project.payments.iter().filter(|p| p.of == PaidFor::Part(id));
        let own: i128 = own.map(|p| minor_units(p.amount, digits)).sum();
        from_minor_units((self.of(part) - own).max(0), digits)
    }

    /// All parts that bear something.
    pub fn iter(&self) -> impl Iterator<Item = (usize, i128)> {
        self.rows.iter().map(|(part, units)| (*part as usize, *units))
    }
}

/// The lines that a payment for an order is shared to: those that count, else all of them.
fn lines_of(
    project: &Project,
    index: &Index,
    parts: &[PartFigures],
    orders: &[Order],
    id: crate::model::OrderId,
) -> Vec<usize> {
    if let Some(order) = orders.iter().find(|o| o.own == Some(id)) {
        return order.parts.to_vec();
    }
    let lines = project.order(id).map_or(&[] as &[_], |o| o.parts.as_slice());
    let at =
        |id: &crate::model::PartId| index.of(id.0).filter(|at| parts.get(*at).is_some_and(|f| f.id == *id));
    lines.iter().filter_map(at).collect()
}

/// Puts the dated payments into the parts that bear them.
pub(in crate::engine) fn add(table: &PaymentTable, parts: &mut [PartFigures], digits: u32) {
    for (at, units) in table.iter() {
        if let Some(f) = parts.get_mut(at) {
            f.paid = f.paid.plus(from_minor_units(units, digits));
        }
    }
}

/// What an order comes to on the as-of day.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Account {
    /// Goods, freight and tax of its lines.
    pub billed: Money,
    /// What returns take off.
    pub credits: Money,
    /// What was paid, less what came back.
    pub paid: Money,
    /// What is still to be paid; below zero when too much was paid.
    pub owed: Money,
    /// What returns are expected to take off and have not yet.
    pub credits_expected: Money,
    /// What falls due when, by day. Of an order that is not placed, what would.
    pub dues: Vec<Due>,
}

/// An amount that falls due.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Due {
    /// When.
    pub day: Day,
    /// How much.
    pub amount: Money,
    /// Whether it is the deposit, else the balance.
    pub deposit: bool,
}

/// The account of an order on the as-of day.
pub fn account(
    project: &Project,
    parts: &[PartFigures],
    returns: &ReturnTable,
    order: &Order,
    as_of: Day,
) -> Account {
    let digits = project.settings.currency.minor_digits();
    let mut account = Account::default();
    let mut dues: BTreeMap<(Day, bool), i128> = BTreeMap::new();
    for &at in &order.parts {
        let Some(f) = parts.get(at) else { continue };
        let back = returns.of(at);
        let (ordered, paid) = back.map_or((f.total(), f.paid), |r| (r.ordered, r.paid));
        account.billed = account.billed.plus(f.total());
        account.credits = account.credits.plus(f.total().less(ordered));
        account.paid = account.paid.plus(paid);
        if let Some(r) = back {
            account.credits_expected = account.credits_expected.plus(r.ordered.less(r.forecast));
        }
        for (n, (day, units)) in cash::dues(project, f, back, as_of).into_iter().enumerate() {
            if units > 0 {
                *dues.entry((day, n == 0 && back.is_none())).or_default() += units;
            }
        }
    }
    account.owed = account.billed.less(account.credits).less(account.paid);
    let due = |((day, deposit), units)| Due { day, amount: from_minor_units(units, digits), deposit };
    account.dues = dues.into_iter().map(due).collect();
    account
}

/// The payments for an order or for its lines, by day, those that count on a day first.
pub fn payments_of<'a>(project: &'a Project, order: &Order, parts: &[PartFigures]) -> Vec<&'a Payment> {
    let line = |id| order.parts.iter().any(|at| parts.get(*at).is_some_and(|f| f.id == id));
    let mut found: Vec<&Payment> = project
        .payments
        .iter()
        .filter(|p| match p.of {
            PaidFor::Order(id) => order.own == Some(id),
            PaidFor::Part(id) => line(id),
        })
        .collect();
    found.sort_by_key(|p| (p.on, p.id));
    found
}
