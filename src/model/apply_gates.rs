//! Applying actions on gates and corrections.

use super::apply::{ActionError, put, refuse};
use super::gate::{Correction, Gate, Need};
use super::ids::{ConditionId, CorrectionId};
use super::phase::{Phase, PhaseKind};
use super::project::Project;
use chrono::NaiveDate;
use std::collections::HashSet;

impl Project {
    /// An inspection with corrections stays one.
    pub(super) fn keep_kind(&self, phase: &Phase) -> Result<(), ActionError> {
        let has = self.corrections.iter().any(|c| c.phase == phase.id);
        if has && phase.kind != PhaseKind::Inspection {
            return refuse("this inspection has corrections; remove them before it becomes something else");
        }
        Ok(())
    }

    pub(super) fn put_gate(&mut self, gate: &Gate) -> Result<(), ActionError> {
        gate.check_in(self)?;
        let known = self.gate(gate.id);
        let is_known = known.is_some();
        let own: HashSet<ConditionId> =
            known.map(|g| g.conditions.iter().map(|c| c.id).collect()).unwrap_or_default();
        self.claim(gate.id.0, is_known)?;
        for condition in &gate.conditions {
            if condition.id.0 == gate.id.0 {
                return refuse("a condition has the number of its gate");
            }
            self.claim(condition.id.0, own.contains(&condition.id))?;
        }
        put(&mut self.gates, gate.clone())
    }

    pub(super) fn confirm(
        &mut self,
        id: ConditionId,
        said: Option<&(String, NaiveDate)>,
    ) -> Result<(), ActionError> {
        let Some(mut gate) = self.condition(id).map(|(g, _)| g.clone()) else {
            return Err(ActionError::Gone("condition"));
        };
        for condition in gate.conditions.iter_mut().filter(|c| c.id == id) {
            let Need::Confirmed { said_by, said_on, .. } = &mut condition.need else {
                return refuse(
                    "this condition is not met by a word: it is met when the work or the part is there",
                );
            };
            *said_by = said.map_or(String::new(), |(who, _)| who.clone());
            *said_on = said.map(|(_, on)| *on);
        }
        gate.check_in(self)?;
        put(&mut self.gates, gate)
    }

    pub(super) fn put_correction(&mut self, correction: &Correction) -> Result<(), ActionError> {
        correction.check_in(self)?;
        self.claim(correction.id.0, self.correction(correction.id).is_some())?;
        put(&mut self.corrections, correction.clone())
    }

    pub(super) fn mark_corrected(
        &mut self,
        id: CorrectionId,
        done: Option<NaiveDate>,
    ) -> Result<(), ActionError> {
        let Some(mut correction) = self.correction(id).cloned() else {
            return Err(ActionError::Gone("correction"));
        };
        correction.done = done;
        correction.check_in(self)?;
        put(&mut self.corrections, correction)
    }
}
