//! Questions to the system that take as long as the user does: file dialogs, each asked on a thread of its own so that
//! the window goes on drawing.

use super::work::ExportPlan;
use crate::ui::pictures::Beside;
use rfd::AsyncFileDialog;
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::time::{Duration, Instant};

/// Nobody closes a dialog faster than this: an answer of nothing before it means that none came up.
const TOO_FAST: Duration = Duration::from_millis(400);

/// A path asked for in the window itself.
pub struct TypedPath {
    /// What for.
    pub question: Question,
    /// Why it is asked for here.
    pub why: &'static str,
    /// What was typed so far.
    pub text: String,
    /// Not drawn yet; the field gets the cursor when it is.
    pub fresh: bool,
}

/// What a dialog was opened for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Question {
    /// Which project to open.
    Open,
    /// Where to save the project; then do what was put off, if anything was.
    SaveAs,
    /// Into which folder to write what was planned.
    ExportInto(ExportPlan),
    /// Which folder of sheets to read.
    SheetFolder,
    /// Which list to bring in.
    List,
    /// Into which file to write the swap log of a room, or of the house.
    SwapLog(Option<crate::model::RoomId>),
    /// Into which file to write a page for a phone.
    Page(crate::exchange::outgoing::pages::PageFor),
    /// Which file something is to have beside the project.
    Beside(Beside),
}

/// A dialog that is open.
pub struct Job {
    /// What for.
    pub question: Question,
    /// The path that was suggested.
    pub suggestion: PathBuf,
    asked: Instant,
    answer: Receiver<Option<PathBuf>>,
}

/// What came of looking at a job.
pub enum Answer {
    /// The user has not answered.
    Waiting,
    /// The user picked a path.
    Picked(PathBuf),
    /// The user closed the dialog.
    Nothing,
    /// The system has no dialog to show.
    NoDialog,
}

impl Job {
    /// Asks a question. `suggestion` is a file name for questions that write one, `folder` where to begin.
    pub fn ask(
        question: Question,
        suggestion: &str,
        folder: Option<&std::path::Path>,
        ctx: &egui::Context,
    ) -> Job {
        let mut dialog = AsyncFileDialog::new();
        if let Some(folder) = folder {
            dialog = dialog.set_directory(folder);
        }
        dialog = match &question {
            Question::Open => dialog
                .add_filter("Needline project", &["ron"])
                .add_filter("Workbook with the sheets of a project", &["xlsx"]),
            Question::List => dialog.add_filter("List", &["csv", "txt", "tsv", "xlsx", "xlsm"]),
            Question::SaveAs => dialog.add_filter("Needline project", &["ron"]).set_file_name(suggestion),
            Question::SwapLog(_) => dialog.add_filter("CSV", &["csv"]).set_file_name(suggestion),
            Question::Page(_) => dialog.add_filter("Page", &["html"]).set_file_name(suggestion),
            Question::Beside(Beside::Picture(_)) => dialog.add_filter("Pictures", &["png", "jpg", "jpeg"]),
            Question::Beside(Beside::Manual(_)) => dialog,
            Question::ExportInto(_) | Question::SheetFolder => dialog,
        };
        let (send, answer) = channel();
        let ctx = ctx.clone();
        let wait = move |picked: Option<rfd::FileHandle>| {
            // The window may be gone by the time the user answers; then nobody listens.
            let _ = send.send(picked.map(|file| file.path().to_owned()));
            ctx.request_repaint();
        };
        // The dialog has to be made on the main thread on some systems; only the waiting is done elsewhere.
        match &question {
            Question::Open | Question::List | Question::Beside(_) => spawn(dialog.pick_file(), wait),
            Question::SaveAs | Question::SwapLog(_) | Question::Page(_) => spawn(dialog.save_file(), wait),
            Question::ExportInto(_) | Question::SheetFolder => spawn(dialog.pick_folder(), wait),
        }
        let suggestion = folder.unwrap_or(std::path::Path::new("")).join(suggestion);
        Job { question, suggestion, asked: Instant::now(), answer }
    }

    /// Looks whether the user has answered.
    pub fn poll(&self) -> Answer {
        match self.answer.try_recv() {
            Ok(Some(path)) => Answer::Picked(path),
            Ok(None) | Err(TryRecvError::Disconnected) if self.asked.elapsed() < TOO_FAST => Answer::NoDialog,
            Ok(None) | Err(TryRecvError::Disconnected) => Answer::Nothing,
            Err(TryRecvError::Empty) => Answer::Waiting,
        }
    }
}

fn spawn<F>(dialog: F, then: impl FnOnce(Option<rfd::FileHandle>) + Send + 'static)
where
    F: Future<Output = Option<rfd::FileHandle>> + Send + 'static,
{
    std::thread::spawn(move || then(pollster::block_on(dialog)));
}
