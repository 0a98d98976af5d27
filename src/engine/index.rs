//! Where things stand in the lists of a document, by their numbers.

use crate::model::Project;

/// Positions in the lists of a document by number.
#[derive(Debug, Clone, Default)]
pub struct Index {
    positions: Vec<u32>,
}

impl Index {
    /// Notes where the rooms, phases and suppliers are. Selections and parts are noted when they are read.
    pub fn new(project: &Project) -> Index {
        let mut index = Index { positions: vec![u32::MAX; project.next_id as usize + 1] };
        project.rooms.iter().enumerate().for_each(|(i, r)| index.note(r.id.0, i));
        project.phases.iter().enumerate().for_each(|(i, p)| index.note(p.id.0, i));
        project.suppliers.iter().enumerate().for_each(|(i, s)| index.note(s.id.0, i));
        index
    }

    /// Notes where a thing is.
    pub(super) fn note(&mut self, id: u32, at: usize) {
        if let Some(slot) = self.positions.get_mut(id as usize) {
            *slot = at as u32;
        }
    }

    /// The position of the thing with a number, in the list of its kind.
    pub fn of(&self, id: u32) -> Option<usize> {
        self.positions.get(id as usize).filter(|p| **p != u32::MAX).map(|p| *p as usize)
    }
}

/// The position of each phase by its number, up to the highest number of a phase; beyond all phases for other numbers.
pub fn phase_positions(project: &Project) -> Vec<usize> {
    let most = project.phases.iter().map(|p| p.id.0).max().unwrap_or(0).min(project.next_id);
    let mut position = vec![usize::MAX; most as usize + 1];
    for (i, phase) in project.phases.iter().enumerate() {
        if let Some(slot) = position.get_mut(phase.id.0 as usize) {
            *slot = i;
        }
    }
    position
}
