//! What may come as JSON: shares as text with four digits, standard errors beside their percentiles.

use super::figures::{FiguresJson, Names, day};
use crate::engine::Figures;
use crate::engine::risk::{Percentiles, Risk};
use crate::model::Project;
use serde::Serialize;

/// What trials say.
#[derive(Debug, Serialize)]
pub(super) struct RiskJson {
    trials: u32,
    seed: u64,
    confidence: u32,
    finish: Option<PercentilesJson>,
    total: PercentilesJson,
    target_chance: Option<String>,
    contingency_chance: String,
    phases: Vec<ShareJson>,
    parts: Vec<PartShareJson>,
    by_day: Vec<DayJson>,
    by_amount: Vec<AmountJson>,
}

/// Three percentiles, with their standard errors: of days in calendar days.
#[derive(Debug, Serialize)]
struct PercentilesJson {
    p50: String,
    p80: String,
    p90: String,
    se: ErrorsJson,
}

#[derive(Debug, Serialize)]
struct ErrorsJson {
    p50: String,
    p80: String,
    p90: String,
}

/// The share of trials in which a phase fixes the finish.
#[derive(Debug, Serialize)]
struct ShareJson {
    key: String,
    share: String,
}

/// The same of a part, what a week's wait costs in working days, and its last order day at the confidence.
#[derive(Debug, Serialize)]
struct PartShareJson {
    key: String,
    share: String,
    week_costs: Option<String>,
    order_by_at: Option<String>,
}

/// Trials that finish on a day, and the share of those that are finished by then.
#[derive(Debug, Serialize)]
struct DayJson {
    day: String,
    trials: u32,
    share: String,
}

/// Trials that come to an amount or less and to more than the one before, and the share of those that come to it or less.
#[derive(Debug, Serialize)]
struct AmountJson {
    up_to: String,
    trials: u32,
    share: String,
}

impl FiguresJson {
    /// The figures with what trials say of them. Parts that count in nothing are left out.
    pub fn with_risk(self, project: &Project, figures: &Figures, risk: &Risk) -> FiguresJson {
        let names = Names::new(project);
        let share = |trials: u32| risk.share(trials).to_string();
        let phases = project.phases.iter().zip(&risk.phases);
        let phases = phases
            .map(|(phase, own)| ShareJson { key: phase.key.clone(), share: share(own.fixing) })
            .collect();
        let parts = risk.parts.iter().enumerate();
        let parts =
            parts.filter(|(at, own)| figures.parts[*at].live || own.fixing > 0 || own.order_by.is_some());
        let parts = parts.map(|(at, own)| PartShareJson {
            key: names.part_key(at),
            share: share(own.fixing),
            week_costs: own.week_costs.map(|days| days.to_string()),
            order_by_at: day(own.order_by),
        });
        let finish = risk.finish.map(|own| percentiles(&own, ToString::to_string, ToString::to_string));
        let by_day = risk.by_day.iter().map(|(day, trials)| DayJson {
            day: day.to_string(),
            trials: *trials,
            share: risk.finished_by(*day).to_string(),
        });
        let by_amount = risk.by_amount.iter().map(|(up_to, trials)| AmountJson {
            up_to: names.money_text(*up_to),
            trials: *trials,
            share: risk.within(*up_to).to_string(),
        });
        let json = RiskJson {
            trials: risk.trials,
            seed: risk.seed,
            confidence: risk.confidence,
            finish,
            total: percentiles(&risk.total, |a| names.money_text(*a), |a| names.money_text(*a)),
            target_chance: risk.in_target.map(share),
            contingency_chance: share(risk.in_contingency),
            phases,
            parts: parts.collect(),
            by_day: by_day.collect(),
            by_amount: by_amount.collect(),
        };
        self.and_risk(json)
    }
}

fn percentiles<T, E>(
    own: &Percentiles<T, E>,
    text: impl Fn(&T) -> String,
    error: impl Fn(&E) -> String,
) -> PercentilesJson {
    let [p50, p80, p90] = &own.errors;
    PercentilesJson {
        p50: text(&own.p50),
        p80: text(&own.p80),
        p90: text(&own.p90),
        se: ErrorsJson { p50: error(p50), p80: error(p80), p90: error(p90) },
    }
}
