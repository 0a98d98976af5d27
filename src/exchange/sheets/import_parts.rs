//! The sheet `parts`.

use super::import::Import;
use super::read::fill;
use super::row::Cells;
use super::sheet::Sheet;
use crate::model::{Part, PartId, validate};

impl Import {
    pub(super) fn parts(&mut self, sheet: &Sheet) {
        for row in &sheet.rows {
            let id = PartId(self.project.fresh_id());
            let make = |import: &Import, c: &Cells<'_>| {
                let option = import.parent(c, "option", "options");
                let order = import.at(c, "order", "orders");
                (option, order, fill(c, import, Part::FIELDS, Part::new(id, "", "")))
            };
            let ((option, order, mut part), good) =
                self.row(sheet, row, make, |_, (_, _, part)| validate::part_alone(part));
            if let Some(order) = order.filter(|_| good) {
                self.line_of(order, &mut part, sheet, row.number);
            }
            self.note(Part::FIELDS, &part, sheet, row);
            let place = option.and_then(|at| self.option_places.get(at).copied());
            let mut own = (usize::MAX, 0, 0);
            if let Some((s, o)) = place
                && let Some(option) = self.selections.get_mut(s).and_then(|s| s.options.get_mut(o))
            {
                own = (s, o, option.parts.len());
                option.parts.push(part);
            }
            self.part_places.push(own);
        }
    }
}
