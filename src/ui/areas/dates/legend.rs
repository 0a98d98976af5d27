//! What the shapes on the calendar mean.

use crate::ui::theme::{self, tokens::type_size};
use crate::ui::view::View;
use crate::ui::widgets::marks;
use egui::{Painter, Rangef, Rect, Sense, Stroke, Ui, pos2, vec2};

/// Draws it.
pub fn ui(ui: &mut Ui, view: &View<'_>) {
    let tokens = view.tokens;
    let entry = |ui: &mut Ui, text: &str, draw: &dyn Fn(&Painter, Rect)| {
        let font = theme::regular(type_size::SMALL);
        let text = ui.painter().layout_no_wrap(text.to_owned(), font, tokens.muted);
        // Mark and word in one piece, so that a line never ends between them.
        let size = vec2(26.0 + text.size().x, 18.0);
        let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
        draw(ui.painter(), Rect::from_min_size(rect.min + vec2(0.0, 2.0), vec2(20.0, 14.0)));
        let at = pos2(rect.left() + 26.0, rect.center().y - text.size().y / 2.0);
        ui.painter().galley(at, text, tokens.muted);
    };
    entry(ui, "critical", &|p, r| {
        let bar = Rect::from_center_size(r.center(), vec2(18.0, 8.0));
        p.rect_filled(bar, 1.0, tokens.phase);
        p.hline(bar.x_range(), bar.bottom() + 2.0, Stroke::new(2.0, tokens.need));
    });
    entry(ui, "float", &|p, r| {
        p.hline(r.x_range(), r.center().y, Stroke::new(1.5, tokens.muted));
        p.vline(
            r.right(),
            Rangef::new(r.center().y - 4.0, r.center().y + 4.0),
            Stroke::new(1.5, tokens.muted),
        );
    });
    entry(ui, "not before", &|p, r| {
        marks::not_before(p, r.center() + vec2(-3.0, 4.0), 9.0, tokens.accent);
    });
    entry(ui, "held by a delivery or a gate", &|p, r| {
        marks::hatch(p, Rect::from_center_size(r.center(), vec2(18.0, 8.0)), tokens.late_fill);
    });
    entry(ui, "sign-off", &|p, r| {
        p.circle(r.center(), 5.5, tokens.work, Stroke::new(2.0, tokens.phase));
    });
    if let Some(plan) = view.project.agreed_plan() {
        entry(ui, &plan.name, &|p, r| {
            let body = Rect::from_center_size(r.center(), vec2(18.0, 13.0));
            let line = Stroke::new(1.0, tokens.accent.gamma_multiply(0.7));
            p.rect(body, 3.0, tokens.accent.gamma_multiply(0.14), line, egui::StrokeKind::Inside);
        });
    }
    entry(ui, "arrives", &|p, r| {
        p.circle_filled(r.center() - vec2(5.0, 0.0), 3.0, tokens.bar_ordered);
        p.circle_stroke(r.center() + vec2(4.0, 0.0), 3.0, Stroke::new(1.4, tokens.accent));
    });
    entry(ui, "needed", &|p, r| {
        p.vline(r.center().x, r.y_range(), Stroke::new(2.2, tokens.need));
    });
}
