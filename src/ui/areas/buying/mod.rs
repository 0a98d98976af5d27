//! Buying: what is to be ordered, on the way and on site, supplier by supplier and order by order.

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
use egui::{Layout, RichText, Sense, Ui, UiBuilder, vec2};
use rows::{BuyingRows, Row, Shown};

/// Height of every row, so that only those in view are drawn.
const ROW: f32 = 30.0;

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
    let widths = Widths::new(ui.available_width());
    titles(ui, view, &widths);
    ui.spacing_mut().item_spacing.y = 0.0;
    egui::ScrollArea::vertical().auto_shrink(false).id_salt("buying").show_rows(
        ui,
        ROW,
        list.rows.len(),
        |ui, range| {
            ui.spacing_mut().item_spacing.y = 0.0;
            for row in &list.rows[range] {
                draw(ui, view, session, &list, row, &widths, out);
            }
        },
    );
}

/// Widths of the columns.
struct Widths {
    tick: f32,
    item: f32,
    quantity: f32,
    total: f32,
    order_by: f32,
    needed: f32,
    expected: f32,
    state: f32,
    all: f32,
}

impl Widths {
    /// Shares the width there is; a column of no width is left out.
    fn new(all: f32) -> Widths {
        let (narrow, tight) = (all < 760.0, all < 540.0);
        let mut widths = Widths {
            tick: 28.0,
            item: 0.0,
            quantity: if narrow { 0.0 } else { 84.0 },
            total: if tight { 76.0 } else { 84.0 },
            order_by: if tight { 88.0 } else { 96.0 },
            needed: if tight { 0.0 } else { 66.0 },
            expected: if narrow { 0.0 } else { 80.0 },
            state: if tight {
                138.0
            } else if narrow {
                166.0
            } else {
                206.0
            },
            all,
        };
        let w = &widths;
        let used = w.tick + w.quantity + w.total + w.order_by + w.needed + w.expected + w.state + 14.0;
        widths.item = (all - used).max(110.0);
        widths
    }
}

fn titles(ui: &mut Ui, view: &View<'_>, w: &Widths) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        for (title, width, right) in [
            ("", w.tick, false),
            ("Part", w.item, false),
            ("Quantity", w.quantity, true),
            ("Total", w.total, true),
            ("Order by", w.order_by, true),
            ("Needed", w.needed, true),
            ("Expected", w.expected, true),
            ("", w.state, false),
        ] {
            in_column(ui, width, right, |ui| {
                pieces::group_title(ui, view.tokens, title);
            });
        }
    });
}

fn in_column(ui: &mut Ui, width: f32, right: bool, content: impl FnOnce(&mut Ui)) {
    if width <= 0.0 {
        return;
    }
    let (rect, _) = ui.allocate_exact_size(vec2(width, ROW), Sense::hover());
    let layout = pieces::cell_layout(right);
    // A child of its own, so that wide contents cannot push the columns behind it.
    let mut cell = ui.new_child(UiBuilder::new().max_rect(rect.shrink2(vec2(5.0, 0.0))).layout(layout));
    cell.style_mut().wrap_mode = Some(egui::TextWrapMode::Truncate);
    cell.spacing_mut().item_spacing.x = 6.0;
    content(&mut cell);
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
    w: &Widths,
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
