//! Tables over many houses: houses, phases, parts and what is to be done this week, for programs that ask questions of
//! tables. Every value is a figure of [`figures`](super::json::figures) or a word of the project; none is computed here.

mod columns;
#[cfg(feature = "parquet")]
mod parquet;

use super::json::figures::FiguresJson;
use crate::exchange::cell;
use crate::model::{Project, SupplierId};
use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde_json::{Map, Value, json};
use std::collections::HashMap;
use std::str::FromStr;

pub use columns::{Column, Kind, TABLES, Table};

/// What tables are written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TableForm {
    /// Comma-separated values (RFC 4180), UTF-8, with headings.
    Csv,
    /// Apache Parquet, of which engines read only the columns that are asked for.
    Parquet,
}

impl TableForm {
    /// All, with the words for them.
    pub const ALL: [(&'static str, TableForm); 2] =
        [("csv", TableForm::Csv), ("parquet", TableForm::Parquet)];

    /// How its files end.
    pub fn ending(self) -> &'static str {
        match self {
            TableForm::Csv => "csv",
            TableForm::Parquet => "parquet",
        }
    }
}

/// A value of a table.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Nothing: unknown, or it does not apply.
    Blank,
    /// Words.
    Text(String),
    /// A day.
    Day(NaiveDate),
    /// An amount or a quantity.
    Decimal(Decimal),
    /// A whole number.
    Whole(i64),
    /// Yes or no.
    Mark(bool),
}

/// The rows of one house for each of [`TABLES`].
pub type Rows = [Vec<Vec<Cell>>; TABLES.len()];

/// Why tables could not be made.
#[derive(Debug, thiserror::Error)]
pub enum TableError {
    /// A figure is not what its column holds.
    #[error("column {column} of {table}: `{value}` does not fit into it")]
    Value {
        /// The table.
        table: &'static str,
        /// The column.
        column: &'static str,
        /// The figure.
        value: String,
    },
    /// What the writer of the form says.
    #[error("{0}")]
    Writer(String),
    /// The program was built without it.
    #[error(
        "this build of the program does not write Parquet; build it with --features parquet, or write csv"
    )]
    NotBuiltIn,
}

/// The rows of a house, which is called so in them.
///
/// # Errors
/// A figure that its column cannot hold.
pub fn rows(house: &str, project: &Project, figures: &FiguresJson) -> Result<Rows, TableError> {
    let unfit = |why: serde_json::Error| TableError::Writer(why.to_string());
    let mut all = serde_json::to_value(figures).map_err(unfit)?;
    let mut lists = ["phases", "parts", "week"].map(|name| match all[name].take() {
        Value::Array(list) => list,
        _ => Vec::new(),
    });
    let problems = all["problems"].as_array().map_or(&[][..], Vec::as_slice);
    let of = |severity: &str| problems.iter().filter(|p| p["severity"] == severity).count();
    let mut one = json!({
        "name": project.settings.name,
        "currency": project.settings.currency.to_string(),
        "target_finish": project.settings.target_finish.map(|day| day.to_string()),
        "errors": of("error"),
        "warnings": of("warning"),
    });
    for part in [&all["money"], &all] {
        add(&mut one, part);
    }
    let suppliers: HashMap<SupplierId, &str> =
        project.suppliers.iter().map(|supplier| (supplier.id, supplier.name.as_str())).collect();
    for (row, phase) in lists[0].iter_mut().zip(project.phases.iter()) {
        add(row, &json!({ "name": phase.name, "trade": phase.trade }));
    }
    for (row, (_, _, part)) in lists[1].iter_mut().zip(project.all_parts()) {
        let supplier = part.supplier.and_then(|id| suppliers.get(&id));
        let day = |day: Option<NaiveDate>| day.map(|day| day.to_string());
        add(
            row,
            &json!({
                "name": part.name,
                "supplier_name": supplier,
                "ordered_on": day(part.ordered_on),
                "promised_on": day(part.promised_on),
            }),
        );
    }
    let [phases, parts, week] = lists;
    let [a, b, c, d] = &TABLES;
    let made = |table: &Table, list: Vec<Value>| -> Result<Vec<_>, _> {
        list.iter().map(|row| cells(house, table, row)).collect()
    };
    Ok([made(a, vec![one])?, made(b, phases)?, made(c, parts)?, made(d, week)?])
}

/// Adds the fields of one object to another that does not have them.
fn add(to: &mut Value, from: &Value) {
    if let (Value::Object(to), Value::Object(from)) = (to, from) {
        let simple = |value: &Value| !value.is_array() && !value.is_object();
        for (name, value) in from.iter().filter(|(_, value)| simple(value)) {
            to.entry(name.clone()).or_insert_with(|| value.clone());
        }
    }
}

fn cells(house: &str, table: &Table, row: &Value) -> Result<Vec<Cell>, TableError> {
    let empty = Map::new();
    let row = row.as_object().unwrap_or(&empty);
    let one = |column: &Column| {
        if column.name == "house" {
            return Ok(Cell::Text(house.to_owned()));
        }
        let value = row.get(column.name).unwrap_or(&Value::Null);
        cell_of(column.kind, value).ok_or_else(|| TableError::Value {
            table: table.name,
            column: column.name,
            value: value.to_string(),
        })
    };
    table.columns.iter().map(one).collect()
}

/// The value as a cell of a kind; none where it is of another kind.
fn cell_of(kind: Kind, value: &Value) -> Option<Cell> {
    if value.is_null() {
        return Some(Cell::Blank);
    }
    match kind {
        Kind::Text => value.as_str().map(|text| Cell::Text(text.to_owned())),
        Kind::Day => value.as_str()?.parse().ok().map(Cell::Day),
        Kind::Money | Kind::Quantity => Decimal::from_str(value.as_str()?).ok().map(Cell::Decimal),
        Kind::Whole => value.as_i64().map(Cell::Whole),
        Kind::Mark => value.as_bool().map(Cell::Mark),
    }
}

/// Tables in the making: the houses come one after the other.
pub struct Tables {
    csv: Option<[csv::Writer<Vec<u8>>; TABLES.len()]>,
    #[cfg(feature = "parquet")]
    parquet: Option<[parquet::ParquetTable; TABLES.len()]>,
}

impl Tables {
    /// Without a house yet.
    ///
    /// # Errors
    /// A form that the program was not built with.
    pub fn begin(forms: &[TableForm]) -> Result<Tables, TableError> {
        let csv =
            forms.contains(&TableForm::Csv).then(|| TABLES.map(|_| csv::Writer::from_writer(Vec::new())));
        let wants_parquet = forms.contains(&TableForm::Parquet);
        if wants_parquet && cfg!(not(feature = "parquet")) {
            return Err(TableError::NotBuiltIn);
        }
        let mut tables = Tables {
            csv,
            #[cfg(feature = "parquet")]
            parquet: match wants_parquet {
                true => Some(parquet::begin()?),
                false => None,
            },
        };
        for (table, writer) in TABLES.iter().zip(tables.csv.iter_mut().flatten()) {
            writer.write_record(table.columns.iter().map(|c| c.name)).map_err(said)?;
        }
        Ok(tables)
    }

    /// Adds the rows of a house.
    ///
    /// # Errors
    /// A value that a form cannot hold; the rows of the house may then be there in part.
    pub fn add(&mut self, rows: &Rows) -> Result<(), TableError> {
        for (writer, rows) in self.csv.iter_mut().flatten().zip(rows) {
            for row in rows {
                writer.write_record(row.iter().map(|cell| in_words(cell).into_bytes())).map_err(said)?;
            }
        }
        #[cfg(feature = "parquet")]
        for (table, rows) in self.parquet.iter_mut().flatten().zip(rows) {
            table.add(rows)?;
        }
        Ok(())
    }

    /// The files: name and bytes.
    ///
    /// # Errors
    /// What the writer of a form says.
    pub fn finish(self) -> Result<Vec<(String, Vec<u8>)>, TableError> {
        let mut files = Vec::new();
        for (table, writer) in TABLES.iter().zip(self.csv.into_iter().flatten()) {
            files.push((file_name(table, TableForm::Csv), writer.into_inner().map_err(said)?));
        }
        #[cfg(feature = "parquet")]
        for (table, writer) in TABLES.iter().zip(self.parquet.into_iter().flatten()) {
            files.push((file_name(table, TableForm::Parquet), writer.finish()?));
        }
        Ok(files)
    }
}

/// The file of a table.
pub fn file_name(table: &Table, form: TableForm) -> String {
    format!("{}.{}", table.name, form.ending())
}

fn said(why: impl std::fmt::Display) -> TableError {
    TableError::Writer(why.to_string())
}

/// A cell of a CSV file. Text is guarded, so that no spreadsheet takes it for a formula.
fn in_words(cell: &Cell) -> String {
    match cell {
        Cell::Blank => String::new(),
        Cell::Text(text) => cell::guard(text).into_owned(),
        Cell::Day(day) => day.to_string(),
        Cell::Decimal(number) => number.to_string(),
        Cell::Whole(number) => number.to_string(),
        Cell::Mark(yes) => yes.to_string(),
    }
}
