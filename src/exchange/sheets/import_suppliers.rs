//! The sheets `suppliers` and `supplier_closed`.

use super::import::Import;
use super::import_settings::closed_range;
use super::row::Cells;
use super::sheet::Sheet;
use crate::model::{Supplier, SupplierId, validate};

impl Import {
    pub(super) fn read_suppliers(&mut self, sheet: &Sheet) {
        let new = |id| Supplier::new(SupplierId(id), "", "");
        self.suppliers = self.list(sheet, Supplier::FIELDS, new, |_, supplier| validate::supplier(supplier));
    }

    pub(super) fn supplier_closed(&mut self, sheet: &Sheet) {
        for row in &sheet.rows {
            let make = |import: &Import, c: &Cells<'_>| {
                (import.parent(c, "supplier", "suppliers"), closed_range(import, c))
            };
            let ((at, range), _) = self.row(sheet, row, make, |_, (_, range)| {
                let closed = vec![range.clone()];
                validate::supplier(&Supplier { closed, ..Supplier::new(SupplierId(0), "supplier", "") })
            });
            if let Some(supplier) = at.and_then(|at| self.suppliers.get_mut(at)) {
                supplier.closed.push(range);
            }
        }
    }
}
