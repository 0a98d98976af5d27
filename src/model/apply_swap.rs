//! Applying swaps, returns and rules, and keeping what they name from being removed.

use super::apply::{ActionError, put, refuse, remove};
use super::facts::{Rule, RuleOf, RuleWith};
use super::ids::*;
use super::part::Part;
use super::project::Project;
use super::selection::OptionState;
use super::swap::{Return, Swap, SwapAction};
use std::sync::Arc;

impl Project {
    /// Makes another option the choice, records it, and follows what was ordered for the old one.
    pub(super) fn swap(&mut self, action: &SwapAction) -> Result<(), ActionError> {
        for also in &action.also {
            self.perform(also)?;
        }
        let swap = &action.swap;
        swap.check_in(self)?;
        let Some(selection) = self.selection(swap.selection) else {
            return Err(ActionError::Gone("selection"));
        };
        if selection.choice().is_none_or(|o| o.id != swap.from) {
            return refuse(
                "the option that this swap leaves is not the choice; choose it first, or start anew",
            );
        }
        let of = |id: OptionId| {
            let option = selection.options.iter().find(|o| o.id == id);
            option.map_or_else(Vec::new, |o| o.parts.iter().map(|p| (p.id, p.is_ordered())).collect())
        };
        let left: Vec<(PartId, bool)> = of(swap.from);
        let taken: Vec<(PartId, bool)> = of(swap.to);
        let wants = |id: PartId| taken.iter().any(|(part, _)| *part == id);
        if let Some(gone) = self.returns.iter().find(|r| wants(r.part) && r.is_gone()) {
            let part = self.part(gone.part).map(|(_, _, p)| p);
            return refuse(format!(
                "{} {}; take that return back, or note the part as not ordered so that it is bought again",
                part.map_or("a part", |p| &p.name),
                gone.state.words(part.is_none_or(Part::is_on_site))
            ));
        }
        let known = self.swaps.iter().any(|s| s.id == swap.id);
        if known {
            return refuse("this swap is in the log already");
        }
        self.claim(swap.id.0, false)?;
        for r in &action.returns {
            if !left.iter().any(|(part, ordered)| *part == r.part && *ordered) {
                return refuse("a return names a part that was not ordered for the old option");
            }
        }
        self.set_state(swap.to, OptionState::Chosen)?;
        Arc::make_mut(&mut self.returns).retain(|r| !wants(r.part));
        for r in &action.returns {
            self.put_return(r)?;
        }
        for (part, _) in left.iter().filter(|(_, ordered)| *ordered) {
            if !self.returns.iter().any(|r| r.part == *part) {
                let id = ReturnId(self.fresh_id());
                Arc::make_mut(&mut self.returns).push(Return::new(id, *part));
            }
        }
        put(&mut self.swaps, swap.clone())
    }

    pub(super) fn remove_swap(&mut self, id: SwapId) -> Result<(), ActionError> {
        if let Some(later) = self.swaps.iter().find(|s| s.reverses == Some(id)) {
            return refuse(format!("the swap `{}` takes this one back; remove that one first", later.key));
        }
        remove(&mut self.swaps, id)
    }

    pub(super) fn put_return(&mut self, r: &Return) -> Result<(), ActionError> {
        r.check_in(self)?;
        if self.returns.iter().any(|known| known.part == r.part && known.id != r.id) {
            return refuse("this part has a return already; change that one");
        }
        let known = self.returns.iter().any(|known| known.id == r.id);
        if let Some((selection, option, part)) = self.part(r.part).filter(|_| !known) {
            if !part.is_ordered() {
                return refuse(format!("{} was not ordered, so there is nothing to send back", part.name));
            }
            if selection.live_option().is_some_and(|o| o.id == option.id) {
                return refuse(format!("{} is what counts for {}; swap it first", part.name, selection.name));
            }
        }
        self.claim(r.id.0, known)?;
        put(&mut self.returns, r.clone())
    }

    pub(super) fn put_rule(&mut self, rule: &Rule) -> Result<(), ActionError> {
        rule.check_in(self)?;
        self.claim(rule.id.0, self.rules.iter().any(|known| known.id == rule.id))?;
        put(&mut self.rules, rule.clone())
    }

    pub(super) fn is_taken_by_swaps(&self, id: u32) -> bool {
        self.swaps.iter().any(|s| s.id.0 == id)
            || self.returns.iter().any(|r| r.id.0 == id)
            || self.rules.iter().any(|r| r.id.0 == id)
    }

    /// Refuses when a rule names the selection or the room.
    pub(super) fn free_of_rules(
        &self,
        selection: Option<SelectionId>,
        room: Option<RoomId>,
    ) -> Result<(), ActionError> {
        let named = |rule: &&Rule| {
            let own = match rule.of {
                RuleOf::Selection(id) => selection == Some(id),
                RuleOf::Room(id) => room == Some(id),
                RuleOf::House => false,
            };
            own || matches!(&rule.with, Some(RuleWith::Fact(id, _)) if selection == Some(*id))
        };
        match self.rules.iter().find(named) {
            Some(rule) => refuse(format!("the rule `{}` is about it; remove that rule first", rule.name)),
            None => Ok(()),
        }
    }

    pub(super) fn free_to_remove(&self, id: SelectionId) -> Result<(), ActionError> {
        self.free_of_rules(Some(id), None)?;
        let Some(selection) = self.selection(id) else { return Ok(()) };
        selection.options.iter().try_for_each(|o| self.option_free_to_remove(o.id))
    }

    /// The log is what later readers go by, so what it names stays.
    pub(super) fn option_free_to_remove(&self, id: OptionId) -> Result<(), ActionError> {
        let named = |s: &&Swap| s.from == id || s.to == id;
        if let Some(swap) = self.swaps.iter().find(named) {
            return refuse(format!(
                "it stands in the swap log ({}); remove that entry first, or leave the option as a candidate",
                swap.key
            ));
        }
        let Some((_, option)) = self.option(id) else { return Ok(()) };
        option.parts.iter().try_for_each(|p| self.part_free_to_remove(p.id))
    }

    pub(super) fn part_free_to_remove(&self, id: PartId) -> Result<(), ActionError> {
        self.part_free_of_orders(id)?;
        match self.returns.iter().find(|r| r.part == id) {
            Some(r) => {
                let came = self.part(id).is_none_or(|(_, _, p)| p.is_on_site());
                refuse(format!("its return is {}; forget the return first", r.state.words(came)))
            }
            None => Ok(()),
        }
    }
}
