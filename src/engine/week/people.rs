//! To call, and to be there for crews and inspectors.
//!
//! A crew that counts on another start is called once for all its phases, before the first of the days it would come on
//! by mistake, or should. Who is not booked is to be booked by the day of 3.14.

use super::{About, Ask, Deed, Found, Kind, Words};
use crate::engine::calendar::Day;
use crate::engine::people::{Booked, is_ahead};
use crate::model::words::count;
use crate::model::{Action, Phase, PhaseKind, Subject};

impl Found<'_> {
    pub(super) fn people(&mut self) {
        self.calls();
        let (project, figures) = (self.project, self.figures);
        for (at, (phase, f)) in project.phases.iter().zip(&figures.phases).enumerate() {
            self.book(at, phase, f.early_start, f.forecast_start);
            match phase.kind {
                PhaseKind::Inspection => self.visit(phase, f.forecast_start),
                PhaseKind::Work => self.starts(phase, f.forecast_start),
                PhaseKind::Milestone => {}
            }
        }
    }

    fn calls(&mut self) {
        let (project, figures) = (self.project, self.figures);
        for id in figures.people.to_call() {
            let own = || figures.people.calls.iter().filter(|c| c.crew == id);
            let day = own().map(|c| c.old.min(c.new)).min().filter(|day| self.counts(*day));
            let (Some(day), Some(crew)) = (day, project.crew(id)) else { continue };
            let mut why = Words::default();
            for call in own() {
                let Some(phase) = project.phases.get(call.phase) else { continue };
                let moved = Words::of(format!("{} starts ", phase.name)).day(call.new);
                why = why.and("; ", moved.text(", not ").day(call.old));
            }
            let about = About {
                kind: Kind::Call,
                subject: Subject::Crew(id),
                key: crew.key.clone(),
                tag: String::new(),
            };
            let starts = figures.people.starts_to_tell(project, id);
            let told = Action::MarkTold { starts, on: figures.as_of.date() };
            let what = Words::of(format!("Tell {} its new days", crew.name));
            let call = self.crew_contact(Some(id));
            self.put(about, day, (what, why), (Deed::Do(Box::new(told)), "Told")).call = call;
        }
    }

    fn book(&mut self, at: usize, phase: &Phase, plan: Option<Day>, start: Option<Day>) {
        let booking = self.figures.people.booking(at);
        let Some(by) = booking.hire_by.filter(|by| self.counts(*by)) else { return };
        let crew = phase.crew.and_then(|id| self.project.crew(id));
        let (what, deed) = match (booking.state, crew, start) {
            (Booked::NoCrew, ..) => {
                let what = format!("Hire a crew for {}", phase.name);
                (what, (Deed::Ask(Ask::Hire(phase.id)), "Crew…"))
            }
            (Booked::NotBooked, Some(crew), Some(start)) => {
                let book = Action::Book(phase.id, Some(start.date()));
                (format!("Book {} for {}", crew.name, phase.name), (Deed::Do(Box::new(book)), "Booked"))
            }
            _ => return,
        };
        let starts = plan.map_or(Words::default(), |plan| Words::of("it starts ").day(plan));
        let ahead = if booking.typical {
            "such crews are usually booked by this day".to_owned()
        } else {
            let days = crew.and_then(|c| c.hire_lead).unwrap_or(0);
            let end = if days == 1 { "'s" } else { "'" };
            format!("it wants {}{end} notice", count(days, "working day"))
        };
        let about = About {
            kind: Kind::Call,
            subject: Subject::Phase(phase.id),
            key: phase.key.clone(),
            tag: if crew.is_some() { "book" } else { "hire" }.to_owned(),
        };
        let call = self.crew_contact(phase.crew);
        let say = (Words::of(what), starts.and("; ", Words::of(ahead)));
        self.put(about, by, say, deed).call = call;
    }

    /// A visit that is booked, or the day from which the next one can be.
    fn visit(&mut self, phase: &Phase, start: Option<Day>) {
        if phase.finished_on().is_some() {
            return;
        }
        let booked = phase.booked_visit().map(Day::from);
        let Some(day) = booked.or(start).filter(|day| self.counts(*day)) else { return };
        let open =
            self.project.corrections.iter().filter(|c| c.phase == phase.id && c.done.is_none()).count();
        let corrections = match open {
            0 => Words::default(),
            n => Words::of(format!("{} not done", count(n, "correction"))),
        };
        let (what, why, words) = match booked {
            Some(on) if on < self.figures.as_of => {
                let why = Words::of("its day has passed, and nothing is noted of it");
                (format!("Note what came of the visit for {}", phase.name), why, "Visit…")
            }
            Some(_) => (format!("Be there for the visit for {}", phase.name), Words::of("booked"), "Visit…"),
            None => {
                (format!("Book the visit for {}", phase.name), Words::of("it can be on that day"), "Visit…")
            }
        };
        let about = About {
            kind: Kind::BeThere,
            subject: Subject::Phase(phase.id),
            key: phase.key.clone(),
            tag: String::new(),
        };
        let deed = Deed::Ask(Ask::Visit(phase.id));
        self.put(about, day, (Words::of(what), why.and("; ", corrections)), (deed, words));
    }

    /// A crew, or another trade, that begins.
    fn starts(&mut self, phase: &Phase, start: Option<Day>) {
        let comes = phase.crew.is_some() || !phase.trade.trim().is_empty();
        if !is_ahead(phase) || phase.own_work || !comes {
            return;
        }
        let Some(day) = start.filter(|day| self.counts(*day)) else { return };
        let crew = phase.crew.and_then(|id| self.project.crew(id));
        let who = crew.map_or(phase.trade.trim(), |c| c.name.as_str());
        let what = Words::of(format!("Be there when {who} begins {}", phase.name));
        let days = phase.counted_days();
        let why = if days > 0 { Words::of(count(days, "working day")) } else { Words::default() };
        let about = About {
            kind: Kind::BeThere,
            subject: Subject::Phase(phase.id),
            key: phase.key.clone(),
            tag: String::new(),
        };
        let begun = Deed::Do(Box::new(Action::StartPhase(phase.id, Some(self.figures.as_of.date()))));
        let call = self.crew_contact(phase.crew);
        self.put(about, day, (what, why), (begun, "Has begun")).call = call;
    }
}
