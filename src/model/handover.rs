//! What stays with a thing when the work is over: its serial number, its warranty, its manual.

use super::apply::{ActionError, Keyed, put};
use super::field::{Field, Kind, at, field, of};
use super::ids::{HandoverId, PartId};
use super::project::Project;
use super::validate::{Checked, day};
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use std::collections::HashSet;
use std::sync::Arc;

/// The most bytes of a manual: it goes along with the project, and with the binder, wherever these go.
pub const MOST_OF_A_MANUAL: u64 = 100_000_000;

/// What is noted of a part for the years in which it is used.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Handover {
    /// Its number.
    pub id: HandoverId,
    /// The part.
    pub part: PartId,
    /// The number on the thing itself.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub serial: String,
    /// The last day of the warranty.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub warranty_until: Option<NaiveDate>,
    /// Its manual: a file beside the project, or a page of the web.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub manual: String,
    /// What else is to be known: a mix of paint, where spares lie.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

impl Handover {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Handover>] = &[
        field("part", "Part", of!(Part, PartId, part)).required(),
        field("serial", "Serial number", Kind::Text(at!(serial))).hint("as it stands on the thing"),
        field("warranty_until", "Warranty until", Kind::Date(at!(warranty_until?))),
        field("manual", "Manual", Kind::Address(at!(manual)))
            .hint("a file beside the project, or a page that begins with https://"),
        field("note", "Note", Kind::Lines(at!(note))).hint("a mix of paint, where spares lie"),
    ];

    /// Nothing yet, of a part.
    pub fn new(id: HandoverId, part: PartId) -> Handover {
        Handover {
            id,
            part,
            serial: String::new(),
            warranty_until: None,
            manual: String::new(),
            note: String::new(),
        }
    }

    /// Whether its manual is a page of the web, and no file.
    pub fn is_page(&self) -> bool {
        let lower = self.manual.to_lowercase();
        lower.starts_with("https://") || lower.starts_with("http://")
    }

    /// Checks it by itself.
    pub fn check(&self) -> Checked {
        day("the end of the warranty", self.warranty_until)?;
        if self.is_page() {
            return super::look::check_link(&self.manual);
        }
        super::look::check_beside("manual", &self.manual, "manuals/faucet.pdf")
            .map_err(|why| format!("{why}, or a web page that begins with https://"))
    }

    /// Checks it against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        self.check()?;
        match project.part(self.part) {
            Some(_) => Ok(()),
            None => Err("what is handed over names a part that is not in the project".to_owned()),
        }
    }
}

impl Keyed for Handover {
    type Id = HandoverId;
    const WORD: &'static str = "thing that is handed over";
    fn id(&self) -> HandoverId {
        self.id
    }
    fn key(&self) -> Option<&str> {
        None
    }
}

/// Why a part cannot have another one.
pub const TWICE: &str = "this part has its serial number, warranty and manual already; keep one of them";

impl Project {
    /// What is noted of a part for the years in which it is used.
    pub fn handover_of(&self, part: PartId) -> Option<&Handover> {
        self.handover.iter().find(|h| h.part == part)
    }

    pub(super) fn put_handover(&mut self, handover: &Handover) -> Result<(), ActionError> {
        handover.check_in(self)?;
        if self.handover_of(handover.part).is_some_and(|known| known.id != handover.id) {
            return Err(ActionError::Rule(TWICE.to_owned()));
        }
        self.claim(handover.id.0, self.handover.iter().any(|known| known.id == handover.id))?;
        put(&mut self.handover, handover.clone())
    }

    /// Takes out what was noted of parts that are gone.
    pub(super) fn prune_handover(&mut self) {
        if !self.handover.iter().all(|h| self.part(h.part).is_some()) {
            let mut left = self.handover.as_ref().clone();
            left.retain(|h| self.part(h.part).is_some());
            self.handover = Arc::new(left);
        }
    }
}

/// Checks the punch list and what is handed over with the house.
pub fn check_closing(project: &Project, check: &mut impl FnMut(&'static str, u32, &str, Checked)) {
    for punch in project.punch.iter() {
        check("thing on the punch list", punch.id.0, &punch.key, punch.check_in(project));
    }
    let mut known = HashSet::new();
    for handover in project.handover.iter() {
        let name = project.part(handover.part).map_or(String::new(), |(_, _, part)| part.key.clone());
        let once = if known.insert(handover.part) { Ok(()) } else { Err(TWICE.to_owned()) };
        check("handover", handover.id.0, &name, handover.check_in(project).and(once));
    }
}
