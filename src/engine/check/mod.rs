//! Checks: what is wrong with a project or will be, each with what to do.

mod closing_out;
mod dates;
mod gates;
mod in_use;
pub mod money_of_trades;
mod orders;
mod parts;
mod people;
mod prices;
mod specs;
mod swaps;
mod trades;

use super::figures::Figures;
use super::specs::{DecideFor, reason_words};
use super::walls::Walls;
use crate::model::graph::Circles;
use crate::model::words::count;
use crate::model::{Money, Problem, Project, Selection, SelectionOption, Severity, Subject};

/// Everything wrong or worth knowing, errors first, then in document order.
pub fn problems(project: &Project, figures: &Figures) -> Vec<Problem> {
    let mut found = Found { project, figures, problems: Vec::new(), effects: MOST_EFFECTS };
    found.circles();
    found.phases();
    found.out_of_sequence();
    found.trades();
    found.people();
    found.in_use();
    found.gates();
    found.suppliers();
    let walls = Walls::new(project);
    let mut at = 0;
    for selection in project.selections.iter() {
        found.decision(selection);
        found.specs(selection);
        for option in &selection.options {
            for part in &option.parts {
                found.part(selection, part, at, &walls);
                at += 1;
            }
        }
    }
    found.fits();
    found.quotes();
    found.money_of_trades();
    found.without_price();
    found.orders();
    found.money();
    found.closing_out();
    found.problems.sort_by_key(|p| std::cmp::Reverse(p.severity));
    found.problems
}

pub(super) struct Found<'a> {
    project: &'a Project,
    figures: &'a Figures,
    problems: Vec<Problem>,
    /// Late parts of which it may still be asked what they do to the finish.
    effects: usize,
}

/// Beyond this many late parts that cost no day alone, it is not said of each what would have to change with it: each
/// question is some passes over the whole project.
const MOST_EFFECTS: usize = 24;

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
                let position = |id: crate::model::PhaseId| {
                    let at = self.figures.index.of(id.0)?;
                    project.phases.get(at).filter(|p| p.id == id).map(|_| at)
                };
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
        for circle in Circles::new(project.phases.len(), edges.into_iter()) {
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
        let spec = matches!(f.decide.reason, Some(DecideFor::Spec(_))) && f.decide.by == f.order_by;
        let why = reason_words(self.project, self.figures, f).filter(|_| spec);
        let in_hand = match f.days_in_hand {
            Some(days) if spec => {
                let why = why.map_or(String::new(), |why| format!(" ({why})"));
                let by = self.figures.as_of.plus(days);
                match days {
                    0.. => format!(": decide by {by}{why}, {} in hand", count(days, "day")),
                    _ => format!(": it had to be decided by {by}{why}, {} ago", count(-days, "day")),
                }
            }
            Some(days) if days < 0 && f.waits_from.is_some() => {
                let from = f.waits_from.map_or(String::new(), |day| format!(" before {day}"));
                format!(": none of its candidates can be ordered{from}, {} too late", count(-days, "day"))
            }
            Some(days) if days < 0 => {
                format!(", {} too late for the quickest candidate", count(-days, "day"))
            }
            Some(days) => {
                format!(
                    ": decide and order by {}, {} in hand{}",
                    self.figures.as_of.plus(days),
                    count(days, "day"),
                    self.too_late(selection, f.too_late)
                )
            }
            None => String::new(),
        };
        let (code, what) = if f.live.is_some() {
            ("leaning", "has a likely option but no choice; choose it or another")
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
        if f.money.left_out > 0 && f.money.unpriced == 0 {
            let message = format!(
                "nobody has said what {} costs: it has neither an allowance nor a candidate with a price, so the forecast is without it; set something aside for it",
                selection.name
            );
            self.add(Severity::Warning, "price_unknown", subject, &selection.key, message);
        }
    }

    /// The candidates that can no longer be ordered in time, in words.
    fn too_late(&self, selection: &Selection, how_many: u32) -> String {
        let past = |o: &SelectionOption| {
            let days = self.figures.option_days_in_hand(o).filter(|days| *days < 0)?;
            Some(format!("; {} is {} past its order-by", o.name, count(-days, "day")))
        };
        if how_many == 0 { String::new() } else { selection.options.iter().filter_map(past).collect() }
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
