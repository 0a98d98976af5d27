//! Many houses at once: files and folders of projects, read by all cores and told one after the other. One that cannot be
//! read is named, and the others are done all the same.

use super::args::ToFolder;
use super::look_ahead::Trials;
use super::verbs::{export_failed, input, load, typed, usual_day};
use super::{Failure, GOOD, Outcome, PROBLEMS};
use crate::engine::curve::Question;
use crate::engine::risk::{Run, Watch, simulate};
use crate::engine::{self, Figures};
use crate::exchange::outgoing::json::figures::{FiguresJson, figures_json, written};
use crate::exchange::outgoing::tables::{self, Rows, TABLES, TableForm, Tables};
use crate::exchange::typed::Typed;
use crate::exchange::{NewFile, Progress};
use crate::model::Project;
use crate::model::words::count;
use clap::Args;
use serde::Serialize;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// What `figures` is asked.
#[derive(Debug, Args)]
pub struct FiguresRequest {
    /// The project; of more than one, or of a folder of them, there is a line of JSON each
    #[arg(required = true, value_name = "FILE|FOLDER")]
    pub files: Vec<PathBuf>,
    /// The day to compute for
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<String>,
    #[command(flatten)]
    pub risk: Trials,
    /// Add the best trades between total and finish, and what wins days
    #[arg(long)]
    pub curve: bool,
    /// With --curve: what is chosen and not ordered yet may be changed too
    #[arg(long, requires = "curve")]
    pub reopen_all: bool,
}

/// What `table` is asked.
#[derive(Debug, Args)]
pub struct TableRequest {
    /// Projects, and folders of projects
    #[arg(required = true, value_name = "FILE|FOLDER")]
    pub files: Vec<PathBuf>,
    /// The day to compute for; each project's own, else today, when not given
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<String>,
    #[command(flatten)]
    pub to: ToFolder,
    /// csv, parquet or both
    #[arg(long, value_name = "FORMAT,...", value_delimiter = ',', default_value = "csv",
          value_parser = super::args::one_of("format", &TableForm::ALL))]
    pub format: Vec<TableForm>,
}

/// Houses that are computed before the first of them is told: enough for all cores, few enough for the memory.
const TOGETHER: usize = 256;

/// The projects, those of folders and the folders in them in the order of their names. What a link leads to or begins
/// with a point is not looked for.
fn projects(files: &[PathBuf]) -> Result<Vec<PathBuf>, Failure> {
    let mut all = Vec::new();
    for path in files {
        if path.is_dir() {
            in_folder(path, &mut all)
                .map_err(|why| input(format!("{}: the folder could not be read: {why}", path.display())))?;
        } else {
            all.push(path.clone());
        }
    }
    if all.is_empty() {
        return Err(input(format!("there is no project (.ron) in {}", named(files))));
    }
    Ok(all)
}

fn named(files: &[PathBuf]) -> String {
    files.iter().map(|path| path.display().to_string()).collect::<Vec<_>>().join(", ")
}

fn in_folder(folder: &Path, all: &mut Vec<PathBuf>) -> std::io::Result<()> {
    let mut entries: Vec<_> = std::fs::read_dir(folder)?.collect::<Result<_, _>>()?;
    entries.sort_by_key(|entry| entry.file_name());
    for entry in entries.iter().filter(|entry| !entry.file_name().to_string_lossy().starts_with('.')) {
        let (path, kind) = (entry.path(), entry.file_type()?);
        if kind.is_dir() {
            in_folder(&path, all)?;
        } else if kind.is_file() && path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("ron"))
        {
            all.push(path);
        }
    }
    Ok(())
}

/// Reads and computes each project on all cores, and hands what was made of it over in their order. How many could not be
/// read, which are named.
fn each<T: Send>(
    paths: &[PathBuf],
    as_of: Option<&str>,
    err: &mut dyn Write,
    make: impl Fn(&str, &Project, &Figures) -> Result<T, Failure> + Sync,
    mut take: impl FnMut(T) -> Result<(), Failure>,
) -> Result<usize, Failure> {
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let mut left_out = 0;
    for some in paths.chunks(TOGETHER) {
        let next = AtomicUsize::new(0);
        let made: Vec<Mutex<Option<Result<T, Failure>>>> = some.iter().map(|_| Mutex::new(None)).collect();
        let work = || {
            loop {
                let at = next.fetch_add(1, Ordering::Relaxed);
                let (Some(path), Some(place)) = (some.get(at), made.get(at)) else { return };
                let one = of(path, as_of, &make);
                if let Ok(mut place) = place.lock() {
                    *place = Some(one);
                }
            }
        };
        std::thread::scope(|scope| {
            for _ in 1..threads.min(some.len()) {
                scope.spawn(work);
            }
            work();
        });
        for place in made {
            match place.into_inner().ok().flatten() {
                Some(Ok(one)) => take(one)?,
                // What was asked is wrong, and so it is for every house.
                Some(Err(Failure::Use(why))) => return Err(Failure::Use(why)),
                Some(Err(why)) => {
                    left_out += 1;
                    writeln!(err, "needline: {why}")?;
                }
                None => left_out += 1,
            }
        }
    }
    Ok(left_out)
}

fn of<T>(
    path: &Path,
    as_of: Option<&str>,
    make: &impl Fn(&str, &Project, &Figures) -> Result<T, Failure>,
) -> Result<T, Failure> {
    let house = path.display().to_string();
    let project = load(path)?;
    let usual = usual_day(&project);
    let day = match as_of {
        Some(text) => typed("--as-of", Typed::of(&project.settings, usual).date(text))?,
        None => usual,
    };
    let figures = engine::compute(&project, day);
    make(&house, &project, &figures)
}

fn outcome(left_out: usize, all: usize, err: &mut dyn Write) -> Result<Outcome, Failure> {
    if left_out == 0 {
        return Ok(Outcome::Exit(GOOD));
    }
    writeln!(err, "needline: {left_out} of {} could not be read; the others are done", count(all, "house"))?;
    Ok(Outcome::Exit(PROBLEMS))
}

/// The figures of a house, and which it is.
#[derive(Serialize)]
struct OfHouse<'a> {
    house: &'a str,
    #[serde(flatten)]
    figures: &'a FiguresJson,
}

impl FiguresRequest {
    /// What is asked of one house.
    fn json(&self, project: &Project, figures: &Figures) -> FiguresJson {
        let problems = engine::problems(project, figures);
        let mut json = figures_json(project, figures, &problems);
        if let Some(trials) = self.risk.trials {
            let usual = Run {
                confidence: self.risk.confidence.unwrap_or(project.settings.confidence),
                ..Run::new(trials, self.risk.seed)
            };
            let run = Run { threads: self.risk.threads.map_or(usual.threads, usize::from), ..usual };
            // Nobody is there to stop it.
            if let Some(risk) = simulate(project, figures, run, &Watch::default()) {
                json = json.with_risk(project, figures, &risk);
            }
        }
        if self.curve {
            let all = || Question::all_not_ordered(project);
            let question = if self.reopen_all { all() } else { Question::default() };
            json = json.with_curve(project, figures, &engine::curve::curve(project, figures, &question));
        }
        json.with_alternatives(project, figures)
    }
}

/// `figures`: of one project for people to read, of many a line of JSON each.
pub(super) fn figures(
    request: &FiguresRequest,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<Outcome, Failure> {
    let as_of = request.as_of.as_deref();
    if let [file] = request.files.as_slice()
        && !file.is_dir()
    {
        let json = of(file, as_of, &|_, project, figures| Ok(request.json(project, figures)))?;
        writeln!(out, "{}", written(&json).map_err(input)?)?;
        return Ok(Outcome::Exit(GOOD));
    }
    let paths = projects(&request.files)?;
    let line = |house: &str, project: &Project, figures: &Figures| {
        serde_json::to_string(&OfHouse { house, figures: &request.json(project, figures) }).map_err(input)
    };
    let left_out = each(&paths, as_of, err, line, |line| Ok(writeln!(out, "{line}")?))?;
    outcome(left_out, paths.len(), err)
}

/// `table`.
pub(super) fn table(
    request: &TableRequest,
    forms: &[TableForm],
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<Outcome, Failure> {
    let paths = projects(&request.files)?;
    let mut tables = Tables::begin(forms).map_err(input)?;
    let make = |house: &str, project: &Project, figures: &Figures| -> Result<Rows, Failure> {
        let problems = engine::problems(project, figures);
        let json = figures_json(project, figures, &problems);
        tables::rows(house, project, &json).map_err(|why| input(format!("{house}: {why}")))
    };
    let mut counts = [0; TABLES.len()];
    let left_out = each(&paths, request.as_of.as_deref(), err, make, |rows| {
        for (count, rows) in counts.iter_mut().zip(&rows) {
            *count += rows.len();
        }
        tables.add(&rows).map_err(input)
    })?;
    let folder = request.to.folder();
    let files = tables.finish().map_err(input)?;
    let files: Vec<NewFile> =
        files.into_iter().map(|(name, bytes)| NewFile { path: folder.path.join(name), bytes }).collect();
    folder.write(&files, &Progress::new()).map_err(export_failed)?;
    for (table, rows) in TABLES.iter().zip(counts) {
        for form in forms {
            writeln!(out, "{}: {}", tables::file_name(table, *form), count(rows, "row"))?;
        }
    }
    outcome(left_out, paths.len(), err)
}
