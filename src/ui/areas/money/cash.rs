//! What falls due by week, and the sum of it.

use crate::model::Money;
use crate::ui::format;
use crate::ui::view::View;
use crate::ui::widgets::pieces;
use egui::Ui;
use egui_plot::{Bar, BarChart, Line, Plot, PlotPoints};
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
        "Deposits when ordering, balances on delivery or after the supplier's net days, quotes in parts as their phases are done. Allowances of what is undecided are not in it.",
    );
    let (tokens, currency, near) = (view.tokens, view.currency(), view.as_of());
    let float = |m: Money| m.amount().to_f64().unwrap_or(0.0);
    let week = |day: crate::engine::Day| f64::from(day.since(first)) / 7.0;
    let bars: Vec<Bar> = cash
        .iter()
        .map(|w| {
            let short = w
                .short()
                .map_or(String::new(), |short| format!(", short of {}", format::money(short, currency)));
            let draws = match w.draws {
                draws if draws.is_zero() => String::new(),
                draws => format!(", {} comes from the lender", format::money(draws, currency)),
            };
            let fill = if short.is_empty() { tokens.bar } else { tokens.late_fill };
            Bar::new(week(w.monday), float(w.due)).width(0.8).fill(fill).name(format!(
                "week of {}: {} {currency}, {} so far{draws}{short}",
                format::day_short(w.monday, near),
                format::money(w.due, currency),
                format::money(w.cumulative, currency)
            ))
        })
        .collect();
    let chart =
        BarChart::new("due", bars).color(tokens.bar).element_formatter(Box::new(|bar, _| bar.name.clone()));
    // A word stands over each week that is short: its color alone says nothing.
    let short = cash.iter().filter(|w| w.short().is_some()).map(|w| {
        let at = egui_plot::PlotPoint::new(week(w.monday), float(w.due));
        egui_plot::Text::new("short", at, egui::RichText::new("short").color(tokens.late))
            .anchor(egui::Align2::CENTER_BOTTOM)
    });
    let short: Vec<egui_plot::Text> = short.collect();
    let drawn = plot("cash_flow", 130.0, first, near).show(ui, |plot| {
        plot.bar_chart(chart);
        short.into_iter().for_each(|text| plot.text(text));
    });
    let weeks = format::count(cash.len() as i32, "week");
    let spoken = format!("What falls due in each of {weeks}");
    drawn.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, &spoken));
    shortage(ui, view);
    let total = cash.last().map_or(Money::ZERO, |w| w.cumulative);
    pieces::muted(ui, tokens, format!("Together, up to {} {currency}", format::money(total, currency)));
    let points: Vec<[f64; 2]> = cash.iter().map(|w| [week(w.monday), float(w.cumulative)]).collect();
    let line = Line::new("together", PlotPoints::from(points.clone())).color(tokens.accent).width(2.0);
    let dots = egui_plot::Points::new("weeks", PlotPoints::from(points)).color(tokens.accent).radius(3.0);
    let drawn = plot("cash_together", 100.0, first, near).show(ui, |plot| {
        plot.line(line);
        plot.points(dots);
    });
    let spoken = format!("What falls due together, up to {} {currency}", format::money(total, currency));
    drawn.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, &spoken));
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
        let words = format!("What there is does not suffice: short of {}.", short.join(", "));
        ui.add(egui::Label::new(egui::RichText::new(words).color(view.tokens.late)).wrap());
    }
}

/// A plot over weeks that stays where it is.
fn plot<'a>(id: &'static str, height: f32, first: crate::engine::Day, near: crate::engine::Day) -> Plot<'a> {
    Plot::new(id)
        .height(height)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .show_x(false)
        .show_y(false)
        .include_y(0.0)
        .show_grid([false, true])
        .y_axis_min_width(56.0)
        .link_axis(egui::Id::unique("cash"), [true, false])
        .x_axis_formatter(move |mark, _| {
            let days = (mark.value * 7.0).round();
            if (mark.value - mark.value.round()).abs() > 0.01 || !(-1e6..1e6).contains(&days) {
                return String::new();
            }
            format::day_short(first.plus(days as i32), near)
        })
        .y_axis_formatter(|mark, _| {
            rust_decimal::Decimal::try_from(mark.value)
                .map_or(String::new(), |d| format::money_short(Money::new(d)))
        })
}
