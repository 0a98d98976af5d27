//! A paper as PDF: pages with the program's own fonts in them, as far as they are used, and text that can be searched
//! and copied.
//!
//! Limitation: letters the fonts do not have (they hold Latin, Greek and Cyrillic) are drawn as a sign that stands
//! for a missing letter, and a note says so; the text behind the sign is the right one.

mod board;
mod calendar;
mod drawing;
mod flow;
mod font;
mod plan;
mod steps;
mod table;

use super::{Paper, svg};
use chrono::Datelike;
pub use flow::{Mark, Tone};
use font::Faces;
use krilla::action::{Action, LinkAction};
use krilla::annotation::{Annotation, LinkAnnotation, Target};
use krilla::destination::XyzDestination;
use krilla::geom::{PathBuilder, Point, Rect, Size, Transform};
use krilla::image::Image;
use krilla::metadata::{DateTime, Metadata};
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::Fill;
use krilla::surface::Surface;
use krilla::{Document, SerializeSettings};

/// A paper laid out on its pages: what PDF is written from, and what the window shows before.
#[derive(Debug, Clone, PartialEq)]
pub struct Pages {
    /// Width and height of each, in points.
    pub size: (f32, f32),
    /// What is drawn on each, the first things behind.
    pub pages: Vec<Vec<Mark>>,
}

/// Lays a paper out.
///
/// # Errors
/// That the fonts of the program cannot be read, which is not known to happen.
pub fn laid_out(paper: &Paper) -> Result<Pages, String> {
    let faces = Faces::new().ok_or(NO_FONTS)?;
    Ok(Pages { size: flow::page_size(paper), pages: flow::lay_out(paper, &faces) })
}

const NO_FONTS: &str = "the fonts of the program cannot be read";

/// The paper as PDF.
///
/// # Errors
/// What the writer of PDF says, in words.
pub fn pdf(paper: &Paper) -> Result<Vec<u8>, String> {
    let faces = Faces::new().ok_or(NO_FONTS)?;
    let pages = flow::lay_out(paper, &faces);
    let (width, height) = flow::page_size(paper);
    let mut document = Document::new_with(SerializeSettings::default());
    for marks in &pages {
        let settings = PageSettings::from_wh(width, height).ok_or("the page has no size")?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        for mark in marks {
            draw(&mut surface, mark, &faces);
        }
        surface.finish();
        marks.iter().filter_map(leads_to).for_each(|link| page.add_annotation(link));
        page.finish();
    }
    document.set_outline(outline(&pages));
    document.set_metadata(metadata(paper));
    document.finish().map_err(|why| format!("{why:?}"))
}

/// The list of contents that viewers show beside the pages: chapters with the headings under them.
fn outline(pages: &[Vec<Mark>]) -> Outline {
    let mut outline = Outline::new();
    let mut chapter: Option<OutlineNode> = None;
    for (page, marks) in pages.iter().enumerate() {
        for mark in marks {
            let Mark::Bookmark { y, title, below } = mark else { continue };
            let node = OutlineNode::new(title.clone(), XyzDestination::new(page, Point::from_xy(0.0, *y)));
            match &mut chapter {
                Some(open) if *below => open.push_child(node),
                None if *below => outline.push_child(node),
                _ => chapter.replace(node).into_iter().for_each(|done| outline.push_child(done)),
            }
        }
    }
    chapter.into_iter().for_each(|done| outline.push_child(done));
    outline
}

/// What a link of a page leads to.
fn leads_to(mark: &Mark) -> Option<Annotation> {
    let Mark::Link { x, y, width, height, to } = mark else { return None };
    let target = Target::Action(Action::Link(LinkAction::new(to.clone())));
    let link = LinkAnnotation::new(Rect::from_xywh(*x, *y, *width, *height)?, target);
    Some(Annotation::new_link(link, None))
}

fn metadata(paper: &Paper) -> Metadata {
    let part = |n: u32| u8::try_from(n).unwrap_or(1);
    let day = DateTime::new(u16::try_from(paper.as_of.year()).unwrap_or(0))
        .month(part(paper.as_of.month()))
        .day(part(paper.as_of.day()));
    Metadata::new()
        .title(format!("{}: {}", paper.title, paper.project))
        .language("en".to_owned())
        .creator("Needline".to_owned())
        // The day the paper is for, not that of the clock: the same paper is the same file.
        .creation_date(day)
}

fn fill(tone: Tone) -> Fill {
    drawing::filled(tone.color())
}

fn draw(surface: &mut Surface<'_>, mark: &Mark, faces: &Faces) {
    match mark {
        Mark::Text { x, y, size, strong, tone, text } => {
            let face = faces.of(*strong);
            let glyphs = face.glyphs(text);
            if glyphs.is_empty() {
                return;
            }
            surface.set_stroke(None);
            surface.set_fill(Some(fill(*tone)));
            surface.draw_glyphs(Point::from_xy(*x, *y), &glyphs, face.font.clone(), text, *size, false);
        }
        Mark::Rule { x, y, length, thickness, tone } => {
            let mut path = PathBuilder::new();
            if let Some(rect) = Rect::from_xywh(*x, *y - thickness / 2.0, *length, *thickness) {
                path.push_rect(rect);
            }
            surface.set_stroke(None);
            surface.set_fill(Some(fill(*tone)));
            path.finish().iter().for_each(|path| surface.draw_path(path));
        }
        Mark::Picture { x, y, width, height, picture } => {
            // What cannot be set leaves its place empty; the bytes were made here, so that is no case of daily life.
            let image = Image::from_jpeg(picture.jpeg.to_vec().into(), true);
            if let (Ok(image), Some(size)) = (image, Size::from_wh(*width, *height)) {
                surface.push_transform(&Transform::from_translate(*x, *y));
                surface.draw_image(image, size);
                surface.pop();
            }
        }
        Mark::Drawing { x, y, side, drawing } => drawing::draw(surface, drawing, [*x, *y], *side),
        Mark::Swatch { x, y, side, color } => {
            let mut path = PathBuilder::new();
            if let Some(rect) = Rect::from_xywh(*x, *y, *side, *side) {
                path.push_rect(rect);
            }
            surface.set_fill(Some(drawing::filled(*color)));
            surface.set_stroke(Some(drawing::stroked(svg::EDGE, 0.6)));
            path.finish().iter().for_each(|path| surface.draw_path(path));
            surface.set_stroke(None);
        }
        Mark::Outline { points } => {
            surface.set_fill(Some(drawing::filled(svg::FLOOR)));
            surface.set_stroke(Some(drawing::stroked(svg::EDGE, 1.6)));
            drawing::path(points.iter().copied(), true).iter().for_each(|path| surface.draw_path(path));
            surface.set_stroke(None);
        }
        // They are no ink, and written with the page.
        Mark::Bookmark { .. } | Mark::Link { .. } => {}
        Mark::Frame { x, y, width, height } => {
            let mut path = PathBuilder::new();
            if let Some(rect) = Rect::from_xywh(*x, *y, *width, *height) {
                path.push_rect(rect);
            }
            surface.set_fill(None);
            surface.set_stroke(Some(drawing::stroked(svg::BOX, 0.7)));
            path.finish().iter().for_each(|path| surface.draw_path(path));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exchange::outgoing::print::{Block, Cell, Table, TableColumn, TableRow};
    use crate::model::Units;

    fn paper(rows: usize, long: usize) -> Paper {
        let columns = vec![
            TableColumn::text("Part", 3),
            TableColumn::number("Amount", 1),
            TableColumn::frame("Tick", 1),
        ];
        let mut table = Table::new(columns);
        table.rows.push(TableRow::group("A group"));
        for i in 0..rows {
            let name = format!("Line {i} {}", "long name ".repeat(long));
            table.rows.push(TableRow::line(vec![
                Cell::with(name, "more"),
                Cell::new("1,234.50"),
                Cell::default(),
            ]));
        }
        table.rows.push(TableRow::sum(vec![Cell::new("Total"), Cell::new("1"), Cell::default()]));
        Paper {
            title: "List".to_owned(),
            project: "House \u{5e9}\u{5dc}\u{5d5}\u{5dd}".to_owned(),
            as_of: chrono::NaiveDate::from_ymd_opt(2026, 1, 5).unwrap(),
            facts: vec![("Supplier".to_owned(), "x".repeat(400))],
            blocks: vec![
                Block::Heading("Heading".to_owned()),
                Block::Table(table),
                Block::Lines("Notes".to_owned(), 5),
            ],
            wide: false,
            units: Units::Us,
        }
    }

    #[test]
    fn everything_is_on_a_page_and_headers_come_again() {
        let faces = Faces::new().unwrap();
        for (rows, long) in [(0, 1), (200, 1), (40, 30), (2, 3000)] {
            let paper = paper(rows, long);
            let (width, height) = flow::page_size(&paper);
            let pages = flow::lay_out(&paper, &faces);
            let (mut heads, mut words) = (0, 0);
            for (at, page) in pages.iter().enumerate() {
                let foot = format!("Page {} of {}", at + 1, pages.len());
                let mut footed = false;
                for mark in page {
                    let Mark::Text { x, y, size, strong, text, .. } = mark else { continue };
                    let right = x + faces.of(*strong).width(text, *size);
                    assert!(*x >= 40.0 && right <= width - 40.0, "{text} {x} {right}");
                    assert!(*y >= 40.0 && *y <= height - 30.0, "{text} {y}");
                    footed |= *text == foot;
                    heads += usize::from(text == "Amount");
                    words += text.matches("long").count();
                }
                assert!(footed);
            }
            assert_eq!(words, rows * long, "nothing may be dropped");
            assert!(heads >= pages.len() - 1, "{heads} on {} pages", pages.len());
            assert!(pdf(&paper).unwrap().starts_with(b"%PDF-"));
        }
    }

    #[test]
    fn the_same_paper_is_the_same_file() {
        assert_eq!(pdf(&paper(3, 2)).unwrap(), pdf(&paper(3, 2)).unwrap());
    }
}
