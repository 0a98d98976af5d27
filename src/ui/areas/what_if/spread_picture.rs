//! The picture of a spread: how many trials come to what as bars, and how many to no more than that as a line, which is
//! read off by pointing at it or with the arrow keys.

use crate::ui::theme::tokens::{space, type_size};
use crate::ui::theme::{self, Tokens};
use crate::ui::widgets::pieces;
use egui::{
    Align2, EventFilter, Key, Modifiers, Pos2, Rangef, Rect, Response, Role, Sense, Shape, Stroke, Ui,
    WidgetInfo, pos2, vec2,
};

/// Points of the picture below its title.
const HEIGHT: f32 = 212.0;
/// Points of a row of words over the lines.
const WORDS: f32 = 15.0;

/// An upright line with its words.
pub struct Mark {
    /// Where.
    pub x: f64,
    /// What it is.
    pub words: String,
    /// It is what the user wants, and not what is forecast.
    pub wanted: bool,
}

/// What is drawn. Places are days from the as-of day, or amounts; how far they are from each other is all that counts.
pub struct Spread<'a> {
    /// What is spread: the finish, the total.
    pub name: &'a str,
    /// From where, to where, and how many trials.
    pub bars: Vec<(f64, f64, u32)>,
    /// Places in order, with the share of the trials that keep to them, from 0 to 1.
    pub steps: Vec<(f64, f32)>,
    /// Lines.
    pub marks: Vec<Mark>,
    /// Words below.
    pub ticks: Vec<(f64, String)>,
    /// What a place among the steps says.
    pub read: &'a dyn Fn(usize) -> String,
}

/// Draws it; `cursor` is the step that is read off.
pub fn ui(ui: &mut Ui, tokens: &Tokens, spread: &Spread<'_>, cursor: &mut Option<usize>) {
    let said = cursor.and_then(|at| (at < spread.steps.len()).then(|| (spread.read)(at)));
    ui.label(pieces::strong(spread.name, 15.0));
    let hint = "Point at the picture, or use the arrow keys on it, to read it off.";
    let (words, color) = said.as_ref().map_or((hint, tokens.muted), |said| (said.as_str(), tokens.text));
    let width = ui.available_width().max(120.0);
    // One line of the same height with either, so that nothing below moves.
    let label = egui::Label::new(egui::RichText::new(words).color(color)).truncate();
    ui.allocate_ui(vec2(width, 18.0), |ui| ui.add(label));
    let (rect, response) = ui.allocate_exact_size(vec2(width, HEIGHT), Sense::click());
    let rows = spread.marks.len().max(2) as f32;
    let plot =
        Rect::from_min_max(rect.min + vec2(38.0, rows * WORDS + space::S), rect.max - vec2(space::M, 20.0));
    let range = span(spread);
    let x = |place: f64| {
        let share = (place - range.0) / (range.1 - range.0);
        plot.left() + plot.width() * share.clamp(0.0, 1.0) as f32
    };
    follow(ui, &response, spread, cursor, x);
    response.widget_info(|| {
        let mut info =
            WidgetInfo::labeled(Role::Slider, true, format!("Spread of the {}", spread.name.to_lowercase()));
        info.current_text_value = said.clone().or_else(|| Some("nothing is read off".to_owned()));
        info
    });
    if response.has_focus() {
        ui.painter().rect_stroke(
            rect.shrink(1.0),
            4.0,
            Stroke::new(1.5, tokens.accent),
            egui::StrokeKind::Inside,
        );
    }
    shares(ui, tokens, plot);
    bars(ui, tokens, spread, plot, x);
    line(ui, tokens, spread, plot, x);
    marks(ui, tokens, spread, (rect, plot), x);
    ticks(ui, tokens, spread, (rect, plot), x);
    if let Some((place, share)) = cursor.and_then(|at| spread.steps.get(at)) {
        let at = pos2(x(*place), level(plot, *share));
        ui.painter().vline(at.x, plot.y_range(), Stroke::new(1.0, tokens.accent));
        ui.painter().circle(at, 4.5, tokens.card, Stroke::new(2.0, tokens.accent));
    }
}

/// From where to where it is drawn: all trials, and lines that are not too far off.
fn span(spread: &Spread<'_>) -> (f64, f64) {
    let ends = spread.bars.iter().map(|(from, to, _)| (*from, *to));
    let (low, high) =
        ends.fold((f64::MAX, f64::MIN), |(low, high), (from, to)| (low.min(from), high.max(to)));
    if low > high {
        return (0.0, 1.0);
    }
    let width = (high - low).max(1.0);
    let near = spread.marks.iter().map(|m| m.x).filter(|at| *at > low - width && *at < high + width);
    let (least, most) = near.fold((low, high), |(least, most), at| (least.min(at), most.max(at)));
    let air = (most - least).max(1.0) * 0.03;
    (least - air, most + air)
}

/// Moves what is read off: to the pointer, or with the keys.
fn follow(
    ui: &Ui,
    response: &Response,
    spread: &Spread<'_>,
    cursor: &mut Option<usize>,
    x: impl Fn(f64) -> f32,
) {
    let last = spread.steps.len().saturating_sub(1);
    if let Some(pointer) = response.hover_pos() {
        let nearest = spread.steps.partition_point(|(place, _)| x(*place) < pointer.x);
        let before = nearest.saturating_sub(1);
        let far =
            |at: usize| spread.steps.get(at).map_or(f32::MAX, |(place, _)| (x(*place) - pointer.x).abs());
        *cursor = (!spread.steps.is_empty())
            .then(|| if far(before) < far(nearest) { before } else { nearest.min(last) });
    } else if !response.has_focus() {
        *cursor = None;
    }
    if response.clicked() {
        response.request_focus();
    }
    if !response.has_focus() || spread.steps.is_empty() {
        return;
    }
    let arrows = EventFilter { horizontal_arrows: true, ..Default::default() };
    ui.memory_mut(|m| m.set_focus_lock_filter(response.id, arrows));
    let middle = || spread.steps.partition_point(|(_, share)| *share < 0.5).min(last);
    let moves =
        [(Key::ArrowLeft, -1), (Key::ArrowRight, 1), (Key::Home, isize::MIN / 2), (Key::End, isize::MAX / 2)];
    for (key, by) in moves {
        if ui.input_mut(|i| i.consume_key(Modifiers::NONE, key)) {
            *cursor = Some(cursor.unwrap_or_else(middle).saturating_add_signed(by).min(last));
        }
    }
}

fn level(plot: Rect, share: f32) -> f32 {
    plot.bottom() - plot.height() * share
}

/// The scale of shares, and thin lines where half, 80 and 90 percent are.
fn shares(ui: &Ui, tokens: &Tokens, plot: Rect) {
    let font = theme::regular(type_size::SMALL);
    for percent in [0_u8, 50, 80, 90, 100] {
        let y = level(plot, f32::from(percent) / 100.0);
        let color = if percent == 0 { tokens.muted } else { tokens.line };
        ui.painter().hline(plot.x_range(), y, Stroke::new(1.0, color));
        // The words of 90 would touch those of 100.
        if percent != 90 {
            let at = pos2(plot.left() - 5.0, y);
            ui.painter().text(at, Align2::RIGHT_CENTER, format!("{percent}%"), font.clone(), tokens.muted);
        }
    }
}

fn bars(ui: &Ui, tokens: &Tokens, spread: &Spread<'_>, plot: Rect, x: impl Fn(f64) -> f32) {
    // Bars are as dense as there are trials in a stretch, since stretches are not all as wide.
    let dense = |(from, to, trials): &(f64, f64, u32)| f64::from(*trials) / (to - from).max(1e-9);
    let most = spread.bars.iter().map(dense).fold(0.0, f64::max);
    for bar in &spread.bars {
        let high = (dense(bar) / most.max(1e-9)) as f32 * plot.height() * 0.62;
        let (left, right) = (x(bar.0), x(bar.1));
        let gap = if right - left > 4.0 { 0.5 } else { 0.0 };
        let wide = Rangef::new(left + gap, (right - gap).max(left + 1.0));
        let own = Rect::from_x_y_ranges(wide, Rangef::new(plot.bottom() - high, plot.bottom()));
        ui.painter().rect_filled(own, 0.0, tokens.bar);
    }
}

/// The line of shares: it steps up where trials are.
fn line(ui: &Ui, tokens: &Tokens, spread: &Spread<'_>, plot: Rect, x: impl Fn(f64) -> f32) {
    let mut points: Vec<Pos2> = vec![pos2(plot.left(), plot.bottom())];
    for (place, share) in &spread.steps {
        let at = x(*place);
        let before = points.last().map_or(plot.bottom(), |p| p.y);
        points.push(pos2(at, before));
        points.push(pos2(at, level(plot, *share)));
    }
    points.push(pos2(plot.right(), points.last().map_or(plot.bottom(), |p| p.y)));
    ui.painter().add(Shape::line(points, Stroke::new(2.0, tokens.accent)));
}

/// Upright lines, each with its words in a row of its own.
fn marks(ui: &Ui, tokens: &Tokens, spread: &Spread<'_>, (rect, plot): (Rect, Rect), x: impl Fn(f64) -> f32) {
    let font = theme::regular(type_size::SMALL);
    for (row, mark) in spread.marks.iter().enumerate() {
        let at = x(mark.x);
        let y = rect.top() + WORDS * (row as f32 + 0.5);
        let color = tokens.need;
        let words = ui.painter().layout_no_wrap(mark.words.clone(), font.clone(), color);
        // Right of its line, unless the picture ends before.
        let left = (at + 4.0).min(rect.right() - words.size().x);
        let own = Rect::from_min_size(pos2(left.max(rect.left()), y - words.size().y / 2.0), words.size());
        // A line of another mark does not run through the words.
        ui.painter().rect_filled(own.expand2(vec2(2.0, 0.0)), 0.0, tokens.work);
        ui.painter().galley(own.min, words, color);
        let stroke = Stroke::new(if mark.wanted { 2.0 } else { 1.2 }, color);
        let down = Rangef::new(y + if left < at { WORDS * 0.5 } else { -5.0 }, plot.bottom());
        if mark.wanted {
            ui.painter().vline(at, down, stroke);
        } else {
            let ends = [pos2(at, down.min), pos2(at, down.max)];
            ui.painter().add(Shape::dashed_line(&ends, stroke, 4.0, 3.0));
        }
    }
}

/// Words below, as many as have room.
fn ticks(ui: &Ui, tokens: &Tokens, spread: &Spread<'_>, (rect, plot): (Rect, Rect), x: impl Fn(f64) -> f32) {
    let font = theme::regular(type_size::SMALL);
    let range = span(spread);
    let mut free = rect.left();
    for (place, words) in &spread.ticks {
        if *place < range.0 || *place > range.1 {
            continue;
        }
        let words = ui.painter().layout_no_wrap(words.clone(), font.clone(), tokens.muted);
        let (at, half) = (x(*place), words.size().x / 2.0);
        if at - half < free || at + half > rect.right() {
            continue;
        }
        ui.painter().vline(
            at,
            Rangef::new(plot.bottom(), plot.bottom() + 3.0),
            Stroke::new(1.0, tokens.muted),
        );
        ui.painter().galley(pos2(at - half, plot.bottom() + 4.0), words, tokens.muted);
        free = at + half + 8.0;
    }
}
