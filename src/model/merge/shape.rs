//! How trees are shaped for bringing them together: which fields say one thing, what lists know their items by, and the
//! choice of a selection, which the file keeps with its options.

use crate::model::tree::{Node, Record};

/// Fields that make sense only as they stand together: they are taken from one side.
const TOGETHER: [(&str, &[&[&str]]); 7] = [
    (
        "Part",
        &[
            &["lead", "lead_unit", "lead_min", "lead_max"],
            &["ordered_on", "promised_on", "received_on"],
            &["phase", "order_after", "order_after_days"],
        ],
    ),
    ("Phase", &[&["days", "days_min", "days_max", "kind"], &["actual_start", "actual_finish", "days_left"]]),
    ("Quote", &[&["phase", "also"]]),
    ("SelectionOption", &[&["approved_by", "approved_on"]]),
    ("Punch", &[&["found_on", "due", "done_on", "checked_on"]]),
    ("Link", &[&["before", "after"], &["kind", "lag", "unit"]]),
    ("Risk", &[&["cost_min", "cost_likely", "cost_max"], &["days_min", "days_likely", "days_max"]]),
];

/// Records that say one thing.
const ONE: [&str; 5] = ["KeptPhase", "KeptRoom", "ClosedRange", "TypicalLead", "Sent"];

/// What lists know their items by, where these have no numbers.
const KNOWN_BY: [(&str, &str); 9] = [
    ("Sent", "uid"),
    ("Fact", "name"),
    ("Spec", "what"),
    ("Attempt", "date"),
    ("Missed", "date"),
    ("ClosedRange", "from"),
    ("LeftOut", "what"),
    ("TypicalLead", "goods"),
    ("FinishColor", "finish"),
];

/// The choice of a selection in its tree: which option is chosen, and which one leads.
const DECIDED: &str = "choice";

/// Groups of fields of a record that are taken together.
pub(super) fn together(of: &str) -> &'static [&'static [&'static str]] {
    TOGETHER.iter().find(|(name, _)| *name == of).map_or(&[], |(_, groups)| groups)
}

/// Whether a record is one value.
pub(super) fn is_one(of: &str) -> bool {
    ONE.contains(&of)
}

/// What an item of a list is known by there.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) enum Key {
    /// Its number, or that of what it refers to.
    Thing(u32),
    /// A word, a day, a text.
    Text(String),
}

impl Key {
    /// Of an item; `None` where it is known by its place alone.
    pub(super) fn of(item: &Node) -> Option<Key> {
        match item {
            Node::Id(id) => Some(Key::Thing(*id)),
            Node::Text(text) => Some(Key::Text(text.clone())),
            Node::Word(word) => Some(Key::Text((*word).to_owned())),
            Node::Record(record) => match record.id() {
                Some(id) => Some(Key::Thing(id)),
                None => {
                    let (_, field) = KNOWN_BY.iter().find(|(of, _)| *of == record.of)?;
                    match record.get(field)? {
                        Node::Text(text) => Some(Key::Text(text.clone())),
                        Node::Word(word) => Some(Key::Text((*word).to_owned())),
                        _ => None,
                    }
                }
            },
            _ => None,
        }
    }
}

fn selections(tree: &mut Node) -> impl Iterator<Item = &mut Record> {
    let list = match tree {
        Node::Record(document) => document.get_mut("selections"),
        _ => None,
    };
    let items = match list {
        Some(Node::List(items)) => items.as_mut_slice(),
        _ => &mut [],
    };
    items.iter_mut().filter_map(|item| match item {
        Node::Record(record) => Some(record),
        _ => None,
    })
}

fn options(selection: &mut Record) -> impl Iterator<Item = &mut Record> {
    let items = match selection.get_mut("options") {
        Some(Node::List(items)) => items.as_mut_slice(),
        _ => &mut [],
    };
    items.iter_mut().filter_map(|item| match item {
        Node::Record(record) => Some(record),
        _ => None,
    })
}

/// Takes the states of options into one value of the selection, so that two sides that choose are seen to differ.
pub(super) fn gather(tree: &mut Node) {
    for selection in selections(tree) {
        let mut decided = Vec::new();
        for option in options(selection) {
            if let (Some(id), Some(Node::Word(state))) = (option.id(), option.take("state"))
                && state != CANDIDATE
            {
                decided.push(Node::Case(state, Box::new(Node::Id(id))));
            }
        }
        // One is chosen at most, and one leads; in a fixed order, so that they compare.
        decided.sort_by_key(|node| match node {
            Node::Case(state, _) => *state,
            _ => "",
        });
        selection.set(DECIDED, (!decided.is_empty()).then_some(Node::List(vec![Node::List(decided)])));
    }
}

/// The state of an option about which nothing is decided, as the file writes it.
const CANDIDATE: &str = "Candidate";

/// Gives the states back to the options.
pub(super) fn scatter(tree: &mut Node) {
    for selection in selections(tree) {
        let decided = selection.take(DECIDED);
        let mut states = Vec::new();
        if let Some(decided) = &decided {
            decided.walk(&mut |node| {
                if let Node::Case(state, inner) = node
                    && let Node::Id(id) = inner.as_ref()
                {
                    states.push((*id, *state));
                }
            });
        }
        for option in options(selection) {
            let id = option.id();
            let state = states.iter().find(|(of, _)| Some(*of) == id).map_or(CANDIDATE, |(_, state)| state);
            option.set("state", Some(Node::Word(state)));
        }
    }
}
