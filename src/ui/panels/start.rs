//! The start page: open, begin, recent projects and samples.

use crate::ui::command::Command;
use crate::ui::theme::Tokens;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{Outbox, Request};
use crate::ui::widgets::pieces;
use egui::Ui;
use std::path::PathBuf;

/// Draws the page.
pub fn ui(ui: &mut Ui, tokens: &Tokens, recent: &[PathBuf], samples: &[PathBuf], out: &mut Outbox) {
    ui.add_space((ui.available_height() * 0.12).min(90.0));
    ui.vertical_centered(|ui| {
        ui.set_max_width(560.0);
        ui.label(pieces::strong("Needline", 34.0));
        ui.label("The need line is the day a thing must be on site.");
        ui.label(
            "Choose room by room, and see with every choice what it costs and whether it comes in time.",
        );
        ui.add_space(space::L * 2.0);
        ui.horizontal(|ui| {
            let buttons: f32 = 3.0 * 150.0;
            ui.add_space(((560.0 - buttons) / 2.0).max(0.0));
            if pieces::primary_button(ui, tokens, "New project…").clicked() {
                out.command(Command::New);
            }
            if ui.button("Open a project…").clicked() {
                out.command(Command::Open);
            }
            if let Some(sample) = samples.first()
                && ui.button("Look at a sample").clicked()
            {
                out.push(Request::OpenFile(sample.clone()));
            }
        });
        ui.add_space(space::L * 2.0);
        list(ui, tokens, "Recent projects", recent, out);
        list(ui, tokens, "Samples", samples, out);
    });
}

fn list(ui: &mut Ui, tokens: &Tokens, title: &str, paths: &[PathBuf], out: &mut Outbox) {
    if paths.is_empty() {
        return;
    }
    ui.label(pieces::strong(title, type_size::BODY));
    for path in paths {
        let name = path.file_stem().unwrap_or_default().to_string_lossy().replace('_', " ");
        let entry = pieces::link(ui, tokens, &name).on_hover_text(path.display().to_string());
        if entry.clicked() {
            out.push(Request::OpenFile(path.clone()));
        }
    }
    ui.add_space(space::L);
}
