//! Drawings within HTML: vector pictures that need nothing else.

use super::FloorPlan;
use super::calendar::Calendar;
use super::calendar_pieces::{Piece, Shade};
use super::html::escape;
use super::pdf::Tone;
use super::plan_lines::{Fitted, fitted};
use crate::exchange::drawing::traced;
use crate::model::drawing::{Drawing, Form, GRID, Line, Shape};
use crate::model::look::Rgb;
use std::fmt::Write;

/// The ink of outlines: the muted ink of papers, 5.9 to 1 on white.
pub const EDGE: Rgb = Rgb(0x57, 0x60, 0x6a);
/// The sides of an empty box.
pub const BOX: Rgb = Rgb(0x8c, 0x95, 0x9f);
/// The floor of a plan.
pub const FLOOR: Rgb = Rgb(0xee, 0xf1, 0xf3);
/// Width of an outline in steps of the grid.
const STRONG: i16 = 26;
const FINE: i16 = 15;

/// The drawing of an option; `told` says what it shows.
pub fn drawing(drawing: &Drawing, told: &str) -> String {
    let mut out = String::with_capacity(2048);
    let _ = write!(
        out,
        "<svg class=\"drawing\" viewBox=\"0 0 {GRID} {GRID}\" role=\"img\" aria-label=\"{}\">",
        escape(told)
    );
    for shape in drawing.shapes() {
        write_shape(&mut out, drawing, shape);
    }
    out.push_str("</svg>");
    out
}

/// The floor of a room.
pub fn plan(plan: &FloorPlan, told: &str) -> String {
    let (wide, high) = (300.0, 210.0);
    let Some(Fitted { points, labels }) = fitted(plan, [0.0, 0.0], [wide, high], 10.0) else {
        return String::new();
    };
    let told = escape(told);
    let mut out = format!(
        "<svg class=\"plan\" viewBox=\"0 0 {wide} {high}\" role=\"img\" aria-label=\"{told}\"><polygon points=\""
    );
    for [x, y] in points {
        let _ = write!(out, "{x:.1},{y:.1} ");
    }
    let _ =
        write!(out, "\" fill=\"{FLOOR}\" stroke=\"{EDGE}\" stroke-width=\"2\" stroke-linejoin=\"round\"/>");
    for ([x, y], text) in labels {
        let _ = write!(
            out,
            "<text x=\"{x:.1}\" y=\"{:.1}\" font-size=\"10\" text-anchor=\"middle\">{}</text>",
            y + 3.5,
            escape(&text)
        );
    }
    out.push_str("</svg>");
    out
}

/// Phases on a calendar. Each row says its days where it is pointed at; who cannot see it hears what there is.
pub fn calendar(calendar: &Calendar) -> String {
    // Letters of any font are about so wide.
    let wide = |words: &str, size: f32, strong: bool| {
        words.chars().count() as f32 * size * if strong { 0.58 } else { 0.54 }
    };
    let width = 1040.0;
    let laid = calendar.laid_out([0.0, 0.0], [width, calendar.heights().0], &wide);
    let mut out = format!(
        "<svg class=\"calendar\" viewBox=\"0 0 {width} {:.0}\" role=\"img\" aria-label=\"{}\">",
        laid.height + 4.0,
        escape(&calendar.told)
    );
    laid.behind.iter().for_each(|piece| write_piece(&mut out, piece));
    for (row, pieces) in calendar.rows.iter().zip(&laid.rows) {
        let _ = write!(out, "<g><title>{}</title>", escape(&row.told()));
        pieces.iter().for_each(|piece| write_piece(&mut out, piece));
        out.push_str("</g>");
    }
    laid.before.iter().for_each(|piece| write_piece(&mut out, piece));
    out.push_str("</svg>\n");
    out
}

fn write_piece(out: &mut String, piece: &Piece) {
    let _ = match piece {
        Piece::Words { at: [x, y], size, strong, muted, words } => {
            let weight = if *strong { " font-weight=\"600\"" } else { "" };
            let ink = if *muted { Tone::Muted } else { Tone::Ink }.color();
            write!(
                out,
                "<text x=\"{x:.1}\" y=\"{y:.1}\" font-size=\"{size:.1}\" fill=\"{ink}\"{weight}>{}</text>",
                escape(words)
            )
        }
        Piece::Fill([x, y, width, height], shade) => {
            let ink = match shade {
                Shade::Ink => Tone::Ink,
                Shade::Muted => Tone::Muted,
                Shade::Line => Tone::Line,
            };
            write!(
                out,
                "<rect x=\"{x:.2}\" y=\"{y:.2}\" width=\"{width:.2}\" height=\"{height:.2}\" fill=\"{}\"/>",
                ink.color()
            )
        }
        Piece::Frame([x, y, width, height]) => write!(
            out,
            "<rect x=\"{x:.2}\" y=\"{y:.2}\" width=\"{width:.2}\" height=\"{height:.2}\" fill=\"none\" stroke=\"{EDGE}\"/>"
        ),
        Piece::Outline(points) => {
            let points: Vec<String> = points.iter().map(|[x, y]| format!("{x:.2},{y:.2}")).collect();
            write!(out, "<polygon points=\"{}\" fill=\"{FLOOR}\" stroke=\"{EDGE}\"/>", points.join(" "))
        }
    };
}

fn write_shape(out: &mut String, drawing: &Drawing, shape: &Shape) {
    let fill = shape.fill.map_or("none".to_owned(), |tone| drawing.tone(tone).to_string());
    let stroke = match shape.line {
        Line::None => String::new(),
        Line::Edge => format!(" stroke=\"{EDGE}\" stroke-width=\"{STRONG}\""),
        Line::Fine => format!(" stroke=\"{}\" stroke-width=\"{FINE}\"", drawing.fine(shape.fill)),
    };
    let points = |out: &mut String| {
        for [x, y] in traced(&shape.form).points {
            let _ = write!(out, "{:.0},{:.0} ", x * f32::from(GRID), y * f32::from(GRID));
        }
    };
    let joined = "stroke-linecap=\"round\" stroke-linejoin=\"round\"";
    match &shape.form {
        Form::Box { at: (x, y), size: (wide, high), round } => {
            let _ = write!(
                out,
                "<rect x=\"{x}\" y=\"{y}\" width=\"{wide}\" height=\"{high}\" rx=\"{round}\" fill=\"{fill}\"{stroke}/>"
            );
        }
        Form::Oval { at: (x, y), radius: (wide, high) } => {
            let _ = write!(
                out,
                "<ellipse cx=\"{x}\" cy=\"{y}\" rx=\"{wide}\" ry=\"{high}\" fill=\"{fill}\"{stroke}/>"
            );
        }
        Form::Outline(_) => {
            out.push_str("<polygon points=\"");
            points(out);
            let _ = write!(out, "\" fill=\"{fill}\"{stroke} stroke-linejoin=\"round\"/>");
        }
        Form::Tube(_, width) => {
            // The outline of a bar is a wider bar behind it.
            let behind = (shape.line == Line::Edge).then(|| (EDGE.to_string(), width + STRONG));
            for (color, width) in behind.into_iter().chain([(fill.clone(), width - STRONG / 2)]) {
                out.push_str("<polyline points=\"");
                points(out);
                let _ = write!(
                    out,
                    "\" fill=\"none\" stroke=\"{color}\" stroke-width=\"{}\" {joined}/>",
                    width.max(8)
                );
            }
        }
        Form::Line(_) => {
            out.push_str("<polyline points=\"");
            points(out);
            let _ = write!(out, "\" fill=\"none\"{stroke} {joined}/>");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::drawing::Thing;

    /// What is written is well formed, and nothing from outside becomes markup.
    #[test]
    fn drawings_are_well_formed() {
        for thing in Thing::all() {
            let own = Drawing { thing, color: None, second: None };
            let text = drawing(&own, "\"><script>&");
            let mut reader = quick_xml_free(&text);
            assert!(reader.next().is_some_and(|tag| tag.starts_with("svg ")), "{text}");
            assert_eq!(
                reader.filter(|tag| !tag.starts_with('/') && !tag.ends_with('/')).count(),
                0,
                "{text}"
            );
            assert!(!text.contains("<script"), "{text}");
            assert!(text.matches("<").count() > thing.shapes().len(), "{text}");
        }
    }

    /// The tags of a text, without their brackets.
    fn quick_xml_free(text: &str) -> impl Iterator<Item = &str> {
        text.split('<').skip(1).map(|tag| tag.split('>').next().unwrap_or_default())
    }
}
