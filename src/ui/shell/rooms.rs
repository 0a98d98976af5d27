//! The rooms on the left, by level, each with what is open or late and its money.

use crate::engine::without;
use crate::model::{Action, Money, RoomId};
use crate::ui::areas::house::ledger_facts::RoomCounts;
use crate::ui::format;
use crate::ui::session::{Session, WorkArea};
use crate::ui::theme::{self, tokens::space, tokens::type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::{marks, pieces};
use egui::{Align2, Role, Sense, Ui, WidgetInfo, pos2, vec2};

/// Draws the list.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let counts = &view.facts().rooms;
    egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        let all = RoomCounts {
            open: counts.iter().map(|c| c.open).sum(),
            late: counts.iter().map(|c| c.late).sum(),
        };
        let total = view.figures.money.total.forecast;
        if row(ui, view, session.room.is_none(), "All rooms", &all, total).clicked() {
            pick(session, None);
        }
        let mut levels: Vec<&str> = Vec::new();
        for room in view.project.rooms.iter() {
            if !levels.contains(&room.level.as_str()) {
                levels.push(&room.level);
            }
        }
        for level in levels {
            ui.add_space(10.0);
            if !level.is_empty() {
                pieces::group_title(ui, view.tokens, level);
                ui.add_space(2.0);
            }
            for (i, room) in view.project.rooms.iter().enumerate().filter(|(_, r)| r.level == level) {
                let money = view.figures.money.by_room[i].forecast;
                let response = row(ui, view, session.room == Some(room.id), &room.name, &counts[i], money);
                if response.clicked() {
                    pick(session, Some(room.id));
                }
                if response.double_clicked() {
                    out.edit(Form::Room(Some(room.id)));
                }
                response.context_menu(|ui| {
                    if ui.button("Edit room…").clicked() {
                        out.edit(Form::Room(Some(room.id)));
                    }
                    if ui.button("Add a selection…").clicked() {
                        out.edit(Form::Selection(None, Some(room.id)));
                    }
                    if ui.button("Remove room").clicked() {
                        out.act(Action::RemoveRoom(room.id));
                    }
                });
                response.on_hover_ui(|ui| tooltip(ui, view, i));
            }
        }
        ui.add_space(12.0);
        if pieces::link(ui, view.tokens, "+ add a room").clicked() {
            out.edit(Form::Room(None));
        }
    });
}

fn pick(session: &mut Session, room: Option<RoomId>) {
    session.pick_room(room);
    if session.area != WorkArea::Buying {
        session.show(WorkArea::House);
    }
}

fn row(
    ui: &mut Ui,
    view: &View<'_>,
    picked: bool,
    name: &str,
    counts: &RoomCounts,
    money: Money,
) -> egui::Response {
    let tokens = view.tokens;
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), space::ROW), Sense::click());
    // Whole; where both have no room it is the name that is cut.
    let money = format::money_short(money);
    let spoken = format!("{name}, {} late, {} to decide, {money}", counts.late, counts.open);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, picked, &spoken));
    if !ui.is_rect_visible(rect) {
        return response;
    }
    let fill = if picked {
        tokens.picked
    } else if response.hovered() || response.has_focus() {
        tokens.hovered
    } else {
        theme::tokens::CLEAR
    };
    let painter = ui.painter();
    painter.rect_filled(rect, 5.0, fill);
    if response.has_focus() {
        painter.rect_stroke(rect, 5.0, egui::Stroke::new(1.0, tokens.accent), egui::StrokeKind::Inside);
    }
    let y = rect.center().y;
    let small = theme::regular(type_size::SMALL);
    let right =
        painter.text(pos2(rect.right() - 8.0, y), Align2::RIGHT_CENTER, money, small.clone(), tokens.muted);
    let mut x = right.left() - 8.0;
    if counts.open > 0 {
        let text = painter.text(
            pos2(x, y),
            Align2::RIGHT_CENTER,
            counts.open.to_string(),
            small.clone(),
            tokens.soon,
        );
        painter.circle_stroke(pos2(text.left() - 8.0, y), 4.0, egui::Stroke::new(1.5, tokens.soon));
        x = text.left() - 18.0;
    }
    if counts.late > 0 {
        let text =
            painter.text(pos2(x, y), Align2::RIGHT_CENTER, counts.late.to_string(), small, tokens.late);
        marks::triangle(painter, pos2(text.left() - 9.0, y), tokens.late);
        x = text.left() - 18.0;
    }
    let font = if picked { theme::strong(type_size::BODY) } else { theme::regular(type_size::BODY) };
    let left = rect.left() + 8.0;
    pieces::paint_cut(painter, pos2(left, y), name, font, tokens.text, x - left);
    response
}

/// What is known of the room at a position: its sizes, and the days it is out of use.
pub fn sizes(view: &View<'_>, at: usize) -> Vec<(&'static str, String)> {
    let (Some(room), Some(size)) = (view.project.rooms.get(at), view.figures.rooms.get(at)) else {
        return Vec::new();
    };
    let unit = match view.project.settings.units {
        crate::model::Units::Us => "ft",
        crate::model::Units::Metric => "m",
    };
    let mut facts = vec![
        ("Floor", format!("{} {unit}²", size.floor.normalize())),
        ("Walls less openings", format!("{} {unit}²", size.walls.normalize())),
        ("Baseboard", format!("{} {unit}", size.baseboard.normalize())),
    ];
    if let Some(out) = view.figures.in_use.rooms.iter().find(|out| out.room == room.id) {
        let ahead = without::ahead(&out.forecast, view.as_of());
        if !ahead.is_empty() {
            facts.push(("Out of use", format::days_in(&without::days(&ahead), view.as_of())));
        }
    }
    facts
}

fn tooltip(ui: &mut Ui, view: &View<'_>, at: usize) {
    let room = &view.project.rooms[at];
    let money = &view.figures.money.by_room[at];
    ui.label(pieces::strong(&room.name, type_size::BODY));
    let line = |ui: &mut Ui, what: &str, value: String| {
        ui.label(format!("{what} {value}"));
    };
    line(ui, "Allowance", format::money(money.allowance, view.currency()));
    line(ui, "Forecast", format::money(money.forecast, view.currency()));
    for (what, value) in sizes(view, at) {
        line(ui, what, value);
    }
    pieces::muted(ui, view.tokens, "triangle: late deliveries; ring: to be decided");
    pieces::muted(ui, view.tokens, "two clicks open its plan and sizes");
}
