//! Links between bars: right-angled and quiet, those of the picked phase in front.

use super::bars;
use crate::model::{LagUnit, Link, LinkKind};
use crate::ui::format;
use crate::ui::theme::{self, Tokens, tokens::type_size};
use crate::ui::view::View;
use crate::ui::widgets::axis::TimeAxis;
use egui::{Align2, Galley, Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};
use std::sync::Arc;

/// What links are drawn from: the row of each phase, by position, and where rows lie.
pub struct Rows<'a> {
    /// Row of each phase.
    pub rank: &'a [usize],
    /// Top of the first row.
    pub top: f32,
    /// Height of a row.
    pub height: f32,
    /// The rows in view.
    pub seen: std::ops::Range<usize>,
}

/// Words on a link, drawn once all that crosses them is there.
pub struct OnLink {
    rect: Rect,
    words: Arc<Galley>,
}

impl OnLink {
    /// Draws them on a ground of their own.
    pub fn paint(&self, painter: &Painter, tokens: &Tokens) {
        painter.rect_filled(self.rect.expand2(vec2(3.0, 1.0)), 2.0, tokens.work);
        painter.galley(self.rect.min, Arc::clone(&self.words), tokens.accent);
    }
}

/// Draws all links that touch a row in view; those of `picked` last and stronger. Links within a folded group are not
/// drawn. Gives back the words of those in front.
pub fn ui(
    painter: &Painter,
    view: &View<'_>,
    axis: &TimeAxis,
    rows: &Rows<'_>,
    picked: Option<usize>,
) -> Vec<OnLink> {
    let mut front = Vec::new();
    for link in view.project.links.iter() {
        let (Some(from), Some(to)) =
            (view.figures.index.of(link.before.0), view.figures.index.of(link.after.0))
        else {
            continue;
        };
        let (Some(a), Some(b)) = (rows.rank.get(from), rows.rank.get(to)) else { continue };
        if a == b || (*a.min(b)).max(rows.seen.start) > (*a.max(b)).min(rows.seen.end) {
            continue;
        }
        if picked.is_some() && (picked == Some(from) || picked == Some(to)) {
            front.push((link, from, to));
        } else {
            draw(painter, view, axis, rows, (link, from, to), false);
        }
    }
    front.into_iter().filter_map(|link| draw(painter, view, axis, rows, link, true)).collect()
}

fn draw(
    painter: &Painter,
    view: &View<'_>,
    axis: &TimeAxis,
    rows: &Rows<'_>,
    (link, from, to): (&Link, usize, usize),
    strong: bool,
) -> Option<OnLink> {
    let place = |at: usize| {
        let top = rows.top + *rows.rank.get(at)? as f32 * rows.height;
        bars::place(view.project.phases.get(at)?, view.figures.phases.get(at)?, top, axis)
    };
    let (before, after) = (place(from)?, place(to)?);
    let tokens = view.tokens;
    let stroke = if strong { Stroke::new(1.6, tokens.accent) } else { Stroke::new(1.0, tokens.line) };
    let start = match link.kind {
        LinkKind::FS | LinkKind::FF => before.right_center(),
        LinkKind::SS | LinkKind::SF => before.left_center(),
    };
    let end = match link.kind {
        LinkKind::FS | LinkKind::SS => after.left_center(),
        LinkKind::FF | LinkKind::SF => after.right_center(),
    };
    let path = path(link.kind, start, end, rows.height);
    painter.add(Shape::line(path.clone(), stroke));
    if !strong {
        return None;
    }
    let into = if link.kind.bounds_start() { 1.0 } else { -1.0 };
    let wing = end + vec2(-5.0 * into, 0.0);
    painter.add(Shape::convex_polygon(
        vec![end, wing + vec2(0.0, -3.5), wing + vec2(0.0, 3.5)],
        tokens.accent,
        Stroke::NONE,
    ));
    let at = pos2(path.get(1)?.x + 5.0, (start.y + end.y) / 2.0);
    let words = painter.layout_no_wrap(words(link)?, theme::strong(type_size::SMALL - 1.0), tokens.accent);
    Some(OnLink { rect: Align2::LEFT_CENTER.anchor_size(at, words.size()), words })
}

/// The way from one end to the other in right angles.
fn path(kind: LinkKind, start: Pos2, end: Pos2, row: f32) -> Vec<Pos2> {
    const OUT: f32 = 5.0;
    let leaves = if kind.from_finish() { OUT } else { -OUT };
    let enters = if kind.bounds_start() { -OUT } else { OUT };
    let (a, b) = (start.x + leaves, end.x + enters);
    let straight = match (kind.from_finish(), kind.bounds_start()) {
        (true, true) => a <= b + OUT,
        (false, false) => a >= b - OUT,
        _ => true,
    };
    if straight {
        // Both ends look the same way, or there is room between them.
        let x = match (kind.from_finish(), kind.bounds_start()) {
            (true, false) => a.max(b),
            (false, true) => a.min(b),
            _ => a,
        };
        return vec![start, pos2(x, start.y), pos2(x, end.y), end];
    }
    let down = if end.y >= start.y { row / 2.0 } else { -row / 2.0 };
    let y = end.y - down;
    vec![start, pos2(a, start.y), pos2(a, y), pos2(b, y), pos2(b, end.y), end]
}

/// The ends that are tied, in the words of the trade.
pub fn kind_words(kind: LinkKind) -> &'static str {
    match kind {
        LinkKind::FS => "finish to start",
        LinkKind::SS => "start to start",
        LinkKind::FF => "finish to finish",
        LinkKind::SF => "start to finish",
    }
}

/// A link in words, where it is not the usual one: `3 days after its start`.
fn words(link: &Link) -> Option<String> {
    if link.lag == 0 {
        return (link.kind != LinkKind::FS).then(|| kind_words(link.kind).to_owned());
    }
    let unit = if link.unit == LagUnit::Elapsed { "calendar day" } else { "day" };
    let side = if link.lag > 0 { "after" } else { "before" };
    let end = if link.kind.from_finish() { "finish" } else { "start" };
    // What is tied is the start, unless it is said.
    let tied = if link.kind.bounds_start() { "" } else { "done " };
    Some(format!("{tied}{} {side} its {end}", format::count(link.lag.abs(), unit)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{LinkId, PhaseId};

    #[test]
    fn links_are_said_in_words() {
        let said = |kind, lag, unit| {
            let (before, after) = (PhaseId(1), PhaseId(2));
            words(&Link { id: LinkId(3), before, after, kind, lag, unit })
        };
        assert_eq!(said(LinkKind::FS, 0, LagUnit::Working), None, "the usual one");
        assert_eq!(said(LinkKind::SS, 0, LagUnit::Working).as_deref(), Some("start to start"));
        assert_eq!(said(LinkKind::SS, 3, LagUnit::Working).as_deref(), Some("3 days after its start"));
        assert_eq!(
            said(LinkKind::FS, 1, LagUnit::Elapsed).as_deref(),
            Some("1 calendar day after its finish")
        );
        assert_eq!(
            said(LinkKind::FF, -2, LagUnit::Working).as_deref(),
            Some("done 2 days before its finish")
        );
    }
}
