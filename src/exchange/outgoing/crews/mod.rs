//! What one crew needs to know: its phases with their days, what is on site for them, what is still to be ready, and what
//! can hurt. One value, written as a text to send, a paper and a calendar.

mod ics;
mod message;
mod paper;

pub use ics::ics;
pub use message::{message, span};
pub use paper::paper;

use super::calendar::Diary;
use super::lists::names::safe_stem;
use super::print::words::date;
use super::print::{html, pdf};
use crate::engine::people::phases_of;
use crate::engine::{Day, Figures};
use crate::exchange::file_set::{ExportError, Folder, NewFile};
use crate::exchange::progress::Progress;
use crate::model::caution::{self, Caution};
use crate::model::{Crew, CrewId, Phase, Project, Punch, Sent, SentIn, Settings};
use chrono::NaiveDate;
use std::collections::HashSet;

/// Everything for one crew on a day.
#[derive(Debug, Clone)]
pub struct CrewSheet {
    /// The crew.
    pub crew: Crew,
    /// What holds for the house: who owns it, where it is.
    pub settings: Settings,
    /// The day it is for.
    pub as_of: NaiveDate,
    /// Its phases that are not finished, by their first day.
    pub phases: Vec<CrewPhase>,
    /// What it has to put right, what is late first.
    pub punch: Vec<CrewPunch>,
    /// What can hurt in them, each once.
    pub cautions: Vec<Caution>,
    /// The keys of its phases that are finished: by them a calendar knows what stays. They are never shown.
    pub finished: Vec<String>,
}

/// A phase of the crew.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CrewPhase {
    /// Its key.
    pub key: String,
    /// Its name.
    pub name: String,
    /// The first day it is worked on, and
    pub first: Option<NaiveDate>,
    /// the last one, in the forecast.
    pub last: Option<NaiveDate>,
    /// The start the crew counts on, where it is another.
    pub counts_on: Option<NaiveDate>,
    /// Whether it has begun.
    pub begun: bool,
    /// The day on which the crew said yes to its start.
    pub confirmed: Option<NaiveDate>,
    /// What is built in, with how it stands.
    pub parts: Vec<CrewPart>,
    /// What is still to be ready before it, with the day that is expected.
    pub waits: Vec<String>,
}

/// Something that the crew has to put right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CrewPunch {
    /// What, with its room.
    pub what: String,
    /// By when, in words; empty where nobody has said.
    pub due: String,
    /// Whether that day is past.
    pub late: bool,
    /// Its picture, from the folder of the project file.
    pub picture: String,
}

/// A part that the crew builds in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CrewPart {
    /// What it is, with its room.
    pub what: String,
    /// How it stands, in words.
    pub state: String,
    /// Whether it is there.
    pub on_site: bool,
}

/// The sheet of a crew; `None` when it is gone.
pub fn sheet(project: &Project, figures: &Figures, crew: CrewId) -> Option<CrewSheet> {
    let mut own: Vec<usize> = phases_of(project, crew).collect();
    own.sort_by_key(|at| figures.phases.get(*at).map(|f| f.forecast_start));
    let mut cautions: Vec<Caution> = Vec::new();
    for at in &own {
        for found in caution::of_phase(&project.phases[*at], project.settings.year_built) {
            if cautions.iter().all(|known| known.hazard != found.hazard) {
                cautions.push(found);
            }
        }
    }
    Some(CrewSheet {
        crew: project.crew(crew)?.clone(),
        settings: project.settings.clone(),
        as_of: figures.as_of.date(),
        phases: own.iter().map(|at| phase(project, figures, *at)).collect(),
        punch: punch(project, figures, crew),
        cautions,
        finished: project
            .phases
            .iter()
            .filter(|p| p.crew == Some(crew) && p.finished_on().is_some())
            .map(|p| p.key.clone())
            .collect(),
    })
}

fn phase(project: &Project, figures: &Figures, at: usize) -> CrewPhase {
    let phase: &Phase = &project.phases[at];
    let f = &figures.phases[at];
    let expected = |day: Option<Day>| day.map(Day::date);
    CrewPhase {
        key: phase.key.clone(),
        name: phase.name.clone(),
        first: expected(f.forecast_start),
        last: expected(f.forecast_finish),
        counts_on: figures.people.call(at).map(|call| call.old.date()),
        begun: phase.actual_start.is_some(),
        confirmed: phase.confirmed_on,
        parts: parts(project, figures, at),
        waits: waits(project, figures, at),
    }
}

fn parts(project: &Project, figures: &Figures, at: usize) -> Vec<CrewPart> {
    let mut found = Vec::new();
    for ((selection, option, part), f) in project.all_parts().zip(&figures.parts) {
        if !f.live || f.built_in || f.phase.is_none_or(|own| own as usize != at) {
            continue;
        }
        let room = project.room(selection.room).map_or("", |r| r.name.as_str());
        let name = if part.name == selection.name || part.name == option.name {
            format!("{}: {}", selection.name, option.name)
        } else {
            format!("{}: {}", selection.name, part.name)
        };
        let what = if room.is_empty() { name } else { format!("{name} ({room})") };
        let state = match f.expected {
            _ if f.on_site => "on site".to_owned(),
            Some(day) if f.is_assumed() => format!("not there, {} is typical", date(day.date())),
            Some(day) => format!("not there, expected {}", date(day.date())),
            None => "not there, no day known".to_owned(),
        };
        found.push(CrewPart { what, state, on_site: f.on_site });
    }
    found
}

/// What is open on the punch list for a crew.
fn punch(project: &Project, figures: &Figures, crew: CrewId) -> Vec<CrewPunch> {
    let as_of = figures.as_of.date();
    let mut own: Vec<&Punch> =
        project.punch.iter().filter(|p| p.crew == Some(crew) && p.is_open(as_of)).collect();
    own.sort_by_key(|p| (p.due.is_none(), p.due));
    let one = |p: &Punch| {
        let room = p.room.and_then(|id| project.room(id)).map_or("", |r| r.name.as_str());
        let late = p.days_late(as_of) > 0;
        let due = p
            .due
            .map_or(String::new(), |day| format!("{} {}", if late { "was due" } else { "due" }, date(day)));
        let what = if room.is_empty() { p.what.clone() } else { format!("{} ({room})", p.what) };
        CrewPunch { what, due, late, picture: p.picture.clone() }
    };
    own.into_iter().map(one).collect()
}

/// What its gates miss, and permits that are not there.
fn waits(project: &Project, figures: &Figures, at: usize) -> Vec<String> {
    let mut found = Vec::new();
    let by = |day: Option<Day>| day.map_or(String::new(), |day| format!(", expected {}", date(day.date())));
    for (gate, f) in project.gates.iter().zip(&figures.gates).filter(|(_, f)| f.phase == Some(at)) {
        for missing in f.missing.iter().filter(|m| !m.circle) {
            let line = format!("{}{}", missing.text(project, gate), by(missing.expected));
            if !found.contains(&line) {
                found.push(line);
            }
        }
    }
    let id = project.phases[at].id;
    for permit in project.permits.iter().filter(|p| p.phases.contains(&id)) {
        if !permit.is_issued(figures.as_of.date()) {
            found.push(format!("{} is not issued{}", permit.name, by(permit.issued_on.map(Day::from))));
        }
    }
    found
}

/// A form in which the sheet of a crew is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CrewForm {
    /// Pages.
    Pdf,
    /// One page for mail and phone.
    Html,
    /// The days as a calendar, iCalendar.
    Ics,
    /// A text to send.
    Txt,
}

impl CrewForm {
    /// All, with the words for them, which are also the endings of their files.
    pub const ALL: [(&'static str, CrewForm); 4] =
        [("pdf", CrewForm::Pdf), ("html", CrewForm::Html), ("ics", CrewForm::Ics), ("txt", CrewForm::Txt)];

    /// What it is good for, in a few words.
    pub fn purpose(self) -> &'static str {
        match self {
            CrewForm::Pdf => "PDF, to print",
            CrewForm::Html => "HTML, for mail and phone",
            CrewForm::Ics => "Calendar, with its days as events",
            CrewForm::Txt => "Text, to send as a message",
        }
    }

    /// The ending of its files.
    pub fn ending(self) -> &'static str {
        CrewForm::ALL.iter().find(|(_, known)| *known == self).map_or("", |(word, _)| word)
    }

    /// The bytes of a sheet in this form.
    ///
    /// # Errors
    /// Names the file it would have become.
    fn bytes(
        self,
        sheet: &CrewSheet,
        file: &str,
        diary: Diary<'_>,
        said: &mut Vec<Sent>,
    ) -> Result<Vec<u8>, ExportError> {
        let made = match self {
            CrewForm::Pdf => pdf::pdf(&paper(sheet)),
            CrewForm::Html => Ok(html::html(&paper(sheet)).into_bytes()),
            CrewForm::Ics => {
                let (text, written) = ics(sheet, diary);
                said.extend(written);
                Ok(text.into_bytes())
            }
            CrewForm::Txt => Ok(message(sheet).into_bytes()),
        };
        made.map_err(|why| ExportError::Made { file: file.to_owned(), why })
    }
}

/// Writes the sheets of crews into a folder, which is made when it is missing: all of them, or none. Gives the names of the
/// files, and what the calendars say. Crews without a phase to come or
/// something to put right, and none that was in their calendar, are left out.
///
/// # Errors
/// Names the file that could not be written; those that were there are whole. Or says that the user stopped it.
pub fn write_sheets<'a>(
    project: &Project,
    figures: &Figures,
    folder: impl Into<Folder<'a>>,
    crews: &[CrewId],
    forms: &[CrewForm],
    progress: &Progress,
) -> Result<(Vec<String>, Vec<Sent>), ExportError> {
    let folder = folder.into();
    let diary = Diary::new(project, SentIn::Crew, figures.as_of.date());
    let mut said = Vec::new();
    let told = |sheet: &CrewSheet| {
        project.sent.iter().any(|sent| sent.calendar == SentIn::Crew && sent.whose == sheet.crew.key)
    };
    let sheets: Vec<CrewSheet> = crews
        .iter()
        .filter_map(|crew| sheet(project, figures, *crew))
        .filter(|sheet| {
            let has_work = !sheet.phases.is_empty() || !sheet.punch.is_empty();
            has_work || told(sheet) && forms.contains(&CrewForm::Ics)
        })
        .collect();
    progress.add_steps(sheets.len() * forms.len() * 2);
    let (mut files, mut names, mut taken) = (Vec::new(), Vec::new(), HashSet::new());
    for sheet in &sheets {
        let stem = safe_stem(&format!("crew_{}", sheet.crew.key));
        let mut name = stem.clone();
        let mut n = 1_usize;
        while !taken.insert(name.clone()) {
            n += 1;
            name = format!("{stem}_{n}");
        }
        for form in forms {
            let file = format!("{name}.{}", form.ending());
            files.push(NewFile {
                path: folder.path.join(&file),
                bytes: form.bytes(sheet, &file, diary, &mut said)?,
            });
            names.push(file);
            progress.step()?;
        }
    }
    if !files.is_empty() {
        folder.write(&files, progress)?;
    }
    Ok((names, said))
}
