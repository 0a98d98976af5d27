//! What each verb does.

use super::args::Dated;
use super::{BAD, Failure, GOOD, Outcome, PROBLEMS};
use crate::engine::{self, Figures};
use crate::exchange::outgoing::crews::{self, CrewForm};
use crate::exchange::outgoing::json::week as json_week;
use crate::exchange::outgoing::lists::{self, Format, ListPlan, ListScope, What};
use crate::exchange::outgoing::print::{PaperForm, PaperKind, PaperScope, write_papers};
use crate::exchange::outgoing::week::{self, WeekForm};
use crate::exchange::typed::{Typed, TypedError};
use crate::exchange::{self, ExportError, Folder, Progress};
use crate::model::words::count;
use crate::model::{Action, CrewId, Project, Sent, Severity, file};
use std::io::Write;
use std::path::Path;

pub(super) fn input(why: impl ToString) -> Failure {
    Failure::Input(why.to_string())
}

/// A failed export, with the option that lets it replace what is there.
pub(super) fn export_failed(why: ExportError) -> Failure {
    match why {
        ExportError::There(_) => input(format!("{why}. Choose another folder, or add --force to replace it")),
        _ => input(why),
    }
}

pub(super) fn load(path: &Path) -> Result<Project, Failure> {
    file::load(path).map(|(project, _)| project).map_err(input)
}

/// The day kept in the project, else today.
pub(super) fn usual_day(project: &Project) -> chrono::NaiveDate {
    project.settings.as_of.unwrap_or_else(|| chrono::Local::now().date_naive())
}

/// The project and its figures on the day asked for, else the day kept in the project, else today.
pub(super) fn load_and_compute(of: &Dated) -> Result<(Project, Figures), Failure> {
    let project = load(&of.file)?;
    let usual = usual_day(&project);
    let as_of = match &of.as_of {
        Some(text) => typed("--as-of", Typed::of(&project.settings, usual).date(text))?,
        None => usual,
    };
    let figures = engine::compute(&project, as_of);
    Ok((project, figures))
}

/// A typed value, or the option it was typed for with what to type.
pub(super) fn typed<T>(option: &str, read: Result<T, TypedError>) -> Result<T, Failure> {
    read.map_err(|why| Failure::Use(format!("{option}: {why}")))
}

/// A file that is there already is replaced only when that is asked for, or when it is the project's own.
pub(super) fn check_target(own: Option<&Path>, path: &Path, force: bool) -> Result<(), Failure> {
    let same = || {
        own.and_then(|own| own.canonicalize().ok()).is_some_and(|own| Some(own) == path.canonicalize().ok())
    };
    if force || path.symlink_metadata().is_err() || same() {
        return Ok(());
    }
    let path = path.display();
    Err(input(format!("{path} is there already; choose another name, or add --force to replace it")))
}

/// Text that may hold anything, as one line without control characters.
pub(super) fn one_line(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

/// The project that sheets make, or the outcome where they have faults, which are named.
pub(super) fn read_sheets(folder: &Path, err: &mut dyn Write) -> Result<Result<Project, Outcome>, Failure> {
    let (project, notices) = match exchange::import_path(folder) {
        Ok(read) => read,
        Err(errors) => {
            for line in errors.lines() {
                writeln!(err, "{}", one_line(&line))?;
            }
            let faults = count(errors.count(), "fault");
            writeln!(err, "needline: {faults} in {}; nothing was written", folder.display())?;
            return Ok(Err(Outcome::Exit(BAD)));
        }
    };
    for notice in notices {
        writeln!(err, "warning: {}", one_line(&notice.to_string()))?;
    }
    Ok(Ok(project))
}

/// `import`: reads everything before anything is written.
pub fn import(
    folder: &Path,
    path: &Path,
    force: bool,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<Outcome, Failure> {
    check_target(None, path, force)?;
    let project = match read_sheets(folder, err)? {
        Ok(project) => project,
        Err(outcome) => return Ok(outcome),
    };
    file::save(&project, path, None).map_err(input)?;
    writeln!(
        out,
        "{}: {}, {}, {}, {}, {}",
        path.display(),
        count(project.rooms.len(), "room"),
        count(project.phases.len(), "phase"),
        count(project.suppliers.len(), "supplier"),
        count(project.selections.len(), "selection"),
        count(project.all_parts().count(), "part"),
    )?;
    Ok(Outcome::Exit(GOOD))
}

/// `export`.
pub fn export(path: &Path, folder: Folder<'_>, out: &mut dyn Write) -> Result<Outcome, Failure> {
    let project = load(path)?;
    exchange::export_folder(&project, folder).map_err(export_failed)?;
    let sheets = count(exchange::sheets::layout::SHEETS.len(), "sheet");
    writeln!(out, "{}: {sheets} written", folder.path.display())?;
    Ok(Outcome::Exit(GOOD))
}

/// `buy`.
pub fn buy(
    of: &Dated,
    folder: Folder<'_>,
    formats: &[Format],
    (supplier, what, noted): (Option<&str>, What, bool),
    out: &mut dyn Write,
) -> Result<Outcome, Failure> {
    let (project, figures) = load_and_compute(of)?;
    let currency = project.settings.currency;
    let scope = match supplier {
        None => ListScope::All,
        Some(key) => {
            let found = project.suppliers.iter().position(|s| s.key.eq_ignore_ascii_case(key));
            let keys: Vec<&str> = project.suppliers.iter().map(|s| s.key.as_str()).collect();
            let unknown =
                || format!("there is no supplier with the key `{key}`; there are {}", keys.join(", "));
            ListScope::One(Some(found.ok_or_else(|| input(unknown()))?))
        }
    };
    let plan = ListPlan { scope, what, formats: formats.to_vec() };
    let written = lists::write_lists(&project, &figures, folder, &plan, &Progress::new());
    let written = written.map_err(export_failed)?;
    if written.lists.is_empty() {
        let why = match what {
            What::All => "nothing to buy: no part is chosen, leaned to or ordered",
            What::ToOrder => "nothing to order: each part that is chosen or leaned to was ordered",
            What::Ordered => "nothing was ordered yet",
        };
        writeln!(out, "{why}")?;
    }
    for list in written.lists {
        let name = if list.supplier.is_some() { one_line(&list.name) } else { "no supplier yet".to_owned() };
        let total = list.total.to_plain(currency);
        let (least, left_out) = match list.left_out {
            Some(left_out) => ("at least ", format!("; {left_out}")),
            None => ("", String::new()),
        };
        let parts = count(list.parts, "part");
        writeln!(out, "{}: {name}, {parts}, {least}{total} {currency}{left_out}", list.file)?;
    }
    for file in written.others {
        writeln!(out, "{file}: all suppliers")?;
    }
    for file in written.left {
        writeln!(out, "{file}: left as it is; nothing is on order there now")?;
    }
    if noted {
        remember(of, &project, written.said, out)?;
    }
    Ok(Outcome::Exit(GOOD))
}

/// Notes in the project what calendars say, where that was asked for; the project is not written without a need.
fn remember(of: &Dated, project: &Project, said: Vec<Sent>, out: &mut dyn Write) -> Result<(), Failure> {
    let news = project.news_of(said);
    if !news.is_empty() {
        let next = project.apply(&Action::NoteSent(news)).map_err(input)?;
        file::save(&next, &of.file, None).map_err(input)?;
    }
    writeln!(out, "what the calendars say is noted in {}", of.file.display())?;
    Ok(())
}

/// `print`; without papers, all that have something to say.
pub fn print(
    of: &Dated,
    folder: Folder<'_>,
    papers: &[PaperKind],
    forms: &[PaperForm],
    room: Option<&str>,
    out: &mut dyn Write,
) -> Result<Outcome, Failure> {
    let (project, figures) = load_and_compute(of)?;
    let found = |key: &str| {
        let room = project.rooms.iter().find(|r| r.key == key).map(|r| r.id);
        room.ok_or_else(|| input(format!("there is no room `{key}`")))
    };
    let scope = PaperScope { beside: of.file.parent(), room: room.map(found).transpose()? };
    let papers = if papers.is_empty() { PaperKind::of(&project).collect() } else { papers.to_vec() };
    let written = write_papers(&project, &figures, scope, folder, &papers, forms, &Progress::new());
    for file in written.map_err(export_failed)? {
        writeln!(out, "{file}")?;
    }
    Ok(Outcome::Exit(GOOD))
}

/// `crew`.
pub fn crew(
    of: &Dated,
    folder: Folder<'_>,
    forms: &[CrewForm],
    (key, noted): (Option<&str>, bool),
    out: &mut dyn Write,
) -> Result<Outcome, Failure> {
    let (project, figures) = load_and_compute(of)?;
    let all = || project.crews.iter();
    let chosen: Vec<CrewId> = match key {
        None => all().map(|c| c.id).collect(),
        Some(key) => {
            let keys: Vec<&str> = all().map(|c| c.key.as_str()).collect();
            let unknown = || format!("there is no crew with the key `{key}`; there are {}", keys.join(", "));
            let found = all().find(|c| c.key.eq_ignore_ascii_case(key));
            vec![found.ok_or_else(|| input(unknown()))?.id]
        }
    };
    let written = crews::write_sheets(&project, &figures, folder, &chosen, forms, &Progress::new());
    let (written, said) = written.map_err(export_failed)?;
    if written.is_empty() {
        writeln!(out, "no crew has work to come")?;
    }
    for file in written {
        writeln!(out, "{file}")?;
    }
    if noted {
        remember(of, &project, said, out)?;
    }
    Ok(Outcome::Exit(GOOD))
}

/// `week`.
pub fn week(
    of: &Dated,
    folder: Option<Folder<'_>>,
    (days, noted): (i32, bool),
    forms: &[WeekForm],
    out: &mut dyn Write,
) -> Result<Outcome, Failure> {
    let (project, figures) = load_and_compute(of)?;
    let Some(folder) = folder else {
        let sheet = week::sheet(&project, &figures, days);
        let text = match forms {
            [WeekForm::Text] => week::text(&sheet),
            [WeekForm::Json] => json_week::to_text(&project, &figures, &sheet.lines).map_err(input)? + "\n",
            _ => {
                let why = "one of text and json is printed; for others add --out FOLDER to write files";
                return Err(Failure::Use(why.to_owned()));
            }
        };
        write!(out, "{text}")?;
        return Ok(Outcome::Exit(GOOD));
    };
    let written = week::write_week(&project, &figures, folder, days, forms, &Progress::new());
    let (written, said) = written.map_err(export_failed)?;
    for file in written {
        writeln!(out, "{file}")?;
    }
    if noted {
        remember(of, &project, said, out)?;
    }
    Ok(Outcome::Exit(GOOD))
}

/// `check`.
pub fn check(of: &Dated, out: &mut dyn Write) -> Result<Outcome, Failure> {
    let (project, figures) = load_and_compute(of)?;
    let problems = engine::problems(&project, &figures);
    for p in &problems {
        let (about, message) = (one_line(&p.about), one_line(&p.message));
        writeln!(out, "{} {} {about}: {message}", p.severity.word(), p.code)?;
    }
    for c in engine::cautions::cautions(&project) {
        let phases: Vec<&str> = c.phases.iter().map(|at| project.phases[*at].name.as_str()).collect();
        let (phases, text) = (one_line(&phases.join(", ")), c.caution.text);
        writeln!(out, "caution {}: {phases}: {text} [{}]", c.caution.hazard.word(), c.caution.source)?;
    }
    let of = |severity| problems.iter().filter(|p| p.severity == severity).count();
    let (errors, warnings) = (of(Severity::Error), of(Severity::Warning));
    if problems.is_empty() {
        writeln!(out, "no problems on {}", figures.as_of)?;
    } else {
        let (errors, warnings) = (count(errors, "error"), count(warnings, "warning"));
        let notes = count(of(Severity::Note), "note");
        writeln!(out, "{errors}, {warnings}, {notes} on {}", figures.as_of)?;
    }
    Ok(Outcome::Exit(if errors > 0 { PROBLEMS } else { GOOD }))
}
