//! Room sheets: a room on a page, for who works there. Its floor and sizes, what was chosen, what is open, who works
//! there when.

use super::board::{state, suppliers};
use super::schedule::{self, who};
use super::words::{count, days, joined, maybe_date, maybe_day};
use super::{Block, Cell, FloorPlan, Paper, Table, TableColumn, TableRow};
use crate::engine::phase_groups::phases_of;
use crate::engine::takeoff::{room_size, wall_lengths};
use crate::engine::{Day, Figures};
use crate::model::quantity::shown;
use crate::model::{OpeningKind, Project, Room, RoomId, Selection};
use rust_decimal::Decimal;

/// The paper, of all rooms or of one: each begins a page.
pub fn paper(project: &Project, figures: &Figures, only: Option<RoomId>) -> Paper {
    let mut blocks = Vec::new();
    let rooms = || project.rooms.iter().filter(|room| only.is_none_or(|only| only == room.id));
    for room in rooms() {
        let mut own = vec![Block::Heading(joined(&[&room.name, &room.level], ", "))];
        own.extend(sheet(project, figures, room));
        blocks.push(Block::Sheet(own));
    }
    if blocks.is_empty() {
        blocks.push(Block::Text("There are no rooms yet.".to_owned()));
    }
    Paper {
        title: "Room sheets".to_owned(),
        project: project.settings.name.clone(),
        as_of: figures.as_of.date(),
        facts: vec![("Rooms".to_owned(), count(rooms().count() as i64, "room"))],
        blocks,
        wide: false,
        units: project.settings.units,
    }
}

/// What is said of a room.
pub fn sheet(project: &Project, figures: &Figures, room: &Room) -> Vec<Block> {
    let mut blocks = vec![Block::Plan(plan(project, room))];
    let own: Vec<(usize, &Selection)> = project
        .selections
        .iter()
        .enumerate()
        .filter(|(_, s)| s.room == room.id)
        .map(|(at, s)| (at, &**s))
        .collect();
    let (settled, open): (Vec<_>, Vec<_>) = own.iter().copied().partition(|(_, s)| s.live_option().is_some());
    for (title, table) in [
        ("Finishes", finishes(figures, &settled)),
        ("Still open", still_open(project, figures, &open)),
        ("Who works here", works(project, figures, &own)),
    ] {
        if !table.rows.is_empty() {
            blocks.push(Block::Table(titled(title, table)));
        }
    }
    if own.is_empty() {
        blocks.push(Block::Text("Nothing is to be selected in this room yet.".to_owned()));
    }
    blocks
}

/// A table under a title of its own, which takes less room than a heading.
fn titled(title: &str, mut table: Table) -> Table {
    table.rows.insert(0, TableRow::group(title));
    table
}

fn plan(project: &Project, room: &Room) -> FloorPlan {
    let units = project.settings.units;
    let size = room_size(room, units);
    let unit = units.length();
    let length = |n: Decimal| format!("{} {unit}", shown(n.round_dp(2)));
    let area = |n: Decimal| format!("{} {}", shown(n.round_dp(2)), units.area());
    let corners = room.shape.corners();
    let walls = wall_lengths(&corners).map(length).collect();
    let mut measures = Vec::new();
    // What nobody has measured is not zero.
    let mut put = |name: &str, value: Decimal, words: String| {
        let words = if value.is_zero() { "not measured".to_owned() } else { words };
        measures.push((name.to_owned(), words));
    };
    put("Floor", size.floor, area(size.floor));
    put("Ceiling height", room.height, length(room.height));
    put("Walls less openings", size.walls, area(size.walls));
    put("Around the room", size.perimeter, length(size.perimeter));
    put("Baseboard", size.baseboard, length(size.baseboard));
    if !room.openings.is_empty() {
        measures.push(("Openings".to_owned(), openings(room, unit)));
    }
    FloorPlan { corners, walls, measures }
}

fn openings(room: &Room, unit: &str) -> String {
    let words = room.openings.iter().map(|o| {
        let name = match o.kind {
            OpeningKind::Door => "door",
            OpeningKind::Window => "window",
            OpeningKind::Cased => "cased opening",
        };
        format!("{} {} by {} {unit}", count(i64::from(o.count), name), shown(o.width), shown(o.height))
    });
    words.collect::<Vec<_>>().join("\n")
}

fn finishes(figures: &Figures, selections: &[(usize, &Selection)]) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("Selection", 36),
        TableColumn::text("Choice and finish", 76),
        TableColumn::text("Needed", 24),
    ]);
    for (at, selection) in selections {
        let Some(option) = selection.live_option() else { continue };
        let live = figures.selections.get(*at).map_or(&[][..], |f| figures.parts_of(f));
        let needed = live.iter().filter(|p| p.live).filter_map(|p| p.need_date).min();
        let there = !option.parts.is_empty() && live.iter().filter(|p| p.live).all(|p| p.on_site);
        table.rows.push(TableRow::line(vec![
            Cell::with(selection.name.clone(), state(selection)),
            // On one line, so that a room fits on a page; who sells it and how much of it stands on the board.
            Cell::new(joined(&[&option.name, &option.finish], "; ")),
            Cell::new(if there { "on site".to_owned() } else { maybe_date(needed.map(Day::date)) }),
        ]));
    }
    table
}

fn still_open(project: &Project, figures: &Figures, selections: &[(usize, &Selection)]) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("Selection", 36),
        TableColumn::text("Candidates", 76),
        TableColumn::text("Decide by", 24),
    ]);
    for (at, selection) in selections {
        let names =
            selection.options.iter().map(|o| joined(&[&o.name, &o.finish, &suppliers(project, o)], ", "));
        let by = figures.selections.get(*at).and_then(|f| f.decide.by);
        table.rows.push(TableRow::line(vec![
            Cell::with(selection.name.clone(), state(selection)),
            Cell::new(names.collect::<Vec<_>>().join("\n")),
            Cell::new(maybe_day(by)),
        ]));
    }
    table
}

/// The phases that need something of the room, as they come, with what.
fn works(project: &Project, figures: &Figures, selections: &[(usize, &Selection)]) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("Phase", 38),
        TableColumn::text("Who", 24),
        TableColumn::text("Days", 36),
        TableColumn::text("For", 48),
    ]);
    // By phase: what it needs of the room.
    let mut needs: Vec<(usize, Vec<&str>)> = Vec::new();
    for (at, selection) in selections {
        for phase in phases_of(project, figures, *at) {
            let known = match needs.iter().position(|(known, _)| *known == phase) {
                Some(known) => known,
                None => {
                    needs.push((phase, Vec::new()));
                    needs.len() - 1
                }
            };
            if let Some((_, names)) = needs.get_mut(known)
                && !names.contains(&selection.name.as_str())
            {
                names.push(&selection.name);
            }
        }
    }
    // Those without a day stand at the end, the others of a day in the order of the project.
    let start = |at: usize| figures.phases.get(at).and_then(|f| f.forecast_start);
    needs.sort_by_key(|(at, _)| (start(*at).is_none(), start(*at), *at));
    for (at, names) in needs {
        let (Some(phase), Some(f)) = (project.phases.get(at), figures.phases.get(at)) else { continue };
        // A line each as far as it goes, so that a room fits on a page: what is done needs no more than that.
        let state = schedule::state(phase);
        let days = match phase.finished_on() {
            Some(_) => Cell::new(state),
            None => {
                Cell::with(days(f.forecast_start.map(Day::date), f.forecast_finish.map(Day::date)), state)
            }
        };
        table.rows.push(TableRow::line(vec![
            Cell::new(phase.name.clone()),
            Cell::new(who(project, phase)),
            days,
            Cell::new(names.join(", ")),
        ]));
    }
    table
}
