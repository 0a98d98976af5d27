//! When a part arrives if it is ordered on a day, and until when it must be ordered to arrive in time.

use crate::engine::calendar::Day;
use crate::engine::days::SupplierDays;
use crate::model::{LeadUnit, Part, Project};

/// A lead time: a number and what it counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lead {
    /// How many.
    pub count: u32,
    /// Of what.
    pub unit: LeadUnit,
}

/// The lead times that are typical of a part of which nobody has said one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TypicalLeads {
    /// The short end.
    pub shortest: Lead,
    /// Counted in the forecast, marked assumed.
    pub likely: Lead,
    /// The long end: by this one asks in time.
    pub longest: Lead,
}

/// What is typical of a part by its kind: the project's own range, else the usual one. `None` when nobody has said what
/// kind of thing it is.
pub fn typical(project: &Project, part: &Part) -> Option<TypicalLeads> {
    let goods = part.goods?;
    let own = project.typical.iter().find(|own| own.goods == goods).copied();
    let range = own.unwrap_or_else(|| goods.usual());
    let lead = |count| Lead { count, unit: range.unit };
    Some(TypicalLeads {
        shortest: lead(range.shortest),
        likely: lead(range.lead),
        longest: lead(range.longest),
    })
}

/// The lead time that a part is counted with: what was said, else the likely one of its kind.
pub fn counted(project: &Project, part: &Part) -> Option<Lead> {
    Lead::of(part).or_else(|| typical(project, part).map(|typical| typical.likely))
}

impl Lead {
    /// The lead time of a part, where somebody has said one.
    pub fn of(part: &Part) -> Option<Lead> {
        part.lead.map(|count| Lead { count, unit: part.lead_unit })
    }

    /// Calendar days it takes at most, where one day in a week is open.
    pub fn at_most(self) -> i32 {
        match self.unit {
            LeadUnit::Working => self.days().saturating_mul(7),
            LeadUnit::Days | LeadUnit::Weeks => self.days(),
        }
    }

    fn days(self) -> i32 {
        let count = i32::try_from(self.count).unwrap_or(i32::MAX);
        match self.unit {
            LeadUnit::Weeks => count.saturating_mul(7),
            LeadUnit::Days | LeadUnit::Working => count,
        }
    }
}

impl SupplierDays<'_> {
    /// The day a part ordered on `day` arrives.
    ///
    /// The order is taken on the supplier's next open day. A lead time in working days runs on its open days; one in
    /// calendar days on every day outside its closed ranges. Shipping follows, and the first receiving day after it.
    pub fn arrival(&self, day: Day, lead: Lead) -> Day {
        let taken = self.order.index(day);
        let ready = match (lead.unit, self.lead) {
            (LeadUnit::Working, _) => self.order.day(taken.saturating_add(lead.days())),
            (_, None) => self.order.day(taken).plus(lead.days()),
            (_, Some(running)) => {
                running.day(running.index(self.order.day(taken)).saturating_add(lead.days()))
            }
        };
        self.receive.roll_forward(ready.plus(self.ship_days))
    }

    /// The last open day on which an order still arrives by `need`. The inverse of [`Self::arrival`]:
    /// `arrival(order_by) <= need < arrival(next open day)`.
    pub fn order_by(&self, need: Day, lead: Lead) -> Day {
        let ready = self.receive.roll_back(need).plus(-self.ship_days);
        match (lead.unit, self.lead) {
            (LeadUnit::Working, _) => {
                self.order.day(self.order.index_back(ready).saturating_sub(lead.days()))
            }
            (_, None) => self.order.roll_back(ready.plus(-lead.days())),
            (_, Some(running)) => {
                let last = running.index_back(ready).saturating_sub(lead.days());
                self.order.roll_back(running.day(last))
            }
        }
    }

    /// The next day after `day` on which the house can receive.
    pub fn next_receiving(&self, day: Day) -> Day {
        self.receive.roll_forward(day.plus(1))
    }
}
