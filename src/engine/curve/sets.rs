//! Sets of changes, which of two is better, and the best by finish.

use super::scene::{Pick, STAY};
use crate::engine::calendar::Day;
use crate::model::Money;
use std::cmp::Ordering;
use std::collections::BTreeMap;

/// Changes, by place among what is open and in its order, with what they cost more than what counts now.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Set {
    pub cost: Money,
    pub made: Vec<(usize, Pick)>,
}

impl Set {
    /// Picks as changes.
    pub fn new(picks: &[(usize, Pick)], cost: Money) -> Set {
        Set { cost, made: picks.iter().copied().filter(|(_, pick)| *pick != STAY).collect() }
    }

    /// A pick for each of so many open selections.
    pub fn picks(&self, open: usize) -> Vec<Pick> {
        let mut picks = vec![STAY; open];
        self.made.iter().for_each(|(n, pick)| picks[*n] = *pick);
        picks
    }
}

/// Which of two sets is better.
pub type Better = fn(&Set, &Set) -> Ordering;

/// The cheaper one, then the one with fewer changes, then the one whose changes come first in the document.
pub fn cheaper(a: &Set, b: &Set) -> Ordering {
    (a.cost, a.made.len(), &a.made).cmp(&(b.cost, b.made.len(), &b.made))
}

/// The one with fewer changes, then the cheaper one, then the one whose changes come first in the document.
pub fn fewer(a: &Set, b: &Set) -> Ordering {
    (a.made.len(), a.cost, &a.made).cmp(&(b.made.len(), b.cost, &b.made))
}

/// By finish, the best set that reaches it.
#[derive(Debug)]
pub struct Reached {
    better: Better,
    best: BTreeMap<Day, Set>,
}

/// A set that may be taken for one of several slots, with the day it finishes.
#[derive(Debug, Clone, Copy)]
pub struct Item<'a> {
    pub finish: Day,
    pub slot: usize,
    pub set: &'a Set,
}

impl Reached {
    pub fn new(better: Better) -> Reached {
        Reached { better, best: BTreeMap::new() }
    }

    /// Whether a set is worth keeping beside what reaches the same day or a sooner one.
    fn is_better(&self, finish: Day, set: &Set) -> bool {
        let known = self.best.range(..=finish).next_back();
        known.is_none_or(|(_, known)| (self.better)(set, known) == Ordering::Less)
    }

    pub fn put(&mut self, finish: Day, set: &Set) {
        if self.is_better(finish, set) {
            self.best.insert(finish, set.clone());
        }
    }

    /// What was put, from the soonest on.
    pub fn items(&self, slot: usize) -> impl Iterator<Item = Item<'_>> {
        self.best.iter().map(move |(finish, set)| Item { finish: *finish, slot, set })
    }

    /// From the soonest on, each better than all before it by `rank`.
    pub fn front<R: Ord>(self, rank: impl Fn(&Set) -> R) -> Vec<(Day, Set)> {
        let mut kept: Vec<(Day, Set)> = Vec::new();
        for (day, set) in self.best {
            if kept.last().is_none_or(|(_, last)| rank(&set) < rank(last)) {
                kept.push((day, set));
            }
        }
        kept
    }

    /// Puts what one item for each slot comes to beside `start`, which itself finishes on `base`. All together finish with
    /// the latest of them, so the finishes are gone through from the soonest on, and each slot takes its best that is in
    /// time. What is better in each slot is better in all, as no two slots change the same selection.
    pub fn sweep(&mut self, start: &Set, base: Day, slots: usize, items: &mut [Item<'_>]) {
        let mut taken: Vec<Option<&Set>> = vec![None; slots];
        let mut open = slots;
        if open == 0 {
            self.put(base, start);
        }
        items.iter_mut().for_each(|item| item.finish = item.finish.max(base));
        items.sort_by_key(|item| item.finish);
        for same in items.chunk_by(|a, b| a.finish == b.finish) {
            let mut moved = false;
            for item in same {
                let known = &mut taken[item.slot];
                open -= usize::from(known.is_none());
                if known.is_none_or(|known| (self.better)(item.set, known) == Ordering::Less) {
                    *known = Some(item.set);
                    moved = true;
                }
            }
            if open > 0 || !moved {
                continue;
            }
            let mut set = start.clone();
            for own in taken.iter().flatten() {
                set.cost = set.cost.plus(own.cost);
                set.made.extend(&own.made);
            }
            set.made.sort_unstable();
            self.put(same[0].finish, &set);
        }
    }
}
