//! The cards of a gate, a crew and a bid.

use super::{fact, heading, line};
use crate::engine::Day;
use crate::engine::people;
use crate::exchange::outgoing::pages::PageFor;
use crate::model::{CrewId, GateId, QuoteId, Subject};
use crate::ui::areas::dates::people as dates_people;
use crate::ui::areas::signoffs::rows;
use crate::ui::format;
use crate::ui::session::Session;
use crate::ui::view::{Outbox, Request, View};
use egui::Ui;

/// A gate: what it needs, and the phase that waits for it.
pub fn gate(ui: &mut Ui, view: &View<'_>, session: &mut Session, id: GateId, out: &mut Outbox) {
    let Some(at) = view.figures.index.of(id.0) else { return };
    let Some(gate) = view.project.gates.get(at).filter(|gate| gate.id == id) else { return };
    let Some(figures) = view.figures.gates.get(at) else { return };
    if let Some(phase) = view.project.phase(gate.phase) {
        let (word, tone) = rows::gate_word(figures, view.tokens);
        line(ui, view, Subject::Phase(phase.id), &phase.name, (word, tone), out);
    }
    rows::conditions(ui, view, session, gate, figures, out);
}

/// A crew: how it is reached, its papers, its days away, and what it does when.
pub fn crew(ui: &mut Ui, view: &View<'_>, id: CrewId, out: &mut Outbox) {
    let Some(crew) = view.project.crew(id) else { return };
    let day = |day| format::day(Day::from(day), view.as_of());
    fact(ui, view, "Trade", &crew.trade);
    fact(ui, view, "Phone", &crew.phone);
    fact(ui, view, "Email", &crew.email);
    fact(ui, view, "License", &crew.licence);
    fact(ui, view, "License until", &crew.licence_until.map_or(String::new(), day));
    fact(ui, view, "Insured until", &crew.insured_until.map_or("not noted".to_owned(), day));
    for away in &crew.away {
        let days = format!("{} to {}", day(away.from), day(away.to));
        fact(ui, view, "Away", &days);
    }
    ui.horizontal(|ui| {
        dates_people::copy_text(ui, view, id);
        let page = ui.button("Page for a phone…");
        if page.on_hover_text("Its days and what is ready for them, to be sent to it").clicked() {
            out.push(Request::SharePage(PageFor::Crew(id)));
        }
    });
    let phases: Vec<usize> = people::phases_of(view.project, id).collect();
    heading(ui, view, "Its work", phases.len());
    for at in phases {
        let (Some(phase), Some(f)) = (view.project.phases.get(at), view.figures.phases.get(at)) else {
            continue;
        };
        let words = match (phase.finished_on(), f.forecast_start) {
            (Some(on), _) => format!("done {}", day(on)),
            (None, Some(start)) => {
                let state = view.figures.people.booking(at).state.words();
                format!("{}, {state}", format::day_short(start, view.as_of()))
            }
            (None, None) => String::new(),
        };
        line(ui, view, Subject::Phase(phase.id), &phase.name, (&words, view.tokens.muted), out);
    }
}

/// A bid: what it is for, what it comes to leveled, what it leaves out, and the other bids for the same.
pub fn bid(ui: &mut Ui, view: &View<'_>, id: QuoteId, out: &mut Outbox) {
    let Some(quote) = view.project.quote(id) else { return };
    let money = |sum| format::money(sum, view.currency());
    fact(ui, view, "Scope", &quote.scope);
    fact(ui, view, "State", if quote.accepted { "accepted" } else { "not accepted" });
    fact(ui, view, "Its price", &money(quote.amount));
    let least = if quote.has_holes() { "at least " } else { "" };
    fact(ui, view, "Leveled", &format!("{least}{}", money(quote.leveled())));
    for left in &quote.left_out {
        let cost = left.amount.map_or("nobody has said what it costs".to_owned(), money);
        fact(ui, view, "Leaves out", &format!("{}, {cost}", left.what));
    }
    let day = |day| format::day(Day::from(day), view.as_of());
    fact(ui, view, "Can begin", &quote.starts_on.map_or(String::new(), day));
    fact(ui, view, "Takes", &quote.days.map_or(String::new(), |n| format::count(n, "working day")));
    fact(ui, view, "Holds until", &quote.valid_until.map_or(String::new(), day));
    if let Some(crew) = quote.crew.and_then(|id| view.project.crew(id)) {
        line(ui, view, Subject::Crew(crew.id), &crew.name, ("crew", view.tokens.muted), out);
    }
    for id in quote.phases() {
        if let Some(phase) = view.project.phase(id) {
            line(ui, view, Subject::Phase(id), &phase.name, ("phase", view.tokens.muted), out);
        }
    }
    let others: Vec<_> =
        view.project.quotes.iter().filter(|q| q.id != id && q.competes_with(quote)).collect();
    if !others.is_empty() {
        heading(ui, view, "For the same", others.len());
    }
    for other in others {
        let sum = money(other.leveled());
        line(ui, view, Subject::Quote(other.id), &other.trade, (&sum, view.tokens.muted), out);
    }
}
