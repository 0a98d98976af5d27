//! The ledger: what is to be chosen in the rooms picked, one row each, with its way to the house on one time axis.

pub mod board;
mod cells;
mod edit;
mod keys;
pub mod ledger;
pub mod ledger_facts;
mod many;
mod paste;
mod rows;
mod starter;
mod table;
mod tools;

use crate::ui::session::{RowFilter, Session};
use crate::ui::theme::{tokens::space, tokens::type_size};
use crate::ui::view::{Form, Outbox, View};
use crate::ui::widgets::pieces;
use egui::Ui;
use ledger::LedgerDialog;
pub use tools::search_field;

/// Draws filters and ledger.
pub fn ui(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    rows::update(view, session);
    keys::ui(ui, view, session);
    tools::ui(ui, view, session, out);
    ui.add_space(space::S);
    if view.project.selections.is_empty() {
        empty(ui, view, session, out);
    } else if session.rows.selections == 0 {
        ui.add_space(space::L);
        ui.label("No row fits the search and the filter.");
        if pieces::link(ui, view.tokens, "show all rows").clicked() {
            session.search.clear();
            session.filter = RowFilter::All;
            session.ledger.over_only = false;
        }
    } else {
        tools::marked(ui, view, session, out);
        if session.ledger.pictures {
            board::ui(ui, view, session, out);
        } else {
            table::ui(ui, view, session, out);
        }
    }
    dialog(ui, view, session, out);
}

fn empty(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    ui.add_space(40.0);
    ui.vertical_centered(|ui| {
        ui.label(pieces::strong("Nothing to choose yet", type_size::HEADING));
        ui.label("A selection is one thing to decide in a room: a tub, a tile, a light, a door.");
        ui.label("Give it an allowance, add the options you are looking at, and what each is made of.");
        ui.add_space(space::M);
        if view.project.rooms.is_empty() {
            if pieces::primary_button(ui, view.tokens, "Add the first room…").clicked() {
                out.edit(Form::Room(None));
            }
        } else {
            if pieces::primary_button(ui, view.tokens, "Add what a room usually needs…").clicked() {
                starter::open(view, session);
            }
            if pieces::link(ui, view.tokens, "add a selection…").clicked() {
                out.edit(Form::Selection(None, session.room));
            }
        }
    });
}

/// The dialog that is open over the ledger.
fn dialog(ui: &Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let Some(mut dialog) = session.ledger.dialog.take() else { return };
    let stays = match &mut dialog {
        LedgerDialog::Many(form) => many::ui(ui.ctx(), view, session, form, out),
        LedgerDialog::Paste(form) => paste::ui(ui.ctx(), view, session, form, out),
        LedgerDialog::Starter(form) => starter::ui(ui.ctx(), view, form, out),
    };
    if stays {
        session.ledger.dialog = Some(dialog);
    }
}
