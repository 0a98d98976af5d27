//! The options of a selection over the whole width: a row each, with price, quantity, supplier, arrival, days in hand
//! and fit one below the other, under one axis of days. The need lines run unbroken through all rows.

use super::price::{option_total, price_words};
use super::sentence::sentence;
use super::{look, swap_log};
use crate::engine::Day;
use crate::model::{OptionState, Part, Selection, SelectionOption};
use crate::ui::choosing;
use crate::ui::derived::Preview;
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::{self, tokens::space, tokens::type_size};
use crate::ui::view::{Outbox, View};
use crate::ui::widgets::axis::TimeAxis;
use crate::ui::widgets::need_line::{self, Way};
use crate::ui::widgets::pieces;
use egui::{
    Align, Align2, Layout, Rangef, Rect, RichText, Sense, Stroke, StrokeKind, Ui, UiBuilder, pos2, vec2,
};
use lucide_icons::Icon;

/// Points of the row of a part, and of what stands above and below them in the row of an option.
const PART: f32 = 36.0;
const AROUND: f32 = 34.0;
/// The least points of a row.
const LEAST: f32 = 112.0;

/// Where the columns of the board lie; one of no width is left out.
struct Columns {
    name: Rangef,
    price: Rangef,
    quantity: Rangef,
    supplier: Rangef,
    arrives: Rangef,
    hand: Rangef,
    axis: Rangef,
}

impl Columns {
    fn new(left: f32, width: f32) -> Columns {
        let (wide, roomy) = (width >= 1180.0, width >= 900.0);
        let mut at = left + 10.0;
        let mut take = |points: f32| {
            let from = at;
            at += points;
            Rangef::new(from, (at - 8.0).max(from))
        };
        let name = take((width * 0.27).clamp(190.0, 320.0));
        let price = take(106.0);
        let quantity = take(if wide { 92.0 } else { 0.0 });
        let supplier = take(if wide { 128.0 } else { 0.0 });
        let arrives = take(if roomy { 92.0 } else { 0.0 });
        let hand = take(if roomy { 86.0 } else { 0.0 });
        let axis = Rangef::new(at + 4.0, left + width - 14.0);
        Columns { name, price, quantity, supplier, arrives, hand, axis }
    }

    fn titled(&self) -> [(&'static str, Rangef, bool); 6] {
        [
            ("Option", self.name, false),
            ("Price", self.price, true),
            ("Quantity", self.quantity, true),
            ("Supplier", self.supplier, false),
            ("Arrives", self.arrives, true),
            ("In hand", self.hand, true),
        ]
    }
}

/// Draws it. Gives back the figures as they would be with the candidate under the pointer.
pub fn ui(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    selection: &Selection,
    out: &mut Outbox,
) -> Option<Preview> {
    let tokens = view.tokens;
    ui.horizontal(|ui| {
        ui.label(pieces::strong(&selection.name, type_size::HEADING));
        let room = view.project.room(selection.room).map_or("", |room| room.name.as_str());
        pieces::muted(
            ui,
            tokens,
            format!("{room}, {}", format::count(selection.options.len() as i32, "option")),
        );
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if pieces::icon_button(ui, Icon::Minimize2, "Back to the work area").clicked() {
                session.card.wide = false;
            }
        });
    });
    let mut candidate = None;
    egui::ScrollArea::vertical().auto_shrink(false).id_salt(("board", selection.id)).show(ui, |ui| {
        candidate = rows(ui, view, session, selection, out);
        ui.add_space(space::M);
        super::add::ui(ui, view, session, selection, out);
        ui.add_space(space::M);
        super::known::ui(ui, view, selection, out);
        swap_log::ui(ui, view, swap_log::Scope::Selection(selection.id), out);
    });
    candidate
}

fn rows(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    selection: &Selection,
    out: &mut Outbox,
) -> Option<Preview> {
    let tokens = view.tokens;
    let width = ui.available_width() - 4.0;
    let (head, _) = ui.allocate_exact_size(vec2(width, 46.0), Sense::hover());
    let columns = Columns::new(head.left(), width);
    let (from, to) = super::span(view, selection);
    let axis = TimeAxis::new(from, to, columns.axis);
    for (title, at, right) in columns.titled().into_iter().filter(|(_, at, _)| at.span() > 10.0) {
        let (x, align) = if right { (at.max, Align2::RIGHT_CENTER) } else { (at.min, Align2::LEFT_CENTER) };
        let font = theme::strong(type_size::SMALL);
        ui.painter().text(pos2(x, head.bottom() - 8.0), align, title, font, tokens.muted);
    }
    let months = Rect::from_x_y_ranges(columns.axis, Rangef::new(head.bottom() - 16.0, head.bottom()));
    axis.paint_months(ui.painter(), months, tokens);
    let mut candidate = None;
    for option in &selection.options {
        let hovered = row(ui, view, session, (selection, option), &columns, &axis, out);
        candidate = candidate.or(hovered);
        ui.add_space(space::M);
    }
    if selection.options.is_empty() {
        ui.label("No options yet. Name the first one below.");
        return None;
    }
    let below = Rangef::new(head.bottom(), ui.cursor().top() - space::M);
    need_lines(ui, view, selection, &axis, head, below);
    candidate
}

/// One upright line for each day of need, through all rows, with the day and its phase above.
fn need_lines(ui: &Ui, view: &View<'_>, selection: &Selection, axis: &TimeAxis, head: Rect, rows: Rangef) {
    let tokens = view.tokens;
    let painter = ui.painter();
    need_line::paint_as_of(painter, axis, view.as_of(), rows, tokens.muted);
    let known = view.figures.spec_facts(view.project).first_open(selection);
    need_line::paint_known_by(painter, axis, known, rows, tokens);
    let Some(own) = view.figures.selection(selection.id) else { return };
    let mut needs: Vec<(Day, u32)> =
        view.figures.parts_of(own).iter().filter_map(|f| f.need_date.zip(f.phase)).collect();
    needs.sort_unstable();
    needs.dedup();
    let mut free_from = axis.x.min - 200.0;
    let mut upper = false;
    for (need, phase) in needs {
        let x = axis.at(need);
        painter.vline(x, rows, Stroke::new(2.2, tokens.need));
        let name = view.project.phases.get(phase as usize).map_or("", |phase| phase.name.as_str());
        let words = format!("{}, {name}", format::day_short(need, view.as_of()));
        let font = theme::strong(type_size::SMALL);
        let most = (axis.x.max - x).max(x - axis.x.min).min(260.0);
        let mut job = egui::text::LayoutJob::simple_singleline(words, font, tokens.text);
        job.wrap = egui::text::TextWrapping::truncate_at_width(most);
        let label = painter.layout_job(job);
        let left = if x + label.size().x <= axis.x.max { x } else { (x - label.size().x).max(axis.x.min) };
        // Two days close together have their words one above the other.
        upper = left < free_from && !upper;
        free_from = left + label.size().x + 8.0;
        let y = head.top() + if upper { 0.0 } else { 14.0 };
        painter.galley(pos2(left, y), label, tokens.text);
    }
}

fn row(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    (selection, option): (&Selection, &SelectionOption),
    columns: &Columns,
    axis: &TimeAxis,
    out: &mut Outbox,
) -> Option<Preview> {
    let tokens = view.tokens;
    let chosen = option.state == OptionState::Chosen;
    let height = (option.parts.len() as f32 * PART + AROUND).max(LEAST);
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width() - 4.0, height), Sense::hover());
    let edge = if chosen { Stroke::new(2.0, tokens.accent) } else { Stroke::new(1.0, tokens.line) };
    ui.painter().rect(rect, 8.0, tokens.card, edge, StrokeKind::Inside);
    let inner = rect.shrink2(vec2(0.0, 8.0));
    let cell = |ui: &mut Ui, at: Rangef, right: bool, content: &mut dyn FnMut(&mut Ui)| {
        if at.span() < 10.0 {
            return;
        }
        let place = Rect::from_x_y_ranges(at, inner.y_range());
        let layout = Layout::top_down(if right { Align::Max } else { Align::Min });
        let builder = UiBuilder::new().id_salt((option.id, at.min as i32)).max_rect(place).layout(layout);
        let mut own = ui.new_child(builder);
        own.set_clip_rect(place.expand(4.0).intersect(ui.clip_rect()));
        own.spacing_mut().item_spacing.y = 2.0;
        content(&mut own);
    };
    cell(ui, columns.name, false, &mut |ui| name(ui, view, session, (selection, option), out));
    cell(ui, columns.price, true, &mut |ui| price(ui, view, selection, option));
    cell(ui, columns.quantity, true, &mut |ui| per_part(ui, option, |part| quantity(view, part)));
    cell(ui, columns.supplier, false, &mut |ui| per_part(ui, option, |part| seller(view, part)));
    cell(ui, columns.arrives, true, &mut |ui| {
        per_part(ui, option, |part| view.figures.part(part.id).map(|f| format::expected(f, view.as_of())));
    });
    cell(ui, columns.hand, true, &mut |ui| {
        for part in &option.parts {
            let days = view.figures.part(part.id).filter(|f| f.placed.is_none()).and_then(|f| f.days_in_hand);
            let tone = days.map_or(tokens.muted, |days| pieces::in_hand_color(days, tokens, tokens.good));
            let words = days.map_or("".to_owned(), format::days_in_hand);
            part_cell(ui, RichText::new(words).color(tone));
        }
    });
    ways(ui, view, (selection, option), axis, inner);
    super::looked_at(ui, view, session, option, rect)
}

/// Picture, name and finish; what makes it the choice; what it means and whether it fits.
fn name(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    (selection, option): (&Selection, &SelectionOption),
    out: &mut Outbox,
) {
    let tokens = view.tokens;
    ui.horizontal_top(|ui| {
        look::ui(ui, view, session, selection, option, out);
        ui.vertical(|ui| {
            ui.add(egui::Label::new(pieces::strong(&option.name, 15.0)).wrap());
            if !option.finish.is_empty() {
                pieces::muted(ui, tokens, &option.finish);
            }
            if option.state == OptionState::Chosen {
                ui.label(RichText::new("\u{2713} the choice").color(tokens.accent));
            } else {
                choosing::button(ui, view, selection, option, out);
            }
        });
    });
    swap_log::fits_ui(ui, view, option.id);
    let (tone, words) = sentence(view, selection, option);
    let words = RichText::new(words).size(type_size::SMALL).color(tone);
    ui.add(egui::Label::new(words).truncate());
}

fn price(ui: &mut Ui, view: &View<'_>, selection: &Selection, option: &SelectionOption) {
    let (price, over, tone) = price_words(view, selection, option);
    ui.add(egui::Label::new(pieces::strong(price, 15.0)).truncate());
    ui.add(egui::Label::new(RichText::new(over).size(type_size::SMALL).color(tone)).truncate());
    let now = selection.live_option().filter(|live| live.id != option.id);
    if let Some(now) = now {
        let more = option_total(view, option).less(option_total(view, now));
        if let Some(words) = format::moved_money(more, |amount| format::money(amount, view.currency())) {
            pieces::muted(ui, view.tokens, words);
        }
    }
}

/// One line for each part, as high as its bar, so that each stands beside it.
fn per_part(ui: &mut Ui, option: &SelectionOption, words: impl Fn(&Part) -> Option<String>) {
    for part in &option.parts {
        part_cell(ui, RichText::new(words(part).unwrap_or_default()));
    }
}

fn part_cell(ui: &mut Ui, words: RichText) {
    let size = vec2(ui.available_width(), PART - 2.0);
    let layout = *ui.layout();
    ui.allocate_ui_with_layout(size, layout, |ui| {
        ui.set_min_size(size);
        ui.add(egui::Label::new(words).truncate());
    });
}

fn quantity(view: &View<'_>, part: &Part) -> Option<String> {
    view.figures.part(part.id).map(|f| format::quantity(f.quantity_to_buy, &part.unit))
}

fn seller(view: &View<'_>, part: &Part) -> Option<String> {
    part.supplier.and_then(|id| view.project.supplier(id)).map(|supplier| supplier.name.clone())
}

/// The bar of each part against its line of need, with its name above where there are several.
fn ways(
    ui: &Ui,
    view: &View<'_>,
    (selection, option): (&Selection, &SelectionOption),
    axis: &TimeAxis,
    rect: Rect,
) {
    let tokens = view.tokens;
    let painter = ui.painter_at(Rect::from_x_y_ranges(axis.x, rect.y_range()).expand(4.0));
    axis.paint_month_lines(&painter, rect.y_range(), tokens);
    let mut top = rect.top();
    for part in &option.parts {
        let place = Rect::from_x_y_ranges(axis.x, Rangef::new(top, top + PART - 2.0));
        top += PART;
        let Some(at) = view.figures.index.of(part.id.0) else { continue };
        let Some(f) = view.figures.parts.get(at) else { continue };
        let way = Way::of(view, selection, part, at, f);
        let bar = Rect::from_min_max(place.min + vec2(0.0, 12.0), place.max);
        way.paint(&painter, axis, bar, 10.0, tokens);
        way.paint_flag(&painter, axis, bar, tokens);
        let lead = format!("{}, {}", part.name, format::lead_of(part));
        pieces::paint_cut(
            &painter,
            pos2(axis.x.min, place.top() + 6.0),
            &lead,
            theme::regular(10.5),
            tokens.muted,
            axis.x.span(),
        );
    }
}
