//! Listed risks: what may happen, how likely that is, and what it would take and cost.

use super::field::{Field, Kind, at, field, of};
use super::ids::{PhaseId, RiskId};
use super::money::Money;
use super::project::Project;
use super::validate::{Checked, MAX_DAYS, amount, key, percent};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

/// Something that may happen. Plan and forecast know nothing of it; only trials of what may come do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Risk {
    /// Its number.
    pub id: RiskId,
    /// Its key in sheets.
    pub key: String,
    /// What may happen.
    pub what: String,
    /// The phase that would take longer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub phase: Option<PhaseId>,
    /// Its chance in percent.
    #[serde(default)]
    pub chance_pct: Decimal,
    /// The least it would cost; the likely cost where nobody has said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cost_min: Option<Money>,
    /// What it would likely cost.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cost_likely: Option<Money>,
    /// The most it would cost.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cost_max: Option<Money>,
    /// The fewest working days more for its phase; the likely ones where nobody has said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days_min: Option<i32>,
    /// The working days that its phase would likely take longer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days_likely: Option<i32>,
    /// The most working days more.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days_max: Option<i32>,
}

impl Risk {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Risk>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("what", "What may happen", Kind::Text(at!(what))).required(),
        field("phase", "In this phase", of!(Phase, PhaseId, phase?)),
        field("chance_pct", "Chance in percent", Kind::Percent(at!(chance_pct))).required(),
        field("cost_min", "Costs at least", Kind::Money(at!(cost_min?))).section("Money"),
        field("cost_likely", "Costs likely", Kind::Money(at!(cost_likely?))),
        field("cost_max", "Costs at most", Kind::Money(at!(cost_max?))),
        field("days_min", "Working days at least", Kind::Days(at!(days_min?))).section("Days"),
        field("days_likely", "Working days likely", Kind::Days(at!(days_likely?))),
        field("days_max", "Working days at most", Kind::Days(at!(days_max?))),
    ];

    /// A risk of nothing yet.
    pub fn new(id: RiskId) -> Risk {
        Risk {
            id,
            key: String::new(),
            what: String::new(),
            phase: None,
            chance_pct: Decimal::ZERO,
            cost_min: None,
            cost_likely: None,
            cost_max: None,
            days_min: None,
            days_likely: None,
            days_max: None,
        }
    }

    /// Checks a risk by itself.
    pub fn check(&self) -> Checked {
        key(&self.key)?;
        if self.what.trim().is_empty() {
            return Err("say what may happen".to_owned());
        }
        percent("the chance", self.chance_pct)?;
        for (what, cost) in [
            ("the least cost", self.cost_min),
            ("the likely cost", self.cost_likely),
            ("the highest cost", self.cost_max),
        ] {
            amount(what, cost.unwrap_or_default())?;
        }
        for days in [self.days_min, self.days_likely, self.days_max].into_iter().flatten() {
            if !(0..=MAX_DAYS).contains(&days) {
                return Err(format!("{days} days are not between 0 and {MAX_DAYS}"));
            }
        }
        if self.days_likely.is_some() && self.phase.is_none() {
            return Err("the days need the phase that takes longer; write it in phase".to_owned());
        }
        let cost = [self.cost_min, self.cost_likely, self.cost_max];
        around("cost", cost.map(|cost| cost.map(Money::amount)))?;
        around("days", [self.days_min, self.days_likely, self.days_max])?;
        Ok(())
    }

    /// Checks a risk against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        self.check()?;
        if self.phase.is_some_and(|id| project.phase(id).is_none()) {
            return Err("the risk names a phase that is not in the project".to_owned());
        }
        Ok(())
    }
}

/// The least and the most of something stand around what is likely.
fn around<V: PartialOrd + Copy + std::fmt::Display>(
    what: &str,
    [min, likely, max]: [Option<V>; 3],
) -> Checked {
    match likely {
        Some(likely) if min.is_some_and(|n| n > likely) || max.is_some_and(|n| n < likely) => {
            let (min, max) = (min.unwrap_or(likely), max.unwrap_or(likely));
            Err(format!("the likely {what} {likely} are not between the least {min} and the most {max}"))
        }
        None if min.is_some() || max.is_some() => {
            Err(format!("the least and the most {what} need a likely one; write it too"))
        }
        _ => Ok(()),
    }
}
