//! The form of a gate: the phase it stands before, why it is there, and its conditions.

use super::fields;
use crate::model::ids::key_from_name;
use crate::model::{
    Action, Condition, ConditionId, Gate, GateId, Need, PartId, PhaseId, Presence, Project, Scope,
    SelectionId,
};
use crate::ui::theme::Tokens;
use crate::ui::widgets::drop_down::one_of;
use crate::ui::widgets::pieces;
use egui::Ui;
use lucide_icons::Icon;

/// A gate as text and picks.
pub struct GateForm {
    old: Option<Gate>,
    name: String,
    source: String,
    phase: Option<PhaseId>,
    rows: Vec<Row>,
}

/// What a condition asks for, as it is picked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Finished,
    PartsOf,
    Selection,
    Part,
    Confirmed,
}

const KINDS: [(&str, Kind); 5] = [
    ("somebody confirms", Kind::Confirmed),
    ("a phase is finished", Kind::Finished),
    ("the parts of a phase", Kind::PartsOf),
    ("a selection", Kind::Selection),
    ("one part", Kind::Part),
];

struct Row {
    id: Option<ConditionId>,
    kind: Kind,
    phase: Option<PhaseId>,
    selection: Option<SelectionId>,
    part: Option<PartId>,
    scope: Scope,
    presence: Presence,
    what: String,
    said_by: String,
    said_on: String,
    who: String,
    by: String,
}

impl Row {
    fn new() -> Row {
        Row {
            id: None,
            kind: Kind::Confirmed,
            phase: None,
            selection: None,
            part: None,
            scope: Scope::All,
            presence: Presence::OnSite,
            what: String::new(),
            said_by: String::new(),
            said_on: String::new(),
            who: String::new(),
            by: String::new(),
        }
    }

    fn of(project: &Project, condition: &Condition) -> Row {
        let mut row = Row {
            id: Some(condition.id),
            who: condition.who.clone(),
            by: fields::shown(condition.by),
            ..Row::new()
        };
        match &condition.need {
            Need::Finished(phase) => (row.kind, row.phase) = (Kind::Finished, Some(*phase)),
            Need::PartsOf { phase, presence } => {
                (row.kind, row.phase, row.presence) = (Kind::PartsOf, Some(*phase), *presence);
            }
            Need::Selection { selection, scope, presence } => {
                (row.kind, row.selection) = (Kind::Selection, Some(*selection));
                (row.scope, row.presence) = (*scope, *presence);
            }
            Need::Part { part, presence } => {
                row.selection = project.part(*part).map(|(s, _, _)| s.id);
                (row.kind, row.part, row.presence) = (Kind::Part, Some(*part), *presence);
            }
            Need::Confirmed { what, said_by, said_on } => {
                (row.what, row.said_by) = (what.clone(), said_by.clone());
                row.said_on = fields::shown(*said_on);
            }
        }
        row
    }

    fn need(&self) -> Result<Need, String> {
        let presence = self.presence;
        let phase = || self.phase.ok_or("pick a phase for the condition, or remove it");
        let selection = || self.selection.ok_or("pick a selection for the condition, or remove it");
        Ok(match self.kind {
            Kind::Finished => Need::Finished(phase()?),
            Kind::PartsOf => Need::PartsOf { phase: phase()?, presence },
            Kind::Selection => Need::Selection { selection: selection()?, scope: self.scope, presence },
            Kind::Part => {
                Need::Part { part: self.part.ok_or("pick a part for the condition, or remove it")?, presence }
            }
            Kind::Confirmed => Need::Confirmed {
                what: fields::required("What is confirmed", &self.what)?,
                said_by: self.said_by.trim().to_owned(),
                said_on: fields::day("Confirmed on", &self.said_on)?,
            },
        })
    }

    fn ui(&mut self, ui: &mut Ui, project: &Project) -> bool {
        let mut gone = false;
        ui.horizontal(|ui| {
            let what = "What the condition asks for";
            one_of(ui, &fields::spoken(what), 220.0, &mut self.kind, KINDS).on_hover_text(what);
            if matches!(self.kind, Kind::PartsOf | Kind::Selection | Kind::Part) {
                let all = Presence::ALL.map(|(_, presence)| (presence.words(), presence));
                one_of(ui, &fields::spoken("On site or built in"), 110.0, &mut self.presence, all)
                    .on_hover_text("On site or built in");
            }
            gone = pieces::icon_button(ui, Icon::Trash2, &fields::spoken("Remove condition")).clicked();
        });
        match self.kind {
            Kind::Finished | Kind::PartsOf => self.phase_ui(ui, project),
            Kind::Selection => {
                self.selection_ui(ui, project);
                let scopes = [
                    ("all its parts".to_owned(), Scope::All),
                    ("what is needed for this phase or before it".to_owned(), Scope::SoFar),
                ];
                fields::choice(ui, "Which parts", &mut self.scope, &scopes);
            }
            Kind::Part => {
                self.selection_ui(ui, project);
                self.part_ui(ui, project);
            }
            Kind::Confirmed => {
                fields::text(ui, "What", &mut self.what);
                fields::text(ui, "Confirmed by", &mut self.said_by);
                fields::date(ui, "Confirmed on", &mut self.said_on);
            }
        }
        let who = if self.kind == Kind::Confirmed { "the trade that is asked" } else { "who sees to it" };
        fields::text_hint(ui, "Who", &mut self.who, who);
        fields::date(ui, "By", &mut self.by);
        gone
    }

    fn phase_ui(&mut self, ui: &mut Ui, project: &Project) {
        let phases: Vec<(String, Option<PhaseId>)> =
            project.phases.iter().map(|p| (p.name.clone(), Some(p.id))).collect();
        fields::choice(ui, "Phase", &mut self.phase, &phases);
    }

    fn selection_ui(&mut self, ui: &mut Ui, project: &Project) {
        let before = self.selection;
        let selections: Vec<(String, Option<SelectionId>)> = project
            .selections
            .iter()
            .map(|s| {
                let room = project.room(s.room).map_or("", |r| r.name.as_str());
                (format!("{room}: {}", s.name), Some(s.id))
            })
            .collect();
        fields::choice(ui, "Selection", &mut self.selection, &selections);
        if before != self.selection {
            self.part = None;
        }
    }

    fn part_ui(&mut self, ui: &mut Ui, project: &Project) {
        let options = self.selection.and_then(|id| project.selection(id)).map_or(&[][..], |s| &s.options);
        let named = options.iter().flat_map(|o| {
            o.parts.iter().map(move |p| {
                let name = if p.name == o.name { p.name.clone() } else { format!("{}, {}", p.name, o.name) };
                (name, Some(p.id))
            })
        });
        fields::choice(ui, "Part", &mut self.part, &named.collect::<Vec<_>>());
    }
}

impl GateForm {
    /// Opens the form; `None` when the gate is gone.
    pub fn new(project: &Project, id: Option<GateId>, phase: Option<PhaseId>) -> Option<GateForm> {
        let old = match id {
            Some(id) => Some(project.gate(id)?.clone()),
            None => None,
        };
        let rows = match &old {
            Some(gate) => gate.conditions.iter().map(|c| Row::of(project, c)).collect(),
            None => vec![Row::new()],
        };
        Some(GateForm {
            name: old.as_ref().map_or(String::new(), |g| g.name.clone()),
            source: old.as_ref().map_or(String::new(), |g| g.source.clone()),
            phase: old.as_ref().map(|g| g.phase).or(phase),
            rows,
            old,
        })
    }

    /// Draws the fields.
    pub fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        fields::text(ui, "Name", &mut self.name);
        let phases: Vec<(String, Option<PhaseId>)> =
            project.phases.iter().map(|p| (p.name.clone(), Some(p.id))).collect();
        fields::choice(ui, "Before", &mut self.phase, &phases);
        fields::text_hint(ui, "Why", &mut self.source, "a section of the code, or common practice");
        let mut gone = None;
        for (i, row) in self.rows.iter_mut().enumerate() {
            fields::section(ui, tokens, &format!("Condition {}", i + 1));
            let drawn = |ui: &mut Ui| fields::numbered(i + 1, || row.ui(ui, project));
            if ui.push_id(("condition", i), drawn).inner {
                gone = Some(i);
            }
        }
        if let Some(i) = gone {
            self.rows.remove(i);
        }
        ui.add_space(6.0);
        if pieces::link(ui, tokens, "+ add a condition").clicked() {
            self.rows.push(Row::new());
        }
    }

    /// The change the form asks for.
    ///
    /// # Errors
    /// What is wrong with which field.
    pub fn action(&self, project: &Project) -> Result<Action, String> {
        let name = fields::required("Name", &self.name)?;
        let mut next = project.next_id;
        let (id, key) = match &self.old {
            Some(old) => (old.id, old.key.clone()),
            None => {
                next += 1;
                (GateId(project.next_id), key_from_name(&name, project.gates.iter().map(|g| g.key.as_str())))
            }
        };
        let conditions = self
            .rows
            .iter()
            .enumerate()
            .map(|(i, row)| {
                let at = |why: String| format!("Condition {}: {why}", i + 1);
                let id = row.id.unwrap_or_else(|| {
                    next += 1;
                    ConditionId(next - 1)
                });
                let by = fields::day("By", &row.by).map_err(at)?;
                Ok(Condition { id, need: row.need().map_err(at)?, who: row.who.trim().to_owned(), by })
            })
            .collect::<Result<_, String>>()?;
        Ok(Action::PutGate(Gate {
            id,
            key,
            phase: self.phase.ok_or("Before: pick the phase that waits")?,
            name,
            source: self.source.trim().to_owned(),
            conditions,
        }))
    }
}
