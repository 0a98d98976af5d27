//! What was chosen, room by room, with finishes: to hang on the wall for the trades.

use super::words::{count, joined, maybe_date, quantity};
use super::{Block, Cell, Paper, Table, TableColumn, TableRow};
use crate::engine::Figures;
use crate::exchange::picture::Picture;
use crate::model::{OptionState, Project, Selection, SelectionOption};
use std::path::Path;

/// The paper. Pictures of what counts are looked for from the folder of the project file, where one is given.
pub fn paper(project: &Project, figures: &Figures, beside: Option<&Path>) -> Paper {
    let open = figures.selections.iter().filter(|s| !s.chosen).count();
    let number = |n: usize| i64::try_from(n).unwrap_or(i64::MAX);
    let mut blocks = Vec::new();
    for room in project.rooms.iter() {
        let chosen: Vec<(usize, &Selection)> = project
            .selections
            .iter()
            .enumerate()
            .filter(|(_, s)| s.room == room.id)
            .map(|(at, s)| (at, s.as_ref()))
            .collect();
        if chosen.is_empty() {
            continue;
        }
        blocks.push(Block::Heading(joined(&[&room.name, &room.level], ", ")));
        blocks.push(Block::Table(table(project, figures, &chosen, beside)));
    }
    if blocks.is_empty() {
        blocks.push(Block::Text("Nothing is to be selected yet.".to_owned()));
    }
    blocks.push(Block::Note(
        "An empty box is for a sample or a swatch. What is not marked as chosen may still change: ask before \
         it is built in."
            .to_owned(),
    ));
    Paper {
        title: "Selections by room".to_owned(),
        project: project.settings.name.clone(),
        as_of: figures.as_of.date(),
        facts: vec![
            ("Selections".to_owned(), number(project.selections.len()).to_string()),
            ("Not chosen yet".to_owned(), number(open).to_string()),
            ("Rooms".to_owned(), count(number(project.rooms.len()), "room")),
        ],
        blocks,
        wide: false,
        units: project.settings.units,
    }
}

fn table(
    project: &Project,
    figures: &Figures,
    selections: &[(usize, &Selection)],
    beside: Option<&Path>,
) -> Table {
    let mut table = Table::new(vec![
        TableColumn::frame("Sample", 12),
        TableColumn::text("Selection", 25),
        TableColumn::text("Choice and finish", 34),
        TableColumn::text("Parts", 40),
        TableColumn::text("Needed", 22),
    ]);
    for (at, selection) in selections {
        let live = selection.live_option();
        let (choice, finish) = match live {
            Some(option) => {
                let likely = if option.state == OptionState::Chosen { "" } else { "likely, not chosen yet" };
                (option.name.clone(), joined(&[&option.finish, likely], "\n"))
            }
            None => ("to be chosen".to_owned(), count_of_candidates(selection)),
        };
        let mut parts = Vec::new();
        let mut needed = Vec::new();
        if let (Some(option), Some(f)) = (live, figures.selections.get(*at)) {
            let live_figures = figures.parts_of(f).iter().filter(|p| p.live);
            for (part, f) in option.parts.iter().zip(live_figures) {
                let amount = f.takeoff_error.is_none().then_some(f.quantity_to_buy);
                let phase = f.phase.and_then(|p| project.phases.get(p as usize));
                let phase = phase.map_or("", |p| p.name.as_str());
                let here = if f.on_site { "on site" } else { "" };
                parts.push(joined(&[&part.name, &quantity(amount, &part.unit), phase, here], ", "));
                needed.push(f.need_date);
            }
        }
        let first = needed.into_iter().flatten().min().map(|d| d.date());
        table.rows.push(TableRow::line(vec![
            live.and_then(|option| Some(sample(option, beside?))).unwrap_or_default(),
            Cell::with(selection.name.clone(), joined(&[&selection.category, &selection.notes], "\n")),
            Cell::with(choice, finish),
            Cell::new(parts.join("\n")),
            Cell::new(maybe_date(first)),
        ]));
    }
    table
}

/// The box of an option: its picture, or why there is none.
fn sample(option: &SelectionOption, beside: &Path) -> Cell {
    if option.picture.is_empty() {
        return Cell::default();
    }
    match Picture::for_paper(&beside.join(&option.picture)) {
        Ok(picture) => Cell { picture: Some(picture), ..Cell::default() },
        Err(why) => Cell::with("", format!("picture {why}")),
    }
}

fn count_of_candidates(selection: &Selection) -> String {
    match selection.options.len() {
        0 => "no candidate yet".to_owned(),
        n => count(n, "candidate"),
    }
}
