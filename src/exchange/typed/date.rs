//! Days as people write them: figures in three orders, and names of months in English, German, French and Spanish.
//!
//! With points between, the day stands first (CLDR: de `dd.MM.y`; no locale writes the month first with points, from
//! memory). With strokes or dashes a column settles the order, and where it cannot, the user is asked.

use super::spaces::{one_line, trim};
use super::words::WORDS;
use crate::model::DateOrder;
use crate::model::dates::{FIRST_DAY, LAST_DAY};
use chrono::{Datelike, NaiveDate, Weekday};

/// The parts of a date in the order they are written: numbers with how many figures each has.
struct Parts {
    numbers: Vec<(u32, usize)>,
    /// The place of the month where it has a name.
    named: Option<usize>,
    points: bool,
}

/// What a date says about the order of its column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Says {
    /// It can only be read in this order.
    Only(DateOrder),
    /// It says nothing, or reads the same either way.
    Same,
    /// Day or month may stand first.
    Open,
    /// It is no date.
    Neither,
}

fn parts(text: &str) -> Option<Parts> {
    let text = one_line(text).to_lowercase();
    // A time of day behind it is dropped.
    let text = match text.split_once([' ', 't']) {
        Some((date, time)) if time.contains(':') && !date.contains(' ') => date.to_owned(),
        _ => text,
    };
    let points = text.contains('.') && !text.contains('/');
    let words: Vec<&str> = text.split(['.', '/', '-', ' ', ',']).filter(|w| !w.is_empty()).collect();
    // "24 de diciembre de 2026"
    let words: Vec<&str> = words.into_iter().filter(|w| !matches!(*w, "de" | "of" | "der")).collect();
    if !(2..=3).contains(&words.len()) {
        return None;
    }
    let mut named = None;
    let mut numbers = vec![(0, 0); words.len()];
    for (at, word) in words.into_iter().enumerate() {
        let bare = word.trim_end_matches(|c: char| c.is_alphabetic());
        let figures = if word.starts_with(|c: char| c.is_ascii_digit())
            && matches!(&word[bare.len()..], "" | "st" | "nd" | "rd" | "th" | "er")
        {
            bare
        } else {
            ""
        };
        if !figures.is_empty() && figures.len() <= 4 && figures.bytes().all(|b| b.is_ascii_digit()) {
            numbers[at] = (figures.parse().ok()?, figures.len());
        } else if named.is_none() && word.chars().all(char::is_alphabetic) {
            // "juin" and "juil" must not be taken for one another.
            let longest =
                |names: &[String]| names.iter().filter(|n| word.starts_with(*n)).map(String::len).max();
            let month =
                WORDS.months.iter().enumerate().filter_map(|(m, names)| Some((longest(names)?, m))).max()?.1;
            numbers[at] = (u32::try_from(month + 1).ok()?, 0);
            named = Some(at);
        } else {
            return None;
        }
    }
    Some(Parts { numbers, named, points })
}

impl Parts {
    fn date(&self, order: DateOrder) -> Option<NaiveDate> {
        let [a, b, c] = *self.numbers.as_slice() else { return None };
        let (year, month, day) = match order {
            DateOrder::YearFirst => (a, b, c),
            DateOrder::DayFirst => (c, b, a),
            DateOrder::MonthFirst => (c, a, b),
        };
        let year = match year {
            (year, 4) => year,
            (year, 2) => 2000 + year,
            _ => return None,
        };
        if month.1 > 2 || day.1 > 2 || day.1 == 0 {
            return None;
        }
        let date = NaiveDate::from_ymd_opt(i32::try_from(year).ok()?, month.0, day.0)?;
        (FIRST_DAY..=LAST_DAY).contains(&date).then_some(date)
    }

    fn orders(&self) -> Vec<DateOrder> {
        if let Some(at) = self.named {
            return match at {
                0 => vec![DateOrder::MonthFirst],
                1 if self.numbers[0].1 == 4 => vec![DateOrder::YearFirst],
                1 => vec![DateOrder::DayFirst],
                _ => Vec::new(),
            };
        }
        if self.numbers[0].1 == 4 {
            return vec![DateOrder::YearFirst];
        }
        if self.points {
            return vec![DateOrder::DayFirst];
        }
        let all = DateOrder::ALL.into_iter().map(|(_, order)| order);
        // A year of two figures never stands first beside two others that could be days.
        all.filter(|order| *order != DateOrder::YearFirst).collect()
    }
}

/// What a text says about the order of its column.
pub fn says(text: &str) -> Says {
    let Some(parts) = parts(text) else { return Says::Neither };
    let orders = parts.orders();
    let fits: Vec<(DateOrder, NaiveDate)> =
        orders.iter().filter_map(|order| Some((*order, parts.date(*order)?))).collect();
    match fits.as_slice() {
        [] => Says::Neither,
        // Names, points and leading years say it for themselves and not for others.
        [_] if orders.len() == 1 => Says::Same,
        [(order, _)] => Says::Only(*order),
        [(_, first), rest @ ..] if rest.iter().all(|(_, d)| d == first) => Says::Same,
        _ => Says::Open,
    }
}

/// Reads a date. `order` decides where day and month could be either.
pub fn read(text: &str, order: Option<DateOrder>) -> Option<NaiveDate> {
    let parts = parts(text)?;
    let orders = parts.orders();
    match orders.as_slice() {
        [only] => parts.date(*only),
        _ => {
            if let Some(order) = order {
                return parts.date(order);
            }
            let fits: Vec<NaiveDate> = orders.iter().filter_map(|o| parts.date(*o)).collect();
            let first = *fits.first()?;
            fits.iter().all(|d| *d == first).then_some(first)
        }
    }
}

/// The day of a month without a year, `Dec 17` or `17 Dec`, in the year in which it is nearest to a day.
pub fn near(text: &str, to: NaiveDate) -> Option<NaiveDate> {
    let parts = parts(text)?;
    let (month, day) = match (parts.numbers.as_slice(), parts.named) {
        ([month, day], Some(0)) | ([day, month], Some(1)) if (1..=2).contains(&day.1) => (month.0, day.0),
        _ => return None,
    };
    let years = [to.year() - 1, to.year(), to.year() + 1];
    let days = years.into_iter().filter_map(|year| NaiveDate::from_ymd_opt(year, month, day));
    // Of two that are as near, the one ahead.
    days.min_by_key(|d| ((*d - to).num_days().abs(), *d < to)).filter(|d| (FIRST_DAY..=LAST_DAY).contains(d))
}

/// The weekday that a date begins with, and what follows it.
pub fn weekday(text: &str) -> (Option<Weekday>, &str) {
    let text = trim(text);
    let length = text.find(|c: char| !c.is_alphabetic()).unwrap_or(text.len());
    match text[..length].parse() {
        Ok(weekday) => (Some(weekday), text[length..].trim_start_matches(['.', ',', ' '])),
        Err(_) => (None, text),
    }
}

/// What the dates of a column say together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Settled {
    /// This order.
    Order(DateOrder),
    /// There is no date that could be read two ways.
    NoMatter,
    /// Nothing settles dates such as this one.
    Open(String),
    /// Dates are written both ways.
    Mixed(String, String),
}

/// Settles the order from all dates of a column.
pub fn settle<'a>(texts: impl Iterator<Item = &'a str>) -> Settled {
    let (mut day, mut month, mut open) = (None, None, None);
    for text in texts {
        match says(text) {
            Says::Only(DateOrder::MonthFirst) => month = month.or(Some(text)),
            Says::Only(_) => day = day.or(Some(text)),
            Says::Open => open = open.or(Some(text)),
            Says::Same | Says::Neither => {}
        }
    }
    match (day, month, open) {
        (Some(a), Some(b), _) => Settled::Mixed(a.to_owned(), b.to_owned()),
        (Some(_), None, _) => Settled::Order(DateOrder::DayFirst),
        (None, Some(_), _) => Settled::Order(DateOrder::MonthFirst),
        (None, None, Some(text)) => Settled::Open(text.to_owned()),
        (None, None, None) => Settled::NoMatter,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_read_as_people_write_them() {
        for text in [
            "24.12.2026",
            "24.12.26",
            "2026-12-24",
            "2026/12/24",
            "2026.12.24",
            "24. Dez. 2026",
            "24. Dezember 2026",
            "24 déc. 2026",
            "Dec 24, 2026",
            "December 24th, 2026",
            "24 de diciembre de 2026",
            "24-Dec-2026",
            "2026-12-24 00:00:00",
            "2026-12-24T08:00:00",
            "24/12/2026",
            "12/24/2026",
        ] {
            assert_eq!(read(text, None), NaiveDate::from_ymd_opt(2026, 12, 24), "{text}");
        }
        assert_eq!(read("1er juin 2026", None), NaiveDate::from_ymd_opt(2026, 6, 1));
        assert_eq!(read("3 juillet 2026", None), NaiveDate::from_ymd_opt(2026, 7, 3));
        for text in ["", "soon", "31.02.2026", "2026", "12.2026", "24.12.1026", "1,50", "Friday"] {
            assert_eq!(read(text, None), None, "{text}");
        }
    }

    #[test]
    fn a_column_settles_the_order() {
        use DateOrder::{DayFirst, MonthFirst};
        let of = |list: &[&str]| settle(list.iter().copied());
        assert_eq!(of(&["03/04/2026", "24/12/2026"]), Settled::Order(DayFirst));
        assert_eq!(of(&["03/04/2026", "12/24/2026"]), Settled::Order(MonthFirst));
        assert_eq!(of(&["03/04/2026"]), Settled::Open("03/04/2026".to_owned()));
        assert_eq!(of(&["04/04/2026", "24.12.2026"]), Settled::NoMatter);
        assert!(matches!(of(&["24/12/2026", "12/24/2026"]), Settled::Mixed(..)));
        assert_eq!(read("03/04/2026", None), None);
        assert_eq!(read("03/04/2026", Some(DayFirst)), NaiveDate::from_ymd_opt(2026, 4, 3));
        assert_eq!(read("03/04/2026", Some(MonthFirst)), NaiveDate::from_ymd_opt(2026, 3, 4));
    }

    proptest::proptest! {
        #[test]
        fn no_text_upsets_it(text in ".{0,30}") {
            let _ = (read(&text, Some(DateOrder::DayFirst)), says(&text));
        }
    }
}
