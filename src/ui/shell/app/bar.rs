//! The bar below the head: rooms where they have no zone of their own, work areas, search, steps, file and menu.

use super::NeedlineApp;
use super::frame::WIDE;
use crate::ui::areas::house::search_field;
use crate::ui::session::WorkArea;
use crate::ui::shell::command::Command;
use crate::ui::shell::document::Document;
use crate::ui::shell::rooms;
use crate::ui::theme::{self, Tokens};
use crate::ui::view::View;
use crate::ui::widgets::{drop_down, pieces};
use egui::{Id, Popup, PopupCloseBehavior, RichText, Ui};
use lucide_icons::Icon;

/// Points of the bar.
pub(super) const HEIGHT: f32 = 38.0;

/// A bar of fewer points has no room for everything: what can be reached otherwise is left out.
const NARROW: f32 = 860.0;

/// Below this even less.
const TIGHT: f32 = 700.0;

impl NeedlineApp {
    /// Rooms and work areas on the left; file, steps and search on the right.
    pub(super) fn bar(&mut self, ui: &mut Ui, view: &View<'_>, document: &Document) {
        let width = ui.available_width();
        let narrow = width < NARROW;
        ui.horizontal_centered(|ui| {
            if ui.ctx().content_rect().width() < WIDE {
                self.rooms_list(ui, view);
            }
            ui.spacing_mut().item_spacing.x = if narrow { 7.0 } else { 6.0 };
            let padding = ui.spacing().button_padding.x;
            for area in WorkArea::all() {
                self.tab(ui, view.tokens, area, narrow);
            }
            ui.spacing_mut().button_padding.x = if narrow { 5.0 } else { padding };
            ui.spacing_mut().item_spacing.x = if narrow { 1.0 } else { 4.0 };
            self.right(ui, view.tokens, document, padding);
        });
    }

    /// Search, steps, file and menu at the right edge, drawn from the left, as the keyboard goes through them.
    fn right(&mut self, ui: &mut Ui, tokens: &Tokens, document: &Document, padding: f32) {
        let width = ui.available_rect_before_wrap().right() - ui.min_rect().left();
        let (narrow, tight) = (width < NARROW, width < TIGHT);
        // As wide as they were drawn last in a bar like this.
        let known = Id::unique(("right of the bar", narrow, tight));
        let buttons: f32 = ui.data(|d| d.get_temp(known)).unwrap_or(180.0);
        let room = ui.available_width() - buttons;
        self.session.search_in_bar = room > 96.0;
        if self.session.area == WorkArea::House && self.session.search_in_bar {
            let field = (room - 8.0).clamp(60.0, 220.0);
            let gap = ui.spacing().item_spacing.x;
            ui.add_space((room - field - gap).max(0.0));
            ui.scope(|ui| {
                ui.spacing_mut().button_padding.x = padding;
                search_field(ui, &mut self.session, field);
            });
        } else {
            ui.add_space(room.max(0.0));
        }
        let left = ui.cursor().left();
        self.steps(ui, document, !narrow);
        if !tight {
            history_menu(ui, tokens, document, &mut self.outbox);
            if pieces::icon_button(ui, Icon::Save, "Save").clicked() {
                self.outbox.command(Command::Save);
            }
        }
        self.fold(ui);
        let menu = self.menu(ui);
        let drawn = menu.rect.right() - left;
        if (drawn - buttons).abs() > 0.5 {
            ui.data_mut(|d| d.insert_temp(known, drawn));
            ui.ctx().request_repaint();
        }
    }

    /// One step back, and forward again.
    fn steps(&mut self, ui: &mut Ui, document: &Document, both: bool) {
        let named = |what: &str, label: Option<&str>| match label {
            Some(label) => format!("{what}: {label}"),
            None => format!("Nothing to {}", what.to_lowercase()),
        };
        let redo = document.history.redo_label();
        let undo = document.history.undo_label();
        ui.add_enabled_ui(undo.is_some(), |ui| {
            if pieces::icon_button(ui, Icon::Undo2, &named("Undo", undo)).clicked() {
                self.outbox.command(Command::Undo);
            }
        });
        if both {
            ui.add_enabled_ui(redo.is_some(), |ui| {
                if pieces::icon_button(ui, Icon::Redo2, &named("Redo", redo)).clicked() {
                    self.outbox.command(Command::Redo);
                }
            });
        }
    }

    fn tab(&mut self, ui: &mut Ui, tokens: &Tokens, area: WorkArea, narrow: bool) {
        let picked = self.session.area == area;
        let text = if picked {
            pieces::strong(area.title(), 15.0)
        } else {
            RichText::new(area.title()).size(15.0).color(tokens.muted)
        };
        // As wide as its name in bold letters, so that no tab moves when another one is picked.
        let bold = ui.painter().layout_no_wrap(area.title().to_owned(), theme::strong(15.0), tokens.text);
        let air = if narrow { 0.0 } else { 7.0 };
        let size = egui::vec2((bold.size().x + 2.0 * air).ceil(), 30.0);
        ui.spacing_mut().button_padding.x = 0.0;
        let tab = ui.add_sized(size, egui::Button::new(text).frame(false));
        tab.widget_info(|| egui::WidgetInfo::selected(egui::Role::Button, true, picked, area.title()));
        if picked {
            ui.painter().hline(tab.rect.x_range(), tab.rect.bottom(), egui::Stroke::new(3.0, tokens.accent));
        }
        if tab.clicked() {
            self.session.show(area);
        }
    }

    /// The rooms as a list that drops down.
    fn rooms_list(&mut self, ui: &mut Ui, view: &View<'_>) {
        let room = self.session.room.and_then(|id| view.project.room(id));
        let name = room.map_or("All rooms", |r| r.name.as_str());
        let most = 12;
        let shown = match name.char_indices().nth(most) {
            Some((end, _)) => format!("{}\u{2026}", name[..end].trim_end()),
            None => name.to_owned(),
        };
        let button = ui.add(egui::Button::new((shown, char::from(Icon::ChevronDown).to_string())));
        button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, format!("Rooms: {name}")));
        let before = self.session.room;
        let popup = Popup::menu(&button).close_behavior(PopupCloseBehavior::CloseOnClickOutside);
        let id = popup.get_id();
        popup.show(|ui| {
            let high = (ui.ctx().content_rect().height() * 0.7).max(160.0);
            ui.set_max_height(high);
            ui.set_width(240.0);
            rooms::ui(ui, view, &mut self.session, &mut self.outbox);
        });
        drop_down::raise(ui.ctx(), id);
        if self.session.room != before {
            Popup::close_id(ui.ctx(), id);
        }
    }

    /// Folds the card away, or brings it back.
    fn fold(&mut self, ui: &mut Ui) {
        let shown = self.session.card.is_shown(ui.ctx().content_rect().width() >= WIDE);
        let (icon, name) = if shown {
            (Icon::PanelRightClose, "Fold the options away")
        } else {
            (Icon::PanelRightOpen, "Show the options of what is picked")
        };
        if pieces::icon_button(ui, icon, name).clicked() {
            self.outbox.command(Command::FoldCard);
        }
    }

    fn menu(&mut self, ui: &mut Ui) -> egui::Response {
        let menu = quiet_menu(ui, Icon::Menu, |ui| {
            // A low window, or large letters, have no room for all of it.
            let most = (ui.ctx().content_rect().height() - 24.0).max(120.0);
            egui::ScrollArea::vertical().max_height(most).show(ui, |ui| self.menu_entries(ui));
        });
        let button = menu.on_hover_text("Menu");
        button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, "Menu"));
        button
    }

    fn menu_entries(&mut self, ui: &mut Ui) {
        let all: Vec<Command> = Command::all().collect();
        for own in all.chunk_by(|a, b| a.group().behind() == b.group().behind()) {
            match own.first().and_then(|first| first.group().behind()) {
                Some(title) => {
                    ui.menu_button(title, |ui| self.commands(ui, own));
                }
                None => {
                    self.commands(ui, own);
                    ui.separator();
                }
            }
        }
    }

    /// Commands with a line between groups.
    fn commands(&mut self, ui: &mut Ui, commands: &[Command]) {
        let mut group = None;
        for command in commands {
            if group.replace(command.group()).is_some_and(|before| before != command.group()) {
                ui.separator();
            }
            let keys = command.shortcut().map_or(String::new(), |s| ui.ctx().format_shortcut(&s));
            if ui.add(egui::Button::new(command.title()).shortcut_text(keys)).clicked() {
                self.outbox.command(*command);
                ui.close();
            }
        }
    }
}

/// A menu behind a picture, quiet like the buttons beside it.
fn quiet_menu(ui: &mut Ui, icon: Icon, content: impl FnOnce(&mut Ui)) -> egui::Response {
    let text = RichText::new(char::from(icon).to_string()).font(theme::icon_font(16.0));
    let visuals = &mut ui.visuals_mut().widgets.inactive;
    let usual = (visuals.weak_bg_fill, visuals.bg_stroke);
    (visuals.weak_bg_fill, visuals.bg_stroke) = (theme::tokens::CLEAR, egui::Stroke::NONE);
    let menu = ui.menu_button(text, content);
    let visuals = &mut ui.visuals_mut().widgets.inactive;
    (visuals.weak_bg_fill, visuals.bg_stroke) = usual;
    menu.response
}

/// All steps by name, the latest on top; a click goes to the document as it was after that step.
fn history_menu(ui: &mut Ui, tokens: &Tokens, document: &Document, out: &mut crate::ui::view::Outbox) {
    let menu = quiet_menu(ui, Icon::History, |ui| {
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
    let button = menu.on_hover_text("Steps that were made");
    button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, "Steps"));
}
