//! To decide and to order.
//!
//! A selection is to be decided by its day of 3.12; one of which everything is chosen only where something of it is to be
//! told. Only parts of a choice are to be ordered: what is undecided is one thing to decide.

use super::{About, Ask, Deed, Found, Kind, Words, of_supplier};
use crate::engine::parts::{DecideFor, PartFigures, SelectionFigures};
use crate::engine::specs::{reason_words, waits_words};
use crate::model::words::count;
use crate::model::{Action, Selection, Subject};

impl Found<'_> {
    pub(super) fn choices(&mut self) {
        let (project, figures) = (self.project, self.figures);
        for (selection, own) in project.selections.iter().zip(&figures.selections) {
            self.decide(selection, own);
            if own.chosen {
                for at in own.first_part..own.end_part {
                    if let Some(f) = figures.parts.get(at).filter(|f| f.live && f.placed.is_none()) {
                        self.order(at, f);
                    }
                }
            } else if own.decide.by.is_none() {
                self.ask_about(selection, own);
            }
        }
    }

    fn decide(&mut self, selection: &Selection, own: &SelectionFigures) {
        let Some(by) = own.decide.by.filter(|by| self.counts(*by)) else { return };
        let spec = match own.decide.reason {
            Some(DecideFor::Spec(at)) => selection.specs.get(at).map(|spec| (at, spec)),
            _ => None,
        };
        let about = About {
            kind: Kind::Decide,
            subject: Subject::Selection(selection.id),
            key: selection.key.clone(),
            tag: String::new(),
        };
        let room = self.room(selection.room);
        let (say, deed) = match spec.filter(|_| own.chosen) {
            Some((at, spec)) => {
                let whom =
                    if spec.told_to.trim().is_empty() { "who waits for it" } else { spec.told_to.trim() };
                let waits = self.figures.spec_facts(self.project).known_by(spec);
                let waits = waits.map_or(String::new(), |(waits, _)| {
                    format!("for {}", waits_words(self.project, self.figures, waits))
                });
                let what = format!("Tell {whom} the {} of {}", spec.what, selection.name);
                let ask = Ask::Tell(selection.id, at);
                ((Words::of(what), Words::of(waits)), (Deed::Ask(ask), "Told…"))
            }
            None => {
                // A spec says itself what waits for it.
                let before = if spec.is_some() { "" } else { "for " };
                let why = reason_words(self.project, self.figures, own);
                let why = why.map_or(Words::default(), |why| Words::of(format!("{before}{why}")));
                let likely = selection.live_option().map(|o| Words::of(format!("leaning to {}", o.name)));
                let why = why.and("; ", likely.unwrap_or_default()).and("; ", too_late(own));
                let what = Words::of(format!("Choose {}", selection.name));
                ((what, why), (Deed::Ask(Ask::Choose(selection.id)), "Choose…"))
            }
        };
        self.put(about, by, say, deed).place = room;
    }

    fn order(&mut self, at: usize, f: &PartFigures) {
        let Some(day) = f.due_to_order().or(f.ask_by).filter(|day| self.counts(*day)) else { return };
        let Some((_, _, part)) = self.project.part(f.id) else { return };
        let (name, room) = self.part_words(at);
        let about = About {
            kind: Kind::Order,
            subject: Subject::Part(f.id),
            key: part.key.clone(),
            tag: String::new(),
        };
        let supplier = self.supplier_of(at);
        let call = supplier.and_then(of_supplier);
        let from = supplier.map_or(String::new(), |s| format!(" from {}", s.name));
        let need = self.needed(f);
        let (say, deed) = if f.due_to_order().is_some() {
            let why = match (f.waits_from(), f.arrival.filter(|_| f.late)) {
                (Some(_), arrival) => {
                    let after = self.figures.order_waits_for(at).and_then(|p| self.project.phases.get(p));
                    let after =
                        after.map_or("not before".to_owned(), |p| format!("not before, after {}", p.name));
                    let comes = arrival.map_or(Words::default(), |day| Words::of("arrives ").day(day));
                    Words::of(after).and("; ", comes).and(", ", need)
                }
                (None, Some(arrival)) => Words::of("arrives ").day(arrival).and(", ", need),
                (None, None) => need,
            };
            let costs = match f.costs_days {
                0 => Words::default(),
                days => Words::of(format!("costs the finish {}", count(days, "working day"))),
            };
            let order = Action::MarkOrdered(vec![f.id], Some(self.figures.as_of.date()));
            let what = Words::of(format!("Order {name}{from}"));
            ((what, why.and("; ", costs)), (Deed::Do(Box::new(order)), "Ordered"))
        } else {
            let whom = supplier.map_or("a supplier", |s| s.name.as_str());
            let what = Words::of(format!("Ask {whom} for the lead time of {name}"));
            let why =
                Words::of("nobody has said it; at the long end of what is typical it must be ordered then");
            ((what, why.and("; ", need)), (Deed::Ask(Ask::LeadTime(f.id)), "Lead time…"))
        };
        let line = self.put(about, day, say, deed);
        (line.place, line.call) = (room, call);
    }

    /// An undecided selection that no day asks for, with a candidate of which nobody has said the lead time.
    fn ask_about(&mut self, selection: &Selection, own: &SelectionFigures) {
        let Some(by) = own.ask_by.filter(|by| self.counts(*by)) else { return };
        let parts = (own.first_part..own.end_part).zip(self.figures.parts_of(own));
        let mut first = parts.filter(|(_, f)| (f.live || own.live.is_none()) && f.ask_by == Some(by));
        let Some((at, f)) = first.next() else { return };
        let (name, room) = self.part_words(at);
        let supplier = self.supplier_of(at);
        let call = supplier.and_then(of_supplier);
        let whom = supplier.map_or("a supplier", |s| s.name.as_str());
        let about = About {
            kind: Kind::Order,
            subject: Subject::Selection(selection.id),
            key: selection.key.clone(),
            tag: String::new(),
        };
        let what = Words::of(format!("Ask {whom} for the lead time of {name}"));
        let why = Words::of("undecided, and nobody has said how long it takes").and("; ", self.needed(f));
        let line = self.put(about, by, (what, why), (Deed::Ask(Ask::LeadTime(f.id)), "Lead time…"));
        (line.place, line.call) = (room, call);
    }

    /// When a part is needed, and for what.
    pub(super) fn needed(&self, f: &PartFigures) -> Words {
        let Some(need) = f.need_date else { return Words::default() };
        let for_what = self.phase_name(f.phase).map_or(String::new(), |name| format!(" for {name}"));
        Words::of("needed ").day(need).text(for_what)
    }
}

fn too_late(own: &SelectionFigures) -> Words {
    match own.too_late {
        0 => Words::default(),
        n => Words::of(format!("{} no longer in time", count(n, "candidate"))),
    }
}
