//! Shared by the tests of the window: the samples, one panel drawn alone, the whole program, and ways to find things by
//! the name a screen reader would say.

#![cfg(feature = "gui")]
#![allow(dead_code, reason = "each test program uses its own part of this")]

use chrono::NaiveDate;
use egui::{Key, Modifiers, Ui};
use egui_kittest::kittest::{NodeT as _, Queryable as _, by};
use egui_kittest::{Harness, HarnessBuilder, Node};
use needline::model::{
    Action, History, Part, Project, Room, Selection, SelectionOption, Supplier, file, file::load,
};
use needline::ui::derived::Derived;
use needline::ui::session::Session;
use needline::ui::shell::app::NeedlineApp;
use needline::ui::theme;
use needline::ui::view::{Outbox, Request, View};
use std::path::{Path, PathBuf};

pub mod audit;
pub mod every;
pub mod scenes;

pub use egui::accesskit::Role;

/// The folder of the samples.
pub fn samples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../sample_projects")
}

/// A sample with the day it is to be looked at on.
pub fn sample(name: &str) -> (Project, NaiveDate) {
    let (project, _) = load(&samples().join(name)).expect("the sample can be read");
    let as_of = project.settings.as_of.expect("the sample pins its day");
    (project, as_of)
}

/// The small sample.
pub fn hall_bath() -> (Project, NaiveDate) {
    sample("hall_bath.ron")
}

/// A day.
pub fn date(text: &str) -> NaiveDate {
    text.parse().expect("a date")
}

/// The room with a key.
pub fn room<'a>(project: &'a Project, key: &str) -> &'a Room {
    project.rooms.iter().find(|r| r.key == key).unwrap_or_else(|| panic!("no room {key}"))
}

/// The selection with a key.
pub fn selection<'a>(project: &'a Project, key: &str) -> &'a Selection {
    project.selections.iter().find(|s| s.key == key).unwrap_or_else(|| panic!("no selection {key}"))
}

/// The option with a key.
pub fn option<'a>(project: &'a Project, key: &str) -> &'a SelectionOption {
    let mut all = project.selections.iter().flat_map(|s| &s.options);
    all.find(|o| o.key == key).unwrap_or_else(|| panic!("no option {key}"))
}

/// The part with a key.
pub fn part<'a>(project: &'a Project, key: &str) -> &'a Part {
    let found = project.all_parts().find(|(_, _, p)| p.key == key);
    found.unwrap_or_else(|| panic!("no part {key}")).2
}

/// The part with a key as the window names it: with its selection, where that has another name.
pub fn part_name(project: &Project, key: &str) -> String {
    let (selection, _, part) = project.all_parts().find(|(_, _, p)| p.key == key).expect("a part");
    if part.name == selection.name {
        part.name.clone()
    } else {
        format!("{} of {}", part.name, selection.name)
    }
}

/// The supplier with a key, and its position.
pub fn supplier<'a>(project: &'a Project, key: &str) -> (usize, &'a Supplier) {
    let found = project.suppliers.iter().enumerate().find(|(_, s)| s.key == key);
    found.unwrap_or_else(|| panic!("no supplier {key}"))
}

/// What a panel is drawn over, and what it asked for so far.
pub struct Scene {
    pub project: Project,
    pub derived: Derived,
    pub session: Session,
    pub requests: Vec<Request>,
    out: Outbox,
}

impl Scene {
    /// What was asked for since the last time.
    pub fn take(&mut self) -> Vec<Request> {
        std::mem::take(&mut self.requests)
    }
}

/// Draws one panel over a project; requests are kept and not done.
pub fn panel_harness(
    project: Project,
    as_of: NaiveDate,
    session: Session,
    panel: impl FnMut(&mut Ui, &View<'_>, &mut Session, &mut Outbox) + 'static,
) -> Harness<'static, Scene> {
    panel_harness_high(900.0, project, as_of, session, panel)
}

/// The same in a window of a height, for lists of which all rows are to be seen.
pub fn panel_harness_high(
    height: f32,
    project: Project,
    as_of: NaiveDate,
    session: Session,
    panel: impl FnMut(&mut Ui, &View<'_>, &mut Session, &mut Outbox) + 'static,
) -> Harness<'static, Scene> {
    panel_harness_wide(1200.0, height, project, as_of, session, panel)
}

/// The same in a window of a width and a height.
pub fn panel_harness_wide(
    width: f32,
    height: f32,
    project: Project,
    as_of: NaiveDate,
    session: Session,
    mut panel: impl FnMut(&mut Ui, &View<'_>, &mut Session, &mut Outbox) + 'static,
) -> Harness<'static, Scene> {
    let derived = Derived::new(&project, History::new(project.clone()).revision(), as_of);
    let scene = Scene { project, derived, session, requests: Vec::new(), out: Outbox::default() };
    let mut harness = window(width, height).with_context_setup(theme::apply).build_ui_state(
        move |ui, scene: &mut Scene| {
            let Scene { project, derived, session, requests, out } = scene;
            let view = View {
                project,
                figures: &derived.figures,
                problems: &derived.problems,
                derived,
                tokens: theme::tokens(ui.ctx()),
            };
            panel(ui, &view, session, out);
            requests.extend(out.drain());
        },
        scene,
    );
    harness.run();
    harness
}

/// A window of a size, in daylight.
pub fn window<State>(width: f32, height: f32) -> HarnessBuilder<State> {
    Harness::builder().with_size([width, height]).with_theme(egui::Theme::Light).with_max_steps(8)
}

/// The whole program in a window, with a file when one is given, as it is started.
pub fn program(file: Option<PathBuf>) -> Harness<'static, NeedlineApp> {
    let mut harness = window(1440.0, 900.0).build_eframe(|cc| NeedlineApp::new(cc, file));
    harness.run();
    harness
}

/// The whole program without a file, on a day.
pub fn program_on(day: &str) -> Harness<'static, NeedlineApp> {
    let day = date(day);
    let mut harness = window(1440.0, 900.0).build_eframe(|cc| {
        theme::apply(&cc.egui_ctx);
        NeedlineApp::with_day(None, day)
    });
    harness.run();
    harness
}

/// A copy of a sample that a test may write to; the folder lives as long as the first value.
pub fn copy_of(name: &str) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join(name);
    std::fs::copy(samples().join(name), &path).expect("the sample can be copied");
    (folder, path)
}

/// The one node of a role with a name.
pub fn named<'a, S>(harness: &'a Harness<'_, S>, role: Role, name: &str) -> Node<'a> {
    let mut found: Vec<Node<'a>> =
        all(harness, role).into_iter().filter(|n| label(n).as_deref() == Some(name)).collect();
    assert_eq!(found.len(), 1, "{role:?} {name:?}; there are {:?}", labels(harness, role));
    found.remove(0)
}

/// The one button whose name begins with a text.
pub fn button_from<'a, S>(harness: &'a Harness<'_, S>, begin: &str) -> Node<'a> {
    let mut found: Vec<Node<'a>> = all(harness, Role::Button)
        .into_iter()
        .filter(|n| label(n).is_some_and(|l| l.starts_with(begin)))
        .collect();
    assert_eq!(found.len(), 1, "button {begin:?}…; there are {:?}", labels(harness, Role::Button));
    found.remove(0)
}

/// All nodes of a role, in the order they were drawn.
pub fn all<'a, S>(harness: &'a Harness<'_, S>, role: Role) -> Vec<Node<'a>> {
    harness.query_all(by().role(role).include_labels()).collect()
}

/// The names of all nodes of a role.
pub fn labels<S>(harness: &Harness<'_, S>, role: Role) -> Vec<String> {
    all(harness, role).iter().filter_map(label).collect()
}

/// The text of a label or the name of anything else.
pub fn label(node: &Node<'_>) -> Option<String> {
    let inner = node.accesskit_node();
    if inner.role() == Role::Label { inner.value() } else { inner.label() }
}

/// Whether a text with these words is on screen.
pub fn says<S>(harness: &Harness<'_, S>, words: &str) -> bool {
    labels(harness, Role::Label).iter().any(|text| text.contains(words))
}

/// Clicks a button by its whole name, or a row by what it is of, which is said first.
pub fn press<S>(harness: &mut Harness<'_, S>, name: &str) {
    row_or_button(harness, name).click();
    harness.run();
}

/// The button with a whole name, else the one row of the ledger that begins with it.
pub fn row_or_button<'a, S>(harness: &'a Harness<'_, S>, name: &str) -> Node<'a> {
    let exact = all(harness, Role::Button).iter().any(|n| label(n).as_deref() == Some(name));
    if exact { named(harness, Role::Button, name) } else { button_from(harness, &format!("{name}, ")) }
}

/// Clicks a button by the beginning of its name.
pub fn press_from<S>(harness: &mut Harness<'_, S>, begin: &str) {
    button_from(harness, begin).click();
    harness.run();
}

/// Clicks a room in the list of rooms.
pub fn press_room<S>(harness: &mut Harness<'_, S>, room: &str) {
    room_row(harness, room).click();
    harness.run();
}

/// A room in the list of rooms, which says its counts and money.
pub fn room_row<'a, S>(harness: &'a Harness<'_, S>, room: &str) -> Node<'a> {
    let begin = format!("{room}, ");
    let is_row = |n: &Node<'_>| label(n).is_some_and(|l| l.starts_with(&begin) && l.contains(" to decide, "));
    let found = all(harness, Role::Button).into_iter().find(is_row);
    found.unwrap_or_else(|| panic!("no room {room}"))
}

/// Writes into a field, in place of what it holds.
pub fn fill<S>(harness: &mut Harness<'_, S>, field: &str, text: &str) {
    named(harness, Role::TextInput, field).set_text_value_accesskit(text);
    harness.run();
}

/// Presses a key with Ctrl, or Command on a Mac.
pub fn command<S>(harness: &mut Harness<'_, S>, key: Key) {
    harness.key_press_modifiers(Modifiers::COMMAND, key);
    harness.run();
}

/// Reads a project file.
pub fn read(path: &Path) -> Project {
    file::load(path).expect("the file can be read").0
}

/// Names of the selections whose rows the ledger shows, in its order: each row begins with its name.
pub fn row_names<S>(harness: &Harness<'_, S>, project: &Project) -> Vec<String> {
    let of = |said: &String| {
        let begins = |s: &&std::sync::Arc<Selection>| {
            said.strip_prefix(s.name.as_str()).is_some_and(|rest| rest.starts_with(", "))
        };
        // Where one name begins another one, the longer is meant.
        project.selections.iter().filter(begins).map(|s| s.name.clone()).max_by_key(String::len)
    };
    labels(harness, Role::Button).iter().filter_map(of).collect()
}

/// The request for a change.
pub fn act(action: Action) -> Request {
    Request::Act(action.into())
}

/// Draws until the work behind the window is done.
pub fn finish_work(program: &mut Harness<'_, NeedlineApp>) {
    for _ in 0..2000 {
        program.step();
        if !program.state().is_working() {
            program.run();
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    panic!("the work does not end");
}

#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|e| e.to_string())
    }
}

/// Drops a file on the window and waits until it was read.
pub fn drop_file(program: &mut Harness<'_, NeedlineApp>, path: &Path) {
    program.input_mut().dropped_files.push(std::sync::Arc::new(Dropped(path.to_owned())));
    program.step();
    finish_work(program);
}
