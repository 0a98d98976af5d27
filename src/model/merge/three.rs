//! Three trees made one.

use super::lists::Orders;
use super::path::{Path, Step};
use super::shape::{Key, is_one, together};
use super::words::Names;
use super::{Conflict, Side, Took};
use crate::model::tree::{Node, Record};
use std::collections::{HashMap, HashSet};

/// What to do where both sides differ.
pub(super) struct Wishes<'a> {
    /// By which side conflicts go.
    pub sides: &'a HashMap<Path, Side>,
    /// Things that stay though one side removed them, since something refers to them.
    pub stay: HashSet<u32>,
    /// Things in which nothing of the other side is taken, since the rules do not allow both.
    pub ours_only: HashSet<u32>,
    /// Nothing of the other side is taken at all.
    pub nothing_of_theirs: bool,
}

/// Makes three trees one, and notes conflicts.
pub(super) struct Three<'a> {
    pub wishes: &'a Wishes<'a>,
    pub names: &'a Names<'a>,
    pub conflicts: Vec<Conflict>,
    at: Path,
}

/// What one version has at a place.
type At<'n> = Option<&'n Node>;

impl<'a> Three<'a> {
    pub(super) fn new(wishes: &'a Wishes<'a>, names: &'a Names<'a>) -> Three<'a> {
        Three { wishes, names, conflicts: Vec::new(), at: Vec::new() }
    }

    /// One value of three.
    pub(super) fn value(&mut self, base: At, ours: At, theirs: At) -> Option<Node> {
        let alike = ours == theirs || base == theirs;
        if alike && !self.stays_within(base) {
            return ours.cloned();
        }
        if !alike && self.is_held(ours, theirs) {
            return self.conflict(base, ours, theirs, Some(Took::Ours));
        }
        if base == ours && !self.holds_any(ours, theirs) {
            return theirs.cloned();
        }
        if let Some(lists) = lists(base, ours, theirs)
            && let Some(merged) = self.list(lists)
        {
            return Some(Node::List(merged));
        }
        match (base, ours, theirs) {
            (Some(Node::Record(b)), Some(Node::Record(o)), Some(Node::Record(t)))
                if b.of == o.of && o.of == t.of && !is_one(o.of) =>
            {
                Some(Node::Record(self.record(b, o, t)))
            }
            _ if alike => ours.cloned(),
            _ if base == ours => theirs.cloned(),
            _ => self.conflict(base, ours, theirs, None),
        }
    }

    /// Whether nothing of the other side is taken in this very value.
    fn is_held(&self, ours: At, theirs: At) -> bool {
        let held = |side: At| {
            let id = side.and_then(Node::record).and_then(Record::id);
            id.is_some_and(|id| self.wishes.ours_only.contains(&id))
        };
        held(ours) || held(theirs) || (self.wishes.nothing_of_theirs && self.at.len() >= 2)
    }

    /// Whether something in it stays though it was removed.
    fn stays_within(&self, base: At) -> bool {
        let mut found = false;
        if let Some(base) = base.filter(|_| !self.wishes.stay.is_empty()) {
            base.walk(&mut |node| {
                found |= node.record().and_then(Record::id).is_some_and(|id| self.wishes.stay.contains(&id));
            });
        }
        found
    }

    /// Whether a value that only the other side changed holds something that must be looked at one by one.
    fn holds_any(&self, ours: At, theirs: At) -> bool {
        if self.wishes.nothing_of_theirs {
            return true;
        }
        if self.wishes.ours_only.is_empty() && self.wishes.stay.is_empty() {
            return false;
        }
        let mut found = false;
        for side in [ours, theirs].into_iter().flatten() {
            side.walk(&mut |node| {
                if let Some(id) = node.record().and_then(Record::id) {
                    found |= self.wishes.ours_only.contains(&id) || self.wishes.stay.contains(&id);
                }
            });
        }
        found
    }

    /// By which side somebody wants the conflict here to go.
    fn wished(&self) -> Option<Took> {
        self.wishes.sides.get(&self.at).map(|side| match side {
            Side::Ours => Took::Ours,
            Side::Theirs => Took::Theirs,
        })
    }

    fn conflict(&mut self, base: At, ours: At, theirs: At, took: Option<Took>) -> Option<Node> {
        let took = took.or(self.wished()).unwrap_or(Took::Ours);
        self.note(base, ours, theirs, took);
        if took == Took::Theirs { theirs.cloned() } else { ours.cloned() }
    }

    fn note(&mut self, base: At, ours: At, theirs: At, took: Took) {
        let words = |side| self.names.value(side);
        self.conflicts.push(Conflict {
            at: self.at.clone(),
            place: self.names.place(&self.at),
            title: self.names.title(&self.at),
            base: words(base),
            ours: words(ours),
            theirs: words(theirs),
            took,
        });
    }

    fn record(&mut self, base: &Record, ours: &Record, theirs: &Record) -> Record {
        let mut names: Vec<&'static str> = ours.fields.iter().map(|(name, _)| *name).collect();
        for (name, _) in theirs.fields.iter().chain(&base.fields) {
            if !names.contains(name) {
                names.push(name);
            }
        }
        let mut merged = Record { of: ours.of, fields: Vec::with_capacity(names.len()) };
        let groups = together(ours.of);
        for group in groups {
            let part = |record: &Record| {
                let fields = group.iter().filter_map(|name| Some((*name, record.get(name)?.clone())));
                Node::Record(Record { of: "", fields: fields.collect() })
            };
            self.at.push(Step::Field(group.first().copied().unwrap_or_default()));
            let (b, o, t) = (part(base), part(ours), part(theirs));
            let taken = if o == t || b == t {
                Some(o)
            } else if b == o {
                Some(t)
            } else {
                self.conflict(Some(&b), Some(&o), Some(&t), None)
            };
            self.at.pop();
            if let Some(Node::Record(taken)) = taken {
                merged.fields.extend(taken.fields);
            }
        }
        for name in names.into_iter().filter(|name| !groups.iter().any(|group| group.contains(name))) {
            self.at.push(Step::Field(name));
            let value = self.value(base.get(name), ours.get(name), theirs.get(name));
            self.at.pop();
            merged.set(name, value);
        }
        merged
    }

    /// Items by what they are known by; `None` where one list knows its items by their places alone.
    fn list(&mut self, [base, ours, theirs]: [&[Node]; 3]) -> Option<Vec<Node>> {
        let keys = [base, ours, theirs].map(keyed);
        let [Some(b), Some(o), Some(t)] = &keys else { return None };
        let of = |keys: &[Key], items| -> HashMap<Key, &Node> { keys.iter().cloned().zip(items).collect() };
        let (b_by, o_by, t_by) = (of(b, base), of(o, ours), of(t, theirs));
        let orders = Orders { base: b, ours: o, theirs: t };
        let order = if self.wishes.nothing_of_theirs {
            Orders { base: b, ours: o, theirs: b }
                .merged(false)
                .into_iter()
                .chain(t.iter().cloned())
                .collect()
        } else {
            let theirs_lead = orders.differ() && self.order_conflict();
            orders.merged(theirs_lead)
        };
        let mut seen = HashSet::new();
        let mut order: Vec<Key> = order.into_iter().filter(|key| seen.insert(key.clone())).collect();
        if orders.ascend() {
            order.sort();
        }
        // What both removed comes back where something refers to it.
        let both_removed = b.iter().filter(|key| !o_by.contains_key(key) && !t_by.contains_key(key));
        order.extend(both_removed.filter(|key| self.stays(key)).cloned());
        let mut merged = Vec::with_capacity(order.len());
        for key in order {
            self.at.push(match &key {
                Key::Thing(id) => Step::Thing(*id),
                Key::Text(text) => Step::Known(text.clone()),
            });
            let (was, mine, other) =
                (b_by.get(&key).copied(), o_by.get(&key).copied(), t_by.get(&key).copied());
            let item = self.item(&key, was, mine, other);
            self.at.pop();
            merged.extend(item);
        }
        Some(merged)
    }

    fn stays(&self, key: &Key) -> bool {
        matches!(key, Key::Thing(id) if self.wishes.stay.contains(id))
    }

    /// An item of a list, which may have come or gone.
    fn item(&mut self, key: &Key, base: At, ours: At, theirs: At) -> Option<Node> {
        let refers = |side: At| matches!(side, Some(Node::Id(_)));
        match (base, ours, theirs) {
            (Some(was), mine, other) if mine.is_none() || other.is_none() => {
                let still = mine.or(other);
                if self.stays(key) && !refers(Some(was)) {
                    self.note(Some(was), mine, other, Took::Stays);
                    return still.or(Some(was)).cloned();
                }
                let still = still?;
                if (other.is_none() || still != was) && self.is_held(mine, other) {
                    return self.conflict(base, mine, other, Some(Took::Ours));
                }
                if still == was {
                    return None;
                }
                // One side changed it, the other removed it: it stays, unless the removal is wished.
                let changed = if mine.is_some() { Took::Ours } else { Took::Theirs };
                self.conflict(base, mine, other, Some(self.wished().unwrap_or(changed)))
            }
            _ => self.value(base, ours, theirs),
        }
    }

    /// Notes that both sides ordered a list anew; whether the other side's order is wished.
    fn order_conflict(&mut self) -> bool {
        self.at.push(Step::Order);
        let wished = self.wished() == Some(Took::Theirs) && !self.wishes.nothing_of_theirs;
        self.conflicts.push(Conflict {
            at: self.at.clone(),
            place: self.names.place(&self.at),
            title: self.names.title(&self.at),
            base: "as it was".to_owned(),
            ours: "moved".to_owned(),
            theirs: "moved otherwise".to_owned(),
            took: if wished { Took::Theirs } else { Took::Ours },
        });
        self.at.pop();
        wished
    }
}

/// Three lists. One that is not written is empty.
fn lists<'n>(base: At<'n>, ours: At<'n>, theirs: At<'n>) -> Option<[&'n [Node]; 3]> {
    let any = [base, ours, theirs].into_iter().flatten().any(|side| matches!(side, Node::List(_)));
    let list = |side: At<'n>| match side {
        Some(Node::List(items)) => Some(items.as_slice()),
        None | Some(Node::Nothing) => Some(&[] as &[Node]),
        _ => None,
    };
    any.then(|| Some([list(base)?, list(ours)?, list(theirs)?])).flatten()
}

/// What the items of a list are known by, where each is known by something of its own.
fn keyed(items: &[Node]) -> Option<Vec<Key>> {
    let keys: Vec<Key> = items.iter().map(Key::of).collect::<Option<_>>()?;
    let once: HashSet<&Key> = keys.iter().collect();
    (once.len() == keys.len()).then_some(keys)
}
