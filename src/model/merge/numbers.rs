//! Numbers that both sides gave to different things.

use crate::model::tree::{Node, Record};
use std::collections::{HashMap, HashSet};

/// Gives new numbers to what the other side added under a number that this side gave to something else, wherever it is
/// referred to. Returns the old numbers with the new ones.
pub(super) fn apart(base: &Node, ours: &Node, theirs: &mut Node) -> HashMap<u32, u32> {
    let numbers = {
        let (known, mine, other) = (base.things(), ours.things(), theirs.things());
        let mut added: Vec<u32> = other.keys().copied().filter(|id| !known.contains_key(id)).collect();
        added.sort_unstable();
        let mut apart: HashSet<u32> = HashSet::new();
        // What is the same on both sides is one thing, unless it speaks of something that is not.
        loop {
            let before = apart.len();
            for id in &added {
                let (Some(own), Some(record)) = (mine.get(id), other.get(id)) else { continue };
                if !apart.contains(id) && (own != record || speaks_of(record, &apart)) {
                    put_all(record, &known, &mut apart);
                }
            }
            if apart.len() == before {
                break;
            }
        }
        let mut next = next_id(base).max(next_id(ours)).max(next_id(theirs));
        let mut numbers = HashMap::new();
        for id in added.into_iter().filter(|id| apart.contains(id)) {
            numbers.insert(id, next);
            next = next.saturating_add(1);
        }
        numbers
    };
    if !numbers.is_empty() {
        theirs.walk_mut(&mut |node| {
            if let Node::Id(id) = node
                && let Some(new) = numbers.get(id)
            {
                *id = *new;
            }
        });
        let next = numbers.values().max().map_or(0, |id| id.saturating_add(1));
        set_next_id(theirs, next.max(next_id(theirs)));
    }
    numbers
}

/// A thing and all that was added in it.
fn put_all(record: &Record, known: &HashMap<u32, &Record>, apart: &mut HashSet<u32>) {
    let mut put = |record: &Record| {
        if let Some(id) = record.id()
            && !known.contains_key(&id)
        {
            apart.insert(id);
        }
    };
    put(record);
    for (_, node) in &record.fields {
        node.walk(&mut |inner| {
            if let Node::Record(inner) = inner {
                put(inner);
            }
        });
    }
}

fn speaks_of(record: &Record, apart: &HashSet<u32>) -> bool {
    let mut found = false;
    for (_, node) in &record.fields {
        node.walk(&mut |inner| {
            if let Node::Id(id) = inner {
                found |= apart.contains(id);
            }
        });
    }
    found
}

/// The next unused number of a document.
pub(super) fn next_id(tree: &Node) -> u32 {
    match tree.record().and_then(|document| document.get("next_id")) {
        Some(Node::Number(next)) => u32::try_from(*next).unwrap_or(u32::MAX),
        _ => 0,
    }
}

/// Says what the next unused number is.
pub(super) fn set_next_id(tree: &mut Node, next: u32) {
    if let Node::Record(document) = tree {
        document.set("next_id", Some(Node::Number(i64::from(next))));
    }
}
