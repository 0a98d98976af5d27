//! What a part and an option mean for the work, in words with a tone.

use crate::engine::risk;
use crate::engine::specs::DecideFor;
use crate::engine::{Day, PartFigures};
use crate::model::{Part, Selection, SelectionOption};
use crate::ui::choosing;
use crate::ui::format;
use crate::ui::view::View;
use crate::ui::widgets::need_line::Way;
use crate::ui::widgets::pieces;
use egui::Color32;

/// What a part means for the work, with the day it is needed.
pub fn part_sentence(view: &View<'_>, f: &PartFigures) -> String {
    let near = view.as_of();
    let needed = match (f.need_date, f.phase.map(|p| &view.project.phases[p as usize].name)) {
        (Some(need), Some(phase)) => format!(", needed {} for {phase}", format::day_short(need, near)),
        _ => ", for no phase yet".to_owned(),
    };
    match (f.arrival.filter(|_| f.on_site), f.placed.is_some()) {
        (Some(came), _) => format!("came {}{needed}", format::day_short(came, near)),
        (None, true) if f.overdue => {
            format!("overdue; counted on for {}{needed}", format::expected(f, near))
        }
        (None, true) => format!("ordered; arrives {}{needed}", format::expected(f, near)),
        (None, false) => {
            let from = f
                .orderable_from
                .map_or(String::new(), |day| format!("can be ordered from {}; ", format::day(day, near)));
            let order = f.order_by.map_or(String::new(), |day| {
                format!("order by {}{}; ", format::day(day, near), surer(view, f, day))
            });
            let ask = f
                .ask_by
                .map_or(String::new(), |day| format!("ask the supplier by {}; ", format::day(day, near)));
            format!("{from}{order}{ask}arrives {}{needed}", format::expected(f, near))
        }
    }
}

/// The day to order by as surely as the project asks for, where lead times that may be longer make it a sooner one.
fn surer(view: &View<'_>, f: &PartFigures, order_by: Day) -> String {
    let percent = view.project.settings.confidence;
    let at = view.figures.index.of(f.id.0);
    let sure = at.and_then(|at| risk::order_by_at(view.project, view.figures, at, percent));
    sure.filter(|sure| *sure < order_by).map_or(String::new(), |sure| {
        format!(" ({} to be {percent}% sure)", format::day_short(sure, view.as_of()))
    })
}

/// The day by which an undecided selection is to be decided for what must be known of it.
fn known_first(view: &View<'_>, selection: &Selection) -> Option<Day> {
    let own = view.figures.selection(selection.id).filter(|own| !own.chosen)?;
    own.decide.by.filter(|_| matches!(own.decide.reason, Some(DecideFor::Spec(_))))
}

/// `, needed Dec 1`; nothing where no phase needs it.
fn needed(f: &PartFigures, near: Day) -> String {
    f.need_date.map_or(String::new(), |need| format!(", needed {}", format::day_short(need, near)))
}

/// Of parts that come in time as they are likely to: the latest day on which one would come with its longest lead, and by how
/// many days that is too late. `None` where all come in time even then.
fn longest_late(
    view: &View<'_>,
    selection: &Selection,
    parts: &[(&Part, &PartFigures)],
) -> Option<(Day, i32)> {
    let late = parts.iter().filter(|(_, f)| !f.on_site && !f.late).filter_map(|(part, f)| {
        let at = view.figures.index.of(part.id.0)?;
        let (_, longest) = Way::of(view, selection, part, at, f).range?;
        let days = longest.since(f.need_date?);
        (days > 0).then_some((longest, days))
    });
    late.max_by_key(|(_, days)| *days)
}

/// The same in words: `; at the longest Dec 14, 5 days late`.
fn at_the_longest(view: &View<'_>, selection: &Selection, parts: &[(&Part, &PartFigures)]) -> Option<String> {
    let (day, days) = longest_late(view, selection, parts)?;
    let day = format::day_short(day, view.as_of());
    Some(format!("; at the longest {day}, {} late", format::count(days, "day")))
}

/// What a candidate would make of the finish as it is forecast now, with its tone; nothing where that stays.
pub fn moves_finish(
    view: &View<'_>,
    selection: &Selection,
    option: &SelectionOption,
) -> Option<(Color32, String)> {
    if selection.live_option().is_some_and(|live| live.id == option.id) {
        return None;
    }
    let after = view.derived.preview(view.project, option.id)?.finish?;
    let before = view.figures.forecast_finish.filter(|before| *before != after)?;
    let tone = if after > before { view.tokens.late } else { view.tokens.good };
    Some((tone, choosing::finish_words(before, after, view.as_of())))
}

/// What the option means for the work, in words, with its tone.
pub fn sentence(view: &View<'_>, selection: &Selection, option: &SelectionOption) -> (Color32, String) {
    let (tokens, near) = (view.tokens, view.as_of());
    let parts: Vec<(&Part, &PartFigures)> =
        option.parts.iter().filter_map(|p| view.figures.part(p.id).map(|f| (p, f))).collect();
    if parts.is_empty() {
        return (tokens.muted, "nothing to buy yet".to_owned());
    }
    if let Some(sentence) = crate::ui::areas::buying::returns::sentence(view, &parts) {
        return sentence;
    }
    let open = || parts.iter().filter(|(_, f)| !f.on_site);
    let late_by = |f: &PartFigures| -f.spare_days().unwrap_or(0);
    if let Some((_, f)) = open().filter(|(_, f)| f.late).max_by_key(|(_, f)| late_by(f)) {
        let phase = f.phase.map_or("its phase", |p| view.project.phases[p as usize].name.as_str());
        let days = format::count(late_by(f), "day");
        let live = selection.live_option().is_some_and(|o| o.id == option.id);
        let effect = if live {
            view.figures.index.of(f.id.0).and_then(|at| view.derived.effect_of(view.project, at))
        } else {
            view.derived.effect(view.project, option.id)
        };
        let effect = effect.map_or(String::new(), |effect| format!(", {effect}"));
        let text = match (f.waits_from(), f.arrival) {
            (Some(from), Some(arrival)) => format!(
                "cannot be ordered before {}; arrives {}, {days} late for {phase}{effect}",
                format::day(from, near),
                format::day_short(arrival, near)
            ),
            (None, Some(arrival)) => format!(
                "{days} late for {phase}: arrives {}{}{effect}",
                format::day_short(arrival, near),
                needed(f, near)
            ),
            _ => format!("{days} late for {phase}{effect}"),
        };
        return (tokens.late, text);
    }
    let next = open()
        .filter(|(_, f)| f.placed.is_none())
        .filter_map(|(p, f)| Some((f.order_by?, f.days_in_hand?, *p, *f)))
        .min_by_key(|n| n.0);
    let spec = known_first(view, selection);
    if let Some((order_by, days, part, f)) = next {
        let tone = if days <= crate::ui::standing::SOON { tokens.soon } else { tokens.good };
        let what = if parts.len() > 1 {
            format!("order {} by", part.name.to_lowercase())
        } else {
            "order by".to_owned()
        };
        let longest = at_the_longest(view, selection, &parts);
        let need = needed(f, near) + longest.as_deref().unwrap_or_default();
        if let Some(by) = spec.filter(|by| *by < order_by) {
            // What must be known of it is pressing more than its order.
            let ahead = by.since(near);
            let when = match ahead {
                0.. => format!("{} in hand", format::count(ahead, "day")),
                _ => format!("{} ago", format::count(-ahead, "day")),
            };
            let text = format!(
                "to be decided by {}, {when}; {what} {}, arrives {}{need}",
                format::day(by, near),
                format::day_short(order_by, near),
                format::expected(f, near)
            );
            return (pieces::in_hand_color(ahead, tokens, tokens.good), text);
        }
        let text = format!(
            "{what} {}, {} in hand; arrives {}{need}",
            format::day(order_by, near),
            format::count(days, "day"),
            format::expected(f, near)
        );
        return (if longest.is_some() { tokens.soon } else { tone }, text);
    }
    let unknown = open().filter(|(_, f)| f.placed.is_none() && !f.lead_known);
    if let Some((part, f)) = unknown.min_by_key(|(_, f)| f.ask_by.map_or((1, None), |day| (0, Some(day)))) {
        let what = if parts.len() > 1 { format!(" of {}", part.name.to_lowercase()) } else { String::new() };
        let text = match f.ask_by {
            Some(day) => format!(
                "nobody has said the lead time{what}; ask the supplier by {}; arrives {}",
                format::day(day, near),
                format::expected(f, near)
            ),
            None => format!("nobody has said the lead time{what}; ask the supplier"),
        };
        return (tokens.muted, text);
    }
    if open().next().is_none() {
        return (tokens.good, "everything is on site".to_owned());
    }
    match open().max_by_key(|(_, f)| f.expected) {
        Some((_, f)) if parts.iter().all(|(_, f)| f.placed.is_some()) => {
            let longest = at_the_longest(view, selection, &parts);
            let need = needed(f, near) + longest.as_deref().unwrap_or_default();
            let tone = if longest.is_some() { tokens.soon } else { tokens.good };
            (tone, format!("ordered; arrives {}{need}", format::expected(f, near)))
        }
        _ => (tokens.muted, "no phase needs it yet, so it has no last day to order".to_owned()),
    }
}
