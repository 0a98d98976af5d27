//! Dates: phases as bars on the calendar, with the arrivals and need dates of their parts on the same rows.

use crate::engine::{Day, PhaseFigures};
use crate::model::{Action, Attempt, Phase, PhaseKind};
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::{self, tokens::space, tokens::type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::axis::TimeAxis;
use crate::ui::widgets::{marks, need_line, pieces};
use egui::{Align2, Layout, Painter, Pos2, Rangef, Rect, Sense, Shape, Stroke, Ui, pos2, vec2};

const NAME_WIDTH: f32 = 205.0;
const ROW: f32 = 30.0;
const HEADER: f32 = 26.0;

/// Draws the work area.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    tools(ui, view, session, out);
    if view.project.phases.is_empty() {
        ui.add_space(40.0);
        ui.vertical_centered(|ui| {
            ui.label(pieces::strong("No phases yet", type_size::HEADING));
            ui.label("A phase is a block of work by one trade. Parts get their need date from the phase that needs them.");
            if pieces::primary_button(ui, view.tokens, "Add a phase…").clicked() {
                out.edit(Form::Phase(None));
            }
        });
        return;
    }
    chart(ui, view, session, out);
}

fn tools(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let wide = ui.available_width() > 840.0;
    ui.horizontal(|ui| {
        let label = pieces::muted(ui, view.tokens, "Zoom");
        ui.spacing_mut().slider_width = 110.0;
        ui.add(egui::Slider::new(&mut session.day_width, 2.0..=26.0).show_value(false).logarithmic(true))
            .labelled_by(label.id);
        if wide {
            legend(ui, view);
        }
        ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
            if ui.button("Add a phase…").clicked() {
                out.edit(Form::Phase(None));
            }
        });
    });
    if !wide {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            legend(ui, view);
        });
    }
}

fn legend(ui: &mut Ui, view: &View<'_>) {
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
    entry(ui, "held by a delivery", &|p, r| {
        marks::hatch(p, Rect::from_center_size(r.center(), vec2(18.0, 8.0)), tokens.late_fill);
    });
    entry(ui, "sign-off", &|p, r| {
        p.circle(r.center(), 5.5, tokens.work, Stroke::new(2.0, tokens.phase));
    });
    entry(ui, "arrives", &|p, r| {
        p.circle_filled(r.center() - vec2(5.0, 0.0), 3.0, tokens.bar_ordered);
        p.circle_stroke(r.center() + vec2(4.0, 0.0), 3.0, Stroke::new(1.4, tokens.accent));
    });
    entry(ui, "needed", &|p, r| {
        p.vline(r.center().x, r.y_range(), Stroke::new(2.2, tokens.need));
    });
}

/// Positions of phases by when they come.
fn order(view: &View<'_>) -> Vec<usize> {
    let mut rows: Vec<usize> = (0..view.project.phases.len()).collect();
    rows.sort_by_key(|i| (view.figures.phases[*i].early_start.map_or((1, None), |d| (0, Some(d))), *i));
    rows
}

fn chart(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let rows = order(view);
    let first = view
        .figures
        .phases
        .iter()
        .filter_map(|p| p.early_start)
        .min()
        .unwrap_or(view.as_of())
        .min(view.as_of())
        .plus(-7);
    let last = view.figures.forecast_finish.unwrap_or(view.as_of()).max(view.as_of()).plus(21);
    let days = last.since(first).max(30) as f32;
    let fit = (ui.available_width() - NAME_WIDTH - 12.0) / days;
    let day_width = session.day_width.max(fit);
    let size = vec2(NAME_WIDTH + days * day_width, HEADER + rows.len() as f32 * ROW + 8.0);
    let marks = part_marks(view);
    let wanted = session.scroll_to_phase.take().and_then(|id| {
        let at = view.figures.index.of(id.0)?;
        rows.iter().position(|r| *r == at)
    });
    let mut area = egui::ScrollArea::both().auto_shrink(false).id_salt("dates");
    if let Some(row) = wanted {
        area = area.vertical_scroll_offset((row as f32 * ROW - 120.0).max(0.0));
    }
    area.show_viewport(ui, |ui, viewport| {
        let (content, _) = ui.allocate_exact_size(size, Sense::hover());
        let origin = content.min;
        let seen = Rect::from_min_size(origin + viewport.min.to_vec2(), viewport.size());
        let x = Rangef::new(origin.x + NAME_WIDTH, origin.x + size.x);
        let axis = TimeAxis { from: first, to: first.plus(days as i32), x };
        let canvas = Rect::from_min_max(pos2(seen.left() + NAME_WIDTH, seen.top() + HEADER), seen.max);
        let painter = ui.painter_at(canvas);
        days_off(&painter, view, &axis, canvas);
        axis.paint_month_lines(&painter, canvas.y_range(), view.tokens);
        let from = ((viewport.min.y - HEADER) / ROW).floor().max(0.0) as usize;
        let to = (((viewport.max.y - HEADER) / ROW).ceil().max(0.0) as usize).min(rows.len());
        for (row, at) in rows.iter().enumerate().take(to).skip(from.min(to)) {
            let top = origin.y + HEADER + row as f32 * ROW;
            let rect = Rect::from_min_max(pos2(seen.left(), top), pos2(seen.right(), top + ROW));
            phase_row(ui, view, *at, rect, &axis, &painter, &marks[*at], out);
        }
        if let Some(target) = view.project.settings.target_finish {
            let x = axis.at(Day::from(target).plus(1));
            painter.vline(x, canvas.y_range(), Stroke::new(1.0, view.tokens.good));
            painter.text(
                pos2(x + 3.0, canvas.top() + 8.0),
                Align2::LEFT_CENTER,
                "target",
                theme::regular(10.5),
                view.tokens.good,
            );
        }
        need_line::paint_as_of(&painter, &axis, view.as_of(), canvas.y_range(), view.tokens.text);
        header(ui, view, &axis, seen);
    });
}

fn header(ui: &Ui, view: &View<'_>, axis: &TimeAxis, seen: Rect) {
    let tokens = view.tokens;
    let strip = Rect::from_min_size(seen.min, vec2(seen.width(), HEADER));
    let painter = ui.painter_at(strip);
    painter.rect_filled(strip, 0.0, tokens.work);
    let months = Rect::from_min_max(pos2(seen.left() + NAME_WIDTH, strip.top()), strip.max);
    axis.paint_months(&ui.painter_at(months), months, tokens);
    painter.hline(strip.x_range(), strip.bottom(), Stroke::new(1.0, tokens.line));
}

fn days_off(painter: &Painter, view: &View<'_>, axis: &TimeAxis, canvas: Rect) {
    if axis.day_width() < 3.0 {
        return;
    }
    let work = view.figures.days.work();
    for k in 0..axis.to.since(axis.from) {
        let day = axis.from.plus(k);
        let x = axis.at(day);
        if x > canvas.right() || x + axis.day_width() < canvas.left() || work.is_open(day) {
            continue;
        }
        let rect = Rect::from_x_y_ranges(Rangef::new(x, x + axis.day_width()), canvas.y_range());
        painter.rect_filled(rect, 0.0, view.tokens.day_off);
        if view.figures.days.is_holiday(day) {
            painter.vline(rect.center().x, canvas.y_range(), Stroke::new(1.0, view.tokens.line));
        }
    }
}

/// Arrival, need date and lateness of the parts that count, by phase, without those on site.
fn part_marks(view: &View<'_>) -> Vec<Vec<(Day, Day, bool, bool)>> {
    let mut marks = vec![Vec::new(); view.project.phases.len()];
    for ((_, _, part), f) in view.project.all_parts().zip(&view.figures.parts) {
        if let (true, false, Some(phase), Some(need)) = (f.live, part.is_on_site(), f.phase, f.need_date) {
            marks[phase as usize].push((f.arrival, need, f.late, part.is_ordered()));
        }
    }
    marks
}

#[expect(clippy::too_many_arguments, reason = "a row needs its place, its axis and where to ask for change")]
fn phase_row(
    ui: &mut Ui,
    view: &View<'_>,
    at: usize,
    rect: Rect,
    axis: &TimeAxis,
    painter: &Painter,
    marks: &[(Day, Day, bool, bool)],
    out: &mut Outbox,
) {
    let tokens = view.tokens;
    let phase = &view.project.phases[at];
    let f = &view.figures.phases[at];
    let response = ui.interact(rect, egui::Id::unique(("phase_row", phase.id)), Sense::click());
    response.widget_info(|| {
        egui::WidgetInfo::labeled(
            egui::Role::Button,
            true,
            format!("{}, {}{}", phase.name, dates_text(view, f), gate_words(f)),
        )
    });
    if response.hovered() || response.has_focus() {
        painter.rect_filled(rect, 0.0, tokens.hovered.gamma_multiply(0.8));
    }
    painter.hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, tokens.line.gamma_multiply(0.4)));
    bar(painter, view, phase, f, rect, axis);
    for (arrival, need, late, ordered) in marks {
        let y = rect.bottom() - 6.0;
        painter.vline(
            axis.at(*need),
            Rangef::new(rect.top() + 3.0, rect.bottom() - 2.0),
            Stroke::new(1.6, tokens.need),
        );
        let center = pos2(axis.at(*arrival), y);
        if *late {
            self::marks::triangle(painter, center, tokens.late_fill);
        } else if *ordered {
            painter.circle_filled(center, 3.0, tokens.bar_ordered);
        } else {
            painter.circle_stroke(center, 3.0, Stroke::new(1.4, tokens.accent));
        }
    }
    // The name stays in view while the calendar scrolls sideways.
    let name = Rect::from_min_size(rect.min, vec2(NAME_WIDTH, ROW));
    let name_painter = ui.painter_at(name);
    name_painter.rect_filled(name, 0.0, if response.hovered() { tokens.hovered } else { tokens.work });
    let done = phase.finished_on().is_some();
    let font = if f.critical { theme::strong(type_size::BODY) } else { theme::regular(type_size::BODY) };
    let color = if done { tokens.muted } else { tokens.text };
    let left = pos2(name.left() + 4.0, name.center().y);
    let mut width = NAME_WIDTH - 10.0;
    if f.gate_days > 0 {
        let at = pos2(name.right() - 6.0, name.center().y);
        let font = theme::regular(type_size::SMALL);
        let word = name_painter.text(at, Align2::RIGHT_CENTER, "not ready", font, tokens.late);
        width -= word.width() + 8.0;
    }
    pieces::paint_cut(&name_painter, left, &phase.name, font, color, width);
    if response.clicked() {
        out.edit(Form::Phase(Some(phase.id)));
    }
    response.context_menu(|ui| menu(ui, view, phase, out));
    response.on_hover_ui(|ui| tooltip(ui, view, at));
}

fn bar(painter: &Painter, view: &View<'_>, phase: &Phase, f: &PhaseFigures, rect: Rect, axis: &TimeAxis) {
    let tokens = view.tokens;
    let (Some(plan_start), Some(start), Some(finish)) = (f.early_start, f.forecast_start, f.forecast_finish)
    else {
        painter.text(
            pos2(axis.at(view.as_of()) + 6.0, rect.center().y),
            Align2::LEFT_CENTER,
            "waits in a circle of links",
            theme::regular(type_size::SMALL),
            tokens.late,
        );
        return;
    };
    let y = rect.top() + 10.0;
    let span = |from: Day, to: Day, half: f32| {
        Rect::from_x_y_ranges(
            Rangef::new(axis.at(from), axis.at(to.plus(1))),
            Rangef::new(y - half, y + half),
        )
    };
    if let Some(late) = f.late_finish.filter(|l| f.total_float.is_some_and(|t| t > 0) && *l > finish) {
        let to = axis.at(late.plus(1));
        painter.hline(Rangef::new(axis.at(finish.plus(1)), to), y, Stroke::new(1.4, tokens.muted));
        painter.vline(to, Rangef::new(y - 4.0, y + 4.0), Stroke::new(1.4, tokens.muted));
    }
    if phase.days == 0 {
        diamond(painter, pos2(axis.at(start), y), 6.0, if f.critical { tokens.need } else { tokens.phase });
        return;
    }
    let done = phase.finished_on().is_some();
    let body = span(start, finish, 6.0);
    if start > plan_start && !done {
        // What deliveries, here or earlier, push it back by.
        let held = Rect::from_min_max(pos2(axis.at(plan_start), y - 6.0), pos2(body.left(), y + 6.0));
        if f.held_days > 0 || f.gate_days > 0 {
            marks::hatch(painter, held, tokens.late_fill);
        } else {
            painter.rect_stroke(held, 1.0, Stroke::new(1.0, tokens.phase), egui::StrokeKind::Inside);
        }
    }
    if phase.kind == PhaseKind::Inspection {
        let failed = phase.attempts.iter().any(|a| !a.passed) && !done;
        let color = match (failed, done) {
            (true, _) => tokens.late_fill,
            (_, true) => tokens.phase_done,
            _ => tokens.phase,
        };
        let center = body.center();
        let stroke = Stroke::new(2.0, color);
        painter.circle(center, 6.0, tokens.work, stroke);
        if done {
            painter.line_segment([center + vec2(-3.0, 0.0), center + vec2(-0.5, 2.5)], stroke);
            painter.line_segment([center + vec2(-0.5, 2.5), center + vec2(3.0, -2.5)], stroke);
        } else if failed {
            painter.line_segment([center + vec2(-2.5, -2.5), center + vec2(2.5, 2.5)], stroke);
            painter.line_segment([center + vec2(-2.5, 2.5), center + vec2(2.5, -2.5)], stroke);
        }
        if f.critical {
            let under = Rangef::new(center.x - 6.0, center.x + 6.0);
            painter.hline(under, body.bottom() + 2.0, Stroke::new(2.0, tokens.need));
        }
        return;
    }
    painter.rect_filled(body, 2.0, if done { tokens.phase_done } else { tokens.phase });
    if phase.actual_start.is_some() && !done {
        let worked = span(start, view.as_of().plus(-1).max(start), 6.0);
        painter.rect_filled(worked.intersect(body), 2.0, tokens.phase_done);
        painter.rect_stroke(body, 2.0, Stroke::new(1.0, tokens.phase), egui::StrokeKind::Inside);
    }
    if f.critical {
        painter.hline(body.x_range(), body.bottom() + 2.0, Stroke::new(2.0, tokens.need));
    }
}

fn diamond(painter: &Painter, center: Pos2, r: f32, color: egui::Color32) {
    let points =
        vec![center + vec2(0.0, -r), center + vec2(r, 0.0), center + vec2(0.0, r), center + vec2(-r, 0.0)];
    painter.add(Shape::convex_polygon(points, color, Stroke::NONE));
}

/// Words for a phase that waits for a gate.
fn gate_words(f: &PhaseFigures) -> String {
    match f.gate_days {
        0 => String::new(),
        n => format!(", not ready, held for {}", format::count(n, "working day")),
    }
}

fn dates_text(view: &View<'_>, f: &PhaseFigures) -> String {
    match (f.forecast_start, f.forecast_finish) {
        (Some(start), Some(finish)) => {
            format!("{} to {}", format::day(start, view.as_of()), format::day(finish, view.as_of()))
        }
        _ => "no dates".to_owned(),
    }
}

fn menu(ui: &mut Ui, view: &View<'_>, phase: &Phase, out: &mut Outbox) {
    let today = view.as_of().date();
    if phase.kind == PhaseKind::Inspection {
        let attempt = |passed| Attempt { date: today, passed, note: String::new(), correct_by: None };
        if ui.button("Passed on the as-of day").clicked() {
            out.act(Action::RecordAttempt(phase.id, attempt(true)));
        }
        if ui.button("Failed on the as-of day").clicked() {
            out.act(Action::RecordAttempt(phase.id, attempt(false)));
        }
    } else {
        if phase.actual_start.is_none() && ui.button("Begun on the as-of day").clicked() {
            out.act(Action::StartPhase(phase.id, Some(today)));
        }
        if phase.finished_on().is_none() && ui.button("Finished on the as-of day").clicked() {
            out.act(Action::FinishPhase(phase.id, Some(today)));
        }
        if phase.actual_finish.is_some() && ui.button("Not finished after all").clicked() {
            out.act(Action::FinishPhase(phase.id, None));
        }
    }
    ui.separator();
    if ui.button("Edit phase…").clicked() {
        out.edit(Form::Phase(Some(phase.id)));
    }
    if ui.button("Remove phase").clicked() {
        out.act(Action::RemovePhase(phase.id));
    }
}

fn tooltip(ui: &mut Ui, view: &View<'_>, at: usize) {
    let (phase, f, near) = (&view.project.phases[at], &view.figures.phases[at], view.as_of());
    ui.label(pieces::strong(&phase.name, type_size::BODY));
    if !phase.trade.is_empty() {
        pieces::muted(ui, view.tokens, &phase.trade);
    }
    if let (Some(start), Some(finish)) = (f.early_start, f.early_finish) {
        ui.label(format!("Plan {} to {}", format::day(start, near), format::day(finish, near)));
    }
    ui.label(format!("Forecast {}", dates_text(view, f)));
    match (phase.finished_on(), f.total_float) {
        (Some(_), _) => {
            ui.label("Finished");
        }
        (None, Some(float)) if float <= 0 => {
            ui.label("Critical: a day lost here is a day lost at the end");
        }
        (None, Some(float)) => {
            ui.label(format!("Can slip {} without moving the finish", format::count(float, "working day")));
        }
        _ => {}
    }
    if f.held_days > 0 {
        let text = format!("Held by deliveries for {}", format::count(f.held_days, "working day"));
        ui.label(egui::RichText::new(text).color(view.tokens.late));
    }
    for held in &f.held_by {
        if let Some(part) = view.figures.parts.get(held.part)
            && let Some((selection, _, document)) = view.project.part(part.id)
        {
            let won = match held.days {
                0 => "another comes on the same day".to_owned(),
                n => format!("{} sooner without it", format::count(n, "working day")),
            };
            let arrives = format::day_short(part.arrival, near);
            ui.label(format!("{} of {} arrives {arrives}; {won}", document.name, selection.name));
        }
    }
    if f.gate_days > 0 {
        let gates = f.held_by_gates.iter().filter_map(|h| view.project.gates.get(h.gate));
        let names: Vec<&str> = gates.map(|g| g.name.as_str()).collect();
        let days = format::count(f.gate_days, "working day");
        let text = format!("Not ready, held for {days}: {}", names.join(", "));
        ui.label(egui::RichText::new(text).color(view.tokens.late));
    }
    let cautions = crate::model::caution::of_phase(phase, view.project.settings.year_built);
    if !cautions.is_empty() && phase.finished_on().is_none() {
        let titles: Vec<&str> = cautions.iter().map(|c| c.hazard.title()).collect();
        let text = format!("Caution: {}. {}", titles.join(", "), crate::model::caution::WHO_DECIDES);
        ui.add(egui::Label::new(egui::RichText::new(text).color(view.tokens.soon)).wrap());
    }
    for attempt in &phase.attempts {
        let result = if attempt.passed { "passed" } else { "failed" };
        ui.label(format!("{} {result} {}", attempt.date, attempt.note));
    }
    ui.add_space(space::S);
    pieces::muted(ui, view.tokens, "click to edit, right click for more");
}
