//! The card of a room: its money, its size, what in it is late and what is to be decided, and who works there next.

use super::{fact, heading, line, line_said};
use crate::model::{RoomId, Selection, Subject};
use crate::ui::card::swap_log;
use crate::ui::format;
use crate::ui::shell::rooms;
use crate::ui::view::{Outbox, View};
use crate::ui::widgets::pieces;
use egui::Ui;

/// Draws it below its name.
pub fn ui(ui: &mut Ui, view: &View<'_>, id: RoomId, out: &mut Outbox) {
    let Some(at) = view.figures.index.of(id.0) else { return };
    let Some(room) = view.project.rooms.get(at).filter(|room| room.id == id) else { return };
    let Some(columns) = view.figures.money.by_room.get(at) else { return };
    let money = |amount| format::money(amount, view.currency());
    fact(ui, view, "Level", &room.level);
    fact(ui, view, "Allowance", &money(columns.allowance));
    fact(
        ui,
        view,
        "Chosen",
        &format::least(money(columns.chosen), columns.chosen.is_zero(), columns.unpriced),
    );
    fact(
        ui,
        view,
        "Ordered",
        &format::least(money(columns.ordered), columns.ordered.is_zero(), columns.unpriced),
    );
    fact(ui, view, "Paid", &money(columns.paid));
    let forecast = format::least(money(columns.forecast), columns.forecast.is_zero(), columns.left_out);
    fact(ui, view, "Forecast", &forecast);
    fact(ui, view, "Over or under", &format::over_under(columns.over_under(), view.currency()));
    for (what, value) in rooms::sizes(view, at) {
        fact(ui, view, what, &value);
    }
    late(ui, view, at, out);
    to_decide(ui, view, at, out);
    next(ui, view, at, out);
    swap_log::ui(ui, view, swap_log::Scope::Room(Some(id)), out);
}

/// Positions of the selections of a room.
fn own<'a>(view: &'a View<'_>, room: usize) -> impl Iterator<Item = (usize, &'a Selection)> {
    let rows = view.facts().rows.iter().zip(view.project.selections.iter()).enumerate();
    rows.filter(move |(_, (row, _))| row.room as usize == room).map(|(at, (_, s))| (at, s.as_ref()))
}

/// What arrives after it is needed.
fn late(ui: &mut Ui, view: &View<'_>, room: usize, out: &mut Outbox) {
    let figures = |at: usize| view.figures.selections.get(at);
    let late: Vec<_> = own(view, room).filter(|(at, _)| figures(*at).is_some_and(|f| f.late)).collect();
    if late.is_empty() {
        return;
    }
    heading(ui, view, "Late", late.len());
    for (at, selection) in late {
        let tight = view.facts().rows.get(at).and_then(|row| view.figures.parts.get(row.tightest? as usize));
        let words = tight.map_or_else(String::new, |f| match f.need_date {
            Some(need) => {
                let (arrives, need) =
                    (format::expected(f, view.as_of()), format::day_short(need, view.as_of()));
                format!("{arrives}, needed {need}")
            }
            None => format::expected(f, view.as_of()),
        });
        let said = format!("Late: {}, {words}", selection.name);
        let tone = (words.as_str(), view.tokens.late);
        line_said(ui, view, Subject::Selection(selection.id), &selection.name, tone, &said, out);
    }
}

/// What has nothing that counts yet.
fn to_decide(ui: &mut Ui, view: &View<'_>, room: usize, out: &mut Outbox) {
    let is_open = |at: usize| view.figures.selections.get(at).is_some_and(|f| f.live.is_none());
    let open: Vec<_> = own(view, room).filter(|(at, _)| is_open(*at)).collect();
    if open.is_empty() {
        return;
    }
    heading(ui, view, "To decide", open.len());
    for (at, selection) in open {
        let by = view.figures.selections.get(at).and_then(|f| f.order_by);
        let words =
            by.map_or_else(String::new, |by| format!("order by {}", format::day_short(by, view.as_of())));
        let said = format!("To decide: {}, {words}", selection.name);
        let tone = (words.as_str(), view.tokens.soon);
        line_said(ui, view, Subject::Selection(selection.id), &selection.name, tone, &said, out);
    }
}

/// The phases ahead in which something of the room is used, with who does them.
fn next(ui: &mut Ui, view: &View<'_>, room: usize, out: &mut Outbox) {
    const SHOWN: usize = 4;
    let phases = view.facts().phases_of_room.get(room).map_or(&[][..], Vec::as_slice);
    let ahead = phases.iter().filter_map(|at| {
        let phase = view.project.phases.get(*at as usize)?;
        phase.finished_on().is_none().then_some((*at as usize, phase))
    });
    let ahead: Vec<_> = ahead.collect();
    if ahead.is_empty() {
        return;
    }
    heading(ui, view, "Who works there next", ahead.len());
    let more = ahead.len().saturating_sub(SHOWN);
    for (at, phase) in ahead.into_iter().take(SHOWN) {
        let crew = phase.crew.and_then(|id| view.project.crew(id)).map(|crew| crew.name.as_str());
        let who = match crew {
            Some(name) => name,
            None if phase.own_work => "yourself",
            None => view.figures.people.booking(at).state.words(),
        };
        let start = view.figures.phases.get(at).and_then(|f| f.forecast_start);
        let words = start
            .map_or_else(|| who.to_owned(), |day| format!("{}, {who}", format::day_short(day, view.as_of())));
        line(ui, view, Subject::Phase(phase.id), &phase.name, (&words, view.tokens.muted), out);
    }
    if more > 0 {
        pieces::muted(ui, view.tokens, format!("and {more} more, all of them in Dates"));
    }
}
