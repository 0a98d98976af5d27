//! Forms of quotes, and of fees and extras.

use super::Dialog;
use super::bid_rows::{InstallmentRows, LeftOutRows};
use super::fields;
use super::table_form::{Look, TableForm};
use crate::model::ids::key_from_name;
use crate::model::{Action, Extra, ExtraId, PhaseId, Project, Quote, QuoteId};
use crate::ui::format::count;
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::Ui;

/// A trade's quote.
pub struct QuoteForm {
    form: TableForm<Quote>,
    /// Further phases that it covers.
    also: Vec<PhaseId>,
    left_out: LeftOutRows,
    installments: InstallmentRows,
}

impl QuoteForm {
    /// Opens the form; `None` when the quote is gone.
    pub fn new(project: &Project, id: Option<QuoteId>) -> Option<QuoteForm> {
        let quote = match id {
            Some(id) => project.quotes.iter().find(|q| q.id == id)?.clone(),
            None => Quote::new(QuoteId(project.next_id)),
        };
        let also = quote.also.clone();
        let (left_out, installments) =
            (LeftOutRows::new(&quote.left_out), InstallmentRows::new(&quote.installments));
        Some(QuoteForm { form: TableForm::new(Quote::FIELDS, quote), also, left_out, installments })
    }
}

/// The scopes of other quotes, one of which is taken as it is written there.
fn known_scopes(form: &mut TableForm<Quote>, ui: &mut Ui, project: &Project) {
    let mut known: Vec<(String, &str)> = Vec::new();
    for quote in project.quotes.iter() {
        let read = quote.scope_read();
        if !read.is_empty() && !known.iter().any(|(other, _)| *other == read) {
            known.push((read, quote.scope.trim()));
        }
    }
    if known.is_empty() {
        return;
    }
    let typed = form.text("scope").trim().to_owned();
    let before = known.iter().position(|(_, scope)| *scope == typed);
    let mut now = before;
    let all = known.iter().enumerate().map(|(at, (_, scope))| ((*scope).to_owned(), Some(at)));
    let all: Vec<(String, Option<usize>)> =
        [("none of them".to_owned(), None)].into_iter().chain(all).collect();
    fields::choice(ui, "Same scope as", &mut now, &all);
    if now != before {
        form.set_text("scope", now.and_then(|at| known.get(at)).map_or("", |(_, scope)| scope));
    }
}

impl Dialog for QuoteForm {
    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        self.form.ui_with(
            ui,
            project,
            tokens,
            |_, _| Look::Usual,
            |form, ui, name| {
                if name == "scope" {
                    known_scopes(form, ui, project);
                }
            },
        );
        let covered = match self.also.len() {
            0 => "Also covers other phases".to_owned(),
            n => format!("Also covers {}", count(n, "other phase")),
        };
        egui::CollapsingHeader::new(covered).id_salt("also_covers").show(ui, |ui| {
            for phase in project.phases.iter() {
                let mut covers = self.also.contains(&phase.id);
                if ui.checkbox(&mut covers, &phase.name).changed() {
                    self.also.retain(|id| *id != phase.id);
                    self.also.extend(covers.then_some(phase.id));
                }
            }
        });
        self.left_out.ui(ui, tokens);
        self.installments.ui(ui, project, tokens);
        pieces::muted(
            ui,
            tokens,
            "One bid of a scope can be accepted. Without installments it falls due in parts as its phases are done, by their days.",
        );
    }

    fn action(&mut self, project: &Project) -> Result<Action, String> {
        let mut quote = self.form.read()?;
        quote.also = self.also.clone();
        quote.left_out = self.left_out.read()?;
        quote.installments = self.installments.read()?;
        if quote.key.is_empty() {
            quote.key = key_from_name(&quote.trade, project.quotes.iter().map(|q| q.key.as_str()));
        }
        Ok(Action::PutQuote(quote))
    }

    fn width(&self) -> f32 {
        // Its installments have a row each.
        640.0
    }
}

/// A fee or an extra.
pub struct ExtraForm(TableForm<Extra>);

impl ExtraForm {
    /// Opens the form; `None` when the thing is gone.
    pub fn new(project: &Project, id: Option<ExtraId>) -> Option<ExtraForm> {
        let extra = match id {
            Some(id) => project.extras.iter().find(|e| e.id == id)?.clone(),
            None => Extra::new(ExtraId(project.next_id)),
        };
        Some(ExtraForm(TableForm::new(Extra::FIELDS, extra)))
    }
}

impl Dialog for ExtraForm {
    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        self.0.ui(ui, project, tokens, |_, _| Look::Usual);
        pieces::muted(
            ui,
            tokens,
            "A planned fee is its own allowance; what nobody planned comes out of the contingency.",
        );
    }

    fn action(&mut self, project: &Project) -> Result<Action, String> {
        let mut extra = self.0.read()?;
        if extra.key.is_empty() {
            extra.key = key_from_name(&extra.name, project.extras.iter().map(|e| e.key.as_str()));
        }
        Ok(Action::PutExtra(extra))
    }
}
