//! Named sets of choices that are looked at side by side before one is made.

use super::apply::{ActionError, put};
use super::field::{Field, Kind, at, field};
use super::ids::{AlternativeId, OptionId};
use super::project::Project;
use super::validate::{Checked, key, name};
use serde::{Deserialize, Serialize};
use std::collections::HashSet;
use std::sync::Arc;

/// A set of choices under a name. What it does not name stays as it is chosen now. It counts in no figure until it is made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Alternative {
    /// Its number.
    pub id: AlternativeId,
    /// Its key in sheets and figures.
    pub key: String,
    /// What it is called.
    pub name: String,
    /// What is to be said of it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// The options that would be chosen, at most one of each selection.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub options: Vec<OptionId>,
}

impl Alternative {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Alternative>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("name", "Name", Kind::Name(at!(name))),
        field("note", "Note", Kind::Text(at!(note))),
        field("options", "", Kind::Apart(true)),
    ];

    /// A set of nothing yet.
    pub fn new(id: AlternativeId) -> Alternative {
        Alternative { id, key: String::new(), name: String::new(), note: String::new(), options: Vec::new() }
    }

    /// Takes an option for its selection, in the place of another one of it.
    pub fn take(&mut self, project: &Project, option: OptionId) {
        let Some((selection, _)) = project.option(option) else { return };
        let own = |id: &OptionId| selection.options.iter().any(|o| o.id == *id);
        match self.options.iter_mut().find(|id| own(id)) {
            Some(known) => *known = option,
            None => self.options.push(option),
        }
    }

    /// Checks it by itself.
    pub fn check(&self) -> Checked {
        key(&self.key)?;
        name(&self.name)?;
        if self.name.trim().is_empty() { Err("the alternative has no name".to_owned()) } else { Ok(()) }
    }

    /// Checks it against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        self.check()?;
        let mut seen = HashSet::new();
        for option in &self.options {
            let Some((selection, _)) = project.option(*option) else {
                return Err("the alternative names an option that is not in the project".to_owned());
            };
            if !seen.insert(selection.id) {
                return Err(format!("the alternative names two options of {}; keep one", selection.name));
            }
        }
        Ok(())
    }
}

impl Project {
    /// The alternative with a number.
    pub fn alternative(&self, id: AlternativeId) -> Option<&Alternative> {
        self.alternatives.iter().find(|a| a.id == id)
    }

    /// The set of all that is chosen now.
    pub fn chosen_now(&self) -> Vec<OptionId> {
        self.selections.iter().filter_map(|s| s.choice()).map(|o| o.id).collect()
    }

    pub(super) fn put_alternative(&mut self, alternative: &Alternative) -> Result<(), ActionError> {
        alternative.check_in(self)?;
        self.claim(alternative.id.0, self.alternative(alternative.id).is_some())?;
        put(&mut self.alternatives, alternative.clone())
    }

    /// Takes options that are gone out of the alternatives that name them.
    pub(super) fn prune_alternatives(&mut self) {
        let named = self.alternatives.iter().flat_map(|a| &a.options);
        let gone: HashSet<OptionId> = named.copied().filter(|id| self.option(*id).is_none()).collect();
        if gone.is_empty() {
            return;
        }
        for alternative in Arc::make_mut(&mut self.alternatives) {
            alternative.options.retain(|id| !gone.contains(id));
        }
    }
}

/// Checks the alternatives of a document.
pub fn check_alternatives(project: &Project, check: &mut impl FnMut(&'static str, u32, &str, Checked)) {
    project.alternatives.iter().for_each(|a| check("alternative", a.id.0, &a.key, a.check_in(project)));
}
