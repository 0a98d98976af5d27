//! The application: the frame of zones, and what is done with the requests of panels.

mod bar;
mod care;
mod exports;
mod frame;
mod held;
mod left;
mod lists;
mod looks;
mod over;
mod pages;
mod questions;
mod requests;
mod together;

use super::command::Command;
use super::document::Document;
use super::focus;
use super::jobs::{Job, TypedPath};
use super::modals;
use super::samples::Sample;
use super::work::Work;
use super::zones::Broken;
use crate::model::Project;
use crate::model::file::journal::{self, Waiting};
use crate::model::history::Revision;
use crate::ui::areas::Draw;
use crate::ui::derived::Preview;
use crate::ui::forms::OpenForm;
use crate::ui::forms::export_form::ExportForm;
use crate::ui::forms::list_form::ListForm;
use crate::ui::session::{CardState, Session, WorkArea};
use crate::ui::theme;
use crate::ui::view::{Outbox, Request};
use crate::ui::widgets::motion::Motion;
use chrono::NaiveDate;
use left::Offer;
use std::path::{Path, PathBuf};
use together::Together;

/// What is done after the user said what to do with unsaved changes.
#[derive(Debug, Clone, PartialEq)]
enum PutOff {
    Quit,
    CloseProject,
    NewProject,
    AskOpen,
    AskSheets,
    Open(PathBuf),
    Sample(Sample),
    ReadSheets(PathBuf),
}

/// The window.
pub struct NeedlineApp {
    document: Option<Document>,
    session: Session,
    outbox: Outbox,
    form: Option<OpenForm>,
    job: Option<Job>,
    typed_path: Option<TypedPath>,
    export: ExportForm,
    export_open: bool,
    work: Option<Work>,
    /// A list from elsewhere that is looked at.
    list: Option<Box<ListForm>>,
    /// Waits for an answer about unsaved changes.
    put_off: Option<PutOff>,
    /// Waits for a save that was asked for by that answer.
    after_save: Option<PutOff>,
    /// The last thing that was done or refused, with whether it went well.
    notice: Option<(String, bool)>,
    /// The notice on screen, and since when.
    noticed: Option<(String, f64)>,
    /// The document after a choice, and the notice about it, which offers undo as long as nothing else is done.
    moved: Option<(Revision, String)>,
    candidate: Option<Preview>,
    recent: Vec<PathBuf>,
    /// The area in which each of the last projects was left, the latest first.
    areas: Vec<(PathBuf, WorkArea)>,
    today: NaiveDate,
    may_quit: bool,
    /// The project is to be taken from whoever else has it open.
    take_over: bool,
    theme: egui::ThemePreference,
    /// Zones that met a fault.
    broken: Broken,
    /// The document and the day of which no figures can be made, and what the fault said.
    stuck: Option<((Revision, NaiveDate), String)>,
    /// What is drawn in place of an area.
    instead: Option<(WorkArea, Draw)>,
    /// How a choice is drawn is still to be explained.
    explain: bool,
    /// Whether things are seen to move, and how many documents were opened.
    motion: Motion,
    /// The folder that the system gives the program, for what is not saved and has no place beside its file.
    state: Option<PathBuf>,
    /// Why what is not saved is not kept, as it was told.
    told_trouble: Option<String>,
    /// What ended runs did not save of what is on screen, to be asked about one after the other.
    offers: Vec<Offer>,
    /// The file was changed by somebody else: what is asked about it.
    together: Option<Together>,
    /// What ended runs did not save, for the start page.
    waiting: Vec<Waiting>,
    /// Recent projects that the system has not been told of yet.
    recent_is_new: bool,
    /// What the system was told to write over the window.
    told_title: String,
}

/// Recent projects kept.
const MOST_RECENT: usize = 8;

impl NeedlineApp {
    /// Makes the window, with a project when a file is given.
    pub fn new(cc: &eframe::CreationContext<'_>, file: Option<PathBuf>) -> NeedlineApp {
        theme::apply(&cc.egui_ctx);
        let recent = cc.storage.and_then(|s| eframe::get_value(s, "recent")).unwrap_or_default();
        if let Some(theme) = cc.storage.and_then(|s| eframe::get_value::<egui::ThemePreference>(s, "theme")) {
            cc.egui_ctx.set_theme(theme);
        }
        let mut app = NeedlineApp::with_day(None, chrono::Local::now().date_naive());
        let explained =
            |s: &dyn eframe::Storage| eframe::get_value(s, "need_line_explained").unwrap_or(false);
        app.explain = cc.storage.is_some_and(|s| !explained(s));
        app.motion.on = cc.storage.and_then(|s| eframe::get_value(s, "motion")).unwrap_or(true);
        app.session.card.wanted =
            cc.storage.and_then(|s| eframe::get_value(s, "card_width")).unwrap_or_default();
        app.recent = recent;
        app.areas = cc.storage.and_then(|s| eframe::get_value(s, "areas")).unwrap_or_default();
        // Without a place for settings there is none for this either: a test, or a system that says none.
        app.state = cc.storage.and_then(|_| eframe::storage_dir("needline"));
        app.begin(file);
        app
    }

    /// Opens the file that the program was started with, or looks for what is not saved.
    fn begin(&mut self, file: Option<PathBuf>) {
        match file {
            Some(file) => self.open(&file),
            None => self.look_for_waiting(true),
        }
    }

    /// The same as it is started by the system, with a folder for what is not saved and projects that were open lately.
    pub fn started(
        file: Option<PathBuf>,
        today: NaiveDate,
        state: PathBuf,
        recent: Vec<PathBuf>,
    ) -> NeedlineApp {
        let mut app = NeedlineApp::with_day(None, today);
        (app.state, app.recent) = (Some(state), recent);
        app.begin(file);
        app
    }

    /// The same without a system around it, on a day given.
    pub fn with_day(file: Option<PathBuf>, today: NaiveDate) -> NeedlineApp {
        let mut app = NeedlineApp {
            document: None,
            session: Session::default(),
            outbox: Outbox::default(),
            form: None,
            job: None,
            typed_path: None,
            export: ExportForm::default(),
            export_open: false,
            work: None,
            list: None,
            put_off: None,
            after_save: None,
            notice: None,
            noticed: None,
            moved: None,
            candidate: None,
            recent: Vec::new(),
            areas: Vec::new(),
            today,
            may_quit: false,
            take_over: false,
            theme: egui::ThemePreference::System,
            broken: Broken::default(),
            stuck: None,
            instead: None,
            explain: false,
            motion: Motion { on: true, document: 0 },
            state: None,
            told_trouble: None,
            offers: Vec::new(),
            together: None,
            waiting: Vec::new(),
            recent_is_new: false,
            told_title: String::new(),
        };
        if let Some(file) = file {
            app.open(&file);
        }
        app
    }

    /// The same with a project that was never saved.
    pub fn with_project(project: Project, today: NaiveDate) -> NeedlineApp {
        let mut app = NeedlineApp::with_day(None, today);
        app.begin_with(project);
        app
    }

    /// Draws something else in place of an area, to see what the rest of the window makes of it.
    pub fn draw_instead(&mut self, area: WorkArea, draw: Draw) {
        self.instead = Some((area, draw));
    }

    /// Asks for what a panel may ask for; it is done before the next frame.
    pub fn ask(&mut self, request: Request) {
        self.outbox.push(request);
    }

    /// The project on screen.
    pub fn project(&self) -> Option<&Project> {
        self.document.as_ref().map(Document::project)
    }

    /// The file of the project on screen; none while it was never saved.
    pub fn file(&self) -> Option<&Path> {
        self.document.as_ref()?.path.as_deref()
    }

    /// Shows a project that was never saved.
    pub fn begin_with(&mut self, project: Project) {
        self.show_document(Document::unsaved(project));
    }

    /// Waits until what is not saved is kept.
    pub fn settle(&self) {
        if let Some(document) = &self.document {
            document.settle();
        }
    }

    /// The window's own state.
    pub fn session(&self) -> &Session {
        &self.session
    }

    /// What stands over the window, in lists of windows too: the project, whether something of it is unsaved, its file.
    pub fn title(&self) -> String {
        let Some(document) = &self.document else { return "Needline".to_owned() };
        let name = document.project().settings.name.trim();
        let mark = if document.history.is_unsaved() { " \u{2022}" } else { "" };
        let file = document.path.as_deref().and_then(Path::file_name).map(|file| file.to_string_lossy());
        let file = file.map_or(String::new(), |file| format!(" ({file})"));
        // What is typed into a name may hold anything, and a title is one line.
        let whole: String =
            format!("{name}{mark}{file}").chars().filter(|c| !c.is_control()).take(120).collect();
        format!("{} \u{2013} Needline", whole.trim())
    }

    /// The figures on screen.
    pub fn figures(&self) -> Option<&crate::engine::Figures> {
        self.document.as_ref().and_then(Document::derived).map(|d| d.figures.as_ref())
    }

    /// The day figures are for: the one the user looks at, else that of the project, else today.
    fn as_of(&self) -> NaiveDate {
        let pinned = self.document.as_ref().and_then(|d| d.project().settings.as_of);
        self.session.pinned_day.or(pinned).unwrap_or(self.today)
    }

    /// Opens a file, or says why not.
    pub fn open(&mut self, path: &Path) {
        if journal::is_one(path) {
            self.open_left(path);
            return;
        }
        match Document::open(path) {
            Ok(document) => {
                self.show_document(document);
                self.return_to_area();
                self.note_recent();
                self.look_for_left(path);
            }
            Err(error) => {
                self.notice = Some((error.to_string(), false));
                self.look_for_left(path);
            }
        }
    }

    /// Opens a sample, which has no file: saving asks where.
    fn open_sample(&mut self, sample: Sample) {
        match sample.read() {
            Ok(project) => self.show_document(Document::sample(project)),
            Err(error) => self.notice = Some((error.to_string(), false)),
        }
    }

    fn show_document(&mut self, mut document: Document) {
        // The one before lets go of its file first, which may be the same.
        self.close_document();
        document.hold();
        self.document = Some(document);
        let card = CardState { wanted: self.session.card.wanted, ..CardState::default() };
        self.session = Session { explain: self.explain, card, ..Session::default() };
        self.motion.document += 1;
        if self.project().is_some_and(|p| p.selections.is_empty()) {
            // Nothing has a day yet: rooms are what to begin with.
            self.session.area = WorkArea::House;
        }
        self.place_pictures();
        self.form = None;
        self.list = None;
        self.notice = None;
        self.candidate = None;
        self.derive();
        if let Some(document) = &self.document {
            self.session.selection = first_picked(document);
            self.session.card.seen = self.session.selection;
            self.session.scroll_to_picked = true;
        }
    }

    /// Takes the project off the screen. What was not saved of it is not wanted any more.
    fn close_document(&mut self) {
        self.note_area();
        if let Some(mut document) = self.document.take() {
            document.let_go();
        }
        self.offers.clear();
        self.together = None;
        self.told_trouble = None;
    }

    /// The file of the project on screen from the root, as other runs find it.
    pub(super) fn whole_path(&self) -> Option<PathBuf> {
        let path = self.file()?;
        Some(std::path::absolute(path).unwrap_or_else(|_| path.to_owned()))
    }

    fn note_recent(&mut self) {
        let Some(path) = self.whole_path() else { return };
        self.recent.retain(|known| *known != path);
        self.recent.insert(0, path);
        self.recent.truncate(MOST_RECENT);
        self.recent_is_new = true;
    }

    /// Notes in which area the project on screen is looked at. This says nothing of the project, so it is no part of it.
    fn note_area(&mut self) {
        let Some(path) = self.whole_path() else { return };
        self.areas.retain(|(known, _)| *known != path);
        self.areas.insert(0, (path, self.session.area));
        self.areas.truncate(MOST_RECENT);
    }

    /// Goes to the area in which the project was left.
    fn return_to_area(&mut self) {
        let Some(path) = self.whole_path() else { return };
        if let Some((_, area)) = self.areas.iter().find(|(known, _)| *known == path) {
            self.session.area = *area;
        }
    }

    fn is_unsaved(&self) -> bool {
        self.document.as_ref().is_some_and(|d| d.history.is_unsaved())
    }
}

/// What the user most likely came for: the selection that costs the most days, else the one to order next.
fn first_picked(document: &Document) -> Option<crate::model::SelectionId> {
    let figures = &document.derived()?.figures;
    let held = figures.phases.iter().filter(|p| p.critical).flat_map(|p| &p.held_by).max_by_key(|h| h.days);
    let of_part = held.and_then(|h| figures.parts.get(h.part)).map(|p| p.selection as usize);
    let pressing = || {
        let live = figures.selections.iter().filter(|s| s.live.is_some());
        live.min_by_key(|s| s.days_in_hand.map_or((1, 0), |d| (0, d)))
    };
    of_part
        .and_then(|s| figures.selections.get(s))
        .or_else(pressing)
        .or(figures.selections.first())
        .map(|s| s.id)
}

impl eframe::App for NeedlineApp {
    fn logic(&mut self, ctx: &egui::Context, frame: &mut eframe::Frame) {
        self.carefully("What was asked for", |app| app.take_answers(ctx));
        for request in self.outbox.drain() {
            self.carefully("What was asked for", |app| app.handle(ctx, request));
        }
        self.derive();
        let title = self.title();
        if title != self.told_title {
            ctx.send_viewport_cmd(egui::ViewportCommand::Title(title.clone()));
            self.told_title = title;
        }
        if self.document.is_some() {
            self.explain = self.session.explain;
        }
        self.care(ctx);
        if std::mem::take(&mut self.recent_is_new)
            && let Some(storage) = frame.storage_mut()
        {
            // Else it would be told half a minute later, and a run that ended before then would be looked for nowhere.
            eframe::set_value(storage, "recent", &self.recent);
            storage.flush();
        }
    }

    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        focus::read_keys(ui.ctx());
        self.draw(ui);
        focus::ring(ui.ctx(), theme::tokens(ui.ctx()));
        modals::end_frame(ui.ctx());
        if !self.outbox.is_empty() {
            // Requests are handled before the next frame is drawn; it must come at once.
            ui.ctx().request_repaint();
        }
    }

    fn save(&mut self, storage: &mut dyn eframe::Storage) {
        self.note_area();
        eframe::set_value(storage, "areas", &self.areas);
        eframe::set_value(storage, "recent", &self.recent);
        eframe::set_value(storage, "theme", &self.theme);
        eframe::set_value(storage, "card_width", &self.session.card.wanted);
        eframe::set_value(storage, "motion", &self.motion.on);
        eframe::set_value(storage, "need_line_explained", &!self.explain);
    }
}

impl NeedlineApp {
    /// What dialogs, work and keys say, before requests are handled.
    fn take_answers(&mut self, ctx: &egui::Context) {
        self.poll_job(ctx);
        self.poll_work(ctx);
        self.theme = ctx.options(|o| o.theme_preference);
        if !modals::is_open(ctx)
            && let Some(command) = Command::pressed(ctx)
        {
            self.outbox.command(command);
        }
        self.close_window_by_escape(ctx);
        if ctx.input(|i| i.viewport().close_requested()) && self.is_unsaved() && !self.may_quit {
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            self.put_off = Some(PutOff::Quit);
        }
        self.take_dropped(ctx);
        self.look_for_change(ctx);
    }
}
