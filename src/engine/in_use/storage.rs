//! What lies stored day by day, and what can no longer go back when it is used.

use super::{Facts, Span};
use crate::engine::calendar::Day;
use crate::engine::parts::PartFigures;
use crate::model::{NeededAt, Part, PartId, ReturnState};
use rust_decimal::Decimal;
use std::collections::{BTreeMap, HashMap};

/// What lies stored, from the as-of day on, on the dates of the forecast.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stored {
    /// The floor there is, in the project's square feet or meters.
    pub floor: Decimal,
    /// What lies there, in days that follow each other without a gap; the days on which nothing does are left out.
    pub levels: Vec<Level>,
    /// Days on which more lies there than there is floor for.
    pub full: Vec<Full>,
    /// The day on which most lies there; `None` where nothing of a known area does.
    pub most: Option<Most>,
    /// Parts that count and have no day of arrival, so that nobody knows when they lie there.
    pub undated: usize,
}

/// What lies there on some days in a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Level {
    /// The days.
    pub days: Span,
    /// The floor that it takes, as far as it is known.
    pub area: Decimal,
    /// Things of which nobody has said what they take.
    pub unknown: usize,
}

/// Days in a row on which more lies there than there is floor for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Full {
    /// The days.
    pub days: Span,
    /// The worst of them.
    pub most: Most,
}

/// A day, and what lies there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Most {
    /// The day; the first of several.
    pub on: Day,
    /// The floor that it takes, as far as it is known.
    pub area: Decimal,
    /// Things of which nobody has said what they take.
    pub unknown: usize,
    /// What lies there, by position: of known area, what takes most first.
    pub parts: Vec<usize>,
}

/// An ordered part that can no longer go back when it is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Closing {
    /// Position of the part.
    pub part: usize,
    /// The day it came or is expected.
    pub came: Day,
    /// Whether it came.
    pub on_site: bool,
    /// The last day to send it back.
    pub last: Day,
    /// The day it is used.
    pub used: Day,
}

/// A thing with the days it lies there and the floor it takes.
struct Lying {
    part: usize,
    days: Span,
    area: Option<Decimal>,
}

/// What lies stored; `None` where nobody has said how much floor there is for it.
pub(super) fn stored(facts: &Facts<'_>) -> Option<Stored> {
    let floor = facts.project.settings.storage?;
    let mut undated = 0;
    let mut lying = Vec::new();
    let first = first_deliveries(facts);
    let ends = ends_of_returns(facts);
    let parts = facts.project.all_parts().zip(facts.parts).enumerate();
    for (at, ((_, _, part), f)) in parts {
        let came = first.get(&part.id).copied();
        let Some(from) = came.into_iter().chain(f.expected).min() else {
            undated += usize::from(f.live && !f.built_in);
            continue;
        };
        let to = if f.live {
            used_on(facts, part, f).or(facts.finish)
        } else if f.on_site && !f.built_in {
            match ends.get(&part.id) {
                Some(Gone::Never) | None => facts.finish,
                Some(Gone::On(day)) => Some(*day),
                Some(Gone::NobodyKnows) => continue,
            }
        } else {
            continue;
        };
        if let Some(days) = Span::new(from.max(facts.as_of), to.unwrap_or(from).max(from)) {
            lying.push(Lying { part: at, days, area: part.floor_area });
        }
    }
    let levels = levels(&lying);
    let most_of = |of: &[Level]| {
        // Of days with as much, the first.
        let most = of.iter().rev().max_by_key(|level| (level.area, level.unknown))?;
        let on = most.days.from;
        let mut there: Vec<&Lying> = lying.iter().filter(|l| l.days.from <= on && on <= l.days.to).collect();
        there.sort_by_key(|l| std::cmp::Reverse(l.area));
        let parts = there.iter().map(|l| l.part).collect();
        Some(Most { on, area: most.area, unknown: most.unknown, parts })
    };
    let follows = |a: &Level, b: &Level| a.days.to.plus(1) == b.days.from;
    let over: Vec<Level> = levels.iter().filter(|level| level.area > floor).copied().collect();
    let full = over.chunk_by(follows).filter_map(|days| {
        let (first, last) = days.first().zip(days.last())?;
        Some(Full { days: Span { from: first.days.from, to: last.days.to }, most: most_of(days)? })
    });
    let full = full.collect();
    let most = most_of(&levels).filter(|most| !most.area.is_zero());
    Some(Stored { floor, full, most, levels, undated })
}

/// Until when something that is no longer the choice lies there.
enum Gone {
    /// It stays, as far as anybody knows.
    Never,
    /// It went back on a day.
    On(Day),
    /// It was written off.
    NobodyKnows,
}

/// By part with a return, until when it lies there.
fn ends_of_returns(facts: &Facts<'_>) -> HashMap<PartId, Gone> {
    let end = |r: &crate::model::Return| match (r.state, r.went_back_on.map(Day::from)) {
        (ReturnState::WrittenOff, _) => Gone::NobodyKnows,
        (_, Some(day)) if day <= facts.as_of => Gone::On(day),
        _ => Gone::Never,
    };
    facts.project.returns.iter().map(|r| (r.part, end(r))).collect()
}

/// By part, the first day on which some of it came, up to the as-of day.
fn first_deliveries(facts: &Facts<'_>) -> HashMap<PartId, Day> {
    let mut first: HashMap<PartId, Day> = HashMap::new();
    for delivery in facts.project.deliveries.iter() {
        let on = Day::from(delivery.on);
        if on <= facts.as_of {
            first.entry(delivery.part).and_modify(|day| *day = on.min(*day)).or_insert(on);
        }
    }
    first
}

/// The day a part is used: the day it was built in, else the first day of its phase, or the last one where it is needed
/// for the finish. `None` where no phase needs it.
fn used_on(facts: &Facts<'_>, part: &Part, f: &PartFigures) -> Option<Day> {
    if let Some(day) = part.installed_on.filter(|_| f.built_in) {
        return Some(Day::from(day));
    }
    used_by_phase(facts, f)
}

/// The day on which its phase uses a part.
fn used_by_phase(facts: &Facts<'_>, f: &PartFigures) -> Option<Day> {
    let phase = facts.phases.get(f.phase? as usize)?;
    match f.at {
        NeededAt::Start => phase.forecast_start,
        NeededAt::Finish => phase.forecast_finish,
    }
}

/// What lies there from one change to the next.
fn levels(lying: &[Lying]) -> Vec<Level> {
    // By day, what is added to what lay there the day before.
    let mut changes: BTreeMap<Day, (Decimal, i64)> = BTreeMap::new();
    for thing in lying {
        let (area, unknown) = (thing.area.unwrap_or_default(), i64::from(thing.area.is_none()));
        let begins = changes.entry(thing.days.from).or_default();
        *begins = (begins.0 + area, begins.1 + unknown);
        let ends = changes.entry(thing.days.to.plus(1)).or_default();
        *ends = (ends.0 - area, ends.1 - unknown);
    }
    let mut levels = Vec::new();
    let (mut area, mut unknown) = (Decimal::ZERO, 0_i64);
    let mut days = changes.iter().peekable();
    while let Some((from, change)) = days.next() {
        (area, unknown) = (area + change.0, unknown + change.1);
        let Some((next, _)) = days.peek() else { break };
        if (!area.is_zero() || unknown > 0)
            && let Some(days) = Span::new(*from, next.plus(-1))
        {
            levels.push(Level {
                days,
                area: area.normalize(),
                unknown: usize::try_from(unknown).unwrap_or(0),
            });
        }
    }
    levels
}

/// Ordered parts that can no longer go back when they are used.
pub(super) fn closing(facts: &Facts<'_>) -> Vec<Closing> {
    let suppliers = &facts.project.suppliers;
    if suppliers.iter().all(|supplier| supplier.return_days.is_none()) {
        return Vec::new();
    }
    let closes = |(part, f): (usize, &PartFigures)| {
        if !f.live || f.placed.is_none() || f.built_in {
            return None;
        }
        let days = suppliers.get(f.supplier? as usize)?.return_days?;
        let (came, used) = f.expected.zip(used_by_phase(facts, f))?;
        let last = came.plus(i32::try_from(days).unwrap_or(i32::MAX));
        // What is used already was found good, or its return is noted.
        let ahead = used >= facts.as_of;
        (ahead && last < used).then_some(Closing { part, came, on_site: f.on_site, last, used })
    };
    facts.parts.iter().enumerate().filter_map(closes).collect()
}
