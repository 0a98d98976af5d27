//! The list of the week: by hand on the calendar of June 2026, by law over random documents, and against a plain recount.

mod common;
#[path = "support/random.rs"]
mod random;
mod support;

use chrono::NaiveDate;
use common::sample_folders;
use needline::engine::people::Booked;
use needline::engine::week::{Ask, Deed, HORIZONS, Line, last_day, week};
use needline::engine::{Day, Figures, compute};
use needline::model::*;
use proptest::prelude::*;
use random::{any_action, any_dice, house};
use rust_decimal::prelude::ToPrimitive;
use std::collections::BTreeSet;
use support::*;

/// What a line is, as far as a recount can know: its kind, the key of what it is about, its day.
type Row = (&'static str, String, Day);

fn row(line: &Line) -> Row {
    (line.kind.word(), line.about.clone(), line.day)
}

/// Everything that has a day, in any order, found the slow way: from the document and the figures of nouns alone.
fn recount(p: &Project, f: &Figures) -> Vec<Row> {
    let as_of = f.as_of;
    let mut rows: Vec<Row> = Vec::new();
    for (s, own) in p.selections.iter().zip(&f.selections) {
        if let Some(by) = own.decide.by {
            rows.push(("decide", s.key.clone(), by));
        } else if !own.chosen
            && let Some(by) = own.ask_by
        {
            rows.push(("order", s.key.clone(), by));
        }
    }
    for (s, o, part) in p.all_parts() {
        let g = f.part(part.id).unwrap();
        let ordered = |g: &needline::engine::PartFigures| g.placed.is_some();
        if o.state == OptionState::Chosen && s.choice().map(|c| c.id) == Some(o.id) && !ordered(g) {
            let day = match (g.order_by, g.orderable_from) {
                (Some(by), Some(from)) => Some(by.max(from)),
                (Some(by), None) => Some(by),
                _ => g.ask_by,
            };
            rows.extend(day.map(|day| ("order", part.key.clone(), day)));
        }
        if !ordered(g) {
            continue;
        }
        let back = p.returns.iter().find(|r| r.part == part.id);
        let state = back.map_or(ReturnState::ToDecide, |r| {
            let later = r.went_back_on.is_some_and(|on| Day::from(on) > as_of);
            if later { ReturnState::GoingBack } else { r.state }
        });
        if !g.on_site && (g.live || state == ReturnState::Kept) {
            match (g.overdue, g.was_expected) {
                (true, Some(day)) => rows.push(("chase", part.key.clone(), day)),
                (false, None) => rows.extend(g.expected.map(|day| ("be_there", part.key.clone(), day))),
                odd => panic!("{odd:?}"),
            }
        }
        if !g.live && matches!(state, ReturnState::ToDecide | ReturnState::GoingBack) {
            let days = part.supplier.and_then(|id| p.supplier(id)?.return_days);
            let last = g.arrival.filter(|_| g.on_site).zip(days).map(|(came, n)| came.plus(n as i32));
            rows.push(("chase", part.key.clone(), last.unwrap_or(as_of)));
        }
    }
    let mut called = BTreeSet::new();
    for (at, (phase, g)) in p.phases.iter().zip(&f.phases).enumerate() {
        let ahead =
            phase.actual_start.is_none() && phase.finished_on().is_none() && phase.visits().next().is_none();
        if let (true, Some(id), Some(new)) = (ahead, phase.crew, g.forecast_start)
            && phase.expected_start(as_of.date()).is_some_and(|old| Day::from(old) != new)
        {
            called.insert(id);
        }
        let booking = f.people.booking(at);
        let by = booking.hire_by.filter(|_| match booking.state {
            Booked::NoCrew => true,
            Booked::NotBooked => g.forecast_start.is_some(),
            _ => false,
        });
        rows.extend(by.map(|by| ("call", phase.key.clone(), by)));
        match phase.kind {
            PhaseKind::Inspection if phase.finished_on().is_none() => {
                let day = phase.booked_visit().map(Day::from).or(g.forecast_start);
                rows.extend(day.map(|day| ("be_there", phase.key.clone(), day)));
            }
            PhaseKind::Work
                if ahead && !phase.own_work && (phase.crew.is_some() || !phase.trade.is_empty()) =>
            {
                rows.extend(g.forecast_start.map(|day| ("be_there", phase.key.clone(), day)));
            }
            _ => {}
        }
        let last = phase.visits().max_by_key(|a| a.date);
        let listed = p.corrections.iter().any(|c| c.phase == phase.id);
        if let Some(by) = last.filter(|a| !a.passed).and_then(|a| a.correct_by)
            && phase.finished_on().is_none()
            && phase.booked_visit().is_none()
            && !listed
        {
            rows.push(("chase", phase.key.clone(), Day::from(by)));
        }
    }
    for id in called {
        let days = p.phases.iter().zip(&f.phases).filter(|(phase, _)| phase.crew == Some(id));
        let days = days.filter_map(|(phase, g)| {
            let begun = phase.actual_start.is_some() || phase.finished_on().is_some();
            let old = Day::from(phase.expected_start(as_of.date())?);
            let new = g.forecast_start?;
            (!begun && phase.visits().next().is_none() && old != new).then_some(old.min(new))
        });
        rows.push(("call", p.crew(id).unwrap().key.clone(), days.min().unwrap()));
    }
    for c in p.corrections.iter().filter(|c| c.done.is_none() && Day::from(c.found) <= as_of) {
        let phase = p.phase(c.phase).unwrap();
        if phase.finished_on().is_none() {
            rows.extend(c.due.map(|due| ("chase", phase.key.clone(), Day::from(due))));
        }
    }
    rows.extend(permits(p, f));
    for (draw, g) in p.draws.iter().zip(&f.draws).filter(|(_, g)| g.overdue) {
        rows.push(("chase", draw.key.clone(), g.due.unwrap()));
    }
    closing_rows(p, f, &mut rows);
    money_rows(p, f, &mut rows);
    rows
}

/// What is to be put right or looked at, and warranties that have not ended.
fn closing_rows(p: &Project, f: &Figures, rows: &mut Vec<Row>) {
    let as_of = f.as_of.date();
    let by = |day: Option<NaiveDate>| day.is_some_and(|day| day <= as_of);
    for punch in p.punch.iter().filter(|x| x.found_on.is_none_or(|on| on <= as_of) && !by(x.checked_on)) {
        let day = if by(punch.done_on) { punch.done_on } else { punch.due };
        rows.extend(day.map(|day| ("chase", punch.key.clone(), Day::from(day))));
    }
    for handover in p.handover.iter() {
        let (_, _, part) = p.part(handover.part).unwrap();
        let g = f.part(part.id).unwrap();
        let there = g.live && (g.on_site || part.installed_on.is_some_and(|on| on <= as_of));
        let until = handover.warranty_until.filter(|day| *day >= as_of && there);
        rows.extend(until.map(|day| ("chase", part.key.clone(), Day::from(day))));
    }
}

fn permits(p: &Project, f: &Figures) -> Vec<Row> {
    let mut rows = Vec::new();
    for permit in p.permits.iter() {
        let under = || permit.phases.iter().map(|id| (p.phase(*id).unwrap(), f.phase(*id).unwrap()));
        let open = || under().filter(|(phase, _)| phase.finished_on().is_none());
        let day = if permit.issued_on.is_some_and(|on| Day::from(on) <= f.as_of) {
            let last = open().filter_map(|(_, g)| g.forecast_finish).max();
            permit.expires_on.map(Day::from).filter(|ends| last.is_some_and(|last| *ends < last))
        } else {
            let begun = |phase: &Phase| phase.actual_start.map(Day::from).filter(|on| *on <= f.as_of);
            let ahead = |phase: &Phase| phase.actual_start.is_none() && phase.visits().next().is_none();
            let mut waits = open().filter(|(phase, _)| ahead(phase)).peekable();
            let first = open().find_map(|(phase, _)| begun(phase));
            first.or_else(|| {
                waits.peek()?;
                permit.issued_on.map(Day::from).or_else(|| {
                    // One without a start stands before all others.
                    let starts: Vec<Option<Day>> = waits.map(|(_, g)| g.forecast_start).collect();
                    starts.into_iter().min().flatten()
                })
            })
        };
        rows.extend(day.map(|day| ("chase", permit.key.clone(), day)));
    }
    rows
}

/// Minor units, for sums.
fn cents(p: &Project, amount: Money) -> i128 {
    let digits = p.settings.currency.minor_digits();
    (amount.amount() * rust_decimal::Decimal::from(10_i64.pow(digits))).to_i128().unwrap()
}

/// Largest remainder, the slow way: each unit left over goes to whoever has lost most, the first of equals first.
fn share(total: i128, weights: &[i128]) -> Vec<i128> {
    let all: i128 = weights.iter().sum();
    if all == 0 {
        return weights.iter().enumerate().map(|(i, _)| if i == 0 { total } else { 0 }).collect();
    }
    let mut shares: Vec<i128> = weights.iter().map(|w| total * w / all).collect();
    let mut lost: Vec<(i128, usize)> =
        weights.iter().enumerate().map(|(i, w)| (-(total * w % all), i)).collect();
    lost.sort();
    let left = total - shares.iter().sum::<i128>();
    lost.iter().take(left as usize).for_each(|(_, i)| shares[*i] += 1);
    shares
}

/// What a part that counts is owed, with its days.
fn part_dues(p: &Project, f: &Figures, at: usize) -> Vec<(Day, i128)> {
    let g = &f.parts[at];
    let supplier = g.supplier.map(|s| &p.suppliers[s as usize]);
    if let Some(back) = f.returns.of(at)
        && back.forecast != back.terms.full
    {
        let kept = cents(p, back.forecast) - cents(p, back.terms.freight_back);
        return vec![(f.as_of, kept - cents(p, back.paid))];
    }
    let (total, paid) = (cents(p, g.total()), cents(p, g.paid));
    let deposit = supplier.map_or(0, |s| cents(p, g.total().percent(s.deposit_pct, p.settings.currency)));
    let placed = g.placed.unwrap();
    let comes = g.expected.unwrap_or(placed).plus(supplier.map_or(0, |s| s.net_days as i32));
    let over = (paid - deposit).max(0);
    vec![(placed, deposit - paid), (comes, total - deposit - over)]
}

fn money_rows(p: &Project, f: &Figures, rows: &mut Vec<Row>) {
    for order in f.orders.iter().filter(|o| o.placed.is_some()) {
        let mut days: BTreeSet<(Day, usize)> = BTreeSet::new();
        for at in order.all_parts() {
            for (n, (day, units)) in part_dues(p, f, at).into_iter().enumerate() {
                if units > 0 && order.own.is_some() {
                    let whole = f.returns.of(at).is_some();
                    days.insert((day, if whole { 1 } else { n }));
                } else if units > 0 {
                    let key = p.part(f.parts[at].id).unwrap().2.key.clone();
                    rows.push(("pay", key, day));
                }
            }
        }
        if let Some(id) = order.own {
            let key = &p.order(id).unwrap().key;
            rows.extend(days.into_iter().map(|(day, _)| ("pay", key.clone(), day)));
        }
    }
    for quote in p.quotes.iter().filter(|q| q.accepted) {
        let finish = |id: PhaseId| f.phase(id).and_then(|g| g.forecast_finish);
        let last = quote.phases().filter_map(finish).max().unwrap_or(f.as_of);
        let own = f.installments(p, quote);
        let mut purse = cents(p, quote.paid);
        let mut dues: Vec<(Day, i128)> = Vec::new();
        for one in &own {
            let left = cents(p, one.amount) - cents(p, one.paid);
            purse += (-left).max(0);
            dues.push((one.due.unwrap_or(last), left.max(0)));
        }
        let covered: i128 = own.iter().map(|one| cents(p, one.amount)).sum();
        let rest = (cents(p, quote.leveled()) - covered).max(0);
        let phases: Vec<&Phase> = quote.phases().map(|id| p.phase(id).unwrap()).collect();
        let weights: Vec<i128> = phases.iter().map(|phase| i128::from(phase.counted_days())).collect();
        let shares = share(rest, &weights);
        if phases.is_empty() {
            dues.push((f.as_of, rest));
        }
        dues.extend(
            phases.iter().zip(shares).map(|(phase, share)| (finish(phase.id).unwrap_or(f.as_of), share)),
        );
        dues.sort_by_key(|(day, _)| *day);
        for (day, units) in dues {
            let left = (units - purse).max(0);
            purse = (purse - units).max(0);
            if left > 0 {
                rows.push(("pay", quote.key.clone(), day));
            }
        }
        for (one, g) in quote.installments.iter().zip(&own).filter(|(_, g)| g.wants_waiver) {
            let _ = g;
            rows.push(("chase", quote.key.clone(), one.paid_on.map_or(f.as_of, Day::from)));
        }
    }
    for extra in p.extras.iter().filter(|e| e.amount > e.paid) {
        let start = extra.phase.and_then(|id| f.phase(id)?.forecast_start);
        rows.push(("pay", extra.key.clone(), start.unwrap_or(f.as_of)));
    }
    let agreed = |c: &&Change| c.agreed_on.is_some_and(|on| Day::from(on) <= f.as_of);
    for change in p.changes.iter().filter(agreed) {
        if change.amount.is_some_and(|amount| amount > change.paid) {
            let finish = change.phase.and_then(|id| f.phase(id)?.forecast_finish);
            rows.push(("pay", change.key.clone(), finish.unwrap_or(f.as_of)));
        }
    }
}

/// Holds the list to its laws on one document and one day.
fn hold(p: &Project, f: &Figures) {
    let all = week(p, f, 28);
    for days in [0, 1, HORIZONS[0], HORIZONS[1], HORIZONS[2]] {
        let lines = week(p, f, days);
        let until = last_day(f.as_of, days);
        let mut wanted: Vec<Row> = recount(p, f).into_iter().filter(|(_, _, day)| *day <= until).collect();
        let mut found: Vec<Row> = lines.iter().map(row).collect();
        assert!(lines.is_sorted_by_key(|line| (line.day, line.kind)));
        wanted.sort();
        found.sort();
        assert_eq!(found, wanted, "{days} days from {}", f.as_of);
        assert_eq!(lines, all[..lines.len()], "a longer look begins with the shorter one");
    }
    let ids: BTreeSet<&str> = all.iter().map(|line| line.id.as_str()).collect();
    assert_eq!(ids.len(), all.len(), "no line stands there twice");
    for line in &all {
        let text = line.text(p.settings.currency);
        assert!(!line.what.is_empty() && !line.deed_words.is_empty() && !text.contains('\n'), "{text}");
    }
}

/// The least that answers what a line asks.
fn answer(p: &Project, f: &Figures, ask: Ask) -> Option<Action> {
    let on = f.as_of.date();
    Some(match ask {
        Ask::Choose(id) => Action::Choose(p.selection(id)?.options.first()?.id),
        Ask::Tell(id, at) => {
            let spec = p.selection(id)?.specs.get(at)?.clone();
            Action::PutSpec(id, at, Spec { told_on: Some(on), ..spec })
        }
        Ask::LeadTime(id) => {
            let (_, option, part) = p.part(id)?;
            Action::PutPart(option.id, Part { lead: Some(2), ..part.clone() })
        }
        Ask::Hire(id) => {
            let crew = Crew::new(CrewId(p.next_id), "hired_just_now", "Hired");
            let phase = Phase { crew: Some(crew.id), ..p.phase(id)?.clone() };
            let actions = vec![Action::PutCrew(crew), Action::PutPhase(phase)];
            Action::Batch { label: "hire".to_owned(), actions }
        }
        Ask::Visit(id) => {
            let last = p.phase(id)?.visits().map(|a| a.date).max();
            Action::RecordAttempt(id, Attempt::new(last.map_or(on, |last| on.max(last)), true))
        }
        Ask::Delivery(id) => Action::MarkReceived(vec![id], Some(on)),
        Ask::Payment(of) => {
            let standing = f.standing(p, of);
            let (amount, kind) = (standing.owed, PaymentKind::Balance);
            let id = PaymentId(p.next_id);
            Action::PutPayment(Payment { id, of, on, amount, kind, note: String::new() })
        }
        Ask::Quote(_) => return None,
        Ask::SendBack(id) => {
            let known = p.returns.iter().find(|r| r.part == id).cloned();
            let r = known.unwrap_or_else(|| Return::new(ReturnId(p.next_id), id));
            Action::PutReturn(Return { state: ReturnState::WentBack, went_back_on: Some(on), ..r })
        }
        Ask::Warranty(id) => {
            // Looked over: what is noted of it is a longer warranty, or that there is none.
            let known = p.handover_of(id)?;
            Action::PutHandover(Handover { warranty_until: None, ..known.clone() })
        }
        Ask::Permit(id) => {
            let permit = p.permits.iter().find(|q| q.id == id)?.clone();
            let applied_on = permit.applied_on.filter(|applied| *applied <= on);
            Action::PutPermit(Permit { applied_on, issued_on: Some(on), expires_on: None, ..permit })
        }
    })
}

/// Whether a line is still there: the same about the same, on the same day and in the same words.
fn still(lines: &[Line], line: &Line) -> bool {
    lines.iter().any(|l| l.id == line.id && (l.day, &l.what, &l.why) == (line.day, &line.what, &line.why))
}

/// Does what each line of the list says, each from the same document, and looks whether the line is gone.
fn do_all(p: &Project, f: &Figures) -> usize {
    let mut done = 0;
    for line in week(p, f, 14) {
        let (action, at_once) = match &line.deed {
            Deed::Do(action) => (Some(action.as_ref().clone()), true),
            Deed::Ask(ask) => (answer(p, f, *ask), false),
        };
        let Some(action) = action else { continue };
        let next = match p.apply(&action) {
            Ok(next) => next,
            // What a button does at once is never refused; a form may say what is wrong.
            Err(why) if at_once => panic!("{}: {why}", line.id),
            Err(_) => continue,
        };
        let after = week(&next, &compute(&next, f.as_of.date()), 14);
        let gone = if at_once { after.iter().all(|l| l.id != line.id) } else { !still(&after, &line) };
        assert!(gone, "{} is still there after {action:?}", line.id);
        done += 1;
    }
    done
}

fn samples() -> Vec<(String, Project)> {
    let folders = sample_folders().into_iter();
    let load = |f: std::path::PathBuf| {
        let (project, _) = file::load(&f.with_extension("ron")).unwrap();
        (f.file_name().unwrap().to_string_lossy().into_owned(), project)
    };
    folders.map(load).collect()
}

#[test]
fn samples_keep_the_laws_from_before_the_work_to_behind_it() {
    for (name, p) in samples() {
        let start = Day::from(p.settings.start);
        for n in (-30..300).step_by(23) {
            println!("{name} {n}");
            hold(&p, &compute(&p, start.plus(n).date()));
        }
    }
}

/// A test of lines of which the sample has none would hold for nothing.
#[test]
fn the_large_sample_has_every_kind_of_line_and_of_deed() {
    let (_, project) = samples().into_iter().find(|(name, _)| name.contains("orchard")).unwrap();
    let as_of = project.settings.as_of.unwrap();
    let (mut kinds, mut deeds) = (BTreeSet::new(), BTreeSet::new());
    for day in (0..240).step_by(7) {
        let on = as_of + chrono::Days::new(day) - chrono::Days::new(70);
        for line in week(&project, &compute(&project, on), 28) {
            kinds.insert(line.kind);
            deeds.insert(match line.deed {
                Deed::Do(_) => "at once".to_owned(),
                Deed::Ask(ask) => format!("{ask:?}").split('(').next().unwrap().to_owned(),
            });
        }
    }
    assert_eq!(kinds.len(), 6, "{kinds:?}");
    let all = "Choose Delivery Hire LeadTime Payment Permit SendBack Tell Visit Warranty at once";
    let found: Vec<&str> = deeds.iter().map(String::as_str).collect();
    assert_eq!(found.join(" "), all, "Quote is asked only where its price was overpaid");
}

#[test]
fn what_is_done_in_the_samples_leaves_the_list() {
    for (name, p) in samples() {
        let as_of = p.settings.as_of.unwrap();
        assert!(do_all(&p, &compute(&p, as_of)) > 0, "{name}");
    }
}

/// A project as it stands, changed by random actions, of which what is refused is as good as what is done.
fn changed(mut p: Project, dice: Vec<random::Dice>) -> Project {
    for d in dice {
        if let Ok(next) = p.apply(&any_action(&p, d, 2)) {
            p = next;
        }
    }
    p
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn a_large_sample_keeps_the_laws_whatever_is_done_to_it(dice in any_dice(), day in -10_i32..200) {
        let (_, p) = samples().into_iter().find(|(name, _)| name == "orchard_house").unwrap();
        let p = changed(p, dice);
        hold(&p, &compute(&p, Day::from(p.settings.start).plus(day).date()));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn random_documents_keep_the_laws(dice in any_dice(), day in -10_i32..80) {
        let p = changed(house(), dice);
        let f = compute(&p, Day::from(p.settings.start).plus(day).date());
        hold(&p, &f);
        do_all(&p, &f);
    }
}

/// Rough work Mon 1 to Fri 5 of June, drywall Mon 8 to Fri 12. Nothing is held, deliveries come on working days.
fn by_hand() -> Project {
    let mut p = project("2026-06-01");
    p.settings.hold = 0;
    add_phases(&mut p, [("rough", 5, ""), ("drywall", 5, "rough")]);
    p
}

/// The days of the lines of a week that begins on Mon 1, as `kind about day`.
fn days_of(p: &Project) -> Vec<String> {
    let f = compute(p, date("2026-06-01"));
    hold(p, &f);
    week(p, &f, 7).iter().map(|l| format!("{} {} {}", l.kind.word(), l.about, l.day)).collect()
}

/// Three calendar days before Mon 8 is Fri 5; four are Thu 4.
#[test]
fn what_is_chosen_is_to_be_ordered_and_what_is_not_is_to_be_decided() {
    let mut p = by_hand();
    let drywall = phase_id(&p, "drywall");
    let part = |lead: u32| {
        move |part: &mut Part| {
            (part.phase, part.lead, part.lead_unit) = (Some(drywall), Some(lead), LeadUnit::Days);
        }
    };
    let id = add_part(&mut p, part(3));
    edit_part(&mut p, id, |part| part.key = "board".to_owned());
    let open = add_selection(&mut p, "0", &[(OptionState::Leaning, 2), (OptionState::Candidate, 1)]);
    edit_selection(&mut p, open, |s| {
        s.key = "trim".to_owned();
        s.options.iter_mut().flat_map(|o| &mut o.parts).for_each(part(4));
    });
    assert_eq!(days_of(&p), ["decide trim 2026-06-04", "order board 2026-06-05"]);
    // Once it is chosen its parts are to be ordered, and nothing is to be decided.
    let leaning = p.selection(open).unwrap().options[0].clone();
    let p = p.apply(&Action::Choose(leaning.id)).unwrap();
    let own = |n: usize| format!("order {} 2026-06-04", leaning.parts[n].key);
    assert_eq!(days_of(&p), [own(0), own(1), "order board 2026-06-05".to_owned()]);
}

/// What can be ordered only after the rough work is to be ordered on Mon 8, not by the day before that it had to be.
#[test]
fn what_waits_is_to_be_ordered_when_it_can_be() {
    let mut p = by_hand();
    let (rough, drywall) = (phase_id(&p, "rough"), phase_id(&p, "drywall"));
    add_part(&mut p, |part| {
        (part.key, part.phase, part.order_after) = ("glass".to_owned(), Some(drywall), Some(rough));
        (part.lead, part.lead_unit) = (Some(3), LeadUnit::Days);
    });
    assert_eq!(days_of(&p), Vec::<String>::new());
    let f = compute(&p, date("2026-06-01"));
    let lines = week(&p, &f, 14);
    assert_eq!(lines.len(), 1);
    assert_eq!(lines[0].day.to_string(), "2026-06-08");
    assert!(lines[0].text(p.settings.currency).contains("after rough"), "{:?}", lines[0]);
}

/// A crew told Thu 4 for what starts Mon 8 is to be called by Thu 4; one that is booked by nobody and wants to know 5
/// working days ahead was to be booked by Mon 1. It begins on Mon 8, which is a day too late for this week.
#[test]
fn crews_are_called_before_they_come_for_nothing_and_booked_in_time() {
    let mut p = by_hand();
    let mut crew = Crew::new(CrewId(p.next_id), "boards", "Boards");
    (crew.hire_lead, crew.phone) = (Some(5), " 555 0100 ".to_owned());
    let id = crew.id;
    p = p.apply(&Action::PutCrew(crew)).unwrap();
    edit_phase(&mut p, "drywall", |phase| phase.crew = Some(id));
    edit_phase(&mut p, "rough", |phase| phase.own_work = true);
    assert_eq!(days_of(&p), ["call drywall 2026-06-01"]);
    edit_phase(&mut p, "drywall", |phase| {
        (phase.told_on, phase.told_start) = (Some(date("2026-06-01")), Some(date("2026-06-04")));
    });
    assert_eq!(days_of(&p), ["call boards 2026-06-04"]);
    let lines = week(&p, &compute(&p, date("2026-06-01")), 7);
    assert_eq!(lines[0].call.as_ref().unwrap().phone, "555 0100");
    let plain = lines[0].text(p.settings.currency);
    assert_eq!(plain, "Tell Boards its new days; drywall starts 2026-06-08, not 2026-06-04");
}

/// Of 1000.00 a tenth is due on Tue 2 and the rest when the rough work ends, Fri 5. What is noted as paid without an
/// installment settles the earlier first.
#[test]
fn a_quote_falls_due_in_its_parts() {
    let mut p = by_hand();
    let rough = phase_id(&p, "rough");
    let mut deposit = Installment::new("deposit");
    (deposit.pct, deposit.due_on) = (Some(dec("10")), Some(date("2026-06-02")));
    let quote = Quote {
        key: "q".to_owned(),
        phase: Some(rough),
        trade: "Plumber".to_owned(),
        amount: money("1000"),
        accepted: true,
        installments: vec![deposit],
        ..Quote::new(QuoteId(p.next_id))
    };
    p = p.apply(&Action::PutQuote(quote.clone())).unwrap();
    let due = |p: &Project| -> Vec<String> {
        let lines = week(p, &compute(p, date("2026-06-01")), 7);
        let pay = lines.iter().filter(|l| l.kind == needline::engine::week::Kind::Pay);
        pay.map(|l| format!("{} {}", l.day, l.what.plain(p.settings.currency))).collect()
    };
    assert_eq!(due(&p), ["2026-06-02 Pay 100.00 USD to Plumber", "2026-06-05 Pay 900.00 USD to Plumber"]);
    let p = p.apply(&Action::PutQuote(Quote { paid: money("250"), ..quote })).unwrap();
    assert_eq!(due(&p), ["2026-06-05 Pay 750.00 USD to Plumber"]);
    do_all(&p, &compute(&p, date("2026-06-01")));
}

/// A visit that was booked for May 28 and of which nothing is noted; and a permit that nobody knows the day of, which the
/// forecast has on the next working day.
#[test]
fn what_is_past_stands_first() {
    let mut p = by_hand();
    let inspection = PhaseKind::Inspection;
    edit_phase(&mut p, "drywall", |phase| {
        phase.kind = inspection;
        phase.attempts.push(Attempt::booked(date("2026-05-28")));
    });
    let permit = Permit {
        key: "leave".to_owned(),
        name: "Leave".to_owned(),
        applied_on: Some(date("2026-05-04")),
        phases: vec![phase_id(&p, "rough")],
        ..Permit::new(PermitId(p.next_id))
    };
    p = p.apply(&Action::PutPermit(permit)).unwrap();
    assert_eq!(days_of(&p), ["be_there drywall 2026-05-28", "chase leave 2026-06-02"]);
}

/// Names that would be markup, and lines that are no lines.
#[test]
fn pages_texts_and_calendars_hold_names_as_names() {
    use needline::exchange::outgoing::calendar::Diary;
    use needline::exchange::outgoing::week::{ics, phone, sheet, text};
    use needline::model::SentIn;
    let nasty = "<script>alert(1)</script>\" onload='x'\r\nBEGIN:VEVENT";
    let mut p = by_hand();
    p.settings.name = nasty.to_owned();
    let drywall = phase_id(&p, "drywall");
    let supplier = add_supplier(&mut p, |s| (s.name, s.phone) = (nasty.to_owned(), "\"><b>1 555".to_owned()));
    add_part(&mut p, |part| {
        (part.name, part.phase, part.supplier) = (nasty.to_owned(), Some(drywall), Some(supplier));
        (part.lead, part.lead_unit) = (Some(3), LeadUnit::Days);
    });
    let sheet = sheet(&p, &compute(&p, date("2026-06-01")), 7);
    assert_eq!(sheet.lines.len(), 1);
    let page = phone(&sheet);
    assert!(page.matches("&lt;script&gt;").count() > 2 && !page.contains("<script"), "{page}");
    assert!(!page.contains("' onload") && !page.contains("\" onload") && !page.contains("http"), "{page}");
    let diary = Diary::of_nothing_before(SentIn::Week, date("2026-06-01"));
    let (calendar, said) = ics(&sheet, &sheet, diary);
    assert_eq!(said.len(), 2);
    assert_eq!(calendar.matches("\r\nBEGIN:VEVENT").count(), 1, "{calendar}");
    assert!(text(&sheet).lines().all(|line| !line.starts_with("BEGIN")), "{}", text(&sheet));
}

/// The verb prints one form, or writes several; what is there is left alone unless it is asked for.
#[test]
fn the_verb_prints_one_form_or_writes_several() {
    use common::run;
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("house.ron");
    let p = samples().into_iter().find(|(name, _)| name == "orchard_house").unwrap().1;
    file::save(&p, &file, None).unwrap();
    let out = folder.path().join("out");
    let (code, text, _) = run(&[&"week", &file, &"--as-of", &"2026-09-21"]);
    assert!(
        code == 0 && text.contains("Overdue\n- Choose Wall oven, Kitchen; was due Mon Aug 17;"),
        "{text}"
    );
    let (code, json, _) =
        run(&[&"week", &file, &"--as-of", &"2026-09-21", &"--days", &"28", &"--format", &"json"]);
    assert!(code == 0 && json.starts_with('[') && json.contains("\"kind\": \"be_there\""), "{json}");
    let all = "text,pdf,html,ics,json";
    for bad in [["--format", "pdf"], ["--format", all], ["--days", "9"], ["--format", "png"]] {
        let (code, text, why) = run(&[&"week", &file, &bad[0], &bad[1]]);
        assert!(code == 2 && text.is_empty() && !why.is_empty(), "{bad:?} {text} {why}");
    }
    let write = |more: &[&str]| {
        let mut args: Vec<&dyn AsRef<std::ffi::OsStr>> =
            vec![&"week", &file, &"--out", &out, &"--format", &all];
        args.extend(more.iter().map(|word| word as &dyn AsRef<std::ffi::OsStr>));
        run(&args)
    };
    let (code, names, _) = write(&[]);
    assert_eq!((code, names.lines().count()), (0, 6));
    assert!(names.lines().all(|name| out.join(name).is_file()), "{names}");
    assert_eq!(write(&[]).0, 2, "what is there is left alone");
    assert_eq!(write(&["--force"]).0, 0);
    let html = std::fs::read_to_string(out.join("week_phone.html")).unwrap();
    assert!(html.contains("href=\"tel:+15550112\""), "{html}");
}
