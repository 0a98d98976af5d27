//! Working-day calendars: which days count, and the n-th one from a given day.
//!
//! A [`DayTable`] counts open days once so that every question is a table look-up. Questions a little beyond the table
//! are answered by walking on from its edge with the same rule, those farther away by a table of all days from 1900 to
//! 2200, made when the first of them is asked. No answer lies outside of these years.

use crate::engine::holidays;
use crate::model::dates::{ClosedRange, HolidayRule, Holidays, Weekdays};
use chrono::Datelike;
use std::sync::OnceLock;

use super::Day;

/// Days beyond a table that are walked one by one; farther away, and from then on, a table of all days answers.
const FARTHEST_WALK: i32 = 400;

/// The public holidays of a stretch of years, looked up in one step.
#[derive(Debug, Clone)]
pub struct HolidayTable {
    rule: HolidayRule,
    own: Vec<Day>,
    first: Day,
    off: Vec<bool>,
}

impl HolidayTable {
    /// The holidays from `first` to `last`.
    pub fn new(holidays: &Holidays, first: Day, last: Day) -> HolidayTable {
        let mut own: Vec<Day> = holidays.own.iter().map(|d| Day::from(*d)).collect();
        own.sort_unstable();
        let mut table = HolidayTable { rule: holidays.rule, own, first, off: Vec::new() };
        table.reach(last);
        table
    }

    /// Makes the table end on another last day.
    pub fn reach(&mut self, last: Day) {
        let length = usize::try_from(last.since(self.first) + 1).unwrap_or(0);
        let off = &mut self.off;
        off.clear();
        off.resize(length, false);
        let mut set = |day: Day| {
            if let Ok(at) = usize::try_from(day.since(self.first))
                && at < length
            {
                off[at] = true;
            }
        };
        self.own.iter().for_each(|day| set(*day));
        if self.rule == HolidayRule::UsFederal {
            // The year after the last one too: its New Year may be observed on the last day of the stretch.
            for year in self.first.date().year()..=last.date().year() + 1 {
                holidays::us_federal(year).for_each(&mut set);
            }
        }
    }

    /// The same for all days there are.
    fn of_all_days(&self) -> HolidayTable {
        let own = self.own.clone();
        let mut whole = HolidayTable { rule: self.rule, own, first: Day::first(), off: Vec::new() };
        whole.reach(Day::last());
        whole
    }

    /// Whether a day is a holiday.
    pub fn contains(&self, day: Day) -> bool {
        match usize::try_from(day.since(self.first)).ok().and_then(|at| self.off.get(at)) {
            Some(off) => *off,
            None => self.contains_beyond(day),
        }
    }

    #[cold]
    fn contains_beyond(&self, day: Day) -> bool {
        let date = day.date();
        let federal = |year: i32| holidays::us_federal(year).any(|d| d == day);
        // Only New Year can be observed in the year before its own.
        let next_new_year = date.month() == 12 && date.day() == 31;
        self.own.binary_search(&day).is_ok()
            || (self.rule == HolidayRule::UsFederal
                && (federal(date.year()) || next_new_year && federal(date.year() + 1)))
    }
}

/// Which days a table counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayRule {
    weekdays: Weekdays,
    keeps_holidays: bool,
    closed: Vec<(Day, Day)>,
}

impl DayRule {
    /// Days in the weekday set, less holidays where kept, less closed ranges.
    pub fn new(weekdays: Weekdays, keeps_holidays: bool, closed: &[ClosedRange]) -> DayRule {
        let closed = closed.iter().map(|r| (Day::from(r.from), Day::from(r.to))).collect();
        DayRule { weekdays, keeps_holidays, closed: apart(closed) }
    }

    /// The same days, but only those in another weekday set too.
    pub fn only_on(&self, weekdays: Weekdays) -> DayRule {
        let both = (0..7_u8).fold(Weekdays::ALL, |set, i| {
            let day = chrono::Weekday::try_from(i).unwrap_or(chrono::Weekday::Mon);
            set.with(day, self.weekdays.contains(day) && weekdays.contains(day))
        });
        DayRule { weekdays: both, ..self.clone() }
    }

    /// The same days without some ranges.
    pub fn but(&self, shut: &[(Day, Day)]) -> DayRule {
        DayRule { closed: apart([self.closed.as_slice(), shut].concat()), ..self.clone() }
    }

    fn allows(&self, day: Day, holidays: &HolidayTable) -> bool {
        self.weekdays.bits() >> day.weekday_index() & 1 == 1
            && !(self.keeps_holidays && holidays.contains(day))
            && !self.is_closed(day)
    }

    fn is_closed(&self, day: Day) -> bool {
        let begun = self.closed.partition_point(|(from, _)| *from <= day);
        begun > 0 && day <= self.closed[begun - 1].1
    }
}

/// Ranges in order and apart from each other, so that each day is in one at most.
fn apart(mut ranges: Vec<(Day, Day)>) -> Vec<(Day, Day)> {
    ranges.sort_unstable();
    ranges.dedup_by(|next, kept| {
        let meets = next.0 <= kept.1;
        if meets {
            kept.1 = kept.1.max(next.1);
        }
        meets
    });
    ranges
}

/// Open days counted over a stretch of time.
#[derive(Debug, Clone)]
pub struct DayTable {
    rule: DayRule,
    first: Day,
    /// `before[k]`: open days from `first` to the day before `first + k`.
    before: Vec<i32>,
    open: Vec<Day>,
    /// The same over all days there are, and how many of its open days lie before `first`.
    whole: OnceLock<Box<(DayTable, i32)>>,
}

impl DayTable {
    /// Counts the days that the rule allows from the first to the last day of the holiday table.
    pub fn new(rule: DayRule, holidays: &HolidayTable) -> DayTable {
        DayTable::from(holidays.first, rule, holidays)
    }

    /// The same from a later day on.
    pub fn from(first: Day, rule: DayRule, holidays: &HolidayTable) -> DayTable {
        let skipped = usize::try_from(first.since(holidays.first)).unwrap_or(0);
        let off = holidays.off.get(skipped..).unwrap_or(&[]);
        let mut shut = if rule.keeps_holidays { off.to_vec() } else { vec![false; off.len()] };
        for (from, to) in &rule.closed {
            let at = |offset: i32| usize::try_from(offset).unwrap_or(0).min(shut.len());
            let range = at(from.since(first))..at(to.since(first) + 1);
            shut.get_mut(range).into_iter().flatten().for_each(|day| *day = true);
        }
        // Every day is written down as if open; the next one is written over it when it is not.
        let length = shut.len();
        let mut before = vec![0; length + 1];
        let mut open = vec![first; length];
        let mut count = 0;
        let mut weekdays = u32::from(rule.weekdays.bits());
        weekdays = (weekdays >> first.weekday_index() | weekdays << (7 - first.weekday_index())) & 0x7f;
        for (k, (before, shut)) in before.iter_mut().zip(&shut).enumerate() {
            *before = count as i32;
            open[count] = first.plus(k as i32);
            count += (weekdays & u32::from(!shut)) as usize & 1;
            // The seven bits go round; the lowest is the day.
            weekdays = weekdays >> 1 | (weekdays & 1) << 6;
        }
        before[length] = count as i32;
        open.truncate(count);
        DayTable { rule, first, before, open, whole: OnceLock::new() }
    }

    /// Makes the table end where the holidays end; indices of days stay as they are.
    pub fn reach(&mut self, holidays: &HolidayTable) {
        *self = DayTable::from(self.first, self.rule.clone(), holidays);
    }

    /// The rule it was made from.
    pub fn rule(&self) -> &DayRule {
        &self.rule
    }

    /// Whether a day is open.
    pub fn is_open(&self, day: Day, holidays: &HolidayTable) -> bool {
        self.rule.allows(day, holidays)
    }

    /// Index of the first open day on or after `day`: how many open days lie before it in the table's count.
    pub fn index(&self, day: Day, holidays: &HolidayTable) -> i32 {
        // A day before the table becomes a position far beyond it.
        match self.before.get(day.since(self.first) as u32 as usize) {
            Some(count) => *count,
            None => self.index_beyond(day, holidays),
        }
    }

    /// Index of the last open day on or before `day`.
    pub fn index_back(&self, day: Day, holidays: &HolidayTable) -> i32 {
        self.index(day.plus(1), holidays) - 1
    }

    /// The open day with an index; stops at the first and last day there is.
    pub fn day(&self, index: i32, holidays: &HolidayTable) -> Day {
        match self.open.get(index as u32 as usize) {
            Some(day) => *day,
            None => self.day_beyond(index, holidays),
        }
    }

    fn end(&self) -> Day {
        self.first.plus(self.before.len() as i32 - 1)
    }

    #[cold]
    fn index_beyond(&self, day: Day, holidays: &HolidayTable) -> i32 {
        if self.rule.weekdays.is_empty() {
            return 0;
        }
        let (from, to) = if day < self.first { (day, self.first) } else { (self.end(), day) };
        let span = to.since(from).max(0);
        if span > FARTHEST_WALK || self.whole.get().is_some() {
            let (whole, skipped) = self.whole(holidays);
            return whole.index(day, holidays) - skipped;
        }
        let counted = (0..span).filter(|k| self.rule.allows(from.plus(*k), holidays)).count() as i32;
        if day < self.first { -counted } else { self.open.len() as i32 + counted }
    }

    #[cold]
    fn day_beyond(&self, index: i32, holidays: &HolidayTable) -> Day {
        if self.rule.weekdays.is_empty() {
            return if index < 0 { Day::first() } else { Day::last() };
        }
        let total = self.open.len() as i32;
        let (mut day, mut left, step) =
            if index < 0 { (self.first.plus(-1), -index, -1) } else { (self.end(), index - total + 1, 1) };
        let walk = if self.whole.get().is_some() { 0 } else { FARTHEST_WALK };
        for _ in 0..walk {
            if self.rule.allows(day, holidays) {
                left -= 1;
                if left == 0 {
                    return day;
                }
            }
            if day == Day::first() || day == Day::last() {
                return day;
            }
            day = day.plus(step);
        }
        let (whole, skipped) = self.whole(holidays);
        match usize::try_from(index.saturating_add(*skipped)) {
            Ok(at) => whole.open.get(at).copied().unwrap_or(Day::last()),
            Err(_) => Day::first(),
        }
    }

    fn whole(&self, holidays: &HolidayTable) -> &(DayTable, i32) {
        self.whole.get_or_init(|| {
            let whole = DayTable::from(Day::first(), self.rule.clone(), &holidays.of_all_days());
            let skipped = whole.before.get(self.first.since(Day::first()) as usize).copied().unwrap_or(0);
            Box::new((whole, skipped))
        })
    }
}

/// A table together with its holidays: one calendar to ask.
#[derive(Debug, Clone, Copy)]
pub struct Calendar<'a> {
    table: &'a DayTable,
    holidays: &'a HolidayTable,
}

impl<'a> Calendar<'a> {
    /// Puts the two together.
    pub fn new(table: &'a DayTable, holidays: &'a HolidayTable) -> Calendar<'a> {
        Calendar { table, holidays }
    }

    /// Index of the first open day on or after `day`.
    pub fn index(&self, day: Day) -> i32 {
        self.table.index(day, self.holidays)
    }

    /// Index of the last open day on or before `day`.
    pub fn index_back(&self, day: Day) -> i32 {
        self.table.index_back(day, self.holidays)
    }

    /// The open day with an index.
    pub fn day(&self, index: i32) -> Day {
        self.table.day(index, self.holidays)
    }

    /// Whether a day is open.
    pub fn is_open(&self, day: Day) -> bool {
        self.table.is_open(day, self.holidays)
    }

    /// The first open day on or after `day`.
    pub fn roll_forward(&self, day: Day) -> Day {
        self.day(self.index(day))
    }

    /// The last open day on or before `day`.
    pub fn roll_back(&self, day: Day) -> Day {
        self.day(self.index_back(day))
    }

    /// The n-th open day from `day`, which is first rolled forward for n >= 0 and backward for n < 0, as
    /// `numpy.busday_offset` does with the roll of that name.
    pub fn offset(&self, day: Day, n: i32) -> Day {
        let from = if n >= 0 { self.index(day) } else { self.index_back(day) };
        self.day(from.saturating_add(n))
    }

    /// The open day a number of open days after the first one on or after `day`, or before it when negative.
    pub fn offset_index(&self, day: Day, n: i32) -> Day {
        self.day(self.index(day).saturating_add(n))
    }

    /// Open days from `from` up to but not including `to`; negative when `to` is earlier.
    pub fn count(&self, from: Day, to: Day) -> i32 {
        self.index(to) - self.index(from)
    }
}
