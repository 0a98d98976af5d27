//! What open choices wait for: the phases after which their parts are ordered, and those that build in what gates want.
//!
//! Where a pick waits for a phase, its day hangs on what else is picked. So the last days of these phases are taken as given, each of those they may have, and then every pick stands by itself: it comes when these days let it,
//! and it lets these phases finish by then or does not. Every set of picks is among what is so taken, under the days it
//! leads to itself; and what is taken under other days comes no later than they say.

use super::reach::Reach;
use super::scene::{Pick, Scene};
use crate::engine::calendar::Day;
use std::collections::{BTreeMap, BTreeSet};

/// Up to so many passes of the forecast are made.
const PASSES: usize = 20_000;

/// By pick of each open selection, what it comes to under each of the days these phases may have.
#[derive(Debug)]
pub struct Waits {
    /// By phase, the last days that make a difference, rising.
    days: Vec<Vec<Day>>,
    base: Reach,
    picks: Vec<Vec<Table>>,
}

/// What a pick comes to, by the days of the phases that it waits for.
#[derive(Debug)]
struct Table {
    /// Places of these phases.
    on: Vec<usize>,
    /// By the places of their days, the last phase fastest.
    rows: Vec<Reach>,
}

/// A place among the days of each phase.
pub type When = Vec<usize>;

impl Waits {
    /// Nothing where phases wait for each other in a circle, or too many days were to be looked at.
    pub fn new(scene: &mut Scene<'_>) -> Option<Waits> {
        let mut finder = Finder::new(scene)?;
        finder.close(scene)?;
        Some(finder.table(scene))
    }

    /// How many combinations of days there are.
    pub fn combinations(&self) -> Option<usize> {
        self.days.iter().try_fold(1_usize, |all, days| all.checked_mul(days.len()))
    }

    /// The first days of all phases.
    pub fn first(&self) -> When {
        vec![0; self.days.len()]
    }

    /// The next combination of days; whether there is one.
    pub fn advance(&self, when: &mut When) -> bool {
        for (place, days) in when.iter_mut().zip(&self.days).rev() {
            *place += 1;
            if *place < days.len() {
                return true;
            }
            *place = 0;
        }
        false
    }

    /// Whether a combination of days is to be looked at: something can be picked for each selection, and each day is one
    /// that what can be picked leads to. Otherwise sooner days allow the same.
    pub fn is_tight(&self, when: &When) -> bool {
        let base = self.base.ends.iter().zip(self.before(when)).map(|(end, before)| *end > before);
        let mut led: Vec<bool> = base.collect();
        let each = self.picks.iter().all(|tables| {
            let mut any = false;
            for reach in tables.iter().filter_map(|table| self.row(table, when)) {
                any = true;
                for (led, (end, before)) in led.iter_mut().zip(reach.ends.iter().zip(self.before(when))) {
                    *led |= *end > before;
                }
            }
            any
        });
        each && led.iter().all(|led| *led)
    }

    /// By phase, the day before the one it is taken to end on.
    fn before<'a>(&'a self, when: &'a [usize]) -> impl Iterator<Item = Option<Day>> + 'a {
        self.days.iter().zip(when).map(|(days, at)| at.checked_sub(1).and_then(|at| days.get(at).copied()))
    }

    /// The finish without anything picked; `None` where the phases do not keep to these days even so.
    pub fn base(&self, when: &When) -> Option<Day> {
        self.in_time(&self.base, when).then_some(self.base.finish)
    }

    /// The finish of a pick; `None` where it does not let the phases keep to these days.
    pub fn finish(&self, n: usize, pick: Pick, when: &When) -> Option<Day> {
        self.row(&self.picks[n][pick], when).map(|reach| reach.finish)
    }

    fn row<'a>(&self, table: &'a Table, when: &When) -> Option<&'a Reach> {
        let row = table.on.iter().fold(0, |row, own| row * self.days[*own].len() + when[*own]);
        table.rows.get(row).filter(|reach| self.in_time(reach, when))
    }

    fn in_time(&self, reach: &Reach, when: &When) -> bool {
        let mut ends = reach.ends.iter().zip(self.days.iter().zip(when));
        ends.all(|(end, (days, at))| *end <= Some(days[*at]))
    }
}

/// Finds the days that make a difference.
struct Finder {
    /// Positions of the phases.
    phases: Vec<usize>,
    base: Reach,
    /// Days before which no phase is finished, whatever is picked.
    low: Vec<Day>,
    days: Vec<BTreeSet<Day>>,
    picks: Vec<Vec<Known>>,
    passes: usize,
}

/// What is known of a pick: the places of the phases it waits for, and what it comes to by their days.
struct Known {
    on: Vec<usize>,
    by: BTreeMap<Vec<Day>, Reach>,
}

impl Finder {
    fn new(scene: &mut Scene<'_>) -> Option<Finder> {
        if scene.goes_round() {
            return None;
        }
        let gates = !scene.project.gates.is_empty();
        let mut after: Vec<Vec<Vec<usize>>> = Vec::new();
        for n in 0..scene.open.len() {
            let mut own = Vec::new();
            for pick in 0..scene.open[n].variants.len() {
                // What is not decided holds something by gates only.
                let holds = gates || scene.option(n, pick).is_some();
                own.push(if holds { scene.waits_for(n, pick) } else { Vec::new() });
            }
            after.push(own);
        }
        let mut phases: Vec<usize> = after.iter().flatten().flatten().copied().collect();
        phases.sort_unstable();
        phases.dedup();
        // One without dates lets nothing be ordered, and so holds nothing.
        let ends = scene.reach(&[], &phases).ends;
        phases = phases.iter().zip(ends).filter(|(_, end)| end.is_some()).map(|(phase, _)| *phase).collect();
        let base = scene.reach(&[], &phases);
        let place = |phase: &usize| phases.binary_search(phase).ok();
        let known =
            |after: &Vec<usize>| Known { on: after.iter().filter_map(place).collect(), by: BTreeMap::new() };
        let picks = after.iter().map(|list| list.iter().map(known).collect()).collect();
        let low: Vec<Day> = base.ends.iter().flatten().copied().collect();
        Some(Finder { days: vec![BTreeSet::new(); phases.len()], phases, base, low, picks, passes: 0 })
    }

    /// Looks at picks under the days that others lead to, until no other days come of it.
    fn close(&mut self, scene: &mut Scene<'_>) -> Option<()> {
        for n in 0..self.picks.len() {
            for pick in 0..self.picks[n].len() {
                if self.picks[n][pick].on.is_empty() {
                    let reach = scene.reach(&[(n, pick)], &self.phases);
                    self.picks[n][pick].by.insert(Vec::new(), reach);
                }
            }
            // One of them is picked in any case.
            let own = &self.picks[n];
            if own.iter().all(|known| known.on.is_empty()) {
                for (at, low) in self.low.iter_mut().enumerate() {
                    let least = own
                        .iter()
                        .flat_map(|known| known.by.values())
                        .filter_map(|reach| reach.ends[at])
                        .min();
                    *low = (*low).max(least.unwrap_or(*low));
                }
            }
        }
        self.days.iter_mut().zip(&self.low).for_each(|(days, low)| days.extend([*low]));
        let known: Vec<Reach> =
            self.picks.iter().flatten().flat_map(|known| known.by.values().cloned()).collect();
        known.iter().for_each(|reach| self.note(reach));
        loop {
            let before = self.passes;
            for n in 0..self.picks.len() {
                for pick in 0..self.picks[n].len() {
                    self.look(scene, n, pick)?;
                }
            }
            if self.passes == before {
                return Some(());
            }
        }
    }

    /// Notes the days on which a pick lets the phases finish.
    fn note(&mut self, reach: &Reach) {
        for ((days, low), end) in self.days.iter_mut().zip(&self.low).zip(&reach.ends) {
            days.extend(end.filter(|end| end > low));
        }
    }

    fn look(&mut self, scene: &mut Scene<'_>, n: usize, pick: Pick) -> Option<()> {
        if self.picks[n][pick].on.is_empty() {
            return Some(());
        }
        let own = &self.picks[n][pick].on;
        let all = own.iter().try_fold(1_usize, |all, at| all.checked_mul(self.days[*at].len()))?;
        if all > PASSES {
            return None;
        }
        for days in combinations(own, &self.days) {
            let known = &self.picks[n][pick];
            if known.by.contains_key(&days) {
                continue;
            }
            self.passes += 1;
            if self.passes > PASSES {
                return None;
            }
            let after: Vec<(usize, Day)> =
                known.on.iter().map(|at| self.phases[*at]).zip(days.iter().copied()).collect();
            let reach = scene.reach_after(n, pick, &after, &self.phases);
            self.note(&reach);
            self.picks[n][pick].by.insert(days, reach);
        }
        Some(())
    }

    /// Leaves out days that come to the same as the next later ones, which allow more.
    fn table(self, scene: &Scene<'_>) -> Waits {
        // No set finishes before the soonest pick of each selection.
        let soonest = |picks: &Vec<Known>| {
            picks.iter().flat_map(|known| known.by.values()).map(|reach| reach.finish).min()
        };
        let lowest =
            self.picks.iter().filter_map(soonest).max().max(Some(self.base.finish)).unwrap_or(scene.now);
        let clipped = |reach: &Reach| -> (Day, Vec<Option<Day>>) {
            let ends = reach.ends.iter().zip(&self.low).map(|(end, low)| end.map(|end| end.max(*low)));
            (reach.finish.max(lowest), ends.collect())
        };
        let same = |at: usize, day: Day, next: Day| {
            self.picks.iter().flatten().all(|known| {
                let Some(own) = known.on.iter().position(|on| *on == at) else { return true };
                known.by.iter().filter(|(days, _)| days[own] == day).all(|(days, reach)| {
                    let mut later = days.clone();
                    later[own] = next;
                    known.by.get(&later).is_some_and(|later| clipped(later) == clipped(reach))
                })
            })
        };
        let kept = |(at, days): (usize, &BTreeSet<Day>)| -> BTreeSet<Day> {
            let next = days.iter().skip(1).map(|day| Some(*day)).chain([None]);
            let apart =
                days.iter().zip(next).filter(|(day, next)| next.is_none_or(|next| !same(at, **day, next)));
            apart.map(|(day, _)| *day).collect()
        };
        let days: Vec<BTreeSet<Day>> = self.days.iter().enumerate().map(kept).collect();
        let table = |known: &Known| Table {
            rows: combinations(&known.on, &days).filter_map(|own| known.by.get(&own).cloned()).collect(),
            on: known.on.clone(),
        };
        let picks = self.picks.iter().map(|list| list.iter().map(table).collect()).collect();
        let days = days.into_iter().map(|days| days.into_iter().collect()).collect();
        Waits { days, base: self.base, picks }
    }
}

/// Every combination of the days of some phases, the last phase fastest.
fn combinations(on: &[usize], days: &[BTreeSet<Day>]) -> impl Iterator<Item = Vec<Day>> + use<> {
    let mut all = vec![Vec::new()];
    for own in on {
        all = all
            .into_iter()
            .flat_map(|days_: Vec<Day>| {
                days[*own].iter().map(move |day| days_.iter().copied().chain([*day]).collect::<Vec<Day>>())
            })
            .collect();
    }
    all.into_iter()
}
