//! Cheaper or sooner: the best trades between total and finish, what each would change, and what wins back days.

use super::state::{Changes, CurvePage};
use super::{curve_picture, sides_edit};
use crate::engine::curve::{self, Curve, Point};
use crate::exchange::outgoing::week::capital;
use crate::model::Money;
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{Outbox, Request, View};
use crate::ui::widgets::pieces;
use egui::{Align2, Label, Rect, RichText, Role, Sense, Ui, WidgetInfo, pos2, vec2};
use std::sync::Arc;

/// Below this width the changes stand below the picture.
const BESIDE: f32 = 820.0;

/// Draws the page.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let page = &mut session.what_if.curve;
    page.limits.ui(ui, view);
    ui.add_space(space::M);
    let (question, readable) = page.limits.question(view);
    let key = (view.derived.key(), question);
    page.asked.poll();
    if page.asked.wants(&key) {
        let (project, figures) = (view.project.clone(), view.derived.figures.clone());
        let question = key.1.clone();
        page.asked.ask(&key, ui.ctx(), move |_| Some(curve::curve(&project, &figures, &question)));
    }
    let Some(answer) = page.asked.answer().cloned() else {
        pieces::muted(ui, view.tokens, "Looking at all sets of choices\u{2026}");
        return;
    };
    ui.scope(|ui| {
        if !readable || !page.asked.is_fresh(&key) {
            ui.multiply_opacity(0.45);
        }
        match answer.as_ref() {
            Ok(curve) if !curve.points.is_empty() => found(ui, view, page, curve, out),
            Ok(_) => {
                ui.label(pieces::strong("No set of choices keeps these limits", 16.0));
                ui.label("Loosen one of them above.");
            }
            Err(why) => {
                ui.label(pieces::strong("There is nothing to compare", 16.0));
                ui.add(Label::new(format!("{}.", capital(&why.to_string()))).wrap());
            }
        }
    });
}

fn found(ui: &mut Ui, view: &View<'_>, page: &mut CurvePage, curve: &Curve, out: &mut Outbox) {
    page.picked = page.picked.filter(|at| *at < curve.points.len());
    if curve.points.len() == 1 {
        page.picked = Some(0);
    }
    if ui.available_width() < BESIDE {
        trades(ui, view, page, curve);
        ui.add_space(space::L);
        changes(ui, view, page, curve, out);
    } else {
        ui.columns(2, |columns| {
            if let [left, right] = columns {
                left.vertical(|ui| trades(ui, view, page, curve));
                // Justified as columns are, long names would be torn apart.
                right.vertical(|ui| changes(ui, view, page, curve, out));
            }
        });
    }
    ui.add_space(space::L);
    fixes(ui, view, curve, out);
    ui.add_space(space::L);
}

/// The picture, and the points as rows.
fn trades(ui: &mut Ui, view: &View<'_>, page: &mut CurvePage, curve: &Curve) {
    ui.label(pieces::strong("Total against finish", 15.0));
    let looked = format::count(curve.open as i32, "selection");
    pieces::muted(
        ui,
        view.tokens,
        format!("The least that each finish costs, by other choices for {looked}."),
    );
    curve_picture::ui(ui, view, curve, &mut page.picked);
    for (at, point) in curve.points.iter().enumerate() {
        let response = row(ui, view, &curve.now, point, page.picked == Some(at));
        if response.clicked() {
            page.picked = if page.picked == Some(at) { None } else { Some(at) };
        }
    }
    if !curve.whole {
        pieces::muted(
            ui,
            view.tokens,
            "There are too many sets to price each as a whole: choices were compared by their own prices. The totals \
             shown are exact, but a set that is cheaper only because things share an order may be missed.",
        );
    }
}

/// How far a finish is from now.
fn moved(view: &View<'_>, finish: crate::engine::Day, word: &str) -> String {
    let days = view.figures.finish_moves(Some(finish)).unwrap_or(0);
    format::moved(days, word).unwrap_or_else(|| "as now".to_owned())
}

/// How far a total is from now.
fn dearer(view: &View<'_>, more: Money) -> String {
    let words = format::moved_money(more, |amount| format::money(amount, view.currency()));
    words.unwrap_or_else(|| "as now".to_owned())
}

fn changes_of(point: &Point) -> String {
    match point.changes.len() {
        0 => "no change".to_owned(),
        n => format::count(n as i32, "change"),
    }
}

/// A point as a row: finish, how far from now, total, how far from now, how many changes.
fn row(ui: &mut Ui, view: &View<'_>, now: &Point, point: &Point, picked: bool) -> egui::Response {
    let tokens = view.tokens;
    let narrow = ui.available_width() < 560.0;
    let cells = [
        format::day_short(point.finish, view.as_of()),
        // The title beside says that they are working days.
        moved(view, point.finish, if narrow { "day" } else { "working day" }),
        format::money_short(point.total),
        dearer(view, point.total.less(now.total)),
        changes_of(point),
    ];
    let width = ui.available_width();
    let (rect, response) = ui.allocate_exact_size(vec2(width, 26.0), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, picked, cells.join(", ")));
    let behind = match (picked, response.hovered() || response.has_focus()) {
        (true, _) => Some(tokens.picked),
        (false, true) => Some(tokens.hovered),
        _ => None,
    };
    if let Some(color) = behind {
        ui.painter().rect_filled(rect, 4.0, color);
    }
    if response.has_focus() {
        let stroke = egui::Stroke::new(1.5, tokens.accent);
        ui.painter().rect_stroke(rect, 4.0, stroke, egui::StrokeKind::Inside);
    }
    // Columns as shares of the width, so that rows stand below each other.
    let shares = [0.0, 0.22, 0.44, 0.59, 0.81, 1.0];
    let painter = ui.painter().with_clip_rect(rect);
    for (at, text) in cells.iter().enumerate() {
        let x = |share: f32| rect.left() + 6.0 + (rect.width() - 10.0) * share;
        let strong = matches!(at, 0 | 2);
        let font =
            if strong { theme::strong(type_size::BODY) } else { theme::regular(type_size::SMALL + 0.5) };
        let color = if strong { tokens.text } else { tokens.muted };
        pieces::paint_cut(
            &painter,
            pos2(x(shares[at]), rect.center().y),
            text,
            font,
            color,
            x(shares[at + 1]) - x(shares[at]) - 6.0,
        );
    }
    response.on_hover_text(cells.join(", "))
}

/// What the picked point changes, each with what it does alone, and the button that makes them.
fn changes(ui: &mut Ui, view: &View<'_>, page: &mut CurvePage, curve: &Curve, out: &mut Outbox) {
    let Some(point) = page.picked.and_then(|at| curve.points.get(at)) else {
        ui.label(pieces::strong("What would change", 15.0));
        ui.label("Pick a point of the picture, or a row below it, to see what it would change.");
        return;
    };
    let title = format!("{}: {}", changes_of(point), curve_picture::said(view, point));
    ui.add(Label::new(pieces::strong(title, 15.0)).wrap());
    let both = format!(
        "{}, {}",
        moved(view, point.finish, "working day"),
        dearer(view, point.total.less(curve.now.total))
    );
    pieces::muted(ui, view.tokens, both);
    ui.add_space(space::S);
    for (change, told) in told(view, page, point).iter() {
        ui.add(Label::new(pieces::strong(curve::change_words(view.project, change), type_size::BODY)).wrap());
        match told {
            Ok(told) => {
                let days = told.days.map_or(String::new(), |days| {
                    let moved = format::moved(days, "working day");
                    format!(", {}", moved.unwrap_or_else(|| "no day moved".to_owned()))
                });
                pieces::muted(ui, view.tokens, format!("Alone: {}{days}", dearer(view, told.costs)));
                for knock_on in &told.knock_ons {
                    let text = RichText::new(format!("! {}", knock_on.text)).color(view.tokens.soon);
                    ui.add(Label::new(text).wrap());
                }
            }
            Err(why) => {
                ui.add(Label::new(RichText::new(why).color(view.tokens.late)).wrap());
            }
        }
        ui.add_space(space::S);
    }
    take(ui, view, point, true, out);
    let keep =
        ui.button("Keep as an alternative").on_hover_text("To be looked at side by side, under a name");
    if keep.clicked() && !point.changes.is_empty() {
        let name = format!("Finish {}", format::day_short(point.finish, view.as_of()));
        let name = sides_edit::free_name(view.project, &name);
        let options = point.changes.iter().map(|change| change.to).collect();
        out.act(sides_edit::keep(view.project, &name, options));
    }
}

/// The button that makes the changes of a point, as one step.
fn take(ui: &mut Ui, view: &View<'_>, point: &Point, first: bool, out: &mut Outbox) {
    if point.changes.is_empty() {
        ui.label("It is what is forecast now.");
        return;
    }
    let words = match point.changes.len() {
        1 => "Make this change".to_owned(),
        n => format!("Make these {n} changes"),
    };
    let pressed = if first {
        pieces::primary_button(ui, view.tokens, &words)
    } else {
        pieces::row_button(ui, &words, &format!("{words}, for {}", curve_picture::said(view, point)))
    };
    if pressed.on_hover_text("One step, which undo takes back as a whole").clicked() {
        match curve::action(view.project, view.figures, point) {
            Ok(action) => out.act(action),
            Err(why) => out.push(Request::Refuse(why.to_string())),
        }
    }
}

/// What the changes of a point do alone, worked out once.
fn told(view: &View<'_>, page: &mut CurvePage, point: &Point) -> Changes {
    let key = view.derived.key();
    if let Some((known, of, changes)) = &page.told
        && *known == key
        && *of == point.changes
    {
        return changes.clone();
    }
    let alone = |change: &curve::Change| {
        let told = curve::told(view.project, view.figures, change).map_err(|why| why.to_string());
        (*change, told)
    };
    let changes: Changes = point.changes.iter().map(alone).collect::<Vec<_>>().into();
    page.told = Some((key, point.changes.clone(), Arc::clone(&changes)));
    changes
}

/// What wins back days: the most days first, each with the fewest changes.
fn fixes(ui: &mut Ui, view: &View<'_>, curve: &Curve, out: &mut Outbox) {
    ui.label(pieces::strong("What wins back days", 15.0));
    if curve.fix.is_empty() {
        pieces::muted(ui, view.tokens, "No other choice makes the finish sooner than it is forecast now.");
        return;
    }
    pieces::muted(ui, view.tokens, "The fewest changes for each day that can be won.");
    // From the smallest step on.
    for (at, fix) in curve.fix.iter().enumerate().rev() {
        ui.push_id(("fix", at), |ui| {
            ui.horizontal_wrapped(|ui| {
                let words = capital(&curve::fix_words(view.project, fix));
                days_won(ui, view, fix.days);
                let money = dearer(view, fix.point.total.less(curve.now.total));
                ui.add(Label::new(format!("{words}; the total is {money}.")).wrap());
                take(ui, view, &fix.point, false, out);
            });
        });
    }
}

/// The days won as a bar with its number.
fn days_won(ui: &mut Ui, view: &View<'_>, days: i32) {
    let (rect, _) = ui.allocate_exact_size(vec2(44.0, 18.0), Sense::hover());
    let long = (days as f32 * 3.0).clamp(4.0, 44.0);
    let bar = Rect::from_min_size(rect.min + vec2(0.0, 15.0), vec2(long, 3.0));
    ui.painter().rect_filled(bar, 1.0, view.tokens.good);
    let font = theme::strong(type_size::BODY);
    let words = format!("\u{2212}{days} d");
    ui.painter().text(
        pos2(rect.left(), rect.top() + 7.0),
        Align2::LEFT_CENTER,
        words,
        font,
        view.tokens.good,
    );
}
