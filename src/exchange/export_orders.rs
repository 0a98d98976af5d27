//! The sheets `orders`, `deliveries` and `payments`.

use super::cell::{maybe, money, number, word};
use crate::model::{PaidFor, PartId, PaymentKind, Project};
use rust_decimal::Decimal;
use std::collections::HashMap;

fn part_keys(project: &Project) -> HashMap<PartId, &str> {
    project.all_parts().map(|(_, _, p)| (p.id, p.key.as_str())).collect()
}

pub(super) fn orders(project: &Project, mut put: impl FnMut(Vec<String>)) {
    for order in project.orders.iter() {
        put(vec![
            order.key.clone(),
            project.supplier(order.supplier).map_or(String::new(), |s| s.key.clone()),
            order.number.clone(),
            maybe(order.placed_on),
            maybe(order.freight.map(|m| money(m, project.settings.currency))),
            order.note.clone(),
        ]);
    }
}

pub(super) fn deliveries(project: &Project, mut put: impl FnMut(Vec<String>)) {
    if project.deliveries.is_empty() {
        return;
    }
    let keys = part_keys(project);
    for d in project.deliveries.iter() {
        put(vec![
            keys.get(&d.part).map_or(String::new(), |key| (*key).to_owned()),
            d.on.to_string(),
            number(d.quantity),
            if d.damaged == Decimal::ZERO { String::new() } else { number(d.damaged) },
            maybe(d.reported_on),
            maybe(d.replacement_lead),
            maybe(d.replacement_on),
            maybe(d.rest_on),
            d.note.clone(),
        ]);
    }
}

pub(super) fn payments(project: &Project, mut put: impl FnMut(Vec<String>)) {
    if project.payments.is_empty() {
        return;
    }
    let keys = part_keys(project);
    for p in project.payments.iter() {
        let (order, part) = match p.of {
            PaidFor::Order(id) => (project.order(id).map_or(String::new(), |o| o.key.clone()), String::new()),
            PaidFor::Part(id) => (String::new(), keys.get(&id).map_or(String::new(), |k| (*k).to_owned())),
        };
        put(vec![
            order,
            part,
            p.on.to_string(),
            money(p.amount, project.settings.currency),
            word(&PaymentKind::ALL, &p.kind),
            p.note.clone(),
        ]);
    }
}
