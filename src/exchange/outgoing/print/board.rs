//! Finish boards: what was chosen in each room, to be looked at together. A page a room, where it fits.

use super::words::{count, joined, quantity};
use super::{Block, Board, BoardCard, BoardTile, Look, Paper};
use crate::engine::Figures;
use crate::exchange::picture::Picture;
use crate::model::{Drawing, OptionState, Project, RoomId, Selection, SelectionOption};
use std::path::Path;

/// The paper, of all rooms in which something is to be chosen, or of one. Pictures are looked for from the folder of the project
/// file, where one is given.
pub fn paper(project: &Project, figures: &Figures, beside: Option<&Path>, only: Option<RoomId>) -> Paper {
    let mut blocks = Vec::new();
    let mut rooms = 0;
    for room in project.rooms.iter().filter(|room| only.is_none_or(|only| only == room.id)) {
        let board = board(project, figures, room.id, beside);
        if board.cards.is_empty() {
            continue;
        }
        rooms += 1;
        let heading = Block::Heading(joined(&[&room.name, &room.level], ", "));
        blocks.push(Block::Sheet(vec![heading, Block::Board(board)]));
    }
    if blocks.is_empty() {
        blocks.push(Block::Text("Nothing is to be selected yet.".to_owned()));
    } else {
        blocks.push(Block::Note(
            "A drawing stands for an option without a picture: it shows the kind of thing in the color that its finish \
             brings to mind. Colors on paper are not those of the thing; ask for a sample."
                .to_owned(),
        ));
    }
    let own = || project.selections.iter().filter(|s| only.is_none_or(|only| only == s.room));
    let open = own().filter(|s| s.live_option().is_none()).count();
    Paper {
        title: "Finish boards".to_owned(),
        project: project.settings.name.clone(),
        as_of: figures.as_of.date(),
        facts: vec![
            ("Rooms".to_owned(), count(rooms, "room")),
            ("Selections".to_owned(), own().count().to_string()),
            ("Open".to_owned(), open.to_string()),
        ],
        blocks,
        wide: false,
        units: project.settings.units,
    }
}

/// The board of a room.
pub fn board(project: &Project, figures: &Figures, room: RoomId, beside: Option<&Path>) -> Board {
    let own = project.selections.iter().filter(|s| s.room == room);
    Board { cards: own.map(|s| card(project, figures, s, beside)).collect() }
}

/// What is not settled about a selection; nothing when its option is chosen.
pub fn state(selection: &Selection) -> String {
    match (selection.live_option().map(|o| o.state), selection.options.len()) {
        (Some(OptionState::Chosen), _) => String::new(),
        (Some(_), _) => "likely, not chosen yet".to_owned(),
        (None, 0) => "open: no candidate yet".to_owned(),
        (None, n) => format!("open: {}", count(i64::try_from(n).unwrap_or(i64::MAX), "candidate")),
    }
}

fn card(project: &Project, figures: &Figures, selection: &Selection, beside: Option<&Path>) -> BoardCard {
    let live = selection.live_option();
    let shown = selection.options.iter().filter(|o| live.is_none_or(|live| live.id == o.id));
    let tile = |option: &SelectionOption| {
        let drawing = Drawing::of(project, selection, option);
        let mut more = vec![suppliers(project, option)];
        if live.is_some() {
            more.push(quantities(figures, option));
        }
        more.retain(|line| !line.is_empty());
        BoardTile {
            look: look(option, drawing, beside),
            told: drawing.told(&option.finish),
            name: option.name.clone(),
            swatch: drawing.color,
            finish: option.finish.clone(),
            more,
        }
    };
    BoardCard {
        title: selection.name.clone(),
        state: state(selection),
        open: live.is_none(),
        tiles: shown.map(tile).collect(),
    }
}

/// How an option looks. Without a folder to look in there is no picture, and the drawing stands for it.
pub fn look(option: &SelectionOption, drawing: Drawing, beside: Option<&Path>) -> Look {
    let Some(beside) = beside.filter(|_| !option.picture.is_empty()) else { return Look::Drawing(drawing) };
    match Picture::for_paper(&beside.join(&option.picture)) {
        Ok(picture) => Look::Picture(picture),
        Err(why) => Look::Missing(format!("picture {why}")),
    }
}

/// Who sells an option, each named once.
pub fn suppliers(project: &Project, option: &SelectionOption) -> String {
    let mut names: Vec<&str> = Vec::new();
    for part in &option.parts {
        let supplier = part.supplier.and_then(|id| project.supplier(id));
        if let Some(supplier) = supplier.filter(|s| !names.contains(&s.name.as_str())) {
            names.push(&supplier.name);
        }
    }
    names.join(", ")
}

/// How much of it is bought; of several parts, which.
pub fn quantities(figures: &Figures, option: &SelectionOption) -> String {
    let several = option.parts.len() > 1;
    let parts = option.parts.iter().map(|part| {
        let amount = figures.part(part.id).filter(|f| f.takeoff_error.is_none()).map(|f| f.quantity_to_buy);
        let amount = quantity(amount, &part.unit);
        if several { format!("{}: {amount}", part.name) } else { amount }
    });
    parts.collect::<Vec<_>>().join("; ")
}
