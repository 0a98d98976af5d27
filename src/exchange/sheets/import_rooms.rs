//! The sheets `rooms` and `openings`.

use super::import::Import;
use super::read::fill;
use super::row::Cells;
use super::sheet::Sheet;
use crate::exchange::typed::strict;
use crate::model::{Opening, OpeningKind, Room, RoomId, Shape};
use rust_decimal::Decimal;

impl Import {
    pub(super) fn read_rooms(&mut self, sheet: &Sheet) {
        for row in &sheet.rows {
            let id = RoomId(self.project.fresh_id());
            let make = |import: &Import, c: &Cells<'_>| {
                let shape = match c.read("polygon", corners) {
                    Some(corners) => Shape::Polygon(corners),
                    None => Shape::Rectangle {
                        length: c.number("length").unwrap_or_default(),
                        width: c.number("width").unwrap_or_default(),
                    },
                };
                fill(c, import, Room::FIELDS, Room { id, shape, ..bare_room() })
            };
            let (room, _) = self.row(sheet, row, make, |_, room| room.check());
            self.note(Room::FIELDS, &room, sheet, row);
            self.rooms.push(room);
        }
    }

    pub(super) fn openings(&mut self, sheet: &Sheet) {
        for row in &sheet.rows {
            let make = |import: &Import, c: &Cells<'_>| {
                let (width, height) = (Decimal::ZERO, Decimal::ZERO);
                let new = Opening { kind: OpeningKind::Door, width, height, count: 1 };
                (import.parent(c, "room", "rooms"), fill(c, import, Opening::FIELDS, new))
            };
            let ((at, opening), _) = self.row(sheet, row, make, |_, (_, opening)| {
                Room { openings: vec![opening.clone()], ..bare_room() }.check()
            });
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

/// Corners as `0 0; 12 0; 12 10`: two numbers each, semicolons between.
fn corners(text: &str) -> Result<Vec<(Decimal, Decimal)>, String> {
    let pair = |corner: &str| -> Option<(Decimal, Decimal)> {
        let mut numbers = corner.split_whitespace();
        let (x, y) = (numbers.next()?, numbers.next()?);
        if numbers.next().is_some() {
            return None;
        }
        Some((strict::number(x).ok()?, strict::number(y).ok()?))
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
