//! The ledger: what is to be chosen in the rooms picked, one row each, with its way to the house on one time axis.

use super::ledger_rows;
use crate::engine::Day;
use crate::model::{Action, OptionState};
use crate::ui::format;
use crate::ui::session::{RowFilter, Session, SortBy};
use crate::ui::standing::Standing;
use crate::ui::theme::{tokens::space, tokens::type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::axis::TimeAxis;
use crate::ui::widgets::need_line::{self, Way};
use crate::ui::widgets::{marks, pieces};
use egui::{Layout, Rangef, Rect, Sense, Ui, UiBuilder, pos2, vec2};
use egui_table::{CellInfo, Column, HeaderCellInfo, HeaderRow, Table, TableDelegate};

/// The columns of the ledger.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Show {
    Name,
    Room,
    Choice,
    State,
    Allowance,
    Forecast,
    OrderBy,
    Way,
}

impl Show {
    fn title(self) -> &'static str {
        match self {
            Show::Name => "Selection",
            Show::Room => "Room",
            Show::Choice => "Choice",
            Show::State => "State",
            Show::Allowance => "Allowance",
            Show::Forecast => "Forecast",
            Show::OrderBy => "Order by",
            Show::Way => "",
        }
    }

    fn sort(self) -> Option<SortBy> {
        Some(match self {
            Show::Name => SortBy::Name,
            Show::Room => SortBy::Room,
            Show::State => SortBy::State,
            Show::Allowance => SortBy::Allowance,
            Show::Forecast => SortBy::Forecast,
            Show::OrderBy => SortBy::DaysInHand,
            Show::Choice | Show::Way => return None,
        })
    }

    fn is_number(self) -> bool {
        matches!(self, Show::Allowance | Show::Forecast)
    }
}

/// Draws filters and ledger.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    ledger_rows::update(view, session);
    filters(ui, view, session, out);
    ui.add_space(space::S);
    if view.project.selections.is_empty() {
        empty(ui, view, session, out);
        return;
    }
    if session.rows.rows.is_empty() {
        ui.add_space(space::L);
        ui.label("No row fits the search and the filter.");
        if pieces::link(ui, view.tokens, "show all rows").clicked() {
            session.search.clear();
            session.filter = RowFilter::All;
        }
        return;
    }
    table(ui, view, session, out);
}

fn filters(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    ui.horizontal(|ui| {
        for (filter, name) in RowFilter::ALL {
            if ui.selectable_label(session.filter == filter, name).clicked() {
                session.filter = filter;
            }
        }
        ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
            if ui.button("Add a selection…").clicked() {
                out.edit(Form::Selection(None, session.room));
            }
            if ui.available_width() > 60.0 {
                let n = session.rows.rows.len() as i32;
                pieces::muted(ui, view.tokens, format::count(n, "row"));
            }
        });
    });
}

fn empty(ui: &mut Ui, view: &View<'_>, session: &Session, out: &mut Outbox) {
    ui.add_space(40.0);
    ui.vertical_centered(|ui| {
        ui.label(pieces::strong("Nothing to choose yet", type_size::HEADING));
        ui.label("A selection is one thing to decide in a room: a tub, a tile, a light, a door.");
        ui.label("Give it an allowance, add the options you are looking at, and what each is made of.");
        ui.add_space(space::M);
        if view.project.rooms.is_empty() {
            if pieces::primary_button(ui, view.tokens, "Add the first room…").clicked() {
                out.edit(Form::Room(None));
            }
        } else if pieces::primary_button(ui, view.tokens, "Add a selection…").clicked() {
            out.edit(Form::Selection(None, session.room));
        }
    });
}

fn table(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let all_rooms = session.room.is_none();
    let available = ui.available_width();
    // Narrow windows leave out what the card or the rooms show as well, never the way on the time axis.
    let (wide, narrow) = (available > 1080.0, available < 700.0);
    let tight = available < 540.0;
    let name = match (wide, tight) {
        (true, _) => 180.0,
        (_, true) => 130.0,
        _ => 146.0,
    };
    let mut columns = vec![(Show::Name, name)];
    if all_rooms && !narrow {
        columns.push((Show::Room, if wide { 96.0 } else { 82.0 }));
    }
    if !narrow {
        columns.push((Show::Choice, if wide { 180.0 } else { 120.0 }));
    }
    columns.push((Show::State, 116.0));
    if wide {
        columns.push((Show::Allowance, 84.0));
    }
    columns.push((Show::Forecast, 84.0));
    if !tight {
        columns.push((Show::OrderBy, 96.0));
    }
    let used: f32 = columns.iter().map(|c| c.1).sum();
    columns.push((Show::Way, (available - used - 10.0).max(120.0)));

    let picked = session.selection.and_then(|id| view.figures.index.of(id.0));
    let picked_row = picked.and_then(|at| session.rows.rows.iter().position(|r| *r == at));
    let axis_days = axis_days(view, &session.rows.rows);
    let rows = std::mem::take(&mut session.rows.rows);
    let shown: Vec<Show> = columns.iter().map(|c| c.0).collect();
    // Widths belong to the set of columns they were made for; another set starts afresh.
    let id_salt = ("ledger", all_rooms, wide, narrow, (available / 40.0) as i32);
    let mut table = Table::new()
        .id_salt(id_salt)
        .num_rows(rows.len() as u64)
        .num_sticky_cols(1)
        .headers([HeaderRow::new(26.0)])
        .columns(
            // The first width is the least, so that sizing to contents cut short cannot shrink a column.
            columns.iter().map(|(_, w)| Column::new(*w).range(*w..=900.0)).collect::<Vec<_>>(),
        );
    if session.scroll_to_picked {
        session.scroll_to_picked = false;
        if let Some(row) = picked_row {
            table = table.scroll_to_row(row as u64, None);
        }
    }
    let mut ledger = Ledger { view, session, out, rows: &rows, shown, axis_days, picked };
    table.show(ui, &mut ledger);
    session.rows.rows = rows;
}

/// From a little before the as-of day to the last need date among the rows.
fn axis_days(view: &View<'_>, rows: &[usize]) -> (Day, Day) {
    let mut to = view.as_of().plus(60);
    for row in rows {
        let own = &view.figures.selections[*row];
        for part in view.figures.parts_of(own).iter().filter(|p| p.live) {
            to = to.max(part.arrival).max(part.need_date.unwrap_or(to));
        }
    }
    (view.as_of().plus(-10), to.plus(7))
}

struct Ledger<'a, 'v> {
    view: &'a View<'v>,
    session: &'a mut Session,
    out: &'a mut Outbox,
    rows: &'a [usize],
    shown: Vec<Show>,
    axis_days: (Day, Day),
    picked: Option<usize>,
}

impl TableDelegate for Ledger<'_, '_> {
    fn default_row_height(&self) -> f32 {
        space::ROW
    }

    fn header_cell_ui(&mut self, ui: &mut Ui, cell: &HeaderCellInfo) {
        let show = self.shown[cell.col_range.start];
        let rect = ui.max_rect();
        let tokens = self.view.tokens;
        ui.painter().hline(rect.x_range(), rect.bottom(), egui::Stroke::new(1.0, tokens.line));
        if show == Show::Way {
            let axis = TimeAxis::new(self.axis_days.0, self.axis_days.1, way_range(rect));
            axis.paint_months(ui.painter(), rect, tokens);
            return;
        }
        let layout = pieces::cell_layout(show.is_number());
        ui.scope_builder(UiBuilder::new().max_rect(rect.shrink2(vec2(8.0, 0.0))).layout(layout), |ui| {
            let Some(sort) = show.sort() else {
                pieces::group_title(ui, tokens, show.title());
                return;
            };
            let sorted = self.session.sort == sort;
            let arrow = match (sorted, self.session.descending) {
                (false, _) => "",
                (true, false) => " \u{2191}",
                (true, true) => " \u{2193}",
            };
            let text =
                pieces::strong(format!("{}{arrow}", show.title()), type_size::SMALL).color(tokens.muted);
            let button = ui
                .add(egui::Button::new(text).frame(false))
                .on_hover_text(format!("Sort by {}", show.title().to_lowercase()));
            if button.clicked() {
                // The third click brings back the order of the document.
                (self.session.sort, self.session.descending) = match (sorted, self.session.descending) {
                    (false, _) => (sort, false),
                    (true, false) => (sort, true),
                    (true, true) => (SortBy::Document, false),
                };
            }
        });
    }

    fn row_ui(&mut self, ui: &mut Ui, row: u64) {
        let Some(at) = self.rows.get(row as usize).copied() else { return };
        let rect = ui.max_rect();
        let tokens = self.view.tokens;
        let selection = &self.view.project.selections[at];
        let id = egui::Id::unique(("ledger_row", selection.id, ui.clip_rect().left() as i32));
        let response = ui.interact(rect, id, Sense::click());
        if Some(at) == self.picked {
            ui.painter().rect_filled(rect, 0.0, tokens.picked);
        } else if ui.rect_contains_pointer(rect) {
            ui.painter().rect_filled(rect, 0.0, tokens.hovered);
        }
        ui.painter().hline(
            rect.x_range(),
            rect.bottom(),
            egui::Stroke::new(1.0, tokens.line.gamma_multiply(0.6)),
        );
        if response.clicked() {
            self.session.selection = Some(selection.id);
        }
        let current = selection.choice().map(|o| o.id);
        response.context_menu(|ui| {
            for option in selection.options.iter().filter(|o| Some(o.id) != current) {
                if ui.button(format!("Choose {}", option.name)).clicked() {
                    self.out.act(Action::Choose(option.id));
                }
            }
            if current.is_some() && ui.button("Reopen the decision").clicked() {
                self.out.act(Action::Reopen(selection.id));
            }
            if ui.button("Edit selection…").clicked() {
                self.out.edit(Form::Selection(Some(selection.id), None));
            }
            if ui.button("Remove selection").clicked() {
                self.out.act(Action::RemoveSelection(selection.id));
            }
        });
    }

    fn cell_ui(&mut self, ui: &mut Ui, cell: &CellInfo) {
        let Some(at) = self.rows.get(cell.row_nr as usize).copied() else { return };
        let show = self.shown[cell.col_nr];
        let rect = ui.max_rect();
        if show == Show::Way {
            self.way(ui, at, rect);
            return;
        }
        let layout = pieces::cell_layout(show.is_number());
        ui.scope_builder(UiBuilder::new().max_rect(rect.shrink2(vec2(8.0, 0.0))).layout(layout), |ui| {
            ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Truncate);
            self.text(ui, show, at);
        });
    }
}

impl Ledger<'_, '_> {
    fn text(&mut self, ui: &mut Ui, show: Show, at: usize) {
        let (view, tokens) = (self.view, self.view.tokens);
        let selection = &view.project.selections[at];
        let own = &view.figures.selections[at];
        match show {
            Show::Name => {
                let text = if Some(at) == self.picked {
                    pieces::strong(&selection.name, type_size::BODY)
                } else {
                    egui::RichText::new(&selection.name)
                };
                // The name is the row's button, so that the ledger works from the keyboard.
                let name = ui.add(egui::Button::new(text).frame(false).truncate());
                if name.clicked() || name.gained_focus() {
                    self.session.selection = Some(selection.id);
                }
            }
            Show::Room => {
                let room = view.project.room(selection.room).map_or("", |r| &r.name);
                pieces::cell(ui, room, tokens.muted);
            }
            Show::Choice => match selection.live_option() {
                Some(option) => {
                    let text = match option.state {
                        OptionState::Leaning => format!("{}?", option.name),
                        _ => option.name.clone(),
                    };
                    pieces::cell(ui, text, tokens.muted);
                }
                None => {
                    let n = selection.options.len() as i32;
                    pieces::cell(ui, format::count(n, "candidate"), tokens.soon);
                }
            },
            Show::State => {
                let standing = Standing::of(selection, view.figures, own);
                let (mark, _) = ui.allocate_exact_size(vec2(12.0, 14.0), Sense::hover());
                marks::standing_shape(ui.painter(), mark.center(), standing, tokens);
                pieces::cell(ui, standing.word(), marks::standing_color(standing, tokens));
            }
            Show::Allowance => {
                pieces::cell(ui, format::money(selection.allowance, view.currency()), tokens.muted);
            }
            Show::Forecast => {
                let over = own.money.over_under();
                let color = if over.is_negative() || over.is_zero() { tokens.text } else { tokens.late };
                let cell = pieces::cell(ui, format::money(own.money.forecast, view.currency()), color);
                cell.on_hover_text(format::over_under(over, view.currency()));
            }
            Show::OrderBy => self.order_by(ui, at),
            Show::Way => {}
        }
    }

    fn order_by(&self, ui: &mut Ui, at: usize) {
        let tokens = self.view.tokens;
        let own = &self.view.figures.selections[at];
        let Some(days) = own.days_in_hand else { return };
        let (near, order_by) = (self.view.as_of(), self.view.as_of().plus(days));
        let color = pieces::in_hand_color(days, tokens, tokens.text);
        let cell = pieces::cell(ui, pieces::order_by_text(order_by, near), color);
        cell.on_hover_text(format!("{}, {}", format::day_short(order_by, near), format::days_in_hand(days)));
    }

    /// All parts that count on one line: the one that is the tightest is drawn.
    fn way(&self, ui: &mut Ui, at: usize, rect: Rect) {
        let (view, tokens) = (self.view, self.view.tokens);
        let axis = TimeAxis::new(self.axis_days.0, self.axis_days.1, way_range(rect));
        let selection = &view.project.selections[at];
        let own = &view.figures.selections[at];
        let painter = ui.painter_at(rect);
        axis.paint_month_lines(&painter, rect.y_range(), tokens);
        need_line::paint_as_of(&painter, &axis, view.as_of(), rect.y_range(), tokens.muted);
        let documents = selection.options.iter().flat_map(|o| &o.parts);
        let tightest =
            documents.zip(view.figures.parts_of(own)).enumerate().filter(|(_, (_, f))| f.live).min_by_key(
                |(_, (part, f))| {
                    (part.is_on_site(), f.need_date.map_or(i32::MAX, |need| need.since(f.arrival)))
                },
            );
        if let Some((i, (part, f))) = tightest {
            let way = Way {
                range: None,
                used: f.need_date,
                ..Way::of(view, selection, part, own.first_part + i, f)
            };
            let row = Rect::from_min_max(
                pos2(rect.left(), rect.top() + 5.0),
                pos2(rect.right(), rect.bottom() - 5.0),
            );
            way.paint(&painter, &axis, row, 7.0, tokens);
        }
    }
}

fn way_range(rect: Rect) -> Rangef {
    Rangef::new(rect.left() + 10.0, rect.right() - 8.0)
}
