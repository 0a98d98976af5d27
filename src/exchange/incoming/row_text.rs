//! Rows of selections as text for the clipboard, with tabs and one line of headings, as a spreadsheet takes them.

use crate::exchange::cell;
use crate::exchange::typed::Lead;
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
                of_part(&|p| {
                    cell::maybe(p.unit_price.map(|price| cell::money(price, project.settings.currency)))
                }),
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

/// A lead time as it is typed: `6 weeks`; empty while nobody has said one.
pub fn lead_text(part: &Part) -> String {
    let unit = LeadUnit::ALL.iter().find(|(_, unit)| *unit == part.lead_unit).map_or("", |(word, _)| word);
    part.lead.map_or(String::new(), |count| format!("{count} {unit}"))
}

/// Gives a part a lead time, with its bounds where it has any. Otherwise the shortest and the longest one thought
/// possible are widened to take it in; in another unit they no longer mean anything and are dropped.
pub fn set_lead(part: &mut Part, lead: Lead) {
    part.lead = Some(lead.count);
    if let Some(unit) = lead.unit.filter(|unit| *unit != part.lead_unit) {
        part.lead_unit = unit;
        (part.lead_min, part.lead_max) = (None, None);
    }
    if lead.min.is_some() || lead.max.is_some() {
        (part.lead_min, part.lead_max) = (lead.min, lead.max);
    } else {
        part.lead_min = part.lead_min.map(|min| min.min(lead.count));
        part.lead_max = part.lead_max.map(|max| max.max(lead.count));
    }
}

/// Whether the option of this name is what counts already.
pub(super) fn counts(project: &Project, selection: usize, option: &str) -> Option<bool> {
    let selection = project.selections.get(selection)?;
    let found = selection.options.iter().find(|o| o.name.eq_ignore_ascii_case(option))?;
    let live = selection.live_option().map(|o| o.id) == Some(found.id);
    Some(live && found.state != OptionState::Candidate)
}
