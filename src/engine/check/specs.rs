//! Checks of what must be known: what is not told though it is time, and choices that say otherwise than was told.

use super::Found;
use crate::engine::specs::{self, WaitsFor};
use crate::model::words::count;
use crate::model::{Selection, Severity, Spec, Subject};

/// Days ahead in which something to be told is named.
const SOON: i32 = 7;

impl Found<'_> {
    pub(super) fn specs(&mut self, selection: &Selection) {
        let Some(own) = self.figures.selection(selection.id) else { return };
        for spec in selection.specs.iter().filter(|spec| spec.is_open() && own.decide.open > 0) {
            self.open_spec(selection, spec);
        }
        let Some(option) = selection.live_option() else { return };
        for spec in &selection.specs {
            let Some(words) = specs::contradiction_words(self.project, spec, option) else { continue };
            let says = matches!(specs::contradiction(spec, option), Some(specs::Contradiction::Says(_)));
            let severity = if says { Severity::Warning } else { Severity::Note };
            let message = format!("{}, {}: {words}", selection.name, spec.what);
            self.add(
                severity,
                "spec_contradicted",
                Subject::Selection(selection.id),
                &selection.key,
                message,
            );
        }
    }

    fn open_spec(&mut self, selection: &Selection, spec: &Spec) {
        let Some((waits, day)) = self.figures.spec_facts(self.project).known_by(spec) else { return };
        let Some(day) = day.filter(|day| day.since(self.figures.as_of) <= SOON) else { return };
        let whom = if spec.told_to.is_empty() { String::new() } else { format!(" {}", spec.told_to) };
        let ahead = day.since(self.figures.as_of);
        let when = if ahead < 0 {
            format!("had to be known by {day}, {} ago", count(-ahead, "day"))
        } else {
            format!("must be known by {day}")
        };
        let begun = match waits {
            WaitsFor::Phase(at) => self
                .project
                .phases
                .get(at)
                .is_some_and(|p| p.actual_start.is_some() || p.finished_on().is_some()),
            WaitsFor::Part(at) => self.figures.parts.get(at).is_some_and(|f| f.placed.is_some()),
        };
        let past = match (begun, waits) {
            (true, WaitsFor::Phase(_)) => ", which has begun",
            (true, WaitsFor::Part(_)) => ", which is placed",
            _ => "",
        };
        let waits = specs::waits_words(self.project, self.figures, waits);
        let advice = match selection.choice() {
            Some(_) => format!("tell{whom} now, and note the day"),
            None => format!("choose, tell{whom}, and note the day"),
        };
        let message = format!("{}: {} {when}, for {waits}{past}; {advice}", selection.name, spec.what);
        let severity = if ahead < 0 { Severity::Warning } else { Severity::Note };
        self.add(severity, "spec_open", Subject::Selection(selection.id), &selection.key, message);
    }
}
