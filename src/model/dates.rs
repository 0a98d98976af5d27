//! Weekdays, closed ranges and the choice of holidays. What they do to dates is the engine's business.

use super::field::{At, Field, Kind, at, field};
use chrono::{NaiveDate, Weekday};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// A set of weekdays, written `Mon Tue Wed Thu Fri`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Weekdays(u8);

const NAMES: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];

impl Weekdays {
    /// Monday to Friday.
    pub const MON_TO_FRI: Weekdays = Weekdays(0b001_1111);
    /// All seven.
    pub const ALL: Weekdays = Weekdays(0b111_1111);

    /// The set with exactly the days listed.
    pub fn of(days: &[Weekday]) -> Weekdays {
        Weekdays(days.iter().fold(0, |bits, d| bits | 1 << d.num_days_from_monday()))
    }

    /// Whether the day is in the set.
    pub fn contains(self, day: Weekday) -> bool {
        self.0 >> day.num_days_from_monday() & 1 == 1
    }

    /// Bit 0 is Monday, bit 6 Sunday.
    pub fn bits(self) -> u8 {
        self.0
    }

    /// The set with one day put in or taken out.
    pub fn with(self, day: Weekday, on: bool) -> Weekdays {
        let bit = 1 << day.num_days_from_monday();
        Weekdays(if on { self.0 | bit } else { self.0 & !bit })
    }

    /// Whether no day is in the set.
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }
}

impl fmt::Display for Weekdays {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let days = (0..7).filter(|i| self.0 >> i & 1 == 1).map(|i| NAMES[i]);
        f.write_str(&days.collect::<Vec<_>>().join(" "))
    }
}

impl FromStr for Weekdays {
    type Err = String;

    /// Reads names (`Mon Wed`, commas or spaces between), ranges (`Mon-Fri`) or seven digits from Monday (`1111100`).
    fn from_str(text: &str) -> Result<Weekdays, String> {
        let text = text.trim();
        if text.len() == 7 && text.bytes().all(|b| b == b'0' || b == b'1') {
            let bits = text.bytes().enumerate().fold(0, |bits, (i, b)| bits | (b - b'0') << i);
            return non_empty(bits, text);
        }
        let mut bits = 0_u8;
        for word in text.split([' ', ',', ';', '/']).filter(|w| !w.is_empty()) {
            match word.split_once('-') {
                Some((from, to)) => {
                    let (mut day, last) = (weekday_index(from)?, weekday_index(to)?);
                    bits |= 1 << day;
                    while day != last {
                        day = (day + 1) % 7;
                        bits |= 1 << day;
                    }
                }
                None => bits |= 1 << weekday_index(word)?,
            }
        }
        non_empty(bits, text)
    }
}

fn non_empty(bits: u8, text: &str) -> Result<Weekdays, String> {
    if bits == 0 {
        return Err(format!("`{text}` names no weekday; write for example Mon Tue Wed Thu Fri"));
    }
    Ok(Weekdays(bits))
}

fn weekday_index(word: &str) -> Result<usize, String> {
    let word = word.trim().to_ascii_lowercase();
    (0..7)
        .find(|i| word.len() >= 2 && word.starts_with(&NAMES[*i].to_ascii_lowercase()[..word.len().min(3)]))
        .ok_or_else(|| format!("`{word}` is no weekday; write for example Mon Tue Wed Thu Fri"))
}

impl Serialize for Weekdays {
    fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Weekdays {
    fn deserialize<D: serde::Deserializer<'de>>(d: D) -> Result<Weekdays, D::Error> {
        String::deserialize(d)?.parse().map_err(serde::de::Error::custom)
    }
}

/// Days on which nothing is done, both ends included.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClosedRange {
    /// First closed day.
    pub from: NaiveDate,
    /// Last closed day.
    pub to: NaiveDate,
    /// What for.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub why: String,
}

impl ClosedRange {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<ClosedRange>] = &[
        field("from", "", Kind::Date(FROM)).required(),
        field("to", "", Kind::Date(at!(to))),
        field("why", "", Kind::Text(at!(why))),
    ];
}

/// A range is a single day until its end is known.
const FROM: At<ClosedRange, NaiveDate> = At {
    maybe: false,
    get: |r| Some(r.from),
    set: |r, day| {
        if let Some(day) = day {
            (r.from, r.to) = (day, day);
        }
    },
};

/// Which public holidays are kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum HolidayRule {
    /// The eleven federal holidays of the United States on their observed days (5 U.S.C. 6103).
    #[default]
    UsFederal,
    /// None but the own dates.
    None,
}

/// The project's holidays: a rule and own dates.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Holidays {
    /// The rule that gives most of them.
    pub rule: HolidayRule,
    /// Further days, kept by the suppliers too.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub own: Vec<NaiveDate>,
}

impl fmt::Display for Holidays {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self.rule {
            HolidayRule::UsFederal => "us-federal",
            HolidayRule::None => "none",
        })?;
        self.own.iter().try_for_each(|day| write!(f, " {day}"))
    }
}

impl FromStr for Holidays {
    type Err = String;

    /// Reads `us-federal` or `none`, followed by any own dates.
    fn from_str(text: &str) -> Result<Holidays, String> {
        let mut holidays = Holidays { rule: HolidayRule::None, own: Vec::new() };
        for word in text.split([' ', ',', ';']).filter(|w| !w.is_empty()) {
            match word.to_ascii_lowercase().as_str() {
                "us-federal" => holidays.rule = HolidayRule::UsFederal,
                "none" => {}
                other => holidays.own.push(parse_date(other).map_err(|_| {
                    format!("`{word}` is neither us-federal, none nor a date like 2026-07-03")
                })?),
            }
        }
        holidays.own.sort_unstable();
        holidays.own.dedup();
        Ok(holidays)
    }
}

/// First day the program computes with.
pub const FIRST_DAY: NaiveDate = match NaiveDate::from_ymd_opt(1900, 1, 1) {
    Some(day) => day,
    None => NaiveDate::MIN,
};
/// Last day the program computes with.
pub const LAST_DAY: NaiveDate = match NaiveDate::from_ymd_opt(2200, 12, 31) {
    Some(day) => day,
    None => NaiveDate::MAX,
};

/// Reads an ISO 8601 date between the years 1900 and 2200.
pub fn parse_date(text: &str) -> Result<NaiveDate, String> {
    let text = text.trim();
    let date = NaiveDate::parse_from_str(text, "%Y-%m-%d")
        .map_err(|_| format!("`{text}` is no date; write year-month-day, for example 2026-08-24"))?;
    if date < FIRST_DAY || date > LAST_DAY {
        return Err(format!("`{text}` is outside the years 1900 to 2200"));
    }
    Ok(date)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weekday_sets_read_and_write() {
        for (text, written) in [
            ("Mon-Fri", "Mon Tue Wed Thu Fri"),
            ("tue, FRIDAY", "Tue Fri"),
            ("1111110", "Mon Tue Wed Thu Fri Sat"),
            ("Sat-Mon", "Mon Sat Sun"),
        ] {
            assert_eq!(text.parse::<Weekdays>().map(|w| w.to_string()), Ok(written.to_owned()));
        }
        assert!("Mon Foo".parse::<Weekdays>().is_err());
        assert!("".parse::<Weekdays>().is_err());
    }

    #[test]
    fn dates_are_iso_and_in_range() {
        assert!(parse_date("2026-02-29").is_err());
        assert!(parse_date("1899-12-31").is_err());
        assert!(parse_date("2200-12-31").is_ok());
    }
}
