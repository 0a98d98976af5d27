//! The sheets `facts`, `rules`, `swaps` and `returns`, and the swap log for people.

use super::cell::{guard, maybe, money, number, push_record, word};
use super::import_swaps::BETWEEN;
use crate::model::{
    Fact, Money, OptionId, Project, ReturnState, RoomId, RuleKind, RuleOf, RuleWith, SelectionId, Swap,
};

fn selection_key(project: &Project, id: SelectionId) -> String {
    project.selection(id).map_or(String::new(), |s| s.key.clone())
}

fn option_key(project: &Project, id: OptionId) -> String {
    project.option(id).map_or(String::new(), |(_, o)| o.key.clone())
}

pub(super) fn facts(project: &Project, mut put: impl FnMut(Vec<String>)) {
    let mut row = |option: &str, part: &str, fact: &Fact| {
        put(vec![option.to_owned(), part.to_owned(), fact.name.clone(), fact.value.to_string()]);
    };
    for option in project.selections.iter().flat_map(|s| &s.options) {
        option.facts.iter().for_each(|fact| row(&option.key, "", fact));
        for part in &option.parts {
            part.facts.iter().for_each(|fact| row("", &part.key, fact));
        }
    }
}

pub(super) fn rules(project: &Project, mut put: impl FnMut(Vec<String>)) {
    for rule in project.rules.iter() {
        let (selection, room) = match rule.of {
            RuleOf::Selection(id) => (selection_key(project, id), String::new()),
            RuleOf::Room(id) => (String::new(), project.room(id).map_or(String::new(), |r| r.key.clone())),
            RuleOf::House => Default::default(),
        };
        let (other, other_fact, value) = match &rule.with {
            Some(RuleWith::Fact(id, fact)) => (selection_key(project, *id), fact.clone(), String::new()),
            Some(RuleWith::Value(value)) => (String::new(), String::new(), value.to_string()),
            None => Default::default(),
        };
        put(vec![
            rule.key.clone(),
            rule.name.clone(),
            word(&RuleKind::ALL, &rule.kind),
            selection,
            room,
            rule.fact.clone(),
            other,
            other_fact,
            value,
            maybe(rule.tolerance.as_ref()),
            rule.why.clone(),
        ]);
    }
}

pub(super) fn swaps(project: &Project, mut put: impl FnMut(Vec<String>)) {
    let currency = project.settings.currency;
    let amount = |m: Money| money(m, currency);
    for swap in project.swaps.iter() {
        let reverses = swap.reverses.and_then(|id| project.swaps.iter().find(|s| s.id == id));
        let known = &swap.known;
        put(vec![
            swap.key.clone(),
            selection_key(project, swap.selection),
            swap.on.to_string(),
            option_key(project, swap.from),
            option_key(project, swap.to),
            swap.why.clone(),
            reverses.map_or(String::new(), |s| s.key.clone()),
            amount(known.forecast_before),
            amount(known.forecast_after),
            amount(known.forecast_returned),
            maybe(known.finish_before),
            maybe(known.finish_after),
            amount(known.restocking),
            amount(known.return_freight),
            amount(known.deposit_lost),
            known.knock_ons.join(&BETWEEN.to_string()),
        ]);
    }
}

pub(super) fn returns(project: &Project, mut put: impl FnMut(Vec<String>)) {
    let currency = project.settings.currency;
    for r in project.returns.iter() {
        put(vec![
            project.part(r.part).map_or(String::new(), |(_, _, p)| p.key.clone()),
            word(&ReturnState::ALL, &r.state),
            maybe(r.restock_pct.map(number)),
            money(r.freight, currency),
            maybe(r.deposit_lost.map(|m| money(m, currency))),
            maybe(r.went_back_on),
            maybe(r.credit.map(|m| money(m, currency))),
            r.note.clone(),
        ]);
    }
}

/// The columns of the swap log for people.
pub const LOG_COLUMNS: [&str; 16] = [
    "on",
    "room",
    "selection",
    "from",
    "to",
    "why",
    "takes_back",
    "forecast_before",
    "forecast_after",
    "forecast_if_sent_back",
    "finish_before",
    "finish_after",
    "restocking",
    "return_freight",
    "deposit_lost",
    "knock_ons",
];

/// The swap log as CSV with names in place of keys, of one room or of the whole house, in the order it was made.
pub fn log_csv(project: &Project, room: Option<RoomId>) -> String {
    let mut out = String::new();
    push_record(&mut out, LOG_COLUMNS);
    for swap in project.swaps.iter() {
        let Some(selection) = project.selection(swap.selection) else { continue };
        if room.is_some_and(|id| selection.room != id) {
            continue;
        }
        push_record(
            &mut out,
            log_row(project, swap, selection.room, &selection.name).iter().map(|c| guard(c)),
        );
    }
    out
}

fn log_row(project: &Project, swap: &Swap, room: RoomId, selection: &str) -> Vec<String> {
    let currency = project.settings.currency;
    let option = |id| project.option(id).map_or(String::new(), |(_, o)| o.name.clone());
    let reverses = swap.reverses.and_then(|id| project.swaps.iter().find(|s| s.id == id));
    let known = &swap.known;
    vec![
        swap.on.to_string(),
        project.room(room).map_or(String::new(), |r| r.name.clone()),
        selection.to_owned(),
        option(swap.from),
        option(swap.to),
        swap.why.clone(),
        reverses.map_or(String::new(), |s| s.key.clone()),
        money(known.forecast_before, currency),
        money(known.forecast_after, currency),
        money(known.forecast_returned, currency),
        maybe(known.finish_before),
        maybe(known.finish_after),
        money(known.restocking, currency),
        money(known.return_freight, currency),
        money(known.deposit_lost, currency),
        known.knock_ons.join("; "),
    ]
}
