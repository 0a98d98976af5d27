//! The sheets `selections`, `options` and `finishes`.

use super::import::Import;
use super::read::fill;
use super::row::Cells;
use super::sheet::Sheet;
use crate::exchange::notice::Notice;
use crate::model::look::{self, FinishColor, Rgb};
use crate::model::{OptionId, OptionState, RoomId, Selection, SelectionId, SelectionOption, validate};
use std::collections::HashMap;
use std::sync::Arc;

impl Import {
    pub(super) fn read_selections(&mut self, sheet: &Sheet) {
        // A project with the rooms alone, for the rules about a selection.
        let mut rooms = self.project.clone();
        rooms.rooms = Arc::new(self.rooms.clone());
        let new = |id| Selection::new(SelectionId(id), RoomId(u32::MAX));
        self.selections = self.list(sheet, Selection::FIELDS, new, |import, selection| {
            // A room that is not known was named already; the rest is checked as if it stood in another.
            match (import.rooms.first(), selection.room) {
                (None, _) => Ok(()),
                (Some(any), RoomId(u32::MAX)) => {
                    validate::selection(&rooms, &Selection { room: any.id, ..selection.clone() })
                }
                _ => validate::selection(&rooms, selection),
            }
        });
    }

    pub(super) fn finishes(&mut self, sheet: &Sheet) {
        let mut finishes: Vec<FinishColor> = Vec::new();
        for row in &sheet.rows {
            let make = |import: &Import, c: &Cells<'_>| {
                let new = FinishColor { finish: String::new(), color: Rgb(0, 0, 0) };
                fill(c, import, FinishColor::FIELDS, new)
            };
            let (own, _) = self.row(sheet, row, make, |_, own| {
                let all: Vec<FinishColor> = finishes.iter().chain(std::iter::once(own)).cloned().collect();
                look::check_finishes(&all)
            });
            finishes.push(own);
        }
        self.project.finishes = Arc::new(finishes);
    }

    pub(super) fn options(&mut self, sheet: &Sheet) {
        let mut decided: HashMap<(usize, bool), usize> = HashMap::new();
        for row in &sheet.rows {
            let id = OptionId(self.project.fresh_id());
            let make = |import: &Import, c: &Cells<'_>| {
                let new = SelectionOption::new(id, "", "");
                (import.parent(c, "selection", "selections"), fill(c, import, SelectionOption::FIELDS, new))
            };
            let ((at, option), _) = self.row(sheet, row, make, |_, (_, option)| validate::option(option));
            self.note(SelectionOption::FIELDS, &option, sheet, row);
            self.option_places.push(at.map_or((usize::MAX, 0), |at| (at, self.selections[at].options.len())));
            let Some(at) = at else { continue };
            if option.state != OptionState::Candidate
                && let Some(first) = decided.insert((at, option.state == OptionState::Chosen), row.number)
            {
                let word = crate::exchange::cell::word(&OptionState::ALL, &option.state);
                let message = format!(
                    "more than one option of `{}` is {word}: see row {first}; keep one",
                    self.selections[at].key
                );
                self.faults.push(Notice::cell(&sheet.file, row.number, "state", message));
            }
            self.selections[at].options.push(option);
        }
    }
}
