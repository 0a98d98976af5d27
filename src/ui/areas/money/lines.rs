//! The rows of the money table, and under each that is open the lines its sums are made of.

use crate::engine::money::{About, Columns, Line as Entry};
use crate::model::{Project, Subject};
use crate::ui::areas::house::ledger_facts::part_at;
use crate::ui::format;
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
    /// Something it is made of.
    Item(String, Columns, Place),
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

/// What the row at a position is about; none for a category, and for what has no room, supplier or phase.
pub fn subject(project: &Project, by: MoneyBy, at: usize) -> Option<Subject> {
    match by {
        MoneyBy::Room => project.rooms.get(at).map(|room| Subject::Room(room.id)),
        MoneyBy::Supplier => project.suppliers.get(at).map(|supplier| Subject::Supplier(supplier.id)),
        MoneyBy::Phase => project.phases.get(at).map(|phase| Subject::Phase(phase.id)),
        MoneyBy::Category => None,
    }
}

/// All rows, with the lines of those that are open.
pub fn rows(view: &View<'_>, by: MoneyBy, open: &BTreeSet<(MoneyBy, usize)>) -> Vec<Line> {
    let mut rows = Vec::new();
    let entries = if open.is_empty() { Vec::new() } else { view.figures.ledger(view.project) };
    for (at, name, columns) in heads(view, by) {
        rows.push(Line::Head(at, name, columns));
        if open.contains(&(by, at)) {
            let mut lines = under(view, &entries, by, at);
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
fn under(view: &View<'_>, entries: &[Entry<'_>], by: MoneyBy, at: usize) -> Vec<Line> {
    let money = &view.figures.money;
    let category = money.by_category.get(at).map(|(name, _)| name.as_str());
    let here = |e: &&Entry<'_>| match by {
        MoneyBy::Room => e.room.unwrap_or(view.project.rooms.len()) == at,
        MoneyBy::Supplier => e.supplier.unwrap_or(view.project.suppliers.len()) == at,
        MoneyBy::Phase => e.phase.unwrap_or(view.project.phases.len()) == at,
        MoneyBy::Category => category == Some(e.category),
    };
    let mut lines = Vec::new();
    let (mut last, mut about) = (None, None);
    for entry in entries.iter().filter(here) {
        let selection = match entry.about {
            About::Part(part) => view.figures.parts.get(part).map(|f| f.selection as usize),
            About::Selection(selection) => Some(selection),
            About::Quote(_) | About::Scope(_) | About::Work(_) | About::Extra(_) | About::Change(_) => None,
        };
        match (by, selection) {
            // A room or category has all of a selection, in one line.
            (MoneyBy::Room | MoneyBy::Category, Some(selection)) => {
                if last.replace(selection) != Some(selection) {
                    lines.extend(whole(view, by, selection));
                }
            }
            _ => {
                // A quote over several phases is one line, but where rows are phases.
                let same = by != MoneyBy::Phase && about.replace(entry.about) == Some(entry.about);
                match lines.last_mut().filter(|_| same) {
                    Some(Line::Item(_, columns, _)) => *columns += entry.columns,
                    _ => lines.extend(item(view, entry)),
                }
            }
        }
    }
    lines
}

fn whole(view: &View<'_>, by: MoneyBy, at: usize) -> Option<Line> {
    let (selection, own) = view.project.selections.get(at).zip(view.figures.selections.get(at))?;
    let name = match by {
        MoneyBy::Category => {
            let room = view.project.room(selection.room).map_or("", |r| r.name.as_str());
            format!("{}, {room}", selection.name)
        }
        _ => selection.name.clone(),
    };
    Some(Line::Item(name, own.money, Place::Show(Subject::Selection(selection.id))))
}

fn item(view: &View<'_>, entry: &Entry<'_>) -> Option<Line> {
    let project = view.project;
    let (name, place) = match entry.about {
        About::Part(at) => {
            let (selection, _, part) = part_at(project, view.figures, at)?;
            (format::part_of(&selection.name, &part.name), Place::Show(Subject::Part(part.id)))
        }
        About::Selection(at) => {
            let selection = project.selections.get(at).filter(|_| entry.columns != Columns::default())?;
            (format!("{}, undecided", selection.name), Place::Show(Subject::Selection(selection.id)))
        }
        About::Quote(at) => {
            let quote = project.quotes.get(at)?;
            (format!("{}, {}", quote.scope, quote.trade), Place::Edit(Form::Quote(Some(quote.id))))
        }
        About::Scope(at) => {
            let quote = project.quotes.get(at)?;
            let by = view.figures.trades.open_scope(at).is_some_and(|s| s.by_allowance);
            let what = if quote.scope.is_empty() { &quote.trade } else { &quote.scope };
            let stands = if by { "its allowance counts" } else { "its lowest bid counts" };
            (format!("{what}, none accepted: {stands}"), Place::Edit(Form::Quote(Some(quote.id))))
        }
        About::Work(at) => {
            let phase = project.phases.get(at)?;
            let days = format::count(phase.counted_days(), "day");
            (format!("{}, {days} without a price", phase.name), Place::Show(Subject::Phase(phase.id)))
        }
        About::Extra(at) => {
            let extra = project.extras.get(at)?;
            (extra.name.clone(), Place::Edit(Form::Extra(Some(extra.id))))
        }
        About::Change(at) => {
            let change = project.changes.get(at)?;
            (change.what.clone(), Place::Edit(Form::Change(Some(change.id), None)))
        }
    };
    Some(Line::Item(name, entry.columns, place))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{History, Money};
    use crate::ui::derived::Derived;
    use crate::ui::theme::tokens;

    /// Every row of both samples is the sum of the lines under it, in all columns, also when something went back.
    #[test]
    fn lines_add_up_to_their_row() {
        for (sample, returned) in
            [("hall_bath.ron", false), ("orchard_house.ron", false), ("orchard_house.ron", true)]
        {
            let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_projects").join(sample);
            let (mut project, _) = crate::model::file::load(&path).unwrap();
            let day = project.settings.as_of.unwrap();
            if returned {
                project = sent_back(&project, day);
            }
            let derived = Derived::new(
                &std::sync::Arc::new(project.clone()),
                History::new(project.clone()).revision(),
                day,
            );
            let view = View {
                project: &project,
                figures: &derived.figures,
                problems: &derived.problems,
                derived: &derived,
                tokens: &tokens::LIGHT,
            };
            let entries = derived.figures.ledger(&project);
            let mut checked = 0;
            for (by, _) in MoneyBy::ALL {
                for (at, name, columns) in heads(&view, by) {
                    let lines = under(&view, &entries, by, at);
                    let sum = |get: fn(&Columns) -> Money| -> Money {
                        lines
                            .iter()
                            .filter_map(|l| if let Line::Item(_, c, _) = l { Some(get(c)) } else { None })
                            .sum()
                    };
                    let count = |get: fn(&Columns) -> u32| -> u32 {
                        let own = |l: &Line| if let Line::Item(_, c, _) = l { get(c) } else { 0 };
                        lines.iter().map(own).sum()
                    };
                    let found = Columns {
                        allowance: sum(|c| c.allowance),
                        chosen: sum(|c| c.chosen),
                        ordered: sum(|c| c.ordered),
                        paid: sum(|c| c.paid),
                        forecast: sum(|c| c.forecast),
                        assumed: sum(|c| c.assumed),
                        unpriced: count(|c| c.unpriced),
                        left_out: count(|c| c.left_out),
                    };
                    assert_eq!(found, columns, "{sample}, {by:?}, {name}");
                    checked += 1;
                }
            }
            assert!(checked > 20);
        }
    }

    /// A project in which the first option that is all on site and not built in was swapped and sent back.
    fn sent_back(project: &crate::model::Project, day: chrono::NaiveDate) -> crate::model::Project {
        use crate::engine::swap::{Wish, preview};
        use crate::model::{Action, Return, ReturnState};
        let figures = crate::engine::compute(project, day);
        let here = |p: &crate::model::Part| p.received_on.is_some() && p.installed_on.is_none();
        let choice = |s: &&std::sync::Arc<crate::model::Selection>| {
            s.options.len() > 1 && s.choice().is_some_and(|o| !o.parts.is_empty() && o.parts.iter().all(here))
        };
        let selection = project.selections.iter().find(choice).unwrap();
        let other =
            selection.options.iter().find(|o| Some(o.id) != selection.choice().map(|o| o.id)).unwrap();
        let seen = preview(project, &figures, &Wish::new(selection.id, other.id, day)).unwrap();
        let mut project = project.apply(&seen.action).unwrap();
        for r in project.returns.clone().iter() {
            let went = Return { state: ReturnState::WentBack, went_back_on: Some(day), ..r.clone() };
            project = project.apply(&Action::PutReturn(went)).unwrap();
        }
        project
    }
}
