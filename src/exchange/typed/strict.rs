//! Numbers of the program's own sheets, which are written in one way only. What another program made of them is refused,
//! for a spreadsheet that writes `1,250` for 1.25 would write other cells wrong too.

use rust_decimal::Decimal;
use std::str::FromStr;

/// Reads a plain decimal number.
///
/// # Errors
/// Anything but digits with at most one point, and a minus.
pub fn number(text: &str) -> Result<Decimal, String> {
    // The decimal type would read 1_000 too.
    Some(text).filter(|t| !t.contains('_')).and_then(|t| Decimal::from_str_exact(t).ok()).ok_or_else(|| {
        format!("`{text}` is no number; write digits with a point and no currency sign, for example 1250.50")
    })
}

/// The same, zero or more.
///
/// # Errors
/// As [`number`], and below zero.
pub fn not_negative(text: &str) -> Result<Decimal, String> {
    match number(text)? {
        number if number.is_sign_negative() && !number.is_zero() => Err(negative(text)),
        number => Ok(number),
    }
}

/// Reads a whole number.
///
/// # Errors
/// What is not whole, or does not fit.
pub fn whole<T: FromStr>(text: &str) -> Result<T, String> {
    text.parse().map_err(|_| match text.strip_prefix('-') {
        Some(digits) if digits.parse::<u32>().is_ok() => negative(text),
        _ => format!("`{text}` is no whole number; write digits alone, for example 12"),
    })
}

fn negative(text: &str) -> String {
    format!("{text} is negative; write zero or more")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sheets_are_read_one_way_only() {
        assert_eq!(not_negative("1250.50").map(|n| n.to_string()).as_deref(), Ok("1250.50"));
        assert_eq!(whole::<u32>("12"), Ok(12));
        for text in ["1,250", "1_000", "$5", "1e5", "12,50", "5%", ""] {
            assert!(number(text).unwrap_err().contains("write digits with a point"), "{text}");
            assert!(whole::<u32>(text).unwrap_err().contains("write digits alone"), "{text}");
        }
        assert_eq!(not_negative("-1").unwrap_err(), "-1 is negative; write zero or more");
        assert_eq!(whole::<u32>("-1").unwrap_err(), "-1 is negative; write zero or more");
    }
}
