//! All calendars of a project: the working days of the house, and for each supplier the days it takes orders, the
//! days its lead times run, and the days on which the house can receive from it. Equal calendars are made once.

use crate::engine::calendar::{Calendar, Day, DayRule, DayTable, HolidayTable};
use crate::engine::index::phase_positions;
use crate::model::dates::{ClosedRange, Weekdays};
use crate::model::{Phase, PhaseId, Project, Supplier};

/// The calendars of a project.
#[derive(Debug, Clone)]
pub struct Days {
    holidays: HolidayTable,
    /// The first day in the tables of suppliers.
    first: Day,
    /// Calendar days that the work may take, with a margin.
    behind: i32,
    /// The latest delivery behind which the table of the house has room for all the work.
    arrivals: Day,
    /// The working days of the house first.
    tables: Vec<DayTable>,
    /// For each phase, the table of the days it is worked on where these are fewer; empty when all are worked on all days.
    own: Vec<Option<usize>>,
    /// For each supplier in document order, and last for parts without one: its tables.
    suppliers: Vec<SupplierTables>,
}

#[derive(Debug, Clone, Copy)]
struct SupplierTables {
    order: usize,
    /// Days on which a lead time in calendar days runs; `None` when every day counts.
    lead: Option<usize>,
    receive: usize,
    ship_days: i32,
}

/// The calendars that matter for one supplier.
#[derive(Debug, Clone, Copy)]
pub struct SupplierDays<'a> {
    /// Days on which it takes orders.
    pub order: Calendar<'a>,
    /// Days on which a lead time in calendar days runs; `None` when every day counts.
    pub lead: Option<Calendar<'a>>,
    /// Days on which the house can receive from it.
    pub receive: Calendar<'a>,
    /// Calendar days on the road.
    pub ship_days: i32,
}

/// Days kept in the tables before and behind everything the project names: for lead times of up to nine months.
const MARGIN: i32 = 300;

impl Days {
    /// Makes the tables for a project looked at on a day.
    pub fn new(project: &Project, as_of: Day) -> Days {
        let Span { first, last, earliest, behind } = Span::of(project, as_of);
        let holidays = HolidayTable::new(&project.settings.holidays, earliest, last);
        let work = DayRule::new(project.settings.weekdays, true, &project.settings.closed);
        let tables = vec![DayTable::new(work.clone(), &holidays)];
        let arrivals = last.plus(-behind);
        let mut days =
            Days { holidays, first, behind, arrivals, tables, own: Vec::new(), suppliers: Vec::new() };
        for supplier in project.suppliers.iter() {
            let tables = days.supplier_tables(&work, supplier);
            days.suppliers.push(tables);
        }
        let plain = days.table(DayRule::new(Weekdays::MON_TO_FRI, true, &[]));
        days.suppliers.push(SupplierTables { order: plain, lead: None, receive: 0, ship_days: 0 });
        days.add_crews(project, &work, as_of);
        days
    }

    /// Makes the table of the house reach over the work behind a late delivery, so that no look-up has to walk. Indices
    /// of days stay as they are.
    pub fn reach(&mut self, arrival: Day) {
        // Twice the work may be left; half of it is the room that was left behind the last date known.
        if arrival.since(self.arrivals) > 0 {
            self.arrivals = arrival.plus(MARGIN);
            self.holidays.reach(self.arrivals.plus(self.behind));
            self.tables[0] = DayTable::new(self.tables[0].rule().clone(), &self.holidays);
            for table in self.own.clone().into_iter().flatten() {
                self.tables[table].reach(&self.holidays);
            }
        }
    }

    /// A table for each phase whose crew is away at times, or that was not worked on some day up to the as-of day.
    fn add_crews(&mut self, project: &Project, work: &DayRule, as_of: Day) {
        let away = |phase: &Phase| {
            let crew = phase.crew.and_then(|id| project.crew(id));
            crew.map_or(&[] as &[ClosedRange], |crew| crew.away.as_slice())
        };
        if project.phases.iter().all(|p| away(p).is_empty() && p.missed.is_empty()) {
            return;
        }
        let table = |days: &mut Days, phase: &Phase| {
            let missed = phase.missed.iter().map(|m| Day::from(m.date)).filter(|day| *day <= as_of);
            let missed = missed.map(|day| (day, day));
            let away = away(phase).iter().map(|r| (Day::from(r.from), Day::from(r.to)));
            let shut: Vec<(Day, Day)> = away.chain(missed).collect();
            if shut.is_empty() {
                return None;
            }
            let rule = work.but(&shut);
            let known = days.tables.iter().position(|t| *t.rule() == rule);
            Some(known.unwrap_or_else(|| {
                days.tables.push(DayTable::new(rule, &days.holidays));
                days.tables.len() - 1
            }))
        };
        let own: Vec<Option<usize>> = project.phases.iter().map(|phase| table(self, phase)).collect();
        self.own = own;
    }

    /// The days on which the phase at a position is worked; `None` when these are all working days of the house.
    pub fn own(&self, phase: usize) -> Option<Calendar<'_>> {
        let table = self.own.get(phase).copied().flatten()?;
        Some(self.calendar(table))
    }

    fn supplier_tables(&mut self, work: &DayRule, supplier: &Supplier) -> SupplierTables {
        SupplierTables {
            order: self.table(DayRule::new(supplier.weekdays, true, &supplier.closed)),
            lead: (!supplier.closed.is_empty())
                .then(|| self.table(DayRule::new(Weekdays::ALL, false, &supplier.closed))),
            receive: match supplier.delivery_weekdays {
                Some(weekdays) => self.table(work.only_on(weekdays)),
                None => 0,
            },
            ship_days: i32::try_from(supplier.ship_days).unwrap_or(i32::MAX),
        }
    }

    fn table(&mut self, rule: DayRule) -> usize {
        if let Some(known) = self.tables.iter().position(|t| *t.rule() == rule) {
            return known;
        }
        self.tables.push(DayTable::from(self.first, rule, &self.holidays));
        self.tables.len() - 1
    }

    /// The working days of the house.
    pub fn work(&self) -> Calendar<'_> {
        self.calendar(0)
    }

    /// Whether a day is a public holiday or an own one.
    pub fn is_holiday(&self, day: Day) -> bool {
        self.holidays.contains(day)
    }

    fn calendar(&self, table: usize) -> Calendar<'_> {
        Calendar::new(&self.tables[table], &self.holidays)
    }

    /// The calendars of the supplier at a position in the document, or of no supplier.
    pub fn supplier(&self, position: Option<usize>) -> SupplierDays<'_> {
        let last = self.suppliers.len() - 1;
        let tables = self.suppliers[position.map_or(last, |p| p.min(last))];
        SupplierDays {
            order: self.calendar(tables.order),
            lead: tables.lead.map(|t| self.calendar(t)),
            receive: self.calendar(tables.receive),
            ship_days: tables.ship_days,
        }
    }
}

/// What the tables reach over.
struct Span {
    /// The first and
    first: Day,
    /// the last day: every date that matters, with room for leads before and for the work behind.
    last: Day,
    /// The first day of the table of the house: the late dates before a target finish lie up to the whole work before it.
    earliest: Day,
    /// Calendar days that the work may take, with a margin.
    behind: i32,
}

impl Span {
    fn of(project: &Project, as_of: Day) -> Span {
        let start = Day::from(project.settings.start);
        let mut first = start.min(as_of);
        let mut last = start.max(as_of);
        let mut note = |date: Option<chrono::NaiveDate>| {
            if let Some(date) = date {
                first = first.min(Day::from(date));
                last = last.max(Day::from(date));
            }
        };
        for phase in project.phases.iter() {
            [phase.not_before, phase.actual_start, phase.actual_finish].into_iter().for_each(&mut note);
            phase.attempts.iter().for_each(|a| note(Some(a.date)));
            phase.missed.iter().for_each(|m| note(Some(m.date)));
        }
        project.permits.iter().for_each(|p| note(p.issued_on));
        project.crews.iter().flat_map(|c| &c.away).for_each(|r| note(Some(r.to)));
        // Twice the working days covers weekends and holidays of a five-day week. A longer wait for a delivery, or a
        // shorter week, is answered beyond the table.
        let behind = (longest_chain(project) * 2).min(20_000) as i32 + MARGIN;
        let target = project.settings.target_finish.map_or(last, Day::from);
        let first = first.min(target).plus(-MARGIN);
        let earliest =
            project.settings.target_finish.map_or(first, |day| first.min(Day::from(day).plus(-behind)));
        Span { first, last: last.plus(behind).max(target.plus(MARGIN)), earliest, behind }
    }
}

/// Working days of the longest chain of phases, with every link taken as if it led from finish to start; at least
/// what the work takes. Phases on or behind a circle are left out.
fn longest_chain(project: &Project) -> i64 {
    let at = phase_positions(project);
    let find = |id: PhaseId| at.get(id.0 as usize).copied().filter(|i| *i != usize::MAX);
    let mut next: Vec<Vec<(usize, i64)>> = vec![Vec::new(); project.phases.len()];
    let mut waits = vec![0_u32; project.phases.len()];
    for link in project.links.iter() {
        if let (Some(before), Some(after)) = (find(link.before), find(link.after)) {
            next[before].push((after, i64::from(link.lag.max(0))));
            waits[after] += 1;
        }
    }
    let mut reached = vec![0_i64; project.phases.len()];
    let mut ready: Vec<usize> = (0..waits.len()).filter(|i| waits[*i] == 0).collect();
    let mut longest = 0;
    while let Some(i) = ready.pop() {
        let phase = &project.phases[i];
        let done = reached[i] + i64::from(phase.counted_days().max(phase.days_left.unwrap_or(0)).max(0));
        longest = longest.max(done);
        for (j, lag) in std::mem::take(&mut next[i]) {
            reached[j] = reached[j].max(done + lag);
            waits[j] -= 1;
            if waits[j] == 0 {
                ready.push(j);
            }
        }
    }
    longest
}
