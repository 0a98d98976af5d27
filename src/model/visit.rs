//! Visits of inspectors, booked and made, and days on which a crew did not come.

use super::field::{At, Field, Kind, at, field, words};
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

/// One visit of an inspector.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Attempt {
    /// The day of the visit.
    pub date: NaiveDate,
    /// Passed, or failed. A visit that is booked is neither.
    pub passed: bool,
    /// Whether it is booked and has not taken place.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub booked: bool,
    /// What was said, or what to correct.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// The day the corrections are due or were done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub correct_by: Option<NaiveDate>,
}

impl Attempt {
    /// The results with their words in sheets.
    pub const RESULTS: [(&'static str, Outcome); 3] =
        [("passed", Outcome::Passed), ("failed", Outcome::Failed), ("booked", Outcome::Booked)];

    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Attempt>] = &[
        field("date", "", Kind::Date(at!(date))).required(),
        field("result", "", Kind::Word(const { &words(&Attempt::RESULTS) }, RESULT)).required(),
        field("note", "", Kind::Text(at!(note))),
        field("correct_by", "", Kind::Date(at!(correct_by?))),
    ];

    /// A visit that took place.
    pub fn new(date: NaiveDate, passed: bool) -> Attempt {
        Attempt { date, passed, booked: false, note: String::new(), correct_by: None }
    }

    /// A visit that is booked.
    pub fn booked(date: NaiveDate) -> Attempt {
        Attempt { booked: true, ..Attempt::new(date, false) }
    }

    /// What came of it.
    pub fn outcome(&self) -> Outcome {
        match (self.booked, self.passed) {
            (true, _) => Outcome::Booked,
            (false, true) => Outcome::Passed,
            (false, false) => Outcome::Failed,
        }
    }

    /// The word for what came of it.
    pub fn word(&self) -> &'static str {
        Attempt::RESULTS.iter().find(|(_, result)| *result == self.outcome()).map_or("", |(word, _)| word)
    }

    /// Whether it took place and did not pass.
    pub fn failed(&self) -> bool {
        self.outcome() == Outcome::Failed
    }
}

/// What came of a visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// It passed.
    Passed,
    /// It failed.
    Failed,
    /// It is booked.
    Booked,
}

const RESULT: At<Attempt, usize> = At {
    maybe: false,
    get: |a| Attempt::RESULTS.iter().position(|(_, result)| *result == a.outcome()),
    set: |a, at| {
        if let Some((_, result)) = at.and_then(|at| Attempt::RESULTS.get(at)) {
            (a.passed, a.booked) = (*result == Outcome::Passed, *result == Outcome::Booked);
        }
    },
};

/// A day on which a crew should have come and did not.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Missed {
    /// The day.
    pub date: NaiveDate,
    /// What it said.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub why: String,
}

impl Missed {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Missed>] =
        &[field("date", "", Kind::Date(at!(date))).required(), field("why", "", Kind::Text(at!(why)))];
}
