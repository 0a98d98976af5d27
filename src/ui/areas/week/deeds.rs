//! What a click does about a line: its deed at once, or through the form that asks for the rest.

use crate::engine::week::{Ask, Deed, Line};
use crate::model::Subject;
use crate::ui::areas::WorkArea;
use crate::ui::areas::signoffs::Page;
use crate::ui::session::Session;
use crate::ui::view::{Form, Outbox, View};

/// Picks a line; the card follows where it is about something to buy.
pub fn pick(view: &View<'_>, session: &mut Session, line: &Line) {
    session.week.picked = Some(line.id.clone());
    let selection = match line.subject {
        Subject::Selection(id) => Some(id),
        Subject::Part(id) => view.project.part(id).map(|(selection, ..)| selection.id),
        _ => None,
    };
    match selection {
        Some(selection) => session.pick(selection),
        None if Form::of(line.subject).is_some() => session.beside = Some(line.subject),
        None => {}
    }
}

/// Does what the button of a line says. Where an option is to be chosen, the menu of the button does.
pub fn perform(view: &View<'_>, session: &mut Session, line: &Line, out: &mut Outbox) {
    pick(view, session, line);
    let ask = match &line.deed {
        Deed::Do(action) => {
            out.act(action.as_ref().clone());
            return;
        }
        Deed::Ask(ask) => *ask,
    };
    match ask {
        Ask::Choose(_) => {}
        Ask::Tell(selection, at) => out.edit(Form::Tell(selection, at)),
        Ask::LeadTime(part) => {
            if let Some((_, option, _)) = view.project.part(part) {
                out.edit(Form::Part(option.id, Some(part)));
            }
        }
        Ask::Hire(phase) => out.show(Subject::Phase(phase)),
        Ask::Visit(phase) => {
            session.area = WorkArea::SignOffs;
            session.sign_offs.page = Page::Gates;
            session.sign_offs.scroll_to_phase = Some(phase);
            session.sign_offs.visiting = Some((phase, view.as_of().to_string(), String::new()));
            session.sign_offs.fault = None;
        }
        Ask::Delivery(part) => out.edit(Form::Delivery(part, None)),
        Ask::Payment(paid_for) => out.edit(Form::Payment(paid_for, None)),
        Ask::Quote(quote) => out.edit(Form::Quote(Some(quote))),
        Ask::SendBack(part) => out.edit(Form::Return(part, None)),
        Ask::Warranty(part) => out.edit(Form::Handover(part)),
        Ask::Permit(permit) => out.edit(Form::Permit(Some(permit), None)),
    }
}
