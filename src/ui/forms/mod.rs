//! Forms over the window: adding and editing what the document is made of.
//!
//! A form edits a copy in text; only its last button makes an action, so closing it leaves nothing behind.

mod bid_rows;
pub mod budget_forms;
pub mod closing_forms;
pub mod correction_form;
pub mod delivery_form;
pub mod export_form;
pub mod facts_field;
pub mod fields;
pub mod gate_form;
pub mod house_forms;
pub mod list_form;
mod made;
mod new_project;
pub mod order_form;
pub mod out_form;
mod paper_preview;
pub mod part_form;
pub mod payment_form;
pub mod people_forms;
pub mod phase_form;
mod plan_form;
mod quantity_rule;
mod return_form;
pub mod room_form;
pub mod rule_form;
pub mod settings_form;
mod spec_form;
pub mod supplier_form;
pub mod swap_form;
pub mod table_form;
pub mod usual_gates;

use super::pictures::Pictures;
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
    made: made::Made,
    error: Option<String>,
    /// Not drawn yet; the first field gets the cursor when it is.
    fresh: bool,
}

enum Kind {
    Dialog(Box<dyn Dialog>),
    NewProject(new_project::NewProjectForm),
}

/// A form that asks for one change of the document.
pub trait Dialog {
    /// Draws what it is about above the fields, where there is something to be seen of it.
    fn seen(&mut self, _ui: &mut Ui, _project: &Project, _tokens: &Tokens, _pictures: &mut Pictures) {}

    /// Draws the fields.
    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens);

    /// The change that it asks for.
    ///
    /// # Errors
    /// What is wrong with which field.
    fn action(&mut self, project: &Project) -> Result<Action, String>;

    /// The change that removes what it is about, where it is there already.
    fn removal(&self) -> Option<Action> {
        None
    }

    /// What its last button says.
    fn done(&self) -> &'static str {
        "Done"
    }

    /// How wide it is where there is room.
    fn width(&self) -> f32 {
        460.0
    }
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
        fn open(form: impl Dialog + 'static) -> Box<dyn Dialog> {
            Box::new(form)
        }
        let (title, form) = match form {
            Form::Settings => {
                ("Project settings".to_owned(), open(settings_form::SettingsForm::new(project)))
            }
            Form::Room(id) => (titled(id.is_none(), "room"), open(room_form::RoomForm::new(project, id)?)),
            Form::Selection(id, room) => {
                (titled(id.is_none(), "selection"), open(house_forms::SelectionForm::new(project, id, room)?))
            }
            Form::Option(selection, id) => {
                (titled(id.is_none(), "option"), open(house_forms::OptionForm::new(project, selection, id)?))
            }
            Form::Part(option, id) => {
                (titled(id.is_none(), "part"), open(part_form::PartForm::new(project, option, id)?))
            }
            Form::Phase(id) => {
                (titled(id.is_none(), "phase"), open(phase_form::PhaseForm::new(project, id)?))
            }
            Form::Supplier(id) => {
                (titled(id.is_none(), "supplier"), open(supplier_form::SupplierForm::new(project, id)?))
            }
            Form::Quote(id) => {
                (titled(id.is_none(), "bid"), open(budget_forms::QuoteForm::new(project, id)?))
            }
            Form::Extra(id) => {
                (titled(id.is_none(), "fee or extra"), open(budget_forms::ExtraForm::new(project, id)?))
            }
            Form::Rule(id, about) => {
                (titled(id.is_none(), "rule"), open(rule_form::RuleForm::new(project, id, about)?))
            }
            Form::Gate(id, phase) => {
                (titled(id.is_none(), "gate"), open(gate_form::GateForm::new(project, id, phase)?))
            }
            Form::Correction(id, phase) => (
                titled(id.is_none(), "correction"),
                open(correction_form::CorrectionForm::new(project, id, phase)?),
            ),
            Form::Spec(selection, at) => (
                titled(at.is_none(), "what must be known"),
                open(spec_form::SpecForm::new(project, selection, at)?),
            ),
            Form::Crew(id, of) => {
                (titled(id.is_none(), "crew"), open(people_forms::CrewForm::new(project, id, of)?))
            }
            Form::Permit(id, of) => {
                (titled(id.is_none(), "permit"), open(people_forms::PermitForm::new(project, id, of)?))
            }
            Form::Change(id, of) => (
                titled(id.is_none(), "change to the work"),
                open(people_forms::ChangeForm::new(project, id, of)?),
            ),
            Form::Draw(id) => (titled(id.is_none(), "draw"), open(people_forms::DrawForm::new(project, id)?)),
            Form::Risk(id, of) => {
                (titled(id.is_none(), "risk"), open(people_forms::RiskForm::new(project, id, of)?))
            }
            Form::OutOfUse(id, of) => (
                titled(id.is_none(), "room or service out of use"),
                open(out_form::OutForm::new(project, id, of)?),
            ),
            Form::Punch(id, room) => (
                titled(id.is_none(), "punch list item"),
                open(closing_forms::PunchForm::new(project, id, room)?),
            ),
            Form::Handover(part) => (
                "Serial number, warranty and manual".to_owned(),
                open(closing_forms::HandoverForm::new(project, part)?),
            ),
            Form::NamePlan(id) => {
                ("Name of the kept plan".to_owned(), open(plan_form::NamePlan::new(project, id)?))
            }
            Form::UsualGates => {
                ("Add the usual gates".to_owned(), open(usual_gates::UsualGatesForm::new(project)))
            }
            Form::Swap(..)
            | Form::Tell(..)
            | Form::Return(..)
            | Form::Order(_)
            | Form::Delivery(..)
            | Form::Payment(..)
            | Form::KeepPlan => {
                return None;
            }
        };
        Some(OpenForm::of(title, Kind::Dialog(form)))
    }

    fn of(title: String, kind: Kind) -> OpenForm {
        OpenForm { title, kind, made: made::Made::default(), error: None, fresh: true }
    }

    /// Opens a form that looks at figures. `None` when the thing is gone.
    pub fn with_figures(form: Form, project: &Project, figures: &Arc<Figures>) -> Option<OpenForm> {
        let (title, form): (String, Box<dyn Dialog>) = match form {
            Form::Swap(selection, to, reverses) => {
                let name = project.selection(selection)?.name.clone();
                let form = swap_form::SwapForm::new(project, figures, selection, to, reverses)?;
                let back = if reverses.is_some() { "Swap back" } else { "Swap" };
                (format!("{back}: {name}"), Box::new(form))
            }
            Form::Return(part, state) => {
                let form = return_form::ReturnForm::new(project, figures, part, state)?;
                ("Return or keep".to_owned(), Box::new(form))
            }
            Form::Tell(selection, at) => {
                let form = spec_form::SpecForm::tell(project, selection, at, figures.as_of.date())?;
                ("Told".to_owned(), Box::new(form))
            }
            Form::KeepPlan => {
                ("Keep the plan as agreed".to_owned(), Box::new(plan_form::KeepPlan::new(project, figures)))
            }
            Form::Order(id) => {
                ("Order".to_owned(), Box::new(order_form::OrderForm::new(project, figures, id)?))
            }
            Form::Delivery(part, id) => {
                let form = delivery_form::DeliveryForm::new(project, figures, part, id)?;
                ("Delivery".to_owned(), Box::new(form))
            }
            Form::Payment(of, id) => {
                let form = payment_form::PaymentForm::new(project, figures, of, id)?;
                (titled_payment(id.is_none()), Box::new(form))
            }
            _ => return OpenForm::new(form, project),
        };
        Some(OpenForm::of(title, Kind::Dialog(form)))
    }

    /// The form of an order that is not in the document yet.
    pub fn new_order(order: crate::model::Order, project: &Project, figures: &Arc<Figures>) -> OpenForm {
        let form = order_form::OrderForm::of(project, figures, order);
        OpenForm::of("Order".to_owned(), Kind::Dialog(Box::new(form)))
    }

    /// The form of a new project that starts on a day.
    pub fn new_project(start: chrono::NaiveDate) -> OpenForm {
        let form = new_project::NewProjectForm::new(start);
        OpenForm::of("New project".to_owned(), Kind::NewProject(form))
    }

    /// Draws the form.
    pub fn show(
        &mut self,
        ctx: &egui::Context,
        project: &Project,
        tokens: &Tokens,
        pictures: &mut Pictures,
    ) -> Outcome {
        let mut outcome = Outcome::Open;
        self.made.take(ctx, project);
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
                if let Kind::Dialog(form) = &mut self.kind {
                    form.seen(ui, self.made.project(project), tokens, pictures);
                }
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
                let done = match &self.kind {
                    Kind::NewProject(_) => "Begin",
                    Kind::Dialog(form) => form.done(),
                };
                if pieces::primary_button(ui, tokens, done).clicked() || modals::done(ctx) {
                    outcome = self.finish(project);
                }
                if ui.button("Cancel").clicked() {
                    ui.close();
                }
                let removal = match &self.kind {
                    Kind::Dialog(form) => form.removal(),
                    Kind::NewProject(_) => None,
                };
                if let Some(removal) = removal
                    && ui.button("Remove").clicked()
                {
                    outcome = self.tried(project, Ok(removal));
                }
            });
        });
        if asked.closes && matches!(outcome, Outcome::Open) { Outcome::Closed } else { outcome }
    }

    fn width(&self) -> f32 {
        match &self.kind {
            Kind::Dialog(form) => form.width(),
            Kind::NewProject(_) => new_project::WIDTH,
        }
    }

    fn fields(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        let project = self.made.project(project);
        match &mut self.kind {
            Kind::Dialog(form) => form.ui(ui, project, tokens),
            Kind::NewProject(form) => form.ui(ui, tokens),
        }
    }

    fn finish(&mut self, project: &Project) -> Outcome {
        let action = match &mut self.kind {
            Kind::NewProject(form) => match form.project() {
                Ok(project) => return Outcome::Begin(Box::new(project)),
                Err(why) => Err(why),
            },
            Kind::Dialog(form) => {
                let action = form.action(self.made.project(project));
                action.map(|action| self.made.with(project, action))
            }
        };
        self.tried(project, action)
    }

    /// Tries an action on the document first, so that what is refused is said here, with the form still open.
    fn tried(&mut self, project: &Project, action: Result<Action, String>) -> Outcome {
        let tried = action.and_then(|action| match project.apply(&action) {
            Ok(_) => Ok(Outcome::Act(Box::new(action))),
            Err(why) => Err(why.to_string()),
        });
        tried.unwrap_or_else(|why| {
            self.error = Some(why);
            Outcome::Open
        })
    }
}

/// Forms made by hand, as dialogs.
macro_rules! dialogs {
    ($($form:ty),*) => {
        $(impl Dialog for $form {
            fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
                <$form>::ui(self, ui, project, tokens);
            }

            fn action(&mut self, project: &Project) -> Result<Action, String> {
                <$form>::action(self, project)
            }
        })*
    };
}

dialogs!(phase_form::PhaseForm, rule_form::RuleForm, gate_form::GateForm, usual_gates::UsualGatesForm);

impl Dialog for room_form::RoomForm {
    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        room_form::RoomForm::ui(self, ui, project, tokens);
    }

    fn action(&mut self, project: &Project) -> Result<Action, String> {
        room_form::RoomForm::action(self, project)
    }

    fn width(&self) -> f32 {
        room_form::RoomForm::WIDTH
    }
}

impl Dialog for swap_form::SwapForm {
    fn seen(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens, pictures: &mut Pictures) {
        swap_form::SwapForm::seen(self, ui, project, tokens, pictures);
    }

    fn ui(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        swap_form::SwapForm::ui(self, ui, project, tokens);
    }

    fn action(&mut self, project: &Project) -> Result<Action, String> {
        swap_form::SwapForm::action(self, project)
    }

    fn done(&self) -> &'static str {
        "Make the swap"
    }
}
