//! What trials say together: percentiles with their standard errors, chances, shares, counts for pictures.

use super::arrivals::Basis;
use super::chain::Counts;
use super::model::Model;
use super::{Made, Run};
use crate::engine::calendar::Day;
use crate::model::Money;
use crate::model::money::from_minor_units;
use rust_decimal::Decimal;

/// What the trials say.
#[derive(Debug, Clone, PartialEq)]
pub struct Risk {
    /// How many were made.
    pub trials: u32,
    /// What their numbers hang on.
    pub seed: u64,
    /// How sure order-by days are to be, in percent.
    pub confidence: u32,
    /// The finish; `None` without phases that have dates. Standard errors in calendar days.
    pub finish: Option<Percentiles<Day, Decimal>>,
    /// The total.
    pub total: Percentiles<Money, Money>,
    /// Trials that are finished by the target; `None` without one.
    pub in_target: Option<u32>,
    /// Trials in which the contingency is enough.
    pub in_contingency: u32,
    /// By phase.
    pub phases: Vec<PhaseRisk>,
    /// By part.
    pub parts: Vec<PartRisk>,
    /// How many trials finish on each day on which one does, by day.
    pub by_day: Vec<(Day, u32)>,
    /// How many trials come to an amount or less and to more than the one before it: steps of the same width from the
    /// least total to the most.
    pub by_amount: Vec<(Money, u32)>,
    /// What each trial came to, from the least to the most.
    pub totals: Vec<Money>,
}

/// Three percentiles of something, each with its standard error.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Percentiles<T, E> {
    /// The least that at least half of the trials keep to.
    pub p50: T,
    /// That 80 percent keep to.
    pub p80: T,
    /// That 90 percent keep to.
    pub p90: T,
    /// Their standard errors, in that order.
    pub errors: [E; 3],
}

/// What trials say of a phase.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct PhaseRisk {
    /// Trials in which it lies on a chain that fixes the finish.
    pub fixing: u32,
}

/// What trials say of a part.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct PartRisk {
    /// Trials in which it lies on a chain that fixes the finish.
    pub fixing: u32,
    /// Working days that the finish is later on average when it is ordered a week later; `None` for one that counts in
    /// nothing or is ordered.
    pub week_costs: Option<Decimal>,
    /// The last day to order it so that it comes by its need date with the confidence asked for.
    pub order_by: Option<Day>,
}

impl Risk {
    /// A number of trials as a share of all, with four digits.
    pub fn share(&self, trials: u32) -> Decimal {
        average(u64::from(trials), u64::from(self.trials), 4)
    }

    /// The share of trials that are finished by a day.
    pub fn finished_by(&self, day: Day) -> Decimal {
        let by = self.by_day.partition_point(|(own, _)| *own <= day);
        self.share(self.by_day[..by].iter().map(|(_, trials)| trials).sum())
    }

    /// The share of trials that come to an amount or less.
    pub fn within(&self, amount: Money) -> Decimal {
        self.share(self.totals.partition_point(|own| *own <= amount) as u32)
    }
}

/// Gathers what trials came to.
pub(super) fn gather(model: &Model<'_>, run: Run, made: &[Made], counts: &Counts) -> Risk {
    let (project, figures) = (model.project, model.figures);
    let digits = project.settings.currency.minor_digits();
    let trials = made.len() as u32;
    let mut finishes: Vec<i32> = made.iter().map(|m| m.finish).collect();
    finishes.sort_unstable();
    let mut totals: Vec<i64> = made.iter().map(|m| m.total).collect();
    totals.sort_unstable();
    let day = |at: i32| figures.as_of.plus(at);
    let amount = |units: i64| from_minor_units(i128::from(units), digits);
    let dated = finishes.first().is_some_and(|first| *first != i32::MIN);
    let half = |twice: i64| Decimal::new(twice * 5, 1).normalize();
    let finish = dated.then(|| {
        let error = |percent| half(i64::from(spread_at(&finishes, percent, |a, b| b - a)));
        Percentiles {
            p50: day(at(&finishes, 50)),
            p80: day(at(&finishes, 80)),
            p90: day(at(&finishes, 90)),
            errors: [error(50), error(80), error(90)],
        }
    });
    let error = |percent| amount(spread_at(&totals, percent, |a, b| b.saturating_sub(a)).div_euclid(2));
    let total = Percentiles {
        p50: amount(at(&totals, 50)),
        p80: amount(at(&totals, 80)),
        p90: amount(at(&totals, 90)),
        errors: [error(50), error(80), error(90)],
    };
    let target = project.settings.target_finish.map(|day| Day::from(day).since(figures.as_of));
    let in_target =
        target.filter(|_| dated).map(|target| finishes.partition_point(|own| *own <= target) as u32);
    let in_contingency = totals.partition_point(|own| *own <= model.money.enough) as u32;
    let mut parts = vec![PartRisk::default(); figures.parts.len()];
    for ((_, _, part), (own, risk)) in project.all_parts().zip(figures.parts.iter().zip(&mut parts)) {
        risk.order_by = super::order_by::of_part(project, figures, own, part, run.confidence);
    }
    for (place, own) in model.arrivals.list.iter().enumerate() {
        let risk = &mut parts[own.part];
        risk.fixing = counts.parts[place] as u32;
        if own.phase.is_some() && !own.placed && !matches!(own.basis, Basis::Fixed(_)) {
            risk.week_costs = Some(average(counts.waits[place], u64::from(trials), 2));
        }
    }
    let mut by_day: Vec<(Day, u32)> = Vec::new();
    for same in finishes.chunk_by(|a, b| a == b).filter(|_| dated) {
        by_day.push((day(same[0]), same.len() as u32));
    }
    Risk {
        trials,
        seed: run.seed,
        confidence: run.confidence,
        finish,
        total,
        in_target,
        in_contingency,
        phases: counts.phases.iter().map(|fixing| PhaseRisk { fixing: *fixing as u32 }).collect(),
        parts,
        by_day,
        by_amount: steps(&totals).into_iter().map(|(to, trials)| (amount(to), trials)).collect(),
        totals: totals.into_iter().map(amount).collect(),
    }
}

/// Steps of amounts for a picture.
const STEPS: i64 = 24;

/// The upper ends of steps of the same width over sorted amounts, with how many are in each.
fn steps(sorted: &[i64]) -> Vec<(i64, u32)> {
    let (Some(&least), Some(&most)) = (sorted.first(), sorted.last()) else { return Vec::new() };
    let width = most.saturating_sub(least) / STEPS + 1;
    let mut before = 0;
    let step = |n: i64| {
        let to = least.saturating_add(width.saturating_mul(n) - 1).min(most);
        let up_to = sorted.partition_point(|own| *own <= to);
        let own = (to, (up_to - before) as u32);
        before = up_to;
        own
    };
    let steps = (most.saturating_sub(least) / width) + 1;
    (1..=steps).map(step).collect()
}

/// The place, counted from zero, of the least value that at least so many percent of sorted values keep to.
fn rank(count: usize, percent: usize) -> usize {
    (percent * count).div_ceil(100).max(1) - 1
}

fn at<T: Copy>(sorted: &[T], percent: usize) -> T {
    sorted[rank(sorted.len(), percent)]
}

/// Twice the standard error of a percentile: what lies between the values one standard error of the share below and above
/// it, the share of n trials having the error sqrt(p (1 - p) / n).
///
/// Source: R. S. Woodruff, "Confidence intervals for medians and other position measures", Journal of the American
/// Statistical Association 47 (1952), 635-646.
fn spread_at<T: Copy, D>(sorted: &[T], percent: usize, less: impl Fn(T, T) -> D) -> D {
    let (n, p) = (sorted.len() as u64, percent as u64);
    let square = n * p * (100 - p);
    let root = square.isqrt() + u64::from(square.isqrt().pow(2) < square);
    let ranks = root.div_ceil(100) as usize;
    let middle = rank(sorted.len(), percent);
    less(sorted[middle.saturating_sub(ranks)], sorted[(middle + ranks).min(sorted.len() - 1)])
}

/// A sum over a count, rounded half up to so many digits.
fn average(sum: u64, count: u64, digits: u32) -> Decimal {
    let scale = 10_u128.pow(digits);
    let (sum, count) = (u128::from(sum) * scale * 2 + u128::from(count), u128::from(count) * 2);
    Decimal::from_i128_with_scale(i128::try_from(sum / count.max(1)).unwrap_or(0), digits)
}
