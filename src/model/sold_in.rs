//! The measures things are sold in, and the waste that a way of laying usually leaves.

use super::project::Units;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

/// A measure in which something is sold, whatever the project measures its rooms in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SoldIn {
    /// Feet of length.
    Feet,
    /// Yards of length.
    Yards,
    /// Metres of length.
    Metres,
    /// Square feet.
    SquareFeet,
    /// Square yards.
    SquareYards,
    /// Square metres.
    SquareMetres,
    /// Cubic feet.
    CubicFeet,
    /// Cubic yards.
    CubicYards,
    /// Cubic metres.
    CubicMetres,
}

/// Each with its name in rules, and the units of parts that mean it.
const NAMES: [(SoldIn, &str, &[&str]); 9] = [
    (SoldIn::Feet, "ft", &["ft", "foot", "feet", "lf", "lin ft", "linear foot", "linear feet"]),
    (SoldIn::Yards, "yd", &["yd", "yard", "yards"]),
    (SoldIn::Metres, "m", &["m", "metre", "metres", "meter", "meters", "lm", "lin m"]),
    (SoldIn::SquareFeet, "sqft", &["sq ft", "sqft", "sf", "ft2", "ft²", "square foot", "square feet"]),
    (SoldIn::SquareYards, "sqyd", &["sq yd", "sqyd", "sy", "yd2", "yd²", "square yard", "square yards"]),
    (
        SoldIn::SquareMetres,
        "sqm",
        &["sq m", "sqm", "m2", "m²", "square metre", "square metres", "square meters"],
    ),
    (SoldIn::CubicFeet, "cuft", &["cu ft", "cuft", "cf", "ft3", "ft³", "cubic foot", "cubic feet"]),
    (SoldIn::CubicYards, "cuyd", &["cu yd", "cuyd", "cy", "yd3", "yd³", "cubic yard", "cubic yards"]),
    (SoldIn::CubicMetres, "cum", &["cu m", "cum", "m3", "m³", "cubic metre", "cubic metres", "cubic meters"]),
];

impl SoldIn {
    /// Its name in rules: `sqm` in `sqm(floor)`.
    pub fn name(self) -> &'static str {
        NAMES.iter().find(|(sold, ..)| *sold == self).map_or("", |(_, name, _)| name)
    }

    /// The measure with a name in rules.
    pub fn named(name: &str) -> Option<SoldIn> {
        NAMES.iter().find(|(_, known, _)| *known == name).map(|(sold, ..)| *sold)
    }

    /// The measure that the unit of a part means; `None` for `each`, `box` and any other word.
    pub fn of_unit(unit: &str) -> Option<SoldIn> {
        let unit = unit.trim().trim_end_matches('.').to_lowercase();
        NAMES.iter().find(|(.., words)| words.contains(&unit.as_str())).map(|(sold, ..)| *sold)
    }

    /// 1 for a length, 2 for an area, 3 for a volume.
    pub fn dimension(self) -> u32 {
        match self {
            SoldIn::Feet | SoldIn::Yards | SoldIn::Metres => 1,
            SoldIn::SquareFeet | SoldIn::SquareYards | SoldIn::SquareMetres => 2,
            SoldIn::CubicFeet | SoldIn::CubicYards | SoldIn::CubicMetres => 3,
        }
    }

    fn side_in_metres(self) -> Decimal {
        match self {
            SoldIn::Feet | SoldIn::SquareFeet | SoldIn::CubicFeet => Units::Us.metres(),
            SoldIn::Yards | SoldIn::SquareYards | SoldIn::CubicYards => Units::Us.metres() * Decimal::from(3),
            SoldIn::Metres | SoldIn::SquareMetres | SoldIn::CubicMetres => Decimal::ONE,
        }
    }

    /// A length, area or volume of a project in this measure. The international foot is exactly 0.3048 m and the yard
    /// three feet (NIST Handbook 44, appendix C, from memory), so the only rounding is that of the division, at the
    /// last of the places of a decimal. `None` beyond the range of a decimal.
    pub fn convert(self, value: Decimal, from: Units) -> Option<Decimal> {
        let (from, to) = (from.metres(), self.side_in_metres());
        if from == to {
            return Some(value);
        }
        let power = |side: Decimal| (1..self.dimension()).fold(side, |power, _| power * side);
        value.checked_mul(power(from))?.checked_div(power(to))
    }
}

/// A way of laying tile, planks or sheets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Laying {
    /// Rows along the walls.
    Straight,
    /// Rows across the corners.
    Diagonal,
    /// Pieces at right angles in a zigzag.
    Herringbone,
    /// A pattern that must meet from piece to piece.
    Pattern,
}

impl Laying {
    /// All ways with their words in sheets.
    pub const ALL: [(&'static str, Laying); 4] = [
        ("straight", Laying::Straight),
        ("diagonal", Laying::Diagonal),
        ("herringbone", Laying::Herringbone),
        ("pattern", Laying::Pattern),
    ];

    /// The waste it usually leaves, in percent: tile 10 straight, 15 diagonal, 15 to 20 herringbone, of which the upper
    /// is taken (common practice, no source); goods with a pattern 25 to 30 (estimating course notes).
    pub fn usual_waste(self) -> Decimal {
        Decimal::from(match self {
            Laying::Straight => 10,
            Laying::Diagonal => 15,
            Laying::Herringbone => 20,
            Laying::Pattern => 30,
        })
    }
}
