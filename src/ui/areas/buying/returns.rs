//! Returns over the list of Buying: what was ordered and is no longer wanted, by when it must go back, and what became
//! of it.

use crate::engine::returns::{self, Terms};
use crate::engine::{PartFigures, effect};
use crate::model::{Action, Part, PartId, Return, ReturnId, ReturnState};
use crate::ui::format;
use crate::ui::forms::swap_form::{fate_words, return_words, tone};
use crate::ui::session::Session;
use crate::ui::theme::tokens::{space, type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::pieces;
use egui::{Color32, Frame, Label, Margin, RichText, Stroke, Ui};

/// Points that the rows may take.
const HIGH: f32 = 196.0;

struct Row {
    at: usize,
    state: Option<ReturnState>,
    terms: Terms,
}

/// Draws the returns of the room that is picked, or of all; nothing when there are none.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let mut rows: Vec<Row> = Vec::new();
    for r in view.figures.returns.iter() {
        rows.push(Row { at: r.part, state: Some(r.state), terms: r.terms });
    }
    for &at in view.derived.loose(view.project) {
        let terms = view.figures.terms(view.project, at, None, view.as_of());
        rows.push(Row { at, state: None, terms });
    }
    let room = session.room;
    rows.retain(|row| {
        let selection =
            view.figures.parts.get(row.at).and_then(|f| view.project.selections.get(f.selection as usize));
        selection.is_some_and(|s| room.is_none_or(|room| s.room == room))
    });
    if rows.is_empty() {
        return;
    }
    // What is open comes first, the nearest last day first.
    let open = |r: &Row| matches!(r.state, None | Some(ReturnState::ToDecide | ReturnState::GoingBack));
    rows.sort_by_key(|r| (!open(r), r.terms.send_by.is_none(), r.terms.send_by));
    Frame::new()
        .fill(view.tokens.card)
        .stroke(Stroke::new(1.0, view.tokens.line))
        .corner_radius(8)
        .inner_margin(Margin::symmetric(10, 8))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            pieces::group_title(ui, view.tokens, "No longer wanted: send back, keep or write off");
            // As high as whole rows are, so that none is cut where it ends.
            let id = ui.scope_id().with("height of returns");
            let high: f32 = ui.data(|d| d.get_temp(id)).unwrap_or(HIGH);
            let area = egui::ScrollArea::vertical().id_salt("returns").auto_shrink([false, true]);
            let whole = area.max_height(high).show(ui, |ui| {
                let top = ui.cursor().top();
                let mut whole = 0.0;
                for row in &rows {
                    ui.push_id(("return", row.at), |ui| one(ui, view, session, row, out));
                    let end = ui.min_rect().bottom() - top;
                    whole = if end <= HIGH || whole == 0.0 { end } else { whole };
                }
                whole
            });
            if (whole.inner - high).abs() > 0.5 {
                ui.data_mut(|d| d.insert_temp(id, whole.inner));
                ui.ctx().request_repaint();
            }
        });
    ui.add_space(space::S);
}

fn one(ui: &mut Ui, view: &View<'_>, session: &mut Session, row: &Row, out: &mut Outbox) {
    let Some(f) = view.figures.parts.get(row.at) else { return };
    let Some(part) = returns::document_part(view.project, f) else { return };
    let Some(selection) = view.project.selections.get(f.selection as usize) else { return };
    let tokens = view.tokens;
    ui.add_space(space::S);
    ui.horizontal_wrapped(|ui| {
        let name = egui::Button::new(format::part_of(&selection.name, &part.name)).frame(false).wrap();
        if ui.add(name).clicked() {
            session.pick(selection.id);
        }
        let state = row.state.unwrap_or_default();
        let tone =
            if row.state.is_none_or(|s| s == ReturnState::ToDecide) { tokens.soon } else { tokens.accent };
        ui.label(pieces::strong(state.words(row.terms.came), type_size::SMALL).color(tone));
        buttons(ui, row, part, view, out);
    });
    let money = |m| format::money(m, view.currency());
    let words = match row.state {
        Some(ReturnState::WentBack) => settled(view, row),
        Some(ReturnState::Kept | ReturnState::WrittenOff) => {
            format!("counts in full, {}", money(row.terms.full))
        }
        _ => return_words(&row.terms, view.as_of(), view.currency()),
    };
    ui.add(Label::new(RichText::new(words).size(type_size::SMALL).color(tone(&row.terms, tokens))).wrap());
}

/// Of an option that is not the choice: what of it was ordered all the same, and what becomes of it.
pub fn sentence(view: &View<'_>, parts: &[(&Part, &PartFigures)]) -> Option<(Color32, String)> {
    let bought = || parts.iter().filter(|(_, f)| !f.live && f.placed.is_some());
    let state = |part: &Part| view.project.returns.iter().find(|r| r.part == part.id).map(|r| r.state);
    let open =
        |part: &Part| matches!(state(part), None | Some(ReturnState::ToDecide | ReturnState::GoingBack));
    // What is still to be done for one part says more than what became of another.
    let (part, f) = bought().find(|(p, _)| open(p)).or_else(|| bought().next())?;
    let state = state(part).unwrap_or_default();
    let what = if parts.len() > 1 { format!("{}, bought and", part.name) } else { "bought and".to_owned() };
    let known = view.project.returns.iter().find(|r| r.part == part.id);
    let at = view.figures.index.of(f.id.0)?;
    let terms = view.figures.terms(view.project, at, known, view.as_of());
    let more = if open(part) {
        format!("; {}", return_words(&terms, view.as_of(), view.currency()))
    } else {
        String::new()
    };
    let color = match open(part) {
        true if terms.in_time => view.tokens.soon,
        true => view.tokens.late,
        false => view.tokens.muted,
    };
    Some((color, format!("{what} no longer wanted: {}{more}", state.words(terms.came))))
}

/// What a return came to.
fn settled(view: &View<'_>, row: &Row) -> String {
    let money = |m| format::money(m, view.currency());
    let Some(figures) = view.figures.returns.of(row.at) else { return String::new() };
    let credit = view.project.returns.get(figures.at).and_then(|r| r.credit);
    match credit {
        Some(credit) => format!("credit {}, it cost {} in the end", money(credit), money(figures.forecast)),
        None => format!(
            "{} taken off the bill, {} of it expected back; it counts as {}",
            money(row.terms.given_back),
            money(figures.expected_back()),
            money(figures.forecast)
        ),
    }
}

fn buttons(ui: &mut Ui, row: &Row, part: &Part, view: &View<'_>, out: &mut Outbox) {
    let came = row.terms.came;
    let named = |response: egui::Response, what: &str| {
        let name = effect::part_name(view.project, view.figures, row.at).unwrap_or_default();
        response
            .widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, format!("{what}: {name}")));
        response.clicked()
    };
    let now = row.state.unwrap_or_default();
    for state in [ReturnState::GoingBack, ReturnState::WentBack, ReturnState::Kept, ReturnState::WrittenOff] {
        let settled = now == ReturnState::WentBack;
        if state == now || settled {
            continue;
        }
        let words = fate_words(state, came);
        if named(pieces::small_button(ui, words), words) {
            match state {
                // The day and the credit are asked for.
                ReturnState::WentBack => out.edit(Form::Return(part.id, Some(state))),
                _ => out.act(put(view, part.id, state)),
            }
        }
    }
    let edit = pieces::icon_button(ui, lucide_icons::Icon::Pencil, "Edit the return");
    if named(edit, "Edit the return") {
        out.edit(Form::Return(part.id, None));
    }
}

/// The return of a part in another state.
fn put(view: &View<'_>, part: PartId, state: ReturnState) -> Action {
    let known = view.project.returns.iter().find(|r| r.part == part).cloned();
    let r = known.unwrap_or_else(|| Return::new(ReturnId(view.project.next_id), part));
    Action::PutReturn(Return { state, went_back_on: None, ..r })
}
