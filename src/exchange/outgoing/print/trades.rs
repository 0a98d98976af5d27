//! What trades are paid and by whom, for the budget: installments with their waivers, changes of the work, draws.

use super::words::{date, maybe_date, maybe_day, money};
use super::{Block, Cell, Table, TableColumn, TableRow};
use crate::engine::Figures;
use crate::model::change::is_open;
use crate::model::{Currency, Project};

/// The pieces for the paper; nothing of what the project does not have.
pub fn blocks(project: &Project, figures: &Figures) -> Vec<Block> {
    let currency = project.settings.currency;
    let mut blocks = Vec::new();
    for (title, table) in [
        ("Installments of trades", installments(project, figures, currency)),
        ("Changes of the work", changes(project, figures, currency)),
        ("Draws", draws(project, figures, currency)),
    ] {
        if !table.rows.is_empty() {
            blocks.push(Block::Heading(title.to_owned()));
            blocks.push(Block::Table(table));
        }
    }
    if !blocks.is_empty() {
        blocks.push(Block::Note(
            "Lien law and waiver forms differ by state: ask the lender, the title company or a lawyer."
                .to_owned(),
        ));
    }
    blocks
}

fn installments(project: &Project, figures: &Figures, currency: Currency) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("Trade", 30),
        TableColumn::text("For", 30),
        TableColumn::number("Amount", 15),
        TableColumn::text("Due", 20),
        TableColumn::number("Paid", 15),
        TableColumn::text("Waiver of lien", 20),
    ]);
    for quote in project.quotes.iter().filter(|q| q.accepted) {
        for (own, f) in quote.installments.iter().zip(figures.installments(project, quote)) {
            let waiver = match (own.waiver_on, f.wants_waiver) {
                (Some(on), _) => date(on),
                (None, true) => "none on file".to_owned(),
                (None, false) => String::new(),
            };
            table.rows.push(TableRow::line(vec![
                Cell::with(quote.trade.as_str(), quote.scope.as_str()),
                Cell::new(own.what.as_str()),
                Cell::new(money(f.amount, currency)),
                Cell::new(f.due.map_or("at the end".to_owned(), |due| date(due.date()))),
                Cell::with(
                    if f.paid.is_zero() { String::new() } else { money(f.paid, currency) },
                    own.paid_on.map_or(String::new(), date),
                ),
                Cell::new(waiver),
            ]));
        }
    }
    table
}

fn changes(project: &Project, figures: &Figures, currency: Currency) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("What", 40),
        TableColumn::text("Phase", 30),
        TableColumn::number("Days", 10),
        TableColumn::number("Amount", 15),
        TableColumn::text("Agreed", 30),
    ]);
    let on = figures.as_of.date();
    for change in project.changes.iter().filter(|c| c.is_found(on)) {
        let agreed = match (change.is_agreed(on), is_open(project, change, on)) {
            (true, _) => format!("{} {}", change.agreed_by, maybe_date(change.agreed_on)).trim().to_owned(),
            (false, true) => "not agreed on, in no sum".to_owned(),
            (false, false) => "not taken".to_owned(),
        };
        let phase = change.phase.and_then(|id| project.phase(id)).map_or("", |p| p.name.as_str());
        table.rows.push(TableRow::line(vec![
            Cell::with(change.what.as_str(), change.decision.as_str()),
            Cell::new(phase),
            Cell::new(change.days.map_or("?".to_owned(), |days| days.to_string())),
            Cell::new(change.amount.map_or("?".to_owned(), |sum| money(sum, currency))),
            Cell::new(agreed),
        ]));
    }
    table
}

fn draws(project: &Project, figures: &Figures, currency: Currency) -> Table {
    let mut table = Table::new(vec![
        TableColumn::text("Draw", 40),
        TableColumn::number("Amount", 15),
        TableColumn::text("Expected", 20),
        TableColumn::number("Came", 15),
    ]);
    for (draw, f) in project.draws.iter().zip(&figures.draws) {
        let came = if f.came.is_zero() { String::new() } else { money(f.came, currency) };
        let expected = if f.expected.is_some() { maybe_day(f.expected) } else { String::new() };
        table.rows.push(TableRow::line(vec![
            Cell::new(draw.name.as_str()),
            Cell::new(money(draw.amount, currency)),
            Cell::with(expected, if f.overdue { "overdue" } else { "" }),
            Cell::with(came, draw.received_on.map_or(String::new(), date)),
        ]));
    }
    table
}
