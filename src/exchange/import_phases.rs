//! The sheets `phases`, `links` and `attempts`.

use super::import::Import;
use super::notice::Notice;
use super::row::{Cells, build};
use super::sheet::Sheet;
use crate::model::dates::FIRST_DAY;
use crate::model::graph::find_circle;
use crate::model::{Attempt, Hazard, LagUnit, Link, LinkId, LinkKind, Phase, PhaseId, PhaseKind, PhaseRole};
use std::sync::Arc;

/// The results of an inspection with their words.
pub(super) const RESULTS: [(&str, bool); 2] = [("passed", true), ("failed", false)];

/// A link as positions of its phases, with the row that made it.
struct Placed {
    from: usize,
    to: usize,
    row: usize,
}

impl Import {
    pub(super) fn phases(&mut self) {
        if let Some(sheet) = self.take("phases") {
            for row in &sheet.rows {
                let id = PhaseId(self.project.fresh_id());
                let (phase, found) = build(&sheet, row, |c| phase(c, id), Phase::check);
                self.faults.extend(found);
                self.phase_keys.note(&phase.key, self.phases.len(), &sheet, row.number, &mut self.faults);
                self.phases.push(phase);
            }
        }
        if let Some(sheet) = self.take("links") {
            self.links(&sheet);
        }
        if let Some(sheet) = self.take("attempts") {
            self.attempts(&sheet);
        }
    }

    fn links(&mut self, sheet: &Sheet) {
        let mut links = Vec::with_capacity(sheet.rows.len());
        let mut placed = Vec::with_capacity(sheet.rows.len());
        for row in &sheet.rows {
            let id = LinkId(self.project.fresh_id());
            let make = |c: &Cells<'_>| {
                let end = |column: &str| {
                    let at = c.refer(column, &self.phase_keys);
                    c.needed(column, at, 0);
                    at
                };
                let (from, to) = (end("before"), end("after"));
                (from, to, self.link(c, id, from, to))
            };
            let ((from, to, link), found) = build(sheet, row, make, |(_, _, link)| link.check());
            self.faults.extend(found);
            if let Some((from, to)) = from.zip(to).filter(|(from, to)| from != to) {
                placed.push(Placed { from, to, row: row.number });
            }
            links.push(link);
        }
        self.project.links = Arc::new(links);
        self.circles(&sheet.file, &placed);
    }

    fn link(&self, c: &Cells<'_>, id: LinkId, from: Option<usize>, to: Option<usize>) -> Link {
        // An end that is not known gets a number that no phase has, so that it is not taken for the other end.
        let phase = |at: Option<usize>, none: u32| at.map_or(PhaseId(none), |at| self.phases[at].id);
        Link {
            id,
            before: phase(from, u32::MAX),
            after: phase(to, u32::MAX - 1),
            kind: c.word("type", &LinkKind::ALL).unwrap_or_default(),
            lag: c.whole("lag").unwrap_or(0),
            unit: c.word("lag_unit", &LagUnit::ALL).unwrap_or_default(),
        }
    }

    /// Reports circles in the links that share no phase with one reported before; the first few, when there are many.
    fn circles(&mut self, file: &str, links: &[Placed]) {
        const MOST: usize = 50;
        let mut named = vec![false; self.phases.len()];
        for _ in 0..MOST {
            let edges = links.iter().map(|l| (l.from, l.to)).filter(|(a, b)| !named[*a] && !named[*b]);
            let Some(circle) = find_circle(self.phases.len(), edges) else { return };
            let Some(first) = circle.first().copied() else { return };
            circle.iter().for_each(|i| named[*i] = true);
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

    fn attempts(&mut self, sheet: &Sheet) {
        for row in &sheet.rows {
            let make = |c: &Cells<'_>| {
                let at = c.refer("phase", &self.phase_keys);
                c.needed("phase", at, 0);
                (at, attempt(c))
            };
            let ((at, attempt), found) = build(sheet, row, make, |(at, attempt)| {
                let kind = at.map_or(PhaseKind::Inspection, |at| self.phases[at].kind);
                let attempts = vec![attempt.clone()];
                Phase { kind, attempts, ..Phase::new(PhaseId(0), "phase", "", 0) }.check()
            });
            self.faults.extend(found);
            if let Some(at) = at {
                self.phases[at].attempts.push(attempt);
            }
        }
    }
}

fn phase(c: &Cells<'_>, id: PhaseId) -> Phase {
    let key = c.key("key");
    Phase {
        id,
        name: c.name_or(&key),
        key,
        trade: c.text("trade"),
        kind: c.word("kind", &PhaseKind::ALL).unwrap_or_default(),
        role: c.word("role", &PhaseRole::ALL).unwrap_or_default(),
        days: days(c, "days").unwrap_or(0),
        days_min: days(c, "days_min"),
        days_max: days(c, "days_max"),
        not_before: c.date("not_before"),
        actual_start: c.date("actual_start"),
        actual_finish: c.date("actual_finish"),
        days_left: days(c, "days_left"),
        attempts: Vec::new(),
        hazards: hazards(c),
    }
}

/// Words of hazards with spaces between; `none` says that there are none, an empty cell that nobody has said.
fn hazards(c: &Cells<'_>) -> Option<Vec<Hazard>> {
    c.read("hazards", |text| {
        let words = text.split([' ', ',', ';']).filter(|w| !w.is_empty() && !w.eq_ignore_ascii_case("none"));
        let word = |word: &str| {
            let known = Hazard::ALL.iter().find(|(name, _)| name.eq_ignore_ascii_case(word));
            known.map(|(_, hazard)| *hazard).ok_or_else(|| {
                let all: Vec<&str> = Hazard::ALL.iter().map(|(name, _)| *name).collect();
                format!("`{word}` is not known here; write some of: {}, or none", all.join(", "))
            })
        };
        words.map(word).collect()
    })
}

/// A number of days; one too large for the rules stays so.
fn days(c: &Cells<'_>, column: &str) -> Option<i32> {
    c.whole::<u32>(column).map(|days| i32::try_from(days).unwrap_or(i32::MAX))
}

fn attempt(c: &Cells<'_>) -> Attempt {
    Attempt {
        date: c.needed("date", c.date("date"), FIRST_DAY),
        passed: c.needed("result", c.word("result", &RESULTS), false),
        note: c.text("note"),
        correct_by: c.date("correct_by"),
    }
}
