//! The list as a calendar. Each line is an all-day event on its last day, and where something is to be done by then and
//! not on it, a to-do too, since many calendars show only one of the two.
//!
//! The UID follows from the project and what the line is about, so that a calendar that takes a later list moves its
//! entries. What was in an earlier calendar and is not to be done any more, as far as the program looks ahead, is
//! cancelled; what it looks at and a shorter list leaves out stays in the calendar as it is now.

use super::{WeekSheet, call_words};
use crate::engine::week::{Kind, Line};
use crate::exchange::outgoing::calendar::{Diary, Entry, Standing, uid};
use crate::model::{Sent, SentForm};
use std::collections::BTreeSet;

/// The calendar of a list with what it says. `all` is what there is to do as far as the program looks ahead.
pub fn ics(sheet: &WeekSheet, all: &WeekSheet, diary: Diary<'_>) -> (String, Vec<Sent>) {
    let mut pages = diary.begin("To do", "");
    let mut written = BTreeSet::new();
    for entry in sheet.lines.iter().flat_map(|line| entries(sheet, line)) {
        pages.put(&entry, "");
        written.insert(entry.uid);
    }
    for entry in all.lines.iter().flat_map(|line| entries(all, line)) {
        if !written.contains(&entry.uid) && pages.known(&entry.uid).is_some() {
            pages.put(&entry, "");
        }
    }
    pages.cancel_others(&BTreeSet::new(), |_| true);
    pages.finish()
}

fn entries(sheet: &WeekSheet, line: &Line) -> Vec<Entry> {
    let forms: &[SentForm] = match line.kind {
        Kind::BeThere => &[SentForm::Event],
        _ => &[SentForm::Event, SentForm::Todo],
    };
    let mut told = vec![sheet.why(line)];
    told.extend(line.call.as_ref().map(call_words));
    told.push(format!("Project: {}", sheet.settings.name));
    told.retain(|line| !line.is_empty());
    let entry = |form: &SentForm| Entry {
        uid: uid(&sheet.settings.name, &line.id, "week", *form),
        form: *form,
        day: line.day.date(),
        until: None,
        title: sheet.what(line),
        told: told.join("\n"),
        place: line.place.clone(),
        standing: Standing::Firm,
        busy: false,
    };
    forms.iter().map(entry).collect()
}
