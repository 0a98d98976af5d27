//! The rows of the ledger as pictures: a finish board on screen. What is chosen is shown large, the candidates of what is
//! open smaller.

use super::keys;
use super::ledger::{LedgerKey, LedgerRow};
use crate::exchange::outgoing::print::board::suppliers;
use crate::model::{OptionState, Selection, SelectionOption};
use crate::ui::choosing;
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::standing::Standing;
use crate::ui::theme::{self, tokens::type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::{drawn, marks, pieces};
use egui::{Id, Rect, Role, ScrollArea, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, pos2, vec2};
use std::ops::Range;

/// Least width of a card, and between two.
const LEAST: f32 = 168.0;
const GAP: f32 = 10.0;
/// Height of what is seen, of a line of words, of a card, of the head of a group.
const SEEN: f32 = 128.0;
const LINE: f32 = 18.0;
const CARD: f32 = SEEN + 4.0 * LINE + 20.0;
const HEAD: f32 = 32.0;
/// Candidates that are shown of an open selection; the words say how many there are.
const MOST: usize = 4;

/// What stands at one height: a head, or cards side by side.
#[derive(Debug, Clone, PartialEq)]
struct Strip {
    top: f32,
    rows: Range<usize>,
    head: bool,
}

/// Where everything stands, kept until the rows or the width change: nothing walks all rows while a frame is drawn.
#[derive(Debug, Clone, Default)]
pub struct BoardPlaces {
    key: Option<LedgerKey>,
    columns: usize,
    strips: Vec<Strip>,
    height: f32,
}

impl BoardPlaces {
    fn update(&mut self, session_rows: &[LedgerRow], key: Option<&LedgerKey>, columns: usize) {
        if self.key.as_ref() == key && self.columns == columns && key.is_some() {
            return;
        }
        let mut strips: Vec<Strip> = Vec::new();
        let mut top = 0.0;
        for (at, row) in session_rows.iter().enumerate() {
            let head = matches!(row, LedgerRow::Group(_));
            match strips.last_mut() {
                Some(last) if !head && !last.head && last.rows.len() < columns => last.rows.end = at + 1,
                _ => {
                    strips.push(Strip { top, rows: at..at + 1, head });
                    top += if head { HEAD } else { CARD + GAP };
                }
            }
        }
        *self = BoardPlaces { key: key.cloned(), columns, strips, height: top };
    }

    fn visible(&self, from: f32, to: f32) -> &[Strip] {
        let first = self.strips.partition_point(|strip| strip.top + CARD + GAP < from);
        let end = self.strips.partition_point(|strip| strip.top <= to);
        self.strips.get(first..end.max(first)).unwrap_or_default()
    }
}

/// Draws the board.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let width = ui.available_width() - 14.0;
    let columns = (((width + GAP) / (LEAST + GAP)) as usize).max(1);
    let card = (width - GAP * (columns - 1) as f32) / columns as f32;
    let mut places = std::mem::take(&mut session.ledger.board);
    let rows = std::mem::take(&mut session.rows.rows);
    places.update(&rows, session.rows.key.as_ref(), columns);
    let picked = session.selection.and_then(|id| view.figures.index.of(id.0));
    let scroll = std::mem::take(&mut session.scroll_to_picked);
    let mut clicked = None;
    ScrollArea::vertical().id_salt("board").auto_shrink(false).show_viewport(ui, |ui, viewport| {
        ui.set_height(places.height);
        let origin = ui.min_rect().min;
        let rect_of = |strip: &Strip, n: usize| {
            let at = origin + vec2((card + GAP) * n as f32, strip.top);
            Rect::from_min_size(at, vec2(card, CARD))
        };
        if scroll {
            let place =
                rows.iter().position(|row| picked.is_some_and(|at| *row == LedgerRow::Item(at as u32)));
            let strip = place.and_then(|place| places.strips.iter().find(|s| s.rows.contains(&place)));
            if let Some(strip) = strip {
                ui.scroll_to_rect(rect_of(strip, 0), None);
            }
        }
        for strip in places.visible(viewport.top(), viewport.bottom()) {
            for (n, row) in rows.get(strip.rows.clone()).unwrap_or_default().iter().enumerate() {
                match row {
                    LedgerRow::Group(group) => {
                        let at = origin + vec2(0.0, strip.top);
                        head(
                            ui,
                            view,
                            session,
                            *group as usize,
                            Rect::from_min_size(at, vec2(width, HEAD - 6.0)),
                        );
                    }
                    LedgerRow::Item(at) => {
                        let rect = rect_of(strip, n);
                        if let Some(selection) = view.project.selections.get(*at as usize)
                            && self::card(
                                ui,
                                view,
                                session,
                                *at as usize,
                                rect,
                                picked == Some(*at as usize),
                                out,
                            )
                        {
                            clicked = Some(selection.id);
                        }
                    }
                }
            }
        }
    });
    session.rows.rows = rows;
    session.ledger.board = places;
    if let Some(id) = clicked {
        let held = ui.input(|i| i.modifiers);
        keys::pick(view, session, id, held.shift, held.command);
    }
}

fn head(ui: &Ui, view: &View<'_>, session: &mut Session, at: usize, rect: Rect) {
    let Some(group) = session.rows.groups.get(at) else { return };
    let (tokens, key) = (view.tokens, group.key);
    let response = ui.interact(rect, ui.scope_id().with(("board_group", key)), Sense::click());
    let spoken = format!("{} {}", if group.folded { "Open" } else { "Fold" }, group.name);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &spoken));
    let lit = response.hovered() || response.has_focus();
    ui.painter().rect_filled(rect, 4.0, if lit { tokens.hovered } else { tokens.strip });
    marks::fold(ui.painter(), pos2(rect.left() + 13.0, rect.center().y), group.folded, tokens.muted);
    let words = format!("{}, {}", group.name, format::count(group.sums.rows, "selection"));
    let start = pos2(rect.left() + 24.0, rect.center().y);
    let font = theme::strong(type_size::BODY);
    pieces::paint_cut(ui.painter(), start, &words, font, tokens.text, rect.width() - 32.0);
    if response.clicked() {
        session.ledger.fold(key);
    }
}

/// Draws a card. Gives back whether it was clicked.
fn card(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    at: usize,
    rect: Rect,
    picked: bool,
    out: &mut Outbox,
) -> bool {
    let tokens = view.tokens;
    let Some(selection) = view.project.selections.get(at) else { return false };
    let standing = view.facts().rows.get(at).map_or(Standing::Open, |fact| fact.standing);
    let response = ui.interact(rect, Id::unique(("board", selection.id)), Sense::click());
    let live = selection.live_option();
    let spoken = spoken(selection, live, standing);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, picked, &spoken));
    let picked = picked || session.ledger.marked.contains(&selection.id);
    let lit = response.hovered() || response.has_focus();
    let fill = if picked { tokens.picked } else { tokens.card };
    let edge = match (picked || response.has_focus(), lit) {
        (true, _) => Stroke::new(2.0, tokens.accent),
        (false, true) => Stroke::new(1.0, tokens.accent),
        (false, false) => Stroke::new(1.0, tokens.line),
    };
    ui.painter().rect(rect, 7.0, fill, edge, StrokeKind::Inside);
    let inner = rect.shrink(8.0);
    let seen = Rect::from_min_size(inner.min, vec2(inner.width(), SEEN - 8.0));
    match live {
        Some(option) => look(ui, view, session, selection, option, seen),
        None => candidates(ui, view, session, selection, seen),
    }
    words(ui, view, selection, live, standing, inner);
    response.context_menu(|ui| {
        choosing::menu(ui, view, selection, out);
        ui.separator();
        if ui.button("Edit selection…").clicked() {
            out.edit(Form::Selection(Some(selection.id), None));
        }
    });
    response.clicked()
}

/// All of a card in one sentence.
fn spoken(selection: &Selection, live: Option<&SelectionOption>, standing: Standing) -> String {
    let choice = match live {
        Some(option) if option.finish.trim().is_empty() => option.name.clone(),
        Some(option) => format!("{}, {}", option.name, option.finish),
        None => format::count(selection.options.len() as i32, "candidate"),
    };
    format!("{}: {choice}, {}", selection.name, standing.word())
}

fn words(
    ui: &Ui,
    view: &View<'_>,
    selection: &Selection,
    live: Option<&SelectionOption>,
    standing: Standing,
    inner: Rect,
) {
    let tokens = view.tokens;
    let mut y = inner.top() + SEEN + LINE / 2.0 - 4.0;
    let mut line = |text: &str, font, color, indent: f32| {
        let width = inner.width() - indent;
        pieces::paint_cut(ui.painter(), pos2(inner.left() + indent, y), text, font, color, width);
        y += LINE;
        y - LINE
    };
    let small = || theme::regular(type_size::SMALL);
    line(&selection.name, theme::strong(type_size::BODY), tokens.text, 0.0);
    match live {
        Some(option) => {
            line(&option.name, small(), tokens.text, 0.0);
            let color = view.project.colors_of(option).0;
            let indent = if color.is_some() { 15.0 } else { 0.0 };
            let middle = line(&option.finish, small(), tokens.muted, indent);
            if let Some(color) = color {
                let center = pos2(inner.left() + 5.0, middle);
                let stroke = Stroke::new(1.0, tokens.muted);
                ui.painter().circle(center, 5.0, theme::tokens::picked_color(color), stroke);
            }
        }
        None => {
            let names: Vec<&str> = selection.options.iter().map(|o| o.name.as_str()).collect();
            line(&format::count(names.len() as i32, "candidate"), small(), tokens.text, 0.0);
            line(&names.join("; "), small(), tokens.muted, 0.0);
        }
    }
    let sold_by = live.map_or(String::new(), |option| suppliers(view.project, option));
    let word = match live.map(|o| o.state) {
        Some(OptionState::Leaning) if standing != Standing::Leaning => {
            format!("{}, leaning", standing.word())
        }
        _ => standing.word().to_owned(),
    };
    let stands = if sold_by.is_empty() { word } else { format!("{word}, {sold_by}") };
    let middle = line(&stands, small(), marks::standing_color(standing, tokens), 15.0);
    marks::standing_shape(ui.painter(), pos2(inner.left() + 5.0, middle), standing, tokens);
}

/// Up to four candidates of what is open, two by two.
fn candidates(ui: &Ui, view: &View<'_>, session: &mut Session, selection: &Selection, seen: Rect) {
    let count = selection.options.len().min(MOST);
    if count == 0 {
        ui.painter().rect_stroke(seen, 5.0, Stroke::new(1.0, view.tokens.line), StrokeKind::Inside);
        return;
    }
    let rows = if count > 2 { 2.0 } else { 1.0 };
    let size = vec2((seen.width() - 6.0) / 2.0, (seen.height() - 6.0 * (rows - 1.0)) / rows);
    for (n, option) in selection.options.iter().take(MOST).enumerate() {
        let at = seen.min + vec2((size.x + 6.0) * (n % 2) as f32, (size.y + 6.0) * (n / 2) as f32);
        // One or two of them stay smaller than a choice, in the middle.
        let mut place = Rect::from_min_size(at, size);
        if rows < 2.0 {
            place = Rect::from_center_size(place.center(), Vec2::new(size.x, size.y * 0.62));
        }
        look(ui, view, session, selection, option, place);
    }
}

/// An option as the card shows it, which says too why a picture is missing.
fn look(
    ui: &Ui,
    view: &View<'_>,
    session: &mut Session,
    selection: &Selection,
    option: &SelectionOption,
    rect: Rect,
) {
    drawn::still(ui, view.tokens, &mut session.pictures, (view.project, selection), option, rect);
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each row has its place, none twice, and those in view are all that are drawn.
    #[test]
    fn every_row_has_a_place() {
        let rows: Vec<LedgerRow> =
            (0..23).map(|n| if n % 9 == 0 { LedgerRow::Group(n / 9) } else { LedgerRow::Item(n) }).collect();
        for columns in 1..6 {
            let mut places = BoardPlaces::default();
            places.update(&rows, None, columns);
            let all: Vec<usize> = places.strips.iter().flat_map(|s| s.rows.clone()).collect();
            assert_eq!(all, (0..rows.len()).collect::<Vec<_>>(), "{columns}");
            assert!(places.strips.iter().all(|s| s.rows.len() <= columns));
            assert!(places.strips.windows(2).all(|s| s[0].top < s[1].top));
            assert_eq!(places.visible(0.0, places.height).len(), places.strips.len());
            let some = places.visible(CARD * 2.0, CARD * 2.5);
            assert!(!some.is_empty() && some.len() < places.strips.len());
            for strip in &places.strips {
                let high = if strip.head { HEAD } else { CARD };
                let seen = strip.top + high >= CARD * 2.0 && strip.top <= CARD * 2.5;
                assert!(!seen || some.contains(strip), "{strip:?}");
            }
        }
    }
}
