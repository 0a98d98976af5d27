//! What the shapes on the calendar mean: each that is drawn for this project, and no other.

use super::bars;
use crate::engine::PhaseFigures;
use crate::model::{Phase, PhaseKind};
use crate::ui::areas::house::ledger_facts::PhaseMark;
use crate::ui::theme::{self, Tokens, tokens::type_size};
use crate::ui::view::View;
use crate::ui::widgets::marks;
use egui::{Painter, Rangef, Rect, Sense, Stroke, StrokeKind, Ui, pos2, vec2};

/// Draws a mark into a small rectangle.
type Draw = fn(&Painter, Rect, &Tokens);

/// A mark with its words, and whether a phase has it.
type OfPhase = (&'static str, Draw, fn(&Phase, &PhaseFigures) -> bool);

/// The same of a part.
type OfPart = (&'static str, Draw, fn(&PhaseMark) -> bool);

/// Marks of phases.
const PHASES: [OfPhase; 11] = [
    (
        "work",
        |p, r, t| {
            p.rect_filled(bar(r), 2.0, t.phase);
        },
        |phase, _| is_bar(phase) && phase.finished_on().is_none(),
    ),
    ("done", |p, r, t| outline(p, bar(r), t), |phase, _| is_bar(phase) && phase.finished_on().is_some()),
    ("done in part", in_part, |phase, _| is_bar(phase) && phase.is_under_way()),
    ("critical", critical, |_, f| f.critical),
    ("can slip", can_slip, |_, f| f.total_float.is_some_and(|days| days > 0)),
    (
        "not before",
        |p, r, t| marks::not_before(p, r.center() + vec2(-3.0, 4.0), 9.0, t.accent),
        |phase, _| phase.not_before.is_some() && phase.finished_on().is_none(),
    ),
    (
        "held by a delivery or a gate",
        |p, r, t| marks::hatch(p, bar(r), t.late_fill),
        |phase, f| is_pushed(phase, f) && is_held(f),
    ),
    (
        "pushed back by what comes before it",
        |p, r, t| {
            p.rect_stroke(bar(r), 1.0, Stroke::new(1.0, t.phase), StrokeKind::Inside);
        },
        |phase, f| is_pushed(phase, f) && !is_held(f),
    ),
    ("milestone", |p, r, t| bars::diamond(p, r.center(), 5.5, t.phase), |phase, _| phase.counted_days() == 0),
    (
        "inspection",
        |p, r, t| {
            p.circle(r.center(), 5.5, t.work, Stroke::new(2.0, t.phase));
        },
        |phase, _| phase.kind == PhaseKind::Inspection,
    ),
    (
        "visit failed",
        |p, r, t| marks::cross(p, r.center(), t.late_fill),
        |phase, _| {
            phase.kind == PhaseKind::Inspection && phase.attempts.iter().any(|attempt| attempt.failed())
        },
    ),
];

/// Marks of parts.
const PARTS: [OfPart; 4] = [
    (
        "arrives, ordered",
        |p, r, t| {
            p.circle_filled(r.center(), 3.0, t.bar_ordered);
        },
        |mark| mark.ordered && !mark.late,
    ),
    (
        "arrives, if ordered now",
        |p, r, t| {
            p.circle_stroke(r.center(), 3.0, Stroke::new(1.4, t.accent));
        },
        |mark| !mark.ordered && !mark.late,
    ),
    ("arrives late", |p, r, t| marks::triangle(p, r.center(), t.late_fill), |mark| mark.late),
    (
        "needed",
        |p, r, t| {
            p.vline(r.center().x, r.y_range(), Stroke::new(2.2, t.need));
        },
        |_| true,
    ),
];

fn bar(r: Rect) -> Rect {
    Rect::from_center_size(r.center(), vec2(18.0, 8.0))
}

fn outline(painter: &Painter, rect: Rect, tokens: &Tokens) {
    painter.rect(rect, 2.0, tokens.work, Stroke::new(1.2, tokens.phase), StrokeKind::Inside);
}

fn in_part(painter: &Painter, r: Rect, tokens: &Tokens) {
    outline(painter, bar(r), tokens);
    painter.rect_filled(Rect::from_min_max(bar(r).center_top(), bar(r).max), 2.0, tokens.phase);
}

fn critical(painter: &Painter, r: Rect, tokens: &Tokens) {
    painter.rect_filled(bar(r), 1.0, tokens.phase);
    painter.hline(bar(r).x_range(), bar(r).bottom() + 2.0, Stroke::new(2.0, tokens.need));
}

fn can_slip(painter: &Painter, r: Rect, tokens: &Tokens) {
    let (line, y) = (Stroke::new(1.5, tokens.muted), r.center().y);
    painter.hline(r.x_range(), y, line);
    painter.vline(r.right(), Rangef::new(y - 4.0, y + 4.0), line);
}

/// Whether it is drawn as a bar, and not as a sign of its own.
fn is_bar(phase: &Phase) -> bool {
    phase.counted_days() != 0 && phase.kind != PhaseKind::Inspection
}

fn is_pushed(phase: &Phase, f: &PhaseFigures) -> bool {
    let later = f.forecast_start.zip(f.early_start).is_some_and(|(start, plan)| start > plan);
    later && phase.finished_on().is_none() && phase.counted_days() != 0
}

fn is_held(f: &PhaseFigures) -> bool {
    f.held_days > 0 || f.gate_days > 0
}

/// The marks there are, with their words.
fn entries(view: &View<'_>) -> Vec<(&'static str, Draw)> {
    let phases = || view.project.phases.iter().zip(&view.figures.phases);
    let marks = || view.facts().marks.iter().flatten();
    let mut found: Vec<(&str, Draw)> = Vec::new();
    found.extend(
        PHASES.iter().filter(|(_, _, has)| phases().any(|(phase, f)| has(phase, f))).map(|e| (e.0, e.1)),
    );
    if view.project.agreed_plan().is_some() {
        found.push(("agreed plan", |p, r, t| {
            let body = Rect::from_center_size(r.center(), vec2(18.0, 13.0));
            let line = Stroke::new(1.0, t.accent.gamma_multiply(0.7));
            p.rect(body, 3.0, t.accent.gamma_multiply(0.14), line, StrokeKind::Inside);
        }));
    }
    found.extend(PARTS.iter().filter(|(_, _, has)| marks().any(has)).map(|e| (e.0, e.1)));
    found.push(("the as-of day", |p, r, t| {
        let x = r.center().x;
        let line = [pos2(x, r.top()), pos2(x, r.bottom())];
        p.extend(egui::Shape::dashed_line(&line, Stroke::new(1.0, t.text), 3.0, 3.0));
    }));
    if view.project.settings.target_finish.is_some() {
        found.push(("target", |p, r, t| {
            p.vline(r.center().x, r.y_range(), Stroke::new(1.0, t.good));
        }));
    }
    found
}

/// Draws it.
pub fn ui(ui: &mut Ui, view: &View<'_>) {
    let tokens = view.tokens;
    for (words, draw) in entries(view) {
        let font = theme::regular(type_size::SMALL);
        let text = ui.painter().layout_no_wrap(words.to_owned(), font, tokens.muted);
        // Mark and word in one piece, so that a line never ends between them.
        let size = vec2(26.0 + text.size().x, 18.0);
        let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, words));
        draw(ui.painter(), Rect::from_min_size(rect.min + vec2(0.0, 2.0), vec2(20.0, 14.0)), tokens);
        let at = pos2(rect.left() + 26.0, rect.center().y - text.size().y / 2.0);
        ui.painter().galley(at, text, tokens.muted);
    }
}
