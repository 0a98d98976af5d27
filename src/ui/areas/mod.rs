//! The work areas of the window, a folder each: its panel, what it remembers and its rows together. A panel reads a
//! [`View`](super::view::View), draws itself, and puts what the user asks for into an
//! [`Outbox`](super::view::Outbox).

pub mod buying;
pub mod dates;
pub mod house;
pub mod money;
pub mod signoffs;
pub mod week;
pub mod what_if;

use super::session::Session;
use super::view::{Outbox, View};
use egui::{Key, Ui};
use serde::{Deserialize, Serialize};

/// The work areas.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum WorkArea {
    /// What is to be done in the next days.
    #[default]
    Week,
    /// The ledger.
    House,
    /// Phases on the calendar.
    Dates,
    /// The columns of money.
    Money,
    /// What to buy from whom.
    Buying,
    /// Gates and inspections.
    SignOffs,
    /// What may come, and what would be cheaper or sooner.
    WhatIf,
}

/// What draws an area.
pub type Draw = fn(&mut Ui, &View<'_>, &mut Session, &mut Outbox);

/// The name of each, its key with Ctrl and what draws it, in the order of the window and of [`WorkArea`].
const AREAS: [(WorkArea, &str, Key, Draw); 7] = [
    (WorkArea::Week, "This week", Key::Num1, week::ui),
    (WorkArea::House, "House", Key::Num2, house::ui),
    (WorkArea::Dates, "Dates", Key::Num3, dates::ui),
    (WorkArea::Money, "Money", Key::Num4, money::ui),
    (WorkArea::Buying, "Buying", Key::Num5, buying::ui),
    (WorkArea::SignOffs, "Sign-offs", Key::Num6, signoffs::ui),
    (WorkArea::WhatIf, "What if", Key::Num7, what_if::ui),
];

impl WorkArea {
    /// All, in the order of the window.
    pub fn all() -> impl Iterator<Item = WorkArea> {
        AREAS.into_iter().map(|(area, ..)| area)
    }

    /// Its name.
    pub fn title(self) -> &'static str {
        AREAS[self as usize].1
    }

    /// The key that goes to it, with Ctrl.
    pub fn key(self) -> Key {
        AREAS[self as usize].2
    }

    /// Draws it.
    pub fn ui(self, ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
        (AREAS[self as usize].3)(ui, view, session, out);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_area_has_its_own_row() {
        assert!(WorkArea::all().enumerate().all(|(row, area)| area as usize == row));
    }
}
