//! Why a date is what it is: the chain of what fixes it, from a phase back to the as-of day.
//!
//! Read from the figures of the forecast alone. A phase that has not begun starts at the latest of its bounds (the
//! as-of day, the start of the project, its not-before day, the wait for a re-inspection, each link, each delivery);
//! the one that is the latest is its cause.

use super::calendar::Day;
use super::corrections;
use super::figures::Figures;
use super::gates::{GateFigures, Lack};
use super::lead;
use super::network::Progress;
use super::plan::worked::Worked;
use crate::model::{LagUnit, LeadUnit, Link, LinkId, LinkKind, Part, Phase, PhaseKind, Presence, Project};

/// What fixes the start of a phase, or once it has begun its finish.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// It could begin today, and no earlier.
    AsOf,
    /// The start of the project.
    ProjectStart,
    /// It is not to start before this day.
    NotBefore(Day),
    /// A permit, by position, lets it start on this day and no earlier.
    Permit(usize, Day),
    /// Its visit is booked for this day.
    Booked(Day),
    /// It failed an inspection on the first day. The corrections are done or due on the second, where they are not
    /// before.
    FailedInspection(Day, Option<Day>),
    /// Corrections are made in another phase, by position, and the next visit comes after it.
    Corrected(usize),
    /// A link from another phase.
    Link {
        /// The link.
        link: LinkId,
        /// Position of the phase before it.
        before: usize,
        /// Which ends it ties.
        kind: LinkKind,
        /// The wait.
        lag: i32,
        /// What the wait is counted in.
        unit: LagUnit,
    },
    /// A part that arrives later than everything else would allow.
    Delivery {
        /// Position of the part.
        part: usize,
        /// Working days all deliveries together cost the phase.
        days: i32,
    },
    /// A gate that is not ready, longer than everything else.
    Gate {
        /// Position of the gate.
        gate: usize,
        /// Working days all gates together cost the phase.
        days: i32,
        /// Position of the phase that the gate waits for, where that is what fixes it.
        after: Option<usize>,
    },
    /// It has begun; what is left of its own days fixes its finish.
    UnderWay,
    /// It is done.
    Done,
    /// On or behind a circle of links, or with a negative duration.
    NoDates,
}

/// A phase on the chain.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// Position of the phase.
    pub phase: usize,
    /// Its first day in the forecast.
    pub first: Option<Day>,
    /// Its last day in the forecast.
    pub last: Option<Day>,
    /// What fixes it.
    pub cause: Cause,
    /// Other causes that alone would fix it to the same day.
    pub also: Vec<Cause>,
    /// Holidays and closed days between the first and the last day, and right before the first: each stretch with why.
    pub skipped: Vec<DayOff>,
}

/// A stretch of days off that are no weekend.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayOff {
    /// First day.
    pub from: Day,
    /// Last day.
    pub to: Day,
    /// The reason noted for a closed range; empty for a holiday.
    pub why: String,
    /// Whether the house is open and its crew is not there.
    pub crew: bool,
}

/// How a part comes to its arrival, step by step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Delivery {
    /// The day it was ordered, or the earliest it can be.
    pub order: Day,
    /// Position of the phase that the order waits for.
    pub after: Option<usize>,
    /// The day the supplier takes the order.
    pub taken: Day,
    /// The day it is ready, after the lead time.
    pub ready: Day,
    /// Calendar days on the road.
    pub ship_days: i32,
    /// The day it arrives.
    pub arrival: Day,
    /// Whether it waits for a day on which it can be received.
    pub waits: bool,
    /// What the arrival rests on.
    pub rests_on: RestsOn,
}

/// What an arrival rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RestsOn {
    /// It has come.
    Received,
    /// The supplier promised it.
    Promised,
    /// Some of it came; the rest is promised, or replaced.
    Missing,
    /// It was due before the as-of day and has not come, so it is expected on the next receiving day.
    Overdue,
    /// Order and lead time.
    Lead,
}

/// The phase that ends last in the forecast.
pub fn last_phase(project: &Project, figures: &Figures) -> Option<usize> {
    let ends = |i: usize| figures.phases.get(i).and_then(|f| f.forecast_finish);
    // Of several the one behind the others: a milestone stands for what leads to it.
    let key = |i: &usize| (ends(*i), project.phases.get(*i).map(|p| p.kind == PhaseKind::Milestone), *i);
    (0..project.phases.len()).filter(|i| ends(*i).is_some()).max_by_key(key)
}

/// The chain that fixes a phase, from it back to what depends on nothing else.
pub fn chain(project: &Project, figures: &Figures, phase: usize) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::new();
    let mut at = phase;
    while at < project.phases.len() && !steps.iter().any(|s| s.phase == at) {
        let step = step(project, figures, at);
        let next = match step.cause {
            Cause::Link { before, .. } | Cause::Corrected(before) => Some(before),
            Cause::Delivery { part, .. } => figures.order_waits_for(part),
            Cause::Gate { after, .. } => after,
            _ => None,
        };
        steps.push(step);
        match next {
            Some(before) => at = before,
            None => break,
        }
    }
    steps
}

fn step(project: &Project, figures: &Figures, at: usize) -> Step {
    let f = &figures.phases[at];
    let mut causes = bounds(project, figures, at);
    causes.sort_by_key(|(bound, rank, _)| std::cmp::Reverse((*bound, *rank)));
    let top = causes.first().map(|(bound, _, _)| *bound);
    let mut best = causes.into_iter().take_while(|(bound, _, _)| Some(*bound) == top).map(|(_, _, c)| c);
    let cause = best.next().unwrap_or(Cause::NoDates);
    let also = best.collect();
    let skipped = f.forecast_start.zip(f.forecast_finish).map_or(Vec::new(), |(first, last)| {
        days_off(project, figures, at, before_first(figures, at, first), last)
    });
    Step { phase: at, first: f.forecast_start, last: f.forecast_finish, cause, also, skipped }
}

/// The day behind the last working day before a first day: days off there push the start.
fn before_first(figures: &Figures, phase: usize, first: Day) -> Day {
    let work = figures.days.own(phase).unwrap_or(figures.days.work());
    work.roll_back(first.plus(-1)).plus(1).min(first)
}

/// All bounds on a phase as working-day indices of its start (once begun: of its half-open finish), with a rank among
/// equal ones.
fn bounds(project: &Project, figures: &Figures, at: usize) -> Vec<(i32, u8, Cause)> {
    let (phase, f) = (&project.phases[at], &figures.phases[at]);
    let work = figures.days.work();
    let Some((start, finish)) = ends(project, figures, at) else { return Vec::new() };
    if is_done(phase) {
        return vec![(start, 0, Cause::Done)];
    }
    let under_way = phase.is_under_way();
    let (worked, length) = (Worked::of(&figures.days, at), figures.plan.network.duration(at));
    let mut found: Vec<(i32, u8, Cause)> = Vec::new();
    if under_way {
        // The plan knows when its own days are over.
        let own = match figures.plan.network.progress(at) {
            Progress::UnderWay { finish, .. } => finish,
            Progress::Ahead { .. } | Progress::Finished { .. } | Progress::Broken => finish,
        };
        found.push((own, 1, Cause::UnderWay));
    } else {
        found.push((work.index(figures.as_of), 0, Cause::AsOf));
        let project_start = Day::from(project.settings.start);
        if project_start > figures.as_of {
            found.push((work.index(project_start), 1, Cause::ProjectStart));
        }
        if let Some(day) = phase.not_before.map(Day::from) {
            found.push((work.index(day), 2, Cause::NotBefore(day)));
        }
        for (nth, permit) in project.permits.iter().enumerate().filter(|(_, p)| p.phases.contains(&phase.id))
        {
            let day = permit.issued_on.map_or(figures.as_of.plus(1), Day::from);
            found.push((work.index(day), 2, Cause::Permit(nth, day)));
        }
        if let Some(day) = phase.booked_visit().map(Day::from) {
            found.push((work.index(day), 2, Cause::Booked(day)));
        }
        let wait = i32::try_from(project.settings.reinspect_wait).unwrap_or(i32::MAX);
        let failed = phase.visits().map(|a| Day::from(a.date)).max();
        let due = phase.visits().filter_map(|a| a.correct_by).map(Day::from).max();
        let due = due.max(corrections::of_phase(project, phase.id, work, figures.as_of));
        if let Some(failed) = failed.or(due) {
            let due = due.filter(|day| *day >= failed);
            let bound = work.index(due.unwrap_or(failed).plus(1)).saturating_add(wait);
            found.push((bound, 3, Cause::FailedInspection(failed, due)));
        }
        for (_, fix, to, circle) in corrections::waits(project) {
            let finish = ends(project, figures, fix).map(|(_, finish)| finish);
            if let Some(finish) = finish.filter(|_| to == at && !circle && !is_done(&project.phases[fix])) {
                found.push((finish.saturating_add(wait), 4, Cause::Corrected(fix)));
            }
        }
    }
    for link in project.links.iter().filter(|l| l.after == phase.id) {
        if under_way && link.kind.bounds_start() {
            continue;
        }
        let Some(before) = figures.index.of(link.before.0) else { continue };
        let Some(bound) = link_bound(project, figures, before, link) else { continue };
        let bound =
            if under_way || link.kind.bounds_start() { bound } else { worked.start_for(bound, length) };
        let Link { id, kind, lag, unit, .. } = *link;
        found.push((bound, 4, Cause::Link { link: id, before, kind, lag, unit }));
    }
    if let Some(held) = f.held_by.first() {
        // The figures say that this is what fixes it.
        let bound = if under_way { finish } else { start };
        found.push((bound, 5, Cause::Delivery { part: held.part, days: f.held_days }));
    }
    if let Some(held) = f.held_by_gates.first() {
        // More than everything else, or it would cost no day.
        let after = figures.gates.get(held.gate).and_then(|gate| slowest_phase(figures, gate));
        found.push((start, 6, Cause::Gate { gate: held.gate, days: f.gate_days, after }));
    }
    found
}

/// The phase that is the last thing a gate waits for, where a phase is.
fn slowest_phase(figures: &Figures, gate: &GateFigures) -> Option<usize> {
    let last = gate.missing.iter().filter(|m| !m.circle).max_by_key(|m| m.expected)?;
    match last.what {
        Lack::Phase(phase) => Some(phase),
        // A part that is there, or comes sooner, waits for the phase that builds it in.
        Lack::Part(part, Presence::BuiltIn) => {
            let f = figures.parts.get(part.at)?;
            let phase = f.phase? as usize;
            let done = figures.phases.get(phase)?.forecast_finish?;
            (f.expected.is_none_or(|comes| comes <= done)).then_some(phase)
        }
        Lack::Part(part, Presence::OnSite) => figures.order_waits_for(part.at),
        Lack::Choice(_) | Lack::Word => None,
    }
}

fn is_done(phase: &Phase) -> bool {
    phase.finished_on().is_some() || (phase.kind == PhaseKind::Milestone && phase.actual_start.is_some())
}

/// Start and half-open finish of a phase in the forecast, as working-day indices.
fn ends(project: &Project, figures: &Figures, at: usize) -> Option<(i32, i32)> {
    let (phase, f) = (project.phases.get(at)?, figures.phases.get(at)?);
    let work = figures.days.work();
    let (first, last) = (f.forecast_start?, f.forecast_finish?);
    let start = work.index(first);
    if is_done(phase) {
        let finish = if phase.counted_days() == 0 { work.index(last) } else { work.index(last.plus(1)) };
        return Some((start.min(finish), finish));
    }
    let finish =
        if phase.counted_days() == 0 && !phase.is_under_way() { start } else { work.index(last.plus(1)) };
    Some((start, finish))
}

/// The lowest start (or finish) that a link allows, as in the forward pass.
fn link_bound(project: &Project, figures: &Figures, before: usize, link: &Link) -> Option<i32> {
    let (start, finish) = ends(project, figures, before)?;
    let phase = project.phases.get(before)?;
    let last = figures.phases.get(before)?.forecast_finish?;
    let work = figures.days.work();
    Some(match (link.kind, link.unit) {
        (LinkKind::FS, LagUnit::Elapsed) => {
            let free = if phase.counted_days() == 0 { last } else { last.plus(1) };
            work.index(free.plus(link.lag))
        }
        (LinkKind::SS, LagUnit::Elapsed) => work.index(work.day(start).plus(link.lag)),
        (LinkKind::FS | LinkKind::FF, _) => finish.saturating_add(link.lag),
        (LinkKind::SS | LinkKind::SF, _) => start.saturating_add(link.lag),
    })
}

/// Holidays, closed days and days without its crew between two days that would be worked otherwise.
fn days_off(project: &Project, figures: &Figures, phase: usize, from: Day, to: Day) -> Vec<DayOff> {
    let mut found: Vec<DayOff> = Vec::new();
    let work = figures.days.work();
    // A phase of years has no use for a list of every day off in it.
    for n in 0..=to.since(from).min(800) {
        let day = from.plus(n);
        if work.is_open(day) {
            if let Some(why) = without_crew(project, figures, phase, day) {
                match found.last_mut() {
                    Some(last) if last.why == why && day.since(last.to) <= 3 => last.to = day,
                    _ => found.push(DayOff { from: day, to: day, why, crew: true }),
                }
            }
            continue;
        }
        if !project.settings.weekdays.contains(chrono::Datelike::weekday(&day.date())) {
            continue;
        }
        let closed = project.settings.closed.iter().find(|r| (r.from..=r.to).contains(&day.date()));
        let why = match closed {
            Some(range) if !figures.days.is_holiday(day) || !range.why.is_empty() => range.why.clone(),
            _ => String::new(),
        };
        match found.last_mut() {
            Some(last) if last.why == why && closed.is_some() && day.since(last.to) <= 3 => last.to = day,
            Some(last) if last.why == why && day.since(last.to) == 1 => last.to = day,
            _ => found.push(DayOff { from: day, to: day, why, crew: false }),
        }
    }
    found
}

/// Why a phase is not worked on a working day of the house: its crew is away, or did not come.
fn without_crew(project: &Project, figures: &Figures, phase: usize, day: Day) -> Option<String> {
    let closed = figures.days.own(phase).is_some_and(|own| !own.is_open(day));
    let phase = project.phases.get(phase).filter(|_| closed)?;
    let crew = phase.crew.and_then(|id| project.crew(id));
    let name = crew.map_or("the crew", |c| c.name.as_str());
    let missed = phase.missed.iter().find(|m| Day::from(m.date) == day);
    let away = crew.and_then(|c| c.away.iter().find(|r| (r.from..=r.to).contains(&day.date())));
    let (what, why) = match (missed, away) {
        (Some(missed), _) => ("did not come", missed.why.as_str()),
        (None, away) => ("is away", away.map_or("", |r| r.why.as_str())),
    };
    Some(if why.is_empty() { format!("{name} {what}") } else { format!("{name} {what}: {why}") })
}

/// How the part at a position comes to its arrival. `part` and `decide_on` are those of the document.
pub fn delivery(
    project: &Project,
    figures: &Figures,
    at: usize,
    part: &Part,
    decide_on: Option<chrono::NaiveDate>,
) -> Option<Delivery> {
    let f = figures.parts.get(at)?;
    let days = figures.days.supplier(f.supplier.map(|s| s as usize));
    let earliest = figures.first_order(at, decide_on);
    let order = f.placed.filter(|_| part.ordered_on.is_some()).unwrap_or(earliest);
    let taken = days.order.roll_forward(order);
    // With nothing on the road and every day a receiving day, what arrives is what is ready.
    let lead = lead::counted(project, part)?;
    let arrival = f.expected?;
    let count = i32::try_from(lead.count).unwrap_or(i32::MAX);
    let ready = match (lead.unit, days.lead) {
        (LeadUnit::Working, _) => days.order.day(days.order.index(taken).saturating_add(count)),
        (unit, running) => {
            let n = if unit == LeadUnit::Weeks { count.saturating_mul(7) } else { count };
            match running {
                Some(running) => running.day(running.index(taken).saturating_add(n)),
                None => taken.plus(n),
            }
        }
    };
    let rests_on = if f.on_site {
        RestsOn::Received
    } else if f.overdue {
        RestsOn::Overdue
    } else if figures.deliveries.of(at).is_some() {
        RestsOn::Missing
    } else if part.promised_on.is_some() && f.placed.is_some() {
        RestsOn::Promised
    } else {
        RestsOn::Lead
    };
    let waits = ready.plus(days.ship_days) != arrival;
    let after = figures.order_waits_for(at);
    Some(Delivery { order, after, taken, ready, ship_days: days.ship_days, arrival, waits, rests_on })
}
