//! Actions: every way a project can be changed, in the user's words.
//!
//! Panels and importers build actions; only [`Project::apply`](super::Project::apply) turns one into a new document.

use super::alternative::Alternative;
use super::budget::{Extra, Quote};
use super::change::Change;
use super::crew::Crew;
use super::draw::Draw;
use super::edited;
use super::facts::Rule;
use super::gate::{Correction, Gate};
use super::goods::{Goods, TypicalLead};
use super::handover::Handover;
use super::ids::AlternativeId;
use super::ids::*;
use super::kept_plan::KeptPlan;
use super::log::{Cause, LogLine};
use super::look::Rgb;
use super::mapping::Mapping;
use super::money::Money;
use super::order::{Delivery, Order, PaidFor, Payment};
use super::out_of_use::OutOfUse;
use super::part::Part;
use super::permit::Permit;
use super::phase::{Link, Phase};
use super::project::{Project, Settings};
use super::punch::Punch;
use super::risk::Risk;
use super::room::Room;
use super::selection::{Selection, SelectionOption};
use super::sent::Sent;
use super::spec::Spec;
use super::supplier::Supplier;
use super::swap::{Return, SwapAction};
use super::visit::{Attempt, Missed};
use chrono::NaiveDate;

/// One change of the document. `Put…` adds the thing when its number is new and replaces it otherwise.
#[derive(Debug, Clone, PartialEq)]
pub enum Action {
    /// Replace the settings.
    PutSettings(Box<Settings>),
    /// Add or replace a room.
    PutRoom(Room),
    /// Remove a room that has no selections.
    RemoveRoom(RoomId),
    /// Add or replace a phase.
    PutPhase(Phase),
    /// Remove a phase that no part or quote needs, and its links.
    RemovePhase(PhaseId),
    /// Add or replace a link.
    PutLink(Link),
    /// Remove a link.
    RemoveLink(LinkId),
    /// Add or replace a supplier.
    PutSupplier(Supplier),
    /// Remove a supplier that no part is bought from.
    RemoveSupplier(SupplierId),
    /// Add a selection, or replace its own fields; the options of one that exists stay as they are.
    PutSelection(Selection),
    /// Remove a selection with all its options.
    RemoveSelection(SelectionId),
    /// Add an option, or replace its own fields; the parts and the state of one that exists stay as they are.
    PutOption(SelectionId, SelectionOption),
    /// Remove an option with all its parts.
    RemoveOption(OptionId),
    /// Add or replace a part.
    PutPart(OptionId, Part),
    /// Remove a part.
    RemovePart(PartId),
    /// Make an option the choice of its selection.
    Choose(OptionId),
    /// Lean to an option without choosing it.
    Lean(OptionId),
    /// Take back the choice and the leaning of a selection.
    Reopen(SelectionId),
    /// Note that parts were ordered on a day, or take that back.
    MarkOrdered(Vec<PartId>, Option<NaiveDate>),
    /// Note the day a supplier promised.
    MarkPromised(Vec<PartId>, Option<NaiveDate>),
    /// Note that parts came on a day, or take that back.
    MarkReceived(Vec<PartId>, Option<NaiveDate>),
    /// Note that parts were built in, or take that back.
    MarkInstalled(Vec<PartId>, Option<NaiveDate>),
    /// Note what has been paid for a part.
    SetPaid(PartId, Money),
    /// Note the day a phase began, or take that back.
    StartPhase(PhaseId, Option<NaiveDate>),
    /// Note the last day worked on a phase, or take that back.
    FinishPhase(PhaseId, Option<NaiveDate>),
    /// Working days still to do.
    SetDaysLeft(PhaseId, Option<i32>),
    /// Not to start before a day.
    SetNotBefore(PhaseId, Option<NaiveDate>),
    /// Record a visit of an inspector, or book one.
    RecordAttempt(PhaseId, Attempt),
    /// Add or replace a quote.
    PutQuote(Quote),
    /// Remove a quote.
    RemoveQuote(QuoteId),
    /// Accept a quote; others for the same scope are no longer accepted. Phases of it that have not begun get its crew
    /// and its start.
    AcceptQuote(QuoteId),
    /// Add or replace a fee or an extra.
    PutExtra(Extra),
    /// Remove a fee or an extra.
    RemoveExtra(ExtraId),
    /// Make another option the choice, and record why and what becomes of what was ordered.
    Swap(Box<SwapAction>),
    /// Remove an entry of the swap log; choices and returns stay as they are.
    RemoveSwap(SwapId),
    /// Add or replace what becomes of a part.
    PutReturn(Return),
    /// Forget a return; the part counts in full again.
    RemoveReturn(ReturnId),
    /// Add or replace a rule of what goes with what.
    PutRule(Rule),
    /// Remove a rule.
    RemoveRule(RuleId),
    /// Add or replace a gate with its conditions.
    PutGate(Gate),
    /// Remove a gate with its conditions.
    RemoveGate(GateId),
    /// Note who confirmed something and when, or take that back.
    Confirm(ConditionId, Option<(String, NaiveDate)>),
    /// Add or replace what an inspector wants corrected.
    PutCorrection(Correction),
    /// Remove it.
    RemoveCorrection(CorrectionId),
    /// Note the day a correction was done, or take that back.
    MarkCorrected(CorrectionId, Option<NaiveDate>),
    /// Give an option a picture, by its path from the folder of the project file, or none.
    SetPicture(OptionId, String),
    /// Pick the color of a finish, or forget it.
    SetFinishColor(String, Option<Rgb>),
    /// Add or replace an order. Its lines leave the orders they were in and get its day.
    PutOrder(Order),
    /// Remove an order; its lines stay as they are.
    RemoveOrder(OrderId),
    /// Move lines of an order into a new one.
    SplitOrder(OrderId, Order),
    /// Move all lines and payments of an order into another of the same supplier.
    MergeOrders {
        /// The order that stays.
        into: OrderId,
        /// The order that goes.
        from: OrderId,
    },
    /// Add or replace what came of a part on a day.
    PutDelivery(Delivery),
    /// Remove it.
    RemoveDelivery(DeliveryId),
    /// Add or replace a payment.
    PutPayment(Payment),
    /// Remove a payment.
    RemovePayment(PaymentId),
    /// Add or replace how lists of a layout are read.
    PutMapping(Mapping),
    /// Forget how lists of a layout are read.
    RemoveMapping(MappingId),
    /// Add what must be known of a selection at the end of its list, or replace what stands at a position.
    PutSpec(SelectionId, usize, Spec),
    /// Remove what stands at a position.
    RemoveSpec(SelectionId, usize),
    /// Put a typical lead time of a kind of thing in place of the usual one.
    PutTypical(TypicalLead),
    /// Let the usual lead time of a kind of thing hold again.
    RemoveTypical(Goods),
    /// Add or replace a crew.
    PutCrew(Crew),
    /// Remove a crew that no phase and no quote names.
    RemoveCrew(CrewId),
    /// Book the crew of a phase from a day on, or take that back.
    Book(PhaseId, Option<NaiveDate>),
    /// Note the day on which the crew of a phase said yes, or take that back.
    MarkConfirmed(PhaseId, Option<NaiveDate>),
    /// Note that crews were told on a day when their phases start.
    MarkTold {
        /// The phases with the starts told.
        starts: Vec<(PhaseId, NaiveDate)>,
        /// The day.
        on: NaiveDate,
    },
    /// Note a day on which the crew of a phase should have come and did not.
    MarkMissed(PhaseId, Missed),
    /// Add or replace a permit.
    PutPermit(Permit),
    /// Remove a permit.
    RemovePermit(PermitId),
    /// Add or replace a change of the work.
    PutChange(Change),
    /// Remove a change of the work.
    RemoveChange(ChangeId),
    /// Note who agreed to a change and when, or take that back.
    Agree(ChangeId, Option<(String, NaiveDate)>),
    /// Add or replace a draw.
    PutDraw(Draw),
    /// Remove a draw.
    RemoveDraw(DrawId),
    /// Add or replace a room or a service that is out of use.
    PutOutOfUse(OutOfUse),
    /// Let it be in use.
    RemoveOutOfUse(OutOfUseId),
    /// Put something on the punch list, or change it.
    PutPunch(Punch),
    /// Remove something from the punch list.
    RemovePunch(PunchId),
    /// Note the day on which something on the punch list was put right, or take that back.
    MarkPunchDone(PunchId, Option<NaiveDate>),
    /// Note the day on which it was looked at and found good, or take that back.
    MarkPunchChecked(PunchId, Option<NaiveDate>),
    /// Note what stays with a part when the work is over, or change it.
    PutHandover(Handover),
    /// Remove it.
    RemoveHandover(HandoverId),
    /// Note who approved of an option and when, or take that back.
    Approve(OptionId, Option<(String, NaiveDate)>),
    /// Add or replace something that may happen.
    PutRisk(Risk),
    /// Remove something that may happen.
    RemoveRisk(RiskId),
    /// Keep a set of choices under a name, or replace one.
    PutAlternative(Alternative),
    /// Forget a set of choices.
    RemoveAlternative(AlternativeId),
    /// Keep a plan as it stands.
    KeepPlan(Box<KeptPlan>),
    /// Give a kept plan another name.
    RenamePlan(PlanId, String),
    /// Forget a kept plan. With the last one the log goes.
    RemovePlan(PlanId),
    /// Add a line to the log of days and money. The engine makes them; see `engine/log`.
    AddLine(Box<LogLine>),
    /// Say why the line of the log at a position moved.
    SetCause(usize, Cause),
    /// Note what calendars that were written say, in place of what they said.
    NoteSent(Vec<Sent>),
    /// Several changes that are undone as one.
    Batch {
        /// What undo calls it.
        label: String,
        /// The changes, in order.
        actions: Vec<Action>,
    },
}

impl Action {
    /// What the change is called in the undo list, with the name of the thing it is about.
    pub fn label(&self, project: &Project) -> String {
        let room = |id: &RoomId| project.room(*id).map_or("room", |r| &r.name).to_owned();
        let phase = |id: &PhaseId| project.phase(*id).map_or("phase", |p| &p.name).to_owned();
        let selection = |id: &SelectionId| project.selection(*id).map_or("selection", |s| &s.name).to_owned();
        let option = |id: &OptionId| match project.option(*id) {
            Some((s, o)) => format!("{} for {}", o.name, s.name),
            None => "option".to_owned(),
        };
        let part = |id: &PartId| match project.part(*id) {
            Some((s, _, p)) => format!("{} of {}", p.name, s.name),
            None => "part".to_owned(),
        };
        let parts = |ids: &Vec<PartId>| match ids.as_slice() {
            [one] => part(one),
            many => format!("{} parts", many.len()),
        };
        let order = |id: &OrderId| {
            project.order(*id).map_or("order".to_owned(), |o| format!("order {}", o.called(project)))
        };
        let punch =
            |id: &PunchId| project.punch(*id).map_or("thing on the punch list", |p| &p.what).to_owned();
        let put = |exists: bool, name: &str| format!("{} {name}", if exists { "edit" } else { "add" });
        match self {
            Action::PutSettings(s) => {
                edited::label(Some(&project.settings), s.as_ref(), Settings::FIELDS, "settings")
            }
            Action::PutRoom(r) => edited::label(project.room(r.id), r, Room::FIELDS, &r.name),
            Action::RemoveRoom(id) => format!("remove {}", room(id)),
            Action::PutPhase(p) => edited::label(project.phase(p.id), p, Phase::FIELDS, &p.name),
            Action::RemovePhase(id) => format!("remove {}", phase(id)),
            Action::PutLink(l) => {
                let exists = project.links.iter().any(|known| known.id == l.id);
                put(exists, &format!("link {} to {}", phase(&l.before), phase(&l.after)))
            }
            Action::RemoveLink(_) => "remove link".to_owned(),
            Action::PutSupplier(s) => edited::label(project.supplier(s.id), s, Supplier::FIELDS, &s.name),
            Action::RemoveSupplier(id) => {
                format!("remove {}", project.supplier(*id).map_or("supplier", |s| &s.name))
            }
            Action::PutSelection(s) => {
                // Its options stay as they are whatever it carries.
                let bare = |s: &Selection| Selection { options: Vec::new(), ..s.clone() };
                let old = project.selection(s.id).map(bare);
                edited::label(old.as_ref(), &bare(s), Selection::FIELDS, &s.name)
            }
            Action::RemoveSelection(id) => format!("remove {}", selection(id)),
            Action::PutOption(_, o) => {
                // So do the parts of an option.
                let bare = |o: &SelectionOption| SelectionOption { parts: Vec::new(), ..o.clone() };
                let old = project.option(o.id).map(|(_, old)| bare(old));
                edited::label(old.as_ref(), &bare(o), SelectionOption::FIELDS, &o.name)
            }
            Action::RemoveOption(id) => format!("remove {}", option(id)),
            Action::PutPart(_, p) => {
                edited::label(project.part(p.id).map(|(_, _, old)| old), p, Part::FIELDS, &p.name)
            }
            Action::RemovePart(id) => format!("remove {}", part(id)),
            Action::Choose(id) => format!("choose {}", option(id)),
            Action::Lean(id) => format!("lean to {}", option(id)),
            Action::Reopen(id) => format!("reopen {}", selection(id)),
            Action::MarkOrdered(ids, on) => mark("ordered", on, &parts(ids)),
            Action::MarkPromised(ids, on) => mark("promised", on, &parts(ids)),
            Action::MarkReceived(ids, on) => mark("received", on, &parts(ids)),
            Action::MarkInstalled(ids, on) => mark("built in", on, &parts(ids)),
            Action::SetPaid(id, _) => format!("payment for {}", part(id)),
            Action::StartPhase(id, on) => mark("begun", on, &phase(id)),
            Action::FinishPhase(id, on) => mark("finished", on, &phase(id)),
            Action::SetDaysLeft(id, _) => format!("days left of {}", phase(id)),
            Action::SetNotBefore(id, _) => format!("earliest day of {}", phase(id)),
            Action::RecordAttempt(id, a) => {
                format!("{} {}", phase(id), a.word())
            }
            Action::PutQuote(q) => put(project.quotes.iter().any(|known| known.id == q.id), &q.scope),
            Action::RemoveQuote(_) => "remove bid".to_owned(),
            Action::AcceptQuote(id) => {
                let quote = project.quotes.iter().find(|q| q.id == *id);
                format!("accept {}", quote.map_or("bid", |q| &q.trade))
            }
            Action::PutExtra(e) => put(project.extras.iter().any(|known| known.id == e.id), &e.name),
            Action::RemoveExtra(_) => "remove extra".to_owned(),
            Action::Swap(swap) => {
                let verb = if swap.swap.reverses.is_some() { "swap back to" } else { "swap to" };
                format!("{verb} {}", option(&swap.swap.to))
            }
            Action::RemoveSwap(_) => "remove from the swap log".to_owned(),
            Action::PutReturn(r) => {
                let came = project.part(r.part).is_some_and(|(_, _, p)| p.is_on_site());
                format!("{} {}", part(&r.part), r.state.words(came))
            }
            Action::RemoveReturn(id) => {
                let r = project.returns.iter().find(|r| r.id == *id);
                format!("forget the return of {}", r.map_or("part".to_owned(), |r| part(&r.part)))
            }
            Action::PutRule(r) => put(project.rules.iter().any(|known| known.id == r.id), &r.name),
            Action::RemoveRule(_) => "remove rule".to_owned(),
            Action::PutGate(g) => put(project.gate(g.id).is_some(), &g.name),
            Action::RemoveGate(id) => format!("remove {}", project.gate(*id).map_or("gate", |g| &g.name)),
            Action::Confirm(id, said) => {
                let gate = project.condition(*id).map_or("gate", |(g, _)| &g.name);
                format!("{} for {gate}", if said.is_some() { "confirm" } else { "take back a confirmation" })
            }
            Action::PutCorrection(c) => {
                put(project.correction(c.id).is_some(), &format!("correction for {}", phase(&c.phase)))
            }
            Action::RemoveCorrection(_) => "remove correction".to_owned(),
            Action::MarkCorrected(id, on) => {
                let of = project.correction(*id).map_or("inspection".to_owned(), |c| phase(&c.phase));
                mark("done", on, &format!("correction for {of}"))
            }
            Action::SetPicture(id, path) => {
                let verb = if path.is_empty() { "remove" } else { "set" };
                format!("{verb} the picture of {}", option(id))
            }
            Action::SetFinishColor(finish, _) => format!("color of {}", finish.trim()),
            Action::PutOrder(o) => {
                put(project.order(o.id).is_some(), &format!("order {}", o.called(project)))
            }
            Action::RemoveOrder(id) => format!("remove {}", order(id)),
            Action::SplitOrder(from, _) => format!("split {}", order(from)),
            Action::MergeOrders { into, from } => format!("merge {} into {}", order(from), order(into)),
            Action::PutDelivery(d) => {
                let what = if d.damaged.is_zero() { "delivery" } else { "delivery with damage" };
                let known = project.deliveries.iter().any(|known| known.id == d.id);
                put(known, &format!("{what} of {}", part(&d.part)))
            }
            Action::RemoveDelivery(id) => {
                let of = project.deliveries.iter().find(|d| d.id == *id);
                of.map_or("remove delivery".to_owned(), |d| format!("remove delivery of {}", part(&d.part)))
            }
            Action::PutPayment(p) => {
                let of = match &p.of {
                    PaidFor::Order(id) => order(id),
                    PaidFor::Part(id) => part(id),
                };
                put(project.payments.iter().any(|known| known.id == p.id), &format!("payment for {of}"))
            }
            Action::RemovePayment(_) => "remove payment".to_owned(),
            Action::PutMapping(_) => "remember the columns of a list".to_owned(),
            Action::RemoveMapping(_) => "forget the columns of a list".to_owned(),
            Action::PutSpec(id, at, spec) => {
                let known = project.selection(*id).and_then(|s| s.specs.get(*at));
                let told = known.is_some_and(Spec::is_open) && !spec.is_open();
                let verb = if told {
                    "tell"
                } else if known.is_some() {
                    "edit"
                } else {
                    "add"
                };
                format!("{verb} {} of {}", spec.what, selection(id))
            }
            Action::RemoveSpec(id, at) => {
                let known = project.selection(*id).and_then(|s| s.specs.get(*at));
                format!("remove {} of {}", known.map_or("what must be known", |s| &s.what), selection(id))
            }
            Action::PutTypical(own) => format!("typical lead of {}", own.goods.title()),
            Action::RemoveTypical(goods) => format!("usual lead of {}", goods.title()),
            Action::PutCrew(c) => edited::label(project.crew(c.id), c, Crew::FIELDS, &c.name),
            Action::RemoveCrew(id) => format!("remove {}", project.crew(*id).map_or("crew", |c| &c.name)),
            Action::Book(id, from) => mark("booked", from, &phase(id)),
            Action::MarkConfirmed(id, on) => mark("confirmed", on, &phase(id)),
            Action::MarkTold { starts, .. } => match starts.as_slice() {
                [(one, _)] => format!("tell the start of {}", phase(one)),
                many => format!("tell the start of {} phases", many.len()),
            },
            Action::MarkMissed(id, _) => format!("missed day of {}", phase(id)),
            Action::PutPermit(p) => put(project.permits.iter().any(|known| known.id == p.id), &p.name),
            Action::RemovePermit(_) => "remove permit".to_owned(),
            Action::PutChange(c) => put(project.changes.iter().any(|known| known.id == c.id), &c.what),
            Action::RemoveChange(_) => "remove change of the work".to_owned(),
            Action::Agree(id, agreed) => {
                let change = project.change(*id);
                let what = change.map_or("change", |c| c.what.as_str());
                format!("{} {what}", if agreed.is_some() { "agree on" } else { "take back the yes to" })
            }
            Action::PutDraw(d) => put(project.draws.iter().any(|known| known.id == d.id), &d.name),
            Action::RemoveDraw(_) => "remove draw".to_owned(),
            Action::PutOutOfUse(out) => {
                let known = project.out_of_use.iter().any(|known| known.id == out.id);
                put(known, &format!("days without {}", out.what(project)))
            }
            Action::RemoveOutOfUse(id) => {
                let out = project.out_of_use.iter().find(|out| out.id == *id);
                format!("remove days without {}", out.map_or("something", |out| out.what(project)))
            }
            Action::PutPunch(p) => put(project.punch(p.id).is_some(), &p.what),
            Action::RemovePunch(id) => format!("remove {}", punch(id)),
            Action::MarkPunchDone(id, on) => mark("put right", on, &punch(id)),
            Action::MarkPunchChecked(id, on) => mark("looked at", on, &punch(id)),
            Action::PutHandover(h) => {
                let known = project.handover.iter().any(|known| known.id == h.id);
                put(known, &format!("warranty and manual of {}", part(&h.part)))
            }
            Action::RemoveHandover(id) => {
                let of = project.handover.iter().find(|h| h.id == *id);
                let name = of.map_or("a part".to_owned(), |h| part(&h.part));
                format!("remove warranty and manual of {name}")
            }
            Action::Approve(id, said) => match said {
                Some((who, _)) => format!("{} approved by {who}", option(id)),
                None => format!("take back that {} was approved", option(id)),
            },
            Action::PutRisk(r) => put(project.risks.iter().any(|known| known.id == r.id), &r.what),
            Action::RemoveRisk(_) => "remove risk".to_owned(),
            Action::PutAlternative(a) => put(project.alternative(a.id).is_some(), &a.name),
            Action::RemoveAlternative(id) => {
                format!("forget {}", project.alternative(*id).map_or("alternative", |a| &a.name))
            }
            Action::KeepPlan(plan) => format!("keep the plan {}", plan.name),
            Action::RenamePlan(_, name) => format!("name the kept plan {name}"),
            Action::RemovePlan(id) => {
                format!("forget the plan {}", project.kept_plan(*id).map_or("kept", |plan| &plan.name))
            }
            Action::AddLine(line) => format!("log {}", line.what),
            Action::SetCause(at, cause) => {
                let what = project.log.get(*at).map_or("line", |line| line.what.as_str());
                format!("cause of {what}: {}", cause.word())
            }
            Action::NoteSent(_) => "note what calendars say".to_owned(),
            Action::Batch { label, .. } => label.clone(),
        }
    }
}

fn mark(what: &str, on: &Option<NaiveDate>, thing: &str) -> String {
    match on {
        Some(_) => format!("mark {thing} {what}"),
        None => format!("mark {thing} not {what}"),
    }
}
