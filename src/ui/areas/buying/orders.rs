//! Orders in the list of Buying: what to place together, and what each comes to.

use super::columns::Columns;
use super::in_row;
use super::rows::Opened;
use crate::engine::early::{self, Early, Window};
use crate::engine::effect;
use crate::engine::orders::Order;
use crate::engine::payments::Account;
use crate::engine::returns;
use crate::model::{Action, OrderId, PaidFor, Part, PartId};
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::{self, tokens::type_size};
use crate::ui::view::{Form, Outbox, Request, View};
use crate::ui::widgets::pieces;
use egui::{RichText, Ui};
use lucide_icons::Icon;

/// How far rows below an order are moved in.
pub(super) const INDENT: f32 = 33.0;

/// Parts to place together, in plain words.
pub fn together(ui: &mut Ui, view: &View<'_>, session: &mut Session, at: usize, n: usize) {
    let Some(suggestion) = view.derived.suggestions(view.project).get(at) else { return };
    let Some(order) = suggestion.orders.get(n) else { return };
    let (tokens, near) = (view.tokens, view.as_of());
    let money = |m| format::money(m, view.currency());
    let parts = format::count(order.parts.len() as i32, "part");
    let when = match order.day {
        Some(day) if day <= near => "today".to_owned(),
        Some(day) => format!("by {}", format::day(day, near)),
        None => "on any day".to_owned(),
    };
    let mut words = format!("Place {parts} together {when}");
    if order.ships_free {
        words += ": ships free";
    } else if let Some(short) = order.below_minimum {
        words += &format!(": still {} below their smallest order", money(short));
    } else if suggestion.apart > suggestion.orders.len() {
        words += ": one freight";
    }
    // What is saved is saved by all of them together.
    let first = suggestion.orders.iter().position(|o| o.sooner) == Some(n);
    if first && suggestion.saves > crate::model::Money::ZERO {
        let orders = format::count(suggestion.orders.len() as i32, "order");
        words += &format!(", saves {} ({orders} in place of {})", money(suggestion.saves), suggestion.apart);
    }
    let early = early::early(view.project, view.figures, order);
    if let Some(early) = early.filter(|early| early.stands > 7) {
        words += &format!("; one of them stands {} before it is used", weeks(early.stands));
    }
    let rest = early.map_or(String::new(), |early| stands(view, &early));
    let wary = early.is_some_and(|early| early.stands > 28 || matches!(early.window, Window::EndsBefore(_)));
    let tone = if wary { tokens.soon } else { tokens.good };
    let ids: Vec<PartId> =
        order.parts.iter().filter_map(|at| view.figures.parts.get(*at)).map(|f| f.id).collect();
    let all = ids.iter().all(|id| session.ticked.contains(id));
    let mut tick = false;
    in_row(
        ui,
        INDENT,
        |ui| {
            let link = pieces::link(ui, tokens, if all { "ticked" } else { "tick them" });
            link.widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::Button, true, format!("Tick {parts} to place together"))
            });
            tick = link.clicked();
        },
        |ui| {
            ui.label(icon(Icon::Lightbulb).color(tone));
            let text = RichText::new(&words).size(type_size::SMALL).color(tone);
            let label = egui::Label::new(text).truncate().show_tooltip_when_elided(false);
            ui.add(label).on_hover_text(format!(
                "{words}. None of them is ordered later than its order-by day, nor before you mean to decide.{rest}"
            ));
        },
    );
    if tick {
        session.ticked = ids.into_iter().collect();
    }
}

/// `9 days`, `11 weeks`.
fn weeks(days: i32) -> String {
    if days < 14 { format::count(days, "day") } else { format::count(days / 7, "week") }
}

/// What ordering early asks for besides: a place to stand, and a look into the boxes before they cannot go back.
fn stands(view: &View<'_>, early: &Early) -> String {
    let name = effect::part_name(view.project, view.figures, early.part).unwrap_or_default();
    let window = match early.window {
        Window::Holds => String::new(),
        Window::Unknown => " Nobody has said until when it can go back: ask before you order.".to_owned(),
        Window::EndsBefore(day) => format!(
            " It can go back only until {}, before it is used: open and check it when it comes.",
            format::day(day, view.as_of())
        ),
    };
    format!(
        " {name} is ordered {} before its last day and stands {} on site: have a dry, safe place for it.{window}",
        weeks(early.ordered),
        weeks(early.stands)
    )
}

pub(super) fn icon(icon: Icon) -> RichText {
    RichText::new(char::from(icon).to_string()).font(theme::icon_font(14.0))
}

/// What people call an order.
fn title(view: &View<'_>, order: &Order) -> String {
    let near = view.as_of();
    let own = order.own.and_then(|id| view.project.order(id));
    match (own, order.placed) {
        (Some(own), _) if !own.number.is_empty() => format!("Order {}", own.number),
        (Some(_), Some(day)) => format!("Order of {}", format::day_short(day, near)),
        (Some(_), None) => "Order, not placed".to_owned(),
        (None, Some(day)) => format!("Ordered {}", format::day_short(day, near)),
        (None, None) => "To order".to_owned(),
    }
}

/// An order with what it comes to.
pub fn order(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    at: usize,
    account: &Account,
    w: &Columns,
    out: &mut Outbox,
) {
    let Some(order) = view.figures.orders.get(at) else { return };
    let (tokens, near) = (view.tokens, view.as_of());
    let title = title(view, order);
    let own = order.own.and_then(|id| view.project.order(id));
    let key = Opened::of(order);
    let open = session.open_orders.contains(&key);
    let ids: Vec<PartId> =
        order.parts.iter().filter_map(|at| view.figures.parts.get(*at)).map(|f| f.id).collect();
    let mut asked: Vec<Asked> = Vec::new();
    let mut turn = false;
    in_row(
        ui,
        4.0,
        |ui| match own {
            Some(own) => {
                let more =
                    ui.menu_button(icon(Icon::Ellipsis), |ui| menu(ui, view, own, session, &mut asked));
                more.response.widget_info(|| labeled(format!("More for {title}")));
                let edit = pieces::icon_button(ui, Icon::Pencil, "Edit the order");
                edit.widget_info(|| labeled(format!("Edit {title}")));
                if edit.clicked() {
                    asked.push(Asked::Form(Form::Order(own.id)));
                }
                if order.placed.is_some() {
                    let pay = ui.button("Payment…");
                    pay.widget_info(|| labeled(format!("Note a payment for {title}")));
                    if pay.clicked() {
                        asked.push(Asked::Form(Form::Payment(PaidFor::Order(own.id), None)));
                    }
                }
            }
            None => {
                let number = pieces::link(ui, tokens, "number, payments…");
                number
                    .widget_info(|| labeled(format!("Make one order of what was {}", title.to_lowercase())));
                if number
                    .on_hover_text("Makes an order of it that has a number, payments and a note")
                    .clicked()
                {
                    asked.push(Asked::Group);
                }
            }
        },
        |ui| {
            let arrow = if open { Icon::ChevronDown } else { Icon::ChevronRight };
            let name = egui::Button::new(icon(arrow)).frame(false);
            let name = ui.add(name);
            name.widget_info(|| {
                labeled(format!("{} payments of {title}", if open { "Hide" } else { "Show" }))
            });
            let strong = ui.add(egui::Button::new(pieces::strong(&title, type_size::BODY)).frame(false));
            turn = name.clicked() || strong.clicked();
            let (words, tone) = standing(view, order, account, w.all);
            // The title is the row's button, and says all of the row.
            strong.widget_info(|| {
                let lines = format::count(ids.len() as i32, "line");
                labeled(format!("{title}, {lines}, {words}"))
            });
            if let (Some(own), Some(day)) = (own, order.placed)
                && !own.number.is_empty()
            {
                pieces::muted(ui, tokens, format!("placed {}", format::day_short(day, near)));
            }
            let text = RichText::new(&words).size(type_size::SMALL).color(tone);
            let label = egui::Label::new(text).truncate().show_tooltip_when_elided(false);
            ui.add(label).on_hover_text(whole_account(view, order, account));
        },
    );
    if turn && !session.open_orders.remove(&key) {
        session.open_orders.insert(key);
    }
    for ask in asked {
        match ask {
            Asked::Form(form) => out.edit(form),
            Asked::Act(action) => out.act(*action),
            Asked::Group => {
                let supplier = order.supplier.and_then(|s| view.project.suppliers.get(s));
                let Some(supplier) = supplier else { continue };
                let new = super::tools::new_order(view.project, supplier.id);
                let placed_on = order.placed.map(|d| d.date());
                let new = crate::model::Order { placed_on, parts: ids.clone(), ..new };
                out.push(Request::NewOrder(Box::new(new)));
            }
        }
    }
}

enum Asked {
    Form(Form),
    Act(Box<Action>),
    Group,
}

pub(super) fn labeled(name: String) -> egui::WidgetInfo {
    egui::WidgetInfo::labeled(egui::Role::Button, true, name)
}

/// What an order comes to in a few words.
fn standing(view: &View<'_>, order: &Order, account: &Account, width: f32) -> (String, egui::Color32) {
    let (tokens, near) = (view.tokens, view.as_of());
    let money = |m| format::money(m, view.currency());
    if order.placed.is_none() {
        return (money(order.total()), tokens.muted);
    }
    if !account.overpaid().is_zero() {
        return (format!("{} paid too much", money(account.overpaid())), tokens.soon);
    }
    if account.owed.is_zero() {
        return (format!("{} paid in full", money(account.paid)), tokens.good);
    }
    let due = account.dues.first().filter(|d| d.day <= near);
    let next = account.dues.first();
    let mut words = format!("{} owed", money(account.owed));
    if width > 700.0 {
        words += &format!(" of {}", money(account.comes_to()));
    }
    match (due, next) {
        (Some(due), _) => {
            words += &format!(", {} due since {}", money(due.amount), format::day_short(due.day, near));
            (words, tokens.late)
        }
        (None, Some(next)) => {
            words += &format!(", next {} on {}", money(next.amount), format::day_short(next.day, near));
            (words, tokens.text)
        }
        (None, None) => (words, tokens.text),
    }
}

/// All that an order comes to, line by line.
fn whole_account(view: &View<'_>, order: &Order, account: &Account) -> String {
    let money = |m| format::money(m, view.currency());
    let mut lines = vec![
        format!("goods {}", money(order.goods)),
        format!(
            "freight {}{}",
            money(order.freight),
            if order.confirmed.is_some() { ", as they confirmed" } else { "" }
        ),
        format!("tax {}", money(order.tax)),
    ];
    if !account.cancelled.is_zero() {
        lines.push(format!("cancelled lines {}", money(account.cancelled)));
    }
    lines.push(format!("billed {}", money(account.billed)));
    if !account.credits.is_zero() {
        lines.push(format!("credits {}", money(account.credits)));
    }
    lines.push(format!("paid {}", money(account.paid)));
    lines.push(format!("owed {}", money(account.owed.at_least(crate::model::Money::ZERO))));
    if !account.overpaid().is_zero() {
        lines.push(format!("paid too much {}", money(account.overpaid())));
    }
    if !account.credits_expected.is_zero() {
        lines.push(format!("credits still expected {}", money(account.credits_expected)));
    }
    lines.extend(account.dues.iter().map(|due| super::entries::due_words(view, due).0));
    lines.join("\n")
}

fn menu(ui: &mut Ui, view: &View<'_>, own: &crate::model::Order, session: &Session, asked: &mut Vec<Asked>) {
    let others = view.project.orders.iter().filter(|o| o.supplier == own.supplier && o.id != own.id);
    for other in others {
        if ui.button(format!("Merge into order {}", other.name())).clicked() {
            asked.push(Asked::Act(Box::new(Action::MergeOrders { into: other.id, from: own.id })));
        }
    }
    let fits = |id: &PartId| {
        let f = view.figures.part(*id);
        let part = f.and_then(|f| returns::document_part(view.project, f));
        !own.parts.contains(id) && part.is_some_and(|p: &Part| p.supplier == Some(own.supplier))
    };
    let add: Vec<PartId> = session.ticked.iter().copied().filter(fits).collect();
    if !add.is_empty() {
        let words = format!("Add {} to it", format::count(add.len() as i32, "ticked part"));
        if ui.button(words).clicked() {
            let parts = own.parts.iter().copied().chain(add).collect();
            asked.push(Asked::Act(Box::new(Action::PutOrder(crate::model::Order { parts, ..own.clone() }))));
        }
    }
    pieces::muted(ui, view.tokens, "Tick some of its lines to split them off");
    if ui.button("Take the order apart").on_hover_text("Its lines stay as they are").clicked() {
        asked.push(Asked::Act(Box::new(Action::RemoveOrder(own.id))));
    }
}

/// An order without lines that count.
pub fn no_lines(ui: &mut Ui, view: &View<'_>, id: OrderId, out: &mut Outbox) {
    let Some(own) = view.project.order(id) else { return };
    let mut asked = [false, false];
    in_row(
        ui,
        4.0,
        |ui| {
            asked[0] = pieces::icon_button(ui, Icon::Trash2, "Remove the order").clicked();
            asked[1] = pieces::icon_button(ui, Icon::Pencil, "Edit the order").clicked();
        },
        |ui| {
            ui.label(pieces::strong(format!("Order {}", own.called(view.project)), type_size::BODY));
            pieces::muted(ui, view.tokens, "no line of it counts");
        },
    );
    if asked[0] {
        out.act(Action::RemoveOrder(id));
    }
    if asked[1] {
        out.edit(Form::Order(id));
    }
}
