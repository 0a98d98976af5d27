//! Amounts, dates and quantities as they stand on paper.

pub use crate::model::words::count;

use crate::engine::Day;
use crate::model::quantity::shown;
use crate::model::{Currency, Money};
use chrono::NaiveDate;
use rust_decimal::Decimal;

/// An amount with grouped thousands and the currency's minor digits: `1,234.50`, `-12.00`.
pub fn money(amount: Money, currency: Currency) -> String {
    grouped(&amount.to_plain(currency))
}

/// A price with all its digits, at least the minor ones.
pub fn price(amount: Money, currency: Currency) -> String {
    grouped(&crate::exchange::cell::money(amount, currency))
}

fn grouped(plain: &str) -> String {
    let (sign, digits) = plain.strip_prefix('-').map_or(("", plain), |rest| ("-", rest));
    let (whole, fraction) = digits.split_once('.').map_or((digits, None), |(w, f)| (w, Some(f)));
    let mut text = String::from(sign);
    for (i, c) in whole.chars().enumerate() {
        if i > 0 && (whole.len() - i).is_multiple_of(3) {
            text.push(',');
        }
        text.push(c);
    }
    if let Some(fraction) = fraction {
        text.push('.');
        text.push_str(fraction);
    }
    text
}

/// A date with its weekday: `Mon Jul 13, 2026`. Always with the year, since paper lies about for long.
pub fn date(day: NaiveDate) -> String {
    day.format("%a %b %-d, %Y").to_string()
}

/// A date, or a dash.
pub fn maybe_date(day: Option<NaiveDate>) -> String {
    day.map_or_else(|| "\u{2013}".to_owned(), date)
}

/// A day, or a dash.
pub fn maybe_day(day: Option<Day>) -> String {
    maybe_date(day.map(Day::date))
}

/// A quantity with its unit, to four places; a question mark where its rule fails.
pub fn quantity(number: Option<Decimal>, unit: &str) -> String {
    let number = number.map_or_else(|| "?".to_owned(), |n| shown(n).to_string());
    if unit.is_empty() { number } else { format!("{number} {unit}") }
}

/// The texts that are not empty, with something between them.
pub fn joined(texts: &[&str], between: &str) -> String {
    texts.iter().copied().filter(|t| !t.is_empty()).collect::<Vec<_>>().join(between)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_are_grouped() {
        let usd = |text: &str| money(Money::new(text.parse().unwrap()), Currency::USD);
        assert_eq!(usd("1234567.5"), "1,234,567.50");
        assert_eq!(usd("-1234"), "-1,234.00");
        assert_eq!(usd("-123"), "-123.00");
        assert_eq!(price(Money::new("0.125".parse().unwrap()), Currency::USD), "0.125");
        assert_eq!(date(NaiveDate::from_ymd_opt(2026, 7, 13).unwrap()), "Mon Jul 13, 2026");
    }
}
