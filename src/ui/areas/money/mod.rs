//! Money: the columns by room, supplier, category or phase, the contingency, and what falls due when.

mod bids;
mod cash;
mod draws;
mod gauge;
mod installments;
pub mod lines;
pub mod quotes;
mod table;

use crate::model::Money;
use crate::ui::format;
use crate::ui::session::{MoneyBy, Session};
use crate::ui::shell::command::Command;
use crate::ui::shell::head::money_moved;
use crate::ui::theme::tokens::space;
use crate::ui::view::{Outbox, View};
use crate::ui::widgets::pieces;
use egui::Ui;

/// Draws the work area.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        summary(ui, view, out);
        ui.add_space(space::M);
        ui.horizontal(|ui| {
            for (by, name) in MoneyBy::ALL {
                if ui.selectable_label(session.money_by == by, name).clicked() {
                    session.money_by = by;
                }
            }
        });
        ui.add_space(space::S);
        table::ui(ui, view, session, out);
        ui.add_space(space::L);
        cash::ui(ui, view);
        ui.add_space(space::S);
        draws::ui(ui, view, out);
        ui.add_space(space::L);
        quotes::ui(ui, view, session, out);
        ui.add_space(space::L);
    });
}

fn summary(ui: &mut Ui, view: &View<'_>, out: &mut Outbox) {
    let money = &view.figures.money;
    let currency = view.currency();
    let total = &money.total;
    let narrow = is_narrow(ui);
    let per_row: usize = if ui.available_width() < 540.0 { 3 } else { 6 };
    ui.columns(per_row, |columns| {
        let mut next = 0;
        // `open`: of how many things in it nobody has said the price.
        let mut fact = |label: &str, amount: Money, open: u32, rule: &str| {
            let Some(ui) = columns.get_mut(next % per_row) else { return };
            next += 1;
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                let least = open > 0 && !amount.is_zero();
                pieces::muted(
                    ui,
                    view.tokens,
                    if least { format!("{label}, at least") } else { label.to_owned() },
                );
                let (text, size) = if narrow {
                    (format::money_short(amount), 15.0)
                } else {
                    (format::money(amount, currency), 16.0)
                };
                ui.add(egui::Label::new(pieces::strong(text, size)).truncate());
            })
            .response
            .on_hover_text(format!("{rule}: {}", format::money(amount, currency)));
        };
        fact(
            "Allowance",
            total.allowance,
            0,
            "What was set aside for all selections, accepted bids and permits",
        );
        fact(
            "Chosen",
            total.chosen,
            total.unpriced,
            "Goods, freight and tax of what is chosen, accepted bids, permits and extras",
        );
        fact("Ordered", total.ordered, total.unpriced, "The part of it that is ordered or agreed");
        fact("Paid", total.paid, 0, "What has been paid");
        fact("To pay", total.to_pay(), 0, "Ordered less paid");
        fact("Forecast", total.forecast, total.left_out, format::FORECAST.trim_end_matches('.'));
    });
    said(ui, view);
    if let Some((plan, story)) = view.derived.agreed(view.project) {
        let words = format!("{} than {}: by cause and by room", money_moved(view, story.money), plan.name);
        let words =
            if story.money.is_zero() { format!("As {}: by cause and by room", plan.name) } else { words };
        if pieces::link(ui, view.tokens, &words).clicked() {
            out.command(Command::ShowStory);
        }
    }
    ui.add_space(space::M);
    gauge::ui(ui, view);
}

/// What of the forecast is assumed, and what it is without.
fn said(ui: &mut Ui, view: &View<'_>) {
    let (total, trades) = (&view.figures.money.total, &view.figures.trades);
    let mut words = Vec::new();
    if !total.assumed.is_zero() {
        let assumed = format::money(total.assumed, view.currency());
        words.push(format!("Of the forecast, {assumed} is assumed: it rests on no price."));
    }
    if trades.unpriced_days > 0 {
        let (days, phases) =
            (format::count(trades.unpriced_days, "day"), format::count(trades.unpriced.len(), "phase"));
        words.push(format!("It is without {days} of work in {phases} that have no price."));
    }
    let things = (total.left_out as usize).saturating_sub(trades.unpriced.len());
    if things > 0 {
        words.push(format!("It is without {} of unknown price.", format::count(things, "thing")));
    }
    let open = view.figures.open_changes;
    if open.count > 0 {
        let unknown = if open.unknown > 0 { "at least " } else { "" };
        words.push(format!(
            "{} not agreed on would add {unknown}{} and {}.",
            format::count(open.count as i32, "change"),
            format::money(open.amount, view.currency()),
            format::count(open.days, "working day")
        ));
    }
    if !words.is_empty() {
        ui.add(egui::Label::new(egui::RichText::new(words.join(" ")).color(view.tokens.muted)).wrap());
    }
}

/// Whether there is no room for cents in every column; they are then shown on hover.
fn is_narrow(ui: &Ui) -> bool {
    ui.available_width() < 800.0
}
