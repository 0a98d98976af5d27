//! Finding things in a document by their numbers.

use super::budget::Quote;
use super::change::Change;
use super::crew::Crew;
use super::gate::{Condition, Gate};
use super::ids::*;
use super::order::Order;
use super::part::Part;
use super::phase::Phase;
use super::project::Project;
use super::room::Room;
use super::selection::{Selection, SelectionOption};
use super::supplier::Supplier;
use std::sync::Arc;

impl Project {
    /// The room with this number.
    pub fn room(&self, id: RoomId) -> Option<&Room> {
        self.rooms.get(self.index.rooms.find(&self.rooms, id.0, |r| r.id == id)?)
    }

    /// The phase with this number.
    pub fn phase(&self, id: PhaseId) -> Option<&Phase> {
        self.phases.get(self.phase_at(id)?)
    }

    /// The supplier with this number.
    pub fn supplier(&self, id: SupplierId) -> Option<&Supplier> {
        self.suppliers.get(self.index.suppliers.find(&self.suppliers, id.0, |s| s.id == id)?)
    }

    /// The crew with this number.
    pub fn crew(&self, id: CrewId) -> Option<&Crew> {
        self.crews.iter().find(|c| c.id == id)
    }

    /// The change with this number.
    pub fn change(&self, id: ChangeId) -> Option<&Change> {
        self.changes.iter().find(|c| c.id == id)
    }

    /// The quote with this number.
    pub fn quote(&self, id: QuoteId) -> Option<&Quote> {
        self.quotes.iter().find(|q| q.id == id)
    }

    /// The gate with this number.
    pub fn gate(&self, id: GateId) -> Option<&Gate> {
        self.gates.get(self.index.gates.find(&self.gates, id.0, |g| g.id == id)?)
    }

    /// The condition with this number and the gate it belongs to.
    pub fn condition(&self, id: ConditionId) -> Option<(&Gate, &Condition)> {
        let of = |g: &Gate| g.conditions.iter().position(|c| c.id == id);
        let gate = self.gates.get(self.index.gates.find(&self.gates, id.0, |g| of(g).is_some())?)?;
        Some((gate, gate.conditions.get(of(gate)?)?))
    }

    /// The order with this number.
    pub fn order(&self, id: OrderId) -> Option<&Order> {
        self.orders.get(self.index.orders.find(&self.orders, id.0, |o| o.id == id)?)
    }

    /// The selection with this number.
    pub fn selection(&self, id: SelectionId) -> Option<&Selection> {
        self.selections.get(self.selection_at(id)?).map(Arc::as_ref)
    }

    /// The option with this number and the selection it belongs to.
    pub fn option(&self, id: OptionId) -> Option<(&Selection, &SelectionOption)> {
        let selection = self.selections.get(self.option_at(id)?)?;
        Some((selection, selection.option(id)?))
    }

    /// The part with this number, its option and its selection.
    pub fn part(&self, id: PartId) -> Option<(&Selection, &SelectionOption, &Part)> {
        let selection = self.selections.get(self.part_at(id)?)?;
        let (option, part) = selection.part(id)?;
        Some((selection, option, part))
    }

    /// The position of a phase.
    pub fn phase_at(&self, id: PhaseId) -> Option<usize> {
        self.index.phases.find(&self.phases, id.0, |p| p.id == id)
    }

    /// The position of a selection.
    pub(super) fn selection_at(&self, id: SelectionId) -> Option<usize> {
        self.index.selections.find(&self.selections, id.0, |s| s.id == id)
    }

    /// The position of the selection of an option.
    pub(super) fn option_at(&self, id: OptionId) -> Option<usize> {
        self.index.selections.find(&self.selections, id.0, |s| s.option(id).is_some())
    }

    /// The position of the selection of a part.
    pub(super) fn part_at(&self, id: PartId) -> Option<usize> {
        self.index.selections.find(&self.selections, id.0, |s| s.part(id).is_some())
    }

    /// All parts in document order.
    pub fn all_parts(&self) -> impl Iterator<Item = (&Selection, &SelectionOption, &Part)> {
        self.selections
            .iter()
            .flat_map(|s| s.options.iter().flat_map(move |o| o.parts.iter().map(move |p| (s.as_ref(), o, p))))
    }
}
