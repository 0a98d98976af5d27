//! Numbers with their words.

use crate::model::{LeadUnit, Money};
use std::fmt::Display;

/// A number with its word: `1 day`, `2 days`.
pub fn count(n: impl Display, word: &str) -> String {
    counted(n, word, &format!("{word}s"))
}

/// The same where many are not called by one more letter: `1 entry`, `2 entries`.
pub fn counted(n: impl Display, one: &str, many: &str) -> String {
    let n = n.to_string();
    let word = if n == "1" { one } else { many };
    format!("{n} {word}")
}

/// How far a day moved, in words, counted in `word`: `3 working days later`, `1 day sooner`. `None` where it did not.
pub fn moved(days: i32, word: &str) -> Option<String> {
    let way = match days {
        0 => return None,
        1.. => "later",
        _ => "sooner",
    };
    Some(format!("{} {way}", count(days.unsigned_abs(), word)))
}

/// How far an amount moved, in words, with the amount as `written`: `12.00 more`, `0.50 less`. `None` where it did not.
pub fn moved_money(moved: Money, written: impl FnOnce(Money) -> String) -> Option<String> {
    let way = if moved.is_negative() { "less" } else { "more" };
    (!moved.is_zero()).then(|| format!("{} {way}", written(moved.abs())))
}

/// A lead time in words: `6 weeks`, `1 working day`, `in stock`.
pub fn lead(n: u32, unit: LeadUnit) -> String {
    match unit {
        _ if n == 0 => "in stock".to_owned(),
        LeadUnit::Days => count(n, "day"),
        LeadUnit::Weeks => count(n, "week"),
        LeadUnit::Working => count(n, "working day"),
    }
}

/// What is typical, from its short to its long end: `typically 5 to 10 weeks`.
pub fn typically(shortest: u32, longest: u32, unit: LeadUnit) -> String {
    if shortest == longest {
        format!("typically {}", lead(longest, unit))
    } else {
        format!("typically {shortest} to {}", lead(longest, unit))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_moved_says_how_far_and_which_way() {
        assert_eq!(moved(0, "day"), None);
        assert_eq!(moved(1, "day").as_deref(), Some("1 day later"));
        assert_eq!(moved(-3, "working day").as_deref(), Some("3 working days sooner"));
        assert_eq!(moved(i32::MIN, "day").as_deref(), Some("2147483648 days sooner"));
        let plain = |amount: Money| amount.amount().to_string();
        assert_eq!(moved_money(Money::ZERO, plain), None);
        assert_eq!(moved_money(Money::new(12.into()), plain).as_deref(), Some("12 more"));
        assert_eq!(moved_money(Money::new((-12).into()), plain).as_deref(), Some("12 less"));
    }
}
