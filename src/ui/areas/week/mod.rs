//! This week: what is to be done in the next days, in order of date, each line with the one deed that does it.

mod deeds;
mod keys;
mod line;
pub mod rows;

use crate::engine::check::money_of_trades::LIENS;
use crate::engine::week::{Ask, Deed, HORIZONS, Kind};
use crate::exchange::outgoing::week::capital;
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{Outbox, Request, View};
use crate::ui::widgets::pieces;
use egui::{Rect, Role, ScrollArea, Ui, UiBuilder, WidgetInfo, pos2, vec2};
use rows::{Row, WeekRows};

/// Points of a date over its lines.
const DATE: f32 = 36.0;

/// Points for the caution below the list.
const CAUTION: f32 = 48.0;

/// Below this width a line has two rows of reasons.
const NARROW: f32 = 620.0;

/// Draws the work area.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let list = view.derived.week(view.project, session.week.shown);
    tools(ui, session, &list, out);
    ui.add_space(space::S);
    if list.is_empty() {
        teach(ui, view, session, &list, out);
        return;
    }
    keys::follow(view, session, &list);
    let done = keys::ui(ui, view, session, &list);
    // A deed is done whether its line is in view or not; only a choice opens below its button.
    let done = match list.line(session.week.place).filter(|(_, row)| done == Some(*row)) {
        Some((line, _)) if !matches!(line.deed, Deed::Ask(Ask::Choose(_))) => {
            deeds::perform(view, session, line, out);
            None
        }
        _ => done,
    };
    let high = if ui.available_width() < NARROW { 66.0 } else { 50.0 };
    let scroll = std::mem::take(&mut session.week.scroll_to_picked);
    ScrollArea::vertical().auto_shrink(false).id_salt("week").show_viewport(ui, |ui, visible| {
        let width = ui.available_width() - 8.0;
        let top = ui.min_rect().min;
        let end = list.top(list.len(), DATE, high);
        let caution = list.sheet.has_liens();
        ui.set_height(end + if caution { CAUTION } else { 0.0 });
        ui.set_width(width);
        let place = |at: usize| {
            let height = if matches!(list.row(at), Some((Row::Date(..), _))) { DATE } else { high };
            Rect::from_min_size(pos2(top.x, top.y + list.top(at, DATE, high)), vec2(width, height))
        };
        let picked = list.line(session.week.place).filter(|_| session.week.picked.is_some());
        let picked = picked.map(|(_, row)| row);
        if let Some(at) = picked.filter(|_| scroll) {
            ui.scroll_to_rect(place(at).expand2(vec2(0.0, DATE)), None);
        }
        for at in list.between(visible.min.y, visible.max.y, DATE, high) {
            match list.row(at) {
                Some((Row::Date(day, lines), _)) => date(ui, view, &list, (day, lines), place(at)),
                Some((Row::Line(line), _)) => {
                    let state = line::State { picked: picked == Some(at), deed: done == Some(at) };
                    line::ui(ui, view, session, (&list, line, state), place(at), out);
                }
                None => {}
            }
        }
        if caution {
            let at = Rect::from_min_size(top + vec2(4.0, end + 8.0), vec2(width - 8.0, CAUTION - 8.0));
            let mut foot = ui.new_child(UiBuilder::new().max_rect(at).id_salt("caution"));
            pieces::muted(&mut foot, view.tokens, capital(LIENS));
        }
    });
}

/// How far it looks, what of it is shown, and the way to paper.
fn tools(ui: &mut Ui, session: &mut Session, list: &WeekRows, out: &mut Outbox) {
    let shown = &mut session.week.shown;
    ui.horizontal_wrapped(|ui| {
        for days in HORIZONS {
            let text = format!("{days} days");
            let pick = ui.selectable_label(shown.days == days, &text);
            pick.widget_info(|| {
                let name = format!("The next {days} days");
                WidgetInfo::selected(Role::Button, true, shown.days == days, name)
            });
            if pick.clicked() {
                shown.days = days;
            }
        }
        ui.add_space(space::M);
        let all = list.sheet.lines.len();
        let mut kinds = vec![("All", None, all)];
        kinds.extend(
            Kind::ALL.iter().map(|(_, title, kind)| (*title, Some(*kind), list.counts[*kind as usize])),
        );
        for (title, kind, count) in kinds {
            if count == 0 && kind.is_some() && shown.kind != kind {
                continue;
            }
            let picked = shown.kind == kind;
            let label = ui.selectable_label(picked, format!("{title} {count}"));
            label.widget_info(|| {
                let name = format!("{title}, {}", format::count(count as i32, "line"));
                WidgetInfo::selected(Role::Button, true, picked, name)
            });
            if label.clicked() {
                shown.kind = kind;
            }
        }
        ui.add_space(space::M);
        let paper = ui.button("Print or send\u{2026}");
        if paper.on_hover_text("Pages to print, a page for a phone, a calendar, a text").clicked() {
            out.push(Request::ExportWeek(shown.days));
        }
    });
}

/// A date over its lines: overdue with its shape, the other days by their names.
fn date(
    ui: &Ui,
    view: &View<'_>,
    list: &WeekRows,
    (day, lines): (Option<crate::engine::Day>, usize),
    rect: Rect,
) {
    let tokens = view.tokens;
    let title = list.sheet.title(day);
    let base = rect.bottom() - 10.0;
    let (left, color) = match day {
        None => {
            crate::ui::widgets::marks::triangle(ui.painter(), pos2(rect.left() + 10.0, base), tokens.late);
            (rect.left() + 20.0, tokens.late)
        }
        Some(_) => (rect.left() + 4.0, tokens.text),
    };
    let font = crate::ui::theme::strong(15.0);
    let line = ui.painter().layout_no_wrap(title.clone(), font, color);
    let end = left + line.size().x;
    ui.painter().galley(pos2(left, base - line.size().y / 2.0), line, color);
    let count = ui.painter().layout_no_wrap(
        lines.to_string(),
        crate::ui::theme::regular(type_size::SMALL),
        tokens.muted,
    );
    ui.painter().galley(pos2(end + 8.0, base - count.size().y / 2.0 + 1.0), count, tokens.muted);
    ui.painter().hline(rect.x_range(), rect.bottom() - 0.5, egui::Stroke::new(1.0, tokens.line));
    let heading = ui.interact(rect, ui.scope_id().with(("date", day)), egui::Sense::empty());
    heading.widget_info(|| {
        let name = format!("{title}, {}", format::count(lines as i32, "line"));
        WidgetInfo::labeled(Role::Label, true, name)
    });
}

/// What stands there when nothing has its day.
fn teach(ui: &mut Ui, view: &View<'_>, session: &mut Session, list: &WeekRows, out: &mut Outbox) {
    ui.add_space(space::L);
    let shown = &mut session.week.shown;
    if shown.kind.is_some() && !list.sheet.lines.is_empty() {
        ui.label(pieces::strong("Nothing of this kind in these days", 16.0));
        if pieces::link(ui, view.tokens, "show all").clicked() {
            shown.kind = None;
        }
        return;
    }
    let days = shown.days;
    ui.label(pieces::strong(format!("Nothing has its day in the next {days} days"), 16.0));
    let words = if view.project.selections.is_empty() {
        "Here stands what is to be done next, in order of date: what to decide, to order, whom to call, whom to be at \
         home for, what to pay, what to chase. It is made from rooms, choices and phases, so begin with those."
    } else {
        "What is undecided, not ordered, to be called, expected, due or late stands here by its last day, as soon as \
         that day is near."
    };
    ui.label(words);
    ui.add_space(space::M);
    ui.horizontal(|ui| {
        if view.project.selections.is_empty() {
            if pieces::primary_button(ui, view.tokens, "Go to the house").clicked() {
                out.command(crate::ui::shell::command::Command::Show(crate::ui::areas::WorkArea::House));
            }
        } else if let Some(more) = HORIZONS.into_iter().find(|more| *more > days)
            && pieces::primary_button(ui, view.tokens, &format!("Look {more} days ahead")).clicked()
        {
            shown.days = more;
        }
    });
}
