//! The money against the allowances, by category and room, with the reserve: for a lender.

use super::trades;
use super::words::{count, money};
use super::{Block, Cell, Paper, Table, TableColumn, TableRow};
use crate::engine::Figures;
use crate::engine::money::Columns;
use crate::model::{Currency, Project};
use chrono::Datelike;

/// The paper.
pub fn paper(project: &Project, figures: &Figures) -> Paper {
    let currency = project.settings.currency;
    let all = &figures.money;
    let amount = |m| format!("{} {currency}", money(m, currency));
    let least = if all.total.is_least() { "at least " } else { "" };
    let mut facts = vec![
        ("Allowance".to_owned(), amount(all.total.allowance)),
        ("Forecast".to_owned(), format!("{least}{}", amount(all.total.forecast))),
        ("Over / under".to_owned(), amount(all.total.over_under())),
        ("Contingency left".to_owned(), amount(all.contingency_left)),
    ];
    if !all.total.assumed.is_zero() {
        facts.push(("Of the forecast assumed".to_owned(), amount(all.total.assumed)));
    }
    if all.total.is_least() {
        let days = figures.trades.unpriced_days;
        let work =
            if days > 0 { format!(", {} of work among them", count(days, "day")) } else { String::new() };
        let things = count(all.total.left_out, "thing");
        facts.push(("Without a price".to_owned(), format!("{things}{work}")));
    }
    let category = |name: &String| if name.is_empty() { "No category".to_owned() } else { name.clone() };
    let by_category = all.by_category.iter().map(|(name, c)| (category(name), *c));
    let room = |at: usize| {
        let room = project.rooms.get(at);
        room.map_or_else(|| "No room: trades, permits, extras".to_owned(), |r| r.name.clone())
    };
    let by_room = all.by_room.iter().enumerate().map(|(at, c)| (room(at), *c));
    let mut blocks = vec![
        Block::Heading("By category".to_owned()),
        Block::Table(table("Category", by_category, &all.total, currency)),
        Block::Heading("By room".to_owned()),
        Block::Table(table("Room", by_room, &all.total, currency)),
        Block::Heading("Contingency".to_owned()),
        Block::Table(contingency(project, figures)),
        Block::Note(hint(project, figures)),
    ];
    blocks.extend(trades::blocks(project, figures));
    blocks.push(
        Block::Note(
            "Allowance: set aside, tax and freight included. Ordered: placed orders and accepted bids. To pay: \
             ordered less paid. Forecast: what was ordered, else chosen, else leaned to, else the allowance. Over / \
             under: forecast less allowance; what is below the allowance has a minus."
                .to_owned(),
        ),
    );
    Paper {
        title: "Budget against allowances".to_owned(),
        project: project.settings.name.clone(),
        as_of: figures.as_of.date(),
        facts,
        blocks,
        wide: true,
        units: project.settings.units,
    }
}

/// The place of the forecast among the amounts of a row.
const FORECAST: usize = 5;

fn table(
    title: &str,
    rows: impl Iterator<Item = (String, Columns)>,
    total: &Columns,
    currency: Currency,
) -> Table {
    let number = |title: &str| TableColumn::number(title, 15);
    let mut table = Table::new(vec![
        TableColumn::text(title, 34),
        number("Allowance"),
        number("Chosen"),
        number("Ordered"),
        number("Paid"),
        number("To pay"),
        number("Forecast"),
        number("Over / under"),
    ]);
    let cells = |name: String, c: &Columns| {
        let amounts = [c.allowance, c.chosen, c.ordered, c.paid, c.to_pay(), c.forecast, c.over_under()];
        // What has no price and nothing stands for is in neither of the two; the row says so.
        let least = |at: usize| c.is_least() && at == FORECAST;
        let amounts = amounts.into_iter().enumerate().map(|(at, m)| match least(at) {
            true => Cell::with(money(m, currency), "at least".to_owned()),
            false => Cell::new(money(m, currency)),
        });
        std::iter::once(Cell::new(name)).chain(amounts).collect()
    };
    for (name, columns) in rows.filter(|(_, c)| *c != Columns::default()) {
        table.rows.push(TableRow::line(cells(name, &columns)));
    }
    table.rows.push(TableRow::sum(cells(format!("Total, {currency}"), total)));
    table
}

fn contingency(project: &Project, figures: &Figures) -> Table {
    let currency = project.settings.currency;
    let money_of = |m| money(m, currency);
    let pct = project.settings.contingency_pct.normalize();
    let mut table = Table::new(vec![TableColumn::text("", 60), TableColumn::number("", 16)]);
    let line = |name: String, m| vec![Cell::new(name), Cell::new(money_of(m))];
    let all = &figures.money;
    table.rows.push(TableRow::line(line(format!("Reserve: {pct}% of the allowances"), all.contingency)));
    table.rows.push(TableRow::line(line(
        "Taken: net over / under, extras and changes".to_owned(),
        all.contingency.less(all.contingency_left),
    )));
    table.rows.push(TableRow::sum(line(format!("Left, {currency}"), all.contingency_left)));
    table
}

/// What a lender may ask for. HUD Handbook 4000.1 II.A.8 (knowledge base KA-04997), for loans under section 203(k):
/// 10 to 20 percent of the repair cost for a house of 30 years or more, 15 to 20 where utilities are not operable,
/// up to 20 for a newer one.
fn hint(project: &Project, figures: &Figures) -> String {
    let range = match project.settings.year_built {
        Some(year) => {
            let age = figures.as_of.date().year().saturating_sub(year);
            let years = count(i64::from(age.max(0)), "year");
            if age >= 30 {
                format!("The house is about {years} old: 10 to 20 percent of the repair cost is usual there")
            } else {
                format!("The house is about {years} old: up to 20 percent of the repair cost is usual there")
            }
        }
        None => "For a house of 30 years or more, 10 to 20 percent of the repair cost is usual there, for a newer \
                 one up to 20"
            .to_owned(),
    };
    format!(
        "For comparison, the contingency of rehabilitation loans under section 203(k), HUD Handbook 4000.1 II.A.8. \
         {range}; 15 to 20 where utilities are not operable. A lender's own rule comes first."
    )
}
