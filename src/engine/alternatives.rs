//! Alternatives side by side: what each named set of choices would come to, beside what is forecast now.
#![doc = include_str!("../../assets/manual/alternatives.md")]

use super::calendar::Day;
use super::check::problems;
use super::curve::{Change, make};
use super::figures::{Figures, compute};
use super::without::{self, Changed};
use crate::model::{Action, ActionError, Alternative, Money, Problem, Project, Severity};
use std::collections::HashMap;

/// What a set of choices comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct Side {
    /// What would be chosen otherwise than now, in the order of the document.
    pub changes: Vec<Change>,
    /// What of it cannot be chosen, and why not.
    pub refused: Vec<(Change, String)>,
    /// Forecast finish.
    pub finish: Option<Day>,
    /// Working days by which that is later than now; negative is sooner.
    pub days: Option<i32>,
    /// Forecast total.
    pub total: Money,
    /// By how much it is more than now; negative is less.
    pub more: Money,
    /// Whether the total is the least it can be, since not all has a price.
    pub least: bool,
    /// What is left of the contingency.
    pub contingency_left: Money,
    /// Forecast of each room, in the order of the document.
    pub by_room: Vec<Money>,
    /// Parts that count and arrive after they are needed.
    pub late: usize,
    /// Errors and warnings.
    pub problems: (usize, usize),
    /// Problems that are not there now.
    pub new: Vec<Problem>,
    /// Problems of now that would be gone.
    pub gone: Vec<Problem>,
    /// How the days without a room or a service differ from now.
    pub without: Vec<Changed>,
    /// Weeks in which the cash does not suffice.
    pub short_weeks: usize,
}

/// Whether two amounts of one room are as good as the same. Freight and tax of an order are shared to its lines to the
/// cent, so that another choice elsewhere may move some cents here, which is neither better nor worse.
pub fn same_but_for_rounding(one: Money, other: Money) -> bool {
    one.less(other).abs() < Money::new(rust_decimal::Decimal::ONE)
}

/// What is chosen now and each alternative, in the order of the document.
#[derive(Debug, Clone, PartialEq)]
pub struct Sides {
    /// Now.
    pub now: Side,
    /// The alternatives.
    pub others: Vec<Side>,
}

/// A document with a set of choices made.
pub struct Made {
    /// The change that made them; `None` where nothing is to be done.
    pub action: Option<Action>,
    /// The document.
    pub project: Project,
    /// Its figures.
    pub figures: Figures,
    /// What came of it.
    pub side: Side,
}

/// What an alternative chooses otherwise than now, in the order of the document.
pub fn changes(project: &Project, alternative: &Alternative) -> Vec<Change> {
    let other = |selection: &crate::model::Selection| {
        let to = selection.options.iter().find(|o| alternative.options.contains(&o.id))?.id;
        let chosen = selection.choice().map(|o| o.id);
        let from = selection.live_option().map(|o| o.id);
        (chosen != Some(to)).then_some(Change { selection: selection.id, from, to })
    };
    project.selections.iter().filter_map(|s| other(s)).collect()
}

/// The choices of an alternative as one action, and those that cannot be made with why not. Nothing is to be done where all
/// of it is chosen already, or none can be.
pub fn adopt(
    project: &Project,
    figures: &Figures,
    alternative: &Alternative,
) -> (Option<Action>, Vec<(Change, String)>) {
    let all = changes(project, alternative);
    let label = || format!("choose as in {}", alternative.name);
    let (mut done, mut refused) = (all.clone(), Vec::new());
    let mut action = make(project, figures, &all, label());
    if action.is_err() {
        done.clear();
        for change in all {
            done.push(change);
            if let Err(why) = make(project, figures, &done, label()) {
                done.pop();
                refused.push((change, why.to_string()));
            }
        }
        action = make(project, figures, &done, label());
    }
    (action.ok().filter(|_| !done.is_empty()), refused)
}

/// The document in which the choices of an alternative are made.
///
/// # Errors
/// As [`Project::apply`].
pub fn made(project: &Project, figures: &Figures, alternative: &Alternative) -> Result<Made, ActionError> {
    let (action, refused) = adopt(project, figures, alternative);
    let next = match &action {
        Some(action) => project.apply(action)?,
        None => project.clone(),
    };
    let after = compute(&next, figures.as_of.date());
    let mut all = changes(project, alternative);
    all.retain(|change| refused.iter().all(|(other, _)| other != change));
    let mut side = Side { changes: all, refused, ..of(&next, &after) };
    side.days = figures.finish_moves(after.forecast_finish);
    side.more = after.money.total.forecast.less(figures.money.total.forecast);
    side.without = without::changes((project, figures), (&next, &after));
    Ok(Made { action, project: next, figures: after, side })
}

/// What is chosen now.
pub fn now(project: &Project, figures: &Figures) -> Side {
    Side { days: figures.forecast_finish.map(|_| 0), ..of(project, figures) }
}

/// All of them made, each with the problems that come and go.
pub fn each_made(project: &Project, figures: &Figures) -> Vec<Made> {
    let found = problems(project, figures);
    let other = |alternative: &Alternative| {
        let mut made = made(project, figures, alternative).ok()?;
        let own = problems(&made.project, &made.figures);
        (made.side.new, made.side.gone) = (apart(&own, &found), apart(&found, &own));
        Some(made)
    };
    project.alternatives.iter().filter_map(other).collect()
}

/// All of them side by side.
pub fn side_by_side(project: &Project, figures: &Figures) -> Sides {
    let others = each_made(project, figures).into_iter().map(|made| made.side).collect();
    Sides { now: now(project, figures), others }
}

fn of(project: &Project, figures: &Figures) -> Side {
    let found = problems(project, figures);
    let count = |severity| found.iter().filter(|p| p.severity == severity).count();
    let money = &figures.money;
    Side {
        changes: Vec::new(),
        refused: Vec::new(),
        finish: figures.forecast_finish,
        days: None,
        total: money.total.forecast,
        more: Money::ZERO,
        least: money.total.is_least(),
        contingency_left: money.contingency_left,
        by_room: money.by_room.iter().map(|room| room.forecast).collect(),
        late: figures.parts.iter().filter(|p| p.live && p.late && !p.on_site).count(),
        problems: (count(Severity::Error), count(Severity::Warning)),
        new: Vec::new(),
        gone: Vec::new(),
        without: Vec::new(),
        short_weeks: figures.cash.iter().filter(|week| week.short().is_some()).count(),
    }
}

/// Problems of the first list that the second one lacks. The same thing with the same word is the same problem, whatever
/// days and amounts it is told with.
fn apart(of: &[Problem], other: &[Problem]) -> Vec<Problem> {
    let mut known: HashMap<(&str, &str), usize> = HashMap::new();
    for problem in other {
        *known.entry((problem.code, problem.about.as_str())).or_default() += 1;
    }
    let mut lacking = Vec::new();
    for problem in of {
        match known.get_mut(&(problem.code, problem.about.as_str())) {
            Some(left) if *left > 0 => *left -= 1,
            _ if problem.severity == Severity::Note => {}
            _ => lacking.push(problem.clone()),
        }
    }
    lacking
}
