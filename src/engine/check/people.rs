//! Checks of people: who is not hired, who counts on another day, who is in two places at once, papers, permits, visits,
//! changes that nobody agreed to.

use super::Found;
use crate::engine::calendar::Day;
use crate::engine::people::{Booked, PermitFigures, PermitStands, needed_until};
use crate::model::words::count;
use crate::model::{Permit, PhaseKind, Severity, Subject};

impl Found<'_> {
    pub(super) fn people(&mut self) {
        self.bookings();
        self.calls();
        self.crews_twice();
        self.papers();
        let (project, figures) = (self.project, self.figures);
        for (permit, stands) in project.permits.iter().zip(&figures.people.permits) {
            self.permit(permit, *stands);
        }
        self.visits();
    }

    /// Crews that should have been hired or booked by now.
    fn bookings(&mut self) {
        let (project, figures) = (self.project, self.figures);
        for (at, phase) in project.phases.iter().enumerate() {
            let booking = figures.people.booking(at);
            let Some(by) = booking.hire_by.filter(|by| *by < figures.as_of) else { continue };
            let start = figures.phases[at].early_start.map_or(String::new(), |day| format!(" on {day}"));
            let ago = count(figures.as_of.since(by), "day");
            let crew = phase.crew.and_then(|id| project.crew(id)).map_or("a crew", |c| c.name.as_str());
            let message = match (booking.state, booking.typical) {
                (Booked::NoCrew, _) => format!(
                    "nobody is hired for {}, which starts{start}; such crews are usually booked by {by}, {ago} ago; ask \
                     for bids and hire one",
                    phase.name
                ),
                (Booked::NotBooked, true) => format!(
                    "{crew} has no day for {}, which starts{start}; such crews are usually booked by {by}, {ago} ago; \
                     book it, or note how much notice it wants",
                    phase.name
                ),
                (Booked::NotBooked, false) => format!(
                    "{crew} has no day for {}, which starts{start}; it had to be booked by {by}, {ago} ago; book it",
                    phase.name
                ),
                _ => continue,
            };
            self.add(Severity::Warning, "unhired", Subject::Phase(phase.id), &phase.key, message);
        }
    }

    /// Crews that count on another start than the forecast has.
    fn calls(&mut self) {
        let (project, figures) = (self.project, self.figures);
        for call in &figures.people.calls {
            let phase = &project.phases[call.phase];
            let Some(crew) = project.crew(call.crew) else { continue };
            let reach = match (crew.phone.trim(), crew.email.trim()) {
                ("", "") => String::new(),
                ("", email) => format!(" ({email})"),
                (phone, _) => format!(" ({phone})"),
            };
            let how = if phase.told_start.is_some() { "was told" } else { "is booked from" };
            let message = format!(
                "{}{reach} {how} {} for {}; the forecast is now {}; call, and mark it told",
                crew.name, call.old, phase.name, call.new
            );
            self.add(Severity::Warning, "to_call", Subject::Phase(phase.id), &phase.key, message);
        }
    }

    fn crews_twice(&mut self) {
        let (project, figures) = (self.project, self.figures);
        for twice in &figures.people.twice {
            let (first, second) = (&project.phases[twice.first], &project.phases[twice.second]);
            let crew = project.crew(twice.crew).map_or("a crew", |c| c.name.as_str());
            let days = if twice.from == twice.to {
                format!("on {}", twice.from)
            } else {
                format!("from {} to {}", twice.from, twice.to)
            };
            let message = format!(
                "{crew} is in {a} and in {b} at once, {days}; have a second crew, or link {a} before {b}, or {b} before {a}",
                a = first.name,
                b = second.name,
            );
            self.add(Severity::Warning, "crew_twice", Subject::Phase(first.id), &first.key, message);
        }
    }

    /// Licenses and insurance that end before the last of a crew's work, and insurance that nobody has noted.
    fn papers(&mut self) {
        let (project, figures) = (self.project, self.figures);
        for crew in project.crews.iter() {
            let Some(until) = needed_until(project, &figures.phases, crew) else { continue };
            let subject = Subject::Crew(crew.id);
            for (what, ends) in [("license", crew.licence_until), ("insurance", crew.insured_until)] {
                if let Some(ends) = ends.map(Day::from).filter(|ends| *ends < until) {
                    let past = if ends < figures.as_of { "ended" } else { "ends" };
                    let message = format!(
                        "the {what} of {} {past} on {ends}, before its last day of work {until}; ask for proof of a \
                         new one before it works on",
                        crew.name
                    );
                    self.add(Severity::Warning, "papers_end", subject, &crew.key, message);
                }
            }
            if crew.insured_until.is_none() {
                let message = format!(
                    "nobody has noted until when {} is insured; ask for its certificate before it begins",
                    crew.name
                );
                self.add(Severity::Note, "papers_unknown", subject, &crew.key, message);
            }
        }
    }

    fn permit(&mut self, permit: &Permit, stands: PermitFigures) {
        let (project, figures) = (self.project, self.figures);
        let subject = Subject::Permit(permit.id);
        let (severity, code, message) = match stands.stands {
            PermitStands::Quiet => return,
            PermitStands::Ends(last) => {
                let Some(ends) = stands.day else { return };
                let past = if ends < figures.as_of { "expired" } else { "expires" };
                let message = format!(
                    "{} {past} on {ends}, before the work under it is done on {last}; ask the office to extend it",
                    permit.name
                );
                (Severity::Warning, "permit_expires", message)
            }
            PermitStands::Begun(at) => {
                let message = format!(
                    "{} has begun and {} is not issued; stop, and ask the office what to do",
                    project.phases[at].name, permit.name
                );
                (Severity::Error, "permit_missing", message)
            }
            PermitStands::Waits(at) => {
                let (phase, f) = (&project.phases[at], &figures.phases[at]);
                let start = f.forecast_start.map_or(String::new(), |day| format!(", now {day}"));
                let message = match (permit.issued_on, permit.applied_on) {
                    (Some(on), _) => {
                        format!("{} waits for {}, which is expected on {on}", phase.name, permit.name)
                    }
                    (None, Some(on)) => format!(
                        "{} waits for {}, applied for on {on} and not issued{start}; nobody knows the day: ask the \
                         office, and note what it says",
                        phase.name, permit.name
                    ),
                    (None, None) => format!(
                        "{} waits for {}, for which nobody has applied{start}; apply, and note the day",
                        phase.name, permit.name
                    ),
                };
                let known = permit.issued_on.is_some();
                (if known { Severity::Note } else { Severity::Warning }, "permit_waits", message)
            }
        };
        self.add(severity, code, subject, &permit.key, message);
    }

    /// Booked visits whose day has passed, or that come too early.
    fn visits(&mut self) {
        let (project, figures) = (self.project, self.figures);
        for (phase, f) in project.phases.iter().zip(&figures.phases) {
            let Some(booked) = phase.booked_visit().map(Day::from) else { continue };
            if phase.kind != PhaseKind::Inspection {
                continue;
            }
            let subject = Subject::Phase(phase.id);
            if booked < figures.as_of {
                let message = format!(
                    "a visit for {} was booked for {booked}, and nothing is noted of it; note whether it passed, or \
                     book another",
                    phase.name
                );
                self.add(Severity::Warning, "visit_unnoted", subject, &phase.key, message);
            } else if let Some(can) = f.forecast_start.filter(|can| *can > booked) {
                let message = format!(
                    "the visit for {} is booked for {booked}, and it cannot be before {can}; book another day with the \
                     office",
                    phase.name
                );
                self.add(Severity::Warning, "visit_too_early", subject, &phase.key, message);
            }
        }
    }
}
