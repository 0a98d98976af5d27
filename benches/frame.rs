//! What a frame of the window costs the processor: drawing and tessellation of the whole window over a project of
//! 100,000 selections, without a display, while the list in the middle is scrolled a little each frame.
//!
//! What was measured stands in README.md here.

mod generate;

use divan::{Bencher, black_box};
use eframe::App as _;
use egui::{
    Event, Key, Modifiers, MouseWheelSource, MouseWheelUnit, Pos2, RawInput, Rect, TouchPhase, Vec2, pos2,
    vec2,
};
use generate::AS_OF;
use needline::ui::session::WorkArea;
use needline::ui::shell::app::NeedlineApp;
use needline::ui::theme;

/// Each selection of the generator has three parts.
const SELECTIONS: usize = 100_000;
const PHASES: usize = 2_000;
const SIZE: Vec2 = vec2(1600.0, 1000.0);
/// Over the list in the middle.
const POINTER: Pos2 = pos2(600.0, 600.0);

/// The keys of the work areas in their order.
const KEYS: [Key; 7] = [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6, Key::Num7];

fn main() {
    divan::main();
}

/// The window without a system around it.
struct Window {
    ctx: egui::Context,
    app: NeedlineApp,
    frame: eframe::Frame,
    time: f64,
}

impl Window {
    /// The window in a work area, settled.
    fn new(area: WorkArea) -> Window {
        let ctx = egui::Context::default();
        theme::apply(&ctx);
        let app = NeedlineApp::with_project(generate::project(SELECTIONS * 3, PHASES), AS_OF);
        let mut window = Window { ctx, app, frame: eframe::Frame::_new_kittest(), time: 0.0 };
        let key = Event::Key {
            key: KEYS[WorkArea::all().position(|known| known == area).expect("all are listed")],
            physical_key: None,
            pressed: true,
            repeat: false,
            modifiers: Modifiers::COMMAND,
        };
        window.draw(vec![key, Event::PointerMoved(POINTER)]);
        for _ in 0..20 {
            window.scroll();
        }
        assert_eq!(window.app.session().area, area, "what is measured is what is named");
        window
    }

    /// Draws a frame. Gives back how many vertices it is made of.
    fn draw(&mut self, events: Vec<Event>) -> usize {
        self.time += 1.0 / 60.0;
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, SIZE)),
            time: Some(self.time),
            events,
            focused: true,
            ..RawInput::default()
        };
        let (app, frame) = (&mut self.app, &mut self.frame);
        let mut output = self.ctx.run_ui(input, |ui| {
            app.logic(&ui.ctx().clone(), frame);
            app.ui(ui, frame);
        });
        let shapes = std::mem::take(&mut output.shapes);
        let meshes = self.ctx.tessellate(shapes, output.pixels_per_point);
        output.drop_without_applying_deltas();
        let vertices = meshes.iter().map(|m| match &m.primitive {
            egui::epaint::Primitive::Mesh(mesh) => mesh.vertices.len(),
            egui::epaint::Primitive::Callback(_) => 0,
        });
        vertices.sum()
    }

    /// A frame in which the list moves by two thirds of a row.
    fn scroll(&mut self) -> usize {
        let wheel = Event::MouseWheel {
            unit: MouseWheelUnit::Point,
            delta: vec2(0.0, -19.0),
            phase: TouchPhase::Move,
            source: MouseWheelSource::Wheel,
            modifiers: Modifiers::NONE,
        };
        self.draw(vec![wheel])
    }
}

fn scrolled(bencher: Bencher<'_, '_>, area: WorkArea) {
    let mut window = Window::new(area);
    let shown = window.app.project().map(|p| p.selections.len());
    assert!(shown.is_some_and(|n| n >= SELECTIONS), "the whole project is shown: {shown:?}");
    assert!(window.scroll() > 10_000, "something is drawn");
    bencher.bench_local(|| black_box(window.scroll()));
}

#[divan::bench]
fn this_week(bencher: Bencher<'_, '_>) {
    scrolled(bencher, WorkArea::Week);
}

#[divan::bench]
fn house(bencher: Bencher<'_, '_>) {
    scrolled(bencher, WorkArea::House);
}

#[divan::bench]
fn dates(bencher: Bencher<'_, '_>) {
    scrolled(bencher, WorkArea::Dates);
}

#[divan::bench]
fn money(bencher: Bencher<'_, '_>) {
    scrolled(bencher, WorkArea::Money);
}

#[divan::bench]
fn buying(bencher: Bencher<'_, '_>) {
    scrolled(bencher, WorkArea::Buying);
}
