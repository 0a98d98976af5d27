//! What waits for what, through any number of links.

use super::ids::PartId;
use super::project::Project;

/// Which phases follow which, by position. Edges can be added one at a time.
#[derive(Debug)]
pub struct Graph {
    after: Vec<Vec<usize>>,
}

impl Graph {
    /// The links of a project, whatever their kind, and what is ordered only after a phase.
    pub fn new(project: &Project) -> Graph {
        let mut after = vec![Vec::new(); project.phases.len()];
        ties(project, None).for_each(|(before, behind)| after[before].push(behind));
        Graph { after }
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
        reached(&into, phase)
    }

    /// For each phase, whether it is the one given or comes after it.
    pub fn behind(&self, phase: usize) -> Vec<bool> {
        reached(&self.after, phase)
    }
}

/// For each node, whether a walk over edges that begins at one comes to it.
fn reached(edges: &[Vec<usize>], from: usize) -> Vec<bool> {
    let mut found = vec![false; edges.len()];
    let mut next = vec![from];
    while let Some(at) = next.pop() {
        if !std::mem::replace(&mut found[at], true) {
            next.extend(&edges[at]);
        }
    }
    found
}

/// What ties two phases: the links, and parts that are ordered only after one and needed by another. `but` is a part
/// that is left out.
pub fn ties(project: &Project, but: Option<PartId>) -> impl Iterator<Item = (usize, usize)> {
    let links =
        project.links.iter().filter_map(|l| Some((project.phase_at(l.before)?, project.phase_at(l.after)?)));
    let ordered_after = project.all_parts().filter_map(move |(_, _, part)| {
        let after = part.order_after.filter(|_| Some(part.id) != but)?;
        Some((project.phase_at(after)?, project.phase_at(part.phase?)?))
    });
    links.chain(ordered_after)
}

/// The phases of a circle of what waits for what, joined by arrows, where there is one. `more` are further ties; `but`
/// is a part whose tie is left out.
pub fn circle_names(
    project: &Project,
    more: impl Iterator<Item = (usize, usize)>,
    but: Option<PartId>,
) -> Option<String> {
    let circle = find_circle(project.phases.len(), ties(project, but).chain(more))?;
    let names: Vec<&str> = circle.iter().map(|i| project.phases[*i].key.as_str()).collect();
    Some(format!("{} > {}", names.join(" > "), names[0]))
}

/// Nodes of one circle of a directed graph in order, where there is one.
pub fn find_circle(nodes: usize, edges: impl Iterator<Item = (usize, usize)>) -> Option<Vec<usize>> {
    let mut before: Vec<Vec<usize>> = vec![Vec::new(); nodes];
    let mut after: Vec<Vec<usize>> = vec![Vec::new(); nodes];
    for (a, b) in edges {
        before[b].push(a);
        after[a].push(b);
    }
    let mut waits: Vec<usize> = before.iter().map(Vec::len).collect();
    let mut ready: Vec<usize> = (0..nodes).filter(|i| waits[*i] == 0).collect();
    let mut done = vec![false; nodes];
    while let Some(i) = ready.pop() {
        done[i] = true;
        for &j in &after[i] {
            waits[j] -= 1;
            if waits[j] == 0 {
                ready.push(j);
            }
        }
    }
    // Every node left waits for another one left: walking backwards must come round.
    let mut at = done.iter().position(|d| !d)?;
    let mut seen = vec![usize::MAX; nodes];
    let mut path = Vec::new();
    while seen[at] == usize::MAX {
        seen[at] = path.len();
        path.push(at);
        at = *before[at].iter().find(|b| !done[**b])?;
    }
    let mut circle = path.split_off(seen[at]);
    circle.reverse();
    Some(circle)
}
