//! What is to be done in the next days, to be taken along: one value, written as a text, a paper, a page for a phone, a
//! calendar and JSON.

mod ics;
mod paper;
mod phone;
mod text;

pub use ics::ics;
pub use paper::{capital, paper};
pub use phone::{dialed, phone};
pub use text::text;

use super::calendar::Diary;
use super::json::week::to_text;
use super::print::words::money;
use super::print::{html, pdf};
use crate::engine::week::{Contact, HORIZONS, Kind, Line, last_day, week};
use crate::engine::{Day, Figures};
use crate::exchange::file_set::{ExportError, Folder, NewFile};
use crate::exchange::progress::Progress;
use crate::model::{Project, Sent, SentIn, Settings, Subject};
use chrono::Datelike;

/// The list on a day.
#[derive(Debug, Clone)]
pub struct WeekSheet {
    /// What holds for the house: its name, its currency.
    pub settings: Settings,
    /// The day it is for.
    pub as_of: Day,
    /// Its last day.
    pub until: Day,
    /// Its lines, in order of date.
    pub lines: Vec<Line>,
}

/// The list of so many days.
pub fn sheet(project: &Project, figures: &Figures, days: i32) -> WeekSheet {
    WeekSheet {
        settings: project.settings.clone(),
        as_of: figures.as_of,
        until: last_day(figures.as_of, days),
        lines: week(project, figures, days),
    }
}

impl WeekSheet {
    /// The lines of one date together: first all that are past, without a date.
    pub fn dates(&self) -> impl Iterator<Item = (Option<Day>, &[Line])> {
        let of = |line: &Line| Some(line.day).filter(|day| *day >= self.as_of);
        self.lines.chunk_by(move |a, b| of(a) == of(b)).map(move |lines| (lines.first().and_then(of), lines))
    }

    /// A date in words, with the year where it is another than that of the list: `Mon Sep 21`.
    pub fn day(&self, day: Day) -> String {
        let (date, near) = (day.date(), self.as_of.date());
        let format = if date.year() == near.year() { "%a %b %-d" } else { "%a %b %-d, %Y" };
        date.format(format).to_string()
    }

    /// What a group of lines is called.
    pub fn title(&self, day: Option<Day>) -> String {
        match day {
            None => "Overdue".to_owned(),
            Some(day) if day == self.as_of => format!("Today, {}", self.day(day)),
            Some(day) => self.day(day),
        }
    }

    /// What is to be done, with its room.
    pub fn what(&self, line: &Line) -> String {
        let what = line.what.shown(|day| self.day(day), |amount| self.money(amount));
        if line.place.is_empty() { what } else { format!("{what}, {}", line.place) }
    }

    /// Since when it is late, where it is.
    pub fn was_due(&self, line: &Line) -> Option<String> {
        (line.day < self.as_of).then(|| format!("was due {}", self.day(line.day)))
    }

    /// Why, or why then.
    pub fn reason(&self, line: &Line) -> String {
        line.why.shown(|day| self.day(day), |amount| self.money(amount))
    }

    /// Why; for what is past with its day.
    pub fn why(&self, line: &Line) -> String {
        let words = [self.was_due(line).unwrap_or_default(), self.reason(line)];
        words.into_iter().filter(|t| !t.is_empty()).collect::<Vec<_>>().join("; ")
    }

    fn money(&self, amount: crate::model::Money) -> String {
        let currency = self.settings.currency;
        format!("{} {currency}", money(amount, currency))
    }

    /// Whether a line speaks of waivers of lien, or of money for which one should be had.
    pub fn has_liens(&self) -> bool {
        let trade = |line: &Line| matches!(line.subject, Subject::Quote(_));
        self.lines.iter().any(|line| trade(line) && matches!(line.kind, Kind::Pay | Kind::Chase))
    }
}

/// Whom to call, in one line.
pub fn call_words(contact: &Contact) -> String {
    let reach = if contact.phone.is_empty() { &contact.email } else { &contact.phone };
    if reach.is_empty() { contact.name.clone() } else { format!("{}, {reach}", contact.name) }
}

/// A form in which the list is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WeekForm {
    /// A text to send.
    Text,
    /// Pages.
    Pdf,
    /// One page for mail, and one for a phone.
    Html,
    /// Its days as a calendar, iCalendar.
    Ics,
    /// For programs.
    Json,
}

impl WeekForm {
    /// All, with the words for them.
    pub const ALL: [(&'static str, WeekForm); 5] = [
        ("text", WeekForm::Text),
        ("pdf", WeekForm::Pdf),
        ("html", WeekForm::Html),
        ("ics", WeekForm::Ics),
        ("json", WeekForm::Json),
    ];

    /// What it is good for, in a few words.
    pub fn purpose(self) -> &'static str {
        match self {
            WeekForm::Text => "Text, to send as a message",
            WeekForm::Pdf => "PDF, to print",
            WeekForm::Html => "HTML: a page for mail, and one for a phone with numbers to tap",
            WeekForm::Ics => "Calendar, with last days as tasks and events",
            WeekForm::Json => "JSON, for other programs",
        }
    }

    /// The names of its files.
    pub fn files(self) -> &'static [&'static str] {
        match self {
            WeekForm::Text => &["week.txt"],
            WeekForm::Pdf => &["week.pdf"],
            WeekForm::Html => &["week.html", "week_phone.html"],
            WeekForm::Ics => &["week.ics"],
            WeekForm::Json => &["week.json"],
        }
    }

    /// The bytes of its files, in the order of their names.
    ///
    /// # Errors
    /// Names the file it would have become.
    fn bytes(
        self,
        sheet: &WeekSheet,
        project: &Project,
        figures: &Figures,
        said: &mut Vec<Sent>,
    ) -> Result<Vec<Vec<u8>>, ExportError> {
        let file = || self.files().first().map_or(String::new(), |file| (*file).to_owned());
        let failed = |why| ExportError::Made { file: file(), why };
        Ok(match self {
            WeekForm::Text => vec![text(sheet).into_bytes()],
            WeekForm::Pdf => vec![pdf::pdf(&paper(sheet)).map_err(failed)?],
            WeekForm::Html => vec![html::html(&paper(sheet)).into_bytes(), phone(sheet).into_bytes()],
            WeekForm::Ics => {
                let all = super::week::sheet(project, figures, HORIZONS[HORIZONS.len() - 1]);
                let diary = Diary::new(project, SentIn::Week, figures.as_of.date());
                let (text, written) = ics(sheet, &all, diary);
                said.extend(written);
                vec![text.into_bytes()]
            }
            WeekForm::Json => {
                let text = to_text(project, figures, &sheet.lines);
                vec![text.map_err(|why| failed(why.to_string()))?.into_bytes()]
            }
        })
    }
}

/// Writes the list of so many days into a folder, which is made when it is missing: all files, or none. Gives their names,
/// and what the calendar says.
///
/// # Errors
/// Names the file that could not be written; those that were there are whole. Or says that the user stopped it.
pub fn write_week<'a>(
    project: &Project,
    figures: &Figures,
    folder: impl Into<Folder<'a>>,
    days: i32,
    forms: &[WeekForm],
    progress: &Progress,
) -> Result<(Vec<String>, Vec<Sent>), ExportError> {
    let folder = folder.into();
    let sheet = sheet(project, figures, days);
    progress.add_steps(forms.len() * 2);
    let (mut files, mut names, mut said) = (Vec::new(), Vec::new(), Vec::new());
    for form in forms {
        for (file, bytes) in form.files().iter().zip(form.bytes(&sheet, project, figures, &mut said)?) {
            files.push(NewFile { path: folder.path.join(file), bytes });
            names.push((*file).to_owned());
        }
        progress.step()?;
    }
    folder.write(&files, progress)?;
    Ok((names, said))
}
