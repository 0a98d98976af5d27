//! What is asked over the window: the one place where a modal is made.
//!
//! Escape closes the topmost thing only: an open list, else the modal on top, else what is being typed in, else the
//! window on top. A click beside a modal and its `Cancel` are the same wish. Where something was filled in, each of
//! them asks first.

use crate::ui::theme;
use crate::ui::widgets::pieces;
use egui::{Context, Id, Key, Modal, Modifiers, Order, Ui};

/// What became of a modal in a frame.
pub struct Asked<R> {
    /// What its content gave back.
    pub inner: R,
    /// It is to be closed, and what was filled in is to be dropped.
    pub closes: bool,
}

/// What is kept of a modal between frames.
#[derive(Clone, Copy, Default)]
struct State {
    /// The last frame in which it was drawn.
    frame: u64,
    /// Frames since it was opened.
    age: u32,
    /// Something was filled in.
    touched: bool,
    /// How large it was drawn.
    size: egui::Vec2,
}

/// The frame of everything that is asked over the window.
pub fn frame(ctx: &Context) -> egui::Frame {
    egui::Frame::popup(&ctx.global_style()).inner_margin(18)
}

fn state_id(name: &str) -> Id {
    Id::unique(("modal", name))
}

/// Begins anew a modal that may be drawn in the frame after one of the same name was done with.
pub fn begin(ctx: &Context, name: &str) {
    ctx.data_mut(|d| d.remove_temp::<State>(state_id(name)));
}

/// Notes that something was picked or ticked in the modal on top; what is typed is noticed without this.
pub fn touch(ctx: &Context) {
    ctx.data_mut(|d| d.insert_temp(Id::unique("modal_touched"), true));
}

/// Whether something is asked over the window.
pub fn is_open(ctx: &Context) -> bool {
    ctx.memory(|m| m.top_modal_layer().is_some())
}

/// Whether Ctrl and Enter were pressed for the modal that is being drawn: the same as its first button.
pub fn done(ctx: &Context) -> bool {
    ctx.data_mut(|d| d.remove_temp::<bool>(Id::unique("modal_done"))).is_some()
}

/// Where a modal stands in the window.
#[derive(Clone, Copy, PartialEq)]
pub enum At {
    /// In its middle.
    Middle,
    /// With its upper edge so many points below that of the window, however high it is.
    Below(f32),
}

/// Shows a modal of a width in the middle of the window. Where it `asks`, what was filled in is not dropped without a question.
pub fn show<R>(
    ctx: &Context,
    name: &str,
    width: f32,
    asks: bool,
    content: impl FnOnce(&mut Ui) -> R,
) -> Asked<R> {
    show_at(ctx, name, At::Middle, width, asks, content)
}

/// The same elsewhere in the window.
pub fn show_at<R>(
    ctx: &Context,
    name: &str,
    at: At,
    width: f32,
    asks: bool,
    content: impl FnOnce(&mut Ui) -> R,
) -> Asked<R> {
    let (id, frame_nr) = (state_id(name), ctx.cumulative_frame_nr());
    let known: Option<State> = ctx.data(|d| d.get_temp(id)).filter(|s: &State| s.frame + 1 >= frame_nr);
    let mut state = known.unwrap_or_default();
    if known.is_none() {
        // What had the keyboard lies behind the modal now.
        ctx.memory_mut(|m| m.stop_text_input());
    }
    state.frame = frame_nr;
    state.age += 1;
    let mut modal = Modal::new(Id::unique(name)).frame(frame(ctx));
    if let At::Below(top) = at {
        let area = Modal::default_area(Id::unique(name));
        modal = modal.area(area.anchor(egui::Align2::CENTER_TOP, egui::vec2(0.0, top)));
    }
    let asking = is_asking(ctx, name);
    let top = ctx.memory(|m| m.top_modal_layer()) == Some(modal.area.layer()) && !asking;
    let enter = top && ctx.input_mut(|i| i.consume_key(Modifiers::COMMAND, Key::Enter));
    let typing = ctx.text_edit_focused();
    ctx.data_mut(|d| {
        d.remove_temp::<bool>(Id::unique("modal_touched"));
        if enter {
            d.insert_temp(Id::unique("modal_done"), true);
        } else {
            d.remove_temp::<bool>(Id::unique("modal_done"));
        }
    });
    let modal = modal.show(ctx, |ui| {
        ui.set_width(width.min((ctx.content_rect().width() - 80.0).max(320.0)));
        content(ui)
    });
    let size = modal.response.rect.size();
    if (size - state.size).abs().max_elem() > 0.5 {
        // It stands where its size of a frame ago would be in the middle.
        ctx.request_repaint();
    }
    state.size = size;
    if top {
        let typed = ctx.input(|i| i.events.iter().any(|e| is_typing(e, typing)));
        let touched = ctx.data_mut(|d| d.remove_temp::<bool>(Id::unique("modal_touched"))).is_some();
        state.touched |= asks && (typed || touched);
        if state.age == 3 && ctx.memory(|m| m.focused().is_none()) {
            // No field asked for the keyboard, so the first button gets it.
            ctx.memory_mut(|m| m.move_focus(egui::FocusDirection::Next));
        }
    }
    let closes = may_close(ctx, name, !asking && modal.should_close(), state.touched);
    if closes {
        begin(ctx, name);
    } else {
        ctx.data_mut(|d| d.insert_temp(id, state));
    }
    Asked { inner: modal.inner, closes }
}

/// Whether an event writes into a field: with the keyboard where a field has it, or by a screen reader.
fn is_typing(event: &egui::Event, in_field: bool) -> bool {
    use egui::{Event, accesskit::Action};
    match event {
        Event::Text(_) | Event::Paste(_) | Event::Cut | Event::Ime(_) => in_field,
        Event::Key { key: Key::Backspace | Key::Delete, pressed: true, .. } => in_field,
        Event::AccessKitActionRequest(request) => {
            matches!(request.action, Action::SetValue | Action::ReplaceSelectedText)
        }
        _ => false,
    }
}

fn is_asking(ctx: &Context, name: &str) -> bool {
    ctx.data(|d| d.get_temp(state_id(name).with("asking"))).unwrap_or(false)
}

/// Whether what is wished to be closed may be: at once where nothing was filled in, else once the question about it is
/// answered so. To be called in each frame.
pub fn may_close(ctx: &Context, name: &str, wish: bool, touched: bool) -> bool {
    let answer = if is_asking(ctx, name) { drop_question(ctx, name) } else { None };
    if answer.is_some() || (wish && touched) {
        ctx.data_mut(|d| d.insert_temp(state_id(name).with("asking"), answer.is_none()));
        ctx.request_repaint();
    }
    answer.unwrap_or(wish && !touched)
}

/// Asks whether what was filled in is to be dropped; nothing until it is answered. Escape keeps it.
fn drop_question(ctx: &Context, name: &str) -> Option<bool> {
    let tokens = theme::tokens(ctx);
    let mut answer = None;
    let modal = Modal::new(state_id(name).with("drop")).frame(frame(ctx)).show(ctx, |ui| {
        ui.set_width(340.0);
        ui.label(pieces::strong("Drop what was filled in?", 18.0));
        ui.label("It has not been taken into the project yet.");
        ui.add_space(8.0);
        ui.horizontal(|ui| {
            let keep = pieces::primary_button(ui, tokens, "Keep it");
            if ctx.memory(|m| m.focused().is_none()) {
                keep.request_focus();
            }
            if keep.clicked() {
                answer = Some(false);
            }
            if ui.button("Drop it").clicked() {
                answer = Some(true);
            }
        });
    });
    answer.or(modal.should_close().then_some(false))
}

/// To be called at the end of each frame: Escape takes the keyboard from a field before anyone can see that it had it.
pub fn end_frame(ctx: &Context) {
    let typing = ctx.text_edit_focused();
    ctx.data_mut(|d| d.insert_temp(Id::unique("typing"), typing));
}

/// The window on top among those that are open by name, when Escape was pressed and nothing nearer has a use for it. To be
/// asked before anything is drawn.
pub fn escaped_window<'a>(ctx: &Context, open: &[&'a str]) -> Option<&'a str> {
    let typing = ctx.data(|d| d.get_temp(Id::unique("typing"))).unwrap_or(false);
    if typing || is_open(ctx) || egui::Popup::is_any_open(ctx) {
        return None;
    }
    let above = ctx.memory(|m| m.areas().top_layer_id(Order::Middle)).map(|layer| layer.id);
    let top = open.iter().find(|name| above == Some(Id::unique(**name))).or(open.first()).copied()?;
    ctx.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape)).then_some(top)
}

/// Whether Escape was pressed in a field, which lost the keyboard by it.
pub fn escaped_field(field: &egui::Response) -> bool {
    field.lost_focus() && field.ctx.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape))
}
