//! What each kind of room usually needs, so that nothing is forgotten: plain things with how they are counted, what kind
//! of thing they are, by which kind of work they are needed, what of them must be known before, and after which work
//! they can be measured and ordered. Lead time and price are blank: nobody has said.
//!
//! The lists, waste percents, phases and specs are common practice, no source; the user ticks what fits and edits the
//! rest.

mod add;
mod items;
mod kinds;

pub use add::{add, is_there, kind_of, with_all};
pub use kinds::KINDS;

use super::goods::Goods;
use super::work::Work;

/// A piece that is bought: its name, how it is counted, and the kinds of work that need it; the first that any phase
/// does decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piece {
    /// What it is called.
    pub name: &'static str,
    /// What it is counted in.
    pub unit: &'static str,
    /// How much: a number or a rule over the room.
    pub quantity: &'static str,
    /// Percent added for cutting and breakage.
    pub waste: u32,
    /// What kind of thing it is.
    pub goods: Goods,
    /// The work that needs it.
    pub phase: &'static [Work],
    /// The work after which it is measured, and can be ordered.
    pub after: Option<Work>,
}

/// What must be known of a thing before it must be there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Known {
    /// What must be known.
    pub what: &'static str,
    /// The order that waits for it: of something in the room of one of these kinds. Empty for none.
    pub order: &'static [Goods],
    /// The work that waits for it, where no order does. Empty where nobody else needs to know.
    pub work: &'static [Work],
    /// The fact of the options that says it; empty for none.
    pub fact: &'static str,
}

/// One thing a room usually needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Item {
    /// What it is called.
    pub name: &'static str,
    /// Its category.
    pub category: &'static str,
    /// What it is made of.
    pub pieces: &'static [Piece],
    /// What of it must be known early.
    pub specs: &'static [Known],
}

/// A kind of room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RoomKind {
    /// What it is called.
    pub name: &'static str,
    /// Words in the name of a room that tell its kind.
    words: &'static [&'static str],
    /// What it usually needs.
    pub items: &'static [Item],
}
