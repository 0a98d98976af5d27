//! Parts that can be ordered only when a phase is finished: measured on finished walls, templated on set cabinets.
//!
//! The first order day is the supplier's next open day after the last day of that phase and the days for measuring and
//! drawings; the part comes by its lead time from there. So it ties the phase that needs it to the one before its order,
//! and the forecast takes it as it takes a link. The plan knows no deliveries, and not this either.

use crate::engine::calendar::{Calendar, Day};
use crate::engine::days::Days;
use crate::engine::lead::Lead;
use crate::engine::network::{Early, Network};
use crate::engine::plan::Plan;
use crate::model::Project;

/// A part that is not ordered, and can be only when a phase is finished.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tie {
    /// Position of the part.
    pub part: usize,
    /// Position of the phase that is finished first.
    pub after: usize,
    /// Position of the phase that needs it.
    pub to: Option<usize>,
    /// Whether the part counts.
    pub live: bool,
    /// Calendar days for measuring and drawings.
    pub days: i32,
    /// The first day it would be ordered without this: the as-of day, or the one on which the choice will be made.
    pub earliest: Day,
    /// The lead time it is counted with; `None` where nobody has said one and none is typical.
    pub lead: Option<Lead>,
    /// Position of its supplier.
    pub supplier: Option<usize>,
    /// Whether the tie would close a circle of waiting: the part has no days then, and holds nothing.
    pub circle: bool,
}

/// When a tied part can be ordered and comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Coming {
    /// Its first order day, as the phase before it allows.
    pub orderable_from: Day,
    /// The day it is counted on for.
    pub arrival: Option<Day>,
}

/// All such parts, and an order of the phases in which those that count point forward.
#[derive(Debug, Clone, Default)]
pub struct Ties {
    /// By position of the part.
    list: Vec<Tie>,
    /// Positions in the list of those that count and tie two phases, by the second phase.
    binding: Vec<usize>,
    order: Vec<usize>,
}

impl Ties {
    /// Ties from parts as they were read, by position of the part. Those that close a circle are marked, in the order of
    /// the document; a tie from a phase without dates binds nothing.
    pub fn new(mut list: Vec<Tie>, network: &Network) -> Ties {
        if list.is_empty() {
            return Ties::default();
        }
        let mut dated = vec![false; network.len()];
        network.order().iter().for_each(|i| dated[*i] = true);
        let pair = |tie: &Tie| {
            tie.to.filter(|to| tie.live && dated[tie.after] && dated[*to]).map(|to| (tie.after, to))
        };
        let mut pairs: Vec<(usize, usize)> = list.iter().filter_map(pair).collect();
        pairs.sort_unstable();
        pairs.dedup();
        let mut order = network.order_with(&pairs);
        if order.len() < network.order().len() {
            // Rare: somebody wrote a circle into the file. The ties are taken one by one.
            let mut good: Vec<(usize, usize)> = Vec::new();
            order = network.order().to_vec();
            for tie in &mut list {
                let Some(own) = pair(tie).filter(|own| !good.contains(own)) else { continue };
                good.push(own);
                let with = network.order_with(&good);
                if with.len() < network.order().len() {
                    good.pop();
                    tie.circle = true;
                } else {
                    order = with;
                }
            }
        }
        let mut binding: Vec<usize> =
            (0..list.len()).filter(|i| pair(&list[*i]).is_some() && !list[*i].circle).collect();
        binding.sort_by_key(|i| list[*i].to);
        Ties { list, binding, order }
    }

    /// All of them, by position of the part.
    pub fn iter(&self) -> impl Iterator<Item = &Tie> {
        self.list.iter()
    }

    /// That of the part at a position.
    pub fn of(&self, part: usize) -> Option<&Tie> {
        let at = self.list.binary_search_by_key(&part, |tie| tie.part).ok()?;
        self.list.get(at)
    }

    /// An order of the phases in which every link and every tie points forward.
    pub fn order<'a>(&'a self, network: &'a Network) -> &'a [usize] {
        if self.list.is_empty() { network.order() } else { &self.order }
    }

    /// Those that count and tie a phase to another before it.
    pub fn into(&self, phase: usize) -> impl Iterator<Item = &Tie> {
        let from = self.binding.partition_point(|i| self.list[*i].to < Some(phase));
        let own = self.binding.get(from..).unwrap_or(&[]);
        own.iter().map(|i| &self.list[*i]).take_while(move |tie| tie.to == Some(phase))
    }

    /// Calendar days that the deliveries behind each other may take, at most: room for the tables of days.
    pub fn span(&self) -> i32 {
        let mut longest: Vec<(usize, i32)> = Vec::new();
        for tie in self.list.iter().filter(|tie| tie.live) {
            let days = tie.lead.map_or(0, Lead::at_most).saturating_add(tie.days).min(LONGEST);
            match longest.iter_mut().find(|(after, _)| *after == tie.after) {
                Some((_, known)) => *known = (*known).max(days),
                None => longest.push((tie.after, days)),
            }
        }
        longest.iter().fold(0_i32, |sum, (_, days)| sum.saturating_add(*days)).min(LONGEST)
    }
}

/// Beyond this, days are looked up by walking on from the end of a table.
const LONGEST: i32 = 2_000;

/// What a tie is looked up with.
#[derive(Debug, Clone, Copy)]
pub struct Desk<'a> {
    /// The document.
    pub project: &'a Project,
    /// The plan, which knows how far phases are.
    pub plan: &'a Plan,
    /// The calendars.
    pub days: &'a Days,
}

impl Desk<'_> {
    /// When a tied part can be ordered and comes, with the phases as they are in a pass. `None` where the phase before it
    /// has no dates, or it is in a circle.
    pub fn coming(&self, tie: &Tie, early: &[Option<Early>]) -> Option<Coming> {
        let last = self.last(tie.after, early).filter(|_| !tie.circle)?;
        Some(self.coming_after(tie, last))
    }

    /// The last day of a phase as it is in a pass; `None` where it has no dates.
    pub fn last(&self, phase: usize, early: &[Option<Early>]) -> Option<Day> {
        let own = early.get(phase).copied().flatten()?;
        let at = self.project.phases.get(phase)?;
        Some(self.plan.shown(self.work(), phase, at, own.start, own.finish).1)
    }

    /// When a tied part can be ordered and comes once the phase before it had its last day.
    pub fn coming_after(&self, tie: &Tie, last: Day) -> Coming {
        let desk = self.days.supplier(tie.supplier);
        let orderable_from = desk.order.roll_forward(last.plus(tie.days.saturating_add(1)));
        let arrival = tie.lead.map(|lead| desk.arrival(orderable_from.max(tie.earliest), lead));
        Coming { orderable_from, arrival }
    }

    /// The working days of the house.
    pub fn work(&self) -> Calendar<'_> {
        self.days.work()
    }
}
