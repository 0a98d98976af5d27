//! The program without a window: one verb, then files.
//!
//! Results go to the standard output, warnings and faults to the standard error. Exit codes: 0 good, 1 problems
//! found, 2 bad use or unreadable input. The only part of the program, besides the window, that reads the clock.

mod alternative_verbs;
mod args;
mod clean;
mod curve_verb;
mod hold;
mod houses;
mod list_args;
mod list_verb;
mod log_verbs;
mod look_ahead;
mod merge_verb;
mod share_verb;
mod swap_verbs;
mod verbs;

use crate::exchange::Folder;
use crate::exchange::outgoing::crews::CrewForm;
use crate::exchange::outgoing::lists::Format;
use crate::exchange::outgoing::print::{PaperForm, PaperKind};
use crate::exchange::outgoing::tables::TableForm;
use crate::exchange::outgoing::week::WeekForm;
use args::{Arguments, Verb};
use clap::{CommandFactory, Parser};
use clean::cleaned;
use hold::hold;
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
    let done = match Arguments::try_parse_from(std::iter::once("needline".into()).chain(args)) {
        Ok(Arguments { verb }) => perform(verb, out, err),
        Err(told) if told.use_stderr() => {
            let text = told.to_string();
            Err(Failure::Input(text.strip_prefix("error: ").unwrap_or(&text).trim_end().to_owned()))
        }
        Err(told) => print(out, &told.to_string()),
    };
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

fn perform(verb: Option<Verb>, out: &mut dyn Write, err: &mut dyn Write) -> Result<Outcome, Failure> {
    let _held = hold(verb.as_ref().and_then(Verb::writes))?;
    match verb {
        None => Ok(Outcome::Window(None)),
        Some(Verb::Other(words)) => window(words),
        Some(Verb::Import { folder, out: file, force }) => verbs::import(&folder, &file, force, out, err),
        Some(Verb::Export { file, to }) => verbs::export(&file, to.folder(), out),
        Some(Verb::Figures(request)) => houses::figures(&request, out, err),
        Some(Verb::Table(request)) => {
            houses::table(&request, &each_once(&TableForm::ALL, &request.format), out, err)
        }
        Some(Verb::Choose(request)) => curve_verb::choose(&request, out),
        Some(Verb::Buy { of, to, format, supplier, what, noted }) => {
            let formats = each_once(&Format::ALL, &format);
            verbs::buy(&of, to.folder(), &formats, (supplier.as_deref(), what, noted.remember), out)
        }
        Some(Verb::Print { of, to, format, paper, room }) => {
            let papers = each_once(&PaperKind::ALL, &paper);
            let forms = each_once(&PaperForm::ALL, &format);
            verbs::print(&of, to.folder(), &papers, &forms, room.as_deref(), out)
        }
        Some(Verb::Crew { of, to, crew, format, noted }) => {
            let forms = each_once(&CrewForm::ALL, &format);
            verbs::crew(&of, to.folder(), &forms, (crew.as_deref(), noted.remember), out)
        }
        Some(Verb::Week { of, days, format, noted, out: folder, force }) => {
            let folder = folder.as_deref().map(|path| Folder::new(path, force));
            verbs::week(&of, folder, (days, noted.remember), &each_once(&WeekForm::ALL, &format), out)
        }
        Some(Verb::Share(request)) => share_verb::share(&request, out),
        Some(Verb::Check { of }) => verbs::check(&of, out),
        Some(Verb::ImportList(request)) => list_verb::import_list(&request, out, err),
        Some(Verb::Alternatives { of }) => alternative_verbs::tell(&of, out),
        Some(Verb::Adopt { of, alternative, target }) => {
            alternative_verbs::adopt(&of, &alternative, &target, out)
        }
        Some(Verb::Keep { of, name, target }) => log_verbs::keep(&of, &name, &target, out),
        Some(Verb::Log { of, plan }) => log_verbs::tell(&of, plan.as_deref(), out),
        Some(Verb::Update(request)) => log_verbs::update(&request, out, err),
        Some(Verb::Merge(request)) => merge_verb::run(&request, out),
        Some(Verb::Swap(request)) => swap_verbs::swap(&request, out),
        Some(Verb::Return(request)) => swap_verbs::return_of(&request, out),
        Some(Verb::Swaps { file, room }) => swap_verbs::swaps(&file, room.as_deref(), out),
    }
}

/// A file to open in the window, unless there is more than that.
fn window(mut words: Vec<OsString>) -> Result<Outcome, Failure> {
    match words.pop() {
        Some(file) if words.is_empty() => Ok(Outcome::Window(Some(file.into()))),
        _ => {
            let command = Arguments::command();
            let known: Vec<&str> = command.get_subcommands().map(|verb| verb.get_name()).collect();
            let first = words.first().map(|word| word.display().to_string()).unwrap_or_default();
            Err(Failure::Use(format!("`{first}` is no command; there are {}", known.join(", "))))
        }
    }
}

/// What was asked for, each once and in the order of the table.
fn each_once<T: Copy + PartialEq>(known: &[(&'static str, T)], asked: &[T]) -> Vec<T> {
    known.iter().map(|(_, value)| *value).filter(|value| asked.contains(value)).collect()
}

fn print(out: &mut dyn Write, text: &str) -> Result<Outcome, Failure> {
    out.write_all(text.as_bytes())?;
    Ok(Outcome::Exit(GOOD))
}

/// Says on the standard error why the program ends; for what happens outside of a command.
pub fn complain(why: &str) {
    // Nobody is left to tell when the standard error is gone.
    let _ = writeln!(Patient::new(&mut io::stderr().lock()), "needline: {why}");
}

/// A writer for a reader who may go away early, as with `needline check house.ron | head -1`: what is written after
/// that goes nowhere, and the work and its exit code stay the same. All that commands write goes through here, so that
/// here nothing gets through that a terminal obeys.
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
        let done = match cleaned(bytes) {
            None => self.inner.write(bytes),
            Some(clean) => self.inner.write_all(clean.as_bytes()).map(|()| bytes.len()),
        };
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
