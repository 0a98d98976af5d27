//! Parts that something waits for, with their lead times as they may be: when each comes, by what was drawn.

use super::spread::{Dice, Spread};
use crate::engine::calendar::Day;
use crate::engine::days::Days;
use crate::engine::deliveries::AsOf;
use crate::engine::figures::{Figures, PartFigures};
use crate::engine::gates::Lack;
use crate::engine::lead::{self, Lead};
use crate::model::{LeadUnit, NeededAt, Part, Project};

/// Days of a week's wait.
pub(super) const WEEK: i32 = 7;

/// Where a part stands in no list.
pub(super) const NOWHERE: usize = usize::MAX;

/// What the day hangs on on which a part comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Basis {
    /// It is here, or nobody knows better: it comes on this day.
    Fixed(Day),
    /// It is ordered on this day and comes after its lead time.
    Ordered(Day),
    /// It was promised for this day, and comes as much sooner or later as its lead time differs from the likely one.
    Promised(Day),
    /// It is ordered only after a phase: the place of its tie among the parts.
    Tied,
}

/// A part that something waits for.
#[derive(Debug)]
pub(super) struct Arrival {
    /// Its position among the parts of the figures.
    pub(super) part: usize,
    pub(super) basis: Basis,
    /// How its lead time is drawn, in its unit, weeks as days; `None` where it is one number.
    pub(super) dice: Option<Dice>,
    /// The unit of what is drawn.
    pub(super) unit: LeadUnit,
    /// The likely lead time.
    pub(super) likely: i64,
    supplier: Option<usize>,
    /// Whether it is ordered.
    pub(super) placed: bool,
    overdue: bool,
    /// The position of its phase, where it holds it by itself.
    pub(super) phase: Option<usize>,
    /// By what is drawn less the least: the working-day index on which it comes, and that a week later.
    indices: Vec<[i32; 2]>,
    least: i64,
}

/// A part that holds a phase by itself: its place, which end needs it, and the working days between arrival and use.
#[derive(Debug, Clone, Copy)]
pub(super) struct Held {
    pub(super) place: usize,
    pub(super) at: NeededAt,
    pub(super) hold: i32,
}

/// All of them.
#[derive(Debug)]
pub(super) struct Arrivals {
    pub(super) list: Vec<Arrival>,
    /// By phase, the places of the parts that hold it by themselves, but for those that are ordered only after another:
    /// ranges of `held`.
    ranges: Vec<(usize, usize)>,
    held: Vec<Held>,
    /// By position of the part, its place; empty without parts.
    place: Vec<usize>,
    /// The latest day on which one may come.
    pub(super) latest: Day,
}

impl Arrivals {
    pub(super) fn new(project: &Project, figures: &Figures, days: &Days) -> Arrivals {
        let gated = gated(figures);
        let phases = figures.plan.network.len();
        let mut all = Arrivals {
            list: Vec::new(),
            ranges: Vec::new(),
            held: Vec::new(),
            place: vec![NOWHERE; figures.parts.len()],
            latest: figures.as_of,
        };
        for (at, ((selection, _, part), own)) in project.all_parts().zip(&figures.parts).enumerate() {
            let phase = own.phase.map(|p| p as usize).filter(|_| own.live && !own.built_in);
            if phase.is_none() && !gated[at] {
                continue;
            }
            let earliest = selection.decide_on.map_or(figures.as_of, |d| figures.as_of.max(Day::from(d)));
            let Some(basis) = basis(figures, part, own, at, earliest) else { continue };
            let counted = lead::counted(project, part);
            // What nobody has chosen is expected as the forecast has it.
            let drawn = counted.filter(|_| own.live && !matches!(basis, Basis::Fixed(_)));
            let spread = drawn.map_or(Spread::new(None, 0, None), |_| spread(project, part));
            let mut arrival = Arrival {
                part: at,
                basis,
                dice: (!spread.is_fixed()).then(|| Dice::of(spread)),
                unit: counted.map_or(LeadUnit::Days, |lead| in_days(lead).unit),
                likely: counted.map_or(0, |lead| i64::from(in_days(lead).count)),
                supplier: own.supplier.map(|s| s as usize),
                placed: own.placed.is_some(),
                overdue: own.overdue,
                phase,
                indices: Vec::new(),
                least: spread.min,
            };
            if drawn.is_none() || spread.is_fixed() {
                arrival.least = arrival.likely;
            }
            if basis != Basis::Tied {
                let most = if spread.is_fixed() { arrival.least } else { spread.max };
                all.latest = all.latest.max(arrival.day(days, figures.as_of, most, WEEK));
                let few = !matches!(arrival.dice, Some(Dice::Wide(_)));
                let last = if few { most } else { arrival.least - 1 };
                let index = |value, wait| days.work().index(arrival.day(days, figures.as_of, value, wait));
                arrival.indices =
                    (arrival.least..=last).map(|value| [index(value, 0), index(value, WEEK)]).collect();
            }
            all.place[at] = all.list.len();
            all.list.push(arrival);
        }
        let own = |place: usize| all.list[place].phase.filter(|_| all.list[place].basis != Basis::Tied);
        let mut held: Vec<(usize, usize)> =
            (0..all.list.len()).filter_map(|place| Some((own(place)?, place))).collect();
        held.sort_unstable();
        all.ranges = vec![(0, 0); phases];
        for (n, (phase, _)) in held.iter().enumerate() {
            let Some(range) = all.ranges.get_mut(*phase) else { continue };
            *range = if range.1 == 0 { (n, n + 1) } else { (range.0, n + 1) };
        }
        let one = |(_, place): (usize, usize)| {
            let own = &figures.parts[all.list[place].part];
            Held { place, at: own.at, hold: own.hold }
        };
        all.held = held.into_iter().map(one).collect();
        all
    }

    /// The place of the part at a position.
    pub(super) fn place(&self, part: usize) -> Option<usize> {
        self.place.get(part).copied().filter(|at| *at != NOWHERE)
    }

    /// The places of the parts that hold a phase by themselves, but for those that are ordered only after another.
    pub(super) fn of(&self, phase: usize) -> &[Held] {
        let (from, to) = self.ranges[phase];
        &self.held[from..to]
    }
}

impl Arrival {
    /// The working-day index on which it comes with a lead time that was drawn, or a week later where that is asked.
    pub(super) fn index(&self, days: &Days, as_of: Day, drawn: i64, later: bool) -> i32 {
        let at = usize::try_from(drawn - self.least).ok();
        match at.and_then(|at| self.indices.get(at)) {
            Some(known) => known[usize::from(later)],
            None => days.work().index(self.day(days, as_of, drawn, if later { WEEK } else { 0 })),
        }
    }

    /// The day on which one comes that is not tied, ordered so many days later.
    fn day(&self, days: &Days, as_of: Day, drawn: i64, wait: i32) -> Day {
        let desk = days.supplier(self.supplier);
        let lead = self.lead(drawn);
        let day = match self.basis {
            Basis::Fixed(day) => return day,
            Basis::Tied => return as_of,
            Basis::Ordered(on) => desk.arrival(on.plus(if self.placed { 0 } else { wait }), lead),
            Basis::Promised(day) => {
                let moved = i32::try_from(drawn - self.likely).unwrap_or(0);
                let other = match self.unit {
                    LeadUnit::Working => desk.order.offset_index(day, moved),
                    LeadUnit::Days | LeadUnit::Weeks => day.plus(moved),
                };
                // The day that was promised is kept as it was said.
                match moved {
                    0 => day,
                    _ if moved < 0 => desk.receive.roll_forward(other).min(day),
                    _ => desk.receive.roll_forward(other).max(day),
                }
            }
        };
        if self.placed && self.overdue {
            day.max(desk.next_receiving(as_of))
        } else if self.placed && day < as_of {
            desk.next_receiving(as_of)
        } else {
            day
        }
    }

    /// A lead time that was drawn.
    pub(super) fn lead(&self, drawn: i64) -> Lead {
        Lead { count: u32::try_from(drawn).unwrap_or(0), unit: self.unit }
    }
}

/// What its day hangs on; `None` where nothing says when it comes.
fn basis(figures: &Figures, part: &Part, own: &PartFigures, at: usize, earliest: Day) -> Option<Basis> {
    if let Some(tie) = figures.ties.of(at) {
        return (tie.lead.is_some() && !tie.circle).then_some(Basis::Tied);
    }
    let expected = own.expected?;
    if own.on_site {
        return Some(Basis::Fixed(expected));
    }
    let said = own.was_expected.unwrap_or(expected);
    let ordered = AsOf::of(part, figures.as_of).ordered_on;
    Some(match ordered {
        // What is still to come of a part is taken for promised.
        _ if figures.deliveries.of(at).is_some() => Basis::Promised(said),
        Some(_) if part.promised_on.is_some() => Basis::Promised(said),
        Some(on) => Basis::Ordered(Day::from(on)),
        None => Basis::Ordered(earliest),
    })
}

/// The lead times a part may have, weeks as days: those that were said, else those typical of its kind.
pub(super) fn spread(project: &Project, part: &Part) -> Spread {
    let count = |lead: Lead| i64::from(in_days(lead).count);
    let of = |count_: Option<u32>| count_.map(|n| count(Lead { count: n, unit: part.lead_unit }));
    match (Lead::of(part), lead::typical(project, part)) {
        (Some(likely), _) => Spread::new(of(part.lead_min), count(likely), of(part.lead_max)),
        (None, Some(typical)) => {
            Spread::new(Some(count(typical.shortest)), count(typical.likely), Some(count(typical.longest)))
        }
        (None, None) => Spread::new(None, 0, None),
    }
}

/// The same lead time with weeks as days.
pub(super) fn in_days(lead: Lead) -> Lead {
    match lead.unit {
        LeadUnit::Weeks => Lead { count: lead.count.saturating_mul(7), unit: LeadUnit::Days },
        LeadUnit::Days | LeadUnit::Working => lead,
    }
}

/// By part: whether a gate waits for it.
fn gated(figures: &Figures) -> Vec<bool> {
    let mut gated = vec![false; figures.parts.len()];
    for missing in figures.gates.iter().flat_map(|gate| &gate.missing).filter(|m| !m.circle) {
        if let Lack::Part(part, _) = missing.what {
            gated[part.at] = true;
        }
        missing.candidates().iter().for_each(|part| gated[*part] = true);
    }
    gated
}
