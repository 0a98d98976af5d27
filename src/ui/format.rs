//! Numbers, money and dates as text: the only place where figures become words on screen.

pub use crate::model::words::{count, moved, moved_money, quantity};

use crate::engine::week::Words;
use crate::engine::{Day, PartFigures};
use crate::exchange::outgoing::print::words;
use crate::model::{Currency, Money, Part, Severity};
use chrono::{Datelike, NaiveDateTime};

use rust_decimal::Decimal;

/// An amount with grouped thousands and the currency's minor digits: `1,234.50`.
pub fn money(amount: Money, currency: Currency) -> String {
    words::money(amount, currency).replace('-', "\u{2212}")
}

/// An amount without its minor units, for narrow places: `1,234`.
pub fn money_short(amount: Money) -> String {
    let whole =
        amount.amount().round_dp_with_strategy(0, rust_decimal::RoundingStrategy::MidpointAwayFromZero);
    // A currency without minor digits prints none.
    money(Money::new(whole), Currency::from_code("JPY").unwrap_or(Currency::USD))
}

/// An amount in thousands, for the narrowest places: `221k`; whole below a thousand.
pub fn money_thousands(amount: Money) -> String {
    let thousand = Decimal::ONE_THOUSAND;
    if amount.amount().abs() < thousand {
        return money_short(amount);
    }
    format!("{}k", money_short(Money::new(amount.amount() / thousand)))
}

/// Over or under an allowance, in words with its sign.
pub fn over_under(amount: Money, currency: Currency) -> String {
    if amount.is_zero() {
        "on the allowance".to_owned()
    } else if amount.is_negative() {
        format!("{} under allowance", money(amount.abs(), currency))
    } else {
        format!("{} over allowance", money(amount, currency))
    }
}

/// `Mon Jul 13`, with the year when it is not that of `near`.
pub fn day(day: Day, near: Day) -> String {
    let date = day.date();
    if date.year() == near.date().year() {
        date.format("%a %b %-d").to_string()
    } else {
        date.format("%a %b %-d, %Y").to_string()
    }
}

/// `Jul 13`, with the year when it is not that of `near`.
pub fn day_short(day: Day, near: Day) -> String {
    let date = day.date();
    if date.year() == near.date().year() {
        date.format("%b %-d").to_string()
    } else {
        date.format("%b %-d, %Y").to_string()
    }
}

/// The days from one to another: `Mon Oct 5 to Thu Nov 12`; one where both are the same.
pub fn days(from: Day, to: Day, near: Day) -> String {
    match from == to {
        true => day(from, near),
        false => format!("{} to {}", day(from, near), day(to, near)),
    }
}

/// A sentence of the engine with its days as they are written here.
pub fn days_in(words: &Words, near: Day) -> String {
    words.shown(|day| day_short(day, near), money_short)
}

/// The same of a sentence that is kept as text, such as what a problem says; a sentence begins with a capital.
pub fn said(text: &str, near: Day) -> String {
    let text = days_in(&Words::with_days(text), near);
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// When something was written or done: `Jul 13, 2026 at 10:15`.
pub fn time(when: NaiveDateTime) -> String {
    when.format("%b %-d, %Y at %H:%M").to_string()
}

/// `9 days in hand`, `order today`, `4 days past its order-by`.
pub fn days_in_hand(days: i32) -> String {
    match days {
        0 => "order today".to_owned(),
        n if n < 0 => format!("{} past its order-by", count(-n, "day")),
        n => format!("{} in hand", count(n, "day")),
    }
}

pub use crate::model::words::lead;

/// What is known of the lead time of a part, in words: what was said, never what is typical.
pub fn lead_of(part: &Part) -> String {
    part.lead.map_or("no lead time yet".to_owned(), |count| lead(count, part.lead_unit))
}

/// The day a part is counted on for; a day that rests on what is typical says so.
pub fn expected(f: &PartFigures, near: Day) -> String {
    match (f.arrival, f.expected) {
        (Some(day), _) => day_short(day, near),
        (None, Some(day)) => format!("typically {}", day_short(day, near)),
        (None, None) => "nobody knows when".to_owned(),
    }
}

/// What the forecast is made of.
pub const FORECAST: &str =
    "Ordered, else chosen, else leaned to, else the allowance; and what was ordered besides.";

/// A text of an amount that is without `open` things of which nobody has said the price: the least it can be.
pub fn least(text: String, zero: bool, open: u32) -> String {
    match (open, zero) {
        (0, _) => text,
        (_, true) => "not said".to_owned(),
        _ => format!("{text}+"),
    }
}

/// A part with its selection, in as few words as say both: what the part's name says already is not said before it.
/// `Kitchen: Semi-custom base cabinets` of the selection `Kitchen base cabinets`.
pub fn part_of(selection: &str, part: &str) -> String {
    let bare = |word: &str| word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
    let said: Vec<String> = part.split_whitespace().map(bare).collect();
    let own: Vec<&str> = selection.split_whitespace().collect();
    let again = own.iter().rev().take_while(|word| said.contains(&bare(word))).count();
    let mut before = own.get(..own.len() - again).unwrap_or_default();
    // `Shower niche and edge trim` without the trim is the niche.
    while let [rest @ .., "and" | "or" | "with" | "for" | "of" | "in" | "to"] = before {
        before = rest;
    }
    if before.is_empty() { part.to_owned() } else { format!("{}: {part}", before.join(" ")) }
}

/// A price, or that there is none.
pub fn price(price: Option<Money>, currency: Currency) -> String {
    price.map_or("no price yet".to_owned(), |price| money(price, currency))
}

/// How much something that is to be settled matters, in the words of the window.
pub fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "act now",
        Severity::Warning => "look into",
        Severity::Note => "to know",
    }
}

/// How much there is to be settled: `2 to act on, 69 to look into`; `None` where there is nothing.
pub fn to_settle(act: usize, look: usize) -> Option<String> {
    let of = |n: usize, what: &str| (n > 0).then(|| format!("{n} {what}"));
    let said: Vec<String> = [of(act, "to act on"), of(look, "to look into")].into_iter().flatten().collect();
    (!said.is_empty()).then(|| said.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_are_grouped() {
        let usd = Currency::USD;
        let amount = |text: &str| Money::new(text.parse().unwrap());
        assert_eq!(money(amount("1234567.5"), usd), "1,234,567.50");
        assert_eq!(money(amount("-999.999"), usd), "\u{2212}1,000.00");
        assert_eq!(money(amount("0"), usd), "0.00");
        assert_eq!(money_short(amount("1234.5")), "1,235");
        assert_eq!(money_thousands(amount("220977.38")), "221k");
        assert_eq!(money_thousands(amount("999.4")), "999");
    }

    #[test]
    fn what_is_to_be_settled_is_counted_by_what_it_asks_for() {
        assert_eq!(to_settle(2, 69).as_deref(), Some("2 to act on, 69 to look into"));
        assert_eq!(to_settle(0, 1).as_deref(), Some("1 to look into"));
        assert_eq!(to_settle(0, 0), None);
    }

    #[test]
    fn a_part_says_its_selection_once() {
        for (selection, part, said) in [
            ("Wall oven", "Wall oven, 30 in", "Wall oven, 30 in"),
            ("Tub", "Alcove tub, 60 in", "Alcove tub, 60 in"),
            ("Kitchen base cabinets", "Semi-custom base cabinets", "Kitchen: Semi-custom base cabinets"),
            ("Floor tile", "Grout, 10 lb", "Floor tile: Grout, 10 lb"),
            ("Tile trim", "Tile edge", "Tile trim: Tile edge"),
            ("Shower niche and edge trim", "Metal edge trim, 8 ft", "Shower niche: Metal edge trim, 8 ft"),
            ("Vanity", "", "Vanity: "),
        ] {
            assert_eq!(part_of(selection, part), said);
        }
    }

    #[test]
    fn days_in_hand_are_words() {
        assert_eq!(days_in_hand(0), "order today");
        assert_eq!(days_in_hand(-1), "1 day past its order-by");
        assert_eq!(days_in_hand(9), "9 days in hand");
    }
}
