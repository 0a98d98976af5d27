//! What is out of use while some of the work is done: a form of its own, and rows in the form of a room.

use super::table_form::{Look, TableForm};
use super::{Dialog, fields};
use crate::model::{Action, OutOfUse, OutOfUseId, PhaseId, Project, RoomId};
use crate::ui::theme::Tokens;
use crate::ui::widgets::drop_down::one_of;
use crate::ui::widgets::pieces;
use egui::Ui;

/// A room or a service that is out of use.
pub struct OutForm(TableForm<OutOfUse>, Option<OutOfUseId>);

impl OutForm {
    /// Opens the form, on a new row that begins with a phase; `None` when the row is gone.
    pub fn new(project: &Project, id: Option<OutOfUseId>, of: Option<PhaseId>) -> Option<OutForm> {
        let out = match id {
            Some(id) => project.out_of_use.iter().find(|out| out.id == id)?.clone(),
            None => {
                let first = of.or(project.phases.first().map(|phase| phase.id));
                OutOfUse::new(OutOfUseId(project.next_id), first.unwrap_or(PhaseId(u32::MAX)))
            }
        };
        Some(OutForm(TableForm::new(OutOfUse::FIELDS, out), id))
    }
}

impl Dialog for OutForm {
    fn removal(&self) -> Option<Action> {
        self.1.map(Action::RemoveOutOfUse)
    }

    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        self.0.ui(ui, project, tokens, |_, _| Look::Usual);
        let room = self.0.thing.room.and_then(|id| project.room(id));
        let words = match room {
            Some(room) if room.used_as.is_other() => {
                "Nobody has said what this room is used for; its form does, as a bath or a kitchen."
            }
            _ => {
                "From the first day of the one to the last day of the other, with all days off between them. A use is \
                 missed on days on which every room of it is out."
            }
        };
        pieces::muted(ui, tokens, words);
    }

    fn action(&mut self, _project: &Project) -> Result<Action, String> {
        Ok(Action::PutOutOfUse(self.0.read()?))
    }
}

/// The rows of one room, as they stand in its form.
#[derive(Default)]
pub struct OutRows {
    rows: Vec<OutOfUse>,
    /// What was there when the form was opened.
    old: Vec<OutOfUse>,
}

/// The number of a row that is not in the document yet.
const NEW: OutOfUseId = OutOfUseId(0);

impl OutRows {
    /// The rows of a room; none of a new one.
    pub fn new(project: &Project, room: Option<RoomId>) -> OutRows {
        let own = project.out_of_use.iter().filter(|out| room.is_some() && out.room == room);
        let old: Vec<OutOfUse> = own.cloned().collect();
        OutRows { rows: old.clone(), old }
    }

    /// Draws them.
    pub fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        let Some(first) = project.phases.first() else { return };
        if !self.rows.is_empty() {
            fields::section(ui, tokens, "Out of use");
        }
        let all = || project.phases.iter().map(|phase| (phase.name.clone(), phase.id));
        let mut gone = None;
        for (i, row) in self.rows.iter_mut().enumerate() {
            ui.push_id(("out", i), |ui| {
                ui.horizontal(|ui| {
                    ui.spacing_mut().item_spacing.x = 6.0;
                    let width = ((ui.available_width() - 90.0) / 2.0).clamp(80.0, 150.0);
                    let n = i + 1;
                    one_of(
                        ui,
                        &format!("Out of use {n}: from the start of"),
                        width,
                        &mut row.from_phase,
                        all(),
                    );
                    ui.label("to");
                    let same = std::iter::once(("the same phase".to_owned(), None));
                    let others = all().map(|(name, id)| (name, Some(id)));
                    let name = format!("Out of use {n}: to the finish of");
                    one_of(ui, &name, width, &mut row.to_phase, same.chain(others));
                    let name = format!("Remove out of use {n}");
                    if pieces::icon_button(ui, lucide_icons::Icon::Trash2, &name).clicked() {
                        gone = Some(i);
                    }
                });
            });
        }
        if let Some(i) = gone {
            self.rows.remove(i);
        }
        if pieces::link(ui, tokens, "+ out of use during some of the work").clicked() {
            self.rows.push(OutOfUse::new(NEW, first.id));
        }
    }

    /// The changes that the rows ask for, of a room with a number; `next` is the next number that is free.
    pub fn actions(&self, room: RoomId, next: u32) -> Vec<Action> {
        let gone = self.old.iter().filter(|old| self.rows.iter().all(|row| row.id != old.id));
        let gone = gone.map(|old| Action::RemoveOutOfUse(old.id));
        let mut next = next;
        let put = self.rows.iter().filter(|row| !self.old.contains(row)).map(|row| {
            let mut row = OutOfUse { room: Some(room), service: None, ..row.clone() };
            if row.id == NEW {
                row.id = OutOfUseId(next);
                next += 1;
            }
            Action::PutOutOfUse(row)
        });
        gone.chain(put).collect()
    }
}
