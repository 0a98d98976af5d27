//! A thing written as a row of its sheet, field by field.

use crate::exchange::cell::{maybe, money, number, yes_no};
use crate::model::Project;
use crate::model::field::{Field, Kind};

/// The cells of a thing. `apart` writes the columns that the fields leave to other code, by their names.
pub fn cells<T>(
    project: &Project,
    fields: &[Field<T>],
    thing: &T,
    apart: impl Fn(&str) -> String,
) -> Vec<String> {
    let fields = fields.iter().filter(|field| field.kind.in_sheet());
    let text = |field: &Field<T>| match field.kind {
        Kind::Apart(_) => apart(field.name),
        _ => cell(project, field, thing),
    };
    fields.map(text).collect()
}

/// The cell of a field; empty when other code writes it.
pub fn cell<T>(project: &Project, field: &Field<T>, thing: &T) -> String {
    match &field.kind {
        Kind::Key(at) | Kind::Name(at) | Kind::Text(at) | Kind::Lines(at) | Kind::Address(at) => {
            maybe((at.get)(thing))
        }
        Kind::Money(at) => maybe((at.get)(thing).map(|m| money(m, project.settings.currency))),
        Kind::Number(at) | Kind::Percent(at) => maybe((at.get)(thing).map(number)),
        Kind::Whole(at) | Kind::CalendarDays(at) | Kind::OpenDays(at) | Kind::Lead(at, _) => {
            maybe((at.get)(thing))
        }
        Kind::Days(at) | Kind::Signed(at) => maybe((at.get)(thing)),
        Kind::Date(at) => maybe((at.get)(thing)),
        Kind::YesNo(at) => maybe((at.get)(thing).map(yes_no)),
        Kind::Word(words, at) => maybe((at.get)(thing).and_then(|at| words.get(at))),
        Kind::Holidays(at) => maybe((at.get)(thing)),
        Kind::Parsed(parsed) | Kind::Stated(parsed) => (parsed.get)(thing),
        Kind::Of(noun, at) => (at.get)(thing).map_or(String::new(), |id| noun.key(project, id)),
        Kind::Apart(_) | Kind::Facts(_) | Kind::Closed(_) => String::new(),
    }
}
