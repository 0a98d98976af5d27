//! What if: what may come, and what would be cheaper or sooner; pictures first, on a page each.

mod asked;
pub mod curve;
mod curve_picture;
mod question;
pub mod risk;
mod risk_table;
mod risks;
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
    ScrollArea::vertical().auto_shrink(false).id_salt(("what_if", page)).show(ui, |ui| match page {
        Page::Risk => risk::ui(ui, view, session, out),
        Page::Curve => curve::ui(ui, view, session, out),
    });
}
