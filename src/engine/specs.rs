//! The first of the two lines of a choice: by when it must be known, and for whom.
//!
//! A spec is to be known at the start of the phase that waits for it, as the plan has it, or when the part that waits for
//! it is ordered, less the working days wanted before that. Once it is told it is satisfied, whatever is chosen later; a
//! choice that says otherwise is named.
#![doc = include_str!("../../assets/manual/specs.md")]

use super::calendar::{Calendar, Day};
use super::figures::Figures;
use super::index::Index;
use super::parts::{PartFigures, SelectionFigures};
use super::plan::Plan;
use crate::model::facts::{FactValue, named};
use crate::model::{Project, Selection, SelectionOption, Spec};

pub use super::parts::{Decide, DecideFor};

/// What waits for a spec, by position.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WaitsFor {
    /// The start of a phase.
    Phase(usize),
    /// The order of a part.
    Part(usize),
}

/// How a choice contradicts what was told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Contradiction {
    /// It states another value.
    Says(FactValue),
    /// What was told was told of another option, and nothing says whether it holds for this one.
    Other,
}

/// What the days of specs hang on.
pub struct Facts<'a> {
    /// The document.
    pub project: &'a Project,
    /// Positions by number.
    pub index: &'a Index,
    /// The plan.
    pub plan: &'a Plan,
    /// The working days of the house.
    pub work: Calendar<'a>,
    /// All parts.
    pub parts: &'a [PartFigures],
    /// All selections.
    pub selections: &'a [SelectionFigures],
    /// The as-of day.
    pub as_of: Day,
}

impl Facts<'_> {
    /// What waits for a spec, and the day it is to be known. No day where the phase has none, or nobody has said when the
    /// part is to be ordered.
    pub fn known_by(&self, spec: &Spec) -> Option<(WaitsFor, Option<Day>)> {
        let (waits, day) = match (spec.phase, spec.part) {
            (Some(id), _) => {
                let at = self.project.phase_at(id)?;
                let early = self.plan.early.get(at).copied().flatten();
                let phase = &self.project.phases[at];
                let first = early.map(|e| self.plan.shown(self.work, at, phase, e.start, e.finish).0);
                (WaitsFor::Phase(at), first)
            }
            (None, Some(id)) => {
                let at = self.stand_in(self.index.of(id.0)?);
                (WaitsFor::Part(at), ordered_on(self.parts.get(at)?))
            }
            (None, None) => return None,
        };
        let before = i32::try_from(spec.days_before).unwrap_or(i32::MAX);
        let known =
            |day: Day| if before == 0 { day } else { self.work.offset_index(day, before.saturating_neg()) };
        Some((waits, day.map(known)))
    }

    /// The first day by which something of a selection must be known that nobody was told.
    pub fn first_open(&self, selection: &Selection) -> Option<Day> {
        let open = selection.specs.iter().filter(|spec| spec.is_open());
        open.filter_map(|spec| self.known_by(spec).and_then(|(_, day)| day)).min()
    }

    /// The part that is ordered in the place of one: where another option of its selection counts, the first of its parts
    /// to be ordered.
    fn stand_in(&self, at: usize) -> usize {
        let Some(f) = self.parts.get(at).filter(|f| !f.live) else { return at };
        let Some(selection) = self.selections.get(f.selection as usize) else { return at };
        let live = (selection.first_part..selection.end_part).filter(|at| self.parts[*at].live);
        live.min_by_key(|at| ordered_on(&self.parts[*at]).map_or((1, self.as_of), |day| (0, day)))
            .unwrap_or(at)
    }

    /// When a selection is to be decided: before the first of its specs that are not told, and while nothing is chosen
    /// before the first order-by of the candidates that can still be in time; where none can, on the as-of day.
    pub fn decide(&self, selection: &Selection, own: &SelectionFigures) -> Decide {
        // Most selections have nothing that must be known; their parts need no look.
        if selection.specs.is_empty() {
            return self.decide_by_order(own, Decide::default());
        }
        let parts = self.parts.get(own.first_part..own.end_part).unwrap_or(&[]);
        let live = || parts.iter().filter(|f| f.live);
        let mut decide = Decide::default();
        if live().next().is_some() && live().all(|f| f.built_in) {
            return decide;
        }
        for (at, spec) in selection.specs.iter().enumerate().filter(|(_, spec)| spec.is_open()) {
            decide.open += 1;
            let day = self.known_by(spec).and_then(|(_, day)| day);
            if day.is_some_and(|day| decide.by.is_none_or(|by| day < by)) {
                (decide.by, decide.reason) = (day, Some(DecideFor::Spec(at)));
            }
        }
        self.decide_by_order(own, decide)
    }

    /// The day of the order beside those that are known, while nothing is chosen.
    fn decide_by_order(&self, own: &SelectionFigures, mut decide: Decide) -> Decide {
        if !own.chosen {
            let order = own.order_by.map(|by| if own.days_in_hand >= Some(0) { by } else { self.as_of });
            if order.is_some_and(|day| decide.by.is_none_or(|by| day < by)) {
                (decide.by, decide.reason) = (order, Some(DecideFor::Order));
            }
        }
        decide
    }
}

/// The day a part was ordered, or is to be ordered by; by what is typical where nobody has said a lead time.
fn ordered_on(part: &PartFigures) -> Option<Day> {
    part.placed.or_else(|| part.due_to_order()).or(part.ask_by)
}

/// Notes by when selections are to be decided. While one is not, its days in hand are counted to that day where it is
/// sooner. Where a supplier is to be asked for a lead time sooner still, no days are in hand that anybody has said.
pub fn write(decided: Vec<Decide>, selections: &mut [SelectionFigures], as_of: Day) {
    for (selection, decide) in selections.iter_mut().zip(decided) {
        selection.decide = decide;
        let spec = matches!(decide.reason, Some(DecideFor::Spec(_)));
        let first = |by: &Day| *by < as_of || selection.ask_by.is_none_or(|ask| *by <= ask);
        let by = decide.by.filter(|by| spec && !selection.chosen && first(by));
        let days = by.map(|by| by.since(as_of));
        if days.is_some_and(|days| selection.days_in_hand.is_none_or(|known| days < known)) {
            (selection.days_in_hand, selection.order_by, selection.waits_from) = (days, decide.by, None);
        }
    }
}

impl Figures {
    /// What the days of specs hang on.
    pub fn spec_facts<'a>(&'a self, project: &'a Project) -> Facts<'a> {
        Facts {
            project,
            index: &self.index,
            plan: &self.plan,
            work: self.days.work(),
            parts: &self.parts,
            selections: &self.selections,
            as_of: self.as_of,
        }
    }
}

/// How an option contradicts what was told of its selection. `None` for what is not told, and where it says the same.
pub fn contradiction(spec: &Spec, option: &SelectionOption) -> Option<Contradiction> {
    spec.told_on?;
    let of_parts = option.parts.iter().flat_map(|p| named(&p.facts, &spec.fact));
    let stated: Vec<&FactValue> = named(&option.facts, &spec.fact).chain(of_parts).collect();
    if let Some(told) = spec.told.as_ref().filter(|_| !spec.fact.is_empty()) {
        if let Some(other) = stated.iter().find(|value| told.says_the_same(value) == Some(false)) {
            return Some(Contradiction::Says((*other).clone()));
        }
        if stated.iter().any(|value| told.says_the_same(value) == Some(true)) {
            return None;
        }
    }
    spec.told_for.filter(|id| *id != option.id).map(|_| Contradiction::Other)
}

/// How an option contradicts what was told, in words: `the electrician was told 40 A, and it says 50 A`.
pub fn contradiction_words(project: &Project, spec: &Spec, option: &SelectionOption) -> Option<String> {
    let who = if spec.told_to.is_empty() { "it was told as" } else { "was told" };
    let whom = if spec.told_to.is_empty() { String::new() } else { format!("{} ", spec.told_to) };
    Some(match contradiction(spec, option)? {
        Contradiction::Says(value) => {
            let told = spec.told.as_ref().map_or(String::new(), ToString::to_string);
            format!("{whom}{who} {told}, and {} says {value}; tell the change", option.name)
        }
        Contradiction::Other => {
            let of =
                spec.told_for.and_then(|id| project.option(id)).map_or("another option", |(_, o)| &o.name);
            format!(
                "{whom}{who} what holds for {of}; see whether it holds for {} too, and tell it",
                option.name
            )
        }
    })
}

/// The name of what waits for a spec: a phase, or the order of a part.
pub fn waits_words(project: &Project, figures: &Figures, waits: WaitsFor) -> String {
    match waits {
        WaitsFor::Phase(at) => project.phases.get(at).map_or(String::new(), |p| p.name.clone()),
        WaitsFor::Part(at) => {
            let name = super::effect::part_name(project, figures, at).unwrap_or_default();
            format!("the order of {name}")
        }
    }
}

/// What a selection is to be decided for, in words: `circuit and amperes, for Rough electrical`.
pub fn reason_words(project: &Project, figures: &Figures, own: &SelectionFigures) -> Option<String> {
    let selection = project.selection(own.id)?;
    match own.decide.reason? {
        DecideFor::Spec(at) => {
            let spec = selection.specs.get(at)?;
            let (waits, _) = figures.spec_facts(project).known_by(spec)?;
            Some(format!("{}, for {}", spec.what, waits_words(project, figures, waits)))
        }
        DecideFor::Order => {
            let parts = figures.parts_of(own).iter().enumerate();
            let open = parts.filter(|(_, f)| f.placed.is_none() && (f.live || own.live.is_none()));
            let first = open.filter(|(_, f)| f.order_by >= own.decide.by).min_by_key(|(_, f)| f.order_by)?;
            let name = super::effect::part_name(project, figures, own.first_part + first.0)?;
            Some(format!("the order of {name}"))
        }
    }
}
