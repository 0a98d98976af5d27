//! Applying changes of orders, deliveries and payments, and keeping what they name in step.

use super::apply::{ActionError, put, refuse, remove};
use super::ids::*;
use super::order::{Delivery, Order, PaidFor, Payment};
use super::project::Project;
use chrono::NaiveDate;
use std::collections::HashSet;
use std::sync::Arc;

impl Project {
    /// Adds or replaces an order. Its lines leave the orders they were in, and get its day.
    pub(super) fn put_order(&mut self, order: &Order) -> Result<(), ActionError> {
        let mut order = order.clone();
        let known = self.order(order.id).cloned();
        self.sort_lines(&mut order.parts);
        let new: HashSet<PartId> = order.parts.iter().copied().collect();
        for id in &order.parts {
            let Some((_, _, part)) = self.part(*id) else {
                return refuse("the order names a part that is not in the project");
            };
            if part.supplier != Some(order.supplier) {
                return refuse(format!("{} is not bought from the supplier of this order", part.name));
            }
        }
        if let Some(known) = &known
            && known.supplier != order.supplier
            && self.payments.iter().any(|p| p.of == PaidFor::Order(order.id))
        {
            return refuse("the order is paid in part, so its supplier stays; begin another order");
        }
        self.claim(order.id.0, known.is_some())?;
        self.leave_orders(&new, Some(order.id));
        // A line that is taken out keeps the day it was ordered on.
        self.date_lines(&order.parts, order.placed_on)?;
        put(&mut self.orders, order.clone())?;
        Ok(order.check_in(self)?)
    }

    /// Removes an order; its lines stay as they are.
    pub(super) fn remove_order(&mut self, id: OrderId) -> Result<(), ActionError> {
        let paid = self.payments.iter().filter(|p| p.of == PaidFor::Order(id)).count();
        if paid > 0 {
            return refuse(format!("{paid} payments are noted for this order; remove or move them first"));
        }
        remove(&mut self.orders, id)
    }

    /// Moves lines of an order into a new one.
    pub(super) fn split_order(&mut self, from: OrderId, new: &Order) -> Result<(), ActionError> {
        let Some(old) = self.order(from) else { return Err(ActionError::Gone("order")) };
        if self.order(new.id).is_some() {
            return refuse("the order split off must be a new one");
        }
        if new.supplier != old.supplier {
            return refuse("both orders have the same supplier after a split");
        }
        let own: HashSet<PartId> = old.parts.iter().copied().collect();
        let moved: HashSet<PartId> = new.parts.iter().copied().collect();
        if moved.is_empty() || !moved.is_subset(&own) {
            return refuse("choose lines of the order to split off");
        }
        if moved.len() == own.len() {
            return refuse("leave at least one line in the order");
        }
        self.put_order(new)
    }

    /// Moves all lines and payments of an order into another of the same supplier, and removes it. The lines get the
    /// day of the order that stays.
    pub(super) fn merge_orders(&mut self, into: OrderId, from: OrderId) -> Result<(), ActionError> {
        let (Some(stays), Some(goes)) = (self.order(into), self.order(from)) else {
            return Err(ActionError::Gone("order"));
        };
        if into == from {
            return refuse("choose two orders to merge");
        }
        if stays.supplier != goes.supplier {
            return refuse("orders of two suppliers cannot be merged");
        }
        let freight = match (stays.freight, goes.freight) {
            (Some(a), Some(b)) => Some(a.plus(b)),
            (a, b) => a.or(b),
        };
        let notes: Vec<&str> =
            [stays, goes].iter().map(|o| o.note.as_str()).filter(|n| !n.is_empty()).collect();
        let parts = stays.parts.iter().chain(&goes.parts).copied().collect();
        let merged = Order { freight, parts, note: notes.join("\n"), ..stays.clone() };
        if self.payments.iter().any(|p| p.of == PaidFor::Order(from)) {
            for payment in Arc::make_mut(&mut self.payments) {
                if payment.of == PaidFor::Order(from) {
                    payment.of = PaidFor::Order(into);
                }
            }
        }
        remove(&mut self.orders, from)?;
        self.put_order(&merged)
    }

    /// Adds or replaces a delivery.
    pub(super) fn put_delivery(&mut self, delivery: &Delivery) -> Result<(), ActionError> {
        delivery.check_in(self)?;
        if let Some((_, _, part)) = self.part(delivery.part).filter(|(_, _, p)| !p.is_ordered()) {
            return refuse(format!("{} is not ordered; note the day of the order first", part.name));
        }
        self.claim(delivery.id.0, self.deliveries.iter().any(|d| d.id == delivery.id))?;
        put(&mut self.deliveries, delivery.clone())
    }

    pub(super) fn remove_delivery(&mut self, id: DeliveryId) -> Result<(), ActionError> {
        remove(&mut self.deliveries, id)
    }

    /// Adds or replaces a payment.
    pub(super) fn put_payment(&mut self, payment: &Payment) -> Result<(), ActionError> {
        payment.check_in(self)?;
        self.claim(payment.id.0, self.payments.iter().any(|p| p.id == payment.id))?;
        put(&mut self.payments, payment.clone())
    }

    pub(super) fn remove_payment(&mut self, id: PaymentId) -> Result<(), ActionError> {
        remove(&mut self.payments, id)
    }

    /// Notes the day parts were ordered. An order all of whose lines are among them gets the day; a line of another
    /// order leaves it when the day differs.
    pub(super) fn mark_ordered(&mut self, ids: &[PartId], on: Option<NaiveDate>) -> Result<(), ActionError> {
        let marked: HashSet<PartId> = ids.iter().copied().collect();
        let differs = |o: &Order| o.placed_on != on && o.parts.iter().any(|id| marked.contains(id));
        if self.orders.iter().any(differs) {
            for order in Arc::make_mut(&mut self.orders).iter_mut().filter(|o| differs(o)) {
                if order.parts.iter().all(|id| marked.contains(id)) {
                    order.placed_on = on;
                } else {
                    order.parts.retain(|id| !marked.contains(id));
                }
            }
        }
        self.date_parts(ids, on)
    }

    /// The same for the lines of an order, of which those with that day are left alone.
    fn date_lines(&mut self, ids: &[PartId], on: Option<NaiveDate>) -> Result<(), ActionError> {
        let other: Vec<PartId> = ids
            .iter()
            .copied()
            .filter(|id| self.part(*id).is_some_and(|(_, _, p)| p.ordered_on != on))
            .collect();
        self.date_parts(&other, on)
    }

    fn date_parts(&mut self, ids: &[PartId], on: Option<NaiveDate>) -> Result<(), ActionError> {
        self.edit_parts(ids, |p| p.ordered_on = on)?;
        if self.deliveries.is_empty() {
            return Ok(());
        }
        let ids: HashSet<PartId> = ids.iter().copied().collect();
        let of_these = self.deliveries.iter().filter(|d| ids.contains(&d.part));
        of_these.filter_map(|d| d.check_of(self.part(d.part)?.2).err()).try_for_each(refuse)
    }

    /// A part that is replaced must still fit the order it is a line of, and what came of it.
    pub(super) fn part_fits_orders(&self, part: &super::Part) -> Result<(), ActionError> {
        if let Some((_, _, known)) = self.part(part.id)
            && (known.supplier, known.ordered_on) == (part.supplier, part.ordered_on)
        {
            return Ok(());
        }
        if let Some(order) = self.orders.iter().find(|o| o.parts.contains(&part.id)) {
            order.check_line(part)?;
        }
        let of_it = self.deliveries.iter().filter(|d| d.part == part.id);
        of_it.filter_map(|d| d.check_of(part).err()).try_for_each(refuse)
    }

    /// What came of a part, and what was paid for it, is noted by its number.
    pub(super) fn part_free_of_orders(&self, id: PartId) -> Result<(), ActionError> {
        if self.deliveries.iter().any(|d| d.part == id) {
            return refuse("deliveries of it are noted; remove those first");
        }
        if self.payments.iter().any(|p| p.of == PaidFor::Part(id)) {
            return refuse("payments for it are noted; remove those first");
        }
        Ok(())
    }

    /// Drops lines whose parts are gone.
    pub(super) fn prune_orders(&mut self) {
        let here = |id: &PartId| self.part_at(*id).is_some();
        if !self.orders.iter().all(|o| o.parts.iter().all(here)) {
            let mut orders = self.orders.as_ref().clone();
            orders.iter_mut().for_each(|o| o.parts.retain(here));
            self.orders = Arc::new(orders);
        }
    }

    /// Takes parts out of all orders but one.
    fn leave_orders(&mut self, parts: &HashSet<PartId>, but: Option<OrderId>) {
        let leaves = |o: &Order| Some(o.id) != but && o.parts.iter().any(|id| parts.contains(id));
        if self.orders.iter().any(leaves) {
            for order in Arc::make_mut(&mut self.orders).iter_mut().filter(|o| leaves(o)) {
                order.parts.retain(|id| !parts.contains(id));
            }
        }
    }

    /// Brings lines into document order, each once.
    fn sort_lines(&self, parts: &mut Vec<PartId>) {
        // Where parts of one selection stand among each other.
        let inside = |at: usize, id: PartId| {
            self.selections[at].options.iter().flat_map(|o| &o.parts).position(|p| p.id == id)
        };
        parts.sort_by_cached_key(|id| match self.part_at(*id) {
            Some(at) => (at, inside(at, *id)),
            None => (usize::MAX, None),
        });
        parts.dedup();
    }

    pub(super) fn is_taken_by_orders(&self, id: u32) -> bool {
        self.order(OrderId(id)).is_some()
            || self.deliveries.iter().any(|d| d.id.0 == id)
            || self.payments.iter().any(|p| p.id.0 == id)
    }

    /// The order a part is a line of.
    pub fn order_of(&self, part: PartId) -> Option<&Order> {
        self.orders.iter().find(|o| o.parts.contains(&part))
    }
}
