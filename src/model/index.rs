//! Where the things of a document are by their numbers, so that nothing is walked to find one.
//!
//! A list is known by its address. As long as a weak pointer holds that address, whoever changes the list gets another
//! one, so an index can never speak of a list that is no longer the same: look-ups in such a list walk it, and the next
//! action brings the index up to date.

use super::gate::Gate;
use super::order::Order;
use super::phase::Phase;
use super::project::Project;
use super::room::Room;
use super::selection::Selection;
use super::supplier::Supplier;
use std::collections::HashMap;
use std::sync::{Arc, Weak};

/// What is looked up by number.
#[derive(Clone, Default)]
pub(super) struct Index {
    pub rooms: Places<Room>,
    pub phases: Places<Phase>,
    pub suppliers: Places<Supplier>,
    /// Selections, with their options and parts.
    pub selections: Places<Arc<Selection>>,
    /// Gates, with their conditions.
    pub gates: Places<Gate>,
    pub orders: Places<Order>,
}

impl Index {
    /// Follows lists that were changed.
    fn follow(&mut self, project: &Project) {
        self.rooms.follow(&project.rooms);
        self.phases.follow(&project.phases);
        self.suppliers.follow(&project.suppliers);
        self.selections.follow(&project.selections);
        self.gates.follow(&project.gates);
        self.orders.follow(&project.orders);
    }

    fn is_of(&self, project: &Project) -> bool {
        self.rooms.is_of(&project.rooms)
            && self.phases.is_of(&project.phases)
            && self.suppliers.is_of(&project.suppliers)
            && self.selections.is_of(&project.selections)
            && self.gates.is_of(&project.gates)
            && self.orders.is_of(&project.orders)
    }
}

impl Project {
    /// Makes look-ups by number fast after lists were changed by hand. Actions and reading a file do it by themselves.
    pub fn reindex(&mut self) {
        let mut index = std::mem::take(&mut self.index);
        index.follow(self);
        self.index = index;
    }

    /// Whether every look-up by number goes by the index. Those that do not are as right, but walk.
    pub fn is_indexed(&self) -> bool {
        self.index.is_of(self)
    }

    /// Edits the selection at a position; the index follows what is in it.
    pub(super) fn edit_selection<T>(&mut self, at: usize, edit: impl FnOnce(&mut Selection) -> T) -> T {
        let known = self.index.selections.is_of(&self.selections);
        let done = edit(Arc::make_mut(&mut Arc::make_mut(&mut self.selections)[at]));
        if known {
            self.index.selections.note(&self.selections, at);
        }
        done
    }

    /// Adds a selection at the end.
    pub(super) fn push_selection(&mut self, selection: Selection) {
        let (known, end) = (self.index.selections.is_of(&self.selections), self.selections.len());
        Arc::make_mut(&mut self.selections).push(Arc::new(selection));
        if known {
            self.index.selections.note(&self.selections, end);
        }
    }
}

/// Something in a list, with every number that leads to it: its own and those of what is in it.
pub(super) trait Numbered {
    fn numbers(&self) -> impl Iterator<Item = u32>;
}

macro_rules! numbered {
    ($($kind:ty: $thing:ident => $inside:expr;)+) => {
        $(impl Numbered for $kind {
            fn numbers(&self) -> impl Iterator<Item = u32> {
                let $thing = self;
                std::iter::once($thing.id.0).chain($inside)
            }
        })+
    };
}

numbered! {
    Room: room => [];
    Phase: phase => [];
    Supplier: supplier => [];
    Arc<Selection>: selection => selection
        .options
        .iter()
        .flat_map(|o| std::iter::once(o.id.0).chain(o.parts.iter().map(|p| p.id.0)));
    Gate: gate => gate.conditions.iter().map(|c| c.id.0);
    Order: order => [];
}

/// Where the things of one list are.
pub(super) struct Places<T> {
    list: Weak<Vec<T>>,
    /// A hint: what is no longer there is still in it, and what is found is looked at.
    at: Arc<HashMap<u32, usize>>,
}

impl<T: Numbered> Places<T> {
    /// The position of what fits, which has this number or holds what has it.
    pub fn find(&self, list: &Arc<Vec<T>>, number: u32, fits: impl Fn(&T) -> bool) -> Option<usize> {
        if self.is_of(list) {
            self.at.get(&number).copied().filter(|at| list.get(*at).is_some_and(fits))
        } else {
            list.iter().position(fits)
        }
    }

    fn is_of(&self, list: &Arc<Vec<T>>) -> bool {
        std::ptr::eq(self.list.as_ptr(), Arc::as_ptr(list))
    }

    fn follow(&mut self, list: &Arc<Vec<T>>) {
        if !self.is_of(list) {
            (0..list.len()).for_each(|at| self.note(list, at));
            self.list = Arc::downgrade(list);
        }
    }

    /// Notes what is at a position of a list of which the rest is as it was.
    fn note(&mut self, list: &Arc<Vec<T>>, at: usize) {
        for number in list.get(at).into_iter().flat_map(Numbered::numbers) {
            if self.at.get(&number) != Some(&at) {
                Arc::make_mut(&mut self.at).insert(number, at);
            }
        }
        self.list = Arc::downgrade(list);
    }
}

impl<T> Clone for Places<T> {
    fn clone(&self) -> Places<T> {
        Places { list: self.list.clone(), at: self.at.clone() }
    }
}

impl<T> Default for Places<T> {
    fn default() -> Places<T> {
        Places { list: Weak::new(), at: Arc::default() }
    }
}

/// Documents are equal whatever is known of where their things are.
impl PartialEq for Index {
    fn eq(&self, _: &Index) -> bool {
        true
    }
}

impl Eq for Index {}

impl std::fmt::Debug for Index {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Index")
    }
}
