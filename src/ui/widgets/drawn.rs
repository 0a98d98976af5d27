//! Drawings of things, for options without a picture.

use crate::exchange::drawing::{line_widths, traced};
use crate::model::drawing::{Drawing, Form, Line, Shape};
use crate::model::{Project, Selection, SelectionOption};
use crate::ui::pictures::{Pictures, Shown};
use crate::ui::theme::{Tokens, tokens};
use crate::ui::view::View;
use egui::epaint::{PathShape, PathStroke, RectShape};
use egui::{
    Color32, CornerRadius, Painter, Pos2, Rect, Role, Sense, Stroke, TextureHandle, Ui, Vec2, WidgetInfo,
    pos2, vec2,
};

/// The drawing of an option on a quiet ground, with what it shows for a screen reader. Gives back where it is.
pub fn ui(ui: &mut Ui, view: &View<'_>, selection: &Selection, option: &SelectionOption, side: f32) -> Rect {
    let drawing = Drawing::of(view.project, selection, option);
    let (rect, response) = ui.allocate_exact_size(Vec2::splat(side), Sense::hover());
    let told = drawing.told(&option.finish);
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &told));
    on_ground(ui.painter(), view.tokens, &drawing, rect);
    rect
}

/// Draws it on a quiet ground.
pub fn on_ground(painter: &Painter, own: &Tokens, drawing: &Drawing, rect: Rect) {
    painter.rect_filled(rect, 5.0, own.strip);
    paint(painter, own, drawing, rect.shrink(rect.width().min(rect.height()) * 0.08));
}

/// The picture of an option, else its drawing: also while the picture is read, and where it cannot be.
pub fn still(
    ui: &Ui,
    own: &Tokens,
    pictures: &mut Pictures,
    (project, selection): (&Project, &Selection),
    option: &SelectionOption,
    rect: Rect,
) {
    if !option.picture.is_empty()
        && let Shown::Ready(texture) = pictures.get(ui.ctx(), &option.picture)
    {
        paint_filling(ui, &texture, rect);
        return;
    }
    on_ground(ui.painter(), own, &Drawing::of(project, selection, option), rect);
}

/// The middle of a picture, as much as fills a rectangle.
pub fn paint_filling(ui: &Ui, texture: &TextureHandle, rect: Rect) {
    let size = texture.size_vec2().max(Vec2::splat(1.0));
    let scale = (rect.width() / size.x).max(rect.height() / size.y);
    let share = vec2(rect.width() / (size.x * scale), rect.height() / (size.y * scale));
    let uv = Rect::from_center_size(pos2(0.5, 0.5), share);
    let shape = RectShape::filled(rect, CornerRadius::same(5), tokens::UNTINTED);
    ui.painter().add(shape.with_texture(texture.id(), uv));
}

/// Draws it into the largest square in the middle of a rectangle, in the outlines of the window.
pub fn paint(painter: &Painter, own: &Tokens, drawing: &Drawing, rect: Rect) {
    paint_in(painter, tokens::drawing_edge(own), drawing, rect);
}

/// The same in other outlines, as those of paper.
pub fn paint_in(painter: &Painter, outline: Color32, drawing: &Drawing, rect: Rect) {
    let side = rect.width().min(rect.height());
    let square = Rect::from_center_size(rect.center(), egui::Vec2::splat(side));
    for shape in drawing.shapes() {
        paint_shape(painter, outline, drawing, shape, square);
    }
}

fn paint_shape(painter: &Painter, outline: Color32, drawing: &Drawing, shape: &Shape, square: Rect) {
    let traced = traced(&shape.form);
    let place =
        |[x, y]: &[f32; 2]| pos2(square.left() + x * square.width(), square.top() + y * square.height());
    let points: Vec<Pos2> = traced.points.iter().map(place).collect();
    let (edge, fine) = line_widths(square.width());
    let line = match shape.line {
        Line::None => Stroke::NONE,
        Line::Edge => Stroke::new(edge, outline),
        Line::Fine => Stroke::new(fine, tokens::picked_color(drawing.fine(shape.fill))),
    };
    let fill = shape.fill.map_or(tokens::CLEAR, |tone| tokens::picked_color(drawing.tone(tone)));
    if let Form::Tube(..) = shape.form {
        let width = traced.width * square.width();
        if line.width > 0.0 {
            bar(painter, &points, width + line.width, line.color);
        }
        bar(painter, &points, if line.width > 0.0 { width - line.width * 0.5 } else { width }, fill);
        return;
    }
    let stroke = PathStroke::from(line);
    painter.add(PathShape { points, closed: traced.closed, fill, stroke });
}

/// A bar with round ends along points.
fn bar(painter: &Painter, points: &[Pos2], width: f32, color: Color32) {
    painter.add(PathShape::line(points.to_vec(), Stroke::new(width, color)));
    let ends = [points.first(), points.last()];
    for point in ends.into_iter().flatten() {
        painter.circle_filled(*point, width / 2.0, color);
    }
    // Bends of few points would have notches on their outer side.
    for three in points.windows(3) {
        let (along, next) = ((three[1] - three[0]).normalized(), (three[2] - three[1]).normalized());
        if along.dot(next) < 0.8 {
            painter.circle_filled(three[1], width / 2.0, color);
        }
    }
}
