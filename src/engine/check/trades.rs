//! Checks of trades: one that would be in two phases on the same days.

use super::Found;
use crate::engine::calendar::Day;
use crate::model::{Phase, PhaseKind, Severity, Subject};

impl Found<'_> {
    /// One trade at work in two phases at once, by the forecast. Nothing is moved; it takes two crews or a link.
    pub(super) fn trades(&mut self) {
        let (project, figures) = (self.project, self.figures);
        let ahead = |p: &Phase| p.kind == PhaseKind::Work && p.finished_on().is_none();
        let mut spans: Vec<(String, Day, Day, usize)> = Vec::new();
        for (at, (phase, f)) in project.phases.iter().zip(&figures.phases).enumerate() {
            let trade = phase.trade.trim().to_lowercase();
            // A crew that is named is looked for by itself.
            if let (true, Some((from, to))) =
                (ahead(phase) && phase.crew.is_none(), f.forecast_start.zip(f.forecast_finish))
                && !trade.is_empty()
                && phase.counted_days() > 0
            {
                spans.push((trade, from.max(figures.as_of), to, at));
            }
        }
        spans.sort();
        for of_trade in spans.chunk_by(|a, b| a.0 == b.0) {
            for (n, (_, from, to, at)) in of_trade.iter().enumerate() {
                let also: Vec<&(String, Day, Day, usize)> =
                    of_trade[n + 1..].iter().filter(|(_, begins, ..)| begins <= to).collect();
                let Some(first) = also.first() else { continue };
                let phase = &project.phases[*at];
                let names: Vec<&str> =
                    also.iter().map(|(.., other)| project.phases[*other].name.as_str()).collect();
                let until = also.iter().map(|(_, _, ends, _)| *ends.min(to)).max().unwrap_or(*to);
                let message = format!(
                    "{} is in {} and in {} at once, from {} to {until}; have a second crew for it, or link one behind the other",
                    phase.trade,
                    phase.name,
                    names.join(", "),
                    first.1.max(*from),
                );
                self.add(Severity::Warning, "trade_twice", Subject::Phase(phase.id), &phase.key, message);
            }
        }
    }
}
