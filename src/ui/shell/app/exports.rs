//! Exports and imports of the window: what is asked, the work behind it, and what is said when it is done.

use super::NeedlineApp;
use crate::model::Action;
use crate::ui::forms::export_form::ExportAnswer;
use crate::ui::shell::document::Document;
use crate::ui::shell::jobs::{Job, Question};
use crate::ui::shell::modals;
use crate::ui::shell::work::{Done, ExportPlan, Work};
use crate::ui::theme::Tokens;
use crate::ui::view::ListScope;
use crate::ui::widgets::pieces;
use egui::Context;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Work that takes longer than this shows how far it is.
const SHOWN_EVERY: Duration = Duration::from_millis(80);

impl NeedlineApp {
    /// Opens the form on the lists of a scope, or on the papers.
    pub(super) fn ask_for_export(&mut self, lists: Option<ListScope>) {
        if self.document.is_none() || self.work.is_some() {
            return;
        }
        match lists {
            Some(scope) => self.export.lists(scope),
            None => self.export.papers(),
        }
        self.export_open = true;
    }

    /// Writes what was planned into a folder, on a thread of its own.
    pub fn begin_export(&mut self, ctx: &Context, plan: ExportPlan, folder: PathBuf, open_after: bool) {
        let Some(document) = &self.document else { return };
        let Some(derived) = document.derived() else { return };
        let (project, figures) = (document.project().clone(), derived.figures.clone());
        let beside = document.path.as_ref().and_then(|p| p.parent()).map(Path::to_owned);
        self.work = Some(Work::export(plan, project, figures, beside, folder, open_after, ctx));
    }

    /// Whether something is being written, read or worked out behind the window.
    pub fn is_working(&self) -> bool {
        self.work.is_some() || self.session.what_if.is_going()
    }

    /// Reads a folder of sheets, on a thread of its own.
    pub fn begin_import(&mut self, ctx: &Context, folder: &Path) {
        self.work = Some(Work::import(folder.to_owned(), ctx));
    }

    /// Looks whether the work is done.
    pub(super) fn poll_work(&mut self, ctx: &Context) {
        let Some(work) = &self.work else { return };
        let Some(done) = work.poll() else {
            ctx.request_repaint_after(SHOWN_EVERY);
            return;
        };
        let open_after = work.open_after;
        self.work = None;
        match done {
            Done::Written(folder, mut text, said) => {
                // What calendars say is noted, so that the next ones take back what is settled.
                let news = self.document.as_ref().map_or(Vec::new(), |d| d.project().news_of(said));
                if let Some(document) = self.document.as_mut().filter(|_| !news.is_empty()) {
                    text.push('\n');
                    text.push_str(&match document.act(&Action::NoteSent(news)) {
                        Ok(()) => "What the calendars say is noted in the project.".to_owned(),
                        Err(why) => format!("What the calendars say could not be noted: {why}"),
                    });
                }
                if open_after && let Err(why) = open::that_detached(&folder) {
                    log::warn!("the folder could not be shown: {why}");
                    text.push_str("\nNo program was found that shows the folder.");
                }
                self.notice = Some((text, true));
            }
            Done::Read(project, text) => {
                self.show_document(Document::unsaved(*project));
                if !text.is_empty() {
                    self.notice = Some((text, true));
                }
            }
            Done::List(book, path) => self.list_was_read(ctx, *book, path),
            Done::Failed(why) => self.notice = Some((why, false)),
        }
    }

    /// The form, and the progress of what goes on.
    pub(super) fn export_dialogs(&mut self, ctx: &Context, tokens: &Tokens) {
        if let Some(work) = &self.work {
            let asked = modals::show(ctx, "work", 420.0, false, |ui| {
                ui.label(pieces::strong(work.title.clone(), 15.0));
                let share = work.progress.share();
                let text = format!("{:.0} percent", share * 100.0);
                let bar = ui.add(egui::ProgressBar::new(share).text(text.clone()));
                bar.widget_info(|| egui::WidgetInfo::labeled(egui::Role::ProgressIndicator, true, &text));
                ui.add_space(6.0);
                if ui.button("Cancel").clicked() {
                    ui.close();
                }
            });
            if asked.closes {
                work.progress.cancel();
            }
            return;
        }
        if !self.export_open {
            return;
        }
        let Some(document) = &self.document else {
            self.export_open = false;
            return;
        };
        match self.export.show(ctx, document.project(), document.derived(), tokens) {
            ExportAnswer::Open => {}
            ExportAnswer::Closed => self.export_open = false,
            ExportAnswer::Write(plan) => {
                self.export_open = false;
                let folder = self.folder();
                self.job = Some(Job::ask(Question::ExportInto(plan), "", folder.as_deref(), ctx));
            }
        }
    }
}
