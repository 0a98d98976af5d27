//! Rules about orders, deliveries and payments.

use super::ids::{OrderId, PartId};
use super::order::{Delivery, Order, PaidFor, Payment, check_delivery, check_order, check_payment};
use super::project::Project;
use super::selection::Part;
use std::collections::{HashMap, HashSet};

type Checked = Result<(), String>;

/// Checks an order against the project.
pub(super) fn order(project: &Project, o: &Order) -> Checked {
    check_order(o)?;
    if project.supplier(o.supplier).is_none() {
        return Err("the order names a supplier that is not in the project".to_owned());
    }
    let mut seen = HashSet::new();
    for id in &o.parts {
        let Some((_, _, part)) = project.part(*id) else {
            return Err("the order names a part that is not in the project".to_owned());
        };
        if !seen.insert(id) {
            return Err(format!("the order names {} twice", part.name));
        }
        line(o, part)?;
    }
    Ok(())
}

/// Checks that a part can be a line of an order.
pub fn line(o: &Order, part: &Part) -> Checked {
    if part.supplier != Some(o.supplier) {
        return Err(format!(
            "{} is a line of the order {} and has another supplier; take it out of the order first",
            part.name,
            o.name()
        ));
    }
    let day = |day: Option<chrono::NaiveDate>| day.map_or("not yet".to_owned(), |d| format!("on {d}"));
    if part.ordered_on != o.placed_on {
        return Err(format!(
            "{} is ordered {}, but the order {} that it is a line of is placed {}; change the day of the order, or take it out of the order",
            part.name,
            day(part.ordered_on),
            o.name(),
            day(o.placed_on)
        ));
    }
    Ok(())
}

/// Checks a delivery against the project.
pub(super) fn delivery(project: &Project, d: &Delivery) -> Checked {
    let Some((_, _, part)) = project.part(d.part) else {
        return Err("the delivery names a part that is not in the project".to_owned());
    };
    check_delivery(d)?;
    delivered(part, d)
}

/// Checks a delivery against its part.
pub fn delivered(part: &Part, d: &Delivery) -> Checked {
    match part.ordered_on {
        Some(ordered) if d.on < ordered => Err(format!(
            "{} came on {}, before it was ordered on {ordered}; correct one of the days",
            part.name, d.on
        )),
        _ => Ok(()),
    }
}

/// Checks a payment against the project.
pub(super) fn payment(project: &Project, p: &Payment) -> Checked {
    let known = match p.of {
        PaidFor::Order(id) => project.order(id).is_some(),
        PaidFor::Part(id) => project.part(id).is_some(),
    };
    if !known {
        return Err("the payment is for an order or a part that is not in the project".to_owned());
    }
    check_payment(p)
}

/// Checks them in a whole document.
pub(super) fn document(project: &Project, check: &mut impl FnMut(&'static str, u32, &str, Checked)) {
    let mut lines: HashMap<PartId, OrderId> = HashMap::new();
    for o in project.orders.iter() {
        let twice = o.parts.iter().find(|id| lines.insert(**id, o.id).is_some_and(|other| other != o.id));
        let fault = match twice.and_then(|id| project.part(*id)) {
            Some((_, _, part)) => Err(format!("{} is a line of two orders; keep it in one", part.name)),
            None => order(project, o),
        };
        check("order", o.id.0, &o.key, fault);
    }
    let part_key = |id: PartId| project.part(id).map_or("?", |(_, _, p)| p.key.as_str());
    for (n, d) in project.deliveries.iter().enumerate() {
        check("delivery", d.id.0, &format!("{} of {}", n + 1, part_key(d.part)), delivery(project, d));
    }
    for (n, p) in project.payments.iter().enumerate() {
        let what = match p.of {
            PaidFor::Order(id) => project.order(id).map_or("?", |o| o.key.as_str()),
            PaidFor::Part(id) => part_key(id),
        };
        check("payment", p.id.0, &format!("{} for {what}", n + 1), payment(project, p));
    }
}
