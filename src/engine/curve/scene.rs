//! The open selections with their candidates, and what any set of picks comes to: its finish by one pass of the
//! forecast, its total by the orders and returns as they would be.

use super::{Change, Point, Question};
use crate::engine::calendar::Day;
use crate::engine::figures::{Figures, SelectionFigures};
use crate::engine::order_after::Tie;
use crate::engine::orders;
use crate::engine::own_orders::OrderTable;
use crate::engine::parts::PartFigures;
use crate::engine::{money, returns};
use crate::model::look::same_finish;
use crate::model::{Money, Project, Return, ReturnId, ReturnState, Selection};
use std::ops::Range;
use std::sync::Arc;

/// What is picked for a selection, by place among its variants; the first is what counts now.
pub type Pick = usize;

/// What counts now.
pub const STAY: Pick = 0;

/// A selection that may be changed.
#[derive(Debug, Clone)]
pub struct Open {
    /// Position in the document.
    pub at: usize,
    /// The option of each pick; `None` where nothing counts.
    pub variants: Vec<Option<usize>>,
    /// Ordered parts of the choice, which leaving it sends back where they can be.
    pub leaves: Vec<Return>,
    /// Positions of the parts of each option.
    pub parts: Vec<Range<usize>>,
}

/// The house with nothing counting in the open selections.
#[derive(Debug)]
pub struct Scene<'a> {
    /// The document.
    pub project: &'a Project,
    /// Its figures.
    pub figures: &'a Figures,
    /// What may be changed, in document order.
    pub open: Vec<Open>,
    /// By position of a selection, its place among the open ones.
    pub place: Vec<Option<usize>>,
    /// What is forecast now.
    pub now: Day,
    pub(super) parts: Vec<PartFigures>,
    pub(super) ties: Vec<Tie>,
    pub(super) selections: Vec<SelectionFigures>,
    /// Last days of phases as they are taken as given, for what gates want built in.
    pub(super) given: Vec<(usize, Day)>,
}

impl<'a> Scene<'a> {
    /// Nothing without a finish.
    pub fn new(project: &'a Project, figures: &'a Figures, question: &Question) -> Option<Scene<'a>> {
        let now = figures.forecast_finish?;
        let mut scene = Scene {
            project,
            figures,
            open: Vec::new(),
            place: vec![None; project.selections.len()],
            now,
            parts: figures.parts.clone(),
            ties: figures.ties.iter().copied().collect(),
            selections: figures.selections.clone(),
            given: Vec::new(),
        };
        for (at, selection) in project.selections.iter().enumerate() {
            let may = selection.choice().is_none() || question.reopened.contains(&selection.id);
            if !may || question.keep.contains(&selection.room) {
                continue;
            }
            let open = scene.read(at, selection, question);
            if open.variants.len() > 1 {
                scene.place[at] = Some(scene.open.len());
                scene.open.push(open);
            }
        }
        scene.clear();
        Some(scene)
    }

    fn read(&self, at: usize, selection: &Selection, question: &Question) -> Open {
        let own = &self.figures.selections[at];
        let live = selection.live_option().map(|o| o.id);
        let mut from = own.first_part;
        let mut parts = Vec::new();
        for option in &selection.options {
            parts.push(from..from + option.parts.len());
            from += option.parts.len();
        }
        let mut variants = vec![selection.options.iter().position(|o| Some(o.id) == live)];
        let finish = selection.live_option().map(|o| &o.finish).filter(|finish| !finish.trim().is_empty());
        for (o, option) in selection.options.iter().enumerate() {
            let same =
                !question.same_finish || finish.is_none_or(|finish| same_finish(finish, &option.finish));
            let here = |at: usize| {
                question.here_by.is_none_or(|day| self.figures.parts[at].expected.is_some_and(|d| d <= day))
            };
            let known = !option.parts.is_empty() && parts[o].clone().all(|at| self.is_known(at) && here(at));
            if Some(option.id) != live && known && same {
                variants.push(Some(o));
            }
        }
        let choice = selection.choice().into_iter().flat_map(|o| &o.parts).filter(|p| p.is_ordered());
        let leaves = choice.filter_map(|part| {
            let known = self.project.returns.iter().find(|r| r.part == part.id).cloned();
            let mut r = known.unwrap_or_else(|| Return::new(ReturnId(u32::MAX), part.id));
            let place = self.figures.index.of(part.id.0)?;
            let terms = self.figures.terms(self.project, place, Some(&r), self.figures.as_of);
            if !terms.built_in && terms.given_back > Money::ZERO {
                r.state = ReturnState::GoingBack;
            }
            Some(r)
        });
        Open { at, variants, leaves: leaves.collect(), parts }
    }

    /// Whether price and day of a part are known, so that it can be compared. What went back is bought anew by a swap.
    fn is_known(&self, at: usize) -> bool {
        let f = &self.figures.parts[at];
        let gone = self.project.returns.iter().any(|r| r.part == f.id && r.is_gone());
        let day = f.built_in || f.phase.is_none() || f.expected.is_some();
        f.priced && f.takeoff_error.is_none() && !gone && day && !self.figures.order_circle(at)
    }

    /// Nothing counts in the open selections, and what is tied has no day yet.
    fn clear(&mut self) {
        let currency = self.project.settings.currency;
        for tie in &self.ties {
            (self.parts[tie.part].expected, self.parts[tie.part].orderable_from) = (None, None);
        }
        for open in &self.open {
            self.selections[open.at].live = None;
            for at in open.parts.iter().cloned().flatten() {
                let f = &mut self.parts[at];
                f.live = false;
                if f.placed.is_none() {
                    let supplier = f.supplier.and_then(|s| self.project.suppliers.get(s as usize));
                    let taxed = supplier.filter(|_| f.taxable);
                    f.freight = Money::ZERO;
                    f.tax = taxed.map_or(Money::ZERO, |s| f.amount.tax(s.tax_pct, currency));
                }
            }
        }
        for tie in &mut self.ties {
            tie.live = self.parts[tie.part].live;
            tie.circle = false;
        }
    }

    /// The option of a pick.
    pub fn option(&self, n: usize, pick: Pick) -> Option<usize> {
        self.open[n].variants[pick]
    }

    /// The total with a pick for every open selection, as a fresh computation would have it.
    pub fn total(&self, picks: &[Pick]) -> Money {
        let (figures, as_of) = (self.figures, self.figures.as_of);
        let (mut parts, mut selections) = (self.parts.clone(), self.selections.clone());
        let mut project = self.project.clone();
        for (open, pick) in self.open.iter().zip(picks) {
            let selection = &self.project.selections[open.at];
            let Some(option) = open.variants[*pick] else { continue };
            open.parts[option].clone().for_each(|at| parts[at].live = true);
            let own = &mut selections[open.at];
            own.live = Some(selection.options[option].id);
            if *pick != STAY && !open.leaves.is_empty() {
                let list = Arc::make_mut(&mut project.returns);
                list.retain(|r| open.leaves.iter().all(|own| own.part != r.part));
                list.extend(open.leaves.iter().cloned());
            }
        }
        let index = &figures.index;
        let lines = OrderTable::new(&project, index, &parts, as_of);
        let mut orders = orders::price_all(&project, &mut parts, &lines);
        let cancelled = returns::cancelled(&project, index, &parts, as_of);
        orders::cancel(&project, &mut parts, &mut orders, &cancelled);
        let returns = returns::settle(&project, index, &parts, &orders, as_of);
        let lines = money::lines(&project, index, &selections, &parts, &returns, &figures.trades);
        lines.iter().map(|line| line.columns.forecast).sum()
    }

    /// What a pick costs by its own prices, more than what counts now: goods, tax of the lines, freight by piece and by
    /// percent. Where something was ordered, what leaving it costs.
    pub fn own_price(&self, n: usize, pick: Pick, now: Money) -> Money {
        let open = &self.open[n];
        let ordered = open.parts.iter().cloned().flatten().any(|at| self.parts[at].placed.is_some());
        if pick == STAY {
            return Money::ZERO;
        }
        if ordered {
            let mut picks = vec![STAY; self.open.len()];
            picks[n] = pick;
            return self.total(&picks).less(now);
        }
        let price = |option: Option<usize>| -> Money {
            let Some(option) = option else { return self.figures.selections[open.at].money.forecast };
            let own: Money = open.parts[option].clone().map(|at| self.line_price(at)).sum();
            let assumed = if Some(option) == open.variants[STAY] {
                self.figures.selections[open.at].money.assumed
            } else {
                Money::ZERO
            };
            own.plus(assumed)
        };
        price(self.option(n, pick)).less(price(self.option(n, STAY)))
    }

    fn line_price(&self, at: usize) -> Money {
        let f = &self.parts[at];
        let currency = self.project.settings.currency;
        let supplier = f.supplier.and_then(|s| self.project.suppliers.get(s as usize));
        let freight = supplier.filter(|s| s.freight.free_over.is_none()).map_or(Money::ZERO, |s| {
            let by_piece = Money::new(f.quantity_to_buy.saturating_mul(s.freight.per_item.amount()));
            by_piece.round_half_up(currency).plus(f.amount.percent(s.freight.pct, currency))
        });
        f.amount.plus(f.tax).plus(freight)
    }

    /// The changes of picks.
    pub fn changes(&self, picks: &[Pick]) -> Vec<Change> {
        let change = |(open, pick): (&Open, &Pick)| {
            let selection = &self.project.selections[open.at];
            let id = |option: Option<usize>| option.map(|o| selection.options[o].id);
            let to = id(open.variants[*pick]).filter(|_| *pick != STAY)?;
            Some(Change { selection: selection.id, from: id(open.variants[STAY]), to })
        };
        self.open.iter().zip(picks).filter_map(change).collect()
    }

    /// Picks with what they reach.
    pub fn point(&self, picks: &[Pick], finish: Day) -> Point {
        Point { finish, total: self.total(picks), changes: self.changes(picks) }
    }
}
