//! Rooms: a floor shape, a height and openings.

use super::ids::RoomId;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

/// A space of the house. Lengths are in the project's unit, feet or metres.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Room {
    /// Its number.
    pub id: RoomId,
    /// Its key in sheets and figures.
    pub key: String,
    /// What people call it.
    pub name: String,
    /// The storey or group it is listed under.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub level: String,
    /// The floor.
    #[serde(default)]
    pub shape: Shape,
    /// Ceiling height.
    #[serde(default)]
    pub height: Decimal,
    /// Doors, windows and other openings in its walls.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub openings: Vec<Opening>,
}

/// The outline of a floor.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Shape {
    /// Two sides.
    Rectangle {
        /// The one side.
        length: Decimal,
        /// The other.
        width: Decimal,
    },
    /// Corners in order around any simple outline.
    Polygon(Vec<(Decimal, Decimal)>),
}

impl Default for Shape {
    fn default() -> Shape {
        Shape::Rectangle { length: Decimal::ZERO, width: Decimal::ZERO }
    }
}

/// An opening in a wall.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Opening {
    /// Door, window or opening without a leaf.
    pub kind: OpeningKind,
    /// Width of one.
    pub width: Decimal,
    /// Height of one.
    pub height: Decimal,
    /// How many of them.
    pub count: u32,
}

/// What fills an opening. Doors and cased openings reach the floor and interrupt the baseboard; windows do not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum OpeningKind {
    /// A door.
    Door,
    /// A window.
    Window,
    /// An opening to the floor with no door in it.
    Cased,
}

impl OpeningKind {
    /// All kinds with their words in sheets.
    pub const ALL: [(&'static str, OpeningKind); 3] =
        [("door", OpeningKind::Door), ("window", OpeningKind::Window), ("cased", OpeningKind::Cased)];

    /// Whether it reaches the floor.
    pub fn reaches_floor(self) -> bool {
        self != OpeningKind::Window
    }
}
