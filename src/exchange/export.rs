//! Export: a project as sheets that import reads back to the same project, but for the numbers of its things.
//!
//! Every sheet is written, also one without rows. Limitation: a project with a circle of links or a negative duration
//! is written as it is, and import then says what to repair.

use super::cell::{maybe, money, number, word};
use super::export_gates::hazard_words;
use super::export_mappings;
use super::export_orders;
use super::export_swaps;
use super::file_set::{ExportError, Folder, NewFile};
use super::import_budget::QUOTE_STATES;
use super::import_phases::RESULTS;
use super::import_settings::KEYS;
use super::layout::{Layout, SHEETS};
use super::progress::Progress;
use super::sheet::Sheet;
use super::sheets::write::cells;
use crate::model::{
    Currency, ExtraKind, LagUnit, LinkKind, Money, OpeningKind, OptionState, Part, PartId, PhaseId,
    PhaseKind, PhaseRole, Project, Shape, Supplier, TaxBy, Units,
};
use std::collections::HashMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// A file that could not be written.
#[derive(Debug, thiserror::Error)]
#[error("{path}: {source}")]
pub struct WriteError {
    /// The file or folder.
    pub path: PathBuf,
    /// What the system said.
    pub source: io::Error,
}

/// Makes a folder and those above it where they are missing.
pub(super) fn make_folder(path: &Path) -> Result<(), WriteError> {
    fs::create_dir_all(path).map_err(|source| WriteError { path: path.to_owned(), source })
}

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
    let tables = Tables {
        project,
        currency: project.settings.currency,
        phases: project.phases.iter().map(|p| (p.id, p.key.as_str())).collect(),
        lines: project
            .orders
            .iter()
            .flat_map(|o| o.parts.iter().map(|part| (*part, o.key.as_str())))
            .collect(),
    };
    SHEETS.iter().map(|layout| tables.sheet(layout)).collect()
}

pub(super) struct Tables<'a> {
    pub(super) project: &'a Project,
    currency: Currency,
    phases: HashMap<PhaseId, &'a str>,
    /// The order that a part is a line of.
    lines: HashMap<PartId, &'a str>,
}

impl Tables<'_> {
    fn sheet(&self, layout: &Layout) -> Sheet {
        let mut sheet = Sheet::empty(layout);
        let mut put = |cells: Vec<String>| sheet.push(cells);
        match layout.name {
            "settings" => self.settings().into_iter().for_each(put),
            "closed" => self.project.settings.closed.iter().for_each(|range| {
                put(vec![range.from.to_string(), range.to.to_string(), range.why.clone()]);
            }),
            "rooms" => self.rooms(put),
            "openings" => self.openings(put),
            "phases" => self.phases(put),
            "links" => self.links(put),
            "attempts" => self.attempts(put),
            "suppliers" => self.suppliers(put),
            "supplier_closed" => self.supplier_closed(put),
            "selections" => self.selections(put),
            "options" => self.options(put),
            "finishes" => self.project.finishes.iter().for_each(|f| {
                put(vec![f.finish.clone(), f.color.to_string()]);
            }),
            "parts" => self.parts(put),
            "quotes" => self.quotes(put),
            "facts" => export_swaps::facts(self.project, put),
            "rules" => export_swaps::rules(self.project, put),
            "swaps" => export_swaps::swaps(self.project, put),
            "returns" => export_swaps::returns(self.project, put),
            "orders" => export_orders::orders(self.project, put),
            "deliveries" => export_orders::deliveries(self.project, put),
            "payments" => export_orders::payments(self.project, put),
            "gates" => self.gates(put),
            "conditions" => self.conditions(put),
            "corrections" => self.corrections(put),
            "mappings" => export_mappings::mappings(self.project, put),
            "mapping_columns" => export_mappings::columns(self.project, put),
            _ => self.extras(put),
        }
        sheet
    }

    fn money(&self, amount: Money) -> String {
        money(amount, self.currency)
    }

    pub(super) fn phase(&self, id: Option<PhaseId>) -> String {
        id.and_then(|id| self.phases.get(&id)).map_or(String::new(), |key| (*key).to_owned())
    }

    fn settings(&self) -> Vec<Vec<String>> {
        let s = &self.project.settings;
        let value = |key: &str| match key {
            "name" => s.name.clone(),
            "start" => s.start.to_string(),
            "target_finish" => maybe(s.target_finish),
            "as_of" => maybe(s.as_of),
            "currency" => s.currency.to_string(),
            "holidays" => s.holidays.to_string(),
            "weekdays" => s.weekdays.to_string(),
            "hold" => s.hold.to_string(),
            "reinspect_wait" => s.reinspect_wait.to_string(),
            "contingency_pct" => number(s.contingency_pct),
            "tax_by" => word(&TaxBy::ALL, &s.tax_by),
            "units" => word(&Units::ALL, &s.units),
            _ => maybe(s.year_built),
        };
        KEYS.iter().map(|key| vec![(*key).to_owned(), value(key)]).collect()
    }

    fn rooms(&self, mut put: impl FnMut(Vec<String>)) {
        for room in self.project.rooms.iter() {
            let (length, width, polygon) = match &room.shape {
                Shape::Rectangle { length, width } => (number(*length), number(*width), String::new()),
                Shape::Polygon(corners) => {
                    let corners: Vec<String> =
                        corners.iter().map(|(x, y)| format!("{} {}", number(*x), number(*y))).collect();
                    (String::new(), String::new(), corners.join("; "))
                }
            };
            let height = number(room.height);
            put(vec![
                room.key.clone(),
                room.name.clone(),
                room.level.clone(),
                length,
                width,
                height,
                polygon,
            ]);
        }
    }

    fn openings(&self, mut put: impl FnMut(Vec<String>)) {
        for room in self.project.rooms.iter() {
            for opening in &room.openings {
                put(vec![
                    room.key.clone(),
                    word(&OpeningKind::ALL, &opening.kind),
                    number(opening.width),
                    number(opening.height),
                    opening.count.to_string(),
                ]);
            }
        }
    }

    fn phases(&self, mut put: impl FnMut(Vec<String>)) {
        for phase in self.project.phases.iter() {
            put(vec![
                phase.key.clone(),
                phase.name.clone(),
                phase.trade.clone(),
                word(&PhaseKind::ALL, &phase.kind),
                if phase.role.is_plain() { String::new() } else { word(&PhaseRole::ALL, &phase.role) },
                phase.days.to_string(),
                maybe(phase.days_min),
                maybe(phase.days_max),
                maybe(phase.not_before),
                maybe(phase.actual_start),
                maybe(phase.actual_finish),
                maybe(phase.days_left),
                maybe(phase.hazards.as_deref().map(hazard_words)),
            ]);
        }
    }

    fn links(&self, mut put: impl FnMut(Vec<String>)) {
        for link in self.project.links.iter() {
            put(vec![
                self.phase(Some(link.before)),
                self.phase(Some(link.after)),
                word(&LinkKind::ALL, &link.kind),
                link.lag.to_string(),
                word(&LagUnit::ALL, &link.unit),
            ]);
        }
    }

    fn attempts(&self, mut put: impl FnMut(Vec<String>)) {
        for phase in self.project.phases.iter() {
            for attempt in &phase.attempts {
                put(vec![
                    phase.key.clone(),
                    attempt.date.to_string(),
                    word(&RESULTS, &attempt.passed),
                    attempt.note.clone(),
                    maybe(attempt.correct_by),
                ]);
            }
        }
    }

    fn suppliers(&self, put: impl FnMut(Vec<String>)) {
        let row = |s| cells(self.project, Supplier::FIELDS, s, |_| String::new());
        self.project.suppliers.iter().map(row).for_each(put);
    }

    fn supplier_closed(&self, mut put: impl FnMut(Vec<String>)) {
        for supplier in self.project.suppliers.iter() {
            for range in &supplier.closed {
                let key = supplier.key.clone();
                put(vec![key, range.from.to_string(), range.to.to_string(), range.why.clone()]);
            }
        }
    }

    fn selections(&self, mut put: impl FnMut(Vec<String>)) {
        for selection in self.project.selections.iter() {
            put(vec![
                selection.key.clone(),
                self.project.room(selection.room).map_or(String::new(), |r| r.key.clone()),
                selection.category.clone(),
                selection.name.clone(),
                self.money(selection.allowance),
                maybe(selection.decide_on),
                selection.notes.clone(),
            ]);
        }
    }

    fn options(&self, mut put: impl FnMut(Vec<String>)) {
        for selection in self.project.selections.iter() {
            for option in &selection.options {
                put(vec![
                    selection.key.clone(),
                    option.key.clone(),
                    option.name.clone(),
                    option.finish.clone(),
                    word(&OptionState::ALL, &option.state),
                    option.notes.clone(),
                    option.link.clone(),
                    option.picture.clone(),
                ]);
            }
        }
    }

    fn parts(&self, mut put: impl FnMut(Vec<String>)) {
        for (_, option, part) in self.project.all_parts() {
            put(cells(self.project, Part::FIELDS, part, |column| match column {
                "option" => option.key.clone(),
                _ => maybe(self.lines.get(&part.id)),
            }));
        }
    }

    fn quotes(&self, mut put: impl FnMut(Vec<String>)) {
        for quote in self.project.quotes.iter() {
            put(vec![
                quote.key.clone(),
                self.phase(quote.phase),
                quote.trade.clone(),
                quote.scope.clone(),
                self.money(quote.amount),
                maybe(quote.allowance.map(|m| self.money(m))),
                word(&QUOTE_STATES, &quote.accepted),
                self.money(quote.paid),
                quote.leaves_out.clone(),
            ]);
        }
    }

    fn extras(&self, mut put: impl FnMut(Vec<String>)) {
        for extra in self.project.extras.iter() {
            put(vec![
                extra.key.clone(),
                extra.name.clone(),
                word(&ExtraKind::ALL, &extra.kind),
                self.phase(extra.phase),
                self.money(extra.amount),
                self.money(extra.paid),
            ]);
        }
    }
}
