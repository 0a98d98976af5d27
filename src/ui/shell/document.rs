//! The open project: its history, its file, and its figures.

use crate::engine::log;
use crate::model::file::{self, FileError, Stamp};
use crate::model::{Action, ActionError, History, Project};
use crate::ui::derived::Derived;
use chrono::NaiveDate;
use std::path::{Path, PathBuf};

/// A project in the window.
pub struct Document {
    /// Undo and redo.
    pub history: History,
    /// Where it is stored; nowhere yet for a new one.
    pub path: Option<PathBuf>,
    stamp: Option<Stamp>,
    derived: Option<Derived>,
}

impl Document {
    /// A project that was never saved.
    pub fn unsaved(project: Project) -> Document {
        let mut history = History::new(project);
        history.mark_unsaved();
        Document { history, path: None, stamp: None, derived: None }
    }

    /// Opens a file.
    ///
    /// # Errors
    /// As [`file::load`].
    pub fn open(path: &Path) -> Result<Document, FileError> {
        let (project, stamp) = file::load(path)?;
        Ok(Document {
            history: History::new(project),
            path: Some(path.to_owned()),
            stamp: Some(stamp),
            derived: None,
        })
    }

    /// Writes it to its file, or to another one.
    ///
    /// # Errors
    /// As [`file::save`]; saving to another file overwrites what the user agreed to overwrite.
    pub fn save(&mut self, path: &Path) -> Result<(), FileError> {
        let known = if self.path.as_deref() == Some(path) { self.stamp.as_ref() } else { None };
        self.stamp = Some(file::save(self.history.project(), path, known)?);
        self.path = Some(path.to_owned());
        self.history.mark_saved();
        Ok(())
    }

    /// The document now.
    pub fn project(&self) -> &Project {
        self.history.project()
    }

    /// Makes a change, with its line in the log of days and money where a plan is kept.
    ///
    /// # Errors
    /// As [`Project::apply`].
    pub fn act(&mut self, action: &Action) -> Result<(), ActionError> {
        let as_of = match self.derived.as_ref().map(|d| d.key().1) {
            Some(as_of) if !self.project().kept_plans.is_empty() => as_of,
            // Nothing is logged; before any day was looked at it is pending.
            _ => return self.history.apply(action),
        };
        self.derive(as_of);
        let Some(derived) = &self.derived else { return self.history.apply(action) };
        let project = self.history.project();
        let taken = log::take(project, &derived.figures, action)?;
        self.history.take(action.label(project), taken.project);
        if let Some(figures) = taken.figures {
            let (project, revision) = (self.history.project(), self.history.revision());
            self.derived = Some(Derived::of(project, figures, revision, as_of));
        }
        Ok(())
    }

    /// Brings the figures up to date.
    pub fn derive(&mut self, as_of: NaiveDate) {
        let revision = self.history.revision();
        if !self.derived.as_ref().is_some_and(|d| d.is_for(revision, as_of)) {
            let project = self.history.project();
            self.derived = Some(Derived::new(project, revision, as_of));
        }
    }

    /// The figures last derived.
    pub fn derived(&self) -> Option<&Derived> {
        self.derived.as_ref()
    }
}
