//! A room copied whole: its size, its selections and their options, as if nothing in it had been ordered yet.

use super::action::Action;
use super::ids::{OptionId, PartId, RoomId, SelectionId, key_from_name};
use super::money::Money;
use super::project::Project;
use std::collections::HashSet;

/// The change that adds a copy of a room, as one step. Choices are kept; orders, deliveries and payments are not.
/// `None` when the room is gone.
pub fn copy_room(project: &Project, id: RoomId) -> Option<Action> {
    let mut next = project.next_id;
    let mut fresh = || {
        next += 1;
        next - 1
    };
    let mut room = project.room(id)?.clone();
    let label = format!("copy {}", room.name);
    room.id = RoomId(fresh());
    room.name = unused_name(project, &room.name);
    room.key = key_from_name(&room.name, project.rooms.iter().map(|r| r.key.as_str()));
    let mut keys: [HashSet<String>; 3] = [
        project.selections.iter().map(|s| s.key.clone()).collect(),
        project.selections.iter().flat_map(|s| &s.options).map(|o| o.key.clone()).collect(),
        project.all_parts().map(|(_, _, p)| p.key.clone()).collect(),
    ];
    let old_key = project.room(id).map_or("", |r| r.key.as_str()).to_owned();
    let new_key = room.key.clone();
    let mut rename = |kind: usize, key: &str| {
        // Keys often begin with that of the room.
        let base = match key.strip_prefix(&old_key) {
            Some(rest) if !old_key.is_empty() => format!("{new_key}{rest}"),
            _ => format!("{new_key}_{key}"),
        };
        let taken = keys.get(kind)?;
        let key = key_from_name(&base, taken.iter().map(String::as_str));
        keys.get_mut(kind)?.insert(key.clone());
        Some(key)
    };
    let room_id = room.id;
    let mut actions = vec![Action::PutRoom(room)];
    for selection in project.selections.iter().filter(|s| s.room == id) {
        let mut copy = selection.as_ref().clone();
        copy.id = SelectionId(fresh());
        copy.key = rename(0, &copy.key)?;
        copy.room = room_id;
        for option in &mut copy.options {
            option.id = OptionId(fresh());
            option.key = rename(1, &option.key)?;
            // Somebody said yes to that one, and not to this.
            (option.approved_by, option.approved_on) = (String::new(), None);
            for part in &mut option.parts {
                part.id = PartId(fresh());
                part.key = rename(2, &part.key)?;
                (part.ordered_on, part.promised_on, part.received_on, part.installed_on) =
                    (None, None, None, None);
                part.paid = Money::ZERO;
            }
        }
        actions.push(Action::PutSelection(copy));
    }
    Some(Action::Batch { label, actions })
}

/// `Hall bath 2`, then `Hall bath 3`, …
fn unused_name(project: &Project, name: &str) -> String {
    let stem = name.trim_end_matches(|c: char| c.is_ascii_digit() || c == ' ');
    let stem = if stem.is_empty() { name } else { stem };
    let mut n = 2_u32;
    loop {
        let candidate = format!("{stem} {n}");
        if !project.rooms.iter().any(|r| r.name == candidate) {
            return candidate;
        }
        n += 1;
    }
}
