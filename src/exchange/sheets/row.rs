//! Reading one row of a sheet into a value of the document, with every fault noted by its column.

use super::layout::Layout;
use super::sheet::{Row, Sheet};
use crate::exchange::notice::{Faults, Notice};
use crate::exchange::typed::strict;
use crate::model::Money;
use crate::model::dates::parse_date;
use crate::model::validate;
use chrono::NaiveDate;
use rust_decimal::Decimal;
use std::cell::{Cell, RefCell};
use std::collections::HashMap;
use std::fmt::Display;
use std::str::FromStr;

/// The keys of one kind of thing, with its position in the document and the row that made it.
pub struct Keys {
    /// What it is, in a word.
    what: &'static str,
    /// The sheet it comes from.
    pub file: String,
    map: HashMap<String, (usize, usize)>,
    /// How many things there are, with a key or without.
    noted: usize,
    /// How many keys not found were compared with all others.
    compared: Cell<u32>,
    /// False when rows of the sheet could not be read; a key not found is then no fault of its own.
    pub whole: bool,
}

impl Keys {
    /// No keys yet.
    pub fn new(layout: &Layout) -> Keys {
        Keys {
            what: layout.one,
            file: format!("{}.csv", layout.name),
            map: HashMap::new(),
            noted: 0,
            compared: Cell::new(0),
            whole: true,
        }
    }

    /// Notes the key of the next thing. One that is known already is a fault.
    pub fn note(&mut self, key: &str, sheet: &Sheet, row: usize, faults: &mut Faults) {
        let position = self.noted;
        self.noted += 1;
        if key.is_empty() {
            return;
        }
        if let Some((_, first)) = self.map.get(key) {
            let message =
                format!("the {} key `{key}` is used already, in row {first}; give each its own", self.what);
            faults.push(Notice::cell(&sheet.file, row, "key", message));
            return;
        }
        self.map.insert(key.to_owned(), (position, row));
    }

    /// The key that may have been meant. Only the first few are looked for: they are the ones that get read.
    fn nearest(&self, key: &str) -> Option<&str> {
        self.compared.set(self.compared.get().saturating_add(1));
        if self.compared.get() > MOST_COMPARED { None } else { nearest(key, self.map.keys()) }
    }
}

const MOST_COMPARED: u32 = 50;

/// The cells of a row by column. Values that cannot be read are noted and come out as missing.
pub struct Cells<'a> {
    sheet: &'a Sheet,
    row: &'a Row,
    /// A column taken for empty.
    hidden: Option<usize>,
    faults: RefCell<Vec<Notice>>,
}

impl Cells<'_> {
    fn fault(&self, column: &str, message: impl Into<String>) {
        let notice = Notice::cell(&self.sheet.file, self.row.number, column, message);
        self.faults.borrow_mut().push(notice);
    }

    /// The cell as it is; `None` when the sheet has no such column.
    pub fn verbatim(&self, column: &str) -> Option<String> {
        let at = self.sheet.column(column)?;
        if self.hidden == Some(at) { Some(String::new()) } else { self.row.cells.get(at).cloned() }
    }

    /// The name of a thing as it is; its key when there is none, so that messages can always name it.
    pub fn name_or(&self, key: &str) -> String {
        self.verbatim("name").filter(|name| !name.trim().is_empty()).unwrap_or_else(|| key.to_owned())
    }

    /// The cell as it is, or empty.
    pub fn text(&self, column: &str) -> String {
        self.verbatim(column).unwrap_or_default()
    }

    /// The cell without spaces around it; `None` when there is nothing in it.
    fn filled(&self, column: &str) -> Option<&str> {
        let at = self.sheet.column(column)?;
        if self.hidden == Some(at) {
            return None;
        }
        self.row.cells.get(at).map(|cell| cell.trim()).filter(|cell| !cell.is_empty())
    }

    /// Whether there is something in the cell.
    pub fn is_filled(&self, column: &str) -> bool {
        self.filled(column).is_some()
    }

    /// A fault when the cell is empty; then something that keeps other faults from following.
    pub fn needed<T>(&self, column: &str, value: Option<T>, otherwise: T) -> T {
        if value.is_none() && self.filled(column).is_none() {
            self.fault(column, "this cell is empty; every row needs it");
        }
        value.unwrap_or(otherwise)
    }

    /// A key that must be there.
    pub fn key(&self, column: &str) -> String {
        let key = self.filled(column).map(str::to_owned);
        self.needed(column, key, String::new())
    }

    /// A value read by its own rules.
    pub fn parsed<T: FromStr<Err = String>>(&self, column: &str) -> Option<T> {
        self.read(column, str::parse)
    }

    /// A value read by a function whose error says what to do.
    pub fn read<T>(&self, column: &str, read: impl FnOnce(&str) -> Result<T, String>) -> Option<T> {
        read(self.filled(column)?).map_err(|why| self.fault(column, why)).ok()
    }

    /// A date.
    pub fn date(&self, column: &str) -> Option<NaiveDate> {
        self.read(column, parse_date)
    }

    /// A decimal number, zero or more.
    pub fn number(&self, column: &str) -> Option<Decimal> {
        self.read(column, strict::not_negative)
    }

    /// An amount of money.
    pub fn money(&self, column: &str) -> Option<Money> {
        self.number(column).map(Money::new)
    }

    /// A whole number.
    pub fn whole<T: FromStr>(&self, column: &str) -> Option<T> {
        self.read(column, strict::whole)
    }

    /// The place of one of a few words, in letters of any size.
    pub fn one_of(&self, column: &str, words: &[&str]) -> Option<usize> {
        self.read(column, |text| {
            words
                .iter()
                .position(|word| word.eq_ignore_ascii_case(text))
                .ok_or_else(|| format!("`{text}` is not known here; write one of: {}", words.join(", ")))
        })
    }

    /// One of a few words, in letters of any size.
    pub fn word<T: Copy>(&self, column: &str, all: &[(&'static str, T)]) -> Option<T> {
        let words: Vec<&str> = all.iter().map(|(word, _)| *word).collect();
        self.one_of(column, &words).and_then(|at| all.get(at)).map(|(_, value)| *value)
    }

    /// Yes or no.
    pub fn yes_no(&self, column: &str) -> Option<bool> {
        const WORDS: [(&str, bool); 6] =
            [("yes", true), ("no", false), ("true", true), ("false", false), ("1", true), ("0", false)];
        self.word(column, &WORDS)
    }

    /// The position of the thing whose key stands here.
    pub fn refer(&self, column: &str, keys: &Keys) -> Option<usize> {
        self.lead(column, self.filled(column)?, keys)
    }

    /// The positions of the things whose keys stand here, with `;` between them.
    pub fn refer_all(&self, column: &str, keys: &Keys) -> Vec<usize> {
        let listed = self.filled(column).unwrap_or_default().split(';').map(str::trim);
        listed.filter(|key| !key.is_empty()).filter_map(|key| self.lead(column, key, keys)).collect()
    }

    /// The position of the thing with a key.
    fn lead(&self, column: &str, key: &str, keys: &Keys) -> Option<usize> {
        let found = keys.map.get(key).map(|(position, _)| *position);
        if found.is_none() && keys.whole {
            let near = keys.nearest(key).map_or(String::new(), |near| format!(" (`{near}`?)"));
            let Keys { what, file, .. } = keys;
            self.fault(
                column,
                format!("there is no {what} `{key}` in {file}{near}; add it there or correct the key"),
            );
        }
        found
    }
}

/// The key that differs least, when it is near enough to be meant.
fn nearest<'a>(key: &str, known: impl Iterator<Item = &'a String>) -> Option<&'a str> {
    let wanted: Vec<char> = key.to_lowercase().chars().take(40).collect();
    let most = (wanted.len() / 3).clamp(1, 3);
    known.map(|k| (distance(&wanted, k), k.as_str())).filter(|(d, _)| *d <= most).min().map(|(_, k)| k)
}

/// Single-letter changes between two texts (Levenshtein 1966).
fn distance(a: &[char], b: &str) -> usize {
    let mut row: Vec<usize> = (0..=a.len()).collect();
    for (j, cb) in b.to_lowercase().chars().take(60).enumerate() {
        let mut corner = row[0];
        row[0] = j + 1;
        for (i, ca) in a.iter().enumerate() {
            let changed = corner + usize::from(*ca != cb);
            corner = row[i + 1];
            row[i + 1] = changed.min(corner + 1).min(row[i] + 1);
        }
    }
    row.last().copied().unwrap_or(0)
}

/// Makes a thing from a row and checks it by the rules of the document.
///
/// `make` reads the cells, taking defaults for what cannot be read; `check` says what is wrong with the outcome. The
/// column to blame is the one without which the complaint goes away. What is wrong in a cell by itself is said of every
/// cell; of what is wrong between cells, the first complaint. The thing is given back even with faults, so
/// that other rows may refer to it.
pub fn build<T>(
    sheet: &Sheet,
    row: &Row,
    make: impl Fn(&Cells<'_>) -> T,
    check: impl Fn(&T) -> Result<(), String>,
) -> (T, Vec<Notice>) {
    let attempt = |hidden: Option<usize>| {
        let cells = Cells { sheet, row, hidden, faults: RefCell::default() };
        (make(&cells), cells.faults.into_inner())
    };
    let (thing, mut faults) = attempt(None);
    if !faults.is_empty() {
        return (thing, faults);
    }
    let Err(why) = check(&thing) else { return (thing, faults) };
    // What every row needs is to blame only when nothing else is.
    let required = |at: usize| {
        Layout::of(&sheet.name).and_then(|l| l.column(&sheet.columns[at])).is_some_and(|c| c.required)
    };
    let mut columns: Vec<usize> = (0..sheet.columns.len()).collect();
    columns.sort_by_key(|at| required(*at));
    let outcomes: Vec<(usize, Option<String>)> = columns
        .into_iter()
        .filter(|at| sheet.columns[*at] != "key")
        .filter(|at| row.cells.get(*at).is_some_and(|cell| !cell.trim().is_empty()))
        .map(|at| (at, check(&attempt(Some(at)).0).err()))
        .collect();
    let cured = outcomes.iter().find(|(_, left)| left.is_none());
    let changed = || outcomes.iter().find(|(_, left)| left.as_ref() != Some(&why));
    faults.push(match cured.or_else(changed) {
        Some((at, _)) => Notice::cell(&sheet.file, row.number, &sheet.columns[*at], why),
        None if sheet.column("key").and_then(|at| validate::key(row.cells[at].trim()).err())
            == Some(why.clone()) =>
        {
            Notice::cell(&sheet.file, row.number, "key", why)
        }
        None => Notice::row(&sheet.file, row.number, why),
    });
    (thing, faults)
}

/// Words for a list of column names.
pub fn listed<T: Display>(names: impl Iterator<Item = T>) -> String {
    names.map(|n| n.to_string()).collect::<Vec<_>>().join(",")
}
