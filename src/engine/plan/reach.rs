//! What waits for what, through any number of links: for conditions that must not close a circle.

use crate::engine::index::phase_positions;
use crate::model::{PhaseId, Project};

/// Which phases follow which, by position, with edges added one at a time.
#[derive(Debug)]
pub struct Reach {
    position: Vec<usize>,
    after: Vec<Vec<usize>>,
}

impl Reach {
    /// The links of a project, whatever their kind.
    pub fn new(project: &Project) -> Reach {
        let position = phase_positions(project);
        let mut reach = Reach { position, after: vec![Vec::new(); project.phases.len()] };
        for link in project.links.iter() {
            if let Some((before, after)) = reach.at(link.before).zip(reach.at(link.after)) {
                reach.after[before].push(after);
            }
        }
        reach
    }

    /// The position of a phase.
    pub fn at(&self, phase: PhaseId) -> Option<usize> {
        self.position.get(phase.0 as usize).copied().filter(|at| *at < self.after.len())
    }

    /// Adds an edge unless it would close a circle; whether it was added.
    pub fn add(&mut self, before: usize, after: usize) -> bool {
        let closes = self.path(after, before).is_some();
        if !closes {
            self.after[before].push(after);
        }
        !closes
    }

    /// The phases from one to another along links, both included, where there is a way.
    pub fn path(&self, from: usize, to: usize) -> Option<Vec<usize>> {
        let mut came_from = vec![usize::MAX; self.after.len()];
        let mut next = vec![from];
        came_from[from] = from;
        while let Some(at) = next.pop() {
            if at == to {
                let mut way = vec![at];
                let mut at = at;
                while at != from {
                    at = came_from[at];
                    way.push(at);
                }
                way.reverse();
                return Some(way);
            }
            for &after in &self.after[at] {
                if came_from[after] == usize::MAX {
                    came_from[after] = at;
                    next.push(after);
                }
            }
        }
        None
    }

    /// For each phase, whether it is the one given or comes before it.
    pub fn before(&self, phase: usize) -> Vec<bool> {
        let mut into: Vec<Vec<usize>> = vec![Vec::new(); self.after.len()];
        for (from, list) in self.after.iter().enumerate() {
            list.iter().for_each(|to| into[*to].push(from));
        }
        let mut found = vec![false; self.after.len()];
        let mut next = vec![phase];
        while let Some(at) = next.pop() {
            if !std::mem::replace(&mut found[at], true) {
                next.extend(&into[at]);
            }
        }
        found
    }
}
