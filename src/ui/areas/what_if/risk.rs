//! What may come: how sure the finish and the total are, and what they hang on.

use super::spread_picture::{self, Mark, Spread};
use super::state::{Key, RiskPage};
use super::{risk_table, risks, ticks};
use crate::engine::Day;
use crate::engine::risk::{Hangs, Risk, Run, simulate};
use crate::exchange::outgoing::print::sure::percent;
use crate::model::{Action, Money};
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::Tokens;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{Outbox, View};
use crate::ui::widgets::{drop_down, marks, pieces};
use egui::{ProgressBar, RichText, Sense, Ui, vec2};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::sync::Arc;
use std::time::Duration;

/// Below this width the pictures stand below each other.
const SIDE_BY_SIDE: f32 = 760.0;

/// How many trials may be asked for.
const TRIALS: [u32; 4] = [1_000, 10_000, 100_000, 1_000_000];

/// How sure order-by days may be, in percent.
const SURE: [u32; 6] = [50, 60, 70, 80, 90, 95];

/// Draws the page.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let page = &mut session.what_if.risk;
    page.run.confidence = view.project.settings.confidence;
    let key = (view.derived.key(), page.run);
    page.asked.poll();
    if page.asked.wants(&key) {
        let (project, figures, run) = (view.project.clone(), view.derived.figures.clone(), page.run);
        page.asked.ask(&key, ui.ctx(), move |watch| simulate(&project, &figures, run, watch));
    }
    tools(ui, view, page, &key, out);
    ui.add_space(space::M);
    if let Some(risk) = page.asked.answer().cloned() {
        ui.scope(|ui| {
            if !page.asked.is_fresh(&key) {
                ui.multiply_opacity(0.45);
            }
            answer(ui, view, page, &risk);
            ui.add_space(space::L);
            risk_table::ui(ui, view, page, &risk, out);
        });
    }
    ui.add_space(space::L);
    risks::ui(ui, view, out);
    ui.add_space(space::L);
}

/// How many trials, and how far they are.
fn tools(ui: &mut Ui, view: &View<'_>, page: &mut RiskPage, key: &(Key, Run), out: &mut Outbox) {
    let tokens = view.tokens;
    ui.horizontal_wrapped(|ui| {
        let trials = TRIALS.map(|n| (format!("{} trials", format::money_short(Money::new(n.into()))), n));
        drop_down::one_of(ui, "How many trials", 130.0, &mut page.run.trials, trials);
        // It is that of the project, which the ledger and the figures go by as well.
        let mut settings = view.project.settings.clone();
        let own = Some(settings.confidence).filter(|n| !SURE.contains(n));
        let sure = SURE.into_iter().chain(own).map(|n| (format!("{n}% sure"), n));
        drop_down::one_of(ui, "How sure order-by days are", 100.0, &mut settings.confidence, sure);
        if settings != view.project.settings {
            out.act(Action::PutSettings(Box::new(settings)));
        }
        let again = ui.button("Draw again").on_hover_text(
            "The same trials with other numbers drawn: what differs then is chance, and not the house",
        );
        if again.clicked() {
            page.run.seed += 1;
        }
        if let Some(made) = page.asked.made() {
            let share = made as f32 / page.run.trials.max(1) as f32;
            ui.add(ProgressBar::new(share).desired_width(120.0).show_percentage());
            if ui.button("Stop").clicked() {
                page.asked.stop();
            }
            ui.ctx().request_repaint_after(Duration::from_millis(60));
        } else if page.asked.is_stopped(key) {
            ui.label(RichText::new("Stopped; what is shown is older.").color(tokens.soon));
            if ui.button("Go on").clicked() {
                page.asked.again();
                ui.ctx().request_repaint();
            }
        }
    });
}

/// Figures in words, then the two pictures.
fn answer(ui: &mut Ui, view: &View<'_>, page: &mut RiskPage, risk: &Risk) {
    let certain = risk.totals.first() == risk.totals.last() && risk.by_day.len() < 2;
    if certain {
        ui.label(pieces::strong("Nothing is uncertain yet", 16.0));
        ui.label(
            "Every trial comes out the same. Say the least and the most days of phases, the least and the most of lead \
             times, how often an inspection fails, or list a risk below: then this shows how sure the finish and the \
             total are.",
        );
        ui.add_space(space::M);
    }
    if ui.available_width() < SIDE_BY_SIDE {
        finish_words(ui, view, risk);
        finish(ui, view, page, risk);
        ui.add_space(space::L);
        total_words(ui, view, risk);
        total(ui, view, page, risk);
        return;
    }
    // The pictures stand level, however many lines the words over them take.
    ui.columns(2, |columns| {
        if let [left, right] = columns {
            left.vertical(|ui| finish_words(ui, view, risk));
            right.vertical(|ui| total_words(ui, view, risk));
        }
    });
    ui.columns(2, |columns| {
        if let [left, right] = columns {
            left.vertical(|ui| finish(ui, view, page, risk));
            right.vertical(|ui| total(ui, view, page, risk));
        }
    });
}

/// Three figures, each with what it is.
fn three(ui: &mut Ui, tokens: &Tokens, figures: [(&str, String, String); 3]) {
    ui.columns(3, |columns| {
        for (ui, (words, figure, error)) in columns.iter_mut().zip(figures) {
            // Columns are justified, which would stretch words and make some of them wrap.
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                pieces::cell_text(ui, RichText::new(words).size(type_size::SMALL).color(tokens.muted))
                    .on_hover_text(words);
                pieces::cell_text(ui, pieces::strong(&figure, 15.0)).on_hover_text(&figure);
                pieces::muted(ui, tokens, error)
                    .on_hover_text("How far chance alone may have moved it: its standard error");
            });
        }
    });
}

/// What is said of a share that the user wants to be high.
fn wanted(ui: &mut Ui, tokens: &Tokens, share: Decimal, words: &str) {
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(14.0, 18.0), Sense::hover());
        let tone = if share >= Decimal::new(8, 1) {
            marks::check(ui.painter(), rect.center(), tokens.good);
            tokens.good
        } else {
            let tone = if share >= Decimal::new(5, 1) { tokens.soon } else { tokens.late };
            marks::triangle(ui.painter(), rect.center(), tone);
            tone
        };
        ui.add(egui::Label::new(RichText::new(words).color(tone)).wrap());
    });
}

/// How sure the finish is, in words.
fn finish_words(ui: &mut Ui, view: &View<'_>, risk: &Risk) {
    let near = view.as_of();
    let Some(own) = &risk.finish else {
        ui.label(pieces::strong("Finish", 15.0));
        ui.label("No phase has days yet, so there is no finish to be sure of.");
        return;
    };
    let error = |at: usize| format!("\u{b1} {} d", own.errors[at].normalize());
    three(
        ui,
        view.tokens,
        [
            ("5 in 10 finish by", format::day_short(own.p50, near), error(0)),
            ("8 in 10", format::day_short(own.p80, near), error(1)),
            ("9 in 10", format::day_short(own.p90, near), error(2)),
        ],
    );
    let target = view.project.settings.target_finish.map(Day::from);
    match risk.in_target.zip(target) {
        Some((trials, target)) => {
            let (share, day) = (risk.share(trials), format::day(target, near));
            wanted(
                ui,
                view.tokens,
                share,
                &format!("The target {day} is met in {} of the trials.", percent(share)),
            );
        }
        None => {
            pieces::muted(
                ui,
                view.tokens,
                "There is no target finish; it stands in the settings of the project.",
            );
        }
    }
}

/// The picture of it.
fn finish(ui: &mut Ui, view: &View<'_>, page: &mut RiskPage, risk: &Risk) {
    if risk.finish.is_none() {
        return;
    }
    let near = view.as_of();
    let target = view.project.settings.target_finish.map(Day::from);
    let from = |day: Day| f64::from(day.since(near));
    let mut lines = Vec::new();
    if let Some(now) = view.figures.forecast_finish {
        lines.push(Mark {
            x: from(now),
            words: format!("forecast {}", format::day_short(now, near)),
            wanted: false,
        });
    }
    if let Some(target) = target {
        let words = format!("target {}", format::day_short(target, near));
        lines.push(Mark { x: from(target), words, wanted: true });
    }
    let first = risk.by_day.first().map_or(near, |(day, _)| *day);
    let last = risk.by_day.last().map_or(near, |(day, _)| *day);
    let mut so_far = 0;
    let steps = risk.by_day.iter().map(|(day, trials)| {
        so_far += trials;
        (from(*day), so_far as f32 / risk.trials.max(1) as f32)
    });
    let read = |at: usize| {
        let Some((day, _)) = risk.by_day.get(at) else { return String::new() };
        format!("{} of the trials finish by {}.", percent(risk.finished_by(*day)), format::day(*day, near))
    };
    let spread = Spread {
        name: "Finish",
        bars: bars_of_days(risk, near),
        steps: steps.collect(),
        marks: lines,
        ticks: ticks::days(first.plus(-60), last.plus(60), last.since(first))
            .into_iter()
            .map(|(day, name)| (from(day), name))
            .collect(),
        read: &read,
    };
    spread_picture::ui(ui, view.tokens, &spread, &mut page.day);
}

/// How many trials finish on a day, or in a week where there are many days.
fn bars_of_days(risk: &Risk, near: Day) -> Vec<(f64, f64, u32)> {
    let (Some((first, _)), Some((last, _))) = (risk.by_day.first(), risk.by_day.last()) else {
        return Vec::new();
    };
    let wide = if last.since(*first) > 120 { 7 } else { 1 };
    let mut bars: Vec<(f64, f64, u32)> = Vec::new();
    let mut known = None;
    for (day, trials) in &risk.by_day {
        let stretch = day.since(*first) / wide;
        let from = f64::from(first.since(near) + stretch * wide);
        match bars.last_mut().filter(|_| known == Some(stretch)) {
            Some(bar) => bar.2 += trials,
            None => bars.push((from - 0.5, from - 0.5 + f64::from(wide), *trials)),
        }
        known = Some(stretch);
    }
    bars
}

/// How sure the total is, in words.
fn total_words(ui: &mut Ui, view: &View<'_>, risk: &Risk) {
    let error = |at: usize| format!("\u{b1} {}", format::money_short(risk.total.errors[at]));
    three(
        ui,
        view.tokens,
        [
            ("5 in 10 cost at most", format::money_short(risk.total.p50), error(0)),
            ("8 in 10", format::money_short(risk.total.p80), error(1)),
            ("9 in 10", format::money_short(risk.total.p90), error(2)),
        ],
    );
    let share = risk.share(risk.in_contingency);
    wanted(
        ui,
        view.tokens,
        share,
        &format!("The contingency is enough in {} of the trials.", percent(share)),
    );
}

/// The picture of it.
fn total(ui: &mut Ui, view: &View<'_>, page: &mut RiskPage, risk: &Risk) {
    let currency = view.currency();
    let float = |m: Money| m.amount().to_f64().unwrap_or(0.0);
    let money = &view.figures.money;
    let enough = money.total.allowance.plus(money.contingency);
    let marks = vec![
        Mark {
            x: float(money.total.forecast),
            words: format!("forecast {}", format::money_short(money.total.forecast)),
            wanted: false,
        },
        Mark {
            x: float(enough),
            words: format!("allowances and contingency {}", format::money_short(enough)),
            wanted: true,
        },
    ];
    let mut from = risk.totals.first().copied().map_or(0.0, float);
    let bars = risk.by_amount.iter().map(|(to, trials)| {
        let bar = (from, float(*to), *trials);
        from = bar.1;
        bar
    });
    let bars: Vec<(f64, f64, u32)> = bars.collect();
    let hundredth = |percent: usize| {
        let rank = (percent * risk.totals.len()).div_ceil(100).max(1) - 1;
        risk.totals.get(rank).copied()
    };
    let steps: Vec<(f64, f32)> =
        (1..=100).filter_map(|p| Some((float(hundredth(p)?), p as f32 / 100.0))).collect();
    let read = |at: usize| {
        let Some(amount) = hundredth(at + 1) else { return String::new() };
        let share = percent(risk.within(amount));
        format!("{share} of the trials come to {} or less.", format::money(amount, currency))
    };
    let ticks = ticks::amounts(risk.totals.first().copied(), risk.totals.last().copied());
    let ticks = ticks.into_iter().map(|amount| (float(amount), format::money_thousands(amount))).collect();
    let spread = Spread { name: "Total", bars, steps, marks, ticks, read: &read };
    spread_picture::ui(ui, view.tokens, &spread, &mut page.amount);
    let size = type_size::SMALL;
    if money.total.is_least() {
        ui.label(
            RichText::new("What has no price is in none of these totals.").size(size).color(view.tokens.soon),
        );
    }
}

/// Rows of the table, made once for each answer.
pub fn rows(view: &View<'_>, page: &mut RiskPage, risk: &Arc<Risk>) -> Arc<[Hangs]> {
    if let Some((own, rows)) = &page.rows
        && Arc::ptr_eq(own, risk)
    {
        return rows.clone();
    }
    let rows: Arc<[Hangs]> = risk.hangs(view.project, view.figures).into();
    page.rows = Some((risk.clone(), rows.clone()));
    rows
}
