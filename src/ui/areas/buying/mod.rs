//! Buying: what is to be ordered, on the way and on site, supplier by supplier and order by order.

mod columns;
pub mod days;
mod entries;
mod orders;
mod part;
pub mod returns;
pub mod rows;
mod tools;

use crate::engine::Day;
use crate::engine::order_days::When;
use crate::model::{Action, Money, Subject};
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{ListScope, Outbox, Request, View};
use crate::ui::widgets::pieces;
use columns::{Columns, ROW};
use egui::{Layout, RichText, Sense, Ui, UiBuilder, vec2};
use rows::{BuyingRows, Row, Shown};

/// Draws the work area.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let by_day = session.buying_by_day;
    let shown = Shown { room: session.room, by_day, open: session.open_orders.clone() };
    let list = view.derived.buying(view.project, &shown);
    session.ticked.retain(|id| view.figures.part(*id).is_some());
    returns::ui(ui, view, session, out);
    tools::ui(ui, view, session, out);
    tools::ticked(ui, view, session, out);
    ui.add_space(space::S);
    if list.rows.is_empty() {
        ui.add_space(40.0);
        ui.vertical_centered(|ui| {
            ui.label(pieces::strong("Nothing to buy here", type_size::HEADING));
            ui.label(if by_day {
                "Parts of what is chosen or leaned to stand here until they have come."
            } else {
                "Parts of what is chosen or leaned to stand here, under their supplier, as soon as there are any."
            });
        });
        return;
    }
    let columns = Columns::new(ui.available_width());
    columns::titles(ui, view, &columns);
    scrolled(ui, &list, &columns, |ui, row| draw(ui, view, session, &list, row, &columns, out));
}

/// The rows that are in view: those of parts are higher than others where they have a second line.
fn scrolled(ui: &mut Ui, list: &BuyingRows, columns: &Columns, mut draw: impl FnMut(&mut Ui, &Row)) {
    let top = |row: usize| row as f32 * ROW + list.parts_before(row) as f32 * columns.second();
    let area = egui::ScrollArea::vertical().auto_shrink(false).id_salt("buying");
    area.show_viewport(ui, |ui, seen| {
        let n = list.rows.len();
        ui.set_height(top(n));
        let first = list.last_where(|row| top(row) <= seen.top());
        let after = (list.last_where(|row| top(row) < seen.bottom()) + 1).min(n);
        let begin = ui.max_rect().top();
        let rect =
            egui::Rect::from_x_y_ranges(ui.max_rect().x_range(), begin + top(first)..=begin + top(after));
        ui.scope_builder(UiBuilder::new().max_rect(rect), |ui| {
            ui.skip_ahead_auto_ids(first);
            ui.spacing_mut().item_spacing.y = 0.0;
            list.rows.get(first..after).unwrap_or_default().iter().for_each(|row| draw(ui, row));
        });
    });
}

/// A row over the whole width, begun at a distance from the left: what stands on its right is placed first, the rest
/// is cut off where it ends.
fn in_row(ui: &mut Ui, indent: f32, right: impl FnOnce(&mut Ui), left: impl FnOnce(&mut Ui)) -> egui::Rect {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
    let inner = egui::Rect::from_min_max(rect.min + vec2(indent, 0.0), rect.max - vec2(6.0, 0.0));
    let mut end = ui.new_child(
        UiBuilder::new().id_salt("end").max_rect(inner).layout(Layout::right_to_left(egui::Align::Center)),
    );
    right(&mut end);
    let begin = egui::Rect::from_min_max(
        inner.min,
        egui::pos2((end.min_rect().left() - 8.0).max(inner.left()), inner.bottom()),
    );
    let mut begin = ui.new_child(
        UiBuilder::new().id_salt("begin").max_rect(begin).layout(Layout::left_to_right(egui::Align::Center)),
    );
    begin.style_mut().wrap_mode = Some(egui::TextWrapMode::Truncate);
    left(&mut begin);
    rect
}

fn draw(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    list: &BuyingRows,
    row: &Row,
    w: &Columns,
    out: &mut Outbox,
) {
    match row {
        Row::Gap => {
            ui.allocate_space(vec2(10.0, ROW));
        }
        Row::Supplier { position, parts, total, unpriced, to_free } => {
            let total = sum_words(view, *parts, *total, *unpriced);
            ui.push_id(("supplier", position), |ui| {
                supplier_row(ui, view, *position, total, *to_free, out);
            });
        }
        Row::Part(at) => {
            ui.push_id(("part", at), |ui| part::ui(ui, view, session, *at, w, out));
        }
        Row::When { when, parts, total, unpriced } => {
            when_row(ui, view, *when, sum_words(view, *parts, *total, *unpriced));
        }
        Row::Together(at, n) => {
            ui.push_id(("together", at, n), |ui| orders::together(ui, view, session, *at, *n));
        }
        Row::Order(at, account) => {
            let Some(account) = list.accounts.get(*account) else { return };
            ui.push_id(("order", at), |ui| orders::order(ui, view, session, *at, account, w, out));
        }
        Row::NoLines(id) => {
            ui.push_id(("no lines", id), |ui| orders::no_lines(ui, view, *id, out));
        }
        Row::Delivery(at) => {
            ui.push_id(("delivery", at), |ui| entries::delivery(ui, view, *at, out));
        }
        Row::Payment(at) => {
            ui.push_id(("payment", at), |ui| entries::payment(ui, view, *at, out));
        }
        Row::Due(account, n) => {
            let due = list.accounts.get(*account).and_then(|a| a.dues.get(*n));
            due.into_iter().for_each(|due| entries::due(ui, view, due));
        }
    }
}

/// `3 parts, 17,433.49`; the least it can be, where some have no price.
fn sum_words(view: &View<'_>, parts: i32, total: Money, unpriced: u32) -> String {
    let least = if unpriced > 0 { "at least " } else { "" };
    format!("{}, {least}{}", format::count(parts, "part"), format::money(total, view.currency()))
}

fn when_row(ui: &mut Ui, view: &View<'_>, when: When, sum: String) {
    let until = |day: Day| format::day_short(day, view.as_of());
    let (title, tone) = match when {
        When::Past => ("The last day to order is over".to_owned(), view.tokens.late),
        When::ThisWeek(sunday) => (format!("Order this week, until Sun {}", until(sunday)), view.tokens.soon),
        When::NextWeek(sunday) => (format!("Next week, until Sun {}", until(sunday)), view.tokens.text),
        When::Later => ("Later".to_owned(), view.tokens.text),
        When::NoDay => ("No phase needs it yet".to_owned(), view.tokens.text),
        When::OnTheWay => ("On the way".to_owned(), view.tokens.text),
    };
    let rect = in_row(
        ui,
        0.0,
        |_| {},
        |ui| {
            ui.label(pieces::strong(title, 15.0).color(tone));
            pieces::muted(ui, view.tokens, sum);
        },
    );
    ui.painter().hline(rect.x_range(), rect.bottom() - 2.0, egui::Stroke::new(1.5, view.tokens.line));
}

fn supplier_row(
    ui: &mut Ui,
    view: &View<'_>,
    position: Option<usize>,
    sum: String,
    to_free: Option<Money>,
    out: &mut Outbox,
) {
    let supplier = position.and_then(|p| view.project.suppliers.get(p));
    let name = supplier.map_or("No supplier yet", |s| s.name.as_str());
    let mut export = false;
    let act = |out: &mut Outbox, form: bool| match supplier {
        Some(supplier) if form => out.push(Request::Pick(Subject::Supplier(supplier.id))),
        Some(supplier) => out.act(Action::RemoveSupplier(supplier.id)),
        None => {}
    };
    let rect = in_row(
        ui,
        0.0,
        |ui| {
            let link = pieces::link(ui, view.tokens, "export list…");
            link.widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::Button, true, format!("Export the list of {name}"))
            });
            export = link.clicked();
        },
        |ui| {
            if supplier.is_some() {
                let title = egui::Button::new(pieces::strong(name, 15.0)).frame(false);
                let title = ui.add(title).on_hover_text("Its terms and orders; right click for more");
                title.widget_info(|| orders::labeled(format!("{name}, {sum}")));
                if title.clicked() {
                    act(out, true);
                }
                title.context_menu(|ui| {
                    if ui.button("Remove supplier").clicked() {
                        act(out, false);
                    }
                });
            } else {
                ui.label(pieces::strong(name, 15.0));
            }
            pieces::muted(ui, view.tokens, sum);
            if let Some(more) = to_free {
                let text = format!("{} more ships free", format::money(more, view.currency()));
                ui.label(RichText::new(text).size(type_size::SMALL).color(view.tokens.good));
            }
        },
    );
    if export {
        out.push(Request::ExportLists(ListScope::One(position)));
    }
    ui.painter().hline(rect.x_range(), rect.bottom() - 2.0, egui::Stroke::new(1.5, view.tokens.line));
}
