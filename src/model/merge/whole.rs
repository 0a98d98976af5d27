//! The whole document: what is referred to stays, keys are used once, and the rules hold.

use super::log;
use super::numbers::{next_id, set_next_id};
use super::path::Path;
use super::shape::{gather, scatter};
use super::three::{Three, Wishes};
use super::words::Names;
use super::{MergeError, Merged, Side};
use crate::model::budget::Quote;
use crate::model::graph::circle_names;
use crate::model::later::Later;
use crate::model::project::Project;
use crate::model::tree::{Node, Record};
use crate::model::validate;
use std::collections::{HashMap, HashSet};

/// Rounds in which more and more is kept, or taken from this side alone. The last one takes nothing of the other side.
const ROUNDS: usize = 40;

/// Three documents and their trees made one.
pub(super) fn merge(
    projects: [&Project; 3],
    mut trees: [Node; 3],
    numbers: HashMap<u32, u32>,
    sides: &HashMap<Path, Side>,
) -> Result<Merged, MergeError> {
    let next = trees.iter().map(next_id).max().unwrap_or_default();
    for tree in &mut trees {
        if let Node::Record(document) = tree {
            // Lines of the log stand by their places, and hang together.
            ["log", "kept_plans", "next_id"].iter().for_each(|name| drop(document.take(name)));
        }
        gather(tree);
    }
    let [base, ours, theirs] = &trees;
    let names = Names::of(&[ours, theirs, base]);
    let within = parents(&trees);
    let known: HashSet<u32> = trees.iter().flat_map(dangling).map(|(id, _)| id).collect();
    let mut wishes =
        Wishes { sides, stay: HashSet::new(), ours_only: HashSet::new(), nothing_of_theirs: false };
    let mut why = String::new();
    for round in 0..=ROUNDS {
        if round == ROUNDS {
            wishes = nothing(sides);
        }
        let mut three = Three::new(&wishes, &names);
        let merged = three.value(Some(base), Some(ours), Some(theirs));
        let mut conflicts = three.conflicts;
        let mut merged = merged.unwrap_or_else(|| ours.clone());
        let lost: Vec<(u32, Option<u32>)> =
            dangling(&merged).into_iter().filter(|(id, _)| !known.contains(id)).collect();
        if !lost.is_empty() && !wishes.nothing_of_theirs {
            if !keep(&lost, &within, &mut wishes) {
                wishes = nothing(sides);
            }
            continue;
        }
        scatter(&mut merged);
        set_next_id(&mut merged, next);
        let mut notes = numbered(&numbers, &names);
        keys_once(&mut merged, base, &mut notes);
        let minor = projects.map(|p| p.later.minor()).into_iter().max().unwrap_or_default();
        let later = Later::taken(&mut merged, minor);
        let mut project = merged.project()?;
        let logged =
            if wishes.nothing_of_theirs { [projects[0], projects[1], projects[0]] } else { projects };
        conflicts.extend(log::merge(logged, sides, &mut project));
        project.later = later.with_log_of(&project, [&projects[1].later, &projects[2].later]);
        if wishes.nothing_of_theirs && log::differ(projects) {
            conflicts.push(log::all_of_it(projects));
        }
        let mut faults = validate::faults(&project);
        faults.extend(clashes(&project, projects));
        let Some((_, first)) = faults.first() else {
            return Ok(Merged { project, conflicts, notes, numbers });
        };
        why.clone_from(first);
        if wishes.nothing_of_theirs {
            break;
        }
        if !hold(faults.iter().map(|(id, _)| *id), &merged, theirs, &mut wishes) {
            wishes = nothing(sides);
        }
    }
    Err(MergeError::Rules(why))
}

/// What no rule of a document refuses, and neither side has: links in a circle, two bids accepted for the same work. Each
/// with the number of what the other side did to it.
fn clashes(merged: &Project, [base, ours, theirs]: [&Project; 3]) -> Vec<(u32, String)> {
    let mut found = Vec::new();
    let circle = |p: &Project| circle_names(p, std::iter::empty(), None);
    if let Some(names) = circle(merged)
        && circle(ours).is_none()
        && circle(theirs).is_none()
    {
        let new = theirs.links.iter().filter(|link| !base.links.contains(link) && !ours.links.contains(link));
        found.extend(new.map(|link| (link.id.0, format!("{names} is a circle"))));
        if found.is_empty() {
            found.push((NONE, format!("{names} is a circle")));
        }
    }
    let twice = |p: &Project, quote: &Quote| {
        p.quotes.iter().any(|other| other.id != quote.id && other.accepted && other.competes_with(quote))
    };
    for quote in merged.quotes.iter().filter(|quote| quote.accepted && twice(merged, quote)) {
        let mine = ours.quote(quote.id);
        let by_theirs = theirs.quote(quote.id).is_some() && mine != Some(quote);
        if by_theirs && !mine.is_some_and(|mine| mine.accepted && twice(ours, mine)) {
            found.push((
                quote.id.0,
                format!("another bid than {} is accepted for the same work", quote.trade),
            ));
        }
    }
    found
}

fn nothing(sides: &HashMap<Path, Side>) -> Wishes<'_> {
    Wishes { sides, stay: HashSet::new(), ours_only: HashSet::new(), nothing_of_theirs: true }
}

/// Keeps what is referred to, with what it stands in. What refers to something that the rules do not allow is taken from
/// this side alone. Whether there was anything to do.
fn keep(lost: &[(u32, Option<u32>)], within: &HashMap<u32, u32>, wishes: &mut Wishes) -> bool {
    let mut did = false;
    for (id, by) in lost {
        if wishes.ours_only.contains(id) || wishes.stay.contains(id) || !within.contains_key(id) {
            did |= by.is_some_and(|by| wishes.ours_only.insert(by));
            continue;
        }
        let mut at = *id;
        while at != NONE {
            did |= wishes.stay.insert(at);
            at = within.get(&at).copied().unwrap_or(NONE);
        }
    }
    did
}

/// Takes things that break a rule from this side alone; where they are, what they have to do with as well. Whether there
/// was anything to do.
fn hold(faulty: impl Iterator<Item = u32>, merged: &Node, theirs: &Node, wishes: &mut Wishes) -> bool {
    let faulty: Vec<u32> = faulty.collect();
    let (things, other) = (merged.things(), theirs.things());
    let mut did = false;
    for id in &faulty {
        did |= (things.contains_key(id) || other.contains_key(id)) && wishes.ours_only.insert(*id);
    }
    if did {
        return true;
    }
    for (id, record) in &things {
        let speaks = refers(record);
        let near = speaks.iter().any(|of| faulty.contains(of))
            || faulty.iter().filter_map(|id| things.get(id)).any(|record| refers(record).contains(id));
        did |= near && wishes.ours_only.insert(*id);
    }
    did
}

/// The numbers that a thing speaks of.
fn refers(record: &Record) -> HashSet<u32> {
    let mut found = HashSet::new();
    for (_, node) in &record.fields {
        node.walk(&mut |node| {
            if let Node::Id(id) = node {
                found.insert(*id);
            }
        });
    }
    found
}

/// What stands in nothing but the document.
const NONE: u32 = u32::MAX;

/// Which thing each thing stands in, on any side.
fn parents(trees: &[Node; 3]) -> HashMap<u32, u32> {
    fn of(node: &Node, within: u32, found: &mut HashMap<u32, u32>) {
        match node {
            Node::Record(record) => {
                let own = record.id();
                if let Some(id) = own {
                    found.insert(id, within);
                }
                let within = own.unwrap_or(within);
                record.fields.iter().for_each(|(_, node)| of(node, within, found));
            }
            Node::List(items) | Node::Tuple(items) => items.iter().for_each(|item| of(item, within, found)),
            Node::Case(_, inner) => of(inner, within, found),
            _ => {}
        }
    }
    let mut found = HashMap::new();
    trees.iter().for_each(|tree| of(tree, NONE, &mut found));
    found
}

/// Numbers that lead nowhere, with the things that speak of them, in the order of the document.
fn dangling(tree: &Node) -> Vec<(u32, Option<u32>)> {
    fn of(node: &Node, by: Option<u32>, things: &HashMap<u32, &Record>, found: &mut Vec<(u32, Option<u32>)>) {
        match node {
            Node::Id(id) if !things.contains_key(id) => found.push((*id, by)),
            Node::Record(record) => {
                let by = record.id().or(by);
                record.fields.iter().for_each(|(_, node)| of(node, by, things, found));
            }
            Node::List(items) | Node::Tuple(items) => {
                items.iter().for_each(|item| of(item, by, things, found))
            }
            Node::Case(_, inner) => of(inner, by, things, found),
            _ => {}
        }
    }
    let mut found = Vec::new();
    of(tree, None, &tree.things(), &mut found);
    found
}

/// What is said of things that got another number.
fn numbered(numbers: &HashMap<u32, u32>, names: &Names) -> Vec<String> {
    let mut pairs: Vec<(u32, u32)> = numbers.iter().map(|(old, new)| (*old, *new)).collect();
    pairs.sort_unstable();
    pairs
        .into_iter()
        .map(|(old, new)| format!("{}: number {old} there is {new} here", names.thing(new)))
        .collect()
}

/// Gives another key to what has one that something of its kind has already. What was there before keeps its own.
fn keys_once(merged: &mut Node, base: &Node, notes: &mut Vec<String>) {
    let before: HashMap<u32, String> = (base.things().into_iter())
        .filter_map(|(id, record)| Some((id, key_of(record)?.to_owned())))
        .collect();
    let mut holders: HashMap<(&'static str, String), Vec<u32>> = HashMap::new();
    merged.walk(&mut |node| {
        if let Some(record) = node.record()
            && let (Some(id), Some(key)) = (record.id(), key_of(record))
        {
            holders.entry((record.of, key.to_owned())).or_default().push(id);
        }
    });
    let mut taken: HashSet<(&'static str, String)> = holders.keys().cloned().collect();
    let mut twice: Vec<_> = holders.into_iter().filter(|(_, ids)| ids.len() > 1).collect();
    twice.sort();
    let mut renamed: HashMap<u32, String> = HashMap::new();
    for ((of, key), ids) in twice {
        let first = ids.iter().find(|id| before.get(id) == Some(&key)).or(ids.first()).copied();
        for id in ids.iter().filter(|id| Some(**id) != first) {
            let free = (2_u32..).map(|n| format!("{key}_{n}")).find(|new| taken.insert((of, new.clone())));
            renamed.extend(free.map(|new| (*id, new)));
        }
    }
    if renamed.is_empty() {
        return;
    }
    merged.walk_mut(&mut |node| {
        if let Node::Record(record) = node
            && let Some(new) = record.id().and_then(|id| renamed.get(&id))
        {
            let called = record.called().unwrap_or_default().to_owned();
            if let Some(Node::Text(key)) = record.get_mut("key") {
                notes.push(format!("{called}: the key {key} is used already, here it is {new}"));
                key.clone_from(new);
            }
        }
    });
}

fn key_of(record: &Record) -> Option<&str> {
    match record.get("key") {
        Some(Node::Text(key)) => Some(key),
        _ => None,
    }
}
