//! The punch list: what is still to be put right before the work is accepted, room by room and crew by crew.

use super::apply::{ActionError, Keyed, put};
use super::field::{Field, Kind, at, field, of};
use super::ids::{CrewId, PunchId, RoomId};
use super::project::Project;
use super::validate::{Checked, day, key};
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// One thing to be put right.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Punch {
    /// Its number.
    pub id: PunchId,
    /// Its key in sheets and figures.
    pub key: String,
    /// The room it is in; none where it is outside of all of them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub room: Option<RoomId>,
    /// Who puts it right; `None` while nobody has said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub crew: Option<CrewId>,
    /// What is wrong.
    pub what: String,
    /// A picture beside the project file.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub picture: String,
    /// The day it was found.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub found_on: Option<NaiveDate>,
    /// The day by which it is to be put right.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub due: Option<NaiveDate>,
    /// The day on which whoever puts it right said that it is done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub done_on: Option<NaiveDate>,
    /// The day on which it was looked at and found good.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub checked_on: Option<NaiveDate>,
}

/// How a thing on the punch list stands on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PunchStands {
    /// To be put right, and its day is past.
    Late,
    /// To be put right.
    Open,
    /// Said to be done, and not looked at yet.
    Done,
    /// Looked at and good.
    Checked,
}

impl PunchStands {
    /// Its word in figures and on papers.
    pub fn word(self) -> &'static str {
        match self {
            PunchStands::Late => "late",
            PunchStands::Open => "open",
            PunchStands::Done => "done",
            PunchStands::Checked => "checked",
        }
    }
}

impl Punch {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Punch>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("room", "Room", of!(Room, RoomId, room?)).none("outside of all rooms").after("what"),
        field("crew", "Who puts it right", of!(Crew, CrewId, crew?)).none("nobody has said").after("room"),
        field("what", "What is to be put right", Kind::Text(at!(what))).required(),
        field("picture", "Picture beside the project", Kind::Address(at!(picture)))
            .hint("a file such as pictures/grout.jpg"),
        field("found_on", "Found on", Kind::Date(at!(found_on?))),
        field("due", "Due", Kind::Date(at!(due?))),
        field("done_on", "Done on", Kind::Date(at!(done_on?))).section("Done"),
        field("checked_on", "Looked at and good on", Kind::Date(at!(checked_on?))),
    ];

    /// A thing of which nobody has said what it is.
    pub fn new(id: PunchId) -> Punch {
        Punch {
            id,
            key: String::new(),
            room: None,
            crew: None,
            what: String::new(),
            picture: String::new(),
            found_on: None,
            due: None,
            done_on: None,
            checked_on: None,
        }
    }

    /// How it stands on a day; `None` before it was found. What is dated later has not happened.
    pub fn stands(&self, on: NaiveDate) -> Option<PunchStands> {
        if self.found_on.is_some_and(|found| found > on) {
            return None;
        }
        let by = |day: Option<NaiveDate>| day.is_some_and(|day| day <= on);
        Some(match () {
            () if by(self.checked_on) => PunchStands::Checked,
            () if by(self.done_on) => PunchStands::Done,
            () if self.due.is_some_and(|due| due < on) => PunchStands::Late,
            () => PunchStands::Open,
        })
    }

    /// Calendar days since it should have been put right; zero where it is not late.
    pub fn days_late(&self, on: NaiveDate) -> i32 {
        let late = self.due.filter(|_| self.stands(on) == Some(PunchStands::Late));
        late.map_or(0, |due| i32::try_from((on - due).num_days()).unwrap_or(i32::MAX))
    }

    /// Whether somebody has still to put it right.
    pub fn is_open(&self, on: NaiveDate) -> bool {
        matches!(self.stands(on), Some(PunchStands::Late | PunchStands::Open))
    }

    /// Checks it by itself.
    pub fn check(&self) -> Checked {
        key(&self.key)?;
        if self.what.trim().is_empty() {
            return Err("say what is to be put right".to_owned());
        }
        day("found", self.found_on)?;
        day("due", self.due)?;
        day("done", self.done_on)?;
        day("checked", self.checked_on)?;
        super::look::check_picture(&self.picture)?;
        if let (Some(found), Some(due)) = (self.found_on, self.due)
            && due < found
        {
            return Err(format!("it is due on {due}, before it was found on {found}"));
        }
        if let (Some(found), Some(done)) = (self.found_on, self.done_on)
            && done < found
        {
            return Err(format!("it was done on {done}, before it was found on {found}"));
        }
        match (self.done_on, self.checked_on) {
            (Some(done), Some(checked)) if checked < done => {
                Err(format!("it was looked at on {checked}, before it was done on {done}"))
            }
            (None, Some(checked)) => {
                Err(format!("it was looked at on {checked}, and nobody has said when it was done"))
            }
            _ => Ok(()),
        }
    }

    /// Checks it against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        self.check()?;
        if self.room.is_some_and(|id| project.room(id).is_none()) {
            return Err("the punch list names a room that is not in the project".to_owned());
        }
        if self.crew.is_some_and(|id| project.crew(id).is_none()) {
            return Err("the punch list names a crew that is not in the project".to_owned());
        }
        Ok(())
    }
}

impl Keyed for Punch {
    type Id = PunchId;
    const WORD: &'static str = "thing on the punch list";
    fn id(&self) -> PunchId {
        self.id
    }
    fn key(&self) -> Option<&str> {
        Some(&self.key)
    }
}

impl Project {
    /// The thing on the punch list with this number.
    pub fn punch(&self, id: PunchId) -> Option<&Punch> {
        self.punch.iter().find(|p| p.id == id)
    }

    pub(super) fn put_punch(&mut self, punch: &Punch) -> Result<(), ActionError> {
        punch.check_in(self)?;
        self.claim(punch.id.0, self.punch(punch.id).is_some())?;
        put(&mut self.punch, punch.clone())
    }

    /// Notes the day on which it was done, or takes that back, and with it that it was looked at.
    pub(super) fn mark_punch_done(&mut self, id: PunchId, on: Option<NaiveDate>) -> Result<(), ActionError> {
        self.edit_punch(id, |p| {
            p.done_on = on;
            if on.is_none() {
                p.checked_on = None;
            }
        })
    }

    /// Notes the day on which it was found good, or takes that back. What nobody said was done was done by then.
    pub(super) fn mark_punch_checked(
        &mut self,
        id: PunchId,
        on: Option<NaiveDate>,
    ) -> Result<(), ActionError> {
        self.edit_punch(id, |p| {
            p.checked_on = on;
            p.done_on = p.done_on.or(on);
        })
    }

    fn edit_punch(&mut self, id: PunchId, edit: impl FnOnce(&mut Punch)) -> Result<(), ActionError> {
        let Some(mut punch) = self.punch(id).cloned() else {
            return Err(ActionError::Gone("thing on the punch list"));
        };
        edit(&mut punch);
        punch.check_in(self)?;
        put(&mut self.punch, punch)
    }

    /// Takes rooms that are gone out of what names them; what is wrong stays wrong.
    pub(super) fn prune_punch(&mut self) {
        let gone = |p: &Punch| p.room.is_some_and(|id| self.room(id).is_none());
        if !self.punch.iter().any(gone) {
            return;
        }
        let mut left = self.punch.as_ref().clone();
        left.iter_mut().filter(|p| gone(p)).for_each(|p| p.room = None);
        self.punch = Arc::new(left);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(n: u32) -> Option<NaiveDate> {
        NaiveDate::from_ymd_opt(2026, 9, n)
    }

    #[test]
    fn how_it_stands_is_what_had_happened_by_a_day() {
        let punch = Punch {
            what: "Touch up the sill".to_owned(),
            found_on: day(2),
            due: day(9),
            done_on: day(11),
            checked_on: day(14),
            ..Punch::new(PunchId(1))
        };
        let stands = |n| punch.stands(day(n).unwrap());
        assert_eq!(stands(1), None);
        assert_eq!(stands(2), Some(PunchStands::Open));
        assert_eq!(stands(9), Some(PunchStands::Open), "its day is its last");
        assert_eq!(stands(10), Some(PunchStands::Late));
        assert_eq!(stands(11), Some(PunchStands::Done));
        assert_eq!(stands(13), Some(PunchStands::Done));
        assert_eq!(stands(14), Some(PunchStands::Checked));
        let undated = Punch { found_on: None, due: None, done_on: None, checked_on: None, ..punch };
        assert_eq!(undated.stands(day(1).unwrap()), Some(PunchStands::Open));
    }
}
