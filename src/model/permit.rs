//! Permits that phases wait for.

use super::field::{Field, Kind, at, field};
use super::ids::{PermitId, PhaseId};
use super::project::Project;
use super::validate::{Checked, day, key, name};
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

/// Leave of the local office to do some of the work.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Permit {
    /// Its number in the document.
    pub id: PermitId,
    /// Its key in sheets and figures.
    pub key: String,
    /// What it is for.
    pub name: String,
    /// The number the office gave it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub number: String,
    /// The day it was asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub applied_on: Option<NaiveDate>,
    /// The day it was given, or on which the office says it will be.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub issued_on: Option<NaiveDate>,
    /// The last day it holds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub expires_on: Option<NaiveDate>,
    /// The phases that wait for it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub phases: Vec<PhaseId>,
}

impl Permit {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Permit>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("name", "Permit", Kind::Name(at!(name))),
        field("number", "Number", Kind::Text(at!(number))),
        field("applied_on", "Applied for on", Kind::Date(at!(applied_on?))),
        field("issued_on", "Issued on", Kind::Date(at!(issued_on?)))
            .hint("a day to come where the office names one"),
        field("expires_on", "Holds until", Kind::Date(at!(expires_on?))),
        field("phases", "", Kind::Apart(true)),
    ];

    /// A permit that nobody has applied for.
    pub fn new(id: PermitId) -> Permit {
        Permit {
            id,
            key: String::new(),
            name: String::new(),
            number: String::new(),
            applied_on: None,
            issued_on: None,
            expires_on: None,
            phases: Vec::new(),
        }
    }

    /// Whether it is there on a day.
    pub fn is_issued(&self, on: NaiveDate) -> bool {
        self.issued_on.is_some_and(|issued| issued <= on)
    }

    /// Checks a permit by itself.
    pub fn check(&self) -> Checked {
        key(&self.key)?;
        name(&self.name)?;
        day("applied", self.applied_on)?;
        day("issued", self.issued_on)?;
        day("expires", self.expires_on)?;
        if let (Some(applied), Some(issued)) = (self.applied_on, self.issued_on)
            && issued < applied
        {
            return Err(format!("it was issued on {issued}, before it was applied for on {applied}"));
        }
        if let (Some(issued), Some(expires)) = (self.issued_on, self.expires_on)
            && expires < issued
        {
            return Err(format!("it expires on {expires}, before it is issued on {issued}"));
        }
        Ok(())
    }

    /// Checks a permit against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        self.check()?;
        if self.phases.iter().any(|id| project.phase(*id).is_none()) {
            return Err("the permit names a phase that is not in the project".to_owned());
        }
        Ok(())
    }
}
