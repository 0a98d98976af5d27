//! Zones of the window, each drawn so that a fault in it leaves the others and the document as they are.

use super::command::Command;
use super::fault::contained;
use crate::model::history::Revision;
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::{RichText, Ui};
use std::collections::BTreeMap;

/// The zones that met a fault, with what it said, for one state of the document.
#[derive(Debug, Default)]
pub struct Broken {
    of: Option<Revision>,
    zones: BTreeMap<&'static str, String>,
}

impl Broken {
    /// Forgets the faults when the document is no longer the one they were met with.
    pub fn follow(&mut self, revision: Revision) {
        if self.of != Some(revision) {
            *self = Broken { of: Some(revision), ..Broken::default() };
        }
    }
}

/// Words about a fault, with what it said.
pub fn words(what: &str, said: &str) -> String {
    format!("{what} met a fault of the program: {said}. The project is as it was.")
}

/// Draws a zone, or what is known of its fault with ways on, one of which may be asked for.
pub fn ui(
    ui: &mut Ui,
    tokens: &Tokens,
    zone: &'static str,
    broken: &mut Broken,
    draw: impl FnOnce(&mut Ui),
) -> Option<Command> {
    super::focus::zone(ui, zone);
    let Some(said) = broken.zones.get(zone) else {
        if let Err(said) = contained(|| draw(ui)) {
            broken.zones.insert(zone, said);
            // What was drawn of it is half of it.
            ui.ctx().request_repaint();
        }
        return None;
    };
    let mut asked = None;
    let mut again = false;
    egui::ScrollArea::vertical().id_salt(("fault", zone)).show(ui, |ui| {
        ui.add(egui::Label::new(RichText::new(words(zone, said)).color(tokens.late)).wrap());
        ui.horizontal_wrapped(|ui| {
            again = pieces::link(ui, tokens, "show it again").clicked();
            for (text, command) in [("take the last step back", Command::Undo), ("save as", Command::SaveAs)]
            {
                if pieces::link(ui, tokens, text).clicked() {
                    asked = Some(command);
                }
            }
        });
    });
    if again {
        broken.zones.remove(zone);
    }
    asked
}
