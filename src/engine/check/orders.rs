//! Checks of orders: what is missing of deliveries, what is to be paid, orders too small for their supplier.

use super::Found;
use crate::engine::calendar::Day;
use crate::model::words::{count, quantity};
use crate::model::{Currency, Money, Part, Severity, Subject};

impl Found<'_> {
    /// What is still to come of a part of which something came.
    pub(super) fn still_to_come(&mut self, part: &Part, name: &str, at: usize) {
        let figures = self.figures;
        let (Some(d), Some(f)) = (figures.deliveries.of(at), figures.parts.get(at)) else { return };
        let units = |n: rust_decimal::Decimal| quantity(n, &part.unit);
        let subject = Subject::Part(part.id);
        if !d.backorder.is_zero()
            && !d.promised
            && part.promised_on.is_none_or(|p| Day::from(p) < figures.as_of)
        {
            let message = format!(
                "{} of {name} are on backorder without a promised day; ask the supplier and note it with the delivery",
                units(d.backorder)
            );
            self.add(Severity::Warning, "backorder_no_date", subject, &part.key, message);
        }
        // The replacement itself is late, not only the rest of the part. One that is overdue is expected when the part is.
        let day = d.replacement_on.filter(|_| !d.to_replace.is_zero());
        let day = day.map(|day| if day < figures.as_of { f.expected.unwrap_or(day) } else { day });
        if let Some(day) = day.filter(|day| f.need_date.is_some_and(|need| *day > need)) {
            let need = f.need_date.map_or(String::new(), |need| format!(", needed {need}"));
            let message = format!(
                "{} of {name} came damaged and the replacement is expected {}{need}; press the supplier, or ask whether the work can begin with what is whole",
                units(d.to_replace),
                day
            );
            self.add(Severity::Warning, "replacement_late", subject, &part.key, message);
        }
        if d.too_many {
            let message = format!(
                "more of {name} came whole than the {} that are bought; check the deliveries, or send the rest back",
                units(f.quantity_to_buy)
            );
            self.add(Severity::Note, "received_too_many", subject, &part.key, message);
        }
    }

    /// Whether a part bears payments for an order, of which it may get more than its own.
    pub(super) fn shares_payments(&self, at: usize) -> bool {
        self.figures.payments.shared(at) != 0
    }

    /// Orders placed and not, what is owed on them, and what does not count yet.
    pub(super) fn orders(&mut self) {
        let (project, figures) = (self.project, self.figures);
        let currency = project.settings.currency;
        for order in &figures.orders {
            let own = order.own.and_then(|id| project.order(id));
            let Some(supplier) = order.supplier.and_then(|s| project.suppliers.get(s)) else { continue };
            let (subject, key) = own.map_or((Subject::Supplier(supplier.id), supplier.key.as_str()), |o| {
                (Subject::Order(o.id), o.key.as_str())
            });
            let name = match (own, order.placed) {
                (Some(own), _) if own.number.trim().is_empty() => format!("the order with {}", supplier.name),
                (Some(own), _) => format!("the order {} with {}", own.number.trim(), supplier.name),
                (None, Some(day)) => format!("what was ordered from {} on {day}", supplier.name),
                (None, None) => format!("what is to be ordered from {}", supplier.name),
            };
            let short =
                supplier.min_order.map(|min| min.less(order.goods)).filter(|short| *short > Money::ZERO);
            if let Some(short) = short.filter(|_| order.placed.is_none()) {
                let message = format!(
                    "{name} is {} {currency} below the smallest order of {} they take; order more together",
                    short.to_plain(currency),
                    supplier.min_order.unwrap_or_default().to_plain(currency)
                );
                self.add(Severity::Note, "below_minimum", subject, key, message);
            }
            if order.placed.is_some() {
                self.owed(order, subject, key, &name, currency);
            }
        }
        for order in project.orders.iter().filter(|o| o.parts.is_empty()) {
            let message = format!("the order {} has no lines; add some, or remove it", order.called(project));
            self.add(Severity::Note, "order_empty", Subject::Order(order.id), &order.key, message);
        }
        self.dated_later();
    }

    fn owed(
        &mut self,
        order: &crate::engine::orders::Order,
        subject: Subject,
        key: &str,
        name: &str,
        currency: Currency,
    ) {
        let as_of = self.figures.as_of;
        let account = self.figures.account(self.project, order);
        let due = account.due_by(as_of);
        if !due.is_zero() {
            let first = account.dues.first().map_or(as_of, |d| d.day);
            let message = format!(
                "{} {currency} are due since {first} on {name}; pay them, or note the payment",
                due.to_plain(currency)
            );
            self.add(Severity::Warning, "payment_due", subject, key, message);
        }
        let soon = account.dues.iter().find(|d| d.day > as_of && d.day.since(as_of) <= 7);
        if let Some(soon) = soon {
            let message = format!(
                "{} {currency} fall due on {} on {name}, in {}",
                soon.amount.to_plain(currency),
                soon.day,
                count(soon.day.since(as_of), "day")
            );
            self.add(Severity::Note, "payment_soon", subject, key, message);
        }
        if account.owed.is_negative() && order.own.is_some() {
            let message = format!(
                "{} {currency} more were paid on {name} than is owed; check the payments, or ask for it back",
                Money::ZERO.less(account.owed).to_plain(currency)
            );
            self.add(Severity::Note, "order_overpaid", subject, key, message);
        }
    }

    /// What is dated after the as-of day and does not count yet. Looking back, that is as it should be.
    fn dated_later(&mut self) {
        let (project, as_of) = (self.project, self.figures.as_of);
        let later = |day: chrono::NaiveDate| Day::from(day) > as_of;
        let counts = [
            ("delivery", "deliveries", project.deliveries.iter().filter(|d| later(d.on)).count()),
            ("payment", "payments", project.payments.iter().filter(|p| later(p.on)).count()),
        ];
        for (one, many, count) in counts.into_iter().filter(|(_, _, count)| *count > 0) {
            let what = if count == 1 { format!("1 {one} is") } else { format!("{count} {many} are") };
            let message = format!(
                "{what} dated after the as-of day {as_of} and not counted yet; if that is not meant, correct the day"
            );
            self.add(Severity::Note, "dated_later", Subject::Project, &project.settings.name, message);
        }
    }
}
