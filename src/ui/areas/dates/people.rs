//! People in Dates: who is to be called and booked, above the calendar; the crew of the picked phase, its permits and its
//! changes, below it.

use super::changes;
use super::detail::{field, take};
use crate::engine::Day;
use crate::engine::people::{Booked, Twice, link_of};
use crate::exchange::outgoing::crews::{message, sheet};
use crate::model::field::Noun;
use crate::model::{Action, CrewId, Missed, Phase, PhaseKind, Quote, Subject};
use crate::ui::format;
use crate::ui::forms::fields;
use crate::ui::session::Session;
use crate::ui::theme::{self, tokens::type_size};
use crate::ui::view::{Form, Outbox, Request, View};
use crate::ui::widgets::drop_down::{Picked, pick};
use crate::ui::widgets::pieces;
use egui::{RichText, Ui};

/// Crews, and phases to book, that are named before the rest is folded; and where there is little room.
const MOST: (usize, usize) = (3, 1);

/// Draws who is to be called and who should be booked by now; nothing where nobody is.
pub fn to_do(ui: &mut Ui, view: &View<'_>, session: &mut Session, out: &mut Outbox) {
    let people = &view.figures.people;
    let crews = people.to_call();
    let past = |at: &usize| {
        let booking = people.booking(*at);
        let open = matches!(booking.state, Booked::NoCrew | Booked::NotBooked);
        open && booking.hire_by.is_some_and(|by| by < view.as_of())
    };
    let to_book: Vec<usize> = (0..people.bookings.len()).filter(past).collect();
    if crews.is_empty() && to_book.is_empty() {
        return;
    }
    let tokens = view.tokens;
    let frame = egui::Frame::NONE
        .fill(tokens.card)
        .stroke(egui::Stroke::new(1.0, tokens.line))
        .corner_radius(3.0)
        .inner_margin(egui::Margin::symmetric(8, 3));
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 2.0;
        let most = if ui.available_width() > 820.0 { MOST.0 } else { MOST.1 };
        let all = session.dates.all_calls;
        let shown = if all { crews.len() } else { most.min(crews.len()) };
        for (n, crew) in crews.iter().take(shown).enumerate() {
            ui.push_id(crew, |ui| call(ui, view, *crew, (n == 0).then_some(crews.len()), out));
        }
        let listed = if all { to_book.len() } else { most.min(to_book.len()) };
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 6.0;
            if !to_book.is_empty() {
                book_by_now(ui, view, &to_book, listed, out);
            }
            let more = (crews.len() - shown) + (to_book.len() - listed);
            let words = match more {
                _ if all && (crews.len() > most || to_book.len() > most) => "show fewer".to_owned(),
                0 => return,
                _ if shown < crews.len() => {
                    let more = format::count((crews.len() - shown) as i32, "more crew");
                    format!("show all, {more} to call")
                }
                more => format!("and {more} more"),
            };
            if pieces::link(ui, tokens, &words).clicked() {
                session.dates.all_calls = !all;
            }
        });
    });
    ui.add_space(2.0);
}

/// One crew to call: what moved, how it is reached, the text and that it was told.
fn call(ui: &mut Ui, view: &View<'_>, id: CrewId, first_of: Option<usize>, out: &mut Outbox) {
    let (project, figures, tokens) = (view.project, view.figures, view.tokens);
    let Some(crew) = project.crew(id) else { return };
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        if let Some(all) = first_of {
            let words = format!("{all} to call");
            ui.label(RichText::new(words).font(theme::strong(type_size::SMALL)).color(tokens.soon));
        }
        let name = egui::Button::new(pieces::strong(&crew.name, type_size::BODY)).frame(false);
        if ui.add(name).on_hover_text("The crew and its days away").clicked() {
            out.push(Request::Pick(Subject::Crew(id)));
        }
        let reach = if crew.phone.is_empty() { crew.email.as_str() } else { crew.phone.as_str() };
        if !reach.is_empty() {
            ui.label(reach);
        }
        for call in figures.people.calls.iter().filter(|c| c.crew == id) {
            let Some(phase) = project.phases.get(call.phase) else { continue };
            let words = format!(
                "{}: {}, was {}",
                phase.name,
                format::day(call.new, view.as_of()),
                format::day(call.old, view.as_of())
            );
            if pieces::link(ui, tokens, &words).on_hover_text("Show the phase").clicked() {
                out.show(Subject::Phase(phase.id));
            }
        }
        copy_text(ui, view, id);
        told(ui, view, id, out);
    });
}

/// Copies the text for a crew.
pub fn copy_text(ui: &mut Ui, view: &View<'_>, id: CrewId) -> egui::Response {
    let name = view.project.crew(id).map_or("", |c| c.name.as_str());
    let copy = pieces::row_button(ui, "Copy the text", &format!("Copy the text for {name}"));
    let copy =
        copy.on_hover_text("What moved, its days, what is on site, what is still to be ready, cautions");
    if copy.clicked()
        && let Some(sheet) = sheet(view.project, view.figures, id)
    {
        ui.copy_text(message(&sheet));
    }
    copy
}

/// Notes that a crew was told all its new starts on the as-of day.
fn told(ui: &mut Ui, view: &View<'_>, id: CrewId, out: &mut Outbox) {
    let name = view.project.crew(id).map_or("", |c| c.name.as_str());
    let told = pieces::row_button(ui, "Told", &format!("{name} was told these days, on the as-of day"));
    if told.clicked() {
        let starts = view.figures.people.starts_to_tell(view.project, id);
        out.act(Action::MarkTold { starts, on: view.as_of().date() });
    }
}

fn book_by_now(ui: &mut Ui, view: &View<'_>, to_book: &[usize], listed: usize, out: &mut Outbox) {
    let words = format!("{} to book by now", to_book.len());
    ui.label(RichText::new(words).font(theme::strong(type_size::SMALL)).color(view.tokens.soon));
    for at in to_book.iter().take(listed) {
        let Some(phase) = view.project.phases.get(*at) else { continue };
        let words = format!("{}, {}", phase.name, view.figures.people.booking(*at).state.words());
        if pieces::link(ui, view.tokens, &words).clicked() {
            out.show(Subject::Phase(phase.id));
        }
    }
}

/// Whether there is anything of people to show of a phase.
pub fn concerns(view: &View<'_>, phase: &Phase) -> bool {
    let work = phase.kind == PhaseKind::Work && !phase.own_work;
    work || phase.crew.is_some()
        || view.project.permits.iter().any(|p| p.phases.contains(&phase.id))
        || view.project.changes.iter().any(|c| c.phase == Some(phase.id))
}

/// Draws the crew of a phase, its permits and its changes.
pub fn of_phase(
    ui: &mut Ui,
    view: &View<'_>,
    session: &mut Session,
    phase: &Phase,
    at: usize,
    out: &mut Outbox,
) {
    crew_line(ui, view, phase, out);
    if phase.crew.is_some() && phase.finished_on().is_none() {
        booking(ui, view, session, phase, at, out);
        later(ui, view, session, phase, at, out);
    }
    for twice in view.figures.people.twice.iter().filter(|t| t.first == at || t.second == at) {
        both(ui, view, twice, at, out);
    }
    bids(ui, view, phase, out);
    permits(ui, view, phase, out);
    changes::ui(ui, view, phase, out);
}

/// The way to the bids for a phase.
fn bids(ui: &mut Ui, view: &View<'_>, phase: &Phase, out: &mut Outbox) {
    let covers = |q: &&Quote| q.phases().any(|id| id == phase.id);
    let own: Vec<&Quote> = view.project.quotes.iter().filter(covers).collect();
    let accepted = own.iter().find(|q| q.accepted);
    let Some(shown) = accepted.or(own.first()) else { return };
    let count = format::count(own.len() as i32, "bid");
    let words = match accepted {
        Some(quote) => {
            let least = if quote.has_holes() { "at least " } else { "" };
            let sum = format::money(quote.leveled(), view.currency());
            format!("{count}, {} accepted, {least}{sum}", quote.trade)
        }
        None => format!("{count}, none accepted"),
    };
    if pieces::link(ui, view.tokens, &words).on_hover_text("Show the bids").clicked() {
        out.show(Subject::Quote(shown.id));
    }
}

/// A phase with another crew, to which nothing was said yet.
fn with_crew(phase: &Phase, crew: Option<CrewId>) -> Phase {
    let (booked_from, confirmed_on, told_on, told_start) = (None, None, None, None);
    Phase { crew, booked_from, confirmed_on, told_on, told_start, ..phase.clone() }
}

fn crew_line(ui: &mut Ui, view: &View<'_>, phase: &Phase, out: &mut Outbox) {
    if phase.kind != PhaseKind::Work && phase.crew.is_none() {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        ui.label("Crew");
        let crew = phase.crew.and_then(|id| view.project.crew(id));
        let shown = crew.map_or("nobody yet", |c| c.name.as_str());
        let nobody = ("nobody yet", phase.crew.is_none());
        let named = view.project.crews.iter().map(|one| (one.name.as_str(), phase.crew == Some(one.id)));
        let lines: Vec<(&str, bool)> = std::iter::once(nobody).chain(named).collect();
        match pick(ui, "Crew", shown, 150.0, &lines, Noun::Crew.new_word()).1 {
            Some(Picked::Line(at)) => {
                let crew = at.checked_sub(1).and_then(|at| view.project.crews.get(at)).map(|one| one.id);
                if crew != phase.crew {
                    out.act(Action::PutPhase(with_crew(phase, crew)));
                }
            }
            Some(Picked::New(name)) => {
                let id = view.project.next_id;
                if let Some(made) = Noun::Crew.make(view.project, id, &name) {
                    let given = Action::PutPhase(with_crew(phase, Some(CrewId(id))));
                    out.act(Action::Batch { label: format!("add {name}"), actions: vec![made, given] });
                }
            }
            None => {}
        }
        if let Some(crew) = crew {
            if !crew.phone.is_empty() {
                ui.label(&crew.phone);
            }
            let edit = pieces::link(ui, view.tokens, "edit the crew");
            edit.context_menu(|ui| {
                if ui.button("Remove the crew").clicked() {
                    out.act(Action::RemoveCrew(crew.id));
                }
            });
            if edit.clicked() {
                out.push(Request::Pick(Subject::Crew(crew.id)));
            }
            copy_text(ui, view, crew.id);
            let paper = pieces::small_button(ui, "Paper, calendar…");
            if paper
                .on_hover_text("Its days, what is on site and what is still to be ready, as files")
                .clicked()
            {
                out.push(Request::ExportCrew(crew.id));
            }
        }
    });
}

/// How far it is booked, and the next step.
fn booking(ui: &mut Ui, view: &View<'_>, session: &mut Session, phase: &Phase, at: usize, out: &mut Outbox) {
    let (tokens, near) = (view.tokens, view.as_of());
    let booking = view.figures.people.booking(at);
    let day = |date: chrono::NaiveDate| format::day(Day::from(date), near);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        if booking.state == Booked::Nobody {
            return;
        }
        let by = booking.hire_by.map_or(String::new(), |by| {
            let typical = if booking.typical { ", as is typical" } else { "" };
            format!(", book by {}{typical}", format::day(by, near))
        });
        match (booking.state, phase.booked_from) {
            (Booked::NotBooked, _) => {
                let past = booking.hire_by.is_some_and(|by| by < near);
                let tone = if past { tokens.late } else { tokens.text };
                ui.label(RichText::new(format!("not booked{by}; from")).color(tone));
                let start = view.figures.phases.get(at).and_then(|f| f.forecast_start).map(Day::date);
                let shown = fields::shown(start);
                if let Some(text) = field(ui, "Book from", &shown, 86.0, "day") {
                    let from = fields::day("Book from", &text);
                    take(session, out, from.map(|from| Action::Book(phase.id, from)));
                }
                let name = format!("Booked for {} from its start in the forecast", phase.name);
                let button = pieces::row_button(ui, "Booked", &name);
                if button.clicked() {
                    out.act(Action::Book(phase.id, start));
                }
            }
            (_, Some(from)) => {
                let comma = if phase.told_start.is_some() { "," } else { "" };
                ui.label(format!("booked from {}{comma}", day(from)));
            }
            _ => {}
        }
        if let Some((start, on)) = phase.told_start.zip(phase.told_on) {
            ui.label(format!("told {} on {}", day(start), day(on)));
        }
        match phase.confirmed_on {
            Some(on) => {
                ui.label(RichText::new(format!("\u{2713} confirmed {}", day(on))).color(tokens.good));
            }
            None if booking.state == Booked::Asked => {
                let name = format!("The crew said yes to {}, on the as-of day", phase.name);
                let yes = pieces::row_button(ui, "Confirmed", &name);
                if yes.clicked() {
                    out.act(Action::MarkConfirmed(phase.id, Some(near.date())));
                }
            }
            None => {}
        }
    });
    let Some(call) = view.figures.people.call(at) else { return };
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        let words = format!(
            "counts on {}, and the forecast has {}",
            format::day(call.old, near),
            format::day(call.new, near)
        );
        ui.label(RichText::new(words).color(tokens.late));
        told(ui, view, call.crew, out);
    });
}

/// A crew that comes later than it was to, or did not come.
fn later(ui: &mut Ui, view: &View<'_>, session: &mut Session, phase: &Phase, at: usize, out: &mut Outbox) {
    let Some(crew) = phase.crew.and_then(|id| view.project.crew(id)) else { return };
    let begun = phase.actual_start.is_some();
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        ui.label(if begun { "is away until" } else { "comes later, on" });
        if let Some(text) = field(ui, "Comes on", "", 86.0, "day") {
            let start = view.figures.phases.get(at).and_then(|f| f.forecast_start);
            let from = if begun { view.as_of() } else { start.unwrap_or(view.as_of()).max(view.as_of()) };
            let back = fields::day("Comes on", &text);
            let action = back.and_then(|back| match back {
                Some(back) if Day::from(back) > from => {
                    Ok(Some(Action::PutCrew(crew.away_until(from.date(), back))))
                }
                Some(back) => Err(format!("Comes on: {back} is not after {from}, on which it is counted")),
                None => Ok(None),
            });
            match action {
                Ok(None) => {}
                Ok(Some(action)) => take(session, out, Ok(action)),
                Err(why) => take(session, out, Err(why)),
            }
        }
        ui.label("or did not come on");
        if let Some(text) = field(ui, "Did not come on", "", 86.0, "day") {
            match fields::day("Did not come on", &text) {
                Ok(Some(date)) => {
                    let missed = Missed { date, why: String::new() };
                    take(session, out, Ok(Action::MarkMissed(phase.id, missed)));
                }
                Ok(None) => {}
                Err(why) => take(session, out, Err(why)),
            }
        }
        if !phase.missed.is_empty() {
            let days: Vec<String> =
                phase.missed.iter().map(|m| format::day_short(Day::from(m.date), view.as_of())).collect();
            pieces::muted(ui, view.tokens, format!("missed {}", days.join(", ")));
        }
    });
}

/// A crew in two phases at once: both orders.
fn both(ui: &mut Ui, view: &View<'_>, twice: &Twice, at: usize, out: &mut Outbox) {
    let other = if twice.first == at { twice.second } else { twice.first };
    let Some(name) = view.project.phases.get(other).map(|p| p.name.as_str()) else { return };
    let near = view.as_of();
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        let days = if twice.from == twice.to {
            format::day_short(twice.from, near)
        } else {
            format!("{} to {}", format::day_short(twice.from, near), format::day_short(twice.to, near))
        };
        let words = format!("also in {name}, {days}:");
        ui.label(RichText::new(words).color(view.tokens.late));
        for (words, before, after) in [("this first", at, other), ("that first", other, at)] {
            let button = pieces::row_button(ui, words, &format!("{words}, {name} is the other: link them"));
            if button.clicked()
                && let Some(link) = link_of(view.project, before, after)
            {
                out.act(Action::PutLink(link));
            }
        }
    });
}

fn permits(ui: &mut Ui, view: &View<'_>, phase: &Phase, out: &mut Outbox) {
    let near = view.as_of();
    for permit in view.project.permits.iter().filter(|p| p.phases.contains(&phase.id)) {
        let day = |date| format::day(Day::from(date), near);
        let (words, tone) = match (permit.is_issued(near.date()), permit.issued_on, permit.expires_on) {
            (true, Some(on), None) => (format!("issued {}", day(on)), view.tokens.text),
            (true, Some(on), Some(until)) => {
                (format!("issued {}, holds until {}", day(on), day(until)), view.tokens.text)
            }
            (_, Some(on), _) => (format!("not issued, expected {}", day(on)), view.tokens.soon),
            _ => ("not issued, nobody knows the day".to_owned(), view.tokens.late),
        };
        let number = if permit.number.is_empty() { String::new() } else { format!(" {}", permit.number) };
        let text = RichText::new(format!("{}{number}: {words}", permit.name)).color(tone);
        let line = ui.add(egui::Button::new(text).frame(false).truncate());
        line.context_menu(|ui| {
            if ui.button("Remove the permit").clicked() {
                out.act(Action::RemovePermit(permit.id));
            }
        });
        if line.on_hover_text("Edit; right click for more").clicked() {
            out.edit(Form::Permit(Some(permit.id), None));
        }
    }
    if phase.finished_on().is_none() {
        ui.horizontal_wrapped(|ui| {
            if pieces::link(ui, view.tokens, "+ a permit").clicked() {
                out.edit(Form::Permit(None, Some(phase.id)));
            }
            if pieces::link(ui, view.tokens, "+ found work or a change").clicked() {
                out.edit(Form::Change(None, Some(phase.id)));
            }
            if changes::may_ask_texture(view, phase)
                && pieces::link(ui, view.tokens, "+ texture: match or redo").clicked()
            {
                out.act(changes::texture(view, phase));
            }
        });
    }
}
