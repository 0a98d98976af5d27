//! Above the calendar: its scale, what the shapes mean, and adding a phase.

use super::{legend, rows};
use crate::engine::phase_groups::PhasesBy;
use crate::ui::session::Session;
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::drop_down::one_of;
use crate::ui::widgets::pieces;
use egui::{Key, Layout, Modifiers, Ui};
use lucide_icons::Icon;

const ADD: &str = "Add a phase…";
const FOLD: &str = "fold all";
const OPEN: &str = "open all";

/// Points a day takes in each scale; the first shows everything.
const SCALES: [(&str, f32); 4] = [("Whole", 0.0), ("Months", super::MONTHS), ("Weeks", 9.0), ("Days", 24.0)];

/// The most and the least points a day takes.
pub const WIDEST: f32 = 40.0;

/// In an area so high the shapes are explained above the calendar; in a lower one a button does.
const HIGH: f32 = 1000.0;

/// Draws the line.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let narrow = ui.available_width() < 620.0;
    let explained = !narrow && ui.available_height() > HIGH;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 3.0;
        let now = SCALES.iter().rposition(|(_, width)| session.day_width >= *width).unwrap_or(0);
        for (i, (name, width)) in SCALES.into_iter().enumerate() {
            let scale = ui.selectable_label(i == now, name);
            if scale.on_hover_text("Scale of the calendar (Ctrl and the wheel, + and - go between)").clicked()
            {
                center_on_today(view, session, width);
            }
        }
        // Where there is no room for them the scales, the wheel and the keys do the same.
        if !narrow && pieces::icon_button(ui, Icon::ZoomOut, "Narrower days").clicked() {
            step(session, 1.0 / 1.4);
        }
        if !narrow && pieces::icon_button(ui, Icon::ZoomIn, "Wider days").clicked() {
            step(session, 1.4);
        }
        grouping(ui, view, session, narrow);
        ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
            let add = if narrow { pieces::icon_button(ui, Icon::Plus, ADD) } else { ui.button(ADD) };
            if add.clicked() {
                out.edit(Form::Phase(None));
            }
            if !explained {
                icon_menu(ui, Icon::CircleQuestionMark, "What the shapes mean", |ui| legend::ui(ui, view));
            }
        });
    });
    if explained {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            legend::ui(ui, view);
        });
    }
    let ctx = ui.ctx();
    if !ctx.text_edit_focused() && ctx.memory(|m| m.top_modal_layer().is_none()) {
        let pressed = |key| ctx.input_mut(|i| i.consume_key(Modifiers::NONE, key));
        if pressed(Key::Plus) || pressed(Key::Equals) {
            step(session, 1.4);
        }
        if pressed(Key::Minus) {
            step(session, 1.0 / 1.4);
        }
    }
}

/// A menu behind a sign, with its name.
fn icon_menu(ui: &mut Ui, icon: Icon, name: &str, content: impl FnOnce(&mut Ui)) {
    let text = egui::RichText::new(char::from(icon).to_string()).font(crate::ui::theme::icon_font(16.0));
    let button = ui.menu_button(text, content).response.on_hover_text(name);
    button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, name));
}

/// What phases are grouped by, and folding all groups.
fn grouping(ui: &mut Ui, view: &View<'_>, session: &mut Session, narrow: bool) {
    let before = session.dates.by;
    let is_open = |session: &Session| session.dates.rows.folded.iter().any(|folded| !folded);
    if narrow {
        icon_menu(ui, Icon::ListTree, "Group the phases", |ui| {
            for (by, name) in PhasesBy::ALL {
                ui.selectable_value(&mut session.dates.by, by, name);
            }
            if session.dates.by == before && before != PhasesBy::Start {
                ui.separator();
                let fold = is_open(session);
                if ui.button(if fold { FOLD } else { OPEN }).clicked() {
                    rows::turn_all(session, fold);
                }
            }
        });
    } else {
        let options = PhasesBy::ALL.map(|(by, name)| (name, by));
        one_of(ui, "Group the phases", 104.0, &mut session.dates.by, options);
        if before != PhasesBy::Start && session.dates.by == before {
            let fold = is_open(session);
            if pieces::link(ui, view.tokens, if fold { FOLD } else { OPEN }).clicked() {
                rows::turn_all(session, fold);
            }
        }
    }
    if session.dates.by != before {
        // The picked phase stays in view.
        session.scroll_to_phase = session.scroll_to_phase.or(session.dates.picked);
    }
}

fn step(session: &mut Session, by: f32) {
    session.day_width = (session.day_width.max(1.5) * by).clamp(1.5, WIDEST);
}

/// Takes a scale, with the as-of day a little right of the names.
pub fn center_on_today(view: &View<'_>, session: &mut Session, width: f32) {
    session.day_width = width;
    let (first, _) = super::span(view);
    session.dates.scroll_x = Some(view.as_of().since(first) as f32 * width - 90.0);
}
