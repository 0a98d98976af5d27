//! One trial: what is drawn, and the forecast's pass with it. It works in room of its own, made once a thread.

use super::generator::Generator;
use super::model::Model;
use super::money::Units;
use super::terms::Term;
use crate::engine::calendar::Day;
use crate::engine::forecast::asked;
use crate::engine::network::{Early, Network, Progress, Times};
use crate::engine::order_after::{Desk, Tie};
use crate::engine::plan::worked::Worked;
use crate::model::NeededAt;

/// The room a trial works in, and how it stands there.
#[derive(Debug)]
pub(super) struct Trial<'a> {
    pub(super) model: &'a Model<'a>,
    pub(super) durations: Vec<i32>,
    pub(super) progress: Vec<Progress>,
    pub(super) early: Vec<Option<Early>>,
    /// By phase, the start (once begun, the finish) before visits failed.
    pub(super) before: Vec<Option<i32>>,
    /// By phase, how often the visit fails.
    failures: Vec<i32>,
    moves: Vec<i32>,
    left: Vec<Option<i32>>,
    /// By place of the part: the lead time, and the index on which it comes.
    pub(super) drawn: Vec<i64>,
    pub(super) comes: Vec<i32>,
    pub(super) total: Units,
    /// The early dates with one part ordered later, and which of them moved.
    pub(super) other: Vec<Option<Early>>,
    pub(super) moved: Vec<bool>,
}

impl<'a> Trial<'a> {
    pub(super) fn new(model: &'a Model<'a>) -> Trial<'a> {
        let n = model.durations.len();
        let network = &model.figures.plan.network;
        let mut moves = vec![0; n];
        model.visits.iter().for_each(|visits| moves[visits.phase] = visits.moves);
        let mut trial = Trial {
            model,
            durations: vec![0; n],
            progress: (0..n).map(|i| network.progress(i)).collect(),
            early: vec![None; n],
            before: vec![None; n],
            failures: vec![0; n],
            moves,
            left: vec![None; n],
            drawn: vec![0; model.arrivals.list.len()],
            comes: vec![0; model.arrivals.list.len()],
            total: 0,
            other: vec![None; n],
            moved: vec![false; n],
        };
        trial.lead_times();
        trial
    }

    /// Draws what a trial draws, and makes its pass.
    pub(super) fn run(&mut self, seed: u64, trial: u64) {
        let (generator, mut at) = (Generator::of_trial(seed, trial), 0);
        let mut next = || {
            at += 1;
            generator.number(at - 1)
        };
        let model = self.model;
        self.begin();
        for own in &model.drawn {
            let days = own.days(own.dice.value(next()));
            if own.under_way {
                self.left[own.phase] = Some(days);
            } else {
                self.durations[own.phase] = days;
            }
        }
        for visits in &model.visits {
            self.failures[visits.phase] = visits.dice.value(next()) as i32;
        }
        for (place, arrival) in model.arrivals.list.iter().enumerate() {
            if let Some(dice) = &arrival.dice {
                let drawn = dice.value(next());
                self.drawn[place] = drawn;
                self.comes[place] = arrival.index(&model.days, model.as_of, drawn, false);
            }
        }
        let mut cost: Units = 0;
        for risk in &model.risks {
            let (happens, days, money) = (risk.chance.happens(next()), next(), next());
            if happens {
                cost = cost.saturating_add(risk.cost.value(money));
                let days = risk.days.value(days) as i32;
                if let Some(at) = risk.phase {
                    self.durations[at] = self.durations[at].saturating_add(days);
                    self.left[at] = self.left[at].map(|left| left.saturating_add(days));
                }
            }
        }
        self.total = model.money.total(&mut next).saturating_add(cost);
        self.pass();
    }

    /// The pass with nothing drawn and nothing happening: all as likely.
    pub(super) fn likely(&mut self) {
        self.begin();
        self.lead_times();
        self.total = self.model.money.likely();
        self.pass();
    }

    /// Days of phases as likely, and no visit that fails.
    fn begin(&mut self) {
        let model = self.model;
        self.durations.copy_from_slice(&model.durations);
        self.left.copy_from_slice(&model.left);
        self.failures.fill(0);
    }

    /// Each lead time as likely.
    fn lead_times(&mut self) {
        let model = self.model;
        for (place, arrival) in model.arrivals.list.iter().enumerate() {
            self.drawn[place] = arrival.likely;
            self.comes[place] = arrival.index(&model.days, model.as_of, arrival.likely, false);
        }
    }

    fn pass(&mut self) {
        let model = self.model;
        let work = model.days.work();
        let today = work.index(model.as_of);
        for (i, left) in self.left.iter().enumerate() {
            if let (Some(left), Progress::UnderWay { start, finish }) = (left, &mut self.progress[i]) {
                let worked = Worked::of(&model.days, i);
                let done = if *left == 0 { today } else { worked.finish(worked.start(today), *left) };
                *finish = done.max(*start);
            }
        }
        self.early.fill(None);
        for _ in 0..model.terms.passes {
            let mut settled = true;
            for &i in &model.terms.order {
                let (early, before) = self.one(&self.early, i, None);
                settled &= self.early[i] == early;
                (self.early[i], self.before[i]) = (early, before);
            }
            if settled {
                break;
            }
        }
    }

    /// How long phases take and how far they are.
    pub(super) fn times(&self) -> Times<'_> {
        Times { durations: &self.durations, progress: &self.progress }
    }

    /// What the forecast looks ties up with.
    pub(super) fn desk(&self) -> Desk<'a> {
        let model = self.model;
        Desk { project: model.project, plan: &model.figures.plan, days: &model.days }
    }

    /// The index on which a part comes that is not tied; `later` for the place of the one that is ordered a week later.
    pub(super) fn comes(&self, place: usize, later: Option<usize>) -> i32 {
        if later != Some(place) {
            return self.comes[place];
        }
        let model = self.model;
        model.arrival(place).index(&model.days, model.as_of, self.drawn[place], true)
    }

    /// The same of one that is tied, where the phase before it has dates.
    pub(super) fn tied(
        &self,
        tie: &Tie,
        place: usize,
        early: &[Option<Early>],
        later: Option<usize>,
    ) -> Option<i32> {
        let desk = self.desk();
        let from = desk.coming(tie, early)?.orderable_from.max(tie.earliest);
        let wait = if later == Some(place) { super::arrivals::WEEK } else { 0 };
        let lead = self.model.arrival(place).lead(self.drawn[place]);
        Some(desk.work().index(desk.days.supplier(tie.supplier).arrival(from.plus(wait), lead)))
    }

    /// The index on which any part comes.
    pub(super) fn any(&self, place: usize, early: &[Option<Early>], later: Option<usize>) -> Option<i32> {
        match self.model.figures.ties.of(self.model.arrival(place).part) {
            Some(tie) => self.tied(tie, place, early, later),
            None => Some(self.comes(place, later)),
        }
    }

    /// What the tied parts of a phase ask of it, each with its place.
    pub(super) fn ties<'b>(
        &'b self,
        early: &'b [Option<Early>],
        phase: usize,
        later: Option<usize>,
    ) -> impl Iterator<Item = (usize, i32)> + 'b {
        let model = self.model;
        let ties = &model.figures.ties;
        ties.into(phase).filter_map(move |tie| {
            let place = model.arrivals.place(tie.part)?;
            model.arrival(place).phase?;
            let own = &model.figures.parts[tie.part];
            let usable = self.tied(tie, place, early, later)?.saturating_add(own.hold);
            Some((place, asked(&model.days, self.times(), phase, own.at, usable)?))
        })
    }

    /// The index at which something is past that a gate waits for.
    pub(super) fn term(&self, term: Term, early: &[Option<Early>], later: Option<usize>) -> Option<i32> {
        match term {
            Term::Phase(phase) => early[phase].map(|e| e.finish),
            Term::Part(place, soon) => self.any(place, early, later).map(|index| index.max(soon)),
            Term::Past(index) => Some(index),
            Term::Quickest(from, to, otherwise) => {
                let candidates = &self.model.terms.candidates[from..to];
                let quickest = candidates.chunk_by(|a, b| a.0 == b.0).filter_map(|option| {
                    option.iter().filter_map(|(_, place)| self.any(*place, early, later)).max()
                });
                quickest.min().or(otherwise)
            }
        }
    }

    /// Early dates of a phase from those before it, and its start (once begun, its finish) before visits failed.
    pub(super) fn one(
        &self,
        early: &[Option<Early>],
        phase: usize,
        later: Option<usize>,
    ) -> (Option<Early>, Option<i32>) {
        let model = self.model;
        let (days, times) = (&model.days, self.times());
        if matches!(times.progress[phase], Progress::Finished { .. }) {
            let own = model.figures.plan.network.early_of(days, times, early, phase, None);
            return (own, own.map(|e| e.start));
        }
        let (mut start, mut finish) = (i32::MIN, i32::MIN);
        for held in model.arrivals.of(phase) {
            let usable = self.comes(held.place, later).saturating_add(held.hold);
            match held.at {
                NeededAt::Start => start = start.max(usable),
                NeededAt::Finish => finish = finish.max(usable),
            }
        }
        let ask = |at, usable| if usable == i32::MIN { None } else { asked(days, times, phase, at, usable) };
        let mut bound = ask(NeededAt::Start, start).max(ask(NeededAt::Finish, finish));
        bound = bound.max(self.ties(early, phase, later).map(|(_, bound)| bound).max());
        let gates = model.terms.of(phase).iter().filter_map(|term| self.term(*term, early, later)).max();
        bound = bound.max(gates.map(|index| Worked::of(days, phase).start(index)));
        let own = model.figures.plan.network.early_of(days, times, early, phase, bound);
        self.fail(phase, own)
    }

    /// A phase whose visit fails as often as was drawn.
    fn fail(&self, phase: usize, early: Option<Early>) -> (Option<Early>, Option<i32>) {
        let Some(mut own) = early else { return (None, None) };
        let worked = Worked::of(&self.model.days, phase);
        let under_way = matches!(self.progress[phase], Progress::UnderWay { .. });
        let before = if under_way { own.finish } else { own.start };
        for _ in 0..self.failures[phase] {
            if under_way {
                own.finish = worked.finish_from(own.finish.saturating_add(self.moves[phase]));
            } else {
                own.start = worked.start(own.start.saturating_add(self.moves[phase]));
                own.finish = worked.finish(own.start, self.durations[phase]);
            }
        }
        (Some(own), Some(before))
    }

    /// The last day as it is shown; `None` without phases that have dates.
    pub(super) fn finish(&self) -> Option<Day> {
        let open = self.early.iter().zip(&self.progress).filter_map(|(early, progress)| {
            let early = (*early)?;
            match progress {
                Progress::Ahead { .. } if early.start == early.finish => Some(early.start),
                Progress::Ahead { .. } | Progress::UnderWay { .. } => Some(early.finish - 1),
                Progress::Finished { .. } | Progress::Broken => None,
            }
        });
        let open = open.max().map(|last| self.model.days.work().day(last));
        open.max(self.model.last_fact)
    }

    /// Working days of a phase that has not begun, or those left of one under way.
    pub(super) fn days(&self, phase: usize) -> Option<i32> {
        match self.progress[phase] {
            Progress::Ahead { .. } => Some(self.durations[phase]),
            Progress::UnderWay { .. } => self.left[phase],
            Progress::Finished { .. } | Progress::Broken => None,
        }
    }

    /// The latest finish of all phases, half-open.
    pub(super) fn end(&self) -> Option<i32> {
        Network::end(&self.early)
    }
}
