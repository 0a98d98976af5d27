//! Phases as bars on a calendar, on one page: what is on it.

use super::words::{count, date, days};
use crate::engine::phase_groups::{PhasesBy, groups};
use crate::engine::{Day, Figures};
use crate::model::{Phase, PhaseKind, Project};
use chrono::NaiveDate;

/// Phases that have a row of their own; where there are more, each trade has one.
pub const MOST: usize = 80;

/// Bars on a calendar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Calendar {
    /// The first day on it.
    pub from: NaiveDate,
    /// The last day on it.
    pub to: NaiveDate,
    /// The day it is looked at on.
    pub as_of: NaiveDate,
    /// The day by which all is to be done.
    pub target: Option<NaiveDate>,
    /// From above.
    pub rows: Vec<CalendarRow>,
    /// The same in words, for who cannot see it.
    pub told: String,
}

impl Calendar {
    /// Where the beginning of a day stands between both ends, from 0 to 1.
    pub fn share(&self, day: NaiveDate) -> f32 {
        let days = |to: NaiveDate| (to - self.from).num_days() as f32;
        days(day) / (days(self.to) + 1.0)
    }
}

/// A row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CalendarRow {
    /// What it is.
    pub name: String,
    /// Its first and its last day, where they are known.
    pub days: Option<(NaiveDate, NaiveDate)>,
    /// A day lost there is a day lost at the end.
    pub critical: bool,
    /// What is drawn.
    pub bars: Vec<Bar>,
}

impl CalendarRow {
    /// It in words.
    pub fn told(&self) -> String {
        let days = self.days.map_or("no dates".to_owned(), |(from, to)| days(Some(from), Some(to)));
        format!("{}, {days}{}", self.name, if self.critical { ", critical" } else { "" })
    }
}

/// A phase on the calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bar {
    /// What it looks like.
    pub shape: BarShape,
    /// Its first day.
    pub from: NaiveDate,
    /// Its last day.
    pub to: NaiveDate,
    /// A day lost there is a day lost at the end.
    pub critical: bool,
}

/// What a phase looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BarShape {
    /// Work to come or under way: filled.
    Work,
    /// Work that is done: an outline.
    Done,
    /// A visit: a ring.
    Inspection,
    /// A day without work of its own: a diamond.
    Milestone,
}

impl BarShape {
    /// All, with their words.
    pub const ALL: [(BarShape, &'static str); 4] = [
        (BarShape::Work, "work"),
        (BarShape::Done, "done"),
        (BarShape::Inspection, "inspection"),
        (BarShape::Milestone, "milestone"),
    ];

    fn of(phase: &Phase) -> BarShape {
        match phase.kind {
            PhaseKind::Inspection => BarShape::Inspection,
            PhaseKind::Milestone => BarShape::Milestone,
            PhaseKind::Work if phase.counted_days() == 0 => BarShape::Milestone,
            PhaseKind::Work if phase.finished_on().is_some() => BarShape::Done,
            PhaseKind::Work => BarShape::Work,
        }
    }
}

/// The calendar of a project in the forecast; nothing where no phase has days.
pub fn of(project: &Project, figures: &Figures) -> Option<Calendar> {
    let mut order: Vec<usize> = (0..project.phases.len()).collect();
    // As they come; those without a day stand at the end, as in the table.
    let start = |at: &usize| figures.phases.get(*at).and_then(|f| f.forecast_start);
    order.sort_by_key(|at| (start(at).is_none(), start(at), *at));
    let bar = |at: &usize| {
        let (phase, f) = (project.phases.get(*at)?, figures.phases.get(*at)?);
        let (from, to) = f.forecast_start.zip(f.forecast_finish)?;
        let shape = BarShape::of(phase);
        Some(Bar { shape, from: from.date(), to: to.max(from).date(), critical: f.critical })
    };
    let folded = order.len() > MOST;
    let rows: Vec<CalendarRow> = if folded {
        let groups = groups(project, figures, PhasesBy::Trade, &order);
        let row = groups.into_iter().map(|group| CalendarRow {
            name: format!("{}, {}", group.name, count(group.phases.len(), "phase")),
            days: group.sum.days.map(|(from, to)| (from.date(), to.date())),
            critical: group.sum.critical > 0,
            bars: group.phases.iter().filter_map(bar).collect(),
        });
        row.collect()
    } else {
        let row = order.iter().filter_map(|at| {
            let (name, bars) = (project.phases.get(*at)?.name.clone(), bar(at));
            let (days, critical) = (bars.map(|bar| (bar.from, bar.to)), bars.is_some_and(|bar| bar.critical));
            Some(CalendarRow { name, days, critical, bars: bars.into_iter().collect() })
        });
        row.collect()
    };
    let (first, last) = (
        rows.iter().filter_map(|row| Some(row.days?.0)).min()?,
        rows.iter().filter_map(|row| Some(row.days?.1)).max()?,
    );
    let (as_of, target) = (figures.as_of.date(), project.settings.target_finish);
    let from = Day::from(first.min(as_of)).plus(-2).date();
    let to = Day::from(last.max(as_of).max(target.unwrap_or(last))).plus(3).date();
    let phases = count(order.len(), "phase");
    let critical: Vec<&str> = rows.iter().filter(|row| row.critical).map(|row| row.name.as_str()).collect();
    let told = format!(
        "Calendar of {phases}{}, {} to {}, as of {}{}. {}The days of each phase stand in the table.",
        if folded { " by trade" } else { "" },
        date(first),
        date(last),
        date(as_of),
        target.map_or(String::new(), |day| format!(", target {}", date(day))),
        if critical.is_empty() { String::new() } else { format!("Critical: {}. ", critical.join("; ")) },
    );
    Some(Calendar { from, to, as_of, target, rows, told })
}
