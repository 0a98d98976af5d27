//! The page as HTML: one column that reads at 360 points of width without a move to the side.

use super::{Card, Page, Section, Standing, need_line};
use crate::exchange::outgoing::print::html::{bdi, escape, picture};
use crate::exchange::outgoing::print::words::date;
use crate::exchange::outgoing::print::{Look, svg};
use crate::exchange::outgoing::week::dialed;
use std::fmt::Write;

/// The look: text at least 4.5 to 1 on its ground, light and dark; what is tapped at least 48 pixels high.
const STYLE: &str = "\
:root{color-scheme:light dark;--ground:#fff;--card:#f6f8fa;--ink:#1b1f24;--dim:#57606a;--line:#d0d7de;--good:#0b6b4f;--bad:#a3301a}
@media (prefers-color-scheme:dark){:root{--ground:#16191d;--card:#21262c;--ink:#e8ebee;--dim:#a4adb6;--line:#3d444d;--good:#6fd3b0;--bad:#ff9d85}}
*{box-sizing:border-box}
body{margin:0 auto;padding:1rem;max-width:40rem;background:var(--ground);color:var(--ink);
font:17px/1.42 system-ui,-apple-system,'Segoe UI',Roboto,sans-serif;overflow-wrap:anywhere}
h1{font-size:1.4rem;line-height:1.25;margin:0}
h2{font-size:1.12rem;margin:1.8rem 0 .3rem}
h3{font-size:1rem;margin:0}
p{margin:.3rem 0}
.dim,dt{color:var(--dim);font-size:.94rem}
article{background:var(--card);border:1px solid var(--line);border-radius:12px;margin:.6rem 0;padding:.75rem .85rem}
.top{display:flex;gap:.8rem;align-items:flex-start}
.look{flex:0 0 5.6rem;background:#fff;border-radius:8px;padding:.25rem;color:#1b1f24}
.look svg,.look img{display:block;width:100%;height:auto;max-height:6.5rem;object-fit:contain}
dl{margin:.5rem 0 0}
dl div{display:flex;justify-content:space-between;gap:1rem;padding:.18rem 0;border-top:1px solid var(--line)}
dt{flex:0 0 auto;max-width:48%}
dd{margin:0;text-align:right;font-weight:600;font-variant-numeric:tabular-nums}
.strip{display:block;width:100%;height:auto;margin-top:.55rem}
.strip .in{fill:var(--good)}
.strip .late{fill:var(--bad)}
.strip .typical{fill:none;stroke:var(--dim);stroke-width:1.5;stroke-dasharray:4 3}
.strip .over{fill:none;stroke:var(--bad);stroke-width:1.5}
.strip .need{stroke:var(--ink);stroke-width:2;fill:var(--ink)}
.state{margin:.45rem 0 0;font-weight:600}
.good{color:var(--good)}
.bad{color:var(--bad)}
a{display:flex;align-items:center;justify-content:center;min-height:48px;margin-top:1rem;padding:0 .9rem;border:1px solid var(--line);
border-radius:10px;background:var(--card);color:var(--ink);font-weight:600;text-decoration:none}
a:focus-visible{outline:3px solid #0072b2;outline-offset:2px}
footer{margin-top:1.6rem}
@media print{article{break-inside:avoid}}
";

/// The page.
pub fn html(page: &Page) -> String {
    let mut out = String::with_capacity(16 * 1024);
    let title = escape(&format!("{}: {}", page.title, page.project));
    let _ = write!(
        out,
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"format-detection\" content=\"telephone=no\">\n\
         <title>{title}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n<main>\n"
    );
    let as_of = date(page.as_of);
    let _ = write!(
        out,
        "<h1>{}</h1>\n<p class=\"dim\">{}, as of {as_of}</p>\n",
        bdi(&page.title),
        bdi(&page.project)
    );
    for text in &page.lead {
        let _ = writeln!(out, "<p>{}</p>", bdi(text));
    }
    let number = dialed(&page.phone);
    page.sections.iter().for_each(|section| write_section(&mut out, section, number.as_deref()));
    out.push_str("</main>\n<footer>\n");
    for text in &page.notes {
        let _ = writeln!(out, "<p class=\"dim\">{}</p>", bdi(text));
    }
    if let Some(number) = number {
        let _ = writeln!(out, "<a href=\"tel:{number}\">Call back: {}</a>", escape(&page.phone));
    }
    out.push_str("</footer>\n</body>\n</html>\n");
    out
}

fn write_section(out: &mut String, section: &Section, number: Option<&str>) {
    let _ = writeln!(out, "<section>\n<h2>{}</h2>", bdi(&section.title));
    for text in &section.lead {
        let _ = writeln!(out, "<p class=\"dim\">{}</p>", bdi(text));
    }
    section.cards.iter().for_each(|card| write_card(out, card, number));
    out.push_str("</section>\n");
}

fn write_card(out: &mut String, card: &Card, number: Option<&str>) {
    out.push_str("<article>\n<div class=\"top\">");
    match &card.look {
        Some((Look::Picture(shown), _)) => {
            let _ = write!(out, "<div class=\"look\">{}</div>", picture(shown));
        }
        Some((Look::Drawing(drawing), told)) => {
            let _ = write!(out, "<div class=\"look\">{}</div>", svg::drawing(drawing, told));
        }
        Some((Look::Missing(_), _)) | None => {}
    }
    let _ = write!(out, "<div><h3>{}</h3>", bdi(&card.title));
    if !card.more.is_empty() {
        let _ = write!(out, "<p class=\"dim\">{}</p>", bdi(&card.more));
    }
    out.push_str("</div></div>\n");
    let (standing, state) = &card.state;
    if let Some(strip) = &card.strip {
        out.push_str(&need_line::svg(strip, &escape(state)));
    }
    if !state.is_empty() {
        let class = match standing {
            Standing::Good => " good",
            Standing::Bad => " bad",
            Standing::Plain => "",
        };
        let _ = writeln!(out, "<p class=\"state{class}\">{}</p>", bdi(state));
    }
    if !card.facts.is_empty() {
        out.push_str("<dl>");
        for (name, value) in &card.facts {
            let _ = write!(out, "<div><dt>{}</dt><dd>{}</dd></div>", escape(name), bdi(value));
        }
        out.push_str("</dl>\n");
    }
    let (words, message) = &card.answer;
    if let Some(number) = number.filter(|_| !message.is_empty()) {
        // A message is opened with its text, and sent by who reads the page (RFC 5724).
        let _ = writeln!(out, "<a href=\"sms:{number}?body={}\">{}</a>", in_address(message), escape(words));
    }
    out.push_str("</article>\n");
}

/// A text as a part of an address: all but letters, digits and a few marks by their numbers (RFC 3986 section 2.1).
fn in_address(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for b in text.bytes() {
        if b.is_ascii_alphanumeric() || b"-._~".contains(&b) {
            out.push(char::from(b));
        } else {
            let _ = write!(out, "%{b:02X}");
        }
    }
    out
}
