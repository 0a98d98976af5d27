//! Changing many selections at once: one step in the undo list.

use super::ledger::ManyForm;
use crate::exchange::incoming::row_text::set_lead;
use crate::exchange::typed::Lead;
use crate::model::{Action, Money, Part, PhaseId, Selection, SelectionId, SupplierId};
use crate::ui::format;
use crate::ui::forms::fields;
use crate::ui::session::Session;
use crate::ui::shell::modals;
use crate::ui::view::{Outbox, View};
use crate::ui::widgets::pieces;
use egui::Context;
use rust_decimal::Decimal;

/// Draws the dialog; false when it is done with.
pub fn ui(ctx: &Context, view: &View<'_>, session: &Session, form: &mut ManyForm, out: &mut Outbox) -> bool {
    let ids = session.ledger.chosen(session.selection);
    let mut stays = true;
    let asked = modals::show(ctx, "many", 470.0, true, |ui| {
        ui.label(pieces::strong(format!("Change {}", format::count(ids.len() as i32, "selection")), 18.0));
        pieces::muted(ui, view.tokens, "What is left empty stays as it is.");
        ui.add_space(4.0);
        fields::section(ui, view.tokens, "Of the selections");
        fields::text_hint(ui, "Allowance", &mut form.allowance, "an amount, or +5% or -10% of what it is");
        fields::text(ui, "Category", &mut form.category);
        fields::date(ui, "Decide on", &mut form.decide_on);
        fields::section(ui, view.tokens, "Of their parts that are not ordered");
        let mut phases: Vec<(String, Option<PhaseId>)> = vec![("as it is".to_owned(), None)];
        phases.extend(view.project.phases.iter().map(|p| (p.name.clone(), Some(p.id))));
        fields::choice(ui, "Phase", &mut form.phase, &phases);
        let mut suppliers: Vec<(String, Option<SupplierId>)> = vec![("as it is".to_owned(), None)];
        suppliers.extend(view.project.suppliers.iter().map(|s| (s.name.clone(), Some(s.id))));
        fields::choice(ui, "Supplier", &mut form.supplier, &suppliers);
        fields::text_hint(ui, "Lead time", &mut form.lead, "for example 6 weeks, 10 days, 8 working");
        fields::flag(ui, "also parts of candidates that are not chosen", &mut form.candidates);
        fields::flag(ui, "also options of several parts", &mut form.several);
        let actions = actions(view, &ids, form);
        ui.add_space(6.0);
        match (&actions, &form.error) {
            (Ok(list), None) => {
                let parts = list.iter().filter(|a| matches!(a, Action::PutPart(..))).count() as i32;
                let selections = list.len() as i32 - parts;
                let words = match (selections, parts) {
                    (0, 0) => "Nothing would change yet.".to_owned(),
                    _ => format!(
                        "This changes {} and {}.",
                        format::count(selections, "selection"),
                        format::count(parts, "part")
                    ),
                };
                pieces::muted(ui, view.tokens, words);
            }
            (Err(error), _) | (_, Some(error)) => {
                ui.label(egui::RichText::new(error).color(view.tokens.late));
            }
        }
        ui.add_space(8.0);
        ui.horizontal(|ui| {
            let ready = actions.as_ref().is_ok_and(|list| !list.is_empty());
            let done = ui.add_enabled(ready, pieces::primary(view.tokens, "Change them"));
            if (done.clicked() || (ready && modals::done(ctx)))
                && let Ok(list) = actions
            {
                let label = format!("change {}", format::count(ids.len() as i32, "selection"));
                let batch = Action::Batch { label, actions: list };
                match view.project.apply(&batch) {
                    Ok(_) => {
                        out.act(batch);
                        stays = false;
                    }
                    Err(why) => form.error = Some(why.to_string()),
                }
            }
            if ui.button("Cancel").clicked() {
                ui.close();
            }
        });
    });
    stays && !asked.closes
}

/// The changes the form asks for.
fn actions(view: &View<'_>, ids: &[SelectionId], form: &ManyForm) -> Result<Vec<Action>, String> {
    let allowance = allowance(&form.allowance)?;
    let decide_on = fields::day("Decide on", &form.decide_on)?;
    let lead = fields::lead("Lead time", &form.lead)?;
    let category = form.category.trim();
    let mut actions = Vec::new();
    for at in ids.iter().filter_map(|id| view.figures.index.of(id.0)) {
        let Some(selection) = view.project.selections.get(at) else { continue };
        let mut own = Selection { options: Vec::new(), ..selection.as_ref().clone() };
        match allowance {
            Some(Allowance::To(amount)) => own.allowance = amount,
            Some(Allowance::By(percent)) => {
                own.allowance = own.allowance.more_by(percent, view.currency());
            }
            None => {}
        }
        own.decide_on = decide_on.or(own.decide_on);
        if !category.is_empty() {
            own.category = category.to_owned();
        }
        let same = own.allowance == selection.allowance
            && own.decide_on == selection.decide_on
            && own.category == selection.category;
        if !same {
            actions.push(Action::PutSelection(own));
        }
        let live = selection.live_option().map(|o| o.id);
        for option in &selection.options {
            let counts = live.is_none_or(|id| id == option.id) || form.candidates;
            if !counts || (option.parts.len() > 1 && !form.several) {
                continue;
            }
            for part in option.parts.iter().filter(|p| !p.is_ordered()) {
                let changed = with(part, form.phase, form.supplier, lead);
                if changed != *part {
                    actions.push(Action::PutPart(option.id, changed));
                }
            }
        }
    }
    Ok(actions)
}

fn with(part: &Part, phase: Option<PhaseId>, supplier: Option<SupplierId>, lead: Option<Lead>) -> Part {
    let mut changed = part.clone();
    changed.phase = phase.or(part.phase);
    changed.supplier = supplier.or(part.supplier);
    if let Some(lead) = lead {
        set_lead(&mut changed, lead);
    }
    changed
}

#[derive(Debug, Clone, Copy)]
enum Allowance {
    To(Money),
    By(Decimal),
}

fn allowance(text: &str) -> Result<Option<Allowance>, String> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    if let Some(percent) = text.strip_suffix('%') {
        let (by, _) = fields::reader().take(percent).map_err(|why| format!("Allowance: {why}"))?;
        if by < -Decimal::ONE_HUNDRED {
            return Err("Allowance: it cannot lose more than all of it".to_owned());
        }
        return Ok(Some(Allowance::By(by)));
    }
    fields::amount("Allowance", text).map(|amount| Some(Allowance::To(amount)))
}
