//! The sheets `rooms` and `openings`.

use super::import::Import;
use super::row::{Cells, build, parse_number};
use crate::model::{Opening, OpeningKind, Room, RoomId, Shape};
use rust_decimal::Decimal;

impl Import {
    pub(super) fn rooms(&mut self) {
        if let Some(sheet) = self.take("rooms") {
            for row in &sheet.rows {
                let id = RoomId(self.project.fresh_id());
                let (room, found) = build(&sheet, row, |c| room(c, id), Room::check);
                self.faults.extend(found);
                self.room_keys.note(&room.key, self.rooms.len(), &sheet, row.number, &mut self.faults);
                self.rooms.push(room);
            }
        }
        let Some(sheet) = self.take("openings") else { return };
        for row in &sheet.rows {
            let make = |c: &Cells<'_>| {
                let at = c.refer("room", &self.room_keys);
                c.needed("room", at, 0);
                (at, opening(c))
            };
            let ((at, opening), found) = build(&sheet, row, make, |(_, opening)| {
                Room { openings: vec![opening.clone()], ..bare_room() }.check()
            });
            self.faults.extend(found);
            if let Some(room) = at.and_then(|at| self.rooms.get_mut(at)) {
                room.openings.push(opening);
            }
        }
    }
}

fn bare_room() -> Room {
    Room {
        id: RoomId(0),
        key: "room".to_owned(),
        name: String::new(),
        level: String::new(),
        shape: Shape::default(),
        height: Decimal::ZERO,
        openings: Vec::new(),
    }
}

fn room(c: &Cells<'_>, id: RoomId) -> Room {
    let key = c.key("key");
    let shape = match c.read("polygon", corners) {
        Some(corners) => Shape::Polygon(corners),
        None => Shape::Rectangle {
            length: c.number("length").unwrap_or_default(),
            width: c.number("width").unwrap_or_default(),
        },
    };
    Room {
        id,
        name: c.name_or(&key),
        key,
        level: c.text("level"),
        shape,
        height: c.number("height").unwrap_or_default(),
        openings: Vec::new(),
    }
}

/// Corners as `0 0; 12 0; 12 10`: two numbers each, semicolons between.
fn corners(text: &str) -> Result<Vec<(Decimal, Decimal)>, String> {
    let pair = |corner: &str| -> Option<(Decimal, Decimal)> {
        let mut numbers = corner.split_whitespace();
        let (x, y) = (numbers.next()?, numbers.next()?);
        if numbers.next().is_some() {
            return None;
        }
        Some((parse_number(x).ok()?, parse_number(y).ok()?))
    };
    text.trim_end_matches([';', ' '])
        .split(';')
        .map(|corner| {
            pair(corner).ok_or_else(|| {
                format!("`{}` is no corner; write corners like 0 0; 12 0; 12 10", corner.trim())
            })
        })
        .collect()
}

fn opening(c: &Cells<'_>) -> Opening {
    Opening {
        kind: c.needed("kind", c.word("kind", &OpeningKind::ALL), OpeningKind::Door),
        width: c.needed("width", c.number("width"), Decimal::ZERO),
        height: c.needed("height", c.number("height"), Decimal::ZERO),
        count: c.whole("count").unwrap_or(1),
    }
}
