//! The pass itself: the network forward with what deliveries, ties and gates ask of each phase.

use super::{Held, PhaseFigures};
use crate::engine::calendar::Day;
use crate::engine::days::Days;
use crate::engine::gates::{self, GateFigures, HeldByGate, Holds};
use crate::engine::network::{Early, Network, Progress, Times};
use crate::engine::order_after::{Coming, Desk, Ties};
use crate::engine::parts::PartFigures;
use crate::engine::plan::worked::Worked;
use crate::engine::plan::{Plan, latest_finish};
use crate::model::NeededAt;
use smallvec::SmallVec;

/// What the pass works with.
#[derive(Debug, Clone, Copy)]
pub struct Facts<'a> {
    /// The document, the plan and the calendars.
    pub desk: Desk<'a>,
    /// All parts. Those that can be ordered only after a phase need no arrival.
    pub parts: &'a [PartFigures],
    /// Parts that can be ordered only after a phase.
    pub ties: &'a Ties,
    /// Gates as they were read.
    pub gates: &'a [GateFigures],
}

/// The two strongest delivery bounds on a phase, and the parts at the strongest.
#[derive(Debug, Clone, Default)]
pub(super) struct PhaseBounds {
    pub(super) strongest: Option<i32>,
    second: Option<i32>,
    pub(super) parts: SmallVec<[usize; 2]>,
}

impl PhaseBounds {
    /// Takes note of a part that bounds the phase.
    fn note(&mut self, part: usize, bound: i32) {
        match self.strongest {
            Some(top) if bound < top => self.second = self.second.max(Some(bound)),
            Some(top) if bound == top => {
                self.second = Some(bound);
                self.parts.push(part);
            }
            top => {
                self.second = top;
                self.strongest = Some(bound);
                self.parts.clear();
                self.parts.push(part);
            }
        }
    }
}

/// The phase that a part holds when it comes on a day, and its bound: an early start, or once begun an early finish.
/// `None` for a part that holds nothing: it does not count, is built in, or its phase has what it needs it for behind it.
fn delivery_bound(desk: Desk<'_>, part: &PartFigures, comes: Option<Day>) -> Option<(usize, i32)> {
    let Desk { plan, days, .. } = desk;
    let phase = part.phase.filter(|_| part.live && !part.built_in)? as usize;
    let usable = days.work().index(comes?).saturating_add(part.hold);
    Some((phase, asked(days, plan.network.times(), phase, part.at, usable)?))
}

/// What a part that can be used from an index on asks of its phase: an early start, or once begun an early finish.
/// `None` where its phase has what it needs it for behind it.
pub fn asked(days: &Days, times: Times<'_>, phase: usize, at: NeededAt, usable: i32) -> Option<i32> {
    let length = times.durations[phase];
    let worked = Worked::of(days, phase);
    Some(match (times.progress[phase], at) {
        (Progress::Ahead { .. }, NeededAt::Start) => worked.start(usable),
        (Progress::Ahead { .. }, NeededAt::Finish) if length == 0 => worked.start(usable),
        (Progress::Ahead { .. }, NeededAt::Finish) => worked.start_for(usable.saturating_add(1), length),
        (Progress::UnderWay { .. }, NeededAt::Finish) => worked.finish_from(usable.saturating_add(1)),
        _ => return None,
    })
}

impl Facts<'_> {
    /// What the parts with a day of their own ask of each phase, without some of them.
    fn bounds(&self, but: &[usize]) -> Vec<PhaseBounds> {
        let mut bounds = vec![PhaseBounds::default(); self.desk.plan.network.len()];
        for (at, part) in self.parts.iter().enumerate() {
            // A part that is tied has a day only when the pass is made.
            let comes = part.expected.filter(|_| part.orderable_from.is_none());
            if let Some((phase, bound)) = delivery_bound(self.desk, part, comes)
                && !but.contains(&at)
            {
                bounds[phase].note(at, bound);
            }
        }
        bounds
    }

    /// What each tied part asks of a phase, with the phases before it as they are in a pass.
    fn tied<'a>(
        &'a self,
        phase: usize,
        early: &'a [Option<Early>],
        but: &'a [usize],
    ) -> impl Iterator<Item = (usize, i32)> + 'a {
        let own = self.ties.into(phase).filter(|tie| !but.contains(&tie.part));
        own.filter_map(|tie| {
            let comes = self.desk.coming(tie, early)?.arrival;
            let (_, bound) = delivery_bound(self.desk, &self.parts[tie.part], comes)?;
            Some((tie.part, bound))
        })
    }

    /// The pass with these deliveries, without some parts that are tied or that gates wait for.
    fn settle(&self, deliveries: &[Option<i32>], but: &[usize]) -> (Vec<Option<Early>>, Vec<Option<i32>>) {
        let (network, days) = (&self.desk.plan.network, self.desk.days);
        let order = self.ties.order(network);
        self.holds(but).settle(
            |phase| network.progress(phase),
            deliveries,
            |bounds| {
                network.forward_in(order, days, |phase, early| {
                    bounds[phase].max(self.tied(phase, early, but).map(|(_, bound)| bound).max())
                })
            },
        )
    }

    /// The bounds of gates, with some parts as if they were there.
    pub(super) fn holds<'a>(&'a self, but: &'a [usize]) -> Holds<'a> {
        Holds::new(self.gates, self.parts, self.ties, self.desk, but)
    }
}

/// The pass with deliveries and gates: each phase also waits for its parts that count, and for its gates.
#[derive(Debug, Clone, Default)]
pub struct Forecast {
    /// What deliveries ask of each phase.
    pub(super) bounds: Vec<PhaseBounds>,
    /// What those with a day of their own ask.
    fixed: Vec<PhaseBounds>,
    pub(super) early: Vec<Option<Early>>,
    /// The lowest start that each gate allows its phase.
    pub(super) of_gates: Vec<Option<i32>>,
    /// By phase, the strongest of these and the second; empty without gates.
    by_gates: Vec<[Option<i32>; 2]>,
}

impl Forecast {
    /// Makes the pass over all parts, with gates as they were read.
    pub fn new(facts: &Facts<'_>) -> Forecast {
        Forecast::without(facts, &[])
    }

    /// The same as if nothing waited for some of the parts.
    pub fn without(facts: &Facts<'_>, but: &[usize]) -> Forecast {
        let mut bounds = facts.bounds(but);
        let strongest: Vec<Option<i32>> = bounds.iter().map(|b| b.strongest).collect();
        let fixed = bounds.clone();
        let (early, of_gates) = facts.settle(&strongest, but);
        for (phase, bounds) in bounds.iter_mut().enumerate() {
            facts.tied(phase, &early, but).for_each(|(part, bound)| bounds.note(part, bound));
        }
        let by_gates = gates::strongest(facts.gates, &of_gates, early.len());
        Forecast { bounds, fixed, early, of_gates, by_gates }
    }

    /// The latest finish as if nothing waited for one part.
    pub(super) fn end_without(&self, facts: &Facts<'_>, part: usize) -> Option<i32> {
        let own = |bounds: &PhaseBounds| match bounds.parts.as_slice() {
            // What it asks alone, the second asks without it.
            [one] if *one == part => bounds.second,
            _ => bounds.strongest,
        };
        let deliveries: Vec<Option<i32>> = self.fixed.iter().map(own).collect();
        Network::end(&facts.settle(&deliveries, &[part]).0)
    }

    /// When each tied part can be ordered and comes.
    pub fn coming(&self, desk: Desk<'_>, ties: &Ties) -> Vec<(usize, Option<Coming>)> {
        ties.iter().map(|tie| (tie.part, desk.coming(tie, &self.early))).collect()
    }

    /// Writes into gates what they cost and when what they miss is expected.
    pub fn finish_gates(&self, desk: Desk<'_>, parts: &[PartFigures], gates: &mut [GateFigures], as_of: Day) {
        let finish_day = |i: usize| self.last(desk, i);
        let soon = desk.work().roll_forward(as_of.plus(1));
        gates::finish(
            gates,
            &self.of_gates,
            &self.by_gates,
            |i| self.without_gates(i),
            finish_day,
            parts,
            soon,
        );
    }

    /// The start a phase would have without its gates.
    fn without_gates(&self, phase: usize) -> Option<i32> {
        let delivery = self.bounds[phase].strongest.unwrap_or(i32::MIN);
        self.early[phase].map(|e| e.unheld.max(delivery))
    }

    /// The strongest bound of the gates of a phase.
    fn gate_bound(&self, phase: usize) -> Option<i32> {
        self.by_gates.get(phase).and_then(|top| top[0])
    }

    /// Working days that the gates of a phase cost it beyond its deliveries, and what each of those that do costs alone.
    fn held_by_gates(&self, phase: usize, gates: &[GateFigures]) -> (i32, Vec<HeldByGate>) {
        match self.gate_bound(phase).zip(self.without_gates(phase)) {
            Some((top, without)) if top > without => {
                let holding = gates.iter().zip(&self.of_gates).enumerate();
                let holding = holding.filter(|(_, (g, b))| g.phase == Some(phase) && **b == Some(top));
                let holding = holding.map(|(gate, (g, _))| HeldByGate { gate, days: g.days });
                (top - without, holding.collect())
            }
            _ => (0, Vec::new()),
        }
    }

    /// Working days later than the plan.
    pub fn days_lost(&self, plan: &Plan) -> Option<i32> {
        self.end().zip(Network::end(&plan.early)).map(|(f, p)| f - p)
    }

    /// The latest finish of all phases, a half-open working-day index.
    pub fn end(&self) -> Option<i32> {
        Network::end(&self.early)
    }

    /// The last day.
    pub fn finish(&self, desk: Desk<'_>) -> Option<Day> {
        latest_finish(desk.project, desk.work(), &desk.plan.network, &self.early)
    }

    /// The last day of a phase; `None` where it has no dates.
    pub fn last(&self, desk: Desk<'_>, phase: usize) -> Option<Day> {
        desk.last(phase, &self.early)
    }

    /// Working days that all deliveries together cost a phase, and what each of those that fix it costs alone.
    fn held(&self, phase: usize) -> (i32, Vec<Held>) {
        let bound = &self.bounds[phase];
        let gate = self.gate_bound(phase).unwrap_or(i32::MIN);
        match (bound.strongest, self.early[phase]) {
            (Some(top), Some(early)) if top > early.unheld.max(gate) => {
                let without = early.unheld.max(gate);
                let days = top - without.max(bound.second.unwrap_or(i32::MIN));
                let parts = bound.parts.iter().map(|part| Held { part: *part, days }).collect();
                (top - without, parts)
            }
            _ => (0, Vec::new()),
        }
    }

    /// Writes the figures of a phase that hang on deliveries and gates, the latter finished.
    pub(super) fn write(&self, facts: &Facts<'_>, phase: usize, figures: &mut PhaseFigures) {
        let Desk { project, plan, .. } = facts.desk;
        let Some(early) = plan.early[phase] else { return };
        let later = self.early[phase].unwrap_or(early);
        let (start, finish) =
            plan.shown(facts.desk.work(), phase, &project.phases[phase], later.start, later.finish);
        figures.forecast_start = Some(start);
        figures.forecast_finish = Some(finish);
        (figures.held_days, figures.held_by) = self.held(phase);
        (figures.gate_days, figures.held_by_gates) = self.held_by_gates(phase, facts.gates);
    }
}
