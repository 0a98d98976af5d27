//! The days of a crew as a calendar: iCalendar, RFC 5545. One event for each phase, from its first to its last day.
//!
//! An event of several days ends on the day after the last one (DTEND is not part of it, RFC 5545 section 3.6.1). The UID
//! follows from the project and the phase, so that a calendar that takes the file again moves its entries.

use super::CrewSheet;
use super::message::span;
use crate::engine::Day;
use crate::exchange::outgoing::lists::ics::{fold, text, uid};
use crate::model::caution::WHO_DECIDES;
use chrono::NaiveTime;
use icalendar::{Calendar, Component, Event, EventLike, EventStatus, Property};

/// The calendar.
pub fn ics(sheet: &CrewSheet) -> String {
    let mut calendar = Calendar::empty();
    for (key, value) in
        [("VERSION", "2.0"), ("PRODID", "-//Needline//Days of a crew//EN"), ("CALSCALE", "GREGORIAN")]
    {
        calendar.append_property(Property::new(key, value));
    }
    for p in &sheet.phases {
        let Some((first, last)) = p.first.zip(p.last) else { continue };
        let mut event = Event::new();
        event.uid(&uid(&sheet.settings.name, &p.key, "crew", "event"));
        event.timestamp(sheet.as_of.and_time(NaiveTime::MIN).and_utc());
        event.sequence(u32::try_from(Day::from(sheet.as_of).since(Day::first())).unwrap_or(0));
        event.starts(first);
        event.ends(Day::from(last.max(first)).plus(1).date());
        // Days nobody has said yes to are not firm.
        let firm = p.begun || (p.confirmed.is_some() && p.counts_on.is_none());
        event.status(if firm { EventStatus::Confirmed } else { EventStatus::Tentative });
        event.add_property("SUMMARY", text(&format!("{}: {}", sheet.settings.name, p.name)));
        let mut lines = vec![format!("{}: {}", sheet.crew.name, span(p.first, p.last))];
        lines.extend(p.parts.iter().map(|part| format!("{}: {}", part.what, part.state)));
        lines.extend(p.waits.iter().map(|wait| format!("To be ready first: {wait}")));
        if !sheet.cautions.is_empty() {
            let hazards: Vec<&str> = sheet.cautions.iter().map(|c| c.hazard.title()).collect();
            lines.push(format!("Take care: {}. {WHO_DECIDES}", hazards.join(", ")));
        }
        event.add_property("DESCRIPTION", text(&lines.join("\n")));
        event.add_property("CATEGORIES", "Needline");
        if !sheet.settings.ship_to.trim().is_empty() {
            event.add_property("LOCATION", text(&sheet.settings.ship_to));
        }
        calendar.push(event.done());
    }
    fold(&calendar.to_string())
}
