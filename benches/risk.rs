//! Trials of what may come, beside single trials made as whole computations of a document with the draws written in.
//!
//! Both must agree before anything is timed. With a path in `RISK_JOB` the project is written there for
//! `risk_numpy.py`, which simulates one of the same size.

#[allow(dead_code)]
mod generate;

use divan::{Bencher, black_box};
use generate::AS_OF;
use needline::engine::risk::{Laid, Run, Watch, laid_open, simulate};
use needline::engine::{Figures, compute};
use needline::model::{LagUnit, LeadUnit, LinkKind, NeededAt, PhaseKind, Project};
use rust_decimal::Decimal;
use serde_json::{Value, json};
use std::sync::Arc;

const SEED: u64 = 1;

fn main() {
    let (project, figures) = uncertain();
    let mut checked = 0;
    for trial in 0..200 {
        let laid = laid_open(&project, &figures, SEED, Some(trial));
        let written = compute(&with(&project, &laid), AS_OF);
        // What is overdue, and what was promised, is not told by a lead time that is written in.
        assert!(written.forecast_finish == laid.finish, "trial {trial}");
        checked += 1;
    }
    let (finish, phases) = (figures.forecast_finish, project.phases.len());
    println!("{} parts, {phases} phases, forecast {finish:?}; {checked} trials agree", figures.parts.len());
    if let Ok(path) = std::env::var("RISK_JOB") {
        std::fs::write(path, job(&project).to_string()).expect("the path can be written to");
    }
    divan::main();
}

/// 600 parts and 60 phases. Every phase and lead time has a spread, visits may fail; nothing is promised.
fn uncertain() -> (Project, Figures) {
    let mut p = generate::project(600, 60);
    for (i, phase) in Arc::make_mut(&mut p.phases).iter_mut().enumerate() {
        if let Some(days) = phase.days.filter(|days| *days > 0) {
            (phase.days_min, phase.days_max) = (Some((days - 2).max(1)), Some(days + 3 + i as i32 % 3));
        }
        // A visit that fails cannot be written into a document.
        phase.fail_pct = None;
    }
    for (i, selection) in Arc::make_mut(&mut p.selections).iter_mut().enumerate() {
        for part in Arc::make_mut(selection).options.iter_mut().flat_map(|o| &mut o.parts) {
            part.promised_on = None;
            let lead = part.lead.unwrap_or(10);
            part.lead = Some(lead);
            (part.lead_min, part.lead_max) = (Some(lead - lead / 3), Some(lead + lead / 2 + i as u32 % 4));
            part.ordered_on = None;
            (part.received_on, part.installed_on) = (None, None);
        }
    }
    Arc::make_mut(&mut p.orders).clear();
    Arc::make_mut(&mut p.deliveries).clear();
    p.reindex();
    let figures = compute(&p, AS_OF);
    (p, figures)
}

/// The document with what a trial drew written in.
fn with(project: &Project, laid: &Laid) -> Project {
    let mut p = project.clone();
    for (phase, (id, days)) in Arc::make_mut(&mut p.phases)
        .iter_mut()
        .filter(|phase| laid.days.iter().any(|(id, _)| *id == phase.id))
        .zip(&laid.days)
    {
        assert_eq!(phase.id, *id);
        (phase.days_min, phase.days_max) = (None, None);
        if phase.actual_start.is_some() { phase.days_left = Some(*days) } else { phase.days = Some(*days) }
    }
    let mut leads = laid.leads.iter().peekable();
    for selection in Arc::make_mut(&mut p.selections) {
        for part in Arc::make_mut(selection).options.iter_mut().flat_map(|o| &mut o.parts) {
            if let Some((_, count, unit)) = leads.next_if(|(id, ..)| *id == part.id) {
                (part.lead, part.lead_unit) = (Some(*count), *unit);
                (part.lead_min, part.lead_max) = (None, None);
            }
        }
    }
    assert_eq!(leads.next(), None);
    p
}

/// A project of the same size in the words of `tests/outside/risk.py`: links without lags in calendar days, no suppliers.
fn job(project: &Project) -> Value {
    let at = |id| project.phase_at(id);
    let phases = project.phases.iter().map(|phase| {
        let days = phase.days.unwrap_or(0);
        let check = phase.kind == PhaseKind::Inspection;
        json!({
            "days": [phase.days_min.unwrap_or(days), days, phase.days_max.unwrap_or(days)],
            "fail_pct": check.then_some(15), "correct_days": null,
        })
    });
    let links = project.links.iter().filter_map(|link| {
        let kind = LinkKind::ALL.iter().find(|(_, kind)| *kind == link.kind)?.0;
        let lag = if link.unit == LagUnit::Working { link.lag } else { link.lag * 5 / 7 };
        Some(json!([at(link.before)?, at(link.after)?, kind, lag]))
    });
    let live = project
        .all_parts()
        .filter(|(selection, option, _)| selection.live_option().is_some_and(|live| live.id == option.id));
    let parts = live.filter_map(|(_, _, part)| {
        let lead = part.lead.unwrap_or(0);
        let unit = match part.lead_unit {
            LeadUnit::Days => "days",
            LeadUnit::Working => "working",
            LeadUnit::Weeks => "weeks",
        };
        Some(json!({
            "phase": at(part.phase?)?, "at_finish": part.at == NeededAt::Finish, "unit": unit,
            "lead": [part.lead_min.unwrap_or(lead), lead, part.lead_max.unwrap_or(lead)],
            "hold": part.hold.unwrap_or(1), "promised": null,
        }))
    });
    json!({
        "phases": phases.collect::<Vec<_>>(), "links": links.collect::<Vec<_>>(),
        "parts": parts.collect::<Vec<_>>(), "risks": [], "choices": [],
    })
}

#[divan::bench(args = [1, 2], sample_count = 5, sample_size = 1)]
fn trials_10_000(bencher: Bencher<'_, '_>, threads: usize) {
    let (mut project, _) = uncertain();
    for phase in Arc::make_mut(&mut project.phases).iter_mut() {
        if phase.kind == PhaseKind::Inspection {
            phase.fail_pct = Some(Decimal::from(15));
        }
    }
    let figures = compute(&project, AS_OF);
    let run = Run { threads, ..Run::new(10_000, SEED) };
    bencher.bench_local(|| simulate(black_box(&project), &figures, run, &Watch::default()));
}

#[divan::bench(sample_count = 100, sample_size = 1)]
fn one_trial_as_a_whole_computation(bencher: Bencher<'_, '_>) {
    let (project, figures) = uncertain();
    let laid = laid_open(&project, &figures, SEED, Some(0));
    bencher.bench_local(|| compute(&with(black_box(&project), &laid), AS_OF));
}
