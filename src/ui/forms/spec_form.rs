//! The form of what must be known: what, by when, for whom; and whom it was told.

use super::Dialog;
use super::table_form::{Look, TableForm};
use crate::model::facts::named;
use crate::model::{Action, Project, SelectionId, Spec};
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use chrono::NaiveDate;
use egui::Ui;

/// What must be known of a selection.
pub struct SpecForm {
    selection: SelectionId,
    name: String,
    at: usize,
    /// Only what was told is asked.
    tell: bool,
    form: TableForm<Spec>,
}

impl SpecForm {
    /// Opens the form; `None` when the selection or the spec is gone.
    pub fn new(project: &Project, selection: SelectionId, at: Option<usize>) -> Option<SpecForm> {
        let document = project.selection(selection)?;
        let spec = match at {
            Some(at) => document.specs.get(at)?.clone(),
            None => Spec::new(""),
        };
        let at = at.unwrap_or(document.specs.len());
        let (name, form) = (document.name.clone(), TableForm::new(Spec::FIELDS, spec));
        Some(SpecForm { selection, name, at, tell: false, form })
    }

    /// The same, to note that it was told on a day: of the option that counts, with what its facts say.
    pub fn tell(project: &Project, selection: SelectionId, at: usize, on: NaiveDate) -> Option<SpecForm> {
        let document = project.selection(selection)?;
        let mut spec = document.specs.get(at)?.clone();
        spec.told_on = spec.told_on.or(Some(on));
        if let Some(option) = document.live_option() {
            spec.told_for = spec.told_for.or(Some(option.id));
            let of_parts = option.parts.iter().flat_map(|p| named(&p.facts, &spec.fact));
            let said = named(&option.facts, &spec.fact).chain(of_parts).next();
            spec.told = spec.told.take().or_else(|| said.cloned().filter(|_| !spec.fact.is_empty()));
        }
        let (name, form) = (document.name.clone(), TableForm::new(Spec::FIELDS, spec));
        Some(SpecForm { selection, name, at, tell: true, form })
    }
}

impl Dialog for SpecForm {
    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        let what = self.form.text("what").to_owned();
        match self.tell {
            true => pieces::muted(ui, tokens, format!("{}: {what}", self.name)),
            false => pieces::muted(ui, tokens, format!("Of {}", self.name)),
        };
        let tell = self.tell;
        let options = project
            .selection(self.selection)
            .map_or(Vec::new(), |s| s.options.iter().map(|o| (o.name.clone(), o.id.0)).collect());
        self.form.ui(ui, project, tokens, |form, name| match name {
            "told_for" => Look::Among(options.clone()),
            "told" if form.text("fact").is_empty() => Look::Hidden,
            "what" | "phase" | "part" | "days_before" | "fact" if tell => Look::Hidden,
            _ => Look::Usual,
        });
        let rule = "What was told is told, whatever is chosen later; a choice that says otherwise is named.";
        pieces::muted(ui, tokens, rule);
    }

    fn action(&mut self, _project: &Project) -> Result<Action, String> {
        Ok(Action::PutSpec(self.selection, self.at, self.form.read()?))
    }
}
