//! What can be done with the parts that are ticked.

use crate::engine::returns::ReturnFigures;
use crate::model::ids::key_from_name;
use crate::model::{Action, Order, OrderId, PartId, Project, SupplierId};
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::tokens::type_size;
use crate::ui::view::{Form, ListScope, Outbox, Request, View};
use crate::ui::widgets::pieces;
use chrono::NaiveDate;
use egui::{Layout, Ui};

/// Draws the line over the list.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let n = session.ticked.len() as i32;
    ui.horizontal(|ui| {
        let narrow = ui.available_width() < 480.0;
        let by_day = &mut session.buying_by_day;
        ui.selectable_value(by_day, false, "By supplier");
        ui.selectable_value(by_day, true, "By last day")
            .on_hover_text("What to order this week, next week and later; then what is on the way");
        // Where there is no room for both, the buttons stay.
        if ui.available_width() > 580.0 && n == 0 {
            pieces::muted(ui, view.tokens, "Tick parts to mark or order several at once");
        }
        ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
            let export =
                if narrow || ui.available_width() < 330.0 { "Export…" } else { "Export purchase lists…" };
            let export = ui.button(export);
            export.widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::Button, true, "Export purchase lists…")
            });
            if export.clicked() {
                out.push(Request::ExportLists(ListScope::All));
            }
            let add = if narrow {
                pieces::icon_button(ui, lucide_icons::Icon::Plus, "Add a supplier…")
            } else {
                ui.button("Add a supplier…")
            };
            if add.clicked() {
                out.edit(Form::Supplier(None));
            }
        });
    });
}

/// The line below the list while parts are ticked: above it, it would push the rows away from the pointer.
pub fn ticked(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let n = session.ticked.len() as i32;
    if n == 0 {
        return;
    }
    let frame = egui::Frame::NONE.fill(view.tokens.picked).inner_margin(egui::Margin::symmetric(8, 4));
    egui::Panel::bottom("ticked").frame(frame).show(ui, |ui| {
        ui.horizontal_wrapped(|ui| {
            ui.label(pieces::strong(format!("{} ticked", format::count(n, "part")), type_size::BODY));
            if buttons(ui, view, session, out) {
                session.ticked.clear();
            }
            if pieces::link(ui, view.tokens, "untick").clicked() {
                session.ticked.clear();
            }
        });
    });
}

/// Buttons for the parts that are ticked. Whether one was pressed.
fn buttons(ui: &mut Ui, view: &View<'_>, session: &Session, out: &mut Outbox) -> bool {
    let today = Some(view.as_of().date());
    let all: Vec<PartId> = session.ticked.iter().copied().collect();
    let with = |test: fn(&crate::engine::PartFigures) -> bool| -> Vec<PartId> {
        all.iter().copied().filter(|id| view.figures.part(*id).is_some_and(test)).collect()
    };
    let open = with(|f| f.placed.is_none());
    let mut on_way = with(|f| f.placed.is_some() && !f.on_site);
    let cancelled = |id: &PartId| {
        let at = view.figures.index.of(id.0);
        at.and_then(|at| view.figures.returns.of(at)).is_some_and(ReturnFigures::is_cancelled)
    };
    on_way.retain(|id| !cancelled(id));
    let mut done = false;
    if !open.is_empty() && ui.button(format!("Mark {} ordered", open.len())).clicked() {
        out.act(Action::MarkOrdered(open.clone(), today));
        done = true;
    }
    if !on_way.is_empty() && ui.button(format!("Mark {} received", on_way.len())).clicked() {
        out.act(Action::MarkReceived(on_way, today));
        done = true;
    }
    let Some(supplier) = one_supplier(view, &all) else { return done };
    if let Some(split) = split(view.project, &all) {
        if ui.button(format!("Split {} off", all.len())).on_hover_text(SPLIT).clicked() {
            out.act(split);
            done = true;
        }
    } else if let Some((order, known)) = group(view, supplier, &all, open.len() == all.len()) {
        let words = if open.len() == all.len() {
            format!("Place {} as one order…", all.len())
        } else {
            format!("Group {} as one order…", all.len())
        };
        if !known && ui.button(words).clicked() {
            out.push(Request::NewOrder(Box::new(order)));
            done = true;
        }
    }
    done
}

const SPLIT: &str = "Moves the ticked lines into an order of their own, with freight and tax of its own";

/// The supplier of all parts, where it is one.
fn one_supplier(view: &View<'_>, parts: &[PartId]) -> Option<SupplierId> {
    let supplier = |id: &PartId| view.figures.part(*id)?.supplier;
    let first = supplier(parts.first()?)?;
    let one = parts.iter().all(|id| supplier(id) == Some(first));
    view.project.suppliers.get(first as usize).filter(|_| one).map(|s| s.id)
}

/// A new order with these lines, and whether they are an order already. Ordered lines must have the same day.
fn group(view: &View<'_>, supplier: SupplierId, parts: &[PartId], to_place: bool) -> Option<(Order, bool)> {
    let mut days: Vec<Option<NaiveDate>> = parts
        .iter()
        .filter_map(|id| view.figures.part(*id))
        .filter_map(|f| crate::engine::returns::document_part(view.project, f))
        .map(|p| p.ordered_on)
        .collect();
    days.sort_unstable();
    days.dedup();
    let day = match days.as_slice() {
        [None] if to_place => Some(view.as_of().date()),
        [one] => *one,
        _ => return None,
    };
    let mut ids = parts.to_vec();
    ids.sort_unstable();
    let same = |o: &Order| {
        let mut own = o.parts.clone();
        own.sort_unstable();
        own == ids
    };
    let known = !to_place && view.project.orders.iter().any(same);
    Some((Order { placed_on: day, parts: parts.to_vec(), ..new_order(view.project, supplier) }, known))
}

/// An order without lines, with the next number and a key that is free.
pub fn new_order(project: &Project, supplier: SupplierId) -> Order {
    let name = project.supplier(supplier).map_or("order".to_owned(), |s| format!("{} order", s.key));
    let key = key_from_name(&name, project.orders.iter().map(|o| o.key.as_str()));
    Order::new(OrderId(project.next_id), &key, supplier)
}

/// Splitting lines off the order they are all in, where it keeps some.
fn split(project: &Project, parts: &[PartId]) -> Option<Action> {
    let from = project.order_of(*parts.first()?)?;
    let all_in = parts.iter().all(|id| from.parts.contains(id));
    if !all_in || parts.len() >= from.parts.len() {
        return None;
    }
    let new = Order { placed_on: from.placed_on, parts: parts.to_vec(), ..new_order(project, from.supplier) };
    Some(Action::SplitOrder(from.id, new))
}
