//! Dated payments: what of them each part bears, and what is still owed on each order and when.
//!
//! A payment counts from its day. One for an order is shared to its lines by largest remainder in proportion to what
//! each costs with freight and tax; after a line was cancelled it is for the others. One for a part is that part's. They
//! come on top of what a part has noted as paid without a day.
//!
//! For each order: billed is goods, freight and tax of its lines, and what cancelled ones still cost; credits are what
//! returns take off; paid is what was paid less what came back; owed is the rest: `paid + owed = billed - credits`.

use crate::engine::calendar::Day;
use crate::engine::cash;
use crate::engine::index::Index;
use crate::engine::orders::{self, Order, Shares};
use crate::engine::parts::PartFigures;
use crate::engine::returns::ReturnTable;
use crate::model::money::{from_minor_units, minor_units, share_units};
use crate::model::{Money, OrderId, PaidFor, Payment, PaymentKind, Project};
use std::collections::BTreeMap;

/// What dated payments amount to, by position of the parts that bear them, in whole minor units.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct PaymentTable {
    rows: Vec<(u32, Borne)>,
}

/// What a part bears of payments.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
struct Borne {
    /// All of it.
    all: i128,
    /// Of those for its order.
    shared: i128,
}

impl PaymentTable {
    /// Shares the payments of a document that count on a day, once its orders are priced.
    pub fn new(
        project: &Project,
        index: &Index,
        parts: &[PartFigures],
        priced: &[Order],
        as_of: Day,
    ) -> PaymentTable {
        if project.payments.is_empty() {
            return PaymentTable::default();
        }
        let digits = project.settings.currency.minor_digits();
        let mut rows: BTreeMap<u32, Borne> = BTreeMap::new();
        let mut remainders = Vec::new();
        let mut by_order: BTreeMap<OrderId, Vec<(Day, i128)>> = BTreeMap::new();
        for payment in project.payments.iter().filter(|p| Day::from(p.on) <= as_of) {
            let units = minor_units(payment.amount, digits);
            match payment.of {
                PaidFor::Order(id) => by_order.entry(id).or_default().push((Day::from(payment.on), units)),
                PaidFor::Part(id) => {
                    let at = index.of(id.0).filter(|at| parts.get(*at).is_some_and(|f| f.id == id));
                    if let Some(at) = at {
                        rows.entry(at as u32).or_default().all += units;
                    }
                }
            }
        }
        for (id, mut paid) in by_order {
            let order = priced.iter().find(|o| o.own == Some(id));
            let lines = lines_of(project, index, parts, order, id);
            let gone = order.map_or(&[] as &[_], |o| &o.cancelled);
            // Those between two cancellations are shared together.
            paid.sort_by_key(|(on, _)| *on);
            for paid in paid.chunk_by(|a, b| !gone.iter().any(|(_, day)| a.0 <= *day && *day < b.0)) {
                let on = paid[0].0;
                let stands = |at: &usize| !gone.iter().any(|(gone, day)| gone == at && *day < on);
                let mut standing: Vec<usize> = lines.iter().copied().filter(stands).collect();
                if standing.is_empty() {
                    standing.clone_from(&lines);
                }
                let total = |at: &usize| minor_units(parts[*at].total(), digits);
                let mut shares: Vec<i128> = match order.filter(|o| !o.cancelled.is_empty()) {
                    // As they were billed on that day.
                    Some(order) => {
                        let (_, billed) =
                            orders::price_lines(project, parts, order, standing.iter().copied());
                        let total = |(at, billed): (&usize, Shares)| {
                            parts[*at].amount.plus(billed.freight).plus(billed.tax)
                        };
                        standing.iter().zip(billed).map(|line| minor_units(total(line), digits)).collect()
                    }
                    None => standing.iter().map(total).collect(),
                };
                share_units(paid.iter().map(|(_, units)| units).sum(), &mut shares, &mut remainders);
                for (at, share) in standing.iter().zip(shares) {
                    let row = rows.entry(*at as u32).or_default();
                    *row = Borne { all: row.all + share, shared: row.shared + share };
                }
            }
        }
        PaymentTable { rows: rows.into_iter().filter(|(_, borne)| *borne != Borne::default()).collect() }
    }

    fn of(&self, part: usize) -> Borne {
        let found = self.rows.binary_search_by_key(&(part as u32), |(part, _)| *part);
        found.ok().and_then(|at| self.rows.get(at)).map_or(Borne::default(), |(_, borne)| *borne)
    }

    /// Whether a part bears anything of a payment.
    pub fn bears(&self, part: usize) -> bool {
        self.of(part).all != 0
    }

    /// What a part bears of payments for its order, in minor units.
    pub fn shared(&self, part: usize) -> i128 {
        self.of(part).shared
    }

    /// All parts that bear something, in minor units.
    pub fn iter(&self) -> impl Iterator<Item = (usize, i128)> {
        self.rows.iter().map(|(part, borne)| (*part as usize, borne.all))
    }
}

/// The lines that a payment for an order is shared to: those that count, else all of them; in document order.
fn lines_of(
    project: &Project,
    index: &Index,
    parts: &[PartFigures],
    order: Option<&Order>,
    id: OrderId,
) -> Vec<usize> {
    if let Some(order) = order {
        let mut lines: Vec<usize> = order.all_parts().collect();
        lines.sort_unstable();
        return lines;
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
    /// Goods, freight and tax of its lines, and what cancelled ones still cost.
    pub billed: Money,
    /// What cancelled lines still cost.
    pub cancelled: Money,
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

impl Account {
    /// What it comes to once returns are taken off.
    pub fn comes_to(&self) -> Money {
        self.billed.less(self.credits)
    }

    /// What was paid beyond that and is to come back.
    pub fn overpaid(&self) -> Money {
        self.paid.less(self.comes_to()).at_least(Money::ZERO)
    }

    /// What is to be paid with the order and has not been.
    pub fn deposit(&self) -> Money {
        self.dues.iter().filter(|d| d.deposit).map(|d| d.amount).sum()
    }

    /// What is due up to a day.
    pub fn due_by(&self, day: Day) -> Money {
        self.dues.iter().filter(|d| d.day <= day).map(|d| d.amount).sum()
    }
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

/// What is still to be paid for an order or a part.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Standing {
    /// All of it; below zero when too much was paid.
    pub owed: Money,
    /// Of it what is due by the as-of day.
    pub due: Money,
    /// Whether the first of what is due is a deposit.
    pub deposit: bool,
}

impl Standing {
    /// What to pay next, and what that is.
    pub fn next(&self) -> (Money, PaymentKind) {
        let amount = if self.due.is_zero() { self.owed.at_least(Money::ZERO) } else { self.due };
        let kind = match (self.deposit, amount == self.owed) {
            (true, false) => PaymentKind::Deposit,
            (_, true) => PaymentKind::Balance,
            _ => PaymentKind::Other,
        };
        (amount, kind)
    }
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
    for (n, at) in order.all_parts().enumerate() {
        let Some(f) = parts.get(at) else { continue };
        let back = returns.of(at);
        let (ordered, paid) = back.map_or((f.total(), f.paid), |r| (r.ordered, r.paid));
        if n >= order.parts.len() {
            account.billed = account.billed.plus(ordered);
            account.cancelled = account.cancelled.plus(ordered);
        } else {
            account.billed = account.billed.plus(f.total());
            account.credits = account.credits.plus(f.total().less(ordered));
        }
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
    account.owed = account.comes_to().less(account.paid);
    let due = |((day, deposit), units)| Due { day, amount: from_minor_units(units, digits), deposit };
    account.dues = dues.into_iter().map(due).collect();
    account
}

/// The payments for an order or for its lines, by day, those that count on a day first.
pub fn payments_of<'a>(project: &'a Project, order: &Order, parts: &[PartFigures]) -> Vec<&'a Payment> {
    let line = |id| order.all_parts().any(|at| parts.get(at).is_some_and(|f| f.id == id));
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
