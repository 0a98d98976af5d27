//! Arguments to requests.

use super::Failure;
use super::parse_list::{self, FLAGS, LIST_OPTIONS, ListRequest};
use super::parse_swap::{self, Given, ReturnRequest, SwapRequest, TEXT_OPTIONS};
use crate::exchange::lists::Format;
use crate::exchange::print::{PaperForm, PaperKind};
use crate::model::dates::parse_date;
use chrono::NaiveDate;
use lexopt::prelude::{Long, Short, Value};
use std::ffi::OsString;
use std::path::PathBuf;

/// What the user asks for.
#[derive(Debug, PartialEq, Eq)]
pub enum Request {
    /// Open the window.
    Window(Option<PathBuf>),
    /// Show how the program is used.
    Help,
    /// Show which version it is.
    Version,
    /// Sheets to a project.
    Import { folder: PathBuf, file: PathBuf, force: bool },
    /// A project to sheets.
    Export { file: PathBuf, folder: PathBuf },
    /// Figures as JSON.
    Figures { file: PathBuf, as_of: Option<NaiveDate> },
    /// Purchase lists.
    Buy {
        file: PathBuf,
        as_of: Option<NaiveDate>,
        folder: PathBuf,
        formats: Vec<Format>,
        supplier: Option<String>,
    },
    /// Papers of the whole project.
    Print {
        file: PathBuf,
        as_of: Option<NaiveDate>,
        folder: PathBuf,
        papers: Vec<PaperKind>,
        forms: Vec<PaperForm>,
    },
    /// Problems.
    Check { file: PathBuf, as_of: Option<NaiveDate> },
    /// A list from elsewhere, looked at or taken in.
    ImportList(Box<ListRequest>),
    /// Another choice, previewed or made.
    Swap(Box<SwapRequest>),
    /// What becomes of a part.
    Return(Box<ReturnRequest>),
    /// The swap log.
    Swaps { file: PathBuf, room: Option<String> },
}

/// The verbs with what each is given and the options it takes.
const VERBS: [(&str, &str, &[&str]); 10] = [
    ("import", "FOLDER or workbook", &["out", "force"]),
    ("import-list", "FILE", parse_list::TAKES),
    ("export", "FILE", &["out"]),
    ("figures", "FILE", &["as-of"]),
    ("buy", "FILE", &["as-of", "out", "format", "supplier"]),
    ("print", "FILE", &["as-of", "out", "format", "paper"]),
    ("check", "FILE", &["as-of"]),
    (
        "swap",
        "FILE",
        &[
            "as-of",
            "out",
            "force",
            "selection",
            "to",
            "reverse",
            "why",
            "price",
            "send-back",
            "keep",
            "preview",
            "json",
        ],
    ),
    ("return", "FILE", &["as-of", "out", "force", "part", "state", "credit", "freight", "restock", "note"]),
    ("swaps", "FILE", &["room"]),
];

#[derive(Default)]
struct Options {
    out: Option<PathBuf>,
    as_of: Option<NaiveDate>,
    format: Option<String>,
    paper: Option<String>,
    supplier: Option<String>,
    force: bool,
    given: Given,
}

/// Reads the arguments.
pub fn parse(args: Vec<OsString>) -> Result<Request, Failure> {
    let mut parser = lexopt::Parser::from_args(args);
    let bad = |why: lexopt::Error| Failure::Use(why.to_string());
    let mut verb: Option<(&str, &str, &[&str])> = None;
    let mut operands: Vec<PathBuf> = Vec::new();
    let mut options = Options::default();
    while let Some(arg) = parser.next().map_err(bad)? {
        match arg {
            Short('h') | Long("help") => return Ok(Request::Help),
            Short('V') | Long("version") => return Ok(Request::Version),
            Value(value) if verb.is_none() && operands.is_empty() => {
                match VERBS.iter().find(|(name, _, _)| value.to_str() == Some(name)) {
                    Some(known) => verb = Some(*known),
                    None if value.to_str() == Some("help") => return Ok(Request::Help),
                    None => operands.push(value.into()),
                }
            }
            Value(value) => operands.push(value.into()),
            Long(name) => {
                let name = name.to_owned();
                let Some((word, _, takes)) = verb else {
                    return Err(Failure::Use(format!("the option --{name} goes behind a command")));
                };
                if !takes.contains(&name.as_str()) {
                    return Err(Failure::Use(format!("{word} has no option --{name}")));
                }
                option(&name, &mut parser, &mut options)?;
            }
            other @ Short(_) => return Err(bad(other.unexpected())),
        }
    }
    let Some((word, operand, _)) = verb else {
        return match operands.len() {
            0 | 1 => Ok(Request::Window(operands.pop())),
            _ => {
                let first = operands[0].display();
                Err(Failure::Use(format!(
                    "`{first}` is no command; there are import, import-list, export, figures, buy, print, check, swap, return and swaps"
                )))
            }
        };
    };
    request(word, operand, operands, options)
}

fn option(name: &str, parser: &mut lexopt::Parser, options: &mut Options) -> Result<(), Failure> {
    match name {
        "force" => options.force = true,
        "preview" => options.given.preview = true,
        "json" => options.given.json = true,
        _ if FLAGS.contains(&name) => options.given.flags.push(name.to_owned()),
        _ => return valued(name, parser, options),
    }
    Ok(())
}

fn valued(name: &str, parser: &mut lexopt::Parser, options: &mut Options) -> Result<(), Failure> {
    let value = parser.value().map_err(|why| Failure::Use(why.to_string()))?;
    let text = |value: OsString| {
        value.into_string().map_err(|_| Failure::Use(format!("--{name} is followed by something unreadable")))
    };
    let repeated = match name {
        "out" => options.out.replace(value.into()).is_some(),
        "as-of" => {
            let date = parse_date(&text(value)?).map_err(|why| Failure::Use(format!("--as-of: {why}")))?;
            options.as_of.replace(date).is_some()
        }
        _ if TEXT_OPTIONS.contains(&name) || LIST_OPTIONS.contains(&name) => {
            !options.given.note(name, text(value)?)
        }
        "paper" => options.paper.replace(text(value)?).is_some(),
        "supplier" => options.supplier.replace(text(value)?).is_some(),
        _ => options.format.replace(text(value)?).is_some(),
    };
    if repeated { Err(Failure::Use(format!("--{name} is given twice"))) } else { Ok(()) }
}

fn request(
    verb: &str,
    operand: &str,
    mut operands: Vec<PathBuf>,
    options: Options,
) -> Result<Request, Failure> {
    let (Some(given), true) = (operands.pop(), operands.is_empty()) else {
        return Err(Failure::Use(format!("{verb} takes one {operand}")));
    };
    let Options { out, as_of, format, paper, supplier, force, given: more } = options;
    match verb {
        "swap" => {
            return parse_swap::swap(given, as_of, out, force, &more).map(|r| Request::Swap(Box::new(r)));
        }
        "return" => {
            return parse_swap::return_of(given, as_of, out, force, &more)
                .map(|r| Request::Return(Box::new(r)));
        }
        "import-list" => {
            return parse_list::import_list(given, out, supplier, force, &more)
                .map(|r| Request::ImportList(Box::new(r)));
        }
        "swaps" => return Ok(Request::Swaps { file: given, room: parse_swap::room(&more) }),
        _ => {}
    }
    let out = || {
        let what = if verb == "import" { "FILE" } else { "FOLDER" };
        out.ok_or_else(|| Failure::Use(format!("{verb} needs --out {what}")))
    };
    Ok(match verb {
        "import" => Request::Import { folder: given, file: out()?, force },
        "export" => Request::Export { file: given, folder: out()? },
        "figures" => Request::Figures { file: given, as_of },
        "buy" => {
            let formats = words("format", format.as_deref().unwrap_or("csv"), &Format::ALL)?;
            Request::Buy { file: given, as_of, folder: out()?, formats, supplier }
        }
        "print" => {
            let forms = words("format", format.as_deref().unwrap_or("pdf"), &PaperForm::ALL)?;
            let papers = match paper {
                Some(list) => words("paper", &list, &PaperKind::ALL)?,
                None => PaperKind::ALL.iter().map(|(_, kind)| *kind).collect(),
            };
            Request::Print { file: given, as_of, folder: out()?, papers, forms }
        }
        _ => Request::Check { file: given, as_of },
    })
}

/// A list of words with commas between them, each once and in the order of the table.
fn words<T: Copy>(option: &str, list: &str, known: &[(&'static str, T)]) -> Result<Vec<T>, Failure> {
    let given: Vec<String> = list.split(',').map(|word| word.trim().to_ascii_lowercase()).collect();
    if let Some(word) = given.iter().find(|w| known.iter().all(|(k, _)| k != w)) {
        let names: Vec<&str> = known.iter().map(|(name, _)| *name).collect();
        let names = names.join(", ");
        return Err(Failure::Use(format!("`{word}` is no {option}; there are {names}, nothing was written")));
    }
    Ok(known.iter().filter(|(k, _)| given.iter().any(|w| w == k)).map(|(_, v)| *v).collect())
}
