//! What picks come to in days: one pass of the forecast, in which phases that they wait for may be taken as given.

use super::scene::{Open, Pick, Scene};
use crate::engine::calendar::Day;
use crate::engine::forecast::{Facts, Forecast};
use crate::engine::gates::{self, GateFigures, Lack, Missing};
use crate::engine::network::Progress;
use crate::engine::order_after::{Desk, Tie, Ties};
use crate::model::{LinkKind, Presence};
use std::ops::Range;

/// What picks come to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reach {
    /// The last day of the house.
    pub finish: Day,
    /// The last days of the phases asked for; `None` of one without dates.
    pub ends: Vec<Option<Day>>,
}

impl<'a> Scene<'a> {
    fn put(&mut self, n: usize, pick: Pick, live: bool) {
        let Some(option) = self.option(n, pick) else { return };
        let open = &self.open[n];
        let range = open.parts[option].clone();
        for at in range.clone() {
            self.parts[at].live = live;
        }
        for tie in self.ties.iter_mut().filter(|tie| range.contains(&tie.part)) {
            tie.live = live;
        }
        let id = self.project.selections[open.at].options[option].id;
        self.selections[open.at].live = live.then_some(id);
    }

    /// The finish with some picks, and as if nobody waited for the other open selections.
    pub fn finish(&mut self, picks: &[(usize, Pick)]) -> Day {
        self.reach(picks, &[]).finish
    }

    /// The same with the last days of some phases, by position.
    pub fn reach(&mut self, picks: &[(usize, Pick)], phases: &[usize]) -> Reach {
        picks.iter().for_each(|(n, pick)| self.put(*n, *pick, true));
        let desk = self.desk();
        let forecast = self.forecast(picks);
        let finish = forecast.finish(desk).unwrap_or(self.now);
        let ends = phases.iter().map(|phase| forecast.last(desk, *phase)).collect();
        picks.iter().for_each(|(n, pick)| self.put(*n, *pick, false));
        Reach { finish, ends }
    }

    fn desk(&self) -> Desk<'a> {
        Desk { project: self.project, plan: &self.figures.plan, days: &self.figures.days }
    }

    fn forecast(&self, picks: &[(usize, Pick)]) -> Forecast {
        let (ties, mut gates) = self.gates(picks);
        if !self.given.is_empty() {
            gates.iter_mut().flat_map(|gate| &mut gate.missing).for_each(|missing| self.give(missing));
        }
        Forecast::new(&Facts { desk: self.desk(), parts: &self.parts, ties: &ties, gates: &gates })
    }

    /// What is to be built in by a phase whose last day is given comes then, however that phase stands in the pass.
    fn give(&self, missing: &mut Missing) {
        if let Some(phase) = self.built_in_by(missing)
            && let Some((_, last)) = self.given.iter().find(|(own, _)| *own == phase)
        {
            let times = self.figures.plan.network.times();
            let none = times.durations[phase] == 0 && matches!(times.progress[phase], Progress::Ahead { .. });
            missing.what = Lack::Word;
            missing.expected = missing.expected.max(Some(if none { *last } else { last.plus(1) }));
        }
    }

    /// The phase that is to build in a part of something open that a gate misses.
    fn built_in_by(&self, missing: &Missing) -> Option<usize> {
        let Lack::Part(part, Presence::BuiltIn) = missing.what else { return None };
        let own = &self.parts[part.at];
        own.phase.map(|phase| phase as usize).filter(|_| self.place[own.selection as usize].is_some())
    }

    /// The ties and the gates of some picks.
    fn gates(&self, picks: &[(usize, Pick)]) -> (Ties, Vec<GateFigures>) {
        let (project, figures, desk) = (self.project, self.figures, self.desk());
        let ties = Ties::new(self.ties.clone(), &figures.plan.network);
        let mut gates = gates::read(&gates::Facts {
            project,
            index: &figures.index,
            selections: &self.selections,
            parts: &self.parts,
            ties: &ties,
            work: desk.work(),
            as_of: figures.as_of,
        });
        for gate in &mut gates {
            gate.missing.retain(|missing| {
                let selection = match missing.what {
                    Lack::Part(part, _) => self.parts[part.at].selection as usize,
                    Lack::Choice(selection) => selection,
                    Lack::Phase(_) | Lack::Word => return true,
                };
                self.place[selection].is_none_or(|own| picks.iter().any(|(n, _)| *n == own))
            });
        }
        (ties, gates)
    }

    /// Positions of the parts by which a pick may hold something: its own, and those of all candidates where nothing
    /// counts, since a gate waits for the quickest of them.
    fn holding(&self, n: usize, pick: Pick) -> Range<usize> {
        let open = &self.open[n];
        let all =
            || open.parts.first().map_or(0..0, |first| first.start..open.parts[open.parts.len() - 1].end);
        self.option(n, pick).map_or_else(all, |option| open.parts[option].clone())
    }

    /// Positions of the unfinished phases that a pick waits for: those after which its parts are ordered, and those that
    /// build in what a gate wants of it where the phase of the gate does not wait for them anyway.
    pub fn waits_for(&mut self, n: usize, pick: Pick) -> Vec<usize> {
        let own = self.holding(n, pick);
        let after = self.ties.iter().filter(|tie| own.contains(&tie.part)).map(|tie| tie.after);
        let mut phases: Vec<usize> = after.collect();
        self.put(n, pick, true);
        let gates = self.gates(&[(n, pick)]).1;
        self.put(n, pick, false);
        for gate in &gates {
            for missing in gate.missing.iter().filter(|missing| !missing.circle) {
                let by = self.built_in_by(missing);
                phases.extend(by.filter(|by| gate.phase.is_some_and(|gated| !self.follows(gated, *by))));
            }
        }
        phases.retain(|phase| self.project.phases[*phase].finished_on().is_none());
        phases.sort_unstable();
        phases.dedup();
        phases
    }

    /// Whether links let a phase begin only when another is finished.
    fn follows(&self, phase: usize, other: usize) -> bool {
        let project = self.project;
        let ahead = |at: &usize| {
            let own = &project.phases[*at];
            own.actual_start.is_none() && own.finished_on().is_none()
        };
        let (mut seen, mut open) = (vec![false; project.phases.len()], vec![phase]);
        while let Some(at) = open.pop() {
            if at == other {
                return true;
            }
            if std::mem::replace(&mut seen[at], true) || !ahead(&at) {
                continue;
            }
            let id = project.phases[at].id;
            let into = project.links.iter().filter(|l| l.after == id && l.kind == LinkKind::FS && l.lag >= 0);
            open.extend(into.filter_map(|link| project.phase_at(link.before)));
        }
        false
    }

    /// What a pick alone comes to if the phases it waits for had their last days when `after` says.
    pub fn reach_after(&mut self, n: usize, pick: Pick, after: &[(usize, Day)], phases: &[usize]) -> Reach {
        let own = self.holding(n, pick);
        let desk = self.desk();
        let ties = self.ties.clone();
        let last = |tie: &Tie| {
            let known = after.iter().find(|(phase, _)| *phase == tie.after);
            known.filter(|_| own.contains(&tie.part)).map(|(_, last)| *last)
        };
        self.ties.retain(|tie| last(tie).is_none());
        for (tie, last) in ties.iter().filter_map(|tie| Some((tie, last(tie)?))) {
            self.parts[tie.part].expected = desk.coming_after(tie, last).arrival;
        }
        self.given = after.to_vec();
        let reach = self.reach(&[(n, pick)], phases);
        self.given.clear();
        for tie in ties.iter().filter(|tie| last(tie).is_some()) {
            self.parts[tie.part].expected = None;
        }
        self.ties = ties;
        reach
    }

    /// Whether what the candidates are ordered after would wait for each other in a circle, were all of them there at once.
    pub fn goes_round(&self) -> bool {
        let picked = |open: &'_ Open| -> Vec<Range<usize>> {
            open.variants.iter().flatten().map(|option| open.parts[*option].clone()).collect()
        };
        let own: Vec<Range<usize>> = self.open.iter().flat_map(picked).collect();
        let mut ties = self.ties.clone();
        for tie in &mut ties {
            tie.live |= own.iter().any(|range| range.contains(&tie.part));
        }
        Ties::new(ties, &self.figures.plan.network)
            .iter()
            .any(|tie| tie.circle && own.iter().any(|range| range.contains(&tie.part)))
    }
}
