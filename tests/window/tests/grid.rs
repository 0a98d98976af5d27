//! Every work area, page, form and sheet at many sizes and scales: no text is cut, lies on another one, or beyond the
//! window. What is measured are the shapes that were drawn.

#![cfg(feature = "gui")]

mod support;

use egui::{Rect, Theme, Vec2};
use support::Role;
use support::audit::{Drawn, targets};
use support::every;

/// Points of the window, and dots a point: the sizes people have, at 100 to 200 percent. The first is a screen of 1280x800
/// dots at 200 percent, less what the system takes.
const SIZES: [(f32, f32, f32); 9] = [
    (640.0, 388.0, 2.0),
    (640.0, 480.0, 2.0),
    (819.0, 560.0, 1.25),
    (853.0, 533.0, 1.5),
    (1024.0, 700.0, 1.0),
    (1280.0, 708.0, 2.0),
    (1280.0, 800.0, 1.0),
    (1600.0, 1000.0, 1.0),
    (2560.0, 1416.0, 1.0),
];

/// A table with a column for each alternative, which is scrolled to the side where there are many.
fn scrolls_sideways(name: &str) -> bool {
    name.to_lowercase().replace('_', " ").contains("side by side")
}

#[test]
fn no_text_is_cut_overlaid_or_beyond_the_window() {
    let folder = tempfile::tempdir().unwrap();
    let first = every::open(&folder, 1600.0, 1000.0, Theme::Light);
    let project = first.state().project().unwrap().clone();
    drop(first);
    let (mut looked, mut texts, mut faults) = (0, 0, Vec::new());
    let only = std::env::var("GRID_SCENE").unwrap_or_default();
    for (name, show) in every::scenes(&project) {
        if !name.contains(&only) {
            continue;
        }
        // It is opened where there is room, and then the window is made larger and smaller.
        let mut harness = every::open(&folder, 1600.0, 1000.0, Theme::Light);
        every::show(&mut harness, &show);
        for (width, height, scale) in SIZES {
            harness.set_pixels_per_point(scale);
            harness.step();
            harness.set_size(Vec2::new(width, height));
            harness.run();
            let window = Rect::from_min_size(egui::Pos2::ZERO, Vec2::new(width, height));
            let drawn = Drawn::of(&harness);
            let typed = targets(&harness).into_iter().filter(|t| t.role == Role::TextInput);
            let fields: Vec<Rect> = typed.map(|t| t.rect.expand(3.0)).collect();
            looked += 1;
            texts += drawn.seen().len();
            let at = format!("{name} at {width}x{height}");
            if scrolls_sideways(&name) {
                continue;
            }
            // What closes a form is within reach, however low the window is.
            let closing = targets(&harness).into_iter().filter(|t| {
                t.role == Role::Button && matches!(t.name.as_deref(), Some("Done" | "Cancel" | "Close"))
            });
            let beyond = closing.filter(|t| !window.contains_rect(t.rect));
            faults
                .extend(beyond.map(|t| format!("{at}: {:?} lies beyond the window at {:?}", t.name, t.rect)));
            faults.extend(drawn.faults(window, &fields).into_iter().map(|fault| format!("{at}: {fault}")));
        }
    }
    println!("{looked} pictures, {texts} texts");
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}
