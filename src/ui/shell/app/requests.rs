//! Doing what panels ask for: changes, commands, files, forms and questions.

use super::frame::WIDE;
use super::{NeedlineApp, PutOff, left};
use crate::engine::people;
use crate::model::file::{FileError, Trouble};
use crate::model::{Action, PhaseId, Project, Subject};
use crate::ui::areas::signoffs::Page;
use crate::ui::choosing::{self, Standing};
use crate::ui::forms::{OpenForm, Outcome};
use crate::ui::session::{RowFilter, WorkArea};
use crate::ui::shell::command::Command;
use crate::ui::shell::document::Document;
use crate::ui::shell::jobs::{Answer, Job, Question, TypedPath};
use crate::ui::theme::Tokens;
use crate::ui::view::{Form, ListScope, Request};
use egui::Context;
use std::path::{Path, PathBuf};

/// The path of a project file: with the ending of projects, whatever was typed.
pub(super) fn project_name(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    if path.extension().is_none_or(|e| !e.eq_ignore_ascii_case("ron")) {
        name.push(".ron");
    }
    name.into()
}

impl NeedlineApp {
    /// Does one request.
    pub(super) fn handle(&mut self, ctx: &Context, request: Request) {
        match request {
            Request::Act(action) => self.act(&action),
            Request::Do(command) => self.command(ctx, command),
            Request::Pick(subject) => self.pick(ctx, subject),
            Request::Show(subject) => match self.form_of(subject) {
                Some(form) => self.handle(ctx, Request::Edit(form)),
                None => self.show(subject),
            },
            Request::Edit(form) => {
                self.form = self.document.as_ref().and_then(|d| match d.derived() {
                    Some(derived) => OpenForm::with_figures(form, d.project(), &derived.figures),
                    None => OpenForm::new(form, d.project()),
                });
            }
            Request::NewOrder(order) => {
                self.form = self.document.as_ref().and_then(|d| {
                    let figures = &d.derived()?.figures;
                    Some(OpenForm::new_order(*order, d.project(), figures))
                });
            }
            Request::ExportLists(scope) => self.ask_for_export(Some(scope)),
            Request::ExportCrew(crew) => {
                self.ask_for_export(None);
                self.export.crew(crew);
            }
            Request::ExportWeek(days) => {
                self.ask_for_export(None);
                self.export.week(days);
            }
            Request::ExportSwaps(room) => {
                let name = self.project().and_then(|p| room.and_then(|id| p.room(id)));
                let name = name.map_or("swaps.csv".to_owned(), |r| format!("swaps_{}.csv", r.key));
                let folder = self.folder();
                self.job = Some(Job::ask(Question::SwapLog(room), &name, folder.as_deref(), ctx));
            }
            Request::SharePage(of) => self.ask_for_page(ctx, of),
            Request::GoToStep(place) => {
                if let Some(document) = &mut self.document {
                    document.history.go_to(place);
                }
            }
            Request::OpenFile(path) => self.guarded(ctx, PutOff::Open(path)),
            Request::OpenSample(sample) => self.guarded(ctx, PutOff::Sample(sample)),
            Request::PickFile(of) => self.ask_for_file(ctx, of),
            Request::TakeFile(of, path) => self.take_file(of, &path),
            Request::Look(of) => self.session.enlarged = Some(of),
            Request::OpenManual(part) => self.open_manual(part),
            Request::OpenPage(link) => self.open_page(&link),
            Request::Refuse(why) => self.notice = Some((why, false)),
        }
    }

    /// Changes the document; of a choice it is said what moved.
    fn act(&mut self, action: &Action) {
        let as_of = self.as_of();
        let Some(document) = &mut self.document else { return };
        let label = action.label(document.project());
        let before = document.derived().map(|d| Standing::of(&d.figures));
        let tell = match action {
            Action::AcceptQuote(id) => {
                document.project().quote(*id).map(|q| choosing::to_tell(document.project(), q))
            }
            _ => None,
        };
        self.moved = None;
        self.notice = document.act(action).err().map(|why| (why.to_string(), false));
        if self.notice.is_some() || !choosing::is_choice(action) {
            return;
        }
        document.derive(as_of);
        if let Some((before, derived)) = before.zip(document.derived()) {
            let currency = document.project().settings.currency;
            let words = before.moved(Standing::of(&derived.figures), derived.figures.as_of, currency);
            let tell = tell.map_or(String::new(), |tell| format!(". {tell}"));
            let text = format!("{label}: {words}{tell}");
            self.moved = Some((document.history.revision(), text.clone()));
            self.notice = Some((text, true));
        }
    }

    fn command(&mut self, ctx: &Context, command: Command) {
        match command {
            Command::New => self.guarded(ctx, PutOff::NewProject),
            Command::Open => self.guarded(ctx, PutOff::AskOpen),
            Command::Close => self.guarded(ctx, PutOff::CloseProject),
            Command::Save => self.save_or_ask(ctx),
            Command::SaveAs => self.ask_where_to_save(ctx),
            Command::Undo => {
                if let Some(document) = &mut self.document {
                    document.history.undo();
                }
            }
            Command::Redo => {
                if let Some(document) = &mut self.document {
                    document.history.redo();
                }
            }
            Command::Show(area) => self.session.show(area),
            Command::ShowStory => self.session.story_open = !self.session.story_open,
            Command::KeepPlan => self.handle(ctx, Request::Edit(Form::KeepPlan)),
            Command::ShowProblems => self.session.problems_open = !self.session.problems_open,
            Command::FoldCard => self.session.card.fold(ctx.content_rect().width() >= WIDE),
            Command::CompareOptions => {
                self.session.card.wide = !self.session.card.wide && self.session.selection.is_some();
                self.session.beside = None;
            }
            Command::Find => {
                self.session.show(WorkArea::House);
                self.session.focus_search = true;
            }
            Command::ImportList => self.ask_for_list(ctx),
            Command::ExportLists => self.ask_for_export(Some(ListScope::All)),
            Command::PrintPapers => self.ask_for_export(None),
            Command::OpenSheets => self.guarded(ctx, PutOff::AskSheets),
            Command::GoAnywhere => self.session.palette = Some(Default::default()),
            Command::WhyFinish => self.session.why = Some(crate::ui::why::WhyTarget::Finish),
            Command::EditSettings => {
                self.handle(ctx, Request::Edit(crate::ui::view::Form::Settings));
            }
            Command::SwitchTheme => ctx.set_theme(match ctx.theme() {
                egui::Theme::Dark => egui::ThemePreference::Light,
                egui::Theme::Light => egui::ThemePreference::Dark,
            }),
            Command::ExplainNeedLine => {
                self.session.explain = true;
                self.session.beside = None;
                self.session.card.over = true;
            }
            Command::Larger => egui::gui_zoom::zoom_in(ctx),
            Command::Smaller => egui::gui_zoom::zoom_out(ctx),
            Command::UsualSize => ctx.set_zoom_factor(1.0),
            Command::SwitchMotion => self.motion.on = !self.motion.on,
            Command::ShowManual => self.session.manual_open = !self.session.manual_open,
            Command::ShowShortcuts => self.session.shortcuts_open = !self.session.shortcuts_open,
        }
    }

    /// The form of a thing that stands in no area, since no phase has it.
    fn form_of(&self, subject: Subject) -> Option<Form> {
        let project = self.project()?;
        match subject {
            Subject::Crew(id) if people::phases_of(project, id).next().is_none() => {
                Some(Form::Crew(Some(id), None))
            }
            Subject::Permit(id) => {
                let permit = project.permits.iter().find(|p| p.id == id)?;
                permit.phases.is_empty().then_some(Form::Permit(Some(id), None))
            }
            Subject::Change(id) => {
                let change = project.change(id)?;
                change.phase.is_none().then_some(Form::Change(Some(id), None))
            }
            _ => None,
        }
    }

    /// Puts a thing on the card, where the card has room beside the work area; else its form opens.
    fn pick(&mut self, ctx: &Context, subject: Subject) {
        let beside = ctx.content_rect().width() >= WIDE && !self.session.card.folded;
        match Form::of(subject) {
            Some(form) if !beside => self.handle(ctx, Request::Edit(form)),
            _ => self.session.beside = Some(subject),
        }
    }

    /// Brings a thing to view.
    fn show(&mut self, subject: Subject) {
        let Some(project) = self.document.as_ref().map(|d| d.project()) else { return };
        self.session.card.wide = false;
        let selection = match subject {
            Subject::Part(id) => project.part(id).map(|(s, _, _)| s.id),
            Subject::Selection(id) => Some(id),
            _ => None,
        };
        if let Some(id) = selection {
            let room = project.selection(id).map(|s| s.room);
            let session = &mut self.session;
            session.pick(id);
            session.card.over = true;
            if !matches!(session.area, WorkArea::Buying | WorkArea::Week) {
                session.area = WorkArea::House;
            }
            if session.room.is_some() && session.room != room {
                session.room = None;
            }
            session.search.clear();
            session.filter = RowFilter::All;
            session.ledger.over_only = false;
            session.ledger.folded.clear();
            session.ledger.folds += 1;
            session.ledger.marked.clear();
            session.scroll_to_picked = true;
            return;
        }
        match subject {
            Subject::Room(id) => {
                self.session.pick_room(Some(id));
                self.session.area = WorkArea::House;
            }
            Subject::Phase(id) => self.session.show_phase(Some(id)),
            Subject::Crew(id) => {
                let own = people::phases_of(project, id).next();
                self.session.show_phase(own.and_then(|at| project.phases.get(at)).map(|p| p.id));
                self.session.beside = Some(subject);
            }
            Subject::Permit(id) => {
                let permit = project.permits.iter().find(|p| p.id == id);
                let open = |id: &&PhaseId| project.phase(**id).is_some_and(|p| p.finished_on().is_none());
                let first = permit.and_then(|p| p.phases.iter().find(open).or(p.phases.first()));
                self.session.show_phase(first.copied());
            }
            Subject::Change(id) => {
                let change = project.change(id);
                self.session.show_phase(change.and_then(|c| c.phase));
            }
            Subject::Link(id) => {
                self.session.area = WorkArea::Dates;
                let after = project.links.iter().find(|l| l.id == id).map(|l| l.after);
                self.session.scroll_to_phase = after;
                self.session.dates.picked = after.or(self.session.dates.picked);
            }
            Subject::Gate(id) => {
                self.session.beside = Some(subject);
                self.session.area = WorkArea::SignOffs;
                self.session.sign_offs.page = Page::Gates;
                self.session.sign_offs.scroll_to = Some(id);
            }
            Subject::Order(id) => {
                self.session.beside = Some(subject);
                self.session.area = WorkArea::Buying;
                self.session.room = None;
                self.session.open_orders.insert(crate::ui::areas::buying::rows::Opened::Own(id));
            }
            Subject::Supplier(_) => {
                self.session.beside = Some(subject);
                self.session.area = WorkArea::Buying;
            }
            Subject::Quote(id) => {
                self.session.beside = Some(subject);
                self.session.area = WorkArea::Money;
                self.session.scroll_to_bid = Some(id);
            }
            Subject::Punch(id) => {
                self.session.area = WorkArea::SignOffs;
                self.session.sign_offs.page = Page::Punch;
                self.session.sign_offs.scroll_to_punch = Some(id);
            }
            Subject::Draw(_) | Subject::Extra(_) => self.session.area = WorkArea::Money,
            Subject::Project | Subject::Part(_) | Subject::Selection(_) => {}
        }
    }

    /// Does something that would lose unsaved changes, after asking about them.
    pub(super) fn guarded(&mut self, ctx: &Context, next: PutOff) {
        if self.is_unsaved() {
            self.put_off = Some(next);
        } else {
            self.go_on(ctx, next);
        }
    }

    pub(super) fn go_on(&mut self, ctx: &Context, next: PutOff) {
        match next {
            PutOff::Quit => {
                self.may_quit = true;
                if let Some(document) = &mut self.document {
                    document.let_go();
                }
                ctx.send_viewport_cmd(egui::ViewportCommand::Close);
            }
            PutOff::CloseProject => {
                self.close_document();
                self.look_for_waiting(false);
            }
            PutOff::NewProject => self.form = Some(OpenForm::new_project(self.today)),
            PutOff::AskOpen => {
                let folder = self.folder();
                self.job = Some(Job::ask(Question::Open, "", folder.as_deref(), ctx));
            }
            PutOff::Open(path) => self.open_any(ctx, &path),
            PutOff::Sample(sample) => self.open_sample(sample),
            PutOff::ReadSheets(path) => self.begin_import(ctx, &path),
            PutOff::AskSheets => {
                let folder = self.folder();
                self.job = Some(Job::ask(Question::SheetFolder, "", folder.as_deref(), ctx));
            }
        }
    }

    pub(super) fn folder(&self) -> Option<PathBuf> {
        let path = self.document.as_ref().and_then(|d| d.path.as_ref().or(d.beside.as_ref()))?;
        std::path::absolute(path).ok()?.parent().map(Path::to_owned)
    }

    pub(super) fn save_or_ask(&mut self, ctx: &Context) {
        match self.document.as_ref().and_then(|d| d.path.clone()) {
            // Saving what is saved would only push out an older backup.
            Some(_) if !self.is_unsaved() => drop(self.offer_together(false)),
            Some(path) => self.save_to(ctx, &path),
            None => self.ask_where_to_save(ctx),
        }
    }

    pub(super) fn ask_where_to_save(&mut self, ctx: &Context) {
        let Some(document) = &self.document else { return };
        let key = crate::model::ids::key_from_name(&document.project().settings.name, std::iter::empty());
        let name = match &document.beside {
            // The file it was changed from is another one by now, and stays.
            Some(path) => left::name_beside(path),
            None => format!("{key}.ron"),
        };
        let folder = self.folder();
        self.job = Some(Job::ask(Question::SaveAs, &name, folder.as_deref(), ctx));
    }

    /// Saves under a name that the user picked. Whoever asked for it has not asked about the file that it is when its
    /// ending is added, so that is asked here.
    pub fn save_as(&mut self, ctx: &Context, picked: &Path) {
        let path = project_name(picked);
        let own = self.document.as_ref().is_some_and(|d| d.path.as_deref() == Some(&path));
        if path == picked || own || path.symlink_metadata().is_err() {
            self.save_to(ctx, &path);
            return;
        }
        let why = "Projects end in .ron, and with that ending there is one of this name.";
        let text = path.display().to_string();
        self.typed_path = Some(TypedPath { question: Question::SaveAs, why, text, fresh: true });
    }

    fn save_to(&mut self, ctx: &Context, path: &Path) {
        let Some(document) = &mut self.document else { return };
        let before = document.path.clone();
        match document.save(path) {
            Ok(()) => {
                let brought = before.map_or(Ok(()), |old| {
                    let whole = |path: &Path| std::path::absolute(path).unwrap_or(path.to_owned());
                    crate::ui::pictures::bring_along(document.project(), &whole(&old), &whole(path))
                });
                self.notice = Some(match brought {
                    Ok(()) => (saved_words(path), true),
                    Err(why) => (why, false),
                });
                self.place_pictures();
                self.note_recent();
                if let Some(next) = self.after_save.take() {
                    self.go_on(ctx, next);
                }
            }
            Err(error) => {
                self.after_save = None;
                let changed = matches!(error, FileError::ChangedOnDisk { .. });
                if !(changed && self.offer_together(false)) {
                    self.notice = Some((error.to_string(), false));
                }
            }
        }
    }

    /// Looks whether a file dialog was answered.
    pub(super) fn poll_job(&mut self, ctx: &Context) {
        let Some(job) = &self.job else { return };
        let answer = job.poll();
        if matches!(answer, Answer::Waiting) {
            return;
        }
        let Some(job) = self.job.take() else { return };
        match answer {
            Answer::Waiting => {}
            Answer::Nothing => self.after_save = None,
            Answer::NoDialog => {
                let text = job.suggestion.display().to_string();
                let why = "The system has no file dialog to show, so type the path.";
                self.typed_path = Some(TypedPath { question: job.question, why, text, fresh: true });
            }
            Answer::Picked(path) => self.answered(ctx, &job.question, &path),
        }
    }

    /// Does what a path was asked for.
    pub(super) fn answered(&mut self, ctx: &Context, question: &Question, path: &Path) {
        match question {
            Question::Open => self.open_any(ctx, path),
            Question::List => self.begin_list(ctx, path),
            Question::SaveAs => self.save_as(ctx, path),
            Question::ExportInto(plan) => {
                self.begin_export(ctx, plan.clone(), path.to_owned(), self.export.open_after);
            }
            Question::SheetFolder => self.begin_import(ctx, path),
            Question::SwapLog(room) => self.write_swap_log(*room, path),
            Question::Page(of) => self.write_page(*of, path),
            Question::Beside(of) => self.take_file(*of, path),
        }
    }

    fn write_swap_log(&mut self, room: Option<crate::model::RoomId>, path: &Path) {
        let Some(document) = &self.document else { return };
        let text = crate::exchange::sheets::export_swaps::log_csv(document.project(), room);
        self.notice = Some(match crate::model::file::write_whole(path, text.as_bytes()) {
            Ok(()) => (format!("Swap log written to {}", path.display()), true),
            Err(error) => (format!("{}: {}", path.display(), Trouble::Writing(&error)), false),
        });
    }

    /// Forms, the question about unsaved changes, and the shortcut sheet.
    pub(super) fn dialogs(&mut self, ctx: &Context, tokens: &Tokens) {
        if let Some(form) = &mut self.form {
            let empty;
            let project = match &self.document {
                Some(document) => document.project(),
                None => {
                    empty = Project::new("", self.today);
                    &empty
                }
            };
            match form.show(ctx, project, tokens, &mut self.session.pictures) {
                Outcome::Open => {}
                Outcome::Closed => self.form = None,
                Outcome::Act(action) => {
                    self.form = None;
                    self.outbox.act(*action);
                }
                Outcome::Begin(project) => {
                    self.show_document(Document::unsaved(*project));
                    // What is to be chosen comes first; what is due hangs on it.
                    self.session.area = WorkArea::House;
                    ctx.request_repaint();
                }
            }
        }
        if self.put_off.is_some() {
            self.unsaved_question(ctx, tokens);
        }
        self.left_question(ctx, tokens);
        self.together_question(ctx, tokens);
        self.path_question(ctx, tokens);
        self.list_dialog(ctx, tokens);
        self.export_dialogs(ctx, tokens);
        if self.session.shortcuts_open {
            self.session.shortcuts_open = crate::ui::shell::shortcuts::sheet(ctx, tokens);
        }
        if self.session.manual_open {
            crate::ui::shell::manual::window(ctx, tokens, &mut self.session.manual_open);
        }
    }
}

/// What is said of a file that was saved.
fn saved_words(path: &Path) -> String {
    format!("Saved as {}", path.file_name().unwrap_or_default().to_string_lossy())
}
