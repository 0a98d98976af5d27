//! Money: exact decimal amounts, never floats, with the rounding named at each use.

use rust_decimal::{Decimal, RoundingStrategy};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::iter::Sum;

/// An amount in the project's currency.
///
/// There is no operator between two kinds of number here: amounts add to amounts, and a product with a
/// quantity or a rate goes through a method that names its rounding. Sums beyond the range of a decimal
/// (about 7.9e28) saturate; entry limits keep real projects far from there.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Money(Decimal);

impl Money {
    /// Nothing.
    pub const ZERO: Money = Money(Decimal::ZERO);

    /// The amount as given, unrounded.
    pub const fn new(amount: Decimal) -> Money {
        Money(amount)
    }

    /// The amount as a decimal.
    pub const fn amount(self) -> Decimal {
        self.0
    }

    /// True when nothing is owed either way.
    pub fn is_zero(&self) -> bool {
        self.0.is_zero()
    }

    /// True below zero.
    pub fn is_negative(self) -> bool {
        self.0.is_sign_negative() && !self.0.is_zero()
    }

    /// The difference, saturating.
    pub fn less(self, other: Money) -> Money {
        Money(self.0.saturating_sub(other.0))
    }

    /// The sum, saturating.
    pub fn plus(self, other: Money) -> Money {
        Money(self.0.saturating_add(other.0))
    }

    /// The amount without its sign.
    pub fn abs(self) -> Money {
        Money(self.0.abs())
    }

    /// The larger of the two.
    pub fn at_least(self, floor: Money) -> Money {
        Money(self.0.max(floor.0))
    }

    /// Rounds half away from zero to the currency's minor unit: 1.005 becomes 1.01.
    pub fn round_half_up(self, currency: Currency) -> Money {
        Money(half_up(self.0, currency.minor_digits()))
    }

    /// A percentage of the amount, rounded half up to the minor unit.
    pub fn percent(self, pct: Decimal, currency: Currency) -> Money {
        let digits = currency.minor_digits();
        let exact = Product::of(self.0).times(pct).and_then(|p| p.percent().rounded(digits, digits));
        Money(exact.unwrap_or_else(|| half_up(self.0.saturating_mul(pct).saturating_mul(HUNDREDTH), digits)))
    }

    /// The amount and so many percent of it more, these rounded half up to the minor unit.
    pub fn more_by(self, pct: Decimal, currency: Currency) -> Money {
        self.plus(self.percent(pct, currency))
    }

    /// Sales tax at `pct` percent: carried to the third decimal place and rounded up to the next cent when
    /// that digit is above four. Source of the rule: Rhode Island 44-18.1-25 and Kansas 79-3676.
    pub fn tax(self, pct: Decimal, currency: Currency) -> Money {
        let digits = currency.minor_digits();
        let exact = Product::of(self.0).times(pct).and_then(|p| p.percent().rounded(digits + 1, digits));
        Money(exact.unwrap_or_else(|| {
            let long = self.0.saturating_mul(pct).saturating_mul(HUNDREDTH);
            half_up(long.trunc_with_scale(digits + 1), digits)
        }))
    }

    /// The text with exactly the currency's minor digits and no grouping, as used in sheets and JSON.
    pub fn to_plain(self, currency: Currency) -> String {
        let mut rounded = half_up(self.0, currency.minor_digits());
        rounded.rescale(currency.minor_digits());
        if rounded.is_zero() {
            rounded.set_sign_positive(true);
        }
        rounded.to_string()
    }
}

const HUNDREDTH: Decimal = Decimal::from_parts(1, 0, 0, false, 2);

fn half_up(value: Decimal, digits: u32) -> Decimal {
    if value.scale() <= digits {
        return value;
    }
    value.round_dp_with_strategy(digits, RoundingStrategy::MidpointAwayFromZero)
}

/// A product of decimals in one machine integer, which holds the usual ones exactly and is many times faster than a
/// chain of decimal steps. What does not fit is `None` and goes the long way.
struct Product {
    mantissa: i128,
    scale: u32,
}

impl Product {
    fn of(value: Decimal) -> Product {
        Product { mantissa: value.mantissa(), scale: value.scale() }
    }

    fn times(self, factor: Decimal) -> Option<Product> {
        let by = factor.mantissa();
        // Two machine words always make a double word, without a test for overflow.
        let mantissa = match (i64::try_from(self.mantissa), i64::try_from(by)) {
            (Ok(a), Ok(b)) => i128::from(a) * i128::from(b),
            _ => self.mantissa.checked_mul(by)?,
        };
        Some(Product { mantissa, scale: self.scale + factor.scale() })
    }

    fn percent(self) -> Product {
        Product { scale: self.scale + 2, ..self }
    }

    /// A hundred less so many percent, as a factor of percent.
    fn less_percent(self, pct: Decimal) -> Option<Product> {
        let hundred = i128::from(*SMALL_POWERS.get(pct.scale() as usize + 2)?);
        let left =
            Decimal::try_from_i128_with_scale(hundred.checked_sub(pct.mantissa())?, pct.scale()).ok()?;
        Some(self.times(left)?.percent())
    }

    /// Cut off after `kept` places where it has more and `kept` is beyond `digits`, then rounded half away from zero
    /// to `digits`.
    fn rounded(self, kept: u32, digits: u32) -> Option<Decimal> {
        let (mantissa, scale) = (self.mantissa, self.scale);
        if scale <= digits {
            return Decimal::try_from_i128_with_scale(mantissa, scale).ok();
        }
        let cut = if kept > digits { scale.saturating_sub(kept) } else { 0 };
        let round = scale - cut - digits;
        // The usual amounts fit the division of the machine, which is many times faster.
        if let (Ok(exact), Some(cut_unit), Some(unit)) =
            (i64::try_from(mantissa), SMALL_POWERS.get(cut as usize), SMALL_POWERS.get(round as usize))
        {
            let kept = if cut == 0 { exact } else { exact / cut_unit };
            if let Some(kept) = kept.checked_add(if kept < 0 { -unit / 2 } else { unit / 2 }) {
                return Some(Decimal::new(kept / unit, digits));
            }
        }
        let (cut_unit, unit) = (10_i128.checked_pow(cut)?, 10_i128.checked_pow(round)?);
        let kept = mantissa / cut_unit;
        let rounded = kept.checked_add(kept.signum() * (unit / 2))? / unit;
        Decimal::try_from_i128_with_scale(rounded, digits).ok()
    }
}

/// Powers of ten by exponent: they are asked for with every rounding.
const SMALL_POWERS: [i64; 10] =
    [1, 10, 100, 1_000, 10_000, 100_000, 1_000_000, 10_000_000, 100_000_000, 1_000_000_000];

/// Quantity times unit price less the discount, rounded half up to the minor unit.
///
/// `None` when the product is beyond the range of a decimal.
pub fn line_amount(
    quantity: Decimal,
    unit_price: Money,
    discount_pct: Decimal,
    currency: Currency,
) -> Option<Money> {
    let digits = currency.minor_digits();
    let endless = quantity.scale() > ENDLESS;
    let exact = Product::of(quantity).times(unit_price.0).filter(|_| !endless).and_then(|gross| {
        let net = if discount_pct.is_zero() { gross } else { gross.less_percent(discount_pct)? };
        net.rounded(digits, digits)
    });
    if let Some(exact) = exact {
        return Some(Money(exact));
    }
    let gross = quantity.checked_mul(unit_price.0)?;
    let net = if discount_pct.is_zero() {
        gross
    } else {
        gross.checked_mul((Decimal::ONE_HUNDRED - discount_pct).checked_mul(HUNDREDTH)?)?
    };
    // A quantity that does not come out even is cut off at its last place, so an amount on half a cent comes out just
    // below it.
    let net = if endless { half_up(net, digits + 9) } else { net };
    Some(Money(half_up(net, digits)))
}

/// Quantities with more places than this come from a division that does not come out even.
const ENDLESS: u32 = 15;

/// Shares `total` in proportion to `weights`, to the minor unit, by largest remainder.
///
/// Each share is rounded down, then the units left over go to the largest remainders, ties in the order given.
/// The shares always add up to `total` rounded to the minor unit. When no weight is positive the first takes all.
pub fn share_largest_remainder(total: Money, weights: &[Money], currency: Currency) -> Vec<Money> {
    let digits = currency.minor_digits();
    let mut units: Vec<i128> = weights.iter().map(|w| minor_units(*w, digits)).collect();
    share_units(minor_units(total, digits), &mut units, &mut Vec::new());
    units.into_iter().map(|u| from_minor_units(u, digits)).collect()
}

/// The same in whole minor units: takes the weights and leaves the shares in their place. `remainders` is room to work
/// in, so that many calls can use the same.
pub(crate) fn share_units(total: i128, weights: &mut [i128], remainders: &mut Vec<(u64, usize)>) {
    if let [one] = weights {
        *one = total;
        return;
    }
    let (sign, total) = (total.signum(), total.abs());
    weights.iter_mut().for_each(|w| *w = (*w).max(0));
    let sum: i128 = weights.iter().sum();
    let largest_quota = total.checked_mul(sum).unwrap_or(0);
    if largest_quota == 0 {
        weights.fill(0);
        if let Some(first) = weights.first_mut() {
            *first = sign * total;
        }
        return;
    }
    match (u64::try_from(total), u64::try_from(sum), u64::try_from(largest_quota)) {
        // The usual amounts fit the division of the machine, which is many times faster.
        (Ok(total), Ok(sum), Ok(_)) => {
            remainders.clear();
            let mut left = total;
            for (i, weight) in weights.iter_mut().enumerate() {
                // No weight is negative or above their sum.
                let quota = total * u64::try_from(*weight).unwrap_or(0);
                let share = quota / sum;
                left -= share;
                *weight = sign * i128::from(share);
                remainders.push((quota % sum, i));
            }
            hand_out(usize::try_from(left).unwrap_or(0), remainders, |i| weights[i] += sign);
        }
        _ => {
            let mut left = total;
            let mut remainders = Vec::with_capacity(weights.len());
            for (i, weight) in weights.iter_mut().enumerate() {
                let quota = total * *weight;
                left -= quota / sum;
                *weight = sign * (quota / sum);
                remainders.push((quota % sum, i));
            }
            hand_out(usize::try_from(left).unwrap_or(0), &mut remainders, |i| weights[i] += sign);
        }
    }
}

/// Gives one unit each to the `count` largest remainders, ties in the order given.
fn hand_out<R: Ord>(count: usize, remainders: &mut [(R, usize)], mut give: impl FnMut(usize)) {
    match count {
        0 => return,
        // The usual case, and the first of the largest needs no sorting.
        1 => {
            let largest = remainders.iter().reduce(|best, next| if next.0 > best.0 { next } else { best });
            largest.into_iter().for_each(|(_, i)| give(*i));
            return;
        }
        _ => {}
    }
    if count < remainders.len() {
        remainders.select_nth_unstable_by(count - 1, |a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
    }
    remainders.iter().take(count).for_each(|(_, i)| give(*i));
}

/// An amount, rounded half up, as a whole number of minor units.
#[inline]
pub(crate) fn minor_units(amount: Money, digits: u32) -> i128 {
    // Nothing is nothing at any scale, and most shares of freight and payments are.
    if amount.0.scale() == digits || amount.0.is_zero() {
        return amount.0.mantissa();
    }
    minor_units_of(amount, digits)
}

fn minor_units_of(amount: Money, digits: u32) -> i128 {
    let mut rounded = half_up(amount.0, digits);
    if rounded.scale() != digits {
        rounded.rescale(digits);
    }
    rounded.mantissa()
}

/// The amount of so many minor units.
#[inline]
pub(crate) fn from_minor_units(units: i128, digits: u32) -> Money {
    Money(match i64::try_from(units) {
        Ok(units) => Decimal::new(units, digits),
        Err(_) => Decimal::try_from_i128_with_scale(units, digits).unwrap_or_default(),
    })
}

impl Sum for Money {
    fn sum<I: Iterator<Item = Money>>(iter: I) -> Money {
        iter.fold(Money::ZERO, Money::plus)
    }
}

impl From<Decimal> for Money {
    fn from(amount: Decimal) -> Money {
        Money(amount)
    }
}

/// A currency by its ISO 4217 code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Currency {
    code: [u8; 3],
    /// Follows from the code; kept because every rounding asks for it.
    digits: u8,
}

impl Currency {
    /// The currency of a new project.
    pub const USD: Currency = Currency::new(*b"USD");

    const fn new(code: [u8; 3]) -> Currency {
        Currency { code, digits: digits_of(code) }
    }

    /// Reads a three-letter code; `None` for anything else.
    pub fn from_code(code: &str) -> Option<Currency> {
        let bytes: [u8; 3] = code.trim().as_bytes().try_into().ok()?;
        bytes
            .iter()
            .all(u8::is_ascii_alphabetic)
            .then(|| Currency::new(bytes.map(|b| b.to_ascii_uppercase())))
    }

    /// The three letters.
    pub fn code(&self) -> &str {
        std::str::from_utf8(&self.code).unwrap_or("USD")
    }

    /// Digits of the minor unit.
    pub fn minor_digits(self) -> u32 {
        u32::from(self.digits)
    }
}

/// Digits of the minor unit (ISO 4217, from memory): 2 for most, 0 or 3 for those listed here.
const fn digits_of(code: [u8; 3]) -> u8 {
    match &code {
        b"BIF" | b"CLP" | b"DJF" | b"GNF" | b"ISK" | b"JPY" | b"KMF" | b"KRW" | b"PYG" | b"RWF" | b"UGX"
        | b"VND" | b"VUV" | b"XAF" | b"XOF" | b"XPF" => 0,
        b"BHD" | b"IQD" | b"JOD" | b"KWD" | b"LYD" | b"OMR" | b"TND" => 3,
        _ => 2,
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

impl Serialize for Currency {
    fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(self.code())
    }
}

impl<'de> Deserialize<'de> for Currency {
    fn deserialize<D: serde::Deserializer<'de>>(d: D) -> Result<Currency, D::Error> {
        let text = String::deserialize(d)?;
        Currency::from_code(&text)
            .ok_or_else(|| serde::de::Error::custom(format!("`{text}` is no three-letter currency code")))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The short way gives what the long way gives, at every scale and sign.
    #[test]
    fn machine_integers_round_like_decimals() {
        let usd = Currency::USD;
        let values = [0, 1, 5, 49, 50, 64, 995, 1005, 4_171_961, 99_999_995, 123_456_789_012];
        for (mantissa, scale) in values.iter().flat_map(|m| (0..7).map(move |s| (*m, s))) {
            for (pct, sign) in [(7, 1), (825, 1), (9_821, -1), (100_000, 1)] {
                let (value, pct) = (Decimal::new(sign * mantissa, scale), Decimal::new(pct, 3));
                let long = value * pct * HUNDREDTH;
                assert_eq!(Money(value).percent(pct, usd).0, half_up(long, 2), "{value} at {pct}");
                assert_eq!(
                    Money(value).tax(pct, usd).0,
                    half_up(long.trunc_with_scale(3), 2),
                    "{value} at {pct}"
                );
                let net = half_up(value * pct * (Decimal::ONE_HUNDRED - pct) * HUNDREDTH, 2);
                assert_eq!(line_amount(value, Money(pct), pct, usd), Some(Money(net)), "{value} x {pct}");
            }
        }
    }
}
