//! Problems: what is wrong or worth knowing, about what, and what to do.

use super::ids::*;

/// How much it matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// Will cost something if nothing is done.
    Warning,
    /// Costs something now, or keeps figures from being computed.
    Error,
}

impl Severity {
    /// Its word in sheets, JSON and on the command line.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Note => "note",
            Severity::Warning => "warning",
            Severity::Error => "error",
        }
    }
}

/// What a problem is about, so that a click can lead there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Subject {
    /// The project as a whole.
    Project,
    /// A room.
    Room(RoomId),
    /// A phase.
    Phase(PhaseId),
    /// A link.
    Link(LinkId),
    /// A supplier.
    Supplier(SupplierId),
    /// A selection.
    Selection(SelectionId),
    /// A part.
    Part(PartId),
    /// A quote.
    Quote(QuoteId),
    /// A gate.
    Gate(GateId),
    /// An order.
    Order(OrderId),
    /// A crew.
    Crew(CrewId),
    /// A permit.
    Permit(PermitId),
    /// A change of the work.
    Change(ChangeId),
    /// A draw of the lender.
    Draw(DrawId),
    /// A fee or an extra.
    Extra(ExtraId),
    /// Something on the punch list.
    Punch(PunchId),
}

/// One problem.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// How much it matters.
    pub severity: Severity,
    /// A short fixed word for programs: `cycle`, `late`, `undecided`, …
    pub code: &'static str,
    /// What it is about.
    pub subject: Subject,
    /// The key of the thing it is about.
    pub about: String,
    /// What is wrong and what to do, in a sentence or two.
    pub message: String,
}
