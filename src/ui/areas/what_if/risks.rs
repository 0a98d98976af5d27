//! Listed risks: what may happen, how likely it is, and what it would take and cost.

use crate::exchange::outgoing::print::sure::risk_words;
use crate::model::{Action, Risk};
use crate::ui::format;
use crate::ui::theme::tokens::type_size;
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::pieces;
use egui::{RichText, Role, Ui, WidgetInfo};

/// Draws the list, with the way to another one.
pub fn ui(ui: &mut Ui, view: &View<'_>, out: &mut Outbox) {
    let (tokens, project) = (view.tokens, view.project);
    ui.label(pieces::strong("Risks", 15.0));
    let open = view.figures.open_changes.count;
    if project.risks.is_empty() {
        pieces::muted(
            ui,
            tokens,
            "What may happen, with its chance, days and money: rot behind the tub, rock in the trench. Plan and forecast \
             know nothing of it; only this page does.",
        );
    }
    for risk in project.risks.iter() {
        ui.push_id(risk.id, |ui| ui.horizontal_wrapped(|ui| row(ui, view, risk, out)));
    }
    if open > 0 {
        let words = format!(
            "{} not agreed on count too, as if they were to come.",
            format::count(open as i32, "change")
        );
        pieces::muted(ui, tokens, words);
    }
    if pieces::link(ui, tokens, "+ a risk").clicked() {
        out.edit(Form::Risk(None, None));
    }
}

fn row(ui: &mut Ui, view: &View<'_>, risk: &Risk, out: &mut Outbox) {
    let tokens = view.tokens;
    let words = risk_words(view.project, risk);
    let name = ui.add(egui::Button::new(&risk.what).frame(false));
    name.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("{}, {words}", risk.what)));
    let name = name.on_hover_text("Edit; right click for more");
    if name.clicked() {
        out.edit(Form::Risk(Some(risk.id), None));
    }
    name.context_menu(|ui| {
        if ui.button("Remove the risk").clicked() {
            out.act(Action::RemoveRisk(risk.id));
        }
    });
    ui.label(RichText::new(words).size(type_size::SMALL).color(tokens.muted));
}
