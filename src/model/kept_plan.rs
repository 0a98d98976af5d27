//! Plans that are kept as they were agreed on: the finish, the total, the days of each phase and the money of each room
//! on that day. Nothing computed later changes them.

use super::field::{Field, Kind, at, field, of};
use super::ids::{PhaseId, PlanId, RoomId};
use super::log::Standing;
use super::money::Money;
use super::project::Project;
use super::validate::{Checked, day, key, name};
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

/// A plan as it was agreed on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeptPlan {
    /// Its number.
    pub id: PlanId,
    /// Its key in sheets and figures.
    pub key: String,
    /// What people call it.
    pub name: String,
    /// The as-of day on which it was kept.
    pub on: NaiveDate,
    /// The forecast finish then.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub finish: Option<NaiveDate>,
    /// The forecast total then.
    pub total: Money,
    /// How many lines the log had then. Those behind them lead from this plan to now.
    #[serde(default)]
    pub lines: u32,
    /// The days of its phases.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub phases: Vec<KeptPhase>,
    /// The money of its rooms. What the total is more than these is that of no room.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rooms: Vec<KeptRoom>,
}

/// The days of a phase in a kept plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeptPhase {
    /// The phase.
    pub phase: PhaseId,
    /// Its first day.
    pub start: NaiveDate,
    /// Its last day.
    pub finish: NaiveDate,
}

/// The money of a room in a kept plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeptRoom {
    /// The room.
    pub room: RoomId,
    /// Its forecast.
    pub total: Money,
}

impl KeptPlan {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<KeptPlan>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("name", "Name", Kind::Name(at!(name))),
        field("on", "", Kind::Date(at!(on))).required(),
        field("finish", "", Kind::Date(at!(finish?))),
        field("total", "", Kind::Money(at!(total))).required(),
        field("lines", "", Kind::Whole(at!(lines))),
    ];

    /// A plan without phases and rooms.
    pub fn new(id: PlanId, name: &str, on: NaiveDate, stands: Standing) -> KeptPlan {
        KeptPlan {
            id,
            key: String::new(),
            name: name.to_owned(),
            on,
            finish: stands.finish,
            total: stands.total,
            lines: 0,
            phases: Vec::new(),
            rooms: Vec::new(),
        }
    }

    /// Where it ends and what it comes to.
    pub fn standing(&self) -> Standing {
        Standing { finish: self.finish, total: self.total }
    }

    /// The days of a phase in it.
    pub fn phase(&self, id: PhaseId) -> Option<&KeptPhase> {
        self.phases.iter().find(|kept| kept.phase == id)
    }

    /// The money of a room in it.
    pub fn room(&self, id: RoomId) -> Option<Money> {
        self.rooms.iter().find(|kept| kept.room == id).map(|kept| kept.total)
    }

    /// Checks a plan by itself.
    pub fn check(&self) -> Checked {
        key(&self.key)?;
        name(&self.name)?;
        day("the day", Some(self.on))?;
        day("the finish", self.finish)?;
        if self.name.trim().is_empty() {
            return Err("a kept plan needs a name".to_owned());
        }
        self.phases.iter().try_for_each(KeptPhase::check)?;
        for (i, kept) in self.phases.iter().enumerate() {
            if self.phases[..i].iter().any(|other| other.phase == kept.phase) {
                return Err("the plan has one phase twice; keep one of the rows".to_owned());
            }
        }
        for (i, kept) in self.rooms.iter().enumerate() {
            if self.rooms[..i].iter().any(|other| other.room == kept.room) {
                return Err("the plan has one room twice; keep one of the rows".to_owned());
            }
        }
        Ok(())
    }

    /// Checks a plan against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        self.check()?;
        let lost = self.phases.iter().any(|kept| project.phase(kept.phase).is_none())
            || self.rooms.iter().any(|kept| project.room(kept.room).is_none());
        if lost {
            return Err("the plan names a phase or room that is not in the project".to_owned());
        }
        self.check_place(project)
    }

    /// Checks that the log stood where the plan ends when it was kept.
    pub fn check_place(&self, project: &Project) -> Checked {
        let all = project.log.len();
        if self.lines as usize > all {
            return Err(format!("it was kept after {} lines, and the log has {all}", self.lines));
        }
        let stood = project.log_stood(self.lines as usize);
        if stood.is_some_and(|stood| stood != self.standing()) {
            return Err("its finish and total are not those of the log where it was kept; lines must add up"
                .to_owned());
        }
        Ok(())
    }
}

impl KeptPhase {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<KeptPhase>] = &[
        field("phase", "", of!(Phase, PhaseId, phase)).required(),
        field("start", "", Kind::Date(at!(start))).required(),
        field("finish", "", Kind::Date(at!(finish))).required(),
    ];

    /// Checks a row by itself.
    pub fn check(&self) -> Checked {
        day("the start", Some(self.start))?;
        day("the finish", Some(self.finish))?;
        if self.finish < self.start {
            return Err(format!("the finish {} is before the start {}", self.finish, self.start));
        }
        Ok(())
    }
}

impl KeptRoom {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<KeptRoom>] = &[
        field("room", "", of!(Room, RoomId, room)).required(),
        field("total", "", Kind::Money(at!(total))).required(),
    ];
}
