//! Undo and redo: whole documents with the name of the step that led to each.
//!
//! Documents share what did not change, so a step costs little. Limitation: the list is bounded; the oldest steps
//! are forgotten.

use super::action::Action;
use super::apply::ActionError;
use super::project::Project;
use std::sync::Arc;

/// Steps kept.
const MOST_STEPS: usize = 500;

/// A document number that never repeats within a session. Undo brings the old number back with the old document,
/// so what was computed for it holds again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Revision(pub u64);

#[derive(Debug, Clone)]
struct Step {
    project: Arc<Project>,
    revision: Revision,
    /// What was done to get here; empty for the first.
    label: String,
}

/// The documents of a session, with a cursor.
#[derive(Debug, Clone)]
pub struct History {
    steps: Vec<Step>,
    cursor: usize,
    next_revision: u64,
    saved: Option<Revision>,
}

impl History {
    /// Begins with a document that counts as saved.
    pub fn new(project: Project) -> History {
        let first = Step { project: Arc::new(project), revision: Revision(1), label: String::new() };
        History { steps: vec![first], cursor: 0, next_revision: 2, saved: Some(Revision(1)) }
    }

    /// The document now.
    pub fn project(&self) -> &Arc<Project> {
        &self.steps[self.cursor].project
    }

    /// Its number.
    pub fn revision(&self) -> Revision {
        self.steps[self.cursor].revision
    }

    /// Applies an action and records it as one step. An action that changes nothing leaves no step.
    ///
    /// # Errors
    /// As [`Project::apply`]; the document is then unchanged.
    pub fn apply(&mut self, action: &Action) -> Result<(), ActionError> {
        let label = action.label(self.project());
        let next = self.project().apply(action)?;
        self.take(label, next);
        Ok(())
    }

    /// Records a document that was made from the one now as one step, under the name of what was done. One that is the
    /// same leaves no step.
    pub fn take(&mut self, label: String, next: Project) {
        if next == **self.project() {
            return;
        }
        self.steps.truncate(self.cursor + 1);
        let revision = Revision(self.next_revision);
        self.next_revision += 1;
        self.steps.push(Step { project: Arc::new(next), revision, label });
        if self.steps.len() > MOST_STEPS {
            self.steps.remove(0);
        }
        self.cursor = self.steps.len() - 1;
    }

    /// What undo would take back.
    pub fn undo_label(&self) -> Option<&str> {
        (self.cursor > 0).then(|| self.steps[self.cursor].label.as_str())
    }

    /// What redo would do again.
    pub fn redo_label(&self) -> Option<&str> {
        self.steps.get(self.cursor + 1).map(|s| s.label.as_str())
    }

    /// What each step is called, from the oldest kept. The first is where the list begins and has no name.
    pub fn labels(&self) -> impl DoubleEndedIterator<Item = &str> + ExactSizeIterator {
        self.steps.iter().map(|s| s.label.as_str())
    }

    /// The place of the document now among the steps.
    pub fn place(&self) -> usize {
        self.cursor
    }

    /// Goes to a step, back or forward; false when there is none at this place.
    pub fn go_to(&mut self, place: usize) -> bool {
        let possible = place < self.steps.len();
        if possible {
            self.cursor = place;
        }
        possible
    }

    /// One step back; false at the beginning.
    pub fn undo(&mut self) -> bool {
        let possible = self.cursor > 0;
        self.cursor = self.cursor.saturating_sub(1);
        possible
    }

    /// One step forward; false at the end.
    pub fn redo(&mut self) -> bool {
        let possible = self.cursor + 1 < self.steps.len();
        if possible {
            self.cursor += 1;
        }
        possible
    }

    /// Notes that the document now is the one on disk.
    pub fn mark_saved(&mut self) {
        self.saved = Some(self.revision());
    }

    /// Notes that nothing on disk is like the document now.
    pub fn mark_unsaved(&mut self) {
        self.saved = None;
    }

    /// Whether the document now differs from the one last saved.
    pub fn is_unsaved(&self) -> bool {
        self.saved != Some(self.revision())
    }
}
