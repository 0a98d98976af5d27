//! Crews, bookings, calls, permits and booked visits: by hand on the calendar of June 2026 (Monday 1; Friday 19 is a
//! holiday), and by law.

mod support;

use needline::engine::people::Booked;
use needline::engine::{Day, Figures, problems};
use needline::exchange::outgoing::crews::{message, sheet};
use needline::model::*;
use proptest::prelude::*;
use std::sync::Arc;
use support::*;

const MONDAY: &str = "2026-06-01";

/// Rough work Mon 1 to Fri 5, drywall Mon 8 to Fri 12, paint from Mon 15 for three days.
fn house() -> Project {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("rough", 5, ""), ("drywall", 5, "rough"), ("paint", 3, "drywall")]);
    for phase in Arc::make_mut(&mut p.phases).iter_mut() {
        phase.trade = "Trade".to_owned();
    }
    p
}

fn hire(p: &Project, phase: &str, edit: impl FnOnce(&mut Crew)) -> (Project, CrewId) {
    let id = CrewId(p.next_id);
    let mut crew = Crew::new(id, &format!("crew_of_{phase}"), &format!("Crew of {phase}"));
    edit(&mut crew);
    let p = p.apply(&Action::PutCrew(crew)).unwrap();
    let mut own = p.phase(phase_id(&p, phase)).unwrap().clone();
    own.crew = Some(id);
    (p.apply(&Action::PutPhase(own)).unwrap(), id)
}

fn away(from: &str, to: &str) -> ClosedRange {
    ClosedRange { from: date(from), to: date(to), why: "another house".to_owned() }
}

fn days(f: &Figures, p: &Project, key: &str) -> (String, String) {
    let own = phase(f, p, key);
    (own.forecast_start.unwrap().to_string(), own.forecast_finish.unwrap().to_string())
}

fn codes(p: &Project, f: &Figures, code: &str) -> Vec<String> {
    problems(p, f).into_iter().filter(|q| q.code == code).map(|q| q.message).collect()
}

fn pair(a: &str, b: &str) -> (String, String) {
    (a.to_owned(), b.to_owned())
}

/// Away Tue 9 and Wed 10: five days from Mon 8 are 8, 11, 12, 15, 16. Paint follows Wed 17; Fri 19 is a holiday.
#[test]
fn days_away_lengthen_the_work_and_move_what_follows() {
    let (p, _) = hire(&house(), "drywall", |c| c.away = vec![away("2026-06-09", "2026-06-10")]);
    let f = figures(&p, MONDAY);
    assert_eq!(days(&f, &p, "drywall"), pair("2026-06-08", "2026-06-16"));
    assert_eq!(days(&f, &p, "paint"), pair("2026-06-17", "2026-06-22"));
    let own = phase(&f, &p, "drywall");
    assert_eq!((own.total_float, own.free_float), (Some(0), Some(0)));
    assert_eq!(own.late_finish.unwrap().to_string(), "2026-06-16");
    // Away on its first days it begins when it is back.
    let (p, _) = hire(&house(), "drywall", |c| c.away = vec![away("2026-06-06", "2026-06-09")]);
    assert_eq!(days(&figures(&p, MONDAY), &p, "drywall"), pair("2026-06-10", "2026-06-16"));
    // The work before it can slip by the two days for which nobody would come anyhow.
    assert_eq!(phase(&figures(&p, MONDAY), &p, "rough").free_float, Some(2));
}

/// Begun on Mon 8; on Wed 10 three days are left: 10, 11 away, so 10, 12, 15. A missed day before counts where no days
/// left are given: 8, 9 missed, then 10, 12, 15, 16.
#[test]
fn days_left_and_missed_days_count_on_the_days_of_the_crew() {
    let (mut p, _) = hire(&house(), "drywall", |c| c.away = vec![away("2026-06-11", "2026-06-11")]);
    edit_phase(&mut p, "rough", |r| {
        (r.actual_start, r.actual_finish) = (Some(date(MONDAY)), Some(date("2026-06-05")));
    });
    edit_phase(&mut p, "drywall", |d| {
        (d.actual_start, d.days_left) = (Some(date("2026-06-08")), Some(3));
    });
    assert_eq!(days(&figures(&p, "2026-06-10"), &p, "drywall").1, "2026-06-15");
    edit_phase(&mut p, "drywall", |d| d.days_left = None);
    assert_eq!(days(&figures(&p, "2026-06-10"), &p, "drywall").1, "2026-06-15");
    let missed = Missed { date: date("2026-06-09"), why: "van".to_owned() };
    let p = p.apply(&Action::MarkMissed(phase_id(&p, "drywall"), missed.clone())).unwrap();
    assert_eq!(days(&figures(&p, "2026-06-10"), &p, "drywall").1, "2026-06-16");
    // Noted twice it is one day.
    let p = p.apply(&Action::MarkMissed(phase_id(&p, "drywall"), missed)).unwrap();
    assert_eq!(p.phase(phase_id(&p, "drywall")).unwrap().missed.len(), 1);
}

/// A part that is needed at the finish, and comes while the crew is away, asks for the last day behind that.
#[test]
fn what_is_needed_at_the_finish_asks_for_a_start_that_is_late_enough() {
    let (mut p, _) = hire(&house(), "drywall", |c| c.away = vec![away("2026-06-17", "2026-06-23")]);
    let drywall = phase_id(&p, "drywall");
    add_part(&mut p, |part| {
        (part.phase, part.at, part.hold) = (Some(drywall), NeededAt::Finish, Some(0));
        (part.ordered_on, part.promised_on) = (Some(date(MONDAY)), Some(date("2026-06-18")));
    });
    // The last day is Wed 24; with it Tue 16, Mon 15, Fri 12 and Thu 11.
    assert_eq!(days(&figures(&p, MONDAY), &p, "drywall"), pair("2026-06-11", "2026-06-24"));
}

/// Booked from Mon 8, the crew comes four days late: two working days, and all that follows. It is called once, with old
/// and new day; told, nobody is left to call; a yes to the old day no longer counts.
#[test]
fn a_crew_four_days_late_is_called_told_and_then_quiet() {
    let (p, crew) = hire(&house(), "drywall", |c| c.phone = "+1 555 0117".to_owned());
    let drywall = phase_id(&p, "drywall");
    let p = p.apply(&Action::Book(drywall, Some(date("2026-06-08")))).unwrap();
    let p = p.apply(&Action::MarkConfirmed(drywall, Some(date("2026-06-02")))).unwrap();
    let p = p.apply(&Action::StartPhase(phase_id(&p, "rough"), Some(date(MONDAY)))).unwrap();
    let f = figures(&p, "2026-06-03");
    assert!(f.people.calls.is_empty());
    assert_eq!(f.people.booking(1).state, Booked::Confirmed);
    // The painters are theirs to call too, once they have a day.
    let (p, painters) = hire(&p, "paint", |_| ());
    let p = p.apply(&Action::Book(phase_id(&p, "paint"), Some(date("2026-06-15")))).unwrap();
    let late = Crew { away: vec![away("2026-06-08", "2026-06-11")], ..p.crew(crew).unwrap().clone() };
    let p = p.apply(&Action::PutCrew(late)).unwrap();
    let f = figures(&p, "2026-06-03");
    // Fri 12, Mon 15 to Thu 18; paint Mon 22, for Fri 19 is a holiday.
    assert_eq!(days(&f, &p, "drywall"), pair("2026-06-12", "2026-06-18"));
    let calls: Vec<(CrewId, String, String)> =
        f.people.calls.iter().map(|c| (c.crew, c.old.to_string(), c.new.to_string())).collect();
    assert_eq!(
        calls,
        [
            (crew, "2026-06-08".to_owned(), "2026-06-12".to_owned()),
            (painters, "2026-06-15".to_owned(), "2026-06-22".to_owned()),
        ]
    );
    assert_eq!(f.people.to_call(), [crew, painters]);
    let text = message(&sheet(&p, &f, crew).unwrap());
    assert!(text.contains("drywall now starts Fri Jun 12, 2026, not Mon Jun 8, 2026."), "{text}");
    assert!(codes(&p, &f, "to_call")[0].contains("+1 555 0117"));
    let told = |p: &Project, crew| Action::MarkTold {
        starts: f.people.starts_to_tell(p, crew),
        on: date("2026-06-03"),
    };
    let p = p.apply(&told(&p, crew)).unwrap().apply(&told(&p, painters)).unwrap();
    let f = figures(&p, "2026-06-03");
    assert!(f.people.calls.is_empty() && codes(&p, &f, "to_call").is_empty());
    let own = p.phase(drywall).unwrap();
    assert_eq!((own.told_on, own.told_start), (Some(date("2026-06-03")), Some(date("2026-06-12"))));
    assert_eq!(f.people.booking(1).state, Booked::Asked);
    // Begun, nobody is to be called whatever was told.
    let p = p.apply(&Action::StartPhase(drywall, Some(date("2026-06-15")))).unwrap();
    assert!(figures(&p, "2026-06-15").people.calls.iter().all(|c| c.crew != crew));
}

/// Ten working days before Mon 8 is Fri 22 May (Memorial Day is Mon 25). Where the crew has not said, what is usual.
#[test]
fn crews_are_to_be_booked_before_their_lead() {
    let (p, _) = hire(&house(), "drywall", |c| c.hire_lead = Some(10));
    let booking = |p: &Project| figures(p, MONDAY).people.booking(1);
    assert_eq!(booking(&p).state, Booked::NotBooked);
    assert_eq!(booking(&p).hire_by.unwrap().to_string(), "2026-05-22");
    assert!(!booking(&p).typical);
    assert_eq!(codes(&p, &figures(&p, MONDAY), "unhired").len(), 1 + 1, "paint has no crew either");
    let p = p.apply(&Action::Book(phase_id(&p, "drywall"), Some(date("2026-06-08")))).unwrap();
    assert_eq!(codes(&p, &figures(&p, MONDAY), "unhired").len(), 1);
    // Without any crew nobody asks.
    assert!(codes(&house(), &figures(&house(), MONDAY), "unhired").is_empty());
}

#[test]
fn a_crew_in_two_phases_is_named_with_both_orders() {
    let (p, crew) = hire(&house(), "drywall", |_| ());
    let mut p = p;
    add_phases(&mut p, [("patch", 2, "rough")]);
    edit_phase(&mut p, "patch", |x| (x.crew, x.trade) = (Some(crew), "Trade".to_owned()));
    let f = figures(&p, MONDAY);
    let [twice] = f.people.twice.as_slice() else { panic!("{:?}", f.people.twice) };
    assert_eq!((twice.from.to_string(), twice.to.to_string()), pair("2026-06-08", "2026-06-09"));
    let [message] = codes(&p, &f, "crew_twice").try_into().unwrap();
    assert!(message.contains("link drywall before patch, or patch before drywall"), "{message}");
    for (before, after) in [(twice.first, twice.second), (twice.second, twice.first)] {
        let link = needline::engine::people::link_of(&p, before, after).unwrap();
        let p = p.apply(&Action::PutLink(link)).unwrap();
        assert!(figures(&p, MONDAY).people.twice.is_empty());
    }
}

/// A permit that is expected on a day holds its phases until then; one of which nobody knows the day until tomorrow.
#[test]
fn permits_hold_their_phases() {
    let p = house();
    let permit = |issued: Option<&str>| Permit {
        key: "permit".to_owned(),
        name: "Permit".to_owned(),
        issued_on: issued.map(date),
        expires_on: issued.map(|_| date("2026-06-18")),
        phases: vec![phase_id(&p, "rough")],
        ..Permit::new(PermitId(p.next_id))
    };
    let with = |issued| p.apply(&Action::PutPermit(permit(issued))).unwrap();
    assert_eq!(days(&figures(&with(Some("2026-06-10")), MONDAY), &p, "rough").0, "2026-06-10");
    assert_eq!(days(&figures(&with(Some("2026-05-10")), MONDAY), &p, "rough").0, MONDAY);
    let unknown = with(None);
    let f = figures(&unknown, MONDAY);
    assert_eq!(days(&f, &p, "rough").0, "2026-06-02");
    assert_eq!(codes(&unknown, &f, "permit_waits").len(), 1);
    let f = figures(&with(Some("2026-06-15")), "2026-06-16");
    assert_eq!(codes(&with(Some("2026-06-15")), &f, "permit_expires").len(), 1);
    let mut begun = unknown;
    edit_phase(&mut begun, "rough", |r| r.actual_start = Some(date(MONDAY)));
    assert_eq!(codes(&begun, &figures(&begun, MONDAY), "permit_missing").len(), 1);
    // The permit goes on without a phase that is removed.
    let gone = begun.apply(&Action::RemovePhase(phase_id(&begun, "rough"))).unwrap();
    assert!(gone.permits[0].phases.is_empty());
}

/// A visit that is booked holds its inspection until its day; what came of it takes its place.
#[test]
fn booked_visits_hold_and_are_replaced() {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("rough", 5, ""), ("check", 1, "rough"), ("cover", 2, "check")]);
    edit_phase(&mut p, "check", |x| x.kind = PhaseKind::Inspection);
    let check = phase_id(&p, "check");
    let book =
        |p: &Project, on: &str| p.apply(&Action::RecordAttempt(check, Attempt::booked(date(on)))).unwrap();
    let booked = book(&p, "2026-06-11");
    assert_eq!(days(&figures(&booked, MONDAY), &p, "check").0, "2026-06-11");
    assert_eq!(days(&figures(&booked, MONDAY), &p, "cover").0, "2026-06-12");
    // Another day takes the place of the first.
    let booked = book(&booked, "2026-06-09");
    assert_eq!(booked.phase(check).unwrap().attempts.len(), 1);
    assert_eq!(days(&figures(&booked, MONDAY), &p, "check").0, "2026-06-09");
    // Too early for the work before it, and nothing noted once it is past.
    let early = book(&p, "2026-06-04");
    let f = figures(&early, MONDAY);
    assert_eq!(codes(&early, &f, "visit_too_early").len(), 1);
    assert_eq!(codes(&booked, &figures(&booked, "2026-06-10"), "visit_unnoted").len(), 1);
    let passed = booked.apply(&Action::RecordAttempt(check, Attempt::new(date("2026-06-09"), true))).unwrap();
    assert_eq!(passed.phase(check).unwrap().attempts.len(), 1);
    assert_eq!(passed.phase(check).unwrap().finished_on(), Some(date("2026-06-09")));
}

/// Work that was found adds its days once somebody agreed, from that day on.
#[test]
fn changes_take_days_once_they_are_agreed_on() {
    let p = house();
    let id = ChangeId(p.next_id);
    let change = Change {
        key: "rot".to_owned(),
        what: "Replace a rotten sill".to_owned(),
        phase: Some(phase_id(&p, "drywall")),
        days: Some(2),
        amount: Some(money("540")),
        ..Change::new(id)
    };
    let p = p.apply(&Action::StartPhase(phase_id(&p, "rough"), Some(date(MONDAY)))).unwrap();
    let p = p.apply(&Action::PutChange(change)).unwrap();
    assert_eq!(days(&figures(&p, MONDAY), &p, "drywall").1, "2026-06-12");
    let p = p.apply(&Action::Agree(id, Some(("Owner".to_owned(), date("2026-06-03"))))).unwrap();
    assert_eq!(days(&figures(&p, "2026-06-02"), &p, "drywall").1, "2026-06-12");
    assert_eq!(days(&figures(&p, "2026-06-03"), &p, "drywall").1, "2026-06-16");
}

/// Accepting gives the phases crew and start; taking another takes the start of the first back, and never a day of the
/// user's own.
#[test]
fn an_accepted_bid_sets_crew_and_start() {
    let p = house();
    let (p, a) = hire(&p, "rough", |_| ());
    let (p, b) = hire(&p, "rough", |c| c.key = "other".to_owned());
    let mut p = p;
    let drywall = phase_id(&p, "drywall");
    let mut quotes = Vec::new();
    for (crew, starts, days) in [(a, "2026-06-15", 4), (b, "2026-06-10", 6)] {
        let id = QuoteId(p.next_id);
        quotes.push(id);
        p = p
            .apply(&Action::PutQuote(Quote {
                key: format!("q{}", id.0),
                phase: Some(drywall),
                scope: "Drywall".to_owned(),
                amount: money("900"),
                crew: Some(crew),
                starts_on: Some(date(starts)),
                days: Some(days),
                ..Quote::new(id)
            }))
            .unwrap();
    }
    let first = p.apply(&Action::AcceptQuote(quotes[0])).unwrap();
    let own = |p: &Project| p.phase(drywall).unwrap().clone();
    assert_eq!((own(&first).crew, own(&first).not_before), (Some(a), Some(date("2026-06-15"))));
    assert_eq!(days(&figures(&first, MONDAY), &p, "drywall"), pair("2026-06-15", "2026-06-18"));
    let booked = first.apply(&Action::Book(drywall, Some(date("2026-06-15")))).unwrap();
    let second = booked.apply(&Action::AcceptQuote(quotes[1])).unwrap();
    assert_eq!((own(&second).crew, own(&second).not_before), (Some(b), Some(date("2026-06-10"))));
    assert_eq!(
        (own(&second).booked_from, own(&second).days),
        (None, Some(6)),
        "the other crew knows nothing"
    );
    let mut with_own = p.clone();
    edit_phase(&mut with_own, "drywall", |d| d.not_before = Some(date("2026-06-22")));
    let with_own = with_own.apply(&Action::AcceptQuote(quotes[0])).unwrap();
    assert_eq!(own(&with_own).not_before, Some(date("2026-06-22")));
}

#[test]
fn a_crew_in_use_is_not_removed() {
    let (p, crew) = hire(&house(), "drywall", |_| ());
    let why = p.apply(&Action::RemoveCrew(crew)).unwrap_err().to_string();
    assert!(why.contains("1 phase names this crew"), "{why}");
    let p = p.apply(&Action::PutPhase(Phase { crew: None, ..p.phases[1].clone() })).unwrap();
    assert!(p.apply(&Action::RemoveCrew(crew)).is_ok());
    let lost = Phase { crew: Some(CrewId(9_999)), ..p.phases[1].clone() };
    assert!(p.apply(&Action::PutPhase(lost)).is_err());
    let twice = Crew {
        away: vec![away("2026-06-01", "2026-06-05"), away("2026-06-05", "2026-06-06")],
        ..p.crews[0].clone()
    };
    assert!(p.apply(&Action::PutCrew(twice)).is_err());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    /// One more day away never makes anything sooner, in plan or forecast; a crew that is never away changes nothing.
    #[test]
    fn a_day_away_never_helps(table in any_network(), offset in 0_i64..40, length in 1_i64..6) {
        let mut p = project(MONDAY);
        add_phases(&mut p, table.rows());
        // What must be finished by a day begins sooner when days of it are lost.
        let to_finish = |l: &Link| !l.kind.bounds_start();
        if p.phases.is_empty() || p.links.iter().any(to_finish) {
            return Ok(());
        }
        let before = figures(&p, MONDAY);
        let id = CrewId(p.fresh_id());
        Arc::make_mut(&mut p.crews).push(Crew::new(id, "crew", "Crew"));
        for phase in Arc::make_mut(&mut p.phases).iter_mut().step_by(2) {
            phase.crew = Some(id);
        }
        let idle = figures(&p, MONDAY);
        prop_assert_eq!(&idle.phases, &before.phases);
        let first = date(MONDAY) + chrono::Days::new(offset as u64);
        let range = ClosedRange { from: first, to: first + chrono::Days::new(length as u64), why: String::new() };
        Arc::make_mut(&mut p.crews)[0].away.push(range.clone());
        let after = figures(&p, MONDAY);
        for (at, (old, new)) in before.phases.iter().zip(&after.phases).enumerate() {
            prop_assert!(new.early_start >= old.early_start && new.early_finish >= old.early_finish);
            prop_assert!(new.total_float.is_none_or(|float| float >= 0));
            // Late dates are days on which it is worked, and no earlier than the early ones.
            prop_assert!(new.late_start >= new.early_start);
            if at % 2 == 0 && p.phases[at].counted_days() > 0 {
                let inside = |day: Option<Day>| day.is_some_and(|d| (range.from..=range.to).contains(&d.date()));
                prop_assert!(![new.early_start, new.early_finish, new.late_start, new.late_finish]
                    .into_iter()
                    .any(inside));
            }
        }
    }
}
