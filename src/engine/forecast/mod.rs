//! The forecast: the network once more with deliveries and gates, and what each phase shows of plan and forecast.
#![doc = include_str!("../../../assets/manual/forecast.md")]

pub mod costs;
mod pass;

pub use pass::{Facts, Forecast, asked};

use super::calendar::Day;
use super::gates::HeldByGate;

/// Figures of a phase. Dates are `None` on or behind a circle of links, or with a negative duration.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PhaseFigures {
    /// First day in the plan; the actual one once begun.
    pub early_start: Option<Day>,
    /// Last day in the plan; the actual one once finished.
    pub early_finish: Option<Day>,
    /// Latest first day that keeps the end.
    pub late_start: Option<Day>,
    /// Latest last day that keeps the end.
    pub late_finish: Option<Day>,
    /// Working days it can slip without moving the end. `None` once finished.
    pub total_float: Option<i32>,
    /// Working days it can slip without moving anything.
    pub free_float: Option<i32>,
    /// Total float against the target finish; negative when the target cannot be met.
    pub target_float: Option<i32>,
    /// Total float of zero or less.
    pub critical: bool,
    /// First day with deliveries as they are expected.
    pub forecast_start: Option<Day>,
    /// Last day with deliveries as they are expected.
    pub forecast_finish: Option<Day>,
    /// Working days all deliveries together cost this phase, beyond what comes from before it.
    pub held_days: i32,
    /// The parts whose arrival fixes it, each with the days that would be won without that one part. Two parts that
    /// arrive together are charged nothing each, since taking one away would not help.
    pub held_by: Vec<Held>,
    /// Working days that gates which are not ready cost this phase, beyond what comes from before it and its deliveries.
    pub gate_days: i32,
    /// The gates that cost them, each with the days that would be won without that one.
    pub held_by_gates: Vec<HeldByGate>,
}

/// A part that holds a phase.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Held {
    /// Position of the part.
    pub part: usize,
    /// Working days won without it.
    pub days: i32,
}

/// Puts plan and forecast together by phase.
pub fn phase_figures(facts: &Facts<'_>, forecast: &Forecast) -> Vec<PhaseFigures> {
    let (project, plan, work) = (facts.desk.project, facts.desk.plan, facts.desk.work());
    let figures = |(i, phase)| {
        let Some(early) = plan.early[i] else { return PhaseFigures::default() };
        let late = plan.late[i];
        let (start, finish) = plan.shown(work, i, phase, early.start, early.finish);
        let (late_start, late_finish) = late
            .map(|l| plan.shown(work, i, phase, l.start, l.finish))
            .map_or((None, None), |(s, f)| (Some(s), Some(f)));
        let total_float = late.and_then(|l| l.total_float);
        let mut figures = PhaseFigures {
            early_start: Some(start),
            early_finish: Some(finish),
            late_start,
            late_finish,
            total_float,
            free_float: plan.free[i],
            target_float: plan.target.as_ref().and_then(|t| t[i]).and_then(|l| l.total_float),
            critical: total_float.is_some_and(|float| float <= 0),
            ..PhaseFigures::default()
        };
        forecast.write(facts, i, &mut figures);
        figures
    };
    project.phases.iter().enumerate().map(figures).collect()
}
