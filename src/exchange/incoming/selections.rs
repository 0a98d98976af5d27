//! A list of selections from elsewhere against a project: what would be added.
//!
//! A row names a selection in a room, and may bring an option with one part. Rows of the same selection bring several
//! options. Rooms and suppliers that are not there are made only when the user says so.

use super::changes::{fill, joined};
use super::read::{ListRow, Reading};
use crate::exchange::notice::Notice;
use crate::model::ids::key_from_name;
use crate::model::words::counted;
use crate::model::{
    Action, MapField, Mapping, Money, OptionId, OptionState, Part, PartId, PhaseId, Project, Room, RoomId,
    Selection, SelectionId, SelectionOption, Shape, Supplier, SupplierId, Use, validate,
};
use rust_decimal::Decimal;
use std::collections::{BTreeSet, HashMap, HashSet};

/// What may be made on the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct May {
    /// Rooms that are not there.
    pub rooms: bool,
    /// Suppliers that are not there.
    pub suppliers: bool,
    /// A row without a room belongs to the room of the row above.
    pub fill_down: bool,
}

/// What a list of selections would add.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Plan {
    /// In words, one a row that adds something: the row, and what.
    pub adds: Vec<(usize, String)>,
    /// What is wrong with rows that could be read by themselves.
    pub bad: Vec<Notice>,
    /// Rows that say what is there already.
    pub there: Vec<Notice>,
    /// Rooms that are not in the project.
    pub unknown_rooms: BTreeSet<String>,
    /// Suppliers that are not in the project.
    pub unknown_suppliers: BTreeSet<String>,
    counts: [usize; 4],
    actions: Vec<Action>,
    next_id: u32,
}

impl Plan {
    /// What it would add, counted in words.
    pub fn summary(&self) -> Vec<String> {
        let names = [
            ("room", "rooms"),
            ("supplier", "suppliers"),
            ("selection", "selections"),
            ("option", "options"),
        ];
        let some = self.counts.iter().zip(names).filter(|(n, _)| **n > 0);
        some.map(|(n, (one, many))| counted(*n, one, many)).collect()
    }

    /// All of it as one step, with the mapping to be remembered. `None` when nothing would be added.
    pub fn action(&self, project: &Project, mapping: Option<Mapping>, file: &str) -> Option<Action> {
        if self.actions.is_empty() {
            return None;
        }
        let mut actions = self.actions.clone();
        if let Some(mut mapping) = mapping {
            if !project.mappings.iter().any(|m| m.id == mapping.id) {
                mapping.id.0 = self.next_id;
            }
            if !project.mappings.contains(&mapping) {
                actions.push(Action::PutMapping(mapping));
            }
        }
        Some(Action::Batch { label: format!("{} from {file}", joined(&self.summary())), actions })
    }
}

/// Plans what the rows add.
pub fn plan(
    project: &Project,
    reading: &Reading,
    supplier: Option<SupplierId>,
    may: May,
    place: &str,
) -> Plan {
    let mut planner = Planner::new(project, supplier, may, place);
    let mut room = String::new();
    for row in &reading.rows {
        if !row.text(MapField::Room).is_empty() {
            room = row.text(MapField::Room).to_owned();
        }
        let of_row = if row.text(MapField::Room).is_empty() && may.fill_down {
            room.as_str()
        } else {
            row.text(MapField::Room)
        };
        if let Err((column, why)) = planner.row(row, of_row) {
            let notice = match column {
                Some(field) => Notice::cell(place, row.number, &field.title().to_lowercase(), why),
                None => Notice::row(place, row.number, why),
            };
            planner.plan.bad.push(notice);
        }
    }
    planner.finish()
}

type Refused = (Option<MapField>, String);

struct Planner<'a> {
    project: &'a Project,
    supplier: Option<SupplierId>,
    may: May,
    place: &'a str,
    next_id: u32,
    rooms: HashMap<String, RoomId>,
    suppliers: HashMap<String, SupplierId>,
    phases: HashMap<String, PhaseId>,
    /// By room and name, and by key, both in small letters.
    selections: HashMap<(RoomId, String), SelectionId>,
    keys: HashMap<String, SelectionId>,
    /// Names of the options of each selection, in small letters.
    options: HashMap<SelectionId, Vec<String>>,
    chosen: BTreeSet<SelectionId>,
    taken: [HashSet<String>; 5],
    new_rooms: Vec<Room>,
    new_suppliers: Vec<Supplier>,
    /// New selections, and options for those that are there.
    new_selections: Vec<Selection>,
    new_at: HashMap<SelectionId, usize>,
    new_options: Vec<(SelectionId, SelectionOption)>,
    states: Vec<(OptionId, OptionState)>,
    plan: Plan,
}

impl<'a> Planner<'a> {
    fn new(project: &'a Project, supplier: Option<SupplierId>, may: May, place: &'a str) -> Planner<'a> {
        let mut rooms = HashMap::new();
        for room in project.rooms.iter().rev() {
            rooms.insert(room.name.to_lowercase(), room.id);
        }
        for room in project.rooms.iter() {
            rooms.insert(room.key.to_lowercase(), room.id);
        }
        let mut suppliers = HashMap::new();
        for s in project.suppliers.iter().rev() {
            suppliers.insert(s.name.to_lowercase(), s.id);
        }
        for s in project.suppliers.iter() {
            suppliers.insert(s.key.to_lowercase(), s.id);
        }
        let mut phases = HashMap::new();
        for p in project.phases.iter().rev() {
            phases.insert(p.name.to_lowercase(), p.id);
        }
        for p in project.phases.iter() {
            phases.insert(p.key.to_lowercase(), p.id);
        }
        let options = |s: &Selection| s.options.iter().map(|o| o.name.to_lowercase()).collect::<Vec<_>>();
        let keys = |of: Vec<&String>| of.into_iter().cloned().collect::<HashSet<String>>();
        Planner {
            project,
            supplier,
            may,
            place,
            next_id: project.next_id,
            rooms,
            suppliers,
            phases,
            selections: project
                .selections
                .iter()
                .rev()
                .map(|s| ((s.room, s.name.to_lowercase()), s.id))
                .collect(),
            keys: project.selections.iter().map(|s| (s.key.to_lowercase(), s.id)).collect(),
            options: project.selections.iter().map(|s| (s.id, options(s))).collect(),
            chosen: project.selections.iter().filter(|s| s.choice().is_some()).map(|s| s.id).collect(),
            taken: [
                keys(project.rooms.iter().map(|r| &r.key).collect()),
                keys(project.suppliers.iter().map(|s| &s.key).collect()),
                keys(project.selections.iter().map(|s| &s.key).collect()),
                keys(project.selections.iter().flat_map(|s| &s.options).map(|o| &o.key).collect()),
                keys(project.all_parts().map(|(_, _, p)| &p.key).collect()),
            ],
            new_rooms: Vec::new(),
            new_suppliers: Vec::new(),
            new_selections: Vec::new(),
            new_at: HashMap::new(),
            new_options: Vec::new(),
            states: Vec::new(),
            plan: Plan::default(),
        }
    }

    fn fresh(&mut self) -> u32 {
        let id = self.next_id;
        self.next_id += 1;
        id
    }

    fn key(&mut self, sort: usize, name: &str) -> String {
        // As `key_from_name` does, without going through all keys for each.
        let base = key_from_name(name, std::iter::empty());
        let mut key = base.clone();
        let mut n = 2_u32;
        while !self.taken[sort].insert(key.clone()) {
            key = format!("{base}_{n}");
            n += 1;
        }
        key
    }

    fn row(&mut self, row: &ListRow, room: &str) -> Result<(), Refused> {
        let name = row.text(MapField::Selection);
        let key = row.text(MapField::Key);
        let by_key = self.keys.get(&key.to_lowercase()).copied().filter(|_| !key.is_empty());
        if name.is_empty() && by_key.is_none() {
            return Err((
                Some(MapField::Selection),
                "this row names no selection; write its name".to_owned(),
            ));
        }
        // Everything that can be refused is looked at before anything is made.
        let known = match by_key {
            Some(id) => Some(id),
            None => {
                let known_room = self.find_room(room)?;
                known_room.and_then(|r| self.selections.get(&(r, name.to_lowercase())).copied())
            }
        };
        let option = self.option_name(row);
        let has_option = !option.is_empty();
        if has_option {
            self.find_supplier(row)?;
            self.find_phase(row)?;
        }
        if let Some(id) = known {
            let doubled = self.options.get(&id).is_some_and(|names| names.contains(&option.to_lowercase()));
            if !has_option || doubled {
                let what = if has_option { format!("{option} for {name}") } else { name.to_owned() };
                self.plan.there.push(Notice::row(self.place, row.number, format!("{what} is there already")));
                return Ok(());
            }
        }
        let part = has_option.then(|| self.part(row, &option)).transpose()?;
        let state = row.state.unwrap_or_default();
        if state == OptionState::Chosen && known.is_some_and(|id| self.chosen.contains(&id)) {
            return Err((Some(MapField::State), "this selection has a choice already; keep one".to_owned()));
        }
        let mut words = Vec::new();
        let id = match known {
            Some(id) => id,
            None => self.add_selection(row, room, &mut words)?,
        };
        if let Some((mut part, needs_supplier)) = part {
            if let Some(supplier) = needs_supplier {
                part.supplier = Some(self.add_supplier(&supplier, &mut words));
            }
            self.add_option(row, id, option, part, state, &mut words);
        }
        self.plan.adds.push((row.number, words.join(", ")));
        Ok(())
    }

    /// The name of the option of a row: its own, else that of its part, where the row brings anything to buy.
    fn option_name(&self, row: &ListRow) -> String {
        let own = [MapField::Option, MapField::Name].into_iter().map(|f| row.text(f)).find(|t| !t.is_empty());
        let buys = row.unit_price.is_some() || row.lead.is_some() || !row.text(MapField::Article).is_empty();
        match own {
            Some(own) => own.to_owned(),
            None if buys => row.text(MapField::Selection).to_owned(),
            None => String::new(),
        }
    }

    fn find_room(&mut self, room: &str) -> Result<Option<RoomId>, Refused> {
        if room.is_empty() {
            return Err((Some(MapField::Room), "this row names no room; write one".to_owned()));
        }
        let found = self.rooms.get(&room.to_lowercase()).copied();
        if found.is_none() {
            self.plan.unknown_rooms.insert(room.to_owned());
            if !self.may.rooms {
                return Err((
                    Some(MapField::Room),
                    format!("there is no room `{room}`; add it, or let missing rooms be made"),
                ));
            }
        }
        Ok(found)
    }

    fn find_supplier(&mut self, row: &ListRow) -> Result<(), Refused> {
        let name = row.text(MapField::Supplier);
        if name.is_empty() || self.suppliers.contains_key(&name.to_lowercase()) {
            return Ok(());
        }
        self.plan.unknown_suppliers.insert(name.to_owned());
        if self.may.suppliers {
            return Ok(());
        }
        Err((
            Some(MapField::Supplier),
            format!("there is no supplier `{name}`; add it, or let missing suppliers be made"),
        ))
    }

    fn find_phase(&self, row: &ListRow) -> Result<Option<PhaseId>, Refused> {
        let name = row.text(MapField::Phase);
        if name.is_empty() {
            return Ok(None);
        }
        let found = self.phases.get(&name.to_lowercase()).copied();
        found
            .map(Some)
            .ok_or_else(|| (Some(MapField::Phase), format!("there is no phase `{name}`; add it first")))
    }

    /// The part of a row, and the supplier that has to be made for it.
    fn part(&mut self, row: &ListRow, option: &str) -> Result<(Part, Option<String>), Refused> {
        let name = if row.text(MapField::Name).is_empty() { option } else { row.text(MapField::Name) };
        let mut part = Part::new(PartId(0), "part", name);
        fill(&mut part, row);
        part.phase = self.find_phase(row)?;
        if let Some(quantity) = &row.quantity {
            part.quantity = quantity.clone();
        }
        part.waste_pct = row.waste.unwrap_or_default();
        let supplier = row.text(MapField::Supplier);
        part.supplier = if supplier.is_empty() {
            self.supplier
        } else {
            self.suppliers.get(&supplier.to_lowercase()).copied()
        };
        validate::part_alone(&part).map_err(|why| (None, why))?;
        let missing = (!supplier.is_empty() && part.supplier.is_none()).then(|| supplier.to_owned());
        Ok((part, missing))
    }

    fn add_selection(
        &mut self,
        row: &ListRow,
        room: &str,
        words: &mut Vec<String>,
    ) -> Result<SelectionId, Refused> {
        let name = row.text(MapField::Selection).to_owned();
        let room_id = match self.rooms.get(&room.to_lowercase()) {
            Some(id) => *id,
            None => {
                let id = RoomId(self.fresh());
                let key = self.key(0, room);
                let shape = Shape::default();
                let new = Room {
                    id,
                    key,
                    name: room.to_owned(),
                    level: String::new(),
                    shape,
                    height: Decimal::ZERO,
                    openings: Vec::new(),
                    used_as: Use::of_name(room),
                };
                self.rooms.insert(room.to_lowercase(), id);
                self.new_rooms.push(new);
                words.push(format!("add room {room}"));
                id
            }
        };
        let id = SelectionId(self.fresh());
        let wanted = row.text(MapField::Key).to_owned();
        let key = if wanted.is_empty() {
            let room_key =
                self.project.room(room_id).or_else(|| self.new_rooms.iter().find(|r| r.id == room_id));
            let base = format!("{} {name}", room_key.map_or("", |r| r.key.as_str()));
            self.key(2, &base)
        } else {
            self.taken[2].insert(wanted.clone());
            wanted
        };
        self.keys.insert(key.to_lowercase(), id);
        self.selections.insert((room_id, name.to_lowercase()), id);
        words.push(format!("add {name}"));
        self.new_at.insert(id, self.new_selections.len());
        self.new_selections.push(Selection {
            id,
            key,
            room: room_id,
            category: row.text(MapField::Category).to_owned(),
            name,
            allowance: Money::new(row.allowance.unwrap_or_default()),
            decide_on: row.decide_on,
            notes: row.text(MapField::Notes).to_owned(),
            specs: Vec::new(),
            options: Vec::new(),
        });
        Ok(id)
    }

    fn add_supplier(&mut self, name: &str, words: &mut Vec<String>) -> SupplierId {
        if let Some(id) = self.suppliers.get(&name.to_lowercase()) {
            return *id;
        }
        let id = SupplierId(self.fresh());
        let key = self.key(1, name);
        self.suppliers.insert(name.to_lowercase(), id);
        self.new_suppliers.push(Supplier::new(id, &key, name));
        words.push(format!("add supplier {name}"));
        id
    }

    fn add_option(
        &mut self,
        row: &ListRow,
        selection: SelectionId,
        name: String,
        mut part: Part,
        state: OptionState,
        words: &mut Vec<String>,
    ) {
        let id = OptionId(self.fresh());
        part.id = PartId(self.fresh());
        let existing = self.project.selection(selection).map(|s| s.key.clone());
        let base = existing
            .or_else(|| {
                self.new_at.get(&selection).and_then(|at| self.new_selections.get(*at)).map(|s| s.key.clone())
            })
            .unwrap_or_default();
        let key = self.key(3, &format!("{base} {name}"));
        part.key = self.key(4, &format!("{base} {}", part.name));
        self.options.entry(selection).or_default().push(name.to_lowercase());
        words.push(format!("add option {name}"));
        let finish = row.text(MapField::Finish).to_owned();
        let option =
            SelectionOption { finish, state, parts: vec![part], ..SelectionOption::new(id, &key, &name) };
        if state == OptionState::Chosen {
            self.chosen.insert(selection);
        }
        match self.new_at.get(&selection).and_then(|at| self.new_selections.get_mut(*at)) {
            Some(new) => new.options.push(option),
            None => {
                // An option that joins others comes as a candidate; its state is said after it.
                if state != OptionState::Candidate {
                    self.states.push((option.id, state));
                }
                self.new_options.push((selection, option));
            }
        }
    }

    fn finish(self) -> Plan {
        let mut plan = self.plan;
        let options =
            self.new_options.len() + self.new_selections.iter().map(|s| s.options.len()).sum::<usize>();
        plan.counts = [self.new_rooms.len(), self.new_suppliers.len(), self.new_selections.len(), options];
        plan.next_id = self.next_id;
        plan.actions.extend(self.new_rooms.into_iter().map(Action::PutRoom));
        plan.actions.extend(self.new_suppliers.into_iter().map(Action::PutSupplier));
        plan.actions.extend(self.new_selections.into_iter().map(Action::PutSelection));
        plan.actions.extend(self.new_options.into_iter().map(|(s, o)| Action::PutOption(s, o)));
        plan.actions.extend(self.states.into_iter().map(|(id, state)| match state {
            OptionState::Leaning => Action::Lean(id),
            _ => Action::Choose(id),
        }));
        plan
    }
}
