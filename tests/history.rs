//! Edits, undo, redo and the project file: laws on random edits, and the disk.

#[path = "support/random.rs"]
mod random;
mod support;

use needline::engine::compute;
use needline::engine::money::Columns;
use needline::model::file::{FileError, KEPT_BACKUPS, SCHEMA, from_text, load, save, to_text};
use needline::model::history::Revision;
use needline::model::validate;
use needline::model::*;
use proptest::prelude::*;
use random::{any_action, any_dice, house};
use std::fs;
use std::path::Path;
use support::*;

fn reread(p: &Project) -> Project {
    from_text(&to_text(p).unwrap(), Path::new("x.ron")).unwrap_or_else(|e| panic!("{e}"))
}

proptest! {
    /// Whatever is done, the document keeps its own rules and comes back equal from its text; what is refused leaves
    /// it as it was.
    #[test]
    fn every_document_is_sound(dice in any_dice()) {
        let mut p = house();
        for dice in dice {
            let action = any_action(&p, dice, 1);
            let before = p.clone();
            match p.apply(&action) {
                Ok(next) => {
                    prop_assert_eq!(validate::document(&next), Vec::<String>::new(), "after {:?}", action);
                    prop_assert_eq!(graph::circle_names(&next, std::iter::empty(), None), None);
                    prop_assert!(next.next_id >= p.next_id, "numbers are never given again");
                    p = next;
                }
                Err(refused) => prop_assert!(!refused.to_string().is_empty()),
            }
            prop_assert!(p == before || validate::document(&before).is_empty());
        }
        prop_assert_eq!(reread(&p), p);
    }

    /// Whatever is done, all figures can be computed, are found by number, and each grouping of the money adds up to
    /// the total to the cent.
    #[test]
    fn every_document_has_its_figures(dice in any_dice()) {
        let mut p = house();
        for dice in dice {
            p = p.apply(&any_action(&p, dice, 1)).unwrap_or(p);
        }
        let f = compute(&p, date("2026-06-15"));
        let ids: Vec<PartId> = p.all_parts().map(|(_, _, part)| part.id).collect();
        prop_assert_eq!(f.parts.iter().map(|part| part.id).collect::<Vec<_>>(), ids.clone());
        prop_assert!(ids.iter().all(|id| f.part(*id).is_some_and(|part| part.id == *id)));
        prop_assert!(p.selections.iter().all(|s| f.selection(s.id).is_some_and(|found| found.id == s.id)));
        prop_assert_eq!((f.phases.len(), f.rooms.len(), f.gates.len()), (p.phases.len(), p.rooms.len(), p.gates.len()));
        let columns = |c: &Columns| [c.allowance, c.chosen, c.ordered, c.paid, c.forecast];
        let sum = |rows: Vec<&Columns>| -> [Money; 5] {
            std::array::from_fn(|i| rows.iter().map(|row| columns(row)[i]).sum())
        };
        let money = &f.money;
        for rows in [&money.by_room, &money.by_supplier, &money.by_phase] {
            prop_assert_eq!(sum(rows.iter().collect()), columns(&money.total));
        }
        prop_assert_eq!(sum(money.by_category.iter().map(|(_, row)| row).collect()), columns(&money.total));
    }

    /// Whatever is done, what is looked up by its number is what a walk of the document finds.
    #[test]
    fn look_ups_find_what_a_walk_finds(dice in any_dice()) {
        let mut p = house();
        for dice in dice {
            p = p.apply(&any_action(&p, dice, 1)).unwrap_or(p);
            prop_assert!(p.is_indexed());
            (0..p.next_id + 3).for_each(|id| found_as_by_a_walk(&p, id));
        }
    }

    /// Undo goes back through the very same documents, redo forward again, and a new step forgets what was undone.
    #[test]
    fn undo_and_redo_are_inverse(dice in any_dice(), back in 0_usize..25) {
        let mut history = History::new(house());
        let mut documents = vec![(history.project().as_ref().clone(), history.revision())];
        let mut labels = Vec::new();
        for dice in dice {
            let action = any_action(history.project(), dice, 1);
            let label = action.label(history.project());
            let (before, revision) = (history.project().clone(), history.revision());
            let accepted = history.apply(&action);
            if accepted.is_err() || **history.project() == *before {
                prop_assert_eq!(history.revision(), revision, "nothing changed, no step");
                prop_assert_eq!(&**history.project(), &*before);
            } else {
                documents.push((history.project().as_ref().clone(), history.revision()));
                labels.push(label);
            }
        }
        let steps = labels.len();
        prop_assert_eq!(history.is_unsaved(), steps > 0);
        for at in (0..steps).rev() {
            prop_assert_eq!(history.undo_label(), Some(labels[at].as_str()));
            prop_assert!(history.undo());
            prop_assert_eq!((history.project().as_ref(), history.revision()), (&documents[at].0, documents[at].1));
            prop_assert_eq!(history.redo_label(), Some(labels[at].as_str()));
        }
        prop_assert!(!history.undo() && history.undo_label().is_none() && !history.is_unsaved());
        for document in &documents[1..] {
            prop_assert!(history.redo());
            prop_assert_eq!((history.project().as_ref(), history.revision()), (&document.0, document.1));
        }
        prop_assert!(!history.redo() && history.redo_label().is_none());
        let back = back.min(steps);
        (0..back).for_each(|_| { history.undo(); });
        let newest = documents.iter().map(|(_, r)| *r).max().unwrap_or(Revision(0));
        let settings = Settings { name: "Renamed".to_owned(), ..history.project().settings.clone() };
        history.apply(&Action::PutSettings(Box::new(settings))).unwrap();
        prop_assert!(history.revision() > newest, "numbers of documents are never given again");
        prop_assert_eq!(history.redo_label(), None);
        prop_assert!(history.undo());
        prop_assert_eq!(history.project().as_ref(), &documents[steps - back].0);
    }

    /// No text can bring the reader down: a document cut or changed anywhere is read or refused.
    #[test]
    fn a_damaged_text_is_refused_or_read(at in 0_usize..6000, byte in 0_u8..128, cut: bool) {
        let text = to_text(&house()).unwrap();
        let at = at % text.len();
        let damaged = if cut {
            text[..at].to_owned()
        } else {
            let mut bytes = text.into_bytes();
            bytes[at] = byte;
            String::from_utf8(bytes).unwrap()
        };
        if let Ok(p) = from_text(&damaged, Path::new("x.ron")) {
            prop_assert!(validate::document(&p).is_empty());
            needline::engine::compute(&p, date("2026-06-01"));
        }
    }
}

fn found_as_by_a_walk(p: &Project, id: u32) {
    assert_eq!(p.room(RoomId(id)), p.rooms.iter().find(|r| r.id.0 == id));
    assert_eq!(p.phase(PhaseId(id)), p.phases.iter().find(|f| f.id.0 == id));
    assert_eq!(p.supplier(SupplierId(id)), p.suppliers.iter().find(|s| s.id.0 == id));
    assert_eq!(p.order(OrderId(id)), p.orders.iter().find(|o| o.id.0 == id));
    assert_eq!(p.gate(GateId(id)), p.gates.iter().find(|g| g.id.0 == id));
    let mut conditions = p.gates.iter().flat_map(|g| g.conditions.iter().map(move |c| (g, c)));
    assert_eq!(p.condition(ConditionId(id)), conditions.find(|(_, c)| c.id.0 == id));
    assert_eq!(p.selection(SelectionId(id)), p.selections.iter().map(AsRef::as_ref).find(|s| s.id.0 == id));
    let mut options = p.selections.iter().flat_map(|s| s.options.iter().map(move |o| (s.as_ref(), o)));
    assert_eq!(p.option(OptionId(id)), options.find(|(_, o)| o.id.0 == id));
    assert_eq!(p.part(PartId(id)), p.all_parts().find(|(_, _, part)| part.id.0 == id));
}

/// A list that is changed without an action is found right as well, and a copy made before it keeps its own.
#[test]
fn lists_changed_by_hand_are_found_right() {
    let before = house();
    let mut p = before.clone();
    std::sync::Arc::make_mut(&mut p.selections).swap(0, 1);
    std::sync::Arc::make_mut(&mut p.phases).remove(0);
    assert!(before.is_indexed() && !p.is_indexed());
    for p in [&before, &p] {
        (0..p.next_id).for_each(|id| found_as_by_a_walk(p, id));
    }
    p.reindex();
    assert!(p.is_indexed());
    (0..p.next_id).for_each(|id| found_as_by_a_walk(&p, id));
    drop(before);
    std::sync::Arc::make_mut(&mut p.selections).swap(0, 1);
    assert!(!p.is_indexed(), "a list that nobody shares is not edited in place either");
    assert!(from_text(&to_text(&house()).unwrap(), Path::new("x.ron")).unwrap().is_indexed());
}

/// Adds and edits name the thing, removals name what goes.
#[test]
fn labels_name_the_thing() {
    let p = house();
    let (s, option, part) =
        (&p.selections[0], &p.selections[0].options[0], &p.selections[0].options[0].parts[0]);
    let put = |edit: &dyn Fn(&mut Selection)| {
        let mut changed = Selection { options: Vec::new(), ..s.as_ref().clone() };
        edit(&mut changed);
        Action::PutSelection(changed)
    };
    let room = Room { id: RoomId(900), key: "den".to_owned(), name: "Den".to_owned(), ..p.rooms[0].clone() };
    for (action, label) in [
        (Action::PutRoom(room), "add Den".to_owned()),
        (Action::PutRoom(p.rooms[0].clone()), format!("edit {}", p.rooms[0].name)),
        // One field or two are named, more are not.
        (put(&|s| s.allowance = money("1234")), format!("{}: allowance", s.name)),
        (
            put(&|s| (s.category, s.notes) = ("Trim".to_owned(), "x".to_owned())),
            format!("{}: category, notes", s.name),
        ),
        (
            put(&|s| {
                (s.category, s.notes) = ("Trim".to_owned(), "x".to_owned());
                s.allowance = money("1234");
            }),
            format!("edit {}", s.name),
        ),
        (
            Action::PutPart(option.id, Part { lead: Some(9), lead_max: Some(12), ..part.clone() }),
            format!("{}: lead time", part.name),
        ),
        (
            Action::PutSettings(Box::new(Settings { hold: 9, ..p.settings.clone() })),
            "settings: hold".to_owned(),
        ),
        (Action::RemovePhase(p.phases[0].id), "remove rough".to_owned()),
        (
            Action::SetPicture(option.id, "p/a.png".to_owned()),
            format!("set the picture of {} for {}", option.name, s.name),
        ),
        (Action::SetFinishColor(" brass ".to_owned(), None), "color of brass".to_owned()),
        (Action::PutLink(p.links[0].clone()), "edit link rough to check".to_owned()),
        (Action::Choose(option.id), format!("choose {} for {}", option.name, s.name)),
        (
            Action::MarkOrdered(vec![part.id], Some(date("2026-06-01"))),
            format!("mark {} of {} ordered", part.name, s.name),
        ),
        (Action::MarkReceived(vec![part.id, part.id], None), "mark 2 parts not received".to_owned()),
        (Action::FinishPhase(p.phases[2].id, Some(date("2026-06-01"))), "mark tile finished".to_owned()),
        (Action::AcceptQuote(p.quotes[0].id), "accept Plumber".to_owned()),
        (Action::RemoveRoom(RoomId(901)), "remove room".to_owned()),
    ] {
        assert_eq!(action.label(&p), label);
    }
}

#[test]
fn a_batch_is_one_step_or_none() {
    let mut history = History::new(house());
    let p = history.project().clone();
    let parts: Vec<PartId> = p.all_parts().map(|(_, _, part)| part.id).collect();
    let order = Action::MarkOrdered(parts.clone(), Some(date("2026-06-02")));
    let choose = Action::Choose(p.selections[0].options[1].id);
    let batch = |actions: Vec<Action>| Action::Batch { label: "order everything".to_owned(), actions };
    history.apply(&batch(vec![order.clone(), choose.clone()])).unwrap();
    assert_eq!(history.undo_label(), Some("order everything"));
    assert!(history.project().all_parts().all(|(_, _, part)| part.is_ordered()));
    assert!(history.undo());
    assert_eq!(*history.project(), p);
    // One action in it is refused: none is done.
    let refused = history.apply(&batch(vec![order, choose, Action::RemoveRoom(p.rooms[0].id)]));
    assert!(refused.unwrap_err().to_string().contains("2 selections"));
    assert_eq!(*history.project(), p);
}

#[test]
fn refusals_say_why() {
    let p = house();
    let refused = |action: Action| p.apply(&action).unwrap_err().to_string();
    let link = |before: usize, after: usize, kind, lag, unit| {
        let (before, after) = (p.phases[before].id, p.phases[after].id);
        Action::PutLink(Link { id: LinkId(p.next_id), before, after, kind, lag, unit })
    };
    assert!(refused(link(2, 0, LinkKind::SS, 0, LagUnit::Working)).contains("circle: "));
    assert!(refused(link(0, 0, LinkKind::FS, 0, LagUnit::Working)).contains("itself"));
    for kind in [LinkKind::FF, LinkKind::SF] {
        assert!(refused(link(0, 2, kind, 1, LagUnit::Elapsed)).contains("elapsed"), "{kind:?}");
    }
    assert!(p.apply(&link(0, 2, LinkKind::SS, 1, LagUnit::Elapsed)).is_ok());
    let mut twice = p.rooms[1].clone();
    twice.key = p.rooms[0].key.clone();
    assert!(refused(Action::PutRoom(twice)).contains("taken"));
    let part = p.all_parts().next().unwrap().2.clone();
    assert!(refused(Action::SetPaid(part.id, money("-1"))).contains("negative"));
    assert!(refused(Action::PutPhase(Phase::new(PhaseId(p.next_id), "x", "X", -1))).contains("negative"));
    let mut settings = p.settings.clone();
    settings.holidays.own = vec![date("2300-01-01")];
    assert!(refused(Action::PutSettings(Box::new(settings))).contains("1900 to 2200"));
    let attempt = Attempt {
        date: date("2026-06-01"),
        passed: true,
        booked: false,
        note: String::new(),
        correct_by: None,
    };
    assert!(refused(Action::RecordAttempt(p.phases[0].id, attempt)).contains("inspection"));
}

/// A number stays with its thing: another thing, a second option or a file cannot take it.
#[test]
fn numbers_belong_to_one_thing() {
    let p = house();
    let refused = |action: Action| p.apply(&action).unwrap_err().to_string();
    let phase = p.phases[0].id.0;
    let room = Room { id: RoomId(phase), key: "den".to_owned(), ..p.rooms[0].clone() };
    assert!(refused(Action::PutRoom(room.clone())).contains("number"));
    for absurd in [0, u32::MAX] {
        assert!(
            refused(Action::PutRoom(Room { id: RoomId(absurd), ..room.clone() })).contains("number"),
            "{absurd}"
        );
    }
    let (first, second) = (&p.selections[0].options[0], &p.selections[1].options[0]);
    assert!(refused(Action::PutPart(second.id, first.parts[0].clone())).contains("number"));
    assert!(refused(Action::PutOption(p.selections[1].id, first.clone())).contains("number"));
    let part = Part::new(PartId(p.next_id + 1), "twice", "Twice");
    let parts = vec![part.clone(), Part { id: PartId(p.next_id + 2), ..part }];
    let option = SelectionOption { id: OptionId(p.next_id), key: "new".to_owned(), parts, ..first.clone() };
    assert!(refused(Action::PutOption(p.selections[1].id, option)).contains("taken"));
}

/// One quote a scope is accepted, however it comes to be; quotes without a scope do not compete.
#[test]
fn one_quote_a_scope_is_accepted() {
    let p = house();
    let first = p.quotes[0].clone();
    let other = |n: u32, scope: &str, accepted| Quote {
        id: QuoteId(p.next_id + n),
        key: format!("q{n}"),
        scope: scope.to_owned(),
        accepted,
        ..first.clone()
    };
    let accepted =
        |p: &Project| p.quotes.iter().filter(|q| q.accepted).map(|q| q.key.clone()).collect::<Vec<_>>();
    let mut p = p.apply(&Action::AcceptQuote(first.id)).unwrap();
    for quote in [other(0, "", true), other(1, "", false), other(2, "rough", false), other(3, "rough", true)]
    {
        p = p.apply(&Action::PutQuote(quote)).unwrap();
    }
    assert_eq!(accepted(&p), ["q0", "q3"], "the new one takes the place of the first");
    p = p.apply(&Action::AcceptQuote(p.quotes[2].id)).unwrap();
    assert_eq!(accepted(&p), ["q0", "q1", "q3"]);
    p = p.apply(&Action::AcceptQuote(first.id)).unwrap();
    assert_eq!(accepted(&p), ["q", "q0", "q1"]);
}

/// A file that claims four thousand million numbers would take all memory.
#[test]
fn a_file_with_absurd_numbers_is_refused() {
    let mut p = house();
    p.next_id = u32::MAX;
    let error = from_text(&to_text(&p).unwrap(), Path::new("x.ron")).unwrap_err();
    assert!(error.to_string().contains("next_id"), "{error}");
}

#[test]
fn saving_keeps_the_last_five() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("house.ron");
    let mut stamp = None;
    for n in 0..8 {
        let mut p = house();
        p.settings.name = format!("House {n}");
        stamp = Some(save(&p, &path, stamp.as_ref()).unwrap());
        assert_eq!(load(&path).unwrap().0, p);
    }
    let mut names: Vec<String> =
        fs::read_dir(folder.path()).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    let kept = (1..=KEPT_BACKUPS).map(|n| format!("house.ron.{n}.bak"));
    assert_eq!(names, ["house.ron".to_owned()].into_iter().chain(kept).collect::<Vec<_>>());
    assert_eq!(KEPT_BACKUPS, 5);
    for n in 1..=5 {
        let (p, _) = load(&folder.path().join(format!("house.ron.{n}.bak"))).unwrap();
        assert_eq!(p.settings.name, format!("House {}", 7 - n));
    }
}

#[test]
fn a_file_changed_by_someone_else_is_not_overwritten() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("house.ron");
    let p = house();
    let stamp = save(&p, &path, None).unwrap();
    let theirs = to_text(&p).unwrap().replace("Test house", "Their house");
    fs::write(&path, &theirs).unwrap();
    let error = save(&p, &path, Some(&stamp)).unwrap_err();
    assert!(matches!(error, FileError::ChangedOnDisk { .. }), "{error}");
    assert_eq!(fs::read_to_string(&path).unwrap(), theirs);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "no backup, no rest");
    let (_, stamp) = load(&path).unwrap();
    save(&p, &path, Some(&stamp)).unwrap();
    assert_eq!(load(&path).unwrap().0, p);
}

#[test]
fn a_bad_file_says_where_and_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("house.ron");
    let good = to_text(&house()).unwrap();
    for (bad, expected) in [
        (
            good.replace(&format!("schema: {SCHEMA}"), &format!("schema: {}", SCHEMA + 1)).into_bytes(),
            "later version",
        ),
        (good.replace("days: 4", "days: four").into_bytes(), "line "),
        (good.replace("key: \"tile\"", "key: \"rough\"").into_bytes(), "used twice"),
        (b"( schema: 1,\n  project: \xff".to_vec(), "line 2, column 12"),
        (Vec::new(), "line 1"),
    ] {
        fs::write(&path, &bad).unwrap();
        let error = load(&path).unwrap_err().to_string();
        assert!(error.contains(expected) && error.contains("house.ron"), "{error}");
        assert_eq!(fs::read(&path).unwrap(), bad);
    }
}
