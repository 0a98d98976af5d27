//! Adding to a room what its kind usually needs.

use super::{Item, KINDS};
use crate::model::action::Action;
use crate::model::ids::{OptionId, PartId, RoomId, SelectionId, key_from_name};
use crate::model::money::Money;
use crate::model::part::Part;
use crate::model::project::Project;
use crate::model::selection::{Selection, SelectionOption};
use rust_decimal::Decimal;
use std::collections::HashSet;

/// The kind a room most likely is, by its name.
pub fn kind_of(room_name: &str) -> usize {
    let name = room_name.to_lowercase();
    KINDS.iter().position(|kind| kind.words.iter().any(|w| name.contains(w))).unwrap_or(KINDS.len() - 1)
}

/// Whether a room has something like this already: a selection with all the longer words of its name.
pub fn is_there(project: &Project, room: RoomId, item: &Item) -> bool {
    let name = item.name.to_lowercase();
    let words: Vec<&str> = name.split(|c: char| !c.is_alphanumeric()).filter(|w| w.len() > 3).collect();
    let stem = |w: &str| w.trim_end_matches('s').to_owned();
    project.selections.iter().filter(|s| s.room == room).any(|s| {
        let own = s.name.to_lowercase();
        own == name || (!words.is_empty() && words.iter().all(|w| own.contains(&stem(w))))
    })
}

/// The change that adds things to a room as one step: each a selection with an allowance. `with_candidate` puts a first
/// candidate into each, which carries quantity, unit and phase, so that its need date shows. `None` when there is nothing
/// to add.
pub fn add(
    project: &Project,
    room: RoomId,
    items: &[(&Item, Money)],
    with_candidate: bool,
) -> Option<Action> {
    let home = project.room(room)?;
    let mut next = project.next_id;
    let mut fresh = || {
        next += 1;
        next - 1
    };
    let mut keys: [HashSet<String>; 3] = [
        project.selections.iter().map(|s| s.key.clone()).collect(),
        project.selections.iter().flat_map(|s| &s.options).map(|o| o.key.clone()).collect(),
        project.all_parts().map(|(_, _, p)| p.key.clone()).collect(),
    ];
    let mut unused = |kind: usize, base: &str| {
        let taken = keys.get_mut(kind)?;
        let key = key_from_name(base, taken.iter().map(String::as_str));
        taken.insert(key.clone());
        Some(key)
    };
    let mut actions = Vec::new();
    for (item, allowance) in items {
        let base = format!("{} {}", home.key, item.name);
        let mut selection = Selection {
            id: SelectionId(fresh()),
            key: unused(0, &base)?,
            room,
            category: item.category.to_owned(),
            name: item.name.to_owned(),
            allowance: *allowance,
            decide_on: None,
            notes: String::new(),
            specs: Vec::new(),
            options: Vec::new(),
        };
        if with_candidate {
            let option = OptionId(fresh());
            let mut parts = Vec::new();
            for piece in item.pieces {
                let key = unused(2, &format!("{base} {}", piece.name))?;
                parts.push(Part {
                    unit: piece.unit.to_owned(),
                    quantity: piece.quantity.parse().unwrap_or_default(),
                    waste_pct: Decimal::from(piece.waste),
                    phase: phase_by_word(project, piece.phase),
                    ..Part::new(PartId(fresh()), &key, piece.name)
                });
            }
            let key = unused(1, &format!("{base} first"))?;
            let first = SelectionOption::new(option, &key, "First candidate");
            selection.options.push(SelectionOption { parts, ..first });
        }
        actions.push(Action::PutSelection(selection));
    }
    let n = actions.len();
    let label = format!("add {n} {} to {}", if n == 1 { "selection" } else { "selections" }, home.name);
    (n > 0).then_some(Action::Batch { label, actions })
}

/// The first phase of work whose name has the first of these words that any has.
fn phase_by_word(project: &Project, words: &[&str]) -> Option<crate::model::PhaseId> {
    words.iter().find_map(|word| {
        let fits = |p: &&crate::model::Phase| {
            p.kind != crate::model::PhaseKind::Inspection && p.name.to_lowercase().contains(word)
        };
        project.phases.iter().find(fits).map(|p| p.id)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::starter::add_starter_phases;
    use crate::model::{Quantity, Room, Shape};

    fn project() -> Project {
        let mut project = Project::new("New", chrono::NaiveDate::from_ymd_opt(2026, 1, 5).unwrap());
        add_starter_phases(&mut project);
        let room = Room {
            id: RoomId(project.next_id),
            key: "bath".to_owned(),
            name: "Hall bath".to_owned(),
            level: String::new(),
            shape: Shape::default(),
            height: Decimal::ZERO,
            openings: Vec::new(),
        };
        project.apply(&Action::PutRoom(room)).unwrap()
    }

    #[test]
    fn kinds_are_told_by_name() {
        let name = |room: &str| KINDS[kind_of(room)].name;
        assert_eq!(name("Kitchen"), "Kitchen");
        assert_eq!(name("Hall bath"), "Bath");
        assert_eq!(name("Powder room"), "Powder room");
        assert_eq!(name("Laundry and mudroom"), "Laundry");
        assert_eq!(name("Second bedroom"), "Bedroom");
        assert_eq!(name("House-wide"), "Whole house");
        assert_eq!(name("Study"), "Living room, dining room or study");
    }

    #[test]
    fn every_rule_can_be_read_and_every_piece_finds_a_starter_phase() {
        let project = project();
        for kind in KINDS {
            let mut names = HashSet::new();
            for item in kind.items {
                assert!(names.insert(item.name), "{} twice in {}", item.name, kind.name);
                for piece in item.pieces {
                    let quantity: Result<Quantity, String> = piece.quantity.parse();
                    assert!(quantity.is_ok(), "{}: {quantity:?}", piece.name);
                    assert!(phase_by_word(&project, piece.phase).is_some(), "{} finds no phase", piece.name);
                }
            }
        }
    }

    #[test]
    fn what_is_added_is_one_sound_step_and_then_there() {
        let project = project();
        let room = project.rooms[0].id;
        let items = KINDS[kind_of("Hall bath")].items;
        assert!(items.iter().all(|i| !is_there(&project, room, i)));
        let wanted: Vec<(&Item, Money)> = items.iter().map(|i| (i, Money::new(Decimal::TEN))).collect();
        let action = add(&project, room, &wanted, true).unwrap();
        let next = project.apply(&action).unwrap();
        assert_eq!(next.selections.len(), items.len());
        assert!(items.iter().all(|i| is_there(&next, room, i)));
        assert_eq!(add(&next, room, &[], true), None);
        let shower = next.selections.iter().find(|s| s.name == "Shower set").unwrap();
        let phases: Vec<&str> = shower.options[0]
            .parts
            .iter()
            .map(|p| next.phase(p.phase.unwrap()).unwrap().name.as_str())
            .collect();
        assert_eq!(phases, ["Rough plumbing", "Finish plumbing"], "the body goes into the wall first");
    }
}
