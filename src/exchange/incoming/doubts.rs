//! What is asked or said before a list is taken: which column is the price, whether its discount is in it, what prices are
//! for, rows that have more cells than headings, years of two figures.

use super::cells::share;
use super::grid::{GridRow, RawCell};
use super::prices;
use super::read::{Asks, Bad, ListRow, Question, Reader};
use super::words;
use crate::exchange::notice::Notice;
use crate::exchange::typed::number;
use crate::exchange::typed::spaces::one_line;
use crate::model::{MapField, MapInto};
use chrono::NaiveDate;
use rust_decimal::Decimal;

impl Reader<'_> {
    /// Prices with tax in them are never taken for unit prices by themselves; that is said.
    pub(super) fn unread_prices(&mut self) {
        if self.setup.column(MapField::UnitPrice).is_some() || self.setup.into == MapInto::Selections {
            return;
        }
        let gross =
            self.headings.iter().zip(&self.setup.fields).find(|(h, f)| f.is_none() && words::is_gross(h));
        if let Some((heading, _)) = gross {
            let text =
                "this seems to hold prices with tax, and unit prices here are before tax; it was left out";
            let notice = Notice { column: Some(heading.clone()), ..Notice::file(&self.place, text) };
            self.out.remarks.push(notice);
        }
    }

    /// Asks which column is the price, where several could be, and where none is and there are columns of numbers.
    pub(super) fn ask_for_price(&mut self) {
        if self.setup.column(MapField::UnitPrice).is_some() {
            return;
        }
        let named = |column: &usize| {
            let heading = self.headings.get(*column).cloned().unwrap_or_default();
            let example = prices::example(self.setup, self.grid, *column);
            (*column, format!("{heading}: {example}"))
        };
        if !self.setup.rivals.is_empty() {
            let among: Vec<(usize, String)> = self.setup.rivals.iter().map(named).collect();
            let names: Vec<String> = among.iter().map(|(_, text)| format!("`{text}`")).collect();
            let text = format!("each of these could be the price: {}; say which one is", names.join(", "));
            let column = self.setup.rivals.first().and_then(|c| self.headings.get(*c)).cloned();
            self.out.questions.push(Question {
                column: column.unwrap_or_default(),
                asks: Asks::Price,
                text,
                among,
            });
            return;
        }
        if self.setup.told_no_price || self.setup.into != MapInto::Prices {
            return;
        }
        let is_number = |cell: &RawCell| match cell {
            RawCell::Number(_) | RawCell::Amount(..) => true,
            RawCell::Text(text) => number::take_apart(text).is_some_and(|w| !w.percent),
            _ => false,
        };
        let open = |column: &usize| {
            self.setup.fields.get(*column).is_some_and(Option::is_none)
                && !self.headings.get(*column).is_some_and(|h| words::is_apart(h))
                && self.setup.body(self.grid).any(|row| is_number(row.cell(*column)))
        };
        let among: Vec<(usize, String)> = (0..self.grid.width).filter(open).map(|c| named(&c)).collect();
        let says = [
            MapField::Lead,
            MapField::LeadMin,
            MapField::LeadMax,
            MapField::PromisedOn,
            MapField::Discount,
            MapField::Pack,
        ];
        let says_else = says.iter().any(|field| self.setup.column(*field).is_some());
        if among.is_empty() && says_else {
            let text = "no column is read as a price, so prices stay as they are";
            self.out.remarks.push(Notice::file(&self.place, text));
            return;
        }
        let names: Vec<String> = among.iter().map(|(_, text)| format!("`{text}`")).collect();
        let text = match names.is_empty() {
            true => "no column is known as a price; say which one is".to_owned(),
            false => format!(
                "no column is known as a price; these hold numbers: {}; say which one is",
                names.join(", ")
            ),
        };
        let column = among.first().and_then(|(c, _)| self.headings.get(*c)).cloned().unwrap_or_default();
        self.out.questions.push(Question { column, asks: Asks::Price, text, among });
    }

    /// Asks whether a discount beside a net price is still to be taken off.
    pub(super) fn ask_for_discount(&mut self) {
        if let Some(column) =
            self.setup.column(MapField::Discount).filter(|_| self.net && !self.setup.told_discount)
        {
            let text =
                "the price is called net; say whether this is taken off already, or still to be taken off";
            self.ask(column, Asks::Discount, text.to_owned());
        }
    }

    /// A discount, also of several one after the other; one in money is none.
    pub(super) fn discount(&mut self, column: usize, cell: &RawCell) -> Result<Decimal, Bad> {
        let in_money =
            "this is an amount of money and no percentage; write the price after it as a net price";
        match cell {
            RawCell::Amount(..) => return Err(in_money.to_owned()),
            RawCell::Text(text) => {
                if let Some(pieces) = prices::chain(text) {
                    let mut percents = Vec::new();
                    for piece in &pieces {
                        let bare = RawCell::text(piece.trim_end_matches(['%', ' ']));
                        percents.push(self.percent(column, &bare)?);
                    }
                    let wrong = || format!("`{}` is no chain of discounts", one_line(text));
                    return prices::chained(&percents).ok_or_else(wrong);
                }
                let written = number::take_apart(text);
                if written.as_ref().is_some_and(|w| w.currency.is_some()) {
                    return Err(in_money.to_owned());
                }
                if written.is_some_and(|w| w.per.is_some()) {
                    return Err(format!("`{}` is no percentage", one_line(text)));
                }
                // A minus before a discount says no more than its heading.
                let bare = text.trim_start_matches(['-', '\u{2212}', '\u{2013}']).trim();
                return self.percent(column, &RawCell::text(bare));
            }
            _ => {}
        }
        self.percent(column, cell)
    }

    /// What the price is for by its heading: how many, and of what. What the row counts in must not say otherwise.
    pub(super) fn for_what(&mut self, row: &GridRow, out: &mut ListRow) -> Result<(), Notice> {
        let (Some(measure), Some(column)) = (self.measure.clone(), self.setup.column(MapField::UnitPrice))
        else {
            return Ok(());
        };
        if out.measured {
            return Ok(());
        }
        let bad = |why: String| Notice::cell(&self.place, row.number, &self.headings[column], why);
        let figures = measure.find(|c: char| !c.is_ascii_digit()).unwrap_or(measure.len());
        if figures > 0 {
            let n = measure[..figures].parse::<Decimal>().ok().filter(|n| *n > Decimal::ZERO);
            let one = n.zip(out.unit_price).and_then(|(n, price)| share(price, n));
            let why =
                || format!("this price is for {measure}, and one has no exact price; write the price of one");
            out.unit_price = Some(one.ok_or_else(|| bad(why()))?);
        }
        let unit = measure[figures..].trim();
        if unit.is_empty() {
            return Ok(());
        }
        let own = out.text(MapField::Unit).to_owned();
        if own.is_empty() {
            out.texts.insert(MapField::Unit, unit.to_owned());
        } else if words::unit(&own) != words::unit(unit) {
            let why = format!(
                "the price is for {unit} and the row counts in {own}; write the price of what is counted"
            );
            return Err(bad(why));
        }
        Ok(())
    }

    /// Why a row of a text file has more cells than there are headings.
    pub(super) fn too_wide(&self, row: &GridRow) -> Option<String> {
        let header = self.setup.header?;
        let headings = *self.grid.written.get(&header)?;
        (row.cells.len() > headings).then(|| {
            format!(
                "this row has {} cells where there are {headings} headings; a comma or another sign that parts cells may stand in one of them",
                row.cells.len()
            )
        })
    }

    /// Says which year is meant by two figures.
    pub(super) fn name_year(&mut self, row: &GridRow, cell: &RawCell, day: Option<NaiveDate>) {
        if let (RawCell::Text(text), Some(day)) = (cell, day) {
            let runs = text.split(|c: char| !c.is_ascii_digit()).map(str::len);
            if runs.max().unwrap_or(0) < 4 {
                self.remark(row, &format!("`{}` is taken for {day}", one_line(text)));
            }
        }
    }
}
