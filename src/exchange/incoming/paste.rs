//! Rows from the clipboard: what each would do, and what is wrong with which cell, before anything is done.
//!
//! The text becomes a grid and is read as any list of selections is; what nothing in it settles is read as the project
//! writes it. A row changes the selection it names, or adds one. A cell that is missing or empty leaves things as they
//! are.

use super::row_text::counts;
use crate::exchange::cell;
use crate::exchange::incoming::changes::{fill, lead_words};
use crate::exchange::incoming::{ListRow, Setup, read as lists, read_csv, words};
use crate::exchange::progress::Progress;
use crate::exchange::typed::Typed;
use crate::model::ids::key_from_name;
use crate::model::{
    Action, MapField, MapInto, Money, OptionId, Part, PartId, Project, RoomId, Selection, SelectionId,
    SelectionOption, validate,
};
use std::collections::HashSet;

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

/// Columns taken when the first line has no headings.
const USUAL: [MapField; 4] = [MapField::Selection, MapField::Room, MapField::Category, MapField::Allowance];

/// Reads a text over a project, by its own reader of typed text. Rows that name no room belong to `room`.
///
/// # Errors
/// When the text as a whole cannot be read as rows.
pub fn read(project: &Project, typed: Typed, text: &str, room: Option<RoomId>) -> Result<Pasted, String> {
    let tabs = text.lines().next().is_some_and(|first| first.contains('\t')).then_some((b'\t', "tabs"));
    let grid = read_csv::read_text("", text, "", tabs, &Progress::new()).map_err(|why| why.message)?;
    let Some(first) = grid.rows.first() else { return Err("There are no rows in this.".to_owned()) };
    let mut setup = Setup::of(Some(first.number), MapInto::Selections);
    setup.own = Some(typed);
    setup.guess_fields(&grid, project, None);
    let headings = grid.headings(setup.header);
    // What lists hold of options is not pasted, and said.
    let apart = |f: &Option<MapField>| {
        f.is_none_or(|f| matches!(f, MapField::Name | MapField::Finish | MapField::State))
    };
    let known = headings.iter().zip(&setup.fields).filter(|(h, f)| !apart(f) && words::is_known(h)).count();
    let mut pasted = Pasted { guessed: known == 0 || known * 2 < first.filled(), ..Pasted::default() };
    if pasted.guessed {
        setup.header = None;
        setup.fields = USUAL.into_iter().map(Some).collect();
        setup.fields.resize(grid.width.max(USUAL.len()), None);
    } else {
        let strange = headings.iter().zip(&setup.fields).filter(|(h, f)| apart(f) && !h.is_empty());
        pasted.unknown = strange.map(|(h, _)| h.clone()).collect();
    }
    if setup.column(MapField::Selection).or(setup.column(MapField::Key)).is_none() {
        return Err(
            "There is no column with the names of the selections; give it the heading Selection.".to_owned()
        );
    }
    let width = if pasted.guessed { grid.width } else { first.cells.len() };
    let mut paster = Paster {
        project,
        room,
        next_id: project.next_id,
        keys: project.selections.iter().map(|s| s.key.clone()).collect(),
        option_keys: project.selections.iter().flat_map(|s| &s.options).map(|o| o.key.clone()).collect(),
        part_keys: project.all_parts().map(|(_, _, p)| p.key.clone()).collect(),
        seen: HashSet::new(),
    };
    for (cells, (read, bad)) in setup.body(&grid).zip(lists::rows(&grid, &setup, project.settings.currency)) {
        let mut row = PastedRow {
            line: cells.number,
            name: read.text(MapField::Selection).to_owned(),
            does: Does::Nothing,
            changes: Vec::new(),
            faults: Vec::new(),
            actions: Vec::new(),
        };
        if row.name.is_empty() {
            row.name = read.text(MapField::Key).to_owned();
        }
        if cells.cells.len() > width {
            row.fault("Line", "has more cells than there are headings");
        }
        paster.row(&read, &mut row);
        row.faults.extend(bad.into_iter().map(|n| (n.column.unwrap_or_default(), n.message)));
        pasted.rows.push(row);
    }
    Ok(pasted)
}

struct Paster<'a> {
    project: &'a Project,
    room: Option<RoomId>,
    next_id: u32,
    keys: HashSet<String>,
    option_keys: HashSet<String>,
    part_keys: HashSet<String>,
    seen: HashSet<SelectionId>,
}

impl Paster<'_> {
    fn fresh(&mut self) -> u32 {
        self.next_id += 1;
        self.next_id - 1
    }

    fn row(&mut self, read: &ListRow, row: &mut PastedRow) {
        match self.find(read, row) {
            Some(at) => self.change(at, read, row),
            None if row.faults.is_empty() => self.add(read, row),
            None => {}
        }
    }

    /// The selection that a row is about; `None` for a new one.
    fn find(&self, read: &ListRow, row: &mut PastedRow) -> Option<usize> {
        let all = &self.project.selections;
        let by_key = |key: &str| all.iter().position(|s| s.key == key).filter(|_| !key.is_empty());
        let name = read.text(MapField::Selection);
        if let Some(at) = by_key(read.text(MapField::Key)).or_else(|| by_key(name)) {
            return Some(at);
        }
        if name.is_empty() {
            return None;
        }
        let room = match read.text(MapField::Room) {
            "" => self.room,
            text => Some(self.room_of(text, row)?),
        };
        let name = name.to_lowercase();
        let same = |at: &usize| {
            all.get(*at).is_some_and(|s| room.is_none_or(|r| s.room == r) && s.name.to_lowercase() == name)
        };
        let mut found = (0..all.len()).filter(same);
        let first = found.next()?;
        if found.next().is_some() {
            row.fault("Selection", "there are several of this name; add the column Key to say which");
        }
        Some(first)
    }

    fn room_of(&self, text: &str, row: &mut PastedRow) -> Option<RoomId> {
        let rooms = &self.project.rooms;
        let found = named(text, rooms.iter().map(|r| (r.id, r.key.as_str(), r.name.as_str())));
        if found.is_none() {
            let names: Vec<&str> = rooms.iter().take(8).map(|r| r.name.as_str()).collect();
            row.fault("Room", &format!("there is no room `{text}`; there are {}", names.join(", ")));
        }
        found
    }

    /// Puts what a row says into a selection.
    fn fill(&self, s: &mut Selection, read: &ListRow, row: &mut PastedRow) {
        let before = s.clone();
        let put = |field, into: &mut String| {
            if !read.text(field).is_empty() {
                read.text(field).clone_into(into);
            }
        };
        // By its key another selection may be meant, and that is no new name.
        if read.text(MapField::Selection) != s.key {
            put(MapField::Selection, &mut s.name);
        }
        put(MapField::Category, &mut s.category);
        put(MapField::Notes, &mut s.notes);
        if !read.text(MapField::Room).is_empty() {
            s.room = self.room_of(read.text(MapField::Room), row).unwrap_or(s.room);
        }
        s.allowance = read.allowance.map_or(s.allowance, Money::new);
        s.decide_on = read.decide_on.or(s.decide_on);
        let money = |amount| cell::money(amount, self.project.settings.currency);
        row.note("Selection", s.name != before.name, &s.name);
        row.note("Room", s.room != before.room, read.text(MapField::Room));
        row.note("Category", s.category != before.category, &s.category);
        row.note("Allowance", s.allowance != before.allowance, &money(s.allowance));
        row.note("Decide on", s.decide_on != before.decide_on, &cell::maybe(s.decide_on));
        row.note("Notes", s.notes != before.notes, &s.notes);
        if let Err(why) = validate::selection(self.project, s) {
            row.fault("Selection", &why);
        }
    }

    /// Puts what a row says into a part.
    fn fill_part(&self, part: &mut Part, read: &ListRow, row: &mut PastedRow) {
        let before = part.clone();
        fill(part, read);
        if let Some(quantity) = &read.quantity {
            part.quantity = quantity.clone();
        }
        part.waste_pct = read.waste.unwrap_or(part.waste_pct);
        let (suppliers, phases) = (&self.project.suppliers, &self.project.phases);
        let supplier = read.text(MapField::Supplier);
        match named(supplier, suppliers.iter().map(|s| (s.id, s.key.as_str(), s.name.as_str()))) {
            _ if supplier.is_empty() => {}
            Some(id) => part.supplier = Some(id),
            None => row.fault("Supplier", &format!("there is no supplier `{supplier}`; add it first")),
        }
        let phase = read.text(MapField::Phase);
        match named(phase, phases.iter().map(|p| (p.id, p.key.as_str(), p.name.as_str()))) {
            _ if phase.is_empty() => {}
            Some(id) => part.phase = Some(id),
            None => row.fault("Phase", &format!("there is no phase `{phase}`; add it in Dates first")),
        }
        let money = |amount| cell::money(amount, self.project.settings.currency);
        row.note("Supplier", part.supplier != before.supplier, supplier);
        row.note("Phase", part.phase != before.phase, phase);
        row.note("Article number", part.article != before.article, &part.article);
        row.note("Quantity", part.quantity != before.quantity, &part.quantity.to_string());
        row.note("Unit", part.unit != before.unit, &part.unit);
        row.note("Units in a pack", part.pack != before.pack, &cell::maybe(part.pack));
        row.note("Waste", part.waste_pct != before.waste_pct, &cell::number(part.waste_pct));
        row.note(
            "Unit price",
            part.unit_price != before.unit_price,
            &part.unit_price.map_or(String::new(), money),
        );
        row.note("Discount", part.discount_pct != before.discount_pct, &cell::number(part.discount_pct));
        row.note("Taxed", part.taxable != before.taxable, &cell::yes_no(part.taxable));
        row.note("Promised for", part.promised_on != before.promised_on, &cell::maybe(part.promised_on));
        row.note("Lead", lead_words(part) != lead_words(&before), &lead_words(part));
        if let Err(why) = validate::part(self.project, part) {
            row.fault("Part", &why);
        }
    }

    fn change(&mut self, at: usize, read: &ListRow, row: &mut PastedRow) {
        let Some(selection) = self.project.selections.get(at) else { return };
        row.name.clone_from(&selection.name);
        if !self.seen.insert(selection.id) {
            row.fault("Selection", "a row above is about the same one");
        }
        let mut own = Selection { options: Vec::new(), ..selection.as_ref().clone() };
        self.fill(&mut own, read, row);
        let mut actions = Vec::new();
        if !row.changes.is_empty() {
            actions.push(Action::PutSelection(own));
        }
        let mut option = selection.live_option();
        let choice = read.text(MapField::Option);
        if !choice.is_empty() {
            let found = selection.options.iter().find(|o| o.name.eq_ignore_ascii_case(choice));
            match (found, counts(self.project, at, choice)) {
                (Some(_), Some(true)) => {}
                (Some(found), _) => {
                    row.changes.push(("Choice".to_owned(), choice.to_owned()));
                    actions.push(Action::Choose(found.id));
                    option = Some(found);
                }
                (None, _) => {
                    let names: Vec<&str> = selection.options.iter().map(|o| o.name.as_str()).collect();
                    let have = if names.is_empty() { "none".to_owned() } else { names.join(", ") };
                    row.fault("Choice", &format!("it has no option `{choice}`; it has {have}"));
                }
            }
        }
        if of_part(read) {
            match option.map(|o| (o, o.parts.as_slice())) {
                Some((option, [part])) => {
                    let mut changed = part.clone();
                    self.fill_part(&mut changed, read, row);
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

    fn add(&mut self, read: &ListRow, row: &mut PastedRow) {
        let name = row.name.clone();
        if name.is_empty() {
            row.fault("Selection", "write a name");
            return;
        }
        let room = match read.text(MapField::Room) {
            "" => self.room,
            text => self.room_of(text, row),
        };
        let Some(room) = room else {
            if row.faults.is_empty() {
                row.fault("Room", "say which room it belongs to, or pick one on the left first");
            }
            return;
        };
        let key = match read.text(MapField::Key) {
            "" => key_from_name(&name, self.keys.iter().map(String::as_str)),
            wanted => wanted.to_owned(),
        };
        let mut selection = Selection {
            id: SelectionId(self.fresh()),
            key: key.clone(),
            room,
            category: String::new(),
            name: name.clone(),
            allowance: Money::ZERO,
            decide_on: None,
            notes: String::new(),
            specs: Vec::new(),
            options: Vec::new(),
        };
        self.fill(&mut selection, read, row);
        let choice = read.text(MapField::Option);
        if of_part(read) || !choice.is_empty() {
            let option_name = if choice.is_empty() { name } else { choice.to_owned() };
            let option = OptionId(self.fresh());
            let base = format!("{key} {option_name}");
            let option_key = key_from_name(&base, self.option_keys.iter().map(String::as_str));
            let part_key = key_from_name(&base, self.part_keys.iter().map(String::as_str));
            let mut part = Part::new(PartId(self.fresh()), &part_key, &option_name);
            self.fill_part(&mut part, read, row);
            self.option_keys.insert(option_key.clone());
            self.part_keys.insert(part_key);
            if !choice.is_empty() {
                row.changes.push(("Option".to_owned(), choice.to_owned()));
            }
            let first = SelectionOption::new(option, &option_key, &option_name);
            selection.options.push(SelectionOption { parts: vec![part], ..first });
        }
        self.keys.insert(key);
        row.does = Does::Add;
        row.actions = vec![Action::PutSelection(selection)];
    }
}

/// The thing of this key or name.
fn named<'a, I>(text: &str, mut all: impl Iterator<Item = (I, &'a str, &'a str)>) -> Option<I> {
    all.find(|(_, key, name)| *key == text || name.eq_ignore_ascii_case(text)).map(|(id, ..)| id)
}

/// Whether a row says anything of the part of an option.
fn of_part(read: &ListRow) -> bool {
    let texts = [MapField::Supplier, MapField::Phase, MapField::Unit, MapField::Article];
    texts.into_iter().any(|f| !read.text(f).is_empty())
        || [read.unit_price, read.discount, read.waste, read.pack].iter().any(Option::is_some)
        || read.quantity.is_some()
        || read.lead.is_some()
        || read.taxable.is_some()
}

impl PastedRow {
    fn fault(&mut self, heading: &str, words: &str) {
        self.faults.push((heading.to_owned(), words.to_owned()));
    }

    fn note(&mut self, heading: &str, changed: bool, value: &str) {
        if changed {
            self.changes.push((heading.to_owned(), value.to_owned()));
        }
    }
}
