//! Import: a folder of sheets becomes a project, whole or not at all.
//!
//! Sheets are read in the order of [`SHEETS`], and things are numbered row by row as they come. Every fault
//! in every row is reported. Names are kept letter by letter; keys, numbers and dates lose the spaces around them.

use super::layout::{Layout, SHEETS};
use super::read::fill;
use super::row::{Cells, Keys, build, listed};
use super::sheet::{Row, Sheet};
use crate::exchange::incoming::grid::MOST_BYTES;
use crate::exchange::notice::{Faults, ImportErrors, Notice};
use crate::exchange::progress::{Cancelled, Progress};
use crate::model::field::{Field, Kind};
use crate::model::{Gate, Mapping, Order, Phase, Project, Room, Selection, Supplier, file, validate};
use std::collections::HashMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Reads a folder of CSV sheets into a project, with warnings about what was left out.
///
/// # Errors
/// Every fault found, each with its file, row and column. Nothing is imported then.
pub fn import_folder(folder: &Path) -> Result<(Project, Vec<Notice>), ImportErrors> {
    import_folder_with(folder, &Progress::new())
}

/// As [`import_folder`], with a progress that can be watched and stopped; a step for each sheet, and one for what
/// they make together.
///
/// # Errors
/// As [`import_folder`], or the one fault that the user stopped it.
pub fn import_folder_with(
    folder: &Path,
    progress: &Progress,
) -> Result<(Project, Vec<Notice>), ImportErrors> {
    let stopped =
        |why: Cancelled| ImportErrors::from(Notice::file(&folder.display().to_string(), why.to_string()));
    let name = folder.canonicalize().ok().and_then(|f| Some(f.file_name()?.to_string_lossy().into_owned()));
    let mut faults = Faults::default();
    let mut notices = Vec::new();
    let mut sheets = Vec::new();
    let files = csv_files(folder, &mut faults, &mut notices)?;
    progress.add_steps(files.len() + 1);
    for (sheet, file, path) in files {
        progress.step().map_err(stopped)?;
        match file::read_at_most(&path, MOST_BYTES) {
            Ok(bytes) => match Sheet::from_csv(&sheet, &file, &bytes, &mut faults) {
                Some(sheet) => sheets.push(sheet),
                None if faults.is_about(&file) => {}
                None => {
                    let layout = Layout::of(&sheet).map_or(&[] as &[_], |l| l.columns);
                    let columns = listed(layout.iter().map(|c| c.name));
                    let message = format!(
                        "the file is empty; write a header such as {columns} in row 1, or remove the file"
                    );
                    faults.push(Notice::file(&file, message));
                }
            },
            Err(why) => faults.push(Notice::file(&path.display().to_string(), why.to_string())),
        }
    }
    let done = Import::run(sheets, name.as_deref().unwrap_or("Remodel"), faults, notices);
    progress.step().map_err(stopped)?;
    done
}

/// Makes a project from sheets that were read elsewhere. `name` is for a project whose settings name none.
///
/// # Errors
/// As [`import_folder`].
pub fn import_sheets(sheets: Vec<Sheet>, name: &str) -> Result<(Project, Vec<Notice>), ImportErrors> {
    Import::run(sheets, name, Faults::default(), Vec::new())
}

/// As [`import_sheets`], with what was found on the way to the sheets.
///
/// # Errors
/// As [`import_folder`], also when `faults` are there already.
pub(super) fn import_found(
    sheets: Vec<Sheet>,
    name: &str,
    faults: Faults,
    notices: Vec<Notice>,
) -> Result<(Project, Vec<Notice>), ImportErrors> {
    Import::run(sheets, name, faults, notices)
}

/// The sheets in a folder: name, file name and path, in the order of the layout.
fn csv_files(
    folder: &Path,
    faults: &mut Faults,
    notices: &mut Vec<Notice>,
) -> Result<Vec<(String, String, PathBuf)>, ImportErrors> {
    let whole = |why: std::io::Error| Notice::file(&folder.display().to_string(), why.to_string());
    let mut found: Vec<(String, String, PathBuf)> = Vec::new();
    for entry in fs::read_dir(folder).map_err(whole)? {
        let path = entry.map_err(whole)?.path();
        let file = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let Some(name) = file.to_lowercase().strip_suffix(".csv").map(str::to_owned) else { continue };
        if file.starts_with('.') {
            continue;
        }
        if Layout::of(&name).is_none() {
            let message = "this is no sheet of a project; it was left out".to_owned();
            notices.push(Notice::file(&file, message));
        } else if let Some((_, other, _)) = found.iter().find(|(known, _, _)| *known == name) {
            faults.push(Notice::file(&file, format!("this is the same sheet as {other}; keep one of them")));
        } else {
            found.push((name, file, path));
        }
    }
    found.sort_by_key(|(name, _, _)| SHEETS.iter().position(|s| s.name == name));
    notices.sort_by(|a, b| a.file.cmp(&b.file));
    Ok(found)
}

/// The work of an import: what has been made so far, and what is to be said about it.
pub(super) struct Import {
    pub project: Project,
    pub rooms: Vec<Room>,
    pub phases: Vec<Phase>,
    pub suppliers: Vec<Supplier>,
    pub selections: Vec<Selection>,
    /// Position of the selection, and of the option in it, by the rows of `options`.
    pub option_places: Vec<(usize, usize)>,
    /// Position of the selection, of the option in it, and of the part in that, by the rows of `parts`.
    pub part_places: Vec<(usize, usize, usize)>,
    /// Orders, whose lines are found with the parts.
    pub orders: Vec<Order>,
    pub gates: Vec<Gate>,
    /// Mappings with the place of their rows, and whether these could be read.
    pub mappings: Vec<(Mapping, Notice, bool)>,
    /// The keys of each sheet.
    keys: HashMap<&'static str, Keys>,
    pub faults: Faults,
    pub notices: Vec<Notice>,
}

impl Import {
    fn run(
        sheets: Vec<Sheet>,
        name: &str,
        faults: Faults,
        notices: Vec<Notice>,
    ) -> Result<(Project, Vec<Notice>), ImportErrors> {
        let mut import = Import {
            project: Project::new(name, crate::model::dates::FIRST_DAY),
            rooms: Vec::new(),
            phases: Vec::new(),
            suppliers: Vec::new(),
            selections: Vec::new(),
            option_places: Vec::new(),
            part_places: Vec::new(),
            orders: Vec::new(),
            gates: Vec::new(),
            mappings: Vec::new(),
            keys: SHEETS.iter().map(|layout| (layout.name, Keys::new(layout))).collect(),
            faults,
            notices,
        };
        import.mark_incomplete();
        let mut sheets = import.prepare(sheets);
        import.no_settings(&sheets);
        for layout in SHEETS {
            if let Some(sheet) = sheets.remove(layout.name) {
                (layout.read)(&mut import, &sheet);
            }
        }
        import.finish()
    }

    /// Keys of a sheet that could not be read are not looked for.
    fn mark_incomplete(&mut self) {
        for (name, keys) in &mut self.keys {
            let file = format!("{name}.csv");
            keys.whole = !self.faults.is_about(&file);
        }
    }

    /// The sheets whose headers will do; says what is wrong with the others.
    fn prepare(&mut self, sheets: Vec<Sheet>) -> HashMap<&'static str, Sheet> {
        let mut ready = HashMap::new();
        for sheet in sheets {
            let Some(layout) = Layout::of(&sheet.name) else {
                self.notices
                    .push(Notice::file(&sheet.file, "this is no sheet of a project; it was left out"));
                continue;
            };
            let good = self.check_header(&sheet, layout);
            if let Some(keys) = self.keys.get_mut(layout.name) {
                keys.whole &= good && sheet.whole;
                keys.file.clone_from(&sheet.file);
            }
            if good {
                ready.insert(layout.name, sheet);
            }
        }
        ready
    }

    /// A thing made from a row and checked, and whether nothing is wrong with it; what is, is noted.
    pub fn row<T>(
        &mut self,
        sheet: &Sheet,
        row: &Row,
        make: impl Fn(&Import, &Cells<'_>) -> T,
        check: impl Fn(&Import, &T) -> Result<(), String>,
    ) -> (T, bool) {
        let (thing, found) = build(sheet, row, |c| make(self, c), |thing| check(self, thing));
        let good = found.is_empty();
        self.faults.extend(found);
        (thing, good)
    }

    /// A thing of each row by its fields, with its key noted; each gets a number of its own.
    pub fn list<T>(
        &mut self,
        sheet: &Sheet,
        fields: &[Field<T>],
        new: impl Fn(u32) -> T,
        check: impl Fn(&Import, &T) -> Result<(), String>,
    ) -> Vec<T> {
        let mut things = Vec::with_capacity(sheet.rows.len());
        for row in &sheet.rows {
            let id = self.project.fresh_id();
            let (thing, _) = self.row(sheet, row, |import, c| fill(c, import, fields, new(id)), &check);
            self.note(fields, &thing, sheet, row);
            things.push(thing);
        }
        things
    }

    /// Whether something in a sheet could not be read, so that what hangs on it is not held against others.
    pub fn is_faulty(&self, sheet: &str) -> bool {
        let file = self.keys.get(sheet).map(|keys| keys.file.as_str());
        file.is_some_and(|file| self.faults.is_about(file))
    }

    /// Notes the key of a thing; one that is known already is a fault.
    pub fn note<T>(&mut self, fields: &[Field<T>], thing: &T, sheet: &Sheet, row: &Row) {
        let key = fields.iter().find_map(|field| match &field.kind {
            Kind::Key(at) if field.name == "key" => (at.get)(thing),
            _ => None,
        });
        if let (Some(key), Some(keys)) = (key, self.keys.get_mut(sheet.name.as_str())) {
            keys.note(&key, sheet, row.number, &mut self.faults);
        }
    }

    /// The position of the thing of a sheet whose key stands in a cell; a key that leads nowhere is a fault.
    pub fn at(&self, c: &Cells<'_>, column: &str, sheet: &str) -> Option<usize> {
        c.refer(column, self.keys.get(sheet)?)
    }

    /// The positions of all things of a sheet whose keys stand in a cell, with `;` between them.
    pub fn all_at(&self, c: &Cells<'_>, column: &str, sheet: &str) -> Vec<usize> {
        self.keys.get(sheet).map_or(Vec::new(), |keys| c.refer_all(column, keys))
    }

    /// The same, of a cell that every row needs.
    pub fn parent(&self, c: &Cells<'_>, column: &str, sheet: &str) -> Option<usize> {
        let at = self.at(c, column, sheet);
        c.needed(column, at, 0);
        at
    }

    fn check_header(&mut self, sheet: &Sheet, layout: &Layout) -> bool {
        let mut good = true;
        for (i, name) in sheet.columns.iter().enumerate() {
            if sheet.columns[..i].contains(name) && !name.is_empty() {
                let message = "the header names this column twice; remove or rename one";
                self.faults.push(Notice::cell(&sheet.file, 1, name, message));
                good = false;
            } else if name.is_empty() {
                if sheet.rows.iter().any(|r| r.cells.get(i).is_some_and(|c| !c.trim().is_empty())) {
                    let message = format!("column {} has no name in the header; it was left out", i + 1);
                    self.notices.push(Notice::row(&sheet.file, 1, message));
                }
            } else if layout.column(name).is_none() {
                let known = listed(layout.columns.iter().map(|c| c.name));
                let message = format!("this column is not known and was left out; known are {known}");
                self.notices.push(Notice::cell(&sheet.file, 1, name, message));
            }
        }
        let only = sheet.columns.first().filter(|_| sheet.columns.len() == 1);
        for column in layout.columns.iter().filter(|c| c.required) {
            if sheet.column(column.name).is_none() {
                let hint = match only {
                    Some(header) if header.contains([';', '\t']) => {
                        "; the cells seem to be parted by another sign, save the file with commas between them"
                    }
                    _ => "; add it to the header",
                };
                let message = format!("this column is missing{hint}");
                self.faults.push(Notice::cell(&sheet.file, 1, column.name, message));
                good = false;
            }
        }
        good
    }

    fn finish(mut self) -> Result<(Project, Vec<Notice>), ImportErrors> {
        self.check_mappings();
        self.project.rooms = Arc::new(self.rooms);
        self.project.phases = Arc::new(self.phases);
        self.project.suppliers = Arc::new(self.suppliers);
        self.project.orders = Arc::new(self.orders);
        self.project.selections = Arc::new(self.selections.into_iter().map(Arc::new).collect());
        self.project.gates = Arc::new(self.gates);
        self.project.mappings = Arc::new(self.mappings.into_iter().map(|(mapping, ..)| mapping).collect());
        self.project.reindex();
        if self.faults.is_empty() {
            // Every rule was asked row by row; this is the same question an opened file is asked.
            let faults = validate::document(&self.project);
            self.faults.extend(faults.into_iter().map(|fault| Notice::file("the sheets together", fault)));
        }
        if !self.faults.is_empty() {
            let order = |n: &Notice| {
                let file = n.file.to_lowercase();
                // In a folder a sheet is a file, in a workbook it stands behind the name of the file.
                let name =
                    file.rsplit_once(", sheet ").map_or(file.strip_suffix(".csv"), |(_, name)| Some(name));
                let sheet = SHEETS.iter().position(|s| Some(s.name) == name);
                (sheet.unwrap_or(usize::MAX), n.row.unwrap_or(0))
            };
            return Err(self.faults.into_errors(order));
        }
        Ok((self.project, self.notices))
    }
}
