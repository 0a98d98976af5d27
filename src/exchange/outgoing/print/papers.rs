//! The papers of a whole project: which there are, and writing them.

use super::{Paper, budget, html, inspections, pdf, schedule, selections, sides, story, sure};
use crate::engine::Figures;
use crate::exchange::file_set::{ExportError, Folder, NewFile};
use crate::exchange::progress::Progress;
use crate::model::Project;
use std::path::Path;

/// A paper of a project.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PaperKind {
    /// What was chosen, room by room: for a trade, on the wall.
    Selections,
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
}

impl PaperKind {
    /// All, with the words for them, which are also the names of their files.
    pub const ALL: [(&'static str, PaperKind); 7] = [
        ("selections", PaperKind::Selections),
        ("schedule", PaperKind::Schedule),
        ("budget", PaperKind::Budget),
        ("inspections", PaperKind::Inspections),
        ("since_agreed", PaperKind::Story),
        ("how_sure", PaperKind::Sure),
        ("side_by_side", PaperKind::Sides),
    ];

    /// The word for it.
    pub fn word(self) -> &'static str {
        PaperKind::ALL.iter().find(|(_, known)| *known == self).map_or("", |(word, _)| word)
    }

    /// What it is good for, in a few words.
    pub fn purpose(self) -> &'static str {
        match self {
            PaperKind::Selections => "Selections by room, for the wall",
            PaperKind::Schedule => "Schedule with need dates",
            PaperKind::Budget => "Budget against allowances, for a lender",
            PaperKind::Inspections => "Inspections and what comes before them",
            PaperKind::Story => "Where the days and the money went since the plan agreed",
            PaperKind::Sure => "How sure the finish and the total are",
            PaperKind::Sides => "Alternatives side by side",
        }
    }

    /// The paper; with pictures where the folder of the project file is given.
    pub fn make(self, project: &Project, figures: &Figures, beside: Option<&Path>) -> Paper {
        match self {
            PaperKind::Selections => selections::paper(project, figures, beside),
            PaperKind::Schedule => schedule::paper(project, figures),
            PaperKind::Budget => budget::paper(project, figures),
            PaperKind::Inspections => inspections::paper(project, figures),
            PaperKind::Story => story::paper(project, figures),
            PaperKind::Sure => sure::paper(project, figures),
            PaperKind::Sides => sides::paper(project, figures),
        }
    }

    /// Those that have something to say about a project.
    pub fn of(project: &Project) -> impl Iterator<Item = PaperKind> {
        let says = |kind: &PaperKind| match kind {
            PaperKind::Story => !project.kept_plans.is_empty(),
            PaperKind::Sides => !project.alternatives.is_empty(),
            _ => true,
        };
        PaperKind::ALL.into_iter().map(|(_, kind)| kind).filter(says)
    }
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
/// Pictures of options are looked for from the folder of the project file, `beside`.
///
/// # Errors
/// Names the file that could not be written; those that were there are whole. Or says that the user stopped it.
pub fn write_papers<'a>(
    project: &Project,
    figures: &Figures,
    beside: Option<&Path>,
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
        let paper = kind.make(project, figures, beside);
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
    folder.write(&files, progress)?;
    Ok(names)
}
