//! Checks of gates and corrections: what is missing before a phase that is near, what was passed by, circles.

use super::Found;
use crate::engine::calendar::Day;
use crate::engine::corrections;
use crate::engine::gates::{GateFigures, Lack, condition_text};
use crate::model::words::count;
use crate::model::{Gate, Presence, Severity, Subject};

/// Calendar days before its phase from which what a gate misses is named.
pub const NEAR: i32 = 21;

impl Found<'_> {
    pub(super) fn gates(&mut self) {
        let (project, figures) = (self.project, self.figures);
        for (gate, f) in project.gates.iter().zip(&figures.gates) {
            self.gate_circles(gate, f);
            if f.passed_by {
                self.passed_by(gate, f);
            } else {
                self.missing(gate, f);
            }
            self.said_ahead(gate);
        }
        self.correction_circles();
        self.overdue_corrections();
    }

    /// Corrections that were due before the as-of day and are not done.
    fn overdue_corrections(&mut self) {
        let (project, as_of) = (self.project, self.figures.as_of);
        for c in project.corrections.iter().filter(|c| c.done.is_none()) {
            let Some(due) = c.due.map(Day::from).filter(|due| *due < as_of) else { continue };
            let Some(phase) = project.phase(c.phase).filter(|p| p.finished_on().is_none()) else { continue };
            let who = if c.trade.is_empty() { String::new() } else { format!(" by {}", c.trade) };
            let message = format!(
                "the correction `{}`{who} was due {due}, {} ago, and is not done; {} cannot be visited again before it \
                 is: have it done, or agree on a new day",
                c.what,
                count(as_of.since(due), "day"),
                phase.name
            );
            self.add(Severity::Warning, "correction_overdue", Subject::Phase(phase.id), &phase.key, message);
        }
    }

    /// One line for each thing missing before a phase that is near, or that it holds.
    fn missing(&mut self, gate: &Gate, f: &GateFigures) {
        let (project, figures) = (self.project, self.figures);
        let Some(at) = f.phase else { return };
        let (phase, phase_figures) = (&project.phases[at], &figures.phases[at]);
        let Some(start) = phase_figures.forecast_start else { return };
        let near = start <= figures.as_of.plus(NEAR);
        if !near && f.days == 0 {
            return;
        }
        for missing in f.missing.iter().filter(|m| !m.circle) {
            // What the phase waits for by its links says so itself; what holds it as a late delivery too.
            let by_itself = match missing.what {
                Lack::Phase(_) => f.days == 0,
                Lack::Part(part, Presence::OnSite) => {
                    figures.parts.get(part.at).is_some_and(|p| p.late && p.live && p.phase == Some(at as u32))
                }
                _ => false,
            };
            if by_itself {
                continue;
            }
            let expected = missing.expected.map_or(String::new(), |d| format!(", expected {d}"));
            let message = format!(
                "before {} ({start}): {}{expected}; {}",
                phase.name,
                missing.text(project, gate),
                missing.advice(project, gate)
            );
            let subject = missing.subject(project, gate);
            self.add(Severity::Warning, "gate_not_ready", subject, &gate.key, message);
        }
        if f.days > 0 {
            let until = f.expected().map_or(String::new(), |d| format!(" until {d}"));
            let message = format!(
                "{} holds {} for {}{until}; bring about what it misses sooner, or change the gate",
                gate.name,
                phase.name,
                count(f.days, "working day")
            );
            self.add(Severity::Warning, "gate_holds", Subject::Gate(gate.id), &gate.key, message);
        }
    }

    fn passed_by(&mut self, gate: &Gate, f: &GateFigures) {
        let project = self.project;
        let Some(phase) = f.phase.map(|at| &project.phases[at]) else { return };
        let state = if phase.finished_on().is_some() { "is finished" } else { "has begun" };
        let first = f.missing.first().map_or(String::new(), |m| m.text(project, gate));
        let more = match f.missing.len() {
            0 | 1 => String::new(),
            n => format!(" and {} more", n - 1),
        };
        let message = format!(
            "{} {state}, but its gate {} is not ready: {first}{more}; look into it before it is covered, and note what \
             was done",
            phase.name, gate.name
        );
        self.add(Severity::Warning, "gate_passed_by", Subject::Gate(gate.id), &gate.key, message);
    }

    fn gate_circles(&mut self, gate: &Gate, f: &GateFigures) {
        let project = self.project;
        let Some(phase) = f.phase.map(|at| &project.phases[at]) else { return };
        let mut named = None;
        for missing in f.missing.iter().filter(|m| m.circle) {
            if named.replace(missing.condition) == Some(missing.condition) {
                continue;
            }
            let what =
                gate.conditions.get(missing.condition).map_or(String::new(), |c| condition_text(project, c));
            let message = format!(
                "{} waits for `{what}`, which itself waits for {}: a circle; the condition is left out until it is \
                 removed or the gate is put before another phase",
                gate.name, phase.name
            );
            self.add(Severity::Error, "gate_circle", Subject::Gate(gate.id), &gate.key, message);
        }
    }

    fn said_ahead(&mut self, gate: &Gate) {
        for condition in &gate.conditions {
            let crate::model::Need::Confirmed { what, said_on: Some(on), .. } = &condition.need else {
                continue;
            };
            if Day::from(*on) > self.figures.as_of {
                let message = format!(
                    "`{what}` is confirmed on {on}, after the as-of day {}; check the date",
                    self.figures.as_of
                );
                self.add(Severity::Warning, "future_actual", Subject::Gate(gate.id), &gate.key, message);
            }
        }
    }

    fn correction_circles(&mut self) {
        let project = self.project;
        for (correction, fix, at, circle) in corrections::waits(project) {
            if circle {
                let (fix, phase) = (&project.phases[fix], &project.phases[at]);
                let message = format!(
                    "the correction `{}` is to be done in {}, which itself waits for {}: a circle; it is left out, pick \
                     another phase for it",
                    correction.what, fix.name, phase.name
                );
                self.add(Severity::Error, "correction_circle", Subject::Phase(phase.id), &phase.key, message);
            }
        }
    }
}
