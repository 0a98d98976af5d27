//! Where something is in a document.

/// A step from a value to one in it.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Step {
    /// A field.
    Field(&'static str),
    /// A thing of a list, by its number.
    Thing(u32),
    /// What a list knows by something else: a fact by its name, a visit by its day.
    Known(String),
    /// The order of a list.
    Order,
}

/// From the document to a value in it.
pub type Path = Vec<Step>;
