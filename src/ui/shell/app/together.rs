//! A file that somebody else changed since it was opened: what is to become of it, and bringing both versions together.

use super::NeedlineApp;
use crate::engine::log;
use crate::exchange::outgoing::print::words;
use crate::model::merge::{Conflict, Merged, Path as Place, Side, Took, merge};
use crate::model::{Currency, Money};
use crate::ui::format;
use crate::ui::shell::document::{Document, Other};
use crate::ui::shell::modals;
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::{Context, Label, RichText, Ui};
use std::collections::HashMap;

/// What is asked about a file that was changed.
pub(super) enum Together {
    /// What is to become of it; with the sentences that say what is known.
    Asked(Vec<String>),
    /// Which side each conflict goes by.
    Conflicts(Box<Open>),
}

/// Versions that are brought together.
pub(super) struct Open {
    other: Other,
    merged: Merged,
    sides: HashMap<Place, Side>,
    /// Conflicts that were answered, in that order.
    answered: Vec<Place>,
    /// When the file was written, in words.
    written: String,
}

fn written_words(time: std::time::SystemTime) -> String {
    let time = chrono::DateTime::<chrono::Local>::from(time);
    format!("The file was written on {}.", format::time(time.naive_local()))
}

/// What the user wants.
enum Answer {
    Side(Side),
    AllMine,
    Back,
}

impl Open {
    /// Brings the versions together by what was answered so far.
    fn new(document: &Document, other: Other, sides: HashMap<Place, Side>) -> Result<Open, String> {
        let (mine, base) = (document.project(), document.saved().unwrap_or(document.project()));
        let merged = merge(base, mine, &other.project, &sides).map_err(|why| why.to_string())?;
        Ok(Open { other, merged, sides, answered: Vec::new(), written: String::new() })
    }

    /// The first conflict that nobody has settled.
    fn next(&self) -> Option<&Conflict> {
        self.open().next()
    }

    fn open(&self) -> impl Iterator<Item = &Conflict> {
        let settled = |c: &&Conflict| c.took != Took::Stays && !self.sides.contains_key(&c.at);
        self.merged.conflicts.iter().filter(settled)
    }
}

impl NeedlineApp {
    /// Asks what is to become of a file that was changed, when it is noticed by itself: once for each change.
    pub(super) fn look_for_change(&mut self, ctx: &Context) {
        let came = ctx.input(|i| i.events.iter().any(|e| matches!(e, egui::Event::WindowFocused(true))));
        if came && self.together.is_none() && !modals::is_open(ctx) {
            self.offer_together(true);
        }
    }

    /// Asks what is to become of a file that was changed since it was opened. Whether it was.
    pub(super) fn offer_together(&mut self, once: bool) -> bool {
        let Some(document) = &mut self.document else { return false };
        let Some(written) = document.changed_outside(once) else { return false };
        let Some(path) = &document.path else { return false };
        let mut told = vec![format!("{} changed on disk since it was opened.", path.display())];
        told.extend(written.map(written_words));
        told.push(match document.history.undo_label() {
            Some(last) if document.history.is_unsaved() => {
                format!("You have changes that are not saved; the last one is \u{201c}{last}\u{201d}.")
            }
            _ => "You have no changes that are not saved.".to_owned(),
        });
        self.together = Some(Together::Asked(told));
        true
    }

    pub(super) fn together_question(&mut self, ctx: &Context, tokens: &Tokens) {
        match self.together.take() {
            None => {}
            Some(Together::Asked(told)) => self.changed_question(ctx, tokens, told),
            Some(Together::Conflicts(open)) => self.conflict_question(ctx, tokens, *open),
        }
    }

    fn changed_question(&mut self, ctx: &Context, tokens: &Tokens, told: Vec<String>) {
        let (mut both, mut elsewhere) = (false, false);
        let asked = modals::show(ctx, "changed", 480.0, false, |ui| {
            ui.label(pieces::strong("Somebody else changed the file", 18.0));
            for text in &told {
                ui.add(Label::new(text).wrap());
            }
            ui.add_space(8.0);
            ui.horizontal_wrapped(|ui| {
                both =
                    pieces::primary_button(ui, tokens, "Bring both together").clicked() || modals::done(ctx);
                elsewhere = ui.button("Save under another name…").clicked();
                if ui.button("Leave it for now").clicked() {
                    ui.close();
                }
            });
        });
        if both {
            self.begin_together();
            ctx.request_repaint();
        } else if elsewhere {
            self.ask_where_to_save(ctx);
        } else if !asked.closes {
            self.together = Some(Together::Asked(told));
        }
    }

    fn begin_together(&mut self) {
        let Some(document) = &mut self.document else { return };
        let written = document.changed_outside(false).flatten().map_or(String::new(), written_words);
        let open = match document.other() {
            Ok(other) => Open::new(document, other, HashMap::new()).map(|open| Open { written, ..open }),
            Err(why) => Err(why.to_string()),
        };
        self.go_on_together(open);
    }

    /// Asks about the next conflict, or takes what came out.
    fn go_on_together(&mut self, open: Result<Open, String>) {
        match open {
            Ok(open) if open.next().is_some() => self.together = Some(Together::Conflicts(Box::new(open))),
            Ok(open) => self.take_together(open),
            Err(why) => self.notice = Some((why, false)),
        }
    }

    fn conflict_question(&mut self, ctx: &Context, tokens: &Tokens, open: Open) {
        let Some(conflict) = open.next() else { return };
        let currency = open.merged.project.settings.currency;
        let (at, left, done) = (conflict.at.clone(), open.open().count(), open.answered.len());
        let mut answer = None;
        let asked = modals::show(ctx, "together", 520.0, false, |ui| {
            ui.label(pieces::strong(format!("Both changed this: {} of {}", done + 1, done + left), 18.0));
            ui.add(Label::new(RichText::new(&conflict.title).strong()).wrap());
            value(ui, "Before", &said(conflict, &conflict.base, currency));
            value(ui, "Yours", &said(conflict, &conflict.ours, currency));
            value(ui, "In the file", &said(conflict, &conflict.theirs, currency));
            if !open.written.is_empty() {
                pieces::muted(ui, tokens, open.written.as_str());
            }
            ui.add_space(8.0);
            ui.horizontal_wrapped(|ui| {
                if pieces::primary_button(ui, tokens, "Keep mine").clicked() || modals::done(ctx) {
                    answer = Some(Answer::Side(Side::Ours));
                }
                if ui.button("Take the one in the file").clicked() {
                    answer = Some(Answer::Side(Side::Theirs));
                }
                if left > 1 && ui.button("Keep mine for all that is left").clicked() {
                    answer = Some(Answer::AllMine);
                }
                if done > 0 && ui.button("Back").clicked() {
                    answer = Some(Answer::Back);
                }
                if ui.button("Cancel").clicked() {
                    ui.close();
                }
            });
        });
        let Some(answer) = answer else {
            if !asked.closes {
                self.together = Some(Together::Conflicts(Box::new(open)));
            }
            return;
        };
        // The next one is asked in a window of the same name.
        modals::begin(ctx, "together");
        ctx.request_repaint();
        let all: Vec<Place> = open.open().map(|c| c.at.clone()).collect();
        let Open { other, mut sides, mut answered, written, .. } = open;
        match answer {
            Answer::Side(side) => {
                sides.insert(at.clone(), side);
                answered.push(at);
            }
            Answer::AllMine => {
                sides.extend(all.iter().map(|at| (at.clone(), Side::Ours)));
                answered.extend(all);
            }
            Answer::Back => {
                if let Some(last) = answered.pop() {
                    sides.remove(&last);
                }
            }
        }
        let Some(document) = &self.document else { return };
        let open = Open::new(document, other, sides).map(|open| Open { answered, written, ..open });
        self.go_on_together(open);
    }

    /// Shows what came out, as one step.
    fn take_together(&mut self, open: Open) {
        let as_of = self.as_of();
        let Open { other, merged, sides, .. } = open;
        let Some(document) = &mut self.document else { return };
        let mut project = merged.project;
        if project != *document.project() && project != *other.project {
            match log::close(&project, as_of, log::TOGETHER) {
                Ok(closed) => project = closed,
                Err(why) => {
                    self.notice = Some((why.to_string(), false));
                    return;
                }
            }
        }
        document.bring_together(project, &other);
        let mut told = vec!["Both versions are together.".to_owned()];
        if !sides.is_empty() {
            let theirs = merged.conflicts.iter().filter(|c| c.took == Took::Theirs).count();
            told.push(format!("Of {}, {theirs} went by the file.", format::count(sides.len(), "conflict")));
        }
        let wished = |c: &&Conflict| sides.get(&c.at) == Some(&Side::Theirs) && c.took == Took::Ours;
        told.extend(
            merged
                .conflicts
                .iter()
                .filter(wished)
                .map(|c| format!("{}: the one in the file cannot be taken beside yours.", c.title)),
        );
        let stays = merged.conflicts.iter().filter(|c| c.took == Took::Stays);
        told.extend(stays.map(|c| format!("{}: removed by one, used by the other, so it stays.", c.title)));
        told.extend(merged.notes);
        self.notice = Some((told.join("\n"), true));
        self.place_pictures();
    }
}

/// What a side says, with amounts and days as the window writes them.
fn said(conflict: &Conflict, value: &str, currency: Currency) -> String {
    match value.parse() {
        Ok(amount) if conflict.is_amount() => format::money(Money::new(amount), currency),
        // The year stands with each day: nothing else here says which one is meant.
        _ => words::with_days(value),
    }
}

/// A value of a conflict behind the word for its side.
fn value(ui: &mut Ui, side: &str, value: &str) {
    ui.add(Label::new(format!("{side}: {value}")).wrap());
}
