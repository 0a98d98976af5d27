//! The rows of the money table, and under each that is open the lines its sums are made of.

use crate::engine::money::{Columns, EXTRAS, PERMITS, TRADES};
use crate::model::{ExtraKind, Money, Subject};
use crate::ui::ledger_facts::part_at;
use crate::ui::session::MoneyBy;
use crate::ui::view::{Form, View};
use std::collections::BTreeSet;

/// Lines shown under one row; the rest is counted.
const MOST_LINES: usize = 200;

/// What a click on a line leads to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Place {
    /// A thing to bring to view.
    Show(Subject),
    /// A form.
    Edit(Form),
}

/// A row of the table.
#[derive(Debug, Clone, PartialEq)]
pub enum Line {
    /// A room, supplier, category or phase, by its position.
    Head(usize, String, Columns),
    /// Something it is made of; the allowance is shown only where the thing has one of its own.
    Item(String, Columns, bool, Place),
    /// Lines that are left out.
    More(usize),
}

/// Name and columns of each row that is not all zero, with its position.
fn heads(view: &View<'_>, by: MoneyBy) -> Vec<(usize, String, Columns)> {
    let money = &view.figures.money;
    let named = |names: Vec<&str>, columns: &[Columns], rest: &str| {
        let names = names.into_iter().map(str::to_owned).chain(std::iter::once(rest.to_owned()));
        let all = names.zip(columns.iter().copied()).enumerate();
        all.filter(|(_, (_, c))| *c != Columns::default()).map(|(i, (name, c))| (i, name, c)).collect()
    };
    let project = view.project;
    match by {
        MoneyBy::Room => named(
            project.rooms.iter().map(|r| r.name.as_str()).collect(),
            &money.by_room,
            "Trades, permits and extras",
        ),
        MoneyBy::Supplier => named(
            project.suppliers.iter().map(|s| s.name.as_str()).collect(),
            &money.by_supplier,
            "Trades, fees and what has no supplier yet",
        ),
        MoneyBy::Phase => {
            named(project.phases.iter().map(|p| p.name.as_str()).collect(), &money.by_phase, "No phase yet")
        }
        MoneyBy::Category => money
            .by_category
            .iter()
            .enumerate()
            .map(|(i, (name, c))| (i, if name.is_empty() { "Other".to_owned() } else { name.clone() }, *c))
            .collect(),
    }
}

/// All rows, with the lines of those that are open.
pub fn rows(view: &View<'_>, by: MoneyBy, open: &BTreeSet<(MoneyBy, usize)>) -> Vec<Line> {
    let mut rows = Vec::new();
    for (at, name, columns) in heads(view, by) {
        rows.push(Line::Head(at, name, columns));
        if open.contains(&(by, at)) {
            let mut lines = under(view, by, at);
            let more = lines.len().saturating_sub(MOST_LINES);
            lines.truncate(MOST_LINES);
            rows.extend(lines);
            if more > 0 {
                rows.push(Line::More(more));
            }
        }
    }
    rows
}

/// The lines one row is made of. Their columns add up to those of the row.
fn under(view: &View<'_>, by: MoneyBy, at: usize) -> Vec<Line> {
    let mut lines = match by {
        MoneyBy::Room | MoneyBy::Category => selections(view, by, at),
        MoneyBy::Supplier | MoneyBy::Phase => parts(view, by, at),
    };
    lines.extend(trades(view, by, at));
    lines
}

fn selections(view: &View<'_>, by: MoneyBy, at: usize) -> Vec<Line> {
    let category = view.figures.money.by_category.get(at).map(|(name, _)| name.as_str());
    let all = view.project.selections.iter().zip(&view.figures.selections);
    all.filter(|(s, _)| match by {
        MoneyBy::Room => view.figures.index.of(s.room.0) == Some(at),
        _ => category == Some(s.category.as_str()),
    })
    .map(|(s, own)| {
        let name = match by {
            MoneyBy::Category => {
                let room = view.project.room(s.room).map_or("", |r| r.name.as_str());
                format!("{}, {room}", s.name)
            }
            _ => s.name.clone(),
        };
        Line::Item(name, own.money, true, Place::Show(Subject::Selection(s.id)))
    })
    .collect()
}

/// Parts that are in the forecast or paid for; and under what has no supplier or phase, what is undecided.
fn parts(view: &View<'_>, by: MoneyBy, at: usize) -> Vec<Line> {
    let last = match by {
        MoneyBy::Supplier => view.project.suppliers.len(),
        _ => view.project.phases.len(),
    };
    let mut lines = Vec::new();
    for (selection, own) in view.project.selections.iter().zip(&view.figures.selections) {
        let parts = view.figures.parts_of(own);
        let mut counted = false;
        for (i, f) in parts.iter().enumerate() {
            let counts = f.live || f.placed.is_some();
            counted |= counts;
            let place = match by {
                MoneyBy::Supplier => f.supplier,
                _ => f.phase,
            };
            if (!counts && f.paid.is_zero()) || place.map_or(last, |p| p as usize) != at {
                continue;
            }
            let Some((_, _, part)) = part_at(view.project, view.figures, own.first_part + i) else {
                continue;
            };
            let total = if counts { f.total() } else { Money::ZERO };
            let columns = Columns {
                allowance: Money::ZERO,
                chosen: if own.chosen && f.live { total } else { Money::ZERO },
                ordered: if f.placed.is_some() { total } else { Money::ZERO },
                paid: f.paid,
                forecast: total,
            };
            let name = if part.name == selection.name {
                part.name.clone()
            } else {
                format!("{}: {}", selection.name, part.name)
            };
            lines.push(Line::Item(name, columns, false, Place::Show(Subject::Part(f.id))));
        }
        if !counted && at == last && !own.money.forecast.is_zero() {
            let columns = Columns { paid: Money::ZERO, ..own.money };
            let name = format!("{}, undecided", selection.name);
            lines.push(Line::Item(name, columns, true, Place::Show(Subject::Selection(selection.id))));
        }
    }
    lines
}

/// Accepted quotes, fees and extras.
fn trades(view: &View<'_>, by: MoneyBy, at: usize) -> Vec<Line> {
    let project = view.project;
    let category = view.figures.money.by_category.get(at).map(|(name, _)| name.as_str());
    let here = |phase: Option<crate::model::PhaseId>, kind: &str| match by {
        MoneyBy::Room => at == project.rooms.len(),
        MoneyBy::Supplier => at == project.suppliers.len(),
        MoneyBy::Phase => {
            phase.and_then(|id| view.figures.index.of(id.0)).unwrap_or(project.phases.len()) == at
        }
        MoneyBy::Category => category == Some(kind),
    };
    let spent = |amount: Money, paid: Money, allowance: Money| Columns {
        allowance,
        chosen: amount,
        ordered: amount,
        paid,
        forecast: amount,
    };
    let quotes = project.quotes.iter().filter(|q| q.accepted && here(q.phase, TRADES)).map(|q| {
        let columns = spent(q.amount, q.paid, q.allowance.unwrap_or(q.amount));
        Line::Item(format!("{}, {}", q.scope, q.trade), columns, true, Place::Edit(Form::Quote(Some(q.id))))
    });
    let extras = project.extras.iter().filter_map(|e| {
        let (kind, allowance) = match e.kind {
            ExtraKind::Permit => (PERMITS, e.amount),
            ExtraKind::Extra => (EXTRAS, Money::ZERO),
        };
        let place = Place::Edit(Form::Extra(Some(e.id)));
        here(e.phase, kind)
            .then(|| Line::Item(e.name.clone(), spent(e.amount, e.paid, allowance), true, place))
    });
    quotes.chain(extras).collect()
}

/// Adds up columns.
#[cfg(test)]
fn sum<'a>(lines: impl Iterator<Item = &'a Columns>) -> Columns {
    lines.fold(Columns::default(), |sum, c| Columns {
        allowance: sum.allowance.plus(c.allowance),
        chosen: sum.chosen.plus(c.chosen),
        ordered: sum.ordered.plus(c.ordered),
        paid: sum.paid.plus(c.paid),
        forecast: sum.forecast.plus(c.forecast),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::History;
    use crate::ui::derived::Derived;
    use crate::ui::theme::tokens;

    /// Every row of both samples is the sum of the lines under it, in all columns but the shared allowance.
    #[test]
    fn lines_add_up_to_their_row() {
        for sample in ["hall_bath.ron", "orchard_house.ron"] {
            let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_projects").join(sample);
            let (project, _) = crate::model::file::load(&path).unwrap();
            let day = project.settings.as_of.unwrap();
            let derived = Derived::new(&project, History::new(project.clone()).revision(), day);
            let view = View {
                project: &project,
                figures: &derived.figures,
                problems: &derived.problems,
                derived: &derived,
                tokens: &tokens::LIGHT,
            };
            let mut checked = 0;
            for (by, _) in MoneyBy::ALL {
                for (at, name, columns) in heads(&view, by) {
                    let lines = under(&view, by, at);
                    let items: Vec<&Columns> = lines
                        .iter()
                        .filter_map(|l| match l {
                            Line::Item(_, c, ..) => Some(c),
                            _ => None,
                        })
                        .collect();
                    let found = sum(items.into_iter());
                    let own = |c: Columns| (c.chosen, c.ordered, c.paid, c.forecast);
                    assert_eq!(own(found), own(columns), "{sample}, {by:?}, {name}");
                    if matches!(by, MoneyBy::Room | MoneyBy::Category) {
                        assert_eq!(found.allowance, columns.allowance, "{sample}, {by:?}, {name}");
                    }
                    checked += 1;
                }
            }
            assert!(checked > 20);
        }
    }
}
