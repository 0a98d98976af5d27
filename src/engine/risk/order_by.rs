//! The last day to order with a confidence: reckoned by the lead time that is kept with at least that chance, and never
//! drawn.

use super::arrivals::{in_days, spread};
use crate::engine::calendar::Day;
use crate::engine::figures::{Figures, PartFigures};
use crate::engine::lead::{Lead, counted};
use crate::model::{Part, Project};

/// The last day to order the part at a position so that it comes by its need date with a chance of at least so many
/// percent. `None` for a part that is ordered or needed on no day, or whose lead time nobody has said and none is typical.
/// Where the part can be ordered only after a phase, this too may lie before the day it can be ordered on.
pub fn order_by_at(project: &Project, figures: &Figures, part: usize, confidence: u32) -> Option<Day> {
    let own = figures.parts.get(part)?;
    let option = project.selections.get(own.selection as usize)?.options.get(own.option as usize)?;
    let part = option.parts.iter().find(|part| part.id == own.id)?;
    of_part(project, figures, own, part, confidence)
}

/// The earliest of these days over what counts of the selection at a position and is not ordered, with the confidence that
/// the project asks for.
pub fn order_by_sure(project: &Project, figures: &Figures, selection: usize) -> Option<Day> {
    let own = figures.selections.get(selection)?;
    let live = (own.first_part..own.end_part).filter(|at| figures.parts.get(*at).is_some_and(|f| f.live));
    live.filter_map(|at| order_by_at(project, figures, at, project.settings.confidence)).min()
}

/// The same of a part with its figures.
pub(super) fn of_part(
    project: &Project,
    figures: &Figures,
    own: &PartFigures,
    part: &Part,
    confidence: u32,
) -> Option<Day> {
    if own.placed.is_some() {
        return None;
    }
    let (need, lead) = (own.need_date?, counted(project, part)?);
    let count = u32::try_from(spread(project, part).percentile(confidence)).unwrap_or(0);
    let desk = figures.days.supplier(own.supplier.map(|s| s as usize));
    Some(desk.order_by(need, Lead { count, unit: in_days(lead).unit }))
}
