//! How long gates hold phases that have not begun, and what each costs.

use super::{GateFigures, Lack, Missing, quickest};
use crate::engine::calendar::Day;
use crate::engine::network::{Early, Progress};
use crate::engine::order_after::{Desk, Ties};
use crate::engine::parts::PartFigures;
use crate::engine::plan::worked::Worked;
use crate::model::{NeededAt, Presence};

/// The bounds that gates put on phases that have not begun.
pub struct Holds<'a> {
    gates: &'a [GateFigures],
    parts: &'a [PartFigures],
    ties: &'a Ties,
    desk: Desk<'a>,
    /// Parts that are taken to be there.
    but: &'a [usize],
}

/// What something missing at a gate waits for, with the working-day index at which that is past.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reason {
    /// A phase, by position.
    Phase(usize, i32),
    /// A part, by position.
    Part(usize, i32),
    /// A choice or a word.
    Else(i32),
}

impl Reason {
    /// The same with another index.
    fn at(self, bound: i32) -> Reason {
        match self {
            Reason::Phase(phase, _) => Reason::Phase(phase, bound),
            Reason::Part(part, _) => Reason::Part(part, bound),
            Reason::Else(_) => Reason::Else(bound),
        }
    }

    /// The index.
    pub fn bound(self) -> i32 {
        match self {
            Reason::Phase(_, bound) | Reason::Part(_, bound) | Reason::Else(bound) => bound,
        }
    }
}

impl<'a> Holds<'a> {
    /// Bounds from gates as [`read`], with some parts as if they were there.
    pub fn new(
        gates: &'a [GateFigures],
        parts: &'a [PartFigures],
        ties: &'a Ties,
        desk: Desk<'a>,
        but: &'a [usize],
    ) -> Holds<'a> {
        Holds { gates, parts, ties, desk, but }
    }

    /// When a part is expected, with the phases as they are in a pass; `known` where no phase matters.
    fn comes(&self, part: usize, known: Option<Day>, early: &[Option<Early>]) -> Option<Day> {
        match self.ties.of(part) {
            Some(tie) => self.desk.coming(tie, early)?.arrival,
            None => known,
        }
    }

    /// What a gate waits for, with other phases as they are in a pass: nothing where it is ready, or waits for nothing but
    /// what holds its phase anyhow.
    pub fn reasons<'b>(
        &'b self,
        gate: &'b GateFigures,
        early: &'b [Option<Early>],
    ) -> impl Iterator<Item = Reason> + 'b {
        let work = self.desk.work();
        let one = move |m: &Missing| -> [Option<Reason>; 2] {
            match m.what {
                Lack::Phase(phase) => [early[phase].map(|e| Reason::Phase(phase, e.finish)), None],
                Lack::Part(part, presence) => {
                    let own = &self.parts[part.at];
                    let there = self.but.contains(&part.at);
                    let comes = self.comes(part.at, m.expected, early).filter(|_| !there);
                    let comes = comes.map(|day| Reason::Part(part.at, work.index(day)));
                    let holds_anyhow = own.live
                        && own.phase.is_some()
                        && own.phase == gate.phase.map(|at| at as u32)
                        && own.at == NeededAt::Start;
                    match presence {
                        Presence::OnSite if holds_anyhow => [None, None],
                        Presence::OnSite => [comes, None],
                        Presence::BuiltIn => {
                            let phase = own.phase.map(|p| p as usize);
                            let worked = phase.and_then(|p| Some(Reason::Phase(p, early[p]?.finish)));
                            [comes, worked]
                        }
                    }
                }
                Lack::Choice(_) if !m.candidates.is_empty() => {
                    let day = quickest(self.parts, &m.candidates, |part| {
                        self.comes(part, self.parts[part].expected, early)
                    });
                    [day.or(m.expected).map(|day| Reason::Else(work.index(day))), None]
                }
                Lack::Choice(_) | Lack::Word => [m.expected.map(|d| Reason::Else(work.index(d))), None],
            }
        };
        // The phase of the gate begins on a day on which it is worked.
        let worked = gate.phase.map(|at| Worked::of(self.desk.days, at));
        let on_own_day = move |reason: Reason| match worked {
            Some(worked) => reason.at(worked.start(reason.bound())),
            None => reason,
        };
        gate.missing.iter().filter(|m| !m.circle).flat_map(one).flatten().map(on_own_day)
    }

    /// The lowest start that a gate allows its phase, with other phases as they are in a pass.
    fn bound(&self, gate: &GateFigures, early: &[Option<Early>]) -> Option<i32> {
        gate.phase?;
        self.reasons(gate, early).map(Reason::bound).max()
    }

    /// Runs forward passes until the bounds that gates take from other phases settle. There are no circles in them, so
    /// each pass settles one more gate of a chain at least; most projects need one or two passes. Gives the last pass and
    /// the bound of each gate.
    pub fn settle(
        &self,
        progress: impl Fn(usize) -> Progress,
        deliveries: &[Option<i32>],
        forward: impl Fn(&[Option<i32>]) -> Vec<Option<Early>>,
    ) -> (Vec<Option<Early>>, Vec<Option<i32>>) {
        let mut early = forward(deliveries);
        let mut of_gates = vec![None; self.gates.len()];
        for _ in 0..=self.gates.len() {
            let ahead = |gate: &GateFigures| {
                gate.phase.is_some_and(|at| matches!(progress(at), Progress::Ahead { .. }))
            };
            let bounds: Vec<Option<i32>> = self
                .gates
                .iter()
                .map(|gate| if ahead(gate) { self.bound(gate, &early) } else { None })
                .collect();
            let binds = |(gate, bound): (&GateFigures, &Option<i32>)| {
                let start = gate.phase.and_then(|at| early[at]).map(|e| e.start);
                bound.is_some_and(|b| start.is_some_and(|s| b > s))
            };
            let settled = !self.gates.iter().zip(&bounds).any(binds);
            of_gates = bounds;
            if settled {
                break;
            }
            let mut all = deliveries.to_vec();
            for (gate, bound) in self.gates.iter().zip(&of_gates) {
                if let Some(at) = gate.phase {
                    all[at] = all[at].max(*bound);
                }
            }
            early = forward(&all);
        }
        (early, of_gates)
    }
}

/// By phase: the strongest bound of its gates and the second. Empty without gates.
pub fn strongest(gates: &[GateFigures], bounds: &[Option<i32>], phases: usize) -> Vec<[Option<i32>; 2]> {
    if gates.is_empty() {
        return Vec::new();
    }
    let mut found = vec![[None; 2]; phases];
    for (gate, bound) in gates.iter().zip(bounds) {
        let Some([first, second]) = gate.phase.and_then(|at| found.get_mut(at)) else { continue };
        if *bound > *first {
            *second = *first;
            *first = *bound;
        } else {
            *second = (*second).max(*bound);
        }
    }
    found
}

/// Notes the working days each gate costs and the days on which missing phases are expected to be finished.
///
/// `top` is what [`strongest`] gave, `others` gives for a phase the start it would have without gates; `parts` are as
/// the forecast has them, and `soon` is the first day on which something that is here can be built in.
pub fn finish(
    gates: &mut [GateFigures],
    bounds: &[Option<i32>],
    top: &[[Option<i32>; 2]],
    others: impl Fn(usize) -> Option<i32>,
    finish_day: impl Fn(usize) -> Option<Day>,
    parts: &[PartFigures],
    soon: Day,
) {
    for (gate, bound) in gates.iter_mut().zip(bounds) {
        let Some(at) = gate.phase else { continue };
        if let (Some(bound), Some(without)) = (*bound, others(at)) {
            let [first, second] = top[at];
            let rest = if Some(bound) == first { second } else { first };
            gate.days = (bound - without.max(rest.unwrap_or(i32::MIN))).max(0);
        }
        for missing in &mut gate.missing {
            match missing.what {
                Lack::Phase(phase) => missing.expected = finish_day(phase),
                Lack::Part(part, Presence::OnSite) if !part.ordered => {
                    missing.expected = parts[part.at].expected;
                }
                Lack::Choice(_) if !missing.candidates.is_empty() => {
                    let day = quickest(parts, &missing.candidates, |part| parts[part].expected);
                    missing.expected = day.or(missing.expected);
                }
                Lack::Part(part, Presence::BuiltIn) => {
                    let phase = parts[part.at].phase.map(|p| p as usize);
                    if parts[part.at].orderable_from.is_some() {
                        missing.expected = parts[part.at].expected.map(|day| day.max(soon));
                    }
                    missing.expected =
                        missing.expected.max(phase.and_then(&finish_day).filter(|_| !missing.circle));
                }
                _ => {}
            }
        }
    }
}
