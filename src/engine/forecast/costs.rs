//! What a part costs the finish now: the working days the forecast would win without it.
//!
//! Read backward from the finish, over what fixes the start of each phase: links, parts, gates, and for a part that is
//! ordered only after a phase, that phase. Only a part that every such way leads through can win a day alone; for those
//! the pass is made again without it. Parts that win nothing alone may win together.

use super::pass::{Facts, Forecast};
use crate::engine::gates::Reason;
use crate::engine::network::Progress;
use crate::engine::parts::PartFigures;
use smallvec::SmallVec;
use std::collections::HashMap;

/// What the finish hangs on.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Tight {
    /// Positions of phases on some way.
    pub phases: Vec<usize>,
    /// Positions of parts on some way, in no order.
    pub parts: Vec<usize>,
    /// Positions of the parts that every way leads through.
    pub alone: Vec<usize>,
}

/// Something on a way: a phase or a part, by position.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Node {
    Phase(usize),
    Part(usize),
}

/// What fixes a node: other nodes, or something that is no delivery and waits for nothing.
#[derive(Debug, Default)]
struct Fixed {
    by: Vec<Node>,
    ends: bool,
}

/// Walks back from the finish over what fixes it.
pub fn tight(facts: &Facts<'_>, forecast: &Forecast) -> Tight {
    let walk = Walk { facts, forecast, but: &[] };
    walk.tight()
}

/// By part that costs anything: the working days the finish would be sooner without it.
pub fn of_parts(facts: &Facts<'_>, forecast: &Forecast, tight: &Tight) -> Vec<(usize, i32)> {
    let days = |part: &usize| {
        let without = forecast.end_without(facts, *part);
        let days = forecast.end().zip(without).map_or(0, |(with, without)| with - without);
        (*part, days)
    };
    tight.alone.iter().filter(|part| facts.parts[**part].may_be_late()).map(days).collect()
}

/// Notes what parts cost.
pub fn write(parts: &mut [PartFigures], costs: Vec<(usize, i32)>) {
    for (part, days) in costs {
        if let Some(figures) = parts.get_mut(part) {
            figures.costs_days = days.max(0);
        }
    }
}

/// Parts that win days only when all of them come sooner.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Together {
    /// The others, by position.
    pub others: Vec<usize>,
    /// Working days the finish would be sooner without all of them.
    pub days: i32,
}

/// More than this many are no advice.
const MOST: usize = 6;
/// Parts tried beside each other in one step.
const TRIED: usize = 8;

/// With which others a part that wins nothing alone wins days; `None` where it costs days alone, or none can be named.
pub fn together(facts: &Facts<'_>, forecast: &Forecast, part: usize) -> Option<Together> {
    let now = forecast.end()?;
    let end = |but: &[usize]| Forecast::without(facts, but).end().unwrap_or(now);
    let mut set = vec![part];
    loop {
        let without = Forecast::without(facts, &set);
        if without.end()? < now {
            break;
        }
        if set.len() == MOST {
            return None;
        }
        let walk = Walk { facts, forecast: &without, but: &set };
        let next: Vec<usize> =
            walk.tight().parts.into_iter().filter(|p| facts.parts[*p].may_be_late()).take(TRIED).collect();
        let with = |next: usize| {
            let mut with = set.clone();
            with.push(next);
            end(&with)
        };
        // The one that wins most; of several that win nothing, the first: another has to go as well.
        let best = next.into_iter().min_by_key(|next| with(*next))?;
        set.push(best);
    }
    // What the others win without one of them, that one does not win.
    let mut at = 0;
    while at < set.len() {
        let fewer: Vec<usize> = set.iter().copied().filter(|p| *p != set[at]).collect();
        if end(&fewer) <= end(&set) {
            set = fewer;
        } else {
            at += 1;
        }
    }
    let others: Vec<usize> = set.iter().copied().filter(|p| *p != part).collect();
    (set.contains(&part) && !others.is_empty()).then(|| Together { days: now - end(&set), others })
}

struct Walk<'a> {
    facts: &'a Facts<'a>,
    forecast: &'a Forecast,
    but: &'a [usize],
}

/// What was found on the ways, by number: what it is, how often something hangs on it, what fixes it.
#[derive(Debug, Default)]
struct Found {
    nodes: Vec<Node>,
    hangs: Vec<u32>,
    by: Vec<SmallVec<[usize; 4]>>,
    ends: Vec<bool>,
    of_phase: Vec<u32>,
    of_part: HashMap<usize, usize>,
}

impl Found {
    fn new(phases: usize) -> Found {
        Found { of_phase: vec![u32::MAX; phases], ..Found::default() }
    }

    /// The number of a node, on which one more hangs.
    fn hang_on(&mut self, node: Node) -> usize {
        let next = self.nodes.len();
        let number = match node {
            Node::Phase(at) => {
                let number = &mut self.of_phase[at];
                if *number == u32::MAX {
                    *number = next as u32;
                }
                *number as usize
            }
            Node::Part(at) => *self.of_part.entry(at).or_insert(next),
        };
        if number == next {
            self.nodes.push(node);
            self.hangs.push(0);
            self.by.push(SmallVec::new());
            self.ends.push(false);
        }
        self.hangs[number] += 1;
        number
    }
}

impl Walk<'_> {
    fn tight(&self) -> Tight {
        let Some(end) = self.forecast.end() else { return Tight::default() };
        let phases = self.forecast.early.len();
        let mut found = Found::new(phases);
        let last = (0..phases).filter(|i| self.forecast.early[*i].is_some_and(|e| e.finish == end));
        let last: Vec<usize> = last.map(|i| found.hang_on(Node::Phase(i))).collect();
        let mut at = 0;
        while at < found.nodes.len() {
            let fixed = self.fixed(found.nodes[at]);
            found.ends[at] = fixed.ends || fixed.by.is_empty();
            found.by[at] = fixed.by.into_iter().map(|node| found.hang_on(node)).collect();
            at += 1;
        }

        // From the finish on, in an order in which everything comes behind what hangs on it. While several ways are open,
        // nothing is on all of them.
        let (mut tight, mut open, mut ended) = (Tight::default(), last.len() as u32, false);
        let mut left = found.hangs.clone();
        let mut ready: Vec<usize> = Vec::new();
        let free = |number: usize, left: &mut Vec<u32>, ready: &mut Vec<usize>| {
            left[number] -= 1;
            if left[number] == 0 {
                ready.push(number);
            }
        };
        last.into_iter().for_each(|number| free(number, &mut left, &mut ready));
        while let Some(number) = ready.pop() {
            let own = found.hangs[number];
            match found.nodes[number] {
                Node::Phase(at) => tight.phases.push(at),
                Node::Part(at) => {
                    tight.parts.push(at);
                    if own == open && !ended {
                        tight.alone.push(at);
                    }
                }
            }
            open = open - own + found.by[number].len() as u32;
            ended |= found.ends[number];
            found.by[number].iter().for_each(|by| free(*by, &mut left, &mut ready));
        }
        tight
    }

    /// What fixes a node.
    fn fixed(&self, node: Node) -> Fixed {
        match node {
            Node::Phase(at) => self.phase(at),
            Node::Part(at) => self.part(at),
        }
    }

    fn phase(&self, at: usize) -> Fixed {
        let mut fixed = Fixed::default();
        let network = &self.facts.desk.plan.network;
        let Some(early) = self.forecast.early[at] else { return fixed };
        let bound = match network.progress(at) {
            Progress::Ahead { floor } => {
                fixed.ends = floor == early.start;
                early.start
            }
            Progress::UnderWay { finish, .. } => {
                fixed.ends = finish == early.finish;
                early.finish
            }
            Progress::Finished { .. } | Progress::Broken => return Fixed { ends: true, ..fixed },
        };
        let days = self.facts.desk.days;
        fixed.by.extend(network.binding(days, &self.forecast.early, at).map(Node::Phase));
        let deliveries = &self.forecast.bounds[at];
        if deliveries.strongest == Some(bound) {
            fixed.by.extend(deliveries.parts.iter().copied().map(Node::Part));
        }
        let holds = self.facts.holds(self.but);
        for (gate, own) in self.facts.gates.iter().zip(&self.forecast.of_gates) {
            if gate.phase != Some(at) || *own != Some(bound) {
                continue;
            }
            for reason in holds.reasons(gate, &self.forecast.early).filter(|r| r.bound() == bound) {
                match reason {
                    Reason::Phase(phase, _) => fixed.by.push(Node::Phase(phase)),
                    Reason::Part(part, _) => fixed.by.push(Node::Part(part)),
                    Reason::Else(_) => fixed.ends = true,
                }
            }
        }
        fixed
    }

    /// A part comes when its order and lead time say; one that is ordered only after a phase waits for that phase, unless
    /// it would be ordered no sooner anyhow.
    fn part(&self, at: usize) -> Fixed {
        let desk = self.facts.desk;
        let Some(tie) = self.facts.ties.of(at) else { return Fixed { by: Vec::new(), ends: true } };
        let coming = desk.coming(tie, &self.forecast.early);
        let earliest = desk.days.supplier(tie.supplier).order.roll_forward(tie.earliest);
        match coming {
            Some(coming) if coming.orderable_from > earliest => {
                Fixed { by: vec![Node::Phase(tie.after)], ends: false }
            }
            Some(coming) if coming.orderable_from == earliest => {
                Fixed { by: vec![Node::Phase(tie.after)], ends: true }
            }
            _ => Fixed { by: Vec::new(), ends: true },
        }
    }
}
