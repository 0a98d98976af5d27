//! What the finish hangs on: the phases and parts that fix it in trials, and what waiting with an order costs.

use super::outcome::Risk;
use crate::engine::calendar::Day;
use crate::engine::figures::Figures;
use crate::model::{Project, Subject};
use rust_decimal::Decimal;

/// A phase or a part.
#[derive(Debug, Clone, PartialEq)]
pub struct Hangs {
    /// The phase or the part.
    pub subject: Subject,
    /// Its name; of a part with what it is for.
    pub name: String,
    /// Trials in which it fixes the finish.
    pub fixing: u32,
    /// Working days by which the finish is later on average when it is ordered a week later; `None` where it is ordered, or
    /// nothing to order.
    pub week_costs: Option<Decimal>,
    /// The last day to order it, as everything is likely.
    pub order_by: Option<Day>,
    /// The last day to order it with the confidence asked for.
    pub order_by_sure: Option<Day>,
}

impl Risk {
    /// All that fixes the finish in some trial, or costs something to wait with: what fixes it most often first.
    pub fn hangs(&self, project: &Project, figures: &Figures) -> Vec<Hangs> {
        let phases = project.phases.iter().zip(&self.phases).map(|(phase, own)| Hangs {
            subject: Subject::Phase(phase.id),
            name: phase.name.clone(),
            fixing: own.fixing,
            week_costs: None,
            order_by: None,
            order_by_sure: None,
        });
        let parts = project.all_parts().zip(figures.parts.iter().zip(&self.parts));
        let parts = parts.map(|((selection, _, part), (figures, own))| {
            let open = own.week_costs.is_some();
            let same = part.name == selection.name;
            Hangs {
                subject: Subject::Part(part.id),
                name: if same { part.name.clone() } else { format!("{}: {}", selection.name, part.name) },
                fixing: own.fixing,
                week_costs: own.week_costs,
                order_by: figures.order_by.filter(|_| open),
                order_by_sure: own.order_by.filter(|_| open),
            }
        });
        let costs = |row: &Hangs| row.week_costs.unwrap_or_default();
        let counts = |row: &Hangs| row.fixing > 0 || !costs(row).is_zero();
        let mut rows: Vec<Hangs> = phases.chain(parts).filter(counts).collect();
        rows.sort_by(|a, b| b.fixing.cmp(&a.fixing).then(costs(b).cmp(&costs(a))));
        rows
    }
}
