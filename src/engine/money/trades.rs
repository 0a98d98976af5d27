//! What trades cost: accepted quotes, scopes of which none is accepted yet, and work that has no price at all.
//!
//! Quotes for one scope compete; without a scope, those for the same phases do. They are compared leveled: with what they
//! leave out and somebody has priced. A scope without an accepted quote counts with its allowance, and where its quotes
//! state several with the largest of them; else with the lowest leveled price of those that leave out nothing unpriced,
//! and where all do, with the lowest, which is the least it can be. A quote without an amount is no price. What covers
//! several phases is split over them by their days.

use super::installments::paid_on;
use super::{About, CHANGES, EXTRAS, PERMITS, TRADES, Units};
use crate::engine::calendar::Day;
use crate::engine::index::Index;
use crate::model::money::{minor_units, share_units};
use crate::model::{ExtraKind, Money, Phase, PhaseId, PhaseKind, Project, Quote};
use std::collections::BTreeMap;

/// A scope of work as the forecast counts it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Scope {
    /// Position of the quote that counts, or that stands for it.
    pub quote: usize,
    /// Whether no quote is accepted for it.
    pub open: bool,
    /// Whether it counts with its allowance, and not with the amount of the quote.
    pub by_allowance: bool,
    /// What it counts with: the price leveled, or the allowance.
    pub amount: Money,
    /// Things left out of it that nobody has priced.
    pub holes: usize,
    /// Positions of the phases that it covers.
    pub phases: Vec<usize>,
}

/// Scopes and work of trades.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Trades {
    /// What counts: each accepted quote, and each scope without one that has an amount.
    pub scopes: Vec<Scope>,
    /// Positions of phases of work that are not finished and have no price.
    pub unpriced: Vec<usize>,
    /// Their working days together.
    pub unpriced_days: i32,
    /// Quotes that compete, in document order.
    pub bids: Vec<Bids>,
    /// The day they are looked at.
    as_of: Option<Day>,
}

/// Quotes that compete for one scope.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Bids {
    /// Positions of the quotes.
    pub quotes: Vec<usize>,
    /// Position of the one that may be called the lowest: it leaves out nothing unpriced, and no other can be lower. `None`
    /// where one that leaves something out begins below it, and where only one has a price.
    pub lowest: Option<usize>,
}

impl Bids {
    fn new(project: &Project, quotes: Vec<usize>) -> Bids {
        let priced = || quotes.iter().copied().filter(|at| !project.quotes[*at].amount.is_zero());
        let leveled = |at: &usize| (project.quotes[*at].leveled(), *at);
        let lowest = priced().min_by_key(leveled).filter(|_| priced().count() > 1);
        // Of those at the same price one without holes is as low as any.
        let lowest = lowest.and_then(|low| {
            let price = project.quotes[low].leveled();
            let whole =
                |at: &usize| project.quotes[*at].leveled() == price && !project.quotes[*at].has_holes();
            priced().find(whole)
        });
        Bids { quotes, lowest }
    }

    /// Whether a bid that leaves something unpriced begins below another of them, by position.
    pub fn is_undercut(&self, project: &Project, quote: usize) -> bool {
        let Some(own) = project.quotes.get(quote) else { return false };
        let rivals = self.quotes.iter().filter_map(|at| project.quotes.get(*at));
        let mut priced = rivals.filter(|q| !q.amount.is_zero());
        priced.any(|q| q.id != own.id && q.has_holes() && q.leveled() < own.leveled())
    }
}

/// What makes quotes compete.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum Rivals {
    Scope(String),
    Phases(Vec<PhaseId>),
    Alone(usize),
}

impl Trades {
    /// Reads quotes and phases of a project.
    pub fn new(project: &Project, index: &Index, as_of: Day) -> Trades {
        let mut groups: Vec<Vec<usize>> = Vec::new();
        let mut known: BTreeMap<Rivals, usize> = BTreeMap::new();
        for (at, quote) in project.quotes.iter().enumerate() {
            let mut phases: Vec<PhaseId> = quote.phases().collect();
            phases.sort_unstable();
            let rivals = match (quote.scope_read().as_str(), phases.is_empty()) {
                ("", true) => Rivals::Alone(at),
                ("", false) => Rivals::Phases(phases),
                (scope, _) => Rivals::Scope(scope.to_owned()),
            };
            let group = *known.entry(rivals).or_insert(groups.len());
            if group == groups.len() {
                groups.push(Vec::new());
            }
            groups[group].push(at);
        }
        let mut trades = Trades { as_of: Some(as_of), ..Trades::default() };
        for group in groups {
            let accepted = group.iter().filter(|at| project.quotes[**at].accepted);
            let before = trades.scopes.len();
            trades.scopes.extend(accepted.map(|at| accepted_scope(project, index, *at)));
            if trades.scopes.len() == before {
                trades.scopes.extend(open_scope(project, index, &group));
            }
            trades.bids.push(Bids::new(project, group));
        }
        trades.find_unpriced(project);
        trades
    }

    /// The scope that a quote stands for while none is accepted.
    pub fn open_scope(&self, quote: usize) -> Option<&Scope> {
        self.scopes.iter().find(|s| s.open && s.quote == quote)
    }

    /// Scopes without an accepted quote that count.
    pub fn open_scopes(&self) -> impl Iterator<Item = &Scope> {
        self.scopes.iter().filter(|s| s.open)
    }

    fn find_unpriced(&mut self, project: &Project) {
        let mut covered = vec![false; project.phases.len()];
        self.scopes.iter().flat_map(|s| &s.phases).for_each(|at| covered[*at] = true);
        let without = project.phases.iter().zip(covered).enumerate();
        self.unpriced = without
            .filter(|(_, (phase, covered))| !covered && wants_price(phase))
            .map(|(at, _)| at)
            .collect();
        let days = self.unpriced.iter().map(|at| project.phases[*at].counted_days());
        self.unpriced_days = days.fold(0, i32::saturating_add);
    }
}

/// Whether somebody will ask money for it: work of a trade that takes days, is not finished and is not the user's own.
fn wants_price(phase: &Phase) -> bool {
    phase.kind == PhaseKind::Work
        && !phase.trade.trim().is_empty()
        && phase.counted_days() > 0
        && phase.finished_on().is_none()
        && !phase.own_work
}

fn positions(project: &Project, index: &Index, quote: &Quote) -> Vec<usize> {
    quote.phases().filter_map(|id| index.of(id.0)).filter(|at| *at < project.phases.len()).collect()
}

fn accepted_scope(project: &Project, index: &Index, at: usize) -> Scope {
    let quote = &project.quotes[at];
    Scope {
        quote: at,
        open: false,
        by_allowance: false,
        amount: quote.leveled(),
        holes: quote.holes(),
        phases: positions(project, index, quote),
    }
}

/// A scope of candidates; `None` when none of them states an amount or an allowance.
fn open_scope(project: &Project, index: &Index, group: &[usize]) -> Option<Scope> {
    let quotes = || group.iter().map(|at| (*at, &project.quotes[*at]));
    let priced = quotes().filter(|(_, q)| !q.amount.is_zero());
    let lowest = priced.min_by_key(|(at, q)| (q.has_holes(), q.leveled(), *at));
    let allowance = quotes().filter_map(|(_, q)| q.allowance).filter(|a| !a.is_zero()).max();
    let stands = lowest.or_else(|| quotes().next())?;
    if let Some(amount) = allowance {
        let mut phases: Vec<usize> = Vec::new();
        for at in quotes().flat_map(|(_, q)| positions(project, index, q)) {
            if !phases.contains(&at) {
                phases.push(at);
            }
        }
        return Some(Scope { quote: stands.0, open: true, by_allowance: true, amount, holes: 0, phases });
    }
    let (at, quote) = lowest?;
    let phases = positions(project, index, quote);
    let (amount, holes) = (quote.leveled(), quote.holes());
    Some(Scope { quote: at, open: true, by_allowance: false, amount, holes, phases })
}

/// Shares an amount over phases by their working days, to the minor unit by largest remainder. When none of them takes
/// days, the first has all of it.
pub(super) fn by_days(project: &Project, phases: &[usize], total: i128) -> Vec<i128> {
    let mut shares: Vec<i128> =
        phases.iter().map(|at| i128::from(project.phases[*at].counted_days())).collect();
    share_units(total, &mut shares, &mut Vec::new());
    shares
}

/// What is set aside, agreed, paid and expected for a scope.
fn units_of(project: &Project, scope: &Scope, as_of: Option<Day>) -> Units {
    let currency = project.settings.currency;
    let digits = currency.minor_digits();
    let amount = minor_units(scope.amount, digits);
    let left_out = u32::try_from(scope.holes).unwrap_or(u32::MAX);
    let quote = &project.quotes[scope.quote];
    if scope.open {
        return Units { allowance: amount, forecast: amount, assumed: amount, left_out, ..Units::default() };
    }
    Units {
        allowance: quote.allowance.map_or(amount, |a| minor_units(a, digits)),
        chosen: minor_units(quote.amount, digits),
        ordered: minor_units(quote.amount, digits),
        paid: minor_units(as_of.map_or(quote.paid, |day| paid_on(quote, currency, day.date())), digits),
        forecast: amount,
        left_out,
        ..Units::default()
    }
}

/// An entry of the ledger: what it is about, its category, its phase and its columns.
pub(super) type TradeEntry = (About, &'static str, Option<usize>, Units);

/// Scopes of trades, work without a price, fees, extras and changes that are agreed on. A quote's allowance is what was set
/// aside for its scope, else its leveled amount; a fee is its own allowance; an extra and a change have none.
pub(super) fn entries(project: &Project, index: &Index, trades: &Trades) -> Vec<TradeEntry> {
    let digits = project.settings.currency.minor_digits();
    let mut entries = Vec::with_capacity(project.quotes.len() + project.extras.len());
    for scope in &trades.scopes {
        let about = if scope.open { About::Scope(scope.quote) } else { About::Quote(scope.quote) };
        let all = units_of(project, scope, trades.as_of);
        if scope.phases.len() < 2 {
            entries.push((about, TRADES, scope.phases.first().copied(), all));
            continue;
        }
        let split = |total| by_days(project, &scope.phases, total);
        let [allowance, chosen, ordered, paid, forecast, assumed] =
            [all.allowance, all.chosen, all.ordered, all.paid, all.forecast, all.assumed].map(split);
        for (i, phase) in scope.phases.iter().enumerate() {
            let own = Units {
                allowance: allowance[i],
                chosen: chosen[i],
                ordered: ordered[i],
                paid: paid[i],
                forecast: forecast[i],
                assumed: assumed[i],
                left_out: if i == 0 { all.left_out } else { 0 },
                ..Units::default()
            };
            entries.push((about, TRADES, Some(*phase), own));
        }
    }
    for at in &trades.unpriced {
        entries.push((About::Work(*at), TRADES, Some(*at), Units { left_out: 1, ..Units::default() }));
    }
    entries.extend(project.extras.iter().enumerate().map(|(at, extra)| {
        let amount = minor_units(extra.amount, digits);
        let (name, allowance) = match extra.kind {
            ExtraKind::Permit => (PERMITS, amount),
            ExtraKind::Extra => (EXTRAS, 0),
        };
        let phase = extra.phase.and_then(|id| index.of(id.0));
        let units = Units {
            allowance,
            chosen: amount,
            ordered: amount,
            paid: minor_units(extra.paid, digits),
            forecast: amount,
            ..Units::default()
        };
        (About::Extra(at), name, phase, units)
    }));
    let on = trades.as_of.map(Day::date);
    let agreed = project.changes.iter().enumerate().filter(|(_, c)| on.is_some_and(|on| c.is_agreed(on)));
    entries.extend(agreed.map(|(at, change)| {
        let amount = minor_units(change.amount.unwrap_or_default(), digits);
        let units = Units {
            chosen: amount,
            ordered: amount,
            paid: minor_units(change.paid, digits),
            forecast: amount,
            left_out: u32::from(change.amount.is_none()),
            ..Units::default()
        };
        (About::Change(at), CHANGES, change.phase.and_then(|id| index.of(id.0)), units)
    }));
    entries
}

/// The parts in which an amount of a scope falls due: a share by its days as each of its phases finishes, with the position
/// of the phase. `None` for the phase where it has none.
pub(super) fn parts_due(project: &Project, scope: &Scope, total: i128) -> Vec<(Option<usize>, i128)> {
    if scope.phases.is_empty() {
        return vec![(None, total)];
    }
    let shares = by_days(project, &scope.phases, total);
    scope.phases.iter().map(|at| Some(*at)).zip(shares).collect()
}
