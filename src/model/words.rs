//! Numbers with their words.

use crate::model::quantity::shown;
use crate::model::{LeadUnit, Money};
use rust_decimal::Decimal;
use std::fmt::Display;

/// A number with its word: `1 day`, `2 days`.
pub fn count(n: impl Display, word: &str) -> String {
    counted(n, word, &format!("{word}s"))
}

/// The same where many are not called by one more letter: `1 entry`, `2 entries`.
pub fn counted(n: impl Display, one: &str, many: &str) -> String {
    let n = n.to_string();
    let word = if n == "1" { one } else { many };
    format!("{n} {word}")
}

/// What the trade counts in, one and many of it. Any other word stays as it was typed: `sq ft`, `ft`, `lf`, `kg` have no
/// other form, and of a word that nobody listed it is not known.
const UNITS: [(&str, &str); 46] = [
    ("bag", "bags"),
    ("board", "boards"),
    ("bottle", "bottles"),
    ("box", "boxes"),
    ("bucket", "buckets"),
    ("bundle", "bundles"),
    ("can", "cans"),
    ("carton", "cartons"),
    ("cartridge", "cartridges"),
    ("case", "cases"),
    ("coil", "coils"),
    ("crate", "crates"),
    ("door", "doors"),
    ("drum", "drums"),
    ("foot", "feet"),
    ("gallon", "gallons"),
    ("hour", "hours"),
    ("inch", "inches"),
    ("jug", "jugs"),
    ("kit", "kits"),
    ("length", "lengths"),
    ("load", "loads"),
    ("lot", "lots"),
    ("meter", "meters"),
    ("pack", "packs"),
    ("package", "packages"),
    ("pail", "pails"),
    ("pair", "pairs"),
    ("pallet", "pallets"),
    ("panel", "panels"),
    ("piece", "pieces"),
    ("pint", "pints"),
    ("plank", "planks"),
    ("quart", "quarts"),
    ("roll", "rolls"),
    ("set", "sets"),
    ("sheet", "sheets"),
    ("slab", "slabs"),
    ("spool", "spools"),
    ("square", "squares"),
    ("square foot", "square feet"),
    ("stick", "sticks"),
    ("tile", "tiles"),
    ("tube", "tubes"),
    ("unit", "units"),
    ("yard", "yards"),
];

/// A quantity with its unit as people read it, to four places: `11 boxes`, `1 box`, `48 lf`; what is counted one by one
/// is `1` and `6 pcs`.
pub fn quantity(number: Decimal, unit: &str) -> String {
    let number = shown(number);
    let one = number == Decimal::ONE;
    let (plain, single) = (unit.trim(), unit.trim().to_lowercase());
    let known = UNITS.iter().find(|(of_one, of_many)| single == *of_one || single == *of_many);
    let word = match (known, single.as_str()) {
        (Some((of_one, of_many)), _) => {
            if one {
                of_one
            } else {
                of_many
            }
        }
        (None, "each" | "ea" | "ea.") => {
            if one {
                ""
            } else {
                "pcs"
            }
        }
        (None, _) => plain,
    };
    format!("{number} {word}").trim_end().to_owned()
}

/// How far a day moved, in words, counted in `word`: `3 working days later`, `1 day sooner`. `None` where it did not.
pub fn moved(days: i32, word: &str) -> Option<String> {
    let way = match days {
        0 => return None,
        1.. => "later",
        _ => "sooner",
    };
    Some(format!("{} {way}", count(days.unsigned_abs(), word)))
}

/// How far an amount moved, in words, with the amount as `written`: `12.00 more`, `0.50 less`. `None` where it did not.
pub fn moved_money(moved: Money, written: impl FnOnce(Money) -> String) -> Option<String> {
    let way = if moved.is_negative() { "less" } else { "more" };
    (!moved.is_zero()).then(|| format!("{} {way}", written(moved.abs())))
}

/// A lead time in words: `6 weeks`, `1 working day`, `in stock`.
pub fn lead(n: u32, unit: LeadUnit) -> String {
    match unit {
        _ if n == 0 => "in stock".to_owned(),
        LeadUnit::Days => count(n, "day"),
        LeadUnit::Weeks => count(n, "week"),
        LeadUnit::Working => count(n, "working day"),
    }
}

/// What is typical, from its short to its long end: `typically 5 to 10 weeks`.
pub fn typically(shortest: u32, longest: u32, unit: LeadUnit) -> String {
    if shortest == longest {
        format!("typically {}", lead(longest, unit))
    } else {
        format!("typically {shortest} to {}", lead(longest, unit))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_go_by_their_number() {
        let said = |number: &str, unit: &str| quantity(number.parse().unwrap(), unit);
        for (number, unit, words) in [
            ("18", "bag", "18 bags"),
            ("1", "bag", "1 bag"),
            ("1.0000", "box", "1 box"),
            ("11", "Box", "11 boxes"),
            ("1", "sheets", "1 sheet"),
            ("0", "pail", "0 pails"),
            ("2.5", "gallon", "2.5 gallons"),
            ("6", "each", "6 pcs"),
            ("1", "each", "1"),
            ("6", "", "6"),
            ("48", "lf", "48 lf"),
            ("160.5", "sq ft", "160.5 sq ft"),
            ("3", "Rolle", "3 Rolle"),
            ("12.34567", "gal", "12.3457 gal"),
        ] {
            assert_eq!(said(number, unit), words);
        }
        let in_order = UNITS.windows(2).all(|two| two[0].0 < two[1].0);
        assert!(in_order, "each unit stands once");
    }

    #[test]
    fn what_moved_says_how_far_and_which_way() {
        assert_eq!(moved(0, "day"), None);
        assert_eq!(moved(1, "day").as_deref(), Some("1 day later"));
        assert_eq!(moved(-3, "working day").as_deref(), Some("3 working days sooner"));
        assert_eq!(moved(i32::MIN, "day").as_deref(), Some("2147483648 days sooner"));
        let plain = |amount: Money| amount.amount().to_string();
        assert_eq!(moved_money(Money::ZERO, plain), None);
        assert_eq!(moved_money(Money::new(12.into()), plain).as_deref(), Some("12 more"));
        assert_eq!(moved_money(Money::new((-12).into()), plain).as_deref(), Some("12 less"));
    }
}
