//! The sheet `parts`.

use super::import::Import;
use super::read::fill;
use super::row::Cells;
use super::sheet::Sheet;
use crate::exchange::notice::Notice;
use crate::model::graph::find_circle;
use crate::model::{Part, PartId, PhaseId, validate};
use std::collections::HashMap;

impl Import {
    pub(super) fn parts(&mut self, sheet: &Sheet) {
        for row in &sheet.rows {
            let id = PartId(self.project.fresh_id());
            let make = |import: &Import, c: &Cells<'_>| {
                let option = import.parent(c, "option", "options");
                let order = import.at(c, "order", "orders");
                let part = fill(c, import, Part::FIELDS, Part::new(id, "", ""));
                let lost = c.is_filled("order_after") && part.order_after.is_none();
                (option, order, part, lost)
            };
            let ((option, order, mut part, _), good) = self.row(sheet, row, make, |_, (_, _, part, lost)| {
                // A phase that is not known was named already; its days say nothing more.
                let known = Part { order_after_days: None, ..part.clone() };
                validate::part_alone(if *lost { &known } else { part })
            });
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
        self.order_circles(sheet);
    }

    /// Reports parts that are ordered only after a phase which waits for what needs them.
    fn order_circles(&mut self, sheet: &Sheet) {
        let places: HashMap<PhaseId, usize> = self.phases.iter().map(|p| p.id).zip(0..).collect();
        let at = |id: PhaseId| places.get(&id).copied();
        let links = self.project.links.iter().filter_map(|l| Some((at(l.before)?, at(l.after)?)));
        let mut edges: Vec<(usize, usize)> = links.collect();
        if find_circle(self.phases.len(), edges.iter().copied()).is_some() {
            // Named with the links.
            return;
        }
        let tie_of = |n: usize| {
            let tie = self.part_at(n).and_then(|p| p.order_after.and_then(at).zip(p.phase.and_then(at)));
            tie.filter(|(from, to)| from != to)
        };
        let all = edges.iter().copied().chain((0..sheet.rows.len()).filter_map(tie_of));
        if find_circle(self.phases.len(), all).is_none() {
            // Which of them closes a circle is asked one by one only where one does.
            return;
        }
        for (n, row) in sheet.rows.iter().enumerate() {
            let tie = self.part_at(n).and_then(|p| p.order_after.and_then(at).zip(p.phase.and_then(at)));
            let Some((from, to)) = tie.filter(|(from, to)| from != to) else { continue };
            edges.push((from, to));
            if let Some(circle) = find_circle(self.phases.len(), edges.iter().copied()) {
                edges.pop();
                let keys: Vec<&str> =
                    circle.iter().chain(circle.first()).map(|i| self.phases[*i].key.as_str()).collect();
                let message = format!(
                    "it can be ordered only after a phase that waits for it, in a circle: {}; name an earlier phase or another link",
                    keys.join(" > ")
                );
                self.faults.push(Notice::cell(&sheet.file, row.number, "order_after", message));
            }
        }
    }
}
