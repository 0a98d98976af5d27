//! The list as a page for a phone: one column, a box to tick and a number to tap in each line, large enough for a thumb.
//! It needs nothing else: no script, no picture and nothing from the network. What is ticked is forgotten when the page is
//! closed; to be kept, it is noted in the project.

use super::WeekSheet;
use crate::engine::week::{Contact, Line};
use crate::exchange::outgoing::print::html::{bdi, escape};
use crate::model::words::counted;
use std::fmt::Write;

/// The look: text at least 4.5 to 1 on its ground, light and dark; each target at least 48 pixels high.
const STYLE: &str = "\
:root{color-scheme:light dark;--ground:#fff;--card:#f6f8fa;--ink:#1b1f24;--dim:#57606a;--line:#d0d7de;--past:#a3301a}
@media (prefers-color-scheme:dark){:root{--ground:#16191d;--card:#21262c;--ink:#e8ebee;--dim:#a4adb6;--line:#3d444d;--past:#ff9d85}}
*{box-sizing:border-box}
body{margin:0 auto;padding:1rem;max-width:38rem;background:var(--ground);color:var(--ink);
font:17px/1.4 system-ui,-apple-system,'Segoe UI',Roboto,sans-serif;overflow-wrap:anywhere}
h1{font-size:1.35rem;margin:0}
h2{font-size:1.05rem;margin:1.6rem 0 .4rem}
h2.past{color:var(--past)}
p{margin:.2rem 0}
.dim{color:var(--dim);font-size:.9rem}
ul{list-style:none;margin:0;padding:0}
li{background:var(--card);border:1px solid var(--line);border-radius:10px;margin:.55rem 0;padding:.3rem .8rem .7rem}
label{display:flex;gap:.8rem;align-items:flex-start;min-height:48px;padding:.6rem 0 .2rem}
input{flex:0 0 auto;width:26px;height:26px;margin:0}
input:checked+span{color:var(--dim);text-decoration:line-through}
.kind{display:block;font-size:.8rem;font-weight:600;color:var(--dim)}
.what{font-weight:600}
a{display:flex;align-items:center;min-height:48px;margin-top:.6rem;padding:0 .9rem;border:1px solid var(--line);border-radius:8px;
background:var(--ground);color:var(--ink);font-weight:600;text-decoration:none}
a:focus-visible,input:focus-visible{outline:3px solid #0072b2;outline-offset:2px}
";

/// The page.
pub fn phone(sheet: &WeekSheet) -> String {
    let mut out = String::with_capacity(8 * 1024);
    let name = &sheet.settings.name;
    let _ = write!(
        out,
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"format-detection\" content=\"telephone=no\">\n\
         <title>To do: {}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n",
        escape(name)
    );
    let (from, until) = (sheet.day(sheet.as_of), sheet.day(sheet.until));
    let things = counted(sheet.lines.len(), "thing to do", "things to do");
    let _ = write!(out, "<h1>{}</h1>\n<p class=\"dim\">{from} to {until}, {things}</p>\n", bdi(name));
    if sheet.lines.is_empty() {
        out.push_str("<p>Nothing has its day in this time.</p>\n");
    }
    let mut n = 0;
    for (day, lines) in sheet.dates() {
        let past = if day.is_none() { " class=\"past\"" } else { "" };
        let _ = write!(out, "<h2{past}>{}</h2>\n<ul>\n", escape(&sheet.title(day)));
        for line in lines {
            n += 1;
            write_line(&mut out, sheet, line, n);
        }
        out.push_str("</ul>\n");
    }
    out.push_str("</body>\n</html>\n");
    out
}

fn write_line(out: &mut String, sheet: &WeekSheet, line: &Line, n: usize) {
    let (kind, what) = (escape(line.kind.title()), bdi(&sheet.what(line)));
    let _ = write!(
        out,
        "<li><label for=\"l{n}\"><input type=\"checkbox\" id=\"l{n}\"><span><span class=\"kind\">{kind}</span>\
         <span class=\"what\">{what}</span></span></label>"
    );
    let why = sheet.why(line);
    if !why.is_empty() {
        let _ = write!(out, "<p class=\"dim\">{}</p>", bdi(&why));
    }
    if let Some(contact) = &line.call {
        write_contact(out, contact);
    }
    out.push_str("</li>\n");
}

fn write_contact(out: &mut String, contact: &Contact) {
    let (name, shown) = (bdi(&contact.name), escape(&contact.phone));
    match dialed(&contact.phone) {
        Some(number) => {
            let _ = write!(out, "<a href=\"tel:{number}\">Call {name}, {shown}</a>");
        }
        None => {
            let reach = if contact.phone.is_empty() { &contact.email } else { &contact.phone };
            let _ = write!(out, "<p class=\"dim\">{name} {}</p>", bdi(reach));
        }
    }
}

/// A telephone number as RFC 3966 writes it: digits, with a plus before them where it is written, and an extension behind.
/// `None` where there are no digits.
pub fn dialed(phone: &str) -> Option<String> {
    let (number, extension) = match phone.find(|c: char| c.is_ascii_alphabetic() || c == '#') {
        Some(at) => phone.split_at(at),
        None => (phone, ""),
    };
    let digits = |text: &str| text.chars().filter(char::is_ascii_digit).collect::<String>();
    let (own, extension) = (digits(number), digits(extension));
    if own.is_empty() {
        return None;
    }
    let plus = if number.trim_start().starts_with('+') { "+" } else { "" };
    let extension = if extension.is_empty() { String::new() } else { format!(";ext={extension}") };
    Some(format!("{plus}{own}{extension}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 3966 section 3: the number is digits with visual separators left out here; `;ext=` is its extension.
    #[test]
    fn numbers_are_dialed_without_what_parts_them() {
        for (typed, wanted) in [
            ("+1 555 0112", Some("+15550112")),
            ("(555) 555-0131", Some("5555550131")),
            ("555.0131 ext. 12", Some("5550131;ext=12")),
            ("555-0131 x7", Some("5550131;ext=7")),
            ("ask at the desk", None),
            ("", None),
            ("\"><script>1", None),
            ("1\"><script>", Some("1")),
        ] {
            assert_eq!(dialed(typed).as_deref(), wanted, "{typed}");
        }
    }
}
