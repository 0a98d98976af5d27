//! Federal holidays of the United States on the days they are observed.
//!
//! The eleven days are those of 5 U.S.C. 6103(a). One that falls on a Saturday is observed the Friday before, on a
//! Sunday the Monday after. The rule is applied to every year alike, also to years before a day was introduced.

use crate::engine::calendar::Day;
use crate::model::dates::{FIRST_DAY, LAST_DAY};
use chrono::Datelike;

/// Which day of a month a holiday is.
enum Rule {
    /// A fixed day.
    Fixed(u32, u32),
    /// The n-th Monday (weekday 0) or Thursday (3) of a month.
    Nth { month: u32, weekday: u32, n: u32 },
    /// The last Monday of May.
    LastMondayOfMay,
}

const RULES: [Rule; 11] = [
    Rule::Fixed(1, 1),
    Rule::Nth { month: 1, weekday: 0, n: 3 },
    Rule::Nth { month: 2, weekday: 0, n: 3 },
    Rule::LastMondayOfMay,
    Rule::Fixed(6, 19),
    Rule::Fixed(7, 4),
    Rule::Nth { month: 9, weekday: 0, n: 1 },
    Rule::Nth { month: 10, weekday: 0, n: 2 },
    Rule::Fixed(11, 11),
    Rule::Nth { month: 11, weekday: 3, n: 4 },
    Rule::Fixed(12, 25),
];

/// The observed holidays that belong to a year, in no particular order. New Year may fall on the last day of the
/// year before. Years outside those computed with have none.
pub fn us_federal(year: i32) -> impl Iterator<Item = Day> {
    let known = (FIRST_DAY.year()..=LAST_DAY.year()).contains(&year);
    RULES.iter().filter(move |_| known).filter_map(move |rule| {
        let day = match rule {
            Rule::Fixed(month, day) => {
                let exact = Day::from_ymd(year, *month, *day)?;
                match exact.weekday_index() {
                    5 => exact.plus(-1),
                    6 => exact.plus(1),
                    _ => exact,
                }
            }
            Rule::Nth { month, weekday, n } => {
                let first = Day::from_ymd(year, *month, 1)?;
                let to_weekday = (7 + weekday - first.weekday_index()) % 7;
                first.plus((to_weekday + (n - 1) * 7) as i32)
            }
            Rule::LastMondayOfMay => {
                let last = Day::from_ymd(year, 5, 31)?;
                last.plus(-(last.weekday_index() as i32))
            }
        };
        Some(day)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_year_beyond_the_last_closes_nothing() {
        assert_eq!(us_federal(LAST_DAY.year()).count(), RULES.len());
        assert_eq!(us_federal(LAST_DAY.year() + 1).count(), 0);
        assert_eq!(us_federal(FIRST_DAY.year() - 1).count(), 0);
    }
}
