//! The manual of the figures in the window: the texts of the engine, section by section.

use crate::engine::manual::SECTIONS;
use crate::ui::theme::Tokens;
use crate::ui::widgets::{floating, pieces};
use egui::{Context, ScrollArea};

const WIDTH: f32 = 620.0;

const TITLE: &str = "How the figures are computed";

/// The name of the window.
pub const WINDOW: &str = "manual";

/// Draws it in a window over the others.
pub fn window(ctx: &Context, tokens: &Tokens, open: &mut bool) {
    let height = ctx.content_rect().height() - 120.0;
    let own = egui::Window::new(TITLE)
        .id(egui::Id::unique(WINDOW))
        .resizable(false)
        .default_height(height)
        .max_height(height);
    floating::show(ctx, own, TITLE, open, |ui| {
        ScrollArea::vertical().max_height(height).min_scrolled_height(height.min(520.0)).show(ui, |ui| {
            ui.set_width(WIDTH);
            for section in SECTIONS {
                pieces::group_title(ui, tokens, section.title());
                for paragraph in section.paragraphs() {
                    ui.label(paragraph.replace('`', ""));
                    ui.add_space(4.0);
                }
                ui.add_space(10.0);
            }
        });
    });
}
