//! Bids side by side per scope, and fees and extras: the lower part of Money.

use super::bids;
use crate::model::{Action, ExtraKind};
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::pieces;
use egui::Ui;

/// Draws both lists.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    ui.label(pieces::strong("Bids", 15.0));
    if view.project.quotes.is_empty() {
        pieces::muted(ui, view.tokens, "Prices of trades for the same scope stand here side by side.");
    }
    bids::ui(ui, view, session, out);
    if pieces::link(ui, view.tokens, "+ add a bid").clicked() {
        out.edit(Form::Quote(None));
    }
    ui.add_space(space::L);
    extras(ui, view, out);
}

fn extras(ui: &mut Ui, view: &View<'_>, out: &mut Outbox) {
    let (tokens, currency) = (view.tokens, view.currency());
    ui.label(pieces::strong("Fees and extras", 15.0));
    if view.project.extras.is_empty() {
        pieces::muted(ui, tokens, "Permit fees, and costs that nobody planned.");
    }
    for extra in view.project.extras.iter() {
        ui.horizontal(|ui| {
            let name = ui.add(egui::Button::new(&extra.name).frame(false));
            let name = name.on_hover_text("Edit; right click for more");
            if name.clicked() {
                out.edit(Form::Extra(Some(extra.id)));
            }
            name.context_menu(|ui| {
                if ui.button("Remove").clicked() {
                    out.act(Action::RemoveExtra(extra.id));
                }
            });
            ui.label(pieces::strong(format::money(extra.amount, currency), type_size::BODY));
            let kind = match extra.kind {
                ExtraKind::Permit => "planned",
                ExtraKind::Extra => "from the contingency",
            };
            pieces::muted(ui, tokens, format!("{kind}, {} paid", format::money(extra.paid, currency)));
        });
    }
    if pieces::link(ui, tokens, "+ add a fee or an extra").clicked() {
        out.edit(Form::Extra(None));
    }
}
