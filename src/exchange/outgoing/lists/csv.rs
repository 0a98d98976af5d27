//! A purchase list as CSV (RFC 4180): one line a part, and the sums.

use super::columns::{COLUMNS, Holds};
use super::list::PurchaseList;
use crate::exchange::cell::{guard, maybe, money, number, push_record};

/// The list as CSV text. Words are kept from becoming formulas; numbers stay numbers, also below zero.
pub fn csv(list: &PurchaseList) -> String {
    let currency = list.currency;
    let mut out = String::new();
    push_record(&mut out, COLUMNS.iter().map(|column| column.name));
    for (order, line) in list.lines() {
        let cells = COLUMNS.iter().map(|column| match column.kind {
            Holds::Text(of) => guard(&of(order, line)).into_owned(),
            Holds::Number(of) => of(line).map(number).unwrap_or_default(),
            Holds::Price(of) => maybe(of(line).map(|price| money(price, currency))),
            Holds::Date(of) => maybe(of(line)),
            // What nobody has said is blank, never zero.
            kind if kind.is_left_out(line) => String::new(),
            kind @ (Holds::Sum(_) | Holds::Total) => {
                kind.sum(&line.sums).map_or(String::new(), |sum| sum.to_plain(currency))
            }
        });
        push_record(&mut out, cells);
    }
    let sums = COLUMNS.iter().enumerate().map(|(at, column)| match (at, column.kind.sum(&list.sums)) {
        (_, Some(sum)) => sum.to_plain(currency),
        (0, None) => match list.sums.left_out() {
            Some(left_out) => format!("total at least ({left_out})"),
            None => "total".to_owned(),
        },
        _ => String::new(),
    });
    push_record(&mut out, sums);
    out
}
