//! The sheets `selections`, `options` and `finishes`.

use super::import::Import;
use super::notice::Notice;
use super::row::{Cells, build};
use super::sheet::Sheet;
use crate::model::look::{self, FinishColor, Rgb};
use crate::model::{OptionId, OptionState, RoomId, Selection, SelectionId, SelectionOption, validate};
use std::collections::HashMap;
use std::sync::Arc;

impl Import {
    pub(super) fn selections(&mut self) {
        if let Some(sheet) = self.take("selections") {
            // A project with the rooms alone, for the rules about a selection.
            let mut rooms = self.project.clone();
            rooms.rooms = Arc::new(self.rooms.clone());
            let stray = self.rooms.first().map_or(RoomId(0), |r| r.id);
            for row in &sheet.rows {
                let id = SelectionId(self.project.fresh_id());
                let make = |c: &Cells<'_>| {
                    let at = c.refer("room", &self.room_keys);
                    c.needed("room", at, 0);
                    selection(c, id, at.map_or(stray, |at| self.rooms[at].id))
                };
                let known = !self.rooms.is_empty();
                let (selection, found) =
                    build(&sheet, row, make, |s| if known { validate::selection(&rooms, s) } else { Ok(()) });
                self.faults.extend(found);
                let at = self.selections.len();
                self.selection_keys.note(&selection.key, at, &sheet, row.number, &mut self.faults);
                self.selections.push(selection);
            }
        }
        if let Some(sheet) = self.take("options") {
            self.options(&sheet);
        }
        self.finishes();
    }

    fn finishes(&mut self) {
        let Some(sheet) = self.take("finishes") else { return };
        let mut finishes: Vec<FinishColor> = Vec::new();
        for row in &sheet.rows {
            let make = |c: &Cells<'_>| FinishColor {
                finish: c.needed("finish", Some(c.text("finish")).filter(|f| !f.is_empty()), String::new()),
                color: c.needed("color", c.read("color", str::parse), Rgb(0, 0, 0)),
            };
            let with = |own: &FinishColor| {
                let all: Vec<FinishColor> = finishes.iter().chain(std::iter::once(own)).cloned().collect();
                look::check_finishes(&all)
            };
            let (own, found) = build(&sheet, row, make, with);
            self.faults.extend(found);
            finishes.push(own);
        }
        self.project.finishes = Arc::new(finishes);
    }

    fn options(&mut self, sheet: &Sheet) {
        let mut decided: HashMap<(usize, bool), usize> = HashMap::new();
        for row in &sheet.rows {
            let id = OptionId(self.project.fresh_id());
            let make = |c: &Cells<'_>| {
                let at = c.refer("selection", &self.selection_keys);
                c.needed("selection", at, 0);
                (at, option(c, id))
            };
            let ((at, option), found) = build(sheet, row, make, |(_, option)| validate::option(option));
            self.faults.extend(found);
            let place = at.map_or((usize::MAX, 0), |at| (at, self.selections[at].options.len()));
            let position = self.option_places.len();
            self.option_keys.note(&option.key, position, sheet, row.number, &mut self.faults);
            self.option_places.push(place);
            let Some(at) = at else { continue };
            if option.state != OptionState::Candidate
                && let Some(first) = decided.insert((at, option.state == OptionState::Chosen), row.number)
            {
                let word = super::cell::word(&OptionState::ALL, &option.state);
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

fn selection(c: &Cells<'_>, id: SelectionId, room: RoomId) -> Selection {
    let key = c.key("key");
    Selection {
        id,
        room,
        name: c.name_or(&key),
        key,
        category: c.text("category"),
        allowance: c.money("allowance").unwrap_or_default(),
        decide_on: c.date("decide_on"),
        notes: c.text("notes"),
        options: Vec::new(),
    }
}

fn option(c: &Cells<'_>, id: OptionId) -> SelectionOption {
    let key = c.key("key");
    SelectionOption {
        finish: c.text("finish"),
        state: c.word("state", &OptionState::ALL).unwrap_or_default(),
        notes: c.text("notes"),
        link: c.text("link").trim().to_owned(),
        picture: c.text("picture").trim().to_owned(),
        ..SelectionOption::new(id, &key, &c.name_or(&key))
    }
}
