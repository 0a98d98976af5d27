//! Specs: what of a choice must be known before the thing itself must be there: the size that fixes an opening, the
//! power that fixes a circuit, the weight that fixes framing.

use super::facts::FactValue;
use super::field::{Field, Kind, at, field, of, parsed};
use super::ids::{OptionId, PartId, PhaseId};
use super::project::Project;
use super::selection::Selection;
use super::validate::{Checked, day};
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

/// Something of a selection that somebody must know by a day. It belongs to its selection and is known there by its
/// words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spec {
    /// What must be known: `circuit and amperes`, `opening in the cabinet`.
    pub what: String,
    /// The phase that waits for it: it must be known before the phase starts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub phase: Option<PhaseId>,
    /// The part that waits for it, of another selection or of this one: it must be known before that is ordered.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub part: Option<PartId>,
    /// Working days before that.
    #[serde(default, skip_serializing_if = "zero")]
    pub days_before: u32,
    /// The day it was told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub told_on: Option<NaiveDate>,
    /// Whom it was told.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub told_to: String,
    /// The fact of the options that says it, where there is one: `width`.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub fact: String,
    /// What was told: `30 in`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub told: Option<FactValue>,
    /// The option it was told of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub told_for: Option<OptionId>,
}

fn zero(n: &u32) -> bool {
    *n == 0
}

impl Spec {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Spec>] = &[
        field("what", "What must be known", Kind::Text(at!(what)))
            .required()
            .hint("for example circuit and amperes, width of the opening"),
        field("phase", "Before the phase", of!(Phase, PhaseId, phase?)),
        field("part", "Before the order of", of!(Part, PartId, part?)),
        field("days_before", "Working days before that", Kind::OpenDays(at!(days_before))).hint("0"),
        field("told_on", "Told on", Kind::Date(at!(told_on?))).section("Once it is told"),
        field("told_to", "Told to", Kind::Text(at!(told_to))).hint("for example the electrician"),
        field("fact", "The fact that says it", Kind::Text(at!(fact))).hint("for example width"),
        field("told", "What was told", Kind::Stated(parsed!(told?))).hint("for example 30 in"),
        field("told_for", "Told of the option", of!(Option, OptionId, told_for?)),
    ];

    /// Something to be known, with nobody waiting for it yet.
    pub fn new(what: &str) -> Spec {
        Spec {
            what: what.to_owned(),
            phase: None,
            part: None,
            days_before: 0,
            told_on: None,
            told_to: String::new(),
            fact: String::new(),
            told: None,
            told_for: None,
        }
    }

    /// Whether it is still to be told.
    pub fn is_open(&self) -> bool {
        self.told_on.is_none()
    }

    /// Checks it by itself.
    pub fn check(&self) -> Checked {
        if self.what.trim().is_empty() || self.what.chars().any(char::is_control) {
            return Err("it says not what must be known; write for example circuit and amperes".to_owned());
        }
        match (self.phase, self.part) {
            (None, None) => {
                return Err("nobody waits for it; name the phase or the part that does".to_owned());
            }
            (Some(_), Some(_)) => {
                return Err("it names a phase and a part; leave one of them empty".to_owned());
            }
            _ => {}
        }
        if self.days_before > 365 {
            return Err("it is known at most 365 working days before".to_owned());
        }
        if self.fact.trim() != self.fact {
            return Err("the name of the fact has spaces around it".to_owned());
        }
        day("told on", self.told_on)
    }

    /// Checks it against the project, and a selection that is not in it yet.
    pub fn check_in(&self, project: &Project, own: Option<&Selection>) -> Checked {
        if self.phase.is_some_and(|id| project.phase(id).is_none()) {
            return Err("it names a phase that is not in the project".to_owned());
        }
        if self.part.is_some_and(|id| project.part(id).is_none() && own.is_none_or(|s| s.part(id).is_none()))
        {
            return Err("it names a part that is not in the project".to_owned());
        }
        if self
            .told_for
            .is_some_and(|id| project.option(id).is_none() && own.is_none_or(|s| s.option(id).is_none()))
        {
            return Err("it was told of an option that is not in the project".to_owned());
        }
        self.check()
    }
}

/// Checks the specs of a selection by themselves: each, and that no two have the same words.
pub fn check_specs(specs: &[Spec]) -> Checked {
    for (at, spec) in specs.iter().enumerate() {
        spec.check()?;
        let same =
            |known: &&Spec| known.what == spec.what && (known.phase, known.part) == (spec.phase, spec.part);
        if specs[..at].iter().any(|known| same(&known)) {
            return Err(format!("`{}` stands there twice for the same; keep one", spec.what));
        }
    }
    Ok(())
}
