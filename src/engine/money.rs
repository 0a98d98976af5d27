//! The money columns: per selection, and summed by room, category, supplier and phase.
//!
//! Everything is first split into entries that belong to one room, category, supplier and phase each, and to the
//! cent; each grouping sums the same entries, so all of them add up to the same totals.

use super::figures::{Index, PartFigures, SelectionFigures};
use super::returns::ReturnTable;
use crate::model::money::{from_minor_units, minor_units, share_units};
use crate::model::{ExtraKind, Money, Project};
use std::collections::BTreeMap;

/// The columns of the ledger.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Columns {
    /// Set aside.
    pub allowance: Money,
    /// Total of the choice.
    pub chosen: Money,
    /// Total of what is ordered.
    pub ordered: Money,
    /// Paid so far.
    pub paid: Money,
    /// What it will cost: the parts of the choice or of the option leaned to, and what was ordered besides; without
    /// either, the allowance.
    pub forecast: Money,
}

impl Columns {
    /// Ordered and not yet paid.
    pub fn to_pay(&self) -> Money {
        self.ordered.less(self.paid)
    }

    /// Forecast less allowance; negative is under.
    pub fn over_under(&self) -> Money {
        self.forecast.less(self.allowance)
    }
}

/// The columns in whole minor units, for fast and exact sums.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
struct Units {
    allowance: i128,
    chosen: i128,
    ordered: i128,
    paid: i128,
    forecast: i128,
}

impl Units {
    fn add(&mut self, other: &Units) {
        self.allowance += other.allowance;
        self.chosen += other.chosen;
        self.ordered += other.ordered;
        self.paid += other.paid;
        self.forecast += other.forecast;
    }

    fn columns(&self, digits: u32) -> Columns {
        Columns {
            allowance: from_minor_units(self.allowance, digits),
            chosen: from_minor_units(self.chosen, digits),
            ordered: from_minor_units(self.ordered, digits),
            paid: from_minor_units(self.paid, digits),
            forecast: from_minor_units(self.forecast, digits),
        }
    }
}

/// Money of a project.
#[derive(Debug, Clone, Default)]
pub struct MoneyFigures {
    /// All of it.
    pub total: Columns,
    /// By room position; the last row is what belongs to no room.
    pub by_room: Vec<Columns>,
    /// By supplier position; the last row is what has none yet, and trades, fees and extras.
    pub by_supplier: Vec<Columns>,
    /// By phase position; the last row is what has none.
    pub by_phase: Vec<Columns>,
    /// By category, in order of appearance.
    pub by_category: Vec<(String, Columns)>,
    /// Reserve: the contingency percent of all allowances.
    pub contingency: Money,
    /// Reserve less what is over the allowances. Extras have no allowance, so they are taken off here as well.
    pub contingency_left: Money,
}

/// The category under which trades' quotes stand.
pub const TRADES: &str = "Trades";
/// The category under which permit fees stand.
pub const PERMITS: &str = "Permits";
/// The category under which own extras stand.
pub const EXTRAS: &str = "Extras";

struct Sums<'a> {
    total: Units,
    by_room: Vec<Units>,
    by_supplier: Vec<Units>,
    by_phase: Vec<Units>,
    by_category: Vec<(String, Units)>,
    /// Few in any project: in a tree of names, which costs less than to hash each.
    categories: BTreeMap<&'a str, usize>,
}

impl<'a> Sums<'a> {
    fn new(project: &Project) -> Sums<'a> {
        let rows = |things: usize| vec![Units::default(); things + 1];
        Sums {
            total: Units::default(),
            by_room: rows(project.rooms.len()),
            by_supplier: rows(project.suppliers.len()),
            by_phase: rows(project.phases.len()),
            by_category: Vec::new(),
            categories: BTreeMap::new(),
        }
    }

    fn category(&mut self, name: &'a str) -> usize {
        if let Some(position) = self.categories.get(name) {
            return *position;
        }
        self.by_category.push((name.to_owned(), Units::default()));
        self.categories.insert(name, self.by_category.len() - 1);
        self.by_category.len() - 1
    }

    /// Puts an entry where its supplier and phase stand.
    fn add_part(&mut self, supplier: Option<usize>, phase: Option<usize>, entry: &Units) {
        put(&mut self.by_supplier, supplier, entry);
        put(&mut self.by_phase, phase, entry);
    }

    /// Puts the sum of such entries where the room and category of all of them stand, and into the total.
    fn add_all(&mut self, room: Option<usize>, category: usize, sum: &Units) {
        put(&mut self.by_room, room, sum);
        self.by_category[category].1.add(sum);
        self.total.add(sum);
    }

    fn figures(self, digits: u32) -> MoneyFigures {
        let rows = |rows: &[Units]| rows.iter().map(|r| r.columns(digits)).collect();
        MoneyFigures {
            total: self.total.columns(digits),
            by_room: rows(&self.by_room),
            by_supplier: rows(&self.by_supplier),
            by_phase: rows(&self.by_phase),
            by_category: self.by_category.into_iter().map(|(name, r)| (name, r.columns(digits))).collect(),
            ..MoneyFigures::default()
        }
    }
}

/// Adds to the row at a position, or to the last one.
fn put(rows: &mut [Units], at: Option<usize>, entry: &Units) {
    let last = rows.len() - 1;
    rows[at.map_or(last, |i| i.min(last))].add(entry);
}

/// Sums up, and fills in the money of each selection.
pub fn summarise(
    project: &Project,
    index: &Index,
    selections: &mut [SelectionFigures],
    parts: &[PartFigures],
    returns: &ReturnTable,
) -> MoneyFigures {
    let currency = project.settings.currency;
    let digits = currency.minor_digits();
    let mut sums = Sums::new(project);
    // By part of one selection: whether it counts, and what it is ordered for, will cost and was paid. Then, of those that count, their shares of the allowance.
    let (mut totals, mut shares, mut remainders) = (Vec::new(), Vec::new(), Vec::new());
    for (selection, figures) in project.selections.iter().zip(selections.iter_mut()) {
        let own = &parts[figures.first_part..figures.end_part];
        totals.clear();
        shares.clear();
        for (at, f) in own.iter().enumerate() {
            let counts = f.live || f.placed.is_some();
            let total = if counts {
                minor_units(f.amount, digits) + minor_units(f.freight, digits) + minor_units(f.tax, digits)
            } else {
                0
            };
            let paid = minor_units(f.paid, digits);
            let counted = match returns.of(figures.first_part + at) {
                Some(r) => {
                    let units = |amount| minor_units(amount, digits);
                    (units(r.ordered), units(r.forecast), units(r.paid))
                }
                None => (if f.placed.is_some() { total } else { 0 }, total, paid),
            };
            totals.push((counts, counted));
            if counts {
                shares.push(counted.1);
            }
        }
        let allowance = minor_units(selection.allowance, digits);
        let room = index.of(selection.room.0);
        let category = sums.category(&selection.category);
        let mut sum = Units::default();
        if shares.is_empty() {
            sum = Units { allowance, forecast: allowance, ..Units::default() };
            sums.add_part(None, None, &sum);
        } else {
            // The allowance is split over the parts in the forecast, so that it too adds up by supplier and phase.
            share_units(allowance, &mut shares, &mut remainders);
        }
        let mut shares = shares.iter();
        for (f, (counts, counted)) in own.iter().zip(&totals) {
            let (counts, (ordered, forecast, paid)) = (*counts, *counted);
            if !counts && paid == 0 {
                continue;
            }
            let entry = Units {
                allowance: if counts { shares.next().copied().unwrap_or(0) } else { 0 },
                chosen: if figures.chosen && f.live { forecast } else { 0 },
                ordered,
                paid,
                forecast,
            };
            sums.add_part(f.supplier.map(|s| s as usize), f.phase.map(|p| p as usize), &entry);
            sum.add(&entry);
        }
        sums.add_all(room, category, &sum);
        figures.money = sum.columns(digits);
    }
    add_trades(project, index, &mut sums);
    let mut money = sums.figures(digits);
    money.contingency = money.total.allowance.percent(project.settings.contingency_pct, currency);
    money.contingency_left = money.contingency.less(money.total.over_under());
    money
}

/// Accepted quotes, fees and extras. A quote's allowance is what was set aside for its scope, else its amount; a fee
/// is its own allowance; an extra has none.
fn add_trades(project: &Project, index: &Index, sums: &mut Sums<'_>) {
    let digits = project.settings.currency.minor_digits();
    let spent = |amount: i128, paid: Money, allowance: i128| Units {
        allowance,
        chosen: amount,
        ordered: amount,
        paid: minor_units(paid, digits),
        forecast: amount,
    };
    for quote in project.quotes.iter().filter(|q| q.accepted) {
        let amount = minor_units(quote.amount, digits);
        let allowance = quote.allowance.map_or(amount, |a| minor_units(a, digits));
        let category = sums.category(TRADES);
        let phase = quote.phase.and_then(|id| index.of(id.0));
        let entry = spent(amount, quote.paid, allowance);
        sums.add_part(None, phase, &entry);
        sums.add_all(None, category, &entry);
    }
    for extra in project.extras.iter() {
        let amount = minor_units(extra.amount, digits);
        let (name, allowance) = match extra.kind {
            ExtraKind::Permit => (PERMITS, amount),
            ExtraKind::Extra => (EXTRAS, 0),
        };
        let category = sums.category(name);
        let phase = extra.phase.and_then(|id| index.of(id.0));
        let entry = spent(amount, extra.paid, allowance);
        sums.add_part(None, phase, &entry);
        sums.add_all(None, category, &entry);
    }
}
