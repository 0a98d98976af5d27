//! Alternatives: what each comes to against the choices made one by one by plain code, what becomes of them when what they
//! name goes, sheets, and the verbs as a user calls them.

mod common;
#[path = "support/random.rs"]
mod random;
mod support;

use common::{HOUSE, run, write_sheets};
use needline::engine::alternatives::{Made, adopt, changes, made, side_by_side};
use needline::engine::{Figures, compute, problems};
use needline::model::file;
use needline::model::*;
use proptest::prelude::*;
use random::{any_action, any_dice, house};
use std::collections::BTreeSet;
use std::sync::Arc;
use support::*;

const DAY: &str = "2026-06-15";

/// A random document, and an alternative of random options of it.
fn any(dice: Vec<random::Dice>, picks: &[usize]) -> (Project, Alternative) {
    let mut p = house();
    for dice in dice {
        p = p.apply(&any_action(&p, dice, 1)).unwrap_or(p);
    }
    let mut own = Alternative::new(AlternativeId(p.next_id));
    (own.key, own.name) = ("other".to_owned(), "Other".to_owned());
    for (selection, pick) in p.selections.iter().zip(picks) {
        if let Some(option) = selection.options.get(*pick) {
            own.options.push(option.id);
        }
    }
    let next = p.apply(&Action::PutAlternative(own.clone())).unwrap();
    (next, own)
}

/// The options of an alternative chosen in the document itself; what was ordered for those left is on its way back where
/// something comes back for it, else still to be decided about.
fn by_hand(p: &Project, f: &Figures, own: &Alternative) -> Project {
    let mut next = p.clone();
    for selection in p.selections.iter() {
        let Some(to) = selection.options.iter().find(|o| own.options.contains(&o.id)).map(|o| o.id) else {
            continue;
        };
        let from = selection.choice().filter(|o| o.id != to);
        for part in from.into_iter().flat_map(|o| &o.parts).filter(|part| part.is_ordered()) {
            let at = f.parts.iter().position(|x| x.id == part.id).unwrap();
            let known = p.returns.iter().find(|r| r.part == part.id);
            let terms = f.terms(p, at, known, f.as_of);
            if known.is_none() {
                let mut r = Return::new(ReturnId(next.fresh_id()), part.id);
                if !terms.built_in && terms.given_back > Money::ZERO {
                    r.state = ReturnState::GoingBack;
                }
                Arc::make_mut(&mut next.returns).push(r);
            }
        }
        edit_selection(&mut next, selection.id, |s| {
            for option in &mut s.options {
                option.state = if option.id == to { OptionState::Chosen } else { OptionState::Candidate };
            }
        });
    }
    next
}

/// Finish, total, money of rooms, late parts, and what is wrong.
type Papers = (Option<String>, Money, Vec<Money>, usize, BTreeSet<(String, String)>);

/// A document as a person would compare two papers.
fn papers(p: &Project, f: &Figures) -> Papers {
    let found = problems(p, f).into_iter().filter(|x| x.severity != Severity::Note);
    (
        f.forecast_finish.map(|day| day.to_string()),
        f.money.total.forecast,
        f.money.by_room.iter().map(|room| room.forecast).collect(),
        f.parts.iter().filter(|x| x.live && x.late && !x.on_site).count(),
        found.map(|x| (x.code.to_owned(), x.about)).collect(),
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// What stands side by side is what the house would come to with the choices made by hand.
    #[test]
    fn each_side_is_what_the_house_would_come_to(dice in any_dice(), picks in proptest::collection::vec(0_usize..4, 12)) {
        let (p, own) = any(dice, &picks);
        let f = compute(&p, date(DAY));
        let Made { project, figures, side, .. } = made(&p, &f, &own).unwrap();
        prop_assert!(side.refused.is_empty(), "{:?}", side.refused);
        for change in changes(&p, &own) {
            prop_assert_eq!(project.selection(change.selection).unwrap().choice().map(|o| o.id), Some(change.to));
        }
        // What went back before and is chosen again begins anew, which no hand does: such a case is its own test.
        let again = |o: &OptionId| p.option(*o).unwrap().1.parts.iter().any(|x| p.returns.iter().any(|r| r.part == x.id));
        let back = own.options.iter().any(again) || p.selections.iter().filter_map(|s| s.choice()).any(|o| again(&o.id));
        if !back {
            let hand = by_hand(&p, &f, &own);
            let after = compute(&hand, date(DAY));
            let (own, other) = (papers(&project, &figures), papers(&hand, &after));
            prop_assert_eq!((&own.0, own.1, &own.2, own.3), (&other.0, other.1, &other.2, other.3));
            prop_assert_eq!((side.finish, side.total, &side.by_room), (after.forecast_finish, other.1, &other.2));
            prop_assert_eq!(side.late, other.3);
        }
        // Problems: those that are new and gone lead from what there is to what there would be.
        let sides = side_by_side(&p, &f);
        let at = p.alternatives.iter().position(|a| a.key == "other").unwrap();
        let (was, is) = (papers(&p, &f).4, papers(&project, &figures).4);
        let words = |list: &[Problem]| -> BTreeSet<(String, String)> {
            list.iter().map(|x| (x.code.to_owned(), x.about.clone())).collect()
        };
        let (new, gone) = (words(&sides.others[at].new), words(&sides.others[at].gone));
        prop_assert!(is.difference(&was).all(|x| new.contains(x)), "{new:?}");
        prop_assert!(was.difference(&is).all(|x| gone.contains(x)), "{gone:?}");
    }

    /// Making one is one step: what it does not name is left alone, done twice it does nothing, and undo takes all back.
    #[test]
    fn it_is_made_in_one_step(dice in any_dice(), picks in proptest::collection::vec(0_usize..4, 12)) {
        let (p, own) = any(dice, &picks);
        let f = compute(&p, date(DAY));
        let mut history = history::History::new(p.clone());
        let (action, _) = adopt(&p, &f, &own);
        prop_assert_eq!(action.is_none(), changes(&p, &own).is_empty());
        let Some(action) = action else { return Ok(()) };
        history.apply(&action).unwrap();
        let next = history.project().as_ref().clone();
        for (before, after) in p.selections.iter().zip(next.selections.iter()) {
            let named = before.options.iter().any(|o| own.options.contains(&o.id));
            if !named {
                prop_assert_eq!(before, after);
            }
        }
        prop_assert!(changes(&next, &own).is_empty());
        prop_assert!(adopt(&next, &compute(&next, date(DAY)), &own).0.is_none());
        history.undo();
        prop_assert_eq!(history.project().as_ref(), &p);
    }
}

#[test]
fn what_goes_is_taken_out_of_the_sets_that_name_it() {
    let mut p = project("2026-06-01");
    let states = [(OptionState::Chosen, 1), (OptionState::Candidate, 1)];
    let (a, b) = (add_selection(&mut p, "300", &states), add_selection(&mut p, "400", &states));
    let option = |p: &Project, id, n: usize| p.selection(id).unwrap().options[n].id;
    let own = Alternative {
        key: "two".to_owned(),
        name: "Two".to_owned(),
        options: vec![option(&p, a, 1), option(&p, b, 1)],
        ..Alternative::new(AlternativeId(p.next_id))
    };
    let p = p.apply(&Action::PutAlternative(own.clone())).unwrap();
    let gone = p.apply(&Action::RemoveSelection(a)).unwrap();
    assert_eq!(gone.alternatives[0].options, own.options[1..]);
    let gone = gone.apply(&Action::RemoveOption(own.options[1])).unwrap();
    assert!(gone.alternatives[0].options.is_empty());
    assert!(made(&gone, &figures(&gone, DAY), &gone.alternatives[0]).unwrap().side.changes.is_empty());

    // Two of one selection, one that is not there, no name, a key used before.
    let refused = |change: fn(&mut Alternative, &Project, SelectionId)| {
        let mut other = Alternative { id: AlternativeId(p.next_id), key: "three".to_owned(), ..own.clone() };
        change(&mut other, &p, a);
        p.apply(&Action::PutAlternative(other)).unwrap_err().to_string()
    };
    let two = refused(|x, p, a| x.options.push(p.selection(a).unwrap().options[0].id));
    assert!(two.contains("two options of"), "{two}");
    assert!(refused(|x, _, _| x.options.push(OptionId(9_999))).contains("not in the project"));
    assert!(refused(|x, _, _| x.name = "  ".to_owned()).contains("no name"));
    assert!(refused(|x, _, _| x.key = "two".to_owned()).contains("two"));

    // Taking another option of the same selection puts it in the place of the first.
    let mut taken = own.clone();
    taken.take(&p, option(&p, a, 0));
    assert_eq!(taken.options, [option(&p, a, 0), own.options[1]]);
}

#[test]
fn the_verbs_tell_and_make_what_the_sheets_say() {
    let folder = tempfile::tempdir().unwrap();
    let sheets = folder.path().join("sheets");
    write_sheets(&sheets, HOUSE);
    let path = folder.path().join("house.ron");
    assert_eq!(run(&[&"import", &sheets, &"--out", &path]).0, 0);
    let (code, text, _) = run(&[&"alternatives", &path, &"--as-of", &DAY]);
    assert_eq!(code, 0);
    assert!(text.starts_with("now: finish "), "{text}");
    assert!(text.contains("\nPlain, and soon (plain): finish "), "{text}");
    assert!(text.contains("  Shower set: Set B in place of Set A\n"), "{text}");

    let out = folder.path().join("other.ron");
    let (code, said, _) =
        run(&[&"adopt", &path, &"--alternative", &"plain", &"--as-of", &DAY, &"--out", &out]);
    assert_eq!(code, 0, "{said}");
    assert!(said.contains("Shower set: Set B in place of Set A"), "{said}");
    let (before, after) = (file::load(&path).unwrap().0, file::load(&out).unwrap().0);
    let told = side_by_side(&before, &figures(&before, DAY));
    let now = figures(&after, DAY);
    assert_eq!(
        (told.others[0].finish, told.others[0].total),
        (now.forecast_finish, now.money.total.forecast)
    );
    let (code, _, why) = run(&[&"adopt", &out, &"--alternative", &"plain", &"--as-of", &DAY, &"--out", &out]);
    assert_eq!((code, why.as_str()), (2, "needline: all of `plain` is chosen already\n"));
    let (code, _, why) = run(&[&"adopt", &path, &"--alternative", &"best", &"--as-of", &DAY, &"--out", &out]);
    assert_eq!(
        (code, why.as_str()),
        (2, "needline: there is no alternative `best`; there are plain, nothing\n")
    );
    let (code, text, _) = run(&[&"figures", &path, &"--as-of", &DAY]);
    assert_eq!(code, 0);
    let json: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(json["alternatives"][0]["total"], now.money.total.forecast.to_plain(after.settings.currency));
}
