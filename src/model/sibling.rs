//! An option typed in one row, like those beside it: what it costs, how long it takes and who sells it are its own; how
//! much of it is needed, by which phase and how it is used is the same for every candidate.

use super::action::Action;
use super::ids::{OptionId, PartId, SelectionId, SupplierId, key_from_name};
use super::money::Money;
use super::part::{LeadUnit, Part};
use super::project::Project;
use super::selection::{Selection, SelectionOption};

/// What the first candidate of a thing is called until anybody has named it.
pub const FIRST_CANDIDATE: &str = "First candidate";

/// What is typed of an option.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Row {
    /// What it is called.
    pub name: String,
    /// Price of one unit; `None` where nobody has said one.
    pub price: Option<Money>,
    /// Likely lead time with its bounds; `None` where nobody has said one.
    pub lead: Option<RowLead>,
    /// Who sells it.
    pub supplier: Option<SupplierId>,
}

/// A lead time of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RowLead {
    /// Likely.
    pub likely: u32,
    /// Shortest and longest, where they were typed.
    pub range: Option<(u32, u32)>,
    /// What they are counted in; as the part beside it where it was not typed.
    pub unit: Option<LeadUnit>,
}

/// The option that a new one is like: the one that counts, else the last.
pub fn sibling(selection: &Selection) -> Option<&SelectionOption> {
    selection.live_option().or(selection.options.last())
}

/// The part of an option that a price in one row is of: the dearest, else the last, since what goes into the wall comes
/// first and what is seen last.
pub fn main_part(option: &SelectionOption) -> Option<usize> {
    let priced = option.parts.iter().enumerate().filter(|(_, part)| part.unit_price.is_some());
    let dearest =
        priced.max_by_key(|(_, part)| part.unit_price.map(|price| price.amount())).map(|(at, _)| at);
    dearest.or(option.parts.len().checked_sub(1))
}

/// Whether nobody has said anything of an option yet.
pub fn is_blank(option: &SelectionOption) -> bool {
    let said = |part: &Part| {
        part.unit_price.is_some()
            || part.lead.is_some()
            || part.supplier.is_some()
            || !part.article.is_empty()
    };
    option.name == FIRST_CANDIDATE && option.finish.is_empty() && !option.parts.iter().any(said)
}

/// The changes that add an option as it is typed, in their order. A blank first candidate becomes it. `None` when the
/// selection is gone or the row has no name.
pub fn put(project: &Project, selection: SelectionId, row: &Row) -> Option<Vec<Action>> {
    let own = project.selection(selection)?;
    let name = row.name.trim();
    if name.is_empty() {
        return None;
    }
    let like = sibling(own);
    if let Some(blank) = like.filter(|option| own.options.len() == 1 && is_blank(option)) {
        let option = SelectionOption { name: name.to_owned(), parts: Vec::new(), ..blank.clone() };
        let main = main_part(blank);
        let parts = blank.parts.iter().enumerate().map(|(at, part)| {
            let part = said(part.clone(), row, main == Some(at));
            Action::PutPart(blank.id, part)
        });
        return Some(std::iter::once(Action::PutOption(selection, option)).chain(parts).collect());
    }
    let mut next = project.next_id;
    let mut fresh = || {
        next += 1;
        next - 1
    };
    let options = project.selections.iter().flat_map(|s| &s.options).map(|o| o.key.as_str());
    let key = key_from_name(&format!("{} {name}", own.key), options);
    let mut option = SelectionOption::new(OptionId(fresh()), &key, name);
    let mut keys: Vec<String> = project.all_parts().map(|(_, _, part)| part.key.clone()).collect();
    let main = like.and_then(main_part);
    let beside = like.map_or(&[][..], |like| like.parts.as_slice());
    for (at, part) in beside.iter().enumerate() {
        let part_key = key_from_name(&format!("{key} {}", part.name), keys.iter().map(String::as_str));
        keys.push(part_key.clone());
        let blank = blank_like(part, PartId(fresh()), &part_key);
        option.parts.push(said(blank, row, main == Some(at)));
    }
    if option.parts.is_empty() {
        let part_key = key_from_name(&key, keys.iter().map(String::as_str));
        option.parts.push(said(Part::new(PartId(fresh()), &part_key, &own.name), row, true));
    }
    let id = option.id;
    let parts = std::mem::take(&mut option.parts).into_iter().map(|part| Action::PutPart(id, part));
    Some(std::iter::once(Action::PutOption(selection, option)).chain(parts).collect())
}

/// A part for the same use, of which nobody has said what it is, what it costs and how long it takes.
fn blank_like(part: &Part, id: PartId, key: &str) -> Part {
    Part {
        phase: part.phase,
        at: part.at,
        quantity: part.quantity.clone(),
        unit: part.unit.clone(),
        laying: part.laying,
        waste_pct: part.waste_pct,
        taxable: part.taxable,
        goods: part.goods,
        order_after: part.order_after,
        order_after_days: part.order_after_days,
        hold: part.hold,
        in_wall: part.in_wall,
        ..Part::new(id, key, &part.name)
    }
}

/// A part with what a row says of it; price and lead time are those of the main part.
fn said(mut part: Part, row: &Row, is_main: bool) -> Part {
    part.supplier = row.supplier.or(part.supplier);
    if is_main {
        part.unit_price = row.price;
        if let Some(lead) = row.lead {
            part.lead = Some(lead.likely);
            part.lead_unit = lead.unit.unwrap_or(part.lead_unit);
            (part.lead_min, part.lead_max) = lead.range.unzip();
        }
    }
    part
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{PhaseId, Quantity};

    fn project() -> (Project, SelectionId) {
        let mut project = Project::new("New", chrono::NaiveDate::from_ymd_opt(2026, 1, 5).unwrap());
        let room = super::super::field::Noun::Room.make(&project, 1, "Bath").unwrap();
        project = project.apply(&room).unwrap();
        let phase = super::super::field::Noun::Phase.make(&project, project.next_id, "Tile").unwrap();
        project = project.apply(&phase).unwrap();
        let mut selection = Selection::new(SelectionId(project.next_id), project.rooms[0].id);
        (selection.key, selection.name) = ("tile".to_owned(), "Floor tile".to_owned());
        let id = selection.id;
        (project.apply(&Action::PutSelection(selection)).unwrap(), id)
    }

    fn add(project: &Project, id: SelectionId, row: &Row) -> Project {
        let actions = put(project, id, row).unwrap();
        project.apply(&Action::Batch { label: String::new(), actions }).unwrap()
    }

    #[test]
    fn what_is_used_alike_is_inherited_and_what_is_its_own_is_not() {
        let (project, id) = project();
        let price = Money::new(rust_decimal::Decimal::TEN);
        let lead = RowLead { likely: 6, range: Some((6, 8)), unit: Some(LeadUnit::Weeks) };
        let row =
            |name: &str| Row { name: name.to_owned(), price: Some(price), lead: Some(lead), supplier: None };
        let mut one = add(&project, id, &row("Slate"));
        let mut part = one.selection(id).unwrap().options[0].parts[0].clone();
        assert_eq!((part.unit_price, part.lead, part.lead_max), (Some(price), Some(6), Some(8)));
        part.phase = Some(PhaseId(one.phases[0].id.0));
        part.quantity = "floor".parse::<Quantity>().unwrap();
        part.article = "A 1".to_owned();
        part.ordered_on = chrono::NaiveDate::from_ymd_opt(2026, 1, 5);
        let option = one.selection(id).unwrap().options[0].id;
        one = one.apply(&Action::PutPart(option, part.clone())).unwrap();
        let two = add(&one, id, &Row { name: "Oak".to_owned(), ..Row::default() });
        let new = &two.selection(id).unwrap().options[1].parts[0];
        assert_eq!((new.phase, &new.quantity), (part.phase, &part.quantity));
        assert_eq!((new.unit_price, new.lead, new.ordered_on, new.article.as_str()), (None, None, None, ""));
        assert!(put(&two, id, &Row::default()).is_none(), "an option has a name");
    }

    #[test]
    fn a_blank_first_candidate_becomes_what_is_typed() {
        let (project, id) = project();
        let one = add(&project, id, &Row { name: FIRST_CANDIDATE.to_owned(), ..Row::default() });
        assert!(is_blank(&one.selection(id).unwrap().options[0]));
        let two = add(&one, id, &Row { name: "Slate".to_owned(), ..Row::default() });
        let options = &two.selection(id).unwrap().options;
        assert_eq!((options.len(), options[0].name.as_str(), options[0].parts.len()), (1, "Slate", 1));
        let three = add(&two, id, &Row { name: "Oak".to_owned(), ..Row::default() });
        assert_eq!(three.selection(id).unwrap().options.len(), 2);
    }
}
