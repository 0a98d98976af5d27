//! Rows of a list read by a setup: what each says, which cannot be read and why, and what has to be asked first.
//!
//! A row with a cell that cannot be read is bad as a whole. Numbers and dates that could be read two ways are settled by
//! all of their column; where nothing settles them, there is a question, and the rows concerned are bad until it is
//! answered.

use super::cells::{share, state};
use super::grid::{Grid, GridRow, RawCell};
use super::prices;
use super::setup::Setup;
use super::words;
use crate::exchange::notice::Notice;
use crate::exchange::typed::spaces::one_line;
use crate::exchange::typed::{date, lead, number};
use crate::model::{Currency, DateOrder, DecimalMark, LeadUnit, MapField, OptionState, Quantity};
use chrono::NaiveDate;
use rust_decimal::{Decimal, RoundingStrategy};
use std::collections::{BTreeSet, HashMap};

/// A row as far as it says something.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ListRow {
    /// Its number in the sheet.
    pub number: usize,
    /// Texts by field, without spaces around them.
    pub texts: HashMap<MapField, String>,
    /// The price of one unit.
    pub unit_price: Option<Decimal>,
    /// What was set aside.
    pub allowance: Option<Decimal>,
    /// Percent off.
    pub discount: Option<Decimal>,
    /// Percent for cutting.
    pub waste: Option<Decimal>,
    /// Units in a pack.
    pub pack: Option<Decimal>,
    /// The lead time; its unit is always settled.
    pub lead: Option<(u32, LeadUnit)>,
    /// Its bounds, in the same unit.
    pub lead_bounds: (Option<u32>, Option<u32>),
    /// Whether tax applies.
    pub taxable: Option<bool>,
    /// The day promised.
    pub promised_on: Option<NaiveDate>,
    /// The day to decide by.
    pub decide_on: Option<NaiveDate>,
    /// How much is needed.
    pub quantity: Option<Quantity>,
    /// Whether an option is the choice.
    pub state: Option<OptionState>,
    /// What the price is for stands in its cell.
    pub measured: bool,
    /// The price is what is paid in the end.
    pub net: bool,
    /// The day is the one on which it leaves its supplier.
    pub leaves: bool,
}

impl ListRow {
    /// The text of a field, or nothing.
    pub fn text(&self, field: MapField) -> &str {
        self.texts.get(&field).map_or("", String::as_str)
    }

    /// What messages call the row: its article, key or name.
    pub fn called(&self) -> &str {
        let fields =
            [MapField::Name, MapField::Option, MapField::Selection, MapField::Article, MapField::Key];
        fields.into_iter().map(|f| self.text(f)).find(|t| !t.is_empty()).unwrap_or("")
    }
}

/// Something that has to be said before a column can be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// The heading of the column.
    pub column: String,
    /// What is asked for.
    pub asks: Asks,
    /// The question in words.
    pub text: String,
    /// Columns to choose from, where it asks for one, with what stands in them.
    pub among: Vec<(usize, String)>,
}

/// What a question asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Asks {
    /// The mark before decimals.
    Decimal,
    /// The order of dates.
    Dates,
    /// What lead times are counted in.
    LeadUnit,
    /// Whether amounts in another currency are taken as they stand.
    Currency,
    /// Which column is the price.
    Price,
    /// Whether the discount is still to be taken off a price that is called net.
    Discount,
}

impl Asks {
    /// Whether nothing of the list is to be taken before it is answered.
    pub fn holds_all(self) -> bool {
        matches!(self, Asks::Price | Asks::Discount)
    }
}

/// What came of reading a list.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Reading {
    /// The good rows.
    pub rows: Vec<ListRow>,
    /// What is wrong with which cell of the bad ones.
    pub bad: Vec<Notice>,
    /// The numbers of the bad rows.
    pub bad_rows: BTreeSet<usize>,
    /// What has to be answered first.
    pub questions: Vec<Question>,
    /// What was settled or left out, worth knowing.
    pub remarks: Vec<Notice>,
}

/// Reads all rows below the headings.
pub fn read(grid: &Grid, setup: &Setup, currency: Currency) -> Reading {
    let mut reader = Reader::new(grid, setup, currency);
    reader.unread_prices();
    reader.ask_for_price();
    reader.ask_for_discount();
    let header = setup.header.and_then(|n| grid.rows.iter().find(|r| r.number == n));
    for row in setup.body(grid) {
        if header.is_some_and(|h| h.cells == row.cells) || reader.leaves_out(row) {
            continue;
        }
        match reader.row(row) {
            (read, bad) if bad.is_empty() => reader.out.rows.push(read),
            (_, bad) => {
                reader.out.bad_rows.insert(row.number);
                reader.out.bad.extend(bad);
            }
        }
    }
    reader.out
}

/// Reads each row below the headings as far as it can be read, with what is wrong with its cells.
pub fn rows(grid: &Grid, setup: &Setup, currency: Currency) -> Vec<(ListRow, Vec<Notice>)> {
    let mut reader = Reader::new(grid, setup, currency);
    setup.body(grid).map(|row| reader.row(row)).collect()
}

pub(super) struct Reader<'a> {
    pub(super) place: String,
    pub(super) headings: Vec<String>,
    pub(super) grid: &'a Grid,
    pub(super) setup: &'a Setup,
    pub(super) currency: Currency,
    /// The mark of each column that holds numbers.
    pub(super) decimals: HashMap<usize, Option<DecimalMark>>,
    pub(super) dates: Option<DateOrder>,
    /// The unit in the heading of the lead times.
    pub(super) heading_unit: Option<LeadUnit>,
    /// Signs of currencies above the table.
    pub(super) noted: Vec<String>,
    /// What the prices are for, by their heading.
    pub(super) measure: Option<String>,
    /// The price is what is paid in the end.
    pub(super) net: bool,
    asked: BTreeSet<(usize, u8)>,
    pub(super) out: Reading,
}

/// Why a cell is bad, and what to do.
pub(super) type Bad = String;

const NUMBERS: [MapField; 6] = [
    MapField::UnitPrice,
    MapField::Allowance,
    MapField::Discount,
    MapField::Waste,
    MapField::Pack,
    MapField::PricePer,
];

impl<'a> Reader<'a> {
    /// A reader with marks and orders settled from whole columns.
    fn new(grid: &'a Grid, setup: &'a Setup, currency: Currency) -> Reader<'a> {
        let mut reader = Reader {
            place: grid.place(),
            headings: grid.headings(setup.header),
            grid,
            setup,
            currency,
            decimals: HashMap::new(),
            dates: None,
            heading_unit: None,
            noted: prices::noted_currencies(grid, setup.header),
            measure: None,
            net: false,
            asked: BTreeSet::new(),
            out: Reading::default(),
        };
        if let Some(column) = setup.column(MapField::UnitPrice) {
            let heading = reader.headings.get(column).map_or("", String::as_str);
            reader.measure = prices::measure(heading);
            reader.net = prices::kind(heading) == Some(prices::PriceKind::Net);
        }
        reader.settle();
        reader
    }

    /// Settles marks and orders from whole columns.
    fn settle(&mut self) {
        let columns = NUMBERS.into_iter().chain([MapField::Quantity]);
        let columns: Vec<usize> = columns.filter_map(|f| self.setup.column(f)).collect();
        let mut hint: Option<DecimalMark> = None;
        let mut open: Vec<(usize, String)> = Vec::new();
        for column in columns {
            let texts = self.setup.body(self.grid).filter_map(|r| r.cell(column).as_text());
            let written: Vec<number::Written> = texts.filter_map(number::take_apart).collect();
            let settled = match self.setup.decimal {
                Some(mark) => Some(mark),
                None => match number::settle(written.iter().map(|w| w.body.as_str())) {
                    number::Settled::Mark(mark) => {
                        hint = hint.or(Some(mark));
                        Some(mark)
                    }
                    number::Settled::NoMatter => None,
                    number::Settled::Open(_) | number::Settled::Mixed(..) if self.setup.own.is_some() => None,
                    number::Settled::Open(example) => {
                        open.push((column, example));
                        None
                    }
                    number::Settled::Mixed(point, comma) => {
                        let text = format!(
                            "numbers are written in two ways here, `{point}` and `{comma}`; say whether a point or a comma stands before decimals"
                        );
                        self.ask(column, Asks::Decimal, text);
                        None
                    }
                },
            };
            self.decimals.insert(column, settled);
        }
        for (column, example) in open {
            let other = match hint {
                Some(DecimalMark::Comma) => " (other columns have a comma before decimals)",
                Some(DecimalMark::Point) => " (other columns have a point before decimals)",
                None => "",
            };
            let text = format!(
                "`{example}` can be read two ways, and nothing else in the column settles it; say whether a point or a comma stands before decimals{other}"
            );
            self.ask(column, Asks::Decimal, text);
        }
        self.settle_dates();
        if let Some(column) = self.setup.column(MapField::Lead) {
            self.heading_unit = lead::unit_in(&self.headings[column]);
        }
    }

    fn settle_dates(&mut self) {
        self.dates = self.setup.dates;
        if self.dates.is_some() {
            return;
        }
        let columns: Vec<usize> = [MapField::PromisedOn, MapField::DecideOn]
            .into_iter()
            .filter_map(|f| self.setup.column(f))
            .collect();
        for column in columns {
            let texts = self.setup.body(self.grid).filter_map(|r| r.cell(column).as_text());
            match date::settle(texts) {
                date::Settled::Order(order) => self.dates = Some(order),
                date::Settled::NoMatter => {}
                date::Settled::Open(_) if self.setup.own.is_some() => {
                    self.dates = self.setup.own.map(|own| own.dates);
                }
                date::Settled::Open(example) => {
                    let text = format!(
                        "`{example}` can be read two ways; say whether the day or the month stands first"
                    );
                    self.ask(column, Asks::Dates, text);
                }
                date::Settled::Mixed(a, b) => {
                    let text = format!(
                        "days are written in two ways here, `{a}` and `{b}`; say whether the day or the month stands first"
                    );
                    self.ask(column, Asks::Dates, text);
                }
            }
        }
    }

    pub(super) fn ask(&mut self, column: usize, asks: Asks, text: String) {
        if self.asked.insert((column, asks as u8)) {
            let column = self.headings.get(column).cloned().unwrap_or_default();
            self.out.questions.push(Question { column, asks, text, among: Vec::new() });
        }
    }

    /// Whether a row is a total, or a heading between rows; it is said.
    fn leaves_out(&mut self, row: &GridRow) -> bool {
        let mapped = self.setup.fields.iter().enumerate().filter(|(_, f)| f.is_some()).map(|(c, _)| c);
        let filled: Vec<usize> = mapped.filter(|c| !row.cell(*c).is_empty()).collect();
        let names = [MapField::Key, MapField::Article];
        let named = names
            .into_iter()
            .filter_map(|f| self.setup.column(f))
            .any(|c| !row.cell(c).is_empty() && !row.cell(c).as_text().is_some_and(words::is_total));
        let first = row.cells.iter().filter_map(RawCell::as_text).next().unwrap_or("");
        let total = !named && row.cells.iter().filter_map(RawCell::as_text).any(words::is_total);
        if total {
            self.remark(row, "this row holds a sum and was left out");
            return true;
        }
        let alone = row.filled() <= 1 && filled.len() <= 1;
        let says_what = filled.iter().any(|c| {
            let field = self.setup.fields[*c];
            // A lone key or name says nothing about it; a lone selection is one to be added.
            field == Some(MapField::Selection) || field == Some(MapField::UnitPrice)
        });
        if filled.is_empty() || (alone && !says_what) {
            if row.filled() > 0 && !first.is_empty() {
                let text = if first.chars().count() > 40 {
                    format!("{}…", first.chars().take(40).collect::<String>())
                } else {
                    first.to_owned()
                };
                self.remark(row, &format!("`{}` stands alone here and was left out", one_line(&text)));
            }
            return true;
        }
        false
    }

    pub(super) fn remark(&mut self, row: &GridRow, text: &str) {
        self.out.remarks.push(Notice::row(&self.place, row.number, text));
    }

    fn row(&mut self, row: &GridRow) -> (ListRow, Vec<Notice>) {
        let mut out = ListRow { number: row.number, ..ListRow::default() };
        let mut bad = Vec::new();
        if let Some(why) = self.too_wide(row) {
            return (out, vec![Notice::row(&self.place, row.number, why)]);
        }
        let fields: Vec<(usize, MapField)> =
            self.setup.fields.iter().enumerate().filter_map(|(c, f)| Some((c, (*f)?))).collect();
        for (column, field) in fields {
            if let Err(why) = self.cell(row, column, field, &mut out) {
                bad.push(Notice::cell(&self.place, row.number, &self.headings[column], why));
            }
        }
        if bad.is_empty()
            && let Err(notice) = self.between(row, &mut out)
        {
            bad.push(notice);
        }
        (out, bad)
    }

    fn cell(&mut self, row: &GridRow, column: usize, field: MapField, out: &mut ListRow) -> Result<(), Bad> {
        let cell = row.cell(column);
        if let RawCell::Broken(why) = cell {
            return Err(why.clone());
        }
        if cell.is_empty() {
            return Ok(());
        }
        use MapField as F;
        match field {
            F::UnitPrice => out.unit_price = self.money(row, column, out)?,
            F::Allowance => out.allowance = self.money(row, column, out)?,
            F::Discount if self.net && !self.setup.told_discount => {
                return Err("say whether this is still to be taken off the net price".to_owned());
            }
            F::Discount => out.discount = Some(self.discount(column, cell)?),
            F::Waste => out.waste = Some(self.percent(column, cell)?),
            F::Pack => {
                let pack = self.number(column, cell)?.0;
                // One, or none, in a pack is no pack.
                out.pack = (pack > Decimal::ONE || !pack.fract().is_zero()).then_some(pack);
            }
            F::Quantity => out.quantity = Some(self.quantity(column, cell)?),
            F::Lead => self.lead(row, column, cell, out)?,
            F::LeadMin => out.lead_bounds.0 = Some(self.whole(column, cell)?),
            F::LeadMax => out.lead_bounds.1 = Some(self.whole(column, cell)?),
            F::Taxable => {
                let known = match cell {
                    RawCell::Flag(flag) => Some(*flag),
                    cell => words::yes_no(&cell.shown()),
                };
                out.taxable = Some(known.ok_or_else(|| format!("`{}` is neither yes nor no", cell.shown()))?);
            }
            F::PromisedOn => {
                out.promised_on = Some(self.date(column, cell)?);
                out.leaves = self.headings.get(column).is_some_and(|h| words::is_of_leaving(h));
                self.name_year(row, cell, out.promised_on);
            }
            F::DecideOn => {
                out.decide_on = Some(self.date(column, cell)?);
                self.name_year(row, cell, out.decide_on);
            }
            F::State => out.state = Some(state(cell)?),
            F::PricePer | F::LeadUnit => {
                out.texts.insert(field, one_line(&cell.shown()));
            }
            F::Notes => {
                out.texts.insert(field, cell.shown().into_owned());
            }
            _ => {
                let text = one_line(&cell.shown());
                if text.chars().count() > 300 {
                    return Err("this is longer than 300 characters; is it the right column?".to_owned());
                }
                out.texts.insert(field, text);
            }
        }
        Ok(())
    }

    /// What only several cells together say: what a price is for, what a lead time is counted in.
    fn between(&mut self, row: &GridRow, out: &mut ListRow) -> Result<(), Notice> {
        if let (Some(price), Some(column)) = (out.unit_price, self.setup.column(MapField::PricePer))
            && !row.cell(column).is_empty()
        {
            let per = self.number(column, row.cell(column)).map(|(n, _)| n);
            let divided = per.ok().filter(|n| *n > Decimal::ZERO).and_then(|n| share(price, n));
            let why = "the price is for so many that one has no exact price; write the price of one";
            let bad = || Notice::cell(&self.place, row.number, &self.headings[column], why);
            out.unit_price = Some(divided.ok_or_else(bad)?);
        }
        if out.unit_price.is_some() {
            self.for_what(row, out)?;
            // What is net beside a list price has its discount taken off.
            let listed = |heading: &String| prices::kind(heading) == Some(prices::PriceKind::List);
            if self.net && self.setup.column(MapField::Discount).is_none() && self.headings.iter().any(listed)
            {
                out.discount = Some(Decimal::ZERO);
            }
            out.net = self.net;
        }
        if let Some(price) = out.unit_price {
            let places = self.currency.minor_digits() + 2;
            let rounded = price.round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero);
            if rounded != price {
                self.remark(row, &format!("the unit price {} is rounded to {rounded}", price.normalize()));
                out.unit_price = Some(rounded);
            }
        }
        let (min, max) = out.lead_bounds;
        if let Some((lead, _)) = out.lead {
            if min.is_some_and(|m| m > lead) || max.is_some_and(|m| m < lead) {
                let why =
                    format!("the lead time {lead} is not between its shortest and its longest; correct them");
                return Err(Notice::row(&self.place, row.number, why));
            }
        } else if min.is_some() || max.is_some() {
            // Without a likely one the longest counts, as in a range.
            let unit = self.lead_unit_of(row);
            match (max.or(min), unit) {
                (Some(lead), Some(unit)) => out.lead = Some((lead, unit)),
                (_, None) => {
                    let column =
                        self.setup.column(MapField::LeadMax).or(self.setup.column(MapField::LeadMin));
                    let column = column.unwrap_or(0);
                    self.ask_lead_unit(column);
                    return Err(Notice::cell(&self.place, row.number, &self.headings[column], NO_UNIT));
                }
                (None, _) => {}
            }
        }
        Ok(())
    }
}

pub(super) const NO_UNIT: &str =
    "this lead time has no word behind it; say whether it is days, weeks or working days";

/// The words of what is asked, as an option of the command takes them.
pub fn answers(asks: Asks) -> &'static str {
    match asks {
        Asks::Decimal => "--decimal point or --decimal comma",
        Asks::Dates => "--dates day or --dates month",
        Asks::LeadUnit => "--lead-unit days, weeks or working",
        Asks::Currency => "--any-currency",
        Asks::Price => "--map unit_price=HEADING, or --map unit_price= for none",
        Asks::Discount => "--map discount_pct=HEADING to take it off, --map discount_pct= where it is",
    }
}
