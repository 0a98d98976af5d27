//! The ledger from the keyboard: moving, marking, copying and pasting rows.

use super::ledger::LedgerDialog;
use super::paste;
use crate::model::SelectionId;
use crate::ui::row_keys;
use crate::ui::session::Session;
use crate::ui::view::View;
use egui::{Event, Key, Modifiers, Ui};

/// How many rows a page is.
const PAGE: isize = 20;

/// Reads the keys that belong to the ledger. While a text field has the keyboard, or something lies over the window,
/// they belong to that.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session) {
    let ctx = ui.ctx().clone();
    if ctx.text_edit_focused()
        || session.ledger.dialog.is_some()
        || session.ledger.editing.is_some()
        || !ui.is_enabled()
    {
        return;
    }
    if ctx.any_popup_open() || ctx.memory(|m| m.top_modal_layer().is_some()) {
        return;
    }
    // With a focused button the arrows move the focus, and the picked row follows it.
    if ctx.memory(|m| m.focused().is_none()) {
        for (modifiers, extend) in [(Modifiers::SHIFT, true), (Modifiers::NONE, false)] {
            for by in row_keys::pressed(&ctx, modifiers, PAGE) {
                step(view, session, by, extend);
            }
        }
    }
    if ctx.input_mut(|i| i.consume_key(Modifiers::NONE, Key::F2)) {
        super::edit::begin_first(view, session);
    }
    if ctx.input_mut(|i| i.consume_key(Modifiers::COMMAND, Key::A)) {
        session.ledger.marked =
            session.rows.items().filter_map(|at| view.project.selections.get(at)).map(|s| s.id).collect();
    }
    if !session.ledger.marked.is_empty() && ctx.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape)) {
        session.ledger.marked.clear();
    }
    let (copy, pasted) = ctx.input(|i| {
        let copy = i.events.iter().any(|e| matches!(e, Event::Copy));
        let pasted = i.events.iter().find_map(|e| match e {
            Event::Paste(text) => Some(text.clone()),
            _ => None,
        });
        (copy, pasted)
    });
    if copy {
        self::copy(&ctx, view, session);
    }
    if let Some(text) = pasted.filter(|t| !t.trim().is_empty()) {
        session.ledger.dialog = Some(LedgerDialog::Paste(paste::form(text)));
    }
}

/// Puts the rows marked, else the one picked, onto the clipboard.
pub fn copy(ctx: &egui::Context, view: &View<'_>, session: &Session) {
    let ids: std::collections::BTreeSet<SelectionId> =
        session.ledger.chosen(session.selection).into_iter().collect();
    let mut rows: Vec<usize> = session
        .rows
        .items()
        .filter(|at| view.project.selections.get(*at).is_some_and(|s| ids.contains(&s.id)))
        .collect();
    // Rows marked and then filtered away are still marked.
    let shown: std::collections::BTreeSet<usize> = rows.iter().copied().collect();
    rows.extend(ids.iter().filter_map(|id| view.figures.index.of(id.0)).filter(|at| !shown.contains(at)));
    if !rows.is_empty() {
        ctx.copy_text(crate::exchange::incoming::row_text::write(view.project, &rows));
    }
}

/// Moves the picked row.
fn step(view: &View<'_>, session: &mut Session, by: isize, extend: bool) {
    let items: Vec<usize> = session.rows.items().collect();
    let Some(last) = items.len().checked_sub(1) else { return };
    let at = session.selection.and_then(|id| view.figures.index.of(id.0));
    let now = at.and_then(|at| items.iter().position(|i| *i == at));
    let next = match now {
        Some(now) => (now as isize).saturating_add(by).clamp(0, last as isize) as usize,
        None if row_keys::begins_below(by, PAGE) => last,
        None => 0,
    };
    if let Some(selection) = items.get(next).and_then(|i| view.project.selections.get(*i)) {
        pick(view, session, selection.id, extend, false);
        session.scroll_to_picked = true;
    }
}

/// Picks a row: alone, as one more, or with all between it and the row from which marking began.
pub fn pick(view: &View<'_>, session: &mut Session, id: SelectionId, range: bool, toggle: bool) {
    let before = session.selection;
    if range {
        let anchor = session.ledger.anchor.or(before).unwrap_or(id);
        session.ledger.anchor = Some(anchor);
        let place = |id: SelectionId| {
            let at = view.figures.index.of(id.0)?;
            session.rows.items().position(|i| i == at)
        };
        if let (Some(a), Some(b)) = (place(anchor), place(id)) {
            let (from, to) = (a.min(b), a.max(b));
            let between = session.rows.items().skip(from).take(to - from + 1);
            session.ledger.marked =
                between.filter_map(|at| view.project.selections.get(at)).map(|s| s.id).collect();
        }
    } else if toggle {
        if session.ledger.marked.is_empty() {
            session.ledger.marked.extend(before);
        }
        if !session.ledger.marked.remove(&id) {
            session.ledger.marked.insert(id);
        }
        session.ledger.anchor = Some(id);
    } else {
        session.ledger.marked.clear();
        session.ledger.anchor = Some(id);
    }
    session.pick(id);
}
