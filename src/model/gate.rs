//! Gates: what must be true before a phase may start, and what inspectors found that has to be corrected.

use super::field::{Field, Kind, at, field, of};
use super::ids::{ConditionId, CorrectionId, GateId, PartId, PhaseId, SelectionId};
use super::phase::PhaseKind;
use super::project::Project;
use super::validate::{Checked, day, key, name};
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use std::collections::HashSet;
use std::sync::Arc;

/// A list of conditions before a phase may start. Without conditions it is open.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Gate {
    /// Its number.
    pub id: GateId,
    /// Its key in sheets and figures.
    pub key: String,
    /// The phase that waits for it.
    pub phase: PhaseId,
    /// What people call it.
    pub name: String,
    /// Why it is there and where the rule comes from: a section of a code, or `common practice`.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
    /// What must be true, all of it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub conditions: Vec<Condition>,
}

impl Gate {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Gate>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("phase", "", of!(Phase, PhaseId, phase)).required(),
        field("name", "", Kind::Name(at!(name))),
        field("source", "", Kind::Text(at!(source))),
    ];
}

/// One thing that must be true before the phase of a gate may start.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Condition {
    /// Its number.
    pub id: ConditionId,
    /// What must be true.
    pub need: Need,
    /// Who is to bring it about; for a confirmation, the trade that is asked.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub who: String,
    /// The day by which it should be true.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<NaiveDate>,
}

impl Condition {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Condition>] = &[
        field("need", "", Kind::Apart(false)).required(),
        field("phase", "", Kind::Apart(true)),
        field("selection", "", Kind::Apart(true)),
        field("part", "", Kind::Apart(true)),
        field("scope", "", Kind::Apart(false)),
        field("what", "", Kind::Apart(true)),
        field("who", "", Kind::Text(at!(who))),
        field("by", "", Kind::Date(at!(by?))),
        field("said_by", "", Kind::Apart(true)),
        field("said_on", "", Kind::Apart(false)),
    ];
}

/// What must be true.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Need {
    /// A phase is finished; an inspection is passed.
    Finished(PhaseId),
    /// The parts of a selection are here: those of the option that counts, so that a change of choice changes them.
    Selection {
        /// The selection.
        selection: SelectionId,
        /// Which of its parts.
        scope: Scope,
        /// On site or built in.
        presence: Presence,
    },
    /// Every part that counts and is needed for a phase is here, and what it needs is decided.
    PartsOf {
        /// The phase that needs them.
        phase: PhaseId,
        /// On site or built in.
        presence: Presence,
    },
    /// One part is here. It must be here whether its option counts or not.
    Part {
        /// The part.
        part: PartId,
        /// On site or built in.
        presence: Presence,
    },
    /// Somebody said that something is so.
    Confirmed {
        /// What is confirmed.
        what: String,
        /// Who said so; empty while open.
        #[serde(default, skip_serializing_if = "String::is_empty")]
        said_by: String,
        /// When; `None` while open.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        said_on: Option<NaiveDate>,
    },
}

/// How far a part must have come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum Presence {
    /// On site.
    #[default]
    OnSite,
    /// Built in.
    BuiltIn,
}

impl Presence {
    /// Both with their words in sheets.
    pub const ALL: [(&'static str, Presence); 2] =
        [("on_site", Presence::OnSite), ("built_in", Presence::BuiltIn)];

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Presence::OnSite => "on site",
            Presence::BuiltIn => "built in",
        }
    }
}

/// Which parts of a selection a condition means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Scope {
    /// All of them.
    #[default]
    All,
    /// Those needed for the phase of the gate or for a phase that comes before it by links. A part without a phase
    /// belongs to them, since nobody has said that it can come later.
    SoFar,
}

impl Scope {
    /// Both with their words in sheets.
    pub const ALL: [(&'static str, Scope); 2] = [("all", Scope::All), ("so_far", Scope::SoFar)];
}

/// Something an inspector wants corrected before the next visit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Correction {
    /// Its number.
    pub id: CorrectionId,
    /// The inspection.
    pub phase: PhaseId,
    /// The day of the visit that found it.
    pub found: NaiveDate,
    /// What to correct.
    pub what: String,
    /// Who puts it right.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub trade: String,
    /// The phase in which it is corrected, where that is work of its own or of another trade: the next visit waits for
    /// its finish.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fix_phase: Option<PhaseId>,
    /// The day it is to be done by.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub due: Option<NaiveDate>,
    /// The day it was done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub done: Option<NaiveDate>,
}

impl Correction {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Correction>] = &[
        field("phase", "", of!(Phase, PhaseId, phase)).required(),
        field("found", "Found on", Kind::Date(at!(found))).required().after("trade"),
        field("what", "What to correct", Kind::Text(at!(what))).required(),
        field("trade", "Who", Kind::Text(at!(trade))).hint("the trade that does it"),
        field("fix_phase", "Done within", of!(Phase, PhaseId, fix_phase?))
            .after("done")
            .none("no phase of its own"),
        field("due", "Due", Kind::Date(at!(due?))),
        field("done", "Done on", Kind::Date(at!(done?))),
    ];

    /// A correction of nothing yet.
    pub fn new(id: CorrectionId, phase: PhaseId, found: NaiveDate) -> Correction {
        let (what, trade) = (String::new(), String::new());
        Correction { id, phase, found, what, trade, fix_phase: None, due: None, done: None }
    }
}

impl Need {
    /// The phase it names.
    pub fn phase(&self) -> Option<PhaseId> {
        match self {
            Need::Finished(phase) | Need::PartsOf { phase, .. } => Some(*phase),
            _ => None,
        }
    }
}

impl Project {
    /// The correction with this number.
    pub fn correction(&self, id: CorrectionId) -> Option<&Correction> {
        self.corrections.iter().find(|c| c.id == id)
    }

    /// Whether what a need names is in the project.
    pub fn knows(&self, need: &Need) -> bool {
        match need {
            Need::Finished(phase) | Need::PartsOf { phase, .. } => self.phase(*phase).is_some(),
            Need::Selection { selection, .. } => self.selection(*selection).is_some(),
            Need::Part { part, .. } => self.part(*part).is_some(),
            Need::Confirmed { .. } => true,
        }
    }

    /// Takes out gates, conditions and corrections that name what is no longer in the project, as links go with their
    /// phases.
    pub(super) fn prune_gates(&mut self) {
        if self.gates.is_empty() && self.corrections.is_empty() {
            return;
        }
        let here = |id: PhaseId| self.phase(id).is_some();
        let known = |c: &Condition| self.knows(&c.need);
        if !self.gates.iter().all(|g| here(g.phase) && g.conditions.iter().all(known)) {
            let mut gates = self.gates.as_ref().clone();
            gates.retain(|g| here(g.phase));
            gates.iter_mut().for_each(|g| g.conditions.retain(known));
            self.gates = Arc::new(gates);
        }
        let here = |id: PhaseId| self.phase(id).is_some();
        let lost = |c: &Correction| c.fix_phase.is_some_and(|id| !here(id));
        if self.corrections.iter().any(|c| !here(c.phase) || lost(c)) {
            let mut corrections = self.corrections.as_ref().clone();
            corrections.retain(|c| here(c.phase));
            corrections.iter_mut().filter(|c| lost(c)).for_each(|c| c.fix_phase = None);
            self.corrections = Arc::new(corrections);
        }
    }
}

impl Gate {
    /// Checks a gate against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        if project.phase(self.phase).is_none() {
            return Err("the gate names a phase that is not in the project".to_owned());
        }
        self.check()?;
        self.conditions.iter().try_for_each(|c| c.check_in(project, self))
    }

    /// Checks a gate by itself, without its conditions.
    pub fn check(&self) -> Checked {
        key(&self.key)?;
        name(&self.name)?;
        let mut numbers = HashSet::new();
        if !self.conditions.iter().all(|c| numbers.insert(c.id)) {
            return Err(format!("two conditions of `{}` have the same number", self.key));
        }
        Ok(())
    }
}

impl Condition {
    /// Checks a condition against the project and its gate.
    pub fn check_in(&self, project: &Project, gate: &Gate) -> Checked {
        if !project.knows(&self.need) {
            return Err("a condition names something that is not in the project; pick another".to_owned());
        }
        self.check(gate)
    }

    /// Checks a condition by itself, with its gate.
    pub fn check(&self, gate: &Gate) -> Checked {
        day("the day of a condition", self.by)?;
        match &self.need {
            Need::Finished(phase) if *phase == gate.phase => {
                Err("a phase cannot wait for its own finish; pick another phase".to_owned())
            }
            Need::Confirmed { what, .. } if what.trim().is_empty() => {
                Err("a confirmation needs words: write what is to be confirmed".to_owned())
            }
            Need::Confirmed { said_by, said_on, .. } => {
                if said_on.is_none() && !said_by.is_empty() {
                    return Err(format!("{said_by} confirmed it, but on which day? Write the date too"));
                }
                if said_on.is_some() && said_by.trim().is_empty() {
                    return Err("it is confirmed, but by whom? Write who said so".to_owned());
                }
                day("the day of the confirmation", *said_on)
            }
            _ => Ok(()),
        }
    }
}

impl Correction {
    /// Checks a correction against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        match project.phase(self.phase) {
            None => return Err("the correction names a phase that is not in the project".to_owned()),
            Some(p) if p.kind != PhaseKind::Inspection => {
                return Err(format!("`{}` is no inspection; only an inspection has corrections", p.key));
            }
            Some(_) => {}
        }
        if self.fix_phase.is_some_and(|id| project.phase(id).is_none()) {
            return Err("the correction is to be done in a phase that is not in the project".to_owned());
        }
        self.check()
    }

    /// Checks a correction by itself.
    pub fn check(&self) -> Checked {
        if self.what.trim().is_empty() {
            return Err("a correction needs words: write what to correct".to_owned());
        }
        if self.fix_phase == Some(self.phase) {
            return Err(
                "an inspection cannot wait for its own finish; pick the phase that does the work".to_owned()
            );
        }
        day("the visit", Some(self.found))?;
        day("due", self.due)?;
        day("done", self.done)?;
        match self.done {
            Some(done) if done < self.found => Err(format!(
                "it was done on {done}, before it was found on {}; correct one of the dates",
                self.found
            )),
            _ => Ok(()),
        }
    }
}

/// Checks gates, conditions and corrections of a whole document.
pub(super) fn check_gates(project: &Project, check: &mut impl FnMut(&'static str, u32, &str, Checked)) {
    for g in project.gates.iter() {
        let fault = match project.phase(g.phase) {
            Some(_) => g.check(),
            None => Err("it names a phase that is not in the project".to_owned()),
        };
        check("gate", g.id.0, &g.key, fault);
        for (i, c) in g.conditions.iter().enumerate() {
            let fault = if project.knows(&c.need) {
                c.check(g)
            } else {
                Err("it names something that is not in the project".to_owned())
            };
            check("condition", c.id.0, &format!("{} {}", g.key, i + 1), fault);
        }
    }
    for c in project.corrections.iter() {
        check("correction", c.id.0, &c.id.0.to_string(), c.check_in(project));
    }
}
