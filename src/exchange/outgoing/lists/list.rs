//! A purchase list as a value: what each format writes, so that all of them say the same.

use super::What;
use super::columns::{ListHead, NO_SUPPLIER, heads};
use crate::engine::deliveries::Came;
use crate::engine::lead;
use crate::engine::orders::Order;
use crate::engine::{Figures, PartFigures};
use crate::model::caution::{WHO_DECIDES, of_part};
use crate::model::words;
use crate::model::{Currency, Money, NeededAt, Part, Project, Selection, SelectionOption, Units};
use chrono::{Days, NaiveDate};
use rust_decimal::Decimal;

/// What is on order and to be ordered from one supplier.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PurchaseList {
    /// The name of the project.
    pub project: String,
    /// What the supplier is called; `None` for parts without one.
    pub supplier: Option<String>,
    /// The key of the supplier, empty without one: by it a calendar is known again. It is never shown.
    pub whose: String,
    /// Who it goes to and where the goods go; what is not known is left out.
    pub heads: Vec<ListHead>,
    /// Which orders are on it.
    pub what: What,
    /// The day the list is for.
    pub as_of: NaiveDate,
    /// Of all amounts.
    pub currency: Currency,
    /// The measures of the house, for the size of the paper.
    pub units: Units,
    /// The orders placed by day, then the one assumed for what is not ordered.
    pub orders: Vec<ListOrder>,
    /// Their sums.
    pub sums: Sums,
    /// What is paid and still to be paid of them together.
    pub money: OrderMoney,
}

/// An order of a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListOrder {
    /// The day it was placed; `None` for what is to be ordered.
    pub placed: Option<NaiveDate>,
    /// The number the supplier gave it; empty where nobody has noted one.
    pub number: String,
    /// What is to be remembered of it.
    pub note: String,
    /// What is bought.
    pub lines: Vec<ListLine>,
    /// Sums of the lines.
    pub sums: Sums,
    /// What is paid and still to be paid.
    pub money: OrderMoney,
    /// Goods still missing for free freight, where the supplier has such a threshold and they are.
    pub to_free_freight: Option<Money>,
}

/// What is paid and still to be paid of an order, by its account. Nothing is said while no line of it has a price.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct OrderMoney {
    /// What is to be paid with the order and has not been.
    pub deposit: Option<Money>,
    /// What was paid.
    pub paid: Option<Money>,
    /// What is still to be paid, the deposit in it; below zero when too much was paid.
    pub owed: Option<Money>,
}

impl OrderMoney {
    fn plus(self, other: OrderMoney) -> OrderMoney {
        let plus = |a: Option<Money>, b: Option<Money>| match (a, b) {
            (Some(a), Some(b)) => Some(a.plus(b)),
            (a, b) => a.or(b),
        };
        OrderMoney {
            deposit: plus(self.deposit, other.deposit),
            paid: plus(self.paid, other.paid),
            owed: plus(self.owed, other.owed),
        }
    }
}

/// Goods, freight and tax.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Sums {
    /// Goods: the subtotal.
    pub goods: Money,
    /// Freight.
    pub freight: Money,
    /// Tax.
    pub tax: Money,
    /// Parts of which nobody has said the price: the rest is without them.
    pub unpriced: usize,
}

impl Sums {
    /// What the sums leave out, in words: `2 parts have no price yet`. `None` where they are whole.
    pub fn left_out(&self) -> Option<String> {
        match self.unpriced {
            0 => None,
            1 => Some("1 part has no price yet".to_owned()),
            n => Some(format!("{n} parts have no price yet")),
        }
    }

    /// All of it.
    pub fn total(&self) -> Money {
        self.goods.plus(self.freight).plus(self.tax)
    }

    fn plus(self, other: Sums) -> Sums {
        Sums {
            goods: self.goods.plus(other.goods),
            freight: self.freight.plus(other.freight),
            tax: self.tax.plus(other.tax),
            unpriced: self.unpriced + other.unpriced,
        }
    }
}

/// A part on a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListLine {
    /// Its key: by it a calendar knows its entries again. It is never shown.
    pub key: String,
    /// The supplier's number for it.
    pub article: String,
    /// What it is for.
    pub selection: String,
    /// What was chosen.
    pub option: String,
    /// Its color, surface or material.
    pub finish: String,
    /// What is bought.
    pub part: String,
    /// The room it goes to.
    pub room: String,
    /// The phase that needs it; empty without one.
    pub phase: String,
    /// Which end of the phase needs it.
    pub at: NeededAt,
    /// Units to buy; `None` where the rule for it fails.
    pub quantity: Option<Decimal>,
    /// What it is counted in.
    pub unit: String,
    /// Price of a unit.
    pub unit_price: Option<Money>,
    /// Percent off.
    pub discount_pct: Decimal,
    /// Goods, with the shares of freight and tax.
    pub sums: Sums,
    /// What its order comes to, on the first line of the order.
    pub order_money: Option<OrderMoney>,
    /// How much of it came; `None` before it is ordered.
    pub came: Option<Came>,
    /// Its lead time in words, as the supplier said it; else what is typical, saying so.
    pub lead: String,
    /// The first day it can be ordered, for what is ordered only after a phase.
    pub orderable_from: Option<NaiveDate>,
    /// The day to ask the supplier by, while nobody has said a lead time.
    pub ask_by: Option<NaiveDate>,
    /// The last day to order it; `None` without a need date.
    pub order_by: Option<NaiveDate>,
    /// The day it must be on site.
    pub need_date: Option<NaiveDate>,
    /// The day it came or is expected.
    pub expected: Option<NaiveDate>,
    /// Arrives after its need date.
    pub late: bool,
    /// How far it has come.
    pub state: LineState,
    /// What becomes of it, where it is no longer wanted.
    pub back: Option<&'static str>,
    /// The day the supplier promised it for.
    pub promised_on: Option<NaiveDate>,
    /// What can hurt with it in the phase that needs it, and who decides.
    pub caution: String,
    /// The last day to send it back: it has come, is not built in, and the supplier takes things back.
    pub return_by: Option<NaiveDate>,
}

impl ListLine {
    /// The words for how far it has come, or for what becomes of it.
    pub fn state_words(&self) -> &'static str {
        self.back.unwrap_or_else(|| self.state.word())
    }
}

/// How far a line has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineState {
    /// Nothing has been ordered.
    ToOrder,
    /// It is on its way.
    Ordered,
    /// It has come.
    OnSite,
}

impl LineState {
    /// The word for it on lists.
    pub fn word(self) -> &'static str {
        match self {
            LineState::ToOrder => "to order",
            LineState::Ordered => "ordered",
            LineState::OnSite => "on site",
        }
    }
}

type PartOfOption<'a> = (&'a Selection, &'a SelectionOption, &'a Part);

/// Makes lists. Holds the parts by position, so that the lists of all suppliers cost one walk over the document.
pub struct Maker<'a> {
    project: &'a Project,
    figures: &'a Figures,
    parts: Vec<PartOfOption<'a>>,
}

impl<'a> Maker<'a> {
    /// Gets ready.
    pub fn new(project: &'a Project, figures: &'a Figures) -> Maker<'a> {
        Maker { project, figures, parts: project.all_parts().collect() }
    }

    /// The whole list of a supplier by position, or of the parts without one; `None` when there is nothing on it.
    pub fn list(&self, supplier: Option<usize>) -> Option<PurchaseList> {
        self.list_of(supplier, What::All)
    }

    /// As [`Self::list`], of some of the orders.
    pub fn list_of(&self, supplier: Option<usize>, what: What) -> Option<PurchaseList> {
        let list = self.list_or_empty(supplier, what);
        (!list.orders.is_empty()).then_some(list)
    }

    /// As [`Self::list_of`], with no orders when there are none.
    pub fn list_or_empty(&self, supplier: Option<usize>, what: What) -> PurchaseList {
        let settings = &self.project.settings;
        let seller = supplier.and_then(|at| self.project.suppliers.get(at));
        let on_it =
            |o: &&Order| o.supplier == supplier && !o.parts.is_empty() && what.takes(o.placed.is_some());
        let of_supplier = self.figures.orders.iter().filter(on_it);
        let orders: Vec<ListOrder> = of_supplier.map(|order| self.order(order)).collect();
        PurchaseList {
            project: settings.name.clone(),
            supplier: seller.map(|s| s.name.clone()),
            whose: seller.map_or(String::new(), |s| s.key.clone()),
            heads: heads(settings, seller),
            what,
            as_of: self.figures.as_of.date(),
            currency: settings.currency,
            units: settings.units,
            sums: orders.iter().fold(Sums::default(), |sums, order| sums.plus(order.sums)),
            money: orders.iter().fold(OrderMoney::default(), |sums, order| sums.plus(order.money)),
            orders,
        }
    }

    fn order(&self, order: &Order) -> ListOrder {
        let mut lines: Vec<ListLine> = order.parts.iter().filter_map(|at| self.line(*at)).collect();
        let sums = lines.iter().fold(Sums::default(), |sums, line| sums.plus(line.sums));
        let account = self.figures.account(self.project, order);
        let said = sums.unpriced < lines.len() || !account.billed.is_zero() || !account.paid.is_zero();
        let money = OrderMoney {
            deposit: said.then(|| account.deposit()),
            paid: said.then_some(account.paid),
            owed: said.then_some(account.owed),
        };
        if let Some(first) = lines.first_mut() {
            first.order_money = Some(money);
        }
        let own = order.own.and_then(|id| self.project.order(id));
        ListOrder {
            placed: order.placed.map(|day| day.date()),
            number: own.map_or(String::new(), |own| own.number.clone()),
            note: own.map_or(String::new(), |own| own.note.clone()),
            sums,
            money,
            lines,
            to_free_freight: order.to_free_freight.filter(|m| order.placed.is_none() && !m.is_zero()),
        }
    }

    fn caution(&self, part: &Part, f: &PartFigures) -> String {
        let phase = f.phase.and_then(|p| self.project.phases.get(p as usize));
        let found = of_part(part, phase, self.project.settings.year_built);
        let titles: Vec<&str> = found.iter().map(|c| c.hazard.title()).collect();
        if titles.is_empty() { String::new() } else { format!("{}. {WHO_DECIDES}", titles.join(", ")) }
    }

    fn line(&self, at: usize) -> Option<ListLine> {
        let ((selection, option, part), f) = (self.parts.get(at)?, self.figures.parts.get(at)?);
        let name = |s: &str| s.to_owned();
        Some(ListLine {
            key: name(&part.key),
            article: name(&part.article),
            selection: name(&selection.name),
            option: name(&option.name),
            finish: name(&option.finish),
            part: name(&part.name),
            room: self.project.room(selection.room).map_or(String::new(), |r| name(&r.name)),
            phase: f
                .phase
                .and_then(|p| self.project.phases.get(p as usize))
                .map_or(String::new(), |p| name(&p.name)),
            at: part.at,
            quantity: f.takeoff_error.is_none().then_some(f.quantity_to_buy),
            unit: name(&part.unit),
            unit_price: part.unit_price,
            discount_pct: part.discount_pct,
            sums: Sums {
                goods: f.amount,
                freight: f.freight,
                tax: f.tax,
                unpriced: usize::from(part.unit_price.is_none()),
            },
            order_money: None,
            came: self.figures.came(at),
            lead: lead_words(self.project, part),
            orderable_from: f.orderable_from.map(|d| d.date()),
            ask_by: f.ask_by.map(|d| d.date()),
            order_by: f.order_by.map(|d| d.date()),
            need_date: f.need_date.map(|d| d.date()),
            expected: f.arrival.map(|d| d.date()),
            late: f.late && !f.on_site,
            state: if f.on_site {
                LineState::OnSite
            } else if f.placed.is_some() {
                LineState::Ordered
            } else {
                LineState::ToOrder
            },
            back: self.figures.returns.of(at).map(|r| r.words()),
            promised_on: part.promised_on,
            caution: self.caution(part, f),
            return_by: self.return_by(f),
        })
    }

    fn return_by(&self, f: &PartFigures) -> Option<NaiveDate> {
        let days = self.project.suppliers.get(f.supplier? as usize)?.return_days?;
        let came = f.arrival.filter(|_| f.on_site && !f.built_in)?.date();
        came.checked_add_days(Days::new(u64::from(days)))
    }
}

/// A lead time in words: `6 weeks`, `typically 5 to 10 weeks`; empty where nobody has said one and none is typical.
fn lead_words(project: &Project, part: &Part) -> String {
    match (part.lead, lead::typical(project, part)) {
        (Some(n), _) => words::lead(n, part.lead_unit),
        (None, Some(t)) => words::typically(t.shortest.count, t.longest.count, t.longest.unit),
        (None, None) => String::new(),
    }
}

impl PurchaseList {
    /// What the supplier is called; words for none.
    pub fn seller_name(&self) -> &str {
        self.supplier.as_deref().unwrap_or(NO_SUPPLIER)
    }

    /// What it is called.
    pub fn title(&self) -> String {
        match self.what {
            What::All => "Purchase list".to_owned(),
            what => format!("Purchase list, {}", what.title()),
        }
    }

    /// What stands above the lines in a column; empty where it is not known.
    pub fn head(&self, column: &str) -> &str {
        self.heads.iter().find(|head| head.name == column).map_or("", |head| head.text.as_str())
    }

    /// All lines with the order they are in.
    pub fn lines(&self) -> impl Iterator<Item = (&ListOrder, &ListLine)> {
        self.orders.iter().flat_map(|order| order.lines.iter().map(move |line| (order, line)))
    }
}
