//! Warranties and manuals: what is in the house, room by room, with what is noted of each part and what is not.

use crate::engine::Day;
use crate::engine::Figures;
use crate::engine::closing_out::{WARRANTY_SOON, in_house};
use crate::model::{PartId, Project};
use crate::ui::format;
use crate::ui::pictures::Beside;
use crate::ui::session::Session;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{Form, Outbox, Request, View};
use crate::ui::widgets::pieces;
use egui::{Align, Layout, RichText, Role, TextEdit, Ui, UiBuilder, WidgetInfo, vec2};

/// Height of a row, so that only those in view are drawn.
const ROW: f32 = 30.0;

/// Points a row is wide at the most.
const WIDEST: f32 = 1000.0;

/// What the page remembers.
#[derive(Debug, Clone, Default)]
pub struct HandoverPage {
    /// Only parts of which nothing is noted.
    pub blank: bool,
    /// Only those with these words.
    pub find: String,
}

/// A row of the list, worked out once for a revision.
#[derive(Debug, Clone)]
pub enum Row {
    /// A room, with how many parts of it are in the house.
    Room(String, usize),
    /// A part.
    Part(PartRow),
}

/// A part that is in the house.
#[derive(Debug, Clone)]
pub struct PartRow {
    /// The part.
    pub part: PartId,
    /// What it is.
    pub name: String,
    /// Who sold it.
    pub supplier: String,
    /// Its serial number.
    pub serial: String,
    /// The last day of its warranty.
    pub warranty: Option<Day>,
    /// Its manual.
    pub manual: String,
    /// Whether anything is noted of it.
    pub noted: bool,
    /// What it is found by, in small letters.
    find: String,
}

/// What is in the house, with how many parts have what is asked for.
#[derive(Debug, Clone)]
pub struct Rows {
    all: Vec<Row>,
    parts: usize,
    warranties: usize,
    manuals: usize,
}

/// The rows of a project.
pub fn rows(project: &Project, figures: &Figures) -> Rows {
    let mut by_room: Vec<(String, Vec<PartRow>)> =
        project.rooms.iter().map(|room| (room.name.clone(), Vec::new())).collect();
    let places: std::collections::HashMap<_, usize> =
        project.rooms.iter().enumerate().map(|(at, room)| (room.id, at)).collect();
    for thing in in_house(project, figures) {
        let Some((_, own)) = places.get(&thing.selection.room).and_then(|at| by_room.get_mut(*at)) else {
            continue;
        };
        let (option, part) = (thing.option, thing.part);
        let name = if part.name == option.name || part.name.is_empty() {
            format!("{}: {}", thing.selection.name, option.name)
        } else {
            format!("{}: {}", thing.selection.name, part.name)
        };
        let text = |get: fn(&crate::model::Handover) -> &String| {
            thing.handover.map_or(String::new(), |h| get(h).clone())
        };
        let supplier = part.supplier.and_then(|id| project.supplier(id)).map_or("", |s| s.name.as_str());
        let serial = text(|h| &h.serial);
        own.push(PartRow {
            part: part.id,
            find: format!("{name} {supplier} {serial}").to_lowercase(),
            name,
            supplier: supplier.to_owned(),
            serial,
            warranty: thing.warranty(),
            manual: text(|h| &h.manual),
            noted: thing.handover.is_some(),
        });
    }
    let parts = || by_room.iter().flat_map(|(_, own)| own);
    let mut rows = Rows {
        all: Vec::new(),
        parts: parts().count(),
        warranties: parts().filter(|part| part.warranty.is_some()).count(),
        manuals: parts().filter(|part| !part.manual.is_empty()).count(),
    };
    for (room, own) in by_room.into_iter().filter(|(_, own)| !own.is_empty()) {
        rows.all.push(Row::Room(room, own.len()));
        rows.all.extend(own.into_iter().map(Row::Part));
    }
    rows
}

/// Draws the page.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let rows = view.derived.in_house(view.project);
    let page = &mut session.sign_offs.handover;
    ui.horizontal_wrapped(|ui| {
        ui.label(pieces::strong(format!("{} in the house", rows.parts), type_size::BODY));
        ui.label(format!("{} with a warranty, {} with a manual", rows.warranties, rows.manuals));
        ui.checkbox(&mut page.blank, "only those with nothing noted");
        let find = ui.add(TextEdit::singleline(&mut page.find).hint_text("Find").desired_width(120.0));
        find.widget_info(|| WidgetInfo::labeled(Role::TextInput, true, "Find a part"));
    });
    ui.add_space(space::S);
    if rows.parts == 0 {
        ui.add_space(space::M);
        ui.label(pieces::strong("Nothing has come yet", 16.0));
        ui.label(
            "What was chosen stands here as soon as it is in the house: note its serial number and warranty while the box \
             is still there, and keep its manual beside the project. The binder of the house is made from it.",
        );
        return;
    }
    let words: Vec<String> = page.find.split_whitespace().map(str::to_lowercase).collect();
    let blank = page.blank;
    if !blank && words.is_empty() {
        list(ui, view, rows.all.len(), |at| rows.all.get(at), out);
        return;
    }
    let fits = |part: &PartRow| (!blank || !part.noted) && words.iter().all(|word| part.find.contains(word));
    // Rooms without a part that fits go.
    let mut shown: Vec<&Row> = Vec::new();
    for row in &rows.all {
        match row {
            Row::Part(part) if !fits(part) => {}
            Row::Part(_) => shown.push(row),
            Row::Room(..) => {
                shown.pop_if(|last| matches!(last, Row::Room(..)));
                shown.push(row);
            }
        }
    }
    shown.pop_if(|last| matches!(last, Row::Room(..)));
    if shown.is_empty() {
        pieces::muted(ui, view.tokens, "No part fits.");
        return;
    }
    list(ui, view, shown.len(), |at| shown.get(at).copied(), out);
}

/// Draws so many rows; those in view are asked for.
fn list<'a>(
    ui: &mut Ui,
    view: &View<'_>,
    len: usize,
    row_at: impl Fn(usize) -> Option<&'a Row>,
    out: &mut Outbox,
) {
    ui.spacing_mut().item_spacing.y = 0.0;
    egui::ScrollArea::vertical().auto_shrink(false).id_salt("handover").show_rows(
        ui,
        ROW,
        len,
        |ui, range| {
            // Beyond that, what is noted stands too far from the name it is of.
            ui.set_max_width(ui.available_width().min(WIDEST));
            ui.spacing_mut().item_spacing.y = 0.0;
            for row in range.filter_map(&row_at) {
                match row {
                    Row::Room(name, n) => {
                        let (rect, _) =
                            ui.allocate_exact_size(vec2(ui.available_width(), ROW), egui::Sense::hover());
                        let mut inner = ui.new_child(
                            UiBuilder::new().max_rect(rect).layout(Layout::left_to_right(Align::Max)),
                        );
                        pieces::group_title(&mut inner, view.tokens, &format!("{name}, {n}"));
                    }
                    Row::Part(part) => drop(ui.push_id(part.part, |ui| part_row(ui, view, part, out))),
                }
            }
        },
    );
}

/// How long the warranty still lasts, in words.
fn warranty_words(view: &View<'_>, part: &PartRow) -> (String, egui::Color32) {
    let tokens = view.tokens;
    match part.warranty {
        None => ("no warranty noted".to_owned(), tokens.muted),
        Some(day) => {
            let (left, on) = (day.since(view.as_of()), format::day(day, view.as_of()));
            match left {
                n if n < 0 => (format!("warranty ended {on}"), tokens.muted),
                n if n <= WARRANTY_SOON => (format!("warranty ends {on}"), tokens.soon),
                _ => (format!("warranty until {on}"), tokens.text),
            }
        }
    }
}

fn part_row(ui: &mut Ui, view: &View<'_>, part: &PartRow, out: &mut Outbox) {
    let tokens = view.tokens;
    let (warranty, color) = warranty_words(view, part);
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), egui::Sense::hover());
    let inner = rect.shrink2(vec2(4.0, 0.0));
    let mut end = ui.new_child(
        UiBuilder::new().id_salt("end").max_rect(inner).layout(Layout::right_to_left(Align::Center)),
    );
    end.spacing_mut().item_spacing.x = 6.0;
    if part.manual.is_empty() {
        if pieces::row_button(
            &mut end,
            "Manual\u{2026}",
            &format!("Take a file as the manual of {}", part.name),
        )
        .clicked()
        {
            out.push(Request::PickFile(Beside::Manual(part.part)));
        }
    } else {
        let link = pieces::link(&mut end, tokens, "manual").on_hover_text(&part.manual);
        let name = format!("Manual of {}", part.name);
        link.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
        if link.clicked() {
            out.push(Request::OpenManual(part.part));
        }
    }
    let begin = egui::Rect::from_min_max(
        inner.min,
        egui::pos2((end.min_rect().left() - 8.0).max(inner.left()), inner.bottom()),
    );
    let serial = if part.serial.is_empty() { String::new() } else { format!("serial {}", part.serial) };
    let more = [part.supplier.as_str(), serial.as_str()];
    let more = more.into_iter().filter(|t| !t.is_empty()).collect::<Vec<_>>().join(", ");
    let name = [part.name.as_str(), warranty.as_str(), more.as_str()];
    let name = name.into_iter().filter(|t| !t.is_empty()).collect::<Vec<_>>().join(", ");
    let mut line = ui.new_child(
        UiBuilder::new().id_salt("begin").max_rect(begin).layout(Layout::left_to_right(Align::Center)),
    );
    let response = pieces::clickable(&mut line, "line", &name, |ui| {
        ui.set_min_size(vec2(ui.available_width(), ROW - 4.0));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.label(RichText::new(&warranty).size(type_size::SMALL).color(color));
            if begin.width() > 520.0 && !more.is_empty() {
                pieces::muted(ui, tokens, more.clone());
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                pieces::cell(ui, part.name.as_str(), tokens.text);
            });
        });
    });
    if response.on_hover_text(&name).clicked() {
        out.edit(Form::Handover(part.part));
    }
}
