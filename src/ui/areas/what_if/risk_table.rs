//! What the finish hangs on: phases and parts by how often they fix it, and what waiting with an order costs.

use super::state::RiskPage;
use crate::engine::risk::{Hangs, Risk};
use crate::exchange::outgoing::print::sure::percent;
use crate::model::Subject;
use crate::ui::format;
use crate::ui::theme::Tokens;
use crate::ui::theme::tokens::type_size;
use crate::ui::view::{Outbox, View};
use crate::ui::widgets::pieces;
use egui::{Align, Layout, Rect, RichText, Role, Sense, Ui, WidgetInfo, vec2};
use egui_extras::{Column, TableBuilder, TableRow};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::sync::Arc;

/// Rows of each table shown before all are asked for.
const SHOWN: usize = 8;

/// Below this width the tables stand below each other.
const BESIDE: f32 = 760.0;

/// Draws two tables: work, and things that are bought.
pub fn ui(ui: &mut Ui, view: &View<'_>, page: &mut RiskPage, risk: &Arc<Risk>, out: &mut Outbox) {
    let rows = super::risk::rows(view, page, risk);
    ui.label(pieces::strong("What sets the finish", 15.0));
    if rows.is_empty() {
        pieces::muted(ui, view.tokens, "Nothing that is still to be done sets the finish.");
        return;
    }
    let most = if page.all { rows.len() } else { SHOWN };
    let of = |things: bool| {
        let own = rows.iter().filter(move |own| matches!(own.subject, Subject::Part(_)) == things);
        own.take(most).collect::<Vec<_>>()
    };
    let (work, things) = (of(false), of(true));
    let mut drawn = |ui: &mut Ui, rows: &[&Hangs], things: bool| {
        if !rows.is_empty() {
            table(ui, view, risk, (rows, things), out);
        }
    };
    if ui.available_width() < BESIDE || work.is_empty() || things.is_empty() {
        drawn(ui, &things, true);
        drawn(ui, &work, false);
    } else {
        ui.columns(2, |columns| {
            if let [left, right] = columns {
                drawn(left, &work, false);
                drawn(right, &things, true);
            }
        });
    }
    if rows.len() > work.len() + things.len() || page.all {
        let words =
            if page.all { "only the first of each".to_owned() } else { format!("all {}", rows.len()) };
        if pieces::link(ui, view.tokens, &words).clicked() {
            page.all = !page.all;
        }
    }
}

fn table(ui: &mut Ui, view: &View<'_>, risk: &Risk, (rows, things): (&[&Hangs], bool), out: &mut Outbox) {
    let tokens = view.tokens;
    let sure = format!("{}% sure", risk.confidence);
    let mut titles = vec![
        (if things { "Things to buy" } else { "Work" }, ""),
        ("Sets it in", "The share of trials in which the finish would be sooner if it took less"),
    ];
    if things {
        titles.extend([
            (
                "A week costs",
                "Working days by which the finish is later on average when it is ordered a week later",
            ),
            ("Order by", "The last day to order it, as everything is likely"),
            (sure.as_str(), "The last day to order it so that it comes in time with that chance"),
        ]);
    }
    let wide = ui.available_width() > 460.0;
    ui.push_id(("hangs_on", things, wide), |ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        TableBuilder::new(ui)
            .vscroll(false)
            .striped(true)
            .cell_layout(Layout::left_to_right(Align::Center))
            .column(Column::remainder().at_least(100.0).clip(true))
            .column(Column::exact(if wide { 116.0 } else { 92.0 }))
            .columns(Column::exact(if wide { 76.0 } else { 66.0 }), titles.len() - 2)
            .header(24.0, |mut header| {
                for (at, (title, rule)) in titles.iter().enumerate() {
                    header.col(|ui| {
                        ui.with_layout(pieces::cell_layout(at > 1), |ui| {
                            let title = pieces::group_title(ui, tokens, title);
                            if !rule.is_empty() {
                                title.on_hover_text(*rule);
                            }
                        });
                    });
                }
            })
            .body(|body| {
                body.rows(24.0, rows.len(), |mut row| {
                    if let Some(own) = rows.get(row.index()) {
                        line(&mut row, view, risk, own, out);
                    }
                });
            });
    });
    ui.add_space(8.0);
}

fn line(row: &mut TableRow<'_, '_>, view: &View<'_>, risk: &Risk, own: &Hangs, out: &mut Outbox) {
    let (tokens, near) = (view.tokens, view.as_of());
    let share = risk.share(own.fixing);
    row.col(|ui| {
        let button = ui.add(egui::Button::new(&own.name).frame(false).truncate());
        button.widget_info(|| WidgetInfo::labeled(Role::Button, true, spoken(own, share)));
        if button.on_hover_text(&own.name).clicked() {
            out.show(own.subject);
        }
    });
    row.col(|ui| bar(ui, tokens, share));
    if !matches!(own.subject, Subject::Part(_)) {
        return;
    }
    let days = own.week_costs.map(|days| match days {
        days if days.is_zero() => ("nothing".to_owned(), tokens.muted),
        days => (format!("{} d", days.normalize()), tokens.late),
    });
    right(row, days);
    right(row, own.order_by.map(|day| (format::day_short(day, near), tokens.text)));
    let earlier = own.order_by_sure < own.order_by;
    let tone = if own.order_by_sure.is_some_and(|day| day < near) {
        tokens.late
    } else if earlier {
        tokens.soon
    } else {
        tokens.text
    };
    right(row, own.order_by_sure.map(|day| (format::day_short(day, near), tone)));
}

/// A row as it is read aloud.
fn spoken(own: &Hangs, share: Decimal) -> String {
    let mut words = format!("{}, sets the finish in {} of the trials", own.name, percent(share));
    if let Some(days) = own.week_costs.filter(|days| !days.is_zero()) {
        words.push_str(&format!(", a week's wait costs {}", format::count(days.normalize(), "working day")));
    }
    words
}

fn right(row: &mut TableRow<'_, '_>, words: Option<(String, egui::Color32)>) {
    row.col(|ui| {
        ui.with_layout(pieces::cell_layout(true), |ui| {
            if let Some((words, tone)) = words {
                pieces::cell_text(ui, RichText::new(words).color(tone));
            }
        });
    });
}

/// A share as a bar with its number.
fn bar(ui: &mut Ui, tokens: &Tokens, share: Decimal) {
    let width = (ui.available_width() - 58.0).max(20.0);
    let (rect, _) = ui.allocate_exact_size(vec2(width, 9.0), Sense::hover());
    ui.painter().rect_filled(rect, 2.0, tokens.hovered);
    let full = share.to_f32().unwrap_or(0.0).clamp(0.0, 1.0);
    let own = Rect::from_min_size(rect.min, vec2(rect.width() * full, rect.height()));
    ui.painter().rect_filled(own, 2.0, tokens.phase);
    ui.label(RichText::new(percent(share)).size(type_size::SMALL));
}
