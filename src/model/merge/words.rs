//! Places and values in words.

use super::path::Step;
use crate::model::tree::{Node, Record};
use std::collections::HashMap;

/// Longest value that is told in words, in characters.
const LONGEST: usize = 120;

/// What things are called, on any side.
pub(super) struct Names<'a> {
    things: HashMap<u32, &'a Record>,
}

impl<'a> Names<'a> {
    /// Of trees, the first of which counts where several have a thing.
    pub(super) fn of(trees: &[&'a Node]) -> Names<'a> {
        let mut things = HashMap::new();
        for tree in trees {
            for (id, record) in tree.things() {
                things.entry(id).or_insert(record);
            }
        }
        Names { things }
    }

    /// A thing: what it is and what it is called.
    pub(super) fn thing(&self, id: u32) -> String {
        let Some(record) = self.things.get(&id) else { return format!("number {id}") };
        let noun = noun(record.of);
        match record.called() {
            Some(name) => format!("{noun} {name}"),
            None => {
                let of: Vec<String> = self.refers(record).map(|id| self.short(id)).collect();
                if of.is_empty() { noun } else { format!("{noun} of {}", of.join(" and ")) }
            }
        }
    }

    fn short(&self, id: u32) -> String {
        let called = self.things.get(&id).and_then(|record| record.called());
        called.map_or_else(|| format!("number {id}"), str::to_owned)
    }

    /// What a record refers to by itself.
    fn refers<'r>(&self, record: &'r Record) -> impl Iterator<Item = u32> + 'r {
        record.fields.iter().filter(|(name, _)| *name != "id").filter_map(|(_, node)| match node {
            Node::Id(id) => Some(*id),
            Node::Case(_, inner) => match inner.as_ref() {
                Node::Id(id) => Some(*id),
                _ => None,
            },
            _ => None,
        })
    }

    /// Where something is: `selection Faucet, option Arc, part Body: unit price`.
    pub(super) fn place(&self, path: &[Step]) -> String {
        self.told(path, |id| self.thing(id))
    }

    /// The same by names alone, where things have one: `Faucet, Arc, Body: unit price`.
    pub(super) fn title(&self, path: &[Step]) -> String {
        self.told(path, |id| {
            let called = self.things.get(&id).and_then(|record| record.called());
            called.map_or_else(|| self.thing(id), str::to_owned)
        })
    }

    fn told(&self, path: &[Step], thing: impl Fn(u32) -> String) -> String {
        let mut things = Vec::new();
        let mut within = Vec::new();
        for step in path {
            match step {
                Step::Thing(id) => {
                    things.push(thing(*id));
                    within.clear();
                }
                Step::Field(name) => within.push(spaced(name)),
                Step::Known(text) => within.push(text.clone()),
                Step::Order => within = vec![format!("the order of {}", within.join(", "))],
            }
        }
        match (things.is_empty(), within.is_empty()) {
            (true, _) => within.join(", "),
            (_, true) => things.join(", "),
            _ => format!("{}: {}", things.join(", "), within.join(", ")),
        }
    }

    /// A value; what is not there is nothing.
    pub(super) fn value(&self, value: Option<&Node>) -> String {
        let words = value.map_or_else(|| "nothing".to_owned(), |node| self.node(node));
        let words = if words.is_empty() { "nothing".to_owned() } else { words };
        match words.char_indices().nth(LONGEST) {
            Some((end, _)) => format!("{}...", &words[..end]),
            None => words,
        }
    }

    fn node(&self, node: &Node) -> String {
        match node {
            Node::Nothing => "nothing".to_owned(),
            Node::Flag(yes) => if *yes { "yes" } else { "no" }.to_owned(),
            Node::Number(n) => n.to_string(),
            Node::Id(id) => self.thing(*id),
            Node::Text(text) if text.is_empty() => "nothing".to_owned(),
            Node::Text(text) | Node::Unread(text) => text.clone(),
            Node::Word(word) => noun(word),
            Node::Case(case, inner) => format!("{} {}", noun(case), self.node(inner)),
            Node::List(items) | Node::Tuple(items) if items.is_empty() => "nothing".to_owned(),
            Node::List(items) | Node::Tuple(items) => {
                items.iter().map(|item| self.node(item)).collect::<Vec<_>>().join(", ")
            }
            Node::Record(record) => match record.id() {
                Some(id) if self.things.contains_key(&id) => {
                    let name = record.called().map_or_else(|| self.thing(id), str::to_owned);
                    format!("there, as {name}")
                }
                _ => {
                    let fields = record.fields.iter().map(|(n, v)| format!("{} {}", spaced(n), self.node(v)));
                    fields.collect::<Vec<_>>().join(", ")
                }
            },
        }
    }
}

/// A field as people read it.
fn spaced(name: &str) -> String {
    name.replace('_', " ")
}

/// A type as people read it: `KeptPlan` is a kept plan.
fn noun(of: &str) -> String {
    match of {
        "SelectionOption" => return "option".to_owned(),
        "Quote" => return "bid".to_owned(),
        // Short for a type, as FS of links.
        short if short.chars().all(char::is_uppercase) => return short.to_owned(),
        _ => {}
    }
    let mut words = String::new();
    for c in of.chars() {
        if c.is_uppercase() && !words.is_empty() {
            words.push(' ');
        }
        words.extend(c.to_lowercase());
    }
    words
}
