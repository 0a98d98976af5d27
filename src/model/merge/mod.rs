//! Two versions of one project brought together, against the version that both came from.
//!
//! What one side changed is taken; what both changed alike, too. What both changed differently is a conflict: this side's
//! value is taken where nobody says otherwise, and both are named. Something that one side removed and the other changed,
//! or uses, stays. The result keeps all rules of a document.

mod lists;
mod log;
mod numbers;
mod path;
mod shape;
mod three;
mod whole;
mod words;

pub use path::{Path, Step};

use super::budget::{Extra, Quote};
use super::change::Change;
use super::draw::Draw;
use super::field::{Field, Kind};
use super::later::Later;
use super::part::Part;
use super::project::{Project, Settings};
use super::selection::Selection;
use super::supplier::Supplier;
use super::tree::{Node, TreeError};
use std::collections::HashMap;

/// What both sides say of one place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conflict {
    /// Where.
    pub at: Path,
    /// Where, in words.
    pub place: String,
    /// The same without saying what sort of thing each is, for who has the house before their eyes.
    pub title: String,
    /// What the version before both says, in words.
    pub base: String,
    /// What this side says.
    pub ours: String,
    /// What the other side says.
    pub theirs: String,
    /// What was taken.
    pub took: Took,
}

/// One of two versions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Side {
    /// This one.
    Ours,
    /// The other one.
    Theirs,
}

/// Which side a conflict was settled for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Took {
    /// This side's.
    Ours,
    /// The other side's.
    Theirs,
    /// One side removed it and the other still needs it, so it stays whatever is wished.
    Stays,
}

impl Conflict {
    /// Whether both sides say an amount of money, as the tables of fields have it.
    pub fn is_amount(&self) -> bool {
        fn has<T>(fields: &[Field<T>], name: &str) -> bool {
            fields.iter().any(|field| field.name == name && matches!(field.kind, Kind::Money(_)))
        }
        let Some(Step::Field(name)) = self.at.last() else { return false };
        has(Selection::FIELDS, name)
            || has(Part::FIELDS, name)
            || has(Quote::FIELDS, name)
            || has(Extra::FIELDS, name)
            || has(Change::FIELDS, name)
            || has(Draw::FIELDS, name)
            || has(Supplier::FIELDS, name)
            || has(Settings::FIELDS, name)
    }

    /// All of it as a sentence without an end.
    pub fn in_words(&self) -> String {
        let Conflict { place, base, ours, theirs, took, .. } = self;
        let taken = match took {
            Took::Ours => ours,
            Took::Theirs => theirs,
            Took::Stays => {
                return format!("{place}: removed in one version and used in the other, so it stays");
            }
        };
        format!("{place}: {ours} in this version, {theirs} in the other, {base} before both; taken: {taken}")
    }
}

/// Two versions brought together.
#[derive(Debug, Clone)]
pub struct Merged {
    /// The document. Its log hangs together; what is left between it and the figures is pending.
    pub project: Project,
    /// What both sides changed differently, in the order of the document.
    pub conflicts: Vec<Conflict>,
    /// What was given another number or key, so that it is not taken for something else.
    pub notes: Vec<String>,
    /// Things that the other side added under numbers that this side gave to others: their numbers there and here.
    pub numbers: HashMap<u32, u32>,
}

/// Why two versions could not be brought together.
#[derive(Debug, thiserror::Error)]
pub enum MergeError {
    /// The document has a value that its tree has not. No document has.
    #[error("the projects cannot be brought together: {0}")]
    Tree(#[from] TreeError),
    /// What came out breaks the rules of a document, as do the versions themselves.
    #[error("the projects cannot be brought together: {0}")]
    Rules(String),
}

/// Brings two versions together. `wishes` say by which side conflicts go. Without one a value is that of this side, and what
/// one side removed and the other changed stays.
///
/// # Errors
/// None for documents that keep their own rules.
pub fn merge(
    base: &Project,
    ours: &Project,
    theirs: &Project,
    wishes: &HashMap<Path, Side>,
) -> Result<Merged, MergeError> {
    let trees = [Node::whole(base)?, Node::whole(ours)?, Node::whole(theirs)?];
    let [base_tree, ours_tree, mut theirs_tree] = trees;
    let numbers = numbers::apart(&base_tree, &ours_tree, &mut theirs_tree);
    let theirs = if numbers.is_empty() {
        theirs.clone()
    } else {
        let mut read = theirs_tree.clone();
        Later::taken(&mut read, 0);
        read.project()?
    };
    whole::merge([base, ours, &theirs], [base_tree, ours_tree, theirs_tree], numbers, wishes)
}
