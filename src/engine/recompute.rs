//! The same computation after an edit: only what the edit reaches is computed again.
//!
//! A new document shares with the old one what did not change, so comparing pointers finds what did. From there the
//! change is followed as the figures hang on each other: a part to its order, the other lines of the order, the sums
//! they stand in, and the phase it bounds. What was in a sum is taken out and what is now is put in, in whole minor
//! units, so nothing drifts. An edit that reaches nearly everything (the settings, the suppliers, parts added or
//! removed) is computed as if for the first time. Both ways give the same figures: `tests/recompute.rs` holds that
//! against random actions.

use super::calendar::Day;
use super::compute::{Context, compute, delivery_table, latest_arrival};
use super::deliveries::Received;
use super::figures::{Figures, PartFigures, SelectionFigures};
use super::gates;
use super::money::Turn;
use super::orders::{self, Place};
use super::own_orders::OrderTable;
use super::payments::PaymentTable;
use super::returns;
use super::schedule::{self, Forecast, PhaseBounds, Plan};
use crate::model::money::from_minor_units;
use crate::model::{PartId, Project, Return, Selection};
use chrono::NaiveDate;
use std::sync::Arc;

/// The figures of a project on a day, from those of the document it was made from, on any day.
pub fn recompute(project: &Project, as_of: NaiveDate, before: &Project, mut figures: Figures) -> Figures {
    match Edit::between(before, project, &figures, Day::from(as_of)) {
        Some(edit) => {
            Update { project, before, figures: &mut figures }.make(edit);
            figures
        }
        None => compute(project, as_of),
    }
}

/// What an edit reaches at first.
struct Edit {
    /// Positions of selections, ascending.
    selections: Vec<usize>,
    /// Whether phases or links changed.
    network: bool,
    /// Whether quotes, fees or extras changed.
    trades: bool,
    /// Whether orders that the user grouped changed.
    orders: bool,
}

impl Edit {
    /// `None` when everything has to be computed.
    fn between(before: &Project, after: &Project, figures: &Figures, as_of: Day) -> Option<Edit> {
        let same = |same: bool| same.then_some(());
        same(figures.as_of == as_of && before.settings == after.settings)?;
        same(unchanged(&before.suppliers, &after.suppliers))?;
        // Rooms, phases and selections must stand where they stood, with the same numbers.
        same(unchanged(&before.rooms, &after.rooms))?;
        let network = !unchanged(&before.phases, &after.phases)
            || !unchanged(&before.links, &after.links)
            || !unchanged(&before.corrections, &after.corrections);
        if network {
            let ids = |p: &Project| p.phases.iter().map(|phase| phase.id).collect::<Vec<_>>();
            same(ids(before) == ids(after) && figures.days.cover(after, as_of))?;
        }
        let trades = !unchanged(&before.quotes, &after.quotes) || !unchanged(&before.extras, &after.extras);
        same(!trades || figures.kept.sums.keeps_categories(after, &figures.index))?;
        same(before.selections.len() == after.selections.len())?;
        let mut selections = Vec::new();
        if !Arc::ptr_eq(&before.selections, &after.selections) {
            for (at, (old, new)) in before.selections.iter().zip(after.selections.iter()).enumerate() {
                if !Arc::ptr_eq(old, new) && old != new {
                    same(
                        old.id == new.id && old.category == new.category && part_ids(old).eq(part_ids(new)),
                    )?;
                    selections.push(at);
                }
            }
        }
        if !unchanged(&before.returns, &after.returns) {
            // What a part with a return counts as hangs on nothing else of the document.
            let changed = |r: &&Return, in_other: &Project| !in_other.returns.contains(r);
            let gone = before.returns.iter().filter(|r| changed(r, after));
            let new = after.returns.iter().filter(|r| changed(r, before));
            let parts = gone.chain(new).filter_map(|r| figures.part(r.part));
            selections.extend(parts.map(|f| f.selection as usize));
            selections.sort_unstable();
            selections.dedup();
        }
        let orders = !unchanged(&before.orders, &after.orders);
        let mut touched: Vec<PartId> = Vec::new();
        if orders {
            touched.extend(differing(&before.orders, &after.orders).flat_map(|o| o.parts.iter().copied()));
        }
        if !unchanged(&before.deliveries, &after.deliveries) {
            touched.extend(differing(&before.deliveries, &after.deliveries).map(|d| d.part));
        }
        if !touched.is_empty() {
            selections
                .extend(touched.iter().filter_map(|id| figures.part(*id)).map(|f| f.selection as usize));
            selections.sort_unstable();
            selections.dedup();
        }
        Some(Edit { selections, network, trades, orders })
    }
}

/// What is in one of two lists and not in the other.
fn differing<'a, T: PartialEq>(before: &'a [T], after: &'a [T]) -> impl Iterator<Item = &'a T> {
    let gone = before.iter().filter(|t| !after.contains(t));
    gone.chain(after.iter().filter(|t| !before.contains(t)))
}

fn part_ids(selection: &Selection) -> impl Iterator<Item = u32> {
    selection.options.iter().flat_map(|o| o.parts.iter().map(|p| p.id.0))
}

fn unchanged<T: PartialEq>(before: &Arc<Vec<T>>, after: &Arc<Vec<T>>) -> bool {
    Arc::ptr_eq(before, after) || before == after
}

/// How far a selection is reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Reach {
    /// Not at all.
    None,
    /// By the shares of an order: its sums are taken out, its parts are not computed again.
    Shares,
    /// Its parts are computed again, and taken out of sums and weeks.
    Parts,
}

struct Update<'a> {
    project: &'a Project,
    before: &'a Project,
    figures: &'a mut Figures,
}

impl Update<'_> {
    fn make(&mut self, edit: Edit) {
        let mut selections = edit.selections;
        if edit.network {
            self.plan_again(&mut selections);
        }
        let mut reached =
            Reached { all: Vec::new(), marks: vec![Reach::None; self.figures.selections.len()] };
        let mut places = Vec::new();
        let mut phases = Vec::new();
        let (project, as_of) = (self.project, self.figures.as_of);
        let received = Received::new(project, as_of);
        let lines =
            edit.orders.then(|| OrderTable::new(project, &self.figures.index, &self.figures.parts, as_of));
        for &at in &selections {
            self.take_out(at, Reach::Parts, &mut reached);
            self.compute_parts(at, &received, lines.as_ref(), &mut places, &mut phases);
        }
        if let Some(lines) = lines {
            self.figures.kept.lines = lines;
        }
        places.sort_unstable();
        places.dedup();
        for place in places {
            self.price(place, &mut reached);
        }
        self.pay_again(&mut reached);
        self.settle_again();
        self.receive_again(&received);
        let moved = self.forecast_again(edit.network, phases);
        self.put_in(&reached);
        if edit.trades {
            self.figures.kept.sums.replace_trades(self.project, &self.figures.index);
        }
        if edit.trades || moved {
            let mut weeks = std::mem::take(&mut self.figures.kept.weeks);
            weeks.replace_trades(self.project, self.figures);
            self.figures.kept.weeks = weeks;
        }
        let digits = self.digits();
        self.figures.kept.sums.show(self.project, &mut self.figures.money);
        self.figures.cash = self.figures.kept.weeks.show(self.figures.as_of, digits);
    }

    fn digits(&self) -> u32 {
        self.project.settings.currency.minor_digits()
    }

    /// Plans again. The selections with parts whose phase needs them on another day are reached.
    fn plan_again(&mut self, selections: &mut Vec<usize>) {
        let f = &mut *self.figures;
        let plan = Plan::new(self.project, f.days.work(), f.as_of);
        let needed_by = f.kept.needed_by.get_or_insert_with(|| needed_by(f.phases.len(), &f.parts));
        for (phase, parts) in needed_by.iter().enumerate() {
            if plan.needs_otherwise(&f.kept.plan, phase) {
                selections.extend(parts.iter().map(|part| f.parts[*part as usize].selection as usize));
            }
        }
        selections.sort_unstable();
        selections.dedup();
        f.kept.plan = plan;
    }

    /// Takes a selection out of the sums, and its parts out of the weeks when they are to be computed again.
    fn take_out(&mut self, at: usize, reach: Reach, reached: &mut Reached) {
        if reached.marks[at] != Reach::None {
            return;
        }
        reached.marks[at] = reach;
        reached.all.push(at);
        let f = &mut *self.figures;
        let old =
            if reach == Reach::Parts { &self.before.selections[at] } else { &self.project.selections[at] };
        let selection = &f.selections[at];
        let own = &f.parts[selection.first_part..selection.end_part];
        f.kept.sums.selection(Turn::Out, old, selection, own, &f.returns, &f.index);
        if reach == Reach::Parts {
            for (part, at) in own.iter().zip(selection.first_part..) {
                f.kept.weeks.part(Turn::Out, self.before, part, f.returns.of(at), f.as_of);
            }
        }
    }

    /// Computes the parts of a selection, and notes the orders and phases they leave, join or change.
    fn compute_parts(
        &mut self,
        at: usize,
        received: &Received<'_>,
        new_lines: Option<&OrderTable>,
        places: &mut Vec<Place>,
        phases: &mut Vec<usize>,
    ) {
        let digits = self.digits();
        let (project, without) = (self.project, self.project.suppliers.len());
        let Figures { days, index, rooms, kept, selections, parts, orders, payments, as_of, .. } =
            &mut *self.figures;
        let context = Context { project, days, index, rooms, plan: &kept.plan, received, as_of: *as_of };
        let mut new_parts = Vec::new();
        let new = context.selection(at, &project.selections[at], &mut new_parts);
        let shown = &mut selections[at];
        *shown = SelectionFigures { first_part: shown.first_part, end_part: shown.end_part, ..new };
        days.reach(latest_arrival(&new_parts));
        let work = days.work();
        for (position, mut new) in (shown.first_part..).zip(new_parts) {
            let old = &parts[position];
            // What dated payments amount to is looked at again once the orders are priced.
            new.paid = new.paid.plus(from_minor_units(payments.of(position), digits));
            let (was_in, own) = (kept.lines.of(position), new_lines.unwrap_or(&kept.lines).of(position));
            let (from, to) = (Place::with(old, was_in, without), Place::with(&new, own, without));
            let same_line = (old.amount, old.quantity_to_buy, old.taxable)
                == (new.amount, new.quantity_to_buy, new.taxable);
            if to.is_none() {
                new.tax = orders::tax_alone(project, &new);
            } else {
                (new.freight, new.tax) = (old.freight, old.tax);
            }
            let bounds = [kept.plan.delivery_bound(work, old), kept.plan.delivery_bound(work, &new)];
            if bounds[0] != bounds[1] {
                phases.extend(bounds.iter().flatten().map(|(phase, _)| *phase));
            }
            if old.phase != new.phase && !project.gates.is_empty() {
                // What a gate misses may wait for another phase now, though no bound differs.
                phases.extend([old.phase, new.phase].into_iter().flatten().map(|p| p as usize));
            }
            if old.phase != new.phase
                && let Some(needed_by) = &mut kept.needed_by
            {
                move_need(needed_by, position as u32, old.phase, new.phase);
            }
            if from != to {
                orders::move_part(orders, position, (from, to), (&new, own), without);
            }
            if from != to || !same_line || was_in != own {
                places.extend([from, to].into_iter().flatten());
            }
            parts[position] = new;
        }
    }

    /// Prices an order again and hands its shares to its lines.
    fn price(&mut self, place: Place, reached: &mut Reached) {
        let mut orders = std::mem::take(&mut self.figures.orders);
        if let Some((parts, shares)) = orders::price_again(
            self.project,
            &mut orders,
            place,
            &self.figures.parts,
            &self.figures.kept.lines,
        ) {
            for (&at, share) in parts.iter().zip(shares) {
                let part = &self.figures.parts[at];
                if (part.freight, part.tax) == (share.freight, share.tax) {
                    continue;
                }
                self.change_part(at, reached, |part| (part.freight, part.tax) = (share.freight, share.tax));
            }
        }
        self.figures.orders = orders;
    }

    /// Shares the dated payments again and hands what changed to the parts.
    fn pay_again(&mut self, reached: &mut Reached) {
        if self.project.payments.is_empty() && self.before.payments.is_empty() {
            return;
        }
        let f = &*self.figures;
        let new = PaymentTable::new(self.project, &f.index, &f.parts, &f.orders, f.as_of);
        for at in new.changed(&f.payments.clone()) {
            let paid = from_minor_units(new.of(at) - self.figures.payments.of(at), self.digits());
            self.change_part(at, reached, |part| part.paid = part.paid.plus(paid));
        }
        self.figures.payments = new;
    }

    /// Changes the money of a part, of a selection that may not be reached yet.
    fn change_part(&mut self, at: usize, reached: &mut Reached, change: impl FnOnce(&mut PartFigures)) {
        let selection = self.figures.parts[at].selection as usize;
        self.take_out(selection, Reach::Shares, reached);
        // The parts of a selection reached whole are out of the weeks already.
        let f = &mut *self.figures;
        let in_weeks = reached.marks[selection] == Reach::Shares;
        if in_weeks {
            f.kept.weeks.part(Turn::Out, self.project, &f.parts[at], f.returns.of(at), f.as_of);
        }
        change(&mut f.parts[at]);
        if f.returns.of(at).is_some() {
            f.returns = returns::settle(self.project, &f.index, &f.parts, f.as_of);
        }
        if in_weeks {
            f.kept.weeks.part(Turn::In, self.project, &f.parts[at], f.returns.of(at), f.as_of);
        }
    }

    /// Looks again at how far parts are of which something came.
    fn receive_again(&mut self, received: &Received<'_>) {
        if !(self.project.deliveries.is_empty() && self.before.deliveries.is_empty()) {
            let f = &mut *self.figures;
            f.deliveries = delivery_table(self.project, &f.index, &f.parts, &f.days, received, f.as_of);
        }
    }

    /// Settles the returns again. A return hangs only on its own part, so those of selections that are not taken out
    /// stay as they were.
    fn settle_again(&mut self) {
        let f = &mut *self.figures;
        if !(self.project.returns.is_empty() && self.before.returns.is_empty()) {
            f.returns = returns::settle(self.project, &f.index, &f.parts, f.as_of);
        }
    }

    /// Reads the gates again. `None` when they stand as before, else whether the list of gates is the same.
    fn read_gates(&mut self) -> Option<bool> {
        let (project, same_list) = (self.project, unchanged(&self.before.gates, &self.project.gates));
        if project.gates.is_empty() && same_list {
            return None;
        }
        let Figures { days, index, kept, parts, selections, phases, as_of, .. } = &mut *self.figures;
        let needed_by = kept.needed_by.get_or_insert_with(|| needed_by(phases.len(), parts));
        let read = gates::read(&gates::Facts {
            project,
            index,
            selections,
            parts,
            needed_by: Some(needed_by.as_slice()),
            work: days.work(),
            as_of: *as_of,
        });
        if same_list && read == kept.gates {
            return None;
        }
        kept.gates = read;
        Some(same_list)
    }

    /// Makes the pass with deliveries again where a bound changed. Whether any phase moved.
    fn forecast_again(&mut self, network: bool, mut phases: Vec<usize>) -> bool {
        let project = self.project;
        let regated = self.read_gates();
        let Figures { days, kept, parts, gates, phases: shown, .. } = &mut *self.figures;
        let work = days.work();
        if network || regated.is_some_and(|same_list| !same_list) {
            kept.forecast = Forecast::new(&kept.plan, work, parts, &kept.gates);
            gates.clone_from(&kept.gates);
            kept.forecast.finish_gates(&kept.plan, project, work, parts, gates);
            *shown = schedule::phase_figures(&kept.plan, &kept.forecast, project, work, gates);
        } else if phases.is_empty() && regated.is_none() {
            return false;
        } else {
            phases.sort_unstable();
            phases.dedup();
            let needed_by = kept.needed_by.get_or_insert_with(|| needed_by(shown.len(), parts));
            for &phase in &phases {
                let mut bounds = PhaseBounds::default();
                for &part in &needed_by[phase] {
                    if let Some((_, bound)) = kept.plan.delivery_bound(work, &parts[part as usize]) {
                        bounds.note(part as usize, bound);
                    }
                }
                kept.forecast.bounds[phase] = bounds;
            }
            let moved = kept.forecast.pass_again(&kept.plan, work, parts, &kept.gates, &phases);
            gates.clone_from(&kept.gates);
            kept.forecast.finish_gates(&kept.plan, project, work, parts, gates);
            for phase in moved {
                kept.forecast.write(&kept.plan, project, work, gates, phase, &mut shown[phase]);
            }
        }
        let f = &mut *self.figures;
        f.plan_finish = f.kept.plan.finish(project, f.days.work());
        f.forecast_finish = f.kept.forecast.finish(&f.kept.plan, project, f.days.work());
        f.days_lost = f.kept.forecast.days_lost(&f.kept.plan);
        true
    }

    /// Puts what was taken out back in as it is now.
    fn put_in(&mut self, reached: &Reached) {
        let f = &mut *self.figures;
        for &at in &reached.all {
            let selection = &f.selections[at];
            let own = &f.parts[selection.first_part..selection.end_part];
            let new = &self.project.selections[at];
            let money = f.kept.sums.selection(Turn::In, new, selection, own, &f.returns, &f.index);
            if reached.marks[at] == Reach::Parts {
                for (part, at) in own.iter().zip(selection.first_part..) {
                    f.kept.weeks.part(Turn::In, self.project, part, f.returns.of(at), f.as_of);
                }
            }
            f.selections[at].money = money;
        }
    }
}

/// The selections reached so far.
struct Reached {
    all: Vec<usize>,
    marks: Vec<Reach>,
}

/// By phase: the positions of the parts that need it, ascending.
fn needed_by(phases: usize, parts: &[PartFigures]) -> Vec<Vec<u32>> {
    let mut by_phase = vec![Vec::new(); phases];
    for (at, part) in parts.iter().enumerate() {
        if let Some(list) = part.phase.and_then(|p| by_phase.get_mut(p as usize)) {
            list.push(at as u32);
        }
    }
    by_phase
}

fn move_need(needed_by: &mut [Vec<u32>], part: u32, from: Option<u32>, to: Option<u32>) {
    if let Some(list) = from.and_then(|p| needed_by.get_mut(p as usize)) {
        list.retain(|p| *p != part);
    }
    if let Some(list) = to.and_then(|p| needed_by.get_mut(p as usize))
        && let Err(at) = list.binary_search(&part)
    {
        list.insert(at, part);
    }
}
