//! The sheets `gates`, `conditions` and `corrections`, written.

use super::cell::{maybe, word};
use super::export::Tables;
use super::import_gates::{KINDS, Kind};
use crate::model::{Hazard, Need, Scope};

/// The cell for what can hurt in a phase; `none` where somebody said that nothing does.
pub(super) fn hazard_words(hazards: &[Hazard]) -> String {
    let words: Vec<&str> = hazards.iter().map(|h| h.word()).collect();
    if words.is_empty() { "none".to_owned() } else { words.join(" ") }
}

impl Tables<'_> {
    pub(super) fn gates(&self, mut put: impl FnMut(Vec<String>)) {
        for gate in self.project.gates.iter() {
            put(vec![gate.key.clone(), self.phase(Some(gate.phase)), gate.name.clone(), gate.source.clone()]);
        }
    }

    pub(super) fn conditions(&self, mut put: impl FnMut(Vec<String>)) {
        for gate in self.project.gates.iter() {
            for condition in &gate.conditions {
                let mut cells = vec![gate.key.clone()];
                cells.extend(self.need(&condition.need));
                cells.insert(7, condition.who.clone());
                cells.insert(8, maybe(condition.by));
                put(cells);
            }
        }
    }

    /// The columns `need` to `what`, then `said_by` and `said_on`.
    fn need(&self, need: &Need) -> [String; 8] {
        let mut cells: [String; 8] = Default::default();
        let kind = match need {
            Need::Finished(phase) => {
                cells[1] = self.phase(Some(*phase));
                Kind::Finished
            }
            Need::PartsOf { phase, presence } => {
                cells[1] = self.phase(Some(*phase));
                Kind::Here(*presence)
            }
            Need::Selection { selection, scope, presence } => {
                cells[2] = self.project.selection(*selection).map_or(String::new(), |s| s.key.clone());
                cells[4] = word(&Scope::ALL, scope);
                Kind::Here(*presence)
            }
            Need::Part { part, presence } => {
                cells[3] = self.project.part(*part).map_or(String::new(), |(_, _, p)| p.key.clone());
                Kind::Here(*presence)
            }
            Need::Confirmed { what, said_by, said_on } => {
                cells[5].clone_from(what);
                cells[6].clone_from(said_by);
                cells[7] = maybe(*said_on);
                Kind::Confirmed
            }
        };
        cells[0] = word(&KINDS, &kind);
        cells
    }

    pub(super) fn corrections(&self, mut put: impl FnMut(Vec<String>)) {
        for correction in self.project.corrections.iter() {
            put(vec![
                self.phase(Some(correction.phase)),
                correction.found.to_string(),
                correction.what.clone(),
                correction.trade.clone(),
                self.phase(correction.fix_phase),
                maybe(correction.due),
                maybe(correction.done),
            ]);
        }
    }
}
