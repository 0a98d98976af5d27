//! The program without a window: one verb, then files.
//!
//! Results go to the standard output, warnings and faults to the standard error. Exit codes: 0 good, 1 problems
//! found, 2 bad use or unreadable input. The only part of the program, besides the window, that reads the clock.

mod list_verb;
mod parse;
mod parse_list;
mod parse_swap;
mod swap_verbs;
mod verbs;

use parse::Request;
use std::ffi::OsString;
use std::io::{self, Write};
use std::path::PathBuf;

/// What is to be done after the arguments were dealt with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// The work is done: leave with this code.
    Exit(u8),
    /// Open the window, with a file or on the start page.
    Window(Option<PathBuf>),
}

/// Everything went well.
pub const GOOD: u8 = 0;
/// The project has errors.
pub const PROBLEMS: u8 = 1;
/// The arguments or the input are of no use.
pub const BAD: u8 = 2;

/// How the program is used.
pub const USAGE: &str = "\
Needline: room-by-room selections for the remodel of a house

  needline [FILE]
      open the window, on the start page when no FILE is given
  needline import FOLDER --out FILE [--force]
      read the sheets in FOLDER, or in one .xlsx workbook, into a new project
  needline import-list FILE --into PROJECT (--preview | --accept all|PART:FIELD|FIELD,...) [--supplier KEY]
      prices and lead times of a supplier's list, or selections, from CSV or .xlsx of any layout; --preview shows what
      was made of the columns and what would change. Bad rows: nothing is written, unless --skip-bad-rows
      [--as prices|selections] [--sheet NAME] [--header ROW|none] [--map FIELD=HEADING,...] [--decimal point|comma]
      [--dates day|month|year] [--lead-unit days|weeks|working] [--any-currency] [--by-name] [--match ROW=PART]
      [--add-to SELECTION] [--create rooms,suppliers] [--fill-down] [--forget] [--out FILE [--force]]
  needline export FILE --out FOLDER
      write the project as sheets
  needline figures FILE [--as-of DATE]
      all computed figures as JSON
  needline buy FILE [--as-of DATE] --out FOLDER [--format csv,xlsx,pdf,html,ics] [--supplier KEY]
      a purchase list for each supplier, or for one
  needline print FILE [--as-of DATE] --out FOLDER [--format pdf,html]
                 [--paper selections,schedule,budget,inspections]
      papers of the whole project
  needline check FILE [--as-of DATE]
      problems, one a line
  needline swap FILE --selection KEY --to KEY [--why TEXT] (--preview | --out FILE [--force])
  needline swap FILE --reverse SWAP [--why TEXT] (--preview | --out FILE [--force])
      what another choice costs in money, days, returns and knock-ons; with --out it is made
      [--as-of DATE] [--json] [--price KNOCKON=COST[/DAYS]] [--send-back PART[=FREIGHT]] [--keep PART]
  needline return FILE --part KEY --state WORD --out FILE [--force]
      what becomes of an ordered part that is no longer wanted: going_back, went_back, kept, written_off
      [--as-of DATE] [--credit AMOUNT] [--freight AMOUNT] [--restock PERCENT] [--note TEXT]
  needline swaps FILE [--room KEY]
      the log of swaps as CSV
  needline help, --help, --version

DATE is year-month-day, for example 2026-08-24. Without it the day kept in the project counts, else today.
Exit codes: 0 good, 1 check found errors, 2 bad use or unreadable input.
";

/// Why a command did not do its work; printed as it is, exit code 2.
#[derive(Debug, thiserror::Error)]
enum Failure {
    #[error("{0}\nneedline --help shows how it is used")]
    Use(String),
    #[error("{0}")]
    Input(String),
    #[error("the output could not be written: {0}")]
    Output(#[from] io::Error),
}

/// Runs the command that the arguments (without the program's own name) ask for, with the standard outputs.
pub fn run(args: Vec<OsString>) -> Outcome {
    run_with(args, &mut io::stdout().lock(), &mut io::stderr().lock())
}

/// As [`run`], with outputs of the caller's choice.
pub fn run_with(args: Vec<OsString>, out: &mut dyn Write, err: &mut dyn Write) -> Outcome {
    let (out, err) = (&mut Patient::new(out), &mut Patient::new(err));
    let done = parse::parse(args).and_then(|request| match request {
        Request::Window(file) => Ok(Outcome::Window(file)),
        Request::Help => print(out, USAGE),
        Request::Version => print(out, concat!("needline ", env!("CARGO_PKG_VERSION"), "\n")),
        Request::Import { folder, file, force } => verbs::import(&folder, &file, force, out, err),
        Request::Export { file, folder } => verbs::export(&file, &folder, out),
        Request::Figures { file, as_of } => verbs::figures(&file, as_of, out),
        Request::Buy { file, as_of, folder, formats, supplier } => {
            verbs::buy(&file, as_of, &folder, &formats, supplier.as_deref(), out)
        }
        Request::Print { file, as_of, folder, papers, forms } => {
            verbs::print(&file, as_of, &folder, &papers, &forms, out)
        }
        Request::Check { file, as_of } => verbs::check(&file, as_of, out),
        Request::ImportList(request) => list_verb::import_list(&request, out, err),
        Request::Swap(request) => swap_verbs::swap(&request, out),
        Request::Return(request) => swap_verbs::return_of(&request, out),
        Request::Swaps { file, room } => swap_verbs::swaps(&file, room.as_deref(), out),
    });
    let flushed = out.flush();
    match done.and_then(|outcome| flushed.map(|()| outcome).map_err(Failure::from)) {
        Ok(outcome) => outcome,
        Err(failure) => {
            // Nobody is left to tell when the standard error is gone too.
            let _ = writeln!(err, "needline: {failure}");
            Outcome::Exit(BAD)
        }
    }
}

fn print(out: &mut dyn Write, text: &str) -> Result<Outcome, Failure> {
    out.write_all(text.as_bytes())?;
    Ok(Outcome::Exit(GOOD))
}

/// A writer for a reader who may go away early, as with `needline check house.ron | head -1`: what is written after
/// that goes nowhere, and the work and its exit code stay the same.
struct Patient<'a> {
    inner: &'a mut dyn Write,
    gone: bool,
}

impl<'a> Patient<'a> {
    fn new(inner: &'a mut dyn Write) -> Patient<'a> {
        Patient { inner, gone: false }
    }

    fn unless_gone<T>(&mut self, done: io::Result<T>, otherwise: T) -> io::Result<T> {
        match done {
            Err(why) if why.kind() == io::ErrorKind::BrokenPipe => {
                self.gone = true;
                Ok(otherwise)
            }
            done => done,
        }
    }
}

impl Write for Patient<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.gone {
            return Ok(bytes.len());
        }
        let done = self.inner.write(bytes);
        self.unless_gone(done, bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        if self.gone {
            return Ok(());
        }
        let done = self.inner.flush();
        self.unless_gone(done, ())
    }
}
