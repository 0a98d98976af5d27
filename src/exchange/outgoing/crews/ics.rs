//! The days of a crew as a calendar. One event for each phase, from its first to its last day.
//!
//! The UID follows from the project and the phase, so that a calendar that takes the file again moves its entries. A phase
//! that the crew was told of and that is another's now, or gone, is cancelled; one that is finished stays as it was.

use super::CrewSheet;
use super::message::span;
use crate::exchange::outgoing::calendar::{Diary, Entry, Standing, uid};
use crate::model::caution::WHO_DECIDES;
use crate::model::{Sent, SentForm};

/// The calendar with what it says.
pub fn ics(sheet: &CrewSheet, diary: Diary<'_>) -> (String, Vec<Sent>) {
    let whose = sheet.crew.key.as_str();
    let mut pages = diary.begin("Days of a crew", whose);
    for p in &sheet.phases {
        let Some((first, last)) = p.first.zip(p.last) else { continue };
        // Days nobody has said yes to are not firm.
        let firm = p.begun || (p.confirmed.is_some() && p.counts_on.is_none());
        let mut lines = vec![format!("{}: {}", sheet.crew.name, span(p.first, p.last))];
        lines.extend(p.parts.iter().map(|part| format!("{}: {}", part.what, part.state)));
        lines.extend(p.waits.iter().map(|wait| format!("To be ready first: {wait}")));
        if !sheet.cautions.is_empty() {
            let hazards: Vec<&str> = sheet.cautions.iter().map(|c| c.hazard.title()).collect();
            lines.push(format!("Take care: {}. {WHO_DECIDES}", hazards.join(", ")));
        }
        let entry = Entry {
            uid: of_phase(sheet, &p.key),
            form: SentForm::Event,
            day: first,
            until: Some(last.max(first)),
            title: format!("{}: {}", sheet.settings.name, p.name),
            told: lines.join("\n"),
            place: sheet.settings.ship_to.clone(),
            standing: if firm { Standing::Firm } else { Standing::Tentative },
            busy: true,
        };
        pages.put(&entry, whose);
    }
    let done = sheet.finished.iter().map(|key| of_phase(sheet, key)).collect();
    pages.cancel_others(&done, |_| true);
    pages.finish()
}

fn of_phase(sheet: &CrewSheet, key: &str) -> String {
    uid(&sheet.settings.name, key, "crew", SentForm::Event)
}
