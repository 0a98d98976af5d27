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
    Circles::new(nodes, edges).next()
}

/// Circles of a directed graph, one after the other, each without the nodes of those before it. All of them together take
/// about as long as reading the edges.
pub struct Circles {
    before: Vec<Vec<usize>>,
    after: Vec<Vec<usize>>,
    /// Nodes that a node still waits for.
    waits: Vec<usize>,
    /// On no circle that is left, or named.
    done: Vec<bool>,
    /// The first node that may not be done.
    first: usize,
    /// By node, how many of those before it were seen to be done.
    tried: Vec<usize>,
    /// The way backwards on which the last circle was found, without it; each node waits for the one behind it.
    path: Vec<usize>,
    /// Where a node stands on the way.
    seen: Vec<usize>,
}

impl Circles {
    /// The circles of a graph. Edges between other nodes than these are a slip of the caller.
    pub fn new(nodes: usize, edges: impl Iterator<Item = (usize, usize)>) -> Circles {
        let mut before: Vec<Vec<usize>> = vec![Vec::new(); nodes];
        let mut after: Vec<Vec<usize>> = vec![Vec::new(); nodes];
        for (a, b) in edges {
            before[b].push(a);
            after[a].push(b);
        }
        let waits: Vec<usize> = before.iter().map(Vec::len).collect();
        let free: Vec<usize> = (0..nodes).filter(|i| waits[*i] == 0).collect();
        let (done, tried, seen) = (vec![false; nodes], vec![0; nodes], vec![usize::MAX; nodes]);
        let mut circles = Circles { before, after, waits, done, first: 0, tried, path: Vec::new(), seen };
        circles.let_go(free);
        circles
    }

    /// Takes nodes out, and those that waited for them alone.
    fn let_go(&mut self, mut ready: Vec<usize>) {
        ready.iter().for_each(|i| self.done[*i] = true);
        while let Some(i) = ready.pop() {
            for &j in &self.after[i] {
                self.waits[j] = self.waits[j].saturating_sub(1);
                if self.waits[j] == 0 && !self.done[j] {
                    self.done[j] = true;
                    ready.push(j);
                }
            }
        }
    }

    /// The first node that a node still waits for.
    fn waited_for(&mut self, at: usize) -> Option<usize> {
        let tried = &mut self.tried[at];
        while self.before[at].get(*tried).is_some_and(|b| self.done[*b]) {
            *tried += 1;
        }
        self.before[at].get(*tried).copied()
    }
}

impl Iterator for Circles {
    type Item = Vec<usize>;

    fn next(&mut self) -> Option<Vec<usize>> {
        // A node of the way that is done has only such behind it, so that the way goes on where it is not.
        while let Some(last) = self.path.pop_if(|last| self.done[*last]) {
            self.seen[last] = usize::MAX;
        }
        // Every node left waits for another one left: walking backwards must come round.
        let mut at = match self.path.last().copied() {
            Some(last) => self.waited_for(last)?,
            None => {
                self.first += self.done.get(self.first..)?.iter().position(|d| !d)?;
                self.first
            }
        };
        while self.seen[at] == usize::MAX {
            self.seen[at] = self.path.len();
            self.path.push(at);
            at = self.waited_for(at)?;
        }
        let mut circle = self.path.split_off(self.seen[at]);
        circle.iter().for_each(|i| self.seen[*i] = usize::MAX);
        circle.reverse();
        self.let_go(circle.clone());
        Some(circle)
    }
}
