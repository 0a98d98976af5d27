//! A project that somebody else has open to change it: what is said of it, and taking it over.

use super::NeedlineApp;
use crate::ui::shell::document::Document;
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::{RichText, Ui};

impl NeedlineApp {
    /// Says who else has the project open, with the way to take it over.
    pub(super) fn held_ui(&mut self, ui: &mut Ui, tokens: &Tokens, document: &Document) {
        let Some(holder) = &document.held_by else { return };
        ui.horizontal_wrapped(|ui| {
            let text = format!("Opened to read: {holder} has this project open to change it.");
            ui.add(egui::Label::new(RichText::new(text).color(tokens.soon)).wrap());
            let link = pieces::link(ui, tokens, "take it over");
            let tip =
                "From then on this window saves it. What is not saved there can be saved under another name.";
            self.take_over |= link.on_hover_text(tip).clicked();
        });
    }

    /// Takes the project over when that was asked for.
    pub(super) fn take_over_if_asked(&mut self) {
        if !std::mem::take(&mut self.take_over) {
            return;
        }
        if let Some(Err(why)) = self.document.as_mut().map(Document::take_over) {
            self.notice = Some((why.to_string(), false));
        }
    }
}
