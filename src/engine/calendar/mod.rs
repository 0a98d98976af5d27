//! Days and calendars.
#![doc = include_str!("../../../assets/manual/calendar.md")]

mod day;
pub mod days;
pub mod holidays;
mod table;

pub use day::Day;
pub use table::{Calendar, DayRule, DayTable, HolidayTable};
