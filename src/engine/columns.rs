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

    /// Forecast less allowance; negative is under.
    pub fn over_under(&self) -> Money {
        self.forecast.less(self.allowance)
    }
}
