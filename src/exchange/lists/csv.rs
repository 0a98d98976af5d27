//! A purchase list as CSV (RFC 4180): one line a part, and the sums.

use super::list::PurchaseList;
use crate::exchange::cell::{guard, maybe, money, number, push_record};

/// The columns of a purchase list.
pub const COLUMNS: [&str; 22] = [
    "order",
    "key",
    "selection",
    "option",
    "finish",
    "part",
    "room",
    "phase",
    "quantity",
    "unit",
    "unit_price",
    "discount_pct",
    "amount",
    "freight",
    "tax",
    "total",
    "order_by",
    "need_date",
    "expected",
    "state",
    "promised_on",
    "caution",
];

/// The list as CSV text. Words are kept from becoming formulas; numbers stay numbers, also below zero.
pub fn csv(list: &PurchaseList) -> String {
    let currency = list.currency;
    let mut out = String::new();
    push_record(&mut out, COLUMNS);
    for (order, line) in list.lines() {
        let placed = order.placed.map_or_else(|| "to order".to_owned(), |day| format!("placed {day}"));
        let sums = [line.sums.goods, line.sums.freight, line.sums.tax, line.sums.total()];
        let [amount, freight, tax, total] = sums.map(|a| a.to_plain(currency));
        push_record(
            &mut out,
            [
                placed.as_str(),
                &guard(&line.key),
                &guard(&line.selection),
                &guard(&line.option),
                &guard(&line.finish),
                &guard(&line.part),
                &guard(&line.room),
                &guard(&line.phase),
                &line.quantity.map(number).unwrap_or_default(),
                &guard(&line.unit),
                &money(line.unit_price, currency),
                &number(line.discount_pct),
                &amount,
                &freight,
                &tax,
                &total,
                &maybe(line.order_by),
                &maybe(line.need_date),
                &line.expected.to_string(),
                line.state_words(),
                &maybe(line.promised_on),
                &guard(&line.caution),
            ],
        );
    }
    let sums = [list.sums.goods, list.sums.freight, list.sums.tax, list.sums.total()];
    let sums = sums.map(|sum| sum.to_plain(currency));
    let total = COLUMNS.iter().enumerate().map(|(i, column)| match (i, *column) {
        (0, _) => "total",
        (_, "amount") => &sums[0],
        (_, "freight") => &sums[1],
        (_, "tax") => &sums[2],
        (_, "total") => &sums[3],
        _ => "",
    });
    push_record(&mut out, total);
    out
}
