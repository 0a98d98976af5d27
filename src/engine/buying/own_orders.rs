//! Orders as the user grouped them: which part is a line of which.
//!
//! A part that is a line of none stands where it always did, with the others of its supplier ordered on the same day.

use crate::engine::calendar::Day;
use crate::engine::index::Index;
use crate::engine::parts::PartFigures;
use crate::model::{Money, Order, OrderId, Project};

/// Lines by position of their parts.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct OrderTable {
    rows: Vec<(u32, OwnOrder)>,
}

/// The order a part is a line of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OwnOrder {
    /// Which.
    pub id: OrderId,
    /// The day it was placed, as known on the as-of day.
    pub placed: Option<Day>,
    /// Freight as it was confirmed.
    pub freight: Option<Money>,
}

impl OwnOrder {
    /// An order as it was known on a day.
    pub fn of(order: &Order, as_of: Day) -> OwnOrder {
        let placed = order.placed_on.map(Day::from).filter(|day| *day <= as_of);
        OwnOrder { id: order.id, placed, freight: order.freight }
    }
}

impl OrderTable {
    /// All lines of a document, on a day.
    pub fn new(project: &Project, index: &Index, parts: &[PartFigures], as_of: Day) -> OrderTable {
        let mut rows = Vec::new();
        for order in project.orders.iter() {
            let own = OwnOrder::of(order, as_of);
            let at = |id: &crate::model::PartId| {
                index.of(id.0).filter(|at| parts.get(*at).is_some_and(|f| f.id == *id))
            };
            rows.extend(order.parts.iter().filter_map(at).map(|at| (at as u32, own)));
        }
        rows.sort_unstable_by_key(|(part, own)| (*part, own.id));
        rows.dedup_by_key(|(part, _)| *part);
        OrderTable { rows }
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// All lines: the position of each and its order.
    pub fn iter(&self) -> impl Iterator<Item = (usize, OwnOrder)> {
        self.rows.iter().map(|(part, own)| (*part as usize, *own))
    }

    /// The order a part is a line of.
    pub fn of(&self, part: usize) -> Option<OwnOrder> {
        if self.rows.is_empty() {
            return None;
        }
        let at = self.rows.binary_search_by_key(&(part as u32), |(part, _)| *part).ok()?;
        self.rows.get(at).map(|(_, own)| *own)
    }
}
