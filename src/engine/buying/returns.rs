//! Returns: what an ordered part whose option is no longer the choice still costs, and by when it must go back.
//!
//! Until something is decided such a part counts in full, as it did before: goods, its share of freight, its tax, and
//! what was paid. Then
//! - sent back after it came: it costs the restocking percent of the goods (rounded half up to the cent), the freight
//!   that brought it, the freight back, and the part of its tax that falls on what is kept. Tax is split over goods given
//!   back and goods and taxed freight kept by largest remainder, so that nothing is lost;
//! - cancelled before it came: it costs the deposit that is lost, and what the user enters as freight; goods, freight
//!   and tax are not owed;
//! - after the supplier's last day nothing is taken to be given back, until a credit is noted;
//! - a credit that is noted takes the place of what was expected. It settles first what was not yet paid; the rest comes
//!   back, and lowers what was paid. Of a cancelled order only money that was paid can come back;
//! - kept or written off: it counts in full.
//!
//! Going back changes the forecast; what is ordered follows once it went back. A part that is live again counts in full.

use crate::engine::calendar::Day;
use crate::engine::index::Index;
use crate::engine::parts::PartFigures;
use crate::model::money::{from_minor_units, minor_units, share_units};
use crate::model::{Currency, Money, Part, Project, Return, ReturnState, Supplier};

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
}

impl Terms {
    /// What it costs in the end to send it back or cancel it.
    pub fn cost(&self) -> Money {
        self.full.less(self.given_back).plus(self.freight_back)
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

/// Settles the returns of a document once its orders are priced.
pub fn settle(project: &Project, index: &Index, parts: &[PartFigures], as_of: Day) -> ReturnTable {
    let mut rows: Vec<ReturnFigures> = Vec::new();
    for (at, r) in project.returns.iter().enumerate() {
        let Some(position) = index.of(r.part.0) else { continue };
        let Some(f) = parts.get(position).filter(|f| f.id == r.part && !f.live && f.placed.is_some()) else {
            continue;
        };
        rows.push(settled(project, f, position, at, r, as_of));
    }
    rows.sort_by_key(|r| r.part);
    ReturnTable { rows }
}

/// The part that figures belong to.
pub fn document_part<'a>(project: &'a Project, f: &PartFigures) -> Option<&'a Part> {
    let option = project.selections.get(f.selection as usize)?.options.get(f.option as usize)?;
    option.parts.iter().find(|p| p.id == f.id)
}

fn settled(
    project: &Project,
    f: &PartFigures,
    position: usize,
    at: usize,
    r: &Return,
    as_of: Day,
) -> ReturnFigures {
    let currency = project.settings.currency;
    let decided = r.went_back_on.map_or(as_of, Day::from);
    let terms = terms(project, f, Some(r), decided);
    let paid = f.paid;
    // What goes back after the as-of day is still here, and its credit is not known yet.
    let later = decided > as_of;
    let state = if later { ReturnState::GoingBack } else { r.state };
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
    let (ordered, forecast, paid) = match state {
        ReturnState::ToDecide | ReturnState::Kept | ReturnState::WrittenOff => (terms.full, terms.full, paid),
        ReturnState::GoingBack => (terms.full, cost.plus(terms.freight_back), paid),
        ReturnState::WentBack => (cost.plus(terms.freight_back), cost.plus(terms.freight_back), paid_left),
    };
    ReturnFigures { part: position, at, state, terms, ordered, forecast, paid }
}

/// What sending a part back on a day, or cancelling its order, means. Without a return of its own the supplier's
/// terms hold.
pub fn terms(project: &Project, f: &PartFigures, r: Option<&Return>, on: Day) -> Terms {
    let currency = project.settings.currency;
    let supplier = f.supplier.and_then(|s| project.suppliers.get(s as usize));
    let came = f.on_site.then_some(f.arrival);
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
        return Terms { deposit_lost, given_back: base.full.less(deposit_lost), ..base };
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
