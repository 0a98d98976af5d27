//! Quotes side by side per scope, and fees and extras: the lower part of Money.

use crate::model::{Action, ExtraKind, Money, Quote};
use crate::ui::format;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::pieces;
use egui::{RichText, Ui};

/// Draws both lists.
pub fn ui(ui: &mut Ui, view: &View<'_>, out: &mut Outbox) {
    ui.label(pieces::strong("Quotes", 15.0));
    if view.project.quotes.is_empty() {
        pieces::muted(ui, view.tokens, "Prices of trades for the same scope stand here side by side.");
    }
    let mut scopes: Vec<(&str, Vec<&Quote>)> = Vec::new();
    for quote in view.project.quotes.iter() {
        match scopes.iter_mut().find(|(scope, _)| *scope == quote.scope) {
            Some((_, list)) => list.push(quote),
            None => scopes.push((&quote.scope, vec![quote])),
        }
    }
    for (scope, mut list) in scopes {
        list.sort_by_key(|q| q.amount);
        ui.add_space(space::S);
        let open = !list.iter().any(|q| q.accepted);
        ui.horizontal(|ui| {
            ui.label(pieces::strong(scope, type_size::BODY));
            if open {
                ui.label(RichText::new("none accepted").size(type_size::SMALL).color(view.tokens.soon));
            }
        });
        let least = list.first().map_or(Money::ZERO, |q| q.amount);
        ui.horizontal_wrapped(|ui| {
            for quote in list {
                quote_card(ui, view, quote, least, out);
            }
        });
    }
    if pieces::link(ui, view.tokens, "+ add a quote").clicked() {
        out.edit(Form::Quote(None));
    }
    ui.add_space(space::L);
    extras(ui, view, out);
}

fn quote_card(ui: &mut Ui, view: &View<'_>, quote: &Quote, least: Money, out: &mut Outbox) {
    let (tokens, currency) = (view.tokens, view.currency());
    let stroke = if quote.accepted {
        egui::Stroke::new(2.0, tokens.accent)
    } else {
        egui::Stroke::new(1.0, tokens.line)
    };
    egui::Frame::new().fill(tokens.card).stroke(stroke).corner_radius(6).inner_margin(8).show(ui, |ui| {
        ui.vertical(|ui| {
            ui.set_width(176.0);
            ui.spacing_mut().item_spacing.y = 1.0;
            let trade = ui.add(egui::Button::new(&quote.trade).frame(false).truncate());
            let trade = trade.on_hover_text("Edit quote; right click for more");
            if trade.clicked() {
                out.edit(Form::Quote(Some(quote.id)));
            }
            trade.context_menu(|ui| {
                if ui.button("Remove quote").clicked() {
                    out.act(Action::RemoveQuote(quote.id));
                }
            });
            ui.label(pieces::strong(format::money(quote.amount, currency), 15.0));
            let above = quote.above(least);
            let note = if above.is_zero() {
                "the lowest".to_owned()
            } else {
                format!("{} above the lowest", format::money(above, currency))
            };
            pieces::muted(ui, tokens, note);
            if let Some(over) = quote.over_under() {
                pieces::muted(ui, tokens, format::over_under(over, currency));
            }
            if !quote.left_out.is_empty() {
                let left: Vec<&str> = quote.left_out.iter().map(|l| l.what.as_str()).collect();
                let words = format!("Without {}", left.join(", "));
                let label = egui::Label::new(RichText::new(words).size(type_size::SMALL).color(tokens.soon));
                ui.add(label.wrap());
            }
            if quote.accepted {
                ui.label(RichText::new("\u{2713} accepted").color(tokens.accent));
            } else {
                let accept = pieces::link(ui, tokens, "accept");
                accept.widget_info(|| {
                    egui::WidgetInfo::labeled(
                        egui::Role::Button,
                        true,
                        format!("Accept {} for {}", quote.trade, quote.scope),
                    )
                });
                if accept.clicked() {
                    out.act(Action::AcceptQuote(quote.id));
                }
            }
        });
    });
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
