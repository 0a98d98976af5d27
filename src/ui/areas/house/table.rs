//! The table itself: columns, heads, rows and what a click on them does.

use super::ledger::{Group, LedgerColumn, LedgerRow};
use super::ledger_facts::Facts;
use super::{edit, keys};
use crate::engine::Day;
use crate::model::Action;
use crate::ui::choosing;
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::{tokens::space, tokens::type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::axis::TimeAxis;
use crate::ui::widgets::{marks, motion, pieces};
use egui::{Rangef, Rect, Role, Sense, Stroke, Ui, UiBuilder, WidgetInfo, pos2, vec2};
use egui_table::{CellInfo, Column, HeaderCellInfo, HeaderRow, Table, TableDelegate};

/// The columns shown: those picked, else as many as the width has room for. Narrow windows leave out what the card or
/// the rooms show as well, never the way on the time axis.
fn columns(session: &Session, available: f32) -> Vec<LedgerColumn> {
    use LedgerColumn::*;
    // The head of a group says it already.
    let all_rooms = session.room.is_none() && session.ledger.group != super::ledger::GroupBy::Room;
    let fits = |column: &LedgerColumn| match column {
        Name | State | Forecast | Way => true,
        Room => all_rooms && available >= 700.0,
        Choice => available >= 700.0,
        Allowance => available > 1080.0,
        OrderBy => available >= 540.0,
        _ => false,
    };
    let shown = |column: &LedgerColumn| match &session.ledger.columns {
        Some(picked) => *column == Name || picked.contains(column),
        None => fits(column),
    };
    LedgerColumn::ALL.into_iter().filter(shown).collect()
}

/// The points each column gets. What is left over goes to the way, or else to the name.
fn widths(columns: &[LedgerColumn], available: f32, picked: bool) -> Vec<f32> {
    let (wide, tight) = (available > 1080.0, available < 540.0);
    let mut widths: Vec<f32> = columns
        .iter()
        .map(|column| match column {
            _ if picked || wide => column.width(),
            LedgerColumn::Name if tight => 130.0,
            LedgerColumn::Name if available > 800.0 => 172.0,
            LedgerColumn::Name => 146.0,
            LedgerColumn::Room => 82.0,
            LedgerColumn::Choice if available > 800.0 => 150.0,
            LedgerColumn::Choice => 120.0,
            LedgerColumn::Way => 120.0,
            other => other.width(),
        })
        .collect();
    let spare = available - 10.0 - widths.iter().sum::<f32>();
    let taker = columns.iter().position(|c| *c == LedgerColumn::Way).unwrap_or(0);
    if let Some(width) = widths.get_mut(taker) {
        *width += spare.max(0.0);
    }
    widths
}

/// The columns before the first one that holds something of a group.
fn head_width(columns: &[LedgerColumn], widths: &[f32]) -> f32 {
    let empty = |column: &LedgerColumn| {
        matches!(
            column,
            LedgerColumn::Name | LedgerColumn::Room | LedgerColumn::Category | LedgerColumn::Choice
        )
    };
    columns.iter().zip(widths).take_while(|(column, _)| empty(column)).map(|(_, width)| width).sum()
}

/// Draws the table.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let available = ui.available_width();
    let shown = columns(session, available);
    session.ledger.drawn.clone_from(&shown);
    let widths = widths(&shown, available, session.ledger.columns.is_some());
    let picked = session.selection.and_then(|id| view.figures.index.of(id.0));
    let rows = std::mem::take(&mut session.rows.rows);
    let groups = std::mem::take(&mut session.rows.groups);
    // Widths belong to the set of columns they were made for; another set starts afresh.
    let id_salt = ("ledger", &shown, (available / 40.0) as i32);
    let mut table = Table::new()
        .id_salt(id_salt)
        .num_rows(rows.len() as u64)
        .num_sticky_cols(1)
        .headers([HeaderRow::new(26.0)])
        .columns(
            // The first width is the least, so that sizing to contents cut short cannot shrink a column.
            widths.iter().map(|w| Column::new(*w).range(*w..=w.max(900.0))).collect::<Vec<_>>(),
        );
    if std::mem::take(&mut session.scroll_to_picked) {
        let place = picked.and_then(|at| rows.iter().position(|row| *row == LedgerRow::Item(at as u32)));
        if let Some(row) = place {
            table = table.scroll_to_row(row as u64, None);
        }
    }
    let head_width = head_width(&shown, &widths);
    let axis_days = session.rows.axis.unwrap_or((view.as_of(), view.as_of().plus(60)));
    let facts = view.facts();
    let mut ledger = Ledger {
        view,
        facts,
        session,
        out,
        rows: &rows,
        groups: &groups,
        shown,
        axis_days,
        picked,
        head_width,
    };
    table.show(ui, &mut ledger);
    // A key of the next frame may fold a group; the rows are then made anew.
    session.rows.rows = rows;
    session.rows.groups = groups;
}

/// What the table draws from, and where it asks for change.
pub(super) struct Ledger<'a, 'v> {
    pub view: &'a View<'v>,
    pub facts: &'a Facts,
    pub session: &'a mut Session,
    pub out: &'a mut Outbox,
    pub rows: &'a [LedgerRow],
    pub groups: &'a [Group],
    pub shown: Vec<LedgerColumn>,
    pub axis_days: (Day, Day),
    pub picked: Option<usize>,
    /// Points the name of a group may take.
    pub head_width: f32,
}

/// Where the time axis lies in its column.
pub(super) fn way_range(rect: Rect) -> Rangef {
    Rangef::new(rect.left() + 10.0, rect.right() - 8.0)
}

impl TableDelegate for Ledger<'_, '_> {
    fn default_row_height(&self) -> f32 {
        space::ROW
    }

    fn header_cell_ui(&mut self, ui: &mut Ui, cell: &HeaderCellInfo) {
        let Some(column) = self.shown.get(cell.col_range.start).copied() else { return };
        let rect = ui.max_rect();
        let tokens = self.view.tokens;
        ui.painter().hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, tokens.line));
        if column == LedgerColumn::Way {
            let axis = TimeAxis::new(self.axis_days.0, self.axis_days.1, way_range(rect));
            axis.paint_months(ui.painter(), rect, tokens);
            return;
        }
        let layout = pieces::cell_layout(column.is_number());
        ui.scope_builder(UiBuilder::new().max_rect(rect.shrink2(vec2(8.0, 0.0))).layout(layout), |ui| {
            let sorted = self.session.sort == Some(column);
            let arrow = match (sorted, self.session.descending) {
                (false, _) => "",
                (true, false) => " \u{2191}",
                (true, true) => " \u{2193}",
            };
            let color = if sorted { tokens.text } else { tokens.muted };
            let text = pieces::strong(
                format!("{}{arrow}", column.head(&self.view.project.settings)),
                type_size::SMALL,
            )
            .color(color);
            let button = ui.add(egui::Button::new(text).frame(false)).on_hover_text(column.rule());
            if button.clicked() {
                // The third click brings back the order of the document.
                (self.session.sort, self.session.descending) = match (sorted, self.session.descending) {
                    (false, _) => (Some(column), false),
                    (true, false) => (Some(column), true),
                    (true, true) => (None, false),
                };
            }
        });
    }

    fn row_ui(&mut self, ui: &mut Ui, row: u64) {
        match self.rows.get(row as usize) {
            Some(LedgerRow::Item(at)) => self.item_row(ui, *at as usize),
            Some(LedgerRow::Group(at)) => self.group_row(ui, *at as usize),
            None => {}
        }
    }

    fn cell_ui(&mut self, ui: &mut Ui, cell: &CellInfo) {
        let Some(row) = self.rows.get(cell.row_nr as usize).copied() else { return };
        let Some(column) = self.shown.get(cell.col_nr).copied() else { return };
        let rect = ui.max_rect();
        let at = match row {
            LedgerRow::Item(at) => at as usize,
            LedgerRow::Group(at) => {
                self.group_cell(ui, column, at as usize, rect);
                return;
            }
        };
        if column == LedgerColumn::Way {
            self.way(ui, at, rect);
            return;
        }
        if edit::is_open(self, column, at) {
            edit::field(ui, self, rect);
            return;
        }
        let wants = column.is_edited()
            && column != LedgerColumn::Name
            && edit::text(self.view, self.facts, column, at).is_some();
        if wants {
            edit::spot(ui, self, column, at, rect);
        }
        self.glow(ui, column, at, rect);
        let layout = pieces::cell_layout(column.is_number());
        ui.scope_builder(UiBuilder::new().max_rect(rect.shrink2(vec2(8.0, 0.0))).layout(layout), |ui| {
            ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Truncate);
            self.cell(ui, column, at);
        });
    }
}

impl Ledger<'_, '_> {
    /// Money and days that are no longer what they were glow once.
    fn glow(&self, ui: &Ui, column: LedgerColumn, at: usize, rect: Rect) {
        let Some(own) = self.view.figures.selections.get(at) else { return };
        let figure = match column {
            LedgerColumn::Forecast => own.money.forecast.amount().to_string(),
            LedgerColumn::OrderBy => own.order_by.map_or(String::new(), |day| day.to_string()),
            _ => return,
        };
        let cell = rect.shrink2(vec2(3.0, 4.0));
        motion::glow(ui, self.view.tokens, ("row", own.id, column), &figure, cell);
    }

    fn item_row(&mut self, ui: &mut Ui, at: usize) {
        let rect = ui.max_rect();
        let tokens = self.view.tokens;
        let Some(selection) = self.view.project.selections.get(at) else { return };
        let id = egui::Id::unique(("ledger_row", selection.id, ui.clip_rect().left() as i32));
        // The button of the row is its name; the rest of it takes the pointer alone.
        let response = ui.interact(rect, id, Sense::CLICK);
        if Some(at) == self.picked || self.session.ledger.marked.contains(&selection.id) {
            ui.painter().rect_filled(rect, 0.0, tokens.picked);
        } else if ui.rect_contains_pointer(rect) {
            ui.painter().rect_filled(rect, 0.0, tokens.hovered);
        }
        if Some(at) == self.picked && !self.session.ledger.marked.is_empty() {
            // Among marked rows the one on the card has a bar before it.
            let bar = Rect::from_min_max(rect.min, pos2(rect.left() + 3.0, rect.bottom()));
            ui.painter().rect_filled(bar, 0.0, tokens.accent);
        }
        ui.painter().hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, tokens.line.gamma_multiply(0.6)));
        if response.clicked() {
            self.click(ui, selection.id);
        }
        self.menu(&response, at);
    }

    /// A click picks; with Shift all rows between, with Ctrl one more or less.
    pub(super) fn click(&mut self, ui: &Ui, id: crate::model::SelectionId) {
        let held = ui.input(|i| i.modifiers);
        // The rows are out of the session while they are drawn.
        self.session.rows.rows = self.rows.to_vec();
        keys::pick(self.view, self.session, id, held.shift, held.command);
        // A click asks for the card, also where it was closed for the same row before.
        self.session.card.over |= ui.input(|i| i.pointer.any_released());
    }

    pub(super) fn menu(&mut self, response: &egui::Response, at: usize) {
        let Some(selection) = self.view.project.selections.get(at) else { return };
        response.context_menu(|ui| {
            choosing::menu(ui, self.view, selection, self.out);
            if selection.choice().is_some() && ui.button("Reopen the decision").clicked() {
                self.out.act(Action::Reopen(selection.id));
            }
            ui.separator();
            if ui.button("Edit selection…").clicked() {
                self.out.edit(Form::Selection(Some(selection.id), None));
            }
            if let Some((_, option, part)) =
                self.facts.rows.get(at).and_then(|f| f.sole).and_then(|p| {
                    super::ledger_facts::part_at(self.view.project, self.view.figures, p as usize)
                })
                && ui.button("Edit its part…").clicked()
            {
                self.out.edit(Form::Part(option.id, Some(part.id)));
            }
            if ui.button("Remove selection").clicked() {
                self.out.act(Action::RemoveSelection(selection.id));
            }
        });
    }

    fn group_row(&mut self, ui: &mut Ui, at: usize) {
        let Some(group) = self.groups.get(at) else { return };
        let rect = ui.max_rect();
        let tokens = self.view.tokens;
        let left = ui.clip_rect().left() as i32;
        let id = egui::Id::unique(("ledger_group", group.key, left));
        let response = ui.interact(rect, id, Sense::click());
        let fill = if response.hovered() || response.has_focus() { tokens.hovered } else { tokens.strip };
        ui.painter().rect_filled(rect, 0.0, fill);
        ui.painter().hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, tokens.line));
        // Painted in both halves of the table, so that a long name goes on behind the first column.
        let center = pos2(rect.left() + 13.0, rect.center().y);
        marks::fold(ui.painter(), center, group.folded, tokens.muted);
        let at = pos2(rect.left() + 24.0, rect.center().y);
        let font = crate::ui::theme::strong(type_size::BODY);
        pieces::paint_cut(ui.painter(), at, &group.name, font, tokens.text, self.head_width - 32.0);
        if response.clicked() {
            self.session.ledger.fold(group.key);
        }
        if (rect.left() - ui.clip_rect().left()).abs() < 2.0 {
            let spoken = format!("{} {}", if group.folded { "Open" } else { "Fold" }, group.name);
            response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &spoken));
        }
    }

    fn group_cell(&mut self, ui: &mut Ui, column: LedgerColumn, at: usize, rect: Rect) {
        let (view, tokens, currency) = (self.view, self.view.tokens, self.view.currency());
        let Some(group) = self.groups.get(at) else { return };
        let sums = &group.sums;
        let layout = pieces::cell_layout(column.is_number());
        ui.scope_builder(UiBuilder::new().max_rect(rect.shrink2(vec2(8.0, 0.0))).layout(layout), |ui| {
            ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Truncate);
            ui.spacing_mut().item_spacing.x = 5.0;
            let amount = |ui: &mut Ui, amount| {
                pieces::cell_text(ui, pieces::strong(format::money(amount, currency), type_size::BODY));
            };
            match column {
                LedgerColumn::State => {
                    if sums.late > 0 {
                        let (mark, _) = ui.allocate_exact_size(vec2(12.0, 14.0), Sense::hover());
                        marks::triangle(ui.painter(), mark.center(), tokens.late);
                        pieces::cell(ui, sums.late.to_string(), tokens.late).on_hover_text("late");
                    }
                    if sums.open > 0 {
                        let (mark, _) = ui.allocate_exact_size(vec2(12.0, 14.0), Sense::hover());
                        ui.painter().circle_stroke(mark.center(), 4.0, Stroke::new(1.5, tokens.soon));
                        pieces::cell(ui, sums.open.to_string(), tokens.soon).on_hover_text("to decide");
                    }
                    pieces::cell(ui, format!("of {}", sums.rows), tokens.muted);
                }
                LedgerColumn::Allowance => amount(ui, sums.money.allowance),
                LedgerColumn::Chosen => amount(ui, sums.money.chosen),
                LedgerColumn::Ordered => amount(ui, sums.money.ordered),
                LedgerColumn::Paid => amount(ui, sums.money.paid),
                LedgerColumn::Forecast => amount(ui, sums.money.forecast),
                LedgerColumn::OverUnder => {
                    pieces::over_under(ui, tokens, sums.money.over_under(), currency);
                }
                LedgerColumn::OrderBy => {
                    if let Some((days, order_by, from)) = sums.first {
                        let color = pieces::in_hand_color(days, tokens, tokens.muted);
                        let text = pieces::order_by_text(order_by, days, from, view.as_of());
                        pieces::cell(ui, text, color).on_hover_text("The first of the group");
                    }
                }
                _ => {}
            }
        });
    }
}
