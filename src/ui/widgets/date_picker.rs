//! A month to pick a day from, opened beside a date: days off, the as-of day and the day of need are marked on it.
//!
//! Arrows move by days and weeks, Page up and Page down by months, with Shift by years; Enter takes the day and Escape
//! leaves everything as it was.

use super::{drop_down, pieces};
use crate::engine::{Day, Figures};
use crate::model::dates::{FIRST_DAY, LAST_DAY};
use crate::ui::theme::{self, Tokens, tokens::type_size};
use chrono::{Datelike, Months, NaiveDate, TimeDelta};
use egui::{
    Align2, Context, EventFilter, Id, Key, Modifiers, Popup, PopupCloseBehavior, Rect, Role, Sense, Stroke,
    StrokeKind, Ui, WidgetInfo, pos2, vec2,
};
use lucide_icons::Icon;
use std::sync::Arc;

/// Seven are as wide as the longest month with its year and the four buttons beside it.
const CELL: egui::Vec2 = vec2(38.0, 28.0);
const WEEKDAYS: [&str; 7] = ["Mo", "Tu", "We", "Th", "Fr", "Sa", "Su"];

/// What is marked on the months.
#[derive(Clone)]
pub struct Marks {
    /// The day figures are for.
    pub as_of: Day,
    /// The day what is on the card is needed.
    pub needed: Option<Day>,
    /// The figures with the working days of the house; every day is open without a project.
    pub figures: Option<Arc<Figures>>,
}

impl Marks {
    /// Lets the pickers of the frame show these.
    pub fn set(self, ctx: &Context) {
        ctx.data_mut(|d| d.insert_temp(Id::unique("date_marks"), self));
    }

    fn get(ctx: &Context) -> Option<Marks> {
        ctx.data(|d| d.get_temp(Id::unique("date_marks")))
    }

    fn is_open(&self, day: Day) -> bool {
        self.figures.as_ref().is_none_or(|f| f.days.work().is_open(day))
    }
}

/// What became of a picker in a frame.
pub struct Picker {
    /// The day that was picked.
    pub picked: Option<NaiveDate>,
    /// The month is shown.
    pub open: bool,
}

/// Where the keyboard is on a month.
#[derive(Clone, Copy)]
struct Cursor {
    day: NaiveDate,
    /// The day gets the focus at the next frame.
    grab: bool,
    /// The frame in which the keys moved it last.
    moved: u64,
}

/// The button beside a date, and the month while it is open. `name` is that of the date.
pub fn button(ui: &mut Ui, name: &str, now: Option<NaiveDate>) -> Picker {
    let button = pieces::icon_button(ui, Icon::CalendarDays, &format!("Pick a day: {name}"));
    let id = button.id.with("month");
    let was_open = Popup::is_id_open(ui.ctx(), id);
    let marks = Marks::get(ui.ctx());
    if button.clicked() && !was_open {
        let day = now.or(marks.as_ref().map(|m| m.as_of.date())).unwrap_or_default();
        ui.data_mut(|d| d.insert_temp(id, Cursor { day, grab: true, moved: 0 }));
    }
    let month = Popup::from_toggle_button_response(&button)
        .id(id)
        .close_behavior(PopupCloseBehavior::CloseOnClickOutside)
        .show(|ui| month(ui, id, now, marks.as_ref()));
    drop_down::raise(ui.ctx(), id);
    let picked = month.and_then(|m| m.inner);
    if picked.is_some() {
        Popup::close_id(ui.ctx(), id);
    }
    let open = Popup::is_id_open(ui.ctx(), id);
    if was_open && !open {
        button.request_focus();
    }
    Picker { picked, open }
}

/// A day some months later, or earlier when negative, within the days the program computes with.
fn months_on(day: NaiveDate, by: i32) -> NaiveDate {
    let by_months = Months::new(by.unsigned_abs());
    let moved = if by < 0 { day.checked_sub_months(by_months) } else { day.checked_add_months(by_months) };
    moved.unwrap_or(day).clamp(FIRST_DAY, LAST_DAY)
}

/// Moves with the keys that were pressed.
fn by_keys(ui: &Ui, day: NaiveDate) -> NaiveDate {
    let days = [(Key::ArrowLeft, -1), (Key::ArrowRight, 1), (Key::ArrowUp, -7), (Key::ArrowDown, 7)];
    let months = [(Key::PageUp, -1), (Key::PageDown, 1)];
    let pressed = |modifiers, key| ui.input_mut(|i| i.consume_key(modifiers, key));
    for (key, by) in days {
        if pressed(Modifiers::NONE, key) {
            let moved = day.checked_add_signed(TimeDelta::days(by)).unwrap_or(day);
            return moved.clamp(FIRST_DAY, LAST_DAY);
        }
    }
    for (key, by) in months {
        if pressed(Modifiers::SHIFT, key) {
            return months_on(day, by * 12);
        }
        if pressed(Modifiers::NONE, key) {
            return months_on(day, by);
        }
    }
    day
}

fn month(ui: &mut Ui, id: Id, now: Option<NaiveDate>, marks: Option<&Marks>) -> Option<NaiveDate> {
    let tokens = theme::tokens(ui.ctx());
    let mut cursor: Cursor = ui.data(|d| d.get_temp(id))?;
    let before = cursor.day;
    ui.set_width(CELL.x * 7.0);
    ui.spacing_mut().item_spacing = vec2(0.0, 2.0);
    cursor.day = by_keys(ui, cursor.day);
    let frame = ui.ctx().cumulative_frame_nr();
    if cursor.day != before {
        (cursor.grab, cursor.moved) = (true, frame);
    }
    ui.horizontal(|ui| {
        for (icon, name, by) in
            [(Icon::ChevronsLeft, "Previous year", -12), (Icon::ChevronLeft, "Previous month", -1)]
        {
            if pieces::icon_button(ui, icon, name).clicked() {
                cursor.day = months_on(cursor.day, by);
            }
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            for (icon, name, by) in
                [(Icon::ChevronsRight, "Next year", 12), (Icon::ChevronRight, "Next month", 1)]
            {
                if pieces::icon_button(ui, icon, name).clicked() {
                    cursor.day = months_on(cursor.day, by);
                }
            }
            ui.centered_and_justified(|ui| {
                ui.label(pieces::strong(cursor.day.format("%B %Y").to_string(), type_size::BODY))
            });
        });
    });
    let (heads, _) = ui.allocate_exact_size(vec2(CELL.x * 7.0, 18.0), Sense::hover());
    for (i, head) in WEEKDAYS.iter().enumerate() {
        let at = pos2(heads.left() + CELL.x * (i as f32 + 0.5), heads.center().y);
        let font = theme::regular(type_size::SMALL);
        ui.painter().text(at, Align2::CENTER_CENTER, head, font, tokens.muted);
    }
    let (mut picked, mut strayed) = (None, None);
    // Enter takes the day that the arrows went to, even where the focus is a frame behind or a day ahead.
    let by_key = ui.input(|i| i.key_pressed(Key::Enter) || i.key_pressed(Key::Space));
    let (grid, _) = ui.allocate_exact_size(vec2(CELL.x * 7.0, CELL.y * 6.0), Sense::hover());
    let first = cursor.day.with_day(1).unwrap_or(cursor.day);
    let indent = first.weekday().num_days_from_monday();
    for day in first.iter_days().take_while(|d| d.month() == first.month()) {
        let place = indent + day.day0();
        let corner = vec2((place % 7) as f32 * CELL.x, (place / 7) as f32 * CELL.y);
        let rect = Rect::from_min_size(grid.min + corner, CELL).shrink(1.0);
        let cell = ui.interact(rect, id.with(day.num_days_from_ce()), Sense::click());
        if day == cursor.day {
            let arrows = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..Default::default() };
            if cursor.grab {
                cell.request_focus();
                cursor.grab = !ui.memory(|m| m.has_focus(cell.id));
            }
            // What has the focus can hold the arrows; another press in the next frame would else move the focus too.
            ui.memory_mut(|m| m.set_focus_lock_filter(cell.id, arrows));
        }
        paint(ui, tokens, rect, day, now == Some(day), &cell, marks);
        if cell.has_focus() && day != cursor.day {
            strayed = Some(day);
        }
        if cell.clicked() {
            picked = Some(if by_key { cursor.day } else { day });
        }
    }
    match strayed.filter(|_| !by_key && picked.is_none()) {
        // An arrow that came before the day held it has moved the focus too.
        Some(_) if cursor.moved + 2 >= frame => {
            cursor.grab = true;
            ui.ctx().request_repaint();
        }
        // The tabulator goes from day to day.
        Some(day) => cursor.day = day,
        None => {}
    }
    if let Some(marks) = marks {
        legend(ui, tokens, marks);
    }
    ui.data_mut(|d| d.insert_temp(id, cursor));
    picked
}

fn paint(
    ui: &Ui,
    tokens: &Tokens,
    rect: Rect,
    date: NaiveDate,
    now: bool,
    cell: &egui::Response,
    marks: Option<&Marks>,
) {
    let day = Day::from(date);
    let open = marks.is_none_or(|m| m.is_open(day));
    let as_of = marks.is_some_and(|m| m.as_of == day);
    let needed = marks.is_some_and(|m| m.needed == Some(day));
    let mut name = date.format("%A, %B %-d, %Y").to_string();
    for (marked, words) in [(!open, ", closed"), (as_of, ", as of"), (needed, ", needed")] {
        if marked {
            name.push_str(words);
        }
    }
    cell.widget_info(|| WidgetInfo::selected(Role::Button, true, now, &name));
    let painter = ui.painter();
    let fill = match (now, cell.hovered()) {
        (true, _) => Some(tokens.picked),
        (_, true) => Some(tokens.hovered),
        _ => (!open).then_some(tokens.day_off),
    };
    if let Some(fill) = fill {
        painter.rect_filled(rect, 4.0, fill);
    }
    if !open {
        painter.line_segment(closed_stroke(rect), Stroke::new(1.0, tokens.muted));
    }
    if needed {
        painter.vline(rect.left() + 2.0, rect.y_range(), Stroke::new(2.0, tokens.need));
    }
    if as_of {
        painter.circle_stroke(rect.center(), 11.5, Stroke::new(1.2, tokens.muted));
    }
    let (font, color) = match (now, open) {
        (true, _) => (theme::strong(type_size::BODY), tokens.accent),
        (_, true) => (theme::regular(type_size::BODY), tokens.text),
        (_, false) => (theme::regular(type_size::BODY), tokens.muted),
    };
    painter.text(rect.center(), Align2::CENTER_CENTER, date.day().to_string(), font, color);
    if cell.has_focus() {
        painter.rect_stroke(rect, 4.0, Stroke::new(2.0, tokens.accent), StrokeKind::Inside);
    }
}

/// The stroke over the corner of a day on which nobody works.
fn closed_stroke(rect: Rect) -> [egui::Pos2; 2] {
    let corner = rect.right_bottom() - vec2(2.0, 2.0);
    [corner - vec2(8.0, 0.0), corner - vec2(0.0, 8.0)]
}

fn legend(ui: &mut Ui, tokens: &Tokens, marks: &Marks) {
    ui.horizontal(|ui| {
        let mark = |ui: &mut Ui| ui.allocate_exact_size(vec2(14.0, 14.0), Sense::hover()).0;
        let small = |ui: &mut Ui, words: &str| {
            pieces::muted(ui, tokens, words);
            ui.add_space(8.0);
        };
        let rect = mark(ui);
        ui.painter().circle_stroke(rect.center(), 5.0, Stroke::new(1.2, tokens.muted));
        small(ui, "as of");
        let rect = mark(ui);
        ui.painter().line_segment(closed_stroke(rect), Stroke::new(1.0, tokens.muted));
        small(ui, "closed");
        if marks.needed.is_some() {
            let rect = mark(ui);
            ui.painter().vline(rect.center().x, rect.y_range(), Stroke::new(2.0, tokens.need));
            small(ui, "needed");
        }
    });
}
