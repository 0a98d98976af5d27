//! What is missing, in words.

use super::{GateFigures, Lack, Missing};
use crate::model::{Condition, Gate, Need, Presence, Project, Subject};

impl Missing {
    /// What is missing and how it stands: `Valve body of Shower is not on site`.
    pub fn text(&self, project: &Project, gate: &Gate) -> String {
        match self.what {
            Lack::Phase(at) => {
                let phase = project.phases.get(at);
                let name = phase.map_or("a phase", |p| p.name.as_str());
                let done = match phase.map(|p| p.kind) {
                    Some(crate::model::PhaseKind::Inspection) => "not passed",
                    _ => "not finished",
                };
                format!("{name} is {done}")
            }
            Lack::Part(at, presence) => {
                let word = presence.words();
                match at.of(project) {
                    Some((selection, _, part)) if part.name == selection.name => {
                        format!("{} is not {word}", part.name)
                    }
                    Some((selection, _, part)) => {
                        format!("{} of {} is not {word}", part.name, selection.name)
                    }
                    None => format!("a part is not {word}"),
                }
            }
            Lack::Choice(at) => {
                let name = project.selections.get(at).map_or("a selection", |s| s.name.as_str());
                format!("{name} is not decided")
            }
            Lack::Word => match gate.conditions.get(self.condition).map(|c| &c.need) {
                Some(Need::Confirmed { what, .. }) => format!("not confirmed: {what}"),
                _ => "not confirmed".to_owned(),
            },
        }
    }

    /// Who is to bring it about: as the condition says, else the trade of the phase or the supplier of the part.
    pub fn who(&self, project: &Project, gate: &Gate) -> String {
        let said = gate.conditions.get(self.condition).map_or("", |c| c.who.as_str());
        if !said.is_empty() {
            return said.to_owned();
        }
        let trade = |at: usize| project.phases.get(at).map_or(String::new(), |p| p.trade.clone());
        match self.what {
            Lack::Phase(at) => trade(at),
            Lack::Part(at, presence) => {
                let Some((_, _, part)) = at.of(project) else { return String::new() };
                let phase = part.phase.and_then(|id| project.phase(id));
                match presence {
                    Presence::BuiltIn if at.on_site => phase.map_or(String::new(), |p| p.trade.clone()),
                    _ => part
                        .supplier
                        .and_then(|id| project.supplier(id))
                        .map_or(String::new(), |s| s.name.clone()),
                }
            }
            Lack::Choice(_) => "you".to_owned(),
            Lack::Word => String::new(),
        }
    }

    /// What to do about it.
    pub fn advice(&self, project: &Project, gate: &Gate) -> String {
        let who = self.who(project, gate);
        let whom = if who.is_empty() { "whoever knows" } else { &who };
        match self.what {
            Lack::Phase(at) => match project.phases.get(at).map(|p| p.kind) {
                Some(crate::model::PhaseKind::Inspection) => "get it passed first".to_owned(),
                _ if who.is_empty() => "finish it first".to_owned(),
                _ => format!("finish it first ({who})"),
            },
            Lack::Part(at, presence) => match at.of(project) {
                Some(_) if at.on_site => format!("have it built in ({whom}) and mark it"),
                Some(_) if at.ordered => format!("press {whom} for it"),
                Some(_) if presence == Presence::BuiltIn => "order it, then have it built in".to_owned(),
                _ => "order it now, or mark it received".to_owned(),
            },
            Lack::Choice(_) => "choose, then order".to_owned(),
            Lack::Word => format!("ask {whom} and note who said so and when"),
        }
    }

    /// Where to go for it.
    pub fn subject(&self, project: &Project, gate: &Gate) -> Subject {
        match self.what {
            Lack::Phase(at) => project.phases.get(at).map(|p| Subject::Phase(p.id)),
            Lack::Part(at, _) => at.of(project).map(|(_, _, p)| Subject::Part(p.id)),
            Lack::Choice(at) => project.selections.get(at).map(|s| Subject::Selection(s.id)),
            Lack::Word => None,
        }
        .unwrap_or(Subject::Gate(gate.id))
    }
}

impl GateFigures {
    /// What is missing of one condition.
    pub fn of(&self, condition: usize) -> impl Iterator<Item = &Missing> {
        self.missing.iter().filter(move |m| m.condition == condition)
    }
}

/// What a condition asks for, whether it is met or not: `Framing inspection passed`.
pub fn condition_text(project: &Project, condition: &Condition) -> String {
    match &condition.need {
        Need::Finished(id) => match project.phase(*id) {
            Some(p) if p.kind == crate::model::PhaseKind::Inspection => format!("{} passed", p.name),
            Some(p) => format!("{} finished", p.name),
            None => "a phase finished".to_owned(),
        },
        Need::Selection { selection, scope, presence } => {
            let name = project.selection(*selection).map_or("selection", |s| s.name.as_str());
            let part = match scope {
                crate::model::Scope::All => "",
                crate::model::Scope::SoFar => ", what is needed so far,",
            };
            format!("{name}{part} {}", presence.words())
        }
        Need::PartsOf { phase, presence } => {
            let name = project.phase(*phase).map_or("a phase", |p| p.name.as_str());
            format!("All parts for {name} {}", presence.words())
        }
        Need::Part { part, presence } => match project.part(*part) {
            Some((s, _, p)) if s.name == p.name => format!("{} {}", p.name, presence.words()),
            Some((s, _, p)) => format!("{} of {} {}", p.name, s.name, presence.words()),
            None => format!("a part {}", presence.words()),
        },
        Need::Confirmed { what, .. } => {
            let mut letters = what.chars();
            letters.next().map_or(String::new(), |c| c.to_uppercase().chain(letters).collect())
        }
    }
}
