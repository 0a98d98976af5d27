//! Buying: what is to be ordered, on the way and on site, supplier by supplier and by order-by day.

use crate::engine::Day;
use crate::model::{Action, Money, Part, PartId, Selection};
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{Form, ListScope, Outbox, Request, View};
use crate::ui::widgets::pieces;
use egui::{Color32, Layout, RichText, Sense, Ui, UiBuilder, vec2};

/// Height of every row, so that only those in view are drawn.
const ROW: f32 = 30.0;

/// What the list is made of.
enum Row<'a> {
    Supplier { position: Option<usize>, parts: i32, total: Money, to_free: Option<Money> },
    Part { at: usize, selection: &'a Selection, option: &'a str, part: &'a Part },
    Gap,
}

/// Draws the work area.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let rows = rows(view, session);
    session.ticked.retain(|id| view.project.part(*id).is_some());
    super::returns::ui(ui, view, session, out);
    tools(ui, view, session, out);
    ui.add_space(space::S);
    if rows.is_empty() {
        ui.add_space(40.0);
        ui.vertical_centered(|ui| {
            ui.label(pieces::strong("Nothing to buy here", type_size::HEADING));
            ui.label("Parts of what is chosen or leaned to stand here, under their supplier, as soon as there are any.");
        });
        return;
    }
    let widths = Widths::new(ui.available_width());
    titles(ui, view, &widths);
    ui.spacing_mut().item_spacing.y = 0.0;
    egui::ScrollArea::vertical().auto_shrink(false).id_salt("buying").show_rows(
        ui,
        ROW,
        rows.len(),
        |ui, range| {
            ui.spacing_mut().item_spacing.y = 0.0;
            for row in &rows[range] {
                draw(ui, view, session, row, &widths, out);
            }
        },
    );
}

struct Widths {
    tick: f32,
    item: f32,
    quantity: f32,
    total: f32,
    order_by: f32,
    needed: f32,
    expected: f32,
    state: f32,
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
            state: if tight { 116.0 } else { 176.0 },
        };
        let w = &widths;
        let used = w.tick + w.quantity + w.total + w.order_by + w.needed + w.expected + w.state + 14.0;
        widths.item = (all - used).max(110.0);
        widths
    }
}

fn tools(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    ui.horizontal(|ui| {
        let today = Some(view.as_of().date());
        let ticked: Vec<PartId> = session.ticked.iter().copied().collect();
        let n = ticked.len() as i32;
        let part = |id: &PartId| view.project.part(*id).map(|(_, _, p)| p);
        let open: Vec<PartId> =
            ticked.iter().copied().filter(|id| part(id).is_some_and(|p| !p.is_ordered())).collect();
        let on_way: Vec<PartId> = ticked
            .iter()
            .copied()
            .filter(|id| part(id).is_some_and(|p| p.is_ordered() && !p.is_on_site()))
            .collect();
        if n == 0 {
            pieces::muted(ui, view.tokens, "Tick parts to mark several at once");
        } else {
            ui.label(format!("{} ticked", format::count(n, "part")));
            if !open.is_empty() && ui.button(format!("Mark {} ordered", open.len())).clicked() {
                out.act(Action::MarkOrdered(open, today));
                session.ticked.clear();
            }
            if !on_way.is_empty() && ui.button(format!("Mark {} received", on_way.len())).clicked() {
                out.act(Action::MarkReceived(on_way, today));
                session.ticked.clear();
            }
            if pieces::link(ui, view.tokens, "untick").clicked() {
                session.ticked.clear();
            }
        }
        ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
            if ui.button("Export purchase lists…").clicked() {
                out.push(Request::ExportLists(ListScope::All));
            }
            if ui.button("Add a supplier…").clicked() {
                out.edit(Form::Supplier(None));
            }
        });
    });
}

/// Suppliers by their nearest order, parts by order-by day, what is on site last.
fn rows<'a>(view: &View<'a>, session: &Session) -> Vec<Row<'a>> {
    let suppliers = view.project.suppliers.len();
    let mut groups: Vec<Vec<Row<'a>>> = (0..=suppliers).map(|_| Vec::new()).collect();
    for (at, (selection, option, part)) in view.project.all_parts().enumerate() {
        let f = &view.figures.parts[at];
        if !(f.live || part.is_ordered()) || session.room.is_some_and(|r| selection.room != r) {
            continue;
        }
        let group = f.supplier.map_or(suppliers, |s| s as usize);
        groups[group].push(Row::Part { at, selection, option: &option.name, part });
    }
    let key = |row: &Row<'_>| match row {
        Row::Part { at, part, .. } => {
            let stage = if part.is_on_site() { 2 } else { i32::from(part.is_ordered()) };
            let f = &view.figures.parts[*at];
            let day = if stage == 0 { f.order_by } else { Some(f.arrival) };
            (stage, day.map_or((1, None), |d| (0, Some(d))))
        }
        _ => (3, (1, None)),
    };
    // A supplier with nothing to buy stands at the end, so that it can be edited and removed.
    let kept = |g: usize| !groups[g].is_empty() || (g < suppliers && session.room.is_none());
    let mut order: Vec<usize> = (0..=suppliers).filter(|g| kept(*g)).collect();
    for group in &mut groups {
        group.sort_by_key(key);
    }
    order.sort_by_key(|g| groups[*g].first().map_or((4, (1, None)), key));
    let mut rows = Vec::new();
    for group in order {
        let position = (group < suppliers).then_some(group);
        let parts = std::mem::take(&mut groups[group]);
        let total = parts
            .iter()
            .filter_map(|r| match r {
                Row::Part { at, .. } => Some(view.figures.parts[*at].total()),
                _ => None,
            })
            .sum();
        let to_free = view
            .figures
            .orders
            .iter()
            .find(|o| o.supplier == position && o.placed.is_none())
            .and_then(|o| o.to_free_freight)
            .filter(|m| !m.is_zero() && session.room.is_none());
        rows.push(Row::Supplier { position, parts: parts.len() as i32, total, to_free });
        rows.extend(parts);
        rows.push(Row::Gap);
    }
    rows
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

fn draw(ui: &mut Ui, view: &View<'_>, session: &mut Session, row: &Row<'_>, w: &Widths, out: &mut Outbox) {
    match row {
        Row::Gap => {
            ui.allocate_space(vec2(10.0, ROW));
        }
        Row::Supplier { position, parts, total, to_free } => {
            ui.push_id(("supplier", position), |ui| {
                supplier_row(ui, view, *position, *parts, *total, *to_free, out);
            });
        }
        Row::Part { at, selection, option, part } => {
            ui.push_id(("part", part.id), |ui| {
                part_row(ui, view, session, *at, selection, option, part, w, out);
            });
        }
    }
}

fn supplier_row(
    ui: &mut Ui,
    view: &View<'_>,
    position: Option<usize>,
    parts: i32,
    total: Money,
    to_free: Option<Money>,
    out: &mut Outbox,
) {
    let supplier = position.and_then(|p| view.project.suppliers.get(p));
    let name = supplier.map_or("No supplier yet", |s| s.name.as_str());
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
    ui.painter().hline(rect.x_range(), rect.bottom() - 2.0, egui::Stroke::new(1.5, view.tokens.line));
    let layout = Layout::left_to_right(egui::Align::Center);
    let ui = &mut ui.new_child(UiBuilder::new().max_rect(rect).layout(layout));
    if let Some(supplier) = supplier {
        let title = egui::Button::new(pieces::strong(name, 15.0)).frame(false);
        let title = ui.add(title).on_hover_text("Edit supplier; right click for more");
        if title.clicked() {
            out.edit(Form::Supplier(Some(supplier.id)));
        }
        title.context_menu(|ui| {
            if ui.button("Remove supplier").clicked() {
                out.act(Action::RemoveSupplier(supplier.id));
            }
        });
    } else {
        ui.label(pieces::strong(name, 15.0));
    }
    let sum = format!("{}, {}", format::count(parts, "part"), format::money(total, view.currency()));
    pieces::muted(ui, view.tokens, sum);
    if let Some(more) = to_free {
        let text = format!("{} more ships free", format::money(more, view.currency()));
        ui.label(RichText::new(text).size(type_size::SMALL).color(view.tokens.good));
    }
    ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
        let export = pieces::link(ui, view.tokens, "export list…");
        export.widget_info(|| {
            egui::WidgetInfo::labeled(egui::Role::Button, true, format!("Export the list of {name}"))
        });
        if export.clicked() {
            out.push(Request::ExportLists(ListScope::One(position)));
        }
    });
}

#[expect(
    clippy::too_many_arguments,
    reason = "a row needs its part, its columns and where to ask for change"
)]
fn part_row(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    at: usize,
    selection: &Selection,
    option: &str,
    part: &Part,
    w: &Widths,
    out: &mut Outbox,
) {
    let (tokens, near, f) = (view.tokens, view.as_of(), &view.figures.parts[at]);
    let room = view.project.room(selection.room).map_or("", |r| r.name.as_str());
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
            let text = format!("{}: {}", selection.name, part.name);
            let name = ui.add(egui::Button::new(text).frame(false).truncate());
            let more = format!("{option}\n{room}\n{}", part.key);
            if name.on_hover_text(more).clicked() {
                session.selection = Some(selection.id);
            }
        });
        let column = |ui: &mut Ui, width: f32, text: String, color: Color32| {
            in_column(ui, width, true, |ui| {
                pieces::cell(ui, text, color);
            });
        };
        column(ui, w.quantity, format::quantity(f.quantity_to_buy, &part.unit), tokens.text);
        column(ui, w.total, format::money(f.total(), view.currency()), tokens.text);
        let (order, tone) = match (part.ordered_on, f.order_by) {
            (Some(on), _) => (format!("\u{2713} {}", format::day_short(Day::from(on), near)), tokens.accent),
            (None, _) if part.is_ordered() => ("\u{2713}".to_owned(), tokens.accent),
            (None, Some(by)) => {
                let tone = pieces::in_hand_color(by.since(near), tokens, tokens.text);
                (pieces::order_by_text(by, near), tone)
            }
            (None, None) => (String::new(), tokens.muted),
        };
        column(ui, w.order_by, order, tone);
        column(ui, w.needed, f.need_date.map_or(String::new(), |d| format::day_short(d, near)), tokens.text);
        let late = f.late && !part.is_on_site();
        let expected = match part.arrived_on() {
            Some(came) => format!("\u{2713} {}", format::day_short(Day::from(came), near)),
            None => format::day_short(f.arrival, near),
        };
        column(ui, w.expected, expected, if late { tokens.late } else { tokens.muted });
        in_column(ui, w.state, false, |ui| actions(ui, view, part, f.overdue, late, out));
    });
}

fn actions(ui: &mut Ui, view: &View<'_>, part: &Part, overdue: bool, late: bool, out: &mut Outbox) {
    let tokens = view.tokens;
    let today = Some(view.as_of().date());
    let named = |response: egui::Response, what: &str| {
        response.widget_info(|| {
            egui::WidgetInfo::labeled(egui::Role::Button, true, format!("{what} {}", part.key))
        });
        response.clicked()
    };
    if part.is_on_site() {
        let word = if part.installed_on.is_some() { "built in" } else { "on site" };
        ui.label(RichText::new(word).color(tokens.good));
        return;
    }
    if part.is_ordered() {
        if named(ui.button("Mark received"), "Mark received") {
            out.act(Action::MarkReceived(vec![part.id], today));
        }
    } else if named(ui.button("Mark ordered"), "Mark ordered") {
        out.act(Action::MarkOrdered(vec![part.id], today));
    }
    if overdue {
        ui.label(RichText::new("overdue").color(tokens.late));
    } else if late {
        ui.label(RichText::new("late").color(tokens.late));
    }
}
