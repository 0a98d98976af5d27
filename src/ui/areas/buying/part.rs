//! One part in the list of Buying.

use super::columns::{Columns, ROW, cell};
use crate::engine::{Day, PartFigures, effect, returns};
use crate::model::{Action, Part};
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::tokens::type_size;
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::pieces;
use egui::{Color32, RichText, Role, Sense, Ui, WidgetInfo, vec2};

/// Draws it.
pub(super) fn ui(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    at: usize,
    w: &Columns,
    out: &mut Outbox,
) {
    let Some(f) = view.figures.parts.get(at) else { return };
    let Some(part) = returns::document_part(view.project, f) else { return };
    let Some(selection) = view.project.selections.get(f.selection as usize) else { return };
    let (tokens, near) = (view.tokens, view.as_of());
    let room = view.project.room(selection.room).map_or("", |r| r.name.as_str());
    let option = selection.options.get(f.option as usize).map_or("", |o| o.name.as_str());
    let named = effect::part_name(view.project, view.figures, at).unwrap_or_default();
    let supplier = f.supplier.and_then(|s| view.project.suppliers.get(s as usize));
    let supplier = supplier.map_or("no supplier yet", |s| s.name.as_str());
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW + w.second()), Sense::hover());
    if w.two_lines {
        // Which button belongs to which name.
        let line = egui::Stroke::new(1.0, tokens.line);
        ui.painter().hline(rect.x_range(), rect.bottom() + 1.0, line);
    }
    let places = w.places(rect, f.placed.is_some());
    cell(ui, places.tick, false, |ui| {
        let mut ticked = session.ticked.contains(&part.id);
        let tick = ui.checkbox(&mut ticked, "");
        tick.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, ticked, format!("Tick {named}")));
        if tick.changed() {
            if ticked {
                session.ticked.insert(part.id);
            } else {
                session.ticked.remove(&part.id);
            }
        }
    });
    let facts = Facts { view, part, f, at };
    cell(ui, places.item, false, |ui| {
        let mut text = format::part_of(&selection.name, &part.name);
        if session.buying_by_day {
            text += &format!(", {supplier}");
        }
        let name = ui.add(egui::Button::new(text).frame(false).truncate());
        // The name is the row's button, and says all of the row.
        name.widget_info(|| {
            let words = [named.as_str(), &facts.spoken(), supplier, room].join(", ");
            WidgetInfo::labeled(Role::Button, true, words)
        });
        let more = format!("{}\n{option}\n{room}\n{supplier}\n{}", part.name, part.key);
        if name.on_hover_text(more).clicked() {
            session.pick(selection.id);
        }
    });
    cell(ui, places.quantity, true, |ui| {
        pieces::cell(ui, format::quantity(f.quantity_to_buy, &part.unit), tokens.text);
    });
    cell(ui, places.total, true, |ui| {
        pieces::cell(ui, facts.total(), tokens.text);
    });
    // Days stand on the right as numbers do, but where they stand below the name.
    let size = if w.two_lines { type_size::SMALL } else { type_size::BODY };
    let mut day = |rect, text: String, color: Color32| {
        cell(ui, rect, !w.two_lines, |ui| {
            pieces::cell_text(ui, RichText::new(text).size(size).color(color));
        });
    };
    let (order, tone) = facts.order();
    day(places.order_by, order, tone);
    day(places.needed, f.need_date.map_or(String::new(), |d| format::day_short(d, near)), tokens.text);
    let late = f.late && !f.on_site;
    let mut arrives = format::expected(f, near);
    if f.on_site {
        arrives = format!("\u{2713} {arrives}");
    } else if let Some((word, _)) = facts.standing().filter(|_| w.two_lines) {
        arrives += &format!(", {word}");
    }
    day(places.arrives, arrives, if late { tokens.late } else { tokens.muted });
    cell(ui, places.state, false, |ui| facts.actions(ui, &named, w, out));
}

/// What is said of a part.
struct Facts<'a> {
    view: &'a View<'a>,
    part: &'a Part,
    f: &'a PartFigures,
    at: usize,
}

impl Facts<'_> {
    fn total(&self) -> String {
        match self.f.priced {
            true => format::money(self.view.figures.comes_to(self.at), self.view.currency()),
            false => "no price".to_owned(),
        }
    }

    /// The day it was or must be ordered, as it stands in its column.
    fn order(&self) -> (String, Color32) {
        let (f, tokens, near) = (self.f, self.view.tokens, self.view.as_of());
        match (f.placed, f.order_by) {
            (Some(on), _) if self.part.ordered_on.map(Day::from) == Some(on) => {
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
        }
    }

    /// Quantity, money and days of the row in one sentence.
    fn spoken(&self) -> String {
        let (f, near) = (self.f, self.view.as_of());
        let day = |day: Day| format::day_short(day, near);
        let mut words = vec![format::quantity(f.quantity_to_buy, &self.part.unit), self.total()];
        words.extend(match (f.placed, f.order_by) {
            (Some(on), _) => Some(format!("ordered {}", day(on))),
            (None, Some(by)) => Some(match f.waits_from() {
                Some(from) => format!("cannot be ordered before {}", day(from)),
                None => format!(
                    "order by {}, {}",
                    day(by),
                    format::days_in_hand(f.days_in_hand.unwrap_or_default())
                ),
            }),
            (None, None) => f.ask_by.map(|by| format!("ask by {}", day(by))),
        });
        words.extend(f.need_date.map(|need| format!("needed {}", day(need))));
        let came = if f.on_site { "came" } else { "arrives" };
        words.push(format!("{came} {}", format::expected(f, near)));
        words.extend(self.standing().map(|(word, _)| word));
        words.join(", ")
    }

    fn actions(&self, ui: &mut Ui, name: &str, w: &Columns, out: &mut Outbox) {
        let (part, f) = (self.part, self.f);
        let today = Some(self.view.as_of().date());
        let named = |response: egui::Response, what: &str| {
            response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("{what} {name}")));
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
            if let Some((word, tone)) = self.standing() {
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
        // On two lines it stands beside the day.
        if !f.on_site && !w.two_lines {
            word(ui);
        }
    }

    /// How far it is, where that is worth a word.
    fn standing(&self) -> Option<(String, Color32)> {
        let (f, tokens) = (self.f, self.view.tokens);
        Some(match self.view.figures.deliveries.of(self.at) {
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
}
