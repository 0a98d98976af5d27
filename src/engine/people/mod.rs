//! People: until when a crew is hired and booked, who is to be called since a start moved, who is in two places at once.
#![doc = include_str!("../../../assets/manual/people.md")]

mod permits;
mod twice;

pub use permits::{PermitFigures, PermitStands};
pub use twice::{Twice, link_of, twice};

use super::calendar::{Calendar, Day};
use super::forecast::PhaseFigures;
use crate::model::{Crew, CrewId, Phase, PhaseId, PhaseKind, Project, Work};
use chrono::NaiveDate;

/// Everything of people.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct People {
    /// By phase: how far its crew is booked.
    pub bookings: Vec<Booking>,
    /// Phases whose crew counts on another start than the forecast has, in document order.
    pub calls: Vec<Call>,
    /// Crews in two phases at once.
    pub twice: Vec<Twice>,
    /// By permit: whether something waits for it, or outlasts it.
    pub permits: Vec<PermitFigures>,
}

/// How far the crew of a phase is booked.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Booking {
    /// How far it is.
    pub state: Booked,
    /// The last day to book it: the start in the plan less the working days it wants to know ahead. `None` where nobody
    /// has said how many and none are typical, and where nobody is to be booked.
    pub hire_by: Option<Day>,
    /// Whether these days are only typical of such work.
    pub typical: bool,
}

/// How far a crew is booked.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Booked {
    /// Nobody is to be booked: it has begun or is finished, it is the user's own, or no work of a trade.
    #[default]
    Nobody,
    /// No crew is named.
    NoCrew,
    /// A crew is named, and it has no day.
    NotBooked,
    /// It has a day and has not said yes.
    Asked,
    /// It said yes.
    Confirmed,
}

impl Booked {
    /// In words, for lists and JSON.
    pub fn words(self) -> &'static str {
        match self {
            Booked::Nobody => "nobody to book",
            Booked::NoCrew => "no crew yet",
            Booked::NotBooked => "not booked",
            Booked::Asked => "booked, not confirmed",
            Booked::Confirmed => "confirmed",
        }
    }
}

/// A crew that counts on another start than the forecast has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Call {
    /// Position of the phase.
    pub phase: usize,
    /// Its crew.
    pub crew: CrewId,
    /// The start the crew counts on.
    pub old: Day,
    /// The start in the forecast.
    pub new: Day,
}

/// What is worked out of people. `phases` are the figures of the phases.
pub fn people(project: &Project, phases: &[PhaseFigures], work: Calendar<'_>, as_of: Day) -> People {
    let permits = permits::permits(project, phases, as_of);
    if project.crews.is_empty() {
        return People { permits, ..People::default() };
    }
    let bookings =
        project.phases.iter().zip(phases).map(|(p, f)| booking(project, p, f, work, as_of)).collect();
    let calls = project.phases.iter().zip(phases).enumerate().filter_map(|(at, (phase, f))| {
        let crew = phase.crew.filter(|_| is_ahead(phase))?;
        let old = Day::from(phase.expected_start(as_of.date())?);
        let new = f.forecast_start?;
        (old != new).then_some(Call { phase: at, crew, old, new })
    });
    People { bookings, calls: calls.collect(), twice: twice(project, phases, as_of), permits }
}

/// Whether it has not begun and is not finished.
pub fn is_ahead(phase: &Phase) -> bool {
    phase.actual_start.is_none() && phase.finished_on().is_none() && phase.visits().next().is_none()
}

fn booking(project: &Project, phase: &Phase, f: &PhaseFigures, work: Calendar<'_>, as_of: Day) -> Booking {
    let of_trade = phase.kind == PhaseKind::Work && !phase.own_work && !phase.trade.trim().is_empty();
    if !is_ahead(phase) || !(of_trade || phase.crew.is_some()) {
        return Booking::default();
    }
    let crew = phase.crew.and_then(|id| project.crew(id));
    let state = match crew {
        None => Booked::NoCrew,
        Some(_) if phase.expected_start(as_of.date()).is_none() => Booked::NotBooked,
        Some(_) if phase.confirmed(as_of.date()).is_none() => Booked::Asked,
        Some(_) => Booked::Confirmed,
    };
    let said = crew.and_then(|c| c.hire_lead).and_then(|days| i32::try_from(days).ok());
    let typical = phase.kind_of_work().and_then(typical_lead);
    let ahead = said.or(typical);
    let hire_by = f.early_start.zip(ahead).map(|(start, days)| work.offset_index(start, -days));
    Booking { state, hire_by, typical: said.is_none() }
}

/// Working days ahead within which such crews are usually booked, at the long end. Common practice, no source: four to six
/// weeks for those who finish walls and floors, up to four for plumbers, electricians, heating and cooling.
pub fn typical_lead(work: Work) -> Option<i32> {
    match work {
        Work::Drywall | Work::Taping | Work::Texture | Work::Prime | Work::Paint => Some(30),
        Work::TileBacker | Work::Waterproofing | Work::Tile | Work::Backsplash | Work::Flooring => Some(30),
        Work::RoughPlumbing | Work::FinishPlumbing | Work::RoughElectrical | Work::FinishElectrical => {
            Some(20)
        }
        Work::Ducts | Work::Equipment | Work::FinishMechanical => Some(20),
        _ => None,
    }
}

impl People {
    /// How far the crew of the phase at a position is booked.
    pub fn booking(&self, phase: usize) -> Booking {
        self.bookings.get(phase).copied().unwrap_or_default()
    }

    /// The call that the phase at a position asks for.
    pub fn call(&self, phase: usize) -> Option<Call> {
        self.calls.iter().find(|c| c.phase == phase).copied()
    }

    /// The crews to be called, each once, in the order of their first call.
    pub fn to_call(&self) -> Vec<CrewId> {
        let mut crews = Vec::new();
        for call in &self.calls {
            if !crews.contains(&call.crew) {
                crews.push(call.crew);
            }
        }
        crews
    }

    /// The phases of a crew with the starts that it is to be told.
    pub fn starts_to_tell(&self, project: &Project, crew: CrewId) -> Vec<(PhaseId, NaiveDate)> {
        let own = self.calls.iter().filter(|c| c.crew == crew);
        own.filter_map(|c| Some((project.phases.get(c.phase)?.id, c.new.date()))).collect()
    }
}

/// The phases of a crew that are not finished, by position.
pub fn phases_of(project: &Project, crew: CrewId) -> impl Iterator<Item = usize> {
    let own = project.phases.iter().enumerate();
    own.filter(move |(_, p)| p.crew == Some(crew) && p.finished_on().is_none()).map(|(at, _)| at)
}

/// The last day on which the papers of a crew are needed: the last of its phases in the forecast.
pub fn needed_until(project: &Project, phases: &[PhaseFigures], crew: &Crew) -> Option<Day> {
    phases_of(project, crew.id).filter_map(|at| phases.get(at)?.forecast_finish).max()
}
