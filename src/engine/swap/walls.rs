//! What is behind closed walls.
//!
//! A part is behind the wall when it says so, or when its phase does. It is closed in once a phase that closes walls
//! and follows its own phase through the links is finished.

use crate::model::graph::Graph;
use crate::model::{Part, Phase, PhaseRole, Project};

/// Whether a part ends up behind the wall.
pub fn is_in_wall(project: &Project, part: &Part) -> bool {
    let by_phase =
        || part.phase.and_then(|id| project.phase(id)).is_some_and(|p| p.role == PhaseRole::InWall);
    part.in_wall.unwrap_or_else(by_phase)
}

/// Which phase closed the walls over which.
#[derive(Debug, Clone, Default)]
pub struct Walls {
    /// By phase position: the position of the finished phase that closed it in. Empty while no wall is closed.
    closed: Vec<Option<usize>>,
}

impl Walls {
    /// Looks at the phases of a project.
    pub fn new(project: &Project) -> Walls {
        let closers: Vec<usize> = (0..project.phases.len())
            .filter(|i| {
                let phase = &project.phases[*i];
                phase.role == PhaseRole::CoverUp && phase.finished_on().is_some()
            })
            .collect();
        if closers.is_empty() {
            return Walls::default();
        }
        let graph = Graph::new(project);
        let mut closed = vec![None; project.phases.len()];
        for closer in closers {
            for (at, before) in graph.before(closer).into_iter().enumerate() {
                if before && at != closer {
                    closed[at] = closed[at].or(Some(closer));
                }
            }
        }
        Walls { closed }
    }

    /// The phase that closed the wall over a part that is behind it.
    pub fn closed_by<'a>(&self, project: &'a Project, part: &Part) -> Option<&'a Phase> {
        if self.closed.is_empty() || !is_in_wall(project, part) {
            return None;
        }
        let at = project.phase_at(part.phase?)?;
        self.closed.get(at).copied().flatten().and_then(|closer| project.phases.get(closer))
    }
}
