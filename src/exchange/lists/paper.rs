//! A purchase list to be printed or mailed.

use super::list::{LineState, ListLine, ListOrder, PurchaseList, Sums};
use crate::exchange::print::words::{count, date, joined, maybe_date, money, price, quantity};
use crate::exchange::print::{Block, Cell, Column, Paper, Row, Table};
use crate::model::NeededAt;

/// The list as a paper.
pub fn paper(list: &PurchaseList) -> Paper {
    let lines = list.lines().count();
    let mut facts = vec![
        ("Supplier".to_owned(), list.seller_name().to_owned()),
        ("Parts".to_owned(), lines.to_string()),
        ("Total".to_owned(), format!("{} {}", money(list.sums.total(), list.currency), list.currency)),
    ];
    let open = list.lines().filter(|(order, _)| order.placed.is_none());
    let next = open.filter_map(|(_, line)| line.order_by).min();
    if let Some(day) = next {
        facts.push(("First order-by".to_owned(), date(day)));
    }
    let mut blocks = Vec::new();
    for order in &list.orders {
        blocks.push(Block::Heading(match order.placed {
            Some(day) => format!("Ordered {}", date(day)),
            None => "To order".to_owned(),
        }));
        blocks.push(Block::Table(table(list, order)));
        if let Some(more) = order.to_free_freight {
            let more = money(more, list.currency);
            blocks.push(Block::Note(format!("{more} {} more of goods ship free.", list.currency)));
        }
    }
    if list.orders.len() > 1 {
        blocks.push(Block::Heading("All of it".to_owned()));
        let mut table = Table::new(vec![Column::text("", 60), Column::number("", 14)]);
        table.rows = sum_rows(&list.sums, list, 2);
        blocks.push(Block::Table(table));
    }
    blocks.push(Block::Lines("Notes".to_owned(), 5));
    Paper {
        title: "Purchase list".to_owned(),
        project: list.project.clone(),
        as_of: list.as_of,
        facts,
        blocks,
        wide: true,
        units: list.units,
    }
}

fn table(list: &PurchaseList, order: &ListOrder) -> Table {
    let mut table = Table::new(vec![
        Column::text("Part", 39),
        Column::text("Room and phase", 24),
        Column::number("Quantity", 11),
        Column::number("Unit price", 11),
        Column::number("Amount", 12),
        Column::text("Order by", 19),
        Column::text("Needed", 19),
        Column::text("Expected", 19),
    ]);
    table.rows = order.lines.iter().map(|line| Row::line(cells(list, line))).collect();
    table.rows.extend(sum_rows(&order.sums, list, 8));
    table
}

fn cells(list: &PurchaseList, line: &ListLine) -> Vec<Cell> {
    let off = if line.discount_pct.is_zero() {
        String::new()
    } else {
        format!("less {}%", line.discount_pct.normalize())
    };
    let expected = match line.state {
        _ if line.back.is_some() => line.state_words().to_owned(),
        LineState::OnSite => "on site".to_owned(),
        LineState::Ordered if line.late => "ordered, late".to_owned(),
        LineState::ToOrder if line.late => "if ordered now, late".to_owned(),
        LineState::Ordered => "ordered".to_owned(),
        LineState::ToOrder => "if ordered now".to_owned(),
    };
    let phase = match line.at {
        NeededAt::Finish if !line.phase.is_empty() => format!("{}, by its last day", line.phase),
        _ => line.phase.clone(),
    };
    let return_by = line.return_by.map_or(String::new(), |day| format!("return by {}", date(day)));
    vec![
        Cell::with(
            joined(&[&line.selection, &line.part], ": "),
            joined(&[&joined(&[&line.option, &line.finish], ", "), &line.key], "\n"),
        ),
        Cell::with(line.room.clone(), phase),
        Cell::new(quantity(line.quantity, &line.unit)),
        Cell::with(price(line.unit_price, list.currency), off),
        Cell::new(money(line.sums.goods, list.currency)),
        Cell::new(maybe_date(line.order_by)),
        Cell::new(maybe_date(line.need_date)),
        Cell::with(date(line.expected), joined(&[&expected, &return_by], "\n")),
    ]
}

/// Subtotal, freight, tax and total, under the column of amounts (the fifth, or the last where there are few).
fn sum_rows(sums: &Sums, list: &PurchaseList, columns: usize) -> Vec<Row> {
    let at = if columns > 5 { 4 } else { columns - 1 };
    let row = |name: &str, amount| {
        let mut cells = vec![Cell::default(); columns];
        cells[0] = Cell::new(name);
        cells[at] = Cell::new(money(amount, list.currency));
        Row::sum(cells)
    };
    vec![
        row("Subtotal", sums.goods),
        row("Freight", sums.freight),
        row("Tax", sums.tax),
        row(&format!("Total, {}", list.currency), sums.total()),
    ]
}

/// A few words about a list, for messages.
pub fn summary(list: &PurchaseList) -> String {
    let parts = i64::try_from(list.lines().count()).unwrap_or(i64::MAX);
    format!("{}, {} {}", count(parts, "part"), list.sums.total().to_plain(list.currency), list.currency)
}
