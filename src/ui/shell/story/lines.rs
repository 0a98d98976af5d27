//! The log line by line, with the cause of each, which the user can correct.

use crate::engine::Day;
use crate::engine::log::{Story, Told};
use crate::model::{Action, Cause, Subject};
use crate::ui::format;
use crate::ui::theme::tokens::type_size;
use crate::ui::view::{Outbox, View};
use crate::ui::widgets::drop_down::one_of;
use crate::ui::widgets::pieces;
use egui::{Align, Layout, RichText, ScrollArea, Ui, vec2};

/// Rows seen at once.
const SHOWN: usize = 9;

/// The height of a row, in which a list opens.
const ROW: f32 = 32.0;

/// Draws them, the latest first.
pub fn ui(ui: &mut Ui, view: &View<'_>, story: &Story, out: &mut Outbox) {
    let tokens = view.tokens;
    pieces::group_title(ui, tokens, "What moved it");
    if story.lines.is_empty() {
        pieces::muted(
            ui,
            tokens,
            "Nothing yet. Each change of the finish or the total will stand here with its cause.",
        );
        return;
    }
    let rows = story.lines.len();
    let height = ROW * rows.min(SHOWN) as f32 + 2.0;
    // Only the rows that are seen are drawn, however many there are.
    ScrollArea::vertical().id_salt("story_lines").max_height(height).auto_shrink([false, true]).show_rows(
        ui,
        ROW - ui.spacing().item_spacing.y,
        rows,
        |ui, seen| {
            for at in seen {
                if let Some(told) = story.lines.get(rows - 1 - at) {
                    line(ui, view, told, out);
                }
            }
        },
    );
}

fn line(ui: &mut Ui, view: &View<'_>, told: &Told, out: &mut Outbox) {
    let tokens = view.tokens;
    let own = &told.line;
    let width = ui.available_width();
    let height = ROW - ui.spacing().item_spacing.y;
    ui.allocate_ui_with_layout(vec2(width, height), Layout::left_to_right(Align::Center), |ui| {
        ui.spacing_mut().item_spacing.x = 8.0;
        let fixed = |ui: &mut Ui, width: f32, right: bool, content: &mut dyn FnMut(&mut Ui)| {
            ui.allocate_ui_with_layout(vec2(width, height), pieces::cell_layout(right), |ui| {
                ui.set_min_size(vec2(width, height));
                content(ui);
            });
        };
        fixed(ui, 64.0, false, &mut |ui| {
            pieces::cell(ui, format::day_short(Day::from(own.on), view.as_of()), tokens.muted);
        });
        let what = (width - 64.0 - 150.0 - 110.0 - 110.0 - 5.0 * 8.0).max(90.0);
        fixed(ui, what, false, &mut |ui| {
            let subject = (own.part.map(Subject::Part))
                .or(own.selection.map(Subject::Selection))
                .or(own.phase.map(Subject::Phase));
            let words = format!(
                "{}{}",
                own.what,
                if told.at.is_none() { ", to be noted with the next change" } else { "" }
            );
            match subject {
                Some(subject) => {
                    let text = RichText::new(&words).color(tokens.accent);
                    let link = ui.add(egui::Button::new(text).frame(false).truncate());
                    if link.on_hover_text(&words).clicked() {
                        out.show(subject);
                    }
                }
                None => drop(pieces::cell(ui, &words, tokens.text).on_hover_text(&words)),
            }
        });
        fixed(ui, 150.0, false, &mut |ui| match told.at {
            Some(at) => {
                let mut cause = own.cause;
                let name = format!("Cause of {}", own.what);
                ui.push_id(at, |ui| one_of(ui, &name, 140.0, &mut cause, Cause::ALL));
                if cause != own.cause {
                    out.act(Action::SetCause(at, cause));
                }
            }
            None => drop(pieces::cell(ui, own.cause.word(), tokens.muted)),
        });
        fixed(ui, 110.0, true, &mut |ui| {
            let (words, tone) = match (told.days, own.finish_before, own.finish_after) {
                (0, Some(_), None) => ("no finish".to_owned(), tokens.late),
                (n, ..) => {
                    let tone = if n > 0 { tokens.late } else { tokens.good };
                    (format::moved(n, "day").unwrap_or_default(), tone)
                }
            };
            pieces::cell(ui, words, tone);
        });
        fixed(ui, 110.0, true, &mut |ui| {
            let money = told.money;
            let (words, tone) = match (money.is_zero(), money.is_negative()) {
                (true, _) => (String::new(), tokens.muted),
                (_, true) => (format!("{} less", format::money(money.abs(), view.currency())), tokens.good),
                _ => (format!("{} more", format::money(money, view.currency())), tokens.late),
            };
            let text = RichText::new(words).color(tone).size(type_size::BODY);
            pieces::cell_text(ui, text);
        });
    });
}
