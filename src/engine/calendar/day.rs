//! Days as numbers.

use crate::model::dates::LAST_DAY;
use chrono::{Datelike, NaiveDate};
use std::num::NonZeroI32;

/// A date as a number of days, for fast arithmetic. Always between 1900 and 2200.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(NonZeroI32);

/// The number of the first day of a year.
const fn first_of(year: i32) -> i32 {
    let before = year - 1;
    before * 365 + before / 4 - before / 100 + before / 400 + 1
}

const FIRST: i32 = first_of(1900);
const LAST: i32 = first_of(2201) - 1;

impl Day {
    /// The first day there is.
    pub fn first() -> Day {
        Day::at(FIRST)
    }

    /// The last day there is.
    pub fn last() -> Day {
        Day::at(LAST)
    }

    /// A day by year, month and day.
    pub fn from_ymd(year: i32, month: u32, day: u32) -> Option<Day> {
        NaiveDate::from_ymd_opt(year, month, day).map(Day::from)
    }

    /// The calendar date.
    pub fn date(self) -> NaiveDate {
        NaiveDate::from_num_days_from_ce_opt(self.number()).unwrap_or(LAST_DAY)
    }

    /// Some days later, or earlier when negative; stops at the first and last day there is.
    pub fn plus(self, days: i32) -> Day {
        Day::at(self.number().saturating_add(days))
    }

    /// Calendar days from `earlier` to this day.
    pub fn since(self, earlier: Day) -> i32 {
        self.number() - earlier.number()
    }

    /// 0 for Monday to 6 for Sunday. Day one of the common era was a Monday.
    pub fn weekday_index(self) -> u32 {
        (self.number() - 1).rem_euclid(7) as u32
    }

    /// Days since the year one.
    fn number(self) -> i32 {
        self.0.get()
    }

    /// The day with such a number; stops at the first and last day there is.
    fn at(number: i32) -> Day {
        Day(NonZeroI32::new(number.clamp(FIRST, LAST)).unwrap_or(NonZeroI32::MIN))
    }
}

impl From<NaiveDate> for Day {
    fn from(date: NaiveDate) -> Day {
        Day::at(date.num_days_from_ce())
    }
}

impl std::fmt::Display for Day {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.date().fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::dates::FIRST_DAY;

    #[test]
    fn the_first_and_the_last_day_are_those_of_dates() {
        assert_eq!((Day::first().date(), Day::last().date()), (FIRST_DAY, LAST_DAY));
    }
}
