//! The swap log for people.

use crate::exchange::cell::{guard, maybe, money, push_record};
use crate::model::{Project, RoomId, Swap};

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
