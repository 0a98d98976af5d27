//! Above the calendar: its scale, what the shapes mean, and adding a phase.

use super::legend;
use crate::ui::session::Session;
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::pieces;
use egui::{Key, Layout, Modifiers, Ui};
use lucide_icons::Icon;

/// Points a day takes in each scale; the first shows everything.
const SCALES: [(&str, f32); 4] = [("Whole", 0.0), ("Months", super::MONTHS), ("Weeks", 9.0), ("Days", 24.0)];

/// The most and the least points a day takes.
pub const WIDEST: f32 = 40.0;

/// Draws the line.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let (wide, narrow) = (ui.available_width() > 1040.0, ui.available_width() < 600.0);
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
        if wide {
            ui.add_space(6.0);
            legend::ui(ui, view);
        }
        ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
            if ui.button("Add a phase…").clicked() {
                out.edit(Form::Phase(None));
            }
            if narrow {
                let text = egui::RichText::new(char::from(Icon::CircleQuestionMark).to_string())
                    .font(crate::ui::theme::icon_font(16.0));
                let menu = ui.menu_button(text, |ui| legend::ui(ui, view));
                let button = menu.response.on_hover_text("What the shapes mean");
                button.widget_info(|| {
                    egui::WidgetInfo::labeled(egui::Role::Button, true, "What the shapes mean")
                });
            }
        });
    });
    if !wide && !narrow {
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

fn step(session: &mut Session, by: f32) {
    session.day_width = (session.day_width.max(1.5) * by).clamp(1.5, WIDEST);
}

/// Takes a scale, with the as-of day a little right of the names.
pub fn center_on_today(view: &View<'_>, session: &mut Session, width: f32) {
    session.day_width = width;
    let (first, _) = super::span(view);
    session.dates.scroll_x = Some(view.as_of().since(first) as f32 * width - 90.0);
}
