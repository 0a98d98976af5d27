//! Fields: what a noun of the document has, said once, for sheets, forms and tests.
//!
//! Each noun keeps the table of its fields beside its struct. Sheets read and write it column by column, forms draw and
//! read it line by line; a new row of a table is a new column and a new line of a form. What no table can say, such as
//! which order a part is a line of, is a column [`Kind::Apart`] that the sheet's own code reads and writes.

use super::dates::{ClosedRange, Holidays};
use super::facts::Fact;
use super::ids::{CrewId, GateId, OptionId, OrderId, PartId, PhaseId, RoomId, SelectionId, SupplierId};
use super::money::Money;
use super::part::LeadUnit;
use super::project::Project;
use chrono::NaiveDate;
use rust_decimal::Decimal;

/// A field of a noun: a column of its sheet, a line of its form, or both.
pub struct Field<T: 'static> {
    /// The name of its column.
    pub name: &'static str,
    /// Its name in forms; empty where no form shows it.
    pub title: &'static str,
    /// What a form shows while nothing is typed.
    pub hint: &'static str,
    /// The heading that a form sets before it; empty for none.
    pub section: &'static str,
    /// The field that it stands behind in forms; empty for the one before it in the table.
    pub after: &'static str,
    /// What a form calls it when none of the choices holds.
    pub none: &'static str,
    /// The words a form has for its choices; those of the sheet when empty.
    pub shown: &'static [&'static str],
    /// Whether a sheet is of no use without it.
    pub required: bool,
    /// Whether a form cannot do without it.
    pub asked: bool,
    /// What it holds, and where.
    pub kind: Kind<T>,
}

/// How a value is got and set. What may be missing is `None` then; of what may not, `None` is never set.
pub struct At<T: 'static, V: 'static> {
    /// Whether it may be missing, which is never the same as zero or nothing.
    pub maybe: bool,
    /// What it is now.
    pub get: fn(&T) -> Option<V>,
    /// Makes it another.
    pub set: fn(&mut T, Option<V>),
}

/// How a value is got and set that has its own way of being written.
pub struct Parsed<T: 'static> {
    /// Its text now; empty when it is missing.
    pub get: fn(&T) -> String,
    /// Reads another, or says what is wrong with the text and what to write.
    pub set: fn(&mut T, &str) -> Result<(), String>,
}

/// What a field holds.
pub enum Kind<T: 'static> {
    /// A column that other code reads and writes; whether it holds the user's own words.
    Apart(bool),
    /// A key: text without spaces around it.
    Key(At<T, String>),
    /// What people call it; the key where a sheet has none.
    Name(At<T, String>),
    /// A line of text, kept letter by letter.
    Text(At<T, String>),
    /// Several lines of text.
    Lines(At<T, String>),
    /// The address of a page or a file: text without spaces around it.
    Address(At<T, String>),
    /// An amount of the project's currency.
    Money(At<T, Money>),
    /// A number, zero or more.
    Number(At<T, Decimal>),
    /// A share in percent, zero or more.
    Percent(At<T, Decimal>),
    /// A whole number, zero or more.
    Whole(At<T, u32>),
    /// Calendar days.
    CalendarDays(At<T, u32>),
    /// Working days of the project.
    OpenDays(At<T, u32>),
    /// A lead time, and the unit that it is counted in, which another field holds. Where it may be missing it bounds
    /// another.
    Lead(At<T, u32>, At<T, LeadUnit>),
    /// Working days of a phase; one too large for the rules stays so.
    Days(At<T, i32>),
    /// A whole number that may be negative.
    Signed(At<T, i32>),
    /// A day.
    Date(At<T, NaiveDate>),
    /// Yes or no.
    YesNo(At<T, bool>),
    /// One of a few words, by its place among them.
    Word(&'static [&'static str], At<T, usize>),
    /// A value with its own way of being written.
    Parsed(Parsed<T>),
    /// The same, where it may be the user's own words.
    Stated(Parsed<T>),
    /// The number of something else in the document; its key in sheets, its name in forms.
    Of(Noun, At<T, u32>),
    /// Public holidays and own days.
    Holidays(At<T, Holidays>),
    /// Facts, which have a sheet of their own.
    Facts(At<T, Vec<Fact>>),
    /// Days on which nothing is done, which have a sheet of their own.
    Closed(At<T, Vec<ClosedRange>>),
}

impl<T> Kind<T> {
    /// Whether a sheet has a column for it.
    pub const fn in_sheet(&self) -> bool {
        !matches!(self, Kind::Facts(_) | Kind::Closed(_))
    }

    /// Whether its column holds the user's own words, which are kept from becoming formulas in a spreadsheet.
    pub const fn is_text(&self) -> bool {
        match self {
            Kind::Apart(text) => *text,
            Kind::Key(_) | Kind::Name(_) | Kind::Text(_) | Kind::Lines(_) | Kind::Address(_) => true,
            Kind::Stated(_) | Kind::Of(..) => true,
            _ => false,
        }
    }
}

/// A field by the name of its column, its name in forms (empty for none) and what it holds.
pub const fn field<T>(name: &'static str, title: &'static str, kind: Kind<T>) -> Field<T> {
    Field {
        name,
        title,
        hint: "",
        section: "",
        after: "",
        none: "none",
        shown: &[],
        required: false,
        asked: false,
        kind,
    }
}

impl<T> Field<T> {
    /// The field with what a form shows while nothing is typed.
    pub const fn hint(mut self, hint: &'static str) -> Field<T> {
        self.hint = hint;
        self
    }

    /// The field under a heading of its own in forms.
    pub const fn section(mut self, section: &'static str) -> Field<T> {
        self.section = section;
        self
    }

    /// The field behind another in forms.
    pub const fn after(mut self, after: &'static str) -> Field<T> {
        self.after = after;
        self
    }

    /// The field with what a form calls it when none of the choices holds.
    pub const fn none(mut self, none: &'static str) -> Field<T> {
        self.none = none;
        self
    }

    /// The field with the words that a form has for its choices.
    pub const fn shown(mut self, shown: &'static [&'static str]) -> Field<T> {
        self.shown = shown;
        self
    }

    /// The field as one that neither sheets nor forms can do without.
    pub const fn required(mut self) -> Field<T> {
        self.required = true;
        self.asked = true;
        self
    }

    /// The field as one that forms cannot do without.
    pub const fn asked(mut self) -> Field<T> {
        self.asked = true;
        self
    }
}

/// What is done with the way in which a kind is got and set: `at` where it has one, `text` where it is written in its own.
macro_rules! by_kind {
    ($kind:expr, $at:ident => $of:expr, $text:ident => $written:expr, $apart:expr) => {
        match $kind {
            Kind::Apart(_) => $apart,
            Kind::Key($at) | Kind::Name($at) | Kind::Text($at) | Kind::Lines($at) | Kind::Address($at) => $of,
            Kind::Money($at) => $of,
            Kind::Number($at) | Kind::Percent($at) => $of,
            Kind::Whole($at) | Kind::CalendarDays($at) | Kind::OpenDays($at) => $of,
            // Its unit is a field too.
            Kind::Lead($at, _) | Kind::Of(_, $at) => $of,
            Kind::Days($at) | Kind::Signed($at) => $of,
            Kind::Date($at) => $of,
            Kind::YesNo($at) => $of,
            Kind::Word(_, $at) => $of,
            Kind::Holidays($at) => $of,
            Kind::Facts($at) => $of,
            Kind::Closed($at) => $of,
            Kind::Parsed($text) | Kind::Stated($text) => $written,
        }
    };
}

impl<T> Field<T> {
    /// Whether two things differ in it, as far as the table can tell.
    pub fn differs(&self, one: &T, other: &T) -> bool {
        by_kind!(
            &self.kind,
            at => (at.get)(one) != (at.get)(other),
            text => (text.get)(one) != (text.get)(other),
            false
        )
    }

    /// Gives a thing what another one holds in it. What the other one could not be given by its text stays as it is.
    pub fn copy(&self, from: &T, to: &mut T) {
        by_kind!(
            &self.kind,
            at => (at.set)(to, (at.get)(from)),
            text => {
                let _ = (text.set)(to, &(text.get)(from));
            },
            ()
        );
    }
}

/// What a field may name, by its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Noun {
    /// A room.
    Room,
    /// A phase.
    Phase,
    /// A supplier.
    Supplier,
    /// A selection.
    Selection,
    /// An option.
    Option,
    /// A part.
    Part,
    /// An order.
    Order,
    /// A crew.
    Crew,
    /// A gate.
    Gate,
}

impl Noun {
    /// The key of the thing with a number; empty when it is gone.
    pub fn key(self, project: &Project, id: u32) -> String {
        let key = match self {
            Noun::Room => project.room(RoomId(id)).map(|r| &r.key),
            Noun::Phase => project.phase(PhaseId(id)).map(|p| &p.key),
            Noun::Supplier => project.supplier(SupplierId(id)).map(|s| &s.key),
            Noun::Selection => project.selection(SelectionId(id)).map(|s| &s.key),
            Noun::Option => project.option(OptionId(id)).map(|(_, o)| &o.key),
            Noun::Part => project.part(PartId(id)).map(|(_, _, p)| &p.key),
            Noun::Order => project.order(OrderId(id)).map(|o| &o.key),
            Noun::Crew => project.crew(CrewId(id)).map(|c| &c.key),
            Noun::Gate => project.gate(GateId(id)).map(|g| &g.key),
        };
        key.cloned().unwrap_or_default()
    }

    /// All that a form offers, by name, in document order.
    pub fn choices(self, project: &Project) -> Vec<(String, u32)> {
        match self {
            Noun::Room => project.rooms.iter().map(|r| (r.name.clone(), r.id.0)).collect(),
            Noun::Phase => project.phases.iter().map(|p| (p.name.clone(), p.id.0)).collect(),
            Noun::Supplier => project.suppliers.iter().map(|s| (s.name.clone(), s.id.0)).collect(),
            Noun::Selection => project.selections.iter().map(|s| (s.name.clone(), s.id.0)).collect(),
            Noun::Option => {
                let options = project.selections.iter().flat_map(|s| &s.options);
                options.map(|o| (o.name.clone(), o.id.0)).collect()
            }
            Noun::Part => project.all_parts().map(|(_, _, p)| (p.name.clone(), p.id.0)).collect(),
            Noun::Order => project.orders.iter().map(|o| (o.called(project), o.id.0)).collect(),
            Noun::Crew => project.crews.iter().map(|c| (c.name.clone(), c.id.0)).collect(),
            Noun::Gate => project.gates.iter().map(|g| (g.name.clone(), g.id.0)).collect(),
        }
    }
}

/// The words of a table of words and values.
pub const fn words<V, const N: usize>(all: &'static [(&'static str, V); N]) -> [&'static str; N] {
    let mut words = [""; N];
    let mut i = 0;
    while i < N {
        words[i] = all[i].0;
        i += 1;
    }
    words
}

/// The place of a field by its path in the noun whose table this stands in; with `?` it may be missing.
macro_rules! at {
    ($($path:ident).+) => {
        $crate::model::field::At::<Self, _> {
            maybe: false,
            get: |t| Some(Clone::clone(&t.$($path).+)),
            set: |t, value| if let Some(value) = value { t.$($path).+ = value },
        }
    };
    ($($path:ident).+ ?) => {
        $crate::model::field::At::<Self, _> {
            maybe: true,
            get: |t| Clone::clone(&t.$($path).+),
            set: |t, value| t.$($path).+ = value,
        }
    };
}

/// One of the words of a table of words and values; with `?` it may be missing.
macro_rules! word {
    ($all:expr, $($path:ident).+) => {
        $crate::model::field::Kind::Word(
            const { &$crate::model::field::words(&$all) },
            $crate::model::field::At::<Self, _> {
                maybe: false,
                get: |t| $all.iter().position(|(_, value)| *value == t.$($path).+),
                set: |t, at| if let Some((_, value)) = at.and_then(|at| $all.get(at)) { t.$($path).+ = *value },
            },
        )
    };
    ($all:expr, $($path:ident).+ ?) => {
        $crate::model::field::Kind::Word(
            const { &$crate::model::field::words(&$all) },
            $crate::model::field::At::<Self, _> {
                maybe: true,
                get: |t| $all.iter().position(|(_, value)| Some(*value) == t.$($path).+),
                set: |t, at| t.$($path).+ = at.and_then(|at| $all.get(at)).map(|(_, value)| *value),
            },
        )
    };
}

/// A value that has its own way of being written; with `?` it may be missing.
macro_rules! parsed {
    ($($path:ident).+) => {
        $crate::model::field::Parsed::<Self> {
            get: |t| t.$($path).+.to_string(),
            set: |t, text| { t.$($path).+ = text.parse()?; Ok(()) },
        }
    };
    ($($path:ident).+ ?) => {
        $crate::model::field::Parsed::<Self> {
            get: |t| t.$($path).+.as_ref().map_or(String::new(), ToString::to_string),
            set: |t, text| {
                t.$($path).+ = if text.trim().is_empty() { None } else { Some(text.parse()?) };
                Ok(())
            },
        }
    };
}

/// The number of something else; with `?` there may be none. What is not found gets a number that nothing has.
macro_rules! of {
    ($noun:ident, $id:ident, $($path:ident).+) => {
        $crate::model::field::Kind::Of(
            $crate::model::field::Noun::$noun,
            $crate::model::field::At::<Self, _> {
                maybe: false,
                get: |t| Some(t.$($path).+.0),
                set: |t, id| t.$($path).+ = $id(id.unwrap_or(u32::MAX)),
            },
        )
    };
    ($noun:ident, $id:ident, $($path:ident).+ ?) => {
        $crate::model::field::Kind::Of(
            $crate::model::field::Noun::$noun,
            $crate::model::field::At::<Self, _> {
                maybe: true,
                get: |t| t.$($path).+.map(|id| id.0),
                set: |t, id| t.$($path).+ = id.map($id),
            },
        )
    };
}

pub(crate) use {at, of, parsed, word};
