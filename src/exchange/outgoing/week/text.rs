//! The list as a text: one line for each thing, under its date.

use super::{WeekSheet, call_words};
use crate::exchange::outgoing::print::words::date;
use crate::model::words::counted;
use std::fmt::Write;

/// The text.
pub fn text(sheet: &WeekSheet) -> String {
    let mut text = String::new();
    let mut put = |line: &str| {
        // Names may hold anything; a line stays one.
        let line: String = line.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        let _ = writeln!(text, "{line}");
    };
    let (from, until) = (date(sheet.as_of.date()), date(sheet.until.date()));
    put(&format!(
        "{}: {from} to {until}, {}",
        sheet.settings.name,
        counted(sheet.lines.len(), "thing to do", "things to do")
    ));
    if sheet.lines.is_empty() {
        put("Nothing has its day in this time.");
    }
    for (day, lines) in sheet.dates() {
        put("");
        put(&sheet.title(day));
        for line in lines {
            let why = sheet.why(line);
            let why = if why.is_empty() { String::new() } else { format!("; {why}") };
            put(&format!("- {}{why}", sheet.what(line)));
            if let Some(call) = &line.call {
                put(&format!("    {}", call_words(call)));
            }
        }
    }
    text
}
