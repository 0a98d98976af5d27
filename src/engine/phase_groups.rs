//! Phases put together: by their trade, or by the room they work in, with what each group comes to.

use super::calendar::Day;
use super::figures::Figures;
use crate::model::{Phase, Project};
use std::collections::HashMap;

/// What phases are put together by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum PhasesBy {
    /// By nothing: they stand as they come.
    #[default]
    Start,
    /// By who does them.
    Trade,
    /// By the room of what they need.
    Room,
}

impl PhasesBy {
    /// All, with their names.
    pub const ALL: [(PhasesBy, &'static str); 3] =
        [(PhasesBy::Start, "As they come"), (PhasesBy::Trade, "By trade"), (PhasesBy::Room, "By room")];
}

/// Phases that stand together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhaseGroup {
    /// What they share.
    pub name: String,
    /// Their positions, in the order they were given.
    pub phases: Vec<usize>,
    /// What they come to.
    pub sum: PhaseSum,
}

/// What several phases come to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct PhaseSum {
    /// The first start and the last finish in the forecast, of those that have days.
    pub days: Option<(Day, Day)>,
    /// How many are finished.
    pub finished: usize,
    /// How many are critical.
    pub critical: usize,
    /// How many wait for a delivery, or for a gate.
    pub held: usize,
}

impl PhaseSum {
    /// Of the phases at some positions.
    pub fn of(project: &Project, figures: &Figures, phases: &[usize]) -> PhaseSum {
        let mut sum = PhaseSum::default();
        for at in phases {
            let (Some(phase), Some(f)) = (project.phases.get(*at), figures.phases.get(*at)) else { continue };
            // What takes no days has its finish before its start.
            if let Some((start, finish)) = f.forecast_start.zip(f.forecast_finish) {
                let finish = finish.max(start);
                let (from, to) = sum.days.unwrap_or((start, finish));
                sum.days = Some((from.min(start), to.max(finish)));
            }
            sum.finished += usize::from(phase.finished_on().is_some());
            sum.critical += usize::from(f.critical);
            sum.held += usize::from(f.held_days > 0 || f.gate_days > 0);
        }
        sum
    }
}

/// Puts phases together, in the order of the first of each group; those that share nothing stand last. `order` holds the
/// positions of the phases as they come. Nothing is put together by [`PhasesBy::Start`].
pub fn groups(project: &Project, figures: &Figures, by: PhasesBy, order: &[usize]) -> Vec<PhaseGroup> {
    let names: Vec<Option<String>> = match by {
        PhasesBy::Start => return Vec::new(),
        PhasesBy::Trade => project.phases.iter().map(|phase| trade(project, phase)).collect(),
        PhasesBy::Room => rooms(project, figures),
    };
    let rest = if by == PhasesBy::Trade { "No trade" } else { "No room" };
    let mut found: Vec<(String, Vec<usize>)> = Vec::new();
    let (mut known, mut alone) = (HashMap::new(), Vec::new());
    for at in order {
        let Some(Some(name)) = names.get(*at) else {
            alone.push(*at);
            continue;
        };
        let place = *known.entry(name.to_lowercase()).or_insert(found.len());
        match found.get_mut(place) {
            Some((_, phases)) => phases.push(*at),
            None => found.push((name.clone(), vec![*at])),
        }
    }
    if !alone.is_empty() {
        found.push((rest.to_owned(), alone));
    }
    let group = |(name, phases): (String, Vec<usize>)| {
        let sum = PhaseSum::of(project, figures, &phases);
        PhaseGroup { name, phases, sum }
    };
    found.into_iter().map(group).collect()
}

/// Who does a phase: its trade, else that of its crew.
fn trade(project: &Project, phase: &Phase) -> Option<String> {
    let crew = || phase.crew.and_then(|id| project.crew(id)).map(|crew| crew.trade.trim());
    let own = Some(phase.trade.trim()).filter(|trade| !trade.is_empty());
    own.or_else(crew).filter(|trade| !trade.is_empty()).map(str::to_owned)
}

/// By phase: the room of what it needs, or that there are several.
fn rooms(project: &Project, figures: &Figures) -> Vec<Option<String>> {
    #[derive(Clone, Copy, PartialEq)]
    enum Of {
        Nothing,
        Room(usize),
        Several,
    }
    let mut rooms = vec![Of::Nothing; project.phases.len()];
    for at in 0..project.selections.len() {
        let Some(room) = project.selections.get(at).and_then(|s| figures.index.of(s.room.0)) else {
            continue;
        };
        for phase in phases_of(project, figures, at) {
            let Some(known) = rooms.get_mut(phase) else { continue };
            *known = match *known {
                Of::Nothing => Of::Room(room),
                Of::Room(other) if other == room => Of::Room(room),
                _ => Of::Several,
            };
        }
    }
    let name = |of: &Of| match of {
        Of::Nothing => None,
        Of::Room(at) => project.rooms.get(*at).map(|room| room.name.clone()),
        Of::Several => Some("Several rooms".to_owned()),
    };
    rooms.iter().map(name).collect()
}

/// Positions of the phases that need something of the selection at a position: what counts, or any candidate while
/// nothing does.
pub fn phases_of<'a>(
    project: &'a Project,
    figures: &'a Figures,
    at: usize,
) -> impl Iterator<Item = usize> + 'a {
    let open = project.selections.get(at).is_some_and(|s| s.live_option().is_none());
    let parts = figures.selections.get(at).map_or(&[][..], |own| figures.parts_of(own));
    parts
        .iter()
        .filter(move |part| part.live || open)
        .filter_map(|part| part.phase)
        .map(|phase| phase as usize)
}
