//! Deliveries to be there for, deliveries that are overdue, and what must go back.
//!
//! What is ordered and has not come will be brought; what is overdue is chased and not waited for. What is not wanted any
//! more, and has not come, is one thing to settle with the supplier, and no delivery too.
//! Something that goes back has the supplier's last day; where there is none, and for an order that is to be cancelled
//! before it comes, the day is the as-of day: each day makes it worse.

use super::{About, Ask, Deed, Found, Kind, Words, of_supplier};
use crate::engine::calendar::Day;
use crate::engine::parts::PartFigures;
use crate::engine::returns::{Terms, document_part};
use crate::model::words::quantity;
use crate::model::{Part, ReturnState, Subject};

impl Found<'_> {
    pub(super) fn deliveries(&mut self) {
        for (at, f) in self.figures.parts.iter().enumerate() {
            if f.placed.is_none() {
                continue;
            }
            let Some(part) = document_part(self.project, f) else { continue };
            if !f.on_site && !f.built_in && (f.live || self.is_kept(at)) {
                match f.was_expected {
                    Some(day) => self.overdue(at, part, f, day),
                    None => self.comes(at, part, f),
                }
            }
            if !f.live {
                self.send_back(at, part, f);
            }
        }
    }

    /// Whether it was decided that a part that is not wanted any more stays.
    fn is_kept(&self, at: usize) -> bool {
        self.figures.returns.of(at).is_some_and(|r| r.state == ReturnState::Kept)
    }

    fn about(&self, kind: Kind, part: &Part, tag: &str) -> About {
        About { kind, subject: Subject::Part(part.id), key: part.key.clone(), tag: tag.to_owned() }
    }

    fn comes(&mut self, at: usize, part: &Part, f: &PartFigures) {
        let Some(day) = f.expected.filter(|day| self.counts(*day)) else { return };
        let (name, room) = self.part_words(at);
        let supplier = self.supplier_of(at);
        let from = supplier.map_or(String::new(), |s| format!(" from {}", s.name));
        let call = supplier.and_then(of_supplier);
        let typical = if f.is_assumed() {
            Words::of("a typical time, nobody has said the day")
        } else {
            Words::default()
        };
        let rest = match self.figures.deliveries.of(at) {
            Some(_) => Words::of(format!("{} missing", self.missing(at, part))),
            None => Words::default(),
        };
        let about = self.about(Kind::BeThere, part, "delivery");
        let what = Words::of(format!("Be there for the delivery of {name}{from}"));
        let say = (what, rest.and("; ", typical).and("; ", self.needed(f)));
        let line = self.put(about, day, say, (Deed::Ask(Ask::Delivery(f.id)), "Came…"));
        (line.place, line.call) = (room, call);
    }

    fn overdue(&mut self, at: usize, part: &Part, f: &PartFigures, day: Day) {
        if !self.counts(day) {
            return;
        }
        let (name, room) = self.part_words(at);
        let supplier = self.supplier_of(at);
        let call = supplier.and_then(of_supplier);
        let whom = supplier.map_or("the supplier", |s| s.name.as_str());
        let what = Words::of(format!("Ask {whom} when {name} comes"));
        let why = match self.figures.deliveries.of(at) {
            Some(_) => Words::of(format!("{} missing", self.missing(at, part))),
            None => Words::of("it has not come"),
        };
        let about = self.about(Kind::Chase, part, "overdue");
        let say = (what, why.and("; ", self.needed(f)));
        let line = self.put(about, day, say, (Deed::Ask(Ask::Delivery(f.id)), "Came…"));
        (line.place, line.call) = (room, call);
    }

    fn missing(&self, at: usize, part: &Part) -> String {
        let bought = self.figures.parts.get(at).map_or(rust_decimal::Decimal::ZERO, |f| f.quantity_to_buy);
        let missing = self.figures.deliveries.missing(at, bought);
        quantity(missing, &part.unit)
    }

    fn send_back(&mut self, at: usize, part: &Part, f: &PartFigures) {
        let back = self.figures.returns.of(at);
        let (going, terms): (bool, Terms) = match back {
            None => (false, self.figures.terms(self.project, at, None, self.figures.as_of)),
            Some(r) if r.state == ReturnState::ToDecide => (false, r.terms),
            Some(r) if r.state == ReturnState::GoingBack => (true, r.terms),
            Some(_) => return,
        };
        let as_of = self.figures.as_of;
        let day = terms.send_by.unwrap_or(as_of);
        if !self.counts(day) {
            return;
        }
        let (name, room) = self.part_words(at);
        let supplier = self.supplier_of(at);
        let call = supplier.and_then(of_supplier);
        let whom = supplier.map_or(String::new(), |s| format!(" to {}", s.name));
        let what = match (going, terms.came) {
            (true, true) => format!("Send back {name}{whom}"),
            (true, false) => format!("Cancel the order of {name}"),
            (false, _) => format!("Say what becomes of {name}"),
        };
        let back = Words::of("it would bring back ").money(terms.given_back);
        let why = match (terms.came, terms.send_by) {
            (true, Some(last)) if last < as_of => Words::of(
                "the last day to send it back has passed: ask for a credit, keep it or write it off",
            ),
            (true, Some(_)) => Words::of("the last day the supplier takes it").and("; ", back),
            (true, None) => Words::of("ask the supplier for the last day").and("; ", back),
            (false, _) => Words::of("it is not wanted any more, and has not come").and("; ", back),
        };
        let words = match (going, terms.came) {
            (true, true) => "Sent back…",
            (true, false) => "Cancelled…",
            _ => "Decide…",
        };
        let about = self.about(Kind::Chase, part, "back");
        let line = self.put(about, day, (Words::of(what), why), (Deed::Ask(Ask::SendBack(f.id)), words));
        (line.place, line.call) = (room, call);
    }
}
