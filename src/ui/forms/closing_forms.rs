//! Forms of the end of the work: the punch list, and what stays with a part.

use super::Dialog;
use super::table_form::{Look, TableForm};
use crate::model::ids::key_from_name;
use crate::model::{Action, Handover, HandoverId, PartId, Project, Punch, PunchId, RoomId};
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::Ui;

/// Something on the punch list.
pub struct PunchForm(TableForm<Punch>, Option<PunchId>);

impl PunchForm {
    /// Opens the form, on a new one in a room; `None` when it is gone.
    pub fn new(project: &Project, id: Option<PunchId>, room: Option<RoomId>) -> Option<PunchForm> {
        let punch = match id {
            Some(id) => project.punch(id)?.clone(),
            None => Punch { room, ..Punch::new(PunchId(project.next_id)) },
        };
        Some(PunchForm(TableForm::new(Punch::FIELDS, punch), id))
    }
}

impl Dialog for PunchForm {
    fn removal(&self) -> Option<Action> {
        self.1.map(Action::RemovePunch)
    }

    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        self.0.ui(ui, project, tokens, |_, _| Look::Usual);
        pieces::muted(
            ui,
            tokens,
            "It is over when it was looked at and found good, and not when it is said to be done.",
        );
    }

    fn action(&mut self, project: &Project) -> Result<Action, String> {
        let mut punch = self.0.read()?;
        if punch.key.is_empty() {
            punch.key = key_of(&punch.what, project);
        }
        Ok(Action::PutPunch(punch))
    }
}

/// A key for something that is new on the punch list: what is wrong is often said in a long sentence.
pub fn key_of(what: &str, project: &Project) -> String {
    let short: Vec<&str> = what.split_whitespace().take(4).collect();
    key_from_name(&short.join(" "), project.punch.iter().map(|p| p.key.as_str()))
}

/// What stays with a part when the work is over.
pub struct HandoverForm {
    part: String,
    form: TableForm<Handover>,
    known: Option<HandoverId>,
}

impl HandoverForm {
    /// Opens the form; `None` when the part is gone.
    pub fn new(project: &Project, part: PartId) -> Option<HandoverForm> {
        let (selection, option, own) = project.part(part)?;
        let known = project.handover_of(part);
        let handover = known.cloned().unwrap_or(Handover::new(HandoverId(project.next_id), part));
        let name =
            if own.name == option.name { own.name.clone() } else { format!("{}: {}", option.name, own.name) };
        Some(HandoverForm {
            part: format!("{}, {name}", selection.name),
            known: known.map(|h| h.id),
            form: TableForm::new(Handover::FIELDS, handover),
        })
    }
}

impl Dialog for HandoverForm {
    fn removal(&self) -> Option<Action> {
        self.known.map(Action::RemoveHandover)
    }

    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        ui.add(egui::Label::new(pieces::strong(&self.part, 14.0)).wrap());
        // The part is the one whose form this is.
        let fixed =
            |_: &TableForm<Handover>, name: &str| if name == "part" { Look::Hidden } else { Look::Usual };
        self.form.ui(ui, project, tokens, fixed);
        pieces::muted(
            ui,
            tokens,
            "What the warranty covers, and what ends it, is in its papers; keep them with the manual.",
        );
    }

    fn action(&mut self, _project: &Project) -> Result<Action, String> {
        Ok(Action::PutHandover(self.form.read()?))
    }
}
