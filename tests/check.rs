//! What `problems` says: cases counted by hand on the calendar of June 2026 (Monday 1; Friday 19 is a holiday).

mod support;

use needline::engine::{Figures, problems};
use needline::model::{
    Action, Attempt, Goods, LeadUnit, PhaseKind, Project, Quote, QuoteId, Severity, TypicalLead,
};
use std::sync::Arc;
use support::*;

const MONDAY: &str = "2026-06-01";

/// Severity and key of every problem with a code.
fn with_code(p: &Project, f: &Figures, code: &str) -> Vec<(Severity, String)> {
    let found = problems(p, f).into_iter().filter(|q| q.code == code);
    found.map(|q| (q.severity, q.about)).collect()
}

fn keys(p: &Project, f: &Figures, code: &str) -> Vec<String> {
    with_code(p, f, code).into_iter().map(|(_, key)| key).collect()
}

#[test]
fn a_late_part_of_work_under_way_does_not_move_the_finish() {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("a", 10, ""), ("b", 2, "a")]);
    edit_phase(&mut p, "a", |a| a.actual_start = Some(date(MONDAY)));
    let a = phase_id(&p, "a");
    add_part(&mut p, |part| (part.phase, part.lead) = (Some(a), Some(30)));
    let f = figures(&p, "2026-06-03");
    assert_eq!(f.days_lost, Some(0));
    let late = with_code(&p, &f, "late");
    assert_eq!(late.len(), 1);
    assert_eq!(late[0].0, Severity::Warning);
}

#[test]
fn a_late_part_of_critical_work_ahead_is_an_error() {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("a", 10, "")]);
    let a = phase_id(&p, "a");
    add_part(&mut p, |part| (part.phase, part.lead) = (Some(a), Some(30)));
    let f = figures(&p, MONDAY);
    assert!(f.days_lost.is_some_and(|d| d > 0));
    assert_eq!(with_code(&p, &f, "late")[0].0, Severity::Error);
}

#[test]
fn out_of_sequence_work_is_named_on_every_kind_of_link() {
    let mut p = project(MONDAY);
    add_phases(
        &mut p,
        [
            ("ss_first", 5, ""),
            ("ss_second", 5, "ss_first SS"),
            ("ff_first", 8, ""),
            ("ff_second", 3, "ff_first FF"),
            ("cure_first", 5, ""),
            ("cure_second", 2, "cure_first FS+14e"),
            ("good_first", 2, ""),
            ("good_second", 2, "good_first"),
        ],
    );
    let on = |d: &str| Some(date(d));
    edit_phase(&mut p, "ss_first", |x| x.actual_start = on("2026-06-08"));
    edit_phase(&mut p, "ss_second", |x| x.actual_start = on("2026-06-03"));
    edit_phase(&mut p, "ff_first", |x| x.actual_start = on("2026-06-01"));
    edit_phase(&mut p, "ff_second", |x| {
        (x.actual_start, x.actual_finish) = (on("2026-06-03"), on("2026-06-05"));
    });
    edit_phase(&mut p, "cure_first", |x| {
        (x.actual_start, x.actual_finish) = (on("2026-06-01"), on("2026-06-05"));
    });
    edit_phase(&mut p, "cure_second", |x| x.actual_start = on("2026-06-08"));
    edit_phase(&mut p, "good_first", |x| {
        (x.actual_start, x.actual_finish) = (on("2026-06-04"), on("2026-06-05"));
    });
    // On a Saturday, which counts for Monday.
    edit_phase(&mut p, "good_second", |x| x.actual_start = on("2026-06-06"));
    let f = figures(&p, "2026-06-09");
    assert_eq!(keys(&p, &f, "out_of_sequence"), ["ss_second", "ff_second", "cure_second"]);
}

#[test]
fn dates_after_the_as_of_day_are_named() {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("check", 1, "")]);
    edit_phase(&mut p, "check", |x| {
        x.kind = PhaseKind::Inspection;
        x.attempts.push(Attempt {
            date: date("2027-03-01"),
            passed: true,
            booked: false,
            note: String::new(),
            correct_by: None,
        });
    });
    let part = add_part(&mut p, |part| {
        (part.ordered_on, part.received_on) = (Some(date("2026-06-02")), Some(date("2027-06-01")));
    });
    let f = figures(&p, "2026-06-03");
    let key = p.part(part).unwrap().2.key.clone();
    assert_eq!(keys(&p, &f, "future_actual"), ["check".to_owned(), key]);
}

#[test]
fn the_latest_visit_of_the_inspector_decides() {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("check", 1, "")]);
    edit_phase(&mut p, "check", |x| {
        x.kind = PhaseKind::Inspection;
        for (on, passed) in [("2026-06-01", true), ("2026-06-03", false)] {
            x.attempts.push(Attempt {
                date: date(on),
                passed,
                booked: false,
                note: String::new(),
                correct_by: None,
            });
        }
    });
    let f = figures(&p, "2026-06-03");
    assert_eq!(keys(&p, &f, "failed_inspection"), ["check"]);
    // The first working day after the 3rd, and two more.
    assert_eq!(phase(&f, &p, "check").early_start, Some(day("2026-06-08")));
}

#[test]
fn a_purchase_cannot_contradict_itself_silently() {
    let mut p = project(MONDAY);
    let promised = add_part(&mut p, |x| x.promised_on = Some(date("2026-06-10")));
    let built = add_part(&mut p, |x| {
        x.ordered_on = Some(date("2026-05-01"));
        (x.received_on, x.installed_on) = (Some(date("2026-05-20")), Some(date("2026-05-18")));
    });
    let paid = add_part(&mut p, |x| x.paid = money("400"));
    let f = figures(&p, MONDAY);
    let key = |id| p.part(id).unwrap().2.key.clone();
    assert_eq!(keys(&p, &f, "odd_dates"), [key(promised), key(built)]);
    assert_eq!(keys(&p, &f, "paid_not_ordered"), [key(paid)]);
}

#[test]
fn a_scope_without_an_accepted_quote_is_named() {
    let mut p = project(MONDAY);
    let mut quote = |scope: &str, accepted| {
        let id = QuoteId(p.fresh_id());
        Arc::make_mut(&mut p.quotes).push(Quote {
            id,
            key: format!("q{}", id.0),
            phase: None,
            also: Vec::new(),
            trade: String::new(),
            scope: scope.to_owned(),
            amount: money("100"),
            accepted,
            paid: money("0"),
            allowance: None,
            ..Quote::new(QuoteId(0))
        });
        format!("q{}", id.0)
    };
    let open = quote("Tile", false);
    quote("Tile", false);
    quote("Paint", true);
    quote("Paint", false);
    // One without a scope competes with none.
    let alone = quote("", false);
    let f = figures(&p, MONDAY);
    assert_eq!(keys(&p, &f, "no_quote"), [open, alone]);
}

#[test]
fn a_deposit_falls_due_before_its_balance() {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("tile", 5, "")]);
    edit_phase(&mut p, "tile", |x| x.not_before = Some(date("2026-12-01")));
    let supplier = add_supplier(&mut p, |s| s.deposit_pct = dec("50"));
    let tile = phase_id(&p, "tile");
    add_part(&mut p, |x| {
        (x.phase, x.supplier, x.lead) = (Some(tile), Some(supplier), Some(10));
        x.unit_price = Some(money("1000"));
    });
    let f = figures(&p, MONDAY);
    // Needed Tue Dec 1; ordered by Fri Nov 20, since the 21st is a Saturday.
    let weeks: Vec<String> = f.cash.iter().map(|w| w.monday.to_string()).collect();
    assert_eq!(weeks, ["2026-11-16", "2026-11-30"]);
}

#[test]
fn a_wait_after_work_of_no_days_under_way_counts_from_its_last_day() {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("pour", 0, ""), ("next", 1, "pour FS+3e")]);
    edit_phase(&mut p, "pour", |x| {
        (x.kind, x.actual_start) = (PhaseKind::Work, Some(date("2026-06-02")));
    });
    let f = figures(&p, "2026-06-04");
    // It is worked on Thu 4; three days on are Fri, Sat and Sun; Mon 8 is free.
    assert_eq!(phase(&f, &p, "pour").early_finish, Some(day("2026-06-04")));
    assert_eq!(phase(&f, &p, "next").early_start, Some(day("2026-06-08")));
}

/// Wed Jul 1 less 3, 20 and 50 days are Sun Jun 28, Thu Jun 11 and Tue May 12; nothing is ordered on a Sunday.
#[test]
fn an_undecided_row_shows_the_first_day_that_closes_a_candidate() {
    let mut p = plain(MONDAY);
    add_phases(&mut p, [("a", 30, ""), ("b", 5, "a")]);
    edit_phase(&mut p, "a", |a| a.actual_start = Some(date(MONDAY)));
    let b = phase_id(&p, "b");
    let id = add_selection(&mut p, "900", &[(needline::model::OptionState::Candidate, 1); 3]);
    let parts: Vec<_> = p.selection(id).unwrap().options.iter().map(|o| o.parts[0].id).collect();
    for (part, lead) in parts.iter().zip([3, 20, 50]) {
        edit_part(&mut p, *part, |part| (part.phase, part.lead) = (Some(b), Some(lead)));
    }
    let f = figures(&p, MONDAY);
    let own = f.selection(id).unwrap();
    assert_eq!(part(&f, parts[0]).order_by, Some(day("2026-06-26")));
    assert_eq!((own.order_by, own.days_in_hand), (Some(day("2026-06-11")), Some(10)));
    assert_eq!(own.too_late, 1);
    let said = problems(&p, &f).into_iter().find(|q| q.code == "undecided").unwrap().message;
    assert!(said.contains("by 2026-06-11, 10 days in hand; Option "), "{said}");
    assert!(said.contains("is 20 days past its order-by"), "{said}");
    // When none can be in time, the one that is least late.
    let f = figures(&p, "2026-06-29");
    let own = f.selection(id).unwrap();
    assert_eq!((own.order_by, own.days_in_hand, own.too_late), (Some(day("2026-06-26")), Some(-3), 3));
}

#[test]
fn a_price_without_a_supplier_is_without_tax_and_says_so() {
    let mut p = project(MONDAY);
    let id = add_part(&mut p, |part| part.unit_price = Some(money("100")));
    assert!(with_code(&p, &figures(&p, MONDAY), "no_tax").is_empty(), "nothing here is taxed");
    let supplier = add_supplier(&mut p, |s| s.tax_pct = dec("7.25"));
    assert_eq!(with_code(&p, &figures(&p, MONDAY), "no_tax").len(), 1);
    edit_part(&mut p, id, |part| part.supplier = Some(supplier));
    assert!(with_code(&p, &figures(&p, MONDAY), "no_tax").is_empty());
}

/// Counted by hand: a runs June 1 to 5, b June 3 to 4, c June 8 on.
#[test]
fn a_trade_in_two_phases_at_once_is_named() {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("a", 5, ""), ("b", 2, ""), ("c", 3, "a")]);
    for key in ["a", "b", "c"] {
        edit_phase(&mut p, key, |phase| phase.trade = "Carpenter".to_owned());
    }
    edit_phase(&mut p, "b", |b| b.not_before = Some(date("2026-06-03")));
    let f = figures(&p, MONDAY);
    let found: Vec<_> = problems(&p, &f).into_iter().filter(|q| q.code == "trade_twice").collect();
    assert_eq!(found.len(), 1, "c begins the day after a is done: {found:?}");
    assert_eq!(found[0].about, "a");
    assert!(found[0].message.contains("from 2026-06-03 to 2026-06-04"), "{}", found[0].message);
    edit_phase(&mut p, "b", |b| b.trade = "carpenter, second crew".to_owned());
    assert_eq!(keys(&p, &figures(&p, MONDAY), "trade_twice"), Vec::<String>::new());
}

/// Blank is unknown: no arrival, no order-by, no days in hand, and the day to ask by at the long end of the typical range
/// (semi-custom cabinets: 5 to 10 weeks, common practice, no source). By hand: needed Wednesday September 2, 2026; 70
/// days before are June 24; 53 days, the middle, from Monday June 1 end on July 24.
#[test]
fn a_lead_that_nobody_has_said_is_asked_for() {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("cabinets", 3, "")]);
    edit_phase(&mut p, "cabinets", |c| c.not_before = Some(date("2026-09-02")));
    let phase = phase_id(&p, "cabinets");
    let part = add_part(&mut p, |part| {
        (part.phase, part.lead, part.hold) = (Some(phase), None, Some(0));
        part.goods = Some(Goods::SemiCustomCabinets);
    });
    let f = figures(&p, MONDAY);
    let shown = support::part(&f, part);
    assert_eq!((shown.arrival, shown.order_by, shown.days_in_hand), (None, None, None));
    assert_eq!((shown.expected, shown.ask_by), (Some(day("2026-07-24")), Some(day("2026-06-24"))));
    assert!(shown.is_assumed() && !shown.late && !shown.lead_known);
    assert_eq!(with_code(&p, &f, "lead_unknown")[0].0, Severity::Note);
    assert_eq!(with_code(&p, &figures(&p, "2026-06-22"), "lead_unknown")[0].0, Severity::Warning);

    // The project's own range holds in place of the usual one: 14 weeks are 98 days, back from September 2 to May 27.
    let own = TypicalLead {
        longest: 14,
        lead: 10,
        shortest: 8,
        unit: LeadUnit::Weeks,
        ..Goods::SemiCustomCabinets.usual()
    };
    let p = p.apply(&Action::PutTypical(own)).unwrap();
    assert_eq!(support::part(&figures(&p, MONDAY), part).ask_by, Some(day("2026-05-27")));

    // Zero is what was said: in stock, on site the same day.
    let mut said = p.clone();
    edit_part(&mut said, part, |part| part.lead = Some(0));
    assert_eq!(support::part(&figures(&said, MONDAY), part).arrival, Some(day(MONDAY)));

    // Of a kind that nobody has said, nothing is typical: it binds nothing and is named.
    let mut kindless = p.clone();
    edit_part(&mut kindless, part, |part| part.goods = None);
    let f = figures(&kindless, "2026-09-01");
    assert_eq!(support::part(&f, part).expected, None);
    assert_eq!(f.days_lost, Some(0));
    assert_eq!(with_code(&kindless, &f, "lead_unknown")[0].0, Severity::Warning);
}

/// A lead of zero that was typed is kept apart from one that nobody has said, through files and sheets.
#[test]
fn zero_stays_zero_and_blank_stays_blank() {
    use needline::exchange::{export_sheets, import_sheets};
    use needline::model::file::{from_text, to_text};
    let mut p = project(MONDAY);
    let zero = add_part(&mut p, |part| (part.lead, part.unit_price) = (Some(0), Some(money("0"))));
    let blank = add_part(&mut p, |part| (part.lead, part.unit_price) = (None, None));
    let said = |p: &Project, key: &str| {
        let part = p.all_parts().find(|(_, _, part)| part.key == key).unwrap().2;
        (part.lead, part.unit_price.map(|price| price.is_zero()))
    };
    let keys = [zero, blank].map(|id| p.part(id).unwrap().2.key.clone());
    let filed = from_text(&to_text(&p).unwrap(), std::path::Path::new("x.ron")).unwrap();
    let sheets = import_sheets(export_sheets(&p), "House").unwrap().0;
    for read in [&filed, &sheets] {
        assert_eq!(said(read, &keys[0]), (Some(0), Some(true)));
        assert_eq!(said(read, &keys[1]), (None, None));
    }
}
