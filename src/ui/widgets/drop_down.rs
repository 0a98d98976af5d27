//! Lists that open below a field: the one place where they are made.

use crate::ui::shell::modals;
use egui::{ComboBox, Context, Id, LayerId, Order, Popup, Response, RichText, Role, Ui, WidgetInfo};

/// One of several values, each with the words that stand for it. `name` is read aloud.
pub fn one_of<T: PartialEq + Clone, W: Into<String>>(
    ui: &mut Ui,
    name: &str,
    width: f32,
    value: &mut T,
    options: impl IntoIterator<Item = (W, T)>,
) -> Response {
    let options: Vec<(String, T)> = options.into_iter().map(|(words, v)| (words.into(), v)).collect();
    let shown = options.iter().find(|(_, v)| v == value).map_or("choose one", |(words, _)| words.as_str());
    drop_down(ui, name, shown, width, |ui| {
        for (words, option) in &options {
            if ui.selectable_value(value, option.clone(), words).changed() {
                modals::touch(ui.ctx());
            }
        }
    })
}

/// A field with `shown` in it, and below it what `list` draws. `name` is read aloud; no two in one place have the same.
pub fn drop_down(
    ui: &mut Ui,
    name: &str,
    shown: impl Into<RichText>,
    width: f32,
    list: impl FnOnce(&mut Ui),
) -> Response {
    let shown: RichText = shown.into();
    let words = shown.text().to_owned();
    let most = (ui.ctx().content_rect().height() * 0.5).max(ui.spacing().combo_height);
    let combo = ComboBox::from_id_salt(name).selected_text(shown).width(width).height(most).truncate();
    let response = combo.show_ui(ui, list).response;
    response.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::ComboBox, true, name);
        info.current_text_value = Some(words.clone());
        info
    });
    // The name of the list that egui derives from the field.
    raise(ui.ctx(), response.id.with("popup"));
    response
}

/// Keeps an open list over the form it belongs to. A form moves to the top on a press, and a list only in the first
/// frame in which it is seen. When the press and the release that opens the list come in one frame, both ask for the
/// top and keep the order they had, which leaves the list behind the form from its second use on.
pub fn raise(ctx: &Context, popup: Id) {
    let layer = LayerId::new(Order::Foreground, popup);
    if Popup::is_id_open(ctx, popup) && ctx.memory(|m| !m.is_above_modal_layer(layer)) {
        ctx.move_to_top(layer);
        ctx.request_repaint();
    }
}
