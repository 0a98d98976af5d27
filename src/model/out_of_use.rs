//! Rooms and services that nobody can use while some of the work is done.

use super::apply::{ActionError, Keyed, put};
use super::field::{Field, field, of, word};
use super::ids::{OutOfUseId, PhaseId, RoomId};
use super::project::Project;
use super::validate::Checked;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// A room or a service, and the work that takes it away from those who live in the house: from the first day of a phase
/// to the last day of the same or a later one, days off between them included.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OutOfUse {
    /// Its number.
    pub id: OutOfUseId,
    /// The room,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub room: Option<RoomId>,
    /// or the service.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub service: Option<Service>,
    /// The phase with whose first day it begins.
    pub from_phase: PhaseId,
    /// The phase with whose last day it ends; the one it begins with, when not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to_phase: Option<PhaseId>,
}

/// What comes into a house through a pipe or a wire.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Service {
    /// Water.
    Water,
    /// Electrical power.
    Power,
    /// Heat.
    Heat,
    /// Gas.
    Gas,
}

impl Service {
    /// All services with their words in sheets.
    pub const ALL: [(&'static str, Service); 4] = [
        ("water", Service::Water),
        ("power", Service::Power),
        ("heat", Service::Heat),
        ("gas", Service::Gas),
    ];

    /// Its word.
    pub fn word(self) -> &'static str {
        Service::ALL.iter().find(|(_, service)| *service == self).map_or("", |(word, _)| word)
    }
}

impl OutOfUse {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<OutOfUse>] = &[
        field("room", "Room", of!(Room, RoomId, room?)).none("no room, but a service"),
        field("service", "or service", word!(Service::ALL, service?)).none("none"),
        field("from_phase", "From the start of", of!(Phase, PhaseId, from_phase)).required(),
        field("to_phase", "To the finish of", of!(Phase, PhaseId, to_phase?)).none("the same phase"),
    ];

    /// Nothing yet, from a phase on.
    pub fn new(id: OutOfUseId, from_phase: PhaseId) -> OutOfUse {
        OutOfUse { id, room: None, service: None, from_phase, to_phase: None }
    }

    /// The phase with whose last day it ends.
    pub fn last_phase(&self) -> PhaseId {
        self.to_phase.unwrap_or(self.from_phase)
    }

    /// What it is: the name of the room or of the service.
    pub fn what<'a>(&self, project: &'a Project) -> &'a str {
        let room = self.room.and_then(|id| project.room(id));
        room.map(|r| r.name.as_str()).or(self.service.map(Service::word)).unwrap_or("nothing")
    }

    /// Checks it by itself.
    pub fn check(&self) -> Checked {
        match (self.room, self.service) {
            (Some(_), Some(_)) => {
                Err("it is a room or a service that is out of use; keep one of them".to_owned())
            }
            (None, None) => Err("say which room or which service is out of use".to_owned()),
            _ => Ok(()),
        }
    }

    /// Checks it against the project.
    pub fn check_in(&self, project: &Project) -> Checked {
        self.check()?;
        if self.room.is_some_and(|id| project.room(id).is_none()) {
            return Err("what is out of use names a room that is not in the project".to_owned());
        }
        if [self.from_phase, self.last_phase()].iter().any(|id| project.phase(*id).is_none()) {
            return Err("what is out of use names a phase that is not in the project".to_owned());
        }
        Ok(())
    }
}

impl Keyed for OutOfUse {
    type Id = OutOfUseId;
    const WORD: &'static str = "row of what is out of use";
    fn id(&self) -> OutOfUseId {
        self.id
    }
    fn key(&self) -> Option<&str> {
        None
    }
}

impl Project {
    pub(super) fn put_out_of_use(&mut self, out: &OutOfUse) -> Result<(), ActionError> {
        out.check_in(self)?;
        self.claim(out.id.0, self.out_of_use.iter().any(|known| known.id == out.id))?;
        put(&mut self.out_of_use, out.clone())
    }

    /// Takes rooms and phases that are gone out of what names them. Of two phases the other stands for both; without a
    /// phase, or without its room, nothing is left.
    pub(super) fn prune_out_of_use(&mut self) {
        let room_gone = |out: &OutOfUse| out.room.is_some_and(|id| self.room(id).is_none());
        let gone = |id: PhaseId| self.phase(id).is_none();
        if !self.out_of_use.iter().any(|out| room_gone(out) || gone(out.from_phase) || gone(out.last_phase()))
        {
            return;
        }
        let mut left: Vec<OutOfUse> = Vec::new();
        for out in self.out_of_use.iter().filter(|out| !room_gone(out)) {
            match (gone(out.from_phase), gone(out.last_phase())) {
                (true, true) => {}
                (true, false) => {
                    left.push(OutOfUse { from_phase: out.last_phase(), to_phase: None, ..out.clone() });
                }
                (false, true) => left.push(OutOfUse { to_phase: None, ..out.clone() }),
                (false, false) => left.push(out.clone()),
            }
        }
        self.out_of_use = Arc::new(left);
    }
}

/// Checks what is out of use in a document.
pub fn check_out_of_use(project: &Project, check: &mut impl FnMut(&'static str, u32, &str, Checked)) {
    for out in project.out_of_use.iter() {
        // It has no key; its number keeps it apart from others.
        let name = format!("{} {}", out.what(project), out.id.0);
        check("out of use", out.id.0, &name, out.check_in(project));
    }
}
