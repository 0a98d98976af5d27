//! What Buying shows, worked out once for a document, a day and what is open: nothing walks all parts while a frame is
//! drawn.

use crate::engine::order_days::{Suggestion, When};
use crate::engine::payments::{self, Account};
use crate::engine::{Day, Figures};
use crate::model::{Delivery, Money, OrderId, PartId, Project, RoomId};
use std::collections::{BTreeSet, HashMap};

/// A line of the list. Numbers are positions: of suppliers, deliveries and payments in the document, of parts and
/// orders in the figures, of accounts in [`BuyingRows`].
#[derive(Debug, Clone, PartialEq)]
pub enum Row {
    /// A supplier, or what has none.
    Supplier {
        /// Which.
        position: Option<usize>,
        /// Parts that stand below it.
        parts: i32,
        /// Their total,
        total: Money,
        /// and how many of them have no price.
        unpriced: u32,
        /// Goods missing to free freight.
        to_free: Option<Money>,
    },
    /// When the parts below it are to be ordered, or that they are on their way.
    When {
        /// When.
        when: When,
        /// Parts that stand below it.
        parts: i32,
        /// Their total,
        total: Money,
        /// and how many of them have no price.
        unpriced: u32,
    },
    /// Parts to place together: the suggestion, and which of its orders.
    Together(usize, usize),
    /// An order with its account.
    Order(usize, usize),
    /// An order of the user's own without lines that count.
    NoLines(OrderId),
    /// A part.
    Part(usize),
    /// What came of the part above.
    Delivery(usize),
    /// What was paid for the order above.
    Payment(usize),
    /// What falls due for it: the account, and which of its dues.
    Due(usize, usize),
    /// Space before the next supplier.
    Gap,
}

/// What is shown of the list.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Shown {
    /// The room whose parts are shown; all of them when none.
    pub room: Option<RoomId>,
    /// By the last day to order, and not by supplier.
    pub by_day: bool,
    /// Orders of which payments are shown.
    pub open: BTreeSet<Opened>,
}

/// What an order that is open is known by: its number, or its supplier and day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Opened {
    /// One that the user grouped.
    Own(OrderId),
    /// Parts taken together.
    Together(Option<usize>, Option<Day>),
}

impl Opened {
    /// What an order is known by.
    pub fn of(order: &crate::engine::orders::Order) -> Opened {
        order.own.map_or(Opened::Together(order.supplier, order.placed), Opened::Own)
    }
}

/// The list.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct BuyingRows {
    /// Its lines.
    pub rows: Vec<Row>,
    /// What placed orders come to.
    pub accounts: Vec<Account>,
    /// How many parts stand before each row, and in all.
    parts_before: Vec<u32>,
}

/// Where something stands on its way, and its day: first what is to be ordered, last what has come.
type Stage = (u8, (u8, Option<Day>));

impl BuyingRows {
    /// Makes the list: suppliers by their nearest order, then what is to be ordered before orders under way and those
    /// that have come.
    pub fn new(
        project: &Project,
        figures: &Figures,
        suggestions: &[Suggestion],
        shown: &Shown,
    ) -> BuyingRows {
        if shown.by_day {
            return BuyingRows::by_day(project, figures, shown);
        }
        let mut list = BuyingRows::default();
        let suppliers = project.suppliers.len();
        let mut groups: Vec<Vec<(Stage, usize, Vec<usize>)>> = vec![Vec::new(); suppliers + 1];
        for (at, order) in figures.orders.iter().enumerate() {
            let here = |part: &usize| {
                let selection = project.selections.get(figures.parts[*part].selection as usize);
                shown.room.is_none_or(|room| selection.is_some_and(|s| s.room == room))
            };
            let mut parts: Vec<usize> = order.parts.iter().copied().filter(here).collect();
            parts.sort_by_key(|part| (stage(figures, *part), *part));
            // An order of which all was cancelled is still to be settled.
            let cancelled = order.cancelled.iter().map(|(at, _)| at).find(|at| here(at));
            if let Some(first) = parts.first().or(cancelled) {
                let stage = stage(figures, *first);
                groups[order.supplier.unwrap_or(suppliers).min(suppliers)].push((stage, at, parts));
            }
        }
        for group in &mut groups {
            // What is to be ordered and belongs to no order stands first, without a heading.
            group.sort_by_key(|(stage, at, _)| {
                let order = &figures.orders[*at];
                (order.placed.is_some(), order.own.is_some() && order.placed.is_none(), *stage, *at)
            });
        }
        let first = |g: usize| groups[g].iter().map(|(stage, _, _)| *stage).min().unwrap_or((4, (1, None)));
        // A supplier with nothing to buy stands at the end, so that it can be edited and removed.
        let kept = |g: &usize| !groups[*g].is_empty() || (*g < suppliers && shown.room.is_none());
        let mut order: Vec<usize> = (0..=suppliers).filter(kept).collect();
        order.sort_by_key(|g| first(*g));
        let came = deliveries_by_part(project);
        for group in order {
            let position = (group < suppliers).then_some(group);
            list.supplier(project, figures, suggestions, shown, position, &groups[group], &came);
            list.rows.push(Row::Gap);
        }
        list.counted()
    }

    /// How many of the rows before a row are parts.
    pub fn parts_before(&self, row: usize) -> u32 {
        self.parts_before.get(row).copied().unwrap_or_default()
    }

    /// The last row of those, from the first on, of which something is true; the first where it is of none.
    pub fn last_where(&self, test: impl Fn(usize) -> bool) -> usize {
        let (mut low, mut high) = (0, self.rows.len());
        while high - low > 1 {
            let middle = low + (high - low) / 2;
            if test(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    }

    /// The same with its parts counted, from which follows where each row stands.
    pub(super) fn counted(mut self) -> BuyingRows {
        let mut parts = 0;
        self.parts_before.clear();
        self.parts_before.push(parts);
        for row in &self.rows {
            parts += u32::from(matches!(row, Row::Part(_)));
            self.parts_before.push(parts);
        }
        self
    }

    #[expect(clippy::too_many_arguments, reason = "it is one step of making the list")]
    fn supplier(
        &mut self,
        project: &Project,
        figures: &Figures,
        suggestions: &[Suggestion],
        shown: &Shown,
        position: Option<usize>,
        orders: &[(Stage, usize, Vec<usize>)],
        came: &HashMap<PartId, Vec<usize>>,
    ) {
        let all = || orders.iter().flat_map(|(_, _, parts)| parts);
        let to_free = figures
            .orders
            .iter()
            .find(|o| o.supplier == position && o.placed.is_none() && o.own.is_none())
            .and_then(|o| o.to_free_freight)
            .filter(|m| !m.is_zero() && shown.room.is_none());
        self.rows.push(Row::Supplier {
            position,
            parts: all().count() as i32,
            total: orders
                .iter()
                .flat_map(|(_, at, parts)| {
                    let gone = figures.orders[*at].cancelled.iter().map(|(at, _)| at);
                    parts.iter().chain(gone.filter(|_| shown.room.is_none()))
                })
                .map(|at| figures.comes_to(*at))
                .sum(),
            unpriced: unpriced(figures, all()),
            to_free,
        });
        if shown.room.is_none() {
            let own = suggestions.iter().enumerate().filter(|(_, s)| Some(s.supplier) == position);
            for (at, suggestion) in own {
                let merged = suggestion.orders.iter().enumerate().filter(|(_, o)| o.sooner);
                self.rows.extend(merged.map(|(n, _)| Row::Together(at, n)));
            }
        }
        for (_, at, parts) in orders {
            let order = &figures.orders[*at];
            if order.own.is_some() || order.placed.is_some() {
                self.accounts.push(figures.account(project, order));
                let account = self.accounts.len() - 1;
                self.rows.push(Row::Order(*at, account));
                if shown.open.contains(&Opened::of(order)) {
                    let paid = payments::payments_of(project, order, &figures.parts);
                    let at = |p: &crate::model::Payment| project.payments.iter().position(|k| k.id == p.id);
                    self.rows.extend(paid.into_iter().filter_map(at).map(Row::Payment));
                    let dues = self.accounts[account].dues.len();
                    self.rows.extend((0..dues).map(|n| Row::Due(account, n)));
                }
            }
            for part in parts {
                self.rows.push(Row::Part(*part));
                let own = came.get(&figures.parts[*part].id);
                self.rows.extend(own.into_iter().flatten().map(|d| Row::Delivery(*d)));
            }
        }
        let id = position.and_then(|p| project.suppliers.get(p)).map(|s| s.id);
        let empty = |o: &&crate::model::Order| {
            Some(o.supplier) == id
                && shown.room.is_none()
                && !figures.orders.iter().any(|known| known.own == Some(o.id))
        };
        self.rows.extend(project.orders.iter().filter(empty).map(|o| Row::NoLines(o.id)));
    }
}

/// How many of these parts have no price.
pub(super) fn unpriced<'a>(figures: &Figures, parts: impl Iterator<Item = &'a usize>) -> u32 {
    parts.filter(|at| figures.parts.get(**at).is_some_and(|f| !f.priced)).count() as u32
}

fn stage(figures: &Figures, part: usize) -> Stage {
    let f = &figures.parts[part];
    let stage = if f.on_site { 2 } else { u8::from(f.placed.is_some()) };
    let day = if stage == 0 { f.due_to_order().or(f.ask_by) } else { f.expected };
    (stage, day.map_or((1, None), |d| (0, Some(d))))
}

/// Positions of the deliveries of each part, by day.
fn deliveries_by_part(project: &Project) -> HashMap<PartId, Vec<usize>> {
    let mut by_part: HashMap<PartId, Vec<usize>> = HashMap::new();
    for (at, delivery) in project.deliveries.iter().enumerate() {
        by_part.entry(delivery.part).or_default().push(at);
    }
    let day = |at: &usize| project.deliveries.get(*at).map(|d: &Delivery| (d.on, d.id));
    by_part.values_mut().for_each(|list| list.sort_by_key(day));
    by_part
}
