//! One option on the card: name, price against the allowance, a need line for each part, and what it means in words.

use super::price::price_words;
use super::sentence::{moves_finish, part_sentence, sentence};
use super::{look, swap_log};
use crate::engine::{Day, PartFigures};
use crate::model::{Action, OptionState, Part, Selection, SelectionOption};
use crate::ui::choosing;
use crate::ui::derived::Preview;
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::theme::{self, tokens::type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::axis::TimeAxis;
use crate::ui::widgets::need_line::{self, Way};
use crate::ui::widgets::pieces;
use egui::{Align2, Frame, Layout, Margin, Rangef, RichText, Sense, Stroke, Ui, UiBuilder, pos2, vec2};

const PART_ROW: f32 = 34.0;

/// Draws the option. Gives back the figures as they would be with it when it is a candidate under the pointer.
pub fn ui(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    selection: &Selection,
    option: &SelectionOption,
    span: (Day, Day),
    out: &mut Outbox,
) -> Option<Preview> {
    let tokens = view.tokens;
    let chosen = option.state == OptionState::Chosen;
    let stroke = if chosen { Stroke::new(2.0, tokens.accent) } else { Stroke::new(1.0, tokens.line) };
    let scope =
        ui.scope_builder(UiBuilder::new().id_salt(("option", option.id)).sense(Sense::hover()), |ui| {
            Frame::new()
                .fill(tokens.card)
                .stroke(stroke)
                .corner_radius(8)
                .inner_margin(Margin::symmetric(12, 10))
                .show(ui, |ui| {
                    ui.set_width(ui.available_width());
                    ui.spacing_mut().item_spacing.y = 3.0;
                    head(ui, view, session, selection, option, out);
                    choosing::approval(ui, view, selection.id, option, out);
                    look::notes(ui, view, option, out);
                    ways(ui, view, selection, option, span, out);
                    swap_log::fits_ui(ui, view, option.id);
                    let (tone, text) = sentence(view, selection, option);
                    ui.add(egui::Label::new(pieces::strong(text, type_size::BODY).color(tone)).wrap());
                    if let Some((tone, words)) = moves_finish(view, selection, option) {
                        ui.add(egui::Label::new(RichText::new(words).color(tone)).wrap());
                    }
                    without(ui, view, selection, option);
                });
        });
    look::drop_frame(ui, tokens, scope.response.rect);
    look::dropped_on(ui, session, option.id, scope.response.rect, out);
    super::looked_at(ui, view, session, option, scope.response.rect)
}

/// How the days without a room or a service would change with a candidate.
fn without(ui: &mut Ui, view: &View<'_>, selection: &Selection, option: &SelectionOption) {
    if selection.live_option().is_some_and(|live| live.id == option.id) {
        return;
    }
    for changed in view.derived.without(view.project, option.id).iter() {
        // Only what would be missed longer is a warning.
        let tone = if changed.more > 0 { view.tokens.soon } else { view.tokens.muted };
        let text = RichText::new(format::days_in(&changed.words, view.as_of())).color(tone);
        ui.add(egui::Label::new(text).wrap());
    }
}

fn head(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    selection: &Selection,
    option: &SelectionOption,
    out: &mut Outbox,
) {
    let tokens = view.tokens;
    let room = vec2(ui.available_width(), 26.0);
    ui.allocate_ui_with_layout(room, Layout::left_to_right(egui::Align::Min), |ui| {
        look::ui(ui, view, session, selection, option, out);
        let (price, text, tone) = price_words(view, selection, option);
        let wide = |text: &str, font| ui.painter().layout_no_wrap(text.to_owned(), font, tone).size().x;
        let figures = wide(&price, theme::strong(15.0)).max(wide(&text, theme::regular(type_size::SMALL)));
        let width = (ui.available_width() - figures - 16.0).max(80.0);
        ui.allocate_ui_with_layout(vec2(width, 24.0), Layout::top_down(egui::Align::Min), |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            ui.add(egui::Label::new(pieces::strong(&option.name, 15.0)).wrap());
            if !option.finish.is_empty() {
                pieces::muted(ui, tokens, &option.finish);
            }
        });
        ui.with_layout(Layout::top_down(egui::Align::Max), |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            ui.label(pieces::strong(price, 15.0));
            ui.label(RichText::new(text).size(type_size::SMALL).color(tone));
        });
    });
    ui.horizontal(|ui| {
        match option.state {
            OptionState::Chosen => {
                ui.label(RichText::new("\u{2713} the choice").color(tokens.accent));
            }
            state => {
                choosing::button(ui, view, selection, option, out);
                if state == OptionState::Leaning {
                    pieces::muted(ui, tokens, "leaning to this");
                } else {
                    let lean = pieces::link(ui, tokens, "lean to it");
                    lean.widget_info(|| {
                        let name = format!("Lean to {}", option.name);
                        egui::WidgetInfo::labeled(egui::Role::Button, true, name)
                    });
                    if lean.clicked() {
                        out.act(Action::Lean(option.id));
                    }
                }
            }
        }
        ui.with_layout(Layout::right_to_left(egui::Align::Center), |ui| {
            let more = ui.menu_button(
                RichText::new(char::from(lucide_icons::Icon::Ellipsis).to_string())
                    .font(theme::icon_font(15.0)),
                |ui| {
                    if ui.button("Edit option…").clicked() {
                        out.edit(Form::Option(selection.id, Some(option.id)));
                    }
                    if ui.button("Approved by…").clicked() {
                        out.edit(Form::Option(selection.id, Some(option.id)));
                    }
                    if ui.button("Add a part…").clicked() {
                        out.edit(Form::Part(option.id, None));
                    }
                    look::menu(ui, option, out);
                    let open: Vec<_> =
                        option.parts.iter().filter(|p| !p.is_ordered()).map(|p| p.id).collect();
                    if !open.is_empty()
                        && option.state == OptionState::Chosen
                        && ui.button("Mark all parts ordered").clicked()
                    {
                        out.act(Action::MarkOrdered(open, Some(view.as_of().date())));
                    }
                    if ui.button("Remove option").clicked() {
                        out.act(Action::RemoveOption(option.id));
                    }
                },
            );
            let more = more.response.on_hover_text("More for this option");
            more.widget_info(|| {
                let name = format!("More for {}", option.name);
                egui::WidgetInfo::labeled(egui::Role::Button, true, name)
            });
        });
    });
}

fn ways(
    ui: &mut Ui,
    view: &View<'_>,
    selection: &Selection,
    option: &SelectionOption,
    span: (Day, Day),
    out: &mut Outbox,
) {
    let tokens = view.tokens;
    if option.parts.is_empty() {
        if pieces::link(ui, tokens, "+ add what is bought for it").clicked() {
            out.edit(Form::Part(option.id, None));
        }
        return;
    }
    let width = ui.available_width();
    let (months, _) = ui.allocate_exact_size(vec2(width, 14.0), Sense::hover());
    let names = (width * 0.34).clamp(118.0, 210.0);
    let x = Rangef::new(months.left() + names, months.right() - 6.0);
    let axis = TimeAxis::new(span.0, span.1, x);
    axis.paint_months(ui.painter(), egui::Rect::from_x_y_ranges(x, months.y_range()), tokens);
    let known = view.figures.spec_facts(view.project).first_open(selection);
    known_label(ui.painter(), view, known, &axis, months.left(), months.center().y);
    for part in &option.parts {
        let Some(at) = view.figures.index.of(part.id.0) else { continue };
        let Some(f) = view.figures.parts.get(at) else { continue };
        let (row, response) = ui.allocate_exact_size(vec2(width, PART_ROW), Sense::click());
        let way = Way::of(view, selection, part, at, f);
        let painter = ui.painter_at(row.expand(1.0));
        if response.hovered() {
            painter.rect_filled(row, 4.0, tokens.hovered);
        }
        let (y, room) = (row.center().y, x.min - 6.0 - row.left());
        let name = pos2(row.left(), y - 6.0);
        pieces::paint_cut(&painter, name, &part.name, theme::regular(12.5), tokens.text, room);
        let price = format!("{}, {}", format::lead_of(part), part_price(view, part, f));
        let under = pos2(row.left(), y + 7.0);
        pieces::paint_cut(&painter, under, &price, theme::regular(10.5), tokens.muted, room);
        need_line::paint_as_of(&painter, &axis, view.as_of(), row.y_range(), tokens.muted);
        need_line::paint_known_by(&painter, &axis, known, row.y_range(), tokens);
        let upper =
            egui::Rect::from_min_max(pos2(row.left(), row.top() + 2.0), pos2(row.right(), row.top() + 22.0));
        way.paint(&painter, &axis, upper, 9.0, tokens);
        need_label(&painter, view, f, &axis, row);
        way.paint_flag(&painter, &axis, upper, tokens);
        response.widget_info(|| {
            egui::WidgetInfo::labeled(
                egui::Role::Button,
                true,
                format!("{}: {}", part.name, part_sentence(view, f)),
            )
        });
        let response = response.on_hover_ui(|ui| tooltip(ui, view, part, f));
        if response.clicked() {
            out.edit(Form::Part(option.id, Some(part.id)));
        }
        response.context_menu(|ui| part_menu(ui, view, part, f.live, out));
    }
}

/// The day by which something of the selection must be known, left of the months.
fn known_label(
    painter: &egui::Painter,
    view: &View<'_>,
    known: Option<Day>,
    axis: &TimeAxis,
    left: f32,
    y: f32,
) {
    let Some(known) = known else { return };
    let text = format!("known by {}", format::day_short(known, view.as_of()));
    let color = pieces::in_hand_color(known.since(view.as_of()), view.tokens, view.tokens.muted);
    pieces::paint_cut(painter, pos2(left, y), &text, theme::regular(10.5), color, axis.x.min - left - 6.0);
}

/// The need day and its phase, under the need line, on the side with more room.
fn need_label(painter: &egui::Painter, view: &View<'_>, f: &PartFigures, axis: &TimeAxis, row: egui::Rect) {
    let (Some(need), Some(phase)) = (f.need_date, f.phase) else { return };
    let name = &view.project.phases[phase as usize].name;
    let day = format::day_short(need, view.as_of());
    let x = axis.at(need);
    let font = theme::regular(10.5);
    let left = x - axis.x.min > axis.x.max - x;
    let room = if left { x - axis.x.min } else { axis.x.max - x };
    let lay = |text: String| painter.layout_no_wrap(text, font.clone(), view.tokens.muted);
    let mut label = lay(if left { format!("{name}, {day}") } else { format!("{day}, {name}") });
    if label.size().x > room {
        // The phase is named on hover too; the day matters more.
        label = lay(day);
    }
    let y = row.bottom() - 6.0;
    let align = if left { Align2::RIGHT_CENTER } else { Align2::LEFT_CENTER };
    let at = align.anchor_size(pos2(x, y), label.size());
    painter.galley(at.min, label, view.tokens.muted);
}

fn part_price(view: &View<'_>, part: &Part, f: &PartFigures) -> String {
    let one = f.quantity_to_buy == rust_decimal::Decimal::ONE;
    if part.unit_price.is_none() {
        return format::price(None, view.currency());
    }
    let amount = format::money(f.amount, view.currency());
    if one { amount } else { format!("{}, {amount}", format::quantity(f.quantity_to_buy, &part.unit)) }
}

/// What can be done with a part: what happened to it, editing, removing.
pub fn part_menu(ui: &mut Ui, view: &View<'_>, part: &Part, live: bool, out: &mut Outbox) {
    let today = view.as_of().date();
    let ids = || vec![part.id];
    if part.ordered_on.is_none() {
        if live && ui.button("Mark ordered").clicked() {
            out.act(Action::MarkOrdered(ids(), Some(today)));
        }
    } else if ui.button("Mark not ordered").clicked() {
        out.act(Action::MarkOrdered(ids(), None));
    }
    if part.received_on.is_none() {
        if part.is_ordered() && ui.button("Mark received").clicked() {
            out.act(Action::MarkReceived(ids(), Some(today)));
        }
    } else if ui.button("Mark not received").clicked() {
        out.act(Action::MarkReceived(ids(), None));
    }
    if part.received_on.is_some() && part.installed_on.is_none() && ui.button("Mark built in").clicked() {
        out.act(Action::MarkInstalled(ids(), Some(today)));
    }
    if ui.button("Remove part").clicked() {
        out.act(Action::RemovePart(part.id));
    }
}

fn tooltip(ui: &mut Ui, view: &View<'_>, part: &Part, f: &PartFigures) {
    let near = view.as_of();
    ui.label(pieces::strong(&part.name, type_size::BODY));
    ui.label(part_sentence(view, f));
    if let Some(supplier) = part.supplier.and_then(|id| view.project.supplier(id)) {
        ui.label(format!("from {}", supplier.name));
    }
    if let Some(day) = f.last_safe_order.filter(|_| f.placed.is_none()) {
        ui.label(format!("last day that keeps the finish: {}", format::day(day, near)));
    }
    let currency = view.currency();
    ui.label(format!(
        "{} at {}, goods {}, freight {}, tax {}",
        format::quantity(f.quantity_to_buy, &part.unit),
        format::price(part.unit_price, currency),
        format::money(f.amount, currency),
        format::money(f.freight, currency),
        format::money(f.tax, currency)
    ));
    pieces::muted(ui, view.tokens, "click to edit, right click for more");
}
