//! Export: a project as sheets that import reads back to the same project, but for the numbers of its things.
//!
//! Every sheet is written, also one without rows. Limitation: a project with a circle of links or a negative duration
//! is written as it is, and import then says what to repair. A link that names no phase of the project is left out.

use super::import_gates::{KINDS, Kind as Needed};
use super::layout::SHEETS;
use super::sheet::Sheet;
use super::write::{cell, cells};
use crate::exchange::cell::{maybe, number, word};
use crate::exchange::file_set::{ExportError, Folder, NewFile};
use crate::exchange::progress::Progress;
use crate::model::field::{Field, Noun};
use crate::model::{
    Alternative, Condition, Fact, Need, PaidFor, Part, PartId, Payment, Permit, PhaseId, Project, Quote,
    Room, Rule, RuleOf, RuleWith, Scope, Settings, Shape, Swap,
};
use std::collections::HashMap;

/// Writes all sheets as CSV files into a folder, which is made when it is missing: all of them, or none.
///
/// # Errors
/// Names the file that could not be written; those that were there are whole.
pub fn export_folder<'a>(project: &Project, folder: impl Into<Folder<'a>>) -> Result<(), ExportError> {
    export_folder_with(project, folder, &Progress::new())
}

/// As [`export_folder`], with a progress that can be watched and stopped.
///
/// # Errors
/// As [`export_folder`], or says that the user stopped it.
pub fn export_folder_with<'a>(
    project: &Project,
    folder: impl Into<Folder<'a>>,
    progress: &Progress,
) -> Result<(), ExportError> {
    let folder = folder.into();
    progress.add_steps(SHEETS.len() * 2);
    let mut files = Vec::new();
    for sheet in export_sheets(project) {
        files.push(NewFile { path: folder.path.join(&sheet.file), bytes: sheet.to_csv().into_bytes() });
        progress.step()?;
    }
    folder.write(&files, progress)
}

/// All sheets of a project, in the order of the layout.
pub fn export_sheets(project: &Project) -> Vec<Sheet> {
    let lines = project.orders.iter().flat_map(|o| o.parts.iter().map(|part| (*part, o.key.as_str())));
    let tables = Tables { project, lines: lines.collect() };
    let sheet = |layout| {
        let mut sheet = Sheet::empty(layout);
        (layout.write)(&tables).into_iter().for_each(|cells| sheet.push(cells));
        sheet
    };
    SHEETS.iter().map(sheet).collect()
}

/// A project on its way into sheets.
pub(super) struct Tables<'a> {
    pub(super) project: &'a Project,
    /// The order that a part is a line of.
    lines: HashMap<PartId, &'a str>,
}

impl Tables<'_> {
    /// A row for each thing.
    pub(super) fn rows<'t, T: 't>(
        &self,
        fields: &[Field<T>],
        things: impl IntoIterator<Item = &'t T>,
    ) -> Vec<Vec<String>> {
        things.into_iter().map(|thing| self.row(fields, thing, |_| String::new())).collect()
    }

    /// A row for each thing of others, behind the key of the other.
    pub(super) fn under<'t, T: 't>(
        &self,
        fields: &[Field<T>],
        others: impl Iterator<Item = (&'t String, &'t Vec<T>)>,
    ) -> Vec<Vec<String>> {
        let row =
            |key: &str, thing| [vec![key.to_owned()], self.row(fields, thing, |_| String::new())].concat();
        others.flat_map(|(key, things)| things.iter().map(move |thing| row(key, thing))).collect()
    }

    /// The row of a thing; `apart` writes what its fields do not say.
    fn row<T>(&self, fields: &[Field<T>], thing: &T, apart: impl Fn(&str) -> String) -> Vec<String> {
        cells(self.project, fields, thing, apart)
    }

    fn key(&self, noun: Noun, id: u32) -> String {
        noun.key(self.project, id)
    }

    pub(super) fn settings(&self) -> Vec<Vec<String>> {
        let value = |field| cell(self.project, field, &self.project.settings);
        let fields = Settings::FIELDS.iter().filter(|field| field.kind.in_sheet());
        fields.map(|field| vec![field.name.to_owned(), value(field)]).collect()
    }

    pub(super) fn rooms(&self) -> Vec<Vec<String>> {
        let shape = |room: &Room, column: &str| match (&room.shape, column) {
            (Shape::Rectangle { length, .. }, "length") => number(*length),
            (Shape::Rectangle { width, .. }, "width") => number(*width),
            (Shape::Polygon(corners), "polygon") => {
                let corner = |(x, y): &(_, _)| format!("{} {}", number(*x), number(*y));
                corners.iter().map(corner).collect::<Vec<_>>().join("; ")
            }
            _ => String::new(),
        };
        self.project.rooms.iter().map(|r| self.row(Room::FIELDS, r, |column| shape(r, column))).collect()
    }

    pub(super) fn parts(&self) -> Vec<Vec<String>> {
        let parts = self.project.all_parts().map(|(_, option, part)| {
            self.row(Part::FIELDS, part, |column| match column {
                "option" => option.key.clone(),
                _ => maybe(self.lines.get(&part.id)),
            })
        });
        parts.collect()
    }

    pub(super) fn facts(&self) -> Vec<Vec<String>> {
        let mut rows = Vec::new();
        let mut put = |option: &str, part: &str, fact: &Fact| {
            let whose = vec![option.to_owned(), part.to_owned()];
            rows.push([whose, self.row(Fact::FIELDS, fact, |_| String::new())].concat());
        };
        for option in self.project.selections.iter().flat_map(|s| &s.options) {
            option.facts.iter().for_each(|fact| put(&option.key, "", fact));
            for part in &option.parts {
                part.facts.iter().for_each(|fact| put("", &part.key, fact));
            }
        }
        rows
    }

    pub(super) fn rules(&self) -> Vec<Vec<String>> {
        let apart = |rule: &Rule, column: &str| match (column, rule.of, &rule.with) {
            ("selection", RuleOf::Selection(id), _) => self.key(Noun::Selection, id.0),
            ("room", RuleOf::Room(id), _) => self.key(Noun::Room, id.0),
            ("other", _, Some(RuleWith::Fact(id, _))) => self.key(Noun::Selection, id.0),
            ("other_fact", _, Some(RuleWith::Fact(_, fact))) => fact.clone(),
            ("value", _, Some(RuleWith::Value(value))) => value.to_string(),
            _ => String::new(),
        };
        self.project.rules.iter().map(|r| self.row(Rule::FIELDS, r, |column| apart(r, column))).collect()
    }

    pub(super) fn swaps(&self) -> Vec<Vec<String>> {
        let reverses = |swap: &Swap| {
            let back = swap.reverses.and_then(|id| self.project.swaps.iter().find(|s| s.id == id));
            back.map_or(String::new(), |s| s.key.clone())
        };
        self.project.swaps.iter().map(|s| self.row(Swap::FIELDS, s, |_| reverses(s))).collect()
    }

    pub(super) fn quotes(&self) -> Vec<Vec<String>> {
        let apart = |quote: &Quote, column: &str| match column {
            "also" => self.phase_keys(&quote.also),
            // What is left out has a sheet of its own.
            _ => String::new(),
        };
        self.project.quotes.iter().map(|q| self.row(Quote::FIELDS, q, |column| apart(q, column))).collect()
    }

    pub(super) fn permits(&self) -> Vec<Vec<String>> {
        let row = |p: &Permit| self.row(Permit::FIELDS, p, |_| self.phase_keys(&p.phases));
        self.project.permits.iter().map(row).collect()
    }

    pub(super) fn alternatives(&self) -> Vec<Vec<String>> {
        let options = |a: &Alternative| {
            a.options.iter().map(|id| self.key(Noun::Option, id.0)).collect::<Vec<_>>().join("; ")
        };
        let row = |a: &Alternative| self.row(Alternative::FIELDS, a, |_| options(a));
        self.project.alternatives.iter().map(row).collect()
    }

    /// Keys of phases with `;` between them.
    fn phase_keys(&self, phases: &[PhaseId]) -> String {
        phases.iter().map(|id| self.key(Noun::Phase, id.0)).collect::<Vec<_>>().join("; ")
    }

    pub(super) fn payments(&self) -> Vec<Vec<String>> {
        let row = |payment: &Payment| {
            let of = match payment.of {
                PaidFor::Order(id) => vec![self.key(Noun::Order, id.0), String::new()],
                PaidFor::Part(id) => vec![String::new(), self.key(Noun::Part, id.0)],
            };
            [of, self.row(Payment::FIELDS, payment, |_| String::new())].concat()
        };
        self.project.payments.iter().map(row).collect()
    }

    pub(super) fn conditions(&self) -> Vec<Vec<String>> {
        let rows = self.project.gates.iter().flat_map(|gate| {
            let row =
                |c| [vec![gate.key.clone()], self.row(Condition::FIELDS, c, |column| self.need(c, column))];
            gate.conditions.iter().map(move |c| row(c).concat())
        });
        rows.collect()
    }

    /// What the columns of a condition say of what it needs.
    fn need(&self, condition: &Condition, column: &str) -> String {
        let needed = |kind| word(&KINDS, &kind);
        match (column, &condition.need) {
            ("need", Need::Finished(_)) => needed(Needed::Finished),
            ("need", Need::Confirmed { .. }) => needed(Needed::Confirmed),
            ("need", Need::PartsOf { presence, .. } | Need::Part { presence, .. })
            | ("need", Need::Selection { presence, .. }) => needed(Needed::Here(*presence)),
            ("phase", Need::Finished(phase) | Need::PartsOf { phase, .. }) => self.key(Noun::Phase, phase.0),
            ("selection", Need::Selection { selection, .. }) => self.key(Noun::Selection, selection.0),
            ("scope", Need::Selection { scope, .. }) => word(&Scope::ALL, scope),
            ("part", Need::Part { part, .. }) => self.key(Noun::Part, part.0),
            ("what", Need::Confirmed { what, .. }) => what.clone(),
            ("said_by", Need::Confirmed { said_by, .. }) => said_by.clone(),
            ("said_on", Need::Confirmed { said_on, .. }) => maybe(*said_on),
            _ => String::new(),
        }
    }
}
