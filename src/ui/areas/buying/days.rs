//! Buying by the calendar: what must be ordered this week, next week and later, and what is on its way.

use super::rows::{BuyingRows, Row, Shown, unpriced};
use crate::engine::order_days::When;
use crate::engine::{Day, Figures};
use crate::model::{Money, Project};

impl BuyingRows {
    /// Makes the list by the calendar: what is to be ordered by its last day, then what is on its way by the day it is
    /// expected. What has come is left out.
    pub fn by_day(project: &Project, figures: &Figures, shown: &Shown) -> BuyingRows {
        let mut found: Vec<(When, Day, Option<u32>, usize)> = Vec::new();
        for at in figures.orders.iter().flat_map(|o| &o.parts).copied() {
            let Some(f) = figures.parts.get(at) else { continue };
            let room = project.selections.get(f.selection as usize).map(|s| s.room);
            if f.on_site || shown.room.is_some_and(|shown| room != Some(shown)) {
                continue;
            }
            let (when, day) = match (f.placed, f.due_to_order()) {
                (Some(_), _) => (When::OnTheWay, f.expected.unwrap_or(figures.as_of)),
                (None, by) => {
                    let by = by.or(f.ask_by);
                    (When::of(by, figures.as_of), by.or(f.expected).unwrap_or(figures.as_of))
                }
            };
            found.push((when, day, f.supplier, at));
        }
        found.sort_unstable();
        let mut list = BuyingRows::default();
        for group in found.chunk_by(|a, b| a.0 == b.0) {
            let total: Money = group.iter().map(|(.., at)| figures.comes_to(*at)).sum();
            list.rows.push(Row::When {
                when: group[0].0,
                parts: group.len() as i32,
                total,
                unpriced: unpriced(figures, group.iter().map(|(.., at)| at)),
            });
            list.rows.extend(group.iter().map(|(.., at)| Row::Part(*at)));
            list.rows.push(Row::Gap);
        }
        list.counted()
    }
}
