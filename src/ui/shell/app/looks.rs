//! Pictures, manuals and web pages: asking for a file, taking it beside the project, and opening a page.

use super::NeedlineApp;
use crate::model::{Action, Change, Handover, HandoverId, PartId, Project, Punch};
use crate::ui::pictures::{self, Beside, Pictured};
use crate::ui::shell::jobs::{Job, Question};
use egui::Context;
use std::path::Path;

impl NeedlineApp {
    /// Pictures are looked for beside the project file.
    pub(super) fn place_pictures(&mut self) {
        let folder = self.folder();
        self.session.pictures.stand_in(folder);
    }

    /// Asks which file something is to have beside the project.
    pub(super) fn ask_for_file(&mut self, ctx: &Context, of: Beside) {
        if self.whole_path().is_none() {
            self.save_first();
            return;
        }
        let folder = self.folder();
        self.job = Some(Job::ask(Question::Beside(of), "", folder.as_deref(), ctx));
    }

    /// Copies a file beside the project and gives it to what it is for.
    pub(super) fn take_file(&mut self, of: Beside, from: &Path) {
        let Some(file) = self.whole_path() else {
            self.save_first();
            return;
        };
        let Some(document) = &mut self.document else { return };
        let Some(key) = key_of(document.project(), of) else { return };
        let taken = match of {
            Beside::Picture(_) => pictures::take(&file, &key, from),
            Beside::Manual(_) => pictures::take_manual(&file, &key, from),
        };
        let done = taken.and_then(|path| {
            // A file of that name that was missing until now is looked for again.
            self.session.pictures.forget();
            let Some(action) = giving(document.project(), of, path) else { return Ok(()) };
            document.act(&action).map_err(|why| why.to_string())
        });
        self.notice = done.err().map(|why| (why, false));
    }

    fn save_first(&mut self) {
        let words = "Save the project first: pictures and manuals are kept in a folder beside its file.";
        self.notice = Some((words.to_owned(), false));
    }

    /// Opens the manual of a part: a page of the web, or a file beside the project. A file could be a program, so only what
    /// is a document by its name is opened; of others, the folder.
    pub(super) fn open_manual(&mut self, part: PartId) {
        let Some(handover) = self.project().and_then(|p| p.handover_of(part)).cloned() else { return };
        if handover.is_page() {
            self.open_page(&handover.manual);
            return;
        }
        let Some(folder) = self.folder().filter(|_| !handover.manual.is_empty()) else { return };
        let path = folder.join(&handover.manual);
        if !path.is_file() {
            self.notice =
                Some((format!("{}: there is no such file; take the manual again", path.display()), false));
            return;
        }
        let opened = if is_document(&path) { path.as_path() } else { path.parent().unwrap_or(&folder) };
        if let Err(why) = open::that_detached(opened) {
            self.notice = Some((format!("{} could not be opened: {why}", opened.display()), false));
        }
    }

    /// Opens a page of the web in the system's browser; nothing else is ever opened from an address.
    pub(super) fn open_page(&mut self, link: &str) {
        let lower = link.to_lowercase();
        if !(lower.starts_with("https://") || lower.starts_with("http://")) {
            return;
        }
        if let Err(why) = open::that_detached(link) {
            self.notice = Some((format!("No browser could be started for {link}: {why}"), false));
        }
    }
}

/// Whether a file is a document by its name, which a viewer opens.
fn is_document(path: &Path) -> bool {
    let ending = path.extension().unwrap_or_default().to_string_lossy().to_lowercase();
    matches!(ending.as_str(), "pdf" | "png" | "jpg" | "jpeg" | "txt")
}

/// The key that a file is named after; `None` where what it is for is gone.
fn key_of(project: &Project, of: Beside) -> Option<String> {
    let key = match of {
        Beside::Picture(Pictured::Option(id)) => &project.option(id)?.1.key,
        Beside::Picture(Pictured::Change(id)) => &project.change(id)?.key,
        Beside::Picture(Pictured::Punch(id)) => &project.punch(id)?.key,
        Beside::Manual(id) => &project.part(id)?.2.key,
    };
    Some(key.clone())
}

/// The change that gives a file to what it is for.
fn giving(project: &Project, of: Beside, path: String) -> Option<Action> {
    Some(match of {
        Beside::Picture(Pictured::Option(id)) => Action::SetPicture(id, path),
        Beside::Picture(Pictured::Change(id)) => {
            Action::PutChange(Change { picture: path, ..project.change(id)?.clone() })
        }
        Beside::Picture(Pictured::Punch(id)) => {
            Action::PutPunch(Punch { picture: path, ..project.punch(id)?.clone() })
        }
        Beside::Manual(id) => {
            let new = Handover::new(HandoverId(project.next_id), id);
            let known = project.handover_of(id).cloned().unwrap_or(new);
            Action::PutHandover(Handover { manual: path, ..known })
        }
    })
}
