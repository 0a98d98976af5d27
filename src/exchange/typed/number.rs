//! Numbers as people write them: marks for decimals and thousands, signs of currencies.
//!
//! The forms are those of the Unicode Common Locale Data Repository (CLDR 44, `cldr-numbers-full`, `numbers.json` of each
//! locale): de and es `1.234,50`, en `1,234.50`, fr `1 234,50` with a narrow no-break space, de-CH `1'234.50` (older
//! releases write the typographic apostrophe), en-IN `#,##,##0.###`.
//!
//! A text such as `1.234` can be read two ways. What the other numbers of its column say decides; where they do not, it
//! stays open and the user is asked.

use super::spaces::{is_space, trim};
use super::words::WORDS;
use crate::model::DecimalMark;
use rust_decimal::Decimal;

/// The codes that a sign or code can stand for; `None` when it is none. Forints are written `Ft` (CLDR 44, hu), and `ft`
/// is feet.
pub fn currency_of(sign: &str) -> Option<Vec<&'static str>> {
    let upper = trim(sign).to_uppercase();
    if upper == "FT" && trim(sign) != "Ft" {
        return None;
    }
    if let Some(code) = WORDS.codes.iter().find(|c| **c == upper) {
        return Some(vec![code]);
    }
    WORDS.currencies.get(&upper).map(|codes| codes.iter().map(String::as_str).collect())
}

/// The sign or code of a currency in a heading. `Ft` behind a stroke or a word for a measure is feet: `Price/Sq Ft`.
pub fn currency_in(heading: &str) -> Option<&str> {
    let apart = |c: char| c.is_whitespace() || matches!(c, '(' | ')' | '[' | ']' | ',' | '/');
    let mut before = String::new();
    heading.split_inclusive(apart).find_map(|piece| {
        let word = piece.trim_end_matches(apart);
        let feet = word == "Ft"
            && (before.ends_with('/') || MEASURED.contains(&before.trim_end_matches(['.', ' '])));
        before = piece.to_lowercase();
        (!feet && currency_of(word).is_some()).then_some(word)
    })
}

/// What stands before `Ft` where it is feet.
const MEASURED: [&str; 7] = ["sq", "square", "lin", "linear", "cu", "cubic", "per"];

/// A number as it is written, taken apart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    /// A minus before or behind it, or brackets around it.
    pub negative: bool,
    /// Figures and marks.
    pub body: String,
    /// The sign or code of a currency.
    pub currency: Option<String>,
    /// A percent sign stands behind it.
    pub percent: bool,
    /// What it is for, behind a stroke or a word: `m²`.
    pub per: Option<String>,
}

/// Takes a text apart; `None` when it is no number with what may stand around one.
pub fn take_apart(text: &str) -> Option<Written> {
    let text = trim(text);
    let first = text.find(|c: char| c.is_ascii_digit())?;
    // A mark right before the first figure belongs to it: ",50".
    let begin = match text[..first].chars().next_back() {
        Some(c @ ('.' | ',')) if !text[..first].trim_end_matches(c).ends_with(char::is_alphabetic) => {
            first - c.len_utf8()
        }
        _ => first,
    };
    let is_mark = |c: char| matches!(c, '.' | ',' | '\'' | '’') || is_space(c);
    let length =
        text[begin..].find(|c: char| !c.is_ascii_digit() && !is_mark(c)).unwrap_or(text.len() - begin);
    let whole = &text[begin..begin + length];
    let body = whole.trim_end_matches(is_mark);
    let (before, behind) = (&text[..begin], &text[begin + body.len()..]);
    let mut written =
        Written { negative: false, body: body.to_owned(), currency: None, percent: false, per: None };
    let bracket = before_number(trim(before), &mut written)?;
    behind_number(behind, bracket, &mut written)?;
    Some(written)
}

/// Reads what stands before; whether a bracket was opened.
fn before_number(before: &str, written: &mut Written) -> Option<bool> {
    let mut bracket = false;
    let mut rest = before.to_owned();
    for sign in ['(', '-', '−', '–', '+'] {
        if rest.contains(sign) {
            rest = rest.replacen(sign, "", 1);
            bracket |= sign == '(';
            written.negative |= sign != '+';
        }
    }
    let rest = trim(&rest);
    if !rest.is_empty() {
        currency_of(rest)?;
        written.currency = Some(rest.to_owned());
    }
    Some(bracket)
}

/// Reads what stands behind: a stroke for no cents, a sign, percent, a bracket, a currency, what it is for.
fn behind_number(behind: &str, bracket: bool, written: &mut Written) -> Option<()> {
    let dashes = |c: char| matches!(c, '-' | '–' | '—' | '−');
    let mut rest = trim(behind);
    if let Some(cut) = rest.strip_prefix([',', '.']) {
        // "12.–" and "12,-" are twelve and no cents.
        let cut = trim(cut);
        rest = trim(cut.trim_start_matches(dashes));
        if cut == rest && !rest.is_empty() {
            return None;
        }
    } else if let Some(cut) = rest.strip_prefix(dashes) {
        rest = trim(cut);
        written.negative = true;
        if rest.starts_with(|c: char| c.is_ascii_digit()) {
            return None;
        }
    }
    if bracket {
        rest = match rest.split_once(')') {
            Some(("", behind)) => trim(behind),
            Some((inside, "")) => trim(inside),
            _ => return None,
        };
    }
    if let Some(cut) = rest.strip_prefix('%') {
        written.percent = true;
        rest = trim(cut);
    }
    let stroke = rest.find('/');
    let word = ["per ", "pro ", "je ", "par ", "por ", "à "]
        .iter()
        .filter_map(|w| {
            rest.to_lowercase()
                .find(w)
                .filter(|at| *at == 0 || rest[..*at].ends_with(' '))
                .map(|at| (at, w.len()))
        })
        .min();
    let (sign, per) = match (stroke, word) {
        (Some(at), _) => (&rest[..at], Some(&rest[at + 1..])),
        (None, Some((at, length))) => (&rest[..at], rest.get(at + length..)),
        (None, None) => (rest, None),
    };
    written.per = per.map(|p| trim(p).to_owned()).filter(|p| !p.is_empty());
    let sign = trim(sign);
    if !sign.is_empty() {
        if written.currency.is_some() {
            return None;
        }
        currency_of(sign)?;
        written.currency = Some(sign.to_owned());
    }
    Some(())
}

/// What one number says about the mark before decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Says {
    /// It can only be read with this mark.
    Only(DecimalMark),
    /// It reads the same with both.
    Same,
    /// It reads differently with each: `1.234`.
    Open(DecimalMark),
    /// It cannot be read with either.
    Neither,
}

fn is_apostrophe(c: char) -> bool {
    matches!(c, '\'' | '’')
}

fn figures(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())
}

/// Whether figures are grouped by threes, or as in India by a three and twos before it.
fn grouped(parts: &[&str]) -> bool {
    let [first, middle @ .., last] = parts else { return false };
    let threes = first.len() <= 3 && middle.iter().all(|p| p.len() == 3);
    let twos = first.len() <= 2 && middle.iter().all(|p| p.len() == 2);
    figures(first) && last.len() == 3 && parts.iter().all(|p| figures(p)) && (threes || twos)
}

/// The whole part without its grouping, when it is grouped as it should be by one mark.
fn ungroup(whole: &str, mark: char) -> Option<String> {
    let other = |c: char| is_apostrophe(c) || is_space(c);
    let signs: Vec<char> = whole.chars().filter(|c| !c.is_ascii_digit()).collect();
    let Some(first) = signs.first() else { return figures(whole).then(|| whole.to_owned()) };
    let alike = |c: &char| {
        c == first || (is_apostrophe(*c) && is_apostrophe(*first)) || (is_space(*c) && is_space(*first))
    };
    if !(*first == mark || other(*first)) || !signs.iter().all(alike) {
        return None;
    }
    let parts: Vec<&str> = whole.split(|c: char| !c.is_ascii_digit()).collect();
    grouped(&parts).then(|| parts.concat())
}

/// Whether thousands are grouped by something that is never a decimal mark.
fn groups_by_other(body: &str) -> bool {
    body.chars().any(|c| is_apostrophe(c) || is_space(c))
}

/// Whether the mark before decimals is beyond doubt: thousands are grouped by something else, or nothing is before it.
pub fn is_clear(body: &str, mark: DecimalMark) -> bool {
    let whole = body.split(mark.sign()).next().unwrap_or("");
    whole.is_empty() || whole.starts_with('0') || !figures(whole)
}

/// A number with its thousands grouped.
pub fn grouped_by(number: Decimal, mark: DecimalMark) -> String {
    let plain = number.abs().to_string();
    let (whole, places) = plain.split_once('.').map_or((plain.as_str(), None), |(w, p)| (w, Some(p)));
    let mut out = if number.is_sign_negative() { "-".to_owned() } else { String::new() };
    for (i, figure) in whole.chars().enumerate() {
        if i > 0 && (whole.len() - i).is_multiple_of(3) {
            out.push(mark.grouping());
        }
        out.push(figure);
    }
    if let Some(places) = places {
        out.push(mark.sign());
        out.push_str(places);
    }
    out
}

/// Reads figures with a mark before the decimals.
pub fn read(body: &str, mark: DecimalMark) -> Option<Decimal> {
    let (whole, places) = match body.split_once(mark.sign()) {
        Some((whole, places)) => (whole, Some(places)),
        None => (body, None),
    };
    let whole = if whole.is_empty() { "0".to_owned() } else { ungroup(whole, mark.grouping())? };
    match places {
        None => Decimal::from_str_exact(&whole).ok(),
        Some(places) if figures(places) => Decimal::from_str_exact(&format!("{whole}.{places}")).ok(),
        Some(_) => None,
    }
}

/// What a number says about the marks of its column.
pub fn says(body: &str) -> Says {
    match (read(body, DecimalMark::Point), read(body, DecimalMark::Comma)) {
        (Some(a), Some(b)) if a == b => Says::Same,
        // What stands in it once is the decimal mark, or else groups.
        (Some(_), Some(_)) if groups_by_other(body) => Says::Neither,
        (Some(_), Some(_)) => {
            let mark = if body.contains('.') { DecimalMark::Point } else { DecimalMark::Comma };
            // Nobody groups nothing: "0.125" has decimals.
            if body.starts_with('0') { Says::Only(mark) } else { Says::Open(mark) }
        }
        (Some(_), None) => Says::Only(DecimalMark::Point),
        (None, Some(_)) => Says::Only(DecimalMark::Comma),
        (None, None) => Says::Neither,
    }
}

/// What the numbers of a column say together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Settled {
    /// This mark stands before decimals.
    Mark(DecimalMark),
    /// There is no number that reads differently.
    NoMatter,
    /// Nothing settles numbers such as this one.
    Open(String),
    /// Numbers are written both ways: one with a point before decimals, one with a comma.
    Mixed(String, String),
}

/// Settles which mark stands before decimals from all numbers of a column.
pub fn settle<'a>(bodies: impl Iterator<Item = &'a str>) -> Settled {
    let (mut point, mut comma) = (None, None);
    let mut open: Option<(&str, DecimalMark)> = None;
    let mut open_marks = (false, false);
    let mut other_groups = false;
    for body in bodies {
        other_groups |= groups_by_other(body);
        match says(body) {
            Says::Only(DecimalMark::Point) => point = point.or(Some(body)),
            Says::Only(DecimalMark::Comma) => comma = comma.or(Some(body)),
            Says::Open(mark) => {
                open = open.or(Some((body, mark)));
                open_marks.0 |= mark == DecimalMark::Point;
                open_marks.1 |= mark == DecimalMark::Comma;
            }
            Says::Same | Says::Neither => {}
        }
    }
    match (point, comma, open) {
        (Some(a), Some(b), _) => Settled::Mixed(a.to_owned(), b.to_owned()),
        (Some(_), None, _) => Settled::Mark(DecimalMark::Point),
        (None, Some(_), _) => Settled::Mark(DecimalMark::Comma),
        (None, None, None) => Settled::NoMatter,
        // Where thousands are grouped by spaces or apostrophes, the one mark there is stands before decimals.
        (None, None, Some((_, mark))) if other_groups && open_marks.0 != open_marks.1 => Settled::Mark(mark),
        (None, None, Some((body, _))) => Settled::Open(body.to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(text: &str, mark: DecimalMark) -> Option<String> {
        let written = take_apart(text)?;
        let number = read(&written.body, mark)?;
        Some(if written.negative { -number } else { number }.to_string())
    }

    /// Forms of CLDR 44 for the locales named.
    #[test]
    fn numbers_are_read_as_locales_write_them() {
        use DecimalMark::{Comma, Point};
        for (text, mark, number) in [
            ("1.234,50 €", Comma, "1234.50"),                  // de
            ("1.234.567,89\u{a0}€", Comma, "1234567.89"),      // de, es
            ("$1,234.50", Point, "1234.50"),                   // en
            ("1,234,567.89", Point, "1234567.89"),             // en
            ("1\u{202f}234,50\u{a0}€", Comma, "1234.50"),      // fr
            ("1\u{202f}234\u{202f}567,5", Comma, "1234567.5"), // fr
            ("CHF 1'234.50", Point, "1234.50"),                // de-CH
            ("CHF 1’234’567.05", Point, "1234567.05"),         // de-CH, older
            ("₹12,34,567.89", Point, "1234567.89"),            // en-IN
            ("₹ 1,00,000", Point, "100000"),                   // en-IN
            ("12,5 %", Comma, "12.5"),
            ("-12.50", Point, "-12.50"),
            ("(12.50)", Point, "-12.50"),
            ("12,50-", Comma, "-12.50"),
            ("12.–", Point, "12"),
            ("149,-", Comma, "149"),
            ("149,-- EUR", Comma, "149"),
            (",50", Comma, "0.50"),
            ("EUR 7", Comma, "7"),
            ("0.125", Point, "0.125"),
            ("12,50 €/m²", Comma, "12.50"),
            ("12.50 USD per sq ft", Point, "12.50"),
        ] {
            assert_eq!(value(text, mark).as_deref(), Some(number), "{text}");
        }
    }

    #[test]
    fn what_is_written_wrong_is_not_read() {
        use DecimalMark::{Comma, Point};
        for (text, mark) in [
            ("1.23,50", Comma),
            ("1.2345,00", Comma),
            ("12.50", Comma),
            ("12,50", Point),
            ("1,23,45", Point),
            ("1 23", Point),
            ("1'23.50", Point),
            ("1,234 567.00", Point),
            ("6-8", Point),
            ("12 x 24", Point),
            ("12 apples", Point),
            ("1_000", Point),
            ("1e5", Point),
            ("", Point),
            ("about", Point),
            ("1.2.3", Point),
            ("£12 €", Point),
        ] {
            assert_eq!(value(text, mark), None, "{text}");
        }
    }

    #[test]
    fn signs_and_what_a_price_is_for_are_kept_apart() {
        let w = take_apart("12,50 € / 100 Stk").unwrap();
        assert_eq!(
            (w.body.as_str(), w.currency.as_deref(), w.per.as_deref()),
            ("12,50", Some("€"), Some("100 Stk"))
        );
        let w = take_apart("Fr. 12.50").unwrap();
        assert_eq!((w.body.as_str(), w.currency.as_deref()), ("12.50", Some("Fr.")));
        assert_eq!(currency_of("€"), Some(vec!["EUR"]));
        assert!(currency_of("$").unwrap().contains(&"CAD"));
        assert_eq!(currency_of("Stk"), None);
    }

    #[test]
    fn feet_are_no_forints() {
        assert_eq!(currency_of("Ft"), Some(vec!["HUF"]));
        assert!(take_apart("12 ft").is_none() && take_apart("12 FT").is_none());
        for (heading, sign) in [
            ("Price/sq ft", None),
            ("Price/Sq Ft", None),
            ("Price per Sq. Ft", None),
            ("Price/Ft", None),
            ("Price (EUR)/Sq Ft", Some("EUR")),
            ("Price (Ft)", Some("Ft")),
            ("Price in Ft / each", Some("Ft")),
        ] {
            assert_eq!(currency_in(heading), sign, "{heading}");
        }
    }

    #[test]
    fn a_column_settles_what_one_number_leaves_open() {
        use DecimalMark::{Comma, Point};
        let of = |list: &[&str]| settle(list.iter().copied());
        assert_eq!(of(&["1.234", "12,50"]), Settled::Mark(Comma));
        assert_eq!(of(&["1.234", "12.5"]), Settled::Mark(Point));
        assert_eq!(of(&["1.234.567", "1.234"]), Settled::Mark(Comma));
        assert_eq!(of(&["1,234", "0,125"]), Settled::Mark(Comma));
        assert_eq!(of(&["12,34,567", "1,234"]), Settled::Mark(Point));
        assert_eq!(of(&["1 200", "12.500"]), Settled::Mark(Point));
        assert_eq!(of(&["1'200", "12.500"]), Settled::Mark(Point));
        assert_eq!(of(&["12", "1200"]), Settled::NoMatter);
        assert_eq!(of(&["1.234", "12"]), Settled::Open("1.234".to_owned()));
        assert_eq!(of(&["12.50", "12,50"]), Settled::Mixed("12.50".to_owned(), "12,50".to_owned()));
    }

    proptest::proptest! {
        /// Whatever is read with a mark is the number that was written with it.
        #[test]
        fn what_is_written_is_read(cents in 0_i64..10_000_000_000, comma in proptest::bool::ANY, group in 0_usize..5) {
            let mark = if comma { DecimalMark::Comma } else { DecimalMark::Point };
            let sign = [mark.grouping(), ' ', '\u{202f}', '\'', '’'][group];
            let digits = (cents / 100).to_string();
            let mut whole = String::new();
            for (i, c) in digits.chars().enumerate() {
                if i > 0 && (digits.len() - i).is_multiple_of(3) { whole.push(sign); }
                whole.push(c);
            }
            let text = format!("{whole}{}{:02}", mark.sign(), cents % 100);
            proptest::prop_assert_eq!(read(&text, mark), Some(Decimal::new(cents, 2)));
            let other = if comma { DecimalMark::Point } else { DecimalMark::Comma };
            proptest::prop_assert_eq!(read(&text, other), None, "two decimals are never a group");
        }

        #[test]
        fn no_text_upsets_it(text in ".{0,30}") {
            if let Some(w) = take_apart(&text) {
                let _ = (says(&w.body), read(&w.body, DecimalMark::Point));
            }
        }
    }
}
