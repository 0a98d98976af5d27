//! This week from the keyboard: up and down pick a line, Enter does its deed.

use super::deeds;
use super::rows::WeekRows;
use crate::ui::session::Session;
use crate::ui::view::View;
use egui::{Key, Modifiers, Ui};

/// How many lines a page is.
const PAGE: isize = 10;

/// Reads the keys that belong to the list. Gives the line whose deed is asked for.
pub fn ui(ui: &Ui, view: &View<'_>, session: &mut Session, list: &WeekRows) -> Option<usize> {
    let ctx = ui.ctx();
    // What is focused, typed into or laid over the window has the keyboard before the list.
    if ctx.memory(|m| m.focused().is_some() || m.top_modal_layer().is_some())
        || ctx.any_popup_open()
        || !ui.is_enabled()
    {
        return None;
    }
    let moves = [
        (Key::ArrowDown, 1),
        (Key::ArrowUp, -1),
        (Key::PageDown, PAGE),
        (Key::PageUp, -PAGE),
        (Key::Home, isize::MIN / 2),
        (Key::End, isize::MAX / 2),
    ];
    for (key, by) in moves {
        if ctx.input_mut(|i| i.consume_key(Modifiers::NONE, key)) {
            step(view, session, list, by);
        }
    }
    let picked = session.week.picked.as_deref().and_then(|id| list.find(id))?;
    ctx.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter)).then_some(picked)
}

/// Keeps a line picked where the one that was is done or not shown: the one that took its place.
pub fn follow(view: &View<'_>, session: &mut Session, list: &WeekRows) {
    let Some(id) = session.week.picked.as_deref() else { return };
    let mut lines = list.lines();
    if let Some(place) = lines.position(|at| list.sheet.lines[at].id == id) {
        session.week.place = place;
        return;
    }
    let lines: Vec<usize> = list.lines().collect();
    let next = lines.get(session.week.place).or(lines.last());
    match next.and_then(|at| list.sheet.lines.get(*at)) {
        Some(line) => deeds::pick(view, session, line),
        None => session.week.picked = None,
    }
}

/// Picks the line so many places further; the first one where none is picked.
fn step(view: &View<'_>, session: &mut Session, list: &WeekRows, by: isize) {
    let lines: Vec<usize> = list.lines().collect();
    let picked = session.week.picked.as_deref().and_then(|id| list.find(id));
    let now = picked.and_then(|line| lines.iter().position(|at| *at == line));
    let last = lines.len().saturating_sub(1);
    let next = match now {
        Some(at) => at.saturating_add_signed(by).min(last),
        // Up and End come from below, where nothing is picked.
        None if by == -1 || by == -PAGE || by == isize::MAX / 2 => last,
        None => 0,
    };
    if let Some(line) = lines.get(next).and_then(|at| list.sheet.lines.get(*at)) {
        deeds::pick(view, session, line);
        session.week.scroll_to_picked = true;
    }
}
