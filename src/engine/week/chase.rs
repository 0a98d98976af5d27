//! What others owe, and what runs out: corrections, permits, waivers, draws. Deliveries and returns stand with the
//! deliveries.

use super::{About, Ask, Contact, Deed, Found, Kind, Words};
use crate::engine::calendar::Day;
use crate::engine::people::PermitStands;
use crate::model::{Action, Correction, Draw, Permit, Phase, Subject};

impl Found<'_> {
    pub(super) fn chase(&mut self) {
        self.corrections();
        self.permits();
        self.waivers();
        self.draws();
    }

    /// Corrections with a day that are not done, and failed visits whose inspector named one for all of them.
    fn corrections(&mut self) {
        let (project, as_of) = (self.project, self.figures.as_of);
        for c in project.corrections.iter().filter(|c| c.done.is_none() && Day::from(c.found) <= as_of) {
            let Some(due) = c.due.map(Day::from).filter(|due| self.counts(*due)) else { continue };
            let Some(phase) = project.phase(c.phase).filter(|p| p.finished_on().is_none()) else { continue };
            let about = About {
                kind: Kind::Chase,
                subject: Subject::Phase(phase.id),
                key: phase.key.clone(),
                tag: format!("correction-{}", c.id.0),
            };
            let who = if c.trade.is_empty() { "it".to_owned() } else { c.trade.clone() };
            let what = Words::of(format!("Get corrected: {}", c.what));
            let why = match c.trade.is_empty() {
                true => Words::of(format!("{} cannot be visited again before", phase.name)),
                false => Words::of(format!("by {who}; {} cannot be visited again before", phase.name)),
            };
            let done = Deed::Do(Box::new(Action::MarkCorrected(c.id, Some(as_of.date()))));
            let call = self.who_corrects(c);
            self.put(about, due, (what, why), (done, "Done")).call = call;
        }
        for phase in project.phases.iter() {
            self.failed(phase);
        }
    }

    fn failed(&mut self, phase: &Phase) {
        let Some(last) = phase.visits().max_by_key(|a| a.date).filter(|a| a.failed()) else { return };
        let Some(due) = last.correct_by.map(Day::from).filter(|due| self.counts(*due)) else { return };
        let listed = self.project.corrections.iter().any(|c| c.phase == phase.id);
        if phase.finished_on().is_some() || phase.booked_visit().is_some() || listed {
            return;
        }
        let about = About {
            kind: Kind::Chase,
            subject: Subject::Phase(phase.id),
            key: phase.key.clone(),
            tag: "failed".to_owned(),
        };
        let note = if last.note.is_empty() { "what was found" } else { &last.note };
        let what = Words::of(format!("Get corrected: {note}"));
        let why = Words::of(format!("{} failed on ", phase.name)).day(Day::from(last.date));
        let deed = Deed::Ask(Ask::Visit(phase.id));
        self.put(about, due, (what, why.text("; book the next visit")), (deed, "Visit…"));
    }

    /// The crew of the phase in which it is corrected, else one of its trade.
    fn who_corrects(&self, c: &Correction) -> Option<Contact> {
        let phase = c.fix_phase.and_then(|id| self.project.phase(id));
        let trade = c.trade.trim();
        let of_trade = || {
            let same = |crew: &&crate::model::Crew| crew.trade.trim().eq_ignore_ascii_case(trade);
            self.project.crews.iter().find(same).filter(|_| !trade.is_empty()).map(|crew| crew.id)
        };
        self.crew_contact(phase.and_then(|p| p.crew).or_else(of_trade))
    }

    fn permits(&mut self) {
        let (project, figures) = (self.project, self.figures);
        for (permit, stands) in project.permits.iter().zip(&figures.people.permits) {
            if let Some(day) = stands.day.filter(|day| self.counts(*day)) {
                self.permit(permit, stands.stands, day);
            }
        }
    }

    fn permit(&mut self, permit: &Permit, stands: PermitStands, day: Day) {
        let project = self.project;
        let name = |at: usize| project.phases.get(at).map_or("", |p| p.name.as_str());
        let (what, why) = match stands {
            PermitStands::Quiet => return,
            PermitStands::Ends(last) => {
                let why = Words::of("the work under it is done ").day(last);
                (format!("Have {} extended", permit.name), why)
            }
            PermitStands::Begun(at) => {
                let why = Words::of(format!("{} has begun without it", name(at)));
                (format!("Ask the office for {}", permit.name), why)
            }
            PermitStands::Waits(at) => {
                let waits = Words::of(format!("{} waits for it", name(at)));
                match (permit.issued_on, permit.applied_on) {
                    (Some(_), _) => (
                        format!("See that {} is there", permit.name),
                        Words::of("the office named this day").and("; ", waits),
                    ),
                    (None, Some(on)) => {
                        let applied = Words::of("applied for ").day(Day::from(on));
                        (format!("Ask the office for {}", permit.name), applied.and("; ", waits))
                    }
                    (None, None) => (format!("Apply for {}", permit.name), waits),
                }
            }
        };
        let as_of = self.figures.as_of.date();
        let issued = Action::PutPermit(Permit { issued_on: Some(as_of), ..permit.clone() });
        let at_once = !matches!(stands, PermitStands::Ends(_)) && permit.applied_on.is_some();
        let deed = match at_once && project.apply(&issued).is_ok() {
            true => (Deed::Do(Box::new(issued)), "Issued"),
            false => (Deed::Ask(Ask::Permit(permit.id)), "Permit…"),
        };
        let subject = Subject::Permit(permit.id);
        let tag = if matches!(stands, PermitStands::Ends(_)) { "ends" } else { "issue" };
        let about = About { kind: Kind::Chase, subject, key: permit.key.clone(), tag: tag.to_owned() };
        self.put(about, day, (Words::of(what), why), deed);
    }

    fn draws(&mut self) {
        let (project, figures) = (self.project, self.figures);
        for (draw, f) in project.draws.iter().zip(&figures.draws).filter(|(_, f)| f.overdue) {
            let Some(due) = f.due.filter(|due| self.counts(*due)) else { continue };
            let about = About {
                kind: Kind::Chase,
                subject: Subject::Draw(draw.id),
                key: draw.key.clone(),
                tag: String::new(),
            };
            let what = Words::of("Ask the lender for ").money(draw.amount).text(format!(", {}", draw.name));
            let why = Words::of("it has not come");
            let came = Draw { received_on: Some(figures.as_of.date()), received: None, ..draw.clone() };
            let came = Deed::Do(Box::new(Action::PutDraw(came)));
            self.put(about, due, (what, why), (came, "It came"));
        }
    }
}
