//! Orders: a supplier's lines placed together, with freight and tax shared so that lines add up to the cent.

use crate::engine::calendar::Day;
use crate::engine::own_orders::{OrderTable, OwnOrder};
use crate::engine::parts::PartFigures;
use crate::model::money::{from_minor_units, minor_units, share_units};
use crate::model::{Currency, Money, OrderId, Project, Supplier, TaxBy};
use rust_decimal::Decimal;
use smallvec::SmallVec;

/// Positions of parts. Most orders have a few lines; those of a few need no memory of their own.
pub type LineList = SmallVec<[usize; 4]>;

/// One line of an order.
#[derive(Debug, Clone, Copy)]
pub struct Line {
    /// Position of the part in the document.
    pub part: usize,
    /// Units bought.
    pub quantity: Decimal,
    /// Goods.
    pub amount: Money,
    /// Whether sales tax applies.
    pub taxable: bool,
}

/// A line as it is priced: small, so that the lines of one order lie side by side however far apart their parts stand.
#[derive(Debug, Clone, Copy)]
struct Row {
    part: u32,
    taxable: bool,
    /// Goods in minor units. No line is larger than fits: what is too large counts as none.
    units: i64,
}

impl Row {
    fn of(part: usize, figures: &PartFigures, digits: u32) -> Row {
        Row { part: part as u32, taxable: figures.taxable, units: small_units(figures.amount, digits) }
    }
}

fn small_units(amount: Money, digits: u32) -> i64 {
    minor_units(amount, digits).clamp(i64::MIN.into(), i64::MAX.into()) as i64
}

/// A supplier's lines placed together: on a day, or not yet.
#[derive(Debug, Clone, PartialEq)]
pub struct Order {
    /// Position of the supplier in the document; `None` for parts without one.
    pub supplier: Option<usize>,
    /// The day it was placed; `None` for the one order assumed for what is not ordered.
    pub placed: Option<Day>,
    /// Which of the orders that the user grouped it is; `None` for parts taken together by supplier and day.
    pub own: Option<OrderId>,
    /// Freight as the supplier confirmed it, in place of its terms.
    pub confirmed: Option<Money>,
    /// Positions of its parts in the document, in document order.
    pub parts: LineList,
    /// Lines that were cancelled before they came, with the day. They are not billed with the others any more.
    pub cancelled: Vec<(usize, Day)>,
    /// Goods.
    pub goods: Money,
    /// Freight.
    pub freight: Money,
    /// Tax.
    pub tax: Money,
    /// What freight hangs on: goods still missing for free freight, where the supplier has a threshold.
    pub to_free_freight: Option<Money>,
}

impl Order {
    fn empty(supplier: Option<usize>, placed: Option<Day>) -> Order {
        let (own, confirmed, parts, cancelled, goods, freight, tax, to_free_freight) = Default::default();
        Order { supplier, placed, own, confirmed, parts, cancelled, goods, freight, tax, to_free_freight }
    }

    fn place(&self, without: usize) -> Place {
        let place = Place::new(self.supplier.map(|s| s as u32), self.placed, without);
        Place { own: self.own.map_or(0, |id| id.0), ..place }
    }

    /// Goods, freight and tax.
    pub fn total(&self) -> Money {
        self.goods.plus(self.freight).plus(self.tax)
    }

    /// Positions of all its parts, those cancelled last.
    pub fn all_parts(&self) -> impl Iterator<Item = usize> {
        self.parts.iter().copied().chain(self.cancelled.iter().map(|(at, _)| *at))
    }
}

/// Freight and tax of one line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Shares {
    /// Freight.
    pub freight: Money,
    /// Tax.
    pub tax: Money,
}

/// The freight of an order: flat, plus per unit, plus percent of the goods; nothing when the goods reach the
/// threshold for free freight.
pub fn freight(supplier: &Supplier, goods: Money, units: Decimal, currency: Currency) -> Money {
    let terms = &supplier.freight;
    if terms.free_over.is_some_and(|threshold| goods >= threshold) {
        return Money::ZERO;
    }
    let mut freight = terms.flat;
    if !terms.per_item.is_zero() {
        freight = freight.plus(Money::new(units.saturating_mul(terms.per_item.amount())));
    }
    freight = freight.round_half_up(currency);
    if terms.pct.is_zero() { freight } else { freight.plus(goods.percent(terms.pct, currency)) }
}

/// Where an order stands among the orders of a project: by supplier, those without one last, and by day, what is not
/// ordered last.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::engine) struct Place {
    slot: u32,
    /// Days since the first day there is.
    day: u32,
    /// The number of the user's own order; none is 0.
    own: u32,
}

impl Place {
    /// The order a part belongs to; `None` for one that is no candidate for an order. `without` is the slot of parts
    /// that have no supplier.
    pub fn of(part: &PartFigures, without: usize) -> Option<Place> {
        (part.live || part.placed.is_some()).then(|| Place::new(part.supplier, part.placed, without))
    }

    /// The same for a part that may be a line of an order of the user's own.
    pub fn with(part: &PartFigures, own: Option<OwnOrder>, without: usize) -> Option<Place> {
        let place = Place::of(part, without)?;
        Some(
            own.map_or(place, |own| Place {
                own: own.id.0,
                ..Place::new(part.supplier, own.placed, without)
            }),
        )
    }

    fn new(supplier: Option<u32>, placed: Option<Day>, without: usize) -> Place {
        let slot = supplier.map_or(without as u32, |s| s.min(without as u32));
        let day = placed.and_then(|d| u32::try_from(d.since(Day::first())).ok());
        Place { slot, day: day.unwrap_or(u32::MAX), own: 0 }
    }
}

/// Groups the parts that count, and those ordered for options no longer chosen, into orders, prices them and gives the
/// parts their freight and tax: by supplier in document order, those without one last, and by day, what is not ordered
/// last; lines of the user's own orders by these.
pub(in crate::engine) fn price_all(
    project: &Project,
    parts: &mut [PartFigures],
    own: &OrderTable,
) -> Vec<Order> {
    let without = project.suppliers.len();
    // Lines of the user's own orders are priced below.
    fn places<'a>(
        parts: &'a [PartFigures],
        own: &'a OrderTable,
        without: usize,
    ) -> impl Iterator<Item = (usize, Place)> + 'a {
        let alone = parts.iter().enumerate().filter(|(at, _)| own.of(*at).is_none());
        alone.filter_map(move |(at, f)| Some((at, Place::of(f, without)?)))
    }
    // How many lines each supplier has, then where its lines begin.
    let mut ends = vec![0; without + 1];
    places(parts, own, without).for_each(|(_, place)| ends[place.slot as usize] += 1);
    let mut end = 0;
    for slot in &mut ends {
        let count = *slot;
        *slot = end;
        end += count;
    }
    // Each line as its day and its part in one number: sorting those of a supplier brings its orders together, in
    // order, without a map.
    let mut lines = vec![0_u64; end];
    for (at, place) in places(parts, own, without) {
        let slot = &mut ends[place.slot as usize];
        lines[*slot] = u64::from(place.day) << 32 | at as u64;
        *slot += 1;
    }
    let mut orders = Vec::new();
    let mut desk = Desk::new(project.settings.tax_by, project.settings.currency);
    let mut start = 0;
    for (slot, end) in ends.into_iter().enumerate() {
        let theirs = &mut lines[start..end];
        start = end;
        theirs.sort_unstable();
        let supplier = project.suppliers.get(slot);
        for order in theirs.chunk_by(|a, b| a >> 32 == b >> 32) {
            let placed = order.first().and_then(|line| parts[*line as u32 as usize].placed);
            desk.take(parts, order.iter().map(|line| *line as u32 as usize));
            let quantity = |row: &Row| parts[row.part as usize].quantity_to_buy;
            orders.push(desk.price(supplier.map(|_| slot), supplier, placed, quantity));
            desk.hand_out(parts);
        }
    }
    if !own.is_empty() {
        price_own(project, parts, own, &mut desk, &mut orders);
    }
    orders
}

/// Takes lines that were cancelled before they came out of their orders. What is left is priced again: the supplier
/// still bills its freight. The lines keep what they were billed.
pub(in crate::engine) fn cancel(
    project: &Project,
    parts: &mut [PartFigures],
    orders: &mut [Order],
    lines: &[(usize, Day)],
) {
    for &(at, day) in lines {
        if let Some(n) = position(orders, parts, at) {
            orders[n].cancelled.push((at, day));
        }
    }
    for order in orders.iter_mut().filter(|o| !o.cancelled.is_empty()) {
        let gone = |at: &usize| order.cancelled.iter().any(|(gone, _)| gone == at);
        let rest = order.parts.iter().copied().filter(|at| !gone(at));
        let (rest, billed) = price_lines(project, parts, order, rest);
        for (at, billed) in rest.parts.iter().zip(billed) {
            (parts[*at].freight, parts[*at].tax) = (billed.freight, billed.tax);
        }
        *order = rest;
    }
}

/// Which order a part is a line of.
pub(in crate::engine) fn position(orders: &[Order], parts: &[PartFigures], at: usize) -> Option<usize> {
    let supplier = parts.get(at)?.supplier.map(|s| s as usize);
    orders.iter().position(|o| o.supplier == supplier && o.parts.binary_search(&at).is_ok())
}

/// An order as it would be billed with these of its lines, and the share of each.
pub(in crate::engine) fn price_lines(
    project: &Project,
    parts: &[PartFigures],
    order: &Order,
    lines: impl Iterator<Item = usize>,
) -> (Order, Vec<Shares>) {
    let currency = project.settings.currency;
    let digits = currency.minor_digits();
    let mut desk = Desk::new(project.settings.tax_by, currency);
    desk.rows.extend(lines.map(|at| Row::of(at, &parts[at], digits)));
    let supplier = order.supplier.and_then(|s| project.suppliers.get(s));
    let quantity = |row: &Row| parts[row.part as usize].quantity_to_buy;
    let priced = desk.price_confirmed(order.supplier, supplier, order.placed, order.confirmed, quantity);
    (Order { own: order.own, cancelled: order.cancelled.clone(), ..priced }, desk.shares)
}

/// Prices the orders that the user grouped, and puts them among the others.
fn price_own(
    project: &Project,
    parts: &mut [PartFigures],
    own: &OrderTable,
    desk: &mut Desk,
    orders: &mut Vec<Order>,
) {
    let without = project.suppliers.len();
    let mut lines: Vec<(Place, usize, OwnOrder)> = own
        .iter()
        .filter_map(|(at, order)| Some((Place::with(parts.get(at)?, Some(order), without)?, at, order)))
        .collect();
    lines.sort_unstable_by_key(|(place, at, _)| (*place, *at));
    for lines in lines.chunk_by(|a, b| a.0 == b.0) {
        let Some((_, first, order)) = lines.first() else { continue };
        let position = parts[*first].supplier.map(|s| s as usize);
        desk.take(parts, lines.iter().map(|(_, at, _)| *at));
        let supplier = position.and_then(|s| project.suppliers.get(s));
        let quantity = |row: &Row| parts[row.part as usize].quantity_to_buy;
        let priced = desk.price_confirmed(position, supplier, order.placed, order.freight, quantity);
        orders.push(Order { own: Some(order.id), ..priced });
        desk.hand_out(parts);
    }
    orders.sort_by_key(|order| order.place(without));
}

/// Prices an order: its sums, and the freight and tax of each line in the order of `lines`.
///
/// Tax by order: the rate on taxable goods, and on freight where the supplier taxes it, rounded once and shared by
/// largest remainder. Tax by line: the same on each line, rounded there.
pub fn price(
    lines: &[Line],
    position: Option<usize>,
    supplier: Option<&Supplier>,
    placed: Option<Day>,
    tax_by: TaxBy,
    currency: Currency,
) -> (Order, Vec<Shares>) {
    let mut desk = Desk::new(tax_by, currency);
    let digits = currency.minor_digits();
    desk.rows.extend(lines.iter().enumerate().map(|(at, line)| Row {
        part: at as u32,
        taxable: line.taxable,
        units: small_units(line.amount, digits),
    }));
    let mut order = desk.price(position, supplier, placed, |row| lines[row.part as usize].quantity);
    order.parts = lines.iter().map(|line| line.part).collect();
    (order, desk.shares)
}

/// Where orders are priced one after the other, in the same room.
struct Desk {
    tax_by: TaxBy,
    currency: Currency,
    rows: Vec<Row>,
    /// The freight and tax of each row of the order priced last.
    shares: Vec<Shares>,
    work: Vec<i128>,
    remainders: Vec<(u64, usize)>,
}

impl Desk {
    fn new(tax_by: TaxBy, currency: Currency) -> Desk {
        let (rows, shares, work, remainders) = Default::default();
        Desk { tax_by, currency, rows, shares, work, remainders }
    }

    /// Takes the lines of the next order.
    fn take(&mut self, parts: &[PartFigures], lines: impl Iterator<Item = usize>) {
        let digits = self.currency.minor_digits();
        self.rows.clear();
        self.rows.extend(lines.map(|at| Row::of(at, &parts[at], digits)));
    }

    /// Gives the lines of the order priced last their freight and tax.
    fn hand_out(&self, parts: &mut [PartFigures]) {
        for (row, share) in self.rows.iter().zip(&self.shares) {
            let part = &mut parts[row.part as usize];
            (part.freight, part.tax) = (share.freight, share.tax);
        }
    }

    fn price(
        &mut self,
        position: Option<usize>,
        supplier: Option<&Supplier>,
        placed: Option<Day>,
        quantity: impl Fn(&Row) -> Decimal,
    ) -> Order {
        self.price_confirmed(position, supplier, placed, None, quantity)
    }

    /// The same with the freight that the supplier confirmed, where it did.
    fn price_confirmed(
        &mut self,
        position: Option<usize>,
        supplier: Option<&Supplier>,
        placed: Option<Day>,
        confirmed: Option<Money>,
        quantity: impl Fn(&Row) -> Decimal,
    ) -> Order {
        let Desk { tax_by, currency, ref rows, ref mut shares, ref mut work, ref mut remainders } = *self;
        let digits = currency.minor_digits();
        work.clear();
        work.extend(rows.iter().map(|row| i128::from(row.units)));
        let goods = from_minor_units(work.iter().sum(), digits);
        let parts = rows.iter().map(|row| row.part as usize).collect();
        let mut order = Order { parts, goods, confirmed, ..Order::empty(position, placed) };
        shares.clear();
        shares.resize(rows.len(), Shares::default());
        let Some(supplier) = supplier else {
            return order;
        };
        let units = if supplier.freight.per_item.is_zero() {
            Decimal::ZERO
        } else {
            rows.iter().fold(Decimal::ZERO, |sum, row| sum.saturating_add(quantity(row)))
        };
        order.freight = match confirmed {
            _ if rows.is_empty() => Money::ZERO,
            Some(freight) => freight.round_half_up(currency),
            None => freight(supplier, goods, units, currency),
        };
        order.to_free_freight =
            supplier.freight.free_over.map(|threshold| threshold.less(goods).at_least(Money::ZERO));
        // First the freight of each line, then what is taxed of it, then its tax.
        if order.freight.is_zero() {
            work.fill(0);
        } else {
            share_units(minor_units(order.freight, digits), work, remainders);
        }
        for ((row, share), units) in rows.iter().zip(&mut *shares).zip(&mut *work) {
            share.freight = from_minor_units(*units, digits);
            let freight = if supplier.freight.taxed { *units } else { 0 };
            *units = freight + if row.taxable { i128::from(row.units) } else { 0 };
        }
        let tax = |units: i128| {
            minor_units(from_minor_units(units, digits).tax(supplier.tax_pct, currency), digits)
        };
        match tax_by {
            _ if supplier.tax_pct.is_zero() => work.fill(0),
            TaxBy::Line => work.iter_mut().for_each(|units| *units = tax(*units)),
            TaxBy::Order => share_units(tax(work.iter().sum()), work, remainders),
        }
        order.tax = from_minor_units(work.iter().sum(), digits);
        for (share, units) in shares.iter_mut().zip(work) {
            share.tax = from_minor_units(*units, digits);
        }
        order
    }
}
