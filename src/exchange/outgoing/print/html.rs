//! A paper as one HTML file that needs nothing else: no script, no picture and no font from elsewhere. It prints well,
//! and on a phone each line of a table becomes a small card.

use super::{
    Block, Board, BoardTile, ColumnKind, FloorPlan, Look, Paper, RowKind, Steps, Table, TableRow, svg, words,
};
use crate::exchange::picture::Picture;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use std::fmt::Write;

/// The look: black on white, one muted tone (contrast 5.9 to 1), no color that means anything.
const STYLE: &str = "\
:root{color-scheme:light}
*{box-sizing:border-box}
body{margin:0 auto;padding:2rem 1.5rem;max-width:76rem;background:#fff;color:#1b1f24;
font:15px/1.45 'IBM Plex Sans',system-ui,-apple-system,'Segoe UI',Roboto,sans-serif}
h1{font-size:1.7rem;margin:0 0 .2rem}
h2{font-size:1.15rem;margin:2rem 0 .4rem}
p{margin:.5rem 0;max-width:60rem}
p,td,th,dd,h1,h2{white-space:pre-line;overflow-wrap:anywhere}
nav ol{margin:.3rem 0 1rem;padding-left:1.4rem}
h2.chapter{font-size:1.4rem;margin-top:2.6rem;border-bottom:1.5px solid #1b1f24}
a{color:#0b57a4}
.note,.more,dt,.project{color:#57606a}
.note,.more{font-size:.86em}
.more{display:block}
dl{display:flex;flex-wrap:wrap;gap:.5rem 2rem;margin:1rem 0}
dt{font-size:.86em}
dd{margin:0;font-weight:600}
table{border-collapse:collapse;width:100%;margin:.6rem 0 1rem;font-size:.93em}
th{text-align:left;font-weight:600;border-bottom:1.5px solid #1b1f24;vertical-align:bottom}
th,td{padding:.35rem .6rem .35rem 0}
td{border-bottom:1px solid #d8dee4;vertical-align:top}
.n{text-align:right;font-variant-numeric:tabular-nums;white-space:nowrap}
.group td{font-weight:600;padding-top:1rem}
.sum td{font-weight:600;border-bottom:0;border-top:1px solid #1b1f24}
.sum+.sum td{border-top:0}
.frame{display:inline-block;width:3.2rem;height:2.2rem;border:1px solid #8c959f;border-radius:3px}
.picture{display:block;max-width:9rem;max-height:7rem;border-radius:3px}
.board{display:grid;grid-template-columns:repeat(auto-fill,minmax(16rem,1fr));gap:1.1rem 1.6rem;margin:.8rem 0 1.4rem}
.card h3{font-size:.95rem;margin:0 0 .2rem}
.tile{display:flex;gap:.7rem;margin:.35rem 0}
.tile .seen{flex:0 0 7rem}
.open .tile .seen{flex-basis:3.4rem}
.tile .picture,.drawing,.missing{width:100%;height:auto;max-height:7rem;object-fit:contain}
.missing{display:block;height:3rem;border:1px solid #8c959f;border-radius:3px}
.drawing{display:block}
.swatch{display:inline-block;width:.8em;height:.8em;margin-right:.4em;border:1px solid #57606a;border-radius:2px;print-color-adjust:exact}
.floor{display:flex;flex-wrap:wrap;gap:1rem 2rem;align-items:center}
.plan{flex:0 1 22rem;width:22rem;max-width:100%}
.floor dl{flex:1 1 16rem}
.page{break-before:page}
.steps .bar{width:45%}
.steps i{display:block;height:.8em;margin-top:.3em;background:#1b1f24}
.steps i.back{background:none;border:1.5px solid #57606a}
.calendar{display:block;width:100%;height:auto;margin:.8rem 0 1.4rem}
.lines span{display:block;height:1.9rem;border-bottom:1px solid #8c959f}
@media (max-width:40rem){
body{padding:1rem}
thead{position:absolute;clip-path:inset(50%)}
table,tbody,tr,td{display:block}
tr{border:1px solid #d8dee4;border-radius:6px;padding:.5rem .7rem;margin:.5rem 0}
tr.group{border:0;padding:0;margin-top:1rem}
td,.sum td{border:0;padding:.15rem 0}
td[data-t]:not(:empty){display:flex;justify-content:space-between;gap:1rem;text-align:right}
td[data-t]::before{content:attr(data-t);color:#57606a;text-align:left;flex:0 0 auto}
td:empty{display:none}
}
@media print{
body{padding:0;max-width:none;font-size:9.5pt}
thead{display:table-header-group}
tr,.lines,.card,.calendar{break-inside:avoid}
.calendar{max-height:165mm}
.board{grid-template-columns:repeat(3,1fr)}
.tile .seen{flex-basis:4.5rem}
.open .tile .seen{flex-basis:2.4rem}
h2,.group{break-after:avoid}
}
";

/// The paper as HTML.
pub fn html(paper: &Paper) -> String {
    let mut out = String::with_capacity(16 * 1024);
    let title = escape(&format!("{}: {}", paper.title, paper.project));
    let size = if paper.units == crate::model::Units::Us { "letter" } else { "A4" };
    let lie = if paper.wide { " landscape" } else { "" };
    let _ = write!(
        out,
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{title}</title>\n<style>\n{STYLE}@page{{size:{size}{lie};margin:14mm}}\n</style>\n</head>\n<body>\n"
    );
    let _ = writeln!(out, "<h1>{}</h1>", bdi(&paper.title));
    let as_of = words::date(paper.as_of);
    let _ = writeln!(out, "<p class=\"project\">{}, as of {as_of}</p>", bdi(&paper.project));
    if !paper.facts.is_empty() {
        out.push_str("<dl>");
        for (name, value) in &paper.facts {
            let _ = write!(out, "<div><dt>{}</dt><dd>{}</dd></div>", escape(name), bdi(value));
        }
        out.push_str("</dl>\n");
    }
    let long = write_contents(&mut out, paper);
    write_blocks(&mut out, &paper.blocks, long);
    out.push_str("</body>\n</html>\n");
    out
}

/// Blocks one below the other; headings of a long paper can be led to.
fn write_blocks(out: &mut String, blocks: &[Block], long: bool) {
    for (at, block) in blocks.iter().enumerate() {
        match block {
            Block::Chapter(text) => {
                let _ = writeln!(out, "<h2 class=\"chapter\" id=\"b{at}\">{}</h2>", bdi(text));
            }
            // Under chapters a heading is one step lower.
            Block::Heading(text) if long => drop(writeln!(out, "<h3 id=\"b{at}\">{}</h3>", bdi(text))),
            Block::Heading(text) => drop(writeln!(out, "<h2>{}</h2>", bdi(text))),
            Block::Text(text) => drop(writeln!(out, "<p>{}</p>", bdi(text))),
            Block::Note(text) => drop(writeln!(out, "<p class=\"note\">{}</p>", bdi(text))),
            Block::Table(table) => write_table(out, table),
            Block::Board(board) => write_board(out, board),
            Block::Plan(plan) => write_plan(out, plan),
            Block::Calendar(own) => out.push_str(&svg::calendar(own)),
            Block::Sheet(own) => {
                if at > 0 {
                    out.push_str("<div class=\"page\"></div>\n");
                }
                write_blocks(out, own, false);
            }
            Block::Steps(steps) => write_steps(out, steps),
            Block::Lines(caption, lines) => {
                let lines = "<span></span>".repeat(*lines as usize);
                let _ = writeln!(
                    out,
                    "<div class=\"lines\"><p class=\"note\">{}</p>{lines}</div>",
                    escape(caption)
                );
            }
        }
    }
}

/// What a paper with chapters holds, as links to them; whether there are any.
fn write_contents(out: &mut String, paper: &Paper) -> bool {
    if !paper.blocks.iter().any(|block| matches!(block, Block::Chapter(_))) {
        return false;
    }
    out.push_str("<nav aria-label=\"Contents\"><ol>\n");
    // Whether a chapter, and a list of the headings under it, are open.
    let (mut chapter, mut list) = (false, false);
    for (at, block) in paper.blocks.iter().enumerate() {
        let (text, below) = match block {
            Block::Chapter(text) => (text, false),
            Block::Heading(text) => (text, true),
            _ => continue,
        };
        if !below {
            out.push_str(match (list, chapter) {
                (true, _) => "</ol></li>\n",
                (false, true) => "</li>\n",
                (false, false) => "",
            });
            (chapter, list) = (true, false);
        } else if chapter && !list {
            out.push_str("<ol>\n");
            list = true;
        }
        let _ = write!(out, "<li><a href=\"#b{at}\">{}</a>", bdi(text));
        if below {
            out.push_str("</li>\n");
        }
    }
    out.push_str(match (list, chapter) {
        (true, _) => "</ol></li>\n",
        (false, true) => "</li>\n",
        (false, false) => "",
    });
    out.push_str("</ol></nav>\n");
    true
}

/// The bars stand beside the words; who cannot see them reads the same.
fn write_steps(out: &mut String, steps: &Steps) {
    out.push_str("<table class=\"steps\">\n<tbody>\n");
    for step in &steps.steps {
        let (a, b) = (steps.share(step.before) * 100.0, steps.share(step.before + step.by) * 100.0);
        let words = [step.words.as_str(), step.more.as_str()];
        let words: Vec<&str> = words.into_iter().filter(|w| !w.is_empty()).collect();
        let back = if step.by < 0 { " class=\"back\"" } else { "" };
        let _ = writeln!(
            out,
            "<tr><td>{}</td><td class=\"bar\"><i{back} style=\"margin-left:{:.2}%;width:{:.2}%\"></i></td><td>{}</td></tr>",
            bdi(&step.name),
            a.min(b),
            (a - b).abs(),
            bdi(&words.join(", "))
        );
    }
    out.push_str("</tbody>\n</table>\n");
}

fn write_board(out: &mut String, board: &Board) {
    out.push_str("<div class=\"board\">\n");
    for card in &board.cards {
        let open = if card.open { " open" } else { "" };
        let _ = write!(out, "<section class=\"card{open}\"><h3>{}</h3>", bdi(&card.title));
        if !card.state.is_empty() {
            let _ = write!(out, "<p class=\"note\">{}</p>", bdi(&card.state));
        }
        for tile in &card.tiles {
            write_tile(out, tile);
        }
        out.push_str("</section>\n");
    }
    out.push_str("</div>\n");
}

fn write_plan(out: &mut String, plan: &FloorPlan) {
    let told = format!("Plan of the floor with {} walls", plan.walls.len());
    let _ = write!(out, "<div class=\"floor\">{}<dl>", svg::plan(plan, &told));
    for (name, value) in &plan.measures {
        let _ = write!(out, "<div><dt>{}</dt><dd>{}</dd></div>", escape(name), bdi(value));
    }
    out.push_str("</dl></div>\n");
}

fn write_tile(out: &mut String, tile: &BoardTile) {
    out.push_str("<div class=\"tile\"><div class=\"seen\">");
    match &tile.look {
        Look::Picture(picture) => write_picture(out, picture),
        Look::Drawing(drawing) => out.push_str(&svg::drawing(drawing, &tile.told)),
        Look::Missing(_) => out.push_str("<span class=\"missing\"></span>"),
    }
    let _ = write!(out, "</div><div>{}", bdi(&tile.name));
    if !tile.finish.is_empty() {
        let swatch = tile.swatch.map_or(String::new(), |color| {
            format!("<span class=\"swatch\" style=\"background:{color}\"></span>")
        });
        let _ = write!(out, "<br>{swatch}{}", bdi(&tile.finish));
    }
    let why = match &tile.look {
        Look::Missing(why) => Some(why),
        Look::Picture(_) | Look::Drawing(_) => None,
    };
    for more in tile.more.iter().chain(why) {
        let _ = write!(out, "<span class=\"more\">{}</span>", bdi(more));
    }
    out.push_str("</div></div>");
}

fn write_picture(out: &mut String, shown: &Picture) {
    out.push_str(&picture(shown));
}

/// A picture within the page itself.
pub(in crate::exchange::outgoing) fn picture(picture: &Picture) -> String {
    let bytes = STANDARD.encode(&picture.jpeg);
    format!("<img class=\"picture\" alt=\"\" src=\"data:image/jpeg;base64,{bytes}\">")
}

fn class(kind: ColumnKind) -> &'static str {
    if kind == ColumnKind::Number { " class=\"n\"" } else { "" }
}

fn write_table(out: &mut String, table: &Table) {
    out.push_str("<table>\n<thead><tr>");
    for column in &table.columns {
        let _ = write!(out, "<th scope=\"col\"{}>{}</th>", class(column.kind), escape(&column.title));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for row in &table.rows {
        write_row(out, table, row);
    }
    out.push_str("</tbody>\n</table>\n");
}

fn write_row(out: &mut String, table: &Table, row: &TableRow) {
    match row.kind {
        RowKind::Group => {
            let title = row.cells.first().map_or(String::new(), |c| bdi(&c.text));
            let _ = writeln!(
                out,
                "<tr class=\"group\"><td colspan=\"{}\">{title}</td></tr>",
                table.columns.len()
            );
            return;
        }
        RowKind::Line => out.push_str("<tr>"),
        RowKind::Sum => out.push_str("<tr class=\"sum\">"),
    }
    for (column, cell) in table.columns.iter().zip(&row.cells) {
        let _ = write!(out, "<td{} data-t=\"{}\">", class(column.kind), escape(&column.title));
        match (&cell.picture, column.kind) {
            _ if row.kind != RowKind::Line => {}
            (Some(picture), ColumnKind::Frame | ColumnKind::Picture) => write_picture(out, picture),
            (None, ColumnKind::Frame) => out.push_str("<span class=\"frame\"></span>"),
            _ => {}
        }
        if !cell.text.is_empty() || !cell.more.is_empty() || !cell.link.is_empty() {
            // One child, so that the narrow layout keeps text and what is below it together.
            out.push_str("<div>");
            out.push_str(&bdi(&cell.text));
            if !cell.more.is_empty() {
                let _ = write!(out, "<span class=\"more\">{}</span>", bdi(&cell.more));
            }
            if !cell.link.is_empty() {
                let to = escape(&cell.link);
                let _ =
                    write!(out, "<span class=\"more\"><a href=\"{to}\" rel=\"noreferrer\">{to}</a></span>");
            }
            out.push_str("</div>");
        }
        out.push_str("</td>");
    }
    out.push_str("</tr>\n");
}

/// Text that may run from right to left and must not turn what stands beside it.
pub(in crate::exchange::outgoing) fn bdi(text: &str) -> String {
    if text.is_empty() { String::new() } else { format!("<bdi>{}</bdi>", escape(text)) }
}

/// Text as HTML may hold it, also between quotation marks. Characters that no HTML text may have become visible.
pub(in crate::exchange::outgoing) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\n' | '\t' => out.push(c),
            '\r' => out.push_str("&#13;"),
            c if c.is_control() => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exchange::outgoing::print::{Cell, TableColumn};

    #[test]
    fn nothing_from_outside_becomes_markup() {
        let nasty = "<script>alert(1)</script>\" onload='x' & \u{1}";
        let mut table = Table::new(vec![TableColumn::text(nasty, 1), TableColumn::frame("Tick", 1)]);
        table.rows.push(TableRow::group(nasty));
        table.rows.push(TableRow::line(vec![Cell::with(nasty, nasty), Cell::default()]));
        let paper = Paper {
            title: nasty.to_owned(),
            project: nasty.to_owned(),
            as_of: chrono::NaiveDate::from_ymd_opt(2026, 1, 5).unwrap(),
            facts: vec![(nasty.to_owned(), nasty.to_owned())],
            blocks: vec![
                Block::Heading(nasty.to_owned()),
                Block::Text(nasty.to_owned()),
                Block::Note(nasty.to_owned()),
                Block::Lines(nasty.to_owned(), 2),
                Block::Table(table),
            ],
            wide: false,
            units: crate::model::Units::Us,
        };
        let text = html(&paper);
        assert!(
            !text.contains("<script") && !text.contains("' onload") && !text.contains("\" onload"),
            "{text}"
        );
        assert!(!text.contains("http") && !text.contains("src="), "{text}");
        assert_eq!(text.matches("&lt;script&gt;").count(), 15);
        assert!(text.contains("\u{fffd}"));
    }
}
