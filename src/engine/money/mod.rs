//! The money columns: per selection, and summed by room, category, supplier and phase.
//!
//! Everything is first split into entries that belong to one room, category, supplier and phase each, and to the
//! cent; each grouping sums the same entries, so all of them add up to the same totals.
#![doc = include_str!("../../../assets/manual/money.md")]

pub mod cash;
pub mod changes;
pub mod draws;
pub mod installments;
pub mod payments;
pub mod trade_dues;
pub mod trades;

use crate::engine::index::Index;
use crate::engine::parts::{Entry, PartFigures, SelectionFigures};
use crate::engine::returns::ReturnTable;
use crate::model::money::{from_minor_units, minor_units, share_units};
use crate::model::{Money, Project};

pub use crate::engine::columns::Columns;
pub use trades::Trades;

/// The columns in whole minor units, for fast and exact sums.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
struct Units {
    allowance: i128,
    chosen: i128,
    ordered: i128,
    paid: i128,
    forecast: i128,
    assumed: i128,
    unpriced: u32,
    left_out: u32,
}

impl Units {
    fn add(&mut self, other: &Units) {
        self.allowance += other.allowance;
        self.chosen += other.chosen;
        self.ordered += other.ordered;
        self.paid += other.paid;
        self.forecast += other.forecast;
        self.assumed += other.assumed;
        self.unpriced += other.unpriced;
        self.left_out += other.left_out;
    }

    fn columns(&self, digits: u32) -> Columns {
        Columns {
            allowance: from_minor_units(self.allowance, digits),
            chosen: from_minor_units(self.chosen, digits),
            ordered: from_minor_units(self.ordered, digits),
            paid: from_minor_units(self.paid, digits),
            forecast: from_minor_units(self.forecast, digits),
            assumed: from_minor_units(self.assumed, digits),
            unpriced: self.unpriced,
            left_out: self.left_out,
        }
    }
}

/// Money of a project.
#[derive(Debug, Clone, Default, PartialEq)]
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
/// The category under which changes of the work stand.
pub const CHANGES: &str = "Changes";
/// The category under which own extras stand.
pub const EXTRAS: &str = "Extras";

/// The rows of one grouping.
#[derive(Debug, Clone, Default)]
struct Rows(Vec<Units>);

impl Rows {
    /// One row for each thing, and a last one for what belongs to none.
    fn new(things: usize) -> Rows {
        Rows(vec![Units::default(); things + 1])
    }

    /// Adds to the row at a position, or to the last one.
    fn put(&mut self, at: Option<usize>, entry: &Units) {
        let last = self.0.len() - 1;
        let row = at.map_or(last, |i| i.min(last));
        self.0[row].add(entry);
    }

    fn columns(&self, digits: u32) -> Vec<Columns> {
        self.0.iter().map(|units| units.columns(digits)).collect()
    }
}

/// The sums of a project in whole minor units.
#[derive(Debug, Clone, Default)]
pub struct Sums {
    total: Units,
    by_room: Rows,
    by_supplier: Rows,
    by_phase: Rows,
    /// In order of appearance.
    by_category: Vec<(String, Units)>,
    room: WorkRoom,
    /// Digits of the minor unit.
    digits: u32,
}

/// Room to split the money of one selection in.
#[derive(Debug, Clone, Default)]
struct WorkRoom {
    /// By part: whether it counts, and what it is ordered for, will cost, and was paid.
    totals: Vec<(bool, [i128; 3])>,
    /// By part: what of the allowance stands for it. Empty where every part has a price.
    assumed: Vec<i128>,
    /// Of the parts that count: their shares of the allowance.
    shares: Vec<i128>,
    remainders: Vec<(u64, usize)>,
}

impl WorkRoom {
    /// Splits the money of a selection into entries that belong to one part each, by its place among `own`; without a
    /// part that counts, the allowance is one that belongs to none.
    fn split(
        &mut self,
        allowance: Money,
        figures: &SelectionFigures,
        own: &[PartFigures],
        returns: &ReturnTable,
        digits: u32,
        mut put: impl FnMut(Option<usize>, Units),
    ) {
        let WorkRoom { totals, assumed, shares, remainders } = self;
        totals.clear();
        assumed.clear();
        shares.clear();
        let mut unpriced = false;
        for (at, f) in own.iter().enumerate() {
            let counts = f.live || f.placed.is_some();
            let total = if counts {
                minor_units(f.amount, digits) + minor_units(f.freight, digits) + minor_units(f.tax, digits)
            } else {
                0
            };
            let counted = match returns.of(figures.first_part + at) {
                Some(r) => [r.ordered, r.forecast, r.paid].map(|amount| minor_units(amount, digits)),
                None => [if f.placed.is_some() { total } else { 0 }, total, minor_units(f.paid, digits)],
            };
            unpriced |= counts && !f.priced;
            totals.push((counts, counted));
        }
        let allowance = minor_units(allowance, digits);
        if unpriced {
            stand_in(allowance, figures, own, totals, assumed, remainders);
        }
        shares.extend(totals.iter().filter(|(counts, _)| *counts).map(|(_, [_, forecast, _])| *forecast));
        if shares.is_empty() {
            put(None, undecided(allowance, figures, own, digits));
        } else {
            // The allowance is split over the parts in the forecast, so that it too adds up by supplier and phase.
            share_units(allowance, shares, remainders);
        }
        let mut share = shares.iter();
        for (at, (f, (counts, [ordered, forecast, paid]))) in own.iter().zip(totals).enumerate() {
            let (ordered, forecast, paid) = (*ordered, *forecast, *paid);
            if *counts || paid != 0 {
                let allowance = if *counts { share.next().copied().unwrap_or(0) } else { 0 };
                let assumed = assumed.get(at).copied().unwrap_or(0);
                let chosen = if figures.chosen && f.live { forecast - assumed } else { 0 };
                let unpriced = u32::from(*counts && !f.priced);
                let left_out = if assumed == 0 { unpriced } else { 0 };
                let units = Units { allowance, chosen, ordered, paid, forecast, assumed, unpriced, left_out };
                put(Some(at), units);
            }
        }
    }
}

/// What the known parts leave of the allowance stands for those without a price, in equal shares: of the parts of the
/// option that counts, and where none does, of those that are ordered.
fn stand_in(
    allowance: i128,
    figures: &SelectionFigures,
    own: &[PartFigures],
    totals: &mut [(bool, [i128; 3])],
    assumed: &mut Vec<i128>,
    remainders: &mut Vec<(u64, usize)>,
) {
    let in_group = |f: &PartFigures, counts: bool| counts && (f.live || figures.live.is_none());
    let known: i128 = own
        .iter()
        .zip(totals.iter())
        .filter(|(f, (counts, _))| in_group(f, *counts))
        .map(|(_, (_, [_, forecast, _]))| *forecast)
        .sum();
    let open = own.iter().zip(totals.iter()).map(|(f, (counts, _))| in_group(f, *counts) && !f.priced);
    assumed.extend(open.map(i128::from));
    let rest = (allowance - known).max(0);
    if rest == 0 || assumed.iter().all(|open| *open == 0) {
        assumed.fill(0);
        return;
    }
    share_units(rest, assumed, remainders);
    for ((_, [_, forecast, _]), share) in totals.iter_mut().zip(assumed.iter()) {
        *forecast += *share;
    }
}

/// A selection of which no part counts: its allowance; where none was set aside and nothing is decided, the cheapest of
/// its candidates of which every part has a price, without freight. Without either it is left out.
fn undecided(allowance: i128, figures: &SelectionFigures, own: &[PartFigures], digits: u32) -> Units {
    if allowance != 0 {
        return Units { allowance, forecast: allowance, assumed: allowance, ..Units::default() };
    }
    let mut cheapest: Option<i128> = None;
    for option in own.chunk_by(|a, b| a.option == b.option).filter(|_| figures.live.is_none()) {
        if option.iter().all(|f| f.priced) {
            let total = option.iter().map(|f| minor_units(f.total(), digits)).sum();
            cheapest = Some(cheapest.map_or(total, |least| least.min(total)));
        }
    }
    match cheapest {
        Some(forecast) => Units { forecast, assumed: forecast, ..Units::default() },
        None => Units { left_out: 1, ..Units::default() },
    }
}

/// What a line of the ledger is about, by position in the document.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum About {
    /// A part.
    Part(usize),
    /// A selection of which no part counts.
    Selection(usize),
    /// An accepted quote, once for each phase that it covers.
    Quote(usize),
    /// A scope without an accepted quote, once for each of its phases, by the quote that stands for it.
    Scope(usize),
    /// A phase of work that has no price.
    Work(usize),
    /// A fee or an extra.
    Extra(usize),
    /// A change of the work that is agreed on.
    Change(usize),
}

/// A piece of the ledger that belongs to one room, supplier, phase and category.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line<'a> {
    /// What it is about.
    pub about: About,
    /// Position of its room.
    pub room: Option<usize>,
    /// Position of its supplier.
    pub supplier: Option<usize>,
    /// Position of its phase.
    pub phase: Option<usize>,
    /// Its category.
    pub category: &'a str,
    /// Its share of every column. A part has a share of the allowance of its selection.
    pub columns: Columns,
}

/// All lines of the ledger. The rows of [`MoneyFigures`] are their sums, column by column and to the cent.
pub fn lines<'a>(
    project: &'a Project,
    index: &Index,
    selections: &[SelectionFigures],
    parts: &[PartFigures],
    returns: &ReturnTable,
    trades: &Trades,
) -> Vec<Line<'a>> {
    let digits = project.settings.currency.minor_digits();
    let mut room = WorkRoom::default();
    let mut lines = Vec::new();
    for (at, (selection, figures)) in project.selections.iter().zip(selections).enumerate() {
        let own = parts.get(figures.first_part..figures.end_part).unwrap_or(&[]);
        room.split(selection.allowance, figures, own, returns, digits, |part, units| {
            let f = part.map(|at| &own[at]);
            lines.push(Line {
                about: part.map_or(About::Selection(at), |n| About::Part(figures.first_part + n)),
                room: index.of(selection.room.0),
                supplier: f.and_then(|f| f.supplier).map(|s| s as usize),
                phase: f.and_then(|f| f.phase).map(|p| p as usize),
                category: &selection.category,
                columns: units.columns(digits),
            });
        });
    }
    lines.extend(trades::entries(project, index, trades).into_iter().map(
        |(about, category, phase, units)| {
            let columns = units.columns(digits);
            Line { about, room: None, supplier: None, phase, category, columns }
        },
    ));
    lines
}

impl Sums {
    /// Sums with nothing in them yet. `categories` are those of the selections.
    pub fn new(project: &Project, categories: Vec<String>) -> Sums {
        Sums {
            by_category: categories.into_iter().map(|name| (name, Units::default())).collect(),
            by_room: Rows::new(project.rooms.len()),
            by_supplier: Rows::new(project.suppliers.len()),
            by_phase: Rows::new(project.phases.len()),
            digits: project.settings.currency.minor_digits(),
            ..Sums::default()
        }
    }

    /// Puts in the scopes of trades, work without a price, fees and extras.
    pub fn put_trades(&mut self, project: &Project, index: &Index, trades: &Trades) {
        for (_, name, phase, entry) in trades::entries(project, index, trades) {
            let category = self.category(name);
            self.add_part(None, phase, &entry);
            self.add_all(None, category, &entry);
        }
    }

    fn category(&mut self, name: &str) -> usize {
        let known = self.by_category.iter().position(|(known, _)| known == name);
        known.unwrap_or_else(|| {
            self.by_category.push((name.to_owned(), Units::default()));
            self.by_category.len() - 1
        })
    }

    /// Puts an entry where its supplier and phase stand.
    fn add_part(&mut self, supplier: Option<usize>, phase: Option<usize>, entry: &Units) {
        self.by_supplier.put(supplier, entry);
        self.by_phase.put(phase, entry);
    }

    /// Puts the sum of such entries where the room and category of all of them stand, and into the total.
    fn add_all(&mut self, room: Option<usize>, category: usize, sum: &Units) {
        self.by_room.put(room, sum);
        self.by_category[category].1.add(sum);
        self.total.add(sum);
    }

    /// Puts in one selection with its parts, and gives its own columns.
    pub fn selection(
        &mut self,
        entry: &Entry,
        figures: &SelectionFigures,
        own: &[PartFigures],
        returns: &ReturnTable,
    ) -> Columns {
        let mut room = std::mem::take(&mut self.room);
        let mut sum = Units::default();
        room.split(entry.allowance, figures, own, returns, self.digits, |part, row| {
            let f = part.map(|at| &own[at]);
            let at = |position: Option<u32>| position.map(|p| p as usize);
            self.add_part(f.and_then(|f| at(f.supplier)), f.and_then(|f| at(f.phase)), &row);
            sum.add(&row);
        });
        self.room = room;
        self.add_all(entry.room.map(|room| room as usize), entry.category as usize, &sum);
        sum.columns(self.digits)
    }

    /// The sums as amounts, with the reserve.
    pub fn finish(self, project: &Project) -> MoneyFigures {
        let digits = self.digits;
        let total = self.total.columns(digits);
        let contingency =
            total.allowance.percent(project.settings.contingency_pct, project.settings.currency);
        let by_category = self.by_category.into_iter();
        MoneyFigures {
            total,
            by_room: self.by_room.columns(digits),
            by_supplier: self.by_supplier.columns(digits),
            by_phase: self.by_phase.columns(digits),
            by_category: by_category.map(|(name, units)| (name, units.columns(digits))).collect(),
            contingency,
            contingency_left: contingency.less(total.over_under()),
        }
    }
}
