//! The arguments: verbs with what each is given. The comments of verbs and options are what `--help` shows.

use super::houses::{FiguresRequest, TableRequest};
use super::list_args::ListRequest;
use super::log_verbs::UpdateRequest;
use super::look_ahead::ChooseRequest;
use super::merge_verb::MergeRequest;
use super::share_verb::ShareRequest;
use crate::engine::week::HORIZONS;
use crate::exchange::Folder;
use crate::exchange::outgoing::crews::CrewForm;
use crate::exchange::outgoing::lists::{Format, What};
use crate::exchange::outgoing::print::{PaperForm, PaperKind};
use crate::exchange::outgoing::week::WeekForm;
use crate::model::ReturnState;
use clap::{Args, Parser, Subcommand};
use std::ffi::OsString;
use std::path::PathBuf;

const AFTER: &str = "\
FILE alone opens the window with it; without FILE the window opens on the start page.
DATE is 2026-08-24, Aug 24, or 8/24/2026 in the order of the project. Without it the day kept in the project counts, else today.
Exit codes: 0 good, 1 check found errors or a list has bad rows, 2 bad use or unreadable input.";

/// Needline: room-by-room selections for the remodel of a house
#[derive(Parser)]
#[command(name = "needline", version, after_help = AFTER, override_usage = "needline [FILE]\n       needline <COMMAND>")]
pub struct Arguments {
    /// What is to be done; the window opens when nothing is.
    #[command(subcommand)]
    pub verb: Option<Verb>,
}

/// What the user asks for.
#[derive(Debug, Subcommand)]
pub enum Verb {
    /// Read the sheets in a folder, or in one .xlsx workbook, into a new project
    Import {
        /// The folder or the workbook
        folder: PathBuf,
        /// The project file to write
        #[arg(long, value_name = "FILE")]
        out: PathBuf,
        /// Replace FILE when it is there already
        #[arg(long)]
        force: bool,
    },
    /// Take prices and lead times, or selections, from a CSV or .xlsx list of any layout
    ImportList(Box<ListRequest>),
    /// Write the project as sheets
    Export {
        /// The project
        file: PathBuf,
        #[command(flatten)]
        to: ToFolder,
    },
    /// Print all computed figures as JSON
    Figures(Box<FiguresRequest>),
    /// Write houses, phases, parts and what is to be done this week as tables, of one project or of many
    Table(Box<TableRequest>),
    /// Make the cheapest set of choices that finishes by a day
    Choose(Box<ChooseRequest>),
    /// Write a purchase list for each supplier, or for one
    Buy {
        #[command(flatten)]
        of: Dated,
        #[command(flatten)]
        to: ToFolder,
        /// Any of csv, xlsx, pdf, html and ics
        #[arg(long, value_name = "FORMAT,...", value_delimiter = ',', default_value = "csv",
              value_parser = one_of("format", &Format::ALL))]
        format: Vec<Format>,
        /// Only the list of the supplier with this key
        #[arg(long, value_name = "KEY")]
        supplier: Option<String>,
        /// to-order, ordered or all; calendars hold the dates of all
        #[arg(long, value_name = "WORD", default_value = "all", value_parser = one_of("word", &What::ALL))]
        what: What,
        #[command(flatten)]
        noted: Noted,
    },
    /// Write papers of the whole project
    Print {
        #[command(flatten)]
        of: Dated,
        #[command(flatten)]
        to: ToFolder,
        /// pdf, html or both
        #[arg(long, value_name = "FORMAT,...", value_delimiter = ',', default_value = "pdf",
              value_parser = one_of("format", &PaperForm::ALL))]
        format: Vec<PaperForm>,
        /// The papers by name, as finish_board or schedule; all that have something to say when not given
        #[arg(long, value_name = "PAPER,...", value_delimiter = ',', value_parser = one_of("paper", &PaperKind::ALL))]
        paper: Vec<PaperKind>,
        /// Finish boards and room sheets only of the room with this key
        #[arg(long, value_name = "KEY")]
        room: Option<String>,
    },
    /// Write what one crew needs: its days, what is on site, what is still to be ready, cautions
    Crew {
        #[command(flatten)]
        of: Dated,
        #[command(flatten)]
        to: ToFolder,
        /// Only the crew with this key; all with work to come when not given
        #[arg(long, value_name = "KEY")]
        crew: Option<String>,
        /// Any of pdf, html, ics and txt
        #[arg(long, value_name = "FORMAT,...", value_delimiter = ',', default_value = "pdf",
              value_parser = one_of("format", &CrewForm::ALL))]
        format: Vec<CrewForm>,
        #[command(flatten)]
        noted: Noted,
    },
    /// Print what is to be done in the next days, or write it as files
    Week {
        #[command(flatten)]
        of: Dated,
        /// How many days, the day itself among them: 7, 14 or 28
        #[arg(long, value_name = "DAYS", default_value = "7", value_parser = one_of("number of days", &DAYS))]
        days: i32,
        /// Any of text, pdf, html (with a page for a phone), ics and json; only text or json without --out
        #[arg(long, value_name = "FORMAT,...", value_delimiter = ',', default_value = "text",
              value_parser = one_of("format", &WeekForm::ALL))]
        format: Vec<WeekForm>,
        #[command(flatten)]
        noted: Noted,
        /// The folder to write files to
        #[arg(long, value_name = "FOLDER")]
        out: Option<PathBuf>,
        /// Replace files of the same names in FOLDER
        #[arg(long)]
        force: bool,
    },
    /// Write a page for one person with a phone: what to choose, a crew's days, what is on order, a visit
    Share(Box<ShareRequest>),
    /// Name problems, one a line, each with what to do
    Check {
        #[command(flatten)]
        of: Dated,
    },
    /// Tell what each alternative comes to, beside what is chosen now
    Alternatives {
        #[command(flatten)]
        of: Dated,
    },
    /// Make the choices of an alternative, in one step
    Adopt {
        #[command(flatten)]
        of: Dated,
        /// The alternative
        #[arg(long, value_name = "KEY")]
        alternative: String,
        #[command(flatten)]
        target: Target,
    },
    /// Keep the forecast as it stands under a name: what was agreed on
    Keep {
        #[command(flatten)]
        of: Dated,
        /// What the plan is called
        #[arg(long, value_name = "TEXT")]
        name: String,
        #[command(flatten)]
        target: Target,
    },
    /// Tell where the days and the money went since a plan was kept, line by line
    Log {
        #[command(flatten)]
        of: Dated,
        /// The kept plan with this key; the one kept last when not given
        #[arg(long, value_name = "KEY")]
        plan: Option<String>,
    },
    /// Take changed sheets of a project, with a line in its log for what they move
    Update(Box<UpdateRequest>),
    /// Bring two versions of a project together; 1 when both changed something differently, where OURS counts
    Merge(MergeRequest),
    /// Show what another choice costs in money, days, returns and knock-ons; with --out it is made
    Swap(Box<SwapRequest>),
    /// Note what becomes of an ordered part that is no longer wanted
    Return(Box<ReturnRequest>),
    /// Print the log of swaps as CSV
    Swaps {
        /// The project
        file: PathBuf,
        /// Only swaps in the room with this key
        #[arg(long, value_name = "KEY")]
        room: Option<String>,
    },
    /// A file for the window, or a word that is no command.
    #[command(external_subcommand)]
    Other(Vec<OsString>),
}

/// How far ahead the week may look.
const DAYS: [(&str, i32); 3] = [("7", HORIZONS[0]), ("14", HORIZONS[1]), ("28", HORIZONS[2])];

/// A project on a day.
#[derive(Debug, Args)]
pub struct Dated {
    /// The project
    pub file: PathBuf,
    /// The day to compute for
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<String>,
}

/// Whether the project notes what its calendars say.
#[derive(Debug, Args)]
pub struct Noted {
    /// Note in the project what its calendars say, so that the next ones take back what is settled by then
    #[arg(long)]
    pub remember: bool,
}

/// Where files go.
#[derive(Debug, Args)]
pub struct ToFolder {
    /// The folder to write them to
    #[arg(long, value_name = "FOLDER")]
    pub out: PathBuf,
    /// Replace files of the same names in FOLDER
    #[arg(long)]
    pub force: bool,
}

impl ToFolder {
    /// As the writers of files want it.
    pub fn folder(&self) -> Folder<'_> {
        Folder::new(&self.out, self.force)
    }
}

/// What `swap` is asked.
#[derive(Debug, Args)]
pub struct SwapRequest {
    #[command(flatten)]
    pub of: Dated,
    /// The selection, with --to
    #[arg(long, value_name = "KEY")]
    pub selection: Option<String>,
    /// The option that is to be the choice
    #[arg(long, value_name = "KEY")]
    pub to: Option<String>,
    /// A swap of the log to take back
    #[arg(long, value_name = "SWAP")]
    pub reverse: Option<String>,
    /// Why, for the log
    #[arg(
        long,
        value_name = "TEXT",
        default_value = "",
        hide_default_value = true,
        allow_hyphen_values = true
    )]
    pub why: String,
    /// What a knock-on costs, and the working days it takes; may be given again
    #[arg(long, value_name = "KNOCKON=COST[/DAYS]", value_parser = price)]
    pub price: Vec<KnockOn>,
    /// An ordered part to send back, with the freight of that; may be given again
    #[arg(long, value_name = "PART[=FREIGHT]", value_parser = with_freight)]
    pub send_back: Vec<(String, Option<String>)>,
    /// An ordered part to keep; may be given again
    #[arg(long, value_name = "PART")]
    pub keep: Vec<String>,
    /// Only look
    #[arg(long)]
    pub preview: bool,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    #[command(flatten)]
    pub target: Target,
}

/// What a knock-on costs, as it is typed, and the working days it takes.
#[derive(Debug, Clone)]
pub struct KnockOn {
    pub key: String,
    pub cost: String,
    pub days: i32,
}

/// What `return` is asked.
#[derive(Debug, Args)]
pub struct ReturnRequest {
    #[command(flatten)]
    pub of: Dated,
    /// The part
    #[arg(long, value_name = "KEY")]
    pub part: String,
    /// going_back, went_back, kept or written_off
    #[arg(long, value_name = "WORD", value_parser = state)]
    pub state: ReturnState,
    /// What came back
    #[arg(long, value_name = "AMOUNT")]
    pub credit: Option<String>,
    /// What sending it cost
    #[arg(long, value_name = "AMOUNT")]
    pub freight: Option<String>,
    /// Percent that the supplier keeps
    #[arg(long, value_name = "PERCENT")]
    pub restock: Option<String>,
    /// A note
    #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
    pub note: Option<String>,
    #[command(flatten)]
    pub target: Target,
}

/// Where a changed project goes.
#[derive(Debug, Args)]
pub struct Target {
    /// The project file to write; the project's own may be written over
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Replace another FILE when it is there already
    #[arg(long)]
    pub force: bool,
}

pub(super) fn words<T>(known: &[(&'static str, T)]) -> String {
    known.iter().map(|(word, _)| *word).collect::<Vec<_>>().join(", ")
}

/// Reads one of the words of a table.
pub(super) fn one_of<T: Copy + Send + Sync>(
    what: &'static str,
    known: &'static [(&'static str, T)],
) -> impl Fn(&str) -> Result<T, String> + Clone {
    move |text| {
        let word = text.trim();
        let found = known.iter().find(|(known, _)| known.eq_ignore_ascii_case(word)).map(|(_, value)| *value);
        found.ok_or_else(|| format!("`{word}` is no {what}; there are {}", words(known)))
    }
}

fn state(text: &str) -> Result<ReturnState, String> {
    one_of("state", &ReturnState::ALL)(&text.replace('-', "_"))
}

fn price(text: &str) -> Result<KnockOn, String> {
    let wrong = || format!("`{text}` is not KNOCKON=COST or KNOCKON=COST/DAYS, as in template:top=250/2");
    let (key, rest) = text.split_once('=').ok_or_else(wrong)?;
    let (cost, days) = rest.split_once('/').unwrap_or((rest, "0"));
    let days: u16 = days.trim().parse().map_err(|_| wrong())?;
    Ok(KnockOn { key: key.trim().to_owned(), cost: cost.trim().to_owned(), days: i32::from(days) })
}

fn with_freight(text: &str) -> Result<(String, Option<String>), String> {
    let (part, freight) = text.split_once('=').map_or((text, None), |(part, freight)| (part, Some(freight)));
    Ok((part.trim().to_owned(), freight.map(|freight| freight.trim().to_owned())))
}
