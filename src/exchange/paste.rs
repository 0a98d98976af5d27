//! Reading rows from the clipboard: what each would do, and what is wrong with which cell, before anything is done.

use super::cell;
use super::paste_field::Field;
use super::row_text::{counts, lead_from_text, set_lead};
use crate::model::ids::key_from_name;
use crate::model::{
    Action, Money, OptionId, Part, PartId, Project, Quantity, RoomId, Selection, SelectionId,
    SelectionOption, dates, validate,
};
use rust_decimal::Decimal;
use std::collections::HashSet;
use std::sync::Arc;

/// What a row would do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Does {
    /// Add a selection.
    Add,
    /// Change one.
    Change,
    /// Nothing: it says what is there already.
    Nothing,
}

/// One row, read.
#[derive(Debug, Clone, PartialEq)]
pub struct PastedRow {
    /// The line in the text, counted from one.
    pub line: usize,
    /// What it is about.
    pub name: String,
    /// What it would do.
    pub does: Does,
    /// What would change, in words: the heading and the new value.
    pub changes: Vec<(String, String)>,
    /// What is wrong: the heading and the words.
    pub faults: Vec<(String, String)>,
    actions: Vec<Action>,
}

/// All rows of a text, read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Pasted {
    /// The rows.
    pub rows: Vec<PastedRow>,
    /// Headings that are not understood; their columns are left out.
    pub unknown: Vec<String>,
    /// The first line held no headings, and the usual ones were taken.
    pub guessed: bool,
}

impl Pasted {
    /// Rows that would do this.
    pub fn count(&self, does: Does) -> usize {
        self.rows.iter().filter(|r| r.does == does && r.faults.is_empty()).count()
    }

    /// Rows with a fault.
    pub fn faulty(&self) -> usize {
        self.rows.iter().filter(|r| !r.faults.is_empty()).count()
    }

    /// The whole change as one step; rows with faults are left out. `None` when nothing would change.
    pub fn action(&self) -> Option<Action> {
        let sound = self.rows.iter().filter(|r| r.faults.is_empty());
        let actions: Vec<Action> = sound.clone().flat_map(|r| r.actions.iter().cloned()).collect();
        let n = sound.filter(|r| r.does != Does::Nothing).count();
        let label = format!("paste {n} {}", if n == 1 { "row" } else { "rows" });
        (!actions.is_empty()).then_some(Action::Batch { label, actions })
    }
}

/// Headings taken when the first line has none.
const USUAL: [Field; 4] = [Field::Name, Field::Room, Field::Category, Field::Allowance];

/// Longest text that is read.
const MOST_BYTES: usize = 4_000_000;

/// Reads a text over a project. Rows that name no room belong to `room`.
///
/// # Errors
/// When the text as a whole cannot be read as rows.
pub fn read(project: &Project, text: &str, room: Option<RoomId>) -> Result<Pasted, String> {
    if text.len() > MOST_BYTES {
        return Err("This is too much at once; paste it in pieces.".to_owned());
    }
    let first = text.lines().next().unwrap_or("");
    let delimiter = if first.contains('\t') {
        b'\t'
    } else if first.contains(';') {
        b';'
    } else {
        b','
    };
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let mut records = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|e| format!("This cannot be read as rows: {e}"))?;
        let line = record.position().map_or(records.len() + 1, |p| p.line() as usize);
        records.push((line, record));
    }
    records.retain(|(_, r)| r.iter().any(|c| !c.trim().is_empty()));
    let Some((_, header)) = records.first() else { return Err("There are no rows in this.".to_owned()) };
    let named = header.iter().any(|h| h.trim().eq_ignore_ascii_case("name"));
    let mut fields: Vec<Option<Field>> = header.iter().map(|h| Field::of(h, named)).collect();
    let mut pasted = Pasted::default();
    let known = fields.iter().flatten().count();
    let filled = header.iter().filter(|h| !h.trim().is_empty()).count();
    if known * 2 >= filled && known > 0 {
        let strange = header.iter().zip(&fields).filter(|(h, f)| f.is_none() && !h.trim().is_empty());
        pasted.unknown = strange.map(|(h, _)| h.trim().to_owned()).collect();
        records.remove(0);
    } else {
        pasted.guessed = true;
        fields = USUAL.iter().copied().map(Some).collect();
    }
    if !fields.contains(&Some(Field::Name)) && !fields.contains(&Some(Field::Key)) {
        return Err(
            "There is no column with the names of the selections; give it the heading Selection.".to_owned()
        );
    }
    let mut reader = Reader {
        project,
        fields,
        room,
        next_id: project.next_id,
        keys: project.selections.iter().map(|s| s.key.clone()).collect(),
        option_keys: project.selections.iter().flat_map(|s| &s.options).map(|o| o.key.clone()).collect(),
        part_keys: project.all_parts().map(|(_, _, p)| p.key.clone()).collect(),
        seen: HashSet::new(),
    };
    pasted.rows = records.into_iter().map(|(line, record)| reader.row(line, &record)).collect();
    Ok(pasted)
}

struct Reader<'a> {
    project: &'a Project,
    fields: Vec<Option<Field>>,
    room: Option<RoomId>,
    next_id: u32,
    keys: HashSet<String>,
    option_keys: HashSet<String>,
    part_keys: HashSet<String>,
    seen: HashSet<SelectionId>,
}

impl Reader<'_> {
    fn fresh(&mut self) -> u32 {
        self.next_id += 1;
        self.next_id - 1
    }

    fn row(&mut self, line: usize, record: &csv::StringRecord) -> PastedRow {
        let fields = self.fields.clone();
        let get = |field: Field| {
            let place = fields.iter().position(|f| *f == Some(field))?;
            record.get(place).map(|c| cell::unguard(c.trim())).filter(|c| !c.is_empty())
        };
        let name = get(Field::Name).or(get(Field::Key)).unwrap_or("").to_owned();
        let mut row = PastedRow {
            line,
            name,
            does: Does::Nothing,
            changes: Vec::new(),
            faults: Vec::new(),
            actions: Vec::new(),
        };
        let extra = record.iter().skip(self.fields.len()).any(|c| !c.trim().is_empty());
        if extra {
            row.fault("Line", "has more cells than there are headings");
        }
        let cells = Cells { get: &get };
        let found = self.find(&cells, &mut row);
        match found {
            Some(at) => self.change(at, &cells, &mut row),
            None if row.faults.is_empty() => self.add(&cells, &mut row),
            None => {}
        }
        row
    }

    /// The selection that a row is about; `None` for a new one.
    fn find(&self, cells: &Cells<'_>, row: &mut PastedRow) -> Option<usize> {
        if let Some(key) = cells.get(Field::Key)
            && let Some(at) = self.project.selections.iter().position(|s| s.key == key)
        {
            return Some(at);
        }
        let name = cells.get(Field::Name)?.to_lowercase();
        let room = match cells.get(Field::Room) {
            Some(text) => Some(self.room_of(text, row)?),
            None => self.room,
        };
        let same = |s: &Arc<Selection>| room.is_none_or(|r| s.room == r) && s.name.to_lowercase() == name;
        let mut found = self.project.selections.iter().enumerate().filter(|(_, s)| same(s)).map(|(at, _)| at);
        let first = found.next()?;
        if found.next().is_some() {
            row.fault("Selection", "there are several of this name; add the column Key to say which");
        }
        Some(first)
    }

    fn room_of(&self, text: &str, row: &mut PastedRow) -> Option<RoomId> {
        let fits = |key: &str, name: &str| key == text || name.eq_ignore_ascii_case(text);
        let found = self.project.rooms.iter().find(|r| fits(&r.key, &r.name)).map(|r| r.id);
        if found.is_none() {
            let names: Vec<&str> = self.project.rooms.iter().take(8).map(|r| r.name.as_str()).collect();
            row.fault("Room", &format!("there is no room `{text}`; there are {}", names.join(", ")));
        }
        found
    }

    /// Puts the cells of a row into a selection.
    fn fill(&self, s: &mut Selection, cells: &Cells<'_>, row: &mut PastedRow) {
        if let Some(text) = cells.get(Field::Name)
            && text != s.name
        {
            row.change("Selection", text);
            s.name = text.to_owned();
        }
        if let Some(text) = cells.get(Field::Room)
            && let Some(room) = self.room_of(text, row)
            && room != s.room
        {
            row.change("Room", text);
            s.room = room;
        }
        if let Some(text) = cells.get(Field::Category)
            && text != s.category
        {
            row.change("Category", text);
            s.category = text.to_owned();
        }
        if let Some(text) = cells.get(Field::Allowance) {
            match amount(text) {
                Ok(amount) if amount != s.allowance => {
                    row.change("Allowance", text);
                    s.allowance = amount;
                }
                Ok(_) => {}
                Err(why) => row.fault("Allowance", &why),
            }
        }
        if let Some(text) = cells.get(Field::DecideOn) {
            match dates::parse_date(text) {
                Ok(day) if Some(day) != s.decide_on => {
                    row.change("Decide on", text);
                    s.decide_on = Some(day);
                }
                Ok(_) => {}
                Err(why) => row.fault("Decide on", &why),
            }
        }
        if let Some(text) = cells.get(Field::Notes)
            && text != s.notes
        {
            row.change("Notes", text);
            s.notes = text.to_owned();
        }
        if let Err(why) = validate::selection(self.project, s) {
            row.fault("Selection", &why);
        }
    }

    /// Puts the cells of a row into a part.
    fn fill_part(&self, part: &mut Part, cells: &Cells<'_>, row: &mut PastedRow) {
        let before = part.clone();
        if let Some(text) = cells.get(Field::Supplier) {
            let fits = |key: &str, name: &str| key == text || name.eq_ignore_ascii_case(text);
            match self.project.suppliers.iter().find(|s| fits(&s.key, &s.name)) {
                Some(supplier) => part.supplier = Some(supplier.id),
                None => row.fault("Supplier", &format!("there is no supplier `{text}`; add it first")),
            }
        }
        if let Some(text) = cells.get(Field::Phase) {
            let fits = |key: &str, name: &str| key == text || name.eq_ignore_ascii_case(text);
            match self.project.phases.iter().find(|p| fits(&p.key, &p.name)) {
                Some(phase) => part.phase = Some(phase.id),
                None => row.fault("Phase", &format!("there is no phase `{text}`; add it in Dates first")),
            }
        }
        if let Some(text) = cells.get(Field::Quantity) {
            match text.parse::<Quantity>() {
                Ok(quantity) => part.quantity = quantity,
                Err(why) => row.fault("Quantity", &why),
            }
        }
        if let Some(text) = cells.get(Field::Unit) {
            part.unit = text.to_owned();
        }
        if let Some(text) = cells.get(Field::Price) {
            match amount(text) {
                Ok(price) => part.unit_price = price,
                Err(why) => row.fault("Unit price", &why),
            }
        }
        if let Some(text) = cells.get(Field::Lead) {
            match lead_from_text(text) {
                Ok((count, unit)) => {
                    set_lead(part, count, unit);
                }
                Err(why) => row.fault("Lead", &why),
            }
        }
        for (field, changed) in [
            (Field::Supplier, part.supplier != before.supplier),
            (Field::Phase, part.phase != before.phase),
            (Field::Quantity, part.quantity != before.quantity),
            (Field::Unit, part.unit != before.unit),
            (Field::Price, part.unit_price != before.unit_price),
            (Field::Lead, (part.lead, part.lead_unit) != (before.lead, before.lead_unit)),
        ] {
            if changed {
                row.change(field.title(), cells.get(field).unwrap_or(""));
            }
        }
        if let Err(why) = validate::part(self.project, part) {
            row.fault("Part", &why);
        }
    }

    fn change(&mut self, at: usize, cells: &Cells<'_>, row: &mut PastedRow) {
        let Some(selection) = self.project.selections.get(at) else { return };
        row.name.clone_from(&selection.name);
        if !self.seen.insert(selection.id) {
            row.fault("Selection", "a row above is about the same one");
        }
        let mut own = Selection { options: Vec::new(), ..selection.as_ref().clone() };
        self.fill(&mut own, cells, row);
        let mut actions = Vec::new();
        if !row.changes.is_empty() {
            actions.push(Action::PutSelection(own));
        }
        let mut option = selection.live_option();
        if let Some(text) = cells.get(Field::Choice) {
            let found = selection.options.iter().find(|o| o.name.eq_ignore_ascii_case(text));
            match (found, counts(self.project, at, text)) {
                (Some(_), Some(true)) => {}
                (Some(found), _) => {
                    row.change("Choice", text);
                    actions.push(Action::Choose(found.id));
                    option = Some(found);
                }
                (None, _) => {
                    let names: Vec<&str> = selection.options.iter().map(|o| o.name.as_str()).collect();
                    let have = if names.is_empty() { "none".to_owned() } else { names.join(", ") };
                    row.fault("Choice", &format!("it has no option `{text}`; it has {have}"));
                }
            }
        }
        let of_part = self.fields.iter().flatten().any(|f| f.is_of_part() && cells.get(*f).is_some());
        if of_part {
            match option.map(|o| (o, o.parts.as_slice())) {
                Some((option, [part])) => {
                    let mut changed = part.clone();
                    self.fill_part(&mut changed, cells, row);
                    if changed != *part {
                        actions.push(Action::PutPart(option.id, changed));
                    }
                }
                Some(_) => {
                    row.fault("Choice", "it has several parts or none; change their cells on the card")
                }
                None => row.fault("Choice", "nothing is chosen or leaned to, so there is no part to change"),
            }
        }
        row.does = if actions.is_empty() { Does::Nothing } else { Does::Change };
        row.actions = actions;
    }

    fn add(&mut self, cells: &Cells<'_>, row: &mut PastedRow) {
        let name = row.name.clone();
        if name.is_empty() {
            row.fault("Selection", "write a name");
            return;
        }
        let room = match cells.get(Field::Room) {
            Some(text) => self.room_of(text, row),
            None => self.room,
        };
        let Some(room) = room else {
            if row.faults.is_empty() {
                row.fault("Room", "say which room it belongs to, or pick one on the left first");
            }
            return;
        };
        let wanted = cells.get(Field::Key).unwrap_or(&name);
        let key = key_from_name(wanted, self.keys.iter().map(String::as_str));
        let key = if cells.get(Field::Key).is_some() { wanted.to_owned() } else { key };
        let mut selection = Selection {
            id: SelectionId(self.fresh()),
            key: key.clone(),
            room,
            category: String::new(),
            name: name.clone(),
            allowance: Money::ZERO,
            decide_on: None,
            notes: String::new(),
            options: Vec::new(),
        };
        self.fill(&mut selection, cells, row);
        let of_part = |f: &Field| (f.is_of_part() || *f == Field::Choice) && cells.get(*f).is_some();
        let of_part = self.fields.iter().flatten().any(of_part);
        if of_part {
            let option_name = cells.get(Field::Choice).unwrap_or(&name).to_owned();
            let option = OptionId(self.fresh());
            let option_key =
                key_from_name(&format!("{key} {option_name}"), self.option_keys.iter().map(String::as_str));
            let part_key =
                key_from_name(&format!("{key} {option_name}"), self.part_keys.iter().map(String::as_str));
            let mut part = Part::new(PartId(self.fresh()), &part_key, &option_name);
            self.fill_part(&mut part, cells, row);
            self.option_keys.insert(option_key.clone());
            self.part_keys.insert(part_key);
            if let Some(text) = cells.get(Field::Choice) {
                row.change("Option", text);
            }
            let first = SelectionOption::new(option, &option_key, &option_name);
            selection.options.push(SelectionOption { parts: vec![part], ..first });
        }
        self.keys.insert(key);
        row.does = Does::Add;
        row.actions = vec![Action::PutSelection(selection)];
    }
}

/// The cells of a row by what they are.
struct Cells<'a> {
    get: &'a dyn Fn(Field) -> Option<&'a str>,
}

impl<'a> Cells<'a> {
    fn get(&self, field: Field) -> Option<&'a str> {
        (self.get)(field)
    }
}

impl PastedRow {
    fn fault(&mut self, heading: &str, words: &str) {
        self.faults.push((heading.to_owned(), words.to_owned()));
    }

    fn change(&mut self, heading: &str, value: &str) {
        self.changes.push((heading.to_owned(), value.to_owned()));
    }
}

/// An amount with or without thousands and a currency sign before it.
fn amount(text: &str) -> Result<Money, String> {
    let plain: String =
        text.chars().filter(|c| !matches!(c, ',' | ' ' | '$' | '€' | '£' | '\u{a0}')).collect();
    plain
        .parse::<Decimal>()
        .map(Money::new)
        .map_err(|_| format!("`{text}` is no amount; write for example 1,250.00"))
}
