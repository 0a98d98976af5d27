//! The open project: its history, its file, and its figures.

use super::keeper::Keeper;
use crate::engine::log;
use crate::model::file::journal::{Left, Now, Wanted};
use crate::model::file::{self, FileError, Holder, Lock, LockError, Stamp};
use crate::model::history::Revision;
use crate::model::{Action, ActionError, History, Project};
use crate::ui::derived::Derived;
use chrono::{DateTime, FixedOffset, NaiveDate};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::SystemTime;

/// A project in the window.
pub struct Document {
    /// Undo and redo.
    pub history: History,
    /// Where it is stored; nowhere yet for a new one.
    pub path: Option<PathBuf>,
    /// Who else has it open to change it; it is only read here then.
    pub held_by: Option<Holder>,
    /// The file that it was changed from, when that has become another one since; it is to be saved beside it.
    pub beside: Option<PathBuf>,
    lock: Option<Lock>,
    stamp: Option<Stamp>,
    derived: Option<Derived>,
    /// The document as it stands in the file.
    saved: Option<Arc<Project>>,
    /// Keeps what is not saved for the day the program is ended.
    keeper: Option<Keeper>,
    /// The state that the keeper knows of: the document, and whether it is unsaved.
    kept: Option<(Revision, bool)>,
    /// Edits since the file.
    edits: u32,
    /// What the file looked like when it was told that somebody else changed it.
    told: Option<Stamp>,
}

/// The file of a document as somebody else wrote it.
pub struct Other {
    /// What it holds.
    pub project: Arc<Project>,
    stamp: Stamp,
}

/// What the step is called that brings back what an ended run did not save.
const TAKEN_UP: &str = "Take up what was not saved";

/// What the step is called that brings the document together with its file.
const TOGETHER: &str = "Bring both versions together";

impl Document {
    /// A project that was never saved.
    pub fn unsaved(project: Project) -> Document {
        let mut history = History::new(project);
        history.mark_unsaved();
        Document::of(history, None)
    }

    /// A project to look at: it has no file, and nothing of it is unsaved until it is changed.
    pub fn sample(project: Project) -> Document {
        Document::of(History::new(project), None)
    }

    fn of(history: History, file: Option<(&Path, Stamp)>) -> Document {
        let (path, stamp) = file.unzip();
        Document {
            saved: path.map(|_| history.project().clone()),
            history,
            path: path.map(Path::to_owned),
            held_by: None,
            beside: None,
            lock: None,
            stamp,
            derived: None,
            keeper: None,
            kept: None,
            edits: 0,
            told: None,
        }
    }

    /// What an ended run did not save, of a project that has no file, or another one by now. It is unsaved, and has no
    /// file of its own. `beside` is the file that it was changed from.
    pub fn copy_of(left: Left, beside: Option<PathBuf>, state: Option<PathBuf>) -> Document {
        let mut document = Document::unsaved(left.said.now.clone());
        document.edits = left.said.edits;
        let of = beside.clone().or(left.said.project.clone());
        document.go_on(left, of, state);
        document.beside = beside;
        document
    }

    /// Goes on with what an ended run did not save of this file, as one step that undo takes back.
    pub fn take_up(&mut self, left: Left, state: Option<PathBuf>) {
        self.history.take(TAKEN_UP.to_owned(), left.said.now.clone());
        // The step is no edit of its own.
        self.edits = left.said.edits.saturating_sub(1);
        self.go_on(left, self.path.clone(), state);
    }

    /// The record that was left becomes that of this document, so that there is one at every moment.
    fn go_on(&mut self, left: Left, of: Option<PathBuf>, state: Option<PathBuf>) {
        let keeper = Keeper::new(state);
        keeper.adopt(left, of);
        self.keeper = Some(keeper);
    }

    /// Opens a file.
    ///
    /// # Errors
    /// As [`file::load`].
    pub fn open(path: &Path) -> Result<Document, FileError> {
        let (project, stamp) = file::load(path)?;
        Ok(Document::of(History::new(project), Some((path, stamp))))
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
        self.saved = Some(self.history.project().clone());
        self.beside = None;
        if taken.is_some() {
            (self.lock, self.held_by) = (taken, None);
        }
        self.history.mark_saved();
        Ok(())
    }

    /// When the file was written, where somebody else changed it since it was opened or saved; and the system may not say
    /// when. Asked `once`, each change is told once.
    pub fn changed_outside(&mut self, once: bool) -> Option<Option<SystemTime>> {
        let now = Stamp::of(self.path.as_deref()?)?;
        let known = Some(&now) == self.stamp.as_ref() || (once && Some(&now) == self.told.as_ref());
        if known {
            return None;
        }
        let written = now.written();
        self.told = Some(now);
        Some(written)
    }

    /// The document as it was read or written last; none where it has no file.
    pub fn saved(&self) -> Option<&Project> {
        self.saved.as_deref()
    }

    /// What the file holds now.
    ///
    /// # Errors
    /// As [`file::load`].
    pub fn other(&self) -> Result<Other, FileError> {
        let (project, stamp) = file::load(self.path.as_deref().unwrap_or(Path::new("")))?;
        Ok(Other { project: Arc::new(project), stamp })
    }

    /// Goes on with what came of this document and its file, as one step that undo takes back. From here on the file is
    /// the one that is known.
    pub fn bring_together(&mut self, project: Project, other: &Other) {
        self.history.take(TOGETHER.to_owned(), project);
        self.stamp = Some(other.stamp.clone());
        self.saved = Some(other.project.clone());
        if **self.history.project() == *other.project {
            self.history.mark_saved();
        } else {
            self.history.mark_unsaved();
        }
        // Its record is told what the file holds.
        self.kept = None;
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

    /// Sees to it that what is not saved is kept on the disk, and what is saved is not. `now` is the time by the clock of
    /// the machine, `state` the folder that the system gives the program. Whether there was anything to see to.
    pub fn keep(&mut self, state: Option<&Path>, now: impl FnOnce() -> DateTime<FixedOffset>) -> bool {
        let state_now = (self.history.revision(), self.history.is_unsaved());
        if self.kept == Some(state_now) {
            return false;
        }
        self.edits = match (self.kept, state_now.1) {
            // What is new has not been edited yet.
            (None, true) => self.edits,
            (Some(_), true) => self.edits.saturating_add(1),
            (_, false) => 0,
        };
        self.kept = Some(state_now);
        if self.keeper.is_none() {
            let has_place = self.path.is_some() || state.is_some();
            if !state_now.1 || !has_place {
                return false;
            }
            self.keeper = Some(Keeper::new(state.map(Path::to_owned)));
        }
        let now = state_now.1.then(|| Now {
            project: self.history.project().clone(),
            when: now(),
            edits: self.edits,
            last: self.history.undo_label().unwrap_or_default().to_owned(),
        });
        if let Some(keeper) = &self.keeper {
            keeper.want(Wanted { path: self.path.clone(), saved: self.saved.clone(), now });
        }
        true
    }

    /// Why what is not saved is not kept.
    pub fn not_kept(&self) -> Option<String> {
        self.keeper.as_ref().and_then(Keeper::trouble)
    }

    /// Waits until what was to be kept is.
    pub fn settle(&self) {
        if let Some(keeper) = &self.keeper {
            keeper.settle();
        }
    }

    /// Lets go of it: what is not saved is not wanted any more. Dropped without this, it is there at the next start.
    pub fn let_go(&mut self) {
        if let Some(keeper) = self.keeper.take() {
            keeper.want(Wanted::default());
            keeper.settle();
        }
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
