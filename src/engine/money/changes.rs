//! Changes of the work in the ledger, and what those would add that nobody agreed to.

use crate::model::change::is_open;
use crate::model::{Change, Money, Project};
use chrono::NaiveDate;

/// What changes would add that are not agreed on: they count in nothing, and it is said.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct OpenChanges {
    /// Decisions that are open.
    pub count: usize,
    /// Working days that their phases would take longer, all of them together.
    pub days: i32,
    /// What they would cost.
    pub amount: Money,
    /// Those of which nobody has said what they cost, or how long they take.
    pub unknown: usize,
}

/// What the changes would add that are open on a day. Of several answers to one question the dearest counts.
pub fn open(project: &Project, on: NaiveDate) -> OpenChanges {
    let groups = groups(project, on);
    let mut sum = OpenChanges { count: groups.len(), ..OpenChanges::default() };
    for answers in groups {
        let dearest = dearest(&answers);
        sum.amount = sum.amount.plus(dearest.and_then(|c| c.amount).unwrap_or_default());
        sum.days = sum.days.saturating_add(dearest.and_then(|c| c.days).unwrap_or(0));
        let unknown = |c: &&&Change| c.amount.is_none() || c.days.is_none();
        sum.unknown += usize::from(answers.iter().any(|c| unknown(&c)));
    }
    sum
}

/// The changes that count where all that are open come true: one to a question.
pub fn counted(project: &Project, on: NaiveDate) -> impl Iterator<Item = &Change> {
    groups(project, on).into_iter().filter_map(|answers| dearest(&answers))
}

/// Changes that are open on a day, by the question that they answer.
fn groups(project: &Project, on: NaiveDate) -> Vec<Vec<&Change>> {
    let mut groups: Vec<(&str, Vec<&Change>)> = Vec::new();
    for change in project.changes.iter().filter(|c| is_open(project, c, on)) {
        let decision = change.decision.trim();
        match groups.iter_mut().find(|(known, _)| !decision.is_empty() && *known == decision) {
            Some((_, answers)) => answers.push(change),
            None => groups.push((decision, vec![change])),
        }
    }
    groups.into_iter().map(|(_, answers)| answers).collect()
}

fn dearest<'a>(answers: &[&'a Change]) -> Option<&'a Change> {
    answers.iter().copied().max_by_key(|c| (c.amount, c.days))
}
