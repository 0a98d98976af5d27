//! One line of This week: what sort of thing it is, what is to be done, why, whom to call, and the button that does it.

use super::deeds;
use super::rows::WeekRows;
use crate::engine::week::{Ask, Deed, Kind, Line};
use crate::exchange::outgoing::week::call_words;
use crate::model::{SelectionId, Subject};
use crate::ui::areas::dates::people::copy_text;
use crate::ui::choosing;
use crate::ui::session::Session;
use crate::ui::theme::{self, tokens::type_size};
use crate::ui::view::{Outbox, View};
use crate::ui::widgets::pieces;
use egui::text::{LayoutJob, TextFormat, TextWrapping};
use egui::{
    Align, Key, Layout, Popup, PopupCloseBehavior, Rect, Role, Sense, Stroke, StrokeKind, Ui, UiBuilder,
    WidgetInfo, pos2, vec2,
};
use lucide_icons::Icon;

/// How a line stands in this frame.
#[derive(Debug, Clone, Copy)]
pub struct State {
    /// It is the one that is picked.
    pub picked: bool,
    /// Its deed is asked for by the keyboard.
    pub deed: bool,
}

/// Points for the picture and the word of a kind.
const KIND: f32 = 96.0;

fn icon(kind: Kind) -> Icon {
    match kind {
        Kind::Decide => Icon::CircleQuestionMark,
        Kind::Order => Icon::PackageOpen,
        Kind::Call => Icon::Phone,
        Kind::BeThere => Icon::MapPin,
        Kind::Pay => Icon::Banknote,
        Kind::Chase => Icon::Bell,
    }
}

/// Draws a line.
pub fn ui(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    (list, at, state): (&WeekRows, usize, State),
    rect: Rect,
    out: &mut Outbox,
) {
    let Some(line) = list.sheet.lines.get(at) else { return };
    let tokens = view.tokens;
    let (what, why) = (list.sheet.what(line), list.sheet.why(line));
    let call = line.call.as_ref().map(call_words).unwrap_or_default();
    let spoken = [line.kind.title(), what.as_str(), why.as_str(), call.as_str()];
    let spoken = spoken.into_iter().filter(|t| !t.is_empty()).collect::<Vec<_>>().join("; ");
    let response = ui.interact(rect, ui.scope_id().with(("line", &line.id)), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, state.picked, &spoken));
    // Enter does the deed of a line that was reached by Tab, as it does of one that was picked.
    let entered = response.clicked() && response.has_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    let state = State { deed: state.deed || entered, ..state };
    if response.gained_focus() {
        deeds::pick(view, session, line);
    }
    let inner = rect.shrink2(vec2(0.0, 1.0));
    if state.picked || response.hovered() {
        let fill = if state.picked { tokens.picked } else { tokens.hovered };
        ui.painter().rect_filled(inner, 5.0, fill);
    }
    if response.has_focus() {
        ui.painter().rect_stroke(inner, 5.0, Stroke::new(2.0, tokens.accent), StrokeKind::Inside);
    }
    ui.painter().hline(rect.x_range(), rect.bottom() - 0.5, Stroke::new(0.5, tokens.line));
    let buttons = buttons(ui, view, session, (line, &what, state), inner, out);
    words(ui, view, (list, line), (&what, &call), inner.with_max_x(buttons));
    let response = response.on_hover_text(&spoken).on_hover_cursor(egui::CursorIcon::PointingHand);
    response.context_menu(|ui| {
        if let Some(call) = line.call.as_ref().filter(|call| !call.phone.is_empty())
            && ui.button(format!("Copy the number {}", call.phone)).clicked()
        {
            ui.copy_text(call.phone.clone());
        }
        if ui.button("Copy the line").clicked() {
            ui.copy_text(spoken.clone());
        }
    });
    if response.clicked() && !entered {
        deeds::pick(view, session, line);
        out.show(line.subject);
    }
}

/// The words of a line: the kind, what is to be done, and under it since when, whom to call and why.
fn words(ui: &Ui, view: &View<'_>, (list, line): (&WeekRows, &Line), (what, call): (&str, &str), rect: Rect) {
    let tokens = view.tokens;
    let painter = ui.painter();
    let first = rect.top() + 15.0;
    let overdue = line.day < list.sheet.as_of;
    let tone = if overdue { tokens.late } else { tokens.accent };
    let picture =
        painter.layout_no_wrap(char::from(icon(line.kind)).to_string(), theme::icon_font(16.0), tone);
    painter.galley(pos2(rect.left() + 8.0, first - picture.size().y / 2.0), picture, tone);
    pieces::paint_cut(
        painter,
        pos2(rect.left() + 32.0, first),
        line.kind.title(),
        theme::regular(type_size::SMALL),
        tokens.muted,
        KIND - 34.0,
    );
    let left = rect.left() + KIND;
    let width = rect.right() - left - 8.0;
    pieces::paint_cut(painter, pos2(left, first), what, theme::strong(type_size::BODY), tokens.text, width);
    let mut job = LayoutJob::default();
    let small = |color| TextFormat { font_id: theme::regular(type_size::SMALL), color, ..Default::default() };
    let (due, rest) = (list.sheet.was_due(line).unwrap_or_default(), list.sheet.reason(line));
    for (text, color) in [(due.as_str(), tokens.late), (call, tokens.text), (&rest, tokens.muted)] {
        if !text.is_empty() {
            let mark = if job.is_empty() { "" } else { "  \u{00b7}  " };
            job.append(mark, 0.0, small(tokens.muted));
            job.append(text, 0.0, small(color));
        }
    }
    let room = rect.bottom() - first - 9.0;
    job.wrap =
        TextWrapping { max_rows: if room > 34.0 { 2 } else { 1 }, ..TextWrapping::truncate_at_width(width) };
    job.wrap.break_anywhere = job.wrap.max_rows == 1;
    let galley = painter.layout_job(job);
    painter.galley(pos2(left, first + 10.0), galley, tokens.muted);
}

/// The buttons of a line from the right; gives where they begin.
fn buttons(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    (line, what, state): (&Line, &str, State),
    rect: Rect,
    out: &mut Outbox,
) -> f32 {
    let layout = Layout::right_to_left(Align::Center);
    let place = rect.shrink2(vec2(6.0, 0.0));
    let mut ui = ui.new_child(UiBuilder::new().max_rect(place).layout(layout).id_salt(("deeds", &line.id)));
    let name = format!("{}: {what}", line.deed_words.trim_end_matches('\u{2026}'));
    let button = pieces::row_button(&mut ui, line.deed_words, &name);
    match line.deed {
        Deed::Ask(Ask::Choose(selection)) => {
            choose(view, session, (line, selection), &button, state.deed, out);
        }
        _ if button.clicked() || state.deed => deeds::perform(view, session, line, out),
        _ => {}
    }
    let mut left = button.rect.left();
    if let (Subject::Crew(crew), Kind::Call) = (line.subject, line.kind) {
        left = copy_text(&mut ui, view, crew).rect.left();
    }
    left - 6.0
}

/// The options of a selection, under the button.
fn choose(
    view: &View<'_>,
    session: &mut Session,
    (line, selection): (&Line, SelectionId),
    button: &egui::Response,
    asked: bool,
    out: &mut Outbox,
) {
    if button.clicked() || asked {
        deeds::pick(view, session, line);
    }
    if asked {
        Popup::toggle_id(&button.ctx, Popup::default_response_id(button));
    }
    let Some(selection) = view.selection(selection) else { return };
    let menu = Popup::menu(button).close_behavior(PopupCloseBehavior::CloseOnClick);
    menu.show(|ui| {
        if selection.options.is_empty() {
            pieces::muted(ui, view.tokens, "There is no option yet.");
        }
        choosing::menu(ui, view, selection, out);
    });
}
