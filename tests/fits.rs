//! Rules of what goes with what: limits of codes and programs as rules, units, and what is said of them.

mod support;

use needline::engine::fits::{self, Fit};
use needline::engine::{compute, problems};
use needline::model::*;
use proptest::prelude::*;
use support::*;

/// A selection with one option a value, the first of them the choice; no value leaves the fact out.
fn add(p: &mut Project, fact: &str, values: &[&str]) -> SelectionId {
    let states: Vec<_> = values.iter().map(|_| (OptionState::Candidate, 1)).collect();
    let id = add_selection(p, "100", &states);
    edit_selection(p, id, |s| {
        s.options[0].state = OptionState::Chosen;
        for (option, value) in s.options.iter_mut().zip(values).filter(|(_, value)| !value.is_empty()) {
            option.facts = vec![Fact { name: fact.to_owned(), value: value.parse().unwrap() }];
        }
    });
    id
}

fn rule(p: &mut Project, kind: RuleKind, of: RuleOf, fact: &str, with: Option<RuleWith>, tolerance: &str) {
    let id = RuleId(p.next_id);
    let tolerance = (!tolerance.is_empty()).then(|| tolerance.parse().unwrap());
    let (key, name) = (format!("rule{}", id.0), format!("Rule {}", id.0));
    let rule = Rule { id, key, name, kind, of, fact: fact.to_owned(), with, tolerance, why: String::new() };
    *p = p.apply(&Action::PutRule(rule)).unwrap_or_else(|e| panic!("{e}"));
}

fn value(text: &str) -> Option<RuleWith> {
    Some(RuleWith::Value(text.parse().unwrap()))
}

fn only(p: &Project) -> Fit {
    let [one] = fits::verdicts(p).try_into().unwrap_or_else(|v| panic!("{v:?}"));
    one.outcome
}

/// Exhaust: bath 50 cfm, kitchen 100 cfm, both intermittent (IRC R303.3 of 2003 and 2006 as HUD PATH "Code
/// Considerations" tells it; table M1505.4.4 since 2018, from memory). A hood above 400 cfm needs makeup air, 400
/// itself does not (Chicago 18-28-505.4). Faucets 2.2 gpm, toilets 1.6 gpf, showers 2.5 gpm (federal limits of 1994);
/// 1.5 gpm, 1.28 gpf (a fifth below 1.6) and 2.0 gpm for the label of the EPA. 1 cfm is 0.4719474432 L/s.
#[test]
fn published_limits() {
    use Fit::{DoesNotFit, Fits, NoMeasure};
    use RuleKind::{AtLeast, AtMost};
    for (kind, limit, has, outcome) in [
        (AtLeast, "50 cfm", "50 cfm", Fits),
        (AtLeast, "50 cfm", "49.9 cfm", DoesNotFit),
        (AtLeast, "50 cfm", "23.59737216 L/s", Fits),
        (AtLeast, "50 cfm", "23.59737215 L/s", DoesNotFit),
        (AtLeast, "100 cfm", "80 cfm", DoesNotFit),
        (AtLeast, "100 cfm", "100 CFM", Fits),
        (AtMost, "400 cfm", "400 cfm", Fits),
        (AtMost, "400 cfm", "401 cfm", DoesNotFit),
        (AtMost, "2.2 gpm", "1.5 gpm", Fits),
        (AtMost, "2.2 gpm", "8.3279059248 l/min", Fits),
        (AtMost, "2.2 gpm", "8.4 l/min", DoesNotFit),
        (AtMost, "1.6 gpf", "1.28 gpf", Fits),
        (AtMost, "1.6 gpf", "3.5 gpf", DoesNotFit),
        (AtMost, "1.6 gpf", "6 L/flush", Fits),
        (AtMost, "2.5 gpm", "2.0 gpm", Fits),
        (AtMost, "2.5 gpm", "2.51 gpm", DoesNotFit),
        (AtMost, "2.5 gpm", "plenty", NoMeasure),
        (AtMost, "2.5 gpm", "2 gpf", NoMeasure),
    ] {
        let mut p = project("2026-06-01");
        let id = add(&mut p, "rate", &[has]);
        rule(&mut p, kind, RuleOf::Selection(id), "rate", value(limit), "");
        assert_eq!(only(&p), outcome, "{has} against {limit}");
    }
}

/// A tub of 60 in in an alcove of 5 ft, a quarter inch to spare; a shower of 30 by 30 in is 900 sq in, the least
/// interior (IRC P2708.1 as the sample page of the NKBA tells it).
#[test]
fn sizes_in_any_unit() {
    for (kind, of, with, tolerance, outcome) in [
        (RuleKind::Within, "60 in", "5 ft", "0.25 in", Fit::Fits),
        (RuleKind::Within, "60-1/4 in", "1.524 m", "6.35 mm", Fit::Fits),
        (RuleKind::Within, "60.26 in", "5 ft", "0.25 in", Fit::DoesNotFit),
        (RuleKind::Within, "59 in", "5 ft", "1 in", Fit::Fits),
        (RuleKind::Within, "59 in", "5 ft", "1 lb", Fit::NoMeasure),
        (RuleKind::AtLeast, "900 sq in", "6.25 sq ft", "", Fit::Fits),
        (RuleKind::AtLeast, "899 sq in", "6.25 sq ft", "", Fit::DoesNotFit),
        (RuleKind::Equal, "3", "3", "", Fit::Fits),
        (RuleKind::Equal, "Undermount", "undermount", "", Fit::Fits),
        (RuleKind::Equal, "yes", "no", "", Fit::DoesNotFit),
        (RuleKind::Equal, "yes", "3", "", Fit::NoMeasure),
        (RuleKind::AtMost, "", "5 ft", "", Fit::NotKnown),
    ] {
        let mut p = project("2026-06-01");
        let tub = add(&mut p, "length", &[of]);
        let alcove = add(&mut p, "opening", &[with]);
        let other = Some(RuleWith::Fact(alcove, "Opening".to_owned()));
        rule(&mut p, kind, RuleOf::Selection(tub), "length", other, tolerance);
        assert_eq!(only(&p), outcome, "{of} {kind:?} {with}");
    }
}

#[test]
fn one_finish_in_a_room_is_what_most_of_it_has() {
    let mut p = project("2026-06-01");
    let room = some_room(&mut p);
    let faucet = add(&mut p, "finish family", &["matte black", "Bright chrome"]);
    add(&mut p, "finish family", &["bright chrome"]);
    add(&mut p, "finish family", &["bright chrome"]);
    add(&mut p, "width", &["3 ft"]);
    rule(&mut p, RuleKind::SameInRoom, RuleOf::Room(room), "finish family", None, "");
    let out: Vec<_> = fits::verdicts(&p).into_iter().filter(|v| v.outcome != Fit::Fits).collect();
    assert_eq!(out.len(), 1);
    assert_eq!(out[0].selections, [faucet]);
    // Seen before the click: the candidate would fit, the choice does not.
    let options: Vec<OptionId> = p.selection(faucet).unwrap().options.iter().map(|o| o.id).collect();
    let outcome = |o: &OptionId| fits::of_option(&p, *o).iter().map(|v| v.outcome).collect::<Vec<_>>();
    assert_eq!(options.iter().map(outcome).collect::<Vec<_>>(), [vec![Fit::DoesNotFit], vec![Fit::Fits]]);
}

/// An unknown fact is a note; what does not fit is a warning before it is ordered and an error after.
#[test]
fn what_is_said_and_how_loud() {
    let mut p = project("2026-06-01");
    let sink = add(&mut p, "width", &["33 in"]);
    let cabinet = add(&mut p, "sink base", &[""]);
    let other = Some(RuleWith::Fact(cabinet, "sink base".to_owned()));
    rule(&mut p, RuleKind::AtMost, RuleOf::Selection(sink), "width", other, "");
    let said = |p: &Project| {
        let all = problems(p, &compute(p, date("2026-06-01")));
        let found = all.iter().find(|x| ["misfit", "fact_missing", "no_measure"].contains(&x.code));
        found.map(|x| (x.code, x.severity, x.message.clone()))
    };
    let (code, severity, message) = said(&p).unwrap();
    assert_eq!((code, severity), ("fact_missing", Severity::Note));
    assert!(message.contains("sink base not stated") && message.contains("state the facts"), "{message}");
    edit_selection(&mut p, cabinet, |s| {
        s.options[0].parts[0].facts =
            vec![Fact { name: "Sink base".to_owned(), value: "30 in".parse().unwrap() }];
    });
    let (code, severity, message) = said(&p).unwrap();
    assert_eq!((code, severity), ("misfit", Severity::Warning));
    assert!(
        message.contains("33 in") && message.contains("30 in") && message.contains("choose another"),
        "{message}"
    );
    let part = p.selection(sink).unwrap().options[0].parts[0].id;
    p = p.apply(&Action::MarkOrdered(vec![part], Some(date("2026-06-01")))).unwrap();
    assert_eq!(said(&p).unwrap().1, Severity::Error);
    // Nothing is said while one side is undecided.
    p = p.apply(&Action::Reopen(cabinet)).unwrap();
    assert_eq!(said(&p), None);
    // What a rule names stays.
    assert!(p.apply(&Action::RemoveSelection(cabinet)).is_err());
}

proptest! {
    /// Lengths compare the same in every unit: thousandths of an inch as inches, feet, millimeters and meters.
    #[test]
    fn the_unit_does_not_matter(a in 1_i64..200_000, b in 1_i64..200_000, u in 0_usize..4, v in 0_usize..4) {
        let written = |n: i64, unit: usize| {
            let inches = rust_decimal::Decimal::new(n, 3) * rust_decimal::Decimal::from(12);
            match unit {
                0 => format!("{inches} in"),
                1 => format!("{} ft", rust_decimal::Decimal::new(n, 3)),
                2 => format!("{} mm", inches * dec("25.4")),
                _ => format!("{} m", inches * dec("0.0254")),
            }
        };
        let mut p = project("2026-06-01");
        let id = add(&mut p, "length", &[&written(a, u)]);
        rule(&mut p, RuleKind::AtMost, RuleOf::Selection(id), "length", value(&written(b, v)), "");
        prop_assert_eq!(only(&p) == Fit::Fits, a <= b);
    }

    /// Any text is read as some value or refused, and a value comes back from its text.
    #[test]
    fn values_come_back(text in "[ -~]{0,24}|[0-9]{1,5}([.][0-9]{1,4})?(-[0-9]/[0-9]{1,2})? ?(in|ft|cfm|gpm|lb|x)?") {
        if let Ok(read) = text.parse::<FactValue>() {
            prop_assert_eq!(read.to_string().parse::<FactValue>(), Ok(read));
        }
    }
}
