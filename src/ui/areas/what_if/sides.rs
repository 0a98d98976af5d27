//! Alternatives side by side: a column each beside now, with what it would change, its money by room, its dates and what
//! would be wrong with it.

use super::sides_edit;
use super::state::SidesPage;
use crate::engine::alternatives::{self, Side, Sides};
use crate::engine::curve;
use crate::engine::risk::{Risk, Run, simulate};
use crate::engine::without::Changed;
use crate::exchange::outgoing::print::sure::percent;
use crate::model::{Alternative, Money, Project, words};
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{Outbox, View};
use crate::ui::widgets::pieces;
use egui::{Align, Label, Layout, RichText, ScrollArea, Ui, vec2};
use std::sync::Arc;

/// The least and the most points of a column.
const COLUMN: (f32, f32) = (172.0, 300.0);

/// Points of the names of rows.
const NAMES: f32 = 132.0;

/// Trials of each, on the same numbers drawn.
const TRIALS: u32 = 4_000;

/// What is worked out for the page: the sides, and the trials of now and of each.
#[derive(Debug, Clone)]
pub struct Answer {
    /// Now and the alternatives.
    pub sides: Sides,
    /// Trials of now, then of each alternative.
    pub risks: Vec<Risk>,
}

/// Draws the page.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let page = &mut session.what_if.sides;
    let key = view.derived.key();
    page.asked.poll();
    if page.asked.wants(&key) {
        let (project, figures) = (view.project.clone(), view.derived.figures.clone());
        page.asked.ask(&key, ui.ctx(), move |watch| {
            let run = Run::new(TRIALS, 1);
            let mut risks = vec![simulate(&project, &figures, run, watch)?];
            let mut others = Vec::new();
            for made in alternatives::each_made(&project, &figures) {
                risks.push(simulate(&made.project, &made.figures, run, watch)?);
                others.push(made.side);
            }
            Some(Answer { sides: Sides { now: alternatives::now(&project, &figures), others }, risks })
        });
    }
    sides_edit::tools(ui, view, page, out);
    ui.add_space(space::M);
    if view.project.alternatives.is_empty() {
        ui.label(pieces::strong("No alternatives yet", 16.0));
        ui.label(
            "Keep what is chosen now under a name, then choose otherwise in House and compare. Or keep the changes of a \
             point of Cheaper or sooner. An alternative counts in no figure until you make it.",
        );
        return;
    }
    let Some(answer) = page.asked.answer().cloned() else {
        pieces::muted(ui, view.tokens, "Working out what each comes to\u{2026}");
        return;
    };
    ui.scope(|ui| {
        if !page.asked.is_fresh(&key) {
            ui.multiply_opacity(0.45);
        }
        table(ui, view, page, &answer, out);
    });
}

/// A row: its name, and what stands in the column of a side.
type Row<'a> = (String, Box<dyn Fn(&mut Ui, usize, &Side) + 'a>);

fn table(ui: &mut Ui, view: &View<'_>, page: &mut SidesPage, answer: &Arc<Answer>, out: &mut Outbox) {
    let project = view.project;
    let columns: Vec<(Option<&Alternative>, &Side)> = std::iter::once((None, &answer.sides.now))
        .chain(project.alternatives.iter().map(Some).zip(&answer.sides.others))
        .collect();
    let room = ui.available_width() - NAMES - 8.0 * (columns.len() as f32 + 1.0);
    let column = (room / columns.len() as f32).clamp(COLUMN.0, COLUMN.1);
    ScrollArea::horizontal().id_salt("sides").auto_shrink([false, true]).show(ui, |ui| {
        ui.horizontal_top(|ui| {
            ui.add_space(NAMES + 8.0);
            for (alternative, side) in &columns {
                ui.allocate_ui_with_layout(vec2(column, 0.0), Layout::top_down(Align::Min), |ui| {
                    ui.set_width(column);
                    match alternative {
                        None => {
                            ui.label(pieces::strong("Now", 16.0));
                            pieces::muted(ui, view.tokens, "What is chosen and forecast");
                        }
                        Some(alternative) => sides_edit::head(ui, view, page, alternative, side, out),
                    }
                });
            }
        });
        for (nth, (name, cell)) in rows(view, answer, project).into_iter().enumerate() {
            let top = ui.cursor().top();
            let row = ui.horizontal_top(|ui| {
                ui.allocate_ui_with_layout(vec2(NAMES, 0.0), Layout::top_down(Align::Min), |ui| {
                    ui.set_width(NAMES);
                    ui.add(Label::new(RichText::new(&name).color(view.tokens.muted)).truncate());
                });
                for (at, (_, side)) in columns.iter().enumerate() {
                    ui.allocate_ui_with_layout(vec2(column, 0.0), Layout::top_down(Align::Min), |ui| {
                        ui.set_width(column);
                        ui.push_id((nth, at), |ui| cell(ui, at, side));
                    });
                }
            });
            let line = row.response.rect.x_range();
            ui.painter().hline(line, top - 2.0, egui::Stroke::new(1.0, view.tokens.line.gamma_multiply(0.6)));
        }
    });
}

fn rows<'a>(view: &'a View<'a>, answer: &'a Arc<Answer>, project: &'a Project) -> Vec<Row<'a>> {
    let (tokens, near, currency) = (view.tokens, view.as_of(), view.currency());
    let now = &answer.sides.now;
    let small = |ui: &mut Ui, words: String, tone| {
        ui.add(Label::new(RichText::new(words).size(type_size::SMALL).color(tone)).wrap());
    };
    let moved = move |ui: &mut Ui, then: Money, now: Money| {
        let more = then.less(now);
        if let Some(words) = words::moved_money(more, |amount| format::money(amount, currency)) {
            small(ui, words, if more.is_negative() { tokens.good } else { tokens.late });
        }
    };
    let mut rows: Vec<Row<'a>> = vec![
        (
            "Finish".to_owned(),
            Box::new(move |ui, _, side| {
                let day = side.finish.map_or("no finish".to_owned(), |day| format::day(day, near));
                ui.label(pieces::strong(day, type_size::BODY));
                let days = side.days.unwrap_or(0);
                if let Some(words) = words::moved(days, "working day") {
                    small(ui, words, if days < 0 { tokens.good } else { tokens.late });
                }
            }),
        ),
        (
            "8 in 10 finish by".to_owned(),
            Box::new(move |ui, at, _| {
                let finish = answer.risks.get(at).and_then(|risk| risk.finish);
                ui.label(finish.map_or("\u{2013}".to_owned(), |finish| format::day(finish.p80, near)));
            }),
        ),
        (
            "Total".to_owned(),
            Box::new(move |ui, _, side| {
                let least = if side.least { "at least " } else { "" };
                ui.label(pieces::strong(
                    format!("{least}{}", format::money(side.total, currency)),
                    type_size::BODY,
                ));
                moved(ui, side.total, now.total);
            }),
        ),
        (
            "8 in 10 cost at most".to_owned(),
            Box::new(move |ui, at, _| {
                let total = answer.risks.get(at).map(|risk| format::money_short(risk.total.p80));
                ui.label(total.unwrap_or_else(|| "\u{2013}".to_owned()));
            }),
        ),
        (
            "Contingency left".to_owned(),
            Box::new(move |ui, at, side| {
                let tone = if side.contingency_left.is_negative() { tokens.late } else { tokens.text };
                ui.label(RichText::new(format::money(side.contingency_left, currency)).color(tone));
                if let Some(risk) = answer.risks.get(at) {
                    let share = percent(risk.share(risk.in_contingency));
                    small(ui, format!("enough in {share} of trials"), tokens.muted);
                }
            }),
        ),
    ];
    for (at, room) in project.rooms.iter().enumerate() {
        let amount = move |side: &Side| side.by_room.get(at).copied().unwrap_or_default();
        // A room in which nothing differs says nothing here.
        let same = move |side: &Side| alternatives::same_but_for_rounding(amount(side), amount(now));
        if answer.sides.others.iter().all(same) {
            continue;
        }
        let cell = move |ui: &mut Ui, _: usize, side: &Side| {
            ui.label(format::money(amount(side), currency));
            if !same(side) {
                moved(ui, amount(side), amount(now));
            }
        };
        rows.push((room.name.clone(), Box::new(cell)));
    }
    rows.push((
        "Late parts".to_owned(),
        Box::new(move |ui, _, side| {
            let tone = if side.late > 0 { tokens.late } else { tokens.text };
            ui.label(RichText::new(side.late.to_string()).color(tone));
        }),
    ));
    let all = std::iter::once(now).chain(&answer.sides.others);
    if all.into_iter().any(|side| side.short_weeks > 0) {
        rows.push((
            "Weeks short of cash".to_owned(),
            Box::new(move |ui, _, side| {
                let tone = if side.short_weeks > 0 { tokens.late } else { tokens.text };
                ui.label(RichText::new(side.short_weeks.to_string()).color(tone));
            }),
        ));
    }
    rows.push((
        "To settle".to_owned(),
        Box::new(move |ui, _, side| {
            let (errors, warnings) = side.problems;
            let words = format::to_settle(errors, warnings).unwrap_or_else(|| "nothing".to_owned());
            ui.label(words);
            problems(ui, view, side);
        }),
    ));
    rows.push((
        "Changes".to_owned(),
        Box::new(move |ui, _, side| {
            for change in &side.changes {
                small(ui, curve::change_words(project, change), tokens.text);
            }
            for (change, why) in &side.refused {
                let words = format!("! {}: {why}", curve::change_words(project, change));
                small(ui, words, tokens.late);
            }
            for Changed { words, .. } in &side.without {
                small(ui, format::days_in(words, near), tokens.soon);
            }
        }),
    ));
    rows
}

/// Problems that come and go, the first few in full.
fn problems(ui: &mut Ui, view: &View<'_>, side: &Side) {
    const SHOWN: usize = 3;
    let of = [(&side.new, "+", view.tokens.late), (&side.gone, "\u{2212}", view.tokens.good)];
    for (list, sign, tone) in of {
        for problem in list.iter().take(SHOWN) {
            let said = format::said(&problem.message, view.as_of());
            let text = RichText::new(format!("{sign} {said}")).size(type_size::SMALL).color(tone);
            ui.add(Label::new(text).truncate()).on_hover_text(&said);
        }
        if list.len() > SHOWN {
            let more = format!("{sign} {} more", list.len() - SHOWN);
            let rest: Vec<String> =
                list.iter().skip(SHOWN).map(|p| format::said(&p.message, view.as_of())).collect();
            let text = RichText::new(more).size(type_size::SMALL).color(tone);
            ui.label(text).on_hover_text(rest.join("\n"));
        }
    }
}
