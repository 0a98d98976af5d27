//! What the window asks: a path where the system has no dialog for it, and what becomes of unsaved changes.

use super::NeedlineApp;
use super::requests::project_name;
use crate::ui::pictures::Beside;
use crate::ui::shell::jobs::{Question, TypedPath};
use crate::ui::shell::modals;
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::Context;
use std::path::{Path, PathBuf};

impl NeedlineApp {
    /// Asks for a path in the window itself.
    pub(super) fn path_question(&mut self, ctx: &Context, tokens: &Tokens) {
        let Some(mut typed) = self.typed_path.take() else { return };
        let (title, verb) = match typed.question {
            Question::Open => ("Open which project file?", "Open"),
            Question::SaveAs => ("Save the project as", "Save"),
            Question::ExportInto(_) => ("Write into which folder?", "Write"),
            Question::List => ("Bring in which list?", "Read"),
            Question::SheetFolder => ("Read the sheets of which folder?", "Read"),
            Question::SwapLog(_) => ("Write the swap log as", "Write"),
            Question::Page(_) => ("Write the page as", "Write"),
            Question::Beside(Beside::Picture(_)) => ("Which picture, a PNG or JPEG file?", "Take it"),
            Question::Beside(Beside::Manual(_)) => ("Which file is the manual?", "Take it"),
        };
        let path = |typed: &TypedPath| match typed.question {
            Question::SaveAs => project_name(Path::new(typed.text.trim())),
            _ => PathBuf::from(typed.text.trim()),
        };
        let mut done = false;
        let asked = modals::show(ctx, "path", 460.0, true, |ui| {
            let label = ui.label(pieces::strong(title, 18.0));
            pieces::muted(ui, tokens, typed.why);
            let field = ui
                .add(egui::TextEdit::singleline(&mut typed.text).desired_width(f32::INFINITY))
                .labelled_by(label.id);
            if std::mem::take(&mut typed.fresh) {
                field.request_focus();
            }
            if path(&typed).is_file()
                && !matches!(typed.question, Question::Open | Question::List | Question::Beside(_))
            {
                ui.label(
                    egui::RichText::new("There is such a file already; it will be replaced.")
                        .color(tokens.soon),
                );
            }
            ui.add_space(8.0);
            ui.horizontal(|ui| {
                done = pieces::primary_button(ui, tokens, verb).clicked();
                if ui.button("Cancel").clicked() {
                    ui.close();
                }
            });
            let enter = ui.input(|i| i.key_pressed(egui::Key::Enter));
            done |= (field.lost_focus() && enter) || modals::done(ctx);
        });
        if done && !typed.text.trim().is_empty() {
            self.answered(ctx, &typed.question, &path(&typed));
        } else if asked.closes {
            self.after_save = None;
        } else {
            self.typed_path = Some(typed);
        }
    }

    pub(super) fn unsaved_question(&mut self, ctx: &Context, tokens: &Tokens) {
        let name = self.project().map_or(String::new(), |p| p.settings.name.clone());
        let mut answer = None;
        let asked = modals::show(ctx, "unsaved", 400.0, false, |ui| {
            ui.label(pieces::strong("Save the changes first?", 18.0));
            ui.label(format!("{name} has changes that are not saved."));
            ui.add_space(8.0);
            ui.horizontal(|ui| {
                if pieces::primary_button(ui, tokens, "Save").clicked() {
                    answer = Some(true);
                }
                if ui.button("Throw the changes away").clicked() {
                    answer = Some(false);
                }
                if ui.button("Cancel").clicked() {
                    ui.close();
                }
            });
        });
        match answer {
            Some(true) => {
                self.after_save = self.put_off.take();
                self.save_or_ask(ctx);
            }
            Some(false) => {
                if let Some(next) = self.put_off.take() {
                    // The document stays unsaved until it is replaced: what comes next may be cancelled, or fail.
                    self.go_on(ctx, next);
                }
            }
            None if asked.closes => self.put_off = None,
            None => {}
        }
    }
}
