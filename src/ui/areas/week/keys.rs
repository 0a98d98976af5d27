//! This week from the keyboard: up and down pick a line, Enter does its deed.

use super::deeds;
use super::rows::WeekRows;
use crate::ui::row_keys;
use crate::ui::session::Session;
use crate::ui::view::View;
use egui::{Key, Modifiers, Ui};

/// How many lines a page is.
const PAGE: isize = 10;

/// Reads the keys that belong to the list. Gives the row of the line whose deed is asked for.
pub fn ui(ui: &Ui, view: &View<'_>, session: &mut Session, list: &WeekRows) -> Option<usize> {
    let ctx = ui.ctx();
    // What is focused, typed into or laid over the window has the keyboard before the list.
    if ctx.memory(|m| m.focused().is_some() || m.top_modal_layer().is_some())
        || ctx.any_popup_open()
        || !ui.is_enabled()
    {
        return None;
    }
    for by in row_keys::pressed(ctx, Modifiers::NONE, PAGE) {
        step(view, session, list, by);
    }
    let (_, row) = list.line(session.week.place).filter(|_| session.week.picked.is_some())?;
    ctx.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter)).then_some(row)
}

/// Keeps a line picked where the one that was is done or not shown: the one that took its place.
pub fn follow(view: &View<'_>, session: &mut Session, list: &WeekRows) {
    let Some(id) = session.week.picked.as_deref() else { return };
    match list.find(id, session.week.place) {
        Some(place) => session.week.place = place,
        None => pick(view, session, list, session.week.place),
    }
}

/// Picks the line at a place; the last one where there are fewer.
fn pick(view: &View<'_>, session: &mut Session, list: &WeekRows, place: usize) {
    let place = place.min(list.shown().saturating_sub(1));
    match list.line(place) {
        Some((line, _)) => {
            deeds::pick(view, session, line);
            session.week.place = place;
        }
        None => session.week.picked = None,
    }
}

/// Picks the line so many places further. Where none is picked, down and Home begin above, up and End below.
fn step(view: &View<'_>, session: &mut Session, list: &WeekRows, by: isize) {
    let next = match session.week.picked {
        Some(_) => session.week.place.saturating_add_signed(by),
        None if row_keys::begins_below(by, PAGE) => usize::MAX,
        None => 0,
    };
    pick(view, session, list, next);
    session.week.scroll_to_picked = true;
}
