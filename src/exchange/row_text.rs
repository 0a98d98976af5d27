//! Rows of selections as text for the clipboard: written for a spreadsheet, and read back from one.
//!
//! Written with tabs and one line of headings. Read with tabs, semicolons or commas, with headings in any order; a cell
//! that is missing or empty leaves things as they are.

use super::cell;
use crate::model::{LeadUnit, OptionState, Part, Project};

/// The columns that are written, by heading, in order.
pub const HEADINGS: [&str; 14] = [
    "Selection",
    "Room",
    "Category",
    "Allowance",
    "Decide on",
    "Choice",
    "Supplier",
    "Phase",
    "Quantity",
    "Unit",
    "Unit price",
    "Lead",
    "Notes",
    "Key",
];

/// Writes the selections at these positions. What belongs to a part stands in the row when the option that counts has
/// exactly one.
pub fn write(project: &Project, rows: &[usize]) -> String {
    let mut out = String::new();
    push(&mut out, HEADINGS.iter().map(|h| (*h).to_owned()));
    for selection in rows.iter().filter_map(|at| project.selections.get(*at)) {
        let option = selection.live_option();
        let part = option.filter(|o| o.parts.len() == 1).and_then(|o| o.parts.first());
        let text = |text: &str| cell::guard(text).into_owned();
        let of_part = |get: &dyn Fn(&Part) -> String| part.map_or(String::new(), get);
        push(
            &mut out,
            [
                text(&selection.name),
                text(project.room(selection.room).map_or("", |r| &r.name)),
                text(&selection.category),
                cell::money(selection.allowance, project.settings.currency),
                cell::maybe(selection.decide_on),
                text(option.map_or("", |o| &o.name)),
                of_part(&|p| text(p.supplier.and_then(|id| project.supplier(id)).map_or("", |s| &s.name))),
                of_part(&|p| text(p.phase.and_then(|id| project.phase(id)).map_or("", |f| &f.name))),
                of_part(&|p| text(&p.quantity.to_string())),
                of_part(&|p| text(&p.unit)),
                of_part(&|p| cell::money(p.unit_price, project.settings.currency)),
                of_part(&lead_text),
                text(&selection.notes),
                text(&selection.key),
            ],
        );
    }
    out
}

/// Adds a line with tabs; cells that hold a tab, a quotation mark or a line break stand in quotation marks.
fn push(out: &mut String, cells: impl IntoIterator<Item = String>) {
    for (i, cell) in cells.into_iter().enumerate() {
        if i > 0 {
            out.push('\t');
        }
        if cell.contains(['\t', '"', '\r', '\n']) {
            out.push('"');
            out.push_str(&cell.replace('"', "\"\""));
            out.push('"');
        } else {
            out.push_str(&cell);
        }
    }
    out.push('\n');
}

/// A lead time as it is typed: `6 weeks`.
pub fn lead_text(part: &Part) -> String {
    let unit = LeadUnit::ALL.iter().find(|(_, unit)| *unit == part.lead_unit).map_or("", |(word, _)| word);
    format!("{} {unit}", part.lead)
}

/// Reads a lead time: a whole number with or without `days`, `weeks` or `working`; the beginning of the word is enough.
///
/// # Errors
/// When there is no number, or the word is none of these.
pub fn lead_from_text(text: &str) -> Result<(u32, Option<LeadUnit>), String> {
    let text = text.trim().to_lowercase();
    let digits = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let (number, word) = text.split_at(digits);
    let wrong = || format!("Lead: `{text}` is no lead time; write for example 6 weeks, 10 days or 8 working");
    let number: u32 = number.parse().map_err(|_| wrong())?;
    if number > crate::model::validate::MAX_LEAD {
        return Err(format!("Lead: {number} is longer than {}", crate::model::validate::MAX_LEAD));
    }
    let word = word.trim();
    let unit = match word.chars().next() {
        None => None,
        Some('d') if "days".starts_with(word) => Some(LeadUnit::Days),
        Some('w') if word == "w" || "weeks".starts_with(word) => Some(LeadUnit::Weeks),
        Some('w') if "working days".starts_with(word) => Some(LeadUnit::Working),
        _ => return Err(wrong()),
    };
    Ok((number, unit))
}

/// Gives a part a lead time. The shortest and the longest one thought possible are widened to take it in; in another
/// unit they no longer mean anything and are dropped.
pub fn set_lead(part: &mut Part, count: u32, unit: Option<LeadUnit>) {
    part.lead = count;
    if let Some(unit) = unit.filter(|unit| *unit != part.lead_unit) {
        part.lead_unit = unit;
        (part.lead_min, part.lead_max) = (None, None);
    }
    part.lead_min = part.lead_min.map(|min| min.min(count));
    part.lead_max = part.lead_max.map(|max| max.max(count));
}

/// Whether the option of this name is what counts already.
pub(super) fn counts(project: &Project, selection: usize, option: &str) -> Option<bool> {
    let selection = project.selections.get(selection)?;
    let found = selection.options.iter().find(|o| o.name.eq_ignore_ascii_case(option))?;
    let live = selection.live_option().map(|o| o.id) == Some(found.id);
    Some(live && found.state != OptionState::Candidate)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lead_times_are_read_as_people_type_them() {
        assert_eq!(lead_from_text("6 weeks"), Ok((6, Some(LeadUnit::Weeks))));
        assert_eq!(lead_from_text("6w"), Ok((6, Some(LeadUnit::Weeks))));
        assert_eq!(lead_from_text(" 1 Week "), Ok((1, Some(LeadUnit::Weeks))));
        assert_eq!(lead_from_text("10d"), Ok((10, Some(LeadUnit::Days))));
        assert_eq!(lead_from_text("8 working"), Ok((8, Some(LeadUnit::Working))));
        assert_eq!(lead_from_text("8 working days"), Ok((8, Some(LeadUnit::Working))));
        assert_eq!(lead_from_text("12"), Ok((12, None)));
        for wrong in ["", "soon", "6 moons", "-1 days", "99999 weeks", "1.5 weeks"] {
            assert!(lead_from_text(wrong).is_err(), "{wrong}");
        }
    }
}
