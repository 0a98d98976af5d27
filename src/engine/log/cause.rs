//! Guessing why something moved, and what it is about, from what was done. The user can say otherwise.

use crate::model::{
    Action, Cause, OptionId, PartId, PhaseId, Project, QuoteId, Return, SelectionId, Standing,
};

/// What is guessed.
#[derive(Debug, Clone, Copy)]
pub struct Guess {
    pub cause: Cause,
    pub phase: Option<PhaseId>,
    pub selection: Option<SelectionId>,
    pub part: Option<PartId>,
}

impl Guess {
    fn new(cause: Cause) -> Guess {
        Guess { cause, phase: None, selection: None, part: None }
    }

    fn phase(cause: Cause, phase: Option<PhaseId>) -> Guess {
        Guess { phase, ..Guess::new(cause) }
    }

    fn selection(cause: Cause, selection: Option<SelectionId>) -> Guess {
        Guess { selection, ..Guess::new(cause) }
    }

    fn part(cause: Cause, project: &Project, part: Option<PartId>) -> Guess {
        let selection = part.and_then(|id| project.part(id)).map(|(s, ..)| s.id);
        Guess { part, selection, ..Guess::new(cause) }
    }
}

/// Guesses from an action that led from one standing to another. `project` is the document before.
pub fn guess(project: &Project, action: &Action, from: Standing, to: Standing) -> Guess {
    // What moves the finish is rather a matter of days, and what moves the total alone one of money.
    let days = |cause| if from.finish == to.finish { Cause::Price } else { cause };
    let of_option = |id: OptionId| project.option(id).map(|(s, _)| s.id);
    let of_quote = |id: QuoteId| project.quote(id).and_then(|q| q.phase);
    let chosen = |id: SelectionId| project.selection(id).is_some_and(|s| s.choice().is_some());
    let decided = |id: Option<SelectionId>| {
        let cause = if id.is_some_and(chosen) { Cause::ChangeOfMind } else { Cause::Decision };
        Guess::selection(cause, id)
    };
    let back = |r: Option<&Return>| Guess::part(Cause::ChangeOfMind, project, r.map(|r| r.part));
    match action {
        Action::PutPhase(p) => Guess::phase(Cause::Trade, Some(p.id)),
        Action::PutLink(l) => Guess::phase(Cause::Trade, Some(l.after)),
        Action::RemoveLink(id) => {
            let link = project.links.iter().find(|l| l.id == *id);
            Guess::phase(Cause::Trade, link.map(|l| l.after))
        }
        Action::RemovePhase(id)
        | Action::StartPhase(id, _)
        | Action::FinishPhase(id, _)
        | Action::SetDaysLeft(id, _)
        | Action::SetNotBefore(id, _)
        | Action::Book(id, _)
        | Action::MarkConfirmed(id, _)
        | Action::MarkMissed(id, _) => Guess::phase(Cause::Trade, Some(*id)),
        Action::MarkTold { starts, .. } => Guess::phase(Cause::Trade, starts.first().map(|(id, _)| *id)),
        Action::PutCrew(c) => {
            let phase = project.phases.iter().find(|p| p.crew == Some(c.id) && p.finished_on().is_none());
            Guess::phase(Cause::Trade, phase.map(|p| p.id))
        }
        Action::RemoveCrew(_) => Guess::new(Cause::Trade),
        Action::RecordAttempt(id, _) => Guess::phase(Cause::SignOff, Some(*id)),
        Action::PutGate(g) => Guess::phase(Cause::SignOff, Some(g.phase)),
        Action::RemoveGate(id) => Guess::phase(Cause::SignOff, project.gate(*id).map(|g| g.phase)),
        Action::Confirm(id, _) => {
            Guess::phase(Cause::SignOff, project.condition(*id).map(|(gate, _)| gate.phase))
        }
        Action::PutPermit(p) => Guess::phase(Cause::SignOff, p.phases.first().copied()),
        Action::RemovePermit(id) => {
            let permit = project.permits.iter().find(|p| p.id == *id);
            Guess::phase(Cause::SignOff, permit.and_then(|p| p.phases.first().copied()))
        }
        Action::PutCorrection(c) => Guess::phase(Cause::Correction, Some(c.phase)),
        Action::RemoveCorrection(id) | Action::MarkCorrected(id, _) => {
            Guess::phase(Cause::Correction, project.correction(*id).map(|c| c.phase))
        }
        Action::PutChange(c) => Guess::phase(Cause::FoundWork, c.phase),
        Action::RemoveChange(id) | Action::Agree(id, _) => {
            let change = project.change(*id);
            Guess::phase(Cause::FoundWork, change.and_then(|c| c.phase))
        }
        Action::Choose(id) | Action::Lean(id) => decided(of_option(*id)),
        Action::Reopen(id) => decided(Some(*id)),
        Action::Swap(swap) => Guess::selection(Cause::ChangeOfMind, of_option(swap.swap.to)),
        Action::RemoveSwap(id) => {
            let swap = project.swaps.iter().find(|s| s.id == *id);
            Guess::selection(Cause::ChangeOfMind, swap.and_then(|s| of_option(s.to)))
        }
        Action::PutReturn(r) => back(Some(r)),
        Action::RemoveReturn(id) => back(project.returns.iter().find(|r| r.id == *id)),
        Action::PutSelection(s) => Guess::selection(Cause::Decision, Some(s.id)),
        Action::RemoveSelection(id) => Guess::selection(Cause::Decision, Some(*id)),
        Action::PutOption(id, _) => Guess::selection(days(Cause::Delivery), Some(*id)),
        Action::RemoveOption(id) => Guess::selection(Cause::Decision, of_option(*id)),
        Action::PutPart(option, part) => {
            Guess { selection: of_option(*option), part: Some(part.id), ..Guess::new(days(Cause::Delivery)) }
        }
        Action::RemovePart(id) => Guess::part(Cause::Decision, project, Some(*id)),
        Action::MarkOrdered(ids, _)
        | Action::MarkPromised(ids, _)
        | Action::MarkReceived(ids, _)
        | Action::MarkInstalled(ids, _) => {
            Guess::part(Cause::Delivery, project, ids.first().copied().filter(|_| ids.len() == 1))
        }
        Action::PutDelivery(d) => Guess::part(Cause::Delivery, project, Some(d.part)),
        Action::RemoveDelivery(id) => {
            let delivery = project.deliveries.iter().find(|d| d.id == *id);
            Guess::part(Cause::Delivery, project, delivery.map(|d| d.part))
        }
        Action::PutSupplier(_)
        | Action::RemoveSupplier(_)
        | Action::PutTypical(_)
        | Action::RemoveTypical(_) => Guess::new(days(Cause::Delivery)),
        Action::PutOrder(_)
        | Action::RemoveOrder(_)
        | Action::SplitOrder(..)
        | Action::MergeOrders { .. } => Guess::new(days(Cause::Delivery)),
        Action::SetPaid(id, _) => Guess::part(Cause::Price, project, Some(*id)),
        Action::PutPayment(_) | Action::RemovePayment(_) => Guess::new(Cause::Price),
        Action::PutQuote(q) => Guess::phase(days(Cause::Trade), q.phase),
        Action::RemoveQuote(id) | Action::AcceptQuote(id) => Guess::phase(days(Cause::Trade), of_quote(*id)),
        Action::PutExtra(e) => Guess::phase(Cause::Price, e.phase),
        Action::RemoveExtra(id) => {
            let extra = project.extras.iter().find(|e| e.id == *id);
            Guess::phase(Cause::Price, extra.and_then(|e| e.phase))
        }
        Action::PutSpec(id, ..) | Action::RemoveSpec(id, _) => Guess::selection(Cause::Other, Some(*id)),
        Action::PutSettings(_)
        | Action::PutRoom(_)
        | Action::RemoveRoom(_)
        | Action::PutRule(_)
        | Action::RemoveRule(_)
        | Action::SetPicture(..)
        | Action::SetFinishColor(..)
        | Action::PutMapping(_)
        | Action::RemoveMapping(_)
        | Action::NoteSent(_)
        | Action::PutDraw(_)
        | Action::RemoveDraw(_)
        | Action::PutPunch(_)
        | Action::RemovePunch(_)
        | Action::MarkPunchDone(..)
        | Action::MarkPunchChecked(..)
        | Action::PutHandover(_)
        | Action::RemoveHandover(_)
        | Action::Approve(..)
        | Action::PutOutOfUse(_)
        | Action::RemoveOutOfUse(_)
        | Action::PutRisk(_)
        | Action::RemoveRisk(_)
        | Action::PutAlternative(_)
        | Action::RemoveAlternative(_)
        | Action::KeepPlan(_)
        | Action::RenamePlan(..)
        | Action::RemovePlan(_)
        | Action::AddLine(_)
        | Action::SetCause(..) => Guess::new(Cause::Other),
        Action::Batch { actions, .. } => {
            let guesses = actions.iter().map(|action| guess(project, action, from, to));
            guesses.fold(Guess::new(Cause::Other), |told, guess| match told.cause {
                Cause::Other => guess,
                _ => told,
            })
        }
    }
}
