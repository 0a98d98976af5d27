//! Shared builders: small projects from compact tables.
//!
//! Every test program uses some of them, none uses all.
#![allow(dead_code)]

use chrono::NaiveDate;
use needline::engine::{Day, Figures, PartFigures, PhaseFigures, compute};
use needline::model::{
    HolidayRule, LagUnit, Link, LinkId, LinkKind, Money, OptionId, OptionState, Part, PartId, Phase, PhaseId,
    PhaseKind, Project, Room, RoomId, Selection, SelectionId, SelectionOption, Shape, Supplier, SupplierId,
    Use, Weekdays,
};
use rust_decimal::Decimal;
use std::sync::Arc;

/// A date from its ISO text.
pub fn date(text: &str) -> NaiveDate {
    NaiveDate::parse_from_str(text, "%Y-%m-%d").unwrap_or_else(|e| panic!("{text}: {e}"))
}

/// A day from its ISO text.
pub fn day(text: &str) -> Day {
    Day::from(date(text))
}

/// A decimal from its text.
pub fn dec(text: &str) -> Decimal {
    text.parse().unwrap_or_else(|e| panic!("{text}: {e}"))
}

/// An amount from its text.
pub fn money(text: &str) -> Money {
    Money::new(dec(text))
}

/// A project with Monday to Friday weeks and the federal holidays.
pub fn project(start: &str) -> Project {
    Project::new("Test house", date(start))
}

/// A project in which every day is worked, so that indices are day offsets.
pub fn plain(start: &str) -> Project {
    let mut p = project(start);
    p.settings.weekdays = Weekdays::ALL;
    p.settings.holidays.rule = HolidayRule::None;
    p
}

/// Adds phases: key, working days, and predecessors as `A`, `B SS+3`, `C FS-2`, `D FS+3e` (elapsed), with commas
/// between. Predecessors may stand further down.
pub fn add_phases<'a>(p: &mut Project, rows: impl IntoIterator<Item = (&'a str, i32, &'a str)> + Clone) {
    for (key, days, _) in rows.clone() {
        let id = PhaseId(p.fresh_id());
        let mut phase = Phase::new(id, key, key, days);
        if days == 0 {
            phase.kind = PhaseKind::Milestone;
        }
        Arc::make_mut(&mut p.phases).push(phase);
    }
    for (key, _, preds) in rows {
        for pred in preds.split(',').map(str::trim).filter(|t| !t.is_empty()) {
            let (before, how) = pred.split_once(' ').unwrap_or((pred, "FS"));
            let (word, lag) = how.split_at(2);
            let kind = LinkKind::ALL.into_iter().find(|(w, _)| *w == word).unwrap().1;
            let unit = if lag.ends_with('e') { LagUnit::Elapsed } else { LagUnit::Working };
            let lag = lag.trim_end_matches('e').trim_start_matches('+');
            let lag = if lag.is_empty() { 0 } else { lag.parse().unwrap() };
            let link = Link {
                id: LinkId(p.fresh_id()),
                before: phase_id(p, before),
                after: phase_id(p, key),
                kind,
                lag,
                unit,
            };
            Arc::make_mut(&mut p.links).push(link);
        }
    }
}

/// The number of a phase by its key.
pub fn phase_id(p: &Project, key: &str) -> PhaseId {
    p.phases.iter().find(|f| f.key == key).unwrap_or_else(|| panic!("no phase {key}")).id
}

/// Edits a phase in place, past the checks of `apply`.
pub fn edit_phase(p: &mut Project, key: &str, edit: impl FnOnce(&mut Phase)) {
    edit(Arc::make_mut(&mut p.phases).iter_mut().find(|f| f.key == key).unwrap());
}

/// Adds a supplier that is open Monday to Friday, changed by `edit`.
pub fn add_supplier(p: &mut Project, edit: impl FnOnce(&mut Supplier)) -> SupplierId {
    let id = SupplierId(p.fresh_id());
    let key = format!("s{}", id.0);
    let mut supplier = Supplier::new(id, &key, &key);
    edit(&mut supplier);
    Arc::make_mut(&mut p.suppliers).push(supplier);
    id
}

/// Adds a rectangular room.
pub fn add_room(p: &mut Project, length: &str, width: &str, height: &str) -> RoomId {
    let id = RoomId(p.fresh_id());
    Arc::make_mut(&mut p.rooms).push(Room {
        id,
        key: format!("r{}", id.0),
        name: format!("Room {}", id.0),
        level: String::new(),
        shape: Shape::Rectangle { length: dec(length), width: dec(width) },
        height: dec(height),
        openings: Vec::new(),
        used_as: Use::Other,
    });
    id
}

/// The first room of the project, made when there is none.
pub fn some_room(p: &mut Project) -> RoomId {
    match p.rooms.first() {
        Some(room) => room.id,
        None => add_room(p, "10", "12", "8"),
    }
}

/// Adds a selection with an allowance and options of the given states, each with the given number of plain parts.
pub fn add_selection(p: &mut Project, allowance: &str, options: &[(OptionState, usize)]) -> SelectionId {
    let room = some_room(p);
    let id = SelectionId(p.fresh_id());
    let options = options
        .iter()
        .map(|(state, parts)| {
            let id = OptionId(p.fresh_id());
            let parts = (0..*parts)
                .map(|_| {
                    let id = PartId(p.fresh_id());
                    Part::new(id, &format!("p{}", id.0), &format!("Part {}", id.0))
                })
                .collect();
            let (key, name) = (format!("o{}", id.0), format!("Option {}", id.0));
            SelectionOption { state: *state, parts, ..SelectionOption::new(id, &key, &name) }
        })
        .collect();
    Arc::make_mut(&mut p.selections).push(Arc::new(Selection {
        id,
        key: format!("sel{}", id.0),
        room,
        category: "Fixtures".to_owned(),
        name: format!("Selection {}", id.0),
        allowance: money(allowance),
        specs: Vec::new(),
        decide_on: None,
        notes: String::new(),
        options,
    }));
    id
}

/// Edits a selection in place.
pub fn edit_selection(p: &mut Project, id: SelectionId, edit: impl FnOnce(&mut Selection)) {
    let list = Arc::make_mut(&mut p.selections);
    edit(Arc::make_mut(list.iter_mut().find(|s| s.id == id).unwrap()));
}

/// Edits a part in place, past the checks of `apply`.
pub fn edit_part(p: &mut Project, id: PartId, edit: impl FnOnce(&mut Part)) {
    let (selection, _, _) = p.part(id).unwrap();
    let selection = selection.id;
    edit_selection(p, selection, |s| {
        edit(s.options.iter_mut().flat_map(|o| &mut o.parts).find(|p| p.id == id).unwrap());
    });
}

/// Adds a chosen part in a selection of its own, changed by `edit`.
pub fn add_part(p: &mut Project, edit: impl FnOnce(&mut Part)) -> PartId {
    let selection = add_selection(p, "0", &[(OptionState::Chosen, 1)]);
    let id = p.selection(selection).unwrap().options[0].parts[0].id;
    edit_part(p, id, edit);
    id
}

/// The figures on a day given as text.
pub fn figures(p: &Project, as_of: &str) -> Figures {
    compute(p, date(as_of))
}

/// Figures of a phase by its key.
pub fn phase<'a>(f: &'a Figures, p: &Project, key: &str) -> &'a PhaseFigures {
    f.phase(phase_id(p, key)).unwrap()
}

/// Figures of a part.
pub fn part(f: &Figures, id: PartId) -> &PartFigures {
    f.part(id).unwrap()
}

/// Phases and links for [`add_phases`], with owned texts.
#[derive(Debug, Clone)]
pub struct Table(pub Vec<(String, i32, String)>);

impl Table {
    /// The rows as `add_phases` takes them.
    pub fn rows(&self) -> impl Iterator<Item = (&str, i32, &str)> + Clone {
        self.0.iter().map(|(key, days, preds)| (key.as_str(), *days, preds.as_str()))
    }
}

/// A random network of 1 to 8 phases; links lead forward and have any type and lag.
pub fn any_network() -> impl proptest::strategy::Strategy<Value = Table> {
    use proptest::prelude::*;
    let link = (0_usize..64, 0_usize..64, 0_usize..6, -3_i32..6);
    (proptest::collection::vec(0_i32..7, 1..9), proptest::collection::vec(link, 0..14)).prop_map(
        |(days, links)| {
            let mut rows: Vec<(String, i32, String)> =
                days.iter().enumerate().map(|(i, d)| (format!("n{i}"), *d, String::new())).collect();
            for (from, to, kind, lag) in links {
                let (from, to) = (from % days.len(), to % days.len());
                if from < to {
                    let kind = ["FS", "SS", "FF", "SF", "FSe", "SSe"][kind];
                    let unit = if kind.ends_with('e') { "e" } else { "" };
                    rows[to].2 += &format!(",n{from} {}{lag:+}{unit}", &kind[..2]);
                }
            }
            Table(rows)
        },
    )
}
