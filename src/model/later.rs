//! Fields that a later minor version of the program wrote, and this one does not read: they are kept as the texts that
//! they are, and written where they were.
//!
//! A field belongs to its thing: undo brings it back with the thing, and it goes with it. In a list whose items have no
//! numbers it belongs to its item as long as that stays as it is.

use super::project::Project;
use super::tree::{At, Node, Record, TreeError, Unknown};
use std::collections::{BTreeSet, HashMap};
use std::sync::{Arc, Mutex, PoisonError};

/// What a later minor version wrote, of a whole document.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Later(Option<Arc<All>>);

#[derive(Debug, PartialEq, Eq)]
struct All {
    minor: u32,
    fields: Vec<Field>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
struct Field {
    /// The thing it stands in; of the document where it is none.
    of: Option<u32>,
    /// From there to its record.
    within: Vec<Within>,
    name: &'static str,
    text: String,
}

#[derive(Debug, Clone, PartialEq, Eq)]
enum Within {
    Field(&'static str),
    /// An item of a list, as it was, and where it stood.
    Item(Node, usize),
}

impl Later {
    /// What was found in a file of a minor version.
    ///
    /// # Errors
    /// A tree that cannot be made, as no document has.
    pub(super) fn of(project: &Project, minor: u32, found: Vec<Unknown>) -> Result<Later, TreeError> {
        let mut tree = Node::of(project)?;
        for unknown in found {
            if let Some(record) = record_at(&mut tree, &unknown.at) {
                record.set(named(&unknown.name), Some(Node::Unread(unknown.text)));
            }
        }
        Ok(Later::taken(&mut tree, minor))
    }

    /// Takes what is not read out of a tree.
    pub(super) fn taken(tree: &mut Node, minor: u32) -> Later {
        let mut fields = Vec::new();
        take(tree, None, &mut Vec::new(), &mut fields);
        if fields.is_empty() { Later(None) } else { Later(Some(Arc::new(All { minor, fields }))) }
    }

    /// With what other documents have of kept plans and of the log, as far as that is there.
    pub(super) fn with_log_of(self, project: &Project, others: [&Later; 2]) -> Later {
        let of_log = |field: &&Field| match (field.of, field.within.first()) {
            (Some(id), _) => project.kept_plans.iter().any(|plan| plan.id.0 == id),
            (None, Some(Within::Field(list))) => ["log", "kept_plans"].contains(list),
            _ => false,
        };
        let minor = others.map(Later::minor).into_iter().max().unwrap_or_default();
        let own = self.0.map(|all| all.fields.clone()).unwrap_or_default();
        let mut fields: Vec<Field> = own.into_iter().filter(|field| !of_log(&field)).collect();
        for field in others.iter().filter_map(|other| other.0.as_ref()).flat_map(|all| &all.fields) {
            let same = |known: &Field| {
                (known.of, &known.within, known.name) == (field.of, &field.within, field.name)
            };
            if of_log(&field) && !fields.iter().any(same) {
                fields.push(field.clone());
            }
        }
        if fields.is_empty() { Later(None) } else { Later(Some(Arc::new(All { minor, fields }))) }
    }

    /// Whether there is nothing.
    pub fn is_empty(&self) -> bool {
        self.0.is_none()
    }

    /// How many fields are kept.
    pub fn count(&self) -> usize {
        self.0.as_ref().map_or(0, |all| all.fields.len())
    }

    /// The minor version that wrote them; 0 where there are none.
    pub fn minor(&self) -> u32 {
        self.0.as_ref().map_or(0, |all| all.minor)
    }

    /// Puts the fields where they belong. Those of things that are gone stay out.
    pub(super) fn put(&self, tree: &mut Node) {
        let Some(all) = &self.0 else { return };
        let mut by: HashMap<Option<u32>, Vec<&Field>> = HashMap::new();
        for field in &all.fields {
            by.entry(field.of).or_default().push(field);
        }
        if let Node::Record(document) = tree {
            by.get(&None).into_iter().flatten().for_each(|field| put(document, field));
        }
        tree.walk_mut(&mut |node| {
            if let Node::Record(record) = node
                && let Some(id) = record.id()
            {
                by.get(&Some(id)).into_iter().flatten().for_each(|field| put(record, field));
            }
        });
    }
}

impl Node {
    /// The tree of a document with what a later version wrote.
    pub(super) fn whole(project: &Project) -> Result<Node, TreeError> {
        let mut tree = Node::of(project)?;
        project.later.put(&mut tree);
        Ok(tree)
    }
}

/// The record that stands at a place of the file.
fn record_at<'t>(tree: &'t mut Node, at: &[At]) -> Option<&'t mut Record> {
    let mut node = tree;
    for step in at {
        node = match (uncased(node), step) {
            (Node::Record(record), At::Field(name)) => record.get_mut(name)?,
            (Node::List(items) | Node::Tuple(items), At::Item(at)) => items.get_mut(*at)?,
            _ => return None,
        };
    }
    match uncased(node) {
        Node::Record(record) => Some(record),
        _ => None,
    }
}

/// What a case holds.
fn uncased(node: &mut Node) -> &mut Node {
    match node {
        Node::Case(_, inner) => uncased(inner),
        node => node,
    }
}

fn take(node: &mut Node, of: Option<u32>, within: &mut Vec<Within>, out: &mut Vec<Field>) {
    match node {
        Node::Case(_, inner) => take(inner, of, within, out),
        Node::Record(record) => {
            let mut own = Vec::new();
            let (of, within) = match record.id() {
                Some(id) => (Some(id), &mut own),
                None => (of, within),
            };
            let mut at = 0;
            while let Some((name, value)) = record.fields.get_mut(at) {
                let name = *name;
                if let Node::Unread(text) = value {
                    let text = std::mem::take(text);
                    out.push(Field { of, within: within.clone(), name, text });
                    record.fields.remove(at);
                } else {
                    within.push(Within::Field(name));
                    take(value, of, within, out);
                    within.pop();
                    at += 1;
                }
            }
        }
        Node::List(items) | Node::Tuple(items) => {
            for (at, item) in items.iter_mut().enumerate() {
                if is_read(item) {
                    continue;
                }
                // As it is without what is not read: so it is found again.
                let mut plain = item.clone();
                take(&mut plain, None, &mut Vec::new(), &mut Vec::new());
                within.push(Within::Item(plain, at));
                take(item, of, within, out);
                within.pop();
            }
        }
        _ => {}
    }
}

fn is_read(node: &Node) -> bool {
    let mut read = true;
    node.walk(&mut |inner| read &= !matches!(inner, Node::Unread(_)));
    read
}

fn put(record: &mut Record, field: &Field) {
    let Some((last, steps)) = field.within.split_last() else {
        record.set(field.name, Some(Node::Unread(field.text.clone())));
        return;
    };
    let mut steps = steps.iter().chain([last]);
    let Some(Within::Field(name)) = steps.next() else { return };
    let Some(mut node) = record.get_mut(name) else { return };
    for step in steps {
        let next = match (uncased(node), step) {
            (Node::Record(record), Within::Field(name)) => record.get_mut(name),
            (Node::List(items) | Node::Tuple(items), Within::Item(was, at)) => {
                // Mostly it is where it was.
                let there = items.get(*at).is_some_and(|item| is_same(item, was)).then_some(*at);
                let at = there.or_else(|| items.iter().position(|item| is_same(item, was)));
                at.and_then(|at| items.get_mut(at))
            }
            _ => None,
        };
        match next {
            Some(next) => node = next,
            None => return,
        }
    }
    if let Node::Record(record) = uncased(node) {
        record.set(field.name, Some(Node::Unread(field.text.clone())));
    }
}

/// Whether an item is as it was, but for what is not read.
fn is_same(item: &Node, was: &Node) -> bool {
    if is_read(item) {
        return item == was;
    }
    let mut plain = item.clone();
    take(&mut plain, None, &mut Vec::new(), &mut Vec::new());
    plain == *was
}

/// A name that lasts as long as the program, as those of known fields do: what writes files asks for it. There are as many
/// as later versions have fields, and a file that has more than so many is refused where it is read.
fn named(name: &str) -> &'static str {
    static NAMES: Mutex<BTreeSet<&'static str>> = Mutex::new(BTreeSet::new());
    let mut names = NAMES.lock().unwrap_or_else(PoisonError::into_inner);
    match names.get(name) {
        Some(known) => known,
        None => {
            let new: &'static str = Box::leak(name.to_owned().into_boxed_str());
            names.insert(new);
            new
        }
    }
}
