//! The sheets `suppliers` and `supplier_closed`.

use super::import::Import;
use super::import_settings::closed_range;
use super::row::{Cells, build};
use crate::model::{Freight, Supplier, SupplierId, Weekdays, validate};

impl Import {
    pub(super) fn suppliers(&mut self) {
        if let Some(sheet) = self.take("suppliers") {
            for row in &sheet.rows {
                let id = SupplierId(self.project.fresh_id());
                let (supplier, found) = build(&sheet, row, |c| supplier(c, id), validate::supplier);
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

fn supplier(c: &Cells<'_>, id: SupplierId) -> Supplier {
    let key = c.key("key");
    Supplier {
        id,
        name: c.name_or(&key),
        key,
        weekdays: c.parsed("weekdays").unwrap_or(Weekdays::MON_TO_FRI),
        delivery_weekdays: c.parsed("delivery_weekdays"),
        ship_days: c.whole("ship_days").unwrap_or(0),
        tax_pct: c.number("tax_pct").unwrap_or_default(),
        freight: Freight {
            flat: c.money("freight_flat").unwrap_or_default(),
            per_item: c.money("freight_per_item").unwrap_or_default(),
            pct: c.number("freight_pct").unwrap_or_default(),
            free_over: c.money("freight_free_over"),
            taxed: c.yes_no("freight_taxed").unwrap_or(false),
        },
        deposit_pct: c.number("deposit_pct").unwrap_or_default(),
        net_days: c.whole("net_days").unwrap_or(0),
        min_order: c.money("min_order"),
        restock_pct: c.number("restock_pct").unwrap_or_default(),
        return_days: c.whole("return_days"),
        closed: Vec::new(),
    }
}
