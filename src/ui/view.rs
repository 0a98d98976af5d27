//! What a panel may see, and how it asks for change.

use super::derived::Derived;
use super::shell::command::Command;
use super::theme::Tokens;
use crate::engine::{Day, Figures};
pub use crate::exchange::outgoing::lists::ListScope;
use crate::exchange::typed::Typed;
use crate::model::{
    Action, Currency, PartId, PhaseId, Problem, Project, RoomId, Selection, SelectionId, Subject, SupplierId,
};

/// Everything a panel may read. Panels hold no document of their own.
#[derive(Clone, Copy)]
pub struct View<'a> {
    /// The document.
    pub project: &'a Project,
    /// Its figures.
    pub figures: &'a Figures,
    /// Its problems.
    pub problems: &'a [Problem],
    /// For previews.
    pub derived: &'a Derived,
    /// Colors.
    pub tokens: &'a Tokens,
}

impl View<'_> {
    /// The currency of the project.
    pub fn currency(&self) -> Currency {
        self.project.settings.currency
    }

    /// The as-of day.
    pub fn as_of(&self) -> Day {
        self.figures.as_of
    }

    /// How typed texts are read.
    pub fn typed(&self) -> Typed {
        Typed::of(&self.project.settings, self.figures.as_of.date())
    }

    /// The selection with a number, without walking all of them.
    pub fn selection(&self, id: SelectionId) -> Option<&Selection> {
        let at = self.figures.index.of(id.0)?;
        self.project.selections.get(at).filter(|s| s.id == id).map(std::sync::Arc::as_ref)
    }

    /// The last day to order what counts of the selection at a position, as surely as the project asks for.
    pub fn order_by_sure(&self, at: usize) -> Option<Day> {
        self.derived.order_by_sure(self.project, at)
    }

    /// What lists show of each selection.
    pub fn facts(&self) -> &super::areas::house::ledger_facts::Facts {
        self.derived.facts(self.project)
    }
}

/// What a panel asks for.
#[derive(Debug, Clone, PartialEq)]
pub enum Request {
    /// Change the document.
    Act(Box<Action>),
    /// Do what a menu entry does.
    Do(Command),
    /// Put a thing on the card, and leave the area as it is.
    Pick(Subject),
    /// Bring a thing to view.
    Show(Subject),
    /// Open a form.
    Edit(Form),
    /// Open the form of an order that is not in the document before it is done.
    NewOrder(Box<crate::model::Order>),
    /// Ask how to write the purchase list of a supplier, or of all of them.
    ExportLists(ListScope),
    /// Ask how to write what a crew needs to know.
    ExportCrew(crate::model::CrewId),
    /// Ask how to write what is to be done in so many days.
    ExportWeek(i32),
    /// Write a page for a phone, after asking where.
    SharePage(crate::exchange::outgoing::pages::PageFor),
    /// Write the swap log of a room, or of the house, after asking where.
    ExportSwaps(Option<RoomId>),
    /// Go back or forward to a step of the undo list.
    GoToStep(usize),
    /// Open a project file.
    OpenFile(std::path::PathBuf),
    /// Open a sample.
    OpenSample(super::shell::samples::Sample),
    /// Ask which file something is to have beside the project.
    PickFile(crate::ui::pictures::Beside),
    /// Copy a file beside the project and give it to what it is for.
    TakeFile(crate::ui::pictures::Beside, std::path::PathBuf),
    /// Show a picture as large as there is room for.
    Look(crate::ui::pictures::Pictured),
    /// Open the manual of a part: a page of the web, or the file beside the project.
    OpenManual(PartId),
    /// Open a page of the web in the browser.
    OpenPage(String),
    /// Say why something that was asked for cannot be done.
    Refuse(String),
}

/// A form to open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// The project's settings.
    Settings,
    /// A room, or a new one.
    Room(Option<RoomId>),
    /// A selection, or a new one in a room.
    Selection(Option<SelectionId>, Option<RoomId>),
    /// An option of a selection, or a new one.
    Option(SelectionId, Option<crate::model::OptionId>),
    /// A part of an option, or a new one.
    Part(crate::model::OptionId, Option<PartId>),
    /// A phase, or a new one.
    Phase(Option<PhaseId>),
    /// A supplier, or a new one.
    Supplier(Option<SupplierId>),
    /// A quote, or a new one.
    Quote(Option<crate::model::QuoteId>),
    /// A fee or an extra, or a new one.
    Extra(Option<crate::model::ExtraId>),
    /// Another choice for a selection, or back from a swap.
    Swap(SelectionId, crate::model::OptionId, Option<crate::model::SwapId>),
    /// What becomes of a part, with a state to begin with.
    Return(PartId, Option<crate::model::ReturnState>),
    /// An order.
    Order(crate::model::OrderId),
    /// What came of a part, or something new that came.
    Delivery(PartId, Option<crate::model::DeliveryId>),
    /// A payment, or a new one for an order or a part.
    Payment(crate::model::PaidFor, Option<crate::model::PaymentId>),
    /// A rule, or a new one about a selection.
    Rule(Option<crate::model::RuleId>, Option<SelectionId>),
    /// A gate, or a new one before a phase.
    Gate(Option<crate::model::GateId>, Option<PhaseId>),
    /// What an inspector wants corrected, or a new one for an inspection.
    Correction(Option<crate::model::CorrectionId>, PhaseId),
    /// What of a selection must be known, by its place there, or a new one.
    Spec(SelectionId, Option<usize>),
    /// Whom it was told, by its place in the selection.
    Tell(SelectionId, usize),
    /// A crew, or a new one for a phase.
    Crew(Option<crate::model::CrewId>, Option<PhaseId>),
    /// A permit, or a new one that a phase waits for.
    Permit(Option<crate::model::PermitId>, Option<PhaseId>),
    /// A change of the work, or a new one in a phase.
    Change(Option<crate::model::ChangeId>, Option<PhaseId>),
    /// A draw of the lender, or a new one.
    Draw(Option<crate::model::DrawId>),
    /// A risk, or a new one in a phase.
    Risk(Option<crate::model::RiskId>, Option<PhaseId>),
    /// A room or a service that is out of use, or a new one that begins with a phase.
    OutOfUse(Option<crate::model::OutOfUseId>, Option<PhaseId>),
    /// Something on the punch list, or a new one in a room.
    Punch(Option<crate::model::PunchId>, Option<RoomId>),
    /// Serial number, warranty and manual of a part.
    Handover(PartId),
    /// Keeping the plan as it stands.
    KeepPlan,
    /// Another name for a kept plan.
    NamePlan(crate::model::PlanId),
    /// The usual gates that fit the project, before they are added.
    UsualGates,
}

impl Form {
    /// The form of something that the card can follow; `None` for what has another place.
    pub fn of(subject: Subject) -> Option<Form> {
        Some(match subject {
            Subject::Room(id) => Form::Room(Some(id)),
            Subject::Phase(id) => Form::Phase(Some(id)),
            Subject::Supplier(id) => Form::Supplier(Some(id)),
            Subject::Order(id) => Form::Order(id),
            Subject::Gate(id) => Form::Gate(Some(id), None),
            Subject::Crew(id) => Form::Crew(Some(id), None),
            Subject::Quote(id) => Form::Quote(Some(id)),
            _ => return None,
        })
    }
}

/// Requests of one frame, in order.
#[derive(Debug, Default)]
pub struct Outbox {
    requests: Vec<Request>,
}

impl Outbox {
    /// Asks for a change of the document.
    pub fn act(&mut self, action: Action) {
        self.requests.push(Request::Act(Box::new(action)));
    }

    /// Asks for what a menu entry does.
    pub fn command(&mut self, command: Command) {
        self.requests.push(Request::Do(command));
    }

    /// Asks to bring a thing to view.
    pub fn show(&mut self, subject: Subject) {
        self.requests.push(Request::Show(subject));
    }

    /// Asks for a form.
    pub fn edit(&mut self, form: Form) {
        self.requests.push(Request::Edit(form));
    }

    /// Any other request.
    pub fn push(&mut self, request: Request) {
        self.requests.push(request);
    }

    /// How many requests there are.
    pub fn len(&self) -> usize {
        self.requests.len()
    }

    /// Whether nothing was asked for.
    pub fn is_empty(&self) -> bool {
        self.requests.is_empty()
    }

    /// Takes all requests out.
    pub fn drain(&mut self) -> Vec<Request> {
        std::mem::take(&mut self.requests)
    }
}
