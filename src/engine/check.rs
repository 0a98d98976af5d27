//! Checks: what is wrong with a project or will be, each with what to do.

use super::calendar::Day;
use super::compute::hold_of;
use super::figures::Figures;
use crate::model::phase::LinkKind;
use crate::model::validate::find_cycle;
use crate::model::{Money, Part, PhaseKind, Problem, Project, Selection, Severity, Subject};

/// Everything wrong or worth knowing, errors first, then in document order.
pub fn problems(project: &Project, figures: &Figures) -> Vec<Problem> {
    let mut found = Found { project, figures, problems: Vec::new() };
    found.circles();
    found.phases();
    found.out_of_sequence();
    found.suppliers();
    let mut at = 0;
    for selection in project.selections.iter() {
        found.decision(selection);
        for option in &selection.options {
            for part in &option.parts {
                found.part(selection, part, at);
                at += 1;
            }
        }
    }
    found.quotes();
    found.money();
    found.problems.sort_by_key(|p| std::cmp::Reverse(p.severity));
    found.problems
}

struct Found<'a> {
    project: &'a Project,
    figures: &'a Figures,
    problems: Vec<Problem>,
}

fn plural(n: i32, word: &str) -> String {
    if n == 1 { format!("1 {word}") } else { format!("{n} {word}s") }
}

impl Found<'_> {
    fn add(
        &mut self,
        severity: Severity,
        code: &'static str,
        subject: Subject,
        about: &str,
        message: String,
    ) {
        self.problems.push(Problem { severity, code, subject, about: about.to_owned(), message });
    }

    fn circles(&mut self) {
        let project = self.project;
        let edges: Vec<(usize, usize)> = project
            .links
            .iter()
            .filter_map(|l| {
                let position = |id: crate::model::PhaseId| project.phases.iter().position(|p| p.id == id);
                let pair = position(l.before).zip(position(l.after));
                if pair.is_none() {
                    self.add(
                        Severity::Error,
                        "missing_phase",
                        Subject::Link(l.id),
                        &format!("link {}", l.id.0),
                        "this link names a phase that is not in the project; remove the link or add the phase"
                            .to_owned(),
                    );
                }
                pair
            })
            .collect();
        let mut named = vec![false; project.phases.len()];
        while let Some(circle) =
            find_cycle(project.phases.len(), edges.iter().copied().filter(|(a, b)| !named[*a] && !named[*b]))
        {
            let keys: Vec<&str> = circle.iter().map(|i| project.phases[*i].key.as_str()).collect();
            let first = &project.phases[circle[0]];
            self.add(
                Severity::Error,
                "cycle",
                Subject::Phase(first.id),
                &first.key,
                format!(
                    "these phases wait for each other in a circle: {} > {}; remove one of the links between them",
                    keys.join(" > "),
                    keys[0]
                ),
            );
            circle.iter().for_each(|i| named[*i] = true);
        }
    }

    fn phases(&mut self) {
        let (project, figures) = (self.project, self.figures);
        for (phase, f) in project.phases.iter().zip(&figures.phases) {
            let subject = Subject::Phase(phase.id);
            if phase.days < 0 {
                let message = format!("{} has {} days; write zero or more", phase.name, phase.days);
                self.add(Severity::Error, "negative_duration", subject, &phase.key, message);
            }
            let failed = phase.attempts.iter().filter(|a| !a.passed).max_by_key(|a| a.date);
            if let Some(failed) = failed.filter(|_| phase.finished_on().is_none()) {
                let correct = match (&failed.note, failed.correct_by) {
                    (note, Some(by)) if !note.is_empty() => format!("correct by {by}: {note}"),
                    (note, None) if !note.is_empty() => format!("correct: {note}"),
                    (_, Some(by)) => format!("correct what was found by {by}"),
                    _ => "note what to correct".to_owned(),
                };
                let again =
                    f.forecast_start.map_or(String::new(), |d| format!("; the next visit can be {d}"));
                let message = format!("{} failed on {}; {correct}{again}", phase.name, failed.date);
                self.add(Severity::Warning, "failed_inspection", subject, &phase.key, message);
            }
            for (what, date) in [("started", phase.actual_start), ("finished", phase.actual_finish)] {
                if let Some(date) = date.filter(|d| Day::from(*d) > figures.as_of) {
                    let message = format!(
                        "{} is marked {what} on {date}, after the as-of day {}; check the date",
                        phase.name, figures.as_of
                    );
                    self.add(Severity::Warning, "future_actual", subject, &phase.key, message);
                }
            }
        }
        if let (Some(target), Some(finish)) = (project.settings.target_finish, figures.forecast_finish)
            && finish > Day::from(target)
        {
            let late = figures.days.work().count(Day::from(target).plus(1), finish.plus(1));
            let message = format!(
                "the forecast finish {finish} is {} after the target {target}; see what holds the critical phases",
                plural(late, "working day")
            );
            self.add(Severity::Warning, "target_missed", Subject::Project, &project.settings.name, message);
        }
    }

    /// Actual dates that contradict a link: the work went on regardless, and the link is to be looked at.
    fn out_of_sequence(&mut self) {
        let (project, figures) = (self.project, self.figures);
        for link in project.links.iter() {
            let (Some(before), Some(after)) = (project.phase(link.before), project.phase(link.after)) else {
                continue;
            };
            let first = after.actual_start.or(after.finished_on());
            let Some(first) = first.filter(|_| link.kind == LinkKind::FS && link.lag >= 0) else { continue };
            let Some(done) = figures.phase(before.id).and_then(|f| f.early_finish) else { continue };
            let same_day = before.days == 0 || after.days == 0 || before.kind == PhaseKind::Inspection;
            if Day::from(first) < done
                || (before.finished_on().is_none() && !same_day && Day::from(first) <= done)
            {
                let state = match before.finished_on() {
                    Some(on) => format!("finished on {on}"),
                    None => "is not finished".to_owned(),
                };
                let message = format!(
                    "{} began on {first}, but {} comes before it and {state}; correct the dates or remove the link",
                    after.name, before.name
                );
                self.add(Severity::Warning, "out_of_sequence", Subject::Phase(after.id), &after.key, message);
            }
        }
    }

    fn suppliers(&mut self) {
        for (at, supplier) in self.project.suppliers.iter().enumerate() {
            let desk = self.figures.days.supplier(Some(at));
            if desk.receive.count(self.figures.as_of, self.figures.as_of.plus(366)) == 0 {
                let message = format!(
                    "{} delivers on no working day of the project; change its delivery days or the working week",
                    supplier.name
                );
                self.add(
                    Severity::Error,
                    "no_delivery_day",
                    Subject::Supplier(supplier.id),
                    &supplier.key,
                    message,
                );
            }
        }
    }

    fn decision(&mut self, selection: &Selection) {
        let Some(f) = self.figures.selection(selection.id) else { return };
        let subject = Subject::Selection(selection.id);
        if selection.choice().is_some() {
            return;
        }
        let in_hand = match f.days_in_hand {
            Some(days) if days < 0 => {
                format!(", {} too late for the quickest candidate", plural(-days, "day"))
            }
            Some(days) => {
                format!(
                    ": decide and order by {}, {} in hand",
                    self.figures.as_of.plus(days),
                    plural(days, "day")
                )
            }
            None => String::new(),
        };
        let (code, what) = if f.live.is_some() {
            ("leaning", "is only leaned to; make it the choice or pick another")
        } else if selection.options.is_empty() {
            ("undecided", "has no options yet; add at least one")
        } else {
            ("undecided", "is undecided; choose one of its options")
        };
        let severity = match f.days_in_hand {
            Some(days) if days < 0 && code == "undecided" => Severity::Error,
            _ if code == "leaning" => Severity::Note,
            _ => Severity::Warning,
        };
        let message = format!("{} {what}{in_hand}", selection.name);
        self.add(severity, code, subject, &selection.key, message);
    }

    fn part(&mut self, selection: &Selection, part: &Part, at: usize) {
        let Some(f) = self.figures.parts.get(at) else { return };
        let subject = Subject::Part(part.id);
        let name = format!("{} of {}", part.name, selection.name);
        if let Some(error) = f.takeoff_error {
            self.add(
                Severity::Error,
                "no_quantity",
                subject,
                &part.key,
                format!("{name}: {}", error.message()),
            );
        }
        if part.is_ordered() && !f.live {
            let message = format!(
                "{name} is ordered but its option is not the choice; choose it, or send the part back and take the order back"
            );
            self.add(Severity::Warning, "ordered_not_chosen", subject, &part.key, message);
        }
        if !f.live {
            return;
        }
        if part.phase.is_none() {
            let message = format!("{name} has no phase, so it has no need date; say which phase needs it");
            self.add(Severity::Warning, "no_phase", subject, &part.key, message);
        }
        if part.paid > f.total() && part.is_ordered() {
            let message = format!("{name}: more was paid than it costs; check what was paid and the price");
            self.add(Severity::Note, "overpaid", subject, &part.key, message);
        }
        if part.is_on_site() {
            return;
        }
        let phase = f.phase.map(|p| &self.project.phases[p as usize]);
        if let Some(phase) = phase.filter(|p| p.finished_on().is_some()) {
            let message = format!(
                "{name} is not marked received, yet {} is finished; mark it received or move it to another phase",
                phase.name
            );
            self.add(Severity::Warning, "not_received", subject, &part.key, message);
            return;
        }
        if f.overdue {
            let message = format!(
                "{name} was expected before {} and has not come; ask the supplier for a new date and note it as promised",
                self.figures.as_of
            );
            self.add(Severity::Warning, "overdue", subject, &part.key, message);
        }
        if f.late {
            self.late(part, &name, at);
        } else if let Some(days) = f.days_in_hand.filter(|d| !part.is_ordered() && (0..=7).contains(d)) {
            let by = self.figures.as_of.plus(days);
            let message = format!("order {name} by {by}, {} in hand", plural(days, "day"));
            self.add(Severity::Note, "order_soon", subject, &part.key, message);
        }
    }

    fn late(&mut self, part: &Part, name: &str, at: usize) {
        let f = &self.figures.parts[at];
        let (Some(need), Some(phase)) = (f.need_date, f.phase.map(|p| p as usize)) else { return };
        let days = f.arrival.since(need);
        let phase_name = &self.project.phases[phase].name;
        let moves_end = self
            .figures
            .phases
            .get(phase)
            .and_then(|p| p.late_start.or(p.late_finish))
            .is_some_and(|_| f.last_safe_order.is_some() && self.moves_the_end(part, at));
        let advice = if part.is_ordered() {
            "press the supplier, or choose an option that is in time"
        } else {
            "order it today, or choose an option that is in time"
        };
        let effect = if moves_end { "this moves the finish" } else { "the finish holds" };
        let message = format!(
            "{name} arrives {}, {} after it is needed on {need} for {phase_name}; {effect}; {advice}",
            f.arrival,
            plural(days, "day")
        );
        let severity = if moves_end { Severity::Error } else { Severity::Warning };
        self.add(severity, "late", Subject::Part(part.id), &part.key, message);
    }

    /// Whether the part comes later than the late dates of its phase allow.
    fn moves_the_end(&self, part: &Part, at: usize) -> bool {
        let f = &self.figures.parts[at];
        let Some(p) = f.phase.and_then(|p| self.figures.phases.get(p as usize)) else { return false };
        let work = self.figures.days.work();
        let usable = work.index(f.arrival) + hold_of(self.project, part);
        let limit = match part.at {
            crate::model::NeededAt::Start => p.late_start,
            crate::model::NeededAt::Finish => p.late_finish,
        };
        limit.is_some_and(|day| usable > work.index(day))
    }

    /// Scopes with quotes of which none is accepted: their cost is in no figure.
    fn quotes(&mut self) {
        let mut scopes: Vec<&str> = Vec::new();
        for quote in self.project.quotes.iter() {
            // Quotes without a scope do not compete with each other.
            if quote.scope.is_empty() || scopes.contains(&quote.scope.as_str()) {
                continue;
            }
            scopes.push(&quote.scope);
            let of_scope = || self.project.quotes.iter().filter(|q| q.scope == quote.scope);
            let accepted = of_scope().filter(|q| q.accepted).count();
            let (code, message) = match accepted {
                0 => (
                    "no_quote",
                    format!(
                        "{}: {} and none accepted, so it is not in the forecast; accept one",
                        quote.scope,
                        plural(of_scope().count() as i32, "quote")
                    ),
                ),
                1 => continue,
                n => (
                    "two_quotes",
                    format!("{}: {n} quotes are accepted and all of them count; accept one", quote.scope),
                ),
            };
            self.add(Severity::Warning, code, Subject::Quote(quote.id), &quote.key, message);
        }
    }

    fn money(&mut self) {
        let money = &self.figures.money;
        if money.contingency_left.is_negative() {
            let currency = self.project.settings.currency;
            let message = format!(
                "the contingency is used up by {} {currency}; find savings or raise it",
                Money::ZERO.less(money.contingency_left).to_plain(currency)
            );
            self.add(
                Severity::Warning,
                "contingency_used",
                Subject::Project,
                &self.project.settings.name,
                message,
            );
        }
    }
}
