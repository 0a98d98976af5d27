//! What gates wait for, as flat lists, and the order in which a trial goes through the phases.

use super::arrivals::{Arrivals, Basis};
use crate::engine::figures::Figures;
use crate::engine::gates::Lack;
use crate::engine::network::Progress;
use crate::model::{NeededAt, Presence};

/// Something that a gate waits for; parts by their places among those that matter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Term {
    /// A phase is finished.
    Phase(usize),
    /// A part is there; not before an index, where it is to be built in.
    Part(usize, i32),
    /// The quickest of several options is there: a range of the candidates, and the index where none has a day.
    Quickest(usize, usize, Option<i32>),
    /// A day is past, by its index.
    Past(i32),
}

/// The terms of all gates whose phases have not begun.
#[derive(Debug, Default)]
pub(super) struct Terms {
    /// By phase.
    ranges: Vec<(usize, usize)>,
    list: Vec<Term>,
    /// Option and place of each candidate.
    pub(super) candidates: Vec<(u32, usize)>,
    /// The phases in an order in which everything stands behind what it waits for, where there is one.
    pub(super) order: Vec<usize>,
    /// By phase, its place in the order.
    pub(super) at: Vec<usize>,
    /// How often a trial goes through the phases at most.
    pub(super) passes: usize,
    /// By place of a part, the first place in the order of a phase whose gate waits for it.
    pub(super) first: Vec<usize>,
    /// By place of a part and phase: which gates wait for it.
    waits: Vec<(usize, usize)>,
}

impl Terms {
    pub(super) fn new(figures: &Figures, arrivals: &Arrivals) -> Terms {
        let (network, work) = (&figures.plan.network, figures.days.work());
        let n = network.len();
        let mut terms = Terms::default();
        let mut of_phase: Vec<Vec<Term>> = vec![Vec::new(); n];
        let mut pairs: Vec<(usize, usize)> = Vec::new();
        let tie_of = |place: usize| figures.ties.of(arrivals.list[place].part).map(|tie| tie.after);
        let waiting = figures.gates.iter().filter_map(|gate| Some((gate.phase?, gate)));
        for (at, gate) in waiting.filter(|(at, _)| matches!(network.progress(*at), Progress::Ahead { .. })) {
            for missing in gate.missing.iter().filter(|m| !m.circle) {
                let past = |index: i32| vec![Term::Past(index)];
                let found: Vec<Term> = match missing.what {
                    Lack::Phase(phase) => vec![Term::Phase(phase)],
                    Lack::Part(part, presence) => {
                        let own = &figures.parts[part.at];
                        let holds_anyhow = own.live
                            && own.phase.is_some_and(|p| p as usize == at)
                            && own.at == NeededAt::Start;
                        let place = arrivals.place(part.at);
                        let soon = match presence {
                            Presence::OnSite => i32::MIN,
                            Presence::BuiltIn if figures.ties.of(part.at).is_some() => i32::MIN,
                            Presence::BuiltIn => work.index(work.roll_forward(figures.as_of.plus(1))),
                        };
                        let comes = place.map(|place| Term::Part(place, soon));
                        match presence {
                            Presence::OnSite if holds_anyhow => Vec::new(),
                            Presence::OnSite => comes.into_iter().collect(),
                            Presence::BuiltIn => {
                                let phase = own.phase.map(|p| Term::Phase(p as usize));
                                comes.into_iter().chain(phase).collect()
                            }
                        }
                    }
                    Lack::Choice(_) if !missing.candidates().is_empty() => {
                        let from = terms.candidates.len();
                        let wanted = missing.candidates().iter();
                        let known =
                            wanted.filter_map(|p| Some((figures.parts[*p].option, arrivals.place(*p)?)));
                        terms.candidates.extend(known);
                        let otherwise = missing.expected.map(|day| work.index(day));
                        vec![Term::Quickest(from, terms.candidates.len(), otherwise)]
                    }
                    Lack::Choice(_) | Lack::Word => {
                        missing.expected.map_or(Vec::new(), |day| past(work.index(day)))
                    }
                };
                for term in &found {
                    match *term {
                        Term::Phase(phase) => pairs.push((phase, at)),
                        Term::Part(place, _) => {
                            pairs.extend(tie_of(place).map(|after| (after, at)));
                            terms.waits.push((place, at));
                        }
                        Term::Quickest(from, to, _) => {
                            let own = terms.candidates[from..to].iter();
                            pairs.extend(own.filter_map(|(_, place)| Some((tie_of(*place)?, at))));
                        }
                        Term::Past(_) => {}
                    }
                }
                of_phase[at].extend(found);
            }
        }
        for own in of_phase {
            let from = terms.list.len();
            terms.list.extend(own);
            terms.ranges.push((from, terms.list.len()));
        }
        terms.set_order(figures, arrivals, pairs);
        terms
    }

    fn set_order(&mut self, figures: &Figures, arrivals: &Arrivals, mut pairs: Vec<(usize, usize)>) {
        let network = &figures.plan.network;
        let usual = figures.ties.order(network);
        let tied = arrivals.list.iter().filter(|a| a.basis == Basis::Tied);
        pairs.extend(tied.filter_map(|a| Some((figures.ties.of(a.part)?.after, a.phase?))));
        pairs.sort_unstable();
        pairs.dedup();
        let whole = network.order_with(&pairs);
        if whole.len() == usual.len() {
            (self.order, self.passes) = (whole, 1);
        } else {
            // Rare: circles in the file. The passes are repeated until nothing moves, as the forecast does it.
            (self.order, self.passes) = (usual.to_vec(), figures.gates.len() + 2);
        }
        self.at = vec![usize::MAX; network.len()];
        for (at, phase) in self.order.iter().enumerate() {
            self.at[*phase] = at;
        }
        self.first = vec![usize::MAX; arrivals.list.len()];
        for (place, phase) in &self.waits {
            self.first[*place] = self.first[*place].min(self.at[*phase]);
        }
    }

    /// What the gates of a phase wait for.
    pub(super) fn of(&self, phase: usize) -> &[Term] {
        let (from, to) = self.ranges[phase];
        &self.list[from..to]
    }
}
