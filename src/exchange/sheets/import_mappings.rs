//! The sheets `mappings` and `mapping_columns`.

use super::import::Import;
use super::read::fill;
use super::row::Cells;
use super::sheet::Sheet;
use crate::exchange::notice::Notice;
use crate::model::{MapField, MapInto, MappedColumn, Mapping, MappingId, validate};

impl Import {
    pub(super) fn read_mappings(&mut self, sheet: &Sheet) {
        for row in &sheet.rows {
            let id = MappingId(self.project.fresh_id());
            let new = || Mapping {
                id,
                key: String::new(),
                supplier: None,
                into: MapInto::default(),
                columns: Vec::new(),
                decimal: None,
                dates: None,
                lead_unit: None,
            };
            let make = |import: &Import, c: &Cells<'_>| fill(c, import, Mapping::FIELDS, new());
            let (mapping, sound) = self.row(sheet, row, make, |_, m| validate::key(&m.key));
            self.note(Mapping::FIELDS, &mapping, sheet, row);
            self.mappings.push((mapping, Notice::row(&sheet.file, row.number, ""), sound));
        }
    }

    pub(super) fn mapping_columns(&mut self, sheet: &Sheet) {
        for row in &sheet.rows {
            let make = |import: &Import, c: &Cells<'_>| {
                let column = MappedColumn { heading: String::new(), field: MapField::Key };
                (import.parent(c, "mapping", "mappings"), fill(c, import, MappedColumn::FIELDS, column))
            };
            let ((at, column), good) = self.row(sheet, row, make, |_, _| Ok(()));
            if good && let Some((mapping, _, true)) = at.and_then(|at| self.mappings.get_mut(at)) {
                mapping.columns.push(column);
                // What a later column is to blame for is said of it.
                if let Err(why) = mapping.check() {
                    mapping.columns.pop();
                    self.faults.push(Notice::row(&sheet.file, row.number, why));
                }
            }
        }
    }

    /// Checks each mapping with all its columns, when nothing else is wrong.
    pub(super) fn check_mappings(&mut self) {
        if self.faults.is_empty() {
            for (mapping, place, _) in &self.mappings {
                if let Err(message) = mapping.check() {
                    self.faults.push(Notice { message, ..place.clone() });
                }
            }
        }
    }
}
