//! What is wrong with a typed text, and what to type instead.

use crate::model::validate::MAX_LEAD;
use rust_decimal::Decimal;

/// Why a typed text is not taken. The words say what to type; the field is named by whoever asked.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TypedError {
    /// It is no number at all, or one that is written wrong.
    #[error("`{0}` is no number; write for example 12.50")]
    NotANumber(String),
    /// It is two different numbers, by who reads it.
    #[error("`{text}` can be {a} or {b}; write {a} or {b}")]
    TwoWays {
        /// What was typed.
        text: String,
        /// One way to write it so that it can be read one way only.
        a: String,
        /// The other.
        b: String,
    },
    /// An amount of another currency; nothing is converted.
    #[error("`{text}` is in {sign}, and the project is in {project}; write what it comes to in {project}")]
    WrongCurrency {
        /// What was typed.
        text: String,
        /// The sign or code beside the amount.
        sign: String,
        /// The code of the project's currency.
        project: String,
    },
    /// A percentage where an amount or a number is needed.
    #[error("`{0}` is a percentage; write a number without the percent sign")]
    Percentage(String),
    /// More than the whole.
    #[error("{0} percent is above 100; write for example 8.25")]
    AboveHundred(Decimal),
    /// Below zero.
    #[error("{0} is negative; write zero or more")]
    Negative(Decimal),
    /// Too large to be meant.
    #[error("{0} is above a thousand million; check the number")]
    TooLarge(Decimal),
    /// Not whole, or too large for what it counts.
    #[error("`{0}` is no whole number; write digits alone, for example 12")]
    NotWhole(String),
    /// No length.
    #[error("`{0}` is no length; write for example 12.5, 12' 6\" or 3.8 m")]
    NotALength(String),
    /// No day of the calendar.
    #[error("`{0}` is no date; write for example 2026-12-24 or Dec 24, 2026")]
    NotADate(String),
    /// The weekday beside a date is that of another day.
    #[error("`{text}` is a {is}; correct the day or leave the weekday out")]
    OtherWeekday {
        /// What was typed.
        text: String,
        /// The weekday it is.
        is: chrono::Weekday,
    },
    /// No lead time.
    #[error("`{0}` is no lead time; write for example 6 weeks, 6-8 weeks, 10 days or in stock")]
    NotALead(String),
    /// It says that nobody knows.
    #[error("`{0}` says no time; leave this as it is until there is one")]
    NoTime(String),
    /// Longer than anything is waited for.
    #[error("this lead time is longer than {MAX_LEAD}; check it")]
    TooLong,
    /// No quantity, with what is wrong in its rule.
    #[error("{0}")]
    NotAQuantity(String),
}
