//! Checks of the end of the work: what is not put right in time, and warranties that end.

use super::Found;
use crate::engine::closing_out::in_house;
use crate::engine::effect::part_name;
use crate::model::{PunchStands, Severity, Subject};

impl Found<'_> {
    pub(super) fn closing_out(&mut self) {
        self.punch();
        self.warranties();
    }

    fn punch(&mut self) {
        let (project, as_of) = (self.project, self.figures.as_of.date());
        for punch in project.punch.iter().filter(|p| p.is_open(as_of)) {
            let subject = Subject::Punch(punch.id);
            let crew = punch.crew.and_then(|id| project.crew(id));
            if let (Some(PunchStands::Late), Some(due)) = (punch.stands(as_of), punch.due) {
                let call = match crew.map(|c| (c.name.as_str(), c.phone.trim())) {
                    Some((name, "")) => format!("ask {name} for a day"),
                    Some((name, phone)) => format!("call {name}, {phone}"),
                    None => "say who does it".to_owned(),
                };
                let message = format!("{} was to be put right by {due}; {call}", punch.what);
                self.add(Severity::Warning, "punch_late", subject, &punch.key, message);
            } else if crew.is_none() {
                let message = format!("nobody has said who puts this right: {}; name a crew", punch.what);
                self.add(Severity::Note, "punch_nobody", subject, &punch.key, message);
            }
        }
    }

    fn warranties(&mut self) {
        let (project, figures) = (self.project, self.figures);
        for thing in in_house(project, figures).filter(|thing| thing.ends_soon(figures.as_of)) {
            let Some(day) = thing.warranty() else { continue };
            let at = figures.index.of(thing.part.id.0);
            let name = at.and_then(|at| part_name(project, figures, at)).unwrap_or_default();
            let message = format!(
                "the warranty of {name} ends on {day}; look it over, and claim before then what is wrong"
            );
            self.add(Severity::Note, "warranty_ends", Subject::Part(thing.part.id), &thing.part.key, message);
        }
    }
}
