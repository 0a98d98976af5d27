//! Tables as Apache Parquet (<https://parquet.apache.org/docs/file-format/>), by the project's own library.
//!
//! Days are DATE, amounts DECIMAL(18, 4), which holds every currency of ISO 4217, quantities DECIMAL(38, 10), rounded
//! half up where a quantity has more places. Every column may be null.

use super::{Cell, Column, Kind, TABLES, Table, TableError, said};
use chrono::NaiveDate;
use parquet::basic::{Compression, LogicalType, Repetition, Type as Stored};
use parquet::column::writer::ColumnWriter;
use parquet::data_type::{ByteArray, FixedLenByteArray};
use parquet::errors::ParquetError;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::types::Type;
use rust_decimal::RoundingStrategy;
use std::sync::Arc;

/// Places of an amount, and of a quantity.
const PLACES: (u32, u32) = (4, 10);
/// Rows that are held until they are written together.
const TOGETHER: usize = 50_000;

/// A table in the making.
pub struct ParquetTable {
    table: &'static Table,
    writer: SerializedFileWriter<Vec<u8>>,
    held: Vec<Vec<Cell>>,
}

/// All tables, without rows.
pub fn begin() -> Result<[ParquetTable; TABLES.len()], TableError> {
    let [a, b, c, d] = &TABLES;
    Ok([ParquetTable::of(a)?, ParquetTable::of(b)?, ParquetTable::of(c)?, ParquetTable::of(d)?])
}

fn stored(column: &Column) -> Result<Type, ParquetError> {
    let decimal = |precision, places: u32| LogicalType::decimal(places as i32, precision);
    let (as_type, means, length) = match column.kind {
        Kind::Text => (Stored::BYTE_ARRAY, Some(LogicalType::String), 0),
        Kind::Day => (Stored::INT32, Some(LogicalType::Date), 0),
        Kind::Money => (Stored::INT64, Some(decimal(18, PLACES.0)), 0),
        Kind::Quantity => (Stored::FIXED_LEN_BYTE_ARRAY, Some(decimal(38, PLACES.1)), 16),
        Kind::Whole => (Stored::INT64, None, 0),
        Kind::Mark => (Stored::BOOLEAN, None, 0),
    };
    let (precision, scale) = match column.kind {
        Kind::Money => (18, PLACES.0 as i32),
        Kind::Quantity => (38, PLACES.1 as i32),
        _ => (-1, -1),
    };
    let builder = Type::primitive_type_builder(column.name, as_type)
        .with_repetition(Repetition::OPTIONAL)
        .with_logical_type(means)
        .with_precision(precision)
        .with_scale(scale);
    match length {
        0 => builder.build(),
        length => builder.with_length(length).build(),
    }
}

impl ParquetTable {
    fn of(table: &'static Table) -> Result<ParquetTable, TableError> {
        let fields: Result<Vec<_>, ParquetError> =
            table.columns.iter().map(|column| stored(column).map(Arc::new)).collect();
        let schema = Type::group_type_builder(table.name).with_fields(fields.map_err(said)?).build();
        let properties = WriterProperties::builder().set_compression(Compression::SNAPPY).build();
        let writer =
            SerializedFileWriter::new(Vec::new(), Arc::new(schema.map_err(said)?), Arc::new(properties));
        Ok(ParquetTable { table, writer: writer.map_err(said)?, held: Vec::new() })
    }

    /// Adds rows.
    pub fn add(&mut self, rows: &[Vec<Cell>]) -> Result<(), TableError> {
        self.held.extend_from_slice(rows);
        if self.held.len() >= TOGETHER { self.write() } else { Ok(()) }
    }

    /// The file.
    pub fn finish(mut self) -> Result<Vec<u8>, TableError> {
        if !self.held.is_empty() {
            self.write()?;
        }
        self.writer.into_inner().map_err(said)
    }

    fn write(&mut self) -> Result<(), TableError> {
        let mut group = self.writer.next_row_group().map_err(said)?;
        for (at, column) in self.table.columns.iter().enumerate() {
            let cells = self.held.iter().map(|row| row.get(at).unwrap_or(&Cell::Blank));
            let Some(mut writer) = group.next_column().map_err(said)? else { break };
            let there: Vec<i16> = cells.clone().map(|cell| i16::from(*cell != Cell::Blank)).collect();
            let unfit = |cell: &Cell| TableError::Value {
                table: self.table.name,
                column: column.name,
                value: super::in_words(cell),
            };
            fill(writer.untyped(), column.kind, cells.filter(|cell| **cell != Cell::Blank), &there, unfit)?;
            writer.close().map_err(said)?;
        }
        group.close().map_err(said)?;
        self.held.clear();
        Ok(())
    }
}

/// Writes a column: its values without the blanks, and which rows are there.
fn fill<'a>(
    writer: &mut ColumnWriter<'_>,
    kind: Kind,
    cells: impl Iterator<Item = &'a Cell>,
    there: &[i16],
    unfit: impl Fn(&Cell) -> TableError,
) -> Result<(), TableError> {
    fn all<'a, T>(
        cells: impl Iterator<Item = &'a Cell>,
        unfit: impl Fn(&Cell) -> TableError,
        value: impl Fn(&Cell) -> Option<T>,
    ) -> Result<Vec<T>, TableError> {
        cells.map(|cell| value(cell).ok_or_else(|| unfit(cell))).collect()
    }
    let there = Some(there);
    let written = match writer {
        ColumnWriter::ByteArrayColumnWriter(to) => to.write_batch(&all(cells, unfit, text)?, there, None),
        ColumnWriter::Int32ColumnWriter(to) => to.write_batch(&all(cells, unfit, day)?, there, None),
        ColumnWriter::Int64ColumnWriter(to) if kind == Kind::Money => {
            to.write_batch(&all(cells, unfit, amount)?, there, None)
        }
        ColumnWriter::Int64ColumnWriter(to) => to.write_batch(&all(cells, unfit, whole)?, there, None),
        ColumnWriter::FixedLenByteArrayColumnWriter(to) => {
            to.write_batch(&all(cells, unfit, quantity)?, there, None)
        }
        ColumnWriter::BoolColumnWriter(to) => to.write_batch(&all(cells, unfit, mark)?, there, None),
        _ => return Err(TableError::Writer("a column of a kind that no table has".to_owned())),
    };
    written.map(|_| ()).map_err(said)
}

fn text(cell: &Cell) -> Option<ByteArray> {
    match cell {
        Cell::Text(text) => Some(ByteArray::from(text.as_str())),
        _ => None,
    }
}

/// Days since 1970-01-01.
fn day(cell: &Cell) -> Option<i32> {
    let first = NaiveDate::from_ymd_opt(1970, 1, 1)?;
    match cell {
        Cell::Day(day) => i32::try_from(day.signed_duration_since(first).num_days()).ok(),
        _ => None,
    }
}

/// The number without its decimal mark at so many places.
fn unscaled(cell: &Cell, places: u32) -> Option<i128> {
    let Cell::Decimal(number) = cell else { return None };
    let rounded = number.round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero);
    let missing = places.checked_sub(rounded.scale())?;
    rounded.mantissa().checked_mul(10_i128.checked_pow(missing)?)
}

fn amount(cell: &Cell) -> Option<i64> {
    let Cell::Decimal(number) = cell else { return None };
    // An amount that has more places than any currency is no amount.
    (*number == number.round_dp(PLACES.0)).then(|| unscaled(cell, PLACES.0))?.and_then(|n| n.try_into().ok())
}

fn quantity(cell: &Cell) -> Option<FixedLenByteArray> {
    let number: i128 = unscaled(cell, PLACES.1)?;
    Some(FixedLenByteArray::from(number.to_be_bytes().to_vec()))
}

fn whole(cell: &Cell) -> Option<i64> {
    match cell {
        Cell::Whole(number) => Some(*number),
        _ => None,
    }
}

fn mark(cell: &Cell) -> Option<bool> {
    match cell {
        Cell::Mark(yes) => Some(*yes),
        _ => None,
    }
}
