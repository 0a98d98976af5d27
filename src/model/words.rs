//! Numbers with their words.

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
