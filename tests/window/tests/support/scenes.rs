//! What is drawn for pictures of the window over the large sample. What is listed here is covered by the picture tests
//! and by the screens in `assets/screens`; work areas are covered by being there.

use super::{command, fill, finish_work, press, press_from, press_room, room_row};
use egui::{Key, PointerButton};
use egui_kittest::Harness;
use needline::ui::session::WorkArea;
use needline::ui::shell::app::NeedlineApp;

/// A window with the sample open.
pub type Opened = Harness<'static, NeedlineApp>;

/// Each work area with the name of its pictures.
pub fn areas() -> impl Iterator<Item = (String, WorkArea)> {
    WorkArea::all().map(|area| (area.title().to_lowercase().replace(['-', ' '], "_"), area))
}

/// Shows a work area, by its key.
pub fn show(harness: &mut Opened, area: WorkArea) {
    const KEYS: [Key; 9] =
        [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6, Key::Num7, Key::Num8, Key::Num9];
    let at = WorkArea::all().position(|known| known == area).expect("all are listed");
    command(harness, KEYS[at]);
    // What is worked out behind the window is there too.
    finish_work(harness);
}

/// Goes to a thing by its name.
fn go_to(harness: &mut Opened, name: &str) {
    command(harness, Key::K);
    fill(harness, "Go to", name);
    harness.key_press(Key::Enter);
    harness.run();
}

/// A form with the name of its pictures and how it is opened.
pub type Form = (&'static str, fn(&mut Opened));

/// Forms and lists above the window.
pub const FORMS: [Form; 18] = [
    ("room_form", |h| {
        room_row(h, "Primary bath").click_button(PointerButton::Secondary);
        h.run();
        press(h, "Edit room\u{2026}");
    }),
    ("part_form", |h| {
        press_room(h, "Kitchen");
        press(h, "Kitchen base cabinets");
        press_from(h, "Semi-custom base cabinets, full overlay: ");
    }),
    ("swap_form", |h| {
        press_room(h, "Primary bath");
        press(h, "Primary freestanding tub");
        press(h, "Make Freestanding tub, 62 in, cast stone the choice");
    }),
    ("oven", |h| {
        press_room(h, "Kitchen");
        press(h, "Wall oven");
    }),
    ("measured", |h| {
        press_room(h, "Primary bath");
        press(h, "Primary shower glass");
    }),
    ("crew_of_phase", |h| {
        show(h, WorkArea::Dates);
        press_from(h, "Air sealing and insulation: ");
    }),
    ("crew_form", |h| {
        show(h, WorkArea::Dates);
        press(h, "Insulation crew A");
        press(h, "Edit crew Insulation crew A");
    }),
    ("bids", |h| {
        go_to(h, "Drywall crew B, Hang");
    }),
    ("bid_form", |h| {
        go_to(h, "Drywall crew B, Hang");
        press(h, "Drywall crew B");
        press(h, "Edit bid Drywall crew B");
    }),
    ("out_of_use", |h| go_to(h, "Hall bath out of use")),
    ("story", |h| {
        command(h, Key::Num0);
    }),
    ("keep_plan", |h| go_to(h, "Keep the plan as agreed")),
    ("cheaper_or_sooner", |h| {
        show(h, WorkArea::WhatIf);
        press(h, "Cheaper or sooner");
        finish_work(h);
        press_from(h, "Feb 8, 2027, ");
    }),
    ("side_by_side", |h| {
        show(h, WorkArea::WhatIf);
        press(h, "Side by side");
        finish_work(h);
    }),
    ("punch_list", |h| {
        show(h, WorkArea::SignOffs);
        press(h, "Punch list");
    }),
    ("warranties", |h| {
        show(h, WorkArea::SignOffs);
        press(h, "Warranties and manuals");
    }),
    ("punch_form", |h| {
        show(h, WorkArea::SignOffs);
        press(h, "Punch list");
        press_from(h, "Sash of the left window does not latch, ");
    }),
    ("problems", |h| press_from(h, "To settle, ")),
];
