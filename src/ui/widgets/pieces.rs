//! Text and buttons in the few forms the window uses.

use crate::engine::Day;
use crate::ui::format;
use crate::ui::standing::SOON;
use crate::ui::theme::{self, Tokens, tokens::type_size};
use egui::text::{LayoutJob, TextWrapping};
use egui::{
    Align, Color32, FontId, Layout, Response, RichText, Role, Sense, Stroke, StrokeKind, Tooltip, Ui,
    UiBuilder, WidgetInfo,
};
use lucide_icons::Icon;

/// Points of the least target for a pointer (WCAG 2.2, 2.5.8).
pub const LEAST: f32 = 24.0;

/// What has the keyboard, as it was drawn last.
pub fn focused(ctx: &egui::Context) -> Option<Response> {
    ctx.memory(|m| m.focused()).and_then(|id| ctx.read_response(id))
}

/// Small text that steps back.
pub fn muted(ui: &mut Ui, tokens: &Tokens, text: impl Into<String>) -> Response {
    ui.label(RichText::new(text).size(type_size::SMALL).color(tokens.muted))
}

/// A small heading over a group.
pub fn group_title(ui: &mut Ui, tokens: &Tokens, text: &str) -> Response {
    ui.label(RichText::new(text).font(theme::strong(type_size::SMALL)).color(tokens.muted))
}

/// Heavier text.
pub fn strong(text: impl Into<String>, size: f32) -> RichText {
    RichText::new(text).font(theme::strong(size))
}

/// Marks a field whose text cannot be taken, with what is wrong by its side.
pub fn say_fault(ui: &Ui, tokens: &Tokens, field: &Response, why: &str) {
    ui.painter().rect_stroke(field.rect, 2.0, Stroke::new(1.5, tokens.late), StrokeKind::Inside);
    if !ui.ctx().memory(|m| m.allows_interaction(ui.layer_id())) {
        // What is asked over the window lies over this too.
        return;
    }
    Tooltip::always_open(ui.ctx().clone(), ui.layer_id(), field.id.with("fault"), field.rect)
        .show(|ui| ui.label(RichText::new(why).color(tokens.late)));
}

/// A button that looks like a link.
pub fn link(ui: &mut Ui, tokens: &Tokens, text: &str) -> Response {
    let text = RichText::new(text).color(tokens.accent);
    let link = egui::Button::new(text).frame(false).min_size(egui::vec2(LEAST, LEAST));
    ui.add(link).on_hover_cursor(egui::CursorIcon::PointingHand)
}

/// A button that is only an icon; `name` is what it does, shown on hover and read aloud.
pub fn icon_button(ui: &mut Ui, icon: Icon, name: &str) -> Response {
    let text = RichText::new(char::from(icon).to_string()).font(theme::icon_font(16.0));
    let response = ui.add(egui::Button::new(text).frame_when_inactive(false)).on_hover_text(name);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
    response
}

/// A button of small letters, as high as a pointer needs it.
pub fn small_button(ui: &mut Ui, text: &str) -> Response {
    let text = RichText::new(text).size(type_size::SMALL);
    ui.add(egui::Button::new(text).small().min_size(egui::vec2(LEAST, LEAST)))
}

/// A small button that stands in a row of others like it; `name` says which one it is, on hover and read aloud.
pub fn row_button(ui: &mut Ui, text: &str, name: &str) -> Response {
    let response = small_button(ui, text).on_hover_text(name);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
    response
}

/// The one button of a form or page that most people came for.
pub fn primary_button(ui: &mut Ui, tokens: &Tokens, text: &str) -> Response {
    ui.add(primary(tokens, text))
}

/// The same, to be given a size.
pub fn primary<'a>(tokens: &Tokens, text: &str) -> egui::Button<'a> {
    let text = RichText::new(text).font(theme::strong(type_size::BODY)).color(tokens.card);
    egui::Button::new(text).fill(tokens.accent)
}

/// Paints one line of text from its left middle, cut off with dots where it is too wide.
pub fn paint_cut(
    painter: &egui::Painter,
    at: egui::Pos2,
    text: &str,
    font: FontId,
    color: Color32,
    width: f32,
) {
    let mut job = LayoutJob::simple_singleline(text.to_owned(), font, color);
    job.wrap = TextWrapping::truncate_at_width(width.max(0.0));
    let line = painter.layout_job(job);
    painter.galley(at - egui::vec2(0.0, line.size().y / 2.0), line, color);
}

/// A block of content that can be clicked as a whole and is read aloud under a name.
pub fn clickable<R>(
    ui: &mut Ui,
    id: impl std::hash::Hash + std::fmt::Debug,
    name: &str,
    content: impl FnOnce(&mut Ui) -> R,
) -> Response {
    let inner = ui
        .scope_builder(UiBuilder::new().id_salt(id).sense(Sense::click()), |ui| {
            ui.style_mut().interaction.selectable_labels = false;
            content(ui);
        })
        .response
        .on_hover_cursor(egui::CursorIcon::PointingHand);
    inner.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
    inner
}

/// Text cut off at the width there is, whole on hover.
pub fn cell(ui: &mut Ui, text: impl Into<String>, color: Color32) -> Response {
    ui.add(egui::Label::new(RichText::new(text).color(color)).truncate().selectable(false))
}

/// The same with the text made already.
pub fn cell_text(ui: &mut Ui, text: RichText) -> Response {
    ui.add(egui::Label::new(text).truncate().selectable(false))
}

/// An amount over or under an allowance, with its word.
pub fn over_under(ui: &mut Ui, tokens: &Tokens, over: crate::model::Money, currency: crate::model::Currency) {
    if over.is_zero() {
        return;
    }
    let (word, tone) = if over.is_negative() {
        (format!("{} under", format::money(over.abs(), currency)), tokens.good)
    } else {
        (format!("{} over", format::money(over, currency)), tokens.late)
    };
    cell(ui, word, tone);
}

/// The color of days in hand; `calm` while there are many.
pub fn in_hand_color(days: i32, tokens: &Tokens, calm: Color32) -> Color32 {
    match days {
        d if d <= 0 => tokens.late,
        d if d <= SOON => tokens.soon,
        _ => calm,
    }
}

/// An order-by day as it stands in a column: the day and what is in hand, or how long ago it was. `from` is the first day
/// on which it can be ordered, where that is too late.
pub fn order_by_text(order_by: Day, days_in_hand: i32, from: Option<Day>, as_of: Day) -> String {
    if let Some(from) = from {
        // Without the year, which the narrow column has no room for.
        return format!("from {}", format::day_short(from, from));
    }
    match days_in_hand {
        0 => "today".to_owned(),
        d if d < 0 => format!("{} d ago", -d),
        // Within a year the day is plain without it, and the column narrow.
        d if d < 300 => format!("{}, {d} d", format::day_short(order_by, order_by)),
        d => format!("{}, {d} d", format::day_short(order_by, as_of)),
    }
}

/// The layout of a cell: numbers stand on the right.
pub fn cell_layout(right: bool) -> Layout {
    if right { Layout::right_to_left(Align::Center) } else { Layout::left_to_right(Align::Center) }
}
