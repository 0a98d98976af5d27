//! Drawing the zones of the window.

use super::NeedlineApp;
use crate::exchange::typed::Typed;
use crate::model::Settings;
use crate::model::history::Revision;
use crate::ui::card;
use crate::ui::forms::fields;
use crate::ui::session::WorkArea;
use crate::ui::shell::command::Command;
use crate::ui::shell::document::Document;
use crate::ui::shell::head;
use crate::ui::shell::manual;
use crate::ui::shell::modals;
use crate::ui::shell::problems;
use crate::ui::shell::rooms;
use crate::ui::shell::start;
use crate::ui::shell::story;
use crate::ui::theme::{self, Tokens, tokens::space};
use crate::ui::view::View;
use crate::ui::why;
use crate::ui::widgets::date_picker::Marks;
use crate::ui::widgets::pieces;
use egui::{CentralPanel, Frame, Layout, Margin, Panel, RichText, Ui};
use lucide_icons::Icon;

/// A bar of fewer points has no room for everything.
const NARROW_BAR: f32 = 540.0;

impl NeedlineApp {
    /// Draws the whole window.
    pub(super) fn draw(&mut self, ui: &mut Ui) {
        let tokens = theme::tokens(ui.ctx());
        let ctx = ui.ctx().clone();
        let usual = Settings::new("", self.today);
        let settings = self.document.as_ref().map_or(&usual, |d| &d.project().settings);
        fields::read_by(Typed::of(settings, self.as_of()));
        self.marks().set(&ctx);
        match self.document.take() {
            Some(document) => {
                if document.derived().is_some() {
                    self.draw_project(ui, tokens, &document);
                }
                self.document = Some(document);
            }
            None => {
                CentralPanel::no_frame().frame(Frame::NONE.fill(tokens.work)).show(ui, |ui| {
                    self.notice_ui(ui, tokens, None);
                    start::ui(ui, tokens, &self.recent, &self.samples, &mut self.outbox);
                });
            }
        }
        self.dialogs(&ctx, tokens);
    }

    /// What months to pick a day from show: the day of need is that of what is on the card.
    fn marks(&self) -> Marks {
        let as_of = crate::engine::Day::from(self.as_of());
        let figures = self.document.as_ref().and_then(Document::derived).map(|d| d.figures.clone());
        let picked = figures
            .as_deref()
            .zip(self.session.selection)
            .and_then(|(f, id)| f.selection(id).map(|s| (f, s)));
        let needed = picked.and_then(|(f, s)| f.parts_of(s).iter().filter_map(|p| p.need_date).min());
        Marks { as_of, needed, figures }
    }

    fn draw_project(&mut self, ui: &mut Ui, tokens: &Tokens, document: &Document) {
        let Some(derived) = document.derived() else { return };
        let view = View {
            project: document.project(),
            figures: &derived.figures,
            problems: &derived.problems,
            derived,
            tokens,
        };
        let unsaved = document.history.is_unsaved();
        let out = &mut self.outbox;
        Panel::top("head")
            .frame(Frame::NONE.fill(tokens.strip).inner_margin(Margin::symmetric(14, 7)))
            .exact_size(66.0)
            .show(ui, |ui| head::ui(ui, &view, &mut self.session, self.candidate, unsaved, out));
        Panel::left("rooms")
            .frame(Frame::NONE.fill(tokens.strip).inner_margin(Margin::symmetric(8, 10)))
            .default_size((ui.available_width() * 0.15).clamp(196.0, 236.0))
            .size_range(160.0..=340.0)
            .show(ui, |ui| rooms::ui(ui, &view, &mut self.session, out));
        let width = ui.available_width();
        let mut candidate = None;
        Panel::right("card")
            .frame(Frame::NONE.fill(tokens.work).inner_margin(Margin::symmetric(14, 12)))
            .default_size((width * 0.35).clamp(350.0, 540.0))
            .size_range(330.0..=(width - 470.0).clamp(331.0, 760.0))
            .show(ui, |ui| candidate = card::ui(ui, &view, &mut self.session, out));
        let bid = self.session.hovered_bid.take();
        let candidate = candidate.or_else(|| view.derived.bid_preview(view.project, bid?));
        if candidate != self.candidate {
            // The head strip above was drawn with the old figures.
            ui.ctx().request_repaint();
        }
        self.candidate = candidate;
        CentralPanel::no_frame()
            .frame(Frame::NONE.fill(tokens.work).inner_margin(Margin {
                left: 14,
                right: 10,
                top: 8,
                bottom: 8,
            }))
            .show(ui, |ui| {
                self.notice_ui(ui, tokens, Some(document.history.revision()));
                self.bar(ui, tokens, document);
                ui.add_space(space::S);
                let (session, out) = (&mut self.session, &mut self.outbox);
                session.area.ui(ui, &view, session, out);
            });
        crate::ui::shell::enlarged::ui(ui, &view, &mut self.session);
        crate::ui::shell::palette::ui(ui.ctx(), &view, &mut self.session, &mut self.outbox);
        why::window(ui.ctx(), &view, &mut self.session, &mut self.outbox);
        if self.session.story_open {
            story::window(ui.ctx(), &view, &mut self.session, &mut self.outbox);
        }
        if self.session.problems_open {
            problems::window(ui.ctx(), &view, &mut self.session, &mut self.outbox);
        }
    }

    /// Escape closes the window that lies on top.
    pub(super) fn close_window_by_escape(&mut self, ctx: &egui::Context) {
        let session = &mut self.session;
        let windows = [
            (manual::WINDOW, session.manual_open),
            (why::WINDOW, session.why.is_some()),
            (problems::WINDOW, session.problems_open),
            (story::WINDOW, session.story_open),
        ];
        let open: Vec<&str> = windows.into_iter().filter(|(_, open)| *open).map(|(name, _)| name).collect();
        match modals::escaped_window(ctx, &open) {
            Some(manual::WINDOW) => session.manual_open = false,
            Some(why::WINDOW) => session.why = None,
            Some(story::WINDOW) => session.story_open = false,
            Some(_) => session.problems_open = false,
            None => {}
        }
    }

    /// Work areas on the left; file, undo and search on the right.
    fn bar(&mut self, ui: &mut Ui, tokens: &Tokens, document: &Document) {
        let mut searched = false;
        // Where there is little room, steps forward again are in the list of steps and in the menu.
        let narrow = ui.available_width() < NARROW_BAR;
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = if narrow { 7.0 } else { 4.0 };
            let padding = ui.spacing().button_padding.x;
            for area in WorkArea::all() {
                let picked = self.session.area == area;
                let text = if picked {
                    pieces::strong(area.title(), 15.0)
                } else {
                    RichText::new(area.title()).size(15.0).color(tokens.muted)
                };
                let least = egui::vec2(if narrow { 0.0 } else { 58.0 }, 30.0);
                let tab = ui.add(egui::Button::new(text).frame(false).min_size(least));
                tab.widget_info(|| {
                    egui::WidgetInfo::selected(egui::Role::Button, true, picked, area.title())
                });
                if picked {
                    let inset = if narrow { 0.0 } else { 8.0 };
                    let line = egui::Rangef::new(tab.rect.left() + inset, tab.rect.right() - inset);
                    ui.painter().hline(line, tab.rect.bottom(), egui::Stroke::new(3.0, tokens.accent));
                }
                if tab.clicked() {
                    self.session.area = area;
                }
            }
            ui.spacing_mut().button_padding.x = if narrow { 5.0 } else { padding };
            ui.spacing_mut().item_spacing.x = if narrow { 1.0 } else { 4.0 };
            ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
                self.menu(ui);
                if pieces::icon_button(ui, Icon::Save, "Save").clicked() {
                    self.outbox.command(Command::Save);
                }
                history_menu(ui, tokens, document, &mut self.outbox);
                let named = |what: &str, label: Option<&str>| match label {
                    Some(label) => format!("{what}: {label}"),
                    None => format!("Nothing to {}", what.to_lowercase()),
                };
                let redo = document.history.redo_label();
                let undo = document.history.undo_label();
                ui.add_enabled_ui(redo.is_some(), |ui| {
                    if !narrow && pieces::icon_button(ui, Icon::Redo2, &named("Redo", redo)).clicked() {
                        self.outbox.command(Command::Redo);
                    }
                });
                ui.add_enabled_ui(undo.is_some(), |ui| {
                    if pieces::icon_button(ui, Icon::Undo2, &named("Undo", undo)).clicked() {
                        self.outbox.command(Command::Undo);
                    }
                });
                searched = self.session.area == WorkArea::House && ui.available_width() > 130.0;
                if searched {
                    ui.spacing_mut().button_padding.x = padding;
                    self.search(ui);
                }
            });
        });
        if self.session.area == WorkArea::House && !searched {
            self.search(ui);
        }
    }

    fn search(&mut self, ui: &mut Ui) {
        let width = (ui.available_width() - 8.0).clamp(60.0, 220.0);
        let field = ui.add(
            egui::TextEdit::singleline(&mut self.session.search)
                .desired_width(width)
                .hint_text("Search rooms, parts, suppliers"),
        );
        field.widget_info(|| egui::WidgetInfo::labeled(egui::Role::TextInput, true, "Search"));
        if std::mem::take(&mut self.session.focus_search) {
            field.request_focus();
        }
        if modals::escaped_field(&field) {
            self.session.search.clear();
        }
    }

    fn menu(&mut self, ui: &mut Ui) {
        let icon = RichText::new(char::from(Icon::Menu).to_string()).font(theme::icon_font(16.0));
        let menu = ui.menu_button(icon, |ui| {
            // A low window, or large letters, have no room for all of it.
            let most = (ui.ctx().content_rect().height() - 24.0).max(120.0);
            egui::ScrollArea::vertical().max_height(most).show(ui, |ui| self.menu_entries(ui));
        });
        let button = menu.response.on_hover_text("Menu");
        button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, "Menu"));
    }

    fn menu_entries(&mut self, ui: &mut Ui) {
        let mut group = None;
        for command in Command::all() {
            if group.replace(command.group()).is_some_and(|before| before != command.group()) {
                ui.separator();
            }
            let keys = command.shortcut().map_or(String::new(), |s| ui.ctx().format_shortcut(&s));
            if ui.add(egui::Button::new(command.title()).shortcut_text(keys)).clicked() {
                self.outbox.command(command);
                ui.close();
            }
        }
    }

    /// What was done or refused last, until it is closed.
    fn notice_ui(&mut self, ui: &mut Ui, tokens: &Tokens, revision: Option<Revision>) {
        let about =
            |moved: &(Revision, String)| self.notice.as_ref().is_some_and(|(text, _)| *text == moved.1);
        let undo = self.moved.as_ref().is_some_and(about);
        if undo && self.moved.as_ref().map(|(after, _)| *after) != revision {
            // Undone, or changed further.
            self.notice = None;
        }
        let Some((text, good)) = &self.notice else { return };
        let tone = if *good { tokens.good } else { tokens.late };
        let mut close = false;
        Frame::new()
            .fill(tokens.card)
            .stroke(egui::Stroke::new(1.0, tone))
            .corner_radius(6)
            .inner_margin(Margin::symmetric(10, 6))
            .show(ui, |ui| {
                ui.horizontal_top(|ui| {
                    let width = ui.available_width() - if undo { 90.0 } else { 34.0 };
                    ui.allocate_ui(egui::vec2(width, 20.0), |ui| {
                        ui.set_width(width);
                        ui.add(egui::Label::new(RichText::new(text).color(tone)).wrap());
                    });
                    if undo && pieces::link(ui, tokens, "undo").clicked() {
                        self.outbox.command(Command::Undo);
                    }
                    close = pieces::icon_button(ui, Icon::X, "Close message").clicked();
                });
            });
        ui.add_space(space::S);
        if close {
            self.notice = None;
        }
    }
}

/// All steps by name, the latest on top; a click goes to the document as it was after that step.
fn history_menu(ui: &mut Ui, tokens: &Tokens, document: &Document, out: &mut crate::ui::view::Outbox) {
    let text = RichText::new(char::from(Icon::History).to_string()).font(theme::icon_font(16.0));
    // Quiet like the buttons beside it.
    let visuals = &mut ui.visuals_mut().widgets.inactive;
    let (fill, stroke) = (visuals.weak_bg_fill, visuals.bg_stroke);
    (visuals.weak_bg_fill, visuals.bg_stroke) = (theme::tokens::CLEAR, egui::Stroke::NONE);
    let menu = ui.menu_button(text, |ui| {
        ui.set_min_width(260.0);
        pieces::group_title(ui, tokens, "Steps, the latest on top");
        let now = document.history.place();
        egui::ScrollArea::vertical().max_height(420.0).show(ui, |ui| {
            for (place, label) in document.history.labels().enumerate().collect::<Vec<_>>().into_iter().rev()
            {
                let name = if label.is_empty() { "as it was opened" } else { label };
                // What was undone steps back.
                let color = if place > now { tokens.muted } else { tokens.text };
                let step = ui.add(egui::Button::selectable(place == now, RichText::new(name).color(color)));
                if step.clicked() && place != now {
                    out.push(crate::ui::view::Request::GoToStep(place));
                    ui.close();
                }
            }
        });
    });
    let visuals = &mut ui.visuals_mut().widgets.inactive;
    (visuals.weak_bg_fill, visuals.bg_stroke) = (fill, stroke);
    let button = menu.response.on_hover_text("Steps that were made");
    button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, "Steps"));
}
