//! The end of the work: what is to be put right, what is to be looked at, and warranties that end.

use super::{About, Ask, Deed, Found, Kind, Words};
use crate::engine::calendar::Day;
use crate::engine::closing_out::in_house;
use crate::model::{Action, Punch, PunchStands, Subject};

impl Found<'_> {
    pub(super) fn closing_out(&mut self) {
        let project = self.project;
        for punch in project.punch.iter() {
            self.punch(punch);
        }
        self.warranties();
    }

    /// What has a day by which it is to be put right, and what is said to be done since that was said.
    fn punch(&mut self, punch: &Punch) {
        let as_of = self.figures.as_of.date();
        let (kind, day, what, why, deed) = match punch.stands(as_of) {
            Some(PunchStands::Late | PunchStands::Open) => {
                let Some(due) = punch.due.map(Day::from) else { return };
                let why = match punch.found_on {
                    Some(found) => Words::of("on the punch list since ").day(Day::from(found)),
                    None => Words::of("on the punch list"),
                };
                let done = Action::MarkPunchDone(punch.id, Some(as_of));
                (Kind::Chase, due, format!("Get fixed: {}", punch.what), why, (done, "Done"))
            }
            Some(PunchStands::Done) => {
                let Some(done) = punch.done_on.map(Day::from) else { return };
                let why = Words::of("said to be done ").day(done);
                let checked = Action::MarkPunchChecked(punch.id, Some(as_of));
                (Kind::Chase, done, format!("Check: {}", punch.what), why, (checked, "It is good"))
            }
            Some(PunchStands::Checked) | None => return,
        };
        if !self.counts(day) {
            return;
        }
        let tag = if punch.is_open(as_of) { "right" } else { "look" };
        let about =
            About { kind, subject: Subject::Punch(punch.id), key: punch.key.clone(), tag: tag.to_owned() };
        let (place, call) =
            (punch.room.map_or(String::new(), |id| self.room(id)), self.crew_contact(punch.crew));
        let deed = (Deed::Do(Box::new(deed.0)), deed.1);
        let line = self.put(about, day, (Words::of(what), why), deed);
        (line.place, line.call) = (place, call);
    }

    /// Warranties that end within the days that are looked at; what has ended is past help.
    fn warranties(&mut self) {
        let (project, figures) = (self.project, self.figures);
        for thing in in_house(project, figures) {
            let Some(day) = thing.warranty().filter(|day| *day >= figures.as_of && self.counts(*day)) else {
                continue;
            };
            let about = About {
                kind: Kind::Chase,
                subject: Subject::Part(thing.part.id),
                key: thing.part.key.clone(),
                tag: "warranty".to_owned(),
            };
            let at = figures.index.of(thing.part.id.0);
            let (name, room) = at.map_or_else(Default::default, |at| self.part_words(at));
            let what = Words::of(format!("Look over {name}"));
            let why = Words::of("its warranty ends");
            let supplier = at.and_then(|at| self.supplier_of(at)).and_then(super::of_supplier);
            let line =
                self.put(about, day, (what, why), (Deed::Ask(Ask::Warranty(thing.part.id)), "Warranty…"));
            (line.place, line.call) = (room, supplier);
        }
    }
}
