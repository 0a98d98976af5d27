//! Lists that open below a field: the one place where they are made.

use crate::ui::shell::modals;
use egui::{
    ComboBox, Context, Id, LayerId, Order, Popup, PopupCloseBehavior, Response, RichText, Role, Ui,
    WidgetInfo,
};

/// So many lines are seen at a glance; more than that are found by typing.
const AT_A_GLANCE: usize = 9;

/// One of several values, each with the words that stand for it. `name` is read aloud.
pub fn one_of<T: PartialEq + Clone, W: Into<String>>(
    ui: &mut Ui,
    name: &str,
    width: f32,
    value: &mut T,
    options: impl IntoIterator<Item = (W, T)>,
) -> Response {
    one_of_or_new(ui, name, width, value, options, None).0
}

/// The same, where `new` is what one that is not there yet is called. Gives back its name when one is to be made.
pub fn one_of_or_new<T: PartialEq + Clone, W: Into<String>>(
    ui: &mut Ui,
    name: &str,
    width: f32,
    value: &mut T,
    options: impl IntoIterator<Item = (W, T)>,
    new: Option<&str>,
) -> (Response, Option<String>) {
    let options: Vec<(String, T)> = options.into_iter().map(|(words, v)| (words.into(), v)).collect();
    let shown = options.iter().find(|(_, v)| v == value).map_or("choose one", |(words, _)| words.as_str());
    let lines = options.iter().map(|(words, v)| (words.as_str(), v == value)).collect::<Vec<_>>();
    let (response, picked) = pick(ui, name, shown, width, &lines, new);
    match picked {
        Some(Picked::Line(at)) => {
            if let Some((_, picked)) = options.get(at).filter(|(_, picked)| picked != value) {
                *value = picked.clone();
                modals::touch(ui.ctx());
            }
            (response, None)
        }
        Some(Picked::New(name)) => {
            modals::touch(ui.ctx());
            (response, Some(name))
        }
        None => (response, None),
    }
}

/// What was taken from an open list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Picked {
    /// The line at a place.
    Line(usize),
    /// One that is not there yet, by its name.
    New(String),
}

/// A field with `shown` in it, and below it lines of which one is taken, each with whether it is what holds now. Many of
/// them are found by typing.
pub fn pick(
    ui: &mut Ui,
    name: &str,
    shown: impl Into<RichText>,
    width: f32,
    lines: &[(&str, bool)],
    new: Option<&str>,
) -> (Response, Option<Picked>) {
    let searched = lines.len() > AT_A_GLANCE || new.is_some();
    let mut picked = None;
    let response = open_below(ui, name, shown, width, searched, |ui| {
        let typed = if searched { find_field(ui, name, new) } else { Find::default() };
        let parts: Vec<String> = typed.text.split_whitespace().map(str::to_lowercase).collect();
        let fits = |words: &str| {
            let words = words.to_lowercase();
            parts.iter().all(|part| words.contains(part))
        };
        let mut first = true;
        for (at, (words, holds)) in lines.iter().enumerate().filter(|(_, (words, _))| fits(words)) {
            let taken = std::mem::take(&mut first) && typed.enter && !typed.text.is_empty();
            if ui.selectable_label(*holds, *words).clicked() || taken {
                picked = Some(Picked::Line(at));
                ui.close();
            }
        }
        let is_there = lines.iter().any(|(words, _)| words.eq_ignore_ascii_case(&typed.text));
        if let Some(new) = new.filter(|_| !typed.text.is_empty() && !is_there) {
            let asked = ui.button(format!("{new}: {}", typed.text)).clicked();
            if asked || (first && typed.enter) {
                picked = Some(Picked::New(typed.text.clone()));
                ui.close();
            }
        } else if first {
            ui.label(RichText::new("nothing is called that").weak());
        }
    });
    if picked.is_some() {
        // The keyboard goes on from where the list was opened.
        response.request_focus();
    }
    (response, picked)
}

/// What is typed into an open list.
#[derive(Default)]
struct Find {
    text: String,
    enter: bool,
}

/// The field above the lines of a long list. It has the keyboard from the start; Enter takes the first line.
fn find_field(ui: &mut Ui, name: &str, new: Option<&str>) -> Find {
    let id = Id::unique(("find in a list", name));
    let frame = ui.ctx().cumulative_frame_nr();
    // A list that was closed begins anew.
    let known: Option<(u64, u32, String)> = ui.data(|d| d.get_temp(id));
    let known = known.filter(|(seen, ..)| seen + 1 >= frame);
    let (age, mut text) = known.map_or_else(Default::default, |(_, age, text)| (age, text));
    let hint = if new.is_some() { "Type to find, or a new name" } else { "Type to find" };
    let field = ui.add(egui::TextEdit::singleline(&mut text).hint_text(hint).desired_width(f32::INFINITY));
    field.widget_info(|| WidgetInfo::labeled(Role::TextInput, true, format!("Find in {name}")));
    if age < 2 {
        // The click that opens the list lets the field go again in the same frame.
        field.request_focus();
        ui.ctx().request_repaint();
    }
    let enter = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
    ui.data_mut(|d| d.insert_temp(id, (frame, age.saturating_add(1), text.clone())));
    Find { text: text.trim().to_owned(), enter }
}

/// A field with `shown` in it, and below it what `list` draws. `name` is read aloud; no two in one place have the same.
pub fn drop_down(
    ui: &mut Ui,
    name: &str,
    shown: impl Into<RichText>,
    width: f32,
    list: impl FnOnce(&mut Ui),
) -> Response {
    open_below(ui, name, shown, width, false, list)
}

/// The same. One that is `kept` open stays so while it is clicked into, until it is closed by what it draws.
fn open_below(
    ui: &mut Ui,
    name: &str,
    shown: impl Into<RichText>,
    width: f32,
    kept: bool,
    list: impl FnOnce(&mut Ui),
) -> Response {
    let shown: RichText = shown.into();
    let words = shown.text().to_owned();
    let most = (ui.ctx().content_rect().height() * 0.5).max(ui.spacing().combo_height);
    let closes =
        if kept { PopupCloseBehavior::CloseOnClickOutside } else { PopupCloseBehavior::CloseOnClick };
    let combo = ComboBox::from_id_salt(name).selected_text(shown).width(width).height(most).truncate();
    let response = combo.close_behavior(closes).show_ui(ui, list).response;
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
