//! The list of what is to be settled, each a way to what it is about.

use crate::model::{Problem, Severity};
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::tokens::space;
use crate::ui::view::{Outbox, View};
use crate::ui::widgets::{floating, marks, pieces};
use egui::{Sense, Ui, vec2};

/// Rows have their own heights, so all of them are laid out; more than this would slow the window down.
const MOST_SHOWN: usize = 250;

/// The name of the window.
pub const WINDOW: &str = "problems";

/// What stands over it: the same words as in the head.
const TITLE: &str = "To settle";

/// Draws the list in a window while it is open.
pub fn window(ctx: &egui::Context, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let mut open = session.problems_open;
    let own = egui::Window::new(TITLE)
        .id(egui::Id::unique(WINDOW))
        .default_size(vec2(560.0, 420.0))
        .default_pos(egui::pos2(ctx.content_rect().right() - 600.0, 80.0));
    floating::show(ctx, own, TITLE, &mut open, |ui| {
        if view.problems.is_empty() {
            ui.label("Nothing is wrong that the figures can tell.");
        }
        egui::ScrollArea::vertical().auto_shrink([false, true]).show(ui, |ui| {
            for problem in view.problems.iter().take(MOST_SHOWN) {
                row(ui, view, problem, out);
            }
            let more = view.problems.len().saturating_sub(MOST_SHOWN);
            if more > 0 {
                ui.label(format!("and {more} more; settle these first"));
            }
        });
    });
    session.problems_open = open;
}

fn row(ui: &mut Ui, view: &View<'_>, problem: &Problem, out: &mut Outbox) {
    let color = match problem.severity {
        Severity::Error => view.tokens.late,
        Severity::Warning => view.tokens.soon,
        Severity::Note => view.tokens.muted,
    };
    let said = format::said(&problem.message, view.as_of());
    let name = format!("{}: {said}", format::severity(problem.severity));
    let response = pieces::clickable(ui, ("problem", problem.subject, problem.code), &name, |ui| {
        ui.set_min_height(40.0);
        ui.horizontal_top(|ui| {
            ui.set_width(ui.available_width());
            let (mark, _) = ui.allocate_exact_size(vec2(14.0, 16.0), Sense::hover());
            match problem.severity {
                Severity::Error => marks::triangle(ui.painter(), mark.center(), color),
                Severity::Warning => {
                    ui.painter().circle_stroke(mark.center(), 4.5, egui::Stroke::new(1.8, color));
                }
                Severity::Note => {
                    ui.painter().circle_filled(mark.center(), 3.0, color);
                }
            }
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                ui.label(egui::RichText::new(format::severity(problem.severity)).color(color).small());
                ui.add(egui::Label::new(&said).wrap());
            });
        });
    });
    if response.clicked() {
        out.show(problem.subject);
    }
    ui.add_space(space::S);
}
