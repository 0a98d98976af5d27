//! The binder of the house: what is in each room with its finish, who sold it, its warranty and its manual; the colors to
//! touch up with; who did the work; the visits that were passed; what is still on the punch list.

use super::board::{look, suppliers};
use super::inspections::NOTE;
use super::words::{count, date, joined, maybe_date, quantity};
use super::{Block, Board, BoardCard, BoardTile, Cell, Paper, Table, TableColumn, TableRow, punch_list};
use crate::engine::closing_out::{InHouse, in_house};
use crate::engine::{Day, Figures};
use crate::model::words::counted;
use crate::model::{Drawing, Handover, OptionId, PhaseKind, Project, Room};
use std::path::Path;

/// The paper. Pictures are looked for from the folder of the project file, where one is given.
pub fn paper(project: &Project, figures: &Figures, beside: Option<&Path>) -> Paper {
    let things: Vec<InHouse<'_>> = in_house(project, figures).collect();
    let mut blocks = vec![Block::Chapter("What is in the house".to_owned())];
    let awaited = figures.parts.iter().filter(|f| f.live && !f.on_site && !f.built_in).count();
    if awaited > 0 {
        blocks.push(Block::Text(format!(
            "The work is not over: {} still to come and not in this binder.",
            counted(awaited, "part is", "parts are")
        )));
    }
    if things.is_empty() {
        blocks.push(Block::Text("Nothing that was chosen has come yet.".to_owned()));
    }
    for room in project.rooms.iter() {
        let own: Vec<&InHouse<'_>> = things.iter().filter(|t| t.selection.room == room.id).collect();
        if !own.is_empty() {
            blocks.extend(of_room(project, figures, room, &own, beside));
        }
    }
    for (title, table) in [
        ("Finishes and colors", finishes(project, &things)),
        ("Warranties by their last day", warranties(project, figures, &things)),
        ("Who did the work", who(project)),
        ("Visits that were passed", visits(project, figures)),
        ("Permits", permits(project, figures)),
        ("Still to be put right", punch(project, figures)),
    ] {
        if !table.rows.is_empty() {
            blocks.push(Block::Chapter(title.to_owned()));
            blocks.push(Block::Table(table));
        }
    }
    blocks.push(Block::Note(NOTE.to_owned()));
    let noted = |has: fn(&Handover) -> bool| things.iter().filter(|t| t.handover.is_some_and(has)).count();
    Paper {
        title: "Binder of the house".to_owned(),
        project: project.settings.name.clone(),
        as_of: figures.as_of.date(),
        facts: vec![
            ("Things in the house".to_owned(), things.len().to_string()),
            ("With a warranty noted".to_owned(), noted(|h| h.warranty_until.is_some()).to_string()),
            ("With a manual".to_owned(), noted(|h| !h.manual.is_empty()).to_string()),
            (
                "Built in".to_owned(),
                project.settings.year_built.map_or("not noted".to_owned(), |y| y.to_string()),
            ),
        ],
        blocks,
        wide: false,
        units: project.settings.units,
    }
}

/// A room: how it looks, then each part that was bought.
fn of_room(
    project: &Project,
    figures: &Figures,
    room: &Room,
    own: &[&InHouse<'_>],
    beside: Option<&Path>,
) -> Vec<Block> {
    let mut seen: Vec<OptionId> = Vec::new();
    let mut cards = Vec::new();
    for thing in own {
        if seen.contains(&thing.option.id) {
            continue;
        }
        seen.push(thing.option.id);
        let drawing = Drawing::of(project, thing.selection, thing.option);
        let approved = thing.option.approval(figures.as_of.date());
        let approved = approved.map_or(String::new(), |(who, on)| format!("approved by {who}, {}", date(on)));
        let mut more = vec![suppliers(project, thing.option), approved];
        more.retain(|line| !line.is_empty());
        cards.push(BoardCard {
            title: thing.selection.name.clone(),
            state: String::new(),
            open: false,
            tiles: vec![BoardTile {
                look: look(thing.option, drawing, beside),
                told: drawing.told(&thing.option.finish),
                name: thing.option.name.clone(),
                swatch: drawing.color,
                finish: thing.option.finish.clone(),
                more,
            }],
        });
    }
    let mut table = Table::new(vec![
        TableColumn::text("Part", 44),
        TableColumn::text("Supplier and article", 36),
        TableColumn::text("Serial number", 26),
        TableColumn::text("Warranty until", 24),
        TableColumn::text("Manual and note", 46),
    ]);
    for thing in own {
        table.rows.push(TableRow::line(row(project, figures, thing, beside)));
    }
    vec![
        Block::Heading(joined(&[&room.name, &room.level], ", ")),
        Block::Board(Board { cards }),
        Block::Table(table),
    ]
}

fn row(project: &Project, figures: &Figures, thing: &InHouse<'_>, beside: Option<&Path>) -> Vec<Cell> {
    let (part, option) = (thing.part, thing.option);
    let name = if part.name == option.name || part.name.is_empty() {
        option.name.clone()
    } else {
        format!("{}: {}", thing.selection.name, part.name)
    };
    let f = figures.part(part.id).filter(|f| f.takeoff_error.is_none());
    let amount = f.map_or(String::new(), |f| quantity(Some(f.quantity_to_buy), &part.unit));
    let came = thing.came.map_or(String::new(), |day| format!("came {}", date(day.date())));
    let supplier = part.supplier.and_then(|id| project.supplier(id));
    let (note, manual) = thing.handover.map_or(("", String::new()), |h| (h.note.as_str(), address(h)));
    let is_file = thing.handover.is_some_and(|h| !h.manual.is_empty() && !h.is_page());
    let lost = is_file
        && beside
            .is_some_and(|beside| !beside.join(thing.handover.map_or("", |h| h.manual.as_str())).is_file());
    vec![
        Cell::with(name, joined(&[&amount, &came], ", ")),
        Cell::with(supplier.map_or("", |s| s.name.as_str()), part.article.clone()),
        Cell::new(thing.handover.map_or("", |h| h.serial.as_str())),
        Cell::new(thing.warranty().map_or(String::new(), |day| maybe_date(Some(day.date())))),
        if lost {
            Cell::with(note, format!("{manual}: there is no such file"))
        } else {
            Cell::new(note).leading_to(manual)
        },
    ]
}

/// The address of a manual as links write it: of a file, each letter that parts an address is written by its number
/// (RFC 3986 section 2.1).
fn address(handover: &Handover) -> String {
    if handover.is_page() {
        return handover.manual.clone();
    }
    let plain = |b: u8| b.is_ascii_alphanumeric() || b"-._~/!$&'()*+,;=@".contains(&b) || b >= 0x80;
    let mut out = Vec::with_capacity(handover.manual.len());
    for b in handover.manual.bytes() {
        if plain(b) { out.push(b) } else { out.extend_from_slice(format!("%{b:02X}").as_bytes()) }
    }
    String::from_utf8(out).unwrap_or_default()
}

/// What to touch up with: each finish with its color and where it is.
fn finishes(project: &Project, things: &[InHouse<'_>]) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("Finish", 40),
        TableColumn::text("Color picked for it", 26),
        TableColumn::text("Where", 90),
    ]);
    let mut found: Vec<(String, Vec<String>)> = Vec::new();
    for thing in things.iter().filter(|t| !t.option.finish.trim().is_empty()) {
        let finish = thing.option.finish.trim();
        let room = project.room(thing.selection.room).map_or("", |room| room.name.as_str());
        let at = joined(&[room, &thing.selection.name], ": ");
        match found.iter_mut().find(|(known, _)| crate::model::look::same_finish(known, finish)) {
            Some((_, all)) if all.contains(&at) => {}
            Some((_, all)) => all.push(at),
            None => found.push((finish.to_owned(), vec![at])),
        }
    }
    found.sort_by_key(|(finish, _)| finish.to_lowercase());
    for (finish, all) in found {
        let color = project.finish_color(&finish).map_or(String::new(), |color| color.to_string());
        table.rows.push(TableRow::line(vec![Cell::new(finish), Cell::new(color), Cell::new(all.join("\n"))]));
    }
    table
}

/// What is under warranty, the first to end on top; what has ended, below.
fn warranties(project: &Project, figures: &Figures, things: &[InHouse<'_>]) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("Until", 24),
        TableColumn::text("Part", 66),
        TableColumn::text("Supplier", 44),
        TableColumn::text("Serial number", 30),
    ]);
    let mut dated: Vec<(Day, &InHouse<'_>)> =
        things.iter().filter_map(|t| Some((t.warranty()?, t))).collect();
    dated.sort_by_key(|(day, _)| (*day < figures.as_of, *day));
    for (day, thing) in dated {
        let ended = if day < figures.as_of { "ended" } else { "" };
        let room = project.room(thing.selection.room).map_or("", |room| room.name.as_str());
        let supplier = thing.part.supplier.and_then(|id| project.supplier(id));
        table.rows.push(TableRow::line(vec![
            Cell::with(date(day.date()), ended),
            Cell::with(joined(&[&thing.selection.name, &thing.part.name], ": "), room),
            Cell::with(
                supplier.map_or("", |s| s.name.as_str()),
                supplier.map_or(String::new(), |s| joined(&[&s.phone, &s.email], ", ")),
            ),
            Cell::new(thing.handover.map_or("", |h| h.serial.as_str())),
        ]));
    }
    table
}

/// Each phase that is finished or under way, with who did it and when.
fn who(project: &Project) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("Work", 54),
        TableColumn::text("Who", 62),
        TableColumn::text("First day", 24),
        TableColumn::text("Last day", 24),
    ]);
    for phase in project.phases.iter().filter(|p| p.kind == PhaseKind::Work && p.actual_start.is_some()) {
        let crew = phase.crew.and_then(|id| project.crew(id));
        let (name, more) = match crew {
            Some(crew) => {
                let licence = match crew.licence.trim() {
                    "" => String::new(),
                    number => format!("license {number}"),
                };
                (crew.name.as_str(), joined(&[&crew.phone, &crew.email, &licence], ", "))
            }
            None => ("", String::new()),
        };
        table.rows.push(TableRow::line(vec![
            Cell::with(phase.name.clone(), phase.trade.clone()),
            Cell::with(name, more),
            Cell::new(maybe_date(phase.actual_start)),
            Cell::new(phase.finished_on().map_or("not finished".to_owned(), date)),
        ]));
    }
    table
}

fn visits(project: &Project, figures: &Figures) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("Inspection", 54),
        TableColumn::text("Passed on", 24),
        TableColumn::text("What was said", 80),
    ]);
    for phase in project.phases.iter().filter(|p| p.kind == PhaseKind::Inspection) {
        let passed = phase.visits().filter(|a| a.passed && Day::from(a.date) <= figures.as_of);
        for visit in passed {
            let failed = phase.visits().filter(|a| a.failed() && a.date < visit.date).count();
            let before = match failed {
                0 => String::new(),
                n => format!("after {}", count(i64::try_from(n).unwrap_or(i64::MAX), "failed visit")),
            };
            table.rows.push(TableRow::line(vec![
                Cell::with(phase.name.clone(), phase.trade.clone()),
                Cell::new(date(visit.date)),
                Cell::with(visit.note.clone(), before),
            ]));
        }
    }
    table
}

fn permits(project: &Project, figures: &Figures) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("Permit", 60),
        TableColumn::text("Number", 40),
        TableColumn::text("Issued on", 24),
        TableColumn::text("Holds until", 24),
    ]);
    for permit in project.permits.iter().filter(|p| p.is_issued(figures.as_of.date())) {
        table.rows.push(TableRow::line(vec![
            Cell::new(permit.name.clone()),
            Cell::new(permit.number.clone()),
            Cell::new(maybe_date(permit.issued_on)),
            Cell::new(permit.expires_on.map_or(String::new(), date)),
        ]));
    }
    table
}

fn punch(project: &Project, figures: &Figures) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("What", 60),
        TableColumn::text("Room", 34),
        TableColumn::text("Who", 34),
        TableColumn::text("How it stands", 40),
    ]);
    let as_of = figures.as_of.date();
    for punch in project.punch.iter() {
        let left = punch.stands(as_of).is_some_and(|s| s != crate::model::PunchStands::Checked);
        if !left {
            continue;
        }
        let room = punch.room.and_then(|id| project.room(id)).map_or("", |room| room.name.as_str());
        let crew = punch.crew.and_then(|id| project.crew(id)).map_or("", |crew| crew.name.as_str());
        table.rows.push(TableRow::line(vec![
            Cell::new(punch.what.clone()),
            Cell::new(room),
            Cell::new(crew),
            Cell::new(punch_list::state(punch, as_of)),
        ]));
    }
    table
}
