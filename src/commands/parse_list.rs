//! Arguments of `import-list`.

use super::Failure;
use super::parse_swap::{Given, Target};
use crate::exchange::mapping::ChangeOf;
use crate::exchange::mapping::selections::May;
use crate::model::{DateOrder, DecimalMark, LeadUnit, MapField, MapInto};
use std::path::PathBuf;

/// All options.
pub(super) const TAKES: &[&str] = &[
    "into",
    "supplier",
    "as",
    "sheet",
    "header",
    "map",
    "decimal",
    "dates",
    "lead-unit",
    "any-currency",
    "by-name",
    "match",
    "add-to",
    "create",
    "fill-down",
    "accept",
    "preview",
    "skip-bad-rows",
    "forget",
    "out",
    "force",
];

/// Those that are followed by text.
pub(super) const LIST_OPTIONS: [&str; 12] = [
    "into",
    "as",
    "sheet",
    "header",
    "map",
    "decimal",
    "dates",
    "lead-unit",
    "match",
    "add-to",
    "create",
    "accept",
];

/// Those that stand alone.
pub(super) const FLAGS: [&str; 5] = ["any-currency", "by-name", "fill-down", "skip-bad-rows", "forget"];

/// What `import-list` is asked.
#[derive(Debug, PartialEq, Eq)]
pub struct ListRequest {
    /// The list.
    pub list: PathBuf,
    /// The project.
    pub project: PathBuf,
    /// Whose list it is, by key.
    pub supplier: Option<String>,
    /// What the rows are taken for; guessed when not given.
    pub into: Option<MapInto>,
    /// The sheet of a workbook.
    pub sheet: Option<String>,
    /// The row with the headings: `Some(None)` when there is none.
    pub header: Option<Option<usize>>,
    /// Fields with the headings of their columns; an empty heading takes the field away.
    pub map: Vec<(MapField, String)>,
    /// The mark before decimals.
    pub decimal: Option<DecimalMark>,
    /// The order of dates.
    pub dates: Option<DateOrder>,
    /// What lead times are counted in.
    pub lead_unit: Option<LeadUnit>,
    /// Take amounts in another currency as they stand.
    pub any_currency: bool,
    /// Match by name too.
    pub by_name: bool,
    /// Rows given to parts, by key.
    pub matches: Vec<(usize, String)>,
    /// The selection that rows without a part are added to, by key.
    pub add_to: Option<String>,
    /// What may be made on the way.
    pub may: May,
    /// What is accepted; nothing only looks.
    pub accept: Vec<Accept>,
    /// Only look.
    pub preview: bool,
    /// Take the good rows though there are bad ones.
    pub skip_bad_rows: bool,
    /// Do not remember what the columns hold.
    pub forget: bool,
    /// Where the project goes; its own file when not given.
    pub out: Option<Target>,
}

/// A change that is accepted.
#[derive(Debug, PartialEq, Eq)]
pub enum Accept {
    /// All that give no reason to look twice.
    All,
    /// All of a field that give none.
    Field(ChangeOf),
    /// This one, whatever there is to it.
    One(String, ChangeOf),
}

pub(super) fn import_list(
    list: PathBuf,
    out: Option<PathBuf>,
    supplier: Option<String>,
    force: bool,
    given: &Given,
) -> Result<ListRequest, Failure> {
    let bad = |why: String| Failure::Use(why);
    let Some(project) = given.one("into") else {
        return Err(bad("import-list needs --into PROJECT".to_owned()));
    };
    let flag = |name: &str| given.flags.iter().any(|f| f == name);
    let header = match given.one("header") {
        None => None,
        Some(text) if text.eq_ignore_ascii_case("none") || text == "0" => Some(None),
        Some(text) => {
            let row = text.parse::<usize>().map_err(|_| {
                bad(format!(
                    "--header: `{text}` is no row; write the number of the row with the headings, or none"
                ))
            })?;
            Some(Some(row))
        }
    };
    let accept = given
        .all("accept")
        .map(accepts)
        .collect::<Result<Vec<_>, _>>()?
        .into_iter()
        .flatten()
        .collect::<Vec<_>>();
    if accept.is_empty() && !given.preview {
        return Err(bad(
            "import-list needs --preview to look only, or --accept all, --accept unit_price,lead or --accept PART:FIELD"
                .to_owned(),
        ));
    }
    if given.preview && (out.is_some() || !accept.is_empty()) {
        return Err(bad(
            "import-list --preview writes nothing, so it takes neither --accept nor --out".to_owned()
        ));
    }
    Ok(ListRequest {
        list,
        project: PathBuf::from(project),
        supplier,
        into: word("as", given, &MapInto::ALL)?,
        sheet: given.owned("sheet"),
        header,
        map: given.all("map").map(maps).collect::<Result<Vec<_>, _>>()?.concat(),
        decimal: word("decimal", given, &DecimalMark::ALL)?,
        dates: word("dates", given, &DateOrder::ALL)?,
        lead_unit: word("lead-unit", given, &LeadUnit::ALL)?,
        any_currency: flag("any-currency"),
        by_name: flag("by-name"),
        matches: given.all("match").map(matched).collect::<Result<_, _>>()?,
        add_to: given.owned("add-to"),
        may: may(given, flag("fill-down"))?,
        accept,
        preview: given.preview,
        skip_bad_rows: flag("skip-bad-rows"),
        forget: flag("forget"),
        out: out.map(|file| Target { file, force }),
    })
}

fn word<T: Copy>(name: &str, given: &Given, all: &[(&'static str, T)]) -> Result<Option<T>, Failure> {
    let Some(text) = given.one(name) else { return Ok(None) };
    let found = all.iter().find(|(word, _)| word.eq_ignore_ascii_case(text)).map(|(_, value)| *value);
    let words: Vec<&str> = all.iter().map(|(word, _)| *word).collect();
    let unknown =
        || Failure::Use(format!("--{name}: `{text}` is not known; write one of {}", words.join(", ")));
    found.map(Some).ok_or_else(unknown)
}

fn may(given: &Given, fill_down: bool) -> Result<May, Failure> {
    let mut may = May { fill_down, ..May::default() };
    for text in given.one("create").into_iter().flat_map(|list| list.split(',')) {
        match text.trim() {
            "rooms" => may.rooms = true,
            "suppliers" => may.suppliers = true,
            other => {
                return Err(Failure::Use(format!(
                    "--create: `{other}` is not known; write rooms, suppliers or both"
                )));
            }
        }
    }
    Ok(may)
}

/// `FIELD=HEADING,FIELD=HEADING`; a comma before something that is no field belongs to the heading.
fn maps(text: &str) -> Result<Vec<(MapField, String)>, Failure> {
    let field = |word: &str| {
        let word = word.trim().replace('-', "_");
        MapField::ALL.iter().find(|(known, _)| *known == word).map(|(_, field)| *field)
    };
    let mut found: Vec<(MapField, String)> = Vec::new();
    for piece in text.split(',') {
        let pair = piece.split_once('=').and_then(|(word, heading)| Some((field(word)?, heading)));
        match (pair, found.last_mut()) {
            (Some((field, heading)), _) => found.push((field, heading.trim().to_owned())),
            (None, Some((_, heading))) if !piece.contains('=') => {
                heading.push(',');
                heading.push_str(piece);
            }
            _ => {
                let words: Vec<&str> = MapField::ALL.iter().map(|(word, _)| *word).collect();
                return Err(Failure::Use(format!(
                    "--map: `{piece}` is not FIELD=HEADING; fields are {}",
                    words.join(", ")
                )));
            }
        }
    }
    Ok(found)
}

fn matched(text: &str) -> Result<(usize, String), Failure> {
    let found =
        text.split_once('=').and_then(|(row, part)| Some((row.trim().parse().ok()?, part.trim().to_owned())));
    found.ok_or_else(|| Failure::Use(format!("--match: `{text}` is not ROW=PART, as in 12=hall_bath_tub")))
}

fn accepts(text: &str) -> Result<Vec<Accept>, Failure> {
    let field = |word: &str| {
        let word = word.trim().replace('-', "_");
        ChangeOf::ALL.iter().find(|(known, _)| *known == word).map(|(_, of)| *of)
    };
    let one = |piece: &str| {
        if piece.eq_ignore_ascii_case("all") {
            return Some(Accept::All);
        }
        match piece.rsplit_once(':') {
            Some((part, word)) => field(word).map(|of| Accept::One(part.trim().to_owned(), of)),
            None => field(piece).map(Accept::Field),
        }
    };
    text.split(',')
        .map(str::trim)
        .map(|piece| {
            one(piece).ok_or_else(|| {
                let words: Vec<&str> = ChangeOf::ALL.iter().map(|(word, _)| *word).collect();
                Failure::Use(format!(
                    "--accept: `{piece}` is neither all, a field nor PART:FIELD; fields are {}",
                    words.join(", ")
                ))
            })
        })
        .collect()
}
