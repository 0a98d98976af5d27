//! The sheets `rooms`, `openings` and `out_of_use`.

use super::import::Import;
use super::read::fill;
use super::row::Cells;
use super::sheet::Sheet;
use crate::exchange::typed::strict;
use crate::model::{Opening, OpeningKind, OutOfUse, OutOfUseId, PhaseId, Room, RoomId, Shape, Use};
use rust_decimal::Decimal;
use std::sync::Arc;

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

/// The number of a phase that is not there.
const NO_PHASE: PhaseId = PhaseId(u32::MAX);

impl Import {
    pub(super) fn out_of_use(&mut self, sheet: &Sheet) {
        let mut known = self.with_phases();
        known.rooms = Arc::new(self.rooms.clone());
        for row in &sheet.rows {
            let id = OutOfUseId(self.project.fresh_id());
            let make = |import: &Import, c: &Cells<'_>| {
                let out = fill(c, import, OutOfUse::FIELDS, OutOfUse::new(id, NO_PHASE));
                // What is not there was named already, here or in its own sheet.
                let lost = (c.is_filled("room") && out.room.is_none())
                    || (c.is_filled("from_phase") && out.from_phase == NO_PHASE)
                    || (c.is_filled("to_phase") && out.to_phase.is_none());
                (out, lost)
            };
            let ((out, _), _) = self.row(
                sheet,
                row,
                make,
                |_, (out, lost)| if *lost { Ok(()) } else { out.check_in(&known) },
            );
            Arc::make_mut(&mut self.project.out_of_use).push(out);
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
        used_as: Use::Other,
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
