//! What may come: the forecast many times over, each time with other days, lead times, visits and prices.
#![doc = include_str!("../../../assets/manual/risk.md")]

mod arrivals;
mod chain;
pub mod generator;
mod hangs;
mod model;
mod money;
mod order_by;
pub mod outcome;
pub mod spread;
mod terms;
mod trial;
mod watch;

pub use hangs::Hangs;
pub use order_by::{order_by_at, order_by_sure};
pub use outcome::{PartRisk, Percentiles, PhaseRisk, Risk};
pub use watch::Watch;

use crate::engine::calendar::Day;
use crate::engine::figures::Figures;
use crate::model::{LeadUnit, Money, PartId, PhaseId, Project};
use chain::{Counts, Walk};
use model::Model;
use trial::Trial;

/// The fewest and the most trials that are made at once.
pub const TRIALS: std::ops::RangeInclusive<u32> = 1..=1_000_000;

/// What is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Run {
    /// How many trials, within [`TRIALS`].
    pub trials: u32,
    /// What the numbers drawn hang on.
    pub seed: u64,
    /// How many threads share the trials; no figure hangs on it.
    pub threads: usize,
    /// How sure order-by days are to be, in percent.
    pub confidence: u32,
}

impl Run {
    /// So many trials on all cores.
    pub fn new(trials: u32, seed: u64) -> Run {
        let threads = std::thread::available_parallelism().map_or(1, usize::from);
        Run { trials, seed, threads, confidence: 80 }
    }
}

/// Makes the trials of a project whose figures are these. `None` when `watch` was told to stop before all were made.
pub fn simulate(project: &Project, figures: &Figures, run: Run, watch: &Watch) -> Option<Risk> {
    let model = Model::new(project, figures);
    let trials = run.trials.clamp(*TRIALS.start(), *TRIALS.end()) as usize;
    let threads = run.threads.clamp(1, 256);
    let share = trials.div_ceil(threads).max(1);
    let mut made: Vec<Made> = vec![Made::default(); trials];
    let mut counts = Counts::new(model.durations.len(), model.arrivals.list.len());
    let model = &model;
    let done: Vec<Option<Counts>> = std::thread::scope(|scope| {
        let threads: Vec<_> = made
            .chunks_mut(share)
            .enumerate()
            .map(|(n, own)| scope.spawn(move || some(model, run.seed, (n * share) as u64, own, watch)))
            .collect();
        threads.into_iter().map(|thread| thread.join().ok().flatten()).collect()
    });
    for own in done {
        counts.add(&own?);
    }
    Some(outcome::gather(model, run, &made, &counts))
}

/// What a trial came to.
#[derive(Debug, Clone, Copy, Default)]
struct Made {
    /// Calendar days from the as-of day to the finish; the least number there is without one.
    finish: i32,
    /// In minor units.
    total: i64,
}

/// How many trials a thread makes before it says so: threads that said each one would wait for each other's count.
const AT_ONCE: usize = 32;

/// Makes trials one after another from the one of a number on.
fn some(model: &Model<'_>, seed: u64, first: u64, own: &mut [Made], watch: &Watch) -> Option<Counts> {
    let (phases, parts) = (model.durations.len(), model.arrivals.list.len());
    let mut trial = Trial::new(model);
    let mut walk = Walk::new(phases, parts);
    let mut counts = Counts::new(phases, parts);
    let mut number = first;
    for few in own.chunks_mut(AT_ONCE) {
        for made in &mut *few {
            if watch.is_stopped() {
                return None;
            }
            trial.run(seed, number);
            number += 1;
            let finish = trial.finish().map_or(i32::MIN, |day| day.since(model.as_of));
            *made = Made { finish, total: trial.total };
            walk.count(&mut trial, &mut counts);
        }
        watch.add(few.len());
    }
    Some(counts)
}

/// One trial laid open: what was drawn and what came of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Laid {
    /// Working days of each phase that has not begun, and the days left of those under way, with what risks add.
    pub days: Vec<(PhaseId, i32)>,
    /// The lead times that were drawn, with their units.
    pub leads: Vec<(PartId, u32, LeadUnit)>,
    /// The last day.
    pub finish: Option<Day>,
    /// What it all came to.
    pub total: Money,
    /// First and half-open last working-day index of each phase.
    pub phases: Vec<Option<(i32, i32)>>,
    /// The phases that fix the finish, by position.
    pub fixing: Vec<usize>,
    /// The parts that do, by position.
    pub fixing_parts: Vec<usize>,
}

/// The trial of a number as it was made; without a number, the one in which all is as likely.
pub fn laid_open(project: &Project, figures: &Figures, seed: u64, number: Option<u64>) -> Laid {
    let model = Model::new(project, figures);
    let mut trial = Trial::new(&model);
    match number {
        Some(number) => trial.run(seed, number),
        None => trial.likely(),
    }
    let mut walk = Walk::new(model.durations.len(), model.arrivals.list.len());
    walk.mark(&trial);
    let on = |marks: &[bool]| (0..marks.len()).filter(|at| marks[*at]).collect::<Vec<_>>();
    let digits = project.settings.currency.minor_digits();
    let leads = model.arrivals.list.iter().zip(&trial.drawn).filter(|(own, _)| own.dice.is_some());
    Laid {
        days: (0..model.durations.len())
            .filter_map(|i| Some((project.phases[i].id, trial.days(i)?)))
            .collect(),
        leads: leads
            .map(|(own, drawn)| (figures.parts[own.part].id, own.lead(*drawn).count, own.unit))
            .collect(),
        finish: trial.finish(),
        total: crate::model::money::from_minor_units(i128::from(trial.total), digits),
        phases: trial.early.iter().map(|e| e.map(|e| (e.start, e.finish))).collect(),
        fixing: on(&walk.phases),
        fixing_parts: on(&walk.parts).into_iter().map(|place| model.arrival(place).part).collect(),
    }
}
