//! The days on which a phase is worked: those of the house on which its crew is there and did not stay away.
//!
//! All times stay working-day indices of the house. A start rolls forward to a day that is worked, a finish is the day
//! behind the last one worked, and what asks for a finish asks for the earliest start whose finish is late enough.

use crate::engine::calendar::Calendar;
use crate::engine::days::Days;

/// The days of one phase.
#[derive(Debug, Clone, Copy)]
pub struct Worked<'a> {
    work: Calendar<'a>,
    /// `None` when it is worked on every working day of the house.
    own: Option<Calendar<'a>>,
}

/// What a link asks of the phase before it at the latest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// To start by this.
    Start(i32),
    /// To be finished by this, half-open.
    Finish(i32),
}

impl<'a> Worked<'a> {
    /// The days of the phase at a position.
    pub fn of(days: &'a Days, phase: usize) -> Worked<'a> {
        Worked { work: days.work(), own: days.own(phase) }
    }

    /// The first day worked on or after an index.
    pub fn start(self, bound: i32) -> i32 {
        match self.own {
            None => bound,
            Some(own) => self.work.index(own.roll_forward(self.work.day(bound))),
        }
    }

    /// The half-open finish of so many days from a day worked on.
    pub fn finish(self, start: i32, days: i32) -> i32 {
        match self.own {
            Some(own) if days > 0 => {
                let first = own.index(self.work.day(start));
                self.work.index(own.day(first.saturating_add(days - 1))) + 1
            }
            _ => start.saturating_add(days),
        }
    }

    /// The earliest start whose finish, so many days later, is no earlier than this.
    pub fn start_for(self, finish: i32, days: i32) -> i32 {
        match self.own {
            None => finish.saturating_sub(days),
            Some(_) if days == 0 => self.start(finish),
            Some(own) => {
                let last = own.index(self.work.day(finish - 1));
                self.work.index(own.day(last.saturating_sub(days - 1)))
            }
        }
    }

    /// The earliest half-open finish that is no earlier than this, with a last day that is worked.
    pub fn finish_from(self, finish: i32) -> i32 {
        match self.own {
            None => finish,
            Some(own) => self.work.index(own.roll_forward(self.work.day(finish - 1))) + 1,
        }
    }

    /// The latest half-open finish that is no later than this, with a last day that is worked.
    fn finish_by(self, finish: i32) -> i32 {
        match self.own {
            None => finish,
            Some(own) => self.work.index(own.roll_back(self.work.day(finish - 1))) + 1,
        }
    }

    /// The latest start that keeps every limit.
    pub fn latest_start(self, limits: impl Iterator<Item = Limit>, days: i32) -> i32 {
        let Some(own) = self.own else {
            let by_start = |limit| match limit {
                Limit::Start(at) => at,
                Limit::Finish(at) => at.saturating_sub(days),
            };
            return limits.map(by_start).fold(i32::MAX, i32::min);
        };
        let latest = limits.map(|limit| match limit {
            Limit::Finish(at) if days > 0 => own.index_back(self.work.day(at - 1)).saturating_sub(days - 1),
            Limit::Start(at) | Limit::Finish(at) => own.index_back(self.work.day(at)),
        });
        self.work.index(own.day(latest.fold(i32::MAX, i32::min)))
    }

    /// The latest finish of work under way that keeps a limit. Where the limit leaves the early finish be, so does this.
    pub fn latest_finish(self, limit: i32, early: i32) -> i32 {
        let by = self.finish_by(limit);
        if limit >= early { by.max(early) } else { by }
    }
}
