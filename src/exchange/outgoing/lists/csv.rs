//! A purchase list as CSV (RFC 4180): one line a part, and the sums.

use super::columns::{COLUMNS, Holds};
use super::list::PurchaseList;
use crate::exchange::cell::{guard, push_record};

/// The list as CSV text. Words are kept from becoming formulas; numbers stay numbers, also below zero.
pub fn csv(list: &PurchaseList) -> String {
    let currency = list.currency;
    let mut out = String::new();
    push_record(&mut out, COLUMNS.iter().map(|column| column.name));
    for (order, line) in list.lines() {
        let cells = COLUMNS.iter().map(|column| {
            let text = column.plain(list, order, line);
            match column.kind {
                Holds::Text(_) | Holds::Head(_) => guard(&text).into_owned(),
                _ => text,
            }
        });
        push_record(&mut out, cells);
    }
    let sums = COLUMNS.iter().enumerate().map(|(at, column)| match (at, column.kind.sum_of(list)) {
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
