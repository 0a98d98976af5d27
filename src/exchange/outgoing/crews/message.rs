//! The text to send to a crew: what moved, its days, what is there for it, what is still to be ready, what can hurt.

use super::CrewSheet;
use crate::exchange::outgoing::print::words::date;
use crate::model::caution::WHO_DECIDES;
use chrono::NaiveDate;
use std::fmt::Write;

/// Most parts that are named one by one; beyond, only those that are not there.
const MOST_PARTS: usize = 12;

/// The text, ready to be sent by mail or phone.
pub fn message(sheet: &CrewSheet) -> String {
    let mut text = String::new();
    let mut put = |line: &str| {
        let _ = writeln!(text, "{line}");
    };
    put(&format!("{}: {}", sheet.settings.name, sheet.crew.name));
    if !sheet.settings.ship_to.trim().is_empty() {
        put(&sheet.settings.ship_to.split_whitespace().collect::<Vec<_>>().join(" "));
    }
    let moved: Vec<String> = sheet
        .phases
        .iter()
        .filter_map(|p| {
            let (old, new) = p.counts_on.zip(p.first)?;
            Some(format!("{} now starts {}, not {}.", p.name, date(new), date(old)))
        })
        .collect();
    if !moved.is_empty() {
        put("");
        moved.iter().for_each(|line| put(line));
    }
    put("");
    put("Your work here:");
    for p in &sheet.phases {
        let days = span(p.first, p.last);
        put(&format!("- {}: {}{days}", p.name, if p.begun { "begun, " } else { "" }));
        let missing = p.parts.iter().filter(|part| !part.on_site);
        if p.parts.len() <= MOST_PARTS {
            p.parts.iter().for_each(|part| put(&format!("    {}: {}", part.what, part.state)));
        } else {
            put(&format!(
                "    {} of {} parts are on site",
                p.parts.len() - missing.clone().count(),
                p.parts.len()
            ));
            missing.for_each(|part| put(&format!("    {}: {}", part.what, part.state)));
        }
        p.waits.iter().for_each(|wait| put(&format!("    to be ready first: {wait}")));
    }
    if sheet.phases.is_empty() {
        put("- nothing to come");
    }
    if !sheet.punch.is_empty() {
        put("");
        put("To be put right:");
        for punch in &sheet.punch {
            let due = if punch.due.is_empty() { String::new() } else { format!(": {}", punch.due) };
            put(&format!("- {}{due}", punch.what));
        }
    }
    if !sheet.cautions.is_empty() {
        let hazards: Vec<&str> = sheet.cautions.iter().map(|c| c.hazard.title()).collect();
        put("");
        put(&format!("Take care: {}. {WHO_DECIDES}", hazards.join(", ")));
    }
    put("");
    put("Please confirm these days.");
    let signed: Vec<&str> = [sheet.settings.owner.trim(), sheet.settings.phone.trim()]
        .into_iter()
        .filter(|part| !part.is_empty())
        .collect();
    if !signed.is_empty() {
        put(&signed.join(", "));
    }
    text
}

/// First and last day in words.
pub fn span(first: Option<NaiveDate>, last: Option<NaiveDate>) -> String {
    match (first, last) {
        (Some(first), Some(last)) if first == last => date(first),
        (Some(first), Some(last)) => format!("{} to {}", date(first), date(last)),
        _ => "no day yet".to_owned(),
    }
}
