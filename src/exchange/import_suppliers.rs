//! The sheets `suppliers` and `supplier_closed`.

use super::import::Import;
use super::import_settings::closed_range;
use super::row::{Cells, build};
use super::sheets::read::fill;
use crate::model::{Supplier, SupplierId, validate};

impl Import {
    pub(super) fn suppliers(&mut self) {
        if let Some(sheet) = self.take("suppliers") {
            for row in &sheet.rows {
                let id = SupplierId(self.project.fresh_id());
                let make = |c: &Cells<'_>| fill(c, self, Supplier::FIELDS, Supplier::new(id, "", ""));
                let (supplier, found) = build(&sheet, row, make, validate::supplier);
                self.faults.extend(found);
                let at = self.suppliers.len();
                self.supplier_keys.note(&supplier.key, at, &sheet, row.number, &mut self.faults);
                self.suppliers.push(supplier);
            }
        }
        let Some(sheet) = self.take("supplier_closed") else { return };
        for row in &sheet.rows {
            let make = |c: &Cells<'_>| {
                let at = c.refer("supplier", &self.supplier_keys);
                c.needed("supplier", at, 0);
                (at, closed_range(c))
            };
            let ((at, range), found) = build(&sheet, row, make, |(_, range)| {
                let closed = vec![range.clone()];
                validate::supplier(&Supplier { closed, ..Supplier::new(SupplierId(0), "supplier", "") })
            });
            self.faults.extend(found);
            if let Some(supplier) = at.and_then(|at| self.suppliers.get_mut(at)) {
                supplier.closed.push(range);
            }
        }
    }
}
