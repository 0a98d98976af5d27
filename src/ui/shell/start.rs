//! The start page: open, begin, recent projects and samples.

use super::command::Command;
use super::samples::SAMPLES;
use crate::model::file::journal::Waiting;
use crate::ui::format;
use crate::ui::theme::Tokens;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{Outbox, Request};
use crate::ui::widgets::{need_line_example, pieces};
use egui::Ui;
use std::path::{Path, PathBuf};

/// Draws the page.
pub fn ui(ui: &mut Ui, tokens: &Tokens, waiting: &[Waiting], recent: &[PathBuf], out: &mut Outbox) {
    ui.add_space((ui.available_height() * 0.12).min(90.0));
    ui.vertical_centered(|ui| {
        ui.set_max_width(560.0);
        ui.label(pieces::strong("Needline", 34.0));
        ui.label("The need line is the day a thing must be on site.");
        ui.label(
            "Choose room by room, and see with every choice what it costs and whether it comes in time.",
        );
        ui.add_space(space::L);
        need_line_example::ui(ui, tokens);
        ui.add_space(space::L);
        // Whoever has no project of their own yet is best served by a look at one.
        let first = recent.is_empty();
        ui.horizontal(|ui| {
            let size = egui::vec2(150.0, 32.0);
            let all = 3.0 * size.x + 2.0 * ui.spacing().item_spacing.x;
            ui.add_space(((ui.available_width() - all) / 2.0).max(0.0));
            let button = |text: &str, primary: bool| match primary {
                true => pieces::primary(tokens, text),
                false => egui::Button::new(text.to_owned()),
            };
            if ui.add(button("New project…", !first).min_size(size)).clicked() {
                out.command(Command::New);
            }
            if ui.add(egui::Button::new("Open a project…").min_size(size)).clicked() {
                out.command(Command::Open);
            }
            if ui.add(button("Look at a sample", first).min_size(size)).clicked() {
                out.push(Request::OpenSample(SAMPLES[0]));
            }
        });
        ui.add_space(space::L * 2.0);
        unsaved(ui, tokens, waiting, out);
        list(ui, tokens, "Recent projects", recent, out);
        samples(ui, tokens, out);
    });
}

/// What ended runs did not save.
fn unsaved(ui: &mut Ui, tokens: &Tokens, waiting: &[Waiting], out: &mut Outbox) {
    if waiting.is_empty() {
        return;
    }
    ui.label(pieces::strong("Not saved when the program closed", type_size::BODY));
    for waiting in waiting {
        let (name, path, more) = line_of(waiting);
        if pieces::link(ui, tokens, &name).on_hover_text(more).clicked() {
            out.push(Request::OpenFile(path));
        }
    }
    ui.add_space(space::L);
}

fn list(ui: &mut Ui, tokens: &Tokens, title: &str, paths: &[PathBuf], out: &mut Outbox) {
    if paths.is_empty() {
        return;
    }
    ui.label(pieces::strong(title, type_size::BODY));
    for path in paths {
        let name = title_of(path);
        let entry = pieces::link(ui, tokens, &name).on_hover_text(path.display().to_string());
        if entry.clicked() {
            out.push(Request::OpenFile(path.clone()));
        }
    }
    ui.add_space(space::L);
}

fn samples(ui: &mut Ui, tokens: &Tokens, out: &mut Outbox) {
    ui.label(pieces::strong("Samples", type_size::BODY));
    for sample in SAMPLES {
        if pieces::link(ui, tokens, sample.name).on_hover_text(sample.about).clicked() {
            out.push(Request::OpenSample(sample));
        }
    }
    ui.add_space(space::L);
}

/// A line about what was not saved: what it is called and since when, what a click opens, and more to be read over it.
fn line_of(waiting: &Waiting) -> (String, PathBuf, String) {
    let when = waiting.when.map_or(String::new(), |when| {
        format!(", {}", format::time(chrono::DateTime::<chrono::Local>::from(when).naive_local()))
    });
    let there = waiting.project.clone().filter(|path| path.is_file());
    let more = waiting.project.as_ref().unwrap_or(&waiting.path).display().to_string();
    (format!("{}{when}", waiting.name), there.unwrap_or(waiting.path.clone()), more)
}

/// The name of a file as a title: `orchard_house.ron` is `Orchard house`.
fn title_of(path: &Path) -> String {
    let name = path.file_stem().unwrap_or_default().to_string_lossy().replace('_', " ");
    let mut letters = name.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}
