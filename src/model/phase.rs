//! Phases of the work, the links between them and the attempts at inspections.

use super::caution::Hazard;
use super::field::{At, Field, Kind, Noun, Parsed, at, field, of, word, words};
use super::ids::{CrewId, LinkId, PhaseId};
use super::project::Project;
use super::validate::{Checked, MAX_DAYS, day, key, name, percent};
use super::visit::{Attempt, Missed};
use super::work::Work;
use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

/// A block of work by one trade.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Phase {
    /// Its number.
    pub id: PhaseId,
    /// Its key in sheets and figures.
    pub key: String,
    /// What people call it.
    pub name: String,
    /// Who does it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub trade: String,
    /// Work, inspection or milestone.
    #[serde(default)]
    pub kind: PhaseKind,
    /// The kind of work that is done, or that an inspection looks at; `None` when nobody has said, and it is guessed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub work: Option<Work>,
    /// What it does to choices that change later.
    #[serde(default, skip_serializing_if = "PhaseRole::is_plain")]
    pub role: PhaseRole,
    /// Likely duration in working days; `None` while nobody has said, which is never zero.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days: Option<i32>,
    /// Shortest duration thought possible.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days_min: Option<i32>,
    /// Longest duration thought likely.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days_max: Option<i32>,
    /// Not to start before this day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub not_before: Option<NaiveDate>,
    /// The day it began.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub actual_start: Option<NaiveDate>,
    /// The last day worked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub actual_finish: Option<NaiveDate>,
    /// Working days still to do from the as-of day on, once begun.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days_left: Option<i32>,
    /// Whether the user does it without a price, so that none is missing.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub own_work: bool,
    /// The crew that does it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub crew: Option<CrewId>,
    /// The day from which the crew is booked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub booked_from: Option<NaiveDate>,
    /// The day on which the crew said yes to that.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub confirmed_on: Option<NaiveDate>,
    /// The day on which the crew was last told when it starts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub told_on: Option<NaiveDate>,
    /// The start it was told then.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub told_start: Option<NaiveDate>,
    /// For an inspection: the chance in percent that a visit fails; `None` when nobody has said, and none is counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fail_pct: Option<Decimal>,
    /// For an inspection: working days that corrections take after a visit failed; `None` when nobody has said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub correct_days: Option<u32>,
    /// Days on which the crew should have come and did not.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub missed: Vec<Missed>,
    /// Attempts at an inspection.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub attempts: Vec<Attempt>,
    /// What can hurt people in this phase, as the user said; `None` when nobody has said, and it is guessed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hazards: Option<Vec<Hazard>>,
}

impl Phase {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Phase>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("name", "", Kind::Name(at!(name))),
        field("trade", "", Kind::Text(at!(trade))),
        field("kind", "", word!(PhaseKind::ALL, kind)),
        field("work", "", word!(Work::ALL, work?)),
        field("role", "", Kind::Word(const { &words(&PhaseRole::ALL) }, ROLE)),
        field("days", "", Kind::Days(at!(days?))),
        field("days_min", "", Kind::Days(at!(days_min?))),
        field("days_max", "", Kind::Days(at!(days_max?))),
        field("not_before", "", Kind::Date(at!(not_before?))),
        field("actual_start", "", Kind::Date(at!(actual_start?))),
        field("actual_finish", "", Kind::Date(at!(actual_finish?))),
        field("days_left", "", Kind::Days(at!(days_left?))),
        field("hazards", "", Kind::Parsed(HAZARDS)),
        field("own_work", "", Kind::YesNo(at!(own_work))),
        field("crew", "", of!(Crew, CrewId, crew?)),
        field("booked_from", "", Kind::Date(at!(booked_from?))),
        field("confirmed_on", "", Kind::Date(at!(confirmed_on?))),
        field("told_on", "", Kind::Date(at!(told_on?))),
        field("told_start", "", Kind::Date(at!(told_start?))),
        field("fail_pct", "", Kind::Percent(at!(fail_pct?))),
        field("correct_days", "", Kind::OpenDays(at!(correct_days?))),
    ];

    /// A phase of work with nothing but a name and a duration, where somebody has said one.
    pub fn new(id: PhaseId, key: &str, name: &str, days: impl Into<Option<i32>>) -> Phase {
        Phase {
            id,
            key: key.to_owned(),
            name: name.to_owned(),
            trade: String::new(),
            kind: PhaseKind::Work,
            work: None,
            role: PhaseRole::Plain,
            days: days.into(),
            days_min: None,
            days_max: None,
            not_before: None,
            actual_start: None,
            actual_finish: None,
            days_left: None,
            own_work: false,
            crew: None,
            booked_from: None,
            confirmed_on: None,
            told_on: None,
            told_start: None,
            fail_pct: None,
            correct_days: None,
            missed: Vec::new(),
            attempts: Vec::new(),
            hazards: None,
        }
    }

    /// Working days that figures count: what was said; else none for a milestone and one for a visit; else what is
    /// typical. Without any of these it takes no days, and binds nothing but its order.
    pub fn counted_days(&self) -> i32 {
        self.days.or(self.typical_days()).unwrap_or(0)
    }

    /// What is typical while nobody has said how long it takes.
    pub fn typical_days(&self) -> Option<i32> {
        match self.kind {
            PhaseKind::Milestone => Some(0),
            PhaseKind::Inspection => Some(1),
            PhaseKind::Work => None,
        }
    }

    /// Working days that corrections take after a visit that failed; three while nobody has said, common practice, no
    /// source.
    pub fn days_to_correct(&self) -> u32 {
        self.correct_days.unwrap_or(3)
    }

    /// The kind of work: what was said, else what its name tells.
    pub fn kind_of_work(&self) -> Option<Work> {
        self.work.or_else(|| Work::guess(&self.name))
    }

    /// The day it was finished: the actual finish, or the day of the latest attempt at the inspection if that one
    /// was passed.
    pub fn finished_on(&self) -> Option<NaiveDate> {
        let latest = self.visits().max_by_key(|a| a.date);
        self.actual_finish.or_else(|| latest.filter(|a| a.passed).map(|a| a.date))
    }

    /// Visits that took place.
    pub fn visits(&self) -> impl Iterator<Item = &Attempt> {
        self.attempts.iter().filter(|a| !a.booked)
    }

    /// The day for which the next visit is booked, behind all that took place; `None` once it is finished.
    pub fn booked_visit(&self) -> Option<NaiveDate> {
        let last = self.visits().map(|a| a.date).max();
        let booked = self.attempts.iter().filter(|a| a.booked && last.is_none_or(|last| a.date > last));
        booked.map(|a| a.date).max().filter(|_| self.finished_on().is_none())
    }

    /// The start that its crew counts on, on a day: what it was told last by then, else the day from which it is booked.
    pub fn expected_start(&self, on: NaiveDate) -> Option<NaiveDate> {
        let told = self.told_start.filter(|_| self.told_on.is_none_or(|told| told <= on));
        told.or(self.booked_from)
    }

    /// The day on which its crew said yes, where that was by a day.
    pub fn confirmed(&self, on: NaiveDate) -> Option<NaiveDate> {
        self.confirmed_on.filter(|yes| *yes <= on)
    }

    /// Whether it has begun and is not finished. An inspection that failed waits for its next attempt: it has not begun.
    pub fn is_under_way(&self) -> bool {
        self.finished_on().is_none() && self.actual_start.is_some() && self.visits().next().is_none()
    }
}

/// Nothing in particular is not written.
const ROLE: At<Phase, usize> = At {
    maybe: true,
    get: |p| PhaseRole::ALL.iter().position(|(_, role)| *role == p.role && !role.is_plain()),
    set: |p, at| {
        p.role = at.and_then(|at| PhaseRole::ALL.get(at)).map_or(PhaseRole::Plain, |(_, role)| *role)
    },
};

/// Words with spaces between; `none` says that nothing can hurt, an empty cell that nobody has said.
const HAZARDS: Parsed<Phase> = Parsed {
    get: |p| match p.hazards.as_deref() {
        None => String::new(),
        Some([]) => "none".to_owned(),
        Some(hazards) => hazards.iter().map(|h| h.word()).collect::<Vec<_>>().join(" "),
    },
    set: |p, text| {
        let words = text.split([' ', ',', ';']).filter(|w| !w.is_empty() && !w.eq_ignore_ascii_case("none"));
        let word = |word: &str| {
            let known = Hazard::ALL.iter().find(|(name, _)| name.eq_ignore_ascii_case(word));
            known.map(|(_, hazard)| *hazard).ok_or_else(|| {
                let all: Vec<&str> = Hazard::ALL.iter().map(|(name, _)| *name).collect();
                format!("`{word}` is not known here; write some of: {}, or none", all.join(", "))
            })
        };
        p.hazards = Some(words.map(word).collect::<Result<_, String>>()?);
        Ok(())
    },
};

/// What kind of block it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum PhaseKind {
    /// Work by a trade.
    #[default]
    Work,
    /// A visit by an inspector that passes or fails.
    Inspection,
    /// A point in time.
    Milestone,
}

impl PhaseKind {
    /// All kinds with their words in sheets.
    pub const ALL: [(&'static str, PhaseKind); 3] = [
        ("work", PhaseKind::Work),
        ("inspection", PhaseKind::Inspection),
        ("milestone", PhaseKind::Milestone),
    ];
}

/// What a phase does to choices that change later.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum PhaseRole {
    /// Nothing in particular.
    #[default]
    Plain,
    /// Its parts end up behind the wall.
    InWall,
    /// It closes the walls: once finished, what is behind them is reached by opening them again.
    CoverUp,
    /// It measures for countertops: once finished, another sink, faucet or cooktop needs another template.
    Template,
}

impl PhaseRole {
    /// All roles with their words in sheets.
    pub const ALL: [(&'static str, PhaseRole); 4] = [
        ("plain", PhaseRole::Plain),
        ("in_wall", PhaseRole::InWall),
        ("cover_up", PhaseRole::CoverUp),
        ("template", PhaseRole::Template),
    ];

    /// Whether it is nothing in particular.
    pub fn is_plain(&self) -> bool {
        *self == PhaseRole::Plain
    }
}

/// A precedence between two phases.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Link {
    /// Its number.
    pub id: LinkId,
    /// The phase that comes first.
    pub before: PhaseId,
    /// The phase that waits.
    pub after: PhaseId,
    /// Which ends it ties.
    #[serde(default)]
    pub kind: LinkKind,
    /// The wait, negative for an overlap.
    #[serde(default)]
    pub lag: i32,
    /// What the wait is counted in.
    #[serde(default)]
    pub unit: LagUnit,
}

impl Link {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Link>] = &[
        field("before", "", of!(Phase, PhaseId, before)).required(),
        field("after", "", Kind::Of(Noun::Phase, AFTER)).required(),
        field("type", "", word!(LinkKind::ALL, kind)),
        field("lag", "", Kind::Signed(at!(lag))),
        field("lag_unit", "", word!(LagUnit::ALL, unit)),
    ];
}

/// An end that is not known gets a number that no phase has, and another one than the other end.
const AFTER: At<Link, u32> =
    At { maybe: false, get: |l| Some(l.after.0), set: |l, id| l.after = PhaseId(id.unwrap_or(u32::MAX - 1)) };

/// Which end of the first phase bounds which end of the second (precedence method).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum LinkKind {
    /// Finish to start.
    #[default]
    FS,
    /// Start to start.
    SS,
    /// Finish to finish.
    FF,
    /// Start to finish.
    SF,
}

impl LinkKind {
    /// All kinds with their words in sheets.
    pub const ALL: [(&'static str, LinkKind); 4] =
        [("FS", LinkKind::FS), ("SS", LinkKind::SS), ("FF", LinkKind::FF), ("SF", LinkKind::SF)];

    /// Whether it bounds the start of the phase behind it.
    pub fn bounds_start(self) -> bool {
        matches!(self, LinkKind::FS | LinkKind::SS)
    }

    /// Whether it hangs on the finish of the phase before it.
    pub fn from_finish(self) -> bool {
        matches!(self, LinkKind::FS | LinkKind::FF)
    }
}

/// What a lag is counted in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum LagUnit {
    /// Working days of the project.
    #[default]
    Working,
    /// Calendar days, for what cures or dries on its own. Only on FS and SS.
    Elapsed,
}

impl LagUnit {
    /// Both units with their words in sheets.
    pub const ALL: [(&'static str, LagUnit); 2] =
        [("working", LagUnit::Working), ("elapsed", LagUnit::Elapsed)];
}

impl Phase {
    /// Checks a phase by itself.
    pub fn check(&self) -> Checked {
        key(&self.key)?;
        name(&self.name)?;
        let days = |what: &str, value: Option<i32>| match value {
            Some(n) if n < 0 => Err(format!("{what} {n} is negative; write zero or more working days")),
            Some(n) if n > MAX_DAYS => Err(format!("{what} {n} is above {MAX_DAYS} working days")),
            _ => Ok(()),
        };
        days("days", self.days)?;
        days("shortest days", self.days_min)?;
        days("longest days", self.days_max)?;
        days("days left", self.days_left)?;
        if self.kind == PhaseKind::Milestone && self.days.is_some_and(|days| days != 0) {
            return Err("a milestone takes no days; write 0 days or make it work".to_owned());
        }
        match (self.days, self.days_min, self.days_max) {
            (Some(likely), min, max)
                if min.is_some_and(|n| n > likely) || max.is_some_and(|n| n < likely) =>
            {
                let (min, max) = (min.unwrap_or(likely), max.unwrap_or(likely));
                return Err(format!(
                    "days {likely} are not between the shortest {min} and the longest {max}"
                ));
            }
            (None, Some(n), _) => {
                return Err(format!("the shortest days {n} need likely ones; write them in days"));
            }
            (None, None, Some(n)) => {
                return Err(format!("the longest days {n} need likely ones; write them in days"));
            }
            _ => {}
        }
        day("not before", self.not_before)?;
        day("the actual start", self.actual_start)?;
        day("the actual finish", self.actual_finish)?;
        if let (Some(start), Some(finish)) = (self.actual_start, self.actual_finish)
            && finish < start
        {
            return Err(format!("it finished on {finish}, before it started on {start}"));
        }
        for (what, on) in [
            ("booked from", self.booked_from),
            ("confirmed", self.confirmed_on),
            ("told", self.told_on),
            ("the start it was told", self.told_start),
        ] {
            day(what, on)?;
        }
        self.missed.iter().try_for_each(|missed| day("the missed day", Some(missed.date)))?;
        for attempt in &self.attempts {
            day("the attempt", Some(attempt.date))?;
            day("the correction", attempt.correct_by)?;
        }
        if !self.attempts.is_empty() && self.kind != PhaseKind::Inspection {
            return Err("only an inspection has attempts".to_owned());
        }
        if self.kind != PhaseKind::Inspection && self.fail_pct.is_some() {
            return Err("only an inspection has visits that fail; leave fail_pct empty".to_owned());
        }
        if self.kind != PhaseKind::Inspection && self.correct_days.is_some() {
            return Err("only an inspection has days for corrections; leave correct_days empty".to_owned());
        }
        percent("the chance that a visit fails", self.fail_pct.unwrap_or_default())?;
        if self.correct_days.is_some_and(|days| days > MAX_DAYS.unsigned_abs()) {
            return Err(format!("the days for corrections are above {MAX_DAYS}"));
        }
        Ok(())
    }

    /// As [`Phase::check`], but a negative duration is left for the engine to report.
    pub fn check_loaded(&self) -> Checked {
        if self.days.is_some_and(|days| days < 0) { key(&self.key) } else { self.check() }
    }
}

impl Link {
    /// Checks a link by itself.
    pub fn check(&self) -> Checked {
        if self.before == self.after {
            return Err("a phase cannot wait for itself".to_owned());
        }
        if self.lag.unsigned_abs() > MAX_DAYS.unsigned_abs() {
            return Err(format!("a lag of {} is beyond {MAX_DAYS} days", self.lag));
        }
        if self.unit == LagUnit::Elapsed && !self.kind.bounds_start() {
            return Err(
                "an elapsed lag goes with FS or SS links only; use working days or another link".to_owned()
            );
        }
        Ok(())
    }

    /// Checks a link against the phases of a project; circles are looked for by [`super::graph::circle_names`].
    pub fn check_in(&self, project: &Project) -> Checked {
        if project.phase(self.before).is_none() || project.phase(self.after).is_none() {
            return Err("the link names a phase that is not in the project".to_owned());
        }
        self.check()
    }
}
