//! What an ended run did not save: looking for it, asking what is to become of it, and going on with it.

use super::NeedlineApp;
use crate::engine::{self, Day};
use crate::model::Project;
use crate::model::differs::differs;
use crate::model::file::journal::{self, Left, Said};
use crate::ui::choosing::Standing;
use crate::ui::format;
use crate::ui::shell::document::Document;
use crate::ui::shell::fault::contained;
use crate::ui::shell::modals;
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use chrono::NaiveDate;
use egui::{Context, Label, RichText};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// What an ended run did not save, as it is asked about.
pub(super) struct Offer {
    left: Left,
    of: Of,
    told: Vec<String>,
    /// It is to be discarded, which is asked once more.
    discards: bool,
}

/// What it is a change of.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Of {
    /// The file on screen, which is still the one that was changed.
    File,
    /// A file that is another one by now, or cannot be read.
    Changed(PathBuf),
    /// No file: it was never saved, or its file is gone.
    Nowhere,
}

/// What the user wants done with it.
enum Answer {
    Take,
    Later,
    Discard,
}

/// The name under which a copy is saved beside the file that it was changed from.
pub(super) fn name_beside(path: &Path) -> String {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let names = (1..).map(|n| match n {
        1 => format!("{stem} not saved.ron"),
        n => format!("{stem} not saved {n}.ron"),
    });
    // Nobody has a folder of that many; the window asks before a file is replaced.
    let mut free = names.take(1_000).filter(|name| path.with_file_name(name).symlink_metadata().is_err());
    free.next().unwrap_or_default()
}

impl NeedlineApp {
    /// Looks for what ended runs did not save of a file that was just opened, or could not be. While somebody else has
    /// it open to change it, that is theirs.
    pub(super) fn look_for_left(&mut self, path: &Path) {
        let of_this = self.document.as_ref().filter(|d| d.path.as_deref() == Some(path));
        let others = of_this.is_none() && self.document.is_some();
        if others || of_this.is_some_and(|d| d.held_by.is_some()) {
            return;
        }
        for left in journal::left_by(path, self.state.as_deref()) {
            match left {
                Ok(left) => self.offer(left, Some(path)),
                Err(why) => self.tell(&why.to_string()),
            }
        }
    }

    /// Looks for what ended runs did not save of anything, for the start page. What was never saved is asked about at
    /// once at the start.
    pub(super) fn look_for_waiting(&mut self, at_start: bool) {
        let found = journal::waiting(self.state.as_deref(), &self.recent, SystemTime::now());
        self.waiting.clear();
        for waiting in found {
            match waiting {
                Ok(waiting) => self.waiting.push(waiting),
                Err(why) => self.tell(&why.to_string()),
            }
        }
        let unsaved = self.waiting.iter().find(|w| w.project.is_none()).map(|w| w.path.clone());
        if let Some(path) = unsaved.filter(|_| at_start) {
            self.open_left(&path);
        }
    }

    /// Opens a record of what was not saved: the project it belongs to where that is there, which offers it.
    pub(super) fn open_left(&mut self, path: &Path) {
        let left = match journal::read(path) {
            Ok(Some(left)) => left,
            Ok(None) => {
                self.tell(&format!(
                    "{}: nothing in it waits to be saved, or another window is writing it.",
                    path.display()
                ));
                return;
            }
            Err(why) => {
                self.tell(&why.to_string());
                return;
            }
        };
        match project_of(path, &left.said) {
            Some(project) => {
                drop(left);
                self.open(&project);
            }
            None => self.offer(left, None),
        }
    }

    /// Adds a sentence to the notice.
    fn tell(&mut self, words: &str) {
        let before = self.notice.take().map_or(String::new(), |(text, _)| format!("{text}\n"));
        let more = if before.contains(words) { "" } else { words };
        self.notice = Some(((before + more).trim_end().to_owned(), false));
    }

    fn offer(&mut self, left: Left, path: Option<&Path>) {
        let file = self.document.as_ref().filter(|d| path.is_some() && d.path.as_deref() == path);
        let file = file.map(Document::project);
        if file == Some(&left.said.now) {
            // It was saved, and the run ended before it could clear the record away. Should that be refused, it is
            // looked at again the next time.
            let _ = left.discard();
            return;
        }
        let of = match path {
            Some(path) if file.is_none() || left.said.saved.as_ref() != file => Of::Changed(path.to_owned()),
            Some(_) => Of::File,
            None => Of::Nowhere,
        };
        let today = left.said.now.settings.as_of.unwrap_or(self.today);
        let told = told(&left.said, &of, file, today);
        self.offers.push(Offer { left, of, told, discards: false });
    }

    /// Asks about what was not saved, one after the other.
    pub(super) fn left_question(&mut self, ctx: &Context, tokens: &Tokens) {
        let Some(offer) = self.offers.first_mut() else { return };
        let answer =
            if offer.discards { sure_question(ctx, tokens, offer) } else { question(ctx, tokens, offer) };
        let Some(answer) = answer else { return };
        // What comes next is asked in a window of the same name.
        modals::begin(ctx, NAME);
        let offer = self.offers.remove(0);
        match answer {
            Answer::Take => self.take_up(offer),
            // Nobody holds it from here on, so that the start page finds it.
            Answer::Later => drop(offer),
            Answer::Discard => {
                let path = offer.left.path.clone();
                if let Err(why) = offer.left.discard() {
                    let why = crate::model::file::Trouble::Writing(&why).to_string();
                    self.tell(&format!("{}: {why}", path.display()));
                }
            }
        }
        if self.document.is_none() {
            self.look_for_waiting(false);
        }
        ctx.request_repaint();
    }

    fn take_up(&mut self, offer: Offer) {
        // What else there is stays for later: it belongs to another state.
        self.offers.clear();
        let state = self.state.clone();
        match (offer.of, &mut self.document) {
            (Of::File, Some(document)) => document.take_up(offer.left, state),
            (Of::File | Of::Nowhere, _) => self.show_document(Document::copy_of(offer.left, None, state)),
            (Of::Changed(path), _) => {
                self.show_document(Document::copy_of(offer.left, Some(path), state));
            }
        }
    }
}

/// The project file that a record belongs to, where it is there: the one it stands beside, else the one it names.
fn project_of(path: &Path, said: &Said) -> Option<PathBuf> {
    let name = path.file_name()?.to_string_lossy().into_owned();
    let stem = name.strip_prefix('.')?.strip_suffix(".edits")?.to_owned();
    let unnumbered = stem.rsplit_once('.').filter(|(_, n)| n.parse::<u32>().is_ok()).map(|(stem, _)| stem);
    let beside =
        [Some(stem.as_str()), unnumbered].into_iter().flatten().map(|name| path.with_file_name(name));
    beside.chain(said.project.clone()).find(|project| project.is_file())
}

const NAME: &str = "left";

fn question(ctx: &Context, tokens: &Tokens, offer: &mut Offer) -> Option<Answer> {
    let mut answer = None;
    let asked = modals::show(ctx, NAME, 480.0, false, |ui| {
        ui.label(pieces::strong("Go on with what was not saved?", 18.0));
        for text in &offer.told {
            ui.add(Label::new(text).wrap());
        }
        ui.add_space(8.0);
        ui.horizontal_wrapped(|ui| {
            let take = match offer.of {
                Of::Changed(_) => "Open it as a copy",
                Of::File | Of::Nowhere => "Go on with it",
            };
            if pieces::primary_button(ui, tokens, take).clicked() || modals::done(ctx) {
                answer = Some(Answer::Take);
            }
            if ui.button("Leave it for later").clicked() {
                answer = Some(Answer::Later);
            }
            if ui.button("Discard it…").clicked() {
                offer.discards = true;
            }
        });
    });
    answer.or(asked.closes.then_some(Answer::Later))
}

fn sure_question(ctx: &Context, tokens: &Tokens, offer: &mut Offer) -> Option<Answer> {
    let mut answer = None;
    let asked = modals::show(ctx, "left_sure", 400.0, false, |ui| {
        ui.label(pieces::strong("Discard it for good?", 18.0));
        let name = &offer.left.said.now.settings.name;
        let text = match offer.of {
            Of::Nowhere => format!("{name} is in no other file. It cannot be brought back."),
            Of::File | Of::Changed(_) => {
                format!("The file of {name} stays as it is. What was not saved cannot be brought back.")
            }
        };
        ui.add(Label::new(RichText::new(text)).wrap());
        ui.add_space(8.0);
        ui.horizontal(|ui| {
            if pieces::primary_button(ui, tokens, "Keep it").clicked() {
                ui.close();
            }
            if ui.button("Discard it for good").clicked() {
                answer = Some(Answer::Discard);
            }
        });
    });
    if asked.closes && answer.is_none() {
        offer.discards = false;
    }
    answer
}

/// What it is, by whom, when, and in what it differs from the file.
fn told(said: &Said, of: &Of, file: Option<&Project>, as_of: NaiveDate) -> Vec<String> {
    let name = &said.now.settings.name;
    let edits = format::count(said.edits.max(1), "change");
    let first = match (of, &said.project) {
        (Of::Nowhere, None) => format!("{name} was never saved when the program closed."),
        (Of::Nowhere, Some(path)) => format!(
            "{name} had changes that were not saved when the program closed, and {} is gone.",
            path.display()
        ),
        (Of::File | Of::Changed(_), _) => {
            format!("{name} had {edits} not saved when the program closed.")
        }
    };
    let mut told = vec![first, by_whom(said)];
    if let Some(file) = file {
        told.push(compared(file, &said.now, as_of));
    }
    if said.cut {
        told.push(
            "The end of the record is spoiled: what was done in the last moments may be missing.".to_owned(),
        );
    }
    match (of, file) {
        (Of::Changed(path), Some(_)) => told.push(format!(
            "{} was changed by another run since, so this opens as a copy, to be saved under another name. The file stays \
             as it is.",
            path.display()
        )),
        (Of::Changed(path), None) => told.push(format!(
            "{} cannot be read now, so this opens as a copy, to be saved under another name. The file stays as it is.",
            path.display()
        )),
        (Of::File | Of::Nowhere, _) => {}
    }
    told
}

/// `The last one, "Choose oak", was made on Jul 6, 2026 at 10:15 by sam on attic.`
fn by_whom(said: &Said) -> String {
    let what = if said.last.is_empty() { String::new() } else { format!(", \u{201c}{}\u{201d},", said.last) };
    let user = if said.user.is_empty() { String::new() } else { format!(" by {}", said.user) };
    let machine = if said.machine.is_empty() { String::new() } else { format!(" on {}", said.machine) };
    let when = format::time(said.when.naive_local());
    format!("The last change{what} was made on {when}{user}{machine}.")
}

/// In what the document that was not saved differs from the file.
fn compared(file: &Project, now: &Project, as_of: NaiveDate) -> String {
    let words = match differs(file, now) {
        words if words.is_empty() => "nothing that is shown".to_owned(),
        words => words,
    };
    let mut text = format!("Different from the file: {words}.");
    let both = contained(|| [now, file].map(|project| Standing::of(&engine::compute(project, as_of))));
    let Ok([new, old]) = both else { return text };
    let currency = now.settings.currency;
    if new.forecast != old.forecast {
        let total = |of: Standing| format::money(of.forecast, currency);
        text += &format!(" The total would be {}, in the file it is {}.", total(new), total(old));
    }
    if new.finish != old.finish {
        let near = Day::from(as_of);
        let finish = |of: Standing| of.finish.map_or("open".to_owned(), |day| format::day(day, near));
        text += &format!(" The finish would be {}, in the file it is {}.", finish(new), finish(old));
    }
    text
}
