//! The sheets of people: `crews`, `crew_away`, `missed`, `permits`, `left_out`, `installments`, `changes`, `risks`,
//! `draws`.

use super::import::Import;
use super::import_settings::closed_range;
use super::read::fill;
use super::row::Cells;
use super::sheet::Sheet;
use crate::exchange::notice::Notice;
use crate::model::crew::check_away;
use crate::model::dates::FIRST_DAY;
use crate::model::{
    Change, ChangeId, Crew, CrewId, Draw, DrawId, Installment, LeftOut, Missed, Permit, PermitId, Phase,
    PhaseId, Risk, RiskId,
};
use std::sync::Arc;

impl Import {
    pub(super) fn read_crews(&mut self, sheet: &Sheet) {
        let new = |id| Crew::new(CrewId(id), "", "");
        self.project.crews = Arc::new(self.list(sheet, Crew::FIELDS, new, |_, crew| crew.check()));
    }

    pub(super) fn crew_away(&mut self, sheet: &Sheet) {
        for row in &sheet.rows {
            let make =
                |import: &Import, c: &Cells<'_>| (import.parent(c, "crew", "crews"), closed_range(import, c));
            let check = |_: &Import, (_, range): &(_, crate::model::ClosedRange)| {
                check_away(std::slice::from_ref(range))
            };
            let ((at, range), good) = self.row(sheet, row, make, check);
            let crews = Arc::make_mut(&mut self.project.crews);
            let Some(crew) = at.filter(|_| good).and_then(|at| crews.get_mut(at)) else { continue };
            crew.away.push(range);
            if let Err(why) = check_away(&crew.away) {
                crew.away.pop();
                self.faults.push(Notice::cell(&sheet.file, row.number, "from", why));
            }
        }
    }

    pub(super) fn missed(&mut self, sheet: &Sheet) {
        for row in &sheet.rows {
            let make = |import: &Import, c: &Cells<'_>| {
                let new = Missed { date: FIRST_DAY, why: String::new() };
                (import.parent(c, "phase", "phases"), fill(c, import, Missed::FIELDS, new))
            };
            let ((at, missed), good) = self.row(sheet, row, make, |_, (_, missed): &(_, Missed)| {
                Phase { missed: vec![missed.clone()], ..Phase::new(PhaseId(0), "phase", "", 0) }.check()
            });
            let Some(phase) = at.filter(|_| good).and_then(|at| self.phases.get_mut(at)) else { continue };
            if phase.missed.iter().any(|known| known.date == missed.date) {
                let message = format!("{} has this day already; keep one of the rows", phase.key);
                self.faults.push(Notice::cell(&sheet.file, row.number, "date", message));
            } else {
                phase.missed.push(missed);
            }
        }
    }

    pub(super) fn permits(&mut self, sheet: &Sheet) {
        let new = |id| Permit::new(PermitId(id));
        let mut permits = self.list(sheet, Permit::FIELDS, new, |_, permit| permit.check());
        for (permit, row) in permits.iter_mut().zip(&sheet.rows) {
            let make = |import: &Import, c: &Cells<'_>| import.phases_of(c, "phases");
            (permit.phases, _) = self.row(sheet, row, make, |_, _| Ok(()));
        }
        self.project.permits = Arc::new(permits);
    }

    pub(super) fn left_out(&mut self, sheet: &Sheet) {
        for row in &sheet.rows {
            let make = |import: &Import, c: &Cells<'_>| {
                (import.parent(c, "quote", "quotes"), fill(c, import, LeftOut::FIELDS, LeftOut::new("")))
            };
            // An empty cell was named already.
            let check = |_: &Import, (_, left): &(_, LeftOut)| {
                if left.what.trim().is_empty() { Ok(()) } else { left.check() }
            };
            let ((at, left), good) = self.row(sheet, row, make, check);
            let quotes = Arc::make_mut(&mut self.project.quotes);
            if let Some(quote) = at.filter(|_| good).and_then(|at| quotes.get_mut(at)) {
                quote.left_out.push(left);
            }
        }
    }

    pub(super) fn installments(&mut self, sheet: &Sheet) {
        let phases = self.with_phases();
        let amounts_known = !self.is_faulty("quotes");
        for row in &sheet.rows {
            let make = |import: &Import, c: &Cells<'_>| {
                let one = fill(c, import, Installment::FIELDS, Installment::new(""));
                // What names something that is not there, or cannot be read, was said already.
                let lost = ["phase", "pct", "amount", "at"].iter().any(|column| {
                    let read = match *column {
                        "phase" => one.phase.is_some(),
                        "pct" => one.pct.is_some(),
                        "amount" => one.amount.is_some(),
                        _ => one.at.is_some(),
                    };
                    c.is_filled(column) && !read
                });
                (import.parent(c, "quote", "quotes"), one, lost)
            };
            let check = |_: &Import, (_, one, lost): &(_, Installment, bool)| {
                if *lost || one.what.trim().is_empty() { Ok(()) } else { one.check_in(&phases) }
            };
            let ((at, one, lost), good) = self.row(sheet, row, make, check);
            let quotes = Arc::make_mut(&mut self.project.quotes);
            let Some(quote) = at.filter(|_| good && !lost).and_then(|at| quotes.get_mut(at)) else {
                continue;
            };
            let column = if one.pct.is_some() { "pct" } else { "amount" };
            quote.installments.push(one);
            if let Err(why) = quote.check_installments()
                && amounts_known
            {
                quote.installments.pop();
                self.faults.push(Notice::cell(&sheet.file, row.number, column, why));
            }
        }
    }

    pub(super) fn changes(&mut self, sheet: &Sheet) {
        let phases = self.with_phases();
        let new = |id| Change::new(ChangeId(id));
        let check = |_: &Import, change: &Change| {
            if change.what.trim().is_empty() { Ok(()) } else { change.check_in(&phases) }
        };
        let changes = self.list(sheet, Change::FIELDS, new, check);
        self.project.changes = Arc::new(changes);
    }

    pub(super) fn risks(&mut self, sheet: &Sheet) {
        let phases = self.with_phases();
        for row in &sheet.rows {
            let id = RiskId(self.project.fresh_id());
            let make = |import: &Import, c: &Cells<'_>| {
                let risk = fill(c, import, Risk::FIELDS, Risk::new(id));
                // A phase that could not be read was said already.
                let lost = c.is_filled("phase") && risk.phase.is_none();
                (risk, lost)
            };
            let check = |_: &Import, (risk, lost): &(Risk, bool)| {
                if *lost { Ok(()) } else { risk.check_in(&phases) }
            };
            let ((risk, _), _) = self.row(sheet, row, make, check);
            self.note(Risk::FIELDS, &risk, sheet, row);
            Arc::make_mut(&mut self.project.risks).push(risk);
        }
    }

    pub(super) fn draws(&mut self, sheet: &Sheet) {
        let mut known = self.with_phases();
        known.gates = Arc::new(self.gates.clone());
        let new = |id| Draw::new(DrawId(id));
        let draws = self.list(sheet, Draw::FIELDS, new, |_, draw| draw.check_in(&known));
        self.project.draws = Arc::new(draws);
    }
}
