//! Changes of the work in the strip of a phase, and the question that the texture of walls asks.

use crate::model::{Action, Change, ChangeId, Phase, Work};
use crate::ui::format;
use crate::ui::pictures::{self, Pictured};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::pieces;
use egui::{RichText, Ui};

/// The question that the texture of walls and ceilings asks.
const TEXTURE: &str = "Texture";

/// Whether a phase decides how walls look and nobody has asked yet whether their texture is matched or redone.
pub(super) fn may_ask_texture(view: &View<'_>, phase: &Phase) -> bool {
    let walls = matches!(phase.kind_of_work(), Some(Work::Drywall | Work::Taping | Work::Texture));
    let asked = |c: &Change| c.phase == Some(phase.id) && !c.decision.is_empty();
    walls && !view.project.changes.iter().any(asked)
}

/// Both answers, whose days and price are then asked for.
pub(super) fn texture(view: &View<'_>, phase: &Phase) -> Action {
    let key = |word: &str, nth: u32| {
        let taken = view.project.changes.iter().map(|c| c.key.as_str());
        let key = crate::model::ids::key_from_name(word, taken);
        let change = Change {
            key,
            what: word.to_owned(),
            decision: format!("{TEXTURE}: {}", phase.name),
            phase: Some(phase.id),
            found_on: Some(view.as_of().date()),
            ..Change::new(ChangeId(view.project.next_id + nth))
        };
        Action::PutChange(change)
    };
    Action::Batch {
        label: format!("ask about the texture of {}", phase.name),
        actions: vec![key("Match the texture that is there", 0), key("Redo the whole surface", 1)],
    }
}

/// Draws the changes of a phase, each with what it takes and who agreed on it.
pub(super) fn ui(ui: &mut Ui, view: &View<'_>, phase: &Phase, out: &mut Outbox) {
    let on = view.as_of().date();
    for change in view.project.changes.iter().filter(|c| c.phase == Some(phase.id)) {
        let open = crate::model::change::is_open(view.project, change, on);
        ui.push_id(change.id, |ui| {
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = 5.0;
                let days = change.days.map_or("? days".to_owned(), |n| format::count(n, "day"));
                let sum =
                    change.amount.map_or("no price".to_owned(), |sum| format::money(sum, view.currency()));
                let state = match (change.is_agreed(on), open) {
                    (true, _) if change.agreed_by.is_empty() => "agreed".to_owned(),
                    (true, _) => format!("agreed by {}", change.agreed_by),
                    (false, true) => "not agreed on".to_owned(),
                    (false, false) => "not taken".to_owned(),
                };
                let tone = if open { view.tokens.soon } else { view.tokens.text };
                let text = RichText::new(format!("{}: {days}, {sum}, {state}", change.what)).color(tone);
                let line = ui.add(egui::Button::new(text).frame(false));
                line.context_menu(|ui| {
                    if change.is_agreed(on) && ui.button("Not agreed on after all").clicked() {
                        out.act(Action::Agree(change.id, None));
                    }
                    if ui.button("Remove the change").clicked() {
                        out.act(Action::RemoveChange(change.id));
                    }
                });
                if line.on_hover_text("Edit; right click for more").clicked() {
                    out.edit(Form::Change(Some(change.id), None));
                }
                pictures::link(ui, view.tokens, view.project, Pictured::Change(change.id), out);
                let name = format!("Agree on {}, on the as-of day", change.what);
                if open && pieces::row_button(ui, "Agree", &name).clicked() {
                    let owner = view.project.settings.owner.trim();
                    let who = if owner.is_empty() { "Owner" } else { owner };
                    out.act(Action::Agree(change.id, Some((who.to_owned(), on))));
                }
            });
        });
    }
}
