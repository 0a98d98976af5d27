//! Take-off: sizes of rooms and the quantity to buy, in exact decimals.

use crate::model::quantity::{Expr, Measure, Operation, Quantity};
use crate::model::room::{Opening, Room, Shape};
use crate::model::{OpeningKind, Part, Units};
use rust_decimal::{Decimal, MathematicalOps, RoundingStrategy};

/// Divisions are cut off after this many places before packs are counted, so that a third of three is one pack and
/// not two. Lengths and areas entered by hand have far fewer places.
const PLACES: u32 = 12;
/// Without packs a quantity is kept as it is; what a division leaves in its last digits goes, so that a third of three
/// is one. No cent hangs on it.
const LAST_PLACES: u32 = 20;
const HUNDREDTH: Decimal = Decimal::from_parts(1, 0, 0, false, 2);

/// What a room measures, in the project's unit and its square and cube.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct RoomSize {
    /// Floor area.
    pub floor: Decimal,
    /// Wall area with nothing deducted.
    pub walls_gross: Decimal,
    /// Wall area less all openings, never below zero.
    pub walls: Decimal,
    /// Length around the room.
    pub perimeter: Decimal,
    /// Length around the room less doors and cased openings, never below zero.
    pub baseboard: Decimal,
    /// Floor area times height.
    pub volume: Decimal,
    /// What it is measured in.
    pub units: Units,
}

/// Measures a room.
pub fn room_size(room: &Room, units: Units) -> RoomSize {
    let (floor, perimeter) = match &room.shape {
        Shape::Rectangle { length, width } => {
            (length.saturating_mul(*width), (length + width).saturating_mul(Decimal::TWO))
        }
        Shape::Polygon(corners) => polygon(corners),
    };
    let walls_gross = perimeter.saturating_mul(room.height);
    let doors: Decimal = room
        .openings
        .iter()
        .filter(|o| o.kind.reaches_floor())
        .map(|o| o.width * Decimal::from(o.count))
        .sum();
    RoomSize {
        floor,
        walls_gross,
        walls: walls_less_openings(room, walls_gross, Decimal::ZERO),
        perimeter,
        baseboard: (perimeter - doors).max(Decimal::ZERO),
        volume: floor.saturating_mul(room.height),
        units,
    }
}

/// Wall area less the openings of at least `smallest` each. The trade leaves small ones in: for board, openings under
/// 32 square feet are not deducted (estimating course notes).
fn walls_less_openings(room: &Room, gross: Decimal, smallest: Decimal) -> Decimal {
    let area = |o: &Opening| o.width.saturating_mul(o.height);
    let deducted = room
        .openings
        .iter()
        .filter(|o| area(o) >= smallest)
        .fold(Decimal::ZERO, |sum, o| sum.saturating_add(area(o).saturating_mul(Decimal::from(o.count))));
    gross.saturating_sub(deducted).max(Decimal::ZERO)
}

/// Area and perimeter of a simple polygon by the shoelace formula; slanted sides by their square root.
fn polygon(corners: &[(Decimal, Decimal)]) -> (Decimal, Decimal) {
    let mut twice = Decimal::ZERO;
    for (i, (x1, y1)) in corners.iter().enumerate() {
        let (x2, y2) = corners[(i + 1) % corners.len()];
        twice += x1 * y2 - x2 * y1;
    }
    let around: Decimal = wall_lengths(corners).sum();
    ((twice / Decimal::TWO).abs().normalize(), around.round_dp(PLACES).normalize())
}

/// The length of each wall around a floor, in the unit of its corners: from each corner to the next.
pub fn wall_lengths(corners: &[(Decimal, Decimal)]) -> impl Iterator<Item = Decimal> + '_ {
    corners.iter().zip(corners.iter().cycle().skip(1)).map(|((x1, y1), (x2, y2))| {
        let (dx, dy) = ((x2 - x1).abs(), (y2 - y1).abs());
        if dx.is_zero() || dy.is_zero() { dx + dy } else { (dx * dx + dy * dy).sqrt().unwrap_or(dx + dy) }
    })
}

/// Why a rule gives no quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TakeoffError {
    /// A division by zero.
    DivisionByZero,
    /// Below zero.
    Negative,
    /// Beyond the range of a decimal.
    TooLarge,
}

impl TakeoffError {
    /// In words.
    pub fn message(self) -> &'static str {
        match self {
            TakeoffError::DivisionByZero => {
                "its quantity divides by zero; enter the size of the room or change the rule"
            }
            TakeoffError::Negative => "its quantity comes out below zero; change the rule",
            TakeoffError::TooLarge => "its quantity is too large to compute; check the numbers",
        }
    }
}

/// The quantity before waste and packs.
///
/// # Errors
/// A rule that divides by zero, goes below zero or beyond the range of a decimal.
pub fn needed(quantity: &Quantity, room: Option<&Room>, size: &RoomSize) -> Result<Decimal, TakeoffError> {
    match quantity {
        Quantity::Fixed(number) => Ok(*number),
        Quantity::Rule(expr) => {
            let value = evaluate(expr, room, size)?;
            // What divisions leave in the last digits below zero is nothing, and no slip of the rule.
            if value.is_sign_negative() && !value.round_dp(LAST_PLACES).is_zero() {
                return Err(TakeoffError::Negative);
            }
            Ok(value.max(Decimal::ZERO))
        }
    }
}

fn evaluate(expr: &Expr, room: Option<&Room>, size: &RoomSize) -> Result<Decimal, TakeoffError> {
    Ok(match expr {
        Expr::Number(number) => *number,
        Expr::Measure(Measure::Floor | Measure::Ceiling) => size.floor,
        Expr::Measure(Measure::Walls) => size.walls,
        Expr::Measure(Measure::WallsGross) => size.walls_gross,
        Expr::Measure(Measure::Perimeter) => size.perimeter,
        Expr::Measure(Measure::Baseboard) => size.baseboard,
        Expr::Measure(Measure::Volume) => size.volume,
        Expr::WallsLessOver(min) => {
            room.map_or(size.walls_gross, |r| walls_less_openings(r, size.walls_gross, *min))
        }
        Expr::Band(from, to) => band(room, size, *from, *to),
        Expr::In(sold, rule) => {
            sold.convert(evaluate(rule, room, size)?, size.units).ok_or(TakeoffError::TooLarge)?
        }
        Expr::Binary(left, operation, right) => {
            let (a, b) = (evaluate(left, room, size)?, evaluate(right, room, size)?);
            let result = match operation {
                Operation::Add => a.checked_add(b),
                Operation::Subtract => a.checked_sub(b),
                Operation::Multiply => a.checked_mul(b),
                Operation::Divide if b.is_zero() => return Err(TakeoffError::DivisionByZero),
                Operation::Divide => a.checked_div(b),
            };
            result.ok_or(TakeoffError::TooLarge)?
        }
    })
}

/// A band of wall around the room between two heights, less doors and cased openings as far as they reach into it.
/// Windows stay in: their sill height is not known.
fn band(room: Option<&Room>, size: &RoomSize, from: Decimal, to: Decimal) -> Decimal {
    let top = room.map_or(to, |r| if r.height.is_zero() { to } else { to.min(r.height) });
    let height = (top - from).max(Decimal::ZERO);
    let doors: Decimal = room
        .iter()
        .flat_map(|r| &r.openings)
        .filter(|o| o.kind != OpeningKind::Window)
        .map(|o| {
            let crossed = (o.height.min(top) - from).max(Decimal::ZERO);
            (o.width * Decimal::from(o.count)).saturating_mul(crossed)
        })
        .sum();
    size.perimeter.saturating_mul(height).saturating_sub(doors).max(Decimal::ZERO)
}

/// Units to buy: the quantity with its waste, then whole packs where the part is packed.
///
/// Waste comes before packs: 45 square feet and 10 percent in boxes of 10 are 5 boxes, not 6. Nothing else is rounded:
/// 80 square feet are 7.4322432 square meters.
///
/// # Errors
/// As [`needed`].
pub fn quantity_to_buy(part: &Part, room: Option<&Room>, size: &RoomSize) -> Result<Decimal, TakeoffError> {
    let net = needed(&part.quantity, room, size)?;
    let waste = part.waste();
    let with_waste = if waste.is_zero() {
        net
    } else {
        match more_by(net, waste) {
            Some(more) => more,
            None => {
                let factor = Decimal::ONE + waste * HUNDREDTH;
                net.checked_mul(factor).ok_or(TakeoffError::TooLarge)?
            }
        }
    };
    match part.pack {
        Some(pack) if !pack.is_zero() => {
            if let Some(quantity) = whole_packs(with_waste, pack) {
                return Ok(quantity);
            }
            let packs = with_waste.checked_div(pack).ok_or(TakeoffError::TooLarge)?;
            let whole = packs.round_dp_with_strategy(PLACES, RoundingStrategy::MidpointAwayFromZero).ceil();
            whole.checked_mul(pack).map(|q| q.normalize()).ok_or(TakeoffError::TooLarge)
        }
        _ if with_waste.scale() > LAST_PLACES => Ok(with_waste
            .round_dp_with_strategy(LAST_PLACES, RoundingStrategy::MidpointAwayFromZero)
            .normalize()),
        _ => Ok(with_waste),
    }
}

/// What a quantity to buy comes from, step by step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Steps {
    /// What the rule comes to.
    pub net: Decimal,
    /// The waste in percent that is added, where there is any.
    pub waste: Option<Decimal>,
    /// With its waste.
    pub with_waste: Decimal,
    /// How many packs of which size, where it is packed.
    pub packs: Option<(Decimal, Decimal)>,
    /// What is bought.
    pub to_buy: Decimal,
}

/// How the quantity to buy of a part comes about.
///
/// # Errors
/// As [`needed`].
pub fn steps(part: &Part, room: Option<&Room>, size: &RoomSize) -> Result<Steps, TakeoffError> {
    let to_buy = quantity_to_buy(part, room, size)?;
    let pack = part.pack.filter(|pack| !pack.is_zero());
    Ok(Steps {
        net: needed(&part.quantity, room, size)?,
        waste: Some(part.waste()).filter(|waste| !waste.is_zero()),
        with_waste: quantity_to_buy(&Part { pack: None, ..part.clone() }, room, size)?,
        packs: pack.and_then(|pack| Some((to_buy.checked_div(pack)?, pack))),
        to_buy,
    })
}

/// A quantity and so many percent more in machine integers. `None` for what does not fit.
fn more_by(quantity: Decimal, pct: Decimal) -> Option<Decimal> {
    if quantity.scale() > 6 || pct.scale() > 6 {
        return None;
    }
    let pct_more = 10_i64.pow(pct.scale() + 2).checked_add(i64::try_from(pct.mantissa()).ok()?)?;
    let mantissa = i64::try_from(quantity.mantissa()).ok()?.checked_mul(pct_more)?;
    Some(Decimal::new(mantissa, quantity.scale() + pct.scale() + 2))
}

/// Whole packs of a quantity of few places, in machine integers: exact, and many times faster than a division of
/// decimals. `None` for what does not fit.
fn whole_packs(quantity: Decimal, pack: Decimal) -> Option<Decimal> {
    if quantity.scale() > 6 || pack.scale() > 6 || quantity.is_sign_negative() {
        return None;
    }
    let scale = quantity.scale().max(pack.scale());
    let at_scale = |d: Decimal| u64::try_from(d.mantissa()).ok()?.checked_mul(10_u64.pow(scale - d.scale()));
    let (quantity, pack) = (at_scale(quantity)?, at_scale(pack)?);
    let mut units = quantity.div_ceil(pack).checked_mul(pack)?;
    let mut scale = scale;
    while scale > 0 && units.is_multiple_of(10) {
        (units, scale) = (units / 10, scale - 1);
    }
    Decimal::try_from_i128_with_scale(units.into(), scale).ok()
}
