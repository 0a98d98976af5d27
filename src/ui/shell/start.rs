//! The start page: open, begin, recent projects and samples.

use super::command::Command;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::theme::{self, Tokens};
use crate::ui::view::{Outbox, Request};
use crate::ui::widgets::{marks, pieces};
use egui::{Align2, Rangef, Rect, Sense, Stroke, Ui, pos2, vec2};
use std::path::{Path, PathBuf};

/// Draws the page.
pub fn ui(ui: &mut Ui, tokens: &Tokens, recent: &[PathBuf], samples: &[PathBuf], out: &mut Outbox) {
    ui.add_space((ui.available_height() * 0.12).min(90.0));
    ui.vertical_centered(|ui| {
        ui.set_max_width(560.0);
        ui.label(pieces::strong("Needline", 34.0));
        ui.label("The need line is the day a thing must be on site.");
        ui.label(
            "Choose room by room, and see with every choice what it costs and whether it comes in time.",
        );
        ui.add_space(space::L);
        example(ui, tokens);
        ui.add_space(space::L);
        // Whoever has no project of their own yet is best served by a look at one.
        let first = recent.is_empty();
        ui.horizontal(|ui| {
            let size = egui::vec2(150.0, 32.0);
            let count = if samples.is_empty() { 2.0 } else { 3.0 };
            let all = count * size.x + (count - 1.0) * ui.spacing().item_spacing.x;
            ui.add_space(((ui.available_width() - all) / 2.0).max(0.0));
            let button = |text: &str, primary: bool| match primary {
                true => pieces::primary(tokens, text),
                false => egui::Button::new(text.to_owned()),
            };
            let begin = !first || samples.is_empty();
            if ui.add(button("New project…", begin).min_size(size)).clicked() {
                out.command(Command::New);
            }
            if ui.add(egui::Button::new("Open a project…").min_size(size)).clicked() {
                out.command(Command::Open);
            }
            if let Some(sample) = samples.first()
                && ui.add(button("Look at a sample", first).min_size(size)).clicked()
            {
                out.push(Request::OpenFile(sample.clone()));
            }
        });
        ui.add_space(space::L * 2.0);
        list(ui, tokens, "Recent projects", recent, out);
        list(ui, tokens, "Samples", samples, out);
    });
}

/// How a choice is drawn everywhere: two made-up vanities on one axis, one in time and one late.
fn example(ui: &mut Ui, tokens: &Tokens) {
    let size = vec2(ui.available_width().min(540.0), 122.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let told = "An example: the bar of a choice runs from its order to its arrival. One ends before the upright line, \
                the day it is needed, and is in time; the other reaches over it and is late.";
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, told));
    let painter = ui.painter_at(rect);
    painter.rect(rect, 8.0, tokens.card, Stroke::new(1.0, tokens.line), egui::StrokeKind::Inside);
    let x = |share: f32| rect.left() + 130.0 + share * (rect.width() - 150.0);
    let small = theme::regular(type_size::SMALL);
    let say = |at, align, words: &str, color| painter.text(at, align, words, small.clone(), color);
    let (today, need, top) = (x(0.04), x(0.62), rect.top() + 28.0);
    let upright = Rangef::new(top, rect.bottom() - 8.0);
    say(pos2(today, top - 10.0), Align2::CENTER_CENTER, "today", tokens.muted);
    say(pos2(need, top - 10.0), Align2::CENTER_CENTER, "needed", tokens.text);
    say(pos2(x(0.3), top - 10.0), Align2::CENTER_CENTER, "order by", tokens.soon);
    painter.extend(egui::Shape::dashed_line(
        &[pos2(today, upright.min), pos2(today, upright.max)],
        Stroke::new(1.0, tokens.muted),
        2.0,
        2.0,
    ));
    painter.vline(need, upright, Stroke::new(2.0, tokens.need));
    let bar = |from: f32, to: f32, y: f32, color| {
        let rect = Rect::from_min_max(pos2(from, y - 5.0), pos2(to, y + 5.0));
        painter.rect_filled(rect, 2.0, color);
        rect
    };
    let rows = [
        (48.0, "In stock", "12 days in hand", 0.36, tokens.good),
        (90.0, "Made to order", "9 days late: holds the work", 0.86, tokens.late),
    ];
    for (down, name, words, arrives, tone) in rows {
        let y = rect.top() + down;
        let left = pos2(rect.left() + 14.0, y);
        painter.text(left, Align2::LEFT_CENTER, name, theme::strong(type_size::BODY), tokens.text);
        bar(today, x(arrives).min(need), y, tokens.bar);
        if x(arrives) > need {
            let over = Rect::from_min_max(pos2(need, y - 5.0), pos2(x(arrives), y + 5.0));
            marks::hatch(&painter, over, tokens.late_fill);
        } else {
            // The last day on which the order still comes in time.
            marks::flag(&painter, pos2(x(0.3), y + 5.0), 16.0, tokens.soon);
        }
        say(pos2(today + 6.0, y + 15.0), Align2::LEFT_CENTER, words, tone);
    }
}

fn list(ui: &mut Ui, tokens: &Tokens, title: &str, paths: &[PathBuf], out: &mut Outbox) {
    if paths.is_empty() {
        return;
    }
    ui.label(pieces::strong(title, type_size::BODY));
    for path in paths {
        let name = title_of(path);
        let entry = pieces::link(ui, tokens, &name).on_hover_text(path.display().to_string());
        if entry.clicked() {
            out.push(Request::OpenFile(path.clone()));
        }
    }
    ui.add_space(space::L);
}

/// The name of a file as a title: `orchard_house.ron` is `Orchard house`.
fn title_of(path: &Path) -> String {
    let name = path.file_stem().unwrap_or_default().to_string_lossy().replace('_', " ");
    let mut letters = name.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}
