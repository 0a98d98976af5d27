//! What an option looks like on its card: picture, finish swatch, notes and its page on the web.

use crate::model::{Action, OptionId, Rgb, Selection, SelectionOption};
use crate::ui::pictures::{self, Beside, Pictured, Shown};
use crate::ui::session::Session;
use crate::ui::theme::{self, Tokens, tokens::type_size};
use crate::ui::view::{Outbox, Request, View};
use crate::ui::widgets::{drawn, pieces};
use egui::{
    Color32, Popup, PopupCloseBehavior, Pos2, Rect, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo,
    vec2,
};

/// Points of the picture on a card.
const SIDE: f32 = 68.0;

/// Draws picture and swatch before the name of an option; a drawing where it has no picture.
pub fn ui(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    selection: &Selection,
    option: &SelectionOption,
    out: &mut Outbox,
) {
    if option.picture.is_empty() {
        let rect = drawn::ui(ui, view, selection, option, SIDE);
        corner_swatch(ui, view, option, rect, out);
        return;
    }
    let tokens = view.tokens;
    let (rect, response) = ui.allocate_exact_size(Vec2::splat(SIDE), Sense::click());
    let name = format!("Picture of {}", option.name);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    let frame = Stroke::new(1.0, if response.has_focus() { tokens.accent } else { tokens.line });
    match session.pictures.get(ui.ctx(), &option.picture) {
        Shown::Ready(texture) => {
            drawn::paint_filling(ui, &texture, rect);
            ui.painter().rect_stroke(rect, 5.0, frame, StrokeKind::Inside);
            let response = response.on_hover_text("Click to look at it larger");
            if response.clicked() {
                session.enlarged = Some(Pictured::Option(option.id));
            }
        }
        other => {
            ui.painter().rect(rect, 5.0, tokens.strip, frame, StrokeKind::Inside);
            let words = match &other {
                Shown::Reading => "reading\u{2026}".to_owned(),
                Shown::NoFolder => "save the project first".to_owned(),
                Shown::Fault(why) => format!("picture {why}"),
                Shown::Ready(_) => String::new(),
            };
            let font = theme::regular(type_size::SMALL);
            let galley = ui.painter().layout(words, font, tokens.muted, SIDE - 8.0);
            let at = rect.center() - galley.size() / 2.0;
            ui.painter_at(rect.shrink(2.0)).galley(at, galley, tokens.muted);
            if let Shown::Fault(why) = other {
                let text =
                    format!("{}: {why}. Looked for from the folder of the project file.", option.picture);
                let response = response.on_hover_text(text);
                if response.clicked() {
                    session.pictures.forget();
                }
            }
        }
    }
    corner_swatch(ui, view, option, rect, out);
}

/// The swatch of an option, in the corner of what is seen of it.
fn corner_swatch(ui: &Ui, view: &View<'_>, option: &SelectionOption, rect: Rect, out: &mut Outbox) {
    if !option.finish.is_empty() || known_color(view, option).is_some() {
        let at = rect.right_bottom() - vec2(7.0, 7.0);
        let spot = Rect::from_center_size(at, Vec2::splat(24.0));
        let id = ui.scope_id().with("swatch");
        let response = ui.interact(spot, id, swatch_sense(option));
        swatch(ui, view, option, at, 8.0, response, out);
    }
}

/// A finish in words can be given a color.
fn swatch_sense(option: &SelectionOption) -> Sense {
    if option.finish.trim().is_empty() { Sense::hover() } else { Sense::click() }
}

fn known_color(view: &View<'_>, option: &SelectionOption) -> Option<Color32> {
    view.project.colors_of(option).0.map(theme::tokens::picked_color)
}

/// The color of the finish; a click lets the user pick another for this finish everywhere in the project.
fn swatch(
    ui: &Ui,
    view: &View<'_>,
    option: &SelectionOption,
    center: Pos2,
    radius: f32,
    response: egui::Response,
    out: &mut Outbox,
) {
    let tokens = view.tokens;
    let color = known_color(view, option);
    let lit = response.hovered() && response.sense.senses_click() || response.has_focus();
    let stroke = Stroke::new(if lit { 2.0 } else { 1.0 }, if lit { tokens.accent } else { tokens.muted });
    ui.painter().circle(center, radius, color.unwrap_or(tokens.card), stroke);
    if !response.sense.senses_click() {
        return;
    }
    let finish = option.finish.trim().to_owned();
    let name = format!("Color of {finish}");
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    let response = response.on_hover_text(format!("{finish}: click to pick its color"));
    let id = response.id.with("picked");
    if response.clicked() {
        ui.data_mut(|d| d.insert_temp(id, color.unwrap_or(tokens.muted)));
    }
    let popup = Popup::from_toggle_button_response(&response);
    popup.close_behavior(PopupCloseBehavior::CloseOnClickOutside).show(|ui| {
        let mut picked = ui.data(|d| d.get_temp::<Color32>(id)).unwrap_or(tokens.muted);
        ui.set_width(230.0);
        ui.add(egui::Label::new(pieces::strong(&finish, type_size::BODY)).truncate());
        pieces::muted(ui, tokens, "for every option of this finish");
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(3.0, 3.0);
            ui.spacing_mut().interact_size.y = 24.0;
            for (word, color) in theme::tokens::finish_words() {
                let (rect, dot) = ui.allocate_exact_size(Vec2::splat(24.0), Sense::click());
                dot.widget_info(|| WidgetInfo::labeled(Role::Button, true, word));
                let lit = dot.hovered() || dot.has_focus();
                let stroke =
                    if lit { Stroke::new(2.0, tokens.accent) } else { Stroke::new(1.0, tokens.line) };
                ui.painter().rect(rect, 3.0, color, stroke, StrokeKind::Inside);
                if dot.on_hover_text(word).clicked() {
                    picked = color;
                }
            }
        });
        let [mut red, mut green, mut blue, _] = picked.to_array();
        for (name, value) in [("Red", &mut red), ("Green", &mut green), ("Blue", &mut blue)] {
            ui.add(egui::Slider::new(value, 0..=255).text(name));
        }
        picked = theme::tokens::picked_color(Rgb(red, green, blue));
        let (preview, _) = ui.allocate_exact_size(vec2(ui.available_width(), 20.0), Sense::hover());
        ui.painter().rect(preview, 4.0, picked, Stroke::new(1.0, tokens.line), StrokeKind::Inside);
        // The field shows what is picked with the pointer, and takes what is typed.
        let field = id.with("digits");
        let shown = Rgb(picked.r(), picked.g(), picked.b()).to_string();
        let mut text = ui.data(|d| d.get_temp::<String>(field)).unwrap_or_else(|| shown.clone());
        let edit = ui.add(egui::TextEdit::singleline(&mut text).desired_width(90.0));
        edit.widget_info(|| WidgetInfo::labeled(Role::TextInput, true, "Color in digits"));
        if edit.changed() {
            if let Ok(color) = text.parse::<Rgb>() {
                picked = theme::tokens::picked_color(color);
            }
        } else if !edit.has_focus() {
            text = shown;
        }
        ui.data_mut(|d| {
            d.insert_temp(field, text);
            d.insert_temp(id, picked);
        });
        ui.horizontal(|ui| {
            if pieces::primary_button(ui, tokens, "Use this color").clicked() {
                let color = Rgb(picked.r(), picked.g(), picked.b());
                out.act(Action::SetFinishColor(finish.clone(), Some(color)));
                ui.close();
            }
            let own = view.project.finish_color(&finish).is_some();
            if own && ui.button("Forget it").clicked() {
                out.act(Action::SetFinishColor(finish.clone(), None));
                ui.close();
            }
        });
    });
}

/// Notes and the page on the web, under the name.
pub fn notes(ui: &mut Ui, view: &View<'_>, option: &SelectionOption, out: &mut Outbox) {
    if !option.notes.is_empty() {
        ui.add(egui::Label::new(egui::RichText::new(&option.notes).size(type_size::SMALL)).wrap());
    }
    if option.link.is_empty() {
        return;
    }
    let link = pieces::link(ui, view.tokens, host(&option.link));
    let name = format!("Web page of {}", option.name);
    link.widget_info(|| WidgetInfo::labeled(Role::Link, true, &name));
    if link.on_hover_text(format!("Opens {} in the browser", option.link)).clicked() {
        out.push(Request::OpenPage(option.link.clone()));
    }
}

/// Whose page it is.
fn host(link: &str) -> &str {
    let rest = link.split_once("://").map_or(link, |(_, rest)| rest);
    rest.split(['/', '?', '#']).next().unwrap_or(rest)
}

/// What can be done with the picture, in the menu of an option.
pub fn menu(ui: &mut Ui, option: &SelectionOption, out: &mut Outbox) {
    let add = if option.picture.is_empty() { "Add a picture\u{2026}" } else { "Another picture\u{2026}" };
    let hint = "A PNG or JPEG file, which can also be dropped on the card; it is copied beside the project";
    if ui.button(add).on_hover_text(hint).clicked() {
        out.push(Request::PickFile(Beside::Picture(Pictured::Option(option.id))));
    }
    if !option.picture.is_empty() {
        let remove = ui.button("Remove the picture");
        if remove.on_hover_text("The file stays in its folder, so that undo can bring it back").clicked() {
            out.act(Action::SetPicture(option.id, String::new()));
        }
    }
}

/// Takes a picture that is dropped on the window, until it is known which option it belongs to.
pub fn dropped(ui: &Ui, session: &mut Session) {
    let path = ui.input(|i| {
        let mut paths = i.raw.dropped_files.iter().map(|f| f.path().to_owned());
        paths.find(|path| pictures::is_picture(path))
    });
    session.dropped = path.or(session.dropped.take());
}

/// The option under the pointer gets what was dropped.
pub fn dropped_on(ui: &Ui, session: &mut Session, option: OptionId, rect: Rect, out: &mut Outbox) {
    let (fresh, over) = ui.input(|i| {
        (!i.raw.dropped_files.is_empty(), i.pointer.latest_pos().is_some_and(|p| rect.contains(p)))
    });
    if let Some(path) = session.dropped.take_if(|_| fresh && over) {
        out.push(Request::TakeFile(Beside::Picture(Pictured::Option(option)), path));
    }
}

/// Asks which option a dropped picture belongs to: not every system says where it was dropped.
pub fn ask(ui: &mut Ui, view: &View<'_>, session: &mut Session, selection: &Selection, out: &mut Outbox) {
    let Some(path) = session.dropped.clone() else { return };
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let mut done = false;
    egui::Frame::new().fill(view.tokens.picked).corner_radius(6).inner_margin(8).show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.add(egui::Label::new(format!("{name} is a picture of")).wrap());
        ui.horizontal_wrapped(|ui| {
            for option in &selection.options {
                if ui.button(&option.name).clicked() {
                    out.push(Request::TakeFile(Beside::Picture(Pictured::Option(option.id)), path.clone()));
                    done = true;
                }
            }
            done |= pieces::link(ui, view.tokens, "none of these").clicked();
        });
    });
    if done {
        session.dropped = None;
    }
}

/// Shows where a picture may be dropped, while one is dragged over the window.
pub fn drop_frame(ui: &Ui, tokens: &Tokens, rect: Rect) {
    if ui.input(|i| !i.raw.hovered_files.is_empty()) {
        let inner = rect.shrink(2.0);
        let corners = [inner.left_top(), inner.right_top(), inner.right_bottom(), inner.left_bottom()];
        let around = [corners[0], corners[1], corners[2], corners[3], corners[0]];
        let dashes = egui::Shape::dashed_line(&around, Stroke::new(2.0, tokens.accent), 6.0, 4.0);
        ui.painter().extend(dashes);
    }
}
