//! The open choices, for whoever approves: candidates side by side with what each costs, when it comes against when it is
//! needed, and what it would make of the finish and the total.

use super::{Card, Page, Section, Standing, Strip, empty};
use crate::engine::{self, Day, Figures, PartFigures};
use crate::exchange::outgoing::print::board::{look, suppliers};
use crate::exchange::outgoing::print::words::{date, joined, money};
use crate::model::words::{counted, moved, moved_money};
use crate::model::{Action, Drawing, OptionState, Project, RoomId, Selection, SelectionOption};
use std::path::Path;

/// The page, of the house or of a room.
pub fn page(project: &Project, figures: &Figures, room: Option<RoomId>, beside: Option<&Path>) -> Page {
    let open = |s: &&Selection| {
        let is_chosen = s.live_option().is_some_and(|o| o.state == OptionState::Chosen);
        !is_chosen && !s.options.is_empty() && room.is_none_or(|room| room == s.room)
    };
    let mut own: Vec<&Selection> = project.selections.iter().map(AsRef::as_ref).filter(open).collect();
    let decide = |s: &Selection| figures.selection(s.id).and_then(|f| f.decide.by);
    // What is to be decided first stands first; what nothing asks for, last.
    own.sort_by_key(|s| decide(s).map_or((1, None), |day| (0, Some(day))));
    let mut page = empty(project, figures, "To choose".to_owned());
    page.lead.push(match own.len() {
        0 => "Nothing waits for a choice.".to_owned(),
        n => format!(
            "{}, those that are needed first on top.",
            counted(n, "choice is open", "choices are open")
        ),
    });
    for selection in own {
        page.sections.push(section(project, figures, selection, decide(selection), beside));
    }
    page.notes.push(
        "A bar runs from the day of the order to the day it comes; the line with the flag is the day it is needed. \
         A drawing stands for what has no picture: ask for a sample of its color."
            .to_owned(),
    );
    page
}

fn section(
    project: &Project,
    figures: &Figures,
    selection: &Selection,
    decide: Option<Day>,
    beside: Option<&Path>,
) -> Section {
    let room = project.room(selection.room).map_or("", |room| room.name.as_str());
    let by = decide.map_or(String::new(), |day| {
        let when = if day < figures.as_of { "was to be decided by" } else { "decide by" };
        format!("{when} {}", date(day.date()))
    });
    let slowest: Vec<Option<usize>> =
        selection.options.iter().map(|option| slowest(figures, option)).collect();
    let axis = axis(figures, selection, &slowest);
    let cards = selection.options.iter().zip(&slowest);
    Section {
        title: selection.name.clone(),
        lead: vec![joined(&[room, &by], ", ")],
        cards: cards
            .map(|(option, at)| card(project, figures, selection, option, *at, axis, beside))
            .collect(),
    }
}

/// The part of an option that has the fewest days in hand: by it the option comes in time or not.
fn slowest(figures: &Figures, option: &SelectionOption) -> Option<usize> {
    let own = option.parts.iter().filter_map(|part| figures.index.of(part.id.0));
    own.min_by_key(|at| figures.parts.get(*at).and_then(|f| f.days_in_hand).map_or((1, 0), |days| (0, days)))
}

/// From the first day that any of the candidates could be ordered to the last one that matters.
fn axis(figures: &Figures, selection: &Selection, slowest: &[Option<usize>]) -> Option<(Day, Day)> {
    let own = || slowest.iter().flatten().filter_map(|at| Some((*at, figures.parts.get(*at)?)));
    let first = own().map(|(at, _)| figures.first_order(at, selection.decide_on)).min()?;
    let last = own().flat_map(|(_, f)| [f.need_date, f.expected]).flatten().max()?;
    Some((first, last.max(first.plus(7)).plus(3)))
}

fn card(
    project: &Project,
    figures: &Figures,
    selection: &Selection,
    option: &SelectionOption,
    slowest: Option<usize>,
    axis: Option<(Day, Day)>,
    beside: Option<&Path>,
) -> Card {
    let drawing = Drawing::of(project, selection, option);
    let told = drawing.told(&option.finish);
    let currency = project.settings.currency;
    let part = slowest.and_then(|at| figures.parts.get(at).map(|f| (at, f)));
    let mut card = Card::of(option.name.clone());
    card.look = Some((look(option, drawing, beside), told));
    card.more = joined(&[&option.finish, &suppliers(project, option)], ", ");
    let unpriced = figures.option_unpriced(option);
    let own = money(figures.option_total(option), currency);
    card.facts.push((
        "Price with freight and tax".to_owned(),
        match unpriced {
            0 => format!("{own} {currency}"),
            n if n == option.parts.len() => "nobody has said".to_owned(),
            _ => format!("at least {own} {currency}"),
        },
    ));
    // What it would make of the whole is computed as the choice itself is.
    if let Ok(then) = engine::preview(project, &Action::Choose(option.id), figures.as_of.date()) {
        let more = then.money.total.forecast.less(figures.money.total.forecast);
        let more = moved_money(more, |amount| money(amount, currency)).unwrap_or("as now".to_owned());
        card.facts.push(("Forecast of the house".to_owned(), more));
        let finish = then.forecast_finish.zip(figures.finish_moves(then.forecast_finish));
        if let Some((day, by)) = finish {
            let by = moved(by, "working day").map_or(String::new(), |by| format!(", {by}"));
            card.facts.push(("Finish".to_owned(), format!("{}{by}", date(day.date()))));
        }
    }
    if let Some((at, f)) = part {
        card.state = state(project, f);
        card.strip = axis.zip(f.need_date).zip(f.expected).map(|(((first, last), needed), arrives)| Strip {
            first,
            last,
            ordered: figures.first_order(at, selection.decide_on),
            arrives,
            needed,
            typical: f.is_assumed(),
        });
    }
    match option.approval(figures.as_of.date()) {
        Some((who, on)) => card.facts.push(("Approved".to_owned(), format!("by {who}, {}", date(on)))),
        None => {
            let room = project.room(selection.room).map_or("", |room| room.name.as_str());
            let what = joined(&[&option.name, &option.finish], ", ");
            card.answer = (
                "Yes to this one".to_owned(),
                format!("{}: yes to {what}", joined(&[room, &selection.name], ", ")),
            );
        }
    }
    if option.state == OptionState::Leaning {
        card.facts.push(("So far".to_owned(), "leaned to".to_owned()));
    }
    card
}

/// Whether it comes in time, in words.
fn state(project: &Project, f: &PartFigures) -> (Standing, String) {
    let phase = f.phase.and_then(|at| project.phases.get(at as usize)).map_or("", |p| p.name.as_str());
    let needed = f.need_date.map(|day| joined(&[&format!("needed {}", date(day.date())), phase], " for "));
    let Some(arrives) = f.expected else {
        let needed = needed.map_or(String::new(), |needed| format!("; {needed}"));
        return (Standing::Plain, format!("Nobody has said how long it takes{needed}"));
    };
    let comes = match f.is_assumed() {
        true => format!("typically comes {}", date(arrives.date())),
        false => format!("comes {}", date(arrives.date())),
    };
    let Some(needed) = needed else { return (Standing::Plain, format!("Ordered now it {comes}")) };
    if f.late {
        let days = f.spare_days().map_or(0, |days| -days);
        let late = counted(usize::try_from(days).unwrap_or(0), "day late", "days late");
        return (Standing::Bad, format!("{late}: {comes}, {needed}"));
    }
    let by = f.due_to_order().map_or(String::new(), |day| format!("; order by {}", date(day.date())));
    let standing = if f.is_assumed() { Standing::Plain } else { Standing::Good };
    (standing, format!("In time: {comes}, {needed}{by}"))
}
