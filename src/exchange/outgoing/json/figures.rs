//! All computed figures as JSON.
//!
//! Money is text with the currency's minor digits, quantities are text without trailing zeros, dates are ISO 8601
//! text; `null` where there is none. The names of the fields are fixed; fields may be added.

use super::alternatives::AlternativeJson;
use super::bids::{self, BidsJson, CashJson, ChangeJson, DrawJson, OpenChangesJson};
use super::closing_out::ClosedOutJson;
use super::curve::CurveJson;
use super::gates::{self, CautionJson, GateJson, HeldByGateJson};
use super::in_use::{self, ClosingJson, InUseJson, StorageJson};
use super::orders::{self, AccountJson, DeliveryJson, PaymentJson, ReceivedJson, SuggestionJson};
use super::people::{self, BookingJson, CallJson, CrewJson, PermitJson, TwiceJson};
use super::risk::RiskJson;
use super::selections::SelectionJson;
use super::story::{self, KeptPlanJson, LineJson};
use super::swaps::{self, FactJson, ReturnJson, RuleJson, SwapJson};
use super::week::{self, WeekLineJson};
use crate::engine::figures::{Figures, PartFigures, PhaseFigures};
use crate::engine::money::Columns;
use crate::engine::{Day, risk::order_by_at, takeoff::TakeoffError, trades::Scope};
use crate::model::{Currency, Money, Problem, Project};
use serde::Serialize;

/// Everything, ready to be written. The fields are the figures of the same names in the engine.
#[derive(Debug, Serialize)]
pub struct FiguresJson {
    as_of: String,
    plan_finish: Option<String>,
    forecast_finish: Option<String>,
    confidence: u32,
    days_lost: Option<i32>,
    after_target: Option<i32>,
    moved: Option<MovedJson>,
    assumed: AssumedJson,
    phases: Vec<PhaseJson>,
    gates: Vec<GateJson>,
    parts: Vec<PartJson>,
    money: MoneyJson,
    problems: Vec<ProblemJson>,
    selections: Vec<SelectionJson>,
    orders: Vec<OrderJson>,
    cash: Vec<CashJson>,
    bids: Vec<BidsJson>,
    draws: Vec<DrawJson>,
    changes: Vec<ChangeJson>,
    open_changes: OpenChangesJson,
    swaps: Vec<SwapJson>,
    returns: Vec<ReturnJson>,
    rules: Vec<RuleJson>,
    cautions: Vec<CautionJson>,
    facts: Vec<FactJson>,
    deliveries: Vec<DeliveryJson>,
    payments: Vec<PaymentJson>,
    order_days: Vec<SuggestionJson>,
    crews: Vec<CrewJson>,
    calls: Vec<CallJson>,
    crews_twice: Vec<TwiceJson>,
    permits: Vec<PermitJson>,
    in_use: InUseJson,
    storage: Option<StorageJson>,
    return_closes: Vec<ClosingJson>,
    #[serde(flatten)]
    closed_out: ClosedOutJson,
    log: Vec<LineJson>,
    kept_plans: Vec<KeptPlanJson>,
    week: Vec<WeekLineJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    risk: Option<RiskJson>,
    #[serde(flatten)]
    curve: Option<CurveJson>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) alternatives: Vec<AlternativeJson>,
}

impl FiguresJson {
    pub(super) fn and_curve(self, curve: CurveJson) -> FiguresJson {
        FiguresJson { curve: Some(curve), ..self }
    }

    pub(super) fn and_risk(self, risk: RiskJson) -> FiguresJson {
        FiguresJson { risk: Some(risk), ..self }
    }
}

/// A phase.
#[derive(Debug, Serialize)]
struct PhaseJson {
    key: String,
    early_start: Option<String>,
    early_finish: Option<String>,
    late_start: Option<String>,
    late_finish: Option<String>,
    total_float: Option<i32>,
    free_float: Option<i32>,
    critical: bool,
    forecast_start: Option<String>,
    forecast_finish: Option<String>,
    held_by: Vec<HeldJson>,
    held_days: i32,
    held_by_gate: Vec<HeldByGateJson>,
    gate_days: i32,
    cautions: Vec<&'static str>,
    target_float: Option<i32>,
    #[serde(flatten)]
    booking: BookingJson,
}

/// A part that holds a phase, and the working days that would be won without it.
#[derive(Debug, Serialize)]
struct HeldJson {
    part: String,
    days: i32,
}

/// A part.
#[derive(Debug, Serialize)]
struct PartJson {
    key: String,
    option: String,
    selection: String,
    room: Option<String>,
    supplier: Option<String>,
    phase: Option<String>,
    live: bool,
    quantity_to_buy: Option<String>,
    amount: Option<String>,
    freight: String,
    tax: Option<String>,
    total: Option<String>,
    need_date: Option<String>,
    lead_known: bool,
    assumed: bool,
    expected: Option<String>,
    ask_by: Option<String>,
    arrival: Option<String>,
    order_by: Option<String>,
    order_by_sure: Option<String>,
    last_safe_order: Option<String>,
    orderable_from: Option<String>,
    days_in_hand: Option<i32>,
    late: bool,
    costs_days: i32,
    overdue: bool,
    #[serde(flatten)]
    received: ReceivedJson,
}

/// The money of the project.
#[derive(Debug, Serialize)]
struct MoneyJson {
    #[serde(flatten)]
    total: ColumnsJson,
    contingency: String,
    contingency_left: String,
    unpriced_phases: Vec<String>,
    unpriced_days: i32,
    open_scopes: Vec<ScopeJson>,
    by_room: Vec<GroupJson>,
    by_supplier: Vec<GroupJson>,
    by_category: Vec<GroupJson>,
    by_phase: Vec<GroupJson>,
}

/// A scope without an accepted quote, with what counts for it.
#[derive(Debug, Serialize)]
struct ScopeJson {
    scope: String,
    quote: String,
    by_allowance: bool,
    amount: String,
    phases: Vec<String>,
}

/// By what the finish moved, in working days.
#[derive(Debug, Serialize)]
struct MovedJson {
    days: i32,
    sign_offs: i32,
    deliveries: i32,
    gates: i32,
}

/// How much of the forecast dates is assumed.
#[derive(Debug, Serialize)]
struct AssumedJson {
    parts: usize,
    phases: usize,
    finish: bool,
}

/// The columns of the ledger.
#[derive(Debug, Serialize)]
pub(super) struct ColumnsJson {
    allowance: String,
    chosen: String,
    ordered: String,
    paid: String,
    to_pay: String,
    forecast: String,
    over_under: String,
    assumed: String,
    unpriced_parts: u32,
    left_out: u32,
}

/// A row of the ledger; without a key it is what belongs to none.
#[derive(Debug, Serialize)]
struct GroupJson {
    key: Option<String>,
    #[serde(flatten)]
    columns: ColumnsJson,
}

/// A problem.
#[derive(Debug, Serialize)]
struct ProblemJson {
    severity: &'static str,
    code: &'static str,
    about: String,
    message: String,
}

/// An order that was placed, or the one assumed for what is not ordered.
#[derive(Debug, Serialize)]
struct OrderJson {
    supplier: Option<String>,
    placed: Option<String>,
    parts: Vec<String>,
    /// Lines that were cancelled before they came.
    cancelled: Vec<String>,
    goods: String,
    freight: String,
    tax: String,
    total: String,
    to_free_freight: Option<String>,
    #[serde(flatten)]
    account: AccountJson,
}

/// The figures as text.
///
/// # Errors
/// None that is known of; the writer of the text has the last word.
pub fn to_text(
    project: &Project,
    figures: &Figures,
    problems: &[Problem],
) -> Result<String, serde_json::Error> {
    written(&figures_json(project, figures, problems))
}

/// Figures as text that are ready to be written.
///
/// # Errors
/// As [`to_text`].
pub fn written(figures: &FiguresJson) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(figures)
}

/// The figures as values ready to be written.
pub fn figures_json(project: &Project, figures: &Figures, problems: &[Problem]) -> FiguresJson {
    let names = Names::new(project);
    let problem = |p: &Problem| ProblemJson {
        severity: p.severity.word(),
        code: p.code,
        about: p.about.clone(),
        message: p.message.clone(),
    };
    FiguresJson {
        as_of: figures.as_of.to_string(),
        plan_finish: day(figures.plan_finish),
        forecast_finish: day(figures.forecast_finish),
        confidence: project.settings.confidence,
        days_lost: figures.days_lost,
        after_target: figures.after_target(project),
        moved: figures.moved.map(|m| MovedJson {
            days: m.days(),
            sign_offs: m.sign_offs,
            deliveries: m.deliveries,
            gates: m.gates,
        }),
        assumed: AssumedJson {
            parts: figures.assumed.parts,
            phases: figures.assumed.phases,
            finish: figures.assumed.finish,
        },
        phases: figures.phases.iter().enumerate().map(|(i, f)| names.phase(figures, i, f)).collect(),
        gates: gates::gates(project, figures),
        parts: figures.parts.iter().enumerate().map(|(i, f)| names.part(figures, i, f)).collect(),
        money: names.money(figures),
        problems: problems.iter().map(problem).collect(),
        selections: figures
            .selections
            .iter()
            .enumerate()
            .map(|(i, f)| names.selection(figures, i, f))
            .collect(),
        orders: figures.orders.iter().map(|o| names.order(figures, o)).collect(),
        cash: bids::cash(&names, figures),
        bids: bids::bids(&names, figures),
        draws: bids::draws(&names, figures),
        changes: bids::changes(&names, figures),
        open_changes: bids::open_changes(&names, figures),
        swaps: swaps::swaps(project),
        returns: swaps::returns(project, figures),
        rules: swaps::rules(project),
        cautions: gates::all_cautions(project),
        facts: swaps::facts(project),
        deliveries: orders::deliveries(project, figures),
        payments: orders::payments(project, figures),
        order_days: orders::order_days(project, figures, |at| names.part_key(at)),
        crews: people::crews(project, &figures.people),
        calls: people::calls(project, figures),
        crews_twice: people::twice(project, &figures.people),
        permits: people::permits(project, figures),
        in_use: in_use::in_use(project, figures),
        storage: in_use::storage(&names, figures),
        return_closes: in_use::closing(&names, figures),
        closed_out: ClosedOutJson::new(&names, figures),
        log: story::log(&names, figures),
        kept_plans: story::kept_plans(&names, figures),
        week: week::lines(project, figures),
        risk: None,
        curve: None,
        alternatives: Vec::new(),
    }
}

pub(super) fn day(day: Option<Day>) -> Option<String> {
    day.map(|d| d.to_string())
}

fn part_keys(project: &Project) -> Vec<&str> {
    project.all_parts().map(|(_, _, part)| part.key.as_str()).collect()
}

pub(super) struct Names<'a> {
    pub(super) project: &'a Project,
    pub(super) currency: Currency,
    part_keys: Vec<&'a str>,
}

impl<'a> Names<'a> {
    pub(super) fn new(project: &'a Project) -> Names<'a> {
        Names { project, currency: project.settings.currency, part_keys: part_keys(project) }
    }
    pub(super) fn money_text(&self, amount: Money) -> String {
        amount.to_plain(self.currency)
    }

    pub(super) fn part_key(&self, at: usize) -> String {
        self.part_keys.get(at).map_or(String::new(), |key| (*key).to_owned())
    }

    fn supplier_key(&self, at: Option<usize>) -> Option<String> {
        at.and_then(|at| self.project.suppliers.get(at)).map(|s| s.key.clone())
    }

    pub(super) fn phase_key(&self, at: Option<usize>) -> Option<String> {
        at.and_then(|at| self.project.phases.get(at)).map(|p| p.key.clone())
    }

    fn phase(&self, figures: &Figures, at: usize, f: &PhaseFigures) -> PhaseJson {
        let held = |h: &crate::engine::figures::Held| HeldJson { part: self.part_key(h.part), days: h.days };
        PhaseJson {
            key: self.phase_key(Some(at)).unwrap_or_default(),
            early_start: day(f.early_start),
            early_finish: day(f.early_finish),
            late_start: day(f.late_start),
            late_finish: day(f.late_finish),
            total_float: f.total_float,
            free_float: f.free_float,
            critical: f.critical,
            forecast_start: day(f.forecast_start),
            forecast_finish: day(f.forecast_finish),
            held_by: f.held_by.iter().map(held).collect(),
            held_days: f.held_days,
            held_by_gate: gates::held(self.project, f),
            gate_days: f.gate_days,
            cautions: gates::words_of(self.project, at),
            target_float: f.target_float,
            booking: people::booking(self.project, &figures.people, at),
        }
    }

    fn part(&self, figures: &Figures, at: usize, f: &PartFigures) -> PartJson {
        let selection = self.project.selections.get(f.selection as usize);
        let option = selection.and_then(|s| s.options.get(f.option as usize));
        PartJson {
            key: self.part_key(at),
            option: option.map_or(String::new(), |o| o.key.clone()),
            selection: selection.map_or(String::new(), |s| s.key.clone()),
            room: selection.and_then(|s| self.project.room(s.room)).map(|r| r.key.clone()),
            supplier: self.supplier_key(f.supplier.map(|s| s as usize)),
            phase: self.phase_key(f.phase.map(|p| p as usize)),
            live: f.live,
            quantity_to_buy: quantity_text(f.quantity_to_buy, f.takeoff_error),
            amount: f.priced.then(|| self.money_text(f.amount)),
            freight: self.money_text(f.freight),
            tax: f.priced.then(|| self.money_text(f.tax)),
            total: f.priced.then(|| self.money_text(f.total())),
            need_date: day(f.need_date),
            lead_known: f.lead_known,
            assumed: f.is_assumed(),
            expected: day(f.expected),
            ask_by: day(f.ask_by),
            arrival: day(f.arrival),
            order_by: day(f.order_by),
            order_by_sure: day(order_by_at(self.project, figures, at, self.project.settings.confidence)),
            last_safe_order: day(f.last_safe_order),
            orderable_from: day(f.orderable_from),
            days_in_hand: f.days_in_hand,
            late: f.late,
            costs_days: f.costs_days,
            overdue: f.overdue,
            received: orders::received(figures, at, self.currency),
        }
    }

    pub(super) fn columns(&self, c: &Columns) -> ColumnsJson {
        ColumnsJson {
            allowance: self.money_text(c.allowance),
            chosen: self.money_text(c.chosen),
            ordered: self.money_text(c.ordered),
            paid: self.money_text(c.paid),
            to_pay: self.money_text(c.to_pay()),
            forecast: self.money_text(c.forecast),
            over_under: self.money_text(c.over_under()),
            assumed: self.money_text(c.assumed),
            unpriced_parts: c.unpriced,
            left_out: c.left_out,
        }
    }

    /// Rows with their keys; the last row belongs to none and is left out when there is nothing in it.
    fn groups(&self, rows: &[Columns], key: impl Fn(usize) -> Option<String>) -> Vec<GroupJson> {
        rows.iter()
            .enumerate()
            .map(|(i, c)| (key(i), c))
            .filter(|(key, c)| key.is_some() || **c != Columns::default())
            .map(|(key, c)| GroupJson { key, columns: self.columns(c) })
            .collect()
    }

    fn money(&self, figures: &Figures) -> MoneyJson {
        let money = &figures.money;
        let category: Vec<Columns> = money.by_category.iter().map(|(_, c)| *c).collect();
        let category_key = |i: usize| money.by_category.get(i).map(|(name, _)| name.clone());
        MoneyJson {
            total: self.columns(&money.total),
            contingency: self.money_text(money.contingency),
            contingency_left: self.money_text(money.contingency_left),
            unpriced_phases: figures
                .trades
                .unpriced
                .iter()
                .filter_map(|at| self.phase_key(Some(*at)))
                .collect(),
            unpriced_days: figures.trades.unpriced_days,
            open_scopes: figures.trades.open_scopes().map(|s| self.scope(s)).collect(),
            by_room: self.groups(&money.by_room, |i| self.project.rooms.get(i).map(|r| r.key.clone())),
            by_supplier: self.groups(&money.by_supplier, |i| self.supplier_key(Some(i))),
            by_category: self.groups(&category, |i| category_key(i).filter(|name| !name.is_empty())),
            by_phase: self.groups(&money.by_phase, |i| self.phase_key(Some(i))),
        }
    }

    fn scope(&self, scope: &Scope) -> ScopeJson {
        let quote = self.project.quotes.get(scope.quote);
        ScopeJson {
            scope: quote.map_or(String::new(), |q| q.scope.clone()),
            quote: quote.map_or(String::new(), |q| q.key.clone()),
            by_allowance: scope.by_allowance,
            amount: self.money_text(scope.amount),
            phases: scope.phases.iter().filter_map(|at| self.phase_key(Some(*at))).collect(),
        }
    }

    fn order(&self, figures: &Figures, order: &crate::engine::orders::Order) -> OrderJson {
        OrderJson {
            supplier: self.supplier_key(order.supplier),
            placed: day(order.placed),
            parts: order.parts.iter().map(|at| self.part_key(*at)).collect(),
            cancelled: order.cancelled.iter().map(|(at, _)| self.part_key(*at)).collect(),
            goods: self.money_text(order.goods),
            freight: self.money_text(order.freight),
            tax: self.money_text(order.tax),
            total: self.money_text(order.total()),
            to_free_freight: order.to_free_freight.map(|m| self.money_text(m)),
            account: orders::account(self.project, figures, order),
        }
    }
}

/// A quantity without trailing zeros; none where its rule fails.
pub(super) fn quantity_text(quantity: rust_decimal::Decimal, error: Option<TakeoffError>) -> Option<String> {
    error.is_none().then(|| crate::exchange::cell::number(quantity))
}
