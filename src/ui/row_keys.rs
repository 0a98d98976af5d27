//! The keys that go from row to row in a list, the same in every list.

use egui::{Context, Key, Modifiers};

/// By how many rows each key goes; a page is `page` rows, and Home and End go further than any list.
fn moves(page: isize) -> [(Key, isize); 6] {
    [
        (Key::ArrowDown, 1),
        (Key::ArrowUp, -1),
        (Key::PageDown, page),
        (Key::PageUp, -page),
        (Key::Home, isize::MIN / 2),
        (Key::End, isize::MAX / 2),
    ]
}

/// Takes the keys pressed together with these modifiers: by how many rows to go for each, in turn.
pub fn pressed(ctx: &Context, modifiers: Modifiers, page: isize) -> Vec<isize> {
    let taken = |(key, by): (Key, isize)| ctx.input_mut(|i| i.consume_key(modifiers, key)).then_some(by);
    moves(page).into_iter().filter_map(taken).collect()
}

/// Whether a key that goes so many rows begins at the last row where none is picked: up and End do.
pub fn begins_below(by: isize, page: isize) -> bool {
    by == -1 || by == -page || by == isize::MAX / 2
}
