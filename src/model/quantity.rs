//! How much of something is needed: a fixed number or a rule over the sizes of its room.
//!
//! A rule is a sum of products of numbers and take-off names. It is read once, kept as a tree and written back
//! as text. What the names measure is the business of `engine::takeoff`.

use super::sold_in::SoldIn;
use rust_decimal::{Decimal, RoundingStrategy};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// A quantity before waste and packs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Quantity {
    /// A count or measure that does not depend on the room.
    Fixed(Decimal),
    /// A rule over the room.
    Rule(Expr),
}

/// A measure taken from the room. Lengths in feet or meters, areas and volume in their squares and cubes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// Floor area.
    Floor,
    /// Ceiling area, the same as the floor for a room with a level ceiling.
    Ceiling,
    /// Wall area less openings.
    Walls,
    /// Wall area with nothing deducted.
    WallsGross,
    /// Length around the room.
    Perimeter,
    /// Length around the room less the widths of doors and cased openings.
    Baseboard,
    /// Floor area times height.
    Volume,
}

impl Measure {
    /// All with their words in rules.
    pub const ALL: [(&'static str, Measure); 7] = [
        ("floor", Measure::Floor),
        ("ceiling", Measure::Ceiling),
        ("walls", Measure::Walls),
        ("walls_gross", Measure::WallsGross),
        ("perimeter", Measure::Perimeter),
        ("baseboard", Measure::Baseboard),
        ("volume", Measure::Volume),
    ];

    fn name(self) -> &'static str {
        Self::ALL.iter().find(|(_, m)| *m == self).map_or("floor", |(name, _)| name)
    }
}

/// A rule: numbers, measures and the four operations.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Expr {
    /// A number.
    Number(Decimal),
    /// A measure of the room.
    Measure(Measure),
    /// `walls(min)`: wall area less the openings of at least `min` square feet (or meters) each.
    WallsLessOver(Decimal),
    /// `band(from,to)`: a band of wall between two heights, less the doors it crosses.
    Band(Decimal, Decimal),
    /// `sqm(floor)`: a rule in the measure in which it is sold, from that in which the project measures.
    In(SoldIn, Box<Expr>),
    /// Two rules and an operation between them.
    Binary(Box<Expr>, Operation, Box<Expr>),
}

impl Expr {
    /// 1 for a length, 2 for an area, 3 for a volume. `None` where a number or a conversion has a say in it, since a
    /// number may be a height, a coverage, or a conversion itself.
    pub fn plain_dimension(&self) -> Option<u32> {
        match self {
            Expr::Measure(Measure::Perimeter | Measure::Baseboard) => Some(1),
            Expr::Measure(Measure::Volume) => Some(3),
            Expr::Measure(_) | Expr::WallsLessOver(_) | Expr::Band(..) => Some(2),
            Expr::Number(_) | Expr::In(..) => None,
            Expr::Binary(left, op, right) => {
                let (left, right) = (left.plain_dimension()?, right.plain_dimension()?);
                match op {
                    Operation::Add | Operation::Subtract => (left == right).then_some(left),
                    Operation::Multiply => Some(left + right),
                    Operation::Divide => left.checked_sub(right),
                }
            }
        }
    }
}

/// The four operations.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Operation {
    /// `+`
    Add,
    /// `-`
    Subtract,
    /// `*`
    Multiply,
    /// `/`
    Divide,
}

impl Operation {
    fn symbol(self) -> char {
        match self {
            Operation::Add => '+',
            Operation::Subtract => '-',
            Operation::Multiply => '*',
            Operation::Divide => '/',
        }
    }

    fn binds_tighter(self) -> bool {
        matches!(self, Operation::Multiply | Operation::Divide)
    }
}

/// A quantity as people are shown it: to four places, half up.
pub fn shown(quantity: Decimal) -> Decimal {
    quantity.round_dp_with_strategy(4, RoundingStrategy::MidpointAwayFromZero).normalize()
}

impl Default for Quantity {
    fn default() -> Quantity {
        Quantity::Fixed(Decimal::ONE)
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Quantity::Fixed(number) => write!(f, "{}", number.normalize()),
            Quantity::Rule(expr) => write!(f, "{expr}"),
        }
    }
}

impl fmt::Display for Expr {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Expr::Number(number) => write!(f, "{}", number.normalize()),
            Expr::Measure(measure) => f.write_str(measure.name()),
            Expr::WallsLessOver(min) => write!(f, "walls({})", min.normalize()),
            Expr::Band(from, to) => write!(f, "band({},{})", from.normalize(), to.normalize()),
            Expr::In(sold, rule) => write!(f, "{}({rule})", sold.name()),
            Expr::Binary(left, op, right) => {
                // A right side of the same strength needs its brackets: a - (b - c).
                let loose = |e: &Expr, right_side: bool| match e {
                    Expr::Binary(_, inner, _) => {
                        (op.binds_tighter() && !inner.binds_tighter())
                            || (right_side && inner.binds_tighter() == op.binds_tighter())
                    }
                    _ => false,
                };
                let side = |f: &mut fmt::Formatter<'_>, e: &Expr, brackets: bool| {
                    if brackets { write!(f, "({e})") } else { write!(f, "{e}") }
                };
                side(f, left, loose(left, false))?;
                write!(f, "{}", op.symbol())?;
                side(f, right, loose(right, true))
            }
        }
    }
}

impl FromStr for Quantity {
    type Err = String;

    /// Reads a number or a rule such as `floor`, `band(3,4.5)` or `walls / 350 * 2`. Negative numbers are refused.
    fn from_str(text: &str) -> Result<Quantity, String> {
        let trimmed = text.trim();
        // The decimal type would read 1_000 too.
        if !trimmed.contains('_')
            && let Ok(number) = trimmed.parse::<Decimal>()
        {
            if number.is_sign_negative() && !number.is_zero() {
                return Err(format!("quantity {trimmed} is negative; write zero or more"));
            }
            return Ok(Quantity::Fixed(number));
        }
        let mut parser = Parser { text: trimmed, at: 0, depth: 0 };
        let expr = parser.sum()?;
        parser.skip_space();
        if parser.at < trimmed.len() {
            return Err(parser.complain("this does not belong here"));
        }
        // A number in brackets is written without them, so it must be the same as one.
        Ok(match expr {
            Expr::Number(number) => Quantity::Fixed(number),
            rule => Quantity::Rule(rule),
        })
    }
}

impl Serialize for Quantity {
    fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Quantity {
    fn deserialize<D: serde::Deserializer<'de>>(d: D) -> Result<Quantity, D::Error> {
        String::deserialize(d)?.parse().map_err(serde::de::Error::custom)
    }
}

/// Brackets deeper than this are refused, so that no text can exhaust the stack.
const MAX_DEPTH: u32 = 40;
/// Text longer than this is refused.
const MAX_LENGTH: usize = 400;

struct Parser<'a> {
    text: &'a str,
    at: usize,
    depth: u32,
}

impl Parser<'_> {
    fn complain(&self, what: &str) -> String {
        format!(
            "quantity `{}`: {what} at character {}; write a number or a rule such as floor, walls, band(3,4.5) or walls/350*2",
            self.text,
            self.text[..self.at].chars().count() + 1
        )
    }

    fn skip_space(&mut self) {
        let rest = &self.text[self.at..];
        self.at += rest.len() - rest.trim_start().len();
    }

    fn eat(&mut self, symbol: char) -> bool {
        self.skip_space();
        let found = self.text[self.at..].starts_with(symbol);
        if found {
            self.at += symbol.len_utf8();
        }
        found
    }

    fn sum(&mut self) -> Result<Expr, String> {
        if self.text.len() > MAX_LENGTH {
            return Err(format!("quantity rule is longer than {MAX_LENGTH} characters"));
        }
        let mut left = self.product()?;
        loop {
            let op = if self.eat('+') {
                Operation::Add
            } else if self.eat('-') {
                Operation::Subtract
            } else {
                return Ok(left);
            };
            left = Expr::Binary(Box::new(left), op, Box::new(self.product()?));
        }
    }

    fn product(&mut self) -> Result<Expr, String> {
        let mut left = self.factor()?;
        loop {
            let op = if self.eat('*') {
                Operation::Multiply
            } else if self.eat('/') {
                Operation::Divide
            } else {
                return Ok(left);
            };
            left = Expr::Binary(Box::new(left), op, Box::new(self.factor()?));
        }
    }

    fn factor(&mut self) -> Result<Expr, String> {
        if self.eat('(') {
            return self.brackets();
        }
        self.skip_space();
        match self.text[self.at..].chars().next() {
            Some(c) if c.is_ascii_digit() || c == '.' => Ok(Expr::Number(self.number()?)),
            Some(c) if c.is_ascii_alphabetic() => self.name(),
            _ => Err(self.complain("a number or a name is missing")),
        }
    }

    /// What follows an opening bracket, up to the one that closes it.
    fn brackets(&mut self) -> Result<Expr, String> {
        self.depth += 1;
        if self.depth > MAX_DEPTH {
            return Err(self.complain("too many brackets"));
        }
        let inner = self.sum()?;
        if !self.eat(')') {
            return Err(self.complain("a closing bracket is missing"));
        }
        self.depth -= 1;
        Ok(inner)
    }

    fn number(&mut self) -> Result<Decimal, String> {
        self.skip_space();
        let rest = &self.text[self.at..];
        let length = rest.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len());
        let number = rest[..length].parse().map_err(|_| self.complain("a number is expected"))?;
        self.at += length;
        Ok(number)
    }

    fn name(&mut self) -> Result<Expr, String> {
        let rest = &self.text[self.at..];
        let length = rest.find(|c: char| !c.is_ascii_alphanumeric() && c != '_').unwrap_or(rest.len());
        let name = rest[..length].to_ascii_lowercase();
        let start = self.at;
        self.at += length;
        if matches!(name.as_str(), "walls" | "band") && self.eat('(') {
            let first = self.number()?;
            let expr = if name == "walls" {
                Expr::WallsLessOver(first)
            } else {
                if !self.eat(',') {
                    return Err(self.complain("band needs two heights with a comma between"));
                }
                Expr::Band(first, self.number()?)
            };
            return if self.eat(')') { Ok(expr) } else { Err(self.complain("a closing bracket is missing")) };
        }
        if let Some(sold) = SoldIn::named(&name)
            && self.eat('(')
        {
            return Ok(Expr::In(sold, Box::new(self.brackets()?)));
        }
        match Measure::ALL.iter().find(|(known, _)| *known == name) {
            Some((_, measure)) => Ok(Expr::Measure(*measure)),
            None => {
                self.at = start;
                Err(self.complain(&format!("`{name}` is no measure of a room")))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rules_are_written_as_they_are_read() {
        for text in [
            "floor",
            "sqm(floor+walls(2))*3",
            "walls/350*2",
            "2*(floor+ceiling)",
            "band(3,4.5)",
            "walls(32)",
            "1-(2-3)",
            "12.5",
        ] {
            assert_eq!(text.parse::<Quantity>().map(|q| q.to_string()), Ok(text.to_owned()));
        }
    }

    #[test]
    fn a_number_in_brackets_is_a_number() {
        assert_eq!("((2.50))".parse::<Quantity>(), "2.5".parse::<Quantity>());
    }

    #[test]
    fn bad_rules_say_where() {
        for text in ["", "-3", "floor +", "flor", "band(3)", "walls(", "floor floor", "1..2"] {
            assert!(text.parse::<Quantity>().is_err(), "{text}");
        }
        let deep = "(".repeat(200);
        assert!(deep.parse::<Quantity>().is_err());
        assert!("2*flor".parse::<Quantity>().is_err_and(|e| e.contains("character 3")));
    }
}
