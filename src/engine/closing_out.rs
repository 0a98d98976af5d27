//! Closing out: what of the things that were bought is in the house, and how long each of them is under warranty.
#![doc = include_str!("../../assets/manual/closing_out.md")]

use super::calendar::Day;
use super::figures::Figures;
use crate::model::{Handover, Part, PartId, Project, Selection, SelectionOption};
use std::collections::HashMap;

/// Calendar days ahead in which the end of a warranty is worth knowing: enough to look a thing over, to write to who sold it
/// and to have somebody come.
pub const WARRANTY_SOON: i32 = 30;

/// A part that is in the house.
#[derive(Debug, Clone, Copy)]
pub struct InHouse<'a> {
    /// Its selection.
    pub selection: &'a Selection,
    /// Its option.
    pub option: &'a SelectionOption,
    /// The part.
    pub part: &'a Part,
    /// The day on which all of it was there; `None` where nobody has noted that.
    pub came: Option<Day>,
    /// What is noted of it for the years in which it is used.
    pub handover: Option<&'a Handover>,
}

impl InHouse<'_> {
    /// The last day of its warranty.
    pub fn warranty(&self) -> Option<Day> {
        self.handover.and_then(|h| h.warranty_until).map(Day::from)
    }

    /// Whether its warranty ends within [`WARRANTY_SOON`] days, the as-of day among them.
    pub fn ends_soon(&self, as_of: Day) -> bool {
        self.warranty().is_some_and(|day| (0..=WARRANTY_SOON).contains(&day.since(as_of)))
    }
}

/// What is in the house, in document order: all of each live part came, or it is built in. What is on its way, what went
/// back and what another option would bring is not.
pub fn in_house<'a>(project: &'a Project, figures: &'a Figures) -> impl Iterator<Item = InHouse<'a>> {
    let noted: HashMap<PartId, &Handover> = project.handover.iter().map(|h| (h.part, h)).collect();
    let there = project.all_parts().zip(&figures.parts).filter(|(_, f)| f.live && (f.on_site || f.built_in));
    there.map(move |((selection, option, part), f)| InHouse {
        selection,
        option,
        part,
        came: f.arrival.filter(|_| f.on_site),
        handover: noted.get(&part.id).copied(),
    })
}
