//! The house in use, above the bars and on their axis: the days without a room or a service, a row each; in a line, what
//! lies stored; and in the strip of a phase, what it takes away.

use super::calendar;
use crate::engine::Day;
use crate::engine::in_use::{Most, Outage, Span};
use crate::engine::without;
use crate::model::{OutOfUse, Phase, PhaseKind};
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::{self, tokens::type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::axis::TimeAxis;
use crate::ui::widgets::{marks, pieces};
use egui::{Align2, Painter, Rangef, Rect, RichText, Sense, Stroke, StrokeKind, Ui, pos2, vec2};

/// Height of a row.
const ROW: f32 = 24.0;
/// Rows that are drawn where there is room; where there are more, the last one names the rest.
const MOST: usize = 6;
/// What the strip may take of the height of the chart, so that bars are left below it.
const SHARE: f32 = 0.35;

/// The rows that are drawn in a chart of a height, and how many are not.
fn rows<'a>(view: &View<'a>, chart: f32) -> (&'a [Outage], usize) {
    let all = view.figures.in_use.out.as_slice();
    let most = ((chart * SHARE / ROW) as usize).clamp(1, MOST);
    let shown = if all.len() <= most { all.len() } else { most - 1 };
    (all.get(..shown).unwrap_or(all), all.len() - shown)
}

/// The height of the strip in a chart of a height; nothing where nothing is ever missed.
pub fn height(view: &View<'_>, chart: f32) -> f32 {
    let (shown, more) = rows(view, chart);
    let rows = shown.len() + usize::from(more > 0);
    if rows == 0 { 0.0 } else { rows as f32 * ROW + 5.0 }
}

/// Days from one to another, as they are written here.
fn days(span: Span, near: Day) -> String {
    if span.from == span.to {
        format::day_short(span.from, near)
    } else {
        format!("{} to {}", format::day_short(span.from, near), format::day_short(span.to, near))
    }
}

/// What is missed on which days, in a sentence.
fn sentence(view: &View<'_>, outage: &Outage) -> String {
    match without::sentence(view.project, outage, Day::first()) {
        Some(words) => format::days_in(&words, view.as_of()),
        None => {
            let planned = format::days_in(&without::days(&outage.plan), view.as_of());
            format!("{} on no day, in the plan {planned}", without::what(view.project, outage.what))
        }
    }
}

/// A row of what is out of use in words: `Hall bath: Demolition to Set tile, Oct 3 to Oct 9`.
fn row_words(view: &View<'_>, at: usize) -> Option<String> {
    let row = view.project.out_of_use.get(at)?;
    let when = view.figures.in_use.rows.get(at)?.forecast;
    let when = when.map_or("on no day".to_owned(), |span| days(span, view.as_of()));
    Some(format!("{}: {}, {when}", row.what(view.project), phases(view, row)))
}

fn phases(view: &View<'_>, row: &OutOfUse) -> String {
    let name = |id| view.project.phase(id).map_or("", |phase: &Phase| phase.name.as_str());
    if row.last_phase() == row.from_phase {
        name(row.from_phase).to_owned()
    } else {
        format!("{} to {}", name(row.from_phase), name(row.last_phase()))
    }
}

/// Draws the strip into a rectangle, whose names take some points on the left, over a chart of a height.
pub fn ui(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    axis: &TimeAxis,
    (strip, names, chart): (Rect, f32, f32),
    out: &mut Outbox,
) {
    if !strip.is_positive() {
        return;
    }
    let tokens = view.tokens;
    let painter = ui.painter_at(strip);
    painter.rect_filled(strip, 0.0, tokens.work);
    let canvas = Rect::from_min_max(pos2(strip.left() + names, strip.top()), strip.max);
    let drawn = ui.painter_at(canvas);
    calendar::days_off(&drawn, view, axis, canvas);
    axis.paint_month_lines(&drawn, canvas.y_range(), tokens);
    let (shown, more) = rows(view, chart);
    for (n, outage) in shown.iter().enumerate() {
        let top = strip.top() + 2.0 + n as f32 * ROW;
        let rect = Rect::from_x_y_ranges(strip.x_range(), Rangef::new(top, top + ROW));
        row(ui, view, session, axis, (outage, rect, names), &drawn, out);
    }
    if more > 0 {
        let top = strip.top() + 2.0 + shown.len() as f32 * ROW;
        let rect = Rect::from_x_y_ranges(strip.x_range(), Rangef::new(top, top + ROW));
        rest(ui, view, shown.len(), rect);
    }
    // The rest is a line of words over the whole width, which nothing crosses.
    let beside = Rangef::new(strip.top(), strip.bottom() - if more > 0 { ROW + 3.0 } else { 0.0 });
    drawn.vline(axis.at(view.as_of()), beside, Stroke::new(1.0, tokens.text));
    painter.vline(canvas.left() - 1.0, beside, Stroke::new(1.0, tokens.line));
    painter.hline(strip.x_range(), strip.bottom() - 1.0, Stroke::new(1.0, tokens.line));
}

/// What is not drawn, in words.
fn rest(ui: &mut Ui, view: &View<'_>, shown: usize, rect: Rect) {
    let rest = view.figures.in_use.out.iter().skip(shown);
    let told: Vec<String> = rest.map(|outage| sentence(view, outage)).collect();
    let more = if shown == 0 { String::new() } else { format!("and {} more: ", told.len()) };
    let words = format!("{more}{}", told.join("; "));
    let response = ui.interact(rect, egui::Id::unique("without_rest"), Sense::hover());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, &words));
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 0.0, view.tokens.work);
    let at = pos2(rect.left() + 4.0, rect.center().y);
    let font = theme::regular(type_size::SMALL);
    pieces::paint_cut(&painter, at, &words, font, view.tokens.text, rect.width() - 8.0);
    response.on_hover_ui(|ui| {
        told.iter().for_each(|words| {
            ui.label(words);
        });
    });
}

fn row(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    axis: &TimeAxis,
    (outage, rect, names): (&Outage, Rect, f32),
    painter: &Painter,
    out: &mut Outbox,
) {
    let tokens = view.tokens;
    let response = ui.interact(rect, egui::Id::unique(("without", outage.what)), Sense::click());
    let spoken = sentence(view, outage);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &spoken));
    let lit = response.hovered() || response.has_focus();
    bars(painter, view, axis, outage, rect);
    let cell = Rect::from_min_size(rect.min, vec2(names - 1.0, rect.height()));
    let named = ui.painter_at(cell);
    named.rect_filled(cell, 0.0, if lit { tokens.hovered } else { tokens.work });
    let total: i32 = outage.forecast.iter().map(|span| span.days()).sum();
    let small = theme::regular(type_size::SMALL);
    let right = pos2(cell.right() - 9.0, cell.center().y);
    let count = format::count(total, "day");
    let taken = named.text(right, Align2::RIGHT_CENTER, count, small, tokens.muted);
    let left = pos2(cell.left() + 4.0, cell.center().y);
    let words = without::what(view.project, outage.what);
    let room = taken.left() - left.x - 6.0;
    pieces::paint_cut(&named, left, &words, theme::regular(type_size::BODY), tokens.text, room);
    let rows = || outage.rows.iter().filter_map(|at| view.project.out_of_use.get(*at));
    if response.clicked()
        && let Some(first) = rows().next()
    {
        session.dates.picked = Some(first.from_phase);
        session.scroll_to_phase = Some(first.from_phase);
    }
    response.context_menu(|ui| {
        for (at, row) in outage.rows.iter().zip(rows()) {
            let words = row_words(view, *at).unwrap_or_default();
            if ui.button(format!("Edit {words}…")).clicked() {
                out.edit(Form::OutOfUse(Some(row.id), None));
            }
        }
    });
    response.on_hover_ui(|ui| {
        ui.label(pieces::strong(&spoken, type_size::BODY));
        for at in &outage.rows {
            ui.label(row_words(view, *at).unwrap_or_default());
        }
        if outage.plan != outage.forecast {
            let planned = match outage.plan.as_slice() {
                [] => "on no day".to_owned(),
                plan => format::days_in(&without::days(plan), view.as_of()),
            };
            ui.label(format!("In the plan {planned}"));
        }
        pieces::muted(ui, tokens, "click to see the first phase, right click to edit");
    });
}

/// The days in the forecast, hatched and with their words; those of the plan as an outline, where they differ.
fn bars(painter: &Painter, view: &View<'_>, axis: &TimeAxis, outage: &Outage, rect: Rect) {
    let tokens = view.tokens;
    let place = |span: &Span, half: f32| {
        let x = Rangef::new(axis.at(span.from), axis.at(span.to.plus(1)));
        Rect::from_x_y_ranges(x, Rangef::new(rect.center().y - half, rect.center().y + half))
    };
    if outage.plan != outage.forecast {
        for span in &outage.plan {
            painter.rect_stroke(place(span, 7.0), 2.0, Stroke::new(1.0, tokens.muted), StrokeKind::Inside);
        }
    }
    // Nothing is written over what is drawn, nor over other words. A bar of the forecast keeps a gap behind it.
    let wide = |span: &Span, gap: f32| Rangef::new(axis.at(span.from), axis.at(span.to.plus(1)) + gap);
    let mut taken: Vec<Rangef> = outage.forecast.iter().map(|span| wide(span, GAP)).collect();
    if outage.plan != outage.forecast {
        taken.extend(outage.plan.iter().map(|span| wide(span, 0.0)));
    }
    let today = axis.at(view.as_of());
    taken.push(Rangef::new(today - 1.0, today + 1.0));
    // Words of a bar stand behind the bars before it, so that they are not taken for theirs.
    let clip = painter.clip_rect();
    let mut within = Rangef::new(clip.left(), axis.x.max.min(clip.right()));
    for span in &outage.forecast {
        let bar = place(span, 5.0);
        painter.rect_filled(bar, 0.0, tokens.work);
        marks::hatch(painter, bar, tokens.late_fill);
        let words = days(*span, view.as_of());
        let galley = painter.layout_no_wrap(words, theme::regular(type_size::SMALL - 1.0), tokens.text);
        let wide = galley.size().x + GAP;
        if let Some(x) = beside(bar.x_range(), wide, within, &taken) {
            taken.push(Rangef::new(x, x + wide));
            within.min = within.min.max(x + wide);
            let at = pos2(x, rect.center().y - galley.size().y / 2.0);
            // Months and days off go by behind them.
            painter.rect_filled(Rect::from_min_size(at, galley.size()), 0.0, tokens.work);
            painter.galley(at, galley, tokens.text);
        }
        within.min = within.min.max(bar.right());
    }
}

/// Points between a bar and words behind it.
const GAP: f32 = 4.0;

/// Where words so wide stand beside a bar: behind it, else before it, else before what stands there; never on anything.
fn beside(bar: Rangef, wide: f32, within: Rangef, taken: &[Rangef]) -> Option<f32> {
    let ahead = taken.iter().map(|own| own.min).filter(|left| *left < bar.min);
    let mut left: Vec<f32> = ahead.map(|left| left - wide - 2.0).chain([bar.min - wide]).collect();
    left.sort_by(|a, b| b.total_cmp(a));
    let free = |x: &f32| {
        let inside = within.min < *x && x + wide < within.max;
        inside && taken.iter().all(|own| own.max <= *x || x + wide <= own.min)
    };
    [bar.max + GAP].into_iter().chain(left).find(free)
}

/// What lies stored on the worst day, in a line; nothing where nobody has said how much floor there is.
pub fn stored(ui: &mut Ui, view: &View<'_>) {
    let Some(stored) = &view.figures.in_use.stored else { return };
    let tokens = view.tokens;
    let (most, tone) =
        match (stored.full.iter().map(|full| &full.most).max_by_key(|most| most.area), &stored.most) {
            (Some(most), _) => (most, tokens.late),
            (None, Some(most)) => (most, tokens.muted),
            (None, None) => return,
        };
    let worst = stored_words(view, most);
    let words = match stored.full.as_slice() {
        [] => format!("Most stored {worst}"),
        [first, rest @ ..] => {
            let more = match rest.len() {
                0 => String::new(),
                n => format!(" and {} more", format::count(n, "time")),
            };
            format!("Storage over full {}{more} (worst {worst})", days(first.days, view.as_of()))
        }
    };
    ui.horizontal(|ui| {
        if !stored.full.is_empty() {
            let (mark, _) = ui.allocate_exact_size(vec2(12.0, 14.0), Sense::hover());
            marks::triangle(ui.painter(), mark.center(), tokens.late);
        }
        let text = RichText::new(words).size(type_size::SMALL).color(tone);
        let room = ui.available_width().min(ui.clip_rect().right() - ui.cursor().left());
        let label = ui.scope(|ui| {
            ui.set_max_width(room);
            ui.add(egui::Label::new(text).truncate())
        });
        let label = label.inner;
        label.on_hover_ui(|ui| {
            ui.label(pieces::strong(format::day(most.on, view.as_of()), type_size::BODY));
            for at in most.parts.iter().take(12) {
                let Some(part) = view.figures.parts.get(*at).and_then(|f| view.project.part(f.id)) else {
                    continue;
                };
                let unit = view.project.settings.units.area();
                let takes = part
                    .2
                    .floor_area
                    .map_or("nobody has said".to_owned(), |area| format!("{} {unit}", area.normalize()));
                ui.label(format!("{} of {}: {takes}", part.2.name, part.0.name));
            }
        });
    });
}

/// How full it is on a day: `Sat Oct 3: at least 65 of 80 sq ft; 2 things have no size`.
fn stored_words(view: &View<'_>, most: &Most) -> String {
    let unit = view.project.settings.units.area();
    let floor = view.project.settings.storage.unwrap_or_default().normalize();
    let least = if most.unknown > 0 { "at least " } else { "" };
    let unknown = match most.unknown {
        0 => String::new(),
        1 => "; 1 thing has no size".to_owned(),
        n => format!("; {n} things have no size"),
    };
    format!(
        "{}: {least}{} of {floor} {unit}{unknown}",
        format::day(most.on, view.as_of()),
        most.area.normalize()
    )
}

/// What the picked phase takes away, and the way to say so.
pub fn of_phase(ui: &mut Ui, view: &View<'_>, phase: &Phase, out: &mut Outbox) {
    for (at, row) in view.project.out_of_use.iter().enumerate() {
        if row.from_phase != phase.id && row.last_phase() != phase.id {
            continue;
        }
        let words = row_words(view, at).unwrap_or_default();
        let text = RichText::new(format!("out of use: {words}"));
        let line = ui.add(egui::Button::new(text).frame(false).truncate());
        if line.on_hover_text("Edit").clicked() {
            out.edit(Form::OutOfUse(Some(row.id), None));
        }
    }
    let open = phase.kind == PhaseKind::Work && phase.finished_on().is_none();
    if open && pieces::link(ui, view.tokens, "+ takes a room or a service away").clicked() {
        out.edit(Form::OutOfUse(None, Some(phase.id)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_stand_behind_their_bar_or_before_it_and_on_nothing() {
        let all = Rangef::new(0.0, 500.0);
        let bar = Rangef::new(200.0, 240.0);
        let own = Rangef::new(200.0, 244.0);
        assert_eq!(beside(bar, 60.0, all, &[own]), Some(244.0), "behind it");
        let next = Rangef::new(280.0, 300.0);
        assert_eq!(beside(bar, 60.0, all, &[own, next]), Some(140.0), "there is no room before the next");
        let plan = Rangef::new(190.0, 210.0);
        assert_eq!(beside(bar, 60.0, all, &[own, next, plan]), Some(128.0), "before the outline of the plan");
        assert_eq!(beside(bar, 60.0, Rangef::new(0.0, 290.0), &[own]), Some(140.0), "the axis ends");
        assert_eq!(beside(bar, 260.0, all, &[own]), None, "too wide for either side");
        let words = Rangef::new(100.0, 190.0);
        assert_eq!(beside(bar, 60.0, all, &[own, next, words]), Some(38.0), "before other words");
    }
}
