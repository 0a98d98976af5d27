//! Rooms, phases, suppliers and crews that are made in the form that asks for one.
//!
//! They are in the document only with what the form was opened for, as one step; a form that is closed leaves nothing.

use crate::model::field::Noun;
use crate::model::{Action, Project};
use egui::{Context, Id};

/// Numbers that are left to what a form adds by itself, which takes those that come next.
const LEFT: u32 = 64;

/// What was asked for: what it is, its number and its name.
type Asked = (Noun, u32, String);

fn place() -> Id {
    Id::unique("made in a form")
}

/// Asks for one with a name. Gives back the number it has from the next frame on.
pub fn ask(ctx: &Context, project: &Project, noun: Noun, name: &str) -> u32 {
    let id = project.next_id + LEFT;
    ctx.data_mut(|d| d.insert_temp::<Vec<Asked>>(place(), vec![(noun, id, name.to_owned())]));
    ctx.request_repaint();
    id
}

/// What a form made so far, and the document with it.
#[derive(Default)]
pub struct Made {
    actions: Vec<Action>,
    with: Option<Project>,
}

impl Made {
    /// The document that the form is to be drawn over.
    pub fn project<'a>(&'a self, project: &'a Project) -> &'a Project {
        self.with.as_ref().unwrap_or(project)
    }

    /// Makes what was asked for since the last time.
    pub fn take(&mut self, ctx: &Context, project: &Project) {
        let asked: Vec<Asked> = ctx.data_mut(|d| d.remove_temp(place())).unwrap_or_default();
        for (noun, id, name) in asked {
            let over = self.project(project);
            if let Some(action) = noun.make(over, id, &name)
                && let Ok(with) = over.apply(&action)
            {
                self.actions.push(action);
                self.with = Some(with);
            }
        }
    }

    /// The change of a form together with what was made for it.
    pub fn with(&self, project: &Project, action: Action) -> Action {
        if self.actions.is_empty() {
            return action;
        }
        let label = action.label(self.project(project));
        Action::Batch { label, actions: self.actions.iter().cloned().chain([action]).collect() }
    }
}
