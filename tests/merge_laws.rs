//! Laws of bringing two versions together, over random actions on both sides.
//!
//! What changed is found by a second, plain way: the values of a document by their places, compared as texts.

#[path = "support/random.rs"]
mod random;
mod support;

use needline::engine::compute;
use needline::model::merge::{Merged, Path, Step, merge};
use needline::model::tree::Node;
use needline::model::{Action, Project, file, validate};
use proptest::prelude::*;
use random::{Dice, any_action, any_dice, house};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// A document after random actions, with those that were done.
fn edited(project: &Project, dice: &[Dice]) -> (Project, Vec<Action>) {
    let mut now = project.clone();
    let mut done = Vec::new();
    for dice in dice {
        let action = any_action(&now, *dice, 1);
        if let Ok(next) = now.apply(&action) {
            now = next;
            done.push(action);
        }
    }
    (now, done)
}

fn merged(base: &Project, ours: &Project, theirs: &Project) -> Merged {
    merge(base, ours, theirs, &HashMap::new()).unwrap()
}

/// The values of a document by their places, without the log, whose lines hang together. Things are known by their numbers,
/// and where they stand in a list says nothing here.
fn values(project: &Project) -> BTreeMap<Vec<String>, String> {
    fn of(node: &Node, at: &mut Vec<String>, found: &mut BTreeMap<Vec<String>, String>) {
        match node {
            Node::Record(record) => {
                for (name, node) in &record.fields {
                    at.push((*name).to_owned());
                    of(node, at, found);
                    at.pop();
                }
            }
            Node::List(items) if items.iter().all(|item| item.record().is_some_and(|r| r.id().is_some())) => {
                for item in items {
                    let id = item.record().and_then(|r| r.id()).unwrap();
                    at.push(id.to_string());
                    of(item, at, found);
                    at.pop();
                }
            }
            Node::List(items) | Node::Tuple(items) => items.iter().enumerate().for_each(|(n, item)| {
                at.push(format!("[{n}] {item:?}"));
                found.insert(at.clone(), String::new());
                at.pop();
            }),
            leaf => drop(found.insert(at.clone(), format!("{leaf:?}"))),
        }
    }
    let mut found = BTreeMap::new();
    let mut tree = Node::of(project).unwrap();
    if let Node::Record(document) = &mut tree {
        for name in ["log", "kept_plans", "next_id"] {
            document.take(name);
        }
    }
    of(&tree, &mut Vec::new(), &mut found);
    found
}

/// What differs, in a form to be looked at.
fn differing(a: &Project, b: &Project) -> Vec<String> {
    let (a, b) = (values(a), values(b));
    let all: BTreeSet<_> = a.keys().chain(b.keys()).collect();
    let differ = all.into_iter().filter(|at| a.get(*at) != b.get(*at));
    differ.map(|at| format!("{at:?}: {:?} and {:?}", a.get(at), b.get(at))).collect()
}

/// Places are told without the places in plain lists.
fn place(at: &[String]) -> Vec<String> {
    at.iter().filter(|step| !step.starts_with('[')).cloned().collect()
}

fn steps(path: &Path) -> Vec<String> {
    let step = |step: &Step| match step {
        Step::Field(name) => Some((*name).to_owned()),
        Step::Thing(id) => Some(id.to_string()),
        Step::Known(_) | Step::Order => None,
    };
    path.iter().filter_map(step).collect()
}

/// Places of values that differ, that came, or that went.
fn changed(before: &Project, after: &Project) -> BTreeSet<Vec<String>> {
    let (before, after) = (values(before), values(after));
    let all = before.keys().chain(after.keys());
    all.filter(|at| before.get(*at) != after.get(*at)).map(|at| place(at)).collect()
}

/// The things that were changed, and those they speak of or that speak of them.
fn touched(before: &Project, after: &Project) -> BTreeSet<String> {
    let mut found: BTreeSet<String> = changed(before, after)
        .into_iter()
        .map(|at| at.into_iter().take(2).collect::<Vec<_>>().join(" "))
        .collect();
    for project in [before, after] {
        let tree = Node::of(project).unwrap();
        let Node::Record(document) = &tree else { unreachable!() };
        for (list, node) in document.fields.iter().filter(|(name, _)| !["log", "kept_plans"].contains(name)) {
            let Node::List(items) = node else { continue };
            for item in items {
                let own = item.record().and_then(|record| record.id());
                let name = format!("{list} {}", own.map_or(String::new(), |id| id.to_string()));
                if !found.contains(&name) {
                    continue;
                }
                // Everything that it speaks of, by its number alone.
                item.walk(&mut |node| {
                    if let Node::Id(id) = node {
                        found.insert(format!("#{id}"));
                    }
                });
            }
        }
    }
    found
}

/// Places in the words of numbers that things have after the merge.
fn renumbered(at: &[String], numbers: &HashMap<u32, u32>) -> Vec<String> {
    let new = |step: &String| {
        let id = step.parse::<u32>().ok().and_then(|id| numbers.get(&id));
        id.map_or_else(|| step.clone(), u32::to_string)
    };
    at.iter().map(new).collect()
}

/// A value in these numbers.
fn said(text: &str, numbers: &HashMap<u32, u32>) -> String {
    let mut parts = text.split("Id(");
    let mut said = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let (id, rest) = part.split_once(')').unwrap();
        let id: u32 = id.parse().unwrap();
        said += &format!("Id({}){rest}", numbers.get(&id).unwrap_or(&id));
    }
    said
}

fn is_whole(project: &Project) {
    assert_eq!(validate::document(project), Vec::<String>::new());
    let text = file::to_text(project).unwrap();
    assert_eq!(&file::from_text(&text, std::path::Path::new("x.ron")).unwrap(), project);
}

/// How many cases; more by `MERGE_CASES`.
fn cases() -> u32 {
    std::env::var("MERGE_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(96)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(), max_global_rejects: 100_000, ..ProptestConfig::default() })]

    #[test]
    fn one_side_alone_is_taken_as_it_is(first in any_dice(), second in any_dice()) {
        let base = edited(&house(), &first).0;
        let side = edited(&base, &second).0;
        for (ours, theirs) in [(&side, &base), (&base, &side), (&side, &side)] {
            let merged = merged(&base, ours, theirs);
            prop_assert_eq!(&merged.project, &side);
            prop_assert!(merged.conflicts.is_empty(), "{:?}", merged.conflicts);
            prop_assert!(merged.notes.is_empty(), "{:?}", merged.notes);
        }
    }

    #[test]
    fn nothing_is_lost_and_the_rules_hold(
        first in any_dice(), second in any_dice(), third in any_dice(),
    ) {
        let base = edited(&house(), &first).0;
        let ours = edited(&base, &second).0;
        let theirs = edited(&base, &third).0;
        let both = merged(&base, &ours, &theirs);
        is_whole(&both.project);
        let now = values(&both.project);
        let told: Vec<(Vec<String>, String)> =
            both.conflicts.iter().map(|c| (steps(&c.at), format!("{} {}", c.ours, c.theirs))).collect();
        let is_told = |at: &[String]| {
            let (field, within) = at.split_last().unwrap();
            told.iter().any(|(told, words)| {
                at.starts_with(told)
                    // The states of options are told with the selection.
                    || (field == "state" && at.len() > 2 && told[..] == [&at[..2], &["choice".to_owned()]].concat())
                    // Fields that are taken together are told under the first of them.
                    || (told.split_last().is_some_and(|(_, of)| of == within)
                        && words.contains(&field.replace('_', " ")))
            })
        };
        let nothing = HashMap::new();
        for (side, numbers) in [(&ours, &nothing), (&theirs, &both.numbers)] {
            let (was, is) = (values(&base), values(side));
            for at in was.keys().chain(is.keys()) {
                if was.get(at) == is.get(at) || at.last().is_some_and(|step| step == "key") {
                    continue;
                }
                // That an option is no choice any more is told by what is, and need not be said of one that is gone.
                if is.get(at).is_none_or(|state| state.contains("Candidate"))
                    && at.last().is_some_and(|step| step == "state")
                    && !now.contains_key(at)
                {
                    continue;
                }
                let place = renumbered(&place(at), numbers);
                // Items of plain lists move; what they say is in their place.
                let plain = at.last().is_some_and(|step| step.starts_with('['));
                let here = renumbered(at, numbers);
                let as_there = now.get(&here).cloned() == is.get(at).map(|text| said(text, numbers));
                prop_assert!(plain || as_there || is_told(&place), "{at:?}: {:?} {:?} {:?}\n{:#?}", was.get(at), is.get(at), now.get(&here), both.conflicts);
            }
        }
        // Every line of both logs is there by its words, or plans and log are told as a whole.
        let log_told = told.iter().any(|(at, _)| at[..] == ["log".to_owned()]);
        let words: Vec<&str> = both.project.log.iter().map(|line| line.what.as_str()).collect();
        if !both.project.kept_plans.is_empty() && !log_told {
            for side in [&ours, &theirs] {
                for line in side.log.iter().filter(|_| !side.kept_plans.is_empty()) {
                    prop_assert!(words.contains(&line.what.as_str()), "{}", line.what);
                }
            }
        }
    }

    #[test]
    fn sides_can_be_taken_the_other_way_round(
        first in any_dice(), second in any_dice(), third in any_dice(),
    ) {
        let base = edited(&house(), &first).0;
        let ours = edited(&base, &second).0;
        let theirs = edited(&base, &third).0;
        let (one, other) = (merged(&base, &ours, &theirs), merged(&base, &theirs, &ours));
        if one.conflicts.is_empty() && one.numbers.is_empty() && one.notes.is_empty() {
            prop_assert!(other.conflicts.is_empty(), "{:?}", other.conflicts);
            let sorted = |p: &Project| values(p).into_iter().filter(|(at, _)| at.iter().all(|s| !s.starts_with('['))).collect::<BTreeMap<_, _>>();
            prop_assert_eq!(sorted(&one.project), sorted(&other.project));
        } else {
            prop_assert!(!other.conflicts.is_empty() || !other.numbers.is_empty() || !other.notes.is_empty());
        }
    }

    /// Where both sides touch different things, the document is that of all actions one after the other. An action touches
    /// what it changes, what that speaks of, and, where it adds something, the next number. One that changes other places
    /// after what this side did than without it hangs on that, and says nothing here.
    #[test]
    fn changes_apart_come_to_the_same_as_one_after_the_other(
        first in any_dice(), second in any_dice(), third in any_dice(),
    ) {
        let base = edited(&house(), &first).0;
        let (ours, _) = edited(&base, &second[..second.len().min(4)]);
        let (theirs, actions) = edited(&base, &third[..third.len().min(4)]);
        let apart = touched(&base, &ours).is_disjoint(&touched(&base, &theirs));
        let adds = ours.next_id != base.next_id && theirs.next_id != base.next_id;
        let agreed = [&ours, &theirs].iter().any(|p| p.kept_plans != base.kept_plans || p.log != base.log);
        let (mut alone, mut all) = (base.clone(), ours.clone());
        let mut hangs = false;
        for action in &actions {
            let next = alone.apply(action).unwrap();
            let Ok(after) = all.apply(action) else { hangs = true; break };
            hangs |= changed(&alone, &next) != changed(&all, &after);
            (alone, all) = (next, after);
        }
        prop_assume!(apart && !adds && !agreed && !hangs);
        let both = merged(&base, &ours, &theirs);
        prop_assert!(both.conflicts.is_empty(), "{:#?}", both.conflicts);
        prop_assert_eq!(differing(&both.project, &all), Vec::<String>::new());
        let on = support::date("2026-06-15");
        let (a, b) = (compute(&both.project, on), compute(&all, on));
        prop_assert_eq!(a.forecast_finish, b.forecast_finish);
        prop_assert_eq!(a.plan_finish, b.plan_finish);
        prop_assert_eq!(a.money.total, b.money.total);
    }
}
