//! What changing one's mind would do, before it is done: money, days, returns and knock-ons, and the action that does
//! it, with the figures of the preview as its record.
#![doc = include_str!("../../../assets/manual/returns.md")]
#![doc = include_str!("../../../assets/manual/fits.md")]

pub mod fits;
mod knock_ons;
pub mod walls;

use crate::engine::calendar::Day;
use crate::engine::effect;
use crate::engine::figures::{Figures, compute};
use crate::engine::orders::{self, Order};
use crate::engine::returns::Terms;
use crate::engine::without::{self, Changed};
use crate::model::ids::key_from_name;
use crate::model::money::{from_minor_units, minor_units};
use crate::model::words::count;
use crate::model::{
    Action, ActionError, Known, Money, OptionId, Order as ModelOrder, OrderId, PaidFor, Part, PartId,
    Payment, PhaseId, Project, Return, ReturnId, ReturnState, Selection, SelectionId, SelectionOption, Swap,
    SwapAction, SwapId,
};
use chrono::NaiveDate;

pub(in crate::engine) use knock_ons::find as knock_ons_of;
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
    /// How the days without a room or a service would change, in words; empty where they would not.
    pub without: Vec<Changed>,
    /// What must be changed together with it to win days, in words, where it wins none alone.
    pub together: Option<String>,
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
    pub arrival: Option<Day>,
    /// The day it is needed.
    pub need_date: Option<Day>,
    /// The last day to order it.
    pub order_by: Option<Day>,
    /// The first day it can be ordered, where that is behind the last.
    pub waits_from: Option<Day>,
    /// Comes after it is needed.
    pub late: bool,
    /// Working days it holds its phase.
    pub holds: i32,
}

impl SwapPreview {
    /// The forecast after less the forecast before.
    pub fn costs(&self) -> Money {
        self.known.costs()
    }

    /// The same with everything sent back that can be.
    pub fn costs_returned(&self) -> Money {
        self.known.costs_returned()
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
    builder.buy_again(to)?;
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
    Ok(SwapPreview {
        from: from.id,
        to: to.id,
        known: action.swap.known.clone(),
        back_in_use: back_in_use.map(|p| p.id).collect(),
        parts: new_parts(&next, &after, to),
        moved: moved(before, &after),
        finish_moves: before.finish_moves(after.forecast_finish),
        without: without::changes((project, before), (&next, &after)),
        together: effect::together_words(project, before, from)
            .filter(|_| before.finish_moves(after.forecast_finish).is_none_or(|days| days >= 0)),
        returns: lines,
        knock_ons,
        action: Action::Swap(Box::new(action)),
    })
}

/// Whether something comes back for it.
fn can_go_back(terms: &Terms) -> bool {
    !terms.built_in && terms.given_back > Money::ZERO
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
            let days = if price.days > 0 {
                format!(" and {}", count(price.days, "working day"))
            } else {
                String::new()
            };
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
            arrival: f.expected,
            need_date: f.need_date,
            order_by: f.order_by,
            waits_from: f.waits_from(),
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

    /// What went back or was written off is bought again: what it cost stays as an extra, the part begins anew, and of
    /// what was bought and paid until now nothing moves.
    fn buy_again(&mut self, to: &SelectionOption) -> Result<(), ActionError> {
        let (project, before) = (self.project, self.before);
        let gone = |p: &Part| project.returns.iter().find(|r| r.part == p.id && r.is_gone());
        let parts: Vec<(usize, &Part, &Return)> =
            to.parts.iter().filter_map(|p| Some((before.index.of(p.id.0)?, p, gone(p)?))).collect();
        let Some((_, first, _)) = parts.first() else { return Ok(()) };
        let mut left = Vec::new();
        for order in before.orders.iter().filter(|o| o.placed.is_some() || o.own.is_some()) {
            let leave: Vec<usize> =
                order.all_parts().filter(|at| parts.iter().any(|(gone, ..)| gone == at)).collect();
            if !leave.is_empty() {
                self.leave_order(order, &leave);
                left.extend(leave);
            }
        }
        for (at, part, r) in &parts {
            // One that was ordered later than the as-of day is a line of no order yet.
            if !left.contains(at) && project.order_of(part.id).is_some() {
                self.also.push(Action::MarkOrdered(vec![part.id], None));
            }
            self.forget_purchase(part.id);
            self.also.push(Action::RemoveReturn(r.id));
            let dates = Part { ordered_on: None, promised_on: None, received_on: None, ..(*part).clone() };
            let anew = Part { installed_on: None, paid: Money::ZERO, ..dates };
            self.also.push(Action::PutPart(to.id, anew));
        }
        // What the first purchase leaves: what it counted as, and the cents that sharing again moves.
        let mut after = project.clone();
        for action in &self.also {
            after = after.apply(action)?;
        }
        let (was, is) = (&before.money.total, compute(&after, before.as_of.date()).money.total);
        let mut missing = (was.ordered.less(is.ordered), was.paid.less(is.paid));
        let counted = parts.iter().filter_map(|(at, part, _)| Some((*part, before.returns.of(*at)?)));
        let mut extras: Vec<_> = counted.map(|(part, c)| (part, c.words(), c.ordered, c.paid)).collect();
        for (_, _, ordered, paid) in &extras {
            missing = (missing.0.less(*ordered), missing.1.less(*paid));
        }
        match extras.first_mut() {
            Some(extra) => (extra.2, extra.3) = (extra.2.plus(missing.0), extra.3.plus(missing.1)),
            None => extras.push((first, "bought before", missing.0, missing.1)),
        }
        for (part, words, amount, paid) in extras {
            let (amount, paid) = (amount.at_least(Money::ZERO), paid.at_least(Money::ZERO));
            if amount.is_zero() && paid.is_zero() {
                continue;
            }
            let name = format!("{}, {words}", part.name);
            self.extra(&name, part.phase, amount, paid);
        }
        Ok(())
    }

    fn extra(&mut self, name: &str, phase: Option<PhaseId>, amount: Money, paid: Money) {
        let extra = knock_ons::extra(self.project, &self.also, self.next_id, name, phase, amount, paid);
        self.number();
        self.also.push(extra);
    }

    /// Takes lines out of an order that was placed. Its other lines keep the freight that they were billed, and what the
    /// lines that leave bore of payments for the order stands in the extra from now on.
    fn leave_order(&mut self, order: &Order, leave: &[usize]) {
        let (project, before) = (self.project, self.before);
        let id_of = |at: usize| before.parts[at].id;
        let stays = |at: &usize| !leave.contains(at);
        let rest = || order.parts.iter().copied().filter(stays);
        let billed: Money = rest().map(|at| before.parts[at].freight).sum();
        let (again, _) = orders::price_lines(project, &before.parts, order, rest());
        let freight = if again.freight == billed { order.confirmed } else { Some(billed) };
        let parts: Vec<PartId> = order.all_parts().filter(stays).map(id_of).collect();
        let Some(own) = order.own.and_then(|id| project.order(id)) else {
            let supplier = order.supplier.and_then(|s| project.suppliers.get(s));
            if let Some(supplier) = supplier.filter(|_| freight.is_some() && !again.parts.is_empty()) {
                let keys = project.orders.iter().map(|o| o.key.as_str());
                let placed_on = order.placed.map(|day| day.date());
                let day = placed_on.map_or(String::new(), |day| day.to_string());
                let key = key_from_name(&format!("{} {day}", supplier.key), keys);
                let new = ModelOrder::new(OrderId(self.number()), &key, supplier.id);
                self.also.push(Action::PutOrder(ModelOrder { placed_on, freight, parts, ..new }));
            }
            return;
        };
        let alone = parts.is_empty();
        self.also.push(Action::PutOrder(ModelOrder { freight, parts, ..own.clone() }));
        let currency = project.settings.currency;
        let mut share: i128 = leave.iter().map(|at| before.payments.shared(*at)).sum();
        for payment in project.payments.iter().rev().filter(|p| p.of == PaidFor::Order(own.id)) {
            let units = minor_units(payment.amount, currency.minor_digits());
            if Day::from(payment.on) > before.as_of {
                // It is still to be made; without lines the order could not bear it.
                if alone {
                    let of = PaidFor::Part(id_of(leave[0]));
                    self.also.push(Action::PutPayment(Payment { of, ..payment.clone() }));
                }
            } else if share >= units {
                share -= units;
                self.also.push(Action::RemovePayment(payment.id));
            } else if share > 0 {
                let amount = from_minor_units(units - share, currency.minor_digits());
                share = 0;
                self.also.push(Action::PutPayment(Payment { amount, ..payment.clone() }));
            }
        }
    }

    /// What came of a part and was paid for it is behind it. Payments that are still to be made stay.
    fn forget_purchase(&mut self, part: PartId) {
        let as_of = self.before.as_of;
        let made = |p: &&Payment| p.of == PaidFor::Part(part) && Day::from(p.on) <= as_of;
        self.also.extend(self.project.payments.iter().filter(made).map(|p| Action::RemovePayment(p.id)));
        let came = self.project.deliveries.iter().filter(|d| d.part == part);
        self.also.extend(came.map(|d| Action::RemoveDelivery(d.id)));
    }

    fn price(&mut self, wish: &Wish, knock_ons: &[KnockOn], to: &SelectionOption) -> Result<(), ActionError> {
        for price in &wish.prices {
            let Some(knock_on) = knock_ons.iter().find(|k| k.key == price.key) else { continue };
            if !price.cost.is_zero() {
                self.extra(&knock_on.name, knock_on.phase, price.cost, Money::ZERO);
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
        let at = self.before.index.of(part.id.0);
        let terms = at.map(|at| self.before.terms(self.project, at, Some(&r), on)).unwrap_or_default();
        let line = ReturnLine { part: part.id, state: r.state, terms };
        (Some(r), line)
    }
}

/// Whether choosing an option is a swap: another one is the choice.
pub fn is_swap(selection: &Selection, to: OptionId) -> bool {
    selection.choice().is_some_and(|o| o.id != to)
}
