//! Cells of a list read as amounts, numbers, days and lead times, by what was settled for their column.

use super::grid::{GridRow, RawCell};
use super::prices;
use super::read::{Asks, Bad, ListRow, NO_UNIT, Reader};
use super::words;
use crate::exchange::typed::lead::{self, LeadText};
use crate::exchange::typed::spaces::one_line;
use crate::exchange::typed::{Typed, date, number};
use crate::model::validate::{MAX_AMOUNT, MAX_LEAD};
use crate::model::{DecimalMark, LeadUnit, MapField, OptionState, Quantity};
use chrono::NaiveDate;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

impl Reader<'_> {
    /// A number with the currency beside it; the mark is that of the column.
    pub(super) fn number(
        &mut self,
        column: usize,
        cell: &RawCell,
    ) -> Result<(Decimal, Option<number::Written>), Bad> {
        let (number, written) = match cell {
            RawCell::Number(n) | RawCell::Percent(n) | RawCell::Amount(n, _) => (*n, None),
            RawCell::Text(text) => {
                let mark = self.decimals.get(&column).copied().flatten();
                if let Some(own) = self.setup.own {
                    let own = Typed { decimal: mark.unwrap_or(own.decimal), ..own };
                    let (number, written) = own.take(text).map_err(|why| why.to_string())?;
                    return sensible(number).map(|number| (number, Some(written)));
                }
                let wrong = || format!("`{}` is no number", one_line(text));
                let written = number::take_apart(text).ok_or_else(wrong)?;
                let number = match (mark, number::says(&written.body)) {
                    (Some(mark), _) => number::read(&written.body, mark).ok_or_else(|| {
                        let (mark, other) = match mark {
                            DecimalMark::Point => ("a point", "comma"),
                            DecimalMark::Comma => ("a comma", "point"),
                        };
                        format!("`{}` is no number with {mark} before decimals; correct it, or say that a {other} stands there", one_line(text))
                    })?,
                    (None, number::Says::Same) => {
                        number::read(&written.body, DecimalMark::Point).ok_or_else(wrong)?
                    }
                    (None, number::Says::Neither) => return Err(wrong()),
                    (None, _) => {
                        return Err(format!("`{}` can be read two ways; say which mark stands before decimals", one_line(text)));
                    }
                };
                (if written.negative { -number } else { number }, Some(written))
            }
            cell => return Err(format!("`{}` is no number", cell.shown())),
        };
        sensible(number).map(|number| (number, written))
    }

    pub(super) fn money(
        &mut self,
        row: &GridRow,
        column: usize,
        out: &mut ListRow,
    ) -> Result<Option<Decimal>, Bad> {
        let cell = row.cell(column);
        if let RawCell::Text(text) = cell
            && number::take_apart(text).is_none()
            && lead::read(text) == Ok(LeadText::NotSaid)
        {
            self.remark(row, &format!("`{}` gives no price; it was left as it is", one_line(text)));
            return Ok(None);
        }
        let (mut number, written) = self.number(column, cell)?;
        if written.as_ref().is_some_and(|w| w.percent) || matches!(cell, RawCell::Percent(_)) {
            return Err("this is a percentage and no amount".to_owned());
        }
        let sign = match cell {
            RawCell::Amount(_, sign) => Some(sign.as_str()),
            _ => written.as_ref().and_then(|w| w.currency.as_deref()),
        };
        // A currency counts wherever it stands: beside the amount, in a column of its own, in the heading, above the table.
        let heading = self.headings.get(column).map_or("", String::as_str);
        let own = self.setup.column(MapField::Currency).map(|c| one_line(&row.cell(c).shown()));
        let own = own.filter(|text| !text.is_empty());
        let signs = sign.into_iter().chain(own.as_deref()).chain(number::currency_in(heading));
        let signs = signs.chain(self.noted.iter().map(String::as_str));
        let other = signs.map(str::to_owned).find(|sign| !prices::is_of(sign, self.currency));
        if let Some(sign) = other.filter(|_| !self.setup.any_currency) {
            let text = format!(
                "amounts are in {sign} here and in {} in the project, and nothing is converted; convert them, or say that they are to be taken as they stand",
                self.currency
            );
            let why = format!("this amount is in {sign}, and the project is in {}", self.currency);
            self.ask(column, Asks::Currency, text);
            return Err(why);
        }
        if let Some(per) = written.and_then(|w| w.per) {
            out.measured = true;
            let figures = per.find(|c: char| !c.is_ascii_digit()).unwrap_or(per.len());
            if figures > 0 {
                let n = per[..figures].parse::<Decimal>().ok().filter(|n| *n > Decimal::ZERO);
                number = n.and_then(|n| share(number, n)).ok_or_else(|| {
                    format!("this price is for {per}, and one has no exact price; write the price of one")
                })?;
            }
            let unit = per[figures..].trim();
            if !unit.is_empty() {
                // What the price is for counts, whatever else the row is counted in.
                out.texts.insert(MapField::Unit, unit.to_owned());
            }
        }
        Ok(Some(number))
    }

    pub(super) fn percent(&mut self, column: usize, cell: &RawCell) -> Result<Decimal, Bad> {
        let number = self.number(column, cell)?.0;
        if number > Decimal::ONE_HUNDRED {
            return Err(format!("{number} percent is above 100"));
        }
        Ok(number)
    }

    pub(super) fn whole(&mut self, column: usize, cell: &RawCell) -> Result<u32, Bad> {
        let number = match cell {
            RawCell::Text(_) | RawCell::Number(_) => self.number(column, cell)?.0,
            cell => return Err(format!("`{}` is no whole number", cell.shown())),
        };
        let whole = number.to_u32().filter(|_| number.fract().is_zero());
        whole
            .filter(|n| *n <= MAX_LEAD)
            .ok_or_else(|| format!("{number} is no whole number up to {MAX_LEAD}"))
    }

    pub(super) fn quantity(&mut self, column: usize, cell: &RawCell) -> Result<Quantity, Bad> {
        let why = match self.number(column, cell) {
            Ok((number, written)) if written.as_ref().is_none_or(|w| w.per.is_none()) => {
                return Ok(Quantity::Fixed(number));
            }
            Ok(_) => format!("`{}` is no number", cell.shown()),
            Err(why) => why,
        };
        // A rule over the room, as in the sheets of a project.
        let RawCell::Text(text) = cell else { return Err(why) };
        text.parse().map_err(|own| if text.starts_with(char::is_alphabetic) { own } else { why })
    }

    pub(super) fn date(&mut self, column: usize, cell: &RawCell) -> Result<NaiveDate, Bad> {
        match cell {
            RawCell::Date(date) => Ok(*date),
            RawCell::Text(text) => match date::read(text, self.dates).or_else(|| self.own_date(text)) {
                Some(date) => Ok(date),
                None if date::says(text) == date::Says::Open => Err(format!(
                    "`{}` can be read two ways; say whether the day or the month stands first",
                    one_line(text)
                )),
                None => Err(format!("`{}` is no date; write for example 2026-12-24", one_line(text))),
            },
            cell => Err(format!(
                "`{}` in {} is no date; write for example 2026-12-24",
                cell.shown(),
                self.headings[column]
            )),
        }
    }

    /// A day as only the project itself reads it: without a year.
    fn own_date(&self, text: &str) -> Option<NaiveDate> {
        let own = self.setup.own?;
        Typed { dates: self.dates.unwrap_or(own.dates), ..own }.date(text).ok()
    }

    /// The unit that stands in the row, in the heading, or was told.
    pub(super) fn lead_unit_of(&self, row: &GridRow) -> Option<LeadUnit> {
        let told = self.setup.column(MapField::LeadUnit).map(|c| row.cell(c).shown());
        let told = told.and_then(|t| lead::unit_in(&t));
        told.or(self.heading_unit).or(self.setup.lead_unit)
    }

    pub(super) fn ask_lead_unit(&mut self, column: usize) {
        let text = "lead times have no word behind them; say whether they are days, weeks or working days";
        self.ask(column, Asks::LeadUnit, text.to_owned());
    }

    pub(super) fn lead(
        &mut self,
        row: &GridRow,
        column: usize,
        cell: &RawCell,
        out: &mut ListRow,
    ) -> Result<(), Bad> {
        let time = match cell {
            RawCell::Number(n) => lead::read(&n.to_string()).map_err(|why| why.to_string())?,
            RawCell::Text(text) => lead::read(text).map_err(|why| why.to_string())?,
            RawCell::Date(date) => {
                return Err(format!(
                    "{date} is a day and no lead time; write for example 6 weeks, or read the column as promised day"
                ));
            }
            cell => return Err(format!("`{}` is no lead time; write for example 6 weeks", cell.shown())),
        };
        let LeadText::Time(time) = time else {
            self.remark(
                row,
                &format!("`{}` gives no lead time; it was left as it is", one_line(&cell.shown())),
            );
            return Ok(());
        };
        let Some(unit) = time.unit.or_else(|| self.lead_unit_of(row)) else {
            self.ask_lead_unit(column);
            return Err(NO_UNIT.to_owned());
        };
        out.lead = Some((time.count, unit));
        out.lead_bounds = (out.lead_bounds.0.or(time.min), out.lead_bounds.1.or(time.max));
        Ok(())
    }
}

/// A number that is neither negative nor too large to be meant.
fn sensible(number: Decimal) -> Result<Decimal, Bad> {
    let number = number.normalize();
    if number.is_sign_negative() && !number.is_zero() {
        Err(format!("{number} is negative; write zero or more"))
    } else if number > MAX_AMOUNT {
        Err(format!("{number} is above a thousand million; check the number"))
    } else {
        Ok(number)
    }
}

/// Whether an option is the choice, in words or by a cross.
pub(super) fn state(cell: &RawCell) -> Result<OptionState, Bad> {
    if let RawCell::Flag(flag) = cell {
        return Ok(if *flag { OptionState::Chosen } else { OptionState::Candidate });
    }
    let text = one_line(&cell.shown()).to_lowercase();
    let among = |words: &[String]| words.contains(&text);
    if among(&words::WORDS.chosen) {
        return Ok(OptionState::Chosen);
    }
    if among(&words::WORDS.leaning) {
        return Ok(OptionState::Leaning);
    }
    match words::yes_no(&text) {
        Some(true) => Ok(OptionState::Chosen),
        None if !among(&words::WORDS.candidate) => {
            Err(format!("`{text}` is not known here; write chosen, leaning or candidate"))
        }
        _ => Ok(OptionState::Candidate),
    }
}

/// A part of an amount, where it is exact to six places.
pub(super) fn share(amount: Decimal, by: Decimal) -> Option<Decimal> {
    let one = amount.checked_div(by)?;
    let rounded = one.round_dp(6);
    (rounded.checked_mul(by)? == amount).then(|| rounded.normalize())
}
