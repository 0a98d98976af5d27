//! What to write, and in which formats: purchase lists, papers of the whole project, or sheets.

use super::paper_preview::{self, PaperPreview};
use crate::engine::week::HORIZONS;
use crate::exchange::outgoing::crews::CrewForm;
use crate::exchange::outgoing::lists::{Format, ListPlan, ListScope, What};
use crate::exchange::outgoing::print::{PaperForm, PaperKind};
use crate::exchange::outgoing::week::WeekForm;
use crate::model::{CrewId, Project, RoomId};
use crate::ui::derived::Derived;
use crate::ui::shell::modals;
use crate::ui::shell::work::ExportPlan;
use crate::ui::theme::Tokens;
use crate::ui::widgets::drop_down::one_of;
use crate::ui::widgets::pieces;
use egui::Ui;

/// What is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ExportWhat {
    /// Purchase lists.
    Lists,
    /// Papers of the whole project.
    Papers,
    /// What crews need to know.
    Crews,
    /// What is to be done in the next days.
    Week,
    /// Sheets.
    Sheets,
}

impl ExportWhat {
    const ALL: [(ExportWhat, &'static str); 5] = [
        (ExportWhat::Lists, "Purchase lists"),
        (ExportWhat::Papers, "Papers"),
        (ExportWhat::Crews, "Crews"),
        (ExportWhat::Week, "This week"),
        (ExportWhat::Sheets, "Sheets"),
    ];
}

/// What the user picked the last time.
#[derive(Debug, Clone)]
pub struct ExportForm {
    what: ExportWhat,
    scope: ListScope,
    orders: What,
    formats: [bool; Format::ALL.len()],
    papers: [bool; PaperKind::ALL.len()],
    forms: [bool; PaperForm::ALL.len()],
    room: Option<RoomId>,
    preview: PaperPreview,
    crew: Option<CrewId>,
    crew_forms: [bool; CrewForm::ALL.len()],
    days: i32,
    week_forms: [bool; WeekForm::ALL.len()],
    /// Show the folder when it is done.
    pub open_after: bool,
}

impl Default for ExportForm {
    fn default() -> ExportForm {
        ExportForm {
            what: ExportWhat::Lists,
            scope: ListScope::All,
            orders: What::All,
            formats: Format::ALL.map(|(_, f)| matches!(f, Format::Xlsx | Format::Pdf)),
            papers: [true; PaperKind::ALL.len()],
            forms: PaperForm::ALL.map(|(_, f)| f == PaperForm::Pdf),
            room: None,
            preview: PaperPreview::default(),
            crew: None,
            crew_forms: CrewForm::ALL.map(|(_, f)| matches!(f, CrewForm::Pdf | CrewForm::Ics)),
            days: HORIZONS[0],
            week_forms: WeekForm::ALL.map(|(_, f)| matches!(f, WeekForm::Pdf | WeekForm::Html)),
            open_after: true,
        }
    }
}

/// What came of the form in a frame.
pub enum ExportAnswer {
    /// Still open.
    Open,
    /// Closed; nothing is to be written.
    Closed,
    /// Write this, after asking where.
    Write(ExportPlan),
}

impl ExportForm {
    /// Turns to the lists of a scope.
    pub fn lists(&mut self, scope: ListScope) {
        self.what = ExportWhat::Lists;
        self.scope = scope;
    }

    /// Turns to the papers.
    pub fn papers(&mut self) {
        self.what = ExportWhat::Papers;
    }

    /// Turns to what a crew needs to know.
    pub fn crew(&mut self, crew: CrewId) {
        self.what = ExportWhat::Crews;
        self.crew = Some(crew);
    }

    /// Turns to what is to be done in so many days.
    pub fn week(&mut self, days: i32) {
        self.what = ExportWhat::Week;
        self.days = days;
    }

    /// What is picked now; `None` when that is nothing.
    fn plan(&self, project: &Project) -> Option<ExportPlan> {
        fn picked<T: Copy>(all: &[(&str, T)], on: &[bool]) -> Vec<T> {
            all.iter().zip(on).filter(|(_, on)| **on).map(|((_, value), _)| *value).collect()
        }
        match self.what {
            ExportWhat::Lists => {
                let formats = picked(&Format::ALL, &self.formats);
                let plan = ListPlan { scope: self.scope, what: self.orders, formats };
                (!plan.formats.is_empty()).then_some(ExportPlan::Lists(plan))
            }
            ExportWhat::Papers => {
                let mut papers = picked(&PaperKind::ALL, &self.papers);
                papers.retain(|kind| PaperKind::of(project).any(|known| known == *kind));
                let forms = picked(&PaperForm::ALL, &self.forms);
                let some = !papers.is_empty() && !forms.is_empty();
                // The room may be gone since it was picked.
                let room = self.room.filter(|id| project.room(*id).is_some());
                some.then_some(ExportPlan::Papers(papers, forms, room))
            }
            ExportWhat::Crews => {
                let forms = picked(&CrewForm::ALL, &self.crew_forms);
                (!forms.is_empty()).then_some(ExportPlan::Crews(self.crew, forms))
            }
            ExportWhat::Week => {
                let forms = picked(&WeekForm::ALL, &self.week_forms);
                (!forms.is_empty()).then_some(ExportPlan::Week(self.days, forms))
            }
            ExportWhat::Sheets => Some(ExportPlan::Sheets),
        }
    }

    /// Draws the form.
    pub fn show(
        &mut self,
        ctx: &egui::Context,
        project: &Project,
        derived: Option<&Derived>,
        tokens: &Tokens,
    ) -> ExportAnswer {
        let mut answer = ExportAnswer::Open;
        let beside =
            self.what == ExportWhat::Papers && derived.is_some() && ctx.content_rect().width() >= 900.0;
        let width = if beside { 440.0 + paper_preview::WIDTH } else { 440.0 };
        let asked = modals::show(ctx, "export", width, false, |ui| {
            ui.label(pieces::strong("Export", 18.0));
            ui.add_space(6.0);
            ui.horizontal(|ui| {
                // Crews take no room before there is one.
                let there = |what| what != ExportWhat::Crews || !project.crews.is_empty();
                for (what, title) in ExportWhat::ALL.into_iter().filter(|(what, _)| there(*what)) {
                    ui.selectable_value(&mut self.what, what, title);
                }
            });
            ui.separator();
            // What writes it stays within reach in a low window.
            let most = (ctx.content_rect().height() - 190.0).max(140.0);
            let area = egui::ScrollArea::vertical().max_height(most).min_scrolled_height(most);
            area.show(ui, |ui| {
                match self.what {
                    ExportWhat::Lists => self.list_fields(ui, project, tokens),
                    ExportWhat::Papers => match derived.filter(|_| beside) {
                        Some(derived) => {
                            ui.horizontal_top(|ui| {
                                ui.vertical(|ui| {
                                    ui.set_width(430.0);
                                    self.paper_fields(ui, project, tokens);
                                });
                                self.preview.ui(ui, project, derived, self.room, tokens);
                            });
                        }
                        None => self.paper_fields(ui, project, tokens),
                    },
                    ExportWhat::Crews => self.crew_fields(ui, project, tokens),
                    ExportWhat::Week => self.week_fields(ui, tokens),
                    ExportWhat::Sheets => {
                        ui.label(
                            "The whole project as CSV sheets, for a spreadsheet or another program. Read in again, they \
                             give the same project.",
                        );
                    }
                }
                ui.add_space(8.0);
                ui.checkbox(&mut self.open_after, "Show the folder when it is done");
                pieces::muted(ui, tokens, "Files of the same names in the folder are replaced, all or none.");
            });
            ui.add_space(8.0);
            let plan = self.plan(project);
            ui.horizontal(|ui| {
                ui.add_enabled_ui(plan.is_some(), |ui| {
                    let choose = pieces::primary_button(ui, tokens, "Choose the folder…").clicked();
                    if choose || modals::done(ui.ctx()) {
                        answer = plan.map_or(ExportAnswer::Open, ExportAnswer::Write);
                    }
                });
                if ui.button("Cancel").clicked() {
                    ui.close();
                }
            });
        });
        if asked.closes && matches!(answer, ExportAnswer::Open) { ExportAnswer::Closed } else { answer }
    }

    fn list_fields(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        let name = |scope: ListScope| match scope {
            ListScope::All => "All suppliers, one file each".to_owned(),
            ListScope::One(None) => "Parts without a supplier".to_owned(),
            ListScope::One(Some(at)) => project.suppliers.get(at).map_or(String::new(), |s| s.name.clone()),
        };
        ui.horizontal(|ui| {
            let label = ui.label("Whose list");
            let suppliers = (0..project.suppliers.len()).map(|at| ListScope::One(Some(at)));
            let scopes = [ListScope::All].into_iter().chain(suppliers).chain([ListScope::One(None)]);
            let scopes = scopes.map(|scope| (name(scope), scope));
            one_of(ui, "Whose list", 300.0, &mut self.scope, scopes).labelled_by(label.id);
        });
        ui.horizontal(|ui| {
            let label = ui.label("What is on it");
            let all = [
                ("All of it", What::All),
                ("Only what is to order", What::ToOrder),
                ("Only what was ordered", What::Ordered),
            ];
            let all = all.map(|(name, what)| (name.to_owned(), what));
            one_of(ui, "What is on it", 300.0, &mut self.orders, all).labelled_by(label.id);
        });
        ui.add_space(4.0);
        pieces::muted(ui, tokens, "Formats");
        for ((_, format), on) in Format::ALL.iter().zip(&mut self.formats) {
            ui.checkbox(on, format.purpose());
        }
    }

    fn crew_fields(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        ui.horizontal(|ui| {
            let label = ui.label("Whose days");
            let all = [("All crews with work to come".to_owned(), None)];
            let each = project.crews.iter().map(|c| (c.name.clone(), Some(c.id)));
            let all = all.into_iter().chain(each);
            one_of(ui, "Whose days", 300.0, &mut self.crew, all).labelled_by(label.id);
        });
        ui.add_space(4.0);
        pieces::muted(
            ui,
            tokens,
            "Its phases and days, what is on site, what is still to be ready, cautions",
        );
        for ((_, form), on) in CrewForm::ALL.iter().zip(&mut self.crew_forms) {
            ui.checkbox(on, form.purpose());
        }
    }

    fn week_fields(&mut self, ui: &mut Ui, tokens: &Tokens) {
        ui.horizontal(|ui| {
            let label = ui.label("How far");
            let all = HORIZONS.map(|days| (format!("The next {days} days"), days));
            one_of(ui, "How far", 200.0, &mut self.days, all).labelled_by(label.id);
        });
        ui.add_space(4.0);
        pieces::muted(
            ui,
            tokens,
            "What to decide, to order, whom to call, to be there for, what to pay and to chase",
        );
        for ((_, form), on) in WeekForm::ALL.iter().zip(&mut self.week_forms) {
            ui.checkbox(on, form.purpose());
        }
    }

    fn paper_fields(&mut self, ui: &mut Ui, project: &Project, tokens: &Tokens) {
        let there = |kind| PaperKind::of(project).any(|known| known == kind);
        for ((_, kind), on) in
            PaperKind::ALL.iter().zip(&mut self.papers).filter(|((_, kind), _)| there(*kind))
        {
            if ui.checkbox(on, kind.purpose()).changed() && *on {
                self.preview.turn_to(*kind);
            }
        }
        let by_room = PaperKind::ALL.iter().zip(&self.papers).any(|((_, kind), on)| *on && kind.by_room());
        if by_room && project.rooms.len() > 1 {
            ui.horizontal(|ui| {
                let label = ui.label("Boards and sheets of");
                let all = [("All rooms".to_owned(), None)];
                let each = project.rooms.iter().map(|r| (r.name.clone(), Some(r.id)));
                let all = all.into_iter().chain(each);
                one_of(ui, "Boards and sheets of", 220.0, &mut self.room, all).labelled_by(label.id);
            });
        }
        ui.add_space(4.0);
        pieces::muted(ui, tokens, "Formats");
        let names = ["PDF, to print", "HTML, for mail and phone"];
        for (name, on) in names.into_iter().zip(&mut self.forms) {
            ui.checkbox(on, name);
        }
    }
}
