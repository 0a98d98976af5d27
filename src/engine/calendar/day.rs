//! Days as numbers.

use crate::model::dates::{FIRST_DAY, LAST_DAY};
use chrono::{Datelike, NaiveDate};

/// A date as a number of days, for fast arithmetic. Always between 1900 and 2200.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(i32);

impl Day {
    /// The first day there is.
    pub fn first() -> Day {
        Day(FIRST_DAY.num_days_from_ce())
    }

    /// The last day there is.
    pub fn last() -> Day {
        Day(LAST_DAY.num_days_from_ce())
    }

    /// A day by year, month and day.
    pub fn from_ymd(year: i32, month: u32, day: u32) -> Option<Day> {
        NaiveDate::from_ymd_opt(year, month, day).map(Day::from)
    }

    /// The calendar date.
    pub fn date(self) -> NaiveDate {
        NaiveDate::from_num_days_from_ce_opt(self.0).unwrap_or(LAST_DAY)
    }

    /// Some days later, or earlier when negative; stops at the first and last day there is.
    pub fn plus(self, days: i32) -> Day {
        Day(self.0.saturating_add(days)).clamped()
    }

    /// Calendar days from `earlier` to this day.
    pub fn since(self, earlier: Day) -> i32 {
        self.0 - earlier.0
    }

    /// 0 for Monday to 6 for Sunday. Day one of the common era was a Monday.
    pub fn weekday_index(self) -> u32 {
        (self.0 - 1).rem_euclid(7) as u32
    }

    /// Days since the year one.
    pub(in crate::engine) fn number(self) -> i32 {
        self.0
    }

    /// The day with such a number, between the first and the last.
    pub(in crate::engine) fn at(number: i32) -> Day {
        Day(number)
    }

    fn clamped(self) -> Day {
        Day(self.0.clamp(FIRST_DAY.num_days_from_ce(), LAST_DAY.num_days_from_ce()))
    }
}

impl From<NaiveDate> for Day {
    fn from(date: NaiveDate) -> Day {
        Day(date.num_days_from_ce()).clamped()
    }
}

impl std::fmt::Display for Day {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.date().fmt(f)
    }
}
