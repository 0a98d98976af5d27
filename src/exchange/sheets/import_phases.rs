//! The sheets `phases`, `links` and `attempts`.

use super::import::Import;
use super::read::fill;
use super::row::Cells;
use super::sheet::Sheet;
use crate::exchange::notice::Notice;
use crate::model::dates::FIRST_DAY;
use crate::model::graph::Circles;
use crate::model::{Attempt, LagUnit, Link, LinkId, LinkKind, Phase, PhaseId, PhaseKind};
use std::collections::HashMap;
use std::sync::Arc;

/// A link as positions of its phases, with the row that made it.
struct Placed {
    from: usize,
    to: usize,
    row: usize,
}

impl Import {
    pub(super) fn read_phases(&mut self, sheet: &Sheet) {
        let new = |id| Phase::new(PhaseId(id), "", "", None);
        self.phases = self.list(sheet, Phase::FIELDS, new, |_, phase| phase.check());
    }

    pub(super) fn links(&mut self, sheet: &Sheet) {
        let new = |id| Link {
            id: LinkId(id),
            before: PhaseId(u32::MAX),
            after: PhaseId(u32::MAX - 1),
            kind: LinkKind::default(),
            lag: 0,
            unit: LagUnit::default(),
        };
        let links = self.list(sheet, Link::FIELDS, new, |_, link| link.check());
        let places: HashMap<PhaseId, usize> = self.phases.iter().map(|p| p.id).zip(0..).collect();
        let ends = |link: &Link| Some((*places.get(&link.before)?, *places.get(&link.after)?));
        let placed = links.iter().zip(&sheet.rows).filter_map(|(link, row)| {
            let (from, to) = ends(link).filter(|(from, to)| from != to)?;
            Some(Placed { from, to, row: row.number })
        });
        let placed: Vec<Placed> = placed.collect();
        self.project.links = Arc::new(links);
        self.circles(&sheet.file, &placed);
    }

    /// Reports circles in the links that share no phase with one reported before; the first few, when there are many.
    fn circles(&mut self, file: &str, links: &[Placed]) {
        const MOST: usize = 50;
        let edges = links.iter().map(|l| (l.from, l.to));
        for circle in Circles::new(self.phases.len(), edges).take(MOST) {
            let Some(first) = circle.first().copied() else { return };
            let next = circle.get(1).copied().unwrap_or(first);
            let row = links.iter().find(|l| l.from == first && l.to == next).map(|l| l.row);
            let keys: Vec<&str> =
                circle.iter().chain([&first]).map(|i| self.phases[*i].key.as_str()).collect();
            let message = format!(
                "these phases wait for each other in a circle: {}; remove one of the links between them",
                keys.join(" > ")
            );
            self.faults.push(Notice { row, ..Notice::file(file, message) });
        }
    }

    pub(super) fn attempts(&mut self, sheet: &Sheet) {
        for row in &sheet.rows {
            let make = |import: &Import, c: &Cells<'_>| {
                let new = Attempt {
                    date: FIRST_DAY,
                    passed: false,
                    booked: false,
                    note: String::new(),
                    correct_by: None,
                };
                (import.parent(c, "phase", "phases"), fill(c, import, Attempt::FIELDS, new))
            };
            let ((at, attempt), _) = self.row(sheet, row, make, |import, (at, attempt)| {
                let kind = at.map_or(PhaseKind::Inspection, |at| import.phases[at].kind);
                let attempts = vec![attempt.clone()];
                Phase { kind, attempts, ..Phase::new(PhaseId(0), "phase", "", 0) }.check()
            });
            if let Some(at) = at {
                self.phases[at].attempts.push(attempt);
            }
        }
    }
}
