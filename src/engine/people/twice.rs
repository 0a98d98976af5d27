//! A crew in two phases at once. Nothing is moved by itself: both orders are offered.

use crate::engine::calendar::Day;
use crate::engine::forecast::PhaseFigures;
use crate::model::{CrewId, LagUnit, Link, LinkId, LinkKind, Phase, Project};

/// Two phases of one crew that share days in the forecast.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Twice {
    /// The crew.
    pub crew: CrewId,
    /// Position of the phase that begins first.
    pub first: usize,
    /// Position of the other.
    pub second: usize,
    /// First shared day.
    pub from: Day,
    /// Last shared day.
    pub to: Day,
}

/// All pairs of phases that share days, from the as-of day on.
pub fn twice(project: &Project, phases: &[PhaseFigures], as_of: Day) -> Vec<Twice> {
    let takes_days = |p: &Phase| p.finished_on().is_none() && p.counted_days() > 0;
    let mut spans: Vec<(CrewId, Day, Day, usize)> = Vec::new();
    for (at, (phase, f)) in project.phases.iter().zip(phases).enumerate() {
        if let (Some(crew), Some((from, to))) = (phase.crew, f.forecast_start.zip(f.forecast_finish))
            && takes_days(phase)
            && to >= as_of
        {
            spans.push((crew, from.max(as_of), to, at));
        }
    }
    spans.sort_unstable_by_key(|(crew, from, _, at)| (*crew, *from, *at));
    let mut found = Vec::new();
    for of_crew in spans.chunk_by(|a, b| a.0 == b.0) {
        for (n, (crew, _, to, first)) in of_crew.iter().enumerate() {
            let also = of_crew[n + 1..].iter().take_while(|(_, begins, ..)| begins <= to);
            found.extend(also.map(|(_, begins, ends, second)| Twice {
                crew: *crew,
                first: *first,
                second: *second,
                from: *begins,
                to: *ends.min(to),
            }));
        }
    }
    found
}

/// The link that puts one phase behind another, with a number not used before.
pub fn link_of(project: &Project, before: usize, after: usize) -> Option<Link> {
    Some(Link {
        id: LinkId(project.next_id),
        before: project.phases.get(before)?.id,
        after: project.phases.get(after)?.id,
        kind: LinkKind::FS,
        lag: 0,
        unit: LagUnit::Working,
    })
}
