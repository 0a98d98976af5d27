//! The precedence network: early dates forward, late dates backward, floats.
//!
//! Times are working-day indices of the house calendar; ES and EF = ES + D are half-open. The rules are those of the
//! precedence method with FS, SS, FF and SF links (standard precedence method; lags as in construction training
//! manual 14233). A link that can no longer bind is left out both ways: any link into a finished phase, and one that
//! bounds the start of a phase that has begun. Out-of-sequence work is reported by `check`, not repaired here.

use super::progress;
use super::worked::{Limit, Worked};
use crate::engine::calendar::{Calendar, Day};
use crate::engine::corrections;
use crate::engine::days::Days;
use crate::engine::index::phase_positions;
use crate::model::{LagUnit, LinkKind, Project};

pub use super::progress::Progress;

#[derive(Debug, Clone, Copy)]
struct Edge {
    from: usize,
    to: usize,
    kind: LinkKind,
    lag: i32,
    unit: LagUnit,
}

/// Early dates of one phase.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Early {
    /// Early start.
    pub start: i32,
    /// Early finish, half-open.
    pub finish: i32,
    /// What start (or, once begun, finish) would be without a delivery bound.
    pub unheld: i32,
}

/// Late dates and floats of one phase.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Late {
    /// Late start.
    pub start: i32,
    /// Late finish, half-open.
    pub finish: i32,
    /// Working days it can slip without moving the end; `None` once finished.
    pub total_float: Option<i32>,
}

/// How long phases take and how far they are, by position: as the document says, or as a trial drew it.
#[derive(Debug, Clone, Copy)]
pub struct Times<'a> {
    /// Durations in working days.
    pub durations: &'a [i32],
    /// What is known before the pass.
    pub progress: &'a [Progress],
}

/// A bound from deliveries on one phase, as an early start (or, once begun, an early finish).
pub type Bounds<'a> = &'a [Option<i32>];

/// A network ready for its passes.
#[derive(Debug, Clone, Default)]
pub struct Network {
    durations: Vec<i32>,
    progress: Vec<Progress>,
    /// Phases in an order in which every binding link points forward; those on or behind a circle are missing.
    order: Vec<usize>,
    /// Binding links sorted by the phase they lead to, with the range of each.
    into: Vec<Edge>,
    into_range: Vec<(usize, usize)>,
    /// The same links sorted by the phase they come from.
    out_of: Vec<Edge>,
    out_range: Vec<(usize, usize)>,
}

impl Network {
    /// Reads the phases and links of a project as they stand on the as-of day.
    pub fn new(project: &Project, days: &Days, as_of: Day) -> Network {
        Network::read(project, days, as_of, true)
    }

    /// The same as if no visit had failed: nothing waits for corrections, nor for the inspector to come again.
    pub fn without_failed_visits(project: &Project, days: &Days, as_of: Day) -> Network {
        Network::read(project, days, as_of, false)
    }

    fn read(project: &Project, days: &Days, as_of: Day, failed_visits: bool) -> Network {
        let n = project.phases.len();
        let durations = progress::durations(project, as_of);
        let progress = progress::read(project, days, as_of, &durations, failed_visits);
        let position = phase_positions(project);
        let find = |id: u32| position.get(id as usize).copied().filter(|i| *i < n);
        let mut into: Vec<Edge> = project
            .links
            .iter()
            .filter_map(|l| {
                let edge = Edge {
                    from: find(l.before.0)?,
                    to: find(l.after.0)?,
                    kind: l.kind,
                    lag: l.lag,
                    unit: l.unit,
                };
                let binds = match progress[edge.to] {
                    Progress::Finished { .. } => false,
                    Progress::UnderWay { .. } => !edge.kind.bounds_start(),
                    _ => true,
                };
                binds.then_some(edge)
            })
            .collect();
        if failed_visits {
            into.extend(correction_edges(project, &progress));
        }
        let mut out_of = into.clone();
        into.sort_by_key(|e| e.to);
        out_of.sort_by_key(|e| e.from);
        let into_range = ranges(n, into.iter().map(|e| e.to));
        let out_range = ranges(n, out_of.iter().map(|e| e.from));
        let mut network =
            Network { durations, progress, order: Vec::new(), into, into_range, out_of, out_range };
        network.order = network.order_with(&[]);
        network
    }

    /// How many phases there are.
    pub fn len(&self) -> usize {
        self.durations.len()
    }

    /// Whether there are no phases.
    pub fn is_empty(&self) -> bool {
        self.durations.is_empty()
    }

    /// What is known of a phase before the passes.
    pub fn progress(&self, phase: usize) -> Progress {
        self.progress[phase]
    }

    /// Its duration in working days.
    pub fn duration(&self, phase: usize) -> i32 {
        self.durations[phase]
    }

    /// The phases in an order in which every binding link points forward; those on or behind a circle are missing.
    pub fn order(&self) -> &[usize] {
        &self.order
    }

    /// Such an order in which further ties, from a phase to another, point forward too. Phases on or behind a circle of
    /// links and ties are missing.
    pub fn order_with(&self, ties: &[(usize, usize)]) -> Vec<usize> {
        let mut waits: Vec<usize> = self.into_range.iter().map(|(from, to)| to - from).collect();
        let mut more: Vec<Vec<usize>> = vec![Vec::new(); self.len()];
        for &(from, to) in ties {
            waits[to] += 1;
            more[from].push(to);
        }
        topological(waits, &self.progress, |i| {
            self.out_of(i).iter().map(|e| e.to).chain(more[i].iter().copied())
        })
    }

    /// How long phases take and how far they are, as the document says.
    pub fn times(&self) -> Times<'_> {
        Times { durations: &self.durations, progress: &self.progress }
    }

    /// The phases whose links alone would give a phase of known early dates its start (its finish, once begun): those of
    /// which none can slip without moving it.
    pub fn binding<'a>(
        &'a self,
        days: &'a Days,
        early: &'a [Option<Early>],
        phase: usize,
    ) -> impl Iterator<Item = usize> + 'a {
        let at = early[phase].map(|own| match self.progress[phase] {
            Progress::UnderWay { .. } => own.finish,
            _ => own.start,
        });
        self.binding_at(days, self.times(), early, phase, at)
    }

    /// The same with times of the caller's, for a phase that would start (once begun, finish) at an index.
    pub fn binding_at<'a>(
        &'a self,
        days: &'a Days,
        times: Times<'a>,
        early: &'a [Option<Early>],
        phase: usize,
        at: Option<i32>,
    ) -> impl Iterator<Item = usize> + 'a {
        let (work, worked, length) = (days.work(), Worked::of(days, phase), times.durations[phase]);
        self.into(phase).iter().filter_map(move |edge| {
            let bound = bound_from(times, work, edge, early[edge.from]?);
            let fixed = match times.progress[phase] {
                Progress::UnderWay { .. } => worked.finish_from(bound),
                _ if edge.kind.bounds_start() => worked.start(bound),
                _ => worked.start_for(bound, length),
            };
            (Some(fixed) == at).then_some(edge.from)
        })
    }

    /// Whether any of the phases that links lead from into a phase is one of these.
    pub fn follows(&self, phase: usize, any_of: &[bool]) -> bool {
        self.into(phase).iter().any(|edge| any_of[edge.from])
    }

    fn into(&self, phase: usize) -> &[Edge] {
        let (from, to) = self.into_range[phase];
        &self.into[from..to]
    }

    fn out_of(&self, phase: usize) -> &[Edge] {
        let (from, to) = self.out_range[phase];
        &self.out_of[from..to]
    }

    /// Forward pass. `bounds`, where given, holds delivery bounds by phase. `None` for what cannot be computed.
    pub fn forward(&self, days: &Days, bounds: Option<Bounds<'_>>) -> Vec<Option<Early>> {
        self.forward_in(&self.order, days, |i, _| bounds.and_then(|b| b[i]))
    }

    /// The same in an order of the caller's, in which every link points forward, with bounds that may hang on the phases
    /// before.
    pub fn forward_in(
        &self,
        order: &[usize],
        days: &Days,
        bound: impl Fn(usize, &[Option<Early>]) -> Option<i32>,
    ) -> Vec<Option<Early>> {
        let mut early: Vec<Option<Early>> = vec![None; self.len()];
        for &i in order {
            early[i] = self.early_of(days, self.times(), &early, i, bound(i, &early));
        }
        early
    }

    /// The early dates of one phase from those before it, with what deliveries and gates ask of it.
    pub fn early_of(
        &self,
        days: &Days,
        times: Times<'_>,
        early: &[Option<Early>],
        phase: usize,
        bound: Option<i32>,
    ) -> Option<Early> {
        let (work, worked) = (days.work(), Worked::of(days, phase));
        let bound = bound.unwrap_or(i32::MIN);
        match times.progress[phase] {
            Progress::Finished { start, finish, .. } => Some(Early { start, finish, unheld: start }),
            Progress::UnderWay { start, finish } => {
                let unheld = self
                    .into(phase)
                    .iter()
                    .filter_map(|e| Some(bound_from(times, work, e, early[e.from]?)))
                    .filter(|bound| *bound > finish)
                    .max()
                    .map_or(finish, |bound| worked.finish_from(bound));
                Some(Early { start, finish: unheld.max(bound), unheld })
            }
            Progress::Ahead { floor } => {
                let length = times.durations[phase];
                let unheld = self
                    .into(phase)
                    .iter()
                    .filter_map(|e| {
                        let bound = bound_from(times, work, e, early[e.from]?);
                        Some(if e.kind.bounds_start() { bound } else { worked.start_for(bound, length) })
                    })
                    .fold(floor, i32::max);
                let unheld = worked.start(unheld);
                let start = unheld.max(bound);
                Some(Early { start, finish: worked.finish(start, length), unheld })
            }
            Progress::Broken => None,
        }
    }

    /// The latest finish of all phases, half-open.
    pub fn end(early: &[Option<Early>]) -> Option<i32> {
        early.iter().flatten().map(|e| e.finish).max()
    }

    /// Backward pass. `end` gives the latest finish of a phase of this duration that nothing waits for.
    pub fn backward(
        &self,
        days: &Days,
        early: &[Option<Early>],
        end: impl Fn(i32) -> i32,
    ) -> Vec<Option<Late>> {
        let work = days.work();
        let mut late: Vec<Option<Late>> = vec![None; self.len()];
        for &i in self.order.iter().rev() {
            let Some(e) = early[i] else { continue };
            let length = self.durations[i];
            let worked = Worked::of(days, i);
            late[i] = Some(match self.progress[i] {
                Progress::Finished { start, finish, .. } => Late { start, finish, total_float: None },
                Progress::UnderWay { start, .. } => {
                    let finish = self.finish_limit(work, i, &late, end(length));
                    let finish = worked.latest_finish(finish, e.finish);
                    Late { start, finish, total_float: Some(finish - e.finish) }
                }
                Progress::Ahead { .. } | Progress::Broken => {
                    let limits = self.limits(work, i, &late, end(length));
                    let start = worked.latest_start(limits, length);
                    let finish = worked.finish(start, length);
                    Late { start, finish, total_float: Some(start - e.start) }
                }
            });
        }
        late
    }

    /// What the end and the phases behind it ask of a phase that has not begun, with these at their late dates.
    fn limits<'a>(
        &'a self,
        work: Calendar<'a>,
        phase: usize,
        late: &'a [Option<Late>],
        end: i32,
    ) -> impl Iterator<Item = Limit> + 'a {
        let own = self.out_of(phase).iter();
        let own = own.filter_map(move |edge| Some(limit(work, edge, late[edge.to]?, self.durations[phase])));
        own.chain([Limit::Finish(end)])
    }

    /// By when a phase under way must be finished, with the phases behind it at their late dates.
    fn finish_limit(&self, work: Calendar<'_>, phase: usize, late: &[Option<Late>], end: i32) -> i32 {
        let from_finish = self.out_of(phase).iter().filter(|edge| edge.kind.from_finish());
        let days = self.durations[phase].max(1);
        let limits = from_finish.filter_map(|edge| match limit(work, edge, late[edge.to]?, days) {
            Limit::Start(at) | Limit::Finish(at) => Some(at),
        });
        limits.fold(end, i32::min)
    }

    /// Free float: working days a phase can slip without moving the early dates of what follows, nor the end.
    /// `None` once finished.
    pub fn free_float(&self, days: &Days, early: &[Option<Early>]) -> Vec<Option<i32>> {
        let (work, end) = (days.work(), Self::end(early).unwrap_or(0));
        let fixed = |early: &Option<Early>| {
            early.map(|e| Late { start: e.start, finish: e.finish, total_float: None })
        };
        let fixed: Vec<Option<Late>> = early.iter().map(fixed).collect();
        (0..self.len())
            .map(|i| {
                let e = early[i]?;
                let worked = Worked::of(days, i);
                match self.progress[i] {
                    Progress::Finished { .. } | Progress::Broken => None,
                    Progress::UnderWay { .. } => {
                        let finish = self.finish_limit(work, i, &fixed, end);
                        Some(worked.latest_finish(finish, e.finish) - e.finish)
                    }
                    Progress::Ahead { .. } => {
                        let limits = self.limits(work, i, &fixed, end);
                        Some(worked.latest_start(limits, self.durations[i]) - e.start)
                    }
                }
            })
            .collect()
    }
}

/// The lowest start (FS, SS) or finish (FF, SF) that a link allows the phase behind it.
fn bound_from(times: Times<'_>, work: Calendar<'_>, edge: &Edge, early: Early) -> i32 {
    match (edge.kind, edge.unit) {
        (LinkKind::FS, LagUnit::Elapsed) => {
            let free = match times.progress[edge.from] {
                Progress::Finished { last_day, .. } if times.durations[edge.from] > 0 => last_day.plus(1),
                Progress::Finished { last_day, .. } => last_day,
                Progress::Ahead { .. } if times.durations[edge.from] == 0 => work.day(early.finish),
                _ => work.day(early.finish - 1).plus(1),
            };
            work.index(free.plus(edge.lag))
        }
        (LinkKind::SS, LagUnit::Elapsed) => work.index(work.day(early.start).plus(edge.lag)),
        (LinkKind::FS | LinkKind::FF, _) => early.finish.saturating_add(edge.lag),
        (LinkKind::SS | LinkKind::SF, _) => early.start.saturating_add(edge.lag),
    }
}

/// What a link asks at the latest of the phase before it, which takes so many days, to keep the phase behind it at its
/// late dates.
fn limit(work: Calendar<'_>, edge: &Edge, late: Late, days: i32) -> Limit {
    match (edge.kind, edge.unit) {
        (LinkKind::FS, LagUnit::Elapsed) => {
            let limit = work.day(late.start).plus(-edge.lag);
            if days == 0 { Limit::Start(work.index_back(limit)) } else { Limit::Finish(work.index(limit)) }
        }
        (LinkKind::SS, LagUnit::Elapsed) => {
            Limit::Start(work.index_back(work.day(late.start).plus(-edge.lag)))
        }
        (LinkKind::FS, _) => Limit::Finish(late.start.saturating_sub(edge.lag)),
        (LinkKind::FF, _) => Limit::Finish(late.finish.saturating_sub(edge.lag)),
        (LinkKind::SS, _) => Limit::Start(late.start.saturating_sub(edge.lag)),
        (LinkKind::SF, _) => Limit::Start(late.finish.saturating_sub(edge.lag)),
    }
}

/// An inspection that failed waits for the phases in which corrections are done, and then for the inspector.
fn correction_edges(project: &Project, progress: &[Progress]) -> Vec<Edge> {
    let lag = i32::try_from(project.settings.reinspect_wait).unwrap_or(i32::MAX);
    corrections::waits(project)
        .into_iter()
        .filter(|(_, from, to, circle)| {
            let done = matches!(progress[*from], Progress::Finished { .. });
            !circle && !done && matches!(progress[*to], Progress::Ahead { .. })
        })
        .map(|(_, from, to, _)| Edge { from, to, kind: LinkKind::FS, lag, unit: LagUnit::Working })
        .collect()
}

fn ranges(n: usize, sorted: impl Iterator<Item = usize>) -> Vec<(usize, usize)> {
    let mut ranges = vec![(0, 0); n];
    for (at, i) in sorted.enumerate() {
        if ranges[i].1 == 0 {
            ranges[i].0 = at;
        }
        ranges[i].1 = at + 1;
    }
    ranges
}

fn topological<I: Iterator<Item = usize>>(
    mut waits: Vec<usize>,
    progress: &[Progress],
    after: impl Fn(usize) -> I,
) -> Vec<usize> {
    let mut order: Vec<usize> =
        (0..waits.len()).filter(|i| waits[*i] == 0 && progress[*i] != Progress::Broken).collect();
    let mut next = 0;
    while next < order.len() {
        for to in after(order[next]) {
            waits[to] -= 1;
            if waits[to] == 0 && progress[to] != Progress::Broken {
                order.push(to);
            }
        }
        next += 1;
    }
    order
}
