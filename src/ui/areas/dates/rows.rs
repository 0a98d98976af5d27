//! Which rows the calendar has: phases as they come, or under the heads of their groups, of which some are folded.

use crate::engine::phase_groups::{PhaseGroup, PhasesBy, groups};
use crate::model::PhaseId;
use crate::model::history::Revision;
use crate::ui::session::Session;
use crate::ui::view::View;
use chrono::NaiveDate;
use std::collections::BTreeSet;
use std::sync::Arc;

/// A row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Row {
    /// The head of the group at a position.
    Head(usize),
    /// The phase at a position.
    Phase(usize),
}

/// Groups that are folded, each by what it is grouped by and its name.
pub type Folded = BTreeSet<(PhasesBy, String)>;

/// The rows of the calendar.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Rows {
    key: Option<((Revision, NaiveDate), PhasesBy, Folded)>,
    /// From above.
    pub rows: Vec<Row>,
    /// By phase: the row it stands in, which is that of its head while it is folded.
    pub rank: Vec<usize>,
    /// The groups, in the order of their heads.
    pub groups: Vec<PhaseGroup>,
    /// By group: it is folded.
    pub folded: Vec<bool>,
}

impl Rows {
    /// Lays the rows out anew.
    fn new(view: &View<'_>, by: PhasesBy, folded: &Folded) -> Rows {
        let order = &view.facts().phase_order;
        let groups = groups(view.project, view.figures, by, order);
        let mut rows = Rows {
            key: Some((view.derived.key(), by, folded.clone())),
            rank: vec![0; view.project.phases.len()],
            folded: groups.iter().map(|group| folded.contains(&(by, group.name.clone()))).collect(),
            ..Rows::default()
        };
        for (n, group) in groups.iter().enumerate() {
            let head = rows.rows.len();
            rows.rows.push(Row::Head(n));
            let is_folded = rows.folded.get(n).copied().unwrap_or(false);
            group.phases.iter().for_each(|at| rows.put(*at, is_folded.then_some(head)));
        }
        if by == PhasesBy::Start {
            order.iter().for_each(|at| rows.put(*at, None));
        }
        rows.groups = groups;
        rows
    }

    /// Puts a phase into the next row, or into one that there is.
    fn put(&mut self, at: usize, into: Option<usize>) {
        if let Some(rank) = self.rank.get_mut(at) {
            *rank = into.unwrap_or(self.rows.len());
        }
        if into.is_none() {
            self.rows.push(Row::Phase(at));
        }
    }

    /// The group in which a phase is folded away.
    pub fn hidden_in(&self, at: usize) -> Option<usize> {
        let folded = self.groups.iter().enumerate().filter(|(n, _)| self.folded.get(*n) == Some(&true));
        folded.filter(|(_, group)| group.phases.contains(&at)).map(|(n, _)| n).next()
    }

    /// The row in which a phase has a place of its own.
    pub fn own_row(&self, at: usize) -> Option<usize> {
        let row = *self.rank.get(at)?;
        (self.rows.get(row) == Some(&Row::Phase(at))).then_some(row)
    }
}

/// The rows of this frame, kept until document, day, grouping or folds change.
pub fn rows(view: &View<'_>, session: &mut Session) -> Arc<Rows> {
    let dates = &mut session.dates;
    let fits = dates.rows.key.as_ref().is_some_and(|(key, by, folded)| {
        *key == view.derived.key() && *by == dates.by && *folded == dates.folded
    });
    if !fits {
        dates.rows = Arc::new(Rows::new(view, dates.by, &dates.folded));
    }
    Arc::clone(&dates.rows)
}

/// The rows, with a phase in one of its own: what folds it away is opened.
pub fn rows_showing(view: &View<'_>, session: &mut Session, phase: PhaseId) -> (Arc<Rows>, Option<usize>) {
    let all = rows(view, session);
    let Some(at) = view.figures.index.of(phase.0) else { return (all, None) };
    if let Some(group) = all.hidden_in(at).and_then(|n| all.groups.get(n)) {
        session.dates.folded.remove(&(session.dates.by, group.name.clone()));
    }
    let all = rows(view, session);
    let row = all.own_row(at);
    (all, row)
}

/// Folds a group, or opens it.
pub fn turn(session: &mut Session, name: &str) {
    let group = (session.dates.by, name.to_owned());
    if !session.dates.folded.remove(&group) {
        session.dates.folded.insert(group);
    }
}

/// Folds all groups, or opens them.
pub fn turn_all(session: &mut Session, fold: bool) {
    let (by, rows) = (session.dates.by, Arc::clone(&session.dates.rows));
    // The pointer is elsewhere: no room is kept for what is folded away.
    session.dates.bottom = 0.0;
    for group in &rows.groups {
        let group = (by, group.name.clone());
        if fold {
            session.dates.folded.insert(group);
        } else {
            session.dates.folded.remove(&group);
        }
    }
}
