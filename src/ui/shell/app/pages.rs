//! Pages for a phone: asking where one is to go, and writing it.

use super::NeedlineApp;
use crate::exchange::outgoing::pages::{self, PageFor};
use crate::model::Project;
use crate::model::file::{self, Trouble};
use crate::ui::shell::jobs::{Job, Question};
use egui::Context;
use std::path::Path;

impl NeedlineApp {
    /// Asks where a page is to be written.
    pub(super) fn ask_for_page(&mut self, ctx: &Context, of: PageFor) {
        let name = self.project().map_or(String::new(), |project| file_name(project, of));
        let folder = self.folder();
        self.job = Some(Job::ask(Question::Page(of), &name, folder.as_deref(), ctx));
    }

    /// Writes a page.
    pub fn write_page(&mut self, of: PageFor, path: &Path) {
        let folder = self.folder();
        let Some((document, derived)) = self.document.as_ref().and_then(|d| Some((d, d.derived()?))) else {
            return;
        };
        let Some(page) = pages::page(document.project(), &derived.figures, of, folder.as_deref()) else {
            return;
        };
        self.notice = Some(match file::write_whole(path, pages::html(&page).as_bytes()) {
            Ok(()) => (format!("\u{201c}{}\u{201d} written to {}", page.title, path.display()), true),
            Err(error) => (format!("{}: {}", path.display(), Trouble::Writing(&error)), false),
        });
    }
}

/// What a page is called as a file.
fn file_name(project: &Project, of: PageFor) -> String {
    let stem = match of {
        PageFor::Choices(room) => {
            let room = room.and_then(|id| project.room(id)).map_or(String::new(), |r| format!("_{}", r.key));
            format!("to_choose{room}")
        }
        PageFor::Crew(id) => project.crew(id).map_or(String::new(), |crew| crew.key.clone()),
        PageFor::Supplier(id) => {
            project.supplier(id).map_or(String::new(), |s| format!("on_order_{}", s.key))
        }
        PageFor::Visit(id) => {
            id.and_then(|id| project.phase(id)).map_or("visits".to_owned(), |p| p.key.clone())
        }
    };
    format!("{stem}.html")
}
