//! What a phase needs, on its row and in words: when each part arrives and when it is needed.

use super::row::Scene;
use crate::engine::Day;
use crate::model::{Part, PartId};
use crate::ui::areas::house::ledger_facts::{PhaseMark, part_at};
use crate::ui::format;
use crate::ui::view::{Outbox, View};
use crate::ui::widgets::{marks, pieces};
use egui::{Color32, Pos2, Rangef, Rect, RichText, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

/// How near the pointer is to a mark that it means.
const NEAR: f32 = 6.0;

/// A part with how it stands.
pub struct Needed<'a> {
    /// The part.
    pub part: &'a Part,
    /// Its name, with that of its selection.
    pub name: String,
    /// When it comes and when it is needed.
    pub words: String,
    /// What that means.
    pub tone: Color32,
}

/// The part at a position in words; nothing where there is none.
pub fn needed<'a>(view: &View<'a>, at: usize) -> Option<Needed<'a>> {
    let f = view.figures.parts.get(at)?;
    let (selection, _, part) = part_at(view.project, view.figures, at)?;
    let name = if part.name == selection.name {
        selection.name.clone()
    } else {
        format!("{}: {}", selection.name, part.name)
    };
    let need = f.need_date.map(|day: Day| format::day_short(day, view.as_of()));
    let (words, tone) = match (f.on_site, need) {
        (true, _) => ("on site".to_owned(), view.tokens.good),
        (false, Some(need)) => {
            let tone = if f.late { view.tokens.late } else { view.tokens.muted };
            (format!("{}, needed {need}", format::expected(f, view.as_of())), tone)
        }
        (false, None) => (format::expected(f, view.as_of()), view.tokens.muted),
    };
    Some(Needed { part, name, words, tone })
}

/// All that counts and is needed by the phase at a position, the late ones first, then by the day they are needed.
pub fn of_phase<'a>(view: &View<'a>, at: usize) -> Vec<Needed<'a>> {
    let own = view.facts().parts_of_phase.get(at).map_or(&[][..], Vec::as_slice);
    own.iter().filter_map(|part| needed(view, *part as usize)).collect()
}

/// A mark in words: `Bath tile arrives Oct 9, 4 days late, needed Oct 5`.
fn mark_words(view: &View<'_>, mark: &PhaseMark) -> Option<String> {
    let of = needed(view, mark.part as usize)?;
    let near = view.as_of();
    let (arrival, need) = (format::day_short(mark.arrival, near), format::day_short(mark.need, near));
    let state = match (mark.late, mark.ordered) {
        (true, true) => ", ordered and late",
        (true, false) => ", late if ordered now",
        (false, true) => ", ordered",
        (false, false) => ", if ordered now",
    };
    Some(format!("{} arrives {arrival}{state}; needed {need}", of.name))
}

impl Scene<'_, '_> {
    /// Draws when the parts of a phase arrive and are needed, and says so.
    pub fn part_marks(&self, ui: &Ui, at: usize, row: Rect) {
        for mark in self.view.facts().marks.get(at).map_or(&[][..], Vec::as_slice) {
            let tokens = self.view.tokens;
            let need = Rangef::new(row.top() + 3.0, row.bottom() - 2.0);
            self.painter.vline(self.axis.at(mark.need), need, Stroke::new(1.6, tokens.need));
            let center = self.dot(mark, row);
            if mark.late {
                marks::triangle(self.painter, center, tokens.late_fill);
            } else if mark.ordered {
                self.painter.circle_filled(center, 3.0, tokens.bar_ordered);
            } else {
                self.painter.circle_stroke(center, 3.0, Stroke::new(1.4, tokens.accent));
            }
            // Its own place among what is read; the pointer belongs to the row.
            let place = Rect::from_center_size(center, vec2(2.0 * NEAR, 2.0 * NEAR));
            let place = place.intersect(self.painter.clip_rect());
            if place.is_positive() {
                let dot = ui.interact(place, egui::Id::unique(("part_mark", mark.part)), Sense::hover());
                // Put together only where somebody listens: there may be hundreds in view.
                dot.widget_info(|| {
                    let words = mark_words(self.view, mark).unwrap_or_default();
                    WidgetInfo::labeled(Role::Label, true, words)
                });
            }
        }
    }

    fn dot(&self, mark: &PhaseMark, row: Rect) -> Pos2 {
        pos2(self.axis.at(mark.arrival), row.bottom() - 6.0)
    }

    /// The marks of some phases under the pointer in a row, in words.
    pub fn over_parts(&self, ui: &Ui, phases: Option<&[usize]>, row: Rect) -> Vec<String> {
        let Some(pointer) = ui.ctx().pointer_hover_pos() else { return Vec::new() };
        if !self.painter.clip_rect().contains(pointer) || !row.contains(pointer) {
            return Vec::new();
        }
        let all = phases.unwrap_or_default().iter();
        let all = all.flat_map(|at| self.view.facts().marks.get(*at).map_or(&[][..], Vec::as_slice));
        let under = all.filter(|mark| {
            let need = (self.axis.at(mark.need) - pointer.x).abs() <= 3.0;
            need || self.dot(mark, row).distance(pointer) <= NEAR + 1.0
        });
        under.filter_map(|mark| mark_words(self.view, mark)).collect()
    }
}

/// Lists what a phase needs, below the calendar; each line leads to its part.
pub fn list(ui: &mut Ui, view: &View<'_>, at: usize, out: &mut Outbox) {
    let own = of_phase(view, at);
    if own.is_empty() {
        return;
    }
    pieces::group_title(ui, view.tokens, &format!("Needed for it, {}", own.len()));
    for Needed { part, name, words, tone } in own {
        line(ui, view, part.id, (&name, &words, tone), out);
    }
}

fn line(
    ui: &mut Ui,
    view: &View<'_>,
    to: PartId,
    (name, words, tone): (&str, &str, Color32),
    out: &mut Outbox,
) {
    let spoken = format!("{name}, {words}");
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        let text = RichText::new(name).color(view.tokens.accent);
        let wide = (ui.available_width() * 0.55).max(90.0);
        let go = ui.scope(|ui| {
            ui.set_max_width(wide);
            ui.add(egui::Button::new(text).frame(false).truncate().min_size(vec2(0.0, pieces::LEAST)))
        });
        go.inner.widget_info(|| WidgetInfo::labeled(Role::Button, true, &spoken));
        if go.inner.clicked() {
            out.show(crate::model::Subject::Part(to));
        }
        pieces::cell(ui, words, tone).on_hover_text(words);
    });
}
