//! The sheet of keys.

use super::command::Command;
use super::modals;
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::{Context, Key, KeyboardShortcut, Modifiers, ScrollArea, Ui};

/// Keys that belong to a place, with what they do there.
const PLACES: [(&str, &[(&str, &str)]); 4] = [
    (
        "In the ledger of the house",
        &[
            ("next or previous row", "Down, Up"),
            ("a page of rows", "Page down, Page up"),
            ("first or last row", "Home, End"),
            ("mark a range", "Shift and an arrow, or Shift and a click"),
            ("mark one more or less", "Ctrl and a click"),
            ("mark all rows shown", "Ctrl+A"),
            ("untick", "Escape"),
            ("copy the rows ticked", "Ctrl+C"),
            ("paste rows", "Ctrl+V"),
            ("edit the name; other cells by Enter or two clicks", "F2"),
            ("next cell of the row, while editing", "Tab"),
        ],
    ),
    (
        "In Dates",
        &[
            ("wider or narrower days", "+, −, or Ctrl and the wheel"),
            ("let go of a bar without a change", "Escape"),
            ("the form of a phase", "two clicks"),
        ],
    ),
    ("With options on the card", &[("make the first to the ninth the choice", "1 to 9")]),
    (
        "Everywhere",
        &[
            ("next or previous field or button", "Tab, Shift+Tab"),
            ("next or previous zone of the window", "F6, Shift+F6"),
            ("press it", "Space or Enter"),
            ("close what lies on top", "Escape"),
        ],
    ),
];

/// Points from which commands and places stand side by side.
const BESIDE: f32 = 840.0;

/// Draws the sheet; false when it is closed.
pub fn sheet(ctx: &Context, tokens: &Tokens) -> bool {
    let height = ctx.content_rect().height() - 120.0;
    let asked = modals::show(ctx, "shortcuts", 900.0, false, |ui| {
        let keys = Command::ShowShortcuts.shortcut();
        if keys.is_some_and(|keys| ui.input_mut(|i| i.consume_shortcut(&keys))) {
            ui.close();
        }
        ui.horizontal(|ui| {
            ui.label(pieces::strong("Keyboard shortcuts", 18.0));
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                if pieces::icon_button(ui, lucide_icons::Icon::X, "Close").clicked() {
                    ui.close();
                }
            });
        });
        ScrollArea::vertical().max_height(height).min_scrolled_height(height.min(520.0)).show(ui, |ui| {
            ui.spacing_mut().interact_size.y = 16.0;
            let commands: Vec<(String, String)> = Command::all()
                .filter_map(|c| Some((c.title().to_owned(), ctx.format_shortcut(&c.shortcut()?))))
                .chain(std::iter::once((
                    "Done in a form".to_owned(),
                    ctx.format_shortcut(&KeyboardShortcut::new(Modifiers::COMMAND, Key::Enter)),
                )))
                .collect();
            let places: Vec<(&str, Vec<(String, String)>)> = PLACES
                .iter()
                .map(|(title, keys)| {
                    (*title, keys.iter().map(|(what, key)| ((*what).to_owned(), (*key).to_owned())).collect())
                })
                .collect();
            let places_ui = |ui: &mut Ui| {
                for (title, keys) in &places {
                    section(ui, tokens, title, keys);
                    ui.add_space(10.0);
                }
            };
            if ui.available_width() < BESIDE {
                section(ui, tokens, "Commands", &commands);
                ui.add_space(10.0);
                places_ui(ui);
                return;
            }
            ui.horizontal_top(|ui| {
                ui.vertical(|ui| section(ui, tokens, "Commands", &commands));
                ui.add_space(24.0);
                ui.vertical(places_ui);
            });
        });
    });
    !asked.closes
}

fn section(ui: &mut Ui, tokens: &Tokens, title: &str, keys: &[(String, String)]) {
    pieces::group_title(ui, tokens, title);
    egui::Grid::new(title.to_owned()).num_columns(2).spacing([24.0, 4.0]).show(ui, |ui| {
        for (what, key) in keys {
            ui.label(what);
            ui.label(pieces::strong(key, 12.5));
            ui.end_row();
        }
    });
}
