//! Lead times as suppliers write them, in English, German, French and Spanish.
//!
//! A range such as "6-8 Wochen" gives its longer end as the time to count on and both ends as the bounds: who orders in
//! time must expect the later. Months are 30 days each (common practice, no source). German "Werktage" are taken for the
//! open days of the supplier, though the law counts Saturdays among them (BUrlG § 3, from memory).

use super::TypedError;
use super::spaces::one_line;
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

/// Words for what is there at once.
const AT_ONCE: [&str; 26] = [
    "in stock",
    "stock",
    "on stock",
    "ex stock",
    "from stock",
    "available",
    "available now",
    "immediate",
    "immediately",
    "ab lager",
    "auf lager",
    "lager",
    "lagernd",
    "lagerware",
    "lagerartikel",
    "sofort",
    "sofort lieferbar",
    "sofort verfügbar",
    "verfügbar",
    "en stock",
    "disponible",
    "immédiat",
    "disponible immédiatement",
    "inmediato",
    "inmediata",
    "en existencia",
];

/// Words for what nobody can say.
const NOT_SAID: [&str; 22] = [
    "on request",
    "upon request",
    "ask",
    "tbd",
    "tba",
    "n/a",
    "na",
    "?",
    "-",
    "–",
    "auf anfrage",
    "a. a.",
    "nach absprache",
    "unbekannt",
    "offen",
    "nicht lieferbar",
    "out of stock",
    "sur demande",
    "à confirmer",
    "a consultar",
    "por confirmar",
    "agotado",
];

/// Words that may stand before a time and change nothing about it.
const BEFORE: [&str; 36] = [
    "ca",
    "ca.",
    "circa",
    "approx",
    "approx.",
    "about",
    "around",
    "~",
    "≈",
    "env",
    "env.",
    "environ",
    "aprox",
    "aprox.",
    "unos",
    "unas",
    "up to",
    "bis zu",
    "bis",
    "max",
    "max.",
    "from",
    "ab",
    "min",
    "within",
    "in",
    "innerhalb",
    "binnen",
    "sous",
    "en",
    "usually",
    "ships in",
    "lieferzeit",
    "lead time",
    "délai",
    "plazo",
];

/// Words that may stand behind one.
const BEHIND: [&str; 20] = [
    "aro",
    "after order",
    "after ordering",
    "after receipt of order",
    "from order",
    "lead time",
    "nach bestellung",
    "ab bestellung",
    "nach auftragseingang",
    "ab auftragseingang",
    "nach auftrag",
    "ab auftrag",
    "lieferzeit",
    "lieferbar",
    "après commande",
    "à réception de commande",
    "de délai",
    "desde pedido",
    "tras el pedido",
    "desde el pedido",
];

/// Words for units: what they count, and how many of it.
const UNITS: &[(&str, LeadUnit, u32)] = &[
    ("working days", LeadUnit::Working, 1),
    ("working day", LeadUnit::Working, 1),
    ("working", LeadUnit::Working, 1),
    ("business days", LeadUnit::Working, 1),
    ("business day", LeadUnit::Working, 1),
    ("workdays", LeadUnit::Working, 1),
    ("work days", LeadUnit::Working, 1),
    ("bd", LeadUnit::Working, 1),
    ("wd", LeadUnit::Working, 1),
    ("arbeitstage", LeadUnit::Working, 1),
    ("arbeitstagen", LeadUnit::Working, 1),
    ("arbeitstag", LeadUnit::Working, 1),
    ("werktage", LeadUnit::Working, 1),
    ("werktagen", LeadUnit::Working, 1),
    ("werktag", LeadUnit::Working, 1),
    ("at", LeadUnit::Working, 1),
    ("wt", LeadUnit::Working, 1),
    ("jours ouvrés", LeadUnit::Working, 1),
    ("jour ouvré", LeadUnit::Working, 1),
    ("jours ouvrables", LeadUnit::Working, 1),
    ("días hábiles", LeadUnit::Working, 1),
    ("dias habiles", LeadUnit::Working, 1),
    ("días laborables", LeadUnit::Working, 1),
    ("dias laborables", LeadUnit::Working, 1),
    ("calendar days", LeadUnit::Days, 1),
    ("kalendertage", LeadUnit::Days, 1),
    ("jours calendaires", LeadUnit::Days, 1),
    ("días naturales", LeadUnit::Days, 1),
    ("days", LeadUnit::Days, 1),
    ("day", LeadUnit::Days, 1),
    ("d", LeadUnit::Days, 1),
    ("tage", LeadUnit::Days, 1),
    ("tagen", LeadUnit::Days, 1),
    ("tag", LeadUnit::Days, 1),
    ("t", LeadUnit::Days, 1),
    ("jours", LeadUnit::Days, 1),
    ("jour", LeadUnit::Days, 1),
    ("j", LeadUnit::Days, 1),
    ("días", LeadUnit::Days, 1),
    ("día", LeadUnit::Days, 1),
    ("dias", LeadUnit::Days, 1),
    ("dia", LeadUnit::Days, 1),
    ("weeks", LeadUnit::Weeks, 1),
    ("week", LeadUnit::Weeks, 1),
    ("wks", LeadUnit::Weeks, 1),
    ("wk", LeadUnit::Weeks, 1),
    ("w", LeadUnit::Weeks, 1),
    ("wochen", LeadUnit::Weeks, 1),
    ("woche", LeadUnit::Weeks, 1),
    ("wo", LeadUnit::Weeks, 1),
    ("semaines", LeadUnit::Weeks, 1),
    ("semaine", LeadUnit::Weeks, 1),
    ("sem", LeadUnit::Weeks, 1),
    ("semanas", LeadUnit::Weeks, 1),
    ("semana", LeadUnit::Weeks, 1),
    ("months", LeadUnit::Days, 30),
    ("month", LeadUnit::Days, 30),
    ("monate", LeadUnit::Days, 30),
    ("monaten", LeadUnit::Days, 30),
    ("monat", LeadUnit::Days, 30),
    ("mois", LeadUnit::Days, 30),
    ("meses", LeadUnit::Days, 30),
    ("mes", LeadUnit::Days, 30),
];

/// Words for hours, of which a day has 24.
const HOURS: [&str; 8] = ["h", "hrs", "hours", "std", "stunden", "heures", "horas", "hour"];

/// The unit a word stands for, and how many of it.
fn unit_of(word: &str) -> Option<(LeadUnit, u32)> {
    let word = word.trim().trim_end_matches('.');
    UNITS.iter().find(|(known, _, _)| *known == word).map(|(_, unit, times)| (*unit, *times))
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
    if bare.is_empty() || NOT_SAID.contains(&plain.as_str()) || NOT_SAID.contains(&bare) {
        return Ok(LeadText::NotSaid);
    }
    if AT_ONCE.contains(&bare) {
        return Ok(LeadText::Time(Lead { count: 0, unit: Some(LeadUnit::Days), min: None, max: None }));
    }
    let wrong = || TypedError::NotALead(one_line(text));
    let mut rest = plain.as_str();
    for word in AT_ONCE {
        // "ab Lager, 3 Tage": the time counts.
        if let Some(cut) = rest.strip_prefix(word)
            && let Some(cut) = cut.strip_prefix([',', ';', ':'])
        {
            rest = cut.trim();
        }
    }
    while let Some(cut) = BEFORE.iter().find_map(|w| {
        let cut = rest.strip_prefix(w)?.trim_start_matches(':');
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
    for behind in BEHIND {
        word = word.strip_suffix(behind).unwrap_or(word).trim_end_matches([',', ';', ' ']);
    }
    let (unit, times, per) = match word {
        "" => (None, 1, 1),
        hours if HOURS.contains(&hours) => (Some(LeadUnit::Days), 1, 24),
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
