//! Applying actions: the one place where a new document is made from an old one.

use super::action::Action;
use super::alternative::Alternative;
use super::budget::{Extra, Quote};
use super::change::Change;
use super::crew::Crew;
use super::draw::Draw;
use super::facts::Rule;
use super::gate::{Correction, Gate};
use super::graph::circle_names;
use super::ids::AlternativeId;
use super::ids::*;
use super::kept_plan::KeptPlan;
use super::mapping::Mapping;
use super::order::{Delivery, Order, Payment};
use super::permit::Permit;
use super::phase::{Link, Phase};
use super::project::Project;
use super::risk::Risk;
use super::room::Room;
use super::selection::OptionState;
use super::supplier::Supplier;
use super::swap::{Return, Swap};
use super::validate;
use std::sync::Arc;

/// Why an action was refused. The document is unchanged.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ActionError {
    /// What it is about is no longer there: the sort of thing.
    #[error("this {0} is gone")]
    Gone(&'static str),
    /// Another thing has the key: the sort of thing, and the key.
    #[error("the {0} key `{1}` is taken")]
    KeyTaken(&'static str, String),
    /// Another thing has the number, or it is none that can be given.
    #[error("the number {id} cannot be given; the next free one is {next}")]
    NumberTaken {
        /// The number asked for.
        id: u32,
        /// The next free one.
        next: u32,
    },
    /// The link would close a circle of these phases.
    #[error("this link would close a circle: {0}")]
    Circle(String),
    /// A rule of the document is broken, in words.
    #[error("{0}")]
    Rule(String),
}

impl From<String> for ActionError {
    fn from(why: String) -> ActionError {
        ActionError::Rule(why)
    }
}

pub(super) fn refuse<T>(why: impl Into<String>) -> Result<T, ActionError> {
    Err(ActionError::Rule(why.into()))
}

impl Project {
    /// The document after an action.
    ///
    /// # Errors
    /// An action that would break a rule of the document (a cycle, a key used twice, a missing room, a negative
    /// amount) is refused with the reason in words.
    pub fn apply(&self, action: &Action) -> Result<Project, ActionError> {
        let mut next = self.clone();
        next.reindex();
        next.perform(action)?;
        Ok(next)
    }

    /// Does an action in place; the index follows.
    pub(super) fn perform(&mut self, action: &Action) -> Result<(), ActionError> {
        match action {
            Action::PutSettings(settings) => {
                validate::settings(settings)?;
                self.settings = settings.as_ref().clone();
            }
            Action::PutRoom(room) => {
                room.check()?;
                self.claim(room.id.0, self.room(room.id).is_some())?;
                put(&mut self.rooms, room.clone())?;
            }
            Action::RemoveRoom(id) => {
                self.free_of_rules(None, Some(*id))?;
                let held = self.selections.iter().filter(|s| s.room == *id).count();
                if held > 0 {
                    return refuse(format!(
                        "the room still has {held} selections; remove or move them first"
                    ));
                }
                remove(&mut self.rooms, *id)?;
                self.prune();
            }
            Action::PutPhase(phase) => {
                phase.check()?;
                self.knows_crew_of(phase)?;
                self.claim(phase.id.0, self.phase(phase.id).is_some())?;
                self.keep_kind(phase)?;
                put(&mut self.phases, phase.clone())?;
            }
            Action::RemovePhase(id) => {
                let needs = |p: &super::part::Part| p.phase == Some(*id) || p.order_after == Some(*id);
                let parts = self.all_parts().filter(|(_, _, p)| needs(p)).count();
                let quotes = self.quotes.iter().filter(|q| q.phase == Some(*id)).count();
                if parts + quotes > 0 {
                    return refuse(format!(
                        "{parts} parts and {quotes} bids belong to this phase; give them another first"
                    ));
                }
                remove(&mut self.phases, *id)?;
                Arc::make_mut(&mut self.links).retain(|l| l.before != *id && l.after != *id);
                Arc::make_mut(&mut self.extras)
                    .iter_mut()
                    .filter(|e| e.phase == Some(*id))
                    .for_each(|e| e.phase = None);
                if self.quotes.iter().any(|q| q.also.contains(id)) {
                    Arc::make_mut(&mut self.quotes).iter_mut().for_each(|q| q.also.retain(|also| also != id));
                }
                self.prune();
            }
            Action::PutLink(link) => {
                link.check_in(self)?;
                self.claim(link.id.0, self.links.iter().any(|known| known.id == link.id))?;
                put(&mut self.links, link.clone())?;
                if let Some(names) = circle_names(self, std::iter::empty(), None) {
                    return Err(ActionError::Circle(names));
                }
            }
            Action::RemoveLink(id) => remove(&mut self.links, *id)?,
            Action::PutSupplier(supplier) => {
                validate::supplier(supplier)?;
                self.claim(supplier.id.0, self.supplier(supplier.id).is_some())?;
                put(&mut self.suppliers, supplier.clone())?;
            }
            Action::RemoveSupplier(id) => {
                let parts = self.all_parts().filter(|(_, _, p)| p.supplier == Some(*id)).count();
                if parts > 0 {
                    return refuse(format!(
                        "{parts} parts are bought there; give them another supplier first"
                    ));
                }
                if let Some(order) = self.orders.iter().find(|o| o.supplier == *id) {
                    return refuse(format!("the order {} is theirs; remove it first", order.called(self)));
                }
                remove(&mut self.suppliers, *id)?;
                if self.mappings.iter().any(|m| m.supplier == Some(*id)) {
                    Arc::make_mut(&mut self.mappings).retain(|m| m.supplier != Some(*id));
                }
            }
            Action::PutSelection(selection) => self.put_selection(selection)?,
            Action::RemoveSelection(id) => {
                let position = self.selection_position(*id)?;
                self.free_to_remove(*id)?;
                let options = &self.selections[position].options;
                let parts: Vec<PartId> = options.iter().flat_map(|o| &o.parts).map(|p| p.id).collect();
                self.hand_on_specs(&parts);
                Arc::make_mut(&mut self.selections).remove(position);
                self.prune();
            }
            Action::PutOption(selection, option) => self.put_option(*selection, option)?,
            Action::RemoveOption(id) => {
                self.option_free_to_remove(*id)?;
                let parts =
                    self.option(*id).map_or(Vec::new(), |(_, o)| o.parts.iter().map(|p| p.id).collect());
                self.hand_on_specs(&parts);
                self.edit_option_selection(*id, |s| s.options.retain(|o| o.id != *id))?;
                self.prune();
            }
            Action::PutPart(option, part) => self.put_part(*option, part)?,
            Action::RemovePart(id) => {
                let at = self.part_position(*id)?;
                self.part_free_to_remove(*id)?;
                self.hand_on_specs(&[*id]);
                self.edit_selection(at, |s| {
                    s.options.iter_mut().for_each(|o| o.parts.retain(|p| p.id != *id))
                });
                self.prune();
            }
            Action::Choose(id) => self.set_state(*id, OptionState::Chosen)?,
            Action::Lean(id) => self.set_state(*id, OptionState::Leaning)?,
            Action::Reopen(id) => {
                let at = self.selection_position(*id)?;
                self.edit_selection(at, |s| {
                    s.options.iter_mut().for_each(|o| o.state = OptionState::Candidate);
                });
            }
            Action::MarkOrdered(ids, on) => self.mark_ordered(ids, *on)?,
            Action::MarkPromised(ids, on) => self.edit_parts(ids, |p| p.promised_on = *on)?,
            Action::MarkReceived(ids, on) => self.edit_parts(ids, |p| p.received_on = *on)?,
            Action::MarkInstalled(ids, on) => self.edit_parts(ids, |p| p.installed_on = *on)?,
            Action::SetPaid(id, paid) => self.edit_parts(&[*id], |p| p.paid = *paid)?,
            Action::StartPhase(id, on) => self.edit_phase(*id, |p| p.actual_start = *on)?,
            Action::FinishPhase(id, on) => self.edit_phase(*id, |p| p.actual_finish = *on)?,
            Action::SetDaysLeft(id, days) => self.edit_phase(*id, |p| p.days_left = *days)?,
            Action::SetNotBefore(id, on) => self.edit_phase(*id, |p| p.not_before = *on)?,
            Action::RecordAttempt(id, attempt) => self.record_attempt(*id, attempt)?,
            Action::PutQuote(quote) => {
                quote.check_in(self)?;
                self.claim(quote.id.0, self.quotes.iter().any(|known| known.id == quote.id))?;
                put(&mut self.quotes, quote.clone())?;
                if quote.accepted {
                    self.accept_only(quote);
                }
            }
            Action::RemoveQuote(id) => remove(&mut self.quotes, *id)?,
            Action::AcceptQuote(id) => self.accept(*id)?,
            Action::PutExtra(extra) => {
                extra.check_in(self)?;
                self.claim(extra.id.0, self.extras.iter().any(|known| known.id == extra.id))?;
                put(&mut self.extras, extra.clone())?;
            }
            Action::RemoveExtra(id) => remove(&mut self.extras, *id)?,
            Action::Swap(swap) => self.swap(swap)?,
            Action::RemoveSwap(id) => self.remove_swap(*id)?,
            Action::PutReturn(r) => self.put_return(r)?,
            Action::RemoveReturn(id) => remove(&mut self.returns, *id)?,
            Action::PutRule(rule) => self.put_rule(rule)?,
            Action::RemoveRule(id) => remove(&mut self.rules, *id)?,
            Action::PutGate(gate) => self.put_gate(gate)?,
            Action::RemoveGate(id) => {
                remove(&mut self.gates, *id)?;
                self.prune_people();
            }
            Action::Confirm(id, said) => self.confirm(*id, said.as_ref())?,
            Action::PutCorrection(correction) => self.put_correction(correction)?,
            Action::RemoveCorrection(id) => remove(&mut self.corrections, *id)?,
            Action::MarkCorrected(id, done) => self.mark_corrected(*id, *done)?,
            Action::SetPicture(id, path) => self.set_picture(*id, path)?,
            Action::SetFinishColor(finish, color) => self.set_finish_color(finish, *color)?,
            Action::PutOrder(order) => self.put_order(order)?,
            Action::RemoveOrder(id) => self.remove_order(*id)?,
            Action::SplitOrder(from, new) => self.split_order(*from, new)?,
            Action::MergeOrders { into, from } => self.merge_orders(*into, *from)?,
            Action::PutDelivery(delivery) => self.put_delivery(delivery)?,
            Action::RemoveDelivery(id) => self.remove_delivery(*id)?,
            Action::PutPayment(payment) => self.put_payment(payment)?,
            Action::RemovePayment(id) => self.remove_payment(*id)?,
            Action::PutMapping(mapping) => {
                mapping.check_in(self)?;
                self.claim(mapping.id.0, self.mappings.iter().any(|known| known.id == mapping.id))?;
                put(&mut self.mappings, mapping.clone())?;
            }
            Action::RemoveMapping(id) => remove(&mut self.mappings, *id)?,
            Action::NoteSent(all) => self.note_sent(all)?,
            Action::PutCrew(crew) => self.put_crew(crew)?,
            Action::RemoveCrew(id) => self.remove_crew(*id)?,
            Action::Book(id, from) => self.book(*id, *from)?,
            Action::MarkConfirmed(id, on) => self.edit_phase(*id, |p| p.confirmed_on = *on)?,
            Action::MarkTold { starts, on } => self.mark_told(starts, *on)?,
            Action::MarkMissed(id, missed) => self.mark_missed(*id, missed)?,
            Action::PutPermit(permit) => self.put_permit(permit)?,
            Action::RemovePermit(id) => remove(&mut self.permits, *id)?,
            Action::PutChange(change) => self.put_change(change)?,
            Action::RemoveChange(id) => remove(&mut self.changes, *id)?,
            Action::Agree(id, agreed) => self.agree(*id, agreed.as_ref())?,
            Action::PutDraw(draw) => self.put_draw(draw)?,
            Action::RemoveDraw(id) => remove(&mut self.draws, *id)?,
            Action::PutRisk(risk) => self.put_risk(risk)?,
            Action::RemoveRisk(id) => remove(&mut self.risks, *id)?,
            Action::PutAlternative(alternative) => self.put_alternative(alternative)?,
            Action::RemoveAlternative(id) => remove(&mut self.alternatives, *id)?,
            Action::PutSpec(selection, at, spec) => self.put_spec(*selection, *at, spec)?,
            Action::RemoveSpec(selection, at) => self.remove_spec(*selection, *at)?,
            Action::PutTypical(own) => {
                own.check()?;
                let all = Arc::make_mut(&mut self.typical);
                match all.iter_mut().find(|known| known.goods == own.goods) {
                    Some(known) => *known = *own,
                    None => all.push(*own),
                }
            }
            Action::RemoveTypical(goods) => {
                if self.typical.iter().all(|known| known.goods != *goods) {
                    return Err(ActionError::Gone("typical lead time"));
                }
                Arc::make_mut(&mut self.typical).retain(|known| known.goods != *goods);
            }
            Action::PutOutOfUse(out) => self.put_out_of_use(out)?,
            Action::RemoveOutOfUse(id) => remove(&mut self.out_of_use, *id)?,
            Action::PutPunch(punch) => self.put_punch(punch)?,
            Action::RemovePunch(id) => remove(&mut self.punch, *id)?,
            Action::MarkPunchDone(id, on) => self.mark_punch_done(*id, *on)?,
            Action::MarkPunchChecked(id, on) => self.mark_punch_checked(*id, *on)?,
            Action::PutHandover(handover) => self.put_handover(handover)?,
            Action::RemoveHandover(id) => remove(&mut self.handover, *id)?,
            Action::Approve(id, said) => self.approve(*id, said.as_ref())?,
            Action::KeepPlan(plan) => self.keep_plan(plan)?,
            Action::RenamePlan(id, name) => self.rename_plan(*id, name)?,
            Action::RemovePlan(id) => self.remove_plan(*id)?,
            Action::AddLine(line) => self.add_line(line)?,
            Action::SetCause(at, cause) => self.set_cause(*at, *cause)?,
            Action::Batch { actions, .. } => {
                for action in actions {
                    self.perform(action)?;
                }
            }
        }
        self.reindex();
        Ok(())
    }

    /// Takes out what names something that was removed.
    fn prune(&mut self) {
        self.reindex();
        self.prune_gates();
        self.prune_orders();
        self.prune_specs();
        self.prune_people();
        self.prune_out_of_use();
        self.prune_punch();
        self.prune_handover();
        self.prune_alternatives();
        self.prune_log();
    }

    /// Takes the number of a thing, unless the thing is `known` and keeps its own. A new one must be free, and small
    /// enough for tables by number. The counter stays above every number in use.
    pub(super) fn claim(&mut self, id: u32, known: bool) -> Result<(), ActionError> {
        if known {
            return Ok(());
        }
        if id == 0 || id > validate::MAX_ID || (id < self.next_id && self.is_taken(id)) {
            let next = self.next_id;
            return Err(ActionError::NumberTaken { id, next });
        }
        self.next_id = self.next_id.max(id + 1);
        Ok(())
    }

    /// Takes back the acceptance of every other quote for the same scope. Quotes without a scope do not compete.
    pub(super) fn accept_only(&mut self, accepted: &Quote) {
        for quote in Arc::make_mut(&mut self.quotes).iter_mut() {
            quote.accepted &= !quote.competes_with(accepted);
        }
    }

    fn is_taken(&self, id: u32) -> bool {
        self.room(RoomId(id)).is_some()
            || self.phase(PhaseId(id)).is_some()
            || self.links.iter().any(|l| l.id.0 == id)
            || self.supplier(SupplierId(id)).is_some()
            || self.quotes.iter().any(|q| q.id.0 == id)
            || self.extras.iter().any(|e| e.id.0 == id)
            || self.is_taken_by_swaps(id)
            || self.is_taken_by_orders(id)
            || self.selection(SelectionId(id)).is_some()
            || self.option(OptionId(id)).is_some()
            || self.part(PartId(id)).is_some()
            || self.gate(GateId(id)).is_some()
            || self.condition(ConditionId(id)).is_some()
            || self.correction(CorrectionId(id)).is_some()
            || self.mappings.iter().any(|m| m.id.0 == id)
            || self.is_taken_by_people(id)
            || self.out_of_use.iter().any(|out| out.id.0 == id)
            || self.punch(PunchId(id)).is_some()
            || self.handover.iter().any(|h| h.id.0 == id)
            || self.kept_plan(PlanId(id)).is_some()
            || self.alternative(AlternativeId(id)).is_some()
    }

    pub(super) fn edit_phase(
        &mut self,
        id: PhaseId,
        edit: impl FnOnce(&mut Phase),
    ) -> Result<(), ActionError> {
        let Some(mut phase) = self.phase(id).cloned() else {
            return Err(ActionError::Gone("phase"));
        };
        edit(&mut phase);
        phase.check()?;
        put(&mut self.phases, phase)
    }
}

/// A thing with a number and a key, kept in a list.
pub(super) trait Keyed: Clone {
    type Id: PartialEq + Copy;
    const WORD: &'static str;
    fn id(&self) -> Self::Id;
    fn key(&self) -> Option<&str>;
}

macro_rules! keyed {
    ($($kind:ident, $id:ident, $word:literal, $key:expr;)+) => {
        $(impl Keyed for $kind {
            type Id = $id;
            const WORD: &'static str = $word;
            fn id(&self) -> $id { self.id }
            fn key(&self) -> Option<&str> {
                let key: fn(&$kind) -> Option<&str> = $key;
                key(self)
            }
        })+
    };
}

keyed! {
    Room, RoomId, "room", |r| Some(&r.key);
    Phase, PhaseId, "phase", |p| Some(&p.key);
    Link, LinkId, "link", |_| None;
    Supplier, SupplierId, "supplier", |s| Some(&s.key);
    Quote, QuoteId, "bid", |q| Some(&q.key);
    Extra, ExtraId, "extra", |e| Some(&e.key);
    Rule, RuleId, "rule", |r| Some(&r.key);
    Swap, SwapId, "swap", |s| Some(&s.key);
    Return, ReturnId, "return", |_| None;
    Gate, GateId, "gate", |g| Some(&g.key);
    Correction, CorrectionId, "correction", |_| None;
    Order, OrderId, "order", |o| Some(&o.key);
    Delivery, DeliveryId, "delivery", |_| None;
    Payment, PaymentId, "payment", |_| None;
    Mapping, MappingId, "mapping", |m| Some(&m.key);
    Crew, CrewId, "crew", |c| Some(&c.key);
    Permit, PermitId, "permit", |p| Some(&p.key);
    KeptPlan, PlanId, "kept plan", |p| Some(&p.key);
    Change, ChangeId, "change", |c| Some(&c.key);
    Draw, DrawId, "draw", |d| Some(&d.key);
    Risk, RiskId, "risk", |r| Some(&r.key);
    Alternative, AlternativeId, "alternative", |a| Some(&a.key);
}

pub(super) fn put<T: Keyed>(list: &mut Arc<Vec<T>>, item: T) -> Result<(), ActionError> {
    if let Some(key) = item.key()
        && list.iter().any(|known| known.key() == Some(key) && known.id() != item.id())
    {
        return Err(ActionError::KeyTaken(T::WORD, key.to_owned()));
    }
    let list = Arc::make_mut(list);
    match list.iter_mut().find(|known| known.id() == item.id()) {
        Some(known) => *known = item,
        None => list.push(item),
    }
    Ok(())
}

pub(super) fn remove<T: Keyed>(list: &mut Arc<Vec<T>>, id: T::Id) -> Result<(), ActionError> {
    let position = list.iter().position(|known| known.id() == id);
    match position {
        Some(position) => {
            Arc::make_mut(list).remove(position);
            Ok(())
        }
        None => Err(ActionError::Gone(T::WORD)),
    }
}
