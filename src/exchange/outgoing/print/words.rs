//! Amounts, dates and quantities as they stand on paper.

pub use crate::model::words::count;

use crate::engine::Day;
use crate::engine::week::Words;
use crate::model::{Currency, Money, words as of_model};
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

/// A space at which no line is broken.
const HELD: char = '\u{a0}';

/// The text with its dates held together, so that no line ends within one.
pub fn with_whole_dates(text: &str) -> String {
    let mut out = text.to_owned();
    let ends: Vec<usize> = text.match_indices(", ").map(|(at, _)| at).collect();
    for at in ends {
        // `Mon Jul 13` before the comma, the year behind it.
        let begin =
            text.get(..at).map(|before| before.rmatch_indices(' ').nth(2).map_or(0, |(at, _)| at + 1));
        let begin = begin.map(|begin| text[begin..at].rfind('\n').map_or(begin, |line| begin + line + 1));
        let range = begin.unwrap_or(at)..at + ", 2026".len();
        let day =
            text.get(range.clone()).filter(|day| NaiveDate::parse_from_str(day, "%a %b %d, %Y").is_ok());
        if let Some(day) = day {
            // A held space is longer; ranges are those of the text as it was.
            let held = day.replace(' ', &HELD.to_string());
            out = out.replace(day, &held);
        }
    }
    out
}

/// Whether a line may be broken behind this.
pub fn may_break(letter: &str) -> bool {
    letter.starts_with(|c: char| c.is_whitespace() && c != HELD) || letter.starts_with(['-', '/', '\u{2013}'])
}

/// The text with spaces where its dates were held together.
pub fn let_go(text: &str) -> String {
    text.replace(HELD, " ")
}

/// A date, or a dash.
pub fn maybe_date(day: Option<NaiveDate>) -> String {
    day.map_or_else(|| "\u{2013}".to_owned(), date)
}

/// A day, or a dash.
pub fn maybe_day(day: Option<Day>) -> String {
    maybe_date(day.map(Day::date))
}

/// The days from one to another; one date where they are the same, a dash where there is none.
pub fn days(first: Option<NaiveDate>, last: Option<NaiveDate>) -> String {
    match (first, last) {
        (Some(first), Some(last)) if first != last => format!("{} to {}", date(first), date(last)),
        (first, last) => maybe_date(first.or(last)),
    }
}

/// A sentence that was put down as text with its days as programs write them, with days as they stand on paper.
pub fn with_days(text: &str) -> String {
    Words::with_days(text).shown(|day| date(day.date()), |amount| amount.amount().to_string())
}

/// A quantity with its unit, to four places; a question mark where its rule fails.
pub fn quantity(number: Option<Decimal>, unit: &str) -> String {
    number.map_or_else(|| format!("? {unit}").trim_end().to_owned(), |n| of_model::quantity(n, unit))
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

    #[test]
    fn dates_are_held_together_and_nothing_else_is() {
        for (text, held) in [
            ("return by Mon Jul 13, 2026", "return by Mon~Jul~13,~2026"),
            ("Mon Jul 13, 2026", "Mon~Jul~13,~2026"),
            (
                "late\nThu Oct 1, 2026\nMon Jul 13, 2026, again",
                "late\nThu~Oct~1,~2026\nMon~Jul~13,~2026, again",
            ),
            ("Sum Jul 13, 2026", "Sum Jul 13, 2026"),
            ("Tile, 2026 and é, 12", "Tile, 2026 and é, 12"),
            ("", ""),
        ] {
            assert_eq!(with_whole_dates(text).replace(HELD, "~"), held);
            assert_eq!(let_go(&with_whole_dates(text)), text);
        }
    }
}
