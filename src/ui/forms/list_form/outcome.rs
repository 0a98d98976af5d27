//! What the list would do: changes with a tick each, bad rows, rows that belong to no part, and remarks.

use super::choices::pick;
use super::{ListForm, Seen, Tab};
use crate::exchange::incoming::Change;
use crate::exchange::notice::Notice;
use crate::exchange::outgoing::print::words::with_days;
use crate::model::{MapField, MapInto, PartId, Project};
use crate::ui::theme::Tokens;
use crate::ui::theme::tokens::type_size;
use crate::ui::widgets::drop_down::one_of;
use crate::ui::widgets::{marks, pieces};
use egui::{Layout, RichText, ScrollArea, Ui, vec2};
use egui_extras::{Column, TableBuilder};

/// Most parts offered to give a row to.
const MOST_PARTS: usize = 2_000;

/// What the user did in a frame.
enum Did {
    Tick(PartId, crate::exchange::incoming::ChangeOf, bool),
    TickAll(bool),
    Add(usize, bool),
    Give(usize, Option<PartId>),
}

impl ListForm {
    pub(super) fn outcome(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens, height: f32) {
        let Some(seen) = self.seen.take() else { return };
        let prices = self.fields.setup.into == MapInto::Prices;
        let bad = seen.reading.bad.len() + seen.list.bad.len() + seen.plan.bad.len();
        let remarks = seen.reading.remarks.len() + seen.plan.there.len();
        let given = self.fields.by_hand.len();
        ui.horizontal_wrapped(|ui| {
            let does = if prices {
                format!("Changes {}", seen.list.changes.len())
            } else {
                format!("To add {}", seen.plan.adds.len())
            };
            let mut tabs = vec![(Tab::Does, does), (Tab::Bad, format!("Faults {bad}"))];
            if prices {
                tabs.push((
                    Tab::Unmatched,
                    format!("Not in the project {}", seen.list.unmatched.len() + given),
                ));
            }
            tabs.push((Tab::Remarks, format!("Remarks {remarks}")));
            for (tab, text) in tabs {
                ui.selectable_value(&mut self.tab, tab, text);
            }
            if prices {
                let found = crate::model::words::counted(seen.list.matched, "part found", "parts found");
                pieces::muted(ui, tokens, found);
            }
        });
        if self.tab == Tab::Unmatched && !prices {
            self.tab = Tab::Does;
        }
        let mut did: Vec<Did> = Vec::new();
        let height = (height - 40.0).max(70.0);
        ui.allocate_ui(vec2(ui.available_width(), height), |ui| {
            ui.set_min_height(height);
            match self.tab {
                Tab::Does if prices => self.changes(ui, tokens, &seen, height, &mut did),
                Tab::Does => self.adds(ui, tokens, &seen, height),
                Tab::Bad => {
                    let all: Vec<&Notice> =
                        seen.reading.bad.iter().chain(&seen.list.bad).chain(&seen.plan.bad).collect();
                    notices(ui, tokens, &all, true, height, "Every row can be read.");
                }
                Tab::Unmatched => self.unmatched(ui, project, tokens, &seen, height, &mut did),
                Tab::Remarks => {
                    let all: Vec<&Notice> = seen.reading.remarks.iter().chain(&seen.plan.there).collect();
                    notices(ui, tokens, &all, false, height, "Nothing worth a remark.");
                }
            }
        });
        for done in did {
            match done {
                Did::Tick(part, of, on) => {
                    self.ticks.insert((part, of), on);
                }
                Did::TickAll(on) => {
                    for change in &seen.list.changes {
                        self.ticks.insert((change.part, change.of), on);
                    }
                }
                Did::Add(row, true) => {
                    self.add_rows.insert(row);
                }
                Did::Add(row, false) => {
                    self.add_rows.remove(&row);
                }
                Did::Give(row, Some(part)) => {
                    self.fields.by_hand.insert(row, part);
                    self.add_rows.remove(&row);
                }
                Did::Give(row, None) => {
                    self.fields.by_hand.remove(&row);
                }
            }
        }
        self.seen = Some(seen);
    }

    fn changes(&self, ui: &mut Ui, tokens: &Tokens, seen: &Seen, height: f32, did: &mut Vec<Did>) {
        if seen.list.changes.is_empty() {
            let text = if seen.list.matched > 0 {
                "All parts that were found are as the list says."
            } else {
                "No row belongs to a part yet. A column with keys or article numbers finds them; or give rows to parts under \u{201c}Not in the project\u{201d}."
            };
            ui.label(text);
            return;
        }
        ui.horizontal_wrapped(|ui| {
            if pieces::small_button(ui, "Tick all").clicked() {
                did.push(Did::TickAll(true));
            }
            if pieces::small_button(ui, "Tick none").clicked() {
                did.push(Did::TickAll(false));
            }
            let doubts = seen.list.changes.iter().filter(|c| c.doubt.is_some()).count();
            if doubts > 0 {
                let words = crate::model::words::counted(doubts, "change is", "changes are");
                ui.label(
                    RichText::new(format!("? {words} to check; not ticked for you.")).color(tokens.soon),
                );
            }
        });
        let width = ui.available_width();
        let value = (width * 0.15).clamp(96.0, 190.0);
        TableBuilder::new(ui)
            .id_salt("list_changes")
            .striped(true)
            .auto_shrink([false, false])
            .min_scrolled_height((height - 56.0).max(44.0))
            .max_scroll_height((height - 56.0).max(44.0))
            .cell_layout(Layout::left_to_right(egui::Align::Center))
            .column(Column::exact(22.0))
            .column(Column::remainder().at_least(120.0).clip(true))
            .column(Column::exact(104.0).clip(true))
            .column(Column::exact(value).clip(true))
            .column(Column::exact(value).clip(true))
            .column(Column::exact((width * 0.26).clamp(150.0, 340.0)).clip(true))
            .header(22.0, |mut row| {
                for title in ["", "Part", "What", "Is", "Becomes", "Look at"] {
                    row.col(|ui| {
                        pieces::group_title(ui, tokens, title);
                    });
                }
            })
            .body(|body| {
                body.rows(24.0, seen.list.changes.len(), |mut row| {
                    if let Some(change) = seen.list.changes.get(row.index()) {
                        self.change(&mut row, tokens, change, did);
                    }
                });
            });
    }

    fn change(
        &self,
        row: &mut egui_extras::TableRow<'_, '_>,
        tokens: &Tokens,
        change: &Change,
        did: &mut Vec<Did>,
    ) {
        let Change { part, name, of, row: number, .. } = change;
        let [old, new] = [&change.old, &change.new].map(|value| with_days(value));
        let mut ticked = self.is_ticked(change);
        let spoken = format!("{name}, {} from {old} to {new}", of.names().0);
        row.col(|ui| {
            let tick = ui.checkbox(&mut ticked, "");
            tick.widget_info(|| egui::WidgetInfo::selected(egui::Role::CheckBox, true, ticked, &spoken));
            if tick.changed() {
                did.push(Did::Tick(*part, *of, ticked));
            }
        });
        let tone = if ticked { tokens.text } else { tokens.muted };
        row.col(|ui| {
            pieces::cell(ui, name, tone).on_hover_text(format!("{name}\nrow {number} of the list"));
        });
        row.col(|ui| {
            pieces::cell(ui, of.names().0, tone);
        });
        row.col(|ui| {
            pieces::cell(ui, &old, tokens.muted).on_hover_text(&old);
        });
        row.col(|ui| {
            let text = RichText::new(&new).color(tone);
            let text = if ticked { text.font(crate::ui::theme::strong(type_size::BODY)) } else { text };
            pieces::cell_text(ui, text).on_hover_text(&new);
        });
        row.col(|ui| {
            if let Some(doubt) = change.doubt.as_deref().map(with_days) {
                pieces::cell(ui, format!("? {doubt}"), tokens.soon).on_hover_text(&doubt);
            }
        });
    }

    fn adds(&mut self, ui: &mut Ui, tokens: &Tokens, seen: &Seen, height: f32) {
        let names = |set: &std::collections::BTreeSet<String>| {
            let mut text = set.iter().take(4).cloned().collect::<Vec<_>>().join(", ");
            if set.len() > 4 {
                text.push_str(&format!(" and {} more", set.len() - 4));
            }
            text
        };
        ui.horizontal_wrapped(|ui| {
            let may = &mut self.fields.may;
            if !seen.plan.unknown_rooms.is_empty() || may.rooms {
                ui.checkbox(
                    &mut may.rooms,
                    format!("Make missing rooms: {}", names(&seen.plan.unknown_rooms)),
                );
            }
            if !seen.plan.unknown_suppliers.is_empty() || may.suppliers {
                let text = format!("Make missing suppliers: {}", names(&seen.plan.unknown_suppliers));
                ui.checkbox(&mut may.suppliers, text);
            }
            ui.checkbox(&mut may.fill_down, "A row without a room belongs to the room above");
        });
        if seen.plan.adds.is_empty() {
            ui.label(if seen.bad_rows.is_empty() {
                "Nothing to add. A column has to hold the selection, and one its room."
            } else {
                "Nothing to add yet: what is wrong with the rows stands under Faults."
            });
            return;
        }
        let adds = &seen.plan.adds;
        ScrollArea::vertical()
            .id_salt("list_adds")
            .auto_shrink([false, false])
            .max_height((height - 34.0).max(44.0))
            .show_rows(ui, 20.0, adds.len(), |ui, range| {
                for (row, words) in adds.get(range).unwrap_or(&[]) {
                    pieces::cell(ui, format!("row {row}: {words}"), tokens.text);
                }
            });
    }

    fn unmatched(
        &mut self,
        ui: &mut Ui,
        project: &Project,
        tokens: &Tokens,
        seen: &Seen,
        height: f32,
        did: &mut Vec<Did>,
    ) {
        ui.horizontal_wrapped(|ui| {
            ui.checkbox(&mut self.fields.by_name, "Find parts by name too");
            let mut selections = vec![("nowhere".to_owned(), None)];
            selections.extend(project.selections.iter().take(MOST_PARTS).map(|s| {
                let room = project.room(s.room).map_or("", |r| r.name.as_str());
                (format!("{room}: {}", s.name), Some(s.id))
            }));
            pick(ui, "Add ticked rows as options of", 240.0, &mut self.add_to, &selections);
        });
        let rows: Vec<&crate::exchange::incoming::ListRow> = seen
            .reading
            .rows
            .iter()
            .enumerate()
            .filter(|(at, r)| {
                seen.list.unmatched.binary_search(at).is_ok() || self.fields.by_hand.contains_key(&r.number)
            })
            .map(|(_, r)| r)
            .collect();
        if rows.is_empty() {
            ui.label("Every row belongs to a part of the project.");
            return;
        }
        let own =
            |p: &crate::model::Part| self.fields.supplier.is_none() || p.supplier == self.fields.supplier;
        let parts: Vec<(String, PartId)> = project
            .all_parts()
            .filter(|(_, _, p)| own(p))
            .take(MOST_PARTS)
            .map(|(s, o, p)| (format!("{}: {}, {}", s.name, o.name, p.name), p.id))
            .collect();
        TableBuilder::new(ui)
            .id_salt("list_unmatched")
            .striped(true)
            .auto_shrink([false, false])
            .min_scrolled_height((height - 62.0).max(44.0))
            .max_scroll_height((height - 62.0).max(44.0))
            .cell_layout(Layout::left_to_right(egui::Align::Center))
            .column(Column::exact(22.0))
            .column(Column::exact(60.0))
            .column(Column::exact(110.0).clip(true))
            .column(Column::remainder().at_least(120.0).clip(true))
            .column(Column::exact(290.0).clip(true))
            .header(22.0, |mut row| {
                for title in ["", "Row", "Article", "Name", "Belongs to"] {
                    row.col(|ui| {
                        pieces::group_title(ui, tokens, title);
                    });
                }
            })
            .body(|body| {
                body.rows(26.0, rows.len(), |mut table_row| {
                    let Some(row) = rows.get(table_row.index()) else { return };
                    let given = self.fields.by_hand.get(&row.number).copied();
                    table_row.col(|ui| {
                        let mut on = self.add_rows.contains(&row.number) && given.is_none();
                        let spoken = format!("Add {} of row {}", row.called(), row.number);
                        let tick = ui.add_enabled(given.is_none(), egui::Checkbox::without_text(&mut on));
                        tick.widget_info(|| {
                            egui::WidgetInfo::selected(egui::Role::CheckBox, given.is_none(), on, &spoken)
                        });
                        if tick.changed() {
                            did.push(Did::Add(row.number, on));
                        }
                    });
                    table_row.col(|ui| {
                        pieces::muted(ui, tokens, row.number.to_string());
                    });
                    table_row.col(|ui| {
                        pieces::cell(ui, row.text(MapField::Article), tokens.text);
                    });
                    table_row.col(|ui| {
                        pieces::cell(ui, row.called(), tokens.text).on_hover_text(row.called());
                    });
                    table_row.col(|ui| {
                        let mut picked = given;
                        let all = parts.iter().map(|(name, id)| (name.as_str(), Some(*id)));
                        let all = std::iter::once(("no part of the project", None)).chain(all);
                        one_of(ui, &format!("Part of row {}", row.number), 280.0, &mut picked, all);
                        if picked != given {
                            did.push(Did::Give(row.number, picked));
                        }
                    });
                });
            });
    }
}

fn notices(ui: &mut Ui, tokens: &Tokens, all: &[&Notice], bad: bool, height: f32, none: &str) {
    if all.is_empty() {
        ui.label(none);
        return;
    }
    ScrollArea::vertical()
        .id_salt(("list_notices", bad))
        .auto_shrink([false, false])
        .max_height(height - 8.0)
        .show_rows(ui, 22.0, all.len(), |ui, range| {
            for notice in all.get(range).unwrap_or(&[]) {
                ui.horizontal(|ui| {
                    let (mark, _) = ui.allocate_exact_size(vec2(14.0, 14.0), egui::Sense::hover());
                    if bad {
                        marks::triangle(ui.painter(), mark.center(), tokens.late);
                    }
                    let row = notice.row.map_or(String::new(), |row| format!("row {row}"));
                    let column = notice.column.as_ref().map_or(String::new(), |c| format!(", {c}"));
                    let text = format!("{row}{column}: {}", notice.message);
                    let text = text.trim_start_matches(", ");
                    pieces::cell(ui, text, tokens.text).on_hover_text(text);
                });
            }
        });
}
