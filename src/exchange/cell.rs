//! Cells: how values are written into them, and how text is kept from becoming a formula.

use crate::model::{Currency, Money};
use rust_decimal::Decimal;
use std::borrow::Cow;

/// Whether a spreadsheet might take a cell that begins so for a formula (OWASP, "CSV Injection"): also the wide forms
/// of the signs, and the control characters that some programs skip.
fn begins_formula(text: &str) -> bool {
    text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠'])
}

/// The text with an apostrophe before it where it could be taken for a formula.
///
/// Text that looks like the outcome of this gets one more, so that [`unguard`] always gives the text back.
pub fn guard(text: &str) -> Cow<'_, str> {
    if begins_formula(text.trim_start_matches('\'')) {
        Cow::Owned(format!("'{text}"))
    } else {
        Cow::Borrowed(text)
    }
}

/// The text as it was before [`guard`].
pub fn unguard(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(rest) if begins_formula(rest.trim_start_matches('\'')) => rest,
        _ => text,
    }
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
        for text in
            ["=1+1", "-5 degrees", "@home", "+", "\t=x", "'=x", "''=x", "'", "'tis", "plain", "", "＝x"]
        {
            let guarded = guard(text);
            assert!(!begins_formula(&guarded), "{guarded}");
            assert_eq!(unguard(&guarded), text);
        }
        assert_eq!(guard("=1+1"), "'=1+1");
        assert_eq!(guard("'tis"), "'tis");
        assert_eq!(unguard("'tis"), "'tis");
    }

    /// The vectors of OWASP, "CSV Injection", and the example of RFC 4180, section 2, rule 7.
    #[test]
    fn guarded_cells_are_quoted_as_published() {
        let written = |cells: &[&str]| {
            let mut out = String::new();
            push_record(&mut out, cells.iter().map(|c| guard(c)));
            out
        };
        assert_eq!(written(&["=1+2\";=1+2"]), "\"'=1+2\"\";=1+2\"\r\n");
        assert_eq!(written(&["=1+2'\" ;,=1+2"]), "\"'=1+2'\"\" ;,=1+2\"\r\n");
        assert_eq!(written(&["aaa", "b\"bb", "ccc"]), "aaa,\"b\"\"bb\",ccc\r\n");
    }

    proptest::proptest! {
        #[test]
        fn no_text_begins_a_formula_and_every_text_comes_back(text in "['=+@\\t\\r\\n＝-]{0,4}.{0,6}") {
            let guarded = guard(&text);
            proptest::prop_assert!(!begins_formula(&guarded));
            proptest::prop_assert_eq!(unguard(&guarded), text.as_str());
        }
    }

    #[test]
    fn amounts_keep_all_their_digits() {
        let plain = |text: &str| money(Money::new(text.parse().unwrap()), Currency::USD);
        assert_eq!(plain("12"), "12.00");
        assert_eq!(plain("0.1250"), "0.125");
    }
}
