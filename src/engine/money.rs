//! The money columns: per selection, and summed by room, category, supplier and phase.
//!
//! Everything is first split into entries that belong to one room, category, supplier and phase each, and to the
//! cent; each grouping sums the same entries, so all of them add up to the same totals.

use super::figures::{Index, PartFigures, SelectionFigures};
use crate::model::money::share_largest_remainder;
use crate::model::{Currency, ExtraKind, Money, Project};
use std::collections::HashMap;

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

    /// Adds another's columns to these.
    pub fn add(&mut self, other: &Columns) {
        self.allowance = self.allowance.plus(other.allowance);
        self.chosen = self.chosen.plus(other.chosen);
        self.ordered = self.ordered.plus(other.ordered);
        self.paid = self.paid.plus(other.paid);
        self.forecast = self.forecast.plus(other.forecast);
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

struct Sums {
    money: MoneyFigures,
    categories: HashMap<String, usize>,
}

impl Sums {
    fn category(&mut self, name: &str) -> usize {
        if let Some(position) = self.categories.get(name) {
            return *position;
        }
        self.money.by_category.push((name.to_owned(), Columns::default()));
        self.categories.insert(name.to_owned(), self.money.by_category.len() - 1);
        self.money.by_category.len() - 1
    }

    fn add(
        &mut self,
        room: Option<usize>,
        category: usize,
        supplier: Option<usize>,
        phase: Option<usize>,
        entry: &Columns,
    ) {
        let put = |rows: &mut Vec<Columns>, at: Option<usize>| {
            let last = rows.len() - 1;
            rows[at.map_or(last, |i| i.min(last))].add(entry);
        };
        put(&mut self.money.by_room, room);
        put(&mut self.money.by_supplier, supplier);
        put(&mut self.money.by_phase, phase);
        self.money.by_category[category].1.add(entry);
        self.money.total.add(entry);
    }
}

/// Sums up, and fills in the money of each selection.
pub fn summarise(
    project: &Project,
    index: &Index,
    selections: &mut [SelectionFigures],
    parts: &[PartFigures],
) -> MoneyFigures {
    let currency = project.settings.currency;
    let mut sums = Sums {
        money: MoneyFigures {
            by_room: vec![Columns::default(); project.rooms.len() + 1],
            by_supplier: vec![Columns::default(); project.suppliers.len() + 1],
            by_phase: vec![Columns::default(); project.phases.len() + 1],
            ..MoneyFigures::default()
        },
        categories: HashMap::new(),
    };
    for (selection, figures) in project.selections.iter().zip(selections.iter_mut()) {
        let own = &parts[figures.first_part..figures.end_part];
        let chosen = selection.choice().is_some();
        let document = selection.options.iter().flat_map(|o| &o.parts);
        let mut entries: Vec<Columns> = document
            .zip(own)
            .map(|(part, f)| {
                let total = f.total();
                let when = |yes: bool| if yes { total } else { Money::ZERO };
                Columns {
                    allowance: Money::ZERO,
                    chosen: when(chosen && f.live),
                    ordered: when(part.is_ordered()),
                    paid: part.paid.round_half_up(currency),
                    forecast: when(f.live || part.is_ordered()),
                }
            })
            .collect();
        let allowance = selection.allowance.round_half_up(currency);
        let decided = entries.iter().zip(own).any(|(e, f)| f.live || !e.ordered.is_zero());
        if decided {
            share_allowance(allowance, &mut entries, own, currency);
        }
        let room = index.of(selection.room.0);
        let category = sums.category(&selection.category);
        for (entry, f) in entries.iter().zip(own) {
            if *entry != Columns::default() {
                sums.add(room, category, f.supplier.map(|s| s as usize), f.phase.map(|p| p as usize), entry);
                figures.money.add(entry);
            }
        }
        if !decided {
            let entry = Columns { allowance, forecast: allowance, ..Columns::default() };
            sums.add(room, category, None, None, &entry);
            figures.money.add(&entry);
        }
    }
    add_trades(project, index, &mut sums);
    let mut money = sums.money;
    money.contingency = money.total.allowance.percent(project.settings.contingency_pct, currency);
    money.contingency_left = money.contingency.less(money.total.over_under());
    money
}

/// Splits the allowance over the parts in the forecast, so that it too adds up by supplier and phase.
fn share_allowance(allowance: Money, entries: &mut [Columns], parts: &[PartFigures], currency: Currency) {
    let counted: Vec<usize> =
        (0..entries.len()).filter(|i| parts[*i].live || !entries[*i].ordered.is_zero()).collect();
    if let [one] = counted.as_slice() {
        entries[*one].allowance = allowance;
        return;
    }
    let weights: Vec<Money> = counted.iter().map(|i| entries[*i].forecast).collect();
    for (i, share) in counted.into_iter().zip(share_largest_remainder(allowance, &weights, currency)) {
        entries[i].allowance = share;
    }
}

/// Accepted quotes, fees and extras. A quote's allowance is what was set aside for its scope, else its amount; a fee
/// is its own allowance; an extra has none.
fn add_trades(project: &Project, index: &Index, sums: &mut Sums) {
    let currency = project.settings.currency;
    let spent = |amount: Money, paid: Money, allowance: Money| Columns {
        allowance,
        chosen: amount,
        ordered: amount,
        paid: paid.round_half_up(currency),
        forecast: amount,
    };
    for quote in project.quotes.iter().filter(|q| q.accepted) {
        let amount = quote.amount.round_half_up(currency);
        let allowance = quote.allowance.map_or(amount, |a| a.round_half_up(currency));
        let category = sums.category(TRADES);
        let phase = quote.phase.and_then(|id| index.of(id.0));
        sums.add(None, category, None, phase, &spent(amount, quote.paid, allowance));
    }
    for extra in project.extras.iter() {
        let amount = extra.amount.round_half_up(currency);
        let (name, allowance) = match extra.kind {
            ExtraKind::Permit => (PERMITS, amount),
            ExtraKind::Extra => (EXTRAS, Money::ZERO),
        };
        let category = sums.category(name);
        let phase = extra.phase.and_then(|id| index.of(id.0));
        sums.add(None, category, None, phase, &spent(amount, extra.paid, allowance));
    }
}
