//! Tables on pages: the header again on each, long texts over several lines, nothing clipped.

use super::flow::{Flow, Mark, Tone};
use crate::exchange::outgoing::print::words;
use crate::exchange::outgoing::print::{ColumnKind, RowKind, Table, TableRow};
use crate::exchange::picture::Picture;

const TEXT: f32 = 9.0;
const MORE: f32 = 7.6;
/// Line height as a multiple of the size.
const LEADING: f32 = 1.28;
/// Between two columns.
const GAP: f32 = 10.0;
/// Above and below the text of a row, and of one where room is short.
const PAD: f32 = 3.4;
const TIGHT_PAD: f32 = 1.3;
/// Height of an empty box.
const FRAME: f32 = 24.0;

/// Greatest height of a picture.
const PICTURE: f32 = 72.0;

fn pad(flow: &Flow<'_>) -> f32 {
    if flow.tight { TIGHT_PAD } else { PAD }
}

/// A line of text of a cell.
struct Line {
    text: String,
    size: f32,
    strong: bool,
    tone: Tone,
    /// The address it leads to; nothing when empty.
    link: String,
}

impl Line {
    fn height(&self) -> f32 {
        self.size * LEADING
    }
}

/// A column with its place.
struct Place {
    x: f32,
    width: f32,
    kind: ColumnKind,
}

/// Lays out a table from where the flow is.
pub fn lay_out(flow: &mut Flow<'_>, table: &Table) {
    let places = places(flow, table);
    let titles = titles(flow, table, &places);
    let head = height(&titles) + pad(flow);
    flow.need(head + 40.0);
    draw_head(flow, &places, &titles);
    let mut at = 0;
    while let Some(row) = table.rows.get(at) {
        let lines = lines(flow, row, &places);
        let mut keep = row_height(row, &lines, &places, pad(flow));
        // A title is kept with the row behind it, and the sums with each other.
        let behind = table.rows.get(at + 1);
        match row.kind {
            RowKind::Group => keep += 30.0,
            RowKind::Sum if at == 0 || table.rows[at - 1].kind != RowKind::Sum => {
                let sums = table.rows[at..].iter().take_while(|r| r.kind == RowKind::Sum).count();
                keep *= sums as f32;
            }
            RowKind::Line if behind.is_some_and(|r| r.kind == RowKind::Sum) => keep += 50.0,
            _ => {}
        }
        if flow.room() < keep && keep <= flow.whole_page() - head {
            flow.new_page();
            draw_head(flow, &places, &titles);
        }
        draw_row(flow, row, lines, &places, &titles);
        at += 1;
    }
}

/// Where the columns stand. Each has its share of the width, or what its widest figure or date asks for: neither is
/// broken as long as there is room for all of them.
fn places(flow: &Flow<'_>, table: &Table) -> Vec<Place> {
    let all: f32 = table.columns.iter().map(|c| f32::from(c.share)).sum::<f32>().max(1.0);
    let room = flow.width() - GAP * (table.columns.len().saturating_sub(1)) as f32;
    let shares: Vec<f32> = table.columns.iter().map(|c| room * f32::from(c.share) / all).collect();
    let mut x = flow.left();
    let mut places = Vec::with_capacity(table.columns.len());
    for (column, width) in table.columns.iter().zip(widths(&shares, &least(flow, table), room)) {
        places.push(Place { x, width, kind: column.kind });
        x += width + GAP;
    }
    places
}

/// What the figures and dates of each column ask for.
fn least(flow: &Flow<'_>, table: &Table) -> Vec<f32> {
    let mut least = vec![0.0_f32; table.columns.len()];
    for row in table.rows.iter().filter(|row| row.kind != RowKind::Group) {
        let strong = row.kind == RowKind::Sum;
        for ((cell, column), least) in row.cells.iter().zip(&table.columns).zip(&mut least) {
            for (text, size, strong) in [(&cell.text, TEXT, strong), (&cell.more, MORE, false)] {
                let held = words::with_whole_dates(text);
                let whole = held.split([' ', '\n']).filter(|word| {
                    column.kind == ColumnKind::Number && size == TEXT || words::let_go(word) != *word
                });
                *least = whole.map(|word| flow.faces.of(strong).width(word, size)).fold(*least, f32::max);
            }
        }
    }
    least
}

/// The shares, where some ask for more: the others give it off, each as it can. As they are where that is too much.
fn widths(shares: &[f32], least: &[f32], room: f32) -> Vec<f32> {
    let more: f32 = shares.iter().zip(least).map(|(share, least)| (least - share).max(0.0)).sum();
    let spare: f32 = shares.iter().zip(least).map(|(share, least)| (share - least).max(0.0)).sum();
    if more <= 0.0 || more > spare || least.iter().sum::<f32>() > room {
        return shares.to_vec();
    }
    let given = more / spare;
    let width =
        |(share, least): (&f32, &f32)| if least > share { *least } else { share - (share - least) * given };
    shares.iter().zip(least).map(width).collect()
}

fn titles(flow: &Flow<'_>, table: &Table, places: &[Place]) -> Vec<Vec<Line>> {
    let title = |(text, place): (&str, &Place)| wrapped(flow, text, MORE, true, Tone::Ink, place.width);
    table.columns.iter().map(|c| c.title.as_str()).zip(places).map(title).collect()
}

fn wrapped(flow: &Flow<'_>, text: &str, size: f32, strong: bool, tone: Tone, width: f32) -> Vec<Line> {
    if text.is_empty() {
        return Vec::new();
    }
    let lines = flow.faces.of(strong).wrap(&words::with_whole_dates(text), size, width);
    lines
        .into_iter()
        .map(|text| Line { text: words::let_go(&text), size, strong, tone, link: String::new() })
        .collect()
}

fn height(cells: &[Vec<Line>]) -> f32 {
    let of = |lines: &Vec<Line>| lines.iter().map(Line::height).sum::<f32>();
    cells.iter().map(of).fold(0.0, f32::max)
}

/// Whether boxes or pictures stand in a column.
fn shows(kind: ColumnKind) -> bool {
    matches!(kind, ColumnKind::Frame | ColumnKind::Picture)
}

fn has_frame(row: &TableRow, places: &[Place]) -> bool {
    row.kind == RowKind::Line && places.iter().any(|p| shows(p.kind))
}

/// Width and height of a picture in a column.
fn picture_size(picture: &Picture, place: &Place) -> (f32, f32) {
    let (width, height) = (picture.width.max(1) as f32, picture.height.max(1) as f32);
    let scale = (place.width / width).min(PICTURE / height);
    (width * scale, height * scale)
}

/// Height of the boxes of a row, with what stands in them; nothing without any.
fn box_height(row: &TableRow, places: &[Place]) -> f32 {
    if !has_frame(row, places) {
        return 0.0;
    }
    let pictures = row.cells.iter().zip(places).filter_map(|(cell, place)| {
        cell.picture.as_ref().map(|picture| picture_size(picture, place).1 + PAD)
    });
    pictures.fold(FRAME, f32::max)
}

fn row_height(row: &TableRow, lines: &[Vec<Line>], places: &[Place], pad: f32) -> f32 {
    let least = box_height(row, places);
    height(lines).max(least) + 2.0 * pad + if row.kind == RowKind::Group { 5.0 } else { 0.0 }
}

fn lines(flow: &Flow<'_>, row: &TableRow, places: &[Place]) -> Vec<Vec<Line>> {
    let strong = row.kind != RowKind::Line;
    if row.kind == RowKind::Group {
        let title = row.cells.first().map_or("", |c| c.text.as_str());
        return vec![wrapped(flow, title, TEXT, true, Tone::Ink, flow.width())];
    }
    row.cells
        .iter()
        .zip(places)
        .map(|(cell, place)| {
            let mut lines = wrapped(flow, &cell.text, TEXT, strong, Tone::Ink, place.width);
            lines.extend(wrapped(flow, &cell.more, MORE, false, Tone::Muted, place.width));
            let link = wrapped(flow, &cell.link, MORE, false, Tone::Muted, place.width);
            lines.extend(link.into_iter().map(|line| Line { link: cell.link.clone(), ..line }));
            lines
        })
        .collect()
}

fn draw_head(flow: &mut Flow<'_>, places: &[Place], titles: &[Vec<Line>]) {
    let tallest = height(titles);
    let top = flow.y;
    for (place, lines) in places.iter().zip(titles) {
        // Titles stand on the line below them.
        let own: f32 = lines.iter().map(Line::height).sum();
        let mut y = top + tallest - own;
        for line in lines {
            draw_line(flow, place, line, y);
            y += line.height();
        }
    }
    flow.y += tallest + pad(flow);
    let (x, length) = (flow.left(), flow.width());
    if tallest > 0.0 {
        flow.draw(Mark::Rule { x, y: flow.y, length, thickness: 0.9, tone: Tone::Ink });
    }
}

fn draw_line(flow: &mut Flow<'_>, place: &Place, line: &Line, y: f32) {
    let x = match place.kind {
        ColumnKind::Number => place.x + place.width - flow.faces.of(line.strong).width(&line.text, line.size),
        ColumnKind::Text | ColumnKind::Frame | ColumnKind::Picture => place.x,
    };
    if !line.link.is_empty() {
        let width = flow.faces.of(line.strong).width(&line.text, line.size);
        flow.draw(Mark::Link { x, y, width, height: line.height(), to: line.link.clone() });
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

/// Draws a row; one that is taller than a page goes on on the next.
fn draw_row(
    flow: &mut Flow<'_>,
    row: &TableRow,
    mut lines: Vec<Vec<Line>>,
    places: &[Place],
    titles: &[Vec<Line>],
) {
    if row.kind == RowKind::Group {
        flow.y += 5.0;
    }
    let mut boxes = box_height(row, places);
    if boxes > 0.0 && flow.room() >= boxes {
        for (cell, place) in row.cells.iter().zip(places).filter(|(_, p)| shows(p.kind)) {
            let (x, y) = (place.x, flow.y + pad(flow));
            match &cell.picture {
                Some(picture) => {
                    let (width, height) = picture_size(picture, place);
                    flow.draw(Mark::Picture { x, y, width, height, picture: picture.clone() });
                }
                None if place.kind == ColumnKind::Picture => {}
                None => {
                    flow.draw(Mark::Frame { x, y, width: place.width.min(46.0), height: FRAME - PAD });
                }
            }
        }
    }
    loop {
        let fresh = flow.at_top();
        let top = flow.y + pad(flow);
        let most = flow.room() - 2.0 * pad(flow);
        let mut deepest: f32 = boxes;
        let mut drawn = false;
        for (at, cell) in lines.iter_mut().enumerate() {
            let Some(place) = places.get(at) else { continue };
            let mut used = 0.0;
            let fit = cell
                .iter()
                .take_while(|line| {
                    used += line.height();
                    used <= most
                })
                .count();
            let mut y = top;
            for line in cell.drain(..fit) {
                draw_line(flow, place, &line, y);
                y += line.height();
                drawn = true;
            }
            deepest = deepest.max(y - top);
        }
        flow.y = top + deepest + pad(flow);
        boxes = 0.0;
        if lines.iter().all(Vec::is_empty) {
            break;
        }
        // On an empty page at least one line always fits.
        if !drawn && fresh {
            break;
        }
        flow.new_page();
        draw_head(flow, places, titles);
    }
    let (x, length) = (flow.left(), flow.width());
    let (thickness, tone) = match row.kind {
        RowKind::Line => (0.4, Tone::Line),
        RowKind::Group => (0.0, Tone::Line),
        RowKind::Sum => (0.0, Tone::Ink),
    };
    if thickness > 0.0 {
        flow.draw(Mark::Rule { x, y: flow.y, length, thickness, tone });
    }
}
