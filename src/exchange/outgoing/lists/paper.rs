//! A purchase list to be printed or mailed.

use super::columns::{AMOUNT, COLUMNS, Holds, OnPaper, paper_columns};
use super::list::{ListLine, ListOrder, OrderMoney, PurchaseList, Sums};
use crate::exchange::outgoing::print::words::{count, date, joined, money};
use crate::exchange::outgoing::print::{Block, Cell, Paper, Table, TableColumn, TableRow};

/// The list as a paper.
pub fn paper(list: &PurchaseList) -> Paper {
    let lines = list.lines().count();
    let heads = list.heads.iter().map(|head| (head.title.to_owned(), head.text.clone()));
    let mut facts: Vec<(String, String)> = heads.collect();
    facts.push(("Parts".to_owned(), lines.to_string()));
    facts.push(("Total".to_owned(), total(&list.sums, list)));
    facts.extend(list.sums.left_out().map(|left_out| ("Without a price".to_owned(), left_out)));
    let open = || list.lines().filter(|(order, _)| order.placed.is_none());
    let next = open().filter_map(|(_, line)| line.order_by).min();
    if let Some(day) = open().filter_map(|(_, line)| line.ask_by).min() {
        facts.push(("First day to ask by".to_owned(), date(day)));
    }
    if let Some(day) = next {
        facts.push(("First order-by".to_owned(), date(day)));
    }
    let mut blocks = Vec::new();
    for order in &list.orders {
        let begun = order.placed.map_or("To order".to_owned(), |day| format!("Ordered {}", date(day)));
        let number = if order.number.is_empty() { String::new() } else { format!("number {}", order.number) };
        blocks.push(Block::Heading(joined(&[&begun, &number], ", ")));
        if !order.note.is_empty() {
            blocks.push(Block::Text(order.note.clone()));
        }
        blocks.push(Block::Table(table(list, order)));
        if let Some(more) = order.to_free_freight {
            let more = money(more, list.currency);
            blocks.push(Block::Note(format!("{more} {} more of goods ship free.", list.currency)));
        }
    }
    if list.orders.len() > 1 {
        blocks.push(Block::Heading("All of it".to_owned()));
        let mut table = Table::new(vec![TableColumn::text("", 60), TableColumn::number("", 14)]);
        table.rows = sum_rows(&list.sums, &list.money, list, 2);
        blocks.push(Block::Table(table));
    }
    blocks.push(Block::Lines("Notes".to_owned(), 5));
    Paper {
        title: list.title(),
        project: list.project.clone(),
        as_of: list.as_of,
        facts,
        blocks,
        wide: true,
        units: list.units,
    }
}

fn table(list: &PurchaseList, order: &ListOrder) -> Table {
    let mut table = Table::new(paper_columns().to_vec());
    let columns = table.columns.len();
    let cells = |line| (0..columns).map(|at| cell(list, order, line, at)).collect();
    table.rows = order.lines.iter().map(|line| TableRow::line(cells(line))).collect();
    table.rows.extend(sum_rows(&order.sums, &order.money, list, columns));
    table
}

/// What stands in a column of the paper, of all the columns of lists that belong there.
fn cell(list: &PurchaseList, order: &ListOrder, line: &ListLine, at: usize) -> Cell {
    let (mut first, mut under, mut below) = (String::new(), String::new(), String::new());
    for column in COLUMNS {
        let text = column.on_paper(order, line, list.currency);
        match column.paper {
            _ if text.is_empty() => {}
            OnPaper::First(to, between) if to == at => add(&mut first, between, &text),
            OnPaper::Under(to, between) if to == at => add(&mut under, between, &text),
            OnPaper::Below(to, words) if to == at => add(&mut below, "\n", &format!("{words}{text}")),
            _ => {}
        }
    }
    Cell::with(first, joined(&[&under, &below], "\n"))
}

fn add(line: &mut String, between: &str, text: &str) {
    if !line.is_empty() {
        line.push_str(between);
    }
    line.push_str(text);
}

/// Subtotal, freight, tax and total, and what is paid of it, under the column of amounts, or the last where there are few.
fn sum_rows(sums: &Sums, paid: &OrderMoney, list: &PurchaseList, columns: usize) -> Vec<TableRow> {
    let at = AMOUNT.min(columns - 1);
    let row = |name: &str, amount| {
        let mut cells = vec![Cell::default(); columns];
        cells[0] = Cell::new(name);
        cells[at] = Cell::new(money(amount, list.currency));
        TableRow::sum(cells)
    };
    let mut rows = vec![
        row("Subtotal", sums.goods),
        row("Freight", sums.freight),
        row("Tax", sums.tax),
        row(
            &format!("{}, {}", if sums.unpriced > 0 { "Total at least" } else { "Total" }, list.currency),
            sums.total(),
        ),
    ];
    rows.extend(COLUMNS.iter().filter_map(|column| match column.kind {
        Holds::Order(of) => Some(row(column.title, of(paid)?)),
        _ => None,
    }));
    rows
}

/// The total with its currency; the least it can be, where not all has a price.
fn total(sums: &Sums, list: &PurchaseList) -> String {
    let least = if sums.unpriced > 0 { "at least " } else { "" };
    format!("{least}{} {}", money(sums.total(), list.currency), list.currency)
}

/// A few words about a list, for messages.
pub fn summary(list: &PurchaseList) -> String {
    let parts = count(list.lines().count(), "part");
    let amount = format!("{} {}", list.sums.total().to_plain(list.currency), list.currency);
    match list.sums.left_out() {
        Some(left_out) => format!("{parts}, at least {amount}; {left_out}"),
        None => format!("{parts}, {amount}"),
    }
}
