//! Rooms: a floor shape, a height and openings.

use super::field::{Field, Kind, at, field, word};
use super::ids::RoomId;
use super::validate::{Checked, key, name, not_negative};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

/// A space of the house. Lengths are in the project's unit, feet or meters.
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
    /// What those who live in the house use it for.
    #[serde(default, rename = "use", skip_serializing_if = "Use::is_other")]
    pub used_as: Use,
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

impl Room {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Room>] = &[
        field("key", "", Kind::Key(at!(key))).required(),
        field("name", "", Kind::Name(at!(name))),
        field("level", "", Kind::Text(at!(level))),
        field("length", "", Kind::Apart(false)),
        field("width", "", Kind::Apart(false)),
        field("height", "", Kind::Number(at!(height))),
        field("polygon", "", Kind::Apart(false)),
        field("use", "", word!(Use::ALL, used_as)),
    ];
}

/// What a room is used for every day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum Use {
    /// To wash, with a toilet.
    Bath,
    /// To cook.
    Kitchen,
    /// To sleep.
    Bedroom,
    /// To do the wash.
    Laundry,
    /// Something else, or nobody has said.
    #[default]
    Other,
}

impl Use {
    /// All uses with their words in sheets.
    pub const ALL: [(&'static str, Use); 5] = [
        ("bath", Use::Bath),
        ("kitchen", Use::Kitchen),
        ("bedroom", Use::Bedroom),
        ("laundry", Use::Laundry),
        ("other", Use::Other),
    ];

    /// Whether nothing is known to be missed when the room is out of use.
    pub fn is_other(&self) -> bool {
        *self == Use::Other
    }

    /// The use that a new room has by whole words of its name, to begin with; its form says it, and changes it. A room
    /// with a toilet and a sink alone is no bath.
    pub fn of_name(name: &str) -> Use {
        let lower = name.to_lowercase();
        let has =
            |words: &[&str]| lower.split(|c: char| !c.is_alphanumeric()).any(|word| words.contains(&word));
        match () {
            () if has(&["half", "powder", "closet", "pantry"]) => Use::Other,
            () if has(&["bath", "bathroom"]) => Use::Bath,
            () if has(&["kitchen"]) => Use::Kitchen,
            () if has(&["bedroom"]) => Use::Bedroom,
            () if has(&["laundry"]) => Use::Laundry,
            () => Use::Other,
        }
    }

    /// Its word.
    pub fn word(self) -> &'static str {
        Use::ALL.iter().find(|(_, of)| *of == self).map_or("", |(word, _)| word)
    }
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

impl Shape {
    /// The corners of the floor in order around it, to the right and down from the upper left; none where a side is not
    /// measured.
    pub fn corners(&self) -> Vec<(Decimal, Decimal)> {
        match self {
            Shape::Rectangle { length, width } if length.is_zero() || width.is_zero() => Vec::new(),
            Shape::Rectangle { length, width } => {
                let none = Decimal::ZERO;
                vec![(none, none), (*length, none), (*length, *width), (none, *width)]
            }
            Shape::Polygon(corners) => corners.clone(),
        }
    }
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

impl Opening {
    /// Its fields, in the order of the columns.
    pub const FIELDS: &'static [Field<Opening>] = &[
        field("kind", "", word!(OpeningKind::ALL, kind)).required(),
        field("width", "", Kind::Number(at!(width))).required(),
        field("height", "", Kind::Number(at!(height))).required(),
        field("count", "", Kind::Whole(at!(count))),
    ];
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

impl Room {
    /// Checks a room by itself.
    pub fn check(&self) -> Checked {
        key(&self.key)?;
        name(&self.name)?;
        let length = |what: &str, value: Decimal| {
            not_negative(what, value)?;
            if value > Decimal::from(100_000) {
                return Err(format!("{what} {value} is above 100,000; check the number"));
            }
            Ok(())
        };
        match &self.shape {
            Shape::Rectangle { length: l, width: w } => {
                length("length", *l)?;
                length("width", *w)?;
            }
            Shape::Polygon(corners) => {
                for (x, y) in corners {
                    length("corner", x.abs())?;
                    length("corner", y.abs())?;
                }
                check_outline(corners)?;
            }
        }
        length("height", self.height)?;
        for opening in &self.openings {
            length("opening width", opening.width)?;
            length("opening height", opening.height)?;
            if opening.count > 1_000 {
                return Err(format!("{} openings of one kind are too many; check the count", opening.count));
            }
        }
        Ok(())
    }
}

/// Checks that corners make a floor.
pub fn check_outline(corners: &[(Decimal, Decimal)]) -> Checked {
    if corners.len() < 3 {
        return Err("a floor outline needs at least three corners".to_owned());
    }
    if crosses_itself(corners) {
        let why = "the floor outline crosses itself; list its corners in order around the room";
        return Err(why.to_owned());
    }
    Ok(())
}

/// Whether two sides of an outline that do not meet at a corner cross.
fn crosses_itself(corners: &[(Decimal, Decimal)]) -> bool {
    let n = corners.len();
    let side = |i: usize| (corners[i], corners[(i + 1) % n]);
    // Which side of the line from a to b the point c lies on.
    let turn = |a: (Decimal, Decimal), b: (Decimal, Decimal), c: (Decimal, Decimal)| {
        ((b.0 - a.0) * (c.1 - a.1)).cmp(&((b.1 - a.1) * (c.0 - a.0)))
    };
    let apart = |a, b, c, d| turn(a, b, c) != turn(a, b, d);
    (0..n).any(|i| {
        (i + 2..n).filter(|j| (j + 1) % n != i).any(|j| {
            let ((a, b), (c, d)) = (side(i), side(j));
            apart(a, b, c, d) && apart(c, d, a, b)
        })
    })
}
