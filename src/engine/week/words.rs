//! Words of the week: sentences whose days and amounts each reader writes in its own form.

use crate::engine::calendar::Day;
use crate::model::{Currency, Money};
use chrono::NaiveDate;

/// A piece of a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Piece {
    Text(String),
    Day(Day),
    Days(Day, Day),
    Money(Money),
}

/// A sentence, or a part of one.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Words(Vec<Piece>);

impl Words {
    /// A plain text.
    pub fn of(text: impl Into<String>) -> Words {
        Words::default().text(text)
    }

    /// A sentence that was put down as text, with its days as ISO 8601 writes them.
    pub fn with_days(text: &str) -> Words {
        const LONG: usize = "2026-07-13".len();
        let (mut words, mut rest, mut at) = (Words::default(), text, 0);
        let within = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '-');
        while let Some(found) = rest.get(at..).and_then(|from| from.find(|c: char| c.is_ascii_digit())) {
            at += found;
            let (before, own) = (rest[..at].chars().next_back(), rest.get(at..at + LONG));
            let whole = !within(before) && !within(rest.get(at + LONG..).and_then(|r| r.chars().next()));
            let day = own.filter(|_| whole).and_then(|own| own.parse::<NaiveDate>().ok());
            match day {
                Some(day) => {
                    words = words.text(&rest[..at]).day(Day::from(day));
                    rest = &rest[at + LONG..];
                    at = 0;
                }
                // A number that is no day is passed over as a whole.
                None => at += rest[at..].find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len() - at),
            }
        }
        words.text(rest)
    }

    /// Adds a text.
    pub fn text(mut self, text: impl Into<String>) -> Words {
        self.0.push(Piece::Text(text.into()));
        self
    }

    /// Adds a day.
    pub fn day(mut self, day: Day) -> Words {
        self.0.push(Piece::Day(day));
        self
    }

    /// Adds the days from one to another.
    pub fn days(mut self, from: Day, to: Day) -> Words {
        self.0.push(if from == to { Piece::Day(from) } else { Piece::Days(from, to) });
        self
    }

    /// Adds an amount.
    pub fn money(mut self, amount: Money) -> Words {
        self.0.push(Piece::Money(amount));
        self
    }

    /// Adds other words behind a mark that parts them, where both say something.
    pub fn and(mut self, mark: &str, other: Words) -> Words {
        if !self.is_empty() && !other.is_empty() {
            self.0.push(Piece::Text(mark.to_owned()));
        }
        self.0.extend(other.0);
        self
    }

    /// Whether it says nothing.
    pub fn is_empty(&self) -> bool {
        self.0.iter().all(|piece| matches!(piece, Piece::Text(text) if text.is_empty()))
    }

    /// As text, with days and amounts as they are written there.
    pub fn shown(&self, day: impl Fn(Day) -> String, money: impl Fn(Money) -> String) -> String {
        let piece = |piece: &Piece| match piece {
            Piece::Text(text) => text.clone(),
            Piece::Day(on) => day(*on),
            Piece::Days(from, to) => {
                let (from, to) = (day(*from), day(*to));
                // A year that both name is said once.
                let year = to.rfind(", ").map(|at| &to[at..]);
                format!("{} to {to}", year.and_then(|year| from.strip_suffix(year)).unwrap_or(&from))
            }
            Piece::Money(amount) => money(*amount),
        };
        self.0.iter().map(piece).collect()
    }

    /// As text for programs: days as ISO 8601 writes them, amounts with their currency.
    pub fn plain(&self, currency: Currency) -> String {
        self.shown(|day| day.to_string(), |amount| format!("{} {currency}", amount.to_plain(currency)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_year_that_both_days_name_is_said_once() {
        let day = |text: &str| Day::from(text.parse::<chrono::NaiveDate>().unwrap());
        let long = |day: Day| day.date().format("%b %-d, %Y").to_string();
        let shown = |from, to| Words::default().days(day(from), day(to)).shown(long, |_| String::new());
        assert_eq!(shown("2027-01-13", "2027-01-19"), "Jan 13 to Jan 19, 2027");
        assert_eq!(shown("2026-12-29", "2027-01-02"), "Dec 29, 2026 to Jan 2, 2027");
        assert_eq!(shown("2027-01-13", "2027-01-13"), "Jan 13, 2027");
        let plain = Words::default().days(day("2027-01-13"), day("2027-01-19")).plain(Currency::USD);
        assert_eq!(plain, "2027-01-13 to 2027-01-19");
    }

    #[test]
    fn days_in_a_text_are_told_from_other_numbers() {
        let shown = |text: &str| {
            let day = |day: Day| format!("<{day}>");
            Words::with_days(text).shown(day, |amount| amount.amount().to_string())
        };
        for (text, said) in [
            ("late since 2026-07-13, 5 days", "late since <2026-07-13>, 5 days"),
            ("2026-07-13", "<2026-07-13>"),
            ("from 2026-07-13 to 2026-07-14", "from <2026-07-13> to <2026-07-14>"),
            ("(2026-07-13): é 2026-07-14", "(<2026-07-13>): é <2026-07-14>"),
            ("A-2026-07-13, 12026-07-13, 2026-07-132", "A-2026-07-13, 12026-07-13, 2026-07-132"),
            ("2026-13-40 and 12é", "2026-13-40 and 12é"),
            ("", ""),
        ] {
            assert_eq!(shown(text), said);
        }
        assert_eq!(Words::with_days("due 2026-07-13").plain(Currency::USD), "due 2026-07-13");
    }
}
