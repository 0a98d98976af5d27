//! Things that are made by their name alone, where something else asks for one.

use super::action::Action;
use super::crew::Crew;
use super::field::Noun;
use super::ids::{CrewId, PhaseId, RoomId, SupplierId, key_from_name};
use super::phase::Phase;
use super::project::Project;
use super::room::{Room, Shape, Use};
use super::supplier::Supplier;
use rust_decimal::Decimal;

impl Noun {
    /// What a new one is called in a list of those there are; `None` where more than a name is needed.
    pub fn new_word(self) -> Option<&'static str> {
        match self {
            Noun::Room => Some("New room"),
            Noun::Phase => Some("New phase"),
            Noun::Supplier => Some("New supplier"),
            Noun::Crew => Some("New crew"),
            Noun::Selection | Noun::Option | Noun::Part | Noun::Order | Noun::Gate => None,
        }
    }

    /// The change that makes one with a number and a name; all else of it is blank, since nobody has said it. A room
    /// stands on the level of the last one. `None` where more than a name is needed.
    pub fn make(self, project: &Project, id: u32, name: &str) -> Option<Action> {
        let name = name.trim();
        Some(match self {
            Noun::Room => {
                let key = key_from_name(name, project.rooms.iter().map(|r| r.key.as_str()));
                Action::PutRoom(Room {
                    id: RoomId(id),
                    key,
                    name: name.to_owned(),
                    level: project.rooms.last().map_or(String::new(), |r| r.level.clone()),
                    shape: Shape::default(),
                    height: Decimal::ZERO,
                    openings: Vec::new(),
                    used_as: Use::of_name(name),
                })
            }
            Noun::Phase => {
                let key = key_from_name(name, project.phases.iter().map(|p| p.key.as_str()));
                Action::PutPhase(Phase::new(PhaseId(id), &key, name, None))
            }
            Noun::Supplier => {
                let key = key_from_name(name, project.suppliers.iter().map(|s| s.key.as_str()));
                Action::PutSupplier(Supplier::new(SupplierId(id), &key, name))
            }
            Noun::Crew => {
                let key = key_from_name(name, project.crews.iter().map(|c| c.key.as_str()));
                Action::PutCrew(Crew::new(CrewId(id), &key, name))
            }
            Noun::Selection | Noun::Option | Noun::Part | Noun::Order | Noun::Gate => return None,
        })
    }
}
