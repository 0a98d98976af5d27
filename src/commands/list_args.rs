//! What `import-list` is asked, and how it is typed.

use super::args::{Target, one_of, words};
use crate::exchange::incoming::ChangeOf;
use crate::model::{DateOrder, DecimalMark, LeadUnit, MapField, MapInto};
use clap::Args;
use std::path::PathBuf;

/// What `import-list` is asked.
#[derive(Debug, Args)]
pub struct ListRequest {
    /// The list
    pub list: PathBuf,
    /// The project it goes into
    #[arg(long, value_name = "PROJECT")]
    pub into: PathBuf,
    /// Whose list it is
    #[arg(long, value_name = "KEY")]
    pub supplier: Option<String>,
    /// What the rows are: prices or selections; guessed when not given
    #[arg(long = "as", value_name = "WORD", value_parser = one_of("kind of list", &MapInto::ALL))]
    pub kind: Option<MapInto>,
    /// The sheet of a workbook
    #[arg(long, value_name = "NAME")]
    pub sheet: Option<String>,
    /// The row with the headings, or none
    #[arg(long, value_name = "ROW", value_parser = header)]
    pub header: Option<HeaderRow>,
    /// Fields with the headings of their columns; an empty heading takes a field away
    #[arg(long, value_name = "FIELD=HEADING,...", value_parser = columns)]
    pub map: Vec<Columns>,
    /// The mark before decimals: point or comma
    #[arg(long, value_name = "WORD", value_parser = one_of("mark", &DecimalMark::ALL))]
    pub decimal: Option<DecimalMark>,
    /// What dates begin with: day, month or year
    #[arg(long, value_name = "WORD", value_parser = one_of("order of dates", &DateOrder::ALL))]
    pub dates: Option<DateOrder>,
    /// What lead times are counted in: days, weeks or working
    #[arg(long, value_name = "WORD", value_parser = one_of("unit of lead times", &LeadUnit::ALL))]
    pub lead_unit: Option<LeadUnit>,
    /// Take amounts in other currencies as they stand
    #[arg(long)]
    pub any_currency: bool,
    /// Find parts by their names too
    #[arg(long)]
    pub by_name: bool,
    /// The part a row speaks of; may be given again
    #[arg(long = "match", value_name = "ROW=PART", value_parser = matched)]
    pub matches: Vec<(usize, String)>,
    /// Rows that are not in the project become options of this selection
    #[arg(long, value_name = "SELECTION")]
    pub add_to: Option<String>,
    /// What may be made on the way: rooms, suppliers or both
    #[arg(long, value_name = "WORD,...", value_delimiter = ',',
          value_parser = one_of("thing to create", &[("rooms", Creates::Rooms), ("suppliers", Creates::Suppliers)]))]
    pub create: Vec<Creates>,
    /// A row without a room belongs to the room of the row above
    #[arg(long)]
    pub fill_down: bool,
    /// What to take: all that gives no reason to look twice, all of a field, or one change
    #[arg(long, value_name = "all|PART:FIELD|FIELD,...", value_delimiter = ',', value_parser = accept)]
    pub accept: Vec<Accept>,
    /// Only look: what was made of the columns and what would change
    #[arg(long)]
    pub preview: bool,
    /// Take the good rows though there are bad ones; otherwise nothing is written
    #[arg(long)]
    pub skip_bad_rows: bool,
    /// Do not remember what the columns hold
    #[arg(long)]
    pub forget: bool,
    #[command(flatten)]
    pub target: Target,
}

/// The row with the headings; `None` when there is none.
#[derive(Debug, Clone, Copy)]
pub struct HeaderRow(pub Option<usize>);

/// Fields with the headings of their columns.
#[derive(Debug, Clone)]
pub struct Columns(pub Vec<(MapField, String)>);

/// What may be made on the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Creates {
    /// Rooms that are not there.
    Rooms,
    /// Suppliers that are not there.
    Suppliers,
}

/// A change that is accepted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Accept {
    /// All that give no reason to look twice.
    All,
    /// All of a field that give none.
    Field(ChangeOf),
    /// This one, whatever there is to it.
    One(String, ChangeOf),
}

fn header(text: &str) -> Result<HeaderRow, String> {
    if text.eq_ignore_ascii_case("none") || text == "0" {
        return Ok(HeaderRow(None));
    }
    let why = || format!("`{text}` is no row; write the number of the row with the headings, or none");
    text.parse().map(|row| HeaderRow(Some(row))).map_err(|_| why())
}

/// `FIELD=HEADING,FIELD=HEADING`; a comma before something that is no field belongs to the heading.
fn columns(text: &str) -> Result<Columns, String> {
    let field = |word: &str| one_of("field", &MapField::ALL)(&word.replace('-', "_")).ok();
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
                return Err(format!("`{piece}` is not FIELD=HEADING; fields are {}", words(&MapField::ALL)));
            }
        }
    }
    Ok(Columns(found))
}

fn matched(text: &str) -> Result<(usize, String), String> {
    let found =
        text.split_once('=').and_then(|(row, part)| Some((row.trim().parse().ok()?, part.trim().to_owned())));
    found.ok_or_else(|| format!("`{text}` is not ROW=PART, as in 12=hall_bath_tub"))
}

fn accept(text: &str) -> Result<Accept, String> {
    let text = text.trim();
    if text.eq_ignore_ascii_case("all") {
        return Ok(Accept::All);
    }
    let (part, word) = text.rsplit_once(':').map_or((None, text), |(part, word)| (Some(part.trim()), word));
    let of = one_of("field", &ChangeOf::ALL)(&word.replace('-', "_")).map_err(|_| {
        format!("`{text}` is neither all, a field nor PART:FIELD; fields are {}", words(&ChangeOf::ALL))
    })?;
    Ok(part.map_or(Accept::Field(of), |part| Accept::One(part.to_owned(), of)))
}
