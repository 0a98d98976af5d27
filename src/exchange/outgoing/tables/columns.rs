//! The columns of each table: what CSV and Parquet are written from, and nothing beside it.

/// What stands in a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Words.
    Text,
    /// A day.
    Day,
    /// An amount in the currency of its house.
    Money,
    /// A number of units, which may have decimals.
    Quantity,
    /// A whole number.
    Whole,
    /// Yes or no.
    Mark,
}

/// A column. Where figures as JSON have a field of its name, it is that field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// What it is called.
    pub name: &'static str,
    /// What stands in it.
    pub kind: Kind,
}

/// A table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Table {
    /// What it is called; its file is called so too.
    pub name: &'static str,
    /// Its columns, in their order. The first says of which house a row is.
    pub columns: &'static [Column],
}

const fn column(name: &'static str, kind: Kind) -> Column {
    Column { name, kind }
}

use Kind::{Day, Mark, Money, Quantity, Text, Whole};

/// All tables.
pub const TABLES: [Table; 4] = [
    Table { name: "houses", columns: &HOUSES },
    Table { name: "phases", columns: &PHASES },
    Table { name: "parts", columns: &PARTS },
    Table { name: "weeks", columns: &WEEKS },
];

const HOUSES: [Column; 22] = [
    column("house", Text),
    column("name", Text),
    column("currency", Text),
    column("as_of", Day),
    column("target_finish", Day),
    column("plan_finish", Day),
    column("forecast_finish", Day),
    column("days_lost", Whole),
    column("after_target", Whole),
    column("allowance", Money),
    column("chosen", Money),
    column("ordered", Money),
    column("paid", Money),
    column("to_pay", Money),
    column("forecast", Money),
    column("over_under", Money),
    column("contingency", Money),
    column("contingency_left", Money),
    column("unpriced_parts", Whole),
    column("unpriced_days", Whole),
    column("errors", Whole),
    column("warnings", Whole),
];

const PHASES: [Column; 19] = [
    column("house", Text),
    column("key", Text),
    column("name", Text),
    column("trade", Text),
    column("early_start", Day),
    column("early_finish", Day),
    column("late_start", Day),
    column("late_finish", Day),
    column("total_float", Whole),
    column("free_float", Whole),
    column("target_float", Whole),
    column("critical", Mark),
    column("forecast_start", Day),
    column("forecast_finish", Day),
    column("held_days", Whole),
    column("gate_days", Whole),
    column("crew", Text),
    column("booking", Text),
    column("hire_by", Day),
];

const PARTS: [Column; 32] = [
    column("house", Text),
    column("key", Text),
    column("name", Text),
    column("option", Text),
    column("selection", Text),
    column("room", Text),
    column("supplier", Text),
    column("supplier_name", Text),
    column("phase", Text),
    column("live", Mark),
    column("ordered_on", Day),
    column("promised_on", Day),
    column("on_site", Mark),
    column("quantity_to_buy", Quantity),
    column("amount", Money),
    column("freight", Money),
    column("tax", Money),
    column("total", Money),
    column("paid", Money),
    column("need_date", Day),
    column("expected", Day),
    column("arrival", Day),
    column("order_by", Day),
    column("last_safe_order", Day),
    column("orderable_from", Day),
    column("ask_by", Day),
    column("days_in_hand", Whole),
    column("costs_days", Whole),
    column("lead_known", Mark),
    column("assumed", Mark),
    column("late", Mark),
    column("overdue", Mark),
];

const WEEKS: [Column; 7] = [
    column("house", Text),
    column("kind", Text),
    column("about", Text),
    column("last_day", Day),
    column("overdue", Mark),
    column("what", Text),
    column("text", Text),
];
