//! What if: what may come, what would be cheaper or sooner, and whole ideas side by side; a page each, pictures first.

mod asked;
pub mod curve;
mod curve_picture;
mod question;
pub mod risk;
mod risk_table;
mod risks;
pub mod sides;
mod sides_edit;
mod spread_picture;
pub mod state;
mod ticks;

use crate::ui::session::Session;
use crate::ui::theme::tokens::space;
use crate::ui::view::{Outbox, View};
use egui::{ScrollArea, Ui};
use state::Page;

/// Draws the work area.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    ui.horizontal_wrapped(|ui| {
        for (page, title) in Page::ALL {
            if ui.selectable_label(session.what_if.page == page, title).clicked() {
                session.what_if.page = page;
            }
        }
    });
    ui.add_space(space::S);
    let page = session.what_if.page;
    // Nobody waits for a page that is not looked at.
    if page != Page::Risk {
        session.what_if.risk.asked.leave();
    }
    if page != Page::Sides {
        session.what_if.sides.asked.leave();
    }
    ScrollArea::vertical().auto_shrink(false).id_salt(("what_if", page)).show(ui, |ui| match page {
        Page::Risk => risk::ui(ui, view, session, out),
        Page::Curve => curve::ui(ui, view, session, out),
        Page::Sides => sides::ui(ui, view, session, out),
    });
}
