//! Lengths as people write them: in the project's unit, in feet and inches, or in any unit of the table.

use super::{Typed, TypedError, spaces};
use crate::model::facts::same_base;
use crate::model::{DecimalMark, Units};
use rust_decimal::Decimal;

/// Places of a length that was converted.
const PLACES: u32 = 4;

impl Typed {
    /// A length in the project's unit: `12.5`, `12' 6 1/2"`, `8 ft 6 in`, `3.8 m`. Other units are converted exactly,
    /// and kept to a ten-thousandth. A plain number may be negative: it can be the place of a corner.
    ///
    /// # Errors
    /// No length, or one that can be read two ways.
    pub fn length(&self, text: &str) -> Result<Decimal, TypedError> {
        let plain = text.replace(['\u{2032}', '\u{2019}'], "'").replace(['\u{2033}', '\u{201d}'], "\"");
        let plain = spaces::one_line(&plain.replace("''", "\""));
        let wrong = || TypedError::NotALength(spaces::one_line(text));
        if !plain.contains(|c: char| c.is_ascii_digit()) {
            return Err(TypedError::NotANumber(spaces::one_line(text)));
        }
        if !plain.contains(|c: char| c.is_alphabetic() || matches!(c, '\'' | '"')) {
            let number = self.bare(&plain).map_err(|why| if_number(why, wrong()))?;
            // Nobody groups the thousands of meters of a room.
            if self.units == Units::Metric
                && plain.contains(DecimalMark::Comma.sign())
                && number >= Decimal::ONE_THOUSAND
            {
                return Err(super::two_ways(&plain));
            }
            return Ok(number);
        }
        let own = self.unit_of_length();
        let mut sum = Decimal::ZERO;
        let mut before: Option<&str> = None;
        let mut rest = plain.as_str();
        while !rest.is_empty() {
            let is_unit = |c: char| c.is_alphabetic() || matches!(c, '\'' | '"');
            let begin = rest.find(is_unit).unwrap_or(rest.len());
            let (number, behind) = rest.split_at(begin);
            let end = behind.find(|c: char| !is_unit(c)).unwrap_or(behind.len());
            let unit = match (&behind[..end], before) {
                ("", Some("ft")) => "in",
                (unit, _) => short(unit).ok_or_else(wrong)?,
            };
            // Only inches follow, and only feet go before them.
            if before.is_some_and(|b| b != "ft" || unit != "in") {
                return Err(wrong());
            }
            let value = self.mixed(number.trim()).map_err(|why| if_number(why, wrong()))?;
            let (value, one) = same_base((value, unit), (Decimal::ONE, own)).ok_or_else(wrong)?;
            sum = sum.checked_add(value.checked_div(one).ok_or_else(wrong)?).ok_or_else(wrong)?;
            before = Some(unit);
            rest = behind[end..].trim_start_matches([' ', '-', '.']);
        }
        Ok(sum.round_dp(PLACES).normalize())
    }

    /// The unit that lengths of rooms are kept in.
    pub(super) fn unit_of_length(&self) -> &'static str {
        match self.units {
            Units::Us => "ft",
            Units::Metric => "m",
        }
    }

    /// A number with a fraction behind it: `6 1/2`.
    fn mixed(&self, text: &str) -> Result<Decimal, TypedError> {
        let Some((top, bottom)) = text.split_once('/') else {
            return super::not_negative(self.bare(text)?);
        };
        let wrong = || TypedError::NotALength(text.to_owned());
        let (whole, top) = top.trim().rsplit_once([' ', '-']).unwrap_or(("", top.trim()));
        let whole_number = |text: &str| text.trim().parse::<u16>().map(Decimal::from).map_err(|_| wrong());
        let whole = if whole.is_empty() { Decimal::ZERO } else { whole_number(whole)? };
        let part = whole_number(top)?.checked_div(whole_number(bottom)?).ok_or_else(wrong)?;
        if part >= Decimal::ONE { Err(wrong()) } else { Ok(whole + part) }
    }
}

/// The unit as the table of units writes it.
fn short(unit: &str) -> Option<&'static str> {
    Some(match unit.to_lowercase().as_str() {
        "'" | "ft" | "foot" | "feet" => "ft",
        "\"" | "in" | "inch" | "inches" => "in",
        "yd" | "yard" | "yards" => "yd",
        "mm" => "mm",
        "cm" => "cm",
        "m" | "metre" | "metres" | "meter" | "meters" => "m",
        _ => return None,
    })
}

/// What is no number is no length; the other faults keep their own words.
fn if_number(why: TypedError, otherwise: TypedError) -> TypedError {
    match why {
        TypedError::NotANumber(_) | TypedError::Percentage(_) | TypedError::NotALength(_) => otherwise,
        why => why,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exchange::typed::tests::typed;

    /// Twelve inches are a foot, and a foot is 0.3048 m (NIST Handbook 44).
    #[test]
    fn lengths_are_read_in_both_systems() {
        let us = typed();
        for (text, feet) in [
            ("12.5", "12.5"),
            ("12' 6\"", "12.5"),
            ("12'6", "12.5"),
            ("12'-6\"", "12.5"),
            ("8' 6\"", "8.5"),
            ("8 ft 6 in", "8.5"),
            ("8 ft. 6 in.", "8.5"),
            ("30\"", "2.5"),
            ("7'", "7"),
            ("0' 4 1/2\"", "0.375"),
            ("4 1/2\"", "0.375"),
            ("10\u{2032} 4\u{2033}", "10.3333"),
            ("2.5 m", "8.2021"),
            ("2,5 m", "8.2021"),
            ("250cm", "8.2021"),
            ("-3.5", "-3.5"),
        ] {
            let read = us.length(text).map(|d| d.to_string());
            if text == "2,5 m" {
                assert!(matches!(read, Err(TypedError::TwoWays { .. })), "{text}");
            } else {
                assert_eq!(read.as_deref(), Ok(feet), "{text}");
            }
        }
        for text in [
            "12' x\"",
            "'",
            "1/0\"",
            "six",
            "12' 6' 3\"",
            "5 apples",
            "12 m 6",
            "1 2/3/4\"",
            "3/2\"",
            "-2'",
            "",
        ] {
            assert!(us.length(text).is_err(), "{text}");
        }
        let metric = Typed { units: Units::Metric, ..us };
        for (text, meters) in
            [("3.65", "3.65"), ("3.65 m", "3.65"), ("365 cm", "3.65"), ("12' 6\"", "3.81"), ("0,9", "0.9")]
        {
            assert_eq!(metric.length(text).map(|d| d.to_string()).as_deref(), Ok(meters), "{text}");
        }
        for text in ["3,65", "3,650", "1,2,3"] {
            assert!(metric.length(text).is_err(), "{text}");
        }
        let words = metric.length("3,650").unwrap_err().to_string();
        assert_eq!(words, "`3,650` can be 3.650 or 3650; write 3.650 or 3650");
    }

    proptest::proptest! {
        #[test]
        fn no_text_upsets_it(text in ".{0,20}|[0-9]{1,3}[ '\"/.,-]{0,3}[0-9]{0,30}[ '\"a-z/]{0,4}") {
            let _ = (typed().length(&text), Typed { units: Units::Metric, ..typed() }.length(&text));
        }
    }
}
