//! A supplier's list against the parts of a project: what would change, each change to be accepted or not, and what the
//! list has that the project has not.

use super::matching::{Index, Matching, bare};
use super::read::{ListRow, Reading};
use super::words;
use crate::exchange::incoming::row_text::set_lead;
use crate::exchange::notice::Notice;
use crate::exchange::typed::Lead;
use crate::model::words::{counted, lead};
use crate::model::{Currency, MapField, Money, Part, PartId, Project, SelectionOption, SupplierId};
use chrono::NaiveDate;
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

/// What a change is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ChangeOf {
    /// The price of one unit.
    UnitPrice,
    /// Percent off.
    Discount,
    /// The lead time with its bounds.
    Lead,
    /// Units in a pack.
    Pack,
    /// What is counted.
    Unit,
    /// Whether tax applies.
    Taxable,
    /// The day promised.
    PromisedOn,
    /// The supplier's number.
    Article,
}

impl ChangeOf {
    /// All with their words.
    pub const ALL: [(&'static str, ChangeOf); 8] = [
        ("unit_price", ChangeOf::UnitPrice),
        ("discount_pct", ChangeOf::Discount),
        ("lead", ChangeOf::Lead),
        ("pack", ChangeOf::Pack),
        ("unit", ChangeOf::Unit),
        ("taxable", ChangeOf::Taxable),
        ("promised_on", ChangeOf::PromisedOn),
        ("article", ChangeOf::Article),
    ];

    /// Its word.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, of)| *of == self).map_or("", |(word, _)| word)
    }

    /// What people call it, for one and for many.
    pub fn names(self) -> (&'static str, &'static str) {
        match self {
            ChangeOf::UnitPrice => ("price", "prices"),
            ChangeOf::Discount => ("discount", "discounts"),
            ChangeOf::Lead => ("lead time", "lead times"),
            ChangeOf::Pack => ("pack", "packs"),
            ChangeOf::Unit => ("unit", "units"),
            ChangeOf::Taxable => ("tax mark", "tax marks"),
            ChangeOf::PromisedOn => ("promised day", "promised days"),
            ChangeOf::Article => ("article number", "article numbers"),
        }
    }
}

/// What a field becomes.
#[derive(Debug, Clone, PartialEq, Eq)]
enum NewValue {
    UnitPrice(Decimal),
    Discount(Decimal),
    Lead(Lead),
    Pack(Decimal),
    Unit(String),
    Taxable(bool),
    PromisedOn(NaiveDate),
    Article(String),
}

impl NewValue {
    fn put(&self, part: &mut Part) {
        match self {
            NewValue::UnitPrice(price) => part.unit_price = Some(Money::new(*price)),
            NewValue::Discount(pct) => part.discount_pct = *pct,
            NewValue::Lead(lead) => set_lead(part, *lead),
            NewValue::Pack(pack) => part.pack = Some(*pack),
            NewValue::Unit(unit) => part.unit.clone_from(unit),
            NewValue::Taxable(taxable) => part.taxable = *taxable,
            NewValue::PromisedOn(day) => part.promised_on = Some(*day),
            NewValue::Article(article) => part.article.clone_from(article),
        }
    }
}

/// A change of one field of one part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The part.
    pub part: PartId,
    /// Its key.
    pub key: String,
    /// Its name with that of its selection.
    pub name: String,
    /// The row of the list that says so.
    pub row: usize,
    /// What changes.
    pub of: ChangeOf,
    /// What it is.
    pub old: String,
    /// What it would be.
    pub new: String,
    /// Why it should be looked at before it is accepted.
    pub doubt: Option<String>,
    value: NewValue,
}

impl Change {
    /// Makes the change in the part.
    pub(super) fn put(&self, part: &mut Part) {
        self.value.put(part);
    }
}

/// A list of prices against a project.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PriceList {
    /// What would change.
    pub changes: Vec<Change>,
    /// Rows that belong to no part, by their place in the reading.
    pub unmatched: Vec<usize>,
    /// Parts that were found, changed or not.
    pub matched: usize,
    /// Whose list it seems to be: the one supplier of all parts that were found.
    pub whose: Option<SupplierId>,
    /// What is wrong with rows that could be read by themselves.
    pub bad: Vec<Notice>,
}

/// Looks for the parts of all rows and what would change.
pub fn compare(project: &Project, reading: &Reading, matching: &Matching, place: &str) -> PriceList {
    let index = Index::new(project, matching.supplier);
    let mut list = PriceList::default();
    // Which row spoke of a part before, and what it said.
    let mut spoke: HashMap<PartId, (usize, Vec<NewValue>)> = HashMap::new();
    let mut torn: HashSet<PartId> = HashSet::new();
    for (at, row) in reading.rows.iter().enumerate() {
        let found = match index.find(row, matching) {
            Ok(found) => found,
            Err(why) => {
                list.bad.push(Notice::row(place, row.number, why));
                continue;
            }
        };
        if found.is_empty() {
            if row.called().is_empty() {
                let why = "this row names no part; a key, an article number or a name is needed";
                list.bad.push(Notice::row(place, row.number, why));
            } else {
                list.unmatched.push(at);
            }
            continue;
        }
        for id in found {
            let Some((selection, option, part)) = index.by_id.get(&id) else { continue };
            let changes = changes_of(part, row, project.settings.currency);
            let values: Vec<NewValue> = said(row);
            if let Some((first, before)) = spoke.get(&id) {
                if *before != values && torn.insert(id) {
                    list.bad.push(Notice::row(
                        place,
                        row.number,
                        format!("row {first} says something else of `{}`; keep one of them", part.key),
                    ));
                }
                continue;
            }
            spoke.insert(id, (row.number, values));
            list.matched += 1;
            let doubt = order_doubt(part);
            // Price, discount and what they count make sense only together: a doubt about one is one about all.
            let priced =
                |of: ChangeOf| matches!(of, ChangeOf::UnitPrice | ChangeOf::Discount | ChangeOf::Unit);
            let together =
                changes.iter().filter(|change| priced(change.0)).find_map(|change| change.3.clone());
            for (of, old, new, own, value) in changes {
                let own = own.or_else(|| together.clone().filter(|_| priced(of)));
                let ordered =
                    doubt.clone().filter(|_| !matches!(of, ChangeOf::PromisedOn | ChangeOf::Article));
                list.changes.push(Change {
                    part: id,
                    key: part.key.clone(),
                    name: part_words(selection, option, part),
                    row: row.number,
                    of,
                    old,
                    new,
                    doubt: own.or(ordered),
                    value,
                });
            }
        }
    }
    let found: BTreeSet<Option<SupplierId>> =
        spoke.keys().filter_map(|id| index.by_id.get(id)).map(|(_, _, p)| p.supplier).collect();
    list.whose = if found.len() == 1 { found.first().copied().flatten() } else { None };
    // Where two rows disagree, neither is taken.
    list.changes.retain(|c| !torn.contains(&c.part));
    list
}

/// A part by its selection and option, and by its own name where the option has several.
fn part_words(selection: &crate::model::Selection, option: &SelectionOption, part: &Part) -> String {
    let mut words = selection.name.clone();
    if option.name != selection.name {
        words.push_str(&format!(", {}", option.name));
    }
    if option.parts.len() > 1 && part.name != option.name {
        words.push_str(&format!(", {}", part.name));
    }
    words
}

/// What a row says, to be compared with what another says of the same part.
fn said(row: &ListRow) -> Vec<NewValue> {
    let mut all = Vec::new();
    all.extend(row.unit_price.map(|n| NewValue::UnitPrice(n.normalize())));
    all.extend(row.discount.map(|n| NewValue::Discount(n.normalize())));
    all.extend(lead_of(row).map(NewValue::Lead));
    all.extend(row.pack.map(|n| NewValue::Pack(n.normalize())));
    all.extend(row.taxable.map(NewValue::Taxable));
    all.extend(row.promised_on.map(NewValue::PromisedOn));
    all
}

fn lead_of(row: &ListRow) -> Option<Lead> {
    let (min, max) = row.lead_bounds;
    row.lead.map(|(count, unit)| Lead { count, unit: Some(unit), min, max })
}

fn order_doubt(part: &Part) -> Option<String> {
    part.is_ordered().then(|| match part.ordered_on {
        Some(day) => format!("it was ordered on {day}, on the terms of that day"),
        None => "it is ordered already, on the terms of that day".to_owned(),
    })
}

type Found = (ChangeOf, String, String, Option<String>, NewValue);

/// What a row would change in a part.
fn changes_of(part: &Part, row: &ListRow, currency: Currency) -> Vec<Found> {
    let mut found: Vec<Found> = Vec::new();
    let money = |amount: Decimal| crate::exchange::cell::money(Money::new(amount), currency);
    let unit = row.text(MapField::Unit);
    let other_unit =
        !unit.is_empty() && !part.unit.is_empty() && words::unit(unit) != words::unit(&part.unit);
    let unit_doubt = || other_unit.then(|| format!("the list counts in {unit}, the part in {}", part.unit));
    let mut note = |of, old: String, new: String, doubt: Option<String>, value: NewValue| {
        let mut next = part.clone();
        value.put(&mut next);
        if next != *part {
            found.push((of, old, new, doubt, value));
        }
    };
    if let Some(price) = row.unit_price {
        let old = part.unit_price.map(Money::amount);
        let twice = || {
            let off = row.net && row.discount.is_none() && !part.discount_pct.is_zero();
            off.then(|| {
                format!("this is net, and the part has {} percent off", part.discount_pct.normalize())
            })
        };
        let doubt = unit_doubt().or_else(twice).or_else(|| old.and_then(|old| price_doubt(old, price)));
        if old != Some(price) {
            let old = old.map_or("none".to_owned(), money);
            note(ChangeOf::UnitPrice, old, money(price), doubt, NewValue::UnitPrice(price));
        }
    }
    if let Some(pct) = row.discount
        && pct != part.discount_pct
    {
        let percent = |n: Decimal| format!("{} %", n.normalize());
        let small = !pct.is_zero() && pct < Decimal::ONE;
        let doubt = small.then(|| "this is less than one percent; a share of one may be meant".to_owned());
        note(ChangeOf::Discount, percent(part.discount_pct), percent(pct), doubt, NewValue::Discount(pct));
    }
    if let Some(lead) = lead_of(row) {
        let value = NewValue::Lead(lead);
        let mut next = part.clone();
        value.put(&mut next);
        note(ChangeOf::Lead, lead_words(part), lead_words(&next), None, value);
    }
    let pack_text = |p: Option<Decimal>| p.map_or("not packed".to_owned(), |n| n.normalize().to_string());
    if let Some(pack) = row.pack
        && part.pack != Some(pack)
    {
        note(ChangeOf::Pack, pack_text(part.pack), pack_text(Some(pack)), unit_doubt(), NewValue::Pack(pack));
    }
    if !unit.is_empty() && words::unit(unit) != words::unit(&part.unit) {
        let doubt = other_unit.then(|| "quantity and price are counted in it".to_owned());
        note(ChangeOf::Unit, part.unit.clone(), unit.to_owned(), doubt, NewValue::Unit(unit.to_owned()));
    }
    if let Some(taxable) = row.taxable {
        let word = |t: bool| if t { "taxed" } else { "not taxed" }.to_owned();
        note(ChangeOf::Taxable, word(part.taxable), word(taxable), None, NewValue::Taxable(taxable));
    }
    if let Some(day) = row.promised_on {
        let doubt = if part.is_on_site() {
            Some("it has come already".to_owned())
        } else {
            (!part.is_ordered()).then(|| "it is not ordered yet".to_owned())
        };
        let before = part.ordered_on.filter(|ordered| day < *ordered);
        let leaves = row.leaves.then(|| "this is the day it leaves its supplier; it comes later".to_owned());
        let before = before.map(|ordered| format!("this is before it was ordered on {ordered}"));
        let doubt = leaves.or(before).or(doubt);
        let old = part.promised_on.map_or("no day".to_owned(), |d| d.to_string());
        note(ChangeOf::PromisedOn, old, day.to_string(), doubt, NewValue::PromisedOn(day));
    }
    let article = row.text(MapField::Article);
    if !article.is_empty()
        && article.to_lowercase() != part.key.to_lowercase()
        && bare(article) != bare(part.article.trim())
    {
        let old = if part.article.is_empty() { "none".to_owned() } else { part.article.clone() };
        note(ChangeOf::Article, old, article.to_owned(), None, NewValue::Article(article.to_owned()));
    }
    found
}

/// Prices that are a multiple of what they were are more often misread than true.
fn price_doubt(old: Decimal, new: Decimal) -> Option<String> {
    if new.is_zero() {
        return Some("the list says nothing or free".to_owned());
    }
    if old.is_zero() {
        return None;
    }
    let three = Decimal::from(3);
    if new >= old.saturating_mul(three) {
        let times = (new / old).round_dp(1).normalize();
        return Some(format!("this is {times} times what it was"));
    }
    if old >= new.saturating_mul(three) {
        let share = (new / old * Decimal::ONE_HUNDRED).round_dp(0).normalize();
        return Some(format!("this is {share} percent of what it was"));
    }
    None
}

/// A lead time with its bounds in words.
pub fn lead_words(part: &Part) -> String {
    let bounds = match (part.lead_min, part.lead_max) {
        (None, None) => String::new(),
        (Some(min), Some(max)) => format!(" ({min} to {max})"),
        (Some(min), None) => format!(" (from {min})"),
        (None, Some(max)) => format!(" (to {max})"),
    };
    part.lead.map_or(String::new(), |count| format!("{}{bounds}", lead(count, part.lead_unit)))
}

/// Gives a part what a row says of it.
pub fn fill(part: &mut Part, row: &ListRow) {
    for value in said(row) {
        value.put(part);
    }
    if !row.text(MapField::Unit).is_empty() {
        part.unit = row.text(MapField::Unit).to_owned();
    }
    if !row.text(MapField::Article).is_empty() {
        part.article = row.text(MapField::Article).to_owned();
    }
}

/// What changes, counted in words: `12 prices`, `3 lead times`.
pub fn summary<'a>(changes: impl Iterator<Item = &'a Change>) -> Vec<String> {
    let mut counts: BTreeMap<ChangeOf, usize> = BTreeMap::new();
    changes.for_each(|c| *counts.entry(c.of).or_default() += 1);
    let words = |(of, n): (ChangeOf, usize)| counted(n, of.names().0, of.names().1);
    counts.into_iter().map(words).collect()
}

/// Words in a row: `a, b and c`.
pub fn joined(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
