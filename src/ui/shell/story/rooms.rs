//! The money of each room as it was agreed on, and now.

use crate::engine::log::Story;
use crate::ui::format;
use crate::ui::view::View;
use crate::ui::widgets::pieces;
use egui::Ui;

/// Draws the table; rooms that moved stand first.
pub fn ui(ui: &mut Ui, view: &View<'_>, story: &Story) {
    let (tokens, currency) = (view.tokens, view.currency());
    pieces::group_title(ui, tokens, "Money by room");
    let mut rooms: Vec<_> = story.rooms.iter().collect();
    rooms.sort_by_key(|room| std::cmp::Reverse(room.money().abs()));
    egui::Grid::new("story_rooms").num_columns(4).spacing([24.0, 4.0]).striped(true).show(ui, |ui| {
        for title in ["", "agreed", "now", ""] {
            ui.with_layout(pieces::cell_layout(!title.is_empty()), |ui| pieces::muted(ui, tokens, title));
        }
        ui.end_row();
        for room in rooms {
            let name = room.room.and_then(|id| view.project.room(id)).map(|room| room.name.as_str());
            ui.label(name.unwrap_or("No room: trades, permits, extras"));
            let agreed = room.agreed.map_or("not in it".to_owned(), |m| format::money(m, currency));
            for text in [agreed, format::money(room.now, currency)] {
                ui.with_layout(pieces::cell_layout(true), |ui| ui.label(text));
            }
            let moved = room.money();
            let (words, tone) = match (moved.is_zero(), moved.is_negative()) {
                (true, _) => ("as agreed".to_owned(), tokens.muted),
                (_, true) => (format!("{} less", format::money(moved.abs(), currency)), tokens.good),
                _ => (format!("{} more", format::money(moved, currency)), tokens.late),
            };
            ui.with_layout(pieces::cell_layout(true), |ui| ui.colored_label(tone, words));
            ui.end_row();
        }
    });
}
