//! The lender's draws and the owner's own money. It takes no room before there is one.

use crate::engine::money::draws::DrawFigures;
use crate::model::{Action, Draw};
use crate::ui::format;
use crate::ui::theme::tokens::type_size;
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::pieces;
use egui::{RichText, Ui};

/// Draws the list, or the way to the first draw.
pub fn ui(ui: &mut Ui, view: &View<'_>, out: &mut Outbox) {
    let (tokens, project) = (view.tokens, view.project);
    if project.draws.is_empty() && project.settings.own_cash.is_none() {
        if pieces::link(ui, tokens, "+ a draw of the lender").clicked() {
            out.edit(Form::Draw(None));
        }
        return;
    }
    ui.label(pieces::strong("What there is to pay with", 15.0));
    let currency = view.currency();
    let own = match project.settings.own_cash {
        Some(own) => format!("own money for the job {}", format::money(own, currency)),
        None => "nobody has said how much own money there is, so no week is called short".to_owned(),
    };
    if pieces::link(ui, tokens, &own).on_hover_text("In the settings of the project").clicked() {
        out.edit(Form::Settings);
    }
    for (draw, f) in project.draws.iter().zip(&view.figures.draws) {
        ui.push_id(draw.id, |ui| ui.horizontal(|ui| row(ui, view, draw, f, out)));
    }
    if pieces::link(ui, tokens, "+ a draw").clicked() {
        out.edit(Form::Draw(None));
    }
}

fn row(ui: &mut Ui, view: &View<'_>, draw: &Draw, f: &DrawFigures, out: &mut Outbox) {
    let (tokens, near, currency) = (view.tokens, view.as_of(), view.currency());
    let name = ui.add(egui::Button::new(&draw.name).frame(false));
    let name = name.on_hover_text("Edit; right click for more");
    if name.clicked() {
        out.edit(Form::Draw(Some(draw.id)));
    }
    name.context_menu(|ui| {
        if ui.button("Remove the draw").clicked() {
            out.act(Action::RemoveDraw(draw.id));
        }
    });
    ui.label(pieces::strong(format::money(draw.amount, currency), type_size::BODY));
    let (words, tone) = match (draw.has_come(near.date()), f.expected, f.overdue) {
        (true, ..) => (format!("\u{2713} came, {}", format::money(f.came, currency)), tokens.good),
        (false, Some(_), true) => ("was expected before today".to_owned(), tokens.late),
        (false, Some(day), false) => (format!("expected {}", format::day(day, near)), tokens.text),
        (false, None, _) if draw.gate.is_some() => {
            ("nobody knows when its gate is ready".to_owned(), tokens.soon)
        }
        (false, None, _) if draw.phase.is_some() => ("its phase has no day".to_owned(), tokens.soon),
        (false, None, _) => ("hangs on no phase and no gate".to_owned(), tokens.soon),
    };
    ui.label(RichText::new(words).color(tone));
    let came = format!("{} came, on the as-of day", draw.name);
    if !draw.has_come(near.date()) && pieces::row_button(ui, "Came", &came).clicked() {
        out.act(Action::PutDraw(Draw { received_on: Some(near.date()), ..draw.clone() }));
    }
}
