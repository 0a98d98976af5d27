//! The columns of purchase lists: one table, from which CSV, workbooks and papers are written.

use super::list::{LineState, ListLine, ListOrder, OrderMoney, PurchaseList, Sums};
use crate::exchange::cell::{maybe, money, number};
use crate::exchange::outgoing::print::TableColumn;
use crate::exchange::outgoing::print::words;
use crate::model::{Currency, Money, NeededAt, Settings, Supplier, SupplierId};
use chrono::NaiveDate;
use rust_decimal::Decimal;
use std::borrow::Cow;

/// A column of purchase lists.
pub struct ListColumn {
    /// Its name in CSV.
    pub name: &'static str,
    /// Its title in workbooks.
    pub title: &'static str,
    /// Its width in workbooks, in characters.
    pub width: u16,
    /// What it holds.
    pub kind: Holds,
    /// Where it stands on paper.
    pub paper: OnPaper,
}

/// What a column holds.
#[derive(Clone, Copy)]
pub enum Holds {
    /// Words.
    Text(for<'a> fn(&'a ListOrder, &'a ListLine) -> Cow<'a, str>),
    /// A number; `None` where it cannot be told.
    Number(fn(&ListLine) -> Option<Decimal>),
    /// A price with all its digits.
    Price(fn(&ListLine) -> Option<Money>),
    /// An amount that is added up below the lines.
    Sum(fn(&Sums) -> Money),
    /// The sum of the sums, over the line and below the lines.
    Total,
    /// An amount of a whole order: it stands on the first line of the order, so that the column adds up.
    Order(fn(&OrderMoney) -> Option<Money>),
    /// A day.
    Date(fn(&ListLine) -> Option<NaiveDate>),
    /// Words of the buyer or the supplier, the same for all lines.
    Head(for<'a> fn(&'a Settings, &'a Supplier) -> &'a str),
}

/// Where a column stands on paper, where some are set together in a column of [`PAPER`].
#[derive(Clone, Copy)]
pub enum OnPaper {
    /// On the first line of that column, behind these letters where something is there already.
    First(usize, &'static str),
    /// On the line under it, in the same way.
    Under(usize, &'static str),
    /// On a line of its own below that, with these words before it.
    Below(usize, &'static str),
    /// Once an order: in its heading, or among the sums behind its lines.
    OnceAnOrder,
    /// Once a list: above all lines.
    OnceAList,
}

const PART: usize = 0;
const PLACE: usize = 1;
const QUANTITY: usize = 2;
const PRICE: usize = 3;
/// The column of papers with the amounts, under which the sums stand.
pub const AMOUNT: usize = 4;
const ORDER_BY: usize = 5;
const NEEDED: usize = 6;
const EXPECTED: usize = 7;

/// The columns of papers.
pub fn paper_columns() -> [TableColumn; 8] {
    [
        TableColumn::text("Part", 39),
        TableColumn::text("Room and phase", 24),
        TableColumn::number("Quantity", 11),
        TableColumn::number("Unit price", 11),
        TableColumn::number("Amount", 12),
        TableColumn::text("Order by", 19),
        TableColumn::text("Needed", 19),
        TableColumn::text("Expected", 19),
    ]
}

macro_rules! columns {
    ($($name:literal, $title:literal, $width:literal, $kind:expr, $paper:expr;)+) => {
        &[$(ListColumn { name: $name, title: $title, width: $width, kind: $kind, paper: $paper }),+]
    };
}

/// All columns, in order.
pub const COLUMNS: &[ListColumn] = columns! {
    "order", "Order", 18, Holds::Text(|order, _| placed(order)), OnPaper::OnceAnOrder;
    "order_number", "Order number", 14, Holds::Text(|order, _| (&order.number).into()), OnPaper::OnceAnOrder;
    "order_note", "Order note", 30, Holds::Text(|order, _| (&order.note).into()), OnPaper::OnceAnOrder;
    "article", "Article number", 16, Holds::Text(|_, line| (&line.article).into()), OnPaper::Below(PART, "article ");
    "selection", "Selection", 24, Holds::Text(|_, line| (&line.selection).into()), OnPaper::First(PART, "");
    "option", "Option", 26, Holds::Text(|_, line| (&line.option).into()), OnPaper::Under(PART, "");
    "finish", "Finish", 18, Holds::Text(|_, line| (&line.finish).into()), OnPaper::Under(PART, ", ");
    "part", "Part", 26, Holds::Text(|_, line| (&line.part).into()), OnPaper::First(PART, ": ");
    "room", "Room", 18, Holds::Text(|_, line| (&line.room).into()), OnPaper::First(PLACE, ", ");
    "phase", "Phase", 22, Holds::Text(|_, line| (&line.phase).into()), OnPaper::Under(PLACE, ", ");
    "quantity", "Quantity", 10, Holds::Number(|line| line.quantity), OnPaper::First(QUANTITY, "");
    "unit", "Unit", 8, Holds::Text(|_, line| (&line.unit).into()), OnPaper::First(QUANTITY, " ");
    "came", "Came", 9, Holds::Number(|line| line.came.map(|c| c.came)), OnPaper::Below(QUANTITY, "came ");
    "damaged", "Damaged", 9, Holds::Number(|line| line.came.map(|c| c.damaged)), OnPaper::Below(QUANTITY, "damaged ");
    "missing", "Missing", 9, Holds::Number(|line| line.came.map(|c| c.missing)), OnPaper::Below(QUANTITY, "missing ");
    "unit_price", "Unit price", 12, Holds::Price(|line| line.unit_price), OnPaper::First(PRICE, "");
    "discount_pct", "Discount %", 11, Holds::Number(|line| Some(line.discount_pct)), OnPaper::Under(PRICE, "");
    "amount", "Amount", 12, Holds::Sum(|sums| sums.goods), OnPaper::First(AMOUNT, "");
    "freight", "Freight", 12, Holds::Sum(|sums| sums.freight), OnPaper::OnceAnOrder;
    "tax", "Tax", 12, Holds::Sum(|sums| sums.tax), OnPaper::OnceAnOrder;
    "total", "Total", 12, Holds::Total, OnPaper::OnceAnOrder;
    "deposit", "Deposit to pay", 12, Holds::Order(|money| money.deposit), OnPaper::OnceAnOrder;
    "paid", "Paid", 12, Holds::Order(|money| money.paid), OnPaper::OnceAnOrder;
    "owed", "Still to pay", 12, Holds::Order(|money| money.owed), OnPaper::OnceAnOrder;
    "lead", "Lead time", 18, Holds::Text(|_, line| (&line.lead).into()), OnPaper::Under(ORDER_BY, "");
    "orderable_from", "Not before", 12, Holds::Date(|line| line.orderable_from), OnPaper::Below(ORDER_BY, "not before ");
    "ask_by", "Ask by", 12, Holds::Date(|line| line.ask_by), OnPaper::Below(ORDER_BY, "ask the supplier by ");
    "order_by", "Order by", 12, Holds::Date(|line| line.order_by), OnPaper::First(ORDER_BY, "");
    "need_date", "Need date", 12, Holds::Date(|line| line.need_date), OnPaper::First(NEEDED, "");
    "expected", "Expected", 12, Holds::Date(|line| line.expected), OnPaper::First(EXPECTED, "");
    "state", "State", 10, Holds::Text(|_, line| line.state_words().into()), OnPaper::Under(EXPECTED, "");
    "promised_on", "Promised on", 12, Holds::Date(|line| line.promised_on), OnPaper::Below(EXPECTED, "promised ");
    "return_by", "Return by", 12, Holds::Date(|line| line.return_by), OnPaper::Below(EXPECTED, "return by ");
    "caution", "Caution", 40, Holds::Text(|_, line| (&line.caution).into()), OnPaper::Below(PART, "");
    "supplier", "Supplier", 24, Holds::Head(|_, supplier| &supplier.name), OnPaper::OnceAList;
    "contact", "Contact", 18, Holds::Head(|_, supplier| &supplier.contact), OnPaper::OnceAList;
    "phone", "Phone", 16, Holds::Head(|_, supplier| &supplier.phone), OnPaper::OnceAList;
    "email", "Email", 24, Holds::Head(|_, supplier| &supplier.email), OnPaper::OnceAList;
    "account", "Account", 14, Holds::Head(|_, supplier| &supplier.account), OnPaper::OnceAList;
    "ordered_by", "Ordered by", 18, Holds::Head(|settings, _| &settings.owner), OnPaper::OnceAList;
    "call", "Call", 16, Holds::Head(|settings, _| &settings.phone), OnPaper::OnceAList;
    "ship_to", "Ship to", 30, Holds::Head(|settings, _| &settings.ship_to), OnPaper::OnceAList;
    "for_delivery", "For delivery", 30, Holds::Head(|_, supplier| &supplier.ship_note), OnPaper::OnceAList;
};

/// What parts without a supplier stand under.
pub const NO_SUPPLIER: &str = "No supplier yet";

/// What is known of all that stands above the lines: the name of its column, its title, and it in one line.
pub fn heads(settings: &Settings, supplier: Option<&Supplier>) -> Vec<ListHead> {
    let none = Supplier::new(SupplierId(0), "", NO_SUPPLIER);
    let line = |text: &str| text.lines().map(str::trim).collect::<Vec<_>>().join(", ");
    let heads = COLUMNS.iter().filter_map(|column| match column.kind {
        Holds::Head(of) => {
            let text = line(of(settings, supplier.unwrap_or(&none)));
            Some(ListHead { name: column.name, title: column.title, text })
        }
        _ => None,
    });
    heads.filter(|head| !head.text.is_empty()).collect()
}

/// Something that stands above the lines.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListHead {
    /// The name of its column.
    pub name: &'static str,
    /// What it is.
    pub title: &'static str,
    /// What it says.
    pub text: String,
}

fn placed(order: &ListOrder) -> Cow<'static, str> {
    order.placed.map_or(Cow::Borrowed("to order"), |day| Cow::Owned(format!("placed {day}")))
}

impl Holds {
    /// Its sum over some lines, where it has one.
    pub fn sum(self, sums: &Sums) -> Option<Money> {
        match self {
            Holds::Sum(of) => Some(of(sums)),
            Holds::Total => Some(sums.total()),
            _ => None,
        }
    }

    /// What stands below all lines, where it is added up.
    pub fn sum_of(self, list: &PurchaseList) -> Option<Money> {
        match self {
            Holds::Order(of) => Some(of(&list.money).unwrap_or_default()),
            kind => kind.sum(&list.sums),
        }
    }

    /// Whether it is an amount that nobody has said: blank, never zero. Freight that such a line bears stands there.
    pub fn is_left_out(self, line: &ListLine) -> bool {
        line.sums.unpriced > 0 && self.sum(&line.sums).is_some_and(|sum| sum.is_zero())
    }
}

impl ListColumn {
    /// Whether it is the same for all lines.
    pub fn is_head(&self) -> bool {
        matches!(self.kind, Holds::Head(_))
    }

    /// What it says of a line, as programs take it; empty where it cannot be told.
    pub fn plain(&self, list: &PurchaseList, order: &ListOrder, line: &ListLine) -> String {
        let currency = list.currency;
        match self.kind {
            Holds::Text(of) => of(order, line).into_owned(),
            Holds::Number(of) => of(line).map(number).unwrap_or_default(),
            Holds::Price(of) => maybe(of(line).map(|price| money(price, currency))),
            Holds::Date(of) => maybe(of(line)),
            Holds::Order(of) => {
                maybe(line.order_money.as_ref().and_then(of).map(|sum| sum.to_plain(currency)))
            }
            Holds::Head(_) => list.head(self.name).to_owned(),
            // What nobody has said is blank, never zero.
            kind if kind.is_left_out(line) => String::new(),
            kind @ (Holds::Sum(_) | Holds::Total) => {
                maybe(kind.sum(&line.sums).map(|sum| sum.to_plain(currency)))
            }
        }
    }

    /// What it says of a line on paper.
    pub fn on_paper(&self, order: &ListOrder, line: &ListLine, currency: Currency) -> String {
        match (self.name, self.kind) {
            ("quantity", _) => words::quantity(line.quantity, ""),
            ("discount_pct", _) if line.discount_pct.is_zero() => String::new(),
            ("discount_pct", _) => format!("less {}%", line.discount_pct.normalize()),
            ("phase", _) if line.at == NeededAt::Finish && !line.phase.is_empty() => {
                format!("{}, by its last day", line.phase)
            }
            ("state", _) => match line.state {
                _ if line.back.is_some() => line.state_words().to_owned(),
                LineState::OnSite => "on site".to_owned(),
                LineState::Ordered if line.late => "ordered, late".to_owned(),
                LineState::ToOrder if line.late => "if ordered now, late".to_owned(),
                LineState::Ordered => "ordered".to_owned(),
                LineState::ToOrder => "if ordered now".to_owned(),
            },
            // What has come whole, or not at all, is said by its state.
            ("came" | "missing", _) if line.came.is_none_or(|c| c.came.is_zero() || c.missing.is_zero()) => {
                String::new()
            }
            ("damaged", _) if line.came.is_none_or(|c| c.damaged.is_zero()) => String::new(),
            (_, Holds::Text(of)) => of(order, line).into_owned(),
            // Above or below the lines of the order or the list.
            (_, Holds::Head(_) | Holds::Order(_)) => String::new(),
            (_, Holds::Number(of)) => of(line).map_or(String::new(), |n| n.normalize().to_string()),
            ("unit_price", _) if line.unit_price.is_none() => "no price yet".to_owned(),
            (_, Holds::Sum(_) | Holds::Total) if self.kind.is_left_out(line) => String::new(),
            (_, Holds::Price(of)) => of(line).map_or(String::new(), |price| words::price(price, currency)),
            (_, Holds::Sum(_) | Holds::Total) => {
                self.kind.sum(&line.sums).map_or(String::new(), |sum| words::money(sum, currency))
            }
            // A day that is missing is a dash where it has a column of its own, and nothing below another.
            (_, Holds::Date(of)) => match (of(line), self.paper) {
                (None, OnPaper::First(..)) => words::maybe_date(None),
                (day, _) => day.map_or(String::new(), words::date),
            },
        }
    }
}
