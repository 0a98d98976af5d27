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
    /// either, the allowance.
    pub forecast: Money,
}

impl Columns {
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
}

impl std::ops::AddAssign for Columns {
    fn add_assign(&mut self, other: Columns) {
        self.allowance = self.allowance.plus(other.allowance);
        self.chosen = self.chosen.plus(other.chosen);
        self.ordered = self.ordered.plus(other.ordered);
        self.paid = self.paid.plus(other.paid);
        self.forecast = self.forecast.plus(other.forecast);
    }
}
