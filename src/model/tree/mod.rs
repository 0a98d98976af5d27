//! A document as a tree of named values, made of what the project file holds and nothing else: no field can be forgotten.
//!
//! Numbers of things are told from other numbers, so that what refers to a thing can be found in any field.

mod keep;
mod read;
mod write;

pub use keep::{At, Keep, Kept, Unknown};

use super::project::Project;
use std::collections::HashMap;
use std::fmt;

/// A value of a document.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Node {
    /// Nothing is said.
    Nothing,
    /// Yes or no.
    Flag(bool),
    /// A whole number.
    Number(i64),
    /// The number of a thing: its own in the field `id`, else that of the one it refers to.
    Id(u32),
    /// A text; amounts, days and quantities are texts as they are in the file.
    Text(String),
    /// One word of several.
    Word(&'static str),
    /// One case of several, with what it holds.
    Case(&'static str, Box<Node>),
    /// Several in their order.
    List(Vec<Node>),
    /// Values that belong together without names, as the two of a corner.
    Tuple(Vec<Node>),
    /// Fields by their names.
    Record(Record),
    /// A text of the project file that this version does not read.
    Unread(String),
}

/// Fields by their names. One that is not written has its usual value.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Record {
    /// What it is a record of, as the type is called.
    pub of: &'static str,
    /// Its fields in the order of the file.
    pub fields: Vec<(&'static str, Node)>,
}

/// Why a tree is no document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TreeError(String);

impl fmt::Display for TreeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for TreeError {}

impl Record {
    /// A field; `None` where it is not written.
    pub fn get(&self, name: &str) -> Option<&Node> {
        self.fields.iter().find(|(field, _)| *field == name).map(|(_, node)| node)
    }

    /// A field to change.
    pub fn get_mut(&mut self, name: &str) -> Option<&mut Node> {
        self.fields.iter_mut().find(|(field, _)| *field == name).map(|(_, node)| node)
    }

    /// Takes a field out.
    pub fn take(&mut self, name: &str) -> Option<Node> {
        let at = self.fields.iter().position(|(field, _)| *field == name)?;
        Some(self.fields.remove(at).1)
    }

    /// Writes a field, or leaves it out.
    pub fn set(&mut self, name: &'static str, value: Option<Node>) {
        match (self.get_mut(name), value) {
            (Some(at), Some(value)) => *at = value,
            (None, Some(value)) => self.fields.push((name, value)),
            (_, None) => drop(self.take(name)),
        }
    }

    /// The number of the thing that this is a record of.
    pub fn id(&self) -> Option<u32> {
        match self.get("id") {
            Some(Node::Id(id)) => Some(*id),
            _ => None,
        }
    }

    /// What people call it: its name, what it is about, or its key.
    pub fn called(&self) -> Option<&str> {
        let words = |name| match self.get(name) {
            Some(Node::Text(text)) if !text.trim().is_empty() => Some(text.as_str()),
            _ => None,
        };
        ["name", "what", "key", "trade", "finish"].into_iter().find_map(words)
    }
}

impl Node {
    /// The tree of a document.
    ///
    /// # Errors
    /// A value that is none of those above. The document has none.
    pub fn of(project: &Project) -> Result<Node, TreeError> {
        write::tree(project)
    }

    /// The document of a tree. Its rules are not checked.
    ///
    /// # Errors
    /// A field is missing, unknown or no value of its kind.
    pub fn project(&self) -> Result<Project, TreeError> {
        let mut project: Project = read::document(self)?;
        project.reindex();
        Ok(project)
    }

    /// The record that this is.
    pub fn record(&self) -> Option<&Record> {
        match self {
            Node::Record(record) => Some(record),
            _ => None,
        }
    }

    /// Each value in it, itself first.
    pub fn walk<'a>(&'a self, visit: &mut impl FnMut(&'a Node)) {
        visit(self);
        match self {
            Node::Case(_, inner) => inner.walk(visit),
            Node::List(items) | Node::Tuple(items) => items.iter().for_each(|item| item.walk(visit)),
            Node::Record(record) => record.fields.iter().for_each(|(_, node)| node.walk(visit)),
            _ => {}
        }
    }

    /// Each value in it to change, what it holds first.
    pub fn walk_mut(&mut self, visit: &mut impl FnMut(&mut Node)) {
        match self {
            Node::Case(_, inner) => inner.walk_mut(visit),
            Node::List(items) | Node::Tuple(items) => items.iter_mut().for_each(|item| item.walk_mut(visit)),
            Node::Record(record) => record.fields.iter_mut().for_each(|(_, node)| node.walk_mut(visit)),
            _ => {}
        }
        visit(self);
    }

    /// The things in it by their numbers.
    pub fn things(&self) -> HashMap<u32, &Record> {
        let mut found = HashMap::new();
        self.walk(&mut |node| {
            if let Node::Record(record) = node
                && let Some(id) = record.id()
            {
                found.insert(id, record);
            }
        });
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::file;
    use std::path::Path;

    /// The text of the project file is the second opinion.
    #[test]
    fn a_document_comes_back_from_its_tree() {
        for sample in ["orchard_house", "hall_bath", "walls_open"] {
            let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("sample_projects/{sample}.ron"));
            let (project, _) = file::load(&path).unwrap();
            let tree = Node::of(&project).unwrap();
            let back = tree.project().unwrap();
            assert_eq!(back, project);
            assert_eq!(file::to_text(&back).unwrap(), file::to_text(&project).unwrap());
            let implicit = ron::extensions::Extensions::IMPLICIT_SOME;
            let style = || ron::ser::PrettyConfig::new().extensions(implicit);
            let text = ron::ser::to_string_pretty(&project, style()).unwrap();
            assert_eq!(ron::ser::to_string_pretty(&tree, style()).unwrap(), text);
        }
    }

    #[test]
    fn things_are_found_by_their_numbers() {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_projects/orchard_house.ron");
        let (project, _) = file::load(&path).unwrap();
        let tree = Node::of(&project).unwrap();
        let things = tree.things();
        for (_, _, part) in project.all_parts() {
            assert_eq!(things[&part.id.0].called(), Some(part.name.as_str()));
        }
        // Each id of the text is the number of a thing.
        let text = file::to_text(&project).unwrap();
        assert_eq!(things.len(), text.lines().filter(|l| l.trim_start().starts_with("id: ")).count());
    }
}
