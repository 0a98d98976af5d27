//! What fixes the finish of a trial, and what a week's wait with the order of a part would cost in it.

use super::arrivals::Basis;
use super::terms::Term;
use super::trial::Trial;
use crate::engine::forecast::asked;
use crate::engine::network::{Network, Progress};
use crate::engine::plan::worked::Worked;

/// How often phases and parts fixed the finish, and working days that waits cost, over some trials.
#[derive(Debug, Default, Clone)]
pub(super) struct Counts {
    pub(super) phases: Vec<u64>,
    /// By place.
    pub(super) parts: Vec<u64>,
    /// By place: working days later, all trials together.
    pub(super) waits: Vec<u64>,
}

impl Counts {
    pub(super) fn new(phases: usize, parts: usize) -> Counts {
        Counts { phases: vec![0; phases], parts: vec![0; parts], waits: vec![0; parts] }
    }

    pub(super) fn add(&mut self, other: &Counts) {
        let sum = |into: &mut [u64], from: &[u64]| into.iter_mut().zip(from).for_each(|(a, b)| *a += b);
        sum(&mut self.phases, &other.phases);
        sum(&mut self.parts, &other.parts);
        sum(&mut self.waits, &other.waits);
    }
}

/// Room to walk back from the finish in.
#[derive(Debug, Default)]
pub(super) struct Walk {
    pub(super) phases: Vec<bool>,
    pub(super) parts: Vec<bool>,
    open: Vec<usize>,
    /// Delays known of this trial: the phase, what was asked of it, and the working days later.
    known: Vec<(usize, i32, i32)>,
}

impl Walk {
    pub(super) fn new(phases: usize, parts: usize) -> Walk {
        Walk {
            phases: vec![false; phases],
            parts: vec![false; parts],
            open: Vec::with_capacity(phases),
            known: Vec::with_capacity(parts),
        }
    }

    /// Marks all that lies on a chain that fixes the finish.
    pub(super) fn mark(&mut self, trial: &Trial<'_>) {
        self.phases.fill(false);
        self.parts.fill(false);
        let Some(end) = trial.end() else { return };
        for (i, early) in trial.early.iter().enumerate() {
            if early.is_some_and(|e| e.finish == end) {
                self.reach(i);
            }
        }
        while let Some(phase) = self.open.pop() {
            self.phase(trial, phase);
        }
    }

    fn reach(&mut self, phase: usize) {
        if !self.phases[phase] {
            self.phases[phase] = true;
            self.open.push(phase);
        }
    }

    /// Goes to what gave a phase its start; once begun, its finish.
    fn phase(&mut self, trial: &Trial<'_>, phase: usize) {
        let model = trial.model;
        let Some(at) = trial.before[phase] else { return };
        if matches!(trial.progress[phase], Progress::Finished { .. } | Progress::Broken) {
            return;
        }
        let (days, early, times) = (&model.days, &trial.early, trial.times());
        let network = &model.figures.plan.network;
        network.binding_at(days, times, early, phase, Some(at)).for_each(|from| self.reach(from));
        for held in model.arrivals.of(phase) {
            let usable = trial.comes[held.place].saturating_add(held.hold);
            if asked(days, times, phase, held.at, usable) == Some(at) {
                self.part(trial, held.place);
            }
        }
        for (place, bound) in trial.ties(early, phase, None) {
            if bound == at {
                self.part(trial, place);
            }
        }
        let worked = Worked::of(days, phase);
        for term in model.terms.of(phase) {
            if trial.term(*term, early, None).is_none_or(|index| worked.start(index) != at) {
                continue;
            }
            match *term {
                Term::Phase(from) => self.reach(from),
                Term::Part(place, _) => self.part(trial, place),
                Term::Past(_) | Term::Quickest(..) => {}
            }
        }
    }

    /// A part, and the phase that it is ordered after where that is what it waits for.
    fn part(&mut self, trial: &Trial<'_>, place: usize) {
        if self.parts[place] {
            return;
        }
        self.parts[place] = true;
        let model = trial.model;
        let Some(tie) = model.figures.ties.of(model.arrival(place).part) else { return };
        let earliest = model.days.supplier(tie.supplier).order.roll_forward(tie.earliest);
        let coming = trial.desk().coming(tie, &trial.early);
        if coming.is_some_and(|coming| coming.orderable_from >= earliest) {
            self.reach(tie.after);
        }
    }

    /// Counts a trial.
    pub(super) fn count(&mut self, trial: &mut Trial<'_>, counts: &mut Counts) {
        self.mark(trial);
        let sum =
            |into: &mut [u64], on: &[bool]| into.iter_mut().zip(on).for_each(|(n, on)| *n += u64::from(*on));
        sum(&mut counts.phases, &self.phases);
        sum(&mut counts.parts, &self.parts);
        self.known.clear();
        for place in 0..trial.model.arrivals.list.len() {
            let days = self.wait(trial, place);
            counts.waits[place] += u64::try_from(days).unwrap_or(0);
        }
    }

    /// Working days that the finish would be later, were a part ordered a week later.
    fn wait(&mut self, trial: &mut Trial<'_>, place: usize) -> i32 {
        let model = trial.model;
        let own = model.arrival(place);
        let Some(phase) = own.phase else { return 0 };
        if own.placed || matches!(own.basis, Basis::Fixed(_)) {
            return 0;
        }
        let gate = model.terms.first[place];
        if own.basis == Basis::Tied || gate != usize::MAX {
            return trial.later(model.terms.at[phase].min(gate), place);
        }
        let figures = &model.figures.parts[own.part];
        let usable = trial.comes(place, Some(place)).saturating_add(figures.hold);
        let ask = asked(&model.days, trial.times(), phase, figures.at, usable);
        let Some(ask) = ask.filter(|ask| Some(*ask) > trial.before[phase]) else { return 0 };
        let known = self.known.iter().find(|(p, a, _)| (*p, *a) == (phase, ask));
        if let Some((_, _, days)) = known {
            return *days;
        }
        let days = trial.later(model.terms.at[phase], place);
        self.known.push((phase, ask, days));
        days
    }
}

impl Trial<'_> {
    /// Working days that the finish would be later with one part ordered a week later. Only phases behind what moves are
    /// gone through again, from a place in the order on.
    fn later(&mut self, from: usize, place: usize) -> i32 {
        let model = self.model;
        let network = &model.figures.plan.network;
        let Some(end) = self.end().filter(|_| from < model.terms.order.len()) else { return 0 };
        let mut other = std::mem::take(&mut self.other);
        let mut moved = std::mem::take(&mut self.moved);
        other.copy_from_slice(&self.early);
        moved.fill(false);
        let own = model.arrival(place).phase;
        for _ in 0..model.terms.passes {
            let mut settled = true;
            for &i in model.terms.order.get(from..).unwrap_or(&[]) {
                let ties = &model.figures.ties;
                let ties = ties.into(i).any(|tie| moved[tie.after]);
                if own == Some(i) || ties || !model.terms.of(i).is_empty() || network.follows(i, &moved) {
                    let (early, _) = self.one(&other, i, Some(place));
                    settled &= early == other[i];
                    moved[i] |= early != self.early[i];
                    other[i] = early;
                }
            }
            if settled {
                break;
            }
        }
        let days = Network::end(&other).map_or(0, |later| later - end);
        (self.other, self.moved) = (other, moved);
        days.max(0)
    }
}
