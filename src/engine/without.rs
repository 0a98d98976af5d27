//! Days without a room or a service, in words, and how they differ from those before a change.

use super::calendar::Day;
use super::figures::Figures;
use super::in_use::{Out, Outage, Span};
use super::week::Words;
use crate::model::Project;

/// Ranges of days that are told one by one; of the rest it is said how many there are.
const MOST_TOLD: usize = 3;

/// What is missed: `no bath`, `no water`, `Study out of use`.
pub fn what(project: &Project, out: Out) -> String {
    match out {
        Out::Use(of) => format!("no {}", of.word()),
        Out::Service(service) => format!("no {}", service.word()),
        Out::Room(id) => {
            format!("{} out of use", project.room(id).map_or("a room", |room| room.name.as_str()))
        }
    }
}

/// How the days without something differ from those before a change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Changed {
    /// In words: `no bath Oct 3 to Oct 9 (was Oct 3 to Oct 5)`.
    pub words: Words,
    /// Days that there are more of; negative is fewer.
    pub more: i32,
}

/// Ranges of days: `Oct 3 to Oct 5, Oct 9`.
pub fn days(spans: &[Span]) -> Words {
    let mut words = Words::default();
    for span in spans.iter().take(MOST_TOLD) {
        words = words.and(", ", Words::default().days(span.from, span.to));
    }
    match spans.len().saturating_sub(MOST_TOLD) {
        0 => words,
        1 => words.text(" and once more"),
        more => words.text(format!(" and {more} times more")),
    }
}

/// What is missed on which days of the forecast, from a day on: `no bath Oct 3 to Oct 9`. `None` on no day.
pub fn sentence(project: &Project, outage: &Outage, from: Day) -> Option<Words> {
    let ahead = ahead(&outage.forecast, from);
    (!ahead.is_empty()).then(|| Words::of(what(project, outage.what)).text(" ").and("", days(&ahead)))
}

/// How the days of the forecast without something differ from those before, from the as-of day on: `no bath Oct 3 to Oct
/// 9 (was Oct 3 to Oct 5)`. Each with its document; empty where nothing differs.
pub fn changes(before: (&Project, &Figures), after: (&Project, &Figures)) -> Vec<Changed> {
    let from = after.1.as_of;
    let spans = |figures: &Figures, what| {
        figures.in_use.of(what).map_or(Vec::new(), |outage| ahead(&outage.forecast, from))
    };
    let now = after.1.in_use.out.iter().map(|outage| outage.what);
    let gone = before.1.in_use.out.iter().map(|outage| outage.what);
    let gone = gone.filter(|what| after.1.in_use.of(*what).is_none());
    now.chain(gone)
        .filter_map(|out| {
            let (was, is) = (spans(before.1, out), spans(after.1, out));
            let project = if after.1.in_use.of(out).is_some() { after.0 } else { before.0 };
            let words = Words::of(what(project, out));
            // Days that stay need not be told, unless nothing else is left on one side.
            let apart = |of: &[Span], other: &[Span]| -> Vec<Span> {
                of.iter().filter(|span| !other.contains(span)).copied().collect()
            };
            let (lost, new) = (apart(&was, &is), apart(&is, &was));
            let told = if lost.is_empty() || new.is_empty() { (&was, &is) } else { (&lost, &new) };
            if was == is {
                return None;
            }
            let count = |of: &[Span]| of.iter().map(|span| span.to.since(span.from) + 1).sum::<i32>();
            let words = match (was.is_empty(), is.is_empty()) {
                (true, _) => words.text(" ").and("", days(&is)).text(" (was on no day)"),
                (_, true) => words.text(" on no day (was ").and("", days(&was)).text(")"),
                _ => words.text(" ").and("", days(told.1)).text(" (was ").and("", days(told.0)).text(")"),
            };
            Some(Changed { words, more: count(&is) - count(&was) })
        })
        .collect()
}

/// The days of spans that are not past.
pub fn ahead(spans: &[Span], from: Day) -> Vec<Span> {
    spans.iter().filter_map(|span| Span::new(span.from.max(from), span.to)).collect()
}
