//! What falls due: the money engine says what and when, for orders as their accounts have it, for trades as the weeks of
//! the cash flow do. Only what is owed to somebody: what is not ordered yet, and scopes without an accepted quote, are not.

use super::{About, Ask, Deed, Found, Kind, Words, of_supplier};
use crate::engine::calendar::Day;
use crate::engine::money::trade_dues::{self, TradeDue};
use crate::engine::money::{About as OwedFor, cash};
use crate::engine::orders::Order;
use crate::model::money::{from_minor_units, minor_units};
use crate::model::{Action, Change, Extra, Installment, Money, PaidFor, Quote, Subject};

impl Found<'_> {
    pub(super) fn pay(&mut self) {
        let (project, figures) = (self.project, self.figures);
        for order in figures.orders.iter().filter(|o| o.placed.is_some()) {
            self.order_dues(order);
        }
        let dues = trade_dues::all(project, &figures.trades, &figures.index, &figures.phases, figures.as_of);
        // What is noted as paid on a quote settles its earliest dues: to settle a later one, those before it are paid too.
        let mut before: Option<(OwedFor, i128)> = None;
        for due in &dues {
            let earlier = before.filter(|(about, _)| *about == due.about).map_or(0, |(_, units)| units);
            before = Some((due.about, earlier + due.units));
            if self.counts(due.day) {
                self.trade_due(due, earlier);
            }
        }
    }

    /// Dues of an order; of parts that were ordered without one, those of each part, since payments name a part then.
    fn order_dues(&mut self, order: &Order) {
        let (project, figures) = (self.project, self.figures);
        let supplier = order.supplier.and_then(|s| project.suppliers.get(s));
        let to = supplier.map_or(String::new(), |s| format!(" to {}", s.name));
        let call = supplier.and_then(of_supplier);
        let digits = project.settings.currency.minor_digits();
        let word = |deposit: bool| if deposit { "deposit" } else { "balance" };
        if let Some(id) = order.own {
            let name = match self.order_name(id) {
                "" => "an order".to_owned(),
                number => format!("the order {number}"),
            };
            let key = project.order(id).map_or(String::new(), |o| o.key.clone());
            let carrier = order.all_parts().map(|at| self.to_a_carrier(at)).sum::<i128>();
            for (n, due) in figures.account(project, order).dues.iter().enumerate() {
                // What returns still cost is due on the as-of day.
                let others = if due.day == figures.as_of && !due.deposit { carrier } else { 0 };
                let units = minor_units(due.amount, digits) - others;
                if units <= 0 || !self.counts(due.day) {
                    continue;
                }
                let subject = Subject::Order(id);
                let about = About { kind: Kind::Pay, subject, key: key.clone(), tag: format!("due-{n}") };
                let why = Words::of(format!("the {} of {name}", word(due.deposit)));
                let deed = Deed::Ask(Ask::Payment(PaidFor::Order(id)));
                let what = Words::of("Pay ").money(from_minor_units(units, digits)).text(to.clone());
                self.put(about, due.day, (what, why), (deed, "Payment…")).call = call.clone();
            }
            return;
        }
        for at in order.all_parts() {
            let Some(f) = figures.parts.get(at) else { continue };
            let Some((_, _, part)) = project.part(f.id) else { continue };
            let back = figures.returns.of(at);
            let carrier = self.to_a_carrier(at);
            for (n, (day, units)) in cash::dues(project, f, back, figures.as_of).into_iter().enumerate() {
                let units = if n == 0 { units - carrier } else { units };
                if units <= 0 || !self.counts(day) {
                    continue;
                }
                let deposit = n == 0 && back.is_none();
                let (name, room) = self.part_words(at);
                let subject = Subject::Part(f.id);
                let tag = format!("due-{n}");
                let about = About { kind: Kind::Pay, subject, key: part.key.clone(), tag };
                let why = Words::of(format!("the {} of {name}", word(deposit)));
                let deed = Deed::Ask(Ask::Payment(PaidFor::Part(f.id)));
                let what = Words::of("Pay ").money(from_minor_units(units, digits)).text(to.clone());
                let line = self.put(about, day, (what, why), (deed, "Payment…"));
                (line.place, line.call) = (room, call.clone());
            }
        }
    }

    /// What sending a part back costs, in minor units: that is no debt to its supplier.
    fn to_a_carrier(&self, at: usize) -> i128 {
        let digits = self.project.settings.currency.minor_digits();
        let back = self.figures.returns.of(at).filter(|r| r.forecast != r.terms.full);
        back.map_or(0, |r| {
            let costs = minor_units(r.forecast, digits) - minor_units(r.paid, digits);
            minor_units(r.terms.freight_back, digits).min(costs).max(0)
        })
    }

    /// What falls due for a trade, a fee, an extra or a change. `earlier` is what of the same quote is due before it.
    fn trade_due(&mut self, due: &TradeDue, earlier: i128) {
        let project = self.project;
        let digits = project.settings.currency.minor_digits();
        let amount = from_minor_units(due.units, digits);
        match due.about {
            OwedFor::Quote(at) => {
                if let Some(quote) = project.quotes.get(at) {
                    self.quote_due(quote, due, amount, earlier);
                }
            }
            OwedFor::Extra(at) => {
                let Some(extra) = project.extras.get(at) else { return };
                let paid = Extra { paid: extra.paid.plus(amount), ..extra.clone() };
                let subject = Subject::Extra(extra.id);
                let what = Words::of("Pay ").money(amount).text(format!(" for {}", extra.name));
                let deed = Deed::Do(Box::new(Action::PutExtra(paid)));
                self.pay_line(subject, &extra.key, "due", due.day, (what, self.with_phase(due)), deed);
            }
            OwedFor::Change(at) => {
                let Some(change) = project.changes.get(at) else { return };
                let paid = Change { paid: change.paid.plus(amount), ..change.clone() };
                let subject = Subject::Change(change.id);
                let what = Words::of("Pay ").money(amount).text(format!(" for {}", change.what));
                let deed = Deed::Do(Box::new(Action::PutChange(paid)));
                self.pay_line(subject, &change.key, "due", due.day, (what, self.with_phase(due)), deed);
            }
            _ => {}
        }
    }

    fn pay_line(
        &mut self,
        subject: Subject,
        key: &str,
        tag: &str,
        day: Day,
        say: (Words, Words),
        deed: Deed,
    ) -> &mut super::Line {
        let about = About { kind: Kind::Pay, subject, key: key.to_owned(), tag: tag.to_owned() };
        let words = if matches!(deed, Deed::Do(_)) { "Paid" } else { "Paid…" };
        self.put(about, day, say, (deed, words))
    }

    fn with_phase(&self, due: &TradeDue) -> Words {
        let phase = due.phase.and_then(|at| self.project.phases.get(at));
        phase.map_or(Words::default(), |p| Words::of(format!("with {}", p.name)))
    }

    fn quote_due(&mut self, quote: &Quote, due: &TradeDue, amount: Money, earlier: i128) {
        let project = self.project;
        let as_of = self.figures.as_of.date();
        let digits = project.settings.currency.minor_digits();
        let mut changed = quote.clone();
        let (for_what, tag) = match due.installment {
            Some(at) => {
                let Some(own) = changed.installments.get_mut(at) else { return };
                let paid = if own.is_paid(as_of) { own.paid.unwrap_or_default() } else { Money::ZERO };
                own.paid = Some(paid.plus(amount));
                own.paid_on = Some(as_of);
                (own.what.clone(), format!("installment-{at}"))
            }
            None => {
                let units = minor_units(quote.paid, digits) + earlier + due.units;
                changed.paid = from_minor_units(units, digits);
                let phase = due.phase.and_then(|at| project.phases.get(at));
                let tag = phase.map_or(String::new(), |p| p.key.clone());
                (quote.scope.clone(), format!("phase-{tag}"))
            }
        };
        let act = Action::PutQuote(changed);
        let deed = if project.apply(&act).is_ok() {
            Deed::Do(Box::new(act))
        } else {
            Deed::Ask(Ask::Quote(quote.id))
        };
        let to = if quote.trade.trim().is_empty() { String::new() } else { format!(" to {}", quote.trade) };
        let what = Words::of("Pay ").money(amount).text(to);
        let more = match (due.installment, earlier) {
            (None, 1..) => {
                let all = from_minor_units(earlier + due.units, digits);
                Words::of("with what was due before ").money(all)
            }
            _ => Words::default(),
        };
        let why = Words::of(for_what).and(", ", self.with_phase(due)).and("; ", more);
        let call = self.crew_contact(quote.crew);
        self.pay_line(Subject::Quote(quote.id), &quote.key, &tag, due.day, (what, why), deed).call = call;
    }

    /// Waivers of lien that are not on file for what was paid.
    pub(super) fn waivers(&mut self) {
        let (project, figures) = (self.project, self.figures);
        for quote in project.quotes.iter().filter(|q| q.accepted) {
            for (at, (own, f)) in
                quote.installments.iter().zip(figures.installments(project, quote)).enumerate()
            {
                let day = own.paid_on.map_or(figures.as_of, Day::from);
                if f.wants_waiver && self.counts(day) {
                    self.waiver(quote, at, own, day, f.paid);
                }
            }
        }
    }

    fn waiver(&mut self, quote: &Quote, at: usize, own: &Installment, day: Day, paid: Money) {
        let as_of = self.figures.as_of.date();
        let mut changed = quote.clone();
        if let Some(own) = changed.installments.get_mut(at) {
            own.paid_on = own.paid_on.or(Some(as_of));
            own.waiver_on = Some(as_of);
        }
        let about = About {
            kind: Kind::Chase,
            subject: Subject::Quote(quote.id),
            key: quote.key.clone(),
            tag: format!("waiver-{at}"),
        };
        let act = Action::PutQuote(changed);
        let deed = if self.project.apply(&act).is_ok() {
            Deed::Do(Box::new(act))
        } else {
            Deed::Ask(Ask::Quote(quote.id))
        };
        let what = Words::of(format!("Ask {} for a waiver of lien", quote.trade));
        let why = Words::of(format!("{}, ", own.what)).money(paid).text(" paid");
        let call = self.crew_contact(quote.crew);
        self.put(about, day, (what, why), (deed, "It came")).call = call;
    }
}
