//! The list as a calendar: iCalendar, RFC 5545. Each line is an all-day event on its last day, and where something is to
//! be done by then and not on it, a to-do too, since many calendars show only one of the two.
//!
//! A to-do is due *before* the day in DUE (RFC 5545 section 3.6.2), so the last day itself stands in DTSTART and the day
//! after it in DUE. The UID follows from the project and what the line is about, so that a calendar that takes a later
//! list moves its entries. What is done is in no list, and stays in the calendar until somebody takes it out.

use super::{WeekSheet, call_words};
use crate::engine::Day;
use crate::engine::week::{Kind, Line};
use crate::exchange::outgoing::lists::ics::{fold, text, uid};
use chrono::NaiveTime;
use icalendar::{Calendar, Component, Event, EventLike, EventStatus, Property, Todo, TodoStatus};

/// The calendar.
pub fn ics(sheet: &WeekSheet) -> String {
    let mut calendar = Calendar::empty();
    for (key, value) in [("VERSION", "2.0"), ("PRODID", "-//Needline//To do//EN"), ("CALSCALE", "GREGORIAN")]
    {
        calendar.append_property(Property::new(key, value));
    }
    for line in &sheet.lines {
        let mut event = Event::new();
        common(&mut event, sheet, line, "event");
        event.starts(line.day.date());
        event.status(EventStatus::Confirmed);
        event.add_property("TRANSP", "TRANSPARENT");
        calendar.push(event.done());
        if line.kind == Kind::BeThere {
            continue;
        }
        let mut todo = Todo::new();
        common(&mut todo, sheet, line, "todo");
        todo.starts(line.day.date());
        todo.due(line.day.plus(1).date());
        todo.status(TodoStatus::NeedsAction);
        calendar.push(todo.done());
    }
    fold(&calendar.to_string())
}

fn common(entry: &mut impl Component, sheet: &WeekSheet, line: &Line, form: &str) {
    entry.uid(&uid(&sheet.settings.name, &line.id, "week", form));
    entry.timestamp(sheet.as_of.date().and_time(NaiveTime::MIN).and_utc());
    // Rises with the day of the list, as a later version of an entry has to.
    entry.sequence(u32::try_from(sheet.as_of.since(Day::first())).unwrap_or(0));
    entry.add_property("SUMMARY", text(&sheet.what(line)));
    let mut lines = vec![sheet.why(line)];
    lines.extend(line.call.as_ref().map(call_words));
    lines.push(format!("Project: {}", sheet.settings.name));
    lines.retain(|line| !line.is_empty());
    entry.add_property("DESCRIPTION", text(&lines.join("\n")));
    entry.add_property("CATEGORIES", "Needline");
    if !line.place.is_empty() {
        entry.add_property("LOCATION", text(&line.place));
    }
}
