//! What a crew needs to know, from the same value as its paper and its calendar.

use super::{Card, Page, Section, Standing, empty};
use crate::engine::Figures;
use crate::exchange::outgoing::crews::{self, CrewPunch, span};
use crate::exchange::outgoing::print::Look;
use crate::exchange::outgoing::print::words::date;
use crate::exchange::picture::Picture;
use crate::model::caution::WHO_DECIDES;
use crate::model::{CrewId, Project};
use std::path::Path;

/// The page.
pub fn page(project: &Project, figures: &Figures, crew: CrewId, beside: Option<&Path>) -> Option<Page> {
    let sheet = crews::sheet(project, figures, crew)?;
    let mut page = empty(project, figures, format!("Days of {}", sheet.crew.name));
    if !sheet.settings.ship_to.trim().is_empty() {
        page.lead.push(sheet.settings.ship_to.clone());
    }
    if sheet.phases.is_empty() {
        page.lead.push("No work is to come.".to_owned());
    }
    for phase in &sheet.phases {
        let mut lead = vec![span(phase.first, phase.last)];
        lead.push(match (phase.counts_on, phase.confirmed) {
            (Some(old), _) => {
                format!("These are new days: it was to begin {}. Please say whether they suit.", date(old))
            }
            (None, Some(on)) => format!("Confirmed {}.", date(on)),
            (None, None) if phase.begun => "Begun.".to_owned(),
            (None, None) => "Please say whether these days suit.".to_owned(),
        });
        let mut cards: Vec<Card> = phase
            .waits
            .iter()
            .map(|wait| Card { state: (Standing::Bad, "Not ready yet".to_owned()), ..Card::of(wait.clone()) })
            .collect();
        cards.extend(phase.parts.iter().map(|part| {
            let standing = if part.on_site { Standing::Good } else { Standing::Plain };
            Card { state: (standing, part.state.clone()), ..Card::of(part.what.clone()) }
        }));
        page.sections.push(Section { title: phase.name.clone(), lead, cards });
    }
    if !sheet.punch.is_empty() {
        let card = |punch: &CrewPunch| {
            let picture = beside.filter(|_| !punch.picture.is_empty());
            let look = picture.and_then(|beside| Picture::for_paper(&beside.join(&punch.picture)).ok());
            Card {
                look: look.map(|picture| (Look::Picture(picture), String::new())),
                state: (if punch.late { Standing::Bad } else { Standing::Plain }, punch.due.clone()),
                answer: ("It is done".to_owned(), format!("Done: {}", punch.what)),
                ..Card::of(punch.what.clone())
            }
        };
        page.sections.push(Section {
            title: "To be put right".to_owned(),
            lead: Vec::new(),
            cards: sheet.punch.iter().map(card).collect(),
        });
    }
    if !sheet.cautions.is_empty() {
        let card = |caution: &crate::model::caution::Caution| Card {
            more: format!("{} ({})", caution.text, caution.source),
            ..Card::of(caution.hazard.title())
        };
        page.sections.push(Section {
            title: "Take care".to_owned(),
            lead: vec![WHO_DECIDES.to_owned()],
            cards: sheet.cautions.iter().map(card).collect(),
        });
    }
    Some(page)
}
