//! One part in the list of Buying.

use super::{Widths, in_column};
use crate::engine::{Day, PartFigures, returns};
use crate::model::{Action, Part};
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::pieces;
use egui::{Color32, RichText, Ui};

/// Draws it.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, at: usize, w: &Widths, out: &mut Outbox) {
    let Some(f) = view.figures.parts.get(at) else { return };
    let Some(part) = returns::document_part(view.project, f) else { return };
    let Some(selection) = view.project.selections.get(f.selection as usize) else { return };
    let (tokens, near) = (view.tokens, view.as_of());
    let room = view.project.room(selection.room).map_or("", |r| r.name.as_str());
    let option = selection.options.get(f.option as usize).map_or("", |o| o.name.as_str());
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        in_column(ui, w.tick, false, |ui| {
            let mut ticked = session.ticked.contains(&part.id);
            let tick = ui.checkbox(&mut ticked, "");
            tick.widget_info(|| {
                egui::WidgetInfo::selected(
                    egui::Role::CheckBox,
                    true,
                    ticked,
                    format!("Tick {} of {}", part.name, selection.name),
                )
            });
            if tick.changed() {
                if ticked {
                    session.ticked.insert(part.id);
                } else {
                    session.ticked.remove(&part.id);
                }
            }
        });
        in_column(ui, w.item, false, |ui| {
            let supplier = f.supplier.and_then(|s| view.project.suppliers.get(s as usize));
            let supplier = supplier.map_or("no supplier yet", |s| s.name.as_str());
            let text = if session.buying_by_day {
                format!("{}: {}, {supplier}", selection.name, part.name)
            } else {
                format!("{}: {}", selection.name, part.name)
            };
            let name = ui.add(egui::Button::new(text).frame(false).truncate());
            let more = format!("{}\n{option}\n{room}\n{supplier}\n{}", part.name, part.key);
            if name.on_hover_text(more).clicked() {
                session.pick(selection.id);
            }
        });
        let column = |ui: &mut Ui, width: f32, text: String, color: Color32| {
            in_column(ui, width, true, |ui| {
                pieces::cell(ui, text, color);
            });
        };
        column(ui, w.quantity, format::quantity(f.quantity_to_buy, &part.unit), tokens.text);
        column(
            ui,
            w.total,
            if f.priced {
                format::money(view.figures.comes_to(at), view.currency())
            } else {
                "no price".to_owned()
            },
            tokens.text,
        );
        let (order, tone) = match (f.placed, f.order_by) {
            (Some(on), _) if part.ordered_on.map(Day::from) == Some(on) => {
                (format!("\u{2713} {}", format::day_short(on, near)), tokens.accent)
            }
            (Some(_), _) => ("\u{2713}".to_owned(), tokens.accent),
            (None, Some(by)) => {
                let days = f.days_in_hand.unwrap_or_default();
                let tone = pieces::in_hand_color(days, tokens, tokens.text);
                (pieces::order_by_text(by, days, f.waits_from(), near), tone)
            }
            (None, None) => {
                let ask = f.ask_by.map(|by| format!("ask by {}", format::day_short(by, near)));
                (ask.unwrap_or_default(), tokens.muted)
            }
        };
        column(ui, w.order_by, order, tone);
        column(ui, w.needed, f.need_date.map_or(String::new(), |d| format::day_short(d, near)), tokens.text);
        let late = f.late && !f.on_site;
        let day = format::expected(f, near);
        let expected = if f.on_site { format!("\u{2713} {day}") } else { day };
        column(ui, w.expected, expected, if late { tokens.late } else { tokens.muted });
        in_column(ui, w.state, false, |ui| actions(ui, view, part, f, at, out));
    });
}

fn actions(ui: &mut Ui, view: &View<'_>, part: &Part, f: &PartFigures, at: usize, out: &mut Outbox) {
    let today = Some(view.as_of().date());
    let named = |response: egui::Response, what: &str| {
        response.widget_info(|| {
            egui::WidgetInfo::labeled(egui::Role::Button, true, format!("{what} {}", part.key))
        });
        response.clicked()
    };
    if f.placed.is_none() {
        if named(ui.button("Mark ordered"), "Mark ordered") {
            out.act(Action::MarkOrdered(vec![part.id], today));
        }
    } else if !f.on_site && named(ui.button("Mark received"), "Mark received") {
        out.act(Action::MarkReceived(vec![part.id], today));
    }
    let word = |ui: &mut Ui| {
        if let Some((word, tone)) = standing(view, f, at) {
            ui.add(egui::Label::new(RichText::new(word).color(tone)).truncate());
        }
    };
    // Where there is a button before it, the word may be cut off and stands last.
    if f.on_site {
        word(ui);
    }
    if f.placed.is_some() && !f.built_in {
        let (icon, words) = if f.on_site {
            (lucide_icons::Icon::PackageX, "Note damage of")
        } else {
            (lucide_icons::Icon::PackageOpen, "Note a delivery of")
        };
        if named(pieces::icon_button(ui, icon, words), words) {
            out.edit(Form::Delivery(part.id, None));
        }
    }
    if !f.on_site {
        word(ui);
    }
}

/// How far it is, where that is worth a word.
fn standing(view: &View<'_>, f: &PartFigures, at: usize) -> Option<(String, Color32)> {
    let tokens = view.tokens;
    Some(match view.figures.deliveries.of(at) {
        _ if f.built_in => ("built in".to_owned(), tokens.good),
        _ if f.on_site => ("on site".to_owned(), tokens.good),
        Some(d) => {
            let missing = format!("{} missing", d.missing().normalize());
            (missing, if f.late || f.overdue { tokens.late } else { tokens.soon })
        }
        None if f.overdue => ("overdue".to_owned(), tokens.late),
        None if f.late => ("late".to_owned(), tokens.late),
        None => return None,
    })
}
