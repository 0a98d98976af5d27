//! The installments of an accepted bid: what is due when, what was paid, and the waivers of lien.

use crate::engine::money::installments::InstallmentFigures;
use crate::model::{Action, Installment, Quote};
use crate::ui::format;
use crate::ui::theme::tokens::type_size;
use crate::ui::view::{Outbox, View};
use crate::ui::widgets::pieces;
use egui::{Grid, RichText, Ui};

/// Draws them below their bid; nothing where there are none.
pub fn ui(ui: &mut Ui, view: &View<'_>, quote: &Quote, out: &mut Outbox) {
    if quote.installments.is_empty() {
        return;
    }
    let figures = view.figures.installments(view.project, quote);
    ui.add_space(2.0);
    let room = ui.available_width().min(ui.clip_rect().right() - ui.cursor().left() - 8.0);
    Grid::new(("installments", quote.id)).num_columns(5).spacing([14.0, 2.0]).show(ui, |ui| {
        for (at, (installment, f)) in quote.installments.iter().zip(&figures).enumerate() {
            row(ui, view, quote, at, installment, f, out);
            ui.end_row();
        }
    });
    if figures.iter().any(|f| f.wants_waiver) {
        let words =
            "Lien law and waiver forms differ by state: ask the lender, the title company or a lawyer.";
        let words = egui::RichText::new(words).size(type_size::SMALL).color(view.tokens.muted);
        ui.scope(|ui| {
            ui.set_max_width(room);
            ui.add(egui::Label::new(words).wrap());
        });
    }
}

fn row(
    ui: &mut Ui,
    view: &View<'_>,
    quote: &Quote,
    at: usize,
    installment: &Installment,
    f: &InstallmentFigures,
    out: &mut Outbox,
) {
    let (tokens, near, currency) = (view.tokens, view.as_of(), view.currency());
    let change = |edit: &dyn Fn(&mut Installment)| {
        let mut changed = quote.clone();
        if let Some(own) = changed.installments.get_mut(at) {
            edit(own);
        }
        Action::PutQuote(changed)
    };
    let share = installment.pct.map_or(String::new(), |pct| format!(", {}%", pct.normalize()));
    ui.label(format!("{}{share}", installment.what));
    ui.label(pieces::strong(format::money(f.amount, currency), type_size::BODY));
    let owed = !f.owed().is_zero();
    let day = f.due.map_or("at the end".to_owned(), |due| format::day(due, near));
    match (owed, f.due.is_some_and(|due| due <= near)) {
        (false, _) => {
            let on = installment.paid_on.map_or(String::new(), |on| {
                format!(" {}", format::day_short(crate::engine::Day::from(on), near))
            });
            ui.label(RichText::new(format!("\u{2713} paid{on}")).color(tokens.good));
        }
        (true, true) => {
            ui.label(RichText::new(format!("due since {day}")).color(tokens.late));
        }
        (true, false) => {
            ui.label(format!("due {day}"));
        }
    }
    if owed {
        let name = format!("{} of {} is paid, on the as-of day", installment.what, quote.trade);
        let paid = pieces::row_button(ui, "Paid", &name);
        if paid.clicked() {
            out.act(change(&|own| (own.paid_on, own.paid) = (Some(near.date()), None)));
        }
        if f.paid.is_zero() {
            ui.label("");
        } else {
            pieces::muted(ui, tokens, format!("{} paid", format::money(f.paid, currency)));
        }
    } else if f.wants_waiver {
        let name = format!("Waiver of lien for {} of {}, on the as-of day", installment.what, quote.trade);
        let came = pieces::row_button(ui, "Waiver came", &name);
        if came.clicked() {
            out.act(change(&|own| {
                own.paid_on = own.paid_on.or(Some(near.date()));
                own.waiver_on = Some(near.date());
            }));
        }
        ui.label(RichText::new("no waiver on file").size(type_size::SMALL).color(tokens.soon));
    } else {
        ui.label("");
        pieces::muted(ui, tokens, "waiver on file");
    }
}
