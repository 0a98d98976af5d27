//! Pasting rows from a spreadsheet: what will happen is shown before it does.

use super::ledger::PasteForm;
use crate::exchange::incoming::paste::{self, Does, Pasted, PastedRow};
use crate::model::words::counted;
use crate::ui::session::Session;
use crate::ui::shell::modals;
use crate::ui::theme::tokens::type_size;
use crate::ui::view::{Outbox, View};
use crate::ui::widgets::{marks, pieces};
use egui::{Context, RichText, ScrollArea, Sense, TextEdit, Ui, vec2};

/// The dialog over a text from the clipboard.
pub fn form(text: String) -> PasteForm {
    PasteForm { text, ..PasteForm::default() }
}

/// Draws the dialog; false when it is done with.
pub fn ui(ctx: &Context, view: &View<'_>, session: &Session, form: &mut PasteForm, out: &mut Outbox) -> bool {
    let mut stays = true;
    let room = session.room.and_then(|id| view.project.room(id));
    // Read again only when the text, the document or the room is another one.
    let key = (view.derived.key().0, room.map(|r| r.id));
    if form.read.as_ref().is_none_or(|(text, known, _)| *text != form.text || *known != key) {
        let read = paste::read(view.project, view.typed(), &form.text, session.room);
        form.read = Some((form.text.clone(), key, read.map(Box::new)));
        form.error = None;
    }
    let width = (ctx.content_rect().width() - 140.0).clamp(460.0, 820.0);
    let asked = modals::show(ctx, "paste", width, true, |ui| {
        let title = ui.label(pieces::strong("Paste rows", 18.0));
        let into = room.map_or("Each row says its room.".to_owned(), |r| {
            format!("Rows that say no room go to {}.", r.name)
        });
        pieces::muted(
            ui,
            view.tokens,
            format!(
                "The first line holds the headings: Selection, Room, Category, Allowance, Decide on, Choice, Supplier, Phase, Quantity, Unit, Unit price, Lead, Notes, Key. {into} An empty cell leaves things as they are."
            ),
        );
        if form.text.is_empty() || form.open {
            form.open = true;
            ScrollArea::vertical().max_height(110.0).id_salt("paste_text").show(ui, |ui| {
                let field = TextEdit::multiline(&mut form.text)
                    .desired_rows(5)
                    .desired_width(f32::INFINITY)
                    .hint_text("Paste rows here");
                ui.add(field).labelled_by(title.id);
            });
        }
        ui.add_space(4.0);
        let mut sound: Option<&Pasted> = None;
        match form.read.as_ref().map(|(_, _, read)| read) {
            Some(Ok(pasted)) if !form.text.trim().is_empty() => {
                preview(ui, view, pasted);
                sound = Some(pasted);
            }
            Some(Err(error)) if !form.text.trim().is_empty() => {
                ui.label(RichText::new(error).color(view.tokens.late));
            }
            _ => {}
        }
        if let Some(error) = &form.error {
            ui.label(RichText::new(error).color(view.tokens.late));
        }
        ui.add_space(8.0);
        let faulty = sound.map_or(0, Pasted::faulty);
        if faulty > 0 {
            ui.checkbox(
                &mut form.leave_out,
                format!("Leave out {}", counted(faulty, "row with faults", "rows with faults")),
            );
        }
        ui.horizontal(|ui| {
            let action = sound.and_then(Pasted::action).filter(|_| faulty == 0 || form.leave_out);
            let n = sound.map_or(0, |p| p.count(Does::Add) + p.count(Does::Change));
            let name = format!("Take {}", counted(n, "row", "rows"));
            let take = ui.add_enabled(action.is_some(), pieces::primary(view.tokens, &name)).clicked();
            if (take || modals::done(ctx))
                && let Some(action) = action
            {
                match view.project.apply(&action) {
                    Ok(_) => {
                        out.act(action);
                        stays = false;
                    }
                    Err(why) => form.error = Some(why.to_string()),
                }
            }
            if ui.button("Cancel").clicked() {
                ui.close();
            }
        });
    });
    stays && !asked.closes
}

fn preview(ui: &mut Ui, view: &View<'_>, pasted: &Pasted) {
    let tokens = view.tokens;
    let mut words = vec![
        format!("{} to add", pasted.count(Does::Add)),
        format!("{} to change", pasted.count(Does::Change)),
        format!("{} as they are", pasted.count(Does::Nothing)),
    ];
    if pasted.faulty() > 0 {
        words.push(format!("{} with faults", pasted.faulty()));
    }
    ui.label(pieces::strong(words.join(", "), type_size::BODY));
    if pasted.guessed {
        pieces::muted(
            ui,
            tokens,
            "The first line holds no headings, so the columns are taken for Selection, Room, Category, Allowance.",
        );
    }
    if !pasted.unknown.is_empty() {
        pieces::muted(ui, tokens, format!("Left out, not understood: {}", pasted.unknown.join(", ")));
    }
    let height = (ui.ctx().content_rect().height() - 380.0).clamp(120.0, 420.0);
    ScrollArea::vertical().max_height(height).auto_shrink([false, true]).id_salt("paste_rows").show_rows(
        ui,
        22.0,
        pasted.rows.len(),
        |ui, range| {
            for row in pasted.rows.get(range).unwrap_or(&[]) {
                line(ui, view, row);
            }
        },
    );
}

fn line(ui: &mut Ui, view: &View<'_>, row: &PastedRow) {
    let tokens = view.tokens;
    let width = ui.available_width();
    ui.allocate_ui(vec2(width, 22.0), |ui| {
        ui.horizontal_centered(|ui| {
            ui.set_width(width);
            ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Truncate);
            let (mark, _) = ui.allocate_exact_size(vec2(14.0, 14.0), Sense::hover());
            let (word, tone) = match (row.faults.is_empty(), row.does) {
                (false, _) => ("fault", tokens.late),
                (true, Does::Add) => ("add", tokens.good),
                (true, Does::Change) => ("change", tokens.accent),
                (true, Does::Nothing) => ("as it is", tokens.muted),
            };
            match (row.faults.is_empty(), row.does) {
                (false, _) => marks::triangle(ui.painter(), mark.center(), tone),
                (true, Does::Nothing) => {}
                (true, Does::Add) => marks::check(ui.painter(), mark.center(), tone),
                (true, Does::Change) => {
                    ui.painter().circle_filled(mark.center(), 4.0, tone);
                }
            }
            pieces::cell(ui, format!("line {}", row.line), tokens.muted);
            pieces::cell(ui, word, tone);
            pieces::cell_text(ui, pieces::strong(&row.name, type_size::BODY));
            let told = |list: &[(String, String)]| {
                list.iter()
                    .map(|(heading, words)| format!("{heading}: {words}"))
                    .collect::<Vec<_>>()
                    .join("; ")
            };
            let (text, tone) = if row.faults.is_empty() {
                (told(&row.changes), tokens.muted)
            } else {
                (told(&row.faults), tokens.late)
            };
            pieces::cell(ui, &text, tone).on_hover_text(&text);
        });
    });
}
