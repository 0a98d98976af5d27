//! The sheet `parts`.

use super::import::Import;
use super::row::{Cells, build};
use crate::model::{Laying, LeadUnit, NeededAt, Part, PartId, validate};

impl Import {
    pub(super) fn parts(&mut self) {
        let Some(sheet) = self.take("parts") else { return };
        for row in &sheet.rows {
            let id = PartId(self.project.fresh_id());
            let make = |c: &Cells<'_>| {
                let option = c.refer("option", &self.option_keys);
                c.needed("option", option, 0);
                (option, c.refer("order", &self.order_keys), self.part(c, id))
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

    fn part(&self, c: &Cells<'_>, id: PartId) -> Part {
        let key = c.key("key");
        let name = c.name_or(&key);
        let usual = Part::new(id, &key, &name);
        Part {
            supplier: c.refer("supplier", &self.supplier_keys).map(|at| self.suppliers[at].id),
            phase: c.refer("phase", &self.phase_keys).map(|at| self.phases[at].id),
            at: c.word("at", &NeededAt::ALL).unwrap_or_default(),
            quantity: c.parsed("quantity").unwrap_or_default(),
            unit: c.verbatim("unit").unwrap_or_else(|| usual.unit.clone()),
            pack: c.number("pack"),
            laying: c.word("laying", &Laying::ALL),
            waste_pct: c.number("waste_pct").unwrap_or_default(),
            unit_price: c.money("unit_price").unwrap_or_default(),
            discount_pct: c.number("discount_pct").unwrap_or_default(),
            taxable: c.yes_no("taxable").unwrap_or(true),
            lead: c.whole("lead").unwrap_or(0),
            lead_unit: c.word("lead_unit", &LeadUnit::ALL).unwrap_or_default(),
            lead_min: c.whole("lead_min"),
            lead_max: c.whole("lead_max"),
            hold: c.whole("hold"),
            ordered_on: c.date("ordered_on"),
            promised_on: c.date("promised_on"),
            received_on: c.date("received_on"),
            installed_on: c.date("installed_on"),
            paid: c.money("paid").unwrap_or_default(),
            in_wall: c.yes_no("in_wall"),
            article: c.text("article"),
            ..usual
        }
    }
}
