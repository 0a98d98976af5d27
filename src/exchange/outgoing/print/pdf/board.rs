//! Cards of a finish board on pages: side by side, as large as lets all of them stand on the page, where they can.

use super::flow::{Flow, Mark, Tone};
use crate::exchange::outgoing::print::{Board, BoardCard, BoardTile, Look};

/// Between cards.
const GAP: f32 = 12.0;
/// Between what is seen and what is said beside it.
const BESIDE: f32 = 7.0;
const TITLE: f32 = 8.6;
const TEXT: f32 = 7.6;
const LEADING: f32 = 1.24;
/// Side of the swatch of a finish.
const SWATCH: f32 = 7.0;
/// The ways to lay cards out, the largest first: how many side by side, and the side of a picture.
const SIZES: [(usize, f32); 4] = [(2, 92.0), (2, 70.0), (3, 54.0), (3, 40.0)];

/// A line of words on a card.
struct Line {
    text: String,
    size: f32,
    strong: bool,
    tone: Tone,
    /// A swatch stands before it.
    swatch: Option<crate::model::Rgb>,
}

impl Line {
    fn height(&self) -> f32 {
        self.size * LEADING
    }
}

struct Laid<'a> {
    title: Vec<Line>,
    tiles: Vec<(&'a BoardTile, f32, Vec<Line>)>,
}

impl Laid<'_> {
    fn height(&self) -> f32 {
        let title: f32 = self.title.iter().map(Line::height).sum();
        title + self.tiles.iter().map(|(_, side, lines)| tile_height(*side, lines)).sum::<f32>()
    }
}

fn tile_height(side: f32, lines: &[Line]) -> f32 {
    side.max(lines.iter().map(Line::height).sum::<f32>()) + 5.0
}

/// Lays them out from where the flow is.
pub fn lay_out(flow: &mut Flow<'_>, board: &Board) {
    let sized = |flow: &Flow<'_>, (columns, side): (usize, f32)| {
        let width = (flow.width() - GAP * (columns - 1) as f32) / columns as f32;
        let cards: Vec<Laid<'_>> = board.cards.iter().map(|card| laid(flow, card, width, side)).collect();
        let high = |row: &[Laid<'_>]| row.iter().map(Laid::height).fold(0.0, f32::max) + GAP;
        let all: f32 = cards.chunks(columns).map(high).sum();
        (columns, width, cards, all)
    };
    let mut picked = sized(flow, SIZES[0]);
    for size in SIZES.into_iter().skip(1) {
        if picked.3 <= flow.room() {
            break;
        }
        picked = sized(flow, size);
    }
    let (columns, width, cards, _) = picked;
    for row in cards.chunks(columns) {
        let high = row.iter().map(Laid::height).fold(0.0, f32::max);
        if high > flow.whole_page() {
            row.iter().for_each(|card| flowing(flow, card));
            continue;
        }
        flow.need(high);
        let top = flow.y;
        let mut deepest = top;
        for (at, card) in row.iter().enumerate() {
            let x = flow.left() + (width + GAP) * at as f32;
            let end = draw(flow, card, x, top);
            deepest = deepest.max(end);
        }
        flow.y = deepest + GAP;
    }
}

fn wrapped(flow: &Flow<'_>, text: &str, size: f32, strong: bool, tone: Tone, width: f32) -> Vec<Line> {
    if text.is_empty() {
        return Vec::new();
    }
    let lines = flow.faces.of(strong).wrap(text, size, width);
    lines.into_iter().map(|text| Line { text, size, strong, tone, swatch: None }).collect()
}

fn laid<'a>(flow: &Flow<'_>, card: &'a BoardCard, width: f32, side: f32) -> Laid<'a> {
    let mut title = wrapped(flow, &card.title, TITLE, true, Tone::Ink, width);
    title.extend(wrapped(flow, &card.state, TEXT, false, Tone::Muted, width));
    let side = if card.open { (side * 0.5).max(24.0) } else { side };
    let tiles = card.tiles.iter().map(|tile| {
        let room = width - side - BESIDE;
        let mut lines = wrapped(flow, &tile.name, TEXT, false, Tone::Ink, room);
        let indent = if tile.swatch.is_some() { SWATCH + 4.0 } else { 0.0 };
        let mut finish = wrapped(flow, &tile.finish, TEXT, false, Tone::Ink, room - indent);
        if let Some(first) = finish.first_mut() {
            first.swatch = tile.swatch;
        }
        lines.extend(finish);
        for more in &tile.more {
            lines.extend(wrapped(flow, more, TEXT, false, Tone::Muted, room));
        }
        if let Look::Missing(why) = &tile.look {
            lines.extend(wrapped(flow, why, TEXT, false, Tone::Muted, room));
        }
        (tile, side, lines)
    });
    Laid { title, tiles: tiles.collect() }
}

/// A card that no page has room for, line by line over as many as it takes.
fn flowing(flow: &mut Flow<'_>, card: &Laid<'_>) {
    let x = flow.left();
    for line in &card.title {
        flow.need(line.height());
        draw_line(flow, line, x, flow.y);
        flow.y += line.height();
    }
    for (tile, side, lines) in &card.tiles {
        flow.need(side + 4.0);
        let (page, top) = (flow.pages.len(), flow.y);
        draw_look(flow, &tile.look, x, top + 2.0, *side);
        for line in lines {
            flow.need(line.height());
            draw_line(flow, line, x + side + BESIDE, flow.y);
            flow.y += line.height();
        }
        if flow.pages.len() == page {
            flow.y = flow.y.max(top + side + 5.0);
        }
    }
    flow.space(GAP);
}

fn draw(flow: &mut Flow<'_>, card: &Laid<'_>, x: f32, top: f32) -> f32 {
    let mut y = top;
    for line in &card.title {
        draw_line(flow, line, x, y);
        y += line.height();
    }
    for (tile, side, lines) in &card.tiles {
        draw_look(flow, &tile.look, x, y + 2.0, *side);
        let mut down = y + 1.0;
        for line in lines {
            draw_line(flow, line, x + side + BESIDE, down);
            down += line.height();
        }
        y += tile_height(*side, lines);
    }
    y
}

fn draw_line(flow: &mut Flow<'_>, line: &Line, mut x: f32, y: f32) {
    if let Some(color) = line.swatch {
        flow.draw(Mark::Swatch { x, y: y + (line.height() - SWATCH) / 2.0, side: SWATCH, color });
        x += SWATCH + 4.0;
    }
    flow.draw(Mark::Text {
        x,
        y: y + line.size,
        size: line.size,
        strong: line.strong,
        tone: line.tone,
        text: line.text.clone(),
    });
}

fn draw_look(flow: &mut Flow<'_>, look: &Look, x: f32, y: f32, side: f32) {
    match look {
        Look::Picture(picture) => {
            let (wide, high) = (picture.width.max(1) as f32, picture.height.max(1) as f32);
            let scale = (side / wide).min(side / high);
            let (width, height) = (wide * scale, high * scale);
            let x = x + (side - width) / 2.0;
            flow.draw(Mark::Picture { x, y, width, height, picture: picture.clone() });
        }
        Look::Drawing(drawing) => flow.draw(Mark::Drawing { x, y, side, drawing: *drawing }),
        Look::Missing(_) => flow.draw(Mark::Frame { x, y, width: side, height: side }),
    }
}
