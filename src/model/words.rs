//! Numbers with their words.

use crate::model::LeadUnit;
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
