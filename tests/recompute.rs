//! Figures brought up to date after an edit are those of a computation from nothing, whatever the edit.

mod support;

use needline::engine::compute::compute_split;
use needline::engine::{Figures, compute, recompute, swap};
use needline::model::file::from_text;
use needline::model::*;
use proptest::prelude::*;
use rust_decimal::Decimal;
use std::path::Path;
use std::sync::{Arc, LazyLock};
use support::*;

/// The whole house of the samples: every kind of phase, link, supplier and part is in it.
static SAMPLE: LazyLock<Project> = LazyLock::new(|| {
    let text = include_str!("../sample_projects/orchard_house.ron");
    from_text(text, Path::new("orchard_house.ron")).unwrap()
});

const AS_OF: &str = "2026-09-21";

/// Every list and every sum, but for what is kept for the next computation.
fn assert_same(new: &Figures, from_nothing: &Figures, after: &str) {
    let (a, b) = (new, from_nothing);
    assert_eq!(a.as_of, b.as_of, "as-of day after {after}");
    let finish = |f: &Figures| (f.plan_finish, f.forecast_finish, f.days_lost);
    assert_eq!(finish(a), finish(b), "finish after {after}");
    assert_eq!(a.rooms, b.rooms, "rooms after {after}");
    let lengths = |f: &Figures| (f.phases.len(), f.parts.len(), f.selections.len(), f.orders.len());
    assert_eq!(lengths(a), lengths(b), "phases, parts, selections, orders after {after}");
    a.phases.iter().zip(&b.phases).for_each(|(a, b)| assert_eq!(a, b, "phase after {after}"));
    a.parts.iter().zip(&b.parts).for_each(|(a, b)| assert_eq!(a, b, "part after {after}"));
    a.selections.iter().zip(&b.selections).for_each(|(a, b)| assert_eq!(a, b, "selection after {after}"));
    a.orders.iter().zip(&b.orders).for_each(|(a, b)| assert_eq!(a, b, "order after {after}"));
    assert_eq!(a.money, b.money, "money after {after}");
    assert_eq!(a.cash, b.cash, "cash flow after {after}");
    assert_eq!(a.gates, b.gates, "gates after {after}");
    assert_eq!(a.returns, b.returns, "returns after {after}");
    assert_eq!(a.deliveries, b.deliveries, "deliveries after {after}");
    assert_eq!(a.payments, b.payments, "payments after {after}");
    for part in &b.parts {
        assert_eq!(a.part(part.id), b.part(part.id), "look-up by number after {after}");
    }
}

/// Follows a chain of documents, each figure made from the one before.
struct Follower {
    project: Project,
    figures: Figures,
}

impl Follower {
    fn new(project: &Project) -> Follower {
        Follower { project: project.clone(), figures: compute(project, date(AS_OF)) }
    }

    fn go(&mut self, next: Project, as_of: &str, after: &str) {
        let before = std::mem::replace(&mut self.project, next);
        let figures =
            std::mem::replace(&mut self.figures, compute(&Project::new("", date(AS_OF)), date(AS_OF)));
        self.figures = recompute(&self.project, date(as_of), &before, figures);
        assert_same(&self.figures, &compute(&self.project, date(as_of)), after);
    }

    fn act(&mut self, action: &Action) {
        if let Ok(next) = self.project.apply(action) {
            let label = format!("{} ({action:?})", action.label(&self.project));
            self.go(next, AS_OF, &label);
        }
    }
}

/// Numbers that choose an edit and its details.
type Dice = (u8, usize, usize, i32);

fn pick<T: Clone>(list: &[T], n: usize) -> T {
    list[n % list.len()].clone()
}

/// One edit of the kind people make, on things that exist.
fn any_edit(p: &Project, (kind, a, b, n): Dice) -> Action {
    let parts: Vec<(OptionId, Part)> = p
        .selections
        .iter()
        .flat_map(|s| &s.options)
        .flat_map(|o| o.parts.iter().map(|x| (o.id, x.clone())))
        .collect();
    let options: Vec<OptionId> = p.selections.iter().flat_map(|s| &s.options).map(|o| o.id).collect();
    let (option, mut part) = pick(&parts, a);
    let phase = pick(&p.phases, b);
    let on =
        (n % 4 != 0).then(|| date(AS_OF) + chrono::Days::new(n as u64 * 3 % 160) - chrono::Days::new(30));
    let amount = Money::new(Decimal::new(i64::from(n) * 3_737 + b as i64, 2));
    match kind % 46 {
        0..=3 => {
            match b % 12 {
                0 => part.unit_price = amount,
                1 => part.quantity = Quantity::Fixed(Decimal::new(i64::from(n) * 25, 1)),
                2 => part.lead = n as u32,
                3 => part.supplier = Some(pick(&p.suppliers, b).id).filter(|_| n % 5 != 0),
                4 => part.phase = Some(phase.id).filter(|_| n % 5 != 0),
                5 => part.taxable = !part.taxable,
                6 => part.at = if n % 2 == 0 { NeededAt::Start } else { NeededAt::Finish },
                7 => part.hold = Some(n as u32),
                8 => part.discount_pct = Decimal::from(n % 100),
                9 => part.lead_unit = pick(&[LeadUnit::Days, LeadUnit::Weeks, LeadUnit::Working], b / 12),
                10 => part.pack = Some(Decimal::from(n + 1)),
                _ => part.name.push('x'),
            }
            Action::PutPart(option, part)
        }
        4..=6 => Action::Choose(pick(&options, a)),
        7 => Action::Lean(pick(&options, a)),
        8 => Action::Reopen(pick(&p.selections, a).id),
        9..=11 => Action::MarkOrdered(vec![part.id, pick(&parts, b).1.id], on),
        12 => Action::MarkPromised(vec![part.id], on),
        13 => Action::MarkReceived(vec![part.id, pick(&parts, b).1.id], on),
        14 => Action::MarkInstalled(vec![part.id], on),
        15 => Action::SetPaid(part.id, amount),
        16 => Action::StartPhase(phase.id, on),
        17 => Action::FinishPhase(phase.id, on),
        18 => Action::SetNotBefore(phase.id, on),
        19 => Action::PutPhase(Phase { days: n, ..phase }),
        20 | 21 if p.links.is_empty() => Action::Reopen(pick(&p.selections, a).id),
        20 => {
            let mut link = pick(&p.links, b);
            link.lag = n % 9 - 2;
            Action::PutLink(link)
        }
        21 => Action::RemoveLink(pick(&p.links, b).id),
        22 => {
            Action::PutPart(option, Part { id: PartId(p.next_id), key: format!("new_{}", p.next_id), ..part })
        }
        23 => Action::RemovePart(part.id),
        24 => {
            let mut selection = pick(&p.selections, a).as_ref().clone();
            match b % 4 {
                0 => selection.allowance = amount,
                1 => selection.decide_on = on,
                2 => selection.category = format!("kind {}", n % 3),
                _ => selection.room = pick(&p.rooms, b).id,
            }
            Action::PutSelection(selection)
        }
        25 => {
            let mut supplier = pick(&p.suppliers, b);
            supplier.tax_pct = Decimal::from(n % 12);
            supplier.freight.flat = amount;
            Action::PutSupplier(supplier)
        }
        26 => match p.quotes.first() {
            Some(quote) if n % 3 == 0 => Action::RemoveQuote(quote.id),
            Some(_) => Action::AcceptQuote(pick(&p.quotes, a).id),
            None => Action::Reopen(pick(&p.selections, a).id),
        },
        27 => match p.extras.first() {
            Some(extra) if n % 4 == 0 => Action::RemoveExtra(extra.id),
            Some(_) => Action::PutExtra(Extra { amount, phase: Some(phase.id), ..pick(&p.extras, a) }),
            None => Action::Reopen(pick(&p.selections, a).id),
        },
        28 => {
            let mut settings = p.settings.clone();
            settings.contingency_pct = Decimal::from(n % 30);
            settings.hold = n as u32 % 4;
            Action::PutSettings(Box::new(settings))
        }
        30 | 31 => {
            let selection = pick(&p.selections, a);
            let wish = swap::Wish::new(selection.id, pick(&selection.options, b).id, date(AS_OF));
            let seen = swap::preview(p, &compute(p, date(AS_OF)), &wish);
            seen.map_or(Action::Reopen(selection.id), |seen| seen.action)
        }
        32 => match p.returns.last() {
            Some(r) => Action::PutReturn(Return {
                state: ReturnState::ALL[b % 5].1,
                went_back_on: (b % 5 == 2).then(|| date(AS_OF)),
                credit: Some(amount).filter(|_| n % 2 == 0),
                ..r.clone()
            }),
            None => Action::Choose(pick(&options, a)),
        },
        33 | 34 => {
            let presence = Presence::ALL[n as usize % 2].1;
            let need = |k: usize| match (a + k) % 5 {
                0 => Need::Finished(pick(&p.phases, a + 1 + k).id),
                1 => Need::PartsOf { phase: pick(&p.phases, a + k).id, presence },
                2 => Need::Selection {
                    selection: pick(&p.selections, a).id,
                    scope: Scope::ALL[b % 2].1,
                    presence,
                },
                3 => Need::Part { part: part.id, presence },
                _ => Need::Confirmed { what: "route".to_owned(), said_by: String::new(), said_on: None },
            };
            let known = p.gates.get(b % 4).filter(|_| n % 2 == 0);
            let first = p.next_id;
            let conditions = (0..=b % 3).map(|k| Condition {
                id: ConditionId(first + 1 + k as u32),
                need: need(k),
                who: String::new(),
                by: on,
            });
            let (id, key) = known.map_or((GateId(first), format!("gate{first}")), |g| (g.id, g.key.clone()));
            let (name, source) = ("Gate".to_owned(), String::new());
            Action::PutGate(Gate { id, key, phase: phase.id, name, source, conditions: conditions.collect() })
        }
        35 => {
            let conditions: Vec<ConditionId> =
                p.gates.iter().flat_map(|g| &g.conditions).map(|c| c.id).collect();
            match p.gates.first() {
                None => Action::Reopen(pick(&p.selections, a).id),
                Some(gate) if n % 6 == 0 => Action::RemoveGate(gate.id),
                _ if conditions.is_empty() => Action::Reopen(pick(&p.selections, a).id),
                _ => Action::Confirm(pick(&conditions, b), on.map(|on| ("Ann".to_owned(), on))),
            }
        }
        36 => {
            let inspection = p.phases.iter().find(|f| f.kind == PhaseKind::Inspection);
            Action::PutCorrection(Correction {
                id: CorrectionId(p.corrections.first().map_or(p.next_id, |c| c.id.0)),
                phase: inspection.map_or(phase.id, |f| f.id),
                found: date("2026-08-01"),
                what: "plates".to_owned(),
                trade: String::new(),
                fix_phase: (b % 2 == 0).then_some(phase.id),
                due: on,
                done: None,
            })
        }
        37..=39 => {
            let supplier = pick(&p.suppliers, b).id;
            let theirs: Vec<&Part> =
                parts.iter().map(|(_, part)| part).filter(|x| x.supplier == Some(supplier)).collect();
            let known = p.orders.get(a % 5).filter(|_| n % 3 != 0).cloned();
            let new = Order::new(OrderId(p.next_id), &format!("order{}", p.next_id), supplier);
            let mut order = known.unwrap_or(new);
            if order.supplier == supplier {
                let some = theirs.iter().enumerate().filter(|(i, _)| (a >> (i % 12)) & 1 == 1).take(7);
                order.parts = some.map(|(_, part)| part.id).collect();
            }
            order.placed_on = on;
            order.freight = Some(amount).filter(|_| n % 7 == 0);
            Action::PutOrder(order)
        }
        40 | 41 => match (p.orders.get(a % 7), p.orders.get(b % 7)) {
            (Some(a), Some(b)) if n % 3 == 0 => Action::MergeOrders { into: a.id, from: b.id },
            (Some(order), _) if n % 3 == 1 => {
                let new = Order {
                    id: OrderId(p.next_id),
                    key: format!("order{}", p.next_id),
                    parts: order.parts.iter().copied().skip(1).take(2).collect(),
                    ..order.clone()
                };
                Action::SplitOrder(order.id, new)
            }
            (Some(order), _) => Action::RemoveOrder(order.id),
            _ => Action::MarkOrdered(vec![part.id], on),
        },
        42 => {
            let damaged = Decimal::from(n % 3);
            let day = on.unwrap_or(date(AS_OF));
            let known = p.deliveries.get(b % 4).filter(|_| n % 4 == 0);
            let base = Delivery::new(DeliveryId(p.next_id), part.id, day, Decimal::from(n % 9 + 3));
            let reported_on = Some(day).filter(|_| n % 3 != 0);
            Action::PutDelivery(Delivery {
                damaged,
                reported_on,
                rest_on: Some(day + chrono::Days::new(9)).filter(|_| n % 2 == 0),
                ..known.cloned().unwrap_or(base)
            })
        }
        43 => match p.deliveries.get(b % 5) {
            Some(d) => Action::RemoveDelivery(d.id),
            None => Action::MarkReceived(vec![part.id], on),
        },
        44 => {
            let order = p.orders.get(b % 5).map(|o| PaidFor::Order(o.id)).filter(|_| n % 3 != 0);
            Action::PutPayment(Payment {
                id: p.payments.get(b % 6).filter(|_| n % 4 == 0).map_or(PaymentId(p.next_id), |x| x.id),
                of: order.unwrap_or(PaidFor::Part(part.id)),
                on: on.unwrap_or(date(AS_OF)),
                amount: amount.plus(Money::new(Decimal::ONE)),
                kind: PaymentKind::Other,
                note: String::new(),
            })
        }
        _ => {
            if let Some(payment) = p.payments.get(b % 9).filter(|_| a % 5 == 0) {
                return Action::RemovePayment(payment.id);
            }
            let actions =
                (0..b % 4).map(|k| any_edit(p, ((a + k * 7) as u8 % 45, a / 2 + k, b / 3 + k, n))).collect();
            Action::Batch { label: format!("batch {a}"), actions }
        }
    }
}

fn any_dice(most: usize) -> impl Strategy<Value = Vec<Dice>> {
    proptest::collection::vec((any::<u8>(), 0_usize..40_000, 0_usize..40_000, 0_i32..60), 1..most)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// Edit after edit on the whole house.
    #[test]
    fn edits_of_a_whole_house(dice in any_dice(30)) {
        let mut follower = Follower::new(&SAMPLE);
        for dice in dice {
            let action = any_edit(&follower.project, dice);
            follower.act(&action);
        }
    }

    /// Back and forth between documents of one history, as undo and redo go.
    #[test]
    fn jumps_between_documents(dice in any_dice(12), jumps in proptest::collection::vec(0_usize..100, 1..12)) {
        let mut documents = vec![SAMPLE.clone()];
        for dice in dice {
            let last = documents.last().unwrap();
            if let Ok(next) = last.apply(&any_edit(last, dice)) {
                documents.push(next);
            }
        }
        let mut follower = Follower::new(&SAMPLE);
        for jump in jumps {
            follower.go(pick(&documents, jump), AS_OF, "a jump");
        }
    }
}

/// Few phases and long leads, so that nearly every delivery holds something and many arrive together.
fn crowded() -> Project {
    let mut p = project("2026-09-21");
    add_phases(
        &mut p,
        [("rough", 2, ""), ("tile", 3, "rough"), ("trim", 1, "tile SS+1"), ("done", 0, "trim,tile")],
    );
    add_room(&mut p, "10", "12", "8");
    for tax in ["7.25", "0"] {
        add_supplier(&mut p, |s| {
            (s.tax_pct, s.deposit_pct, s.freight.flat, s.freight.taxed) =
                (dec(tax), dec("30"), money("95"), true);
        });
    }
    for _ in 0..4 {
        add_selection(&mut p, "450", &[(OptionState::Chosen, 2), (OptionState::Candidate, 1)]);
    }
    let parts: Vec<(OptionId, Part)> = p.all_parts().map(|(_, o, part)| (o.id, part.clone())).collect();
    for (at, (option, mut part)) in parts.into_iter().enumerate() {
        (part.lead, part.phase) = (20 + at as u32 % 3, Some(p.phases[at % 4].id));
        part.supplier = Some(p.suppliers[at % 2].id);
        p = p.apply(&Action::PutPart(option, part)).unwrap();
    }
    let needs = [
        (1, Need::PartsOf { phase: p.phases[0].id, presence: Presence::BuiltIn }),
        (3, Need::Finished(p.phases[2].id)),
        (
            2,
            Need::Selection {
                selection: p.selections[0].id,
                scope: Scope::SoFar,
                presence: Presence::OnSite,
            },
        ),
        (2, Need::Confirmed { what: "color".to_owned(), said_by: String::new(), said_on: None }),
    ];
    for (phase, need) in needs {
        let (id, phase) = (p.next_id, p.phases[phase].id);
        let by = Some(date("2026-10-20"));
        let conditions = vec![Condition { id: ConditionId(id + 1), need, who: String::new(), by }];
        let (key, name, source) = (format!("gate{id}"), "Gate".to_owned(), String::new());
        p = p.apply(&Action::PutGate(Gate { id: GateId(id), key, phase, name, source, conditions })).unwrap();
    }
    let (id, key) = (ExtraId(p.next_id), "fee".to_owned());
    let (amount, paid, phase) = (money("300"), money("0"), Some(p.phases[1].id));
    p.apply(&Action::PutExtra(Extra {
        id,
        key,
        name: "Fee".to_owned(),
        kind: ExtraKind::Permit,
        phase,
        amount,
        paid,
    }))
    .unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    /// Edit after edit where everything hangs together.
    #[test]
    fn edits_of_a_crowded_house(dice in any_dice(25)) {
        let mut follower = Follower::new(&crowded());
        for dice in dice {
            if follower.project.all_parts().count() > 4 {
                let action = any_edit(&follower.project, dice);
                follower.act(&action);
            }
        }
    }
}

/// The as-of day is an input like any other.
#[test]
fn another_day() {
    let mut follower = Follower::new(&SAMPLE);
    for day in ["2026-09-22", "2026-12-24", "2026-09-21"] {
        follower.go(SAMPLE.clone(), day, "another day");
    }
}

/// Another project altogether.
#[test]
fn another_project() {
    let mut follower = Follower::new(&SAMPLE);
    let mut small = project("2026-10-01");
    add_phases(&mut small, [("rough", 4, ""), ("tile", 5, "rough")]);
    add_selection(&mut small, "450", &[(OptionState::Chosen, 2)]);
    follower.go(small, AS_OF, "another project");
    follower.go(SAMPLE.clone(), AS_OF, "back again");
}

/// Two threads give what one gives: halves of any weight are put together in the order of the document.
#[test]
fn two_threads_change_nothing() {
    let mut project = SAMPLE.clone();
    for _ in 0..6 {
        for day in [AS_OF, "2026-07-01", "2027-03-01"] {
            assert_same(&compute_split(&project, date(day), 0), &compute(&project, date(day)), "two threads");
        }
        // Fewer and fewer selections, down to very few.
        let selections = Arc::make_mut(&mut project.selections);
        selections.truncate(selections.len() / 3);
        project.returns = Arc::default();
    }
}
