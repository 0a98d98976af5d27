//! Checks of parts: quantities, orders, deliveries that are late or overdue.

use super::Found;
use super::swaps::is_loose;
use crate::engine::calendar::Day;
use crate::engine::effect;
use crate::engine::walls::Walls;
use crate::model::words::count;
use crate::model::{Part, Quantity, Selection, Severity, SoldIn, Subject, Supplier, Units};
use rust_decimal::Decimal;

impl Found<'_> {
    /// A rule that gives square feet for something that is sold by the square meter.
    fn sold_in(&mut self, part: &Part, name: &str) {
        let (Quantity::Rule(rule), Some(sold)) = (&part.quantity, SoldIn::of_unit(&part.unit)) else {
            return;
        };
        let Some(dimension) = rule.plain_dimension() else { return };
        let units = self.project.settings.units;
        let message = if dimension != sold.dimension() {
            let what =
                |d| ["a length", "an area", "a volume"].get(d as usize - 1).copied().unwrap_or("a number");
            format!(
                "{name} is sold by the {}, which is {}, but its rule {} gives {}; change the rule or the unit",
                part.unit,
                what(sold.dimension()),
                part.quantity,
                what(dimension)
            )
        } else if sold.convert(Decimal::ONE, units) != Some(Decimal::ONE) {
            let measures = if units == Units::Us { "feet" } else { "meters" };
            format!(
                "{name} is sold by the {}, but its rule {} is in {measures}; write {}({}) to convert it",
                part.unit,
                part.quantity,
                sold.name(),
                part.quantity
            )
        } else {
            return;
        };
        self.add(Severity::Warning, "sold_otherwise", Subject::Part(part.id), &part.key, message);
    }

    pub(super) fn part(&mut self, selection: &Selection, part: &Part, at: usize, walls: &Walls) {
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
        self.sold_in(part, &name);
        if is_loose(f) {
            self.not_wanted(part, &name, at);
        }
        self.part_dates(part, &name);
        if !f.live {
            return;
        }
        if part.phase.is_none() {
            let message = format!("{name} has no phase, so it has no need date; say which phase needs it");
            self.add(Severity::Warning, "no_phase", subject, &part.key, message);
        }
        let taxed = |s: &Supplier| !s.tax_pct.is_zero();
        if f.supplier.is_none() && !f.amount.is_zero() && self.project.suppliers.iter().any(taxed) {
            let message = format!(
                "{name} has no supplier yet, so its total is without sales tax and freight; say who sells it"
            );
            self.add(Severity::Warning, "no_tax", subject, &part.key, message);
        }
        if !f.paid.is_zero() && f.placed.is_none() {
            let message = format!("{name} is paid for but not marked ordered; note the day of the order");
            self.add(Severity::Note, "paid_not_ordered", subject, &part.key, message);
        }
        if f.priced && f.paid > f.total() && f.placed.is_some() && !self.shares_payments(at) {
            let message = format!("{name}: more was paid than it costs; check what was paid and the price");
            self.add(Severity::Note, "overpaid", subject, &part.key, message);
        }
        self.not_said(part, &name, at);
        self.order_circle(part, &name, at);
        self.wanted_again(part, &name);
        if self.closed_in(walls, part, &name) || f.on_site {
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
            let message = match self.figures.deliveries.of(at) {
                Some(d) if !d.to_replace.is_zero() => format!(
                    "the replacement for {name} was expected before {} and has not come; ask the supplier for a new date and note it",
                    self.figures.as_of
                ),
                Some(_) => format!(
                    "the rest of {name} was expected before {} and has not come; ask the supplier for a new date and note it",
                    self.figures.as_of
                ),
                None => format!(
                    "{name} was expected before {} and has not come; ask the supplier for a new date and note it as promised",
                    self.figures.as_of
                ),
            };
            self.add(Severity::Warning, "overdue", subject, &part.key, message);
        }
        self.still_to_come(part, &name, at);
        if f.late {
            self.late(selection, part, &name, at);
        } else if let Some(days) = f.days_in_hand.filter(|d| f.placed.is_none() && (0..=7).contains(d)) {
            let by = self.figures.as_of.plus(days);
            let message = format!("order {name} by {by}, {} in hand", count(days, "day"));
            self.add(Severity::Note, "order_soon", subject, &part.key, message);
        }
    }

    /// Dates of a purchase that cannot all be right.
    fn part_dates(&mut self, part: &Part, name: &str) {
        let subject = Subject::Part(part.id);
        for (what, date) in
            [("ordered", part.ordered_on), ("received", part.received_on), ("built in", part.installed_on)]
        {
            if let Some(date) = date.filter(|d| Day::from(*d) > self.figures.as_of) {
                let message = format!(
                    "{name} is marked {what} on {date}, after the as-of day {}, so it does not count as that yet; check the date",
                    self.figures.as_of
                );
                self.add(Severity::Warning, "future_actual", subject, &part.key, message);
            }
        }
        let odd = match (part.ordered_on, part.promised_on, part.received_on, part.installed_on) {
            (_, _, Some(came), Some(built)) if built < came => {
                format!("{name} was built in on {built}, before it came on {came}; correct one of the dates")
            }
            (Some(ordered), Some(promised), ..) if promised < ordered => {
                format!("{name} was promised for {promised}, before it was ordered on {ordered}; correct one")
            }
            (None, Some(promised), None, None) => {
                format!("{name} is promised for {promised} but not marked ordered; note the day of the order")
            }
            _ => return,
        };
        self.add(Severity::Warning, "odd_dates", subject, &part.key, odd);
    }

    /// What nobody has said of a part that counts: its lead time, its price.
    fn not_said(&mut self, part: &Part, name: &str, at: usize) {
        let f = &self.figures.parts[at];
        let subject = Subject::Part(part.id);
        if !f.lead_known {
            let soon = f.ask_by.is_some_and(|by| by.since(self.figures.as_of) <= 7);
            let asked = match f.ask_by {
                Some(by) if by < self.figures.as_of => format!(
                    "nobody has said the lead time of {name}; at the long end of what is typical it had to be ordered by {by}; ask the supplier now"
                ),
                Some(by) => format!("nobody has said the lead time of {name}; ask the supplier by {by}"),
                None if f.expected.is_some() => {
                    format!("nobody has said the lead time of {name}; ask the supplier for the day it comes")
                }
                None => format!(
                    "nobody has said the lead time of {name}, and none is typical of it, so it holds nothing; ask the supplier, or say what kind of thing it is"
                ),
            };
            let late = f.need_date.zip(f.expected).filter(|(need, comes)| comes > need);
            let asked = match late.filter(|_| f.is_assumed() && f.placed.is_none()) {
                Some((need, comes)) => format!(
                    "{asked}; as is typical it{} comes {comes}, {} after it is needed on {need}, and {}",
                    f.orderable_from.map_or(String::new(), |from| format!(" can be ordered from {from},")),
                    count(comes.since(need), "day"),
                    self.effect(at)
                ),
                None => asked,
            };
            let soon = soon || late.is_some();
            let severity = if soon || f.expected.is_none() { Severity::Warning } else { Severity::Note };
            self.add(severity, "lead_unknown", subject, &part.key, asked);
        }
        if part.unit_price.is_none() {
            let money = self.figures.selections.get(f.selection as usize).map(|s| s.money);
            let (severity, stands) = match money {
                Some(money) if !money.assumed.is_zero() => {
                    (Severity::Note, "what is left of its allowance stands for it")
                }
                _ => (Severity::Warning, "the forecast is without it"),
            };
            let message = format!("nobody has said what {name} costs; {stands}; ask for a price");
            self.add(severity, "price_unknown", subject, &part.key, message);
        }
    }

    /// What a part is ordered after waits for the part itself.
    fn order_circle(&mut self, part: &Part, name: &str, at: usize) {
        let after = part.order_after.and_then(|id| self.project.phase(id));
        let Some(after) = after.filter(|_| self.figures.order_circle(at)) else { return };
        let message = format!(
            "{name} can be ordered only after {}, which itself waits for what needs it: a circle; it has no days and \
             holds nothing until it is ordered after another phase, or needed by another",
            after.name
        );
        self.add(Severity::Error, "order_circle", Subject::Part(part.id), &part.key, message);
    }

    /// What a late part does to the finish, in words.
    fn effect(&mut self, at: usize) -> String {
        let costs = self.figures.parts.get(at).map_or(0, |f| f.costs_days);
        if costs > 0 {
            return format!("costs the finish {}", count(costs, "working day"));
        }
        if self.effects == 0 {
            return "costs no day alone".to_owned();
        }
        self.effects -= 1;
        effect::words(self.project, self.figures, at).unwrap_or_default()
    }

    fn late(&mut self, selection: &Selection, part: &Part, name: &str, at: usize) {
        let f = &self.figures.parts[at];
        let (Some(need), Some(phase)) = (f.need_date, f.phase.map(|p| p as usize)) else { return };
        let Some(arrival) = f.arrival else { return };
        let days = arrival.since(need);
        let phase_name = &self.project.phases[phase].name;
        // Ordering in time is possible, only the user means to decide too late for it.
        let decide = f.order_by.filter(|by| selection.decide_on.is_some() && *by >= self.figures.as_of);
        let advice = match decide {
            _ if f.waits_from().is_some() => {
                "choose an option that is in time, or finish sooner what it waits for".to_owned()
            }
            _ if f.placed.is_some() => "press the supplier, or choose an option that is in time".to_owned(),
            Some(by) => format!("decide and order by {by}"),
            None => "order it today, or choose an option that is in time".to_owned(),
        };
        let effect = self.effect(at);
        let from = match f.waits_from() {
            Some(from) => format!("cannot be ordered before {from}; it "),
            None => String::new(),
        };
        let message = format!(
            "{name} {from}arrives {arrival}, {} after it is needed on {need} for {phase_name}; it {effect}; {advice}",
            count(days, "day")
        );
        let severity = if f.costs_days > 0 { Severity::Error } else { Severity::Warning };
        self.add(severity, "late", Subject::Part(part.id), &part.key, message);
    }
}
