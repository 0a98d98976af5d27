//! Units: what each measures, how much of its base unit it is, and what people call it.
//!
//! Exact by definition: inch 25.4 mm, foot 12 inches, yard 3 feet, pound 0.45359237 kg, gallon 231 cubic inches (NIST
//! Handbook 44, appendix C, from memory); areas, volumes and flows follow from these.

use rust_decimal::Decimal;

/// What kind of thing a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dimension {
    /// In meters.
    Length,
    /// In square meters.
    Area,
    /// In cubic meters.
    Volume,
    /// In cubic meters an hour: air and water alike.
    Flow,
    /// In liters a flush.
    Flush,
    /// In kilograms.
    Mass,
    /// In watts.
    Power,
}

use Dimension::{Area, Flow, Flush, Length, Mass, Power, Volume};

/// A kind, a size in its base unit, the names it has everywhere, and those it has only where something is sold: what is
/// sold by the `lm` is meters of it, but a lamp of `800 lm` is bright.
type Unit = (Dimension, Decimal, &'static [&'static str], &'static [&'static str]);

/// A foot in meters.
pub const FOOT: Decimal = size(3048, 4);
/// A yard in meters.
pub const YARD: Decimal = size(9144, 4);
/// A square foot in square meters.
pub const SQUARE_FOOT: Decimal = size(9_290_304, 8);
/// A square yard in square meters.
pub const SQUARE_YARD: Decimal = size(83_612_736, 8);
/// A cubic foot in cubic meters.
pub const CUBIC_FOOT: Decimal = size(28_316_846_592, 12);
/// A cubic yard in cubic meters.
pub const CUBIC_YARD: Decimal = size(764_554_857_984, 12);

const UNITS: [Unit; 26] = [
    (Length, size(254, 4), &["in", "inch", "inches", "\""], &[]),
    (Length, FOOT, &["ft", "foot", "feet", "'"], &["lf", "lin ft", "linear foot", "linear feet"]),
    (Length, YARD, &["yd"], &["yard", "yards"]),
    (Length, size(1, 3), &["mm"], &[]),
    (Length, size(1, 2), &["cm"], &[]),
    (Length, size(1, 0), &["m"], &["metre", "metres", "meter", "meters", "lm", "lin m"]),
    (Area, size(64_516, 8), &["sq in"], &[]),
    (Area, SQUARE_FOOT, &["sq ft"], &["sqft", "sf", "ft2", "ft²", "square foot", "square feet"]),
    (Area, SQUARE_YARD, &[], &["sq yd", "sqyd", "sy", "yd2", "yd²", "square yard", "square yards"]),
    (Area, size(1, 4), &["sq cm"], &[]),
    (Area, size(1, 0), &["sq m"], &["sqm", "m2", "m²", "square metre", "square metres", "square meters"]),
    (Volume, CUBIC_FOOT, &[], &["cu ft", "cuft", "cf", "ft3", "ft³", "cubic foot", "cubic feet"]),
    (Volume, CUBIC_YARD, &[], &["cu yd", "cuyd", "cy", "yd3", "yd³", "cubic yard", "cubic yards"]),
    (Volume, size(1, 0), &[], &["cu m", "cum", "m3", "m³", "cubic metre", "cubic metres", "cubic meters"]),
    (Flow, size(169_901_079_552, 11), &["cfm"], &[]),
    (Flow, size(36, 1), &["l/s"], &[]),
    (Flow, size(1, 0), &["m³/h", "m3/h"], &[]),
    (Flow, size(22_712_470_704, 11), &["gpm", "gal/min"], &[]),
    (Flow, size(6, 2), &["l/min", "lpm"], &[]),
    (Flush, size(3_785_411_784, 9), &["gpf", "gal/flush"], &[]),
    (Flush, size(1, 0), &["l/flush", "lpf"], &[]),
    (Mass, size(45_359_237, 8), &["lb", "lbs"], &[]),
    (Mass, size(1, 0), &["kg"], &[]),
    (Mass, size(1, 3), &["g"], &[]),
    (Power, size(1, 0), &["W"], &[]),
    (Power, size(1000, 0), &["kW"], &[]),
];

const fn size(number: i64, scale: u32) -> Decimal {
    let number = number as u64;
    Decimal::from_parts((number & 0xffff_ffff) as u32, (number >> 32) as u32, 0, false, scale)
}

/// The kind and the size of a unit of facts; `None` for a word of the project's own, which goes only with itself.
pub fn unit_of_fact(name: &str) -> Option<(Dimension, Decimal)> {
    find(|(_, _, names, _)| names.iter().any(|known| known.eq_ignore_ascii_case(name)))
}

/// The kind and the size of a unit in which something is sold; `None` for `each`, `box` and any other word.
pub fn unit_sold(name: &str) -> Option<(Dimension, Decimal)> {
    let name = name.trim().trim_end_matches('.').to_lowercase();
    find(|(_, _, names, sold)| names.contains(&name.as_str()) || sold.contains(&name.as_str()))
}

fn find(fits: impl Fn(&Unit) -> bool) -> Option<(Dimension, Decimal)> {
    UNITS.iter().find(|row| fits(row)).map(|(kind, size, ..)| (*kind, *size))
}
