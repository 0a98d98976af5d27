//! Lead times as suppliers write them, in English, German, French and Spanish.
//!
//! A range behind a time, "6 (5 to 8) weeks" or "6 weeks (typ. 5-8)", gives its bounds and leaves the time as it is. A range
//! alone such as "6-8 Wochen" gives its longer end as the time to count on and both ends as the bounds: who orders in
//! time must expect the later. Months are 30 days each (common practice, no source). German "Werktage" are taken for the
//! open days of the supplier, though the law counts Saturdays among them (BUrlG § 3, from memory).

use super::TypedError;
use super::spaces::one_line;
use super::words::WORDS;
use crate::model::LeadUnit;
use crate::model::validate::MAX_LEAD;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// A lead time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lead {
    /// What is to be counted on.
    pub count: u32,
    /// What it is counted in; `None` when the text does not say.
    pub unit: Option<LeadUnit>,
    /// The shorter end of a range.
    pub min: Option<u32>,
    /// The longer end of a range.
    pub max: Option<u32>,
}

impl std::fmt::Display for Lead {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let unit = match (self.unit, self.count) {
            (None, _) => "",
            (Some(LeadUnit::Days), 1) => " day",
            (Some(LeadUnit::Days), _) => " days",
            (Some(LeadUnit::Weeks), 1) => " week",
            (Some(LeadUnit::Weeks), _) => " weeks",
            (Some(LeadUnit::Working), 1) => " working day",
            (Some(LeadUnit::Working), _) => " working days",
        };
        write!(f, "{}{unit}", self.count)?;
        match (self.min, self.max) {
            (Some(min), Some(max)) => write!(f, ", {min} to {max}"),
            _ => Ok(()),
        }
    }
}

/// What a text says of a lead time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LeadText {
    /// So long.
    Time(Lead),
    /// Nothing that could be counted on: on request, sold out.
    NotSaid,
}

/// The unit a word stands for, and how many of it.
fn unit_of(word: &str) -> Option<(LeadUnit, u32)> {
    let word = word.trim().trim_end_matches('.');
    let found = WORDS.lead_units.iter().find(|(_, _, words)| words.iter().any(|known| known == word));
    found.map(|(unit, times, _)| (*unit, *times))
}

/// The unit that a cell or a heading names: `Wochen`, `Lead (weeks)`, `Lieferzeit in Tagen`.
pub fn unit_in(text: &str) -> Option<LeadUnit> {
    let lower = one_line(text).to_lowercase();
    if let Some((unit, 1)) = unit_of(&lower) {
        return Some(unit);
    }
    let words: Vec<&str> =
        lower.split(|c: char| !c.is_alphanumeric()).filter(|w| w.chars().count() > 2).collect();
    let pairs = words.windows(2).map(|pair| pair.join(" "));
    let found: Vec<LeadUnit> = pairs
        .chain(words.iter().map(|w| (*w).to_owned()))
        .filter_map(|w| unit_of(&w).filter(|(_, times)| *times == 1).map(|(unit, _)| unit))
        .collect();
    found.first().copied()
}

/// Reads a lead time.
///
/// # Errors
/// What is not understood, and what to write.
pub fn read(text: &str) -> Result<LeadText, TypedError> {
    let plain = one_line(text).to_lowercase();
    let bare = plain.trim_end_matches(['.', '!']).trim();
    let among = |words: &[String], text: &str| words.iter().any(|w| w == text);
    if bare.is_empty() || among(&WORDS.not_said, &plain) || among(&WORDS.not_said, bare) {
        return Ok(LeadText::NotSaid);
    }
    if among(&WORDS.at_once, bare) {
        return Ok(LeadText::Time(Lead { count: 0, unit: Some(LeadUnit::Days), min: None, max: None }));
    }
    let wrong = || TypedError::NotALead(one_line(text));
    if let Some(bounded) = bounded(&plain) {
        return bounded.map(LeadText::Time).ok_or_else(wrong);
    }
    let mut rest = plain.as_str();
    for word in &WORDS.at_once {
        // "ab Lager, 3 Tage": the time counts.
        if let Some(cut) = rest.strip_prefix(word.as_str())
            && let Some(cut) = cut.strip_prefix([',', ';', ':'])
        {
            rest = cut.trim();
        }
    }
    while let Some(cut) = WORDS.before.iter().find_map(|w| {
        let cut = rest.strip_prefix(w.as_str())?.trim_start_matches(':');
        let apart = cut.starts_with(' ') || !w.ends_with(char::is_alphabetic);
        apart.then(|| cut.trim())
    }) {
        rest = cut;
    }
    let (first, mut rest) = take_number(rest).ok_or_else(wrong)?;
    let mut second = None;
    for word in ["-", "–", "—", "to ", "bis ", "à ", "a ", "until ", "/"] {
        if let Some((n, behind)) = rest.strip_prefix(word).and_then(|cut| take_number(cut.trim())) {
            (second, rest) = (Some(n), behind);
            break;
        }
    }
    let mut word = rest.trim();
    for behind in &WORDS.behind {
        word = word.strip_suffix(behind.as_str()).unwrap_or(word).trim_end_matches([',', ';', ' ']);
    }
    let (unit, times, per) = match word {
        "" => (None, 1, 1),
        hours if among(&WORDS.hours, hours) => (Some(LeadUnit::Days), 1, 24),
        word => {
            let (unit, times) = unit_of(word).ok_or_else(wrong)?;
            (Some(unit), times, 1)
        }
    };
    let (low, high) = match second {
        Some(second) if second < first => return Err(wrong()),
        Some(second) => (Some(first), second),
        None => (None, first),
    };
    // Parts of a week are days; other parts are rounded up to the whole.
    let fine =
        unit == Some(LeadUnit::Weeks) && !(high.fract().is_zero() && low.is_none_or(|l| l.fract().is_zero()));
    let unit = if fine { Some(LeadUnit::Days) } else { unit };
    let factor = Decimal::from(times * if fine { 7 } else { 1 });
    let whole = |n: Decimal| {
        let n = (n * factor / Decimal::from(per)).ceil().to_u32();
        n.filter(|n| *n <= MAX_LEAD).ok_or(TypedError::TooLong)
    };
    let count = whole(high)?;
    let (min, max) = match low {
        Some(low) => (Some(whole(low)?), Some(count)),
        None => (None, None),
    };
    Ok(LeadText::Time(Lead { count, unit, min, max }))
}

/// A time with its range in parentheses. `None` where there is no such range; `Some(None)` where the two do not go together:
/// another unit, or the time outside of its range.
fn bounded(text: &str) -> Option<Option<Lead>> {
    let (before, rest) = text.split_once('(')?;
    let (inside, behind) = rest.split_once(')')?;
    let mut inside = inside.trim();
    for word in ["typ.", "typ", "typically", "usually", "range", "from", "von"] {
        inside = inside.strip_prefix(word).map_or(inside, |cut| cut.trim_start_matches([':', ' ']));
    }
    // Only what begins as a range is one: "3 weeks (from order)" is not.
    let (_, next) = take_number(inside)?;
    if !["-", "–", "—", "to ", "bis ", "à ", "a ", "until ", "/"].iter().any(|word| next.starts_with(word))
    {
        return None;
    }
    let outside = one_line(&format!("{before} {behind}"));
    let Ok(LeadText::Time(time)) = read(&outside) else { return Some(None) };
    let number = outside.find(|c: char| c.is_ascii_digit()).unwrap_or(0);
    let unit = outside[number..].trim_start_matches(|c: char| !c.is_alphabetic());
    let with_unit = if inside.ends_with(|c: char| c.is_ascii_digit()) {
        format!("{inside} {unit}")
    } else {
        inside.to_owned()
    };
    let Ok(LeadText::Time(range)) = read(&with_unit) else { return Some(None) };
    let fits = time.min.is_none()
        && range.unit == time.unit
        && range.min.is_some_and(|min| min <= time.count)
        && range.max.is_some_and(|max| time.count <= max);
    Some(fits.then_some(Lead { min: range.min, max: range.max, ..time }))
}

/// A number of up to five figures with at most two decimals at the beginning, and what follows it.
fn take_number(text: &str) -> Option<(Decimal, &str)> {
    let length = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    if length == 0 || length > 5 {
        return None;
    }
    let mut end = length;
    if let Some(places) = text[length..].strip_prefix([',', '.']) {
        let figures = places.find(|c: char| !c.is_ascii_digit()).unwrap_or(places.len());
        if figures > 2 {
            return None;
        }
        if figures > 0 {
            end = length + 1 + figures;
        }
    }
    let number = Decimal::from_str_exact(&text[..end].replace(',', ".")).ok()?;
    Some((number, text[end..].trim_start()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn time(count: u32, unit: Option<LeadUnit>, range: Option<(u32, u32)>) -> LeadText {
        LeadText::Time(Lead { count, unit, min: range.map(|r| r.0), max: range.map(|r| r.1) })
    }

    #[test]
    fn a_range_in_parentheses_bounds_the_time_before_it() {
        let weeks = |n, a, b| time(n, Some(LeadUnit::Weeks), Some((a, b)));
        for text in [
            "6 (5 to 8) weeks",
            "6 (5-8) wks",
            "6 wk (5–8)",
            "6 weeks (typ. 5-8)",
            "6 weeks (5 to 8 weeks)",
            "approx. 6 weeks (5-8) ARO",
        ] {
            assert_eq!(read(text), Ok(weeks(6, 5, 8)), "{text}");
        }
        assert_eq!(read("6 (5 to 8)"), Ok(time(6, None, Some((5, 8)))));
        // What does not go together is refused, and what is no range is read as before.
        for text in
            ["9 (5 to 8) weeks", "6 weeks (30-50 days)", "5-7 (5-8) weeks", "6 (8 to 5) weeks", "(5-8) weeks"]
        {
            assert!(read(text).is_err(), "{text}");
        }
        for text in ["call", "TBD", "ask", "", "to be advised"] {
            assert_eq!(read(text), Ok(LeadText::NotSaid), "{text}");
        }
        assert_eq!(read("in stock"), Ok(time(0, Some(LeadUnit::Days), None)));
    }

    #[test]
    fn lead_times_are_read_in_four_languages() {
        use LeadUnit::{Days, Weeks, Working};
        for (text, count, unit, range) in [
            ("6 weeks", 6, Weeks, None),
            ("6-8 Wochen", 8, Weeks, Some((6, 8))),
            ("6 – 8 Wo.", 8, Weeks, Some((6, 8))),
            ("4 bis 6 Wochen", 6, Weeks, Some((4, 6))),
            ("4 to 6 weeks ARO", 6, Weeks, Some((4, 6))),
            ("10 Tage", 10, Days, None),
            ("ca. 10 Arbeitstage", 10, Working, None),
            ("10-12 business days", 12, Working, Some((10, 12))),
            ("3 semaines", 3, Weeks, None),
            ("2 à 3 semaines", 3, Weeks, Some((2, 3))),
            ("15 jours ouvrés", 15, Working, None),
            ("2 a 4 semanas", 4, Weeks, Some((2, 4))),
            ("10 días hábiles", 10, Working, None),
            ("in stock", 0, Days, None),
            ("ab Lager", 0, Days, None),
            ("Sofort lieferbar", 0, Days, None),
            ("En stock", 0, Days, None),
            ("ab Lager, 3 Tage", 3, Days, None),
            ("48 h", 2, Days, None),
            ("2 months", 60, Days, None),
            ("1,5 Wochen", 11, Days, None),
            ("up to 9\u{a0}weeks", 9, Weeks, None),
            ("Lieferzeit: 12 Tage", 12, Days, None),
        ] {
            assert_eq!(read(text), Ok(time(count, Some(unit), range)), "{text}");
        }
        assert_eq!(read("12"), Ok(time(12, None, None)));
        assert_eq!(read("6-8"), Ok(time(8, None, Some((6, 8)))));
    }

    #[test]
    fn what_nobody_can_count_on_is_not_made_up() {
        for text in ["auf Anfrage", "on request", "sur demande", "a consultar", "-", "out of stock", "TBD"] {
            assert_eq!(read(text), Ok(LeadText::NotSaid), "{text}");
        }
        for text in [
            "KW 42",
            "week 42",
            "soon",
            "8-6 weeks",
            "6 weeks after approval",
            "123456 days",
            "99999 weeks",
            "6 moons",
        ] {
            assert!(read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn headings_name_the_unit() {
        assert_eq!(unit_in("Lead (weeks)"), Some(LeadUnit::Weeks));
        assert_eq!(unit_in("Lieferzeit in Arbeitstagen"), Some(LeadUnit::Working));
        assert_eq!(unit_in("Lead time, working days"), Some(LeadUnit::Working));
        assert_eq!(unit_in("Délai (jours)"), Some(LeadUnit::Days));
        assert_eq!(unit_in("Lieferzeit"), None);
        assert_eq!(unit_in("Wo."), Some(LeadUnit::Weeks));
    }

    proptest::proptest! {
        #[test]
        fn no_text_upsets_it(text in ".{0,30}") {
            let _ = (read(&text), unit_in(&text));
        }
    }
}
