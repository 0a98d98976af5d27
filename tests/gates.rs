//! Gates and corrections against worked weeks: June 2026 begins on a Monday and June 19 is a holiday.

mod support;

use needline::engine::gates::{GateFigures, Lack};
use needline::engine::{Figures, problems};
use needline::model::*;
use proptest::prelude::*;
use support::*;

const MONDAY: &str = "2026-06-01";

/// Demolition Mon 1 to Wed 3, tile Thu 4 to Wed 10, paint Thu 11 to Fri 12.
fn three_phases() -> Project {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("demo", 3, ""), ("tile", 5, "demo"), ("paint", 2, "tile")]);
    p
}

/// Puts a gate before a phase.
fn gate(p: &mut Project, before: &str, needs: &[(Need, Option<&str>)]) -> GateId {
    let id = GateId(p.fresh_id());
    let conditions = needs.iter().map(|(need, by)| {
        let id = ConditionId(p.fresh_id());
        Condition { id, need: need.clone(), who: String::new(), by: by.map(date) }
    });
    let conditions = conditions.collect();
    let phase = phase_id(p, before);
    let (key, name) = (format!("g{}", id.0), format!("Gate before {before}"));
    *p = p.apply(&Action::PutGate(Gate { id, key, phase, name, source: String::new(), conditions })).unwrap();
    id
}

fn word(what: &str) -> Need {
    Need::Confirmed { what: what.to_owned(), said_by: String::new(), said_on: None }
}

fn of<'a>(f: &'a Figures, p: &Project, id: GateId) -> &'a GateFigures {
    &f.gates[p.gates.iter().position(|g| g.id == id).unwrap()]
}

fn start(f: &Figures, p: &Project, key: &str) -> String {
    phase(f, p, key).forecast_start.unwrap().to_string()
}

fn codes(p: &Project, f: &Figures) -> Vec<&'static str> {
    problems(p, f).iter().map(|problem| problem.code).collect()
}

#[test]
fn a_confirmation_holds_from_the_as_of_day_on() {
    let mut p = three_phases();
    let id = gate(&mut p, "demo", &[(word("survey read"), None)]);
    let f = figures(&p, MONDAY);
    assert_eq!(phase(&f, &p, "demo").early_start, Some(day(MONDAY)), "the plan knows no gates");
    assert_eq!(start(&f, &p, "demo"), "2026-06-02", "the working day after the as-of day at the earliest");
    assert_eq!((of(&f, &p, id).days, phase(&f, &p, "demo").gate_days), (1, 1));
    assert_eq!(f.days_lost, Some(1));
    let lines: Vec<String> =
        problems(&p, &f).into_iter().map(|p| format!("{} {}", p.code, p.message)).collect();
    assert_eq!(
        lines,
        [
            "gate_not_ready before demo (2026-06-02): not confirmed: survey read, expected 2026-06-02; ask whoever \
             knows and note who said so and when",
            "gate_holds Gate before demo holds demo for 1 working day until 2026-06-02; bring about what it misses \
             sooner, or change the gate",
        ]
    );
    let f = figures(&p, "2026-06-05");
    assert_eq!(start(&f, &p, "demo"), "2026-06-08", "said on a Friday, a Monday is the next working day");

    let condition = p.gates[0].conditions[0].id;
    let said = Action::Confirm(condition, Some(("Ann, surveyor".to_owned(), date(MONDAY))));
    let confirmed = p.apply(&said).unwrap();
    let f = figures(&confirmed, MONDAY);
    assert!(of(&f, &p, id).is_ready());
    assert_eq!((start(&f, &p, "demo"), f.days_lost), ("2026-06-01".to_owned(), Some(0)));
    assert_eq!(confirmed.apply(&Action::Confirm(condition, None)).unwrap(), p, "and taken back");
}

/// A gate over the parts of a phase that has none yet is not held by them, and has nothing to look at until there are.
#[test]
fn a_gate_over_no_parts_has_nothing_to_look_at() {
    let mut p = three_phases();
    let paint = phase_id(&p, "paint");
    let parts = || Need::PartsOf { phase: paint, presence: Presence::OnSite };
    let id = gate(&mut p, "tile", &[(parts(), None)]);
    let both = gate(&mut p, "paint", &[(parts(), None), (word("walls are dry"), None)]);
    let f = figures(&p, MONDAY);
    assert_eq!((of(&f, &p, id).nothing, &of(&f, &p, id).unlisted[..]), (true, &[0][..]));
    assert_eq!((of(&f, &p, both).nothing, &of(&f, &p, both).unlisted[..]), (false, &[0][..]));
    assert_eq!(of(&f, &p, id).days, 0);
    sink(&mut p);
    let f = figures(&p, MONDAY);
    assert!(!of(&f, &p, id).nothing && of(&f, &p, id).unlisted.is_empty());
}

#[test]
fn a_due_day_counts_until_it_has_passed() {
    let mut p = three_phases();
    let id = gate(&mut p, "tile", &[(word("fan route"), Some("2026-06-09"))]);
    let f = figures(&p, MONDAY);
    assert_eq!(start(&f, &p, "tile"), "2026-06-09");
    assert_eq!(of(&f, &p, id).days, 3, "Thursday 4 to Tuesday 9");
    let f = figures(&p, "2026-06-10");
    // Demolition was not begun: it takes Wednesday 10 to Friday 12, longer than the answer.
    assert_eq!((start(&f, &p, "tile"), of(&f, &p, id).days), ("2026-06-15".to_owned(), 0));
    assert_eq!(
        of(&f, &p, id).expected(),
        Some(day("2026-06-11")),
        "the day has passed: tomorrow at the earliest"
    );
}

#[test]
fn a_phase_is_waited_for_as_by_a_link_but_in_the_forecast_only() {
    let mut p = three_phases();
    add_phases(&mut p, [("ducts", 7, "")]);
    let need = Need::Finished(phase_id(&p, "ducts"));
    let id = gate(&mut p, "tile", &[(need, None)]);
    let f = figures(&p, MONDAY);
    // Ducts end on Tuesday 9.
    assert_eq!((start(&f, &p, "tile"), of(&f, &p, id).days), ("2026-06-10".to_owned(), 4));
    assert_eq!(of(&f, &p, id).missing[0].expected, Some(day("2026-06-09")));
    assert_eq!(phase(&f, &p, "tile").early_start, Some(day("2026-06-04")));
    let held = &phase(&f, &p, "tile").held_by_gates;
    assert_eq!((held[0].gate, held[0].days), (0, 4));
    edit_phase(&mut p, "ducts", |d| d.actual_finish = Some(date(MONDAY)));
    let f = figures(&p, "2026-06-02");
    assert!(of(&f, &p, id).is_ready());
}

#[test]
fn gates_reach_through_each_other() {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("a", 2, ""), ("b", 2, ""), ("c", 2, ""), ("d", 2, "")]);
    // Entered last to first, so that one pass over the gates would not do.
    for (before, after) in [("c", "d"), ("b", "c"), ("a", "b")] {
        let need = Need::Finished(phase_id(&p, before));
        gate(&mut p, after, &[(need, None)]);
    }
    let f = figures(&p, MONDAY);
    let starts = ["a", "b", "c", "d"].map(|key| start(&f, &p, key));
    assert_eq!(starts, ["2026-06-01", "2026-06-03", "2026-06-05", "2026-06-09"]);
}

#[test]
fn a_circle_is_named_and_left_out() {
    let mut p = three_phases();
    let need = Need::Finished(phase_id(&p, "paint"));
    let id = gate(&mut p, "tile", &[(need, None), (word("grout color"), Some("2026-06-05"))]);
    let f = figures(&p, MONDAY);
    assert_eq!(start(&f, &p, "tile"), "2026-06-05", "the rest of the gate counts");
    assert!(of(&f, &p, id).missing[0].circle);
    let found = problems(&p, &f);
    let circle = found.iter().find(|p| p.code == "gate_circle").unwrap();
    assert_eq!(circle.severity, Severity::Error);
    assert!(
        circle.message.contains("waits for `paint finished`, which itself waits for tile"),
        "{}",
        circle.message
    );
    // Two gates that wait for each other's phases: the later one is left out.
    let mut p = project(MONDAY);
    add_phases(&mut p, [("a", 2, ""), ("b", 2, "")]);
    let needs = [("a", "b"), ("b", "a")].map(|(before, after)| (Need::Finished(phase_id(&p, before)), after));
    for (need, after) in needs {
        gate(&mut p, after, &[(need, None)]);
    }
    let f = figures(&p, MONDAY);
    assert_eq!([start(&f, &p, "a"), start(&f, &p, "b")], ["2026-06-01", "2026-06-03"]);
    assert!(codes(&p, &f).contains(&"gate_circle"));
}

/// A sink with a body for the first phase and a trim for the last, of one option, and a second option in stock.
fn sink(p: &mut Project) -> (SelectionId, [PartId; 3]) {
    let id = add_selection(p, "0", &[(OptionState::Chosen, 2), (OptionState::Candidate, 1)]);
    let s = p.selection(id).unwrap();
    let ids = [s.options[0].parts[0].id, s.options[0].parts[1].id, s.options[1].parts[0].id];
    let (demo, paint) = (phase_id(p, "demo"), phase_id(p, "paint"));
    for (part, phase, lead) in [(ids[0], demo, 7), (ids[1], paint, 21), (ids[2], paint, 2)] {
        edit_part(p, part, |part| (part.phase, part.lead) = (Some(phase), Some(lead)));
    }
    (id, ids)
}

#[test]
fn a_selection_means_the_parts_of_the_choice() {
    let mut p = three_phases();
    let (selection, [body, trim, other]) = sink(&mut p);
    let need = |scope| Need::Selection { selection, scope, presence: Presence::OnSite };
    let id = gate(&mut p, "tile", &[(need(Scope::All), None)]);
    let parts = |p: &Project| -> Vec<PartId> {
        let f = figures(p, MONDAY);
        let missing = of(&f, p, id).missing.iter();
        missing
            .map(|m| match m.what {
                Lack::Part(at, _) => f.parts[at.at].id,
                _ => PartId(0),
            })
            .collect()
    };
    assert_eq!(parts(&p), [body, trim]);
    assert_eq!(start(&figures(&p, MONDAY), &p, "tile"), "2026-06-22", "the trim comes in three weeks");
    let received = p.apply(&Action::MarkReceived(vec![body], Some(date(MONDAY)))).unwrap();
    assert_eq!(parts(&received), [trim]);
    // Another choice brings other parts.
    let option = p.selection(selection).unwrap().options[1].id;
    let swapped = p.apply(&Action::Choose(option)).unwrap();
    assert_eq!(parts(&swapped), [other]);
    assert_eq!(start(&figures(&swapped, MONDAY), &swapped, "tile"), "2026-06-04", "two days come in time");
    // Undecided: expected when the quickest candidate could be there.
    let open = p.apply(&Action::Reopen(selection)).unwrap();
    let f = figures(&open, MONDAY);
    let missing = &of(&f, &open, id).missing;
    assert!(matches!(missing[0].what, Lack::Choice(0)));
    assert_eq!((missing.len(), missing[0].expected), (1, Some(day("2026-06-03"))));

    let mut p = three_phases();
    let (selection, [body, _, _]) = sink(&mut p);
    let id = gate(
        &mut p,
        "tile",
        &[(Need::Selection { selection, scope: Scope::SoFar, presence: Presence::OnSite }, None)],
    );
    let f = figures(&p, MONDAY);
    let missing = &of(&f, &p, id).missing;
    assert!(
        matches!(missing[..], [ref m] if matches!(m.what, Lack::Part(at, _) if f.parts[at.at].id == body))
    );
    // Both candidates bring for now nothing that is needed so far, once the body is of the later phase too.
    let paint = phase_id(&p, "paint");
    edit_part(&mut p, body, |part| part.phase = Some(paint));
    assert!(of(&figures(&p, MONDAY), &p, id).is_ready());
    let open = p.apply(&Action::Reopen(selection)).unwrap();
    assert!(of(&figures(&open, MONDAY), &open, id).is_ready(), "nothing to decide yet");
}

#[test]
fn parts_that_hold_the_phase_anyhow_are_not_charged_to_the_gate() {
    let mut p = three_phases();
    let tile = phase_id(&p, "tile");
    let late = add_part(&mut p, |part| (part.phase, part.lead) = (Some(tile), Some(14)));
    let before = figures(&p, MONDAY);
    let id = gate(&mut p, "tile", &[(Need::PartsOf { phase: tile, presence: Presence::OnSite }, None)]);
    let f = figures(&p, MONDAY);
    assert_eq!(phase(&f, &p, "tile").held_by, phase(&before, &p, "tile").held_by);
    assert_eq!((phase(&f, &p, "tile").held_days, phase(&f, &p, "tile").gate_days), (7, 0));
    assert_eq!(of(&f, &p, id).missing.len(), 1, "it is missing all the same");
    assert!(!codes(&p, &f).contains(&"gate_not_ready"), "the late part is named once, as late");
    assert_eq!(of(&f, &p, id).missing[0].expected, part(&f, late).arrival);
}

#[test]
fn what_is_to_be_built_in_waits_for_the_phase_that_does_it() {
    let mut p = three_phases();
    let demo = phase_id(&p, "demo");
    let body = add_part(&mut p, |part| {
        (part.phase, part.received_on) = (Some(demo), Some(date(MONDAY)));
    });
    let open = add_selection(&mut p, "0", &[(OptionState::Candidate, 1)]);
    let candidate = p.selection(open).unwrap().options[0].parts[0].id;
    edit_part(&mut p, candidate, |part| (part.phase, part.lead) = (Some(demo), Some(3)));
    let id = gate(&mut p, "paint", &[(Need::PartsOf { phase: demo, presence: Presence::BuiltIn }, None)]);
    let f = figures(&p, MONDAY);
    let texts: Vec<String> = of(&f, &p, id).missing.iter().map(|m| m.text(&p, &p.gates[0])).collect();
    let (s, part_name) = (p.part(body).unwrap().0.name.clone(), p.part(body).unwrap().2.name.clone());
    let undecided = p.selection(open).unwrap().name.clone();
    assert_eq!(texts, [format!("{part_name} of {s} is not built in"), format!("{undecided} is not decided")]);
    assert_eq!(of(&f, &p, id).missing[0].expected, Some(day("2026-06-03")), "the last day of demo");
    assert_eq!(start(&f, &p, "paint"), "2026-06-11", "long before paint");
    // Before the phase that builds it in, it cannot be built in.
    let id = gate(&mut p, "demo", &[(Need::Part { part: body, presence: Presence::BuiltIn }, None)]);
    let f = figures(&p, MONDAY);
    assert!(of(&f, &p, id).missing[0].circle);
    assert!(codes(&p, &f).contains(&"gate_circle"));
}

#[test]
fn work_that_went_on_without_its_gate_is_a_problem() {
    let mut p = three_phases();
    gate(&mut p, "demo", &[(word("survey read"), None)]);
    edit_phase(&mut p, "demo", |d| d.actual_start = Some(date(MONDAY)));
    let f = figures(&p, MONDAY);
    assert!(f.gates[0].passed_by);
    assert_eq!((f.gates[0].days, f.days_lost), (0, Some(0)), "what has begun is not held");
    let found = problems(&p, &f);
    let passed = found.iter().find(|p| p.code == "gate_passed_by").unwrap();
    assert!(
        passed.message.starts_with("demo has begun, but its gate Gate before demo is not ready"),
        "{}",
        passed.message
    );
    assert_eq!(passed.severity, Severity::Warning);
}

#[test]
fn gates_go_with_what_they_name() {
    let mut p = three_phases();
    let (selection, [body, ..]) = sink(&mut p);
    let demo = phase_id(&p, "demo");
    let need = [
        (Need::Part { part: body, presence: Presence::OnSite }, None),
        (Need::Selection { selection, scope: Scope::All, presence: Presence::OnSite }, None),
        (Need::Finished(demo), None),
        (word("kept"), None),
    ];
    gate(&mut p, "tile", &need);
    let left = |p: &Project| p.gates.first().map(|g| g.conditions.len());
    let q = p.apply(&Action::RemovePart(body)).unwrap();
    assert_eq!(left(&q), Some(3));
    let q = q.apply(&Action::RemoveSelection(selection)).unwrap();
    assert_eq!(left(&q), Some(2));
    let q = q.apply(&Action::RemovePhase(demo)).unwrap();
    assert_eq!(left(&q), Some(1));
    let q = q.apply(&Action::RemovePhase(phase_id(&p, "tile"))).unwrap();
    assert_eq!(left(&q), None, "the gate goes with its phase");
}

#[test]
fn what_makes_no_sense_is_refused() {
    let mut p = three_phases();
    let tile = phase_id(&p, "tile");
    let put = |p: &Project, need: Need| {
        let condition = Condition { id: ConditionId(p.next_id + 1), need, who: String::new(), by: None };
        let (id, name) = (GateId(p.next_id), "Gate".to_owned());
        let gate = Gate {
            id,
            key: "g".to_owned(),
            phase: tile,
            name,
            source: String::new(),
            conditions: vec![condition],
        };
        p.apply(&Action::PutGate(gate)).map_err(|e| e.to_string())
    };
    let refused = |need: Need| put(&p, need).unwrap_err();
    assert!(refused(Need::Finished(tile)).contains("its own finish"));
    assert!(refused(Need::Finished(PhaseId(999))).contains("not in the project"));
    assert!(refused(word("  ")).contains("needs words"));
    let said = |said_by: &str, said_on: Option<&str>| Need::Confirmed {
        what: "route".to_owned(),
        said_by: said_by.to_owned(),
        said_on: said_on.map(date),
    };
    assert!(refused(said("Ann", None)).contains("which day"));
    assert!(refused(said("", Some(MONDAY))).contains("by whom"));
    p = put(&p, Need::Finished(phase_id(&p, "demo"))).unwrap();
    let condition = p.gates[0].conditions[0].id;
    let why = p.apply(&Action::Confirm(condition, Some(("Ann".to_owned(), date(MONDAY))))).unwrap_err();
    assert!(why.to_string().contains("not met by a word"), "{why}");
    let correction = correction(&mut p, "tile", None, None);
    assert!(p.apply(&Action::PutCorrection(correction)).unwrap_err().to_string().contains("no inspection"));
}

fn correction(p: &mut Project, inspection: &str, fix: Option<&str>, due: Option<&str>) -> Correction {
    Correction {
        id: CorrectionId(p.fresh_id()),
        phase: phase_id(p, inspection),
        found: date(MONDAY),
        what: "nail plates over the run".to_owned(),
        trade: "Electrician".to_owned(),
        fix_phase: fix.map(|key| phase_id(p, key)),
        due: due.map(date),
        done: None,
    }
}

/// Wiring done, its sign-off failed on Monday; framing of three days that nothing links to either.
fn failed_sign_off() -> Project {
    let mut p = project(MONDAY);
    add_phases(&mut p, [("framing", 5, ""), ("check", 1, ""), ("board", 2, "check")]);
    edit_phase(&mut p, "check", |c| {
        c.kind = PhaseKind::Inspection;
        let note = "run not covered".to_owned();
        c.attempts =
            vec![Attempt { date: date(MONDAY), passed: false, booked: false, note, correct_by: None }];
    });
    p
}

/// An electrical sign-off can hang on framing that covers its run (common practice, no source).
#[test]
fn the_electrical_sign_off_waits_for_framing_work() {
    let mut p = failed_sign_off();
    // Two working days for the inspector after Monday: Tuesday and Wednesday, so Thursday 4.
    assert_eq!(start(&figures(&p, MONDAY), &p, "check"), "2026-06-04");
    let by_framing = correction(&mut p, "check", Some("framing"), None);
    let p = p.apply(&Action::PutCorrection(by_framing.clone())).unwrap();
    let f = figures(&p, MONDAY);
    // Framing ends on Friday 5; the inspector comes after Monday 8 and Tuesday 9.
    assert_eq!(start(&f, &p, "check"), "2026-06-10");
    assert_eq!(phase(&f, &p, "check").early_start, Some(day("2026-06-10")), "as in the plan");
    assert_eq!(phase(&f, &p, "framing").total_float, Some(0), "framing decides the end");
    let line = problems(&p, &f).into_iter().find(|p| p.code == "failed_inspection").unwrap().message;
    assert_eq!(
        line,
        "check failed on 2026-06-01; correct: nail plates over the run (Electrician), in framing; the next visit can be \
         2026-06-10"
    );
    let done = p.apply(&Action::MarkCorrected(by_framing.id, Some(date("2026-06-02")))).unwrap();
    assert_eq!(start(&figures(&done, "2026-06-02"), &done, "check"), "2026-06-05", "done is done");
    // Framing that waits for the sign-off itself is a circle.
    let mut circle = failed_sign_off();
    let fix = correction(&mut circle, "check", Some("board"), None);
    let circle = circle.apply(&Action::PutCorrection(fix)).unwrap();
    let f = figures(&circle, MONDAY);
    assert_eq!(start(&f, &circle, "check"), "2026-06-04");
    assert!(codes(&circle, &f).contains(&"correction_circle"));
}

#[test]
fn the_next_visit_waits_for_the_latest_correction() {
    let mut p = failed_sign_off();
    let due = correction(&mut p, "check", None, Some("2026-06-08"));
    let soon = correction(&mut p, "check", None, Some("2026-06-03"));
    let p =
        p.apply(&Action::PutCorrection(due.clone())).unwrap().apply(&Action::PutCorrection(soon)).unwrap();
    // Due Monday 8: Tuesday 9 and two working days of waiting.
    assert_eq!(start(&figures(&p, MONDAY), &p, "check"), "2026-06-11");
    // On Wednesday 10 it is overdue: done on Thursday at the earliest, so Friday and two days more.
    assert_eq!(start(&figures(&p, "2026-06-10"), &p, "check"), "2026-06-16");
    let done = p.apply(&Action::MarkCorrected(due.id, Some(date("2026-06-02")))).unwrap();
    assert_eq!(
        start(&figures(&done, MONDAY), &done, "check"),
        "2026-06-08",
        "then the other, due Wednesday 3"
    );
    let mut plain = done.phase(due.phase).unwrap().clone();
    (plain.kind, plain.attempts) = (PhaseKind::Work, Vec::new());
    assert!(done.apply(&Action::PutPhase(plain)).unwrap_err().to_string().contains("has corrections"));
    let passed = Attempt {
        date: date("2026-06-08"),
        passed: true,
        booked: false,
        note: String::new(),
        correct_by: None,
    };
    let passed = done.apply(&Action::RecordAttempt(due.phase, passed)).unwrap();
    let f = figures(&passed, "2026-06-08");
    assert_eq!(phase(&f, &passed, "check").early_finish, Some(day("2026-06-08")), "passed is passed");
}

proptest! {
    /// What a gate is charged with is what its phase would win without it, whatever else holds the phase; phases are
    /// never sooner for a gate, and the plan knows none.
    #[test]
    fn the_days_of_a_gate_are_what_its_phase_wins_without_it(
        table in any_network(),
        gates in proptest::collection::vec((0_usize..64, 0_usize..64, 0_u8..4, 0_i64..25), 1..6),
        leads in proptest::collection::vec((0_usize..64, 0_u32..20), 0..5),
    ) {
        let mut p = project(MONDAY);
        add_phases(&mut p, table.rows());
        let keys: Vec<String> = p.phases.iter().map(|f| f.key.clone()).collect();
        let mut parts = Vec::new();
        for (at, lead) in leads {
            let phase = p.phases[at % keys.len()].id;
            parts.push(add_part(&mut p, |part| (part.phase, part.lead) = (Some(phase), Some(lead))));
        }
        let bare = figures(&p, MONDAY);
        for (before, other, kind, days) in gates {
            let (before, other) = (before % keys.len(), other % keys.len());
            let need = match kind {
                0 if before != other => Need::Finished(p.phases[other].id),
                1 => Need::PartsOf { phase: p.phases[other].id, presence: Presence::ALL[days as usize % 2].1 },
                2 if !parts.is_empty() => Need::Part { part: parts[other % parts.len()], presence: Presence::OnSite },
                _ => word("so"),
            };
            let by = (date(MONDAY) + chrono::Duration::days(days)).to_string();
            gate(&mut p, &keys[before], &[(need, Some(&by))]);
        }
        let f = figures(&p, MONDAY);
        for (with, without) in f.phases.iter().zip(&bare.phases) {
            prop_assert_eq!((with.early_start, with.late_start), (without.early_start, without.late_start));
            prop_assert!(with.forecast_start >= without.forecast_start);
        }
        let work = f.days.work();
        for (at, g) in p.gates.iter().enumerate() {
            // A gate whose circle kept another from closing one is not alone responsible for its days.
            if f.gates.iter().flat_map(|g| &g.missing).any(|m| m.circle) {
                break;
            }
            let f2 = figures(&p.apply(&Action::RemoveGate(g.id)).unwrap(), MONDAY);
            let phase = f.index.of(g.phase.0).unwrap();
            let start = |f: &Figures| work.index(f.phases[phase].forecast_start.unwrap());
            prop_assert_eq!(f.gates[at].days, start(&f) - start(&f2), "gate {}", at);
            let own = &f.phases[phase];
            prop_assert_eq!(own.held_by_gates.iter().any(|h| h.gate == at && h.days > 0), f.gates[at].days > 0);
            prop_assert!(own.gate_days >= f.gates[at].days);
            // What is expected is expected in time for the start, and the start is no later than need be.
            if let Some(day) = f.gates[at].expected() {
                prop_assert!(work.index(day) <= start(&f));
            }
        }
    }
}

#[test]
fn a_file_without_gates_opens_and_keeps_its_text() {
    let p = three_phases();
    let text = needline::model::file::to_text(&p).unwrap();
    assert!(!text.contains("gates") && !text.contains("corrections") && !text.contains("hazards"));
    let again = needline::model::file::from_text(&text, std::path::Path::new("x.ron")).unwrap();
    assert_eq!(again, p);
}

/// A part that two conditions of a gate ask for is missing once, on site, and again only where it is to be built in.
#[test]
fn what_two_conditions_miss_is_named_once() {
    let mut p = three_phases();
    let tile = phase_id(&p, "tile");
    let sink = add_part(&mut p, |part| (part.phase, part.lead) = (Some(tile), Some(14)));
    let selection = p.part(sink).unwrap().0.id;
    let presence = Presence::OnSite;
    let all = [
        (Need::Selection { selection, scope: Scope::All, presence }, None),
        (Need::PartsOf { phase: tile, presence }, None),
        (Need::Part { part: sink, presence }, None),
        (Need::Part { part: sink, presence: Presence::BuiltIn }, None),
        (word("one thing"), None),
        (word("another"), None),
    ];
    let id = gate(&mut p, "paint", &all);
    let f = figures(&p, MONDAY);
    let lacks: Vec<String> = of(&f, &p, id).missing.iter().map(|m| m.text(&p, &p.gates[0])).collect();
    assert_eq!(lacks.len(), 4, "{lacks:?}");
    // Nobody has chosen: the choice is missing once too.
    edit_selection(&mut p, selection, |s| s.options[0].state = OptionState::Candidate);
    let f = figures(&p, MONDAY);
    let choices = of(&f, &p, id).missing.iter().filter(|m| matches!(m.what, Lack::Choice(_))).count();
    assert_eq!(choices, 1);
}
