//! Dates: phases as bars on the calendar, with the arrivals and need dates of their parts on the same rows.

mod bars;
mod calendar;
mod changes;
pub mod detail;
mod drag;
mod fade;
mod heads;
mod in_use;
mod legend;
mod links;
mod menus;
pub mod overview;
pub mod parts;
pub mod people;
mod row;
pub mod rows;
mod tools;

use crate::engine::Day;
use crate::ui::session::Session;
use crate::ui::theme::{self, tokens::type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::axis::TimeAxis;
use crate::ui::widgets::{need_line, pieces};
use egui::{Align2, Painter, Rangef, Rect, Sense, Stroke, Ui, pos2, vec2};
use row::Scene;
use rows::{Row, Rows};

const ROW: f32 = 30.0;

/// With fewer points to a day the calendar opens on the months around the as-of day, and not on all of it.
const LEAST_DAY: f32 = 1.8;
/// Points a day takes on the scale of months.
const MONTHS: f32 = 4.0;

/// Points the names of phases take.
fn name_width(all: f32) -> f32 {
    if all < 560.0 { 168.0 } else { 230.0 }
}

/// Draws the work area.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    tools::ui(ui, view, session, out);
    if view.project.phases.is_empty() {
        ui.add_space(40.0);
        ui.vertical_centered(|ui| {
            ui.label(pieces::strong("No phases yet", type_size::HEADING));
            ui.label("A phase is a block of work by one trade. Parts get their need date from the phase that needs them.");
            if pieces::primary_button(ui, view.tokens, "Add a phase…").clicked() {
                out.edit(Form::Phase(None));
            }
        });
        return;
    }
    people::to_do(ui, view, session, out);
    in_use::stored(ui, view);
    detail::ui(ui, view, session, out);
    chart(ui, view, session, out);
}

/// First and last day on the calendar.
fn span(view: &View<'_>) -> (Day, Day) {
    let (from, to) = view.facts().phase_span.unwrap_or((view.as_of(), view.as_of()));
    let first = from.min(view.as_of()).plus(-7);
    let target = view.project.settings.target_finish.map_or(first, Day::from);
    let last = to.max(view.as_of()).max(target).plus(21);
    (first, last.max(first.plus(30)))
}

/// The phase that is to be brought to view: the one asked for, and at first the one that is not finished.
fn wanted_row(view: &View<'_>, session: &mut Session) -> Option<usize> {
    if !std::mem::replace(&mut session.dates.shown, true) && session.scroll_to_phase.is_none() {
        let order = view.facts().phase_order.iter();
        let open = order.filter_map(|at| view.project.phases.get(*at)).find(|p| p.finished_on().is_none());
        session.scroll_to_phase = open.map(|p| p.id);
    }
    let wanted = session.scroll_to_phase.take()?;
    rows::rows_showing(view, session, wanted).1
}

fn chart(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let (first, last) = span(view);
    let names = name_width(ui.available_width());
    let days = last.since(first) as f32;
    let fit = (ui.available_width() - names - 12.0) / days;
    if !session.dates.shown && session.day_width <= 0.0 && fit < LEAST_DAY {
        // Months side by side in a narrow window would be too small to read.
        tools::center_on_today(view, session, MONTHS);
    }
    let day_width = session.day_width.max(fit);
    let overview = overview::height(ui.available_height());
    let chart = ui.available_height() - overview;
    let (calendar, strip) = (calendar::header_height(day_width), in_use::height(view, chart));
    let header = calendar + strip;
    let wanted = wanted_row(view, session);
    let rows = rows::rows(view, session);
    // Rows that are folded away at the end leave their room until it is scrolled out of view: nothing moves under the
    // pointer.
    let high = (header + rows.rows.len() as f32 * ROW + 8.0).max(session.dates.bottom);
    let size = vec2(names + days * day_width, high);
    // What stands below keeps its room, however little is left above it.
    let area = egui::ScrollArea::both().auto_shrink(false).min_scrolled_height(0.0).max_height(chart);
    let mut area = area.id_salt("dates");
    if let Some(row) = wanted {
        area = area.vertical_scroll_offset((row as f32 * ROW - 120.0).max(0.0));
    }
    if let Some(y) = session.dates.scroll_y.take() {
        area = area.vertical_scroll_offset(y.max(0.0));
    }
    if let Some(x) = session.dates.scroll_x.take() {
        area = area.horizontal_scroll_offset(x.max(0.0));
    }
    // Names stay while days go by: what is scrolled away fades where the calendar begins.
    let edge = std::mem::replace(&mut ui.spacing_mut().scroll.fade.strength, 0.0);
    let shown = area.show_viewport(ui, |ui, viewport| {
        let (content, _) = ui.allocate_exact_size(size, Sense::hover());
        let origin = content.min;
        let seen = Rect::from_min_size(origin + viewport.min.to_vec2(), viewport.size());
        let axis = TimeAxis { from: first, to: last, x: Rangef::new(origin.x + names, origin.x + size.x) };
        let canvas = Rect::from_min_max(pos2(seen.left() + names, seen.top() + header), seen.max);
        calendar::zoom_with_wheel(ui, session, canvas, origin.x + names, viewport.min.x, day_width, fit);
        let top = origin.y + header;
        draw(ui, view, session, &rows, (&axis, seen, canvas), (names, top), out);
        calendar::header(ui, view, &axis, seen, names, day_width);
        let strip_top = pos2(seen.left(), seen.top() + calendar);
        let strip = Rect::from_min_size(strip_top, vec2(seen.width(), strip));
        in_use::ui(ui, view, session, &axis, (strip, names, chart), out);
        (seen, canvas)
    });
    ui.spacing_mut().scroll.fade.strength = edge;
    let (seen, canvas) = shown.inner;
    let offset = shown.state.clamped_offset();
    fade::ui(ui, view.tokens, (seen, canvas), offset, size);
    session.dates.bottom = offset.y + shown.inner_rect.height();
    if overview > 0.0 {
        let part = overview::Part {
            offset,
            seen: vec2(shown.inner_rect.width() - names, shown.inner_rect.height() - header),
            all: vec2(size.x - names, size.y - header),
        };
        overview::ui(ui, view, session, &rows, ((first, last), names), part);
    }
}

/// Draws the rows in view, with what lies behind and before all of them.
fn draw(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    rows: &Rows,
    (axis, seen, canvas): (&TimeAxis, Rect, Rect),
    (names, top): (f32, f32),
    out: &mut Outbox,
) {
    let painter = ui.painter_at(canvas);
    calendar::days_off(&painter, view, axis, canvas);
    axis.paint_month_lines(&painter, canvas.y_range(), view.tokens);
    let all = rows.rows.as_slice();
    // One more on either side, so that the keyboard goes on to what is not seen yet.
    let from = ((canvas.top() - top) / ROW).floor().max(1.0) as usize - 1;
    let to = (((seen.bottom() - top) / ROW).ceil().max(0.0) as usize + 1).min(all.len());
    let from = from.min(to);
    let picked = session.dates.picked.and_then(|id| view.figures.index.of(id.0));
    let row_of = |n: usize| {
        let above = top + n as f32 * ROW;
        Rect::from_min_max(pos2(seen.left(), above), pos2(seen.right(), above + ROW))
    };
    if let Some(row) = picked.and_then(|at| rows.own_row(at)) {
        painter.rect_filled(row_of(row).intersect(canvas), 0.0, view.tokens.picked);
    }
    let laid = links::Rows { rank: &rows.rank, top, height: ROW, seen: from..to };
    let words = links::ui(&painter, view, axis, &laid, picked);
    let mut scene = Scene { view, axis, painter: &painter, names, picked };
    for (n, row) in all.iter().enumerate().take(to).skip(from) {
        match row {
            Row::Phase(at) => scene.row(ui, session, *at, row_of(n), out),
            Row::Head(at) => scene.head(ui, session, rows, *at, row_of(n)),
        }
    }
    target(&painter, view, axis, canvas);
    need_line::paint_as_of(&painter, axis, view.as_of(), canvas.y_range(), view.tokens.text);
    words.iter().for_each(|words| words.paint(&painter, view.tokens));
}

/// The day by which all is to be done.
fn target(painter: &Painter, view: &View<'_>, axis: &TimeAxis, canvas: Rect) {
    let Some(target) = view.project.settings.target_finish else { return };
    let tokens = view.tokens;
    let x = axis.at(Day::from(target).plus(1));
    painter.vline(x, canvas.y_range(), Stroke::new(1.0, tokens.good));
    let at = pos2(x + 4.0, canvas.top() + 8.0);
    let words = painter.layout_no_wrap("target".to_owned(), theme::regular(10.5), tokens.good);
    let rect = Align2::LEFT_CENTER.anchor_size(at, words.size());
    painter.rect_filled(rect.expand2(vec2(2.0, 0.0)), 2.0, tokens.work);
    painter.galley(rect.min, words, tokens.good);
}
