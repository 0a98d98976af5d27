//! Links between bars: right-angled and quiet, those of the picked phase in front.

use super::bars;
use crate::model::{LagUnit, Link, LinkKind};
use crate::ui::theme::{self, tokens::type_size};
use crate::ui::view::View;
use crate::ui::widgets::axis::TimeAxis;
use egui::{Align2, Painter, Pos2, Shape, Stroke, pos2, vec2};

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

/// Draws all links that touch a row in view; those of `picked` last and stronger.
pub fn ui(painter: &Painter, view: &View<'_>, axis: &TimeAxis, rows: &Rows<'_>, picked: Option<usize>) {
    let mut front = Vec::new();
    for link in view.project.links.iter() {
        let (Some(from), Some(to)) =
            (view.figures.index.of(link.before.0), view.figures.index.of(link.after.0))
        else {
            continue;
        };
        let (Some(a), Some(b)) = (rows.rank.get(from), rows.rank.get(to)) else { continue };
        if (*a.min(b)).max(rows.seen.start) > (*a.max(b)).min(rows.seen.end) {
            continue;
        }
        if picked.is_some() && (picked == Some(from) || picked == Some(to)) {
            front.push((link, from, to));
        } else {
            draw(painter, view, axis, rows, (link, from, to), false);
        }
    }
    for link in front {
        draw(painter, view, axis, rows, link, true);
    }
}

fn draw(
    painter: &Painter,
    view: &View<'_>,
    axis: &TimeAxis,
    rows: &Rows<'_>,
    (link, from, to): (&Link, usize, usize),
    strong: bool,
) {
    let place = |at: usize| {
        let top = rows.top + *rows.rank.get(at)? as f32 * rows.height;
        bars::place(view.project.phases.get(at)?, view.figures.phases.get(at)?, top, axis)
    };
    let (Some(before), Some(after)) = (place(from), place(to)) else { return };
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
    if strong {
        let into = if link.kind.bounds_start() { 1.0 } else { -1.0 };
        let tip = end;
        let wing = vec2(-5.0 * into, 0.0);
        painter.add(Shape::convex_polygon(
            vec![tip, tip + wing + vec2(0.0, -3.5), tip + wing + vec2(0.0, 3.5)],
            tokens.accent,
            Stroke::NONE,
        ));
        if let Some(words) = words(link)
            && let Some(corner) = path.get(1)
        {
            let at = pos2(corner.x + 3.0, (start.y + end.y) / 2.0);
            let font = theme::strong(type_size::SMALL - 1.0);
            let galley = painter.layout_no_wrap(words, font, tokens.accent);
            let rect = Align2::LEFT_CENTER.anchor_size(at, galley.size());
            painter.rect_filled(rect.expand(1.5), 2.0, tokens.work);
            painter.galley(rect.min, galley, tokens.accent);
        }
    }
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

/// The kind and the lag, where they are not the usual ones.
fn words(link: &Link) -> Option<String> {
    let kind = LinkKind::ALL.iter().find(|(_, k)| *k == link.kind).map_or("", |(word, _)| word);
    let unit = if link.unit == LagUnit::Elapsed { " calendar d" } else { " d" };
    match (link.kind, link.lag) {
        (LinkKind::FS, 0) => None,
        (LinkKind::FS, lag) => Some(format!("{lag:+}{unit}")),
        (_, 0) => Some(kind.to_owned()),
        (_, lag) => Some(format!("{kind} {lag:+}{unit}")),
    }
}
