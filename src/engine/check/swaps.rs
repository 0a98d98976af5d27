//! Checks of returns, of what goes with what, and of parts behind closed walls.

use super::Found;
use crate::engine::fits::{self, Fit};
use crate::engine::parts::PartFigures;
use crate::engine::returns::{ReturnFigures, Terms};
use crate::engine::walls::Walls;
use crate::model::facts::{Rule, RuleOf, RuleWith};
use crate::model::words::count;
use crate::model::{Money, Part, ReturnState, Selection, Severity, Subject};

/// Days before the last day to send something back from which it is pressing.
const PRESSING: i32 = 14;

impl Found<'_> {
    /// An ordered part that counts for nothing any more: to be decided, to be sent, or lost in the rows.
    pub(super) fn not_wanted(&mut self, part: &Part, name: &str, at: usize) {
        let (project, figures) = (self.project, self.figures);
        let f = &figures.parts[at];
        let subject = Subject::Part(part.id);
        let Some(settled) = figures.returns.of(at) else {
            let terms = figures.terms(project, at, None, figures.as_of);
            let message = format!(
                "{name} is ordered but its option is not the choice; choose it, or say what becomes of it: {}",
                self.way_back(&terms)
            );
            self.add(Severity::Warning, "ordered_not_chosen", subject, &part.key, message);
            return;
        };
        match settled.state {
            ReturnState::ToDecide => {
                let message = format!(
                    "{name} is no longer wanted; decide what becomes of it: {}",
                    self.way_back(&settled.terms)
                );
                let severity = if settled.terms.in_time { Severity::Warning } else { Severity::Note };
                self.add(severity, "return_to_decide", subject, &part.key, message);
            }
            ReturnState::GoingBack => self.going_back(part, name, settled),
            ReturnState::WentBack if project.returns.get(settled.at).is_some_and(|r| r.credit.is_none()) => {
                let currency = project.settings.currency;
                let (off, back) = (settled.terms.given_back, settled.expected_back());
                let [off, expected] = [off, back].map(|m| format!("{} {currency}", m.to_plain(currency)));
                let message = match (settled.terms.came, back.is_zero()) {
                    // Of a cancelled order only money that was paid can come back.
                    (false, true) => return,
                    (_, true) => format!("{off} is to be taken off the bill; note the credit when it comes"),
                    _ => format!(
                        "{off} is to be taken off the bill, {expected} of it was paid and is expected back; note the credit when it comes"
                    ),
                };
                let message = format!("{name} {}; {message}", settled.words());
                self.add(Severity::Note, "credit_awaited", subject, &part.key, message);
            }
            ReturnState::WentBack | ReturnState::Kept | ReturnState::WrittenOff => {}
        }
        let credit = project.returns.get(settled.at).and_then(|r| r.credit);
        let most = if settled.terms.came { settled.terms.full } else { f.paid };
        if let Some(credit) = credit.filter(|c| *c > most) {
            let currency = project.settings.currency;
            let message = format!(
                "the credit of {} {currency} for {name} is more than the {} it can be; check both",
                credit.to_plain(currency),
                most.to_plain(currency)
            );
            self.add(Severity::Warning, "credit_too_large", subject, &part.key, message);
        }
    }

    fn going_back(&mut self, part: &Part, name: &str, settled: &ReturnFigures) {
        let subject = Subject::Part(part.id);
        let terms = &settled.terms;
        let left = terms.days_left(self.figures.as_of);
        let (severity, code, message) = match (terms.came, left) {
            (false, _) => (
                Severity::Warning,
                "return_cancel",
                format!("cancel the order of {name}, then mark it cancelled"),
            ),
            (true, Some(days)) if days < 0 => {
                let message = format!(
                    "{name} is to go back, but the last day for it was {}; ask for a credit and note it, else keep it or write it off",
                    self.figures.as_of.plus(days)
                );
                (Severity::Warning, "return_too_late", message)
            }
            (true, Some(days)) => {
                let message = format!(
                    "send {name} back by {}, {} left",
                    self.figures.as_of.plus(days),
                    count(days, "day")
                );
                let severity = if days <= PRESSING { Severity::Warning } else { Severity::Note };
                (severity, "return_send", message)
            }
            (true, None) => (
                Severity::Note,
                "return_send",
                format!("send {name} back; ask the supplier for the last day"),
            ),
        };
        self.add(severity, code, subject, &part.key, message);
    }

    /// What can still be done with a part, in words.
    fn way_back(&self, terms: &Terms) -> String {
        let currency = self.project.settings.currency;
        let back = terms.given_back.to_plain(currency);
        if !terms.came {
            let rest = if terms.rest_costs > Money::ZERO {
                let costs = terms.rest_costs.to_plain(currency);
                format!(" and costs {costs} {currency} more for the rest of the order")
            } else {
                String::new()
            };
            return format!(
                "cancelling the order loses {} {currency} of the deposit{rest}; or keep it",
                terms.deposit_lost.to_plain(currency)
            );
        }
        let built_in = if terms.built_in { "it is built in; " } else { "" };
        match terms.days_left(self.figures.as_of) {
            Some(days) if days < 0 => format!(
                "{built_in}the last day to send it back was {}, so nothing is counted for it; keep it or write it off, or note a credit",
                self.figures.as_of.plus(days)
            ),
            Some(days) => format!(
                "{built_in}send it back by {}, {} left, for {back} {currency} after {} restocking; or keep it or write it off",
                self.figures.as_of.plus(days),
                count(days, "day"),
                terms.restocking.to_plain(currency)
            ),
            None => format!(
                "{built_in}send it back for {back} {currency} after {} restocking, ask for the last day; or keep it or write it off",
                terms.restocking.to_plain(currency)
            ),
        }
    }

    /// A return of what counts again.
    pub(super) fn wanted_again(&mut self, part: &Part, name: &str) {
        let Some(r) = self.project.returns.iter().find(|r| r.part == part.id) else { return };
        let words = r.state.words(part.is_on_site());
        let message = if r.is_gone() {
            format!(
                "{name} {words}, yet its option counts again; make a swap so that it is bought again, or forget the return"
            )
        } else {
            format!("{name} has a return ({words}), yet its option counts again; forget the return")
        };
        self.add(Severity::Warning, "return_of_choice", Subject::Part(part.id), &part.key, message);
    }

    /// A part that counts, is not in the wall, and whose wall is closed. True when that was said.
    pub(super) fn closed_in(&mut self, walls: &Walls, part: &Part, name: &str) -> bool {
        if part.installed_on.is_some() {
            return false;
        }
        let Some(cover) = walls.closed_by(self.project, part) else { return false };
        let day = cover.finished_on().map_or(String::new(), |d| format!(" on {d}"));
        let on_site = self.figures.part(part.id).map_or(part.is_on_site(), |f| f.on_site);
        let (severity, what) = if on_site {
            (Severity::Warning, "is on site but not noted as built in")
        } else {
            (Severity::Error, "has not come")
        };
        let message = format!(
            "{name} {what}, and {} closed its wall{day}; note the day it was built in, or price opening and closing the wall again as an extra and give the part the phase in which that is done",
            cover.name
        );
        self.add(severity, "closed_in", Subject::Part(part.id), &part.key, message);
        true
    }

    /// What the rules say of what counts.
    pub(super) fn fits(&mut self) {
        let project = self.project;
        for verdict in fits::verdicts(project) {
            let rule = &project.rules[verdict.rule];
            let names: Vec<&str> = verdict
                .selections
                .iter()
                .filter_map(|id| project.selection(*id))
                .map(|s| s.name.as_str())
                .collect();
            let about = verdict.selections.first().and_then(|id| project.selection(*id));
            let (subject, key) = about.map_or((Subject::Project, rule.key.as_str()), |s| {
                (Subject::Selection(s.id), s.key.as_str())
            });
            let both = names.join(" and ");
            let why = if rule.why.is_empty() { String::new() } else { format!(" ({})", rule.why) };
            let words = &verdict.words;
            let (severity, code, message) = match verdict.outcome {
                Fit::Fits => continue,
                Fit::DoesNotFit => {
                    let ordered =
                        verdict.selections.iter().filter_map(|id| project.selection(*id)).any(has_ordered);
                    let severity = if ordered { Severity::Error } else { Severity::Warning };
                    let fit = if names.len() > 1 { "do not go together" } else { "does not fit" };
                    let act = if ordered { "before more is ordered" } else { "before it is ordered" };
                    let text =
                        format!("{}: {both} {fit}{why}: {words}; choose another option {act}", rule.name);
                    (severity, "misfit", text)
                }
                Fit::NoMeasure => (
                    Severity::Warning,
                    "no_measure",
                    format!(
                        "{}: {words} cannot be compared; state both in units of the same kind",
                        rule.name
                    ),
                ),
                Fit::NotKnown => (
                    Severity::Note,
                    "fact_missing",
                    format!("{}: not known for {both}: {words}; state the fact{}", rule.name, fact_of(rule)),
                ),
            };
            self.add(severity, code, subject, key, message);
        }
    }
}

fn has_ordered(selection: &Selection) -> bool {
    selection.live_option().is_some_and(|o| o.parts.iter().any(Part::is_ordered))
}

fn fact_of(rule: &Rule) -> String {
    match (&rule.of, &rule.with) {
        (RuleOf::Selection(_), Some(RuleWith::Fact(_, other))) if other != &rule.fact => {
            format!("s {} and {other} on the options", rule.fact)
        }
        _ => format!(" {} on the option", rule.fact),
    }
}

/// Whether a part that is not live counts all the same.
pub(super) fn is_loose(f: &PartFigures) -> bool {
    !f.live && f.placed.is_some()
}
