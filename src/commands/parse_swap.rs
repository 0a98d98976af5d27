//! Arguments of `swap`, `return` and `swaps`.

use super::Failure;
use crate::model::{Money, ReturnState};
use chrono::NaiveDate;
use rust_decimal::Decimal;
use std::path::PathBuf;

/// The options of these verbs that are followed by text.
pub(super) const TEXT_OPTIONS: [&str; 14] = [
    "selection",
    "to",
    "reverse",
    "why",
    "price",
    "send-back",
    "keep",
    "room",
    "part",
    "state",
    "credit",
    "freight",
    "restock",
    "note",
];

/// The options that may be given more than once.
const REPEATED: [&str; 6] = ["price", "send-back", "keep", "map", "match", "accept"];

/// Options with their texts, as they were given.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Given {
    /// Name and text, in order.
    pub texts: Vec<(String, String)>,
    /// Only look.
    pub preview: bool,
    /// Print JSON.
    pub json: bool,
    /// Options without text, by name.
    pub flags: Vec<String>,
}

impl Given {
    /// Notes an option; false when it was given before and may not be.
    pub(super) fn note(&mut self, name: &str, text: String) -> bool {
        let again = self.texts.iter().any(|(known, _)| known == name) && !REPEATED.contains(&name);
        self.texts.push((name.to_owned(), text));
        !again
    }

    pub(super) fn one(&self, name: &str) -> Option<&str> {
        self.texts.iter().find(|(known, _)| known == name).map(|(_, text)| text.as_str())
    }

    pub(super) fn all<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a str> {
        self.texts.iter().filter(move |(known, _)| known == name).map(|(_, text)| text.as_str())
    }

    pub(super) fn owned(&self, name: &str) -> Option<String> {
        self.one(name).map(str::to_owned)
    }
}

/// Where the outcome goes.
#[derive(Debug, PartialEq, Eq)]
pub struct Target {
    /// The file.
    pub file: PathBuf,
    /// Whether it may replace another file. The project's own file it always may.
    pub force: bool,
}

/// What `swap` is asked.
#[derive(Debug, PartialEq, Eq)]
pub struct SwapRequest {
    /// The project.
    pub file: PathBuf,
    /// The day; the project's own or today when not given.
    pub as_of: Option<NaiveDate>,
    /// What to swap.
    pub what: SwapWhat,
    /// Why.
    pub why: String,
    /// Knock-ons with their cost and working days.
    pub prices: Vec<(String, Money, i32)>,
    /// Parts to send back, with the freight.
    pub send_back: Vec<(String, Money)>,
    /// Parts to keep.
    pub keep: Vec<String>,
    /// Print JSON.
    pub json: bool,
    /// Where the project goes; none only looks.
    pub out: Option<Target>,
}

/// What to swap.
#[derive(Debug, PartialEq, Eq)]
pub enum SwapWhat {
    /// A selection to an option, by their keys.
    To(String, String),
    /// Back from a swap, by its key.
    Reverse(String),
}

/// What `return` is asked.
#[derive(Debug, PartialEq, Eq)]
pub struct ReturnRequest {
    /// The project.
    pub file: PathBuf,
    /// The day it went back; the project's own or today when not given.
    pub as_of: Option<NaiveDate>,
    /// The part by its key.
    pub part: String,
    /// How far it is.
    pub state: ReturnState,
    /// What came back.
    pub credit: Option<Money>,
    /// What sending it cost.
    pub freight: Option<Money>,
    /// Percent that the supplier keeps.
    pub restock_pct: Option<Decimal>,
    /// A note.
    pub note: Option<String>,
    /// Where the project goes.
    pub out: Target,
}

pub(super) fn swap(
    file: PathBuf,
    as_of: Option<NaiveDate>,
    out: Option<PathBuf>,
    force: bool,
    given: &Given,
) -> Result<SwapRequest, Failure> {
    let bad = |why: &str| Err(Failure::Use(why.to_owned()));
    let what = match (given.owned("selection"), given.owned("to"), given.owned("reverse")) {
        (Some(selection), Some(to), None) => SwapWhat::To(selection, to),
        (None, None, Some(swap)) => SwapWhat::Reverse(swap),
        _ => return bad("swap needs --selection KEY and --to KEY, or --reverse SWAP"),
    };
    let out = match (given.preview, out) {
        (true, None) => None,
        (false, Some(file)) => Some(Target { file, force }),
        (true, Some(_)) => return bad("swap --preview writes nothing, so it takes no --out"),
        (false, None) => return bad("swap needs --out FILE, or --preview to look only"),
    };
    Ok(SwapRequest {
        file,
        as_of,
        what,
        why: given.owned("why").unwrap_or_default(),
        prices: given.all("price").map(price).collect::<Result<_, _>>()?,
        send_back: given.all("send-back").map(with_freight).collect::<Result<_, _>>()?,
        keep: given.all("keep").map(str::to_owned).collect(),
        json: given.json,
        out,
    })
}

pub(super) fn return_of(
    file: PathBuf,
    as_of: Option<NaiveDate>,
    out: Option<PathBuf>,
    force: bool,
    given: &Given,
) -> Result<ReturnRequest, Failure> {
    let (Some(part), Some(state), Some(out)) = (given.owned("part"), given.one("state"), out) else {
        return Err(Failure::Use("return needs --part KEY, --state WORD and --out FILE".to_owned()));
    };
    let known = ReturnState::ALL.iter().find(|(word, _)| word.replace('_', "-") == state.replace('_', "-"));
    let Some((_, state)) = known else {
        let words: Vec<&str> = ReturnState::ALL.iter().map(|(word, _)| *word).collect();
        return Err(Failure::Use(format!(
            "--state: `{state}` is not known; write one of {}",
            words.join(", ")
        )));
    };
    let money = |name: &str| given.one(name).map(|text| amount(name, text)).transpose();
    Ok(ReturnRequest {
        file,
        as_of,
        part,
        state: *state,
        credit: money("credit")?,
        freight: money("freight")?,
        restock_pct: money("restock")?.map(Money::amount),
        note: given.owned("note"),
        out: Target { file: out, force },
    })
}

/// The room of `swaps`.
pub(super) fn room(given: &Given) -> Option<String> {
    given.owned("room")
}

fn amount(name: &str, text: &str) -> Result<Money, Failure> {
    let number = text.trim().parse::<Decimal>().ok().filter(|n| !n.is_sign_negative() || n.is_zero());
    number.map(Money::new).ok_or_else(|| {
        Failure::Use(format!("--{name}: `{text}` is no amount; write for example 45 or 45.50"))
    })
}

/// `KEY=COST` or `KEY=COST/DAYS`.
fn price(text: &str) -> Result<(String, Money, i32), Failure> {
    let wrong = || {
        Failure::Use(format!(
            "--price: `{text}` is not KNOCKON=COST or KNOCKON=COST/DAYS, as in template:top=250/2"
        ))
    };
    let (key, rest) = text.split_once('=').ok_or_else(wrong)?;
    let (cost, days) = rest.split_once('/').unwrap_or((rest, "0"));
    let days: u16 = days.trim().parse().map_err(|_| wrong())?;
    Ok((key.trim().to_owned(), amount("price", cost)?, i32::from(days)))
}

/// `PART` or `PART=FREIGHT`.
fn with_freight(text: &str) -> Result<(String, Money), Failure> {
    match text.split_once('=') {
        Some((part, freight)) => Ok((part.trim().to_owned(), amount("send-back", freight)?)),
        None => Ok((text.trim().to_owned(), Money::ZERO)),
    }
}
