//! The sheet `alternatives`.

use super::import::Import;
use super::row::Cells;
use super::sheet::Sheet;
use crate::model::{Alternative, AlternativeId, OptionId};
use std::collections::HashSet;
use std::sync::Arc;

impl Import {
    pub(super) fn alternatives(&mut self, sheet: &Sheet) {
        let new = |id| Alternative::new(AlternativeId(id));
        let mut all = self.list(sheet, Alternative::FIELDS, new, |_, alternative| alternative.check());
        for (alternative, row) in all.iter_mut().zip(&sheet.rows) {
            let make = |import: &Import, c: &Cells<'_>| import.places_of(c);
            let check =
                |import: &Import, places: &Vec<(usize, usize)>| import.of_different_selections(places);
            let (places, _) = self.row(sheet, row, make, check);
            alternative.options = places.into_iter().filter_map(|place| self.option_at(place)).collect();
        }
        self.project.alternatives = Arc::new(all);
    }

    /// Where the options of a row stand: the places of their selections, and among their options.
    fn places_of(&self, c: &Cells<'_>) -> Vec<(usize, usize)> {
        let found = self.all_at(c, "options", "options");
        found.into_iter().filter_map(|at| self.option_places.get(at).copied()).collect()
    }

    fn option_at(&self, (selection, option): (usize, usize)) -> Option<OptionId> {
        self.selections.get(selection)?.options.get(option).map(|o| o.id)
    }

    fn of_different_selections(&self, places: &[(usize, usize)]) -> Result<(), String> {
        let mut seen = HashSet::new();
        match places.iter().find(|(selection, _)| !seen.insert(*selection)) {
            Some((selection, _)) => {
                let name = self.selections.get(*selection).map_or("", |s| s.key.as_str());
                Err(format!("two options of the selection `{name}`; keep one"))
            }
            None => Ok(()),
        }
    }
}
