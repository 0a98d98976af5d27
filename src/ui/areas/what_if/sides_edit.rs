//! Making alternatives: keeping what is chosen, naming, taking options in and out, making one, forgetting it.

use super::state::SidesPage;
use crate::engine::alternatives::{Side, adopt};
use crate::model::ids::key_from_name;
use crate::model::{Action, Alternative, AlternativeId, OptionId, Project};
use crate::ui::theme::tokens::type_size;
use crate::ui::view::{Outbox, Request, View};
use crate::ui::widgets::{drop_down, pieces};
use egui::{Key, RichText, Role, TextEdit, Ui, WidgetInfo};

/// The action that keeps options under a name.
pub fn keep(project: &Project, name: &str, options: Vec<OptionId>) -> Action {
    let key = key_from_name(name, project.alternatives.iter().map(|a| a.key.as_str()));
    let id = AlternativeId(project.next_id);
    Action::PutAlternative(Alternative { key, name: name.to_owned(), options, ..Alternative::new(id) })
}

/// A name that no alternative has.
pub fn free_name(project: &Project, wanted: &str) -> String {
    let taken = |name: &str| project.alternatives.iter().any(|a| a.name == name);
    let more = (2..).map(|n| format!("{wanted} {n}"));
    std::iter::once(wanted.to_owned()).chain(more).find(|name| !taken(name)).unwrap_or_default()
}

/// The field of a new name with its button.
pub fn tools(ui: &mut Ui, view: &View<'_>, page: &mut SidesPage, out: &mut Outbox) {
    ui.horizontal_wrapped(|ui| {
        ui.label("Keep what is chosen now as");
        let field = ui.add(TextEdit::singleline(&mut page.name).desired_width(190.0).hint_text("a name"));
        field.widget_info(|| {
            let mut info = WidgetInfo::labeled(Role::TextInput, true, "Name of the alternative");
            info.current_text_value = Some(page.name.clone());
            info
        });
        let entered = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
        let named = !page.name.trim().is_empty();
        let keep_it = ui.add_enabled(named, egui::Button::new("Keep it"));
        if (keep_it.clicked() || entered) && named {
            let name = free_name(view.project, page.name.trim());
            out.act(keep(view.project, &name, view.project.chosen_now()));
            page.name.clear();
        }
    });
}

/// The head of a column: its name, and what can be done with it.
pub fn head(
    ui: &mut Ui,
    view: &View<'_>,
    page: &mut SidesPage,
    alternative: &Alternative,
    side: &Side,
    out: &mut Outbox,
) {
    let tokens = view.tokens;
    name(ui, page, alternative, out);
    ui.horizontal(|ui| {
        let words = format!("Choose as in {}", alternative.name);
        let button = ui.add_enabled(!side.changes.is_empty(), pieces::primary(tokens, "Choose these"));
        button.widget_info(|| WidgetInfo::labeled(Role::Button, !side.changes.is_empty(), &words));
        if button.on_hover_text("One step, which undo takes back as a whole").clicked() {
            match adopt(view.project, view.figures, alternative) {
                (Some(action), _) => out.act(action),
                (None, _) => out.push(Request::Refuse("None of it can be chosen.".to_owned())),
            }
        }
        let text = RichText::new("\u{2026}").size(type_size::BODY);
        let menu = ui.menu_button(text, |ui| entries(ui, view, alternative, out));
        menu.response.widget_info(|| {
            WidgetInfo::labeled(Role::Button, true, format!("More about {}", alternative.name))
        });
    });
    if side.changes.is_empty() && side.refused.is_empty() {
        pieces::muted(ui, tokens, "All of it is chosen now");
    }
    other(ui, view, alternative, out);
}

/// The name as a field; what is typed is taken when the field is left.
fn name(ui: &mut Ui, page: &mut SidesPage, alternative: &Alternative, out: &mut Outbox) {
    let own = page.naming.as_ref().filter(|(id, _)| *id == alternative.id);
    let mut text = own.map_or_else(|| alternative.name.clone(), |(_, text)| text.clone());
    let font = crate::ui::theme::strong(16.0);
    let field = ui.add(
        TextEdit::singleline(&mut text).font(font).frame(egui::Frame::NONE).desired_width(f32::INFINITY),
    );
    field.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::TextInput, true, format!("Name of {}", alternative.name));
        info.current_text_value = Some(text.clone());
        info
    });
    if field.changed() {
        page.naming = Some((alternative.id, text.clone()));
    }
    if field.lost_focus() {
        page.naming = None;
        let typed = text.trim();
        let escaped = ui.input(|i| i.key_pressed(Key::Escape));
        if !escaped && !typed.is_empty() && typed != alternative.name {
            out.act(Action::PutAlternative(Alternative { name: typed.to_owned(), ..alternative.clone() }));
        }
    }
}

fn entries(ui: &mut Ui, view: &View<'_>, alternative: &Alternative, out: &mut Outbox) {
    if ui.button("Set to what is chosen now").clicked() {
        let options = view.project.chosen_now();
        out.act(Action::PutAlternative(Alternative { options, ..alternative.clone() }));
    }
    if ui.button("Forget it").clicked() {
        out.act(Action::RemoveAlternative(alternative.id));
    }
}

/// Takes another option in: a list of selections, and below each its options.
fn other(ui: &mut Ui, view: &View<'_>, alternative: &Alternative, out: &mut Outbox) {
    let name = format!("Another choice in {}", alternative.name);
    ui.push_id(alternative.id, |ui| {
        drop_down::drop_down(ui, &name, "change a choice\u{2026}", 150.0, |ui| {
            for selection in view.project.selections.iter().filter(|s| s.options.len() > 1) {
                pieces::group_title(ui, view.tokens, &selection.name);
                for option in &selection.options {
                    let mut taken = alternative.options.contains(&option.id);
                    let tick = ui.checkbox(&mut taken, &option.name);
                    if tick.changed() {
                        let mut next = alternative.clone();
                        if taken {
                            next.take(view.project, option.id);
                        } else {
                            next.options.retain(|id| *id != option.id);
                        }
                        out.act(Action::PutAlternative(next));
                    }
                }
            }
        });
    });
}
