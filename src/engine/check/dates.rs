//! Checks of phases: inspections, dates after the as-of day, work done out of sequence, the target.

use super::Found;
use crate::engine::calendar::Day;
use crate::model::phase::{Link, LinkKind};
use crate::model::words::count;
use crate::model::{Correction, LagUnit, Phase, PhaseKind, Severity, Subject};

impl Found<'_> {
    pub(super) fn phases(&mut self) {
        let (project, figures) = (self.project, self.figures);
        for (phase, f) in project.phases.iter().zip(&figures.phases) {
            let subject = Subject::Phase(phase.id);
            if phase.counted_days() < 0 {
                let message = format!("{} has {} days; write zero or more", phase.name, phase.counted_days());
                self.add(Severity::Error, "negative_duration", subject, &phase.key, message);
            }
            if phase.days.is_none() && phase.kind == PhaseKind::Work && phase.finished_on().is_none() {
                let (severity, message) = match phase.typical_days() {
                    Some(days) => (
                        Severity::Note,
                        format!(
                            "nobody has said how long {} takes; {} are typical and counted; ask who does it",
                            phase.name,
                            count(days, "working day")
                        ),
                    ),
                    None => (
                        Severity::Warning,
                        format!(
                            "nobody has said how long {} takes, so it counts no days; ask who does it",
                            phase.name
                        ),
                    ),
                };
                self.add(severity, "days_unknown", subject, &phase.key, message);
            }
            let failed = phase.attempts.iter().filter(|a| a.failed()).max_by_key(|a| a.date);
            if let Some(failed) = failed.filter(|_| phase.finished_on().is_none()) {
                let open = |c: &&Correction| c.phase == phase.id && c.done.is_none();
                let open: Vec<String> =
                    project.corrections.iter().filter(open).map(|c| self.correction(c)).collect();
                let correct = match (&failed.note, failed.correct_by) {
                    _ if !open.is_empty() => format!("correct: {}", open.join("; ")),
                    (note, Some(by)) if !note.is_empty() => format!("correct by {by}: {note}"),
                    (note, None) if !note.is_empty() => format!("correct: {note}"),
                    (_, Some(by)) => format!("correct what was found by {by}"),
                    _ => "note what to correct".to_owned(),
                };
                let again =
                    f.forecast_start.map_or(String::new(), |d| format!("; the next visit can be {d}"));
                let message = format!("{} failed on {}; {correct}{again}", phase.name, failed.date);
                self.add(Severity::Warning, "failed_inspection", subject, &phase.key, message);
            }
            let last_visit = phase.visits().map(|a| a.date).max();
            for (what, date) in [
                ("started", phase.actual_start),
                ("finished", phase.actual_finish),
                ("inspected", last_visit),
                ("missed by its crew", phase.missed.iter().map(|m| m.date).max()),
            ] {
                if let Some(date) = date.filter(|d| Day::from(*d) > figures.as_of) {
                    let message = format!(
                        "{} is marked {what} on {date}, after the as-of day {}; check the date",
                        phase.name, figures.as_of
                    );
                    self.add(Severity::Warning, "future_actual", subject, &phase.key, message);
                }
            }
        }
        if figures.forecast_finish == Some(Day::last()) || figures.plan_finish == Some(Day::last()) {
            let message =
                "the work runs to the end of the year 2200 or beyond, where dates stop; check the closed \
                           ranges, the working week and the durations"
                    .to_owned();
            self.add(Severity::Error, "beyond_2200", Subject::Project, &project.settings.name, message);
        }
        if let (Some(target), Some(finish)) = (project.settings.target_finish, figures.forecast_finish)
            && finish > Day::from(target)
        {
            let late = figures.after_target(project).unwrap_or(0);
            let message = format!(
                "the forecast finish {finish} is {} after the target {target}; see what holds the critical phases",
                count(late, "working day")
            );
            self.add(Severity::Warning, "target_missed", Subject::Project, &project.settings.name, message);
        }
    }

    /// A correction in words: what, who, by when, in which phase.
    fn correction(&self, c: &Correction) -> String {
        let who = if c.trade.is_empty() { String::new() } else { format!(" ({})", c.trade) };
        let due = c.due.map_or(String::new(), |d| format!(" by {d}"));
        let phase = c.fix_phase.and_then(|id| self.project.phase(id));
        let within = phase.map_or(String::new(), |p| format!(", in {}", p.name));
        format!("{}{who}{due}{within}", c.what)
    }

    /// Actual dates that contradict a link: the work went on regardless, and the link is to be looked at.
    pub(super) fn out_of_sequence(&mut self) {
        for link in self.project.links.iter() {
            let (Some(before), Some(after)) =
                (self.project.phase(link.before), self.project.phase(link.after))
            else {
                continue;
            };
            let (actual, word) = match link.kind {
                LinkKind::FS | LinkKind::SS => (after.actual_start.or(after.finished_on()), "began"),
                LinkKind::FF | LinkKind::SF => (after.finished_on(), "was finished"),
            };
            let Some(actual) = actual.map(Day::from) else { continue };
            let Some(earliest) = self.earliest(link, before) else { continue };
            let work = self.figures.days.work();
            // Work on a day off counts for the working day after it.
            if work.index(actual) >= work.index(earliest) {
                continue;
            }
            let state = match (before.finished_on(), before.actual_start) {
                (Some(on), _) => format!("finished on {on}"),
                (None, Some(on)) => format!("began on {on} and is not finished"),
                (None, None) => "has not begun".to_owned(),
            };
            let lag = match (link.lag, link.unit) {
                (0, _) => String::new(),
                (n, LagUnit::Working) => format!(" with a lag of {}", count(n, "working day")),
                (n, LagUnit::Elapsed) => format!(" with a wait of {}", count(n, "day")),
            };
            let message = format!(
                "{} {word} on {actual}, but {} comes before it{lag} and {state}; correct the dates or the link",
                after.name, before.name
            );
            self.add(Severity::Warning, "out_of_sequence", Subject::Phase(after.id), &after.key, message);
        }
    }

    /// The earliest day a link allows: for the start of the phase behind it, or for its last day.
    fn earliest(&self, link: &Link, before: &Phase) -> Option<Day> {
        let f = self.figures.phase(before.id)?;
        let (start, finish) = (f.early_start?, f.early_finish?);
        let work = self.figures.days.work();
        // What follows a milestone or a passed inspection may begin on the same day.
        let same_day = before.counted_days() == 0 || before.kind == PhaseKind::Inspection;
        let after_finish = if same_day { finish } else { finish.plus(1) };
        Some(match (link.kind, link.unit) {
            (LinkKind::FS, LagUnit::Elapsed) => after_finish.plus(link.lag),
            (LinkKind::SS, LagUnit::Elapsed) => start.plus(link.lag),
            (LinkKind::FS, LagUnit::Working) => work.offset_index(after_finish, link.lag),
            (LinkKind::SS, LagUnit::Working) => work.offset_index(start, link.lag),
            (LinkKind::FF, _) => work.offset_index(finish, link.lag),
            (LinkKind::SF, _) => work.offset_index(start, link.lag - 1),
        })
    }
}
