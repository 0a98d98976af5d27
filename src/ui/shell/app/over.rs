//! The card over the work area, where there is no room beside it.

use crate::ui::card;
use crate::ui::derived::Preview;
use crate::ui::session::Session;
use crate::ui::shell::focus;
use crate::ui::view::{Outbox, View};
use egui::{Area, Frame, Id, Margin, Order, Rect, Sense, Ui, UiBuilder, pos2};

/// Its layer.
pub(super) const NAME: &str = "card_over";

/// How wide it is where there is room.
const WIDTH: f32 = 430.0;

/// What is left of the work area beside it, at least.
const BESIDE: f32 = 60.0;

/// Draws it over the rectangle of the work area, for the document opened with a number. Gives back the figures with the candidate under the pointer.
pub(super) fn ui(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    out: &mut Outbox,
    under: Rect,
    opened: u64,
) -> Option<Preview> {
    if session.card.seen != session.selection {
        session.card.seen = session.selection;
        // What the keyboard goes through is not covered line by line.
        session.card.over |= ui.input(|i| i.pointer.any_released());
    }
    if !session.card.over {
        return None;
    }
    let width = WIDTH.min(under.width() - BESIDE).max(240.0);
    let rect = Rect::from_min_max(pos2(under.right() - width, under.top()), under.max);
    let (ctx, tokens) = (ui.ctx().clone(), view.tokens);
    let area =
        Area::new(Id::unique(NAME)).order(Order::Middle).fixed_pos(rect.min).movable(false).constrain(false);
    let drawn = area.show(&ctx, |ui| {
        // Clicks between its parts do not reach what lies below.
        ui.interact(rect, ui.scope_id().with("behind"), Sense::click_and_drag());
        Frame::NONE
            .fill(tokens.work)
            .stroke(egui::Stroke::new(1.0, tokens.line))
            .shadow(ui.visuals().window_shadow)
            .inner_margin(Margin::symmetric(14, 12))
            .show(ui, |ui| {
                let inner =
                    Rect::from_min_max(rect.min + egui::vec2(14.0, 12.0), rect.max - egui::vec2(14.0, 12.0));
                let mut own = ui.new_child(UiBuilder::new().id_salt(opened).max_rect(inner));
                own.set_clip_rect(inner.expand2(egui::vec2(6.0, 0.0)));
                focus::zone(&mut own, "The card");
                let candidate = card::ui(&mut own, view, session, out);
                ui.allocate_rect(inner, Sense::hover());
                candidate
            })
            .inner
    });
    drawn.inner
}
