//! The sheets `gates`, `conditions` and `corrections`.

use super::import::Import;
use super::row::{Cells, Keys, build};
use crate::model::dates::FIRST_DAY;
use crate::model::{
    Condition, ConditionId, Correction, CorrectionId, Gate, GateId, Need, PartId, PhaseId, PhaseKind,
    Presence, Scope,
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
    pub(super) fn gates(&mut self) {
        let mut gates = Vec::new();
        let mut keys = Keys::new("gate", "gates.csv");
        keys.whole = self.gates_whole;
        if let Some(sheet) = self.take("gates") {
            for (at, row) in sheet.rows.iter().enumerate() {
                let id = GateId(self.project.fresh_id());
                let (gate, found) = build(&sheet, row, |c| self.gate(c, id), Gate::check);
                self.faults.extend(found);
                keys.note(&gate.key, at, &sheet, row.number, &mut self.faults);
                gates.push(gate);
            }
        }
        if let Some(sheet) = self.take("conditions") {
            for row in &sheet.rows {
                let id = ConditionId(self.project.fresh_id());
                let make = |c: &Cells<'_>| {
                    let at = c.refer("gate", &keys);
                    c.needed("gate", at, 0);
                    (at, self.condition(c, id))
                };
                let ((at, condition), found) = build(&sheet, row, make, |(at, condition)| {
                    match (at.and_then(|at| gates.get(at)), condition) {
                        (_, Err(why)) => Err(why.clone()),
                        // What could not be read was named already.
                        (_, Ok(condition)) if condition.need == Need::Finished(NO_PHASE) => Ok(()),
                        (Some(gate), Ok(condition)) => condition.check(gate),
                        (None, Ok(_)) => Ok(()),
                    }
                });
                self.faults.extend(found);
                if let (Some(gate), Ok(condition)) = (at.and_then(|at| gates.get_mut(at)), condition) {
                    gate.conditions.push(condition);
                }
            }
        }
        self.project.gates = Arc::new(gates);
        self.corrections();
    }

    fn gate(&self, c: &Cells<'_>, id: GateId) -> Gate {
        let key = c.key("key");
        let phase = c.refer("phase", &self.phase_keys);
        c.needed("phase", phase, 0);
        Gate {
            id,
            name: c.name_or(&key),
            key,
            phase: phase.map_or(NO_PHASE, |at| self.phases[at].id),
            source: c.text("source"),
            conditions: Vec::new(),
        }
    }

    fn condition(&self, c: &Cells<'_>, id: ConditionId) -> Result<Condition, String> {
        let kind = c.needed("need", c.word("need", &KINDS), Kind::Confirmed);
        let phase = c.refer("phase", &self.phase_keys).map(|at| self.phases[at].id);
        let selection = c.refer("selection", &self.selection_keys).map(|at| self.selections[at].id);
        let part = c.refer("part", &self.part_keys).and_then(|at| self.part_id(at));
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
        need.map(|need| Condition { id, need, who: c.text("who"), by: c.date("by") }).map_err(str::to_owned)
    }

    fn part_id(&self, at: usize) -> Option<PartId> {
        let (selection, option, part) = *self.part_places.get(at)?;
        Some(self.selections.get(selection)?.options.get(option)?.parts.get(part)?.id)
    }

    fn corrections(&mut self) {
        let Some(sheet) = self.take("corrections") else { return };
        let mut corrections = Vec::with_capacity(sheet.rows.len());
        for row in &sheet.rows {
            let id = CorrectionId(self.project.fresh_id());
            let (correction, found) =
                build(&sheet, row, |c| self.correction(c, id), |c| self.correction_fault(c));
            self.faults.extend(found);
            corrections.push(correction);
        }
        self.project.corrections = Arc::new(corrections);
    }

    fn correction(&self, c: &Cells<'_>, id: CorrectionId) -> Correction {
        let phase = c.refer("phase", &self.phase_keys);
        c.needed("phase", phase, 0);
        Correction {
            id,
            phase: phase.map_or(NO_PHASE, |at| self.phases[at].id),
            found: c.needed("found", c.date("found"), FIRST_DAY),
            what: c.needed("what", Some(c.text("what")).filter(|t| !t.trim().is_empty()), "?".to_owned()),
            trade: c.text("trade"),
            fix_phase: c.refer("fix_phase", &self.phase_keys).map(|at| self.phases[at].id),
            due: c.date("due"),
            done: c.date("done"),
        }
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
