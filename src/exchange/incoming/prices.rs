//! Which column of a list holds the price, what for, and in which currency, wherever that stands: in the heading, in a
//! column, in a note above the table or in the cell.
//!
//! A net price beats a list price, and what is net has its discount taken off already. Of other columns that could be
//! the price none is taken: the user is asked.

use super::grid::{Grid, RawCell};
use super::setup::Setup;
use super::words::{self, WORDS};
use crate::exchange::typed::number;
use crate::exchange::typed::spaces::one_line;
use crate::model::{Currency, MapField};
use rust_decimal::Decimal;

/// Rows looked at to tell what a column holds.
const SAMPLE: usize = 200;

/// What sort of price a column holds, by its heading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PriceKind {
    /// What is paid in the end.
    Net,
    /// What the catalog says, before any discount.
    List,
    /// A price, and no more is said.
    Plain,
}

/// What sort of price a heading names; `None` when it is none, or one with tax, or a sum.
pub(super) fn kind(heading: &str) -> Option<PriceKind> {
    let bare = without_measure(heading);
    let text = words::plain(&bare);
    if words::has_words(&text, &WORDS.gross) || words::has_words(&text, &WORDS.sums) {
        return None;
    }
    if words::has_words(&text, &WORDS.net) {
        return Some(PriceKind::Net);
    }
    if words::has_words(&text, &WORDS.list) {
        return Some(PriceKind::List);
    }
    let only_currency = text.is_empty() && number::currency_in(&bare).is_some();
    let named = only_currency || is_price(&text) || WORDS.other_prices.contains(&text);
    let about = |field: MapField| {
        let own = WORDS.headings.get(&field).into_iter().flatten();
        own.into_iter().any(|phrase| *phrase == text)
    };
    (named && !about(MapField::PricePer)).then_some(PriceKind::Plain)
}

/// Whether words speak of a price; German joins them into one: `normalpreis`.
fn is_price(text: &str) -> bool {
    words::has_words(text, &WORDS.price) || text.split(' ').any(|word| word.ends_with("preis"))
}

/// What a price in a column with this heading is for: `m2` of `Price/m2`, `100 pcs` of `Price per 100 pcs`.
pub(super) fn measure(heading: &str) -> Option<String> {
    split(heading).map(|(_, measure)| measure)
}

/// The heading without what its price is for.
pub(super) fn without_measure(heading: &str) -> String {
    split(heading).map_or_else(|| heading.to_owned(), |(bare, _)| bare)
}

/// Words behind which stands what a price is for.
const FOR: [&str; 8] = ["per", "pro", "je", "par", "por", "au", "le", "à"];

/// A heading of a price, and what it is for.
fn split(heading: &str) -> Option<(String, String)> {
    let heading = one_line(heading);
    let lower = heading.to_lowercase();
    if lower.len() != heading.len() {
        return None;
    }
    // What stands before must speak of a price or a currency: `N/A` and `Art/Nr` do not.
    let priced = |before: &str| {
        let text = words::plain(before);
        number::currency_in(before).is_some()
            || is_price(&text)
            || words::has_words(&text, &WORDS.net)
            || words::has_words(&text, &WORDS.list)
    };
    let mut places: Vec<(usize, usize)> =
        lower.match_indices('/').map(|(at, sign)| (at, sign.len())).collect();
    for word in FOR {
        let spaced = format!(" {word} ");
        places.extend(lower.match_indices(&spaced).map(|(at, _)| (at, spaced.len())));
        let bracketed = format!("({word} ");
        places.extend(lower.match_indices(&bracketed).map(|(at, _)| (at, bracketed.len())));
    }
    places.sort_unstable();
    for (at, length) in places {
        let (before, behind) = (&heading[..at], &heading[at + length..]);
        let mut behind =
            behind.trim_matches(|c: char| c.is_whitespace() || matches!(c, ')' | ']' | '(' | '['));
        // A currency behind it is none of what it is for: `Price/m2 EUR`, `Price per box ($)`.
        while let Some((rest, last)) = behind.rsplit_once([' ', '(', '[', ',']) {
            if number::currency_of(last).is_none() || last.eq_ignore_ascii_case("ft") {
                break;
            }
            behind = rest.trim_end_matches([' ', '(', '[', ',', ')', ']']);
        }
        let text = words::plain(behind);
        let kind_word = |list: &[String]| words::has_words(&text, list);
        let tells_kind = kind_word(&WORDS.net) || kind_word(&WORDS.list) || kind_word(&WORDS.gross);
        let feet = behind.eq_ignore_ascii_case("ft");
        if priced(before)
            && (feet || !text.is_empty())
            && !tells_kind
            && number::currency_of(behind).is_none_or(|_| feet)
        {
            let rest = heading.get(at + length + behind.len()..).unwrap_or("");
            let currency = number::currency_in(rest).unwrap_or("");
            return Some((
                format!("{} {currency}", before.trim_end_matches(['(', '['])).trim().to_owned(),
                behind.to_owned(),
            ));
        }
    }
    // A measure in brackets, or as the last word: `Price (m²)`, `Preis m2`.
    let bare = heading.trim_end_matches([')', ']']);
    let (before, last) = bare.rsplit_once(['(', '[', ',']).or_else(|| bare.rsplit_once(' '))?;
    let known = words::is_measure(last) && priced(before);
    known.then(|| (before.trim_end().to_owned(), last.trim().to_owned()))
}

impl Setup {
    /// Settles which column is the price among those that could be; what is left open stays with the rivals.
    pub(super) fn settle_price(&mut self, grid: &Grid) {
        self.rivals.clear();
        let headings = grid.headings(self.header);
        if self.header.is_none() {
            return;
        }
        let is_number = |cell: &RawCell| match cell {
            RawCell::Number(_) | RawCell::Amount(..) => true,
            RawCell::Text(text) => number::take_apart(text).is_some_and(|w| !w.percent),
            _ => false,
        };
        let shows_currency = |cell: &RawCell| match cell {
            RawCell::Amount(..) => true,
            RawCell::Text(text) => number::take_apart(text).is_some_and(|w| w.currency.is_some()),
            _ => false,
        };
        let mostly = |setup: &Setup, column: usize, is: &dyn Fn(&RawCell) -> bool| {
            let cells = setup.body(grid).take(SAMPLE).map(|row| row.cell(column));
            let (mut hits, mut all) = (0_usize, 0_usize);
            for cell in cells.filter(|cell| !cell.is_empty()) {
                all += 1;
                hits += usize::from(is(cell));
            }
            hits > 0 && hits * 2 >= all
        };
        let mut found: Vec<(usize, PriceKind)> = Vec::new();
        for (column, heading) in headings.iter().enumerate() {
            if !matches!(self.fields[column], None | Some(MapField::UnitPrice | MapField::PricePer)) {
                continue;
            }
            match kind(heading) {
                Some(kind) if mostly(self, column, &is_number) => found.push((column, kind)),
                // Amounts of money under a heading that says nothing could be the price too.
                None if !words::is_known(heading) && mostly(self, column, &shows_currency) => {
                    found.push((column, PriceKind::Plain));
                }
                _ => {}
            }
        }
        let of =
            |kind: PriceKind| found.iter().filter(move |(_, own)| *own == kind).map(|(column, _)| *column);
        let plain = of(PriceKind::Plain).count();
        let chosen = match (of(PriceKind::Net).collect::<Vec<_>>().as_slice(), found.as_slice()) {
            (_, [(only, _)]) => Some(*only),
            ([net], _) if plain == 0 => Some(*net),
            (_, []) => return,
            _ => None,
        };
        for (column, _) in &found {
            if self.fields[*column].is_some() {
                self.fields[*column] = None;
            }
        }
        match chosen {
            Some(column) => {
                self.fields.iter_mut().filter(|f| **f == Some(MapField::UnitPrice)).for_each(|f| *f = None);
                self.fields[column] = Some(MapField::UnitPrice);
                // The discount leads from the list price to the net price, and is in it.
                if found.len() > 1 && kind(&headings[column]) == Some(PriceKind::Net) {
                    self.fields
                        .iter_mut()
                        .filter(|f| **f == Some(MapField::Discount))
                        .for_each(|f| *f = None);
                }
            }
            None => {
                self.fields.iter_mut().filter(|f| **f == Some(MapField::UnitPrice)).for_each(|f| *f = None);
                self.rivals = found.into_iter().map(|(column, _)| column).collect();
            }
        }
    }
}

/// The words of currencies in the notes above a table, each once.
pub(super) fn noted_currencies(grid: &Grid, header: Option<usize>) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for row in grid.rows.iter().take_while(|row| header.is_some_and(|header| row.number < header)) {
        for text in row.cells.iter().filter_map(RawCell::as_text) {
            for word in text
                .split(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | ':' | '(' | ')' | '/' | '.'))
            {
                let code = word.len() == 3 && word.chars().all(|c| c.is_ascii_uppercase());
                let sign = !word.is_empty()
                    && word.chars().any(|c| matches!(c, '€' | '$' | '£' | '¥' | '₹' | '₺' | '₩'))
                    && word.chars().all(|c| !c.is_ascii_digit());
                let named = WORDS.currency_names.get(&word.to_lowercase()).cloned();
                let word = named.unwrap_or_else(|| word.to_owned());
                let known = number::currency_of(&word).is_some();
                if known
                    && (code || sign || word.len() == 3 && WORDS.currency_names.values().any(|c| *c == word))
                    && !found.contains(&word)
                {
                    found.push(word);
                }
            }
        }
    }
    found
}

/// Whether a sign or code can stand for a currency.
pub(super) fn is_of(sign: &str, currency: Currency) -> bool {
    number::currency_of(sign).is_some_and(|codes| codes.contains(&currency.code()))
}

/// The first amount in a column, as it stands there.
pub(super) fn example(setup: &Setup, grid: &Grid, column: usize) -> String {
    let first = setup.body(grid).map(|row| row.cell(column)).find(|cell| !cell.is_empty());
    first.map_or(String::new(), |cell| one_line(&cell.shown()))
}

/// Several discounts one after the other as one: `50/10` is 55 percent. `None` where it is no chain.
pub(super) fn chain(text: &str) -> Option<Vec<String>> {
    let pieces: Vec<String> = text.split(['/', '+']).map(one_line).collect();
    let number = |piece: &String| {
        let bare = piece.trim_end_matches(['%', ' ']);
        !bare.is_empty() && bare.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ','))
    };
    (pieces.len() > 1 && pieces.iter().all(number)).then_some(pieces)
}

/// What discounts one after the other come to, in percent.
pub(super) fn chained(percents: &[Decimal]) -> Option<Decimal> {
    let mut left = Decimal::ONE_HUNDRED;
    for percent in percents {
        let rest = Decimal::ONE_HUNDRED.checked_sub(*percent).filter(|rest| !rest.is_sign_negative())?;
        left = left.checked_mul(rest)?.checked_div(Decimal::ONE_HUNDRED)?;
    }
    Some((Decimal::ONE_HUNDRED - left).normalize())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_say_what_a_price_is_for() {
        for (heading, of) in [
            ("Price/m2", Some("m2")),
            ("Price/Sq Ft", Some("Sq Ft")),
            ("Price per sq ft", Some("sq ft")),
            ("Price/ft", Some("ft")),
            ("Price per foot", Some("foot")),
            ("Price (per box)", Some("box")),
            ("Price per carton ($)", Some("carton")),
            ("€/m²", Some("m²")),
            ("Preis je Karton", Some("Karton")),
            ("Preis pro Paar EUR", Some("Paar")),
            ("Prix au m2", Some("m2")),
            ("Precio por caja", Some("caja")),
            ("Price/100", Some("100")),
            ("Price (m²)", Some("m²")),
            ("Preis m2", Some("m2")),
            ("Unit price", None),
            ("Price each", None),
            ("Price/EUR", None),
            ("Price/net", None),
            ("N/A", None),
            ("Preis netto (EUR)", None),
        ] {
            assert_eq!(measure(heading).as_deref(), of, "{heading}");
        }
    }

    #[test]
    fn headings_say_what_sort_of_price_it_is() {
        use PriceKind::{List, Net, Plain};
        for (heading, of) in [
            ("Price", Some(Plain)),
            ("Unit price ($)", Some(Plain)),
            ("Price per sq ft", Some(Plain)),
            ("€/m²", Some(Plain)),
            ("New price", Some(Plain)),
            ("Sale", Some(Plain)),
            ("Listenpreis", Some(List)),
            ("MSRP", Some(List)),
            ("Your price", Some(Net)),
            ("Nettopreis", Some(Net)),
            ("Prix net", Some(Net)),
            ("Precio neto", Some(Net)),
            ("Bruttopreis", None),
            ("Gesamtpreis", None),
            ("Normalpreis", Some(Plain)),
            ("Preiseinheit", None),
            ("Description", None),
            ("Lead time", None),
        ] {
            assert_eq!(kind(heading), of, "{heading}");
        }
    }

    /// Percentages by hand: half, then a tenth of what is left.
    #[test]
    fn discounts_one_after_the_other_are_one() {
        let percent = |text: &str| -> Option<String> {
            let pieces = chain(text)?;
            let of = |piece: &String| piece.trim_end_matches(['%', ' ']).parse().unwrap();
            Some(chained(&pieces.iter().map(of).collect::<Vec<Decimal>>())?.to_string())
        };
        assert_eq!(percent("50/10").as_deref(), Some("55"));
        assert_eq!(percent("50 % + 10 %").as_deref(), Some("55"));
        assert_eq!(percent("40/10/5").as_deref(), Some("48.7"));
        assert_eq!(percent("50"), None);
        assert_eq!(percent("5/m2"), None);
        assert_eq!(percent("100/150"), None);
    }
}
