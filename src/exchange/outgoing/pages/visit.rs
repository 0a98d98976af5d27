//! A visit of an inspector: when it is, what must be true before it and how that stands, what was said before, and what was
//! put right.

use super::{Card, Page, Section, Standing, empty};
use crate::engine::Figures;
use crate::exchange::outgoing::print::inspections::conditions;
use crate::exchange::outgoing::print::words::{date, joined, maybe_day};
use crate::model::{Phase, PhaseId, PhaseKind, Project};

/// The page, of a visit or of all to come.
pub fn page(project: &Project, figures: &Figures, only: Option<PhaseId>) -> Page {
    let mut page = empty(project, figures, "Inspection".to_owned());
    let wanted = |phase: &Phase| match only {
        Some(id) => phase.id == id,
        None => phase.kind == PhaseKind::Inspection && phase.finished_on().is_none(),
    };
    let mut own: Vec<(usize, &Phase)> =
        project.phases.iter().enumerate().filter(|(_, phase)| wanted(phase)).collect();
    own.sort_by_key(|(at, _)| figures.phases.get(*at).and_then(|f| f.forecast_start));
    if own.is_empty() {
        page.lead.push("No inspection is to come.".to_owned());
    }
    if !project.settings.ship_to.trim().is_empty() {
        page.lead.push(project.settings.ship_to.clone());
    }
    for (at, phase) in own {
        page.sections.push(visit(project, figures, at, phase));
    }
    page.notes.push(
        "Local code and the inspector decide what is inspected, when, and what must stay open to view."
            .to_owned(),
    );
    page
}

fn visit(project: &Project, figures: &Figures, at: usize, phase: &Phase) -> Section {
    let when = match phase.finished_on() {
        Some(day) => format!("Passed {}", date(day)),
        None => match phase.booked_visit() {
            Some(day) => format!("Booked for {}", date(day)),
            None => format!("Expected {}", maybe_day(figures.phases.get(at).and_then(|f| f.forecast_start))),
        },
    };
    let mut cards: Vec<Card> = conditions(project, figures, at)
        .into_iter()
        .map(|condition| {
            let standing = if condition.met { Standing::Good } else { Standing::Bad };
            let state = match (condition.met, condition.state.is_empty()) {
                (_, false) => condition.state,
                (true, true) => "yes".to_owned(),
                (false, true) => "no".to_owned(),
            };
            Card { more: condition.more, state: (standing, state), ..Card::of(condition.what) }
        })
        .collect();
    let mut before: Vec<_> = phase.visits().collect();
    before.sort_by_key(|visit| visit.date);
    cards.extend(before.into_iter().map(|visit| Card {
        more: visit.note.clone(),
        ..Card::of(format!("Visit {}: {}", date(visit.date), visit.word()))
    }));
    let asked = project.corrections.iter().filter(|correction| correction.phase == phase.id);
    cards.extend(asked.map(|correction| {
        let state = match (correction.done, correction.due) {
            (Some(day), _) => (Standing::Good, format!("Put right {}", date(day))),
            (None, Some(day)) => (Standing::Bad, format!("To be put right by {}", date(day))),
            (None, None) => (Standing::Bad, "To be put right".to_owned()),
        };
        Card {
            more: joined(&[&format!("found {}", date(correction.found)), &correction.trade], ", "),
            state,
            ..Card::of(correction.what.clone())
        }
    }));
    Section { title: phase.name.clone(), lead: vec![joined(&[&when, &phase.trade], ", ")], cards }
}
