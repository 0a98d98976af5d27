//! Drawing the zones of the window.

use super::{NeedlineApp, bar, over};
use crate::exchange::typed::Typed;
use crate::model::Settings;
use crate::model::history::Revision;
use crate::ui::card;
use crate::ui::forms::fields;
use crate::ui::shell::command::Command;
use crate::ui::shell::document::Document;
use crate::ui::shell::head;
use crate::ui::shell::manual;
use crate::ui::shell::modals;
use crate::ui::shell::problems;
use crate::ui::shell::rooms;
use crate::ui::shell::start;
use crate::ui::shell::story;
use crate::ui::shell::zones;
use crate::ui::theme::{self, Tokens};
use crate::ui::view::View;
use crate::ui::why;
use crate::ui::widgets::date_picker::Marks;
use crate::ui::widgets::{motion, pieces};
use egui::{CentralPanel, Event, Frame, Id, IdSalt, Margin, Panel, PanelState, RichText, Ui, UiBuilder};
use lucide_icons::Icon;

/// From so many points on rooms, work area and card have room beside each other. Below, the rooms are a list that drops
/// down, and the card slides over.
pub(super) const WIDE: f32 = 1000.0;

/// The card beside the work area, and how wide it is drawn.
struct CardPanel {
    panel: Panel,
    width: f32,
    edge: Id,
}

impl CardPanel {
    /// As wide as it is wanted and there is room for.
    fn new(ui: &Ui, width: f32, wanted: Option<f32>) -> CardPanel {
        let (least, most) = (330.0, (width - 470.0).clamp(331.0, 760.0));
        let usual = (width * 0.35).clamp(350.0, 540.0);
        let width = wanted.unwrap_or(usual).clamp(least, most).round();
        // The panel keeps what it was drawn with last, which a narrow window makes less for good.
        let id = ui.scope_id().with_salt(IdSalt::new("card"));
        if let Some(mut state) = PanelState::load(ui.ctx(), id) {
            state.outer_rect.min.x = state.outer_rect.max.x - width;
            ui.ctx().data_mut(|d| d.insert_persisted(id, state));
        }
        let panel = Panel::right("card").default_size(width).size_range(least..=most);
        CardPanel { panel, width, edge: id.with("__resize") }
    }
}

impl NeedlineApp {
    /// Draws the whole window.
    pub(super) fn draw(&mut self, ui: &mut Ui) {
        let tokens = theme::tokens(ui.ctx());
        let ctx = ui.ctx().clone();
        let usual = Settings::new("", self.today);
        let settings = self.document.as_ref().map_or(&usual, |d| &d.project().settings);
        fields::read_by(Typed::of(settings, self.as_of()));
        self.marks().set(&ctx);
        motion::set(&ctx, self.motion);
        match self.document.take() {
            Some(document) => {
                // Whatever happens while it is drawn, it comes back.
                if self.stuck.is_some() {
                    CentralPanel::default().show(ui, |ui| {
                        self.notice_ui(ui, tokens, None);
                        self.stuck_ui(ui, tokens);
                    });
                } else if document.derived().is_some() {
                    self.carefully("The window", |app| app.draw_project(ui, tokens, &document));
                }
                self.document = Some(document);
                self.take_over_if_asked();
            }
            None => {
                CentralPanel::no_frame().frame(Frame::NONE.fill(tokens.work)).show(ui, |ui| {
                    self.notice_ui(ui, tokens, None);
                    start::ui(ui, tokens, &self.waiting, &self.recent, &mut self.outbox);
                });
            }
        }
        self.dialogs_carefully(&ctx, tokens);
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
        let mut broken = std::mem::take(&mut self.broken);
        broken.follow(document.history.revision());
        let mut asked = None;
        let unsaved = document.history.is_unsaved();
        let is_wide = ui.available_width() >= WIDE;
        // How far something is scrolled belongs to the document it was scrolled in.
        let opened = self.motion.document;
        let out = &mut self.outbox;
        Panel::top("head")
            .frame(Frame::NONE.fill(tokens.strip).inner_margin(Margin::symmetric(14, 7)))
            .exact_size(66.0)
            .show(ui, |ui| {
                let draw = |ui: &mut Ui| head::ui(ui, &view, &mut self.session, self.candidate, unsaved, out);
                asked = asked.or(zones::ui(ui, tokens, "The head", &mut broken, draw));
            });
        Panel::top("bar")
            .frame(Frame::NONE.fill(tokens.work).inner_margin(Margin::symmetric(14, 3)))
            .exact_size(bar::HEIGHT)
            .show(ui, |ui| {
                let draw = |ui: &mut Ui| self.bar(ui, &view, document);
                asked = asked.or(zones::ui(ui, tokens, "The bar", &mut broken, draw));
            });
        let (out, session) = (&mut self.outbox, &mut self.session);
        if is_wide {
            Panel::left("rooms")
                .frame(Frame::NONE.fill(tokens.strip).inner_margin(Margin::symmetric(8, 10)))
                .default_size((ui.available_width() * 0.15).clamp(196.0, 236.0))
                .size_range(160.0..=340.0)
                .show(ui, |ui| {
                    let draw = |ui: &mut Ui| {
                        ui.push_id(opened, |ui| rooms::ui(ui, &view, session, out));
                    };
                    asked = asked.or(zones::ui(ui, tokens, "The list of rooms", &mut broken, draw));
                });
        }
        let width = ui.available_width();
        let mut candidate = None;
        // The keyboard comes to the work area before the card, so it is drawn first, in what the card leaves.
        let board = session.card.wide.then(|| session.selection.and_then(|id| view.selection(id))).flatten();
        let beside = (is_wide && !session.card.folded && board.is_none())
            .then(|| CardPanel::new(ui, width, session.card.wanted));
        session.card.beside = beside.is_some();
        let bid = self.session.hovered_bid.take();
        let under = ui.available_rect_before_wrap();
        let mut left = under;
        left.max.x -= beside.as_ref().map_or(0.0, |card| card.width);
        let mut middle = ui.new_child(UiBuilder::new().id_salt(("middle", opened)).max_rect(left));
        CentralPanel::no_frame()
            .frame(Frame::NONE.fill(tokens.work).inner_margin(Margin {
                left: 14,
                right: 10,
                top: 8,
                bottom: 8,
            }))
            .show(&mut middle, |ui| {
                self.notice_ui(ui, tokens, Some(document.history.revision()));
                self.held_ui(ui, tokens, document);
                let (session, out) = (&mut self.session, &mut self.outbox);
                let area = session.area;
                if let Some(selection) = board {
                    let draw = |ui: &mut Ui| {
                        session.hovered_option = None;
                        card::read_digits(ui, selection, out);
                        candidate = card::board::ui(ui, &view, session, selection, out);
                    };
                    asked = asked.or(zones::ui(ui, tokens, "The options", &mut broken, draw));
                    return;
                }
                let instead = self.instead.filter(|(replaced, _)| *replaced == area);
                let draw = |ui: &mut Ui| match instead {
                    Some((_, draw)) => draw(ui, &view, session, out),
                    None => area.ui(ui, &view, session, out),
                };
                asked = asked.or(zones::ui(ui, tokens, area.title(), &mut broken, draw));
            });
        let (session, out) = (&mut self.session, &mut self.outbox);
        if let Some(card) = beside {
            let frame = Frame::NONE.fill(tokens.work).inner_margin(Margin::symmetric(14, 12));
            let drawn = card.panel.frame(frame).show(ui, |ui| {
                let draw = |ui: &mut Ui| {
                    candidate = ui.push_id(opened, |ui| card::ui(ui, &view, session, out)).inner;
                };
                asked = asked.or(zones::ui(ui, tokens, "The card", &mut broken, draw));
            });
            // Its edge was dragged, or moved by a screen reader.
            let held = ui.ctx().read_response(card.edge).is_some_and(|e| e.dragged() || e.drag_stopped());
            let asked_for = |e: &Event| matches!(e, Event::AccessKitActionRequest(_));
            let drawn = drawn.response.rect.width();
            if (drawn - card.width).abs() > 1.0 && (held || ui.input(|i| i.events.iter().any(asked_for))) {
                session.card.wanted = Some(drawn);
            }
        }
        self.broken = broken;
        asked.into_iter().for_each(|command| self.outbox.command(command));
        if !is_wide && board.is_none() {
            candidate = over::ui(ui, &view, &mut self.session, &mut self.outbox, under, opened);
        }
        let dragged = self.session.dates.dropping(&view).map(|dropping| dropping.preview);
        let candidate = candidate.or(dragged).or_else(|| view.derived.bid_preview(view.project, bid?));
        if candidate != self.candidate {
            // The head strip above was drawn with the old figures.
            ui.ctx().request_repaint();
        }
        self.candidate = candidate;
        if !self.carefully("A window that was open, and is closed now,", |app| app.windows(ui, &view)) {
            (self.session.enlarged, self.session.palette) = (None, None);
            self.session.close_windows();
        }
    }

    /// What floats over the zones.
    fn windows(&mut self, ui: &mut Ui, view: &View<'_>) {
        crate::ui::shell::enlarged::ui(ui, view, &mut self.session);
        crate::ui::shell::palette::ui(ui.ctx(), view, &mut self.session, &mut self.outbox);
        why::window(ui.ctx(), view, &mut self.session, &mut self.outbox);
        if self.session.story_open {
            story::window(ui.ctx(), view, &mut self.session, &mut self.outbox);
        }
        if self.session.problems_open {
            problems::window(ui.ctx(), view, &mut self.session, &mut self.outbox);
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
            (over::NAME, session.card.over),
            ("board", session.card.wide),
        ];
        let open: Vec<&str> = windows.into_iter().filter(|(_, open)| *open).map(|(name, _)| name).collect();
        match modals::escaped_window(ctx, &open) {
            Some(manual::WINDOW) => session.manual_open = false,
            Some(why::WINDOW) => session.why = None,
            Some(story::WINDOW) => session.story_open = false,
            Some(over::NAME) => session.card.over = false,
            Some("board") => session.card.wide = false,
            Some(_) => session.problems_open = false,
            None => {}
        }
    }

    /// What was done or refused last: above the area, which it does not move. What was refused stays until it is closed,
    /// what was done goes by itself.
    fn notice_ui(&mut self, ui: &Ui, tokens: &Tokens, revision: Option<Revision>) {
        let about =
            |moved: &(Revision, String)| self.notice.as_ref().is_some_and(|(text, _)| *text == moved.1);
        let undo = self.moved.as_ref().is_some_and(about);
        if undo && self.moved.as_ref().map(|(after, _)| *after) != revision {
            // Undone, or changed further.
            self.notice = None;
        }
        let Some((text, good)) = &self.notice else {
            self.noticed = None;
            return;
        };
        let ctx = ui.ctx().clone();
        if modals::is_open(&ctx) {
            // It would lie over what is asked, and be read by nobody: its time begins when it can be seen.
            self.noticed = None;
            return;
        }
        let now = ctx.input(|i| i.time);
        let since = match &self.noticed {
            Some((known, since)) if known == text => *since,
            _ => now,
        };
        self.noticed = Some((text.clone(), since));
        let tone = if *good { tokens.good } else { tokens.late };
        let most = (ctx.content_rect().width() - 40.0).min(620.0);
        let mut close = false;
        let area = egui::Area::new(egui::Id::unique("notice"))
            .order(egui::Order::Foreground)
            .anchor(egui::Align2::CENTER_BOTTOM, egui::vec2(0.0, -60.0));
        let shown = area.show(&ctx, |ui| {
            Frame::popup(ui.style())
                .fill(tokens.card)
                .stroke(egui::Stroke::new(1.0, tone))
                .corner_radius(6)
                .inner_margin(Margin::symmetric(10, 6))
                .show(ui, |ui| {
                    ui.horizontal(|ui| {
                        let beside = if undo { 100.0 } else { 44.0 };
                        let words = RichText::new(text).color(tone);
                        let wide =
                            ui.painter().layout_no_wrap(text.clone(), theme::regular(14.0), tone).size().x;
                        ui.allocate_ui(egui::vec2((wide + 6.0).min(most - beside), 20.0), |ui| {
                            ui.set_max_width(most - beside);
                            ui.add(egui::Label::new(words).wrap());
                        });
                        if undo && pieces::link(ui, tokens, "undo").clicked() {
                            self.outbox.command(Command::Undo);
                        }
                        close = pieces::icon_button(ui, Icon::X, "Close message").clicked();
                    });
                });
        });
        let left = since + read_in(text, undo) - now;
        if *good && left > 0.0 {
            ctx.request_repaint_after(std::time::Duration::from_secs_f64(left));
        }
        // Nothing goes away under the pointer, or while it has the keyboard.
        let held = shown.response.contains_pointer();
        if close || *good && left <= 0.0 && !held {
            self.notice = None;
        }
    }
}

/// Seconds that a sentence stays: long enough to be read, and longer where it offers to take something back.
fn read_in(text: &str, undo: bool) -> f64 {
    let letters = u32::try_from(text.chars().count()).unwrap_or(u32::MAX);
    let least = if undo { 12.0 } else { 4.0 };
    least + 0.05 * f64::from(letters.min(400))
}
