//! What is accepted of a supplier's list, as one action: changes of parts, new options, and the mapping to be remembered.

use super::changes::{Change, PriceList, fill, joined, summary};
use super::read::Reading;
use crate::model::ids::key_from_name;
use crate::model::words::counted;
use crate::model::{
    Action, Mapping, OptionId, Part, PartId, Project, SelectionId, SelectionOption, SupplierId,
};
use std::collections::BTreeMap;

/// Rows that belong to no part and are to be added as options.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Additions {
    /// The selection they are candidates for.
    pub selection: SelectionId,
    /// Their numbers in the sheet.
    pub rows: Vec<usize>,
}

/// What is to be done with a list.
pub struct Wish<'a> {
    /// Whether a change is accepted.
    pub accepted: &'a dyn Fn(&Change) -> bool,
    /// What is added besides.
    pub additions: Option<&'a Additions>,
    /// Whose list it is.
    pub supplier: Option<SupplierId>,
    /// What is remembered for the next list.
    pub mapping: Option<Mapping>,
    /// The name of the file, for the name of the step.
    pub file: &'a str,
}

/// All accepted changes and additions as one step, with the mapping to be remembered. `None` when nothing would change.
///
/// # Errors
/// When the document refuses it, with the reason.
pub fn action(
    project: &Project,
    reading: &Reading,
    list: &PriceList,
    wish: Wish<'_>,
) -> Result<Option<Action>, String> {
    let Wish { accepted, additions, supplier, mapping, file } = wish;
    let mut by_part: BTreeMap<PartId, Vec<&Change>> = BTreeMap::new();
    for change in list.changes.iter().filter(|c| accepted(c)) {
        by_part.entry(change.part).or_default().push(change);
    }
    let mut actions = Vec::new();
    for (selection, option, part) in project.all_parts() {
        let Some(changes) = by_part.get(&part.id) else { continue };
        let mut next = part.clone();
        changes.iter().for_each(|c| c.put(&mut next));
        crate::model::validate::part(project, &next)
            .map_err(|why| format!("{}, {}: {why}", selection.name, part.name))?;
        actions.push(Action::PutPart(option.id, next));
    }
    let changed = list.changes.iter().filter(|c| accepted(c));
    let mut what = summary(changed);
    let mut next_id = project.next_id;
    if let Some(additions) = additions.filter(|a| !a.rows.is_empty()) {
        actions.extend(add(project, reading, additions, supplier, &mut next_id)?);
        what.push(counted(additions.rows.len(), "option", "options"));
    }
    if actions.is_empty() {
        return Ok(None);
    }
    if let Some(mut mapping) = mapping {
        if !project.mappings.iter().any(|m| m.id == mapping.id) {
            mapping.id.0 = next_id;
        }
        if !project.mappings.contains(&mapping) {
            actions.push(Action::PutMapping(mapping));
        }
    }
    let label = format!("{} from {file}", joined(&what));
    Ok(Some(Action::Batch { label, actions }))
}

/// New options for a selection. Quantity, phase and what goes with them are those of the option that counts there now, so
/// that the new ones can be compared with it.
fn add(
    project: &Project,
    reading: &Reading,
    additions: &Additions,
    supplier: Option<SupplierId>,
    next_id: &mut u32,
) -> Result<Vec<Action>, String> {
    let Some(selection) = project.selection(additions.selection) else {
        return Err("the selection to add to is gone".to_owned());
    };
    let like = selection.live_option().or(selection.options.first()).and_then(|o| o.parts.first());
    let mut option_keys: Vec<String> =
        project.selections.iter().flat_map(|s| &s.options).map(|o| o.key.clone()).collect();
    let mut part_keys: Vec<String> = project.all_parts().map(|(_, _, p)| p.key.clone()).collect();
    let mut fresh = || {
        let id = *next_id;
        *next_id += 1;
        id
    };
    let mut actions = Vec::new();
    for row in reading.rows.iter().filter(|r| additions.rows.contains(&r.number)) {
        let name = row.called().to_owned();
        if name.is_empty() {
            return Err(format!("row {} has no name to add it by", row.number));
        }
        let base = format!("{} {name}", selection.key);
        let option_key = key_from_name(&base, option_keys.iter().map(String::as_str));
        let part_key = key_from_name(&base, part_keys.iter().map(String::as_str));
        option_keys.push(option_key.clone());
        part_keys.push(part_key.clone());
        let (option_id, part_id) = (OptionId(fresh()), PartId(fresh()));
        let mut part = Part::new(part_id, &part_key, &name);
        if let Some(like) = like {
            part.phase = like.phase;
            part.at = like.at;
            part.quantity = like.quantity.clone();
            part.unit.clone_from(&like.unit);
            part.waste_pct = like.waste_pct;
            part.laying = like.laying;
            part.hold = like.hold;
            part.in_wall = like.in_wall;
            part.taxable = like.taxable;
        }
        part.supplier = supplier;
        fill(&mut part, row);
        let option = SelectionOption::new(option_id, &option_key, &name);
        actions.push(Action::PutOption(selection.id, SelectionOption { parts: vec![part], ..option }));
    }
    Ok(actions)
}
