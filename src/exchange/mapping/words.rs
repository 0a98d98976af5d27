//! Headings and words of lists in English, German, French and Spanish, and what they mean.
//!
//! The words are those of the trades; from memory.

use super::headings::HEADINGS;
use crate::exchange::typed::number;
use crate::exchange::typed::spaces::one_line;
use crate::model::MapField as F;
use crate::model::MapInto;

/// Headings of a list of selections that mean something else in a list of prices.
const SELECTION_NAMES: &[&str] = &["name", "bezeichnung", "description", "désignation", "descripción"];

/// Words of prices that have tax in them.
const GROSS: [&str; 12] = [
    "brutto",
    "bruttopreis",
    "gross",
    "ttc",
    "inkl mwst",
    "incl mwst",
    "incl vat",
    "inc vat",
    "incl tax",
    "iva incluido",
    "con iva",
    "inkl ust",
];

/// Words of sums over a line.
const SUMS: [&str; 12] = [
    "total",
    "gesamt",
    "gesamtpreis",
    "line total",
    "line amount",
    "amount",
    "betrag",
    "montant",
    "importe",
    "positionspreis",
    "summe",
    "extended",
];

/// What begins a row of sums.
const TOTALS: [&str; 22] = [
    "total",
    "totals",
    "subtotal",
    "sub total",
    "grand total",
    "sum",
    "summe",
    "gesamt",
    "gesamtsumme",
    "zwischensumme",
    "endsumme",
    "nettosumme",
    "somme",
    "sous total",
    "total ht",
    "total ttc",
    "total general",
    "importe total",
    "tax",
    "mwst",
    "tva",
    "iva",
];

/// Words of a heading: small letters, without signs and currencies.
pub(super) fn plain(heading: &str) -> String {
    let lower = one_line(heading).to_lowercase();
    let words = lower.split(|c: char| !c.is_alphanumeric());
    let keep = |w: &&str| !w.is_empty() && number::currency_of(w).is_none();
    words.filter(keep).collect::<Vec<_>>().join(" ")
}

fn has_words(text: &str, words: &[&str]) -> bool {
    let padded = format!(" {text} ");
    words.iter().any(|w| padded.contains(&format!(" {w} ")))
}

/// Whether a heading is of prices with tax in them.
pub(super) fn is_gross(heading: &str) -> bool {
    has_words(&plain(heading), &GROSS)
}

/// How well a heading fits a field; 0 is not at all.
pub(super) fn fit(heading: &str, field: F, into: MapInto) -> u32 {
    let text = plain(heading);
    if text.is_empty() || !field.goes_with(into) {
        return 0;
    }
    if field == F::UnitPrice && (has_words(&text, &GROSS) || has_words(&text, &SUMS)) {
        return 0;
    }
    let known = HEADINGS.iter().find(|(f, _)| *f == field).map_or(&[] as &[&str], |(_, list)| list);
    let own = known.iter().enumerate().map(|(at, phrase)| fit_phrase(&text, phrase, at));
    let extra: &[&str] = if field == F::Selection { SELECTION_NAMES } else { &[] };
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
pub(super) fn is_known(heading: &str) -> bool {
    let sure = |field: &F| {
        [MapInto::Prices, MapInto::Selections].into_iter().any(|into| fit(heading, *field, into) >= 150)
    };
    let text = plain(heading);
    HEADINGS.iter().any(|(field, _)| sure(field)) || has_words(&text, &GROSS) || has_words(&text, &SUMS)
}

/// Whether a text begins a row of sums.
pub(super) fn is_total(text: &str) -> bool {
    let text = plain(text);
    TOTALS.iter().any(|t| {
        text == *t
            || text.strip_prefix(t).is_some_and(|rest| {
                rest.starts_with(' ')
                    && !rest.trim().is_empty()
                    && rest.trim().chars().all(|c| c.is_ascii_digit() || c == ' ')
            })
    })
}

/// Yes or no in the words of four languages, or by a cross.
pub(super) fn yes_no(text: &str) -> Option<bool> {
    match one_line(text).to_lowercase().as_str() {
        "yes" | "y" | "true" | "1" | "x" | "✓" | "ja" | "j" | "wahr" | "oui" | "o" | "vrai" | "sí" | "si"
        | "s" | "verdadero" | "taxable" => Some(true),
        "no" | "n" | "false" | "0" | "nein" | "falsch" | "non" | "faux" | "falso" | "exempt" => Some(false),
        _ => None,
    }
}

/// Words for single pieces.
const EACH: [&str; 28] = [
    "each", "ea", "pc", "pcs", "piece", "pieces", "unit", "units", "stk", "stck", "stück", "st", "stueck",
    "pièce", "pièces", "pce", "pces", "unité", "unités", "u", "ud", "uds", "unidad", "unidades", "pieza",
    "piezas", "no", "nr",
];

/// Units that are the same in other words; the first of each is what they are compared by.
const SAME_UNITS: [&[&str]; 8] = [
    &[
        "m²",
        "m2",
        "qm",
        "sqm",
        "sq m",
        "square metre",
        "square meter",
        "quadratmeter",
        "mètre carré",
        "metro cuadrado",
    ],
    &["sq ft", "sqft", "sf", "ft²", "ft2", "square foot", "square feet"],
    &["m", "lfm", "lm", "meter", "metre", "mètre", "metro", "laufmeter", "ml"],
    &["ft", "lf", "lin ft", "linear foot", "linear feet", "feet", "foot"],
    &["box", "boxes", "karton", "ktn", "carton", "cartons", "caja", "cajas", "boîte"],
    &["pack", "packs", "paket", "pkg", "package", "packung", "paquet", "paquete", "pak", "vpe"],
    &["set", "sets", "satz", "garnitur", "jeu", "juego"],
    &["pair", "pairs", "paar", "paire", "par", "pr"],
];

/// A unit in the word by which units are compared.
pub(super) fn unit(text: &str) -> String {
    let text = one_line(text).to_lowercase();
    let bare = text.trim_end_matches('.').replace('.', " ");
    let bare = one_line(&bare);
    if EACH.contains(&bare.as_str()) {
        return "each".to_owned();
    }
    SAME_UNITS.iter().find(|list| list.contains(&bare.as_str())).map_or(bare, |list| list[0].to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn best(heading: &str, into: MapInto) -> Option<F> {
        let all = F::of(into).map(|f| (fit(heading, f, into), f)).filter(|(n, _)| *n > 0);
        all.max_by_key(|(n, _)| *n).map(|(_, f)| f)
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
