//! The list as it stands, with a choice over each column of what it holds.

use super::ListForm;
use crate::exchange::incoming::RawCell;
use crate::model::MapField;
use crate::ui::theme::Tokens;
use crate::ui::widgets::drop_down::drop_down;
use crate::ui::widgets::{marks, pieces};
use egui::{Layout, RichText, ScrollArea, Ui, vec2};
use egui_extras::{Column, TableBuilder};

const WIDTH: f32 = 148.0;

impl ListForm {
    pub(super) fn preview(&mut self, ui: &mut Ui, tokens: &Tokens, height: f32) {
        let Some(seen) = &self.seen else { return };
        let Some(grid) = self.book.grids.get(self.fields.sheet) else { return };
        let headings = &seen.headings;
        let header = self.fields.setup.header.unwrap_or(0);
        let first = grid.rows.iter().position(|r| r.number > header).unwrap_or(grid.rows.len());
        let rows = &grid.rows[first..];
        let fields: Vec<MapField> = MapField::of(self.fields.setup.into).collect();
        let mut changed: Option<(usize, Option<MapField>)> = None;
        ScrollArea::horizontal().id_salt("list_preview").auto_shrink([false, true]).show(ui, |ui| {
            ui.spacing_mut().item_spacing.x = 6.0;
            TableBuilder::new(ui)
                .id_salt(("list_table", self.fields.sheet))
                .striped(true)
                .vscroll(true)
                .auto_shrink([false, true])
                .min_scrolled_height((height - 64.0).max(60.0))
                .max_scroll_height((height - 64.0).max(60.0))
                .cell_layout(Layout::left_to_right(egui::Align::Center))
                .column(Column::exact(52.0))
                .columns(Column::exact(WIDTH).clip(true), grid.width)
                .header(54.0, |mut row| {
                    row.col(|ui| {
                        ui.with_layout(Layout::bottom_up(egui::Align::Min), |ui| {
                            pieces::muted(ui, tokens, "row")
                        });
                    });
                    for (column, heading) in headings.iter().enumerate() {
                        row.col(|ui| {
                            ui.vertical(|ui| {
                                ui.spacing_mut().item_spacing.y = 2.0;
                                ui.add(egui::Label::new(pieces::strong(heading, 13.0)).truncate())
                                    .on_hover_text(heading);
                                let held = self.fields.setup.fields.get(column).copied().flatten();
                                let mut picked = held;
                                let text = held.map_or("left out", MapField::title);
                                let text = if held.is_some() {
                                    RichText::new(text)
                                } else {
                                    RichText::new(text).color(tokens.muted)
                                };
                                let name = format!("What {heading} holds");
                                ui.push_id(("list_column", column), |ui| {
                                    drop_down(ui, &name, text, WIDTH - 8.0, |ui| {
                                        ui.selectable_value(&mut picked, None, "left out");
                                        for field in &fields {
                                            ui.selectable_value(&mut picked, Some(*field), field.title());
                                        }
                                    });
                                });
                                if picked != held {
                                    changed = Some((column, picked));
                                }
                            });
                        });
                    }
                })
                .body(|body| {
                    body.rows(22.0, rows.len(), |mut row| {
                        let Some(line) = rows.get(row.index()) else { return };
                        let bad = seen.bad_rows.contains(&line.number);
                        row.col(|ui| {
                            ui.spacing_mut().item_spacing.x = 3.0;
                            let (mark, response) =
                                ui.allocate_exact_size(vec2(12.0, 18.0), egui::Sense::hover());
                            if bad {
                                marks::triangle(ui.painter(), mark.center(), tokens.late);
                                response.on_hover_text("A bad row; why stands below");
                            }
                            pieces::muted(ui, tokens, line.number.to_string());
                        });
                        for (column, heading) in headings.iter().enumerate() {
                            row.col(|ui| {
                                let cell = line.cell(column);
                                let read = self.fields.setup.fields.get(column).copied().flatten().is_some();
                                let fault =
                                    bad.then(|| seen.faults.get(&(line.number, heading.clone()))).flatten();
                                let color = match (fault, read) {
                                    (Some(_), _) => tokens.late,
                                    (None, true) => tokens.text,
                                    (None, false) => tokens.muted,
                                };
                                let text = cell.shown();
                                let text: String = text
                                    .chars()
                                    .take(80)
                                    .map(|c| if c.is_control() { ' ' } else { c })
                                    .collect();
                                let shown = pieces::cell(ui, text, color);
                                match (fault, cell) {
                                    (Some(why), _) | (None, RawCell::Broken(why)) => {
                                        shown.on_hover_text(why);
                                    }
                                    _ => {}
                                }
                            });
                        }
                    });
                });
        });
        if let Some((column, field)) = changed {
            self.fields.setup.set(column, field);
            self.remembered = false;
        }
    }
}
