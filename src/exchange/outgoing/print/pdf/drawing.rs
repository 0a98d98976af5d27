//! Drawings of things on a page.

use crate::exchange::drawing::{line_widths, traced};
use crate::exchange::outgoing::print::svg::EDGE;
use crate::model::drawing::{Drawing, Form, Line, Shape};
use crate::model::look::Rgb;
use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder};
use krilla::num::NormalizedF32;
use krilla::paint::{Fill, LineCap, LineJoin, Stroke};
use krilla::surface::Surface;

fn ink(color: Rgb) -> rgb::Color {
    rgb::Color::new(color.0, color.1, color.2)
}

/// Fills of papers have one color and are never seen through.
pub(super) fn filled(color: Rgb) -> Fill {
    Fill { paint: ink(color).into(), opacity: NormalizedF32::ONE, rule: Default::default() }
}

pub(super) fn stroked(color: Rgb, width: f32) -> Stroke {
    Stroke {
        paint: ink(color).into(),
        width,
        line_cap: LineCap::Round,
        line_join: LineJoin::Round,
        ..Stroke::default()
    }
}

/// The way along points, closed or not.
pub(super) fn path(points: impl Iterator<Item = [f32; 2]>, closed: bool) -> Option<Path> {
    let mut path = PathBuilder::new();
    for (at, [x, y]) in points.enumerate() {
        if at == 0 {
            path.move_to(x, y);
        } else {
            path.line_to(x, y);
        }
    }
    if closed {
        path.close();
    }
    path.finish()
}

/// Draws it into a square.
pub(super) fn draw(surface: &mut Surface<'_>, drawing: &Drawing, [x, y]: [f32; 2], side: f32) {
    for shape in drawing.shapes() {
        draw_shape(surface, drawing, shape, [x, y], side);
    }
    surface.set_stroke(None);
}

fn draw_shape(surface: &mut Surface<'_>, drawing: &Drawing, shape: &Shape, [x, y]: [f32; 2], side: f32) {
    let traced = traced(&shape.form);
    let placed = traced.points.iter().map(|[a, b]| [x + a * side, y + b * side]);
    let Some(path) = path(placed, traced.closed) else { return };
    let (edge, fine) = line_widths(side);
    let line = match shape.line {
        Line::None => None,
        Line::Edge => Some((EDGE, edge)),
        Line::Fine => Some((drawing.fine(shape.fill), fine)),
    };
    if let (Form::Tube(..), Some(tone)) = (&shape.form, shape.fill) {
        surface.set_fill(None);
        let width = traced.width * side;
        if let Some((color, line)) = line {
            surface.set_stroke(Some(stroked(color, width + line)));
            surface.draw_path(&path);
        }
        let inner = if line.is_some() { (width - edge * 0.5).max(0.3) } else { width };
        surface.set_stroke(Some(stroked(drawing.tone(tone), inner)));
        surface.draw_path(&path);
        return;
    }
    surface.set_fill(shape.fill.map(|tone| filled(drawing.tone(tone))));
    surface.set_stroke(line.map(|(color, width)| stroked(color, width)));
    surface.draw_path(&path);
}
