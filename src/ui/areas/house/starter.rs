//! Adding what a kind of room usually needs, so that nothing is forgotten.

use super::ledger::{LedgerDialog, StarterForm};
use crate::model::Money;
use crate::model::starter_catalogue::{self as catalogue, Item, KINDS};
use crate::ui::forms::fields;
use crate::ui::session::Session;
use crate::ui::shell::modals;
use crate::ui::theme::tokens::type_size;
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::pieces;
use egui::{Context, RichText, Role, ScrollArea, TextEdit, Ui, WidgetInfo, vec2};

/// Opens the dialog on the room picked, else on the first.
pub fn open(view: &View<'_>, session: &mut Session) {
    let room = session.room.and_then(|id| view.project.room(id)).or(view.project.rooms.first());
    if let Some(room) = room {
        session.ledger.dialog = Some(LedgerDialog::Starter(StarterForm {
            room: room.id,
            kind: catalogue::kind_of(&room.name),
            ticked: Default::default(),
            allowances: Default::default(),
            with_candidate: true,
            error: None,
        }));
    }
}

/// Draws the dialog; false when it is done with.
pub fn ui(ctx: &Context, view: &View<'_>, form: &mut StarterForm, out: &mut Outbox) -> bool {
    let Some(kind) = KINDS.get(form.kind) else { return false };
    let Some(home) = view.project.room(form.room) else {
        out.edit(Form::Room(None));
        return false;
    };
    let mut stays = true;
    let asked = modals::show(ctx, "starter", 560.0, true, |ui| {
        ui.label(pieces::strong("What a room usually needs", 18.0));
        pieces::muted(
            ui,
            view.tokens,
            "Tick what is missing. Names, amounts and phases can be changed afterwards.",
        );
        ui.add_space(4.0);
        let before = (form.room, form.kind);
        let rooms: Vec<_> = view.project.rooms.iter().map(|r| (r.name.clone(), r.id)).collect();
        fields::choice(ui, "Room", &mut form.room, &rooms);
        if form.room != before.0 {
            form.kind = view.project.room(form.room).map_or(form.kind, |r| catalogue::kind_of(&r.name));
        }
        let kinds: Vec<_> = KINDS.iter().enumerate().map(|(i, k)| (k.name.to_owned(), i)).collect();
        fields::choice(ui, "Kind of room", &mut form.kind, &kinds);
        if (form.room, form.kind) != before {
            form.ticked.clear();
            form.allowances.clear();
        }
        ui.add_space(4.0);
        let height = (ctx.content_rect().height() - 330.0).clamp(180.0, 520.0);
        ScrollArea::vertical().max_height(height).min_scrolled_height(height).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            for (i, item) in kind.items.iter().enumerate() {
                line(ui, view, form, i, item);
            }
        });
        ui.add_space(4.0);
        ui.checkbox(&mut form.with_candidate, "with a first candidate that has quantity and phase");
        if let Some(error) = &form.error {
            ui.label(RichText::new(error).color(view.tokens.late));
        }
        ui.add_space(6.0);
        ui.horizontal(|ui| {
            let n = form.ticked.len();
            let name = match n {
                1 => format!("Add 1 selection to {}", home.name),
                n => format!("Add {n} selections to {}", home.name),
            };
            let add = ui.add_enabled(n > 0, pieces::primary(view.tokens, &name)).clicked();
            if add || (n > 0 && modals::done(ctx)) {
                match wanted(kind.items, form) {
                    Ok(items) => {
                        let action = catalogue::add(view.project, form.room, &items, form.with_candidate);
                        if let Some(action) = action {
                            out.act(action);
                        }
                        stays = false;
                    }
                    Err(why) => form.error = Some(why),
                }
            }
            if pieces::link(ui, view.tokens, "tick all that is missing").clicked() {
                let missing = kind.items.iter().enumerate();
                form.ticked.extend(
                    missing
                        .filter(|(_, item)| !catalogue::is_there(view.project, form.room, item))
                        .map(|(i, _)| i),
                );
            }
            if ui.button("Cancel").clicked() {
                ui.close();
            }
        });
    });
    stays && !asked.closes
}

fn wanted<'a>(items: &'a [Item], form: &StarterForm) -> Result<Vec<(&'a Item, Money)>, String> {
    let mut list = Vec::new();
    for i in &form.ticked {
        if let Some(item) = items.get(*i) {
            let text = form.allowances.get(i).map_or("", String::as_str);
            list.push((item, fields::amount(&format!("Allowance of {}", item.name), text)?));
        }
    }
    Ok(list)
}

fn line(ui: &mut Ui, view: &View<'_>, form: &mut StarterForm, i: usize, item: &Item) {
    let tokens = view.tokens;
    let there = catalogue::is_there(view.project, form.room, item);
    ui.horizontal(|ui| {
        let mut on = form.ticked.contains(&i);
        let words = RichText::new(item.name).color(if there { tokens.muted } else { tokens.text });
        ui.allocate_ui(vec2(230.0, 24.0), |ui| {
            ui.set_width(230.0);
            if ui.checkbox(&mut on, words).changed() {
                if on {
                    form.ticked.insert(i);
                } else {
                    form.ticked.remove(&i);
                }
            }
        });
        ui.allocate_ui(vec2(150.0, 24.0), |ui| {
            ui.set_width(150.0);
            let note = if there { "there already".to_owned() } else { item.category.to_owned() };
            ui.label(RichText::new(note).size(type_size::SMALL).color(tokens.muted));
        });
        if on {
            let text = form.allowances.entry(i).or_default();
            let field = ui.add(TextEdit::singleline(text).desired_width(100.0).hint_text("allowance"));
            let spoken = format!("Allowance of {}", item.name);
            field.widget_info(|| WidgetInfo::labeled(Role::TextInput, true, &spoken));
        }
    });
}
