//! By what the finish moved, as far as it is known now, and how much of it is assumed.
//!
//! Working days, each cause on top of those before it: first the waits after failed visits, against the plan as if none
//! had failed; then deliveries; then gates that are not ready. So they add up, and a cause that hides behind another is
//! charged nothing: what was lost stays lost when something else becomes the reason.

use super::calendar::Day;
use super::forecast::costs::Tight;
use super::forecast::{Facts, Forecast};
use super::network::Network;
use super::order_after::Desk;
use super::parts::PartFigures;
use crate::model::{Phase, PhaseKind, Project};

/// Working days by which the finish moved, by cause.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Moved {
    /// Visits that failed: their corrections, and the wait for the inspector.
    pub sign_offs: i32,
    /// Parts that come later than the plan needs them.
    pub deliveries: i32,
    /// Gates that are not ready.
    pub gates: i32,
}

impl Moved {
    /// All of it.
    pub fn days(&self) -> i32 {
        self.sign_offs + self.deliveries + self.gates
    }
}

/// Works it out. `forecast` is the pass with deliveries and gates.
pub fn moved(facts: &Facts<'_>, forecast: &Forecast, as_of: Day) -> Option<Moved> {
    let Desk { project, plan, days } = facts.desk;
    let lost = forecast.days_lost(plan)?;
    let failed = project.phases.iter().any(|p| p.finished_on().is_none() && p.visits().next().is_some());
    let sign_offs = if failed || !project.corrections.is_empty() {
        let without = Network::without_failed_visits(project, days, as_of).forward(days, None);
        Network::end(&plan.early).zip(Network::end(&without)).map_or(0, |(with, without)| with - without)
    } else {
        0
    };
    let deliveries = if facts.gates.iter().any(|gate| !gate.missing.is_empty()) {
        Forecast::new(&Facts { gates: &[], ..*facts }).days_lost(plan).unwrap_or(lost)
    } else {
        lost
    };
    Some(Moved { sign_offs, deliveries, gates: lost - deliveries })
}

/// How much of the forecast dates rests on what nobody has said.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Assumed {
    /// Parts that count and have not come, counted on for a day that is only typical.
    pub parts: usize,
    /// Phases of work that are not finished and of which nobody has said how long they take.
    pub phases: usize,
    /// Whether the finish hangs on one of them.
    pub finish: bool,
}

/// Counts what is assumed. `tight` is what the finish hangs on.
pub fn assumed(project: &Project, parts: &[PartFigures], tight: &Tight) -> Assumed {
    let not_said = |phase: &Phase| {
        phase.kind == PhaseKind::Work && phase.days.is_none() && phase.finished_on().is_none()
    };
    let typical = |f: &PartFigures| f.live && !f.built_in && f.is_assumed();
    let finish = tight.parts.iter().any(|at| typical(&parts[*at]))
        || tight.phases.iter().any(|at| not_said(&project.phases[*at]));
    Assumed {
        parts: parts.iter().filter(|f| typical(f)).count(),
        phases: project.phases.iter().filter(|p| not_said(p)).count(),
        finish,
    }
}
