//! The days on which a room, a use or a service is missed.

use super::Facts;
use crate::engine::calendar::Day;
use crate::engine::forecast::PhaseFigures;
use crate::model::{OutOfUse, PhaseId, RoomId, Service, Use};

/// Some days in a row, the first and the last included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span {
    /// The first day.
    pub from: Day,
    /// The last day.
    pub to: Day,
}

impl Span {
    /// The days from one to another; `None` when the other is before it.
    pub fn new(from: Day, to: Day) -> Option<Span> {
        (from <= to).then_some(Span { from, to })
    }

    /// How many days it is.
    pub fn days(self) -> i32 {
        self.to.since(self.from).saturating_add(1)
    }

    /// The days that are in both.
    pub fn both(self, other: Span) -> Option<Span> {
        Span::new(self.from.max(other.from), self.to.min(other.to))
    }
}

/// What can be missed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Out {
    /// All rooms of a use.
    Use(Use),
    /// A service.
    Service(Service),
    /// A room of another use.
    Room(RoomId),
}

/// The days on which something is missed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outage {
    /// What is missed.
    pub what: Out,
    /// Its days in the plan, in order and apart from each other.
    pub plan: Vec<Span>,
    /// Its days in the forecast.
    pub forecast: Vec<Span>,
    /// The rows that take it away, by position.
    pub rows: Vec<usize>,
}

/// The days on which a room is out of use, whether or not another of its use is left.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RoomOut {
    /// The room.
    pub room: RoomId,
    /// Its days in the plan.
    pub plan: Vec<Span>,
    /// Its days in the forecast.
    pub forecast: Vec<Span>,
    /// The rows that name it, by position.
    pub rows: Vec<usize>,
}

/// The days of a row.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct RowDays {
    /// Its days in the plan; `None` when its last phase ends before its first begins, or has no dates.
    pub plan: Option<Span>,
    /// Its days in the forecast.
    pub forecast: Option<Span>,
    /// Whether its phases have dates, so that no days means that they stand in the wrong order.
    pub known: bool,
}

/// The days of all rows, what is missed, and the rooms that rows name.
pub(super) fn read(facts: &Facts<'_>) -> (Vec<RowDays>, Vec<Outage>, Vec<RoomOut>) {
    let project = facts.project;
    let rows: Vec<RowDays> = project.out_of_use.iter().map(|row| days_of(facts, row)).collect();
    if rows.is_empty() {
        return (rows, Vec::new(), Vec::new());
    }
    let named = |takes: &dyn Fn(&OutOfUse) -> bool| -> Vec<usize> {
        project.out_of_use.iter().enumerate().filter(|(_, row)| takes(row)).map(|(at, _)| at).collect()
    };
    let plan = |of: &[usize]| joined(of.iter().filter_map(|at| rows.get(*at)?.plan));
    let forecast = |of: &[usize]| joined(of.iter().filter_map(|at| rows.get(*at)?.forecast));
    let mut rooms = Vec::new();
    for room in project.rooms.iter() {
        let own = named(&|row| row.room == Some(room.id));
        if !own.is_empty() {
            rooms.push(RoomOut { room: room.id, plan: plan(&own), forecast: forecast(&own), rows: own });
        }
    }
    let mut out: Vec<Outage> = Use::ALL
        .into_iter()
        .filter(|(_, of)| !of.is_other())
        .map(|(_, of)| {
            let own = || project.rooms.iter().filter(move |room| room.used_as == of);
            // A room that no row names is there every day.
            let known = || own().map(|room| rooms.iter().find(|out| out.room == room.id));
            let days = |get: fn(&RoomOut) -> &Vec<Span>| {
                shared(known().map(|room| room.map_or(&[] as &[Span], |room| get(room).as_slice())))
            };
            let rows = known().flatten().flat_map(|room| room.rows.iter().copied()).collect();
            Outage { what: Out::Use(of), plan: days(|r| &r.plan), forecast: days(|r| &r.forecast), rows }
        })
        .collect();
    for (_, service) in Service::ALL {
        let own = named(&|row| row.service == Some(service));
        out.push(Outage {
            what: Out::Service(service),
            plan: plan(&own),
            forecast: forecast(&own),
            rows: own,
        });
    }
    let of_room = |id| project.room(id).is_some_and(|room| room.used_as.is_other());
    out.extend(rooms.iter().filter(|room| of_room(room.room)).map(|room| Outage {
        what: Out::Room(room.room),
        plan: room.plan.clone(),
        forecast: room.forecast.clone(),
        rows: room.rows.clone(),
    }));
    out.retain(|outage| !outage.plan.is_empty() || !outage.forecast.is_empty());
    (rows, out, rooms)
}

/// From the first day of its first phase to the last day of its last one.
fn days_of(facts: &Facts<'_>, row: &OutOfUse) -> RowDays {
    let figures = |id: PhaseId| facts.index.of(id.0).and_then(|at| facts.phases.get(at));
    let Some((first, last)) = figures(row.from_phase).zip(figures(row.last_phase())) else {
        return RowDays::default();
    };
    let span = |from: fn(&PhaseFigures) -> Option<Day>, to: fn(&PhaseFigures) -> Option<Day>| {
        from(first).zip(to(last))
    };
    let plan = span(|f| f.early_start, |f| f.early_finish);
    let forecast = span(|f| f.forecast_start, |f| f.forecast_finish);
    let days = |ends: Option<(Day, Day)>| ends.and_then(|(from, to)| Span::new(from, to));
    RowDays { plan: days(plan), forecast: days(forecast), known: plan.is_some() || forecast.is_some() }
}

/// Days as spans in order, those that touch joined to one.
fn joined(spans: impl Iterator<Item = Span>) -> Vec<Span> {
    let mut spans: Vec<Span> = spans.collect();
    spans.sort_unstable();
    let mut joined: Vec<Span> = Vec::new();
    for span in spans {
        match joined.last_mut() {
            Some(last) if span.from <= last.to.plus(1) => last.to = last.to.max(span.to),
            _ => joined.push(span),
        }
    }
    joined
}

/// The days that all lists have; none of no lists.
fn shared<'a>(mut lists: impl Iterator<Item = &'a [Span]>) -> Vec<Span> {
    let Some(first) = lists.next() else { return Vec::new() };
    lists.fold(first.to_vec(), |left, list| {
        left.iter().flat_map(|a| list.iter().filter_map(move |b| a.both(*b))).collect()
    })
}
