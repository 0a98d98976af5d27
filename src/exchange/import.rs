//! Import: a folder of sheets becomes a project, whole or not at all.
//!
//! Sheets are read in the order of [`SHEETS`], and things are numbered row by row as they come. Every fault
//! in every row is reported. Names are kept letter by letter; keys, numbers and dates lose the spaces around them.

use super::layout::{Layout, SHEETS};
use super::notice::{ImportErrors, Notice};
use super::progress::{Cancelled, Progress};
use super::row::{Keys, listed};
use super::sheet::Sheet;
use crate::model::{Order, Phase, Project, Room, Selection, Supplier, validate};
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
    let stopped = |why: Cancelled| ImportErrors {
        faults: vec![Notice::file(&folder.display().to_string(), why.to_string())],
    };
    let name = folder.canonicalize().ok().and_then(|f| Some(f.file_name()?.to_string_lossy().into_owned()));
    let mut faults = Vec::new();
    let mut notices = Vec::new();
    let mut sheets = Vec::new();
    let files = csv_files(folder, &mut faults, &mut notices)?;
    progress.add_steps(files.len() + 1);
    for (sheet, file, path) in files {
        progress.step().map_err(stopped)?;
        match fs::read(&path) {
            Ok(bytes) => match Sheet::from_csv(&sheet, &file, &bytes, &mut faults) {
                Some(sheet) => sheets.push(sheet),
                None if faults.iter().any(|f| f.file == file) => {}
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
    Import::run(sheets, name, Vec::new(), Vec::new())
}

/// As [`import_sheets`], with what was found on the way to the sheets.
///
/// # Errors
/// As [`import_folder`], also when `faults` are there already.
pub(super) fn import_found(
    sheets: Vec<Sheet>,
    name: &str,
    faults: Vec<Notice>,
    notices: Vec<Notice>,
) -> Result<(Project, Vec<Notice>), ImportErrors> {
    Import::run(sheets, name, faults, notices)
}

/// The sheets in a folder: name, file name and path, in the order of the layout.
fn csv_files(
    folder: &Path,
    faults: &mut Vec<Notice>,
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
    pub room_keys: Keys,
    pub phase_keys: Keys,
    pub supplier_keys: Keys,
    pub selection_keys: Keys,
    /// Positions in `option_places`.
    pub option_keys: Keys,
    /// Position of the selection, and of the option in it.
    pub option_places: Vec<(usize, usize)>,
    /// Positions in `part_places`.
    pub part_keys: Keys,
    /// Position of the selection, of the option in it, and of the part in that.
    pub part_places: Vec<(usize, usize, usize)>,
    pub order_keys: Keys,
    /// Orders, whose lines are found with the parts.
    pub order_list: Vec<Order>,
    /// Whether every row of the sheet `gates` could be read.
    pub gates_whole: bool,
    pub faults: Vec<Notice>,
    pub notices: Vec<Notice>,
    sheets: HashMap<&'static str, Sheet>,
}

impl Import {
    fn run(
        sheets: Vec<Sheet>,
        name: &str,
        faults: Vec<Notice>,
        notices: Vec<Notice>,
    ) -> Result<(Project, Vec<Notice>), ImportErrors> {
        let mut import = Import {
            project: Project::new(name, crate::model::dates::FIRST_DAY),
            rooms: Vec::new(),
            phases: Vec::new(),
            suppliers: Vec::new(),
            selections: Vec::new(),
            room_keys: Keys::new("room", "rooms.csv"),
            phase_keys: Keys::new("phase", "phases.csv"),
            supplier_keys: Keys::new("supplier", "suppliers.csv"),
            selection_keys: Keys::new("selection", "selections.csv"),
            option_keys: Keys::new("option", "options.csv"),
            option_places: Vec::new(),
            part_keys: Keys::new("part", "parts.csv"),
            part_places: Vec::new(),
            order_keys: Keys::new("order", "orders.csv"),
            order_list: Vec::new(),
            gates_whole: true,
            faults,
            notices,
            sheets: HashMap::new(),
        };
        import.mark_incomplete();
        import.prepare(sheets);
        import.settings();
        import.rooms();
        import.phases();
        import.suppliers();
        import.orders();
        import.selections();
        import.parts();
        import.budget();
        import.swaps_and_facts();
        import.deliveries_and_payments();
        import.gates();
        import.mappings();
        import.finish()
    }

    /// Keys of a sheet that could not be read are not looked for.
    fn mark_incomplete(&mut self) {
        for layout in SHEETS {
            let file = format!("{}.csv", layout.name);
            let broken = self.faults.iter().any(|f| f.file.eq_ignore_ascii_case(&file));
            if let Some(keys) = self.keys_of(layout.name).filter(|_| broken) {
                keys.whole = false;
            }
            self.gates_whole &= !(broken && layout.name == "gates");
        }
    }

    /// Takes the sheets whose headers will do, and says what is wrong with the others.
    fn prepare(&mut self, sheets: Vec<Sheet>) {
        for sheet in sheets {
            let Some(layout) = Layout::of(&sheet.name) else {
                self.notices
                    .push(Notice::file(&sheet.file, "this is no sheet of a project; it was left out"));
                continue;
            };
            let good = self.check_header(&sheet, layout);
            if let Some(keys) = self.keys_of(layout.name) {
                keys.whole &= good && sheet.whole;
                keys.file.clone_from(&sheet.file);
            }
            self.gates_whole &= (good && sheet.whole) || layout.name != "gates";
            if good {
                self.sheets.insert(layout.name, sheet);
            }
        }
    }

    fn keys_of(&mut self, sheet: &str) -> Option<&mut Keys> {
        Some(match sheet {
            "rooms" => &mut self.room_keys,
            "phases" => &mut self.phase_keys,
            "suppliers" => &mut self.supplier_keys,
            "selections" => &mut self.selection_keys,
            "options" => &mut self.option_keys,
            "parts" => &mut self.part_keys,
            "orders" => &mut self.order_keys,
            _ => return None,
        })
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

    /// A sheet to be read; it is there once.
    pub fn take(&mut self, name: &str) -> Option<Sheet> {
        self.sheets.remove(name)
    }

    fn finish(mut self) -> Result<(Project, Vec<Notice>), ImportErrors> {
        self.project.rooms = Arc::new(self.rooms);
        self.project.phases = Arc::new(self.phases);
        self.project.suppliers = Arc::new(self.suppliers);
        self.project.selections = Arc::new(self.selections.into_iter().map(Arc::new).collect());
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
            self.faults.sort_by_key(order);
            return Err(ImportErrors { faults: self.faults });
        }
        Ok((self.project, self.notices))
    }
}
