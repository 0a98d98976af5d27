//! The same figures in the most direct way, for comparison: maps from text keys, calendar questions answered by walking
//! day by day, order-by found by stepping back a day at a time. Written from the design, not from the engine.

use chrono::{Datelike, Duration, NaiveDate, Weekday};
use needline::engine::takeoff::{quantity_to_buy, room_size};
use needline::model::*;
use rust_decimal::{Decimal, RoundingStrategy};
use std::collections::{HashMap, HashSet};

/// What is compared with the engine.
pub struct Naive {
    pub plan_finish: Option<NaiveDate>,
    pub forecast_finish: Option<NaiveDate>,
    pub forecast_total: Decimal,
    /// By part key: arrival, order-by and last safe order.
    pub parts: HashMap<String, (NaiveDate, Option<NaiveDate>, Option<NaiveDate>)>,
    /// By room, supplier, phase and category: forecast.
    pub sums: HashMap<String, Decimal>,
}

/// Start, the working day after the last, and the last day shown.
#[derive(Clone, Copy)]
struct Span {
    start: NaiveDate,
    end: NaiveDate,
    shown: NaiveDate,
}

struct Naively<'a> {
    project: &'a Project,
    as_of: NaiveDate,
    holidays: HashSet<NaiveDate>,
    phases: HashMap<String, &'a Phase>,
    suppliers: HashMap<String, &'a Supplier>,
    rooms: HashMap<String, &'a Room>,
    keys: HashMap<u32, String>,
    into: HashMap<String, Vec<&'a Link>>,
    out_of: HashMap<String, Vec<&'a Link>>,
}

fn day(days: i64) -> Duration {
    Duration::days(days)
}

fn in_ranges(ranges: &[ClosedRange], date: NaiveDate) -> bool {
    ranges.iter().any(|r| r.from <= date && date <= r.to)
}

/// The eleven federal holidays of a year on their observed days.
fn federal(year: i32) -> Vec<NaiveDate> {
    let ymd = |m, d| NaiveDate::from_ymd_opt(year, m, d).unwrap_or(NaiveDate::MIN);
    let nth =
        |m, weekday, n| NaiveDate::from_weekday_of_month_opt(year, m, weekday, n).unwrap_or(NaiveDate::MIN);
    let mut last_monday = ymd(5, 31);
    while last_monday.weekday() != Weekday::Mon {
        last_monday -= day(1);
    }
    let observed = |date: NaiveDate| match date.weekday() {
        Weekday::Sat => date - day(1),
        Weekday::Sun => date + day(1),
        _ => date,
    };
    let fixed = [(1, 1), (6, 19), (7, 4), (11, 11), (12, 25)].map(|(m, d)| observed(ymd(m, d)));
    let mut all = vec![
        nth(1, Weekday::Mon, 3),
        nth(2, Weekday::Mon, 3),
        last_monday,
        nth(9, Weekday::Mon, 1),
        nth(10, Weekday::Mon, 2),
        nth(11, Weekday::Thu, 4),
    ];
    all.extend(fixed);
    all
}

/// Computes it all.
pub fn compute(project: &Project, as_of: NaiveDate) -> Naive {
    let mut n = Naively {
        project,
        as_of,
        holidays: (as_of.year() - 5..as_of.year() + 15).flat_map(federal).collect(),
        phases: project.phases.iter().map(|p| (p.key.clone(), p)).collect(),
        suppliers: project.suppliers.iter().map(|s| (s.key.clone(), s)).collect(),
        rooms: project.rooms.iter().map(|r| (r.key.clone(), r)).collect(),
        keys: HashMap::new(),
        into: HashMap::new(),
        out_of: HashMap::new(),
    };
    n.keys.extend(project.phases.iter().map(|p| (p.id.0, p.key.clone())));
    n.keys.extend(project.suppliers.iter().map(|s| (s.id.0, s.key.clone())));
    n.keys.extend(project.rooms.iter().map(|r| (r.id.0, r.key.clone())));
    for link in project.links.iter() {
        n.into.entry(n.keys[&link.after.0].clone()).or_default().push(link);
        n.out_of.entry(n.keys[&link.before.0].clone()).or_default().push(link);
    }
    n.run()
}

impl Naively<'_> {
    fn works(&self, date: NaiveDate) -> bool {
        self.project.settings.weekdays.contains(date.weekday())
            && !self.holidays.contains(&date)
            && !in_ranges(&self.project.settings.closed, date)
    }

    fn forward(&self, mut date: NaiveDate) -> NaiveDate {
        while !self.works(date) {
            date += day(1);
        }
        date
    }

    fn back(&self, mut date: NaiveDate) -> NaiveDate {
        while !self.works(date) {
            date -= day(1);
        }
        date
    }

    /// Some working days on from a day, walking.
    fn offset(&self, date: NaiveDate, n: i32) -> NaiveDate {
        let mut at = self.forward(date);
        for _ in 0..n.max(0) {
            at = self.forward(at + day(1));
        }
        for _ in 0..(-n).max(0) {
            at = self.back(at - day(1));
        }
        at
    }

    fn run(&self) -> Naive {
        let none = HashMap::new();
        let mut plan = HashMap::new();
        for key in self.phases.keys() {
            self.early(key, &none, &mut plan);
        }
        let end = plan.values().map(|s: &Span| s.end).max();
        let mut late = HashMap::new();
        for key in self.phases.keys() {
            self.late(key, &plan, end.unwrap_or(self.as_of), &mut late);
        }
        let mut parts = HashMap::new();
        let mut bounds: HashMap<String, NaiveDate> = HashMap::new();
        for (selection, option, part) in self.project.all_parts() {
            let figures = self.part(selection, part, &plan, &late);
            let live = selection.live_option().is_some_and(|o| o.id == option.id);
            if live && let Some(key) = part.phase.map(|id| &self.keys[&id.0]) {
                self.bound(key, part, figures.0, &mut bounds);
            }
            parts.insert(part.key.clone(), figures);
        }
        let mut forecast = HashMap::new();
        for key in self.phases.keys() {
            self.early(key, &bounds, &mut forecast);
        }
        let sums = self.money();
        Naive {
            plan_finish: plan.values().map(|s| s.shown).max(),
            forecast_finish: forecast.values().map(|s| s.shown).max(),
            forecast_total: sums.get("total").copied().unwrap_or_default(),
            parts,
            sums,
        }
    }

    fn early(
        &self,
        key: &str,
        bounds: &HashMap<String, NaiveDate>,
        done: &mut HashMap<String, Span>,
    ) -> Span {
        if let Some(span) = done.get(key) {
            return *span;
        }
        let phase = self.phases[key];
        let today = self.forward(self.as_of);
        let span = if let Some(last) = phase.finished_on() {
            let end = self.forward(last + day(1));
            let start =
                phase.actual_start.map_or(self.offset(end, -phase.counted_days()), |s| self.forward(s));
            Span { start, end, shown: last }
        } else {
            let started = phase.actual_start.map(|s| self.forward(s));
            let mut low = match started {
                Some(start) => match phase.days_left {
                    Some(left) => self.offset(today, left),
                    None => self.offset(start, phase.counted_days()).max(self.offset(today, 1)),
                },
                None => today.max(self.forward(self.project.settings.start)),
            };
            for link in self.into.get(key).map_or(&[][..], Vec::as_slice) {
                let before = self.early(&self.keys[&link.before.0], bounds, done);
                let reach = self.reach(link, before);
                match (started.is_some(), link.kind.bounds_start()) {
                    (true, true) => {}
                    (true, false) | (false, true) => low = low.max(reach),
                    (false, false) => low = low.max(self.offset(reach, -phase.counted_days())),
                }
            }
            low = bounds.get(key).map_or(low, |b| low.max(*b));
            let (start, end) =
                started.map_or_else(|| (low, self.offset(low, phase.counted_days())), |s| (s, low));
            Span { start, end, shown: if start == end { start } else { self.back(end - day(1)) } }
        };
        done.insert(key.to_owned(), span);
        span
    }

    /// What a link allows behind it: a start for FS and SS, an end for FF and SF.
    fn reach(&self, link: &Link, before: Span) -> NaiveDate {
        let phase = self.phases[&self.keys[&link.before.0]];
        match (link.kind, link.unit) {
            (LinkKind::FS, LagUnit::Elapsed) if phase.days == Some(0) => {
                self.forward(before.start + day(link.lag.into()))
            }
            (LinkKind::FS, LagUnit::Elapsed) => {
                let last = phase.finished_on().unwrap_or_else(|| self.back(before.end - day(1)));
                self.forward(last + day(1 + i64::from(link.lag)))
            }
            (LinkKind::SS, LagUnit::Elapsed) => self.forward(before.start + day(link.lag.into())),
            (LinkKind::FS | LinkKind::FF, _) => self.offset(before.end, link.lag),
            (LinkKind::SS | LinkKind::SF, _) => self.offset(before.start, link.lag),
        }
    }

    /// The late span: stepping back a working day at a time from the end until every link behind is kept.
    fn late(
        &self,
        key: &str,
        early: &HashMap<String, Span>,
        last: NaiveDate,
        done: &mut HashMap<String, Span>,
    ) -> Span {
        if let Some(span) = done.get(key) {
            return *span;
        }
        let phase = self.phases[key];
        if phase.finished_on().is_some() {
            done.insert(key.to_owned(), early[key]);
            return early[key];
        }
        let mut end = last;
        for link in self.out_of.get(key).map_or(&[][..], Vec::as_slice) {
            let after_key = &self.keys[&link.after.0];
            let (after, behind) = (self.phases[after_key], self.late(after_key, early, last, done));
            let into_start = link.kind.bounds_start();
            if after.finished_on().is_some() || (after.actual_start.is_some() && into_start) {
                continue;
            }
            if phase.actual_start.is_some() && !link.kind.from_finish() {
                continue;
            }
            let limit = if into_start { behind.start } else { behind.end };
            let span =
                |end: NaiveDate| Span { start: self.offset(end, -phase.counted_days()), end, shown: end };
            while self.reach(link, span(end)) > limit {
                end = self.back(end - day(1));
            }
        }
        let start = if phase.actual_start.is_some() {
            early[key].start
        } else {
            self.offset(end, -phase.counted_days())
        };
        let span = Span { start, end, shown: end };
        done.insert(key.to_owned(), span);
        span
    }

    fn hold(&self, part: &Part) -> i32 {
        part.hold.unwrap_or(self.project.settings.hold) as i32
    }

    fn bound(&self, key: &str, part: &Part, arrival: NaiveDate, bounds: &mut HashMap<String, NaiveDate>) {
        let phase = self.phases[key];
        if phase.finished_on().is_some() || part.installed_on.is_some() {
            return;
        }
        let usable = self.offset(arrival, self.hold(part));
        let bound = match (phase.actual_start.is_some(), part.at) {
            (true, NeededAt::Start) => return,
            (true, NeededAt::Finish) => self.offset(usable, 1),
            (false, NeededAt::Finish) if phase.counted_days() > 0 => {
                self.offset(usable, 1 - phase.counted_days())
            }
            (false, _) => usable,
        };
        let held = bounds.entry(key.to_owned()).or_insert(bound);
        *held = (*held).max(bound);
    }

    fn open(&self, supplier: &Supplier, date: NaiveDate) -> bool {
        supplier.weekdays.contains(date.weekday())
            && !self.holidays.contains(&date)
            && !in_ranges(&supplier.closed, date)
    }

    fn next_receiving(&self, supplier: &Supplier, mut date: NaiveDate) -> NaiveDate {
        while !(self.works(date) && supplier.delivery_weekdays.is_none_or(|w| w.contains(date.weekday()))) {
            date += day(1);
        }
        date
    }

    fn arrival(&self, supplier: &Supplier, part: &Part, mut date: NaiveDate) -> NaiveDate {
        while !self.open(supplier, date) {
            date += day(1);
        }
        let count = part.lead.unwrap_or(0) * if part.lead_unit == LeadUnit::Weeks { 7 } else { 1 };
        for _ in 0..count {
            date += day(1);
            while match part.lead_unit {
                LeadUnit::Working => !self.open(supplier, date),
                _ => in_ranges(&supplier.closed, date),
            } {
                date += day(1);
            }
        }
        self.next_receiving(supplier, date + day(supplier.ship_days.into()))
    }

    fn order_by(&self, supplier: &Supplier, part: &Part, need: NaiveDate) -> NaiveDate {
        let mut date = need;
        while !self.open(supplier, date) || self.arrival(supplier, part, date) > need {
            date -= day(1);
        }
        date
    }

    fn part(
        &self,
        selection: &Selection,
        part: &Part,
        plan: &HashMap<String, Span>,
        late: &HashMap<String, Span>,
    ) -> (NaiveDate, Option<NaiveDate>, Option<NaiveDate>) {
        let plain = Supplier::new(SupplierId(0), "none", "None");
        let supplier = part.supplier.map_or(&plain, |id| self.suppliers[&self.keys[&id.0]]);
        let expected = match (part.arrived_on(), part.ordered_on, part.promised_on) {
            (Some(came), _, _) => came,
            (_, Some(_), Some(promised)) => promised,
            (_, Some(ordered), None) => self.arrival(supplier, part, ordered),
            _ => {
                let decided = selection.decide_on.map_or(self.as_of, |d| d.max(self.as_of));
                self.arrival(supplier, part, decided)
            }
        };
        let overdue = part.arrived_on().is_none() && expected < self.as_of;
        let arrival = if overdue { self.next_receiving(supplier, self.as_of + day(1)) } else { expected };
        let need = |spans: &HashMap<String, Span>| {
            let key = &self.keys[&part.phase?.0];
            let span = spans[key];
            let last = if self.phases[key].days == Some(0) { span.end } else { self.back(span.end - day(1)) };
            let day = if part.at == NeededAt::Start { span.start } else { last };
            Some(self.offset(day, -self.hold(part)))
        };
        let by = |need: Option<NaiveDate>| need.map(|need| self.order_by(supplier, part, need));
        (arrival, by(need(plan)), by(need(late)))
    }

    /// Sums by text, with every order priced and shared to its lines.
    fn money(&self) -> HashMap<String, Decimal> {
        let cents = |d: Decimal| d.round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero);
        let mut sums: HashMap<String, Decimal> = HashMap::new();
        let mut orders: HashMap<String, Vec<(&Selection, &Part, Decimal, Decimal)>> = HashMap::new();
        let mut names = Vec::new();
        for (selection, option, part) in self.project.all_parts() {
            let live = selection.live_option().is_some_and(|o| o.id == option.id);
            if !live && !part.is_ordered() {
                continue;
            }
            let room = self.rooms[&self.keys[&selection.room.0]];
            let quantity = quantity_to_buy(part, Some(room), &room_size(room, self.project.settings.units))
                .unwrap_or_default();
            let price = part.unit_price.unwrap_or_default().amount()
                * (Decimal::ONE_HUNDRED - part.discount_pct)
                / Decimal::ONE_HUNDRED;
            let supplier = part.supplier.map_or("none", |id| &self.keys[&id.0]);
            let placed = part.ordered_on.or(part.arrived_on());
            let name = format!("{supplier} {placed:?}");
            if !orders.contains_key(&name) {
                names.push(name.clone());
            }
            orders.entry(name).or_default().push((selection, part, quantity, cents(quantity * price)));
        }
        for name in names {
            let lines = &orders[&name];
            let goods: Decimal = lines.iter().map(|l| l.3).sum();
            let terms = name.split(' ').next().and_then(|key| self.suppliers.get(key));
            let (mut freight, mut tax) = (Decimal::ZERO, Decimal::ZERO);
            let mut base: Vec<Decimal> =
                lines.iter().map(|l| if l.1.taxable { l.3 } else { Decimal::ZERO }).collect();
            let mut freight_shares = vec![Decimal::ZERO; lines.len()];
            if let Some(s) = terms {
                let units: Decimal = lines.iter().map(|l| l.2).sum();
                if s.freight.free_over.is_none_or(|t| goods < t.amount()) {
                    freight = cents(s.freight.flat.amount() + units * s.freight.per_item.amount())
                        + cents(goods * s.freight.pct / Decimal::ONE_HUNDRED);
                }
                freight_shares = share(freight, &lines.iter().map(|l| l.3).collect::<Vec<_>>());
                if s.freight.taxed {
                    base.iter_mut().zip(&freight_shares).for_each(|(b, f)| *b += f);
                }
                let exact = base.iter().sum::<Decimal>() * s.tax_pct / Decimal::ONE_HUNDRED;
                tax = cents(exact.trunc_with_scale(3));
            }
            let tax_shares = share(tax, &base);
            for (i, (selection, part, _, amount)) in lines.iter().enumerate() {
                let total = amount + freight_shares[i] + tax_shares[i];
                let room = &self.keys[&selection.room.0];
                let supplier = part.supplier.map_or("none", |id| &self.keys[&id.0]);
                let phase = part.phase.map_or("none", |id| &self.keys[&id.0]);
                for key in ["total", room, supplier, phase, &selection.category] {
                    *sums.entry(key.to_owned()).or_default() += total;
                }
            }
        }
        for selection in self.project.selections.iter() {
            let counts = selection.live_option().is_some()
                || selection.options.iter().flat_map(|o| &o.parts).any(Part::is_ordered);
            if !counts {
                for key in ["total", &self.keys[&selection.room.0], &selection.category] {
                    *sums.entry(key.to_owned()).or_default() += cents(selection.allowance.amount());
                }
            }
        }
        sums
    }
}

/// Largest remainder on cents, ties by order.
fn share(total: Decimal, weights: &[Decimal]) -> Vec<Decimal> {
    let all: Decimal = weights.iter().sum();
    let cents = total * Decimal::ONE_HUNDRED;
    if all.is_zero() {
        let mut shares = vec![Decimal::ZERO; weights.len()];
        shares[0] = total;
        return shares;
    }
    let quotas: Vec<Decimal> = weights.iter().map(|w| cents * w / all).collect();
    let mut shares: Vec<Decimal> = quotas.iter().map(Decimal::floor).collect();
    let left = cents - shares.iter().sum::<Decimal>();
    let mut order: Vec<usize> = (0..weights.len()).collect();
    order.sort_by(|a, b| quotas[*b].fract().cmp(&quotas[*a].fract()).then(a.cmp(b)));
    let mut left = left;
    for i in order {
        if left >= Decimal::ONE {
            shares[i] += Decimal::ONE;
            left -= Decimal::ONE;
        }
    }
    shares.iter().map(|s| s / Decimal::ONE_HUNDRED).collect()
}
