//! Headings and words of lists, which are data, and what they mean.

use crate::exchange::typed::number;
use crate::exchange::typed::spaces::one_line;
use crate::model::MapField as F;
use crate::model::MapInto;
use serde::Deserialize;
use std::collections::HashMap;
use std::sync::LazyLock;

/// Words by what they are for; the file says what each list holds.
#[derive(Debug, Default, Deserialize)]
pub(super) struct Words {
    pub(super) headings: HashMap<F, Vec<String>>,
    selection_names: Vec<String>,
    pub(super) gross: Vec<String>,
    pub(super) sums: Vec<String>,
    pub(super) net: Vec<String>,
    pub(super) list: Vec<String>,
    pub(super) price: Vec<String>,
    pub(super) other_prices: Vec<String>,
    pub(super) currency_names: HashMap<String, String>,
    pub(super) leaves: Vec<String>,
    totals: Vec<String>,
    each: Vec<String>,
    same_units: Vec<Vec<String>>,
    yes: Vec<String>,
    no: Vec<String>,
    pub(super) chosen: Vec<String>,
    pub(super) leaning: Vec<String>,
    pub(super) candidate: Vec<String>,
}

/// All of them, read once.
pub(super) static WORDS: LazyLock<Words> = LazyLock::new(|| ron::from_str(TEXT).unwrap_or_default());

const TEXT: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/assets/words/lists.ron"));

/// Words of a heading: small letters, without signs and currencies.
pub(super) fn plain(heading: &str) -> String {
    let lower = one_line(heading).to_lowercase();
    let words = lower.split(|c: char| !c.is_alphanumeric());
    let keep = |w: &&str| !w.is_empty() && *w != "ft" && number::currency_of(w).is_none();
    words.filter(keep).collect::<Vec<_>>().join(" ")
}

pub(super) fn has_words(text: &str, words: &[String]) -> bool {
    let padded = format!(" {text} ");
    words.iter().any(|w| padded.contains(&format!(" {w} ")))
}

/// Whether a heading is of prices with tax in them.
pub(super) fn is_gross(heading: &str) -> bool {
    has_words(&plain(heading), &WORDS.gross)
}

/// How well a heading fits a field; 0 is not at all.
pub(super) fn fit(heading: &str, field: F, into: MapInto) -> u32 {
    // What a price is for is no part of its name: `Price per box` is a price, and neither a pack nor what it is for.
    let measured = super::prices::measure(heading).is_some();
    let text = plain(&super::prices::without_measure(heading));
    if text.is_empty()
        || !field.goes_with(into)
        || (measured && !matches!(field, F::UnitPrice | F::Allowance))
    {
        return 0;
    }
    if field == F::UnitPrice && (has_words(&text, &WORDS.gross) || has_words(&text, &WORDS.sums)) {
        return 0;
    }
    let own = WORDS
        .headings
        .get(&field)
        .into_iter()
        .flatten()
        .enumerate()
        .map(|(at, phrase)| fit_phrase(&text, phrase, at));
    let extra: &[String] = if field == F::Selection { &WORDS.selection_names } else { &[] };
    // In a list of selections a name is that of the selection, unless there is a better one.
    let extra = extra.iter().enumerate().map(|(at, phrase)| fit_phrase(&text, phrase, 20 + at));
    let best = own.chain(extra).max().unwrap_or(0);
    if field == F::Name && into == MapInto::Selections { best.saturating_sub(100) } else { best }
}

fn fit_phrase(text: &str, phrase: &str, at: usize) -> u32 {
    let place = u32::try_from(at.min(40)).unwrap_or(40);
    if text == phrase {
        return 300 - place;
    }
    let padded = format!(" {text} ");
    if phrase.len() < 3 {
        return 0;
    }
    if padded.starts_with(&format!(" {phrase} ")) {
        return 200 - place;
    }
    if padded.contains(&format!(" {phrase} ")) { 100 - place } else { 0 }
}

/// Whether a heading is known at all, so that the row it stands in is likely the one with the headings.
pub fn is_known(heading: &str) -> bool {
    let sure = |field: &F| {
        [MapInto::Prices, MapInto::Selections].into_iter().any(|into| fit(heading, *field, into) >= 150)
    };
    let text = plain(heading);
    WORDS.headings.keys().any(sure) || has_words(&text, &WORDS.gross) || has_words(&text, &WORDS.sums)
}

/// Whether a text begins a row of sums.
pub(super) fn is_total(text: &str) -> bool {
    let text = plain(text);
    WORDS.totals.iter().any(|t| {
        text == *t
            || text.strip_prefix(t.as_str()).is_some_and(|rest| {
                rest.starts_with(' ')
                    && !rest.trim().is_empty()
                    && rest.trim().chars().all(|c| c.is_ascii_digit() || c == ' ')
            })
    })
}

/// Yes or no in the words of four languages, or by a cross.
pub(super) fn yes_no(text: &str) -> Option<bool> {
    let text = one_line(text).to_lowercase();
    let among = |words: &[String]| words.contains(&text);
    if among(&WORDS.yes) { Some(true) } else { among(&WORDS.no).then_some(false) }
}

/// Whether a heading is of days on which things leave their supplier.
pub(super) fn is_of_leaving(heading: &str) -> bool {
    has_words(&plain(heading), &WORDS.leaves)
}

/// Whether a word is a measure by which things are sold, and no single piece.
pub(super) fn is_measure(text: &str) -> bool {
    let known = unit(text);
    text.trim().chars().count() > 1 && WORDS.same_units.iter().any(|list| list.first() == Some(&known))
}

/// Whether a heading tells what its numbers are, and that they are no prices.
pub(super) fn is_apart(heading: &str) -> bool {
    let text = plain(heading);
    let fields = [F::Quantity, F::Waste, F::Pack, F::Article, F::Key, F::Name];
    let of = |field: &F| {
        fit(heading, *field, MapInto::Selections) > 0 || fit(heading, *field, MapInto::Prices) > 0
    };
    fields.iter().any(of) || has_words(&text, &WORDS.gross) || has_words(&text, &WORDS.sums)
}

/// A unit in the word by which units are compared.
pub(super) fn unit(text: &str) -> String {
    let text = one_line(text).to_lowercase();
    let bare = text.trim_end_matches('.').replace('.', " ");
    let bare = one_line(&bare);
    if WORDS.each.contains(&bare) {
        return "each".to_owned();
    }
    let same = WORDS.same_units.iter().find(|list| list.contains(&bare));
    same.and_then(|list| list.first()).cloned().unwrap_or(bare)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn best(heading: &str, into: MapInto) -> Option<F> {
        let all = F::of(into).map(|f| (fit(heading, f, into), f)).filter(|(n, _)| *n > 0);
        all.max_by_key(|(n, _)| *n).map(|(_, f)| f)
    }

    #[test]
    fn the_words_can_be_read_and_no_heading_is_of_two_fields() {
        let words: Words = ron::from_str(TEXT).unwrap();
        for into in [MapInto::Prices, MapInto::Selections] {
            let mut seen: HashMap<&String, F> = HashMap::new();
            for field in F::of(into) {
                for heading in words.headings.get(&field).into_iter().flatten() {
                    assert_eq!(*heading, plain(heading), "as headings are compared");
                    let before = seen.insert(heading, field);
                    // What a name is called is settled by what the list is taken for.
                    let both = [before, Some(field)]
                        .iter()
                        .all(|f| matches!(f, Some(F::Name | F::Selection | F::Option)));
                    assert!(before.is_none() || both, "`{heading}` is of {before:?} and {field:?}");
                }
            }
        }
        for list in words.same_units.iter().chain([&words.each, &words.gross, &words.sums, &words.totals]) {
            assert!(list.iter().all(|w| *w == w.to_lowercase()), "{list:?}");
        }
        let all = |lists: &[&Vec<String>]| lists.iter().flat_map(|l| l.iter().cloned()).collect::<Vec<_>>();
        let unlike =
            |words: Vec<String>| words.iter().collect::<std::collections::HashSet<_>>().len() == words.len();
        assert!(unlike(all(&[&words.yes, &words.no])));
        assert!(unlike(all(&[&words.chosen, &words.leaning, &words.candidate])));
        assert!(unlike(words.same_units.iter().flatten().chain(&words.each).cloned().collect()));
    }

    #[test]
    fn headings_are_known_in_four_languages() {
        for (heading, field) in [
            ("Artikelnummer", F::Article),
            ("Art.-Nr.", F::Article),
            ("Bezeichnung", F::Name),
            ("Einzelpreis", F::UnitPrice),
            ("Preis netto (EUR)", F::UnitPrice),
            ("EP €", F::Key),
            ("Lieferzeit", F::Lead),
            ("Lieferzeit (Wochen)", F::Lead),
            ("VPE", F::Pack),
            ("Mengeneinheit", F::Unit),
            ("Rabatt %", F::Discount),
            ("Liefertermin", F::PromisedOn),
            ("ETA", F::PromisedOn),
            ("Expected", F::PromisedOn),
            ("Est. arrival", F::PromisedOn),
            ("Arrives on", F::PromisedOn),
            ("Item #", F::Name),
            ("SKU", F::Article),
            ("Unit Price ($)", F::UnitPrice),
            ("Lead time, weeks", F::Lead),
            ("Référence", F::Article),
            ("Désignation", F::Name),
            ("Prix unitaire HT", F::UnitPrice),
            ("Délai de livraison", F::Lead),
            ("Conditionnement", F::Pack),
            ("Código", F::Article),
            ("Descripción", F::Name),
            ("Precio unitario", F::UnitPrice),
            ("Plazo de entrega", F::Lead),
        ] {
            let found = best(heading, MapInto::Prices);
            if heading == "EP €" {
                assert_eq!(found, None, "{heading}");
            } else {
                assert_eq!(found, Some(field), "{heading}");
            }
        }
        for (heading, field) in [
            ("Raum", F::Room),
            ("Auswahl", F::Selection),
            ("Item", F::Selection),
            ("Budget", F::Allowance),
            ("Entscheiden bis", F::DecideOn),
            ("Lieferant", F::Supplier),
            ("Menge", F::Quantity),
            ("Produkt", F::Option),
            ("Farbe", F::Finish),
            ("Einzelpreis", F::UnitPrice),
        ] {
            assert_eq!(best(heading, MapInto::Selections), Some(field), "{heading}");
        }
    }

    #[test]
    fn prices_with_tax_and_sums_are_no_unit_prices() {
        for heading in
            ["Bruttopreis", "Preis inkl. MwSt.", "Prix TTC", "Precio con IVA", "Total", "Gesamtpreis"]
        {
            assert_eq!(fit(heading, F::UnitPrice, MapInto::Prices), 0, "{heading}");
            assert!(is_known(heading), "{heading}");
        }
        assert!(is_gross("Preis inkl. MwSt.") && !is_gross("Preis"));
    }

    #[test]
    fn rows_of_sums_and_units_are_known() {
        assert!(is_total("Summe:") && is_total("Sub-total") && is_total("MwSt. 19 %") && is_total("TVA 20%"));
        assert!(!is_total("Total station") && !is_total("Summer house") && !is_total("Tax stamp"));
        assert_eq!(unit("Stk."), unit("each"));
        assert_eq!(unit("qm"), unit("m2"));
        assert_ne!(unit("m²"), unit("sq ft"));
        assert_eq!(yes_no("Ja"), Some(true));
        assert_eq!(yes_no("vielleicht"), None);
    }
}
