//! What an edit of a thing is called: by the one or two fields that it changes, where its table of fields can tell.

use super::field::Field;

/// Fields that are named; an edit of more of them is one of the thing. A lead time with its unit and bounds is one.
const NAMED: usize = 2;

/// The label of a change that puts a thing: `Kitchen sink: allowance` where that is all that changes, else `edit Kitchen
/// sink`, and `add Kitchen sink` where it is new. What the table says nothing of, such as what stands below a thing, is
/// made `alike` by the caller, or counts as a change of its own.
pub(super) fn label<T: Clone + PartialEq>(
    old: Option<&T>,
    new: &T,
    fields: &[Field<T>],
    name: &str,
) -> String {
    let Some(old) = old else { return format!("add {name}") };
    let changed: Vec<&Field<T>> = fields.iter().filter(|field| field.differs(old, new)).collect();
    let mut made = old.clone();
    changed.iter().for_each(|field| field.copy(new, &mut made));
    let mut titles: Vec<String> = changed.iter().map(|field| called(field)).collect();
    titles.dedup();
    let named = changed.iter().all(|field| !field.title.is_empty());
    if titles.is_empty() || titles.len() > NAMED || !named || made != *new {
        return format!("edit {name}");
    }
    format!("{name}: {}", titles.join(", "))
}

/// A field within a sentence. The titles of a lead time stand below a heading, which says what they are of.
fn called<T>(field: &Field<T>) -> String {
    if field.name == "lead" || field.name.starts_with("lead_") {
        return "lead time".to_owned();
    }
    let title = field.title.split_once(", ").map_or(field.title, |(title, _)| title);
    let mut letters = title.chars();
    letters.next().map_or(String::new(), |first| first.to_lowercase().chain(letters).collect())
}
