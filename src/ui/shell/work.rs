//! Work that takes a while: done on a thread of its own, watched and stopped from the window.

use crate::engine::Figures;
use crate::exchange::incoming::{Book, read_file};
use crate::exchange::outgoing::crews::{self, CrewForm};
use crate::exchange::outgoing::lists::{self, ListPlan};
use crate::exchange::outgoing::print::{PaperForm, PaperKind, PaperScope, write_papers};
use crate::exchange::outgoing::week::{WeekForm, write_week};
use crate::exchange::{Progress, export_folder_with, import_path_with};
use crate::model::words::count;
use crate::model::{CrewId, Project, RoomId, Sent};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, TryRecvError, channel};

/// What is to be written into a folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ExportPlan {
    /// Purchase lists.
    Lists(ListPlan),
    /// Papers of the project; those by room of one, or of all.
    Papers(Vec<PaperKind>, Vec<PaperForm>, Option<RoomId>),
    /// What crews need to know: one crew, or all with work to come.
    Crews(Option<CrewId>, Vec<CrewForm>),
    /// What is to be done in so many days.
    Week(i32, Vec<WeekForm>),
    /// All sheets, which can be read in again.
    Sheets,
}

/// What came of it.
pub enum Done {
    /// Files were written into a folder; what to say about them, and what calendars among them say.
    Written(PathBuf, String, Vec<Sent>),
    /// A folder of sheets was read; what to say about it.
    Read(Box<Project>, String),
    /// A list was read; the file it is from.
    List(Box<Book>, PathBuf),
    /// It did not work, or was stopped; why. Everything is as it was.
    Failed(String),
}

/// Work that is going on.
pub struct Work {
    /// What is done, in words.
    pub title: String,
    /// How far it is.
    pub progress: Progress,
    /// Show the folder when it is done.
    pub open_after: bool,
    answer: Receiver<Done>,
}

impl Work {
    /// Begins to write; `beside` is the folder of the project file, where pictures are.
    pub fn export(
        plan: ExportPlan,
        project: Project,
        figures: Arc<Figures>,
        beside: Option<PathBuf>,
        folder: PathBuf,
        open_after: bool,
        ctx: &egui::Context,
    ) -> Work {
        let title = format!("Writing to {}", folder.display());
        Work::begin(title, open_after, ctx, move |progress| {
            match export(&plan, &project, &figures, beside.as_deref(), &folder, progress) {
                Ok((text, said)) => Done::Written(folder, text, said),
                Err(why) => Done::Failed(why),
            }
        })
    }

    /// Begins to read a folder of sheets, or a workbook with them.
    pub fn import(folder: PathBuf, ctx: &egui::Context) -> Work {
        let title = format!("Reading {}", folder.display());
        Work::begin(title, false, ctx, move |progress| match import_path_with(&folder, progress) {
            Ok((project, notices)) => {
                let notices = lines(notices.iter().map(ToString::to_string), 0);
                Done::Read(Box::new(project), notices)
            }
            Err(errors) => {
                let faults = lines(errors.faults.iter().map(ToString::to_string), errors.more);
                Done::Failed(format!("Nothing was read from {}.\n{faults}", folder.display()))
            }
        })
    }

    /// Begins to read a list from elsewhere.
    pub fn list(path: PathBuf, ctx: &egui::Context) -> Work {
        let title = format!("Reading {}", path.display());
        Work::begin(title, false, ctx, move |progress| match read_file(&path, progress) {
            Ok(book) => Done::List(Box::new(book), path),
            Err(why) => Done::Failed(format!("Nothing was read. {why}")),
        })
    }

    fn begin(
        title: String,
        open_after: bool,
        ctx: &egui::Context,
        work: impl FnOnce(&Progress) -> Done + Send + 'static,
    ) -> Work {
        let progress = Progress::new();
        let (send, answer) = channel();
        let (ctx, own) = (ctx.clone(), progress.clone());
        std::thread::spawn(move || {
            // The window may be gone by the time it is done; then nobody listens.
            let _ = send.send(work(&own));
            ctx.request_repaint();
        });
        Work { title, progress, open_after, answer }
    }

    /// What came of it, once it is done.
    pub fn poll(&self) -> Option<Done> {
        match self.answer.try_recv() {
            Ok(done) => Some(done),
            Err(TryRecvError::Empty) => None,
            Err(TryRecvError::Disconnected) => Some(Done::Failed("The work broke off.".to_owned())),
        }
    }
}

/// The first few lines, and how many more there are.
/// The first few of them and how many there are besides, with so many that were not even kept.
fn lines(all: impl Iterator<Item = String>, not_kept: usize) -> String {
    const SHOWN: usize = 6;
    let all: Vec<String> = all.collect();
    let mut text = all.iter().take(SHOWN).cloned().collect::<Vec<_>>().join("\n");
    if all.len() > SHOWN {
        text.push_str(&format!("\nand {} more", all.len() - SHOWN + not_kept));
    }
    text
}

fn export(
    plan: &ExportPlan,
    project: &Project,
    figures: &Figures,
    beside: Option<&Path>,
    folder: &Path,
    progress: &Progress,
) -> Result<(String, Vec<Sent>), String> {
    let place = folder.display();
    let mut said = Vec::new();
    let text = match plan {
        ExportPlan::Lists(plan) => {
            let formats = &plan.formats;
            let written = lists::write_lists(project, figures, folder, plan, progress)
                .map_err(|why| why.to_string())?;
            if written.lists.is_empty() {
                return Ok(("Nothing is on such a list there: none was written".to_owned(), written.said));
            }
            let lists = count(written.lists.len() / formats.len().max(1), "purchase list");
            let files = written.lists.len() + written.others.len();
            let mut text = if files == written.lists.len() / formats.len().max(1) {
                format!("{lists} written to {place}")
            } else {
                format!("{lists} written to {place}, {}", count(files, "file"))
            };
            if !written.left.is_empty() {
                let left = lines(written.left.iter().cloned(), 0);
                text.push_str(&format!(
                    "\nNothing is on order any more for these, which were left there:\n{left}"
                ));
            }
            said = written.said;
            text
        }
        ExportPlan::Papers(kinds, forms, room) => {
            let scope = PaperScope { beside, room: *room };
            let written = write_papers(project, figures, scope, folder, kinds, forms, progress);
            let written = written.map_err(|why| why.to_string())?;
            format!("{} written to {place}", count(written.len(), "paper"))
        }
        ExportPlan::Crews(crew, forms) => {
            let all: Vec<CrewId> = match crew {
                Some(crew) => vec![*crew],
                None => project.crews.iter().map(|c| c.id).collect(),
            };
            let written = crews::write_sheets(project, figures, folder, &all, forms, progress);
            let (written, dates) = written.map_err(|why| why.to_string())?;
            said = dates;
            match written.len() {
                0 => "No work is to come there: nothing was written".to_owned(),
                n => format!("{} written to {place}", count(n, "file")),
            }
        }
        ExportPlan::Week(days, forms) => {
            let written = write_week(project, figures, folder, *days, forms, progress);
            let (written, dates) = written.map_err(|why| why.to_string())?;
            said = dates;
            format!("{} written to {place}", count(written.len(), "file"))
        }
        ExportPlan::Sheets => {
            export_folder_with(project, folder, progress).map_err(|why| why.to_string())?;
            format!("The project was written as sheets to {place}")
        }
    };
    Ok((text, said))
}
