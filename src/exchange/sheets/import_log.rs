//! The sheets of what was agreed on and of what moved since: `log`, `kept_plans`, `kept_phases`, `kept_rooms`.

use super::import::Import;
use super::read::fill;
use super::row::Cells;
use super::sheet::Sheet;
use crate::exchange::notice::Notice;
use crate::model::dates::FIRST_DAY;
use crate::model::{Cause, KeptPhase, KeptPlan, KeptRoom, LogLine, Money, PhaseId, PlanId, RoomId, Standing};
use std::sync::Arc;

/// What a line or a plan has before its cells are read.
const NOWHERE: Standing = Standing { finish: None, total: Money::ZERO };

impl Import {
    pub(super) fn read_log(&mut self, sheet: &Sheet) {
        let mut log: Vec<Arc<LogLine>> = Vec::with_capacity(sheet.rows.len());
        let mut whole = true;
        for row in &sheet.rows {
            let stands = log.last().filter(|_| whole).map(|line| line.after());
            let make = |import: &Import, c: &Cells<'_>| {
                fill(c, import, LogLine::FIELDS, LogLine::new(FIRST_DAY, "", Cause::Other, NOWHERE, NOWHERE))
            };
            let check = |_: &Import, line: &LogLine| {
                // An empty cell was named already.
                if line.what.trim().is_empty() { Ok(()) } else { line.check() }
            };
            let (line, good) = self.row(sheet, row, make, check);
            // Behind a row that cannot be read nobody knows where the log stands.
            whole = good;
            if let Some(Err(why)) = stands.filter(|_| good).map(|stands| line.check_follows(stands)) {
                let same = stands.is_some_and(|stands| stands.finish == line.finish_before);
                let column = if same { "total_before" } else { "finish_before" };
                self.faults.push(Notice::cell(&sheet.file, row.number, column, why));
            }
            log.push(Arc::new(line));
        }
        self.project.log = Arc::new(log);
    }

    pub(super) fn kept_plans(&mut self, sheet: &Sheet) {
        let new = |id| KeptPlan::new(PlanId(id), "", FIRST_DAY, NOWHERE);
        let log_is_known = !self.is_faulty("log");
        let check = |import: &Import, plan: &KeptPlan| {
            let lines = import.project.log.len();
            plan.check()?;
            match (log_is_known, import.project.log.get(plan.lines as usize), import.project.log.last()) {
                (false, ..) => Ok(()),
                _ if plan.lines as usize > lines => {
                    Err(format!("it was kept after {} lines, and the sheet log has {lines}", plan.lines))
                }
                (_, Some(next), _) => next.check_follows(plan.standing()),
                (_, None, Some(last)) if last.after() != plan.standing() => {
                    Err("its finish and total are not those that the last line of the log left".to_owned())
                }
                _ => Ok(()),
            }
        };
        let plans = self.list(sheet, KeptPlan::FIELDS, new, check);
        self.project.kept_plans = Arc::new(plans);
    }

    pub(super) fn kept_phases(&mut self, sheet: &Sheet) {
        for row in &sheet.rows {
            let new = KeptPhase { phase: PhaseId(0), start: FIRST_DAY, finish: FIRST_DAY };
            let make = |import: &Import, c: &Cells<'_>| {
                (import.parent(c, "plan", "kept_plans"), fill(c, import, KeptPhase::FIELDS, new))
            };
            let ((at, kept), good) = self.row(sheet, row, make, |_, (_, kept)| kept.check());
            let plans = Arc::make_mut(&mut self.project.kept_plans);
            // A phase that is not there was named already.
            let good = good && kept.phase != PhaseId(u32::MAX);
            let Some(plan) = at.filter(|_| good).and_then(|at| plans.get_mut(at)) else { continue };
            if plan.phase(kept.phase).is_some() {
                let message = format!("{} has this phase already; keep one of the rows", plan.key);
                self.faults.push(Notice::cell(&sheet.file, row.number, "phase", message));
            } else {
                plan.phases.push(kept);
            }
        }
    }

    pub(super) fn kept_rooms(&mut self, sheet: &Sheet) {
        for row in &sheet.rows {
            let new = KeptRoom { room: RoomId(0), total: Money::ZERO };
            let make = |import: &Import, c: &Cells<'_>| {
                (import.parent(c, "plan", "kept_plans"), fill(c, import, KeptRoom::FIELDS, new))
            };
            let ((at, kept), good) = self.row(sheet, row, make, |_, _| Ok(()));
            let plans = Arc::make_mut(&mut self.project.kept_plans);
            let good = good && kept.room != RoomId(u32::MAX);
            let Some(plan) = at.filter(|_| good).and_then(|at| plans.get_mut(at)) else { continue };
            if plan.room(kept.room).is_some() {
                let message = format!("{} has this room already; keep one of the rows", plan.key);
                self.faults.push(Notice::cell(&sheet.file, row.number, "room", message));
            } else {
                plan.rooms.push(kept);
            }
        }
    }
}
