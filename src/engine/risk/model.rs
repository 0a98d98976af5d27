//! What trials work with: flat lists, made once of a project and its figures.

use super::arrivals::{Arrival, Arrivals};
use super::money::OpenMoney;
use super::spread::{Chance, Dice, Spread};
use super::terms::Terms;
use crate::engine::calendar::Day;
use crate::engine::days::Days;
use crate::engine::figures::Figures;
use crate::engine::money::changes;
use crate::engine::network::Progress;
use crate::engine::plan::worked::Worked;
use crate::model::{PhaseKind, Project};

/// A phase whose days are drawn.
#[derive(Debug)]
pub(super) struct Duration {
    pub(super) phase: usize,
    pub(super) dice: Dice,
    /// Working days of the document: what is likely.
    likely: i32,
    /// Of work under way: the working days that are left; else those of changes that are agreed on.
    base: i32,
    /// Working days of changes that nobody agreed to yet.
    added: i32,
    pub(super) under_way: bool,
}

impl Duration {
    /// The days of the phase, or of work under way the days left, with so many drawn: the days left by as much more or
    /// less, rounded half up.
    pub(super) fn days(&self, drawn: i64) -> i32 {
        let days = if self.under_way {
            let likely = i64::from(self.likely).max(1);
            (2 * i64::from(self.base) * drawn + likely).div_euclid(2 * likely)
        } else {
            i64::from(self.base) + drawn
        };
        i32::try_from(days).unwrap_or(i32::MAX).saturating_add(self.added)
    }
}

/// Visits that may fail.
#[derive(Debug)]
pub(super) struct Visits {
    pub(super) phase: usize,
    pub(super) dice: Dice,
    /// Working days by which each failure moves the visit.
    pub(super) moves: i32,
}

/// Something that may happen.
#[derive(Debug)]
pub(super) struct Happening {
    pub(super) chance: Chance,
    pub(super) phase: Option<usize>,
    pub(super) days: Dice,
    /// In minor units.
    pub(super) cost: Spread,
}

/// A visit fails so often at most.
const MOST_FAILURES: u32 = 5;

/// What trials work with.
#[derive(Debug)]
pub struct Model<'a> {
    pub(super) project: &'a Project,
    pub(super) figures: &'a Figures,
    /// The calendars, with room for what may be drawn.
    pub(super) days: Days,
    pub(super) as_of: Day,
    /// Days of the phases as the forecast has them, with changes that nobody agreed to yet.
    pub(super) durations: Vec<i32>,
    /// Of work under way, the working days left by the forecast, with changes that nobody agreed to yet.
    pub(super) left: Vec<Option<i32>>,
    pub(super) drawn: Vec<Duration>,
    pub(super) visits: Vec<Visits>,
    pub(super) arrivals: Arrivals,
    pub(super) risks: Vec<Happening>,
    pub(super) money: OpenMoney,
    pub(super) terms: Terms,
    /// The latest day shown of what a trial does not move: finished phases, and the first days of those begun.
    pub(super) last_fact: Option<Day>,
}

impl<'a> Model<'a> {
    /// Reads what may be drawn of a project whose figures are these.
    pub fn new(project: &'a Project, figures: &'a Figures) -> Model<'a> {
        let (as_of, network) = (figures.as_of, &figures.plan.network);
        let n = network.len();
        let digits = project.settings.currency.minor_digits();
        let mut durations: Vec<i32> = (0..n).map(|i| network.duration(i)).collect();
        let mut left: Vec<Option<i32>> = (0..n).map(|i| days_left(figures, i)).collect();
        let mut more = 0_i64;
        let mut drawn = Vec::new();
        for (i, phase) in project.phases.iter().enumerate() {
            let under_way = matches!(network.progress(i), Progress::UnderWay { .. });
            let open = under_way || matches!(network.progress(i), Progress::Ahead { .. });
            let Some(likely) = phase.days.filter(|days| open && *days >= 0) else { continue };
            let spread = spread(phase.days_min, likely, phase.days_max);
            if spread.is_fixed() || (under_way && likely == 0) {
                continue;
            }
            more += spread.max - spread.likely;
            let base = left[i].unwrap_or(durations[i] - likely);
            drawn.push(Duration { phase: i, dice: Dice::of(spread), likely, base, added: 0, under_way });
        }
        // A change that nobody agreed to yet is taken to come true.
        let mut added = crate::model::Money::ZERO;
        for change in changes::counted(project, as_of.date()) {
            added = added.plus(change.amount.unwrap_or_default());
            let at = change.phase.and_then(|id| project.phase_at(id)).filter(|at| *at < n);
            if let (Some(at), Some(days)) = (at, change.days) {
                durations[at] = durations[at].saturating_add(days);
                left[at] = left[at].map(|left| left.saturating_add(days));
                more += i64::from(days);
                if let Some(own) = drawn.iter_mut().find(|d| d.phase == at) {
                    own.added = own.added.saturating_add(days);
                }
            }
        }
        let wait = i32::try_from(project.settings.reinspect_wait).unwrap_or(i32::MAX);
        let mut visits = Vec::new();
        for (i, phase) in project.phases.iter().enumerate() {
            let open = matches!(network.progress(i), Progress::Ahead { .. } | Progress::UnderWay { .. });
            let chance = Chance::of_percent(phase.fail_pct.unwrap_or_default());
            if !open || phase.kind != PhaseKind::Inspection || chance.is_none() {
                continue;
            }
            let correct = i32::try_from(phase.days_to_correct()).unwrap_or(i32::MAX);
            let moves = correct.saturating_add(1).saturating_add(wait);
            more += i64::from(moves) * i64::from(MOST_FAILURES);
            visits.push(Visits { phase: i, dice: Dice::failures(chance, MOST_FAILURES), moves });
        }
        let mut risks = Vec::new();
        for risk in project.risks.iter() {
            let chance = Chance::of_percent(risk.chance_pct);
            if chance.is_none() {
                continue;
            }
            let phase = risk.phase.and_then(|id| project.phase_at(id)).filter(|at| *at < n);
            // What could go wrong in finished work did or did not.
            if phase.is_some_and(|at| matches!(network.progress(at), Progress::Finished { .. })) {
                continue;
            }
            let days = spread(risk.days_min, risk.days_likely.unwrap_or(0), risk.days_max);
            more += days.max;
            let cost = super::money::spread(risk, digits);
            risks.push(Happening { chance, phase, days: Dice::of(days), cost });
        }
        let mut days = figures.days.clone();
        let span = figures.ties.span();
        let arrivals = Arrivals::new(project, figures, &days);
        let latest = figures.forecast_finish.unwrap_or(as_of).max(arrivals.latest);
        days.reach(latest.plus(span).plus(i32::try_from((more * 2).min(LONGEST)).unwrap_or(0)));
        let terms = Terms::new(figures, &arrivals);
        let last_fact =
            project.phases.iter().enumerate().filter_map(|(i, phase)| match network.progress(i) {
                Progress::Finished { last_day, .. } => Some(last_day),
                Progress::UnderWay { .. } => phase.actual_start.map(Day::from),
                Progress::Ahead { .. } | Progress::Broken => None,
            });
        let last_fact = last_fact.max();
        let money = OpenMoney::new(project, figures, added);
        Model {
            project,
            figures,
            days,
            as_of,
            durations,
            left,
            drawn,
            visits,
            arrivals,
            risks,
            money,
            terms,
            last_fact,
        }
    }

    /// A part by its place among those that matter.
    pub(super) fn arrival(&self, at: usize) -> &Arrival {
        &self.arrivals.list[at]
    }
}

/// Room in the table of days; what lies behind it is looked up by walking on.
const LONGEST: i64 = 4_000;

fn spread(min: Option<i32>, likely: i32, max: Option<i32>) -> Spread {
    Spread::new(min.map(i64::from), i64::from(likely), max.map(i64::from))
}

/// Working days that work under way takes from the as-of day on by its own days: those that were said, else those up to
/// the finish of its whole duration.
fn days_left(figures: &Figures, phase: usize) -> Option<i32> {
    let Progress::UnderWay { finish, .. } = figures.plan.network.progress(phase) else { return None };
    let work = figures.days.work();
    let today = work.index(figures.as_of);
    if finish <= today {
        return Some(0);
    }
    let first = Worked::of(&figures.days, phase).start(today);
    Some(match figures.days.own(phase) {
        None => finish - first,
        Some(own) => own.index(work.day(finish - 1)) - own.index(work.day(first)) + 1,
    })
}
