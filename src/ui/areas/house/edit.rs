//! Editing a cell where it stands.

use super::ledger::{Editing, LedgerColumn};
use super::ledger_facts::{Facts, part_at};
use super::table::Ledger;
use crate::exchange::incoming::row_text::set_lead;
use crate::model::{Action, Part, Selection};
use crate::ui::forms::fields;
use crate::ui::session::Session;
use crate::ui::view::View;
use crate::ui::widgets::pieces;
use egui::{Key, Modifiers, Rect, Role, Sense, Stroke, StrokeKind, TextEdit, Ui, WidgetInfo, vec2};

/// What is in a cell as it is typed; `None` where there is nothing to edit.
pub fn text(view: &View<'_>, facts: &Facts, column: LedgerColumn, at: usize) -> Option<String> {
    let selection = view.project.selections.get(at)?;
    let sole = || {
        let part = facts.rows.get(at)?.sole? as usize;
        part_at(view.project, view.figures, part).map(|(_, _, p)| p)
    };
    Some(match column {
        LedgerColumn::Name => selection.name.clone(),
        LedgerColumn::Category => selection.category.clone(),
        LedgerColumn::Allowance => selection.allowance.amount().normalize().to_string(),
        LedgerColumn::DecideOn => fields::shown(selection.decide_on),
        LedgerColumn::Price => fields::shown(sole()?.unit_price.map(|price| price.amount().normalize())),
        LedgerColumn::Lead => crate::exchange::incoming::row_text::lead_text(sole()?),
        _ => return None,
    })
}

/// The change that a typed text asks for.
///
/// # Errors
/// What is wrong with the text.
pub fn action(
    view: &View<'_>,
    column: LedgerColumn,
    at: usize,
    text: &str,
) -> Result<Option<Action>, String> {
    let Some(selection) = view.project.selections.get(at) else { return Ok(None) };
    let put = |edit: &dyn Fn(&mut Selection) -> Result<(), String>| {
        // The options stay as they are whatever this carries.
        let mut changed = Selection { options: Vec::new(), ..selection.as_ref().clone() };
        edit(&mut changed)?;
        Ok::<_, String>(Some(Action::PutSelection(changed)))
    };
    let put_part = |edit: &dyn Fn(&mut Part) -> Result<(), String>| {
        let part = view.facts().rows.get(at).and_then(|f| f.sole);
        let Some((_, option, part)) = part.and_then(|p| part_at(view.project, view.figures, p as usize))
        else {
            return Err("this has several parts, or none; edit them on the card".to_owned());
        };
        let mut changed = part.clone();
        edit(&mut changed)?;
        Ok(Some(Action::PutPart(option.id, changed)))
    };
    match column {
        LedgerColumn::Name => put(&|s| {
            s.name = fields::required("Name", text)?;
            Ok(())
        }),
        LedgerColumn::Category => put(&|s| {
            s.category = text.trim().to_owned();
            Ok(())
        }),
        LedgerColumn::Allowance => put(&|s| {
            s.allowance = fields::amount("Allowance", text)?;
            Ok(())
        }),
        LedgerColumn::DecideOn => put(&|s| {
            s.decide_on = fields::day("Decide on", text)?;
            Ok(())
        }),
        LedgerColumn::Price => put_part(&|p| {
            p.unit_price =
                if text.trim().is_empty() { None } else { Some(fields::amount("Unit price", text)?) };
            Ok(())
        }),
        LedgerColumn::Lead => put_part(&|p| {
            match fields::lead("Lead", text)? {
                Some(lead) => set_lead(p, lead),
                None => (p.lead, p.lead_min, p.lead_max) = (None, None, None),
            }
            Ok(())
        }),
        _ => Ok(None),
    }
}

/// Begins to edit a cell, if there is anything to edit.
pub fn begin(view: &View<'_>, session: &mut Session, column: LedgerColumn, at: usize) -> bool {
    let Some(selection) = view.project.selections.get(at) else { return false };
    let Some(text) = text(view, view.facts(), column, at) else { return false };
    session.pick(selection.id);
    session.ledger.editing =
        Some(Editing { selection: selection.id, column, text, error: None, fresh: true });
    true
}

/// Begins with the allowance of the picked row when it is shown, else with its name.
pub fn begin_first(view: &View<'_>, session: &mut Session) {
    if let Some(at) = session.selection.and_then(|id| view.figures.index.of(id.0)) {
        begin(view, session, LedgerColumn::Name, at);
    }
}

/// Whether this cell is being edited.
pub fn is_open(ledger: &Ledger<'_, '_>, column: LedgerColumn, at: usize) -> bool {
    let id = ledger.view.project.selections.get(at).map(|s| s.id);
    ledger.session.ledger.editing.as_ref().is_some_and(|e| e.column == column && Some(e.selection) == id)
}

/// A cell that can be edited: a click picks the row, a second one or Enter begins.
pub fn spot(ui: &mut Ui, ledger: &mut Ledger<'_, '_>, column: LedgerColumn, at: usize, rect: Rect) {
    let view = ledger.view;
    let Some(selection) = view.project.selections.get(at) else { return };
    let id = egui::Id::unique(("ledger_cell", selection.id, column));
    let response = ui.interact(rect, id, Sense::click());
    let spoken = format!("{} of {}", column.title(), selection.name);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &spoken));
    if response.hovered() || response.has_focus() {
        let inner = rect.shrink2(vec2(2.0, 3.0));
        ui.painter().rect_stroke(inner, 3.0, Stroke::new(1.0, view.tokens.line), StrokeKind::Inside);
    }
    let by_key = response.has_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    if response.double_clicked() || by_key {
        begin(view, ledger.session, column, at);
    } else if response.clicked() {
        ledger.click(ui, selection.id);
    }
    ledger.menu(&response, at);
    response.on_hover_cursor(egui::CursorIcon::Text);
}

/// The field in place of the cell. Enter and leaving it take what is typed, Tab goes on to the next cell of the row,
/// Escape leaves everything as it was.
pub fn field(ui: &mut Ui, ledger: &mut Ledger<'_, '_>, rect: Rect) {
    let Some(mut editing) = ledger.session.ledger.editing.take() else { return };
    let view = ledger.view;
    let Some(at) = view.figures.index.of(editing.selection.0) else { return };
    let name = view.project.selections.get(at).map_or("", |s| &s.name);
    // Before the field sees them.
    let tab = ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Tab));
    let escape = ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape));
    let align =
        if editing.column.is_number() { egui::Align2::RIGHT_CENTER } else { egui::Align2::LEFT_CENTER };
    let edit = TextEdit::singleline(&mut editing.text).margin(vec2(6.0, 3.0)).align(align);
    let field = ui.put(rect.shrink2(vec2(1.0, 1.0)), edit.desired_width(rect.width() - 4.0));
    let spoken = format!("{} of {name}", editing.column.title());
    field.widget_info(|| WidgetInfo::labeled(Role::TextInput, true, &spoken));
    if std::mem::take(&mut editing.fresh) {
        field.request_focus();
        let mut state = egui::text_edit::TextEditState::load(ui.ctx(), field.id).unwrap_or_default();
        let end = egui::text::CCursor::new(editing.text.chars().count());
        let all = egui::text::CCursorRange::two(egui::text::CCursor::new(0), end);
        state.cursor.set_char_range(Some(all));
        state.store(ui.ctx(), field.id);
    }
    if let Some(error) = &editing.error {
        pieces::say_fault(ui, view.tokens, &field, error);
    }
    if escape {
        return;
    }
    if !(tab || field.lost_focus()) {
        ledger.session.ledger.editing = Some(editing);
        return;
    }
    let unchanged = text(view, ledger.facts, editing.column, at).as_deref() == Some(editing.text.as_str());
    match action(view, editing.column, at, &editing.text) {
        Ok(action) => {
            let action = action.filter(|_| !unchanged);
            // What the document refuses is said here, with the field still open.
            if let Some(Err(error)) = action.as_ref().map(|a| view.project.apply(a)) {
                ledger.session.ledger.editing =
                    Some(Editing { error: Some(error.to_string()), fresh: true, ..editing });
                return;
            }
            if let Some(action) = action {
                ledger.out.act(action);
            }
            if tab {
                let after = ledger.shown.iter().skip_while(|c| **c != editing.column).skip(1);
                for column in after.copied().collect::<Vec<_>>() {
                    if begin(view, ledger.session, column, at) {
                        break;
                    }
                }
            }
        }
        Err(error) => {
            ledger.session.ledger.editing = Some(Editing { error: Some(error), fresh: true, ..editing });
        }
    }
}
