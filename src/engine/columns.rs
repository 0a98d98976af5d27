//! The columns of the ledger of money.

use crate::model::Money;

/// The columns of the ledger.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Columns {
    /// Set aside.
    pub allowance: Money,
    /// Total of the choice.
    pub chosen: Money,
    /// Total of what is ordered.
    pub ordered: Money,
    /// Paid so far.
    pub paid: Money,
    /// What it will cost: the parts of the choice or of the option leaned to, and what was ordered besides; without
    /// either, the allowance. While a part has no price, what the others leave of the allowance stands for it.
    pub forecast: Money,
    /// Of the forecast, what rests on an allowance or on a scope of which no quote is accepted, and on no price.
    pub assumed: Money,
    /// Parts that count and of which nobody has said the price, ordered or not. Chosen and ordered are without them.
    pub unpriced: u32,
    /// What the forecast is without, since nothing stands for it: parts, selections and phases of work.
    pub left_out: u32,
}

impl Columns {
    /// Whether the forecast is the least it can be, and nobody knows by how much it will be more.
    pub fn is_least(&self) -> bool {
        self.left_out > 0
    }

    /// Ordered and not yet paid.
    pub fn to_pay(&self) -> Money {
        self.ordered.less(self.paid)
    }

    /// How much more another forecast is; negative is less.
    pub fn forecast_moves(&self, to: Money) -> Money {
        to.less(self.forecast)
    }

    /// Forecast less allowance; negative is under.
    pub fn over_under(&self) -> Money {
        self.forecast.less(self.allowance)
    }

    /// Whether the forecast is over an allowance: where none was set, nothing is over it.
    pub fn is_over(&self) -> bool {
        let over = self.over_under();
        !self.allowance.is_zero() && !over.is_zero() && !over.is_negative()
    }
}

impl std::ops::AddAssign for Columns {
    fn add_assign(&mut self, other: Columns) {
        self.allowance = self.allowance.plus(other.allowance);
        self.chosen = self.chosen.plus(other.chosen);
        self.ordered = self.ordered.plus(other.ordered);
        self.paid = self.paid.plus(other.paid);
        self.forecast = self.forecast.plus(other.forecast);
        self.assumed = self.assumed.plus(other.assumed);
        self.unpriced += other.unpriced;
        self.left_out += other.left_out;
    }
}
