//! Cells: how values are written into them, and how text is kept from becoming a formula.

use crate::exchange::typed::spaces::is_space;
use crate::model::{Currency, Money};
use rust_decimal::Decimal;
use std::borrow::Cow;

/// What parts cells for one program or another. Behind it a cell begins for these, whatever quotation marks stand around:
/// where commas are the mark before decimals, spreadsheets part cells at `;`.
const PARTS: [char; 4] = [';', '\t', '\r', '\n'];

/// Whether a spreadsheet might take a cell that begins so for a formula (OWASP, "CSV Injection"): also the wide forms of
/// the signs, and behind spaces of any kind, apostrophes and control characters, which programs skip.
fn begins_formula(cell: &str, is_first: bool) -> bool {
    let skipped = |c: char| {
        c == '\'' || !is_first && c == '"' || (is_space(c) || c.is_control()) && !PARTS.contains(&c)
    };
    let rest = cell.trim_start_matches(skipped);
    let at_edge = is_first && rest.starts_with(['\t', '\r', '\n']);
    at_edge || rest.starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠'])
}

/// Where a cell may begin in a text, the text's own beginning first.
fn beginnings(text: &str) -> impl Iterator<Item = usize> {
    std::iter::once(0).chain(text.match_indices(PARTS).map(|(at, sign)| at + sign.len()))
}

/// The text with an apostrophe before each place where a formula could begin.
///
/// Text that looks like the outcome of this gets one more, so that [`unguard`] always gives the text back.
pub fn guard(text: &str) -> Cow<'_, str> {
    let mut guarded = String::new();
    let mut done = 0;
    for at in beginnings(text).filter(|at| begins_formula(&text[*at..], *at == 0)) {
        guarded.push_str(&text[done..at]);
        guarded.push('\'');
        done = at;
    }
    if guarded.is_empty() {
        return Cow::Borrowed(text);
    }
    guarded.push_str(&text[done..]);
    Cow::Owned(guarded)
}

/// The text as it was before [`guard`].
pub fn unguard(text: &str) -> Cow<'_, str> {
    let mut plain = String::new();
    let mut done = 0;
    for at in beginnings(text) {
        if text[at..].strip_prefix('\'').is_some_and(|rest| begins_formula(rest, at == 0)) {
            plain.push_str(&text[done..at]);
            done = at + 1;
        }
    }
    if done == 0 {
        return Cow::Borrowed(text);
    }
    plain.push_str(&text[done..]);
    Cow::Owned(plain)
}

/// An amount with the currency's minor digits, or with more where it has more: a unit price may be a tenth of a cent.
pub fn money(amount: Money, currency: Currency) -> String {
    let exact = amount.amount().normalize();
    if exact.scale() > currency.minor_digits() { exact.to_string() } else { amount.to_plain(currency) }
}

/// A number without trailing zeros.
pub fn number(value: Decimal) -> String {
    value.normalize().to_string()
}

/// Anything that may be missing; empty then.
pub fn maybe(value: Option<impl ToString>) -> String {
    value.map_or(String::new(), |v| v.to_string())
}

/// `yes` or `no`.
pub fn yes_no(value: bool) -> String {
    if value { "yes" } else { "no" }.to_owned()
}

/// The word of a value in a list of words.
pub fn word<T: PartialEq>(all: &[(&'static str, T)], value: &T) -> String {
    all.iter().find(|(_, known)| known == value).map_or("", |(word, _)| word).to_owned()
}

/// Adds a record in the manner of RFC 4180: cells with a comma, a quotation mark or a line break stand in quotation
/// marks, lines end with CR LF.
pub fn push_record<T: AsRef<str>>(out: &mut String, cells: impl IntoIterator<Item = T>) {
    for (i, cell) in cells.into_iter().enumerate() {
        if i > 0 {
            out.push(',');
        }
        let cell = cell.as_ref();
        let spaced = cell.starts_with(' ') || cell.ends_with(' ');
        if spaced || cell.contains([',', '"', '\r', '\n']) {
            out.push('"');
            out.push_str(&cell.replace('"', "\"\""));
            out.push('"');
        } else {
            out.push_str(cell);
        }
    }
    out.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_are_guarded_and_come_back() {
        for (text, guarded) in [
            ("=1+1", "'=1+1"),
            ("-5 degrees", "'-5 degrees"),
            ("@home", "'@home"),
            ("+", "'+"),
            ("\t=x", "'\t'=x"),
            ("'=x", "''=x"),
            ("''=x", "'''=x"),
            ("＝x", "'＝x"),
            (" =x", "' =x"),
            ("\u{a0}=x", "'\u{a0}=x"),
            ("\u{feff}\u{200b}' +x", "'\u{feff}\u{200b}' +x"),
            ("\u{1}@x", "'\u{1}@x"),
            ("a;=x;\"+y", "a;'=x;'\"+y"),
            ("a\n- b", "a\n'- b"),
            ("'", "'"),
            ("'tis", "'tis"),
            ("it's 5-8; not 'so", "it's 5-8; not 'so"),
            ("\"-\"", "\"-\""),
            ("", ""),
        ] {
            assert_eq!((&*guard(text), &*unguard(guarded)), (guarded, text));
        }
        assert_eq!(unguard("'tis"), "'tis");
    }

    fn written(cells: &[&str]) -> String {
        let mut out = String::new();
        push_record(&mut out, cells.iter().map(|c| guard(c)));
        out
    }

    /// The vectors of OWASP, "CSV Injection", and the example of RFC 4180, section 2, rule 7. OWASP leaves the second
    /// formula of the first vector as it is, which a program that parts cells at `;` would read.
    #[test]
    fn guarded_cells_are_quoted_as_published() {
        assert_eq!(written(&["=1+2\";=1+2"]), "\"'=1+2\"\";'=1+2\"\r\n");
        assert_eq!(written(&["=1+2'\" ;,=1+2"]), "\"'=1+2'\"\" ;,=1+2\"\r\n");
        assert_eq!(written(&["aaa", "b\"bb", "ccc"]), "aaa,\"b\"\"bb\",ccc\r\n");
    }

    proptest::proptest! {
        /// Read by another reader (the `csv` crate) that parts cells at commas, semicolons or tabs, with quotation marks
        /// or without, no cell begins a formula; and every text comes back.
        #[test]
        fn no_text_begins_a_formula_and_every_text_comes_back(
            texts in proptest::collection::vec("[a'=+@\t\r\n; \"\u{a0}\u{feff}\u{7}＝,-]{0,8}.{0,4}", 1..4),
        ) {
            for text in &texts {
                let guarded = guard(text);
                proptest::prop_assert_eq!(unguard(&guarded), text.as_str());
            }
            let line = written(&texts.iter().map(String::as_str).collect::<Vec<_>>());
            for (parts, quoting) in [(b',', true), (b';', true), (b';', false), (b'\t', true), (b'\t', false)] {
                let mut reader = csv::ReaderBuilder::new();
                let reader = reader.has_headers(false).flexible(true).delimiter(parts).quoting(quoting);
                for record in reader.from_reader(line.as_bytes()).records().map_while(Result::ok) {
                    for cell in &record {
                        let skipped = |c: char| c.is_whitespace() || c == '\u{feff}';
                        let formula = cell.trim_start_matches(skipped).starts_with(['=', '+', '-', '@', '＝']);
                        proptest::prop_assert!(!formula, "{:?} in {:?}", cell, line);
                    }
                }
            }
        }
    }

    #[test]
    fn amounts_keep_all_their_digits() {
        let plain = |text: &str| money(Money::new(text.parse().unwrap()), Currency::USD);
        assert_eq!(plain("12"), "12.00");
        assert_eq!(plain("0.1250"), "0.125");
    }
}
