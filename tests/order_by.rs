//! Arrival, order-by and last safe order: hand-counted dates, and the laws between them on random terms.

mod support;

use needline::engine::Day;
use needline::engine::days::{Days, SupplierDays};
use needline::engine::lead::Lead;
use needline::model::{ClosedRange, LeadUnit, NeededAt, Part, Project, Supplier, Weekdays};
use proptest::prelude::*;
use support::*;

fn closed(from: &str, to: &str) -> ClosedRange {
    ClosedRange { from: date(from), to: date(to), why: "Closed".to_owned() }
}

fn lead(count: u32, unit: LeadUnit) -> Lead {
    Lead { count, unit }
}

/// The calendars of one supplier in a project that starts in June 2026.
fn desk_of(edit: impl FnOnce(&mut Supplier)) -> (Project, Days) {
    let mut p = project("2026-06-01");
    add_supplier(&mut p, edit);
    let days = Days::new(&p, day("2026-06-01"));
    (p, days)
}

/// Recomputed with numpy and the observed federal holidays; the supplier is open Monday to Friday.
#[test]
fn order_by_table() {
    let (_, days) = desk_of(|_| ());
    let desk = days.supplier(Some(0));
    for (need, count, unit, by) in [
        ("2026-08-24", 42, LeadUnit::Days, "2026-07-13"),
        ("2026-08-24", 6, LeadUnit::Weeks, "2026-07-13"),
        ("2026-08-24", 56, LeadUnit::Days, "2026-06-29"),
        ("2026-09-08", 28, LeadUnit::Days, "2026-08-11"),
        ("2027-01-04", 70, LeadUnit::Days, "2026-10-26"),
        ("2026-08-14", 41, LeadUnit::Days, "2026-07-02"),
        ("2026-08-24", 20, LeadUnit::Working, "2026-07-27"),
        ("2026-09-08", 10, LeadUnit::Working, "2026-08-24"),
        ("2027-01-04", 30, LeadUnit::Working, "2026-11-18"),
    ] {
        let (need, by) = (day(need), day(by));
        let lead = lead(count, unit);
        assert_eq!(desk.order_by(need, lead), by, "{count} {unit:?} before {need}");
        assert!(desk.arrival(by, lead) <= need);
        assert!(desk.arrival(by.plus(1), lead) > need, "{by} is the last day");
        // A part without a supplier has the same week.
        assert_eq!(days.supplier(None).order_by(need, lead), by);
    }
}

/// Counted by hand on the calendar of July 2026: closed Mon 13 to Fri 17, 10 calendar days.
#[test]
fn a_closure_stretches_the_lead() {
    let (_, days) = desk_of(|s| s.closed = vec![closed("2026-07-13", "2026-07-17")]);
    let desk = days.supplier(Some(0));
    let ten = lead(10, LeadUnit::Days);
    // Ordered Wed 8: 9, 10, 11, 12 are four days, then 18 to 23 are six more.
    assert_eq!(desk.arrival(day("2026-07-08"), ten), day("2026-07-23"));
    // Ordered in the closure: taken Mon 20, ready Thu 30.
    assert_eq!(desk.arrival(day("2026-07-15"), ten), day("2026-07-30"));
    // Ordered Wed 1: ready Sat 11, before the closure; received Mon 13, for the house works on.
    assert_eq!(desk.arrival(day("2026-07-01"), ten), day("2026-07-13"));
    // Ordered Thu 2: ready Sun 12, received Mon 13. Taken Mon 6 (3 is a holiday): four days past Sun 12 are 18 to 21.
    assert_eq!(desk.arrival(day("2026-07-02"), ten), day("2026-07-13"));
    assert_eq!(desk.arrival(day("2026-07-03"), ten), day("2026-07-21"));
    assert_eq!(desk.order_by(day("2026-07-23"), ten), day("2026-07-08"));
    assert_eq!(desk.order_by(day("2026-07-20"), ten), day("2026-07-02"));
    // Three open days from Thu 9: Fri 10, Mon 20, Tue 21.
    assert_eq!(desk.arrival(day("2026-07-09"), lead(3, LeadUnit::Working)), day("2026-07-21"));
}

/// Counted by hand: ready, then three calendar days on the road, then the next Tuesday or Friday that is worked.
#[test]
fn shipping_and_delivery_days() {
    let (_, days) = desk_of(|s| {
        s.ship_days = 3;
        s.delivery_weekdays = Some("Tue Fri".parse().unwrap());
    });
    let desk = days.supplier(Some(0));
    let week = lead(1, LeadUnit::Weeks);
    // Mon Jun 15: ready Mon 22, at the door Thu 25, brought Fri 26.
    assert_eq!(desk.arrival(day("2026-06-15"), week), day("2026-06-26"));
    // Tue Jun 23: ready Tue 30, Fri Jul 3 is a holiday, so Tue Jul 7.
    assert_eq!(desk.arrival(day("2026-06-23"), week), day("2026-07-07"));
    // For Mon Jul 6 the last delivery is Tue Jun 30: ready Sat 27, ordered Fri 19, a holiday, so Thu 18.
    assert_eq!(desk.order_by(day("2026-07-06"), week), day("2026-06-18"));
}

/// The project's own closed ranges stop deliveries, not the supplier; its public holidays stop both.
#[test]
fn the_house_closed_is_not_the_supplier_closed() {
    let mut p = project("2026-06-01");
    p.settings.closed = vec![closed("2026-08-03", "2026-08-14")];
    add_supplier(&mut p, |_| ());
    let days = Days::new(&p, day("2026-06-01"));
    let desk = days.supplier(Some(0));
    assert_eq!(desk.arrival(day("2026-07-29"), lead(7, LeadUnit::Days)), day("2026-08-17"));
    assert_eq!(
        desk.arrival(day("2026-08-05"), lead(14, LeadUnit::Days)),
        day("2026-08-19"),
        "orders are taken"
    );
    assert_eq!(desk.arrival(day("2026-07-31"), lead(10, LeadUnit::Working)), day("2026-08-17"));
    assert_eq!(desk.order_by(day("2026-08-17"), lead(7, LeadUnit::Days)), day("2026-08-10"));
}

/// One part in one phase, with the supplier open Monday to Friday.
fn with_part(edit: impl FnOnce(&mut Part)) -> (Project, needline::model::PartId) {
    let mut p = project("2026-06-01");
    // Tile starts Mon Aug 24 (not before), 5 days.
    add_phases(&mut p, [("tile", 5, "")]);
    edit_phase(&mut p, "tile", |f| f.not_before = Some(date("2026-08-24")));
    let (phase, supplier) = (phase_id(&p, "tile"), add_supplier(&mut p, |_| ()));
    let id = add_part(&mut p, |part| {
        part.phase = Some(phase);
        part.supplier = Some(supplier);
        part.lead = Some(42);
        edit(part);
    });
    (p, id)
}

/// Expected arrival in every state, counted by hand. As-of Mon Jul 6, 2026.
#[test]
fn expected_arrival_by_state() {
    const AS_OF: &str = "2026-07-06";
    let arrival = |p: &Project, id| {
        let f = figures(p, AS_OF);
        let part = part(&f, id).clone();
        (part.arrival.unwrap().to_string(), part.late, part.overdue)
    };
    let state = |day: &str, late: bool, overdue: bool| (day.to_owned(), late, overdue);

    let (p, id) = with_part(|_| ());
    assert_eq!(arrival(&p, id), state("2026-08-17", false, false), "not ordered: as if ordered today");

    let (mut p, id) = with_part(|_| ());
    let selection = p.part(id).unwrap().0.id;
    edit_selection(&mut p, selection, |s| s.decide_on = Some(date("2026-07-15")));
    assert_eq!(arrival(&p, id), state("2026-08-26", true, false), "decided later");
    edit_selection(&mut p, selection, |s| s.decide_on = Some(date("2026-06-15")));
    assert_eq!(arrival(&p, id), state("2026-08-17", false, false), "a deciding day that has passed");

    let (p, id) = with_part(|part| part.ordered_on = Some(date("2026-06-22")));
    assert_eq!(arrival(&p, id), state("2026-08-03", false, false), "ordered");

    let (p, id) = with_part(|part| {
        part.ordered_on = Some(date("2026-06-22"));
        part.promised_on = Some(date("2026-08-28"));
    });
    assert_eq!(arrival(&p, id), state("2026-08-28", true, false), "promised later than the lead time");

    let (p, id) = with_part(|part| {
        part.ordered_on = Some(date("2026-05-04"));
    });
    assert_eq!(arrival(&p, id), state("2026-07-07", false, true), "due Jun 15, did not come: the next day");

    let (p, id) = with_part(|part| {
        part.ordered_on = Some(date("2026-05-04"));
        part.promised_on = Some(date("2026-07-06"));
    });
    assert_eq!(arrival(&p, id), state("2026-07-06", false, false), "due today is not overdue");

    let (p, id) = with_part(|part| {
        part.ordered_on = Some(date("2026-05-04"));
        part.promised_on = Some(date("2026-08-28"));
        part.received_on = Some(date("2026-06-20"));
    });
    assert_eq!(arrival(&p, id), state("2026-06-20", false, false), "received, on a Saturday");

    let (p, id) = with_part(|part| part.installed_on = Some(date("2026-06-23")));
    assert_eq!(arrival(&p, id), state("2026-06-23", false, false), "built in without a note of its coming");
}

/// An overdue part is expected on the next day on which its supplier delivers.
#[test]
fn overdue_waits_for_a_delivery_day() {
    let (mut p, id) = with_part(|part| part.ordered_on = Some(date("2026-05-04")));
    let supplier = p.suppliers[0].id;
    std::sync::Arc::make_mut(&mut p.suppliers)[0].delivery_weekdays = Some("Mon".parse().unwrap());
    assert_eq!(p.part(id).unwrap().2.supplier, Some(supplier));
    let f = figures(&p, "2026-07-06");
    assert_eq!(part(&f, id).arrival, Some(day("2026-07-13")), "not the as-of day itself");
}

/// Counted by hand: needed Mon Aug 24; a hold of 3 working days moves that to Wed Aug 19; needed for the finish it is
/// Fri Aug 28, with the hold Tue Aug 25.
#[test]
fn hold_and_finish_move_the_need_date() {
    for (hold, at, need, by) in [
        (None, NeededAt::Start, "2026-08-24", "2026-07-13"),
        (Some(3), NeededAt::Start, "2026-08-19", "2026-07-08"),
        (None, NeededAt::Finish, "2026-08-28", "2026-07-17"),
        (Some(3), NeededAt::Finish, "2026-08-25", "2026-07-14"),
    ] {
        let (p, id) = with_part(|part| (part.hold, part.at) = (hold, at));
        let f = figures(&p, "2026-07-06");
        let part = part(&f, id);
        assert_eq!((part.need_date, part.order_by), (Some(day(need)), Some(day(by))), "{hold:?} {at:?}");
        assert_eq!(part.days_in_hand, Some(day(by).since(day("2026-07-06"))));
        assert_eq!(part.last_safe_order, part.order_by, "the only phase has no float");
    }
    // The project's hold counts where the part names none, and not where it names zero.
    let (mut p, id) = with_part(|_| ());
    p.settings.hold = 3;
    assert_eq!(part(&figures(&p, "2026-07-06"), id).need_date, Some(day("2026-08-19")));
    edit_part(&mut p, id, |part| part.hold = Some(0));
    assert_eq!(part(&figures(&p, "2026-07-06"), id).need_date, Some(day("2026-08-24")));
}

/// A phase with 4 working days of float: ordering up to the last safe order leaves the finish, one open day more
/// moves it.
#[test]
fn last_safe_order_is_the_last_that_is_free() {
    let mut p = project("2026-06-01");
    add_phases(&mut p, [("short", 6, ""), ("long", 10, ""), ("end", 2, "short,long")]);
    let phase = phase_id(&p, "short");
    let id = add_part(&mut p, |part| (part.phase, part.lead) = (Some(phase), Some(7)));
    let f = figures(&p, "2026-05-20");
    let (order_by, safe) = (part(&f, id).order_by.unwrap(), part(&f, id).last_safe_order.unwrap());
    // Needed Mon Jun 1: order Fri May 22 (Memorial Day is May 25). Late start Fri Jun 5: order Fri May 29.
    assert_eq!((order_by, safe), (day("2026-05-22"), day("2026-05-29")));
    for (ordered, lost) in [("2026-05-29", 0), ("2026-06-01", 1)] {
        edit_part(&mut p, id, |part| part.ordered_on = Some(date(ordered)));
        assert_eq!(figures(&p, "2026-06-01").days_lost, Some(lost), "ordered {ordered}");
    }
}

/// A supplier with random terms, small enough to meet every case often.
fn any_terms() -> impl Strategy<Value = Supplier> {
    let week = || (1_u8..128).prop_map(week_of);
    let ranges = proptest::collection::vec((0_i64..160, 0_i64..20), 0..4);
    (week(), proptest::option::of(week()), 0_u32..8, ranges).prop_map(
        |(open, delivery, ship_days, ranges)| {
            let mut s = Supplier::new(needline::model::SupplierId(1), "s", "S");
            (s.weekdays, s.delivery_weekdays, s.ship_days) = (open, delivery, ship_days);
            let base = date("2026-05-01");
            s.closed = ranges
                .into_iter()
                .map(|(from, length)| {
                    let from = base + chrono::Duration::days(from);
                    ClosedRange { from, to: from + chrono::Duration::days(length), why: String::new() }
                })
                .collect();
            s
        },
    )
}

fn week_of(bits: u8) -> Weekdays {
    let digits: String = (0..7).map(|i| if bits >> i & 1 == 1 { '1' } else { '0' }).collect();
    digits.parse().unwrap()
}

fn any_lead() -> impl Strategy<Value = Lead> {
    (0_u32..40, prop_oneof![Just(LeadUnit::Days), Just(LeadUnit::Weeks), Just(LeadUnit::Working)])
        .prop_map(|(count, unit)| lead(if unit == LeadUnit::Weeks { count / 4 } else { count }, unit))
}

/// The rule of the design in its own words, walking: roll forward to an open day; then the n-th open day, or n
/// calendar days and one more for each closed day inside, until stable; then shipping; then a receiving day.
fn arrival_in_words(p: &Project, desk: &SupplierDays<'_>, days: &Days, from: Day, lead: Lead) -> Day {
    let s = &p.suppliers[0];
    let is_closed = |d: Day| s.closed.iter().any(|r| Day::from(r.from) <= d && d <= Day::from(r.to));
    let open = |d: Day| s.weekdays.contains(weekday(d)) && !days.is_holiday(d) && !is_closed(d);
    let mut taken = from;
    while !open(taken) {
        taken = taken.plus(1);
    }
    let mut ready = taken;
    if lead.unit == LeadUnit::Working {
        for _ in 0..lead.count {
            ready = ready.plus(1);
            while !open(ready) {
                ready = ready.plus(1);
            }
        }
    } else {
        let count = lead.count as i32 * if lead.unit == LeadUnit::Weeks { 7 } else { 1 };
        loop {
            let shut = (1..=ready.since(taken)).filter(|k| is_closed(taken.plus(*k))).count() as i32;
            let next = taken.plus(count + shut);
            if next == ready {
                break;
            }
            ready = next;
        }
    }
    let mut here = ready.plus(s.ship_days as i32);
    let received =
        |d: Day| days.work().is_open(d) && s.delivery_weekdays.is_none_or(|w| w.contains(weekday(d)));
    while !received(here) {
        here = here.plus(1);
    }
    assert_eq!(desk.receive.roll_forward(here), here);
    here
}

fn weekday(d: Day) -> chrono::Weekday {
    chrono::Weekday::try_from(d.weekday_index() as u8).unwrap()
}

/// A project with these terms, or nothing when the supplier delivers only on days off.
fn project_with(terms: Supplier) -> Option<Project> {
    let mut p = project("2026-06-01");
    p.settings.closed = vec![closed("2026-07-20", "2026-07-31")];
    let meets = |w: Weekdays| w.bits() & Weekdays::MON_TO_FRI.bits() != 0;
    if !terms.delivery_weekdays.is_none_or(meets) {
        return None;
    }
    add_supplier(&mut p, |s| *s = Supplier { id: s.id, ..terms });
    Some(p)
}

proptest! {
    #[test]
    fn arrival_is_the_rule_in_words(terms in any_terms(), lead in any_lead(), from in 0_i32..120) {
        let Some(p) = project_with(terms) else { return Ok(()) };
        let days = Days::new(&p, day("2026-06-01"));
        let desk = days.supplier(Some(0));
        let from = day("2026-05-15").plus(from);
        prop_assert_eq!(desk.arrival(from, lead), arrival_in_words(&p, &desk, &days, from, lead));
    }

    #[test]
    fn arrival_is_monotone(terms in any_terms(), lead in any_lead()) {
        let Some(p) = project_with(terms) else { return Ok(()) };
        let days = Days::new(&p, day("2026-06-01"));
        let desk = days.supplier(Some(0));
        let first = day("2026-04-15");
        for k in 0..200 {
            prop_assert!(desk.arrival(first.plus(k), lead) <= desk.arrival(first.plus(k + 1), lead), "{}", k);
            prop_assert!(desk.arrival(first.plus(k), lead) >= first.plus(k));
        }
    }

    /// `order_by` is open, in time, and the next open day is not.
    #[test]
    fn order_by_is_the_last_in_time(terms in any_terms(), lead in any_lead(), need in 0_i32..200) {
        let Some(p) = project_with(terms) else { return Ok(()) };
        let days = Days::new(&p, day("2026-06-01"));
        let desk = days.supplier(Some(0));
        let need = day("2026-05-15").plus(need);
        let by = desk.order_by(need, lead);
        prop_assert!(desk.order.is_open(by));
        prop_assert!(desk.arrival(by, lead) <= need);
        let next = desk.order.roll_forward(by.plus(1));
        prop_assert!(desk.arrival(next, lead) > need, "{} would do too", next);
    }

    /// With float to spend, the last safe order is never before order-by; without, they are the same.
    #[test]
    fn last_safe_order_follows_the_float(
        terms in any_terms(),
        lead in any_lead(),
        lengths in proptest::collection::vec(0_i32..12, 4),
        at_finish: bool,
        hold in 0_u32..4,
    ) {
        let Some(mut p) = project_with(terms) else { return Ok(()) };
        let [a, b, c, d] = lengths[..] else { return Ok(()) };
        add_phases(&mut p, [("a", a, ""), ("b", b, "a"), ("c", c, "a"), ("d", d, "b,c")]);
        let supplier = p.suppliers[0].id;
        let ids: Vec<_> = ["a", "b", "c", "d"]
            .map(|key| {
                let phase = phase_id(&p, key);
                add_part(&mut p, |part| {
                    (part.phase, part.supplier, part.hold) = (Some(phase), Some(supplier), Some(hold));
                    (part.lead, part.lead_unit) = (Some(lead.count), lead.unit);
                    part.at = if at_finish { NeededAt::Finish } else { NeededAt::Start };
                })
            })
            .to_vec();
        let f = figures(&p, "2026-06-01");
        for (id, phase) in ids.into_iter().zip(&f.phases) {
            let part = part(&f, id);
            let (by, safe) = (part.order_by.unwrap(), part.last_safe_order.unwrap());
            prop_assert!(safe >= by);
            if phase.total_float == Some(0) {
                prop_assert_eq!(safe, by);
            }
            // A part is late exactly when ordering today is after order-by.
            prop_assert_eq!(part.late, f.days.supplier(Some(0)).order.roll_forward(f.as_of) > by);
        }
    }
}
