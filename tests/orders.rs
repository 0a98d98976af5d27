//! Orders the user groups, part deliveries, damage, payments, and looking back: laws and worked cases.

mod support;

use needline::engine::orders::Order as Priced;
use needline::engine::{Figures, problems, swap};
use needline::exchange::{export_sheets, import_sheets};
use needline::model::*;
use proptest::prelude::*;
use rust_decimal::Decimal;
use std::sync::Arc;
use support::*;

const AS_OF: &str = "2026-09-21";

/// Two suppliers with freight, tax and deposits; `n` chosen parts, every third at the second supplier.
fn shop(n: usize) -> Project {
    let mut p = project("2026-09-07");
    add_phases(&mut p, [("rough", 20, ""), ("tile", 30, "rough"), ("trim", 10, "tile")]);
    for (tax, flat) in [("7.25", "95"), ("6", "40")] {
        add_supplier(&mut p, |s| {
            s.tax_pct = dec(tax);
            s.freight.flat = money(flat);
            s.freight.free_over = Some(money("2000"));
            s.freight.taxed = tax == "6";
            s.deposit_pct = dec("30");
            s.restock_pct = dec("15");
            s.return_days = Some(60);
            s.net_days = 10;
        });
    }
    let (suppliers, phases) = (p.suppliers.clone(), p.phases.clone());
    for i in 0..n {
        add_part(&mut p, |part| {
            part.supplier = Some(suppliers[usize::from(i % 3 == 2)].id);
            part.phase = Some(phases[i % 3].id);
            part.quantity = Quantity::Fixed(Decimal::from(i as u32 % 4 * 3 + 1));
            part.unit_price = Some(Money::new(Decimal::new(3_333 + 1_717 * i as i64, 2)));
            part.lead = Some(14);
        });
    }
    p
}

fn ids(p: &Project) -> Vec<PartId> {
    p.all_parts().map(|(_, _, part)| part.id).collect()
}

fn of(p: &Project, supplier: usize) -> Vec<PartId> {
    let id = Some(p.suppliers[supplier].id);
    p.all_parts().filter(|(_, _, part)| part.supplier == id).map(|(_, _, part)| part.id).collect()
}

fn order(p: &Project, key: &str, supplier: usize, placed: Option<&str>, parts: &[PartId]) -> Order {
    Order {
        placed_on: placed.map(date),
        parts: parts.to_vec(),
        ..Order::new(OrderId(p.next_id), key, p.suppliers[supplier].id)
    }
}

fn act(p: &Project, action: Action) -> Project {
    p.apply(&action).unwrap_or_else(|e| panic!("{action:?}: {e}"))
}

fn refused(p: &Project, action: Action) -> String {
    p.apply(&action).expect_err("it should be refused").to_string()
}

fn priced<'a>(p: &Project, f: &'a Figures, key: &str) -> &'a Priced {
    let id = p.orders.iter().find(|o| o.key == key).unwrap().id;
    f.orders.iter().find(|o| o.own == Some(id)).unwrap_or_else(|| panic!("no order {key}"))
}

fn pay(p: &Project, of: PaidFor, on: &str, amount: &str) -> Project {
    let payment = Payment {
        id: PaymentId(p.next_id),
        of,
        on: date(on),
        amount: money(amount),
        kind: PaymentKind::Other,
        note: String::new(),
    };
    act(p, Action::PutPayment(payment))
}

fn came(p: &Project, part: PartId, on: &str, units: &str) -> Project {
    act(p, Action::PutDelivery(Delivery::new(DeliveryId(p.next_id), part, date(on), dec(units))))
}

/// Goods, freight and tax of lines and orders add up, whatever is grouped how.
fn assert_adds_up(p: &Project, f: &Figures) {
    let mut in_orders = 0;
    for order in &f.orders {
        let lines = || order.parts.iter().map(|at| &f.parts[*at]);
        in_orders += order.parts.len();
        assert_eq!(lines().map(|l| l.amount).sum::<Money>(), order.goods);
        assert_eq!(lines().map(|l| l.freight).sum::<Money>(), order.freight);
        assert_eq!(lines().map(|l| l.tax).sum::<Money>(), order.tax);
        let account = f.account(p, order);
        assert_eq!(account.paid.plus(account.owed), account.billed.less(account.credits));
        if !account.owed.is_negative() && f.returns.iter().next().is_none() {
            // What falls due is what is owed, but where one line was paid more than another leaves over.
            let due: Money = account.dues.iter().map(|d| d.amount).sum();
            assert!(due >= account.owed, "{due:?} {:?}", account.owed);
        }
    }
    let counted = f.parts.iter().filter(|part| part.live || part.placed.is_some());
    assert_eq!(counted.clone().count(), in_orders, "each part that counts is in one order");
    let placed: Money = f.orders.iter().filter(|o| o.placed.is_some()).map(Priced::total).sum();
    if f.returns.iter().next().is_none() {
        let ordered: Money = counted.filter(|part| part.placed.is_some()).map(|part| part.total()).sum();
        assert_eq!(f.money.total.ordered, ordered);
        if f.parts.iter().all(|part| part.placed.is_none() || part.placed <= Some(f.as_of)) {
            let owed: Money = f
                .orders
                .iter()
                .flat_map(|o| o.parts.iter())
                .map(|at| &f.parts[*at])
                .filter(|part| part.placed.is_some())
                .map(|part| part.total().less(part.paid))
                .sum();
            let unplaced: Money = f.parts.iter().filter(|x| x.placed.is_none()).map(|x| x.paid).sum();
            assert_eq!(f.money.total.to_pay(), owed.less(unplaced));
        }
    }
    assert!(
        placed <= f.money.total.ordered.plus(Money::new(Decimal::ONE_HUNDRED)),
        "orders are among what is ordered"
    );
    let by: Money = f.money.by_supplier.iter().map(|c| c.ordered).sum();
    assert_eq!(by, f.money.total.ordered);
}

/// The document as it stood on a day: all that is dated later is taken out.
fn as_it_stood(p: &Project, day: &str) -> Project {
    let day = date(day);
    let mut stood = p.clone();
    for selection in Arc::make_mut(&mut stood.selections) {
        for part in Arc::make_mut(selection).options.iter_mut().flat_map(|o| &mut o.parts) {
            part.ordered_on = part.ordered_on.filter(|d| *d <= day);
            part.received_on = part.received_on.filter(|d| *d <= day);
            part.installed_on = part.installed_on.filter(|d| *d <= day);
        }
    }
    for order in Arc::make_mut(&mut stood.orders) {
        order.placed_on = order.placed_on.filter(|d| *d <= day);
    }
    Arc::make_mut(&mut stood.deliveries).retain(|d| d.on <= day);
    for delivery in Arc::make_mut(&mut stood.deliveries) {
        if delivery.damage_day().is_some_and(|d| d > day) {
            (delivery.damaged, delivery.reported_on) = (Decimal::ZERO, None);
            (delivery.replacement_lead, delivery.replacement_on) = (None, None);
        }
    }
    Arc::make_mut(&mut stood.payments).retain(|payment| payment.on <= day);
    for r in Arc::make_mut(&mut stood.returns).iter_mut() {
        if r.went_back_on.is_some_and(|d| d > day) {
            (r.state, r.went_back_on, r.credit) = (ReturnState::GoingBack, None, None);
        }
    }
    stood
}

type Dice = (u8, usize, usize, u32);

/// One thing that people do with orders. What is refused does nothing.
fn any_step(p: &Project, (kind, a, b, n): Dice) -> Action {
    let parts = ids(p);
    let part = parts[a % parts.len()];
    let on = date("2026-08-31") + chrono::Days::new(u64::from(n));
    let pick = |list: &[PartId], n: usize| -> Vec<PartId> {
        list.iter().enumerate().filter(|(i, _)| (n >> (i % 16)) & 1 == 1).map(|(_, id)| *id).collect()
    };
    let known = (!p.orders.is_empty()).then(|| p.orders[b % p.orders.len()].clone());
    let delivery =
        |k: usize| (!p.deliveries.is_empty()).then(|| p.deliveries[k % p.deliveries.len()].clone());
    match (kind % 14, known) {
        (0..=2, _) | (3..=6, None) => {
            let supplier = b % 2;
            let placed = (n % 4 != 0).then_some(on);
            let new = order(p, &format!("o{}", p.next_id), supplier, None, &pick(&of(p, supplier), a));
            Action::PutOrder(Order { placed_on: placed, ..new })
        }
        (3, Some(known)) => {
            let new = Order {
                id: OrderId(p.next_id),
                key: format!("o{}", p.next_id),
                parts: pick(&known.parts, a),
                freight: None,
                ..known.clone()
            };
            Action::SplitOrder(known.id, new)
        }
        (4, Some(known)) => Action::MergeOrders { into: known.id, from: p.orders[a % p.orders.len()].id },
        (5, Some(known)) => Action::PutOrder(Order {
            freight: (n % 3 != 0).then(|| Money::new(Decimal::new(i64::from(n) * 377, 2))),
            placed_on: (n % 5 != 0).then_some(on),
            ..known
        }),
        (6, Some(known)) => Action::RemoveOrder(known.id),
        (7, _) => Action::MarkOrdered(pick(&parts, a), (n % 5 != 0).then_some(on)),
        (8, Some(known)) => Action::PutPayment(Payment {
            id: PaymentId(p.next_id),
            of: PaidFor::Order(known.id),
            on,
            amount: Money::new(Decimal::new(a as i64 % 90_000 + 1, 2)),
            kind: PaymentKind::Deposit,
            note: String::new(),
        }),
        (8 | 9, _) => Action::PutPayment(Payment {
            id: PaymentId(p.next_id),
            of: PaidFor::Part(part),
            on,
            amount: Money::new(Decimal::new(b as i64 % 9_000 + 1, 2)),
            kind: PaymentKind::Other,
            note: String::new(),
        }),
        (10 | 11, _) => {
            let damaged = Decimal::from(if n % 3 != 1 { b as u32 % 3 } else { 0 });
            let hurt = !damaged.is_zero();
            Action::PutDelivery(Delivery {
                damaged,
                reported_on: (hurt && n % 2 == 0).then_some(on + chrono::Days::new(3)),
                replacement_lead: (hurt && n % 7 == 0).then_some(n),
                replacement_on: (hurt && n % 5 == 0).then_some(on + chrono::Days::new(20)),
                rest_on: (n % 4 == 1).then_some(on + chrono::Days::new(u64::from(n % 30))),
                ..Delivery::new(DeliveryId(p.next_id), part, on, Decimal::from(b as u32 % 6 + 1))
            })
        }
        (12, _) => match (delivery(a), n % 2) {
            (Some(d), 0) => Action::RemoveDelivery(d.id),
            (Some(d), _) => Action::PutDelivery(Delivery { quantity: Decimal::from(n % 9 + 1), ..d }),
            _ => Action::MarkReceived(vec![part], Some(on)),
        },
        _ => match p.payments.last() {
            Some(payment) if n % 2 == 0 => Action::RemovePayment(payment.id),
            _ => Action::MarkReceived(vec![part], (n % 3 != 0).then_some(on)),
        },
    }
}

fn any_steps() -> impl Strategy<Value = Vec<Dice>> {
    proptest::collection::vec((any::<u8>(), 0_usize..70_000, 0_usize..70_000, 0_u32..60), 1..25)
}

/// A shop after many steps.
fn after(steps: Vec<Dice>) -> Project {
    let mut p = shop(8);
    for dice in steps {
        if let Ok(next) = p.apply(&any_step(&p, dice)) {
            p = next;
        }
    }
    p
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(160))]

    /// Lines add up to orders and orders to totals, and what is paid and owed is what is billed less credits, through
    /// splits and merges; every document stays valid and comes back from its sheets.
    #[test]
    fn lines_add_up_whatever_is_split_and_merged(steps in any_steps()) {
        let p = after(steps);
        prop_assert_eq!(validate::document(&p), Vec::<String>::new());
        for day in [AS_OF, "2026-09-01", "2026-12-01"] {
            assert_adds_up(&p, &figures(&p, day));
        }
        let (again, _) = import_sheets(export_sheets(&p), "").unwrap_or_else(|e| panic!("{e}"));
        let (a, b) = (figures(&p, AS_OF), figures(&again, AS_OF));
        prop_assert_eq!((&a.money, &a.cash), (&b.money, &b.cash));
        let of = |f: &Figures| -> Vec<_> {
            f.parts.iter().map(|x| (x.arrival, x.on_site, x.placed, x.paid, x.total())).collect()
        };
        prop_assert_eq!(of(&a), of(&b));
        let of = |f: &Figures| -> Vec<_> {
            f.orders.iter().map(|o| (o.placed, o.parts.clone(), o.confirmed, o.total())).collect()
        };
        prop_assert_eq!(of(&a), of(&b));
    }

    /// Looking at an earlier day gives what the project was then.
    #[test]
    fn a_day_is_as_it_was(steps in any_steps(), n in 0_u64..90) {
        let p = after(steps);
        let day = (date("2026-08-20") + chrono::Days::new(n)).to_string();
        let stood = as_it_stood(&p, &day);
        let (a, b) = (figures(&p, &day), figures(&stood, &day));
        prop_assert_eq!(&a.parts, &b.parts);
        prop_assert_eq!(&a.orders, &b.orders);
        prop_assert_eq!(&a.money, &b.money);
        prop_assert_eq!(&a.cash, &b.cash);
        prop_assert_eq!(&a.phases, &b.phases);
        prop_assert_eq!(&a.deliveries, &b.deliveries);
    }

    /// Payments are shared without a cent lost, also when lines cost nothing.
    #[test]
    fn payments_are_shared_whole(steps in any_steps(), amount in 1_i64..5_000_000) {
        let mut p = after(steps);
        let list = of(&p, 0);
        p = act(&p, Action::PutOrder(order(&p, "paid", 0, None, &list)));
        let before = figures(&p, AS_OF).money.total.paid;
        let id = p.orders.last().unwrap().id;
        let amount = Money::new(Decimal::new(amount, 2));
        p = pay(&p, PaidFor::Order(id), "2026-09-20", &amount.amount().to_string());
        prop_assert_eq!(figures(&p, AS_OF).money.total.paid.less(before), amount);
    }

    /// What is missing is what is bought and damaged less what came; and the more came, the sooner the rest is expected.
    #[test]
    fn the_more_came_the_sooner_the_rest(
        bought in 1_u32..12,
        first in 1_u32..12,
        damaged in 0_u32..4,
        later in 1_u32..12,
        lead in 0_u32..60,
        promised in proptest::option::of(0_u64..60),
        rest in proptest::option::of(0_u64..90),
    ) {
        let damaged = damaged.min(first);
        let mut p = shop(1);
        let part = ids(&p)[0];
        edit_part(&mut p, part, |part| {
            part.quantity = Quantity::Fixed(Decimal::from(bought));
            part.ordered_on = Some(date("2026-08-03"));
            part.promised_on = promised.map(|n| date("2026-08-10") + chrono::Days::new(n));
        });
        let on = date("2026-09-01");
        p = act(&p, Action::PutDelivery(Delivery {
            damaged: Decimal::from(damaged),
            replacement_lead: (damaged > 0).then_some(lead),
            rest_on: rest.map(|n| on + chrono::Days::new(n)),
            ..Delivery::new(DeliveryId(p.next_id), part, on, Decimal::from(first))
        }));
        let look = |p: &Project| {
            let f = figures(p, AS_OF);
            let row = f.deliveries.of(0).unwrap().clone();
            (row, f.parts[0].arrival, f.parts[0].on_site)
        };
        let (row, arrival, on_site) = look(&p);
        let missing = Decimal::from((bought + damaged).saturating_sub(first));
        prop_assert_eq!(row.missing(), missing);
        prop_assert_eq!(on_site, missing.is_zero());
        let more = came(&p, part, "2026-09-10", &later.to_string());
        let (row, sooner, on_site) = look(&more);
        let missing = Decimal::from((bought + damaged).saturating_sub(first + later));
        prop_assert_eq!(row.missing(), missing);
        prop_assert_eq!(on_site, missing.is_zero());
        prop_assert!(sooner <= arrival, "{sooner:?} after {arrival:?}");
        // All received says that nothing is missing.
        let all = act(&more, Action::MarkReceived(vec![part], Some(date("2026-09-15"))));
        prop_assert!(look(&all).2);
    }
}

/// The steps reach what they are for.
#[test]
fn steps_make_orders_deliveries_and_payments() {
    let mut seed = 1_u64;
    let mut next = |below: u64| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) % below
    };
    let mut counts = [0; 5];
    for _ in 0..100 {
        let mut step = || (next(256) as u8, next(70_000) as usize, next(70_000) as usize, next(60) as u32);
        let p = after((0..24).map(|_| step()).collect());
        let f = figures(&p, "2026-12-01");
        let found = [
            p.orders.iter().filter(|o| o.parts.len() > 1).count() > 1,
            f.orders.iter().any(|o| o.own.is_some() && o.placed.is_some()),
            f.deliveries.iter().any(|d| !d.missing().is_zero()),
            f.deliveries.iter().any(|d| !d.to_replace.is_zero()),
            p.payments.iter().any(|x| matches!(x.of, PaidFor::Order(_))),
        ];
        found.iter().zip(&mut counts).for_each(|(yes, count)| *count += usize::from(*yes));
    }
    assert!(counts.iter().all(|n| *n > 5), "{counts:?}");
}

/// 10 pieces at 80.00 and 1 at 300.00 with 7.25 percent tax and 95.00 freight that is not taxed:
/// goods 1,100.00, tax 79.75, total 1,274.75 (3.6 of the design, by hand).
fn two_lines() -> (Project, PartId, PartId) {
    let mut p = shop(2);
    let list = ids(&p);
    for (id, n, price) in [(list[0], 10, "80"), (list[1], 1, "300")] {
        edit_part(&mut p, id, |part| {
            part.quantity = Quantity::Fixed(Decimal::from(n));
            part.unit_price = Some(money(price));
            part.lead = Some(10);
            part.lead_unit = LeadUnit::Working;
        });
    }
    let new = Order { number: "4711".to_owned(), ..order(&p, "first", 0, Some("2026-09-01"), &list) };
    (act(&p, Action::PutOrder(new)), list[0], list[1])
}

#[test]
fn an_order_has_one_freight_and_one_tax() {
    let (p, a, b) = two_lines();
    let f = figures(&p, AS_OF);
    let order = priced(&p, &f, "first");
    assert_eq!((order.goods, order.freight, order.tax), (money("1100"), money("95"), money("79.75")));
    assert_eq!(part(&f, a).placed, Some(day("2026-09-01")));
    let account = f.account(&p, order);
    assert_eq!(account.owed, money("1274.75"));
    // 30 percent of each line's total, rounded: 80/110 of 95.00 is 69.09, tax 58.00; so 278.13 and 104.30.
    assert_eq!(account.dues[0].day, day("2026-09-01"));
    assert!(account.dues[0].deposit);
    assert_eq!(account.dues[0].amount, money("382.43"));
    // Split: each pays the freight of an order of its own.
    let new = Order { number: String::new(), ..super_order(&p, "second", "2026-09-01", &[b]) };
    let split = act(&p, Action::SplitOrder(p.orders[0].id, new));
    let f = figures(&split, AS_OF);
    let (first, second) = (priced(&split, &f, "first"), priced(&split, &f, "second"));
    assert_eq!((first.freight, second.freight), (money("95"), money("95")));
    assert_eq!((first.tax, second.tax), (money("58"), money("21.75")));
    // And merged again it is what it was.
    let [into, from] = [0, 1].map(|n| split.orders[n].id);
    let merged = act(&split, Action::MergeOrders { into, from });
    assert_eq!(merged.orders, p.orders);
    assert_eq!(figures(&merged, AS_OF).orders, figures(&p, AS_OF).orders);
    // Freight as confirmed takes the place of the supplier's terms.
    let confirmed = Order { freight: Some(money("60")), ..p.orders[0].clone() };
    let p = act(&p, Action::PutOrder(confirmed));
    assert_eq!(priced(&p, &figures(&p, AS_OF), "first").total(), money("1239.75"));
}

fn super_order(p: &Project, key: &str, placed: &str, parts: &[PartId]) -> Order {
    order(p, key, 0, Some(placed), parts)
}

#[test]
fn lines_of_one_day_share_an_order_only_where_they_are_one() {
    let (p, a, _) = two_lines();
    // Taken apart, they are together by supplier and day, as parts without an order are.
    let apart = act(&p, Action::RemoveOrder(p.orders[0].id));
    let f = figures(&apart, AS_OF);
    assert_eq!(f.orders.len(), 1);
    assert_eq!(f.orders[0].total(), money("1274.75"));
    // A line that is not ordered after all leaves the order.
    let left = act(&p, Action::MarkOrdered(vec![a], None));
    assert_eq!(left.orders[0].parts.len(), 1);
    assert_eq!(left.orders[0].placed_on, Some(date("2026-09-01")));
    // All of them take the order along.
    let moved = act(&p, Action::MarkOrdered(ids(&p), Some(date("2026-09-03"))));
    assert_eq!(moved.orders[0].placed_on, Some(date("2026-09-03")));
    assert_eq!(moved.orders[0].parts.len(), 2);
}

#[test]
fn payments_settle_the_deposit_first() {
    let (p, _, _) = two_lines();
    let id = p.orders[0].id;
    let p = pay(&p, PaidFor::Order(id), "2026-09-02", "382.43");
    let f = figures(&p, AS_OF);
    let account = f.account(&p, priced(&p, &f, "first"));
    assert_eq!((account.paid, account.owed), (money("382.43"), money("892.32")));
    // The deposit is settled to the cent or two by which shares are rounded; the balance is due ten days after it comes:
    // ordered Tue Sep 1, ten open days without Labor Day is Wed Sep 16, overdue, so expected Tue Sep 22.
    let balance: Money = account.dues.iter().filter(|d| !d.deposit).map(|d| d.amount).sum();
    assert!(money("892.40") >= balance && balance >= money("892.32"), "{balance:?}");
    assert_eq!(account.dues.last().unwrap().day, day("2026-10-02"));
    // The day before, nothing was paid.
    let before = figures(&p, "2026-09-01");
    assert_eq!(before.money.total.paid, Money::ZERO);
    assert_eq!(before.money.total.ordered, money("1274.75"));
    // And the day before that, nothing was ordered.
    assert_eq!(figures(&p, "2026-08-31").money.total.ordered, Money::ZERO);
    assert!(problems(&p, &before).iter().any(|p| p.code == "dated_later"));
    // What fell due and was not paid is said, and what will soon: the balance ten days after all of it came.
    let here = act(&p, Action::MarkReceived(ids(&p), Some(date("2026-09-16"))));
    let said = problems(&here, &figures(&here, AS_OF));
    let soon = said.iter().find(|p| p.code == "payment_soon").unwrap();
    assert!(soon.message.contains("2026-09-26") && soon.message.contains("5 days"), "{}", soon.message);
    let none = act(&p, Action::RemovePayment(p.payments[0].id));
    let said = problems(&none, &figures(&none, AS_OF));
    let due = said.iter().find(|p| p.code == "payment_due").unwrap();
    assert!(due.message.starts_with("382.43 USD are due since 2026-09-01"), "{}", due.message);
    assert_eq!(due.subject, Subject::Order(id));
    // More than is owed is said, and kept.
    let p = pay(&p, PaidFor::Order(id), "2026-09-10", "1000");
    let f = figures(&p, AS_OF);
    let said: Vec<_> = problems(&p, &f).into_iter().filter(|p| p.code == "order_overpaid").collect();
    assert!(said[0].message.contains("107.68"), "{}", said[0].message);
}

#[test]
fn what_came_in_part_is_on_site_when_all_is_there() {
    let (p, a, _) = two_lines();
    // Four of ten came; the rest is expected as the whole was: overdue, so on the next receiving day.
    let p = came(&p, a, "2026-09-14", "4");
    let f = figures(&p, AS_OF);
    assert!(!part(&f, a).on_site && part(&f, a).overdue);
    assert_eq!(part(&f, a).arrival, Some(day("2026-09-22")));
    assert!(problems(&p, &f).iter().any(|p| p.code == "backorder_no_date"));
    // With a promise it is expected then.
    let promised = Delivery { rest_on: Some(date("2026-10-06")), ..p.deliveries[0].clone() };
    let p = act(&p, Action::PutDelivery(promised));
    let f = figures(&p, AS_OF);
    assert_eq!(part(&f, a).arrival, Some(day("2026-10-06")));
    assert!(!problems(&p, &f).iter().any(|p| p.code == "backorder_no_date"));
    // The rest comes: on site that day.
    let p = came(&p, a, "2026-09-18", "6");
    let f = figures(&p, AS_OF);
    assert!(part(&f, a).on_site);
    assert_eq!(part(&f, a).arrival, Some(day("2026-09-18")));
    // Looking back it was not.
    assert!(!part(&figures(&p, "2026-09-17"), a).on_site);
}

#[test]
fn damage_starts_a_replacement_from_the_day_it_is_reported() {
    let (p, a, _) = two_lines();
    let delivery = Delivery {
        damaged: dec("3"),
        reported_on: Some(date("2026-09-16")),
        ..Delivery::new(DeliveryId(p.next_id), a, date("2026-09-14"), dec("10"))
    };
    let p = act(&p, Action::PutDelivery(delivery));
    // Until it was reported, all was there.
    assert!(part(&figures(&p, "2026-09-15"), a).on_site);
    // Ten open days of the supplier from Wed Sep 16 are Wed Sep 30.
    let f = figures(&p, AS_OF);
    assert!(!part(&f, a).on_site);
    assert_eq!(part(&f, a).arrival, Some(day("2026-09-30")));
    let row = f.deliveries.of(0).unwrap();
    assert_eq!((row.backorder, row.to_replace), (dec("0"), dec("3")));
    // Its own lead time: 15 open days, with Columbus Day (Mon Oct 12) after it, are Wed Oct 7.
    let lead = Delivery { replacement_lead: Some(15), ..p.deliveries[0].clone() };
    let slow = act(&p, Action::PutDelivery(lead));
    assert_eq!(part(&figures(&slow, AS_OF), a).arrival, Some(day("2026-10-07")));
    // The phase needs it at its start on Sep 21, so the replacement is late and holds it.
    assert!(problems(&p, &f).iter().any(|p| p.code == "replacement_late"));
    let phase = &f.phases[part(&f, a).phase.unwrap() as usize];
    assert_eq!(phase.held_by[0].part, 0);
    // The replacement comes.
    let p = came(&p, a, "2026-09-25", "3");
    assert!(part(&figures(&p, "2026-09-25"), a).on_site);
}

/// Needed on Oct 19: a replacement on that day is in time, though the rest of the part comes later; one a day later is not.
#[test]
fn a_replacement_is_late_by_its_own_day() {
    let (mut p, a, _) = two_lines();
    p.phases = p.phases.clone();
    let needed = p.phases[part(&figures(&p, AS_OF), a).phase.unwrap() as usize].key.clone();
    edit_phase(&mut p, &needed, |phase| phase.not_before = Some(date("2026-10-19")));
    let f = figures(&p, AS_OF);
    let need = part(&f, a).need_date.unwrap();
    let late = |days: i32| {
        let delivery = Delivery {
            damaged: dec("1"),
            replacement_on: Some(need.plus(days).date()),
            rest_on: Some(need.plus(14).date()),
            ..Delivery::new(DeliveryId(p.next_id), a, date("2026-09-14"), dec("8"))
        };
        let p = act(&p, Action::PutDelivery(delivery));
        let f = figures(&p, AS_OF);
        assert!(part(&f, a).late, "the rest of it is");
        problems(&p, &f).iter().any(|p| p.code == "replacement_late")
    };
    assert!(!late(-1) && !late(0));
    assert!(late(1));
}

/// What is due is said of lines that were placed on a day, before anybody has made one order of them.
#[test]
fn what_is_due_is_said_without_an_order_of_its_own() {
    let (p, a, b) = two_lines();
    let apart = match p.order_of(a) {
        Some(order) => act(&p, Action::RemoveOrder(order.id)),
        None => p,
    };
    let due = |p: &Project| {
        let found = problems(p, &figures(p, "2027-01-04"));
        let due: Vec<String> =
            found.into_iter().filter(|p| p.code == "payment_due").map(|p| p.message).collect();
        due.join("; ")
    };
    let amount = |words: &str| words.split(' ').next().unwrap_or_default().to_owned();
    let said = due(&apart);
    assert!(said.contains("are due since"), "{said}");
    let mut one = order(&apart, "one", 0, None, &[a, b]);
    one.placed_on = apart.part(a).unwrap().2.ordered_on;
    let grouped = act(&apart, Action::PutOrder(one));
    assert_eq!(amount(&due(&grouped)), amount(&said));
}

#[test]
fn damage_after_all_was_received_opens_it_again() {
    let (p, a, _) = two_lines();
    let p = act(&p, Action::MarkReceived(vec![a], Some(date("2026-09-10"))));
    assert!(part(&figures(&p, AS_OF), a).on_site);
    let delivery = Delivery {
        damaged: dec("1"),
        reported_on: Some(date("2026-09-15")),
        ..Delivery::new(DeliveryId(p.next_id), a, date("2026-09-10"), dec("10"))
    };
    let p = act(&p, Action::PutDelivery(delivery));
    assert!(!part(&figures(&p, AS_OF), a).on_site);
    // What is built in is here.
    let built = act(&p, Action::MarkInstalled(vec![a], Some(date("2026-09-18"))));
    assert!(part(&figures(&built, AS_OF), a).on_site);
}

#[test]
fn what_cannot_be_is_refused_in_words() {
    let (p, a, b) = two_lines();
    let delivery = |on: &str, n: &str| Delivery::new(DeliveryId(p.next_id), a, date(on), dec(n));
    let put = |d: Delivery| Action::PutDelivery(d);
    assert!(refused(&p, put(delivery("2026-08-31", "1"))).contains("before it was ordered on 2026-09-01"));
    assert!(refused(&p, put(delivery("2026-09-05", "0"))).contains("nothing came"));
    let hurt = Delivery { damaged: dec("5"), ..delivery("2026-09-05", "4") };
    assert!(refused(&p, put(hurt)).contains("5 damaged are more than the 4 that came"));
    let open = act(&p, Action::MarkOrdered(vec![a, b], None));
    assert!(refused(&open, put(delivery("2026-09-05", "1"))).contains("is not ordered"));
    let (_, option, part) = p.part(a).unwrap();
    let moved = Part { supplier: Some(p.suppliers[1].id), ..part.clone() };
    assert!(refused(&p, Action::PutPart(option.id, moved)).contains("take it out of the order first"));
    let dated = Part { ordered_on: Some(date("2026-09-02")), ..part.clone() };
    assert!(refused(&p, Action::PutPart(option.id, dated)).contains("change the day of the order"));
    let all = Order { parts: ids(&p), ..order(&p, "x", 0, Some("2026-09-01"), &[]) };
    assert!(refused(&p, Action::SplitOrder(p.orders[0].id, all)).contains("at least one line"));
    assert!(refused(&p, Action::RemoveSupplier(p.suppliers[0].id)).contains("parts are bought there"));
    let nothing = Payment {
        id: PaymentId(p.next_id),
        of: PaidFor::Part(a),
        on: date("2026-09-02"),
        amount: Money::ZERO,
        kind: PaymentKind::Other,
        note: String::new(),
    };
    assert!(refused(&p, Action::PutPayment(nothing)).contains("a payment of nothing"));
    let paid = pay(&p, PaidFor::Part(a), "2026-09-02", "10");
    assert!(refused(&paid, Action::RemovePart(a)).contains("payments for it are noted"));
    let paid = pay(&p, PaidFor::Order(p.orders[0].id), "2026-09-02", "10");
    assert!(
        refused(&paid, Action::RemoveOrder(p.orders[0].id)).contains("payments are noted for this order")
    );
    // A part that goes leaves its order.
    assert_eq!(act(&p, Action::RemovePart(a)).orders[0].parts, [b]);
}

/// What went back and is chosen again is bought anew: it leaves its order, and no money is lost or counted twice.
#[test]
fn a_line_that_went_back_is_bought_anew() {
    let (mut p, a, b) = two_lines();
    p = came(&p, b, "2026-09-10", "1");
    p = pay(&p, PaidFor::Order(p.orders[0].id), "2026-09-02", "500");
    p = pay(&p, PaidFor::Order(p.orders[0].id), "2026-09-11", "774.75");
    let selection = p.part(b).unwrap().0.id;
    let first = p.part(b).unwrap().1.id;
    let other = SelectionOption::new(OptionId(p.next_id), "other", "Other");
    let id = other.id;
    p = act(&p, Action::PutOption(selection, other));
    let swap = |p: &Project, to: OptionId| {
        let wish = swap::Wish::new(selection, to, date(AS_OF));
        act(p, swap::preview(p, &figures(p, AS_OF), &wish).unwrap().action)
    };
    p = swap(&p, id);
    let went = Return {
        state: ReturnState::WentBack,
        went_back_on: Some(date("2026-09-18")),
        credit: Some(money("273.49")),
        ..p.returns[0].clone()
    };
    p = act(&p, Action::PutReturn(went));
    let before = figures(&p, AS_OF).money.total.paid;
    assert_eq!(before, money("1001.26"));
    p = swap(&p, first);
    assert_eq!((p.orders[0].parts.as_slice(), p.deliveries.len()), (&[a][..], 0));
    let f = figures(&p, AS_OF);
    assert_eq!(f.money.total.paid, before);
    assert!(part(&f, b).placed.is_none() && part(&f, b).paid.is_zero());
    assert_eq!(validate::document(&p), Vec::<String>::new());
}

#[test]
fn returned_lines_are_credited_on_their_order() {
    // One line of two went back with a credit: 300.00 less 15 percent, with its tax.
    let (mut p, a, b) = two_lines();
    p = act(&p, Action::MarkReceived(vec![a, b], Some(date("2026-09-10"))));
    p = pay(&p, PaidFor::Order(p.orders[0].id), "2026-09-11", "1274.75");
    let selection = p.part(b).unwrap().0.id;
    let other = SelectionOption::new(OptionId(p.next_id), "other", "Other");
    let option = other.id;
    p = act(&p, Action::PutOption(selection, other));
    p = act(&p, Action::Choose(option));
    let back = Return {
        state: ReturnState::WentBack,
        went_back_on: Some(date("2026-09-18")),
        credit: Some(money("273.49")),
        ..Return::new(ReturnId(p.next_id), b)
    };
    p = act(&p, Action::PutReturn(back));
    let f = figures(&p, AS_OF);
    let account = f.account(&p, priced(&p, &f, "first"));
    assert_eq!(account.billed, money("1274.75"));
    assert_eq!(account.credits, money("273.49"));
    assert_eq!(account.paid, money("1001.26"));
    assert_eq!(account.owed, Money::ZERO);
    // Before it went back it is a credit that is expected.
    let f = figures(&p, "2026-09-17");
    let account = f.account(&p, priced(&p, &f, "first"));
    assert_eq!((account.credits, account.owed), (Money::ZERO, Money::ZERO));
    // 85 percent of 300.00 and the tax on it: 255.00 and 18.49.
    assert_eq!(account.credits_expected, money("273.49"));
}

/// Another option is made the choice in place of that of a part.
fn swapped_away(p: &Project, part: PartId) -> (Project, OptionId) {
    let (selection, first) = p.part(part).map(|(s, o, _)| (s.id, o.id)).unwrap();
    let other = SelectionOption::new(OptionId(p.next_id), "other", "Other");
    let id = other.id;
    let p = act(p, Action::PutOption(selection, other));
    let wish = swap::Wish::new(selection, id, date(AS_OF));
    (act(&p, swap::preview(&p, &figures(&p, AS_OF), &wish).unwrap().action), first)
}

fn went(p: &Project, on: &str) -> Project {
    let r = Return { state: ReturnState::WentBack, went_back_on: Some(date(on)), ..p.returns[0].clone() };
    act(p, Action::PutReturn(r))
}

/// Of two lines the one of 300.00 is cancelled before it came. Of 95.00 freight it bore 25.91, which the supplier now
/// bills for the other: 800.00, 95.00 and 58.00 tax are 953.00. The deposit lost is 30 percent of 347.66.
#[test]
fn a_cancelled_line_leaves_its_freight_to_the_rest_of_the_order() {
    let (p, a, b) = two_lines();
    let id = p.orders[0].id;
    let p = pay(&p, PaidFor::Order(id), "2026-09-02", "382.43");
    let (p, _) = swapped_away(&p, b);
    let to_cancel =
        act(&p, Action::PutReturn(Return { state: ReturnState::GoingBack, ..p.returns[0].clone() }));
    let expected = figures(&to_cancel, AS_OF).money.total;
    let p = went(&p, "2026-09-10");
    let f = figures(&p, AS_OF);
    let first = priced(&p, &f, "first");
    assert_eq!((first.goods, first.freight, first.tax), (money("800"), money("95"), money("58")));
    let [at, gone] = [a, b].map(|id| f.index.of(id.0).unwrap());
    assert_eq!(
        (first.parts.as_slice(), first.cancelled.as_slice()),
        (&[at][..], &[(gone, day("2026-09-10"))][..])
    );
    assert_eq!(f.returns.of(gone).unwrap().ordered, money("104.30"));
    assert_eq!(f.money.total.ordered, money("1057.30"), "953.00 and the deposit of 104.30");
    assert_eq!(expected.forecast, f.money.total.forecast, "the forecast knew it when it was to be cancelled");
    assert_eq!(expected.ordered, money("1274.75"));
    // It is on no list, in no list of what is on its way, and nothing of it is expected.
    let list = needline::exchange::outgoing::lists::Maker::new(&p, &f).list(Some(0)).unwrap();
    assert_eq!(list.lines().count(), 1);
    assert_eq!(list.sums.total(), money("953"));
    assert_eq!(f.returns.of(gone).unwrap().words(), "cancelled");
    // What was paid before was for both, what is paid after is for the other; then each is paid, and so is the order.
    let p = pay(&p, PaidFor::Order(id), "2026-09-15", "674.87");
    let f = figures(&p, AS_OF);
    let account = f.account(&p, priced(&p, &f, "first"));
    assert_eq!((account.billed, account.paid), (money("1057.30"), money("1057.30")));
    assert_eq!((account.owed, account.overpaid()), (Money::ZERO, Money::ZERO));
    assert_eq!((part(&f, a).paid, part(&f, b).paid), (money("953"), money("104.30")));
}

/// What is expected back is what was paid too much, of the part and of its order alike.
#[test]
fn what_is_expected_back_is_what_was_paid_too_much() {
    let (p, a, b) = two_lines();
    let p = act(&p, Action::SplitOrder(p.orders[0].id, super_order(&p, "alone", "2026-09-01", &[b])));
    let alone = p.orders[1].id;
    let p = pay(&p, PaidFor::Order(alone), "2026-09-02", "200");
    let (p, _) = swapped_away(&p, b);
    let p = went(&p, "2026-09-10");
    let f = figures(&p, AS_OF);
    // 300.00, 95.00 freight and 21.75 tax are 416.75; 30 percent are 125.03 (125.025).
    let order = priced(&p, &f, "alone");
    let account = f.account(&p, order);
    assert_eq!(f.returns.iter().next().unwrap().expected_back(), money("74.97"));
    assert_eq!((account.overpaid(), account.owed), (money("74.97"), money("-74.97")));
    assert!(order.parts.is_empty() && order.total().is_zero());
    let said: Vec<String> = problems(&p, &f).into_iter().map(|q| q.message).collect();
    assert!(
        said.iter().any(
            |m| m.contains("cancelled; 291.72 USD is to be taken off the bill, 74.97 USD of it was paid")
        ),
        "{said:?}"
    );
    assert!(part(&f, a).placed.is_some());
}

/// A returned line is bought again. Its first freight of 25.91 stays in the extra, and the other line keeps the 69.09
/// that it was billed: 95.00 once for the first order, and 95.00 for the new one.
#[test]
fn the_freight_of_a_line_that_is_bought_again_counts_once() {
    for (goods, freight) in [("80", "95"), ("180", "0")] {
        let (mut p, a, b) = two_lines();
        // At 180.00 a piece the order ships free; without the other line it would not have.
        edit_part(&mut p, a, |part| part.unit_price = Some(money(goods)));
        let p = act(&p, Action::MarkReceived(vec![a, b], Some(date("2026-09-10"))));
        let p = pay(&p, PaidFor::Order(p.orders[0].id), "2026-09-11", "500");
        let p = pay(&p, PaidFor::Part(b), "2026-10-11", "50");
        let (p, first) = swapped_away(&p, b);
        let p = went(&p, "2026-09-18");
        let before = figures(&p, AS_OF);
        let selection = p.part(b).unwrap().0.id;
        let seen = swap::preview(&p, &before, &swap::Wish::new(selection, first, date(AS_OF))).unwrap();
        let known = seen.known.forecast_after.less(seen.known.forecast_before);
        let p = act(&p, seen.action);
        let f = figures(&p, AS_OF);
        assert_eq!(priced(&p, &f, "first").freight.plus(part(&before, b).freight), money(freight));
        // 300.00, 95.00 freight, 21.75 tax.
        assert_eq!(part(&f, b).total(), money("416.75"));
        assert_eq!(f.money.total.forecast.less(before.money.total.forecast), money("416.75"));
        assert_eq!(known, money("416.75"), "and so says the preview");
        for day in [AS_OF, "2026-10-11"] {
            let paid = |f: &Figures| f.money.total.paid;
            assert_eq!(
                paid(&figures(&p, day)).less(paid(&before)),
                if day == AS_OF { Money::ZERO } else { money("50") }
            );
        }
    }
}
