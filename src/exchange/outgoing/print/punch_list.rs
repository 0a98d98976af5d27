//! The punch list: room by room with pictures and boxes to tick, then crew by crew, to be handed to each.

use super::words::{joined, maybe_date};
use super::{Block, Cell, Paper, Table, TableColumn, TableRow};
use crate::engine::Figures;
use crate::exchange::picture::Picture;
use crate::model::words::counted;
use crate::model::{Crew, Project, Punch, PunchStands, RoomId};
use chrono::NaiveDate;
use std::path::Path;

/// The paper, of the house or of a room. Pictures are looked for from the folder of the project file, where one is given.
pub fn paper(project: &Project, figures: &Figures, beside: Option<&Path>, only: Option<RoomId>) -> Paper {
    let as_of = figures.as_of.date();
    let found: Vec<(&Punch, PunchStands)> = project
        .punch
        .iter()
        .filter(|p| only.is_none() || p.room == only)
        .filter_map(|p| Some((p, p.stands(as_of)?)))
        .collect();
    let count = |wanted: &[PunchStands]| found.iter().filter(|(_, stands)| wanted.contains(stands)).count();
    let open = count(&[PunchStands::Late, PunchStands::Open]);
    let facts = [
        ("To be put right", open),
        ("Late", count(&[PunchStands::Late])),
        ("To be looked at", count(&[PunchStands::Done])),
        ("Good", count(&[PunchStands::Checked])),
    ];
    let mut blocks = Vec::new();
    if found.is_empty() {
        blocks.push(Block::Text("Nothing is on the punch list.".to_owned()));
    }
    // What is good stands in the count alone: the paper is for what is left to do.
    let left: Vec<(&Punch, PunchStands)> =
        found.iter().copied().filter(|(_, stands)| *stands != PunchStands::Checked).collect();
    if left.is_empty() && !found.is_empty() {
        blocks.push(Block::Text("All of it is put right and looked at.".to_owned()));
    }
    let rooms = project.rooms.iter().map(|room| (Some(room.id), joined(&[&room.name, &room.level], ", ")));
    for (room, name) in rooms.chain([(None, "Outside of all rooms".to_owned())]) {
        let own: Vec<(&Punch, PunchStands)> = left.iter().copied().filter(|(p, _)| p.room == room).collect();
        if !own.is_empty() {
            blocks.push(Block::Heading(name));
            blocks.push(Block::Table(by_room(project, &own, as_of, beside)));
        }
    }
    let by_crew = by_crew(project, &left, as_of);
    if !by_crew.rows.is_empty() {
        blocks.push(Block::Heading("By who puts it right".to_owned()));
        blocks.push(Block::Table(by_crew));
    }
    if !left.is_empty() {
        blocks.push(Block::Lines("Found on the walk-through".to_owned(), 4));
    }
    Paper {
        title: "Punch list".to_owned(),
        project: project.settings.name.clone(),
        as_of,
        facts: facts.into_iter().map(|(name, n)| (name.to_owned(), n.to_string())).collect(),
        blocks,
        wide: false,
        units: project.settings.units,
    }
}

/// How something stands, in words.
pub fn state(punch: &Punch, as_of: NaiveDate) -> String {
    match punch.stands(as_of) {
        Some(PunchStands::Late) => {
            let days = usize::try_from(punch.days_late(as_of)).unwrap_or(0);
            counted(days, "day late", "days late")
        }
        Some(PunchStands::Open) => "to be put right".to_owned(),
        Some(PunchStands::Done) => format!("done {}, to be looked at", maybe_date(punch.done_on)),
        Some(PunchStands::Checked) => format!("good since {}", maybe_date(punch.checked_on)),
        None => "not found yet".to_owned(),
    }
}

fn crew<'a>(project: &'a Project, punch: &Punch) -> Option<&'a Crew> {
    punch.crew.and_then(|id| project.crew(id))
}

fn by_room(
    project: &Project,
    own: &[(&Punch, PunchStands)],
    as_of: NaiveDate,
    beside: Option<&Path>,
) -> Table {
    let mut columns = vec![
        TableColumn::frame("Good", 14),
        TableColumn::text("What is to be put right", 62),
        TableColumn::text("Who", 30),
        TableColumn::text("Due", 20),
        TableColumn::text("How it stands", 28),
    ];
    let pictured = beside.is_some() && own.iter().any(|(punch, _)| !punch.picture.is_empty());
    if pictured {
        columns.push(TableColumn::picture("Picture", 26));
    }
    let mut table = Table::new(columns);
    for (punch, _) in own {
        let mut more =
            punch.found_on.map_or(String::new(), |day| format!("found {}", super::words::date(day)));
        let picture = match beside.filter(|_| !punch.picture.is_empty()) {
            Some(beside) => match Picture::for_paper(&beside.join(&punch.picture)) {
                Ok(picture) => Some(picture),
                Err(why) => {
                    more = joined(&[&more, &format!("picture {why}")], "\n");
                    None
                }
            },
            None => None,
        };
        let who = crew(project, punch);
        let mut cells = vec![
            Cell::default(),
            Cell::with(punch.what.clone(), more),
            Cell::with(who.map_or("nobody yet", |c| c.name.as_str()), who.map_or("", |c| c.phone.trim())),
            Cell::new(maybe_date(punch.due)),
            Cell::new(state(punch, as_of)),
        ];
        if pictured {
            cells.push(Cell { picture, ..Cell::default() });
        }
        table.rows.push(TableRow::line(cells));
    }
    table
}

fn by_crew(project: &Project, left: &[(&Punch, PunchStands)], as_of: NaiveDate) -> Table {
    let mut table = Table::new(vec![
        TableColumn::frame("Done", 14),
        TableColumn::text("What", 62),
        TableColumn::text("Room", 34),
        TableColumn::text("Due", 20),
        TableColumn::text("How it stands", 28),
    ]);
    let crews = project.crews.iter().map(|c| (Some(c.id), joined(&[&c.name, &c.trade, &c.phone], ", ")));
    for (id, name) in crews.chain([(None, "Nobody has said who".to_owned())]) {
        let mut own = left
            .iter()
            .filter(|(p, stands)| p.crew == id && matches!(stands, PunchStands::Late | PunchStands::Open))
            .peekable();
        if own.peek().is_some() {
            table.rows.push(TableRow::group(name));
        }
        for (punch, _) in own {
            let room = punch.room.and_then(|id| project.room(id)).map_or("", |room| room.name.as_str());
            table.rows.push(TableRow::line(vec![
                Cell::default(),
                Cell::new(punch.what.clone()),
                Cell::new(room),
                Cell::new(maybe_date(punch.due)),
                Cell::new(state(punch, as_of)),
            ]));
        }
    }
    table
}
