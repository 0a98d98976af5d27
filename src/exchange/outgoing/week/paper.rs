//! The list as a paper, with boxes to tick.

use super::{WeekSheet, call_words};
use crate::engine::check::money_of_trades::LIENS;
use crate::exchange::outgoing::print::words::{count, date};
use crate::exchange::outgoing::print::{Block, Cell, Paper, Table, TableColumn, TableRow};

/// The paper.
pub fn paper(sheet: &WeekSheet) -> Paper {
    let mut table = Table::new(vec![
        TableColumn::frame("", 1),
        TableColumn::text("To do", 2),
        TableColumn::text("What", 11),
        TableColumn::text("Call", 4),
    ]);
    for (day, lines) in sheet.dates() {
        table.rows.push(TableRow::group(sheet.title(day)));
        for line in lines {
            let call = line.call.as_ref().map_or(String::new(), call_words);
            table.rows.push(TableRow::line(vec![
                Cell::default(),
                Cell::new(line.kind.title()),
                Cell::with(sheet.what(line), sheet.why(line)),
                Cell::new(call),
            ]));
        }
    }
    let mut blocks = Vec::new();
    if sheet.lines.is_empty() {
        blocks.push(Block::Text("Nothing has its day in this time.".to_owned()));
    } else {
        blocks.push(Block::Table(table));
    }
    if sheet.has_liens() {
        blocks.push(Block::Note(capital(LIENS)));
    }
    let past = sheet.lines.iter().filter(|line| line.day < sheet.as_of).count();
    let mut facts = vec![
        ("From".to_owned(), date(sheet.as_of.date())),
        ("To".to_owned(), date(sheet.until.date())),
        ("To do".to_owned(), count(sheet.lines.len(), "line")),
    ];
    if past > 0 {
        facts.push(("Overdue".to_owned(), past.to_string()));
    }
    Paper {
        title: "To do".to_owned(),
        project: sheet.settings.name.clone(),
        as_of: sheet.as_of.date(),
        facts,
        blocks,
        wide: false,
        units: sheet.settings.units,
    }
}

/// A clause as a sentence of its own.
pub fn capital(clause: &str) -> String {
    let mut letters = clause.chars();
    let first = letters.next().map_or(String::new(), |c| c.to_uppercase().collect());
    format!("{first}{}.", letters.as_str())
}
