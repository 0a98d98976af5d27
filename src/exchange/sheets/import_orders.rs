//! The sheets `orders`, `deliveries` and `payments`.
//!
//! Which part is a line of which order stands in the column `order` of the sheet `parts`.

use super::import::Import;
use super::read::fill;
use super::row::Cells;
use super::sheet::Sheet;
use crate::exchange::notice::Notice;
use crate::model::dates::FIRST_DAY;
use crate::model::field::Noun;
use crate::model::{
    Delivery, DeliveryId, Money, Order, OrderId, PaidFor, Part, PartId, Payment, PaymentId, PaymentKind,
    SupplierId, validate,
};
use rust_decimal::Decimal;
use std::collections::HashMap;
use std::sync::Arc;

/// A part that no project has.
const NO_PART: PartId = PartId(u32::MAX);

impl Import {
    /// Orders come before the parts that are their lines.
    pub(super) fn read_orders(&mut self, sheet: &Sheet) {
        let new = |id| Order::new(OrderId(id), "", SupplierId(u32::MAX));
        self.orders = self.list(sheet, Order::FIELDS, new, |_, order| order.check());
    }

    /// Makes a part a line of the order at a position. A part without a day of its own gets that of the order.
    pub(super) fn line_of(&mut self, order: usize, part: &mut Part, sheet: &Sheet, row: usize) {
        let Some(order) = self.orders.get_mut(order) else { return };
        if part.ordered_on.is_none() {
            part.ordered_on = order.placed_on;
        }
        let known = order.supplier.0 != u32::MAX;
        if known && let Err(why) = order.check_line(part) {
            let column = if part.supplier == Some(order.supplier) { "ordered_on" } else { "order" };
            self.faults.push(Notice::cell(&sheet.file, row, column, why));
        }
        order.parts.push(part.id);
    }

    pub(super) fn deliveries(&mut self, sheet: &Sheet) {
        let places = 0..self.part_places.len();
        let known: HashMap<PartId, usize> =
            places.filter_map(|at| Some((self.part_at(at)?.id, at))).collect();
        let mut deliveries = Vec::new();
        for row in &sheet.rows {
            let new = Delivery::new(DeliveryId(self.project.fresh_id()), NO_PART, FIRST_DAY, Decimal::ONE);
            let make = |import: &Import, c: &Cells<'_>| fill(c, import, Delivery::FIELDS, new.clone());
            let (delivery, good) = self.row(sheet, row, make, |_, delivery| delivery.check());
            // Of a part that is wrong by itself nothing more is said.
            let part = known.get(&delivery.part).and_then(|at| self.part_at(*at));
            let part = part.filter(|p| good && validate::part_alone(p).is_ok());
            if let Some(why) = part.and_then(|p| delivery.check_of(p).err()) {
                self.faults.push(Notice::cell(&sheet.file, row.number, "on", why));
            }
            deliveries.push(delivery);
        }
        self.project.deliveries = Arc::new(deliveries);
    }

    pub(super) fn payments(&mut self, sheet: &Sheet) {
        let mut payments = Vec::new();
        for row in &sheet.rows {
            let id = PaymentId(self.project.fresh_id());
            let make = |import: &Import, c: &Cells<'_>| {
                let order = import.refer(c, "order", Noun::Order).map(|id| PaidFor::Order(OrderId(id)));
                let part = import.refer(c, "part", Noun::Part).map_or(NO_PART, PartId);
                let of = order.unwrap_or(PaidFor::Part(part));
                let (amount, kind) = (Money::new(Decimal::ONE), PaymentKind::default());
                let new = Payment { id, of, on: FIRST_DAY, amount, kind, note: String::new() };
                ((c.is_filled("order"), c.is_filled("part")), fill(c, import, Payment::FIELDS, new))
            };
            let ((_, payment), _) = self.row(sheet, row, make, |_, (both, payment)| match both {
                (true, true) => {
                    Err("a payment is for an order or for a part; leave one of the two empty".to_owned())
                }
                (false, false) => {
                    Err("what is the payment for? write the key of an order or of a part".to_owned())
                }
                _ => payment.check(),
            });
            payments.push(payment);
        }
        self.project.payments = Arc::new(payments);
    }
}
