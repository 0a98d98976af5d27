//! The dates of purchase lists as a calendar: iCalendar, RFC 5545.
//!
//! For each part: the last day to order it (while nobody has said a lead time, the last day to ask for it) and, where it can be sent back, the last day for that, each as a to-do and
//! as an all-day event, since many calendars show only one of the two; and the day it is needed on site, as an event.
//!
//! A to-do is due *before* the day in DUE (RFC 5545 section 3.6.2), so the last day itself stands in DTSTART and the
//! day after it in DUE. Events name their day in DTSTART alone, which makes them last that day (section 3.6.1).
//! A part that is ordered has its to-do completed and its order-by event cancelled; one that goes back has its need
//! cancelled too.
//!
//! The UID of an entry follows from the name of the project and the key of the part, so a calendar that takes the
//! file again updates its entries. DTSTAMP and SEQUENCE follow from the as-of day; no clock is read.

use super::columns::{COLUMNS, Holds};
use super::list::{LineState, ListLine, ListOrder, PurchaseList};
use crate::engine::Day;
use chrono::{NaiveDate, NaiveTime};
use icalendar::{Calendar, Component, Event, EventLike, EventStatus, Property, Todo, TodoStatus};

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
}

/// The dates of the lists as one calendar.
pub fn ics(lists: &[PurchaseList]) -> String {
    let mut calendar = Calendar::empty();
    for (key, value) in
        [("VERSION", "2.0"), ("PRODID", "-//Needline//Purchase lists//EN"), ("CALSCALE", "GREGORIAN")]
    {
        calendar.append_property(Property::new(key, value));
    }
    for list in lists {
        for (order, line) in list.lines() {
            entries(&mut calendar, list, order, line);
        }
    }
    fold(&calendar.to_string())
}

/// Most octets in a line (RFC 5545 section 3.1).
const MOST_OCTETS: usize = 75;

/// Folds lines again: the library's last piece of a line can be 76 octets with the space before it (seen in icalendar
/// 0.17.17). Letters are never cut.
pub fn fold(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for line in text.replace("\r\n ", "").split_terminator("\r\n") {
        let mut octets = 0;
        for c in line.chars() {
            if octets + c.len_utf8() > MOST_OCTETS {
                out.push_str("\r\n ");
                octets = 1;
            }
            out.push(c);
            octets += c.len_utf8();
        }
        out.push_str("\r\n");
    }
    out
}

fn entries(calendar: &mut Calendar, list: &PurchaseList, order: &ListOrder, line: &ListLine) {
    let told = description(list, order, line);
    // A part that goes back is no longer ordered for the house, nor needed there.
    let back = line.back.is_some();
    let open = line.state == LineState::ToOrder && !back;
    let order_by = line.order_by.filter(|_| line.state != LineState::OnSite);
    for (about, day, done) in [
        (About::AskBy, line.ask_by, !open),
        (About::OrderBy, order_by, !open),
        (About::Need, line.need_date, back),
        (About::ReturnBy, line.return_by, false),
    ] {
        let Some(day) = day else { continue };
        let mut event = Event::new();
        common(&mut event, list, line, (about, "event"), &told);
        event.starts(day);
        event.status(if done { EventStatus::Cancelled } else { EventStatus::Confirmed });
        event.add_property("TRANSP", "TRANSPARENT");
        calendar.push(event.done());
        if about == About::Need {
            continue;
        }
        let mut todo = Todo::new();
        common(&mut todo, list, line, (about, "todo"), &told);
        todo.starts(day);
        todo.due(after(day));
        todo.status(if done { TodoStatus::Completed } else { TodoStatus::NeedsAction });
        calendar.push(todo.done());
    }
}

fn after(day: NaiveDate) -> NaiveDate {
    Day::from(day).plus(1).date()
}

fn common(
    entry: &mut impl Component,
    list: &PurchaseList,
    line: &ListLine,
    (about, form): (About, &str),
    told: &str,
) {
    entry.uid(&uid(&list.project, &line.key, about.word(), form));
    entry.timestamp(list.as_of.and_time(NaiveTime::MIN).and_utc());
    // Rises with the day of the export, as a later version of an entry has to.
    entry.sequence(u32::try_from(Day::from(list.as_of).since(Day::first())).unwrap_or(0));
    let summary = format!("{}: {}, {}", about.title(), line.selection, line.part);
    entry.add_property("SUMMARY", text(&summary));
    entry.add_property("DESCRIPTION", text(told));
    entry.add_property("CATEGORIES", "Needline");
    if !line.room.is_empty() {
        entry.add_property("LOCATION", text(&line.room));
    }
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

/// Text as a calendar may hold it: line breaks are line feeds, and there are no other control characters
/// (RFC 5545 section 3.1, CONTROL).
pub fn text(text: &str) -> String {
    let breaks = text.replace("\r\n", "\n").replace('\r', "\n");
    breaks.chars().map(|c| if c.is_control() && c != '\n' { ' ' } else { c }).collect()
}

/// An identifier that stays the same as long as the project keeps its name and the part its key.
pub fn uid(project: &str, part: &str, about: &str, form: &str) -> String {
    // FNV-1a, 128 bits: no secret is kept here, only names kept apart. A byte that no text has stands between them.
    const OFFSET: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
    const PRIME: u128 = 0x0000_0000_0100_0000_0000_0000_0000_013b;
    let bytes = project.bytes().chain([0xff]).chain(part.bytes());
    let hash = bytes.fold(OFFSET, |hash, byte| (hash ^ u128::from(byte)).wrapping_mul(PRIME));
    format!("needline-{about}-{form}-{hash:032x}")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 5545 section 3.3.11; the vector was also run with the python library icalendar 7.3.2.
    #[test]
    fn text_is_escaped_and_lines_are_folded() {
        let mut event = Event::new();
        event
            .uid("x")
            .timestamp(NaiveDate::from_ymd_opt(2026, 1, 5).unwrap().and_time(NaiveTime::MIN).and_utc());
        event.add_property("SUMMARY", text("Tile, 12x24; see C:\\notes\r\nline 2: ok"));
        let long = "שלום 🚿 ".repeat(40);
        event.add_property("DESCRIPTION", text(&long));
        let written = fold(&Calendar::from([event.done()]).to_string());
        assert!(written.contains("SUMMARY:Tile\\, 12x24\\; see C:\\\\notes\\nline 2: ok\r\n"), "{written}");
        assert!(!written.replace("\r\n", "").contains(['\r', '\n']));
        assert!(written.split("\r\n").all(|line| line.len() <= 75), "{written}");
        // Unfolding gives the text back (section 3.1).
        assert!(written.replace("\r\n ", "").contains(&format!("DESCRIPTION:{long}\r\n")));
        for n in 60..320 {
            let line = format!("{}é", "x".repeat(n));
            let folded = fold(&format!("{line}\r\n"));
            assert!(folded.split("\r\n").all(|l| l.len() <= 75), "{n}");
            assert_eq!(folded.replace("\r\n ", ""), format!("{line}\r\n"));
        }
    }

    #[test]
    fn identifiers_stay_and_differ() {
        assert!(uid("", "", About::Need.word(), "event").len() < 75);
        let one = uid("House", "k1", About::OrderBy.word(), "todo");
        assert_eq!(one, uid("House", "k1", About::OrderBy.word(), "todo"));
        for other in [
            uid("House", "k2", About::OrderBy.word(), "todo"),
            uid("Housek", "1", About::OrderBy.word(), "todo"),
            uid("House", "k1", About::Need.word(), "todo"),
            uid("House", "k1", About::OrderBy.word(), "event"),
        ] {
            assert_ne!(one, other);
        }
    }

    /// RFC 5545 section 3.6.2: DUE with a date is the day before which the work must be done.
    #[test]
    fn the_last_day_is_the_day_before_due() {
        assert_eq!(after(NaiveDate::from_ymd_opt(2007, 4, 30).unwrap()).to_string(), "2007-05-01");
    }
}
