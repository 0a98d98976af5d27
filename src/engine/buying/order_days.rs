//! Which day to place what is not ordered yet, so that orders are large enough to ship free or to be taken at all.
//!
//! Each line can be ordered from the as-of day, or the day the user means to decide on if that is later, until its
//! order-by day, on open days of its supplier. A line that is too late, or decided too late, is to be ordered on the
//! first day it can. On its own each line would be ordered on its last day, together with those that have the same.
//!
//! Orders are made of lines with neighboring last days: each order is placed on the earliest last day in it, which must
//! not be before any of its lines can be ordered. Of all such ways the one is taken that has the fewest orders below the
//! supplier's smallest, then the least freight, then the latest days. Freight of two orders is never less than that
//! of both together, so without decision days this is the least freight there is.

use crate::engine::calendar::Day;
use crate::engine::days::Days;
use crate::engine::orders::freight;
use crate::engine::parts::PartFigures;
use crate::model::money::{from_minor_units, minor_units};
use crate::model::{Currency, Money, Project, Supplier};
use rust_decimal::Decimal;

/// When something is to be done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum When {
    /// Its last day is over.
    Past,
    /// Until the Sunday of the week of the as-of day.
    ThisWeek(Day),
    /// Until the Sunday after it.
    NextWeek(Day),
    /// After that.
    Later,
    /// It has no last day, since no phase needs it yet.
    NoDay,
    /// It is ordered and has not come.
    OnTheWay,
}

impl When {
    /// When something is to be ordered.
    pub fn of(order_by: Option<Day>, as_of: Day) -> When {
        let sunday = as_of.plus(6 - as_of.weekday_index() as i32);
        match order_by {
            None => When::NoDay,
            Some(day) if day < as_of => When::Past,
            Some(day) if day <= sunday => When::ThisWeek(sunday),
            Some(day) if day <= sunday.plus(7) => When::NextWeek(sunday.plus(7)),
            Some(_) => When::Later,
        }
    }
}

/// A line that is not ordered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OpenLine {
    /// Position of its part.
    pub part: usize,
    /// Goods.
    pub goods: Money,
    /// Units bought.
    pub units: Decimal,
    /// The first day it can be ordered.
    pub first: Day,
    /// The last day; `None` where nothing needs it yet. Never before the first.
    pub last: Option<Day>,
}

/// Lines to place together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OrderDay {
    /// The day; `None` where nothing needs any of them yet.
    pub day: Option<Day>,
    /// Positions of their parts, by last day.
    pub parts: Vec<usize>,
    /// Goods.
    pub goods: Money,
    /// Freight.
    pub freight: Money,
    /// Whether the goods reach the supplier's threshold for free freight.
    pub ships_free: bool,
    /// What is missing to the supplier's smallest order.
    pub below_minimum: Option<Money>,
    /// Whether some of them could have been ordered later.
    pub sooner: bool,
}

/// How to place what is not ordered from one supplier.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Suggestion {
    /// Position of the supplier.
    pub supplier: usize,
    /// The orders, by day.
    pub orders: Vec<OrderDay>,
    /// How many orders there would be with each line on its own last day.
    pub apart: usize,
    /// How many of these would be below the smallest order.
    pub apart_below: usize,
    /// What is saved in freight against that.
    pub saves: Money,
}

impl Suggestion {
    /// Whether it is better than ordering each line on its own last day.
    pub fn helps(&self) -> bool {
        let below = self.orders.iter().filter(|o| o.below_minimum.is_some()).count();
        self.saves > Money::ZERO || below < self.apart_below
    }
}

/// Suggestions for all suppliers where placing together helps.
pub fn suggestions(project: &Project, parts: &[PartFigures], days: &Days, as_of: Day) -> Vec<Suggestion> {
    let mut by_supplier: Vec<Vec<OpenLine>> = vec![Vec::new(); project.suppliers.len()];
    for (at, f) in parts.iter().enumerate() {
        let Some(supplier) = f.supplier.map(|s| s as usize).filter(|_| f.live && f.placed.is_none()) else {
            continue;
        };
        let Some(terms) = project.suppliers.get(supplier) else { continue };
        // Without a sum for each order or a threshold, nothing is won by placing together.
        if terms.freight.flat.is_zero() && terms.freight.free_over.is_none() && terms.min_order.is_none() {
            continue;
        }
        let open = days.supplier(Some(supplier)).order;
        let decide = project.selections.get(f.selection as usize).and_then(|s| s.decide_on);
        let decide = decide.map(Day::from).max(f.orderable_from);
        let first = open.roll_forward(decide.map_or(as_of, |day| as_of.max(day)));
        let last = f.order_by.map(|day| day.max(first));
        by_supplier[supplier].push(OpenLine {
            part: at,
            goods: f.amount,
            units: f.quantity_to_buy,
            first,
            last,
        });
    }
    let currency = project.settings.currency;
    let suggest = |(at, lines): (usize, Vec<OpenLine>)| {
        let suggestion = suggest(at, project.suppliers.get(at)?, lines, currency);
        suggestion.helps().then_some(suggestion)
    };
    by_supplier.into_iter().enumerate().filter_map(suggest).collect()
}

/// What a way of placing costs: orders below the smallest, freight in minor units, days that lines are ordered early.
type Cost = (u32, i128, i64);

/// The best way to place the lines of one supplier.
pub fn suggest(
    position: usize,
    supplier: &Supplier,
    mut lines: Vec<OpenLine>,
    currency: Currency,
) -> Suggestion {
    lines.sort_by_key(|l| (l.last.is_none(), l.last, l.first, l.part));
    let digits = currency.minor_digits();
    // Lines with the same days are never parted.
    let classes: Vec<&[OpenLine]> = lines.chunk_by(|a, b| (a.first, a.last) == (b.first, b.last)).collect();
    let price = |run: &Sums| {
        let freight = freight(supplier, from_minor_units(run.goods, digits), run.units, currency);
        let below = supplier.min_order.is_some_and(|min| run.goods < minor_units(min, digits));
        (u32::from(below), minor_units(freight, digits))
    };
    // By number of classes placed: the least cost, and where the last order begins.
    let mut best: Vec<Option<(Cost, usize)>> = vec![None; classes.len() + 1];
    best[0] = Some(((0, 0, 0), 0));
    for begin in 0..classes.len() {
        let Some((before, _)) = best[begin] else { continue };
        let mut run = Sums::default();
        let day = classes[begin][0].last;
        for end in begin..classes.len() {
            let class = classes[end];
            run.add(class, day, digits);
            // What follows is decided later still, or is needed later: no longer order can be placed that day either.
            if day.is_some_and(|day| run.first.is_some_and(|first| first > day)) {
                break;
            }
            let (below, freight) = price(&run);
            let cost = (before.0 + below, before.1 + freight, before.2 + run.early);
            if best[end + 1].is_none_or(|(known, _)| cost < known) {
                best[end + 1] = Some((cost, begin));
            }
        }
    }
    let mut orders = Vec::new();
    let mut end = classes.len();
    while let Some((_, begin)) = best[end].filter(|_| end > 0) {
        let members: Vec<&OpenLine> = classes[begin..end].iter().flat_map(|class| class.iter()).collect();
        let mut run = Sums::default();
        let day = members[0].last;
        classes[begin..end].iter().for_each(|class| run.add(class, day, digits));
        let goods = from_minor_units(run.goods, digits);
        orders.push(OrderDay {
            day,
            parts: members.iter().map(|l| l.part).collect(),
            goods,
            freight: freight(supplier, goods, run.units, currency),
            ships_free: supplier.freight.free_over.is_some_and(|threshold| goods >= threshold),
            below_minimum: supplier.min_order.map(|min| min.less(goods)).filter(|short| *short > Money::ZERO),
            sooner: members.iter().any(|l| l.last != day),
        });
        end = begin;
    }
    orders.reverse();
    let mut apart = Apart::default();
    for same_day in lines.chunk_by(|a, b| a.last == b.last) {
        let mut run = Sums::default();
        run.add(same_day, same_day[0].last, digits);
        let (below, freight) = price(&run);
        apart = Apart {
            orders: apart.orders + 1,
            below: apart.below + below as usize,
            freight: apart.freight + freight,
        };
    }
    let together: i128 = orders.iter().map(|o| minor_units(o.freight, digits)).sum();
    Suggestion {
        supplier: position,
        orders,
        apart: apart.orders,
        apart_below: apart.below,
        saves: from_minor_units(apart.freight - together, digits),
    }
}

/// Every line on its own last day.
#[derive(Default)]
struct Apart {
    orders: usize,
    below: usize,
    freight: i128,
}

/// Sums of the lines of one order.
#[derive(Default)]
struct Sums {
    goods: i128,
    units: Decimal,
    /// The latest of the first days.
    first: Option<Day>,
    /// Days that lines are ordered before their last.
    early: i64,
}

impl Sums {
    fn add(&mut self, lines: &[OpenLine], day: Option<Day>, digits: u32) {
        for line in lines {
            self.goods += minor_units(line.goods, digits);
            self.units = self.units.saturating_add(line.units);
            self.first = self.first.max(Some(line.first));
            // What nothing needs yet is taken to be wanted a year from its first day.
            let last = line.last.unwrap_or_else(|| line.first.plus(365));
            self.early += day.map_or(0, |day| i64::from(last.since(day).max(0)));
        }
    }
}
