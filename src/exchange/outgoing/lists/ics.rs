//! The dates of purchase lists as a calendar.
//!
//! For each part: the last day to order it (while nobody has said a lead time, the last day to ask for it) and, where it
//! can be sent back, the last day for that, each as a to-do and as an all-day event, since many calendars show only one of
//! the two; and the day it is needed on site, as an event. What is ordered is done, what has come is needed no more, and
//! what goes back is cancelled. What was in an earlier calendar and is on no list any more is cancelled too.

use super::columns::{COLUMNS, Holds};
use super::list::{LineState, ListLine, ListOrder, PurchaseList};
use crate::exchange::outgoing::calendar::{Diary, Entry, Pages, Standing, uid};
use crate::model::{Sent, SentForm};
use std::collections::BTreeSet;

/// What a date is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum About {
    AskBy,
    OrderBy,
    Need,
    ReturnBy,
}

impl About {
    fn word(self) -> &'static str {
        match self {
            About::AskBy => "ask-by",
            About::OrderBy => "order-by",
            About::Need => "need",
            About::ReturnBy => "return-by",
        }
    }

    fn title(self) -> &'static str {
        match self {
            About::AskBy => "Ask the supplier for the lead time",
            About::OrderBy => "Last day to order",
            About::Need => "Needed on site",
            About::ReturnBy => "Last day to send back",
        }
    }

    /// A day on which something is needed is no task.
    fn forms(self) -> &'static [SentForm] {
        if self == About::Need { &[SentForm::Event] } else { &[SentForm::Event, SentForm::Todo] }
    }
}

/// What all lists say together, by what calendars know it by: nothing of it is taken back.
pub fn still(lists: &[PurchaseList]) -> BTreeSet<String> {
    let entries = lists.iter().flat_map(|list| {
        list.lines().flat_map(move |(order, line)| entries(list, order, line)).map(|entry| entry.uid)
    });
    entries.collect()
}

/// The dates of lists as one calendar with what it says, and what is taken back of an earlier one of those for whom this
/// is: `of` says it by the key of the supplier. `None` where there is nothing to say.
pub fn ics(
    lists: &[PurchaseList],
    diary: Diary<'_>,
    still: &BTreeSet<String>,
    of: impl Fn(&str) -> bool,
) -> Option<(String, Vec<Sent>)> {
    let mut pages: Pages<'_> = diary.begin("Purchase lists", "");
    for list in lists {
        for (order, line) in list.lines() {
            entries(list, order, line).iter().for_each(|entry| pages.put(entry, &list.whose));
        }
    }
    pages.cancel_others(still, of);
    (!pages.is_empty()).then(|| pages.finish())
}

fn entries(list: &PurchaseList, order: &ListOrder, line: &ListLine) -> Vec<Entry> {
    // A part that goes back is no longer ordered for the house, nor needed there.
    let until = |done: bool| match (line.back.is_some(), done) {
        (true, _) => Standing::Cancelled,
        (false, true) => Standing::Done,
        (false, false) => Standing::Firm,
    };
    let ordered = until(line.state != LineState::ToOrder);
    let order_by = line.order_by.filter(|_| line.state != LineState::OnSite);
    let told = description(list, order, line);
    let dates = [
        (About::AskBy, line.ask_by, ordered),
        (About::OrderBy, order_by, ordered),
        (About::Need, line.need_date, until(line.state == LineState::OnSite)),
        (About::ReturnBy, line.return_by, Standing::Firm),
    ];
    let dates = dates.into_iter().filter_map(|(about, day, standing)| Some((about, day?, standing)));
    let both = dates.flat_map(|date| date.0.forms().iter().map(move |form| (date, *form)));
    let entry = |((about, day, standing), form): ((About, _, _), SentForm)| Entry {
        uid: uid(&list.project, &line.key, about.word(), form),
        form,
        day,
        until: None,
        title: format!("{}: {}, {}", about.title(), line.selection, line.part),
        told: told.clone(),
        place: line.room.clone(),
        standing,
        busy: false,
    };
    both.map(entry).collect()
}

/// What is known of a line, in the columns of lists.
fn description(list: &PurchaseList, order: &ListOrder, line: &ListLine) -> String {
    let said = COLUMNS.iter().filter_map(|column| {
        let plain = column.plain(list, order, line);
        let text = match column.kind {
            Holds::Price(_) if plain.is_empty() => "no price yet".to_owned(),
            _ if plain.is_empty() => return None,
            Holds::Price(_) | Holds::Sum(_) | Holds::Total | Holds::Order(_) => {
                format!("{plain} {}", list.currency)
            }
            _ => plain,
        };
        Some(format!("{}: {text}", column.title))
    });
    let project = format!("Project: {}", list.project);
    said.chain([project]).collect::<Vec<_>>().join("\n")
}
