//! Forms of selections and options.

use super::facts_field;
use super::fields;
use crate::model::ids::key_from_name;
use crate::model::{Action, OptionId, Project, RoomId, Selection, SelectionId, SelectionOption};
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::Ui;
use rust_decimal::Decimal;

/// A selection.
pub struct SelectionForm {
    old: Option<Selection>,
    room: RoomId,
    name: String,
    category: String,
    allowance: String,
    decide_on: String,
    notes: String,
}

impl SelectionForm {
    /// Opens the form; `None` when the selection is gone or the house has no room.
    pub fn new(project: &Project, id: Option<SelectionId>, room: Option<RoomId>) -> Option<SelectionForm> {
        let old = match id {
            Some(id) => Some(project.selection(id)?.clone()),
            None => None,
        };
        let room = old.as_ref().map(|s| s.room).or(room).or(project.rooms.first().map(|r| r.id))?;
        let text = |get: fn(&Selection) -> String| old.as_ref().map_or(String::new(), get);
        Some(SelectionForm {
            room,
            name: text(|s| s.name.clone()),
            category: text(|s| s.category.clone()),
            allowance: text(|s| s.allowance.amount().to_string()),
            decide_on: text(|s| fields::shown(s.decide_on)),
            notes: text(|s| s.notes.clone()),
            old,
        })
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        fields::text(ui, "Name", &mut self.name);
        let rooms: Vec<_> = project.rooms.iter().map(|r| (r.name.clone(), r.id)).collect();
        fields::choice(ui, "Room", &mut self.room, &rooms);
        fields::text_hint(ui, "Category", &mut self.category, "for example Tile, Lighting, Cabinetry");
        fields::text(ui, "Allowance", &mut self.allowance);
        fields::date(ui, "Decide on", &mut self.decide_on);
        fields::lines(ui, "Notes", &mut self.notes);
        pieces::muted(
            ui,
            tokens,
            "Arrivals of what is not ordered are counted from the deciding day, when it is still to come.",
        );
    }

    /// The change the form asks for.
    ///
    /// # Errors
    /// What is wrong with which field.
    pub fn action(&self, project: &Project) -> Result<Action, String> {
        let name = fields::required("Name", &self.name)?;
        let (id, key) = match &self.old {
            Some(old) => (old.id, old.key.clone()),
            None => (
                SelectionId(project.next_id),
                key_from_name(&name, project.selections.iter().map(|s| s.key.as_str())),
            ),
        };
        Ok(Action::PutSelection(Selection {
            id,
            key,
            room: self.room,
            category: self.category.trim().to_owned(),
            name,
            allowance: fields::amount("Allowance", &self.allowance)?,
            decide_on: fields::day("Decide on", &self.decide_on)?,
            notes: self.notes.trim().to_owned(),
            options: Vec::new(),
        }))
    }
}

/// An option.
pub struct OptionForm {
    selection: SelectionId,
    old: Option<SelectionOption>,
    name: String,
    finish: String,
    notes: String,
    link: String,
    facts: String,
}

impl OptionForm {
    /// Opens the form; `None` when the option or its selection is gone.
    pub fn new(project: &Project, selection: SelectionId, id: Option<OptionId>) -> Option<OptionForm> {
        project.selection(selection)?;
        let old = match id {
            Some(id) => Some(project.option(id)?.1.clone()),
            None => None,
        };
        Some(OptionForm {
            selection,
            name: old.as_ref().map_or(String::new(), |o| o.name.clone()),
            finish: old.as_ref().map_or(String::new(), |o| o.finish.clone()),
            notes: old.as_ref().map_or(String::new(), |o| o.notes.clone()),
            link: old.as_ref().map_or(String::new(), |o| o.link.clone()),
            facts: old.as_ref().map_or(String::new(), |o| facts_field::to_text(&o.facts)),
            old,
        })
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, _project: &Project, tokens: &Tokens) {
        fields::text(ui, "Name", &mut self.name);
        fields::text_hint(ui, "Finish", &mut self.finish, "colour, surface or material in words");
        fields::lines(ui, "Notes", &mut self.notes);
        fields::text_hint(ui, "Web page", &mut self.link, "https://, opened from the card");
        facts_field::ui(ui, tokens, &mut self.facts);
        pieces::muted(
            ui,
            tokens,
            "What is bought for it, with price and lead time, is added on the card as parts.",
        );
    }

    /// The change the form asks for.
    ///
    /// # Errors
    /// What is wrong with which field.
    pub fn action(&self, project: &Project) -> Result<Action, String> {
        let name = fields::required("Name", &self.name)?;
        let (id, key) = match &self.old {
            Some(old) => (old.id, old.key.clone()),
            None => {
                let keys = project.selections.iter().flat_map(|s| &s.options).map(|o| o.key.as_str());
                let base = project.selection(self.selection).map_or(String::new(), |s| s.key.clone());
                (OptionId(project.next_id), key_from_name(&format!("{base} {name}"), keys))
            }
        };
        let own = self.old.clone().unwrap_or_else(|| SelectionOption::new(id, &key, &name));
        let option = SelectionOption {
            name,
            finish: self.finish.trim().to_owned(),
            notes: self.notes.trim().to_owned(),
            link: self.link.trim().to_owned(),
            facts: facts_field::read(&self.facts)?,
            parts: Vec::new(),
            ..own
        };
        Ok(Action::PutOption(self.selection, option))
    }
}

/// Zero is shown as an empty field.
pub fn shown_decimal(value: Decimal) -> String {
    if value.is_zero() { String::new() } else { value.to_string() }
}
