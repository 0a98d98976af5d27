//! The measures things are sold in, and the waste that a way of laying usually leaves.

use super::project::Units;
use super::units::{self, Dimension};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

/// A measure in which something is sold, whatever the project measures its rooms in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SoldIn {
    /// Feet of length.
    Feet,
    /// Yards of length.
    Yards,
    /// Meters of length.
    Meters,
    /// Square feet.
    SquareFeet,
    /// Square yards.
    SquareYards,
    /// Square meters.
    SquareMeters,
    /// Cubic feet.
    CubicFeet,
    /// Cubic yards.
    CubicYards,
    /// Cubic meters.
    CubicMeters,
}

/// Each with its name in rules, and the kind and size of the unit it is.
const NAMES: [(SoldIn, &str, Dimension, Decimal); 9] = [
    (SoldIn::Feet, "ft", Dimension::Length, units::FOOT),
    (SoldIn::Yards, "yd", Dimension::Length, units::YARD),
    (SoldIn::Meters, "m", Dimension::Length, Decimal::ONE),
    (SoldIn::SquareFeet, "sqft", Dimension::Area, units::SQUARE_FOOT),
    (SoldIn::SquareYards, "sqyd", Dimension::Area, units::SQUARE_YARD),
    (SoldIn::SquareMeters, "sqm", Dimension::Area, Decimal::ONE),
    (SoldIn::CubicFeet, "cuft", Dimension::Volume, units::CUBIC_FOOT),
    (SoldIn::CubicYards, "cuyd", Dimension::Volume, units::CUBIC_YARD),
    (SoldIn::CubicMeters, "cum", Dimension::Volume, Decimal::ONE),
];

impl SoldIn {
    /// Its name in rules: `sqm` in `sqm(floor)`.
    pub fn name(self) -> &'static str {
        NAMES.iter().find(|(sold, ..)| *sold == self).map_or("", |(_, name, ..)| name)
    }

    /// The measure with a name in rules.
    pub fn named(name: &str) -> Option<SoldIn> {
        NAMES.iter().find(|(_, known, ..)| *known == name).map(|(sold, ..)| *sold)
    }

    /// The measure that the unit of a part means; `None` for `each`, `box` and any other word.
    pub fn of_unit(unit: &str) -> Option<SoldIn> {
        let (meant, size) = units::unit_sold(unit)?;
        NAMES.iter().find(|(_, _, kind, of)| *kind == meant && *of == size).map(|(sold, ..)| *sold)
    }

    /// 1 for a length, 2 for an area, 3 for a volume.
    pub fn dimension(self) -> u32 {
        match NAMES.iter().find(|(sold, ..)| *sold == self) {
            Some((_, _, Dimension::Volume, _)) => 3,
            Some((_, _, Dimension::Area, _)) => 2,
            _ => 1,
        }
    }

    /// A length, area or volume of a project in this measure. Sizes of units are exact, so the only rounding is that of
    /// the division, at the last of the places of a decimal. `None` beyond the range of a decimal.
    pub fn convert(self, value: Decimal, from: Units) -> Option<Decimal> {
        let side = from.meters();
        let from = (1..self.dimension()).fold(side, |power, _| power * side);
        let to = NAMES.iter().find(|(sold, ..)| *sold == self)?.3;
        if from == to { Some(value) } else { value.checked_mul(from)?.checked_div(to) }
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
