//! The sheets `orders`, `deliveries` and `payments`.
//!
//! Which part is a line of which order stands in the column `order` of the sheet `parts`.

use super::import::Import;
use super::notice::Notice;
use super::row::{Cells, build};
use super::sheet::Sheet;
use crate::model::dates::FIRST_DAY;
use crate::model::{
    Delivery, DeliveryId, Money, Order, OrderId, PaidFor, Part, PartId, Payment, PaymentId, PaymentKind,
    SupplierId, validate,
};
use rust_decimal::Decimal;
use std::sync::Arc;

impl Import {
    /// Orders come before the parts that are their lines.
    pub(super) fn orders(&mut self) {
        let Some(sheet) = self.take("orders") else { return };
        for row in &sheet.rows {
            let id = OrderId(self.project.fresh_id());
            let make = |c: &Cells<'_>| {
                let supplier = c.refer("supplier", &self.supplier_keys);
                c.needed("supplier", supplier, 0);
                let supplier = supplier.map_or(SupplierId(u32::MAX), |at| self.suppliers[at].id);
                Order {
                    number: c.text("number"),
                    placed_on: c.date("placed_on"),
                    freight: c.money("freight"),
                    note: c.text("note"),
                    ..Order::new(id, &c.key("key"), supplier)
                }
            };
            let (order, found) = build(&sheet, row, make, Order::check);
            self.faults.extend(found);
            let at = self.order_list.len();
            self.order_keys.note(&order.key, at, &sheet, row.number, &mut self.faults);
            self.order_list.push(order);
        }
    }

    /// Makes a part a line of the order at a position. A part without a day of its own gets that of the order.
    pub(super) fn line_of(&mut self, order: usize, part: &mut Part, sheet: &Sheet, row: usize) {
        let Some(order) = self.order_list.get_mut(order) else { return };
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

    /// What came and what was paid.
    pub(super) fn deliveries_and_payments(&mut self) {
        if let Some(sheet) = self.take("deliveries") {
            self.deliveries(&sheet);
        }
        if let Some(sheet) = self.take("payments") {
            self.payments(&sheet);
        }
        self.project.orders = Arc::new(std::mem::take(&mut self.order_list));
    }

    fn deliveries(&mut self, sheet: &Sheet) {
        let mut deliveries = Vec::new();
        for row in &sheet.rows {
            let id = DeliveryId(self.project.fresh_id());
            let make = |c: &Cells<'_>| {
                let at = c.refer("part", &self.part_keys);
                c.needed("part", at, 0);
                let part = at.and_then(|at| self.part_at(at)).map_or(PartId(u32::MAX), |p| p.id);
                let on = c.needed("on", c.date("on"), FIRST_DAY);
                let quantity = c.needed("quantity", c.number("quantity"), Decimal::ONE);
                let delivery = Delivery {
                    damaged: c.number("damaged").unwrap_or_default(),
                    reported_on: c.date("reported_on"),
                    replacement_lead: c.whole("replacement_lead"),
                    replacement_on: c.date("replacement_on"),
                    rest_on: c.date("rest_on"),
                    note: c.text("note"),
                    ..Delivery::new(id, part, on, quantity)
                };
                (at, delivery)
            };
            let ((at, delivery), found) = build(sheet, row, make, |(_, delivery)| delivery.check());
            // Of a part that is wrong by itself nothing more is said.
            let part = at.and_then(|at| self.part_at(at)).filter(|p| validate::part_alone(p).is_ok());
            let early = part.filter(|_| found.is_empty());
            let early = early.and_then(|p| delivery.check_of(p).err());
            self.faults.extend(found);
            if let Some(why) = early {
                self.faults.push(Notice::cell(&sheet.file, row.number, "on", why));
            }
            deliveries.push(delivery);
        }
        self.project.deliveries = Arc::new(deliveries);
    }

    fn payments(&mut self, sheet: &Sheet) {
        let mut payments = Vec::new();
        for row in &sheet.rows {
            let id = PaymentId(self.project.fresh_id());
            let make = |c: &Cells<'_>| {
                let order = c.refer("order", &self.order_keys).and_then(|at| self.order_list.get(at));
                let part = c.refer("part", &self.part_keys).and_then(|at| self.part_at(at));
                let both = (c.is_filled("order"), c.is_filled("part"));
                let of = match (order, part) {
                    (Some(order), _) => PaidFor::Order(order.id),
                    (_, part) => PaidFor::Part(part.map_or(PartId(u32::MAX), |p| p.id)),
                };
                let on = c.needed("on", c.date("on"), FIRST_DAY);
                let amount = c.needed("amount", c.money("amount"), Money::new(Decimal::ONE));
                let kind = c.word("kind", &PaymentKind::ALL).unwrap_or_default();
                (both, Payment { id, of, on, amount, kind, note: c.text("note") })
            };
            let ((_, payment), found) = build(sheet, row, make, |(both, payment)| match both {
                (true, true) => {
                    Err("a payment is for an order or for a part; leave one of the two empty".to_owned())
                }
                (false, false) => {
                    Err("what is the payment for? write the key of an order or of a part".to_owned())
                }
                _ => payment.check(),
            });
            self.faults.extend(found);
            payments.push(payment);
        }
        self.project.payments = Arc::new(payments);
    }
}
