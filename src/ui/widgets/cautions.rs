//! A caution as it stands in forms and lists.

use super::{marks, pieces};
use crate::model::caution::Caution;
use crate::ui::theme::{Tokens, tokens::type_size};
use egui::{Label, RichText, Sense, Ui, vec2};

/// Draws a caution: its mark and title, what to do, and where it comes from.
pub fn caution_text(ui: &mut Ui, tokens: &Tokens, caution: &Caution) {
    ui.horizontal_top(|ui| {
        let (mark, _) = ui.allocate_exact_size(vec2(14.0, 16.0), Sense::hover());
        marks::triangle(ui.painter(), mark.center(), tokens.soon);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            ui.label(pieces::strong(caution.hazard.title(), type_size::SMALL).color(tokens.soon));
            ui.add(Label::new(RichText::new(&caution.text).size(type_size::SMALL)).wrap());
            let source = RichText::new(format!("Source: {}", caution.source)).size(type_size::SMALL);
            ui.add(Label::new(source.color(tokens.muted)).wrap());
        });
    });
}
