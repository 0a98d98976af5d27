//! A row of a sheet read into a thing, field by field.

use crate::exchange::sheets::import::Import;
use crate::exchange::sheets::row::Cells;
use crate::model::Part;
use crate::model::field::{At, Field, Kind, Noun};

/// Reads the cells of a row into a thing that has what is usual everywhere; an empty cell leaves that.
pub fn fill<T>(c: &Cells<'_>, import: &Import, fields: &[Field<T>], mut thing: T) -> T {
    let mut own = String::new();
    let to = &mut thing;
    for field in fields {
        let column = field.name;
        match &field.kind {
            Kind::Apart(_) | Kind::Facts(_) | Kind::Closed(_) => {}
            Kind::Key(at) => {
                let key = c.key(column);
                if own.is_empty() {
                    own.clone_from(&key);
                }
                (at.set)(to, Some(key));
            }
            Kind::Name(at) => (at.set)(to, Some(c.name_or(&own))),
            Kind::Text(at) | Kind::Lines(at) => {
                let blank = |text: &String| field.required && text.trim().is_empty();
                put(c, field, at, c.verbatim(column).filter(|text| !blank(text)), to);
            }
            Kind::Address(at) => (at.set)(to, Some(c.text(column).trim().to_owned())),
            Kind::Money(at) => put(c, field, at, c.money(column), to),
            Kind::Number(at) | Kind::Percent(at) => put(c, field, at, c.number(column), to),
            Kind::Whole(at) | Kind::CalendarDays(at) | Kind::OpenDays(at) | Kind::Lead(at, _) => {
                put(c, field, at, c.whole(column), to)
            }
            Kind::Days(at) => {
                let days = c.whole::<u32>(column).map(|days| i32::try_from(days).unwrap_or(i32::MAX));
                put(c, field, at, days, to);
            }
            Kind::Signed(at) => put(c, field, at, c.whole(column), to),
            Kind::Date(at) => put(c, field, at, c.date(column), to),
            Kind::YesNo(at) => put(c, field, at, c.yes_no(column), to),
            Kind::Word(words, at) => put(c, field, at, c.one_of(column, words), to),
            Kind::Holidays(at) => put(c, field, at, c.parsed(column), to),
            Kind::Parsed(parsed) | Kind::Stated(parsed) => {
                let read = c.read(column, |text| (parsed.set)(to, text));
                if field.required {
                    c.needed(column, read, ());
                }
            }
            Kind::Of(noun, at) => {
                let id = import.refer(c, column, *noun);
                if field.required {
                    c.needed(column, id, 0);
                }
                (at.set)(to, id);
            }
        }
    }
    thing
}

fn put<T, V>(c: &Cells<'_>, field: &Field<T>, at: &At<T, V>, value: Option<V>, to: &mut T) {
    if field.required {
        c.needed(field.name, value.as_ref().map(|_| ()), ());
    }
    if value.is_some() {
        (at.set)(to, value);
    }
}

impl Import {
    /// The number of the thing whose key stands in a cell; a key that leads nowhere is a fault.
    pub fn refer(&self, c: &Cells<'_>, column: &str, noun: Noun) -> Option<u32> {
        match noun {
            Noun::Room => self.at(c, column, "rooms").map(|at| self.rooms[at].id.0),
            Noun::Phase => self.at(c, column, "phases").map(|at| self.phases[at].id.0),
            Noun::Supplier => self.at(c, column, "suppliers").map(|at| self.suppliers[at].id.0),
            Noun::Selection => self.at(c, column, "selections").map(|at| self.selections[at].id.0),
            Noun::Option => {
                let (s, o) = self.option_places.get(self.at(c, column, "options")?).copied()?;
                Some(self.selections.get(s)?.options.get(o)?.id.0)
            }
            Noun::Part => self.part_at(self.at(c, column, "parts")?).map(|p| p.id.0),
            Noun::Crew => {
                self.at(c, column, "crews").and_then(|at| self.project.crews.get(at)).map(|c| c.id.0)
            }
            Noun::Gate => self.at(c, column, "gates").and_then(|at| self.gates.get(at)).map(|g| g.id.0),
            Noun::Order => self.at(c, column, "orders").map(|at| self.orders[at].id.0),
        }
    }

    /// The part that a row of `parts` made.
    pub fn part_at(&self, at: usize) -> Option<&Part> {
        let (s, o, p) = self.part_places.get(at).copied()?;
        self.selections.get(s)?.options.get(o)?.parts.get(p)
    }
}
