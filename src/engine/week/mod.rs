//! What is to be done in the next days: to decide, to order, to call, to be there for, to pay, to chase.
//!
//! The list is exactly the things whose last day is at most the last day of the horizon, in order of their days. What is
//! past stands first. Nothing is stored: done deeds leave the figures, and so the list. What has no day is not in it.
#![doc = include_str!("../../../assets/manual/week.md")]

mod chase;
mod choices;
mod closing_out;
mod deliveries;
mod pay;
mod people;
mod words;

pub use words::Words;

use super::calendar::Day;
use super::figures::Figures;
use crate::model::{
    Action, Crew, CrewId, Currency, Money, OrderId, PaidFor, PartId, PermitId, PhaseId, Project, QuoteId,
    SelectionId, Subject, Supplier,
};

/// How far ahead the list may look, in days; the first is what is shown when nobody has picked.
pub const HORIZONS: [i32; 3] = [7, 14, 28];

/// What sort of thing is to be done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// A choice to make, or something of it to tell.
    Decide,
    /// Something to order, or a supplier to ask for its lead time.
    Order,
    /// A crew to call, to book or to hire.
    Call,
    /// A delivery, a visit or a crew that somebody must be at home for.
    BeThere,
    /// Money that falls due.
    Pay,
    /// Something that others owe, or that runs out.
    Chase,
}

impl Kind {
    /// All, in the order in which they stand on one day, with their words in JSON and in titles.
    pub const ALL: [(&'static str, &'static str, Kind); 6] = [
        ("decide", "Decide", Kind::Decide),
        ("order", "Order", Kind::Order),
        ("call", "Call", Kind::Call),
        ("be_there", "Be there", Kind::BeThere),
        ("pay", "Pay", Kind::Pay),
        ("chase", "Chase", Kind::Chase),
    ];

    /// Its word in JSON.
    pub fn word(self) -> &'static str {
        Kind::ALL[self as usize].0
    }

    /// Its word for people.
    pub fn title(self) -> &'static str {
        Kind::ALL[self as usize].1
    }
}

/// Whom to call.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Contact {
    /// A crew, or the person a supplier named.
    pub name: String,
    /// The telephone number; empty where nobody has noted one.
    pub phone: String,
    /// The address for mail.
    pub email: String,
}

/// What is done about a line.
#[derive(Debug, Clone, PartialEq)]
pub enum Deed {
    /// At once, by this action.
    Do(Box<Action>),
    /// After something was asked.
    Ask(Ask),
}

/// What must be asked before something is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ask {
    /// Which option of a selection it is to be.
    Choose(SelectionId),
    /// Whom something of a selection was told, by its place there.
    Tell(SelectionId, usize),
    /// What the supplier says of a part.
    LeadTime(PartId),
    /// Who does the work of a phase.
    Hire(PhaseId),
    /// What came of a visit, or when the next one is.
    Visit(PhaseId),
    /// What came of a part, or when the rest of it will.
    Delivery(PartId),
    /// What was paid to a supplier.
    Payment(PaidFor),
    /// What was paid on a quote.
    Quote(QuoteId),
    /// What becomes of a part.
    SendBack(PartId),
    /// What the office says of a permit.
    Permit(PermitId),
    /// How long a part is under warranty.
    Warranty(PartId),
}

/// One thing to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What sort of thing it is.
    pub kind: Kind,
    /// What it is about.
    pub subject: Subject,
    /// The key of that.
    pub about: String,
    /// What keeps it apart from other lines, and stays as long as its keys: for calendars.
    pub id: String,
    /// Its last day.
    pub day: Day,
    /// What is to be done.
    pub what: Words,
    /// The room it is in, where it is in one.
    pub place: String,
    /// Why, or why then.
    pub why: Words,
    /// Whom to call.
    pub call: Option<Contact>,
    /// What is done about it.
    pub deed: Deed,
    /// What the button of it says.
    pub deed_words: &'static str,
}

impl Line {
    /// All of it in one sentence, with days and amounts as they are written there.
    pub fn shown(&self, day: impl Fn(Day) -> String, money: impl Fn(Money) -> String) -> String {
        let mut text = self.what.shown(&day, &money);
        if !self.place.is_empty() {
            text.push_str(", ");
            text.push_str(&self.place);
        }
        let why = self.why.shown(&day, &money);
        if !why.is_empty() {
            text.push_str("; ");
            text.push_str(&why);
        }
        text
    }

    /// The same for programs.
    pub fn text(&self, currency: Currency) -> String {
        self.shown(|day| day.to_string(), |amount| format!("{} {currency}", amount.to_plain(currency)))
    }
}

/// The last day of a horizon of so many days, of which the as-of day is the first.
pub fn last_day(as_of: Day, days: i32) -> Day {
    as_of.plus(days.saturating_sub(1).max(0))
}

/// What is to be done within so many days, the as-of day among them, in order of date; on one day by kind, then in the
/// order of the document.
pub fn week(project: &Project, figures: &Figures, days: i32) -> Vec<Line> {
    let until = last_day(figures.as_of, days);
    let mut found = Found { project, figures, until, lines: Vec::new() };
    found.choices();
    found.people();
    found.deliveries();
    found.pay();
    found.chase();
    found.closing_out();
    found.lines.sort_by_key(|line| (line.day, line.kind));
    found.lines
}

/// What is found so far.
pub(super) struct Found<'a> {
    project: &'a Project,
    figures: &'a Figures,
    /// The last day that counts.
    until: Day,
    lines: Vec<Line>,
}

/// What a line is about, and what is to be done about it.
struct About {
    kind: Kind,
    subject: Subject,
    key: String,
    /// What keeps it apart from other lines about the same thing.
    tag: String,
}

impl Found<'_> {
    /// Whether something with such a day is in the list.
    fn counts(&self, day: Day) -> bool {
        day <= self.until
    }

    /// Puts a line that is about nothing in a room.
    fn put(&mut self, about: About, day: Day, say: (Words, Words), deed: (Deed, &'static str)) -> &mut Line {
        let About { kind, subject, key, tag } = about;
        let noun = noun(subject);
        let id = format!("{}/{noun}/{key}/{tag}", kind.word());
        let (what, why) = say;
        self.lines.push(Line {
            kind,
            subject,
            about: key,
            id,
            day,
            what,
            place: String::new(),
            why,
            call: None,
            deed: deed.0,
            deed_words: deed.1,
        });
        let last = self.lines.len() - 1;
        &mut self.lines[last]
    }

    /// What a part is called, and the room it is for.
    fn part_words(&self, at: usize) -> (String, String) {
        let name = super::effect::part_name(self.project, self.figures, at).unwrap_or_default();
        let selection =
            self.figures.parts.get(at).and_then(|f| self.project.selections.get(f.selection as usize));
        (name, selection.map_or(String::new(), |s| self.room(s.room)))
    }

    fn room(&self, id: crate::model::RoomId) -> String {
        self.project.room(id).map_or(String::new(), |r| r.name.clone())
    }

    fn supplier_of(&self, at: usize) -> Option<&Supplier> {
        let f = self.figures.parts.get(at)?;
        self.project.suppliers.get(f.supplier? as usize)
    }

    fn phase_name(&self, at: Option<u32>) -> Option<&str> {
        self.project.phases.get(at? as usize).map(|p| p.name.as_str())
    }

    /// What the supplier calls an order; nothing where nobody has noted that.
    fn order_name(&self, id: OrderId) -> &str {
        self.project.order(id).map_or("", |o| o.number.as_str())
    }

    fn crew_contact(&self, id: Option<CrewId>) -> Option<Contact> {
        id.and_then(|id| self.project.crew(id)).map(of_crew)
    }
}

fn of_crew(crew: &Crew) -> Contact {
    Contact {
        name: crew.name.clone(),
        phone: crew.phone.trim().to_owned(),
        email: crew.email.trim().to_owned(),
    }
}

/// A supplier, by the person it named, where there is a way to reach it.
fn of_supplier(supplier: &Supplier) -> Option<Contact> {
    let (phone, email) = (supplier.phone.trim(), supplier.email.trim());
    let person = supplier.contact.trim();
    let name =
        if person.is_empty() { supplier.name.clone() } else { format!("{person} at {}", supplier.name) };
    (!phone.is_empty() || !email.is_empty()).then(|| Contact {
        name,
        phone: phone.to_owned(),
        email: email.to_owned(),
    })
}

/// The word of what something is, to keep apart things of different sorts with the same key.
fn noun(subject: Subject) -> &'static str {
    match subject {
        Subject::Project => "project",
        Subject::Room(_) => "room",
        Subject::Phase(_) => "phase",
        Subject::Link(_) => "link",
        Subject::Supplier(_) => "supplier",
        Subject::Selection(_) => "selection",
        Subject::Part(_) => "part",
        Subject::Quote(_) => "quote",
        Subject::Gate(_) => "gate",
        Subject::Order(_) => "order",
        Subject::Crew(_) => "crew",
        Subject::Permit(_) => "permit",
        Subject::Change(_) => "change",
        Subject::Draw(_) => "draw",
        Subject::Extra(_) => "extra",
        Subject::Punch(_) => "punch",
    }
}
