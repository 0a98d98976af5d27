//! What goes with what: the rules of a project over the facts of what counts.
//!
//! A rule looks at the option that counts in each selection, or at a candidate in its place. Facts of an option and of
//! its parts count alike; when several of them state the same fact, each must hold.

use crate::model::facts::{FactValue, Rule, RuleKind, RuleOf, RuleWith, named, same_base};
use crate::model::{OptionId, Project, Selection, SelectionId, SelectionOption};
use rust_decimal::Decimal;

/// What a rule says of what counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verdict {
    /// Position of the rule.
    pub rule: usize,
    /// The outcome.
    pub outcome: Fit,
    /// The selections looked at, the first being the one to change.
    pub selections: Vec<SelectionId>,
    /// What was compared, in words: `width 60 in, alcove width 60 in`.
    pub words: String,
}

/// Whether something fits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// It does.
    Fits,
    /// It does not.
    DoesNotFit,
    /// A fact is not stated.
    NotKnown,
    /// The facts measure different things.
    NoMeasure,
}

/// What all rules say of what counts now. A rule of which a side is undecided says nothing.
pub fn verdicts(project: &Project) -> Vec<Verdict> {
    let scope = Scope { project, instead: None };
    project.rules.iter().enumerate().flat_map(|(at, rule)| scope.judge(at, rule)).collect()
}

/// What the rules say of an option, as if it were what counts in its selection.
pub fn of_option(project: &Project, option: OptionId) -> Vec<Verdict> {
    let Some((selection, instead)) = project.option(option) else { return Vec::new() };
    let scope = Scope { project, instead: Some((selection, instead)) };
    let all = project.rules.iter().enumerate().flat_map(|(at, rule)| scope.judge(at, rule));
    all.filter(|v| v.selections.contains(&selection.id)).collect()
}

struct Scope<'a> {
    project: &'a Project,
    instead: Option<(&'a Selection, &'a SelectionOption)>,
}

impl<'a> Scope<'a> {
    fn option(&self, selection: &'a Selection) -> Option<&'a SelectionOption> {
        match self.instead {
            Some((own, option)) if own.id == selection.id => Some(option),
            _ => selection.live_option(),
        }
    }

    fn judge(&self, at: usize, rule: &Rule) -> Vec<Verdict> {
        let mut found = match rule.of {
            RuleOf::Selection(id) => {
                self.project.selection(id).and_then(|s| self.one(rule, s)).into_iter().collect()
            }
            RuleOf::Room(room) if rule.kind == RuleKind::SameInRoom => {
                let all = self.project.selections.iter().filter(|s| s.room == room);
                self.same(rule, all.map(AsRef::as_ref))
            }
            RuleOf::Room(_) | RuleOf::House => {
                let inside = |s: &&Selection| !matches!(rule.of, RuleOf::Room(room) if s.room != room);
                let all = self.project.selections.iter().map(AsRef::as_ref).filter(inside);
                let other = |s: &&Selection| !matches!(rule.with, Some(RuleWith::Fact(id, _)) if id == s.id);
                all.filter(other)
                    .filter(|s| self.option(s).is_some_and(|o| !values(o, &rule.fact).is_empty()))
                    .filter_map(|s| self.one(rule, s))
                    .collect()
            }
        };
        found.iter_mut().for_each(|v| v.rule = at);
        found
    }

    /// A selection against the other side.
    fn one(&self, rule: &Rule, selection: &'a Selection) -> Option<Verdict> {
        let option = self.option(selection)?;
        let own = values(option, &rule.fact);
        let mut selections = vec![selection.id];
        let (others, other_words) = match &rule.with {
            Some(RuleWith::Value(value)) => (vec![value], value.to_string()),
            Some(RuleWith::Fact(id, fact)) => {
                let other = self.project.selection(*id)?;
                let values = values(self.option(other)?, fact);
                selections.push(*id);
                let words = format!("{} {fact} {}", other.name, listed(&values));
                (values, words)
            }
            None => return None,
        };
        let words = format!("{} {}, {} {other_words}", rule.fact, listed(&own), relation(rule));
        let outcome = if own.is_empty() || others.is_empty() {
            Fit::NotKnown
        } else {
            own.iter().flat_map(|a| others.iter().map(move |b| compare(rule, a, b))).fold(Fit::Fits, worse)
        };
        Some(Verdict { rule: 0, outcome, selections, words })
    }

    /// Everything in a room that states a fact against the first that does; each that differs is a verdict of its own.
    fn same(&self, rule: &Rule, all: impl Iterator<Item = &'a Selection>) -> Vec<Verdict> {
        let stated: Vec<(&Selection, Vec<&FactValue>)> = all
            .filter_map(|s| Some((s, values(self.option(s)?, &rule.fact))))
            .filter(|(_, values)| !values.is_empty())
            .collect();
        // What most of the room states is taken for what is meant; the first of them, when there are several.
        let same = |a: &[&FactValue], b: &[&FactValue]| {
            a.iter().all(|a| b.iter().all(|b| a.says_the_same(b) == Some(true)))
        };
        let agree = |values: &Vec<&FactValue>| stated.iter().filter(|(_, v)| same(v, values)).count();
        let mut usual: Option<&(&Selection, Vec<&FactValue>)> = None;
        for entry in &stated {
            if usual.is_none_or(|best| agree(&entry.1) > agree(&best.1)) {
                usual = Some(entry);
            }
        }
        let Some((first, meant)) = usual else { return Vec::new() };
        let verdict = |(s, values): &(&Selection, Vec<&FactValue>)| {
            let outcome = if same(values, meant) { Fit::Fits } else { Fit::DoesNotFit };
            let words = format!("{} {}, {} has {}", rule.fact, listed(values), first.name, listed(meant));
            Verdict { rule: 0, outcome, selections: vec![s.id], words }
        };
        stated.iter().map(verdict).collect()
    }
}

fn values<'a>(option: &'a SelectionOption, fact: &'a str) -> Vec<&'a FactValue> {
    let parts = option.parts.iter().flat_map(|p| named(&p.facts, fact));
    named(&option.facts, fact).chain(parts).collect()
}

fn listed(values: &[&FactValue]) -> String {
    if values.is_empty() {
        return "not stated".to_owned();
    }
    let mut words: Vec<String> = Vec::new();
    for value in values {
        let word = value.to_string();
        if !words.contains(&word) {
            words.push(word);
        }
    }
    words.join(" and ")
}

/// How the two sides must stand to each other, in words.
fn relation(rule: &Rule) -> String {
    match (rule.kind, &rule.tolerance) {
        (RuleKind::Equal | RuleKind::SameInRoom, _) => "must equal".to_owned(),
        (RuleKind::AtLeast, _) => "must be at least".to_owned(),
        (RuleKind::AtMost, _) => "must be at most".to_owned(),
        (RuleKind::Within, Some(tolerance)) => format!("must be within {tolerance} of"),
        (RuleKind::Within, None) => "must be near".to_owned(),
    }
}

fn worse(a: Fit, b: Fit) -> Fit {
    let rank = |fit: Fit| match fit {
        Fit::Fits => 0,
        Fit::NotKnown => 1,
        Fit::NoMeasure => 2,
        Fit::DoesNotFit => 3,
    };
    if rank(b) > rank(a) { b } else { a }
}

fn compare(rule: &Rule, a: &FactValue, b: &FactValue) -> Fit {
    let holds = match rule.kind {
        RuleKind::Equal | RuleKind::SameInRoom => a.says_the_same(b),
        RuleKind::AtLeast => numbers(a, b).map(|(a, b)| a >= b),
        RuleKind::AtMost => numbers(a, b).map(|(a, b)| a <= b),
        RuleKind::Within => within(rule, a, b),
    };
    match holds {
        Some(true) => Fit::Fits,
        Some(false) => Fit::DoesNotFit,
        None => Fit::NoMeasure,
    }
}

fn numbers(a: &FactValue, b: &FactValue) -> Option<(Decimal, Decimal)> {
    match (a, b) {
        (FactValue::Amount(a, u), FactValue::Amount(b, v)) => same_base((*a, u), (*b, v)),
        _ => None,
    }
}

fn within(rule: &Rule, a: &FactValue, b: &FactValue) -> Option<bool> {
    let tolerance = rule.tolerance.as_ref()?;
    let (x, y) = numbers(a, b)?;
    // In base units, as the two numbers are.
    let (_, most) = numbers(a, tolerance)?;
    Some((x - y).abs() <= most.abs())
}
