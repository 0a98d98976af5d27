//! The cautions of a project: each once, with the phases it concerns that are still to be done.

use crate::model::caution::{Caution, caution, hazards_of};
use crate::model::{Hazard, Phase, Project};

/// A caution with the phases it concerns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProjectCaution {
    /// What to know.
    pub caution: Caution,
    /// Positions of the phases that are not finished, in document order.
    pub phases: Vec<usize>,
}

/// Every caution that concerns a phase which is not finished, in the order of hazards.
pub fn cautions(project: &Project) -> Vec<ProjectCaution> {
    let open = |p: &Phase| p.finished_on().is_none();
    let of_phase: Vec<Vec<Hazard>> =
        project.phases.iter().map(|p| if open(p) { hazards_of(p) } else { Vec::new() }).collect();
    Hazard::ALL
        .iter()
        .filter_map(|(_, hazard)| {
            let concerned = |(at, hazards): (usize, &Vec<Hazard>)| hazards.contains(hazard).then_some(at);
            let phases: Vec<usize> = of_phase.iter().enumerate().filter_map(concerned).collect();
            let caution = caution(*hazard, project.settings.year_built).filter(|_| !phases.is_empty())?;
            Some(ProjectCaution { caution, phases })
        })
        .collect()
}
