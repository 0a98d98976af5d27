//! The sheets `mappings` and `mapping_columns`.

use super::import::Import;
use super::notice::Notice;
use super::row::{Cells, Keys, build};
use crate::model::{
    DateOrder, DecimalMark, LeadUnit, MapField, MapInto, MappedColumn, Mapping, MappingId, validate,
};
use std::sync::Arc;

impl Import {
    pub(super) fn mappings(&mut self) {
        let mut keys = Keys::new("mapping", "mappings.csv");
        // With the place of its row, and whether that could be read.
        let mut found: Vec<(Mapping, String, usize, bool)> = Vec::new();
        if let Some(sheet) = self.take("mappings") {
            for (at, row) in sheet.rows.iter().enumerate() {
                let id = MappingId(self.project.fresh_id());
                let make = |c: &Cells<'_>| Mapping {
                    id,
                    key: c.key("key"),
                    supplier: c.refer("supplier", &self.supplier_keys).map(|at| self.suppliers[at].id),
                    into: c.word("into", &MapInto::ALL).unwrap_or_default(),
                    columns: Vec::new(),
                    decimal: c.word("decimal", &DecimalMark::ALL),
                    dates: c.word("dates", &DateOrder::ALL),
                    lead_unit: c.word("lead_unit", &LeadUnit::ALL),
                };
                let (mapping, faults) = build(&sheet, row, make, |m: &Mapping| validate::key(&m.key));
                let sound = faults.is_empty();
                self.faults.extend(faults);
                keys.note(&mapping.key, at, &sheet, row.number, &mut self.faults);
                found.push((mapping, sheet.file.clone(), row.number, sound));
            }
        }
        if let Some(sheet) = self.take("mapping_columns") {
            for row in &sheet.rows {
                let make = |c: &Cells<'_>| {
                    let at = c.refer("mapping", &keys);
                    c.needed("mapping", at, 0);
                    let heading = c.verbatim("heading").filter(|h| !h.trim().is_empty());
                    let heading = c.needed("heading", heading, String::new());
                    let field = c.needed("field", c.word("field", &MapField::ALL), MapField::Key);
                    (at, MappedColumn { heading, field })
                };
                let ((at, column), faults) = build(&sheet, row, make, |_| Ok(()));
                if faults.is_empty()
                    && let Some((mapping, _, _, true)) = at.and_then(|at| found.get_mut(at))
                {
                    mapping.columns.push(column);
                    // What a later column is to blame for is said of it.
                    if let Err(why) = mapping.check() {
                        mapping.columns.pop();
                        self.faults.push(Notice::row(&sheet.file, row.number, why));
                    }
                }
                self.faults.extend(faults);
            }
        }
        if self.faults.is_empty() {
            for (mapping, file, row, _) in &found {
                if let Err(why) = mapping.check() {
                    self.faults.push(Notice::row(file, *row, why));
                }
            }
        }
        self.project.mappings = Arc::new(found.into_iter().map(|(mapping, ..)| mapping).collect());
    }
}
