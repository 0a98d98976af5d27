//! What changing one's mind would do, before it is done: money, days, returns and knock-ons, and the action that does
//! it, with the figures of the preview as its record.
#![doc = include_str!("../../../assets/manual/returns.md")]
#![doc = include_str!("../../../assets/manual/fits.md")]

pub mod fits;
mod knock_ons;
pub mod walls;

use crate::engine::calendar::Day;
use crate::engine::figures::{Figures, compute};
use crate::engine::returns::{self, Terms};
use crate::model::ids::key_from_name;
use crate::model::{
    Action, ActionError, Known, Money, OptionId, PaidFor, Part, PartId, Payment, Project, Return, ReturnId,
    ReturnState, Selection, SelectionId, SelectionOption, Swap, SwapAction, SwapId,
};
use chrono::NaiveDate;

pub use knock_ons::{KnockOn, KnockOnKind};

/// A swap that is thought of.
#[derive(Debug, Clone, PartialEq)]
pub struct Wish {
    /// What is decided anew.
    pub selection: SelectionId,
    /// The new choice.
    pub to: OptionId,
    /// The day of it.
    pub on: NaiveDate,
    /// Why.
    pub why: String,
    /// The swap that is taken back.
    pub reverses: Option<SwapId>,
    /// What is to become of ordered parts of the old option, where the user said so.
    pub fates: Vec<Fate>,
    /// Prices of knock-ons, where the user set them.
    pub prices: Vec<Price>,
}

/// What is to become of an ordered part.
#[derive(Debug, Clone, PartialEq)]
pub struct Fate {
    /// The part.
    pub part: PartId,
    /// To decide, going back, kept or written off.
    pub state: ReturnState,
    /// What sending it back costs.
    pub freight: Money,
}

/// What a knock-on costs and takes.
#[derive(Debug, Clone, PartialEq)]
pub struct Price {
    /// The key of the knock-on.
    pub key: String,
    /// What it costs; it stands among the extras.
    pub cost: Money,
    /// Working days it takes; they stand among the phases.
    pub days: i32,
}

impl Wish {
    /// Nothing but another choice on a day.
    pub fn new(selection: SelectionId, to: OptionId, on: NaiveDate) -> Wish {
        let (why, reverses, fates, prices) = Default::default();
        Wish { selection, to, on, why, reverses, fates, prices }
    }

    /// The wish that takes a swap back; `None` when the swap is not in the log.
    pub fn reversing(project: &Project, swap: SwapId, on: NaiveDate) -> Option<Wish> {
        let old = project.swaps.iter().find(|s| s.id == swap)?;
        Some(Wish { reverses: Some(swap), ..Wish::new(old.selection, old.from, on) })
    }
}

/// What a swap would do.
#[derive(Debug, Clone)]
pub struct SwapPreview {
    /// The action that makes it.
    pub action: Action,
    /// The choice now.
    pub from: OptionId,
    /// The choice then.
    pub to: OptionId,
    /// Money and finish, as the log will have them.
    pub known: Known,
    /// What becomes of each ordered part of the old option.
    pub returns: Vec<ReturnLine>,
    /// Parts of the old option that come back into use.
    pub back_in_use: Vec<PartId>,
    /// The parts of the new option and when they come.
    pub parts: Vec<NewPart>,
    /// Phases that move: position, forecast last day before and after.
    pub moved: Vec<(usize, Option<Day>, Option<Day>)>,
    /// What else it touches.
    pub knock_ons: Vec<KnockOn>,
    /// Working days that the forecast finish moves; negative is earlier.
    pub finish_moves: Option<i32>,
}

/// An ordered part of the old option.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReturnLine {
    /// The part.
    pub part: PartId,
    /// What it will be marked as.
    pub state: ReturnState,
    /// What sending it back means.
    pub terms: Terms,
}

/// A part of the new option.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewPart {
    /// The part.
    pub part: PartId,
    /// What it costs with freight and tax.
    pub total: Money,
    /// Whether it is ordered already.
    pub ordered: bool,
    /// The day it is expected, or came.
    pub arrival: Day,
    /// The day it is needed.
    pub need_date: Option<Day>,
    /// The last day to order it.
    pub order_by: Option<Day>,
    /// Comes after it is needed.
    pub late: bool,
    /// Working days it holds its phase.
    pub holds: i32,
}

impl SwapPreview {
    /// The forecast after less the forecast before.
    pub fn costs(&self) -> Money {
        self.known.forecast_after.less(self.known.forecast_before)
    }

    /// The same with everything sent back that can be.
    pub fn costs_returned(&self) -> Money {
        self.known.forecast_returned.less(self.known.forecast_before)
    }
}

/// Looks at a swap. `before` are the figures of the project on the as-of day.
///
/// # Errors
/// When there is no choice to leave, the option is the choice already, or a price is for nothing.
pub fn preview(project: &Project, before: &Figures, wish: &Wish) -> Result<SwapPreview, ActionError> {
    let refuse = |why: &str| Err(ActionError::Rule(why.to_owned()));
    let Some(selection) = project.selection(wish.selection) else { return refuse("this selection is gone") };
    let Some(from) = selection.choice() else {
        return refuse("nothing is chosen here yet, so there is nothing to swap; choose the option instead");
    };
    let Some(to) = selection.options.iter().find(|o| o.id == wish.to) else {
        return refuse("this option is gone, or belongs to another selection");
    };
    if from.id == to.id {
        return Err(ActionError::Rule(format!("{} is the choice already", to.name)));
    }
    if let Some(reversed) = wish.reverses.and_then(|id| project.swaps.iter().find(|s| s.id == id))
        && (reversed.to != from.id || reversed.from != to.id)
    {
        return Err(ActionError::Rule(format!(
            "{} is no longer the choice since that swap; make a new swap instead",
            project.option(reversed.to).map_or("it", |(_, o)| &o.name)
        )));
    }
    let knock_ons = knock_ons::find(project, selection, from, to);
    for price in &wish.prices {
        if !knock_ons.iter().any(|k| k.priced && k.key == price.key) {
            let known: Vec<&str> = knock_ons.iter().filter(|k| k.priced).map(|k| k.key.as_str()).collect();
            let known = if known.is_empty() { "there is none".to_owned() } else { known.join(", ") };
            return Err(ActionError::Rule(format!(
                "`{}` is no knock-on with a price here; {known}",
                price.key
            )));
        }
    }
    let mut builder = Builder { project, before, next_id: project.next_id, also: Vec::new() };
    builder.buy_again(to);
    builder.price(wish, &knock_ons, to)?;
    let mut returns = Vec::new();
    let mut lines = Vec::new();
    for part in from.parts.iter().filter(|p| p.is_ordered()) {
        let (r, line) = builder.return_of(part, wish);
        lines.push(line);
        returns.extend(r);
    }
    let swap = Swap {
        id: SwapId(builder.number()),
        key: key_from_name(
            &format!("{} {}", selection.key, wish.on),
            project.swaps.iter().map(|s| s.key.as_str()),
        ),
        selection: selection.id,
        on: wish.on,
        from: from.id,
        to: to.id,
        why: wish.why.trim().to_owned(),
        reverses: wish.reverses,
        known: Known::default(),
    };
    let mut action = SwapAction { swap, returns, also: builder.also };
    let next = project.apply(&Action::Swap(Box::new(action.clone())))?;
    let as_of = before.as_of.date();
    let after = compute(&next, as_of);
    let sent_back = sent_back(&next, &lines)?;
    let returned = if sent_back == next {
        after.money.total.forecast
    } else {
        compute(&sent_back, as_of).money.total.forecast
    };
    let going = |line: &&ReturnLine| {
        line.state == ReturnState::GoingBack
            || (line.state == ReturnState::ToDecide && can_go_back(&line.terms))
    };
    let sum = |get: fn(&Terms) -> Money| lines.iter().filter(going).map(|l| get(&l.terms)).sum();
    action.swap.known = Known {
        forecast_before: before.money.total.forecast,
        forecast_after: after.money.total.forecast,
        forecast_returned: returned,
        finish_before: before.forecast_finish.map(|d| d.date()),
        finish_after: after.forecast_finish.map(|d| d.date()),
        restocking: sum(|t| t.restocking),
        return_freight: sum(|t| t.freight_back),
        deposit_lost: sum(|t| t.deposit_lost),
        knock_ons: told(project, &knock_ons, wish),
    };
    let back_in_use =
        to.parts.iter().filter(|p| project.returns.iter().any(|r| r.part == p.id && !r.is_gone()));
    let work = before.days.work();
    Ok(SwapPreview {
        from: from.id,
        to: to.id,
        known: action.swap.known.clone(),
        back_in_use: back_in_use.map(|p| p.id).collect(),
        parts: new_parts(&next, &after, to),
        moved: moved(before, &after),
        finish_moves: before.forecast_finish.zip(after.forecast_finish).map(|(a, b)| {
            if b >= a { work.count(a.plus(1), b.plus(1)) } else { -work.count(b.plus(1), a.plus(1)) }
        }),
        returns: lines,
        knock_ons,
        action: Action::Swap(Box::new(action)),
    })
}

/// Whether something comes back for it.
fn can_go_back(terms: &Terms) -> bool {
    !terms.built_in && !terms.given_back.is_zero()
}

/// The project with everything sent back of which nothing is decided.
fn sent_back(next: &Project, lines: &[ReturnLine]) -> Result<Project, ActionError> {
    let mut project = next.clone();
    for line in lines.iter().filter(|l| l.state == ReturnState::ToDecide && can_go_back(&l.terms)) {
        if let Some(r) = next.returns.iter().find(|r| r.part == line.part) {
            let going = Return { state: ReturnState::GoingBack, ..r.clone() };
            project = project.apply(&Action::PutReturn(going))?;
        }
    }
    Ok(project)
}

/// Knock-ons as the log keeps them, with their prices.
fn told(project: &Project, knock_ons: &[KnockOn], wish: &Wish) -> Vec<String> {
    let currency = project.settings.currency;
    let told = |k: &KnockOn| match wish.prices.iter().find(|p| p.key == k.key) {
        Some(price) => {
            let days =
                if price.days > 0 { format!(" and {} working days", price.days) } else { String::new() };
            format!("{}: {} {currency}{days}", k.text, price.cost.to_plain(currency))
        }
        None => k.text.clone(),
    };
    knock_ons.iter().map(told).map(|text| text.replace(char::is_control, " ")).collect()
}

fn moved(before: &Figures, after: &Figures) -> Vec<(usize, Option<Day>, Option<Day>)> {
    let pairs = before.phases.iter().zip(&after.phases).enumerate();
    pairs
        .filter(|(_, (a, b))| (a.forecast_start, a.forecast_finish) != (b.forecast_start, b.forecast_finish))
        .map(|(at, (a, b))| (at, a.forecast_finish, b.forecast_finish))
        .collect()
}

fn new_parts(next: &Project, after: &Figures, to: &SelectionOption) -> Vec<NewPart> {
    let option = next.option(to.id).map_or(to, |(_, o)| o);
    let line = |part: &Part| {
        let at = after.index.of(part.id.0)?;
        let f = after.parts.get(at)?;
        let phase = f.phase.and_then(|p| after.phases.get(p as usize));
        let holds = phase.and_then(|p| p.held_by.iter().find(|h| h.part == at)).map_or(0, |h| h.days);
        Some(NewPart {
            part: part.id,
            total: f.total(),
            ordered: f.placed.is_some(),
            arrival: f.arrival,
            need_date: f.need_date,
            order_by: f.order_by,
            late: f.late && !f.on_site,
            holds,
        })
    };
    option.parts.iter().filter_map(line).collect()
}

struct Builder<'a> {
    project: &'a Project,
    before: &'a Figures,
    next_id: u32,
    also: Vec<Action>,
}

impl Builder<'_> {
    fn number(&mut self) -> u32 {
        self.next_id += 1;
        self.next_id - 1
    }

    /// What came of a part and was paid for it is behind it, and so is the order it was a line of. What it bore of
    /// payments for the order stands in the extra from now on, so the order keeps the rest.
    fn forget_purchase(&mut self, part: PartId) {
        let project = self.project;
        let own = |p: &&Payment| p.of == PaidFor::Part(part);
        self.also.extend(project.payments.iter().filter(own).map(|p| Action::RemovePayment(p.id)));
        let came = project.deliveries.iter().filter(|d| d.part == part);
        self.also.extend(came.map(|d| Action::RemoveDelivery(d.id)));
        let Some(order) = project.order_of(part) else { return };
        self.also.push(Action::MarkOrdered(vec![part], None));
        let at = self.before.index.of(part.0);
        let mut share = at.map_or(Money::ZERO, |at| self.before.payments.shared(project, part, at));
        let as_of = self.before.as_of;
        let counts = |p: &&Payment| p.of == PaidFor::Order(order.id) && Day::from(p.on) <= as_of;
        for payment in project.payments.iter().rev().filter(counts) {
            let left = payment.amount.less(share);
            if share.is_zero() {
                break;
            } else if left > Money::ZERO {
                share = Money::ZERO;
                self.also.push(Action::PutPayment(Payment { amount: left, ..payment.clone() }));
            } else {
                share = share.less(payment.amount);
                self.also.push(Action::RemovePayment(payment.id));
            }
        }
    }

    /// What went back or was written off is bought again: what it cost stays as an extra, the part begins anew.
    fn buy_again(&mut self, to: &SelectionOption) {
        let gone = |p: &Part| self.project.returns.iter().find(|r| r.part == p.id && r.is_gone()).cloned();
        let parts: Vec<(Part, Return)> =
            to.parts.iter().filter_map(|p| Some((p.clone(), gone(p)?))).collect();
        for (part, r) in parts {
            let counted = self.before.index.of(part.id.0).and_then(|at| self.before.returns.of(at));
            if let Some((amount, paid)) = counted.map(|c| (c.forecast, c.paid))
                && !(amount.is_zero() && paid.is_zero())
            {
                let name = format!("{}, {}", part.name, r.state.words());
                let extra =
                    knock_ons::extra(self.project, &self.also, self.next_id, &name, part.phase, amount, paid);
                self.number();
                self.also.push(extra);
            }
            self.also.push(Action::RemoveReturn(r.id));
            self.forget_purchase(part.id);
            let anew = Part {
                ordered_on: None,
                promised_on: None,
                received_on: None,
                installed_on: None,
                paid: Money::ZERO,
                ..part
            };
            self.also.push(Action::PutPart(to.id, anew));
        }
    }

    fn price(&mut self, wish: &Wish, knock_ons: &[KnockOn], to: &SelectionOption) -> Result<(), ActionError> {
        for price in &wish.prices {
            let Some(knock_on) = knock_ons.iter().find(|k| k.key == price.key) else { continue };
            if !price.cost.is_zero() {
                let phase = knock_on.phase;
                let name = &knock_on.name;
                let extra = knock_ons::extra(
                    self.project,
                    &self.also,
                    self.next_id,
                    name,
                    phase,
                    price.cost,
                    Money::ZERO,
                );
                self.number();
                self.also.push(extra);
            }
            if price.days > 0 {
                let (actions, next_id) =
                    knock_ons::again(self.project, knock_on, price.days, self.next_id, &self.also, to)?;
                self.also.extend(actions);
                self.next_id = next_id;
            }
        }
        Ok(())
    }

    /// The return of an ordered part of the old option; none when one is in the document already and nothing was said.
    fn return_of(&mut self, part: &Part, wish: &Wish) -> (Option<Return>, ReturnLine) {
        let known = self.project.returns.iter().find(|r| r.part == part.id).cloned();
        let fate = wish.fates.iter().find(|f| f.part == part.id);
        let mut r = known.clone().unwrap_or_else(|| Return::new(ReturnId(self.number()), part.id));
        if let Some(fate) = fate {
            (r.state, r.freight) = (fate.state, fate.freight);
        }
        let on = Day::from(wish.on);
        let at = self.before.index.of(part.id.0).and_then(|at| self.before.parts.get(at));
        let terms = at.map(|f| returns::terms(self.project, f, Some(&r), on)).unwrap_or_default();
        let line = ReturnLine { part: part.id, state: r.state, terms };
        (Some(r), line)
    }
}

/// Whether choosing an option is a swap: another one is the choice.
pub fn is_swap(selection: &Selection, to: OptionId) -> bool {
    selection.choice().is_some_and(|o| o.id != to)
}
