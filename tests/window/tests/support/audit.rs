//! What was drawn, measured: texts that are cut, that lie on each other or beyond the window, what a screen reader would
//! hear, and which color stands on which.
//!
//! Everything is read from the shapes and the nodes of a frame, and nothing from the code that drew it.

use super::label;
use egui::accesskit::Role;
use egui::epaint::{ClippedShape, Shape, TextShape};
use egui::{Color32, Rect, Vec2, pos2};
use egui_kittest::Harness;
use egui_kittest::kittest::NodeT as _;

/// A text as it was drawn.
#[derive(Debug, Clone)]
pub struct Text {
    /// Its words.
    pub words: String,
    /// Where its letters lie.
    pub ink: Rect,
    /// What of the window it may draw in.
    pub clip: Rect,
    /// Its color, and the size of its letters.
    pub color: Color32,
    /// Height of its font in points.
    pub size: f32,
    /// Its place among all shapes.
    place: usize,
}

/// A filled rectangle as it was drawn.
#[derive(Debug, Clone, Copy)]
pub struct Fill {
    /// What of it can be seen.
    pub rect: Rect,
    /// Its color.
    pub color: Color32,
    place: usize,
}

/// A mark as it was drawn: a line, a disc, a shape of its own.
#[derive(Debug, Clone, Copy)]
pub struct Mark {
    /// What of it can be seen.
    pub rect: Rect,
    /// Its color.
    pub color: Color32,
    /// Where it is seen against what lies beside it: any of these will do.
    at: [egui::Pos2; 3],
    place: usize,
}

/// What a frame draws.
#[derive(Debug, Default)]
pub struct Drawn {
    /// All texts.
    pub texts: Vec<Text>,
    /// All filled rectangles.
    pub fills: Vec<Fill>,
    /// All other shapes, and the edges of rectangles.
    pub marks: Vec<Mark>,
    places: usize,
}

/// A surface of so many points covers what lies under it on purpose: a window, a card, a list that drops down.
const SURFACE: Vec2 = Vec2::new(110.0, 44.0);

/// So does a strip that stays while rows go by under it. A button is lower or shorter than both.
const STRIP: Vec2 = Vec2::new(220.0, 20.0);

impl Drawn {
    /// Reads what the last frame drew.
    pub fn of<S>(harness: &Harness<'_, S>) -> Drawn {
        let mut drawn = Drawn::default();
        for ClippedShape { clip_rect, shape, .. } in &harness.output().shapes {
            drawn.add(*clip_rect, shape);
        }
        drawn
    }

    fn add(&mut self, clip: Rect, shape: &Shape) {
        self.places += 1;
        let place = self.places;
        match shape {
            Shape::Vec(inner) => inner.iter().for_each(|shape| self.add(clip, shape)),
            Shape::Text(text) => self.texts.extend(read_text(text, clip, place)),
            Shape::Rect(rect) => {
                let seen = rect.rect.intersect(clip);
                if seen.is_positive() && rect.fill.a() > 250 && rect.brush.is_none() {
                    self.fills.push(Fill { rect: seen, color: rect.fill, place });
                }
                let (own, edge) = (rect.rect, rect.stroke);
                // An edge is seen against what lies outside of it.
                let at =
                    [own.left_center() - Vec2::X * 1.5, own.right_center() + Vec2::X * 1.5, own.center_top()];
                self.mark(own, clip, edge.color, edge.width, at, place);
            }
            Shape::Circle(circle) => {
                let rect = Rect::from_center_size(circle.center, Vec2::splat(circle.radius * 2.0));
                let by_edge = circle.stroke.width > 0.0 && circle.stroke.color.a() > 0;
                let color = if by_edge { circle.stroke.color } else { circle.fill };
                self.mark(
                    rect,
                    clip,
                    color,
                    1.0,
                    [rect.center(), rect.left_top(), rect.right_bottom()],
                    place,
                );
            }
            Shape::LineSegment { points, stroke } => {
                let rect = Rect::from_two_pos(points[0], points[1]).expand(0.5);
                let at = [rect.center(), points[0], points[1]];
                self.mark(rect, clip, stroke.color, stroke.width, at, place);
            }
            Shape::Path(path) => {
                let rect = Rect::from_points(&path.points).expand(0.5);
                let edge = match path.stroke.color {
                    egui::epaint::ColorMode::Solid(color) if path.stroke.width > 0.0 => color,
                    _ => path.fill,
                };
                self.mark(
                    rect,
                    clip,
                    edge,
                    1.0,
                    [rect.center(), rect.left_top(), rect.right_bottom()],
                    place,
                );
            }
            _ => {}
        }
    }

    fn mark(
        &mut self,
        rect: Rect,
        clip: Rect,
        color: Color32,
        width: f32,
        at: [egui::Pos2; 3],
        place: usize,
    ) {
        let seen = rect.intersect(clip);
        if width > 0.0 && color.a() > 0 && seen.is_positive() {
            self.marks.push(Mark { rect: seen, color, at, place });
        }
    }

    /// Each mark with what it is seen best on: under its middle, or where it ends.
    pub fn mark_grounds(&self) -> Vec<(&Mark, Color32)> {
        let at = |mark: &Mark, at: egui::Pos2| {
            let below = self.fills.iter().filter(|f| f.place < mark.place && f.rect.contains(at));
            below.max_by_key(|f| f.place).map(|f| f.color)
        };
        let best = |mark: &Mark| {
            let grounds = mark.at.iter().filter_map(|point| at(mark, *point));
            grounds.max_by(|a, b| contrast(mark.color, *a).total_cmp(&contrast(mark.color, *b)))
        };
        self.marks.iter().filter_map(|mark| Some((mark, best(mark)?))).collect()
    }

    /// Texts of which something can be seen.
    pub fn seen(&self) -> Vec<&Text> {
        let covers = |text: &Text, fill: &Fill| {
            let is_at_least = |least: Vec2| fill.rect.width() >= least.x && fill.rect.height() >= least.y;
            fill.place > text.place
                && (is_at_least(SURFACE) || is_at_least(STRIP))
                && fill.rect.intersects(text.ink)
        };
        let is_seen = |text: &&Text| {
            text.ink.intersect(text.clip).is_positive() && !self.fills.iter().any(|fill| covers(text, fill))
        };
        self.texts.iter().filter(is_seen).collect()
    }

    /// What is wrong with texts in a window of a size. `fields` are those that are typed into, in which a long text goes
    /// on to the side and follows the cursor.
    pub fn faults(&self, window: Rect, fields: &[Rect]) -> Vec<String> {
        let mut texts = self.seen();
        texts.retain(|text| {
            let own = text.clip.intersect(window).shrink(2.0);
            !fields.iter().any(|field| field.contains_rect(own))
        });
        let mut faults = Vec::new();
        for text in &texts {
            let (ink, clip) = (text.ink, text.clip.intersect(window));
            let (left, right) = (clip.left() - ink.left(), ink.right() - clip.right());
            if left.max(right) > 1.5 {
                faults.push(format!("{:?} is cut by {:.0} points at {:?}", text.words, left.max(right), ink));
            }
        }
        for (i, a) in texts.iter().enumerate() {
            for b in &texts[i + 1..] {
                let both = a.ink.intersect(a.clip).intersect(b.ink.intersect(b.clip));
                if both.width() > 1.5 && both.height() > 2.5 {
                    faults.push(format!(
                        "{:?} lies on {:?} at {:?}; {:?} in {:?}, {:?} in {:?}",
                        b.words, a.words, both, b.ink, b.clip, a.ink, a.clip
                    ));
                }
            }
        }
        faults
    }

    /// What each text stands on: the last opaque fill under its middle.
    pub fn grounds(&self) -> Vec<(&Text, Color32)> {
        let under = |text: &Text| {
            let middle = text.ink.intersect(text.clip).center();
            let below = self.fills.iter().filter(|f| f.place < text.place && f.rect.contains(middle));
            below.max_by_key(|f| f.place).map(|f| f.color)
        };
        self.seen().into_iter().filter_map(|text| Some((text, under(text)?))).collect()
    }
}

/// Icons are drawn as letters of a font of their own, in the range that Unicode leaves free for such.
fn is_icon(words: &str) -> bool {
    words.chars().all(|c| ('\u{e000}'..='\u{f8ff}').contains(&c))
}

/// The lines of a text, each by itself: one that goes on in the next line covers nothing between.
fn read_text(text: &TextShape, clip: Rect, place: usize) -> Vec<Text> {
    if text.angle != 0.0 {
        return Vec::new();
    }
    let section = text.galley.job.sections.first();
    let own = section.map_or(text.fallback_color, |s| match s.format.color {
        Color32::PLACEHOLDER => text.fallback_color,
        color => color,
    });
    let color = text.override_text_color.unwrap_or(own).gamma_multiply(text.opacity_factor);
    let size = section.map_or(12.0, |s| s.format.font_id.size);
    let line = |row: &egui::epaint::text::PlacedRow| {
        let words = row.row.text();
        // Of the letters themselves; a line has room above and below them.
        let letters = row.row.visuals.mesh_bounds;
        let ink = letters.translate(row.pos.to_vec2() + text.pos.to_vec2());
        (!words.trim().is_empty() && letters.is_positive()).then_some(Text {
            words,
            ink,
            clip,
            color,
            size,
            place,
        })
    };
    text.galley.rows.iter().filter_map(line).collect()
}

/// A thing that can be worked with, as a screen reader and a pointer find it.
#[derive(Debug, Clone)]
pub struct Target {
    /// What it is.
    pub role: Role,
    /// What is said of it.
    pub name: Option<String>,
    /// Where it lies.
    pub rect: Rect,
    /// What tells it apart from all others.
    pub id: String,
}

/// Everything that takes the keyboard and is not disabled.
pub fn targets<S>(harness: &Harness<'_, S>) -> Vec<Target> {
    let mut found = Vec::new();
    for node in harness.root().children_recursive() {
        let inner = node.accesskit_node();
        if inner.is_hidden()
            || inner.is_disabled()
            || !inner.data().supports_action(egui::accesskit::Action::Focus)
        {
            continue;
        }
        let Some(bounds) = inner.bounding_box() else { continue };
        let scale = harness.ctx.pixels_per_point();
        let rect = Rect::from_min_max(
            pos2(bounds.x0 as f32, bounds.y0 as f32),
            pos2(bounds.x1 as f32, bounds.y1 as f32),
        );
        let rect = Rect::from_min_max(
            (rect.min.to_vec2() / scale).to_pos2(),
            (rect.max.to_vec2() / scale).to_pos2(),
        );
        let said = label(&node).or_else(|| inner.value()).filter(|name| !name.trim().is_empty());
        let role = inner.role();
        let id = format!("{:?}", inner.id());
        found.push(Target { role, name: said, rect, id });
    }
    found
}

/// Where things are drawn in the color of their finish: each has an outline that is seen, and fine lines that need not be,
/// which `tests/drawings.rs` holds.
pub fn drawings<S>(harness: &Harness<'_, S>) -> Vec<Rect> {
    let scale = harness.ctx.pixels_per_point();
    let drawn = harness.root().children_recursive().filter(|node| {
        let said = label(node);
        said.is_some_and(|said| said.starts_with("Drawing: "))
    });
    let rect = |node: egui_kittest::Node<'_>| {
        let bounds = node.accesskit_node().bounding_box()?;
        let dots = Rect::from_min_max(
            pos2(bounds.x0 as f32, bounds.y0 as f32),
            pos2(bounds.x1 as f32, bounds.y1 as f32),
        );
        Some(dots / scale)
    };
    drawn.filter_map(rect).collect()
}

/// Relative luminance as WCAG 2.2 defines it.
fn luminance(color: Color32) -> f64 {
    let channel = |c: u8| {
        let c = f64::from(c) / 255.0;
        if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * channel(color.r()) + 0.7152 * channel(color.g()) + 0.0722 * channel(color.b())
}

/// Contrast as WCAG 2.2 defines it, of a color that may let its ground through.
pub fn contrast(color: Color32, ground: Color32) -> f64 {
    let over =
        |c: u8, g: u8| (f32::from(c) + f32::from(g) * (1.0 - f32::from(color.a()) / 255.0)).min(255.0) as u8;
    #[expect(clippy::disallowed_methods, reason = "a color as it is seen, to be measured")]
    let seen = Color32::from_rgb(
        over(color.r(), ground.r()),
        over(color.g(), ground.g()),
        over(color.b(), ground.b()),
    );
    let (a, b) = (luminance(seen), luminance(ground));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// Whether a text is a picture: contrast is asked of it as of graphics.
pub fn is_picture(text: &Text) -> bool {
    is_icon(&text.words)
}
