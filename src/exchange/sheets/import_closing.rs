//! The sheets of the end of the work: `punch` and `handover`.

use super::import::Import;
use super::sheet::Sheet;
use crate::exchange::notice::Notice;
use crate::model::{Handover, HandoverId, PartId, Punch, PunchId, handover};
use std::collections::HashMap;
use std::sync::Arc;

/// A part that no project has.
const NO_PART: PartId = PartId(u32::MAX);

impl Import {
    pub(super) fn punch(&mut self, sheet: &Sheet) {
        let new = |id| Punch::new(PunchId(id));
        let check = |_: &Import, punch: &Punch| {
            // An empty cell was named already.
            if punch.what.trim().is_empty() { Ok(()) } else { punch.check() }
        };
        self.project.punch = Arc::new(self.list(sheet, Punch::FIELDS, new, check));
    }

    pub(super) fn handover(&mut self, sheet: &Sheet) {
        let new = |id| Handover::new(HandoverId(id), NO_PART);
        let all = self.list(sheet, Handover::FIELDS, new, |_, handover| handover.check());
        let mut seen: HashMap<PartId, usize> = HashMap::new();
        for (handover, row) in all.iter().zip(&sheet.rows) {
            if let Some(first) = seen.insert(handover.part, row.number).filter(|_| handover.part != NO_PART) {
                let message = format!("{}; the other one is in row {first}", handover::TWICE);
                self.faults.push(Notice::cell(&sheet.file, row.number, "part", message));
            }
        }
        self.project.handover = Arc::new(all);
    }
}
