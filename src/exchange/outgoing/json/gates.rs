//! Gates and cautions in the figures.

use crate::engine::cautions::cautions;
use crate::engine::figures::{Figures, PhaseFigures};
use crate::engine::gates::Lack;
use crate::model::caution::of_phase;
use crate::model::{Gate, Project};
use serde::Serialize;

/// A gate.
#[derive(Debug, Serialize)]
pub(super) struct GateJson {
    key: String,
    phase: Option<String>,
    ready: bool,
    /// Working days its phase would start sooner without it.
    days: i32,
    /// The latest day on which something missing is expected.
    expected: Option<String>,
    missing: Vec<MissingJson>,
}

/// Something that is not true yet.
#[derive(Debug, Serialize)]
struct MissingJson {
    what: String,
    who: String,
    by: Option<String>,
    expected: Option<String>,
    phase: Option<String>,
    part: Option<String>,
    selection: Option<String>,
}

/// A gate that holds a phase.
#[derive(Debug, Serialize)]
pub(super) struct HeldByGateJson {
    gate: String,
    days: i32,
}

/// A caution.
#[derive(Debug, Serialize)]
pub(super) struct CautionJson {
    hazard: &'static str,
    text: String,
    source: &'static str,
    phases: Vec<String>,
}

pub(super) fn gates(project: &Project, figures: &Figures) -> Vec<GateJson> {
    let pairs = project.gates.iter().zip(&figures.gates);
    pairs
        .map(|(gate, f)| GateJson {
            key: gate.key.clone(),
            phase: f.phase.and_then(|at| project.phases.get(at)).map(|p| p.key.clone()),
            ready: f.is_ready(),
            days: f.days,
            expected: f.expected().map(|d| d.to_string()),
            missing: f.missing.iter().map(|m| missing(project, gate, m)).collect(),
        })
        .collect()
}

fn missing(project: &Project, gate: &Gate, m: &crate::engine::gates::Missing) -> MissingJson {
    let key = |at: Option<usize>| at.and_then(|at| project.phases.get(at)).map(|p| p.key.clone());
    let (phase, part, selection) = match m.what {
        Lack::Phase(at) => (Some(at), None, None),
        Lack::Part(at, _) => (None, at.of(project), None),
        Lack::Choice(at) => (None, None, project.selections.get(at)),
        Lack::Word => (None, None, None),
    };
    MissingJson {
        what: m.text(project, gate),
        who: m.who(project, gate),
        by: gate.conditions.get(m.condition).and_then(|c| c.by).map(|d| d.to_string()),
        expected: m.expected.map(|d| d.to_string()),
        phase: key(phase),
        part: part.map(|(_, _, p)| p.key.clone()),
        selection: selection.map(|s| s.key.clone()),
    }
}

pub(super) fn held(project: &Project, f: &PhaseFigures) -> Vec<HeldByGateJson> {
    let key = |at: usize| project.gates.get(at).map_or(String::new(), |g| g.key.clone());
    f.held_by_gates.iter().map(|h| HeldByGateJson { gate: key(h.gate), days: h.days }).collect()
}

/// Words of the cautions of a phase.
pub(super) fn words_of(project: &Project, at: usize) -> Vec<&'static str> {
    let Some(phase) = project.phases.get(at) else { return Vec::new() };
    of_phase(phase, project.settings.year_built).iter().map(|c| c.hazard.word()).collect()
}

pub(super) fn all_cautions(project: &Project) -> Vec<CautionJson> {
    let key = |at: &usize| project.phases.get(*at).map_or(String::new(), |p| p.key.clone());
    cautions(project)
        .into_iter()
        .map(|c| CautionJson {
            hazard: c.caution.hazard.word(),
            text: c.caution.text,
            source: c.caution.source,
            phases: c.phases.iter().map(key).collect(),
        })
        .collect()
}
