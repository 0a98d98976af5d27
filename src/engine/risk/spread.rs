//! What is drawn: whole numbers of a triangular distribution, chances, one of several.
//!
//! All of it is reckoned in whole numbers, so that it is the same on every machine. A distribution with few values is a
//! table of the shares below each of them, exact to 2^-64; one with many is drawn by the inverse of its distribution
//! function with a whole square root, from the upper half of the number drawn.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// A triangular distribution over whole numbers: drawn, then rounded half up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Spread {
    /// The least.
    pub min: i64,
    /// What is likely.
    pub likely: i64,
    /// The most.
    pub max: i64,
}

/// Numbers that are drawn are shares of this.
const ALL: u128 = 1 << 64;

impl Spread {
    /// Around what is likely; what is missing is the likely one.
    pub fn new(min: Option<i64>, likely: i64, max: Option<i64>) -> Spread {
        Spread { min: min.unwrap_or(likely).min(likely), likely, max: max.unwrap_or(likely).max(likely) }
    }

    /// Whether it is one number alone.
    pub fn is_fixed(self) -> bool {
        self.min == self.max
    }

    /// The chance of so many or fewer, as a share of 2^64, rounded down. From the distribution function of the triangular
    /// distribution at half a unit more; exact while it spans less than two thousand million.
    pub fn up_to(self, value: i64) -> u128 {
        // Everything doubled, so that halves are whole.
        let at = 2 * value + 1;
        if at <= 2 * self.min {
            return 0;
        }
        if at >= 2 * self.max {
            return ALL;
        }
        let square = |n: i64| u128::from(n.unsigned_abs()).pow(2);
        let twice = |a: i64, b: i64| 4 * u128::from(self.max.abs_diff(self.min)) * u128::from(a.abs_diff(b));
        if at <= 2 * self.likely {
            square(at - 2 * self.min) * ALL / twice(self.likely, self.min)
        } else {
            ALL - (square(2 * self.max - at) * ALL).div_ceil(twice(self.max, self.likely))
        }
    }

    /// The least number that is at least so many percent likely not to be passed: the percentile of what is drawn, exactly.
    pub fn percentile(self, percent: u32) -> i64 {
        let (mut low, mut high) = (self.min, self.max);
        while low < high {
            let middle = low + (high - low) / 2;
            if self.up_to(middle) * 100 >= ALL * u128::from(percent) {
                high = middle;
            } else {
                low = middle + 1;
            }
        }
        low
    }

    /// What a number drawn gives, by the inverse of the distribution function.
    pub fn value(self, drawn: u64) -> i64 {
        let (drawn, one) = (u128::from(drawn >> 32), 1_u128 << 32);
        let width = |a: i64, b: i64| u128::from(a.abs_diff(b));
        let all = width(self.max, self.min);
        if drawn * all < one * width(self.likely, self.min) {
            let twice = (4 * drawn * all * width(self.likely, self.min) / one).isqrt();
            self.min + i64::try_from(twice.div_ceil(2)).unwrap_or(0)
        } else {
            let square = (4 * (one - drawn) * all * width(self.max, self.likely)).div_ceil(one);
            let root = square.isqrt();
            let twice = root + u128::from(root * root < square);
            self.max - i64::try_from(twice / 2).unwrap_or(0)
        }
    }
}

/// Wider than this, a table would take more room than it wins time.
const WIDEST: i64 = 1_000;

/// How a whole number is drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Dice {
    /// From a table: the least number, and for each of the others the share of 2^64 below it.
    Table(i64, Vec<u64>),
    /// By the inverse of the distribution function.
    Wide(Spread),
}

impl Dice {
    /// Of a triangular distribution.
    pub fn of(spread: Spread) -> Dice {
        if spread.max - spread.min > WIDEST {
            return Dice::Wide(spread);
        }
        let below = (spread.min..spread.max).map(|value| spread.up_to(value));
        Dice::Table(spread.min, below.map(|share| u64::try_from(share).unwrap_or(u64::MAX)).collect())
    }

    /// Of failures in a row, each with the same chance, at most so many.
    pub fn failures(fail: Chance, most: u32) -> Dice {
        // So many failures or fewer: what is left of all when there are more.
        let mut more = ALL;
        let below = (0..most).map(|_| {
            more = more * u128::from(fail.0) / ALL;
            u64::try_from(ALL - more).unwrap_or(u64::MAX)
        });
        Dice::Table(0, below.collect())
    }

    /// What a number drawn gives.
    pub fn value(&self, drawn: u64) -> i64 {
        match self {
            Dice::Table(least, below) => least + below.partition_point(|share| *share <= drawn) as i64,
            Dice::Wide(spread) => spread.value(drawn),
        }
    }
}

/// A chance, as a share of 2^64; certainty is a little less, and asked of [`Chance::is_sure`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Chance(u64);

impl Chance {
    /// From percent, of which nine digits count.
    pub fn of_percent(percent: Decimal) -> Chance {
        let billionths = (percent.max(Decimal::ZERO) * Decimal::from(10_000_000)).round();
        let billionths = u128::from(billionths.to_u64().unwrap_or(u64::MAX).min(1_000_000_000));
        Chance(u64::try_from(billionths * ALL / 1_000_000_000).unwrap_or(u64::MAX))
    }

    /// Whether it can never happen.
    pub fn is_none(self) -> bool {
        self.0 == 0
    }

    /// Whether it always happens.
    pub fn is_sure(self) -> bool {
        self.0 == u64::MAX
    }

    /// Whether a number drawn lets it happen.
    pub fn happens(self, drawn: u64) -> bool {
        self.is_sure() || drawn < self.0
    }
}

/// One of so many, each with equal chance.
pub fn one_of(count: usize, drawn: u64) -> usize {
    ((u128::from(drawn) * count as u128) >> 64) as usize
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_alone_is_itself() {
        let spread = Spread::new(None, 7, None);
        assert!(spread.is_fixed());
        for drawn in [0, 1, u64::MAX / 2, u64::MAX] {
            assert_eq!((Dice::of(spread).value(drawn), spread.value(drawn)), (7, 7));
        }
    }

    #[test]
    fn the_ends_are_reached_and_never_passed() {
        for spread in [
            Spread::new(Some(0), 0, Some(9)),
            Spread::new(Some(-4), 5, None),
            Spread::new(Some(3), 8, Some(21)),
        ] {
            for drawn in [0, u64::MAX] {
                let ends = if drawn == 0 { spread.min } else { spread.max };
                let [table, inverse] = [Dice::of(spread).value(drawn), spread.value(drawn)];
                assert!((table - ends).abs() <= 1 && (inverse - ends).abs() <= 1, "{spread:?}");
                assert!((spread.min..=spread.max).contains(&table), "{spread:?}: {table}");
                assert!((spread.min..=spread.max).contains(&inverse), "{spread:?}: {inverse}");
            }
        }
    }

    #[test]
    fn table_and_inverse_give_the_same_numbers() {
        let spread = Spread::new(Some(10), 25, Some(95));
        let dice = Dice::of(spread);
        let numbers = crate::engine::risk::generator::Generator::new(11);
        let other = (0..20_000).filter(|at| {
            let drawn = numbers.number(*at);
            dice.value(drawn) != spread.value(drawn)
        });
        // Only at the edges, where half of the number drawn does not tell.
        assert!(other.count() <= 1);
    }

    #[test]
    fn certainty_and_never_are_kept() {
        let sure = Chance::of_percent(Decimal::ONE_HUNDRED);
        assert!(sure.is_sure() && sure.happens(u64::MAX));
        assert!(Chance::of_percent(Decimal::ZERO).is_none());
        assert_eq!(Dice::failures(sure, 5).value(u64::MAX), 5);
    }

    #[test]
    fn one_of_several_is_one_of_them() {
        assert_eq!((one_of(3, 0), one_of(3, u64::MAX)), (0, 2));
    }
}
