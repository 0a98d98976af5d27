//! Bringing in lists from elsewhere: asked for, dropped on the window, read behind it, and looked at in a form.

use super::{NeedlineApp, PutOff};
use crate::exchange::incoming::Book;
use crate::exchange::sheets::workbook::has_project_sheets;
use crate::ui::forms::list_form::{ListAnswer, ListForm};
use crate::ui::pictures;
use crate::ui::shell::jobs::{Job, Question};
use crate::ui::shell::modals;
use crate::ui::shell::work::Work;
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::{Align2, Area, Context, Order};
use std::path::{Path, PathBuf};

/// Whether a file ends so, in letters of any size.
fn ends_with(path: &Path, endings: &[&str]) -> bool {
    path.extension().is_some_and(|e| endings.iter().any(|known| e.eq_ignore_ascii_case(known)))
}

impl NeedlineApp {
    /// Opens a project file, or reads a workbook with the sheets of one.
    pub(super) fn open_any(&mut self, ctx: &Context, path: &Path) {
        if ends_with(path, &["xlsx", "xlsm"]) {
            self.begin_import(ctx, path);
        } else {
            self.open(path);
        }
    }

    /// Asks which list to bring in.
    pub(super) fn ask_for_list(&mut self, ctx: &Context) {
        if self.document.is_none() {
            self.notice = Some((NO_PROJECT.to_owned(), false));
        } else if self.work.is_none() {
            let folder = self.folder();
            self.job = Some(Job::ask(Question::List, "", folder.as_deref(), ctx));
        }
    }

    /// Reads a list, on a thread of its own.
    pub fn begin_list(&mut self, ctx: &Context, path: &Path) {
        self.work = Some(Work::list(path.to_owned(), ctx));
    }

    /// Opens the form on a list, or reads the project whose sheets the file holds.
    pub(super) fn list_was_read(&mut self, ctx: &Context, book: Book, path: PathBuf) {
        if has_project_sheets(&book.grids) {
            self.guarded(ctx, PutOff::ReadSheets(path));
            return;
        }
        match &self.document {
            Some(document) => self.list = Some(Box::new(ListForm::new(book, document.project()))),
            None => self.notice = Some((NO_PROJECT.to_owned(), false)),
        }
    }

    /// Takes a file that was dropped on the window: a project, a folder or workbook of sheets, or a list. Pictures are
    /// left for the card.
    pub(super) fn take_dropped(&mut self, ctx: &Context) {
        // Taken out of the input, which may be looked at again before there is a new one.
        let dropped = ctx.input_mut(|i| {
            let files = std::mem::take(&mut i.raw.dropped_files);
            let (for_card, dropped) = files.into_iter().partition(|f| pictures::is_picture(f.path()));
            i.raw.dropped_files = for_card;
            dropped
        });
        let Some(path) = dropped.first().map(|f| f.path().to_owned()) else { return };
        let busy = self.form.is_some() || self.work.is_some() || self.export_open || self.put_off.is_some();
        if busy {
            return;
        }
        self.list = None;
        if path.is_dir() {
            self.guarded(ctx, PutOff::ReadSheets(path));
        } else if ends_with(&path, &["ron"]) {
            self.guarded(ctx, PutOff::Open(path));
        } else {
            self.begin_list(ctx, &path);
        }
    }

    /// Draws the form, and what happens when a file held over the window is let go.
    pub(super) fn list_dialog(&mut self, ctx: &Context, tokens: &Tokens) {
        if ctx.input(|i| !i.raw.hovered_files.is_empty()) {
            let area = Area::new(egui::Id::unique("drop")).order(Order::Foreground);
            area.anchor(Align2::CENTER_CENTER, [0.0, 0.0]).show(ctx, |ui| {
                modals::frame(ctx).show(ui, |ui| {
                    ui.label(pieces::strong("Drop it to bring it in", 18.0));
                    pieces::muted(
                        ui,
                        tokens,
                        "A project, a list as CSV or .xlsx, the sheets of a project, or a picture of an option",
                    );
                });
            });
        }
        let (Some(form), Some(document)) = (&mut self.list, &self.document) else { return };
        match form.show(ctx, document.project(), tokens) {
            ListAnswer::Open => {}
            ListAnswer::Closed => self.list = None,
            ListAnswer::Act(action) => {
                self.list = None;
                self.outbox.act(*action);
                ctx.request_repaint();
            }
        }
    }
}

const NO_PROJECT: &str = "Open or begin a project first; then a list can be brought into it.";
