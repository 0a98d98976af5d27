//! The open project: its history, its file, and its figures.

use crate::engine::log;
use crate::model::file::{self, FileError, Holder, Lock, LockError, Stamp};
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
    /// Who else has it open to change it; it is only read here then.
    pub held_by: Option<Holder>,
    lock: Option<Lock>,
    stamp: Option<Stamp>,
    derived: Option<Derived>,
}

impl Document {
    /// A project that was never saved.
    pub fn unsaved(project: Project) -> Document {
        let mut history = History::new(project);
        history.mark_unsaved();
        Document { history, path: None, held_by: None, lock: None, stamp: None, derived: None }
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
            held_by: None,
            lock: None,
            stamp: Some(stamp),
            derived: None,
        })
    }

    /// Writes it to its file, or to another one.
    ///
    /// # Errors
    /// As [`file::save`]; saving to another file overwrites what the user agreed to overwrite.
    pub fn save(&mut self, path: &Path) -> Result<(), FileError> {
        let mine = self.lock.as_ref().is_some_and(|lock| lock.is_of(path) && lock.is_mine());
        let taken = if mine { None } else { Some(self.taken(path, Lock::take)?) };
        let known = if self.path.as_deref() == Some(path) { self.stamp.as_ref() } else { None };
        self.stamp = Some(file::save(self.history.project(), path, known)?);
        self.path = Some(path.to_owned());
        if taken.is_some() {
            (self.lock, self.held_by) = (taken, None);
        }
        self.history.mark_saved();
        Ok(())
    }

    /// Takes a lock; who holds the file of this document is noted.
    fn taken(
        &mut self,
        path: &Path,
        take: fn(&Path, bool) -> Result<Lock, LockError>,
    ) -> Result<Lock, LockError> {
        take(path, true).inspect_err(|why| {
            if let LockError::Held { holder, .. } = why
                && self.path.as_deref() == Some(path)
            {
                self.held_by = Some(holder.clone());
            }
        })
    }

    /// Holds the file to change it, as long as this document is there. Where somebody else does, or no lock can be
    /// written, it can be read; saving says why it cannot be saved.
    pub fn hold(&mut self) {
        if let Some(path) = self.path.clone() {
            self.lock = self.taken(&path, Lock::take).ok();
        }
    }

    /// Takes the file from whoever holds it. They are told when they save.
    ///
    /// # Errors
    /// As [`Lock::take_over`].
    pub fn take_over(&mut self) -> Result<(), LockError> {
        if let Some(path) = self.path.clone() {
            self.lock = Some(self.taken(&path, Lock::take_over)?);
            self.held_by = None;
        }
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
