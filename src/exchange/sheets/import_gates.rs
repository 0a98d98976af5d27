//! The sheets `gates`, `conditions` and `corrections`.

use super::import::Import;
use super::read::fill;
use super::row::Cells;
use super::sheet::Sheet;
use crate::model::dates::FIRST_DAY;
use crate::model::field::Noun;
use crate::model::{
    Condition, ConditionId, Correction, CorrectionId, Gate, GateId, Need, PartId, PhaseId, PhaseKind,
    Presence, Scope, SelectionId,
};
use std::sync::Arc;

/// What a condition needs, in the words of its column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Finished,
    Here(Presence),
    Confirmed,
}

/// The words of the column `need`.
pub(super) const KINDS: [(&str, Kind); 4] = [
    ("finished", Kind::Finished),
    ("on_site", Kind::Here(Presence::OnSite)),
    ("built_in", Kind::Here(Presence::BuiltIn)),
    ("confirmed", Kind::Confirmed),
];

/// A phase that no project has.
const NO_PHASE: PhaseId = PhaseId(u32::MAX);

impl Import {
    pub(super) fn read_gates(&mut self, sheet: &Sheet) {
        let new = |id| Gate {
            id: GateId(id),
            key: String::new(),
            name: String::new(),
            phase: NO_PHASE,
            source: String::new(),
            conditions: Vec::new(),
        };
        self.gates = self.list(sheet, Gate::FIELDS, new, |_, gate| gate.check());
    }

    pub(super) fn conditions(&mut self, sheet: &Sheet) {
        for row in &sheet.rows {
            let id = ConditionId(self.project.fresh_id());
            let make =
                |import: &Import, c: &Cells<'_>| (import.parent(c, "gate", "gates"), import.condition(c, id));
            let ((at, condition), _) = self.row(sheet, row, make, |import, (at, condition)| {
                match (at.and_then(|at| import.gates.get(at)), condition) {
                    (_, Err(why)) => Err(why.clone()),
                    // What could not be read was named already.
                    (_, Ok(condition)) if condition.need == Need::Finished(NO_PHASE) => Ok(()),
                    (Some(gate), Ok(condition)) => condition.check(gate),
                    (None, Ok(_)) => Ok(()),
                }
            });
            if let (Some(gate), Ok(condition)) = (at.and_then(|at| self.gates.get_mut(at)), condition) {
                gate.conditions.push(condition);
            }
        }
    }

    fn condition(&self, c: &Cells<'_>, id: ConditionId) -> Result<Condition, String> {
        let kind = c.needed("need", c.word("need", &KINDS), Kind::Confirmed);
        let phase = self.refer(c, "phase", Noun::Phase).map(PhaseId);
        let selection = self.refer(c, "selection", Noun::Selection).map(SelectionId);
        let part = self.refer(c, "part", Noun::Part).map(PartId);
        // A key that leads nowhere was named already, or stands in a sheet that could not be read.
        let lost = |column: &str, found: bool| !found && !c.text(column).trim().is_empty();
        if lost("phase", phase.is_some())
            || lost("selection", selection.is_some())
            || lost("part", part.is_some())
        {
            let need = Need::Finished(NO_PHASE);
            return Ok(Condition { id, need, who: String::new(), by: None });
        }
        let scope: Option<Scope> = c.word("scope", &Scope::ALL);
        let what = c.text("what");
        let (said_by, said_on) = (c.text("said_by"), c.date("said_on"));
        let said = !said_by.is_empty() || said_on.is_some() || !what.is_empty();
        let need = match (kind, phase, selection, part) {
            (Kind::Confirmed, None, None, None) if scope.is_none() => {
                Ok(Need::Confirmed { what, said_by, said_on })
            }
            (Kind::Confirmed, ..) => Err(
                "a confirmation names no phase, selection, part or scope; write what is confirmed under `what`",
            ),
            _ if said => Err("what, said_by and said_on go with `confirmed` only"),
            (Kind::Finished, Some(phase), None, None) if scope.is_none() => Ok(Need::Finished(phase)),
            (Kind::Finished, ..) => Err("`finished` names one phase and nothing else"),
            (Kind::Here(presence), None, Some(selection), None) => {
                Ok(Need::Selection { selection, scope: scope.unwrap_or_default(), presence })
            }
            (Kind::Here(_), ..) if scope.is_some() => Err("a scope goes with a selection only"),
            (Kind::Here(presence), Some(phase), None, None) => Ok(Need::PartsOf { phase, presence }),
            (Kind::Here(presence), None, None, Some(part)) => Ok(Need::Part { part, presence }),
            (Kind::Here(_), ..) => Err("write one of phase, selection or part: whose parts are needed"),
        };
        let need = need.map_err(str::to_owned)?;
        Ok(fill(c, self, Condition::FIELDS, Condition { id, need, who: String::new(), by: None }))
    }

    pub(super) fn corrections(&mut self, sheet: &Sheet) {
        let new = |id| Correction::new(CorrectionId(id), NO_PHASE, FIRST_DAY);
        let corrections = self.list(sheet, Correction::FIELDS, new, Import::correction_fault);
        self.project.corrections = Arc::new(corrections);
    }

    fn correction_fault(&self, correction: &Correction) -> Result<(), String> {
        match self.phases.iter().find(|p| p.id == correction.phase) {
            Some(p) if p.kind != PhaseKind::Inspection => {
                Err(format!("`{}` is no inspection; only an inspection has corrections", p.key))
            }
            _ => correction.check(),
        }
    }
}
