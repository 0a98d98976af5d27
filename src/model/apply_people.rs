//! Applying changes of crews, bookings, bids, permits, changes of the work, draws and risks.

use super::apply::{ActionError, put, refuse, remove};
use super::budget::Quote;
use super::change::Change;
use super::crew::Crew;
use super::draw::Draw;
use super::ids::*;
use super::permit::Permit;
use super::phase::Phase;
use super::project::Project;
use super::risk::Risk;
use super::validate::Checked;
use super::visit::{Attempt, Missed};
use super::words::counted;
use chrono::NaiveDate;
use std::sync::Arc;

impl Project {
    pub(super) fn put_crew(&mut self, crew: &Crew) -> Result<(), ActionError> {
        crew.check()?;
        self.claim(crew.id.0, self.crew(crew.id).is_some())?;
        put(&mut self.crews, crew.clone())
    }

    /// Removes a crew that no phase, no quote and nothing on the punch list names.
    pub(super) fn remove_crew(&mut self, id: CrewId) -> Result<(), ActionError> {
        let phases = self.phases.iter().filter(|p| p.crew == Some(id)).count();
        let quotes = self.quotes.iter().filter(|q| q.crew == Some(id)).count();
        let punch = self.punch.iter().filter(|p| p.crew == Some(id)).count();
        let named = [(phases, "phase", "phases"), (quotes, "bid", "bids")];
        let named = named.into_iter().chain([(punch, "thing on the punch list", "things on the punch list")]);
        let named: Vec<String> =
            named.filter(|(n, ..)| *n > 0).map(|(n, one, many)| counted(n, one, many)).collect();
        if !named.is_empty() {
            let verb = if phases + quotes + punch == 1 { "names" } else { "name" };
            return refuse(format!("{} {verb} this crew; give them another first", named.join(", ")));
        }
        remove(&mut self.crews, id)
    }

    pub(super) fn put_permit(&mut self, permit: &Permit) -> Result<(), ActionError> {
        permit.check_in(self)?;
        self.claim(permit.id.0, self.permits.iter().any(|known| known.id == permit.id))?;
        put(&mut self.permits, permit.clone())
    }

    pub(super) fn put_change(&mut self, change: &Change) -> Result<(), ActionError> {
        change.check_in(self)?;
        self.claim(change.id.0, self.changes.iter().any(|known| known.id == change.id))?;
        put(&mut self.changes, change.clone())
    }

    /// Notes who agreed to a change and when, or takes that back.
    pub(super) fn agree(
        &mut self,
        id: ChangeId,
        agreed: Option<&(String, NaiveDate)>,
    ) -> Result<(), ActionError> {
        let Some(mut change) = self.change(id).cloned() else {
            return Err(ActionError::Gone("change"));
        };
        change.agreed_by = agreed.map_or(String::new(), |(who, _)| who.clone());
        change.agreed_on = agreed.map(|(_, on)| *on);
        self.put_change(&change)
    }

    pub(super) fn put_draw(&mut self, draw: &Draw) -> Result<(), ActionError> {
        draw.check_in(self)?;
        self.claim(draw.id.0, self.draws.iter().any(|known| known.id == draw.id))?;
        put(&mut self.draws, draw.clone())
    }

    pub(super) fn put_risk(&mut self, risk: &Risk) -> Result<(), ActionError> {
        risk.check_in(self)?;
        self.claim(risk.id.0, self.risks.iter().any(|known| known.id == risk.id))?;
        put(&mut self.risks, risk.clone())
    }

    /// The crew of a phase that is put must be there.
    pub(super) fn knows_crew_of(&self, phase: &Phase) -> Result<(), ActionError> {
        if phase.crew.is_some_and(|id| self.crew(id).is_none()) {
            return refuse("the phase names a crew that is not in the project");
        }
        Ok(())
    }

    /// Notes that the crews of phases were told on a day when they start. What they confirmed of another start holds no
    /// longer.
    pub(super) fn mark_told(
        &mut self,
        starts: &[(PhaseId, NaiveDate)],
        on: NaiveDate,
    ) -> Result<(), ActionError> {
        for (id, start) in starts {
            self.edit_phase(*id, |p| {
                if p.expected_start(on) != Some(*start) {
                    p.confirmed_on = None;
                }
                (p.told_on, p.told_start) = (Some(on), Some(*start));
            })?;
        }
        Ok(())
    }

    /// Books the crew of a phase from a day on, or takes the booking back; what it was told before holds no longer.
    pub(super) fn book(&mut self, id: PhaseId, from: Option<NaiveDate>) -> Result<(), ActionError> {
        self.edit_phase(id, |p| {
            p.booked_from = from;
            (p.confirmed_on, p.told_on, p.told_start) = (None, None, None);
        })
    }

    /// Notes a day on which the crew of a phase did not come; another note of the same day goes.
    pub(super) fn mark_missed(&mut self, id: PhaseId, missed: &Missed) -> Result<(), ActionError> {
        self.edit_phase(id, |p| {
            p.missed.retain(|known| known.date != missed.date);
            p.missed.push(missed.clone());
            p.missed.sort_by_key(|m| m.date);
        })
    }

    /// Records a visit, made or booked. A visit that was made takes the place of those booked up to its day; a visit that
    /// is booked takes the place of any other that is.
    pub(super) fn record_attempt(&mut self, id: PhaseId, attempt: &Attempt) -> Result<(), ActionError> {
        self.edit_phase(id, |p| {
            let made = !attempt.booked;
            p.attempts
                .retain(|known| !known.booked || (made && known.date > attempt.date && !attempt.passed));
            p.attempts.push(attempt.clone());
            p.attempts.sort_by_key(|a| a.date);
        })
    }

    /// Accepts a quote. Others for the same scope are no longer accepted; its phases that have not begun get its crew, and
    /// the first of them its start, and its days where it covers one phase alone.
    pub(super) fn accept(&mut self, id: QuoteId) -> Result<(), ActionError> {
        let Some(quote) = self.quote(id).cloned() else { return Err(ActionError::Gone("bid")) };
        let before = self.rival_accepted(&quote).cloned();
        put(&mut self.quotes, Quote { accepted: true, ..quote.clone() })?;
        self.accept_only(&quote);
        let phases: Vec<PhaseId> = quote.phases().collect();
        let ahead = |p: &Phase| p.actual_start.is_none() && p.finished_on().is_none();
        let first = phases.iter().find(|id| self.phase(**id).is_some_and(ahead)).copied();
        for id in &phases {
            if !self.phase(*id).is_some_and(ahead) {
                continue;
            }
            self.edit_phase(*id, |p| {
                if quote.crew.is_some() && p.crew != quote.crew {
                    // Another crew knows nothing yet.
                    (p.booked_from, p.confirmed_on, p.told_on, p.told_start) = (None, None, None, None);
                    p.crew = quote.crew;
                }
                if first == Some(*id) {
                    // The start of the one accepted before goes with it; a day of the user's own stays.
                    let old = before.as_ref().and_then(|b| b.starts_on);
                    let own = p.not_before.filter(|day| Some(*day) != old);
                    p.not_before = own.max(quote.starts_on);
                }
                if phases.len() == 1
                    && let Some(days) = quote.days
                {
                    p.days = Some(days);
                    // The shortest and the longest stay only around it.
                    p.days_min = p.days_min.filter(|min| *min <= days);
                    p.days_max = p.days_max.filter(|max| *max >= days);
                }
            })?;
        }
        Ok(())
    }

    /// The quote for the same scope that is accepted so far.
    fn rival_accepted(&self, quote: &Quote) -> Option<&Quote> {
        self.quotes.iter().find(|other| other.accepted && other.competes_with(quote))
    }

    /// Takes phases and gates that are gone out of what names them.
    pub(super) fn prune_people(&mut self) {
        let phases: std::collections::HashSet<PhaseId> = self.phases.iter().map(|p| p.id).collect();
        let gates: std::collections::HashSet<GateId> = self.gates.iter().map(|g| g.id).collect();
        let gone = |id: Option<PhaseId>| id.is_some_and(|id| !phases.contains(&id));
        if self.permits.iter().any(|p| p.phases.iter().any(|id| gone(Some(*id)))) {
            Arc::make_mut(&mut self.permits).iter_mut().for_each(|p| p.phases.retain(|id| !gone(Some(*id))));
        }
        if self.changes.iter().any(|c| gone(c.phase)) {
            Arc::make_mut(&mut self.changes)
                .iter_mut()
                .filter(|c| gone(c.phase))
                .for_each(|c| c.phase = None);
        }
        if self.quotes.iter().any(|q| q.installments.iter().any(|i| gone(i.phase))) {
            let installments = Arc::make_mut(&mut self.quotes).iter_mut().flat_map(|q| &mut q.installments);
            installments.filter(|i| gone(i.phase)).for_each(|i| (i.phase, i.at) = (None, None));
        }
        let lost = |d: &Draw| gone(d.phase) || d.gate.is_some_and(|id| !gates.contains(&id));
        if self.draws.iter().any(lost) {
            Arc::make_mut(&mut self.draws)
                .iter_mut()
                .filter(|d| lost(d))
                .for_each(|d| (d.phase, d.gate) = (None, None));
        }
        if self.risks.iter().any(|r| gone(r.phase)) {
            // Days without a phase would be nobody's; the money stays.
            Arc::make_mut(&mut self.risks).iter_mut().filter(|r| gone(r.phase)).for_each(|r| {
                (r.phase, r.days_min, r.days_likely, r.days_max) = (None, None, None, None);
            });
        }
    }

    pub(super) fn is_taken_by_people(&self, id: u32) -> bool {
        self.crew(CrewId(id)).is_some()
            || self.permits.iter().any(|p| p.id.0 == id)
            || self.changes.iter().any(|c| c.id.0 == id)
            || self.draws.iter().any(|d| d.id.0 == id)
            || self.risks.iter().any(|r| r.id.0 == id)
    }
}

/// Checks crews, permits, changes, draws and risks of a document, and the crews that phases name.
pub fn check_people(project: &Project, check: &mut impl FnMut(&'static str, u32, &str, Checked)) {
    project.crews.iter().for_each(|c| check("crew", c.id.0, &c.key, c.check()));
    project.permits.iter().for_each(|p| check("permit", p.id.0, &p.key, p.check_in(project)));
    project.changes.iter().for_each(|c| check("change", c.id.0, &c.key, c.check_in(project)));
    project.draws.iter().for_each(|d| check("draw", d.id.0, &d.key, d.check_in(project)));
    project.risks.iter().for_each(|r| check("risk", r.id.0, &r.key, r.check_in(project)));
}
