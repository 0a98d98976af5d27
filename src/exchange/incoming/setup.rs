//! How a list is to be read: the row with the headings, what each column holds, and how numbers and days are written.
//!
//! It is guessed from headings and cells, taken from a mapping that was remembered, or changed by hand.

use super::grid::{Grid, RawCell};
use super::words;
use crate::exchange::typed::spaces::one_line;
use crate::exchange::typed::{Typed, lead, number};
use crate::model::ids::key_from_name;
use crate::model::{
    DateOrder, DecimalMark, LeadUnit, MapField, MapInto, MappedColumn, Mapping, MappingId, Project,
    SupplierId,
};
use std::collections::HashSet;

/// Rows in which headings are looked for.
const HEADING_ROWS: usize = 20;
/// Cells of a row that are looked at to tell whether it holds headings.
const HEADING_CELLS: usize = 60;
/// Rows looked at to tell what a column holds.
const SAMPLE: usize = 200;

/// How a list is to be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Setup {
    /// The row with the headings; rows below it are read, or all rows when there is none.
    pub header: Option<usize>,
    /// What the rows are taken for.
    pub into: MapInto,
    /// What each column holds; left out where there is nothing.
    pub fields: Vec<Option<MapField>>,
    /// The mark before decimals; as each column itself says when not given.
    pub decimal: Option<DecimalMark>,
    /// The order of dates; as each column itself says when not given.
    pub dates: Option<DateOrder>,
    /// What lead times without a word are counted in.
    pub lead_unit: Option<LeadUnit>,
    /// Take amounts as they stand, whatever currency is written beside them.
    pub any_currency: bool,
    /// Columns of which each could be the price, where nothing tells which; nothing is read as one until it is said.
    pub rivals: Vec<usize>,
    /// Somebody said that no column is the price.
    pub told_no_price: bool,
    /// Somebody said whether the discount is to be taken off.
    pub told_discount: bool,
    /// How the project itself reads what nothing in a column settles; without it the user is asked.
    pub own: Option<Typed>,
}

/// A mapping that fits a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Known {
    /// The mapping.
    pub mapping: MappingId,
    /// Whose it is.
    pub supplier: Option<SupplierId>,
    /// What it makes of the list.
    pub setup: Setup,
}

impl Setup {
    /// A setup that reads no column yet.
    pub fn of(header: Option<usize>, into: MapInto) -> Setup {
        Setup {
            header,
            into,
            fields: Vec::new(),
            decimal: None,
            dates: None,
            lead_unit: None,
            any_currency: false,
            rivals: Vec::new(),
            told_no_price: false,
            told_discount: false,
            own: None,
        }
    }

    /// Guesses how a list is to be read. `into` is guessed too where it is not given.
    pub fn guess(
        grid: &Grid,
        project: &Project,
        supplier: Option<SupplierId>,
        into: Option<MapInto>,
    ) -> Setup {
        let header = find_header(grid);
        let headings = grid.headings(header);
        let into = into.unwrap_or_else(|| guess_into(&headings));
        let mut setup = Setup::of(header, into);
        setup.guess_fields(grid, project, supplier);
        setup
    }

    /// Guesses what the columns hold, from the headings and what stands below them.
    pub fn guess_fields(&mut self, grid: &Grid, project: &Project, supplier: Option<SupplierId>) {
        let headings = grid.headings(self.header);
        self.fields = vec![None; grid.width];
        let mut fits: Vec<(u32, usize, MapField)> = Vec::new();
        if self.header.is_some() {
            for (column, heading) in headings.iter().enumerate() {
                for field in MapField::of(self.into) {
                    let fit = words::fit(heading, field, self.into);
                    if fit > 0 {
                        fits.push((fit, column, field));
                    }
                }
            }
        }
        // The surest first; the first column where two are as sure.
        fits.sort_by_key(|(fit, column, field)| (std::cmp::Reverse(*fit), *column, *field));
        if self.into == MapInto::Prices {
            self.guess_keys(grid, project, supplier);
        }
        for (_, column, field) in fits {
            if self.fields[column].is_none() && !self.fields.contains(&Some(field)) {
                self.fields[column] = Some(field);
            }
        }
        self.settle_price(grid);
        if self.rivals.is_empty() {
            self.guess_from_cells(grid);
        }
        // One name in a list of selections is that of the selection.
        if self.into == MapInto::Selections
            && !self.fields.contains(&Some(MapField::Selection))
            && let Some(at) = self.fields.iter().position(|f| *f == Some(MapField::Name))
        {
            self.fields[at] = Some(MapField::Selection);
        }
    }

    /// A column whose cells are keys, or known article numbers, of the project is just that, whatever it is called.
    fn guess_keys(&mut self, grid: &Grid, project: &Project, supplier: Option<SupplierId>) {
        let parts = || project.all_parts().filter(|(_, _, p)| supplier.is_none() || p.supplier == supplier);
        let keys: HashSet<String> = parts().map(|(_, _, p)| p.key.to_lowercase()).collect();
        let articles: HashSet<String> = parts()
            .filter(|(_, _, p)| !p.article.is_empty())
            .map(|(_, _, p)| p.article.to_lowercase())
            .collect();
        for (field, known) in [(MapField::Article, articles), (MapField::Key, keys)] {
            let share = |column: usize| {
                let (mut hits, mut all) = (0_usize, 0_usize);
                for row in self.body(grid).take(SAMPLE) {
                    let text = row.cell(column).shown().to_lowercase();
                    if !text.is_empty() {
                        all += 1;
                        hits += usize::from(known.contains(&text));
                    }
                }
                if hits > 0 && hits * 2 >= all { hits } else { 0 }
            };
            let best = (0..grid.width).map(|c| (share(c), c)).filter(|(hits, _)| *hits > 0);
            if let Some((_, column)) = best.max_by_key(|(hits, column)| (*hits, grid.width - column))
                && self.fields[column].is_none()
            {
                self.fields[column] = Some(field);
            }
        }
    }

    /// Columns without a known heading may show by their cells that they are prices or lead times.
    fn guess_from_cells(&mut self, grid: &Grid) {
        let mostly = |setup: &Setup, column: usize, is: &dyn Fn(&RawCell) -> bool| {
            let (mut hits, mut all) = (0, 0);
            for row in setup.body(grid).take(SAMPLE) {
                let cell = row.cell(column);
                if !cell.is_empty() {
                    all += 1;
                    hits += usize::from(is(cell));
                }
            }
            hits > 0 && hits * 10 >= all * 6
        };
        let is_lead = |cell: &RawCell| {
            let text = cell.as_text().map(lead::read);
            matches!(text, Some(Ok(lead::LeadText::Time(lead::Lead { unit: Some(_), .. }))))
        };
        let is_price = |cell: &RawCell| match cell {
            RawCell::Amount(..) => true,
            RawCell::Text(text) => number::take_apart(text).is_some_and(|w| w.currency.is_some()),
            _ => false,
        };
        let headings = grid.headings(self.header);
        for (field, is) in
            [(MapField::Lead, &is_lead as &dyn Fn(&RawCell) -> bool), (MapField::UnitPrice, &is_price)]
        {
            if self.fields.contains(&Some(field)) {
                continue;
            }
            let open = |column: &usize| {
                self.fields[*column].is_none()
                    && !(field == MapField::UnitPrice
                        && self.header.is_some()
                        && words::is_known(&headings[*column]))
            };
            let found: Vec<usize> =
                (0..grid.width).filter(open).filter(|column| mostly(self, *column, is)).collect();
            if let [only] = found.as_slice() {
                self.fields[*only] = Some(field);
            }
        }
    }

    /// The rows below the headings.
    pub fn body<'a>(&self, grid: &'a Grid) -> impl Iterator<Item = &'a super::grid::GridRow> + use<'a> {
        let header = self.header.unwrap_or(0);
        grid.rows.iter().filter(move |r| r.number > header)
    }

    /// The column that holds a field.
    pub fn column(&self, field: MapField) -> Option<usize> {
        self.fields.iter().position(|f| *f == Some(field))
    }

    /// Lets no column hold a field: none is the price, or the discount is in it.
    pub fn take_away(&mut self, field: MapField) {
        self.fields.iter_mut().filter(|f| **f == Some(field)).for_each(|f| *f = None);
        self.told_discount |= field == MapField::Discount;
        if field == MapField::UnitPrice {
            self.rivals.clear();
            self.told_no_price = true;
        }
    }

    /// Lets a column hold a field, or nothing. What another column held of it is taken away.
    pub fn set(&mut self, column: usize, field: Option<MapField>) {
        self.told_discount |= field == Some(MapField::Discount);
        if field == Some(MapField::UnitPrice) {
            self.rivals.clear();
        }
        if field.is_some() {
            self.fields.iter_mut().filter(|f| **f == field).for_each(|f| *f = None);
        }
        if let Some(place) = self.fields.get_mut(column) {
            *place = field;
        }
    }

    /// The mapping to remember: under its own number when the same headings are remembered for the same supplier.
    /// `None` when no column is read.
    pub fn to_mapping(
        &self,
        grid: &Grid,
        project: &Project,
        supplier: Option<SupplierId>,
        id: u32,
    ) -> Option<Mapping> {
        let headings = grid.headings(self.header);
        let columns: Vec<MappedColumn> = headings
            .iter()
            .zip(&self.fields)
            .filter_map(|(heading, field)| Some(MappedColumn { heading: heading.clone(), field: (*field)? }))
            .collect();
        if columns.is_empty() {
            return None;
        }
        let same = |m: &&Mapping| {
            let names = |list: &[MappedColumn]| {
                list.iter().map(|c| one_line(&c.heading).to_lowercase()).collect::<HashSet<_>>()
            };
            let all = |m: &Mapping| names(&m.columns);
            let own = names(&columns);
            m.supplier == supplier
                && m.into == self.into
                && (all(m).is_subset(&own) || own.is_subset(&all(m)))
        };
        let known = project.mappings.iter().find(same);
        let base = supplier.and_then(|s| project.supplier(s)).map_or("list", |s| s.key.as_str());
        let keys = project.mappings.iter().map(|m| m.key.as_str());
        Some(Mapping {
            id: known.map_or(MappingId(id), |m| m.id),
            key: known.map_or_else(|| key_from_name(base, keys), |m| m.key.clone()),
            supplier,
            into: self.into,
            columns,
            decimal: self.decimal,
            dates: self.dates,
            lead_unit: self.lead_unit,
        })
    }
}

/// Finds a mapping that was remembered for a list like this: all of its headings are there. Of several the one with the
/// most columns; none when several suppliers have equally fitting ones and `supplier` does not say which.
pub fn recognize(
    grid: &Grid,
    project: &Project,
    supplier: Option<SupplierId>,
    into: Option<MapInto>,
) -> Option<Known> {
    let fits_wish = |m: &&Mapping| {
        (supplier.is_none() || m.supplier == supplier) && into.is_none_or(|into| m.into == into)
    };
    let candidates: Vec<&Mapping> = project.mappings.iter().filter(fits_wish).collect();
    if candidates.is_empty() {
        return None;
    }
    let rows = grid.rows.iter().take(HEADING_ROWS).map(|r| Some(r.number));
    let mut best: Option<(usize, &Mapping, Setup)> = None;
    let mut doubt = false;
    for header in rows.chain([None]) {
        let headings = grid.headings(header);
        for mapping in &candidates {
            let place = |heading: &str| headings.iter().position(|h| same_heading(h, heading));
            let Some(columns) = mapping
                .columns
                .iter()
                .map(|c| Some((place(&c.heading)?, c.field)))
                .collect::<Option<Vec<_>>>()
            else {
                continue;
            };
            let count = columns.len();
            let known = best.as_ref().map_or(0, |(n, _, _)| *n);
            if count < known {
                continue;
            }
            if count == known {
                doubt |= best.as_ref().is_some_and(|(_, m, _)| m.supplier != mapping.supplier);
                continue;
            }
            let mut fields = vec![None; grid.width];
            for (column, field) in columns {
                fields[column] = Some(field);
            }
            doubt = false;
            let setup = Setup {
                fields,
                decimal: mapping.decimal,
                dates: mapping.dates,
                lead_unit: mapping.lead_unit,
                told_discount: true,
                ..Setup::of(header, mapping.into)
            };
            best = Some((count, mapping, setup));
        }
    }
    let (_, mapping, setup) = best.filter(|_| !doubt)?;
    Some(Known { mapping: mapping.id, supplier: mapping.supplier, setup })
}

fn same_heading(a: &str, b: &str) -> bool {
    one_line(a).to_lowercase() == one_line(b).to_lowercase()
}

fn guess_into(headings: &[String]) -> MapInto {
    let sure = |field| headings.iter().any(|h| words::fit(h, field, MapInto::Selections) >= 250);
    let rooms = sure(MapField::Room);
    if rooms || (sure(MapField::Allowance) && sure(MapField::Selection)) {
        MapInto::Selections
    } else {
        MapInto::Prices
    }
}

/// The row with the headings: the one with the most known words among the first; else a first row of text over rows with
/// numbers.
pub fn find_header(grid: &Grid) -> Option<usize> {
    let first = grid.rows.iter().take(HEADING_ROWS);
    let known = |at: usize| {
        let row = &grid.rows[at];
        let texts = row.cells.iter().filter_map(RawCell::as_text).take(HEADING_CELLS);
        texts.filter(|t| t.chars().count() <= 60 && words::is_known(t)).count()
    };
    let scores: Vec<(usize, usize)> = first.enumerate().map(|(at, _)| (known(at), at)).collect();
    let best =
        scores.iter().copied().filter(|(n, _)| *n > 0).max_by_key(|(n, at)| (*n, std::cmp::Reverse(*at)));
    let wide = |at: usize| grid.rows[at].filled();
    if let Some((n, at)) = best
        && (n >= 2 || wide(at) <= 2)
    {
        return Some(lowest(grid, grid.rows[at].number));
    }
    let is_number = |c: &RawCell| match c {
        RawCell::Text(text) => number::take_apart(text).is_some(),
        RawCell::Empty | RawCell::Broken(_) => false,
        _ => true,
    };
    let all_text = |at: usize| {
        let row = &grid.rows[at];
        row.filled() >= 2
            && row.cells.iter().all(|c| c.is_empty() || (c.as_text().is_some() && !is_number(c)))
    };
    let numbers_below = |at: usize| grid.rows.get(at + 1).is_some_and(|r| r.cells.iter().any(is_number));
    let found = (0..grid.rows.len().min(HEADING_ROWS)).find(|at| all_text(*at) && numbers_below(*at));
    found.or(best.map(|(_, at)| at)).map(|at| grid.rows[at].number)
}

/// The last row of headings that take several rows shown as one.
fn lowest(grid: &Grid, number: usize) -> usize {
    let over = grid.merged.iter().filter(|m| (m.rows.0..=m.rows.1).contains(&number)).map(|m| m.rows.1);
    let bottom = over.max().unwrap_or(number);
    if bottom < number + 4 && grid.rows.iter().any(|r| r.number == bottom) { bottom } else { number }
}
