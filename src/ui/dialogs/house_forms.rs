//! Forms of rooms, selections and options.

use super::facts_field;
use super::fields;
use crate::model::ids::key_from_name;
use crate::model::{
    Action, Opening, OpeningKind, OptionId, OptionState, Project, Room, RoomId, Selection, SelectionId,
    SelectionOption, Shape,
};
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::Ui;
use rust_decimal::Decimal;

/// A room.
pub struct RoomForm {
    old: Option<Room>,
    name: String,
    level: String,
    length: String,
    width: String,
    height: String,
    openings: Vec<OpeningRow>,
}

struct OpeningRow {
    kind: OpeningKind,
    width: String,
    height: String,
    count: String,
}

impl RoomForm {
    /// Opens the form; `None` when the room is gone.
    pub fn new(project: &Project, id: Option<RoomId>) -> Option<RoomForm> {
        let old = match id {
            Some(id) => Some(project.room(id)?.clone()),
            None => None,
        };
        let (length, width) = match old.as_ref().map(|r| &r.shape) {
            Some(Shape::Rectangle { length, width }) => (length.to_string(), width.to_string()),
            _ => (String::new(), String::new()),
        };
        let level = project.rooms.last().map_or("Main floor".to_owned(), |r| r.level.clone());
        Some(RoomForm {
            name: old.as_ref().map_or(String::new(), |r| r.name.clone()),
            level: old.as_ref().map_or(level, |r| r.level.clone()),
            length,
            width,
            height: old.as_ref().map_or("8".to_owned(), |r| r.height.to_string()),
            openings: old
                .iter()
                .flat_map(|r| &r.openings)
                .map(|o| OpeningRow {
                    kind: o.kind,
                    width: o.width.to_string(),
                    height: o.height.to_string(),
                    count: o.count.to_string(),
                })
                .collect(),
            old,
        })
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, tokens: &Tokens) {
        fields::text(ui, "Name", &mut self.name);
        fields::text(ui, "Level", &mut self.level);
        if matches!(self.old.as_ref().map(|r| &r.shape), Some(Shape::Polygon(_))) {
            pieces::muted(
                ui,
                tokens,
                "The floor is an outline with corners; its shape comes in with the sheets.",
            );
        } else {
            fields::text(ui, "Length", &mut self.length);
            fields::text(ui, "Width", &mut self.width);
        }
        fields::text(ui, "Ceiling height", &mut self.height);
        fields::section(ui, tokens, "Doors, windows and other openings: width, height, how many");
        let mut gone = None;
        for (i, row) in self.openings.iter_mut().enumerate() {
            ui.push_id(i, |ui| {
                ui.horizontal(|ui| {
                    let kind = OpeningKind::ALL.iter().find(|(_, k)| *k == row.kind).map_or("", |(w, _)| w);
                    let combo = egui::ComboBox::from_id_salt("kind").selected_text(kind).width(90.0).show_ui(
                        ui,
                        |ui| {
                            for (word, kind) in OpeningKind::ALL {
                                ui.selectable_value(&mut row.kind, kind, word);
                            }
                        },
                    );
                    combo.response.on_hover_text("Kind of opening");
                    for (name, text) in
                        [("Width", &mut row.width), ("Height", &mut row.height), ("How many", &mut row.count)]
                    {
                        ui.add(egui::TextEdit::singleline(text).desired_width(60.0)).on_hover_text(name);
                    }
                    if pieces::icon_button(ui, lucide_icons::Icon::Trash2, "Remove opening").clicked() {
                        gone = Some(i);
                    }
                });
            });
        }
        if let Some(i) = gone {
            self.openings.remove(i);
        }
        if pieces::link(ui, tokens, "+ add an opening").clicked() {
            self.openings.push(OpeningRow {
                kind: OpeningKind::Door,
                width: "3".to_owned(),
                height: "6.75".to_owned(),
                count: "1".to_owned(),
            });
        }
    }

    /// The change the form asks for.
    ///
    /// # Errors
    /// What is wrong with which field.
    pub fn action(&self, project: &Project) -> Result<Action, String> {
        let name = fields::required("Name", &self.name)?;
        let openings = self
            .openings
            .iter()
            .map(|row| {
                Ok(Opening {
                    kind: row.kind,
                    width: fields::decimal("Opening width", &row.width)?,
                    height: fields::decimal("Opening height", &row.height)?,
                    count: fields::whole("How many", &row.count)?.unwrap_or(1),
                })
            })
            .collect::<Result<_, String>>()?;
        let shape = match self.old.as_ref().map(|r| &r.shape) {
            Some(shape @ Shape::Polygon(_)) => shape.clone(),
            _ => Shape::Rectangle {
                length: fields::decimal("Length", &self.length)?,
                width: fields::decimal("Width", &self.width)?,
            },
        };
        let (id, key) = match &self.old {
            Some(old) => (old.id, old.key.clone()),
            None => {
                (RoomId(project.next_id), key_from_name(&name, project.rooms.iter().map(|r| r.key.as_str())))
            }
        };
        let height = fields::decimal("Ceiling height", &self.height)?;
        Ok(Action::PutRoom(Room {
            id,
            key,
            name,
            level: self.level.trim().to_owned(),
            shape,
            height,
            openings,
        }))
    }
}

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
            facts: old.as_ref().map_or(String::new(), |o| facts_field::to_text(&o.facts)),
            old,
        })
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, tokens: &Tokens) {
        fields::text(ui, "Name", &mut self.name);
        fields::text_hint(ui, "Finish", &mut self.finish, "colour, surface or material in words");
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
        let finish = self.finish.trim().to_owned();
        let facts = facts_field::read(&self.facts)?;
        let state = self.old.as_ref().map_or(OptionState::Candidate, |o| o.state);
        let option = SelectionOption { id, key, name, finish, state, facts, parts: Vec::new() };
        Ok(Action::PutOption(self.selection, option))
    }
}

/// Zero is shown as an empty field.
pub fn shown_decimal(value: Decimal) -> String {
    if value.is_zero() { String::new() } else { value.to_string() }
}
