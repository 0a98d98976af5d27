//! The look, as pictures: the whole window over the sample in light and dark, drawn by a software renderer.
//!
//! `UPDATE_SNAPSHOTS=true` writes pictures that differ anew; look at them before they are kept.

#![cfg(feature = "pictures")]

mod support;

use egui::Theme;
use egui_kittest::{Harness, HarnessBuilder, SnapshotOptions, SnapshotResults};
use needline::ui::shell::app::NeedlineApp;
use needline::ui::theme;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};
use support::scenes::{self, FORMS};
use support::{press, press_room, samples};

/// The start page lists the samples of the folder the program was started in.
fn from_the_root() {
    let root = samples().join("..");
    std::env::set_current_dir(root).expect("the folder of the program");
}

/// A window whose pictures are the same on every machine: fonts are the program's own, keys are those of Linux, and
/// there is no pointer. A few pixels may differ, since renderers round differently; a word or a line may not.
fn window(width: f32, height: f32, theme: Theme) -> HarnessBuilder<NeedlineApp> {
    from_the_root();
    let folder: PathBuf = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/snapshots");
    let options = SnapshotOptions::new().threshold(0.6).max_failed_pixels(40).output_path(folder);
    support::window(width, height)
        .with_theme(theme)
        .with_pixels_per_point(1.0)
        .with_render_cursor(false)
        .with_options(options)
        .wgpu()
}

/// Only one window may hold the sample: another one would open it to read, and say so in the picture.
fn alone() -> MutexGuard<'static, ()> {
    static HELD: Mutex<()> = Mutex::new(());
    HELD.lock().unwrap_or_else(PoisonError::into_inner)
}

fn sample(width: f32, height: f32, theme: Theme) -> Harness<'static, NeedlineApp> {
    let file = samples().join("orchard_house.ron");
    let mut harness = window(width, height, theme).build_eframe(|cc| NeedlineApp::new(cc, Some(file)));
    harness.run();
    harness
}

/// Every work area, in light and in dark.
#[test]
fn work_areas() {
    let _alone = alone();
    let mut results = SnapshotResults::new();
    for (name, area) in scenes::areas() {
        for (theme, word) in [(Theme::Light, "light"), (Theme::Dark, "dark")] {
            let mut harness = sample(1280.0, 800.0, theme);
            scenes::show(&mut harness, area);
            harness.snapshot(format!("{name}_{word}"));
            results.extend_harness(&mut harness);
        }
    }
}

/// Every form that is listed.
#[test]
fn forms() {
    let _alone = alone();
    let mut results = SnapshotResults::new();
    for (name, show) in FORMS {
        let mut harness = sample(1280.0, 800.0, Theme::Light);
        show(&mut harness);
        harness.snapshot(name);
        results.extend_harness(&mut harness);
    }
}

#[test]
fn house_in_the_smallest_window() {
    let _alone = alone();
    sample(1024.0, 700.0, Theme::Light).snapshot("house_small");
}

#[test]
fn room_with_a_late_choice() {
    let _alone = alone();
    let mut harness = sample(1280.0, 800.0, Theme::Light);
    press_room(&mut harness, "Kitchen");
    press(&mut harness, "Kitchen base cabinets");
    harness.snapshot("kitchen");
}

#[test]
fn start_page() {
    let mut harness = window(1280.0, 800.0, Theme::Light).build_eframe(|cc| {
        theme::apply(&cc.egui_ctx);
        NeedlineApp::with_day(None, support::date("2026-09-21"))
    });
    harness.run();
    harness.snapshot("start_light");
}
