//! Alternatives side by side, for whoever decides with the owner or lends the money: what each would come to beside what is
//! chosen now, and what it would change.

use super::words::{count, maybe_day, money, with_days};
use super::{Block, Cell, Paper, Table, TableColumn, TableRow};
use crate::engine::alternatives::{Side, same_but_for_rounding, side_by_side};
use crate::engine::{Figures, curve};
use crate::model::words::{self, moved_money};
use crate::model::{Alternative, Currency, Money, Project};

/// Columns beside now that have room on a page.
const BESIDE: usize = 4;

/// Problems that are told of each.
const PROBLEMS: usize = 6;

/// The paper.
pub fn paper(project: &Project, figures: &Figures) -> Paper {
    let currency = project.settings.currency;
    let sides = side_by_side(project, figures);
    let all: Vec<(&Alternative, &Side)> = project.alternatives.iter().zip(&sides.others).collect();
    let mut blocks = Vec::new();
    if all.is_empty() {
        blocks.push(Block::Text("There are no alternatives to what is chosen now.".to_owned()));
    }
    for some in all.chunks(BESIDE) {
        blocks.push(Block::Table(table(project, &sides.now, some)));
    }
    for (alternative, side) in &all {
        blocks.push(Block::Heading(alternative.name.clone()));
        if !alternative.note.is_empty() {
            blocks.push(Block::Text(alternative.note.clone()));
        }
        blocks.push(Block::Text(changes(project, side)));
        let more = side.new.len().saturating_sub(PROBLEMS);
        let mut new: Vec<String> =
            side.new.iter().take(PROBLEMS).map(|p| format!("+ {}", with_days(&p.message))).collect();
        if more > 0 {
            new.push(format!("+ {}", count(more, "more problem")));
        }
        if !new.is_empty() {
            blocks.push(Block::Note(format!("What would be wrong that is not now:\n{}", new.join("\n"))));
        }
    }
    blocks.push(Block::Note(
        "What an alternative does not name stays as it is chosen now. Totals are of the whole house, with freight, tax and \
         what leaving an order costs."
            .to_owned(),
    ));
    let amount = |m| format!("{} {currency}", money(m, currency));
    Paper {
        title: "Side by side".to_owned(),
        project: project.settings.name.clone(),
        as_of: figures.as_of.date(),
        facts: vec![
            ("Forecast finish".to_owned(), maybe_day(figures.forecast_finish)),
            ("Forecast total".to_owned(), amount(figures.money.total.forecast)),
            ("Contingency left".to_owned(), amount(figures.money.contingency_left)),
        ],
        blocks,
        wide: true,
        units: project.settings.units,
    }
}

/// What would be chosen otherwise, a line each.
fn changes(project: &Project, side: &Side) -> String {
    let made = side.changes.iter().map(|change| curve::change_words(project, change));
    let refused = side
        .refused
        .iter()
        .map(|(change, why)| format!("cannot be chosen: {}: {why}", curve::change_words(project, change)));
    let all: Vec<String> = made.chain(refused).collect();
    if all.is_empty() { "All of it is chosen now.".to_owned() } else { all.join("\n") }
}

/// How far an amount is from that of now; nothing where it is the same.
fn moved(then: Money, now: Money, currency: Currency) -> String {
    moved_money(then.less(now), |amount| money(amount, currency)).unwrap_or_default()
}

fn table(project: &Project, now: &Side, some: &[(&Alternative, &Side)]) -> Table {
    let currency = project.settings.currency;
    let mut columns = vec![TableColumn::text("", 34), TableColumn::number("Now", 30)];
    columns.extend(some.iter().map(|(alternative, _)| TableColumn::number(&alternative.name, 30)));
    let mut table = Table::new(columns);
    let sides = || std::iter::once(now).chain(some.iter().map(|(_, side)| *side));
    let mut row = |name: &str, cell: &dyn Fn(&Side) -> Cell| {
        let cells = std::iter::once(Cell::new(name)).chain(sides().map(cell)).collect();
        table.rows.push(TableRow::line(cells));
    };
    row("Finish", &|side| {
        let days = words::moved(side.days.unwrap_or(0), "working day").unwrap_or_default();
        Cell::with(maybe_day(side.finish), days)
    });
    row("Total", &|side| {
        let least = if side.least { "at least " } else { "" };
        let total = format!("{least}{}", money(side.total, currency));
        Cell::with(total, moved(side.total, now.total, currency))
    });
    row("Contingency left", &|side| Cell::new(money(side.contingency_left, currency)));
    for (at, room) in project.rooms.iter().enumerate() {
        let of = |side: &Side| side.by_room.get(at).copied().unwrap_or_default();
        let same = |side: &Side| same_but_for_rounding(of(side), of(now));
        if sides().any(|side| !same(side)) {
            row(&room.name, &|side| {
                let moved = if same(side) { String::new() } else { moved(of(side), of(now), currency) };
                Cell::with(money(of(side), currency), moved)
            });
        }
    }
    row("Late parts", &|side| Cell::new(side.late.to_string()));
    if sides().any(|side| side.short_weeks > 0) {
        row("Weeks short of cash", &|side| Cell::new(side.short_weeks.to_string()));
    }
    row("Problems", &|side| {
        let (errors, warnings) = side.problems;
        Cell::new(format!("{}, {}", count(errors, "error"), count(warnings, "warning")))
    });
    table
}
