//! Money of what is open: choices that are not made, scopes of which no bid is accepted, and what risks cost.

use super::spread::{Spread, one_of};
use crate::engine::figures::Figures;
use crate::model::money::minor_units;
use crate::model::{Money, Project, Risk, Selection};

/// An amount in minor units of the currency.
pub(super) type Units = i64;

/// What a trial adds up.
#[derive(Debug)]
pub(super) struct OpenMoney {
    /// The forecast total, with changes that nobody agreed to yet.
    known: Units,
    /// For each thing that is open, by what each of its answers differs from the forecast.
    answers: Vec<Vec<Units>>,
    /// The most that may come to before the contingency is used up.
    pub(super) enough: Units,
}

impl OpenMoney {
    /// What is open of a project; `added` is what changes cost that nobody agreed to.
    pub(super) fn new(project: &Project, figures: &Figures, added: Money) -> OpenMoney {
        let digits = project.settings.currency.minor_digits();
        let units = |amount: Money| units(amount, digits);
        let total = &figures.money.total;
        let mut all = OpenMoney {
            known: units(total.forecast).saturating_add(units(added)),
            answers: Vec::new(),
            enough: units(total.allowance.plus(figures.money.contingency)),
        };
        for (selection, own) in project.selections.iter().zip(&figures.selections) {
            let parts = figures.parts_of(own);
            // What was ordered of it counts already, whatever is chosen in the end.
            let open = own.live.is_none() && parts.iter().all(|part| part.placed.is_none());
            if open && !selection.options.is_empty() {
                let forecast = units(own.money.forecast);
                let costs = (0..selection.options.len()).map(|at| units(cost(selection, at, figures)));
                all.put(costs.map(|cost| cost.saturating_sub(forecast)).collect());
            }
        }
        for scope in figures.trades.open_scopes() {
            let Some(bids) = figures.trades.bids.iter().find(|b| b.quotes.contains(&scope.quote)) else {
                continue;
            };
            let quotes = bids.quotes.iter().filter_map(|at| project.quotes.get(*at));
            let priced = quotes.filter(|quote| !quote.amount.is_zero());
            let forecast = units(scope.amount);
            all.put(priced.map(|quote| units(quote.leveled()).saturating_sub(forecast)).collect());
        }
        all
    }

    /// Takes note of something open; one answer alone is no question.
    fn put(&mut self, answers: Vec<Units>) {
        match answers.as_slice() {
            [] => {}
            [one] => self.known = self.known.saturating_add(*one),
            _ => self.answers.push(answers),
        }
    }

    /// The total of a trial without its risks.
    pub(super) fn total(&self, mut next: impl FnMut() -> u64) -> Units {
        let one = |answers: &Vec<Units>| answers[one_of(answers.len(), next())];
        self.answers.iter().map(one).fold(self.known, Units::saturating_add)
    }

    /// The total while nothing is drawn and nothing happens: what the forecast says, with what has one answer only.
    pub(super) fn likely(&self) -> Units {
        self.known
    }
}

/// What an option costs: the goods, freight and tax of its parts. What of the allowance the known prices leave stands
/// for those without a price.
fn cost(selection: &Selection, option: usize, figures: &Figures) -> Money {
    let option = &selection.options[option];
    let total = figures.option_total(option);
    if option.parts.is_empty() || figures.option_unpriced(option) > 0 {
        total.at_least(selection.allowance)
    } else {
        total
    }
}

/// What a risk costs, in minor units.
pub(super) fn spread(risk: &Risk, digits: u32) -> Spread {
    let of = |amount: Option<Money>| amount.map(|amount| units(amount, digits));
    Spread::new(of(risk.cost_min), of(risk.cost_likely).unwrap_or(0), of(risk.cost_max))
}

fn units(amount: Money, digits: u32) -> Units {
    Units::try_from(minor_units(amount, digits)).unwrap_or(Units::MAX)
}
