//! Numbers, dates and lead times as people write them: the only reader of typed text.
//!
//! Forms, cells of the ledger, pasted rows and commands read by [`Typed`], with the settings of the project. Lists from
//! elsewhere read by the same [`number`], [`date`] and [`lead`], with what their columns settle; our own sheets by [`strict`]. What can be read one way
//! only is taken, however it is written. What can be read two ways is refused with what to write; nothing is ever scaled
//! in silence.

pub mod date;
mod error;
pub mod lead;
mod length;
pub mod number;
pub mod spaces;
pub mod strict;
mod words;

pub use error::TypedError;
pub use lead::Lead;

use crate::model::validate::MAX_AMOUNT;
use crate::model::words::count;
use crate::model::{Currency, DateOrder, DecimalMark, LeadUnit, Money, Quantity, Settings, Units};
use chrono::{Datelike, NaiveDate};
use number::{Says, Written};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// What a typed text is meant for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// A decimal number, zero or more.
    Number,
    /// An amount in the project's currency.
    Money,
    /// Percent, at most 100.
    Percent,
    /// A length in the project's unit.
    Length,
    /// A whole number.
    Whole,
    /// Calendar days.
    Days,
    /// Working days.
    WorkingDays,
    /// A day of the calendar.
    Date,
    /// A lead time with its unit.
    Lead,
    /// A number, or a rule over the room.
    Quantity,
}

/// How the texts of a project are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Typed {
    /// The currency that amounts are in.
    pub currency: Currency,
    /// The unit of lengths.
    pub units: Units,
    /// The mark before decimals. The program writes a point; a comma is read where it can be nothing else.
    pub decimal: DecimalMark,
    /// What stands first in `12/17/2026`.
    pub dates: DateOrder,
    /// The as-of day: dates without a year are those nearest to it.
    pub near: NaiveDate,
}

impl Typed {
    /// The reader of a project on its as-of day.
    pub fn of(settings: &Settings, near: NaiveDate) -> Typed {
        Typed {
            currency: settings.currency,
            units: settings.units,
            decimal: DecimalMark::Point,
            dates: settings.date_order(),
            near,
        }
    }

    /// A decimal number, zero or more.
    ///
    /// # Errors
    /// No number, one that can be read two ways, is negative or too large.
    pub fn number(&self, text: &str) -> Result<Decimal, TypedError> {
        not_negative(self.bare(text)?)
    }

    /// An amount, zero or more, with or without the sign or code of the project's currency.
    ///
    /// # Errors
    /// As [`Typed::number`], and an amount of another currency.
    pub fn money(&self, text: &str) -> Result<Money, TypedError> {
        let (number, written) = self.alone(text)?;
        if written.percent {
            return Err(TypedError::Percentage(spaces::one_line(text)));
        }
        if let Some(sign) = written.currency
            && !number::currency_of(&sign).is_some_and(|codes| codes.contains(&self.currency.code()))
        {
            let project = self.currency.code().to_owned();
            return Err(TypedError::WrongCurrency { text: spaces::one_line(text), sign, project });
        }
        not_negative(number).map(Money::new)
    }

    /// Percent from 0 to 100, with or without the sign.
    ///
    /// # Errors
    /// As [`Typed::number`], and above 100.
    pub fn percent(&self, text: &str) -> Result<Decimal, TypedError> {
        let plain = spaces::one_line(text).to_lowercase();
        let plain =
            ["percent", "per cent", "pct"].iter().find_map(|w| plain.strip_suffix(w)).unwrap_or(&plain);
        let (number, written) = self.alone(plain)?;
        if written.currency.is_some() {
            return Err(TypedError::NotANumber(spaces::one_line(text)));
        }
        match not_negative(number)? {
            number if number > Decimal::ONE_HUNDRED => Err(TypedError::AboveHundred(number)),
            number => Ok(number),
        }
    }

    /// A whole number, which may be negative where its type can be.
    ///
    /// # Errors
    /// As [`Typed::number`], and what is not whole or does not fit.
    pub fn whole<T: TryFrom<i64>>(&self, text: &str) -> Result<T, TypedError> {
        let wrong = || TypedError::NotWhole(spaces::one_line(text));
        let number = self.bare(text).map_err(|why| match why {
            TypedError::NotANumber(_) => wrong(),
            why => why,
        })?;
        let whole = number.to_i64().filter(|_| number.fract().is_zero()).ok_or_else(wrong)?;
        T::try_from(whole).map_err(|_| if whole < 0 { TypedError::Negative(number) } else { wrong() })
    }

    /// Calendar days: `30`, `30 days`, `3 weeks`.
    ///
    /// # Errors
    /// No days, or working days.
    pub fn days(&self, text: &str) -> Result<u32, TypedError> {
        match self.span(text)? {
            Some(Lead { count, unit: None | Some(LeadUnit::Days), min: None, .. }) => Ok(count),
            Some(Lead { count, unit: Some(LeadUnit::Weeks), min: None, .. }) => Ok(count.saturating_mul(7)),
            _ => self.whole(text),
        }
    }

    /// Working days: `5`, `5 days`, `5 working days`. Weeks can be of five days or seven, and are refused.
    ///
    /// # Errors
    /// No days, or weeks.
    pub fn working_days<T: TryFrom<i64>>(&self, text: &str) -> Result<T, TypedError> {
        let wrong = || TypedError::NotWhole(spaces::one_line(text));
        match self.span(text)? {
            Some(Lead { count, unit: Some(LeadUnit::Weeks), .. }) => Err(TypedError::TwoWays {
                text: spaces::one_line(text),
                a: count.saturating_mul(5).to_string(),
                b: count.saturating_mul(7).to_string(),
            }),
            Some(Lead { count, unit: Some(_), min: None, .. }) => {
                T::try_from(i64::from(count)).map_err(|_| wrong())
            }
            _ => self.whole(text),
        }
    }

    /// A time with a number in it, when the text is one.
    fn span(&self, text: &str) -> Result<Option<Lead>, TypedError> {
        if !spaces::trim(text).starts_with(|c: char| c.is_ascii_digit()) {
            return Ok(None);
        }
        match self.lead(text) {
            Ok(lead) => Ok(Some(lead)),
            Err(why @ TypedError::TooLong) => Err(why),
            Err(_) => Ok(None),
        }
    }

    /// A lead time: `6 weeks`, `6-8 weeks`, `10 working days`, `in stock`, or a number whose unit stands elsewhere.
    ///
    /// # Errors
    /// No lead time, or words for one that nobody knows.
    pub fn lead(&self, text: &str) -> Result<Lead, TypedError> {
        match lead::read(text)? {
            lead::LeadText::Time(lead) if lead.unit.is_none() && text.contains(['.', ',']) => {
                Err(TypedError::NotALead(spaces::one_line(text)))
            }
            lead::LeadText::Time(lead) => Ok(lead),
            lead::LeadText::NotSaid => Err(TypedError::NoTime(spaces::one_line(text))),
        }
    }

    /// A day: `2026-12-17`, `12/17/2026` by the project's order, `Dec 17, 2026`, or `Dec 17` in the year nearest to the
    /// as-of day.
    ///
    /// # Errors
    /// No day of the calendar between the years 1900 and 2200.
    pub fn date(&self, text: &str) -> Result<NaiveDate, TypedError> {
        let (weekday, plain) = date::weekday(text);
        let found = date::read(plain, Some(self.dates))
            // Where the month would be above 12 there is only the other way.
            .or_else(|| date::read(plain, None))
            .or_else(|| date::near(plain, self.near));
        let day = found.ok_or_else(|| TypedError::NotADate(spaces::one_line(text)))?;
        match weekday {
            Some(weekday) if weekday != day.weekday() => {
                Err(TypedError::OtherWeekday { text: spaces::one_line(plain), is: day.weekday() })
            }
            _ => Ok(day),
        }
    }

    /// A number, or a rule over the room such as `walls*2`.
    ///
    /// # Errors
    /// Neither.
    pub fn quantity(&self, text: &str) -> Result<Quantity, TypedError> {
        let why = match text.parse::<Quantity>() {
            Ok(quantity) => return Ok(quantity),
            Err(why) => why,
        };
        match self.number(text) {
            Ok(number) => Ok(Quantity::Fixed(number)),
            Err(TypedError::NotANumber(_) | TypedError::Percentage(_)) => Err(TypedError::NotAQuantity(why)),
            Err(why) => Err(why),
        }
    }

    /// What a text is understood as, in words, when that is not what stands there already.
    ///
    /// # Errors
    /// What is wrong with it. Nothing is wrong with an empty text.
    pub fn understood(&self, kind: Kind, text: &str) -> Result<Option<String>, TypedError> {
        let plain = spaces::trim(text);
        if plain.is_empty() {
            return Ok(None);
        }
        let grouped = |number: Decimal| number::grouped_by(number, self.decimal);
        let said = match kind {
            Kind::Number => grouped(self.number(plain)?),
            Kind::Money => {
                let mut amount = self.money(plain)?.amount();
                amount.rescale(amount.scale().max(self.currency.minor_digits()));
                format!("{} {}", grouped(amount), self.currency)
            }
            Kind::Percent => format!("{} percent", grouped(self.percent(plain)?)),
            Kind::Length => format!("{} {}", self.length(plain)?, self.unit_of_length()),
            Kind::Whole => self.whole::<i64>(plain)?.to_string(),
            Kind::Days => count(self.days(plain)?, "day"),
            Kind::WorkingDays => count(self.working_days::<u32>(plain)?, "working day"),
            Kind::Date => self.date(plain)?.format("%a %b %-d, %Y").to_string(),
            Kind::Lead => self.lead(plain)?.to_string(),
            Kind::Quantity => self.quantity(plain)?.to_string(),
        };
        let as_written = match kind {
            Kind::Date => crate::model::dates::parse_date(plain).is_ok(),
            Kind::Quantity => plain.parse::<Quantity>().is_ok(),
            // A plain number, with its thousands grouped or not, needs no words.
            _ => number::read(plain.trim_start_matches('-'), self.decimal).is_some(),
        };
        Ok((!as_written && !said.eq_ignore_ascii_case(plain)).then_some(said))
    }

    /// A number with nothing beside it.
    fn bare(&self, text: &str) -> Result<Decimal, TypedError> {
        let (number, written) = self.alone(text)?;
        if written.percent {
            return Err(TypedError::Percentage(spaces::one_line(text)));
        }
        match written.currency {
            Some(_) => Err(TypedError::NotANumber(spaces::one_line(text))),
            None => Ok(number),
        }
    }

    /// A number that is for nothing in particular: no `12.50 / sq ft`.
    fn alone(&self, text: &str) -> Result<(Decimal, Written), TypedError> {
        match self.take(text)? {
            (_, Written { per: Some(_), .. }) => Err(TypedError::NotANumber(spaces::one_line(text))),
            found => Ok(found),
        }
    }

    /// A number with what stands around it.
    ///
    /// # Errors
    /// As [`Typed::number`], but for a negative one.
    pub fn take(&self, text: &str) -> Result<(Decimal, Written), TypedError> {
        let wrong = || TypedError::NotANumber(spaces::one_line(text));
        let written = number::take_apart(text).ok_or_else(wrong)?;
        let body = &written.body;
        let mark = match number::says(body) {
            Says::Neither => return Err(wrong()),
            // A mark that groups something else, or nothing, stands before decimals without doubt.
            Says::Only(mark) if mark == self.decimal || number::is_clear(body, mark) => mark,
            Says::Only(_) => return Err(two_ways(body)),
            Says::Same | Says::Open(_) => self.decimal,
        };
        let number = number::read(body, mark).ok_or_else(wrong)?.normalize();
        if number > MAX_AMOUNT {
            return Err(TypedError::TooLarge(number));
        }
        Ok((if written.negative { -number } else { number }, written))
    }
}

/// The fault of a number whose only comma may stand before decimals or not.
fn two_ways(body: &str) -> TypedError {
    let (a, b) = (body.replace(',', "."), body.replace([',', '.'], ""));
    TypedError::TwoWays { text: body.to_owned(), a, b }
}

fn not_negative(number: Decimal) -> Result<Decimal, TypedError> {
    if number.is_sign_negative() && !number.is_zero() {
        Err(TypedError::Negative(number))
    } else {
        Ok(number)
    }
}

#[cfg(test)]
mod tests;
