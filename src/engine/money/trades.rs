//! What trades cost: accepted quotes, scopes of which none is accepted yet, and work that has no price at all.
//!
//! Quotes for one scope compete; without a scope, those for the same phases do. A scope without an accepted quote counts
//! with its allowance, and where its quotes state several with the largest of them; else with the lowest price of its
//! candidates. A quote without an amount is no price. What covers several phases is split over them by their days.

use super::{About, EXTRAS, PERMITS, TRADES, Units};
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
    /// What it counts with.
    pub amount: Money,
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
}

/// What makes quotes compete.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum Rivals<'a> {
    Scope(&'a str),
    Phases(Vec<PhaseId>),
    Alone(usize),
}

impl Trades {
    /// Reads quotes and phases of a project.
    pub fn new(project: &Project, index: &Index) -> Trades {
        let mut groups: Vec<Vec<usize>> = Vec::new();
        let mut known: BTreeMap<Rivals<'_>, usize> = BTreeMap::new();
        for (at, quote) in project.quotes.iter().enumerate() {
            let mut phases: Vec<PhaseId> = quote.phases().collect();
            phases.sort_unstable();
            let rivals = match (quote.scope.trim(), phases.is_empty()) {
                ("", true) => Rivals::Alone(at),
                ("", false) => Rivals::Phases(phases),
                (scope, _) => Rivals::Scope(scope),
            };
            let group = *known.entry(rivals).or_insert(groups.len());
            if group == groups.len() {
                groups.push(Vec::new());
            }
            groups[group].push(at);
        }
        let mut trades = Trades::default();
        for group in groups {
            let accepted = group.iter().filter(|at| project.quotes[**at].accepted);
            let before = trades.scopes.len();
            trades.scopes.extend(accepted.map(|at| accepted_scope(project, index, *at)));
            if trades.scopes.len() == before {
                trades.scopes.extend(open_scope(project, index, &group));
            }
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
        amount: quote.amount,
        phases: positions(project, index, quote),
    }
}

/// A scope of candidates; `None` when none of them states an amount or an allowance.
fn open_scope(project: &Project, index: &Index, group: &[usize]) -> Option<Scope> {
    let quotes = || group.iter().map(|at| (*at, &project.quotes[*at]));
    let lowest = quotes().filter(|(_, q)| !q.amount.is_zero()).min_by_key(|(at, q)| (q.amount, *at));
    let allowance = quotes().filter_map(|(_, q)| q.allowance).filter(|a| !a.is_zero()).max();
    let stands = lowest.or_else(|| quotes().next())?;
    if let Some(amount) = allowance {
        let mut phases: Vec<usize> = Vec::new();
        for at in quotes().flat_map(|(_, q)| positions(project, index, q)) {
            if !phases.contains(&at) {
                phases.push(at);
            }
        }
        return Some(Scope { quote: stands.0, open: true, by_allowance: true, amount, phases });
    }
    let (at, quote) = lowest?;
    let phases = positions(project, index, quote);
    Some(Scope { quote: at, open: true, by_allowance: false, amount: quote.amount, phases })
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
fn units_of(project: &Project, scope: &Scope, digits: u32) -> Units {
    let amount = minor_units(scope.amount, digits);
    let quote = &project.quotes[scope.quote];
    if scope.open {
        return Units { allowance: amount, forecast: amount, assumed: amount, ..Units::default() };
    }
    Units {
        allowance: quote.allowance.map_or(amount, |a| minor_units(a, digits)),
        chosen: amount,
        ordered: amount,
        paid: minor_units(quote.paid, digits),
        forecast: amount,
        ..Units::default()
    }
}

/// An entry of the ledger: what it is about, its category, its phase and its columns.
pub(super) type TradeEntry = (About, &'static str, Option<usize>, Units);

/// Scopes of trades, work without a price, fees and extras. A quote's allowance is what was set aside for its scope, else
/// its amount; a fee is its own allowance; an extra has none.
pub(super) fn entries(project: &Project, index: &Index, trades: &Trades) -> Vec<TradeEntry> {
    let digits = project.settings.currency.minor_digits();
    let mut entries = Vec::with_capacity(project.quotes.len() + project.extras.len());
    for scope in &trades.scopes {
        let about = if scope.open { About::Scope(scope.quote) } else { About::Quote(scope.quote) };
        let all = units_of(project, scope, digits);
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
    entries
}

/// The parts in which a scope falls due: a share by its days as each of its phases finishes, with the position of the
/// phase. `None` for the phase where it has none.
pub(super) fn parts_due(project: &Project, scope: &Scope, digits: u32) -> Vec<(Option<usize>, i128)> {
    let total = minor_units(scope.amount, digits);
    if scope.phases.is_empty() {
        return vec![(None, total)];
    }
    let shares = by_days(project, &scope.phases, total);
    scope.phases.iter().map(|at| Some(*at)).zip(shares).collect()
}
