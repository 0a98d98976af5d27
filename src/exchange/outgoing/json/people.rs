//! Crews, bookings and calls as JSON.

use crate::engine::people::{Call, People, phases_of};
use crate::engine::{Day, Figures};
use crate::exchange::outgoing::crews::{message, sheet};
use crate::model::{CrewId, Project};
use serde::Serialize;

/// How far the crew of a phase is booked; fields of the phase.
#[derive(Debug, Serialize)]
pub(super) struct BookingJson {
    crew: Option<String>,
    booking: &'static str,
    hire_by: Option<String>,
    hire_by_typical: bool,
    booked_from: Option<String>,
    confirmed_on: Option<String>,
    told_on: Option<String>,
    told_start: Option<String>,
}

/// A crew.
#[derive(Debug, Serialize)]
pub(super) struct CrewJson {
    key: String,
    name: String,
    phases: Vec<String>,
    to_call: bool,
}

/// A crew that counts on another start than the forecast has.
#[derive(Debug, Serialize)]
pub(super) struct CallJson {
    phase: String,
    crew: String,
    old: String,
    new: String,
    phone: String,
    text: String,
}

/// A crew in two phases at once.
#[derive(Debug, Serialize)]
pub(super) struct TwiceJson {
    crew: String,
    first: String,
    second: String,
    from: String,
    to: String,
}

/// A permit, with the first start that waits for it.
#[derive(Debug, Serialize)]
pub(super) struct PermitJson {
    key: String,
    issued: bool,
    issued_on: Option<String>,
    expires_on: Option<String>,
    phases: Vec<String>,
    next_start: Option<String>,
}

fn key(project: &Project, phase: usize) -> String {
    project.phases.get(phase).map_or(String::new(), |p| p.key.clone())
}

fn crew_key(project: &Project, id: CrewId) -> String {
    project.crew(id).map_or(String::new(), |c| c.key.clone())
}

fn text(day: Option<impl ToString>) -> Option<String> {
    day.map(|day| day.to_string())
}

/// The booking of the phase at a position.
pub(super) fn booking(project: &Project, people: &People, at: usize) -> BookingJson {
    let booking = people.booking(at);
    let phase = &project.phases[at];
    BookingJson {
        crew: phase.crew.map(|id| crew_key(project, id)),
        booking: booking.state.words(),
        hire_by: text(booking.hire_by),
        hire_by_typical: booking.typical && booking.hire_by.is_some(),
        booked_from: text(phase.booked_from),
        confirmed_on: text(phase.confirmed_on),
        told_on: text(phase.told_on),
        told_start: text(phase.told_start),
    }
}

/// All crews.
pub(super) fn crews(project: &Project, people: &People) -> Vec<CrewJson> {
    let to_call = people.to_call();
    let crew = |c: &crate::model::Crew| CrewJson {
        key: c.key.clone(),
        name: c.name.clone(),
        phases: phases_of(project, c.id).map(|at| key(project, at)).collect(),
        to_call: to_call.contains(&c.id),
    };
    project.crews.iter().map(crew).collect()
}

/// All calls, with the text that is ready to send.
pub(super) fn calls(project: &Project, figures: &Figures) -> Vec<CallJson> {
    let call = |call: &Call| CallJson {
        phase: key(project, call.phase),
        crew: crew_key(project, call.crew),
        old: call.old.to_string(),
        new: call.new.to_string(),
        phone: project.crew(call.crew).map_or(String::new(), |c| c.phone.clone()),
        text: sheet(project, figures, call.crew).map_or(String::new(), |sheet| message(&sheet)),
    };
    figures.people.calls.iter().map(call).collect()
}

/// All crews in two phases at once.
pub(super) fn twice(project: &Project, people: &People) -> Vec<TwiceJson> {
    let twice = |t: &crate::engine::people::Twice| TwiceJson {
        crew: crew_key(project, t.crew),
        first: key(project, t.first),
        second: key(project, t.second),
        from: t.from.to_string(),
        to: t.to.to_string(),
    };
    people.twice.iter().map(twice).collect()
}

/// All permits.
pub(super) fn permits(project: &Project, figures: &Figures) -> Vec<PermitJson> {
    let permit = |p: &crate::model::Permit| {
        let ahead = p.phases.iter().filter_map(|id| project.phase_at(*id));
        let ahead = ahead.filter(|at| project.phases[*at].actual_start.is_none());
        let next: Option<Day> = ahead.filter_map(|at| figures.phases.get(at)?.forecast_start).min();
        PermitJson {
            key: p.key.clone(),
            issued: p.is_issued(figures.as_of.date()),
            issued_on: text(p.issued_on),
            expires_on: text(p.expires_on),
            phases: p
                .phases
                .iter()
                .filter_map(|id| project.phase_at(*id))
                .map(|at| key(project, at))
                .collect(),
            next_start: text(next),
        }
    };
    project.permits.iter().map(permit).collect()
}
