//! Selections as JSON, with what of them must be known.

use super::figures::{ColumnsJson, Names, day};
use crate::engine::figures::{Figures, SelectionFigures};
use crate::engine::specs::{self, WaitsFor};
use crate::model::{OptionId, Selection, SelectionId, SelectionOption, Spec};
use serde::Serialize;

/// A selection.
#[derive(Debug, Serialize)]
pub(super) struct SelectionJson {
    key: String,
    room: Option<String>,
    option: Option<String>,
    approved: Vec<ApprovedJson>,
    #[serde(flatten)]
    columns: ColumnsJson,
    days_in_hand: Option<i32>,
    decide_by: Option<String>,
    decide_for: Option<String>,
    open_specs: u32,
    specs: Vec<SpecJson>,
    late: bool,
}

/// An option that somebody approved of.
#[derive(Debug, Serialize)]
struct ApprovedJson {
    option: String,
    by: String,
    on: String,
}

/// What of a selection must be known.
#[derive(Debug, Serialize)]
struct SpecJson {
    what: String,
    phase: Option<String>,
    part: Option<String>,
    known_by: Option<String>,
    told_on: Option<String>,
    contradicted: Option<String>,
}

/// What was approved of by the as-of day.
fn approved(selection: &Selection, figures: &Figures) -> Vec<ApprovedJson> {
    let said = |option: &SelectionOption| {
        let (by, on) = option.approval(figures.as_of.date())?;
        Some(ApprovedJson { option: option.key.clone(), by: by.to_owned(), on: on.to_string() })
    };
    selection.options.iter().filter_map(said).collect()
}

impl Names<'_> {
    pub(super) fn selection_key(&self, id: SelectionId) -> String {
        self.project.selection(id).map_or(String::new(), |s| s.key.clone())
    }

    pub(super) fn option_key(&self, id: OptionId) -> String {
        self.project.option(id).map_or(String::new(), |(_, o)| o.key.clone())
    }

    pub(super) fn selection(&self, figures: &Figures, at: usize, f: &SelectionFigures) -> SelectionJson {
        let selection = self.project.selections.get(at);
        let live = selection.and_then(|s| s.options.iter().find(|o| Some(o.id) == f.live));
        SelectionJson {
            key: selection.map_or(String::new(), |s| s.key.clone()),
            room: selection.and_then(|s| self.project.room(s.room)).map(|r| r.key.clone()),
            option: live.map(|o| o.key.clone()),
            approved: selection.map_or(Vec::new(), |s| approved(s, figures)),
            columns: self.columns(&f.money),
            days_in_hand: f.days_in_hand,
            decide_by: day(f.decide.by),
            decide_for: specs::reason_words(self.project, figures, f),
            open_specs: f.decide.open,
            specs: selection
                .map_or(Vec::new(), |s| s.specs.iter().map(|spec| self.spec(figures, s, spec)).collect()),
            late: f.late,
        }
    }

    fn spec(&self, figures: &Figures, selection: &Selection, spec: &Spec) -> SpecJson {
        let known = figures.spec_facts(self.project).known_by(spec);
        let (phase, part) = match known.map(|(waits, _)| waits) {
            Some(WaitsFor::Phase(at)) => (self.phase_key(Some(at)), None),
            Some(WaitsFor::Part(at)) => (None, Some(self.part_key(at))),
            None => (None, None),
        };
        let option = selection.live_option();
        SpecJson {
            what: spec.what.clone(),
            phase,
            part,
            known_by: day(known.and_then(|(_, day)| day)),
            told_on: spec.told_on.map(|day| day.to_string()),
            contradicted: option.and_then(|o| specs::contradiction_words(self.project, spec, o)),
        }
    }
}
