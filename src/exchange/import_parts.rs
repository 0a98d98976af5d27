//! The sheet `parts`.

use super::import::Import;
use super::row::{Cells, build};
use super::sheets::read::fill;
use crate::model::{Part, PartId, validate};

impl Import {
    pub(super) fn parts(&mut self) {
        let Some(sheet) = self.take("parts") else { return };
        for row in &sheet.rows {
            let id = PartId(self.project.fresh_id());
            let make = |c: &Cells<'_>| {
                let option = c.refer("option", &self.option_keys);
                c.needed("option", option, 0);
                let part = fill(c, self, Part::FIELDS, Part::new(id, "", ""));
                (option, c.refer("order", &self.order_keys), part)
            };
            let ((option, order, mut part), found) =
                build(&sheet, row, make, |(_, _, part)| validate::part_alone(part));
            let good = found.is_empty();
            self.faults.extend(found);
            if let Some(order) = order.filter(|_| good) {
                self.line_of(order, &mut part, &sheet, row.number);
            }
            let position = self.part_places.len();
            self.part_keys.note(&part.key, position, &sheet, row.number, &mut self.faults);
            let place = option.and_then(|at| self.option_places.get(at).copied());
            let mut own = (usize::MAX, 0, 0);
            if let Some((selection, option)) = place
                && let Some(selection) = self.selections.get_mut(selection)
                && let Some(option) = selection.options.get_mut(option)
            {
                own = place.map_or(own, |(s, o)| (s, o, option.parts.len()));
                option.parts.push(part);
            }
            self.part_places.push(own);
        }
    }
}
