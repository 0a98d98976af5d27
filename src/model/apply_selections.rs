//! Applying changes of selections, options and parts.

use super::apply::{ActionError, refuse};
use super::graph::circle_names;
use super::ids::{OptionId, PartId, SelectionId};
use super::part::Part;
use super::project::Project;
use super::selection::{OptionState, Selection, SelectionOption};
use super::spec::{Spec, check_specs};
use super::validate;
use chrono::NaiveDate;
use std::collections::HashSet;

impl Project {
    pub(super) fn selection_position(&self, id: SelectionId) -> Result<usize, ActionError> {
        self.selection_at(id).ok_or(ActionError::Gone("selection"))
    }

    pub(super) fn part_position(&self, id: PartId) -> Result<usize, ActionError> {
        self.part_at(id).ok_or(ActionError::Gone("part"))
    }

    pub(super) fn put_selection(&mut self, selection: &Selection) -> Result<(), ActionError> {
        validate::selection(self, selection)?;
        selection.specs.iter().try_for_each(|spec| spec.check_in(self, Some(selection)))?;
        let keeps = self.selection(selection.id).is_some_and(|known| known.key == selection.key);
        if !keeps && self.selections.iter().any(|s| s.key == selection.key) {
            return refuse(format!("the key `{}` is taken", selection.key));
        }
        if let Some(at) = self.selection_at(selection.id) {
            self.edit_selection(at, |known| {
                let options = std::mem::take(&mut known.options);
                *known = Selection { options, ..selection.clone() };
            });
        } else {
            self.claim(selection.id.0, false)?;
            self.claim_options(&selection.options, selection.id.0)?;
            self.push_selection(selection.clone());
        }
        Ok(())
    }

    pub(super) fn put_option(
        &mut self,
        selection: SelectionId,
        option: &SelectionOption,
    ) -> Result<(), ActionError> {
        let at = self.selection_position(selection)?;
        validate::option(option)?;
        self.check_option_key(option.id, &option.key)?;
        if self.selections[at].option(option.id).is_none() {
            self.claim_options(std::slice::from_ref(option), 0)?;
        }
        self.edit_selection(at, |s| match s.options.iter_mut().find(|o| o.id == option.id) {
            Some(known) => {
                let parts = std::mem::take(&mut known.parts);
                *known = SelectionOption { parts, state: known.state, ..option.clone() };
            }
            None => {
                // A new option must not bring a second choice with it.
                s.options.push(SelectionOption { state: OptionState::Candidate, ..option.clone() });
            }
        });
        Ok(())
    }

    /// Takes the numbers of new options and their parts, none of which may be in use, nor used twice among them or for
    /// the selection `own` that they come with; the same for their keys.
    fn claim_options(&mut self, options: &[SelectionOption], own: u32) -> Result<(), ActionError> {
        let mut numbers = HashSet::from([own]);
        let mut keys = HashSet::new();
        for option in options {
            validate::option(option)?;
            self.check_option_key(option.id, &option.key)?;
            self.claim(option.id.0, false)?;
            let mut doubled = !numbers.insert(option.id.0) || !keys.insert((0, &option.key));
            for part in &option.parts {
                self.check_part(part)?;
                self.claim(part.id.0, false)?;
                doubled |= !numbers.insert(part.id.0) || !keys.insert((1, &part.key));
            }
            if doubled {
                return refuse(format!(
                    "a key or number in option `{}` is taken by another of its parts",
                    option.key
                ));
            }
        }
        Ok(())
    }

    pub(super) fn put_part(&mut self, option: OptionId, part: &Part) -> Result<(), ActionError> {
        self.check_part(part)?;
        self.part_fits_orders(part)?;
        let known = self.option(option).is_some_and(|(_, o)| o.parts.iter().any(|p| p.id == part.id));
        self.claim(part.id.0, known)?;
        self.edit_option_selection(option, |selection| {
            for o in selection.options.iter_mut().filter(|o| o.id == option) {
                match o.parts.iter_mut().find(|p| p.id == part.id) {
                    Some(known) => *known = part.clone(),
                    None => o.parts.push(part.clone()),
                }
            }
        })
    }

    fn check_option_key(&self, id: OptionId, key: &str) -> Result<(), ActionError> {
        let keeps = self.option(id).is_some_and(|(_, known)| known.key == key);
        if !keeps && self.selections.iter().flat_map(|s| &s.options).any(|o| o.key == key) {
            return Err(ActionError::KeyTaken("option", key.to_owned()));
        }
        Ok(())
    }

    fn check_part(&self, part: &Part) -> Result<(), ActionError> {
        validate::part(self, part)?;
        self.circle_of_orders(part)?;
        let keeps = self.part(part.id).is_some_and(|(_, _, known)| known.key == part.key);
        if !keeps && self.all_parts().any(|(_, _, p)| p.key == part.key) {
            return Err(ActionError::KeyTaken("part", part.key.clone()));
        }
        Ok(())
    }

    /// A part that is ordered only after a phase ties that phase to the one that needs it, as a link does.
    fn circle_of_orders(&self, part: &Part) -> Result<(), ActionError> {
        let (Some(from), Some(to)) = (part.order_after, part.phase) else { return Ok(()) };
        let own = self.phase_at(from).zip(self.phase_at(to));
        match circle_names(self, own.into_iter(), Some(part.id)) {
            Some(names) => Err(ActionError::Circle(names)),
            None => Ok(()),
        }
    }

    /// Adds what must be known of a selection, or replaces what stands at a position.
    pub(super) fn put_spec(
        &mut self,
        selection: SelectionId,
        at: usize,
        spec: &Spec,
    ) -> Result<(), ActionError> {
        let place = self.selection_position(selection)?;
        spec.check_in(self, None)?;
        let mut specs = self.selections[place].specs.clone();
        if at > specs.len() {
            return Err(ActionError::Gone("line"));
        }
        match specs.get_mut(at) {
            Some(known) => *known = spec.clone(),
            None => specs.push(spec.clone()),
        }
        check_specs(&specs)?;
        self.edit_selection(place, |s| s.specs = specs);
        Ok(())
    }

    /// Removes what stands at a position.
    pub(super) fn remove_spec(&mut self, selection: SelectionId, at: usize) -> Result<(), ActionError> {
        let place = self.selection_position(selection)?;
        if at >= self.selections[place].specs.len() {
            return Err(ActionError::Gone("line"));
        }
        self.edit_selection(place, |s| s.specs.remove(at));
        Ok(())
    }

    /// What is to be known before the order of parts that go is to be known before another in their place: one of the same
    /// kind of thing in what is left of the selection, else any; without one, before the phase that needed the part.
    pub(super) fn hand_on_specs(&mut self, gone: &[PartId]) {
        let waits = |spec: &Spec| spec.part.is_some_and(|id| gone.contains(&id));
        if !self.selections.iter().flat_map(|s| &s.specs).any(waits) {
            return;
        }
        let instead = |id: PartId| {
            let (selection, _, part) = self.part(id)?;
            let left = selection.options.iter().flat_map(|o| &o.parts).filter(|p| !gone.contains(&p.id));
            let other = left.clone().find(|p| p.goods == part.goods).or_else(|| left.clone().next());
            Some((id, other.map(|p| p.id), part.phase))
        };
        let instead: Vec<_> = gone.iter().filter_map(|id| instead(*id)).collect();
        for at in 0..self.selections.len() {
            if !self.selections[at].specs.iter().any(waits) {
                continue;
            }
            let mut specs: Vec<Spec> = Vec::new();
            for mut spec in self.selections[at].specs.clone() {
                if let Some((_, part, phase)) = instead.iter().find(|(id, ..)| spec.part == Some(*id)) {
                    (spec.part, spec.phase) = (*part, phase.filter(|_| part.is_none()));
                }
                let same = |s: &Spec| (&s.what, s.part, s.phase) == (&spec.what, spec.part, spec.phase);
                if (spec.part.is_some() || spec.phase.is_some()) && !specs.iter().any(same) {
                    specs.push(spec);
                }
            }
            self.edit_selection(at, |s| s.specs = specs);
        }
    }

    /// What waited for something that was removed is nobody's to know any more; what was told stays told.
    pub(super) fn prune_specs(&mut self) {
        let gone = |project: &Project, spec: &Spec| {
            spec.phase.is_some_and(|id| project.phase(id).is_none())
                || spec.part.is_some_and(|id| project.part(id).is_none())
        };
        let lost =
            |project: &Project, spec: &Spec| spec.told_for.is_some_and(|id| project.option(id).is_none());
        for at in 0..self.selections.len() {
            let specs = &self.selections[at].specs;
            if specs.iter().any(|spec| gone(self, spec) || lost(self, spec)) {
                let mut left = specs.clone();
                left.retain(|spec| !gone(self, spec));
                left.iter_mut().filter(|spec| lost(self, spec)).for_each(|spec| spec.told_for = None);
                self.edit_selection(at, |s| s.specs = left);
            }
        }
    }

    pub(super) fn edit_option_selection(
        &mut self,
        option: OptionId,
        edit: impl FnOnce(&mut Selection),
    ) -> Result<(), ActionError> {
        let Some(at) = self.option_at(option) else { return Err(ActionError::Gone("option")) };
        self.edit_selection(at, edit);
        Ok(())
    }

    pub(super) fn set_state(&mut self, id: OptionId, state: OptionState) -> Result<(), ActionError> {
        self.edit_option_selection(id, |selection| {
            for option in &mut selection.options {
                option.state = if option.id == id { state } else { OptionState::Candidate };
            }
        })
    }

    /// Notes who approved of an option and when, or takes that back.
    pub(super) fn approve(
        &mut self,
        id: OptionId,
        said: Option<&(String, NaiveDate)>,
    ) -> Result<(), ActionError> {
        self.edit_option_selection(id, |selection| {
            for option in selection.options.iter_mut().filter(|option| option.id == id) {
                option.approved_by = said.map_or(String::new(), |(who, _)| who.trim().to_owned());
                option.approved_on = said.map(|(_, on)| *on);
            }
        })?;
        match self.option(id) {
            Some((_, option)) => Ok(validate::option(option)?),
            None => Err(ActionError::Gone("option")),
        }
    }

    pub(super) fn edit_parts(&mut self, ids: &[PartId], edit: impl Fn(&mut Part)) -> Result<(), ActionError> {
        for id in ids {
            let at = self.part_position(*id)?;
            self.edit_selection(at, |s| {
                s.options.iter_mut().flat_map(|o| &mut o.parts).filter(|p| p.id == *id).for_each(&edit);
            });
            if let Some((_, _, part)) = self.part(*id) {
                validate::part(self, part)?;
            }
        }
        Ok(())
    }
}
