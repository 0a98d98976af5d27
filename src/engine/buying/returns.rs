//! Returns: what an ordered part whose option is no longer the choice still costs, and by when it must go back.
//!
//! Until something is decided such a part counts in full, as it did before: goods, its share of freight, its tax, and
//! what was paid. Then
//! - sent back after it came: it costs the restocking percent of the goods (rounded half up to the cent), the freight
//!   that brought it, the freight back, and the part of its tax that falls on what is kept. Tax is split over goods given
//!   back and goods and taxed freight kept by largest remainder, so that nothing is lost;
//! - cancelled before it came: it costs the deposit that is lost, and what the user enters as freight. It leaves its
//!   order, which is priced again without it: the supplier still bills the rest its freight. Until then the forecast
//!   counts with the part what the rest will cost more;
//! - after the supplier's last day nothing is taken to be given back, until a credit is noted;
//! - a credit that is noted takes the place of what was expected. It settles first what was not yet paid; the rest comes
//!   back, and lowers what was paid. Of a cancelled order only money that was paid can come back;
//! - kept or written off: it counts in full.
//!
//! Going back changes the forecast; what is ordered follows once it went back. A part that is live again counts in full.

use crate::engine::calendar::Day;
use crate::engine::index::Index;
use crate::engine::orders::{self, Order};
use crate::engine::parts::PartFigures;
use crate::model::money::{from_minor_units, minor_units, share_units};
use crate::model::{Currency, Money, Part, Project, Return, ReturnState, Supplier};
use std::collections::BTreeMap;

/// What a part with a return counts as.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReturnFigures {
    /// Position of the part.
    pub part: usize,
    /// Position of the return in the document.
    pub at: usize,
    /// How far it is.
    pub state: ReturnState,
    /// What sending it back means, whatever was decided.
    pub terms: Terms,
    /// What it counts as among what is ordered.
    pub ordered: Money,
    /// What it counts as in the forecast.
    pub forecast: Money,
    /// What counts as paid, less what came back.
    pub paid: Money,
}

impl ReturnFigures {
    /// How far it is, in words.
    pub fn words(&self) -> &'static str {
        self.state.words(self.terms.came)
    }

    /// Whether its order was cancelled before it came.
    pub fn is_cancelled(&self) -> bool {
        self.state == ReturnState::WentBack && !self.terms.came
    }

    /// What was paid and is still to come back of what went back.
    pub fn expected_back(&self) -> Money {
        match self.state {
            ReturnState::WentBack => self.paid.less(self.ordered).at_least(Money::ZERO),
            _ => Money::ZERO,
        }
    }
}

/// What sending a part back, or cancelling its order, would cost on the as-of day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Terms {
    /// Whether it has come; otherwise its order would be cancelled.
    pub came: bool,
    /// Whether it is built in.
    pub built_in: bool,
    /// The last day to send it; `None` before it came, or when the supplier names no number of days.
    pub send_by: Option<Day>,
    /// Whether the supplier still takes it back.
    pub in_time: bool,
    /// Goods, freight and tax as they were billed.
    pub full: Money,
    /// What the supplier keeps of the goods.
    pub restocking: Money,
    /// The freight that brought it, which nobody gives back.
    pub freight_out: Money,
    /// The tax on what is kept.
    pub tax_kept: Money,
    /// What sending it back costs.
    pub freight_back: Money,
    /// What is lost of the deposit.
    pub deposit_lost: Money,
    /// What would be given back or taken off the bill.
    pub given_back: Money,
    /// What the rest of its order costs more once it is cancelled: freight that it bore, and threshold of free freight
    /// that is no longer reached.
    pub rest_costs: Money,
}

impl Terms {
    /// What it costs in the end to send it back or cancel it.
    pub fn cost(&self) -> Money {
        self.full.less(self.given_back).plus(self.freight_back).plus(self.rest_costs)
    }

    /// Days left to send it, from the as-of day on.
    pub fn days_left(&self, as_of: Day) -> Option<i32> {
        self.send_by.map(|day| day.since(as_of))
    }
}

/// The returns of a document, by position of their parts.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ReturnTable {
    rows: Vec<ReturnFigures>,
}

impl ReturnTable {
    /// The return of a part that counts by it: the part was ordered and is not live.
    pub fn of(&self, part: usize) -> Option<&ReturnFigures> {
        if self.rows.is_empty() {
            return None;
        }
        self.rows.binary_search_by_key(&part, |r| r.part).ok().and_then(|at| self.rows.get(at))
    }

    /// All that count.
    pub fn iter(&self) -> impl Iterator<Item = &ReturnFigures> {
        self.rows.iter()
    }
}

/// The returns that count: position in the document, position of the part, and the return. The part was ordered and is
/// not live.
fn counting<'a>(
    project: &'a Project,
    index: &'a Index,
    parts: &'a [PartFigures],
) -> impl Iterator<Item = (usize, usize, &'a Return)> {
    project.returns.iter().enumerate().filter_map(|(at, r)| {
        let part = index.of(r.part.0)?;
        let counts = |f: &&PartFigures| f.id == r.part && !f.live && f.placed.is_some();
        parts.get(part).filter(counts).map(|_| (at, part, r))
    })
}

/// The parts whose order was cancelled before they came, and the day.
pub fn cancelled(project: &Project, index: &Index, parts: &[PartFigures], as_of: Day) -> Vec<(usize, Day)> {
    let gone = |(_, part, r): (usize, usize, &Return)| {
        let day = r.went_back_on.map(Day::from).filter(|day| *day <= as_of)?;
        (r.state == ReturnState::WentBack && !parts[part].on_site).then_some((part, day))
    };
    let mut gone: Vec<(usize, Day)> = counting(project, index, parts).filter_map(gone).collect();
    gone.sort_unstable();
    gone
}

/// Settles the returns of a document once its orders are priced.
pub fn settle(
    project: &Project,
    index: &Index,
    parts: &[PartFigures],
    orders: &[Order],
    as_of: Day,
) -> ReturnTable {
    let mut rows: Vec<ReturnFigures> = Vec::new();
    // By order: the parts that are to be cancelled.
    let mut leave: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (at, part, r) in counting(project, index, parts) {
        let decided = r.went_back_on.map_or(as_of, Day::from);
        // What goes back after the as-of day is still here, and its credit is not known yet.
        let state = if decided > as_of { ReturnState::GoingBack } else { r.state };
        let terms = terms(project, parts, &[], part, Some(r), decided);
        if state == ReturnState::GoingBack
            && !terms.came
            && let Some(order) = orders::position(orders, parts, part)
        {
            leave.entry(order).or_default().push(part);
        }
        let none = Money::ZERO;
        rows.push(ReturnFigures { part, at, state, terms, ordered: none, forecast: none, paid: none });
    }
    rows.sort_by_key(|r| r.part);
    for (order, leave) in leave {
        let costs = rest_costs(project, parts, &orders[order], &leave);
        for (part, costs) in leave.into_iter().zip(costs) {
            if let Ok(row) = rows.binary_search_by_key(&part, |r| r.part) {
                rows[row].terms.rest_costs = costs;
            }
        }
    }
    for row in &mut rows {
        settled(row, &project.returns[row.at], parts[row.part].paid, project.settings.currency);
    }
    ReturnTable { rows }
}

/// What the rest of an order costs more without parts that came not yet, shared to these by what each costs.
fn rest_costs(project: &Project, parts: &[PartFigures], order: &Order, leave: &[usize]) -> Vec<Money> {
    let digits = project.settings.currency.minor_digits();
    let stay = order.parts.iter().copied().filter(|at| !leave.contains(at));
    let (rest, _) = orders::price_lines(project, parts, order, stay);
    let total = |at: &usize| minor_units(parts[*at].total(), digits);
    let mut shares: Vec<i128> = leave.iter().map(total).collect();
    if rest.parts.is_empty() {
        shares.fill(0);
    } else {
        let now = minor_units(order.total(), digits) - shares.iter().sum::<i128>();
        share_units(minor_units(rest.total(), digits) - now, &mut shares, &mut Vec::new());
    }
    shares.into_iter().map(|units| from_minor_units(units, digits)).collect()
}

/// The part that figures belong to.
pub fn document_part<'a>(project: &'a Project, f: &PartFigures) -> Option<&'a Part> {
    let option = project.selections.get(f.selection as usize)?.options.get(f.option as usize)?;
    option.parts.iter().find(|p| p.id == f.id)
}

/// What a return counts as, by its state and terms.
fn settled(row: &mut ReturnFigures, r: &Return, paid: Money, currency: Currency) {
    let (terms, state) = (&row.terms, row.state);
    let later = r.went_back_on.is_some() && state != ReturnState::WentBack;
    let credit = r.credit.filter(|_| !later).map(|c| c.round_half_up(currency));
    // What it costs without the freight back, and what stays paid of it.
    let (cost, paid_left) = match credit {
        None => (terms.full.less(terms.given_back), paid),
        Some(credit) if terms.came => {
            let left = terms.full.less(credit);
            (left, if paid > left { left } else { paid })
        }
        Some(credit) => {
            let left = paid.less(credit).at_least(Money::ZERO);
            (left, left)
        }
    };
    let gone = cost.plus(terms.freight_back);
    (row.ordered, row.forecast, row.paid) = match state {
        ReturnState::ToDecide | ReturnState::Kept | ReturnState::WrittenOff => (terms.full, terms.full, paid),
        ReturnState::GoingBack => (terms.full, gone.plus(terms.rest_costs), paid),
        ReturnState::WentBack => (gone, gone, paid_left),
    };
}

/// What sending a part back on a day, or cancelling its order, means. Without a return of its own the supplier's
/// terms hold.
pub fn terms(
    project: &Project,
    parts: &[PartFigures],
    orders: &[Order],
    part: usize,
    r: Option<&Return>,
    on: Day,
) -> Terms {
    let Some(f) = parts.get(part) else { return Terms::default() };
    let currency = project.settings.currency;
    let supplier = f.supplier.and_then(|s| project.suppliers.get(s as usize));
    let came = f.arrival.filter(|_| f.on_site);
    let send_by = came.zip(supplier.and_then(|s| s.return_days)).map(|(came, days)| came.plus(days_of(days)));
    let base = Terms {
        came: came.is_some(),
        built_in: f.built_in,
        send_by,
        in_time: send_by.is_none_or(|last| on <= last),
        full: f.total(),
        freight_back: r.map_or(Money::ZERO, |r| r.freight.round_half_up(currency)),
        ..Terms::default()
    };
    if came.is_none() {
        let usual = supplier.map_or(Money::ZERO, |s| base.full.percent(s.deposit_pct, currency));
        let deposit_lost = r.and_then(|r| r.deposit_lost).map_or(usual, |m| m.round_half_up(currency));
        let deposit_lost = if deposit_lost > base.full { base.full } else { deposit_lost };
        let order = orders::position(orders, parts, part).map(|n| &orders[n]);
        let rest_costs = order.and_then(|o| rest_costs(project, parts, o, &[part]).pop()).unwrap_or_default();
        return Terms { deposit_lost, given_back: base.full.less(deposit_lost), rest_costs, ..base };
    }
    let pct = r.and_then(|r| r.restock_pct).or(supplier.map(|s| s.restock_pct)).unwrap_or_default();
    let restocking = f.amount.percent(pct, currency);
    let tax_kept = tax_kept(f, supplier, restocking, currency);
    let kept = restocking.plus(f.freight).plus(tax_kept);
    let given_back = if base.in_time { base.full.less(kept) } else { Money::ZERO };
    Terms { restocking, freight_out: f.freight, tax_kept, given_back, ..base }
}

fn days_of(days: u32) -> i32 {
    i32::try_from(days).unwrap_or(i32::MAX)
}

/// The tax that falls on the goods kept and on taxed freight.
fn tax_kept(f: &PartFigures, supplier: Option<&Supplier>, restocking: Money, currency: Currency) -> Money {
    let digits = currency.minor_digits();
    let units = |m: Money| minor_units(m, digits);
    let freight = if supplier.is_some_and(|s| s.freight.taxed) { units(f.freight) } else { 0 };
    let goods = if f.taxable { units(f.amount) } else { 0 };
    let kept = if f.taxable { units(restocking) } else { 0 };
    let mut shares = [goods - kept, kept + freight];
    share_units(units(f.tax), &mut shares, &mut Vec::new());
    from_minor_units(shares[1], digits)
}

/// Positions of ordered parts that count for nothing any more and of which nothing is noted.
pub fn loose(project: &Project, parts: &[PartFigures]) -> Vec<usize> {
    let noted = |f: &PartFigures| project.returns.iter().any(|r| r.part == f.id);
    let loose = |(_, f): &(usize, &PartFigures)| !f.live && f.placed.is_some() && !noted(f);
    parts.iter().enumerate().filter(loose).map(|(at, _)| at).collect()
}
