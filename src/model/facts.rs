//! Facts of options and parts, in the words of the project, and the rules that say what goes with what.
//!
//! A fact is a name and a value: text, a number with its unit, or yes or no. Names and finish families are the user's
//! own; units of the same kind are converted by exact factors, so that a 60 in tub fits a 5 ft alcove exactly.

use super::field::{Field, Kind, at, field, parsed, word};
use super::ids::{RoomId, RuleId, SelectionId};
use super::project::Project;
use super::units::{Dimension, unit_of_fact};
use super::validate::{Checked, key};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// One fact of an option or a part.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fact {
    /// What is stated: `width`, `finish family`, `rough-in`, `holes`, `cut-out`, `exhaust`.
    pub name: String,
    /// What it is.
    pub value: FactValue,
}

impl Fact {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Fact>] = &[
        field("name", "", Kind::Key(at!(name))).required(),
        field("value", "", Kind::Stated(parsed!(value))).required(),
    ];
}

/// The value of a fact.
///
/// It is written as it is read: `60 in`, `3-1/4 in` (kept as 3.25 in), `50 cfm`, `3`, `yes`, or any other text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FactValue {
    /// A word or more. Compared without regard to case.
    Text(String),
    /// A number with its unit, which may be empty.
    Amount(Decimal, String),
    /// Yes or no.
    YesNo(bool),
}

impl fmt::Display for FactValue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            FactValue::Text(text) => f.write_str(text),
            FactValue::Amount(number, unit) if unit.is_empty() => write!(f, "{}", number.normalize()),
            FactValue::Amount(number, unit) => write!(f, "{} {unit}", number.normalize()),
            FactValue::YesNo(yes) => f.write_str(if *yes { "yes" } else { "no" }),
        }
    }
}

impl FromStr for FactValue {
    type Err = String;

    fn from_str(text: &str) -> Result<FactValue, String> {
        let text = text.trim();
        if text.is_empty() {
            return Err("the value is empty; write for example 60 in, yes, or brushed nickel".to_owned());
        }
        if text.chars().any(char::is_control) {
            return Err("the value has a control character in it".to_owned());
        }
        if text.eq_ignore_ascii_case("yes") || text.eq_ignore_ascii_case("no") {
            return Ok(FactValue::YesNo(text.eq_ignore_ascii_case("yes")));
        }
        match amount(text) {
            Some((number, _)) if number.abs() > MOST => {
                Err(format!("{text} is above a thousand million; check the number"))
            }
            Some((number, unit)) => Ok(FactValue::Amount(number.normalize(), unit.to_owned())),
            None => Ok(FactValue::Text(text.to_owned())),
        }
    }
}

impl Serialize for FactValue {
    fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for FactValue {
    fn deserialize<D: serde::Deserializer<'de>>(d: D) -> Result<FactValue, D::Error> {
        String::deserialize(d)?.parse().map_err(serde::de::Error::custom)
    }
}

/// Largest number of a fact, so that no conversion leaves the range of a decimal.
const MOST: Decimal = Decimal::from_parts(1_000_000_000, 0, 0, false, 0);

/// A number and its unit; `None` when the text is anything else, such as `48 x 24`.
fn amount(text: &str) -> Option<(Decimal, &str)> {
    let end = text.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(text.len());
    let (digits, rest) = text.split_at(end);
    let number: Decimal = digits.parse().ok().filter(|_| digits.len() <= 20)?;
    // The decimal type would read `.5` and `5.` too, and so may people.
    if let Some((fraction, unit)) = fraction(rest, digits) {
        // Fractions are for lengths; `1/2 turn` stays as it is written.
        return (unit_of_fact(unit).is_some_and(|(kind, _)| kind == Dimension::Length))
            .then_some((fraction, unit));
    }
    let unit = rest.trim();
    let word = |c: char| c.is_alphabetic() || matches!(c, '/' | '%' | '°' | '"' | '\'' | '³' | '²');
    let known = unit_of_fact(unit).is_some();
    (unit.is_empty() || known || unit.chars().all(word)).then_some((number, unit))
}

/// `-1/4 in` behind whole inches, or `/4 in` behind the upper number: the decimal of all of it and its unit.
fn fraction<'a>(rest: &'a str, digits: &str) -> Option<(Decimal, &'a str)> {
    let whole: u32 = digits.parse().ok()?;
    let (whole, upper, behind) = match rest.strip_prefix('/') {
        Some(behind) => (0, whole, behind),
        None => {
            let rest = rest.strip_prefix(['-', ' '])?;
            let (upper, behind) = rest.split_once('/')?;
            (whole, upper.parse().ok()?, behind)
        }
    };
    let end = behind.find(|c: char| !c.is_ascii_digit()).unwrap_or(behind.len());
    let lower: u32 = behind[..end].parse().ok()?;
    // Halves down to sixty-fourths are exact decimals.
    if !lower.is_power_of_two() || !(2..=64).contains(&lower) || upper >= lower {
        return None;
    }
    Some((Decimal::from(whole) + Decimal::from(upper) / Decimal::from(lower), behind[end..].trim()))
}

/// A number of one unit as a number of base units, and a mark of what it may be compared with.
fn based(number: Decimal, name: &str) -> Option<(Decimal, Option<Dimension>, String)> {
    match unit_of_fact(name) {
        Some((kind, size)) => Some((number.checked_mul(size)?, Some(kind), String::new())),
        None => Some((number, None, name.to_lowercase())),
    }
}

/// Two amounts in the same base unit; `None` when they measure different things.
pub fn same_base(a: (Decimal, &str), b: (Decimal, &str)) -> Option<(Decimal, Decimal)> {
    let (x, x_kind, x_word) = based(a.0, a.1)?;
    let (y, y_kind, y_word) = based(b.0, b.1)?;
    (x_kind == y_kind && x_word == y_word).then_some((x, y))
}

impl FactValue {
    /// Whether two values say the same; `None` when they cannot be compared.
    pub fn says_the_same(&self, other: &FactValue) -> Option<bool> {
        match (self, other) {
            (FactValue::Text(a), FactValue::Text(b)) => Some(a.to_lowercase() == b.to_lowercase()),
            (FactValue::YesNo(a), FactValue::YesNo(b)) => Some(a == b),
            (FactValue::Amount(a, u), FactValue::Amount(b, v)) => {
                same_base((*a, u), (*b, v)).map(|(a, b)| a == b)
            }
            _ => None,
        }
    }
}

/// Whether two names of facts are the same: without regard to case and outer spaces.
pub fn same_name(a: &str, b: &str) -> bool {
    a.trim().eq_ignore_ascii_case(b.trim()) || a.trim().to_lowercase() == b.trim().to_lowercase()
}

/// What goes with what.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rule {
    /// Its number.
    pub id: RuleId,
    /// Its key in sheets.
    pub key: String,
    /// What people call it: `trim fits body`.
    pub name: String,
    /// How the facts are compared.
    pub kind: RuleKind,
    /// Whose fact.
    pub of: RuleOf,
    /// Which fact.
    pub fact: String,
    /// What it is compared with; not used by [`RuleKind::SameInRoom`].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub with: Option<RuleWith>,
    /// How far the two may differ, for [`RuleKind::Within`].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tolerance: Option<FactValue>,
    /// Where the rule comes from, or why it matters.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub why: String,
}

impl Rule {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Rule>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("name", "", Kind::Name(at!(name))),
        field("kind", "", word!(RuleKind::ALL, kind)).required(),
        field("selection", "", Kind::Apart(true)),
        field("room", "", Kind::Apart(true)),
        field("fact", "", Kind::Key(at!(fact))).required(),
        field("other", "", Kind::Apart(true)),
        field("other_fact", "", Kind::Apart(true)),
        field("value", "", Kind::Apart(true)),
        field("tolerance", "", Kind::Stated(parsed!(tolerance?))),
        field("why", "", Kind::Text(at!(why))),
    ];
}

/// How a rule compares.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum RuleKind {
    /// The fact is the same as the other.
    Equal,
    /// The fact is at least the other.
    AtLeast,
    /// The fact is at most the other.
    AtMost,
    /// The fact differs from the other by no more than the tolerance.
    Within,
    /// Whatever in the room states the fact states the same: one finish family.
    SameInRoom,
}

impl RuleKind {
    /// All kinds with their words in sheets.
    pub const ALL: [(&'static str, RuleKind); 5] = [
        ("equal", RuleKind::Equal),
        ("at_least", RuleKind::AtLeast),
        ("at_most", RuleKind::AtMost),
        ("within", RuleKind::Within),
        ("same_in_room", RuleKind::SameInRoom),
    ];
}

/// Whose facts a rule looks at. Only what counts is looked at: the choice, or the option leaned to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum RuleOf {
    /// One selection; that the fact is not stated is worth a note.
    Selection(SelectionId),
    /// Everything in a room that states the fact.
    Room(RoomId),
    /// Everything in the house that states the fact.
    House,
}

/// What a fact is compared with.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum RuleWith {
    /// A fact of what counts in another selection.
    Fact(SelectionId, String),
    /// A value.
    Value(FactValue),
}

/// Checks facts by themselves.
///
/// # Errors
/// What is wrong and what to do.
pub fn check_facts(facts: &[Fact]) -> Result<(), String> {
    for (i, fact) in facts.iter().enumerate() {
        let name = fact.name.trim();
        if name.is_empty() || name.chars().any(char::is_control) {
            return Err("a fact has no name; write for example width or finish family".to_owned());
        }
        if name != fact.name {
            return Err(format!("the name of the fact `{name}` has spaces around it"));
        }
        if facts[..i].iter().any(|known| same_name(&known.name, name)) {
            return Err(format!("the fact `{name}` is stated twice; keep one"));
        }
        // A value that was not read from text must still come back from its text.
        if fact.value.to_string().parse().as_ref() != Ok(&fact.value) {
            return Err(format!("the value `{}` of the fact `{name}` cannot be written", fact.value));
        }
    }
    Ok(())
}

/// The facts of a name among options and parts.
pub fn named<'a>(facts: &'a [Fact], name: &'a str) -> impl Iterator<Item = &'a FactValue> {
    facts.iter().filter(move |f| same_name(&f.name, name)).map(|f| &f.value)
}

impl Rule {
    /// Checks a rule by itself.
    pub fn check(&self) -> Checked {
        key(&self.key)?;
        if self.fact.trim().is_empty() || self.fact.trim() != self.fact {
            return Err("the rule names no fact; write for example width".to_owned());
        }
        let kind = self.kind;
        match (&self.with, kind) {
            (Some(_), RuleKind::SameInRoom) => {
                return Err(
                    "a rule of one finish for a room compares with nothing else; leave it out".to_owned()
                );
            }
            (None, RuleKind::SameInRoom) => {}
            (None, _) => {
                return Err("the rule compares with nothing; name a value or another selection".to_owned());
            }
            (Some(RuleWith::Fact(_, fact)), _) if fact.trim().is_empty() || fact.trim() != fact => {
                return Err("the rule names no fact of the other selection".to_owned());
            }
            (Some(RuleWith::Fact(other, _)), _) if self.of == RuleOf::Selection(*other) => {
                return Err("a selection cannot be compared with itself".to_owned());
            }
            (
                Some(RuleWith::Value(FactValue::Text(text))),
                RuleKind::AtLeast | RuleKind::AtMost | RuleKind::Within,
            ) => {
                return Err(format!(
                    "`{text}` is no number with a unit, so nothing can be more or less than it"
                ));
            }
            _ => {}
        }
        if kind == RuleKind::SameInRoom && !matches!(self.of, RuleOf::Room(_)) {
            return Err("a rule of one finish needs the room it is for".to_owned());
        }
        match (&self.tolerance, kind) {
            (Some(FactValue::Amount(..)), RuleKind::Within) | (None, _) => {}
            (Some(_), RuleKind::Within) => {
                return Err("the tolerance is no number with a unit; write for example 0.25 in".to_owned());
            }
            (Some(_), _) => return Err("only a rule of the kind within has a tolerance".to_owned()),
        }
        if kind == RuleKind::Within && self.tolerance.is_none() {
            return Err("how far may they differ? write a tolerance, for example 0.25 in".to_owned());
        }
        Ok(())
    }

    /// Checks a rule against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        let selection = |id| match project.selection(id) {
            Some(_) => Ok(()),
            None => Err("the rule names a selection that is not in the project".to_owned()),
        };
        match self.of {
            RuleOf::Selection(id) => selection(id)?,
            RuleOf::Room(id) if project.room(id).is_none() => {
                return Err("the rule names a room that is not in the project".to_owned());
            }
            RuleOf::Room(_) | RuleOf::House => {}
        }
        if let Some(RuleWith::Fact(id, _)) = &self.with {
            selection(*id)?;
        }
        self.check()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> FactValue {
        text.parse().unwrap()
    }

    #[test]
    fn values_are_written_as_they_are_read() {
        for text in [
            "60 in",
            "50 cfm",
            "3",
            "1.28 gpf",
            "yes",
            "no",
            "brushed nickel",
            "48 x 24",
            "1/2 turn",
            "2 bowls",
        ] {
            assert_eq!(read(text).to_string(), text);
            assert_eq!(read(&read(text).to_string()), read(text));
        }
        for (text, kept) in [
            ("3-1/4 in", "3.25 in"),
            ("3 1/4\"", "3.25 \""),
            ("7/8 in", "0.875 in"),
            (" 08.50 ft ", "8.5 ft"),
        ] {
            assert_eq!(read(text).to_string(), kept, "{text}");
        }
        assert!(matches!(read("1/2 turn"), FactValue::Text(_)));
        assert!("".parse::<FactValue>().is_err() && "99999999999 in".parse::<FactValue>().is_err());
    }

    /// 1 in = 25.4 mm exactly, 1 ft = 12 in, 1 gal = 231 in3 (NIST Handbook 44 appendix C, from memory); 1.6 gpf is
    /// 6.056 658 854 4 L by those.
    #[test]
    fn units_are_converted_exactly() {
        for (a, b) in [
            ("60 in", "5 ft"),
            ("60 in", "1524 mm"),
            ("152.4 cm", "5 feet"),
            ("1 cfm", "0.028316846592 m3/min"),
            ("1.6 gpf", "6.0566588544 L/flush"),
            ("2.5 gpm", "9.46352946 l/min"),
            ("1 lb", "453.59237 g"),
            ("1 sq ft", "144 sq in"),
            ("1.5 kW", "1500 w"),
            ("25 L/s", "90 m³/h"),
        ] {
            let same = read(a).says_the_same(&read(b));
            // Cubic meters a minute are no unit here: they go only with themselves.
            assert_eq!(same, (!b.ends_with("m3/min")).then_some(true), "{a} and {b}");
        }
        // 1 cfm is 0.3048 cubed times sixty cubic meters an hour.
        assert_eq!(read("1 cfm").says_the_same(&read("1.69901079552 m3/h")), Some(true));
        assert_eq!(read("60 in").says_the_same(&read("60 lb")), None);
        assert_eq!(read("2 bowls").says_the_same(&read("2 Bowls")), Some(true));
        assert_eq!(read("White").says_the_same(&read("white")), Some(true));
    }
}
