//! A point as one action, and what each of its changes does alone.

use super::{Change, Fix, Point};
use crate::engine::figures::{Figures, compute};
use crate::engine::swap::{self, Fate, KnockOn, Wish};
use crate::model::words::count;
use crate::model::{Action, ActionError, Money, OptionId, Part, Project, ReturnState, SelectionOption};
use chrono::NaiveDate;

/// The action that makes the changes of a point.
///
/// # Errors
/// As [`make`].
pub fn action(project: &Project, figures: &Figures, point: &Point) -> Result<Action, ActionError> {
    let label = format!("take {} for finish {}", count(point.changes.len(), "change"), point.finish);
    make(project, figures, &point.changes, label)
}

/// The action that makes changes, each on the road of its own: a choice where nothing is chosen, else a swap. Ordered parts
/// that are left are to go back where something comes back for them.
///
/// # Errors
/// As [`swap::preview`] and [`Project::apply`].
pub fn make(
    project: &Project,
    figures: &Figures,
    changes: &[Change],
    label: String,
) -> Result<Action, ActionError> {
    let mut actions = Vec::new();
    let (mut next, mut after) = (project.clone(), None);
    for change in changes {
        let action = {
            let now = after.as_ref().unwrap_or(figures);
            one(project, figures, &next, now, change)?
        };
        next = next.apply(&action)?;
        after =
            matches!(action, Action::Swap(_)).then(|| compute(&next, figures.as_of.date())).or_else(|| {
                // Only a swap asks for the figures.
                changes.iter().any(|c| is_swap(project, c)).then(|| compute(&next, figures.as_of.date()))
            });
        actions.push(action);
    }
    Ok(Action::Batch { label, actions })
}

fn is_swap(project: &Project, change: &Change) -> bool {
    project.selection(change.selection).is_some_and(|s| swap::is_swap(s, change.to))
}

fn one(
    project: &Project,
    figures: &Figures,
    next: &Project,
    now: &Figures,
    change: &Change,
) -> Result<Action, ActionError> {
    if is_swap(project, change) {
        let wish = wish(project, figures, change, figures.as_of.date());
        swap::preview(next, now, &wish).map(|preview| preview.action)
    } else {
        Ok(Action::Choose(change.to))
    }
}

/// The swap of a change.
fn wish(project: &Project, figures: &Figures, change: &Change, on: NaiveDate) -> Wish {
    let choice = project.selection(change.selection).and_then(|s| s.choice());
    let ordered = choice.into_iter().flat_map(|o| &o.parts).filter(|p| p.is_ordered());
    let fate = |part: &Part| {
        let known = project.returns.iter().find(|r| r.part == part.id);
        let terms = figures.terms(project, figures.index.of(part.id.0)?, known, figures.as_of);
        let back = !terms.built_in && terms.given_back > Money::ZERO;
        let freight = known.map_or(Money::ZERO, |r| r.freight);
        back.then_some(Fate { part: part.id, state: ReturnState::GoingBack, freight })
    };
    Wish { fates: ordered.filter_map(fate).collect(), ..Wish::new(change.selection, change.to, on) }
}

/// A change by itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told {
    /// The change.
    pub change: Change,
    /// What the total grows by when it is made alone, with what leaving something ordered costs; negative is cheaper.
    pub costs: Money,
    /// Working days the finish moves when it is made alone; negative is sooner.
    pub days: Option<i32>,
    /// What it touches, where something is chosen now.
    pub knock_ons: Vec<KnockOn>,
}

/// What a change does alone, by a computation of its own.
///
/// # Errors
/// As [`action`].
pub fn told(project: &Project, figures: &Figures, change: &Change) -> Result<Told, ActionError> {
    let action = one(project, figures, project, figures, change)?;
    let after = compute(&project.apply(&action)?, figures.as_of.date());
    let selection = project.selection(change.selection);
    let to = selection.and_then(|s| s.options.iter().find(|o| o.id == change.to));
    let touched = |from: &SelectionOption| Some(swap::knock_ons_of(project, selection?, from, to?));
    Ok(Told {
        change: *change,
        costs: after.money.total.forecast.less(figures.money.total.forecast),
        days: figures.finish_moves(after.forecast_finish),
        knock_ons: selection.and_then(|s| s.choice()).and_then(touched).unwrap_or_default(),
    })
}

/// A change in words: `Tub: Stone tub in place of Steel tub`.
pub fn change_words(project: &Project, change: &Change) -> String {
    let name = |id: OptionId| project.option(id).map_or("", |(_, o)| o.name.as_str());
    let selection = project.selection(change.selection).map_or("", |s| s.name.as_str());
    match change.from {
        Some(from) => format!("{selection}: {} in place of {}", name(change.to), name(from)),
        None => format!("{selection}: {}", name(change.to)),
    }
}

/// A fix set in words: `changing Tub and Vanity together wins 10 working days; alone each wins none`.
pub fn fix_words(project: &Project, fix: &Fix) -> String {
    let names: Vec<&str> = fix
        .point
        .changes
        .iter()
        .filter_map(|c| project.selection(c.selection))
        .map(|s| s.name.as_str())
        .collect();
    let days = count(usize::try_from(fix.days).unwrap_or(0), "working day");
    let row = join(&names);
    if names.len() < 2 {
        return format!("changing {row} wins {days}");
    }
    let alone = if fix.alone.iter().all(|days| *days <= 0) {
        "each wins none".to_owned()
    } else {
        let win = |(name, days): (&&str, &i32)| match *days {
            n if n > 0 => format!("{name} wins {n}"),
            0 => format!("{name} wins none"),
            n => format!("{name} loses {}", n.saturating_neg()),
        };
        names.iter().zip(&fix.alone).map(win).collect::<Vec<_>>().join(", ")
    };
    format!("changing {row} together wins {days}; alone {alone}")
}

fn join(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
