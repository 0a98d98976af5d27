//! The sheets `specs` and `typical`.

use super::import::Import;
use super::read::fill;
use super::row::Cells;
use super::sheet::Sheet;
use crate::exchange::notice::Notice;
use crate::model::goods::{TypicalLead, check_typical};
use crate::model::spec::check_specs;
use crate::model::{Goods, Spec};
use std::sync::Arc;

impl Import {
    pub(super) fn specs(&mut self, sheet: &Sheet) {
        for row in &sheet.rows {
            let make = |import: &Import, c: &Cells<'_>| {
                let spec = fill(c, import, Spec::FIELDS, Spec::new(""));
                let lost = (c.is_filled("phase") && spec.phase.is_none())
                    || (c.is_filled("part") && spec.part.is_none());
                (import.parent(c, "selection", "selections"), spec, lost)
            };
            // What names something that is not there was said already.
            let check =
                |_: &Import, (_, spec, lost): &(_, Spec, bool)| if *lost { Ok(()) } else { spec.check() };
            let ((at, spec, lost), good) = self.row(sheet, row, make, check);
            let Some(selection) = at.filter(|_| good && !lost).and_then(|at| self.selections.get_mut(at))
            else {
                continue;
            };
            selection.specs.push(spec);
            if let Err(why) = check_specs(&selection.specs) {
                selection.specs.pop();
                self.faults.push(Notice::cell(&sheet.file, row.number, "what", why));
            }
        }
    }

    pub(super) fn typical(&mut self, sheet: &Sheet) {
        let mut all: Vec<TypicalLead> = Vec::new();
        for row in &sheet.rows {
            let make =
                |import: &Import, c: &Cells<'_>| fill(c, import, TypicalLead::FIELDS, Goods::Tub.usual());
            let (own, good) = self.row(sheet, row, make, |_, own| own.check());
            if !good {
                continue;
            }
            all.push(own);
            if let Err(why) = check_typical(&all) {
                all.pop();
                self.faults.push(Notice::cell(&sheet.file, row.number, "goods", why));
            }
        }
        self.project.typical = Arc::new(all);
    }
}
