//! Pictures and web pages of options: asking for a file, taking it beside the project, and opening a page.

use super::NeedlineApp;
use crate::model::{Action, OptionId};
use crate::ui::pictures;
use crate::ui::shell::jobs::{Job, Question};
use egui::Context;
use std::path::{Path, PathBuf};

impl NeedlineApp {
    /// Pictures are looked for beside the project file.
    pub(super) fn place_pictures(&mut self) {
        let folder = self.folder();
        self.session.pictures.stand_in(folder);
    }

    /// Asks which picture an option is to have.
    pub(super) fn ask_for_picture(&mut self, ctx: &Context, option: OptionId) {
        if self.project_file().is_none() {
            self.save_before_pictures();
            return;
        }
        let folder = self.folder();
        self.job = Some(Job::ask(Question::Picture(option), "", folder.as_deref(), ctx));
    }

    /// Copies a picture beside the project and gives it to an option.
    pub(super) fn take_picture(&mut self, option: OptionId, from: &Path) {
        let Some(file) = self.project_file() else {
            self.save_before_pictures();
            return;
        };
        let Some(document) = &mut self.document else { return };
        let Some(key) = document.project().option(option).map(|(_, o)| o.key.clone()) else { return };
        let done = pictures::take(&file, &key, from).and_then(|path| {
            // A file of that name that was missing until now is looked for again.
            self.session.pictures.forget();
            document.act(&Action::SetPicture(option, path)).map_err(|why| why.to_string())
        });
        self.notice = done.err().map(|why| (why, false));
    }

    fn save_before_pictures(&mut self) {
        let words = "Save the project first: pictures are kept in a folder beside its file.";
        self.notice = Some((words.to_owned(), false));
    }

    fn project_file(&self) -> Option<PathBuf> {
        let path = self.document.as_ref()?.path.as_ref()?;
        std::path::absolute(path).ok()
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
