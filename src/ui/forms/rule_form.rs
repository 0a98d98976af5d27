//! The form of a rule: which fact of what, compared how, with what.

use super::fields;
use crate::model::facts::{Rule, RuleKind, RuleOf, RuleWith};
use crate::model::ids::key_from_name;
use crate::model::{Action, Project, RuleId, SelectionId};
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::Ui;

/// A rule.
pub struct RuleForm {
    old: Option<Rule>,
    name: String,
    kind: RuleKind,
    of: RuleOf,
    fact: String,
    other: Option<SelectionId>,
    other_fact: String,
    value: String,
    tolerance: String,
    why: String,
}

const KINDS: [(&str, RuleKind); 5] = [
    ("is the same as", RuleKind::Equal),
    ("is at least", RuleKind::AtLeast),
    ("is at most", RuleKind::AtMost),
    ("is within a tolerance of", RuleKind::Within),
    ("is one and the same in the room", RuleKind::SameInRoom),
];

impl RuleForm {
    /// Opens the form; `None` when the rule is gone. A new one is about the selection that is given.
    pub fn new(project: &Project, id: Option<RuleId>, about: Option<SelectionId>) -> Option<RuleForm> {
        let old = match id {
            Some(id) => Some(project.rules.iter().find(|r| r.id == id)?.clone()),
            None => None,
        };
        let (other, other_fact, value) = match old.as_ref().and_then(|r| r.with.as_ref()) {
            Some(RuleWith::Fact(id, fact)) => (Some(*id), fact.clone(), String::new()),
            Some(RuleWith::Value(value)) => (None, String::new(), value.to_string()),
            None => (None, String::new(), String::new()),
        };
        Some(RuleForm {
            name: old.as_ref().map_or(String::new(), |r| r.name.clone()),
            kind: old.as_ref().map_or(RuleKind::Equal, |r| r.kind),
            of: old.as_ref().map_or(about.map_or(RuleOf::House, RuleOf::Selection), |r| r.of),
            fact: old.as_ref().map_or(String::new(), |r| r.fact.clone()),
            other,
            other_fact,
            value,
            tolerance: old.as_ref().map_or(String::new(), |r| fields::shown(r.tolerance.as_ref())),
            why: old.as_ref().map_or(String::new(), |r| r.why.clone()),
            old,
        })
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        fields::text_hint(ui, "Name", &mut self.name, "for example Sink fits its cabinet");
        let room = |id| project.room(id).map_or("", |r| r.name.as_str());
        let mut places = vec![("everything in the house".to_owned(), RuleOf::House)];
        places
            .extend(project.rooms.iter().map(|r| (format!("everything in {}", r.name), RuleOf::Room(r.id))));
        places.extend(
            project
                .selections
                .iter()
                .map(|s| (format!("{}, {}", s.name, room(s.room)), RuleOf::Selection(s.id))),
        );
        fields::choice(ui, "About", &mut self.of, &places);
        fields::text_hint(ui, "Fact", &mut self.fact, "for example width, finish family, exhaust");
        fields::choice(ui, "The fact", &mut self.kind, &fields::words(&KINDS));
        if self.kind != RuleKind::SameInRoom {
            let mut others = vec![("a value".to_owned(), None)];
            others.extend(
                project.selections.iter().map(|s| (format!("{}, {}", s.name, room(s.room)), Some(s.id))),
            );
            fields::choice(ui, "Compared with", &mut self.other, &others);
            if self.other.is_some() {
                fields::text_hint(
                    ui,
                    "Its fact",
                    &mut self.other_fact,
                    "empty for the fact of the same name",
                );
            } else {
                fields::text_hint(ui, "Value", &mut self.value, "for example 60 in, 50 cfm");
            }
        }
        if self.kind == RuleKind::Within {
            fields::text_hint(ui, "Tolerance", &mut self.tolerance, "for example 0.25 in");
        }
        fields::text_hint(ui, "Why", &mut self.why, "where it comes from, or why it matters");
        pieces::muted(
            ui,
            tokens,
            "Facts are stated on options and parts. A limit of a code is decided by local code.",
        );
    }

    /// The change the form asks for.
    ///
    /// # Errors
    /// What is wrong with which field.
    pub fn action(&self, project: &Project) -> Result<Action, String> {
        let name = fields::required("Name", &self.name)?;
        let (id, key) = match &self.old {
            Some(old) => (old.id, old.key.clone()),
            None => {
                (RuleId(project.next_id), key_from_name(&name, project.rules.iter().map(|r| r.key.as_str())))
            }
        };
        let fact = fields::required("Fact", &self.fact)?;
        let value = |label: &str, text: &str| {
            if text.trim().is_empty() {
                return Ok(None);
            }
            text.parse().map(Some).map_err(|why: String| format!("{label}: {why}"))
        };
        let with = match (self.kind, self.other) {
            (RuleKind::SameInRoom, _) => None,
            (_, Some(other)) => {
                let other_fact = self.other_fact.trim();
                Some(RuleWith::Fact(
                    other,
                    if other_fact.is_empty() { fact.clone() } else { other_fact.to_owned() },
                ))
            }
            (_, None) => value("Value", &self.value)?.map(RuleWith::Value),
        };
        let tolerance =
            if self.kind == RuleKind::Within { value("Tolerance", &self.tolerance)? } else { None };
        let why = self.why.trim().to_owned();
        Ok(Action::PutRule(Rule { id, key, name, kind: self.kind, of: self.of, fact, with, tolerance, why }))
    }
}
