//! Which selections the ledger shows, and in what order.

use crate::model::{RoomId, Selection};
use crate::ui::session::{RowFilter, Session, SortBy};
use crate::ui::standing::{SOON, Standing};
use crate::ui::view::View;

/// Brings the rows of the session up to date. They are kept until the document, the day or a filter changes.
pub fn update(view: &View<'_>, session: &mut Session) {
    let (revision, day) = view.derived.key();
    let search = session.search.trim().to_lowercase();
    let key = (revision, day, session.room, search, session.filter, session.sort, session.descending);
    if session.rows.key.as_ref() == Some(&key) {
        return;
    }
    let mut rows: Vec<usize> = (0..view.project.selections.len())
        .filter(|i| is_shown(view, *i, session.room, session.filter, &key.3))
        .collect();
    sort(view, &mut rows, session.sort, session.descending);
    session.rows.rows = rows;
    session.rows.key = Some(key);
}

fn is_shown(view: &View<'_>, at: usize, room: Option<RoomId>, filter: RowFilter, search: &str) -> bool {
    let selection = &view.project.selections[at];
    let own = &view.figures.selections[at];
    if room.is_some_and(|r| selection.room != r) {
        return false;
    }
    let passes = match filter {
        RowFilter::All => true,
        RowFilter::ToDecide => selection.choice().is_none(),
        RowFilter::OrderSoon => own.days_in_hand.is_some_and(|d| d <= SOON),
        RowFilter::Late => own.late,
    };
    passes && (search.is_empty() || matches(view, selection, search))
}

/// Whether every word of the search is somewhere in the names around a selection.
fn matches(view: &View<'_>, selection: &Selection, search: &str) -> bool {
    let mut text = format!("{} {}", selection.name, selection.category);
    if let Some(room) = view.project.room(selection.room) {
        text.push(' ');
        text.push_str(&room.name);
    }
    for option in &selection.options {
        text.push_str(&format!(" {} {}", option.name, option.finish));
        for part in &option.parts {
            text.push_str(&format!(" {} {}", part.name, part.key));
            if let Some(supplier) = part.supplier.and_then(|id| view.project.supplier(id)) {
                text.push(' ');
                text.push_str(&supplier.name);
            }
        }
    }
    let text = text.to_lowercase();
    search.split_whitespace().all(|word| text.contains(word))
}

fn sort(view: &View<'_>, rows: &mut [usize], by: SortBy, descending: bool) {
    let selection = |i: &usize| &view.project.selections[*i];
    let own = |i: &usize| &view.figures.selections[*i];
    match by {
        SortBy::Document => {
            rows.sort_by_key(|i| view.figures.index.of(selection(i).room.0));
        }
        SortBy::Name => rows.sort_by_cached_key(|i| selection(i).name.to_lowercase()),
        SortBy::Room => {
            rows.sort_by_cached_key(|i| view.project.room(selection(i).room).map(|r| r.name.to_lowercase()))
        }
        SortBy::State => {
            rows.sort_by_cached_key(|i| Standing::of(selection(i), view.figures, own(i)));
        }
        SortBy::Allowance => rows.sort_by_key(|i| own(i).money.allowance),
        SortBy::Forecast => rows.sort_by_key(|i| own(i).money.forecast),
        // What has nothing left to order comes last.
        SortBy::DaysInHand => {
            rows.sort_by_key(|i| own(i).days_in_hand.map_or((1, 0), |d| (0, d)));
        }
    }
    if descending {
        rows.reverse();
    }
}
