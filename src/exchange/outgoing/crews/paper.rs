//! The paper for a crew.

use super::CrewSheet;
use super::message::span;
use crate::exchange::outgoing::print::words::{date, joined, maybe_date};
use crate::exchange::outgoing::print::{Block, Cell, Paper, Table, TableColumn, TableRow};

/// The paper.
pub fn paper(sheet: &CrewSheet) -> Paper {
    let mut days = Table::new(vec![
        TableColumn::text("Work", 5),
        TableColumn::text("First day", 3),
        TableColumn::text("Last day", 3),
        TableColumn::text("Agreed", 3),
    ]);
    for p in &sheet.phases {
        let agreed = match (p.counts_on, p.confirmed) {
            (Some(old), _) => format!("was {}", date(old)),
            (None, Some(on)) => format!("confirmed {}", date(on)),
            (None, None) => "to be confirmed".to_owned(),
        };
        days.rows.push(TableRow::line(vec![
            Cell::with(p.name.as_str(), if p.begun { "begun" } else { "" }),
            Cell::new(maybe_date(p.first)),
            Cell::new(maybe_date(p.last)),
            Cell::new(agreed),
        ]));
    }
    let mut blocks = vec![Block::Table(days)];
    for p in &sheet.phases {
        if p.parts.is_empty() && p.waits.is_empty() {
            continue;
        }
        blocks.push(Block::Heading(format!("{}, {}", p.name, span(p.first, p.last))));
        p.waits.iter().for_each(|wait| blocks.push(Block::Text(format!("To be ready first: {wait}"))));
        if !p.parts.is_empty() {
            let mut parts = Table::new(vec![
                TableColumn::frame("", 1),
                TableColumn::text("Part", 8),
                TableColumn::text("How it stands", 5),
            ]);
            for part in &p.parts {
                let row =
                    vec![Cell::default(), Cell::new(part.what.as_str()), Cell::new(part.state.as_str())];
                parts.rows.push(TableRow::line(row));
            }
            blocks.push(Block::Table(parts));
        }
    }
    if !sheet.punch.is_empty() {
        blocks.push(Block::Heading("To be put right".to_owned()));
        let mut right = Table::new(vec![
            TableColumn::frame("Done", 1),
            TableColumn::text("What", 8),
            TableColumn::text("By when", 5),
        ]);
        for punch in &sheet.punch {
            let row = vec![Cell::default(), Cell::new(punch.what.as_str()), Cell::new(punch.due.as_str())];
            right.rows.push(TableRow::line(row));
        }
        blocks.push(Block::Table(right));
    }
    if !sheet.cautions.is_empty() {
        blocks.push(Block::Heading("Take care".to_owned()));
        for caution in &sheet.cautions {
            blocks.push(Block::Text(format!("{}: {}", caution.hazard.title(), caution.text)));
            blocks.push(Block::Note(caution.source.to_owned()));
        }
    }
    let settings = &sheet.settings;
    let facts = [
        ("Crew", joined(&[&sheet.crew.name, &sheet.crew.trade, &sheet.crew.phone], ", ")),
        ("House", settings.ship_to.split_whitespace().collect::<Vec<_>>().join(" ")),
        ("Ask for", joined(&[&settings.owner, &settings.phone], ", ")),
    ];
    let facts = facts.into_iter().filter(|(_, fact)| !fact.is_empty());
    Paper {
        title: format!("Days of {}", sheet.crew.name),
        project: settings.name.clone(),
        as_of: sheet.as_of,
        facts: facts.map(|(name, fact)| (name.to_owned(), fact)).collect(),
        blocks,
        wide: false,
        units: settings.units,
    }
}
