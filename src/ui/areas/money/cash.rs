//! What falls due by week, and the sum of it.

use crate::engine::Day;
use crate::engine::cash::CashWeek;
use crate::model::{Currency, Money};
use crate::ui::format;
use crate::ui::theme::{self, Tokens, tokens::type_size};
use crate::ui::view::View;
use crate::ui::widgets::pieces;
use egui::Ui;
use egui_plot::{Bar, BarChart, GridMark, Line, Plot, PlotPoints, PlotResponse, VLine};
use rust_decimal::prelude::ToPrimitive;

/// Draws two plots over the same weeks: each week by itself, and all of it up to the end of a week.
pub fn ui(ui: &mut Ui, view: &View<'_>) {
    ui.label(pieces::strong("What falls due, by week", 15.0));
    let cash = &view.figures.cash;
    let Some(first) = cash.first().map(|w| w.monday) else {
        pieces::muted(ui, view.tokens, "Nothing is left to pay.");
        return;
    };
    pieces::muted(
        ui,
        view.tokens,
        "Deposits when ordering, balances on delivery or after the supplier's net days, bids in parts as their phases are done. Allowances of what is undecided are not in it.",
    );
    let (tokens, currency, near) = (view.tokens, view.currency(), view.as_of());
    let float = |m: Money| m.amount().to_f64().unwrap_or(0.0);
    let week = |day: Day| f64::from(day.since(first)) / 7.0;
    let weeks_at: Vec<f64> = cash.iter().map(|w| week(w.monday)).collect();
    // The week that is read, in both pictures; what was pointed at last stays until another is.
    let id = egui::Id::unique("week of cash");
    let read: Option<usize> = ui.data(|d| d.get_temp(id)).filter(|at| *at < cash.len());
    let words = read.and_then(|at| cash.get(at)).map(|w| week_words(w, currency, near));
    let line = words.clone().unwrap_or("Point at a week to read it, or use the arrow keys.".to_owned());
    let color = if words.is_some() { tokens.text } else { tokens.muted };
    ui.add(egui::Label::new(egui::RichText::new(line).color(color)).wrap());
    let bars: Vec<Bar> = cash
        .iter()
        .map(|w| {
            let fill = if w.short().is_some() { tokens.late_fill } else { tokens.bar };
            Bar::new(week(w.monday), float(w.due)).width(0.8).fill(fill)
        })
        .collect();
    let chart = BarChart::new("due", bars)
        .color(tokens.bar)
        .element_formatter(Box::new(|_, _| String::new()))
        .allow_hover(false);
    // A word stands over each week that is short: its color alone says nothing.
    let short = cash.iter().filter(|w| w.short().is_some()).map(|w| {
        let at = egui_plot::PlotPoint::new(week(w.monday), float(w.due));
        egui_plot::Text::new("short", at, egui::RichText::new("short").color(tokens.late))
            .anchor(egui::Align2::CENTER_BOTTOM)
    });
    let short: Vec<egui_plot::Text> = short.collect();
    let upright = || {
        let at = read.and_then(|at| cash.get(at)).map(|w| week(w.monday));
        at.map(|at| VLine::new("read", at).color(tokens.text).width(1.0).allow_hover(false))
    };
    let drawn = plot("cash_flow", 130.0, (first, near), &weeks_at, tokens).show(ui, |plot| {
        upright().into_iter().for_each(|line| plot.vline(line));
        plot.bar_chart(chart);
        short.into_iter().for_each(|text| plot.text(text));
    });
    let weeks = format::count(cash.len() as i32, "week");
    let spoken = format!("What falls due in each of {weeks}");
    let mut next = pointed(ui, &drawn, &weeks_at, read, &spoken, words.as_deref());
    shortage(ui, view);
    let total = cash.last().map_or(Money::ZERO, |w| w.cumulative);
    pieces::muted(ui, tokens, format!("Together, up to {} {currency}", format::money(total, currency)));
    let points: Vec<[f64; 2]> = cash.iter().map(|w| [week(w.monday), float(w.cumulative)]).collect();
    let line = Line::new("together", PlotPoints::from(points.clone()))
        .color(tokens.accent)
        .width(2.0)
        .allow_hover(false);
    let dots = egui_plot::Points::new("weeks", PlotPoints::from(points))
        .color(tokens.accent)
        .radius(3.0)
        .allow_hover(false);
    let drawn = plot("cash_together", 100.0, (first, near), &weeks_at, tokens).show(ui, |plot| {
        upright().into_iter().for_each(|line| plot.vline(line));
        plot.line(line);
        plot.points(dots);
    });
    let spoken = format!("What falls due together, up to {} {currency}", format::money(total, currency));
    next = next.or(pointed(ui, &drawn, &weeks_at, read, &spoken, words.as_deref()));
    if let Some(next) = next.filter(|next| Some(*next) != read) {
        ui.data_mut(|d| d.insert_temp(id, next));
        ui.ctx().request_repaint();
    }
}

/// A week in words.
fn week_words(w: &CashWeek, currency: Currency, near: Day) -> String {
    let short =
        w.short().map_or(String::new(), |short| format!(", short of {}", format::money(short, currency)));
    let draws = match w.draws {
        draws if draws.is_zero() => String::new(),
        draws => format!(", {} comes from the lender", format::money(draws, currency)),
    };
    format!(
        "Week of {}: {} {currency}, {} so far{draws}{short}",
        format::day_short(w.monday, near),
        format::money(w.due, currency),
        format::money(w.cumulative, currency)
    )
}

/// Which week is pointed at, or gone to by the arrow keys. The picture is read aloud with the week.
fn pointed(
    ui: &Ui,
    drawn: &PlotResponse<()>,
    weeks: &[f64],
    read: Option<usize>,
    spoken: &str,
    words: Option<&str>,
) -> Option<usize> {
    let response = &drawn.response;
    let spoken = words.map_or(spoken.to_owned(), |words| format!("{spoken}. {words}"));
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, &spoken));
    let last = weeks.len().checked_sub(1)?;
    if response.has_focus() {
        let filter = egui::EventFilter { horizontal_arrows: true, ..Default::default() };
        ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
        let pressed = |key| ui.input(|i| i.num_presses(key));
        let (back, on) = (pressed(egui::Key::ArrowLeft), pressed(egui::Key::ArrowRight));
        if back + on > 0 {
            let at = read.map_or(0, |at| (at + on).min(last).saturating_sub(back));
            return Some(at);
        }
    }
    // A pointer that rests says nothing new: the arrow keys would be put back by it.
    let moved = ui.input(|i| i.pointer.delta() != egui::Vec2::ZERO || i.pointer.any_pressed());
    let pos = response.hover_pos().filter(|_| moved)?;
    let at = drawn.transform.value_from_position(pos).x;
    // Beyond the weeks, and between two that are apart, there is none to read.
    weeks.iter().position(|week| (week - at).abs() <= 0.5)
}

/// The weeks in which what there is does not suffice, in words.
fn shortage(ui: &mut Ui, view: &View<'_>) {
    let (currency, near) = (view.currency(), view.as_of());
    let short: Vec<String> = view
        .figures
        .cash
        .iter()
        .filter_map(|w| {
            Some(format!(
                "{} in the week of {}",
                format::money(w.short()?, currency),
                format::day_short(w.monday, near)
            ))
        })
        .collect();
    if !short.is_empty() {
        let words = format!("Short of cash: {}.", short.join(", "));
        ui.add(egui::Label::new(egui::RichText::new(words).color(view.tokens.late)).wrap());
    }
}

/// A plot over weeks that stays where it is.
fn plot<'a>(
    id: &'static str,
    height: f32,
    (first, near): (Day, Day),
    weeks: &[f64],
    tokens: &Tokens,
) -> Plot<'a> {
    Plot::new(id)
        .height(height)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .sense(egui::Sense::click())
        .include_x(-0.5)
        .include_x(weeks.last().copied().unwrap_or(0.0) + 0.5)
        .show_x(false)
        .show_y(false)
        .include_y(0.0)
        .show_grid([false, true])
        .link_axis(egui::Id::unique("cash"), [true, false])
        .x_grid_spacer(|input| dated_weeks(input.bounds, input.base_step_size / f64::from(GRID)))
        .grid_spacing(egui::Rangef::new(GRID, 300.0))
        .custom_x_axes(vec![hints(egui_plot::AxisHints::new_x(), tokens).formatter(move |mark, _| {
            let days = (mark.value * 7.0).round();
            if !(-1e6..1e6).contains(&days) {
                return String::new();
            }
            format::day_short(first.plus(days as i32), near)
        })])
        .custom_y_axes(vec![hints(egui_plot::AxisHints::new_y(), tokens).min_thickness(56.0).formatter(
            |mark, _| {
                rust_decimal::Decimal::try_from(mark.value)
                    .map_or(String::new(), |d| format::money_short(Money::new(d)))
            },
        )])
}

/// Least points between two lines of the grid.
const GRID: f32 = 8.0;
/// Least points between two dates, the longest of which names its year.
const DATES: f64 = 92.0;

/// The weeks whose Monday is written below: as many as find room, at steps that are easy to count.
fn dated_weeks((from, to): (f64, f64), per_point: f64) -> Vec<GridMark> {
    let wanted = per_point * DATES;
    let steps = [1.0, 2.0, 4.0, 8.0, 13.0, 26.0, 52.0, 104.0, 520.0];
    let step = steps.into_iter().find(|step| *step >= wanted).unwrap_or(5_200.0);
    let first = (from.max(0.0) / step).ceil();
    let count = ((to / step).floor() - first + 1.0).clamp(0.0, 100.0) as u32;
    (0..count).map(|n| GridMark { value: (first + f64::from(n)) * step, step_size: step }).collect()
}

/// An axis in small muted letters.
fn hints<'a>(axis: egui_plot::AxisHints<'a>, tokens: &Tokens) -> egui_plot::AxisHints<'a> {
    axis.tick_label_font(theme::regular(type_size::SMALL)).tick_label_color(tokens.muted)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whatever the width and however many the weeks: dates apart, none before the first, never a lone one where two fit.
    #[test]
    fn dates_stand_apart_and_close_enough() {
        for weeks in [1.0_f64, 5.0, 17.0, 26.0, 60.0, 300.0] {
            for points in [200.0_f64, 500.0, 900.0, 2000.0] {
                let marks = dated_weeks((-0.5, weeks + 0.5), (weeks + 1.0) / points);
                assert!(!marks.is_empty() && marks[0].value >= 0.0, "{weeks} {points}");
                assert!(marks.iter().all(|m| m.value.fract() == 0.0 && m.value <= weeks + 0.5));
                let apart = marks[0].step_size * points / (weeks + 1.0);
                assert!(apart >= DATES, "{weeks} {points}: {apart}");
                let most = (points / DATES).min(weeks + 1.0);
                assert!(
                    marks.len() as f64 >= (most / 3.0).floor().max(1.0),
                    "{weeks} {points}: {}",
                    marks.len()
                );
            }
        }
    }
}
