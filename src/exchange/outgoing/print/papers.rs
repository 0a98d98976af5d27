//! The papers of a whole project: which there are, and writing them.

use super::{
    Paper, binder, board, budget, html, inspections, pdf, punch_list, room_sheet, schedule, selections,
    sides, story, sure,
};
use crate::engine::Figures;
use crate::engine::closing_out::in_house;
use crate::exchange::file_set::{ExportError, Folder, NewFile};
use crate::exchange::progress::Progress;
use crate::model::handover::MOST_OF_A_MANUAL;
use crate::model::{Project, RoomId, file};
use std::path::Path;

/// A paper of a project.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PaperKind {
    /// What was chosen, room by room: for a trade, on the wall.
    Selections,
    /// What was chosen, a page a room, with pictures: to see a room as a whole, or to show it to who decides too.
    Board,
    /// A room on a page: its floor and sizes, what was chosen, what is open, who works there when.
    Rooms,
    /// When each phase is worked on, and what must be there.
    Schedule,
    /// The money against the allowances: for a lender.
    Budget,
    /// The inspections with what stands before them: for the inspector and the file.
    Inspections,
    /// Where the days and the money went since a plan was agreed on: for a lender, or for who pays too.
    Story,
    /// How sure the finish and the total are: for a lender, or for who pays too.
    Sure,
    /// Alternatives side by side: for who decides too, or for a lender.
    Sides,
    /// What is still to be put right, room by room and crew by crew.
    Punch,
    /// What is in the house, who did the work, what was passed: for the years in which it is lived in.
    Binder,
}

impl PaperKind {
    /// All, with the words for them, which are also the names of their files.
    pub const ALL: [(&'static str, PaperKind); 11] = [
        ("selections", PaperKind::Selections),
        ("finish_board", PaperKind::Board),
        ("room_sheets", PaperKind::Rooms),
        ("schedule", PaperKind::Schedule),
        ("budget", PaperKind::Budget),
        ("inspections", PaperKind::Inspections),
        ("since_agreed", PaperKind::Story),
        ("how_sure", PaperKind::Sure),
        ("side_by_side", PaperKind::Sides),
        ("punch_list", PaperKind::Punch),
        ("binder", PaperKind::Binder),
    ];

    /// The word for it.
    pub fn word(self) -> &'static str {
        PaperKind::ALL.iter().find(|(_, known)| *known == self).map_or("", |(word, _)| word)
    }

    /// What it is good for, in a few words.
    pub fn purpose(self) -> &'static str {
        match self {
            PaperKind::Selections => "Selections by room, for the wall",
            PaperKind::Board => "Finish boards by room, with pictures",
            PaperKind::Rooms => "Room sheets: plan, sizes, finishes, who works there when",
            PaperKind::Schedule => "Schedule with need dates",
            PaperKind::Budget => "Budget against allowances, for a lender",
            PaperKind::Inspections => "Inspections and what comes before them",
            PaperKind::Story => "Where the days and the money went since the plan agreed",
            PaperKind::Sure => "How sure the finish and the total are",
            PaperKind::Sides => "Alternatives side by side",
            PaperKind::Punch => "Punch list by room and by crew, with pictures",
            PaperKind::Binder => "Binder of the house: finishes, warranties, manuals, who did what",
        }
    }

    /// The paper of the whole project; with pictures where the folder of the project file is given.
    pub fn make(self, project: &Project, figures: &Figures, beside: Option<&Path>) -> Paper {
        self.make_of(project, figures, PaperScope { beside, room: None })
    }

    /// Whether it can be of one room.
    pub fn by_room(self) -> bool {
        matches!(self, PaperKind::Board | PaperKind::Rooms | PaperKind::Punch)
    }

    /// The paper, of one room where the scope names one and the paper is by room.
    pub fn make_of(self, project: &Project, figures: &Figures, scope: PaperScope<'_>) -> Paper {
        let PaperScope { beside, room } = scope;
        match self {
            PaperKind::Selections => selections::paper(project, figures, beside),
            PaperKind::Board => board::paper(project, figures, beside, room),
            PaperKind::Rooms => room_sheet::paper(project, figures, room),
            PaperKind::Schedule => schedule::paper(project, figures),
            PaperKind::Budget => budget::paper(project, figures),
            PaperKind::Inspections => inspections::paper(project, figures),
            PaperKind::Story => story::paper(project, figures),
            PaperKind::Sure => sure::paper(project, figures),
            PaperKind::Sides => sides::paper(project, figures),
            PaperKind::Punch => punch_list::paper(project, figures, beside, room),
            PaperKind::Binder => binder::paper(project, figures, beside),
        }
    }

    /// Those that have something to say about a project.
    pub fn of(project: &Project) -> impl Iterator<Item = PaperKind> {
        let says = |kind: &PaperKind| match kind {
            PaperKind::Story => !project.kept_plans.is_empty(),
            PaperKind::Sides => !project.alternatives.is_empty(),
            PaperKind::Punch => !project.punch.is_empty(),
            _ => true,
        };
        PaperKind::ALL.into_iter().map(|(_, kind)| kind).filter(says)
    }
}

/// What papers are made of, beside the project.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct PaperScope<'a> {
    /// The folder of the project file, in which pictures are looked for.
    pub beside: Option<&'a Path>,
    /// The room that papers by room are of; all of them without.
    pub room: Option<RoomId>,
}

/// A form in which papers are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PaperForm {
    /// Pages.
    Pdf,
    /// One page for mail and phone.
    Html,
}

impl PaperForm {
    /// Both, with the words for them, which are also the endings of their files.
    pub const ALL: [(&'static str, PaperForm); 2] = [("pdf", PaperForm::Pdf), ("html", PaperForm::Html)];

    /// The ending of its files.
    pub fn ending(self) -> &'static str {
        PaperForm::ALL.iter().find(|(_, known)| *known == self).map_or("", |(word, _)| word)
    }
}

/// Writes papers into a folder, which is made when it is missing: all of them, or none. Gives the names of the files.
///
/// # Errors
/// Names the file that could not be written; those that were there are whole. Or says that the user stopped it.
pub fn write_papers<'a>(
    project: &Project,
    figures: &Figures,
    scope: PaperScope<'_>,
    folder: impl Into<Folder<'a>>,
    kinds: &[PaperKind],
    forms: &[PaperForm],
    progress: &Progress,
) -> Result<Vec<String>, ExportError> {
    let folder = folder.into();
    progress.add_steps(kinds.len() * forms.len() * 2);
    let mut files = Vec::new();
    let mut names = Vec::new();
    for kind in kinds {
        let paper = kind.make_of(project, figures, scope);
        for form in forms {
            let file = format!("{}.{}", kind.word(), form.ending());
            let made = match form {
                PaperForm::Pdf => pdf::pdf(&paper),
                PaperForm::Html => Ok(html::html(&paper).into_bytes()),
            };
            let bytes = made.map_err(|why| ExportError::Made { file: file.clone(), why })?;
            files.push(NewFile { path: folder.path.join(&file), bytes });
            names.push(file);
            progress.step()?;
        }
    }
    if let Some(beside) = scope.beside.filter(|_| kinds.contains(&PaperKind::Binder)) {
        files.extend(manuals(project, figures, beside, folder.path));
    }
    folder.write(&files, progress)?;
    Ok(names)
}

/// The manuals of what is in the house, to stand beside its binder, whose links lead to them. What cannot be read stays
/// behind; the binder says so.
fn manuals(project: &Project, figures: &Figures, beside: &Path, goal: &Path) -> Vec<NewFile> {
    let same = |a: &Path, b: &Path| a.canonicalize().is_ok_and(|a| b.canonicalize().is_ok_and(|b| a == b));
    if same(beside, goal) {
        return Vec::new();
    }
    let mut files: Vec<NewFile> = Vec::new();
    for own in in_house(project, figures).filter_map(|thing| thing.handover) {
        if own.manual.is_empty() || own.is_page() {
            continue;
        }
        let path = goal.join(&own.manual);
        if files.iter().all(|known| known.path != path)
            && let Ok(bytes) = file::read_at_most(&beside.join(&own.manual), MOST_OF_A_MANUAL)
        {
            files.push(NewFile { path, bytes });
        }
    }
    files
}
