//! The usual gates that fit the project, shown with all they will hold before they are added.

use super::fields;
use crate::engine::gates::condition_text;
use crate::model::starter_gates::{Proposal, propose};
use crate::model::{Action, Project};
use crate::ui::theme::{Tokens, tokens::type_size};
use crate::ui::widgets::pieces;
use egui::{Label, RichText, Ui};

/// Proposed gates with a tick each.
pub struct UsualGatesForm {
    proposals: Vec<(bool, Proposal)>,
}

impl UsualGatesForm {
    /// Looks for what fits the project now.
    pub fn new(project: &Project) -> UsualGatesForm {
        UsualGatesForm { proposals: propose(project).into_iter().map(|p| (true, p)).collect() }
    }

    /// Draws the list.
    pub fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        if self.proposals.is_empty() {
            ui.label("Nothing of the usual list fits what is still to begin, or it is there already.");
            return;
        }
        let wrapped = |ui: &mut Ui, text: RichText| ui.add(Label::new(text.size(type_size::SMALL)).wrap());
        for (ticked, Proposal { gate, left_out }) in &mut self.proposals {
            let phase = project.phase(gate.phase).map_or("", |p| &p.name);
            ui.checkbox(ticked, pieces::strong(format!("{}, before {phase}", gate.name), type_size::BODY));
            ui.indent(gate.id, |ui| {
                ui.spacing_mut().item_spacing.y = 1.0;
                for condition in &gate.conditions {
                    let who = if condition.who.is_empty() {
                        String::new()
                    } else {
                        format!(" ({})", condition.who)
                    };
                    wrapped(
                        ui,
                        RichText::new(format!("\u{2022} {}{who}", condition_text(project, condition))),
                    );
                }
                if !left_out.is_empty() {
                    let text = format!("Nothing found for: {}", left_out.join("; "));
                    wrapped(ui, RichText::new(text).color(tokens.soon));
                }
                wrapped(ui, RichText::new(format!("Source: {}", gate.source)).color(tokens.muted));
            });
            ui.add_space(6.0);
        }
        fields::section(
            ui,
            tokens,
            "Everything can be edited afterwards. Local code and licensed trades decide.",
        );
    }

    /// The change: the ticked gates as one step.
    ///
    /// # Errors
    /// When none is ticked.
    pub fn action(&self, _project: &Project) -> Result<Action, String> {
        let ticked = self.proposals.iter().filter(|(ticked, _)| *ticked);
        let actions: Vec<Action> = ticked.map(|(_, p)| Action::PutGate(p.gate.clone())).collect();
        if actions.is_empty() {
            return Err("nothing is ticked; tick at least one gate, or cancel".to_owned());
        }
        Ok(Action::Batch { label: "add the usual gates".to_owned(), actions })
    }
}
