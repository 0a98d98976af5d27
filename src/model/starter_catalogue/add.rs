//! Adding to a room what its kind usually needs.

use super::{Item, KINDS, Known};
use crate::model::action::Action;
use crate::model::apply::ActionError;
use crate::model::graph::Graph;
use crate::model::ids::{OptionId, PartId, PhaseId, RoomId, SelectionId, key_from_name};
use crate::model::money::Money;
use crate::model::part::Part;
use crate::model::phase::{Phase, PhaseKind};
use crate::model::project::Project;
use crate::model::selection::{Selection, SelectionOption};
use crate::model::sibling::FIRST_CANDIDATE;
use crate::model::spec::Spec;
use crate::model::work::Work;
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

/// The change that adds things to a room as one step: each a selection with an allowance and with what of it must be known
/// early. `with_candidate` puts a first candidate into each, which carries quantity, unit, kind of thing and phase, so
/// that its need date shows; nobody has said its lead time and price. `None` when there is nothing to add.
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
    let graph = Graph::new(project);
    let mut added: Vec<Selection> = Vec::new();
    for (item, allowance) in items {
        let base = format!("{} {}", home.key, item.name);
        let called = format!("{} {}", home.name, item.name);
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
                let phase = phase_of(project, piece.phase, &format!("{called} {}", piece.name));
                parts.push(Part {
                    unit: piece.unit.to_owned(),
                    quantity: piece.quantity.parse().unwrap_or_default(),
                    waste_pct: Decimal::from(piece.waste),
                    goods: Some(piece.goods),
                    phase,
                    order_after: piece.after.and_then(|work| measured_after(project, &graph, work, phase)),
                    ..Part::new(PartId(fresh()), &key, piece.name)
                });
            }
            let key = unused(1, &format!("{base} first"))?;
            let first = SelectionOption::new(option, &key, FIRST_CANDIDATE);
            selection.options.push(SelectionOption { parts, ..first });
        }
        selection.specs =
            item.specs.iter().filter_map(|k| spec(project, k, &selection, &added, &called)).collect();
        added.push(selection);
    }
    let n = added.len();
    let actions = added.into_iter().map(Action::PutSelection).collect();
    let label = format!("add {n} {} to {}", if n == 1 { "selection" } else { "selections" }, home.name);
    (n > 0).then_some(Action::Batch { label, actions })
}

/// A project with all that its rooms usually need and do not have, each with a first candidate and nothing set aside.
///
/// # Errors
/// What the document refuses; nothing of the lists is.
pub fn with_all(project: &Project) -> Result<Project, ActionError> {
    let mut next = project.clone();
    for room in project.rooms.iter() {
        let kind = KINDS.get(kind_of(&room.name)).map_or(&[][..], |kind| kind.items);
        let missing = kind.iter().filter(|item| !is_there(project, room.id, item));
        let items: Vec<(&Item, Money)> = missing.map(|item| (item, Money::ZERO)).collect();
        if let Some(action) = add(&next, room.id, &items, true) {
            next = next.apply(&action)?;
        }
    }
    Ok(next)
}

/// The phase for the first of these kinds of work that any does. Where several do, those not finished come first, and
/// among them the one that shares the most words with what the thing and its room are called: `Set vanities and laundry
/// cabinets` for a vanity.
fn phase_of(project: &Project, works: &[Work], called: &str) -> Option<PhaseId> {
    // The name of a point in time tells of many things; it counts where somebody said what it is.
    let does = |p: &&Phase, work: Work| match p.kind {
        PhaseKind::Work => p.kind_of_work() == Some(work),
        PhaseKind::Milestone => p.work == Some(work),
        PhaseKind::Inspection => false,
    };
    let best = |work: &Work| {
        let fitting = project.phases.iter().filter(|p| does(p, *work));
        // Of equals the last one counts, which is the first of the phases when they are turned around.
        fitting.rev().max_by_key(|p| (p.finished_on().is_none(), shared_words(&p.name, called))).map(|p| p.id)
    };
    works.iter().find_map(best)
}

/// How many words of a name are among others, in one form or another: equal, or alike in their first five letters.
fn shared_words(name: &str, others: &str) -> usize {
    let (name, others) = (name.to_lowercase(), others.to_lowercase());
    let words = |text: &'_ str| -> Vec<String> {
        text.split(|c: char| !c.is_alphanumeric()).filter(|w| w.len() > 3).map(str::to_owned).collect()
    };
    let begin = |word: &str| word.chars().take(5).collect::<String>();
    let known: HashSet<String> = words(&others).iter().map(|w| begin(w)).collect();
    words(&name).iter().map(|w| begin(w)).collect::<HashSet<_>>().intersection(&known).count()
}

/// The last phase of some work, after which a thing is measured; none where the work that needs the thing comes first.
fn measured_after(project: &Project, graph: &Graph, work: Work, needed: Option<PhaseId>) -> Option<PhaseId> {
    let behind = needed.and_then(|id| project.phase_at(id)).map_or(Vec::new(), |at| graph.behind(at));
    let does = |p: &Phase| p.kind == PhaseKind::Work && p.kind_of_work() == Some(work);
    let fitting = project.phases.iter().enumerate().rev();
    fitting.filter(|(at, p)| does(p) && behind.get(*at) != Some(&true)).map(|(_, p)| p.id).next()
}

/// What must be known of a selection, for whom it is in this project; `None` where nobody is there to wait for it.
fn spec(
    project: &Project,
    known: &Known,
    own: &Selection,
    added: &[Selection],
    called: &str,
) -> Option<Spec> {
    let there = project.selections.iter().map(AsRef::as_ref).filter(|s| s.room == own.room);
    let all = std::iter::once(own).chain(added).chain(there);
    let fits = |p: &&Part| p.goods.is_some_and(|g| known.order.contains(&g)) && !p.is_ordered();
    let part = all.flat_map(counting).find(fits).map(|p| p.id);
    let phase = if part.is_some() { None } else { Some(phase_of(project, known.work, called)?) };
    Some(Spec { phase, part, fact: known.fact.to_owned(), ..Spec::new(known.what) })
}

/// The parts of the option that counts, else those of all candidates.
fn counting(selection: &Selection) -> impl Iterator<Item = &Part> {
    let choice = selection.choice().map(|o| o.id);
    let counts = move |o: &&SelectionOption| choice.is_none_or(|id| o.id == id);
    selection.options.iter().filter(counts).flat_map(|o| &o.parts)
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
            used_as: crate::model::Use::Other,
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
                    assert!(phase_of(&project, piece.phase, "").is_some(), "{} finds no phase", piece.name);
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
