//! The head of a group of phases: its name with how many there are, and one bar from their first start to their last
//! finish. While it is folded, what its phases have on their rows stands on this one.

use super::bars;
use super::row::{self, Scene};
use super::rows::{Rows, turn};
use crate::engine::phase_groups::PhaseGroup;
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::{self, tokens::type_size};
use crate::ui::view::View;
use crate::ui::widgets::{marks, pieces};
use egui::{Align2, Rect, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

/// A group in a sentence: `Tile setter, 4 phases, 1 finished, Mon Oct 5 to Thu Nov 12, 2 critical, folded`.
pub fn sentence(view: &View<'_>, group: &PhaseGroup, folded: bool) -> String {
    let sum = &group.sum;
    let mut words = vec![group.name.clone(), format::count(group.phases.len(), "phase")];
    let mut add = |n: usize, what: &str| {
        if n > 0 {
            words.push(format!("{n} {what}"));
        }
    };
    add(sum.finished, "finished");
    add(sum.critical, "critical");
    add(sum.held, "held");
    let days = sum.days.map(|(from, to)| format::days(from, to, view.as_of()));
    words.push(days.unwrap_or("no dates".to_owned()));
    words.push(if folded { "folded" } else { "open" }.to_owned());
    words.join(", ")
}

impl Scene<'_, '_> {
    /// Draws the head of the group at a position into its row.
    pub fn head(&mut self, ui: &mut Ui, session: &mut Session, rows: &Rows, at: usize, rect: Rect) {
        let (view, painter, axis) = (self.view, self.painter, self.axis);
        let tokens = view.tokens;
        let Some(group) = rows.groups.get(at) else { return };
        let folded = rows.folded.get(at).copied().unwrap_or(false);
        let id = egui::Id::unique(("phase_group", &group.name));
        let response = ui.interact(self.hit(rect), id, Sense::click());
        let spoken = sentence(view, group, folded);
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &spoken));
        let lit = response.hovered() || response.has_focus();
        let fill = if lit { tokens.hovered } else { tokens.strip };
        painter.hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, tokens.line));
        if lit {
            painter.rect_filled(rect, 0.0, fill);
        }
        bars::sum(painter, view, group, folded, rect, axis);
        if folded {
            self.ghost_of(session, group, rect);
            for phase in &group.phases {
                self.part_marks(ui, *phase, rect);
            }
        }
        let name = Rect::from_min_size(rect.min, vec2(self.names, rect.height()));
        let named = ui.painter_at(name);
        named.rect_filled(name, 0.0, fill);
        marks::fold(&named, pos2(name.left() + 9.0, name.center().y), folded, tokens.muted);
        let small = theme::regular(type_size::SMALL);
        let right = pos2(name.right() - 10.0, name.center().y);
        let count = group.phases.len().to_string();
        let taken = named.text(right, Align2::RIGHT_CENTER, count, small, tokens.muted);
        let left = pos2(name.left() + 18.0, name.center().y);
        let room = taken.left() - left.x - 6.0;
        pieces::paint_cut(&named, left, &group.name, theme::strong(type_size::BODY), tokens.text, room);
        named.vline(name.right() - 1.0, name.y_range(), Stroke::new(1.0, tokens.line));
        if response.clicked() {
            turn(session, &group.name);
        }
        self.follow_focus(ui, &response, rect);
        row::tooltip(ui, &response, rect).show(|ui| {
            let over = self.over_parts(ui, folded.then_some(group.phases.as_slice()), rect);
            if !over.is_empty() {
                over.iter().for_each(|words| {
                    ui.label(words);
                });
                return;
            }
            ui.label(pieces::strong(&spoken, type_size::BODY));
            pieces::muted(ui, tokens, if folded { "click to open" } else { "click to fold" });
        });
    }

    /// Where those of a group that would move would be, together.
    fn ghost_of(&self, session: &Session, group: &PhaseGroup, rect: Rect) {
        let view = self.view;
        let dropping = session.dates.dropping(view);
        let moved = |at: &usize| {
            let candidate = session.hovered_option.and_then(|id| view.derived.ghost(view.project, id, *at));
            candidate.or_else(|| dropping.as_ref()?.ghost(*at))
        };
        let days = group.phases.iter().filter_map(moved);
        let together = days.reduce(|(from, to), (a, b)| (from.min(a), to.max(b)));
        if let Some(ghost) = together {
            bars::ghost(self.painter, ghost, rect, self.axis, view.tokens.accent);
        }
    }
}
