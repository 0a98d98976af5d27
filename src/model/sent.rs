//! What calendars that were written said: remembered, so that the next one takes back what is settled.
//!
//! A calendar that takes a file keeps what it was told until it is told otherwise (RFC 5545 section 3.8.1.11, STATUS). So
//! an entry that is settled is in the next file as cancelled, and one that changed has a higher number (section 3.8.7.4,
//! SEQUENCE). Both need to know what was said before.

use super::apply::ActionError;
use super::field::{Field, Kind, at, field, word};
use super::project::Project;
use super::validate::{Checked, day, key, name};
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use std::collections::{HashMap, HashSet};
use std::sync::Arc;

/// The highest number of an entry: calendars count in whole numbers of 32 bits (RFC 5545 section 3.3.8).
const MAX_SEQUENCE: u32 = i32::MAX.unsigned_abs();

/// An entry of a calendar as it was last written.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sent {
    /// Which calendar it is in.
    pub calendar: SentIn,
    /// Whose it is: the key of a supplier or of a crew; empty for the week, and for parts without a supplier.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub whose: String,
    /// What the calendar knows it by.
    pub uid: String,
    /// What it is there.
    #[serde(default)]
    pub form: SentForm,
    /// Its day, or its first.
    pub day: NaiveDate,
    /// Its last day, where it has several.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub until: Option<NaiveDate>,
    /// What it is called there.
    pub title: String,
    /// The number of its version.
    pub sequence: u32,
    /// The day it was last changed.
    pub on: NaiveDate,
    /// Tells whether what is to be said is what was said.
    pub digest: String,
}

impl Sent {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Sent>] = &[
        field("calendar", "", word!(SentIn::ALL, calendar)).required(),
        field("whose", "", Kind::Text(at!(whose))),
        field("uid", "", Kind::Text(at!(uid))).required(),
        field("form", "", word!(SentForm::ALL, form)),
        field("day", "", Kind::Date(at!(day))).required(),
        field("until", "", Kind::Date(at!(until?))),
        field("title", "", Kind::Text(at!(title))),
        field("sequence", "", Kind::Whole(at!(sequence))).required(),
        field("on", "", Kind::Date(at!(on))).required(),
        field("digest", "", Kind::Text(at!(digest))).required(),
    ];

    /// What no two of them have alike. A calendar of lists is kept by who buys, whoever sells; those of crews by them.
    pub fn known_by(&self) -> (SentIn, &str, &str) {
        let whose = if self.calendar == SentIn::Crew { self.whose.as_str() } else { "" };
        (self.calendar, whose, &self.uid)
    }

    /// Checks an entry by itself.
    pub fn check(&self) -> Checked {
        key(&self.uid).map_err(|why| why.replace("the key", "the uid"))?;
        if self.digest.trim().is_empty() {
            return Err("the digest is missing; take the row away, and the calendar is told anew".to_owned());
        }
        name(&self.title)?;
        day("the day", Some(self.day))?;
        day("the last day", self.until)?;
        day("the day it was changed", Some(self.on))?;
        if self.until.is_some_and(|until| until < self.day) {
            return Err("it ends before it begins; write the later day as the last one".to_owned());
        }
        if self.sequence > MAX_SEQUENCE {
            return Err(format!("the sequence {} is above {MAX_SEQUENCE}", self.sequence));
        }
        Ok(())
    }
}

/// The calendars that are remembered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum SentIn {
    /// Those of purchase lists.
    Lists,
    /// What is to be done in the next days.
    Week,
    /// The days of a crew.
    Crew,
}

impl SentIn {
    /// All with their words in sheets.
    pub const ALL: [(&'static str, SentIn); 3] =
        [("lists", SentIn::Lists), ("week", SentIn::Week), ("crew", SentIn::Crew)];
}

/// What an entry is in its calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum SentForm {
    /// An event on its days.
    #[default]
    Event,
    /// A task until its day.
    Todo,
}

impl SentForm {
    /// Both with their words in sheets.
    pub const ALL: [(&'static str, SentForm); 2] = [("event", SentForm::Event), ("todo", SentForm::Todo)];
}

/// Checks that an entry stands there once.
///
/// # Errors
/// Names the uid that stands there twice.
pub fn check_once(all: &[Sent]) -> Checked {
    let mut known = HashSet::new();
    match all.iter().find(|sent| !known.insert(sent.known_by())) {
        Some(twice) => Err(format!("the uid `{}` stands there twice for one calendar; keep one", twice.uid)),
        None => Ok(()),
    }
}

/// What is wrong with what is remembered of calendars.
pub(super) fn faults(project: &Project) -> Vec<String> {
    let wrong = project.sent.iter().filter_map(|sent| Some((sent, sent.check().err()?)));
    let wrong = wrong.map(|(sent, why)| format!("calendar entry `{}`: {why}", sent.uid));
    wrong.chain(check_once(&project.sent).err()).collect()
}

impl Project {
    /// What of it is not noted yet, each once.
    pub fn news_of(&self, said: Vec<Sent>) -> Vec<Sent> {
        let known: HashSet<&Sent> = self.sent.iter().collect();
        let mut news: Vec<Sent> = Vec::new();
        let mut seen = HashSet::new();
        for sent in said.into_iter().filter(|sent| !known.contains(sent)) {
            let (calendar, whose, uid) = sent.known_by();
            if seen.insert((calendar, whose.to_owned(), uid.to_owned())) {
                news.push(sent);
            }
        }
        news
    }

    /// Notes what calendars say now, in place of what they said.
    pub(super) fn note_sent(&mut self, all: &[Sent]) -> Result<(), ActionError> {
        for sent in all {
            sent.check()?;
        }
        check_once(all)?;
        let owned = |sent: &Sent| {
            let (calendar, whose, uid) = sent.known_by();
            (calendar, whose.to_owned(), uid.to_owned())
        };
        let own = Arc::make_mut(&mut self.sent);
        let places: HashMap<(SentIn, String, String), usize> =
            own.iter().enumerate().map(|(at, sent)| (owned(sent), at)).collect();
        for sent in all {
            match places.get(&owned(sent)).and_then(|at| own.get_mut(*at)) {
                Some(known) => *known = sent.clone(),
                None => own.push(sent.clone()),
            }
        }
        Ok(())
    }
}
