//! Orders, deliveries, payments and order days as JSON.

use crate::engine::Figures;
use crate::engine::deliveries::DeliveryFigures;
use crate::engine::early::{self, Early, Window};
use crate::engine::order_days;
use crate::engine::orders::Order;
use crate::engine::payments;
use crate::model::{Currency, PaidFor, PartId, PaymentKind, Project};
use rust_decimal::Decimal;
use serde::Serialize;
use std::collections::HashMap;

/// What an order comes to: `paid + owed = billed - credits`. Flattened into the order.
#[derive(Debug, Serialize)]
pub(super) struct AccountJson {
    /// Key of the order as the user grouped it; none for parts taken together by supplier and day.
    key: Option<String>,
    number: Option<String>,
    /// Freight as the supplier confirmed it.
    freight_confirmed: Option<String>,
    billed: String,
    credits: String,
    credits_expected: String,
    paid: String,
    owed: String,
    dues: Vec<DueJson>,
}

#[derive(Debug, Serialize)]
struct DueJson {
    day: String,
    amount: String,
    kind: &'static str,
}

pub(super) fn account(project: &Project, figures: &Figures, order: &Order) -> AccountJson {
    let currency = project.settings.currency;
    let own = order.own.and_then(|id| project.order(id));
    let account = figures.account(project, order);
    let due = |d: &payments::Due| DueJson {
        day: d.day.to_string(),
        amount: d.amount.to_plain(currency),
        kind: if d.deposit { "deposit" } else { "balance" },
    };
    AccountJson {
        key: own.map(|o| o.key.clone()),
        number: own.map(|o| o.number.clone()).filter(|n| !n.is_empty()),
        freight_confirmed: order.confirmed.map(|m| m.to_plain(currency)),
        billed: account.billed.to_plain(currency),
        credits: account.credits.to_plain(currency),
        credits_expected: account.credits_expected.to_plain(currency),
        paid: account.paid.to_plain(currency),
        owed: account.owed.to_plain(currency),
        dues: account.dues.iter().map(due).collect(),
    }
}

/// How much of a part came and what is still missing. Flattened into the part.
#[derive(Debug, Serialize)]
pub(super) struct ReceivedJson {
    on_site: bool,
    paid: String,
    came: Option<String>,
    damaged: Option<String>,
    backorder: Option<String>,
    to_replace: Option<String>,
    backorder_on: Option<String>,
    replacement_on: Option<String>,
}

pub(super) fn received(figures: &Figures, at: usize, currency: Currency) -> ReceivedJson {
    let d = figures.deliveries.of(at);
    let units = |of: fn(&DeliveryFigures) -> Decimal| d.map(|d| crate::exchange::cell::number(of(d)));
    ReceivedJson {
        on_site: figures.parts[at].on_site,
        paid: figures.parts[at].paid.to_plain(currency),
        came: units(|d| d.came),
        damaged: units(|d| d.damaged),
        backorder: units(|d| d.backorder),
        to_replace: units(|d| d.to_replace),
        backorder_on: d.and_then(|d| d.backorder_on).map(|day| day.to_string()),
        replacement_on: d.and_then(|d| d.replacement_on).map(|day| day.to_string()),
    }
}

/// A delivery as it was noted.
#[derive(Debug, Serialize)]
pub(super) struct DeliveryJson {
    part: String,
    on: String,
    quantity: String,
    damaged: String,
    reported_on: Option<String>,
    rest_on: Option<String>,
    replacement_on: Option<String>,
    counts: bool,
}

pub(super) fn deliveries(project: &Project, figures: &Figures) -> Vec<DeliveryJson> {
    if project.deliveries.is_empty() {
        return Vec::new();
    }
    let keys = part_keys(project);
    let text = |day: Option<chrono::NaiveDate>| day.map(|d| d.to_string());
    let row = |d: &crate::model::Delivery| DeliveryJson {
        part: keys.get(&d.part).map_or(String::new(), |k| (*k).to_owned()),
        on: d.on.to_string(),
        quantity: crate::exchange::cell::number(d.quantity),
        damaged: crate::exchange::cell::number(d.damaged),
        reported_on: text(d.damage_day()),
        rest_on: text(d.rest_on),
        replacement_on: text(d.replacement_on),
        counts: d.on <= figures.as_of.date(),
    };
    project.deliveries.iter().map(row).collect()
}

fn part_keys(project: &Project) -> HashMap<PartId, &str> {
    project.all_parts().map(|(_, _, p)| (p.id, p.key.as_str())).collect()
}

/// A payment as it was noted.
#[derive(Debug, Serialize)]
pub(super) struct PaymentJson {
    order: Option<String>,
    part: Option<String>,
    on: String,
    amount: String,
    kind: &'static str,
    counts: bool,
}

pub(super) fn payments(project: &Project, figures: &Figures) -> Vec<PaymentJson> {
    if project.payments.is_empty() {
        return Vec::new();
    }
    let keys = part_keys(project);
    let row = |p: &crate::model::Payment| PaymentJson {
        order: match p.of {
            PaidFor::Order(id) => project.order(id).map(|o| o.key.clone()),
            PaidFor::Part(_) => None,
        },
        part: match p.of {
            PaidFor::Order(_) => None,
            PaidFor::Part(id) => keys.get(&id).map(|k| (*k).to_owned()),
        },
        on: p.on.to_string(),
        amount: p.amount.to_plain(project.settings.currency),
        kind: PaymentKind::ALL.iter().find(|(_, k)| *k == p.kind).map_or("other", |(word, _)| word),
        counts: p.on <= figures.as_of.date(),
    };
    project.payments.iter().map(row).collect()
}

/// How to place what is not ordered from a supplier, where placing it together helps.
#[derive(Debug, Serialize)]
pub(super) struct SuggestionJson {
    supplier: String,
    saves: String,
    /// Orders with each line on its own last day, and how many of them would be below the smallest order.
    apart: usize,
    apart_below_minimum: usize,
    orders: Vec<OrderDayJson>,
}

#[derive(Debug, Serialize)]
struct OrderDayJson {
    day: Option<String>,
    parts: Vec<String>,
    goods: String,
    freight: String,
    ships_free: bool,
    below_minimum: Option<String>,
    /// The part that would stand the longest on site, for how many days, and until when it can go back where that is
    /// before it is needed.
    stands_longest: Option<String>,
    stands_days: Option<i32>,
    return_ends: Option<String>,
}

pub(super) fn order_days(
    project: &Project,
    figures: &Figures,
    part_key: impl Fn(usize) -> String,
) -> Vec<SuggestionJson> {
    let currency = project.settings.currency;
    let early = |o: &order_days::OrderDay| early::early(project, figures, o);
    let ends = |early: Early| match early.window {
        Window::EndsBefore(day) => Some(day.to_string()),
        Window::Holds | Window::Unknown => None,
    };
    let day = |o: &order_days::OrderDay| OrderDayJson {
        stands_longest: early(o).map(|early| part_key(early.part)),
        stands_days: early(o).map(|early| early.stands),
        return_ends: early(o).and_then(ends),
        day: o.day.map(|d| d.to_string()),
        parts: o.parts.iter().map(|at| part_key(*at)).collect(),
        goods: o.goods.to_plain(currency),
        freight: o.freight.to_plain(currency),
        ships_free: o.ships_free,
        below_minimum: o.below_minimum.map(|m| m.to_plain(currency)),
    };
    order_days::suggestions(project, &figures.parts, &figures.days, figures.as_of)
        .iter()
        .map(|s| SuggestionJson {
            supplier: project.suppliers.get(s.supplier).map_or(String::new(), |s| s.key.clone()),
            saves: s.saves.to_plain(currency),
            apart: s.apart,
            apart_below_minimum: s.apart_below,
            orders: s.orders.iter().map(day).collect(),
        })
        .collect()
}
