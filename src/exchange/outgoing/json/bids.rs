//! Bids, installments, draws, changes and the weeks of cash as JSON.

use super::figures::Names;
use crate::engine::cash::CashWeek;
use crate::engine::money::draws::DrawFigures;
use crate::engine::trades::Bids;
use crate::engine::{Day, Figures};
use crate::model::change::is_open;
use crate::model::{Change, Draw, Installment};
use serde::Serialize;

/// Quotes that compete.
#[derive(Debug, Serialize)]
pub(super) struct BidsJson {
    scope: String,
    phases: Vec<String>,
    lowest: Option<String>,
    bids: Vec<BidJson>,
}

/// One of them.
#[derive(Debug, Serialize)]
struct BidJson {
    key: String,
    crew: Option<String>,
    amount: String,
    leveled: String,
    at_least: bool,
    left_out: Vec<LeftOutJson>,
    starts_on: Option<String>,
    days: Option<i32>,
    valid_until: Option<String>,
    expired: bool,
    accepted: bool,
    paid: String,
    installments: Vec<InstallmentJson>,
}

/// Something left out.
#[derive(Debug, Serialize)]
struct LeftOutJson {
    what: String,
    amount: Option<String>,
}

/// An installment.
#[derive(Debug, Serialize)]
struct InstallmentJson {
    what: String,
    amount: String,
    due: Option<String>,
    paid: String,
    paid_on: Option<String>,
    waiver_on: Option<String>,
}

/// A draw.
#[derive(Debug, Serialize)]
pub(super) struct DrawJson {
    key: String,
    amount: String,
    came: String,
    expected: Option<String>,
    overdue: bool,
}

/// What changes would add that nobody agreed to.
#[derive(Debug, Serialize)]
pub(super) struct OpenChangesJson {
    count: usize,
    days: i32,
    amount: String,
    unknown: usize,
}

/// A change of the work.
#[derive(Debug, Serialize)]
pub(super) struct ChangeJson {
    key: String,
    decision: Option<String>,
    phase: Option<String>,
    days: Option<i32>,
    amount: Option<String>,
    agreed: bool,
    open: bool,
}

/// Money due in a week, and what there is to pay with.
#[derive(Debug, Serialize)]
pub(super) struct CashJson {
    week: String,
    due: String,
    cumulative: String,
    draws: String,
    left: Option<String>,
    short: Option<String>,
}

fn text(day: Option<impl ToString>) -> Option<String> {
    day.map(|day| day.to_string())
}

/// All scopes with their bids.
pub(super) fn bids(names: &Names<'_>, figures: &Figures) -> Vec<BidsJson> {
    let of = |bids: &Bids| {
        let rows = bids.quotes.iter().filter_map(|at| bid(names, figures, *at));
        let scope = bids.quotes.iter().find_map(|at| names.project.quotes.get(*at));
        BidsJson {
            scope: scope.map_or(String::new(), |q| q.scope.clone()),
            phases: scope
                .map(|q| q.phases().filter_map(|id| names.phase_key(names.project.phase_at(id))).collect())
                .unwrap_or_default(),
            lowest: bids.lowest.and_then(|at| names.project.quotes.get(at)).map(|q| q.key.clone()),
            bids: rows.collect(),
        }
    };
    figures.trades.bids.iter().map(of).collect()
}

fn bid(names: &Names<'_>, figures: &Figures, at: usize) -> Option<BidJson> {
    let quote = names.project.quotes.get(at)?;
    let installments = figures.installments(names.project, quote);
    let one =
        |(i, f): (&Installment, crate::engine::money::installments::InstallmentFigures)| InstallmentJson {
            what: i.what.clone(),
            amount: names.money_text(f.amount),
            due: text(f.due),
            paid: names.money_text(f.paid),
            paid_on: text(i.paid_on),
            waiver_on: text(i.waiver_on),
        };
    let paid = crate::engine::money::installments::paid_on(quote, names.currency, figures.as_of.date());
    Some(BidJson {
        key: quote.key.clone(),
        crew: quote.crew.and_then(|id| names.project.crew(id)).map(|c| c.key.clone()),
        amount: names.money_text(quote.amount),
        leveled: names.money_text(quote.leveled()),
        at_least: quote.has_holes(),
        left_out: quote
            .left_out
            .iter()
            .map(|l| LeftOutJson { what: l.what.clone(), amount: l.amount.map(|sum| names.money_text(sum)) })
            .collect(),
        starts_on: text(quote.starts_on),
        days: quote.days,
        valid_until: text(quote.valid_until),
        expired: quote.valid_until.is_some_and(|until| Day::from(until) < figures.as_of),
        accepted: quote.accepted,
        paid: names.money_text(paid),
        installments: quote.installments.iter().zip(installments).map(one).collect(),
    })
}

/// All draws.
pub(super) fn draws(names: &Names<'_>, figures: &Figures) -> Vec<DrawJson> {
    let one = |(draw, f): (&Draw, &DrawFigures)| DrawJson {
        key: draw.key.clone(),
        amount: names.money_text(draw.amount),
        came: names.money_text(f.came),
        expected: text(f.expected),
        overdue: f.overdue,
    };
    names.project.draws.iter().zip(&figures.draws).map(one).collect()
}

/// All changes.
pub(super) fn changes(names: &Names<'_>, figures: &Figures) -> Vec<ChangeJson> {
    let on = figures.as_of.date();
    let one = |c: &Change| ChangeJson {
        key: c.key.clone(),
        decision: Some(c.decision.clone()).filter(|text| !text.is_empty()),
        phase: names.phase_key(c.phase.and_then(|id| names.project.phase_at(id))),
        days: c.days,
        amount: c.amount.map(|sum| names.money_text(sum)),
        agreed: c.is_agreed(on),
        open: is_open(names.project, c, on),
    };
    names.project.changes.iter().map(one).collect()
}

/// What is not agreed on.
pub(super) fn open_changes(names: &Names<'_>, figures: &Figures) -> OpenChangesJson {
    let open = figures.open_changes;
    OpenChangesJson {
        count: open.count,
        days: open.days,
        amount: names.money_text(open.amount),
        unknown: open.unknown,
    }
}

/// The weeks.
pub(super) fn cash(names: &Names<'_>, figures: &Figures) -> Vec<CashJson> {
    let week = |w: &CashWeek| CashJson {
        week: w.monday.to_string(),
        due: names.money_text(w.due),
        cumulative: names.money_text(w.cumulative),
        draws: names.money_text(w.draws),
        left: w.left.map(|left| names.money_text(left)),
        short: w.short().map(|short| names.money_text(short)),
    };
    figures.cash.iter().map(week).collect()
}
