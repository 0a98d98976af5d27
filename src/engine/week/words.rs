//! Words of the week: sentences whose days and amounts each reader writes in its own form.

use crate::engine::calendar::Day;
use crate::model::{Currency, Money};

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
}
