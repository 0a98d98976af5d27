//! The card of a phase: its days, its links and visits, its people, what it needs and what holds it.

use super::{heading, line};
use crate::exchange::outgoing::pages::PageFor;
use crate::model::{PhaseId, PhaseKind, Subject};
use crate::ui::areas::dates::{detail, parts as needed};
use crate::ui::areas::signoffs::rows;
use crate::ui::session::Session;
use crate::ui::view::{Outbox, Request, View};
use egui::Ui;

/// Draws it below its name.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, id: PhaseId, out: &mut Outbox) {
    let Some(at) = view.figures.index.of(id.0) else { return };
    let Some(phase) = view.project.phases.get(at).filter(|phase| phase.id == id) else { return };
    detail::days(ui, view, session, phase, at);
    detail::content(ui, view, session, phase, at, out);
    if phase.kind == PhaseKind::Inspection {
        let page = ui.button("Page for a phone…");
        if page
            .on_hover_text("What stands before the visit and what was said, to be shown to the inspector")
            .clicked()
        {
            out.push(Request::SharePage(PageFor::Visit(Some(id))));
        }
    }
    parts(ui, view, at, out);
    let gates: Vec<_> =
        view.project.gates.iter().zip(&view.figures.gates).filter(|(gate, _)| gate.phase == id).collect();
    if !gates.is_empty() {
        heading(ui, view, "Before it can begin or be covered", gates.len());
    }
    for (gate, figures) in gates {
        let (word, tone) = rows::gate_word(figures, view.tokens);
        line(ui, view, Subject::Gate(gate.id), &gate.name, (word, tone), out);
    }
}

/// What counts and is needed by it, the latest first of what is late, then by the day it is needed.
fn parts(ui: &mut Ui, view: &View<'_>, at: usize, out: &mut Outbox) {
    let own = needed::of_phase(view, at);
    if own.is_empty() {
        return;
    }
    heading(ui, view, "Needed for it", own.len());
    for one in own {
        line(ui, view, Subject::Part(one.part.id), &one.name, (&one.words, one.tone), out);
    }
}
