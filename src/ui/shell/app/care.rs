//! What is done so that a fault of the program costs nothing: the document stays, and what was begun is given up.

use super::NeedlineApp;
use crate::ui::shell::command::Command;
use crate::ui::shell::document::Document;
use crate::ui::shell::fault::contained;
use crate::ui::shell::keeper;
use crate::ui::shell::zones::words;
use crate::ui::theme::Tokens;
use crate::ui::widgets::pieces;
use egui::{Context, RichText, Ui};

impl NeedlineApp {
    /// Does something; a fault in it is told, and nothing else comes of it.
    pub(super) fn carefully(&mut self, what: &str, work: impl FnOnce(&mut NeedlineApp)) -> bool {
        let done = contained(|| work(self));
        if let Err(said) = &done {
            self.notice = Some((words(what, said), false));
        }
        done.is_ok()
    }

    /// Brings the figures up to date. When they meet a fault the last step is taken back, if that helps.
    pub(super) fn derive(&mut self) {
        let as_of = self.as_of();
        let Some(document) = &mut self.document else { return };
        let key = |document: &Document| (document.history.revision(), as_of);
        if self.stuck.as_ref().is_some_and(|(stuck, _)| *stuck == key(document)) {
            return;
        }
        self.stuck = None;
        let Err(said) = contained(|| document.derive(as_of)) else { return };
        if document.history.undo() {
            if contained(|| document.derive(as_of)).is_ok() {
                let what = "The figures after the last step, which was taken back,";
                self.notice = Some((words(what, &said), false));
                return;
            }
            document.history.redo();
        }
        self.stuck = Some((key(document), said));
    }

    /// Says instead of a project why nothing of it can be shown, and what can be done.
    pub(super) fn stuck_ui(&mut self, ui: &mut Ui, tokens: &Tokens) {
        let Some((_, said)) = &self.stuck else { return };
        ui.add(egui::Label::new(RichText::new(words("The figures", said)).color(tokens.late)).wrap());
        let ways = [
            ("Take the last step back", Command::Undo),
            ("Save as", Command::SaveAs),
            ("Close the project", Command::Close),
        ];
        for (text, command) in ways {
            if pieces::link(ui, tokens, text).clicked() {
                self.outbox.command(command);
            }
        }
    }

    /// Draws what is asked over the window. What meets a fault is closed.
    pub(super) fn dialogs_carefully(&mut self, ctx: &Context, tokens: &Tokens) {
        if !self
            .carefully("What was open over the window, and is closed now,", |app| app.dialogs(ctx, tokens))
        {
            (self.form, self.list, self.typed_path, self.put_off) = (None, None, None, None);
            (self.export_open, self.together) = (false, None);
            self.session.shortcuts_open = false;
            self.session.manual_open = false;
        }
    }

    /// Sees to it that what is not saved is there at the next start, whatever ends the program. That it is not is said
    /// once, until it is again.
    pub(super) fn care(&mut self, ctx: &Context) {
        let Some(document) = &mut self.document else { return };
        if document.keep(self.state.as_deref(), || chrono::Local::now().fixed_offset()) {
            // It is known by then whether the disk took it.
            ctx.request_repaint_after(2 * keeper::PAUSE);
        }
        let trouble = document.not_kept();
        let is_new = trouble.is_some() && self.told_trouble.is_none();
        if is_new || trouble.is_none() {
            self.told_trouble.clone_from(&trouble);
        }
        if let Some(why) = trouble.filter(|_| is_new) {
            self.notice = Some((why, false));
        }
    }
}
