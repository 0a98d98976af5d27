//! Forms over the window: adding and editing what the document is made of.
//!
//! A form edits a copy in text; only its last button makes an action, so closing it leaves nothing behind.

pub mod budget_forms;
pub mod correction_form;
pub mod delivery_form;
pub mod export_form;
pub mod facts_field;
pub mod fields;
pub mod gate_form;
pub mod house_forms;
pub mod list_form;
pub mod order_form;
pub mod part_form;
pub mod payment_form;
pub mod phase_form;
pub mod return_form;
pub mod room_form;
pub mod rule_form;
pub mod settings_form;
pub mod supplier_form;
pub mod swap_form;
pub mod usual_gates;

use super::shell::modals;
use super::theme::Tokens;
use super::view::Form;
use super::widgets::pieces;
use crate::engine::Figures;
use crate::model::{Action, Project};
use egui::Ui;
use std::sync::Arc;

fn titled_payment(new: bool) -> String {
    if new { "Note a payment" } else { "Edit payment" }.to_owned()
}

/// An open form.
pub struct OpenForm {
    title: String,
    kind: Kind,
    error: Option<String>,
    /// Not drawn yet; the first field gets the cursor when it is.
    fresh: bool,
}

enum Kind {
    Settings(settings_form::SettingsForm),
    NewProject(settings_form::NewProjectForm),
    Room(Box<room_form::RoomForm>),
    Selection(house_forms::SelectionForm),
    Option(house_forms::OptionForm),
    Part(Box<part_form::PartForm>),
    Phase(Box<phase_form::PhaseForm>),
    Supplier(Box<supplier_form::SupplierForm>),
    Quote(budget_forms::QuoteForm),
    Extra(budget_forms::ExtraForm),
    Swap(Box<swap_form::SwapForm>),
    Return(Box<return_form::ReturnForm>),
    Order(Box<order_form::OrderForm>),
    Delivery(Box<delivery_form::DeliveryForm>),
    Payment(Box<payment_form::PaymentForm>),
    Rule(Box<rule_form::RuleForm>),
    Gate(Box<gate_form::GateForm>),
    Correction(correction_form::CorrectionForm),
    UsualGates(usual_gates::UsualGatesForm),
}

/// What came of a form in a frame.
pub enum Outcome {
    /// Still open.
    Open,
    /// Closed without a change.
    Closed,
    /// Done, with the change.
    Act(Box<Action>),
    /// Done, with a new project.
    Begin(Box<Project>),
}

impl OpenForm {
    /// Opens a form on what is in the document now. `None` when the thing is gone.
    pub fn new(form: Form, project: &Project) -> Option<OpenForm> {
        let titled = |new: bool, thing: &str| format!("{} {thing}", if new { "Add" } else { "Edit" });
        let (title, kind) = match form {
            Form::Settings => {
                ("Project settings".to_owned(), Kind::Settings(settings_form::SettingsForm::new(project)))
            }
            Form::Room(id) => {
                (titled(id.is_none(), "room"), Kind::Room(Box::new(room_form::RoomForm::new(project, id)?)))
            }
            Form::Selection(id, room) => (
                titled(id.is_none(), "selection"),
                Kind::Selection(house_forms::SelectionForm::new(project, id, room)?),
            ),
            Form::Option(selection, id) => (
                titled(id.is_none(), "option"),
                Kind::Option(house_forms::OptionForm::new(project, selection, id)?),
            ),
            Form::Part(option, id) => (
                titled(id.is_none(), "part"),
                Kind::Part(Box::new(part_form::PartForm::new(project, option, id)?)),
            ),
            Form::Phase(id) => (
                titled(id.is_none(), "phase"),
                Kind::Phase(Box::new(phase_form::PhaseForm::new(project, id)?)),
            ),
            Form::Supplier(id) => (
                titled(id.is_none(), "supplier"),
                Kind::Supplier(Box::new(supplier_form::SupplierForm::new(project, id)?)),
            ),
            Form::Quote(id) => {
                (titled(id.is_none(), "quote"), Kind::Quote(budget_forms::QuoteForm::new(project, id)?))
            }
            Form::Extra(id) => (
                titled(id.is_none(), "fee or extra"),
                Kind::Extra(budget_forms::ExtraForm::new(project, id)?),
            ),
            Form::Rule(id, about) => (
                titled(id.is_none(), "rule"),
                Kind::Rule(Box::new(rule_form::RuleForm::new(project, id, about)?)),
            ),
            Form::Gate(id, phase) => (
                titled(id.is_none(), "gate"),
                Kind::Gate(Box::new(gate_form::GateForm::new(project, id, phase)?)),
            ),
            Form::Correction(id, phase) => (
                titled(id.is_none(), "correction"),
                Kind::Correction(correction_form::CorrectionForm::new(project, id, phase)?),
            ),
            Form::UsualGates => (
                "Add the usual gates".to_owned(),
                Kind::UsualGates(usual_gates::UsualGatesForm::new(project)),
            ),
            Form::Swap(..) | Form::Return(..) | Form::Order(_) | Form::Delivery(..) | Form::Payment(..) => {
                return None;
            }
        };
        Some(OpenForm { title, kind, error: None, fresh: true })
    }

    /// Opens a form that looks at figures. `None` when the thing is gone.
    pub fn with_figures(form: Form, project: &Project, figures: &Arc<Figures>) -> Option<OpenForm> {
        let (title, kind) = match form {
            Form::Swap(selection, to, reverses) => {
                let name = project.selection(selection)?.name.clone();
                let form = swap_form::SwapForm::new(project, figures, selection, to, reverses)?;
                let back = if reverses.is_some() { "Swap back" } else { "Swap" };
                (format!("{back}: {name}"), Kind::Swap(Box::new(form)))
            }
            Form::Return(part, state) => {
                let form = return_form::ReturnForm::new(project, figures, part, state)?;
                ("What becomes of it".to_owned(), Kind::Return(Box::new(form)))
            }
            Form::Order(id) => {
                let form = order_form::OrderForm::new(project, figures, id)?;
                ("Order".to_owned(), Kind::Order(Box::new(form)))
            }
            Form::Delivery(part, id) => {
                let form = delivery_form::DeliveryForm::new(project, figures, part, id)?;
                ("What came".to_owned(), Kind::Delivery(Box::new(form)))
            }
            Form::Payment(of, id) => {
                let form = payment_form::PaymentForm::new(project, figures, of, id)?;
                (titled_payment(id.is_none()), Kind::Payment(Box::new(form)))
            }
            _ => return OpenForm::new(form, project),
        };
        Some(OpenForm { title, kind, error: None, fresh: true })
    }

    /// The form of a new project that starts on a day.
    pub fn new_project(start: chrono::NaiveDate) -> OpenForm {
        OpenForm {
            title: "New project".to_owned(),
            kind: Kind::NewProject(settings_form::NewProjectForm::new(start)),
            error: None,
            fresh: true,
        }
    }

    /// Draws the form.
    pub fn show(&mut self, ctx: &egui::Context, project: &Project, tokens: &Tokens) -> Outcome {
        let mut outcome = Outcome::Open;
        let (opened, frame) = (egui::Id::unique("form_opened"), ctx.cumulative_frame_nr());
        if std::mem::take(&mut self.fresh) {
            modals::begin(ctx, "form");
            fields::focus_first(ctx);
            ctx.data_mut(|d| d.insert_temp(opened, frame));
        }
        // A field that takes the focus scrolls to itself, past what stands above it; a form opens at its top.
        let opening = ctx.data(|d| d.get_temp::<u64>(opened)).is_some_and(|opened| frame < opened + 4);
        let asked = modals::show(ctx, "form", self.width(), true, |ui| {
            ui.label(pieces::strong(&self.title, 18.0));
            ui.add_space(6.0);
            let height = (ctx.content_rect().height() - 200.0).max(240.0);
            let mut area = egui::ScrollArea::vertical().max_height(height).min_scrolled_height(height);
            if opening {
                area = area.vertical_scroll_offset(0.0);
            }
            area.show(ui, |ui| {
                ui.set_width(ui.available_width() - 8.0);
                fields::set_fault(ui.ctx(), self.error.as_ref());
                self.fields(ui, project, tokens);
                fields::set_fault(ui.ctx(), None);
            });
            if let Some(error) = &self.error {
                ui.add_space(4.0);
                ui.add(egui::Label::new(egui::RichText::new(error).color(tokens.late)).wrap());
            }
            ui.add_space(8.0);
            ui.horizontal(|ui| {
                let done = match self.kind {
                    Kind::NewProject(_) => "Begin",
                    Kind::Swap(_) => "Make the swap",
                    _ => "Done",
                };
                if pieces::primary_button(ui, tokens, done).clicked() || modals::done(ctx) {
                    outcome = self.finish(project);
                }
                if ui.button("Cancel").clicked() {
                    ui.close();
                }
            });
        });
        if asked.closes && matches!(outcome, Outcome::Open) { Outcome::Closed } else { outcome }
    }

    fn width(&self) -> f32 {
        match self.kind {
            Kind::Room(_) => room_form::RoomForm::WIDTH,
            _ => 460.0,
        }
    }

    fn fields(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        match &mut self.kind {
            Kind::Settings(form) => form.ui(ui, tokens),
            Kind::NewProject(form) => form.ui(ui, tokens),
            Kind::Room(form) => form.ui(ui, tokens),
            Kind::Selection(form) => form.ui(ui, project, tokens),
            Kind::Option(form) => form.ui(ui, tokens),
            Kind::Part(form) => form.ui(ui, project, tokens),
            Kind::Phase(form) => form.ui(ui, project, tokens),
            Kind::Supplier(form) => form.ui(ui, tokens),
            Kind::Quote(form) => form.ui(ui, project, tokens),
            Kind::Extra(form) => form.ui(ui, project, tokens),
            Kind::Swap(form) => form.ui(ui, project, tokens),
            Kind::Return(form) => form.ui(ui, project, tokens),
            Kind::Order(form) => form.ui(ui, project, tokens),
            Kind::Delivery(form) => form.ui(ui, project, tokens),
            Kind::Payment(form) => form.ui(ui, project, tokens),
            Kind::Rule(form) => form.ui(ui, project, tokens),
            Kind::Gate(form) => form.ui(ui, project, tokens),
            Kind::Correction(form) => form.ui(ui, project, tokens),
            Kind::UsualGates(form) => form.ui(ui, project, tokens),
        }
    }

    fn finish(&mut self, project: &Project) -> Outcome {
        let action = match &self.kind {
            Kind::NewProject(form) => {
                return match form.project() {
                    Ok(project) => Outcome::Begin(Box::new(project)),
                    Err(why) => {
                        self.error = Some(why);
                        Outcome::Open
                    }
                };
            }
            Kind::Settings(form) => form.action(project),
            Kind::Room(form) => form.action(project),
            Kind::Selection(form) => form.action(project),
            Kind::Option(form) => form.action(project),
            Kind::Part(form) => form.action(project),
            Kind::Phase(form) => form.action(project),
            Kind::Supplier(form) => form.action(project),
            Kind::Quote(form) => form.action(project),
            Kind::Extra(form) => form.action(project),
            Kind::Swap(form) => form.action(project),
            Kind::Return(form) => form.action(),
            Kind::Order(form) => form.action(project),
            Kind::Delivery(form) => form.action(),
            Kind::Payment(form) => form.action(),
            Kind::Rule(form) => form.action(project),
            Kind::Gate(form) => form.action(project),
            Kind::Correction(form) => form.action(project),
            Kind::UsualGates(form) => form.action(),
        };
        // The action is tried on the document first, so that what is refused is said here, with the form still open.
        match action.and_then(|a| project.apply(&a).map(|_| a).map_err(|e| e.to_string())) {
            Ok(action) => Outcome::Act(Box::new(action)),
            Err(why) => {
                self.error = Some(why);
                Outcome::Open
            }
        }
    }
}
