//! The text of a project file.

use super::FileError;
use crate::model::later::Later;
use crate::model::project::Project;
use crate::model::tree::{At, Keep, Kept, Node, Unknown};
use crate::model::validate;
use serde::{Deserialize, Serialize};
use std::path::Path;

/// The schema this version writes. It reads every one up to it.
///
/// The number goes up with each release that adds a field, so that an earlier version says that a file is newer, in
/// place of naming a fault in it. In a file of a schema known here, an unknown field is a fault.
///
/// | schema | what came |
/// | --- | --- |
/// | 1 | the first |
/// | 2 | how suppliers are reached and ship; who owns the house, where things go, the order of dates. All may be missing, as in 1 |
/// | 3 | what nobody has said: a lead time, a price, the days of a phase may be missing, and kinds of things with typical lead times; specs; parts ordered only after a phase; quotes for several phases; own work; the kind of work of a phase |
/// | 4 | crews with their days away, bookings, missed days; what quotes leave out, when they start, installments; permits, visits that are booked, changes of the work, draws and own money. What a quote leaves out was a text before |
/// | 5 | plans that are kept as they were agreed on, and the log of days and money; what rooms are used for and what is out of use, what parts take of the floor and what there is to store them on; risks, the chance that a visit fails |
/// | 6 | named sets of choices; how sure the last order days are to be |
/// | 7 | what calendars that were written say |
/// | 8 | the punch list; serial numbers, warranties and manuals; who approved of an option and when |
pub const SCHEMA: u32 = 8;

/// The minor version of the schema, which is written where it is not 0.
///
/// It goes up with a field that an earlier version may leave unread: that version keeps the field as the text that it is,
/// and writes it again. What an earlier version must not change around, or a new word of a known field, raises the schema.
pub const MINOR: u32 = 0;

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Project")]
struct Read {
    #[serde(rename = "schema")]
    _schema: u32,
    #[serde(rename = "minor", default)]
    _minor: u32,
    project: Project,
}

#[derive(Serialize)]
struct Written<T> {
    schema: u32,
    #[serde(skip_serializing_if = "is_zero")]
    minor: u32,
    project: T,
}

fn is_zero(minor: &u32) -> bool {
    *minor == 0
}

/// The project as text: stable order, one field a line.
///
/// # Errors
/// What could not be put into words. Every field is a number, a text, a word or a list of those, which RON can write.
pub fn to_text(project: &Project) -> ron::Result<String> {
    if project.later.is_empty() {
        return written(&Written { schema: SCHEMA, minor: MINOR, project });
    }
    let tree = Node::whole(project).map_err(|why| ron::Error::Message(why.to_string()))?;
    written(&Written { schema: SCHEMA, minor: project.later.minor(), project: tree })
}

fn written(document: &impl Serialize) -> ron::Result<String> {
    let style = ron::ser::PrettyConfig::new()
        .indentor("  ")
        .new_line("\n")
        .struct_names(false)
        .extensions(ron::extensions::Extensions::IMPLICIT_SOME);
    Ok(ron::ser::to_string_pretty(document, style)? + "\n")
}

/// Reads a project from text. `path` is only for messages.
///
/// # Errors
/// Line and column of a fault in the text, the schema of a later version, or the faults of the document.
pub fn from_text(text: &str, path: &Path) -> Result<Project, FileError> {
    if let Some(found) = schema_of(text)
        && found > SCHEMA
    {
        return Err(FileError::NewerSchema { path: path.to_owned(), found });
    }
    let minor = minor_of(text).filter(|minor| *minor > MINOR);
    let read = match minor {
        None => ron::from_str::<Read>(text).map(|read| (read, Vec::new())),
        Some(_) => keeping(text),
    };
    let (read, found) = read.map_err(|e| {
        let (line, column, mut message) = fault(text, &e);
        if minor.is_some() {
            message += "; a later version wrote the file, and this one cannot read it";
        }
        FileError::Syntax { path: path.to_owned(), line, column, message }
    })?;
    let mut project = read.project;
    // A tree can be made of every document; without one nothing of it could be written either.
    project.later = Later::of(&project, minor.unwrap_or_default(), found).unwrap_or_default();
    project.reindex();
    let faults = validate::document(&project);
    if faults.is_empty() { Ok(project) } else { Err(FileError::Faults { path: path.to_owned(), faults }) }
}

/// Reads a text of a later minor version, with the fields that this one does not know.
fn keeping(text: &str) -> Result<(Read, Vec<Unknown>), ron::error::SpannedError> {
    let kept = Kept::default();
    let mut reader = ron::Deserializer::from_str(text)?;
    let read = Read::deserialize(Keep { inner: &mut reader, kept: &kept });
    let read = read.and_then(|read| reader.end().map(|()| read)).map_err(|why| reader.span_error(why))?;
    let mut found = kept.found();
    for unknown in &mut found {
        // Beside the project there is nothing that a minor version may add.
        if !matches!(unknown.at.first(), Some(At::Field(name)) if name == "project") {
            let why = format!("`{}` does not stand beside the project", unknown.name);
            return Err(reader.span_error(ron::Error::Message(why)));
        }
        unknown.at.remove(0);
    }
    Ok((read, found))
}

/// Line, column and what is wrong there. A text that is no project, and one that was cut off, are told apart from one
/// with a slip in it.
fn fault(text: &str, error: &ron::error::SpannedError) -> (usize, usize, String) {
    let at = error.span.start;
    let last = text.lines().last().unwrap_or_default();
    if schema_of(text).is_none() {
        let what =
            "this is no Needline project; choose a file that was saved by it, or import sheets and workbooks";
        (at.line, at.col, what.to_owned())
    } else if !text.trim_end().ends_with("\n)") && error.span.end.line >= text.lines().count() {
        let what = "the file ends here, in the middle of the project; the rest is missing";
        (text.lines().count(), last.chars().count() + 1, what.to_owned())
    } else {
        (at.line, at.col, error.code.to_string())
    }
}

/// The schema number, found without reading the rest: a later version may have written things unknown here.
fn schema_of(text: &str) -> Option<u32> {
    number_after(text.split_once("schema")?.1).map(|(number, _)| number)
}

/// The minor number that stands behind it.
fn minor_of(text: &str) -> Option<u32> {
    let (_, rest) = number_after(text.split_once("schema")?.1)?;
    let rest = rest.trim_start().strip_prefix(',')?.trim_start();
    number_after(rest.strip_prefix("minor")?).map(|(number, _)| number)
}

fn number_after(name: &str) -> Option<(u32, &str)> {
    let after = name.trim_start().strip_prefix(':')?.trim_start();
    let digits = after.find(|c: char| !c.is_ascii_digit()).unwrap_or(after.len());
    Some((after[..digits].parse().ok()?, &after[digits..]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::NaiveDate;

    fn project() -> Project {
        Project::new("A \"quoted\" house", NaiveDate::from_ymd_opt(2026, 7, 6).unwrap())
    }

    #[test]
    fn text_comes_back_equal() {
        let text = to_text(&project()).unwrap();
        assert_eq!(from_text(&text, Path::new("x.ron")).unwrap(), project());
        assert!(text.contains(&format!("schema: {SCHEMA}")));
    }

    #[test]
    fn a_later_schema_is_refused_by_name() {
        let later = format!("schema: {}", SCHEMA + 1);
        let text = to_text(&project()).unwrap().replace(&format!("schema: {SCHEMA}"), &later);
        let error = from_text(&text, Path::new("x.ron")).unwrap_err();
        assert!(matches!(error, FileError::NewerSchema { found, .. } if found == SCHEMA + 1), "{error}");
    }

    #[test]
    fn a_broken_text_has_line_and_column() {
        let text = to_text(&project()).unwrap().replace("currency: \"USD\"", "currency: \"USD");
        let error = from_text(&text, Path::new("x.ron")).unwrap_err();
        assert!(matches!(error, FileError::Syntax { line: 5.., .. }), "{error}");
    }

    #[test]
    fn what_cannot_be_put_into_words_is_a_fault_and_no_empty_text() {
        struct Silent;
        impl Serialize for Silent {
            fn serialize<S: serde::Serializer>(&self, _: S) -> Result<S::Ok, S::Error> {
                Err(serde::ser::Error::custom("no words"))
            }
        }
        assert!(written(&[Silent]).unwrap_err().to_string().contains("no words"));
    }

    #[test]
    fn a_text_cut_anywhere_is_said_to_end_there() {
        let text = to_text(&project()).unwrap();
        let begin = text.find("project:").unwrap();
        for end in begin..text.trim_end().len() {
            let cut = &text[..end];
            let error = from_text(cut, Path::new("x.ron")).unwrap_err().to_string();
            let place = format!("x.ron: line {}, column ", cut.lines().count());
            assert!(
                error.starts_with(&place) && error.contains("ends here, in the middle"),
                "{end}: {error}"
            );
        }
    }
}
