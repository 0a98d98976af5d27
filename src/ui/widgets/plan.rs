//! The floor of a room as a small drawing: its outline with the length of each wall, and corners that can be dragged,
//! or moved with the arrow keys.

use crate::model::Units;
use crate::ui::theme::{self, Tokens, tokens::type_size};
use egui::{
    Align2, Color32, CursorIcon, EventFilter, Key, Mesh, Modifiers, Painter, Pos2, Rect, Role, Sense, Shape,
    Stroke, StrokeKind, Ui, Vec2, WidgetInfo, vec2,
};
use rust_decimal::Decimal;
use rust_decimal::prelude::{FromPrimitive, ToPrimitive};

/// A corner in the project's unit: to the right and down from the upper left.
pub type Corner = (Decimal, Decimal);

/// What is drawn.
pub struct Plan<'a> {
    /// Corners in order around the room.
    pub corners: &'a [Corner],
    /// Two sides only: one corner moves, none are added.
    pub rectangle: bool,
    /// Feet or meters.
    pub units: Units,
    /// The outline cannot be used as it is.
    pub broken: bool,
}

/// What the drawing remembers between frames.
#[derive(Debug, Clone, Copy, Default)]
pub struct PlanState {
    /// While a corner is dragged the scale stays, or the corner would run away from the pointer.
    held: Option<Lens>,
}

/// A change made on the drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Change {
    /// A corner stands elsewhere.
    Move(usize, Corner),
    /// A new corner after one.
    Insert(usize, Corner),
    /// A corner is gone.
    Remove(usize),
}

/// The unit as it is written after lengths.
pub fn unit(units: Units) -> &'static str {
    units.length()
}

/// What corners snap to: three inches or five centimeters; a fifth of it with Shift.
fn step(units: Units, fine: bool) -> Decimal {
    match (units, fine) {
        (Units::Us, false) => Decimal::new(25, 2),
        (Units::Metric, true) => Decimal::new(1, 2),
        _ => Decimal::new(5, 2),
    }
}

/// How the floor lies on the screen.
#[derive(Debug, Clone, Copy)]
struct Lens {
    /// What stands at `at`.
    zero: (f64, f64),
    at: Pos2,
    /// Points a unit takes.
    scale: f32,
}

impl Lens {
    fn over(corners: &[Corner], rect: Rect) -> Lens {
        let points: Vec<(f64, f64)> = corners.iter().map(|c| (float(c.0), float(c.1))).collect();
        let least = |get: fn(&(f64, f64)) -> f64| points.iter().map(get).fold(f64::INFINITY, f64::min);
        let most = |get: fn(&(f64, f64)) -> f64| points.iter().map(get).fold(f64::NEG_INFINITY, f64::max);
        let (left, top) = (least(|p| p.0), least(|p| p.1));
        let (mut width, mut height) = (most(|p| p.0) - left, most(|p| p.1) - top);
        // Something to begin with, while nothing is measured yet.
        if width < 0.5 || height < 0.5 {
            (width, height) = (width.max(12.0), height.max(9.0));
        }
        let room = rect.shrink2(vec2(46.0, 26.0));
        let scale = (f64::from(room.width()) / width).min(f64::from(room.height()) / height) as f32;
        let size = vec2(width as f32, height as f32) * scale;
        Lens { zero: (left, top), at: room.center() - size / 2.0, scale: scale.max(1e-4) }
    }

    fn screen(&self, corner: Corner) -> Pos2 {
        let x = (float(corner.0) - self.zero.0) as f32 * self.scale;
        let y = (float(corner.1) - self.zero.1) as f32 * self.scale;
        self.at + vec2(x, y)
    }

    /// The place under a point of the screen, on the nearest step.
    fn floor(&self, point: Pos2, step: Decimal) -> Option<Corner> {
        let offset = (point - self.at) / self.scale;
        let snap = |value: f64| {
            let steps = (value / float(step)).round();
            Decimal::from_f64(steps).map(|n| (n * step).normalize())
        };
        Some((snap(self.zero.0 + f64::from(offset.x))?, snap(self.zero.1 + f64::from(offset.y))?))
    }
}

fn float(value: Decimal) -> f64 {
    value.to_f64().unwrap_or(0.0)
}

/// Draws the plan. Gives back what was changed on it.
pub fn ui(
    ui: &mut Ui,
    tokens: &Tokens,
    plan: &Plan<'_>,
    state: &mut PlanState,
    size: Vec2,
) -> Option<Change> {
    let (rect, ground) = ui.allocate_exact_size(size, Sense::hover());
    let told = format!("Plan of the floor with {} corners", plan.corners.len());
    ground.widget_info(|| WidgetInfo::labeled(Role::Image, true, &told));
    let lens = state.held.unwrap_or_else(|| Lens::over(plan.corners, rect));
    let painter = ui.painter_at(rect);
    painter.rect(rect, 6.0, tokens.work, Stroke::new(1.0, tokens.line), StrokeKind::Inside);
    grid(&painter, rect, &lens, tokens);
    let points: Vec<Pos2> = plan.corners.iter().map(|c| lens.screen(*c)).collect();
    let tone = if plan.broken { tokens.late } else { tokens.text };
    if !plan.broken {
        fill(&painter, &points, tokens.picked);
    }
    painter.add(Shape::closed_line(points.clone(), Stroke::new(2.5, tone)));
    // A drawing that is too small for it has no lengths; they stand in the fields beside it.
    if rect.height() > 90.0 {
        lengths(&painter, plan, &points, tokens);
    }
    let mut change = None;
    if !plan.rectangle {
        for i in 0..points.len() {
            change = change.or(between(ui, tokens, plan, &lens, &points, i));
        }
    }
    let mut held = None;
    for (i, point) in points.iter().enumerate() {
        if plan.rectangle && i != 2 {
            continue;
        }
        let (moved, dragged) = corner(ui, tokens, plan, &lens, i, *point);
        change = change.or(moved);
        held = held.or(dragged.then_some(lens));
    }
    state.held = held;
    change
}

/// Lines a unit apart, or five or ten where those would be too near.
fn grid(painter: &Painter, rect: Rect, lens: &Lens, tokens: &Tokens) {
    let Some(apart) = [1.0_f32, 5.0, 10.0, 50.0, 100.0, 1_000.0].into_iter().find(|n| n * lens.scale >= 9.0)
    else {
        return;
    };
    let stroke = Stroke::new(1.0, tokens.line.gamma_multiply(0.45));
    let gap = apart * lens.scale;
    let first = |zero: f64, at: f32, edge: f32| {
        // The line through a whole number nearest to the edge.
        let offset = at - zero.rem_euclid(f64::from(apart)) as f32 * lens.scale;
        edge + (offset - edge).rem_euclid(gap)
    };
    let mut x = first(lens.zero.0, lens.at.x, rect.left());
    while x < rect.right() {
        painter.vline(x, rect.y_range(), stroke);
        x += gap;
    }
    let mut y = first(lens.zero.1, lens.at.y, rect.top());
    while y < rect.bottom() {
        painter.hline(rect.x_range(), y, stroke);
        y += gap;
    }
}

/// A corner to be dragged, or moved with the arrow keys. Also whether it is being dragged.
fn corner(
    ui: &Ui,
    tokens: &Tokens,
    plan: &Plan<'_>,
    lens: &Lens,
    i: usize,
    point: Pos2,
) -> (Option<Change>, bool) {
    let Some(now) = plan.corners.get(i).copied() else { return (None, false) };
    let id = ui.scope_id().with(("corner", i));
    let handle = ui.interact(Rect::from_center_size(point, vec2(24.0, 24.0)), id, Sense::click_and_drag());
    let name = format!("Corner {}: {}, {}", i + 1, now.0, now.1);
    handle.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    let lit = handle.hovered() || handle.has_focus() || handle.dragged();
    let mark = Rect::from_center_size(point, Vec2::splat(if lit { 12.0 } else { 9.0 }));
    let stroke = Stroke::new(if lit { 2.0 } else { 1.5 }, tokens.accent);
    ui.painter().rect(mark, 2.0, tokens.card, stroke, StrokeKind::Inside);
    if lit {
        let text = format!("{}, {}", now.0.normalize(), now.1.normalize());
        label(ui.painter(), point + vec2(0.0, -16.0), &text, tokens.accent, tokens.card);
    }
    let fine = ui.input(|i| i.modifiers.shift);
    let step = step(plan.units, fine);
    let change = |to: Corner| (to != now).then_some(Change::Move(i, to));
    if handle.has_focus() {
        let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
        ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
        let held = if fine { Modifiers::SHIFT } else { Modifiers::NONE };
        let pressed = |key| ui.input_mut(|i| i.consume_key(held, key));
        let none = Decimal::ZERO;
        for (key, by) in [
            (Key::ArrowLeft, (-step, none)),
            (Key::ArrowRight, (step, none)),
            (Key::ArrowUp, (none, -step)),
            (Key::ArrowDown, (none, step)),
        ] {
            if pressed(key) {
                return (change((now.0 + by.0, now.1 + by.1)), false);
            }
        }
        if !plan.rectangle && plan.corners.len() > 3 && pressed(Key::Delete) {
            return (Some(Change::Remove(i)), false);
        }
    }
    let dragged = handle.dragged();
    let to = handle.interact_pointer_pos().filter(|_| dragged).and_then(|at| lens.floor(at, step));
    handle.on_hover_cursor(CursorIcon::Move);
    (to.and_then(change), dragged)
}

/// A small plus in the middle of a wall: a click puts a corner there.
fn between(
    ui: &Ui,
    tokens: &Tokens,
    plan: &Plan<'_>,
    lens: &Lens,
    points: &[Pos2],
    i: usize,
) -> Option<Change> {
    let next = (i + 1) % points.len();
    let (a, b) = (*points.get(i)?, *points.get(next)?);
    if a.distance(b) < 44.0 {
        return None;
    }
    let middle = a + (b - a) / 2.0;
    let id = ui.scope_id().with(("wall", i));
    let spot = ui.interact(Rect::from_center_size(middle, vec2(24.0, 24.0)), id, Sense::click());
    let name = format!("Add a corner between {} and {}", i + 1, next + 1);
    spot.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    let lit = spot.hovered() || spot.has_focus();
    let color = if lit { tokens.accent } else { tokens.muted };
    ui.painter().circle(middle, 6.0, tokens.card, Stroke::new(1.0, color));
    let plus = Stroke::new(1.3, color);
    ui.painter().line_segment([middle - vec2(3.0, 0.0), middle + vec2(3.0, 0.0)], plus);
    ui.painter().line_segment([middle - vec2(0.0, 3.0), middle + vec2(0.0, 3.0)], plus);
    let clicked = spot.on_hover_text("Add a corner here").clicked();
    let at = lens.floor(middle, step(plan.units, true)).filter(|_| clicked)?;
    Some(Change::Insert(i, at))
}

/// The length of each wall, outside of it.
fn lengths(painter: &Painter, plan: &Plan<'_>, points: &[Pos2], tokens: &Tokens) {
    let n = points.len();
    // Which way round the corners go says which side of a wall is outside.
    let turn: f32 = (0..n)
        .map(|i| {
            let (a, b) = (points[i], points[(i + 1) % n]);
            a.x * b.y - b.x * a.y
        })
        .sum();
    for i in 0..n {
        let (a, b) = (points[i], points[(i + 1) % n]);
        let (from, to) = (plan.corners[i], plan.corners[(i + 1) % n]);
        let length = float(to.0 - from.0).hypot(float(to.1 - from.1));
        if a.distance(b) < 26.0 {
            continue;
        }
        let along = (b - a).normalized();
        let out = if turn >= 0.0 { vec2(along.y, -along.x) } else { vec2(-along.y, along.x) };
        // Off the middle, where the plus is.
        let share = if plan.rectangle { 0.5 } else { 0.3 };
        // As far out as half of the words reach that way, and a little.
        let off = out.x.abs() * 20.0 + out.y.abs() * 7.0 + 6.0;
        let at = a + (b - a) * share + out * off;
        let text = Decimal::from_f64(length).map_or(String::new(), |d| d.round_dp(2).normalize().to_string());
        label(painter, at, &format!("{text} {}", unit(plan.units)), tokens.muted, tokens.work);
    }
}

fn label(painter: &Painter, center: Pos2, text: &str, color: Color32, ground: Color32) {
    let galley = painter.layout_no_wrap(text.to_owned(), theme::regular(type_size::SMALL), color);
    let rect = Align2::CENTER_CENTER.anchor_size(center, galley.size());
    // Never off the drawing; what is scrolled away has no words.
    let inside = painter.clip_rect().shrink(2.0);
    if !inside.contains(center) {
        return;
    }
    let shift = vec2(
        (inside.left() - rect.left()).max(0.0) + (inside.right() - rect.right()).min(0.0),
        (inside.top() - rect.top()).max(0.0) + (inside.bottom() - rect.bottom()).min(0.0),
    );
    let rect = rect.translate(shift);
    painter.rect_filled(rect.expand2(vec2(2.0, 0.0)), 2.0, ground);
    painter.galley(rect.min, galley, color);
}

/// Fills an outline of any simple shape.
pub fn fill(painter: &Painter, points: &[Pos2], color: Color32) {
    let mut mesh = Mesh::default();
    for point in points {
        mesh.colored_vertex(*point, color);
    }
    for [a, b, c] in triangles(points) {
        mesh.add_triangle(a as u32, b as u32, c as u32);
    }
    painter.add(Shape::mesh(mesh));
}

/// Triangles that make up a simple outline, by cutting off ears: corners whose triangle lies inside and holds no other
/// corner.
fn triangles(points: &[Pos2]) -> Vec<[usize; 3]> {
    let cross = |a: Pos2, b: Pos2, c: Pos2| (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
    let n = points.len();
    let around: f32 = (0..n).map(|i| cross(Pos2::ZERO, points[i], points[(i + 1) % n])).sum();
    let mut left: Vec<usize> = (0..n).collect();
    if around < 0.0 {
        left.reverse();
    }
    let mut made = Vec::with_capacity(n.saturating_sub(2));
    while left.len() > 3 {
        let count = left.len();
        let ear = (0..count).find(|i| {
            let corner = [left[(i + count - 1) % count], left[*i], left[(i + 1) % count]];
            let [a, b, c] = corner.map(|at| points[at]);
            let inside = |p: Pos2| {
                p != a
                    && p != b
                    && p != c
                    && cross(a, b, p) >= 0.0
                    && cross(b, c, p) >= 0.0
                    && cross(c, a, p) >= 0.0
            };
            cross(a, b, c) > 0.0 && !left.iter().any(|at| inside(points[*at]))
        });
        // Corners in one line have no ear of their own; any of them may go.
        let at = ear.unwrap_or(0);
        if ear.is_some() {
            made.push([left[(at + count - 1) % count], left[at], left[(at + 1) % count]]);
        }
        left.remove(at);
    }
    if let [a, b, c] = left[..] {
        made.push([a, b, c]);
    }
    made
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::pos2;

    fn area(points: &[Pos2]) -> f32 {
        let parts = triangles(points);
        let size = |[a, b, c]: [usize; 3]| {
            let (u, v) = (points[b] - points[a], points[c] - points[a]);
            (u.x * v.y - u.y * v.x).abs() / 2.0
        };
        parts.into_iter().map(size).sum()
    }

    /// Triangles cover the outline once: their areas add up to it, whichever way round its corners go.
    #[test]
    fn outlines_are_filled_whole() {
        let ell = [(0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (4.0, 4.0), (4.0, 12.0), (0.0, 12.0)];
        let comb = [
            (0.0, 0.0),
            (9.0, 0.0),
            (9.0, 5.0),
            (7.0, 5.0),
            (7.0, 2.0),
            (5.0, 2.0),
            (5.0, 5.0),
            (3.0, 5.0),
            (3.0, 2.0),
            (0.0, 2.0),
        ];
        let straight = [(0.0, 0.0), (5.0, 0.0), (10.0, 0.0), (10.0, 4.0), (0.0, 4.0)];
        for (outline, whole) in [(&ell[..], 72.0), (&comb[..], 30.0), (&straight[..], 40.0)] {
            let mut points: Vec<Pos2> = outline.iter().map(|(x, y)| pos2(*x, *y)).collect();
            assert!((area(&points) - whole).abs() < 1e-3, "{whole}: {}", area(&points));
            points.reverse();
            assert!((area(&points) - whole).abs() < 1e-3, "{whole} reversed");
        }
    }

    /// A place on the screen and back is the place, on a step, exactly.
    #[test]
    fn corners_snap_to_the_step() {
        let d = |text: &str| text.parse::<Decimal>().unwrap();
        let corners = [(d("-3"), d("2")), (d("9.5"), d("2")), (d("9.5"), d("12.25")), (d("-3"), d("12.25"))];
        let rect = Rect::from_min_size(pos2(40.0, 30.0), vec2(400.0, 300.0));
        let lens = Lens::over(&corners, rect);
        for corner in corners {
            let at = lens.screen(corner);
            assert!(rect.contains(at), "{at:?}");
            assert_eq!(lens.floor(at, d("0.25")), Some((corner.0.normalize(), corner.1.normalize())));
        }
        let near = lens.screen(corners[1]) + vec2(0.1 * lens.scale, -0.1 * lens.scale);
        assert_eq!(lens.floor(near, d("0.25")), Some((d("9.5"), d("2"))));
        assert_eq!(lens.floor(near, d("0.05")), Some((d("9.6"), d("1.9"))));
    }
}
