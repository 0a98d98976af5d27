//! The log of days and money: from the first plan that is kept on, each change of the forecast finish or total with its
//! cause. The lines hang together: each begins where the one before it ends, so that they add up.

use super::field::{Field, Kind, at, field, of, word};
use super::ids::{PartId, PhaseId, SelectionId};
use super::money::Money;
use super::project::Project;
use super::validate::{Checked, day};
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

/// Where a forecast ends and what it comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Standing {
    /// The forecast finish; `None` while nothing has days.
    pub finish: Option<NaiveDate>,
    /// The forecast total.
    pub total: Money,
}

/// Why something moved. Guessed from what was done, and the user's to correct.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Cause {
    /// What is bought, and when it comes.
    Delivery,
    /// Inspections, permits, and what must be confirmed.
    SignOff,
    /// Crews, and how far the work is.
    Trade,
    /// Work that nobody planned.
    FoundWork,
    /// Something else in place of what was chosen.
    ChangeOfMind,
    /// What something costs.
    Price,
    /// A choice, the first time.
    Decision,
    /// Nothing was done, and days went by.
    TimePassed,
    /// What an inspector wants put right.
    Correction,
    /// Anything else.
    Other,
}

impl Cause {
    /// All, with their words in sheets.
    pub const ALL: [(&'static str, Cause); 10] = [
        ("delivery", Cause::Delivery),
        ("sign-off", Cause::SignOff),
        ("trade", Cause::Trade),
        ("found work", Cause::FoundWork),
        ("change of mind", Cause::ChangeOfMind),
        ("price", Cause::Price),
        ("decision", Cause::Decision),
        ("time passed", Cause::TimePassed),
        ("correction", Cause::Correction),
        ("other", Cause::Other),
    ];

    /// The word for it.
    pub fn word(self) -> &'static str {
        Cause::ALL.iter().find(|(_, cause)| *cause == self).map_or("", |(word, _)| word)
    }

    /// The word for several of it, before a number of days.
    pub fn several(self) -> &'static str {
        match self {
            Cause::Delivery => "deliveries",
            Cause::SignOff => "sign-offs",
            Cause::Trade => "trades",
            Cause::FoundWork => "found work",
            Cause::ChangeOfMind => "changes of mind",
            Cause::Price => "prices",
            Cause::Decision => "decisions",
            Cause::TimePassed => "time passed",
            Cause::Correction => "corrections",
            Cause::Other => "other",
        }
    }
}

/// A change of the forecast finish or total.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LogLine {
    /// The as-of day on which it was done.
    pub on: NaiveDate,
    /// What was done, in words.
    pub what: String,
    /// Why it moved.
    pub cause: Cause,
    /// The phase it is about, where it is about one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub phase: Option<PhaseId>,
    /// The selection it is about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub selection: Option<SelectionId>,
    /// The part it is about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub part: Option<PartId>,
    /// The forecast finish before;
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub finish_before: Option<NaiveDate>,
    /// and after.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub finish_after: Option<NaiveDate>,
    /// The forecast total before;
    pub total_before: Money,
    /// and after.
    pub total_after: Money,
}

impl LogLine {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<LogLine>] = &[
        field("on", "", Kind::Date(at!(on))).required(),
        field("what", "", Kind::Text(at!(what))).required(),
        field("cause", "Cause", word!(Cause::ALL, cause)).required(),
        field("phase", "", of!(Phase, PhaseId, phase?)),
        field("selection", "", of!(Selection, SelectionId, selection?)),
        field("part", "", of!(Part, PartId, part?)),
        field("finish_before", "", Kind::Date(at!(finish_before?))),
        field("finish_after", "", Kind::Date(at!(finish_after?))),
        field("total_before", "", Kind::Money(at!(total_before))).required(),
        field("total_after", "", Kind::Money(at!(total_after))).required(),
    ];

    /// A line that leads from one standing to another.
    pub fn new(on: NaiveDate, what: &str, cause: Cause, before: Standing, after: Standing) -> LogLine {
        LogLine {
            on,
            what: what.to_owned(),
            cause,
            phase: None,
            selection: None,
            part: None,
            finish_before: before.finish,
            finish_after: after.finish,
            total_before: before.total,
            total_after: after.total,
        }
    }

    /// Where it begins.
    pub fn before(&self) -> Standing {
        Standing { finish: self.finish_before, total: self.total_before }
    }

    /// Where it leads.
    pub fn after(&self) -> Standing {
        Standing { finish: self.finish_after, total: self.total_after }
    }

    /// Checks a line by itself.
    pub fn check(&self) -> Checked {
        day("the day", Some(self.on))?;
        day("the finish before", self.finish_before)?;
        day("the finish after", self.finish_after)?;
        if self.what.trim().is_empty() {
            return Err("a line of the log says what was done; write it in what".to_owned());
        }
        Ok(())
    }

    /// Checks that it begins where the log stands.
    pub fn check_follows(&self, stands: Standing) -> Checked {
        let before = self.before();
        if before.finish != stands.finish {
            let words = |day: Option<NaiveDate>| day.map_or("no day".to_owned(), |d| d.to_string());
            return Err(format!(
                "the finish before it is {}, and what stands before it in the log left {}; lines must add up",
                words(before.finish),
                words(stands.finish)
            ));
        }
        if before.total != stands.total {
            return Err(format!(
                "the total before it is {}, and what stands before it in the log left {}; lines must add up",
                before.total.amount(),
                stands.total.amount()
            ));
        }
        Ok(())
    }

    /// Checks a line against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        self.check()?;
        let lost = self.phase.is_some_and(|id| project.phase(id).is_none())
            || self.selection.is_some_and(|id| project.selection(id).is_none())
            || self.part.is_some_and(|id| project.part(id).is_none());
        if lost {
            return Err("the line names a phase, selection or part that is not in the project".to_owned());
        }
        Ok(())
    }
}
