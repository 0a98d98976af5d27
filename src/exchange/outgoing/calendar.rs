//! Calendars: iCalendar, RFC 5545, and what they were told before.
//!
//! An entry keeps its number (SEQUENCE) and its day of change (DTSTAMP) as long as it says what it said; when it says
//! something else the number goes up (section 3.8.7.4). An entry that nothing has been remembered of gets the days since
//! the first day there is, which rises with the as-of day, and so does one that changes. What was in a calendar and is
//! settled is in the next one as cancelled, by the same UID. No clock is read.
//!
//! Events name their day in DTSTART alone, which makes them last that day (section 3.6.1); one of several days ends on
//! the day after the last, since DTEND is not part of it. A to-do has its last day in DUE, which calendars show as that
//! day, and no DTSTART, since DUE would have to be later (section 3.8.2.3).

use crate::engine::Day;
use crate::model::{Project, Sent, SentForm, SentIn};
use chrono::{NaiveDate, NaiveTime};
use icalendar::{Calendar, Component, Event, EventLike, EventStatus, Property, Todo, TodoStatus};
use std::collections::{BTreeSet, HashMap};

/// How an entry stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// It is to be done, or will be.
    Firm,
    /// Nobody has said yes to it.
    Tentative,
    /// It is done: a task is completed, an event no longer takes place.
    Done,
    /// It is not to be done any more.
    Cancelled,
}

/// What is said of an entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// What calendars know it by.
    pub uid: String,
    /// An event or a task.
    pub form: SentForm,
    /// Its day, or its first.
    pub day: NaiveDate,
    /// Its last day, where it has several.
    pub until: Option<NaiveDate>,
    /// What it is called.
    pub title: String,
    /// What there is to know.
    pub told: String,
    /// Where.
    pub place: String,
    /// How it stands.
    pub standing: Standing,
    /// Whether it keeps somebody busy.
    pub busy: bool,
}

/// Which calendars are written, and on which day.
#[derive(Debug, Clone, Copy)]
pub struct Diary<'a> {
    /// What was said before.
    known: &'a [Sent],
    calendar: SentIn,
    as_of: NaiveDate,
}

/// A calendar that is being written.
pub struct Pages<'a> {
    diary: Diary<'a>,
    /// Whose it is.
    whose: String,
    known: HashMap<&'a str, &'a Sent>,
    calendar: Calendar,
    /// What it says, to be remembered.
    pub said: Vec<Sent>,
}

impl<'a> Diary<'a> {
    /// Those of a project.
    pub fn new(project: &'a Project, calendar: SentIn, as_of: NaiveDate) -> Diary<'a> {
        Diary { known: &project.sent, calendar, as_of }
    }

    /// One that nothing was written to before.
    pub fn of_nothing_before(calendar: SentIn, as_of: NaiveDate) -> Diary<'static> {
        Diary { known: &[], calendar, as_of }
    }

    /// Begins a calendar: what it is of, and whose.
    pub fn begin(self, of: &str, whose: &str) -> Pages<'a> {
        let mut calendar = Calendar::empty();
        let product = format!("-//Needline//{of}//EN");
        for (key, value) in [("VERSION", "2.0"), ("PRODID", product.as_str()), ("CALSCALE", "GREGORIAN")] {
            calendar.append_property(Property::new(key, value));
        }
        let own = self.known.iter().filter(|sent| sent.calendar == self.calendar);
        let own = own.filter(|sent| self.calendar != SentIn::Crew || sent.whose == whose);
        let known = own.map(|sent| (sent.uid.as_str(), sent)).collect();
        Pages { diary: self, whose: whose.to_owned(), known, calendar, said: Vec::new() }
    }
}

impl Pages<'_> {
    /// What was said before of an entry.
    pub fn known(&self, uid: &str) -> Option<&Sent> {
        self.known.get(uid).copied()
    }

    /// Writes an entry of somebody, with its number.
    pub fn put(&mut self, entry: &Entry, whose: &str) {
        let known = self.known.get(entry.uid.as_str());
        let today = u32::try_from(Day::from(self.diary.as_of).since(Day::first())).unwrap_or(0);
        let digest = entry.digest();
        let (sequence, on) = match known {
            Some(sent) if sent.digest == digest => (sent.sequence, sent.on),
            Some(sent) => (sent.sequence.saturating_add(1).max(today), self.diary.as_of),
            None => (today, self.diary.as_of),
        };
        self.calendar.push_entry(entry, sequence, on);
        self.said.push(Sent {
            calendar: self.diary.calendar,
            whose: whose.to_owned(),
            uid: entry.uid.clone(),
            form: entry.form,
            day: entry.day,
            until: entry.until,
            title: entry.title.chars().take(LONGEST_TITLE).collect(),
            sequence,
            on,
            digest,
        });
    }

    /// Writes what was said before and is said no more as cancelled: entries of whom this is for, but those that are
    /// there still, in this calendar or in another that goes to the same person.
    pub fn cancel_others(&mut self, still: &BTreeSet<String>, of: impl Fn(&str) -> bool) {
        let gone = |sent: &&&Sent| {
            of(&sent.whose) && !still.contains(&sent.uid) && self.said.iter().all(|said| said.uid != sent.uid)
        };
        let mut gone: Vec<Sent> = self.known.values().filter(gone).map(|sent| (**sent).clone()).collect();
        gone.sort_by(|a, b| (a.day, &a.uid).cmp(&(b.day, &b.uid)));
        for sent in gone {
            let entry = Entry {
                uid: sent.uid.clone(),
                form: sent.form,
                day: sent.day,
                until: sent.until,
                title: sent.title.clone(),
                told: "No longer to be done.".to_owned(),
                place: String::new(),
                standing: Standing::Cancelled,
                busy: false,
            };
            self.put(&entry, &sent.whose);
        }
    }

    /// Whether anything is in it.
    pub fn is_empty(&self) -> bool {
        self.said.is_empty()
    }

    /// Whose it is.
    pub fn whose(&self) -> &str {
        &self.whose
    }

    /// The text, and what it says.
    pub fn finish(self) -> (String, Vec<Sent>) {
        (fold(&self.calendar.to_string()), self.said)
    }
}

/// The longest title that is remembered, in letters.
const LONGEST_TITLE: usize = 1_000;

trait PushEntry {
    fn push_entry(&mut self, entry: &Entry, sequence: u32, on: NaiveDate);
}

impl PushEntry for Calendar {
    fn push_entry(&mut self, entry: &Entry, sequence: u32, on: NaiveDate) {
        match entry.form {
            SentForm::Event => {
                let mut event = Event::new();
                common(&mut event, entry, sequence, on);
                event.starts(entry.day);
                if let Some(until) = entry.until {
                    event.ends(Day::from(until.max(entry.day)).plus(1).date());
                }
                event.status(match entry.standing {
                    Standing::Firm => EventStatus::Confirmed,
                    Standing::Tentative => EventStatus::Tentative,
                    Standing::Done | Standing::Cancelled => EventStatus::Cancelled,
                });
                if !entry.busy {
                    event.add_property("TRANSP", "TRANSPARENT");
                }
                self.push(event.done());
            }
            SentForm::Todo => {
                let mut todo = Todo::new();
                common(&mut todo, entry, sequence, on);
                todo.due(entry.day);
                todo.status(match entry.standing {
                    Standing::Firm | Standing::Tentative => TodoStatus::NeedsAction,
                    Standing::Done => TodoStatus::Completed,
                    Standing::Cancelled => TodoStatus::Cancelled,
                });
                self.push(todo.done());
            }
        }
    }
}

fn common(to: &mut impl Component, entry: &Entry, sequence: u32, on: NaiveDate) {
    to.uid(&entry.uid);
    to.timestamp(on.and_time(NaiveTime::MIN).and_utc());
    to.sequence(sequence);
    to.add_property("SUMMARY", text(&entry.title));
    to.add_property("DESCRIPTION", text(&entry.told));
    to.add_property("CATEGORIES", "Needline");
    if !entry.place.trim().is_empty() {
        to.add_property("LOCATION", text(&entry.place));
    }
}

impl Entry {
    /// The same as long as the entry says the same.
    fn digest(&self) -> String {
        let standing = format!("{:?}", self.standing);
        let days = format!("{} {}", self.day, self.until.map_or(String::new(), |day| day.to_string()));
        let texts = [self.title.as_str(), &self.told, &self.place, &standing, &days];
        let bytes = texts.iter().flat_map(|text| text.bytes().chain([SEPARATOR]));
        format!("{:032x}", hash(bytes))
    }
}

/// No text has this byte.
const SEPARATOR: u8 = 0xff;

/// FNV-1a, 128 bits: no secret is kept here, only texts kept apart.
fn hash(bytes: impl Iterator<Item = u8>) -> u128 {
    const OFFSET: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
    const PRIME: u128 = 0x0000_0000_0100_0000_0000_0000_0000_013b;
    bytes.fold(OFFSET, |hash, byte| (hash ^ u128::from(byte)).wrapping_mul(PRIME))
}

/// An identifier that stays the same as long as the project keeps its name and what it is of its key.
pub fn uid(project: &str, key: &str, about: &str, form: SentForm) -> String {
    let form = if form == SentForm::Event { "event" } else { "todo" };
    let bytes = project.bytes().chain([SEPARATOR]).chain(key.bytes());
    format!("needline-{about}-{form}-{:032x}", hash(bytes))
}

/// Most octets in a line (RFC 5545 section 3.1).
const MOST_OCTETS: usize = 75;

/// Folds lines again: the library's last piece of a line can be 76 octets with the space before it (seen in icalendar
/// 0.17.17). Letters are never cut.
fn fold(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for line in text.replace("\r\n ", "").split_terminator("\r\n") {
        let mut octets = 0;
        for c in line.chars() {
            if octets + c.len_utf8() > MOST_OCTETS {
                out.push_str("\r\n ");
                octets = 1;
            }
            out.push(c);
            octets += c.len_utf8();
        }
        out.push_str("\r\n");
    }
    out
}

/// Text as a calendar may hold it: line breaks are line feeds, and there are no other control characters
/// (RFC 5545 section 3.1, CONTROL).
fn text(text: &str) -> String {
    let breaks = text.replace("\r\n", "\n").replace('\r', "\n");
    breaks.chars().map(|c| if c.is_control() && c != '\n' { ' ' } else { c }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 5545 section 3.3.11; the vector was also run with the python library icalendar 7.3.2.
    #[test]
    fn text_is_escaped_and_lines_are_folded() {
        let mut event = Event::new();
        event
            .uid("x")
            .timestamp(NaiveDate::from_ymd_opt(2026, 1, 5).unwrap().and_time(NaiveTime::MIN).and_utc());
        event.add_property("SUMMARY", text("Tile, 12x24; see C:\\notes\r\nline 2: ok"));
        let long = "שלום 🚿 ".repeat(40);
        event.add_property("DESCRIPTION", text(&long));
        let written = fold(&Calendar::from([event.done()]).to_string());
        assert!(written.contains("SUMMARY:Tile\\, 12x24\\; see C:\\\\notes\\nline 2: ok\r\n"), "{written}");
        assert!(!written.replace("\r\n", "").contains(['\r', '\n']));
        assert!(written.split("\r\n").all(|line| line.len() <= 75), "{written}");
        // Unfolding gives the text back (section 3.1).
        assert!(written.replace("\r\n ", "").contains(&format!("DESCRIPTION:{long}\r\n")));
        for n in 60..320 {
            let line = format!("{}é", "x".repeat(n));
            let folded = fold(&format!("{line}\r\n"));
            assert!(folded.split("\r\n").all(|l| l.len() <= 75), "{n}");
            assert_eq!(folded.replace("\r\n ", ""), format!("{line}\r\n"));
        }
    }

    #[test]
    fn identifiers_stay_and_differ() {
        assert!(uid("", "", "need", SentForm::Event).len() < 75);
        let one = uid("House", "k1", "order-by", SentForm::Todo);
        assert_eq!(one, uid("House", "k1", "order-by", SentForm::Todo));
        for other in [
            uid("House", "k2", "order-by", SentForm::Todo),
            uid("Housek", "1", "order-by", SentForm::Todo),
            uid("House", "k1", "need", SentForm::Todo),
            uid("House", "k1", "order-by", SentForm::Event),
        ] {
            assert_ne!(one, other);
        }
    }

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn entry(title: &str, form: SentForm) -> Entry {
        Entry {
            uid: uid("House", "tub", "order-by", form),
            form,
            day: day("2026-07-01"),
            until: None,
            title: title.to_owned(),
            told: String::new(),
            place: String::new(),
            standing: Standing::Firm,
            busy: false,
        }
    }

    /// RFC 5545 section 3.8.7.4: the number is raised when an entry changes; section 3.8.1.11: it is cancelled by the
    /// same UID.
    #[test]
    fn the_number_rises_with_what_is_said_and_only_then() {
        let mut project = Project::new("House", day("2026-06-01"));
        let written = |project: &mut Project, on: &str, entries: &[Entry]| {
            let said = {
                let mut pages = Diary::new(project, SentIn::Lists, day(on)).begin("Test", "");
                entries.iter().for_each(|entry| pages.put(entry, ""));
                pages.cancel_others(&BTreeSet::new(), |_| true);
                pages.finish()
            };
            *project = project.apply(&crate::model::Action::NoteSent(said.1.clone())).unwrap();
            (said.0, said.1)
        };
        let both = [entry("Order the tub", SentForm::Event), entry("Order the tub", SentForm::Todo)];
        let (text, first) = written(&mut project, "2026-06-02", &both);
        assert!(
            text.contains("DTSTART;VALUE=DATE:20260701") && text.contains("DUE;VALUE=DATE:20260701"),
            "{text}"
        );
        let (same, again) = written(&mut project, "2026-06-09", &both);
        assert_eq!((same, &again), (text, &first));
        let other = [entry("Order the other tub", SentForm::Event), both[1].clone()];
        let (_, third) = written(&mut project, "2026-06-09", &other);
        assert!(third[0].sequence > first[0].sequence && third[1].sequence == first[1].sequence);
        let (text, fourth) = written(&mut project, "2026-06-09", &other[..1]);
        assert!(
            text.contains("STATUS:CANCELLED")
                && fourth[1].sequence == first[1].sequence.max(third[0].sequence)
        );
        let (_, fifth) = written(&mut project, "2026-06-09", &[]);
        assert!(fifth[0].sequence > third[0].sequence, "within a day too");
        assert_eq!(project.sent.len(), 2);
        let (_, sixth) = written(&mut project, "2026-06-09", &both);
        assert!(sixth.iter().all(|sent| sent.sequence > fifth[0].sequence.min(fourth[1].sequence)));
    }
}
