//! What a swap touches besides its own money and dates, and what pricing it adds to the project.
//!
//! - A rule that the new option breaks: the other part only fitted the old one.
//! - A template that is done, when a part it measured for changes, or a part that stood before it: it is done again, unless
//!   both options state the same cut-out and the same holes. A shop's second visit takes days.
//! - A part behind a wall that is closed: the wall is opened and closed again, unless both options state the same
//!   rough-in. The new part is then needed when the wall is open.
//! - An inspection that was passed with the old part in the wall: the inspector may want to see the new one.
//! - An old part that is built in: it is taken out.
//! - What was told of the selection, to a trade or a shop: the new option says otherwise, or nobody knows whether it does.

use crate::engine::fits::{self, Fit};
use crate::engine::specs::contradiction_words;
use crate::engine::walls::{self, Walls};
use crate::model::facts::{FactValue, named};
use crate::model::ids::key_from_name;
use crate::model::{
    Action, ActionError, Extra, ExtraId, ExtraKind, LagUnit, Link, LinkId, LinkKind, Money, Part, Phase,
    PhaseId, PhaseKind, PhaseRole, Project, Selection, SelectionOption,
};

/// Something a swap touches.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KnockOn {
    /// What sort of thing it is.
    pub kind: KnockOnKind,
    /// What prices refer to it by: `template:template`, `reopen:drywall`, `take_out:tub`.
    pub key: String,
    /// A short name, for a line of money or a phase.
    pub name: String,
    /// What it is and what to do, in a sentence.
    pub text: String,
    /// Whether the user can put a price and days to it.
    pub priced: bool,
    /// The phase it comes after.
    pub phase: Option<PhaseId>,
}

/// The sorts of knock-ons.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KnockOnKind {
    /// A part of another selection does not go with the new option.
    Misfit,
    /// A template is to be made again.
    Template,
    /// A wall is to be opened.
    Reopen,
    /// A passed inspection may have to be repeated.
    Inspect,
    /// The old part is to be taken out.
    TakeOut,
    /// What is in the wall can stay.
    Stays,
    /// Somebody was told otherwise.
    Told,
}

impl KnockOnKind {
    /// Its word in JSON.
    pub fn word(self) -> &'static str {
        match self {
            KnockOnKind::Misfit => "misfit",
            KnockOnKind::Template => "template",
            KnockOnKind::Reopen => "reopen",
            KnockOnKind::Inspect => "inspect",
            KnockOnKind::TakeOut => "take_out",
            KnockOnKind::Stays => "stays",
            KnockOnKind::Told => "told",
        }
    }
}

/// Everything a swap touches, in the order of the list above.
pub(in crate::engine) fn find(
    project: &Project,
    selection: &Selection,
    from: &SelectionOption,
    to: &SelectionOption,
) -> Vec<KnockOn> {
    let mut found = Vec::new();
    misfits(project, selection, to, &mut found);
    templates(project, selection, from, to, &mut found);
    let walls = Walls::new(project);
    in_walls(project, &walls, selection, from, to, &mut found);
    for part in from.parts.iter().filter(|p| p.installed_on.is_some()) {
        found.push(KnockOn {
            kind: KnockOnKind::TakeOut,
            key: format!("take_out:{}", part.key),
            name: format!("Take out {}", part.name),
            text: format!("{} is built in; taking it out is work, so price it", part.name),
            priced: true,
            phase: part.phase,
        });
    }
    for (at, spec) in selection.specs.iter().enumerate() {
        let Some(words) = contradiction_words(project, spec, to) else { continue };
        found.push(KnockOn {
            kind: KnockOnKind::Told,
            key: format!("told:{}", at + 1),
            name: spec.what.clone(),
            text: format!("{}: {words}", spec.what),
            priced: false,
            phase: spec.phase,
        });
    }
    found
}

fn misfits(project: &Project, selection: &Selection, to: &SelectionOption, found: &mut Vec<KnockOn>) {
    for verdict in fits::of_option(project, to.id) {
        let word = match verdict.outcome {
            Fit::DoesNotFit => "is not met by",
            Fit::NoMeasure => "cannot be checked with",
            Fit::Fits | Fit::NotKnown => continue,
        };
        let rule = &project.rules[verdict.rule];
        let others: Vec<String> = verdict
            .selections
            .iter()
            .filter(|id| **id != selection.id)
            .filter_map(|id| project.selection(*id))
            .map(|s| {
                let parts = s.live_option().map_or(&[][..], |o| &o.parts);
                let ordered = parts.iter().any(Part::is_ordered);
                format!("{}{}", s.name, if ordered { ", which is ordered" } else { "" })
            })
            .collect();
        let change =
            if others.is_empty() { String::new() } else { format!("; change {} too", others.join(" and ")) };
        found.push(KnockOn {
            kind: KnockOnKind::Misfit,
            key: format!("misfit:{}", rule.key),
            name: rule.name.clone(),
            text: format!("Rule \u{201c}{}\u{201d} {word} {}: {}{change}", rule.name, to.name, verdict.words),
            priced: false,
            phase: None,
        });
    }
}

/// Whether both options state the fact, and the same.
fn same_fact(from: &SelectionOption, to: &SelectionOption, fact: &str) -> Option<bool> {
    let values = |o: &SelectionOption| -> Vec<FactValue> {
        named(&o.facts, fact).chain(o.parts.iter().flat_map(|p| named(&p.facts, fact))).cloned().collect()
    };
    let (a, b) = (values(from), values(to));
    if a.is_empty() || b.is_empty() {
        return None;
    }
    Some(a.iter().all(|a| b.iter().all(|b| a.says_the_same(b) == Some(true))))
}

fn templates(
    project: &Project,
    selection: &Selection,
    from: &SelectionOption,
    to: &SelectionOption,
    found: &mut Vec<KnockOn>,
) {
    let same = same_fact(from, to, "cut-out") == Some(true) && same_fact(from, to, "holes") != Some(false);
    if same {
        return;
    }
    for template in project.phases.iter().filter(|p| p.role == PhaseRole::Template) {
        let Some(done) = template.finished_on() else { continue };
        let leads_to = |id: PhaseId| project.links.iter().any(|l| l.before == id && l.after == template.id);
        let measured = |p: &&Part| p.phase.is_some_and(|id| id == template.id || leads_to(id));
        if !from.parts.iter().chain(&to.parts).any(|p| measured(&p)) {
            continue;
        }
        found.push(KnockOn {
            kind: KnockOnKind::Template,
            key: format!("template:{}", template.key),
            name: format!("{} again: {}", template.name, selection.name),
            text: format!(
                "{} was done on {done} with {}; another needs another template, so price the visit and its days",
                template.name, from.name
            ),
            priced: true,
            phase: Some(template.id),
        });
    }
}

fn in_walls(
    project: &Project,
    walls: &Walls,
    selection: &Selection,
    from: &SelectionOption,
    to: &SelectionOption,
    found: &mut Vec<KnockOn>,
) {
    let inside = |o: &SelectionOption| -> Vec<Part> {
        o.parts.iter().filter(|p| walls::is_in_wall(project, p)).cloned().collect()
    };
    let (old, new) = (inside(from), inside(to));
    let both = || old.iter().chain(&new);
    let closed = both().find_map(|p| walls.closed_by(project, p));
    let same = same_fact(from, to, "rough-in") == Some(true);
    if same && old.iter().any(|p| p.installed_on.is_some()) {
        found.push(KnockOn {
            kind: KnockOnKind::Stays,
            key: "stays".to_owned(),
            name: "Stays in the wall".to_owned(),
            text: format!(
                "both state the same rough-in, so what is in the wall can stay: ask the trade, and take the in-wall part out of {}",
                to.name
            ),
            priced: false,
            phase: None,
        });
        return;
    }
    if let Some(cover) = closed {
        let day = cover.finished_on().map_or(String::new(), |d| format!(" on {d}"));
        found.push(KnockOn {
            kind: KnockOnKind::Reopen,
            key: format!("reopen:{}", cover.key),
            name: format!("Open and close the wall again: {}", selection.name),
            text: format!(
                "{} closed the wall{day} and a part behind it changes; opening and closing it again is work, so price it",
                cover.name
            ),
            priced: true,
            phase: Some(cover.id),
        });
    }
    for part in old.iter().filter(|p| p.installed_on.is_some()) {
        let after = project.links.iter().filter(|l| Some(l.before) == part.phase);
        for phase in after.filter_map(|l| project.phase(l.after)) {
            let key = format!("inspect:{}", phase.key);
            let Some(passed) = phase.finished_on().filter(|_| phase.kind == PhaseKind::Inspection) else {
                continue;
            };
            if found.iter().any(|k| k.key == key) {
                continue;
            }
            found.push(KnockOn {
                kind: KnockOnKind::Inspect,
                key,
                name: format!("{} again: {}", phase.name, selection.name),
                text: format!(
                    "{} was passed on {passed} with {} in place; ask whether it must be seen again",
                    phase.name, part.name
                ),
                priced: true,
                phase: Some(phase.id),
            });
        }
    }
}

/// An extra that pays for something; its key is new also among the changes made with it.
pub(in crate::engine) fn extra(
    project: &Project,
    also: &[Action],
    id: u32,
    name: &str,
    phase: Option<PhaseId>,
    amount: Money,
    paid: Money,
) -> Action {
    let new = also.iter().filter_map(|a| match a {
        Action::PutExtra(e) => Some(e.key.as_str()),
        _ => None,
    });
    let key = key_from_name(name, project.extras.iter().map(|e| e.key.as_str()).chain(new));
    let paid = paid.at_least(Money::ZERO);
    Action::PutExtra(Extra {
        id: ExtraId(id),
        key,
        name: name.to_owned(),
        kind: ExtraKind::Extra,
        phase,
        amount,
        paid,
    })
}

/// The work again as a phase of its own: after the phase it repeats, before what follows that one and has not begun.
/// What comes behind a wall that is opened is needed then.
pub(in crate::engine) fn again(
    project: &Project,
    knock_on: &KnockOn,
    days: i32,
    mut next_id: u32,
    also: &[Action],
    to: &SelectionOption,
) -> Result<(Vec<Action>, u32), ActionError> {
    let Some(first) = knock_on.phase.and_then(|id| project.phase(id)) else {
        return Err(ActionError::Rule(format!(
            "{} belongs to no phase, so it can have a cost but no days",
            knock_on.name
        )));
    };
    let mut number = || {
        next_id += 1;
        next_id - 1
    };
    let new = also.iter().filter_map(|a| match a {
        Action::PutPhase(p) => Some(p.key.as_str()),
        _ => None,
    });
    let key = key_from_name(&knock_on.name, project.phases.iter().map(|p| p.key.as_str()).chain(new));
    let id = PhaseId(number());
    let phase = Phase { trade: first.trade.clone(), ..Phase::new(id, &key, &knock_on.name, days) };
    let mut actions = vec![Action::PutPhase(phase)];
    let link = |number: u32, before, after, lag, unit| {
        Action::PutLink(Link { id: LinkId(number), before, after, kind: LinkKind::FS, lag, unit })
    };
    actions.push(link(number(), first.id, id, 0, LagUnit::Working));
    for follows in project.links.iter().filter(|l| l.before == first.id && l.kind == LinkKind::FS) {
        let open = |p: &Phase| p.finished_on().is_none() && p.actual_start.is_none();
        if project.phase(follows.after).is_some_and(open) {
            actions.push(link(number(), id, follows.after, follows.lag, follows.unit));
        }
    }
    if knock_on.kind == KnockOnKind::Reopen {
        let inside = to.parts.iter().filter(|p| walls::is_in_wall(project, p) && !p.is_on_site());
        actions.extend(inside.map(|p| {
            Action::PutPart(to.id, Part { phase: Some(id), in_wall: Some(true), ..renewed(p, also) })
        }));
    }
    Ok((actions, next_id))
}

/// The part as earlier changes leave it.
fn renewed(part: &Part, also: &[Action]) -> Part {
    let last = also.iter().rev().find_map(|a| match a {
        Action::PutPart(_, p) if p.id == part.id => Some(p.clone()),
        _ => None,
    });
    last.unwrap_or_else(|| part.clone())
}
